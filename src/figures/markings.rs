//! Figures read off the tyre's own markings.
//!
//! Must not know rules, or what reads the figure.

use super::reader::{FactReader, JobSource};
use super::{Figure, Lack, Obstacle, Workings, between, checked, measured};
use crate::record::catalogue::choices::{AirSeal, CasingBuild};
use crate::record::catalogue::{assembly, job};
use crate::record::{FactKey, Measured, Value};
use crate::tyre::designation::{Construction, ServiceDescription, Tube};
use crate::tyre::dimensions::own_rim;
use crate::tyre::{Designation, Family, TubeMarking, has_steel_belts, load_range, on_earthmover_rim};
use crate::units::{Exact, Interval, Quantity, Unit};

/// The size designation of an assembly.
pub(super) fn designation(facts: FactReader<'_>) -> Result<Designation, Lack> {
    let text = facts.need_text(assembly::TYRE_SIZE)?;
    // A record holds no size that cannot be read.
    Designation::parse(text).map_err(|_| Lack::missing(assembly::TYRE_SIZE))
}

/// Everything that the sidewall says of the ply rating, in one interval: two that differ are neither believed.
pub(super) fn plies(workings: &Workings<'_>) -> Option<Interval> {
    let facts = workings.facts;
    let recorded = facts.shown(assembly::TYRE_PLY_RATING).map(Quantity::base);
    let by_letter = facts.text(assembly::TYRE_LOAD_RANGE).and_then(|letter| load_range::ply_rating(letter).ok());
    // A size designation may carry one too, as `16PR` or as a load range.
    let by_size = workings.designation().ok().and_then(Designation::ply_rating);
    let whole = |ply: Option<u8>| ply.map(|ply| Exact::from_int(i64::from(ply)));
    let said = || [recorded, whole(by_letter), whole(by_size)].into_iter().flatten();
    Interval::new(said().min()?, said().max()?)
}

/// The ply rating: recorded, by load range, or in the size.
pub(super) fn ply_rating(workings: &Workings<'_>) -> Figure {
    match plies(workings) {
        // There is no odd ply rating; what is in doubt between two is another question.
        Some(plies) if plies.is_point() && !even(plies.lo()) => {
            Err(Lack::obstacle(Obstacle::NoSuchPlyRating, &[assembly::TYRE_PLY_RATING]))
        }
        Some(plies) => between(plies, Unit::One),
        None => Err(Lack::missing(assembly::TYRE_PLY_RATING)),
    }
}

fn even(plies: Exact) -> bool {
    plies.denom() == 1 && plies.numer() % 2 == 0
}

/// The bead seat diameter named in the size designation.
pub(super) fn bead_diameter(workings: &Workings<'_>) -> Figure {
    Ok(measured(Measured::exact(workings.designation()?.rim_diameter())))
}

/// One end of the rim widths to expect for the size.
pub(super) fn rim_width(workings: &Workings<'_>, end: fn(Interval) -> Exact) -> Figure {
    let widths = workings.rim_widths()?;
    let unit = workings.facts.unit_of(&[assembly::RIM_WIDTH]).unwrap_or(Unit::Inch);
    checked(widths.map(|widths| Interval::point(end(widths.permitted))), unit)
}

/// The rim width that goes with the size, where it is known.
pub(super) fn own_rim_width(workings: &Workings<'_>) -> Figure {
    let own = own_rim(workings.designation()?).ok_or_else(|| Lack::missing(assembly::TYRE_SIZE))?;
    Ok(measured(Measured::exact(own)))
}

/// Whether the size designation and the rest of the record say the same of construction, seal and strength, as far as they
/// speak, and the strength is one that there is.
pub(super) fn size_agrees(workings: &Workings<'_>) -> Figure {
    let designation = workings.designation()?;
    let named = designation.construction().map(casing_build);
    // Stars mark the load capacity of radial tyres only.
    let starred = (designation.markings().stars() > 0).then_some(CasingBuild::Radial);
    let seal = designation.markings().tube().map(|tube| match tube {
        Tube::Tubeless => AirSeal::Tubeless,
        Tube::TubeType => AirSeal::TubeType,
    });
    let agrees =
        same(named, starred) && same(named.or(starred), workings.facts.choice()) && same(seal, workings.facts.choice());
    // There is no odd ply rating.
    let one_strength = plies(workings).is_none_or(|plies| plies.is_point() && even(plies.lo()));
    Ok(Value::Flag(agrees && one_strength))
}

/// What both say is the same, or one of them says nothing: silence makes nothing unlike.
pub(super) fn same<T: PartialEq>(one: Option<T>, other: Option<T>) -> bool {
    one.zip(other).is_none_or(|(one, other)| one == other)
}

/// How a casing is built that a size designation names so.
pub(super) fn casing_build(construction: Construction) -> CasingBuild {
    match construction {
        Construction::Radial => CasingBuild::Radial,
        Construction::Diagonal | Construction::BiasBelted => CasingBuild::Bias,
    }
}

/// Whether the tyre is a radial by the record, where it says so.
pub(super) fn is_radial_by_record(facts: FactReader<'_>) -> Option<bool> {
    facts.choice().map(|recorded: CasingBuild| recorded == CasingBuild::Radial)
}

/// Whether the tyre is a radial, by its size or by the record: one that says so is enough.
fn is_radial(workings: &Workings<'_>) -> Result<bool, Lack> {
    let by_size = workings.designation()?.construction().map(|construction| construction == Construction::Radial);
    let recorded = is_radial_by_record(workings.facts);
    match (by_size, recorded) {
        (None, None) => Err(Lack::missing(assembly::TYRE_CONSTRUCTION)),
        (by_size, recorded) => Ok(by_size == Some(true) || recorded == Some(true)),
    }
}

/// Whether a radial tyre is of the kinds that have steel in casing or belts: of trucks, earthmovers and graders. Bias tyres
/// are not expected to. Common practice, no source; the sidewall decides.
pub(super) fn steel_expected(workings: &Workings<'_>) -> Figure {
    let designation = workings.designation()?;
    let radial = is_radial(workings)?;
    let kind = matches!(
        Family::of(designation),
        Family::TruckCode
            | Family::TruckDropCentre
            | Family::TruckWideBase
            | Family::TruckMetric
            | Family::WideBaseEarthmover
            | Family::ConventionalEarthmover
            | Family::LowEarthmover
    );
    Ok(Value::Flag(radial && kind))
}

/// Whether a radial tyre is of the kinds whose belts are of steel: all but those of farms. Common practice, no source; the
/// sidewall decides.
pub(super) fn steel_belts_expected(workings: &Workings<'_>) -> Figure {
    Ok(Value::Flag(has_steel_belts(workings.designation()?) && is_radial(workings)?))
}

/// Whether the rim of the size is one of earthmovers, which have rings.
pub(super) fn earthmover_rim(workings: &Workings<'_>) -> Figure {
    Ok(Value::Flag(on_earthmover_rim(workings.designation()?)))
}

/// The section width that the size names.
pub(super) fn named_width(workings: &Workings<'_>) -> Figure {
    Ok(measured(Measured::exact(workings.designation()?.section_width())))
}

/// How far the recorded load rating is from the load of the load index in the size, single or dual, whichever is
/// nearer, as the greater over the lesser; 100 % where the size has no index.
pub(super) fn rating_of_index(workings: &Workings<'_>) -> Figure {
    let rating = workings.facts.need_shown(assembly::TYRE_LOAD_RATING)?.base();
    let described = workings.designation()?.markings().descriptions().iter();
    let loads = described.flat_map(ServiceDescription::loads).map(Quantity::base);
    let off = |load: Exact| Interval::point(load.max(rating)).checked_div(Interval::point(load.min(rating)));
    let offs = loads.map(|load| off(load).ok_or_else(Lack::out_of_range)).collect::<Result<Vec<_>, Lack>>()?;
    let nearest = offs.into_iter().map(Interval::hi).min().unwrap_or(Exact::ONE);
    checked(Some(Interval::point(nearest)), Unit::Percent)
}

/// The load of the load index in the size, in kg: of a single tyre where there are two, which is the greater.
pub(super) fn index_load(workings: &Workings<'_>) -> Result<Exact, Lack> {
    let described = workings.designation()?.markings().descriptions().iter();
    let loads = described.flat_map(ServiceDescription::loads).map(Quantity::base);
    loads.max().ok_or_else(|| Lack::missing(assembly::TYRE_SIZE))
}

/// The load as a share of that of the load index in the size.
pub(super) fn load_of_index(workings: &Workings<'_>) -> Figure {
    let load = workings.facts.need_shown(assembly::TARGET_LOAD)?.base();
    let most = index_load(workings)?;
    checked(Interval::point(load).checked_div(Interval::point(most)), Unit::Percent)
}

/// The accepted speed as a share of that of the speed symbol in the size, the highest where there are several.
pub(super) fn speed_of_mark(workings: &Workings<'_>) -> Figure {
    let accepted = workings.source.need_of_job(job::ACCEPTED_SPEED)?.interval;
    let described = workings.designation()?.markings().descriptions().iter();
    let marked = described.filter_map(ServiceDescription::speed).map(Quantity::base).max();
    let marked = marked.ok_or_else(|| Lack::missing(assembly::TYRE_SIZE))?;
    checked(accepted.checked_div(Interval::point(marked)), Unit::Percent)
}

/// Whether the size says that the tyre is not for highway service.
pub(super) fn not_for_highway(workings: &Workings<'_>) -> Figure {
    Ok(Value::Flag(workings.designation()?.markings().not_for_highway()))
}

/// What Shore A scales can show of a filling; a number outside is no hardness.
const HARDNESSES: std::ops::RangeInclusive<u32> = 10..=95;

/// The hardness that the name of the grade has in it, such as 55 in `firm 55`: the only number in it that can be one.
pub(super) fn grade_number(source: JobSource<'_>) -> Figure {
    let shop = source.whole().ok_or_else(|| Lack::missing(job::ORDER_SYSTEM))?;
    let grade = shop.need_text(job::ORDER_SYSTEM)?;
    // `B-12 55`: cut at what is neither digit nor behind the letter of a code.
    let words: Vec<&str> = grade.split(|c: char| !c.is_alphanumeric() && c != '-').map(without_code).collect();
    let next = words.iter().skip(1).copied().chain([""]);
    let hard = words.iter().copied().zip(next).filter(|(word, next)| !is_of_other_kind(word, next));
    let numbers = hard.flat_map(|(word, _)| word.split(|c: char| !c.is_ascii_digit()));
    let numbers = numbers.filter_map(|digits| digits.parse::<u32>().ok());
    let mut hardnesses = numbers.filter(|number| HARDNESSES.contains(number));
    match (hardnesses.next(), hardnesses.next()) {
        (Some(number), None) => between(Interval::point(Exact::from_int(i64::from(number))), Unit::One),
        _ => Err(Lack::obstacle(Obstacle::NoNumberInGrade, &[job::ORDER_SYSTEM])),
    }
}

/// Units behind a number in the name of a grade: such a number tells how long it flows, or how much is in a pail.
const UNITS_OF_OTHER_KINDS: [&str; 14] =
    ["h", "hr", "hrs", "hour", "hours", "min", "minute", "minutes", "day", "days", "lb", "kg", "gal", "l"];

/// Whether the number at the beginning of a word has a unit behind it, in the word itself or as the next one.
fn is_of_other_kind(word: &str, next: &str) -> bool {
    let behind = word.trim_start_matches(|c: char| c.is_ascii_digit());
    let unit = if behind.is_empty() { next } else { behind.trim_start_matches('-') };
    word.starts_with(|c: char| c.is_ascii_digit())
        && UNITS_OF_OTHER_KINDS.iter().any(|of| of.eq_ignore_ascii_case(unit))
}

/// A word without the code that it begins with: a number joined to a single letter, `B-12` or `B12`, counts a maker's
/// grades. The letter of the scale, `A55`, makes none.
fn without_code(word: &str) -> &str {
    let mut letters = word.chars();
    let coded = letters.next().is_some_and(|letter| letter.is_alphabetic() && !letter.eq_ignore_ascii_case(&'a'));
    let behind = letters.as_str().trim_start_matches('-');
    if coded && behind.starts_with(|c: char| c.is_ascii_digit()) {
        behind.trim_start_matches(|c: char| c.is_ascii_digit())
    } else {
        word
    }
}

/// Whether the tube is marked for a size that the tyre shows: sizes are compared, not texts.
pub(super) fn tube_suits(workings: &Workings<'_>) -> Figure {
    names_the_size(workings, assembly::TUBE_SIZE, TubeMarking::suits)
}

/// Whether the rim width is listed for a size that the tyre shows.
pub(super) fn width_listed_for_size(workings: &Workings<'_>) -> Figure {
    names_the_size(workings, assembly::RIM_LISTED_FOR, TubeMarking::names)
}

/// Whether one or more sizes that a fact states are those of the tyre.
fn names_the_size(workings: &Workings<'_>, key: FactKey, are: fn(&TubeMarking, &Designation) -> bool) -> Figure {
    let tyre = workings.designation()?;
    let text = workings.facts.need_text(key)?;
    // A record holds no sizes that cannot be read.
    let sizes = TubeMarking::parse(text).map_err(|_| Lack::missing(key))?;
    Ok(Value::Flag(are(&sizes, tyre)))
}

/// How many years before the planned start the data sheet is from, by the latest year that its title names; below zero for a
/// year still to come. A year is four digits from 1900 to 2099 that are not part of the grade.
pub(super) fn sheet_age(source: JobSource<'_>) -> Figure {
    let shop = source.whole().ok_or_else(|| Lack::missing(job::SHEET))?;
    let (title, grade) = (shop.need_text(job::SHEET)?, shop.text(job::ORDER_SYSTEM).unwrap_or_default());
    let year = |word: &str| -> Option<i64> {
        let is_year = word.len() == 4 && word.chars().all(|digit| digit.is_ascii_digit());
        word.parse().ok().filter(|year| is_year && (1900..2100).contains(year) && !grade.contains(word))
    };
    let latest = title.split(|c: char| !c.is_alphanumeric()).filter_map(year).max();
    let latest = latest.ok_or_else(|| Lack::missing(job::SHEET))?;
    let start = shop.need_instant(job::PLANNED_START)?.to_record_text();
    let now = start.split('-').next().and_then(|year| year.parse::<i64>().ok()).ok_or_else(Lack::out_of_range)?;
    super::between(Interval::point(Exact::from_int(now - latest)), Unit::One)
}

/// Whether the title of the data sheet has the grade that was ordered in it, in any case and however it is joined.
/// Whole words that stand side by side make it: neither part of a word nor the number of a sheet is a grade.
pub(super) fn sheet_names_grade(source: JobSource<'_>) -> Figure {
    let shop = source.whole().ok_or_else(|| Lack::missing(job::SHEET))?;
    let title = words_and_numbers(shop.need_text(job::SHEET)?);
    let grade = words_and_numbers(shop.need_text(job::ORDER_SYSTEM)?).concat();
    Ok(Value::Flag((0..title.len()).any(|at| begins_with(title.iter().skip(at), &grade))))
}

/// Whether some of the words from the first on make the grade.
fn begins_with<'w>(words: impl Iterator<Item = &'w String>, grade: &str) -> bool {
    let mut rest = grade;
    for word in words {
        match rest.strip_prefix(word.as_str()) {
            Some("") => return true,
            Some(behind) => rest = behind,
            None => return false,
        }
    }
    false
}

/// The words and the numbers of a text in small letters: `Firm-55`, `FIRM55` and `firm 55` have the same.
pub(super) fn words_and_numbers(text: &str) -> Vec<String> {
    let mut parts: Vec<String> = Vec::new();
    let mut before: Option<char> = None;
    for letter in text.chars() {
        let goes_on =
            before.is_some_and(|before| before.is_alphanumeric() && before.is_ascii_digit() == letter.is_ascii_digit());
        if letter.is_alphanumeric() {
            match parts.last_mut().filter(|_| goes_on) {
                Some(part) => part.extend(letter.to_lowercase()),
                None => parts.push(letter.to_lowercase().collect()),
            }
        }
        before = Some(letter);
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::without_code;

    /// Names of grades as makers form them; invented, from memory.
    #[test]
    fn a_number_joined_to_a_single_letter_is_a_code() {
        for (word, rest) in [("B-12", ""), ("B12", ""), ("B12-55", "-55"), ("X7", "")] {
            assert_eq!(without_code(word), rest, "{word}");
        }
        for word in ["A55", "a-55", "firm-55", "TF-60", "55", "55A", "B", "B-firm", ""] {
            assert_eq!(without_code(word), word);
        }
    }
}
