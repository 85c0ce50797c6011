//! One value of the record, by the kind that the catalogue gives it.
//!
//! Must not know other facts of the record.

use std::borrow::Cow;
use std::sync::OnceLock;

use crate::document::prose::in_quotes;
use crate::document::{Code, Content, Fault, Node, nearest_value};
use crate::record::{FactKind, Measured, Value};
use crate::tyre::{Designation, TubeMarking};
use crate::units::{Day, Dimension, Exact, Instant, Quantity, Rounding, Unit};
use crate::vocabulary::{NameFault, Subject, name_fault, shown};

/// Reads `node` as `kind`. A node of another shape is worded here too, so that fragments need no schema.
///
/// # Errors
/// The one fault of this value, without its source.
pub(crate) fn read(kind: &FactKind, node: &Node) -> Result<Value, Box<Fault>> {
    match (kind, &node.value) {
        // A job number or a mark may look like a number; its text as written is what is meant.
        (FactKind::Text, Content::Text(text) | Content::Number(text)) => {
            said(text, node)?;
            Ok(Value::Text(text.as_str().into()))
        }
        (FactKind::TyreSize | FactKind::TubeSizes, Content::Text(text) | Content::Number(text)) => {
            said(text, node)?;
            // One fault here, where the text stands, and not a finding of every rule that needs the size.
            let read = match kind {
                FactKind::TyreSize => Designation::parse(text).map(drop),
                _ => TubeMarking::parse(text).map(drop),
            };
            read.map_err(|error| boxed(Code::RecordNotASize, error.to_string(), node, error.help()))?;
            Ok(Value::Text(text.as_str().into()))
        }
        (FactKind::Flag, Content::Bool(flag)) => Ok(Value::Flag(*flag)),
        (FactKind::Choice(words), Content::Text(text)) => word(words, text, node).map(Value::Text),
        (FactKind::Choices(words), Content::List(items)) => choices(words, items).map(Value::Words),
        (FactKind::Count, Content::Number(text)) => {
            let count = Quantity::parse(text, Dimension::Count).map_err(|error| quantity_fault(&error, node))?;
            possible(count, Bounded::Value, node)?;
            Ok(Value::Measured(Box::new(Measured::exact(count))))
        }
        (FactKind::Quantity(dimension), _) => {
            let shown = quantity(*dimension, node)?;
            possible(shown, Bounded::Value, node)?;
            Ok(Value::Measured(Box::new(Measured::exact(shown))))
        }
        (FactKind::ScaleBottom(dimension), _) => scale_bottom(*dimension, node),
        (FactKind::Reading(dimension), Content::Map(_)) => reading(*dimension, node),
        (FactKind::Reading(dimension), _) => {
            let shown = quantity(*dimension, node)?;
            possible(shown, Bounded::Reading, node)?;
            Ok(Value::Measured(Box::new(Measured::exact(shown))))
        }
        (FactKind::Event | FactKind::Planned, Content::Text(text)) => Instant::parse(text)
            .map(Value::Instant)
            .map_err(|error| boxed(Code::RecordNotAnInstant, error.to_string(), node, error.help())),
        (FactKind::Day, Content::Text(text)) => Day::parse(text)
            .map(Value::Day)
            .map_err(|error| boxed(Code::RecordNotADay, error.to_string(), node, error.help())),
        (kind, _) => Err(wrong_kind(kind, node)),
    }
}

fn scale_bottom(dimension: Dimension, node: &Node) -> Result<Value, Box<Fault>> {
    let shown = quantity(dimension, node)?;
    let of_mercury = matches!(shown.unit(), Unit::InchOfMercury | Unit::CentimetreOfMercury);
    if of_mercury && shown.base() > Exact::ZERO {
        return Err(boxed(
            Code::RecordImpossibleValue,
            format!("no scale of pressures begins at `{shown}` above that of the air"),
            node,
            format!("write a vacuum with its sign: `-{}`", shown.to_record_text()),
        ));
    }
    possible(shown, Bounded::ScaleBottom, node)?;
    Ok(Value::Measured(Box::new(Measured::exact(shown))))
}

/// The fault of a node that is no value of this kind at all.
fn wrong_kind(kind: &FactKind, node: &Node) -> Box<Fault> {
    let said = match &node.value {
        Content::Text(text) => text.to_lowercase(),
        _ => String::new(),
    };
    let help = match kind {
        FactKind::Flag if ["yes", "y", "on", "true"].contains(&said.as_str()) => "write `true`".to_owned(),
        FactKind::Flag if ["no", "n", "off", "false"].contains(&said.as_str()) => "write `false`".to_owned(),
        FactKind::Flag => "write true or false".to_owned(),
        FactKind::Choice(words) => format!("write one of: {}", in_quotes(words.iter())),
        FactKind::Choices(words) => {
            format!("write a list, `[]` for none, of any of: {}", in_quotes(words.iter()))
        }
        FactKind::Count => "write a plain number, such as 16".to_owned(),
        FactKind::Event | FactKind::Planned => {
            "write a date and time with its offset, such as 2026-03-04T09:30:00-06:00".to_owned()
        }
        FactKind::Day => "write a day, such as 2026-09-30".to_owned(),
        _ => "write it as text".to_owned(),
    };
    boxed(Code::RecordWrongKind, format!("{} is expected here", kind.describe()), node, help)
}

/// Words that name nothing, and answer a question.
const ANSWERS: [&str; 13] =
    ["yes", "no", "y", "n", "on", "off", "true", "false", "none", "nil", "ok", "done", "nothing"];

/// The word of facts for which nobody may know what was so.
const NOT_KNOWN: &str = "not known";

/// Said of a word that stands for not knowing: a cure that names values would have somebody make one up.
const LEFT_EMPTY: &str = "leave it empty if it is not known: the job is then held until somebody finds it out";

#[track_caller]
fn boxed(code: Code, message: String, node: &Node, help: String) -> Box<Fault> {
    // Words such as `none` are answers; the cure is `[]`.
    let is_answer = |text: &str| ANSWERS.iter().any(|answer| text.eq_ignore_ascii_case(answer));
    let is_unknown = matches!(&node.value, Content::Text(text)
        if !is_answer(text) && matches!(name_fault(text), Some(NameFault::SaysNothing | NameFault::Guessed)));
    let help = if is_unknown { LEFT_EMPTY.to_owned() } else { help };
    Box::new(Fault::new(code, message).label(node.span, "here").help(help))
}

/// Refuses a text that says nothing, which would count as recorded, and one by which two texts that look the same would
/// differ: a text of the record names something, such as a job, a gauge, a person or a lot.
fn said(text: &str, node: &Node) -> Result<(), Box<Fault>> {
    let (code, message, help) = match name_fault(text) {
        None => return Ok(()),
        Some(NameFault::SaysNothing) => {
            (Code::RecordSaysNothing, format!("`{}` says nothing", shown(text)), LEFT_EMPTY)
        }
        Some(NameFault::Unseen(c, why)) => (
            Code::RecordUnseenCharacter,
            format!("{} (U+{:04X}) stands in a text that names something", why.description(), u32::from(c)),
            "type the text again by hand, in one line, with plain spaces only",
        ),
        Some(NameFault::Blanks) => (
            Code::RecordUnseenCharacter,
            format!("`{}` has spaces that nobody sees", shown(text)),
            "take out the spaces at its ends, and leave one where there are two together",
        ),
        Some(NameFault::TwoAlphabets) => (
            Code::RecordUnseenCharacter,
            format!("`{}` has a word with letters of two alphabets that look alike", shown(text)),
            "type the word again by hand, in one alphabet, as the label or the person has it",
        ),
        Some(NameFault::Guessed) => (
            Code::RecordSaysNothing,
            format!("`{}` is a guess", shown(text)),
            "find out and write it without a question mark, or leave it empty",
        ),
    };
    Err(boxed(code, message, node, help.to_owned()))
}

fn word(words: &[Cow<'static, str>], text: &str, node: &Node) -> Result<Box<str>, Box<Fault>> {
    if words.iter().any(|word| word == text) {
        return Ok(text.into());
    }
    // Where not knowing is a word of the fact, that word is meant.
    let is_unknown = matches!(name_fault(text), Some(NameFault::SaysNothing | NameFault::Guessed));
    if is_unknown && words.iter().any(|word| word == NOT_KNOWN) {
        let message = format!("`{text}` is not one of the words for this fact");
        let fault = Fault::new(Code::RecordUnknownWord, message).label(node.span, "here");
        return Err(Box::new(fault.help(format!("write `{NOT_KNOWN}`: the rules then take the worse"))));
    }
    let near = nearest_value(text, words.iter().map(AsRef::as_ref));
    let guess = near.map(|word| format!("did you mean `{word}`? ")).unwrap_or_default();
    Err(boxed(
        Code::RecordUnknownWord,
        format!("`{text}` is not one of the words for this fact"),
        node,
        format!("{guess}use one of: {}", in_quotes(words.iter())),
    ))
}

fn choices(words: &[Cow<'static, str>], items: &[Node]) -> Result<Vec<Box<str>>, Box<Fault>> {
    items
        .iter()
        .map(|item| match &item.value {
            Content::Text(text) => word(words, text, item),
            _ => Err(boxed(
                Code::RecordWrongKind,
                "a word is expected here".to_owned(),
                item,
                format!("use one of: {}", in_quotes(words.iter())),
            )),
        })
        .collect()
}

fn quantity(dimension: Dimension, node: &Node) -> Result<Quantity, Box<Fault>> {
    match &node.value {
        Content::Text(text) | Content::Number(text) => {
            Quantity::parse(text, dimension).map_err(|error| quantity_fault(&error, node))
        }
        _ => Err(boxed(
            Code::RecordWrongKind,
            format!("a {} with its unit is expected here", dimension.name()),
            node,
            format!("write it like `{}`", dimension.example()),
        )),
    }
}

fn quantity_fault(error: &crate::units::QuantityError, node: &Node) -> Box<Fault> {
    boxed(Code::RecordNotAQuantity, error.to_string(), node, error.help())
}

fn reading(dimension: Dimension, node: &Node) -> Result<Value, Box<Fault>> {
    let Some(value) = node.entry("reading") else {
        return Err(boxed(
            Code::RecordNoReading,
            "this entry does not say what was read".to_owned(),
            node,
            format!("add the reading itself, such as `reading: {}`", dimension.example()),
        ));
    };
    // A key with nothing after its colon is as good as none.
    let said = |key: &str| node.entry(key).filter(|entry| entry.node.value != Content::Null);
    let shown = quantity(dimension, &value.node)?;
    possible(shown, Bounded::Reading, &value.node)?;
    let mut measured = Measured::exact(shown);
    if let Some(at) = said("at") {
        match read(&FactKind::Event, &at.node)? {
            Value::Instant(instant) => measured.at = Some(instant),
            _ => measured.at = None,
        }
    }
    for list in Subject::INSTRUMENTS {
        if let Some(named) = said(list.word())
            && let Value::Text(mark) = read(&FactKind::Text, &named.node)?
        {
            measured.instrument = Some(mark);
        }
    }
    if let Some(stated) = said("uncertainty") {
        let difference = match dimension {
            Dimension::Temperature => Dimension::TemperatureDifference,
            other => other,
        };
        let uncertainty = quantity(difference, &stated.node)?;
        if uncertainty.base() <= Exact::ZERO {
            return Err(impossible("an uncertainty is above zero; no reading is exact", &stated.node));
        }
        measured.stated = Some(uncertainty.base());
        measured = measured
            .with_uncertainty(uncertainty.base())
            .ok_or_else(|| impossible("this uncertainty is beyond what can be computed exactly", &stated.node))?;
    }
    Ok(Value::Measured(Box::new(measured)))
}

fn impossible(message: &str, node: &Node) -> Box<Fault> {
    boxed(Code::RecordImpossibleValue, message.to_owned(), node, "check the figure and its unit".to_owned())
}

/// By which bounds a value is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Bounded {
    /// What is stated.
    Value,
    /// What was read.
    Reading,
    /// Where a scale begins.
    ScaleBottom,
}

impl From<&FactKind> for Bounded {
    fn from(kind: &FactKind) -> Self {
        match kind {
            FactKind::Reading(_) => Self::Reading,
            FactKind::ScaleBottom(_) => Self::ScaleBottom,
            _ => Self::Value,
        }
    }
}

/// Lowest, highest, and why nothing lies beyond.
type Bounds = (&'static str, &'static str, &'static str);

/// Bounds outside which a value can only be a slip of the pen: wide enough for any real shop.
fn bounds(dimension: Dimension, of: Bounded) -> Option<Bounds> {
    match dimension {
        Dimension::Temperature if of == Bounded::Reading => {
            Some(("-60 degF", "200 degF", "no workshop, drum or tyre is colder or hotter"))
        }
        Dimension::Temperature => {
            Some(("-459 degF", "3300 degF", "scales of thermometers reach from liquid air to white heat"))
        }
        Dimension::TemperatureDifference => {
            Some(("0 degF", "200 degF", "no two things of a workshop lie further apart"))
        }
        Dimension::Pressure if of == Bounded::ScaleBottom => Some((
            "-15 psi",
            "15000 psi",
            "a full vacuum is 14.7 psi below the pressure of the air, and dials print 15",
        )),
        Dimension::Pressure => Some(("0 psi", "15000 psi", "pumps and hoses for thick material bear no more")),
        Dimension::Length => Some(("0 m", "1000 m", "nobody stands further off, and nothing here is so long")),
        Dimension::Mass => Some(("0 kg", "100000 kg", "nothing that a shop handles weighs more")),
        Dimension::Volume => Some(("0 L", "200000 L", "no tyre and no tank of a shop holds more")),
        Dimension::Energy => Some(("0 kJ", "1000000 kJ", "no tyre holds more")),
        Dimension::Density => {
            Some(("0.7 kg/L", "2 kg/L", "liquids of this trade and their mix are no lighter and no heavier"))
        }
        // Thermal expansion for one kelvin is the only percentage that records state.
        Dimension::Percent => Some(("0 %", "0.5 %", "no liquid expands more for one kelvin")),
        Dimension::Humidity => Some(("0 %RH", "100 %RH", "air holds no more water than all that it can")),
        Dimension::MassConcentration => Some(("0 mg/m3", "1000 mg/m3", "nobody could breathe more")),
        Dimension::VolumeConcentration => Some(("0 ppm", "1000 ppm", "nobody could breathe more")),
        Dimension::Torque => Some(("0 N.m", "20000 N.m", "the nuts of the largest haul trucks take less")),
        Dimension::Speed => Some(("0 km/h", "200 km/h", "no machine on filled tyres is faster")),
        Dimension::Duration => Some(("0 h", "3700 d", "nothing here is kept for longer than ten years")),
        Dimension::Count => None,
    }
}

/// Lowest and highest as quantities; nothing where there is no bound.
type ReadBounds = Option<(Quantity, Quantity)>;

/// The bounds of each dimension, of values, readings and bottoms of scales. Every number of a record is held against its
/// bounds, so each is read once, and only where it is asked for.
static SPANS: [[OnceLock<ReadBounds>; 3]; Dimension::ALL.len()] =
    [const { [const { OnceLock::new() }; 3] }; Dimension::ALL.len()];

/// The bounds in which a value of this dimension can lie at all; `None` on a side that has none.
fn span(dimension: Dimension, by: Bounded) -> Option<&'static (Quantity, Quantity)> {
    let of_dimension = SPANS.get(Dimension::ALL.iter().position(|of| *of == dimension)?)?;
    let [value, reading, bottom] = of_dimension;
    let bound = match by {
        Bounded::Value => value,
        Bounded::Reading => reading,
        Bounded::ScaleBottom => bottom,
    };
    let read = |text: &str| Quantity::parse(text, dimension).ok();
    bound.get_or_init(|| bounds(dimension, by).and_then(|(low, high, _)| read(low).zip(read(high)))).as_ref()
}

/// Whether a value can be right at all.
pub(in crate::record) fn is_possible(shown: Quantity, kind: &FactKind) -> bool {
    is_within(shown, Bounded::from(kind))
}

fn is_within(shown: Quantity, by: Bounded) -> bool {
    match span(shown.dimension(), by) {
        Some((low, high)) => shown.base() >= low.base() && shown.base() <= high.base(),
        None => bounds(shown.dimension(), by).is_some() || shown.base() >= Exact::ZERO,
    }
}

/// Decimal places to which a bound is given in the unit of the value that it bounds.
const OWN_PLACES: u32 = 3;

pub(super) fn possible(shown: Quantity, by: Bounded, node: &Node) -> Result<(), Box<Fault>> {
    if is_within(shown, by) {
        return Ok(());
    }
    Err(match span(shown.dimension(), by) {
        Some((low, high)) => {
            // Both in the unit that is written, rounded inwards by no more than a thousandth where they have many
            // digits in it.
            let own = |bound: Quantity, rounding: Rounding| {
                let there = bound.in_unit(shown.unit())?;
                let value = Exact::parse_decimal(&there.value().to_decimal(OWN_PLACES, rounding))?;
                let moved = value.checked_sub(there.value())?.abs().checked_mul(Exact::from_int(1_000))?;
                (moved <= there.value().abs()).then(|| Quantity::new(value, shown.unit())).flatten()
            };
            let (low, high) = (own(*low, Rounding::Up).unwrap_or(*low), own(*high, Rounding::Down).unwrap_or(*high));
            let because = bounds(shown.dimension(), by).map_or("", |(_, _, because)| because);
            boxed(
                Code::RecordImpossibleValue,
                format!("`{shown}` cannot be right here: values run from {low} to {high}"),
                node,
                format!("check the figure and its unit: {because}"),
            )
        }
        None => impossible(&format!("`{shown}` is below zero"), node),
    })
}
