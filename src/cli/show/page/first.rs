//! The first page of a signed file: what anybody asks first, on one sheet or two, with counts of all the rest and where it
//! stands.
//!
//! Whatever it leaves out the full page has. This module must not know signatures.

use std::fmt::Write as _;

use fillward::checklist::body::FaultPart;
use fillward::checklist::body::met;
use fillward::desk::Shown;
use fillward::vocabulary::Outcome;

use super::{FAULT_HEADINGS, Page, heading_of};
use crate::cli::output::counted;
use crate::cli::show::columns::in_column;
use crate::cli::show::lines;

/// Findings of one heading that are told one by one; of more than these the rest is counted.
const TOLD: usize = 12;

impl Page {
    /// What held the job: of what is broken what shows it, of what is not shown its rule and of what.
    pub(super) fn faults_in_short(&mut self, shown: &Shown) {
        let faults = shown.body.findings.each_fault();
        let told = lines::ToldElsewhere::of_faults(shown);
        for heading in FAULT_HEADINGS {
            let mut found: Vec<&FaultPart> = faults.iter().filter(|fault| heading_of(fault) == heading).collect();
            // What is wrong comes before what nobody has looked at.
            found.sort_by_key(|fault| fault.outcome != Outcome::Broken);
            if !found.is_empty() {
                self.heading(&format!("{heading} ({})", found.len()));
            }
            for fault in found.iter().take(TOLD) {
                self.text(2, &fault.title);
                self.text(4, &format!("{}, {}: {}", fault.subject_words(), fault.outcome.word(), fault.rule));
                if fault.outcome == Outcome::Broken {
                    for line in &fault.shown {
                        self.text(4, &lines::line_in_words(line, &told));
                    }
                }
            }
            if found.len() > TOLD {
                self.text(2, &format!("and {} more, on the full page", found.len() - TOLD));
            }
        }
    }

    /// What was checked, counted by what it is of, and where it stands.
    pub(super) fn checked(&mut self, shown: &Shown) {
        let findings = &shown.body.findings;
        self.heading("WHAT WAS CHECKED");
        let met = met::each(&findings.ruled_out).len();
        self.text(2, &format!("{} looked for, and what they look for is not so", counted(met, "rule")));
        let values: usize = findings.values.values().map(Vec::len).sum();
        let of: Vec<String> = findings.values.iter().map(|(of, rows)| format!("{of} {}", rows.len())).collect();
        if values > 0 {
            self.text(2, &format!("{} as asked for and within bounds: {}", counted(values, "value"), of.join(", ")));
        }
        let not_applying = shown.not_applying().len();
        if not_applying > 0 {
            self.text(2, &format!("{} not apply to this job", does(not_applying)));
        }
        let not_asked = shown.not_asked().len();
        if not_asked > 0 {
            self.text(2, &format!("{} asked at other hold points", are(not_asked)));
        }
        self.text(2, "each with its value, bounds, rule and source: the full page, with `--full`");
    }

    /// The papers in short: packs by name, everything else by the beginning of its digest.
    pub(super) fn inputs_in_short(&mut self, shown: &Shown) {
        let inputs = &shown.body.inputs;
        self.heading("JUDGED BY AND FROM");
        let begins = |sha256: &str| sha256.get(..16).unwrap_or(sha256).to_owned();
        let mut line = |words: String| {
            let _ = write!(self.out, "{}", in_column(&words, self.width, "  "));
        };
        for (pack, at_hand) in shown.packs() {
            let missing = if at_hand { "" } else { "; this pack is not at hand, give it with `--pack FILE`" };
            line(format!("rule pack {}, SHA-256 {}…{missing}", pack.title(), begins(&pack.sha256)));
        }
        let record = &inputs.record;
        line(format!(
            "record {}, SHA-256 {}…; it stands in the file word for word",
            fillward::vocabulary::quoted(&record.name),
            begins(&record.sha256)
        ));
        if let Some(shop) = &inputs.shop_file {
            line(format!(
                "shop file {}, SHA-256 {}… as the signer states; what was used of it stands in the file",
                fillward::vocabulary::quoted(&shop.name),
                begins(&shop.sha256)
            ));
        }
    }
}

fn does(count: usize) -> String {
    format!("{} {}", counted(count, "rule"), if count == 1 { "does" } else { "do" })
}

fn are(count: usize) -> String {
    format!("{} {}", counted(count, "rule"), if count == 1 { "is" } else { "are" })
}
