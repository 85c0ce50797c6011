//! Names that cannot be mistaken for one another: one script each, no hidden characters, no look-alikes.
//!
//! After Unicode Technical Standard 39, sections 4 (confusable detection) and 5 (mixed scripts).

use unicode_security::MixedScript;

use super::body::TrustBody;
use super::unsound::{Found, of_person, place};
use crate::checklist::canonical::is_nfc;
use crate::vocabulary::{Look, name_fault};

/// Characters in a name; the longest honest one fits several times over.
const MAX_NAME_CHARS: usize = 80;

/// How a name that tells its person from every other is written.
const NAME: &str =
    "write the name as people say it, in letters of one script, and add to it what tells two people apart";

/// Says what is wrong with the names of the people.
pub(super) fn check(body: &TrustBody, found: &mut Found) {
    if let Some(fault) = name_fault(&body.shop) {
        let what = format!("the name of the shop, `{}`, {}", body.shop.escape_default(), fault.description());
        found.say(place(["shop".into()]), what, "type the name anew by hand, in letters that show");
    }
    let mut seen: Vec<(Look, &str)> = Vec::new();
    for (index, person) in body.people.iter().enumerate() {
        let name = person.name.as_str();
        let at = || of_person(index, ["name".into()]);
        if let Some(why) = fault_of(name) {
            found.say(at(), format!("the name `{}` {why}", name.escape_default()), NAME);
            continue;
        }
        // Marks and spaces tell nobody apart: nobody hears them, and few see them.
        let look = Look::of(&name.chars().filter(|c| !is_mark(*c)).collect::<String>());
        if let Some((_, other)) = seen.iter().find(|(other, _)| look.is_like(other)) {
            if *other == name {
                let cure = "put the keys of one person under one name, and write two people so that each is told apart";
                found.say(at(), format!("two people are called `{name}`"), cure);
            } else {
                found.say(at(), format!("the names `{other}` and `{name}` look alike"), NAME);
            }
        }
        seen.push((look, name));
    }
}

fn is_mark(c: char) -> bool {
    matches!(c, ' ' | '-' | '\'' | '.' | '\u{2019}')
}

/// What is wrong with a name by itself, as the end of a sentence; `None` where nothing is.
pub fn fault_of(name: &str) -> Option<&'static str> {
    if let Some(fault) = name_fault(name) {
        Some(fault.description())
    } else if name.chars().count() > MAX_NAME_CHARS {
        Some("is too long")
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
