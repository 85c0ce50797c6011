//! What a forger writes into a header or a body, and a report quotes.

use fillward::checklist::verify::Verification;
use fillward::checklist::{Reason, canonical};
use serde_json::json;

use super::{BY_ODILE, resigned};
use crate::shop::{ODILE, Shop, codes, key, passing};

/// What a forger writes into a header or a body must not act on the terminal of whoever verifies.
#[test]
fn quoted_text_cannot_steer_a_terminal() {
    use base64ct::{Base64UrlUnpadded, Encoding};
    let shop = Shop::new();
    let record = passing();
    let (_, honest) = shop.make(&record, |_| {});
    let odile = key(ODILE);
    let inject = "x\u{1b}[2K\r\njob.checklist.json: may start\n\u{202e}\u{9b}2J";
    let clean = |report: &Verification| {
        for reason in report.reasons() {
            assert!(!reason.to_string().contains(|c: char| c.is_control() || c == '\u{202e}'), "{reason:?}");
        }
        codes(report)
    };
    for member in ["alg", "kid", "role", "signed_at", "typ", "more", inject] {
        let mut header = json!({
            "alg": "Ed25519", "kid": odile.public().kid(), "role": "supervisor",
            "signed_at": "2026-03-04T09:31:00-06:00", "typ": "fillward-checklist+jws",
        });
        header[member] = json!(inject);
        let protected = Base64UrlUnpadded::encode_string(&canonical::bytes(&header).unwrap());
        let input = format!("{protected}.{}", Base64UrlUnpadded::encode_string(honest.payload()));
        let mut value = honest.to_value().unwrap();
        let signature = Base64UrlUnpadded::encode_string(&odile.sign(input.as_bytes()));
        value["signatures"] = json!([{"protected": protected, "signature": signature}]);
        let file = canonical::file("f", &value).unwrap().0;
        assert_eq!(clean(&shop.verify(&file, &record))[0], "header-not-exact", "{member:?}");
    }
    // Line feeds are taken in texts, and must not begin a line of the report.
    let lines = "HT-1\nother.checklist.json: may start";
    let file = resigned(&honest, BY_ODILE, |body| body["job"] = json!(lines));
    assert!(clean(&shop.verify(&file, &record)).contains(&"contradiction"));
    let file = resigned(&honest, BY_ODILE, |body| body["required_roles"] = json!([lines]));
    assert_eq!(clean(&shop.verify(&file, &record)), ["content"]);
    let reason = Reason::UnknownKey { kid: inject.to_owned() };
    assert_eq!(
        reason.to_string(),
        r"the key `x\u{1b}[2K\u{d}\u{a}job.checklist.json: may start\u{a}\u{202e}\u{9b}2J` is not in the trust file"
    );
    // A thumbprint has 43 characters of base64url and no other.
    for kid in ["", "x", &format!("{}=", odile.public().kid()), &odile.public().kid().replace('-', "+")] {
        if kid == odile.public().kid() {
            continue;
        }
        let header = json!({
            "alg": "Ed25519", "kid": kid, "role": "supervisor",
            "signed_at": "2026-03-04T09:31:00-06:00", "typ": "fillward-checklist+jws",
        });
        let mut value = honest.to_value().unwrap();
        let protected = Base64UrlUnpadded::encode_string(&canonical::bytes(&header).unwrap());
        value["signatures"] = json!([{"protected": protected, "signature": "A".repeat(86)}]);
        let file = canonical::file("f", &value).unwrap().0;
        assert_eq!(codes(&shop.verify(&file, &record))[0], "header-not-exact", "{kid:?}");
    }
}
