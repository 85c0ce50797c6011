//! `fillward sign`: what a supervisor can sign, and what the program refuses to put a key to.

use super::morning::from_now;
use super::shop::{ODILE, OWNER, Shop, TAMSIN, TRUST, WREN, owned, passing_but, signing, with_key};
use crate::common;

const FILE: &str = "job.checklist.json";

fn file(shop: &Shop) -> serde_json::Value {
    serde_json::from_str(&shop.read(FILE)).unwrap()
}

fn cold() -> String {
    passing_but("reading: 75.2 degF", "reading: 60 degF")
}

#[test]
fn a_pass_is_signed_read_back_and_may_start() {
    let shop = Shop::new();
    shop.sign(&[]).exits(0).says(&[
        "PASS job HT-0311",
        "by tyre-fill",
        " in order · ",
        " do not apply · 0 permits",
        "loader 4, left front: target 60 psi (window 58.11 to 68.89 psi)",
        "material 598.0 lb to 1007.5 lb",
        "ready to serve from",
        "once signed, a fill may start until",
        "to be signed by supervisor",
        "Signed and read back",
        "the fill may start",
    ]);
    let file = file(&shop);
    assert_eq!(file["checklist"]["verdict"], "PASS");
    assert_eq!(file["checklist"]["inputs"]["record"]["text"], shop.read("job.yaml"));
    assert_eq!(file["checklist"]["rehearsal"], false);
    assert_eq!(shop.leftovers(), [""; 0]);
    shop.verify(&[FILE, "--record", "job.yaml", "--rejudge"])
        .exits(0)
        .says(&["may start", "signed by Odile Varga, supervisor", "judged again with the same findings"])
        .names(&[]);
}

#[test]
fn pass_is_never_signed_on_a_hold() {
    let shop = Shop::new();
    shop.write("job.yaml", cold());
    shop.sign(&[]).exits(1).says(&["HOLD job HT-0311", "tyre-fill/cold-material", "Nothing was signed", "--hold"]);
    assert!(!shop.has(FILE));
}

#[test]
fn a_hold_is_signed_for_the_file_when_asked() {
    let shop = Shop::new();
    shop.write("job.yaml", cold());
    shop.sign(&["--hold"])
        .exits(1)
        .says(&["Signed and read back", "not yet: the verdict is HOLD"])
        .never_says("the fill may start");
    assert_eq!(file(&shop)["checklist"]["verdict"], "HOLD");
    shop.verify(&[FILE, "--record", "job.yaml", "--rejudge"]).exits(1).names(&["hold"]).says(&["in order, but"]);
    // The word decides nothing on a job that passes.
    shop.write("job.yaml", super::shop::passing());
    shop.sign(&["--hold", "--out", "pass.json"]).exits(0).says(&["PASS", "the fill may start"]);
}

#[test]
fn readings_too_old_hold() {
    let shop = Shop::new();
    shop.trust(|trust| trust.zone = common::DEMO_ZONE.to_owned());
    shop.write("job.yaml", common::read("shared/demo/jobs/pass-loader-bias-used.yaml"));
    shop.sign(&[]).exits(1).says(&["HOLD", "tyre-fill/core-temperature-stale", "Nothing was signed"]);
    assert!(!shop.has(FILE));
}

#[test]
fn a_pack_that_nobody_approved_signs_nothing() {
    let shop = Shop::new();
    shop.trust(|trust| trust.packs.clear());
    shop.sign(&[]).exits(3).names(&["pack-not-approved"]);
    // Edited after it was approved: the name is the same, the digest is not.
    shop.trust(|trust| {
        let last = if trust.packs[0][2].ends_with('0') { "1" } else { "0" };
        trust.packs[0][2].replace_range(63.., last);
    });
    shop.sign(&[]).exits(3).names(&["pack-not-approved"]);
    shop.trust(|trust| trust.packs[0][1] = "1999".to_owned());
    shop.sign(&[]).exits(3).names(&["pack-not-approved"]);
    assert!(!shop.has(FILE));
}

#[test]
fn a_key_signs_in_its_time_and_role_only() {
    let shop = Shop::new();
    let refused = |code: &str, more: &[&str], change: &dyn Fn(&mut super::shop::Trusted)| {
        shop.trust(|trust| change(trust.person(ODILE)));
        shop.sign(more).exits(3).names(&[code]);
        assert!(!shop.has(FILE));
    };
    refused("key-not-yet-valid", &[], &|person| person.from = from_now(3600));
    refused("key-expired", &[], &|person| person.until = from_now(-60));
    refused("key-revoked", &[], &|person| person.revoked = Some((from_now(-60), "the laptop was stolen".to_owned())));
    refused("wrong-role", &["--role", "safety-officer"], &|_| {});
    refused("wrong-role", &[], &|person| person.role = "auditor".to_owned());
    shop.trust(|trust| trust.people.retain(|person| person.key != ODILE));
    shop.sign(&[]).exits(3).names(&["unknown-key"]);
    shop.trust(|_| {});
    for key in [TAMSIN, OWNER] {
        shop.run(&signing("job.yaml", key)).exits(3).names(&["wrong-role"]);
    }
    assert!(!shop.has(FILE));
}

/// A safety officer may sign as one, but the pack asks for a supervisor, and says so at once.
#[test]
fn a_signature_in_another_role_does_not_start_a_fill() {
    let shop = Shop::new();
    let arguments = [signing("job.yaml", TAMSIN), owned(&["--role", "safety-officer"])].concat();
    shop.run(&arguments)
        .exits(1)
        .says(&["not yet: signatures are missing: supervisor"])
        .never_says("the fill may start");
    shop.verify(&[FILE, "--record", "job.yaml"]).exits(1).names(&["too-few-signers"]);
}

#[test]
fn what_is_there_is_not_overwritten() {
    let shop = Shop::new();
    shop.write(FILE, "an old checklist\n");
    shop.sign(&[]).exits(2).names(&["cli/exists"]);
    assert_eq!(shop.read(FILE), "an old checklist\n");
    shop.sign(&["--out", "job.yaml"]).exits(2).names(&["cli/exists"]);
    assert!(shop.read("job.yaml").starts_with("# expects: PASS"));
    shop.sign(&["--out", "other.json"]).exits(0);
}

#[test]
fn a_rehearsal_never_may_start() {
    let shop = Shop::new();
    shop.write("demo.yaml", shop.read("job.yaml"));
    let earlier = from_now(-60);
    let arguments = [signing("demo.yaml", ODILE), owned(&["--at", &earlier, "--out", FILE])].concat();
    shop.run(&arguments).exits(1).says(&["PASS", "a rehearsal", "never lets a fill start", "not yet:"]);
    shop.verify(&[FILE, "--record", "demo.yaml", "--rejudge"]).exits(1).names(&["rehearsal"]);
    // Verified as of the instant of the rehearsal it is still one.
    let ran = shop.verify(&[FILE, "--record", "demo.yaml", "--at", &earlier]);
    assert_ne!(ran.exit, Some(0), "{ran:?}");
    assert!(ran.codes().contains(&"rehearsal".to_owned()), "{ran:?}");
    // A rehearsal at the present instant is one all the same.
    shop.sign(&["--at", &from_now(0), "--out", "now.json"]).exits(1).never_says("the fill may start");
    shop.verify(&["now.json", "--record", "job.yaml"]).exits(1).names(&["rehearsal"]);
    // The mark is under the signature.
    shop.write(FILE, shop.read(FILE).replacen("\"rehearsal\": true", "\"rehearsal\": false", 1));
    let ran = shop.verify(&[FILE, "--record", "demo.yaml"]).exits(3);
    assert!(ran.codes().contains(&"changed".to_owned()), "{ran:?}");
}

#[test]
fn nothing_is_signed_without_a_yes() {
    let shop = Shop::new();
    let without = [with_key(&["sign", "job.yaml"], ODILE), owned(&TRUST)].concat();
    shop.run(&without).exits(2).names(&["cli/usage"]).says(&["PASS job HT-0311", "no terminal", "--yes"]);
    assert!(!shop.has(FILE));
}

#[test]
fn a_record_that_cannot_stand_in_a_signed_file_says_why() {
    let shop = Shop::new();
    let refused = |code: &str, record: String| {
        shop.write("job.yaml", record);
        let ran = shop.sign(&["--hold"]);
        assert_ne!(ran.exit, Some(0), "{code}: {ran:?}");
        assert!(ran.says(&[code]).exit >= Some(2));
        assert!(!shop.has(FILE));
    };
    refused("checklist/no-job-number", passing_but("job: HT-0311\n", ""));
    refused("hidden-character", passing_but("east bay", "east\u{200b} bay"));
    refused("hidden-character", passing_but("east bay", "east\u{202e} bay"));
    refused("hidden-character", passing_but("east bay", "east\u{180e} bay"));
    refused("record/unseen-character", passing_but("HT-0311", "HT-\u{200d}0311"));
    refused("not-nfc", passing_but("east bay", "e\u{301}ast bay"));
    refused("schema/", passing_but("site: ", "sight: "));
}

#[test]
fn the_trust_file_is_needed_and_must_be_whole() {
    let shop = Shop::new();
    let sign = with_key(&["sign", "job.yaml", "--yes"], ODILE);
    shop.run(&sign).exits(2).says(&["--trust"]);
    // Nobody signs by a trust file that is taken at its word.
    shop.run(&[sign, owned(&["--trust", "trust.json"])].concat()).exits(2).says(&["--owner"]);
    shop.write("trust.json", shop.read("trust.json").replacen("Hollow", "Hallow", 1));
    shop.sign(&[]).exits(3).says(&["checklist/changed"]);
    std::fs::remove_file(shop.path("trust.json")).unwrap();
    shop.sign(&[]).exits(2).names(&["cli/unreadable"]);
    assert!(!shop.has(FILE));
    // Two supervisors of one shop sign two files of one job; neither hides the other.
    shop.trust(|_| {});
    shop.sign(&[]).exits(0);
    shop.run(&[signing("job.yaml", WREN), owned(&["--out", "wren.json"])].concat()).exits(0);
    shop.verify(&[FILE, "wren.json", "--record", "job.yaml"]).exits(0);
}
