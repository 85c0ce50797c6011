//! `fillward trust`: the owner's file, and why another is not taken for it.

use super::shop::{ODILE, OWNER, SECOND_OWNER, Shop, TAMSIN, TRUST, with_key};

const SIGN: [&str; 5] = ["trust", "sign", "trust.yaml", "--out", "trust.json"];

fn signatures(shop: &Shop) -> usize {
    let file: serde_json::Value = serde_json::from_str(&shop.read("trust.json")).unwrap();
    file["signatures"].as_array().unwrap().len()
}

#[test]
fn a_trust_file_is_signed_and_shown() {
    let shop = Shop::new();
    let shown = shop.run(&[&["trust", "show"][..], &TRUST].concat()).exits(0);
    let shown = shown.says(&[
        "Hollow Tarn depot, version 1",
        "Odile Varga supervisor",
        "pack tyre-fill",
        "approved by Tamsin Brandt",
    ]);
    let digest = shop.run(&["trust", "packs"]).exits(0).out.split_whitespace().nth(2).unwrap().to_owned();
    shown.says(&[&digest]).never_says("taken at its word");
    shop.run(&["trust", "show", "--trust", "trust.json"]).exits(0).says(&["Taken at its word", "--owner"]);
}

#[test]
fn a_second_owner_signs_the_same_file() {
    let shop = Shop::with_keys();
    shop.write("trust.yaml", shop.trust_text(&[], |trust| trust.owners_needed = 2));
    shop.run(&with_key(&SIGN, OWNER)).exits(0).says(&["1 of 2 owners"]);
    shop.run(&[&["trust", "show"][..], &TRUST].concat())
        .exits(3)
        .names(&["trust-not-by-owner"])
        .says(&["1 of 2 signatures by owners it names"]);
    shop.run(&with_key(&SIGN, SECOND_OWNER)).exits(0).says(&["2 of 2 owners"]);
    assert_eq!(signatures(&shop), 2);
    shop.run(&[&["trust", "show"][..], &TRUST].concat()).exits(0);
    // A change of the content starts without signatures.
    shop.write("trust.yaml", shop.read("trust.yaml").replacen("version: 1\n", "version: 2\n", 1));
    shop.run(&with_key(&SIGN, OWNER)).exits(0).says(&["version 2", "1 of 2 owners"]);
    assert_eq!(signatures(&shop), 1);
}

#[test]
fn only_an_owner_signs_it() {
    let shop = Shop::with_keys();
    shop.write("trust.yaml", shop.trust_text(&[], |_| {}));
    for key in [ODILE, TAMSIN] {
        shop.run(&with_key(&SIGN, key)).exits(3).names(&["wrong-role"]);
    }
    shop.write("trust.yaml", shop.trust_text(&[], |trust| trust.people.retain(|person| person.key != SECOND_OWNER)));
    shop.run(&with_key(&SIGN, SECOND_OWNER)).exits(3).names(&["unknown-key"]);
    assert!(!shop.has("trust.json"));
}

#[test]
fn unsound_trust_is_refused_before_anybody_signs_it() {
    let shop = Shop::with_keys();
    let refused = |phrase: &str, change: &dyn Fn(&mut super::shop::Trusting)| {
        shop.write("trust.yaml", shop.trust_text(&[], |trust| change(trust)));
        let ran = shop.run(&with_key(&SIGN, OWNER)).exits(3).says(&[phrase]);
        assert!(ran.codes().iter().all(|code| code == "trust-unsound"), "{ran:?}");
        assert!(!shop.has("trust.json"));
    };
    refused("it ends before it is made", &|trust| trust.ends_at.clone_from(&trust.made_at));
    refused("3 owners must sign, and it names 2", &|trust| trust.owners_needed = 3);
    refused("two people are called", &|trust| trust.person(ODILE).name = "Tamsin Brandt".to_owned());
    // A Cyrillic letter in a Latin name.
    refused("mixes scripts", &|trust| trust.person(ODILE).name = "\u{41e}dile Varga".to_owned());
    refused("look alike", &|trust| trust.person(ODILE).name = "Tarnsin Brandt".to_owned());
    refused("is approved by `Tamsin Brandt`, who is no safety officer", &|trust| {
        trust.person(TAMSIN).role = "auditor".to_owned();
    });
    refused("give Tamsin Brandt the role `safety-officer`, or name one who has it", &|trust| {
        trust.person(TAMSIN).role = "auditor".to_owned();
    });
    refused(
        "give Tamsin Brandt the role `safety-officer`, or name one who has it, such as Wren Castellane",
        &|trust| {
            trust.person(TAMSIN).role = "auditor".to_owned();
            trust.person(super::shop::WREN).role = "safety-officer".to_owned();
        },
    );
    refused("add Tamsin Brandt to `people` with the role `safety-officer`", &|trust| {
        trust.people.retain(|person| person.key != TAMSIN);
    });
    refused("NOT SIGNED: the trust file `trust.yaml` is not in order", &|trust| trust.owners_needed = 3);
    refused("stands there twice", &|trust| trust.person(ODILE).key = TAMSIN.to_owned());
    refused("ends before it begins", &|trust| {
        let person = trust.person(ODILE);
        person.until.clone_from(&person.from);
    });
}

#[test]
fn a_trust_file_that_is_not_one_says_where() {
    let shop = Shop::with_keys();
    let good = shop.trust_text(&[], |_| {});
    shop.write("trust.yaml", good.replacen("shop: ", "depot: ", 1));
    shop.run(&with_key(&SIGN, OWNER)).exits(2).says(&["schema/", "depot", "trust.yaml:2"]);
    shop.write("trust.yaml", good.replacen("roles: [owner]", "roles: [boss]", 1));
    shop.run(&with_key(&SIGN, OWNER)).exits(2).says(&["schema/", "boss"]);
    shop.write("trust.yaml", good.replacen("version: 1\n", "version: one\n", 1));
    shop.run(&with_key(&SIGN, OWNER)).exits(2).says(&["schema/", "one"]);
    // The YAML itself is not a signed file.
    shop.write("trust.yaml", &good);
    shop.run(&["trust", "show", "--trust", "trust.yaml"]).exits(3).names(&["not-json"]).says(&[
        "the trust file `trust.yaml` is not in order",
        "the file is not a trust file",
        "which `fillward trust sign` writes",
    ]);
}

#[test]
fn an_older_version_is_not_passed_off() {
    let shop = Shop::new();
    let old = shop.read("trust.json");
    shop.trust(|trust| trust.version = 2);
    shop.sign(&[]).exits(0);
    shop.write("trust.json", old);
    // Whoever has seen version 2 says so ...
    let at_least = [&TRUST[..], &["--trust-at-least", "2"]].concat();
    shop.run(&[&["trust", "show"][..], &at_least].concat()).exits(3).names(&["trust-older"]).says(&["has been in use"]);
    let asked = [&TRUST[..], &["--trust-at-least", "3"]].concat();
    shop.write("kept.json", shop.read("trust.json"));
    shop.trust(|trust| trust.version = 2);
    shop.run(&[&["trust", "show"][..], &asked].concat())
        .exits(3)
        .names(&["trust-older"])
        .says(&["the trust file is version 2; version 3 or later was asked for"])
        .never_says("has been in use");
    shop.write("trust.json", shop.read("kept.json"));
    let verify = ["verify", "job.checklist.json", "--record", "job.yaml"];
    shop.run(&[&verify[..], &at_least].concat()).exits(3).names(&["trust-older"]);
    // ... and so does a machine that has opened it for this owner ...
    shop.run(&[&["trust", "show"][..], &TRUST].concat()).exits(3).names(&["trust-older"]);
    shop.sign(&["--out", "again.json"]).exits(3).names(&["trust-older"]);
    assert!(!shop.has("again.json"));
    // ... and whoever has not learns it from the checklist.
    shop.forget_trust();
    shop.verify(&verify[1..]).exits(3).names(&["trust-older"]).says(&["version 1; version 2 has been in use"]);
}

#[test]
fn a_trust_file_of_somebody_else_is_not_taken() {
    let shop = Shop::new();
    shop.sign(&[]).exits(0);
    let verify = ["verify", "job.checklist.json", "--record", "job.yaml", "--trust", "trust.json", "--owner"];
    for (owner, exit) in [(OWNER, 0), (SECOND_OWNER, 3), (ODILE, 3)] {
        let ran = shop.run(&[&verify[..], &[&format!("{owner}.pub.pem")]].concat()).exits(exit);
        assert_eq!(ran.codes().iter().any(|code| code == "trust-not-by-owner"), exit == 3, "{ran:?}");
    }
    // A forger's file: a new owner, the name of the old one, and a supervisor of their own.
    shop.run(&[
        "key",
        "new",
        "--name",
        "Marit Osei",
        "--role",
        "owner",
        "--out",
        ".",
        "--passphrase-file",
        "words.txt",
    ])
    .exits(2)
    .names(&["cli/exists"]);
    let text = shop.read("trust.json");
    shop.write("trust.json", text.replacen("Wren Castellane", "Wren Castellani", 1));
    shop.run(&[&["trust", "show"][..], &TRUST].concat()).exits(3).says(&["checklist/changed"]);
}

/// A trust file that is still to be made shows that one of two clocks is wrong.
#[test]
fn nobody_signs_trust_that_is_made_later() {
    let shop = Shop::with_keys();
    shop.write("trust.yaml", shop.trust_text(&[], |trust| trust.made_at = super::morning::from_now(3600)));
    shop.run(&with_key(&SIGN, OWNER)).exits(3).names(&["clock-behind"]);
    assert!(!shop.has("trust.json"));
}

#[test]
fn a_trust_file_past_its_end_lets_nothing_start() {
    let shop = Shop::new();
    shop.sign(&[]).exits(0);
    shop.trust(|trust| trust.ends_at = super::morning::from_now(-60));
    shop.verify(&["job.checklist.json", "--record", "job.yaml"]).exits(3).names(&["trust-ended"]);
    shop.sign(&["--out", "again.json"]).exits(3).names(&["trust-ended"]);
    assert!(!shop.has("again.json"));
}
