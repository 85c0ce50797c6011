//! `fillward verify`: what is wrong with a file has its own words and its own code, and only what is right may start.

use fillward::checklist::canonical;
use fillward::checklist::jws::Envelope;
use fillward::checklist::keys::SecretKey;
use fillward::checklist::trust::Revocation;
use fillward::units::Instant;
use fillward::vocabulary::{HoldPoint, Kind, Role};
use serde_json::{Value, json};

use crate::common;
use crate::shop::Shop;
use crate::shop::counter::WORDS;
use crate::shop::folder::{Folder, MAIRE, ODILE, TRUST};
use crate::shop::morning::from_now;

pub(super) const FILE: &str = "job.checklist.json";

pub(super) fn signed() -> Shop<Folder> {
    let shop = Shop::new().in_folder();
    shop.sign(&[]).exits(0);
    shop
}

/// The file as somebody would change it who knows its form.
fn forged(shop: &Shop<Folder>, change: impl FnOnce(&mut Value)) -> Vec<u8> {
    let mut value: Value = serde_json::from_str(&shop.read(FILE)).unwrap();
    change(&mut value);
    canonical::file("forged", &value).unwrap().0
}

/// The same, signed again by somebody who has Odile Varga's key.
fn signed_over(shop: &Shop<Folder>, role: Role, at: &str, change: impl FnOnce(&mut Value)) -> Vec<u8> {
    let mut value: Value = serde_json::from_str(&shop.read(FILE)).unwrap();
    change(&mut value["checklist"]);
    let key = SecretKey::from_encrypted_pem(&shop.read(&format!("{ODILE}.key.pem")), WORDS.as_bytes()).unwrap();
    let mut envelope = Envelope::new(Kind::Checklist, &value["checklist"]).unwrap();
    envelope.sign(&key, role, Instant::parse(at).unwrap()).unwrap();
    envelope.to_file().unwrap()
}

#[test]
fn the_record_must_be_the_one_that_was_signed() {
    let shop = signed();
    shop.verify(&[FILE])
        .exits(1)
        .never_says("stop at")
        .names(&["record-not-given"])
        .says(&["In order. Do not start the pump.", "--record"]);
    shop.put("edited.yaml", shop.read("job.yaml").replacen("pressure: 60 psi", "pressure: 58 psi", 1));
    let line = shop.read("job.yaml").lines().position(|line| line.contains("pressure: 60 psi")).unwrap() + 1;
    shop.verify(&[FILE, "--record", "edited.yaml"])
        .exits(1)
        .names(&["record-changed"])
        .says(&[
            "In order, but it does not fit what was given. Do not start the pump.",
            &format!("first in line {line}"),
        ])
        .never_says("NOT TO BE RELIED ON");
    shop.put("longer.yaml", shop.read("job.yaml") + "# checked\n");
    shop.verify(&[FILE, "--record", "longer.yaml"]).exits(1).names(&["record-changed"]);
    shop.verify(&[FILE, "--record", "none.yaml"]).exits(2).names(&["cli/unreadable"]);
    shop.verify(&[FILE, "--record", "job.yaml", "--job", "HT-0999"])
        .exits(1)
        .names(&["other-job"])
        .says(&["is for the job `HT-0311`, not `HT-0999`"]);
    shop.verify(&[FILE, "--record", "job.yaml", "--hold-point", "before-air"])
        .exits(1)
        .names(&["other-hold-point"])
        .says(&[
            "is for the hold point `before fill`, not `before air`",
            "In order, but it does not fit what was given.",
        ])
        .says(&[HoldPoint::BeforeAir.stop()])
        .never_says("may start");
    shop.verify(&[FILE, "--record", "job.yaml", "--assembly", "loader 4, right front"])
        .exits(1)
        .names(&["other-assemblies"])
        .says(&["does not cover `loader 4, right front`; it is for `loader 4, left front`"])
        .never_says("may start");
    shop.verify(&[FILE, "--record", "job.yaml", "--hold-point", "before-fill"]).exits(0).says(&["The fill may start"]);
    shop.verify(&[FILE, "--record", "job.yaml", "--job", "HT-0311"]).exits(0).says(&[
        "The fill may start “job.checklist.json”",
        "for 1 assembly: 1. “loader 4, left front”, tyre size “17.5-25”, target pressure “60 psi”",
        "of “Hollow Tarn”, by its trust file version 1 · by tyre-fill",
        "loader 4, left front: stop at 60 psi; never above 66 psi, where the pump stops by itself: if it does not, shut it off",
        "Stop at once, and let nobody near",
    ]);
}

#[test]
fn what_is_no_checklist_is_not_taken_for_one() {
    let shop = signed();
    let verify = |name: &str| shop.verify(&[name, "--record", "job.yaml"]);
    shop.put("empty.json", "");
    for name in ["empty.json", "words.txt"] {
        verify(name)
            .exits(3)
            .names(&["not-json"])
            .says(&["the file is not a checklist", "give the checklist, the `.checklist.json`"]);
    }
    verify("job.yaml")
        .exits(2)
        .says(&["is a job record, not a checklist", "give the checklist, the `.checklist.json`"]);
    verify("trust.json")
        .exits(2)
        .says(&[
            "Not verified: “trust.json” “trust.json” is a trust file, not a checklist",
            "give the checklist, the `.checklist.json`",
        ])
        .never_says("NOT TO BE RELIED ON");
    shop.put("bytes.json", [0xff, 0xfe, 0x00]);
    verify("bytes.json").exits(3).names(&["not-utf8"]);
    std::fs::create_dir(shop.path("folder.json")).unwrap();
    // What does not even begin like one is a damaged one.
    shop.put("more.json", shop.read("trust.json").replacen("{\n", "{\n  \"a\": 1,\n", 1));
    verify("more.json").exits(3).names(&["other-document"]);
    let cure = "check the path and the permission";
    verify("folder.json").exits(2).says(&["cli/usage", "the folder `folder.json` has no file"]);
    verify("none.json").exits(2).says(&["Not verified", "cannot read `none.json`", cure]);
    let deep: Vec<String> = (0..40).map(|depth| format!("{}[\n", "  ".repeat(depth))).collect();
    shop.put("deep.json", deep.concat());
    verify("deep.json").exits(3).names(&["too-deep"]);
}

/// Where nobody was named whose trust file it must be, that is said, and not that nobody accepted them.
#[test]
fn without_an_owner_nobody_said_whose_it_is() {
    let shop = signed();
    let verify = ["verify", FILE, "--record", "job.yaml", "--trust", "trust.json"];
    shop.run(&verify)
        .exits(1)
        .names(&["trust-unpinned"])
        .says(&["NOBODY SAID WHOSE TRUST FILE IT MUST BE. Do not start"])
        .never_says("ACCEPTED");
    shop.run(&["show", FILE, "--trust", "trust.json"]).exits(1).says(&["NOBODY SAID WHOSE TRUST FILE IT MUST BE"]);
}

#[test]
fn a_file_cut_short_is_never_in_order() {
    let shop = signed();
    let whole = shop.read(FILE);
    let cuts: Vec<usize> =
        (0..40).map(|part| whole.len() * part / 40).chain([whole.len() - 1, whole.len() - 2]).collect();
    let names: Vec<String> = cuts.iter().map(|cut| format!("cut-{cut}.json")).collect();
    for (cut, name) in cuts.iter().zip(&names) {
        shop.put(name, &whole.as_bytes()[..*cut]);
    }
    let files: Vec<&str> = names.iter().map(String::as_str).collect();
    let ran = shop.verify(&[&files[..], &["--record", "job.yaml"]].concat()).exits(3);
    assert_eq!(ran.out.matches("NOT TO BE RELIED ON  “").count(), cuts.len(), "{}", ran.out);
    // A disk that filled up leaves zeros where the rest should be.
    shop.put("zeros.json", [&whole.as_bytes()[..4000], &vec![0; whole.len() - 4000]].concat());
    shop.verify(&["zeros.json"]).exits(3);
}

/// Each way to tamper with a file has its own code: nobody has to guess what is wrong.
#[test]
fn every_kind_of_damage_has_its_own_code() {
    let shop = signed();
    let text = shop.read(FILE);
    let cases: Vec<(&str, Vec<u8>)> = vec![
        ("duplicate-key", text.replacen("\n    \"job\": ", "\n    \"job\": \"HT-0999\",\n    \"job\": ", 1).into()),
        ("not-exact-form", text.replacen(": ", ":  ", 1).into()),
        ("number-not-safe", text.replacen("\"version\": 1", "\"version\": 1.0", 1).into()),
        ("hidden-character", text.replacen("HT-0311", "HT-0311\u{200b}", 1).into()),
        ("not-nfc", text.replacen("HT-0311", "HT-031e\u{301}", 1).into()),
        ("key-not-ascii", text.replacen("\"job\"", "\"j\u{f6}b\"", 1).into()),
        ("content", forged(&shop, |value| value["checklist"]["note"] = json!("fine"))),
        ("other-document", forged(&shop, |value| value["note"] = json!("fine"))),
        ("signatures-form", forged(&shop, |value| value["signatures"][0]["header"] = json!({}))),
        ("not-signed", forged(&shop, |value| value["signatures"] = json!([]))),
        ("signature-form", forged(&shop, |value| value["signatures"][0]["signature"] = json!("AAAA"))),
        ("header-not-exact", forged(&shop, |value| value["signatures"][0]["protected"] = json!("e30"))),
        ("changed", forged(&shop, |value| value["checklist"]["program"]["edition"] = json!("another"))),
        ("record-digest", forged(&shop, |value| value["checklist"]["inputs"]["record"]["text"] = json!("record: 1\n"))),
        ("contradiction", forged(&shop, |value| value["checklist"]["job"] = json!(""))),
        (
            "signed-twice",
            forged(&shop, |value| {
                let first = value["signatures"][0].clone();
                value["signatures"].as_array_mut().unwrap().push(first);
            }),
        ),
        ("signed-before-judged", signed_over(&shop, Role::Supervisor, &from_now(-3600), |_| {})),
        ("signed-ahead", signed_over(&shop, Role::Supervisor, &from_now(3600), |_| {})),
        ("wrong-role", signed_over(&shop, Role::Auditor, &from_now(0), |_| {})),
        (
            "judged-ahead",
            signed_over(&shop, Role::Supervisor, &from_now(7300), |body| {
                body["judged_at"] = json!(from_now(7200));
            }),
        ),
        (
            "back-dated",
            signed_over(&shop, Role::Supervisor, &from_now(0), |body| {
                body["judged_at"] = json!(from_now(-4 * 3600));
            }),
        ),
        (
            "pack-not-approved",
            signed_over(&shop, Role::Supervisor, &from_now(0), |body| {
                body["inputs"]["packs"][0]["sha256"] = json!("0".repeat(64));
            }),
        ),
    ];
    for (code, bytes) in cases {
        shop.put("bad.json", bytes);
        let ran = shop.verify(&["bad.json", "--record", "job.yaml"]).exits(3).says(&["NOT TO BE RELIED ON"]);
        assert!(ran.codes().contains(&code.to_owned()), "{code}: {ran:?}");
    }
    // Signed under a later version than the one at hand, it is no forgery and cannot be judged.
    let later = |body: &mut Value| body["inputs"]["trust"]["version"] = json!(9);
    shop.put("bad.json", signed_over(&shop, Role::Supervisor, &from_now(0), later));
    shop.verify(&["bad.json", "--record", "job.yaml"]).exits(1).names(&["trust-older"]).says(&["it cannot be judged"]);
    shop.trust(|trust| trust.people.retain(|person| person.name != "Odile Varga"));
    // An account that has seen the version before takes no version that leaves somebody out.
    shop.verify(&[FILE, "--record", "job.yaml"]).exits(3).names(&["trust-unsound"]);
    shop.forget_trust();
    let unknown = ["unknown-key", "too-few-signers", "trust-unseen"];
    shop.verify(&[FILE, "--record", "job.yaml"]).exits(3).names(&unknown);
}

#[test]
fn judging_again_needs_the_packs_that_judged() {
    let shop = signed();
    shop.put("north.yaml", common::local_pack("county-north", "supervisor"));
    let verify = [FILE, "--record", "job.yaml", "--pack", "north.yaml"];
    shop.verify(&verify).exits(1).names(&["not-rejudged"]).says(&["In order. Do not start the pump."]);
    shop.verify(&[&verify[..], &["--rejudge"]].concat())
        .exits(3)
        .names(&["other-packs"])
        .says(&["county-north 1", "county-north 1 was given, and did not judge"]);
}

#[test]
fn a_verification_as_of_another_instant_says_so() {
    let shop = signed();
    let at = |seconds: i64| shop.verify(&[FILE, "--record", "job.yaml", "--at", &from_now(seconds)]);
    at(60)
        .exits(1)
        .names(&["not-now"])
        .says(&[
            "the fill could have started “job.checklist.json”",
            "Verified as of a time that was given by hand, not now.",
        ])
        .never_says("may start");
    at(13 * 3600).exits(1).names(&["lapsed", "not-now"]).never_says("could have");
    at(400 * 86_400).exits(1).names(&[]).says(&["In order, old", "keys and trust files end as planned"]);
    // Whoever looks back does so with the latest trust file, so that this was made later says nothing.
    at(-86_400 / 2)
        .exits(1)
        .names(&["not-yet"])
        .says(&["It was not there yet at the time that you ask for. Do not start the pump.", "or leave --at out"])
        .never_says("NOT TO BE RELIED ON");
    shop.verify(&[FILE, "--at", "yesterday"]).exits(2).says(&["cli/usage", "--at"]);
}

/// A trust file taken at its word is said to be; one that is missing is no reason to say yes.
#[test]
fn whose_trust_file_it_is_is_said() {
    let shop = signed();
    shop.run(&["verify", FILE, "--record", "job.yaml", "--trust", "trust.json"])
        .exits(1)
        .names(&["trust-unpinned"])
        .says(&[
            "SIGNED BY THE TRUST FILE GIVEN, AND NOBODY SAID WHOSE TRUST FILE IT MUST BE. Do not start the pump.",
            "taken at its word",
            "--owner",
        ]);
    shop.run(&["verify", FILE, "--record", "job.yaml"]).exits(2).says(&["--trust"]);
    shop.run(&["verify", FILE, "--record", "job.yaml", "--trust", FILE]).exits(3).names(&["other-document"]);
    shop.run(&[&["verify"][..], &TRUST].concat()).exits(2).says(&["CHECKLISTS"]);
    let maire = format!("{MAIRE}.pub.pem");
    shop.run(&["verify", FILE, "--trust", "trust.json", "--owner", &maire]).exits(3).names(&["trust-not-by-owner"]);
}

/// Of a key that was revoked since nobody says that its signature was good when it was made.
#[test]
fn a_signature_by_a_key_revoked_since_is_never_called_good() {
    let shop = signed();
    let (at, why) = (from_now(60), "the laptop was stolen".to_owned());
    shop.trust(|trust| trust.people[0].keys[0].revoked = Some(Revocation { at, why }));
    shop.verify(&[FILE, "--record", "job.yaml"])
        .exits(3)
        .names(&["key-revoked-since"])
        .says(&[
            ": by a key that has been revoked since",
            "whoever has it can write any time",
            "nobody else signed before",
        ])
        .never_says("was good when it was made");
    shop.run(&[&["show", FILE][..], &TRUST].concat()).exits(3).says(&["THE KEY HAS BEEN REVOKED SINCE"]);
    // A key that was given back was good.
    let shop = signed();
    shop.trust(|trust| {
        let (at, why) = (from_now(60), "left the shop".to_owned());
        trust.people[0].keys[0].retired = Some(Revocation { at, why });
    });
    shop.run(&[&["show", FILE][..], &TRUST].concat()).exits(0).never_says("REVOKED");
}

/// Whose trust file stands behind an answer is in every form of it, in the words that stand on the paper.
#[test]
fn the_owners_words_are_in_every_form() {
    let shop = signed();
    let words = |text: &str, before: &str| {
        text.lines().find_map(|line| line.trim().strip_prefix(before)).unwrap().trim().to_owned()
    };
    let key = words(&shop.run(&["key", "show", TRUST[3]]).exits(0).out, "words");
    let file = words(&shop.run(&[&["trust", "show"][..], &TRUST].concat()).exits(0).out, "words of this version");
    let by = format!(
        "By the trust file of “Hollow Tarn”, version 1 ({file}) signed by its owner Ansel Prewitt-Okoro ({key})"
    );
    // Beside the first one a later one would bar it.
    std::fs::create_dir(shop.path("apart")).unwrap();
    shop.sign(&["--out", "apart/again.checklist.json"]).exits(0).says(&[&by]);
    let verify = |format: &str| shop.verify(&[FILE, "--record", "job.yaml", "--format", format]).exits(0);
    verify("text").says(&[&by]);
    verify("table").says(&[&by]);
    let csv = verify("csv").out;
    assert!(csv.lines().next().unwrap().ends_with(",shop,trust_version,trust_signed_by"), "{csv}");
    let ending = format!(",\"Hollow Tarn\",\"1\",\"Ansel Prewitt-Okoro ({key})\"");
    assert!(csv.lines().nth(1).unwrap().ends_with(&ending), "{csv}");
    let json: Value = serde_json::from_str(&verify("json").out).unwrap();
    assert_eq!(
        json["trust"],
        json!({
            "shop": "Hollow Tarn", "version": 1, "words": file, "taken_at_its_word": false,
            "signed_by": [{"name": "Ansel Prewitt-Okoro", "words": key}],
        })
    );
    let content: Value = serde_json::from_str(&shop.read(FILE)).unwrap();
    let owners = &content["checklist"]["inputs"]["trust"]["owners"];
    assert_eq!(owners, &json!([key]));
    shop.run(&["show", FILE]).exits(0).says(&[&format!("Owner key {key}, to be compared with the shop's paper")]);
}

#[test]
fn what_a_file_quotes_does_not_steer_the_terminal() {
    let shop = Shop::new().in_folder();
    shop.sign(&[]).exits(0);
    let mut value: Value = serde_json::from_str(&shop.read("job.checklist.json")).unwrap();
    value["checklist"]["job"] = json!("HT-1\nother.json: may start");
    let (file, _) = canonical::file("f", &value).unwrap();
    let name = "odd\u{1b}[2K\u{202e}.json";
    shop.put(name, &file);
    let ran = shop.verify(&[name, "gone\u{7}.json", "--record", "job.yaml"]).exits(3);
    assert!(!ran.out.contains(['\u{1b}', '\u{202e}', '\u{7}']), "{:?}", ran.out);
    let ran = ran.says(&[
        r"NOT TO BE RELIED ON “odd\u{1b}[2K\u{202e}.json”",
        r"HT-1\u{a}other.json: may start",
        r"gone\u{7}.json",
    ]);
    assert!(!ran.out.lines().any(|line| line.starts_with("other.checklist.json")), "{}", ran.out);
}
