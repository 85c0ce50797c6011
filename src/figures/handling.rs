//! The mass of a filled assembly, for lifting gear and wheel.
//!
//! Must not know rules, or what reads the figure.

use super::material::{likely_mass, mass_unit, named_cavity};
use super::{Figure, Lack, Obstacle, Workings, checked};
use crate::record::Value;
use crate::record::catalogue::assembly;
use crate::tyre::Family;
use crate::tyre::cavity::{self, Cavity};
use crate::tyre::dimensions::{Dimensions, Length, LengthOrigin};
use crate::units::{Exact, Interval, Quantity, Unit};

/// Mass of rubber, cord and bead in kg for each litre of casing: between a light textile and a heavy steel casing.
/// Engineering estimate, no source.
const CASING_DENSITY: ((i128, i128), (i128, i128)) = ((1, 1), (3, 2));

/// Mass of the wheel as a share of the mass of its tyre, from cast aluminium to a drive wheel with a cast centre.
/// Engineering estimate, no source.
const WHEEL_SHARE: ((i128, i128), (i128, i128)) = ((1, 4), (3, 2));

/// Mass of a tube as a share of the mass of its tyre: 8 kg in a loader tyre of 150 kg, 3.5 kg in a truck tyre of 55 kg, 3 kg
/// in a forklift tyre of 27 kg (MEMORY), with room on either side. Engineering estimate, no source.
const TUBE_SHARE: ((i128, i128), (i128, i128)) = ((1, 50), (3, 25));

/// The same of a flap: 2 kg under a truck tyre of 55 kg (MEMORY), with room on either side. Engineering estimate, no source.
const FLAP_SHARE: ((i128, i128), (i128, i128)) = ((1, 100), (3, 50));

/// A tyre is weighed at this share of the middle of its estimate or above. Thin casings with tall lugs or none fill less of
/// the rectangle around them. Three dozen makers' masses from memory begin at 39 % for thin casings and at 58 % for the
/// others; each of them in pounds taken for kilograms, or the other way round, lies outside but for the heaviest few.
/// Engineering estimate, no source.
const fn least_share(family: Family) -> (i128, i128) {
    match family {
        Family::AgriculturalCode | Family::AgriculturalMetric | Family::LowSection | Family::DiameterFirst => (3, 10),
        _ => (9, 20),
    }
}

/// The greatest rim, in hundredths of an inch, of tyres whose casing is thin beside the room in it.
const SMALL_RIM: i128 = 1250;

/// As [`least_share`], for such a tyre: 4.80-8 and 18x8.50-8 weigh 28 and 31 % of the middle of their estimates (MEMORY).
/// Engineering estimate, no source.
const SMALL_LEAST: (i128, i128) = (1, 5);

/// Likely mass of such a tyre: kg for each litre inside, and kg beside that. 4.80-8 weighs 3 kg, 18x8.50-8 4 kg, 18x7-8 of
/// sixteen plies 7.5 kg and 6.50-10 of twelve 12 kg (MEMORY). Engineering estimate, no source.
const SMALL_TYRE: ((i128, i128), (i128, i128)) = ((9, 20), (7, 10));

/// Mix, tyre, wheel, tube and flap. Masses that are not recorded are estimated, widely; those that are recorded are
/// believed unless they are impossible by the tyre's name alone. So weighing one narrows the figure, whatever else is
/// on record.
pub(super) fn filled_mass(workings: &Workings<'_>) -> Figure {
    let parts = empty(workings)?;
    let sum = parts.iter().try_fold(workings.mass()?, |sum, part| sum.checked_add(part.bounds));
    checked(sum, mass_unit(workings.facts))
}

/// The same by the likeliest volume and the likeliest mass of what is estimated: lifting gear is held against it, so that no
/// width of an estimate decides. Most tyres weigh less than the middle, since a casing fills little of the rectangle around
/// it.
pub(super) fn likely_filled_mass(workings: &Workings<'_>) -> Figure {
    with_mix(workings, likely_mass(workings)?)
}

/// A mass of mix with tyre, wheel, tube and flap around it, those as heavy as they are likely to be.
pub(super) fn with_mix(workings: &Workings<'_>, mix: Interval) -> Figure {
    let parts = empty(workings)?;
    let sum = parts.iter().try_fold(mix, |sum, part| sum.checked_add(Interval::point(part.likely)));
    checked(sum, mass_unit(workings.facts))
}

/// Whether the masses that are recorded, of tyre and wheel, can be those of such a tyre and such a wheel.
pub(super) fn masses_believed(workings: &Workings<'_>) -> Figure {
    let weighed = [assembly::TYRE_MASS, assembly::WHEEL_MASS];
    if weighed.into_iter().all(|key| workings.facts.shown(key).is_none()) {
        return Err(Lack::Missing(weighed.to_vec()));
    }
    match empty(workings) {
        Ok(_) => Ok(Value::Flag(true)),
        Err(Lack::Obstacle { about, .. }) if about.iter().any(|key| weighed.contains(key)) => Ok(Value::Flag(false)),
        Err(lack) => Err(lack),
    }
}

/// What a part of an assembly weighs, in kg.
struct PartMass {
    /// Between these bounds.
    bounds: Interval,
    /// Most likely.
    likely: Exact,
}

impl PartMass {
    fn weighed(mass: Exact) -> Self {
        Self { bounds: Interval::point(mass), likely: mass }
    }

    /// This part times a share that is itself known between two bounds, most likely in their middle.
    fn share(&self, share: ((i128, i128), (i128, i128))) -> Option<Self> {
        let ((a, b), (c, d)) = share;
        let middle = Interval::new(Exact::new(a, b)?, Exact::new(c, d)?)?.mid()?;
        let likely = Interval::point(self.likely).checked_scale(middle)?.lo();
        Some(Self { bounds: scaled(self.bounds, share)?, likely })
    }
}

/// Tyre, wheel, tube and flap; what is not fitted weighs nothing.
fn empty(workings: &Workings<'_>) -> Result<[PartMass; 4], Lack> {
    let facts = workings.facts;
    let casing = casing_mass(workings)?;
    let wheel = casing.named.share(WHEEL_SHARE).ok_or_else(Lack::out_of_range)?;
    let lined = |fitted, share| match facts.flag(fitted) {
        Some(true) => casing.named.share(share),
        Some(false) | None => Some(PartMass::weighed(Exact::ZERO)),
    };
    let lining = lined(assembly::TUBE_FITTED, TUBE_SHARE).zip(lined(assembly::FLAP_FITTED, FLAP_SHARE));
    let (tube, flap) = lining.ok_or_else(Lack::out_of_range)?;
    let weighed = |key, possible: Interval, estimated, [light, heavy]: [Obstacle; 2]| {
        let Some(mass) = facts.shown(key).map(Quantity::base) else { return Ok(estimated) };
        match (mass < possible.lo(), mass > possible.hi()) {
            (true, _) => Err(Lack::obstacle(light, &[key])),
            (_, true) => Err(Lack::obstacle(heavy, &[key])),
            _ => Ok(PartMass::weighed(mass)),
        }
    };
    let of_tyre = [Obstacle::TyreTooLight, Obstacle::TyreTooHeavy];
    let tyre = weighed(assembly::TYRE_MASS, casing.possible, casing.named, of_tyre)?;
    let of_wheel = [Obstacle::WheelTooLight, Obstacle::WheelTooHeavy];
    let wheel = weighed(assembly::WHEEL_MASS, wheel.bounds, wheel, of_wheel)?;
    Ok([tyre, wheel, tube, flap])
}

/// The mass of a casing, by the name of the tyre alone: its dimensions and its inside volume tell the outside too roughly
/// to narrow it, and measuring one of them would move the bounds that another gives.
struct Casing {
    /// What it is taken for where it was not weighed.
    named: PartMass,
    /// What a scale may show.
    possible: Interval,
}

fn casing_mass(workings: &Workings<'_>) -> Result<Casing, Lack> {
    let inside = named_cavity(workings)?;
    let estimate = casing_around(workings, &inside)?;
    let rim = Exact::new(SMALL_RIM, 100).and_then(|inches| Quantity::new(inches, Unit::Inch));
    let is_small =
        rim.is_some_and(|rim| workings.designation().is_ok_and(|size| size.rim_diameter().base() <= rim.base()));
    let (num, den) = if is_small { SMALL_LEAST } else { least_share(inside.family) };
    let middle = estimate.mid().ok_or_else(Lack::out_of_range)?;
    let least = Exact::new(num, den).and_then(|share| Interval::point(middle).checked_scale(share));
    let least = least.ok_or_else(Lack::out_of_range)?.lo();
    let above = |lowest| Interval::new(lowest, estimate.hi()).ok_or_else(Lack::out_of_range);
    let small = || {
        let ((a, b), (c, d)) = SMALL_TYRE;
        let grown = Interval::point(inside.point.base()).checked_scale(Exact::new(a, b)?)?;
        Some(grown.checked_add(Interval::point(Exact::new(c, d)?))?.hi())
    };
    let bounds = above(least.min(estimate.lo()))?;
    let middle = bounds.mid().ok_or_else(Lack::out_of_range)?;
    let likely = if is_small { small().ok_or_else(Lack::out_of_range)?.min(middle).max(least) } else { middle };
    Ok(Casing { named: PartMass { bounds, likely }, possible: above(least)? })
}

/// What lies between the rectangle around the outside and the cavity, taken as casing.
fn casing_around(workings: &Workings<'_>, inside: &Cavity) -> Result<Interval, Lack> {
    let unusable = || Lack::obstacle(Obstacle::OutOfRange, &[assembly::TYRE_SIZE]);
    let dimensions = Dimensions {
        section_width: inside.section_width,
        section_height: inside.section_height,
        overall_diameter: inside.overall_diameter,
        rim_diameter: Length { quantity: workings.designation()?.rim_diameter(), origin: LengthOrigin::Name },
        rim_width: inside.rim_width,
    };
    let around = cavity::two_cylinder_bound(&dimensions).ok_or_else(unusable)?;
    // The rectangle overstates the outside; its corners are air, so the lower bound takes half of the difference.
    let between = Interval::point(around).checked_sub(inside.volume);
    let volume = between.and_then(|between| {
        let low = Interval::point(between.lo()).checked_div(Interval::point(Exact::from_int(2)))?.lo();
        Interval::new(low.max(Exact::ZERO), between.hi())
    });
    volume.and_then(|volume| scaled(volume, CASING_DENSITY)).ok_or_else(unusable)
}

/// An interval times a factor that is itself known between two bounds; both are above zero.
fn scaled(interval: Interval, factors: ((i128, i128), (i128, i128))) -> Option<Interval> {
    let ((a, b), (c, d)) = factors;
    interval.checked_mul(Interval::new(Exact::new(a, b)?, Exact::new(c, d)?)?)
}
