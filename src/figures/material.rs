//! Material: what the assemblies take, what each component must give, and what the pump must do for it.

use super::{Figure, Parameter, Parameters, Workings};
use crate::record::catalogue::{assembly, component, job as whole};
use crate::record::{Entity, FactKey, Job, Subject};
use crate::tyre::cavity::{self, Cavity};
use crate::tyre::{Construction, dimensions};
use crate::units::{Exact, Interval, Unit};

/// The inputs of the cavity model, as recorded.
pub(super) fn cavity(workings: &Workings<'_>) -> Result<Cavity, Figure> {
    let entity = workings.entity;
    let designation = workings.designation()?;
    let quantity = |key| entity.facts.measured(key).map(|measured| measured.shown);
    let ply_rating = match super::markings::ply_rating(workings).interval().filter(|ply| ply.is_point()) {
        None => None,
        Some(ply) => {
            let whole = u8::try_from(ply.lo().numer()).ok().filter(|_| ply.lo().denom() == 1);
            let odd = || Figure::obstacle("no tyre has this ply rating", &[assembly::TYRE_PLY_RATING]);
            Some(whole.ok_or_else(odd)?)
        }
    };
    let construction = match entity.facts.text(assembly::TYRE_CONSTRUCTION) {
        Some("radial") => Some(Construction::Radial),
        Some("bias") => Some(Construction::Diagonal),
        _ => None,
    };
    let inputs = cavity::Inputs {
        designation,
        recorded: dimensions::Recorded {
            section_width: quantity(assembly::TYRE_SECTION_WIDTH),
            overall_diameter: quantity(assembly::TYRE_OVERALL_DIAMETER),
            rim_width: quantity(assembly::RIM_WIDTH),
        },
        ply_rating,
        construction,
        inside_volume: quantity(assembly::TYRE_INSIDE_VOLUME),
    };
    cavity::estimate(&inputs)
        .map_err(|error| Figure::obstacle(&format!("{error}; {}", error.help()), &[culprit(&error)]))
}

/// The fact that stands in the way of the volume.
fn culprit(error: &cavity::CavityError) -> FactKey {
    use dimensions::{DimensionError, Item};
    let of = |item: &Item| match item {
        Item::SectionWidth => assembly::TYRE_SECTION_WIDTH,
        Item::OverallDiameter => assembly::TYRE_OVERALL_DIAMETER,
        Item::RimWidth => assembly::RIM_WIDTH,
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
    match workings.cavity() {
        Ok(cavity) => Figure::between(cavity.volume, volume_unit(workings.entity)),
        Err(figure) => figure,
    }
}

/// Litres where the crew writes metric pressures, gallons elsewhere.
fn volume_unit(entity: &Entity) -> Unit {
    if is_metric(entity) { Unit::Litre } else { Unit::Gallon }
}

pub(super) fn mass_unit(entity: &Entity) -> Unit {
    if is_metric(entity) { Unit::Kilogram } else { Unit::Pound }
}

fn is_metric(entity: &Entity) -> bool {
    let written = [assembly::TARGET_PRESSURE, assembly::TYRE_SIDEWALL_MAXIMUM];
    let unit = written.iter().find_map(|key| entity.facts.measured(*key)).map(|measured| measured.shown.unit());
    unit.is_some_and(|unit| unit != Unit::Psi)
}

/// Density of one component in kg/L at its core temperature, and its share of the mix by mass before dividing.
fn density_and_parts(side: &Entity) -> Result<(Exact, Exact), Figure> {
    let facts = &side.facts;
    let density = facts.measured(component::DENSITY).ok_or_else(|| Figure::missing(&[component::DENSITY]))?;
    let parts = facts.measured(component::PARTS).ok_or_else(|| Figure::missing(&[component::PARTS]))?;
    let parts = parts.shown.base();
    if parts <= Exact::ZERO {
        return Err(Figure::obstacle("a component with no parts in the mix", &[component::PARTS]));
    }
    let correction = (|| {
        let given_at = facts.measured(component::DENSITY_AT)?.shown.base();
        let expansion = facts.measured(component::EXPANSION)?.shown.base();
        let core = facts.measured(component::CORE_TEMPERATURE)?.shown.base();
        // The same mass takes (1 + expansion x difference) of its volume.
        Exact::ONE.checked_add(expansion.checked_mul(core.checked_sub(given_at)?)?)
    })();
    let density = density.shown.base();
    let density = match correction {
        Some(factor) if !believable(factor) => {
            let why = "the temperatures would change the density by more than a twentieth, which no liquid of this kind does; read both from the data sheet again";
            return Err(Figure::obstacle(why, &[component::DENSITY_AT, component::EXPANSION]));
        }
        Some(factor) => density.checked_div(factor),
        None => Some(density),
    };
    density.map(|density| (density, parts)).ok_or_else(|| Figure::obstacle(super::OUT_OF_RANGE, &[]))
}

/// Whether a correction of density for temperature can be right: within a twentieth either way. Liquids expand by less
/// than a thousandth a kelvin (engineering estimate, no source), so that is more than fifty kelvin.
fn believable(factor: Exact) -> bool {
    let hundredths = |count| Exact::new(count, 100);
    hundredths(95) <= Some(factor) && Some(factor) <= hundredths(105)
}

/// The density of the mix in kg/L, and the sum of the parts: volumes add up.
fn mix(job: &Job) -> Result<(Exact, Exact), Figure> {
    let mut parts_sum = Exact::ZERO;
    let mut volume_sum = Exact::ZERO;
    for side in job.of(Subject::Component).unwrap_or(&[]) {
        let (density, parts) = density_and_parts(side)?;
        let sums = parts_sum
            .checked_add(parts)
            .zip(parts.checked_div(density).and_then(|volume| volume_sum.checked_add(volume)));
        (parts_sum, volume_sum) = sums.ok_or_else(|| Figure::obstacle(super::OUT_OF_RANGE, &[]))?;
    }
    let density = parts_sum.checked_div(volume_sum);
    density.map(|density| (density, parts_sum)).ok_or_else(|| Figure::missing(&[component::DENSITY]))
}

/// What fills one assembly, in kg. A used tyre may have grown, so only the upper bound moves.
pub(super) fn assembly_mass(workings: &Workings<'_>) -> Result<Interval, Figure> {
    let Workings { job, entity, parameters, .. } = *workings;
    let volume = workings.cavity()?.volume;
    let (density, _) = mix(job)?;
    let growth = match entity.facts.text(assembly::TYRE_STATE) {
        Some("new") => Exact::ZERO,
        Some(_) => parameters
            .get(Parameter::UsedTyreGrowth)
            .ok_or_else(|| Figure::obstacle("no pack in force sets the growth of used tyres", &[]))?,
        None => return Err(Figure::missing(&[assembly::TYRE_STATE])),
    };
    let grown = || {
        let high = volume.hi().checked_mul(Exact::ONE.checked_add(growth)?)?;
        Interval::new(volume.lo(), high)?.checked_scale(density)
    };
    grown().ok_or_else(|| Figure::obstacle(super::OUT_OF_RANGE, &[]))
}

/// The mass of mix that fills one assembly.
pub(super) fn mix_mass(workings: &Workings<'_>) -> Figure {
    match workings.mass() {
        Ok(mass) => Figure::between(mass, mass_unit(workings.entity)),
        Err(figure) => figure,
    }
}

/// The mass of mix for all assemblies, with waste and priming, in kg.
fn total(job: &Job, parameters: &Parameters) -> Result<Interval, Figure> {
    let waste = parameters
        .get(Parameter::Waste)
        .ok_or_else(|| Figure::obstacle("no pack in force sets the allowance for waste", &[]))?;
    let priming = job.whole().and_then(|job| job.facts.measured(whole::PUMP_PRIMING));
    let priming = priming.ok_or_else(|| Figure::missing(&[whole::PUMP_PRIMING]))?.shown.base();
    let mut sum = Interval::point(Exact::ZERO);
    for entity in job.of(Subject::Assembly).unwrap_or(&[]) {
        let mass = assembly_mass(&Workings::new(job, entity, parameters))?;
        sum = sum.checked_add(mass).ok_or_else(|| Figure::obstacle(super::OUT_OF_RANGE, &[]))?;
    }
    let with_losses = || {
        let high = sum.hi().checked_mul(Exact::ONE.checked_add(waste)?)?;
        Interval::new(sum.lo(), high)?.checked_add(Interval::point(priming))
    };
    with_losses().ok_or_else(|| Figure::obstacle(super::OUT_OF_RANGE, &[]))
}

/// The unit of the job's masses: that of the first assembly.
fn job_unit(job: &Job) -> Unit {
    job.of(Subject::Assembly).and_then(<[Entity]>::first).map_or(Unit::Pound, mass_unit)
}

/// The mass of mix that the job takes.
pub(super) fn job_mix_mass(job: &Job, parameters: &Parameters) -> Figure {
    match total(job, parameters) {
        Ok(mass) => Figure::between(mass, job_unit(job)),
        Err(figure) => figure,
    }
}

fn needed(job: &Job, side: &Entity, parameters: &Parameters) -> Result<Interval, Figure> {
    let mix_mass = total(job, parameters)?;
    let (_, parts_sum) = mix(job)?;
    let (_, parts) = density_and_parts(side)?;
    let share = parts.checked_div(parts_sum).and_then(|share| mix_mass.checked_scale(share));
    share.ok_or_else(|| Figure::obstacle(super::OUT_OF_RANGE, &[]))
}

/// The unit in which the stock of a component is written.
fn stock_unit(job: &Job, side: &Entity) -> Unit {
    side.facts.measured(component::ON_HAND).map_or_else(|| job_unit(job), |on_hand| on_hand.shown.unit())
}

/// The mass of one component that the job takes.
pub(super) fn component_needed(job: &Job, side: &Entity, parameters: &Parameters) -> Figure {
    match needed(job, side, parameters) {
        Ok(mass) => Figure::between(mass, stock_unit(job, side)),
        Err(figure) => figure,
    }
}

/// What is left of a component after the job; below zero where it does not last.
pub(super) fn component_left(job: &Job, side: &Entity, parameters: &Parameters) -> Figure {
    let Some(on_hand) = side.facts.measured(component::ON_HAND) else {
        return Figure::missing(&[component::ON_HAND]);
    };
    match needed(job, side, parameters) {
        Ok(mass) => Figure::checked(on_hand.interval.checked_sub(mass), on_hand.shown.unit()),
        Err(figure) => figure,
    }
}

/// The pump cycles that the job takes, by the pump's own calibration.
pub(super) fn pump_cycles(job: &Job, parameters: &Parameters) -> Figure {
    let Some(per_cycle) = job.whole().and_then(|job| job.facts.measured(whole::PUMP_MASS_PER_CYCLE)) else {
        return Figure::missing(&[whole::PUMP_MASS_PER_CYCLE]);
    };
    let mass = match total(job, parameters) {
        Ok(mass) => mass,
        Err(figure) => return figure,
    };
    if per_cycle.interval.lo() <= Exact::ZERO {
        return Figure::obstacle(
            "the pump's mass per cycle is not surely above nothing",
            &[whole::PUMP_MASS_PER_CYCLE],
        );
    }
    let cycles = mass
        .lo()
        .checked_div(per_cycle.interval.hi())
        .zip(mass.hi().checked_div(per_cycle.interval.lo()))
        .and_then(|(low, high)| Interval::new(low, high));
    Figure::checked(cycles, Unit::One)
}

/// What the material costs, in the shop's own currency.
pub(super) fn cost(job: &Job, parameters: &Parameters) -> Figure {
    let mut sum = Some(Interval::point(Exact::ZERO));
    for side in job.of(Subject::Component).unwrap_or(&[]) {
        let Some(price) = side.facts.measured(component::PRICE) else {
            return Figure::missing(&[component::PRICE]);
        };
        let Some(amount) = side.facts.measured(component::PRICE_FOR) else {
            return Figure::missing(&[component::PRICE_FOR]);
        };
        let mass = match needed(job, side, parameters) {
            Ok(mass) => mass,
            Err(figure) => return figure,
        };
        let part = price.shown.base().checked_div(amount.shown.base()).and_then(|unit| mass.checked_scale(unit));
        sum = sum.zip(part).and_then(|(sum, part)| sum.checked_add(part));
    }
    Figure::checked(sum, Unit::One)
}
