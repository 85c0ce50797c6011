//! The law of limits on random packs that are taken.

use std::fmt::Write as _;

use fillward::engine::Finding;
use fillward::pack::PackSet;
use proptest::prelude::*;

use super::{SOURCE, fragment, head, packs, rule};
use crate::common;

/// The limits of a random pack: name, unit, and the values that it can have.
const LIMITS: [(&str, &str); 4] = [("low", "psi"), ("high", "psi"), ("share", "%"), ("offset", "h")];

/// One comparison as YAML in flow style, without its outermost braces.
fn leaf() -> BoxedStrategy<String> {
    let reading = || prop_oneof![Just("local.first"), Just("local.second")];
    let limit = || prop_oneof![Just("low"), Just("high")];
    let order = || prop_oneof![Just("at_least"), Just("at_most"), Just("above"), Just("below")];
    let factor = || prop_oneof![Just("2"), Just("0.5"), Just("-1"), Just("0"), Just("{limit: share}")];
    let operand = prop_oneof![
        limit().prop_map(|limit| format!("{{limit: {limit}}}")),
        (limit(), factor()).prop_map(|(limit, times)| format!("{{limit: {limit}, times: {times}}}")),
        (reading(), limit()).prop_map(|(fact, limit)| format!("{{fact: {fact}, plus: {{limit: {limit}}}}}")),
        (reading(), factor()).prop_map(|(fact, times)| format!("{{fact: {fact}, times: {times}}}")),
        (reading(), factor(), 0..6i32)
            .prop_map(|(fact, times, own)| format!("{{fact: {fact}, times: {times}, plus: {own} psi}}")),
        (reading(), factor(), limit())
            .prop_map(|(fact, times, limit)| format!("{{fact: {fact}, times: {times}, plus: {{limit: {limit}}}}}")),
        (0..6i32, limit()).prop_map(|(own, limit)| format!("{{limit: {limit}, plus: {own} psi}}")),
        (0..6i32).prop_map(|own| format!("{own} psi")),
    ];
    prop_oneof![
        6 => (reading(), order(), operand).prop_map(|(fact, order, of)| format!("{fact}: {{{order}: {of}}}")),
        1 => (reading(), limit(), limit())
            .prop_map(|(fact, a, b)| format!("{fact}: {{between: [{{limit: {a}}}, {{limit: {b}}}]}}")),
        1 => any::<bool>().prop_map(|flag| format!("cure.flat: {{is: {flag}}}")),
        1 => order().prop_map(|order| format!("planned_start: {{{order}: {{moment: judgement, plus: {{limit: offset}}}}}}")),
    ]
    .boxed()
}

fn condition() -> impl Strategy<Value = String> {
    leaf().prop_recursive(2, 5, 2, |inner| {
        let list = prop::collection::vec(inner.clone(), 1..3)
            .prop_map(|parts| parts.iter().map(|part| format!("{{{part}}}")).collect::<Vec<_>>().join(", "));
        prop_oneof![
            (prop_oneof![Just("all"), Just("any")], list).prop_map(|(which, parts)| format!("{which}: [{parts}]")),
            inner.clone().prop_map(|part| format!("not: {{{part}}}")),
            (prop_oneof![Just("for_each"), Just("for_some")], inner)
                .prop_map(|(which, part)| format!("{which}: {{of: person, meets: {{{part}}}}}")),
        ]
    })
}

/// The text of a random pack, with its limits at these values and of these directions (bit by bit, set is higher).
pub(super) fn pack_text(applies: Option<&str>, demands: &str, values: [i32; 4], higher: u8) -> String {
    let mut text = head("random");
    text.push_str("facts:\n");
    for name in ["first", "second"] {
        let about = "covers: job, kind: reading, of: pressure, holds_for: job, about: A reading., example: 1 psi";
        writeln!(text, "  {name}: {{{about}}}").unwrap();
    }
    let rules = rule("random", applies, demands);
    let used = |name: &str| rules.contains(&format!("limit: {name}}}")) || rules.contains(&format!("limit: {name},"));
    let mut limits = String::new();
    for (position, (name, unit)) in LIMITS.iter().enumerate().filter(|(_, (name, _))| used(name)) {
        let (value, safer) = (values[position], if higher >> position & 1 == 1 { "higher" } else { "lower" });
        writeln!(limits, "  {name}: {{about: A limit., value: {value} {unit}, safer: {safer}, {SOURCE}}}").unwrap();
    }
    if !limits.is_empty() {
        write!(text, "limits:\n{limits}").unwrap();
    }
    write!(text, "rules:\n{rules}").unwrap();
    text
}

fn record_text(readings: [Option<(i32, i32)>; 2], flat: Option<bool>, start: i32, people: usize) -> String {
    let mut text = format!("planned_start: 2026-03-04T{:02}:30:00-06:00\n", 9 + start);
    if let Some(flat) = flat {
        writeln!(text, "cure: {{flat: {flat}}}").unwrap();
    }
    let lines: Vec<String> = ["first", "second"]
        .iter()
        .zip(readings)
        .filter_map(|(name, reading)| {
            let (value, doubt) = reading?;
            Some(match doubt {
                0 => format!("{name}: {value} psi"),
                doubt => format!("{name}: {{reading: {value} psi, uncertainty: {doubt} psi}}"),
            })
        })
        .collect();
    writeln!(text, "local: {{{}}}", lines.join(", ")).unwrap();
    let people: Vec<String> = (0..people).map(|number| format!("{{name: p{number}}}")).collect();
    writeln!(text, "people: [{}]", people.join(", ")).unwrap();
    text
}

fn holds(packs: &PackSet, record: &str) -> Vec<bool> {
    let job = fragment(packs, record);
    common::judge(packs, &job, common::demo_at(), &common::demo_zone()).findings.iter().map(Finding::holds).collect()
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 600, max_global_rejects: 60_000, failure_persistence: None, ..ProptestConfig::default()
    })]

    #[test]
    fn a_limit_made_stricter_never_turns_hold_into_pass(
        applies in prop::option::weighted(0.4, condition()), demands in condition(), higher: u8,
        values in [0..6i32, 0..6i32, 0..300i32, -3..4i32], moves in [0..4i32, 0..4i32, 0..150i32, 0..3i32],
        readings in [prop::option::of((0..6i32, 0..3i32)), prop::option::of((0..6i32, 0..3i32))],
        flat: Option<bool>, start in -3..4i32, people in 0..3usize,
    ) {
        let (applies, demands) = (applies.map(|lines| format!("{{{lines}}}")), format!("{{{demands}}}"));
        let text = |values| pack_text(applies.as_deref(), &demands, values, higher);
        let Ok(loose) = packs(&text(values)) else { return Err(TestCaseError::reject("not taken")) };
        let mut strict = values;
        for (position, value) in strict.iter_mut().enumerate() {
            *value += if higher >> position & 1 == 1 { moves[position] } else { -moves[position] };
            if position < 3 {
                *value = (*value).max(0);
            }
        }
        let strict = packs(&text(strict)).unwrap();
        let record = record_text(readings, flat, start, people);
        for (before, after) in holds(&loose, &record).into_iter().zip(holds(&strict, &record)) {
            prop_assert!(!before || after, "{}\n{record}", text(values));
        }
    }
}
