//! Added never clears: whatever rules a local pack adds, of whichever subject, at whichever hold point, over whichever
//! facts and figures, every finding of the base pack stays as it was, and a hold stays a hold. And an added rule that
//! holds, holds the job.
//!
//! The rules are put together at random from the catalogue of facts and figures; those that the language refuses are drawn
//! again.

use std::fmt::Write as _;
use std::sync::atomic::{AtomicUsize, Ordering};

use fillward::document::Document;
use fillward::figures::{FigureKind, TABLE};
use fillward::pack::PackSet;
use fillward::record::FactKind;
use fillward::vocabulary::{Outcome, Subject, Verdict};
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestRunner;

use super::jobs::{Judgeable, PACKS, judged_then, made};

/// What a rule may be asked of.
const SUBJECTS: [Subject; 6] =
    [Subject::Job, Subject::Assembly, Subject::Component, Subject::Person, Subject::Gauge, Subject::Thermometer];

/// A fact of the pack's own, which no record states.
const OWN: &str = "local.seen";

/// A condition, by places in the catalogue and by turns of its words.
#[derive(Debug, Clone)]
enum Shape {
    Leaf(Index, u8),
    Not(Box<Shape>),
    Several(bool, Vec<Shape>),
}

fn shape() -> impl Strategy<Value = Shape> {
    let leaf = (any::<Index>(), any::<u8>()).prop_map(|(fact, turn)| Shape::Leaf(fact, turn));
    leaf.prop_recursive(2, 6, 3, |inner| {
        prop_oneof![
            inner.clone().prop_map(|one| Shape::Not(Box::new(one))),
            (any::<bool>(), prop::collection::vec(inner, 1..4)).prop_map(|(all, parts)| Shape::Several(all, parts)),
        ]
    })
}

#[derive(Debug, Clone)]
struct Added {
    covers: usize,
    applies: Option<Shape>,
    demands: Shape,
    /// Bit by bit the hold points at which it is asked.
    points: u8,
    holds: bool,
}

fn added() -> impl Strategy<Value = Added> {
    let parts = (0..SUBJECTS.len(), prop::option::of(shape()), shape(), 1..16_u8, prop::bool::weighted(0.8));
    parts.prop_map(|(covers, applies, demands, points, holds)| Added { covers, applies, demands, points, holds })
}

/// What can be asked of a subject: the name in packs, and the tests that suit it.
fn askable(subject: Subject) -> Vec<(String, Vec<String>)> {
    let told = || vec!["{recorded: true}".to_owned(), "{recorded: false}".to_owned()];
    let flag = || vec!["{is: true}".to_owned(), "{is: false}".to_owned()];
    let compared = |example: &str| {
        let orders = ["at_least", "at_most", "above", "below"];
        orders.iter().map(|order| format!("{{{order}: {example}}}")).collect::<Vec<_>>()
    };
    let catalogue = PACKS.catalogue();
    let mut found = vec![(OWN.to_owned(), [told(), flag()].concat())];
    for key in catalogue.keys().filter(|key| [subject, Subject::Job].contains(&key.subject)) {
        let spec = catalogue.spec(key).unwrap();
        let suited = match &spec.kind {
            FactKind::Flag => flag(),
            FactKind::Choice(words) => vec![format!("{{is: {:?}}}", words[0]), format!("{{is_not: {:?}}}", words[0])],
            FactKind::Count | FactKind::Quantity(_) | FactKind::ScaleBottom(_) => compared(&spec.example),
            FactKind::Event | FactKind::Planned => compared("{moment: start}"),
            FactKind::Day => compared("{moment: today}"),
            _ => Vec::new(),
        };
        found.push((catalogue.full_name(key), [told(), suited].concat()));
    }
    for figure in TABLE.iter().filter(|figure| [subject, Subject::Job].contains(&figure.subject)) {
        let suited = if figure.kind == FigureKind::Flag { flag() } else { Vec::new() };
        found.push((figure.full_name(), [told(), suited].concat()));
    }
    found
}

impl Shape {
    /// As YAML in flow style, without its outermost braces.
    fn text(&self, askable: &[(String, Vec<String>)]) -> String {
        match self {
            Self::Leaf(fact, turn) => {
                let (name, tests) = fact.get(askable);
                format!("{name}: {}", tests[usize::from(*turn) % tests.len()])
            }
            Self::Not(one) => format!("not: {{{}}}", one.text(askable)),
            Self::Several(all, parts) => {
                let parts: Vec<String> = parts.iter().map(|part| format!("{{{}}}", part.text(askable))).collect();
                format!("{}: [{}]", if *all { "all" } else { "any" }, parts.join(", "))
            }
        }
    }
}

fn pack(rules: &[Added]) -> String {
    let edition = &PACKS.packs()[0].edition;
    let source = "source: {kind: local code, cite: invented for this test}";
    let mut text = format!(
        "pack: 1\nname: added\nedition: \"1\"\ntitle: Rules put together at random\nexamples_at: {}\n\
         amends: {{pack: tyre-fill, edition: \"{edition}\"}}\nfacts:\n  seen: {{covers: job, kind: flag, holds_for: job, \
         about: Whether it was seen., example: \"true\"}}\nrules:\n",
        crate::common::DEMO_AT
    );
    for (place, rule) in rules.iter().enumerate() {
        let subject = SUBJECTS[rule.covers];
        let covers = if subject == Subject::Job { "job".to_owned() } else { format!("each {}", subject.word()) };
        let askable = askable(subject);
        let points: Vec<&str> = ["before air", "before fill", "after fill", "before service"]
            .into_iter()
            .enumerate()
            .filter_map(|(bit, point)| (rule.points >> bit & 1 == 1).then_some(point))
            .collect();
        let applies = rule
            .applies
            .as_ref()
            .map_or_else(String::new, |shape| format!("    applies: {{{}}}\n", shape.text(&askable)));
        write!(
            text,
            "  added-{place}:\n    title: An added fault, number {place}\n    covers: {covers}\n    asked_at: [{}]\n\
             {applies}    demands: {{{}}}\n    why: It does harm.\n    air:\n      stays: nothing is touched\n    \
             put_right: Put it right.\n    {source}\n    on_fault: {}\n    permit: none\n    \
             examples: {{passes: [{{says: none}}], holds: [{{says: none}}]}}\n",
            points.join(", "),
            rule.demands.text(&askable),
            if rule.holds { "hold" } else { "advise" },
        )
        .unwrap();
    }
    text
}

#[test]
fn any_rule_added_leaves_every_finding_and_every_hold() {
    let (taken, held, kept) = (AtomicUsize::new(0), AtomicUsize::new(0), AtomicUsize::new(0));
    let strategy = (made(3), prop::collection::vec(added(), 1..4));
    let config = proptest::test_runner::Config { max_global_rejects: 1_000_000, ..super::config() };
    let outcome = TestRunner::new(config).run(&strategy, |(made, rules)| {
        let text = pack(&rules);
        let document = Document::read("added.yaml", text.as_bytes()).unwrap();
        let Ok(packs) = PackSet::base().unwrap().with(vec![document]) else {
            return Err(TestCaseError::reject("the language refuses it"));
        };
        let (job, tree, point, at): Judgeable = made.anywhere();
        let (before, after) = (judged_then(&PACKS, &tree, point, at), judged_then(&packs, &tree, point, at));
        // A pack declares facts, and refuses no record.
        prop_assert_eq!(before.is_some(), after.is_some(), "{}\n{}", job, text);
        let (Some(before), Some(after)) = (before, after) else { return Ok(()) };
        for (key, outcome) in &before.outcomes {
            prop_assert_eq!(after.outcomes.get(key), Some(outcome), "{}: {:?}\n{}", job, key, text);
        }
        prop_assert!(before.verdict == Verdict::Pass || after.verdict == Verdict::Hold, "{job}\n{text}");
        let by_added = after.outcomes.iter().any(|((rule, _), outcome)| {
            rule.starts_with("added-") && matches!(outcome, Outcome::Broken | Outcome::NotShown)
        });
        prop_assert!(!by_added || after.verdict == Verdict::Hold, "{job}\n{text}");
        taken.fetch_add(1, Ordering::Relaxed);
        held.fetch_add(usize::from(by_added && before.verdict == Verdict::Pass), Ordering::Relaxed);
        kept.fetch_add(usize::from(before.verdict == Verdict::Hold), Ordering::Relaxed);
        Ok(())
    });
    outcome.unwrap();
    let [taken, held, kept] = [taken, held, kept].map(AtomicUsize::into_inner);
    assert!(kept * 4 > taken && held * 100 > taken, "{held} passes held and {kept} holds kept, of {taken}");
}
