//! One instant is told as that from which a filled job serves: the figures and the check have the same, and once each
//! fill has ended it is that of the last of them with its cure, whatever the plan was.

use fillward::document::Document;
use fillward::explain;
use fillward::figures::FigureId;
use fillward::record::Value;
use fillward::units::{Exact, Instant};
use fillward::vocabulary::{HoldPoint, Subject};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

use super::words::{asked, report_at};
use crate::common;

/// A demo job after its fill, with when it is judged.
fn jobs() -> Vec<(String, serde_yaml::Value, Instant, HoldPoint)> {
    let files = common::files("shared/demo/carried", ".yaml").into_iter();
    let jobs = files.filter_map(|path| {
        let text = common::read(&path);
        let (at, point) = asked(&text);
        let tree: serde_yaml::Value = serde_yaml::from_str(&text).unwrap();
        let ended = ended(&tree, 0).is_some() && point >= HoldPoint::AfterFill;
        ended.then_some((path, tree, at, point))
    });
    jobs.collect()
}

/// When the pump stopped for one assembly.
fn ended(tree: &serde_yaml::Value, assembly: usize) -> Option<Instant> {
    Instant::parse(tree["assemblies"].get(assembly)?.get("fill")?.get("ended")?.as_str()?).ok()
}

#[test]
fn figures_and_check_tell_one_instant_from_which_it_serves() {
    let jobs = jobs();
    assert!(jobs.len() >= 6, "{}", jobs.len());
    let drawn = (prop::sample::select(jobs), -600..600_i64);
    TestRunner::new(super::config())
        .run(&drawn, |((path, mut tree, at, point), minutes)| {
            // The pump stopped earlier or later than it was planned.
            let moved = ended(&tree, 0).unwrap().checked_add_seconds(Exact::from_int(minutes * 60)).unwrap();
            tree["assemblies"][0]["fill"]["ended"] = moved.to_record_text().into();
            let text = serde_yaml::to_string(&tree).unwrap();
            let document = Document::read(&path, text.as_bytes()).unwrap();
            let told = report_at(&document, (at, point), |scene, report| {
                let figure = scene.compute(FigureId::ReadyAfterFill, scene.job().whole().unwrap());
                let each = scene.job().of(Subject::Assembly).unwrap().iter();
                let cured: Vec<_> = each.map(|assembly| scene.compute(FigureId::CuredAt, assembly)).collect();
                (figure, cured, report.summary.ready, explain::figures(scene, 400, false))
            });
            let (figure, cured, ready, shown) = told.unwrap();
            // An end after the check has not happened: the plan is told then, and the check tells nothing.
            let Some(ready) = ready else { return Ok(()) };
            prop_assert!(matches!(&figure, Ok(Value::Instant(at)) if *at == ready), "{figure:?} {ready}");
            prop_assert!(
                cured.iter().any(|cured| matches!(cured, Ok(Value::Instant(at)) if *at == ready)),
                "{cured:?}"
            );
            prop_assert!(
                cured.iter().all(|cured| matches!(cured, Ok(Value::Instant(at)) if *at <= ready)),
                "{cured:?}"
            );
            prop_assert!(ready > moved && shown.contains(&format!("ready to serve: {ready}")), "{shown}");
            Ok(())
        })
        .unwrap();
}
