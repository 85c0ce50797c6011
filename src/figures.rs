//! Figures: quantities computed from a record, each with the facts it was made from.
//!
//! A figure is an interval, exact where the arithmetic is rational. What a figure needs and does not find makes it
//! unknown, never zero. This floor must not know rules: the numbers a pack sets reach it as [`Parameters`].

mod alike;
mod filling;
mod handling;
mod lack;
mod markings;
mod material;
mod outcome;
mod parameter;
mod physics;
mod pre_stretch;
mod pressure;
mod reader;
mod table;
mod time;

use std::cell::OnceCell;

use reader::{Reader, Source};

use serde::{Deserialize, Serialize};

use crate::record::{Entity, FactKey, Job, Measured, Value};
use crate::tyre::Designation;
use crate::tyre::cavity::Cavity;
use crate::tyre::dimensions::{RimWidths, rim_widths};
use crate::units::{Dimension, Exact, Interval, Quantity, Unit};
use crate::vocabulary::{PerSubject, Subject};

pub use lack::{Lack, Obstacle};
pub use parameter::{Parameter, Parameters};
pub use reader::Reads;
pub use table::TABLE;

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
    /// Whether the tube is marked for the tyre's size.
    TubeSuits,
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
    /// By how much the coolest air of the log is above the air of the workspace.
    StretchAboveBay,
    /// The section width that the size names.
    NamedWidth,
    /// How long its fill is likely to take.
    LikelyFillTime,
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
    /// Whether its earlier readings lie before that of its core.
    WarmingBefore,
    /// How fast it rose at its fastest.
    WarmingRate,
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
    /// The number in the name of the grade.
    GradeNumber,
    /// The dew point of the air of the workspace.
    DewPoint,
    /// The doubt of the mass per cycle as a share of it.
    CycleDoubt,
    /// The hottest row of the workspace log.
    LogHottest,
    /// The density of the isocyanate as a share of that of the polyol.
    DensityRatio,
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
    /// A number of this unit family.
    Number(Dimension),
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
    /// The formula's name, for people who want to check.
    pub formula: &'static str,
    /// The facts that it may be made from, most telling first, each with the way in which it moves the figure.
    pub inputs: &'static [(FactKey, Direction)],
    /// The limits that it may use, likewise.
    pub parameters: &'static [(Parameter, Direction)],
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

impl FigureId {
    /// What the catalogue says of this figure.
    pub fn spec(self) -> Option<&'static FigureSpec> {
        TABLE.get(self as usize)
    }

    /// The figure called `name` (without `figure.`) of a subject.
    pub fn find(subject: Subject, name: &str) -> Option<Self> {
        TABLE.iter().find(|spec| spec.subject == subject && spec.name == name).map(|spec| spec.id)
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

/// A figure of one subject, or what it lacks.
pub type Figure = Result<Value, Lack>;

/// A figure that is known between two bounds, shown in `unit` by its middle.
fn between(interval: Interval, unit: Unit) -> Figure {
    let shown = interval.mid().and_then(|mid| Quantity::from_base(mid, unit));
    let shown = shown.ok_or_else(Lack::out_of_range)?;
    Ok(measured(Measured { interval, ..Measured::exact(shown) }))
}

/// As [`between`], for arithmetic that may have given up.
fn checked(interval: Option<Interval>, unit: Unit) -> Figure {
    between(interval.ok_or_else(Lack::out_of_range)?, unit)
}

fn measured(value: Measured) -> Value {
    Value::Measured(Box::new(value))
}

/// What several figures of one job share, worked out when first asked for.
#[derive(Debug, Clone)]
pub struct Shared {
    of_each: PerSubject<Vec<OfOne>>,
    mix: OnceCell<Result<(Exact, Exact), Lack>>,
    total: OnceCell<Result<Interval, Lack>>,
}

impl Shared {
    /// Room for what the figures of this job share; nothing is worked out yet.
    pub fn of(job: &Job) -> Self {
        let count = |subject| job.of(subject).map_or(0, <[Entity]>::len);
        let of_each = PerSubject::from_fn(|subject| (0..count(subject)).map(|_| OfOne::default()).collect());
        Self { of_each, mix: OnceCell::new(), total: OnceCell::new() }
    }

    fn of_one(&self, (subject, index): (Subject, usize)) -> Option<&OfOne> {
        self.of_each.get(subject).get(index)
    }
}

/// What several figures of one subject share.
#[derive(Debug, Clone, Default)]
struct OfOne {
    designation: OnceCell<Result<Designation, Lack>>,
    cavity: OnceCell<Result<Cavity, Lack>>,
    rim_widths: OnceCell<Option<RimWidths>>,
    mass: OnceCell<Result<Interval, Lack>>,
    ceiling: OnceCell<Result<Exact, Lack>>,
}

/// What the figures of one subject are worked out from.
#[derive(Debug)]
pub struct Workings<'a> {
    source: Source<'a>,
    facts: Reader<'a>,
    shared: Option<&'a OfOne>,
    /// In the place of what is shared, for a subject that is not of the job.
    own: OfOne,
}

impl<'a> Workings<'a> {
    /// Sets out to work on one subject of a job; `shared` is of this job and these parameters alone.
    pub fn new(job: &'a Job, entity: &'a Entity, parameters: &'a Parameters, shared: &'a Shared) -> Self {
        Self::reading(Source::new(job, parameters, shared, None), entity)
    }

    /// As [`Workings::new`], with what is read noted; what `shared` holds already is not read again.
    pub fn watched(
        job: &'a Job,
        entity: &'a Entity,
        parameters: &'a Parameters,
        shared: &'a Shared,
        reads: &'a Reads,
    ) -> Self {
        Self::reading(Source::new(job, parameters, shared, Some(reads)), entity)
    }

    fn reading(source: Source<'a>, entity: &'a Entity) -> Self {
        let shared = source.place_of(entity).and_then(|place| source.shared().of_one(place));
        Self { source, facts: source.reader(entity), shared, own: OfOne::default() }
    }

    /// The assemblies of a job, in their order.
    fn of_assemblies(source: Source<'a>) -> impl Iterator<Item = Self> {
        source.of(Subject::Assembly).enumerate().map(move |(index, facts)| {
            let shared = source.shared().of_one((Subject::Assembly, index));
            Self { source, facts, shared, own: OfOne::default() }
        })
    }

    fn shared(&self) -> &OfOne {
        self.shared.unwrap_or(&self.own)
    }

    /// The tyre's size designation.
    fn designation(&self) -> Result<&Designation, Lack> {
        self.shared().designation.get_or_init(|| markings::designation(self.facts)).as_ref().map_err(Clone::clone)
    }

    /// The volume inside the tyre.
    fn cavity(&self) -> Result<&Cavity, Lack> {
        self.shared().cavity.get_or_init(|| material::cavity(self)).as_ref().map_err(Clone::clone)
    }

    /// The mass of mix that fills the assembly, in kg.
    fn mass(&self) -> Result<Interval, Lack> {
        self.shared().mass.get_or_init(|| material::assembly_mass(self)).clone()
    }

    /// The highest pressure that the gauge may show, in Pa.
    fn ceiling(&self) -> Result<Exact, Lack> {
        self.shared().ceiling.get_or_init(|| pressure::ceiling_base(self.source, self.facts)).clone()
    }

    /// The rim widths to expect for the size; `None` where its numbers do not fit.
    fn rim_widths(&self) -> Result<Option<&RimWidths>, Lack> {
        let designation = self.designation()?;
        Ok(self.shared().rim_widths.get_or_init(|| rim_widths(designation)).as_ref())
    }

    /// Computes one figure.
    ///
    /// # Errors
    /// What the figure lacks: facts that are missing, or an obstacle.
    pub fn compute(&self, id: FigureId) -> Figure {
        let Self { source, facts, .. } = *self;
        match id {
            FigureId::PlyRating => markings::ply_rating(self),
            FigureId::BeadDiameter => markings::bead_diameter(self),
            FigureId::SizeAgrees => markings::size_agrees(self),
            FigureId::SteelExpected => markings::steel_expected(self),
            FigureId::TubeSuits => markings::tube_suits(self),
            FigureId::RimWidthLeast => markings::rim_width(self, Interval::lo),
            FigureId::RimWidthMost => markings::rim_width(self, Interval::hi),
            FigureId::CavityVolume => material::cavity_volume(self),
            FigureId::VolumeBelieved => material::volume_believed(self),
            FigureId::MixMass => material::mix_mass(self),
            FigureId::TyreMaximum => pressure::tyre_maximum(facts),
            FigureId::PressurePerPly => pressure::per_ply(self),
            FigureId::LowestRating => pressure::lowest_rating(facts),
            FigureId::MixVolume => filling::mix_volume(self),
            FigureId::AssemblyCycles => filling::assembly_cycles(self),
            FigureId::AssemblyTime => filling::assembly_time(self),
            FigureId::FilledOfLeast => outcome::filled_of(self, Interval::lo),
            FigureId::FilledOfMost => outcome::filled_of(self, Interval::hi),
            FigureId::PressureCeiling => pressure::ceiling(self),
            FigureId::PressureFloor => pressure::floor(source, facts),
            FigureId::TargetShown => pressure::target_shown(facts),
            FigureId::PressureWindow => pressure::window(self),
            FigureId::GaugeUncertainty => pressure::gauge_uncertainty(facts),
            FigureId::DialPlace => physics::dial_place(source, facts),
            FigureId::LoadCarried => physics::load_carried(facts),
            FigureId::AirEnergy => physics::air_energy(self),
            FigureId::PressureAfterCooling => physics::pressure_after_cooling(source, facts),
            FigureId::CageDemand => pressure::cage_demand(source, facts),
            FigureId::PreStretchTime => pre_stretch::time(source, facts),
            FigureId::PreStretchBegin => pre_stretch::begin(facts),
            FigureId::PreStretchEnd => pre_stretch::end(source, facts),
            FigureId::PreStretchPeak => pre_stretch::peak(facts),
            FigureId::PreStretchHottest => pre_stretch::hottest(facts),
            FigureId::PreStretchAirAgrees => pre_stretch::air_agrees(facts),
            FigureId::PreStretchLoss => pre_stretch::loss(source, facts),
            FigureId::PreStretchLossShare => pre_stretch::loss_share(source, facts),
            FigureId::PreStretchOnScale => pre_stretch::on_scale(source, facts),
            FigureId::FilledMass => handling::filled_mass(self),
            FigureId::LikelyFilledMass => handling::likely_filled_mass(self),
            FigureId::MassAsFilled => outcome::mass_as_filled(self),
            FigureId::CuredAt => outcome::cured_at(source, facts),
            FigureId::FilledOfLikely => outcome::filled_of_likely(self),
            FigureId::WeighedOfCounted => outcome::weighed_of_counted(source, facts),
            FigureId::EarliestEnd => outcome::earliest_end(source, facts),
            FigureId::EndsApart => outcome::ends_apart(source, facts),
            FigureId::LogAfterFill => outcome::log_after_fill(source, facts),
            FigureId::MaximumOfAlike => alike::maximum(self),
            FigureId::MaximumByPlies => alike::maximum_by_plies(self),
            FigureId::VolumeOfAlike => alike::volume(self),
            FigureId::MassOfAlike => alike::mass(self),
            FigureId::DiameterOfAlike => alike::diameter(self),
            FigureId::RimRatingOfAlike => alike::rim_rating(self),
            FigureId::TargetOfAxle => alike::target(self),
            FigureId::StretchAboveBay => pre_stretch::above_bay(source, facts),
            FigureId::NamedWidth => markings::named_width(self),
            FigureId::LikelyFillTime => filling::likely_time(self),
            FigureId::ComponentNeeded => material::component_needed(source, facts),
            FigureId::ComponentInTyres => material::component_in_tyres(source, facts),
            FigureId::ComponentLikely => material::component_likely(source, facts),
            FigureId::NeedByRatio => material::need_by_ratio(source, facts),
            FigureId::WentIn => outcome::went_in(source, facts),
            FigureId::WarmingBefore => time::warming_before(facts),
            FigureId::WarmingRate => time::warming_rate(source, facts),
            FigureId::ComponentLeft => material::component_left(source, facts),
            FigureId::ComponentVolume => filling::component_volume(source, facts),
            FigureId::Containers => filling::containers(source, facts),
            FigureId::Fills => filling::fills(source, facts),
            FigureId::WarmAt => time::warm_at(source, facts),
            FigureId::TwoLots => material::two_lots(source),
            FigureId::SheetNamesGrade => markings::sheet_names_grade(source),
            FigureId::GradeNumber => markings::grade_number(source),
            FigureId::DewPoint => physics::dew_point(source),
            FigureId::CycleDoubt => filling::cycle_doubt(source),
            FigureId::LogHottest => time::log_hottest(source),
            FigureId::DensityRatio => material::density_ratio(source),
            FigureId::JobMixMass => material::job_mix_mass(source),
            FigureId::PumpCycles => filling::job_cycles(source),
            FigureId::JobTime => filling::job_time(source),
            FigureId::FillEnd => filling::fill_end(source),
            FigureId::Cost => material::cost(source),
            FigureId::ReadyToServe => time::ready_to_serve(source),
            FigureId::ReadyAfterFill => filling::ready_after_fill(source),
        }
    }
}
