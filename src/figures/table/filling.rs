//! The figures of one assembly: what its markings and its rim say, and what fills it. This module must not know how a
//! figure is computed.

use super::{
    BELIEVED, CAVITY, COUNT, DURATION, FILLED, GROWTH, LENGTH, MASS, MIX, PERCENT, VOLUME, one_list, row, whether,
};
use crate::figures::{Direction, FigureId, FigureSpec};
use crate::record::catalogue::{assembly, job};
use crate::vocabulary::Subject;

use Direction::{Down, Free, Up};
use Subject::Assembly;

/// The rows, in the order of [`FigureId`].
pub(super) const ROWS: &[FigureSpec] = &[
    row(
        FigureId::PlyRating,
        Assembly,
        "ply_rating",
        COUNT,
        (
            "The ply rating as recorded, or by the published load range table; where both are recorded and differ, anything between them.",
            "load range table",
        ),
        &[(assembly::TYRE_PLY_RATING, Up), (assembly::TYRE_LOAD_RANGE, Free), (assembly::TYRE_SIZE, Free)],
        &[],
    ),
    row(
        FigureId::BeadDiameter,
        Assembly,
        "bead_diameter",
        LENGTH,
        ("The bead seat diameter that the tyre's size designation names.", "size designation"),
        &[(assembly::TYRE_SIZE, Free)],
        &[],
    ),
    whether!(
        FigureId::SizeAgrees,
        Assembly,
        "size_agrees",
        (
            "the size designation agrees with the construction, the seal and the strength on record",
            "size designation against construction and seal; one strength by ply rating, load range and size",
        ),
        &[
            (assembly::TYRE_SIZE, Free),
            (assembly::TYRE_CONSTRUCTION, Free),
            (assembly::TYRE_SEAL, Free),
            (assembly::TYRE_PLY_RATING, Free),
            (assembly::TYRE_LOAD_RANGE, Free),
        ],
        &[],
    ),
    whether!(
        FigureId::SteelExpected,
        Assembly,
        "steel_expected",
        (
            "the tyre has steel in casing or belts unless its sidewall says otherwise",
            "radial, of a size for trucks, earthmovers or graders",
        ),
        &[(assembly::TYRE_SIZE, Free), (assembly::TYRE_CONSTRUCTION, Free)],
        &[],
    ),
    whether!(
        FigureId::SteelBeltsExpected,
        Assembly,
        "steel_belts_expected",
        (
            "the tyre is a radial whose belts are of steel unless its sidewall says otherwise",
            "radial, of any size but those of farms",
        ),
        &[(assembly::TYRE_SIZE, Free), (assembly::TYRE_CONSTRUCTION, Free)],
        &[],
    ),
    whether!(
        FigureId::EarthmoverRim,
        Assembly,
        "earthmover_rim",
        (
            "the rim of the size is one of earthmovers, which have rings",
            "25, 29, 33, 35, 39, 43, 45, 49, 51, 57 or 63 in, within 0.2 in",
        ),
        &[(assembly::TYRE_SIZE, Free)],
        &[],
    ),
    whether!(
        FigureId::TubeSuits,
        Assembly,
        "tube_suits",
        (
            "the tube is marked for the size of the tyre, however each is written",
            "sizes of the tube against sizes of the tyre",
        ),
        &[(assembly::TUBE_SIZE, Free), (assembly::TYRE_SIZE, Free)],
        &[],
    ),
    whether!(
        FigureId::WidthListedForSize,
        Assembly,
        "width_listed_for_size",
        (
            "the width of the rim is listed for the size of the tyre, however each is written",
            "sizes for which the width is listed against sizes of the tyre",
        ),
        &[(assembly::RIM_LISTED_FOR, Free), (assembly::TYRE_SIZE, Free)],
        &[],
    ),
    row(
        FigureId::RimWidthLeast,
        Assembly,
        "rim_width_least",
        LENGTH,
        ("The narrowest rim to expect for the size; the rim manual decides.", "measuring rim less a share, estimated"),
        &[(assembly::TYRE_SIZE, Free)],
        &[],
    ),
    row(
        FigureId::RimWidthMost,
        Assembly,
        "rim_width_most",
        LENGTH,
        ("The widest rim to expect for the size; the rim manual decides.", "measuring rim plus a share, estimated"),
        &[(assembly::TYRE_SIZE, Free)],
        &[],
    ),
    row(
        FigureId::CavityVolume,
        Assembly,
        "cavity_volume",
        VOLUME,
        (
            "The volume inside the mounted tyre when new, between bounds found by comparison with published volumes.",
            "half ellipse on parabola about the axle, times the family's factor; a recorded inside volume that is believed is used instead",
        ),
        CAVITY,
        BELIEVED,
    ),
    whether!(
        FigureId::VolumeBelieved,
        Assembly,
        "volume_believed",
        (
            "the recorded inside volume is near enough to what the size gives"; "if not, nothing is worked out from it",
            "recorded inside volume / modelled volume, between two shares",
        ),
        &[
            (assembly::TYRE_INSIDE_VOLUME, Free),
            (assembly::TYRE_SIZE, Free),
            (assembly::TYRE_SECTION_WIDTH, Free),
            (assembly::TYRE_OVERALL_DIAMETER, Free),
            (assembly::RIM_WIDTH, Free),
            (assembly::TYRE_PLY_RATING, Free),
            (assembly::TYRE_LOAD_RANGE, Free),
            (assembly::TYRE_CONSTRUCTION, Free),
        ],
        BELIEVED,
    ),
    row(
        FigureId::MixMass,
        Assembly,
        "mix_mass",
        MASS,
        (
            "The mass of mix that fills the assembly; the upper bound allows for the growth of a used tyre.",
            "cavity volume x mix density; 1/density = sum of shares/densities",
        ),
        MIX,
        GROWTH,
    ),
    row(
        FigureId::MixVolume,
        Assembly,
        "mix_volume",
        VOLUME,
        (
            "The volume of mix that fills the assembly; the upper bound allows for the growth of a used tyre.",
            "cavity volume + growth",
        ),
        &one_list::<_, 9>(&[CAVITY, &[(assembly::TYRE_STATE, Free)]]),
        GROWTH,
    ),
    row(
        FigureId::AssemblyCycles,
        Assembly,
        "pump_cycles",
        COUNT,
        (
            "The pump cycles that this assembly takes, without priming and waste, by the pump's own calibration.",
            "mix mass / mass per cycle",
        ),
        &one_list::<_, 16>(&[&[(job::PUMP_MASS_PER_CYCLE, Down)], MIX]),
        GROWTH,
    ),
    row(
        FigureId::AssemblyTime,
        Assembly,
        "fill_time",
        DURATION,
        ("How long this assembly is being filled, the pump running without a pause.", "pump cycles x time of a cycle"),
        &one_list::<_, 17>(&[&[(job::PUMP_MASS_PER_CYCLE, Down), (job::PUMP_CYCLE_TIME, Up)], MIX]),
        GROWTH,
    ),
    row(
        FigureId::FilledOfLeast,
        Assembly,
        "filled_of_least",
        PERCENT,
        (
            "What was pumped, as a share of the least that the tyre held when new; below 100 % there is air in it.",
            "(cycles x mass per cycle, or the mass weighed) / least of (cavity volume x mix density)",
        ),
        FILLED,
        BELIEVED,
    ),
    row(
        FigureId::FilledOfMost,
        Assembly,
        "filled_of_most",
        PERCENT,
        (
            "What was pumped, as a share of the most that the tyre held when new; growth and what is lost at the vent come on top.",
            "(cycles x mass per cycle, or the mass weighed) / most of (cavity volume x mix density)",
        ),
        FILLED,
        BELIEVED,
    ),
];
