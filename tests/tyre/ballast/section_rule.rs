//! A second hand for sizes of which one published volume is known: the area of the section by the trade's rule of
//! thumb, its way round by Pappus and Guldinus, at the remembered design dimensions.
//!
//! A casing holds about 83 % of the ellipse around its section: common practice, no source. What the rule gives is
//! brought to the level of published volumes by the agricultural sizes, which have both.

use std::f64::consts::PI;

use fillward::tyre::Family;

use super::statistics::mean;
use super::{Row, chart, full_row};
use crate::tyre::reference::{DESIGN_DIMENSIONS, lines, number, size};

/// The share of the ellipse around the section that is room.
const SHARE_OF_ELLIPSE: f64 = 0.83;
/// Cubic millimetres in a litre.
const LITRE: f64 = 1e6;

/// The size, its family, and the volume in litres by the rule alone, of every row of the design dimensions.
fn by_rule() -> Vec<(&'static str, Family, f64)> {
    let rows = lines(DESIGN_DIMENSIONS).into_iter();
    rows.map(|cells| {
        let tyre = size(cells[0]);
        let (rim, outside, width) = (tyre.rim_diameter().base().to_f64(), number(cells[2]), number(cells[3]));
        let height = (outside - rim) / 2.0;
        let section = SHARE_OF_ELLIPSE * PI / 4.0 * width * height;
        (cells[0], Family::of(&tyre), section * PI * (outside - height) / LITRE)
    })
    .collect()
}

/// Rows of a family by the rule, at the level of the published volumes of agricultural sizes.
pub(super) fn rows(family: Family) -> Vec<Row> {
    let rule = by_rule();
    let charted = chart();
    let both = charted[&Family::AgriculturalCode].iter().filter_map(|row| {
        let (_, _, litres) = rule.iter().find(|(size, _, _)| *size == row.size)?;
        Some(row.published / litres)
    });
    let level = mean(both.collect::<Vec<f64>>().into_iter());
    let of_family = rule.iter().filter(|(_, of, _)| *of == family);
    of_family.map(|(size, _, litres)| full_row(size, litres * level)).collect()
}
