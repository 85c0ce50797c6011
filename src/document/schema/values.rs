//! From the validator's errors to faults with places and cures: the faults of values.
//!
//! Must not know how the validator finds its errors.

use jsonschema::error::{TypeKind, ValidationError, ValidationErrorKind};
use jsonschema::types::JsonType;
use serde_json::Value as Json;

use super::problems::{Problems, Rank, Spot};
use super::{walk, words};
use crate::document::{Code, Content, Fault, Node, nearest_value};

impl Problems<'_> {
    /// A problem of the value itself; without a `help` of its own, what the schema says of the value.
    #[track_caller]
    fn value(&mut self, spot: &Spot<'_>, rank: Rank, code: Code, message: String, help: Option<String>) {
        let label = spot.due().map(|due| format!("due: {}", words::clause(due)));
        let mut fault = Fault::new(code, message).label(spot.place.span, label.unwrap_or_default());
        if let Some(help) = help.or_else(|| words::advice(&spot.applying)) {
            fault = fault.help(help);
        }
        self.add(spot.path.clone(), None, rank, fault);
    }

    /// None of several forms fits: the failures of the one that was meant, if that can be told.
    pub(super) fn no_form(&mut self, spot: &Spot<'_>, forms: &[Vec<ValidationError<'static>>]) {
        if let Some(meant) = form_meant(spot, forms) {
            for error in meant {
                self.take(error);
            }
            return;
        }
        let message = match spot.due() {
            Some(due) => words::instead(words::clause(due), spot.node),
            None => format!("{} fits none of the forms that can stand here", words::found(spot.node)),
        };
        self.value(spot, Rank::Form, Code::SchemaNoFormFits, message, None);
    }

    pub(super) fn wrong_kind(&mut self, spot: &Spot<'_>, due: &TypeKind) {
        let (message, help) = match spot.due() {
            Some(due) => (words::instead(words::clause(due), spot.node), None),
            None => (words::instead(&words::kinds(due), spot.node), repair(&spot.node.value, due)),
        };
        let help = self.in_a_comment(spot).or(help);
        self.value(spot, Rank::Kind, Code::SchemaWrongKind, message, help);
    }

    /// The cure of a value that is empty since a comment begins where it was to stand.
    fn in_a_comment(&self, spot: &Spot<'_>) -> Option<String> {
        let key = spot.place.key.filter(|_| matches!(spot.node.value, Content::Null))?;
        let behind = self.document.source().text().get(key.end..)?;
        words::comment(behind.lines().next()?)
    }

    pub(super) fn not_in_list(&mut self, spot: &Spot<'_>, options: &Json) {
        let options: &[Json] = options.as_array().map_or(&[], Vec::as_slice);
        let listed: Vec<String> = options.iter().map(words::literal).collect();
        let choices = format!("write one of {}", words::listed(&listed));
        let meant = match &spot.node.value {
            Content::Text(text) => {
                with_the_word(text, options).or_else(|| nearest_value(text, options.iter().filter_map(Json::as_str)))
            }
            _ => None,
        };
        let help = match meant {
            Some(meant) => format!("did you mean `{meant}`? {choices}"),
            None => choices,
        };
        let message = format!("{} is not one of the choices here", words::found(spot.node));
        self.value(spot, Rank::Choice, Code::SchemaNotInList, message, Some(help));
    }

    pub(super) fn not_constant(&mut self, spot: &Spot<'_>, due: &Json) {
        let (number, due) = (due.is_number(), words::literal(due));
        // A number that must be this one is that of a form, and other forms are read otherwise.
        let (message, help) = match &spot.node.value {
            Content::Number(written) if number => (
                format!("this program reads form {due} of such a file, and this one says `{written}`"),
                "use the program that this file was written for".to_owned(),
            ),
            _ => (format!("{due} is expected here, not {}", words::found(spot.node)), format!("write {due}")),
        };
        self.value(spot, Rank::Choice, Code::SchemaNotInList, message, Some(help));
    }

    pub(super) fn pattern(&mut self, spot: &Spot<'_>) {
        let found = words::found(spot.node);
        let message = match (spot.due(), walk::annotation(&spot.applying, "x-say")) {
            (Some(due), _) => words::instead(words::clause(due), spot.node),
            (None, Some(say)) => format!("{found} is not {say}"),
            (None, None) => format!("{found} is not written as it must be here"),
        };
        self.value(spot, Rank::Pattern, Code::SchemaNotAsDue, message, None);
    }

    pub(super) fn repeated(&mut self, spot: &Spot<'_>) {
        let Content::List(items) = &spot.node.value else { return };
        let values: Vec<Json> = items.iter().map(Node::to_json).collect();
        for (place, (item, value)) in items.iter().zip(&values).enumerate() {
            let first = values.iter().take(place).position(|earlier| earlier == value);
            let Some(first) = first.and_then(|first| items.get(first)) else { continue };
            let fault =
                Fault::new(Code::SchemaRepeatedItem, format!("{} appears in this list twice", words::found(item)))
                    .label(item.span, "again here")
                    .label(first.span, "first here")
                    .help("delete one of the two");
            self.add(spot.path.child(place), None, Rank::Choice, fault);
        }
    }

    pub(super) fn size_or_other(&mut self, spot: &Spot<'_>, kind: &ValidationErrorKind) {
        if let Some((code, message)) = words::extent(kind, spot.node) {
            self.value(spot, Rank::Extent, code, message, None);
            return;
        }
        // A keyword that our schemas use, if at all, under a description that says it all.
        let message = format!("{} does not fit here, by `{}` of the schema", words::found(spot.node), kind.keyword());
        self.value(spot, Rank::Form, Code::SchemaDoesNotFit, message, None);
    }
}

/// The only choice of several words of which the text is one, such as `each person` for `person`.
fn with_the_word<'o>(text: &str, options: &'o [Json]) -> Option<&'o str> {
    let has = |option: &&str| option.contains(' ') && option.split(' ').any(|word| word == text);
    let mut having = options.iter().filter_map(Json::as_str).filter(has);
    having.next().filter(|_| having.next().is_none())
}

/// The cure for a value of the wrong kind, where a small change makes it right.
fn repair(value: &Content, due: &TypeKind) -> Option<String> {
    let is_due = |kind| words::is_due(due, kind);
    match value {
        Content::Number(literal) if is_due(JsonType::String) => Some(format!("quote it: `\"{literal}\"`")),
        Content::Bool(truth) if is_due(JsonType::String) => Some(format!("quote it: `\"{truth}\"`")),
        Content::Text(text) if is_due(JsonType::Boolean) => match text.to_lowercase().as_str() {
            "yes" | "on" | "y" | "true" => Some("write `true`".to_owned()),
            "no" | "off" | "n" | "false" => Some("write `false`".to_owned()),
            _ => None,
        },
        Content::Text(text) if is_due(JsonType::Number) || is_due(JsonType::Integer) => {
            let is_number = text.parse::<f64>().is_ok_and(f64::is_finite);
            is_number.then(|| "take the quotes away".to_owned())
        }
        Content::Number(text) | Content::Text(text) if is_due(JsonType::Array) && !text.contains(['[', ']', '\n']) => {
            Some(format!("write it in brackets, each item by itself: `[{text}]`"))
        }
        Content::Bool(_) | Content::Number(_) | Content::Text(_) | Content::Map(_) if is_due(JsonType::Array) => {
            Some("put `- ` before it, on a line of its own".to_owned())
        }
        _ => None,
    }
}

/// The form that was meant: the only one whose kind fits the value, or of these the only one whose fixed words
/// (`const`, `enum`) fit.
fn form_meant<'e>(
    spot: &Spot<'_>,
    forms: &'e [Vec<ValidationError<'static>>],
) -> Option<&'e [ValidationError<'static>]> {
    let depth = spot.path.steps().len();
    let is_of_kind = |errors: &&Vec<ValidationError<'_>>| {
        !errors.iter().any(|error| {
            error.instance_path().segments().count() == depth
                && matches!(error.kind(), ValidationErrorKind::Type { .. })
        })
    };
    let has_its_words = |errors: &&Vec<ValidationError<'_>>| {
        !errors.iter().any(|error| {
            matches!(error.kind(), ValidationErrorKind::Constant { .. } | ValidationErrorKind::Enum { .. })
        })
    };
    let of_kind: Vec<&'e Vec<ValidationError<'static>>> = forms.iter().filter(is_of_kind).collect();
    if let [only] = of_kind.as_slice() {
        return Some(only.as_slice());
    }
    let mut of_words = of_kind.into_iter().filter(has_its_words);
    match (of_words.next(), of_words.next()) {
        (Some(only), None) => Some(only.as_slice()),
        _ => None,
    }
}
