use std::cell::Cell;
use std::fs;
use std::path::Path;

use proptest::prelude::*;

use super::super::agree::{alike, all_alike};
use super::super::plain;
use super::{ENOUGH, Expected, of};

/// Records and shop files, as people write them.
fn written() -> Vec<String> {
    let home = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut texts = vec![fs::read_to_string(home.join("shared/demo/shop.yaml")).unwrap()];
    for folder in ["shared/demo/jobs", "shared/demo/short"] {
        let files = fs::read_dir(home.join(folder)).unwrap().map(|entry| entry.unwrap().path());
        let mut files: Vec<_> = files.filter(|file| file.extension().is_some_and(|end| end == "yaml")).collect();
        files.sort();
        texts.extend(files.iter().map(|file| fs::read_to_string(file).unwrap()));
    }
    texts
}

/// A text that a long list stands in, between other keys.
fn with_a_list(indent: usize) -> String {
    let item = |index: usize| {
        let (dash, below) = (" ".repeat(indent), " ".repeat(indent + 2));
        format!(
            "{dash}- mark: loader {index}\n{below}# a remark\n\n{below}log:\n{below}- 1\n{below}- [2, x]\n{below}rim: {{kind: k, of: [a, b]}}\n"
        )
    };
    let items: String = (0..60).map(item).collect();
    format!("# head\na: 1\nb:\n  c: 2\nlist: # of these\n# all of them\n{items}# behind\nd: ~\n")
}

/// What is told of a text that the quick reader takes: whether all its pieces are read alike, and whether the whole is.
fn told(text: &str) -> Option<(bool, bool)> {
    let root = plain::read(text)?;
    let pieces = of(text, &root);
    let mut end = 0;
    for piece in &pieces {
        assert_eq!(piece.bytes.start, end, "{text}");
        end = piece.bytes.end;
    }
    assert_eq!(end, text.len(), "{text}");
    Some((all_alike(text, &pieces), alike(text, &Expected::Node(&root))))
}

#[test]
fn what_people_write_is_read_in_pieces_that_are_not_long() {
    for text in written().into_iter().chain([with_a_list(0), with_a_list(2), with_a_list(4)]) {
        assert_eq!(told(&text), Some((true, true)), "{text}");
        let root = plain::read(&text).unwrap();
        let longest = of(&text, &root).iter().map(|piece| piece.bytes.len()).max().unwrap();
        assert!(longest < 6 * ENOUGH, "{longest} of {} bytes: {text}", text.len());
    }
}

/// Whoever reads the pieces otherwise than they are meant reads the whole otherwise, and the other way round: with anything
/// put anywhere, and with the values of another text.
#[test]
fn the_pieces_are_read_as_the_whole_is() {
    let texts: Vec<String> = written().into_iter().chain([with_a_list(0), with_a_list(2)]).collect();
    let put = prop::sample::select(vec![
        "", "0", "x", " ", "  ", "\n", "\n\n", "#", " #", ":", ": ", "-", "- ", "- - ", "\n- ", "\n---\n", "\n...\n",
        "'", "\"", "[", "]", "{", "}", "!", "!t ", "!!int ", "&a ", "*a", "?", "|", ">", "%", "@", ",", "+", ".",
        "010", "~", "yes", "1e3", "1_0", "0o7", "\u{85}", "\u{2028}", "\u{feff}", "<<: ",
    ]);
    let strategy = (any::<prop::sample::Index>(), any::<prop::sample::Index>(), put, 0..3_usize);
    let config = ProptestConfig { cases: 4000, failure_persistence: None, ..ProptestConfig::default() };
    let (taken, alike_all, unlike) = (Cell::new(0), Cell::new(0), Cell::new(0));
    let count = |of: &Cell<u32>| of.set(of.get() + 1);
    proptest::test_runner::TestRunner::new(config)
        .run(&strategy, |(which, place, put, less)| {
            let text = which.get(&texts);
            let at = place.index(text.len() + 1);
            let (Some(before), Some(after)) = (text.get(..at), text.get((at + less).min(text.len())..)) else {
                return Ok(());
            };
            let changed = format!("{before}{put}{after}");
            let Some((pieces, whole)) = told(&changed) else { return Ok(()) };
            count(&taken);
            prop_assert_eq!(pieces, whole, "{}", changed);
            count(if pieces { &alike_all } else { &unlike });
            // The values of the text as it was, where another sign stands in one of its words.
            let is_sign = |sign: &str| !sign.is_empty() && sign.bytes().all(|byte| byte.is_ascii_alphanumeric());
            if changed.len() == text.len() && is_sign(put) && text.get(at..at + less).is_some_and(is_sign) {
                let root = plain::read(text).unwrap();
                let pieces = all_alike(&changed, &of(&changed, &root));
                prop_assert_eq!(pieces, alike(&changed, &Expected::Node(&root)), "{}", changed);
                count(if pieces { &alike_all } else { &unlike });
            }
            Ok(())
        })
        .unwrap();
    let [taken, alike_all, unlike] = [taken, alike_all, unlike].map(Cell::into_inner);
    assert!(taken > 1000 && alike_all > 500 && unlike > 20, "{taken} taken, {alike_all} alike, {unlike} not");
}
