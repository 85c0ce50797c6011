//! What the catalogue says of figures: which there are, what sort of value each has, and what moves it which way.
//!
//! Must not know how a figure is computed.

use serde::{Deserialize, Serialize};

use super::Parameter;
use crate::record::FactKey;
use crate::units::Dimension;
use crate::vocabulary::Subject;

/// One figure of the catalogue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum FigureId {
    /// The ply rating, as recorded or by the load range.
    PlyRating,
    /// The bead seat diameter in the tyre's designation.
    BeadDiameter,
    /// Whether the size designation agrees with the rest of the record.
    SizeAgrees,
    /// Whether the tyre has steel in casing or belts unless its sidewall says otherwise.
    SteelExpected,
    /// Whether a radial tyre has belts of steel unless its sidewall says otherwise.
    SteelBeltsExpected,
    /// Whether the rim of the size is one of earthmovers, which have rings.
    EarthmoverRim,
    /// Whether the tube is marked for the tyre's size.
    TubeSuits,
    /// Whether the rim width is listed for the tyre's size.
    WidthListedForSize,
    /// The narrowest rim to expect for the size.
    RimWidthLeast,
    /// The widest rim to expect for the size.
    RimWidthMost,
    /// The volume inside the mounted tyre.
    CavityVolume,
    /// Whether the recorded inside volume is believed.
    VolumeBelieved,
    /// The mass of mix that fills one assembly.
    MixMass,
    /// The volume of that mix.
    MixVolume,
    /// The pump cycles that one assembly takes.
    AssemblyCycles,
    /// How long one assembly is being filled.
    AssemblyTime,
    /// What was pumped, as a share of the least that the tyre held when new.
    FilledOfLeast,
    /// The same, as a share of the most.
    FilledOfMost,
    /// The highest pressure that the tyre may bear.
    TyreMaximum,
    /// That pressure for one ply, brought to one width.
    PressurePerPly,
    /// That pressure against the highest that tyres of the kind and size are made for.
    PressureOfKind,
    /// The load as a share of what that pressure carries on the outline of the tyre.
    LoadOfOutline,
    /// The load as a share of what the operating pressure carries there.
    LoadAtPressure,
    /// The lowest rating of tyre, rim and wheel.
    LowestRating,
    /// The highest pressure that the gauge may show.
    PressureCeiling,
    /// The lowest pressure that the gauge may show.
    PressureFloor,
    /// The target as the gauge is to show it.
    TargetShown,
    /// The room between floor and ceiling.
    PressureWindow,
    /// The expanded uncertainty of the gauge at the target.
    GaugeUncertainty,
    /// Where the target is on the dial of its gauge.
    DialPlace,
    /// The load that the tyre carries at the operating pressure.
    LoadCarried,
    /// The greatest load that it can carry there.
    LoadCarriedMost,
    /// The work that the air of the air stage can do.
    AirEnergy,
    /// The pressure to expect when the filling has cooled.
    PressureAfterCooling,
    /// What the cage must be rated for.
    CageDemand,
    /// The longest continuous pre-stretch that the log shows.
    PreStretchTime,
    /// When the log begins.
    PreStretchBegin,
    /// When the log ends.
    PreStretchEnd,
    /// The highest pressure in the log.
    PreStretchPeak,
    /// The hottest air in the log.
    PreStretchHottest,
    /// Whether the lowest air of each row goes with the rows on both sides.
    PreStretchAirAgrees,
    /// The loss of pressure in the log that temperature does not explain.
    PreStretchLoss,
    /// The same as a share of the target pressure.
    PreStretchLossShare,
    /// Whether every reading of the log lies on the scale of its instrument.
    PreStretchOnScale,
    /// The mass of the filled assembly.
    FilledMass,
    /// Whether the recorded masses can be right.
    MassesBelieved,
    /// The same by the likeliest volume and the middles of what is estimated.
    LikelyFilledMass,
    /// The mass of the assembly with what was pumped into it.
    MassAsFilled,
    /// When its cure is over, counted from the end of its fill.
    CuredAt,
    /// What was pumped, as a share of what the tyre takes by its likeliest volume.
    FilledOfLikely,
    /// What was weighed as a share of what was counted.
    WeighedOfCounted,
    /// The earliest instant at which the pump can have stopped.
    EarliestEnd,
    /// Whether the pump had the time to fill it between the ends of the others.
    EndsApart,
    /// How long the fill of an assembly lasted.
    FillLasted,
    /// Whether the workspace log has a row after the end of its fill.
    LogAfterFill,
    /// The highest pressure against that of tyres of one size and strength.
    MaximumOfAlike,
    /// That pressure for one ply against that of tyres of one size.
    MaximumByPlies,
    /// The inside volume against that of tyres of one size.
    VolumeOfAlike,
    /// The mass of the tyre likewise.
    MassOfAlike,
    /// The overall diameter likewise.
    DiameterOfAlike,
    /// The rating of rim and wheel against that of rims alike.
    RimRatingOfAlike,
    /// The target against that of tyres of one axle.
    TargetOfAxle,
    /// Whether the tyres of one axle are of one size and construction.
    AxleMatches,
    /// The rim width against that of rims under tyres of one size on one axle.
    RimWidthOfAxle,
    /// The load against that of tyres of one size on one axle.
    LoadOfAxle,
    /// The torque of the nuts by the manual against that of wheels under tyres of one size on one axle.
    TorqueOfAxle,
    /// What was pumped against what went into tyres alike.
    PumpedOfAlike,
    /// The recorded load rating against the load index in the size.
    RatingOfIndex,
    /// The load against the load of the load index in the size.
    LoadOfIndex,
    /// The accepted speed against the speed symbol in the size.
    SpeedOfMark,
    /// Whether the size says that the tyre is not for highway service.
    NotForHighway,
    /// The load as a share of what the load index gives at the operating pressure.
    LoadOfIndexAtPressure,
    /// By how much the coolest air of the log is above the air of the workspace.
    StretchAboveBay,
    /// By how many kelvin a row of the log lies off both neighbours, at their pressure.
    PreStretchStray,
    /// How far the pressure of a row of the log leaves that of both neighbours, beyond what the air explains.
    PreStretchLeap,
    /// The section width that the size names.
    NamedWidth,
    /// Whether who accepted the fill names the machine of it, where any of the job is named.
    AcceptedNamesIt,
    /// How long its fill is likely to take.
    LikelyFillTime,
    /// The rim width that goes with the size.
    OwnRimWidth,
    /// Whether the readings of the log move, and are not those of another tyre.
    PreStretchMoves,
    /// The mass of one component that the job takes.
    ComponentNeeded,
    /// The mass of it in the tyres alone, by the likeliest volumes.
    ComponentInTyres,
    /// The mass of it that the job takes by the likeliest volumes.
    ComponentLikely,
    /// The need that goes with the recorded need of the other side.
    NeedByRatio,
    /// What went in of it by all assemblies, with the priming.
    WentIn,
    /// What was pumped of it, as a share of the recorded need.
    PumpedOfNeed,
    /// Whether its earlier readings lie before that of its core.
    WarmingBefore,
    /// How fast it rose at its fastest.
    WarmingRate,
    /// The hottest of the earlier readings of a container.
    WarmingHottest,
    /// What is left of it after the job.
    ComponentLeft,
    /// The volume of it that the job takes.
    ComponentVolume,
    /// The containers of it that the job opens.
    Containers,
    /// How many of the assemblies it fills.
    Fills,
    /// When a cold component will be warm.
    WarmAt,
    /// Whether the two sides of the mix are of two lots.
    TwoLots,
    /// Whether the title of the data sheet names the grade of the order.
    SheetNamesGrade,
    /// How many years old the data sheet is.
    SheetAge,
    /// The number in the name of the grade.
    GradeNumber,
    /// Whether the fill was accepted by nobody of the crew, nor of the shop.
    AcceptedByAnother,
    /// Whether who accepted the fill names no other machine than that of the job.
    AcceptedForThis,
    /// Whether no two of the crew can be one person by their names.
    CrewToldApart,
    /// Whether two people are there for the pump.
    TwoAtThePump,
    /// The dew point of the air of the workspace.
    DewPoint,
    /// The doubt of the mass per cycle as a share of it.
    CycleDoubt,
    /// The hottest row of the workspace log.
    LogHottest,
    /// Whether no lowest temperature of the workspace log lies above what was read before and after it.
    LogAgrees,
    /// The density of the isocyanate as a share of that of the polyol.
    DensityRatio,
    /// Whether the isocyanate settles only where the polyol does.
    SettlesAsUsual,
    /// The mass of mix that the job takes.
    JobMixMass,
    /// The pump cycles that the job takes.
    PumpCycles,
    /// How long the pump runs for the job.
    JobTime,
    /// The latest end of the fill.
    FillEnd,
    /// What the material costs.
    Cost,
    /// The earliest return to service.
    ReadyToServe,
    /// The same, counted from the end of the fill.
    ReadyAfterFill,
}

/// What sort of value a figure has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FigureKind {
    /// A number of this unit family, never below zero, whatever its inputs and their doubt.
    Number(Dimension),
    /// A number of this unit family that can be below zero. A share of it is no safe bound: the limit that a pack multiplies
    /// it by would change its direction.
    Difference(Dimension),
    /// An instant.
    Instant,
    /// True or false.
    Flag,
}

/// What the catalogue says of a figure.
#[derive(Debug, Clone, Copy)]
pub struct FigureSpec {
    /// Which one.
    pub id: FigureId,
    /// Of what it is a figure.
    pub subject: Subject,
    /// The name after `figure.`.
    pub name: &'static str,
    /// What sort of value it has.
    pub kind: FigureKind,
    /// What it is, with the method.
    pub about: &'static str,
    /// What a yes or no states, as a sentence without its full stop; nothing of other figures.
    pub states: Option<&'static str>,
    /// The formula's name, for people who want to check.
    pub formula: &'static str,
    /// The facts that it may be made from, most telling first, each with the way in which it moves the figure.
    pub inputs: &'static [(FactKey, Direction)],
    /// The limits that it may use, likewise.
    pub parameters: &'static [(Parameter, Direction)],
    /// Whether it is only shown: made with floats and without bounds, it may decide nothing.
    pub only_shown: bool,
}

/// Which way a figure goes when an input rises and all else stays: both ends of its interval, or its instant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// It rises or stays.
    Up,
    /// It falls or stays.
    Down,
    /// Either, or the input is no number.
    Free,
}

impl FigureKind {
    /// The unit family of a number.
    pub const fn dimension(self) -> Option<Dimension> {
        match self {
            Self::Number(dimension) | Self::Difference(dimension) => Some(dimension),
            Self::Instant | Self::Flag => None,
        }
    }
}

impl FigureSpec {
    /// The facts that it may be made from, most telling first.
    pub fn facts(&self) -> impl Iterator<Item = FactKey> {
        self.inputs.iter().map(|(fact, _)| *fact)
    }

    /// The name as packs write it.
    pub fn full_name(&self) -> String {
        match self.subject {
            Subject::Job => format!("figure.{}", self.name),
            subject => format!("{}.figure.{}", subject.word(), self.name),
        }
    }
}
