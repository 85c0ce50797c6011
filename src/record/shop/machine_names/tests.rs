//! Which cards are of which machine, and of which place on it.

use proptest::prelude::*;

use super::*;

fn is_one(card: &str, mark: &str) -> bool {
    MachineName::of(card).machine.is(&MachineName::of(mark).machine)
}

#[test]
fn a_card_is_of_the_machine_that_the_mark_begins_with() {
    for (card, mark) in [
        ("loader 4", "loader 4, left front"),
        ("loader 4 front", "loader 4, left front"),
        ("Loader 4 Front", "loader 4 rf"),
        ("L4 front", "loader 4, left front"),
        ("SS 9", "skid steer 9, left front"),
        ("yard crane", "yard crane, outrigger wheel left"),
        ("loader", "front left loader"),
        ("ADT-12", "adt 12, axle 2 left"),
    ] {
        assert!(is_one(card, mark), "{card} for {mark}");
    }
    for (card, mark) in [
        ("skid steer 9", "loader 4, left front"),
        ("grader 1", "loader 1, left front"),
        ("loader 14", "loader 4, left front"),
        ("loader 4", "loader 40, left front"),
        ("quarry loader 4", "loader 4, left front"),
        ("baler cart", "yard crane, left"),
        ("loader", "loader 4, left front"),
        ("L4", "skid steer 4, left"),
    ] {
        assert!(!is_one(card, mark), "{card} for {mark}");
    }
}

fn machine() -> impl Strategy<Value = (String, u32)> {
    (
        prop::sample::select(vec!["loader", "skid steer", "grader", "baler cart", "Radlader", "погрузчик", "tug"]),
        1_u32..200,
    )
        .prop_map(|(name, number)| (name.to_owned(), number))
}

proptest! {
    #[test]
    fn cards_and_marks_of_two_machines_are_never_one(
        (one, first) in machine(), (two, second) in machine(), place in prop::sample::select(vec!["left front", "rr", "axle 2 left inner", "steer right"]),
    ) {
        let mark = format!("{one} {first}, {place}");
        prop_assert_eq!(is_one(&format!("{two} {second}"), &mark), one == two && first == second);
        prop_assert_eq!(is_one(&format!("{two} {second} {place}"), &mark), one == two && first == second);
        prop_assert_eq!(is_one(&format!("{two} {second}").to_uppercase(), &mark), one == two && first == second);
    }
}

/// A place as crews write it, from memory, and what it says: the axle, its end, the inner or outer wheel, the number.
struct PlaceRow(&'static str, [&'static str; 4]);

const PLACES: &[PlaceRow] = &[
    PlaceRow("left front", ["front", "left", "", ""]),
    PlaceRow("LF", ["front", "left", "", ""]),
    PlaceRow("right front", ["front", "right", "", ""]),
    PlaceRow("rear left", ["rear", "left", "", ""]),
    PlaceRow("HR", ["rear", "right", "", ""]),
    PlaceRow("front axle", ["front", "", "", ""]),
    PlaceRow("rear", ["rear", "", "", ""]),
    PlaceRow("left", ["", "left", "", ""]),
    PlaceRow("N/S/F", ["front", "near", "", ""]),
    PlaceRow("offside rear", ["rear", "off", "", ""]),
    PlaceRow("rear left inner", ["rear", "left", "inner", ""]),
    PlaceRow("LRO", ["rear", "left", "outer", ""]),
    PlaceRow("axle 2 left", ["2", "left", "", ""]),
    PlaceRow("axle 3", ["3", "", "", ""]),
    PlaceRow("drive right", ["drive", "right", "", ""]),
    PlaceRow("pos 1", ["", "", "", "1"]),
    PlaceRow("position 2", ["", "", "", "2"]),
    PlaceRow("", ["", "", "", ""]),
];

/// A card of one place fits no tyre of another one, and fits where only one of the two says a thing, whatever the machine is
/// called.
#[test]
fn a_card_of_one_place_fits_no_tyre_of_another() {
    for machine in ["loader 4", "front loader 4", "skid steer 11", "Radlader 3", "unit 22", "rear loader 7"] {
        for PlaceRow(of_card, card_says) in PLACES {
            for PlaceRow(of_tyre, tyre_says) in PLACES {
                let differ = |(one, two): (&&str, &&str)| !one.is_empty() && !two.is_empty() && one != two;
                let due = !card_says.iter().zip(tyre_says).any(differ);
                let card = MachineName::of(format!("{machine} {of_card}").trim());
                let tyre = MachineName::of(&format!("{machine}, {of_tyre}"));
                assert_eq!(card.fits(&tyre), due, "{card:?} for {tyre:?}");
                let more = |(one, two): (&&str, &&str)| two.is_empty() || one == two;
                let says_more = card_says.iter().zip(tyre_says).all(more) && card_says != tyre_says;
                assert_eq!(card.place().says_more_than(tyre.place()), says_more, "{card:?} and {tyre:?}");
            }
        }
    }
}

#[test]
fn a_place_is_read_in_front_of_the_machine_too() {
    for (card, tyre, fits) in [
        ("loader 4 front", "left front loader 4", true),
        ("loader 4 rear", "left front loader 4", false),
        ("loader 4 rear", "LF, loader 4", false),
        ("loader 4 front", "LF, loader 4", true),
        ("skid steer 3", "LF, loader 4", false),
        // These are machines, and no places.
        ("front loader 4", "front loader 4, left rear", true),
        ("rear loader 7 front", "rear loader 7, left front", true),
        ("rear loader 7 rear", "rear loader 7, left front", false),
        // The only machine that there is.
        ("loader 4 front", "left front", true),
        ("loader 4 rear", "left front", false),
        ("yard crane", "yard crane, outrigger wheel left", true),
        ("yard crane right", "yard crane, outrigger wheel left", false),
    ] {
        assert_eq!(MachineName::of(card).fits(&MachineName::of(tyre)), fits, "{card} for {tyre}");
    }
}

/// Of two cards that fit the one counts that has the machine's own name, or says more of the place.
#[test]
fn the_nearer_card_betters_the_other() {
    for (named, other, tyre, betters) in [
        ("skid 3", "skid 3 front", "skid 3, left front", true),
        ("skid 3 front", "skid 3", "skid 3, left front", false),
        ("skid 3", "skid 3 front", "skid 3, left rear", false),
        // Where the mark does not say the axle, nobody knows that it is not the front one.
        ("skid 3", "skid 3 front", "skid 3, left", true),
        ("skid 3 front", "skid 3 rear", "skid 3, left", false),
        ("L4", "loader 4", "loader 4, left front", true),
        ("loader 4", "L4", "loader 4, left front", false),
        ("loader 4", "L4 front", "loader 4, left front", false),
        ("loader 4 with forks", "loader 4 with bucket", "loader 4, left front", false),
        ("skid 3", "skid 4 front", "left front", false),
    ] {
        let [named, other, tyre] = [named, other, tyre].map(MachineName::of);
        assert!(named.fits(&tyre), "{named:?} for {tyre:?}");
        assert_eq!(named.is_bettered(&other, &tyre), betters, "{other:?} beside {named:?} for {tyre:?}");
    }
}
