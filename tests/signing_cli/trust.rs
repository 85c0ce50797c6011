//! `fillward trust`: the owner's file, and why another is not taken for it.

use crate::shop::folder::{MAIRE, ODILE, OWNER, SECOND_OWNER, Shop, TRUST, owned, passing_but, with_key};

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
        "Hollow Tarn, version 1",
        "Odile Varga supervisor",
        "pack tyre-fill",
        "approved by Maire Lindqvist",
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
    shop.write("trust.yaml", shop.trust_text(|trust| trust.owners_needed = 2));
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
    shop.run(&with_key(&SIGN, OWNER))
        .exits(3)
        .names(&["signed-twice"])
        .says(&["Ansel Prewitt-Okoro has signed this already"]);
    assert_eq!(shop.read("trust.json"), before);
    // A change of the content starts without signatures.
    shop.write("trust.yaml", shop.read("trust.yaml").replacen("version: 1\n", "version: 2\n", 1));
    shop.run(&with_key(&SIGN, OWNER)).exits(0).says(&["version 2", "1 of 2 owners"]);
    assert_eq!(signatures(&shop), 1);
}

#[test]
fn a_trust_file_that_is_not_one_says_where() {
    let shop = Shop::with_keys();
    let good = shop.trust_text(|_| {});
    shop.write("trust.yaml", good.replacen("shop: ", "depot: ", 1));
    shop.run(&with_key(&SIGN, OWNER)).exits(2).says(&["schema/", "depot", "trust.yaml:2"]);
    shop.write("trust.yaml", good.replacen("- owner\n", "- boss\n", 1));
    shop.run(&with_key(&SIGN, OWNER)).exits(2).says(&["schema/", "boss"]);
    shop.write("trust.yaml", good.replacen("version: 1\n", "version: one\n", 1));
    shop.run(&with_key(&SIGN, OWNER)).exits(2).says(&["schema/", "one"]);
    // What is read well and does not hold together is headed by what did not come about, and says what to do.
    shop.write("trust.yaml", shop.trust_text(|trust| trust.owners_needed = 3));
    shop.run(&with_key(&SIGN, OWNER)).exits(3).names(&["trust-unsound"]).says(&[
        "NOT SIGNED: the trust file `trust.yaml` is not in order",
        "3 owners must sign, and it names 2",
        "have its owner sign it",
    ]);
    // The YAML itself is not a signed file.
    shop.write("trust.yaml", &good);
    shop.run(&["trust", "show", "--trust", "trust.yaml"]).exits(3).names(&["not-json"]).says(&[
        "the trust file `trust.yaml` is not in order",
        "the file is not a trust file",
        "which `fillward trust sign` writes",
    ]);
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
        let until = crate::shop::morning::from_now(3600);
        let asked = ["--rule", "stored-outdoors", "--asked-by", "Odile Varga", "--reason", "x", "--until", &until];
        shop.run(&[with_key(&["permit", "job.yaml", "--yes"], MAIRE), owned(&asked), owned(&TRUST)].concat())
    };
    let look = || shop.run(&[&["trust", "show"][..], &TRUST].concat());
    let held = shop.hold("fillward-trust.seen");
    permit().exits(2).names(&["cli/locked"]).says(&["fillward-trust.seen.lock", "wait until they are done"]);
    look().exits(0).says(&["warning: version 1 of the trust file is not remembered"]);
    drop(held);
    // Nor can what was remembered be relied on where it is not as it was written.
    shop.write("fillward-trust.seen", "fillward-trust-seen/4\nsomething\n");
    look().exits(3).says(&["cli/trust-seen", "fillward-trust.seen", "remove that file"]);
    shop.forget_trust();
    // Through a pipe there is no folder to remember it in.
    let piped = r#"cat trust.json | "$0" "$@" --trust /dev/stdin --owner ansel-prewitt-okoro-owner.pub.pem"#;
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
