//! The design-dimension relations, checked against tables from outside and by properties.

use super::*;
use proptest::prelude::*;

fn size(text: &str) -> Designation {
    Designation::parse(text).unwrap()
}

fn mm(text: &str) -> Exact {
    Quantity::parse(text, Dimension::Length).unwrap().base()
}

fn quantity(text: &str) -> Quantity {
    Quantity::parse(text, Dimension::Length).unwrap()
}

fn by_name(text: &str) -> Dimensions {
    resolve(&size(text), &Recorded::default()).unwrap()
}

#[test]
fn section_width_follows_the_rim_by_four_tenths() {
    // UN amendment text, paragraph 6.1.1.1 (read): K = 0.4, so half an inch of rim is 5.08 mm of section.
    let tyre = size("295/80R22.5");
    let on = |rim| {
        let recorded = Recorded { rim_width: Some(quantity(rim)), ..Recorded::default() };
        resolve(&tyre, &recorded).unwrap().section_width.quantity.base()
    };
    assert_eq!(on("9.5 in").checked_sub(on("9 in")), Exact::parse_decimal("5.08"));
    assert_eq!(section_width_on_rim(mm("295 mm"), mm("9 in"), mm("221.25 mm")), Exact::parse_decimal("297.94"));
}

#[test]
fn the_name_gives_the_diameter() {
    // D = d + 2 H with H = aspect x S1, course page cited in the module header.
    let tyre = by_name("385/65R22.5");
    assert_eq!(tyre.overall_diameter.quantity.base(), mm("1072 mm"));
    assert_eq!(tyre.section_height.quantity.base(), mm("250.25 mm"));
    assert_eq!(tyre.overall_diameter.origin, LengthOrigin::Name);
    let flotation = by_name("33x15.5-16.5");
    assert_eq!(flotation.overall_diameter.quantity.base(), mm("33 in"));
    assert_eq!(flotation.section_height.quantity.base(), mm("8.25 in"));
}

#[test]
fn origins_are_told_apart() {
    assert_eq!(by_name("11R22.5").section_width.origin, LengthOrigin::Remembered);
    assert_eq!(by_name("12.4-36").overall_diameter.origin, LengthOrigin::ClassDefault);
    let recorded = Recorded { section_width: Some(quantity("290 mm")), ..Recorded::default() };
    let tyre = resolve(&size("11R22.5"), &recorded).unwrap();
    assert_eq!(
        (tyre.section_width.origin, tyre.overall_diameter.origin),
        (LengthOrigin::Recorded, LengthOrigin::Remembered)
    );
    assert_eq!(tyre.section_width.quantity, quantity("290 mm"));
}

fn misfit(error: &DimensionError) -> Option<DimensionName> {
    match error {
        DimensionError::Implausible(misfit) => Some(misfit.item),
        _ => None,
    }
}

#[test]
fn a_slip_is_refused_with_the_plausible_range() {
    let refuse = |recorded: &Recorded| resolve(&size("17.5-25"), recorded).unwrap_err();
    let wide = refuse(&Recorded { section_width: Some(quantity("445 in")), ..Recorded::default() });
    assert!(misfit(&wide) == Some(DimensionName::SectionWidth));
    assert!(wide.to_string().contains("section width 445 in cannot belong to size `17.5-25`"), "{wide}");
    assert!(wide.help().contains("look the section width up again"));
    let low = refuse(&Recorded { overall_diameter: Some(quantity("25 in")), ..Recorded::default() });
    assert!(misfit(&low) == Some(DimensionName::OverallDiameter));
    let rim = refuse(&Recorded { rim_width: Some(quantity("14 mm")), ..Recorded::default() });
    assert!(misfit(&rim) == Some(DimensionName::RimWidth));
    let pressure = Quantity::parse("14 psi", Dimension::Pressure).ok();
    let kind = refuse(&Recorded { rim_width: pressure, ..Recorded::default() });
    assert_eq!(kind, DimensionError::NotALength { item: DimensionName::RimWidth });
}

#[test]
fn rim_widths_surround_the_measuring_rim() {
    let widths = rim_widths(&size("18.4-38")).unwrap();
    assert_eq!(widths.measuring.quantity.base(), mm("16 in"));
    // Remembered practice: W15L and W16L are both used for 18.4-38; a W12 is not.
    assert!(widths.permitted.contains(mm("15 in")) && !widths.permitted.contains(mm("12 in")));
    assert!(widths.basis.contains("no source"));
    assert_eq!(rim_widths(&size("12.4-36")).unwrap().measuring.origin, LengthOrigin::ClassDefault);
}

#[test]
fn aspects_are_points_only_where_the_name_settles_them() {
    assert_eq!(plausible_aspect(&size("16/70-20")), Some(Interval::point(Exact::new(7, 10).unwrap())));
    assert_eq!(plausible_aspect(&size("18x7-8")), Some(Interval::point(Exact::new(5, 7).unwrap())));
    let wide_base = plausible_aspect(&size("23.5-25")).unwrap();
    assert!(!wide_base.is_point() && wide_base.contains(Exact::new(82, 100).unwrap()));
}

proptest! {
    /// Whatever plausible rim is recorded, a wider one never makes a narrower tyre, and the height stays the same.
    #[test]
    fn wider_rims_make_wider_sections(first in 60_i64..100, more in 1_i64..30) {
        let on = |tenths: i64| {
            let rim_width = Quantity::new(Exact::new(i128::from(tenths), 10).unwrap(), Unit::Inch);
            resolve(&size("11R22.5"), &Recorded { rim_width, ..Recorded::default() })
        };
        let (narrow, wide) = (on(first).unwrap(), on(first + more).unwrap());
        prop_assert!(wide.section_width.quantity.base() > narrow.section_width.quantity.base());
        prop_assert_eq!(wide.section_height, narrow.section_height);
    }
}

/// Inflated width and diameter of tyres whose name says neither well: small sizes of two widths, and wide low sections.
/// MEMORY, Tire and Rim Association.
const TRUE_SIZES: &[(&str, &str, &str)] = &[
    ("4.10/3.50-4", "91 mm", "265 mm"),
    ("4.10/3.50-6", "91 mm", "310 mm"),
    ("4.80/4.00-8", "110 mm", "410 mm"),
    ("5.30/4.50-6", "120 mm", "370 mm"),
    ("2.80/2.50-4", "70 mm", "225 mm"),
    ("12.5L-15", "318 mm", "823 mm"),
    ("14L-16.1", "361 mm", "978 mm"),
    ("16.5L-16.1", "419 mm", "1021 mm"),
    ("19L-16.1", "483 mm", "1087 mm"),
    ("21.5L-16.1", "546 mm", "1130 mm"),
    ("17.5L-24", "445 mm", "1265 mm"),
    ("19.5L-24", "495 mm", "1314 mm"),
    ("21L-24", "533 mm", "1378 mm"),
    ("28L-26", "714 mm", "1615 mm"),
    ("30.5L-32", "775 mm", "1830 mm"),
];

#[test]
fn what_a_tyre_measures_lies_inside_what_its_name_gives() {
    use crate::tyre::cavity::{CavityInputs, estimate};
    for (text, width, diameter) in TRUE_SIZES {
        let tyre = size(text);
        let recorded = Recorded {
            section_width: Some(quantity(width)),
            overall_diameter: Some(quantity(diameter)),
            ..Recorded::default()
        };
        assert!(resolve(&tyre, &recorded).is_ok(), "{text}: {:?}", resolve(&tyre, &recorded).err());
        let named = estimate(&CavityInputs::by_name(&tyre)).unwrap();
        let measured = estimate(&CavityInputs { recorded, ..CavityInputs::by_name(&tyre) }).unwrap();
        let likely = measured.point.base();
        assert!(named.volume.contains(likely), "{text}: {likely:?} outside {:?}", named.volume);
    }
}
