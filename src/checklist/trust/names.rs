//! Names that cannot be mistaken for one another: one script each, no hidden characters, no look-alikes.
//!
//! After Unicode Technical Standard 39, sections 4 (confusable detection) and 5 (mixed scripts).

use std::collections::BTreeMap;

use unicode_security::MixedScript;
use unicode_security::confusable_detection::skeleton;

use super::body::TrustBody;
use crate::checklist::canonical::is_nfc;
use crate::vocabulary::unseen_in_name;

/// Characters in a name; the longest honest one fits several times over.
const MAX_NAME_CHARS: usize = 80;

/// Says what is wrong with the names of the people.
pub(super) fn check(body: &TrustBody, unsound: &mut impl FnMut(String)) {
    let mut seen: BTreeMap<(bool, String), &str> = BTreeMap::new();
    for person in &body.people {
        let name = person.name.as_str();
        if let Some(why) = fault_of(name) {
            unsound(format!("the name `{}` {why}", name.escape_default()));
            continue;
        }
        // Letters look alike in one case and not in the other, so both orders of folding and comparing are asked. Marks and
        // spaces tell nobody apart: nobody hears them, and few see them.
        let letters: String = name.chars().filter(|c| !is_mark(*c)).collect();
        let shapes = [
            (false, skeleton(&letters.to_lowercase()).collect::<String>()),
            (true, skeleton(&letters).collect::<String>().to_lowercase()),
        ];
        let others: Vec<&str> = shapes.into_iter().filter_map(|shape| seen.insert(shape, name)).collect();
        if let Some(other) = others.first() {
            unsound(if *other == name {
                format!("two people are called `{name}`")
            } else {
                format!("the names `{other}` and `{name}` look alike")
            });
        }
    }
}

fn is_mark(c: char) -> bool {
    matches!(c, ' ' | '-' | '\'' | '.' | '\u{2019}')
}

/// What is wrong with a name by itself, as the end of a sentence; `None` where nothing is.
pub fn fault_of(name: &str) -> Option<&'static str> {
    let spaces = name.trim() != name || name.contains("  ");
    if name.is_empty() || name.chars().count() > MAX_NAME_CHARS || spaces {
        Some("is empty, too long or has spaces too many")
    } else if name.chars().any(|c| unseen_in_name(c).is_some()) {
        Some("has a character that cannot be seen")
    } else if !is_nfc(name) {
        Some("is not in Unicode's form NFC")
    } else if !name.chars().any(char::is_alphabetic)
        || !name.chars().all(|c| c.is_alphabetic() || is_mark(c) || c.is_ascii_digit())
    {
        Some("has characters that are no letters")
    } else if !name.is_single_script() {
        Some("mixes scripts")
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_of_one_script_and_visible() {
        for good in ["Odile Varga", "Søren Ó Briain", "J. O\u{2019}Neill-Pratt", "Мария Иванова", "李 小龍"]
        {
            assert_eq!(fault_of(good), None, "{good}");
        }
        for bad in [
            "",
            " Odile",
            "Odile  Varga",
            "Od\u{200d}ile",
            "Odile\u{202e}",
            "Odi\u{0301}\u{0323}le x",
            "Оdile Varga",
            "42",
            "a/b",
        ] {
            assert!(fault_of(bad).is_some(), "{bad:?}");
        }
    }
}
