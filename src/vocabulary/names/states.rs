//! Names that tell of a state, leave it open what is meant, or point at something else: a pump that is called broken, a
//! place that is anywhere level, the same machine.
//!
//! A name says which thing it is, and a fault that stands in a name is seen by no rule. What is wrong by its form comes
//! first: words of denial, choices, words for any place. The words of faults are a closed list, from memory, in the
//! languages in which shops write most; a word that is a common part of names is a fault only where it ends what is
//! said. This module must not know which fact takes what was found.

use std::borrow::Cow;

use super::name_of::NameOf;
use super::words::{WordSet, word_set};
use super::{folded, nothing};

/// Words of a fault, wherever they stand in a name.
static FAULTS: WordSet = word_set!(
    "abgelaufen awaiting bad bent beschadigt blown brittle broken buckled bulging burnt burst \
         busted bypassed canceled cancelled casse cassee clogged cloudy collapsed condemned \
         contaminated corroded cracked cracks crooked crystallised crystallized damaged defective \
         defekt deflated dented disabled distorted draft drifting drifts entwurf expired failed \
         failing fails faulty fendu fissure flooded gelled gelling gerissen gesperrt gouged \
         illegible incomplete inoperative invalid jammed jams kaputt lapsed leaking leaks leaky \
         lumpy mislaid misread mouldy needs obsolete outdated overdue overfilled overheated \
         overloaded perime perimee perished preliminary provisional punctured quarantined reads \
         refused rejected revoked roto rotten rotto rusted rusty scrapped seized shattered sloping \
         smashed smells spoiled spoilt sticking sticks stuck superseded suspect swollen tilted torn \
         unapproved uncalibrated unchecked undicht uneven unfit uninspected unsafe unserviceable \
         unsound untested unusable unverified uszkodzony veraltet verdict void warped watery withdrawn \
         wobbles wobbly wrecked wrong"
);

/// Words of a fault where nothing follows them.
static AT_THE_END: WordSet = word_set!(
    "bald crack cut damage dead defect dirty down dropped empty fault frozen leak loose missing \
         mixed noisy off oily reject rejects removed slack worn"
);

/// The program's own answers, where a part of a name is nothing else: whoever reads such a name reads an answer.
const ANSWERS: &[&str] = &["pass", "passed", "hold", "held"];

/// The same of a tyre alone: a floor is flat, and is asked to be.
static OF_A_TYRE: WordSet = word_set!("flat scrap soft");

/// The same of a place: the mark of a thermometer may say that it is the cold one.
static OF_A_PLACE: WordSet = word_set!("cold hot muddy wet");

/// What of a machine is flat only where it has a fault.
const FLAT_OF_A_MACHINE: &[&str] = &["tyre", "tyres", "tire", "tires", "wheel", "battery"];

/// Words for ground that is not level, of a place where something is laid down.
const NO_LEVEL: &[&str] = &["slope", "slopes", "incline", "inclined", "hillside"];
/// Words for how something stands that is not laid down, where nothing but a place follows them: `upright in the rack`, but
/// not `upright freezer room`.
const POSTURES: &[&str] = &["leaning", "leant", "propped", "upright", "vertical", "hanging"];
/// Words between how something lies and where.
const WHERE: &[&str] = &["in", "on", "at", "against", "by", "near", "beside", "under", "from", "to"];

/// Words that deny what follows.
const DENIALS: &[&str] = &["not", "never", "nicht", "cannot", "can't", "doesn't", "isn't", "won't"];
/// Words that say, behind a denial, where a place is or that nobody goes there.
const ASIDE: &[&str] = &[
    "the",
    "a",
    "an",
    "used",
    "trafficked",
    "travelled",
    "driven",
    "entered",
    "in",
    "near",
    "at",
    "next",
    "under",
    "open",
    "sight",
    "reach",
    "traffic",
];
/// Words for a bar around a place, in front of `off`.
const BARRED: &[&str] = &[
    "roped",
    "fenced",
    "taped",
    "marked",
    "chained",
    "cordoned",
    "screened",
    "railed",
    "coned",
    "walled",
    "partitioned",
    "closed",
];
/// Faults that harm nothing which stands there, and in front of a word tell one place from others: `cracked slab`.
const NO_MATTER_TO_A_PLACE: &[&str] = &["cracked", "cracks", "dented", "rusted", "rusty"];
/// Small words between two things of which one is meant.
const CHOICES: &[&str] = &["or", "oder", "ou", "eller", "ili", "или"];
/// Words of somebody who is not sure.
const HEDGES: &[&str] = &[
    "maybe",
    "perhaps",
    "probably",
    "possibly",
    "presumably",
    "either",
    "vielleicht",
    "vermutlich",
    "quizas",
    "forse",
];
/// Words for any place and anybody.
const ANYTHING: &[&str] = &[
    "somewhere",
    "anywhere",
    "wherever",
    "everywhere",
    "elsewhere",
    "whichever",
    "whatever",
    "whoever",
    "someone",
    "anyone",
    "something",
    "anything",
    "irgendwo",
    "irgendwas",
    "irgendein",
    "irgendeine",
];
/// Words that begin what is still to be found.
const ANY: &[&str] = &["any", "some", "another", "whichever"];
/// Words that say that one is another.
const SAME: &[&str] = &[
    "same", "idem", "ditto", "dito", "derselbe", "dieselbe", "dasselbe", "gleiche", "gleicher", "meme", "mismo",
    "misma", "stesso", "stessa",
];
/// Words that send the reader elsewhere, and stand in front of no name.
const SEE: &[&str] = &["see", "siehe", "voir", "vedi", "zie"];

/// The words of one part of a text, as written and in small letters without accents.
pub(super) struct Clause<'t>(Vec<(&'t str, Cow<'t, str>)>);

impl<'t> Clause<'t> {
    fn of(part: &'t str) -> Self {
        let words = part.split(|c: char| c.is_whitespace() || c == '/' || c == '_');
        // `no.` is short for a number, and `no` is none.
        let bare = |word: &'t str| if word == "no." { word } else { word.trim_matches(|c: char| !c.is_alphanumeric()) };
        let bare = words.map(bare).filter(|word| !word.is_empty());
        Self(bare.map(|word| (word, folded(word))).collect())
    }

    fn plain(&self, at: usize) -> &str {
        self.0.get(at).map_or("", |(_, plain)| plain.as_ref())
    }

    /// Whether the word here says of what is to lie level that it does not.
    fn is_not_laid_down(&self, at: usize) -> bool {
        let (word, next) = (self.plain(at), self.plain(at + 1));
        let is_denied = at > 0 && matches!(self.plain(at - 1), "no" | "without");
        let on_edge = word == "on" && next == "edge" && self.is_a_place_to_come(at + 2);
        NO_LEVEL.contains(&word) && !is_denied || POSTURES.contains(&word) && self.is_a_place_to_come(at + 1) || on_edge
    }

    /// Whether nothing more is said, or where something is.
    fn is_a_place_to_come(&self, at: usize) -> bool {
        let word = self.plain(at);
        word.is_empty() || WHERE.contains(&word)
    }

    /// Whether the word here denies the name that follows it, and is not short for a number.
    fn is_none(&self, at: usize) -> bool {
        let first = self.0.get(at + 1).and_then(|(word, _)| word.chars().next());
        self.0.get(at).is_some_and(|(word, _)| *word == "no") && first.is_some_and(char::is_alphabetic)
    }

    /// Whether the word here is part of a proper name: with a capital, and so is the next, as in `Broken Hill`.
    fn is_proper(&self, at: usize) -> bool {
        let titled = |word: Option<&(&str, Cow<'_, str>)>| {
            word.is_some_and(|(word, _)| {
                let mut letters = word.chars();
                letters.next().is_some_and(char::is_uppercase) && letters.next().is_some_and(char::is_lowercase)
            })
        };
        titled(self.0.get(at)) && titled(self.0.get(at + 1))
    }
}

/// The parts of a text between its commas, brackets and dashes.
pub(super) fn clauses(text: &str) -> Vec<Clause<'_>> {
    let parts =
        text.split([',', ';', '(', ')', '[', ']', ':', '\u{2013}', '\u{2014}']).flat_map(|part| part.split(" - "));
    parts.map(Clause::of).collect()
}

/// The word by which a name tells of a state, in small letters; `None` where it tells of none.
pub(super) fn state(of: NameOf, clauses: &[Clause<'_>]) -> Option<String> {
    let is_place = matches!(of, NameOf::Site | NameOf::Place);
    clauses.iter().enumerate().find_map(|(part, clause)| {
        (0..clause.0.len()).find_map(|at| {
            let (word, next) = (clause.plain(at), clause.plain(at + 1));
            let ends = next.is_empty() && (part > 0 || at > 0);
            let is_flat = || at > 0 && word == "flat" && FLAT_OF_A_MACHINE.contains(&clause.plain(at - 1));
            let of_kind = || match of {
                NameOf::Tyre => OF_A_TYRE.contains(word),
                NameOf::Site | NameOf::Place => OF_A_PLACE.contains(word),
                NameOf::Gear => is_flat(),
                _ => false,
            };
            // `roped off`, `not trafficked`, `out of the way`: where nobody goes, wheels are left in peace.
            let shut =
                is_place && (word == "empty" || word == "off" && at > 0 && BARRED.contains(&clause.plain(at - 1)));
            let sound = is_place && !next.is_empty() && NO_MATTER_TO_A_PLACE.contains(&word);
            let told = !sound && FAULTS.contains(word) || ends && !shut && (AT_THE_END.contains(word) || of_kind());
            let behind = if word == "out" { clause.plain(at + 2) } else { next };
            let says_no = DENIALS.contains(&word) && !next.is_empty() || word == "out" && next == "of";
            let denied = says_no && !(is_place && ASIDE.contains(&behind));
            let stands = of == NameOf::Place && clause.is_not_laid_down(at);
            // `no PS-118` is none; `no 118` is the number of one.
            let is_none = part + at == 0 && clause.is_none(at);
            let answers = at == 0 && next.is_empty() && ANSWERS.contains(&word);
            ((told || stands) && !(is_place && clause.is_proper(at)) || denied || is_none || answers)
                .then(|| word.to_owned())
        })
    })
}

/// The word by which a text denies the name that follows it.
pub(super) fn denial(text: &str) -> Option<String> {
    let clause = Clause::of(text);
    let word = clause.plain(0);
    (clause.is_none(0) || DENIALS.contains(&word)).then(|| word.to_owned())
}

/// Whether a text leaves it open which of two is meant, or says that nobody is sure.
pub(super) fn is_guess(text: &str, clauses: &[Clause<'_>]) -> bool {
    let words: Vec<&str> =
        text.split(|c: char| c.is_whitespace() || c == ',').filter(|word| !word.is_empty()).collect();
    let between = words.get(1..words.len().saturating_sub(1)).unwrap_or(&[]);
    // With one capital it is a name: `Tal Or yard`.
    let is_name =
        |word: &str| word.chars().next().is_some_and(char::is_uppercase) && word.chars().any(char::is_lowercase);
    between.iter().any(|word| !is_name(word) && CHOICES.contains(&folded(word).as_ref()))
        || clauses.iter().any(|clause| clause.0.iter().any(|(_, word)| HEDGES.contains(&word.as_ref())))
}

/// Whether a text leaves open what is meant: any place, what is still to be found.
pub(super) fn is_open(of: NameOf, text: &str, clauses: &[Clause<'_>]) -> bool {
    let numbered = text.chars().any(char::is_numeric);
    let is_taken = matches!(of, NameOf::Site | NameOf::Place | NameOf::Gear | NameOf::Pump);
    clauses.iter().any(|clause| {
        let last = clause.plain(clause.0.len().saturating_sub(1));
        let to_come =
            (0..clause.0.len()).any(|at| matches!(clause.plain(at), "to" | "will") && clause.plain(at + 1) == "be");
        to_come
            || clause.0.iter().any(|(_, word)| ANYTHING.contains(&word.as_ref()))
            || is_taken && (ANY.contains(&clause.plain(0)) || !numbered && matches!(last, "free" | "available"))
    })
}

/// Whether a text says that it is another one, or sends the reader to it.
pub(super) fn is_elsewhere(of: NameOf, text: &str) -> bool {
    let mut words = text.split_whitespace().map(folded);
    let Some(first) = words.next() else { return false };
    // `See` is a lake too, and a place is called after it.
    let sees = SEE.contains(&first.as_ref()) && words.next().is_some() && of != NameOf::Site;
    sees || SAME.contains(&first.trim_end_matches([',', ':']))
}

/// Whether a text has a remark that belongs to no number of a lot: words in small letters behind its digits, several in
/// front of them, or one that points or says that nothing is known. One in front may be the word for a lot in another
/// language.
pub(super) fn has_remark(text: &str, is_label: impl Fn(&str) -> bool) -> bool {
    let words = text.split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '(' | ')' | ':'));
    let (mut digits, mut before) = (false, 0);
    for word in words.map(|word| word.trim_matches(|c: char| !c.is_alphanumeric())) {
        digits |= word.chars().any(char::is_numeric);
        let plain = folded(word);
        let small = word.chars().count() > 2 && word.chars().all(|c| c.is_alphabetic() && !c.is_uppercase());
        let remark = small && word.chars().any(char::is_lowercase) && !is_label(&plain);
        if remark && (digits || nothing::points(&plain) || nothing::is_unknown(&plain)) {
            return true;
        }
        before += usize::from(remark);
    }
    before > 1
}

#[cfg(test)]
mod tests;
