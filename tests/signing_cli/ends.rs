//! How a command that fails is headed, and what whoever stands at the pump reads last.

use fillward::units::Instant;

use crate::shop::Shop;
use crate::shop::folder::{MAIRE, ODILE, OWNER, Ran, TRUST, owned, signing, with_key};

/// The failure has this heading and no other, and ends with this line.
#[track_caller]
fn told(ran: &Ran, heading: &str, last: Option<&str>) {
    let headings = ran.err.split('\n').filter(|line| line.trim_start().starts_with("NOT ")).collect::<Vec<_>>();
    assert!(headings.len() == 1 && headings[0].trim_start().starts_with(heading), "{heading}: {ran:?}");
    let found = ran.err.lines().last().filter(|line| line.contains("pump") || line.contains("Nothing starts"));
    assert_eq!(found, last, "{ran:?}");
}

#[test]
fn a_failure_is_headed_by_what_did_not_come_about() {
    let shop = Shop::new().in_folder();
    shop.put("broken.yaml", "record: [\n");
    let start = Some("Do not start the pump.");
    let signed = Some("Nothing was signed. Nothing starts by this.");
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
    let permit = [
        "permit",
        "write",
        "none.yaml",
        "--rule",
        "x",
        "--reason",
        "x",
        "--asked-by",
        "x",
        "--until",
        "2030-01-01T00:00Z",
    ];
    told(&keyed(&permit).exits(2), "NOT SIGNED:", None);
    let countersign = ["countersign", "none.json", "--record", "job.yaml"];
    told(&keyed(&countersign).exits(2), "NOT SIGNED:", signed);
    // So is a fault of the settings, and a command line that cannot be read.
    for settings in ["none.yaml", "broken.yaml"] {
        let by = |words: &[&str]| run(&[words, &["--settings", settings]].concat()).exits(2);
        told(&by(&["check", "job.yaml"]), "NOT JUDGED:", start);
        told(&by(&["figures", "job.yaml"]), "NOT JUDGED:", None);
        told(&by(&["verify", "job.checklist.json"]), "NOT VERIFIED:", start);
        told(&by(&["sign", "job.yaml"]), "NOT SIGNED:", signed);
        told(&by(&["countersign", "job.checklist.json"]), "NOT SIGNED:", signed);
        told(&by(&["trust", "renew"]), "NOT SIGNED:", None);
        told(&by(&["permit", "give", "permit.json"]), "NOT SIGNED:", None);
        told(&by(&["trust", "show"]), "NOT DONE:", None);
        told(&by(&["key", "show", "none.pem"]), "NOT DONE:", None);
    }
    // What speaks against a signature is headed alike.
    shop.trust(|trust| trust.packs.clear());
    told(&shop.sign(&[]).exits(3), "NOT SIGNED, because:", signed);
}

const NOTHING: &str = "Nothing was signed. Nothing starts by this.";

fn caution() -> String {
    format!("{}\n", textwrap::fill(fillward::explain::CAUTION, 100))
}

/// Once the summary has been shown, whoever reads it must not take it for leave to start.
#[test]
fn whatever_ends_without_a_signature_says_so_last() {
    let shop = Shop::new().in_folder();
    let ended = |ran: Ran, exit: i32, on_stderr: bool| {
        let ran = ran.exits(exit).says(&["job “HT-0311”", "to be signed by supervisor"]);
        let starts = |words: &str| ran.out.matches(words).count();
        assert_eq!(starts("may start"), 0, "{ran:?}");
        let stream = if on_stderr { &ran.err } else { &ran.out };
        assert_eq!(stream.lines().last(), Some(NOTHING), "{ran:?}");
        assert!(!shop.has("job.checklist.json"), "{ran:?}");
    };
    let sign = |words: &str, more: &[&str]| {
        let first = ["sign", "job.yaml", "--key", "odile-varga-supervisor.key.pem", "--passphrase-file", words];
        shop.run(&[&first[..], &TRUST, more].concat())
    };
    shop.put("wrong.txt", "quite another phrase\n");
    ended(sign(crate::shop::folder::WORDS_FILE, &[]), 2, true);
    ended(sign("wrong.txt", &["--yes"]), 2, true);
    ended(sign(crate::shop::folder::WORDS_FILE, &["--yes", "--role", "auditor"]), 3, true);
    shop.put("there.checklist.json", "");
    ended(sign(crate::shop::folder::WORDS_FILE, &["--yes", "--out", "there.checklist.json"]), 2, true);
    shop.put("job.yaml", crate::shop::folder::passing_but("reading: 75.2 degF", "reading: 68 degF"));
    ended(sign(crate::shop::folder::WORDS_FILE, &["--yes"]), 1, false);
    let held = sign(crate::shop::folder::WORDS_FILE, &["--yes"]).says(&[
        "finding holds the job",
        "Do not start the pump.",
        "A HOLD is signed for the file",
    ]);
    held.never_says("target 60 psi");
}

#[test]
fn what_is_signed_and_what_is_verified_ends_with_the_caution() {
    let shop = Shop::new().in_folder();
    let end = |ran: Ran, before: &str| {
        let text = ran.out.strip_suffix(&caution()).unwrap_or_else(|| panic!("{ran:?}"));
        assert!(text.lines().last().is_some_and(|line| line.trim().starts_with(before)), "{before}: {ran:?}");
    };
    end(shop.sign(&[]).exits(0), "the fill may start");
    end(
        shop.verify(&["job.checklist.json", "--record", "job.yaml"]).exits(0),
        "signed by its owner Ansel Prewitt-Okoro (",
    );
    shop.put("job.yaml", crate::shop::folder::passing_but("reading: 75.2 degF", "reading: 68 degF"));
    end(shop.sign(&["--hold", "--out", "held.checklist.json"]).exits(1), "Do not start the pump.");
}

/// Everything but the trust file speaks by the clock of the shop, wherever the machine stands, and judging again comes out
/// the same there.
#[test]
fn one_shop_has_one_clock() {
    const ELSEWHERE: &str = "Asia/Kathmandu";
    let shop = Shop::new().in_folder();
    shop.put("job.yaml", crate::shop::folder::passing_but("solvent_on_hand: 2 gal", "solvent_on_hand: 12 gal"));
    let now = crate::shop::morning::from_now(0);
    let offset: String = now.chars().skip(19).collect();
    let shown_offset = if offset == "Z" { "+00:00" } else { &offset };
    let run = |arguments: Vec<String>, exit: i32| {
        let mut command = shop.command(&arguments);
        let ran = Ran::of(&arguments, command.env("TZ", ELSEWHERE).output().unwrap()).exits(exit);
        let words = ran.out.split_whitespace().map(|word| word.trim_end_matches([':', ',', '.']));
        let stamps: Vec<&str> = words.filter(|word| word.len() > 19 && Instant::parse(word).is_ok()).collect();
        assert!(stamps.iter().all(|stamp| stamp.get(19..) == Some(&offset)), "{stamps:?} instead of {offset}: {ran:?}");
        let shown = ran.out.matches(":00)").count();
        assert_eq!(shown, ran.out.matches(&format!("({shown_offset})")).count(), "{ran:?}");
        assert!(stamps.len() + shown >= 1, "{ran:?}");
        ran
    };
    let permit = [
        "permit",
        "write",
        "job.yaml",
        "--yes",
        "--rule",
        "solvent-excess",
        "--asked-by",
        "Wren Castellane",
        "--reason",
        "x",
    ];
    let until = ["--until", &crate::shop::morning::from_now(3600), "--out", "permit.json"];
    run([with_key(&permit, MAIRE), owned(&until), owned(&TRUST)].concat(), 0);
    run([signing("job.yaml", ODILE), owned(&["--permit", "permit.json"])].concat(), 0);
    let verify = owned(&["verify", "job.checklist.json", "--record", "job.yaml"]);
    let and = |more: &[&str]| [verify.clone(), owned(&TRUST), owned(more)].concat();
    run(and(&[]), 0);
    run(and(&["--at", &crate::shop::morning::from_now(60)]), 1).says(&["the fill could have started"]);
    run(and(&["--at", &crate::shop::morning::from_now(20 * 3600)]), 1).says(&["checklist/lapsed"]);
    for name in ["permit.json", "job.checklist.json"] {
        let file: serde_json::Value = serde_json::from_str(&shop.read(name)).unwrap();
        let part = file.get("checklist").or(file.get("permit")).unwrap();
        for key in ["judged_at", "valid_until", "from", "until"] {
            if let Some(instant) = part.get(key) {
                assert_eq!(instant.as_str().unwrap().get(19..), Some(offset.as_str()), "{key}");
            }
        }
    }
    // Where a later trust file says that the shop lies elsewhere, nothing starts by the old clock any more.
    shop.trust(|trust| (trust.zone, trust.version) = (ELSEWHERE.to_owned(), 2));
    shop.run(&and(&[])).exits(1).names(&["other-zone"]);
}

/// At 60 columns every line of prose keeps to them; a path or a digest stays whole, and nothing that is wrapped can be taken
/// for the answer on another file.
#[test]
fn what_is_told_keeps_to_the_width_of_the_terminal() {
    const FOLDER: &str = "the checklists of the depot at Hollow Tarn, first quarter of the year";
    let shop = Shop::new().in_folder();
    shop.sign(&[]).exits(0);
    std::fs::create_dir(shop.path(FOLDER)).unwrap();
    let copy = format!("{FOLDER}/job.checklist.json");
    shop.put(&copy, shop.read("job.checklist.json"));
    let owner = format!("{OWNER}.pub.pem");
    let sign = [with_key(&["sign", "job.yaml", "--yes", "--out", "2.checklist.json"], ODILE), owned(&TRUST)].concat();
    let refused =
        [with_key(&["sign", "job.yaml", "--yes", "--out", "3.checklist.json"], MAIRE), owned(&TRUST)].concat();
    for (arguments, exit) in [
        (owned(&[&["verify", &copy, "--record", "job.yaml"], &TRUST[..]].concat()), 0),
        (owned(&["verify", &copy, "--trust", "trust.json"]), 1),
        (owned(&[&["trust", "show"], &TRUST[..]].concat()), 0),
        (owned(&["key", "show", &owner]), 0),
        (owned(&["explain", "all"]), 0),
        (sign, 0),
        (refused, 3),
    ] {
        let output = shop.command(&arguments).env("COLUMNS", "60").output().unwrap();
        let ran = Ran::of(&arguments, output).exits(exit);
        let told = format!("{}{}", ran.out, ran.err);
        assert!(told.lines().count() >= 3, "{told}");
        for line in told.lines().filter(|line| line.chars().count() > 60) {
            let words = line.trim_start().trim_start_matches("Signed and read back: ").trim_start_matches('“');
            assert!(
                words.starts_with(FOLDER) || words.starts_with("hex") || !words.contains(' '),
                "{arguments:?}: {line}"
            );
        }
        if arguments[0] == "key" {
            let hex = told.lines().find_map(|line| line.trim_start().strip_prefix("hex")).unwrap();
            assert_eq!(hex.split_whitespace().map(str::len).sum::<usize>(), 64, "{told}");
        }
        if arguments.contains(&copy) {
            assert!(told.contains(&format!("“{copy}”")), "{told}");
            assert_eq!(told.lines().filter(|line| !line.starts_with(' ')).count(), 4, "{told}");
        }
    }
}
