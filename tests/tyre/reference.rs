//! The reference tables, and the small checks against them. Each table names its source in its own head lines.

use fillward::tyre::pressure::most_pressure;
use fillward::tyre::{Construction, Designation, cavity, dimensions, has_steel_belts, load_range, on_earthmover_rim};
use fillward::units::{Dimension, Exact, Quantity, Unit};

pub(super) const LOAD_RANGE: &str = include_str!("../../shared/reference/load-range.csv");
pub(super) const BALLAST_CHART: &str = include_str!("../../shared/reference/ballast-chart.csv");
pub(super) const BALLAST_SECOND_SOURCES: &str = include_str!("../../shared/reference/ballast-second-sources.csv");
pub(super) const DESIGN_DIMENSIONS: &str = include_str!("../../shared/reference/design-dimensions.csv");
pub(super) const MEASURING_RIMS: &str = include_str!("../../shared/reference/measuring-rims.csv");
pub(super) const VALVE_LEVEL_SHARES: &str = include_str!("../../shared/reference/valve-level-shares.csv");

pub(super) const COMMON_SIZES: &str = include_str!("../../shared/reference/common-sizes.csv");

/// The cells of each data line; comments and column names are left out.
pub(super) fn lines(table: &'static str) -> Vec<Vec<&'static str>> {
    let data = table.lines().filter(|line| !line.starts_with('#')).skip(1);
    data.map(|line| line.split(',').collect()).collect()
}

pub(super) fn size(text: &str) -> Designation {
    Designation::parse(text).unwrap_or_else(|error| panic!("{error}"))
}

pub(super) fn number(text: &str) -> f64 {
    text.parse().unwrap()
}

#[test]
fn load_ranges_are_those_of_the_published_table() {
    let table = lines(LOAD_RANGE);
    assert_eq!(table.len(), 12);
    for row in table {
        assert_eq!(load_range::ply_rating(row[0]).unwrap().to_string(), row[1], "{}", row[0]);
    }
}

#[test]
fn every_size_in_the_tables_is_read_and_printed_back() {
    for table in [BALLAST_CHART, BALLAST_SECOND_SOURCES, DESIGN_DIMENSIONS, MEASURING_RIMS, VALVE_LEVEL_SHARES] {
        for row in lines(table) {
            assert_eq!(size(row[0]).to_string(), row[0]);
        }
    }
}

fn length(text: &str) -> Exact {
    Quantity::parse(text, Dimension::Length).unwrap().base()
}

/// Each line of the table is a size as a sidewall or a shop writes it, and what it means. MEMORY, as its head lines say.
#[test]
fn common_sizes_are_read_right() {
    let table = lines(COMMON_SIZES);
    assert!(table.len() >= 300, "{}", table.len());
    for row in &table {
        let tyre = size(row[0]);
        assert_eq!(tyre.section_width().base(), length(row[1]), "width of {}", row[0]);
        let aspect = tyre.aspect().and_then(|aspect| aspect.checked_mul(Exact::from_int(100)));
        assert_eq!(aspect, Exact::parse_decimal(row[2]), "aspect of {}", row[0]);
        assert_eq!(tyre.rim_diameter().base(), length(row[3]), "rim of {}", row[0]);
        let construction = match row[4] {
            "radial" => Some(Construction::Radial),
            "diagonal" => Some(Construction::Diagonal),
            other => {
                assert_eq!(other, "untold");
                None
            }
        };
        assert_eq!(tyre.construction(), construction, "construction of {}", row[0]);
        assert_eq!(Designation::parse(&tyre.to_string()), Ok(tyre), "normal form of {}", row[0]);
    }
}

/// A standard rim is never taken for a wrong one.
#[test]
fn standard_rims_are_among_the_widths_to_expect() {
    let mut outside = Vec::new();
    for row in lines(COMMON_SIZES).iter().filter(|row| !row[5].is_empty()) {
        let widths = dimensions::rim_widths(&size(row[0])).unwrap();
        if !widths.permitted.contains(length(&format!("{} in", row[5]))) {
            outside.push(format!("{} on {}", row[0], row[5]));
        }
    }
    assert!(outside.is_empty(), "{outside:?}");
}

/// A standard rim is the one of its size within an inch, wherever one is taken for it: from 8 in on, as the rule has it.
#[test]
fn standard_rims_are_those_of_their_sizes() {
    let (from, off) = (length("8 in"), length("26 mm"));
    let (mut known, mut wrong) = (0, Vec::new());
    for row in lines(COMMON_SIZES).iter().filter(|row| !row[5].is_empty()) {
        let Some(own) = dimensions::own_rim(&size(row[0])).map(Quantity::base).filter(|own| *own >= from) else {
            continue;
        };
        known += 1;
        if own.checked_sub(length(&format!("{} in", row[5]))).unwrap().abs() > off {
            wrong.push(format!("{} on {}", row[0], row[5]));
        }
    }
    assert!(wrong.is_empty() && known > 40, "{known}: {wrong:?}");
}

/// The rims of the next smaller and the next larger wide-base earthmover size are none of a size.
#[test]
fn the_rim_of_the_next_size_is_not_that_of_a_size() {
    // MEMORY: ISO 4250-3 and the Tire and Rim Association's year book.
    let rims = [
        ("15.5-25", 12.0),
        ("17.5-25", 14.0),
        ("20.5-25", 17.0),
        ("23.5-25", 19.5),
        ("26.5-25", 22.0),
        ("29.5-25", 25.0),
    ];
    for (at, (tyre, _)) in rims.iter().enumerate() {
        let own = dimensions::own_rim(&size(tyre)).unwrap().base();
        for (other, (_, rim)) in rims.iter().enumerate() {
            let off = own.checked_sub(length(&format!("{rim} in"))).unwrap().abs();
            assert_eq!(off <= length("26 mm"), at == other, "{tyre} on {rim}");
        }
    }
}

/// Every common size has an inside, so that no rule is left without its figures.
#[test]
fn common_sizes_have_a_volume() {
    for row in lines(COMMON_SIZES) {
        let tyre = size(row[0]);
        let cavity = cavity::estimate(&cavity::CavityInputs::by_name(&tyre)).unwrap_or_else(|error| panic!("{error}"));
        assert!(cavity.volume.contains(cavity.point.base()), "{}", row[0]);
    }
}

/// The table's own last two columns were computed by another hand from the published relations.
#[test]
fn metric_dimensions_follow_the_published_relations() {
    for row in lines(MEASURING_RIMS) {
        let tyre = dimensions::resolve(&size(row[0]), &dimensions::Recorded::default()).unwrap();
        let tenth = Exact::new(1, 20).unwrap();
        for (length, expected) in [(tyre.overall_diameter, row[3]), (tyre.section_width, row[4])] {
            let expected = Quantity::new(Exact::parse_decimal(expected).unwrap(), Unit::Millimetre).unwrap();
            let off = expected.base().checked_sub(length.quantity.base()).unwrap().abs();
            assert!(off <= tenth, "{}: {} is not {expected}", row[0], length.quantity);
        }
    }
}

/// Family defaults against the remembered rows: what a size outside the table gets is about what its neighbours have.
/// The rows are MEMORY, so 6 % of the diameter and 12 % of the width are asked for, not more.
#[test]
fn class_defaults_lie_near_the_remembered_dimensions() {
    // Another name of 28x9-15, and of a lower section than its like: that is why it has a row.
    for row in lines(DESIGN_DIMENSIONS).into_iter().filter(|row| row[0] != "8.15-15") {
        let tyre = size(row[0]);
        // The same size on a rim 0.2 in larger is in no table, so only the defaults of the family remain.
        let (nominal, width) = (tyre.section_width().base().to_f64(), number(row[3]));
        let aspect = dimensions::plausible_aspect(&tyre).unwrap();
        let rim = tyre.rim_diameter().base().to_f64();
        let height = (number(row[2]) - rim) / 2.0;
        let (lo, hi) = (aspect.lo().to_f64() * 0.94, aspect.hi().to_f64() * 1.10);
        assert!((lo..=hi).contains(&(height / nominal)), "{}: aspect {:.3}", row[0], height / nominal);
        assert!((0.88..=1.14).contains(&(width / nominal)), "{}: width {:.3}", row[0], width / nominal);
    }
}

/// What a shop calls a tall rim of a farm is even, and what an earthmover stands on is odd: no common size of a farm
/// or a road is taken for one with rings, and every one from 25 in whose rim is odd is.
#[test]
fn odd_rims_are_of_earthmovers() {
    let is_odd = |inches: i64| inches % 2 == 1;
    let mut odd = 0;
    for row in lines(COMMON_SIZES) {
        let Some(rim) = row[3].strip_suffix(" in").and_then(|rim| rim.parse::<i64>().ok()) else {
            // Rims in half inches or millimetres are of roads, lifts and implements.
            assert!(!on_earthmover_rim(&size(row[0])), "{}", row[0]);
            continue;
        };
        assert_eq!(on_earthmover_rim(&size(row[0])), rim >= 25 && is_odd(rim), "{}", row[0]);
        odd += u32::from(rim >= 25 && is_odd(rim));
    }
    assert!(odd > 40, "{odd}");
}

/// The tables of tractor sizes (UN R106) know textile belts, those of road tyres (UN R54) steel. MEMORY, as is the table.
#[test]
fn radials_of_the_road_have_belts_of_steel() {
    for row in lines(COMMON_SIZES) {
        match row[6] {
            "UN R54" | "UN R54 MPT" | "TRA truck" => assert!(has_steel_belts(&size(row[0])), "{}", row[0]),
            "UN R106" if number(row[3].trim_end_matches(" in")) > 23.0 => {
                assert!(!has_steel_belts(&size(row[0])), "{}", row[0]);
            }
            _ => {}
        }
    }
}

/// No common size is left with less than the least that a loader or a tractor tyre is filled to, nor with more than
/// any bears.
#[test]
fn every_common_size_has_a_highest_pressure() {
    for row in lines(COMMON_SIZES) {
        let most = most_pressure(&size(row[0]), None).and_then(|most| Unit::Psi.from_base(most.base())).unwrap();
        assert!(most >= Exact::from_int(70) && most <= Exact::from_int(160), "{}", row[0]);
    }
}
