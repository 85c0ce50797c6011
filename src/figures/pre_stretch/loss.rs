//! The pressure that a new tyre lost while it was stretched, beyond what temperature explains.
//!
//! The air inside follows the air beside the tyre with a lag, so at every row its temperature is known between two
//! bounds. One course within the bounds is taken for the whole log, the one that explains most. Falls that it does not
//! explain add up, over every topping up that belongs to the stretch. Each of them may be too great by the jitter of a
//! pointer, so of each the excess over the jitter counts, and of one of them the jitter too: a log of many rows is no
//! leak for the jitter of its pointer, and a single fall counts in full. What fell before a topping up is past where
//! the stretch suffices from that on. The doubt of the instruments never hides a fall: it widens the sum. Must not know
//! rules, or what reads the figure.

use super::{ATMOSPHERE, Floor, Reading, latest, near, out_of_range, rows_and_floor};
use crate::figures::reader::{FactReader, JobSource};
use crate::figures::{Figure, Lack, Obstacle, Parameter, measured};
use crate::record::catalogue::assembly;
use crate::record::catalogue::assembly::pre_stretch_row::{AIR, PRESSURE};
use crate::record::{LogRow, Measured};
use crate::units::{Exact, Instant, Interval, Quantity, Unit};

/// Steps to the kelvin to which a bound of the inside temperature is rounded, outwards.
const KELVIN_STEPS: i64 = 1000;

/// A row whose two readings are there.
struct Full<'l> {
    row: &'l LogRow,
    pressure: &'l Measured,
    air: &'l Measured,
}

/// What the limits say of a loss, in base units.
struct Terms {
    /// The fall that is still the jitter of a pointer, in Pa.
    jitter: Exact,
    /// The time in which the air inside follows the air beside the tyre, in seconds.
    lag: Exact,
    /// The pressure at or below which air can have been let out on purpose, in Pa.
    let_down: Exact,
    /// The longest time in which all of it can, in seconds.
    let_down_time: Exact,
    /// The rise beyond temperature from which on air was put in, in Pa.
    top_up: Exact,
    /// The shortest stretch that suffices, in seconds.
    required: Exact,
}

impl Terms {
    /// Whether air can have been let out on purpose in a time, in seconds, where a pressure is left, in Pa: for an empty
    /// tyre the whole time is allowed, and none at the pressure below which a let-down begins.
    fn is_in_time(&self, left: Exact, passed: Exact) -> Option<bool> {
        let room = near::difference(self.let_down, left.max(Exact::ZERO))?;
        let allowed = near::product(self.let_down_time, room)?;
        let in_share = || Some(near::product(passed, self.let_down)? <= allowed);
        Some(passed <= self.let_down_time && (left <= Exact::ZERO || in_share()?))
    }
}

/// The sum of the falls from the filling with air that held long enough to the end of the log, letting down at the end
/// left out.
pub(in crate::figures) fn loss(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    let Loss { interval, shown, unit, .. } = lost(source, facts)?;
    let shown = Quantity::near_base(shown, unit).ok_or_else(out_of_range)?;
    Ok(measured(Measured { interval, ..Measured::exact(shown) }))
}

/// The same as a share of the target pressure.
pub(in crate::figures) fn loss_share(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    let Loss { interval, shown, target, .. } = lost(source, facts)?;
    let share = near::quotient(shown, target).and_then(|shown| {
        let shown = Quantity::near_base(shown, Unit::Percent)?;
        Some(Measured { interval: interval.checked_div(Interval::point(target))?, ..Measured::exact(shown) })
    });
    share.map(measured).ok_or_else(out_of_range)
}

/// What was lost, in Pa.
struct Loss {
    interval: Interval,
    shown: Exact,
    /// The unit of the log's pressures.
    unit: Unit,
    target: Exact,
}

fn lost(source: JobSource<'_>, facts: FactReader<'_>) -> Result<Loss, Lack> {
    let (rows, floor) = rows_and_floor(source, facts)?;
    let share = |parameter| near::product(floor.target, source.limit(parameter)?).ok_or_else(out_of_range);
    let terms = Terms {
        jitter: share(Parameter::PreStretchJitter)?,
        lag: source.limit(Parameter::PreStretchLag)?,
        let_down: share(Parameter::PreStretchLetDown)?,
        let_down_time: source.limit(Parameter::PreStretchLetDownTime)?,
        top_up: share(Parameter::PreStretchTopUp)?,
        required: source.limit(Parameter::PreStretchTime)?,
    };
    let full = rows.iter().map(|row| Some(Full { row, pressure: row.get(PRESSURE)?, air: row.get(AIR)? }));
    let incomplete = || Lack::obstacle(Obstacle::RowIncomplete, &[assembly::PRE_STRETCH_LOG]);
    let full = full.collect::<Option<Vec<Full<'_>>>>().ok_or_else(incomplete)?;
    let first = full.first().ok_or_else(|| Lack::missing(assembly::PRE_STRETCH_LOG))?;
    let found = || {
        let levels = levels(&full, terms.lag)?;
        let sum = |reading| {
            let (begin, end) = counted(rows, &full, &floor, &terms, reading)?;
            falls(levels.get(begin..end)?, terms.jitter)
        };
        let (surely, shown) = (sum(Reading::Possible)?, sum(Reading::Sure)?);
        let doubt = doubt(&full)?;
        let low = near::difference(surely, doubt)?.max(Exact::ZERO);
        // Each level is rounded by less than a pascal.
        let rounded = Exact::from_int(i64::try_from(full.len()).ok()?);
        let high = near::sum(near::sum(shown, doubt)?, rounded)?;
        let interval = Interval::new(low, high)?;
        Some(Loss { interval, shown, unit: first.pressure.shown.unit(), target: floor.target })
    };
    found().ok_or_else(out_of_range)
}

/// The rows whose falls count, as positions from and up to: from the filling with air of the latest stretch that suffices,
/// so that a leak that was mended before it is past, or from the last topping up after which it still suffices, since a new
/// casing grows for hours and makes room for more; to the last row at which the air was not yet let down. Without such a
/// stretch every filling counts, and every topping up.
fn counted(
    rows: &[LogRow],
    full: &[Full<'_>],
    floor: &Floor,
    terms: &Terms,
    reading: Reading,
) -> Option<(usize, usize)> {
    let down = let_down(full, terms, reading);
    let run = latest(rows, floor, terms.required, reading).ok()?;
    let rows = || full.iter().zip(&down);
    let begin = run.and_then(|run| rows().rposition(|(row, is_down)| row.row.at < run.until && *is_down));
    let end = down.iter().rposition(|is_down| !is_down).map_or(0, |last| last + 1);
    let begin = begin.map_or(0, |down| down + 1);
    let topped = match run {
        Some(run) => topped_up(full, terms, run.until)?,
        None => 0,
    };
    Some((begin.max(topped).min(end), end))
}

/// The last row at which air had been put in, so long before the end of the stretch that it suffices without what came
/// before; the first one where there is none. Since the pressure last fell, it rose by more than the warmest and the
/// coldest air of the log until then can explain, however fast the tyre follows it. By the readings as they are shown,
/// so that no doubt makes a topping up of the jitter of a pointer.
fn topped_up(full: &[Full<'_>], terms: &Terms, until: Instant) -> Option<usize> {
    let first = full.first()?;
    let absolute = |row: &Full<'_>| near::sum(row.pressure.shown.base(), Exact::from_int(ATMOSPHERE));
    let (mut coldest, mut warmest) = (first.air.shown.base(), first.air.shown.base());
    let (mut before, mut low, mut found) = (absolute(first)?, absolute(first)?, 0);
    for (index, row) in full.iter().enumerate() {
        let (pressure, air) = (absolute(row)?, row.air.shown.base());
        (coldest, warmest) = (coldest.min(air), warmest.max(air));
        if pressure < before {
            low = pressure;
        }
        before = pressure;
        let cooled = near::quotient(near::product(pressure, coldest)?, warmest)?;
        let rose = near::difference(cooled, low)?;
        if rose > terms.top_up && until.seconds_since(row.row.at) >= terms.required {
            found = index;
        }
    }
    Some(found)
}

/// At which rows the air had been let out on purpose. Who does that lets all of it out, and within a morning's work: the
/// more air is left in the tyre, the sooner after the row before must it be, and a tyre that is found flat after a night
/// has leaked.
fn let_down(full: &[Full<'_>], terms: &Terms, reading: Reading) -> Vec<bool> {
    // What is surely let down is so at its upper end; what may be, at its lower.
    let left = |row: &Full<'_>| match reading {
        Reading::Sure => row.pressure.interval.hi(),
        Reading::Possible => row.pressure.interval.lo(),
    };
    let mut down: Vec<bool> = Vec::with_capacity(full.len());
    for row in full {
        let before = down.len().checked_sub(1).and_then(|last| Some((full.get(last)?, *down.get(last)?)));
        let left = left(row);
        let in_time = before.is_none_or(|(before, was_down)| {
            was_down || terms.is_in_time(left, row.row.at.seconds_since(before.row.at)).unwrap_or(false)
        });
        down.push(left <= terms.let_down && in_time);
    }
    down
}

/// The doubt of the sum: that of the greatest doubtful pressure, and that which the thermometer brings into a pressure.
fn doubt(full: &[Full<'_>]) -> Option<Exact> {
    let of = |measured: &Measured| measured.uncertainty.unwrap_or(Exact::ZERO);
    let pressure = full.iter().map(|row| of(row.pressure)).max()?;
    let kelvin = full.iter().map(|row| of(row.air)).max()?;
    let highest = full.iter().map(|row| row.pressure.shown.base()).max()?;
    let coldest = full.iter().map(|row| row.air.shown.base()).min()?;
    let absolute = near::sum(highest, Exact::from_int(ATMOSPHERE))?;
    let by_air = near::quotient(near::product(absolute, kelvin)?, coldest)?;
    near::sum(pressure, by_air)
}

/// What the air inside may be worth at each row, as a pressure at the first row's temperature, in whole Pa: lowest and
/// highest, by the bounds of its temperature. They follow the readings as shown, so that no doubt widens what is explained.
fn levels(full: &[Full<'_>], lag: Exact) -> Option<Vec<(Exact, Exact)>> {
    let first = full.first()?;
    let reference = first.air.shown.base();
    let (mut coldest, mut warmest) = (reference, reference);
    let mut before = first.row.at;
    let mut found = Vec::with_capacity(full.len());
    for row in full {
        let air = row.air.shown.base();
        let passed = row.row.at.seconds_since(before);
        before = row.row.at;
        // One implicit step of the lag: it never overshoots, and a shorter lag gives narrower bounds.
        let total = near::sum(passed, lag)?;
        let share = if total.is_zero() { Exact::ONE } else { near::quotient(passed, total)? };
        let follow = |inside: Exact| near::sum(inside, near::product(near::difference(air, inside)?, share)?);
        coldest = stepped(air.min(follow(coldest)?), false)?;
        warmest = stepped(air.max(follow(warmest)?), true)?;
        let level = |inside| {
            let absolute = near::sum(row.pressure.shown.base(), Exact::from_int(ATMOSPHERE))?;
            floored(near::quotient(near::product(absolute, reference)?, inside)?, 1)
        };
        found.push((level(warmest)?, level(coldest)?));
    }
    Some(found)
}

/// A temperature rounded to a step, outwards.
fn stepped(kelvin: Exact, upwards: bool) -> Option<Exact> {
    if upwards { Some(floored(kelvin.neg(), KELVIN_STEPS)?.neg()) } else { floored(kelvin, KELVIN_STEPS) }
}

/// The greatest multiple of 1/`steps` that is not above the value.
fn floored(value: Exact, steps: i64) -> Option<Exact> {
    let scaled = near::product(value, Exact::from_int(steps))?;
    Exact::new(scaled.numer().div_euclid(scaled.denom()), i128::from(steps))
}

/// The falls that no course within the levels avoids, added up: of each the excess over the jitter, and of one of them the
/// jitter itself, as far as the greatest fall from any earlier level reaches. A rise is a topping up, or the pointer, and
/// takes nothing back.
///
/// The excess is what the laziest course through levels widened by the jitter falls in all, which is the greatest sum that
/// falls less the jitter each can make. So a smaller jitter adds at least as much excess as it takes off the one jitter
/// that counts, as soon as any fall is beyond it: it never makes the sum smaller.
fn falls(levels: &[(Exact, Exact)], jitter: Exact) -> Option<Exact> {
    let Some((start, _)) = levels.first() else { return Some(Exact::ZERO) };
    let (mut excess, mut greatest) = (Exact::ZERO, Exact::ZERO);
    let (mut course, mut top) = (*start, *start);
    for (lowest, highest) in levels {
        top = top.max(*lowest);
        greatest = greatest.max(near::difference(top, *highest)?);
        let bottom = near::sum(*highest, jitter)?;
        if bottom < course {
            excess = near::sum(excess, near::difference(course, bottom)?)?;
        }
        course = course.min(bottom).max(*lowest);
    }
    near::sum(excess, greatest.min(jitter))
}

#[cfg(test)]
mod tests;
