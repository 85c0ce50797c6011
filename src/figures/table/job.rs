//! The figures of a component and of the job as a whole. This module must not know how a figure is computed.

use super::{BELIEVED, CAVITY, COUNT, DENSITY, DURATION, LEFT, MASS, MIX, PRIMING, TOTAL, VOLUME, joined, row};
use crate::figures::{Direction, FigureId, FigureKind, FigureSpec, Parameter};
use crate::record::catalogue::{assembly, component, job};
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
            "(sum of mix masses + waste + priming) x parts / sum of parts",
        ),
        &joined::<16>(&[DENSITY, PRIMING, CAVITY, &[(assembly::TYRE_STATE, Free)]]),
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
        &joined::<14>(&[DENSITY, CAVITY]),
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
        &joined::<15>(&[DENSITY, PRIMING, CAVITY]),
        BELIEVED,
    ),
    row(
        FigureId::ComponentLeft,
        Component,
        "left",
        MASS,
        ("What is left of this component after the job; below zero where it does not last.", "on hand - needed"),
        &joined::<17>(&[
            &[
                (component::ON_HAND, Up),
                (component::DENSITY, Down),
                (component::PARTS, Free),
                (component::PARTS_BY_VOLUME, Free),
                (component::DENSITY_AT, Free),
                (component::EXPANSION, Free),
                (component::CORE_TEMPERATURE, Up),
                (job::PUMP_PRIMING, Down),
            ],
            CAVITY,
            &[(assembly::TYRE_STATE, Free)],
        ]),
        LEFT,
    ),
    row(
        FigureId::ComponentVolume,
        Component,
        "volume_needed",
        VOLUME,
        ("The volume of this component that the job takes, at the temperature of its core.", "needed / density"),
        &joined::<16>(&[
            &[
                (component::DENSITY, Free),
                (component::PARTS, Free),
                (component::PARTS_BY_VOLUME, Free),
                (component::DENSITY_AT, Free),
                (component::EXPANSION, Free),
                (component::CORE_TEMPERATURE, Free),
            ],
            PRIMING,
            CAVITY,
            &[(assembly::TYRE_STATE, Free)],
        ]),
        TOTAL,
    ),
    row(
        FigureId::Containers,
        Component,
        "containers",
        COUNT,
        (
            "The containers of this component that the job opens, each of them full.",
            "needed / what a full one holds, rounded up",
        ),
        &joined::<17>(&[
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
            "on hand against the needs added up",
        ),
        &joined::<17>(&[
            &[(component::ON_HAND, Up)],
            &[
                (component::DENSITY, Free),
                (component::PARTS, Free),
                (component::PARTS_BY_VOLUME, Free),
                (component::DENSITY_AT, Free),
                (component::EXPANSION, Free),
                (component::CORE_TEMPERATURE, Free),
            ],
            &[(job::PUMP_PRIMING, Free)],
            CAVITY,
            &[(assembly::TYRE_STATE, Free)],
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
    row(
        FigureId::TwoLots,
        Job,
        "two_lots",
        FigureKind::Flag,
        ("Whether isocyanate and polyol are of two lots, however their marks are written.", "the marks compared"),
        &[(component::LOT, Free)],
        &[],
    ),
    row(
        FigureId::JobMixMass,
        Job,
        "mix_mass",
        MASS,
        ("The mass of mix that the job takes, with waste and priming.", "sum of mix masses + waste + priming"),
        &joined::<16>(&[PRIMING, MIX]),
        TOTAL,
    ),
    row(
        FigureId::PumpCycles,
        Job,
        "pump_cycles",
        COUNT,
        ("The pump cycles that the job takes, by the pump's own calibration.", "mix mass / mass per cycle"),
        &joined::<17>(&[&[(job::PUMP_MASS_PER_CYCLE, Down)], PRIMING, MIX]),
        TOTAL,
    ),
    row(
        FigureId::JobTime,
        Job,
        "fill_time",
        DURATION,
        ("How long the pump runs for the job without a pause, priming included.", "pump cycles x time of a cycle"),
        &joined::<18>(&[&[(job::PUMP_MASS_PER_CYCLE, Down), (job::PUMP_CYCLE_TIME, Up)], PRIMING, MIX]),
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
        &joined::<19>(&[
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
        ("What the material costs, in the shop's own currency.", "sum of needed x price / amount"),
        &joined::<18>(&[&[(component::PRICE, Up), (component::PRICE_FOR, Down)], PRIMING, MIX]),
        TOTAL,
    ),
    row(
        FigureId::ReadyToServe,
        Job,
        "ready_to_serve",
        Instant,
        (
            "The earliest return to service, the planned start being kept; hours for which the workspace log shows cold, or a gap, do not count.",
            "planned start + longer of the planned and the ruled cure + hours not shown warm",
        ),
        &[
            (job::PLANNED_START, Free),
            (job::CURE_PLANNED, Up),
            (job::WORKSPACE_TEMPERATURE, Free),
            (job::WORKSPACE_LOG, Free),
        ],
        &[
            (Parameter::WorkspaceTemperature, Up),
            (Parameter::WorkspaceLongestGap, Down),
            (Parameter::CureTime, Up),
            (Parameter::ColdCureTime, Up),
        ],
    ),
    row(
        FigureId::ReadyAfterFill,
        Job,
        "ready_after_fill",
        Instant,
        (
            "The earliest return to service, counted from the end of the fill; cold hours as in the figure that counts from its start.",
            "end of the fill + longer of the planned and the ruled cure + hours not shown warm",
        ),
        &joined::<22>(&[
            &[
                (job::PLANNED_START, Free),
                (job::CURE_PLANNED, Up),
                (job::WORKSPACE_TEMPERATURE, Free),
                (job::WORKSPACE_LOG, Free),
                (job::PUMP_MASS_PER_CYCLE, Free),
                (job::PUMP_CYCLE_TIME, Free),
            ],
            &[
                (job::PUMP_PRIMING, Free),
                (component::DENSITY, Free),
                (component::PARTS, Free),
                (component::PARTS_BY_VOLUME, Free),
                (component::DENSITY_AT, Free),
                (component::EXPANSION, Free),
                (component::CORE_TEMPERATURE, Free),
                (assembly::TYRE_STATE, Free),
            ],
            CAVITY,
        ]),
        &[
            (Parameter::WorkspaceTemperature, Up),
            (Parameter::WorkspaceLongestGap, Down),
            (Parameter::CureTime, Up),
            (Parameter::ColdCureTime, Up),
            // A later end of the fill may leave out what the log shows of the hours before it.
            (Parameter::UsedTyreGrowth, Free),
            (Parameter::Waste, Free),
            (Parameter::InsideVolumeLeast, Free),
            (Parameter::InsideVolumeMost, Free),
        ],
    ),
];
