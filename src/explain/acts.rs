//! One act of a cure in words.
//!
//! A value to be reached is said of what people bring about, and of nothing else: of what a plate, a look, a person or the
//! past has said, the words name what is to be done, and no value that somebody could write down in its place. Must not
//! know how the act was found.

mod late;

use super::ways::{Deed, SaidAct};
use super::{flow, obstacles, parts, words};
use crate::document::Path;
use crate::engine::{self, Act, ActKind, InTheWay, Known, Scene, Seen};
use crate::figures::FigureId;
use crate::pack::{Air, Rule, Term};
use crate::record::catalogue::{Comes, READ_OFF, Thing, assembly, component, job, person, spoils, stages};
use crate::record::{FactKey, FactKind, Value};
use crate::units::Rounding;
use crate::vocabulary::{HoldPoint, Outcome, Subject};

/// What an act is, behind `clears when`; `own` is the subject of the finding, which has been named already.
pub(super) fn said(
    scene: &Scene<'_>,
    (rule, cure): (&Rule, &[InTheWay<'_, '_>]),
    act: &Act,
    own: Option<(Subject, usize)>,
) -> SaidAct {
    let key = act.key();
    let subject = scene.job().of(key.subject).and_then(|entities| entities.get(act.edit.entity));
    let present = subject.and_then(|subject| subject.facts.get(key));
    let catalogue = scene.packs().catalogue();
    let whose = scene.label(key.subject, act.edit.entity).filter(|_| key.subject != Subject::Job);
    let whose = whose.filter(|_| own != Some((key.subject, act.edit.entity)));
    let whose = whose.map(|label| format!("{label}: ")).unwrap_or_default();
    let name = format!("{whose}{}", words::term(scene, Term::Fact(key)));
    let comes = flow::comes(scene, key, act.edit.entity);
    let told = match (&act.kind, present) {
        // Said with the act that it comes of.
        (ActKind::Follows, _) => String::new(),
        (ActKind::Added, _) => added(scene, key.subject),
        (ActKind::Recorded, _) => {
            let path = subject.map(|subject| subject.path_of(catalogue, key));
            recorded(scene, cure, (key, &name), path.as_ref(), present)
        }
        // What is past is done again by nobody.
        (ActKind::Again, present) if present.is_none() || comes != Comes::Past => {
            again(comes, scene, key, &name, present)
        }
        (ActKind::Instrument, _) => format!("{name} names the instrument that read it, or its own uncertainty"),
        (ActKind::Finer, _) => format!(
            "{} gives way to a finer gauge: of a finer class, with a shorter scale, or with a calibration certificate",
            scene.label(key.subject, act.edit.entity).unwrap_or("the gauge")
        ),
        (ActKind::WithoutWord(_) | ActKind::WithWord(_), Some(now)) if comes == Comes::Past => {
            return not_made(scene, (rule, cure), (comes, false), act, (&name, now));
        }
        (ActKind::WithoutWord(word), _) => {
            return SaidAct { deed: Deed::Told(format!("{} {word}", looked_at_anew(key))), on_record: vec![name] };
        }
        (ActKind::WithWord(word), _) => {
            let done = if key == person::TRAINED_IN {
                "the training has been given and is recorded"
            } else {
                "this is done and recorded"
            };
            return SaidAct { deed: Deed::Told(done.to_owned()), on_record: vec![format!("{name}: {word}")] };
        }
        // Nuts are tightened, and not looked for.
        (_, None) if key == stages::REFIT_NUT_TORQUE => format!("this is done, and {name} is recorded"),
        // A person's role is assigned, not looked up.
        (_, None) if key == person::ROLE => {
            format!("{whose}takes part as {}, and is recorded so", words::bare(&act.edit.value))
        }
        (kind, None) => match kind {
            ActKind::Number(reach) | ActKind::Along { reach, .. } if comes == Comes::Made => {
                format!("{name} is recorded; it needs {}", words::reach(reach))
            }
            ActKind::Between { .. } => format!("{name} is recorded, {}", between(kind)),
            _ => format!("{name} is found out and recorded"),
        },
        (kind, Some(now)) => match comes {
            Comes::Made if measures_another(cure, key) => {
                return SaidAct { deed: Deed::Misread(name), on_record: vec![format!("now {}", words::value(now))] };
            }
            Comes::Made if catalogue.comes(key) != Comes::Made => {
                made(scene, act, kind, &format!("the planned {name}"), now)
            }
            Comes::Made => made(scene, act, kind, &name, now),
            comes => {
                let named = cure.iter().any(|part| parts::named_facts(part).contains(&key));
                return not_made(scene, (rule, cure), (comes, named), act, (&name, now));
            }
        },
    };
    SaidAct::told(told)
}

/// What is written down, or put right where something stands there that says why nothing comes of it.
fn recorded(
    scene: &Scene<'_>,
    cure: &[InTheWay<'_, '_>],
    (key, name): (FactKey, &str),
    path: Option<&Path>,
    present: Option<&Value>,
) -> String {
    match (path.and_then(|path| obstacle(cure, path)), present.and_then(|_| refused(cure))) {
        // What stands there is not to be written once more.
        _ if present.is_some() && is_found_fault_with(scene, key) => format!("{name} is put right, {WAITS}"),
        (Some(why), _) | (None, Some(why)) => format!("{name} is put right: {why}"),
        (None, None) => format!("{name} is recorded"),
    }
}

/// How a fault that a look has found goes; the word for it stands behind.
fn looked_at_anew(key: FactKey) -> &'static str {
    // A part can be replaced, and neither an open heater nor a paper; a wheel is mended by nobody.
    if key == assembly::WHEEL_FAULTS {
        "the part is replaced, and a look at the new one finds no"
    } else if key.subject == Subject::Assembly || key == job::CAGE_DAMAGE {
        "it is put right as described, or the part is replaced, and a new look at it finds no"
    } else {
        "it is put right as described, and a new look finds no"
    }
}

/// What people bring about: the value to be reached.
fn made(scene: &Scene<'_>, act: &Act, kind: &ActKind, name: &str, now: &Value) -> String {
    let value = words::value(&act.edit.value);
    match kind {
        // What is planned lies ahead of the check, whatever would be late enough.
        ActKind::Moment { later: true } if is_past(scene, act) => {
            format!("{name} is the time that is now planned (now {})", words::value(now))
        }
        ActKind::Along { reach, with } => {
            let number = made(scene, act, &ActKind::Number(*reach), name, now);
            format!("{number}; {} has to suit it", words::term(scene, Term::Fact(*with)))
        }
        ActKind::Number(reach) | ActKind::ReadAgain(reach) => {
            let gap = words::gap(reach).map(|gap| format!(" ({gap})")).unwrap_or_default();
            format!("{name} is {}{gap}{}", words::reach(reach), when(scene, act))
        }
        ActKind::Between { .. } => {
            format!("{name} is {} (now {}){}", between(kind), words::value(now), when(scene, act))
        }
        ActKind::Moment { later } | ActKind::DateReadAgain { later } => {
            let side = if *later { "later" } else { "earlier" };
            format!("{name} is {value} or {side} (now {})", words::value(now))
        }
        _ => format!("{name} is another one, such as {value} (now {})", words::value(now)),
    }
}

/// Whether an instant that is to be recorded has passed.
fn is_past(scene: &Scene<'_>, act: &Act) -> bool {
    matches!(&act.edit.value, Value::Instant(at) if *at < scene.at())
}

/// What nobody brings about by writing it down.
fn not_made(
    scene: &Scene<'_>,
    (rule, cure): (&Rule, &[InTheWay<'_, '_>]),
    (comes, named): (Comes, bool),
    act: &Act,
    (name, now): (&str, &Value),
) -> SaidAct {
    let filled = scene.hold_point() >= HoldPoint::AfterFill;
    let is = match now {
        // Of what is yes or no, or a word, the label says what it is about.
        Value::Flag(_) | Value::Text(_) | Value::Words(_) => format!("on record: {name}: {}", words::bare(now)),
        _ => format!("{name} is {}", words::value(now)),
    };
    // What has spoilt a thing stands on it as a stamp does.
    let (comes, named) = spoils(act.key()).map_or((comes, named), |thing| (Comes::Stamped(thing), true));
    // A place that was chosen for a hole, and not drilled, is chosen again.
    let is_chosen = act.key() == assembly::VENT_THROUGH && matches!(rule.told.put_right.air, Some(Air::Stays { .. }));
    let deed = match comes {
        _ if matches!(act.key(), assembly::WHEEL_NUT_TORQUE | stages::REFIT_NUT_TORQUE) => late::tightened(act),
        Comes::Past => late::past(scene, act),
        Comes::Stamped(thing) if filled && thing.is_filled() => Deed::StaysClosed,
        Comes::Stamped(_) if is_chosen => Deed::LookedAtAgain,
        Comes::Stamped(thing)
            if named
                && (is_too_good(cure, act)
                    || is_against_itself(scene, cure, act, thing)
                    || is_of_paper(rule, thing)) =>
        {
            Deed::SoonerMisread(thing)
        }
        Comes::Stamped(thing) if named => Deed::Exchanged(thing),
        Comes::Stamped(_) => {
            let now = format!("now {}", words::value(now));
            return SaidAct { deed: Deed::Misread(name.to_owned()), on_record: vec![now] };
        }
        Comes::Signed => Deed::Signed,
        Comes::Done if matches!(act.kind, ActKind::Moment { later: true } | ActKind::Becomes) => Deed::DoneAgain,
        Comes::Done => Deed::TimeStays,
        // What has set with stem or vent open is closed by nobody.
        _ if act.key() == stages::FILL_CLOSED && flow::is_over(scene, Some((act.key().subject, act.edit.entity))) => {
            Deed::Told("it cannot be closed any more: the pot life is over, and only its makers decide".to_owned())
        }
        // Beads that were seated with too much are looked at: a lower figure would undo nothing.
        _ if act.key() == stages::MOUNTING_SEATING_PRESSURE => Deed::LookedAtAgain,
        Comes::Made | Comes::Found | Comes::Logged => match act.edit.value {
            Value::Measured(_) => Deed::ReadAgain,
            _ => Deed::LookedAtAgain,
        },
    };
    SaidAct { deed, on_record: vec![is] }
}

/// Whether what a plate or a paper says is better than can be, by a bound that no other value moves.
fn is_too_good(cure: &[InTheWay<'_, '_>], act: &Act) -> bool {
    let is_less = match &act.kind {
        ActKind::Number(reach) | ActKind::ReadAgain(reach) => !reach.upward,
        ActKind::DateReadAgain { later } | ActKind::Moment { later } => !later,
        _ => false,
    };
    let of_it = |part: &InTheWay<'_, '_>| match part {
        InTheWay::Comparison { leaf, .. } if leaf.leaf.term == Term::Fact(act.key()) => {
            Some(leaf.right.iter().all(|right| right.term.is_none()))
        }
        _ => None,
    };
    let bounds: Vec<bool> = cure.iter().filter_map(of_it).collect();
    is_less && READ_OFF.contains(&act.key()) && !bounds.is_empty() && bounds.iter().all(|fixed| *fixed)
}

/// Whether a rule keeps the air in, so that what it finds fault with is a line that somebody wrote: no part of an assembly
/// is taken off for that before it was looked at once more.
pub(super) fn is_of_paper(rule: &Rule, thing: Thing) -> bool {
    let stays = matches!(rule.told.put_right.air, Some(Air::Stays { .. }));
    stays && matches!(thing, Thing::Tyre | Thing::Rim | Thing::Wheel)
}

/// Whether a number that a part of an assembly shows is out of bounds that no such part leaves, or out of step with what the
/// same part shows: no other part is fitted for a slip of the pen.
fn is_against_itself(scene: &Scene<'_>, cure: &[InTheWay<'_, '_>], act: &Act, thing: Thing) -> bool {
    let key = act.key();
    let is_number = matches!(act.kind, ActKind::Number(_) | ActKind::ReadAgain(_) | ActKind::Between { .. });
    let stands_on_it = |key: FactKey| scene.packs().catalogue().comes(key) == Comes::Stamped(thing);
    let of_it = |seen: &Seen| match seen.term {
        None => true,
        Some(Term::Fact(other)) => stands_on_it(other),
        Some(Term::Figure(id)) => id.spec().is_some_and(|spec| spec.facts().all(stands_on_it)),
        Some(_) => false,
    };
    let bounds = || {
        cure.iter().filter_map(|part| match part {
            InTheWay::Comparison { leaf, .. } if leaf.leaf.term == Term::Fact(key) => Some(leaf),
            _ => None,
        })
    };
    let all = bounds().all(|leaf| leaf.right.iter().all(of_it));
    key.subject == Subject::Assembly && is_number && spoils(key).is_none() && bounds().next().is_some() && all
}

/// Whether the core temperature only serves as a bound for another fact: nobody warms a drum to suit a thermometer.
fn measures_another(cure: &[InTheWay<'_, '_>], key: FactKey) -> bool {
    let is_held_against = |part: &InTheWay<'_, '_>| match part {
        InTheWay::Comparison { leaf, .. } => {
            matches!(leaf.leaf.term, Term::Fact(other) if other != key)
                && leaf.right.iter().any(|right| right.term == Some(Term::Fact(key)))
        }
        InTheWay::List { .. } => false,
    };
    key == component::CORE_TEMPERATURE && cure.iter().any(is_held_against)
}

fn between(kind: &ActKind) -> String {
    match kind {
        ActKind::Between { low, high } if low.base() == high.base() => words::rounded(*low, Rounding::Nearest),
        ActKind::Between { low, high } => {
            format!("from {} to {}", words::rounded(*low, Rounding::Up), words::rounded(*high, Rounding::Down))
        }
        _ => String::new(),
    }
}

fn again(comes: Comes, scene: &Scene<'_>, key: FactKey, name: &str, present: Option<&Value>) -> String {
    match (present, scene.packs().catalogue().spec(key).map(|spec| &spec.kind)) {
        (None, _) if scene.hold_point() >= HoldPoint::AfterFill && comes == Comes::Past => {
            format!("{name}, as it was, is recorded")
        }
        (None, _) => format!("it is done, and {name} says when"),
        (Some(Value::Measured(measured)), _) if measured.at.is_none() => {
            format!("{name} says when it was read (`at`), and that is recent enough")
        }
        (Some(_), Some(FactKind::Reading(_))) => format!("{name} is read again now, and says what and when"),
        (Some(now), _) => format!("it is done again now, and {name} says when (last {})", words::value(now)),
    }
}

/// That a subject stands in its list, in plain words.
fn added(scene: &Scene<'_>, subject: Subject) -> String {
    match (subject.record_key(), subject) {
        (Some(list), _) if scene.job().of(subject).is_some() => {
            format!("one more {} stands at `{list}`", subject.word())
        }
        (Some(list), Subject::Person) => format!("everybody of the crew is listed at `{list}`"),
        (Some(list), _) => format!("each {} of the job is listed at `{list}`", subject.word()),
        (None, _) => format!("one more {} stands in the record", subject.word()),
    }
}

/// Why a fact that is recorded cannot be used, where a figure says so.
fn obstacle(cure: &[InTheWay<'_, '_>], place: &Path) -> Option<String> {
    seen(cure).find_map(|seen| match &seen.known {
        Known::Obstacle(why) if seen.paths.contains(place) => Some(obstacles::fragment(why)),
        _ => None,
    })
}

/// Behind an entry that another finding asks to be corrected.
pub(super) const WAITS: &str = "as another finding asks, and this one waits for it";

/// Why what is recorded is refused, where a figure in the way says so.
fn refused(cure: &[InTheWay<'_, '_>]) -> Option<String> {
    seen(cure).find_map(|seen| match &seen.known {
        Known::Obstacle(why) if obstacles::is_of_entries(why) => Some(obstacles::fragment(why)),
        _ => None,
    })
}

/// Whether a finding is broken by what is recorded of a fact, so that the report asks there for its correction.
pub(super) fn is_found_fault_with(scene: &Scene<'_>, key: FactKey) -> bool {
    let broken = scene.found().iter().filter(|finding| finding.holds() && finding.outcome == Outcome::Broken);
    let mut with_rules = broken.filter_map(|finding| Some((finding, scene.rule(finding)?)));
    with_rules.any(|(finding, rule)| {
        let trace = engine::trace(scene, &rule.asks.demands, &scene.here(rule.covers, finding.entity));
        let compares = |part: &InTheWay<'_, '_>| match part {
            InTheWay::Comparison { leaf, .. } => leaf.leaf.term == Term::Fact(key),
            InTheWay::List { .. } => false,
        };
        rule.covers == key.subject && trace.in_the_way().iter().any(compares)
    })
}

/// What was seen on either side of the comparisons in the way.
pub(super) fn seen<'t>(cure: &'t [InTheWay<'t, '_>]) -> impl Iterator<Item = &'t Seen> {
    cure.iter().flat_map(|part| match part {
        InTheWay::Comparison { leaf, .. } => Some(parts::sides(leaf)).into_iter().flatten(),
        InTheWay::List { .. } => None.into_iter().flatten(),
    })
}

/// When the change happens by itself, where a figure says so: a cold container warms at its logged rate.
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
