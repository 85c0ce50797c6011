//! Cures cure: what is offered for a finding is done to the record, and the finding is gone; whoever obeys again and again
//! comes to a PASS, unless something is the matter that nobody can change any more.

use fillward::document::Document;
use fillward::engine::{self, ActKind, Finding, Outcome, Scene, Verdict, Way};
use fillward::pack::PackSet;
use fillward::record::{self, FactKey, Job, Kind, Measured};
use fillward::units::Dimension;
use fillward::vocabulary::Subject;
use serde_yaml::{Mapping, Value};

use super::jobs::{DEMO, PACKS};
use crate::common;

/// The record after the acts of a way, as somebody would write it who had done them.
fn obeyed(packs: &PackSet, job: &Job, tree: &Value, way: &Way) -> Value {
    let mut tree = tree.clone();
    for act in &way.acts {
        let key = act.key();
        let spec = packs.catalogue().spec(key).unwrap();
        let mut place = list_place(&mut tree, job, key, act.edit.entity);
        for part in spec.name.split('.') {
            if !place.is_mapping() {
                *place = Value::Mapping(Mapping::new());
            }
            place = place.as_mapping_mut().unwrap().entry(part.into()).or_insert(Value::Null);
        }
        *place = written(place, &spec.kind, &act.edit.value, &act.kind);
    }
    tree
}

/// The mapping of the subject that an act changes.
fn list_place<'t>(tree: &'t mut Value, job: &Job, key: FactKey, entity: usize) -> &'t mut Value {
    let Some(list) = key.subject.record_key() else { return tree };
    let lists = tree.as_mapping_mut().unwrap().entry(list.into()).or_insert(Value::Null);
    if key.subject == Subject::Component {
        if !lists.is_mapping() {
            *lists = Value::Mapping(Mapping::new());
        }
        let side = job.of(key.subject).unwrap()[entity].label.clone();
        return lists.as_mapping_mut().unwrap().entry(side.into()).or_insert(Value::Mapping(Mapping::new()));
    }
    if !lists.is_sequence() {
        *lists = Value::Sequence(Vec::new());
    }
    let items = lists.as_sequence_mut().unwrap();
    while items.len() <= entity {
        items.push(Value::Mapping(Mapping::new()));
    }
    &mut items[entity]
}

fn written(before: &Value, kind: &Kind, value: &record::Value, act: &ActKind) -> Value {
    match value {
        record::Value::Text(text) => Value::String(text.to_string()),
        record::Value::Flag(flag) => Value::Bool(*flag),
        record::Value::Instant(instant) => Value::String(instant.to_record_text()),
        record::Value::Day(day) => Value::String(day.to_record_text()),
        record::Value::Words(words) => words.iter().map(|word| Value::String(word.to_string())).collect(),
        record::Value::Log(_) => panic!("no cure writes a log"),
        record::Value::Measured(measured) => {
            let text = measured.shown.to_record_text();
            match kind {
                Kind::Count => serde_yaml::from_str(&text).unwrap(),
                Kind::Reading(_) => reading(before, measured, &text, act),
                _ => Value::String(text),
            }
        }
    }
}

fn reading(before: &Value, measured: &Measured, text: &str, act: &ActKind) -> Value {
    let mut map = before.as_mapping().cloned().unwrap_or_default();
    map.insert("reading".into(), text.into());
    if let Some(at) = measured.at {
        map.insert("at".into(), at.to_record_text().into());
    }
    let instrument = if measured.shown.dimension() == Dimension::Temperature { "thermometer" } else { "gauge" };
    if let (ActKind::Instrument, Some(mark)) = (act, &measured.instrument) {
        map.insert(instrument.into(), mark.to_string().into());
    }
    if let (ActKind::Instrument, Some(stated)) = (act, measured.stated) {
        let unit = measured.shown.unit().of_difference();
        let doubt = fillward::units::Quantity::from_base(stated, unit).unwrap();
        map.insert("uncertainty".into(), doubt.to_record_text().into());
    }
    Value::Mapping(map)
}

fn read(packs: &PackSet, tree: &Value) -> Result<Job, String> {
    let text = serde_yaml::to_string(tree).unwrap();
    let document = Document::read("job.yaml", text.as_bytes()).map_err(|faults| format!("{faults:?}\n{text}"))?;
    record::read(&document, packs.catalogue(), &common::demo_zone())
        .map_err(|faults| format!("{:?}", miette::Report::new(faults)))
}

fn named(scene: &Scene<'_>, finding: &Finding) -> (String, String) {
    let subject = scene.entity(finding).map_or_else(String::new, |entity| entity.label.clone());
    (scene.rule(finding).unwrap().name.clone(), subject)
}

#[test]
fn every_way_offered_clears_its_finding() {
    let packs = &*PACKS;
    let (mut wrong, mut none, mut tried) = (Vec::new(), Vec::new(), 0);
    for (file, tree) in DEMO.iter().filter(|(file, _)| file.contains("/hold-")) {
        let job = read(packs, tree).unwrap();
        let scene = Scene::new(packs, &job, common::demo_at(), &common::demo_zone());
        for finding in scene.judge().findings.iter().filter(|finding| finding.holds()) {
            let remedy = engine::remedy(&scene, finding);
            let (rule, subject) = named(&scene, finding);
            if remedy.ways.is_empty() {
                none.push(format!("{file}: {rule} of {subject} ({})", finding.outcome.word()));
            }
            for way in &remedy.ways {
                tried += 1;
                let what = format!("{file}: {rule} of {subject}: {way:?}");
                match read(packs, &obeyed(packs, &job, tree, way)) {
                    Err(why) => wrong.push(format!("{what}\n{why}")),
                    Ok(job) => {
                        let scene = Scene::new(packs, &job, common::demo_at(), &common::demo_zone());
                        // A list that was not there has one subject now.
                        let entity = Some(finding.entity.unwrap_or_default());
                        let same = |f: &Finding| (f.pack, f.rule, f.entity) == (finding.pack, finding.rule, entity);
                        let outcome = scene.judge().findings.into_iter().find(same).map(|found| found.outcome);
                        if !matches!(outcome, Some(Outcome::Met | Outcome::DoesNotApply)) {
                            wrong.push(format!("{what}\n{outcome:?}"));
                        }
                    }
                }
            }
        }
    }
    println!("{tried} ways; without one: {}\n{}", none.len(), none.join("\n"));
    assert!(wrong.is_empty(), "{} of {tried}:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn obeying_again_and_again_ends_in_a_pass() {
    let packs = &*PACKS;
    let mut stuck = Vec::new();
    for (file, tree) in DEMO.iter().filter(|(file, _)| file.contains("/hold-")) {
        let mut tree = tree.clone();
        let mut left = Vec::new();
        let mut beyond = false;
        for _ in 0..5 {
            let job = match read(packs, &tree) {
                Ok(job) => job,
                Err(why) => {
                    left = vec![why];
                    break;
                }
            };
            let scene = Scene::new(packs, &job, common::demo_at(), &common::demo_zone());
            let judgement = scene.judge();
            left = judgement.findings.iter().filter(|f| f.holds()).map(|f| format!("{:?}", named(&scene, f))).collect();
            if judgement.verdict == Verdict::Pass {
                break;
            }
            let held = || judgement.findings.iter().filter(|finding| finding.holds());
            beyond = held().any(|finding| engine::remedy(&scene, finding).ways.is_empty());
            for held in judgement.findings.iter().filter(|finding| finding.holds()) {
                // What was obeyed before may have done for this one too.
                let Ok(job) = read(packs, &tree) else { break };
                let scene = Scene::new(packs, &job, common::demo_at(), &common::demo_zone());
                let same = |f: &Finding| (f.pack, f.rule, f.entity) == (held.pack, held.rule, held.entity);
                let found = scene.judge().findings.into_iter().find(same).filter(Finding::holds);
                if let Some(way) = found.and_then(|found| engine::remedy(&scene, &found).ways.into_iter().next()) {
                    tree = obeyed(packs, &job, &tree, &way);
                }
            }
        }
        if !left.is_empty() && !beyond {
            stuck.push(format!("{file}: {left:?}"));
        }
    }
    assert!(stuck.is_empty(), "{}", stuck.join("\n"));
}
