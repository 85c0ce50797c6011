//! Findings and their evidence as they stand in signed files: places in the record, and lines of what decided.
//!
//! A line is `FACT VALUE`, and `TEST BOUND ORIGIN...` behind it for each bound, in the words of the rule language. A fact
//! of the finding's own subject begins with a full stop; the values of several subjects stand one after the other, each
//! but the last with a semicolon. Tests that have a sign stand by it, `>=` for `at_least`. Text is in single quotes, a
//! value in doubt has the ends of its interval in brackets, and a comparison that is not true says so at the end. A test
//! that the rule spells out in its own words, such as `is`, is left out where it is met, but for values that speak for
//! themselves. Several bounds of one test have commas between. Every line is written from the engine's evidence and can be
//! read back as data ([`EvidenceLine`]); none is drawn for people, and this module must not know signatures.

mod line;
mod met_line;
mod written;

use std::collections::BTreeSet;
use std::fmt::Write as _;

use serde::{Deserialize, Serialize};

use crate::document::Path;
use crate::engine::{BoundOrigin, ComparedWith, Comparison, Decided, FactPlace, FactValue, Finding, Scene};
use crate::pack::LimitId;
use crate::pack::test::{Relation, WasAsked};
use crate::record::Value;
use crate::units::Truth;
use crate::vocabulary::Subject;

pub(super) use line::asks;
pub use line::{AskedOfFact, EvidenceLine, NotSo, VALUE_WORDS, WrittenBound, WrittenOrigin, WrittenValue};
pub(super) use met_line::{AskedText, MetLine};
use written::without_day;
pub(super) use written::{as_text, computed, value, written};

/// What a record shows of a finding.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EvidenceLines {
    /// What makes the rule apply, or leaves open whether it does.
    pub applies: Vec<String>,
    /// What breaks the demand, or leaves it open.
    pub shown: Vec<String>,
}

impl EvidenceLines {
    /// What decided a finding.
    pub fn of(scene: &Scene<'_>, finding: &Finding) -> Self {
        Self::citing(scene, finding, &mut Cited::new())
    }

    /// Everything that decided it, what makes the rule apply first.
    pub fn lines(&self) -> Vec<String> {
        self.applies.iter().chain(&self.shown).cloned().collect()
    }

    /// The same, with the figures that it cites noted.
    pub(super) fn citing<'s>(scene: &'s Scene<'_>, finding: &Finding, cited: &mut Cited<'s>) -> Self {
        let subject = scene.entity(finding).map(|entity| &entity.path);
        let Decided { applies, demands } = scene.evidence(finding);
        let mut lines = |comparisons: &[Comparison<'s>]| {
            let mut lines = Lines::default();
            lines.extend(scene, subject, comparisons, cited);
            lines.joined().iter().map(Line::whole).collect()
        };
        Self { applies: lines(&applies), shown: lines(&demands) }
    }
}

/// The figures that lines cite.
pub(super) type Cited<'s> = BTreeSet<FactPlace<'s>>;

/// What met a finding: the place of its subject, and what was compared.
pub(super) struct Met<'s> {
    subject: Option<&'s Path>,
    comparisons: Vec<Comparison<'s>>,
}

impl<'s> Met<'s> {
    pub(super) fn of(scene: &'s Scene<'_>, finding: &Finding) -> Self {
        let subject = scene.entity(finding).map(|entity| &entity.path);
        Self { subject, comparisons: scene.decided_demands(finding) }
    }

    /// Whether the comparisons say by themselves what was looked for: values that are recorded, facts that are the one thing
    /// that is asked for, and numbers, days and instants within bounds that have a name. A number that a rule writes itself
    /// as a bound needs its title to be understood, and so does a computed yes.
    pub(super) fn speaks_for_itself(&self) -> bool {
        self.comparisons.iter().all(|comparison| {
            let relation = match comparison.asked {
                WasAsked::Test(row) => Some(row.relation),
                WasAsked::Each | WasAsked::Some => None,
            };
            let bounds = &comparison.bounds;
            comparison.truth == Truth::True
                && match relation {
                    Some(Relation::Recorded) => {
                        bounds.iter().all(|bound| bound.value == FactValue::Made(Value::Flag(true)))
                    }
                    Some(Relation::Within(_) | Relation::Fresh) => bounds.iter().all(|bound| !bound.origins.is_empty()),
                    Some(Relation::Equal(true)) => !comparison.fact.is_figure(),
                    Some(Relation::Equal(false)) | None => false,
                }
        })
    }

    /// The facts whose values stand in the lines of this, so that a bound need not give them again.
    pub(super) fn told(&self) -> impl Iterator<Item = FactPlace<'s>> {
        self.comparisons.iter().map(|comparison| comparison.fact)
    }
}

/// What met a rule, for all of its subjects together: each fact with its values, and what was asked of it. A figure stands
/// without its value, which the list of figures gives, unless that is a yes or a no. As a bound by itself, so does any
/// fact that has a line of its own.
pub(super) fn met<'s>(
    scene: &Scene<'_>,
    findings: &[Met<'s>],
    beside: Beside<'_, 's>,
    cited: &mut Cited<'s>,
) -> Vec<MetLine> {
    Lines::of(scene, findings, beside, cited).joined().into_iter().map(Line::of_met).collect()
}

/// The same, but each comparison by itself: a fact with its values, and one thing that was asked of it, also where the rule
/// spells that out in its own words.
pub(super) fn met_one_by_one<'s>(
    scene: &Scene<'_>,
    findings: &[Met<'s>],
    beside: Beside<'_, 's>,
    cited: &mut Cited<'s>,
) -> Vec<MetLine> {
    Lines::of(scene, findings, Beside { untitled: true, ..beside }, cited).lines.into_iter().map(Line::of_met).collect()
}

/// The subject of a finding: its place in the record, and the name that the record gives it.
pub fn subject(scene: &Scene<'_>, finding: &Finding) -> (String, Option<String>) {
    (place(&scene.place(finding)), mark(scene, finding))
}

/// The name that the record gives the subject of a finding. There is one job, and the two components are told apart by
/// their places.
fn mark(scene: &Scene<'_>, finding: &Finding) -> Option<String> {
    let covers = scene.rule(finding)?.covers;
    let word = match covers {
        Subject::Job | Subject::Component => return None,
        Subject::Person => "name",
        Subject::Assembly | Subject::Gauge | Subject::Thermometer => "mark",
    };
    let key = scene.packs().catalogue().find(covers, word)?;
    scene.entity(finding)?.facts.text(key).map(str::to_owned)
}

/// What reports call a subject: by the record's own name, where it has one.
pub fn called(mark: Option<&str>, place: &str) -> String {
    match (mark, place) {
        (Some(mark), _) => mark.to_owned(),
        (None, "") => "the job".to_owned(),
        (None, place) => place.strip_prefix("components.").unwrap_or(place).to_owned(),
    }
}

/// A place in the record; the record itself, which is the job as a whole, is the empty text.
pub(super) fn place(path: &Path) -> String {
    if path.is_root() { String::new() } else { path.to_string() }
}

/// Lines in the making.
#[derive(Debug, Default)]
struct Lines<'t, 's> {
    lines: Vec<Line<'s>>,
    /// What stands beside them in the file, where they are of what is met.
    beside: Option<Beside<'t, 's>>,
}

/// What lines of what is met need not say, since it stands beside them. The values of figures do too.
#[derive(Debug, Clone, Copy)]
pub(super) struct Beside<'t, 's> {
    /// The facts whose values stand in other lines.
    told: &'t BTreeSet<FactPlace<'s>>,
    /// The instant of judgement, by whose day and offset instants are told.
    judged_at: &'t str,
    /// Whether no title spells out what was asked.
    untitled: bool,
}

impl<'t, 's> Beside<'t, 's> {
    /// What stands beside the lines of what was met under titles.
    pub(super) const fn new(told: &'t BTreeSet<FactPlace<'s>>, judged_at: &'t str) -> Self {
        Self { told, judged_at, untitled: false }
    }
}

/// One fact with its values, one for each subject that has another, and what was asked of it.
#[derive(Debug)]
struct Line<'s> {
    fact: FactPlace<'s>,
    values: Vec<String>,
    asked: AskedText,
    /// The one value that it was to be, where that is all that was asked.
    due: Option<String>,
}

impl Line<'_> {
    /// The fact with its values.
    fn seen(&self) -> String {
        let mut said = String::with_capacity(64);
        let _ = write!(said, "{}", self.fact);
        for (place, value) in self.values.iter().enumerate() {
            said.push_str(if place == 0 { " " } else { "; " });
            said.push_str(value);
        }
        said
    }

    fn whole(&self) -> String {
        let (seen, asked) = (self.seen(), &self.asked.text);
        if asked.is_empty() { seen } else { [&seen, " ", asked].concat() }
    }

    fn of_met(self) -> MetLine {
        let is_that = matches!((self.values.as_slice(), &self.due), ([value], Some(due)) if value == due);
        MetLine { fact: self.fact.to_string(), seen: self.seen(), asked: self.asked, is_that }
    }
}

impl<'t, 's> Lines<'t, 's> {
    /// The comparisons that met a rule, of all of its subjects.
    fn of(scene: &Scene<'_>, findings: &[Met<'s>], beside: Beside<'t, 's>, cited: &mut Cited<'s>) -> Self {
        let mut lines = Self { beside: Some(beside), ..Self::default() };
        for Met { subject, comparisons } in findings {
            lines.extend(scene, *subject, comparisons, cited);
        }
        lines
    }

    fn extend(
        &mut self,
        scene: &Scene<'_>,
        subject: Option<&Path>,
        comparisons: &[Comparison<'s>],
        cited: &mut Cited<'s>,
    ) {
        for comparison in comparisons {
            cite(comparison, cited);
            self.add(scene, subject, comparison);
        }
    }

    fn add(&mut self, scene: &Scene<'_>, subject: Option<&Path>, comparison: &Comparison<'s>) {
        let fact = comparison.fact.told_from(subject);
        let asked = self.asked(scene, subject, comparison);
        let apart = self.beside.is_some() && comparison.fact.is_figure() && !is_flag(&comparison.value);
        let value = (!apart).then(|| self.value(&comparison.value));
        if let Some(line) = self.lines.iter_mut().find(|line| line.fact == fact && line.asked == asked) {
            line.values.extend(value.filter(|value| !line.values.contains(value)));
        } else {
            let due = self.due(comparison);
            self.lines.push(Line { fact, values: value.into_iter().collect(), asked, due });
        }
    }

    /// A value; among what is met an instant is told by the day and the offset of the judgement.
    fn value(&self, known: &FactValue<'_>) -> String {
        let said = value(known);
        match (&self.beside, known) {
            (Some(beside), FactValue::Is(Value::Instant(_)) | FactValue::Made(Value::Instant(_))) => {
                without_day(&said, beside.judged_at).map_or(said.clone(), str::to_owned)
            }
            _ => said,
        }
    }

    /// The one value that a fact was to be, written out by the rule, and is.
    fn due(&self, comparison: &Comparison<'_>) -> Option<String> {
        let is_equal = matches!(comparison.asked, WasAsked::Test(row) if row.relation == Relation::Equal(true));
        match comparison.bounds.as_slice() {
            [bound] if is_equal && comparison.truth == Truth::True && bound.origins.is_empty() => {
                Some(self.value(&bound.value))
            }
            _ => None,
        }
    }

    /// What was asked of a fact, and that it is not so; nothing where it says nothing.
    fn asked(&self, scene: &Scene<'_>, subject: Option<&Path>, comparison: &Comparison<'_>) -> AskedText {
        let Comparison { asked, bounds, truth, .. } = comparison;
        let is_equal = matches!(asked, WasAsked::Test(row) if row.relation == Relation::Equal(true));
        let untitled = is_equal && self.beside.as_ref().is_some_and(|beside| beside.untitled);
        let spelt_out = asked.is_spelt_out() && bounds.iter().all(|bound| bound.origins.is_empty());
        if *truth == Truth::True && spelt_out && !untitled {
            return AskedText::default();
        }
        let mut said = AskedText::default();
        said.add(asked.signed());
        // What is another fact's value, and met, is that fact's value.
        let alike = is_equal && *truth == Truth::True;
        for (place, bound) in bounds.iter().enumerate() {
            if place > 0 {
                said.text.push(',');
            }
            self.against(scene, subject, bound, alike, &mut said);
        }
        match truth {
            Truth::True => {}
            Truth::False => said.add("= false"),
            Truth::Unknown => said.add("= unknown"),
        }
        said
    }

    /// Adds a bound and what it was made of. An instant that the file or the record inside it states is not
    /// written again, nor is the value of another fact that is alike, or that stands elsewhere.
    fn against(
        &self,
        scene: &Scene<'_>,
        subject: Option<&Path>,
        bound: &ComparedWith<'_>,
        alike: bool,
        said: &mut AskedText,
    ) {
        let stated = match bound.origins.as_slice() {
            [BoundOrigin::Judgement | BoundOrigin::Start | BoundOrigin::Today] => true,
            [BoundOrigin::Fact(place)] => {
                let listed = place.is_figure() && !is_flag(&bound.value);
                alike || self.beside.as_ref().is_some_and(|beside| listed || beside.told.contains(place))
            }
            _ => false,
        };
        if !stated {
            said.add_value(&self.value(&bound.value));
        }
        for origin in &bound.origins {
            match origin {
                BoundOrigin::Limit(id) => said.add(&limit(scene, *id)),
                BoundOrigin::Fact(place) => said.add(&place.told_from(subject).to_string()),
                BoundOrigin::Judgement => said.add("judgement"),
                BoundOrigin::Start => said.add("start"),
                BoundOrigin::Today => said.add("today"),
            }
        }
    }

    /// The lines, those of one fact with the same values joined.
    fn joined(self) -> Vec<Line<'s>> {
        let mut joined: Vec<Line<'s>> = Vec::new();
        for line in self.lines {
            match joined.iter_mut().find(|known| known.fact == line.fact && known.values == line.values) {
                Some(known) => {
                    known.asked.join(&line.asked);
                    known.due = None;
                }
                None => joined.push(line),
            }
        }
        joined
    }
}

/// Whether a value is a yes or a no. One that was computed stands in its line and in no list.
fn is_flag(value: &FactValue<'_>) -> bool {
    matches!(value, FactValue::Is(Value::Flag(_)) | FactValue::Made(Value::Flag(_)))
}

/// Notes the figures that a comparison goes by.
fn cite<'s>(comparison: &Comparison<'s>, cited: &mut Cited<'s>) {
    let origins = comparison.bounds.iter().flat_map(|bound| &bound.origins);
    let bounds = origins.filter_map(|origin| match origin {
        BoundOrigin::Fact(place) => Some(*place),
        _ => None,
    });
    cited.extend(std::iter::once(comparison.fact).chain(bounds).filter(FactPlace::is_figure));
}

/// A limit by its name, with its pack where that is not the first.
fn limit(scene: &Scene<'_>, id: LimitId) -> String {
    let Some(limit) = scene.packs().limits().get(id.0) else { return String::new() };
    match scene.packs().packs().get(limit.pack) {
        Some(pack) if limit.pack > 0 => ["(", &pack.name, "/", &limit.name, ")"].concat(),
        _ => ["(", &limit.name, ")"].concat(),
    }
}
