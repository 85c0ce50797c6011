//! The shop file to fill in, filled in by nothing but its own examples: it is taken as it stands, and a job that names its
//! entries is judged by it.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use fillward::document::Document;
use fillward::pack::PackSet;
use fillward::record::shop::sections::ROUTINES;
use fillward::record::shop::{self, Shop};

use super::{RECORD, changed, expanded, judged};

/// What the comment above a line shows as a value for it.
fn example(key: &str, comment: &str) -> Option<String> {
    if let Some((_, words)) = comment.split_once("(any of: ") {
        // Of all the words that there are, those that tell damage say nothing good.
        let words = words.split("; in brackets").next().unwrap_or_default().replace('`', "");
        return Some(if key.ends_with("damage") { "[]".to_owned() } else { format!("[{words}]") });
    }
    let quoted = |behind: &str| {
        let at = comment.find(behind)? + behind.len();
        comment.get(at..)?.split('`').next().map(str::to_owned)
    };
    let flag = || comment.contains("(true or false)").then(|| "true".to_owned());
    quoted("uch as `").or_else(|| quoted("one of: `")).or_else(flag)
}

/// The template with the example of each line written behind its colon.
fn filled(template: &str) -> String {
    let (mut out, mut comment) = (String::new(), String::new());
    for line in template.lines() {
        let text = line.trim();
        if let Some(words) = text.strip_prefix("# ") {
            comment = format!("{comment} {words}");
        }
        let key = line.split_once(':').map_or(line, |(key, _)| key);
        let value = example(key, &comment);
        let takes = text.ends_with(':') || text.contains(": {") && text.ends_with(": }");
        match value {
            Some(value) if takes && !text.starts_with('#') => {
                let _ = writeln!(out, "{key}: {value}");
            }
            _ => {
                let _ = writeln!(out, "{line}");
            }
        }
        if !text.starts_with('#') {
            comment.clear();
        }
    }
    out
}

/// The block of the first entry of a section, once more with other values.
fn once_more(text: &str, section: &str, changes: &[(&str, &str)]) -> String {
    let head = format!("\n{section}:\n");
    let (before, rest) = text.split_once(&head).unwrap();
    let end = rest.find("\n\n").unwrap();
    let (block, behind) = rest.split_at(end);
    let again = changes.iter().fold(block.to_owned(), |block, (old, new)| {
        assert!(block.contains(old), "there is no `{old}` in {block}");
        block.replacen(old, new, 1)
    });
    format!("{before}{head}{block}\n{again}{behind}")
}

#[test]
fn a_shop_file_filled_in_by_its_own_examples_is_judged() {
    let packs = PackSet::base().unwrap();
    let mut text = filled(&shop::blank_template(packs.catalogue()));
    for routine in ROUTINES {
        let empty = routine.row("", "");
        let at = if routine.states_due { "2026-02-27" } else { "2026-03-03 16:20" };
        let row =
            routine.row(routine.section.example, at).replace("by: ", "by: OV").replace("due: ", "due: 2026-09-30");
        let row = row.replace("found: ", "found: within the data sheet");
        assert!(text.contains(&empty), "{empty}");
        // Two people and two thermometers: each has rows of its own.
        let second = match routine.section.example {
            "OV" => row.replace("of: OV", "of: TR"),
            "T-1" => row.replace("of: T-1", "of: T-2"),
            _ => String::new(),
        };
        let rows = if second.is_empty() { row } else { format!("{row}\n  {second}") };
        text = text.replace(&empty, &rows);
    }
    // The block is repeated for each further entry, as its head says.
    text = text.replacen("role: operator", "role: supervisor", 1);
    text = once_more(
        &text,
        "crew",
        &[
            ("mark: OV", "mark: TR"),
            ("name: Odile Varga", "name: Tobiah Renske"),
            ("role: supervisor", "role: operator"),
        ],
    );
    text = once_more(&text, "thermometers", &[("mark: T-1", "mark: T-2")]);
    text = once_more(&text, "lots", &[("mark: PS-118", "mark: PL-641"), ("side: isocyanate", "side: polyol")]);
    text = text.replace(
        "lots: {PS-118: {core_temperature: 74 degF}}",
        "lots: {PS-118: {core_temperature: 74 degF}, PL-641: {core_temperature: 74 degF}}",
    );
    let document = Document::read("shop.yaml", text.as_bytes()).unwrap_or_else(|faults| panic!("{text}\n{faults:?}"));
    let shop = Shop::read(document).unwrap_or_else(|faults| panic!("{text}\n{faults:?}"));
    assert!(shop.entries().len() > 20);
    let record = changed(
        RECORD,
        &[
            ("card: 17.5-25 16", "card: tip floor 17.5-25"),
            ("wheel: loader 4 wheel", "wheel: L4 front"),
            ("machine: loader 4", "machine: loader 4 front"),
            ("people: [OV, TR, WC]", "people: [OV, TR]"),
        ],
    );
    let made = expanded(&packs, &record, Some(&text)).unwrap_or_else(|faults| panic!("{text}\n{faults:?}"));
    let (_, found) = judged(&packs, &made.document);
    let found = found.iter().filter(|(.., outcome)| ["broken", "not shown"].contains(outcome));
    let found: BTreeSet<&str> = found.map(|(rule, ..)| rule.as_str()).collect();
    // Each with the reason why examples that stand alone do not go together.
    let due: BTreeSet<&str> = [
        // The sheet of the example has a later look at the cage, and says nothing of what that one found.
        "cage-damaged",
        // Tyre, wheel and machine card, and the lifting gear, are examples of three jobs.
        "flap-without-a-tube",
        "seat-not-of-the-diameter",
        "lifting-gear-close",
        "lifting-gear-too-weak",
        "loader-rim-without-rings",
        "lock-ring-on-one-piece",
        "pieces-of-one-piece",
        "operating-pressure-low-for-load",
        "pressure-against-strength",
        "sidewall-contradicted",
        "wheel-overloaded-by-fill",
        // The tyre of the card has a seating pressure, and the record says nothing of one.
        "seating-pressure-not-kept",
        // What the record needs and has in stock is of its own tyre, and the material's examples are of a slower pump.
        "fill-outlasts-pot-life",
        "material-close",
        "material-short-by-volume",
        "need-above-the-volume",
        "need-below-the-volume",
        "one-piece-with-a-flap",
        "stock-below-the-likely",
        // The sheet of the example says something that the record does not answer.
        "core-reading-outlasted",
        "face-unshielded",
        "sheet-silent",
        "sheet-silent-and-said",
        "sheet-silent-on-the-mix",
    ]
    .into();
    assert_eq!(found, due, "{text}");
}
