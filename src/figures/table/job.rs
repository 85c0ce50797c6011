//! The figures of a component and of the job as a whole. This module must not know how a figure is computed.

use super::{
    BELIEVED, CAVITY, COUNT, CURE, CURED, DENSITY, DURATION, LEFT, MASS, MIX, PERCENT, PRIMING, PUMPED, ROOM, SHARE,
    TEMPERATURE, TOTAL, VOLUME, joined, row, whether,
};
use crate::figures::{Direction, FigureId, FigureKind, FigureSpec, Parameter};
use crate::record::catalogue::{assembly, component, job, person};
use crate::units::Dimension;
use crate::vocabulary::Subject;

use Direction::{Down, Free, Up};
use FigureKind::Instant;
use Subject::{Component, Job};

/// The rows, in the order of [`FigureId`].
pub(super) const ROWS: &[FigureSpec] = &[
    row(
        FigureId::ComponentNeeded,
        Component,
        "needed",
        MASS,
        (
            "The mass of this component that all assemblies of the job take, with waste and priming.",
            "share of this side in: the mix of all tyres + priming + what is wasted",
        ),
        &joined::<_, 16>(&[DENSITY, PRIMING, CAVITY, &[(assembly::TYRE_STATE, Free)]]),
        TOTAL,
    ),
    row(
        FigureId::ComponentInTyres,
        Component,
        "likely_in_tyres",
        MASS,
        (
            "The mass of this component in the tyres by the likeliest volume of each, as a chart gives it: without priming, growth and waste. A need that is written down is held against it.",
            "sum of likeliest volumes x mix density x parts / sum of parts",
        ),
        &joined::<_, 14>(&[DENSITY, CAVITY]),
        BELIEVED,
    ),
    row(
        FigureId::ComponentLikely,
        Component,
        "likely_need",
        MASS,
        (
            "The mass of this component that the job takes by the likeliest volume of each tyre, with priming, without growth and waste; the stock is held against it.",
            "(sum of likeliest volumes x mix density + priming) x parts / sum of parts",
        ),
        &joined::<_, 15>(&[DENSITY, PRIMING, CAVITY]),
        BELIEVED,
    ),
    row(
        FigureId::NeedByRatio,
        Component,
        "need_by_ratio",
        MASS,
        (
            "The need of this side that goes with the recorded need of the other side, by the ratio of the mix.",
            "recorded need of the other side x own parts by weight / parts of the other",
        ),
        &joined::<_, 7>(&[&[(component::NEEDED, Up)], SHARE]),
        &[],
    ),
    row(
        FigureId::WentIn,
        Component,
        "went_in",
        MASS,
        (
            "The mass of this component that went into all assemblies, with the priming; one of which nothing is told was not filled yet.",
            "(sum of cycles x mass per cycle, or the masses weighed, + priming) x share of the mix",
        ),
        &joined::<_, 10>(&[PUMPED, PRIMING, SHARE]),
        &[],
    ),
    whether!(
        FigureId::WarmingBefore,
        Component,
        "warming_before",
        ("the earlier readings of a container lie before that of its core", "every row before the reading"),
        &[(component::WARMING, Free), (component::CORE_TEMPERATURE, Free)],
        &[],
    ),
    row(
        FigureId::WarmingRate,
        Component,
        "warming_rate",
        COUNT,
        (
            "How fast the core rose between two readings, at its fastest, in kelvin an hour; a shorter time counts as the least span.",
            "rise / time between the two readings",
        ),
        &[(component::WARMING, Free), (component::CORE_TEMPERATURE, Free)],
        &[(Parameter::WarmingSpan, Down)],
    ),
    row(
        FigureId::ComponentLeft,
        Component,
        "left",
        FigureKind::Difference(Dimension::Mass),
        (
            "What is left of this component after the job; below zero where it does not last.",
            "on hand - amount to have",
        ),
        &joined::<_, 17>(&[
            &[(component::ON_HAND, Up), (job::PUMP_PRIMING, Down), (assembly::TYRE_STATE, Free)],
            ROOM,
            CAVITY,
        ]),
        LEFT,
    ),
    row(
        FigureId::ComponentVolume,
        Component,
        "volume_needed",
        VOLUME,
        (
            "The volume of this component that the job takes, at the temperature of its core.",
            "amount to have / density",
        ),
        &joined::<_, 16>(&[SHARE, PRIMING, CAVITY, &[(assembly::TYRE_STATE, Free)]]),
        TOTAL,
    ),
    row(
        FigureId::Containers,
        Component,
        "containers",
        COUNT,
        (
            "The containers of this component that the job opens, each of them full.",
            "amount to have / content of a full one, rounded up",
        ),
        &joined::<_, 17>(&[
            &[(component::CONTAINER_SIZE, Down)],
            DENSITY,
            PRIMING,
            CAVITY,
            &[(assembly::TYRE_STATE, Free)],
        ]),
        TOTAL,
    ),
    row(
        FigureId::Fills,
        Component,
        "fills",
        COUNT,
        (
            "How many of the job's assemblies, in their order, this component surely fills, and how many at most.",
            "on hand against what the tyres take, one after the other",
        ),
        &joined::<_, 17>(&[
            &[(component::ON_HAND, Up), (job::PUMP_PRIMING, Free), (assembly::TYRE_STATE, Free)],
            SHARE,
            CAVITY,
        ]),
        LEFT,
    ),
    row(
        FigureId::WarmAt,
        Component,
        "warm_at",
        Instant,
        (
            "When the core will be at the processing temperature, at the logged rate.",
            "exponential approach to the air's temperature, least squares",
        ),
        &[
            (component::WARMING, Free),
            (component::CORE_TEMPERATURE, Free),
            (component::READ_AT, Free),
            (job::WORKSPACE_TEMPERATURE, Free),
        ],
        &[(Parameter::ProcessingTemperature, Up)],
    ),
    whether!(
        FigureId::TwoLots,
        Job,
        "two_lots",
        ("isocyanate and polyol are of two lots, however their marks are written", "the marks compared"),
        &[(component::LOT, Free)],
        &[],
    ),
    whether!(
        FigureId::SheetNamesGrade,
        Job,
        "sheet_names_grade",
        (
            "the title of the data sheet has the words of the grade that was ordered, in any case",
            "every word of the grade is in the title",
        ),
        &[(job::SHEET, Free), (job::ORDER_SYSTEM, Free)],
        &[],
    ),
    row(
        FigureId::SheetAge,
        Job,
        "sheet_age",
        FigureKind::Difference(Dimension::Count),
        (
            "How many years before the planned start the data sheet is from, by the latest year that its title names; below zero for a year still to come.",
            "year of the planned start - latest year of the title",
        ),
        &[(job::SHEET, Free), (job::ORDER_SYSTEM, Free), (job::PLANNED_START, Free)],
        &[],
    ),
    row(
        FigureId::GradeNumber,
        Job,
        "grade_number",
        COUNT,
        (
            "The hardness that the name of the ordered grade has in it, such as 55 in `firm 55`.",
            "the only number from 10 to 95 in the name that is not joined to a single letter, as in `B-12`",
        ),
        &[(job::ORDER_SYSTEM, Free)],
        &[],
    ),
    whether!(
        FigureId::AcceptedByAnother,
        Job,
        "accepted_by_another",
        (
            "who accepted the fill is none of the crew by any way of writing a name, and neither the shop nor its site",
            "no point of a name of the crew is left to tell the two apart",
        ),
        &[(job::ACCEPTED_BY, Free), (person::NAME, Free), (job::SITE, Free)],
        &[],
    ),
    whether!(
        FigureId::CrewToldApart,
        Job,
        "crew_told_apart",
        (
            "no two names of the crew can be one person's, by any way of writing a name",
            "a point of each name is left that the other one has not",
        ),
        &[(person::NAME, Free)],
        &[],
    ),
    row(
        FigureId::DewPoint,
        Job,
        "dew_point",
        TEMPERATURE,
        (
            "The temperature at which water leaves the air of the workspace and settles on whatever is colder.",
            "Magnus formula over water, with its margin",
        ),
        &[(job::WORKSPACE_HUMIDITY, Up), (job::WORKSPACE_TEMPERATURE, Up)],
        &[],
    ),
    row(
        FigureId::CycleDoubt,
        Job,
        "cycle_doubt",
        PERCENT,
        ("How far the mass per cycle may be off, as a share of it.", "uncertainty / mass per cycle"),
        &[(job::PUMP_MASS_PER_CYCLE, Free)],
        &[],
    ),
    row(
        FigureId::LogHottest,
        Job,
        "log_hottest",
        TEMPERATURE,
        ("The hottest row of the workspace log.", "highest temperature of the rows"),
        &[(job::WORKSPACE_LOG, Free)],
        &[],
    ),
    row(
        FigureId::DensityRatio,
        Job,
        "density_ratio",
        PERCENT,
        (
            "The density of the isocyanate by its data sheet as a share of that of the polyol.",
            "density of the isocyanate / density of the polyol",
        ),
        &[(component::DENSITY, Free)],
        &[],
    ),
    whether!(
        FigureId::SettlesAsUsual,
        Job,
        "settles_as_usual",
        ("the isocyanate settles only where the polyol does", "the polyol settles, or the isocyanate does not",),
        &[(component::SETTLES, Free)],
        &[],
    ),
    row(
        FigureId::JobMixMass,
        Job,
        "mix_mass",
        MASS,
        ("The mass of mix that the job takes, with waste and priming.", "sum of mix masses + waste + priming"),
        &joined::<_, 16>(&[PRIMING, MIX]),
        TOTAL,
    ),
    row(
        FigureId::PumpCycles,
        Job,
        "pump_cycles",
        COUNT,
        ("The pump cycles that the job takes, by the pump's own calibration.", "mix mass / mass per cycle"),
        &joined::<_, 17>(&[&[(job::PUMP_MASS_PER_CYCLE, Down)], PRIMING, MIX]),
        TOTAL,
    ),
    row(
        FigureId::JobTime,
        Job,
        "fill_time",
        DURATION,
        ("How long the pump runs for the job without a pause, priming included.", "pump cycles x time of a cycle"),
        &joined::<_, 18>(&[&[(job::PUMP_MASS_PER_CYCLE, Down), (job::PUMP_CYCLE_TIME, Up)], PRIMING, MIX]),
        TOTAL,
    ),
    row(
        FigureId::FillEnd,
        Job,
        "fill_end",
        Instant,
        (
            "The latest end of the fill where nothing but pumping takes time, the planned start being kept.",
            "planned start + most of the fill time",
        ),
        &joined::<_, 19>(&[
            &[(job::PLANNED_START, Free), (job::PUMP_MASS_PER_CYCLE, Down), (job::PUMP_CYCLE_TIME, Up)],
            PRIMING,
            MIX,
        ]),
        TOTAL,
    ),
    row(
        FigureId::Cost,
        Job,
        "cost",
        COUNT,
        (
            "What the material costs, in the shop's own currency.",
            "sum of amount to have x price / amount that the price buys",
        ),
        &joined::<_, 18>(&[&[(component::PRICE, Up), (component::PRICE_FOR, Down)], PRIMING, MIX]),
        TOTAL,
    ),
    row(
        FigureId::ReadyToServe,
        Job,
        "ready_to_serve",
        Instant,
        (
            "The earliest return to service, the planned start being kept; hours that the workspace log does not show warm count by the cold cure time.",
            "planned start + (hours shown warm / ordinary cure + other hours / cold cure = 1), each the longest of plan, sheet and rule",
        ),
        &joined::<_, 6>(&[&[(job::PLANNED_START, Free)], CURED]),
        CURE,
    ),
    row(
        FigureId::ReadyAfterFill,
        Job,
        "ready_after_fill",
        Instant,
        (
            "The earliest return to service, counted from the end of the fill; cold hours as in the figure that counts from its start.",
            "end of the fill + (hours shown warm / ordinary cure + other hours / cold cure = 1), each the longest of plan, sheet and rule",
        ),
        &joined::<_, 24>(&[
            CURED,
            &[
                (job::PLANNED_START, Free),
                (job::PUMP_MASS_PER_CYCLE, Free),
                (job::PUMP_CYCLE_TIME, Free),
                (job::PUMP_PRIMING, Free),
                (assembly::TYRE_STATE, Free),
            ],
            SHARE,
            CAVITY,
        ]),
        // A later end of the fill may leave out what the log shows of the hours before it.
        &joined::<_, 8>(&[CURE, &[(Parameter::UsedTyreGrowth, Free), (Parameter::Waste, Free)], BELIEVED]),
    ),
];
