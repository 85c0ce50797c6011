//! How findings, values and figures stand in a signed file: the notation, as the page for auditors describes it.

use fillward::checklist::body::FaultGroup;
use fillward::checklist::body::met::{self, MetName};
use fillward::checklist::evidence::{
    AskedOfFact, EvidenceLine, NotSo, VALUE_WORDS, WrittenBound, WrittenOrigin, WrittenValue, is_test,
};
use fillward::pack::test::ROWS;
use proptest::prelude::*;

use crate::common;
use crate::shop::{Shop, held, passing};

#[test]
fn what_was_in_order_reads_as_the_notation_says() {
    let shop = Shop::new();
    let (body, _) = shop.make(&passing(), |_| {});
    let asked = |fact: &str, name: &str| {
        let seen = body.findings.ruled_out.iter().find(|seen| seen.fact == fact).unwrap_or_else(|| panic!("{fact}"));
        seen.rules.iter().find(|rule| rule[0] == name).unwrap_or_else(|| panic!("{name}"))[1..].to_vec()
    };
    let within = |of: &str, fact: &str| {
        let behind = |line: &String| {
            line.strip_prefix(fact).filter(|rest| rest.is_empty() || rest.starts_with(' ')).map(str::to_owned)
        };
        body.findings.values[of].iter().find_map(behind).unwrap_or_else(|| panic!("{of} {fact}"))
    };
    // Rules that one fact met stand together, each by its name and title.
    assert_eq!(asked(".wheel.faults []", "wheel-cracked: The wheel is cracked"), [""; 0]);
    assert_eq!(asked(".wheel.faults []", "wheel-bent: The wheel is bent"), [""; 0]);
    // Numbers within named bounds, and values that are recorded, say by themselves what was looked for.
    assert_eq!(within("job", "air_stage.stand_off 12 ft"), " >= 10 ft (stand_off)");
    let hose = within("job", "air_stage.hose_length 15 ft");
    assert!(hose.contains(" >= 10.92 ft air_stage.stand_off (hose_reach)"), "{hose}");
    assert_eq!(within("job", "pump.mark 'P-1'"), "");
    // The doubt of a reading is a value of its own, in the unit of the reading.
    assert_eq!(within("job", "pump.mass_per_cycle.uncertainty 0.02 lb"), "");
    assert_eq!(within("component", ".on_hand.uncertainty 2 lb"), "");
    // What must be one thing, and is, says so itself, and so does what must be another fact's value.
    assert_eq!(within("job", "workspace.spill_kit"), " is true");
    assert_eq!(within("assembly", ".valve.condition"), " is 'sound'");
    assert_eq!(within("assembly", ".rim.seat '5 degree'"), " is .tyre.seat");
    // Both components, each with the doubt of its thermometer.
    let both = ".core_temperature 75.2 degF [74.7, 75.7]; 74.6 degF [74.1, 75.1]";
    let warm = " <= 104 degF (hottest_material) <= 100 degF (hottest_without_sheet) <= .sheet.most \
                >= 72 degF (processing_temperature) >= .sheet.least";
    assert_eq!(within("component", both), warm);
    assert_eq!(within("component", ".lot 'PS-118'; 'PL-641'"), "");
    // An instant of the day of the judgement is told by its time, another one with its day.
    assert_eq!(within("assembly", ".seated.at 08:25"), " >= today within 12 h (shift)");
    assert_eq!(within("job", "pump.exercised 2026-03-03T15:00"), " before start within 7 d (pump_idle)");
    assert_eq!(within("assembly", ".seated.by 'Odile Varga'"), "");
    // A figure that is a bound by itself has its value in the list of figures.
    assert!(within("assembly", "handling.capacity 6000 lb").contains(" >= .figure.filled_mass"));
    assert!(body.figures["assemblies[0]"].contains_key("filled_mass"));
    // A bound that the rule writes itself needs the title to be understood.
    let coarse = "gauge-too-coarse: The gauge is too coarse for the pressure window";
    assert_eq!(asked(".figure.pressure_window", coarse), [">= 0 psi"]);
    // Only the operator must know the pump; to the helpers the rule does not apply.
    let untrained = "untrained-in-filling-pump: The operator is not trained on the filling pump @ people[1]";
    assert_eq!(asked(".trained_in[2] 'filling pump'", untrained), [""; 0]);
    let whole = met::each(&body.findings.ruled_out);
    let find = |name: &str| whole.iter().find(|met| met.name == name).unwrap();
    let name = MetName::read(&find(untrained).name).unwrap();
    assert_eq!(
        (name.rule.as_str(), name.title.as_str(), name.of),
        ("untrained-in-filling-pump", "The operator is not trained on the filling pump", vec!["people[1]".to_owned()])
    );
    assert_eq!(find(coarse).shown, [".figure.pressure_window >= 0 psi"]);
    let whole = met::each_value(&body.findings.values);
    let find = |name: &str| &whole.iter().find(|row| row.name == name).unwrap().shown;
    assert_eq!(*find("job air_stage.stand_off"), ["air_stage.stand_off 12 ft >= 10 ft (stand_off)"]);
    assert_eq!(*find("component .core_temperature"), [format!("{both}{warm}")]);
    assert_eq!(*find("job pump.mark"), ["pump.mark 'P-1'"]);
}

/// The figures of a file are those that its findings cite, and no others.
#[test]
fn figures_are_those_that_the_findings_cite() {
    let shop = Shop::new();
    for path in common::files("shared/demo/jobs", ".yaml") {
        let record = common::read(&path);
        let job = fillward::record::read(&common::document(&path), shop.set.catalogue(), &common::demo_zone()).unwrap();
        if job.number().is_none() {
            continue;
        }
        let (body, _) = shop.make(&record, |_| {});
        let mut lines: Vec<String> = [met::each(&body.findings.ruled_out), met::each_value(&body.findings.values)]
            .concat()
            .into_iter()
            .flat_map(|met| met.shown)
            .collect();
        lines.extend(body.findings.faults.iter().flat_map(FaultGroup::lines).cloned());
        let is_in_a_line = |name: &str| {
            let word = format!("figure.{name}");
            lines.iter().any(|line| line.split(' ').any(|of| of == word || of.ends_with(&format!(".{word}"))))
        };
        let names: Vec<&String> = body.figures.values().flat_map(|of| of.keys()).collect();
        assert!(names.iter().all(|name| is_in_a_line(name)), "{path}: {names:?}");
        let cited = lines.iter().flat_map(|line| line.split(' ')).filter_map(|word| {
            let (before, name) = word.rsplit_once("figure.")?;
            (before.is_empty() || before.ends_with('.')).then_some(name)
        });
        // A yes or a no stands in its line alone.
        let is_flag = |name: &str| {
            let flags = [format!("figure.{name} true"), format!("figure.{name} false")];
            flags.iter().any(|flag| lines.iter().any(|line| line.strip_prefix('.').unwrap_or(line).starts_with(flag)))
        };
        assert!(
            body.figures.values().flat_map(|of| of.values()).all(|told| told != "true" && told != "false"),
            "{path}"
        );
        for name in cited.filter(|name| !is_flag(name)) {
            assert!(names.iter().any(|known| *known == name), "{path}: {name}");
        }
    }
}

#[test]
fn a_fault_reads_as_the_notation_says() {
    let shop = Shop::new();
    let fault = |record: &str, rule: &str| {
        let (body, _) = shop.make(record, |_| {});
        let code = format!("tyre-fill/{rule}");
        body.findings
            .each_fault()
            .into_iter()
            .find(|fault| fault.rule == code)
            .unwrap_or_else(|| panic!("{rule}"))
            .clone()
    };
    let nearer = passing().replacen("stand_off: 12 ft", "stand_off: 9 ft", 1);
    assert_eq!(fault(&nearer, "stand-off-short").shown, ["air_stage.stand_off 9 ft >= 10 ft (stand_off) = false"]);
    let unsaid = passing().replacen("  stand_off: 12 ft\n", "", 1);
    let found = fault(&unsaid, "stand-off-short");
    assert_eq!(found.shown, ["air_stage.stand_off null >= 10 ft (stand_off) = unknown"]);
    assert_eq!((found.outcome.word(), found.subject.as_str(), found.mark), ("not shown", "", None));
    let cracked = passing().replacen("faults: []", "faults: [crack]", 1);
    let found = fault(&cracked, "wheel-cracked");
    assert_eq!((found.subject.as_str(), found.mark.as_deref()), ("assemblies[0]", Some("loader 4, left front")));
    assert_eq!(found.shown, [".wheel.faults[0] 'crack' is_not 'crack' = false"]);
    let cold = fault(&held(), "cold-material");
    assert_eq!((cold.subject.as_str(), cold.subject_words().as_str()), ("components.isocyanate", "isocyanate"));
}

/// Values that are alike stand once, and lines are joined only where fact and values are the same.
#[test]
fn lines_are_joined_where_fact_and_values_are_the_same() {
    const PACK: &str = "\
pack: 1
name: lines
edition: \"1\"
title: What is written in one line
examples_at: 2026-03-04T09:30:00-06:00
rules:
  flags:
    title: Something is missing
    covers: job
    demands:
      all:
        - workspace.spectators_kept_out: {is: true}
        - workspace.ventilated: {is: true}
        - air_stage.stand_off: {at_least: 1 ft, at_most: 900 ft}
    why: Invented for a test.
    air: {stays: nothing is touched}
    put_right: Do it.
    source: {kind: local code, cite: invented for this test}
    on_fault: hold
    permit: none
    examples: {passes: [{says: none}], holds: [{says: none}]}
";
    let shop = Shop::with(&[PACK]);
    let (body, _) = shop.make(&passing(), |_| {});
    assert_eq!(
        met::each(&body.findings.ruled_out)
            .iter()
            .find(|met| met.name == "lines/flags: Something is missing")
            .unwrap()
            .shown,
        [
            "workspace.spectators_kept_out true",
            "workspace.ventilated true",
            "air_stage.stand_off 12 ft >= 1 ft <= 900 ft"
        ]
    );
    let one_lot = passing().replacen("lot: PL-641", "lot: PS-118", 1);
    let (body, _) = shop.make(&one_lot, |_| {});
    assert!(body.findings.values["component"].iter().any(|line| line == ".lot 'PS-118'"));
}

/// A limit of the first pack stands by its name, and one of another pack behind the name of that pack, since two packs may
/// have a limit of one name.
#[test]
fn a_limit_is_told_with_its_pack_where_that_is_not_the_first() {
    const PACK: &str = "\
pack: 1
name: yard
edition: \"1\"
title: A limit of its own
examples_at: 2026-03-04T09:30:00-06:00
limits:
  room:
    value: 2 ft
    about: Least room.
    safer: higher
    source: {kind: local code, cite: invented for this test}
rules:
  too-near:
    title: Somebody stands too near
    covers: job
    demands: {air_stage.stand_off: {at_least: {limit: room}}}
    why: Invented for a test.
    air: {stays: nothing is touched}
    put_right: Do it.
    source: {kind: local code, cite: invented for this test}
    on_fault: hold
    permit: none
    examples: {passes: [{says: none}], holds: [{says: none}]}
";
    let shop = Shop::with(&[PACK]);
    let written = |record: &str| serde_json::to_string(&shop.make(record, |_| {}).0.findings).unwrap();
    let near = passing().replacen("stand_off: 12 ft", "stand_off: 1 ft", 1);
    for (record, lines) in [
        (passing(), ["air_stage.stand_off 12 ft", ">= 2 ft (yard/room)", ">= 10 ft (stand_off)"]),
        (near, ["air_stage.stand_off 1 ft", ">= 2 ft (yard/room) = false", ">= 10 ft (stand_off) = false"]),
    ] {
        let written = written(&record);
        assert!(lines.iter().all(|line| written.contains(line)), "{lines:?}: {written}");
    }
}

/// Another edition may work out another instant, or another number of the same unit, and no value of another sort. An
/// instant is one in whatever way it is written: whole, without its offset, or by its time alone.
#[test]
fn values_of_one_sort_may_stand_for_one_another() {
    let sorts = [
        &["2026-03-04T08:25:00-06:00", "2026-03-04T08:25:00.5Z", "2026-03-03T08:25", "08:25"][..],
        &["12 psi", "-4.5 psi"],
        &["12 kg"],
        &["12"],
    ];
    let alone = ["true", "null", "'12 psi'", "'08:25'", "2026-09-30"];
    let read = |text: &&str| WrittenValue::read(text).unwrap_or_else(|| panic!("{text}"));
    for (place, sort) in sorts.iter().enumerate() {
        for (other, others) in sorts.iter().enumerate() {
            for (one, two) in sort.iter().flat_map(|one| others.iter().map(move |two| (one, two))) {
                assert_eq!(read(one).is_of_the_sort_of(&read(two)), place == other, "{one} and {two}");
            }
        }
        for (one, two) in sort.iter().flat_map(|one| alone.iter().map(move |two| (one, two))) {
            assert!(
                !read(one).is_of_the_sort_of(&read(two)) && !read(two).is_of_the_sort_of(&read(one)),
                "{one}, {two}"
            );
        }
    }
}

/// Pieces of text that the notation itself is made of, with letters between.
/// Texts with everything in them that sets apart.
pub(super) fn text() -> impl Strategy<Value = String> {
    let pieces = [
        " @ ",
        "@",
        ": ",
        ":",
        "'",
        "''",
        " ",
        ", ",
        "; ",
        "[",
        "]",
        "(a)",
        " = false",
        " at_least ",
        " >= ",
        "70 psi",
        "null",
        "figure.x",
        "people[1]",
        "yard",
        "lamp",
        "\u{e9}",
        "\n",
    ];
    let own = prop::collection::vec(prop::sample::select(pieces.to_vec()), 0..7).prop_map(|pieces| pieces.concat());
    prop_oneof![3 => own, 1 => "\\PC{0,12}"]
}

fn value() -> impl Strategy<Value = WrittenValue> {
    let number = || prop::sample::select(vec!["0", "12", "-4.5", "1/3", "58.9"]).prop_map(str::to_owned);
    let unit = prop::sample::select(vec!["", "psi", "degF", "lbf.ft", "%RH", "kg/m3", "in"]).prop_map(str::to_owned);
    let ends = prop::option::of((number(), number()).prop_map(|(low, high)| [low, high]));
    let moments =
        vec!["2026-09-30", "2026-03-04T08:25:00-06:00", "2026-03-04T08:25:00.5Z", "08:25", "2026-03-03T08:25"];
    let moment = prop::sample::select(moments);
    prop_oneof![
        Just(WrittenValue::Null),
        any::<bool>().prop_map(WrittenValue::Flag),
        text().prop_map(WrittenValue::Text),
        prop::collection::vec(text(), 0..3).prop_map(WrittenValue::Words),
        (prop::option::of(number()), ends, unit).prop_map(|(shown, ends, unit)| {
            let shown = if ends.is_none() { shown.or_else(|| Some("7".to_owned())) } else { shown };
            WrittenValue::Number { shown, ends, unit }
        }),
        moment.prop_map(|text| WrittenValue::Moment(text.to_owned())),
        number().prop_map(WrittenValue::Log),
        Just(WrittenValue::Ahead("2026-03-04T08:25:00-06:00".to_owned())),
        Just(WrittenValue::Obstacle("no-parts".to_owned())),
    ]
}

fn bound() -> impl Strategy<Value = WrittenBound> {
    let places =
        vec![".figure.x", "figure.y", "assemblies[0].tyre.size", "today", "start", "judgement", "site", ".lot[2]"];
    let origin = prop_oneof![
        prop::sample::select(places).prop_map(|place| WrittenOrigin::Place(place.to_owned())),
        prop::sample::select(vec!["stand_off", "yard/most"]).prop_map(|name| WrittenOrigin::Limit(name.to_owned())),
    ];
    (prop::option::of(value()), prop::collection::vec(origin, 0..4))
        .prop_filter("a bound says something", |(value, origins)| value.is_some() || !origins.is_empty())
        .prop_map(|(value, origins)| WrittenBound { value, origins })
}

fn line() -> impl Strategy<Value = EvidenceLine> {
    let tests: Vec<String> =
        ROWS.iter().map(|row| row.word).chain(["for_each", "for_some"]).map(str::to_owned).collect();
    let not_so = prop::option::of(prop::sample::select(vec![NotSo::False, NotSo::Unknown]));
    let asked = (prop::sample::select(tests), prop::collection::vec(bound(), 0..3), not_so)
        .prop_map(|(test, bounds, not_so)| AskedOfFact { test, bounds, not_so });
    let fact = prop::sample::select(vec!["", ".wheel.faults", "figure.pump_cycles", "people[0].trained_in[2]", "job"]);
    (fact, prop::collection::vec(value(), 0..3), prop::collection::vec(asked, 0..3))
        .prop_map(|(fact, values, asked)| EvidenceLine { fact: fact.to_owned(), values, asked })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(4000) })]

    /// The law: a line reads back as what was written, whatever its texts, numbers and bounds are; so no two say the same.
    #[test]
    fn a_line_reads_back_as_it_was_written(line in line()) {
        let text = line.to_string();
        prop_assert_eq!(EvidenceLine::read(&text), Some(line), "{}", text);
    }
}

/// Every line of every demo job is read, and no fact of the record has the name of a value, a test or an instant: a bound is
/// told from the fact that it is made of.
#[test]
fn every_line_of_the_demo_jobs_is_read() {
    let shop = Shop::new();
    let is_taken =
        |name: &str| VALUE_WORDS.contains(&name) || is_test(name) || ["today", "start", "judgement"].contains(&name);
    let catalogue = shop.set.catalogue();
    let names: Vec<String> = catalogue.keys().map(|key| catalogue.full_name(key)).collect();
    assert!(names.len() > 120 && !names.iter().any(|name| is_taken(name)), "{names:?}");
    let mut read = 0;
    for path in common::files("shared/demo/jobs", ".yaml") {
        let record = common::read(&path);
        let job = fillward::record::read(&common::document(&path), catalogue, &common::demo_zone()).unwrap();
        if job.number().is_none() {
            continue;
        }
        let (body, _) = shop.make(&record, |_| {});
        let met = [met::each(&body.findings.ruled_out), met::each_value(&body.findings.values)].concat();
        let of_faults = body.findings.faults.iter().flat_map(FaultGroup::lines).cloned();
        for line in met.into_iter().flat_map(|met| met.shown).chain(of_faults) {
            assert!(EvidenceLine::read(&line).is_some(), "{path}: {line}");
            read += 1;
        }
        for (of, name, told) in body.figures.iter().flat_map(|(of, rows)| rows.iter().map(move |(n, t)| (of, n, t))) {
            let is_lack = told.starts_with("null") || told.starts_with("obstacle ");
            assert!(is_lack || WrittenValue::read(told).is_some(), "{path}: {of} {name}: {told}");
        }
    }
    assert!(read > 20_000, "{read}");
}
