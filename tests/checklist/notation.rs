//! How findings, values and figures stand in a signed file: the notation, as the page for auditors describes it.

use fillward::checklist::body::met;

use crate::common;
use crate::shop::{Shop, held, passing};

#[test]
fn what_was_in_order_reads_as_the_notation_says() {
    let shop = Shop::new();
    let (body, _) = shop.make(&passing(), |_| {});
    let asked = |fact: &str, title: &str| {
        let seen = body.findings.ruled_out.iter().find(|seen| seen.fact == fact).unwrap_or_else(|| panic!("{fact}"));
        seen.rules.iter().find(|rule| rule[0] == title).unwrap_or_else(|| panic!("{title}"))[1..].to_vec()
    };
    let within = |of: &str, fact: &str| {
        body.findings.values[of]
            .iter()
            .find(|row| row.fact == fact)
            .unwrap_or_else(|| panic!("{of} {fact}"))
            .bounds
            .clone()
    };
    // Rules that one fact met stand together, each by its title.
    assert_eq!(asked(".wheel.faults []", "The wheel is cracked"), [""; 0]);
    assert_eq!(asked(".wheel.faults []", "The wheel is bent"), [""; 0]);
    // Numbers within named bounds, and values that are recorded, say by themselves what was looked for.
    assert_eq!(within("job", "air_stage.stand_off 12 ft"), ["at_least 3 m (stand_off)"]);
    let hose = within("job", "air_stage.hose_length 15 ft");
    assert!(hose.contains(&"at_least 10.92 ft air_stage.stand_off (hose_reach)".to_owned()), "{hose:?}");
    assert_eq!(within("job", "pump.mark 'P-1'"), [""; 0]);
    // Both components, each with the doubt of its thermometer.
    let both = ".core_temperature 75.2 degF [74.7, 75.7]; 74.6 degF [74.1, 75.1]";
    let warm = [
        "at_least .sheet.least",
        "at_least 72 degF (processing_temperature)",
        "at_most .sheet.most",
        "at_most 104 degF (hottest_material)",
        "at_most 100 degF (hottest_without_sheet)",
    ];
    assert_eq!(within("component", both), warm);
    assert_eq!(within("component", ".lot 'PS-118'; 'PL-641'"), [""; 0]);
    let seated = ["at_least today", "read_within 12 h (shift)"];
    assert_eq!(within("assembly", ".seated.at 2026-03-04T08:25:00-06:00"), seated);
    assert_eq!(within("assembly", ".seated.by 'Odile Varga'"), [""; 0]);
    // A figure that is a bound by itself has its value in the list of figures.
    assert!(within("assembly", "handling.capacity 6000 lb").contains(&"at_least .figure.filled_mass".to_owned()));
    assert!(body.figures["assemblies[0]"].contains_key("filled_mass"));
    // A bound that the rule writes itself needs the title to be understood.
    let coarse = "The gauge is not accurate enough for the pressure window";
    assert_eq!(asked(".figure.pressure_window", coarse), ["at_least 0 psi"]);
    // Only the operator must know the pump; to the helpers the rule does not apply.
    let untrained = "The operator is not trained on the filling pump @ people[1]";
    assert_eq!(asked(".trained_in[2] 'filling pump'", untrained), [""; 0]);
    let whole = met::each(&body.findings.ruled_out);
    let find = |title: &str| whole.iter().find(|met| met.name == title).unwrap();
    assert_eq!(find(untrained).parts(), ("The operator is not trained on the filling pump", Some("people[1]")));
    assert_eq!(find(coarse).shown, [".figure.pressure_window at_least 0 psi"]);
    let whole = met::each_value(&body.findings.values);
    let find = |name: &str| &whole.iter().find(|row| row.name == name).unwrap().shown;
    assert_eq!(find("job air_stage.stand_off")[0], "air_stage.stand_off 12 ft at_least 3 m (stand_off)");
    assert_eq!(find("component .core_temperature")[1], format!("{both} {}", warm[1]));
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
        lines.extend(
            body.findings.faults.iter().flat_map(|fault| [fault.applies.clone(), fault.shown.clone()].concat()),
        );
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
        for name in cited {
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
        body.findings.faults.iter().find(|fault| fault.rule == code).unwrap_or_else(|| panic!("{rule}")).clone()
    };
    let nearer = passing().replacen("stand_off: 12 ft", "stand_off: 9 ft", 1);
    assert_eq!(fault(&nearer, "stand-off-short").shown, ["air_stage.stand_off 9 ft at_least 3 m (stand_off) = false"]);
    let unsaid = passing().replacen("  stand_off: 12 ft\n", "", 1);
    let found = fault(&unsaid, "stand-off-short");
    assert_eq!(found.shown, ["air_stage.stand_off null at_least 3 m (stand_off) = unknown"]);
    assert_eq!((found.outcome.as_str(), found.subject.as_str(), found.mark), ("not shown", "", None));
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
        met::each(&body.findings.ruled_out).iter().find(|met| met.name == "lines: Something is missing").unwrap().shown,
        [
            "workspace.spectators_kept_out true",
            "workspace.ventilated true",
            "air_stage.stand_off 12 ft at_least 1 ft at_most 900 ft"
        ]
    );
    let one_lot = passing().replacen("lot: PL-641", "lot: PS-118", 1);
    let (body, _) = shop.make(&one_lot, |_| {});
    assert!(body.findings.values["component"].iter().any(|row| row.fact == ".lot 'PS-118'" && row.bounds.is_empty()));
}
