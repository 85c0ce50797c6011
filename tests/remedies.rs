//! What is offered against a finding: one small pack and record after another, and the ways that clear it.
//!
//! That a way clears its finding is a law (`laws/cures.rs`); here stands which ways there are, how far each goes, and what
//! is never offered.

use fillward::document::{Document, Faults};
use fillward::engine::{Act, ActKind, Scene, remedy};
use fillward::pack::PackSet;
use fillward::record::{self, Value};
use fillward::units::Rounding;

use crate::common;

/// Facts of every kind that a pack can declare.
const FACTS: &str = "\
facts:
  first: {covers: job, kind: reading, of: pressure, holds_for: job, about: A reading., example: 1 psi}
  second: {covers: job, kind: reading, of: pressure, holds_for: job, about: Another., example: 1 psi}
  ready: {covers: job, kind: flag, holds_for: job, about: Whether it is., example: 'true'}
  colour: {covers: job, kind: choice, words: [red, green, blue], holds_for: job, about: Which it is., example: red}
  found: {covers: job, kind: choices, words: [crack, rust, dent], holds_for: job, about: What is there., example: crack}
  note: {covers: job, kind: text, holds_for: job, about: What was said., example: all well}
  done: {covers: job, kind: event, holds_for: job, about: When it was., example: 2026-03-04T09:00:00-06:00}
  seen: {covers: job, kind: day, holds_for: job, about: On which day., example: 2026-03-04}
";

const LIMITS: &str = "\
limits:
  least: {about: A limit., value: 50 psi, safer: higher, source: {kind: local code, cite: invented for this test}}
";

fn rule(name: &str, covers: &str, demands: &str) -> String {
    format!(
        "  {name}:\n    title: A fault, {name}\n    covers: {covers}\n    demands: {demands}\n    why: It does harm.\n    \
         air:\n      stays: nothing is touched\n    put_right: Put it right.\n    source: {{kind: local code, cite: invented for this test}}\n    on_fault: hold\n    \
         permit: none\n    examples: {{passes: [{{says: none}}], holds: [{{says: none}}]}}\n"
    )
}

/// A pack of these rules: what each covers, and what it demands. The first is named `rule`.
pub(crate) fn read_pack(rules: &[(&str, &str)]) -> Result<PackSet, Faults> {
    let names = ["rule", "second-rule"];
    let rules: String = names.iter().zip(rules).map(|(name, (covers, demands))| rule(name, covers, demands)).collect();
    let limits = if rules.contains("limit:") { LIMITS } else { "" };
    let at = common::DEMO_AT;
    let text = format!(
        "pack: 1\nname: remedies\nedition: \"1\"\ntitle: Rules of a test\nexamples_at: {at}\n{FACTS}{limits}rules:\n{rules}"
    );
    PackSet::alone(vec![Document::read("pack.yaml", text.as_bytes()).unwrap()])
}

/// As [`read_pack`], for rules that are taken.
pub(crate) fn pack(rules: &[(&str, &str)]) -> PackSet {
    read_pack(rules).unwrap_or_else(|faults| panic!("{:?}\n{rules:?}", miette::Report::new(faults)))
}

/// A value as a record writes it.
pub(crate) fn text(value: &Value) -> String {
    match value {
        Value::Text(text) => text.to_string(),
        Value::Flag(flag) => flag.to_string(),
        Value::Measured(measured) => {
            let stated = measured.stated.map(|_| " with a doubt of its own").unwrap_or_default();
            let number = measured.shown.value().to_decimal(4, Rounding::Nearest);
            let number =
                if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { &number };
            format!("{number} {}{stated}", measured.shown.unit().symbol()).trim_end().to_owned()
        }
        Value::Instant(instant) => instant.to_record_text(),
        Value::Day(day) => day.to_record_text(),
        Value::Words(words) => format!("{words:?}"),
        Value::Log(_) => "a log".to_owned(),
    }
}

fn told(packs: &PackSet, act: &Act) -> String {
    let Act { edit, kind } = act;
    let name = packs.catalogue().full_name(edit.key);
    let place = if edit.entity == 0 { name } else { format!("{name} of {}", edit.entity + 1) };
    let value = text(&edit.value);
    let how = match kind {
        ActKind::Number(reach) if reach.upward => "up to",
        ActKind::Number(_) => "down to",
        ActKind::Between { .. } => "between",
        ActKind::ReadAgain(reach) if reach.upward => "read again, up to",
        ActKind::ReadAgain(_) => "read again, down to",
        ActKind::DateReadAgain { later: true } => "read again, at the earliest",
        ActKind::DateReadAgain { later: false } => "read again, at the latest",
        ActKind::Becomes => "becomes",
        ActKind::Moment { later: true } => "at the earliest",
        ActKind::Moment { later: false } => "at the latest",
        ActKind::Recorded => "recorded, such as",
        ActKind::Again => "again at",
        ActKind::WithoutWord(word) => return format!("{place} without {word}: {value}"),
        ActKind::WithWord(word) => return format!("{place} with {word}: {value}"),
        ActKind::Added => "added as",
        ActKind::Instrument => match &edit.value {
            Value::Measured(measured) => match &measured.instrument {
                Some(mark) => return format!("{place} read with {mark}"),
                None => "read",
            },
            _ => "read",
        },
    };
    format!("{place} {how} {value}")
}

/// The ways against the finding of the first rule, each on a line of its acts; where there are none, what one would cost.
fn ways(rules: &[(&str, &str)], record: &str) -> Vec<String> {
    let packs = pack(rules);
    let record = format!("record: 1\n{record}");
    let document = Document::read("job.yaml", record.as_bytes()).unwrap();
    let job = record::read_fragment(document.source(), document.root(), packs.catalogue())
        .unwrap_or_else(|faults| panic!("{:?}\n{record}", miette::Report::new(faults)));
    let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
    let judgement = scene.judge();
    let of_rule = |finding: &&fillward::engine::Finding| finding.rule == 0 && finding.outcome.is_fault();
    let finding = judgement.findings.iter().find(of_rule).unwrap_or_else(|| panic!("nothing to clear: {record}"));
    let remedy = remedy(&scene, finding);
    let line = |acts: &[Act]| acts.iter().map(|act| told(&packs, act)).collect::<Vec<_>>().join(" and ");
    let mut lines: Vec<String> = remedy.ways.iter().map(|way| line(&way.acts)).collect();
    if let Some((way, spoiled)) = &remedy.at_a_price {
        let names: Vec<&str> = spoiled.iter().map(|finding| scene.rule(finding).unwrap().name.as_str()).collect();
        lines.push(format!("but for {}: {}", names.join(", "), line(&way.acts)));
    }
    lines
}

/// Holds rows of what is demanded of the job, what its record says, and the ways that are offered.
fn hold(rows: &[(&str, &str, &[&str])]) {
    for (demands, record, due) in rows {
        assert_eq!(ways(&[("job", demands)], record), *due, "{demands}, {record}");
    }
}

#[test]
fn a_number_gets_to_its_bound_and_no_further() {
    hold(&[
        ("{local.first: {at_least: 50 psi}}", "local: {first: 47 psi}", &["local.first up to 50 psi"]),
        ("{local.first: {at_least: {limit: least}}}", "local: {first: 47 psi}", &["local.first up to 50 psi"]),
        ("{local.first: {at_most: 50 psi}}", "local: {first: 57 psi}", &["local.first down to 50 psi"]),
        // The bound itself is not enough: a hundredth more, of a small number a ten-thousandth.
        ("{local.first: {below: 50 psi}}", "local: {first: 50 psi}", &["local.first down to 49.99 psi"]),
        ("{local.first: {above: 50 psi}}", "local: {first: 50 psi}", &["local.first up to 50.01 psi"]),
        ("{local.first: {above: 0.5 psi}}", "local: {first: 0.5 psi}", &["local.first up to 0.5001 psi"]),
        ("{local.first: {above: 1 psi}}", "local: {first: 0.5 psi}", &["local.first up to 1.01 psi"]),
        ("{not: {local.first: {at_least: 50 psi}}}", "local: {first: 57 psi}", &["local.first down to 49.99 psi"]),
        ("{not: {local.first: {below: 50 psi}}}", "local: {first: 47 psi}", &["local.first up to 50 psi"]),
        // Rounded to what can be read off, on the side that clears.
        ("{local.first: {at_least: 50.123 psi}}", "local: {first: 47 psi}", &["local.first up to 50.13 psi"]),
        ("{local.first: {at_most: 50.129 psi}}", "local: {first: 57 psi}", &["local.first down to 50.12 psi"]),
        ("{local.first: {at_most: 0.50129 psi}}", "local: {first: 57 psi}", &["local.first down to 0.5012 psi"]),
        // One bound of two, the one that is missed; out of both there is more than one way, and none is chosen.
        ("{local.first: {between: [40 psi, 50 psi]}}", "local: {first: 37 psi}", &["local.first up to 40 psi"]),
        ("{local.first: {between: [40 psi, 50 psi]}}", "local: {first: 57 psi}", &["local.first down to 50 psi"]),
        ("{not: {local.first: {between: [40 psi, 50 psi]}}}", "local: {first: 47 psi}", &[]),
        // What is not recorded has the bound to reach.
        ("{local.first: {at_least: 50 psi}}", "", &["local.first up to 50 psi"]),
        // Two bounds on one number: the further of the two.
        (
            "{all: [{local.first: {at_least: 50 psi}}, {local.first: {at_least: 60 psi}}, {local.first: {at_least: 55 psi}}]}",
            "local: {first: 40 psi}",
            &["local.first up to 60 psi"],
        ),
        (
            "{all: [{local.first: {at_most: 60 psi}}, {local.first: {at_most: 50 psi}}, {local.first: {at_most: 55 psi}}]}",
            "local: {first: 70 psi}",
            &["local.first down to 50 psi"],
        ),
    ]);
}

/// The doubt of a reading counts against it, on either side.
#[test]
fn a_doubtful_reading_goes_further() {
    let reading = "local: {first: {reading: 50 psi, uncertainty: 2 psi}}";
    hold(&[
        ("{local.first: {at_least: 50 psi}}", reading, &["local.first up to 52 psi with a doubt of its own"]),
        ("{local.first: {at_most: 50 psi}}", reading, &["local.first down to 48 psi with a doubt of its own"]),
        (
            "{local.first: {at_least: {fact: local.second}}}",
            "local: {first: 50 psi, second: {reading: 50 psi, uncertainty: 2 psi}}",
            &["local.first up to 52 psi", "local.second down to 48 psi with a doubt of its own"],
        ),
    ]);
}

#[test]
fn either_side_of_a_comparison_may_move() {
    let both = "local: {first: 40 psi, second: 50 psi}";
    hold(&[
        (
            "{local.first: {at_least: {fact: local.second}}}",
            both,
            &["local.first up to 50 psi", "local.second down to 40 psi"],
        ),
        (
            "{local.second: {at_most: {fact: local.first}}}",
            both,
            &["local.second down to 40 psi", "local.first up to 50 psi"],
        ),
        (
            "{local.first: {at_least: {fact: local.second, plus: 5 psi}}}",
            both,
            &["local.first up to 55 psi", "local.second down to 35 psi"],
        ),
        (
            "{local.first: {at_least: {fact: local.second, times: 2}}}",
            both,
            &["local.first up to 100 psi", "local.second down to 20 psi"],
        ),
        // By a factor below zero the other side would have to go the other way, and no gauge shows what is asked.
        ("{local.first: {at_most: {fact: local.second, times: -1}}}", both, &[]),
        (
            "{local.first: {at_least: {fact: local.second}}}",
            "local: {first: 40 psi}",
            &["local.second recorded, such as 1 psi"],
        ),
        ("{local.first: {at_least: {fact: local.second}}}", "local: {second: 40 psi}", &["local.first up to 40 psi"]),
    ]);
    let same = [("each assembly", "{assembly.target.gauge: {is: {fact: assembly.pre_stretch.gauge}}}")];
    let record = "gauges: [{mark: G1}, {mark: G2}]\nassemblies: [{target: {gauge: G1}, pre_stretch: {gauge: G2}}]";
    let due = ["assembly.target.gauge becomes G2", "assembly.pre_stretch.gauge becomes G1"];
    assert_eq!(ways(&same, record), due);
}

#[test]
fn a_word_or_flag_becomes_one_that_is_asked_for() {
    let red = "local: {colour: red}";
    let blue = "local: {colour: blue}";
    hold(&[
        ("{local.colour: {is: green}}", red, &["local.colour becomes green"]),
        ("{local.colour: {is: green}}", "", &["local.colour becomes green"]),
        ("{local.colour: {is_not: red}}", red, &["local.colour becomes green", "local.colour becomes blue"]),
        ("{not: {local.colour: {is: red}}}", red, &["local.colour becomes green", "local.colour becomes blue"]),
        ("{not: {local.colour: {is_not: red}}}", blue, &["local.colour becomes red"]),
        ("{local.colour: {one_of: [green, blue]}}", red, &["local.colour becomes green", "local.colour becomes blue"]),
        ("{local.colour: {none_of: [red, green]}}", red, &["local.colour becomes blue"]),
        ("{not: {local.colour: {one_of: [red, green]}}}", red, &["local.colour becomes blue"]),
        (
            "{not: {local.colour: {none_of: [red, green]}}}",
            blue,
            &["local.colour becomes red", "local.colour becomes green"],
        ),
        ("{local.ready: {is: true}}", "local: {ready: false}", &["local.ready becomes true"]),
        ("{local.ready: {is_not: true}}", "local: {ready: true}", &["local.ready becomes false"]),
        ("{local.ready: {is: true}}", "", &["local.ready becomes true"]),
        ("{local.note: {is: said}}", "local: {note: unsaid}", &["local.note becomes said"]),
        // What else a text might say, nobody knows.
        ("{local.note: {is_not: said}}", "local: {note: said}", &[]),
    ]);
}

#[test]
fn what_is_missing_is_recorded_and_evidence_is_never_erased() {
    let now = "2026-03-04T09:30:00-06:00";
    let recorded = |fact: &str| ways(&[("job", &format!("{{local.{fact}: {{recorded: true}}}}"))], "");
    assert_eq!(recorded("note"), ["local.note recorded, such as all well"]);
    assert_eq!(recorded("colour"), ["local.colour recorded, such as red"]);
    assert_eq!(recorded("first"), ["local.first recorded, such as 1 psi"]);
    assert_eq!(recorded("found"), ["local.found recorded, such as []"]);
    // A moment is now.
    assert_eq!(recorded("done"), [format!("local.done again at {now}")]);
    assert_eq!(recorded("seen"), ["local.seen again at 2026-03-04"]);
    hold(&[
        ("{local.note: {recorded: false}}", "local: {note: said}", &[]),
        ("{not: {local.note: {recorded: true}}}", "local: {note: said}", &[]),
        ("{not: {local.note: {recorded: false}}}", "", &["local.note recorded, such as all well"]),
    ]);
}

#[test]
fn what_is_stale_or_lies_ahead_is_done_again_now() {
    let done = |at: &str| format!("local: {{done: 2026-03-04T{at}:00-06:00}}");
    let first = |at: &str| format!("local: {{first: {{reading: 47 psi, at: 2026-03-04T{at}:00-06:00}}}}");
    let again = ["local.done again at 2026-03-04T09:30:00-06:00"].as_slice();
    let read = ["local.first again at 47 psi"].as_slice();
    hold(&[
        ("{local.done: {read_within: 2 h}}", &done("01:00"), again),
        ("{local.done: {read_within: 2 h}}", &done("10:00"), again),
        ("{local.done: {read_within: 2 h}}", "", again),
        ("{local.seen: {read_within: 2 d}}", "local: {seen: 2026-03-01}", &["local.seen again at 2026-03-04"]),
        ("{local.first: {read_within: 2 h}}", &first("01:00"), read),
        ("{local.first: {read_within: 2 h}}", "local: {first: 47 psi}", read),
        ("{local.first: {at_least: 40 psi}}", &first("10:00"), read),
        ("{local.first.at: {recorded: true}}", "local: {first: 47 psi}", read),
    ]);
}

#[test]
fn a_moment_gets_to_its_bound_and_no_further() {
    let start = |at: &str| format!("planned_start: 2026-03-04T{at}:00-06:00");
    let earliest = |at: &str| format!("planned_start at the earliest 2026-03-04T{at}-06:00");
    let latest = |at: &str| format!("planned_start at the latest 2026-03-04T{at}-06:00");
    for (test, record, due) in [
        ("after: {moment: judgement}", start("09:00"), earliest("09:30:01")),
        ("at_least: {moment: judgement}", start("09:00"), earliest("09:30:00")),
        ("at_least: {moment: judgement, plus: 30 min}", start("09:00"), earliest("10:00:00")),
        ("at_least: {moment: judgement}", String::new(), earliest("09:30:00")),
        ("at_most: {moment: judgement, plus: 30 min}", start("11:00"), latest("10:00:00")),
        ("before: {moment: judgement, plus: 30 min}", start("11:00"), latest("09:59:59")),
    ] {
        assert_eq!(ways(&[("job", &format!("{{planned_start: {{{test}}}}}"))], &record), [due], "{test}");
    }
    hold(&[
        (
            "{local.seen: {at_least: 2026-03-03}}",
            "local: {seen: 2026-03-01}",
            &["local.seen at the earliest 2026-03-03"],
        ),
        ("{local.seen: {at_most: 2026-03-01}}", "local: {seen: 2026-03-03}", &["local.seen at the latest 2026-03-01"]),
        (
            "{local.seen: {at_least: {moment: today}}}",
            "local: {seen: 2026-03-01}",
            &["local.seen at the earliest 2026-03-04"],
        ),
    ]);
}

/// An instrument of the record of the right kind, or a doubt that the reading states itself.
#[test]
fn a_reading_names_an_instrument_or_its_own_doubt() {
    let shop = "gauges: [{mark: G1, uncertainty: 1 psi}, {mark: G2}]\nthermometers: [{mark: T1, uncertainty: 1 degF}]";
    let named = format!("local: {{first: 47 psi}}\n{shop}");
    let (by_first, by_second) = ("local.first read with G1", "local.first read with G2");
    hold(&[
        ("{local.first.instrument: {recorded: true}}", &named, &[by_first, by_second]),
        (
            "{local.first.uncertainty: {recorded: true}}",
            &named,
            &[by_first, "local.first read 47 psi with a doubt of its own"],
        ),
        (
            "{local.first.uncertainty: {recorded: true}}",
            "local: {first: 47 psi}",
            &["local.first read 47 psi with a doubt of its own"],
        ),
        (
            "{workspace.temperature.instrument: {recorded: true}}",
            &format!("workspace: {{temperature: 70 degF}}\n{shop}"),
            &["workspace.temperature read with T1"],
        ),
    ]);
}

#[test]
fn words_come_off_a_list_and_go_onto_it() {
    let no_crack = "{for_each: {of: local.found, meets: {item: {is_not: crack}}}}";
    let a_crack = "{for_some: {of: local.found, meets: {item: {is: crack}}}}";
    hold(&[
        (no_crack, "local: {found: [dent, crack, rust]}", &["local.found without crack: [\"dent\", \"rust\"]"]),
        // Looked at, and none found.
        (no_crack, "", &["local.found becomes []"]),
        (a_crack, "local: {found: [dent]}", &["local.found with crack: [\"dent\", \"crack\"]"]),
        (a_crack, "", &["local.found with crack: [\"crack\"]"]),
        (
            "{for_some: {of: local.found, meets: {item: {one_of: [crack, rust]}}}}",
            "local: {found: []}",
            &["local.found with crack: [\"crack\"]", "local.found with rust: [\"rust\"]"],
        ),
        (&format!("{{not: {a_crack}}}"), "local: {found: [crack, rust]}", &["local.found without crack: [\"rust\"]"]),
        // Nothing says which other word it would have to be.
        ("{for_some: {of: local.found, meets: {item: {is_not: crack}}}}", "local: {found: [crack]}", &[]),
    ]);
}

#[test]
fn subjects_are_changed_or_added() {
    let operator = "{person.role: {is: operator}}";
    let some = format!("{{for_some: {{of: person, meets: {operator}}}}}");
    let each = format!("{{for_each: {{of: person, meets: {operator}}}}}");
    let added = ["person.name added as Odile Varga and person.role becomes operator"].as_slice();
    hold(&[
        (&some, "people: []", added),
        (&some, "", added),
        (
            &some,
            "people: [{name: A, role: supervisor}, {name: B}]",
            &["person.role becomes operator", "person.role of 2 becomes operator"],
        ),
        (
            &each,
            "people: [{name: A, role: supervisor}, {name: C, role: operator}, {name: B}]",
            &["person.role becomes operator and person.role of 3 becomes operator"],
        ),
    ]);
    // A rule of each subject, where the record has no list of them.
    assert_eq!(ways(&[("each person", operator)], ""), added);
}

#[test]
fn all_is_one_way_and_any_is_several() {
    let high = "{local.first: {at_least: 50 psi}}";
    let ready = "{local.ready: {is: true}}";
    let low_and_open = "local: {first: 47 psi, ready: false, colour: red}";
    let high_and_ready = "local: {first: 57 psi, ready: true, colour: red}";
    hold(&[
        (
            &format!("{{any: [{high}, {ready}]}}"),
            low_and_open,
            &["local.first up to 50 psi", "local.ready becomes true"],
        ),
        (
            &format!("{{all: [{high}, {{local.colour: {{is: red}}}}, {ready}]}}"),
            low_and_open,
            &["local.first up to 50 psi and local.ready becomes true"],
        ),
        (
            &format!("{{all: [{high}, {{local.colour: {{is_not: red}}}}]}}"),
            low_and_open,
            &[
                "local.first up to 50 psi and local.colour becomes green",
                "local.first up to 50 psi and local.colour becomes blue",
            ],
        ),
        (
            &format!("{{not: {{all: [{high}, {ready}]}}}}"),
            high_and_ready,
            &["local.first down to 49.99 psi", "local.ready becomes false"],
        ),
        (
            &format!("{{not: {{any: [{high}, {ready}]}}}}"),
            high_and_ready,
            &["local.first down to 49.99 psi and local.ready becomes false"],
        ),
        // Those with the fewest acts come first, and no more than four; an act that is not needed is left out.
        (
            &format!("{{any: [{{all: [{high}, {ready}]}}, {{local.second: {{at_least: 50 psi}}}}]}}"),
            low_and_open,
            &["local.second up to 50 psi", "local.first up to 50 psi and local.ready becomes true"],
        ),
        (
            &format!(
                "{{any: [{{all: [{high}, {{local.colour: {{is: blue}}}}]}}, {{local.second: {{at_least: 50 psi}}}}, {ready}, \
                 {{local.colour: {{one_of: [green, blue]}}}}, {{local.note: {{recorded: true}}}}]}}"
            ),
            low_and_open,
            &[
                "local.colour becomes blue",
                "local.second up to 50 psi",
                "local.ready becomes true",
                "local.colour becomes green",
            ],
        ),
    ]);
}

/// What a tyre is, nobody changes; what of it is not recorded can be found out.
#[test]
fn what_is_given_is_not_changed() {
    let new = [("each assembly", "{assembly.tyre.state: {is: new}}")];
    assert_eq!(ways(&new, "assemblies: [{tyre: {state: used}}]"), [""; 0]);
    assert_eq!(ways(&new, "assemblies: [{mark: a}]"), ["assembly.tyre.state becomes new"]);
    assert_eq!(ways(&new, "assemblies: [{tyre: {state: new}}, {mark: b}]"), ["assembly.tyre.state of 2 becomes new"]);
}

/// What would put another rule out of order is not offered, but told with its price where there is nothing else.
#[test]
fn no_way_puts_something_else_out_of_order() {
    let least = ("job", "{local.first: {at_least: 50 psi}}");
    let most = ("job", "{local.first: {at_most: 40 psi}}");
    let or_ready = ("job", "{any: [{local.first: {at_least: 50 psi}}, {local.ready: {is: true}}]}");
    let up = "local.first up to 50 psi";
    assert_eq!(ways(&[least, most], "local: {first: 30 psi}"), ["but for second-rule: local.first up to 50 psi"]);
    assert_eq!(ways(&[or_ready, most], "local: {first: 30 psi, ready: false}"), ["local.ready becomes true"]);
    // The other rule is broken already, or what is found out may break it: that is no fault of the way.
    assert_eq!(ways(&[least, most], "local: {first: 45 psi}"), [up]);
    assert_eq!(ways(&[least, most], ""), [up]);
    // One that no longer shows what it showed is out of order, too.
    let fresh = ("job", "{local.done: {read_within: 2 h}}");
    let early = ("job", "{local.done: {before: 2026-03-04T09:00:00-06:00}}");
    let old = "local: {done: 2026-03-04T01:00:00-06:00}";
    assert_eq!(ways(&[fresh, early], old), ["but for second-rule: local.done again at 2026-03-04T09:30:00-06:00"]);
}

/// A figure is not set: what it is made of moves, another instrument is taken, and what it lacks is recorded.
#[test]
fn a_figure_moves_by_what_it_is_made_of() {
    let ceiling = [("each assembly", "{assembly.figure.pressure_ceiling: {at_least: 67 psi}}")];
    let gauges = "gauges: [{mark: G1, uncertainty: 4 psi}, {mark: G2, uncertainty: 1 psi}]";
    let assembly = |rest: &str| {
        format!(
            "{gauges}\nassemblies: [{{mark: a, tyre: {{sidewall_maximum: 80 psi}}, rim: {{rating: 70 psi}}, {rest}}}]"
        )
    };
    // The ceiling is 70 less 4 psi: the finer gauge is taken. What the rim is stamped with is read, and not raised.
    let wheel = "wheel: {rating: 90 psi}, target: {pressure: 62 psi, gauge: G1, operating_pressure: 62 psi}";
    let gauge = "assembly.target.gauge becomes G2";
    assert_eq!(ways(&ceiling, &assembly(wheel)), [gauge]);
    // Where no other gauge is there, the stamp is read again: it says one more, within a few per cent.
    let one_gauge = assembly(wheel).replace(", {mark: G2, uncertainty: 1 psi}", "");
    let [found] = &ways(&ceiling, &one_gauge)[..] else { panic!("one way") };
    let rim = found.strip_prefix("assembly.rim.rating read again, up to ").and_then(|text| text.strip_suffix(" psi"));
    assert!((71.0..73.2).contains(&rim.unwrap().parse::<f64>().unwrap()), "{found}");
    // A limit that the site has set itself is kept.
    let limited =
        assembly(&wheel.replace("target: {", "target: {local_limit: 69 psi, ")).replace("rating: 70", "rating: 90");
    assert_eq!(ways(&ceiling, &limited), [gauge]);
    assert_eq!(ways(&ceiling, &limited.replace(", {mark: G2, uncertainty: 1 psi}", "")), [""; 0]);
    // What is missing first; the examples of the catalogue leave room enough.
    let found = ways(&ceiling, &assembly("target: {pressure: 62 psi, gauge: G2, operating_pressure: 62 psi}"));
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].starts_with("assembly.wheel.rating recorded, such as "), "{found:?}");
    // What a log shows has happened.
    let rows = "[{at: 2026-03-01T00:00:00Z, pressure: 62 psi, air: 75 degF}, {at: 2026-03-01T10:00:00Z, pressure: 62 psi, air: 75 degF}]";
    let held = [("each assembly", "{assembly.figure.pre_stretch_time: {at_least: 24 h}}")];
    assert_eq!(ways(&held, &assembly(&format!("target: {{pressure: 60 psi}}, pre_stretch: {{log: {rows}}}"))), [""; 0]);
}

/// On the other side of a comparison a figure moves likewise.
#[test]
fn a_figure_to_compare_with_moves_too() {
    let under = [("each assembly", "{assembly.target.pressure: {at_most: {fact: assembly.figure.pressure_ceiling}}}")];
    let record = "gauges: [{mark: G1, uncertainty: 4 psi}]\nassemblies: [{mark: a, tyre: {sidewall_maximum: 80 psi}, \
                  rim: {rating: 70 psi}, wheel: {rating: 90 psi}, target: {pressure: 68 psi, gauge: G1, operating_pressure: 62 psi}}]";
    let found = ways(&under, record);
    assert_eq!(found, ["assembly.target.pressure down to 62 psi"]);
}
