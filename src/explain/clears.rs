//! What would clear a finding, in sentences with numbers: the ways that were tried on the record.

use super::{obstacles, words};
use crate::document::Path;
use crate::engine::{Act, ActKind, Finding, InTheWay, Known, Remedy, Scene, Seen, Trace, Way};
use crate::figures::FigureId;
use crate::pack::{Rule, Term};
use crate::record::catalogue::{READ_OFF, component};
use crate::record::{Entity, FactKey, Kind, Value};
use crate::units::{Instant, Rounding, Truth};
use crate::vocabulary::{HoldPoint, Subject};

/// One line for each thing that must change, or one for all where there is a choice; behind the first line each says how it
/// goes on from those before it, `and ...` or `or ...`.
pub(super) fn sentences(
    scene: &Scene<'_>,
    (rule, finding): (&Rule, &Finding),
    remedy: &Remedy,
    demands: Option<&Trace<'_>>,
    applies: Option<&Trace<'_>>,
) -> Vec<String> {
    let at = At { scene, about: scene.entity(finding) };
    let parts = demands.map(Trace::in_the_way).unwrap_or_default();
    let cure = parts.as_slice();
    let alone = remedy.ways.is_empty();
    let price =
        remedy.at_a_price.as_ref().map(|(way, spoiled)| at_a_price(&at, cure, (way, spoiled.as_slice()), alone));
    let mut said = match (price, remedy.ways.as_slice()) {
        (None, []) => vec![beyond(&at, rule, cure)],
        (None, [way]) => way.acts.iter().map(|act| of_act(&at, cure, act)).collect(),
        (None, ways) if one_of_words(ways).is_some() => {
            one_of_words(ways).iter().map(|acts| becomes(&at, acts)).collect()
        }
        (price, ways) => {
            let each: Vec<String> = ways.iter().map(|way| of_way(&at, cure, way)).collect();
            let either = (!each.is_empty()).then(|| each.join("; or "));
            vec![either.into_iter().chain(price).collect::<Vec<_>>().join("; ")]
        }
    };
    said.dedup();
    for further in said.iter_mut().skip(1) {
        further.insert_str(0, "and ");
    }
    if let Some(applies) = applies
        && applies.truth() == Truth::Unknown
    {
        let mut open = unknown_terms(&at, applies);
        let mut seen = std::collections::BTreeSet::new();
        open.retain(|place| seen.insert(place.clone()));
        if !open.is_empty() {
            let or = if said.is_empty() { "" } else { "or " };
            let (is, shows) = if open.len() == 1 { ("is", "shows") } else { ("are", "show") };
            said.push(format!("{or}{} {is} recorded and {shows} that the rule does not apply", listed(&open)));
        }
    }
    said
}

/// Where things stand in the record, seen from what a finding is about.
#[derive(Debug, Clone, Copy)]
struct At<'s, 'a> {
    scene: &'s Scene<'a>,
    about: Option<&'s Entity>,
}

impl At<'_, '_> {
    /// A place of the record: within what the finding is about by its own name, elsewhere with whose it is.
    fn place(self, path: &Path) -> String {
        let inside = |entity: &Entity| {
            let own = path.steps().strip_prefix(entity.path.steps()).filter(|own| !own.is_empty())?;
            let mut within = Path::root();
            for step in own {
                within.push(step.clone());
            }
            Some(within)
        };
        // The job as a whole holds every place; of what is one of several it is said whose it is.
        if let Some(within) = self.about.filter(|about| !about.path.is_root()).and_then(inside) {
            return format!("`{within}`");
        }
        let several = Subject::ALL.into_iter().filter(|subject| *subject != Subject::Job);
        let mut entities = several.filter_map(|subject| self.scene.job().of(subject)).flatten();
        match entities.find_map(|entity| Some((inside(entity)?, &entity.label))) {
            Some((within, label)) => format!("`{within}` of {label}"),
            None => format!("`{path}`"),
        }
    }
}

/// Several things in one list.
fn listed(things: &[String]) -> String {
    match things.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => things.concat(),
    }
}

/// The acts of ways that are each of one act and record another word of one fact.
fn one_of_words(ways: &[Way]) -> Option<Vec<&Act>> {
    let acts: Option<Vec<&Act>> =
        ways.iter().map(|way| if let [act] = way.acts.as_slice() { Some(act) } else { None }).collect();
    let acts = acts?;
    let first = acts.first()?;
    let alike = |act: &&Act| {
        matches!(act.kind, ActKind::Becomes) && act.key() == first.key() && act.edit.entity == first.edit.entity
    };
    acts.iter().all(alike).then_some(acts)
}

/// What is there has been put right, and is recorded by one of several words.
fn becomes(at: &At<'_, '_>, acts: &[&Act]) -> String {
    let Some(first) = acts.first() else { return String::new() };
    let (key, entity) = (first.key(), first.edit.entity);
    let subject = at.scene.job().of(key.subject).and_then(|entities| entities.get(entity));
    let values: Vec<String> = acts.iter().map(|act| words::bare(&act.edit.value)).collect();
    let Some((subject, present)) = subject.and_then(|subject| Some((subject, subject.facts.get(key)?))) else {
        let place = subject.map_or_else(
            || format!("`{}`", at.scene.packs().catalogue().full_name(key)),
            |subject| at.place(&subject.path_of(at.scene.packs().catalogue(), key)),
        );
        return format!("{place} is recorded; it needs `{}`", values.join("` or `"));
    };
    let place = at.place(&subject.path_of(at.scene.packs().catalogue(), key));
    let (path, whose) = parted(&place);
    let values = values.join("` or `");
    format!(
        "this is put right as the rule says, and recorded as `{path}: {values}`{whose} (now `{}`)",
        words::bare(present)
    )
}

fn of_way(at: &At<'_, '_>, cure: &[InTheWay<'_, '_>], way: &Way) -> String {
    let acts: Vec<String> = way.acts.iter().map(|act| of_act(at, cure, act)).collect();
    acts.join(", and ")
}

/// What clears it puts something else out of order; `alone` where there is no other way.
fn at_a_price(at: &At<'_, '_>, cure: &[InTheWay<'_, '_>], (way, spoiled): (&Way, &[Finding]), alone: bool) -> String {
    let mut rules: Vec<String> =
        spoiled.iter().filter_map(|finding| at.scene.rule(finding)).map(|rule| format!("`{}`", rule.name)).collect();
    rules.dedup();
    let (way, rules) = (of_way(at, cure, way), listed(&rules));
    let nothing = if alone { "nothing alone" } else { "nothing else" };
    format!("{nothing} clears it: once {way}, {rules} would hold the job")
}

/// Nothing that can be tried on the record clears it: what is in the way, and who decides.
fn beyond(at: &At<'_, '_>, rule: &Rule, cure: &[InTheWay<'_, '_>]) -> String {
    let scene = at.scene;
    let (open, written) = places(at, cure);
    let asked = words::condition(scene, &rule.demands);
    if !open.is_empty() {
        return format!("{} {}: {asked}", listed(&open), if open.len() == 1 { "shows" } else { "show" });
    }
    let decides = match &rule.permit {
        Some(permit) => format!("only the {} can decide to go on", super::role(&permit.by)),
        None => "nobody may waive it".to_owned(),
    };
    if is_logged(scene, cure) {
        let instead = format!("a new log shows: {asked}; {decides}");
        return match written.first() {
            Some(place) => format!("{place} stays as it is, and {instead}"),
            None => instead,
        };
    }
    if let Some(place) = written.first()
        && rule.asked_at.iter().all(|point| *point >= HoldPoint::AfterFill)
    {
        return format!(
            "{place} is checked again and was wrong, or the steps of the rule are followed to their end; {decides}"
        );
    }
    let instead = format!("another tyre, part, instrument or person shows: {asked}; {decides}");
    match written.first() {
        Some(place) => format!("{place} is checked again and was wrong, or {instead}"),
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
fn places(at: &At<'_, '_>, cure: &[InTheWay<'_, '_>]) -> (Vec<String>, Vec<String>) {
    let (mut open, mut written) = (Vec::new(), Vec::new());
    for part in cure {
        match part {
            InTheWay::List { path, recorded, .. } => {
                let into = if *recorded { &mut written } else { &mut open };
                into.extend(path.iter().map(|path| at.place(path)));
            }
            InTheWay::Comparison { leaf, .. } => {
                for seen in std::iter::once(&leaf.left).chain(&leaf.right) {
                    let into = if matches!(seen.known, Known::NotRecorded) { &mut open } else { &mut written };
                    let place = |path: &Path| match &seen.known {
                        Known::Obstacle(why) => format!("{} ({})", at.place(path), obstacles::words(why)),
                        _ => at.place(path),
                    };
                    let new: Vec<String> = seen.paths.iter().map(place).filter(|place| !into.contains(place)).collect();
                    into.extend(new);
                }
            }
        }
    }
    (open, written)
}

/// The name of a fact within its subject.
fn short_name<'s>(scene: &'s Scene<'_>, key: FactKey) -> &'s str {
    scene.packs().catalogue().spec(key).map_or("", |spec| spec.name.as_ref())
}

fn of_act(at: &At<'_, '_>, cure: &[InTheWay<'_, '_>], act: &Act) -> String {
    let (scene, key) = (at.scene, act.key());
    let catalogue = scene.packs().catalogue();
    let subject = scene.job().of(key.subject).and_then(|entities| entities.get(act.edit.entity));
    let present = subject.and_then(|subject| subject.facts.get(key));
    let path = subject.map(|subject| subject.path_of(catalogue, key));
    let place = match (&path, key.subject) {
        (Some(path), _) => at.place(path),
        (None, Subject::Job) => format!("`{}`", catalogue.full_name(key)),
        // Of what is not listed yet the way has said that it is.
        (None, _) => format!("`{}` there", short_name(scene, key)),
    };
    let name = words::term(scene, Term::Fact(key));
    let whose = whose(scene, key, act.edit.entity);
    let value = words::value(&act.edit.value);
    match &act.kind {
        ActKind::Number(reach) if present.is_none() => {
            format!("{place} is recorded; it needs {}", words::reach(reach))
        }
        ActKind::Number(reach) => {
            let gap = words::gap(reach).map(|gap| format!(" ({gap})")).unwrap_or_default();
            format!("{whose}{name} is {}{gap}{}", words::reach(reach), when(scene, act))
        }
        ActKind::Between { low, high } if low.base() == high.base() => {
            format!("{whose}{name} is {}{}", words::rounded(*low, Rounding::Nearest), as_it_is(present))
        }
        ActKind::Between { low, high } => {
            format!(
                "{whose}{name} is from {} to {}{}",
                words::rounded(*low, Rounding::Up),
                words::rounded(*high, Rounding::Down),
                as_it_is(present)
            )
        }
        ActKind::ReadAgain(reach) => {
            format!("{whose}{name} {} and says {}{}", read_again(key), words::reach(reach), as_it_is(present))
        }
        ActKind::DateReadAgain { later } => {
            let side = if *later { "later" } else { "earlier" };
            format!("{whose}{name} {} and says {value} or {side}{}", read_again(key), as_it_is(present))
        }
        ActKind::Moment { later } => {
            let side = if *later { "later" } else { "earlier" };
            match present {
                None => format!("{place} is recorded; it needs {value} or {side}"),
                Some(_) => format!("{whose}{name} is {value} or {side}{}", as_it_is(present)),
            }
        }
        ActKind::Becomes => match present {
            None => format!("{place} is recorded; it needs {value}"),
            Some(_) => becomes(at, &[act]),
        },
        ActKind::Recorded => match path.as_ref().and_then(|path| obstacle(cure, path)) {
            Some(why) => format!("{place} is put right: {why}"),
            None => format!("{place} is recorded"),
        },
        ActKind::Again { from } => match (present, catalogue.spec(key).map(|spec| &spec.kind)) {
            (None, _) => format!("it is done, and {place} says when"),
            (Some(Value::Measured(measured)), _) if measured.at.is_none() => {
                format!("{place} says when it was read (`at`), and that is recent enough")
            }
            (Some(_), Some(Kind::Reading(_))) => {
                format!("{whose}{name} is read again{}, and {place} says what and when", or_later(*from))
            }
            (Some(now), _) => {
                format!("it is done again{}, and {place} says when (now {})", or_later(*from), words::value(now))
            }
        },
        ActKind::WithoutWord(word) => {
            format!("this is put right as the rule says, and a new inspection finds no `{word}` ({place})")
        }
        ActKind::WithWord(word) => format!("this is done, and `{word}` is added at {place}"),
        ActKind::Added => match key.subject.record_key() {
            Some(list) if scene.job().of(key.subject).is_none() => each_listed(key.subject, list),
            _ => format!("one more {} is in the record", key.subject.word()),
        },
        ActKind::Instrument => {
            format!("{place} names the instrument that read it, or its own uncertainty")
        }
    }
}

/// A place without its marks, and whose it is.
fn parted(place: &str) -> (&str, &str) {
    place.strip_prefix('`').and_then(|rest| rest.split_once('`')).unwrap_or((place, ""))
}

/// What stands in the record now, in brackets.
fn as_it_is(present: Option<&Value>) -> String {
    present.map(|now| format!(" (now {})", words::value(now))).unwrap_or_default()
}

/// How a fact is read again that nobody can set.
fn read_again(key: FactKey) -> &'static str {
    if READ_OFF.contains(&key) { "is read again, on this one or on another," } else { "is checked again" }
}

/// That each subject of a kind stands in the record, in plain words.
fn each_listed(subject: Subject, list: &str) -> String {
    match subject {
        Subject::Person => format!("everybody of the crew is listed at `{list}`"),
        Subject::Job | Subject::Assembly | Subject::Component | Subject::Gauge | Subject::Thermometer => {
            format!("each {} of the job is listed at `{list}`", subject.word())
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
fn unknown_terms(at: &At<'_, '_>, trace: &Trace<'_>) -> Vec<String> {
    match trace {
        Trace::All(_, parts) | Trace::Any(_, parts) => parts
            .iter()
            .filter(|part| part.truth() == Truth::Unknown)
            .flat_map(|part| unknown_terms(at, part))
            .collect(),
        Trace::Not(_, inner) => unknown_terms(at, inner),
        Trace::Elements { path, recorded: false, .. } => path.iter().map(|path| at.place(path)).collect(),
        Trace::Elements { parts, .. } => parts
            .iter()
            .filter(|(_, part)| part.truth() == Truth::Unknown)
            .flat_map(|(_, part)| unknown_terms(at, part))
            .collect(),
        Trace::Leaf(leaf) if leaf.truth == Truth::Unknown => {
            let sides = std::iter::once(&leaf.left).chain(&leaf.right);
            sides
                .filter(|seen| !matches!(&seen.known, Known::Other(Value::Text(_))))
                .flat_map(|seen| seen.paths.iter().map(|path| at.place(path)))
                .collect()
        }
        Trace::Leaf(_) => Vec::new(),
    }
}
