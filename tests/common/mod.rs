//! What several tests share: files of the project, the demo shop, and the switch that rewrites generated files.

pub(crate) mod classes;
pub(crate) mod parts;
pub(crate) mod tree;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use fillward::document::Document;
use fillward::engine::{Judgement, Scene};
use fillward::explain::{AtFrom, Report};
use fillward::pack::PackSet;
use fillward::record::{self, Job};
use fillward::units::{Instant, Zone};

/// The instant at which the demo jobs are judged.
pub(crate) const DEMO_AT: &str = "2026-03-04T09:30:00-06:00";

pub(crate) fn demo_at() -> Instant {
    Instant::parse(DEMO_AT).unwrap()
}

/// The time zone in which the demo shop lies.
pub(crate) const DEMO_ZONE: &str = "America/Chicago";

pub(crate) fn demo_zone() -> Zone {
    Zone::find(DEMO_ZONE).unwrap()
}

/// A local pack of this name that asks for these signatures, and for one thing that the demo jobs have.
pub(crate) fn local_pack(name: &str, signed_by: &str) -> String {
    let pack = include_str!("local-pack.yaml");
    pack.replacen("two-people", name, 1).replacen("supervisor, safety-officer", signed_by, 1)
}

/// A path inside the project.
pub(crate) fn project(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

pub(crate) fn read(path: &str) -> String {
    fs::read_to_string(project(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// The files of a folder with this ending, in the order of their names; paths are relative to the project.
pub(crate) fn files(folder: &str, ending: &str) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(project(folder))
        .unwrap_or_else(|error| panic!("{folder}: {error}"))
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(ending))
        .map(|name| format!("{folder}/{name}"))
        .collect();
    names.sort();
    assert!(!names.is_empty(), "{folder} has no {ending} files");
    names
}

/// Reads a document with both readers and shows its faults if it has any.
pub(crate) fn document(path: &str) -> Document {
    Document::read(path, read(path).as_bytes()).unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)))
}

pub(crate) fn job(packs: &PackSet, path: &str) -> Job {
    record::read(&document(path), packs.catalogue(), &demo_zone())
        .unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)))
}

/// Judges a job by packs at an instant, by the days of a zone.
pub(crate) fn judge(packs: &PackSet, job: &Job, at: Instant, zone: &Zone) -> Judgement {
    Scene::new(packs, job, at, zone).judge()
}

/// Hands the report of a record that is judged by the demo shop's zone to `look`.
pub(crate) fn with_report<T>(
    packs: &PackSet,
    document: &Document,
    at: Instant,
    look: impl FnOnce(&Report<'_>) -> T,
) -> T {
    let job = record::read(document, packs.catalogue(), &demo_zone()).unwrap();
    let scene = Scene::new(packs, &job, at, &demo_zone());
    look(&Report::new(&scene, scene.judge(), document, AtFrom::Given))
}

/// Holds a generated file against what the program makes now; `UPDATE_GENERATED=1` writes it instead.
pub(crate) fn in_step(path: &str, made: &str) {
    if std::env::var_os("UPDATE_GENERATED").is_some() {
        fs::write(project(path), made).unwrap();
        return;
    }
    assert_eq!(read(path), made, "{path} is out of step; run UPDATE_GENERATED=1 cargo test generated");
}

/// As [`in_step`], for a file that is no text.
pub(crate) fn bytes_in_step(path: &str, made: &[u8]) {
    if std::env::var_os("UPDATE_GENERATED").is_some() {
        fs::write(project(path), made).unwrap();
        return;
    }
    let is = fs::read(project(path)).unwrap() == made;
    assert!(is, "{path} is out of step; run UPDATE_GENERATED=1 cargo test generated");
}

/// Holds a text against its snapshot in `tests/snapshots`; `INSTA_UPDATE=always` writes it instead.
pub(crate) fn snapshot(name: &str, text: &str) {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(project("tests/snapshots"));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| insta::assert_snapshot!(name, text));
}

/// The rule names that a comment line of a record lists.
pub(crate) fn listed(text: &str, label: &str) -> BTreeSet<String> {
    text.lines()
        .take_while(|line| line.starts_with('#'))
        .filter_map(|line| line.strip_prefix(&format!("# {label}: ")))
        .flat_map(|names| names.split(',').map(|name| name.trim().to_owned()))
        .collect()
}
