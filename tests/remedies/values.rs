//! What one value would have to be, for each kind of fact and each test.

use fillward::engine::{Act, ActKind};
use fillward::units::{Dimension, Quantity};

use super::{hold, ways, with_remedy};

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

/// How much is missing whatever the doubts is told of a bound that is in doubt itself, where it is anything; of a reading's
/// own doubt the gap says enough.
#[test]
fn what_is_surely_missing_is_told_of_a_bound_in_doubt() {
    let fact = "{local.first: {at_least: {fact: local.second}}}";
    let second = "second: {reading: 50 psi, uncertainty: 2 psi}";
    for (demands, record, due) in [
        ("{local.first: {at_least: 50 psi}}", "first: 47 psi".to_owned(), None),
        ("{local.first: {at_least: 50 psi}}", "first: {reading: 47 psi, uncertainty: 1 psi}".to_owned(), None),
        (fact, format!("first: 40 psi, {second}"), Some("8 psi")),
        (fact, format!("first: {{reading: 40 psi, uncertainty: 1 psi}}, {second}"), Some("7 psi")),
        (fact, format!("first: 48 psi, {second}"), None),
        (fact, format!("first: 49 psi, {second}"), None),
    ] {
        let due = due.map(|text| Quantity::parse(text, Dimension::Pressure).unwrap().base());
        with_remedy(&[("job", demands)], &format!("local: {{{record}}}"), |_, remedy| {
            let ActKind::Number(reach) = &remedy.ways[0].acts[0].kind else { panic!("{:?}", remedy.ways) };
            assert_eq!(reach.sure, due, "{demands} {record}");
        });
    }
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
    // What is only found out turns out to be what is needed; what is settled already is not moved.
    hold(&[(
        "{local.first: {at_least: {fact: local.second, times: 2, plus: 1 psi}}}",
        "local: {first: 2 psi}",
        &["local.second down to 0.5 psi"],
    )]);
    hold(&[(
        "{local.few: {is: {fact: local.many}}}",
        "local: {few: 2, many: 3}",
        &["local.few becomes 3", "local.many becomes 2"],
    )]);
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

/// Of a start that lies ahead: what is done now must still be recent enough then, from when on it is, is told; where now is
/// too early for it, only a start that comes sooner helps.
#[test]
fn what_must_be_recent_at_a_start_is_done_now_or_the_start_comes_sooner() {
    let record = |start: &str| {
        format!(
            "planned_start: 2026-03-04T{start}:00-06:00\nlocal: {{done: 2026-03-04T08:00:00-06:00, seen: 2026-03-03}}"
        )
    };
    let sooner = "planned_start at the latest 2026-03-04T10:00:00-06:00";
    let again = "local.done again at 2026-03-04T09:30:00-06:00";
    let ways = |demands: &str, start: &str| ways(&[("job", demands)], &record(start));
    let recent = "{local.done: {read_within: 2 h}}";
    assert_eq!(ways(recent, "11:00"), [again, sooner]);
    assert_eq!(ways(recent, "11:30"), [again, sooner]);
    let both =
        "local.done again at 2026-03-04T09:30:00-06:00 and planned_start at the latest 2026-03-04T11:30:00-06:00";
    assert_eq!(ways(recent, "11:31"), [sooner, both]);
    // What lasts until this very second lets the pump start now; a second less, and no start is soon enough.
    let now = "planned_start at the latest 2026-03-04T09:30:00-06:00";
    assert_eq!(ways("{local.done: {read_within: 90 min}}", "10:30"), [again, now]);
    assert_eq!(ways("{local.done: {read_within: 5399 s}}", "10:30"), [again]);
    // What counts by days lasts to the last second of its last day.
    let by_days = crate::remedies::ways(
        &[("job", "{local.seen: {read_within: 2 d}}")],
        "planned_start: 2026-03-07T09:00:00-06:00\nlocal: {seen: 2026-03-03}",
    );
    assert!(by_days.contains(&"planned_start at the latest 2026-03-05T23:59:59-06:00".to_owned()), "{by_days:?}");
    // The start is not ahead: it is now.
    assert_eq!(ways("{local.done: {read_within: 1 h}}", "09:00"), ["local.done again at 2026-03-04T09:30:00-06:00"]);
    // Compared with the start itself, nothing is said of an age.
    let after = "{local.done: {at_least: {moment: start, plus: -2 h}}}";
    let offered = ways(after, "11:00");
    assert!(offered.iter().any(|way| way == sooner), "{offered:?}");
    assert!(offered.iter().all(|way| !way.contains(", from ")), "{offered:?}");
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
        // A day that does not count itself is passed by one day.
        ("{local.seen: {after: 2026-03-02}}", "local: {seen: 2026-03-01}", &["local.seen at the earliest 2026-03-03"]),
        ("{local.seen: {before: 2026-03-01}}", "local: {seen: 2026-03-03}", &["local.seen at the latest 2026-02-28"]),
        // Today itself is not enough for a day that nobody has written down: the day before.
        ("{local.seen: {before: {moment: today}}}", "", &["local.seen at the latest 2026-03-03"]),
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
        // Reading it again and stating its doubt are two ways, though both are about one reading.
        (
            "{any: [{local.first: {at_least: 50 psi}}, {local.first.uncertainty: {recorded: true}}]}",
            "local: {first: 47 psi}",
            &["local.first up to 50 psi", "local.first read 47 psi with a doubt of its own"],
        ),
    ]);
}

/// An act adds to the record, or changes what stands in it; a report asks of the second kind whether it was read right.
#[test]
fn an_act_adds_to_the_record_or_changes_it() {
    let gauges = "local: {first: 47 psi}\ngauges: [{mark: G1, uncertainty: 1 psi}]";
    for (demands, record, adds) in [
        ("{local.done: {read_within: 2 h}}", "local: {done: 2026-03-04T01:00:00-06:00}", true),
        ("{local.note: {recorded: true}}", "", true),
        ("{local.first.instrument: {recorded: true}}", gauges, true),
        ("{local.first: {at_least: 50 psi}}", "local: {first: 47 psi}", false),
        ("{local.first: {between: [40 psi, 50 psi]}}", "local: {first: 37 psi}", false),
        ("{local.colour: {is: green}}", "local: {colour: red}", false),
        ("{planned_start: {at_least: {moment: judgement}}}", "planned_start: 2026-03-04T09:00:00-06:00", false),
    ] {
        let said: Vec<bool> = with_remedy(&[("job", demands)], record, |_, remedy| {
            remedy.ways.iter().flat_map(|way| &way.acts).map(Act::is_done_again).collect()
        });
        assert_eq!(said, [adds], "{demands}");
    }
}

/// Who fills on raises the highest pressure with the last; no other pressure does that.
#[test]
fn the_highest_pressure_of_the_fill_follows_the_last() {
    let way = |fact: &str, record: &str| {
        ways(
            &[("each assembly", &format!("{{assembly.{fact}: {{at_least: 50 psi}}}}"))],
            &format!("assemblies: [{{mark: a, {record}}}]"),
        )
    };
    let filled = |last: &str, peak: &str| format!("fill: {{final: {last}, peak: {peak}}}");
    let both = "assembly.fill.final read again, up to 50 psi and assembly.fill.peak so that it is 50 psi";
    assert_eq!(way("fill.final", &filled("40 psi", "45 psi")), [both]);
    assert_eq!(way("fill.final", &filled("40 psi", "50 psi")), ["assembly.fill.final read again, up to 50 psi"]);
    let target = format!("target: {{pressure: 40 psi}}, {}", filled("30 psi", "30 psi"));
    assert_eq!(way("target.pressure", &target), ["assembly.target.pressure up to 50 psi"]);
}
