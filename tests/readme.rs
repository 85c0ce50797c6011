//! The reports shown in the README are those that the program prints at 80 columns.

use fillward::engine::Scene;
use fillward::explain::{self, AtFrom, Look, Report};
use fillward::pack::PackSet;
use fillward::record;

use crate::common;
use crate::common::parts::with_part;

const README: &str = "README.md";

/// The report on a demo job as a fenced block.
fn printed(path: &str) -> String {
    let packs = PackSet::base().unwrap();
    let document = common::document(path);
    let job = record::read(&document, packs.catalogue(), &common::demo_zone()).unwrap();
    let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
    let report = Report::new(&scene, &scene.judge(), &document, AtFrom::Given);
    format!("```text\n{}```", explain::human(&report, Look { width: 80, colour: false }))
}

#[test]
fn generated_reports_of_the_readme() {
    let mut text = common::read(README);
    for (name, path) in [
        ("a hold", "shared/demo/jobs/hold-cold-material.yaml"),
        ("a pass", "shared/demo/jobs/pass-loader-bias-used.yaml"),
    ] {
        text = with_part(&text, name, &printed(path));
    }
    common::in_step(README, &text);
}
