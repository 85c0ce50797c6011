//! What stands in the way because it is not known, in trade words.
//!
//! Must not know what would clear it.

use std::collections::BTreeSet;

use crate::engine::{InTheWay, Known, Scene, Trace, TraceLeaf};
use crate::explain::{obstacles, parts, words};
use crate::figures::Lack;
use crate::pack::{Collection, Term};
use crate::record::Value;
use crate::units::Truth;

/// What is in the way because it is not recorded, or cannot be used, in trade words.
pub(super) fn open(scene: &Scene<'_>, cure: &[InTheWay<'_, '_>]) -> Vec<String> {
    let mut open: Vec<String> = Vec::new();
    // A rule of the whole job asks for the same of each of many assemblies.
    let mut named_before = BTreeSet::new();
    for part in cure {
        let (terms, known) = match part {
            InTheWay::List { of: Collection::Words(key), recorded: false, .. } => (vec![Term::Fact(*key)], None),
            InTheWay::List { .. } => (Vec::new(), None),
            InTheWay::Comparison { leaf, .. } => {
                let missing = parts::sides(leaf)
                    .find(|seen| matches!(seen.known, Known::NotRecorded | Known::Obstacle(_)) && seen.term.is_some());
                let terms = missing.and_then(|seen| seen.term).map(|term| to_record(scene, term, leaf));
                (terms.unwrap_or_default(), missing.map(|seen| &seen.known))
            }
        };
        let why = match known {
            Some(Known::Obstacle(why)) => format!(" ({})", obstacles::fragment(why)),
            _ => String::new(),
        };
        let named = terms.into_iter().map(|term| format!("{}{why}", words::term(scene, term)));
        open.extend(named.filter(|named| named_before.insert(named.clone())));
    }
    open
}

/// What is to be recorded of a term that is not known: nobody records what is computed, so of a figure the facts that it
/// lacks.
pub(super) fn to_record(scene: &Scene<'_>, term: Term, leaf: &TraceLeaf<'_>) -> Vec<Term> {
    let Term::Figure(id) = term else { return vec![term] };
    let figure = id.spec().and_then(|spec| {
        let (index, _) = leaf.here.entity(spec.subject)?;
        scene.figure(id, spec.subject, index)
    });
    let lacking = figure.and_then(|figure| figure.as_ref().err()).map_or(&[][..], Lack::facts);
    if lacking.is_empty() { vec![term] } else { lacking.iter().map(|key| Term::Fact(*key)).collect() }
}

/// What leaves a condition unknown, in trade words.
pub(super) fn unknown_terms(scene: &Scene<'_>, trace: &Trace<'_>) -> Vec<String> {
    let of = |trace: &Trace<'_>| unknown_terms(scene, trace);
    match trace {
        Trace::All(_, parts) | Trace::Any(_, parts) => {
            parts.iter().filter(|part| part.truth() == Truth::Unknown).flat_map(of).collect()
        }
        Trace::Not(_, inner) => of(inner),
        Trace::Elements { of: Collection::Words(key), recorded: false, .. } => {
            vec![words::term(scene, Term::Fact(*key))]
        }
        Trace::Elements { of: Collection::Subjects(subject), recorded: false, .. } => {
            subject.record_key().map(|list| format!("the list of {list}")).into_iter().collect()
        }
        Trace::Elements { parts, .. } => {
            parts.iter().filter(|(_, part)| part.truth() == Truth::Unknown).flat_map(|(_, part)| of(part)).collect()
        }
        Trace::Leaf(leaf) if leaf.truth == Truth::Unknown => {
            let sides = std::iter::once(&leaf.left).chain(&leaf.right);
            let sides = sides.filter(|seen| !matches!(&seen.known, Known::Other(Value::Text(_))));
            let terms = sides.filter_map(|seen| seen.term).flat_map(|term| to_record(scene, term, leaf));
            terms.map(|term| words::term(scene, term)).collect()
        }
        Trace::Leaf(_) => Vec::new(),
    }
}
