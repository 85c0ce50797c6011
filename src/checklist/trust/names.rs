//! Names that cannot be mistaken for one another: one script each, no hidden characters, no look-alikes.
//!
//! After Unicode Technical Standard 39, sections 4 (confusable detection) and 5 (mixed scripts). Must not know roles or
//! keys.

use unicode_security::MixedScript;

use super::body::TrustBody;
use super::unsound::{Found, of_person, place};
use crate::checklist::canonical::is_nfc;
use crate::checklist::reason::{NameFlaw, TrustFlaw};
use crate::vocabulary::{Look, name_fault};

/// Characters in a name; the longest honest one fits several times over.
const MAX_NAME_CHARS: usize = 80;

/// Says what is wrong with the names of the people.
pub(super) fn check(body: &TrustBody, found: &mut Found) {
    if let Some(fault) = name_fault(&body.shop) {
        found.say(place(["shop".into()]), TrustFlaw::ShopName { name: body.shop.clone(), fault });
    }
    let mut seen: Vec<(Look, &str)> = Vec::new();
    for (index, person) in body.people.iter().enumerate() {
        let name = person.name.as_str();
        let at = || of_person(index, ["name".into()]);
        if let Some(flaw) = flaw_of(name) {
            found.say(at(), TrustFlaw::Name { name: name.to_owned(), flaw });
            continue;
        }
        // Marks and spaces tell nobody apart: nobody hears them, and few see them.
        let look = Look::of(&name.chars().filter(|c| !is_mark(*c)).collect::<String>());
        if let Some((_, other)) = seen.iter().find(|(other, _)| look.is_like(other)) {
            let (one, other) = ((*other).to_owned(), name.to_owned());
            let flaw =
                if one == other { TrustFlaw::SameName { name: other } } else { TrustFlaw::AlikeNames { one, other } };
            found.say(at(), flaw);
        }
        seen.push((look, name));
    }
}

fn is_mark(c: char) -> bool {
    matches!(c, ' ' | '-' | '\'' | '.' | '\u{2019}')
}

/// What is wrong with a name by itself; `None` where nothing is.
pub fn flaw_of(name: &str) -> Option<NameFlaw> {
    if let Some(fault) = name_fault(name) {
        Some(NameFlaw::Of(fault))
    } else if name.chars().count() > MAX_NAME_CHARS {
        Some(NameFlaw::TooLong)
    } else if !is_nfc(name) {
        Some(NameFlaw::NotNfc)
    } else if !name.chars().any(char::is_alphabetic)
        || !name.chars().all(|c| c.is_alphabetic() || is_mark(c) || c.is_ascii_digit())
    {
        Some(NameFlaw::NotLetters)
    } else if !name.is_single_script() {
        Some(NameFlaw::Scripts)
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
            assert_eq!(flaw_of(good), None, "{good}");
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
            assert!(flaw_of(bad).is_some(), "{bad:?}");
        }
    }
}
