//! What was so before the pump stopped can only have been written wrong: once a tyre is full, no report says that a part of
//! it is fitted, a look taken or a drum stirred, for whoever obeys it opens what is under pressure, or writes down what
//! never was. Common practice, no source.

use std::collections::BTreeSet;

use fillward::document::Document;
use fillward::vocabulary::{HoldPoint, Outcome};

use super::words::{flat, report_at};
/// Words by which something is to be done that belongs before the end of the fill.
const DONE_ANEW: [&str; 15] = [
    "replaced",
    "is fitted",
    "are used",
    "is used",
    "is done again",
    "done again from the beginning",
    "this is done, and it is measured or read again",
    "this is done, and each of them is measured or read again",
    "this is done, and it is looked at again",
    "this is done; the time",
    "this is done, and whoever does it signs",
    "this is done and recorded",
    "put right as described",
    "it is done, and",
    "is the time that is now planned",
];

/// Rules that ask for what is still done when the tyre is full, by what it is.
const STILL_DONE: [(&str, &[&str]); 5] = [
    (
        "while the mix flows a tyre is laid flat and closed, people go away, and what carries its machine is set",
        &["cure-place-not-flat", "left-open", "off-its-supports-known", "people-near-the-filled-tyre"],
    ),
    ("people are trained, fitted and assigned at every hold point", &["operator-missing", "respirator-fitted-ahead"]),
    ("a full wheel is lifted by any gear that may carry it", &["too-heavy-as-filled"]),
    (
        "the cured sample is pressed again, and the cure goes on with a new log",
        &["hardness-off-the-scale", "sample-too-hard", "sample-too-soft"],
    ),
    (
        "the wheel is marked, tightened by its manual and accepted before it goes back",
        &[
            "acceptance-old",
            "faster-than-the-filling",
            "faster-than-the-mark",
            "filled-for-the-road",
            "machine-overloaded",
            "mark-missing",
            "marked-for-no-highway",
            "speed-of-a-walker",
        ],
    ),
];

#[test]
fn nothing_from_before_the_end_of_the_fill_is_done_again() {
    let still_done: BTreeSet<&str> = STILL_DONE.iter().flat_map(|(_, rules)| rules.iter().copied()).collect();
    let (mut told, mut wrong, mut met) = (0, Vec::new(), BTreeSet::new());
    for (rule, tree, point, at) in crate::sole::records().filter(|(.., point, _)| *point >= HoldPoint::AfterFill) {
        let text = serde_yaml::to_string(&tree).unwrap();
        let document = Document::read("job.yaml", text.as_bytes()).unwrap();
        let said = report_at(&document, (at, point), |_, report| {
            let of_rule =
                report.holding.iter().filter(|of| of.rule.name == *rule && of.finding.outcome == Outcome::Broken);
            of_rule.map(|of| flat(&of.clears().join(" "))).collect::<Vec<String>>()
        });
        for said in said.into_iter().flatten() {
            told += 1;
            let Some(words) = DONE_ANEW.iter().find(|words| said.contains(*words)) else { continue };
            if let Some(rule) = still_done.get(rule.as_str()) {
                met.insert(*rule);
            } else {
                wrong.push(format!("{}: {rule}: “{words}” in: {said}", point.word()));
            }
        }
    }
    wrong.sort();
    assert!(wrong.is_empty(), "{} of {told}:\n{}", wrong.len(), wrong.join("\n"));
    let none: Vec<_> = still_done.difference(&met).collect();
    assert!(none.is_empty(), "exceptions that are none: {none:?}");
    assert!(told > 100, "{told}");
}
