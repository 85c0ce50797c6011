//! `fillward show`: a page that says all that the file says, decides nothing, and whose lines no file can forge.

use fillward::checklist::canonical;
use serde_json::{Value, json};

use crate::common;
use crate::shop::Shop;
use crate::shop::folder::{Folder, ODILE, Ran, TRUST, owned, passing_but, signing};

const FILE: &str = "job.checklist.json";

/// Shows the first page of a file at 80 columns.
fn first_page(shop: &Shop<Folder>, file: &str, more: &[&str]) -> Ran {
    let arguments = [&["show", file], more].concat();
    Ran::of(&arguments, shop.command(&arguments).env("COLUMNS", "80").output().unwrap())
}

/// The first page is one that people read: what they ask first, everything else counted.
#[test]
fn the_first_page_is_short_and_says_where_the_rest_is() {
    let shop = Shop::new().in_folder();
    shop.sign(&[]).exits(0);
    let full = show(&shop, FILE, &TRUST).exits(0);
    let ran = first_page(&shop, FILE, &TRUST).exits(0).says(&[
        "CHECKLIST PASS before fill, job “HT-0311” VERIFIED: in order Shop “Hollow Tarn”",
        "Good until",
        "by Odile Varga, supervisor, ",
        "FILLS (1) 1. “loader 4, left front”, tyre size “17.5-25”, target pressure “60 psi”",
        "target 60 psi (pressure window ",
        "stop at 60 psi; never above 66 psi",
        "Stop at once, and let nobody near",
        "WHAT WAS CHECKED",
        "values as asked for and within bounds: assembly ",
        "rules do not apply to this job",
        "with `--full`",
        "record “job.yaml”, SHA-256 ",
        "does not replace the makers' instructions",
        "It decides nothing",
    ]);
    let lines = |ran: &Ran| ran.out.lines().count();
    assert!((50..=100).contains(&lines(&ran)) && lines(&full) > 1000, "{} {}", lines(&ran), lines(&full));
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80), "{}", ran.out);
    // Every count is that of a heading of the full page.
    let text = full.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let counts = |text: &str| {
        let bare = |word: &&str| word.chars().all(|c| c.is_ascii_digit());
        text.split_whitespace().filter(bare).map(str::to_owned).collect::<Vec<_>>()
    };
    let checked = ran.out.split("WHAT WAS CHECKED").nth(1).unwrap().split("\n\n").next().unwrap();
    for line in
        checked.lines().filter(|line| line.starts_with("  ") && line.contains(" rules ") || line.contains(" values "))
    {
        let count = counts(line).remove(0);
        assert!(text.contains(&format!("({count} rules)")) || text.contains(&format!("({count})")), "{line}");
    }
    // A hold is short as well, and says first what is wrong.
    shop.put("cold.yaml", passing_but("reading: 75.2 degF", "reading: 68 degF"));
    shop.run(&[signing("cold.yaml", ODILE), owned(&["--hold"])].concat()).exits(1);
    let ran = first_page(&shop, "cold.hold.checklist.json", &TRUST).exits(0).says(&[
        "WHAT HELD IT (1) The material is too cold to mix and cure isocyanate, broken: tyre-fill/cold-material",
        "core temperature: 68 °F",
        "Do not start the pump.",
    ]);
    assert!(lines(&ran) < 100 && ran.out.find("WHAT HELD IT") < ran.out.find("SIGNED"), "{}", ran.out);
}

/// Shows a file in full at 80 columns, with the trust file and more.
fn show(shop: &Shop<Folder>, file: &str, more: &[&str]) -> Ran {
    let arguments = [&["show", file, "--full"], more].concat();
    Ran::of(&arguments, shop.command(&arguments).env("COLUMNS", "80").output().unwrap())
}

fn content(shop: &Shop<Folder>, file: &str) -> Value {
    serde_json::from_str(&shop.read(file)).unwrap()
}

#[test]
fn a_pass_is_shown_with_everything_that_was_looked_at() {
    let shop = Shop::new().in_folder();
    shop.sign(&[]).exits(0);
    let ran = show(&shop, FILE, &TRUST).exits(0).says(&[
        "CHECKLIST PASS before fill, job “HT-0311” VERIFIED: in order Shop “Hollow Tarn”",
        "fillward 0.1.0, build ",
        "by Odile Varga, supervisor, ",
        "FILLS (1) 1. “loader 4, left front”, tyre size",
        "SHOWN BEFORE IT WAS SIGNED",
        "loader 4, left front: target 60 psi (pressure window ",
        "The wheel is cracked wheel faults: none tyre-fill/wheel-cracked. Source, ",
        "air stage stand off: 12 ft, at least 10 ft (limit stand_off), rule stand-off-short (published guidance: ",
        "stand_off, 10 ft: ",
        // A share is told with its value and what it is of.
        "at least 105 psi, which is 150 % (limit cage_factor) of tyre maximum (computed: 70 psi)",
        "which is the day of the start plus 1100 d (limit longest_calibration)",
        "which is the time of the check less 1 h (limit start_grace)",
        "at most 65 Shore A, which is grade number (computed: 55) plus 10 Shore A (limit grade_span)",
        "at least 45 Shore A, which is grade number (computed: 55) less 10 Shore A (limit grade_span)",
        "mix hardness least: 52 Shore A, at least 10 Shore A (limit softest)",
        // Of what is met in one of several ways that is said.
        "rule hot-without-a-sheet, as one of several ways (",
        "one of several ways is enough; those that the record meets are shown",
        "It decides nothing",
        "does not replace the makers' instructions",
    ]);
    assert_eq!(ran.err, "");
    let ran = ran.never_says("may start.").never_says("this pack is not at hand").never_says("DOES NOT COUNT");
    let file = content(&shop, FILE);
    let met = file["checklist"]["findings"]["ruled_out"].as_array().unwrap();
    let text = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for rule in met.iter().flat_map(|seen| &seen.as_array().unwrap()[1..]) {
        let (name, rest) = rule.as_str().or_else(|| rule[0].as_str()).unwrap().split_once(": ").unwrap();
        let title = rest.split(" @ ").next().unwrap();
        assert!(text.contains(title) && text.contains(&format!("tyre-fill/{name}. Source, ")), "{name}: {title}");
    }
    let values = file["checklist"]["findings"]["values"].as_object().unwrap();
    // Facts of which the same is said share a line of the file, with commas between.
    let facts = |row: &Value| 1 + row.as_str().unwrap().split(' ').take_while(|word| word.ends_with(',')).count();
    let rows: usize = values.values().flat_map(|rows| rows.as_array().unwrap()).map(facts).sum();
    assert!(text.contains(&format!("RECORDED, AS ASKED FOR AND WITHIN BOUNDS ({rows}) ")), "{text}");
    for (name, value) in file["checklist"]["figures"]["assemblies[0]"].as_object().unwrap() {
        let named = name.replace('_', " ").replace("pre stretch", "pre-stretch");
        let value = value.as_str().unwrap();
        let between = |ends: &str| {
            let (ends, unit) = ends.split_once(']').unwrap();
            format!("computed: between {}{unit}", ends.replace(", ", " and "))
        };
        let told = match value.strip_prefix('[') {
            Some(ends) => between(ends),
            None if value.starts_with("null") => "not computed".to_owned(),
            None => format!("computed: {value}"),
        };
        assert!(text.contains(&format!("{named} ({told}")), "{name} {value}");
    }
    no_value_needs_explaining(&ran.out);
    every_value_has_its_rule(&ran.out);
    // Rules of the pack that the file does not name are listed from the pack.
    assert!(text.contains("DOES NOT APPLY TO THIS JOB (") && text.contains("tyre-fill/tube-missing"), "{text}");
    assert!(ran.out.lines().all(|line| line.chars().count() <= 80), "{}", ran.out);
    assert!(!ran.out.contains('\u{1b}'));
}

/// The law: no value of a page needs another page to be understood. Ends are told in words, and a time with its day and its
/// offset from universal time.
#[track_caller]
fn no_value_needs_explaining(page: &str) {
    let text = page.split_whitespace().collect::<Vec<_>>().join(" ");
    let words: Vec<&str> = text.split(' ').collect();
    for (place, word) in words.iter().enumerate() {
        let bare = word.trim_start_matches('(');
        let is_end = |text: &str| text.starts_with(|c: char| c.is_ascii_digit() || c == '-');
        assert!(!bare.strip_prefix('[').is_some_and(is_end), "{word} in {:?}", &words[place - 3..place + 3]);
        let digits = |text: Option<&str>| text.is_some_and(|text| text.bytes().all(|byte| byte.is_ascii_digit()));
        if digits(bare.get(..2)) && bare.get(2..3) == Some(":") && digits(bare.get(3..5)) {
            let year: i32 = words[place - 1].parse().unwrap_or_else(|_| panic!("{:?}", &words[place - 3..place + 2]));
            let offset = words[place + 1];
            assert!(year > 2000 && offset.starts_with("(+") || offset.starts_with("(-"), "{bare} {offset}");
        }
    }
}

/// The law: behind every value, and every bound of one, stands a rule with its source.
#[track_caller]
fn every_value_has_its_rule(page: &str) {
    let (_, from) = page.split_once("RECORDED, AS ASKED FOR").unwrap();
    let (section, _) = from.split_once("\n\n").unwrap();
    let mut rows: Vec<String> = Vec::new();
    for line in section.lines().skip(1) {
        let words = line.trim_start();
        match (line.len() - words.len(), rows.last_mut()) {
            (2, _) => {}
            (begun, Some(row)) if begun != 4 && !words.starts_with("- ") => {
                row.push(' ');
                row.push_str(words);
            }
            _ => rows.push(words.to_owned()),
        }
    }
    assert!(rows.len() > 150, "{section}");
    for (place, row) in rows.iter().enumerate() {
        let has_bounds = rows.get(place + 1).is_some_and(|next| next.starts_with("- "));
        let nouns = [", rule ", ", rules ", "- rule ", "- rules "];
        let (_, source) = nouns.iter().find_map(|noun| row.split_once(noun)).unwrap_or_default();
        assert!(has_bounds && !row.starts_with("- ") || source.ends_with(')'), "{row}\n{section}");
    }
}

#[test]
fn a_hold_says_first_what_held_it() {
    let shop = Shop::new().in_folder();
    shop.put("cold.yaml", passing_but("reading: 75.2 degF", "reading: 68 degF"));
    shop.run(&[signing("cold.yaml", ODILE), owned(&["--hold"])].concat()).exits(1);
    let ran = show(&shop, "cold.hold.checklist.json", &TRUST).exits(0).says(&[
        "SHOWN BEFORE IT WAS SIGNED 1 broken · 0 not shown",
        "WHAT HELD IT (1) The material is too cold to mix and cure isocyanate, broken: tyre-fill/cold-material",
        "core temperature: 68 °F (between 67.5 and 68.5 °F) (asked: at least 72 °F (limit processing_temperature); it is not so)",
        "Do not start the pump.",
    ]);
    assert!(ran.out.find("WHAT HELD IT") < ran.out.find("SIGNED"), "{}", ran.out);
}

/// Whoever goes by a PASS reads on its page what `verify` told where it said that the fill may start, word for word.
#[test]
fn a_page_of_a_pass_tells_what_is_told_where_the_fill_may_start() {
    let shop = Shop::new().in_folder();
    shop.sign(&[]).exits(0);
    let verified = shop.verify(&[FILE, "--record", "job.yaml"]).exits(0);
    let text = verified.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let from = text.find("Before the pump starts: ").unwrap();
    let told = text.get(from..).unwrap().split(" signed by ").next().unwrap();
    assert!(told.contains("stop at 60 psi") && told.contains("Stop at once"), "{told}");
    show(&shop, FILE, &[]).exits(0).says(&["TOLD TO WHOEVER GOES ON", told]);
    // By a practice run nobody goes on, and by a hold nothing is told but to stop.
    let shop = Shop::new().in_folder();
    shop.sign(&["--at", &crate::shop::morning::from_now(0)]).exits(1);
    show(&shop, FILE, &[]).exits(0).says(&["by this file nobody does: it is of a practice run", told]);
    shop.put("cold.yaml", passing_but("reading: 75.2 degF", "reading: 68 degF"));
    shop.run(&[signing("cold.yaml", ODILE), owned(&["--hold"])].concat()).exits(1);
    show(&shop, "cold.hold.checklist.json", &[]).exits(0).never_says("TOLD TO WHOEVER").never_says("stop at 60 psi");
}

/// Names come from a trust file, and rules from packs; where one is not at hand, that is said.
#[test]
fn what_is_not_at_hand_is_said() {
    let north = common::local_pack("county-north", "supervisor");
    let shop = Shop::named(&[("north.yaml", &north)]).in_folder();
    shop.sign(&["--pack", "north.yaml"]).exits(0);
    let kid = fillward::checklist::keys::PublicKey::from_pem(&shop.read(&format!("{ODILE}.pub.pem"))).unwrap();
    show(&shop, FILE, &[])
        .exits(0)
        .says(&[
            &format!("by the key `{}`, supervisor", kid.kid()),
            "NO SIGNATURE WAS CHECKED",
            "this pack is not at hand",
            "which rule asks for each, by which source, and which of several bounds are ways of which one is enough, is in",
            // The pressures need the judgement, and the cautions do not.
            "Stop at once, and let nobody near",
            "at which pressure to stop cannot be worked out again here",
            "whether the record has others cannot be told here",
        ])
        .never_says(", rule ")
        .never_says("Odile Varga, supervisor");
    show(&shop, FILE, &["--pack", "north.yaml"]).exits(0).never_says("this pack is not at hand");
    // A pack of that name with another content is not that pack.
    shop.put("north.yaml", north + "# changed\n");
    show(&shop, FILE, &["--pack", "north.yaml"]).exits(0).says(&["this pack is not at hand"]);
    show(&shop, "job.yaml", &[]).exits(2).says(&["“job.yaml” is a job record, not a checklist"]);
    show(&shop, "none.json", &[]).exits(2).names(&["cli/unreadable"]);
    show(&shop, "trust.json", &[]).exits(2).says(&["“trust.json” is a trust file, not a checklist"]);
}

#[test]
fn a_signature_that_does_not_fit_is_shown_as_one() {
    let shop = Shop::new().in_folder();
    shop.sign(&[]).exits(0);
    let mut file = content(&shop, FILE);
    file["checklist"]["job"] = json!("HT-0999");
    shop.put("forged.json", canonical::file("forged", &file).unwrap().0);
    show(&shop, "forged.json", &TRUST)
        .exits(3)
        .says(&["job “HT-0999” NOT TO BE RELIED ON", "THIS SIGNATURE DOES NOT COUNT"]);
    file["checklist"]["verdict"] = json!("HOLD");
    file["checklist"]["inputs"]["record"]["text"] = json!("job: 1\n");
    shop.put("forged.json", canonical::file("forged", &file).unwrap().0);
    show(&shop, "forged.json", &[]).exits(3).says(&["NOT IN ORDER"]);
}

/// The law: whatever stands in a file, no text of it begins a line where the program begins its own, or leaves 80 columns.
#[test]
fn no_text_of_a_file_can_forge_a_line() {
    let shop = Shop::new().in_folder();
    shop.put("cold.yaml", passing_but("reading: 75.2 degF", "reading: 68 degF"));
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
            "/valid_until",
            "/program/edition",
            "/program/name",
            "/program/build",
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
            "/findings/faults/0/of/components.isocyanate/shown/0",
            "/findings/ruled_out/0/0",
            "/findings/ruled_out/0/1",
        ] {
            *file["checklist"].pointer_mut(pointer).unwrap_or_else(|| panic!("{pointer}")) = json!(hostile);
        }
        file["checklist"]["findings"]["values"]["component"] = json!([hostile]);
        file["checklist"]["findings"]["faults"][0]["of"]["components.isocyanate"]["applies"] = json!([hostile]);
        file["checklist"]["findings"]["faults"][0]["of"]["components.isocyanate"]["mark"] = json!(hostile);
        // Keys are ASCII without quotation marks and backslashes, or the file has another form.
        if hostile.bytes().all(|byte| (b' '..0x7f).contains(&byte) && !matches!(byte, b'"' | b'\\')) {
            file["checklist"]["findings"]["faults"][0]["rules"] = json!({hostile: hostile});
        }
        for figure in file["checklist"]["figures"]["assemblies[0]"].as_object_mut().unwrap().values_mut() {
            *figure = json!(hostile);
        }
        shop.put("forged.json", canonical::file("forged", &file).unwrap().0);
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
    let shop = Shop::new().in_folder();
    shop.sign(&[]).exits(0);
    show(&shop, FILE, &[]).exits(0).says(&["job “HT-0311” NO SIGNATURE WAS CHECKED", "NOT ASKED BEFORE FILL ("]);
    show(&shop, FILE, &TRUST).exits(0).says(&["VERIFIED: in order"]);
    // A key that was revoked since.
    let stolen =
        fillward::checklist::trust::Revocation { at: crate::shop::morning::from_now(600), why: "stolen".to_owned() };
    shop.trust(|trust| trust.people[0].keys[0].revoked = Some(stolen.clone()));
    show(&shop, FILE, &TRUST).exits(3).says(&["NOT TO BE RELIED ON", "has been revoked since (stolen)"]);
    // Another shop's trust file.
    shop.forget_trust();
    shop.trust(|trust| {
        trust.shop = "Quarry Nine".to_owned();
        trust.people[0].keys[0].revoked = Some(stolen.clone());
    });
    show(&shop, FILE, &TRUST)
        .exits(1)
        .says(&["NOT VERIFIED: it is of another shop than the trust file given"])
        .never_says("NOT TO BE RELIED ON");
    // A practice run is good until nothing.
    let shop = Shop::new().in_folder();
    shop.sign(&["--at", &crate::shop::morning::from_now(0)]).exits(1);
    show(&shop, FILE, &TRUST).exits(0).never_says("Good until").says(&["nothing ever starts by this file"]);
}
