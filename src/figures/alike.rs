//! What is alike among the assemblies of one job and must agree: tyres of one size, rims of one width, the tyres of one
//! axle. It must not know how far they may differ; rules say that.

use super::markings::{casing_build, same};
use super::reader::FactReader;
use super::{Figure, Lack, Workings, checked, markings, outcome, pressure};
use crate::record::catalogue::choices::{CasingBuild, RimKind, TyreState};
use crate::record::catalogue::{assembly, stages};
use crate::record::{FactKey, Value};
use crate::tyre::Designation;
use crate::units::{Exact, Interval, Quantity, Unit};
use crate::vocabulary::TyrePlace;

/// By how much a value of this assembly differs from that of any other that is alike, as the greater of each two over the
/// lesser; 100 % where there is no other to compare with.
fn spread(
    this: &Workings<'_>,
    of: impl Fn(&Workings<'_>) -> Result<Exact, Lack>,
    alike: impl Fn(&Workings<'_>, &Workings<'_>) -> bool,
) -> Figure {
    let own = of(this)?;
    let mut widest = Exact::ONE;
    // A tyre whose size is not read is not alike to itself, and so like no other.
    if !alike(this, this) {
        return checked(Some(Interval::point(widest)), Unit::Percent);
    }
    for other in Workings::of_assemblies(this.source).filter(|other| !other.facts.is(this.facts)) {
        let Ok(value) = of(&other) else { continue };
        if alike(this, &other) {
            let share = Interval::point(own.max(value)).checked_div(Interval::point(own.min(value)));
            widest = widest.max(share.ok_or_else(Lack::out_of_range)?.hi());
        }
    }
    checked(Some(Interval::point(widest)), Unit::Percent)
}

fn build(facts: FactReader<'_>, designation: &Designation) -> Option<CasingBuild> {
    facts.choice().or_else(|| designation.construction().map(casing_build))
}

/// Whether both tyres are of one size and construction.
fn of_one_size(one: &Workings<'_>, other: &Workings<'_>) -> bool {
    let (Ok(size), Ok(size_of_other)) = (one.designation(), other.designation()) else { return false };
    size.names().any(|name| size_of_other.names().any(|other| name.same_numbers(other)))
        && same(build(one.facts, size), build(other.facts, size_of_other))
}

/// The ply rating, where it is one.
fn plies(workings: &Workings<'_>) -> Option<Exact> {
    markings::plies(workings).filter(|plies| plies.is_point()).map(Interval::lo)
}

/// Whether both are of one strength too: as many plies, as many stars.
fn of_one_strength(one: &Workings<'_>, other: &Workings<'_>) -> bool {
    let stars = |workings: &Workings<'_>| workings.designation().map(|size| size.markings().stars()).ok();
    of_one_size(one, other) && same(plies(one), plies(other)) && same(stars(one), stars(other))
}

fn recorded(workings: &Workings<'_>, key: FactKey) -> Result<Exact, Lack> {
    workings.facts.need_shown(key).map(Quantity::base)
}

/// The highest pressure among tyres of one size and strength.
pub(super) fn maximum(this: &Workings<'_>) -> Figure {
    spread(this, |one| pressure::maximum_base(one.facts), of_one_strength)
}

/// The highest pressure for one ply among tyres of one size.
pub(super) fn maximum_by_plies(this: &Workings<'_>) -> Figure {
    let of = |one: &Workings<'_>| {
        let plies = plies(one).ok_or_else(|| Lack::missing(assembly::TYRE_PLY_RATING))?;
        pressure::maximum_base(one.facts)?.checked_div(plies).ok_or_else(Lack::out_of_range)
    };
    spread(this, of, of_one_size)
}

/// The recorded inside volume among tyres of one size.
pub(super) fn volume(this: &Workings<'_>) -> Figure {
    spread(this, |one| recorded(one, assembly::TYRE_INSIDE_VOLUME), of_one_size)
}

/// The recorded mass among tyres of one size.
pub(super) fn mass(this: &Workings<'_>) -> Figure {
    spread(this, |one| recorded(one, assembly::TYRE_MASS), of_one_size)
}

/// The recorded overall diameter among tyres of one size.
pub(super) fn diameter(this: &Workings<'_>) -> Figure {
    spread(this, |one| recorded(one, assembly::TYRE_OVERALL_DIAMETER), of_one_size)
}

/// The rating of rim and wheel among rims of one kind and width under tyres of one size.
pub(super) fn rim_rating(this: &Workings<'_>) -> Figure {
    let shown = |workings: &Workings<'_>, key| workings.facts.shown(key).map(Quantity::base);
    let alike = |one: &Workings<'_>, other: &Workings<'_>| {
        of_one_size(one, other)
            && same(one.facts.choice::<RimKind>(), other.facts.choice())
            && same(shown(one, assembly::RIM_WIDTH), shown(other, assembly::RIM_WIDTH))
    };
    spread(this, |one| pressure::of_wheel_base(one.facts), alike)
}

/// Whether two tyres are on one axle by the words of their marks, as the comparison of their places says.
fn on_one_axle(one: &Workings<'_>, other: &Workings<'_>, by: fn(&TyrePlace, &TyrePlace) -> bool) -> bool {
    one.spot().zip(other.spot()).is_some_and(|(one, other)| by(one, other))
}

/// The target pressure among tyres of one size on one axle, or on axles that no mark tells apart.
pub(super) fn target(this: &Workings<'_>) -> Figure {
    spread(this, |one| recorded(one, assembly::TARGET_PRESSURE), on_one_axle_of_one_size)
}

/// Whether both are tyres of one size on one axle, or on axles that no mark tells apart.
fn on_one_axle_of_one_size(one: &Workings<'_>, other: &Workings<'_>) -> bool {
    of_one_size(one, other) && on_one_axle(one, other, TyrePlace::is_on_axle_of)
}

/// The rim width among tyres of one size on one axle.
pub(super) fn rim_width(this: &Workings<'_>) -> Figure {
    spread(this, |one| recorded(one, assembly::RIM_WIDTH), on_one_axle_of_one_size)
}

/// The load among tyres of one size on one axle.
pub(super) fn load(this: &Workings<'_>) -> Figure {
    spread(this, |one| recorded(one, assembly::TARGET_LOAD), on_one_axle_of_one_size)
}

/// The torque of the nuts by the manual among wheels of one axle. On an axle that no mark tells they may be of two, whose
/// hubs have studs of their own.
pub(super) fn torque(this: &Workings<'_>) -> Figure {
    let alike = |one: &Workings<'_>, other: &Workings<'_>| {
        of_one_size(one, other) && on_one_axle(one, other, TyrePlace::shares_axle_with)
    };
    spread(this, |one| recorded(one, assembly::WHEEL_NUT_TORQUE), alike)
}

/// Pumped mass, by the middle of its bounds, compared among like tyres: those of one size and state. Tyres of another
/// rim width or recorded inside volume are left out.
pub(super) fn pumped(this: &Workings<'_>) -> Figure {
    let of = |one: &Workings<'_>| {
        let middle = outcome::pumped(one)?.mid().ok_or_else(Lack::out_of_range)?;
        // What took nothing is asked about elsewhere.
        Some(middle).filter(|mass| *mass > Exact::ZERO).ok_or_else(|| Lack::missing(stages::FILL_STROKES))
    };
    let shown = |workings: &Workings<'_>, key| workings.facts.shown(key).map(Quantity::base);
    let alike = |one: &Workings<'_>, other: &Workings<'_>| {
        of_one_size(one, other)
            && same(one.facts.choice::<TyreState>(), other.facts.choice())
            && [assembly::RIM_WIDTH, assembly::TYRE_INSIDE_VOLUME]
                .into_iter()
                .all(|key| same(shown(one, key), shown(other, key)))
    };
    spread(this, of, alike)
}

/// Whether the tyres of one axle are of one size and construction. Where a mark does not tell the axle they may be of two.
pub(super) fn axle_matches(this: &Workings<'_>) -> Figure {
    this.designation()?;
    let others = Workings::of_assemblies(this.source).filter(|other| !other.facts.is(this.facts));
    let mut told = others.filter(|other| other.designation().is_ok());
    let unlike = told.any(|other| on_one_axle(this, &other, TyrePlace::shares_axle_with) && !of_one_size(this, &other));
    Ok(Value::Flag(!unlike))
}
