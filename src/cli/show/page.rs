//! The page that `fillward show` prints: first what the file is and what held the job, then everything that was looked at.
//!
//! Every text of the file stands behind words of the program's and inside its own columns. This module must not know files.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use fillward::checklist::body::met::{self, MetName};
use fillward::checklist::body::{ChecklistBody, FaultGroup, FaultPart};
use fillward::checklist::filled::Filled;
use fillward::desk::{NotApplying, PermitLine, Shown, SignatureLine, WhyNot};
use fillward::document::prose;
use fillward::explain::{CAUTION, citation};
use fillward::pack::Rule;
use fillward::vocabulary::quoted;

use super::columns::in_column;
use super::lines;

/// Said at the beginning and at the end.
const DECIDES_NOTHING: &str = "This page shows what the file says. It decides nothing: whether the file is to be relied \
                               on, and whether anything may start by it, only `fillward verify` tells.";

/// Said where there is no trust file to check anything by.
const NOT_CHECKED: &str = "NO SIGNATURE WAS CHECKED: give the shop's trust file with --trust";

/// The page in at most `width` columns.
pub(super) fn page(shown: &Shown, worth: Option<&[String]>, width: usize) -> String {
    let mut page = Page { out: String::new(), width };
    page.head(shown, worth);
    page.faults(shown);
    page.permits(&shown.permits);
    page.signed(shown);
    page.filled(&shown.body.assemblies);
    page.proposed(shown);
    page.met(shown);
    page.values(shown);
    page.not_applying(shown);
    page.limits(shown);
    page.inputs(shown);
    page.end(&shown.body);
    page.out
}

/// A number of rules: one rule may be looked at for several tyres, people or gauges.
fn rules(count: usize) -> String {
    if count == 1 { "1 rule".to_owned() } else { format!("{count} rules") }
}

/// The title of a rule that is met, with its pack and the places of its subjects where they are told.
fn title_of(MetName { pack, title, of }: &MetName) -> String {
    let pack = pack.as_ref().map(|pack| format!("{pack}: ")).unwrap_or_default();
    let of = if of.is_empty() { String::new() } else { format!(" (of {})", of.join(" ")) };
    format!("{pack}{title}{of}")
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

    /// A word of the program's and what the file says to it.
    fn entry(&mut self, word: &str, said: &str) {
        let _ = write!(self.out, "{}", in_column(said, self.width, &format!("{word:<11}")));
    }

    fn head(&mut self, shown: &Shown, worth: Option<&[String]>) {
        let body = &shown.body;
        self.entry("CHECKLIST", &format!("{} {}, job {}", body.verdict, body.hold_point, quoted(&body.job)));
        match worth {
            Some(lines) => lines.iter().for_each(|line| self.text(0, line)),
            None => self.text(0, NOT_CHECKED),
        }
        let trust = &body.inputs.trust;
        self.entry("Shop", &format!("{}, trust file version {}", quoted(&trust.shop), trust.version));
        for words in &body.inputs.trust.owners {
            self.entry("Owner", &format!("key {words}, to be compared with the shop's paper"));
        }
        self.entry("Judged", &format!("at {} in {}", body.judged_at, body.time_zone));
        self.entry("By", &format!("{}, build {}", body.program.title(), body.program.build));
        if let Some(until) = body.valid_until.as_ref().filter(|_| !body.rehearsal) {
            self.entry("Good until", until);
        }
        if let Some(before) = &body.before {
            self.entry("Follows", &format!("the checklist of the hold point before, SHA-256 {before}"));
        }
        if body.rehearsal {
            self.entry("Practice", "the instant was chosen by hand; nothing ever starts by this file");
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
                    self.text(2, &format!("by {who}, {}, at {}", role.word(), at.to_record_text()));
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
            Some((shop, version)) => self.text(2, &format!("names by the trust file of {shop}, version {version}")),
            None => self.text(2, "a file holds no names, only keys; `--trust FILE` gives the names, and no signature was checked without it"),
        }
    }

    fn filled(&mut self, assemblies: &[Filled]) {
        self.heading(&format!("FILLS ({})", assemblies.len()));
        for (place, filled) in assemblies.iter().enumerate() {
            self.text(2, &format!("{}. {}", place + 1, filled.in_words()));
        }
        if assemblies.is_empty() {
            self.text(2, "no assembly");
        }
    }

    /// What stood before whoever signed, beside what the rest of the page says.
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
        let heading_of = |fault: &FaultPart| match (fault.permitted, fault.advice) {
            (true, _) => "BROKEN, PERMITTED",
            (false, false) => "WHAT HELD IT",
            (false, true) => "SAID, AND HOLDS NOTHING",
        };
        for heading in ["WHAT HELD IT", "BROKEN, PERMITTED", "SAID, AND HOLDS NOTHING"] {
            let found: Vec<&FaultPart> = faults.iter().filter(|fault| heading_of(fault) == heading).collect();
            if !found.is_empty() {
                self.heading(&format!("{heading} ({})", found.len()));
            }
            for fault in found {
                self.text(2, &fault.title);
                self.text(4, &format!("{}, {}: {}", fault.subject_words(), fault.outcome, fault.rule));
                for line in &fault.applies {
                    self.text(4, &format!("since {}", lines::line_in_words(line, &lines::ToldElsewhere::default())));
                }
                for line in &fault.shown {
                    self.text(4, &lines::line_in_words(line, &lines::ToldElsewhere::default()));
                }
                self.source(shown.rule(&fault.rule));
            }
        }
    }

    fn source(&mut self, rule: Option<&Rule>) {
        if let Some(rule) = rule {
            self.text(4, &format!("Source, {}", citation(&rule.told.source)));
        }
    }

    fn permits(&mut self, permits: &[PermitLine]) {
        if !permits.is_empty() {
            self.heading(&format!("PERMITS ({})", permits.len()));
        }
        for PermitLine { code, body, by, asker_signed, asked_at, signed: _ } in permits {
            self.text(2, &format!("{code} of {}", body.subject_words()));
            self.text(4, &format!("permitted by {}", by.as_deref().unwrap_or("nobody")));
            let signed = if *asker_signed { "who signed too" } else { "whose signature is not shown" };
            self.text(4, &format!("asked for by {}, {signed}: {}", body.asked_by, body.reason));
            let asked_at = asked_at.map(|at| format!("asked for at {at}, ")).unwrap_or_default();
            self.text(4, &format!("{asked_at}to hold until {}", body.until));
        }
    }

    fn met(&mut self, shown: &Shown) {
        let (met, told) = (met::each(&shown.body.findings.ruled_out), lines::ToldElsewhere::of(&shown.body));
        self.heading(&format!("LOOKED FOR, AND NOT SO ({})", rules(met.len())));
        for rule in &met {
            let name = MetName::read(&rule.name);
            self.text(2, &name.as_ref().map_or_else(|| rule.name.clone(), title_of));
            for line in &rule.shown {
                self.text(4, &lines::line_in_words(line, &told));
            }
            if let Some((code, rule)) = name.and_then(|name| shown.met_rule(&name)) {
                self.text(4, &format!("{code}. Source, {}", citation(&rule.told.source)));
            }
        }
    }

    fn values(&mut self, shown: &Shown) {
        let (values, told) = (&shown.body.findings.values, lines::ToldElsewhere::of(&shown.body));
        if !values.is_empty() {
            self.heading(&format!(
                "RECORDED, AS ASKED FOR AND WITHIN BOUNDS ({})",
                values.values().map(Vec::len).sum::<usize>()
            ));
        }
        for (of, rows) in values {
            self.text(2, of);
            for row in rows {
                self.text(4, &lines::line_in_words(row, &told));
            }
        }
    }

    fn not_applying(&mut self, shown: &Shown) {
        let not_applying = shown.not_applying();
        if !not_applying.is_empty() {
            self.heading(&format!("DOES NOT APPLY TO THIS JOB ({})", rules(not_applying.len())));
            self.text(
                2,
                "what the record says leaves nothing to look for, by the packs at hand; the file does not list them",
            );
        }
        let told = lines::ToldElsewhere::of(&shown.body);
        for NotApplying { code, title, why } in not_applying {
            self.text(2, &format!("{title}: {code}"));
            match why {
                WhyNot::Said(said) => {
                    for line in said {
                        self.text(4, &format!("since {}", lines::line_in_words(line, &told)));
                    }
                }
                WhyNot::NobodyListed(list) => self.text(4, &format!("since the record lists no {list}")),
                WhyNot::NotInForce => self.text(4, "since it was not in force on that day"),
            }
        }
        let not_asked = shown.not_asked();
        if !not_asked.is_empty() {
            let point = shown.body.point().unwrap_or_default().word().to_uppercase();
            self.heading(&format!("NOT ASKED {point} ({})", rules(not_asked.len())));
            self.text(2, "by the packs at hand; these are asked at other hold points");
        }
        for (code, title, points) in not_asked {
            self.text(2, &format!("{title}: {code}, {points}"));
        }
    }

    /// The limits that lines name, with what they mean and where they come from.
    fn limits(&mut self, shown: &Shown) {
        let findings = &shown.body.findings;
        let met = [met::each(&findings.ruled_out), met::each_value(&findings.values)].concat();
        let of_faults = findings.faults.iter().flat_map(FaultGroup::lines);
        let all = of_faults.chain(met.iter().flat_map(|rule| &rule.shown));
        let names: BTreeSet<String> = all.flat_map(|line| lines::limits(line)).collect();
        let known: Vec<_> = names.iter().filter_map(|name| Some((name, shown.limit(name)?))).collect();
        if !known.is_empty() {
            self.heading(&format!("LIMITS NAMED ABOVE ({})", known.len()));
        }
        for (name, limit) in known {
            self.text(2, &format!("{name}: {}", limit.about));
            self.text(4, &format!("Source, {}", citation(&limit.source)));
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
            &format!("record {}, SHA-256 {}; it stands in the file word for word", record.name, record.sha256),
        );
        if let Some(shop) = &inputs.shop_file {
            self.text(
                2,
                &format!(
                    "shop file {}, SHA-256 {}; the entries that were used stand in the file",
                    shop.name, shop.sha256
                ),
            );
        }
        self.text(2, &format!("trust file, SHA-256 {}", inputs.trust.sha256));
    }

    fn end(&mut self, body: &ChecklistBody) {
        self.sentence("In square brackets stand the ends between which a value lies that is in doubt.");
        if !body.passes() {
            self.sentence(body.point().unwrap_or_default().stop());
        }
        self.sentence(CAUTION);
        self.sentence(DECIDES_NOTHING);
    }
}
