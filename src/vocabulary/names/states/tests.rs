//! Names as shops give them, and what is no name because it tells of a state or leaves open which one; invented, from
//! memory.

use proptest::prelude::*;

use super::*;
use crate::vocabulary::{Misnomer, misnomer, name_fault};

const HONEST: &[(NameOf, &[&str])] = &[
    (
        NameOf::Tyre,
        &[
            "loader 4, left front",
            "old press, left",
            "dead axle trailer 2, left",
            "low loader 3, rear left",
            "scrap handler 4",
            "split rim truck 3, LF",
            "A",
            "4711",
            "off-road dumper 2, LF",
        ],
    ),
    (NameOf::Pump, &["P-1", "twin pump", "blue pump", "old pump, blue", "2", "Pumpe 1", "hot pump 2"]),
    (NameOf::Instrument, &["G-2", "blue dial east", "low range gauge 2", "G-2 low", "T-1 cold"]),
    (
        NameOf::Gear,
        &[
            "overhead crane",
            "5 t gantry",
            "tyre handler",
            "telehandler",
            "wheel trolley and the landfill's telehandler",
            "cold store forklift 2",
        ],
    ),
    (
        NameOf::Place,
        &[
            "rack 3",
            "bay 4, free",
            "leak test bay 2",
            "bay 3, wheels blocked",
            "against the north wall, on edge boards",
            "Halle 2",
            "east bay floor, chalked square",
            "west bay pallets, level checked",
            "kiln-side shed, steel plate floor",
            "where it stands, axle on stands",
            "wash hall, grid 2, timber laid level",
            "flatbed trailer parked inside, chocked",
            "shop floor",
            "level floor, roped off",
            "east bay floor, taped off",
            "grid 3, fenced off",
            "corner marked off, chained off",
            "floor, not trafficked",
            "bay 2, not used at night",
            "out of the way behind the lift",
            "cracked slab behind bay 1",
            "store, empty",
            "upright freezer room, floor 2",
            "bay 3, no slope",
            "foot of the ramp, level slab",
            "Slope Lane yard",
            "cure room",
            "curing area",
        ],
    ),
    (
        NameOf::Site,
        &[
            "on site",
            "pit 2",
            "Werk 2, Halle 3",
            "quarry face 4, service truck",
            "Broken Hill depot",
            "Bad Homburg",
            "See Hotel yard",
            "customer yard, gate 2",
            "Tal Or yard",
            "Val d\u{2019}Or, mine 3",
            "reject heap, gate 1",
            "Yard 3, not the main gate",
            "workshop",
        ],
    ),
    (
        NameOf::Sheet,
        &["Firm 55, sheet 3 of 2025", "TDS Firm 55 rev. 4", "Firm 55 / 2024-11", "firm 55", "void-free 55, sheet 2"],
    ),
    (
        NameOf::Document,
        &[
            "loader manual 2024, page 41",
            "data book 2025 p. 61",
            "maker table 12",
            "letter of 4 March 2026",
            "TRA 2024",
        ],
    ),
    (NameOf::Job, &["HT-0311", "WO 118823", "R.O. 22-0031", "2026-03-04 no 2", "7", "order 4471", "job 12"]),
    (
        NameOf::Lot,
        &[
            "PS-118",
            "LOT 4471",
            "Ch.-B. 260214",
            "partij 4471",
            "lote 26-118",
            "lot 4471 L",
            "batch 0412 drum 3",
            "PS-118 W",
            "A 118-2",
            "no 118",
            "No. PS-118",
            "no. 4471",
            "no. PS-118",
        ],
    ),
];

const NO_NAMES: &[(NameOf, &[&str])] = &[
    (
        NameOf::Tyre,
        &[
            "loader 4, left front, cracked",
            "loader 4, left front REJECT",
            "loader 4, LF, flat",
            "same machine",
            "Same machine as before",
            "see loader 4",
            "loader 4 or 5",
            "loader 4, LF, do not fill",
            "loader 7, right rear - scrap",
        ],
    ),
    (
        NameOf::Pump,
        &[
            "P-1 (relief broken)",
            "P-1, out of order",
            "pump 2 or 3",
            "P-1 oder P-2",
            "whichever pump is free",
            "P-1 leaks",
            "maybe P-1",
            "P-1 gesperrt",
        ],
    ),
    (NameOf::Instrument, &["G-2 reads low", "G-2 (uncalibrated)", "G-2, sticks", "same gauge", "G-2 or G-3"]),
    (
        NameOf::Gear,
        &[
            "forklift 2, brakes bad",
            "to be hired",
            "forklift to be hired",
            "some forklift",
            "forklift 2, chain worn",
            "forklift 2, tyre flat",
            "telehandler, battery flat",
            "crane 2, limiter bypassed",
            "any crane",
        ],
    ),
    (
        NameOf::Place,
        &[
            "east bay floor, not level",
            "somewhere level",
            "wherever there is room",
            "level place",
            "here",
            "any flat spot",
            "east bay floor, wet",
            "sloping yard",
            "floor, not flat",
            "out of level floor, bay 2",
            "bay 2, heating off",
            "bay 2, heating turned off",
            "curing place",
            "the room",
            "upright in the rack",
            "rack 3, upright",
            "leaning on the wall",
            "east bay, wheels leaning",
            "on the slope of the ramp",
            "on edge against wall 2",
        ],
    ),
    (NameOf::Site, &["east bay, fans off", "site", "here", "the site", "somewhere in the yard", "same site"]),
    (NameOf::Sheet, &["Firm 55, superseded", "Firm 55, draft", "Firm 55 Draft", "Firm 55, expired", "see drum"]),
    (
        NameOf::Document,
        &[
            "data book 2019, withdrawn",
            "draft of the data book",
            "the manual",
            "book",
            "page 41",
            "manual, page 41",
            "internet",
            "42",
            "the sheet",
            "phone",
        ],
    ),
    (
        NameOf::Job,
        &["JOB-1234 (copy)", "new job 2", "next job 1", "HT-0311 or HT-0312", "HT-0311, cancelled", "this order 2"],
    ),
    (
        NameOf::Lot,
        &[
            "PS-118 gelled",
            "PS-118 expired",
            "PL-641 water in it",
            "see drum 1",
            "PS-118 or PS-119",
            "same as polyol 1",
            "lot illegible, drum 3",
            "118 or 119",
            "PS-118 GELLED",
            "PS-118, maybe",
            "no PS-118",
            "PS-118, mixed",
            "PS-118 (dropped)",
        ],
    ),
];

#[test]
fn names_are_names_and_states_are_none() {
    for (of, names) in HONEST {
        for name in *names {
            assert_eq!(misnomer(*of, name), None, "{of:?}: {name}");
        }
    }
    for (of, names) in NO_NAMES {
        for name in *names {
            assert!(misnomer(*of, name).is_some() || name_fault(name).is_some(), "{of:?}: {name}");
        }
    }
}

proptest! {
    /// A word of a fault spoils every kind of name, wherever it is put into it as a part of its own.
    #[test]
    fn a_fault_is_told_wherever_it_stands(row in 0..HONEST.len(), at in any::<prop::sample::Index>(), word in prop::sample::select(vec!["cracked", "broken", "leaking", "defekt", "expired", "draft", "off", "loose"]), first: bool, upper: bool) {
        let (of, names) = HONEST[row];
        let name = at.get(names);
        let word = if upper { word.to_uppercase() } else { word.to_owned() };
        let ends = AT_THE_END.contains(word.to_lowercase().as_str());
        let text = if first && !ends { format!("{word}: {name}") } else { format!("{name}, {word}") };
        prop_assert!(matches!(misnomer(of, &text), Some(Misnomer::State(_))), "{:?}: {}", of, text);
    }

    /// One of two is none, whichever the two are.
    #[test]
    fn one_of_two_is_a_guess(row in 0..HONEST.len(), one in any::<prop::sample::Index>(), two in any::<prop::sample::Index>(), or in prop::sample::select(vec!["or", "OR", "oder", "ou"])) {
        let (of, names) = HONEST[row];
        let text = format!("{} {or} {}", one.get(names), two.get(names));
        prop_assert_eq!(misnomer(of, &text), Some(Misnomer::Guess), "{:?}: {}", of, text);
    }
}

#[test]
fn the_words_stand_in_order_as_they_are_compared() {
    for words in [&FAULTS, &AT_THE_END, &OF_A_TYRE, &OF_A_PLACE] {
        assert!(words.is_in_order());
    }
}
