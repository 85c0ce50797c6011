//! What would clear a finding, in sentences with numbers.

use super::{labels, obstacles, words};
use crate::engine::{Change, Cure, Known, Reach, Scene, Trace};
use crate::figures::FigureId;
use crate::pack::{Term, Test};
use crate::record::catalogue::{assembly, component};
use crate::record::{Subject, Value};
use crate::units::{Dimension, Truth};

/// More alternatives than this are said to exist, not listed.
const MOST_ALTERNATIVES: usize = 3;

/// One sentence for each thing that must change.
pub(super) fn sentences(scene: &Scene<'_>, cure: &Cure<'_>, applies: Option<&Trace<'_>>) -> Vec<String> {
    let mut said: Vec<String> = match cure {
        Cure::AllOf(parts) => parts.iter().map(|part| sentence(scene, part)).collect(),
        other => vec![sentence(scene, other)],
    };
    said.retain(|sentence| !sentence.is_empty());
    said.dedup();
    if let Some(applies) = applies
        && applies.truth() == Truth::Unknown
    {
        let open = unknown_terms(applies);
        if !open.is_empty() {
            said.push(format!("or {} is recorded and shows that the rule does not apply", open.join(" and ")));
        }
    }
    said
}

/// The sentence for a list that the record does not have.
pub(super) fn absent_list(subject: Subject) -> String {
    format!("`{}` is recorded, with an entry for each {}", subject.record_key().unwrap_or_default(), subject.word())
}

fn sentence(scene: &Scene<'_>, cure: &Cure<'_>) -> String {
    match cure {
        Cure::Nothing => String::new(),
        Cure::AllOf(parts) => {
            let parts: Vec<String> = parts.iter().map(|part| sentence(scene, part)).collect();
            parts.join(", and ")
        }
        Cure::OneOf(parts) => {
            let shown: Vec<String> = parts.iter().take(MOST_ALTERNATIVES).map(|part| sentence(scene, part)).collect();
            shown.join("; or ")
        }
        Cure::Change(change) => of_change(scene, change),
        Cure::Collection { of, path, recorded, every, meets } => {
            let place = labels::list_path(path.as_ref(), *of, scene);
            let needs = words::elements(scene, *every, *of, meets);
            if *recorded {
                format!("`{place}` shows {needs}")
            } else {
                format!("`{place}` is recorded and shows {needs}")
            }
        }
    }
}

fn of_change(scene: &Scene<'_>, change: &Change<'_>) -> String {
    let seen = &change.seen;
    let place = seen.left.paths.first().map(ToString::to_string).unwrap_or_default();
    let needs = words::needs(seen, change.wanted);
    match &seen.left.known {
        Known::NotRecorded if matches!(seen.leaf.test, Test::Recorded(_)) => format!("`{place}` is recorded"),
        Known::NotRecorded => format!("`{place}` is recorded; it {needs}"),
        Known::Ahead(at) => {
            format!("`{place}` lies behind: it is dated {at}, after the judgement; do it, then record when")
        }
        Known::Obstacle(why) => format!("`{place}` is put right: {}", obstacles::words(why)),
        known => recorded(scene, change, known, &place, &needs),
    }
}

fn recorded(scene: &Scene<'_>, change: &Change<'_>, known: &Known, place: &str, needs: &str) -> String {
    let seen = &change.seen;
    let whose = whose(scene, change);
    let name = words::term(scene, seen.leaf.term);
    if let Test::ReadWithin(_) = seen.leaf.test {
        return match known {
            Known::Measured(measured) if measured.at.is_none() => format!("`{place}` says when it was read (`at`)"),
            _ => format!("{whose}{name} is taken again: it {needs}"),
        };
    }
    if matches!(seen.leaf.test, Test::Recorded(_)) {
        return format!("`{place}` {needs}");
    }
    if seen.leaf.term == Term::Item {
        let word = words::known(known);
        return format!("{word} at `{place}` is dealt with as said below, and a new look no longer finds it");
    }
    let numeric = matches!(known, Known::Measured(_));
    let mut said = match &change.term {
        Some(reach) if numeric && let Some(ceiling) = barred(change, reach, scene) => {
            return format!("no {name} clears this: it takes {}, and the ratings allow {ceiling}", words::reach(reach));
        }
        // No instrument shows less than nothing, so the reading itself is not what must change.
        Some(reach) if numeric && reach.to.base().is_negative() && reach.to.dimension() != Dimension::Temperature => {
            format!("{whose}{name} is shown by an instrument with less doubt")
        }
        Some(reach) if numeric => {
            let gap = words::gap(reach).map(|gap| format!(" ({gap})")).unwrap_or_default();
            format!("{whose}{name} is {}{gap}{}", words::reach(reach), when(scene, change))
        }
        // Writing another word into the record clears nothing that is not so.
        _ => match (&seen.leaf.test, seen.right.first().map(|right| &right.known), change.wanted) {
            (Test::Is(_), Some(Known::Other(due)), true) => {
                format!("it is so, and `{place}` says {} (now {})", words::value(due), words::known(known))
            }
            _ => format!("`{place}` {} (now {})", needs.replacen("needs ", "is ", 1), words::known(known)),
        },
    };
    if let Some(reach) = &change.operand
        && numeric
        && let Some(term) = seen.right.first().and_then(|right| right.term)
    {
        said = format!("{said}, or {} is {}", words::term(scene, term), words::reach(reach));
    }
    if let Some(unknown) =
        seen.right.iter().find(|right| matches!(right.known, Known::NotRecorded | Known::Obstacle(_)))
    {
        return match (&unknown.known, unknown.paths.first()) {
            (Known::Obstacle(why), Some(path)) => format!("`{path}` is put right: {}", obstacles::words(why)),
            (Known::Obstacle(why), None) => {
                format!("what {name} is compared with is put right: {}", obstacles::words(why))
            }
            (_, Some(path)) => format!("`{path}` is recorded, with which {name} is compared"),
            (_, None) => format!("what {name} is compared with is known"),
        };
    }
    said
}

/// The ceiling that the ratings set, where a higher target than that would be needed.
fn barred(change: &Change<'_>, reach: &Reach, scene: &Scene<'_>) -> Option<String> {
    if change.seen.leaf.term != Term::Fact(assembly::TARGET_PRESSURE) || !reach.upward {
        return None;
    }
    let (_, assembly) = change.seen.here.entity(Subject::Assembly)?;
    let Value::Measured(ceiling) = scene.compute(FigureId::PressureCeiling, assembly).ok()? else { return None };
    (reach.to.base() > ceiling.interval.lo()).then(|| words::figure(&ceiling))
}

/// When the change comes about by itself, where a figure tells: a cold container warms at its logged rate.
fn when(scene: &Scene<'_>, change: &Change<'_>) -> String {
    if change.seen.leaf.term != Term::Fact(component::CORE_TEMPERATURE) {
        return String::new();
    }
    let warm =
        change.seen.here.entity(Subject::Component).and_then(|(_, side)| scene.compute(FigureId::WarmAt, side).ok());
    match warm {
        Some(Value::Instant(at)) if at > scene.at() => format!("; at the logged rate about {at}"),
        _ => String::new(),
    }
}

/// The subject that a change speaks of, where a job has several, such as `isocyanate: `.
fn whose(scene: &Scene<'_>, change: &Change<'_>) -> String {
    let subject = match change.seen.leaf.term {
        Term::Fact(key) | Term::ReadAt(key) | Term::ReadWith(key) | Term::ReadDoubt(key) => key.subject,
        Term::Figure(id) => id.spec().map_or(Subject::Job, |spec| spec.subject),
        Term::Item => Subject::Job,
    };
    match change.seen.here.entity(subject) {
        Some((index, _)) if subject != Subject::Job => {
            scene.label(subject, index).map(|label| format!("{label}: ")).unwrap_or_default()
        }
        _ => String::new(),
    }
}

/// The places of the terms that leave a condition unknown.
fn unknown_terms(trace: &Trace<'_>) -> Vec<String> {
    match trace {
        Trace::All(_, parts) | Trace::Any(_, parts) => {
            parts.iter().filter(|part| part.truth() == Truth::Unknown).flat_map(unknown_terms).collect()
        }
        Trace::Not(_, inner) => unknown_terms(inner),
        Trace::Elements { path, recorded: false, .. } => path.iter().map(|path| format!("`{path}`")).collect(),
        Trace::Elements { parts, .. } => parts
            .iter()
            .filter(|(_, part)| part.truth() == Truth::Unknown)
            .flat_map(|(_, part)| unknown_terms(part))
            .collect(),
        Trace::Leaf(leaf) if leaf.truth == Truth::Unknown => {
            let sides = std::iter::once(&leaf.left).chain(&leaf.right);
            sides
                .filter(|seen| !matches!(&seen.known, Known::Other(Value::Text(_))))
                .flat_map(|seen| seen.paths.iter().map(|path| format!("`{path}`")))
                .collect()
        }
        Trace::Leaf(_) => Vec::new(),
    }
}
