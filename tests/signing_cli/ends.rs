//! How a command that fails is headed, and what whoever stands at the pump reads last.

use super::shop::{ODILE, OWNER, Ran, Shop, TRUST, owned, with_key};

/// The failure has this heading and no other, and ends with this line.
#[track_caller]
fn told(ran: &Ran, heading: &str, last: Option<&str>) {
    let headings = ran.err.split('\n').filter(|line| line.trim_start().starts_with("NOT ")).collect::<Vec<_>>();
    assert!(headings.len() == 1 && headings[0].trim_start().starts_with(heading), "{heading}: {ran:?}");
    let found = ran.err.lines().last().filter(|line| line.contains("pump"));
    assert_eq!(found, last, "{ran:?}");
}

#[test]
fn a_failure_is_headed_by_what_did_not_come_about() {
    let shop = Shop::new();
    shop.write("broken.yaml", "record: [\n");
    let start = Some("Do not start the pump.");
    let signed = Some("Nothing was signed. Do not start the pump.");
    let run = |arguments: &[&str]| shop.run(arguments);
    let trusted = |arguments: &[&str]| shop.run(&[arguments, &TRUST].concat());
    let keyed = |arguments: &[&str]| shop.run(&[with_key(arguments, ODILE), owned(&TRUST)].concat());
    for record in ["none.yaml", "broken.yaml"] {
        told(&run(&["check", record]).exits(2), "NOT JUDGED:", start);
        told(&run(&["figures", record]).exits(2), "NOT JUDGED:", None);
        told(&run(&["pack", "check", record]).exits(2), "NOT JUDGED:", None);
        told(&run(&["record", "new", "--from", record]).exits(2), "NOT DONE:", None);
        told(&keyed(&["sign", record]).exits(2), "NOT SIGNED:", signed);
        told(&trusted(&["verify", "job.checklist.json", "--record", "none.yaml"]).exits(2), "NOT VERIFIED:", start);
    }
    told(&run(&["key", "show", "none.pem"]).exits(2), "NOT DONE:", None);
    told(&run(&["explain", "none"]).exits(2), "NOT DONE:", None);
    told(&run(&["trust", "show", "--trust", "none.json"]).exits(2), "NOT DONE:", None);
    told(&shop.run(&with_key(&["trust", "sign", "none.yaml", "--out", "x.json"], OWNER)).exits(2), "NOT SIGNED:", None);
    let permit =
        ["permit", "none.yaml", "--rule", "x", "--reason", "x", "--asked-by", "x", "--until", "2030-01-01T00:00Z"];
    told(&keyed(&permit).exits(2), "NOT SIGNED:", None);
    let countersign = ["countersign", "none.json", "--record", "job.yaml"];
    told(&keyed(&countersign).exits(2), "NOT SIGNED:", signed);
    // What speaks against a signature is headed alike.
    shop.trust(|trust| trust.packs.clear());
    told(&shop.sign(&[]).exits(3), "NOT SIGNED:", signed);
}

const NOTHING: &str = "Nothing was signed. Do not start the pump.";

fn caution() -> String {
    format!("{}\n", fillward::explain::CAUTION)
}

/// Once the summary has been shown, whoever reads it must not take it for leave to start.
#[test]
fn whatever_ends_without_a_signature_says_so_last() {
    let shop = Shop::new();
    let ended = |ran: Ran, exit: i32, on_stderr: bool| {
        let ran = ran.exits(exit).says(&["job HT-0311", "to be signed by supervisor"]);
        let starts = |words: &str| ran.out.matches(words).count();
        assert_eq!(starts("may start"), starts("once signed, a fill may start"), "{ran:?}");
        let stream = if on_stderr { &ran.err } else { &ran.out };
        assert_eq!(stream.lines().last(), Some(NOTHING), "{ran:?}");
        assert!(!shop.has("job.checklist.json"), "{ran:?}");
    };
    let sign = |words: &str, more: &[&str]| {
        let first = ["sign", "job.yaml", "--key", "odile-varga-supervisor.key.pem", "--passphrase-file", words];
        shop.run(&[&first[..], &TRUST, more].concat())
    };
    shop.write("wrong.txt", "quite another phrase\n");
    ended(sign(super::shop::WORDS_FILE, &[]), 2, true);
    ended(sign("wrong.txt", &["--yes"]), 2, true);
    ended(sign(super::shop::WORDS_FILE, &["--yes", "--role", "auditor"]), 3, true);
    shop.write("there.json", "");
    ended(sign(super::shop::WORDS_FILE, &["--yes", "--out", "there.json"]), 2, true);
    shop.write("job.yaml", super::shop::passing_but("reading: 75.2 degF", "reading: 60 degF"));
    ended(sign(super::shop::WORDS_FILE, &["--yes"]), 1, false);
    let held =
        sign(super::shop::WORDS_FILE, &["--yes"]).says(&["finding holds the job", "Do not start the pump. A HOLD"]);
    held.never_says("target 60 psi");
}

#[test]
fn what_is_signed_and_what_is_verified_ends_with_the_caution() {
    let shop = Shop::new();
    let end = |ran: Ran, before: &str| {
        let text = ran.out.strip_suffix(&caution()).unwrap_or_else(|| panic!("{ran:?}"));
        assert_eq!(text.lines().last().map(str::trim), Some(before), "{ran:?}");
    };
    end(shop.sign(&[]).exits(0), "the fill may start");
    end(shop.verify(&["job.checklist.json", "--record", "job.yaml"]).exits(0), "judged again with the same findings");
    shop.write("job.yaml", super::shop::passing_but("reading: 75.2 degF", "reading: 60 degF"));
    end(shop.sign(&["--hold", "--out", "held.json"]).exits(1), "Do not start the pump.");
}
