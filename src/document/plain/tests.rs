use std::fs;
use std::path::Path;

use proptest::prelude::*;

use super::super::{Source, events};
use super::read;

fn text_of(file: &Path) -> String {
    fs::read_to_string(file).unwrap()
}

/// Records, shop files and packs, as people write them.
fn written() -> Vec<String> {
    let home = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut texts = vec![text_of(&home.join("shared/demo/shop.yaml"))];
    for folder in ["shared/demo/jobs", "shared/demo/short", "rules/tyre-fill"] {
        let files = fs::read_dir(home.join(folder)).unwrap().map(|entry| entry.unwrap().path());
        let mut files: Vec<_> = files.filter(|file| file.extension().is_some_and(|end| end == "yaml")).collect();
        files.sort();
        texts.extend(files.iter().map(|file| text_of(file)));
    }
    texts
}

/// Nothing is taken that the event reader does not take with the same tree.
fn held_against_the_event_reader(text: &str) -> bool {
    let Some(tree) = read(text) else { return false };
    match events::read(&Source::new("t", text)) {
        Ok(root) => assert_eq!(tree, root, "{text}"),
        Err(faults) => panic!("taken, and the event reader refuses it: {faults:?}\n{text}"),
    }
    true
}

#[test]
fn records_and_shop_files_are_of_the_plain_form() {
    for text in written().iter().filter(|text| !text.contains("pack: 1")) {
        assert!(held_against_the_event_reader(text), "{text}");
    }
}

/// (text, whether it is of the plain form)
#[test]
fn what_is_taken_and_what_is_left() {
    for (text, taken) in [
        ("a: 1\n", true),
        ("# c\n\na: 1 # c\nb:\n  # c\n  c: x: y\n", false),
        ("a: x#y # c\n", true),
        ("a:\n- b: 1\n  c: 2\n-   d: 3\n    e:\n    - f\ng:\n", true),
        ("a: [x, 'y, z', \"[w]\", [1, {b: -2.5, c: []}], {}]\n", true),
        ("- a\n- b: c\n", true),
        ("a: 12:30\nb: 2026-03-04T07:25:00-06:00\nc: {d: 2026-03-04T07:25:00-06:00}\n", true),
        ("a: 3/4 in\nb: .5\nc: -1\nd: ~\ne: größe 😀\n", true),
        ("", false),
        ("# nothing\n", false),
        ("a\n", false),
        (" a: 1\n", false),
        ("a: b\n  c\n", false),
        ("a: b\n\n  c: d\n", false),
        ("a: 1\na: 2\n", false),
        ("a: {b: 1, b: 2}\n", false),
        ("a: 1\n- b\n", false),
        ("a:\n  b: 1\n c: 2\n", false),
        ("a: [b,\n  c]\n", false),
        ("a: [b, ]\n", false),
        ("a: [b: c]\n", false),
        ("a: [b -]\n", false),
        ("a: [b? c]\n", false),
        ("a: [b-c, d?e]\n", true),
        ("a: 'it''s'\n", false),
        ("a: \"\\n\"\n", false),
        ("a: \"b\" c\n", false),
        ("a: |\n  b\n", false),
        ("a: &b c\n", false),
        ("a: *b\n", false),
        ("a: !c d\n", false),
        ("? a\n", false),
        ("- - a\n", false),
        ("-\n  a: 1\n", false),
        ("a:b\n", false),
        ("true: 1\n", false),
        ("<<: {a: 1}\n", false),
        ("a: 0x1F\n", false),
        ("a: .inf\n", false),
        ("a: 1e31\n", false),
        ("a: -\n", false),
        ("a: @b\n", false),
        ("a: b:\n", false),
        ("%YAML 1.2\n---\na: 1\n", false),
        ("---\na: 1\n", false),
        ("a: 1\n...\n", false),
        ("a: 1\n---\nb: 1\n", false),
        ("a:\tb\n", false),
        ("a: b\r\n", false),
    ] {
        assert_eq!(held_against_the_event_reader(text), taken, "{text:?}");
    }
}

#[test]
fn bounds_are_left_to_the_event_reader() {
    let nested = |depth: usize| format!("a: {}{}\n", "[".repeat(depth), "]".repeat(depth));
    assert!(held_against_the_event_reader(&nested(31)));
    assert!(read(&nested(32)).is_none());
    let below =
        |depth: usize| (0..depth).map(|level| [" ".repeat(level), "a:\n".to_owned()].concat()).collect::<String>();
    assert!(held_against_the_event_reader(&below(32)));
    assert!(read(&below(33)).is_none());
    let wide = |count: usize| format!("a: [{}]\n", vec!["1"; count].join(","));
    assert!(held_against_the_event_reader(&wide(49_997)));
    assert!(read(&wide(49_998)).is_none());
    assert!(read(&format!("a: {}\n", "x".repeat(16 * 1024))).is_some());
    assert!(read(&format!("a: {}\n", "x".repeat(16 * 1024 + 1))).is_none());
    assert!(read(&format!("{}: 1\n", "x".repeat(129))).is_none());
}

/// Signs that mean something to YAML somewhere, and pieces of the plain form.
const PIECES: [&str; 44] = [
    "", " ", "  ", "\n", "\n\n", "\n  ", "\n- ", "- ", "-", "--", "---", "...", ":", ": ", ":\n", "#", " #", "# ", "'",
    "\"", "[", "]", "{", "}", ", ", ",", "&a", "*a", "!", "!!str ", "|", ">", "%", "@", "`", "?", "? ", "~", "\\",
    "a: b", "0", ".", "é", "\u{a0}",
];

/// A text with a piece put over some of its bytes.
fn patched(text: &str, at: usize, taken: usize, piece: &str) -> String {
    let edge =
        |at: usize| (at.min(text.len())..=text.len()).find(|at| text.is_char_boundary(*at)).unwrap_or(text.len());
    let (start, end) = (edge(at), edge(at + taken));
    format!("{}{piece}{}", text.get(..start).unwrap(), text.get(end..).unwrap())
}

/// So many texts in every run; 100,000 of each kind were tried once.
const CASES: u32 = 5_000;

proptest! {
    #![proptest_config(ProptestConfig { cases: CASES, ..ProptestConfig::default() })]

    /// Texts as people write them, a stretch of each, with signs put in, taken out and moved.
    #[test]
    fn nothing_is_taken_that_the_event_reader_reads_otherwise(
        which in any::<prop::sample::Index>(),
        from in any::<prop::sample::Index>(),
        lines in 1_usize..40,
        patches in prop::collection::vec((any::<prop::sample::Index>(), 0_usize..3, prop::sample::select(&PIECES[..])), 0..4),
    ) {
        let all = written();
        let text = &all[which.index(all.len())];
        let starts: Vec<&str> = text.split_inclusive('\n').collect();
        let first = from.index(starts.len());
        let mut text: String = starts[first..].iter().take(lines).copied().collect();
        for (at, taken, piece) in patches {
            text = patched(&text, at.index(text.len() + 1), taken, piece);
        }
        held_against_the_event_reader(&format!("{text}\n"));
        // At the margin more of it is of the plain form.
        let margin = text.len() - text.trim_start_matches(' ').len();
        let blanks = format!("\n{}", " ".repeat(margin));
        held_against_the_event_reader(&format!("{}\n", text.trim_start_matches(' ').replace(&blanks, "\n")));
    }

    /// Texts of nothing but such signs.
    #[test]
    fn nor_of_signs_alone(pieces in prop::collection::vec(prop::sample::select(&PIECES[..]), 1..14)) {
        held_against_the_event_reader(&format!("{}\n", pieces.concat()));
        held_against_the_event_reader(&format!("a: {}\n", pieces.concat()));
        held_against_the_event_reader(&format!("a: [{}]\n", pieces.concat()));
        held_against_the_event_reader(&format!("a: {{b: {}}}\n", pieces.concat()));
        held_against_the_event_reader(&format!("a:\n  - b: {}\n    c: d\n", pieces.concat()));
    }
}
