//! `fillward show`: a page that says all that the file says, decides nothing, and whose lines no file can forge.

use fillward::checklist::canonical;
use serde_json::{Value, json};

use crate::common;
use crate::shop::folder::{ODILE, Ran, Shop, TRUST, owned, passing_but, signing};

const FILE: &str = "job.checklist.json";

/// Shows a file at 80 columns, with the trust file and more.
fn show(shop: &Shop, file: &str, more: &[&str]) -> Ran {
    let arguments = [&["show", file], more].concat();
    Ran::of(&arguments, shop.command(&arguments).env("COLUMNS", "80").output().unwrap())
}

fn content(shop: &Shop, file: &str) -> Value {
    serde_json::from_str(&shop.read(file)).unwrap()
}

#[test]
fn a_pass_is_shown_with_everything_that_was_looked_at() {
    let shop = Shop::new();
    shop.sign(&[]).exits(0);
    let ran = show(&shop, FILE, &TRUST).exits(0).says(&[
        "CHECKLIST PASS before fill, job “HT-0311” VERIFIED: in order Shop “Hollow Tarn”",
        "fillward 0.1.0, build ",
        "by Odile Varga, supervisor, at 20",
        "FILLS (1) 1. “loader 4, left front”, tyre size",
        "SHOWN BEFORE IT WAS SIGNED",
        "loader 4, left front: target 60 psi (pressure window ",
        "The wheel is cracked wheel faults: none tyre-fill/wheel-cracked. Source, ",
        "air stage stand off: 12 ft at least 3 m (limit stand_off)",
        "stand_off: ",
        "It decides nothing",
        "does not replace the makers' instructions",
    ]);
    assert_eq!(ran.err, "");
    let ran = ran.never_says("may start.").never_says("this pack is not at hand").never_says("DOES NOT COUNT");
    let file = content(&shop, FILE);
    let met = file["checklist"]["findings"]["ruled_out"].as_array().unwrap();
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for rule in met.iter().flat_map(|seen| &seen.as_array().unwrap()[1..]) {
        let title = rule.as_str().or_else(|| rule[0].as_str()).unwrap().split(" @ ").next().unwrap();
        assert!(text.contains(title), "{title}");
    }
    let values = file["checklist"]["findings"]["values"].as_object().unwrap();
    let rows: usize = values.values().map(|rows| rows.as_array().unwrap().len()).sum();
    assert!(text.contains(&format!("RECORDED, AS ASKED FOR AND WITHIN BOUNDS ({rows}) ")), "{text}");
    assert!(text.contains(" today (limit longest_calibration) at least today"), "{text}");
    for (name, value) in file["checklist"]["figures"]["assemblies[0]"].as_object().unwrap() {
        let named = name.replace('_', " ").replace("pre stretch", "pre-stretch");
        let value = value.as_str().unwrap();
        let told = if value.starts_with("null") { "not computed".to_owned() } else { format!("computed: {value}") };
        assert!(text.contains(&format!("{named} ({told}")), "{name} {value}");
    }
    // Rules of the pack that the file does not name are listed from the pack.
    assert!(text.contains("DOES NOT APPLY TO THIS JOB (") && text.contains("tyre-fill/tube-missing"), "{text}");
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80), "{}", ran.out);
    assert!(!ran.out.contains('\u{1b}'));
}

#[test]
fn a_hold_says_first_what_held_it() {
    let shop = Shop::new();
    shop.write("cold.yaml", passing_but("reading: 75.2 degF", "reading: 68 degF"));
    shop.run(&[signing("cold.yaml", ODILE), owned(&["--hold"])].concat()).exits(1);
    let ran = show(&shop, "cold.hold.checklist.json", &TRUST).exits(0).says(&[
        "SHOWN BEFORE IT WAS SIGNED 1 broken · 0 not shown",
        "WHAT HELD IT (1) The material is too cold to mix and cure isocyanate, broken: tyre-fill/cold-material",
        "core temperature: 68 °F [67.5, 68.5] (asked: at least 72 °F (limit processing_temperature); it is not so)",
        "Do not start the pump.",
    ]);
    assert!(ran.out.find("WHAT HELD IT") < ran.out.find("SIGNED"), "{}", ran.out);
}

/// Names come from a trust file, and rules from packs; where one is not at hand, that is said.
#[test]
fn what_is_not_at_hand_is_said() {
    let north = common::local_pack("county-north", "supervisor");
    let shop = Shop::with_packs(&[("north.yaml", &north)]);
    shop.sign(&["--pack", "north.yaml"]).exits(0);
    let kid = fillward::checklist::keys::PublicKey::from_pem(&shop.read(&format!("{ODILE}.pub.pem"))).unwrap();
    show(&shop, FILE, &[])
        .exits(0)
        .says(&[
            &format!("by the key `{}`, supervisor", kid.kid()),
            "NO SIGNATURE WAS CHECKED",
            "this pack is not at hand",
        ])
        .never_says("Odile Varga, supervisor");
    show(&shop, FILE, &["--pack", "north.yaml"]).exits(0).never_says("this pack is not at hand");
    // A pack of that name with another content is not that pack.
    shop.write("north.yaml", north + "# changed\n");
    show(&shop, FILE, &["--pack", "north.yaml"]).exits(0).says(&["this pack is not at hand"]);
    show(&shop, "job.yaml", &[]).exits(3).names(&["not-json"]);
    show(&shop, "none.json", &[]).exits(2).names(&["cli/unreadable"]);
    show(&shop, "trust.json", &[]).exits(3).names(&["other-document"]);
}

#[test]
fn a_signature_that_does_not_fit_is_shown_as_one() {
    let shop = Shop::new();
    shop.sign(&[]).exits(0);
    let mut file = content(&shop, FILE);
    file["checklist"]["job"] = json!("HT-0999");
    shop.write("forged.json", canonical::file("forged", &file).unwrap().0);
    show(&shop, "forged.json", &TRUST)
        .exits(3)
        .says(&["job “HT-0999” NOT TO BE RELIED ON", "THIS SIGNATURE DOES NOT COUNT"]);
    file["checklist"]["verdict"] = json!("HOLD");
    file["checklist"]["inputs"]["record"]["text"] = json!("job: 1\n");
    shop.write("forged.json", canonical::file("forged", &file).unwrap().0);
    show(&shop, "forged.json", &[]).exits(3).says(&["NOT IN ORDER"]);
}

/// The law: whatever stands in a file, no text of it begins a line where the program begins its own, or leaves 80 columns.
#[test]
fn no_text_of_a_file_can_forge_a_line() {
    let shop = Shop::new();
    shop.write("cold.yaml", passing_but("reading: 75.2 degF", "reading: 68 degF"));
    shop.run(&[signing("cold.yaml", ODILE), owned(&["--hold"])].concat()).exits(1);
    let starts = |out: &str| -> Vec<String> {
        let first = |line: &str| line.split(' ').next().unwrap().to_owned();
        out.lines().filter(|line| !line.starts_with(' ') && !line.is_empty()).map(first).collect()
    };
    let mut honest = starts(&show(&shop, "cold.hold.checklist.json", &[]).exits(0).out);
    honest.extend(["Good", "Follows"].map(str::to_owned));
    for hostile in [
        "x\nSIGNED\n  by Odile Varga, supervisor",
        "SIGNED by Odile Varga ".repeat(40).as_str(),
        "SIGNED".repeat(60).as_str(),
        "1 ".repeat(300).as_str(),
        "中".repeat(200).as_str(),
        "' = false (x) [ figure. @ ; ''",
    ] {
        let mut file = content(&shop, "cold.hold.checklist.json");
        for pointer in [
            "/job",
            "/judged_at",
            "/time_zone",
            "/verdict",
            "/valid_until",
            "/program/edition",
            "/program/name",
            "/program/build",
            "/hold_point",
            "/before",
            "/inputs/trust/shop",
            "/inputs/trust/sha256",
            "/inputs/record/sha256",
            "/inputs/packs/0/name",
            "/inputs/packs/0/edition",
            "/assemblies/0/mark",
            "/assemblies/0/tyre_size",
            "/assemblies/0/target_pressure",
            "/findings/faults/0/rules/tyre-fill~1cold-material",
            "/findings/faults/0/outcome",
            "/findings/faults/0/of/components.isocyanate/shown/0",
            "/findings/ruled_out/0/0",
            "/findings/ruled_out/0/1",
            "/findings/values/component/0",
        ] {
            *file["checklist"].pointer_mut(pointer).unwrap_or_else(|| panic!("{pointer}")) = json!(hostile);
        }
        file["checklist"]["findings"]["faults"][0]["of"]["components.isocyanate"]["applies"] = json!([hostile]);
        file["checklist"]["findings"]["faults"][0]["of"]["components.isocyanate"]["mark"] = json!(hostile);
        // Keys are ASCII without quotation marks and backslashes, or the file has another form.
        if hostile.bytes().all(|byte| (b' '..0x7f).contains(&byte) && !matches!(byte, b'"' | b'\\')) {
            file["checklist"]["findings"]["faults"][0]["rules"] = json!({hostile: hostile});
        }
        for figure in file["checklist"]["figures"]["assemblies[0]"].as_object_mut().unwrap().values_mut() {
            *figure = json!(hostile);
        }
        shop.write("forged.json", canonical::file("forged", &file).unwrap().0);
        let ran = show(&shop, "forged.json", &[]).exits(3);
        let wide = |line: &str| {
            line.chars().map(|c| if c < '\u{1100}' || matches!(c, '“' | '”') { 1 } else { 2 }).sum::<usize>()
        };
        assert!(ran.out.lines().all(|line| wide(line) <= 80), "{}", ran.out);
        for line in starts(&ran.out) {
            assert!(honest.contains(&line), "{hostile}: {line}\n{}", ran.out);
        }
        assert_eq!(starts(&ran.out).iter().filter(|line| *line == "SIGNED").count(), 1, "{}", ran.out);
    }
}

/// Whoever gets the page sees first whether the file is to be relied on, by the trust file that is given.
#[test]
fn a_page_says_first_what_the_file_is_worth() {
    let shop = Shop::new();
    shop.sign(&[]).exits(0);
    show(&shop, FILE, &[]).exits(0).says(&["job “HT-0311” NO SIGNATURE WAS CHECKED", "NOT ASKED BEFORE FILL ("]);
    show(&shop, FILE, &TRUST).exits(0).says(&["VERIFIED: in order"]);
    // A key that was revoked since.
    let stolen =
        fillward::checklist::trust::Revocation { at: crate::shop::morning::from_now(600), why: "stolen".to_owned() };
    shop.trust(|trust| trust.people[0].keys[0].revoked = Some(stolen.clone()));
    show(&shop, FILE, &TRUST).exits(3).says(&["NOT TO BE RELIED ON", "has been revoked since (stolen)"]);
    // Another shop's trust file.
    shop.trust(|trust| {
        trust.shop = "Quarry Nine".to_owned();
        trust.people[0].keys[0].revoked = Some(stolen.clone());
    });
    show(&shop, FILE, &TRUST).exits(3).says(&["NOT TO BE RELIED ON", "is of the shop `Hollow Tarn`"]);
    // A practice run is good until nothing.
    let shop = Shop::new();
    shop.sign(&["--at", &crate::shop::morning::from_now(0)]).exits(1);
    show(&shop, FILE, &TRUST).exits(0).never_says("Good until").says(&["nothing ever starts by this file"]);
}
