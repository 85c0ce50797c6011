//! Evidence: the comparisons that decided a finding, as data.
//!
//! It is made once from the trace. Signed files hold it, permits and judging again compare it, and reports draw their
//! words from it; so a word can be changed without a signed file noticing. This module must not know words or files.

use super::trace::{Decider, Known, Seen, TraceLeaf, trace};
use super::{Finding, Here, Scene};
use crate::document::Path;
use crate::pack::condition::{Base, Factor, Offset};
use crate::pack::{Condition, LimitId, Operand, Term, Test};
use crate::record::Value;
use crate::units::Truth;
use crate::vocabulary::Subject;

/// What decided a finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// What makes the rule apply, or leaves open whether it does; empty where it always applies.
    pub applies: Vec<Comparison>,
    /// What meets the demand, breaks it or leaves it open.
    pub demands: Vec<Comparison>,
}

/// One comparison: a fact, what was asked of it, and what came out.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Where the fact stands, or should stand, in the record; a figure stands under `figure` of its subject.
    pub fact: Path,
    /// What is known of it.
    pub value: Known,
    /// The word of the language for what was asked.
    pub test: &'static str,
    /// What it was compared with.
    pub bounds: Vec<ComparedWith>,
    /// What came out.
    pub truth: Truth,
}

/// One bound of a comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparedWith {
    /// Its value at the judgement, factor and offset counted in.
    pub value: Known,
    /// What it was made of; empty where it is written in the rule.
    pub origins: Vec<BoundOrigin>,
}

/// What a bound was made of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BoundOrigin {
    /// A named limit.
    Limit(LimitId),
    /// Another fact or figure, by its place.
    Fact(Path),
    /// The instant of the judgement.
    Judgement,
    /// The start of the fill, or the judgement where that is later.
    Start,
    /// The start of its day.
    Today,
}

impl Scene<'_> {
    /// What decided a finding: all comparisons that were met where it is met, those that were not where it is not.
    pub fn evidence(&self, finding: &Finding) -> Evidence {
        let Some(rule) = self.rule(finding) else { return Evidence { applies: Vec::new(), demands: Vec::new() } };
        let Some(entity) = finding.entity else {
            // Of a list that is not recorded nothing is known, and nothing else is asked.
            let fact = rule.covers.record_key().map_or_else(Path::root, |key| Path::root().child(key));
            return Evidence { applies: Vec::new(), demands: vec![absent(fact, "recorded")] };
        };
        let here = self.here(rule.covers, Some(entity));
        let decided = |condition: &Condition| {
            let mut found = Vec::new();
            for decider in trace(self, condition, &here).deciders() {
                let comparison = self.comparison_of(&decider);
                if !found.contains(&comparison) {
                    found.push(comparison);
                }
            }
            found
        };
        Evidence { applies: rule.applies.as_ref().map(decided).unwrap_or_default(), demands: decided(&rule.demands) }
    }

    /// The place of the subject of a finding in the record: the root for the job itself, the list where it is missing.
    pub fn place(&self, finding: &Finding) -> Path {
        match (self.entity(finding), self.rule(finding).and_then(|rule| rule.covers.record_key())) {
            (Some(entity), _) => entity.path.clone(),
            (None, Some(key)) => Path::root().child(key),
            (None, None) => Path::root(),
        }
    }

    fn comparison_of(&self, decider: &Decider<'_, '_>) -> Comparison {
        match decider {
            Decider::Leaf(leaf) => self.comparison(leaf),
            Decider::List { every, path, recorded, truth, .. } => {
                let test = if *every { "for_each" } else { "for_some" };
                let fact = path.cloned().unwrap_or_default();
                if !recorded {
                    return absent(fact, test);
                }
                let value = Known::Other(Value::Words(Vec::new()));
                Comparison { fact, value, test, bounds: Vec::new(), truth: *truth }
            }
        }
    }

    fn comparison(&self, leaf: &TraceLeaf<'_>) -> Comparison {
        let (fact, value) = self.left(leaf);
        let literal = |value: &Value| ComparedWith { value: Known::Other(value.clone()), origins: Vec::new() };
        let bounds = match &leaf.leaf.test {
            Test::Recorded(wanted) => vec![literal(&Value::Flag(*wanted))],
            Test::OneOf(values) | Test::NoneOf(values) => values.iter().map(literal).collect(),
            test => test.operands().zip(&leaf.right).map(|(of, seen)| self.bound(of, seen, &leaf.here)).collect(),
        };
        Comparison { fact, value, test: leaf.leaf.test.row().word, bounds, truth: leaf.truth }
    }

    /// The place and the value that were looked at; of a reading whose age was asked, its instant.
    fn left(&self, leaf: &TraceLeaf<'_>) -> (Path, Known) {
        let fact = self.place_of(leaf.leaf.term, &leaf.here);
        match (&leaf.leaf.test, &leaf.left.known) {
            (Test::ReadWithin(_), Known::Measured(measured)) => {
                let at = measured.at.map_or(Known::NotRecorded, |at| Known::Other(Value::Instant(at)));
                (fact.child("at"), at)
            }
            (_, known) => (fact, known.clone()),
        }
    }

    fn bound(&self, of: &Operand, seen: &Seen, here: &Here<'_>) -> ComparedWith {
        let base = match of.base {
            Base::Literal(_) => None,
            Base::Limit(id) => Some(BoundOrigin::Limit(id)),
            Base::Term(term) => Some(BoundOrigin::Fact(self.place_of(term, here))),
            Base::Judgement => Some(BoundOrigin::Judgement),
            Base::Start => Some(BoundOrigin::Start),
            Base::Today => Some(BoundOrigin::Today),
        };
        let factor = match of.times {
            Some(Factor::Limit(id)) => Some(BoundOrigin::Limit(id)),
            _ => None,
        };
        let offset = match of.plus {
            Some(Offset::Limit(id) | Offset::LessLimit(id)) => Some(BoundOrigin::Limit(id)),
            _ => None,
        };
        ComparedWith { value: seen.known.clone(), origins: [base, factor, offset].into_iter().flatten().collect() }
    }

    /// Where a term stands, or should stand.
    fn place_of(&self, term: Term, here: &Here<'_>) -> Path {
        let entity = |subject: Subject| match here.entity(subject) {
            Some((_, entity)) => entity.path.clone(),
            None => subject.record_key().map_or_else(Path::root, |key| Path::root().child(key)),
        };
        match term {
            Term::Figure(id) => match id.spec() {
                Some(spec) => entity(spec.subject).child("figure").child(spec.name),
                None => Path::root(),
            },
            Term::Fact(key) if here.entity(key.subject).is_none() => {
                let name = self.packs().catalogue().spec(key).map(|spec| spec.name.clone()).unwrap_or_default();
                name.split('.').fold(entity(key.subject), |path, step| path.child(step))
            }
            _ => self.seen(term, here).paths.into_iter().next().unwrap_or_default(),
        }
    }
}

fn absent(fact: Path, test: &'static str) -> Comparison {
    Comparison { fact, value: Known::NotRecorded, test, bounds: Vec::new(), truth: Truth::Unknown }
}
