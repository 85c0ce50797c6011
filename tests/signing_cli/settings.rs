//! The settings of a shop: what is filled in, what is not, and where it is looked for.

use crate::common;
use crate::shop::Shop;
use crate::shop::folder::{Folder, ODILE, OWNER, Ran, TRUST, WORDS_FILE, owned};

const SETTINGS: &str = "shop.settings.yaml";

fn shop() -> Shop<Folder> {
    let shop = Shop::new().in_folder();
    let text = format!("settings: 1\ntrust: trust.json\nowners: [{}]\nkey: {ODILE}.key.pem\n", TRUST[3]);
    shop.put(SETTINGS, text);
    shop
}

fn sign(more: &[&str]) -> Vec<String> {
    owned(&[&["sign", "job.yaml", "--yes", "--passphrase-file", WORDS_FILE], more].concat())
}

#[test]
fn a_record_is_signed_by_the_settings_that_are_named() {
    let shop = shop();
    // Nothing is looked for: where no file is named, nothing is filled in.
    shop.run(&sign(&[])).exits(2).says(&["--trust"]);
    let signed = shop.run(&sign(&["--settings", SETTINGS])).exits(0);
    signed.says(&[
        "by the settings shop.settings.yaml: --trust trust.json",
        "By the trust file of “Hollow Tarn”, version 1",
        "signed by its owner Ansel Prewitt-Okoro",
    ]);
    let verify = ["verify", "job.checklist.json", "--record", "job.yaml"];
    let output = shop.command(&verify).env("FILLWARD_SETTINGS", SETTINGS).output().unwrap();
    Ran::of(&verify, output).exits(0);
    // What the command line says goes first.
    let other = ["--settings", SETTINGS, "--trust", "none.json", "--out", "other.json"];
    shop.run(&sign(&other)).exits(2).says(&["none.json"]);
    // The owner by the words from paper is the same owner, and words of nobody are nobody.
    let words = shop.run(&["key", "show", TRUST[3]]).exits(0).out;
    let words = words.lines().find_map(|line| line.trim().strip_prefix("words")).unwrap().trim().to_owned();
    shop.run(&["verify", "job.checklist.json", "--record", "job.yaml", "--trust", "trust.json", "--owner", &words])
        .exits(0);
    let nobody = words.to_uppercase().replacen(' ', " ba", 1);
    shop.run(&["trust", "show", "--trust", "trust.json", "--owner", &nobody]).exits(3).names(&["trust-not-by-owner"]);
}

/// Settings fill in options and accept nobody, whatever they name.
#[test]
fn settings_accept_nobody() {
    let shop = shop();
    std::fs::remove_file(shop.memory()).unwrap();
    shop.run(&sign(&["--settings", SETTINGS])).exits(3).names(&["owner-not-accepted"]);
    shop.run(&["trust", "accept", "--settings", SETTINGS]).exits(2).says(&["--owner"]);
}

#[test]
fn settings_that_are_none_say_where() {
    let shop = shop();
    for (text, said) in [
        ("settings: 1\ntrst: trust.json\n", "shop.settings.yaml:2"),
        ("settings: 2\n", "shop.settings.yaml:1"),
        ("settings: 1\npacks: county.yaml\n", "shop.settings.yaml:2"),
        ("trust: trust.json\n", "settings"),
        ("settings: 1\nregister: register.db\n", "shop.settings.yaml:2"),
    ] {
        shop.put(SETTINGS, text);
        shop.run(&sign(&["--settings", SETTINGS])).exits(2).says(&["schema/", said]);
    }
    // What two files say of one thing they say alike.
    let text = |zone: &str| {
        format!(
            "settings: 1\nregister: null\ntrust: trust.json\nowners: [{}]\nkey: {ODILE}.key.pem\nzone: {zone}\n",
            TRUST[3]
        )
    };
    let other = if crate::shop::morning::zone() == "Asia/Kathmandu" { "America/Chicago" } else { "Asia/Kathmandu" };
    shop.put(SETTINGS, text(other));
    for command in [sign(&["--settings", SETTINGS]), owned(&["check", "job.yaml", "--settings", SETTINGS])] {
        shop.run(&command).exits(2).says(&["the settings say that the shop lies in", "and its trust file in"]);
    }
    shop.run(&sign(&["--settings", "none.yaml"])).exits(2).names(&["cli/unreadable"]);
    assert!(!shop.has("job.checklist.json"));
    shop.put(SETTINGS, text(crate::shop::morning::zone()));
    shop.run(&sign(&["--settings", SETTINGS])).exits(0);
}

/// Where a trust file is made, `--key` is somebody's public key and `--shop` a name: the person's own key is the one
/// that signs.
#[test]
fn settings_serve_whoever_keeps_the_trust_file() {
    let shop = shop();
    let text = format!("settings: 1\ntrust: trust.json\nkey: {OWNER}.key.pem\nshop: shop.yaml\n");
    shop.put(SETTINGS, text);
    let with = |arguments: &[&str]| {
        shop.run(&[arguments, &["--settings", SETTINGS, "--passphrase-file", WORDS_FILE, "--yes"]].concat())
    };
    with(&["trust", "retire", "Odile Varga"]).exits(0).says(&["version 2", "retired from", "It is in force"]);
    with(&["trust", "renew"]).exits(0).says(&["version 3"]);
    shop.run(&["trust", "show", "--settings", SETTINGS]).exits(0).says(&["version 3"]);
}

/// The settings name one shop file and the variable another one: which is meant nobody guesses. Named on the command line
/// it is that one, and two copies of one file are one.
#[test]
fn two_shop_files_that_nobody_chose_between_are_refused() {
    let shop = shop();
    let text = common::read("shared/demo/shop.yaml");
    shop.put("one.yaml", text.clone());
    shop.put("copy.yaml", text.clone());
    shop.put("other.yaml", text.replacen("name: Hollow Tarn", "name: Hollow Barn", 1));
    shop.put(SETTINGS, "settings: 1\nshop: one.yaml\n");
    let check = |variable: &str, more: &[&str]| {
        let words = [&["check", "job.yaml", "--settings", SETTINGS], more].concat();
        let output = shop.command(&words).env("FILLWARD_SHOP", variable).output().unwrap();
        Ran::of(&words, output)
    };
    let job = "name the shop file `one.yaml`";
    check("other.yaml", &[]).exits(2).says(&[job, "with --shop", "unset FILLWARD_SHOP"]);
    for (variable, more) in
        [("one.yaml", &[][..]), ("copy.yaml", &[]), ("", &[]), ("other.yaml", &["--shop", "one.yaml"])]
    {
        check(variable, more).never_says("FILLWARD_SHOP");
    }
}
