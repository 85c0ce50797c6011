//! `fillward trust`: the owner's file, and why another is not taken for it.

use crate::shop::Shop;
use crate::shop::folder::{
    Folder, MAIRE, ODILE, OWNER, Ran, SECOND_OWNER, TRUST, mode, owned, passing_but, signing, with_key,
};

const SIGN: [&str; 6] = ["trust", "sign", "trust.yaml", "--out", "trust.json", "--yes"];

fn signatures(shop: &Shop<Folder>, name: &str) -> usize {
    let file: serde_json::Value = serde_json::from_str(&shop.read(name)).unwrap();
    file["signatures"].as_array().unwrap().len()
}

#[test]
fn a_trust_file_is_signed_and_shown() {
    let shop = Shop::new().in_folder();
    let shown = shop.run(&[&["trust", "show"][..], &TRUST].concat()).exits(0);
    let shown = shown.says(&[
        "“Hollow Tarn”, version 1",
        crate::shop::morning::zone(),
        "1 owner must sign each version",
        "Odile Varga supervisor",
        "pack tyre-fill",
        "approved by Maire Lindqvist",
        &crate::shop::key(crate::shop::ODILE).public().fingerprint_words(),
        crate::shop::key(crate::shop::ODILE).public().kid(),
    ]);
    let digest = shop.run(&["trust", "packs"]).exits(0).out.split_whitespace().nth(2).unwrap().to_owned();
    shown.says(&[&digest]).never_says("taken at its word");
    shop.run(&["trust", "show", "--trust", "trust.json"])
        .exits(0)
        .says(&["Not checked against an owner's key", "--owner"]);
}

/// The digest of a pack is what `sha256sum` gives of its file as it is, however the file begins and ends.
#[test]
fn the_digest_of_a_pack_is_that_of_its_file() {
    let shop = Shop::new().in_empty_folder().with_keys();
    let pack = crate::common::local_pack("county-north", "supervisor");
    let digests: Vec<String> =
        [pack.clone(), format!("\u{feff}{pack}"), pack.trim_end().to_owned(), pack.replace('\n', "\r\n")]
            .iter()
            .map(|text| {
                shop.put("north.yaml", text);
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
    let shop = Shop::new().in_empty_folder().with_keys();
    shop.put("trust.yaml", shop.trust_text(|trust| trust.owners_needed = 2));
    shop.run(&with_key(&SIGN, OWNER)).exits(0).says(&[
        "1 of the 2 owners who must",
        "not in force yet",
        "trust.next.json",
    ]);
    assert!(!shop.has("trust.json"));
    // The other owner needs no YAML: what waits is shown and signed.
    let waiting = ["trust", "sign", "--out", "trust.json", "--yes"];
    shop.run(&with_key(&waiting, SECOND_OWNER)).exits(0).says(&[
        "signed so far by Ansel Prewitt-Okoro",
        "+ Odile Varga, role: supervisor",
        "2 owners, as many as must",
        "It is in force",
    ]);
    assert_eq!(signatures(&shop, "trust.json"), 2);
    assert!(!shop.has("trust.next.json"));
    shop.run(&[&["trust", "show"][..], &TRUST].concat()).exits(0);
    // Signing again adds nothing.
    let before = shop.read("trust.json");
    shop.run(&with_key(&SIGN, OWNER))
        .exits(3)
        .names(&["signed-twice"])
        .says(&["Ansel Prewitt-Okoro has signed this already"]);
    // A change of the content starts without signatures, and the version in force stays.
    let first = shop.read("trust.yaml");
    let made = first.lines().find(|line| line.starts_with("made_at: ")).unwrap();
    let second = first.replacen(made, &format!("made_at: {}", crate::shop::morning::from_now(0)), 1);
    shop.put("trust.yaml", second.replacen("version: 1\n", "version: 2\n", 1));
    shop.run(&with_key(&SIGN, OWNER)).exits(0).says(&["version 2", "1 of the 2 owners who must", "~ made: "]);
    assert_eq!(signatures(&shop, "trust.next.json"), 1);
    assert_eq!(shop.read("trust.json"), before);
}

/// A shop from its first day: an owner, people, a leaver, a theft, a renewal, without a line of YAML.
#[test]
fn a_shop_is_kept_by_commands_alone() {
    let shop = Shop::new().in_empty_folder().with_keys();
    let act = |arguments: &[&str]| {
        let by = format!("{OWNER}.key.pem");
        let signing = ["--trust", "trust.json", "--by", &by, "--passphrase-file", "words.txt", "--yes"];
        shop.run(&[&["trust"], arguments, &signing].concat())
    };
    let public = |stem: &str| format!("{stem}.pub.pem");
    let zone = crate::shop::morning::zone();
    let new = ["new", "--shop", "Hollow Tarn depot", "--zone", zone, "--name", "Ansel Prewitt-Okoro"];
    act(&[&new[..], &["--key", &public(OWNER)]].concat()).exits(0).says(&[
        "the first version",
        "+ shop: Hollow Tarn depot",
        "+ Ansel Prewitt-Okoro, role: owner",
        "by its owner",
    ]);
    act(&["add", "Odile Varga", "--key", &public(ODILE)]).exits(2).says(&["--role"]);
    let added = act(&["add", "Odile Varga", "--role", "supervisor", "--key", &public(ODILE)]);
    added.exits(0).says(&["version 2", "+ Odile Varga, role: supervisor", "+ Odile Varga, key "]);
    act(&["add", "Odile Varga", "--role", "supervisor", "--key", &public(ODILE)]).exits(2).says(&["already"]);
    act(&["add", "Maire Lindqvist", "--role", "safety-officer", "--key", &public(MAIRE)]).exits(0);
    let approve = with_key(&["trust", "approve", "tyre-fill", "--trust", "trust.json", "--yes"], MAIRE);
    shop.run(&approve).exits(0).says(&[
        "Pack tyre-fill",
        "every job must be judged by it",
        "Approved",
        "trust.next.json",
    ]);
    let second = ["add", "Marit Osei", "--role", "owner", "--key", &public(SECOND_OWNER), "--owners-needed", "2"];
    // What another has put into the draft is not consented to beforehand: it is shown apart, and signed by itself.
    act(&second).exits(2).says(&[
        "from the draft that waits, approvals",
        "+ pack tyre-fill",
        "holds changes that this command did not make",
    ]);
    let waiting = ["trust", "sign", "--out", "trust.json", "--yes"];
    shop.run(&with_key(&waiting, OWNER)).exits(0).says(&["+ pack tyre-fill", "It is in force"]);
    // Whoever comes signs, too, before two are asked for.
    act(&second).exits(0).says(&["~ owners who must sign: 2", "before: 1", "not in force yet"]);
    shop.run(&with_key(&waiting, SECOND_OWNER)).exits(0).says(&["It is in force"]);
    act(&["retire", "Odile Vargas"]).exits(2).says(&["nobody is called", "Odile Varga"]);
    act(&["retire", "Odile Varga"]).exits(0).says(&["version 6", "retired from", "left the shop", "not in force yet"]);
    shop.run(&with_key(&waiting, SECOND_OWNER)).exits(0);
    act(&["retire", "Odile Varga"]).exits(2).says(&["has ended already"]);
    shop.run(&["trust", "show", "--trust", "trust.json"]).exits(0).says(&[", retired: left the shop"]);
    let stolen = crate::shop::morning::from_now(0);
    let past = crate::shop::morning::from_now(-3600);
    act(&["revoke", "Odile Varga", "--from", &past, "--why", "the laptop was stolen"]).exits(2).says(&["nobody's"]);
    act(&["revoke", "Odile Varga", "--from", &stolen, "--why", "the laptop was stolen"])
        .exits(0)
        .says(&["revoked from", "the laptop was stolen"]);
    act(&["renew", "--until", &past]).exits(3).names(&["trust-unsound"]);
    act(&["renew", "--clock-anew"]).exits(0).says(&[
        "clocks count anew from",
        "from the draft that waits, signed by Ansel",
        "version 7",
    ]);
    act(&["renew", "--until", "tomorrow"]).exits(2).says(&["--until"]);
    shop.run(&with_key(&waiting, SECOND_OWNER)).exits(0).says(&["version 7"]);
    // Without --yes somebody must be there to consent.
    let by = format!("{OWNER}.key.pem");
    let unasked = ["trust", "renew", "--trust", "trust.json", "--by", &by, "--passphrase-file", "words.txt"];
    shop.run(&unasked).exits(2).says(&["there is no terminal to ask whether to sign"]);
}

#[test]
fn a_trust_file_that_is_not_one_says_where() {
    let shop = Shop::new().in_empty_folder().with_keys();
    let good = shop.trust_text(|_| {});
    shop.put("trust.yaml", good.replacen("shop: ", "depot: ", 1));
    shop.run(&with_key(&SIGN, OWNER)).exits(2).says(&["schema/", "depot", "trust.yaml:2"]);
    shop.put("trust.yaml", good.replacen("- owner\n", "- boss\n", 1));
    shop.run(&with_key(&SIGN, OWNER)).exits(2).says(&["schema/", "boss"]);
    shop.put("trust.yaml", good.replacen("version: 1\n", "version: one\n", 1));
    shop.run(&with_key(&SIGN, OWNER)).exits(2).says(&["schema/", "one"]);
    // What is read well and does not hold together is headed by what did not come about, and says what to do.
    shop.put("trust.yaml", shop.trust_text(|trust| trust.owners_needed = 3));
    shop.run(&with_key(&SIGN, OWNER)).exits(2).names(&["trust-unsound"]).says(&[
        "NOT SIGNED: ",
        "3 owners must sign, and it names 2",
        "trust.yaml:",
        "owners_needed: 3",
        "write a number from 1 to 2, or give further people the role `owner`",
    ]);
    // The YAML itself is not a signed file.
    shop.put("trust.yaml", &good);
    shop.run(&["trust", "show", "--trust", "trust.yaml"]).exits(3).names(&["not-json"]).says(&[
        "the trust file `trust.yaml` is not in order",
        "the file is not a trust file",
        "which `fillward trust sign` writes",
    ]);
}

/// The same older version under every other name and place: another name, a link, another folder, a pipe.
#[test]
fn an_older_version_is_as_old_wherever_it_lies() {
    let shop = Shop::new().in_folder();
    shop.put("old.json", shop.read("trust.json"));
    shop.trust(|trust| trust.version = 2);
    let owner = ["--owner", TRUST[3]];
    let look = |file: &str| shop.run(&[&["trust", "show", "--trust", file][..], &owner].concat());
    let sign = |file: &str| {
        let arguments = [
            with_key(&["sign", "job.yaml", "--yes", "--out", "out.checklist.json", "--trust", file], ODILE),
            owned(&owner),
        ];
        shop.run(&arguments.concat())
    };
    sign("trust.json").exits(0);
    std::fs::remove_file(shop.path("out.checklist.json")).unwrap();
    std::fs::create_dir(shop.path("elsewhere")).unwrap();
    std::os::unix::fs::symlink("old.json", shop.path("link.json")).unwrap();
    std::fs::copy(shop.path("old.json"), shop.path("elsewhere/trust.json")).unwrap();
    for file in ["old.json", "link.json", "elsewhere/trust.json"] {
        look(file).exits(3).names(&["trust-older"]);
        sign(file).exits(3).names(&["trust-older"]);
    }
    let piped = r#"cat old.json | "$0" "$@" --trust /dev/stdin --owner ansel-prewitt-okoro-owner.pub.pem"#;
    shop.shell(piped, &["trust", "show"]).exits(3).names(&["trust-older"]);
    // Another account knows nothing of it: there the version is given from paper, or its words.
    shop.forget_trust();
    let known = ["trust", "show", "--trust", "old.json", "--trust-at-least", "2"];
    shop.run(&[&known[..], &owner].concat()).exits(3).names(&["trust-older"]);
    let known = ["trust", "show", "--trust", "old.json", "--trust-words", "these are not the words on the paper"];
    shop.run(&[&known[..], &owner].concat()).exits(3).names(&["trust-not-on-paper"]);
    look("old.json").exits(0);
}

/// Who puts a key to use must be able to remember the trust file; who only looks is told that it is not remembered.
#[test]
fn a_trust_file_that_cannot_be_remembered_signs_nothing() {
    let shop = Shop::new().in_folder();
    shop.put("job.yaml", passing_but("solvent_on_hand: 2 gal", "solvent_on_hand: 12 gal"));
    let permit = || {
        let until = crate::shop::morning::from_now(3600);
        let asked = ["--rule", "solvent-excess", "--asked-by", "Odile Varga", "--reason", "x", "--until", &until];
        shop.run(&[with_key(&["permit", "write", "job.yaml", "--yes"], MAIRE), owned(&asked), owned(&TRUST)].concat())
    };
    let look = || shop.run(&[&["trust", "show"][..], &TRUST].concat());
    let held = Shop::hold_at(&shop.memory());
    permit().exits(2).names(&["cli/locked"]).says(&["memory.json.lock", "wait until they are done"]);
    look().exits(0).says(&["warning: version 1 of the trust file is not remembered"]);
    drop(held);
    // Nor can what was remembered be relied on where it is not as it was written.
    std::fs::write(shop.memory(), "{}\n").unwrap();
    look().exits(3).says(&["cli/trust-seen", "memory.json", "remove that file"]);
    // What cannot be read remembers nothing: people look on, and are told.
    std::fs::remove_file(shop.memory()).unwrap();
    let words = |words: &str| owned(&["--trust-words", words]);
    let of_paper =
        look().exits(0).out.lines().find_map(|line| line.strip_prefix("words of this version  ")).unwrap().to_owned();
    let by_paper = || shop.run(&[owned(&["trust", "show"]), owned(&TRUST), words(&of_paper)].concat());
    std::fs::remove_file(shop.memory()).unwrap();
    std::fs::create_dir(shop.memory()).unwrap();
    let unread =
        "warning: version 1 of the trust file is not remembered, so an older one would be taken later: cannot read";
    look().exits(0).says(&[unread]);
    by_paper().exits(0).says(&[unread]);
    permit().exits(2).names(&["cli/unreadable"]);
    std::fs::remove_dir(shop.memory()).unwrap();
    std::fs::write(shop.memory(), vec![b' '; 1_048_577]).unwrap();
    look().exits(0).says(&["is not remembered", "has 1048577 bytes"]);
    permit().exits(2).names(&["cli/too-long"]);
    std::fs::remove_file(shop.memory()).unwrap();
    permit().exits(3).names(&["owner-not-accepted"]);
    shop.forget_trust();
    permit().exits(0);
    assert!(!shop.has("job.checklist.json"));
}

/// An account without a home remembers nothing: there the words from paper are given each time.
#[test]
fn an_account_without_a_home_starts_only_by_the_words_from_paper() {
    let shop = Shop::new().in_folder();
    let shown = shop.run(&[&["trust", "show"][..], &TRUST].concat()).exits(0).out;
    let words = shown.lines().find_map(|line| line.strip_prefix("words of this version  ")).unwrap().to_owned();
    let homeless = |arguments: Vec<String>| {
        let output = shop.command(&arguments).env_remove("XDG_STATE_HOME").env("HOME", "").output().unwrap();
        Ran::of(&arguments, output)
    };
    let sign = signing("job.yaml", ODILE);
    homeless(sign.clone()).exits(2).names(&["cli/usage"]).says(&["no home", "from paper"]);
    homeless([sign, owned(&["--trust-words", &words])].concat()).exits(0).says(&["the fill may start"]);
    let verify = [owned(&["verify", "job.checklist.json", "--record", "job.yaml"]), owned(&TRUST)].concat();
    homeless(verify.clone()).exits(1).says(&["owner-not-accepted", "trust-not-remembered"]);
    homeless([verify, owned(&["--trust-words", &words])].concat()).exits(0);
}

/// On a new account nothing starts before the owner's key and the trust file are accepted, each by its words from paper.
#[test]
fn an_owner_is_accepted_by_the_words_on_the_paper() {
    let shop = Shop::new().in_folder();
    let [key, file] = [&["key", "show", TRUST[3]][..], &[&["trust", "show"][..], &TRUST].concat()]
        .map(|arguments| shop.run(arguments).exits(0).out);
    let words = |text: &str, before: &str| {
        text.lines().find_map(|line| line.trim().strip_prefix(before)).unwrap().trim().to_owned()
    };
    let (owner, file) = (words(&key, "words"), words(&file, "words of this version"));
    std::fs::remove_file(shop.memory()).unwrap();
    shop.sign(&[]).exits(3).names(&["owner-not-accepted"]).says(&["fillward trust accept"]);
    let accept = |owner: &str, file: &str| {
        let given = ["trust", "accept", "--owner-words", owner, "--trust-words", file];
        shop.run(&[&given[..], &TRUST].concat())
    };
    shop.run(&[&["trust", "accept"][..], &TRUST].concat()).exits(2).names(&["cli/usage"]).says(&["--owner-words"]);
    // What was typed is told, never what is due.
    accept(&file, &file).exits(2).says(&["one of them is the same", "not those of the version"]).never_says(&owner);
    let (_, rest) = owner.split_once(' ').unwrap();
    accept(&format!("lantern {rest}"), &file).exits(2).says(&["number 1, `lantern`, is no such word"]);
    accept(rest, &file).exits(2).says(&["are 7 words, and 8 are due"]);
    accept(&owner, &owner)
        .exits(3)
        .names(&["trust-not-on-paper"])
        .says(&["not one of them is the same"])
        .never_says(&file);
    shop.sign(&[]).exits(3).names(&["owner-not-accepted"]);
    accept(&owner.to_uppercase(), &file).exits(0).says(&["Accepted on this account: “Hollow Tarn”, version 1"]);
    shop.sign(&[]).exits(0);
    // For its person alone.
    assert_eq!(mode(&shop.memory()), 0o600);
}
