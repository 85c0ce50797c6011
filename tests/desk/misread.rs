//! Words from paper that were misread: what is told of them, and what never is.

use fillward::checklist::{NoKeyOfWords, Reason, TrustReason};
use fillward::desk::{Purpose, Refusal};

use crate::shop::counter::{MALLORY, TRUST};
use crate::shop::{OWNER, Shop, key};

/// The law: whatever words are given for an owner's key, what is told says whether it is a slip and which, whose key is
/// nearly that, or that they are of something else, and never what is due.
#[test]
fn words_for_an_owner_that_are_misread_say_how() {
    let counter = Shop::new().at_desk();
    let file = counter.source(TRUST);
    let due = key(OWNER).public().fingerprint_words();
    let told = |words: &str| match counter.desk().owner_by_words(&file, words) {
        Ok(_) => None,
        Err(Refusal::Trust { reasons, .. }) => match &reasons[..] {
            [Reason::OfTrust(TrustReason::NoKeyOfWords(what))] => Some((what.clone(), reasons[0].to_string())),
            other => panic!("{other:?}"),
        },
        Err(other) => panic!("{other:?}"),
    };
    assert_eq!(told(&due.to_uppercase()), None);
    let words: Vec<&str> = due.split(' ').collect();
    for place in 0..words.len() {
        let with = |word: &'static str| {
            let put = |(at, known): (usize, &&str)| if at == place { word.to_owned() } else { (*known).to_owned() };
            words.iter().enumerate().map(put).collect::<Vec<_>>().join(" ")
        };
        let (what, said) = told(&with("lantern")).unwrap();
        assert!(matches!(what, NoKeyOfWords::Slip(_)), "{what:?}");
        assert!(said.contains(&format!("number {}, `lantern`, is no such word", place + 1)), "{said}");
        let (what, said) = told(&with("bazai")).unwrap();
        assert!(matches!(&what, NoKeyOfWords::Near { who, .. } if who == "Ansel Prewitt-Okoro"), "{what:?}");
        assert!(said.contains(&format!("number {}, `bazai`, is another word", place + 1)), "{said}");
        assert!(!said.contains(words[place]), "{said}");
    }
    assert!(matches!(told(&words[1..].join(" ")), Some((NoKeyOfWords::Slip(_), said)) if said.contains("7 words")));
    let of_file = counter.open(Purpose::Look).unwrap().trust.digest_in_words();
    assert!(matches!(told(&of_file), Some((NoKeyOfWords::OfTheFile, _))));
    let stranger = key(MALLORY).public().fingerprint_words();
    assert!(matches!(told(&stranger), Some((NoKeyOfWords::OfNone, _))));
}
