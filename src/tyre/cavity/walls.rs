//! How thick the casing is: allowances by construction, ply rating, width and tread.
//!
//! Engineering estimate, no source. The published truck figures recalled (sidewall 8 to 12 mm, crown 28 to 35 mm with
//! tread) lie within what these give; where a family was fitted, its shape factor takes up what remains. This module must
//! not know volumes.

use crate::tyre::designation::{Construction, TreadCode};
use crate::tyre::family::Traits;

/// Sidewall whatever the size: liner, cover and flex rubber, in millimetres.
const SIDE_BASE_MM: f64 = 3.0;
/// Sidewall rubber for each millimetre of section width.
const SIDE_PER_WIDTH: f64 = 0.01;
/// Sidewall for each point of ply rating in a diagonal casing, whose plies all run through the sidewall.
const SIDE_PER_PLY_DIAGONAL_MM: f64 = 0.4;
/// The same in a radial casing, whose few plies are thicker cords.
const SIDE_PER_PLY_RADIAL_MM: f64 = 0.2;
/// Rubber under the tread for each millimetre of section width.
const CROWN_PER_WIDTH: f64 = 0.02;
/// Plies, belts or breakers under the tread for each point of ply rating.
const CROWN_PER_PLY_MM: f64 = 0.8;

/// Thicknesses in millimetres.
#[derive(Debug, Clone, Copy)]
pub(super) struct Walls {
    pub(super) side: f64,
    pub(super) crown: f64,
}

/// The allowances for a tyre. `treads` matter only if the overall diameter was recorded: then a deep tread stands
/// within that diameter; the design diameter that a name gives is that of the reference pattern.
pub(super) fn allow(
    traits: &Traits,
    construction: Construction,
    ply_rating: u8,
    section_width: f64,
    treads: &[TreadCode],
) -> Walls {
    let plies = f64::from(ply_rating);
    let side_per_ply = match construction {
        Construction::Radial => SIDE_PER_PLY_RADIAL_MM,
        Construction::Diagonal | Construction::BiasBelted => SIDE_PER_PLY_DIAGONAL_MM,
    };
    let (tread_base, tread_per_width) = traits.tread;
    let tread = (tread_base + tread_per_width * section_width) * deepest(treads);
    Walls {
        side: SIDE_BASE_MM + SIDE_PER_WIDTH * section_width + side_per_ply * plies,
        crown: CROWN_PER_WIDTH * section_width + CROWN_PER_PLY_MM * plies + tread,
    }
}

/// Tread depth relative to the reference pattern of the series; the deepest if there are several codes.
///
/// Earthmover 3, 4 and 5: 100, 150 and 250 % (memory, Tire and Rim Association). R-1W a quarter more than twice
/// (a tyre maker's handbook, <https://doczz.net/doc/3051478/obtain-the-best-results-from-your-tires>, read). R-3 half and
/// R-4 seven tenths: engineering estimate, no source.
fn deepest(treads: &[TreadCode]) -> f64 {
    let depths = treads.iter().map(|tread| match (tread.series(), tread.number(), tread.variant()) {
        ("E" | "L", 4, _) => 1.5,
        ("E" | "L", 5, _) | ("L", 6.., _) => 2.5,
        ("R", 1, Some('W')) => 1.25,
        ("R", 2, _) => 2.0,
        ("R", 3, _) => 0.5,
        ("R", 4, _) => 0.7,
        _ => 1.0,
    });
    depths.reduce(f64::max).unwrap_or(1.0)
}

/// Whether a tread is so much deeper than the reference that the inside follows from the outside less surely.
pub(super) fn has_deep_tread(treads: &[TreadCode]) -> bool {
    deepest(treads) > 1.25
}
