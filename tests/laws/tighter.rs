//! Tighter never clears: a limit made stricter by a local pack, or a rule added, leaves held what was held.

use fillward::document::Document;
use fillward::engine::{Outcome, Verdict};
use fillward::pack::{Limit, PackSet, Safer};
use fillward::units::{Exact, Quantity};
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::TestRunner;

use super::jobs::{PACKS, judged, made};
use crate::common;

/// A value of the limit that is stricter by this many thousandths of it.
fn stricter(limit: &Limit, thousandths: i64) -> Option<String> {
    let value = limit.values.last()?.value;
    let share = Exact::new(i128::from(thousandths), 1_000)?;
    let size = value.value().abs();
    let step = if size == Exact::ZERO { share } else { size.checked_mul(share)? };
    let moved = match limit.safer {
        Safer::Higher => value.value().checked_add(step)?,
        Safer::Lower => value.value().checked_sub(step)?,
    };
    let text = format!("{} {}", moved.to_decimal_exact(6)?, value.unit().symbol());
    Quantity::parse(text.trim(), limit.dimension).ok().map(Quantity::to_record_text)
}

/// The base pack with one limit amended.
fn amended(limit: &Limit, value: &str) -> PackSet {
    let edition = &PACKS.packs()[0].edition;
    let text = format!(
        "pack: 1\nname: stricter\nedition: \"1\"\ntitle: One limit made stricter\n\
         amends: {{pack: tyre-fill, edition: \"{edition}\"}}\namended_limits:\n  {}:\n    value: {value}\n    \
         why: invented for this test\n    source: {{kind: local code, cite: invented for this test}}\n",
        limit.name
    );
    let document = Document::read("stricter.yaml", text.as_bytes()).unwrap();
    PackSet::base().unwrap().with(vec![document]).unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)))
}

/// Of every rule: what held the job goes on holding it, and the verdict with it.
#[test]
fn a_stricter_limit_clears_nothing() {
    let strategy = (made(3), any::<Index>(), prop::sample::select(vec![20_i64, 100, 250, 500, 900]));
    let outcome = TestRunner::new(super::config()).run(&strategy, |(made, limit, share)| {
        let (job, tree) = made.tree();
        let limit = limit.get(PACKS.limits());
        let Some(value) = stricter(limit, share) else { return Ok(()) };
        let packs = amended(limit, &value);
        let (Some(before), Some(after)) = (judged(&PACKS, &tree), judged(&packs, &tree)) else { return Ok(()) };
        let cleared: Vec<_> = before
            .holding()
            .filter(|key| matches!(after.outcomes.get(key), Some(Outcome::Met | Outcome::DoesNotApply)))
            .collect();
        prop_assert!(cleared.is_empty(), "{job}: {} at {value} clears {cleared:?}", limit.name);
        Ok(())
    });
    outcome.unwrap();
}

/// A rule added to the base pack leaves every finding of the base pack as it was.
#[test]
fn an_added_rule_changes_no_other_finding() {
    let document = Document::read("local.yaml", common::local_pack("added", "supervisor").as_bytes()).unwrap();
    let packs = PackSet::base().unwrap().with(vec![document]).unwrap();
    let outcome = TestRunner::new(super::config()).run(&made(4), |made| {
        let (job, tree) = made.tree();
        let (Some(before), Some(after)) = (judged(&PACKS, &tree), judged(&packs, &tree)) else { return Ok(()) };
        prop_assert!(before.outcomes.iter().all(|(key, outcome)| after.outcomes.get(key) == Some(outcome)), "{job}");
        prop_assert!(before.verdict == Verdict::Pass || after.verdict == Verdict::Hold, "{job}");
        Ok(())
    });
    outcome.unwrap();
}
