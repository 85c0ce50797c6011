//! The part of the page that goes through the rules: what was looked for, what is recorded, by which rule of which source,
//! and what does not apply.
//!
//! Rules and sources are those of the packs that the file names by their digests. This module must not know signatures.

use std::collections::{BTreeMap, BTreeSet};

use fillward::checklist::body::FaultGroup;
use fillward::checklist::body::met::{self, MetName};
use fillward::checklist::evidence::EvidenceLine;
use fillward::desk::{AskedBy, NotApplying, Shown, Ways, WhyNot};
use fillward::explain::citation;
use fillward::pack::{Citation, Rule};

use super::Page;
use crate::cli::output::counted;
use crate::cli::show::lines;

/// How a rule says that nothing was published.
const NOT_PUBLISHED: &str = "no published source";

/// How many comparisons lines are of.
pub(super) fn comparisons(lines: &[String]) -> usize {
    lines.iter().map(|line| EvidenceLine::read(line).map_or(1, |line| line.asked.len().max(1))).sum()
}

/// The title of a rule that is met, with its pack and the places of its subjects where they are told.
fn title_of(MetName { pack, title, of, .. }: &MetName) -> String {
    let pack = pack.as_ref().map(|pack| format!("{pack}: ")).unwrap_or_default();
    let of = if of.is_empty() { String::new() } else { format!(" (of {})", of.join(" ")) };
    format!("{pack}{title}{of}")
}

/// A source without remarks, to stand behind a bound.
fn in_short(source: &Citation) -> String {
    let Citation { kind, cite, .. } = source;
    if cite.as_str() == NOT_PUBLISHED { kind.to_string() } else { format!("{kind}: {cite}") }
}

/// The rules that asked for something, each with its source.
fn asked_by(shown: &Shown, by: &[AskedBy]) -> String {
    let first = shown.packs().next().map_or("", |(pack, _)| &pack.name);
    let one = |AskedBy { rule, one_way }: &AskedBy| {
        let source = shown.rule(&format!("{first}/{rule}")).map(|rule| in_short(&rule.told.source));
        let way = if *one_way { ", as one of several ways" } else { "" };
        format!("{rule}{way} ({})", source.unwrap_or_default())
    };
    let noun = if by.len() == 1 { "rule" } else { "rules" };
    format!("{noun} {}", by.iter().map(one).collect::<Vec<_>>().join(" and "))
}

impl Page {
    pub(super) fn source(&mut self, rule: Option<&Rule>) {
        if let Some(rule) = rule {
            self.text(4, &format!("Source, {}", citation(&rule.told.source)));
        }
    }

    /// That not all of several lines had to be so.
    pub(super) fn ways(&mut self, rule: Option<&Rule>, comparisons: usize, [one, of_some]: [&str; 2]) {
        match rule.map(Shown::ways).filter(|_| comparisons > 1) {
            Some(Ways::One) => self.text(4, one),
            Some(Ways::OneOfSome) => self.text(4, of_some),
            Some(Ways::All) | None => {}
        }
    }

    pub(super) fn met(&mut self, shown: &Shown) {
        let (met, told) = (met::each(&shown.body.findings.ruled_out), lines::ToldElsewhere::of_met(shown));
        self.heading(&format!("LOOKED FOR, AND NOT SO ({})", counted(met.len(), "rule")));
        for rule in &met {
            let name = MetName::read(&rule.name);
            self.text(2, &name.as_ref().map_or_else(|| rule.name.clone(), title_of));
            for line in &rule.shown {
                self.text(4, &lines::line_in_words(line, &told));
            }
            let compared = comparisons(&rule.shown);
            match name.and_then(|name| shown.met_rule(&name)) {
                Some((code, rule)) => {
                    self.ways(
                        Some(rule),
                        compared,
                        [
                            "one of several ways is enough; those that the record meets are shown",
                            "for a part of it one of several ways is enough; those that the record meets are shown",
                        ],
                    );
                    self.text(4, &format!("{code}. Source, {}", citation(&rule.told.source)));
                }
                None => self.text(4, "its source is in its pack, which is not at hand"),
            }
        }
    }

    pub(super) fn values(&mut self, shown: &Shown) {
        let (values, told) = (&shown.body.findings.values, lines::ToldElsewhere::of_met(shown));
        if values.is_empty() {
            return;
        }
        let count: usize = values.values().map(Vec::len).sum();
        self.heading(&format!("RECORDED, AS ASKED FOR AND WITHIN BOUNDS ({count})"));
        if shown.proposed.is_none() {
            self.text(
                2,
                "which rule asks for each, by which source, and which of several bounds are ways of which one is enough, \
                 is in the packs of the file; they are not all at hand, or the record cannot be judged by them here",
            );
        }
        for (of, rows) in values {
            self.text(2, of);
            for row in rows {
                self.value(shown, &told, of, row);
            }
        }
    }

    /// A value with everything that was asked of it, and by which rules.
    fn value(&mut self, shown: &Shown, told: &lines::ToldElsewhere<'_>, of: &str, row: &str) {
        let Some(lines::InWords { fact, seen, asked }) = lines::in_words(row, told) else {
            return self.text(4, row);
        };
        let by = |asked: &str| match shown.asked_by(of, &fact, asked) {
            Some(by) if !by.is_empty() => lines::SaidBehind::comma(asked_by(shown, by)),
            _ => lines::SaidBehind::default(),
        };
        let recorded = by("");
        let mut bounds: Vec<lines::SaidBehind> =
            asked.into_iter().map(|(behind, written)| behind.and(&by(&written))).collect();
        bounds.retain(|bound| !bound.said.is_empty());
        let first = lines::joined(seen, &recorded);
        match bounds.as_slice() {
            // What must be one thing has said it, and only the rule is left.
            [bound] if recorded.said.is_empty() => self.text(4, &lines::joined(first, bound)),
            bounds => {
                self.text(4, &first);
                for bound in bounds {
                    self.item(&bound.said);
                }
            }
        }
    }

    /// The sources of the rules that stand behind values, each once, with everything that they say of themselves.
    pub(super) fn sources(&mut self, shown: &Shown) {
        let first = shown.packs().next().map_or("", |(pack, _)| &pack.name);
        let mut found: BTreeMap<String, BTreeSet<&str>> = BTreeMap::new();
        for (of, rows) in &shown.body.findings.values {
            for line in rows.iter().filter_map(|row| EvidenceLine::read(row)) {
                let asked = line.asked.iter().map(ToString::to_string).chain([String::new()]);
                let by = asked.filter_map(|asked| shown.asked_by(of, &line.fact, &asked));
                for AskedBy { rule, .. } in by.flatten() {
                    if let Some(source) = shown.rule(&format!("{first}/{rule}")).map(|rule| &rule.told.source)
                        && source.note.is_some()
                    {
                        found.entry(citation(source)).or_default().insert(rule);
                    }
                }
            }
        }
        if !found.is_empty() {
            self.heading(&format!("WHAT THESE SOURCES SAY OF THEMSELVES ({})", found.len()));
        }
        for (source, rules) in found {
            self.text(2, &source);
            self.text(4, &format!("for {}", rules.into_iter().collect::<Vec<_>>().join(", ")));
        }
    }

    pub(super) fn not_applying(&mut self, shown: &Shown) {
        let not_applying = shown.not_applying();
        if !not_applying.is_empty() {
            self.heading(&format!("DOES NOT APPLY TO THIS JOB ({})", counted(not_applying.len(), "rule")));
            self.text(
                2,
                "what the record says leaves nothing to look for, by the packs at hand; the file does not list them",
            );
        }
        let told = lines::ToldElsewhere::of(shown);
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
            let point = shown.body.hold_point.word().to_uppercase();
            self.heading(&format!("NOT ASKED {point} ({})", counted(not_asked.len(), "rule")));
            self.text(2, "by the packs at hand; these are asked at other hold points");
        }
        for (code, title, points) in not_asked {
            self.text(2, &format!("{title}: {code}, {points}"));
        }
    }

    /// The limits that lines name, with what they mean and where they come from.
    pub(super) fn limits(&mut self, shown: &Shown) {
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
            let value = shown.limit_then(name).map(|then| format!(", {}", then.value)).unwrap_or_default();
            self.text(2, &format!("{name}{value}: {}", limit.told.about));
            self.text(4, &format!("Source, {}", citation(&limit.told.source)));
        }
    }
}
