//! What clears by itself with time: how long it takes, and until when by the clock.
//!
//! This module must not know what else clears a finding.

use super::words;
use crate::engine::{self, InTheWay, Known, Scene, TraceLeaf};
use crate::figures::FigureId;
use crate::pack::Term;
use crate::pack::test::End;
use crate::record::catalogue::assembly::pre_stretch_row;
use crate::record::{FactKey, FactKind, LogRow, Value};
use crate::units::{Exact, Quantity};
use crate::vocabulary::{HoldPoint, Subject};

/// Two pressures are far apart where the lesser is below this share of the greater.
const ODD: (i128, i128) = (1, 2);

/// What a finding waits for, if all that is in its way passes by itself.
pub(super) fn waits(scene: &Scene<'_>, cure: &[InTheWay<'_, '_>]) -> Option<String> {
    let [InTheWay::Comparison { leaf, wanted: true }] = cure else { return None };
    until(scene, leaf).or_else(|| stretch(scene, leaf))
}

/// Something that is over at an instant that lies ahead.
fn until(scene: &Scene<'_>, leaf: &TraceLeaf<'_>) -> Option<String> {
    let (Term::Figure(_), Known::Other(Value::Instant(over))) = (leaf.leaf.term, &leaf.left.known) else { return None };
    let upper = leaf.leaf.test.row().bounds().iter().all(|bound| bound.end == End::High);
    (upper && *over > scene.at()).then(|| {
        let left = words::span(over.seconds_since(scene.at()));
        format!("it is left as it is for {left}, until {over}, and is checked again then")
    })
}

/// A stretch that goes on.
fn stretch(scene: &Scene<'_>, leaf: &TraceLeaf<'_>) -> Option<String> {
    // A tyre that is filled is not stretched any more.
    let is_over = scene.hold_point() >= HoldPoint::AfterFill;
    if is_over || leaf.leaf.term != Term::Figure(FigureId::PreStretchTime) {
        return None;
    }
    let (entity, rows) = log_of(scene, leaf)?;
    let due = high(&leaf.right.first()?.known)?;
    if engine::complete_once_read(scene, entity, due) {
        return Some(
            "a row is read now and added to the log, and it is checked again: the time is up if pressure and warmth are \
             still as in the last row"
                .to_owned(),
        );
    }
    let end = engine::complete_if_it_stays(scene, entity, due).filter(|end| *end >= scene.at())?;
    let left = words::span(end.seconds_since(rows.last()?.at));
    Some(format!(
        "it stays in the cage for {left} more, untouched, with the pressure and the warmth that it has, until {end} at the \
         earliest, rows are added to the log meanwhile and then, and it is checked again"
    ))
}

/// A row of a log far off the rows before and behind it, which are near each other: it was probably misread.
pub(super) fn odd_row(scene: &Scene<'_>, cure: &[InTheWay<'_, '_>]) -> Option<String> {
    let [InTheWay::Comparison { leaf, .. }, ..] = cure else { return None };
    let (_, rows) = log_of(scene, leaf)?;
    let pressure = |row: &LogRow| Some(row.get(pre_stretch_row::PRESSURE)?.shown);
    let far = |one: Quantity, other: Quantity| {
        let part = Exact::new(ODD.0, ODD.1)?;
        let least = one.base().min(other.base());
        Some(least < one.base().max(other.base()).checked_mul(part)?)
    };
    rows.windows(3).find_map(|three| {
        let [before, row, after] = three else { return None };
        let (before, here, after) = (pressure(before)?, pressure(row)?, pressure(after)?);
        let is_odd = far(before, here)? && far(here, after)? && !far(before, after)?;
        is_odd.then(|| {
            format!(
                "the row of {} says {here}, between {before} and {after}: whoever read it looks at it again first",
                words::moment(scene, row.at)
            )
        })
    })
}

/// The log that a figure is made of, with the place of the assembly at which it stands.
fn log_of<'a>(scene: &Scene<'a>, leaf: &TraceLeaf<'_>) -> Option<(usize, &'a [LogRow])> {
    let Term::Figure(id) = leaf.leaf.term else { return None };
    let is_log = |key: &FactKey| {
        key.subject == Subject::Assembly
            && matches!(scene.packs().catalogue().spec(*key).map(|spec| &spec.kind), Some(FactKind::Log(_)))
    };
    let key = id.spec()?.facts().find(is_log)?;
    let (index, _) = leaf.here.entity(Subject::Assembly)?;
    let entity = scene.job().of(Subject::Assembly)?.get(index)?;
    match entity.facts.get(key)? {
        Value::Log(rows) => Some((index, rows)),
        _ => None,
    }
}

fn high(known: &Known) -> Option<Exact> {
    match known {
        Known::Measured(measured) => Some(measured.interval.hi()),
        Known::Number { high, .. } => Some(high.base()),
        _ => None,
    }
}
