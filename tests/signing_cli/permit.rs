//! `fillward permit`: a fault that somebody else lets pass beforehand stays a fault, and says so everywhere.

use crate::shop::Shop;
use crate::shop::folder::{Folder, MAIRE, ODILE, Ran, TRUST, WREN, owned, passing, passing_but, with_key};
use crate::shop::morning::from_now;

const FILE: &str = "job.checklist.json";
const PERMIT: &str = "job.solvent-excess.permit.json";
const RULE: [&str; 6] =
    ["--rule", "solvent-excess", "--asked-by", "Odile Varga", "--reason", "the fire warden's letter is on file"];

/// A shop whose job passes but for too much solvent in the bay.
fn shop() -> Shop<Folder> {
    let shop = Shop::new().in_folder();
    shop.put("job.yaml", passing_but("solvent_on_hand: 2 gal", "solvent_on_hand: 12 gal"));
    shop
}

/// Asks for a permit that ends so many seconds from now.
fn permit(shop: &Shop<Folder>, key: &str, seconds: i64, more: &[&str]) -> Ran {
    let until = from_now(seconds);
    let arguments =
        [with_key(&["permit", "write", "job.yaml", "--yes", "--until", &until], key), owned(&TRUST), owned(more)];
    shop.run(&arguments.concat())
}

fn refused(ran: Ran, exit: i32, code: &str) {
    ran.exits(exit).names(&[code]);
}

#[test]
fn a_permitted_fault_is_shown_as_broken_and_lets_the_job_pass() {
    let shop = shop();
    shop.sign(&[]).exits(1).says(&["HOLD", "broken: tyre-fill/solvent-excess"]);
    permit(&shop, MAIRE, 3600, &RULE).exits(0).says(&["tyre-fill/solvent-excess", "HT-0311", "stays on the record"]);
    shop.sign(&["--permit", PERMIT]).exits(0).says(&[
        "PASS",
        "1 broken, permitted · ",
        " · 1 permit",
        "loader 4, left front: target 60 psi",
        "broken, permitted: tyre-fill/solvent-excess of ",
        "by Maire Lindqvist, asked by Odile Varga, who has not signed, until ",
        "the fire warden's letter is on file",
        "the fill may start",
    ]);
    shop.verify(&[FILE, "--record", "job.yaml", "--rejudge"]).exits(0).says(&[
        "may start",
        "covers the fill of 1 assembly: 1. “loader 4, left front”, tyre size",
        "asked by Odile Varga",
    ]);
    let file: serde_json::Value = serde_json::from_str(&shop.read(FILE)).unwrap();
    let fault = &file["checklist"]["findings"]["faults"][0];
    assert_eq!((&fault["outcome"], &fault["permitted"], fault.get("advice")), (&"broken".into(), &true.into(), None));
    let until = file["checklist"]["valid_until"].as_str().unwrap();
    assert!(until <= file["checklist"]["permits"][0]["permit"]["until"].as_str().unwrap(), "{until}");
    // The permit does not serve another job, nor the same one with another fault.
    shop.put("job.yaml", shop.read("job.yaml").replacen("HT-0311", "HT-0999", 1));
    refused(shop.sign(&["--permit", PERMIT, "--out", "other.checklist.json"]), 3, "permit-other");
    shop.put("job.yaml", passing_but("ventilated: true", "ventilated: false"));
    refused(shop.sign(&["--permit", PERMIT, "--out", "other.checklist.json"]), 3, "permit-not-needed");
    assert!(!shop.has("other.checklist.json"));
}

/// Asked for and signed by one person, shown to another who signs as well; every output says that both have.
#[test]
fn a_permit_is_asked_for_and_given() {
    let shop = shop();
    let until = from_now(3600);
    let ask = [
        "permit",
        "ask",
        "job.yaml",
        "--rule",
        "solvent-excess",
        "--until",
        &until,
        "--as",
        "Wren Castellane",
        "--reason",
        "the letter is on file",
    ];
    shop.run(&[with_key(&ask, WREN), owned(&TRUST)].concat()).exits(2).says(&[
        "By the trust file of “Hollow Tarn”, version 1 (",
        "TO BE ASKED FOR tyre-fill/solvent-excess for “the job”, job “HT-0311”",
        "workspace solvent on hand: 12 gal (asked: at most 10 gal (limit solvent_most); it is not so)",
        "only a safety-officer may permit it, for 8 h at most",
        "asked for by Wren Castellane, by whose key it is signed: the letter is on file",
        "there is no terminal to ask",
    ]);
    assert!(!shop.has(PERMIT));
    shop.run(&[with_key(&ask, WREN), owned(&TRUST), owned(&["--yes"])].concat()).exits(0).says(&[
        "Asked for until",
        "asked for by Wren Castellane",
        "Nothing is permitted yet",
        "`fillward permit give`",
    ]);
    shop.sign(&["--permit", PERMIT])
        .exits(3)
        .names(&["permit-self"])
        .says(&["Wren Castellane asked for it, and nobody else has permitted it", "`fillward permit give`"]);
    let give = [with_key(&["permit", "give", PERMIT, "--record", "job.yaml"], MAIRE), owned(&TRUST)].concat();
    shop.run(&give).exits(2).says(&[
        "TO BE PERMITTED tyre-fill/solvent-excess for “the job”, job “HT-0311”",
        "asked for by Wren Castellane, who has signed that: the letter is on file",
        "there is no terminal to ask",
    ]);
    shop.run(&[give.clone(), owned(&["--yes"])].concat()).exits(0).says(&["Permitted until", "stays on the record"]);
    shop.run(&[give, owned(&["--yes"])].concat()).exits(2).names(&["cli/usage"]).says(&["permitted", "already"]);
    let both = "by Maire Lindqvist, asked by Wren Castellane, who signed too, until ";
    shop.sign(&["--permit", PERMIT]).exits(0).says(&[both, "the fill may start"]);
    shop.verify(&[FILE, "--record", "job.yaml"]).exits(0).says(&[both]);
    let json = shop.verify(&[FILE, "--record", "job.yaml", "--format", "json"]).exits(0).out;
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let permitted = &json["files"][0]["permitted"][0];
    assert_eq!((&permitted["asked_by"], &permitted["asker_signed"]), (&"Wren Castellane".into(), &true.into()));
    let shown = shop.run(&[&["show", FILE][..], &TRUST].concat()).exits(0).never_says("to put right");
    shown.says(&["1 broken, permitted · ", "asked for by Wren Castellane, who signed too: the letter is on file"]);
}

/// A permit for one tyre does not serve for more of them, nor for another pressure, under the same job number.
#[test]
fn a_permit_is_for_what_is_filled_and_no_more() {
    let shop = shop();
    let record = shop.read("job.yaml");
    let tyre = "1. “loader 4, left front”, tyre size “17.5-25”, target pressure “60 psi”";
    permit(&shop, MAIRE, 3600, &RULE).exits(0).says(&[&format!("covers the fill of 1 assembly: {tyre}")]);
    let (before, rest) = record.split_once("  - mark: loader 4, left front").unwrap();
    let (one, after) = rest.split_once("\n\n").unwrap();
    let mark = "  - mark: loader 4";
    let two = format!("{before}{mark}, left front{one}\n{mark}, right front{one}\n\n{after}");
    for (name, other) in [
        ("two tyres", two),
        ("another tyre", record.replacen("loader 4, left front", "loader 4, right front", 1)),
        ("another size", record.replacen("size: 17.5-25", "size: 15.5-25", 1)),
        ("another pressure", record.replacen("pressure: 60 psi", "pressure: 61 psi", 1)),
    ] {
        assert_ne!(other, record, "{name}");
        shop.put("job.yaml", &other);
        shop.sign(&["--permit", PERMIT, "--hold"]).exits(3).names(&["permit-other-fill"]).says(&[tyre]);
    }
    assert!(!shop.has(FILE));
    shop.put("job.yaml", &record);
    shop.sign(&["--permit", PERMIT]).exits(0).says(&[&format!("covers the fill of 1 assembly: {tyre}")]);
    shop.verify(&[FILE, "--record", "job.yaml"]).exits(0).says(&[&format!("covers the fill of 1 assembly: {tyre}")]);
}

#[test]
fn what_cannot_be_permitted_as_it_was_asked_for_says_why() {
    let shop = shop();
    permit(&shop, MAIRE, -60, &RULE).exits(2).names(&["cli/usage"]).says(&["--until:", "is past", "still to come"]);
    shop.put("yard.yaml", crate::shop::YARD);
    let both = ["--rule", "no-dry-gas", "--asked-by", "Odile Varga", "--reason", "x", "--pack", "yard.yaml"];
    permit(&shop, MAIRE, 3600, &both).exits(2).names(&["cli/usage"]).says(&["is broken for", "--of"]);
    let tomorrow =
        [with_key(&["permit", "write", "job.yaml", "--until", "tomorrow"], MAIRE), owned(&TRUST), owned(&RULE)];
    shop.run(&tomorrow.concat()).exits(2).says(&["--until:"]).never_says("--at");
}

#[test]
fn a_permit_says_why_in_words_that_show() {
    let shop = shop();
    let because = |reason: &str| {
        let asked = ["--rule", "solvent-excess", "--asked-by", "Odile Varga", "--reason", reason];
        permit(&shop, MAIRE, 3600, &asked)
    };
    for reason in ["", "  ", "\n", "\u{2800}", "\u{200d}", "\u{17b4}\u{a0}"] {
        because(reason).exits(2).names(&["cli/usage"]).says(&["--reason", "say why it is asked for"]);
    }
    for reason in ["the letter\u{1b}[2K is on file", "the letter\u{202e}", "the\u{200b} letter"] {
        because(reason).exits(2).names(&["cli/usage"]).says(&["--reason", "type the reason again"]);
    }
    assert!(!shop.has(PERMIT));
}

#[test]
fn the_same_permit_given_twice_is_told() {
    let shop = shop();
    permit(&shop, MAIRE, 3600, &RULE).exits(0);
    shop.put("copy.checklist.json", shop.read(PERMIT));
    for second in [PERMIT, "copy.checklist.json"] {
        let ran = shop.sign(&["--permit", PERMIT, "--permit", second]).exits(2).names(&["cli/usage"]);
        ran.says(&[&format!("the permit `{second}` is given twice"), "give each permit once"]);
    }
    assert!(!shop.has(FILE));
}

/// Nobody permits what they have not seen: the finding with its evidence stands there before anybody is asked.
#[test]
fn what_is_to_be_permitted_is_shown_before_it_is_asked() {
    let shop = shop();
    let until = from_now(3600);
    let arguments =
        [with_key(&["permit", "write", "job.yaml", "--until", &until], MAIRE), owned(&TRUST), owned(&RULE)].concat();
    let ran = shop.run(&arguments).exits(2).says(&[
        "TO BE PERMITTED tyre-fill/solvent-excess for “the job”, job “HT-0311”",
        "There is too much solvent in the workspace",
        "the record shows: workspace solvent on hand: 12 gal (asked: at most 10 gal (limit solvent_most); it is not so)",
        "why the rule is there: ",
        "covers the fill of 1 assembly: 1. “loader 4, left front”, tyre size",
        "asked for by Odile Varga, who has not signed: the fire warden's letter is on file",
        "there is no terminal to ask",
    ]);
    assert!(ran.err.contains("give --yes") && !shop.has(PERMIT));
    permit(&shop, MAIRE, 3600, &RULE).exits(0).says(&["TO BE PERMITTED"]);
    shop.sign(&["--permit", PERMIT]).exits(0).says(&["asked by Odile Varga, who has not signed, until"]);
    shop.run(&["show", FILE]).exits(0).says(&[
        "BROKEN, PERMITTED (1) There is too much solvent in the workspace",
        "asked for by Odile Varga, whose signature is not shown: the fire warden's letter is on file",
    ]);
}

/// The law: a permit that nobody needs is not signed, ends with 2 and says what to do instead; nothing is out of order.
#[test]
fn a_permit_that_nobody_needs_is_not_signed() {
    let shop = shop();
    let refused = |record: String, says: &[&str]| {
        shop.put("job.yaml", record);
        permit(&shop, MAIRE, 3600, &RULE).exits(2).names(&["cli/usage"]).says(says);
        assert!(!shop.has(PERMIT));
    };
    refused(
        passing(),
        &[
            "no permit is needed: `tyre-fill/solvent-excess` is not broken, and nothing holds the",
            "sign the job with `fillward sign`, without a permit",
        ],
    );
    let cold = || passing_but("reading: 75.2 degF", "reading: 68 degF");
    refused(
        cold(),
        &["no permit of `tyre-fill/solvent-excess` is needed: ", "tyre-fill/cold-material", "or ask for a permit of a"],
    );
    // What was never recorded is not broken: nobody knows what would be permitted.
    refused(passing_but("  solvent_on_hand: 2 gal\n", ""), &["there is nothing to permit yet", "find out what"]);
    shop.put("job.yaml", cold());
    let advice = ["--rule", "sheet-allows-more", "--asked-by", "Odile Varga", "--reason", "x"];
    permit(&shop, MAIRE, 3600, &advice).exits(2).says(&["`tyre-fill/sheet-allows-more` only advises"]);
    // What was put right since somebody asked is needed no longer.
    let too_much = |gallons: u32| passing_but("solvent_on_hand: 2 gal", &format!("solvent_on_hand: {gallons} gal"));
    shop.put("job.yaml", too_much(12));
    let until = from_now(3600);
    let asked =
        ["permit", "ask", "job.yaml", "--as", "Odile Varga", "--rule", "solvent-excess", "--reason", "x", "--yes"];
    shop.run(&[with_key(&asked, ODILE), owned(&TRUST), owned(&["--until", &until])].concat()).exits(0);
    let give = || {
        shop.run(
            &[with_key(&["permit", "give", PERMIT, "--record", "job.yaml", "--yes"], MAIRE), owned(&TRUST)].concat(),
        )
    };
    shop.put("job.yaml", passing());
    give().exits(2).names(&["cli/usage"]).says(&["no permit is needed", "nothing holds the"]);
    // One more gallon is a worse fault than the one that was asked for.
    shop.put("job.yaml", too_much(13));
    give().exits(3).never_says("no permit is needed");
    shop.put("job.yaml", too_much(12));
    give().exits(0);
}

#[test]
fn only_a_rule_that_there_is_can_be_permitted() {
    let shop = shop();
    let other = ["--rule", "solvent-exces", "--asked-by", "Odile Varga", "--reason", "x"];
    permit(&shop, MAIRE, 3600, &other).exits(2).names(&["cli/usage"]).says(&["no rule is called"]);
    assert!(!shop.has(PERMIT));
}
