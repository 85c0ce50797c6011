//! Cures obeyed to the letter: a slip of the pen is told once, what the cure offers is taken on the next reading, and it
//! says what the hand meant.

use fillward::document::{Document, Faults};
use fillward::pack::PackSet;
use fillward::record::{self, FactKind};
use fillward::vocabulary::Subject;

use super::{RECORD, SHOP, expanded};
use crate::common;

const NEW: &str = "shared/demo/short/pass-quarry-loader-radial-new.yaml";

/// What is put in quotes in the cure of the only fault.
fn offered(faults: &Faults, slip: &str) -> Vec<String> {
    let all: Vec<_> = faults.iter().collect();
    let [fault] = all.as_slice() else { panic!("{slip}: {} faults: {faults:?}", all.len()) };
    let cure = fault.cure().unwrap();
    cure.split('`').skip(1).step_by(2).map(str::to_owned).collect()
}

/// A slip in the demo's record: the text that is meant, and what is written instead. One of the values that the cure offers,
/// written in its place, gives what was meant.
fn comes_right(packs: &PackSet, record: &str, (meant, slip): (&str, &str), replaced: &str) {
    let shop = common::read(SHOP);
    assert!(record.contains(meant), "no `{meant}`");
    let due = expanded(packs, record, Some(&shop)).unwrap().document.to_json();
    let wrong = record.replacen(meant, slip, 1);
    let faults = match Document::read("job.yaml", wrong.as_bytes()) {
        Err(faults) => faults,
        Ok(_) => expanded(packs, &wrong, Some(&shop)).map(|_| ()).expect_err(slip),
    };
    let offered = offered(&faults, slip);
    let right = offered.iter().any(|cure| {
        let text = record.replacen(meant, &slip.replacen(replaced, cure, 1), 1);
        let read = Document::read("job.yaml", text.as_bytes()).is_ok();
        read && expanded(packs, &text, Some(&shop)).is_ok_and(|made| made.document.to_json() == due)
    });
    assert!(right, "{slip}: none of {offered:?} is what was meant");
}

#[test]
fn a_decimal_comma_is_one_fault_and_its_cure_keeps_the_value() {
    let packs = PackSet::base().unwrap();
    let record = common::read(RECORD);
    for (place, unit) in [("pressure: 60 psi", "psi"), ("reading: 530 lb", "lb"), ("stops_at: 66 psi", "psi")] {
        let (key, number) = place.split_once(": ").unwrap();
        let number = number.split_once(' ').unwrap().0;
        for figure in ["0", "5", "25", "125"] {
            let with_point = record.replacen(place, &format!("{key}: {number}.{figure} {unit}"), 1);
            for blank in ["", " "] {
                let slip = format!("{number},{blank}{figure} {unit}");
                comes_right(&packs, &with_point, (&format!("{number}.{figure} {unit}"), &slip), &slip);
            }
        }
    }
    // Where three figures stand behind the comma both are offered.
    let thousand = record.replacen("reading: 530 lb", "reading: 1085 lb", 1);
    comes_right(&packs, &thousand, ("1085 lb", "1,085 lb"), "1,085 lb");
    // Of a row in brackets too.
    for row in ["log: [16:10 4,1 bar 20 degC]", "log: [16:10 66 psi 22,8 degC]", "on: [1,5 h]"] {
        let faults = Document::read("job.yaml", format!("{row}\n").as_bytes()).unwrap_err();
        let cure = &offered(&faults, row)[0];
        assert!(cure.contains('.') && Document::read("v", format!("v: [{cure}]\n").as_bytes()).is_ok(), "{cure}");
    }
    // Marks that are numbers are a list.
    assert!(Document::read("job.yaml", b"people: [1,2, 3]\n").is_ok());
}

#[test]
fn a_word_with_a_comma_is_offered_in_quotes_of_its_own() {
    let packs = PackSet::base().unwrap();
    let mut found = 0;
    for spec in packs.catalogue().keys().filter_map(|key| packs.catalogue().spec(key)) {
        let FactKind::Choice(words) = &spec.kind else { continue };
        for word in words.iter().filter(|word| word.contains(", ")) {
            found += 1;
            let slip = format!("v: {{word: {word}, further: 1}}\n");
            let faults = Document::read("job.yaml", slip.as_bytes()).unwrap_err();
            let cure = &offered(&faults, &slip)[0];
            assert_eq!(*cure, format!("\"{word}\""));
            let obeyed = Document::read("job.yaml", slip.replace(word.as_ref(), cure).as_bytes()).unwrap();
            assert_eq!(obeyed.to_json()["v"]["word"], word.as_ref());
            // No list of words lets it fall apart either.
            assert!(spec.kind.describe().contains(&format!("`{word}`")));
        }
    }
    assert!(found > 1, "{found} words with commas");
}

#[test]
fn a_time_by_hand_is_offered_as_it_is_taken() {
    let packs = PackSet::base().unwrap();
    let record = common::read(RECORD);
    for (key, time) in
        [("planned_start: ", "10:00"), ("seated: ", "08:25"), ("{at: ", "07:55"), ("read: {at: ", "08:30")]
    {
        let (hour, minute) = time.split_once(':').unwrap();
        let bare = hour.trim_start_matches('0');
        for by_hand in [
            format!("{bare}:{minute} am"),
            format!("{hour}.{minute}"),
            format!("{hour}{minute}"),
            format!("{bare}.{minute}am"),
            format!("2026-3-4 {bare}:{minute}"),
            format!("3/4/2026 {hour}:{minute}"),
        ] {
            // A number that begins with nothing is refused by the readers themselves.
            if by_hand.starts_with('0') && !by_hand.contains('.') {
                continue;
            }
            comes_right(&packs, &record, (&format!("{key}{time}"), &format!("{key}{by_hand}")), &by_hand);
        }
    }
    for (meant, by_hand) in [("2026-03-04", "2026-3-4"), ("2026-03-04", "3/4/2026"), ("2026-03-04", "4 March 2026")] {
        comes_right(&packs, &record, (&format!("day: {meant}"), &format!("day: {by_hand}")), by_hand);
    }
}

/// Rows that have lost their day are asked for it, and never for another order.
#[test]
fn rows_over_midnight_are_asked_for_their_day() {
    let packs = PackSet::base().unwrap();
    let (record, shop) = (common::read(NEW), common::read(SHOP));
    let rows: Vec<&str> =
        record.lines().filter(|line| line.trim_start().starts_with("- ") && line.contains("degF")).collect();
    let with_day: Vec<&str> = rows.iter().copied().filter(|row| row.contains("2026-03-03 ")).collect();
    assert!(with_day.len() > 1, "{rows:?}");
    let slip = record.replace("- 2026-03-03 ", "- ");
    let faults = expanded(&packs, &slip, Some(&shop)).map(|_| ()).unwrap_err();
    let fault = faults.iter().find(|fault| fault.code().word() == "record/log-out-of-order").unwrap();
    let cure = fault.cure().unwrap();
    let last = with_day.last().unwrap().trim_start().trim_start_matches("- ");
    let time: String = last.chars().take("2026-03-03 16:10".len()).collect();
    assert!(cure.contains(&format!("`{time}`")) && cure.contains("leave their order"), "{cure}");
}

/// Commas between the values of a row are to be left out, and a lone day is shown with a row behind it.
#[test]
fn commas_between_the_values_of_a_row_are_left_out() {
    let packs = PackSet::base().unwrap();
    let record = common::read(NEW);
    let rows: Vec<&str> =
        record.lines().map(str::trim_start).filter(|line| line.starts_with("- ") && line.contains(" degF")).collect();
    assert!(rows.len() > 3, "{rows:?}");
    for row in rows.into_iter().map(|row| row.trim_start_matches("- ")) {
        let (before, behind) = row.split_once(" psi").unwrap();
        let (time, pressure) = before.rsplit_once(' ').unwrap();
        for stop in [",", ";", " ,"] {
            let slip = format!("{time}{stop} {pressure} psi{stop}{behind}");
            comes_right(&packs, &record, (row, &slip), &slip);
        }
        let day = record.replacen(&format!("- {row}"), "- 2026-03-03", 1);
        let faults = expanded(&packs, &day, Some(&common::read(SHOP))).map(|_| ()).unwrap_err();
        let offered = offered(&faults, "a lone day");
        assert!(offered.iter().any(|row| row.starts_with("2026-03-03 ") && row.ends_with("degF")), "{offered:?}");
    }
}

/// A fact that is right and stands under another heading is to be moved, and never to be deleted.
#[test]
fn a_fact_under_another_heading_is_told_where_it_belongs() {
    let packs = PackSet::base().unwrap();
    let catalogue = packs.catalogue();
    let head = "record: 1\nassemblies:\n  - mark: loader 4\n";
    let mut told = 0;
    let all: Vec<_> = catalogue.of(Subject::Job).iter().filter(|spec| spec.name.split('.').count() == 2).collect();
    for spec in &all {
        let (group, key) = spec.name.split_once('.').unwrap();
        for other in ["pump", "workspace", "cage"].into_iter().filter(|other| *other != group) {
            if all.iter().any(|spec| spec.name == format!("{other}.{key}")) || matches!(spec.kind, FactKind::Log(_)) {
                continue;
            }
            let example = if matches!(spec.kind, FactKind::Flag | FactKind::Choices(_) | FactKind::Count) {
                spec.example.to_string()
            } else {
                format!("\"{}\"", spec.example)
            };
            let text = format!("{head}{other}: {{{key}: {example}}}\n");
            let document = Document::read("job.yaml", text.as_bytes()).unwrap();
            let faults = record::read(&document, catalogue, &common::demo_zone()).unwrap_err();
            let cure = faults.iter().next().unwrap().cure().unwrap();
            assert!(!cure.contains("delete"), "{key} under {other}: {cure}");
            told +=
                usize::from(cure.contains(&format!("`{key}` belongs")) && cure.contains(&format!("under `{group}`")));
        }
    }
    assert!(told > 60, "only {told} are told where they belong");
}

#[test]
fn what_is_written_as_one_text_is_offered_as_a_list() {
    let packs = PackSet::base().unwrap();
    comes_right(&packs, &common::read(RECORD), ("people: [OV, TR, WC]", "people: OV, TR, WC"), "OV, TR, WC");
}

/// Capitals, and the quotes and dashes of a word processor, make no other system and no other lot of it.
#[test]
fn a_system_is_known_in_capitals_too() {
    let packs = PackSet::base().unwrap();
    for written in ["Firm 55", "FIRM 55", "firm 55"] {
        let record = common::read(RECORD).replace("system: firm 55", &format!("system: {written}"));
        let made = expanded(&packs, &record, Some(&common::read(SHOP))).unwrap();
        assert_eq!(super::judged(&packs, &made.document).0, fillward::vocabulary::Verdict::Pass, "{written}");
    }
    let record = common::read(RECORD).replace("system: firm 55", "system: firm 56");
    let made = expanded(&packs, &record, Some(&common::read(SHOP))).unwrap();
    assert_eq!(super::judged(&packs, &made.document).0, fillward::vocabulary::Verdict::Hold);
    // A mark in other capitals is told the entry's own.
    for (right, wrong) in
        [("OV, TR", "ov, TR"), ("lot: PS-118", "lot: ps-118"), ("place: EB", "place: eb"), ("G-2", "G\u{2013}2")]
    {
        comes_right(
            &packs,
            &common::read(RECORD),
            (right, wrong),
            wrong.rsplit([' ', ',']).next().filter(|word| !word.contains("TR")).unwrap_or("ov"),
        );
    }
}
