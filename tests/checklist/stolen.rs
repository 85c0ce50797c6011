//! A stolen key, and what bears out that something was signed before the theft.

use fillward::checklist::jws::Role;
use fillward::checklist::signing::sign;
use fillward::checklist::trust::Revocation;
use fillward::checklist::verify::verify;

use crate::shop::{ODILE, Shop, WREN, codes, key, later, passing};

/// A key is stolen: what it signed before is in order where another person signed the same before the theft, and nothing
/// starts by it; what only the stolen key says of itself is not.
#[test]
fn what_a_stolen_key_signed_is_borne_out_by_another_person_alone() {
    let (shop, record) = (Shop::new(), passing());
    // Signed by each at these seconds after the judgement.
    let file = |signers: &[(u8, i128)]| {
        let (body, mut envelope) = shop.make(&record, |_| {});
        for (seed, seconds) in signers {
            sign(&mut envelope, &body, &key(*seed), Role::Supervisor, &shop.trust(), later(*seconds)).unwrap();
        }
        envelope.to_file().unwrap()
    };
    let said = |file: &[u8], stolen: &[(usize, i128)]| {
        let mut body = shop.trust_body();
        for (person, seconds) in stolen {
            let end = Revocation { at: later(*seconds).to_record_text(), why: "stolen".to_owned() };
            body.people[*person].keys[0].revoked = Some(end);
        }
        let report = verify("f", file, &shop.question(&Shop::next(&body), &record));
        (codes(&report), report.in_order(), report.may_start())
    };
    let doubtful = (vec!["key-revoked-since"], false, false);
    let borne_out = (vec!["key-revoked-since"], true, false);
    assert_eq!(said(&file(&[(ODILE, 60)]), &[(0, 300)]), doubtful);
    let both = file(&[(ODILE, 60), (WREN, 120)]);
    assert_eq!(said(&both, &[(0, 300)]), borne_out);
    assert_eq!(said(&both, &[(0, 121)]), borne_out);
    // The other one signed when the key was stolen already, or has lost a key as well.
    assert_eq!(said(&both, &[(0, 120)]), doubtful);
    assert_eq!(said(&both, &[(0, 300), (1, 300)]), (vec!["key-revoked-since"; 2], false, false));
    // From the theft on nothing by the key counts, whoever else signs.
    assert_eq!(said(&both, &[(0, 60)]).0, ["key-revoked"]);
}
