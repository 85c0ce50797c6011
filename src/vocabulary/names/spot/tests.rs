//! Marks as crews write them, from memory.

use proptest::prelude::*;

use super::TyrePlace;

/// Ways of writing one place, one row a place; the machine stands in front.
const PLACES: &[&[&str]] = &[
    &[
        "left front",
        "LF",
        "L/F",
        "l.f.",
        "front left",
        "left hand front",
        "LH front",
        "front L",
        "VL",
        "vorne links",
        "vornelinks",
        "links vorn",
        "AVG",
        "AV G",
        "avant gauche",
        "left-front",
        "left front wheel",
        "front axle left",
        "FL",
    ],
    &[
        "right front",
        "RF",
        "front right",
        "r/h front",
        "front R",
        "VR",
        "vorne rechts",
        "AVD",
        "AV D",
        "avant droite",
        "right hand side front",
    ],
    &[
        "left rear",
        "LR",
        "rear left",
        "left hand rear",
        "l/h rear",
        "HL",
        "hinten links",
        "hintenlinks",
        "ARG",
        "AR G",
        "arrière gauche",
        "RL",
        "rear, left",
    ],
    &["right rear", "RR", "rear right", "HR", "hinten rechts", "ARD", "AR D", "RHR"],
    &["N/S/F", "NSF", "nearside front", "near side front", "front n/s"],
    &["O/S/F", "OSF", "offside front", "off side front", "front o/s"],
    &["N/S/R", "nearside rear", "n/s rear"],
    &["driver side front", "driver's side front", "front driver side"],
    &["passenger side front", "front passenger side"],
    &["rear left inner", "left rear inside", "LR inner", "rear left, inner wheel"],
    &["rear left outer", "left rear outside", "LRO"],
    &["axle 2 left", "2nd axle left", "left, axle 2", "axle2 left", "second axle, left side"],
    &["axle 3 left", "third axle left"],
    &["pos 1", "pos. 1", "position 1", "wheel 1", "Pos1"],
    &["pos 2", "wheel 2"],
    &["front 1"],
    &["front 2"],
    &["drive left", "left drive"],
    &["steer left"],
    &["tandem right front", "right front tandem"],
];

/// Which of the rows are on one axle, by their place in [`PLACES`].
const AXLES: &[&[usize]] =
    &[&[0, 1, 4, 5, 7, 8, 15, 16], &[2, 3, 6, 9, 10], &[11], &[12], &[13, 14], &[17], &[18], &[19]];

const MACHINES: &[&str] =
    &["loader 4", "Radlader 3", "unit 22-118", "skid steer 11", "forklift 1", "wheel loader 7", "CAT 12"];

#[test]
fn one_place_is_one_however_it_is_written() {
    for machine in MACHINES {
        for (row, ways) in PLACES.iter().enumerate() {
            for (other_row, other_ways) in PLACES.iter().enumerate() {
                for (way, other) in ways.iter().flat_map(|way| other_ways.iter().map(move |other| (way, other))) {
                    let marks = (format!("{machine}, {way}"), format!("{machine} {other}."));
                    let (one, two) = (TyrePlace::of(&marks.0), TyrePlace::of(&marks.1));
                    assert_eq!(one.is_same(&two), row == other_row, "{marks:?}: {one:?} {two:?}");
                    let on_one = AXLES.iter().any(|axle| axle.contains(&row) && axle.contains(&other_row));
                    assert_eq!(one.is_on_axle_of(&two), on_one, "{marks:?}: {one:?} {two:?}");
                }
            }
        }
    }
}

/// What stands in no place is the machine, with its numbers.
#[test]
fn a_machine_keeps_its_words() {
    for (mark, machine) in [
        ("skid steer 11, left front", "skid steer 11"),
        ("lift 4, steer right", "lift 4"),
        ("forklift 1, drive left", "forklift 1"),
        ("walking-floor trailer 12, axle 2 left outer", "walking floor trailer 12"),
        ("fleet 1107 pos. 3", "fleet 1107"),
        ("unit 22-118 RHR", "unit 22 118"),
        ("CAT 7 n° 3", "cat 7"),
        ("pelle 12, AV G", "pelle 12"),
        ("barrow 12", "barrow 12"),
        ("D 4", "d 4"),
        ("loader no 4, left front", "loader no 4"),
        ("4711", "4711"),
        ("#3", "no 3"),
        ("bus driver training rig", "bus driver training rig"),
        ("left front", ""),
    ] {
        assert_eq!(TyrePlace::of(mark).machine_text(), machine, "{mark}");
    }
}

#[test]
fn what_says_no_place_is_on_no_axle() {
    for (one, other) in [
        ("A", "B"),
        ("4711", "4712"),
        ("barrow 12", "barrow 13"),
        ("loader 4", "loader 5"),
        ("#3", "#4"),
        ("tyre 1", "tyre 2"),
        ("loader no 4, left front", "loader no 5, right front"),
        ("loader 4, left front", "loader 5, right front"),
        ("front 1 left", "front 2 left"),
        ("truck 3 front 1 left", "truck 3 front 2 right"),
        ("D 4", "G 4"),
    ] {
        let (one, other) = (TyrePlace::of(one), TyrePlace::of(other));
        assert!(!one.is_on_axle_of(&other) && !one.is_same(&other), "{one:?} {other:?}");
    }
    assert!(TyrePlace::of("unit 3 pos 1").is_on_axle_of(&TyrePlace::of("unit 3 pos 2")));
    assert!(!TyrePlace::of("unit 3 pos 1").shares_axle_with(&TyrePlace::of("unit 3 pos 2")));
    assert!(TyrePlace::of("dolly 3 left").shares_axle_with(&TyrePlace::of("dolly 3 right")));
}

proptest! {
    /// Being on one axle is told alike from both ends, and no word in front of two marks parts or joins them.
    #[test]
    fn marks_are_compared_alike_from_both_ends(
        row in 0..PLACES.len(), other in 0..PLACES.len(), name in "[b-c][aou][kz]{2}[0-9]{1,3}", joined in "[,.]? ",
    ) {
        let (one, two) = (PLACES[row][0], PLACES[other][0]);
        let (one, two) = (TyrePlace::of(&format!("{name}{joined}{one}")), TyrePlace::of(&format!("{name} {two}")));
        prop_assert_eq!(one.is_on_axle_of(&two), two.is_on_axle_of(&one));
        prop_assert_eq!(one.is_same(&two), row == other, "{:?} {:?}", one, two);
        prop_assert_eq!(one.machine_text(), name);
    }
}
