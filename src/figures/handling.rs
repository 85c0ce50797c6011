//! The mass of a filled assembly, for lifting gear and wheel.

use super::material::{mass_unit, named_cavity};
use super::{Figure, Lack, Obstacle, Workings, checked};
use crate::record::catalogue::assembly;
use crate::tyre::cavity::{self, Cavity};
use crate::tyre::dimensions::{Dimensions, Length, Origin};
use crate::units::{Exact, Interval};

/// Mass of rubber, cord and bead in kg for each litre of casing: between a light textile and a heavy steel casing.
/// Engineering estimate, no source.
const CASING_DENSITY: ((i128, i128), (i128, i128)) = ((1, 1), (3, 2));

/// Mass of the wheel as a share of the mass of its tyre. Engineering estimate, no source.
const WHEEL_SHARE: ((i128, i128), (i128, i128)) = ((2, 5), (3, 2));

/// A recorded mass below this part of the least estimate is a slip of the pen. Engineering estimate, no source.
const LEAST_OF_ESTIMATE: i64 = 3;

/// A recorded mass narrows the figure from this share of the middle of the estimate upwards. Engineering estimate, no
/// source.
const BELIEVED_SHARE: (i128, i128) = (3, 5);

/// Mix, tyre and wheel. Masses that are not recorded are estimated, widely.
pub(super) fn filled_mass(workings: &Workings<'_>) -> Figure {
    let facts = workings.facts;
    let mix = workings.mass()?;
    let estimated = casing_mass(workings)?;
    let recorded = |key| facts.shown(key).map(|mass| Interval::point(mass.base()));
    let tyre = recorded(assembly::TYRE_MASS);
    let wheel = recorded(assembly::WHEEL_MASS);
    let least = |estimate: Interval| estimate.lo().checked_div(Exact::from_int(LEAST_OF_ESTIMATE));
    let too_light = |recorded: Option<Interval>, estimate: Option<Interval>| {
        recorded.zip(estimate.and_then(least)).is_some_and(|(recorded, least)| recorded.lo() < least)
    };
    if too_light(tyre, Some(estimated)) {
        return Err(Lack::obstacle(Obstacle::TyreTooLight, &[assembly::TYRE_MASS]));
    }
    if too_light(wheel, scaled(estimated, WHEEL_SHARE)) {
        return Err(Lack::obstacle(Obstacle::WheelTooLight, &[assembly::WHEEL_MASS]));
    }
    let tyre = tyre.map_or(Some(estimated), |recorded| believed(recorded, estimated));
    let wheel = tyre
        .and_then(|tyre| scaled(tyre, WHEEL_SHARE))
        .and_then(|estimated| wheel.map_or(Some(estimated), |recorded| believed(recorded, estimated)));
    let sum = tyre.zip(wheel).and_then(|(tyre, wheel)| mix.checked_add(tyre)?.checked_add(wheel));
    checked(sum, mass_unit(facts))
}

/// A recorded mass as it stands, or, where it is so far below the estimate that it may be kilograms written as pounds,
/// everything from it up to the greatest estimate.
fn believed(recorded: Interval, estimated: Interval) -> Option<Interval> {
    let (num, den) = BELIEVED_SHARE;
    let least = estimated.mid()?.checked_mul(Exact::new(num, den)?)?;
    if recorded.lo() >= least {
        Some(recorded)
    } else {
        Interval::new(recorded.lo(), recorded.hi().max(estimated.hi()))
    }
}

/// The mass of the casing: as measured, within the bounds by the name alone, so that what is measured cannot make the mass
/// of the filled assembly less certain.
fn casing_mass(workings: &Workings<'_>) -> Result<Interval, Lack> {
    let named = casing_around(workings, &named_cavity(workings)?)?;
    let measured = casing_around(workings, workings.cavity()?)?;
    Ok(measured.intersect(named).unwrap_or(named))
}

/// What lies between the rectangle around the outside and the cavity, taken as casing.
fn casing_around(workings: &Workings<'_>, inside: &Cavity) -> Result<Interval, Lack> {
    let unusable = || Lack::obstacle(Obstacle::OutOfRange, &[assembly::TYRE_SIZE]);
    let dimensions = Dimensions {
        section_width: inside.section_width,
        section_height: inside.section_height,
        overall_diameter: inside.overall_diameter,
        rim_diameter: Length { quantity: workings.designation()?.rim_diameter(), origin: Origin::Name },
        rim_width: inside.rim_width,
    };
    let around = cavity::two_cylinder_bound(&dimensions).ok_or_else(unusable)?;
    // The rectangle overstates the outside; its corners are air, so the lower bound takes half of the difference.
    let high = around.checked_sub(inside.volume.lo());
    let low = around.checked_sub(inside.volume.hi()).and_then(|d| d.checked_div(Exact::from_int(2)));
    let volume = low.zip(high).and_then(|(low, high)| Interval::new(low.max(Exact::ZERO), high));
    volume.and_then(|volume| scaled(volume, CASING_DENSITY)).ok_or_else(unusable)
}

/// An interval times a factor that is itself known between two bounds; both are above zero.
fn scaled(interval: Interval, factors: ((i128, i128), (i128, i128))) -> Option<Interval> {
    let ((a, b), (c, d)) = factors;
    Interval::new(interval.lo().checked_mul(Exact::new(a, b)?)?, interval.hi().checked_mul(Exact::new(c, d)?)?)
}
