//! Families of sizes: what a name without dimensions usually means, and how far off the cavity model was for its kind.
//!
//! A family is known from the name alone. Its constants are of three kinds, and each says so: default dimensions
//! (computed from the remembered design dimensions, so MEMORY), wall allowances (engineering estimate, no source), and
//! the shape factor with the half-widths (fitted to the published ballast chart where the chart has rows). This module
//! must not know recorded dimensions or volumes.

use crate::tyre::designation::{Designation, Number, Size, Style};
use crate::units::{Exact, Interval, Quantity, Unit};

/// A family of sizes with like proportions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Family {
    /// `18.4-38`: agricultural drive sizes by code.
    AgriculturalCode,
    /// `480/80R42`: agricultural metric.
    AgriculturalMetric,
    /// `7.50-16`, `6.50-10`: implement, front and industrial sizes by code.
    Conventional,
    /// `4.00-12`: the same below 6.5 in.
    SmallConventional,
    /// `17.5L-24`, `18.4-16.1`, `16/70-20`: low-section implement sizes.
    LowSection,
    /// `10-16.5`: skid steer.
    SkidSteer,
    /// `12.00-20`: truck sizes by code on tube-type rims.
    TruckCode,
    /// `11R22.5`: truck sizes by code on drop-centre rims.
    TruckDropCentre,
    /// `15R22.5`, `16.5R22.5`, `18R22.5`: wide truck sizes by code, which are low.
    TruckWideBase,
    /// `385/65R22.5`: truck metric.
    TruckMetric,
    /// `23.5-25`: wide-base earthmover.
    WideBaseEarthmover,
    /// `14.00-24`: conventional earthmover and grader.
    ConventionalEarthmover,
    /// `35/65-33`, `750/65R25`: earthmover sizes with an aspect.
    LowEarthmover,
    /// `33x15.5-16.5`, `18x7-8`: overall diameter first.
    DiameterFirst,
    /// `245/75R16`, `200/50-10`: other metric sizes.
    OtherMetric,
    /// `250-15`: metric width alone.
    MetricWidth,
}

/// On what the half-widths of a family rest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FitBasis {
    /// Fitted to the published chart; tested on each row by a factor fitted to the others.
    Chart,
    /// Fitted to the single row that the chart has and to the trade's rule for the section.
    SingleRow,
    /// No published volume was found; engineering estimate, no source.
    Estimate,
}

/// From this width in millimetres on a metric size on a truck's rim is for implements: `500/60-22.5`.
const FIRST_FLOTATION_WIDTH: i64 = 500;
/// From this width in inches on a code size on 22.5 in is of the low, wide series: `15R22.5`.
const FIRST_WIDE_BASE_WIDTH: i64 = 14;

/// Thousandths, so that the table below stays exact.
pub(super) type PerMille = i64;

/// The constants of a family.
#[derive(Debug, Clone, Copy)]
pub(super) struct Traits {
    /// Design section width over the nominal width.
    pub(super) width_factor: PerMille,
    /// Section height over nominal width: least plausible, usual, greatest plausible. For names without an aspect; where
    /// it falls with the width, the usual one is that of the narrowest size and `dimensions` has the line.
    pub(super) aspect: (PerMille, PerMille, PerMille),
    /// Rim width over design section width: least in use, that of the measuring rim, greatest in use.
    pub(super) rim_ratio: (PerMille, PerMille, PerMille),
    /// Ply rating taken when neither text nor record gives one.
    pub(super) usual_ply_rating: u8,
    /// Tread depth of the reference pattern: a constant in millimetres and a share of the section width.
    pub(super) tread: (f64, f64),
    /// One over the mean of modelled over published volume; one where nothing could be fitted.
    pub(super) shape_factor: f64,
    /// Half-width of the interval with the name alone, and with section width and overall diameter recorded.
    pub(super) half_width: (PerMille, PerMille),
    /// Nominal widths in tenths of an inch that the evidence covers.
    pub(super) covered: (i64, i64),
    pub(super) evidence: FitBasis,
}

impl Family {
    /// Every family.
    pub const ALL: [Family; 16] = [
        Family::AgriculturalCode,
        Family::AgriculturalMetric,
        Family::Conventional,
        Family::SmallConventional,
        Family::LowSection,
        Family::SkidSteer,
        Family::TruckCode,
        Family::TruckDropCentre,
        Family::TruckWideBase,
        Family::TruckMetric,
        Family::WideBaseEarthmover,
        Family::ConventionalEarthmover,
        Family::LowEarthmover,
        Family::DiameterFirst,
        Family::OtherMetric,
        Family::MetricWidth,
    ];

    /// The family of a size.
    pub fn of(designation: &Designation) -> Family {
        let rim = inches(designation.rim_diameter());
        let millimetre_rim = designation.rim_diameter().unit() == Unit::Millimetre;
        match designation.size() {
            // Lifts and platforms: neither of the classes that the rim shows.
            Size::Metric { .. } if millimetre_rim => Family::OtherMetric,
            Size::Code { .. } if millimetre_rim => Family::LowSection,
            Size::Metric { width, .. } => metric(width, rim),
            Size::MetricWidth { .. } => Family::MetricWidth,
            Size::CodeAspect { .. } if rim >= Exact::from_int(25) => Family::LowEarthmover,
            Size::CodeAspect { .. } => Family::LowSection,
            Size::DiameterFirst { .. } => Family::DiameterFirst,
            Size::Code { .. } if designation.low_section().is_some() => Family::LowSection,
            Size::Code { width } => by_code(width, rim),
        }
    }

    /// For people, such as `agricultural code`.
    pub const fn name(self) -> &'static str {
        match self {
            Family::AgriculturalCode => "agricultural code",
            Family::AgriculturalMetric => "agricultural metric",
            Family::Conventional => "conventional",
            Family::SmallConventional => "small conventional",
            Family::LowSection => "low section",
            Family::SkidSteer => "skid steer",
            Family::TruckCode => "truck code",
            Family::TruckDropCentre => "truck drop-centre",
            Family::TruckWideBase => "truck wide base",
            Family::TruckMetric => "truck metric",
            Family::WideBaseEarthmover => "wide-base earthmover",
            Family::ConventionalEarthmover => "conventional earthmover",
            Family::LowEarthmover => "low earthmover",
            Family::DiameterFirst => "diameter first",
            Family::OtherMetric => "other metric",
            Family::MetricWidth => "metric width",
        }
    }

    /// On what the stated half-widths rest.
    pub const fn evidence(self) -> FitBasis {
        self.traits().evidence
    }

    /// Section height over nominal width that is plausible for the family, as a ratio.
    ///
    /// From memory of design dimensions; a name that states its aspect or diameter overrides it.
    pub fn usual_aspects(self) -> Option<Interval> {
        let (lo, _, hi) = self.traits().aspect;
        Interval::new(per_mille(lo)?, per_mille(hi)?)
    }

    #[rustfmt::skip]
    pub(super) const fn traits(self) -> Traits {
        use FitBasis::{Chart, Estimate, SingleRow};
        match self {
            Family::AgriculturalCode => traits(1000, (800, 870, 890), (740, 880, 980), 8, (20.0, 0.03), 1.0056, (150, 100), (71, 209), Chart),
            Family::AgriculturalMetric => traits(1000, (600, 800, 950), (680, 800, 940), 8, (20.0, 0.03), 1.0, (120, 90), (90, 360), Estimate),
            Family::Conventional => traits(1070, (900, 970, 1050), (580, 700, 880), 8, (0.0, 0.05), 0.9121, (170, 140), (65, 111), Chart),
            Family::SmallConventional => traits(1080, (840, 1000, 1250), (520, 700, 880), 4, (0.0, 0.05), 0.9102, (220, 180), (40, 64), Chart),
            Family::LowSection => traits(1000, (640, 850, 900), (540, 800, 930), 8, (0.0, 0.05), 1.0727, (200, 150), (75, 196), Chart),
            Family::SkidSteer => traits(1030, (640, 670, 800), (660, 800, 900), 10, (20.0, 0.0), 1.0935, (200, 160), (100, 100), SingleRow),
            Family::TruckCode => traits(1060, (960, 990, 1100), (580, 700, 820), 16, (16.0, 0.0), 1.0, (160, 130), (80, 141), Estimate),
            Family::TruckDropCentre => traits(1000, (820, 865, 900), (620, 750, 900), 16, (16.0, 0.0), 1.0, (160, 130), (80, 141), Estimate),
            Family::TruckWideBase => traits(1000, (600, 645, 720), (690, 780, 860), 18, (16.0, 0.0), 1.0, (160, 130), (150, 180), Estimate),
            Family::TruckMetric => traits(1000, (400, 700, 950), (660, 760, 870), 16, (16.0, 0.0), 1.0, (150, 120), (84, 180), Estimate),
            Family::WideBaseEarthmover => traits(1000, (780, 820, 850), (720, 830, 890), 16, (0.0, 0.055), 1.0, (220, 180), (155, 296), Estimate),
            Family::ConventionalEarthmover => traits(1050, (960, 1040, 1100), (520, 680, 780), 20, (0.0, 0.055), 1.0, (220, 180), (130, 240), Estimate),
            Family::LowEarthmover => traits(1000, (500, 650, 750), (600, 780, 880), 24, (0.0, 0.055), 1.0, (240, 200), (250, 450), Estimate),
            Family::DiameterFirst => traits(1000, (400, 700, 950), (630, 790, 930), 8, (8.0, 0.02), 1.0, (200, 160), (40, 250), Estimate),
            Family::OtherMetric => traits(1000, (400, 750, 950), (580, 760, 900), 8, (8.0, 0.02), 1.0, (200, 160), (50, 240), Estimate),
            Family::MetricWidth => traits(1000, (600, 720, 900), (600, 720, 880), 14, (8.0, 0.03), 1.0, (300, 200), (79, 120), Estimate),
        }
    }
}

/// Builds a row of the table above, in the order of the fields.
#[expect(clippy::too_many_arguments, reason = "a table row; the fields carry the names")]
const fn traits(
    width_factor: PerMille,
    aspect: (PerMille, PerMille, PerMille),
    rim_ratio: (PerMille, PerMille, PerMille),
    usual_ply_rating: u8,
    tread: (f64, f64),
    shape_factor: f64,
    half_width: (PerMille, PerMille),
    covered: (i64, i64),
    evidence: FitBasis,
) -> Traits {
    Traits { width_factor, aspect, rim_ratio, usual_ply_rating, tread, shape_factor, half_width, covered, evidence }
}

/// Thousandths as a number.
pub(super) fn per_mille(thousandths: PerMille) -> Option<Exact> {
    Exact::new(i128::from(thousandths), 1000)
}

fn tenths(value: i64) -> Option<Exact> {
    Exact::new(i128::from(value), 10)
}

/// A metric size is for a truck on the 15-degree rims unless it is wider than any, for earthmovers on their rims,
/// agricultural from 24 in up, otherwise of no one class.
fn metric(width: Number, rim: Exact) -> Family {
    let on_truck_rim = [175, 195, 225, 245].into_iter().any(|truck| tenths(truck) == Some(rim));
    if on_truck_rim {
        let flotation = width.value() >= Exact::from_int(FIRST_FLOTATION_WIDTH);
        return if flotation { Family::OtherMetric } else { Family::TruckMetric };
    }
    if is_earthmover_rim(rim) {
        return Family::LowEarthmover;
    }
    if rim >= Exact::from_int(24) { Family::AgriculturalMetric } else { Family::OtherMetric }
}

/// The rims of earthmovers, all odd. Tall rims of farms are even.
const EARTHMOVER_RIMS: [i64; 11] = [25, 29, 33, 35, 39, 43, 45, 49, 51, 57, 63];

fn is_earthmover_rim(rim: Exact) -> bool {
    EARTHMOVER_RIMS.into_iter().any(|code| rim == Exact::from_int(code))
}

/// Whether a size is for a rim of earthmovers, also where the diameter was converted from millimetres.
pub fn on_earthmover_rim(size: &Designation) -> bool {
    let rim = inches(size.rim_diameter());
    let near =
        |code: i64| rim.checked_sub(Exact::from_int(code)).zip(tenths(2)).is_some_and(|(off, near)| off.abs() <= near);
    EARTHMOVER_RIMS.into_iter().any(near)
}

/// Whether radials of a size have belts of steel unless their sidewall says otherwise: all but those of farms, whose
/// belts are mostly of textile. Sizes of 10.5 to 14.5 in on rims of 18 and 20 in are of handlers and trucks off the
/// road.
pub fn has_steel_belts(size: &Designation) -> bool {
    let (rim, width) = (inches(size.rim_diameter()), inches(size.section_width()));
    let is_handler = rim >= Exact::from_int(18) && rim <= Exact::from_int(20) && width.denom() == 2;
    match Family::of(size) {
        Family::AgriculturalMetric => false,
        Family::AgriculturalCode => is_handler && width > Exact::from_int(10),
        // Implements by their letter, or on rims of their own: `11L-15`, `18.4-16.1`.
        Family::LowSection => matches!(size.size(), Size::CodeAspect { .. }) && rim.denom() == 1,
        _ => true,
    }
}

/// The family of a width code and a rim code.
///
/// Two decimals mark the conventional series (`12.00`), one decimal the agricultural (`18.4`) and wide-base (`23.5`)
/// series; rims in .5 belong to tubeless series, rims in .1 and .3 to implements, rims from 25 in that are odd or from
/// 29 in the earthmover list to earthmovers.
fn by_code(width: Number, rim: Exact) -> Family {
    let whole = |inches: i64| Exact::from_int(inches);
    let two_decimals = width.style() == Style::Decimals(2);
    let rim_rest = rim.numer() % rim.denom();
    match rim.denom() {
        2 if [whole(22), whole(24), whole(19), whole(17), whole(14)].iter().any(|floor| half_above(rim, *floor)) => {
            let skid = width.value() >= whole(14) && rim < whole(20);
            let wide = width.value() >= whole(FIRST_WIDE_BASE_WIDTH);
            return match (skid, wide) {
                (true, _) => Family::SkidSteer,
                (false, true) => Family::TruckWideBase,
                (false, false) => Family::TruckDropCentre,
            };
        }
        2 => return Family::SkidSteer,
        10 if rim_rest == 1 || rim_rest == 3 => return Family::LowSection,
        _ => {}
    }
    let ends_in_zero = two_decimals && width.value().denom() == 1;
    if is_earthmover_rim(rim) {
        return if ends_in_zero { Family::ConventionalEarthmover } else { Family::WideBaseEarthmover };
    }
    if !two_decimals {
        return Family::AgriculturalCode;
    }
    if rim == whole(24) && width.value() >= whole(13) {
        return Family::ConventionalEarthmover;
    }
    let old_rear_tractor = width.value() == Exact::new(19, 2).unwrap_or(Exact::ZERO);
    if rim >= whole(20) && width.value() >= whole(8) && !old_rear_tractor {
        return Family::TruckCode;
    }
    if width.value() < tenths(65).unwrap_or(Exact::ZERO) { Family::SmallConventional } else { Family::Conventional }
}

/// A length in inches; nothing is that small when it does not fit.
fn inches(length: Quantity) -> Exact {
    Unit::Inch.from_base(length.base()).unwrap_or(Exact::ZERO)
}

fn half_above(rim: Exact, floor: Exact) -> bool {
    rim.checked_sub(floor) == Exact::new(1, 2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_fall_into_their_families() {
        // Grouping as the design-dimension tables of ISO 4250, ISO 4251, UN Regulations 54 and 106 are remembered.
        let cases = [
            ("18.4-38", Family::AgriculturalCode),
            ("8.3R24", Family::AgriculturalCode),
            ("480/80R42", Family::AgriculturalMetric),
            ("7.50-16", Family::Conventional),
            ("9.50-24", Family::Conventional),
            ("6.50-10", Family::Conventional),
            ("5.00-15", Family::SmallConventional),
            ("11L-15", Family::LowSection),
            ("18.4-16.1", Family::LowSection),
            ("16/70-20", Family::LowSection),
            ("10-16.5", Family::SkidSteer),
            ("14-17.5", Family::SkidSteer),
            ("12.00-20", Family::TruckCode),
            ("11R22.5", Family::TruckDropCentre),
            ("8-14.5", Family::TruckDropCentre),
            ("13R22.5", Family::TruckDropCentre),
            ("15R22.5", Family::TruckWideBase),
            ("16.5-22.5", Family::TruckWideBase),
            ("18-22.5", Family::TruckWideBase),
            ("15-19.5", Family::SkidSteer),
            ("385/65R22.5", Family::TruckMetric),
            ("495/45R22.5", Family::TruckMetric),
            ("500/60-22.5", Family::OtherMetric),
            ("750/65R25", Family::LowEarthmover),
            ("355/55D625", Family::OtherMetric),
            ("18-625", Family::LowSection),
            ("17.5-25", Family::WideBaseEarthmover),
            ("33.25-29", Family::WideBaseEarthmover),
            ("18.00-25", Family::ConventionalEarthmover),
            ("14.00-24", Family::ConventionalEarthmover),
            ("35/65-33", Family::LowEarthmover),
            ("33x15.5-16.5", Family::DiameterFirst),
            ("LT245/75R16", Family::OtherMetric),
            ("250-15", Family::MetricWidth),
        ];
        for (text, family) in cases {
            assert_eq!(Family::of(&Designation::parse(text).unwrap()), family, "{text}");
        }
    }

    #[test]
    fn the_table_is_in_order() {
        for family in Family::ALL {
            let traits = family.traits();
            let (lo, usual, hi) = traits.aspect;
            assert!(lo <= usual && usual <= hi, "{}", family.name());
            let (narrow, measuring, wide) = traits.rim_ratio;
            assert!(narrow < measuring && measuring < wide, "{}", family.name());
            assert!(traits.half_width.1 < traits.half_width.0, "{}", family.name());
            assert!(traits.covered.0 <= traits.covered.1, "{}", family.name());
            assert!(family.usual_aspects().is_some());
        }
    }
}
