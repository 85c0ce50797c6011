//! Whether two texts may name one person, by any way in which names are written: family name first, initials, an addition
//! behind a comma or in brackets.
//!
//! It is asked where two must not be one, so what is open counts as one, and a fuller name settles it. The lists are closed,
//! from memory. This module must not know who people are.

use super::kinds::PlainWords;
use super::words::{WordSet, word_set};
use super::{folded, nothing};

/// Words in front of a name, behind it, or between the parts of one, that tell no person from another.
static TITLES: WordSet = word_set!(
    "behalf dipl dr for fr frau gez herr hr ii iii ing jnr jr junior madam madame miss mlle mme monsieur \
     mr mrs ms mx on per pp ppa prof senior senor senora sgd signed signor signora sir snr sr sra the"
);
/// Company words, ignored when names are compared.
static COMPANIES: WordSet = word_set!(
    "ab ag as bv co company corp depot gmbh inc kg limited llc ltd management office oy plc pty sa sarl \
     shop site srl yard"
);

/// Whether a text may name this person, or name only the family of one.
///
/// ```
/// use fillward::vocabulary::may_name;
/// assert!(may_name("O. Varga", "Odile Varga") && may_name("Varga, Odile (for the yard)", "Odile Varga"));
/// assert!(!may_name("Henrik Varga", "Odile Varga") && !may_name("Odile Marchetti, scrap yard", "Odile Varga"));
/// ```
pub fn may_name(text: &str, person: &str) -> bool {
    let person = points(person);
    let text = text.split(['(', '[']).next().unwrap_or(text);
    let mut parts = text.splitn(2, [',', ';', '/', '\u{2013}', '\u{2014}']);
    let first = parts.next().unwrap_or(text);
    let rest = parts.next();
    // Behind a comma stands what somebody does, or the given name behind that of the family.
    let given = rest.is_some_and(|rest| is_given(rest) && is_of_family(first));
    let alone = !given && is_one(&points(first), &person);
    alone
        || is_one(&points(text), &person)
        || rest.is_some_and(|rest| {
            let points = points(rest);
            rest.contains(' ') && points.told.len() > 1 && is_one(&points, &person)
        })
}

/// What stands behind a name to tell father and son apart.
const YOUNGER: &[&str] = &["jr", "jnr", "jun", "junior", "filho", "fils", "neto", "ii", "iii", "iv"];
const ELDER: &[&str] = &["sr", "snr", "sen", "senior", "pere"];

/// Whether two texts may be the name of one person, written in two ways.
///
/// ```
/// use fillward::vocabulary::may_be_one;
/// assert!(may_be_one("T. Renske", "Tobiah Renske") && may_be_one("Tobiah Renske", "Tobiah"));
/// assert!(!may_be_one("Tobiah Renske", "Mara Renske") && !may_be_one("Karl Voss jun.", "Karl Voss sen."));
/// ```
pub fn may_be_one(one: &str, other: &str) -> bool {
    let last = |text: &str| name_words(text).pop().unwrap_or_default();
    let (of_one, of_other) = (last(one), last(other));
    let is = |list: &[&str], word: &String| list.contains(&word.as_str());
    let apart =
        |one: &String, other: &String| is(YOUNGER, one) && (is(ELDER, other) || is(YOUNGER, other) && one != other);
    let told = apart(&of_one, &of_other) || apart(&of_other, &of_one);
    !told && (may_name(one, other) || may_name(other, one))
}

/// Whether a text names a house, by its words without those of every company: `Hollow Tarn Ltd` for `Hollow Tarn depot,
/// bay 2`.
pub fn may_name_house(text: &str, house: &str) -> bool {
    let text = text.split([',', '(', ';']).next().unwrap_or(text);
    let without = |text: &str| {
        let words =
            name_words(text).into_iter().filter(|word| !COMPANIES.contains(word.as_str()) && !nothing::is_part(word));
        words.collect::<Vec<_>>().join(" ")
    };
    let (plain, house) = (without(text), without(house));
    !plain.is_empty() && {
        let (plain, house) = (PlainWords::of(&plain), PlainWords::of(&house));
        plain.are_other(super::NameOf::Outsider, &house)
    }
}

fn name_words(text: &str) -> Vec<String> {
    let folded = folded(text);
    folded.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

/// A name without its titles.
struct Points {
    /// All its words.
    words: Vec<String>,
    /// Those that tell a person from another: without the particles.
    told: Vec<String>,
}

/// What is a particle in one language is a given name in another: `van der Meer`, `Nguyen Van An`. So it is dropped
/// only where a word that is none follows; and of two words none is dropped.
fn points(text: &str) -> Points {
    let mut words = name_words(text);
    words.retain(|word| !TITLES.contains(word.as_str()) && !nothing::is_part(word));
    let last = words.iter().rposition(|word| !is_particle(word)).unwrap_or(0);
    let is_dropped = |(at, word): &(usize, &String)| words.len() > 2 && *at < last && is_particle(word);
    let told = words.iter().enumerate().filter(|word| !is_dropped(word)).map(|(_, word)| word.clone()).collect();
    Points { words, told }
}

fn is_particle(word: &str) -> bool {
    super::kinds::is_particle(word) && word.chars().count() > 1
}

/// Whether a text is one word, but for titles and particles, as in front of the comma of `van der Meer, Ludwig`.
fn is_of_family(text: &str) -> bool {
    let words = points(text).words;
    let told = words.iter().filter(|word| !is_particle(word)).count();
    told == 1 || told == 0 && words.len() == 1
}

/// Whether a text behind a comma is a given name: one or two words with capitals, and no part that somebody plays.
fn is_given(text: &str) -> bool {
    let words: Vec<&str> = text.split_whitespace().collect();
    let named = |word: &&str| word.chars().next().is_some_and(char::is_uppercase) && !nothing::is_part(&folded(word));
    (1..=2).contains(&words.len()) && words.iter().all(named)
}

/// Whether every point of the one is a point of the other, an initial standing for any that begins with it; or every word of
/// the one a word of the other. Of the shorter name one point is enough only where it is the text that is asked about.
fn is_one(text: &Points, person: &Points) -> bool {
    let within = |one: &Points, other: &Points| {
        is_within(&one.told, &other.told) || one.words.iter().all(|word| other.words.contains(word))
    };
    !text.told.is_empty() && within(text, person) || person.told.len() > 1 && within(person, text)
}

fn is_within(points: &[String], other: &[String]) -> bool {
    let mut left: Vec<&String> = other.iter().collect();
    let mut initials = Vec::new();
    for point in points {
        match left.iter().position(|word| *word == point) {
            Some(at) => drop(left.swap_remove(at)),
            None => initials.push(point),
        }
    }
    initials.into_iter().all(|point| {
        let short = |word: &str| word.chars().count() == 1;
        let stands = |word: &String| {
            (short(point) && word.starts_with(point.as_str())) || (short(word) && point.starts_with(word.as_str()))
        };
        let at = left.iter().position(|word| stands(word));
        at.map(|at| left.swap_remove(at)).is_some()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const CREW: &[&str] = &[
        "Odile Varga",
        "Tobiah Renske",
        "Petra Nwosu-Vale",
        "J. R. Tolland",
        "Ludwig van der Meer",
        "Søren Ó Briain",
        "Suharto",
        "Ng",
    ];

    #[test]
    fn whoever_is_another_is_another() {
        for text in [
            "Hanne Okonjo, tipping floor",
            "Okonjo Recycling Ltd., Hanne Okonjo",
            "Henrik Varga, Varga Aggregates",
            "Odile Marchetti, scrap yard",
            "H. Okonjo",
            "Varga, Henrik",
            "Renske-Okonjo, Hanne",
            "Bo Ng",
            "Wei Ng",
            "Ludwig Meyer",
            "Varga Aggregates",
        ] {
            let held: Vec<_> = CREW.iter().filter(|person| may_name(text, person)).collect();
            assert!(held.is_empty(), "{text}: {held:?}");
        }
        assert!(may_name("Hollow Tarn", "Hollow Tarn") && may_name_house("Hollow Tarn", "Hollow Tarn depot, east bay"));
        assert!(may_name_house("Hollow Tarn Ltd.", "Hollow Tarn depot, east bay"));
        for text in ["Tarn", "Hanne Okonjo", "Okonjo Recycling Ltd., Hanne Okonjo", "Rufus Tarn-Ellery"] {
            assert!(!may_name_house(text, "Hollow Tarn depot, east bay"), "{text}");
        }
    }

    #[test]
    fn the_family_alone_and_what_somebody_does_hide_nobody() {
        for text in [
            "Varga",
            "Varga, supervisor",
            "Mrs Varga",
            "Odile",
            "O. V.",
            "ODILE VARGA",
            "Odile Varga, for the owner",
            "pp O. Varga",
            "Varga Odile",
            "Varga, O.",
            "Okonjo Recycling, Odile Varga",
        ] {
            assert!(may_name(text, "Odile Varga"), "{text}");
        }
    }

    #[test]
    fn two_of_the_crew_are_told_apart_by_a_point_of_their_own() {
        for [one, other] in [
            ["Tobiah Renske", "T. Renske"],
            ["Tobiah Renske", "Renske Tobiah"],
            ["Tobiah Renske", "Renske, Tobiah"],
            ["Tobiah", "Tobiah Renske"],
            ["TOBIAH RENSKE", "Mr Renske"],
            ["Tobiah Renske jr", "Tobiah Renske"],
        ] {
            assert!(may_be_one(one, other) && may_be_one(other, one), "{one} and {other}");
        }
        for [one, other] in [
            ["Tobiah Renske", "Mara Renske"],
            ["Tobiah Renske", "Tobiah Lind"],
            ["Karl Voss jun.", "Karl Voss sen."],
            ["Karl Voss II", "Karl Voss III"],
            ["Odile Varga", "Wren Castellane"],
        ] {
            assert!(!may_be_one(one, other) && !may_be_one(other, one), "{one} and {other}");
        }
        for (at, one) in CREW.iter().enumerate() {
            for other in CREW.iter().skip(at + 1) {
                assert!(!may_be_one(one, other), "{one} and {other}");
            }
        }
    }

    #[test]
    fn a_particle_that_is_a_given_name_tells_people_apart() {
        for [one, other] in [
            ["Nguyễn Văn An", "Nguyễn Thị Bình"],
            ["Nguyen An", "Nguyen Binh"],
            ["Nguyen Thi An", "Nguyen Van An"],
            ["Van Dyke An", "Van Dyke Bo"],
            ["Van Nguyen", "Binh Nguyen"],
            ["Le An", "Le Binh"],
            ["de Boer, Jan", "Piet de Boer"],
        ] {
            assert!(!may_be_one(one, other) && !may_be_one(other, one), "{one} and {other}");
        }
        for [one, other] in [
            ["Nguyen Van An", "Nguyen An"],
            ["Nguyen An", "An Nguyen"],
            ["Nguyen Van An", "N. V. A."],
            ["An", "Nguyen Van An"],
            ["van der Meer", "Ludwig van der Meer"],
            ["Van Dyke, supervisor", "Bo Van Dyke"],
            ["van Dyke, Bo", "Bo Van Dyke"],
            ["Meer, Ludwig van der", "Ludwig van der Meer"],
            ["Meer, L. van der", "Ludwig van der Meer"],
            ["Ludwig Meer", "Ludwig van der Meer"],
        ] {
            assert!(may_be_one(one, other) && may_be_one(other, one), "{one} and {other}");
        }
    }

    /// Words that are particles in one language and given names in another.
    const BOTH: &[&str] = &["An", "Van", "Thi", "La", "Mac", "Ben", "Al", "Dos", "Tu", "Im", "Ka", "Le", "Te", "Ni"];

    proptest! {
        /// Whatever the given name is in another language, two who share that of their family are two, and however
        /// the name of one is written it is one.
        #[test]
        fn a_given_name_is_one_whatever_it_is_elsewhere(
            family in "[A-Z][a-z]{4,8}", given in prop::sample::select(BOTH), other in prop::sample::select(BOTH),
            middle in prop::sample::select(BOTH), plain in "[A-Z][a-z]{4,7}", way in 0usize..7,
        ) {
            let taken = |word: &String| !points(word).told.is_empty() && !is_particle(&word.to_lowercase());
            prop_assume!(given != other && middle != given && middle != other && family != plain);
            prop_assume!(taken(&family) && taken(&plain));
            let person = format!("{family} {given}");
            for another in [format!("{family} {other}"), format!("{other} {family}"), format!("{family} {plain}"), format!("{plain} {family}")] {
                prop_assert!(!may_be_one(&person, &another) && !may_be_one(&another, &person), "{} and {}", person, another);
            }
            let long = format!("{family} {middle} {given}");
            let another = format!("{family} {middle} {other}");
            prop_assert!(!may_be_one(&long, &another) && !may_be_one(&another, &long), "{} and {}", long, another);
            let text = match way {
                0 => format!("{given} {family}"),
                1 => format!("{family}, {given}"),
                2 => long,
                3 => person.to_uppercase(),
                4 => format!("Mr {family}"),
                5 => format!("{family} {}.", given.chars().take(1).collect::<String>()),
                _ => format!("{person} (for the yard)"),
            };
            prop_assert!(may_be_one(&text, &person) && may_be_one(&person, &text), "{} and {}", text, person);
        }

        /// A particle in front of the name of a family is a part of it, wherever the given name stands, and where it
        /// is left out.
        #[test]
        fn a_family_with_particles_is_one_family(
            given in "[A-Z][a-z]{4,7}", family in "[A-Z][a-z]{4,8}", other in "[A-Z][a-z]{4,7}",
            particle in prop::sample::select(vec!["van", "van der", "de", "de la", "von und zu"]),
        ) {
            let taken = |word: &String| !points(word).told.is_empty() && !is_particle(&word.to_lowercase());
            prop_assume!([&given, &family, &other].into_iter().all(taken) && given != family && other != given && other != family);
            let person = format!("{given} {particle} {family}");
            let initial = given.chars().take(1).collect::<String>();
            for text in [
                format!("{particle} {family}"),
                format!("{family}, {given} {particle}"),
                format!("{particle} {family}, {given}"),
                format!("{given} {family}"),
                format!("{initial}. {particle} {family}"),
                format!("{particle} {family}, supervisor"),
            ] {
                prop_assert!(may_be_one(&text, &person) && may_be_one(&person, &text), "{} and {}", text, person);
            }
            let another = format!("{other} {particle} {family}");
            prop_assert!(!may_be_one(&another, &person) && !may_be_one(&person, &another), "{} and {}", another, person);
        }

        /// Whatever is done to the name of a person by the ways in which names are written, it may still be that person; and
        /// with another given name written out it is not.
        #[test]
        fn a_name_in_another_order_or_short_is_the_same(
            given in "[A-Z][a-z]{2,7}", family in "[A-Z][a-z]{3,8}", other in "[A-Z][a-z]{2,7}", way in 0usize..8, addition in prop::sample::select(vec!["", ", supervisor", " (for the yard)", ", tipping floor"]),
        ) {
            let taken = |word: &String| !points(word).told.is_empty() && !super::super::kinds::is_particle(&word.to_lowercase());
            prop_assume!([&given, &family, &other].into_iter().all(taken) && given != family && other != given && other != family);
            let person = format!("{given} {family}");
            let [g, f] = [&given, &family].map(|name| name.chars().take(1).collect::<String>());
            let text = match way {
                0 => person.clone(),
                1 => format!("{family} {given}"),
                2 => format!("{family}, {given}"),
                3 => format!("{g}. {family}"),
                4 => format!("{given} {f}."),
                5 => format!("Mr {family}"),
                6 => format!("{given} Q. {family}"),
                _ => person.to_uppercase(),
            };
            let text = if way == 2 && addition.starts_with(',') { text } else { format!("{text}{addition}") };
            prop_assert!(may_name(&text, &person), "{} and {}", text, person);
            prop_assert!(may_be_one(&text, &person) && may_be_one(&person, &text), "{} and {}", text, person);
            let another = format!("{other} {family}{addition}");
            prop_assert!(!may_name(&another, &person), "{} and {}", another, person);
        }
    }
}
