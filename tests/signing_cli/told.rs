//! What the program says of signing, read as people read it: times in one way, who signs, what of a job is not covered,
//! codes behind their sentences.

use crate::common;
use crate::shop::Shop;
use crate::shop::folder::{MAIRE, ODILE, OWNER, Ran, TRUST, WREN, owned, passing, passing_but, signing, with_key};
use crate::shop::morning::{a_second_later, from_now, moved};

const FILE: &str = "job.checklist.json";
const PERMIT: &str = "solvent.permit.json";

/// The law: whatever people read writes a time in one way, by the shop's clock with its offset, and never as files have it.
#[track_caller]
fn one_way_of_times(ran: &Ran) {
    for word in ran.out.split_whitespace().chain(ran.err.split_whitespace()) {
        let digits =
            |from: usize, to: usize| word.get(from..to).is_some_and(|part| part.bytes().all(|b| b.is_ascii_digit()));
        let places = 0..word.len();
        let is_time = |at: usize| {
            digits(at, at + 4)
                && word.get(at + 4..at + 5) == Some("-")
                && digits(at + 5, at + 7)
                && word.get(at + 10..at + 11) == Some("T")
        };
        assert!(!places.clone().any(is_time), "{word} in\n{}{}", ran.out, ran.err);
    }
}

/// The law: a code stands behind the sentence that it is of.
#[track_caller]
fn codes_behind(ran: &Ran) {
    for line in ran.out.lines().chain(ran.err.lines()) {
        assert!(!line.trim_start().starts_with("checklist/"), "{line}\n{}{}", ran.out, ran.err);
    }
}

#[test]
fn times_are_written_in_one_way_and_codes_behind_sentences() {
    let shop = Shop::new().in_folder();
    let look = |arguments: &[&str]| {
        let ran = shop.run(arguments);
        one_way_of_times(&ran);
        codes_behind(&ran);
        ran
    };
    look(&[&["trust", "show"][..], &TRUST].concat());
    look(&[&["trust", "paper"][..], &TRUST].concat());
    let renew = ["trust", "renew", "--keys", "--until", &from_now(200 * 86_400), "--trust", "trust.json", "--yes"];
    let key = format!("{OWNER}.key.pem");
    let by = [&renew[..], &["--by", &key, "--passphrase-file", "words.txt"]].concat();
    look(&by);
    let sign: Vec<String> = signing("job.yaml", ODILE);
    look(&sign.iter().map(String::as_str).collect::<Vec<_>>());
    let verify = |more: &[&str]| look(&[&["verify", FILE][..], &TRUST, more].concat());
    verify(&["--record", "job.yaml"]).exits(0);
    verify(&["--record", "job.yaml", "--at", &from_now(60)]).exits(1).says(&["what was asked is how it stood at "]);
    verify(&["--record", "job.yaml", "--at", &from_now(86_000)]).says(&["the checklist was valid until "]);
    shop.put("edited.yaml", passing_but("pressure: 60 psi", "pressure: 58 psi"));
    let ran = verify(&["--record", "edited.yaml"]).exits(1);
    ran.says(&["`target.pressure` was 60 psi before fill and is 58 psi now (checklist/record-changed)"]);
    look(&["show", FILE, "--trust", "trust.json"]);
    // A permit: asked for, shown, given, shown, and for something else.
    shop.put("job.yaml", passing_but("solvent_on_hand: 2 gal", "solvent_on_hand: 11 gal"));
    let until = from_now(3600);
    let ask =
        ["permit", "ask", "job.yaml", "--as", "Wren Castellane", "--rule", "solvent-excess", "--reason", "painting"];
    let more = ["--until", &until, "--out", PERMIT, "--yes"];
    let ask = [with_key(&ask, WREN), owned(&TRUST), owned(&more)].concat();
    let words = |list: &[String]| list.iter().map(String::clone).collect::<Vec<_>>();
    let run = |list: &[String]| {
        let list = words(list);
        look(&list.iter().map(String::as_str).collect::<Vec<_>>())
    };
    run(&ask).exits(0).says(&["You ask as Wren Castellane, supervisor, for “Hollow Tarn”; your key is good until "]);
    let page = |more: &[&str]| look(&[&["permit", "show", PERMIT][..], more].concat());
    page(&TRUST).exits(1).says(&[
        "REQUEST FOR A PERMIT tyre-fill/solvent-excess for “the job”, job “HT-0311”",
        "a request, signed by nobody but the person who asks",
        "NOBODY HAS PERMITTED IT",
        "asked for by Wren Castellane, who has signed that: painting",
        "covers the fill of 1 assembly: 1. “loader 4, left front”",
        "only a safety-officer may permit it",
        "signed by Wren Castellane, supervisor, ",
    ]);
    page(&[]).exits(0).says(&["PERMIT, OR A REQUEST FOR ONE", "it has one signature; the trust file tells whether"]);
    let mut unsigned: serde_json::Value = serde_json::from_str(&shop.read(PERMIT)).unwrap();
    unsigned["signatures"].as_array_mut().unwrap().clear();
    shop.put("unsigned.permit.json", fillward::checklist::canonical::file("permit", &unsigned).unwrap().0);
    for more in [&[][..], &TRUST] {
        let ran = look(&[&["permit", "show", "unsigned.permit.json"][..], more].concat());
        ran.says(&["REQUEST FOR A PERMIT", "a request, signed by nobody yet", "signed by nobody"]);
    }
    let give = with_key(&["permit", "give", PERMIT, "--record", "job.yaml"], MAIRE);
    run(&[give, owned(&TRUST), owned(&["--yes"])].concat()).exits(0);
    page(&TRUST).exits(0).says(&[
        "PERMIT tyre-fill/solvent-excess",
        "signed by the people who stand below",
        "IN FORCE until ",
        "signed by Maire Lindqvist, safety-officer",
    ]);
    page(&[]).exits(0).says(&["NO SIGNATURE WAS CHECKED", "signed by the key `", "whose signature was not checked"]);
    shop.put("forged.permit.json", shop.read(PERMIT).replacen("painting", "paintings", 1));
    look(&[&["permit", "show", "forged.permit.json"][..], &TRUST].concat()).exits(3).says(&["NOT TO BE RELIED ON"]);
    // Whoever only looks is not told that nothing was signed.
    look(&["permit", "show", "job.yaml"]).exits(3).says(&["NOT DONE"]).never_says("NOT SIGNED");
    // What it was given for, and what is there now, in values.
    shop.put("job.yaml", passing_but("solvent_on_hand: 2 gal", "solvent_on_hand: 40 gal"));
    let other = [signing("job.yaml", ODILE), owned(&["--permit", PERMIT, "--out", "other.checklist.json"])].concat();
    run(&other).exits(3).says(&[
        "it was given for `workspace.solvent_on_hand` 11 gal, and the record shows `workspace.solvent_on_hand` 40 gal",
    ]);
    // A permit in what is signed is told as the page tells it.
    shop.put("job.yaml", passing_but("solvent_on_hand: 2 gal", "solvent_on_hand: 11 gal"));
    a_second_later();
    let with = [signing("job.yaml", ODILE), owned(&["--permit", PERMIT, "--out", "with.checklist.json"])].concat();
    run(&with)
        .exits(0)
        .says(&["workspace solvent on hand: 11 gal (asked: at most 10 gal (limit solvent_most); it is not so)"]);
}

#[test]
fn who_signs_and_what_is_not_covered_is_told() {
    let shop = Shop::new().in_folder();
    shop.sign(&[]).exits(0).says(&["You sign as Odile Varga, supervisor, for “Hollow Tarn”; your key is good until "]);
    // The public half gone, nobody knows before the key is open.
    let public = format!("{ODILE}.pub.pem");
    let kept = shop.read(&public);
    std::fs::remove_file(shop.path(&public)).unwrap();
    a_second_later();
    shop.sign(&["--out", "again.checklist.json"]).exits(0).says(&["Whose key it is shows when it is open"]);
    shop.put(&public, shop.read(&format!("{WREN}.pub.pem")));
    shop.sign(&["--out", "third.checklist.json"]).exits(2).says(&[
        "You sign as Wren Castellane, supervisor",
        "NOTE: the record has you as Wren Castellane (helper), not as its supervisor",
        "is not the public half of",
    ]);
    assert!(!shop.has("third.checklist.json"));
    shop.put(&public, kept);
    shop.put("job.yaml", passing().replace("Odile Varga", "Mara Holm"));
    let told = shop.sign(&["--out", "fourth.checklist.json"]);
    told.says(&["NOTE: the record does not name you among its people: Mara Holm (supervisor), "]);
    // A part of a job.
    shop.put("four.yaml", moved(&common::read("shared/demo/jobs/hold-one-of-four.yaml")));
    let marks = ["--assembly", "skid steer 14, left front", "--assembly", "skid steer 14, left rear"];
    let others = "NOT COVERED, nothing is done to these by it: 3. “skid steer 14, right front”";
    let only = "for ONLY 2 of the 4 assemblies of this job: 1. “skid steer 14, left front”";
    let ran = shop.run(&[signing("four.yaml", ODILE), owned(&marks)].concat()).exits(0).says(&[only, others]);
    assert_eq!(ran.out.matches("ONLY 2 of the 4").count(), 2, "before and after it is signed: {}", ran.out);
    let four = "four.checklist.json";
    shop.verify(&[four, "--record", "four.yaml"]).exits(0).says(&["The fill may start", only, others]);
    shop.verify(&[four, "--record", "four.yaml", "--format", "table"]).exits(0).says(&["only 2 of 4 assemblies"]);
    let json = shop.verify(&[four, "--record", "four.yaml", "--format", "json"]).exits(0).out;
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["files"][0]["not_covered"][1]["mark"], "skid steer 14, right rear");
    assert_eq!(json["files"][0]["shop_file_changed_elsewhere"], false);
    shop.run(&["show", four]).exits(0).says(&["FILLS (2) only, of the 4 of this job", others]);
}
