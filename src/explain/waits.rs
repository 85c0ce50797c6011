//! What clears by itself with time: how long it takes, and until when by the clock.
//!
//! This module must not know what else clears a finding.

use super::words;
use crate::engine::{InTheWay, Known, Scene, TraceLeaf};
use crate::figures::FigureId;
use crate::pack::Term;
use crate::pack::test::End;
use crate::record::catalogue::assembly::{self, pre_stretch_row};
use crate::record::{Entity, FactKey, FactKind, LogRow, Value};
use crate::units::{Exact, Quantity, Rounding};
use crate::vocabulary::Subject;

/// A row of a log whose pressure is this much of its neighbours', or so many times as much, was hardly read so.
const ODD: (i128, i128) = (1, 2);

/// Seconds of a minute.
const MINUTE: i64 = 60;

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
    let (entity, rows) = log_of(scene, leaf)?;
    if leaf.leaf.term != Term::Figure(FigureId::PreStretchTime) {
        return None;
    }
    let (shown, due) = (low(&leaf.left.known)?, high(&leaf.right.first()?.known)?);
    // Notebooks have no seconds.
    let minutes = due.checked_sub(shown)?.checked_div(Exact::from_int(MINUTE))?.to_decimal(0, Rounding::Up);
    let missing = Exact::from_int(minutes.parse::<i64>().ok()?.checked_mul(MINUTE)?);
    let last = rows.last()?;
    let end = last.at.checked_add_seconds(missing)?.in_zone(scene.zone());
    if shown.is_zero() || missing.is_negative() || end < scene.at() {
        return None;
    }
    let at = entity.facts.measured(assembly::TARGET_PRESSURE).map(|target| format!(" at {}", target.shown));
    Some(format!(
        "it stays in the cage{} for {} more, until {end} at the earliest, rows are added to the log meanwhile and then, \
         and it is checked again",
        at.unwrap_or_default(),
        words::span(missing)
    ))
}

/// A row of a log that stands far off the rows before and behind it: sooner misread than so.
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

/// The log that a figure is made of, with the assembly that it stands at.
fn log_of<'a>(scene: &Scene<'a>, leaf: &TraceLeaf<'_>) -> Option<(&'a Entity, &'a [LogRow])> {
    let Term::Figure(id) = leaf.leaf.term else { return None };
    let is_log = |key: &FactKey| {
        key.subject == Subject::Assembly
            && matches!(scene.packs().catalogue().spec(*key).map(|spec| &spec.kind), Some(FactKind::Log(_)))
    };
    let key = id.spec()?.facts().find(is_log)?;
    let (index, _) = leaf.here.entity(Subject::Assembly)?;
    let entity = scene.job().of(Subject::Assembly)?.get(index)?;
    match entity.facts.get(key)? {
        Value::Log(rows) => Some((entity, rows)),
        _ => None,
    }
}

fn low(known: &Known) -> Option<Exact> {
    match known {
        Known::Measured(measured) => Some(measured.interval.lo()),
        Known::Number { low, .. } => Some(low.base()),
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
