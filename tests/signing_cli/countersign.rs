//! `fillward countersign`: a second person where a pack asks for two, and nobody counted twice.

use super::morning::from_now;
use super::shop::{ODILE, Shop, TAMSIN, WREN, owned, signing};
use crate::common;

const FILE: &str = "job.checklist.json";
const PACK: &str = "two.yaml";

/// A shop with such a pack in force, and the job signed by Odile Varga.
fn signed_once(signed_by: &str) -> Shop {
    let shop = Shop::with_packs(&[(PACK, &common::local_pack("two-people", signed_by))]);
    shop.run(&[signing("job.yaml", ODILE), owned(&["--pack", PACK])].concat())
        .exits(1)
        .says(&["tyre-fill", "two-people 1", "not yet: signatures are missing"])
        .never_says("the fill may start");
    shop
}

fn countersign(shop: &Shop, key: &str, more: &[&str]) -> super::shop::Ran {
    shop.countersign(FILE, key, &[&["--pack", PACK], more].concat())
}

fn verify(shop: &Shop) -> super::shop::Ran {
    shop.verify(&[FILE, "--record", "job.yaml", "--rejudge", "--pack", PACK])
}

#[test]
fn two_supervisors() {
    let shop = signed_once("supervisor, supervisor");
    verify(&shop).exits(1).names(&["too-few-signers"]).says(&["signatures are missing: supervisor"]);
    let before = shop.read(FILE);
    let twice = countersign(&shop, ODILE, &[]).exits(3).names(&["signed-twice"]);
    assert_eq!(twice.err.lines().last(), Some("Nothing was signed. Do not start the pump."));
    assert_eq!(shop.read(FILE), before);
    countersign(&shop, WREN, &[]).exits(0).says(&[
        "PASS job HT-0311",
        "loader 4, left front: target 60 psi (window 58.11 to 68.89 psi)",
        "once signed, a fill may start until",
        "signed by Odile Varga, supervisor",
        "Signed and read back",
        "the fill may start",
    ]);
    verify(&shop).exits(0).says(&["signed by Odile Varga", "signed by Wren Castellane"]);
}

#[test]
fn a_supervisor_and_a_safety_officer() {
    let shop = signed_once("supervisor, safety-officer");
    verify(&shop).exits(1).says(&["signatures are missing: safety-officer"]);
    // A second supervisor is not a safety officer, and nobody signs in a role that is not theirs.
    countersign(&shop, WREN, &["--role", "safety-officer"]).exits(3).names(&["wrong-role"]);
    countersign(&shop, WREN, &[]).exits(1).says(&["not yet: signatures are missing: safety-officer"]);
    verify(&shop).exits(1).names(&["too-few-signers"]);
    countersign(&shop, TAMSIN, &["--role", "safety-officer"]).exits(0).says(&["the fill may start"]);
    verify(&shop).exits(0);
}

/// One person with two keys and two roles is one person.
#[test]
fn a_second_key_of_the_same_person_counts_for_nothing() {
    let shop = signed_once("supervisor, safety-officer");
    let both_roles = |text: String| {
        // Tamsin Brandt's key is given to Odile Varga, and the approval of the packs to her as well.
        let (before, tamsin) =
            text.split_once("  - name: Tamsin Brandt\n    roles: [safety-officer]\n    keys:\n").unwrap();
        let (key, after) = tamsin.split_once("  - name: ").unwrap();
        let before = before.replacen(
            "name: Odile Varga\n    roles: [supervisor]\n    keys:\n",
            &format!("name: Odile Varga\n    roles: [supervisor, safety-officer]\n    keys:\n{key}"),
            1,
        );
        format!("{before}  - name: {after}").replace("approved_by: Tamsin Brandt", "approved_by: Odile Varga")
    };
    let text = both_roles(shop.read("trust.yaml")).replacen("version: 1\n", "version: 2\n", 1);
    shop.write("trust.yaml", text);
    let sign = ["trust", "sign", "trust.yaml", "--out", "trust.json"];
    shop.run(&super::shop::with_key(&sign, super::shop::OWNER)).exits(0);
    let ran = countersign(&shop, TAMSIN, &["--role", "safety-officer"]).exits(3);
    assert!(ran.codes().contains(&"signed-twice".to_owned()), "{ran:?}");
    verify(&shop).exits(1).says(&["signatures are missing: safety-officer"]);
}

#[test]
fn nobody_countersigns_what_is_not_in_order() {
    let shop = signed_once("supervisor, supervisor");
    let good = shop.read(FILE);
    let refused = |codes: &[&str], file: &str| {
        shop.write(FILE, file);
        let ran = countersign(&shop, WREN, &[]).exits(3);
        assert!(codes.iter().all(|code| ran.codes().contains(&(*code).to_owned())), "{codes:?}: {ran:?}");
        assert_eq!(shop.read(FILE), file);
    };
    refused(&["changed"], &good.replacen("60 psi", "61 psi", 1));
    refused(&["not-exact-form"], &good.replacen('\n', " \n", 1));
    refused(&["other-document"], &shop.read("trust.json"));
    shop.write(FILE, &good);
    shop.countersign("nothing.json", WREN, &[]).exits(2).names(&["cli/unreadable"]);
    // The key that is to sign must itself be in order.
    shop.trust_with(PACK, |trust| {
        trust.version = 2;
        trust.person(WREN).until = from_now(-60);
    });
    countersign(&shop, WREN, &[]).exits(3).names(&["key-expired"]);
    // The first signer's key was stolen before it signed.
    shop.trust_with(PACK, |trust| {
        trust.version = 3;
        trust.person(ODILE).revoked = Some((from_now(-600), "stolen".to_owned()));
    });
    countersign(&shop, WREN, &[]).exits(3).names(&["key-revoked"]);
    assert_eq!(shop.read(FILE), good);
}

/// The demand for two stands in the signed body, so leaving the pack away later changes nothing.
#[test]
fn the_second_signature_cannot_be_taken_away_again() {
    let shop = signed_once("supervisor, supervisor");
    countersign(&shop, WREN, &[]).exits(0);
    let mut file: serde_json::Value = serde_json::from_str(&shop.read(FILE)).unwrap();
    file["signatures"].as_array_mut().unwrap().pop();
    shop.write("one.json", serde_json::to_string_pretty(&file).unwrap() + "\n");
    let one = ["one.json", "--record", "job.yaml"];
    shop.verify(&one).exits(1).names(&["too-few-signers", "not-rejudged"]);
    shop.verify(&[&one[..], &["--pack", PACK]].concat()).exits(1).names(&["too-few-signers"]);
}

/// A pack that the shop requires cannot be left away, and with it the demand for two.
#[test]
fn a_required_pack_is_not_left_out() {
    let shop = Shop::with_packs(&[(PACK, &common::local_pack("two-people", "supervisor, supervisor"))]);
    shop.sign(&[]).exits(3).names(&["pack-left-out"]).says(&["the pack `two-people` must judge every job"]);
    assert!(!shop.has(FILE));
}

/// The second person answers for the record as it now stands, and judges it again by the same packs.
#[test]
fn who_countersigns_judges_again() {
    let shop = signed_once("supervisor, supervisor");
    let before = shop.read(FILE);
    shop.countersign(FILE, WREN, &[]).exits(3).names(&["other-packs"]).says(&["two-people 1"]);
    let record = shop.read("job.yaml");
    shop.write("job.yaml", record.clone() + "# checked\n");
    countersign(&shop, WREN, &[]).exits(3).names(&["record-changed"]);
    shop.write("job.yaml", record);
    let without =
        [super::shop::with_key(&["countersign", FILE, "--yes", "--pack", PACK], WREN), owned(&super::shop::TRUST)];
    shop.run(&without.concat()).exits(2).says(&["--record"]);
    assert_eq!(shop.read(FILE), before);
    countersign(&shop, WREN, &[]).exits(0).says(&["the fill may start"]);
}
