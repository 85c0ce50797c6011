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

/// Words for what somebody knows, says or remembers: that is no document, unless one with a number stands beside it.
static HEARSAY: WordSet = word_set!(
    "always assumed auswendig estimate estimated experience experienced gedachtnis gesagt guess guessed guesswork habit head \
         heard hearsay heart kennt knew know knowledge known knows kopf memoire memoria memory mondeling mouth mundlich muntlig \
         muntligt oral orally recollection remember remembered remembers says tell tells told verbal verbally weiss word"
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
    if told.clone().any(|(_, word)| HEARSAY.contains(word)) {
        return is_document && told.any(|(_, word)| word.chars().any(char::is_numeric));
    }
    names || is_document && told.any(|(at, word)| is_number(word) && !of_page(at))
}

#[cfg(test)]
mod tests {
    use super::can_be_found;
    use crate::vocabulary::names::words::NameWords;
    use proptest::prelude::*;

    /// What somebody may say instead of a document.
    const SAID: &[&str] =
        &["from memory", "verbal", "Bob knows", "told by Odile", "by heart", "mouth to mouth", "auswendig"];

    proptest! {
        /// Whoever says it, and on whatever page: what is known, told or remembered is no document, unless one with
        /// a number of its own is named as well.
        #[test]
        fn what_somebody_knows_is_no_document(
            said in prop::sample::select(SAID), who in "[a-z]{4,9}", page in prop::option::of(1u16..400),
            document in prop::sample::select(vec!["data book 2025", "table 12", "letter of 4 march 2026"]), first in any::<bool>(),
        ) {
            let page = page.map_or_else(String::new, |page| format!(" page {page}"));
            let words = |text: &str| NameWords::plain(&text.to_lowercase());
            for text in [said.to_owned(), format!("{said}{page}"), format!("{who} {said}"), format!("{said} {who}{page}")] {
                prop_assert!(!can_be_found(&words(&text)), "{}", text);
            }
            let both = if first { format!("{document} {said}") } else { format!("{said}, {document}{page}") };
            prop_assert!(can_be_found(&words(&both)), "{}", both);
            let plain = format!("{who} {document}{page}");
            prop_assert!(can_be_found(&words(&plain)), "{}", plain);
        }
    }
}
