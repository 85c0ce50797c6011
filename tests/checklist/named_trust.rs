//! How a signed body names the trust file by which it was made.

use fillward::checklist::jws::Envelope;
use fillward::checklist::trust::{SeenVersion, Trust};
use fillward::checklist::verify::verify;
use fillward::vocabulary::{Kind, Role};
use serde_json::json;

use super::evidence::resigned;
use crate::shop::{self, ODILE, OWNER, SECOND, Shop, key, passing};

/// How a body may name the trust file by which it was made, in a shop of two owners who both must sign: by those who signed
/// it, in their order; of an earlier version by keys that stand in this one, and by one that nobody here has seen nothing
/// starts.
#[test]
fn the_trust_file_is_named_as_it_is() {
    let shop = Shop::new();
    let mut trusted = shop.trust_body();
    trusted.people.push(shop::person(&shop::PEOPLE[4]));
    trusted.owners_needed = 2;
    let mut envelope = Envelope::new(Kind::Trust, &trusted).unwrap();
    for seed in [OWNER, SECOND] {
        envelope.sign(&key(seed), Role::Owner, shop::at(&trusted.made_at)).unwrap();
    }
    let mut trust = Trust::open("trust", &envelope.to_file().unwrap(), &Shop::pins()).unwrap();
    let record = passing();
    let honest = shop.make(&record, |choices| choices.trust = trust.clone()).1.to_value().unwrap()["checklist"].clone();
    let words = |seeds: &[u8]| seeds.iter().map(|seed| key(*seed).public().fingerprint_words()).collect::<Vec<_>>();
    assert_eq!(honest["inputs"]["trust"]["owners"], json!(words(&[OWNER, SECOND])));
    let said = |trust: &Trust, owners: &[u8], version: i64, sha256: &str| {
        let mut forged = honest.clone();
        let named = &mut forged["inputs"]["trust"];
        (named["owners"], named["version"]) = (json!(words(owners)), json!(version));
        if !sha256.is_empty() {
            named["sha256"] = json!(sha256);
        }
        let report = verify("f", &resigned(&forged), &shop.question(trust, &record));
        (report.in_order(), report.may_start())
    };
    let (good, doubtful, bars) = ((true, true), (false, false), (true, false));
    for (owners, due) in [
        (&[OWNER, SECOND][..], good),
        (&[OWNER], doubtful),
        (&[SECOND], doubtful),
        (&[SECOND, OWNER], doubtful),
        (&[OWNER, SECOND, OWNER], doubtful),
        (&[OWNER, OWNER], doubtful),
        (&[OWNER, SECOND, ODILE], doubtful),
        (&[], doubtful),
    ] {
        assert_eq!(said(&trust, owners, 3, ""), due, "{owners:?}");
    }
    let made_up = "ab".repeat(32);
    for (owners, version, due) in [
        (&[OWNER][..], 2, bars),
        (&[OWNER, OWNER], 2, doubtful),
        // Of other owners nothing is known here.
        (&[99], 2, bars),
        (&[], 2, doubtful),
        (&[OWNER], 0, doubtful),
    ] {
        assert_eq!(said(&trust, owners, version, &made_up), due, "{owners:?} {version}");
    }
    // One that this account has seen is that one, and no other.
    let made_at = trust.made_at();
    trust.remember([(2, SeenVersion { sha256: made_up.clone(), made_at })].into());
    assert_eq!(said(&trust, &[OWNER], 2, &made_up), good);
    assert_eq!(said(&trust, &[OWNER], 2, &"cd".repeat(32)), doubtful);
}
