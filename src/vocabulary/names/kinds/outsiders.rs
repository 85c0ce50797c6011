//! Who signed for another house: a person, with a trade in front of the name or a house behind it, and never the house, the
//! office or the shift alone.
//!
//! What is only a house is found by its words; the lists are closed and from memory. This module must not know records.

use super::lists::PARTICLES;
use super::{Misnomer, NameOf, has_a_capital, nothing, person, plain_words, states};
use crate::vocabulary::names::words::{NameWords, WordSet, word_set};

/// Words for a house, a part of one, a trade, a time of work or the act of signing: of these alone no name is made.
static OF_A_HOUSE: WordSet = word_set!(
    "accepted accounting accounts admin administration agent airport approved atelier bay betrieb board \
         bureau buro captain cashier chief city clerk client company control controller coordinator council \
         counter county customer customers day department depot dept desk director dispatch dispatcher \
         district division dock driver equipe farm fleet floor foreman forewoman four front garage gate \
         gatehouse goods gruppe hall head house inbound kontor lead leader leiter leitung loader logistics \
         machine main maintenance management manager manor mechanic meister mine municipal night office \
         officer oficina on one operations operator outbound owner pit plant port purchasing quarry rear \
         received reception rep representative safety sales schicht scrap secretary security service shift \
         shop signed site staff stock store stores street superintendent supervisor taller team tech \
         technician the three tipping town traffic transport truck turno two unit user verwaltung village \
         warehouse werk werkstatt works workshop yard"
);

/// Words behind the name of a company, where no family is called so.
const LEGAL_FORMS: &[&str] = &["ltd", "limited", "inc", "incorporated", "llc", "plc", "corp", "gmbh", "sarl", "pty"];

/// The person who signed for another house: one part of the text between its commas is a name, behind words in small
/// letters for a trade, and the others say for whom or where. What stands in brackets names nobody, but may say that
/// nobody signed.
pub(super) fn outsider(text: &str) -> Option<Misnomer> {
    let (text, aside) = text.split_once('(').unwrap_or((text, ""));
    if let Some(word) = states::state(NameOf::Outsider, &states::clauses(aside)) {
        return Some(Misnomer::State(word));
    }
    let text = text.trim_end();
    let found: Vec<Option<Misnomer>> = text.split(',').map(part).collect();
    if found.contains(&None) { None } else { found.into_iter().flatten().next() }
}

fn part(part: &str) -> Option<Misnomer> {
    if let Some(word) = states::denial(part) {
        return Some(Misnomer::State(word));
    }
    let is_trade = |word: &&str| word.chars().all(has_a_capital) && !PARTICLES.contains(word);
    let name = part.split_whitespace().skip_while(is_trade).collect::<Vec<_>>().join(" ");
    if name.is_empty() {
        return Some(Misnomer::Small);
    }
    if let Some(why) = person(&name) {
        return Some(why);
    }
    let words = plain_words(&name);
    if is_house(&words) {
        return Some(Misnomer::House);
    }
    is_mark(&name).then_some(Misnomer::Short)
}

/// `Fleet Office`, `Shift B`, `Okonjo Recycling Ltd`; but `L. Day` is somebody's name.
fn is_house(words: &NameWords) -> bool {
    let of_house = |word: &str| OF_A_HOUSE.contains(word) || nothing::is_part(word);
    let short = |word: &str| word.chars().count() == 1;
    let last = words.get(words.len().saturating_sub(1));
    let form = words.len() > 1 && LEGAL_FORMS.contains(&last);
    form || of_house(words.get(0)) && words.iter().all(|word| of_house(word) || short(word))
}

/// `OV`, `H. O.`: the mark of somebody on a list, which nobody finds who does not have the list.
fn is_mark(name: &str) -> bool {
    let mut words = name.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    let capitals = |word: &str| word.chars().all(char::is_uppercase);
    let Some(first) = words.next() else { return false };
    match words.next() {
        None => capitals(first) && first.chars().count() < 4,
        Some(second) => {
            [first, second].into_iter().chain(words).all(|word| capitals(word) && word.chars().count() == 1)
        }
    }
}
