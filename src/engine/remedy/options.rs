//! What may be tried: from a condition taken apart to acts, each option a list of acts.
//!
//! Must not know whether an act clears anything: that is tried.

mod lists;

use lists::{on_words, unlisted_words};

use super::values::{on_the_safe_side, sample};
use super::{Act, ActKind, Ground, Hold, Reach, act, is_lowered_need, levers, moved_to};
use crate::engine::Side;
use crate::engine::reach;
use crate::engine::trace::{Known, Seen, Trace, TraceLeaf};
use crate::figures::FigureId;
use crate::pack::sides::Base;
use crate::pack::test::{End, Operands, Relation};
use crate::pack::{Collection, Term};
use crate::record::catalogue::job::PLANNED_START;
use crate::record::{FactKey, FactKind, Measured, Value, example, list_for};
use crate::units::{Day, Exact, Quantity, Truth};
use crate::vocabulary::Subject;

/// Options tried for one condition.
const MOST: usize = 8;

/// Options for the traced condition to become true, or false.
pub(super) fn of(on: &Ground<'_>, trace: &Trace<'_>, aim: bool) -> Vec<Vec<Act>> {
    if trace.truth() == Truth::from(aim) {
        return Vec::new();
    }
    let mut found = match (trace, aim) {
        (Trace::All(_, parts), true) | (Trace::Any(_, parts), false) => {
            together(parts.iter().filter(|part| part.truth() != Truth::from(aim)).map(|part| of(on, part, aim)))
        }
        (Trace::Any(_, parts), true) | (Trace::All(_, parts), false) => {
            parts.iter().flat_map(|part| of(on, part, aim)).collect()
        }
        (Trace::Not(_, inner), aim) => of(on, inner, !aim),
        (Trace::Elements { every, of: collection, recorded, meets, parts, here, .. }, aim) => {
            let open = parts.iter().filter(|(_, part)| part.truth() != Truth::from(aim));
            match (collection, *recorded) {
                (Collection::Words(list), true) => on_words(*list, here, *every == aim, meets, parts, aim),
                (Collection::Words(list), false) => unlisted_words(*list, *every == aim, meets, here),
                (Collection::Subjects(_), true) if *every == aim => together(open.map(|(_, part)| of(on, part, aim))),
                (Collection::Subjects(_), true) if !parts.is_empty() => {
                    let mut each: Vec<_> = open.flat_map(|(_, part)| of(on, part, aim)).collect();
                    each.sort_by_key(Vec::len);
                    each
                }
                (Collection::Subjects(subject), _) => added(on, *subject).into_iter().collect(),
            }
        }
        (Trace::Leaf(leaf), aim) => on_leaf(on, leaf, aim),
    };
    found.truncate(MOST);
    found
}

/// One option of every part joined; then each further option of a part instead of its first.
fn together(parts: impl Iterator<Item = Vec<Vec<Act>>>) -> Vec<Vec<Act>> {
    let parts: Vec<Vec<Vec<Act>>> = parts.collect();
    let with = |part: usize, option: usize| -> Option<Vec<Act>> {
        let chosen =
            |(place, options): (usize, &Vec<Vec<Act>>)| options.get(if place == part { option } else { 0 }).cloned();
        parts.iter().enumerate().map(chosen).collect::<Option<Vec<_>>>().map(|lists| lists.concat())
    };
    let first = with(0, 0);
    let others =
        parts.iter().enumerate().flat_map(|(part, options)| (1..options.len()).map(move |option| (part, option)));
    first.into_iter().chain(others.filter_map(|(part, option)| with(part, option))).collect()
}

/// Adds one subject, named by its first fact's example.
pub(super) fn added(on: &Ground<'_>, subject: Subject) -> Option<Vec<Act>> {
    let catalogue = on.scene.packs().catalogue();
    let key = catalogue.keys_of(subject).next()?;
    let next = on.scene.job().of(subject).map_or(0, <[_]>::len);
    subject.record_key()?;
    Some(vec![act(key, next, example(catalogue.spec(key)?)?, ActKind::Added)])
}

fn on_leaf(on: &Ground<'_>, leaf: &TraceLeaf<'_>, aim: bool) -> Vec<Vec<Act>> {
    let operand_side = || on_operand(on, leaf, aim);
    match leaf.leaf.term {
        Term::Item => Vec::new(),
        Term::ReadAt(key) => {
            let mut found = again(on, leaf, key);
            found.extend(operand_side());
            found
        }
        Term::ReadWith(key) | Term::ReadDoubt(key) => with_instrument(on, leaf, key),
        Term::Figure(id) => {
            let mut found = levers::of_term(on, leaf, id, aim);
            found.extend(operand_side());
            found
        }
        Term::Fact(key) => {
            let mut found = on_fact(on, leaf, key, aim);
            found.extend(operand_side());
            found
        }
    }
}

/// Options on the fact that the comparison looks at.
fn on_fact(on: &Ground<'_>, leaf: &TraceLeaf<'_>, key: FactKey, aim: bool) -> Vec<Vec<Act>> {
    let Some((entity, subject)) = leaf.here.entity(key.subject) else { return Vec::new() };
    let catalogue = on.scene.packs().catalogue();
    let Some(spec) = catalogue.spec(key) else { return Vec::new() };
    let one = |value: Value, kind: ActKind| vec![act(key, entity, value, kind)];
    let present = subject.facts.get(key);
    let test = &leaf.leaf.test;
    match test.row().relation {
        Relation::Fresh => again(on, leaf, key).into_iter().chain(start_sooner(on, leaf)).collect(),
        _ if matches!(leaf.left.known, Known::Ahead(_)) => again(on, leaf, key),
        // Evidence is never erased, and nothing that is recorded is made unrecorded.
        Relation::Recorded if test.is_of_absence() == aim || present.is_some() => Vec::new(),
        Relation::Recorded => {
            let moment = now(on, &spec.kind);
            let kind = if moment.is_some() { ActKind::Again } else { ActKind::Recorded };
            moment.or_else(|| sample(on, key)).map(|value| one(value, kind)).into_iter().collect()
        }
        // What a thing is, nobody changes.
        Relation::Equal(_) if on.hold(key, entity, false) != Hold::Free => Vec::new(),
        Relation::Equal(so) => {
            let due: Vec<Value> = match test.taken() {
                Operands::Values(values) => values.to_vec(),
                Operands::One(_) | Operands::Two(..) | Operands::Flag(_) | Operands::Span(_) => {
                    leaf.right.iter().filter_map(|seen| value_of(&seen.known)).collect()
                }
            };
            let values = if so == aim { due } else { others(&spec.kind, &due).collect() };
            values.into_iter().map(|value| one(value, ActKind::Becomes)).collect()
        }
        Relation::Within(_) => on_order(on, leaf, key, entity, aim),
    }
}

/// Options for a fact that must get above, below, before or after something.
fn on_order(on: &Ground<'_>, leaf: &TraceLeaf<'_>, key: FactKey, entity: usize, aim: bool) -> Vec<Vec<Act>> {
    let Some((_, right, bound)) = reach::in_the_way(leaf, aim) else { return Vec::new() };
    let (upward, inclusive) = (bound.end == End::Low, bound.inclusive);
    let hold = on.hold(key, entity, true);
    let one = |value: Value, kind: ActKind| vec![vec![act(key, entity, value, kind)]];
    let moment = || match hold {
        Hold::Free => ActKind::Moment { later: upward },
        Hold::Read | Hold::Fixed => ActKind::DateReadAgain { later: upward },
    };
    // The day of the bound, or the next one that counts where that day itself does not.
    let on_day = |day: Day| {
        let days = match (inclusive, upward) {
            (true, _) => 0,
            (false, true) => 1,
            (false, false) => -1,
        };
        day.checked_add_days(days).map(|day| one(Value::Day(day), moment())).unwrap_or_default()
    };
    match &right.known {
        _ if hold == Hold::Fixed => Vec::new(),
        // Today, for a day that nobody has written down.
        Known::Other(Value::Instant(bound)) if is_day(on, key) => on_day(bound.day_in(on.scene.zone())),
        Known::Other(Value::Instant(bound)) => {
            let step = Exact::from_int(i64::from(!inclusive));
            let step = if upward { Some(step) } else { Exact::ZERO.checked_sub(step) };
            let value = step.and_then(|step| bound.checked_add_seconds(step)).map(Value::Instant);
            value.map(|value| one(value, moment())).unwrap_or_default()
        }
        Known::Other(Value::Day(day)) => on_day(*day),
        _ => {
            let present = leaf.here.entity(key.subject).and_then(|(_, entity)| entity.facts.measured(key));
            reach::reaches(on.scene, leaf, aim)
                .term
                .and_then(|reach| number(on, (key, entity, hold), present, &reach))
                .map(|act| vec![vec![act]])
                .unwrap_or_default()
        }
    }
}

/// Options on a fact that stands on the other side of the comparison.
fn on_operand(on: &Ground<'_>, leaf: &TraceLeaf<'_>, aim: bool) -> Vec<Vec<Act>> {
    let mut found = Vec::new();
    // What the bay was read at is not moved to make its log look better.
    if leaf.leaf.term == Term::Figure(FigureId::LogHottest) {
        return found;
    }
    for (operand, seen) in leaf.leaf.test.operands().zip(&leaf.right) {
        match operand.base {
            Base::Term(Term::Fact(key)) => {
                let Some((entity, subject)) = leaf.here.entity(key.subject) else { continue };
                if matches!(seen.known, Known::NotRecorded) {
                    let value = sample(on, key);
                    found.extend(value.map(|value| vec![act(key, entity, value, ActKind::Recorded)]));
                    continue;
                }
                let hold = on.hold(key, entity, false);
                if hold == Hold::Fixed {
                } else if let Some(reach) = reach::reaches(on.scene, leaf, aim).operand {
                    if is_lowered_need(key, reach.upward) {
                        continue;
                    }
                    let present = subject.facts.measured(key);
                    found.extend(number(on, (key, entity, hold), present, &reach).map(|act| vec![act]));
                } else if hold == Hold::Read {
                } else if leaf.leaf.test.row().relation == Relation::Equal(aim) {
                    let due = value_of(&leaf.left.known);
                    found.extend(due.map(|due| vec![act(key, entity, due, ActKind::Becomes)]));
                }
            }
            Base::Term(Term::Figure(id)) => found.extend(levers::of_operand(on, leaf, id, aim)),
            Base::Start | Base::Today => found.extend(start_sooner(on, leaf)),
            _ => {}
        }
    }
    found
}

/// A number that gets to where it must be, as a person would write it.
fn number(on: &Ground<'_>, place: (FactKey, usize, Hold), present: Option<&Measured>, reach: &Reach) -> Option<Act> {
    let to = on_the_safe_side(reach.to, reach.upward, reach.inclusive)?;
    moved_to(on, place, present, Reach { to, ..*reach })
}

/// The pump started no later than what was done, or lasts, allows; only where that still lies ahead.
fn start_sooner(on: &Ground<'_>, leaf: &TraceLeaf<'_>) -> Option<Vec<Act>> {
    let scene = on.scene;
    if scene.start() <= scene.at() {
        return None;
    }
    let operand = leaf.leaf.test.operands().next()?;
    let (done, by_day, spare) = if leaf.leaf.test.row().asks_age() {
        let by_day = matches!(leaf.left.known, Known::Other(Value::Day(_)));
        (scene.done_at(leaf.leaf.term, &leaf.here)?, by_day, low_end(leaf.right.first()?)?)
    } else {
        let spare = operand.offset().map_or(Some(Exact::ZERO), |plus| Some(scene.offset(plus)?.neg()))?;
        match scene.term(leaf.leaf.term, &leaf.here)? {
            Side::Instant(at) => (at, matches!(operand.base, Base::Today), spare),
            Side::Day(day) => (day.start_in(scene.zone()), true, spare),
            _ => return None,
        }
    };
    let last = done.checked_add_seconds(spare)?;
    // What counts by days lasts to the end of the last of them.
    let last = if by_day {
        last.day_in(scene.zone())
            .checked_add_days(1)?
            .start_in(scene.zone())
            .checked_add_seconds(Exact::from_int(-1))?
    } else {
        last.whole_second()
    };
    if last < scene.at() || scene.start() <= last {
        return None;
    }
    let value = Value::Instant(last.in_zone(scene.zone()));
    Some(vec![act(PLANNED_START, 0, value, ActKind::Moment { later: false })])
}

/// The lower end of a number.
fn low_end(seen: &Seen) -> Option<Exact> {
    match &seen.known {
        Known::Number { low, .. } => Some(low.base()),
        Known::Measured(measured) | Known::Other(Value::Measured(measured)) => Some(measured.interval.lo()),
        _ => None,
    }
}

/// The same thing read or done now.
fn again(on: &Ground<'_>, leaf: &TraceLeaf<'_>, key: FactKey) -> Vec<Vec<Act>> {
    let Some((entity, subject)) = leaf.here.entity(key.subject) else { return Vec::new() };
    let Some(spec) = on.scene.packs().catalogue().spec(key) else { return Vec::new() };
    let value = match subject.facts.get(key) {
        Some(Value::Measured(measured)) => {
            Some(Value::Measured(Box::new(Measured { at: Some(on.scene.at()), ..(**measured).clone() })))
        }
        _ => now(on, &spec.kind).or_else(|| example(spec)),
    };
    value.map(|value| vec![act(key, entity, value, ActKind::Again)]).into_iter().collect()
}

/// Whether a fact is a calendar day.
fn is_day(on: &Ground<'_>, key: FactKey) -> bool {
    on.scene.packs().catalogue().spec(key).is_some_and(|spec| spec.kind == FactKind::Day)
}

/// The present moment, for a fact that is one.
fn now(on: &Ground<'_>, kind: &FactKind) -> Option<Value> {
    match kind {
        FactKind::Event | FactKind::Planned => Some(Value::Instant(on.scene.at())),
        FactKind::Day => Some(Value::Day(on.scene.at().day_in(on.scene.zone()))),
        _ => None,
    }
}

/// The reading with an instrument of the record, or with a stated uncertainty of a hundredth.
fn with_instrument(on: &Ground<'_>, leaf: &TraceLeaf<'_>, key: FactKey) -> Vec<Vec<Act>> {
    let Some((entity, subject)) = leaf.here.entity(key.subject) else { return Vec::new() };
    let Some(present) = subject.facts.measured(key) else {
        let value = sample(on, key);
        return value.map(|value| vec![act(key, entity, value, ActKind::Recorded)]).into_iter().collect();
    };
    let listed = list_for(present.shown.dimension()).and_then(|list| on.scene.job().of(list)).unwrap_or(&[]);
    let marks = listed.iter().map(|instrument| instrument.label.as_str());
    let with = marks.map(|mark| Measured { instrument: Some(mark.into()), ..present.clone() });
    let hundredth = Exact::new(1, 100).and_then(|share| present.shown.value().abs().checked_mul(share));
    let stated = hundredth
        .and_then(|doubt| Quantity::new(doubt, present.shown.unit().of_difference()))
        .and_then(|doubt| Measured { stated: Some(doubt.base()), ..present.clone() }.with_uncertainty(doubt.base()));
    // Its own doubt does not say which instrument it was read with.
    let stated = stated.filter(|_| matches!(leaf.leaf.term, Term::ReadDoubt(_)));
    with.chain(stated).map(|new| vec![act(key, entity, Value::Measured(Box::new(new)), ActKind::Instrument)]).collect()
}

/// The values that a fact of this kind can have besides these.
fn others<'k>(kind: &'k FactKind, not: &'k [Value]) -> impl Iterator<Item = Value> + 'k {
    let words = match kind {
        FactKind::Choice(words) => words.as_ref(),
        _ => &[],
    };
    let flags: &[bool] = if matches!(kind, FactKind::Flag) { &[true, false] } else { &[] };
    let words = words.iter().map(|word| Value::Text(word.as_ref().into()));
    words.chain(flags.iter().map(|flag| Value::Flag(*flag))).filter(|value| !not.contains(value))
}

/// What is known, as a value that a record could state.
fn value_of(known: &Known) -> Option<Value> {
    match known {
        Known::Measured(measured) => Some(Value::Measured(Box::new(Measured::exact(measured.shown)))),
        Known::Number { low, high } if low.base() == high.base() => {
            Some(Value::Measured(Box::new(Measured::exact(*low))))
        }
        Known::Other(value) => Some(value.clone()),
        _ => None,
    }
}
