//! When and where a fact is asked for, and how long the answer holds.
//!
//! Must not know rules.

use std::borrow::Cow;

use super::FactKind;
use crate::vocabulary::{HoldPoint, Subject};

/// How long a fact holds once it has been found out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum HoldsFor {
    /// Until somebody changes the shop: its pumps, its people, its instruments.
    Shop,
    /// For the assembly as it is built, in this job and the next.
    Assembly,
    /// For this job.
    Job,
    /// For the day on which somebody looked.
    Day,
    /// For one hold point; at the next one it is looked at again.
    HoldPoint,
}

impl HoldsFor {
    /// Every span, the longest first.
    pub const ALL: [Self; 5] = [Self::Shop, Self::Assembly, Self::Job, Self::Day, Self::HoldPoint];

    /// The word in packs and in the reference.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Shop => "shop",
            Self::Assembly => "assembly",
            Self::Job => "job",
            Self::Day => "day",
            Self::HoldPoint => "hold point",
        }
    }

    /// The span of this word.
    pub(crate) fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|span| span.word() == word)
    }
}

impl FactKind {
    /// Whether it is a day, or an instant that has passed: what is asked of such a fact may run out.
    pub const fn is_dated(&self) -> bool {
        matches!(self, Self::Day | Self::Event)
    }
}

/// A place in the walk round the shop, where the answer is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Station {
    /// Papers: the work order, data sheets, letters, certificates.
    Desk,
    /// The people who do the fill.
    Crew,
    /// The tyre on its wheel.
    Wheel,
    /// The cage and the air line.
    Cage,
    /// The place around it.
    Bay,
    /// The containers of the two liquids.
    Drums,
    /// The pump and its mixer.
    Pump,
    /// Where the filled assemblies lie.
    CurePlace,
}

impl Station {
    /// Every station, in walking order.
    pub const ALL: [Self; 8] =
        [Self::Desk, Self::Crew, Self::Wheel, Self::Cage, Self::Bay, Self::Drums, Self::Pump, Self::CurePlace];

    /// The word in packs and in the reference.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Desk => "desk",
            Self::Crew => "crew",
            Self::Wheel => "wheel",
            Self::Cage => "cage",
            Self::Bay => "bay",
            Self::Drums => "drums",
            Self::Pump => "pump",
            Self::CurePlace => "cure place",
        }
    }

    /// The station of this word.
    pub(crate) fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|station| station.word() == word)
    }

    /// Where facts of a subject are found if nothing else is said.
    pub(crate) const fn of(subject: Subject) -> Self {
        match subject {
            Subject::Job => Self::Bay,
            Subject::Assembly => Self::Wheel,
            Subject::Component => Self::Drums,
            Subject::Person => Self::Crew,
            Subject::Gauge | Subject::Thermometer => Self::Desk,
        }
    }
}

/// When and where a fact is asked for, and how long the answer holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked {
    /// How long the answer holds, at least.
    pub holds_for: HoldsFor,
    /// The hold points at which it is asked, in the order of the work.
    pub at: Cow<'static, [HoldPoint]>,
    /// Where the answer is found.
    pub station: Station,
}

impl Asked {
    pub(super) const fn new(holds_for: HoldsFor, at: &'static [HoldPoint], station: Station) -> Self {
        Self { holds_for, at: Cow::Borrowed(at), station }
    }

    /// Takes in what another declaration of the same fact says.
    pub(super) fn join(&mut self, other: &Self) {
        self.holds_for = self.holds_for.max(other.holds_for);
        let asked = |point: &HoldPoint| self.at.contains(point) || other.at.contains(point);
        self.at = HoldPoint::ALL.into_iter().filter(asked).collect();
    }

    /// The hold points as words.
    pub fn points(&self) -> String {
        if *self.at == HoldPoint::ALL {
            return "at each".to_owned();
        }
        self.at.iter().map(|point| point.word()).collect::<Vec<_>>().join(", ")
    }
}

/// Asked from the first hold point on: what must be known before air goes in must still be so when material does.
pub(super) const FROM_AIR: &[HoldPoint] = &[HoldPoint::BeforeAir, HoldPoint::BeforeFill];
/// Asked while the parts lie on the bench and no air is in.
pub(super) const AIR: &[HoldPoint] = &[HoldPoint::BeforeAir];
/// Asked before the pump starts.
pub(super) const FILL: &[HoldPoint] = &[HoldPoint::BeforeFill];
/// Asked when the pump has stopped.
pub(super) const AFTER: &[HoldPoint] = &[HoldPoint::AfterFill];
/// Asked before the assembly works again.
pub(super) const SERVICE: &[HoldPoint] = &[HoldPoint::BeforeService];
/// Asked each time.
pub(super) const EACH: &[HoldPoint] = &HoldPoint::ALL;
