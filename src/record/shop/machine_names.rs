//! The machine and the place on it that a mark or a card names, and whether two names can mean one.
//!
//! Must not know records or facts.

use std::cell::OnceCell;

use super::Shop;
use super::nodes::{items, said, scalar};
use super::sections::{MACHINES, MACHINES_OF, Section, WHEELS};
use crate::document::Node;
use crate::vocabulary::{TyrePlace, plain_name};

/// Words for the place of a tyre, which name no machine.
const PLACES_ON: &[&str] = &[
    "left", "right", "front", "rear", "inner", "outer", "middle", "axle", "lf", "rf", "lr", "rr", "spare", "wheel",
    "tyre", "tire",
];

/// Letters up to which a name may be an abbreviation of another one.
const ABBREVIATION: usize = 3;

/// Put in front of a text that is only a place, so that its words are read as those of a place.
const ANY_MACHINE: &str = "m 1 ";

/// The machine that a text begins with: its words up to the first with a digit, or all of them up to the first comma,
/// without those for the place.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Machine {
    words: Vec<String>,
    /// The digits of its number, if it has one.
    number: String,
}

/// A machine, and what stands in front of its words and behind them.
#[derive(Debug)]
pub(super) struct MachineName {
    pub(super) machine: Machine,
    around: [String; 2],
    /// The place on the machine, where it was asked for.
    place: OnceCell<TyrePlace>,
}

impl MachineName {
    pub(super) fn of(text: &str) -> Self {
        let plain = plain_name(text);
        let comma = plain.find(',').unwrap_or(plain.len());
        let first = Self::read(&plain, 0, comma);
        // `left front, loader 4`: the place may stand first.
        let second = first.machine.is_none().then(|| Self::read(&plain, comma, plain.len()));
        match second {
            Some(second) if !second.machine.words.is_empty() && !second.machine.number.is_empty() => second,
            _ => first,
        }
    }

    /// Reads the machine between two places of a text.
    fn read(plain: &str, from: usize, to: usize) -> Self {
        let (mut words, mut number) = (Vec::new(), String::new());
        let (mut first, mut last) = (None, from);
        let part = plain.get(from..to).unwrap_or_default();
        let mut at = from;
        for word in part.split(|c: char| !c.is_alphanumeric()) {
            let begin = at;
            let end = begin + word.len();
            at = end + plain.get(end..).and_then(|rest| rest.chars().next()).map_or(0, char::len_utf8);
            if word.is_empty() || PLACES_ON.contains(&word) {
                continue;
            }
            first.get_or_insert(begin);
            last = end;
            let letters: String = word.chars().filter(|c| !c.is_numeric()).collect();
            number = word.chars().filter(|c| c.is_numeric()).collect();
            words.extend((!letters.is_empty()).then_some(letters));
            if !number.is_empty() {
                break;
            }
        }
        let text = |range: std::ops::Range<usize>| plain.get(range).unwrap_or_default().to_owned();
        let around = [text(0..first.unwrap_or(from)), text(last..plain.len())];
        Self { machine: Machine { words, number }, around, place: OnceCell::new() }
    }

    /// The place on the machine. In front of its name words count only where they say an end of an axle: a front loader is a
    /// machine, and so is a rear loader.
    pub(super) fn place(&self) -> &TyrePlace {
        self.place.get_or_init(|| {
            let [before, behind] = &self.around;
            let says_side = || TyrePlace::of(&format!("{ANY_MACHINE}{before}")).has_side();
            if !before.is_empty() && says_side() {
                return TyrePlace::of(&format!("{ANY_MACHINE}{before} {behind}"));
            }
            TyrePlace::of(&format!("{ANY_MACHINE}{behind}"))
        })
    }

    /// Whether a card of this name may be that of a tyre.
    pub(super) fn fits(&self, tyre: &Self) -> bool {
        (tyre.machine.is_none() || self.machine.is(&tyre.machine)) && !self.place().says_otherwise(tyre.place())
    }

    /// Whether another name fits a tyre better than this one: it is the name of the machine letter by letter, where this one
    /// is only like it, or it says more of the place.
    pub(super) fn is_bettered(&self, other: &Self, tyre: &Self) -> bool {
        if !other.fits(tyre) {
            return false;
        }
        let is_exact = |named: &Self| named.machine.is_exactly(&tyre.machine);
        match (is_exact(self), is_exact(other)) {
            _ if tyre.machine.is_none() && !self.machine.is_exactly(&other.machine) => false,
            (false, true) if !tyre.machine.is_none() => true,
            (true, false) => false,
            _ => other.place().says_more_than(self.place()),
        }
    }
}

impl Machine {
    /// Whether a text names no machine at all: `left front` of the only one there is.
    pub(super) const fn is_none(&self) -> bool {
        self.words.is_empty() && self.number.is_empty()
    }

    /// Whether the words and the number are the same.
    pub(super) fn is_exactly(&self, other: &Self) -> bool {
        self.number == other.number && self.words.concat() == other.words.concat()
    }

    /// Whether two texts can mean one machine: one number, and one name or an abbreviation of it.
    pub(super) fn is(&self, other: &Self) -> bool {
        if self.number != other.number {
            return false;
        }
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
        let begins = self.number.is_empty() && self.words.iter().zip(&other.words).all(|(one, other)| one == other);
        same_name || begins
    }
}

/// What a card is for: the machine of its mark, and those that it lists.
pub(super) fn names_of(entry: &Node) -> impl Iterator<Item = (&Node, &str)> {
    let listed = items(entry, MACHINES_OF).iter();
    said(entry, "mark").into_iter().chain(listed).filter_map(|node| Some((node, scalar(node)?)))
}

/// The names of every card of machines and of wheels, in the order of the file: they are asked for of every tyre.
#[derive(Debug)]
pub(super) struct CardNames {
    machines: Vec<Vec<MachineName>>,
    wheels: Vec<Vec<MachineName>>,
}

impl CardNames {
    pub(super) fn of(shop: &Shop) -> Self {
        let all = |section: &Section| -> Vec<Vec<MachineName>> {
            let names = |entry: &Node| names_of(entry).map(|(_, name)| MachineName::of(name)).collect();
            items(shop.document().root(), section.key).iter().map(names).collect()
        };
        Self { machines: all(&MACHINES), wheels: all(&WHEELS) }
    }

    /// Those of machines or of wheels, of each card all.
    pub(super) fn of_section(&self, section: &Section) -> &[Vec<MachineName>] {
        if *section == WHEELS { &self.wheels } else { &self.machines }
    }
}

#[cfg(test)]
mod tests;
