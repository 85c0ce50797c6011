//! Trees written as YAML in many ways: every span must slice out exactly what was written.

mod writer;

use proptest::prelude::*;

use writer::Writer;

use super::super::{Content, Document, Path};

/// What is written, before it is written.
#[derive(Debug, Clone)]
enum Tree {
    /// A scalar that can stand anywhere: as written, and its value.
    Word(&'static str, Content),
    /// Header and lines of a block text.
    Block(&'static str, Vec<&'static str>),
    List(Style, Vec<Tree>),
    Map(Style, Vec<(&'static str, Tree)>),
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Style {
    Block,
    /// A block list at the indentation of its key.
    Flush,
    Flow,
}

fn scalars() -> Vec<(&'static str, Content)> {
    let text = |text: &str| Content::Text(text.into());
    let number = |literal: &str| Content::Number(literal.into());
    vec![
        ("105 psi", text("105 psi")),
        ("12.5/80-18", text("12.5/80-18")),
        ("größe 😀 x", text("größe 😀 x")),
        ("a#b:c", text("a#b:c")),
        ("105\u{a0}psi\u{3000}", text("105\u{a0}psi\u{3000}")),
        ("2026-10-15T08:00+02:00", text("2026-10-15T08:00+02:00")),
        ("-12", number("-12")),
        ("+1.50e3", number("+1.50e3")),
        ("true", Content::Bool(true)),
        ("~", Content::Null),
        ("''", text("")),
        ("'it''s 😀 # no comment'", text("it's 😀 # no comment")),
        ("\"a \\\"b\\\" \\\\\"", text("a \"b\" \\")),
        ("\"\\u00e9\\ttab: {[\"", text("é\ttab: {[")),
        ("'é, ]'", text("é, ]")),
    ]
}

/// Keys as written; all different.
const KEYS: [&str; 6] = ["tyre", "'k''ey'", "\"😀 \\\" é\"", "größe-2", "two words", "x.y"];

fn style() -> impl Strategy<Value = Style> {
    prop_oneof![3 => Just(Style::Block), 2 => Just(Style::Flush), 1 => Just(Style::Flow)]
}

fn tree() -> impl Strategy<Value = Tree> {
    let word = proptest::sample::select(scalars()).prop_map(|(written, value)| Tree::Word(written, value));
    let header = proptest::sample::select(vec!["|", ">", "|-", ">-", "|+", "|  # why"]);
    let line =
        proptest::sample::select(vec!["text", "é 😀", "# not a comment", "- not: a list", "", "  deeper", "\"q"]);
    let block = (header, proptest::collection::vec(line, 1..4)).prop_map(|(header, mut lines)| {
        // The first and the last line have content, so that indentation and end are plain to see.
        lines.insert(0, "first");
        lines.push("last");
        Tree::Block(header, lines)
    });
    let leaf = prop_oneof![4 => word, 1 => block];
    leaf.prop_recursive(4, 24, 4, |inner| {
        let list =
            (style(), proptest::collection::vec(inner.clone(), 1..4)).prop_map(|(s, items)| Tree::List(s, items));
        let keys = proptest::sample::subsequence(KEYS.to_vec(), 1..=4).prop_shuffle();
        let map = (style(), keys, proptest::collection::vec(inner, 4))
            .prop_map(|(s, keys, values)| Tree::Map(s, keys.into_iter().zip(values).collect()));
        prop_oneof![list, map]
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn every_span_slices_out_what_was_written(
        entries in proptest::collection::vec(tree(), 1..5),
        noise in proptest::collection::vec(any::<u8>(), 1..40),
        start in proptest::sample::select(vec!["", "\u{feff}", "---\n", "# head é\n", "\u{feff}--- # 😀\n"]),
        crlf in any::<bool>(),
    ) {
        let line_break = if crlf { "\r\n" } else { "\n" };
        let mut writer = Writer {
            out: start.trim_start_matches('\u{feff}').replace('\n', line_break),
            line_break,
            noise,
            turn: 0,
            path: Path::root(),
            values: Vec::new(),
            keys: Vec::new(),
        };
        let entries: Vec<(&'static str, Tree)> = KEYS.into_iter().zip(entries).collect();
        writer.map(&entries, 0, false);
        let mark = if start.starts_with('\u{feff}') { "\u{feff}" } else { "" };
        let written = format!("{mark}{}", writer.out);

        let document = match Document::read("t", written.as_bytes()) {
            Ok(document) => document,
            Err(faults) => return Err(TestCaseError::fail(format!("{written}\n{faults:#?}"))),
        };
        prop_assert_eq!(document.source().text(), writer.out.as_str());
        for (path, range, value) in &writer.values {
            let node = document.node(path).expect("what was written is there");
            prop_assert_eq!(node.span.start..node.span.end, range.clone(), "{} in\n{}", path, written);
            if let Some(value) = value {
                prop_assert_eq!(&node.value, value, "{} in\n{}", path, written);
            }
        }
        for (path, range) in &writer.keys {
            let key = document.locate(path).key.expect("the key that was written is there");
            prop_assert_eq!(key.start..key.end, range.clone(), "{} in\n{}", path, written);
        }
    }

    /// Whatever is typed is read or refused with a place inside the text, never a panic.
    #[test]
    fn whatever_is_typed_is_answered(pieces in proptest::collection::vec(piece(), 0..32)) {
        let text = pieces.concat();
        match Document::read("t", text.as_bytes()) {
            Ok(document) => prop_assert!(in_order(document.root(), document.source().text())),
            Err(faults) => {
                for fault in &faults {
                    let (span, source) = (fault.span().unwrap_or_default(), fault.source().expect("a source"));
                    prop_assert!(source.text().get(span.start..span.end).is_some(), "{:?} {:?}", text, fault);
                }
            }
        }
    }
}

/// Scraps of YAML, joined at random.
fn piece() -> impl Strategy<Value = &'static str> {
    proptest::sample::select(vec![
        "a",
        "b: ",
        "c:",
        "- ",
        "-",
        "? ",
        ": ",
        "\n",
        "\n ",
        "\n  ",
        "\n    ",
        "\t",
        " ",
        "[",
        "]",
        "{",
        "}",
        ", ",
        ",",
        "\"",
        "'",
        "|",
        ">",
        "|-\n",
        ">+2\n",
        "# c\n",
        " #",
        "&x ",
        "*x",
        "!t ",
        "!!str ",
        "%YAML 1.2\n",
        "---\n",
        "...\n",
        "--- ",
        "\r\n",
        "\r",
        "\u{feff}",
        "é",
        "😀",
        "\\",
        "\\u00e9",
        "1",
        "010",
        "0x1",
        ".inf",
        "1e9",
        "~",
        "null",
        "<<: ",
        "@",
        "`",
        "%",
        "\u{85}",
        "\0",
        "=",
    ])
}

/// Whether the spans of a tree lie inside one another, in order, and on character boundaries.
fn in_order(node: &super::super::Node, text: &str) -> bool {
    let inside = |inner: super::super::Span| node.span.start <= inner.start && inner.end <= node.span.end;
    text.get(node.span.start..node.span.end).is_some()
        && match &node.value {
            Content::List(items) => {
                items.iter().all(|item| inside(item.span) && in_order(item, text))
                    && items.windows(2).all(|pair| pair[0].span.end <= pair[1].span.start)
            }
            Content::Map(entries) => {
                entries.iter().all(|entry| {
                    inside(entry.key_span)
                        && inside(entry.node.span)
                        && entry.key_span.end <= entry.node.span.start
                        && in_order(&entry.node, text)
                }) && entries.windows(2).all(|pair| pair[0].node.span.end <= pair[1].key_span.start)
            }
            _ => true,
        }
}
