//! The demo shop: every job comes out as its own first lines say, and no fact that a rule needs can be left out.

use std::collections::BTreeSet;

use fillward::engine::Scene;
use fillward::figures::FigureId;
use fillward::pack::PackSet;
use fillward::record::Value;
use fillward::record::catalogue::assembly::PRE_STRETCH_LOG;
use fillward::units::{Exact, Instant};
use fillward::vocabulary::{Outcome, Subject, Verdict};

use crate::common;

/// The names of the holding rules with one outcome.
fn found(packs: &PackSet, path: &str, outcome: Outcome) -> (Verdict, BTreeSet<String>) {
    let job = common::job(packs, path);
    let scene = Scene::new(packs, &job, common::demo_at(), &common::demo_zone());
    let judgement = scene.judge();
    let names = judgement
        .findings
        .iter()
        .filter(|finding| finding.holds() && finding.outcome == outcome)
        .map(|finding| scene.rule(finding).unwrap().name.to_string())
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
        if says != verdict.word()
            || broken != common::listed(&text, "broken")
            || not_shown != common::listed(&text, "not shown")
        {
            wrong.push(format!("{path}: {}\n  broken {broken:?}\n  not shown {not_shown:?}", verdict.word()));
        }
        assert_eq!(path.contains("/pass-"), says == "PASS", "{path}: name and first line differ");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let passes = paths.iter().filter(|path| path.contains("/pass-")).count();
    assert!(passes >= 8 && paths.len() - passes >= 30, "{passes} of {} pass", paths.len());
}

/// What is dated after the judgement has not happened yet: no job passes, and no log shows anything, a week before.
#[test]
fn evidence_that_lies_ahead_is_none() {
    let packs = PackSet::base().unwrap();
    let before = Instant::parse("2026-02-25T09:30:00-06:00").unwrap();
    let mut logs = 0;
    for path in common::files("shared/demo/jobs", ".yaml").iter().filter(|path| path.contains("/pass-")) {
        let job = common::job(&packs, path);
        let scene = Scene::new(&packs, &job, before, &common::demo_zone());
        assert_eq!(scene.judge().verdict, Verdict::Hold, "{path}");
        for (index, assembly) in job.of(Subject::Assembly).unwrap().iter().enumerate() {
            if assembly.facts.log(PRE_STRETCH_LOG).is_some() {
                logs += 1;
                let time = scene.figure(FigureId::PreStretchTime, Subject::Assembly, index).unwrap();
                let shown = match time {
                    Ok(Value::Measured(measured)) => measured.interval.hi(),
                    _ => Exact::ZERO,
                };
                assert_eq!(shown, Exact::ZERO, "{path}");
                assert_eq!(*time, scene.compute(FigureId::PreStretchTime, assembly), "{path}");
            }
        }
    }
    assert!(logs > 2, "{logs} logs");
}

/// A row that is dated after the check, by a slip of the day or the half of it, makes nothing of the other rows:
/// whoever wrote it down may have written them too.
#[test]
fn a_row_that_lies_ahead_takes_its_log_with_it() {
    let packs = PackSet::base().unwrap();
    let mut logs = 0;
    for path in common::files("shared/demo/jobs", ".yaml").iter().filter(|path| path.contains("/pass-")) {
        let job = common::job(&packs, path);
        let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
        for assembly in job.of(Subject::Assembly).unwrap() {
            let Some(rows) = assembly.facts.log(PRE_STRETCH_LOG) else { continue };
            logs += 1;
            // Judged a second before its last row was read, with all else as it is.
            let before = rows.last().unwrap().at.checked_add_seconds(Exact::from_int(-1)).unwrap();
            let scene = Scene::new(&packs, &job, before, &common::demo_zone());
            assert!(
                scene.compute(FigureId::PreStretchTime, assembly).is_err() && scene.lies_ahead(PRE_STRETCH_LOG),
                "{path}"
            );
        }
        assert!(!scene.lies_ahead(PRE_STRETCH_LOG), "{path}");
    }
    assert!(logs > 2, "{logs} logs");
}

/// "Today" is the shop's, by its zone: the offset at which the instant of the judgement is written changes nothing.
#[test]
fn one_instant_has_one_verdict_whatever_its_offset() {
    let packs = PackSet::base().unwrap();
    let offsets =
        ["2026-03-04T09:30:00-06:00", "2026-03-04T15:30:00Z", "2026-03-05T04:30:00+13:00", "2026-03-04T04:30:00-11:00"];
    for path in common::files("shared/demo/jobs", ".yaml") {
        let job = common::job(&packs, &path);
        let outcomes = offsets
            .map(|at| Scene::new(&packs, &job, Instant::parse(at).unwrap(), &common::demo_zone()).judge().findings);
        assert!(outcomes.iter().all(|found| *found == outcomes[0]), "{path}");
    }
}
