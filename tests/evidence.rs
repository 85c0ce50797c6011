//! Evidence as data: which comparisons are told as having decided a finding, where each fact stands, and what was known.

use fillward::document::Document;
use fillward::engine::{BoundOrigin, ComparedWith, Comparison, FactValue, Known, Scene, Trace, trace};
use fillward::pack::PackSet;
use fillward::pack::test::WasAsked;
use fillward::record::{self, Value};
use fillward::units::{Quantity, Rounding, Truth};
use fillward::vocabulary::Subject;

use crate::common;
use crate::remedies::{pack, text};

fn number(quantity: Quantity) -> String {
    let unit = quantity.unit().symbol();
    format!(
        "{} {unit}",
        quantity.value().to_decimal_exact(4).unwrap_or_else(|| quantity.value().to_decimal(4, Rounding::Nearest))
    )
    .trim_end()
    .to_owned()
}

fn known(known: &FactValue<'_>) -> String {
    match known {
        FactValue::Is(Value::Measured(measured)) => number(measured.shown),
        FactValue::Is(value) => text(value),
        FactValue::Made(value) => text(value),
        FactValue::Word(word) => (*word).to_owned(),
        FactValue::Number { low, high } if low == high => number(*low),
        FactValue::Number { low, high } => format!("{} to {}", number(*low), number(*high)),
        FactValue::NotRecorded => "not recorded".to_owned(),
        FactValue::Ahead(at) => format!("ahead, {}", at.to_record_text()),
        FactValue::Obstacle(obstacle) => obstacle.code().to_owned(),
    }
}

fn bound(bound: &ComparedWith<'_>) -> String {
    let origin = |origin: &BoundOrigin<'_>| match origin {
        // The packs of these tests name one limit.
        BoundOrigin::Limit(_) => " (limit)".to_owned(),
        BoundOrigin::Fact(path) => format!(" ({path})"),
        BoundOrigin::Judgement => " (judgement)".to_owned(),
        BoundOrigin::Start => " (start)".to_owned(),
        BoundOrigin::Today => " (today)".to_owned(),
    };
    format!(" {}{}", known(&bound.value), bound.origins.iter().map(origin).collect::<String>())
}

fn line(of: &Comparison<'_>) -> String {
    let bounds: String = of.bounds.iter().map(bound).collect();
    let truth = match of.truth {
        Truth::True => "yes",
        Truth::False => "no",
        Truth::Unknown => "open",
    };
    format!("{}: {} {}{bounds}, {truth}", of.fact, known(&of.value), of.asked)
}

/// What decided the first finding of the rule, and the place of its subject.
fn decided(covers: &str, demands: &str, record: &str) -> (String, Vec<String>) {
    let packs = pack(&[(covers, demands)]);
    let record = format!("record: 1\n{record}");
    let document = Document::read("job.yaml", record.as_bytes()).unwrap();
    let job = record::read_fragment(document.source(), document.root(), packs.catalogue())
        .unwrap_or_else(|faults| panic!("{:?}\n{record}", miette::Report::new(faults)));
    let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
    let finding = scene.judge().findings[0];
    let evidence = scene.evidence(&finding);
    assert!(evidence.applies.is_empty(), "the rule always applies");
    (scene.place(&finding).to_string(), evidence.demands.iter().map(line).collect())
}

fn hold(rows: &[(&str, &str, &[&str])]) {
    for (demands, record, due) in rows {
        assert_eq!(decided("job", demands, record).1, *due, "{demands}, {record}");
    }
}

#[test]
fn a_comparison_says_where_and_what_and_of_what_its_bound_is_made() {
    let both = "local: {first: 40 psi, second: 50 psi}";
    hold(&[
        ("{local.first: {at_least: 30 psi}}", both, &["local.first: 40 psi at_least 30 psi, yes"]),
        ("{local.first: {at_least: {limit: least}}}", both, &["local.first: 40 psi at_least 50 psi (limit), no"]),
        (
            "{local.first: {at_least: {limit: least, plus: 2 psi, times: 2}}}",
            both,
            &["local.first: 40 psi at_least 102 psi (limit), no"],
        ),
        (
            "{local.first: {at_least: {fact: local.second, plus: {limit: least}}}}",
            both,
            &["local.first: 40 psi at_least 100 psi (local.second) (limit), no"],
        ),
        (
            "{local.first: {at_least: {fact: local.second}}}",
            "local: {first: 40 psi, second: {reading: 50 psi, uncertainty: 1 psi}}",
            &["local.first: 40 psi at_least 49 psi to 51 psi (local.second), no"],
        ),
        (
            "{local.first: {at_least: {fact: local.second}}}",
            "local: {first: 40 psi}",
            &["local.first: 40 psi at_least not recorded (local.second), open"],
        ),
        (
            "{local.first: {between: [30 psi, {fact: local.second}]}}",
            both,
            &["local.first: 40 psi between 30 psi 50 psi (local.second), yes"],
        ),
        ("{local.colour: {one_of: [red, blue]}}", "local: {colour: red}", &["local.colour: red one_of red blue, yes"]),
        ("{local.note: {recorded: true}}", "", &["local.note: not recorded recorded true, no"]),
        (
            "{planned_start: {at_least: {moment: judgement}}}",
            "planned_start: 2026-03-04T09:00:00-06:00",
            &["planned_start: 2026-03-04T09:00:00-06:00 at_least 2026-03-04T09:30:00-06:00 (judgement), no"],
        ),
        (
            "{local.seen: {at_least: {moment: today}}}",
            "local: {seen: 2026-03-04}",
            &["local.seen: 2026-03-04 at_least 2026-03-04 (today), yes"],
        ),
        // The instrument of a reading, by the word of its kind.
        (
            "{workspace.temperature.instrument: {recorded: true}}",
            "workspace: {temperature: 70 degF}",
            &["workspace.temperature.thermometer: not recorded recorded true, no"],
        ),
        (
            "{local.first.instrument: {recorded: true}}",
            "local: {first: 40 psi}",
            &["local.first.gauge: not recorded recorded true, no"],
        ),
        // Of a reading whose age is asked, its instant.
        (
            "{local.first: {read_within: 2 h}}",
            "local: {first: {reading: 40 psi, at: 2026-03-04T09:00:00-06:00}}",
            &["local.first.at: 2026-03-04T09:00:00-06:00 read_within 2 h, yes"],
        ),
    ]);
}

/// What is dated after the judgement is told as that, and what is dated at it is not.
#[test]
fn what_lies_ahead_is_told_as_that() {
    let at = |at: &str| format!("local: {{done: {at}, first: {{reading: 40 psi, at: {at}}}}}");
    let (now, later) = ("2026-03-04T09:30:00-06:00", "2026-03-04T09:30:01-06:00");
    let done = "{local.done: {at_most: {moment: start}}}";
    let first = "{local.first: {at_least: 30 psi}}";
    let read = "{local.first.at: {at_most: {moment: start}}}";
    hold(&[
        (done, &at(now), &[&format!("local.done: {now} at_most {now} (start), yes")]),
        (done, &at(later), &[&format!("local.done: ahead, {later} at_most {now} (start), open")]),
        (first, &at(now), &["local.first: 40 psi at_least 30 psi, yes"]),
        (first, &at(later), &[&format!("local.first: ahead, {later} at_least 30 psi, open")]),
        (read, &at(later), &[&format!("local.first.at: ahead, {later} at_most {now} (start), open")]),
        // What is planned may well lie ahead.
        (
            "{planned_start: {at_least: {moment: judgement}}}",
            &format!("planned_start: {later}"),
            &[&format!("planned_start: {later} at_least {now} (judgement), yes")],
        ),
    ]);
}

#[test]
fn only_what_decided_is_told() {
    let (high, ready) = ("{local.first: {at_least: 50 psi}}", "{local.ready: {is: true}}");
    let all = format!("{{all: [{high}, {ready}]}}");
    let any = format!("{{any: [{high}, {ready}]}}");
    let record = |first: u32, ready: bool| format!("local: {{first: {first} psi, ready: {ready}}}");
    let first = |first: u32, truth: &str| format!("local.first: {first} psi at_least 50 psi, {truth}");
    let flag = |ready: bool| format!("local.ready: {ready} is true, {}", if ready { "yes" } else { "no" });
    hold(&[
        (&all, &record(60, true), &[&first(60, "yes"), &flag(true)]),
        (&all, &record(60, false), &[&flag(false)]),
        (&all, &record(40, false), &[&first(40, "no"), &flag(false)]),
        (&any, &record(60, false), &[&first(60, "yes")]),
        (&any, &record(60, true), &[&first(60, "yes"), &flag(true)]),
        (&any, &record(40, false), &[&first(40, "no"), &flag(false)]),
        (&format!("{{not: {all}}}"), &record(60, false), &[&flag(false)]),
        (&format!("{{not: {any}}}"), &record(60, false), &[&first(60, "yes")]),
        // What is open stands in the way as what is false does.
        (&all, "local: {first: 60 psi}", &["local.ready: not recorded is true, open"]),
        // One comparison that stands there twice is told once.
        (
            &format!("{{any: [{{all: [{high}, {ready}]}}, {{all: [{high}, {{local.note: {{recorded: true}}}}]}}]}}"),
            "local: {first: 60 psi, ready: true, note: said}",
            &[&first(60, "yes"), &flag(true), "local.note: said recorded true, yes"],
        ),
    ]);
}

#[test]
fn of_a_list_those_are_told_that_decided() {
    let operators = |word: &str| format!("{{{word}: {{of: person, meets: {{person.role: {{is: operator}}}}}}}}");
    let (each, some) = (operators("for_each"), operators("for_some"));
    let people = "people: [{name: A, role: operator}, {name: B, role: supervisor}, {name: C}]";
    hold(&[
        (
            &each,
            people,
            &["people[1].role: supervisor is operator, no", "people[2].role: not recorded is operator, open"],
        ),
        (&some, people, &["people[0].role: operator is operator, yes"]),
        (&each, "people: []", &["people: [] for_each, yes"]),
        (&some, "people: []", &["people: [] for_some, no"]),
        (&each, "", &["people: not recorded for_each, open"]),
        (&some, "", &["people: not recorded for_some, open"]),
        (
            "{for_each: {of: local.found, meets: {item: {is_not: crack}}}}",
            "local: {found: [dent, crack]}",
            &["local.found[1]: crack is_not crack, no"],
        ),
        (
            "{for_each: {of: local.found, meets: {item: {is_not: crack}}}}",
            "",
            &["local.found: not recorded for_each, open"],
        ),
    ]);
}

#[test]
fn a_finding_stands_where_its_subject_does() {
    let operator = "{person.role: {is: operator}}";
    let told = |record: &str| decided("each person", operator, record);
    let line = |text: &str| vec![text.to_owned()];
    assert_eq!(
        told("people: [{role: operator}]"),
        ("people[0]".to_owned(), line("people[0].role: operator is operator, yes"))
    );
    assert_eq!(told(""), ("people".to_owned(), line("people: not recorded recorded, open")));
    assert_eq!(decided("job", "{local.ready: {is: true}}", "").1, ["local.ready: not recorded is true, open"]);
    // A figure stands under its subject; what it lacks is not the evidence's to tell.
    let window = decided(
        "each assembly",
        "{assembly.figure.pressure_window: {at_least: 5 psi}}",
        "assemblies: [{mark: a}, {mark: b}]",
    );
    assert_eq!(window.0, "assemblies[0]");
    assert_eq!(window.1, ["assemblies[0].figure.pressure_window: not recorded at_least 5 psi, open"]);
}

/// The names by which reports call subjects.
#[test]
fn a_subject_is_called_as_the_record_calls_it() {
    let packs = PackSet::base().unwrap();
    let job = common::job(&packs, "shared/demo/jobs/pass-loader-bias-used.yaml");
    let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
    assert_eq!(scene.label(Subject::Component, 1), Some("polyol"));
    assert_eq!(scene.label(Subject::Component, 2), None);
    for finding in &scene.judge().findings {
        let entity = scene.entity(finding).unwrap();
        let covers = scene.rule(finding).unwrap().covers;
        assert_eq!(entity.label, job.of(covers).unwrap()[finding.entity.unwrap()].label);
        assert_eq!(scene.place(finding), entity.path);
    }
}

/// The comparisons of a trace with what each came to: the test that was asked, what is known and its truth.
fn leaves(trace: &Trace<'_>, found: &mut Vec<(String, String, Truth)>) {
    match trace {
        Trace::All(_, parts) | Trace::Any(_, parts) => parts.iter().for_each(|part| leaves(part, found)),
        Trace::Not(_, inner) => leaves(inner, found),
        Trace::Elements { parts, .. } => parts.iter().for_each(|(_, part)| leaves(part, found)),
        Trace::Leaf(leaf) => {
            let known = match &leaf.left.known {
                Known::Measured(measured) => number(measured.shown),
                Known::Number { low, high } if low == high => number(*low),
                Known::Number { low, high } => format!("{} to {}", number(*low), number(*high)),
                Known::Other(value) => text(value),
                Known::NotRecorded => "not recorded".to_owned(),
                Known::Ahead(at) => format!("ahead, {}", at.to_record_text()),
                Known::Obstacle(obstacle) => obstacle.code().to_owned(),
            };
            let row = leaf.leaf.test.row();
            // Of what is asked for its age a report shows the reading, and a signed file when it was taken.
            found.push((row.word.to_owned(), if row.asks_age() { String::new() } else { known }, leaf.truth));
        }
    }
}

/// Signed files hold the evidence, and reports show the trace. Both tell of every demo job the same comparisons.
#[test]
fn what_is_signed_is_what_is_shown() {
    let packs = PackSet::base().unwrap();
    let mut count = 0;
    for path in common::files("shared/demo/jobs", ".yaml") {
        let job = common::job(&packs, &path);
        let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
        for finding in scene.judge().findings {
            let (Some(rule), Some(entity)) = (scene.rule(&finding), finding.entity) else { continue };
            let here = scene.here(rule.covers, Some(entity));
            let mut shown = Vec::new();
            leaves(&trace(&scene, &rule.asks.demands, &here), &mut shown);
            for told in scene.evidence(&finding).demands {
                let WasAsked::Test(row) = told.asked else { continue };
                let value = if row.asks_age() { String::new() } else { known(&told.value) };
                let signed = (row.word.to_owned(), value, told.truth);
                assert!(shown.contains(&signed), "{path}, {}: {signed:?} is not in {shown:?}", rule.name);
                count += 1;
            }
        }
    }
    assert!(count > 10_000, "{count} comparisons");
}
