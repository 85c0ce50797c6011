//! What the crew brings each assembly to: the pressures of the next act.
//!
//! Must not know words.

use super::Scene;
use crate::figures::FigureId;
use crate::record::catalogue::job::{BOLTED_ON_VEHICLE, CAGE_KIND, PUMP_STOPS_AT};
use crate::record::catalogue::{assembly, stages};
use crate::record::{Entity, Value};
use crate::units::Quantity;

/// The pressures of one assembly at the next act.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Aim {
    /// The position of the assembly in the record.
    pub index: usize,
    /// What the assembly is called.
    pub assembly: String,
    /// The pressure at which its beads are seated, where it is recorded.
    pub seating: Option<Quantity>,
    /// The target, as recorded.
    pub target: Quantity,
    /// The least pressure for its load.
    pub floor: Quantity,
    /// The greatest pressure that its ratings and the gauge allow.
    pub ceiling: Quantity,
    /// The pressure at which relief or cut-off stops the pump, where it is recorded.
    pub stops_at: Option<Quantity>,
}

/// What the crew brings the assemblies of a job to.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Aims {
    /// Of each assembly that goes past the hold point, where target and window are known.
    pub each: Vec<Aim>,
    /// Whether the assemblies stay bolted on their machine.
    pub on_vehicle: bool,
}

impl Scene<'_> {
    /// What the assemblies that go past the hold point are brought to.
    pub fn aims(&self) -> Aims {
        let each = self.covered().filter_map(|(index, assembly)| self.aim(index, assembly)).collect();
        Aims { each, on_vehicle: self.stays_on_vehicle() }
    }

    /// Whether the assemblies stay bolted on their machine.
    pub fn stays_on_vehicle(&self) -> bool {
        self.job.whole().and_then(|whole| whole.facts.text(CAGE_KIND)) == Some(BOLTED_ON_VEHICLE)
    }

    fn aim(&self, index: usize, of: &Entity) -> Option<Aim> {
        let figure = |id| match self.compute(id, of) {
            Ok(Value::Measured(measured)) => Some(measured.shown),
            _ => None,
        };
        let pressure = |entity: &Entity, key| entity.facts.measured(key).map(|found| found.shown);
        Some(Aim {
            index,
            assembly: of.label.clone(),
            seating: pressure(of, stages::MOUNTING_SEATING_PRESSURE),
            target: pressure(of, assembly::TARGET_PRESSURE)?,
            floor: figure(FigureId::PressureFloor)?,
            ceiling: figure(FigureId::PressureCeiling)?,
            stops_at: self.job.whole().and_then(|whole| pressure(whole, PUMP_STOPS_AT)),
        })
    }
}
