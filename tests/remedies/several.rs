//! Where there are several: words on a list, subjects, parts of a demand, and rules that do not agree.

use super::{hold, ways};

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
    // A start that is put off makes everything older at the start, and a rule that names no start is spoiled by that.
    let planned = ("job", "{planned_start: {at_least: {moment: judgement, plus: 3 h}}}");
    let half_past_ten = "planned_start: 2026-03-04T10:30:00-06:00\nlocal: {done: 2026-03-04T09:00:00-06:00}";
    let put_off = "planned_start at the earliest 2026-03-04T12:30:00-06:00";
    assert_eq!(ways(&[planned, fresh], half_past_ten), [format!("but for second-rule: {put_off}")]);
    assert_eq!(ways(&[planned, ("job", "{local.done: {read_within: 4 h}}")], half_past_ten), [put_off]);
}
