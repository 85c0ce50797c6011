//! Which of two values of a fact lets less pass: by the fact itself, through a figure on either side of a comparison, in a
//! demand or in what makes a rule apply.

use std::cmp::Ordering::{self, Equal, Greater, Less};

use fillward::document::Document;
use fillward::pack::{PackSet, Safer};
use fillward::record::catalogue::assembly::{RIM_RATING, TARGET_PRESSURE, TYRE_PLY_RATING};
use fillward::record::shop::InForce;
use fillward::record::{FactKey, Measured, Value};
use fillward::units::{Dimension, Quantity};

use crate::common;

const SOURCE: &str = "source: {kind: local code, cite: invented for this test}";

/// A pack of one rule for each pair of what makes it apply and what it demands.
fn pack(rules: &[(&str, &str)], on_fault: &str) -> PackSet {
    let rule = |(place, (applies, demands)): (usize, &(&str, &str))| {
        format!(
            "  rule-{place}:\n    title: A fault, {place}\n    covers: each assembly\n    applies: {applies}\n    demands: {demands}\n    \
             why: It does harm.\n    air:\n      stays: nothing is touched\n    put_right: Put it right.\n    {SOURCE}\n    \
             on_fault: {on_fault}\n    permit: none\n    examples: {{passes: [{{says: none}}], holds: [{{says: none}}]}}\n"
        )
    };
    let rules: String = rules.iter().enumerate().map(rule).collect();
    let text = format!(
        "pack: 1\nname: bearing\nedition: \"1\"\ntitle: Rules of a test\nexamples_at: {}\nrules:\n{rules}",
        common::DEMO_AT
    );
    let document = Document::read("pack.yaml", text.as_bytes()).unwrap();
    PackSet::alone(vec![document]).unwrap_or_else(|faults| panic!("{:?}\n{text}", miette::Report::new(faults)))
}

/// What a lower value does in the place of a higher one; the other way round it does the opposite.
fn lower(packs: &PackSet, fact: FactKey, [low, high]: [&str; 2]) -> Option<Ordering> {
    let dimension = if fact == TYRE_PLY_RATING { Dimension::Count } else { Dimension::Pressure };
    let value = |text: &str| Value::Measured(Box::new(Measured::exact(Quantity::parse(text, dimension).unwrap())));
    let (low, high) = (value(low), value(high));
    let found = packs.less_safe(fact, &low, &high);
    assert_eq!(packs.less_safe(fact, &high, &low), found.map(Ordering::reverse));
    assert_eq!(packs.less_safe(fact, &low, &low), Some(Equal));
    found
}

/// The figure of the target as the gauge shows it goes up with the target, and says nothing of anything else.
#[test]
fn what_lets_less_pass_is_seen_through_every_use() {
    let always = "{assembly.mark: {recorded: true}}";
    let fact = "{assembly.target.pressure: {at_least: 65 psi}}";
    let figure = "{assembly.figure.target_shown: {at_least: 65 psi}}";
    let of = |rules: &[(&str, &str)], on_fault| lower(&pack(rules, on_fault), TARGET_PRESSURE, ["60 psi", "70 psi"]);
    for (applies, demands, due) in [
        (always, fact, Less),
        (always, "{assembly.target.pressure: {at_most: 65 psi}}", Greater),
        (always, figure, Less),
        (always, "{assembly.figure.target_shown: {at_most: 65 psi}}", Greater),
        (always, "{not: {assembly.figure.target_shown: {at_least: 65 psi}}}", Greater),
        (always, "{assembly.rim.rating: {at_least: {fact: assembly.target.pressure}}}", Greater),
        (always, "{assembly.rim.rating: {at_least: {fact: assembly.figure.target_shown}}}", Greater),
        (always, "{assembly.rim.rating: {at_most: {fact: assembly.figure.target_shown}}}", Less),
        // What makes a rule apply lets less pass.
        (fact, always, Greater),
        (figure, always, Greater),
        ("{assembly.figure.target_shown: {below: 65 psi}}", always, Less),
        // Another fact and another figure say nothing of it.
        (always, "{assembly.wheel.rating: {at_least: 65 psi}}", Equal),
        (always, "{assembly.figure.tyre_maximum: {at_least: 65 psi}}", Equal),
    ] {
        assert_eq!(of(&[(applies, demands)], "hold"), Some(due), "{applies} {demands}");
        assert_eq!(of(&[(applies, demands)], "advise"), Some(Equal), "{applies} {demands}");
    }
    // Uses that go one way say so together, and of uses that go two ways nothing is said.
    let both = |second: &str| of(&[(always, figure), (always, second)], "hold");
    assert_eq!(both(fact), Some(Less));
    assert_eq!(both("{assembly.target.pressure: {at_most: 65 psi}}"), None);
    assert_eq!(both("{assembly.figure.target_shown: {at_most: 65 psi}}"), None);
    // A number that both values lie on one side of does not tell them apart; one that they touch may.
    assert_eq!(both("{assembly.target.pressure: {at_most: 90 psi}}"), Some(Less));
    assert_eq!(both("{assembly.target.pressure: {between: [10 psi, 90 psi]}}"), Some(Less));
    assert_eq!(both("{assembly.target.pressure: {at_most: 70 psi}}"), None);
    assert_eq!(both("{assembly.target.pressure: {at_most: 60 psi}}"), None);
}

/// A figure may go down where a fact goes up, and may go either way.
#[test]
fn a_figure_passes_on_the_way_it_goes_itself() {
    let always = "{assembly.mark: {recorded: true}}";
    for (fact, values, figure, due) in [
        (TYRE_PLY_RATING, ["10", "12"], "pressure_per_ply", Some(Greater)),
        (RIM_RATING, ["60 psi", "70 psi"], "lowest_rating", None),
        (RIM_RATING, ["60 psi", "70 psi"], "tyre_maximum", Some(Equal)),
    ] {
        let demands = |test: &str| format!("{{assembly.figure.{figure}: {{{test}: 5 psi}}}}");
        let of = |demands: &str| lower(&pack(&[(always, demands)], "hold"), fact, values);
        assert_eq!(of(&demands("at_least")), due, "{figure}");
        assert_eq!(of(&demands("at_most")), due.map(Ordering::reverse), "{figure}");
        let recorded = format!("{{assembly.figure.{figure}: {{recorded: true}}}}");
        assert_eq!(of(&recorded), Some(Equal), "{figure}");
    }
}

/// The safer side of a number is the one that the rules which compare the fact itself let pass: what makes a rule apply goes
/// the other way, and what only advises or compares another fact has no say.
#[test]
fn the_safer_side_of_a_number_is_that_of_its_own_rules() {
    let always = "{assembly.mark: {recorded: true}}";
    let (least, most) =
        ("{assembly.target.pressure: {at_least: 65 psi}}", "{assembly.target.pressure: {at_most: 65 psi}}");
    let of = |rules: &[(&str, &str)], on_fault| pack(rules, on_fault).safer_side(TARGET_PRESSURE);
    for (applies, demands, due) in [
        (always, least, Some(Safer::Higher)),
        (always, most, Some(Safer::Lower)),
        (always, "{not: {assembly.target.pressure: {at_least: 65 psi}}}", Some(Safer::Lower)),
        (least, always, Some(Safer::Lower)),
        (most, always, Some(Safer::Higher)),
        (always, "{assembly.wheel.rating: {at_least: {fact: assembly.target.pressure}}}", None),
    ] {
        assert_eq!(of(&[(applies, demands)], "hold"), due, "{applies} {demands}");
        assert_eq!(of(&[(applies, demands)], "advise"), None, "{applies} {demands}");
    }
    assert_eq!(of(&[(always, least), (always, most)], "hold"), None, "they differ");
}
