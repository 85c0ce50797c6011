//! What is read again later in the day: the template has the lines for it, a finding that asks for it names them, and
//! whoever obeys, in the record or by one more sheet of the day, has said the later reading.

use fillward::explain::{self, Layout};
use fillward::pack::PackSet;
use fillward::record::shop::{self, Shop};
use fillward::vocabulary::Verdict;
use proptest::prelude::*;

use super::{RECORD, SHOP, changed, expanded, judged};
use crate::common;

const CORE: &str = "core_temperature: {reading: , at: , thermometer: }";
const AIR: &str = "workspace: {temperature: {reading: , at: , thermometer: }}";

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn time(minute: u32) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

/// The demo shop, read so early that nothing of it is fresh.
fn read_early() -> String {
    changed(SHOP, &[("read: {at: 08:50, thermometer: T-1}", "read: {at: 03:10, thermometer: T-1}")])
}

#[test]
fn a_finding_and_the_template_name_the_way_of_a_later_reading() {
    let packs = PackSet::base().unwrap();
    let made = expanded(&packs, &common::read(RECORD), Some(&read_early())).unwrap();
    let look = Layout { width: 80, colour: false };
    let forms = common::with_report(&packs, &made.document, common::demo_at(), |report| {
        let for_programs = [explain::json(report), explain::sarif(report)].map(Result::unwrap);
        let for_people =
            [explain::brief(report, look), explain::long(report, look), explain::plain(report), explain::sheet(report)];
        for_people.into_iter().chain(for_programs).collect::<Vec<_>>()
    });
    for form in forms {
        let told = flat(&form);
        assert!(told.contains(&format!("below its side: `{CORE}`")), "{form}");
        assert!(told.contains(&format!("in the record: `{AIR}`")), "{form}");
    }
    let shop = Shop::read(common::document(SHOP)).unwrap();
    let blank = shop::blank_short_template(packs.catalogue(), &shop, None);
    assert_eq!(blank.matches(&format!("    # {CORE}\n")).count(), 2, "{blank}");
    assert_eq!(blank.matches("  # temperature: {reading: , at: , thermometer: }\n").count(), 1, "{blank}");
    assert!(
        flat(&shop::blank_template(packs.catalogue()).replace('#', " "))
            .contains("a sheet of its own, of the same day")
    );
    // A record that states its own readings is told nothing of sheets.
    let own = common::document("shared/demo/jobs/hold-cold-material.yaml");
    let brief = common::with_report(&packs, &own, common::demo_at(), |report| explain::brief(report, look));
    assert!(!brief.contains("read again, it is written"), "{brief}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// The law of two readings: of those of the sheet and those written later the later counts, whichever of the two
    /// ways the later one is written in; and with readings that are fresh the job goes on.
    #[test]
    fn a_later_reading_counts_however_it_is_written(minute in 191..569_u32, core in 74_u32..79, by_sheet in any::<bool>()) {
        let packs = PackSet::base().unwrap();
        let (at, core) = (time(minute), format!("{core} degF"));
        let fill = |line: &str, thermometer: &str| {
            line.replace("reading: ", &format!("reading: {core}"))
                .replace("at: ", &format!("at: {at}"))
                .replace("thermometer: ", &format!("thermometer: {thermometer}"))
        };
        let (mut record, mut shop) = (common::read(RECORD), read_early());
        if by_sheet {
            let lots = format!("{{PS-118: {{core_temperature: {core}}}, PL-641: {{core_temperature: {core}}}}}");
            let more = format!(
                "\ndays:\n  - day: 2026-03-04\n    place: EB\n    read: {{at: {at}, thermometer: T-1}}\n    \
                 workspace: {{temperature: {{reading: {core}, thermometer: T-2}}}}\n    lots: {lots}\n"
            );
            shop = shop.replacen("\ndays:\n", &more, 1);
        } else {
            for lot in ["PS-118", "PL-641"] {
                record = record.replace(&format!("    lot: {lot}\n"), &format!("    lot: {lot}\n    {}\n", fill(CORE, "T-1")));
            }
            let air = fill("temperature: {reading: , at: , thermometer: }", "T-2");
            record = record.replace("workspace: {", &format!("workspace: {{{air}, "));
        }
        let made = expanded(&packs, &record, Some(&shop)).unwrap();
        let json = made.document.to_json();
        let due = format!("2026-03-04T{at}:00-06:00");
        for read in [&json["components"]["isocyanate"]["core_temperature"], &json["components"]["polyol"]["core_temperature"], &json["workspace"]["temperature"]] {
            prop_assert_eq!(&read["reading"], core.as_str());
            prop_assert_eq!(&read["at"], due.as_str());
        }
        // Read within two hours of the start, which is at ten.
        let (verdict, found) = judged(&packs, &made.document);
        let held: Vec<_> = found.iter().filter(|(.., outcome)| ["broken", "not shown"].contains(outcome)).collect();
        prop_assert_eq!(verdict == Verdict::Pass, minute >= 480, "{}: {:?}", at, held);
    }

    /// A new record carries over, under `read`, what the head of the one before or the gauge of its targets named, and
    /// nothing with which a log was read.
    #[test]
    fn what_a_stretch_was_read_with_is_carried_to_no_head(
        own in prop::array::uniform2(prop::option::of(0..3_usize)),
        head in prop::array::uniform2(prop::option::of(0..3_usize)),
        target in prop::option::of(0..3_usize),
    ) {
        let packs = PackSet::base().unwrap();
        let (gauges, thermometers) = (["G-2", "G-4", "G-5"], ["T-1", "T-3", "T-4"]);
        let line = |key: &str, mark: Option<&str>| mark.map(|mark| format!("{key}: {mark}"));
        let both = |of: [Option<usize>; 2]| {
            let of = [line("gauge", of[0].map(|at| gauges[at])), line("thermometer", of[1].map(|at| thermometers[at]))];
            of.into_iter().flatten().collect::<Vec<_>>()
        };
        let stretch = both(own).iter().map(|line| format!("      {line}\n")).collect::<Vec<_>>().concat();
        let read = both(head).iter().map(|line| format!(", {line}")).collect::<Vec<_>>().concat();
        let of_target = line("gauge", target.map(|at| gauges[at])).map(|line| format!(", {line}")).unwrap_or_default();
        let old = changed(
            super::NEW,
            &[
                ("      thermometer: T-1\n", &stretch),
                (", gauge: G-5}", &format!("{read}}}")),
                ("target: {pressure: 58 psi}", &format!("target: {{pressure: 58 psi{of_target}}}")),
            ],
        );
        let old = fillward::document::Document::read("old.yaml", old.as_bytes()).unwrap();
        let shop = Shop::read(common::document(SHOP)).unwrap();
        let new = shop::blank_short_template(packs.catalogue(), &shop, Some(old.root()));
        let new: serde_yaml::Value = serde_yaml::from_str(&new).unwrap();
        prop_assert_eq!(new["read"]["thermometer"].as_str(), head[1].map(|at| thermometers[at]));
        prop_assert_eq!(new["read"]["gauge"].as_str(), head[0].or(target).map(|at| gauges[at]));
    }
}
