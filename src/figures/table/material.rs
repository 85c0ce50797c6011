//! The figures of a component. This module must not know how a figure is computed.

use super::{
    BELIEVED, CAVITY, COUNT, DENSITY, LEFT, MASS, PERCENT, PRIMING, PUMPED, ROOM, SHARE, TEMPERATURE, TOTAL, VOLUME,
    one_list, row, whether,
};
use crate::figures::{Direction, FigureId, FigureKind, FigureSpec, Parameter};
use crate::record::catalogue::{assembly, component, job};
use crate::units::Dimension;
use crate::vocabulary::Subject;

use Direction::{Down, Free, Up};
use FigureKind::Instant;
use Subject::Component;

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
        &one_list::<_, 16>(&[DENSITY, PRIMING, CAVITY, &[(assembly::TYRE_STATE, Free)]]),
        TOTAL,
    ),
    row(
        FigureId::ComponentInTyres,
        Component,
        "likely_in_tyres",
        MASS,
        (
            "The mass of this component in the tyres by the likeliest volume of each, as a chart gives it: without priming, growth and waste. A need that is written down is compared with it.",
            "sum of likeliest volumes x mix density x parts / sum of parts",
        ),
        &one_list::<_, 14>(&[DENSITY, CAVITY]),
        BELIEVED,
    ),
    row(
        FigureId::ComponentLikely,
        Component,
        "likely_need",
        MASS,
        (
            "The mass of this component that the job takes by the likeliest volume of each tyre, with priming, without growth and waste; the stock is compared with it.",
            "(sum of likeliest volumes x mix density + priming) x parts / sum of parts",
        ),
        &one_list::<_, 15>(&[DENSITY, PRIMING, CAVITY]),
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
        &one_list::<_, 7>(&[&[(component::NEEDED, Up)], SHARE]),
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
        &one_list::<_, 10>(&[PUMPED, PRIMING, SHARE]),
        &[],
    ),
    row(
        FigureId::PumpedOfNeed,
        Component,
        "pumped_of_need",
        PERCENT,
        (
            "What was pumped of this component into all assemblies, without the priming, as a share of its recorded need; one of which nothing is told was not filled yet.",
            "(sum of cycles x mass per cycle, or the masses weighed) x share of the mix / recorded need",
        ),
        &one_list::<_, 10>(&[PUMPED, &[(component::NEEDED, Free)], SHARE]),
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
        FigureId::WarmingHottest,
        Component,
        "warming_hottest",
        TEMPERATURE,
        ("The hottest of the earlier readings of a container.", "the greatest of the rows"),
        &[(component::WARMING, Free)],
        &[],
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
        &one_list::<_, 17>(&[
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
        &one_list::<_, 16>(&[SHARE, PRIMING, CAVITY, &[(assembly::TYRE_STATE, Free)]]),
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
        &one_list::<_, 17>(&[
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
        &one_list::<_, 17>(&[
            &[(component::ON_HAND, Up), (job::PUMP_PRIMING, Free), (assembly::TYRE_STATE, Free)],
            SHARE,
            CAVITY,
        ]),
        LEFT,
    ),
    FigureSpec {
        only_shown: true,
        ..row(
            FigureId::WarmAt,
            Component,
            "warm_at",
            Instant,
            (
                "When the core will be at the processing temperature, at the logged rate. It is shown; no rule may ask for it.",
                "exponential approach to the air's temperature, least squares",
            ),
            &[
                (component::WARMING, Free),
                (component::CORE_TEMPERATURE, Free),
                (component::READ_AT, Free),
                (job::WORKSPACE_TEMPERATURE, Free),
            ],
            &[(Parameter::ProcessingTemperature, Up)],
        )
    },
];
