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

/// What is tried for all findings that hold a record, how many of them get anything, how many there are, and how many would
/// get enough by what a report is worth; all, where each has enough by an equal share.
fn tried(text: &str) -> [usize; 4] {
    let packs = PackSet::base_with_examples().unwrap();
    let zone = Zone::find("America/Chicago").unwrap();
    let at = Instant::parse("2026-03-04T09:30:00-06:00").unwrap();
    let document = Document::read("many.yaml", text.as_bytes()).unwrap();
    let job = record::read(&document, packs.catalogue(), &zone)
        .unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)));
    let scene = Scene::new(&packs, &job, at, &zone);
    let (mut spent, mut served, mut all, mut due) = (0, 0, 0, 0);
    let judgement = scene.judge();
    let open = judgement.findings.iter().filter(|finding| finding.outcome.is_fault()).count();
    for finding in judgement.findings.iter().filter(|finding| finding.holds()) {
        let trials = Trials::of(&scene, finding);
        let given = trials.left.get();
        let found = within(&scene, finding, &trials);
        spent += given - trials.left.get();
        served += usize::from(given > 0);
        all += 1;
        let enough = WORTH_IT * trials.copy;
        due = if OF_A_REPORT / open >= enough { all } else { OF_A_REPORT / enough };
        assert!(given > 0 || found.ways.is_empty(), "found by no trial");
    }
    [spent, served, all, due]
}

/// Each search for a finding has steps of its own, and all of them share what may be looked at.
#[test]
fn each_search_has_its_own_steps() {
    let trials = Trials { left: Cell::new(1_000), steps: Cell::new(STEPS), copy: 1 };
    let steps = || std::iter::repeat_with(|| trials.step()).take_while(|may| *may).count();
    assert_eq!((steps(), steps()), (STEPS - 1, 0));
    trials.search();
    assert_eq!(steps(), STEPS - 1);
    assert!(trials.look(999) && trials.copy());
    assert!(!trials.look(1) && !trials.copy());
    trials.search();
    assert_eq!(steps(), 0);
}

/// However many assemblies a record has, and whatever is the matter with them, no more is tried than a report is worth, and
/// what it is worth is not left lying: as many findings are served as there is enough for, but for those that are advice.
#[test]
fn a_report_tries_no_more_than_it_is_worth() {
    for change in [("pressure: 60 psi", "pressure: 20 psi"), ("size: 17.5-25", "inside_volume: 1 L")] {
        for assemblies in [3, 96, 200] {
            let [spent, served, all, due] = tried(&many(assemblies, change));
            assert!(all >= assemblies, "{assemblies}: only {all} findings");
            assert!(spent <= OF_A_REPORT, "{assemblies}: {spent} tried for {served} of {all}");
            assert!(
                0 < due && due / 2 < served && served <= due,
                "{assemblies}: {served} of {all} served, and not {due}"
            );
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
        let [spent, served, all, _] = tried(&std::fs::read_to_string(&file).unwrap());
        assert_eq!(served, all, "{}", file.display());
        most = most.max(spent);
    }
    assert!(0 < most && most < OF_A_REPORT / 2, "{most}");
}
