//! Tables of texts and what becomes of them, and attacks on the reader.

use std::time::{Duration, Instant};

use super::super::Document;
use super::super::limits::{MAX_DEPTH, MAX_KEY_BYTES, MAX_NODES, MAX_TEXT_BYTES};

/// Code and labelled text of each fault.
fn faults(text: &str) -> Vec<(&'static str, String)> {
    match Document::read("t", text.as_bytes()) {
        Ok(document) => panic!("{text:?} is taken as {}", document.to_json()),
        Err(faults) => faults
            .iter()
            .map(|fault| {
                assert!(fault.cure().is_some(), "{text:?}: no cure for {}", fault.message());
                assert!(fault.message().starts_with(|c: char| !c.is_uppercase()) && !fault.message().ends_with('.'));
                let source = fault.source().expect("a fault of a text has its source");
                // Only the fault that says that there are more has no place.
                let span = fault.span().unwrap_or_default();
                assert!(source.text().get(span.start..span.end).is_some(), "{text:?}: span {span:?}");
                (
                    fault.code().word().strip_prefix("document/").unwrap_or(fault.code().word()),
                    source.slice(span).to_owned(),
                )
            })
            .collect(),
    }
}

/// (text, code, labelled text)
const REFUSED: &[(&str, &str, &str)] = &[
    // What YAML can do and a document must not.
    ("a: &x 1\n", "anchor", "&x"),
    ("a: &x\n  b: 1\n", "anchor", "&x"),
    ("a: &x [1]\n", "anchor", "&x"),
    ("&x a: 1\n", "anchor", "&x"),
    ("a: !!str 1\n", "tag", "!!str"),
    ("a: !local\n  - 1\n", "tag", "!local"),
    ("!<tag:example.com,2026:job>\na: 1\n", "tag", "!<tag:example.com,2026:job>"),
    ("a:\n  <<: {b: 1}\n", "merge-key", "<<"),
    ("a: 1\n---\nb: 2\n", "several-documents", "---"),
    ("a: 1\n...\nb: 2\n", "several-documents", ""),
    ("a: 1\n---\n", "several-documents", "---"),
    ("%YAML 1.2\n---\na: 1\n", "directive", "%YAML 1.2"),
    ("# c\n\n%YAML 1.1 \na: 1\n", "directive", "%YAML 1.1"),
    ("%TAG ! tag:x,2000:\n---\na: 1\n", "directive", "%TAG ! tag:x,2000:"),
    ("", "empty", ""),
    (" \r\n\t\n", "empty", ""),
    ("# nothing\n", "empty", ""),
    ("---\n", "empty", ""),
    ("~", "empty", ""),
    ("\u{feff}", "empty", ""),
    // Keys.
    ("tyre: 1\nrim: 2\ntyre: 3\n", "duplicate-key", "tyre"),
    ("tyre: 1\n\"ty\\u0072e\": 3\n", "duplicate-key", "\"ty\\u0072e\""),
    ("{a: 1, 'a': 2}\n", "duplicate-key", "'a'"),
    ("1: x\n", "key-not-text", "1"),
    ("010: x\n", "key-not-text", "010"),
    ("1.5: x\n", "key-not-text", "1.5"),
    ("true: x\n", "key-not-text", "true"),
    ("~: x\n", "key-not-text", "~"),
    (": x\n", "key-not-text", ""),
    ("[a]: x\n", "key-not-text", "[a]"),
    ("? - a\n: x\n", "key-not-text", "- a"),
    ("\"a\\nb\": 1\n", "odd-key", "\"a\\nb\""),
    // Numbers.
    ("a: .inf\n", "not-finite", ".inf"),
    ("a: [-.INF]\n", "not-finite", "-.INF"),
    ("a: .NaN\n", "not-finite", ".NaN"),
    ("a: 0o10\n", "not-decimal", "0o10"),
    ("a: 0x1F\n", "not-decimal", "0x1F"),
    ("a: 9223372036854775808\n", "number-out-of-range", "9223372036854775808"),
    ("a: 1e400\n", "number-out-of-range", "1e400"),
    ("a: 1e-999999999\n", "number-out-of-range", "1e-999999999"),
    // Escapes that bring in what a file may not hold.
    ("a: \"\\0\"\n", "control-character", "\"\\0\""),
    ("a: \"\\e[31m\"\n", "control-character", "\"\\e[31m\""),
    ("a: \"\\u202e\"\n", "hidden-character", "\"\\u202e\""),
    ("\"\\u200bk\": 1\n", "hidden-character", "\"\\u200bk\""),
    ("a: \"x\\ry\"\n", "odd-line-break", "\"x\\ry\""),
    ("a: \"\\L\"\n", "odd-line-break", "\"\\L\""),
    // Two readings.
    ("a: 010\n", "readers-differ", "010"),
    ("a: -007\n", "readers-differ", "-007"),
    ("a: [1, 00]\n", "readers-differ", "00"),
    ("a: 0b11\n", "readers-differ", "0b11"),
    ("a: -0x1F\n", "readers-differ", "-0x1F"),
    ("a: +0o7\n", "readers-differ", "+0o7"),
    // Typing slips.
    ("\ta: 1\n", "tab-indent", "\t"),
    ("é: 1\nb:\n  - é\n  -\té\n", "tab-indent", "\t"),
    ("é:\n- é\n- \té\n", "tab-indent", "\t"),
    ("a:\n\tb: 1\n", "tab-indent", "\t"),
    ("a:\n  b: 1\n\tc: 2\n", "tab-indent", "\t"),
    ("a:\n  b: |\n\tx\n", "tab-indent", "\t"),
    ("- a\n\t- b\n", "tab-indent", "\t"),
    ("a: \"x\nb: 1\n", "not-yaml", "\""),
    ("a: 'x", "not-yaml", "'"),
    ("a: 'it's'\n", "not-yaml", "s"),
    ("a: \"x\" y\n", "not-yaml", "y"),
    ("a: \"x\": y\n", "not-yaml", ":"),
    ("a: b: c\n", "not-yaml", ":"),
    ("a: 1\n b: 2\n", "not-yaml", ":"),
    ("a:\n  b: 1\n c: 2\n", "not-yaml", "c"),
    ("a:1\nb: 2\n", "not-yaml", "a:1"),
    ("a:\t1\n", "not-yaml", "a:\t1"),
    ("'a':1\n", "not-yaml", ":"),
    ("- a\nb: 1\n", "not-yaml", "b"),
    ("a: - b\n", "not-yaml", "-"),
    ("a: [1, 2\n", "not-yaml", ""),
    ("a: [1}\n", "not-yaml", "}"),
    ("a: ]\n", "not-yaml", "]"),
    ("a: [,]\n", "not-yaml", ","),
    ("a: [\n1]\n", "not-yaml", "1"),
    ("a: @x\n", "not-yaml", "@"),
    ("a: `x`\n", "not-yaml", "`"),
    ("a: %x\n", "not-yaml", "%"),
    ("a: *\n", "not-yaml", "*"),
    ("a: *nowhere\n", "not-yaml", "*"),
    ("a: \"\\q\"\n", "not-yaml", "\""),
    ("a: \"\\ud800\"\n", "not-yaml", "\""),
    ("a: x #y\n#z\n  w\n", "not-yaml", "w"),
    ("é: \"ü\" 😀\n", "not-yaml", "😀"),
];

#[test]
fn each_text_is_refused_for_its_own_reason() {
    for (text, code, labelled) in REFUSED {
        assert_eq!(faults(text), [(*code, (*labelled).to_owned())], "{text:?}");
    }
}

#[test]
fn every_slip_is_worded_here_and_not_by_the_parser() {
    for (text, ..) in REFUSED.iter().filter(|(_, code, _)| *code == "not-yaml") {
        for fault in &Document::read("t", text.as_bytes()).unwrap_err() {
            assert!(!fault.message().contains("this is not YAML"), "{text:?}: {}", fault.message());
        }
    }
}

#[test]
fn several_faults_are_shown_at_once_in_document_order() {
    let text = "a: &x 1\nb: *x\nb: 2\n3: !t\n";
    let codes: Vec<&str> = faults(text).into_iter().map(|(code, _)| code).collect();
    assert_eq!(codes, ["anchor", "alias", "duplicate-key", "key-not-text", "tag"]);
}

#[test]
fn both_places_of_a_duplicate_key_and_both_readings_are_shown() {
    let twice = Document::read("t", b"tyre: 1\nrim: 2\ntyre: 3\n").unwrap_err().into_vec();
    let places: Vec<_> = twice[0].labels().iter().map(|label| (label.span.start, label.text.as_str())).collect();
    assert_eq!(places, [(15, "again here"), (0, "before that here")]);

    let differ = Document::read("t", b"a: 010\n").unwrap_err().into_vec();
    assert_eq!(differ[0].message(), "`010` reads as the text `010` by one reader and the number 10 by the other");
    assert!(differ[0].cure().unwrap().starts_with("quote it: `\"010\"`"));
}

/// (text, its values as JSON)
#[test]
fn what_people_write_is_read() {
    for (text, json) in [
        ("---\na: 1\n...\n", r#"{"a":1}"#),
        ("\u{feff}a: 1", r#"{"a":1}"#),
        (
            "a: 1_000\nb: yes\nc: 2026-10-15\nd: 12:30:00\n",
            r#"{"a":"1_000","b":"yes","c":"2026-10-15","d":"12:30:00"}"#,
        ),
        ("a: .5\nb: 5.\nc: 1e3\nd: +5\ne: -0\n", r#"{"a":0.5,"b":5.0,"c":1000.0,"d":5,"e":0}"#),
        ("a: '010'\nb: \"0x1F\"\n\"<<\": 1\n", r#"{"<<":1,"a":"010","b":"0x1F"}"#),
        ("a:\r\n- 1\r\n-\r\n- b: |\r\n    x\r\n    y\r\n", r#"{"a":[1,null,{"b":"x\ny\n"}]}"#),
        ("a: >-\n  folded\n  text\nb: |+\n  kept\n\n", r#"{"a":"folded text","b":"kept\n\n"}"#),
        ("a: |\n  no line break at the end", r#"{"a":"no line break at the end\n"}"#),
        ("a: 105 psi # rim\nb: 1# no comment\n", r#"{"a":"105 psi","b":"1# no comment"}"#),
        ("a: {x: 1,\n  y: [2, 'z']\n}\n", r#"{"a":{"x":1,"y":[2,"z"]}}"#),
        ("- - a\n  - b\n- {}\n- []\n- ''\n", r#"[["a","b"],{},[],""]"#),
        ("just text", r#""just text""#),
    ] {
        let document = Document::read("t", text.as_bytes()).unwrap_or_else(|faults| panic!("{text:?}: {faults:?}"));
        assert_eq!(document.to_json(), serde_json::from_str::<serde_json::Value>(json).unwrap(), "{text:?}");
        let trusted = Document::read_trusted("t", text).unwrap();
        assert_eq!(trusted.root(), document.root(), "{text:?}");
    }
}

/// One refusal of `text`, with this code, in less than the time a person notices.
fn refused_at_once(name: &str, text: &str, code: &str) {
    let begun = Instant::now();
    let found = faults(text);
    let taken = begun.elapsed();
    assert_eq!(found.first().map(|(code, _)| *code), Some(code), "{name}");
    assert!(taken < Duration::from_secs(5), "{name}: {taken:?}");
}

#[test]
fn depth_is_bounded_before_any_reader_recurses() {
    let spaces = |depth: usize| " ".repeat(depth);
    let block = (0..1000).map(|depth| format!("{}a:\n", spaces(depth))).collect::<Vec<_>>().concat();
    for (name, text) in [
        ("brackets", "[".repeat(10_000)),
        ("closed brackets", format!("{}{}", "[".repeat(10_000), "]".repeat(10_000))),
        ("braces", "{a: ".repeat(10_000)),
        ("dashes", "- ".repeat(10_000)),
        ("question marks", "? ".repeat(10_000)),
        ("block mappings", block),
        ("a megabyte of brackets", "[".repeat(1024 * 1024)),
    ] {
        refused_at_once(name, &text, "too-deep");
    }
    let deepest = format!("{}1{}", "[".repeat(MAX_DEPTH), "]".repeat(MAX_DEPTH));
    assert!(Document::read("t", deepest.as_bytes()).is_ok());
    assert_eq!(faults(&format!("[{deepest}]")), [("too-deep", "[".to_owned())]);
}

#[test]
fn size_is_bounded_and_the_time_does_not_run_away() {
    let megabyte = 1_000_000;
    for (name, text, code) in [
        ("commas", format!("[{}]", "a,".repeat(megabyte / 2)), "too-many-values"),
        ("keys", (0..90_000).map(|key| format!("k{key}: 1\n")).collect::<Vec<_>>().concat(), "too-many-values"),
        ("one key", "a: 1\n".repeat(megabyte / 5), "duplicate-key"),
        ("one text", "a ".repeat(megabyte / 2), "too-long"),
        ("one block text", format!("a: |\n{}", " b\n".repeat(megabyte / 3)), "too-long"),
        ("quotes", "\"".repeat(megabyte + 1), "not-yaml"),
        ("closing brackets", "]".repeat(megabyte), "not-yaml"),
        ("colons", ": ".repeat(megabyte / 2), "key-not-text"),
        ("anchor", "&".repeat(megabyte), "anchor"),
        ("blanks", " ".repeat(megabyte), "empty"),
        ("lines", "\n".repeat(megabyte), "empty"),
        ("comments", "# c\n".repeat(megabyte / 4), "empty"),
        ("documents", "---\n".repeat(megabyte / 4), "several-documents"),
    ] {
        refused_at_once(name, &text, code);
    }
    let long = "x".repeat(MAX_TEXT_BYTES);
    assert!(Document::read("t", format!("a: {long}").as_bytes()).is_ok());
    assert_eq!(faults(&format!("a: {long}x"))[0].0, "too-long");
    assert_eq!(faults(&format!("a: '{long}x'"))[0].0, "too-long");
    let key = "k".repeat(MAX_KEY_BYTES);
    assert!(Document::read("t", format!("{key}: 1").as_bytes()).is_ok());
    assert_eq!(faults(&format!("{key}k: 1"))[0].0, "odd-key");
    // The list itself counts as one.
    let values = |count: usize| format!("[{}]", "a,".repeat(count - 1));
    assert!(Document::read("t", values(MAX_NODES).as_bytes()).is_ok());
    assert_eq!(faults(&values(MAX_NODES + 1)), [("too-many-values", "a".to_owned())]);
}
