//! An account that can remember nothing of trust files, for whatever reason.

use fillward::desk::world::Trouble;
use fillward::desk::{Acceptance, Purpose, Refusal};

use super::memory::{bars, signs};
use crate::shop::counter::{FILE, TRUST, refused};
use crate::shop::{OWNER, Shop, key};

/// The law: where nothing can be remembered, whatever keeps it from that, people look on, and nothing starts until the words
/// of the trust file are given from paper.
#[test]
fn without_a_memory_the_words_from_paper_stand_in() {
    let why = || "by the system".to_owned();
    for what in [
        Trouble::Nowhere,
        Trouble::Unreadable { why: why() },
        Trouble::NotPlain,
        Trouble::TooLong { length: 1_048_577, most: 1_048_576 },
    ] {
        words_stand_in(&what);
    }
}

fn words_stand_in(what: &Trouble) {
    let counter = Shop::new().at_desk();
    assert!(signs(&counter, FILE).unwrap());
    counter.no_memory(Some(what.clone()));
    let refusal = counter.open(Purpose::Sign).unwrap_err();
    assert!(matches!(&refusal, Refusal::Store(fault) if fault.what == *what), "{refusal:?}");
    let accepted = vec![(key(OWNER).public().clone(), key(OWNER).public().fingerprint_words())];
    let words = counter.open(Purpose::Look).unwrap().trust.digest_in_words();
    let acceptance = Acceptance { file: counter.source(TRUST), owners: accepted, words };
    assert!(matches!(counter.desk().accept_owners(&acceptance), Err(Refusal::Store(_))));
    assert!(matches!(counter.desk().disown_owner(key(OWNER).public()), Err(Refusal::Store(_))));
    let looked = counter.open(Purpose::Look).unwrap();
    let said: Vec<_> = looked.trust.bars().map(|bar| bar.code().word()).collect();
    assert_eq!(said, ["checklist/trust-not-remembered", "checklist/owner-not-accepted"]);
    assert_eq!(bars(&counter), ["trust-not-remembered", "owner-not-accepted"]);
    let words = looked.trust.digest_in_words();
    assert_eq!(counter.open_by_paper(Purpose::Sign, &words).unwrap().trust.bars().count(), 0);
    for purpose in [Purpose::Sign, Purpose::Look] {
        assert_eq!(refused(counter.open_by_paper(purpose, "lantern")), ["trust-not-on-paper"]);
    }
    // The words are of one content: no other file has them.
    counter.trust(|_| {});
    assert_eq!(refused(counter.open_by_paper(Purpose::Sign, &words)), ["trust-not-on-paper"]);
}
