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
mod people;
mod physics;
mod pre_stretch;
mod pressure;
mod reader;
mod spec;
mod table;
mod time;

use std::cell::OnceCell;

use reader::{FactReader, JobSource};

use crate::record::catalogue::assembly;
use crate::record::{Column, Entity, FactKey, Job, Measured, Value};
use crate::tyre::Designation;
use crate::tyre::cavity::Cavity;
use crate::tyre::dimensions::{RimWidths, rim_widths};
use crate::units::{Exact, Interval, Quantity, Unit};
use crate::vocabulary::{PerSubject, Subject, TyrePlace};

pub use lack::{Lack, Obstacle};
pub use parameter::{Parameter, Parameters};
pub use pre_stretch::{BreaksStretch, StretchBreak};
pub use reader::Reads;
pub use spec::{Direction, FigureId, FigureKind, FigureSpec};
pub use table::TABLE;

/// A figure of one subject, or what it lacks.
pub type Figure = Result<Value, Lack>;

/// A figure that is known between two bounds, shown in `unit` by its middle.
fn between(interval: Interval, unit: Unit) -> Figure {
    let shown = interval.mid().and_then(|mid| Quantity::near_base(mid, unit));
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

/// The highest reading in a column of a log, with its doubt.
fn highest(facts: FactReader<'_>, log: FactKey, column: Column) -> Figure {
    let readings = facts.need_log(log)?.iter().filter_map(|row| row.get(column));
    let highest = readings.max_by_key(|reading| reading.interval.hi());
    highest.cloned().map(measured).ok_or_else(|| Lack::missing(log))
}

/// What several figures of one job share, worked out when first asked for.
#[derive(Debug, Clone)]
pub struct Shared {
    of_each: PerSubject<Vec<KeptOfOne>>,
    mix: OnceCell<Result<(Interval, Interval), Lack>>,
    total: OnceCell<Result<Interval, Lack>>,
}

impl Shared {
    /// Room for what the figures of this job share; nothing is worked out yet.
    pub fn of(job: &Job) -> Self {
        let count = |subject| job.of(subject).map_or(0, <[Entity]>::len);
        let of_each = PerSubject::from_fn(|subject| vec![KeptOfOne::new(); count(subject)]);
        Self { of_each, mix: OnceCell::new(), total: OnceCell::new() }
    }

    fn of_one(&self, (subject, index): (Subject, usize)) -> Option<&KeptOfOne> {
        self.of_each.get(subject).get(index)
    }
}

/// The place of what several figures of one subject share; most subjects have nothing of the kind.
type KeptOfOne = OnceCell<Box<OfOne>>;

/// What several figures of one subject share.
#[derive(Debug, Clone, Default)]
struct OfOne {
    designation: OnceCell<Result<Designation, Lack>>,
    spot: OnceCell<Option<TyrePlace>>,
    cavity: OnceCell<Result<Cavity, Lack>>,
    rim_widths: OnceCell<Option<RimWidths>>,
    mass: OnceCell<Result<Interval, Lack>>,
    ceiling: OnceCell<Result<Exact, Lack>>,
}

/// What the figures of one subject are worked out from.
#[derive(Debug)]
pub struct Workings<'a> {
    source: JobSource<'a>,
    facts: FactReader<'a>,
    shared: Option<&'a KeptOfOne>,
    /// In the place of what is shared, for a subject that is not of the job.
    own: KeptOfOne,
}

impl<'a> Workings<'a> {
    /// Sets out to work on one subject of a job; `shared` is of this job and these parameters alone.
    pub fn new(job: &'a Job, entity: &'a Entity, parameters: &'a Parameters, shared: &'a Shared) -> Self {
        Self::reading(JobSource::new(job, parameters, shared, None), entity)
    }

    /// As [`Workings::new`], with what is read noted; what `shared` holds already is not read again.
    pub fn watched(
        job: &'a Job,
        entity: &'a Entity,
        parameters: &'a Parameters,
        shared: &'a Shared,
        reads: &'a Reads,
    ) -> Self {
        Self::reading(JobSource::new(job, parameters, shared, Some(reads)), entity)
    }

    fn reading(source: JobSource<'a>, entity: &'a Entity) -> Self {
        let shared = source.place_of(entity).and_then(|place| source.shared().of_one(place));
        Self { source, facts: source.reader(entity), shared, own: KeptOfOne::new() }
    }

    /// The assemblies of a job, in their order.
    fn of_assemblies(source: JobSource<'a>) -> impl Iterator<Item = Self> {
        source.of(Subject::Assembly).enumerate().map(move |(index, facts)| {
            let shared = source.shared().of_one((Subject::Assembly, index));
            Self { source, facts, shared, own: KeptOfOne::new() }
        })
    }

    fn shared(&self) -> &OfOne {
        self.shared.unwrap_or(&self.own).get_or_init(Box::default)
    }

    /// The tyre's size designation.
    fn designation(&self) -> Result<&Designation, Lack> {
        self.shared().designation.get_or_init(|| markings::designation(self.facts)).as_ref().map_err(Clone::clone)
    }

    /// Where on which machine the tyre goes, by its mark.
    fn spot(&self) -> Option<&TyrePlace> {
        self.shared().spot.get_or_init(|| self.facts.text(assembly::MARK).map(TyrePlace::of)).as_ref()
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
    #[expect(clippy::too_many_lines, reason = "a line a figure")]
    pub fn compute(&self, id: FigureId) -> Figure {
        let Self { source, facts, .. } = *self;
        match id {
            FigureId::PlyRating => markings::ply_rating(self),
            FigureId::BeadDiameter => markings::bead_diameter(self),
            FigureId::SizeAgrees => markings::size_agrees(self),
            FigureId::SteelExpected => markings::steel_expected(self),
            FigureId::SteelBeltsExpected => markings::steel_belts_expected(self),
            FigureId::EarthmoverRim => markings::earthmover_rim(self),
            FigureId::TubeSuits => markings::tube_suits(self),
            FigureId::WidthListedForSize => markings::width_listed_for_size(self),
            FigureId::RimWidthLeast => markings::rim_width(self, Interval::lo),
            FigureId::RimWidthMost => markings::rim_width(self, Interval::hi),
            FigureId::CavityVolume => material::cavity_volume(self),
            FigureId::VolumeBelieved => material::volume_believed(self),
            FigureId::MixMass => material::mix_mass(self),
            FigureId::TyreMaximum => pressure::tyre_maximum(facts),
            FigureId::PressurePerPly => pressure::per_ply(self),
            FigureId::PressureOfKind => pressure::of_kind(self),
            FigureId::LoadOfOutline => pressure::load_of_outline(self),
            FigureId::LoadAtPressure => pressure::load_at_pressure(self),
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
            FigureId::LoadCarriedMost => physics::load_carried_most(facts),
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
            FigureId::MassesBelieved => handling::masses_believed(self),
            FigureId::FilledMass => handling::filled_mass(self),
            FigureId::LikelyFilledMass => handling::likely_filled_mass(self),
            FigureId::MassAsFilled => outcome::mass_as_filled(self),
            FigureId::CuredAt => outcome::cured_at(source, facts),
            FigureId::FilledOfLikely => outcome::filled_of_likely(self),
            FigureId::WeighedOfCounted => outcome::weighed_of_counted(source, facts),
            FigureId::EarliestEnd => outcome::earliest_end(source, facts),
            FigureId::EndsApart => outcome::ends_apart(source, facts),
            FigureId::SheetAge => markings::sheet_age(source),
            FigureId::FillLasted => outcome::fill_lasted(source, facts),
            FigureId::LogAfterFill => outcome::log_after_fill(source, facts),
            FigureId::MaximumOfAlike => alike::maximum(self),
            FigureId::MaximumByPlies => alike::maximum_by_plies(self),
            FigureId::VolumeOfAlike => alike::volume(self),
            FigureId::MassOfAlike => alike::mass(self),
            FigureId::DiameterOfAlike => alike::diameter(self),
            FigureId::RimRatingOfAlike => alike::rim_rating(self),
            FigureId::TargetOfAxle => alike::target(self),
            FigureId::AxleMatches => alike::axle_matches(self),
            FigureId::RimWidthOfAxle => alike::rim_width(self),
            FigureId::LoadOfAxle => alike::load(self),
            FigureId::TorqueOfAxle => alike::torque(self),
            FigureId::PumpedOfAlike => alike::pumped(self),
            FigureId::RatingOfIndex => markings::rating_of_index(self),
            FigureId::LoadOfIndex => markings::load_of_index(self),
            FigureId::SpeedOfMark => markings::speed_of_mark(self),
            FigureId::NotForHighway => markings::not_for_highway(self),
            FigureId::LoadOfIndexAtPressure => physics::load_of_index_at_pressure(self),
            FigureId::StretchAboveBay => pre_stretch::above_bay(source, facts),
            FigureId::PreStretchStray => pre_stretch::stray(facts),
            FigureId::PreStretchLeap => pre_stretch::leap(facts),
            FigureId::NamedWidth => markings::named_width(self),
            FigureId::AcceptedNamesIt => people::accepted_names_it(self),
            FigureId::LikelyFillTime => filling::likely_time(self),
            FigureId::OwnRimWidth => markings::own_rim_width(self),
            FigureId::PreStretchMoves => pre_stretch::moves(source, facts),
            FigureId::ComponentNeeded => material::component_needed(source, facts),
            FigureId::ComponentInTyres => material::component_in_tyres(source, facts),
            FigureId::ComponentLikely => material::component_likely(source, facts),
            FigureId::NeedByRatio => material::need_by_ratio(source, facts),
            FigureId::WentIn => outcome::went_in(source, facts),
            FigureId::PumpedOfNeed => outcome::pumped_of_need(source, facts),
            FigureId::WarmingBefore => time::warming_before(facts),
            FigureId::WarmingRate => time::warming_rate(source, facts),
            FigureId::WarmingHottest => time::warming_hottest(facts),
            FigureId::ComponentLeft => material::component_left(source, facts),
            FigureId::ComponentVolume => filling::component_volume(source, facts),
            FigureId::Containers => filling::containers(source, facts),
            FigureId::Fills => filling::fills(source, facts),
            FigureId::WarmAt => time::warm_at(source, facts),
            FigureId::TwoLots => material::two_lots(source),
            FigureId::SheetNamesGrade => markings::sheet_names_grade(source),
            FigureId::GradeNumber => markings::grade_number(source),
            FigureId::AcceptedByAnother => people::accepted_by_another(source),
            FigureId::AcceptedForThis => people::accepted_for_this(source),
            FigureId::CrewToldApart => people::crew_told_apart(source),
            FigureId::TwoAtThePump => people::two_at_the_pump(source),
            FigureId::DewPoint => physics::dew_point(source),
            FigureId::CycleDoubt => filling::cycle_doubt(source),
            FigureId::LogHottest => time::log_hottest(source),
            FigureId::LogAgrees => time::log_agrees(source),
            FigureId::DensityRatio => material::density_ratio(source),
            FigureId::SettlesAsUsual => material::settles_as_usual(source),
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
