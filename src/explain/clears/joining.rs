//! Who is to join the people of a record, where a rule looks for somebody among them.
//!
//! Must not know what else would clear it.

use crate::engine::{Known, Seen, Trace, TraceLeaf};
use crate::explain::words;
use crate::pack::test::Relation;
use crate::pack::{Collection, Term};
use crate::record::Value;
use crate::record::catalogue::person;
use crate::units::Truth;
use crate::vocabulary::Subject;

/// Where somebody is missing from the crew and nobody of it can take the place: the person who joins it.
pub(super) fn joins(trace: &Trace<'_>) -> Option<String> {
    match trace {
        Trace::Elements { every: false, of: Collection::Subjects(Subject::Person), recorded: true, parts, .. } => {
            match parts.iter().find_map(|(_, part)| wanted(part)) {
                // The person wanted is present and fails another part; nobody can replace them.
                Some(_) if parts.iter().filter_map(|(_, part)| wanted(part)).any(|leaf| leaf.truth == Truth::True) => {
                    None
                }
                Some(leaf) => Some(format!(
                    "{} is recorded among the people, with the role and the training that are so",
                    words::known(&leaf.right.first()?.known)
                )),
                None => Some("one more person, who does what nobody does yet, is there and is recorded".to_owned()),
            }
        }
        Trace::All(_, parts) => match parts.as_slice() {
            [only] => joins(only),
            _ => None,
        },
        _ => None,
    }
}

/// The same of what a rule asks where it asks it of several: whoever is named and stands nowhere among the people.
pub(super) fn named_joins(trace: &Trace<'_>) -> Option<String> {
    match trace {
        Trace::All(_, parts) => {
            let mut open = parts.iter().filter(|part| part.truth() != Truth::True);
            open.next().filter(|_| open.next().is_none()).and_then(named_joins)
        }
        Trace::Any(_, parts) => parts.iter().find_map(named_joins),
        Trace::Elements { parts, .. } if parts.iter().any(|(_, part)| wanted(part).is_some()) => joins(trace),
        _ => None,
    }
}

/// The comparison by which a person whom the record names elsewhere is looked for among the people.
fn wanted<'t, 'a>(trace: &'t Trace<'a>) -> Option<&'t TraceLeaf<'a>> {
    let is_named = |leaf: &TraceLeaf<'_>| {
        let by_name = matches!(leaf.leaf.term, Term::Fact(key) if key == person::NAME);
        let is_text = |seen: &Seen| seen.term.is_some() && matches!(seen.known, Known::Other(Value::Text(_)));
        by_name && leaf.leaf.test.row().relation == Relation::Equal(true) && leaf.right.iter().any(is_text)
    };
    match trace {
        Trace::All(_, parts) => parts.iter().find_map(wanted),
        Trace::Leaf(leaf) if is_named(leaf) => Some(leaf),
        _ => None,
    }
}
