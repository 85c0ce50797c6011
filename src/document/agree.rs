//! The second reader, and the comparison that both must pass.
//!
//! Nearly every text is read alike by both, so the values of the second reader are compared as they arrive; only where
//! one of them differs are they made into a tree, to be shown side by side. Must not know places beyond those the tree
//! carries: it reads the text again, as values only.

mod alike;

use serde_yaml::Value as Other;

pub(super) use alike::alike;

use super::pieces::{Expected, Piece};
use super::quote::in_backticks;
use super::{Code, Content, Fault, Faults, Node, Source, Span, scan_words};

/// Whether the second reader reads every piece of a text as what is expected there.
pub(super) fn all_alike(text: &str, pieces: &[Piece<'_>]) -> bool {
    pieces.iter().all(|piece| text.get(piece.bytes.clone()).is_some_and(|text| alike(text, &piece.expected)))
}

/// Reads the text with the second reader and holds its values against the tree, one by one.
pub(super) fn hold(source: &Source, root: &Node) -> Result<(), Faults> {
    if alike(source.text(), &Expected::Node(root)) {
        return Ok(());
    }
    let other = serde_yaml::from_str::<Other>(source.text()).map_err(|error| refused(source, root, &error))?;
    let mut comparison = Agreement { source, faults: Vec::new() };
    comparison.compare(root, &other);
    Faults::none_of(comparison.faults)
}

/// The first reader took the text and the second does not.
fn refused(source: &Source, root: &Node, error: &serde_yaml::Error) -> Fault {
    // By line and column: the reader's offset counts characters, not bytes.
    let place = error.location().map(|location| source.offset(location.line(), location.column()));
    if let Some(fault) = place.and_then(|at| scan_words::tab_at(source, at)) {
        return fault.in_source(source);
    }
    Fault::new(Code::DocumentReadersDiffer, format!("one reader takes this text and the other does not: {error}"))
        .label(place.map_or(root.heading(), Span::empty), "here")
        .help("write one `key: value` a line, indented with spaces, and text in quotes")
        .in_source(source)
}

struct Agreement<'a> {
    source: &'a Source,
    faults: Vec<Fault>,
}

impl Agreement<'_> {
    /// Recursion is bounded: the tree is no deeper than the limit on documents.
    fn compare(&mut self, node: &Node, other: &Other) {
        match (&node.value, other) {
            (Content::List(items), Other::Sequence(others)) if items.len() == others.len() => {
                for (item, other) in items.iter().zip(others) {
                    self.compare(item, other);
                }
            }
            (Content::Map(entries), Other::Mapping(others)) if entries.len() == others.len() => {
                for (entry, (other_key, other)) in entries.iter().zip(others) {
                    if matches!(other_key, Other::String(key) if *key == entry.key) {
                        self.compare(&entry.node, other);
                    } else {
                        let ours = format!("the text {}", in_backticks(&entry.key));
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
        let (subject, help) = if written.is_empty() || written.contains('\n') {
            ("this value".to_owned(), "quote it, or write it so that it can be read in one way only".to_owned())
        } else {
            let quoted = format!("`\"{written}\"`");
            let help = match time_of_day(written) {
                Some(time) => format!("write a time as `{time}`; anything else in quotes, {quoted}"),
                None => format!("quote it: {quoted}, or write it so that it can be read in one way only"),
            };
            (in_backticks(written), help)
        };
        let message = format!("{subject} reads as {theirs} by one reader and {ours} by the other");
        self.faults.push(
            Fault::new(Code::DocumentReadersDiffer, message)
                .label(span, "two readings")
                .help(help)
                .in_source(self.source),
        );
    }
}

/// The time of day that four figures in a row may mean.
fn time_of_day(written: &str) -> Option<String> {
    let (hour, minute) = written.split_at_checked(2).filter(|(_, minute)| minute.len() == 2)?;
    let below = |part: &str, end: u8| {
        part.bytes().all(|byte| byte.is_ascii_digit()) && part.parse::<u8>().is_ok_and(|number| number < end)
    };
    (below(hour, 24) && below(minute, 60)).then(|| format!("{hour}:{minute}"))
}

fn same_scalar(value: &Content, other: &Other) -> bool {
    match (value, other) {
        (Content::Null, Other::Null) => true,
        (Content::Bool(ours), Other::Bool(theirs)) => ours == theirs,
        (Content::Text(ours), Other::String(theirs)) => ours == theirs,
        (Content::Number(literal), Other::Number(theirs)) => same_number(literal, theirs),
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

fn describe(value: &Content) -> String {
    match value {
        Content::Null => "nothing".to_owned(),
        Content::Bool(truth) => format!("the truth value {truth}"),
        // The plain value: a leading zero is what the two readers differ about.
        Content::Number(literal) => match literal.parse::<i64>() {
            Ok(whole) => format!("the number {whole}"),
            Err(_) => format!("the number {literal}"),
        },
        Content::Text(text) => format!("the text {}", in_backticks(text)),
        Content::List(items) => format!("a list of {}", items.len()),
        Content::Map(entries) => format!("a set of {} names with values", entries.len()),
    }
}

fn describe_other(other: &Other) -> String {
    match other {
        Other::Null => "nothing".to_owned(),
        Other::Bool(truth) => format!("the truth value {truth}"),
        Other::Number(number) => format!("the number {number}"),
        Other::String(text) => format!("the text {}", in_backticks(text)),
        Other::Sequence(items) => format!("a list of {}", items.len()),
        Other::Mapping(entries) => format!("a set of {} names with values", entries.len()),
        Other::Tagged(tagged) => format!("a value tagged `{}`", tagged.tag),
    }
}

#[cfg(test)]
mod tests {
    use super::super::events;
    use super::*;

    /// What each reader would have to say if one read the first text and the other the second.
    fn differences(ours: &str, theirs: &str) -> Vec<String> {
        let source = Source::new("t", ours);
        let root = events::read(&source).unwrap();
        let other = serde_yaml::from_str::<Other>(theirs).unwrap();
        let mut comparison = Agreement { source: &source, faults: Vec::new() };
        comparison.compare(&root, &other);
        comparison.faults.iter().map(ToString::to_string).collect()
    }

    /// Four figures in a row are a time where they can be one.
    #[test]
    fn figures_of_a_clock_are_told_with_their_colon() {
        for (written, time) in
            [("0930", Some("09:30")), ("2359", Some("23:59")), ("0960", None), ("2400", None), ("093", None)]
        {
            assert_eq!(time_of_day(written).as_deref(), time, "{written}");
        }
        let faults = super::super::Document::read("t", b"planned_start: 0930\n").unwrap_err();
        let help = miette::Diagnostic::help(faults.iter().next().unwrap()).unwrap().to_string();
        assert_eq!(help, "write a time as `09:30`; anything else in quotes, `\"0930\"`");
    }

    /// (one text, the other text, the message)
    #[test]
    fn every_kind_of_difference_is_seen() {
        for (ours, theirs, message) in [
            ("a: 1\n", "a: 2\n", "`1` reads as the number 2 by one reader and the number 1 by the other"),
            ("a: 1\n", "a: 1.0\n", "`1` reads as the number 1.0 by one reader and the number 1 by the other"),
            (
                "a: 1.5\n",
                "a: 1.5000000000000002\n",
                "`1.5` reads as the number 1.5000000000000002 by one reader and the number 1.5 by the other",
            ),
            ("a: 0.0\n", "a: -0.0\n", "`0.0` reads as the number -0.0 by one reader and the number 0.0 by the other"),
            ("a: 1\n", "a: '1'\n", "`1` reads as the text `1` by one reader and the number 1 by the other"),
            ("a: x\n", "a: y\n", "`x` reads as the text `y` by one reader and the text `x` by the other"),
            ("a: x\n", "a: true\n", "`x` reads as the truth value true by one reader and the text `x` by the other"),
            (
                "a: true\n",
                "a: false\n",
                "`true` reads as the truth value false by one reader and the truth value true by the other",
            ),
            ("a:\n", "a: ''\n", "this value reads as the text `` by one reader and nothing by the other"),
            ("a: [1]\n", "a: [1, 2]\n", "`[1]` reads as a list of 2 by one reader and a list of 1 by the other"),
            (
                "a: [1]\n",
                "a: {}\n",
                "`[1]` reads as a set of 0 names with values by one reader and a list of 1 by the other",
            ),
            (
                "a: {}\n",
                "a: !t 1\n",
                "`{}` reads as a value tagged `!t` by one reader and a set of 0 names with values by the other",
            ),
            ("a: 1\n", "b: 1\n", "`a` reads as the text `b` by one reader and the text `a` by the other"),
            ("a: 1\n", "1: 1\n", "`a` reads as the number 1 by one reader and the text `a` by the other"),
            ("a: 1\n", "~\n", "`a: 1` reads as nothing by one reader and a set of 1 names with values by the other"),
            ("- |\n  x\n", "- x\n", "this value reads as the text `x` by one reader and the text `x\\n` by the other"),
        ] {
            assert_eq!(differences(ours, theirs), [message]);
            assert!(
                !alike(theirs, &Expected::Node(&events::read(&Source::new("t", ours)).unwrap())),
                "{ours:?} for {theirs:?}"
            );
        }
        // The order of keys counts.
        assert_eq!(differences("a: 1\nb: 2\n", "b: 2\na: 1\n").len(), 2);
        assert_eq!(differences("a: [1, {b: 2.50, c: ~}]\n", "a: [1, {b: 2.5, c: ~}]\n"), [""; 0]);
    }

    /// Every one of these characters put into every place of a text with a value of every kind: the comparison of
    /// values as they arrive agrees with that of the trees.
    #[test]
    fn what_is_told_and_what_is_built_are_alike_in_the_same_texts() {
        let text =
            "a: 1\nb: [2.50, {c: ~, d: 'x y'}, true]\nentries:\n  - f: -0\n    g: \"q\"\n  - washed\ni: \"loosened\"\n";
        let root = events::read(&Source::new("t", text)).unwrap();
        let (mut like, mut unlike) = (0, 0);
        for place in 0..=text.len() {
            for put in [
                "", "0", "1", "x", " ", "  ", "\n", "#", " #", ":", ": ", "-", "- ", "'", "[", "]", "!", "!t ",
                "!!int ", "&a ", "+", ".",
            ] {
                for taken in [0, 1] {
                    let after = text.get(place + taken..).unwrap_or_default();
                    let theirs = format!("{}{put}{after}", text.get(..place).unwrap());
                    let source = Source::new("t", text);
                    let mut comparison = Agreement { source: &source, faults: Vec::new() };
                    let built = serde_yaml::from_str::<Other>(&theirs).map(|other| comparison.compare(&root, &other));
                    let built = built.is_ok() && comparison.faults.is_empty();
                    assert_eq!(alike(&theirs, &Expected::Node(&root)), built, "{theirs:?}");
                    *if built { &mut like } else { &mut unlike } += 1;
                }
            }
        }
        assert!(like > 300 && unlike > 1500, "{like} alike, {unlike} not");
    }
}
