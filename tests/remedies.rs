//! What is offered against a finding: one small pack and record after another, and the ways that clear it.
//!
//! That a way clears its finding is a law (`laws/cures.rs`); here stands which ways there are, how far each goes, and what
//! is never offered: of values ([`values`]), lists, subjects and rules of several parts ([`several`]), and figures
//! ([`figures`]).

mod figures;
mod several;
mod values;

use fillward::document::{Document, Faults};
use fillward::engine::{Act, ActKind, Remedy, Scene, remedy};
use fillward::pack::PackSet;
use fillward::record::{self, Value};
use fillward::units::Rounding;

use crate::common;

/// Facts of every kind that a pack can declare.
const FACTS: &str = "\
facts:
  first: {covers: job, kind: reading, of: pressure, holds_for: job, about: A reading., example: 1 psi}
  second: {covers: job, kind: reading, of: pressure, holds_for: job, about: Another., example: 1 psi}
  few: {covers: job, kind: count, holds_for: job, about: A count., example: '1'}
  many: {covers: job, kind: count, holds_for: job, about: Another., example: '1'}
  ready: {covers: job, kind: flag, holds_for: job, about: Whether it is., example: 'true'}
  colour: {covers: job, kind: choice, words: [red, green, blue], holds_for: job, about: Which it is., example: red}
  found: {covers: job, kind: choices, words: [crack, rust, dent], holds_for: job, about: What is there., example: crack}
  note: {covers: job, kind: text, holds_for: job, about: What was said., example: all well}
  done: {covers: job, kind: event, holds_for: job, about: When it was., example: 2026-03-04T09:00:00-06:00}
  seen: {covers: job, kind: day, holds_for: job, about: On which day., example: 2026-03-04}
";

const LEAST: &str = "  least: {about: A limit., value: 50 psi, safer: higher, source: {kind: local code, cite: invented for this test}}\n";

/// What figures of the pressure window take from a pack.
const SOFT_SIDE: &str = "  soft_side: {about: A share., value: 2 %, safer: SAFER, source: {kind: local code, cite: invented for this test}}\n";

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
    let least = if rules.contains("limit:") { LEAST } else { "" };
    let of_window = rules.contains("figure.pressure_");
    let read = |safer: &str| {
        let soft_side = if of_window { SOFT_SIDE.replace("SAFER", safer) } else { String::new() };
        let limits = if least.is_empty() && !of_window { "" } else { "limits:\n" };
        let text = format!(
            "pack: 1\nname: remedies\nedition: \"1\"\ntitle: Rules of a test\nexamples_at: {}\n{FACTS}{limits}{least}{soft_side}rules:\n{rules}",
            common::DEMO_AT
        );
        PackSet::alone(vec![Document::read("pack.yaml", text.as_bytes()).unwrap()])
    };
    // Which way the share is safer is not what is tried here.
    read("lower").or_else(|faults| if of_window { read("higher") } else { Err(faults) })
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
        ActKind::Along { with, .. } => {
            return format!("{place} and on, with {} to suit, such as {value}", packs.catalogue().full_name(*with));
        }
        ActKind::Between { low, high } => return format!("{place} from {low} to {high}, such as {value}"),
        ActKind::Follows => "so that it is",
        ActKind::ReadAgain(reach) if reach.upward => "read again, up to",
        ActKind::ReadAgain(_) => "read again, down to",
        ActKind::DateReadAgain { later: true } => "read again, at the earliest",
        ActKind::DateReadAgain { later: false } => "read again, at the latest",
        ActKind::Becomes => "becomes",
        ActKind::Moment { later: true } => "at the earliest",
        ActKind::Moment { later: false } => "at the latest",
        ActKind::Recorded => "recorded, such as",
        ActKind::Again => "again at",
        ActKind::Finer => "of a finer gauge, such as",
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
    with_remedy(rules, record, |scene, remedy| {
        let packs = scene.packs();
        let line = |acts: &[Act]| acts.iter().map(|act| told(packs, act)).collect::<Vec<_>>().join(" and ");
        let mut lines: Vec<String> = remedy.ways.iter().map(|way| line(&way.acts)).collect();
        if let Some((way, spoiled)) = &remedy.at_a_price {
            let names: Vec<&str> = spoiled.iter().map(|finding| scene.rule(finding).unwrap().name.as_str()).collect();
            lines.push(format!("but for {}: {}", names.join(", "), line(&way.acts)));
        }
        lines
    })
}

/// What is made of the remedy of the first rule's finding.
fn with_remedy<T>(rules: &[(&str, &str)], record: &str, make: impl FnOnce(&Scene<'_>, &Remedy) -> T) -> T {
    let packs = pack(rules);
    let record = format!("record: 1\n{record}");
    let document = Document::read("job.yaml", record.as_bytes()).unwrap();
    let job = record::read_fragment(document.source(), document.root(), packs.catalogue())
        .unwrap_or_else(|faults| panic!("{:?}\n{record}", miette::Report::new(faults)));
    let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
    let judgement = scene.judge();
    let of_rule = |finding: &&fillward::engine::Finding| finding.rule == 0 && finding.outcome.is_fault();
    let finding = judgement.findings.iter().find(of_rule).unwrap_or_else(|| panic!("nothing to clear: {record}"));
    make(&scene, &remedy(&scene, finding))
}

/// Holds rows of what is demanded of the job, what its record says, and the ways that are offered.
fn hold(rows: &[(&str, &str, &[&str])]) {
    for (demands, record, due) in rows {
        assert_eq!(ways(&[("job", demands)], record), *due, "{demands}, {record}");
    }
}
