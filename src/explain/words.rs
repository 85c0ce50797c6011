//! The words for values, tests and conditions.
//!
//! Must not know which form shows them.

mod conditions;
mod named;
mod needs;
mod read_off;

pub(super) use conditions::{condition, elements};
pub(super) use named::{path, perhaps};
pub(super) use needs::{Needs, at_both_ends, needs};

pub(super) use read_off::read_off;

use super::{labels, obstacles};
use crate::document::prose::name_in_words;
use crate::engine::{Known, Reach, Scene, Seen, TraceLeaf};
use crate::figures::FigureSpec;
use crate::pack::Term;
use crate::record::{Measured, Value};
use crate::units::{Dimension, Exact, Instant, Quantity, Rounding, Unit};

/// Seconds of a year, as a limit counts it.
const YEAR: u64 = 365 * 86_400;
/// From here on people count in years.
const LONG: u64 = 2 * YEAR;

/// A span of seconds in the two largest units that say something, such as `3 h 10 min`.
pub(super) fn span(seconds: Exact) -> String {
    let whole = seconds.to_decimal(0, Rounding::Down).parse::<u64>().unwrap_or(0);
    let parts = [("d", 86_400), ("h", 3_600), ("min", 60), ("s", 1)];
    let mut rest = whole;
    if whole >= LONG {
        let (years, days) = (whole / YEAR, whole % YEAR / 86_400);
        return if days == 0 { format!("{years} years") } else { format!("{years} years {days} d") };
    }
    let mut said: Vec<String> = Vec::new();
    for (word, size) in parts {
        let count = rest / size;
        rest %= size;
        if count > 0 {
            said.push(format!("{count} {word}"));
        }
        if !said.is_empty() && said.len() == 2 {
            break;
        }
    }
    if said.is_empty() { "0 s".to_owned() } else { said.join(" ") }
}

/// The start by the clock on the wall, with its day where that is not the day of the judgement.
pub(super) fn clock(scene: &Scene<'_>) -> String {
    moment(scene, scene.start())
}

/// An instant by the clock on the wall, with its day where that is not the day of the judgement.
pub(super) fn moment(scene: &Scene<'_>, at: Instant) -> String {
    let (at, zone) = (at.in_zone(scene.zone()), scene.zone());
    let time = at.clock_text();
    if at.day_in(zone) == scene.at().day_in(zone) { time } else { format!("{} {time}", at.day_in(zone)) }
}

/// The name of a term in trade words: its label, or its path without its subject, with spaces.
pub(super) fn term(scene: &Scene<'_>, term: Term) -> String {
    let catalogue = scene.packs().catalogue();
    let fact = |key| {
        let label = labels::of(&catalogue.full_name(key)).map(str::to_owned);
        label.or_else(|| catalogue.spec(key).map(|spec| name_in_words(&spec.name))).unwrap_or_default()
    };
    match term {
        Term::Fact(key) => fact(key),
        Term::ReadAt(key) => format!("time of {}", fact(key)),
        Term::ReadWith(key) => format!("instrument of {}", fact(key)),
        Term::ReadDoubt(key) => format!("uncertainty of {}", fact(key)),
        Term::Figure(id) => id.spec().map_or_else(String::new, figure_name),
        Term::Item => "entry".to_owned(),
    }
}

/// The name of a figure in trade words.
pub(super) fn figure_name(spec: &FigureSpec) -> String {
    labels::of(&spec.full_name()).map_or_else(|| name_in_words(spec.name), str::to_owned)
}

/// What a yes or no is about, as a sentence without its full stop.
fn statement<'s>(scene: &'s Scene<'_>, term: Term) -> Option<&'s str> {
    match term {
        Term::Fact(key) => scene.packs().catalogue().spec(key)?.statement(),
        Term::Figure(id) => id.spec()?.states,
        Term::ReadAt(_) | Term::ReadWith(_) | Term::ReadDoubt(_) | Term::Item => None,
    }
}

/// A yes or no as what it says: that its statement is so, or not.
pub(super) fn so_or_not(scene: &Scene<'_>, of: Term, so: bool) -> String {
    match statement(scene, of) {
        Some(statement) => {
            let by = if matches!(of, Term::Figure(_)) { "worked out" } else { "recorded" };
            format!("{by} as {}so: {statement}", if so { "" } else { "not " })
        }
        None => format!("{}: {}", term(scene, of), yes_or_no(so)),
    }
}

/// A measured value with its uncertainty, such as `68.4 °F ± 0.5`.
pub(super) fn measured(measured: &Measured) -> String {
    match measured.uncertainty {
        Some(uncertainty) if !uncertainty.is_zero() => {
            let unit = measured.shown.unit().of_difference();
            let amount = Quantity::from_base(uncertainty, unit).map(two_digits).unwrap_or_default();
            format!("{} ± {amount}", measured.shown.as_written())
        }
        _ if !measured.interval.is_point() => {
            let unit = measured.shown.unit();
            let end = |base| Quantity::from_base(base, unit).map(|q| q.to_string()).unwrap_or_default();
            format!("{} to {}", end(measured.interval.lo()), end(measured.interval.hi()))
        }
        _ => measured.shown.as_written(),
    }
}

/// An uncertainty, rounded up to the two digits that it is worth (JCGM 100:2008, 7.2.6).
fn two_digits(uncertainty: Quantity) -> String {
    let value = uncertainty.value().abs();
    let mut least = Exact::from_int(10);
    let mut places = 0;
    while value < least && places < MOST_PLACES {
        places += 1;
        let Some(tenth) = least.checked_div(Exact::from_int(10)) else { break };
        least = tenth;
    }
    value.to_decimal_exact(places).unwrap_or_else(|| value.to_decimal(places, Rounding::Up))
}

/// The bare number of a quantity: as it is where it ends within two places, otherwise rounded to as many as keep it within a
/// thousandth of what it is, in any unit. Temperatures and times have no such measure, since their zero is a convention or
/// their doubt is one of minutes.
pub(super) fn number_of(quantity: Quantity, rounding: Rounding) -> String {
    let value = quantity.value();
    // Cycles and parts are counted whole where they are many.
    if quantity.unit() == Unit::One && value.abs() >= Exact::from_int(100) {
        return value.to_decimal(0, rounding);
    }
    let exact = value.to_decimal_exact(2).or_else(|| value.to_decimal_exact(places(quantity)));
    exact.unwrap_or_else(|| value.to_decimal(places(quantity), rounding))
}

/// Decimal places beyond which nothing in a shop has a digit.
const MOST_PLACES: u32 = 12;

/// The decimal places of a number that does not end within two.
fn places(quantity: Quantity) -> u32 {
    let by_convention =
        matches!(quantity.dimension(), Dimension::Temperature | Dimension::TemperatureDifference | Dimension::Duration);
    let mut places = if quantity.value().abs() < Exact::from_int(100) { 2 } else { 1 };
    // One more place for each tenth: a step of the last place is then a thousandth of the number at most.
    let mut least = Exact::from_int(10);
    while !by_convention && places < MOST_PLACES && quantity.value().abs() < least {
        places += 1;
        let Some(tenth) = least.checked_div(Exact::from_int(10)) else { break };
        least = tenth;
    }
    places
}

/// A quantity rounded in the direction that does no harm.
pub(super) fn rounded(quantity: Quantity, rounding: Rounding) -> String {
    if let Some(years) = whole_years(quantity) {
        return format!("{years} years");
    }
    let unit = quantity.unit().pretty();
    let number = number_of(quantity, rounding);
    if unit.is_empty() { number } else { format!("{number} {unit}") }
}

/// A computed value in a unit, its ends rounded outwards; one that has no width is rounded to its `safe` side.
pub(super) fn figure(measured: &Measured, unit: Unit, safe: Rounding) -> String {
    let end = |base, rounding| Quantity::from_base(base, unit).map(|q| rounded(q, rounding)).unwrap_or_default();
    if measured.interval.is_point() {
        return end(measured.interval.lo(), safe);
    }
    format!("{} to {}", end(measured.interval.lo(), Rounding::Down), end(measured.interval.hi(), Rounding::Up))
}

/// A value of a record or a pack, a text in marks that set it off from the sentence around it.
pub(super) fn value(value: &Value) -> String {
    match value {
        Value::Text(text) => format!("`{text}`"),
        value => bare(value),
    }
}

/// A value of a record or a pack, without marks.
pub(super) fn bare(value: &Value) -> String {
    match value {
        Value::Text(text) => text.to_string(),
        Value::Flag(flag) => yes_or_no(*flag).to_owned(),
        Value::Measured(m) => measured(m),
        Value::Instant(instant) => instant.to_string(),
        Value::Day(day) => day.to_string(),
        Value::Words(words) if words.is_empty() => "none".to_owned(),
        Value::Words(words) => words.join(", "),
        Value::Log(rows) => format!("{} rows", rows.len()),
    }
}

/// What is known of a term.
pub(super) fn known(of: &Known) -> String {
    known_to(of, Rounding::Nearest)
}

/// What is known of a term or operand, a number without width rounded to its `safe` side.
fn known_to(known: &Known, safe: Rounding) -> String {
    match known {
        Known::Measured(m) => measured(m),
        Known::Number { low, high } if low.base() == high.base() => rounded(*low, safe),
        // Of a bound in doubt the end counts that keeps to it whatever the doubt.
        Known::Number { high, .. } if safe == Rounding::Up => rounded(*high, Rounding::Up),
        Known::Number { low, .. } if safe == Rounding::Down => rounded(*low, Rounding::Down),
        Known::Number { low, high } => format!("{} to {}", rounded(*low, Rounding::Down), rounded(*high, Rounding::Up)),
        Known::Other(v) => value(v),
        Known::NotRecorded => "not recorded".to_owned(),
        Known::Ahead(at) => format!("dated {at}, after this check"),
        Known::Obstacle(why) => format!("cannot be worked out: {}", obstacles::fragment(why)),
    }
}

/// What a reading is compared with, in the unit of the reading; beside it in its own where that is of the other system,
/// whether it is written in the record or by the rule. A limit of the other system is told with the places that a shop
/// reads, on its safe side; what is compared stays exact.
fn beside(left: &Known, right: &Seen, safe: Rounding) -> String {
    let own = known_to(&right.known, safe);
    let unit = match left {
        Known::Measured(measured) => measured.shown.unit(),
        Known::Number { low, .. } => low.unit(),
        _ => return own,
    };
    let Known::Number { low, high } = &right.known else { return own };
    if let Some(fraction) = in_fractions(left, &right.known) {
        return if low.unit().is_metric() { format!("{fraction} ({own})") } else { fraction };
    }
    let (Some(low_there), Some(high_there)) = (low.in_unit(unit), high.in_unit(unit)) else { return own };
    let there = Known::Number { low: low_there, high: high_there };
    if unit.counterpart() == unit || unit.dimension() == Dimension::Duration {
        own
    } else if unit.is_metric() == low.unit().is_metric() {
        known_to(&there, safe)
    } else if right.term.is_some() {
        format!("{} ({own})", known_to(&there, safe))
    } else {
        let there = match there {
            Known::Number { low, high } if low.base() == high.base() => read_off(low, safe),
            there => known_to(&there, safe),
        };
        format!("{there} ({own})")
    }
}

/// A bound beside a reading that is written as a fraction of an inch, where it is one too.
fn in_fractions(left: &Known, bound: &Known) -> Option<String> {
    let (Known::Measured(read), Known::Number { low, high }) = (left, bound) else { return None };
    let is_fraction = read.shown.is_fraction_of_an_inch();
    let bound = low.in_unit(Unit::Inch).filter(|_| is_fraction && low.base() == high.base())?;
    bound.in_fractions_of_an_inch()
}

/// The words of a test with its operands in their places.
fn filled(words: &str, operands: &[String]) -> String {
    let mut text = words.to_owned();
    for (position, operand) in operands.iter().enumerate() {
        text = text.replace(&format!("{{{position}}}"), operand);
    }
    text
}

fn is_time(leaf: &TraceLeaf<'_>) -> bool {
    leaf.right.iter().any(|seen| matches!(seen.known, Known::Other(Value::Instant(_) | Value::Day(_))))
}

fn list(values: &[Value], joiner: &str) -> String {
    let words: Vec<String> = values.iter().map(value).collect();
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} {joiner} {last}", rest.join(", ")),
        _ => words.concat(),
    }
}

/// A number to reach, such as `72.5 °F or more`, rounded to the safe side.
pub(super) fn reach(reach: &Reach) -> String {
    let rounding = if reach.upward { Rounding::Up } else { Rounding::Down };
    let number = rounded(reach.to, rounding);
    match (reach.upward, reach.inclusive) {
        (true, true) => format!("{number} or more"),
        (false, true) => format!("{number} or less"),
        (true, false) => format!("more than {number}"),
        (false, false) => format!("less than {number}"),
    }
}

/// How far a number is from where it must be, in its own unit.
pub(super) fn gap(reach: &Reach) -> Option<String> {
    let unit = reach.to.unit().of_difference();
    let own = |base: Exact, rounding| Some(read_off(Quantity::from_base(base, unit)?, rounding));
    let gap = reach.gap.filter(|gap| !gap.is_zero())?;
    let sure = reach.sure.and_then(|sure| own(sure, Rounding::Down));
    let sure = sure.map(|sure| format!("; at least {sure} in any case")).unwrap_or_default();
    Some(format!("{} to go{sure}", own(gap, Rounding::Up)?))
}

/// Days in a year, as a limit counts them.
const DAYS_OF_A_YEAR: Exact = Exact::from_int(365);

/// How many years a quantity of days makes up, where they are more than one and no day is over.
fn whole_years(quantity: Quantity) -> Option<i128> {
    let days = Some(quantity.value()).filter(|_| quantity.unit() == Unit::Day)?;
    let years = days.checked_div(DAYS_OF_A_YEAR)?;
    (years.denom() == 1 && years.numer() > 1).then(|| years.numer())
}

/// A yes or no as people say it.
pub(super) const fn yes_or_no(flag: bool) -> &'static str {
    if flag { "yes" } else { "no" }
}

/// A role as people say it.
pub(super) fn role(word: &str) -> String {
    word.replace('-', " ")
}

#[cfg(test)]
mod tests;
