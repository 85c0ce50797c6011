//! Whether a card is of the machine on which a tyre goes: by the name of the machine, with which the mark of the tyre begins.
//!
//! A card of another machine brings another load and another pressure, and agrees with itself. Must not know facts.

use super::expand::Expander;
use super::nodes::{further, items, said, scalar};
use super::refusals;
use super::sections::{MACHINES, MACHINES_OF};
use crate::document::Node;
use crate::vocabulary::plain_name;

/// Words for the place of a tyre, which name no machine.
const PLACES_ON: &[&str] = &[
    "left", "right", "front", "rear", "inner", "outer", "middle", "axle", "lf", "rf", "lr", "rr", "spare", "wheel",
    "tyre", "tire",
];

/// Letters up to which a name may be an abbreviation of another one.
const ABBREVIATION: usize = 3;

/// The machine that a text begins with: its words up to the first with a digit, or all of them up to the first comma, without
/// those for the place.
#[derive(Debug, PartialEq, Eq)]
struct Machine {
    words: Vec<String>,
    /// The digits of its number, if it has one.
    number: String,
}

impl Machine {
    fn of(text: &str) -> Self {
        let plain = plain_name(text.split(',').next().unwrap_or(text)).into_owned();
        let mut words = Vec::new();
        let mut number = String::new();
        for word in plain.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()) {
            if PLACES_ON.contains(&word) {
                continue;
            }
            let letters: String = word.chars().filter(|c| !c.is_numeric()).collect();
            number = word.chars().filter(|c| c.is_numeric()).collect();
            words.extend((!letters.is_empty()).then_some(letters));
            if !number.is_empty() {
                break;
            }
        }
        Self { words, number }
    }

    /// Whether a text names no machine at all: `left front` of the only one there is.
    const fn is_none(&self) -> bool {
        self.words.is_empty() && self.number.is_empty()
    }

    /// Whether two texts can mean one machine: one number, and one name or an abbreviation of it.
    fn is(&self, other: &Self) -> bool {
        let name = |machine: &Self| machine.words.concat();
        let initials = |machine: &Self| machine.words.iter().filter_map(|word| word.chars().next()).collect::<String>();
        let short = |one: &Self, other: &Self| {
            let one_name = name(one);
            one_name.chars().count() <= ABBREVIATION
                && !one_name.is_empty()
                && (initials(other) == one_name || name(other).starts_with(&one_name))
        };
        let same_name = name(self) == name(other) || short(self, other) || short(other, self);
        // Without numbers the one may say more than the other: `front loader`, `front loader of the quarry`.
        let begins = self.number.is_empty()
            && other.number.is_empty()
            && self.words.iter().zip(&other.words).all(|(one, other)| one == other);
        self.number == other.number && (same_name || begins)
    }
}

impl Expander<'_> {
    /// Refuses the card of another machine than the mark of the assembly names.
    pub(super) fn of_this_machine(&mut self, assembly: &Node, named: &Node) {
        let (Some(shop), Some(card)) = (self.shop, scalar(named)) else { return };
        let Some(mark) = said(assembly, "mark") else { return };
        let Some((_, entry)) = shop.find(MACHINES.key, card) else { return };
        let ours = Machine::of(scalar(mark).unwrap_or_default());
        let is_ours = |text: &str| Machine::of(text).is(&ours);
        let is_listed = items(entry, MACHINES_OF).iter().filter_map(scalar).any(is_ours);
        if ours.is_none() || is_ours(card) || is_listed {
            return;
        }
        let cards: Vec<&str> = shop.marks(MACHINES.key).into_iter().filter(|card| is_ours(card)).collect();
        let place = said(entry, "mark").map_or(named.span, |own| further(own.span, self.base));
        let machine = scalar(mark).unwrap_or_default().split(',').next().unwrap_or_default().trim().to_owned();
        self.refuse(refusals::other_machine(card, (named.span, mark.span, place), &machine, &cards));
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn is_one(card: &str, mark: &str) -> bool {
        Machine::of(card).is(&Machine::of(mark))
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
}
