//! `fillward permit`: a fault that somebody else lets pass beforehand stays a fault, and says so everywhere.

use super::morning::from_now;
use super::shop::{ODILE, Ran, Shop, TAMSIN, TRUST, WREN, owned, passing, passing_but, with_key};

const FILE: &str = "job.checklist.json";
const PERMIT: &str = "job.stored-outdoors.permit.json";
const RULE: [&str; 6] =
    ["--rule", "stored-outdoors", "--asked-by", "Odile Varga", "--reason", "the maker's letter is on file"];

/// A shop whose job passes but for one drum that stood outdoors.
fn shop() -> Shop {
    let shop = Shop::new();
    shop.write("job.yaml", passing_but("stored: indoors", "stored: outdoors"));
    shop
}

/// Asks for a permit that ends so many seconds from now.
fn permit(shop: &Shop, key: &str, seconds: i64, more: &[&str]) -> Ran {
    let until = from_now(seconds);
    let arguments = [with_key(&["permit", "job.yaml", "--until", &until], key), owned(&TRUST), owned(more)];
    shop.run(&arguments.concat())
}

fn refused(ran: Ran, exit: i32, code: &str) {
    ran.exits(exit).names(&[code]);
}

#[test]
fn a_permitted_fault_is_shown_as_broken_and_lets_the_job_pass() {
    let shop = shop();
    shop.sign(&[]).exits(1).says(&["HOLD", "broken: tyre-fill/stored-outdoors"]);
    permit(&shop, TAMSIN, 3600, &RULE).exits(0).says(&["tyre-fill/stored-outdoors", "HT-0311", "stays broken"]);
    shop.sign(&["--permit", PERMIT]).exits(0).says(&[
        "PASS",
        "1 to put right · 0 to find out · ",
        " · 1 permit",
        "loader 4, left front: target 60 psi",
        "broken, permitted: tyre-fill/stored-outdoors",
        "the fill may start",
    ]);
    shop.verify(&[FILE, "--record", "job.yaml", "--rejudge"]).exits(0).says(&["may start"]);
    let file: serde_json::Value = serde_json::from_str(&shop.read(FILE)).unwrap();
    let fault = &file["checklist"]["findings"]["faults"][0];
    assert_eq!(
        (&fault["outcome"], &fault["permitted"], &fault["holds"]),
        (&"broken".into(), &true.into(), &true.into())
    );
    let until = file["checklist"]["valid_until"].as_str().unwrap();
    assert!(until <= file["checklist"]["permits"][0]["permit"]["until"].as_str().unwrap(), "{until}");
    // The permit does not serve another job, nor the same one with another fault.
    shop.write("job.yaml", shop.read("job.yaml").replacen("HT-0311", "HT-0999", 1));
    refused(shop.sign(&["--permit", PERMIT, "--out", "other.json"]), 3, "permit-not-needed");
    shop.write("job.yaml", passing_but("ventilated: true", "ventilated: false"));
    refused(shop.sign(&["--permit", PERMIT, "--out", "other.json"]), 3, "permit-not-needed");
    assert!(!shop.has("other.json"));
}

/// A permit for one tyre does not serve for more of them, nor for another pressure, under the same job number.
#[test]
fn a_permit_is_for_what_is_filled_and_no_more() {
    let shop = shop();
    let record = shop.read("job.yaml");
    let tyre = "loader 4, left front (tyre size 17.5-25, target pressure 60 psi)";
    permit(&shop, TAMSIN, 3600, &RULE).exits(0).says(&[&format!("filled: {tyre}")]);
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
        shop.write("job.yaml", &other);
        shop.sign(&["--permit", PERMIT, "--hold"]).exits(3).names(&["permit-other-fill"]).says(&[tyre]);
    }
    assert!(!shop.has(FILE));
    shop.write("job.yaml", &record);
    shop.sign(&["--permit", PERMIT]).exits(0).says(&[&format!("filled: {tyre}")]);
    shop.verify(&[FILE, "--record", "job.yaml"]).exits(0).says(&[&format!("filled: {tyre}")]);
}

#[test]
fn nobody_permits_it_to_themselves() {
    let shop = shop();
    let own = ["--rule", "stored-outdoors", "--asked-by", "Tamsin Brandt", "--reason", "in a hurry"];
    refused(permit(&shop, TAMSIN, 3600, &own), 3, "permit-self");
    let nobody = ["--rule", "stored-outdoors", "--asked-by", "Nobody Known", "--reason", "in a hurry"];
    refused(permit(&shop, TAMSIN, 3600, &nobody), 3, "unknown-person");
    assert!(!shop.has(PERMIT));
}

#[test]
fn only_the_role_that_the_rule_names_permits() {
    let shop = shop();
    let by = |key, role| {
        let role = ["--role", role];
        permit(&shop, key, 3600, &[&RULE[..], &role].concat()).exits(3).codes()
    };
    assert_eq!(by(WREN, "supervisor"), ["permit-role"]);
    assert_eq!(by(WREN, "safety-officer"), ["wrong-role"]);
    assert_eq!(by(ODILE, "supervisor"), ["permit-self", "permit-role"]);
    shop.trust(|trust| trust.person(TAMSIN).until = from_now(-60));
    assert_eq!(by(TAMSIN, "safety-officer"), ["key-expired"]);
    assert!(!shop.has(PERMIT));
}

#[test]
fn a_permit_is_never_longer_than_the_rule_allows() {
    let shop = shop();
    refused(permit(&shop, TAMSIN, 9 * 3600, &RULE), 3, "permit-too-long");
    permit(&shop, TAMSIN, -60, &RULE).exits(2).names(&["cli/usage"]).says(&["is past", "still to come"]);
    permit(&shop, TAMSIN, 0, &RULE).exits(2).names(&["cli/usage"]);
    assert!(!shop.has(PERMIT));
    permit(&shop, TAMSIN, 8 * 3600 - 60, &RULE).exits(0);
}

#[test]
fn a_permit_says_why_in_words_that_show() {
    let shop = shop();
    let because = |reason: &str| {
        let asked = ["--rule", "stored-outdoors", "--asked-by", "Odile Varga", "--reason", reason];
        permit(&shop, TAMSIN, 3600, &asked)
    };
    for reason in ["", "  ", "\n", "\u{2800}", "\u{200d}", "\u{17b4}\u{a0}"] {
        because(reason).exits(2).names(&["cli/usage"]).says(&["--reason", "say why it is asked for"]);
    }
    for reason in ["the letter\u{1b}[2K is on file", "the letter\u{202e}", "the\u{200b} letter"] {
        because(reason).exits(2).names(&["cli/usage"]).says(&["--reason", "type the reason anew"]);
    }
    assert!(!shop.has(PERMIT));
}

#[test]
fn the_same_permit_given_twice_is_told() {
    let shop = shop();
    permit(&shop, TAMSIN, 3600, &RULE).exits(0);
    shop.write("copy.json", shop.read(PERMIT));
    for second in [PERMIT, "copy.json"] {
        let ran = shop.sign(&["--permit", PERMIT, "--permit", second]).exits(2).names(&["cli/usage"]);
        ran.says(&[&format!("the permit `{second}` is given twice"), "give each permit once"]);
    }
    assert!(!shop.has(FILE));
}

#[test]
fn some_rules_allow_no_permit() {
    let shop = Shop::new();
    shop.write("job.yaml", passing_but("reading: 75.2 degF", "reading: 60 degF"));
    let rule = ["--rule", "cold-material", "--asked-by", "Odile Varga", "--reason", "it warms up on the way"];
    refused(
        permit(&shop, TAMSIN, 3600, &rule).says(&["clear the fault itself; nobody may permit it"]),
        3,
        "permit-none",
    );
    assert!(!shop.has("job.cold-material.permit.json"));
}

#[test]
fn only_what_is_broken_can_be_permitted() {
    let shop = shop();
    shop.write("job.yaml", passing());
    permit(&shop, TAMSIN, 3600, &RULE).exits(2).names(&["cli/usage"]).says(&["is not broken here"]);
    // What was never recorded is not broken: nobody knows what would be permitted.
    shop.write("job.yaml", passing_but("    stored: indoors\n", ""));
    permit(&shop, TAMSIN, 3600, &RULE).exits(2).names(&["cli/usage"]).says(&["not shown must be found out"]);
    let other = ["--rule", "stored-outdors", "--asked-by", "Odile Varga", "--reason", "x"];
    permit(&shop, TAMSIN, 3600, &other).exits(2).names(&["cli/usage"]).says(&["no rule is called"]);
    assert!(!shop.has(PERMIT));
}

#[test]
fn a_rule_broken_twice_needs_a_permit_for_each() {
    let shop = Shop::new();
    shop.write("job.yaml", passing().replace("stored: indoors", "stored: outdoors"));
    let ran = permit(&shop, TAMSIN, 3600, &RULE).exits(2).says(&["--subject"]);
    let text = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
    let subjects: Vec<&str> =
        text.split_once("is broken for ").unwrap().1.split(" help").next().unwrap().split(", ").collect();
    assert_eq!(subjects.len(), 2, "{text}");
    let mut arguments = Vec::new();
    for (number, subject) in subjects.iter().enumerate() {
        let out = format!("{number}.json");
        permit(&shop, TAMSIN, 3600, &[&RULE[..], &["--subject", subject.trim(), "--out", &out]].concat()).exits(0);
        arguments.extend(owned(&["--permit", &out]));
    }
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    shop.sign(&arguments[..2]).exits(1).says(&["HOLD"]);
    shop.sign(&arguments).exits(0).says(&["PASS", "2 to put right", "2 permits"]);
}

/// A permit ends while the day goes on. The clock cannot be moved here, so the permit is one that ends in a moment.
#[test]
fn a_permit_past_its_end_is_refused() {
    let shop = shop();
    // Time enough for the key to be opened, and then for the permit to end.
    permit(&shop, TAMSIN, 6, &RULE).exits(0);
    std::thread::sleep(std::time::Duration::from_secs(7));
    refused(shop.sign(&["--permit", PERMIT]), 3, "permit-not-in-force");
    assert!(!shop.has(FILE));
}

#[test]
fn a_permit_that_was_changed_or_is_something_else_is_refused() {
    let shop = shop();
    permit(&shop, TAMSIN, 3600, &RULE).exits(0);
    refused(permit(&shop, TAMSIN, 3600, &RULE), 2, "cli/exists");
    let good = shop.read(PERMIT);
    let text: &[(&str, &str, &str)] = &[
        ("the maker's letter", "the makers letter", "changed"),
        ("\"stored-outdoors\"", "\"cold-material\"", "changed"),
        ("{\n", "{\n\n", "not-exact-form"),
        ("\"reason\"", "\"rule\": \"x\",\n    \"reason\"", "not-exact-form"),
    ];
    for (find, put, code) in text {
        shop.write(PERMIT, good.replacen(find, put, 1));
        let ran = shop.sign(&["--permit", PERMIT]).exits(3);
        assert!(ran.codes().contains(&(*code).to_owned()), "{put}: {ran:?}");
    }
    shop.write(PERMIT, shop.read("trust.json"));
    refused(shop.sign(&["--permit", PERMIT]), 3, "other-document");
    refused(shop.sign(&["--permit", "none.json"]), 2, "cli/unreadable");
    assert!(!shop.has(FILE));
    // Made by a safety officer whom the trust file no longer has.
    shop.write(PERMIT, good);
    shop.trust(|trust| trust.person(TAMSIN).revoked = Some((from_now(-600), "left".to_owned())));
    refused(shop.sign(&["--permit", PERMIT]), 3, "key-revoked");
}
