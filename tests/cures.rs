//! The law of cures: **what a cure tells is enough, and nothing less is**. Random readings with doubt on both sides are
//! brought to where the cure says; the comparison must then hold, and must not hold a hair before.

use fillward::document::Document;
use fillward::engine;
use fillward::engine::{InTheWay, Reach, Reaches, Scene, trace};
use fillward::pack::PackSet;
use fillward::record::{self, Job};
use fillward::units::{Exact, Rounding, Truth};
use fillward::vocabulary::Subject;
use proptest::prelude::*;

use crate::common;

/// A value and its doubt, in thousandths of a psi.
type Reading = (i64, i64);

const HAIR: i64 = 1;

fn document(name: &str, text: &str) -> Document {
    Document::read(name, text.as_bytes()).unwrap_or_else(|faults| panic!("{:?}\n{text}", miette::Report::new(faults)))
}

/// A pack of one rule with this demand over the readings `first` and `second`, and a limit where it names one.
fn pack(demands: &str) -> PackSet {
    let limit = "limits:\n  bound: {about: A limit., value: 1 psi, safer: SAFER, \
                 source: {kind: local code, cite: invented for this test}}\n";
    let text = |safer: &str| {
        let limits = if demands.contains("bound") { limit.replace("SAFER", safer) } else { String::new() };
        let fact = "covers: job, kind: reading, of: pressure, holds_for: job, about: A reading., example: 1 psi";
        format!(
            "pack: 1\nname: cures\nedition: \"1\"\ntitle: Rules of a test\nexamples_at: {}\n\
             facts:\n  first: {{{fact}}}\n  second: {{{fact}}}\n{limits}rules:\n  rule:\n    title: A fault\n    covers: job\n    \
             demands: {demands}\n    why: It does harm.\n    air:\n      stays: nothing is touched\n    put_right: Put it right.\n    \
             source: {{kind: local code, cite: invented for this test}}\n    on_fault: hold\n    permit: none\n    \
             examples: {{passes: [{{says: none}}], holds: [{{says: none}}]}}\n",
            common::DEMO_AT
        )
    };
    // Which way the limit is safer is not what is tried here.
    let read = |safer: &str| PackSet::alone(vec![document("pack.yaml", &text(safer))]);
    read("higher")
        .or_else(|_| read("lower"))
        .unwrap_or_else(|faults| panic!("{:?}\n{demands}", miette::Report::new(faults)))
}

fn psi(thousandths: i64) -> String {
    let value = Exact::from_int(thousandths).checked_div(Exact::from_int(1000)).unwrap();
    format!("{} psi", value.to_decimal(3, Rounding::Nearest))
}

fn job(packs: &PackSet, first: Reading, second: Reading) -> Job {
    let reading = |(value, doubt): Reading| match doubt {
        0 => psi(value),
        doubt => format!("{{reading: {}, uncertainty: {}}}", psi(value), psi(doubt)),
    };
    let text = format!("record: 1\nlocal: {{first: {}, second: {}}}\n", reading(first), reading(second));
    let document = document("job.yaml", &text);
    record::read_fragment(document.source(), document.root(), packs.catalogue())
        .unwrap_or_else(|faults| panic!("{:?}\n{text}", miette::Report::new(faults)))
}

fn truth(packs: &PackSet, first: Reading, second: Reading) -> Truth {
    let job = job(packs, first, second);
    let scene = Scene::new(packs, &job, common::demo_at(), &common::demo_zone());
    scene.truth(&packs.packs()[0].rules[0].asks.demands, &scene.here(Subject::Job, Some(0)))
}

/// The one comparison that is in the way of the demand, and where its two sides must get to; nothing where it is met.
fn reaches(packs: &PackSet, job: &Job) -> Option<Reaches> {
    let scene = Scene::new(packs, job, common::demo_at(), &common::demo_zone());
    let traced = trace(&scene, &packs.packs()[0].rules[0].asks.demands, &scene.here(Subject::Job, Some(0)));
    match traced.in_the_way().as_slice() {
        [InTheWay::Comparison { leaf, wanted }] => Some(engine::reaches(&scene, leaf, *wanted)),
        [] => None,
        other => panic!("{other:?}"),
    }
}

/// The number of a cure in thousandths of a psi; `None` where it lies between two of them.
fn thousandths(reach: &Reach) -> Option<i64> {
    let text = reach.to.value().checked_mul(Exact::from_int(1000)).unwrap().to_decimal_exact(0)?;
    text.parse().ok()
}

/// Holds a cure: `with` gives the truth when its side shows so many thousandths.
fn holds(reach: &Reach, present: i64, with: impl Fn(i64) -> Truth) -> Result<(), TestCaseError> {
    // No gauge shows less than nothing: there the cure is an instrument with less doubt.
    let Some(to) = thousandths(reach).filter(|to| *to > HAIR) else { return Ok(()) };
    let further = if reach.upward { to + HAIR } else { to - HAIR };
    let short = if reach.upward { to - HAIR } else { to + HAIR };
    prop_assert_eq!(with(to) == Truth::True, reach.inclusive, "{:?} at the bound itself", reach);
    prop_assert_eq!(with(further), Truth::True, "{:?} beyond the bound", reach);
    prop_assert_ne!(with(short), Truth::True, "{:?} short of the bound", reach);
    let gap = reach.gap.unwrap().checked_div(fillward::units::Unit::Psi.to_base(Exact::ONE).unwrap()).unwrap();
    prop_assert_eq!(gap, Exact::new((to - present).abs().into(), 1000).unwrap());
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_a_cure_tells_is_enough_and_nothing_less_is(
        test in prop_oneof![Just("at_least"), Just("at_most"), Just("above"), Just("below")],
        negated: bool,
        operand in prop_oneof![
            Just("50 psi"), Just("{limit: bound}"), Just("{limit: bound, plus: 40 psi}"), Just("{limit: bound, times: 60}"),
            Just("{fact: local.second}"), Just("{fact: local.second, plus: 3 psi}"), Just("{fact: local.second, plus: -3 psi}"),
            Just("{fact: local.second, times: 2}"), Just("{fact: local.second, times: 0.5, plus: 2 psi}"),
            Just("{fact: local.second, plus: {limit: bound}}"), Just("{fact: local.second, less: {limit: bound}}"),
            Just("{fact: local.second, times: 2, less: {limit: bound}}"),
        ],
        first in (30_000..90_000i64, prop_oneof![Just(0i64), 1..4000i64]),
        second in (30_000..90_000i64, prop_oneof![Just(0i64), 1..4000i64]),
    ) {
        let leaf = format!("{{local.first: {{{test}: {operand}}}}}");
        let packs = pack(&if negated { format!("{{not: {leaf}}}") } else { leaf });
        let Some(Reaches { term, operand: other }) = reaches(&packs, &job(&packs, first, second)) else {
            prop_assert_eq!(truth(&packs, first, second), Truth::True);
            return Ok(());
        };
        prop_assert_ne!(truth(&packs, first, second), Truth::True);
        let term = term.unwrap();
        holds(&term, first.0, |value| truth(&packs, (value, first.1), second))?;
        prop_assert_eq!(other.is_some(), operand.contains("fact"));
        if let Some(other) = other {
            holds(&other, second.0, |value| truth(&packs, first, (value, second.1)))?;
        }
    }

    /// Of two bounds the one that is missed is told.
    #[test]
    fn between_two_bounds_the_one_that_is_missed_is_told(
        first in (1_000..120_000i64, prop_oneof![Just(0i64), 1..4000i64]), second in (10_000..20_000i64, Just(0i64)),
    ) {
        let packs = pack("{local.first: {between: [{fact: local.second, plus: 10 psi}, 90 psi]}}");
        let Some(Reaches { term: Some(reach), operand: other }) = reaches(&packs, &job(&packs, first, second)) else {
            return Ok(());
        };
        let low = second.0 + 10_000;
        prop_assert_eq!(reach.upward, first.0 - first.1 < low);
        holds(&reach, first.0, |value| truth(&packs, (value, first.1), second))?;
        prop_assert_eq!(other.is_some(), reach.upward);
    }
}

/// A test that is no bound has no number to reach: what is to be equal is not told as a least.
#[test]
fn equality_tells_no_least() {
    let text = "pack: 1\nname: cures\nedition: \"1\"\ntitle: Rules of a test\nexamples_at: AT\n\
                rules:\n  rule:\n    title: A fault\n    covers: job\n    demands: {sample.hardness: {is: 12}}\n    \
                why: It does harm.\n    air:\n      stays: nothing is touched\n    put_right: Put it right.\n    \
                source: {kind: local code, cite: invented for this test}\n    on_fault: hold\n    permit: none\n    \
                examples: {passes: [{sample.hardness: 12}], holds: [{sample.hardness: 10}]}\n"
        .replace("AT", common::DEMO_AT);
    let packs = PackSet::alone(vec![document("pack.yaml", &text)]).unwrap();
    let document = document("job.yaml", "record: 1\nsample: {hardness: 10}\n");
    let job = record::read_fragment(document.source(), document.root(), packs.catalogue()).unwrap();
    assert_eq!(reaches(&packs, &job), Some(Reaches::default()));
}

/// How far it is at the least, where only the other side is in doubt: less than that is surely too little. It is told where
/// it is not nothing and not already the way itself.
#[test]
fn what_is_surely_missing_is_told_where_the_other_side_is_in_doubt() {
    let psi = |thousandths: i64| fillward::units::Unit::Psi.to_base(Exact::new(thousandths.into(), 1000).unwrap());
    for (test, first, second, gap, sure) in [
        ("at_least", (47_000, 0), (50_000, 1_000), 4_000, Some(2_000)),
        ("at_least", (47_000, 500), (50_000, 1_000), 4_500, Some(1_500)),
        ("at_least", (49_000, 0), (50_000, 1_000), 2_000, None),
        ("at_least", (49_500, 0), (50_000, 1_000), 1_500, None),
        ("at_least", (47_000, 0), (50_000, 0), 3_000, None),
        ("at_least", (47_000, 2_000), (50_000, 0), 5_000, None),
        ("at_most", (53_000, 0), (50_000, 1_000), 4_000, Some(2_000)),
        ("at_most", (53_000, 500), (50_000, 1_000), 4_500, Some(1_500)),
        ("at_most", (51_000, 0), (50_000, 1_000), 2_000, None),
        ("at_most", (53_000, 2_000), (50_000, 0), 5_000, None),
    ] {
        let packs = pack(&format!("{{local.first: {{{test}: {{fact: local.second}}}}}}"));
        let reach = reaches(&packs, &job(&packs, first, second)).and_then(|reaches| reaches.term).unwrap();
        let due = (psi(gap), sure.map(|sure| psi(sure).unwrap()));
        assert_eq!((reach.gap, reach.sure), due, "{test} {first:?} {second:?}");
    }
}

/// A bound that is just kept is not the one that is missed.
#[test]
fn of_two_bounds_the_one_that_is_just_kept_is_not_told() {
    let packs = pack("{local.first: {between: [40 psi, 50 psi]}}");
    let second = (10_000, 0);
    for (first, upward, gap) in [((47_000, 7_000), false, 4_000), ((43_000, 7_000), true, 4_000)] {
        let reach = reaches(&packs, &job(&packs, first, second)).and_then(|reaches| reaches.term).unwrap();
        let gap = fillward::units::Unit::Psi.to_base(Exact::new(gap, 1000).unwrap());
        assert_eq!((reach.upward, reach.gap), (upward, gap), "{first:?}");
    }
}
