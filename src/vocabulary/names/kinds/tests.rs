//! Laws of names by kind, over names of many scripts. The names are invented from given and family names that are usual
//! where the script is written; all of them, and the particles, from memory.

use proptest::prelude::*;

use super::*;

fn is_other_text(of: NameOf, name: &str, other: &str) -> bool {
    PlainWords::of(name).are_other(of, &PlainWords::of(other))
}

fn points_at(name: &str, other: &str) -> bool {
    PlainWords::of(name).point_at(&PlainWords::of(other))
}

/// A lot that is the grade of the system, a person who is the site: only another text of the same record.
#[test]
fn a_name_that_is_another_text_names_nothing() {
    assert!(is_other_text(NameOf::Lot, "LOT firm-55", "Firm 55"));
    assert!(is_other_text(NameOf::Person, "Hollow Tarn", "Hollow Tarn depot, east bay"));
    assert!(!is_other_text(NameOf::Lot, "PS-118", "PS-1180"));
}

/// What forms have for anybody, and what says no more than that there was somebody.
#[test]
fn a_person_of_no_name_is_no_person() {
    for text in ["Tester", "Shop", "Abc", "Guy Person", "Anna Mustermann", "J. Doe", "J. R. Doe", "Night Shop"] {
        assert_eq!(misnomer(NameOf::Person, text), Some(Misnomer::Placeholder), "{text}");
    }
    for text in ["O.", "O", "Ж", "TR", "O.V.", "ЖК", "TRK"] {
        assert_eq!(misnomer(NameOf::Person, text), Some(Misnomer::Short), "{text}");
    }
    for text in ["Guy", "Guy New", "Jeremy Doe", "Abc Tolland", "Ng", "李", "王芳", "ANA", "O. Varga", "Ana Boss"] {
        assert_eq!(misnomer(NameOf::Person, text), None, "{text}");
    }
    assert_eq!(misnomer(NameOf::Instrument, "borrowed"), Some(Misnomer::Kind));
    assert_eq!(misnomer(NameOf::Instrument, "borrowed 2"), None);
}

/// Names of people as they write them themselves.
const PEOPLE: &[&str] = &[
    "Odile Varga",
    "Petra Nwosu-Vale",
    "Søren Ó Briain",
    "Ludwig van der Meer",
    "María José de la Cruz",
    "Ana dos Santos",
    "Omar al-Rashid",
    "Omar ibn Khalid",
    "Gerrit 't Hart",
    "Kumar a/l Rajan",
    "Devi A/P Suresh",
    "Arun s/o Pillai",
    "Clare St. John",
    "Jean d'Arcy",
    "Niall O\u{2019}Neil",
    "Fionn Mac an tSaoir",
    "J. R. Tolland",
    "A.-M. Weiss",
    "Ng",
    "No",
    "Bo Yi",
    "Li Xiaolong",
    "李 小龍",
    "王芳",
    "佐藤 なつみ",
    "ナカムラ ケン",
    "김민준",
    "Мария Иванова",
    "Олександр Коваль",
    "Γιώργος Παπαδόπουλος",
    "გიორგი ბერიძე",
    "Արամ Պետրոսյան",
    "مريم الحسن",
    "דוד כהן",
    "अनिल कुमार",
    "প্রিয়া দাস",
    "சுரேஷ் குமார்",
    "สมชาย ใจดี",
    "አበበ ቢቂላ",
    "Nguyễn Văn An",
    "Nguyen thi Hoa",
    "Łukasz Żak",
    "Çağrı Yılmaz",
    "Ívar Þórsson",
    "John Smith Jr.",
    "John Smith, jr",
    "João Lima filho",
    "Varga, Odile",
    "Robert \"Bob\" Tolland",
    "Kealiʻi Kahale",
    "Siân ap Rhys",
    "Freiherr von und zu Horn",
    "Dolores Ortega y Gasset",
    "Suharto",
    "Guy New",
    "George Foreman",
    "Will Self",
    "Christian Night",
    "Bill Driver",
    "Summer Shift",
    "Ms Bay",
    "DeShawn McCoy",
];

/// What is written where a person belongs, and is none.
const NOBODY: &[&str] = &[
    "shop",
    "ask Odile",
    "true story",
    "Odile Varga (absent)",
    "Odile absent",
    "Odile Varga on leave",
    "Odile Varga / Tobiah Renske",
    "Odile and Wren",
    "Odile Varga & Wren",
    "1234 5678",
    "Odile 2",
    "two of us",
    "who is free",
    "see rota",
    "not yet",
    "Odile's mate",
    "night crew lead",
    "O.V.@shop",
    "Odile: signed",
    "varga",
    "the Scot",
    "whoever was in",
];

#[test]
fn people_pass_and_what_is_nobody_does_not() {
    let held: Vec<_> = PEOPLE.iter().filter(|name| misnomer(NameOf::Person, name).is_some()).collect();
    assert!(held.is_empty(), "{held:?}");
    let passed: Vec<_> = NOBODY.iter().filter(|name| misnomer(NameOf::Person, name).is_none()).collect();
    assert!(passed.is_empty(), "{passed:?}");
}

#[test]
fn what_somebody_of_another_house_does_may_follow_the_name() {
    for name in [
        "Hanne Okonjo, tipping floor",
        "Hanne Okonjo (scrap yard)",
        "Hanne Okonjo",
        "City of Pass Creek, L. Brandt",
        "road foreman Ed Tsosie, Pass Creek county yard",
        "yard lead Hanne Okonjo",
        "Scrap yard, Okonjo",
    ] {
        assert_eq!(misnomer(NameOf::Outsider, name), None, "{name}");
    }
    for name in [
        "tipping floor",
        "owner's man",
        "scrap yard, tipping floor",
        "the yard (Hanne Okonjo)",
        "Hanne Okonjo / Odile Varga",
        "dept 7",
        "the office",
        "The Office",
        "Fleet Office",
        "Shift B",
        "Night Shift, Works Department",
        "M1",
        "OV",
        "H. O.",
        "Supervisor, east bay",
        "Plant Manager",
        "Truck Driver",
        "Okonjo Recycling Ltd.",
        "Werkstatt",
        "Reception",
        "no Hanne Okonjo, scrap yard",
        "not Hanne Okonjo",
        "Hanne Okonjo (not signed)",
        "Hanne Okonjo (refused)",
    ] {
        assert!(misnomer(NameOf::Outsider, name).is_some(), "{name}");
    }
}

#[test]
fn marks_jobs_and_gear_say_more_than_their_kind() {
    let cases: &[(NameOf, &[&str], &[&str])] = &[
        (
            NameOf::Tyre,
            &[
                "loader 4, left front",
                "tyre 2",
                "left front",
                "the Beast, left front",
                "forklift 1, drive left",
                "12",
                "A",
                "Mühle, vorne links",
            ],
            &["tyre", "mark", "the wheel", "the big one", "that loader", "any", "front"],
        ),
        (NameOf::Pump, &["P-1", "old pump, blue", "main", "7", "pump 2"], &["pump", "the pump", "filling pump", "any"]),
        (
            NameOf::Instrument,
            &["G-2", "T-1", "gauge 4", "blue dial east"],
            &["gauge", "pressure gauge", "the thermometer", "probe"],
        ),
        (
            NameOf::Gear,
            &[
                "forklift 2",
                "bay hoist and roller cradle",
                "chain hoist 2",
                "wheel trolley and the landfill's telehandler",
                "crane",
                "by hand",
                "by hand, two people",
            ],
            &[
                "gear",
                "hands",
                "by hand, three people",
                "by hands",
                "four men",
                "4 men",
                "chain from the beam",
                "2",
                "the crew",
                "somehow",
            ],
        ),
        (NameOf::Job, &["HT-0311", "7", "2026-03-04 no 2", "٣١١"], &["rush", "later", "job", "loader"]),
    ];
    for (of, names, nothing) in cases {
        for name in *names {
            assert_eq!(misnomer(*of, name), None, "{of:?}: {name}");
        }
        for name in *nothing {
            assert!(misnomer(*of, name).is_some(), "{of:?}: {name}");
        }
    }
}

#[test]
fn lots_are_numbers_and_nothing_that_holds_their_place() {
    for lot in [
        "PS-118",
        "PL-641",
        "26-0644 B",
        "LOT 4471",
        "K4411-A",
        "20260304",
        "A7C2",
        "0042",
        "X-1187",
        "1187XL",
        "2025 118",
        "PS-1000",
        "GX100",
        // A small maker numbers 1, 2, 3.
        "7",
        "B2",
        "P-1",
        "A1",
        "LOT 55",
        "Lot 22",
        "123",
        "Lot 123",
        "PS-118, 2026-11-30",
        "PS-118, drum 12",
    ] {
        assert_eq!(misnomer(NameOf::Lot, lot), None, "{lot}");
    }
    for lot in [
        "new drum",
        "scratch",
        "PS-XXX",
        "XX-1234",
        "PS-000",
        "today",
        "exp 2026",
        "A-side",
        "without",
        "PS-",
        "PS",
        "drum 2",
        "side A1",
        "1234",
        "12345678",
        "54321",
        "0000",
        "777",
        "ABC-123",
        "PS-1##",
        "PS-4**",
        "use by Nov 2026",
        "iso 1",
        "2 of 4",
    ] {
        assert!(misnomer(NameOf::Lot, lot).is_some(), "{lot}");
    }
}

#[test]
fn two_lots_are_not_one_however_they_are_joined() {
    for lots in [
        "PS-118, PS-119",
        "PS-118 + PS-119",
        "PS-118 / PS-119",
        "PS-118; PS-119",
        "PS-118 & PS-119",
        "PS-118 and PS-119",
        "lot 1, lot 2",
        "lots 1 and 2",
        "PS-118 to PS-121",
        "7,8",
    ] {
        assert_eq!(misnomer(NameOf::Lot, lots), Some(Misnomer::Lots), "{lots}");
    }
    for lot in ["26/0644 B", "2025 118", "LOT 4471, exp 2026-11", "PS-118, 2026-11-30", "batch 0412, drum 3"] {
        assert_ne!(misnomer(NameOf::Lot, lot), Some(Misnomer::Lots), "{lot}");
    }
}

#[test]
fn whoever_is_pointed_at_is_another_one() {
    assert!(points_at("Ask Odile", "Odile Varga") && points_at("see Varga", "Odile Varga"));
    assert!(!points_at("Ask Pedersen", "Odile Varga") && !points_at("Odile", "Odile Varga"));
}

/// A lot as makers number them; the digits in its middle are those of no row and of no zeros.
fn lot() -> impl Strategy<Value = String> {
    ("[A-Z]{0,3}", prop::sample::select(vec!["", "-", " ", "/", "."]), "[0-9]{0,3}", "[0-9]{0,3}", "[A-WYZ]{0,1}")
        .prop_map(|(prefix, sign, before, after, behind)| {
            let prefix = if prefix.len() > 1 && prefix.chars().all(|c| c == 'X') { "PX".to_owned() } else { prefix };
            format!("{prefix}{sign}{before}728{after}{behind}")
        })
}

fn small_word() -> impl Strategy<Value = String> {
    "[a-z]{5,9}".prop_filter("a word that stands beside names", |word| {
        !PARTICLES.contains(word) && !AFTER_NAMES.contains(&word.as_str())
    })
}

proptest! {
    #[test]
    fn names_of_two_scripts_and_a_particle_between_them_are_names(
        one in prop::sample::select(PEOPLE), two in prop::sample::select(PEOPLE), particle in prop::sample::select(PARTICLES.iter().collect::<Vec<_>>()),
    ) {
        prop_assert_eq!(misnomer(NameOf::Person, &format!("{one} {two}")), None);
        prop_assert_eq!(misnomer(NameOf::Person, &format!("{one} {particle} {two}")), None);
    }

    #[test]
    fn a_sign_of_lists_and_sums_spoils_a_name_wherever_it_stands(
        name in prop::sample::select(PEOPLE), sign in prop::sample::select(NO_SIGNS_OF_PERSONS), digit in "[0-9٣४]", at in 0_usize..30,
    ) {
        for sign in [sign.to_string(), digit] {
            let mut text: Vec<char> = name.chars().collect();
            let at = at.min(text.len());
            text.splice(at..at, sign.chars());
            let text: String = text.into_iter().collect();
            prop_assert!(misnomer(NameOf::Person, &text).is_some(), "{}", text);
        }
    }

    #[test]
    fn a_sentence_is_no_name(name in prop::sample::select(PEOPLE), words in prop::collection::vec(small_word(), 1..4)) {
        let words = words.join(" ");
        prop_assert_eq!(misnomer(NameOf::Person, &words), Some(Misnomer::Small));
        let text = format!("{name} {words}");
        prop_assert_eq!(misnomer(NameOf::Person, &text), Some(Misnomer::Small));
        let text = format!("{words} {name}");
        prop_assert_eq!(misnomer(NameOf::Person, &text), Some(Misnomer::Small));
    }

    #[test]
    fn a_lot_of_any_maker_is_one_and_without_its_digits_it_is_none(lot in lot()) {
        prop_assert_eq!(misnomer(NameOf::Lot, &lot), None, "{}", lot);
        let without: String = lot.chars().filter(|c| !c.is_numeric()).collect();
        prop_assert_eq!(misnomer(NameOf::Lot, &without), Some(Misnomer::NoDigit));
        for place in ["X", "x", "0", "#", "*"] {
            let held: String = lot.chars().map(|c| if c.is_numeric() { place.to_owned() } else { c.to_string() }).collect();
            prop_assert!(misnomer(NameOf::Lot, &held).is_some(), "{}", held);
        }
    }

    #[test]
    fn another_text_of_the_record_stays_that_text_however_it_is_written(
        words in prop::collection::vec("[a-z0-9]{1,6}", 1..4), sign in prop::sample::select(vec![" ", "-", ", ", "/", "_"]), label in prop::sample::select(ON_LABELS.iter().collect::<Vec<_>>()),
    ) {
        let other = words.join(" ");
        let name = words.join(sign).to_uppercase();
        prop_assert!(is_other_text(NameOf::Job, &name, &other));
        let core = words.iter().any(|word| !ON_LABELS.contains(word));
        let labelled = format!("{label} {name}");
        prop_assert_eq!(is_other_text(NameOf::Lot, &labelled, &other), core, "{} and {}", name, other);
        let more = format!("{name}q7");
        prop_assert!(!is_other_text(NameOf::Lot, &more, &other), "{} and {}", more, other);
    }
}
