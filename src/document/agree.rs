//! The second reader, and the comparison that both must pass.
//!
//! Must not know places beyond those the tree carries: it reads the text afresh, as values only.

use serde_yaml::Value as Other;

use super::{Fault, Faults, Node, Source, Span, Value};

/// Reads the text with the second reader and holds its values against the tree, one by one.
pub(super) fn hold(source: &Source, root: &Node) -> Result<(), Faults> {
    let other = serde_yaml::from_str::<Other>(source.text()).map_err(|error| refused(source, root, &error))?;
    let mut comparison = Comparison { source, faults: Vec::new() };
    comparison.compare(root, &other);
    Faults::none_of(comparison.faults)
}

/// The first reader took the text and the second does not.
fn refused(source: &Source, root: &Node, error: &serde_yaml::Error) -> Fault {
    let span = error.location().map_or(root.heading(), |location| {
        let end = source.text().len();
        Span::empty(location.index().min(end))
    });
    Fault::new("document/readers-differ", format!("one reader takes this text and the other does not: {error}"))
        .label(span, "here")
        .help("write this part in plain block style: one `key: value` a line, indented with blanks, text in quotes")
        .in_source(source)
}

struct Comparison<'a> {
    source: &'a Source,
    faults: Vec<Fault>,
}

impl Comparison<'_> {
    /// Recursion is bounded: the tree is no deeper than the limit on documents.
    fn compare(&mut self, node: &Node, other: &Other) {
        match (&node.value, other) {
            (Value::List(items), Other::Sequence(others)) if items.len() == others.len() => {
                for (item, other) in items.iter().zip(others) {
                    self.compare(item, other);
                }
            }
            (Value::Map(entries), Other::Mapping(others)) if entries.len() == others.len() => {
                for (entry, (other_key, other)) in entries.iter().zip(others) {
                    if matches!(other_key, Other::String(key) if *key == entry.key) {
                        self.compare(&entry.node, other);
                    } else {
                        let ours = format!("the text `{}`", entry.key);
                        self.differ(entry.key_span, &ours, &describe_other(other_key));
                    }
                }
            }
            (value, other) if same_scalar(value, other) => {}
            (value, other) => self.differ(node.span, &describe(value), &describe_other(other)),
        }
    }

    fn differ(&mut self, span: Span, ours: &str, theirs: &str) {
        let written = self.source.slice(span);
        let one_line = !written.is_empty() && !written.contains('\n');
        let (subject, help) = if one_line {
            (
                format!("`{written}`"),
                format!("quote it: `\"{written}\"`, or write it so that it can be read in one way only"),
            )
        } else {
            ("this value".to_owned(), "quote it, or write it so that it can be read in one way only".to_owned())
        };
        let message = format!("{subject} reads as {theirs} by one reader and {ours} by the other");
        self.faults.push(
            Fault::new("document/readers-differ", message)
                .label(span, "two readings")
                .help(help)
                .in_source(self.source),
        );
    }
}

fn same_scalar(value: &Value, other: &Other) -> bool {
    match (value, other) {
        (Value::Null, Other::Null) => true,
        (Value::Bool(ours), Other::Bool(theirs)) => ours == theirs,
        (Value::Text(ours), Other::String(theirs)) => ours == theirs,
        (Value::Number(literal), Other::Number(theirs)) => same_number(literal, theirs),
        _ => false,
    }
}

/// Whole numbers are compared as such; broken ones as the nearest double, bit by bit, which is all that the
/// second reader keeps of them.
fn same_number(literal: &str, theirs: &serde_yaml::Number) -> bool {
    match literal.parse::<i64>() {
        Ok(whole) => theirs.as_i64() == Some(whole),
        Err(_) => theirs.is_f64() && literal.parse::<f64>().ok().map(f64::to_bits) == theirs.as_f64().map(f64::to_bits),
    }
}

fn describe(value: &Value) -> String {
    match value {
        Value::Null => "nothing".to_owned(),
        Value::Bool(truth) => format!("the truth value {truth}"),
        // The plain value: a leading zero is what the two readers differ about.
        Value::Number(literal) => match literal.parse::<i64>() {
            Ok(whole) => format!("the number {whole}"),
            Err(_) => format!("the number {literal}"),
        },
        Value::Text(text) => format!("the text `{text}`"),
        Value::List(items) => format!("a list of {}", items.len()),
        Value::Map(entries) => format!("a mapping of {}", entries.len()),
    }
}

fn describe_other(other: &Other) -> String {
    match other {
        Other::Null => "nothing".to_owned(),
        Other::Bool(truth) => format!("the truth value {truth}"),
        Other::Number(number) => format!("the number {number}"),
        Other::String(text) => format!("the text `{text}`"),
        Other::Sequence(items) => format!("a list of {}", items.len()),
        Other::Mapping(entries) => format!("a mapping of {}", entries.len()),
        Other::Tagged(tagged) => format!("a value tagged `{}`", tagged.tag),
    }
}
