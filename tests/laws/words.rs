//! What a report may put into a person's mouth: the safe deed first, and a value to be reached only where people bring it
//! about. On the demo jobs of every hold point, and on random records.

use std::cell::Cell;

use fillward::document::Document;
use fillward::engine::{self, Act, ActKind, Finding, Scene};
use fillward::explain::{self, AtFrom, Explained, Layout, Report};
use fillward::record::catalogue::Comes;
use fillward::record::{self, Job, Value};
use fillward::units::{Exact, Instant};
use fillward::vocabulary::{HoldPoint, Outcome, Subject};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

use super::jobs::{PACKS, made};
use crate::common;

pub(super) const WIDE: Layout = Layout { width: 80, colour: false };

pub(super) fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

pub(super) fn report_at<T>(
    document: &Document,
    (at, point): (Instant, HoldPoint),
    look: impl FnOnce(&Scene<'_>, &Report<'_>) -> T,
) -> Option<T> {
    let job: Job = record::read(document, PACKS.catalogue(), &common::demo_zone()).ok()?;
    let scene = Scene::new(&PACKS, &job, at, &common::demo_zone()).at_hold_point(point);
    Some(look(&scene, &Report::new(&scene, scene.judge(), document, AtFrom::Given)))
}

/// When and at which hold point a demo job is judged, by its first lines.
pub(super) fn asked(text: &str) -> (Instant, HoldPoint) {
    let of = |key: &str| text.lines().find_map(|line| line.strip_prefix(key)).map(str::trim);
    let at = of("# at:").map_or_else(common::demo_at, |at| Instant::parse(at).unwrap());
    (at, of("# hold point:").map_or(HoldPoint::BeforeFill, |point| HoldPoint::from_word(point).unwrap()))
}

/// Looks at the reports of the demo jobs of every hold point.
pub(super) fn each(mut look: impl FnMut(&str, &Scene<'_>, &Report<'_>)) {
    let mut count = 0;
    for folder in ["shared/demo/jobs", "shared/demo/carried"] {
        for path in common::files(folder, ".yaml") {
            let text = common::read(&path);
            let document = Document::read(&path, text.as_bytes()).unwrap();
            report_at(&document, asked(&text), |scene, report| look(&path, scene, report)).unwrap();
            count += 1;
        }
    }
    assert!(count > 100, "{count}");
}

/// Whether an act changes what stands in the record and nobody brings about.
fn rewrites(scene: &Scene<'_>, act: &Act) -> bool {
    let key = act.key();
    let subject = scene.job().of(key.subject).and_then(|entities| entities.get(act.edit.entity));
    let is_there = subject.is_some_and(|subject| subject.facts.get(key).is_some());
    is_there && PACKS.catalogue().comes_at(key, scene.hold_point()) != Comes::Made && !act.is_done_again()
}

/// The value of an act as a person would read it in a sentence.
fn shown(value: &Value) -> Option<String> {
    match value {
        Value::Text(text) => Some(format!("`{text}`")),
        Value::Measured(measured) => Some(measured.shown.to_string()),
        Value::Instant(at) => Some(at.to_string()),
        Value::Day(day) => Some(day.to_string()),
        Value::Flag(_) | Value::Words(_) | Value::Log(_) => None,
    }
}

/// The values that what clears a finding teaches although nobody brings them about.
fn taught(scene: &Scene<'_>, finding: &Explained<'_>) -> (usize, Vec<String>) {
    let remedy = engine::remedy(scene, &finding.finding);
    let ways = || remedy.ways.iter().chain(remedy.at_a_price.iter().map(|(way, _)| way));
    let acts: Vec<&Act> = ways().flat_map(|way| &way.acts).collect();
    let honest: Vec<Option<String>> =
        acts.iter().filter(|act| !rewrites(scene, act)).map(|act| shown(&act.edit.value)).collect();
    let present = |act: &Act| {
        let subject = scene.job().of(act.key().subject).and_then(|entities| entities.get(act.edit.entity));
        subject.and_then(|subject| subject.facts.get(act.key())).and_then(shown)
    };
    let now: Vec<String> = acts.iter().filter_map(|act| present(act)).collect();
    let said = finding.clears().join("\n");
    let mut tried = 0;
    let mut wrong = Vec::new();
    for act in acts.iter().filter(|act| rewrites(scene, act)) {
        tried += 1;
        let Some(value) = shown(&act.edit.value) else { continue };
        // What stands in the record is told, and a value that people bring about.
        let is_told = now.iter().any(|now| now.contains(&value)) || honest.contains(&Some(value.clone()));
        if !is_told && holds(&said, &value) {
            wrong.push(format!("{}: {value} in: {said}", finding.code()));
        }
    }
    wrong.extend(said.contains("truthfully").then(|| said.clone()));
    (tried, wrong)
}

/// Whether a sentence has the value, and not only as the end or the beginning of a longer number.
fn holds(said: &str, value: &str) -> bool {
    said.match_indices(value).any(|(start, _)| {
        let before = said.get(..start).unwrap().chars().next_back();
        let after = said.get(start + value.len()..).unwrap().chars().next();
        let is_part = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit() || c == '.');
        !is_part(before) && !after.is_some_and(|c| c.is_ascii_alphanumeric())
    })
}

/// The act that pretends a bound is open to whoever reads it: none of them is for what is stamped, found, signed, done, past
/// or logged.
#[test]
fn no_value_is_taught_that_nobody_brings_about() {
    let (mut tried, mut wrong) = (0, Vec::new());
    each(|path, scene, report| {
        for finding in report.holding.iter().chain(&report.advice) {
            let (count, found) = taught(scene, finding);
            tried += count;
            wrong.extend(found.into_iter().map(|what| format!("{path}: {what}")));
        }
    });
    assert!(wrong.is_empty(), "{} of {tried}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(tried > 100, "{tried}");

    let tried = Cell::new(0);
    let outcome = TestRunner::new(super::config()).run(&made(3), |made| {
        let (file, tree) = made.demo();
        let text = serde_yaml::to_string(&tree).unwrap();
        let Ok(document) = Document::read(file, text.as_bytes()) else { return Ok(()) };
        let found = report_at(&document, (common::demo_at(), HoldPoint::BeforeFill), |scene, report| {
            let all = report.holding.iter().map(|finding| taught(scene, finding));
            all.fold((0, Vec::new()), |(tried, mut wrong), (count, found)| {
                wrong.extend(found);
                (tried + count, wrong)
            })
        });
        let Some((count, wrong)) = found else { return Ok(()) };
        tried.set(tried.get() + count);
        prop_assert!(wrong.is_empty(), "{file}: {}", wrong.join("\n"));
        Ok(())
    });
    outcome.unwrap();
    assert!(tried.get() > 200, "{tried:?}");
}

/// The first form gives for each fault a safe deed before what clears it, counts the lines that it shows, and tells the air
/// out once, in a few steps, for the assemblies whose findings ask for it and no other.
#[test]
fn the_first_form_gives_the_safe_deed_first() {
    let mut deeds = 0;
    each(|path, scene, report| {
        let brief = explain::brief(report, WIDE);
        let [right, out] = super::said::counted(&brief);
        let counted = format!("{right} to put right · {out} to find out");
        assert_eq!(brief.contains(&counted), !report.holding.is_empty(), "{path}: {counted}\n{brief}");
        let text = flat(&brief);
        let faults: Vec<&Explained<'_>> = report
            .worklist
            .stops
            .iter()
            .flat_map(|stop| stop.faults.iter().map(|position| &report.holding[*position]))
            .collect();
        for finding in &faults {
            let first = fillward::pack::first_deed(&finding.steps()).map(flat).collect::<Vec<_>>().join(" ");
            let waits = finding.clears().iter().any(|line| line.contains("checked again"));
            assert!(waits || text.contains(&first), "{path}: {}: {first}", finding.code());
            deeds += 1;
        }
        let wanted = || faults.iter().filter(|finding| finding.rule.told.put_right.wants_air_out());
        let order = text.to_lowercase().matches("air out first: ").count();
        assert_eq!(order, usize::from(wanted().next().is_some()), "{path}\n{brief}");
        if order > 0 {
            let told = text.get(text.to_lowercase().find("air out first: ").unwrap()..).unwrap();
            let named = told.split_once(" 1. ").unwrap().0;
            let all = wanted().any(|finding| finding.rule.covers != Subject::Assembly);
            for (index, entity) in scene.job().of(Subject::Assembly).unwrap().iter().enumerate() {
                let own = wanted()
                    .any(|finding| finding.rule.covers == Subject::Assembly && finding.finding.entity == Some(index));
                // Tyres of one machine are told together, by its name and then by their places.
                let words: Vec<&str> = entity.label.split(' ').collect();
                let place = words[words.len() - 2..].join(" ");
                assert_eq!(named.contains(&place), own || all, "{path}: {named}");
            }
            assert!(told.contains(" 2. ") && !told.contains(" 8. "), "{path}: {told}");
        }
    });
    assert!(deeds > 150, "{deeds}");
}

/// What a stretch that was too short waits for is enough: rows as the last one until then clear it, and five minutes
/// less do not.
#[test]
fn a_stretch_that_goes_on_as_told_is_long_enough() {
    let text = common::read("shared/demo/jobs/hold-stretched-too-short.yaml");
    let whole: serde_yaml::Value = serde_yaml::from_str(&text).unwrap();
    let log = |tree: &serde_yaml::Value| tree["assemblies"][0]["pre_stretch"]["log"].as_sequence().unwrap().clone();
    let rows = log(&whole);
    let mut tried = 0;
    for count in 2..=rows.len() {
        let mut tree = whole.clone();
        tree["assemblies"][0]["pre_stretch"]["log"] = rows[..count].to_vec().into();
        let at = rows[count - 1]["at"].as_str().unwrap();
        let last = Instant::parse(at).unwrap();
        let told = judged(&tree, last, |report| {
            let found = report.holding.iter().find(|finding| finding.rule.name == "new-tyre-not-stretched")?;
            let said = found.clears();
            assert!(said[0].starts_with("it stays in the cage"), "{said:?}");
            let end = said[0].split_once("until ")?.1.split_once(" at the earliest")?.0.to_owned();
            Some(end)
        });
        let Some(end) = told else { continue };
        let until = |minutes: i64| {
            let mut longer = tree.clone();
            let log = longer["assemblies"][0]["pre_stretch"]["log"].as_sequence_mut().unwrap();
            let mut done = 0;
            while done < minutes {
                done = (done + 180).min(minutes);
                let at = last.checked_add_seconds(Exact::from_int(done * 60)).unwrap();
                let mut row = log.last().unwrap().clone();
                row["at"] = at.to_record_text().into();
                log.push(row);
            }
            let now = last.checked_add_seconds(Exact::from_int(minutes * 60)).unwrap();
            let names = |report: &Report<'_>| report.holding.iter().any(|of| of.rule.name == "new-tyre-not-stretched");
            (now, judged(&longer, now, names))
        };
        let enough = (1..=24 * 12).map(|steps| steps * 5).find(|minutes| !until(*minutes).1).unwrap();
        let (now, _) = until(enough);
        let told = |at: Instant| at.in_zone(&common::demo_zone()).to_string();
        assert_eq!(told(now), end, "{count} rows");
        tried += 1;
    }
    assert!(tried > 0, "{tried}");
}

fn judged<T>(tree: &serde_yaml::Value, at: Instant, look: impl FnOnce(&Report<'_>) -> T) -> T {
    let document = Document::read("job.yaml", serde_yaml::to_string(tree).unwrap().as_bytes()).unwrap();
    report_at(&document, (at, HoldPoint::BeforeFill), |_, report| look(report)).unwrap()
}

/// What is past is told without a number to be written, and what can still be done by its end on the clock.
#[test]
fn after_the_fill_the_clock_is_told_and_no_number() {
    let text = common::read("shared/demo/carried/hold-too-little-went-in.yaml");
    let (at, point) = asked(&text);
    for (began, said) in
        [("10:25", "until 11:10, the end of the pot life (45 min from 10:25)"), ("10:15", "the pot life ended 11:00")]
    {
        let text =
            text.replacen("    fill:\n", &format!("    acts: {{fill: 2026-03-04T{began}:00-06:00}}\n    fill:\n"), 1);
        assert!(text.contains("acts: {fill"), "the demo job has no fill");
        let document = Document::read("job.yaml", text.as_bytes()).unwrap();
        report_at(&document, (at, point), |_, report| {
            let brief = flat(&explain::brief(report, WIDE));
            assert!(brief.contains(said), "{brief}");
            let short = report.holding.iter().find(|finding| finding.rule.name == "too-little-went-in").unwrap();
            assert_eq!(short.outcome(), Outcome::Broken);
            let filled_on = short.clears()[0].starts_with("it is filled on as told within the pot life");
            assert_eq!(filled_on, said.starts_with("until"), "{:?}", short.clears());
            let fills_on = short.steps().iter().any(|step| step.does == fillward::pack::Does::FillsOn);
            assert_eq!(fills_on, filled_on, "{brief}");
        })
        .unwrap();
    }
}

/// An act of any kind on what nobody brings about is one that these laws see.
#[test]
fn what_the_laws_hold_is_offered_by_the_engine() {
    let mut kinds = std::collections::BTreeSet::new();
    each(|_, scene, report| {
        for finding in report.holding.iter().map(|of: &Explained<'_>| &of.finding) {
            let finding: &Finding = finding;
            for act in engine::remedy(scene, finding).ways.iter().flat_map(|way| &way.acts) {
                if rewrites(scene, act) {
                    kinds.insert(match act.kind {
                        ActKind::Number(_) | ActKind::Between { .. } | ActKind::Along { .. } => "number",
                        ActKind::ReadAgain(_) | ActKind::DateReadAgain { .. } => "read again",
                        ActKind::Moment { .. } => "moment",
                        ActKind::Becomes => "word",
                        _ => "other",
                    });
                }
            }
        }
    });
    for kind in ["number", "read again", "moment", "word"] {
        assert!(kinds.contains(kind), "{kinds:?}");
    }
}

/// A record of a fill before stem and vent are closed.
fn still_open(text: &str) -> String {
    let open = text.replacen("      needle: out and whole\n", "", 1).replacen(
        "      closed: true\n",
        "      closed: false\n",
        1,
    );
    assert_eq!(text.len() - open.len(), "      needle: out and whole\n".len() - 1, "the demo job is not closed");
    open
}

/// Who fills a tyre on raises the highest pressure with the last: the honest way out of a fill that ended too soft is
/// offered by itself, and not as one that puts the highest pressure out of order; where stem and vent are closed by the
/// record, it is not offered at all.
#[test]
fn filling_on_is_a_clean_way_out_of_a_soft_fill() {
    let closed = common::read("shared/demo/carried/3-after-fill.yaml");
    let text = still_open(&closed);
    let (at, point) = asked(&text);
    let line = |name: &str| text.lines().find(|line| line.trim_start().starts_with(name)).unwrap();
    for (text, may) in [(&text, true), (&closed, false)] {
        let soft =
            text.replacen(line("final:"), "      final: 50 psi", 1).replacen(line("peak:"), "      peak: 51 psi", 1);
        let document = Document::read("job.yaml", soft.as_bytes()).unwrap();
        report_at(&document, (at, point), |_, report| {
            let found = report.holding.iter().find(|finding| finding.rule.name == "ended-too-soft").unwrap();
            let clears = found.clears().join(" ");
            assert_eq!(clears.starts_with("it is filled on as told within the pot life"), may, "{clears}");
            let fills_on = found.steps().iter().any(|step| step.does == fillward::pack::Does::FillsOn);
            assert_eq!(fills_on, may, "{clears}");
            assert!(!may || !clears.contains("would hold the job"), "{clears}");
        })
        .unwrap();
    }
}
