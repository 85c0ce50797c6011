//! What honest records say is taken, and the slip beside it is not: scales of instruments, and what is lifted by hand.

use fillward::pack::PackSet;

use crate::slips::read;

/// A compound gauge begins at a full vacuum, which dials print as 30 inHg, 76 cmHg, 1 bar, 100 kPa or 15 psi below the
/// air (from memory of dials; 14.696 psi is 101.325 kPa, the standard atmosphere of ISO 2533). No pressure but the
/// bottom of a scale is below zero.
#[test]
fn a_scale_may_begin_at_a_vacuum_and_nothing_else_lies_below_zero() {
    let packs = PackSet::base().unwrap();
    let read = |text: &str| read(&packs, text);
    for vacuum in [
        "-30 inHg",
        "-76 cmHg",
        "-14.7 psi",
        "-15 psi",
        "-1 bar",
        "-100 kPa",
        "-0.1 MPa",
        "-1 kgf/cm2",
        "-1000 mbar",
        "0 psi",
        "0 inHg",
    ] {
        assert!(read(&format!("gauges: [{{mark: G, range: {{from: {vacuum}, to: 160 psi}}}}]")).is_ok(), "{vacuum}");
        let negative = vacuum.starts_with('-');
        for place in [
            "gauges: [{mark: G, range: {from: 0 psi, to: VALUE}}]",
            "assemblies: [{mark: a, target: {pressure: VALUE}}]",
        ] {
            assert!(!negative || read(&place.replace("VALUE", vacuum)).is_err(), "{place}: {vacuum}");
        }
    }
    for (slip, cure) in [
        ("-16 psi", "unit"),
        ("-30 bar", "unit"),
        ("30 inHg", "`-30 inHg`"),
        ("30 inHg vac", "`-30 inHg`"),
        ("30 inHg vacuum", "`-30 inHg`"),
    ] {
        let faults =
            read(&format!("gauges: [{{mark: G, range: {{from: {slip}, to: 160 psi}}}}]")).err().unwrap_or_default();
        assert!(faults.iter().any(|fault| fault.cure().is_some_and(|help| help.contains(cure))), "{slip}: {faults:?}");
    }
}

/// NIOSH 94-110, the revised lifting equation (from memory): 23 kg, a little less than 51 lb, is the most that anybody
/// lifts.
#[test]
fn who_lifts_by_hand_lifts_little() {
    let packs = PackSet::base().unwrap();
    for (gear, capacity, holds) in [
        ("by hand", "23 kg", true),
        ("by hand", "40 lb", true),
        ("by hand", "51 lb", false),
        ("by hand", "23.1 kg", false),
        ("by hand, two people", "46 kg", true),
        ("by hand, two people", "47 kg", false),
        ("forklift 2", "2000 kg", true),
        ("hands", "20 kg", false),
    ] {
        let taken = read(&packs, &format!("handling: {{gear: \"{gear}\", capacity: {capacity}}}"));
        assert_eq!(taken.is_ok(), holds, "{gear}: {capacity}: {:?}", taken.err());
    }
}
