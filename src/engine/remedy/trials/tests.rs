//! The bound on what is tried, by counting.

use std::fmt::Write as _;

use super::*;
use crate::document::Document;
use crate::engine::remedy::within;
use crate::pack::PackSet;
use crate::record;
use crate::units::{Instant, Zone};

/// A demo job with so many assemblies like its first, each with a target that no load needs.
fn many(assemblies: usize, change: (&str, &str)) -> String {
    let file = format!("{}/shared/demo/jobs/pass-loader-bias-used.yaml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(file).unwrap();
    let (head, rest) = text.split_once("assemblies:\n").unwrap();
    let end = rest.lines().skip(1).position(|line| !line.starts_with(' ') || line.starts_with("  - ")).unwrap() + 1;
    let one: Vec<&str> = rest.lines().take(end).collect();
    let tail: Vec<&str> = rest.lines().skip_while(|line| line.starts_with(' ')).collect();
    let one = one.join("\n");
    assert!(one.contains(change.0), "{one}");
    let one = one.replace(change.0, change.1);
    let mark = one.lines().next().and_then(|line| line.split_once("mark: ")).unwrap().1.to_owned();
    let mut text = format!("{head}assemblies:\n");
    for number in 1..=assemblies {
        writeln!(text, "{}", one.replacen(&mark, &format!("loader {number}, left front"), 1)).unwrap();
    }
    text + &tail.join("\n") + "\n"
}

/// What is tried for all findings of a record, and how many of them get anything.
fn tried(text: &str) -> (usize, usize, usize) {
    let packs = PackSet::base_with_examples().unwrap();
    let zone = Zone::find("America/Chicago").unwrap();
    let at = Instant::parse("2026-03-04T09:30:00-06:00").unwrap();
    let document = Document::read("many.yaml", text.as_bytes()).unwrap();
    let job = record::read(&document, packs.catalogue(), &zone)
        .unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)));
    let scene = Scene::new(&packs, &job, at, &zone);
    let (mut spent, mut served, mut all) = (0, 0, 0);
    for finding in scene.judge().findings.iter().filter(|finding| finding.holds()) {
        let trials = Trials::of(&scene, finding);
        let given = trials.left.get();
        let found = within(&scene, finding, &trials);
        spent += given - trials.left.get();
        served += usize::from(given > 0);
        all += 1;
        assert!(given > 0 || found.ways.is_empty(), "found by no trial");
    }
    (spent, served, all)
}

/// However many assemblies a record has, and whatever is the matter with them, no more is tried than a report is worth, but
/// for the last look of each finding.
#[test]
fn a_report_tries_no_more_than_it_is_worth() {
    for change in [("pressure: 60 psi", "pressure: 20 psi"), ("size: 17.5-25", "inside_volume: 1 L")] {
        for assemblies in [3, 96, 200] {
            let (spent, served, all) = tried(&many(assemblies, change));
            assert!(all >= assemblies, "{assemblies}: only {all} findings");
            assert!(served > 0 && spent <= OF_A_REPORT, "{assemblies}: {spent} tried for {served} of {all}");
        }
    }
}

/// A job as a shop has it gets all that it can use.
#[test]
fn a_job_of_a_few_tyres_is_never_cut_off() {
    let folder = format!("{}/shared/demo/jobs", env!("CARGO_MANIFEST_DIR"));
    let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let held = files.filter(|file| file.file_name().is_some_and(|name| name.to_string_lossy().starts_with("hold-")));
    let mut most = 0;
    for file in held {
        let (spent, served, all) = tried(&std::fs::read_to_string(&file).unwrap());
        assert_eq!(served, all, "{}", file.display());
        most = most.max(spent);
    }
    assert!(0 < most && most < OF_A_REPORT / 2, "{most}");
}
