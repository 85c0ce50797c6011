//! The words for values, tests and conditions.

use super::{labels, obstacles};
use crate::engine::{Known, Reach, Scene, Seen, TraceLeaf};
use crate::figures::FigureSpec;
use crate::pack::condition::{Base, Factor, Offset};
use crate::pack::test::{End, Relation};
use crate::pack::{Collection, Condition, Leaf, Operand, Term, Test};
use crate::record::{Kind, Measured, Value};
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

/// A dotted name in trade words.
pub(super) fn plain(name: &str) -> String {
    name.trim_start_matches("local.").replace("pre_stretch", "pre-stretch").replace(['_', '.'], " ")
}

/// The name of a term in trade words: its label, or its path without its subject, with spaces.
pub(super) fn term(scene: &Scene<'_>, term: Term) -> String {
    let catalogue = scene.packs().catalogue();
    let fact = |key| {
        let label = labels::of(&catalogue.full_name(key)).map(str::to_owned);
        label.or_else(|| catalogue.spec(key).map(|spec| plain(&spec.name))).unwrap_or_default()
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
    labels::of(&spec.full_name()).map_or_else(|| plain(spec.name), str::to_owned)
}

/// What a yes or no is about, as a sentence without its full stop: what stands behind `Whether` in its meaning.
fn statement(scene: &Scene<'_>, term: Term) -> Option<String> {
    let about = match term {
        Term::Fact(key) => scene.packs().catalogue().spec(key)?.about.clone().into_owned(),
        Term::Figure(id) => id.spec()?.about.to_owned(),
        _ => return None,
    };
    let said = about.strip_prefix("Whether ")?;
    Some(said.split([';', '.']).next().unwrap_or(said).to_owned())
}

/// A yes or no as what it says: that its statement is so, or not.
pub(super) fn so_or_not(scene: &Scene<'_>, of: Term, so: bool) -> String {
    match statement(scene, of) {
        Some(statement) => format!("{}: {statement}", if so { "it is so" } else { "not so" }),
        None => format!("{}: {}", term(scene, of), yes_or_no(so)),
    }
}

/// A measured value with its uncertainty, such as `68.4 °F ± 0.5`.
pub(super) fn measured(measured: &Measured) -> String {
    match measured.uncertainty {
        Some(uncertainty) if !uncertainty.is_zero() => {
            let unit = measured.shown.unit().of_difference();
            let amount = Quantity::from_base(uncertainty, unit).map(two_digits).unwrap_or_default();
            format!("{} ± {amount}", measured.shown)
        }
        _ if !measured.interval.is_point() => {
            let unit = measured.shown.unit();
            let end = |base| Quantity::from_base(base, unit).map(|q| q.to_string()).unwrap_or_default();
            format!("{} to {}", end(measured.interval.lo()), end(measured.interval.hi()))
        }
        _ => measured.shown.to_string(),
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
        Known::Obstacle(why) => format!("cannot be worked out: {}", obstacles::words(why)),
    }
}

/// What a reading is compared with, in the unit of the reading; beside it in its own where that is written in the record, in
/// a unit of the other system.
fn beside(left: &Known, right: &Seen, safe: Rounding) -> String {
    let own = known_to(&right.known, safe);
    let unit = match left {
        Known::Measured(measured) => measured.shown.unit(),
        Known::Number { low, .. } => low.unit(),
        _ => return own,
    };
    let Known::Number { low, high } = &right.known else { return own };
    let (Some(low_there), Some(high_there)) = (low.in_unit(unit), high.in_unit(unit)) else { return own };
    let there = known_to(&Known::Number { low: low_there, high: high_there }, safe);
    if unit.counterpart() == unit || unit.dimension() == Dimension::Duration {
        own
    } else if right.term.is_some() && unit.is_metric() != low.unit().is_metric() {
        format!("{there} ({own})")
    } else {
        there
    }
}

/// What a comparison asks, such as `needs 72 °F or more`; `wanted` is false where it must not hold.
pub(super) fn needs(scene: &Scene<'_>, leaf: &TraceLeaf<'_>, wanted: bool) -> String {
    if let Some(said) = by_now(scene, leaf, wanted).or_else(|| by_what_is_open(scene, leaf, wanted)) {
        return said;
    }
    let test = &leaf.leaf.test;
    let row = test.row();
    let said: Vec<String> = match test {
        Test::OneOf(values) | Test::NoneOf(values) => vec![list(values, "or")],
        _ => leaf
            .right
            .iter()
            .enumerate()
            .map(|(position, seen)| beside(&leaf.left.known, seen, safe_side(row.end(position), wanted)))
            .collect(),
    };
    // `recorded: false` wants what `recorded: true` does not.
    let wanted = wanted == !matches!(test, Test::Recorded(false));
    let apart = row.relation == Relation::Equal(!wanted);
    if apart && leaf.right.first().is_none_or(|right| known_as(&leaf.left) == known_as(right)) {
        return "not allowed".to_owned();
    }
    filled(row.needs(wanted, is_time(leaf)), &said).replace("  ", " ")
}

/// What a comparison with the very moment of the judgement asks.
fn by_now(scene: &Scene<'_>, leaf: &TraceLeaf<'_>, wanted: bool) -> Option<String> {
    let (Some(operand), None) = (leaf.leaf.test.operands().next(), leaf.leaf.test.operands().nth(1)) else {
        return None;
    };
    let is_now = match operand.base {
        Base::Judgement => true,
        Base::Start => scene.start() == scene.at(),
        _ => false,
    };
    if !is_now || operand.plus.is_some() || operand.times.is_some() {
        return None;
    }
    let past = (leaf.leaf.test.row().end(0)? == End::High) == wanted;
    let due = if past { "needs to be past" } else { "needs to lie ahead" };
    Some(format!("{due}, and it is {} now", scene.at().in_zone(scene.zone())))
}

/// What a comparison with something that is not known asks: it is named, and so is what keeps it from being known.
fn by_what_is_open(scene: &Scene<'_>, leaf: &TraceLeaf<'_>, wanted: bool) -> Option<String> {
    let why = leaf.right.iter().find_map(|seen| match &seen.known {
        Known::NotRecorded => Some("which is not recorded".to_owned()),
        known @ Known::Ahead(_) => Some(format!("which is {}", self::known(known))),
        Known::Obstacle(why) => Some(format!("which cannot be worked out: {}", obstacles::words(why))),
        _ => None,
    })?;
    let row = leaf.leaf.test.row();
    let row = if wanted { Some(row) } else { row.opposite() };
    let said: Vec<String> = leaf.leaf.test.operands().map(|of| operand(scene, of)).collect();
    let of_moments = leaf.leaf.test.operands().any(|of| is_moment(scene, of));
    Some(match row {
        Some(row) if !said.is_empty() => format!("needs to be {}, {why}", filled(row.says(of_moments), &said)),
        _ => format!("compared with {}, {why}", said.join(" and ")),
    })
}

/// The side to which a bound is rounded, so that what keeps to the number shown keeps to the bound.
const fn safe_side(end: Option<End>, wanted: bool) -> Rounding {
    match (end, wanted) {
        (Some(End::Low), true) | (Some(End::High), false) => Rounding::Up,
        (Some(End::High), true) | (Some(End::Low), false) => Rounding::Down,
        (None, _) => Rounding::Nearest,
    }
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

fn known_as(seen: &Seen) -> String {
    known(&seen.known)
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
    let own = |base: Exact, rounding| Some(rounded(Quantity::from_base(base, unit)?, rounding));
    let gap = reach.gap.filter(|gap| !gap.is_zero())?;
    let sure = reach.sure.and_then(|sure| own(sure, Rounding::Down));
    let sure = sure.map(|sure| format!("; at least {sure} in any case")).unwrap_or_default();
    Some(format!("{} to go{sure}", own(gap, Rounding::Up)?))
}

/// A condition of a pack in words, with the limits' values at the instant of the judgement.
pub(super) fn condition(scene: &Scene<'_>, of: &Condition) -> String {
    match of {
        Condition::All(parts) => all(scene, parts),
        Condition::Any(parts) => parts.iter().map(|part| nested(scene, part)).collect::<Vec<_>>().join(" or "),
        Condition::Not(inner) => format!("not ({})", condition(scene, inner)),
        Condition::Each(q) => elements(scene, true, q.of, &q.meets),
        Condition::Some(q) => elements(scene, false, q.of, &q.meets),
        Condition::Leaf(leaf) => comparison(scene, leaf),
    }
}

/// Conditions that must all be met. Two bounds of one term are said in one: where they are the same, it must equal that.
fn all(scene: &Scene<'_>, parts: &[Condition]) -> String {
    let mut said: Vec<String> = Vec::new();
    let mut rest = parts.iter();
    while let Some(part) = rest.next() {
        let pair = match (part, rest.clone().next()) {
            (Condition::Leaf(low), Some(Condition::Leaf(high))) => both_bounds(scene, low, high),
            _ => None,
        };
        if pair.is_some() {
            rest.next();
        }
        said.push(pair.unwrap_or_else(|| nested(scene, part)));
    }
    said.join(" and ")
}

/// A least and a greatest bound of one term in one.
fn both_bounds(scene: &Scene<'_>, low: &Leaf, high: &Leaf) -> Option<String> {
    let (Test::AtLeast(least), Test::AtMost(most)) = (&low.test, &high.test) else { return None };
    if low.term != high.term {
        return None;
    }
    let (name, of_moments) = (term(scene, low.term), is_moment(scene, least));
    let (least, most) = (operand(scene, least), operand(scene, most));
    if least == most {
        return Some(format!("{name} equal to {least}"));
    }
    let (at_least, at_most) = (low.test.row().says(of_moments), high.test.row().says(of_moments));
    Some(format!("{name} {} and {}", filled(at_least, &[least]), filled(at_most, &[most])))
}

/// What the elements of a collection must meet, the common cases in shop words.
pub(super) fn elements(scene: &Scene<'_>, every: bool, of: Collection, meets: &Condition) -> String {
    if let (Collection::Words(key), Condition::Leaf(leaf)) = (of, meets) {
        let list_name = term(scene, Term::Fact(key));
        match (every, &leaf.test) {
            (true, Test::IsNot(a)) => return format!("no {} among {list_name}", operand(scene, a)),
            (true, Test::NoneOf(values)) => return format!("no {} among {list_name}", list(values, "or")),
            (false, Test::Is(a)) => return format!("{} among {list_name}", operand(scene, a)),
            (false, Test::OneOf(values)) => return format!("{} among {list_name}", list(values, "or")),
            _ => {}
        }
    }
    format!("{} {}: {}", if every { "every" } else { "some" }, collection(scene, of), nested(scene, meets))
}

fn nested(scene: &Scene<'_>, of: &Condition) -> String {
    match of {
        Condition::All(parts) | Condition::Any(parts) if parts.len() > 1 => format!("({})", condition(scene, of)),
        _ => condition(scene, of),
    }
}

pub(super) fn collection(scene: &Scene<'_>, of: Collection) -> String {
    match of {
        Collection::Subjects(subject) => subject.word().to_owned(),
        Collection::Words(key) => format!("entry of {}", term(scene, Term::Fact(key))),
    }
}

fn comparison(scene: &Scene<'_>, leaf: &Leaf) -> String {
    let name = term(scene, leaf.term);
    if let Test::Is(Operand { base: Base::Literal(Value::Flag(flag)), .. }) = &leaf.test {
        return match statement(scene, leaf.term).filter(|_| *flag) {
            Some(statement) => statement,
            None => format!("{name}: {}", yes_or_no(*flag)),
        };
    }
    let said: Vec<String> = match &leaf.test {
        Test::OneOf(values) | Test::NoneOf(values) => vec![list(values, "or")],
        Test::Recorded(false) => return format!("{name} not recorded"),
        other => other.operands().map(|of| operand(scene, of)).collect(),
    };
    let of_moments = leaf.test.operands().any(|of| is_moment(scene, of));
    format!("{name} {}", filled(leaf.test.row().says(of_moments), &said))
}

/// A yes or no as people say it.
pub(super) const fn yes_or_no(flag: bool) -> &'static str {
    if flag { "yes" } else { "no" }
}

fn is_moment(scene: &Scene<'_>, of: &Operand) -> bool {
    match &of.base {
        Base::Judgement
        | Base::Start
        | Base::Today
        | Base::Literal(Value::Instant(_) | Value::Day(_))
        | Base::Term(Term::ReadAt(_)) => true,
        Base::Term(Term::Fact(key)) => scene
            .packs()
            .catalogue()
            .spec(*key)
            .is_some_and(|spec| matches!(spec.kind, Kind::Event | Kind::Planned | Kind::Day)),
        _ => false,
    }
}

/// Days in a year, as a limit counts them.
const DAYS_OF_A_YEAR: Exact = Exact::from_int(365);

/// How many years a quantity of days makes up, where they are more than one and no day is over.
fn whole_years(quantity: Quantity) -> Option<i128> {
    let days = Some(quantity.value()).filter(|_| quantity.unit() == Unit::Day)?;
    let years = days.checked_div(DAYS_OF_A_YEAR)?;
    (years.denom() == 1 && years.numer() > 1).then(|| years.numer())
}

/// A limit as people say it: days that make up years say so.
fn spoken(limit: Quantity) -> String {
    match whole_years(limit) {
        Some(years) => format!("{years} years of 365 d"),
        None => limit.to_string(),
    }
}

fn operand(scene: &Scene<'_>, of: &Operand) -> String {
    let limit = |id: crate::pack::LimitId| {
        let name = scene.packs().limits().get(id.0).map_or_else(String::new, |l| l.name.replace('_', " "));
        // What is counted backwards is said without its sign, as so much before.
        let value = scene
            .limit(id)
            .map(|value| if value.base().is_negative() { value.scaled(MINUS).unwrap_or(value) } else { value });
        format!("{} ({name})", value.map_or_else(|| "not in force".to_owned(), spoken))
    };
    let backwards = |id| scene.limit(id).is_some_and(|value| value.base().is_negative());
    let mut text = match &of.base {
        Base::Literal(v) => value(v),
        Base::Limit(id) => limit(*id),
        Base::Term(t) => term(scene, *t),
        Base::Judgement => "this check".to_owned(),
        Base::Start => "the start".to_owned(),
        Base::Today => "00:00 of the day of the start".to_owned(),
    };
    if let Some(factor) = of.times {
        let factor = match factor {
            Factor::Literal(exact) => {
                Quantity::from_base(exact, Unit::Percent).map(|q| q.to_string()).unwrap_or_default()
            }
            Factor::Limit(id) => limit(id),
        };
        text = format!("{factor} of {text}");
    }
    let Some(plus) = of.plus else { return text };
    let (by, less) = match plus {
        Offset::Literal(quantity) if quantity.base().is_negative() => {
            (quantity.scaled(MINUS).unwrap_or(quantity).to_string(), true)
        }
        Offset::Literal(quantity) => (quantity.to_string(), false),
        Offset::Limit(id) => (limit(id), backwards(id)),
        Offset::LessLimit(id) => (limit(id), !backwards(id)),
    };
    match (is_moment(scene, of), less) {
        (true, true) => format!("{by} before {text}"),
        (true, false) => format!("{by} after {text}"),
        (false, true) => format!("{text} less {by}"),
        (false, false) => format!("{text} plus {by}"),
    }
}

/// Turns a sign.
const MINUS: Exact = Exact::from_int(-1);

#[cfg(test)]
mod tests;
