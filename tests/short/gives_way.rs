//! Of what is said in more than one place: what gives way to what, and which of two readings or rows counts.

use fillward::document::Document;
use fillward::pack::PackSet;
use fillward::record::shop::{self, Shop};
use fillward::units::Instant;

use super::{NEW, RECORD, SHOP, expanded, judged, with_like_tyres};
use crate::common;

#[test]
fn a_like_tyre_has_what_is_built_and_nothing_that_is_looked_at() {
    let packs = PackSet::base().unwrap();
    let made = expanded(&packs, &with_like_tyres(), Some(&common::read(SHOP))).unwrap();
    let json = made.document.to_json();
    let (first, last) = (&json["assemblies"][0], &json["assemblies"][3]);
    for alike in
        ["/tyre/size", "/rim/rating", "/wheel/mass", "/target/pressure", "/vent_path/pilot_hole", "/tyre/state"]
    {
        assert_eq!(first.pointer(alike), last.pointer(alike), "{alike}");
        assert!(first.pointer(alike).is_some(), "{alike}");
    }
    assert_eq!(last["tyre"]["casing"]["inspected"]["at"], "2026-03-04T08:05:00-06:00");
    // Without its own look, a like tyre has none.
    let bare = common::read(RECORD)
        .replace("\ncomponents:\n", "  - {mark: spare, like: \"loader 4, left front\"}\ncomponents:\n");
    let bare = expanded(&packs, &bare, Some(&common::read(SHOP))).unwrap().document.to_json();
    for looked_at in [
        "/tyre/ran_flat",
        "/tyre/casing",
        "/tyre/interior",
        "/rim/leaks",
        "/wheel/faults",
        "/wheel/inspected",
        "/stands",
        "/mounting",
        "/seated",
        "/rim/ring_gap",
        "/valve/condition",
    ] {
        assert_eq!(bare["assemblies"][1].pointer(looked_at), None, "{looked_at}");
    }
}

#[test]
fn the_head_says_with_what_a_stretch_and_the_target_are_read_that_do_not_say_it() {
    let packs = PackSet::base().unwrap();
    let of = |changes: &[(&str, &str)]| {
        let record = changes.iter().fold(common::read(NEW), |text, (old, new)| {
            assert!(text.contains(old), "there is no `{old}`");
            text.replacen(old, new, 1)
        });
        let json = expanded(&packs, &record, Some(&common::read(SHOP))).unwrap().document.to_json();
        let at = |place: &str| json["assemblies"][0].pointer(place).and_then(|mark| mark.as_str().map(str::to_owned));
        ["/target/gauge", "/pre_stretch/gauge", "/pre_stretch/thermometer"].map(at)
    };
    let marks = |marks: [Option<&str>; 3]| marks.map(|mark| mark.map(str::to_owned));
    let both = ("gauge: G-5}", "gauge: G-5, thermometer: T-4}");
    assert_eq!(of(&[]), marks([Some("G-5"), Some("G-5"), Some("T-1")]));
    assert_eq!(of(&[both]), marks([Some("G-5"), Some("G-5"), Some("T-1")]), "what is said stays");
    assert_eq!(of(&[both, ("      thermometer: T-1\n", "")]), marks([Some("G-5"), Some("G-5"), Some("T-4")]));
    let own = ("target: {pressure: 58 psi}", "target: {pressure: 58 psi, gauge: G-2}");
    assert_eq!(of(&[own]), marks([Some("G-2"), Some("G-5"), Some("T-1")]));
    // Which gauge will show the target is known before the target is; nothing is said of a stretch that was not read.
    assert_eq!(of(&[("    target: {pressure: 58 psi}\n", "")]), marks([Some("G-5"), Some("G-5"), Some("T-1")]));
}

#[test]
fn of_two_readings_of_one_thing_the_later_counts() {
    let packs = PackSet::base().unwrap();
    let with = |reading: &str| {
        let record =
            common::read(RECORD).replacen("    on_hand:", &format!("    core_temperature: {reading}\n    on_hand:"), 1);
        expanded(&packs, &record, Some(&common::read(SHOP)))
    };
    let read = |reading: &str| {
        with(reading).unwrap().document.to_json()["components"]["isocyanate"]["core_temperature"].clone()
    };
    // The sheet of the day read it at 08:50.
    assert_eq!(read("{reading: 68 degF, at: 09:10, thermometer: T-1}")["reading"], "68 degF");
    assert_eq!(read("{reading: 80 degF, at: 08:49, thermometer: T-1}")["reading"], "75.2 degF");
    // By the stamp of the record it is of 08:30.
    assert_eq!(read("80 degF")["reading"], "75.2 degF");
    let faults = with("{reading: 68 degF, at: 08:50, thermometer: T-1}").unwrap_err();
    assert_eq!(faults.iter().map(|fault| fault.code().word()).collect::<Vec<_>>(), ["shop/said-twice"]);
}

/// While a tyre cures the shop weighs its pump again and moves a drum to another one. The record says what was so before the
/// fill, and that counts for what the shop did later; of what it did before the fill the later statement counts.
#[test]
fn what_the_shop_did_after_the_fill_is_of_later_jobs() {
    let packs = PackSet::base().unwrap();
    let stated = [
        "at: 2026-03-02 16:20, uncertainty: 0.02 lb}, priming: 6 lb",
        "expires: 2026-11-30, on_pump_since: 2026-03-02 15:50",
    ];
    // What the shop file says of the pump and of the drum from this day on.
    let of = |day: &str, of_drum: &str| {
        let moved = [stated[0].replacen("2026-03-02", day, 1), stated[1].replacen("2026-03-02", of_drum, 1)];
        let shop = stated.iter().zip(&moved).fold(common::read(SHOP), |text, (old, new)| {
            assert!(text.contains(old), "{old}");
            text.replacen(old, new, 1)
        });
        let shop = Shop::read(Document::read("shop.yaml", shop.as_bytes()).unwrap()).unwrap();
        let record = super::changed(
            "shared/demo/carried-short/4-before-service.yaml",
            &[
                ("    lot: PS-118\n", "    lot: PS-118\n    on_pump_since: 2026-03-02 15:50\n"),
                ("pump: {", "pump: {mass_per_cycle: {reading: 0.81 lb, at: 2026-03-02 16:20, uncertainty: 0.02 lb}, "),
            ],
        );
        let record = Document::read("job.yaml", record.as_bytes()).unwrap();
        let at = Instant::parse("2026-03-06T13:00:00-06:00").unwrap();
        let made = shop::expand(record, Some(&shop), &packs, shop.zone(), at).unwrap();
        let json = made.document.to_json();
        ["/components/isocyanate/on_pump_since", "/pump/mass_per_cycle/at"]
            .map(|place| json.pointer(place).unwrap().as_str().unwrap().split(['T', ' ']).next().unwrap().to_owned())
    };
    assert_eq!(of("2026-03-05", "2026-03-05"), ["2026-03-02"; 2]);
    assert_eq!(of("2026-03-03", "2026-03-02"), ["2026-03-02", "2026-03-03"]);
}

/// One statement in two spellings is one statement.
#[test]
fn what_is_equal_contradicts_nothing() {
    let packs = PackSet::base().unwrap();
    let long = "shared/demo/jobs/pass-loader-bias-used.yaml";
    let own = "mass_per_cycle: {reading: 0.81 lb, at: 2026-03-02T16:20:00-06:00, uncertainty: 0.02 lb}";
    for (written, due) in [
        (own.to_owned(), true),
        (own.replace("0.81 lb", "0.810 lb"), true),
        (own.replace("0.02 lb", "0.0200 lb"), true),
        (own.replace("16:20:00-06:00", "16:20:00.000-06:00"), true),
        (own.replace("0.81 lb", "0.811 lb"), false),
        (own.replace(", uncertainty: 0.02 lb", ", uncertainty: 0.03 lb"), false),
    ] {
        let record = super::changed(long, &[(own, &written)]);
        let record = if record.contains("pump:\n  mark:") {
            record
        } else {
            record.replacen("pump:\n", "pump:\n  mark: P-1\n", 1)
        };
        let made = super::expanded_with(
            &packs,
            &record,
            Some(&fillward::record::shop::Shop::read(common::document(SHOP)).unwrap()),
        );
        assert_eq!(made.is_ok(), due, "{written}: {:?}", made.err());
    }
}

#[test]
fn the_latest_row_of_a_routine_counts_that_is_not_after_the_judgement() {
    let packs = PackSet::base().unwrap();
    let shop = common::read(SHOP).replace(
        "routines:\n",
        "routines:\n  - {did: eyewash run, of: EB, at: 2026-03-09}\n  - {did: pump exercised, of: P-1, at: 2026-03-04 09:31}\n  \
         - {did: pump exercised, of: P-1, at: 2026-03-04 09:29}\n",
    );
    let made = expanded(&packs, &common::read(RECORD), Some(&shop)).unwrap().document.to_json();
    assert_eq!(made["workspace"]["eyewash"]["run"], "2026-03-02");
    assert_eq!(made["pump"]["exercised"], "2026-03-04T09:29:00-06:00");
}

#[test]
fn what_the_sheet_of_a_day_says_counts_before_the_round() {
    let packs = PackSet::base().unwrap();
    let shop = common::read(SHOP).replace("      PS-118: {", "      PS-118: {container: bulging, ");
    let made = expanded(&packs, &common::read(RECORD), Some(&shop)).unwrap().document.to_json();
    assert_eq!(made["components"]["isocyanate"]["container"], "bulging");
    assert_eq!(made["components"]["polyol"]["container"], "sound");
}

#[test]
fn a_fault_that_the_round_saw_is_not_left_out() {
    let packs = PackSet::base().unwrap();
    let of = |record: (&str, &str), shop: (&str, &str)| {
        let [record, shop] = [(RECORD, record), (SHOP, shop)].map(|(path, (old, new))| {
            let text = common::read(path);
            assert!(text.contains(old), "there is no `{old}` in {path}");
            text.replace(old, new)
        });
        expanded(&packs, &record, Some(&shop)).unwrap().document.to_json()
    };
    let side = ("    on_hand: {reading: 530 lb}\n", "    on_hand: {reading: 530 lb}\n    ");
    let cage = "\nworkspace:";
    for (place, record, shop, counts) in [
        (
            "/components/isocyanate/container",
            (side.0, "container: sound\n"),
            ("container: sound,", "container: bulging,"),
            "bulging",
        ),
        (
            "/components/isocyanate/moisture_guard/state",
            (side.0, "moisture_guard: {state: active}\n"),
            ("state: active}", "state: spent}"),
            "spent",
        ),
        // What the record tells of the fault is as true.
        ("/components/isocyanate/container", (side.0, "container: leaking\n"), ("", ""), "leaking"),
    ] {
        let line = format!("{}{}", side.1, record.1);
        assert_eq!(of((record.0, &line), shop).pointer(place).unwrap(), counts, "{place}");
    }
    let [cracked, whole] = ["cage: {damage: [weld crack]}", "cage: {damage: []}"];
    let with = |said: &str| format!("\n{said}{cage}");
    assert_eq!(of((cage, &with(whole)), (whole, cracked))["cage"]["damage"], serde_json::json!(["weld crack"]));
    assert_eq!(of((cage, &with(cracked)), ("", ""))["cage"]["damage"], serde_json::json!(["weld crack"]));
    let looked = "cage: {damage: [], inspected: {at: 07:20, by: TR}}";
    assert_eq!(of((cage, &with(looked)), (whole, cracked))["cage"]["damage"], serde_json::json!(["weld crack"]));
}

#[test]
fn a_reading_that_a_later_one_took_the_place_of_stays_in_the_warming() {
    let packs = PackSet::base().unwrap();
    let of = |reading: &str, rows: &str| {
        let more = format!("    core_temperature: {reading}\n{rows}    on_hand:");
        let record = common::read(RECORD).replacen("    on_hand:", &more, 1);
        let made = expanded(&packs, &record, Some(&common::read(SHOP))).unwrap();
        let rows = made.document.to_json()["components"]["isocyanate"]["warming"].clone();
        let (_, findings) = judged(&packs, &made.document);
        let holds = |outcome: &str| ["broken", "not shown"].contains(&outcome);
        let is_held = findings.iter().any(|(rule, _, outcome)| rule == "warming-implausible" && holds(outcome));
        (rows, is_held)
    };
    let row = |at: &str, temperature: &str| serde_json::json!({"at": format!("2026-03-04T{at}:00-06:00"), "temperature": temperature});
    // The sheet of the day read 75.2 degF at 08:50.
    let later = of("{reading: 74.9 degF, at: 09:10, thermometer: T-1}", "");
    assert_eq!(later, (serde_json::json!([row("08:50", "75.2 degF")]), false));
    assert_eq!(
        of("{reading: 66 degF, at: 08:52, thermometer: T-1}", ""),
        (serde_json::json!([row("08:50", "75.2 degF")]), true)
    );
    assert_eq!(
        of("{reading: 57 degF, at: 08:48, thermometer: T-1}", ""),
        (serde_json::json!([row("08:48", "57 degF")]), true)
    );
    assert!(!of("{reading: 74.2 degF, at: 08:20, thermometer: T-1}", "").1);
    let known = "    warming:\n      - {at: 06:30, temperature: 70 degF}\n      - {at: 08:55, temperature: 75 degF}\n";
    assert_eq!(
        of("{reading: 75.1 degF, at: 09:10, thermometer: T-1}", known).0,
        serde_json::json!([row("06:30", "70 degF"), row("08:50", "75.2 degF"), row("08:55", "75 degF")])
    );
}

#[test]
fn what_the_record_names_itself_counts_before_what_belongs_to_the_place() {
    let packs = PackSet::base().unwrap();
    let of = |pump: &str, cage: &str, shop: &[(&str, &str)]| {
        let record = common::read(RECORD)
            .replace("pump: {", &format!("pump: {{{pump}"))
            .replace("\nworkspace:", &format!("{cage}\nworkspace:"));
        let shop = shop.iter().fold(common::read(SHOP), |text, (old, new)| text.replace(old, new));
        expanded(&packs, &record, Some(&shop)).unwrap().document.to_json()
    };
    let usual = of("", "", &[]);
    assert_eq!(of("mark: P-1, ", "\ncage: C-1", &[]), usual, "the same one is no other");
    let other = of("mark: P-2, brought_from: WB, ", "\ncage: {mark: C-2, brought_from: WB}", &[]);
    assert_eq!(other["pump"]["priming"], "5 lb");
    assert_eq!(other["cage"]["rating"], "260 psi");
    // Whoever walked a round looked at the cage of its place, and at no other; one that was brought is looked at again.
    assert_eq!(usual["cage"]["inspected"]["by"], "Odile Varga");
    assert_eq!(
        (&other["cage"]["damage"], &other["cage"]["inspected"]["by"]),
        (&serde_json::Value::Null, &serde_json::Value::Null)
    );
    let of_nobody = of("", "\ncage: C-5", &[]);
    assert_eq!(
        (&of_nobody["cage"]["damage"], &of_nobody["cage"]["inspected"]),
        (&serde_json::Value::Null, &serde_json::Value::Null)
    );
    assert_eq!(other["air_stage"], usual["air_stage"]);
    // Where nothing belongs to the place, nobody can tell which of several was looked at.
    let none_belongs = of("", "\ncage: C-1", &[("    cage: C-1\n", "")]);
    assert_eq!(none_belongs["cage"]["rating"], "240 psi");
    assert_eq!(none_belongs["cage"]["damage"], serde_json::Value::Null);
}
