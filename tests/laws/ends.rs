//! What a report says where nothing is offered: the whole sentences, and nothing that merely sounds like one of them.

use fillward::engine::{self, Scene};
use fillward::explain::{AtFrom, Report};

use crate::common;

/// How a sentence begins and ends that says what is to be found out, waited for, or done first.
const WAITS: &[(&str, &str)] = &[
    ("", " is found out and recorded"),
    ("", " are found out and recorded"),
    ("", " is recorded and shows that the rule does not apply"),
    ("", " are recorded and show that the rule does not apply"),
    ("", " is put right first, and this is checked again"),
    ("more than one thing is put right: once ", " would hold the job"),
    ("the target is put right first: ", "; after that this is done as told"),
    ("it is left as it is for ", ", and is checked again then"),
    ("the row of ", ": whoever read it looks at it again first"),
    ("it stays in the cage for ", " rows are added to the log meanwhile and then, and it is checked again"),
    ("", " is recorded among the people, with the role and the training that are so"),
    ("one more person, who does what nobody does yet, ", "is there and is recorded"),
    ("it is put right as told, and the job is checked again; ", "are tried for what it takes"),
];

/// How a sentence goes on to who decides.
const GOES_ON: &[&str] =
    &["; if it stays as it is, ", "; if it stays in, ", "; if both are right, ", "; otherwise ", ", and "];

/// Who can decide to go on.
const DECIDES: &[&str] = &[
    "nobody can permit going on",
    "only the supervisor can decide to go on",
    "only the safety officer can decide to go on",
    "only by its makers' word in writing can the supervisor permit going on",
    "only by its makers' word in writing can the safety officer permit going on",
];

/// What whoever stands at the thing does where an entry can be wrong; behind it stands what the record says now.
const READS: &[(&str, &str)] = &[
    ("", " was misread, and whoever read it corrects it"),
    ("where an entry was misread, ", "whoever read it corrects it"),
    ("", " were misread, and whoever read them corrects them"),
    // Once the tyre is full.
    (
        "it was misread, and whoever read it corrects it; ",
        "otherwise it stays closed and out of use, and the makers are asked",
    ),
    ("", " whose data sheet shows otherwise"),
    ("", " whose label shows otherwise"),
    ("", " whose marking shows otherwise"),
    ("", " whose plate shows otherwise"),
    ("this is done as told, and the job is checked ", "again"),
    ("more is put right: once ", " would hold the job"),
];

/// What parts an entry that cannot be so from why it cannot.
const PUT_RIGHT: [&str; 2] = [" is put right: ", " are put right: "];

/// Whether a line says what then, from its first word to its last.
fn is_end(line: &str) -> bool {
    let line = ["or, ", "or ", "and "].into_iter().find_map(|joint| line.strip_prefix(joint)).unwrap_or(line);
    let is = |line: &str, (head, tail): &(&str, &str)| {
        line.len() > head.len() + tail.len() && line.starts_with(head) && line.ends_with(tail)
            || !head.is_empty() && line.strip_prefix(head) == Some(*tail)
    };
    let before = DECIDES.iter().find_map(|decides| line.strip_suffix(decides));
    let decided = before.and_then(|line| GOES_ON.iter().find_map(|joint| line.strip_suffix(joint)));
    // Of several ways to read something again each is one.
    let read = line.split("; or ").all(|way| {
        let way = way.strip_suffix(')').and_then(|way| Some(way.rsplit_once(" (")?.0)).unwrap_or(way);
        READS.iter().any(|form| is(way, form))
    });
    let why = |joint: &&str| line.split_once(*joint).map(|(_, why)| why);
    let put_right = PUT_RIGHT.iter().find_map(why).is_some_and(|why| why.split(' ').count() > 3);
    WAITS.iter().any(|form| is(line, form))
        || read
        || put_right
        || decided.is_some_and(|deed| deed.split(' ').count() > 3)
}

/// Whether of everything that still holds the job nothing is offered any more, and it is said what then.
pub(super) fn said_to_the_end(scene: &Scene<'_>, named: impl Fn(&engine::Finding) -> String) -> Result<(), String> {
    // What is said of a cure is said of the job alone; the report asks for the text of some record.
    let document = common::document("shared/demo/jobs/pass-loader-bias-used.yaml");
    let report = Report::new(scene, scene.judge(), &document, AtFrom::Given);
    for finding in &report.holding {
        let name = named(&finding.finding);
        let ways = engine::remedy(scene, &finding.finding).ways;
        if !ways.is_empty() {
            return Err(format!("{name} is still offered {ways:?}"));
        }
        let said = finding.clears();
        if !said.iter().any(|line| is_end(line)) {
            return Err(format!("of {name} nothing is offered, and it is not said what then: {said:?}"));
        }
    }
    Ok(())
}

/// What sounds like an end and is none.
#[test]
fn only_whole_sentences_are_ends() {
    for line in [
        "it is checked again",
        "whoever read it corrects it",
        "this is done as told",
        "core temperature was misread",
        "nobody can permit going on",
        "core temperature is found out and recorded; or it is left as it is",
        "core temperature was misread, and whoever read it corrects it; or another one",
        "the supervisor can decide to go on",
        " is found out and recorded",
        "rim width is put right: it is so",
    ] {
        assert!(!is_end(line), "{line}");
    }
    assert!(is_end("core temperature is found out and recorded"));
    assert!(is_end(
        "a rating was misread, and whoever read it corrects it (now 80 psi); or a rim is fitted whose marking shows otherwise"
    ));
    assert!(is_end("the wheel is exchanged as told; if it stays as it is, nobody can permit going on"));
}
