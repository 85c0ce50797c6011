//! Figures cannot be set; what they are made from can. This module looks for the smallest change of one of their inputs
//! that makes a comparison come out as wanted, by trying.
//!
//! Must not know which ways are offered.

use super::values::{on_the_safe_side, reading, sample};
use super::{Act, ActKind, Ground, Hold, act, comes_out, instruments, is_lowered_need, moved_to};
use crate::engine::reach::Reach;
use crate::engine::trace::{Known, Seen, TraceLeaf};

use crate::figures::{FigureId, Lack};
use crate::pack::Term;
use crate::record::catalogue::{assembly, job};
use crate::record::{Edit, FactKey, FactKind, Measured, Value, instrument_named};
use crate::units::{Exact, Quantity};
use crate::vocabulary::Subject;

/// How far an input is moved, in thousandths of what it is: first a little, then far.
const UP: [i64; 6] = [1_010, 1_050, 1_200, 1_600, 3_000, 10_000];
/// The same downwards.
const DOWN: [i64; 6] = [990, 950, 850, 650, 350, 100];
/// Halvings of the last step, so that what is offered is within a per cent of the smallest change.
const HALVINGS: usize = 7;

/// Options for a figure that a comparison looks at.
pub(super) fn of_term(on: &Ground<'_>, leaf: &TraceLeaf<'_>, id: FigureId, aim: bool) -> Vec<Vec<Act>> {
    of_figure(on, leaf, &leaf.left.known, id, aim)
}

/// Options for a figure that a comparison compares with.
pub(super) fn of_operand(on: &Ground<'_>, leaf: &TraceLeaf<'_>, id: FigureId, aim: bool) -> Vec<Vec<Act>> {
    leaf.right.first().map(|seen| of_figure(on, leaf, &seen.known, id, aim)).unwrap_or_default()
}

fn of_figure(on: &Ground<'_>, leaf: &TraceLeaf<'_>, known: &Known, id: FigureId, aim: bool) -> Vec<Vec<Act>> {
    let Some(spec) = id.spec() else { return Vec::new() };
    let at_hand = |key: FactKey| leaf.here.entity(key.subject).map(|(index, _)| index);
    if matches!(known, Known::NotRecorded | Known::Obstacle(_)) {
        let figure = at_hand_figure(on, leaf, id, spec.subject);
        let lacking = figure.and_then(|figure| figure.as_ref().err()).map_or(&[][..], Lack::facts);
        let recorded = lacking.iter().flat_map(|key| {
            let named = at_hand(*key).filter(|_| instrument_named(*key) == Some(Subject::Gauge));
            if let Some(papers) = named.and_then(|entity| instruments::papers(on, *key, entity)) {
                return vec![papers];
            }
            let entities: Vec<usize> = match at_hand(*key) {
                Some(index) => vec![index],
                None => (0..on.scene.job().of(key.subject).map_or(0, <[_]>::len)).collect(),
            };
            entities.into_iter().filter_map(|entity| found_out(on, *key, entity)).collect::<Vec<_>>()
        });
        let acts: Vec<Act> = recorded.collect();
        return if acts.is_empty() { Vec::new() } else { vec![acts] };
    }
    // A log shows what has happened: no other fact is moved to make it look better.
    let is_log =
        |key: FactKey| matches!(on.scene.packs().catalogue().spec(key).map(|spec| &spec.kind), Some(FactKind::Log(_)));
    if spec.inputs.iter().any(|(key, _)| is_log(*key)) {
        return Vec::new();
    }
    // The plies only refine a volume: nobody misread them where a volume is off.
    let of_volume = spec.inputs.iter().any(|(key, _)| *key == assembly::TYRE_INSIDE_VOLUME);
    let inputs = spec.inputs.iter().filter(|(key, _)| !(of_volume && *key == assembly::TYRE_PLY_RATING));
    // Cooled air is damper by as much: its dew point stays, and its humidity is another one.
    let of_air = id == FigureId::DewPoint;
    let inputs = inputs.filter(|(key, _)| !(of_air && *key == job::WORKSPACE_TEMPERATURE));
    let inputs = inputs.filter_map(|(key, _)| Some((*key, at_hand(*key)?)));
    let moved = inputs.filter_map(|(key, entity)| match instrument_named(key) {
        Some(list) => another(on, leaf, key, entity, list, aim).or_else(|| {
            // Of a target above the ceiling the target is lowered; a finer gauge is for a window without room.
            let is_gauge = list == Subject::Gauge && id == FigureId::PressureWindow;
            is_gauge.then(|| instruments::finer(on, leaf, key, entity, aim)).flatten()
        }),
        None => moved(on, leaf, key, entity, aim),
    });
    moved.map(|act| vec![act]).collect()
}

fn at_hand_figure<'s>(
    on: &'s Ground<'_>,
    leaf: &TraceLeaf<'_>,
    id: FigureId,
    subject: Subject,
) -> Option<&'s crate::figures::Figure> {
    on.scene.figure(id, subject, leaf.here.entity(subject)?.0)
}

/// A fact that is missing, or cannot be used as it stands, found out and recorded.
fn found_out(on: &Ground<'_>, key: FactKey, entity: usize) -> Option<Act> {
    let value = match sample(on, key)? {
        Value::Measured(measured) => reading(on.scene, key, None, measured.shown)?,
        value => value,
    };
    Some(act(key, entity, value, ActKind::Recorded))
}

/// Another instrument of the record with which the comparison comes out as wanted.
fn another(
    on: &Ground<'_>,
    leaf: &TraceLeaf<'_>,
    key: FactKey,
    entity: usize,
    list: Subject,
    aim: bool,
) -> Option<Act> {
    let present = on.scene.job().of(key.subject)?.get(entity)?.facts.text(key);
    let marks = on.scene.job().of(list)?.iter().map(|instrument| instrument.label.as_str());
    let mut others = marks.filter(|mark| Some(*mark) != present).map(|mark| Value::Text(mark.into()));
    let value =
        others.find(|value| comes_out(on, leaf, Edit { key, entity, value: value.clone() }, aim) == Some(true))?;
    Some(act(key, entity, value, ActKind::Becomes))
}

/// The smallest change found of one number that makes the comparison come out as wanted.
fn moved(on: &Ground<'_>, leaf: &TraceLeaf<'_>, key: FactKey, entity: usize, aim: bool) -> Option<Act> {
    let hold = on.hold(key, entity, false);
    if hold == Hold::Fixed {
        return None;
    }
    if !matches!(
        on.scene.packs().catalogue().spec(key)?.kind,
        FactKind::Quantity(_) | FactKind::ScaleBottom(_) | FactKind::Reading(_) | FactKind::Count
    ) {
        return None;
    }
    let present = on.scene.job().of(key.subject)?.get(entity)?.facts.measured(key)?.clone();
    let at = |thousandths: Exact| -> Option<Quantity> {
        let factor = thousandths.checked_div(Exact::from_int(1_000))?;
        Quantity::new(present.shown.value().checked_mul(factor)?, present.shown.unit())
    };
    let works = |to: Quantity| -> Option<bool> {
        let value = reading(on.scene, key, Some(&present), to)?;
        comes_out(on, leaf, Edit { key, entity, value }, aim)
    };
    if let Some(to) = proportional(leaf, &present).filter(|to| works(*to) == Some(true)) {
        return to_reach(on, (key, entity, hold), &present, to, to.base() > present.shown.base());
    }
    [UP, DOWN].into_iter().find_map(|steps| {
        let upward = steps.first().is_some_and(|first| *first > 1_000);
        let mut short = Exact::from_int(1_000);
        for step in steps {
            let mut enough = Exact::from_int(step);
            if works(at(enough)?)? {
                for _ in 0..HALVINGS {
                    let middle = short.checked_add(enough)?.checked_div(Exact::from_int(2))?;
                    if works(at(middle)?)? { enough = middle } else { short = middle }
                }
                let to = on_the_safe_side(at(enough)?, upward, true).filter(|to| works(*to) == Some(true))?;
                return to_reach(on, (key, entity, hold), &present, to, upward);
            }
            short = enough;
        }
        None
    })
}

/// The exact number, where the figure is proportional to its only input; the result is tried like any other.
fn proportional(leaf: &TraceLeaf<'_>, present: &Measured) -> Option<Quantity> {
    let only_input = |seen: &Seen| match seen.term {
        Some(Term::Figure(id)) => id.spec().is_some_and(|spec| spec.inputs.len() == 1),
        _ => false,
    };
    let end = |seen: &Seen| match &seen.known {
        Known::Measured(measured) if measured.interval.is_point() => Some(measured.interval.lo()),
        Known::Number { low, high } if low == high => Some(low.base()),
        _ => None,
    };
    let (left, right) = (&leaf.left, leaf.right.first()?);
    let (figure, bound) = if only_input(left) { (left, right) } else { (right, left) };
    let factor = end(bound)?.checked_div(end(figure)?)?;
    let to = Quantity::new(present.shown.value().checked_mul(factor)?, present.shown.unit())?;
    on_the_safe_side(to, to.base() > present.shown.base(), true)
}

fn to_reach(
    on: &Ground<'_>,
    place: (FactKey, usize, Hold),
    present: &Measured,
    to: Quantity,
    upward: bool,
) -> Option<Act> {
    if is_lowered_need(place.0, upward) {
        return None;
    }
    let gap = to.base().checked_sub(present.shown.base()).map(Exact::abs);
    moved_to(on, place, Some(present), Reach { upward, inclusive: true, to, gap, sure: None })
}
