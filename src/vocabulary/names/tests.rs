use proptest::prelude::*;

use super::*;

#[test]
fn a_word_of_two_alphabets_names_nothing() {
    // Cyrillic a, er and es, Greek omicron and rho, among Latin letters and the other way round.
    for text in ["Odile V\u{430}rga", "\u{420}S-118", "P\u{421}-118", "l\u{3bf}ader 4", "\u{3a1}S118", "\u{41c}apия"]
    {
        assert_eq!(name_fault(text), Some(NameFault::TwoAlphabets), "{text}");
    }
    // Each word in one; scripts that nobody takes for another; signs that every alphabet uses.
    for text in ["погрузчик loader 4", "CAT-погрузчик 2", "A区 3", "Søren Ó Briain", "\u{b5}-meter 4", "Ελ 12", "T恤 2"]
    {
        assert_eq!(name_fault(text), None, "{text}");
    }
}

/// The reference is the table of Unicode's confusables.txt as the crate `unicode-security` has it: character by
/// character, and in texts of them.
#[test]
fn a_text_of_ascii_looks_as_unicode_says() {
    let ascii: String = (' '..='~').collect();
    for c in ascii.chars() {
        assert_eq!(shape(&c.to_string()), skeleton(&c.to_string()).collect::<String>(), "{c:?}");
    }
    for start in 0..ascii.len() {
        let text = ascii.get(start..).unwrap();
        assert_eq!(shape(text), skeleton(text).collect::<String>(), "{text:?}");
    }
}

const HONEST: &[&str] = &[
    "A",
    "B",
    "7",
    "12",
    "X-1",
    "XL",
    "No. 7",
    "No",
    "Ng",
    "Ø",
    "李",
    "O'Neil",
    "O\u{2019}Neil",
    "J. R.",
    "HT-0311",
    "G-2",
    "PS-118",
    "loader 4, left front",
    "east bay floor",
    "Søren Ó Briain",
    "Мария Иванова",
    "李 小龍",
    "forklift 2",
    "P-1",
    "1",
    "10",
    "007",
    "Guy",
    "Guy New",
    "Guy Will",
    "A. Guy",
    "George Foreman",
    "Doc",
    "Mark",
    "Job",
    "Lot 7",
    "Dee Boss",
    "Junior",
    "Me Me Khine",
    "Seeley",
    "See Tho",
    "J. R. Tolland",
    "K.A.",
    "N. O.",
    "S. O.",
    "Will Self",
    "Jan Niemand",
    "Nadia",
    "Idema",
    "Ann Other-Smith",
    "Xi",
    "何",
    "佘",
    "なつ",
    "김무명희",
    "Łukasz",
    "Нина",
    "tyre 2",
    "drum 4",
    "helper's jack",
    "crew bus 3",
    "customer yard, gate 2",
    "see-saw trailer",
    "check-in tug 4",
    "test bench",
    "old press, left",
    "new loader, right front",
    "other yard",
    "AAA",
    "T1",
    "a/b",
    "#3",
    "N-A-7",
    "Noah",
    "Nils",
    "Anil",
    "Nilsson",
    "Various Tyres Ltd",
    "Xx1",
    "TBC-4",
    "Unknown 3",
    "مريم",
    "ナカムラ",
    "3½",
];

const SAYS_NOTHING: &[&str] = &[
    "night shift",
    "agency man",
    "Leiharbeiter",
    "signed",
    "left empty",
    "N. N.",
    "Foreman",
    "label torn",
    "LOT NO",
    "isocyanate",
    "the new guy",
    "New guy",
    "that other bloke",
    "see label",
    "See drum.",
    "see above",
    "same as above",
    "as above",
    "same",
    "same as last time",
    "N/A N/A",
    "n.a., n.a.",
    "tbd later",
    "TBC (later)",
    "to be confirmed today",
    "name unknown",
    "lot not given",
    "anywhere",
    "somewhere",
    "operator",
    "Operator 2",
    "the helper",
    "operator/helper",
    "helper and operator",
    "technician on duty",
    "me",
    "myself",
    "John Doe",
    "JANE DOE",
    "A. N. Other",
    "k.A.",
    "k. A.",
    "s/o",
    "S/O",
    "s.o.",
    "н/д",
    "unbekannt",
    "siehe oben",
    "Siehe Etikett",
    "inconnu",
    "à préciser",
    "voir ci-dessus",
    "desconocido",
    "ver etiqueta",
    "sconosciuto",
    "onbekend",
    "n.v.t.",
    "okänd",
    "nieznany",
    "не указано",
    "неизвестно",
    "bilinmiyor",
    "未知",
    "不明",
    "없음",
    "مجهول",
    "अज्ञात",
    "0",
    "000",
    "0-0",
    "aaaa",
    "zzzzz",
    "qwerty",
    "test",
    "batch number",
    "your name",
    "орerаtоr",
    "",
    " ",
    "-",
    "—",
    "––",
    "...",
    "…",
    "?",
    "???",
    "n.a.",
    "n/a",
    "N/A",
    "N. A.",
    "TBC",
    "t.b.c.",
    "tba",
    "T.B.D.",
    "nobody",
    "Nobody.",
    "none",
    "(none)",
    "unknown",
    "Unknown!",
    "x",
    "X",
    "xxx",
    "x-x-x",
    "х",
    "ｎ／ａ",
    "ｘ",
    "nоne",
    "unknоwn",
    "\u{17b4}",
    "\u{200d}",
    "\u{3164}",
    "\u{ffa0}",
    "\u{115f}",
    "ـــ",
    "ー",
    "№",
    "☐",
    "·",
    "´",
    "to be confirmed",
    "not known",
    "\u{a0}",
    "\u{2800}",
    "✓",
    "\u{301}",
];

#[test]
fn honest_names_are_names() {
    for name in HONEST {
        assert_eq!(name_fault(name), None, "{name:?}");
    }
}

#[test]
fn what_is_written_where_nothing_is_known_is_no_name() {
    let names: Vec<&str> =
        SAYS_NOTHING.iter().copied().filter(|text| name_fault(text) != Some(NameFault::SaysNothing)).collect();
    assert!(names.is_empty(), "{names:?}");
}

#[test]
fn a_question_mark_is_a_guess() {
    for text in ["?? Renske", "Renske?", "PS-1?8", "G-2 (?)", "王\u{ff1f}"] {
        assert_eq!(name_fault(text), Some(NameFault::Guessed), "{text:?}");
    }
}

proptest! {
    /// What is told by the first words is what the plain names tell.
    #[test]
    fn what_begins_otherwise_has_another_plain_name(one in "[aA -]{0,3}[aAbé -]{0,4}", other in "[aA -]{0,3}[aAbé -]{0,4}") {
        prop_assert_eq!(names_one_thing(&one, &other), one == other || plain_name(&one) == plain_name(&other));
    }

    /// What is one name is never two entries: whatever compares as one thing also looks alike.
    #[test]
    fn what_names_one_thing_looks_alike(words in prop::collection::vec("[A-Za-z0-9éØß]{1,6}", 1..4), signs in prop::collection::vec(prop::sample::select(vec![" ", "-", "\u{2010}", " - "]), 3), upper: bool) {
        let one = words.join(" ");
        let other: String = words.iter().enumerate().map(|(at, word)| if at == 0 { word.clone() } else { format!("{}{word}", signs[at - 1]) }).collect();
        let other = if upper { other.to_lowercase() } else { other };
        prop_assert!(names_one_thing(&one, &other), "{} and {}", one, other);
        prop_assert!(Look::of(&one).is_like(&Look::of(&other)), "{} and {}", one, other);
        let run = words.concat();
        prop_assert_eq!(names_one_thing(&run, &one), words.len() == 1);
    }
}

#[test]
fn names_that_print_alike_are_alike() {
    let like = |one: &str, other: &str| Look::of(one).is_like(&Look::of(other));
    for (one, other) in [
        ("G-2", "g-2"),
        ("G-A", "G-\u{410}"),
        ("G-0", "G-O"),
        ("L-1", "L-l"),
        ("Ivo", "lvo"),
        ("Søren", "SØREN"),
        ("G\u{2010}2", "G-2"),
        ("G 2", "G-2"),
        ("T - 1", "T-1"),
        ("é", "e\u{301}"),
        ("modern", "modem"),
    ] {
        assert!(like(one, other), "{one} and {other}");
    }
    for (one, other) in [("G-2", "G-3"), ("1-1", "11"), ("left front", "right front"), ("A", "B"), ("李", "王")] {
        assert!(!like(one, other), "{one} and {other}");
    }
}

/// Characters that show nothing, blanks, and punctuation.
fn mute() -> impl Strategy<Value = char> {
    let silent = (0..=0x0010_ffff_u32).filter_map(char::from_u32).filter(|c| unseen_in_name(*c).is_some());
    let silent: Vec<char> = silent.collect();
    let marks: Vec<char> =
        (' '..='~').filter(|c| !c.is_ascii_alphanumeric()).chain("—–‐…·•“”’«»¿¡※。、・".chars()).collect();
    prop_oneof![prop::sample::select(silent), prop::sample::select(marks)]
}

proptest! {
    #[test]
    fn what_shows_neither_letter_nor_digit_names_nothing(text in prop::collection::vec(mute(), 0..12)) {
        let text: String = text.into_iter().collect();
        prop_assert_eq!(name_fault(&text), Some(NameFault::SaysNothing));
    }

    #[test]
    fn what_nobody_sees_spoils_a_name_wherever_it_stands(name in prop::sample::select(HONEST), c in mute(), at in 0_usize..20) {
        let mut text: Vec<char> = name.chars().collect();
        text.insert(at.min(text.len()), c);
        let text: String = text.into_iter().collect();
        let guessed = text.contains(['?', '\u{bf}', '\u{ff1f}']);
        prop_assert_eq!(name_fault(&text).is_some(), unseen_in_name(c).is_some() || guessed || text.trim() != text || text.contains("  "));
    }

    #[test]
    fn a_name_is_like_itself_in_any_case(name in prop::sample::select(HONEST)) {
        prop_assert!(Look::of(name).is_like(&Look::of(&name.to_uppercase())));
        prop_assert!(Look::of(name).is_like(&Look::of(&name.to_lowercase())));
    }
}

/// A stroke stands in a name within a word for `son of`, between two names, and nowhere else.
#[test]
fn a_stroke_is_no_name_by_itself() {
    for text in ["Kumar a/l", "a/l Rajan", "Kumar a/x Rajan", "Kumar/Rajan", "Kumar a/l/p Rajan", "a/l"] {
        assert_eq!(misnomer(NameOf::Person, text), Some(Misnomer::Sign('/')), "{text}");
    }
}
