//! The highest pressure that sidewalls show, kind by kind and size by size.
//!
//! MEMORY, every number: of the data books of makers of industrial, earthmover, truck and farm tyres, rounded up by a tenth
//! and more, since it is to catch kPa that were read as psi and not to judge a sidewall. This module must not know what any
//! tyre on record bears.

use super::designation::{Construction, Designation, Size};
use super::family::Family;
use crate::units::{Exact, Quantity, Unit};

/// Forklifts, trailers, port machines and mobile cranes: 10 bar, which is 145 psi, is in common use among them.
const INDUSTRIAL: i64 = 160;
/// Skid steers, implements with many plies, platforms: 100 to 116 psi at most.
const IMPLEMENT: i64 = 130;
/// Broad tyres of loaders and dumpers, bias: up to 7 bar, which is 102 psi.
const BROAD_BIAS: i64 = 115;
/// The same as radials, since mobile cranes have them at 9 bar, which is 131 psi.
const BROAD_RADIAL: i64 = 145;
/// Low tyres of the largest loaders and dumpers: up to 7.25 bar, which is 105 psi.
const LOW_EARTHMOVER: i64 = 125;
/// Farm and handler tyres on rims up to 28 in; those of platforms show 116 psi.
const FARM_SMALL: i64 = 125;
/// Narrow tyres of row crops on tall rims: up to 5.6 bar, which is 81 psi.
const FARM_NARROW: i64 = 95;
/// Drive tyres on tall rims. A tractor maker's table of radials, read, goes from 9 to 28 psi; bias ones show up to 40 psi,
/// and those of combines up to 64 psi.
const FARM_DRIVE: i64 = 75;

/// The highest pressure that a tyre of this size is known to be made for, with room; `radial` where it is known
/// whether it is.
pub fn most_pressure(size: &Designation, radial: Option<bool>) -> Option<Quantity> {
    let rim = Unit::Inch.from_base(size.rim_diameter().base())?;
    let width = Unit::Inch.from_base(size.section_width().base())?;
    let by_size = size.construction().map(|construction| construction == Construction::Radial);
    let tall = rim >= Exact::from_int(29);
    let psi = match Family::of(size) {
        Family::AgriculturalCode | Family::AgriculturalMetric if !tall => FARM_SMALL,
        Family::AgriculturalCode | Family::AgriculturalMetric if width <= Exact::new(155, 10)? => FARM_NARROW,
        Family::AgriculturalCode | Family::AgriculturalMetric => FARM_DRIVE,
        Family::LowSection | Family::SkidSteer => IMPLEMENT,
        Family::DiameterFirst if width > Exact::from_int(11) => IMPLEMENT,
        Family::OtherMetric if rim >= Exact::from_int(17) => IMPLEMENT,
        Family::WideBaseEarthmover if radial.or(by_size) == Some(false) => BROAD_BIAS,
        Family::WideBaseEarthmover => BROAD_RADIAL,
        Family::LowEarthmover if !is_metric(size) || width > Exact::from_int(22) => LOW_EARTHMOVER,
        Family::LowEarthmover
        | Family::DiameterFirst
        | Family::OtherMetric
        | Family::MetricWidth
        | Family::Conventional
        | Family::SmallConventional
        | Family::TruckCode
        | Family::TruckDropCentre
        | Family::TruckWideBase
        | Family::TruckMetric
        | Family::ConventionalEarthmover => INDUSTRIAL,
    };
    Quantity::new(Exact::from_int(psi), Unit::Psi)
}

fn is_metric(size: &Designation) -> bool {
    matches!(size.size(), Size::Metric { .. })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn most(text: &str) -> Exact {
        let most = most_pressure(&Designation::parse(text).unwrap(), None).unwrap();
        Unit::Psi.from_base(most.base()).unwrap()
    }

    /// The highest that sidewalls of these sizes show, in psi: MEMORY of makers' data books, but for the drive
    /// radials, which are of a tractor maker's table that was read.
    #[test]
    fn what_sidewalls_show_is_below() {
        let shown = [
            ("6.50-10", 145),
            ("7.00-12", 145),
            ("8.25-15", 145),
            ("250-15", 145),
            ("18x7-8", 145),
            ("28x9-15", 145),
            ("200/50-10", 145),
            ("355/65-15", 145),
            ("4.00-8", 130),
            ("12.00-20", 145),
            ("12.00R24", 130),
            ("11R22.5", 125),
            ("385/65R22.5", 131),
            ("245/70R17.5", 138),
            ("8-14.5", 115),
            ("ST235/80R16", 125),
            ("14.00-24", 145),
            ("18.00-25", 150),
            ("14.00R25", 145),
            ("18.00-33", 145),
            ("24.00R35", 116),
            ("385/95R25", 145),
            ("445/95R25", 131),
            ("17.5R25", 131),
            ("20.5R25", 131),
            ("17.5-25", 85),
            ("26.5-25", 102),
            ("29.5R29", 102),
            ("35/65-33", 105),
            ("45/65-45", 105),
            ("750/65R25", 94),
            ("10-16.5", 90),
            ("12-16.5", 105),
            ("15-19.5", 100),
            ("33x15.5-16.5", 100),
            ("11L-15", 90),
            ("12.5/80-18", 73),
            ("10.0/75-15.3", 107),
            ("405/70R20", 87),
            ("460/70R24", 87),
            ("385/45-28", 116),
            ("18-625", 110),
            ("355/55D625", 95),
            ("16.9-28", 50),
            ("18.4-38", 40),
            ("18.4R38", 28),
            ("480/80R42", 28),
            ("12.4R46", 46),
            ("380/90R46", 77),
            ("320/105R54", 81),
            ("800/70R38", 64),
            ("710/50R26.5", 80),
        ];
        for (text, psi) in shown {
            assert!(most(text) > Exact::from_int(psi), "{text}");
        }
    }

    #[test]
    fn kilopascals_taken_for_psi_are_above() {
        // A usual pressure of the size in kPa, MEMORY, as a number of psi.
        let mistaken = [
            ("18.4R38", 160),
            ("18.4-38", 160),
            ("480/80R42", 160),
            ("460/70R24", 400),
            ("405/70R20", 350),
            ("17.5R25", 450),
            ("29.5R29", 500),
            ("12.5/80-18", 390),
            ("14.00-24", 450),
            ("10-16.5", 410),
        ];
        for (text, kilopascals) in mistaken {
            assert!(most(text) < Exact::from_int(kilopascals), "{text}");
        }
    }
}
