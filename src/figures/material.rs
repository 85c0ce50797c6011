//! Material: what the assemblies take, what each component must give, and what the pump must do for it.
//!
//! Must not know rules, or what reads the figure.

use super::reader::{FactReader, JobSource};
use super::{Figure, Lack, Obstacle, Parameter, Workings, between, checked};
use crate::record::catalogue::choices::{CasingBuild, TyreState};
use crate::record::catalogue::{assembly, component, job as whole};
use crate::record::{FactKey, Value};
use crate::tyre::cavity::{self, Cavity};
use crate::tyre::{Construction, dimensions};
use crate::units::{Exact, Interval, Quantity, Unit};
use crate::vocabulary::{Look, Subject};

/// The inputs of the cavity model by the name of the tyre, with strength and construction as recorded.
fn by_name<'w>(workings: &'w Workings<'_>) -> Result<cavity::CavityInputs<'w>, Lack> {
    let facts = workings.facts;
    let designation = workings.designation()?;
    let ply_rating = match super::markings::plies(workings).filter(|plies| plies.is_point()) {
        None => None,
        Some(plies) => {
            let whole = u8::try_from(plies.lo().numer()).ok().filter(|_| plies.lo().denom() == 1);
            let odd = || Lack::obstacle(Obstacle::NoSuchPlyRating, &[assembly::TYRE_PLY_RATING]);
            Some(whole.ok_or_else(odd)?)
        }
    };
    let construction = facts.choice().map(|recorded| match recorded {
        CasingBuild::Radial => Construction::Radial,
        CasingBuild::Bias => Construction::Diagonal,
    });
    Ok(cavity::CavityInputs { ply_rating, construction, ..cavity::CavityInputs::by_name(designation) })
}

/// The cavity as measured, or as the tyre's maker publishes it.
pub(super) fn cavity(workings: &Workings<'_>) -> Result<Cavity, Lack> {
    recorded_cavity(workings, workings.source.limit(Parameter::VolumeModelWidth)?)
}

/// The same, the bounds of the model as wide as this says.
fn recorded_cavity(workings: &Workings<'_>, width: Exact) -> Result<Cavity, Lack> {
    let Workings { source, facts, .. } = *workings;
    let named = by_name(workings)?;
    let quantity = |key| facts.shown(key);
    let inside_volume = match quantity(assembly::TYRE_INSIDE_VOLUME) {
        None => None,
        Some(volume) => {
            let least = source.limit(Parameter::InsideVolumeLeast)?;
            let most = source.limit(Parameter::InsideVolumeMost)?;
            // Where the two limits leave no room, no volume is believed.
            let believed = Interval::new(least, most).unwrap_or(Interval::point(Exact::ZERO));
            Some(cavity::StatedVolume { volume, believed })
        }
    };
    let inputs = cavity::CavityInputs {
        recorded: dimensions::Recorded {
            section_width: quantity(assembly::TYRE_SECTION_WIDTH),
            overall_diameter: quantity(assembly::TYRE_OVERALL_DIAMETER),
            rim_width: quantity(assembly::RIM_WIDTH),
        },
        inside_volume,
        width,
        ..named
    };
    estimate(&inputs)
}

/// The cavity by the name alone, between the bounds as they were fitted: what a scale may show is told by them, and
/// wider ones would believe more.
pub(super) fn named_cavity(workings: &Workings<'_>) -> Result<Cavity, Lack> {
    estimate(&by_name(workings)?)
}

fn estimate(inputs: &cavity::CavityInputs<'_>) -> Result<Cavity, Lack> {
    cavity::estimate(inputs).map_err(|error| {
        let about = culprit(&error);
        Lack::obstacle(Obstacle::NoCavity(Box::new(error)), &[about])
    })
}

/// The fact that stands in the way of the volume.
fn culprit(error: &cavity::CavityError) -> FactKey {
    use dimensions::{DimensionError, DimensionName};
    let of = |item: &DimensionName| match item {
        DimensionName::SectionWidth => assembly::TYRE_SECTION_WIDTH,
        DimensionName::OverallDiameter => assembly::TYRE_OVERALL_DIAMETER,
        DimensionName::RimWidth => assembly::RIM_WIDTH,
    };
    match error {
        cavity::CavityError::Dimensions(DimensionError::Implausible(misfit)) => of(&misfit.item),
        cavity::CavityError::Dimensions(DimensionError::NotALength { item }) => of(item),
        cavity::CavityError::Implausible { .. } | cavity::CavityError::NotAVolume => assembly::TYRE_INSIDE_VOLUME,
        cavity::CavityError::PlyRating { .. } => assembly::TYRE_PLY_RATING,
        _ => assembly::TYRE_SIZE,
    }
}

/// The volume inside the mounted tyre, new.
pub(super) fn cavity_volume(workings: &Workings<'_>) -> Figure {
    between(workings.cavity()?.volume, volume_unit(workings.facts))
}

/// Whether the recorded inside volume is near enough to what the size gives.
pub(super) fn volume_believed(workings: &Workings<'_>) -> Figure {
    let believed = workings.cavity()?.believed;
    believed.map(Value::Flag).ok_or_else(|| Lack::missing(assembly::TYRE_INSIDE_VOLUME))
}

/// Litres where the crew writes metric pressures, gallons elsewhere.
pub(super) fn volume_unit(facts: FactReader<'_>) -> Unit {
    if is_metric(facts) { Unit::Litre } else { Unit::Gallon }
}

pub(super) fn mass_unit(facts: FactReader<'_>) -> Unit {
    if is_metric(facts) { Unit::Kilogram } else { Unit::Pound }
}

pub(super) fn is_metric(facts: FactReader<'_>) -> bool {
    let written = [assembly::TARGET_PRESSURE, assembly::TYRE_SIDEWALL_MAXIMUM, assembly::TYRE_PUBLISHED_MAXIMUM];
    facts.unit_of(&written).is_some_and(|unit| unit != Unit::Psi)
}

/// Density of one component in kg/L at its core temperature, and its share of the mix by mass before dividing.
pub(super) fn density_and_parts(side: FactReader<'_>) -> Result<(Interval, Interval), Lack> {
    let density = Interval::point(side.need_shown(component::DENSITY)?.base());
    let correction = (|| {
        let given_at = side.shown(component::DENSITY_AT)?.base();
        let expansion = side.shown(component::EXPANSION)?.base();
        let core = side.shown(component::CORE_TEMPERATURE)?.base();
        // The same mass takes (1 + expansion x difference) of its volume.
        let warmer = Interval::point(core).checked_sub(Interval::point(given_at))?;
        Interval::point(Exact::ONE).checked_add(warmer.checked_scale(expansion)?)
    })();
    let density = match correction {
        Some(factor) if !believable(factor) => {
            let about = [component::DENSITY_AT, component::EXPANSION];
            return Err(Lack::obstacle(Obstacle::DensityCorrection, &about));
        }
        Some(factor) => density.checked_div(factor),
        None => Some(density),
    };
    let density = density.ok_or_else(Lack::out_of_range)?;
    Ok((density, parts_by_weight(side, density)?))
}

/// The parts of one component by weight, as they are written or from its parts by volume.
fn parts_by_weight(side: FactReader<'_>, density: Interval) -> Result<Interval, Lack> {
    let by_volume = side.shown(component::PARTS_BY_VOLUME).map(Quantity::base);
    let (parts, key) = match (side.shown(component::PARTS).map(Quantity::base), by_volume) {
        (Some(_), Some(_)) => return Err(two_ratios()),
        (None, Some(volume)) => (density.checked_scale(volume), component::PARTS_BY_VOLUME),
        (weight, None) => {
            let weight = weight.ok_or_else(|| Lack::missing(component::PARTS))?;
            (Some(Interval::point(weight)), component::PARTS)
        }
    };
    match parts {
        Some(parts) if parts.lo() <= Exact::ZERO => Err(Lack::obstacle(Obstacle::NoParts, &[key])),
        parts => parts.ok_or_else(Lack::out_of_range),
    }
}

fn two_ratios() -> Lack {
    Lack::obstacle(Obstacle::TwoRatios, &[component::PARTS, component::PARTS_BY_VOLUME])
}

/// Whether the two sides are of two lots, however the marks are written; a container that fills both is not a mix.
pub(super) fn two_lots(source: JobSource<'_>) -> Figure {
    let mark = |side: FactReader<'_>| {
        let text = side.need_text(component::LOT)?;
        Ok(Look::of(&text.chars().filter(|c| c.is_alphanumeric()).collect::<String>()))
    };
    let marks = source.of(Subject::Component).map(mark).collect::<Result<Vec<_>, Lack>>()?;
    let twin = marks.iter().zip(marks.iter().skip(1)).any(|(one, other)| one.is_like(other));
    Ok(Value::Flag(!twin))
}

/// The need of one side that goes with the recorded need of the other, by their parts by weight.
pub(super) fn need_by_ratio(source: JobSource<'_>, facts: FactReader<'_>) -> Figure {
    let other = source.of(Subject::Component).find(|side| !side.is(facts));
    let other = other.ok_or_else(|| Lack::missing(component::NEEDED))?;
    let needed = other.need_shown(component::NEEDED)?;
    let (_, own_parts) = density_and_parts(facts)?;
    let (_, other_parts) = density_and_parts(other)?;
    let due = own_parts.checked_scale(needed.base()).and_then(|due| due.checked_div(other_parts));
    checked(due, needed.unit())
}

/// The density of the isocyanate as a share of that of the polyol, each as its data sheet gives it.
pub(super) fn density_ratio(source: JobSource<'_>) -> Figure {
    let density = |side: FactReader<'_>| side.need_shown(component::DENSITY).map(|shown| Interval::point(shown.base()));
    let densities = source.of(Subject::Component).map(density).collect::<Result<Vec<_>, Lack>>()?;
    let ratio = match densities.as_slice() {
        [isocyanate, polyol] => isocyanate.checked_div(*polyol),
        _ => None,
    };
    checked(ratio, Unit::Percent)
}

/// Whether the isocyanate settles only where the polyol does.
pub(super) fn settles_as_usual(source: JobSource<'_>) -> Figure {
    let settles = |side: FactReader<'_>| side.flag(component::SETTLES);
    match source.of(Subject::Component).map(settles).collect::<Vec<_>>().as_slice() {
        [Some(isocyanate), Some(polyol)] => Ok(Value::Flag(*polyol || !isocyanate)),
        _ => Err(Lack::missing(component::SETTLES)),
    }
}

/// Whether a correction of density for temperature can be right: within a twentieth either way. Liquids expand by less
/// than a thousandth a kelvin (engineering estimate, no source), so that is more than fifty kelvin.
fn believable(factor: Interval) -> bool {
    let hundredths = |count| Exact::new(count, 100);
    hundredths(95) <= Some(factor.lo()) && Some(factor.hi()) <= hundredths(105)
}

/// The density of the mix in kg/L, and the sum of the parts: volumes add up.
fn mix(source: JobSource<'_>) -> Result<(Interval, Interval), Lack> {
    source.shared().mix.get_or_init(|| mix_of(source)).clone()
}

fn mix_of(source: JobSource<'_>) -> Result<(Interval, Interval), Lack> {
    let written = |key| move |side: FactReader<'_>| side.shown(key).is_some();
    if source.of(Subject::Component).any(written(component::PARTS))
        && source.of(Subject::Component).any(written(component::PARTS_BY_VOLUME))
    {
        return Err(two_ratios());
    }
    let mut parts_sum = Interval::point(Exact::ZERO);
    let mut volume_sum = Interval::point(Exact::ZERO);
    for side in source.of(Subject::Component) {
        let (density, parts) = density_and_parts(side)?;
        let sums = parts_sum
            .checked_add(parts)
            .zip(parts.checked_div(density).and_then(|volume| volume_sum.checked_add(volume)));
        (parts_sum, volume_sum) = sums.ok_or_else(Lack::out_of_range)?;
    }
    let density = parts_sum.checked_div(volume_sum);
    density.map(|density| (density, parts_sum)).ok_or_else(|| Lack::missing(component::DENSITY))
}

/// What fills one assembly, in kg. A used tyre may have grown, so only the upper bound moves.
pub(super) fn assembly_mass(workings: &Workings<'_>) -> Result<Interval, Lack> {
    let volume = workings.cavity()?.volume;
    let (density, _) = mix(workings.source)?;
    let grown = grown(workings, volume)?;
    grown.checked_mul(density).ok_or_else(Lack::out_of_range)
}

/// One end of what fills one assembly as it was when new, in kg. The bounds of the model are those that were fitted: wider
/// ones are for what is bought and mixed, and between them more would pass for a full tyre.
pub(super) fn end_when_new(workings: &Workings<'_>, end: fn(Interval) -> Exact) -> Result<Interval, Lack> {
    let (density, _) = mix(workings.source)?;
    let inside = if workings.source.limit(Parameter::VolumeModelWidth)? == Exact::ONE {
        workings.cavity()?.volume
    } else {
        recorded_cavity(workings, Exact::ONE)?.volume
    };
    let volume = or_recorded(workings, end(inside))?;
    volume.checked_scale(end(density)).ok_or_else(Lack::out_of_range)
}

/// A volume that the model gives, in litres. Of a recorded one that is not believed and this one nobody knows which is
/// right: then it lies between the two, so that a stricter limit of belief makes nothing pass.
fn or_recorded(workings: &Workings<'_>, modelled: Exact) -> Result<Interval, Lack> {
    let recorded = workings.facts.shown(assembly::TYRE_INSIDE_VOLUME).map(Quantity::base);
    match recorded.filter(|_| workings.cavity().is_ok_and(|cavity| cavity.believed == Some(false))) {
        Some(recorded) => Interval::new(recorded.min(modelled), recorded.max(modelled)).ok_or_else(Lack::out_of_range),
        None => Ok(Interval::point(modelled)),
    }
}

/// The volume that the mix fills in one assembly, in litres.
pub(super) fn grown_volume(workings: &Workings<'_>) -> Result<Interval, Lack> {
    grown(workings, workings.cavity()?.volume)
}

fn grown(workings: &Workings<'_>, volume: Interval) -> Result<Interval, Lack> {
    let Workings { source, facts, .. } = *workings;
    let growth = match facts.need_choice()? {
        TyreState::New => Exact::ZERO,
        TyreState::Used => source.limit(Parameter::UsedTyreGrowth)?,
    };
    let high = Exact::ONE.checked_add(growth).and_then(|factor| Interval::point(volume.hi()).checked_scale(factor));
    high.and_then(|high| Interval::new(volume.lo(), high.hi())).ok_or_else(Lack::out_of_range)
}

/// The mass of mix that fills one assembly.
pub(super) fn mix_mass(workings: &Workings<'_>) -> Figure {
    between(workings.mass()?, mass_unit(workings.facts))
}

/// The mass of mix for all assemblies, with waste and priming, in kg.
pub(super) fn total(source: JobSource<'_>) -> Result<Interval, Lack> {
    source.shared().total.get_or_init(|| total_of(source)).clone()
}

fn total_of(source: JobSource<'_>) -> Result<Interval, Lack> {
    let waste = source.limit(Parameter::Waste)?;
    let priming = source.need_of_job(whole::PUMP_PRIMING)?.shown.base();
    let mut sum = Interval::point(Exact::ZERO);
    for workings in Workings::of_assemblies(source) {
        sum = sum.checked_add(workings.mass()?).ok_or_else(Lack::out_of_range)?;
    }
    let with_losses = || {
        let high = Interval::point(sum.hi()).checked_scale(Exact::ONE.checked_add(waste)?)?;
        Interval::new(sum.lo(), high.hi())?.checked_add(Interval::point(priming))
    };
    with_losses().ok_or_else(Lack::out_of_range)
}

/// The unit of the job's masses: that of the first assembly.
fn job_unit(source: JobSource<'_>) -> Unit {
    source.of(Subject::Assembly).next().map_or(Unit::Pound, mass_unit)
}

/// The mass of mix that the job takes.
pub(super) fn job_mix_mass(source: JobSource<'_>) -> Figure {
    between(total(source)?, job_unit(source))
}

pub(super) fn needed(source: JobSource<'_>, side: FactReader<'_>) -> Result<Interval, Lack> {
    let mix_mass = total(source)?;
    mix_mass.checked_mul(share_of(source, side)?).ok_or_else(Lack::out_of_range)
}

/// The share of one component in the mix, by mass.
pub(super) fn share_of(source: JobSource<'_>, side: FactReader<'_>) -> Result<Interval, Lack> {
    let (_, parts_sum) = mix(source)?;
    let (_, parts) = density_and_parts(side)?;
    parts.checked_div(parts_sum).ok_or_else(Lack::out_of_range)
}

/// The unit in which the stock of a component is written.
pub(super) fn stock_unit(source: JobSource<'_>, side: FactReader<'_>) -> Unit {
    side.unit_of(&[component::ON_HAND]).unwrap_or_else(|| job_unit(source))
}

/// The mass of one component that the job takes.
pub(super) fn component_needed(source: JobSource<'_>, side: FactReader<'_>) -> Figure {
    between(needed(source, side)?, stock_unit(source, side))
}

/// The mass of mix that fills one assembly by its likeliest volume, in kg.
pub(super) fn likely_mass(workings: &Workings<'_>) -> Result<Interval, Lack> {
    let volume = or_recorded(workings, workings.cavity()?.point.base())?;
    let (density, _) = mix(workings.source)?;
    volume.checked_mul(density).ok_or_else(Lack::out_of_range)
}

/// The share of one component in the likeliest masses of all assemblies and what comes on top, in kg.
fn likely(source: JobSource<'_>, side: FactReader<'_>, on_top: Exact) -> Figure {
    let mut sum = Interval::point(on_top);
    for workings in Workings::of_assemblies(source) {
        let mass = likely_mass(&workings)?;
        sum = sum.checked_add(mass).ok_or_else(Lack::out_of_range)?;
    }
    checked(sum.checked_mul(share_of(source, side)?), stock_unit(source, side))
}

/// The mass of one component in the tyres alone by their likeliest volumes, as a maker's chart gives it.
pub(super) fn component_in_tyres(source: JobSource<'_>, side: FactReader<'_>) -> Figure {
    likely(source, side, Exact::ZERO)
}

/// The same with what the priming takes, as the containers must give it.
pub(super) fn component_likely(source: JobSource<'_>, side: FactReader<'_>) -> Figure {
    likely(source, side, source.need_of_job(whole::PUMP_PRIMING)?.shown.base())
}

/// What is left of a component after the job; below zero where it does not last.
pub(super) fn component_left(source: JobSource<'_>, side: FactReader<'_>) -> Figure {
    let on_hand = side.need(component::ON_HAND)?;
    checked(on_hand.interval.checked_sub(needed(source, side)?), on_hand.shown.unit())
}

/// What the material costs, in the shop's own currency.
pub(super) fn cost(source: JobSource<'_>) -> Figure {
    let mut sum = Interval::point(Exact::ZERO);
    for side in source.of(Subject::Component) {
        let price = side.need_shown(component::PRICE)?.base();
        let amount = Interval::point(side.need_shown(component::PRICE_FOR)?.base());
        let part = needed(source, side)?.checked_scale(price).and_then(|part| part.checked_div(amount));
        sum = part.and_then(|part| sum.checked_add(part)).ok_or_else(Lack::out_of_range)?;
    }
    between(sum, Unit::One)
}
