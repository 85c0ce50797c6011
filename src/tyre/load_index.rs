//! Load indices and the loads they stand for.
//!
//! The series repeats every 80 indices with ten times the load. Source of the table: the list of ISO 4000-1 and UN
//! Regulation 54, MEMORY. This module must not know sizes.

use crate::units::{Exact, Quantity, Unit};

/// The highest index of the list.
const GREATEST: u16 = 279;

/// Indices after which the loads repeat, ten times as great.
const PERIOD: u16 = 80;

/// The loads of the indices 160 to 239, in kilograms: the part of the list in which every load is whole.
const LOADS: [i64; 80] = [
    4500, 4625, 4750, 4875, 5000, 5150, 5300, 5450, 5600, 5800, 6000, 6150, 6300, 6500, 6700, 6900, 7100, 7300, 7500,
    7750, 8000, 8250, 8500, 8750, 9000, 9250, 9500, 9750, 10_000, 10_300, 10_600, 10_900, 11_200, 11_500, 11_800,
    12_150, 12_500, 12_850, 13_200, 13_600, 14_000, 14_500, 15_000, 15_500, 16_000, 16_500, 17_000, 17_500, 18_000,
    18_500, 19_000, 19_500, 20_000, 20_600, 21_200, 21_800, 22_400, 23_000, 23_600, 24_300, 25_000, 25_750, 26_500,
    27_250, 28_000, 29_000, 30_000, 30_750, 31_500, 32_500, 33_500, 34_500, 35_500, 36_500, 37_500, 38_750, 40_000,
    41_250, 42_500, 43_750,
];

/// The load of an index, in kilograms; `None` above [`GREATEST`].
///
/// The list leaves out what is below a tenth of a kilogram under 100 kg, and below a kilogram from there on.
pub fn load(index: u16) -> Option<Quantity> {
    if index > GREATEST {
        return None;
    }
    let whole = *LOADS.get(usize::from(index % PERIOD))?;
    let (tenths, kilograms) = match index / PERIOD {
        0 => (whole / 10, whole / 100),
        1 => (whole, whole / 10),
        2 => return Quantity::new(Exact::from_int(whole), Unit::Kilogram),
        _ => return Quantity::new(Exact::from_int(whole * 10), Unit::Kilogram),
    };
    let listed = if kilograms < 100 { Exact::new(i128::from(tenths), 10)? } else { Exact::from_int(kilograms) };
    Quantity::new(listed, Unit::Kilogram)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kilograms(index: u16) -> String {
        load(index).unwrap().value().to_decimal(1, crate::units::Rounding::Nearest)
    }

    /// Ends, turns of the period and every way of leaving places out. MEMORY of ISO 4000-1.
    #[test]
    fn loads_are_those_of_the_list() {
        let listed = [
            (0, "45.0"),
            (1, "46.2"),
            (2, "47.5"),
            (3, "48.7"),
            (4, "50.0"),
            (19, "77.5"),
            (27, "97.5"),
            (28, "100.0"),
            (35, "121.0"),
            (37, "128.0"),
            (61, "257.0"),
            (79, "437.0"),
            (80, "450.0"),
            (91, "615.0"),
            (100, "800.0"),
            (115, "1215.0"),
            (121, "1450.0"),
            (141, "2575.0"),
            (150, "3350.0"),
            (159, "4375.0"),
            (160, "4500.0"),
            (173, "6500.0"),
            (193, "11500.0"),
            (200, "14000.0"),
            (223, "27250.0"),
            (239, "43750.0"),
            (240, "45000.0"),
            (257, "73000.0"),
            (279, "136000.0"),
        ];
        for (index, load) in listed {
            assert_eq!(kilograms(index), load, "load index {index}");
        }
        assert_eq!(load(280), None);
    }

    #[test]
    fn a_higher_index_carries_more() {
        for index in 1..=GREATEST {
            let (lower, higher) = (load(index - 1).unwrap(), load(index).unwrap());
            assert!(lower.base() < higher.base(), "load index {index}");
            // No step of the list is greater than about 3.7 %.
            let step = higher.base().to_f64() / lower.base().to_f64();
            assert!((1.01..1.04).contains(&step), "load index {index}: {step}");
        }
    }
}
