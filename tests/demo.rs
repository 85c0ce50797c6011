//! The demo shop: every job comes out as its own first lines say, and no fact that a rule needs can be left out.

use std::collections::BTreeSet;

use fillward::engine::{Outcome, Scene, Verdict};
use fillward::pack::PackSet;

use crate::common;

/// The rule names that a comment line of a record lists.
fn listed(text: &str, label: &str) -> BTreeSet<String> {
    text.lines()
        .take_while(|line| line.starts_with('#'))
        .filter_map(|line| line.strip_prefix(&format!("# {label}: ")))
        .flat_map(|names| names.split(',').map(|name| name.trim().to_owned()))
        .collect()
}

/// The names of the holding rules with one outcome.
fn found(packs: &PackSet, path: &str, outcome: Outcome) -> (Verdict, BTreeSet<String>) {
    let job = common::job(packs, path);
    let scene = Scene::new(packs, &job, common::demo_at());
    let judgement = scene.judge();
    let names = judgement
        .findings
        .iter()
        .filter(|finding| finding.holds() && finding.outcome == outcome)
        .map(|finding| scene.rule(finding).unwrap().name.clone())
        .collect();
    (judgement.verdict, names)
}

#[test]
fn every_demo_job_comes_out_as_it_says() {
    let packs = PackSet::base().unwrap();
    let mut wrong = Vec::new();
    let paths = common::files("shared/demo/jobs", ".yaml");
    for path in &paths {
        let text = common::read(path);
        let (verdict, broken) = found(&packs, path, Outcome::Broken);
        let (_, not_shown) = found(&packs, path, Outcome::NotShown);
        let says = text.lines().next().unwrap_or_default().strip_prefix("# expects: ").unwrap_or_default();
        if says != verdict.word() || broken != listed(&text, "broken") || not_shown != listed(&text, "not shown") {
            wrong.push(format!("{path}: {}\n  broken {broken:?}\n  not shown {not_shown:?}", verdict.word()));
        }
        assert_eq!(path.contains("/pass-"), says == "PASS", "{path}: name and first line differ");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let passes = paths.iter().filter(|path| path.contains("/pass-")).count();
    assert!(passes >= 8 && paths.len() - passes >= 30, "{passes} of {} pass", paths.len());
}
