//! The theorem of three-valued judgement, tried on random small packs and records: **more evidence never takes back what
//! was decided**, unless a `recorded` leaf is in the rule; and the evaluator against a second one, written here.
//!
//! Every condition is two statements, "true" and "false", never both; neither means unknown. Without `recorded`, finding
//! out a fact, or narrowing a reading, can only decide what was unknown (Kleene 1952, section 64: the connectives are
//! regular). So a broken rule stays broken, and PASS stays PASS.

use std::fmt::Write as _;

use fillward::document::Document;
use fillward::engine::{Scene, trace};
use fillward::pack::PackSet;
use fillward::record;
use fillward::units::Truth;
use fillward::vocabulary::{Outcome, Subject, Verdict};
use proptest::prelude::*;
use serde_yaml::{Mapping, Value};

use crate::common;

/// A reading in whole psi with its uncertainty.
type Reading = Option<(i32, i32)>;

/// A small record: two flags, one word, two readings, and people of whom one flag and one word list are asked.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Facts {
    flags: [Option<bool>; 2],
    word: Option<usize>,
    readings: [Reading; 2],
    people: Option<Vec<Person>>,
}

/// Whether the person is the operator, and the words of the protective equipment.
type Person = (Option<bool>, Option<Vec<usize>>);

const FLAGS: [&str; 2] = ["sample.prepared", "cure.flat"];
const WORD: &str = "cage.kind";
const WORDS: [&str; 3] = ["cage", "barrier", "none"];
const READINGS: [&str; 2] = ["local.first", "local.second"];
const ITEMS: [&str; 3] = ["gloves", "coveralls", "respirator"];
const ORDERS: [&str; 4] = ["at_least", "at_most", "above", "below"];

/// A word of two, for what is a flag here.
const fn role(operator: bool) -> &'static str {
    if operator { "operator" } else { "helper" }
}

fn facts() -> impl Strategy<Value = Facts> {
    let reading = || prop::option::of((0..6i32, 0..3i32));
    let person = (prop::option::of(any::<bool>()), prop::option::of(prop::collection::vec(0..3usize, 0..3)));
    let people = prop::option::of(prop::collection::vec(person, 0..3));
    (any::<[Option<bool>; 2]>(), prop::option::of(0..3usize), [reading(), reading()], people)
        .prop_map(|(flags, word, readings, people)| Facts { flags, word, readings, people })
}

/// Takes evidence away, bit by bit of `mask`: forgets a fact, or widens a reading by one.
fn less(full: &Facts, mask: u32) -> Facts {
    let mut bit = 0;
    let mut drop = || {
        bit += 1;
        mask >> (bit - 1) & 1 == 1
    };
    let mut facts = full.clone();
    for flag in &mut facts.flags {
        *flag = flag.filter(|_| !drop());
    }
    facts.word = facts.word.filter(|_| !drop());
    for reading in &mut facts.readings {
        let (forget, widen) = (drop(), drop());
        *reading = reading.filter(|_| !forget).map(|(value, doubt)| (value, if widen { doubt + 1 } else { doubt }));
    }
    for (flag, words) in facts.people.iter_mut().flatten() {
        *flag = flag.filter(|_| !drop());
        *words = words.take().filter(|_| !drop());
    }
    facts.people = facts.people.filter(|_| !drop());
    facts
}

fn record_text(facts: &Facts) -> String {
    let mut text = String::from("record: 1\n");
    let mut group = |lines: String, name: &str| {
        if !lines.is_empty() {
            write!(text, "{name}:\n{lines}").unwrap();
        }
    };
    let flag = |value: Option<bool>, key: &str| value.map_or_else(String::new, |value| format!("  {key}: {value}\n"));
    group(flag(facts.flags[0], "prepared"), "sample");
    group(flag(facts.flags[1], "flat"), "cure");
    group(facts.word.map_or_else(String::new, |word| format!("  kind: {}\n", WORDS[word])), "cage");
    let reading = |reading: Reading, key: &str| {
        reading.map_or_else(String::new, |(value, doubt)| {
            if doubt == 0 {
                format!("  {key}: {value} psi\n")
            } else {
                format!("  {key}: {{reading: {value} psi, uncertainty: {doubt} psi}}\n")
            }
        })
    };
    group(reading(facts.readings[0], "first") + &reading(facts.readings[1], "second"), "local");
    if let Some(people) = &facts.people {
        let lines: Vec<String> = people
            .iter()
            .enumerate()
            .map(|(number, (flag, words))| {
                let flag = flag.map_or_else(String::new, |flag| format!(", role: {}", role(flag)));
                let words = words.as_ref().map_or_else(String::new, |words| {
                    let words: Vec<&str> = words.iter().map(|word| ITEMS[*word]).collect();
                    format!(", protection: [{}]", words.join(", "))
                });
                format!("{{name: p{number}{flag}{words}}}")
            })
            .collect();
        writeln!(text, "people: [{}]", lines.join(", ")).unwrap();
    }
    text
}

/// One line of a condition as YAML in flow style.
fn leaf(recorded: bool) -> BoxedStrategy<String> {
    let operand = prop_oneof![
        (0..8i32).prop_map(|value| format!("{value} psi")),
        (0..2usize, -2..3i32).prop_map(|(which, plus)| format!("{{fact: {}, plus: {plus} psi}}", READINGS[which])),
        (0..2usize, 1..3i32).prop_map(|(which, times)| format!("{{fact: {}, times: {times}}}", READINGS[which])),
    ];
    let plain = prop_oneof![
        (0..2usize, any::<bool>()).prop_map(|(which, value)| format!("{}: {{is: {value}}}", FLAGS[which])),
        (0..3usize).prop_map(|word| format!("{WORD}: {{is_not: {}}}", WORDS[word])),
        (0..3usize).prop_map(|word| format!("{WORD}: {{one_of: [{}, {}]}}", WORDS[word], WORDS[(word + 1) % 3])),
        (0..2usize, 0..4usize, operand)
            .prop_map(|(which, order, operand)| { format!("{}: {{{}: {operand}}}", READINGS[which], ORDERS[order]) }),
    ];
    if recorded {
        let asked = (0..5usize, any::<bool>()).prop_map(|(which, wanted)| {
            let name = [FLAGS[0], FLAGS[1], WORD, READINGS[0], READINGS[1]][which];
            format!("{name}: {{recorded: {wanted}}}")
        });
        prop_oneof![2 => plain, 1 => asked].boxed()
    } else {
        plain.boxed()
    }
}

fn over_people() -> impl Strategy<Value = String> {
    let quantifier = prop_oneof![Just("for_each"), Just("for_some")];
    let item = (quantifier.clone(), 0..3usize).prop_map(|(which, word)| {
        format!("{which}: {{of: person.protection, meets: {{item: {{is: {}}}}}}}", ITEMS[word])
    });
    let inner = prop_oneof![any::<bool>().prop_map(|value| format!("person.role: {{is: {}}}", role(value))), item];
    (quantifier, inner).prop_map(|(which, inner)| format!("{which}: {{of: person, meets: {{{inner}}}}}"))
}

/// A condition as YAML in flow style, without its outermost braces.
fn condition(recorded: bool) -> impl Strategy<Value = String> {
    let simple = prop_oneof![4 => leaf(recorded), 1 => over_people()];
    simple.prop_recursive(3, 12, 3, |inner| {
        let list = prop::collection::vec(inner.clone(), 1..4)
            .prop_map(|parts| parts.iter().map(|part| format!("{{{part}}}")).collect::<Vec<_>>().join(", "));
        prop_oneof![
            (prop_oneof![Just("all"), Just("any")], list).prop_map(|(which, parts)| format!("{which}: [{parts}]")),
            inner.prop_map(|part| format!("not: {{{part}}}")),
        ]
    })
}

fn pack(rules: &[(Option<String>, String)]) -> Option<PackSet> {
    let mut text = String::from(
        "pack: 1\nname: random\nedition: \"1\"\ntitle: Random rules\nexamples_at: 2026-03-04T09:30:00-06:00\nfacts:\n",
    );
    for name in READINGS {
        let name = name.trim_start_matches("local.");
        writeln!(
            text,
            "  {name}: {{covers: job, holds_for: job, kind: reading, of: pressure, about: A reading., example: 1 psi}}"
        )
        .unwrap();
    }
    text.push_str("rules:\n");
    for (number, (applies, demands)) in rules.iter().enumerate() {
        write!(text, "  rule-{number}:\n    title: Fault {number}\n    covers: job\n").unwrap();
        if let Some(applies) = applies {
            writeln!(text, "    applies: {{{applies}}}").unwrap();
        }
        write!(text, "    demands: {{{demands}}}\n    why: It does harm.\n    air:\n      stays: nothing is touched\n    put_right: Put it right.\n").unwrap();
        text.push_str(
            "    source: {kind: common practice, cite: no published source}\n    on_fault: hold\n    permit: none\n",
        );
        text.push_str("    examples: {passes: [{says: none}], holds: [{says: none}]}\n");
    }
    let document = Document::read("pack.yaml", text.as_bytes()).unwrap();
    match PackSet::alone(vec![document]) {
        Ok(packs) => Some(packs),
        // A random clause may contradict or repeat its neighbour; that is refused, and rightly so.
        Err(faults) => {
            assert!(
                faults.iter().all(|fault| fault.code().word() == "pack/unreachable"),
                "{:?}\n{text}",
                miette::Report::new(faults)
            );
            None
        }
    }
}

/// False, unknown and true as 0, 1 and 2: "and" is the least, "or" the greatest (Kleene).
type Level = u8;

fn decided(for_all: bool, for_none: bool) -> Level {
    if for_all { 2 } else { u8::from(!for_none) }
}

/// The second evaluator: it reads the YAML of the condition and the facts, and tries every value that a reading leaves
/// open. Bounds are whole psi and the comparisons are monotone, so whole values within a reading decide the matter.
fn level(condition: &Value, facts: &Facts, person: Option<usize>, item: Option<usize>) -> Level {
    match condition {
        Value::Sequence(parts) => parts.iter().map(|part| level(part, facts, person, item)).min().unwrap_or(2),
        Value::Mapping(lines) => {
            lines.iter().map(|(key, of)| line(key.as_str().unwrap(), of, facts, person, item)).min().unwrap()
        }
        other => panic!("no condition: {other:?}"),
    }
}

fn line(key: &str, of: &Value, facts: &Facts, person: Option<usize>, item: Option<usize>) -> Level {
    match key {
        "all" => level(of, facts, person, item),
        "any" => of.as_sequence().unwrap().iter().map(|part| level(part, facts, person, item)).max().unwrap(),
        "not" => 2 - level(of, facts, person, item),
        "for_each" | "for_some" => {
            let levels: Option<Vec<Level>> = if of["of"] == "person" {
                let people = facts.people.as_ref();
                people.map(|people| {
                    (0..people.len()).map(|index| level(&of["meets"], facts, Some(index), item)).collect()
                })
            } else {
                let words = facts.people.as_ref().unwrap()[person.unwrap()].1.as_ref();
                words.map(|words| words.iter().map(|word| level(&of["meets"], facts, person, Some(*word))).collect())
            };
            match (levels, key) {
                (None, _) => 1,
                (Some(levels), "for_each") => levels.into_iter().min().unwrap_or(2),
                (Some(levels), _) => levels.into_iter().max().unwrap_or(0),
            }
        }
        _ => of
            .as_mapping()
            .unwrap()
            .iter()
            .map(|(test, operand)| ask(key, test.as_str().unwrap(), operand, facts, person, item))
            .min()
            .unwrap(),
    }
}

fn ask(key: &str, test: &str, operand: &Value, facts: &Facts, person: Option<usize>, item: Option<usize>) -> Level {
    if let Some(which) = READINGS.iter().position(|name| *name == key) {
        return ask_reading(which, test, operand, facts);
    }
    let known: Option<String> = match key {
        WORD => facts.word.map(|word| WORDS[word].to_owned()),
        "item" => item.map(|word| ITEMS[word].to_owned()),
        "person.role" => facts.people.as_ref().unwrap()[person.unwrap()].0.map(|flag| role(flag).to_owned()),
        flag => facts.flags[FLAGS.iter().position(|name| *name == flag).unwrap()].map(|flag| flag.to_string()),
    };
    let written =
        |value: &Value| value.as_bool().map_or_else(|| value.as_str().unwrap().to_owned(), |flag| flag.to_string());
    if test == "recorded" {
        return if known.is_some() == operand.as_bool().unwrap() { 2 } else { 0 };
    }
    let Some(known) = known else { return 1 };
    let holds = match test {
        "is" => known == written(operand),
        "is_not" => known != written(operand),
        "one_of" => operand.as_sequence().unwrap().iter().any(|value| known == written(value)),
        other => panic!("{other}"),
    };
    if holds { 2 } else { 0 }
}

fn ask_reading(which: usize, test: &str, operand: &Value, facts: &Facts) -> Level {
    // No pressure of a tyre lies below none.
    let open =
        |reading: Reading| reading.map(|(value, doubt)| ((value - doubt).max(0)..=value + doubt).collect::<Vec<i32>>());
    if test == "recorded" {
        return if facts.readings[which].is_some() == operand.as_bool().unwrap() { 2 } else { 0 };
    }
    let psi = |text: &str| text.strip_suffix(" psi").unwrap().parse::<i32>().unwrap();
    let right: Option<Vec<i32>> = match operand {
        Value::String(number) => Some(vec![psi(number)]),
        operand => {
            let other = READINGS.iter().position(|name| operand["fact"] == *name).unwrap();
            let times = operand.get("times").map_or(1, |times| i32::try_from(times.as_i64().unwrap()).unwrap());
            let plus = operand.get("plus").map_or(0, |plus| psi(plus.as_str().unwrap()));
            open(facts.readings[other]).map(|values| values.into_iter().map(|value| value * times + plus).collect())
        }
    };
    let (Some(left), Some(right)) = (open(facts.readings[which]), right) else { return 1 };
    let mut results = Vec::new();
    for a in &left {
        for b in &right {
            results.push(match test {
                "at_least" => a >= b,
                "at_most" => a <= b,
                "above" => a > b,
                "below" => a < b,
                other => panic!("{other}"),
            });
        }
    }
    decided(results.iter().all(|holds| *holds), results.iter().all(|holds| !*holds))
}

fn as_level(truth: Truth) -> Level {
    match truth {
        Truth::False => 0,
        Truth::Unknown => 1,
        Truth::True => 2,
    }
}

fn with_job<T>(packs: &PackSet, facts: &Facts, look: impl FnOnce(&Scene<'_>) -> T) -> T {
    let text = record_text(facts);
    let document = Document::read("job.yaml", text.as_bytes()).unwrap();
    let job = record::read_fragment(document.source(), document.root(), packs.catalogue())
        .unwrap_or_else(|faults| panic!("{:?}\n{text}", miette::Report::new(faults)));
    look(&Scene::new(packs, &job, common::demo_at(), &common::demo_zone()))
}

fn yaml(condition: &str) -> Value {
    Value::Mapping(serde_yaml::from_str::<Mapping>(&format!("{{{condition}}}")).unwrap())
}

/// Truth and traced truth of the first rule's demand.
fn truths(packs: &PackSet, facts: &Facts) -> (Truth, Truth) {
    with_job(packs, facts, |scene| {
        let demands = &packs.packs()[0].rules[0].asks.demands;
        let here = scene.here(Subject::Job, Some(0));
        (scene.truth(demands, &here), trace(scene, demands, &here).truth())
    })
}

fn judged(packs: &PackSet, facts: &Facts) -> (Verdict, Vec<Outcome>) {
    with_job(packs, facts, |scene| {
        let judgement = scene.judge();
        (judgement.verdict, judgement.findings.iter().map(|finding| finding.outcome).collect())
    })
}

fn rules(recorded: bool) -> impl Strategy<Value = Vec<(Option<String>, String)>> {
    prop::collection::vec((prop::option::of(condition(recorded)), condition(recorded)), 1..4)
}

/// A random pack, unless it contradicts itself; those are drawn again, and too many of them fail the test.
fn sound(rules: &[(Option<String>, String)]) -> Result<PackSet, TestCaseError> {
    pack(rules).ok_or_else(|| TestCaseError::reject("a clause contradicts or repeats another"))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn two_evaluators_agree(demands in condition(true), facts in facts()) {
        let packs = sound(&[(None, demands.clone())])?;
        let (truth, traced) = truths(&packs, &facts);
        prop_assert_eq!(truth, traced);
        prop_assert_eq!(as_level(truth), level(&yaml(&demands), &facts, None, None), "{}", record_text(&facts));
    }

    #[test]
    fn more_evidence_never_takes_back_a_truth(demands in condition(false), full in facts(), mask: u32) {
        let packs = sound(&[(None, demands)])?;
        let (before, after) = (truths(&packs, &less(&full, mask)).0, truths(&packs, &full).0);
        prop_assert!(before == Truth::Unknown || before == after, "{before} became {after}");
    }

    #[test]
    fn more_evidence_never_takes_back_a_pass_or_a_broken_rule(rules in rules(false), full in facts(), mask: u32) {
        let packs = sound(&rules)?;
        let ((before, few), (after, many)) = (judged(&packs, &less(&full, mask)), judged(&packs, &full));
        prop_assert!(before == Verdict::Hold || after == Verdict::Pass);
        for (before, after) in few.into_iter().zip(many) {
            // What was met stays met, or turns out not to apply; what was open may become anything.
            let kept = match before {
                Outcome::NotShown => true,
                Outcome::Met => matches!(after, Outcome::Met | Outcome::DoesNotApply),
                decided => after == decided,
            };
            prop_assert!(kept, "{before:?} became {after:?}");
        }
    }
}

/// The exception is real: with a `recorded` leaf, finding out a fact can turn PASS into HOLD.
#[test]
fn a_recorded_leaf_is_the_exception() {
    let packs = pack(&[(None, "cure.flat: {recorded: false}".to_owned())]).unwrap();
    let nothing = Facts { flags: [None; 2], word: None, readings: [None; 2], people: None };
    let more = Facts { flags: [None, Some(true)], ..nothing.clone() };
    assert_eq!((judged(&packs, &nothing).0, judged(&packs, &more).0), (Verdict::Pass, Verdict::Hold));
}
