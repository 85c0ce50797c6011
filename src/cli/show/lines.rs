//! Lines of evidence in words, as far as that needs no judgement: facts in trade words, tests as reports say them.
//!
//! Lines are read by the reader of the notation that `schemas/CHECKLIST.md` describes; one that it does not read stays as it
//! is, and so does a text of the record. This module must not know rules.

mod bounds;

use std::collections::BTreeMap;

use fillward::checklist::body::{ChecklistBody, FaultGroup, Figures, met};
use fillward::checklist::evidence::{AskedOfFact, EvidenceLine, WrittenOrigin, WrittenValue};
use fillward::desk::{LimitThen, Shown};
use fillward::document::prose::name_in_words;
use fillward::pack::test::{Relation, Takes, WasAsked};

use super::values::ValueTelling;

/// What lines leave out because it is elsewhere in the file, or in its packs.
#[derive(Debug, Default)]
pub(crate) struct ToldElsewhere<'b> {
    /// The computed figures.
    figures: Option<&'b Figures>,
    /// The facts that met a rule, and their values.
    facts: BTreeMap<String, Vec<String>>,
    /// The instant of the judgement.
    judged_at: &'b str,
    /// The limits that lines name, where they can be told.
    limits: BTreeMap<String, &'b LimitThen>,
    /// Whether what is not so is what was demanded.
    as_demanded: bool,
}

/// A line in words, taken apart.
#[derive(Debug)]
pub(super) struct InWords {
    /// The place of the fact.
    pub(super) fact: String,
    /// The fact in trade words, with its values.
    pub(super) seen: String,
    /// Each thing that was asked of it in words, with the same as the file has it.
    pub(super) asked: Vec<(SaidBehind, String)>,
}

/// What stands behind a fact.
#[derive(Debug, Clone, Default)]
pub(super) struct SaidBehind {
    /// In words; empty where there is nothing to say.
    pub(super) said: String,
    /// Whether it stands in brackets, so that no comma parts it from the fact.
    pub(super) in_brackets: bool,
}

impl SaidBehind {
    /// What stands behind a comma.
    pub(super) const fn comma(said: String) -> Self {
        Self { said, in_brackets: false }
    }

    /// What stands in brackets.
    pub(super) fn in_brackets(said: &str) -> Self {
        Self { said: format!("({said})"), in_brackets: true }
    }

    /// This, and something more behind it.
    pub(super) fn and(self, more: &Self) -> Self {
        let in_brackets = if self.said.is_empty() { more.in_brackets } else { self.in_brackets };
        Self { said: joined(self.said, more), in_brackets }
    }
}

/// The value of a figure in words.
enum FigureTold {
    Known(String),
    NotComputed(String),
}

impl FigureTold {
    fn said(&self) -> &str {
        match self {
            Self::Known(said) | Self::NotComputed(said) => said,
        }
    }
}

impl<'b> ToldElsewhere<'b> {
    /// What is told in the body alone.
    fn in_body(body: &'b ChecklistBody) -> Self {
        let mut told = Self { judged_at: &body.judged_at, figures: Some(&body.figures), ..Self::default() };
        let met = [met::each(&body.findings.ruled_out), met::each_value(&body.findings.values)].concat();
        let mut facts = BTreeMap::<String, Vec<String>>::new();
        for line in met.iter().flat_map(|part| &part.shown).filter_map(|line| EvidenceLine::read(line)) {
            let said = told.of_fact(&line.fact).values(own_values(&line));
            let values = facts.entry(line.fact).or_default();
            if !said.is_empty() && !values.contains(&said) {
                values.push(said);
            }
        }
        told.facts = facts;
        told
    }

    /// What is told in the file and by the packs that are at hand.
    pub(super) fn of(shown: &'b Shown) -> Self {
        let findings = &shown.body.findings;
        let met = [met::each(&findings.ruled_out), met::each_value(&findings.values)].concat();
        let lines = findings.faults.iter().flat_map(FaultGroup::lines);
        let names = lines.chain(met.iter().flat_map(|rule| &rule.shown)).flat_map(|line| limits(line));
        let limits = names.filter_map(|name| shown.limit_then(&name).map(|then| (name, then))).collect();
        Self { limits, ..Self::in_body(&shown.body) }
    }

    /// The same for lines of what is met.
    pub(super) fn of_met(shown: &'b Shown) -> Self {
        Self { as_demanded: true, ..Self::of(shown) }
    }

    /// The same for lines that give the values of their bounds themselves.
    pub(super) fn of_faults(shown: &'b Shown) -> Self {
        Self { figures: None, facts: BTreeMap::new(), ..Self::of(shown) }
    }

    /// How the values of a fact are told.
    fn of_fact(&self, fact: &str) -> ValueTelling<'b> {
        let is_hardness = fact.ends_with("hardness") || fact.ends_with("hardness_least");
        ValueTelling { judged_at: self.judged_at, scale: if is_hardness { "Shore A" } else { "" } }
    }

    /// A figure with its value.
    fn figure(&self, (subject, name): (&str, &str), place: &str) -> String {
        let name = name_in_words(name);
        let Some(found) = self.figures.map(|figures| values(figures, subject, place)).filter(|of| !of.is_empty())
        else {
            return format!("{name} (computed)");
        };
        let told: Vec<FigureTold> = found.into_iter().map(|value| self.figure_in_words(value)).collect();
        let said = told.iter().map(FigureTold::said).collect::<Vec<_>>().join("; ");
        if told.iter().all(|told| matches!(told, FigureTold::NotComputed(_))) {
            format!("{name} ({said})")
        } else {
            format!("{name} (computed: {said})")
        }
    }

    /// The value of a figure as the file has it; of one that could not be computed, the place of what was missing.
    fn figure_in_words(&self, value: &str) -> FigureTold {
        match value.strip_prefix("null") {
            Some(why) if why.trim().is_empty() => FigureTold::NotComputed("not computed".to_owned()),
            Some(why) => FigureTold::NotComputed(format!("not computed: {}", name_in_words(why.trim()))),
            None => FigureTold::Known(
                WrittenValue::read(value).map_or_else(|| value.to_owned(), |value| self.of_fact("").value(&value)),
            ),
        }
    }
}

/// A line in words. Figures, and bounds whose values the line leaves out, come with what is told of them.
pub(crate) fn line_in_words(line: &str, told: &ToldElsewhere<'_>) -> String {
    let Some(InWords { seen, asked, .. }) = in_words(line, told) else { return line.to_owned() };
    asked.into_iter().fold(seen, |said, (asked, _)| joined(said, &asked))
}

/// A fact, and behind it what was asked of it.
pub(super) fn joined(seen: String, SaidBehind { said, in_brackets }: &SaidBehind) -> String {
    match (seen.as_str(), said.as_str()) {
        (_, "") => seen,
        ("", _) => said.clone(),
        _ if *in_brackets => format!("{seen} {said}"),
        _ => format!("{seen}, {said}"),
    }
}

/// A line in words, taken apart; nothing where it is not written as a line would be.
pub(super) fn in_words(line: &str, told: &ToldElsewhere<'_>) -> Option<InWords> {
    let read = EvidenceLine::read(line)?;
    let own = own_values(&read);
    let telling = told.of_fact(&read.fact);
    let of_moments = is_of_moments(&read);
    let asked = read.asked.iter().enumerate().map(|(place, asked)| {
        // What must be one thing, and is, has said it.
        let is_said = place == 0 && read.values.is_empty() && !own.is_empty();
        let said = if is_said { SaidBehind::default() } else { told.asked(asked, telling, of_moments) };
        (said, asked.to_string())
    });
    let values = telling.values(own);
    let seen = match figure(&read.fact) {
        Some(found) if values.is_empty() => told.figure(found, &read.fact),
        Some((_, name)) => format!("{} (computed: {values})", name_in_words(name)),
        None if values.is_empty() => name_in_words(&read.fact),
        None => format!("{}: {values}", name_in_words(&read.fact)),
    };
    Some(InWords { fact: read.fact.clone(), seen, asked: asked.collect() })
}

/// The names of limits in a line.
pub(super) fn limits(line: &str) -> Vec<String> {
    let asked = EvidenceLine::read(line).map(|line| line.asked).unwrap_or_default();
    let origins = asked.into_iter().flat_map(|asked| asked.bounds).flat_map(|bound| bound.origins);
    let name = |origin| match origin {
        WrittenOrigin::Limit(name) => Some(name),
        WrittenOrigin::Place(_) => None,
    };
    origins.filter_map(name).collect()
}

/// Whether a test asks that a value be one thing.
fn is_one(test: WasAsked) -> bool {
    let WasAsked::Test(row) = test else { return false };
    row.relation == Relation::Equal(true) && matches!(row.takes, Takes::One(_))
}

/// The values of the fact of a line; of one that must be one thing, and is, that one.
fn own_values(line: &EvidenceLine) -> &[WrittenValue] {
    match line.asked.first() {
        Some(AskedOfFact { test, bounds, not_so: None }) if is_one(*test) && line.values.is_empty() => {
            bounds.first().and_then(|bound| bound.value.as_ref()).map_or(&[], std::slice::from_ref)
        }
        _ => &line.values,
    }
}

/// Whether days or instants are compared.
fn is_of_moments(line: &EvidenceLine) -> bool {
    let of_bounds = line.asked.iter().flat_map(|asked| &asked.bounds).filter_map(|bound| bound.value.as_ref());
    line.values.iter().chain(of_bounds).any(|value| matches!(value, WrittenValue::Moment(_) | WrittenValue::Ahead(_)))
}

/// The subject and the name of a computed figure.
fn figure(place: &str) -> Option<(&str, &str)> {
    let (subject, name) = place.rsplit_once("figure.")?;
    (subject.is_empty() || subject.ends_with('.')).then_some((subject.trim_end_matches('.'), name))
}

/// The values of a figure: of its subject, where the place names one, else of each that has it.
fn values<'f>(figures: &'f Figures, subject: &str, place: &str) -> Vec<&'f str> {
    let name = place.rsplit('.').next().unwrap_or_default();
    let relative = place.starts_with('.');
    let of = figures.iter().filter(|(place, _)| relative || *place == subject);
    let mut found: Vec<&str> = of.filter_map(|(_, of)| of.get(name)).map(String::as_str).collect();
    found.dedup();
    found
}

#[cfg(test)]
mod tests;
