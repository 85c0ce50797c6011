//! What a condition of a pack may ask: rows of conditions that are taken, and of such as are refused, with the code and a
//! phrase of what is said. The files in `packs-invalid/` show each code once; here stand the kinds and the boundaries.

use fillward::document::{Document, Faults};
use fillward::pack::PackSet;

use crate::remedies::read_pack;

/// The codes and messages of what is said against a condition over the facts of `remedies.rs`; nothing where it is taken.
fn said(covers: &str, demands: &str) -> Vec<String> {
    let told = |faults: Faults| faults.iter().map(|fault| format!("{}: {fault}", fault.code())).collect();
    read_pack(&[(covers, demands)]).map_or_else(told, |_| Vec::new())
}

fn taken(rows: &[&str]) {
    for demands in rows {
        assert_eq!(said("job", demands), [""; 0], "{demands}");
    }
}

/// Rows of a condition, the code that it is refused with, and a phrase of the message.
fn refused(rows: &[(&str, &str, &str)]) {
    for (demands, code, phrase) in rows {
        let found = said("job", demands);
        let fits = |line: &String| line.starts_with(&format!("pack/{code}: ")) && line.contains(phrase);
        assert!(found.iter().any(fits), "{demands}: {found:?}");
    }
}

#[test]
fn only_what_is_dated_has_an_age() {
    taken(&[
        "{local.first: {read_within: 2 h}}",
        "{local.first.at: {read_within: 2 h}}",
        "{local.done: {read_within: 2 h}}",
        "{local.seen: {read_within: 2 d}}",
    ]);
    let fault = "`read_within` cannot be asked of";
    refused(&[
        ("{planned_start: {read_within: 2 h}}", "wrong-kind", fault),
        ("{cage.rating: {read_within: 2 h}}", "wrong-kind", fault),
        ("{local.ready: {read_within: 2 h}}", "wrong-kind", fault),
        ("{local.note: {read_within: 2 h}}", "wrong-kind", fault),
        ("{local.first.instrument: {read_within: 2 h}}", "wrong-kind", fault),
        ("{local.first: {read_within: 2 psi}}", "wrong-unit", "a pressure where a duration is expected"),
    ]);
}

#[test]
fn a_word_is_one_that_the_fact_can_be() {
    taken(&[
        "{local.colour: {is: green}}",
        "{local.colour: {one_of: [red, green, blue]}}",
        "{local.note: {is: purple}}",
        "{for_each: {of: local.found, meets: {item: {none_of: [crack, dent]}}}}",
    ]);
    let never = "is never a value of this fact";
    refused(&[
        ("{local.colour: {is: purple}}", "wrong-kind", never),
        ("{local.colour: {is_not: purple}}", "wrong-kind", never),
        ("{local.colour: {one_of: [red, purple]}}", "wrong-kind", never),
        ("{for_each: {of: local.found, meets: {item: {is: hole}}}}", "wrong-kind", never),
        ("{local.found: {is: crack}}", "wrong-kind", "`is` cannot be asked of `local.found`"),
        ("{local.ready: {is: red}}", "wrong-kind", "true or false is expected here"),
        ("{local.first: {is: 50 psi}}", "wrong-kind", "`is` cannot be asked of `local.first`"),
        ("{local.colour: {at_least: red}}", "wrong-kind", "`at_least` cannot be asked of `local.colour`"),
    ]);
}

#[test]
fn a_name_is_one_that_is_in_reach() {
    taken(&["{for_some: {of: person, meets: {person.role: {is: operator}}}}"]);
    refused(&[
        ("{person.role: {is: operator}}", "unknown-fact", "`person.role` is not in reach here"),
        ("{item: {is: crack}}", "unknown-fact", "`item` has no meaning here"),
        ("{local.third: {recorded: true}}", "unknown-fact", "no fact or figure is called `local.third`"),
        ("{local.note.at: {recorded: true}}", "unknown-fact", "no fact or figure is called `local.note.at`"),
        ("{figure.pressure_ceiling: {recorded: true}}", "unknown-fact", "no fact or figure"),
        (
            "{for_each: {of: component, meets: {component.figure.warm_at: {at_most: {moment: start}}}}}",
            "unknown-fact",
            "is an estimate without bounds, which decides nothing",
        ),
        ("{for_each: {of: local.note, meets: {item: {is: said}}}}", "wrong-kind", "`local.note` is not a list"),
        ("{for_each: {of: local.third, meets: {item: {is: said}}}}", "unknown-fact", "no fact or figure"),
        ("{local.first: {at_least: {limit: lest}}}", "unknown-limit", "no limit is called `lest`"),
    ]);
    assert_eq!(said("each person", "{person.role: {is: operator}}"), [""; 0]);
}

#[test]
fn like_is_compared_with_like() {
    taken(&[
        "{local.first: {at_least: {fact: local.second}}}",
        "{local.first: {at_least: {fact: local.second, times: 150 %, plus: 2 psi}}}",
        "{local.first: {at_least: {limit: least, times: 2}}}",
        "{planned_start: {at_least: {moment: judgement, plus: 2 h}}}",
        "{local.seen: {at_least: {moment: today, plus: -2 d}}}",
        "{local.seen: {at_least: {moment: start, plus: -2 d}}}",
        "{workspace.temperature: {at_least: {fact: workspace.temperature, plus: 2 K}}}",
    ]);
    refused(&[
        ("{local.first: {at_least: {fact: local.note}}}", "wrong-kind", "is expected here"),
        ("{local.first: {at_least: {fact: pump.mass_per_cycle}}}", "wrong-unit", "`pump.mass_per_cycle` is a mass"),
        ("{local.first: {at_least: 72 degF}}", "wrong-unit", "a temperature where a pressure is expected"),
        ("{workspace.temperature: {at_least: {limit: least}}}", "wrong-unit", "the limit `least` is a pressure"),
        ("{local.first: {at_least: {moment: today}}}", "wrong-kind", "a moment cannot be compared with a pressure"),
        // An age asked of the check would let pass what is too old when the pump starts.
        (
            "{local.seen: {at_least: {moment: judgement, plus: -2 d}}}",
            "unknown-operand",
            "only a plan is compared with the judgement",
        ),
        (
            "{workspace.temperature.at: {between: [{moment: judgement, plus: -2 h}, {moment: start}]}}",
            "unknown-operand",
            "only a plan is compared with the judgement",
        ),
        // What can be multiplied, and what added.
        (
            "{workspace.temperature: {at_least: {fact: workspace.temperature, times: 2}}}",
            "wrong-kind",
            "a temperature cannot be multiplied",
        ),
        ("{planned_start: {at_least: {moment: judgement, times: 2}}}", "wrong-kind", "cannot be multiplied"),
        ("{local.colour: {is: {fact: local.note, plus: 2 h}}}", "wrong-kind", "nothing can be added to text"),
        ("{local.first: {at_least: {fact: local.second, times: {limit: least}}}}", "wrong-unit", "the limit `least`"),
        ("{planned_start: {at_least: {moment: judgement, plus: {limit: least}}}}", "wrong-unit", "the limit `least`"),
        ("{local.first: {at_least: {fact: local.second, plus: 2 h}}}", "wrong-unit", "where a pressure is expected"),
        (
            "{workspace.temperature: {at_least: {fact: workspace.temperature, plus: 2 psi}}}",
            "wrong-unit",
            "is expected",
        ),
    ]);
}

/// Clauses that no record can meet together, and such as can.
#[test]
fn clauses_that_exclude_each_other_are_told() {
    taken(&[
        "{local.first: {at_least: 50 psi, at_most: 50 psi}}",
        "{local.first: {between: [50 psi, 50 psi]}}",
        "[{local.first: {at_least: 60 psi}}, {local.second: {at_most: 50 psi}}]",
        "[{local.first: {at_least: 60 psi}}, {local.first: {at_most: {fact: local.second}}}]",
        "[{local.colour: {one_of: [red, green]}}, {local.colour: {one_of: [green, blue]}}]",
        "[{local.colour: {one_of: [red, green]}}, {local.colour: {is: green}}]",
        "[{local.colour: {is: red}}, {local.note: {is: green}}]",
        "[{local.colour: {recorded: true}}, {local.colour: {is: red}}]",
        "[{local.colour: {recorded: false}}, {local.note: {is: red}}]",
        "[{sample.hardness: {is: 12}}, {sample.hardness: {at_least: 12}}]",
        "{any: [{local.first: {at_least: 60 psi}}, {local.first: {at_most: 50 psi}}]}",
    ]);
    let excluded = |name: &str| format!("no value of `{name}` can meet this clause together with the others");
    let (first, colour, cycles) = (excluded("local.first"), excluded("local.colour"), excluded("sample.hardness"));
    let crossed = "{local.first: {at_least: 60 psi, at_most: 50 psi}}";
    refused(&[
        (crossed, "unreachable", &first),
        ("{local.first: {at_most: 50 psi, at_least: 60 psi}}", "unreachable", &first),
        ("{local.first: {between: [60 psi, 50 psi]}}", "unreachable", &first),
        (
            "[{local.first: {at_least: 60 psi}}, {local.second: {at_least: 1 psi}}, {local.first: {at_most: 50 psi}}]",
            "unreachable",
            &first,
        ),
        ("[{local.colour: {is: red}}, {local.colour: {is: green}}]", "unreachable", &colour),
        ("[{local.colour: {one_of: [red, blue]}}, {local.colour: {is: green}}]", "unreachable", &colour),
        ("[{local.colour: {is: green}}, {local.colour: {one_of: [red, blue]}}]", "unreachable", &colour),
        ("[{local.colour: {one_of: [red]}}, {local.colour: {one_of: [green, blue]}}]", "unreachable", &colour),
        ("[{local.colour: {is: red}}, {local.colour: {recorded: false}}]", "unreachable", &colour),
        ("[{sample.hardness: {is: 12}}, {sample.hardness: {at_least: 13}}]", "unreachable", &cycles),
        // Wherever it stands.
        (&format!("{{not: {crossed}}}"), "unreachable", &first),
        (&format!("{{any: [{crossed}, {{local.ready: {{is: true}}}}]}}"), "unreachable", &first),
        (&format!("[{{local.ready: {{is: true}}}}, {{all: [{crossed}]}}]"), "unreachable", &first),
        (&format!("{{for_each: {{of: person, meets: {crossed}}}}}"), "unreachable", &first),
    ]);
}

#[test]
fn a_clause_said_twice_decides_nothing() {
    taken(&["{any: [{local.ready: {is: true}}, {local.ready: {is: false}}]}"]);
    let twice = "this clause says the same as one before it";
    refused(&[
        ("[{local.ready: {is: true}}, {local.ready: {is: true}}]", "unreachable", twice),
        (
            "{any: [{local.ready: {is: true}}, {local.note: {is: so}}, {local.ready: {is:   true}}]}",
            "unreachable",
            twice,
        ),
    ]);
}

// ------------------------------------------------------------------------------------------ amendments and names

const SOURCE: &str = "source: {kind: local code, cite: invented for this test}";

fn head(name: &str) -> String {
    let at = crate::common::DEMO_AT;
    format!("pack: 1\nname: {name}\nedition: \"1\"\ntitle: Rules of a test\nexamples_at: {at}\n")
}

fn rule(name: &str) -> String {
    format!(
        "rules:\n  {name}:\n    title: A fault, {name}\n    covers: job\n    demands: {{cage.rating: {{at_least: {{limit: least}}}}}}\n    \
         why: It does harm.\n    air:\n      stays: nothing is touched\n    put_right: Put it right.\n    {SOURCE}\n    on_fault: hold\n    permit: none\n    \
         examples: {{passes: [{{says: none}}], holds: [{{says: none}}]}}\n"
    )
}

fn document(text: &str) -> Document {
    Document::read("pack.yaml", text.as_bytes()).unwrap()
}

/// A pack whose limit rises on a day to come.
fn rising() -> PackSet {
    let limit = format!(
        "limits:\n  least: {{about: A limit., values: [{{value: 100 psi}}, {{from: 2027-01-01, value: 120 psi}}], safer: higher, {SOURCE}}}\n"
    );
    PackSet::alone(vec![document(&format!("{}{limit}{}", head("rising"), rule("too-weak")))]).unwrap()
}

/// An amendment is held against each value that is in force while it is; a stricter one to come takes over by itself.
#[test]
fn an_amendment_is_weaker_on_no_day_of_its_own() {
    let amended = |values: &str| {
        let amends = "amends: {pack: rising, edition: \"1\"}\n";
        let text =
            format!("{}{amends}amended_limits:\n  least: {{{values}, why: Stricter., {SOURCE}}}\n", head("local"));
        rising().with(vec![document(&text)]).map_or_else(|faults| faults.iter().count(), |_| 0)
    };
    assert_eq!(amended("value: 120 psi"), 0);
    // One for always meets both values.
    assert_eq!(amended("value: 119 psi"), 1);
    assert_eq!(amended("value: 99 psi"), 1, "weaker than both, and said once");
    // One that begins before the second value meets the first, which holds always, and not the second.
    assert_eq!(amended("values: [{from: 2026-06-01, value: 110 psi}]"), 0);
    assert_eq!(amended("values: [{from: 2026-06-01, value: 99 psi}]"), 1);
    // One that begins with the second value, or after it, meets both.
    for day in ["2027-01-01", "2027-06-01"] {
        assert_eq!(amended(&format!("values: [{{from: {day}, value: 120 psi}}]")), 0, "{day}");
        assert_eq!(amended(&format!("values: [{{from: {day}, value: 119 psi}}]")), 1, "{day}");
    }
}

/// A rule is found by its whole code, and by its bare name where only one pack has it.
#[test]
fn a_rule_is_found_by_its_code_or_its_only_name() {
    let other = |name: &str, of: &str| {
        let limit = format!("limits:\n  least: {{about: A limit., value: 90 psi, safer: higher, {SOURCE}}}\n");
        document(
            &format!("{}{limit}{}", head(of), rule(name))
                .replace("limit: least", &format!("limit: {of}_least"))
                .replace("\n  least:", &format!("\n  {of}_least:")),
        )
    };
    let packs = rising().with(vec![other("too-weak", "other"), other("much-too-weak", "third")]).unwrap();
    let found = |code: &str| packs.find_rule(code).map(|(pack, rule)| format!("{}/{}", pack.name, rule.name));
    assert_eq!(found("rising/too-weak").as_deref(), Some("rising/too-weak"));
    assert_eq!(found("other/too-weak").as_deref(), Some("other/too-weak"));
    assert_eq!(found("much-too-weak").as_deref(), Some("third/much-too-weak"));
    for code in ["too-weak", "third/too-weak", "rising/much-too-weak", "rising", "", "/"] {
        assert_eq!(found(code), None, "{code}");
    }
}
