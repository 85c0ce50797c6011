//! The limits of a pack, with the days from which their values are in force.
//!
//! Must not know which rule uses a limit.

use super::super::{DatedValue, Limit, LimitTold, Safer};
use super::common::{citation, day};
use super::{PackReader, entries};
use crate::document::{Code, Content, Node};
use crate::units::{Day, Dimension, Interval, Quantity};

/// The limits that a file names.
pub(in super::super) fn limits(reader: &mut PackReader<'_>, root: &Node, pack: usize) -> Vec<Limit> {
    let mut limits = Vec::new();
    for entry in entries(root, "limits") {
        let values = dated_values(reader, &entry.node, None);
        let Some(first) = values.first() else { continue };
        let safer = match reader.text(&entry.node, "safer").as_str() {
            "higher" => Safer::Higher,
            _ => Safer::Lower,
        };
        let told = LimitTold {
            about: reader.text(&entry.node, "about"),
            source: citation(reader, &entry.node),
            place: reader.place(entry.key_span),
        };
        limits.push(Limit {
            pack,
            name: entry.key.to_string().into(),
            dimension: first.value.dimension(),
            safer,
            values: values.into(),
            amendments: Vec::new(),
            told: told.into(),
        });
    }
    limits
}

/// `value:` or `values:` of a limit, all of one unit family, earliest first.
pub(super) fn dated_values(reader: &mut PackReader<'_>, node: &Node, due: Option<Dimension>) -> Vec<DatedValue> {
    let mut written: Vec<(Option<Day>, &Node)> = Vec::new();
    if let Some(single) = node.entry("value") {
        written.push((None, &single.node));
    }
    if let Some(Content::List(items)) = node.entry("values").map(|entry| &entry.node.value) {
        for item in items {
            if let Some(value) = item.entry("value") {
                written.push((day(reader, item, "from"), &value.node));
            }
        }
    }
    let is_left_out = written.is_empty();
    let mut values: Vec<DatedValue> = Vec::new();
    for (from, node) in written {
        let due = due.or(values.first().map(|first| first.value.dimension()));
        let Some(value) = limit_value(reader, node, due) else { continue };
        if values.last().is_some_and(|last| from.is_none() || last.from >= from) {
            reader.say(
                Code::PackDatesOutOfOrder,
                "this value does not come into force later than the one before it",
                node.span,
                "write the values in the order of their `from` days",
            );
        }
        if value.base().is_negative() && value.dimension().is_never_negative() {
            reader.say(
                Code::PackLimitBelowZero,
                format!("a {} below zero limits nothing", value.dimension().name()),
                node.span,
                "write how much it is, from zero upwards",
            );
        }
        values.push(DatedValue { from, value, point: Interval::point(value.base()) });
    }
    // A value that cannot be read has been said.
    if values.is_empty() && is_left_out {
        reader.say(Code::PackLimitWithoutValue, "this limit has no value", node.span, "give it `value:` or `values:`");
    }
    values
}

/// The families a limit can have; what `value` says decides. A difference of temperatures is spelt as a temperature.
pub(super) fn limit_families() -> impl Iterator<Item = Dimension> {
    Dimension::ALL.into_iter().filter(|dimension| *dimension != Dimension::TemperatureDifference)
}

fn limit_value(reader: &mut PackReader<'_>, node: &Node, due: Option<Dimension>) -> Option<Quantity> {
    let (Content::Text(text) | Content::Number(text)) = &node.value else {
        reader.say(
            Code::PackNotAQuantity,
            "a number with its unit is expected here",
            node.span,
            "write it like `72 degF`",
        );
        return None;
    };
    if let Some(dimension) = due {
        return match Quantity::parse(text, dimension) {
            Ok(value) => Some(value),
            Err(error) => {
                reader.say(Code::PackWrongUnit, error.to_string(), node.span, error.help());
                None
            }
        };
    }
    let found = limit_families().find_map(|dimension| Quantity::parse(text, dimension).ok());
    if found.is_none() {
        let errors = limit_families().filter_map(|dimension| Quantity::parse(text, dimension).err());
        // Where the unit that is meant can be told, or the number is what is wrong, that alone is said.
        let telling = errors.map(|error| error.cure_of_any()).find(Option::is_some).flatten();
        let usual =
            "write it like `72 degF`, `105 psi`, `24 h`, `150 %`, or as a plain number where nothing is measured";
        reader.say(
            Code::PackNotAQuantity,
            format!("`{text}` is not a number with a known unit"),
            node.span,
            telling.unwrap_or_else(|| usual.to_owned()),
        );
    }
    found
}
