//! Nothing that a rule needs can be left out of a record that passes: every part of every passing demo job is taken away
//! in turn, and what leaves the job passing must stand, with its reason, in `tests/deletion-not-needed.txt`.
//!
//! That a fact is not needed is checked against the rules as well: taking it away must leave the outcome of every holding
//! rule as it was, for every subject that is still there. One change is sound: from "does not apply" to "met", where it is
//! open without the fact whether the rule applies, but its demand is met in any case. A rule that a deletion silently
//! turned from "met" into "does not apply" shows here, although the verdict stays; where it is meant (the rule speaks only
//! of those who have such a thing), the list says so in a line that begins with `silent`.

use std::collections::{BTreeMap, BTreeSet};

use fillward::pack::PackSet;
use fillward::record::Catalogue;
use fillward::vocabulary::{HoldPoint, Outcome, Verdict};
use serde_yaml::Value;

use crate::common;
use crate::common::tree::{name, paths, without};
use crate::laws::jobs::judged_at;

/// The lists of what is not needed, one for each of the first two hold points.
const LISTS: [(HoldPoint, &str); 2] = [
    (HoldPoint::BeforeFill, "tests/deletion-not-needed.txt"),
    (HoldPoint::BeforeAir, "tests/deletion-not-needed-before-air.txt"),
];

/// What leaves a job passing when it is taken away: for each name, the jobs in which it is so.
struct Found {
    kept_passing: BTreeMap<String, BTreeSet<String>>,
    present: BTreeMap<String, BTreeSet<String>>,
    /// Rule, name of what was taken away, and the change of outcome.
    changed: Vec<(String, String, String)>,
    deletions: usize,
}

/// Whether nothing at a place is due at a hold point: it is asked at others, and is there because the record grows.
pub(crate) fn is_not_due(catalogue: &Catalogue, name: &str, point: HoldPoint) -> bool {
    let below = format!("{name}.");
    let mut facts = catalogue
        .keys()
        .filter(|key| {
            let fact = catalogue.full_name(*key);
            fact == name || fact.starts_with(&below) || name.starts_with(&format!("{fact}."))
        })
        .filter_map(|key| catalogue.spec(key))
        .peekable();
    facts.peek().is_some() && facts.all(|spec| !spec.asked.at.contains(&point))
}

/// A record as it stands at a hold point: without what is due only later.
fn as_it_stands(catalogue: &Catalogue, mut value: Value, point: HoldPoint) -> Value {
    loop {
        let mut all = Vec::new();
        paths(&value, &[], &mut all);
        let Some(later) = all.iter().find(|path| is_not_due(catalogue, &name(path), point)) else { return value };
        value = without(&value, later);
    }
}

fn try_every_deletion(point: HoldPoint) -> Found {
    let packs = PackSet::base().unwrap();
    let mut found =
        Found { kept_passing: BTreeMap::new(), present: BTreeMap::new(), changed: Vec::new(), deletions: 0 };
    for file in common::files("shared/demo/jobs", ".yaml").iter().filter(|path| path.contains("/pass-")) {
        let job = file.rsplit('/').next().unwrap().strip_suffix(".yaml").unwrap().to_owned();
        let value = as_it_stands(packs.catalogue(), serde_yaml::from_str(&common::read(file)).unwrap(), point);
        let before = judged_at(&packs, &value, point).unwrap();
        // A tyre that was stretched was inspected on another day: the air went in then.
        if point == HoldPoint::BeforeAir && before.verdict != Verdict::Pass {
            continue;
        }
        assert_eq!(before.verdict, Verdict::Pass, "{file}");
        let mut all = Vec::new();
        paths(&value, &[], &mut all);
        for path in all {
            let name = name(&path);
            if is_not_due(packs.catalogue(), &name, point) {
                continue;
            }
            found.deletions += 1;
            found.present.entry(name.clone()).or_default().insert(job.clone());
            let Some(after) = judged_at(&packs, &without(&value, &path), point) else { continue };
            if after.verdict != Verdict::Pass {
                continue;
            }
            found.kept_passing.entry(name.clone()).or_default().insert(job.clone());
            let changed = before.outcomes.iter().filter_map(|(key, outcome)| {
                let now = after.outcomes.get(key)?;
                let sound = now == outcome || (*outcome, *now) == (Outcome::DoesNotApply, Outcome::Met);
                let change = format!("{} -> {} of {} in {job}", outcome.word(), now.word(), key.1);
                (!sound).then(|| (key.0.clone(), name.clone(), change))
            });
            found.changed.extend(changed);
        }
    }
    found
}

/// The lines of the list: what and how; what stands behind `#` is the reason.
fn listed(list: &str) -> Vec<(String, String)> {
    let text = common::read(list);
    let lines = text.lines().filter(|line| !line.starts_with('#') && !line.trim().is_empty());
    let split = |line: &str| {
        let (what, why) = line.split_once('#')?;
        let (name, how) = what.trim().split_once(' ')?;
        (why.trim().len() > 10).then(|| (name.to_owned(), how.trim().to_owned()))
    };
    lines.map(|line| split(line).unwrap_or_else(|| panic!("{list}: no reason: {line}"))).collect()
}

#[test]
fn what_may_be_left_out_is_listed_with_its_reason() {
    for (point, list) in LISTS {
        is_listed(point, list);
    }
}

fn is_listed(point: HoldPoint, list: &str) {
    let found = try_every_deletion(point);
    let shown: BTreeMap<String, String> = found
        .kept_passing
        .iter()
        .map(|(name, jobs)| {
            let how = if *jobs == found.present[name] { "always" } else { "sometimes" };
            (name.clone(), how.to_owned())
        })
        .collect();
    let lines: Vec<String> = shown
        .iter()
        .map(|(name, how)| {
            let jobs: Vec<&str> = found.kept_passing[name].iter().map(String::as_str).collect();
            format!("{name} {how}   ({})", jobs.join(", "))
        })
        .collect();
    // Seen with --nocapture: the facts that no rule needs.
    println!("{list}: {} deletions; the job still passes without:\n{}", found.deletions, lines.join("\n"));
    assert!(found.deletions > 500, "{list}: only {} deletions", found.deletions);
    let (silent, listed): (Vec<_>, Vec<_>) = listed(list).into_iter().partition(|(name, _)| name == "silent");
    let silent: BTreeSet<String> = silent.into_iter().map(|(_, what)| what).collect();
    let changes = found.changed.iter().map(|(rule, name, change)| (format!("{rule} without {name}"), change));
    let unsound: Vec<String> = changes
        .clone()
        .filter(|(what, change)| !silent.contains(what) || !change.starts_with("met -> does not apply"))
        .map(|(what, change)| format!("{what}: {change}"))
        .collect();
    assert!(unsound.is_empty(), "{list}: outcomes changed although the job passes:\n{}", unsound.join("\n"));
    assert_eq!(changes.map(|(what, _)| what).collect::<BTreeSet<_>>(), silent, "{list}: rules that fall silent");
    let listed: BTreeMap<String, String> = listed.into_iter().collect();
    let only_in = |one: &BTreeMap<String, String>, other: &BTreeMap<String, String>| {
        one.iter()
            .filter(|(name, how)| other.get(*name) != Some(how))
            .map(|(name, how)| format!("{name} {how}"))
            .collect()
    };
    let (new, gone): (Vec<String>, Vec<String>) = (only_in(&shown, &listed), only_in(&listed, &shown));
    assert!(
        new.is_empty() && gone.is_empty(),
        "{list}: not needed, but not listed: {new:?}\nlisted, but needed: {gone:?}"
    );
}
