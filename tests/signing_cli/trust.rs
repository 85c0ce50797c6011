//! `fillward trust`: the owner's file, and why another is not taken for it.

use super::shop::{ODILE, OWNER, SECOND_OWNER, Shop, TAMSIN, TRUST, owned, passing_but, with_key};

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

/// The digest of a pack is what `sha256sum` gives of its file as it is, however the file begins and ends.
#[test]
fn the_digest_of_a_pack_is_that_of_its_file() {
    let shop = Shop::with_keys();
    let pack = crate::common::local_pack("county-north", "supervisor");
    let digests: Vec<String> =
        [pack.clone(), format!("\u{feff}{pack}"), pack.trim_end().to_owned(), pack.replace('\n', "\r\n")]
            .iter()
            .map(|text| {
                shop.write("north.yaml", text);
                let listed = shop.run(&["trust", "packs", "--pack", "north.yaml"]).exits(0).out;
                let ours = listed.lines().last().unwrap().split_whitespace().last().unwrap().to_owned();
                let stock = shop.shell("LC_ALL=C sha256sum north.yaml | sha256sum", &[""; 0]).exits(0).out;
                assert_eq!(stock.split_whitespace().next(), Some(ours.as_str()), "{text:?}");
                ours
            })
            .collect();
    assert!(digests.iter().enumerate().all(|(place, digest)| !digests[..place].contains(digest)), "{digests:?}");
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
    // Signing again adds nothing.
    let before = shop.read("trust.json");
    shop.run(&with_key(&SIGN, OWNER)).exits(3).names(&["signed-twice"]).says(&["Marit Osei has signed this already"]);
    assert_eq!(shop.read("trust.json"), before);
    // A change of the content starts without signatures.
    shop.write("trust.yaml", shop.read("trust.yaml").replacen("version: 1\n", "version: 2\n", 1));
    shop.run(&with_key(&SIGN, OWNER)).exits(0).says(&["version 2", "1 of 2 owners"]);
    assert_eq!(signatures(&shop), 1);
}

/// People are counted: one owner with two keys is one owner, and a signature that does not hold is none.
#[test]
fn owners_are_counted_and_not_their_signatures() {
    let shop = Shop::with_keys();
    let text = shop.trust_text(&[], |trust| {
        trust.owners_needed = 2;
        trust.person(ODILE).role = "owner".to_owned();
    });
    // Ansel's key becomes the second one of Marit.
    let (before, rest) = text.split_once("  - name: Ansel Prewitt-Okoro\n    roles: [owner]\n    keys:\n").unwrap();
    shop.write("trust.yaml", format!("{before}{rest}"));
    shop.run(&with_key(&SIGN, OWNER)).exits(0).says(&["1 of 2 owners"]);
    shop.run(&with_key(&SIGN, OWNER)).exits(3).names(&["signed-twice"]);
    shop.run(&with_key(&SIGN, SECOND_OWNER)).exits(0).says(&["1 of 2 owners"]);
    let good = shop.read("trust.json");
    let mut file: serde_json::Value = serde_json::from_str(&good).unwrap();
    file["signatures"][1]["signature"] = file["signatures"][0]["signature"].clone();
    shop.write("trust.json", serde_json::to_string_pretty(&file).unwrap() + "\n");
    shop.run(&with_key(&SIGN, ODILE)).exits(3).names(&["changed"]);
    shop.write("trust.json", good);
    shop.run(&with_key(&SIGN, ODILE)).exits(0).says(&["2 of 2 owners"]);
    shop.run(&[&["trust", "show"][..], &TRUST].concat()).exits(0);
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

/// The same older version under every other spelling: another name, a link, a link from another folder, a way around.
#[test]
fn an_older_version_under_another_name_is_as_old() {
    let shop = Shop::new();
    shop.write("old.json", shop.read("trust.json"));
    shop.trust(|trust| trust.version = 2);
    let owner = ["--owner", TRUST[3]];
    let look = |file: &str| shop.run(&[&["trust", "show", "--trust", file][..], &owner].concat());
    let sign = |file: &str| {
        let arguments =
            [with_key(&["sign", "job.yaml", "--yes", "--out", "out.json", "--trust", file], ODILE), owned(&owner)];
        shop.run(&arguments.concat())
    };
    sign("trust.json").exits(0);
    std::fs::remove_file(shop.path("out.json")).unwrap();
    std::fs::create_dir(shop.path("elsewhere")).unwrap();
    std::os::unix::fs::symlink("old.json", shop.path("link.json")).unwrap();
    std::os::unix::fs::symlink("../old.json", shop.path("elsewhere/trust.json")).unwrap();
    let whole = shop.path("old.json");
    for file in [
        "old.json",
        "./old.json",
        "link.json",
        "elsewhere/trust.json",
        "elsewhere/../old.json",
        whole.to_str().unwrap(),
    ] {
        look(file).exits(3).names(&["trust-older"]);
        sign(file).exits(3).names(&["trust-older"]);
    }
    // The version in force is so by every spelling, too.
    std::os::unix::fs::symlink("../trust.json", shop.path("elsewhere/new.json")).unwrap();
    look("elsewhere/new.json").exits(0);
    assert!(!shop.has("elsewhere/fillward-trust.seen") && !shop.has("out.json"));
    // What it does not cover: a copy in a folder that never had one. There the version is given from paper.
    std::fs::copy(whole, shop.path("elsewhere/copy.json")).unwrap();
    let known = ["trust", "show", "--trust", "elsewhere/copy.json", "--trust-at-least", "2"];
    shop.run(&[&known[..], &owner].concat()).exits(3).names(&["trust-older"]);
    look("elsewhere/copy.json").exits(0);
}

/// Who puts a key to use must be able to remember the trust file; who only looks is told that it is not remembered.
#[test]
fn a_trust_file_that_cannot_be_remembered_signs_nothing() {
    let shop = Shop::new();
    shop.write("job.yaml", passing_but("stored: indoors", "stored: outdoors"));
    let permit = || {
        let until = super::morning::from_now(3600);
        let asked = ["--rule", "stored-outdoors", "--asked-by", "Odile Varga", "--reason", "x", "--until", &until];
        shop.run(&[with_key(&["permit", "job.yaml"], TAMSIN), owned(&asked), owned(&TRUST)].concat())
    };
    let look = || shop.run(&[&["trust", "show"][..], &TRUST].concat());
    let held = shop.hold("fillward-trust.seen");
    permit().exits(2).names(&["cli/locked"]).says(&["fillward-trust.seen.lock", "wait until they are done"]);
    look().exits(0).says(&["warning: version 1 of the trust file is not remembered"]);
    drop(held);
    // Through a pipe there is no folder to remember it in.
    let piped = r#"cat trust.json | "$0" "$@" --trust /dev/stdin --owner marit-osei-owner.pub.pem"#;
    shop.shell(piped, &with_key(&["sign", "job.yaml", "--yes", "--hold"], ODILE))
        .exits(2)
        .names(&["cli/usage"])
        .says(&["give the trust file by its path"]);
    shop.shell(piped, &["trust", "show"]).exits(0).says(&["is not remembered"]);
    // What cannot be read is never passed over.
    std::fs::create_dir(shop.path("fillward-trust.seen")).unwrap();
    look().exits(2).names(&["cli/unreadable"]);
    permit().exits(2).names(&["cli/unreadable"]);
    std::fs::remove_dir(shop.path("fillward-trust.seen")).unwrap();
    permit().exits(0);
    assert!(!shop.has("job.checklist.json"));
}

/// One of two owners writes a version that asks for one owner only and leaves the other out.
#[test]
fn one_of_two_owners_cannot_take_the_shop_over() {
    let shop = Shop::new();
    let both = |version: u32| {
        shop.write("trust.yaml", shop.trust_text(&[], |trust| (trust.version, trust.owners_needed) = (version, 2)));
        let _ = std::fs::remove_file(shop.path("trust.json"));
        shop.run(&with_key(&SIGN, OWNER)).exits(0);
        shop.run(&with_key(&SIGN, SECOND_OWNER)).exits(0);
    };
    let second = format!("{SECOND_OWNER}.pub.pem");
    let of_both = [&TRUST[..], &["--owner", &second]].concat();
    let look = |trust: &[&str]| shop.run(&[&["trust", "show"][..], trust].concat());
    let sign = |trust: &[&str], out: &str| {
        shop.run(&[with_key(&["sign", "job.yaml", "--yes", "--out", out], ODILE), owned(trust)].concat())
    };
    both(1);
    look(&of_both).exits(0);
    sign(&of_both, "first.json").exits(0);
    let signed_by = |keys: &[&str], version: u32| {
        let text = shop.trust_text(&[], |trust| {
            trust.version = version;
            trust.people.retain(|person| person.key != SECOND_OWNER || keys.len() > 1);
        });
        shop.write("trust.yaml", text);
        for key in keys {
            shop.run(&with_key(&["trust", "sign", "trust.yaml", "--out", "next.json"], key)).exits(0);
        }
        std::fs::rename(shop.path("next.json"), shop.path("trust.json")).unwrap();
    };
    signed_by(&[OWNER], 2);
    for trust in [&of_both[..], &TRUST[..]] {
        let codes = if trust.len() > TRUST.len() {
            &["trust-not-by-owner", "trust-fewer-owners"][..]
        } else {
            &["trust-fewer-owners"][..]
        };
        look(trust).exits(3).names(codes);
        sign(trust, "second.json").exits(3).names(codes);
        shop.run(&[&["verify", "first.json", "--record", "job.yaml"][..], trust].concat()).exits(3).names(codes);
    }
    assert!(!shop.has("second.json"));
    // Nor with an owner made up for it, who signs as the second.
    let text = shop.trust_text(&[], |trust| {
        trust.version = 2;
        trust.people.retain(|person| person.key != SECOND_OWNER);
        trust.person(ODILE).role = "owner".to_owned();
    });
    shop.write("trust.yaml", text);
    for key in [OWNER, ODILE] {
        shop.run(&with_key(&["trust", "sign", "trust.yaml", "--out", "next.json"], key)).exits(0);
    }
    std::fs::rename(shop.path("next.json"), shop.path("trust.json")).unwrap();
    look(&TRUST).exits(3).names(&["trust-fewer-owners"]);
    // A machine that knows nothing of the first version is told by the keys on paper.
    shop.forget_trust();
    look(&of_both).exits(3).names(&["trust-not-by-owner"]).says(&["every owner's key that was given"]);
    // The shop may lawfully come to ask for one owner only: both sign that, and from then on one is enough.
    both(1);
    look(&of_both).exits(0);
    signed_by(&[OWNER, SECOND_OWNER], 2);
    look(&TRUST).exits(0);
    signed_by(&[OWNER], 3);
    look(&TRUST).exits(0);
    sign(&TRUST, "second.json").exits(0);
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
    shop.trust(|trust| {
        trust.version = 2;
        trust.ends_at = super::morning::from_now(-60);
    });
    shop.verify(&["job.checklist.json", "--record", "job.yaml"]).exits(3).names(&["trust-ended"]);
    shop.sign(&["--out", "again.json"]).exits(3).names(&["trust-ended"]);
    assert!(!shop.has("again.json"));
}
