//! What would clear a finding, in sentences with numbers: the ways that were tried on the record.

use super::{obstacles, words};
use crate::document::Path;
use crate::engine::{Act, ActKind, Finding, InTheWay, Known, Remedy, Scene, Seen, Trace, Way};
use crate::figures::FigureId;
use crate::pack::{Rule, Term};
use crate::record::catalogue::component;
use crate::record::{FactKey, Kind, Value};
use crate::units::{Instant, Truth};
use crate::vocabulary::Subject;

/// One line for each thing that must change, or one for all where there is a choice; behind the first line each says how it
/// goes on from those before it, `and ...` or `or ...`.
pub(super) fn sentences(
    scene: &Scene<'_>,
    rule: &Rule,
    remedy: &Remedy,
    demands: Option<&Trace<'_>>,
    applies: Option<&Trace<'_>>,
) -> Vec<String> {
    let parts = demands.map(Trace::in_the_way).unwrap_or_default();
    let cure = parts.as_slice();
    let mut said = match remedy.ways.as_slice() {
        [] => vec![match &remedy.at_a_price {
            Some((way, spoiled)) => at_a_price(scene, cure, way, spoiled),
            None => beyond(scene, rule, cure),
        }],
        [way] => way.acts.iter().map(|act| of_act(scene, cure, act)).collect(),
        ways => vec![ways.iter().map(|way| of_way(scene, cure, way)).collect::<Vec<_>>().join("; or ")],
    };
    said.dedup();
    for further in said.iter_mut().skip(1) {
        further.insert_str(0, "and ");
    }
    if let Some(applies) = applies
        && applies.truth() == Truth::Unknown
    {
        let mut open = unknown_terms(applies);
        let mut seen = std::collections::BTreeSet::new();
        open.retain(|place| seen.insert(place.clone()));
        if !open.is_empty() {
            let or = if said.is_empty() { "" } else { "or " };
            said.push(format!("{or}{} is recorded and shows that the rule does not apply", open.join(" and ")));
        }
    }
    said
}

fn of_way(scene: &Scene<'_>, cure: &[InTheWay<'_, '_>], way: &Way) -> String {
    let acts: Vec<String> = way.acts.iter().map(|act| of_act(scene, cure, act)).collect();
    acts.join(", and ")
}

/// What clears it alone puts something else out of order.
fn at_a_price(scene: &Scene<'_>, cure: &[InTheWay<'_, '_>], way: &Way, spoiled: &[Finding]) -> String {
    let mut rules: Vec<String> =
        spoiled.iter().filter_map(|finding| scene.rule(finding)).map(|rule| format!("`{}`", rule.name)).collect();
    rules.dedup();
    format!("nothing alone clears it: once {}, {} would hold the job", of_way(scene, cure, way), rules.join(" and "))
}

/// Nothing that can be tried on the record clears it: what is in the way, and who decides.
fn beyond(scene: &Scene<'_>, rule: &Rule, cure: &[InTheWay<'_, '_>]) -> String {
    let (open, written) = places(cure);
    let asked = words::condition(scene, &rule.demands);
    if !open.is_empty() {
        return format!("{} shows {asked}", open.join(" and "));
    }
    let decides = match &rule.permit {
        Some(permit) => format!("only the {} can decide to go on", permit.by),
        None => "nobody can permit going on".to_owned(),
    };
    let instead =
        if is_logged(scene, cure) { "only a new log" } else { "only another tyre, part, instrument or person" };
    let instead = format!("{instead} shows {asked}, and {decides}");
    match written.first() {
        Some(place) => format!("{place} stands as it is: {instead}"),
        None => instead,
    }
}

/// Whether a log is in the way: what is written in one cannot be changed.
fn is_logged(scene: &Scene<'_>, cure: &[InTheWay<'_, '_>]) -> bool {
    let is_log =
        |key: &FactKey| scene.packs().catalogue().spec(*key).is_some_and(|spec| matches!(spec.kind, Kind::Log(_)));
    let mut terms = seen(cure).filter_map(|seen| seen.term);
    terms.any(|term| {
        let Term::Figure(id) = term else { return false };
        id.spec().is_some_and(|spec| spec.inputs.iter().any(|(key, _)| is_log(key)))
    })
}

/// What was seen on either side of the comparisons in the way.
fn seen<'t>(cure: &'t [InTheWay<'t, '_>]) -> impl Iterator<Item = &'t Seen> {
    cure.iter().flat_map(|part| match part {
        InTheWay::Comparison { leaf, .. } => Some(std::iter::once(&leaf.left).chain(&leaf.right)).into_iter().flatten(),
        InTheWay::List { .. } => None.into_iter().flatten(),
    })
}

/// The places of what is not recorded, and of what is and is in the way.
fn places(cure: &[InTheWay<'_, '_>]) -> (Vec<String>, Vec<String>) {
    let (mut open, mut written) = (Vec::new(), Vec::new());
    for part in cure {
        match part {
            InTheWay::List { path, recorded, .. } => {
                let into = if *recorded { &mut written } else { &mut open };
                into.extend(path.iter().map(|path| format!("`{path}`")));
            }
            InTheWay::Comparison { leaf, .. } => {
                for seen in std::iter::once(&leaf.left).chain(&leaf.right) {
                    let into = if matches!(seen.known, Known::NotRecorded) { &mut open } else { &mut written };
                    let place = |path: &Path| match &seen.known {
                        Known::Obstacle(why) => format!("`{path}` ({})", obstacles::words(why)),
                        _ => format!("`{path}`"),
                    };
                    let new: Vec<String> = seen.paths.iter().map(place).filter(|place| !into.contains(place)).collect();
                    into.extend(new);
                }
            }
        }
    }
    (open, written)
}

fn of_act(scene: &Scene<'_>, cure: &[InTheWay<'_, '_>], act: &Act) -> String {
    let key = act.key();
    let catalogue = scene.packs().catalogue();
    let subject = scene.job().of(key.subject).and_then(|entities| entities.get(act.edit.entity));
    let present = subject.and_then(|subject| subject.facts.get(key));
    let path = subject.map(|subject| subject.path_of(catalogue, key));
    let place = match (&path, key.subject.record_key()) {
        (Some(path), _) => path.to_string(),
        (None, Some(list)) => {
            let fact = catalogue.spec(key).map_or("", |spec| spec.name.as_ref());
            format!("{list}[{}].{fact}", act.edit.entity)
        }
        (None, None) => catalogue.full_name(key),
    };
    let name = words::term(scene, Term::Fact(key));
    let whose = whose(scene, key, act.edit.entity);
    let value = words::value(&act.edit.value);
    match &act.kind {
        ActKind::Number(reach) if present.is_none() => {
            format!("`{place}` is recorded; it needs {}", words::reach(reach))
        }
        ActKind::Number(reach) => {
            let gap = words::gap(reach).map(|gap| format!(" ({gap})")).unwrap_or_default();
            format!("{whose}{name} is {}{gap}{}", words::reach(reach), when(scene, act))
        }
        ActKind::Moment { later } => {
            let side = if *later { "later" } else { "earlier" };
            match present {
                None => format!("`{place}` is recorded; it needs {value} or {side}"),
                Some(now) => format!("{whose}{name} is {value} or {side} (now {})", words::value(now)),
            }
        }
        ActKind::Becomes => match present {
            None => format!("`{place}` is recorded; it needs {value}"),
            Some(now) => format!("`{place}` can truthfully say {value} (now {})", words::value(now)),
        },
        ActKind::Recorded => match path.as_ref().and_then(|path| obstacle(cure, path)) {
            Some(why) => format!("`{place}` is put right: {why}"),
            None if subject.is_none() => {
                format!("`{place}` is recorded, with an entry for each {}", key.subject.word())
            }
            None => format!("`{place}` is recorded"),
        },
        ActKind::Again { from } => match (present, catalogue.spec(key).map(|spec| &spec.kind)) {
            (None, _) => format!("it is done, and `{place}` says when"),
            (Some(Value::Measured(measured)), _) if measured.at.is_none() => {
                format!("`{place}` says when it was read (`at`), and that is recent enough")
            }
            (Some(_), Some(Kind::Reading(_))) => {
                format!("{whose}{name} is read again{}, and `{place}` says what and when", or_later(*from))
            }
            (Some(now), _) => {
                format!("it is done again{}, and `{place}` says when (now {})", or_later(*from), words::value(now))
            }
        },
        ActKind::WithoutWord(word) => {
            format!("`{word}` at `{place}` is dealt with, and a new look no longer finds it")
        }
        ActKind::WithWord(word) => format!("`{place}` can truthfully name `{word}`"),
        ActKind::Added => match key.subject.record_key() {
            Some(list) if scene.job().of(key.subject).is_none() => {
                format!("`{list}` is recorded, with an entry for each {}", key.subject.word())
            }
            _ => format!("one more {} stands in the record", key.subject.word()),
        },
        ActKind::Instrument => {
            format!("`{place}` names the instrument that read it, or its own uncertainty")
        }
    }
}

/// From when a reading is recent enough for a start that lies ahead.
fn or_later(from: Option<Instant>) -> String {
    from.map(|from| format!(" at {from} or later")).unwrap_or_default()
}

/// Why a fact that is recorded cannot be used, where a figure says so.
fn obstacle(cure: &[InTheWay<'_, '_>], place: &Path) -> Option<String> {
    seen(cure).find_map(|seen| match &seen.known {
        Known::Obstacle(why) if seen.paths.contains(place) => Some(obstacles::words(why)),
        _ => None,
    })
}

/// When the change comes about by itself, where a figure tells: a cold container warms at its logged rate.
fn when(scene: &Scene<'_>, act: &Act) -> String {
    if act.key() != component::CORE_TEMPERATURE {
        return String::new();
    }
    let side = scene.job().of(Subject::Component).and_then(|sides| sides.get(act.edit.entity));
    match side.map(|side| scene.compute(FigureId::WarmAt, side)) {
        Some(Ok(Value::Instant(at))) if at > scene.at() => format!("; at the logged rate about {at}"),
        _ => String::new(),
    }
}

/// The subject that an act is about, where a job has several, such as `isocyanate: `.
fn whose(scene: &Scene<'_>, key: FactKey, entity: usize) -> String {
    match scene.label(key.subject, entity) {
        Some(label) if key.subject != Subject::Job => format!("{label}: "),
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
