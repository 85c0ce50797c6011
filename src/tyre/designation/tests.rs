//! Reading and printing, checked size by size and by random texts.

use super::*;
use crate::units::Dimension;
use proptest::prelude::*;

fn read(text: &str) -> Designation {
    Designation::parse(text).unwrap_or_else(|error| panic!("{error}; {}", error.help()))
}

fn length(text: &str) -> Exact {
    Quantity::parse(text, Dimension::Length).unwrap().base()
}

/// Text, normal form, section width, rim diameter, construction.
///
/// What each part means: grammar as remembered from the standards named in the module header.
const READINGS: [(&str, &str, &str, &str, Construction); 49] = {
    use Construction::{BiasBelted, Diagonal, Radial};
    [
        ("385/65R22.5", "385/65R22.5", "385 mm", "22.5 in", Radial),
        ("480/80R42", "480/80R42", "480 mm", "42 in", Radial),
        ("480/80-42", "480/80-42", "480 mm", "42 in", Diagonal),
        ("480/80D42", "480/80-42", "480 mm", "42 in", Diagonal),
        ("10.00R20", "10.00R20", "10 in", "20 in", Radial),
        ("295/80 R 22.5", "295/80R22.5", "295 mm", "22.5 in", Radial),
        ("12.00-20", "12.00-20", "12 in", "20 in", Diagonal),
        ("12.00 – 20", "12.00-20", "12 in", "20 in", Diagonal),
        ("23.5-25", "23.5-25", "23.5 in", "25 in", Diagonal),
        ("18.4-38", "18.4-38", "18.4 in", "38 in", Diagonal),
        ("10-16.5", "10-16.5", "10 in", "16.5 in", Diagonal),
        ("16/70-20", "16/70-20", "16 in", "20 in", Diagonal),
        ("12.5/80-18", "12.5/80-18", "12.5 in", "18 in", Diagonal),
        ("17.5L-24", "17.5L-24", "17.5 in", "24 in", Diagonal),
        ("11L-15", "11L-15", "11 in", "15 in", Diagonal),
        ("11LR16 SL", "11LR16 SL", "11 in", "16 in", Radial),
        ("22.5LL-16.1", "22.5LL-16.1", "22.5 in", "16.1 in", Diagonal),
        ("33x15.5-16.5", "33x15.5-16.5", "15.5 in", "16.5 in", Diagonal),
        ("28x9-15", "28x9-15", "9 in", "15 in", Diagonal),
        ("18X7-8", "18x7-8", "7 in", "8 in", Diagonal),
        ("1300x530-533", "1300x530-533", "530 mm", "533 mm", Diagonal),
        ("1300 × 530-533", "1300x530-533", "530 mm", "533 mm", Diagonal),
        ("1300x530-21", "1300x530-21", "530 mm", "21 in", Diagonal),
        ("1200x500R508", "1200x500R508", "500 mm", "508 mm", Radial),
        ("17.5R25 ** L-3 T2", "17.5R25 L-3 T-2 **", "17.5 in", "25 in", Radial),
        ("10.00-20 PR16", "10.00-20 16PR", "10 in", "20 in", Diagonal),
        ("10.00-20/7.5 16PR", "10.00-20/7.5 16PR", "10 in", "20 in", Diagonal),
        ("DH35.5L-32", "35.5L-32 DH", "35.5 in", "32 in", Diagonal),
        ("LS 28L-26", "28L-26 LS", "28 in", "26 in", Diagonal),
        ("4.10/3.50-4", "4.10-4 (3.50-4)", "3.5 in", "4 in", Diagonal),
        ("13.00/14.00-24", "13.00-24 (14.00-24)", "13 in", "24 in", Diagonal),
        ("18.4/15-34", "18.4-34 (15-34)", "18.4 in", "34 in", Diagonal),
        ("31×15.50-15", "31x15.50-15", "15.5 in", "15 in", Diagonal),
        ("6.50-10", "6.50-10", "6.5 in", "10 in", Diagonal),
        ("7.00-12", "7.00-12", "7 in", "12 in", Diagonal),
        ("15x4 1/2-8", "15x4 1/2-8", "4.5 in", "8 in", Diagonal),
        ("15x4½-8", "15x4 1/2-8", "4.5 in", "8 in", Diagonal),
        ("15x4.50-8", "15x4.50-8", "4.5 in", "8 in", Diagonal),
        ("250-15", "250-15", "250 mm", "15 in", Diagonal),
        ("LT245/75R16 load range E", "LT245/75R16 LR E", "245 mm", "16 in", Radial),
        ("P235/75B15", "P235/75B15", "235 mm", "15 in", BiasBelted),
        ("ST205/75R15 LR D", "ST205/75R15 LR D", "205 mm", "15 in", Radial),
        ("7.50-16LT 8 PR tt", "7.50-16 LT 8PR TT", "7.5 in", "16 in", Diagonal),
        ("195/75R16C 107/105R", "195/75R16C 107/105R", "195 mm", "16 in", Radial),
        ("12-16.5 NHS, 10PR, TL", "12-16.5 NHS 10PR TL", "12 in", "16.5 in", Diagonal),
        ("26.5-25 L5 32PR", "26.5-25 32PR L-5", "26.5 in", "25 in", Diagonal),
        ("23.5R25 ** E-3/L-3", "23.5R25 E-3 L-3 **", "23.5 in", "25 in", Radial),
        ("385/65R22.5 160K (158 L)", "385/65R22.5 160K 158L", "385 mm", "22.5 in", Radial),
        ("IF480/80R42 156A8/153D R-1W", "IF480/80R42 R-1W 156A8 153D", "480 mm", "42 in", Radial),
    ]
};

#[test]
fn sidewall_texts_are_read_exactly() {
    for (text, normal, width, rim, construction) in READINGS {
        let designation = read(text);
        assert_eq!(designation.to_string(), normal, "{text}");
        assert_eq!(designation.section_width().base(), length(width), "{text}");
        assert_eq!(designation.rim_diameter().base(), length(rim), "{text}");
        assert_eq!(designation.construction(), Some(construction), "{text}");
        assert_eq!(read(normal), designation, "{text}");
    }
}

#[test]
fn markings_are_typed() {
    let tyre = read("11R22.5 LR H 16PR TL 148/145 L");
    assert_eq!((tyre.load_range(), tyre.ply_rating()), (Some(LoadRange::H), Some(16)));
    assert_eq!(tyre.markings().tube(), Some(Tube::Tubeless));
    let [description] = tyre.markings().descriptions.as_slice() else { panic!("one description") };
    assert_eq!((description.single, description.dual), (148, Some(145)));
    assert_eq!(description.speed, "L");
    assert_eq!(read("11R22.5 LRG").ply_rating(), Some(14));
    assert_eq!(read("11R22.5").ply_rating(), None);
    let [tread] = read("20.5-25 G-2").markings().treads().to_vec()[..] else { panic!("one tread") };
    assert_eq!((tread.series(), tread.number()), ("G", 2));
    assert_eq!(read("16/70-20 IND I-3").markings().services, [Service::Industrial]);
    assert!(read("385/65R22.5 160 K").aspect() == Exact::new(65, 100));
    assert_eq!(read("33x15.5-16.5").named_overall_diameter().map(Quantity::base), Some(length("33 in")));
}

/// Text, normal form: several sizes, another sign, a point left out, markings run into the size.
const VARIANTS: [(&str, &str); 49] = [
    ("4.80/4.00-8", "4.80-8 (4.00-8)"),
    ("4.10-3.50-4", "4.10-4 (3.50-4)"),
    ("18.4/15-34 8PR", "18.4-34 (15-34) 8PR"),
    ("9.5/9-24", "9.5-24 (9-24)"),
    ("13.00/14.00-24 TG", "13.00-24 (14.00-24) TG"),
    ("8.15-15/28x9-15 14PR", "8.15-15 (28x9-15) 14PR"),
    ("225/75-15 (8.15-15) (28x9-15)", "225/75-15 (8.15-15) (28x9-15)"),
    ("460/85R38 = 18.4R38 149A8", "460/85R38 (18.4R38) 149A8"),
    ("18x7-8/4.33 16PR", "18x7-8/4.33 16PR"),
    ("28x9-15/7.00 (8.15-15)", "28x9-15/7.00 (8.15-15)"),
    ("4.00-8/4.00x8", "4.00-8 (4.00x8)"),
    ("18-625", "18-625"),
    ("26x12D380", "26x12-380"),
    ("355/45D380", "355/45-380"),
    ("IN355/55D625", "IN355/55-625"),
    ("530-610", "530-610"),
    ("14.00-24 TT", "14.00-24 TT"),
    ("13.00-24TG", "13.00-24 TG"),
    ("12,5/80-18", "12.5/80-18"),
    ("12,00-20,16PR", "12.00-20 16PR"),
    ("385/65R22,5 160K", "385/65R22.5 160K"),
    ("11,5/80-15,3 14PR", "11.5/80-15.3 14PR"),
    ("10x16.5", "10x16.5"),
    ("14.9x24", "14.9x24"),
    ("29.5x25", "29.5x25"),
    ("16.5Lx16.1", "16.5Lx16.1"),
    ("500/50x17", "500/50x17"),
    ("1400-24", "14.00-24"),
    ("1400x24", "14.00x24"),
    ("750-16", "7.50-16"),
    ("400-8", "4.00-8"),
    ("399R16", "399R16"),
    ("199-8", "199-8"),
    ("185R14C", "185R14C"),
    ("10-16.5/8PR", "10-16.5 8PR"),
    ("6.00-9 /10 P.R.", "6.00-9 10PR"),
    ("12.00-20 18 ply rating tube type", "12.00-20 18PR TT"),
    ("335/80R20 MPT 141K", "335/80R20 MPT 141K"),
    ("MPT 405/70R20", "405/70R20 MPT"),
    ("AT25x8-12 NHS", "AT25x8-12 NHS"),
    ("11R22.5 TR", "11R22.5 TR"),
    ("VF380/90R46 NRO 173D", "VF380/90R46 NRO 173D"),
    ("9.5L-15FI", "9.5L-15 FI"),
    ("LT245/75R16/E", "LT245/75R16 LR E"),
    ("LT235/75R15C", "LT235/75R15 LR C"),
    ("ST205/75R15 D", "ST205/75R15 LR D"),
    ("11R22.5 148/145L H", "11R22.5 LR H 148/145L"),
    ("23.5R25 2*", "23.5R25 **"),
    ("480/80R46 158A8/B tubeless", "480/80R46 TL 158A8 158B"),
];

#[test]
fn every_way_of_writing_a_size_is_read() {
    for (text, normal) in VARIANTS {
        assert_eq!(read(text).to_string(), normal, "{text}");
        assert_eq!(read(normal).to_string(), normal);
    }
    for text in ["10x16.5", "16.5Lx16.1", "1400x24"] {
        assert_eq!(read(text).construction(), None, "{text}");
    }
    // 625 mm is 24.6 in: the code is not taken for inches.
    assert_eq!(read("18-625").rim_diameter().base(), length("625 mm"));
    assert_eq!(read("18x7-8/4.33").named_rim_width().map(Quantity::base), Some(length("4.33 in")));
    assert_eq!(read("12.00-20/8PR").named_rim_width(), None);
    assert_eq!(read("1400-24").section_width().base(), length("14 in"));
    assert_eq!(read("4.80/4.00-8").also.len(), 1);
    assert_eq!(read("23.5R25 3 STARS").markings().stars(), 3);
}

/// A letter on its own is a load range only where a speed symbol cannot stand.
#[test]
fn a_lone_letter_is_asked_for_where_it_may_be_two_things() {
    for text in ["11R22.5 H", "11R22.5 14PR H", "480/80R46 158A8 B"] {
        assert!(matches!(Designation::parse(text).unwrap_err().fault, DesignationFault::LoneLetter { .. }), "{text}");
    }
    assert_eq!(read("7.50-16 LT D").load_range(), Some(LoadRange::D));
    assert!(matches!(Designation::parse("LT245/75R16 K").unwrap_err().fault, DesignationFault::LoadRange(_)));
    assert!(Designation::parse("23.5R25 ****").is_err() && Designation::parse("23.5R25 4*").is_err());
}

#[test]
fn sixteen_is_not_sixteen_and_a_half() {
    // The mismatch that burst all thirty test tyres of the UMTRI report on 16 in tyres on 16.5 in wheels.
    let (small, large) = (read("7.50-16"), read("8-16.5"));
    assert_eq!(large.rim_diameter().difference(small.rim_diameter()).map(Quantity::base), Some(length("0.5 in")));
}

/// Text, byte where reading stops, a piece of the fault, a piece of what was understood, a piece of the cure.
const REFUSALS: [(&str, usize, &str, &str, &str); 36] = [
    ("", 0, "is empty", "nothing", "as the sidewall shows it"),
    ("   ", 3, "is empty", "nothing", "as the sidewall shows it"),
    ("Anymake 23.5-25", 0, "no known prefix", "nothing", "leave out maker"),
    ("31x15.5", 7, "only two numbers", "first number 31", "write `31-15.5`"),
    ("29.5x21", 7, "only two numbers", "second number 21", "add `-` and the rim"),
    ("36x25", 5, "only two numbers", "second number 25", "add `-` and the rim"),
    ("31x15.5x15", 7, "has `x` before the rim", "section width 15.5 in", "put `-`"),
    ("16x6x10 1/2", 4, "press-on", "overall diameter 16 in", "no inside to fill"),
    ("300-16", 0, "3.00 in without its point or 300 mm", "rim 16 in", "write `3.00-16` if"),
    ("200-8", 0, "2.00 in without its point or 200 mm", "rim 8 in", "`200/80-8`"),
    ("8.15-15/28x9-16", 8, "`28x9-16`, which is on another rim", "rim 15 in", "compare both sizes"),
    ("8.15-15 (28x9-16)", 9, "`28x9-16`, which is on another rim", "rim 15 in", "compare both sizes"),
    ("12.00-20 (152D 20)", 15, "number `20` on its own", "rim 20 in, 152D", "write `20PR`"),
    ("7600-49", 0, "outside 2 to 75", "rim 49 in", "compare"),
    ("40x14-1016", 6, "outside 3 to 63", "section width 14 in", "put the point"),
    ("12,000-20", 2, "has `,` where", "section width 12 in", "put `-`"),
    ("17.5 25", 5, "has `2` where", "section width 17.5 in", "put `-`"),
    ("12.-20", 0, "without a digit", "nothing", "decimal point"),
    ("12.000-20", 0, "third decimal", "nothing", "decimal point"),
    ("15x4.1/2-8", 3, "point between", "first number 15", "4 1/2"),
    ("15x4 1/3-8", 3, "halves", "first number 15", "4 1/2"),
    ("385/650R22.5", 4, "outside 15 to 110", "section width 385 mm", "correct the aspect"),
    ("27/12LL-15", 3, "as the aspect, outside", "section width 27 in", "put an `x`"),
    ("88-20", 0, "outside 2 to 75", "nothing", "compare"),
    ("385/65R225", 7, "outside 3 to 63", "radial", "compare"),
    ("385/65R", 7, "no rim diameter", "aspect 65 %", "compare"),
    ("15x7-16", 5, "not above the rim", "section width 7 in", "compare"),
    ("12.00-20 G", 9, "letter `G` on its own", "rim 20 in", "write `LR G`"),
    ("12.00-20 16", 9, "number `16` on its own", "rim 20 in", "write `16PR`"),
    ("12.00-20 16 ply", 9, "count of plies", "rim 20 in", "with `PR`"),
    ("12.00-20 15PR", 9, "even numbers", "rim 20 in", "ply rating"),
    ("12.00-20 LR K", 9, "`K` does not exist", "rim 20 in", "letter on the sidewall"),
    ("12.00-20 LR G 16PR", 14, "load range G, which is ply rating 14", "LR, 16PR", "leave out"),
    ("12.00-20 16PR 18PR", 14, "repeats", "16PR", "once"),
    ("12.00-20 wonderful", 9, "`wonderful`, which is no known", "rim 20 in", "leave it out"),
    ("12.00-20 300K", 9, "`300K`, which is no known", "rim 20 in", "leave it out"),
];

#[test]
fn unreadable_texts_say_what_was_understood() {
    for (text, at, fault, understood, cure) in REFUSALS {
        let error = Designation::parse(text).unwrap_err();
        let message = error.to_string();
        assert_eq!(error.at, at, "{text}: {message}");
        assert!(message.contains(fault), "{text}: {message}");
        assert!(error.understood.contains(understood), "{text}: {message}");
        assert!(error.help().contains(cure), "{text}: {}", error.help());
    }
    let long = "9".repeat(5000);
    let error = Designation::parse(&long).unwrap_err();
    assert_eq!(error.fault, DesignationFault::TooLong);
    assert!(error.to_string().len() < 250);
}

fn width_code() -> impl Strategy<Value = String> {
    prop_oneof![
        (2_u8..75).prop_map(|n| n.to_string()),
        (2_u8..74, 0_u8..10).prop_map(|(n, d)| format!("{n}.{d}")),
        (2_u8..74, 0_u8..100).prop_map(|(n, d)| format!("{n}.{d:02}")),
        (2_u8..74, prop_oneof![Just("1/2"), Just("3/4"), Just("5/8")]).prop_map(|(n, f)| format!("{n} {f}")),
    ]
}

fn size_text() -> impl Strategy<Value = String> {
    prop_oneof![
        (100_u16..1400, 15_u8..110).prop_map(|(w, a)| format!("{w}/{a}")),
        (100_u16..200).prop_map(|w| w.to_string()),
        (width_code(), prop_oneof![Just(""), Just("L"), Just("LL")]).prop_map(|(w, low)| format!("{w}{low}")),
        ("[2-6][0-9]", 25_u8..110).prop_map(|(w, a)| format!("{w}/{a}")),
        (64_u8..180, width_code()).prop_map(|(d, w)| format!("{d}x{w}")),
    ]
}

fn markings_text() -> impl Strategy<Value = String> {
    let one = prop_oneof![
        Just("TL"),
        Just("TT"),
        Just("NHS"),
        Just("LT"),
        Just("IND"),
        Just("16PR"),
        Just("LR H"),
        Just("L-5"),
        Just("E3/L3"),
        Just("R-1W"),
        Just("**"),
        Just("160K"),
        Just("164/160 K"),
        Just("152A8/149B"),
    ];
    proptest::collection::vec(one, 0..5).prop_map(|words| {
        let mut kept: Vec<&str> = Vec::new();
        for word in words {
            let clash = |other: &&str| *other == word || (other.starts_with('T') && word.starts_with('T'));
            if !kept.iter().any(clash) {
                kept.push(word);
            }
        }
        kept.iter().fold(String::new(), |text, word| text + " " + word)
    })
}

proptest! {
    /// What is printed reads back as the same designation, and the numbers written are the numbers read.
    #[test]
    fn printing_and_reading_are_inverse(
        prefix in prop_oneof![Just(""), Just("P"), Just("LT"), Just("ST"), Just("IF"), Just("VF")],
        size in size_text(),
        mark in prop_oneof![Just("-"), Just("R"), Just("B"), Just(" R ")],
        (rim, half) in (3_u8..63, prop_oneof![Just(""), Just(".5"), Just(".1")]),
        markings in markings_text(),
    ) {
        let text = format!("{prefix}{size}{mark}{rim}{half}{markings}");
        let first = Designation::parse(&text);
        prop_assert!(first.is_ok(), "{}: {:?}", text, first);
        let first = first.unwrap();
        prop_assert_eq!(first.name.rim.to_string(), format!("{rim}{half}"));
        prop_assert!(first.bare().starts_with(&size), "{} from {}", first.bare(), text);
        let again = Designation::parse(&first.to_string());
        prop_assert_eq!(again, Ok(first));
    }

    /// No text makes the reader fail in any other way than by its error, which points into the text.
    #[test]
    fn any_text_is_answered(text in "\\PC{0,40}") {
        if let Err(error) = Designation::parse(&text) {
            prop_assert!(text.is_char_boundary(error.at), "{} in {:?}", error.at, text);
            prop_assert!(!error.help().is_empty());
        }
    }

    /// Near misses of real sizes are answered too.
    #[test]
    fn any_size_like_text_is_answered(text in "(LT|P)?[0-9]{1,3}([./x ][0-9]{1,3}){0,2}[LRBD -]{0,2}[0-9./ ]{0,6}[A-Z0-9 */-]{0,10}") {
        match Designation::parse(&text) {
            Ok(designation) => prop_assert_eq!(Designation::parse(&designation.to_string()), Ok(designation)),
            Err(error) => prop_assert!(error.at <= text.len()),
        }
    }
}

/// Ways in which sidewalls and shops write markings; forms from memory.
#[test]
fn markings_are_read_as_sidewalls_write_them() {
    for (text, as_read) in [
        ("12-16.5N.H.S.", "12-16.5 NHS"),
        ("12-16.5 N.H.S. 10 P.R.", "12-16.5 NHS 10PR"),
        ("245/70R19.5 (H)", "245/70R19.5 LR H"),
        ("15.0/55-17 AW", "15.0/55-17 AW"),
    ] {
        assert_eq!(read(text).to_string(), read(as_read).to_string(), "{text}");
        assert_eq!(read(text), read(as_read), "{text}");
    }
    // No tyre is so large across that the first number could be its diameter.
    for text in ["250x15", "300x15"] {
        let found = read(text);
        assert_eq!(found.rim_diameter().base(), length("15 in"), "{text}");
        assert_eq!(found.section_width().base(), length(&format!("{} mm", text.split('x').next().unwrap())), "{text}");
    }
    assert!(Designation::parse("36x25").is_err(), "diameter and width, or width and rim");
}

/// The speeds of symbols, as UN Regulations 54 and 106 list them; MEMORY.
#[test]
fn a_speed_symbol_has_its_speed() {
    for (text, speeds) in [
        ("26.5R25 195A2", &["10 km/h"][..]),
        ("480/80R42 156A8", &["40 km/h"]),
        ("480/80R42 156A8/B", &["40 km/h", "50 km/h"]),
        ("11R22.5 148/145 L", &["120 km/h"]),
        ("385/65R22.5 160K", &["110 km/h"]),
        ("17.5-25", &[]),
    ] {
        let read = read(text);
        let found: Vec<String> =
            read.markings().descriptions().iter().filter_map(|one| Some(one.speed()?.to_string())).collect();
        assert_eq!(found, speeds, "{text}");
    }
    assert!(read("10-16.5 NHS").markings().not_for_highway() && !read("10-16.5").markings().not_for_highway());
}
