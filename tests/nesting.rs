//! The time that a rule takes is bounded by what can be read: how often its comparisons are made, counted and not timed.

use fillward::document::{Code, Document};
use fillward::pack::{Collection, Condition, PackSet};
use proptest::prelude::*;

/// Most entries of a subject's list and most words of a list fact that a record may have, by its schema.
const ENTRIES: u64 = 200;
const WORDS: u64 = 50;
/// The lists that a rule of the test can go through, each with a comparison that can be asked inside.
const LISTS: [(&str, &str); 5] = [
    ("person", "person.name: {recorded: true}"),
    ("gauge", "gauge.mark: {recorded: true}"),
    ("assembly", "assembly.mark: {recorded: true}"),
    ("component", "component.lot: {recorded: true}"),
    ("workspace.ignition_sources", "item: {is: hot work}"),
];

/// How often comparisons are made at most in a record of full lists.
fn comparisons(condition: &Condition) -> u64 {
    match condition {
        Condition::All(parts) | Condition::Any(parts) => parts.iter().map(comparisons).sum(),
        Condition::Not(inner) => comparisons(inner),
        Condition::Each(q) | Condition::Some(q) => {
            let most = match q.of {
                Collection::Subjects(_) => ENTRIES,
                Collection::Words(_) => WORDS,
            };
            most * comparisons(&q.meets)
        }
        Condition::Leaf(_) => 1,
    }
}

fn pack(lists: &[(usize, bool)]) -> Result<PackSet, Vec<Code>> {
    let innermost = lists.last().map_or("job: {recorded: true}", |(list, _)| LISTS[*list].1);
    let demands = lists.iter().rev().fold(innermost.to_owned(), |inner, (list, every)| {
        let word = if *every { "for_each" } else { "for_some" };
        format!("{word}: {{of: {}, meets: {{any: [{{{inner}}}, {{site: {{recorded: true}}}}]}}}}", LISTS[*list].0)
    });
    let text = format!(
        "pack: 1\nname: nested\nedition: \"1\"\ntitle: Lists in lists\nexamples_at: 2026-03-04T09:30:00-06:00\nrules:\n  \
         nested:\n    title: A fault\n    covers: job\n    demands: {{{demands}}}\n    why: It does harm.\n    air:\n      stays: nothing is touched\n    put_right: Put \
         it right.\n    source: {{kind: local code, cite: invented for this test}}\n    on_fault: hold\n    permit: none\n    \
         examples: {{passes: [{{says: none}}], holds: [{{says: none, outcome: broken}}]}}\n"
    );
    let document = Document::read("nested.yaml", text.as_bytes()).unwrap();
    PackSet::base()
        .unwrap()
        .with(vec![document])
        .map_err(|faults| faults.iter().map(fillward::document::Fault::code).collect())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_read_makes_a_bounded_number_of_comparisons(
        lists in prop::collection::vec((0..LISTS.len(), any::<bool>()), 1..6),
    ) {
        let mut different: Vec<usize> = lists.iter().map(|(list, _)| *list).collect();
        different.sort_unstable();
        different.dedup();
        let allowed = lists.len() <= 2 && different.len() == lists.len();
        match pack(&lists) {
            Ok(packs) => {
                prop_assert!(allowed, "{lists:?} is taken");
                let rule = &packs.packs()[1].rules[0];
                let mut leaves = 0;
                rule.asks.demands.leaves(&mut |_| leaves += 1);
                prop_assert!(comparisons(&rule.asks.demands) <= leaves * ENTRIES * ENTRIES);
            }
            Err(codes) => {
                prop_assert!(!allowed, "{lists:?} is refused: {codes:?}");
                prop_assert_eq!(codes, [Code::PackNestedTooDeep]);
            }
        }
    }
}

/// The lists of a record are as short as the bound counts on.
#[test]
fn the_schema_of_records_bounds_the_lists_that_the_bound_counts_on() {
    let schema = fillward::record::generate_schema();
    let of = |key: &str| schema.pointer(&format!("/properties/{key}/maxItems")).and_then(serde_json::Value::as_u64);
    for key in ["assemblies", "people", "gauges", "thermometers"] {
        assert!(of(key).is_some_and(|most| most <= ENTRIES), "{key}: {:?}", of(key));
    }
}
