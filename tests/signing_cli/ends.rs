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
