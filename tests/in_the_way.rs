//! What stands in the way of a demand: every comparison that must come out otherwise, and no more than must.

use fillward::document::Document;
use fillward::engine::{InTheWay, Known, Scene, trace};
use fillward::record::{self, Value};
use fillward::vocabulary::Subject;

use crate::common;
use crate::remedies::pack;

/// The facts in the way, in the order of the demand, with `not` where a comparison must become false.
fn told(demands: &str, record: &str) -> Vec<String> {
    each(demands, record, |part| match part {
        InTheWay::Comparison { leaf, wanted } => {
            let place = leaf.left.paths.first().map(ToString::to_string).unwrap_or_default();
            if *wanted { place } else { format!("not {place}") }
        }
        InTheWay::List { path, recorded, .. } => {
            format!("list {}, {recorded}", path.map(ToString::to_string).unwrap_or_default())
        }
    })
}

/// What is said of each thing in the way, in the order of the demand.
fn each<T>(demands: &str, record: &str, say: impl Fn(&InTheWay<'_, '_>) -> T) -> Vec<T> {
    let packs = pack(&[("job", demands)]);
    let record = format!("record: 1\n{record}");
    let document = Document::read("job.yaml", record.as_bytes()).unwrap();
    let job = record::read_fragment(document.source(), document.root(), packs.catalogue())
        .unwrap_or_else(|faults| panic!("{:?}\n{record}", miette::Report::new(faults)));
    let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
    let traced = trace(&scene, &packs.packs()[0].rules[0].asks.demands, &scene.here(Subject::Job, Some(0)));
    traced.in_the_way().iter().map(say).collect()
}

#[test]
fn what_must_change_is_in_the_way_and_nothing_else() {
    let (ready, high) = ("{local.ready: {is: true}}", "{local.first: {at_least: 50 psi}}");
    let (neither, both) = ("local: {ready: false, first: 40 psi}", "local: {ready: true, first: 60 psi}");
    for (demands, record, due) in [
        (format!("{{all: [{ready}, {high}]}}"), neither, &["local.ready", "local.first"][..]),
        (format!("{{all: [{ready}, {high}]}}"), "local: {ready: true, first: 40 psi}", &["local.first"]),
        (format!("{{all: [{ready}, {high}]}}"), both, &[]),
        (format!("{{any: [{ready}, {high}]}}"), neither, &["local.ready", "local.first"]),
        (format!("{{any: [{ready}, {high}]}}"), both, &[]),
        (format!("{{not: {{all: [{ready}, {high}]}}}}"), both, &["not local.ready", "not local.first"]),
        (format!("{{not: {{any: [{ready}, {high}]}}}}"), both, &["not local.ready", "not local.first"]),
        (format!("{{not: {{any: [{ready}, {high}]}}}}"), "local: {ready: true, first: 40 psi}", &["not local.ready"]),
        (ready.to_owned(), "", &["local.ready"]),
    ] {
        assert_eq!(told(&demands, record), due, "{demands}, {record}");
    }
}

/// Of several subjects of which one must do, those are told that lack the least: as many as must change of each count.
#[test]
fn of_several_subjects_those_that_lack_the_least_are_told() {
    let (new, whole) = ("{assembly.tyre.state: {is: new}}", "{assembly.rim.kind: {is: single piece}}");
    let (used, split) = ("{assembly.tyre.state: {is: used}}", "{assembly.rim.kind: {is: multi-piece}}");
    let some = |meets: &str| format!("{{for_some: {{of: assembly, meets: {meets}}}}}");
    let each = |meets: &str| format!("{{for_each: {{of: assembly, meets: {meets}}}}}");
    let one = |state: &str, kind: &str| format!("{{tyre: {{state: {state}}}, rim: {{kind: {kind}}}}}");
    let two = format!("assemblies: [{}, {}]", one("used", "multi-piece"), one("new", "multi-piece"));
    let state = |place: usize| format!("assemblies[{place}].tyre.state");
    let kind = |place: usize| format!("assemblies[{place}].rim.kind");
    // All of several parts must change: the second lacks one of them, the first both.
    assert_eq!(told(&some(&format!("{{all: [{new}, {whole}]}}")), &two), [kind(1)]);
    let neither = some(&format!("{{not: {{any: [{used}, {split}]}}}}"));
    assert_eq!(told(&neither, &two), [format!("not {}", kind(1))]);
    // One of several parts is enough: both lack one.
    let marked = "{assembly.mark: {is: a}}";
    assert_eq!(
        told(&some(&format!("{{all: [{marked}, {{any: [{new}, {whole}]}}]}}")), &two),
        ["assemblies[1].mark"],
        "the first lacks its mark and one of two"
    );
    // Where either of two parts would have to become false, as many count as are true.
    let third = some(&format!("{{all: [{marked}, {{not: {{any: [{used}, {split}]}}}}]}}"));
    let record = "assemblies: [{mark: a, tyre: {state: used}, rim: {kind: multi-piece}}, \
                  {mark: b, tyre: {state: new}, rim: {kind: single piece}}]";
    assert_eq!(told(&third, record), ["assemblies[1].mark"]);
    // Each of them must do: all that they lack.
    assert_eq!(told(&each(&format!("{{all: [{new}, {whole}]}}")), &two), [state(0), kind(0), kind(1)]);
    // Of what must not hold all at once, one change is enough, however many there are.
    let meets = "{all: [{not: {all: [{assembly.tyre.state: {is: new}}, {assembly.rim.kind: {is: multi-piece}}]}}, \
                 {assembly.valve.condition: {is: sound}}]}";
    let third = |state: &str, kind: &str, valve: &str| {
        format!("{{tyre: {{state: {state}}}, rim: {{kind: {kind}}}, valve: {{condition: {valve}}}}}")
    };
    let record =
        format!("assemblies: [{}, {}]", third("new", "multi-piece", "sound"), third("used", "multi-piece", "leaking"));
    assert_eq!(
        told(&some(meets), &record),
        ["not assemblies[0].tyre.state", "not assemblies[0].rim.kind", "assemblies[1].valve.condition"]
    );
    // A list without anybody on it, and one that is not there.
    assert_eq!(told(&some(new), "assemblies: []"), ["list assemblies, true"]);
    assert_eq!(told(&some(new), ""), ["list assemblies, false"]);
}

/// What is dated after the judgement lies ahead, and what was done before it is known: an event, a reading, and the
/// instant of a reading that is asked for by itself. At the judgement itself it has been done.
#[test]
fn what_lies_ahead_is_told_from_what_was_done() {
    let seen = |demands: &str, record: &str| {
        each(demands, record, |part| match part {
            InTheWay::Comparison { leaf, .. } => match &leaf.left.known {
                Known::Ahead(_) => "ahead",
                Known::Other(Value::Instant(_)) => "an instant",
                Known::Measured(_) => "a number",
                _ => "something else",
            },
            InTheWay::List { .. } => "a list",
        })
    };
    for (demands, record, known) in [
        ("{local.done: {at_least: {moment: today, plus: 1 d}}}", "{done: AT}", "an instant"),
        (
            "{local.first.at: {at_least: {moment: today, plus: 1 d}}}",
            "{first: {reading: 40 psi, at: AT}}",
            "an instant",
        ),
        ("{local.first: {at_least: 50 psi}}", "{first: {reading: 40 psi, at: AT}}", "a number"),
    ] {
        for (at, due) in [
            ("2026-03-03T09:30:00-06:00", known),
            (common::DEMO_AT, known),
            ("2026-03-04T09:30:01-06:00", "ahead"),
            ("2026-03-05T09:30:00-06:00", "ahead"),
        ] {
            let record = format!("local: {}", record.replace("AT", at));
            assert_eq!(seen(demands, &record), [due], "{demands}, {record}");
        }
    }
}
