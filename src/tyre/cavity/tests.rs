//! Properties of the estimate; the comparison with published volumes is in the integration tests.

use super::*;
use proptest::prelude::*;

fn size(text: &str) -> Designation {
    Designation::parse(text).unwrap()
}

fn length(text: &str) -> Quantity {
    Quantity::parse(text, Dimension::Length).unwrap()
}

fn volume(text: &str) -> Quantity {
    Quantity::parse(text, Dimension::Volume).unwrap()
}

/// Believed between 85 and 125 hundredths of the model, as by the base pack.
fn stated(volume: Quantity) -> StatedVolume {
    let believed = Interval::new(exact("0.85"), exact("1.25")).unwrap();
    StatedVolume { volume, believed }
}

fn by_name(text: &str) -> Cavity {
    estimate(&CavityInputs::by_name(&size(text))).unwrap()
}

fn exact(text: &str) -> Exact {
    Exact::parse_decimal(text).unwrap()
}

#[test]
fn what_is_known_narrows_the_interval() {
    let tyre = size("18.4-38");
    let recorded = |width, diameter| {
        let recorded = Recorded { section_width: width, overall_diameter: diameter, rim_width: None };
        estimate(&CavityInputs { recorded, ..CavityInputs::by_name(&tyre) }).unwrap().half_width_percent
    };
    let both = recorded(Some(length("467 mm")), Some(length("1750 mm")));
    let one = recorded(Some(length("467 mm")), None);
    assert!(both < one && one < recorded(None, None));
    // What sources that were not fitted ask for, and no more.
    assert!(recorded(None, None) <= exact("15") && both <= exact("10"));
}

#[test]
fn poor_data_is_stated_wider() {
    let agricultural = by_name("18.4-38").half_width_percent;
    for poor in ["4.00-12", "11L-15", "23.5-25", "33x15.5-16.5", "250-15"] {
        assert!(by_name(poor).half_width_percent > agricultural, "{poor}");
    }
    assert_eq!(by_name("26.5-25 L-5").evidence, FitBasis::Estimate);
    assert!(by_name("26.5-25 L-5").half_width_percent > by_name("26.5-25").half_width_percent);
    // 37.25 in is wider than anything the wide-base table covers.
    assert!(by_name("37.25-35").half_width_percent > by_name("26.5-25 L-5").half_width_percent);
}

#[test]
fn a_deep_tread_takes_room_only_within_a_measured_diameter() {
    let litres = |text: &str, diameter| {
        let tyre = size(text);
        let recorded = Recorded { overall_diameter: diameter, ..Recorded::default() };
        estimate(&CavityInputs { recorded, ..CavityInputs::by_name(&tyre) }).unwrap().point.base()
    };
    assert_eq!(litres("26.5-25 L-5", None), litres("26.5-25 L-3", None));
    assert!(litres("26.5-25 L-5", Some(length("1798 mm"))) < litres("26.5-25 L-3", Some(length("1798 mm"))));
}

#[test]
fn a_recorded_inside_volume_overrides_the_model() {
    let tyre = size("17.5-25");
    let given = |volume: Option<Quantity>| {
        estimate(&CavityInputs { inside_volume: volume.map(stated), ..CavityInputs::by_name(&tyre) })
    };
    let cavity = given(Some(volume("100 gal"))).unwrap();
    assert_eq!(cavity.point, volume("100 gal"));
    assert_eq!((cavity.method, cavity.believed), (RECORDED, Some(true)));
    assert_eq!(given(None).unwrap().believed, None);
    assert_eq!(cavity.half_width_percent, exact("3"));
    assert!(cavity.volume.contains(cavity.point.base()));
    let slip = given(Some(volume("1000 gal"))).unwrap_err();
    assert!(slip.to_string().contains("inside volume 1000 US gal cannot belong to size `17.5-25`"), "{slip}");
    assert!(given(Some(volume("10 gal"))).is_err());
    assert_eq!(given(Some(length("10 in"))), Err(CavityError::NotAVolume));
}

/// A chart's volume is easily one to valve level, three quarters of the full one: such a volume decides nothing.
#[test]
fn a_recorded_volume_far_from_the_size_is_not_believed() {
    let tyre = size("17.5-25");
    let named = by_name("17.5-25");
    let given = |thousandths| {
        let inside_volume = named.point.scaled(Exact::new(thousandths, 1000).unwrap()).map(stated);
        estimate(&CavityInputs { inside_volume, ..CavityInputs::by_name(&tyre) }).unwrap()
    };
    for near in [851, 1000, 1249] {
        assert_eq!(given(near).believed, Some(true), "{near}");
    }
    for far in [750, 849, 1251, 1300] {
        let cavity = given(far);
        assert_eq!((cavity.believed, cavity.method, cavity.volume), (Some(false), DOUBTED, named.volume), "{far}");
    }
}

/// The forklift drive tyre whose bounds by measurement once lay outside those by name.
#[test]
fn a_measured_industrial_tyre_lies_inside_its_name() {
    let tyre = size("7.00-12");
    let recorded = Recorded {
        section_width: Some(length("205 mm")),
        overall_diameter: Some(length("699 mm")),
        rim_width: Some(length("5 in")),
    };
    let run = |recorded| {
        estimate(&CavityInputs { recorded, ply_rating: Some(14), ..CavityInputs::by_name(&tyre) }).unwrap().volume
    };
    let rim_alone = Recorded { rim_width: Some(length("5 in")), ..Recorded::default() };
    let (measured, named) = (run(recorded), run(rim_alone));
    assert!(named.lo() < measured.lo() && measured.hi() <= named.hi());
}

#[test]
fn impossible_casings_are_refused() {
    let tyre = size("4.00-8");
    let plies = |ply_rating| estimate(&CavityInputs { ply_rating: Some(ply_rating), ..CavityInputs::by_name(&tyre) });
    assert_eq!(plies(81), Err(CavityError::PlyRating { ply_rating: 81 }));
    assert!(plies(80).is_ok());
    // Half an inch between rim and tread: less than any casing is thick.
    let thin = estimate(&CavityInputs::by_name(&size("20x7-19"))).unwrap_err();
    assert!(matches!(thin, CavityError::NoRoom { ply_rating: 8, .. }), "{thin}");
    assert!(thin.help().contains("sidewall"));
    let recorded = Recorded { rim_width: Some(length("80 in")), ..Recorded::default() };
    let wide = estimate(&CavityInputs { recorded, ..CavityInputs::by_name(&tyre) }).unwrap_err();
    assert!(matches!(wide, CavityError::Dimensions(DimensionError::Implausible(_))));
    assert!(wide.help().contains("rim width"));
}

const SIZES: [&str; 14] = [
    "18.4-38",
    "480/80R42",
    "7.50-16",
    "5.00-15",
    "17.5L-24",
    "10-16.5",
    "12.00-20",
    "11R22.5",
    "385/65R22.5",
    "23.5-25",
    "14.00-24",
    "35/65-33",
    "33x15.5-16.5",
    "250-15",
];

proptest! {
    /// Wider, taller or thinner-walled never needs less material; the interval holds the point; the rectangle around
    /// the outside is never exceeded; the same inputs give the same bits.
    #[test]
    fn larger_tyres_hold_more(
        text in proptest::sample::select(SIZES.to_vec()),
        (wide, tall, rim) in (0_i128..100, 0_i128..100, 0_i128..100), more in 1_i128..20, ply in 2_u8..30, plies in 1_u8..10,
    ) {
        let tyre = size(text);
        let usual = dimensions::resolve(&tyre, &Recorded::default()).unwrap();
        let grown = |length: Length, thousandths: i128| {
            let factor = Exact::new(1000 + thousandths, 1000).unwrap();
            length.quantity.scaled(factor)
        };
        let run = |wide, tall, rim, ply_rating| {
            let recorded = Recorded {
                section_width: grown(usual.section_width, wide),
                overall_diameter: grown(usual.overall_diameter, tall / 3),
                rim_width: grown(usual.rim_width, rim),
            };
            let inputs = CavityInputs { recorded, ply_rating: Some(ply_rating), ..CavityInputs::by_name(&tyre) };
            estimate(&inputs).map(|cavity| (cavity, dimensions::resolve(&tyre, &recorded).unwrap()))
        };
        // What no tyre of the size has together is refused.
        let all = [
            run(wide, tall, rim, ply + plies),
            run(wide + more, tall, rim, ply + plies),
            run(wide, tall + 3 * more, rim, ply + plies),
            run(wide, tall, rim + more, ply + plies),
            run(wide, tall, rim, ply),
        ];
        prop_assume!(all.iter().all(Result::is_ok));
        let [(base, dims), larger @ ..] = all.map(Result::unwrap);
        prop_assert!(base.volume.contains(base.point.base()));
        prop_assert!(base.point.base() < two_cylinder_bound(&dims).unwrap());
        prop_assert_eq!(&run(wide, tall, rim, ply + plies).unwrap().0, &base);
        for (other, _) in larger {
            prop_assert!(other.point.base() >= base.point.base());
            prop_assert!(other.volume.lo() >= base.volume.lo() && other.volume.hi() >= base.volume.hi());
        }
    }

    /// Measured is inside named: whatever is recorded, leaving any of it out never narrows the bounds, and the point lies
    /// within them. A record that contradicts itself has no bounds.
    #[test]
    fn measuring_narrows_and_never_moves(
        text in proptest::sample::select(SIZES.to_vec()),
        (width, diameter, rim) in (
            proptest::option::of(-110_i128..290), proptest::option::of(-90_i128..110), proptest::option::of(-300_i128..200),
        ),
        volume in proptest::option::of(500_i128..1500),
    ) {
        let tyre = size(text);
        let usual = dimensions::resolve(&tyre, &Recorded::default()).unwrap();
        let named = by_name(text);
        let grown = |length: Length, by: Option<i128>| length.quantity.scaled(Exact::new(1000 + by?, 1000).unwrap());
        let run = |parts: [bool; 4]| {
            let recorded = Recorded {
                section_width: grown(usual.section_width, width.filter(|_| parts[0])),
                overall_diameter: grown(usual.overall_diameter, diameter.filter(|_| parts[1])),
                rim_width: grown(usual.rim_width, rim.filter(|_| parts[2])),
            };
            let inside_volume = volume.filter(|_| parts[3]).and_then(|by| named.point.scaled(Exact::new(by, 1000).unwrap()));
            let inside_volume = inside_volume.map(stated);
            estimate(&CavityInputs { recorded, inside_volume, ..CavityInputs::by_name(&tyre) })
        };
        let Ok(full) = run([true; 4]) else { return Ok(()) };
        prop_assert!(full.volume.contains(full.point.base()));
        for left_out in 0..4 {
            let mut parts = [true; 4];
            parts[left_out] = false;
            if let Ok(less) = run(parts) {
                prop_assert!(less.volume.lo() <= full.volume.lo() && full.volume.hi() <= less.volume.hi(), "{left_out}");
            }
        }
    }

    /// A measurement in inches and the same in millimetres give the same volume to the last bit.
    #[test]
    fn unit_systems_agree(sixteenths in 272_i128..380) {
        let tyre = size("18.4-38");
        let inches = Quantity::new(Exact::new(sixteenths, 16).unwrap(), Unit::Inch).unwrap();
        let run = |width: Quantity| {
            let recorded = Recorded { section_width: Some(width), ..Recorded::default() };
            estimate(&CavityInputs { recorded, ..CavityInputs::by_name(&tyre) }).unwrap()
        };
        let metric = inches.in_unit(Unit::Millimetre).unwrap();
        prop_assert_eq!(run(inches).volume, run(metric).volume);
    }
}
