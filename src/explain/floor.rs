//! What the person who signs holds against the floor: tyre, wheel, gauge, material and crew, as the record has them.
//!
//! It is gathered as data that outlives the judgement, and told a phrase each. This module must not know what was judged.

use super::words;
use crate::engine::Scene;
use crate::figures::FigureId;
use crate::record::catalogue::{assembly, component, job, person, stages};
use crate::record::{Entity, FactKey, Measured, Value};
use crate::units::{Quantity, Rounding, Unit};
use crate::vocabulary::{HoldPoint, Subject};

/// What the record says of the subjects that the hold point asks of, and what was worked out of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FloorSeen {
    point: HoldPoint,
    /// The job as a whole.
    whole: Option<Entity>,
    /// The assemblies that go past the hold point, in the order of the record.
    pub(super) assemblies: Vec<AssemblySeen>,
    /// Both liquids.
    components: Vec<Entity>,
    people: Vec<Entity>,
}

/// An assembly that goes past the hold point.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct AssemblySeen {
    /// Its position in the record.
    pub(super) index: usize,
    pub(super) entity: Entity,
    /// What it weighs with what was pumped into it.
    mass_as_filled: Option<Measured>,
    /// What went in, as a share of what was likely to.
    share: Option<Measured>,
}

impl FloorSeen {
    pub(super) fn of(scene: &Scene<'_>) -> Self {
        let point = scene.hold_point();
        // A figure that nothing is told of is not worked out.
        let figure = |id, entity: &Entity, of_point: bool| match of_point.then(|| scene.compute(id, entity))? {
            Ok(Value::Measured(measured)) => Some(*measured),
            _ => None,
        };
        let assembly = |(index, entity): (usize, &Entity)| AssemblySeen {
            index,
            entity: entity.clone(),
            mass_as_filled: figure(FigureId::MassAsFilled, entity, point >= HoldPoint::AfterFill),
            share: figure(FigureId::FilledOfLikely, entity, point == HoldPoint::AfterFill),
        };
        let listed = |subject, of_point: bool| {
            scene.job().of(subject).filter(|_| of_point).map(<[Entity]>::to_vec).unwrap_or_default()
        };
        Self {
            point,
            whole: scene.job().whole().cloned(),
            assemblies: scene.covered().map(assembly).collect(),
            components: listed(Subject::Component, point == HoldPoint::BeforeFill),
            people: listed(Subject::Person, point <= HoldPoint::BeforeFill),
        }
    }

    /// What was read of an assembly, in one phrase.
    pub(super) fn phrase_of(&self, assembly: &AssemblySeen) -> String {
        match self.point {
            HoldPoint::BeforeAir | HoldPoint::BeforeFill => of_assembly(&assembly.entity),
            HoldPoint::AfterFill => filled(self.whole.as_ref(), assembly),
            HoldPoint::BeforeService => refitted(assembly),
        }
    }

    /// Air line and pump, the containers, the crew and what the machine may do, where the hold point asks for them.
    pub(super) fn phrases(&self) -> Vec<String> {
        let mut said: Vec<String> = self.whole.iter().flat_map(|whole| set_up(self.point, whole)).collect();
        let sides: Vec<String> = self.components.iter().map(of_component).collect();
        said.extend((!sides.is_empty()).then(|| format!("on hand: {}", sides.join(", "))));
        let people: Vec<String> = self.people.iter().map(of_person).collect();
        said.extend((!people.is_empty()).then(|| format!("crew: {}", people.join(", "))));
        if self.point == HoldPoint::BeforeService {
            said.extend(self.whole.as_ref().and_then(released));
        }
        said
    }
}

/// What is set up for the next act: what holds the assembly, where people stand, what stops the pump, what lifts.
fn set_up(point: HoldPoint, job: &Entity) -> Vec<String> {
    let phrase = |opening: &str, parts: String| (!parts.is_empty()).then(|| format!("{opening}{parts}"));
    let cage = || {
        let kind = with(job, job::CAGE_KIND, "")?;
        Some(format!("{kind}{}", with(job, job::CAGE_RATING, " rated ").unwrap_or_default()))
    };
    let found = match point {
        HoldPoint::BeforeAir => phrase(
            "set up: ",
            listed([
                cage(),
                with(job, job::STAND_OFF, "everybody ").map(|off| format!("{off} away")),
                with(job, job::HOSE_LENGTH, "hose "),
                with(job, job::REGULATOR, "regulator at "),
            ]),
        ),
        HoldPoint::BeforeFill => phrase(
            "set up: ",
            listed([
                cage(),
                with(job, job::PUMP_STOPS_AT, "pump stops by itself at "),
                with(job, job::POT_LIFE, "pot life ").map(|life| format!("{life} from the first stroke")),
            ]),
        ),
        HoldPoint::AfterFill | HoldPoint::BeforeService => {
            let gear = with(job, job::LIFTING_GEAR, "").unwrap_or_else(|| "the gear".to_owned());
            with(job, job::LIFTING_CAPACITY, &format!("{gear} may carry "))
        }
    };
    found.into_iter().collect()
}

/// What the assembly weighs with what was pumped into it.
fn as_filled(assembly: &AssemblySeen) -> Option<String> {
    let mass = assembly.mass_as_filled.as_ref()?;
    Some(format!("weighs {}", words::figure(mass, mass.shown.unit(), Rounding::Nearest)))
}

/// For what the machine is released, as its owner accepted it.
fn released(job: &Entity) -> Option<String> {
    let duty = job.facts.text(job::ACCEPTED_DUTY)?;
    let speed = job.facts.measured(job::ACCEPTED_SPEED).map(|speed| format!(", up to {}", speed.shown.as_written()));
    let by = job.facts.text(job::ACCEPTED_BY).map(|by| format!("; accepted by {by}"));
    Some(format!("released for: {duty}{}{}", speed.unwrap_or_default(), by.unwrap_or_default()))
}

/// A fact as it is written, behind an opening.
fn with(entity: &Entity, key: FactKey, opening: &str) -> Option<String> {
    entity.facts.get(key).map(|value| format!("{opening}{}", words::bare(value)))
}

/// Parts that are there, in a row.
fn listed<const N: usize>(parts: [Option<String>; N]) -> String {
    parts.into_iter().flatten().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
}

/// Size, plies and state of the tyre.
fn tyre(entity: &Entity) -> Option<String> {
    let ply = with(entity, assembly::TYRE_PLY_RATING, "").map(|ply| format!("{ply} ply"));
    let parts = [with(entity, assembly::TYRE_SIZE, ""), ply, with(entity, assembly::TYRE_STATE, "")];
    let tyre = parts.into_iter().flatten().collect::<Vec<_>>().join(" ");
    Some(tyre).filter(|tyre| !tyre.is_empty())
}

fn of_assembly(entity: &Entity) -> String {
    listed([
        tyre(entity),
        with(entity, assembly::RIM_KIND, "rim "),
        with(entity, assembly::WHEEL_RATING, "wheel "),
        with(entity, assembly::TARGET_OPERATING_PRESSURE, "the load needs "),
        with(entity, assembly::TARGET_GAUGE, "gauge "),
    ])
}

/// What went in, and how it ended.
fn filled(whole: Option<&Entity>, seen: &AssemblySeen) -> String {
    let entity = &seen.entity;
    let share = seen.share.as_ref().and_then(percents).map(|share| format!(" ({share} of the likely)"));
    let weighed = entity.facts.measured(stages::FILL_MASS).map(|mass| mass.shown.as_written());
    let counted = || pumped(whole, entity).map(|mass| words::read_off(mass, Rounding::Nearest));
    let mass = weighed.or_else(counted);
    let went_in = mass.map(|mass| format!("went in {mass}{}", share.unwrap_or_default()));
    let target = entity.facts.measured(assembly::TARGET_PRESSURE).map(|target| target.shown.as_written());
    let target = target.map(|target| format!(" for a target of {target}")).unwrap_or_default();
    let ended = with(entity, stages::FILL_FINAL, "ended at ").map(|ended| format!("{ended}{target}"));
    listed([went_in, ended, with(entity, stages::FILL_PEAK, "peak "), as_filled(seen), tyre(entity)])
}

/// The mass that the counted cycles gave, by the pump's own calibration.
fn pumped(whole: Option<&Entity>, entity: &Entity) -> Option<Quantity> {
    let cycles = entity.facts.measured(stages::FILL_STROKES)?.shown.value();
    whole?.facts.measured(job::PUMP_MASS_PER_CYCLE)?.shown.scaled(cycles)
}

/// A share between whole percents.
fn percents(share: &Measured) -> Option<String> {
    let end = |base, rounding| Some(Quantity::from_base(base, Unit::Percent)?.value().to_decimal(0, rounding));
    let low = end(share.interval.lo(), Rounding::Down)?;
    let high = end(share.interval.hi(), Rounding::Up)?;
    Some(if low == high { format!("{low} %") } else { format!("{low} % to {high} %") })
}

/// What goes back on its machine.
fn refitted(assembly: &AssemblySeen) -> String {
    let entity = &assembly.entity;
    let nuts = with(entity, stages::REFIT_NUT_TORQUE, "nuts at ");
    listed([tyre(entity), with(entity, stages::FILL_FINAL, "filled to "), as_filled(assembly), nuts])
}

fn of_component(side: &Entity) -> String {
    let lot = side.facts.text(component::LOT).map(|lot| format!(" lot {lot}")).unwrap_or_default();
    let mass = side.facts.measured(component::ON_HAND).map(|mass| format!(" {}", mass.shown)).unwrap_or_default();
    let need = side.facts.measured(component::NEEDED).map(|need| format!(" (need {})", need.shown)).unwrap_or_default();
    format!("{}{lot}{mass}{need}", side.label)
}

fn of_person(one: &Entity) -> String {
    let role = one.facts.text(person::ROLE).map(|role| format!(" ({role})")).unwrap_or_default();
    format!("{}{role}", one.label)
}
