//! Whether a document can be found again by what is written of it. The lists are closed, and from memory. This module
//! must not know records.

use crate::vocabulary::names::words::{NameWords, WordSet, word_set};

/// Words for where something was asked or looked up, and for a place in a document: they tell no document from another.
static NO_DOCUMENT: WordSet = word_set!(
    "a an and at by call called computer email fax foto from https in internet it line mail message net \
         of on online our p page pages pg phone phoned photo picture pp said says screen search seite sms \
         telefon telephone text that the their this to video web webpage website with www your"
);

/// Words for a document as such; a number beside them tells which.
static ANY_DOCUMENT: WordSet = word_set!(
    "book booklet books brochure buch catalog catalogue chart charts copy data datasheet doc document \
         documentation documents file folder guide handbook handbuch info information leaflet letter list \
         livre manual manuals manuel paper papers pdf print sheet sheets spec specification specifications \
         specs tabelle table tableau tables"
);

/// Whether words name a document that another can find: one of them names a house, a kind or a grade, or a number stands
/// beside a word for a document, besides that of the page.
pub(super) fn can_be_found(words: &NameWords) -> bool {
    let is_number = |word: &str| word.chars().all(char::is_numeric);
    let of_page = |at: usize| {
        at.checked_sub(1).is_some_and(|before| ["p", "page", "pages", "pg", "pp", "seite"].contains(&words.get(before)))
    };
    let mut told = words.iter().enumerate().filter(|(_, word)| !NO_DOCUMENT.contains(word));
    let names = told.clone().any(|(_, word)| !is_number(word) && !ANY_DOCUMENT.contains(word));
    let is_document = told.clone().any(|(_, word)| ANY_DOCUMENT.contains(word));
    names || is_document && told.any(|(at, word)| is_number(word) && !of_page(at))
}
