//! Files made from the program, or from others of the project, held in step with what they are made from.

mod changes;
mod layout;
mod short;

use std::collections::BTreeMap;

use fillward::document::Source;
use fillward::pack::PackSet;
use fillward::units::Instant;
use serde_yaml::{Mapping, Value};

use crate::common;
use changes::Changes;

#[test]
fn record_schema() {
    let schema = fillward::record::generate_schema();
    common::in_step("schemas/job-record.schema.json", &(serde_json::to_string_pretty(&schema).unwrap() + "\n"));
}

#[test]
fn shop_schemas() {
    for (name, schema) in [
        ("shop", fillward::record::shop::generate_schema()),
        ("short-record", fillward::record::shop::generate_short_schema()),
    ] {
        let text = serde_json::to_string_pretty(&schema).unwrap() + "\n";
        common::in_step(&format!("schemas/{name}.schema.json"), &text);
    }
}

/// The base pack as judgements take it up, in step with its texts.
#[test]
fn base_pack_made_ready() {
    let files = PackSet::base_files().iter();
    let texts: Vec<Source> = files.map(|(name, text)| Source::new(*name, *text)).collect();
    let made = PackSet::made_ready(&fillward::checklist::packs::sources_digest(texts.iter()))
        .unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)));
    common::bytes_in_step("rules/tyre-fill.ready", &made);
}

const SOURCE: &str = "shared/demo/source";
const JOBS: &str = "shared/demo/jobs";
const SHORT: &str = "shared/demo/short";
/// The jobs that cannot be said short with the demo's shop file, and why.
const LONG_ONLY: &[(&str, &str)] = &[
    ("hold-all-wrong-at-the-pump", "the slip is in what the shop file states: a ratio that was last checked long ago"),
    ("hold-another-century", "the slip is in what the shop file states: last days of a gauge, a thermometer and a lot"),
    ("hold-bar-for-psi", "the slip is in what the shop file states: the scale of a gauge"),
    ("hold-boiling-drums", "the slip is in what the shop file states: the scale of a thermometer, the mix of a cycle"),
    ("hold-one-label-read-twice", "a lot of the one side that is named for the other is refused"),
    ("pass-on-the-limits", "its shop is another one, in which everything has its last day"),
];

/// One job carried through every hold point, and what is held on the way.
const CARRIED: &str = "shared/demo/carried";
/// The same in its short form.
const CARRIED_SHORT: &str = "shared/demo/carried-short";

/// The one full record: what is true of a job, then what is true of the shop.
fn full() -> Value {
    let mut whole = Mapping::new();
    for part in ["full-job", "full-shop"] {
        let read: Mapping = serde_yaml::from_str(&common::read(&format!("{SOURCE}/{part}.yaml"))).unwrap();
        whole.extend(read);
    }
    Value::Mapping(whole)
}

/// The record of a demo job by its changes, and those of the record that it is made from.
fn record(name: &str, stated: &BTreeMap<String, (String, Changes)>, full: &Value, below: usize) -> Value {
    assert!(below < stated.len(), "{name} is made from itself");
    if name == "full" {
        return full.clone();
    }
    let (_, changes) = stated.get(name).unwrap_or_else(|| panic!("there is no job `{name}` to start from"));
    let from = record(&changes.from, stated, full, below + 1);
    changes::applied(&from, changes)
}

/// Every demo job is made from the full record and its stated changes; its story stands at the head of these.
#[test]
fn demo_jobs() {
    let packs = PackSet::base().unwrap();
    let (full, shortening) = (full(), short::Shortening::new(&packs));
    let order: Vec<&str> = full.as_mapping().unwrap().keys().map(|key| key.as_str().unwrap()).collect();
    let sources = |folder: &str| common::files(&format!("{SOURCE}/{folder}"), ".yaml");
    let stated: BTreeMap<String, (String, Changes)> = sources("jobs")
        .into_iter()
        .chain(sources("carried"))
        .map(|path| {
            let text = common::read(&path);
            let changes = serde_yaml::from_str(&text).unwrap_or_else(|error| panic!("{path}: {error}"));
            let name = path.rsplit('/').next().unwrap().strip_suffix(".yaml").unwrap().to_owned();
            (name, (text, changes))
        })
        .collect();
    let (mut shortened, mut jobs, mut carried, mut carried_short) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    let mut wrong: Vec<String> = Vec::new();
    for (name, (text, changes)) in &stated {
        let is_job = sources("jobs").contains(&format!("{SOURCE}/jobs/{name}.yaml"));
        let path = format!("{}/{name}.yaml", if is_job { JOBS } else { CARRIED });
        if is_job { &mut jobs } else { &mut carried }.push(path.clone());
        let story: String =
            text.lines().take_while(|line| line.starts_with('#')).flat_map(|line| [line, "\n"]).collect();
        let mut made = record(name, &stated, &full, 0);
        let Value::Mapping(made) = &mut made else { panic!("{name}: no record") };
        let mut entries: Vec<_> = std::mem::take(made).into_iter().collect();
        entries
            .sort_by_key(|(key, _)| order.iter().position(|known| Some(*known) == key.as_str()).unwrap_or(order.len()));
        let long: Mapping = entries.into_iter().collect();
        let body = layout::text(&long, &changes.notes);
        common::in_step(&path, &format!("{story}\n{}", body.trim_start()));
        // What is checked before the demo morning has not seen its rounds yet.
        let stated_at = story.lines().find_map(|line| line.strip_prefix("# at: "));
        let at = stated_at.map_or_else(common::demo_at, |at| Instant::parse(at).unwrap().min(common::demo_at()));
        let short = shortening.of(&Value::Mapping(long), at);
        let reason = LONG_ONLY.iter().find(|(long_only, _)| long_only == name);
        if short.is_none() != reason.is_some() {
            wrong.push(name.clone());
        }
        if let Some(Value::Mapping(short)) = short {
            let body = layout::text(&short, &BTreeMap::new());
            let path = format!("{}/{name}.yaml", if is_job { SHORT } else { CARRIED_SHORT });
            common::in_step(&path, &format!("{story}\n{}", body.trim_start()));
            if is_job { &mut shortened } else { &mut carried_short }.push(path);
        }
    }
    assert!(wrong.is_empty(), "{wrong:?} have a short form, or no reason why they have none");
    assert_eq!(common::files(JOBS, ".yaml"), jobs, "jobs without stated changes");
    assert_eq!(common::files(CARRIED, ".yaml"), carried, "records that nothing makes");
    assert!(LONG_ONLY.iter().all(|(name, _)| stated.contains_key(*name)), "a job that is no more");
    assert_eq!(common::files(SHORT, ".yaml"), shortened, "short records that nothing makes");
    assert_eq!(common::files(CARRIED_SHORT, ".yaml"), carried_short, "short records that nothing makes");
}
