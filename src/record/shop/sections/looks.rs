//! What a look at the parts on the bench or in the cage states, and what has to be looked for at each tyre.
//!
//! Must not know how the short forms of a look are written.

use crate::record::catalogue::stages::{self, SHOWN_BY_A_FILL};
use crate::record::catalogue::{HoldsFor, assembly};
use crate::record::{Catalogue, FactKey, FactKind, FactSpec};
use crate::vocabulary::one_list;

/// What a look at the parts on the bench supplies: the key of `bench`, and the facts that it states.
pub const LOOKED: &[(&str, &[FactKey])] = &[
    ("at", &[assembly::CASING_INSPECTED_AT, assembly::WHEEL_INSPECTED_AT]),
    ("by", &[assembly::CASING_INSPECTED_BY, assembly::WHEEL_INSPECTED_BY]),
];

/// What lies on the bench is off its rim.
pub const OFF_RIM: FactKey = assembly::CASING_INSPECTED_OFF_RIM;

/// When an assembly was seen seated in the cage, and who saw it.
pub const SEATED: [FactKey; 2] = [stages::SEATED_AT, stages::SEATED_BY];

/// What may be found at the parts on the bench: the part, the fact whose words these are, and for a fact that is true or
/// false the word with its value.
#[derive(Debug)]
pub struct Find {
    /// The part, which stands in front of a word that more than one part has.
    pub place: &'static str,
    /// The fact that the word is filled in at.
    pub fact: FactKey,
    /// The word for a fact that is true or false, and what it then is.
    pub flag: Option<(&'static str, bool)>,
}

/// Every kind of find.
pub const FOUND: &[Find] = &[
    Find { place: "casing", fact: assembly::CASING_DAMAGE, flag: None },
    Find { place: "inside", fact: assembly::INTERIOR_DRY, flag: Some(("wet", false)) },
    Find { place: "inside", fact: assembly::INTERIOR_CONTAMINANTS, flag: None },
    Find { place: "wheel", fact: assembly::WHEEL_FAULTS, flag: None },
    Find { place: "rim", fact: assembly::RIM_LEAKS, flag: Some(("leaks", true)) },
    Find { place: "valve", fact: assembly::VALVE_CONDITION, flag: None },
    Find { place: "bead seats", fact: stages::MOUNTING_CLEAN, flag: Some(("dirty", false)) },
];

/// What an empty list of findings says of the parts on the bench: the fact, and the value as a record has it.
pub const NOTHING_FOUND: &[(FactKey, &str)] = &[
    (assembly::CASING_DAMAGE, "[]"),
    (assembly::INTERIOR_DRY, "true"),
    (assembly::INTERIOR_CONTAMINANTS, "[]"),
    (assembly::WHEEL_FAULTS, "[]"),
    (assembly::RIM_LEAKS, "false"),
    (assembly::VALVE_CONDITION, "sound"),
    (stages::MOUNTING_CLEAN, "true"),
];

/// Facts that hold for the job and yet are found out by looking at each tyre: a tyre like another one does not have them
/// from there.
const OF_EACH_TYRE: &[FactKey] =
    &one_list::<_, { LOOKED_FOR.len() + SHOWN_BY_A_FILL.len() }>(&[LOOKED_FOR, SHOWN_BY_A_FILL]);

/// Those that somebody looks for, or does.
const LOOKED_FOR: &[FactKey] = &[
    assembly::MARK,
    assembly::TYRE_RAN_FLAT,
    assembly::INTERIOR_DRY,
    assembly::INTERIOR_CONTAMINANTS,
    assembly::RIM_LEAKS,
    assembly::VALVE_CONDITION,
    assembly::VENT_TUBE_REINFLATED,
    assembly::PRE_STRETCH_LOG,
    assembly::RIM_RING_GAP,
    assembly::RIM_SEAL_RING,
    assembly::WHEEL_NUTS_TIGHT,
    stages::MOUNTING_CLEAN,
    stages::MOUNTING_STEM_OPEN,
    stages::FILL_VENT_CLEAR,
    stages::FILL_CLOSED,
    stages::REFIT_MARKED,
    stages::REFIT_NUT_TORQUE,
];

/// Whether a tyre that is like another one takes a fact over from it: what is built, chosen or planned, and nothing that
/// somebody has to look at the tyre for. What happened to one tyre at an instant happened to that one alone.
pub fn is_alike(catalogue: &Catalogue, key: FactKey) -> bool {
    let local = |spec: &FactSpec| spec.name.starts_with("local.");
    catalogue.spec(key).is_some_and(|spec| {
        let most = if local(spec) { HoldsFor::Assembly } else { HoldsFor::Job };
        spec.asked.holds_for <= most && spec.kind != FactKind::Event && !OF_EACH_TYRE.contains(&key)
    })
}
