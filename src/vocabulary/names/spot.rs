//! Where on a machine a tyre goes, read off its mark: `loader 4, left front`, `Radlader 3 VL`, `unit 22 N/S/F`.
//!
//! The words of a place are a closed list, from memory, as workshops write them in several languages; the rest of a mark
//! is the machine. A word short enough to be a part of many names counts only beside another word of a place. What a mark
//! does not say is left open; nothing is guessed from the number of tyres. This module must not know tyres.

mod words;

pub(super) use words::mark_words;
use words::plain_parts;

/// One thing that the words of a place say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum PlaceWord {
    Front,
    Rear,
    Middle,
    Left,
    Right,
    /// At the kerb, which is left or right by the country.
    Near,
    Off,
    Driver,
    Passenger,
    Inner,
    Outer,
}

use PlaceWord::{Driver, Front, Inner, Left, Middle, Near, Off, Outer, Passenger, Rear, Right};

/// Words of a place wherever they stand, in small letters without accents.
const WORDS: &[(&[&str], &[PlaceWord])] = &[
    (
        &[
            "front",
            "forward",
            "avant",
            "vorn",
            "vorne",
            "vorderachse",
            "delantera",
            "delantero",
            "anteriore",
            "voor",
            "fram",
        ],
        &[Front],
    ),
    (
        &["rear", "back", "arriere", "hinten", "hinterachse", "trasera", "trasero", "posteriore", "achter", "bak"],
        &[Rear],
    ),
    (&["middle", "mid", "centre", "center", "mitte"], &[Middle]),
    (
        &[
            "left",
            "lh",
            "lhs",
            "links",
            "gauche",
            "izquierda",
            "izquierdo",
            "sinistra",
            "sinistro",
            "vanster",
            "venstre",
        ],
        &[Left],
    ),
    (
        &[
            "right", "rh", "rhs", "rechts", "droite", "droit", "derecha", "derecho", "destra", "destro", "hoger",
            "hoyre", "hojre",
        ],
        &[Right],
    ),
    (&["nearside", "ns", "kerbside", "curbside"], &[Near]),
    (&["offside", "os"], &[Off]),
    (&["driver", "drivers"], &[Driver]),
    (&["passenger", "passengers"], &[Passenger]),
    (&["inner", "inside", "innen", "interieur"], &[Inner]),
    (&["outer", "outside", "aussen", "exterieur"], &[Outer]),
    (&["lf", "fl", "vl", "avg", "lhf", "flh"], &[Front, Left]),
    (&["rf", "fr", "vr", "avd", "rhf", "frh"], &[Front, Right]),
    (&["lr", "rl", "hl", "arg", "lhr", "rlh"], &[Rear, Left]),
    (&["rr", "hr", "ard", "rhr", "rrh"], &[Rear, Right]),
    (&["nsf", "fns"], &[Front, Near]),
    (&["osf", "fos"], &[Front, Off]),
    (&["nsr", "rns"], &[Rear, Near]),
    (&["osr", "ros"], &[Rear, Off]),
    (&["lro", "rlo"], &[Rear, Left, Outer]),
    (&["lri", "rli"], &[Rear, Left, Inner]),
    (&["rro"], &[Rear, Right, Outer]),
    (&["rri"], &[Rear, Right, Inner]),
];

/// Words that are of a place only beside another one.
const BESIDE: &[(&[&str], &[PlaceWord])] = &[
    (&["f", "av", "va", "vo"], &[Front]),
    (&["ar", "ha", "hi"], &[Rear]),
    (&["l", "li", "g", "izq", "sx"], &[Left]),
    (&["r", "re", "d", "der", "dx"], &[Right]),
];

/// Words of an axle that a number follows, or an ordinal precedes.
const AXLES: &[&str] = &["axle", "achse", "essieu", "eje", "asse", "axel", "aksel"];
/// Axles by what they do.
const NAMED_AXLES: &[&str] =
    &["drive", "driving", "driven", "steer", "steering", "trailing", "tag", "pusher", "tandem", "bogie"];
const ORDINALS: &[(&[&str], &str)] = &[
    (&["first", "1st", "1er"], "1"),
    (&["second", "2nd", "2e"], "2"),
    (&["third", "3rd", "3e"], "3"),
    (&["fourth", "4th", "4e"], "4"),
];
/// Words that a number of a wheel follows.
const NUMBERED: &[&str] =
    &["pos", "position", "posn", "wheel", "tyre", "tire", "rad", "reifen", "roue", "pneu", "station"];
/// Words for a number; of the wheel where the machine has one already.
const NUMBERS: &[&str] = &["no", "n", "nr", "num", "number"];
/// Words beside those of a place that say nothing more.
const FILLERS: &[&str] = &["side", "hand", "hd", "end", "corner", "seite", "cote", "lado", "the", "of", "on"];

/// Where on which machine a tyre goes, as far as a mark says it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TyrePlace {
    machine: Vec<String>,
    /// What the mark says of the axle, in order; empty where it says nothing.
    axle: Vec<String>,
    /// Its end of the axle, in order.
    side: Vec<PlaceWord>,
    /// The number of the wheel on its machine or axle.
    number: Option<String>,
}

impl TyrePlace {
    /// Reads a mark.
    ///
    /// ```
    /// use fillward::vocabulary::TyrePlace;
    /// let spot = TyrePlace::of("skid steer 11, left rear");
    /// assert!(spot.is_same(&TyrePlace::of("Skid steer 11 LR.")));
    /// assert!(spot.is_on_axle_of(&TyrePlace::of("skid steer 11 rear R")));
    /// assert!(!spot.is_on_axle_of(&TyrePlace::of("skid steer 11, left front")));
    /// assert_eq!(spot.machine_text(), "skid steer 11");
    /// ```
    pub fn of(mark: &str) -> Self {
        let words = MarkWords::of(mark);
        let mut spot = Self { machine: Vec::new(), axle: Vec::new(), side: Vec::new(), number: None };
        let sided = words.said.iter().any(|parts| parts.iter().any(|part| is_side(*part)));
        let mut at = 0;
        while let Some(word) = words.all.get(at) {
            let next = words.all.get(at + 1).filter(|next| is_number(next));
            let found = words.parts(at);
            at += 1;
            if !found.is_empty() {
                // Of several front axles this one; of an axle whose ends are counted, the wheel.
                let counted = next.filter(|_| !found.iter().any(|part| matches!(part, Driver | Passenger)));
                match counted {
                    Some(number) if sided => spot.axle.push(number.clone()),
                    Some(number) => spot.number = Some(number.clone()),
                    None => {}
                }
                at += usize::from(counted.is_some());
                spot.take(found);
            } else if AXLES.contains(&word.as_str()) && next.is_some() {
                spot.axle.extend(next.cloned());
                at += 1;
            } else if let Some(number) = ordinal(word).filter(|_| is_one_of(AXLES, words.all.get(at))) {
                spot.axle.push(number.to_owned());
                at += 1;
            } else if NAMED_AXLES.contains(&word.as_str()) && is_behind_machine(&spot, &words, at - 1) {
                spot.axle.push(word.clone());
            } else if spot.numbers_wheel(word) && next.is_some() {
                spot.number = next.cloned();
                at += 1;
            } else if !is_filler(&words, at - 1) {
                spot.machine.push(word.clone());
            }
        }
        spot.axle.sort_unstable();
        spot.side.sort_unstable();
        spot
    }

    fn take(&mut self, found: &[PlaceWord]) {
        for part in found {
            match part {
                Front => self.axle.push("front".to_owned()),
                Rear => self.axle.push("rear".to_owned()),
                Middle => self.axle.push("middle".to_owned()),
                side => self.side.push(*side),
            }
        }
    }

    /// Whether a number behind this word is that of a wheel of the machine that stands before it.
    fn numbers_wheel(&self, word: &str) -> bool {
        !self.machine.is_empty()
            && (NUMBERED.contains(&word)
                || NUMBERS.contains(&word) && self.machine.iter().any(|word| word.chars().any(char::is_numeric)))
    }

    /// The words of the machine; empty where the mark has none.
    pub fn machine_text(&self) -> String {
        self.machine.join(" ")
    }

    fn is_placed(&self) -> bool {
        !self.axle.is_empty() || !self.side.is_empty() || self.number.is_some()
    }

    /// Whether both marks mean one place of one machine.
    pub fn is_same(&self, other: &Self) -> bool {
        self == other && (self.is_placed() || !self.machine.is_empty())
    }

    /// Whether both say a place on one machine and no difference of axles: on one axle, as far as anybody can tell.
    pub fn is_on_axle_of(&self, other: &Self) -> bool {
        self.is_placed() && other.is_placed() && self.machine == other.machine && self.axle == other.axle
    }

    /// Whether the two say different axles, ends of one, inner or outer wheels, or numbers of a wheel. What only one of
    /// them says is no difference; of an axle the one may say more.
    ///
    /// ```
    /// use fillward::vocabulary::TyrePlace;
    /// let tyre = TyrePlace::of("loader 4, left front");
    /// assert!(tyre.says_otherwise(&TyrePlace::of("loader 4 rear")));
    /// assert!(!tyre.says_otherwise(&TyrePlace::of("loader 4 left")));
    /// ```
    pub fn says_otherwise(&self, other: &Self) -> bool {
        let axles = !is_within(&self.axle, &other.axle) && !is_within(&other.axle, &self.axle);
        let kinds: [fn(PlaceWord) -> bool; 2] = [is_side, |part| matches!(part, Inner | Outer)];
        let sides = kinds.into_iter().any(|is| {
            let of = |spot: &Self| spot.side.iter().copied().filter(|part| is(*part)).collect::<Vec<_>>();
            let (one, two) = (of(self), of(other));
            !one.is_empty() && !two.is_empty() && one != two
        });
        axles || sides || self.number.as_ref().zip(other.number.as_ref()).is_some_and(|(one, two)| one != two)
    }

    /// Whether this one says all that the other says of the place, and something more.
    pub fn says_more_than(&self, other: &Self) -> bool {
        let says = |one: &Self, two: &Self| {
            is_within(&two.axle, &one.axle)
                && is_within(&two.side, &one.side)
                && (two.number.is_none() || one.number == two.number)
        };
        says(self, other) && !says(other, self)
    }

    /// Whether an end of the axle is said.
    pub fn has_side(&self) -> bool {
        self.side.iter().any(|part| is_side(*part))
    }

    /// Whether both say that they are on one axle.
    pub fn shares_axle_with(&self, other: &Self) -> bool {
        let sides = !self.side.is_empty() && !other.side.is_empty();
        self.is_on_axle_of(other) && (!self.axle.is_empty() || sides && self.number == other.number)
    }
}

fn is_within<T: PartialEq>(one: &[T], other: &[T]) -> bool {
    one.iter().all(|word| other.contains(word))
}

fn beside(word: &str) -> &'static [PlaceWord] {
    BESIDE.iter().find(|(words, _)| words.contains(&word)).map_or(&[], |(_, part)| *part)
}

/// The words of a mark, with what each says of a place on a machine.
struct MarkWords {
    all: Vec<String>,
    said: Vec<&'static [PlaceWord]>,
}

impl MarkWords {
    fn of(mark: &str) -> Self {
        let all = mark_words(mark);
        let plain: Vec<_> = all.iter().map(|word| plain_parts(word)).collect();
        let said = (0..all.len()).map(|at| parts(&all, &plain, at)).collect();
        Self { all, said }
    }

    /// What the word at this place says of a place on a machine.
    fn parts(&self, at: usize) -> &'static [PlaceWord] {
        self.said.get(at).copied().unwrap_or_default()
    }
}

/// What the word at this place says of a place on a machine; `plain` is what each of them says by itself.
fn parts(words: &[String], plain: &[&'static [PlaceWord]], at: usize) -> &'static [PlaceWord] {
    let word = |at: Option<usize>| at.and_then(|at| words.get(at)).map_or("", String::as_str);
    let by_itself = |at: Option<usize>| at.and_then(|at| plain.get(at)).copied().unwrap_or_default();
    let (this, said) = (word(Some(at)), by_itself(Some(at)));
    if !said.is_empty() {
        // A driver has a side only where one is spoken of.
        let of_side = || (at..words.len().min(at + 3)).any(|at| word(Some(at)) == "side");
        let is_person = said.iter().any(|part| matches!(part, Driver | Passenger));
        return if is_person && !of_side() { &[] } else { said };
    }
    let by_side = word(Some(at + 1)) == "side";
    match this {
        "near" | "kerb" | "curb" if by_side => return &[Near],
        "off" if by_side => return &[Off],
        _ => {}
    }
    let part = beside(this);
    if part.is_empty() {
        return part;
    }
    let of_place = |at: Option<usize>| !by_itself(at).is_empty() || !beside(word(at)).is_empty();
    let ends = matches!(this, "l" | "r") && at > 0 && at + 1 == words.len();
    if ends || of_place(at.checked_sub(1)) || of_place(Some(at + 1)) { part } else { &[] }
}

const fn is_side(part: PlaceWord) -> bool {
    matches!(part, Left | Right | Near | Off | Driver | Passenger)
}

fn is_number(word: &str) -> bool {
    word.bytes().all(|byte| byte.is_ascii_digit())
}

fn ordinal(word: &str) -> Option<&'static str> {
    ORDINALS.iter().find(|(words, _)| words.contains(&word)).map(|(_, number)| *number)
}

fn is_one_of(list: &[&str], word: Option<&String>) -> bool {
    word.is_some_and(|word| list.contains(&word.as_str()))
}

/// Whether a word for an axle stands behind the machine: `lift 4, steer right`, but `skid steer 4`.
fn is_behind_machine(spot: &TyrePlace, words: &MarkWords, at: usize) -> bool {
    let numbered = spot.machine.iter().any(|word| word.chars().any(char::is_numeric));
    numbered || [at.checked_sub(1), Some(at + 1)].into_iter().flatten().any(|at| !words.parts(at).is_empty())
}

/// Whether a word says nothing beside those of a place.
fn is_filler(words: &MarkWords, at: usize) -> bool {
    let Some(word) = words.all.get(at).map(String::as_str) else { return false };
    let placed = |at: Option<usize>| at.is_some_and(|at| !words.parts(at).is_empty());
    let before = placed(at.checked_sub(1));
    // `driver's side`.
    let possessive = word == "s" && before;
    let after_possessive = || word == "side" && words.all.get(at.wrapping_sub(1)).is_some_and(|word| word == "s");
    let fills = || FILLERS.contains(&word) || AXLES.contains(&word) || NUMBERED.contains(&word);
    possessive || after_possessive() || (before || placed(Some(at + 1))) && fills()
}

#[cfg(test)]
mod tests;
