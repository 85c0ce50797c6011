//! What a report tells to do now it takes for a cure, and what cannot be done any more it does not. Once the tyre is
//! full people are sent away, supports are set, nuts tightened and owners asked all the same; froth is looked at by
//! nobody when the mix has set. Common practice, no source.

use std::collections::BTreeSet;

use fillward::document::Document;
use fillward::explain::Explained;
use fillward::pack::Does;
use fillward::record;
use fillward::record::catalogue::stages::FILL_ENDED;
use fillward::units::{Exact, Instant};
use fillward::vocabulary::{HoldPoint, Outcome, Subject};
use serde_yaml::Value;

use super::jobs::PACKS;
use super::words::{flat, report_at};
use crate::common;

/// What a step tells to do now, and words by one of which `clears when` takes it up.
const DEEDS: [(&str, &[&str]); 28] = [
    ("Send everyone out of the path of flying parts, and keep", &["looked at again"]),
    ("Set supports that carry the machine where", &["looked at again"]),
    ("Find a place where the assemblies can be flat", &["looked at again"]),
    ("close both with the plugs made for them", &["looked at again"]),
    ("Put a lasting mark on wheel and sidewall", &["looked at again"]),
    ("Compare the mass of each filled assembly with", &["looked at again"]),
    ("Keep the machine off public roads", &["looked at again"]),
    ("Have somebody who runs the machine", &["looked at again"]),
    ("Have the owner of this machine accept", &["looked at again"]),
    ("Plan more hours", &["planned cure is"]),
    ("Plan at least the hours", &["planned cure is"]),
    ("Have the owner accept in writing what these", &["it is done again"]),
    ("Tell the owner in writing what", &["is recorded"]),
    ("Tell the owner the highest speed", &["measured or read again"]),
    ("Have the owner say in writing how fast", &["measured or read again"]),
    ("Measure again at the temperature of the data sheet", &["measured or read again"]),
    ("Have another person measure a second sample", &["measured or read again"]),
    ("measure the sample on the Shore A scale", &["measured or read again"]),
    ("Measure the cup of this job when", &["taken out here until the cure is over"]),
    ("find out which wheel the torque is of", &["taken out here until the cure is over"]),
    ("tighten the wheel nuts in the order", &["tightened then is recorded"]),
    ("loosen one wheel nut at a time", &["tightened then is recorded", "looked up again"]),
    ("bring the wheel nuts, and nothing else", &["tightened then is recorded", "looked up again"]),
    ("record that person with that training", &["is recorded among the people"]),
    ("until gear is there that may lift it", &["gear that may carry it is used"]),
    ("Leave out a mass that nobody knows", &["left out, and is estimated then"]),
    ("Record the crew, and who runs the pump", &["recorded so", "is there and is recorded"]),
    ("Have its owner accept in writing what this", &["looked at again", "is recorded", "is done"]),
];

/// What is found out about what was, or read off a paper, and recorded: the entry was misread, or is missing.
const FOUND_OUT: [&str; 32] = [
    "Find out",
    "find out",
    "Look up",
    "look up",
    "Look the",
    "Look them up",
    "look the need up",
    "Look for",
    "Read ",
    "read ",
    "Ask ",
    "Count ",
    "Compare size",
    "Take ",
    "Correct ",
    "See from outside",
    "Weigh ",
    "weigh ",
    "A pause between two tyres",
    "Record when the pump stopped",
    "If the planned start is that of another assembly",
    "Record the number of the work order",
    "ecord the load rating for the speed",
    "Record size, construction",
    "Record letter and maximum",
    "Record the spread of the calibration",
    "Record the rows of the log as they were read",
    "Record the torque to which the nuts are tightened then",
    // Of nuts alone, of which a test of its own asks; and one of two ways, of which the other is told.
    "If it is the nuts that hold a wheel on the vehicle",
    "Where the wheel goes to its owner loose, give",
    "Where both are right, the size alone does not tell",
    "Where the sheet does not give one of them",
];

/// Whether a step tells somebody to write something down.
fn is_recorded_by(step: &str) -> bool {
    let words: Vec<&str> = step.split(|c: char| !c.is_alphanumeric()).collect();
    words.windows(2).any(|pair| {
        let is_a_noun = ["on", "the", "a", "this", "of", "its", "own"].contains(&pair[0]);
        pair[1] == "record" && !is_a_noun || pair[1] == "Record"
    }) || words.first() == Some(&"Record")
}

/// The changed records of `tests/sole` after the fill and before service, with when they are judged: as the table says, and
/// after the fill also minutes after the pump stopped, while what is in the tyres flows, as they are and not closed yet.
fn records() -> impl Iterator<Item = (String, Value, HoldPoint, Instant)> {
    let rows = crate::sole::records().filter(|(.., point, _)| *point >= HoldPoint::AfterFill);
    rows.flat_map(|(rule, tree, point, at)| {
        let soon = (point == HoldPoint::AfterFill).then(|| soon_after(&tree)).flatten();
        let flows = soon.map(|soon| (rule.clone(), tree.clone(), point, soon));
        let open = soon.map(|soon| (rule.clone(), not_closed(&tree), point, soon));
        std::iter::once((rule, tree, point, at)).chain(flows).chain(open)
    })
}

/// The same with stem and vent of the first tyre not closed yet.
fn not_closed(tree: &Value) -> Value {
    let mut tree = tree.clone();
    if let Some(fill) = tree["assemblies"][0]["fill"].as_mapping_mut() {
        fill.insert("closed".into(), false.into());
        fill.remove("needle");
    }
    tree
}

/// Five minutes after the last end of a fill.
fn soon_after(tree: &Value) -> Option<Instant> {
    let text = serde_yaml::to_string(tree).ok()?;
    let document = Document::read("job.yaml", text.as_bytes()).ok()?;
    let job = record::read(&document, PACKS.catalogue(), &common::demo_zone()).ok()?;
    let ends = job.of(Subject::Assembly)?.iter().filter_map(|assembly| match assembly.facts.get(FILL_ENDED) {
        Some(record::Value::Instant(at)) => Some(*at),
        _ => None,
    });
    ends.max()?.checked_add_seconds(Exact::from_int(300))
}

/// Looks at each broken finding of the rule of a row.
fn each(
    rows: impl Iterator<Item = (String, Value, HoldPoint, Instant)>,
    mut look: impl FnMut(&str, &Explained<'_>, &str),
) {
    for (rule, tree, point, at) in rows {
        let text = serde_yaml::to_string(&tree).unwrap();
        let document = Document::read("job.yaml", text.as_bytes()).unwrap();
        report_at(&document, (at, point), |_, report| {
            for of in report.holding.iter().filter(|of| of.rule.name == *rule && of.finding.outcome == Outcome::Broken)
            {
                look(&format!("{}, {at}: {rule}", point.word()), of, &flat(&of.clears().join(" ")));
            }
        });
    }
}

#[test]
fn what_is_told_to_be_done_now_clears_what_it_is_told_for() {
    let (mut wrong, mut met) = (Vec::new(), BTreeSet::new());
    each(records(), |place, of, clears| {
        for step in of.steps() {
            let step = flat(&step.text);
            let deeds: Vec<_> = DEEDS.iter().filter(|(deed, _)| step.contains(deed)).collect();
            for (deed, words) in &deeds {
                met.insert(*deed);
                if !words.iter().any(|words| clears.contains(words)) {
                    wrong.push(format!("{place}: “{step}” is not among: {clears}"));
                }
            }
            if deeds.is_empty() && is_recorded_by(&step) && !FOUND_OUT.iter().any(|found| step.contains(found)) {
                wrong.push(format!("{place}: neither a deed nor found out: {step}"));
            }
        }
    });
    wrong.sort();
    assert!(wrong.is_empty(), "{}:\n{}", wrong.len(), wrong.join("\n"));
    let unmet: Vec<_> = DEEDS.iter().filter(|(deed, _)| !met.contains(deed)).collect();
    assert!(unmet.is_empty(), "deeds that no rule tells: {unmet:?}");
}

/// Words by which something is to be done about what is in the tyre.
const DONE: [&str; 6] =
    ["done as told, and it", "looked at again", "is done", "filled on", "measured or read again", "a sample is taken"];

#[test]
fn what_the_set_filling_forbids_clears_nothing() {
    let (mut wrong, mut withheld, mut offered) = (Vec::new(), 0, 0);
    each(records(), |place, of, clears| {
        let of_its_time = |does: Does| matches!(does, Does::FillsOn | Does::WhileItFlows);
        if !of.rule.told.put_right.steps.iter().any(|step| of_its_time(step.does)) {
            return;
        }
        let may = of.steps().iter().any(|step| of_its_time(step.does));
        let says = DONE.iter().find(|done| clears.contains(*done));
        match (may, says) {
            (true, Some(_)) => offered += 1,
            (false, None) => withheld += 1,
            (true, None) if !clears.contains("inside volume") && !clears.contains("end of the fill") => {
                wrong.push(format!("{place}: may still be done, and is not among: {clears}"));
            }
            (true, None) => {}
            (false, Some(says)) => wrong.push(format!("{place}: “{says}” in: {clears}")),
        }
    });
    wrong.sort();
    assert!(wrong.is_empty(), "{}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(withheld >= 10 && offered >= 5, "{withheld} {offered}");
}

/// The finding of a rule with a record of the demo shop in which some entries are changed, in the words of `clears when`.
fn clears_of(job: &str, changes: &[(&str, &str)], rule: &str) -> Vec<String> {
    let path = format!("shared/demo/carried/{job}.yaml");
    let (point, at) = crate::hold_points::judged(&path);
    let mut text = common::read(&path);
    for (old, new) in changes {
        assert!(text.contains(old), "{path}: {old}");
        text = text.replacen(old, new, 1);
    }
    let document = Document::read("job.yaml", text.as_bytes()).unwrap();
    report_at(&document, (at, point), |_, report| {
        let found = report.holding.iter().filter(|of| of.rule.name == *rule);
        found.map(|of| flat(&of.clears().join(" "))).collect()
    })
    .unwrap()
}

#[test]
fn a_needle_that_is_missing_may_be_found_and_one_that_broke_is_whole_no_more() {
    let needle = |word: &'static str| {
        let changes = [("needle: out and whole", word)];
        clears_of("3-after-fill", &changes, "needle-not-accounted-for").join(" ")
    };
    let (missing, broken) = (needle("needle: missing"), needle("needle: broken"));
    assert!(missing.contains("found whole"), "{missing}");
    assert!(!broken.contains("found whole") && broken.contains("misread"), "{broken}");
    for said in [missing, broken] {
        assert!(said.contains("stays closed and out of use"), "{said}");
    }
}

/// The nuts on the studs of a machine are tightened when the cure is over; of a wheel whose halves are bolted nobody
/// can tell which were meant, and those between the halves hold the filling in.
#[test]
fn nuts_that_hold_the_wheel_are_tightened_and_those_of_its_halves_are_not() {
    let loose = ("nuts_tight: true", "nuts_tight: false");
    let at_the_machine = clears_of("vehicle-3-after-fill", &[loose], "fault-of-the-wheel-known").join(" ");
    assert!(at_the_machine.contains("tightened as told"), "{at_the_machine}");
    let halves = [loose, ("kind: single piece", "kind: bolt-together")];
    let halves = clears_of("vehicle-3-after-fill", &halves, "fault-of-the-wheel-known").join(" ");
    assert!(!halves.contains("tightened") && halves.contains("stays closed and out of use"), "{halves}");
}
