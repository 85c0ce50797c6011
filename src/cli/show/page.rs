//! The page that `fillward show` prints: first what the file is and what held the job, then everything that was looked at.
//!
//! Every text of the file stands behind words of the program's and inside its own columns. This module must not know files.

mod first;
mod rules;

use std::fmt::Write as _;

use fillward::checklist::body::FaultPart;
use fillward::desk::{PermitLine, Shown, SignatureLine};
use fillward::document::prose;
use fillward::explain::{self, CAUTION};
use fillward::units::Instant;
use fillward::vocabulary::quoted;

use super::super::output::signer_name;
use super::super::verify::NOT_COVERED;
use super::columns::in_column;
use super::lines;
use super::values::ValueTelling;

/// Said at the beginning and at the end.
const DECIDES_NOTHING: &str = "This page shows what the file says. It decides nothing: whether the file is to be relied \
                               on, and whether anything may start by it, only `fillward verify` tells.";

/// Said where there is no trust file to check anything by.
const NOT_CHECKED: &str = "NO SIGNATURE WAS CHECKED: give the shop's trust file with --trust";

/// The headings over what is not in order, in their order.
const FAULT_HEADINGS: [&str; 3] = ["WHAT HELD IT", "BROKEN, PERMITTED", "SAID, AND HOLDS NOTHING"];

/// Under which of them a finding stands.
fn heading_of(fault: &FaultPart) -> &'static str {
    let [held, permitted, said] = FAULT_HEADINGS;
    match (fault.permitted, fault.advice) {
        (true, _) => permitted,
        (false, false) => held,
        (false, true) => said,
    }
}

/// The first page in at most `width` columns: what anybody asks first, and counts of the rest.
pub(super) fn first_page(shown: &Shown, worth: Option<&[String]>, width: usize) -> String {
    let mut page = Page { out: String::new(), width };
    page.head(shown, worth);
    page.faults_in_short(shown);
    page.permits(&shown.permits);
    page.signed(shown);
    page.filled(shown);
    page.proposed(shown);
    page.what_follows(shown);
    page.checked(shown);
    page.inputs_in_short(shown);
    page.sentence(CAUTION);
    page.out
}

/// The full page in at most `width` columns.
pub(super) fn page(shown: &Shown, worth: Option<&[String]>, width: usize) -> String {
    let mut page = Page { out: String::new(), width };
    page.head(shown, worth);
    page.faults(shown);
    page.permits(&shown.permits);
    page.signed(shown);
    page.filled(shown);
    page.proposed(shown);
    page.met(shown);
    page.values(shown);
    page.sources(shown);
    page.not_applying(shown);
    page.limits(shown);
    page.inputs(shown);
    page.end(shown);
    page.out
}

struct Page {
    out: String,
    width: usize,
}

impl Page {
    /// A line of the program's that begins at the left edge.
    fn heading(&mut self, words: &str) {
        let _ = write!(self.out, "\n{}", in_column(words, self.width, ""));
    }

    /// A sentence of the program's, with nothing of the file in it.
    fn sentence(&mut self, words: &str) {
        let _ = write!(self.out, "\n{}\n", prose::laid_out(words, self.width, "", ""));
    }

    /// Text behind so many blanks.
    fn text(&mut self, indent: usize, words: &str) {
        let _ = write!(self.out, "{}", in_column(words, self.width, &" ".repeat(indent)));
    }

    /// One of several things that are told of what stands before them.
    fn item(&mut self, words: &str) {
        let _ = write!(self.out, "{}", in_column(words, self.width, "      - "));
    }

    /// A word of the program's and what the file says to it.
    fn entry(&mut self, word: &str, said: &str) {
        let _ = write!(self.out, "{}", in_column(said, self.width, &format!("{word:<11}")));
    }

    fn head(&mut self, shown: &Shown, worth: Option<&[String]>) {
        let body = &shown.body;
        self.entry(
            "CHECKLIST",
            &format!("{} {}, job {}", body.verdict.word(), body.hold_point.word(), quoted(&body.job)),
        );
        match worth {
            Some(lines) => lines.iter().for_each(|line| self.text(0, line)),
            None => self.text(0, NOT_CHECKED),
        }
        let trust = &body.inputs.trust;
        self.entry("Shop", &format!("{}, trust file version {}", quoted(&trust.shop), trust.version));
        for words in &body.inputs.trust.owners {
            self.entry("Owner", &format!("key {words}, to be compared with the shop's paper"));
        }
        let moment = |text: &str| ValueTelling { judged_at: &body.judged_at, scale: "" }.moment(text);
        self.entry("Judged", &format!("{} in {}", moment(&body.judged_at), body.time_zone));
        self.entry("By", &format!("{}, build {}", body.program.title(), body.program.build));
        if let Some(until) = body.valid_until.as_ref().filter(|_| !body.rehearsal) {
            self.entry("Good until", &moment(until));
        }
        if let Some(before) = &body.before {
            self.entry("Follows", &format!("the checklist of the hold point before, SHA-256 {before}"));
        }
        if body.rehearsal {
            self.entry("Practice", "the time was given by hand; nothing ever starts by this file");
        }
        self.sentence(DECIDES_NOTHING);
        for reason in &shown.contradictions {
            self.text(2, &format!("NOT IN ORDER: {reason}"));
        }
    }

    fn signed(&mut self, shown: &Shown) {
        self.heading("SIGNED");
        if shown.signatures.is_empty() {
            self.text(2, "by nobody");
        }
        for signature in &shown.signatures {
            match signature {
                Ok(SignatureLine { who, role, at, fault, revoked }) => {
                    self.text(2, &format!("by {}, {}, {at}", signer_name(who), role.word()));
                    if let Some(fault) = fault {
                        self.text(4, &format!("THIS SIGNATURE DOES NOT COUNT: {fault}"));
                    }
                    if *revoked {
                        self.text(4, "THE KEY HAS BEEN REVOKED SINCE, and whoever has it can write any time");
                    }
                }
                Err(reason) => self.text(2, &format!("THIS SIGNATURE CANNOT BE READ: {reason}")),
            }
        }
        let roles: Vec<&str> = shown.body.required_roles.iter().map(|role| role.word()).collect();
        self.text(2, &format!("asked for: {}", roles.join(", ")));
        match &shown.names_by {
            Some((shop, version)) => self.text(2, &format!("names by the trust file of {}, version {version}", quoted(shop))),
            None => self.text(2, "a file holds no names, only keys; `--trust FILE` gives the names, and no signature was checked without it"),
        }
    }

    fn filled(&mut self, shown: &Shown) {
        let (assemblies, not_covered) = (&shown.body.assemblies, &shown.not_covered);
        let all = assemblies.len() + not_covered.len();
        let of = if not_covered.is_empty() { String::new() } else { format!("only, of the {all} of this job") };
        self.heading(format!("FILLS ({}) {of}", assemblies.len()).trim_end());
        for (place, filled) in assemblies.iter().enumerate() {
            self.text(2, &format!("{}. {}", place + 1, filled.in_words()));
        }
        if assemblies.is_empty() {
            self.text(2, "no assembly");
        }
        if !not_covered.is_empty() {
            self.text(2, NOT_COVERED);
        }
        for (number, filled) in (assemblies.len() + 1..).zip(not_covered) {
            self.text(4, &format!("{number}. {}", filled.in_words()));
        }
        if shown.proposed.is_none() {
            self.text(2, "whether the record has others cannot be told here: it needs all packs of the file");
        }
    }

    /// What stood before the person who signed, beside what the rest of the page says.
    fn proposed(&mut self, shown: &Shown) {
        self.heading("SHOWN BEFORE IT WAS SIGNED");
        let Some(summary) = &shown.proposed else {
            self.text(2, "the counts and figures are not in the file, and without all of its packs they cannot be worked out again");
            return;
        };
        self.text(2, &summary.counts_phrase());
        for line in summary.phrases().iter().filter(|_| shown.body.passes()) {
            self.text(2, line);
        }
        self.text(2, "worked out again from the record inside, by the packs and the edition of fillward at hand");
    }

    fn faults(&mut self, shown: &Shown) {
        let faults = shown.body.findings.each_fault();
        let told = lines::ToldElsewhere::of_faults(shown);
        for heading in FAULT_HEADINGS {
            let found: Vec<&FaultPart> = faults.iter().filter(|fault| heading_of(fault) == heading).collect();
            if !found.is_empty() {
                self.heading(&format!("{heading} ({})", found.len()));
            }
            for fault in found {
                self.text(2, &fault.title);
                self.text(4, &format!("{}, {}: {}", fault.subject_words(), fault.outcome.word(), fault.rule));
                for line in &fault.applies {
                    self.text(4, &format!("since {}", lines::line_in_words(line, &told)));
                }
                for line in &fault.shown {
                    self.text(4, &lines::line_in_words(line, &told));
                }
                let rule = shown.rule(&fault.rule);
                self.ways(
                    rule,
                    rules::comparisons(&fault.shown),
                    ["one of these ways would be enough", "for a part of it one of several ways would be enough"],
                );
                self.source(rule);
            }
        }
    }

    fn permits(&mut self, permits: &[PermitLine]) {
        if !permits.is_empty() {
            self.heading(&format!("PERMITS ({})", permits.len()));
        }
        for PermitLine { code, body, by, asker_signed, asked_at, signed: _ } in permits {
            self.text(2, &format!("{code} of {}", body.subject_words()));
            let by = by.as_ref().map_or_else(|| "nobody".to_owned(), signer_name);
            self.text(4, &format!("permitted by {by}"));
            let signed = if *asker_signed { "who signed too" } else { "whose signature is not shown" };
            self.text(4, &format!("asked for by {}, {signed}: {}", body.asked_by, body.reason));
            let asked_at = asked_at.map(|at| format!("asked for at {at}, ")).unwrap_or_default();
            self.text(4, &format!("{asked_at}to be good until {}", Instant::told(&body.until)));
        }
    }

    fn inputs(&mut self, shown: &Shown) {
        let inputs = &shown.body.inputs;
        self.heading("JUDGED BY AND FROM");
        for (pack, at_hand) in shown.packs() {
            self.text(2, &format!("rule pack {}, SHA-256 {}", pack.title(), pack.sha256));
            if !at_hand {
                self.text(4, "this pack is not at hand, so names and sources of its rules are not shown; give it with `--pack FILE`");
            }
        }
        let record = &inputs.record;
        self.text(
            2,
            &format!("record {}, SHA-256 {}; it stands in the file word for word", quoted(&record.name), record.sha256),
        );
        if let Some(shop) = &inputs.shop_file {
            self.text(
                2,
                &format!(
                    "shop file {}, SHA-256 {} as the signer states; the entries that were used stand in the file",
                    quoted(&shop.name),
                    shop.sha256
                ),
            );
        }
        self.text(2, &format!("trust file, SHA-256 {}", inputs.trust.sha256));
    }

    /// What is told where work may go on, for the person who goes by a PASS.
    fn going_on(&mut self, shown: &Shown) {
        let body = &shown.body;
        let point = body.hold_point;
        self.heading("TOLD TO WHOEVER GOES ON");
        if body.rehearsal {
            self.text(2, "by this file nobody does: it is of a practice run");
        }
        let worked_out = shown.aims.as_ref().map(|aims| explain::going_on(point, aims));
        for line in worked_out.unwrap_or_else(|| point.moment().going_on().map(str::to_owned).to_vec()) {
            self.text(2, &line);
        }
        if shown.aims.is_none() {
            self.text(2, "at which pressure to stop cannot be worked out again here: it needs all packs of the file");
        }
    }

    /// What the verdict comes to.
    fn what_follows(&mut self, shown: &Shown) {
        let body = &shown.body;
        if body.passes() {
            self.going_on(shown);
        } else {
            self.sentence(body.hold_point.stop());
        }
    }

    fn end(&mut self, shown: &Shown) {
        self.what_follows(shown);
        self.sentence(CAUTION);
        self.sentence(DECIDES_NOTHING);
    }
}
