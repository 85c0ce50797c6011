//! The figures of the job as a whole. This module must not know how a figure is computed.

use super::{
    BELIEVED, CAVITY, COUNT, CURE, CURED, DURATION, MASS, MIX, PERCENT, PRIMING, SHARE, TEMPERATURE, TOTAL, one_list,
    row, whether,
};
use crate::figures::{Direction, FigureId, FigureKind, FigureSpec, Parameter};
use crate::record::catalogue::{assembly, component, job, person, stages};
use crate::units::Dimension;
use crate::vocabulary::Subject;

use Direction::{Down, Free, Up};
use FigureKind::Instant;
use Subject::Job;

/// The rows, in the order of [`FigureId`].
pub(super) const ROWS: &[FigureSpec] = &[
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
        FigureId::AcceptedForThis,
        Job,
        "accepted_for_this",
        (
            "who accepted the fill names no machine but those of the job",
            "a word with a number behind it, as in `loader 9`, whose word stands before another number in a mark",
        ),
        &[(job::ACCEPTED_BY, Free), (assembly::MARK, Free)],
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
    whether!(
        FigureId::TwoAtThePump,
        Job,
        "two_at_the_pump",
        (
            "two people or more are there for the pump: everybody of the crew but inspectors",
            "people whose role is not inspector >= 2",
        ),
        &[(person::ROLE, Free)],
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
    whether!(
        FigureId::LogAgrees,
        Job,
        "log_agrees",
        (
            "every lowest temperature of the workspace log is at or below what was read before and after it"; "one kelvin is left to two thermometers",
            "lowest of a row <= temperature of it and of the row before + 1 K",
        ),
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
        &one_list::<_, 16>(&[PRIMING, MIX]),
        TOTAL,
    ),
    row(
        FigureId::PumpCycles,
        Job,
        "pump_cycles",
        COUNT,
        ("The pump cycles that the job takes, by the pump's own calibration.", "mix mass / mass per cycle"),
        &one_list::<_, 17>(&[&[(job::PUMP_MASS_PER_CYCLE, Down)], PRIMING, MIX]),
        TOTAL,
    ),
    row(
        FigureId::JobTime,
        Job,
        "fill_time",
        DURATION,
        ("How long the pump runs for the job without a pause, priming included.", "pump cycles x time of a cycle"),
        &one_list::<_, 18>(&[&[(job::PUMP_MASS_PER_CYCLE, Down), (job::PUMP_CYCLE_TIME, Up)], PRIMING, MIX]),
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
        &one_list::<_, 19>(&[
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
        &one_list::<_, 18>(&[&[(component::PRICE, Up), (component::PRICE_FOR, Down)], PRIMING, MIX]),
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
        &one_list::<_, 6>(&[&[(job::PLANNED_START, Free)], CURED]),
        CURE,
    ),
    row(
        FigureId::ReadyAfterFill,
        Job,
        "ready_after_fill",
        Instant,
        (
            "The earliest return to service. Once the end of each fill is recorded, it is when the last cure is over; until then it is counted from the latest end of the fill by the plan, cold hours as in the figure that counts from its start.",
            "latest end of the fills, until each is recorded by the plan, + (hours shown warm / ordinary cure + other hours / cold cure = 1), each the longest of plan, sheet and rule",
        ),
        &one_list::<_, 25>(&[
            CURED,
            &[
                (job::PLANNED_START, Free),
                (stages::FILL_ENDED, Free),
                (job::PUMP_MASS_PER_CYCLE, Free),
                (job::PUMP_CYCLE_TIME, Free),
                (job::PUMP_PRIMING, Free),
                (assembly::TYRE_STATE, Free),
            ],
            SHARE,
            CAVITY,
        ]),
        // A later end of the fill may leave out what the log shows of the hours before it.
        &one_list::<_, 10>(&[CURE, &[(Parameter::UsedTyreGrowth, Free), (Parameter::Waste, Free)], BELIEVED]),
    ),
];
