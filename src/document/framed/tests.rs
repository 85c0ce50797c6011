use miette::{GraphicalReportHandler, GraphicalTheme};
use proptest::prelude::*;

use super::*;
use crate::document::Code;

fn drawn(fault: &Fault, width: usize) -> String {
    let mut out = String::new();
    let handler = GraphicalReportHandler::new_themed(GraphicalTheme::unicode_nocolor()).with_width(width);
    handler.render_report(&mut out, &Framed::new(fault, width)).unwrap();
    out
}

fn fault(text: &str, places: &[(usize, usize, &str)]) -> Fault {
    let source = Source::new("job.yaml", text);
    let blank = Fault::new(Code::RecordNoUnit, "a short message").help("a short cure");
    let labelled = places.iter().fold(blank, |fault, (start, end, words)| fault.label(Span::new(*start, *end), *words));
    labelled.in_source(&source)
}

#[test]
fn a_line_that_fits_is_whole_and_one_that_does_not_is_cut_with_a_sign() {
    let short = drawn(&fault("a: 1\ntarget: 72\nb: 2\n", &[(13, 15, "which unit")]), 80);
    for line in ["1 │ a: 1", "2 │ target: 72", "3 │ b: 2", "╰── which unit", "[job.yaml:2:9]"] {
        assert!(short.contains(line), "{line}: {short}");
    }
    let long = format!("note: {}, pressure: 1200 psi, more: {}\n", "x".repeat(90), "y".repeat(90));
    let at = long.find("1200").unwrap();
    let told = drawn(&fault(&long, &[(at, at + 8, "too high")]), 80);
    assert!(told.contains("1 │ …essure: 1200 psi, more: yyy") && told.contains("yyy…\n"), "{told}");
    assert!(told.contains(&format!("[job.yaml:1:{}]", at + 1)), "{told}");
    // What is missing is pointed at behind its line.
    let missing = drawn(&fault("a: 1\nday:\n", &[(9, 9, "which day")]), 80);
    assert!(missing.contains("╰── which day"), "{missing}");
}

proptest! {
    /// Whatever the lines are and wherever the places lie: nothing is wider than the width, every word of a label is there,
    /// and what stands between two signs stands so in the text.
    #[test]
    fn nothing_is_wider_than_the_width(
        words in prop::collection::vec("[a-z0-9:.é中]{1,12}", 1..80),
        breaks in prop::collection::vec(prop::bool::weighted(0.2), 80),
        places in prop::collection::vec((any::<prop::sample::Index>(), 0_usize..60, "[a-z]{1,9}( [a-z]{1,9}){0,6}"), 1..4),
        width in 40_usize..101,
    ) {
        let joined = words.iter().zip(&breaks).map(|(word, ends)| format!("{word}{}", if *ends { "\n" } else { " " }));
        let text = joined.collect::<String>() + "\n";
        let starts: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
        let of = |(index, length, words): &(prop::sample::Index, usize, String)| {
            let start = *index.get(&starts);
            let end = (start + length).min(text.len());
            let end = (end..=text.len()).find(|end| text.is_char_boundary(*end)).unwrap();
            (start, end, words.clone())
        };
        let places: Vec<(usize, usize, String)> = places.iter().map(of).collect();
        let borrowed: Vec<(usize, usize, &str)> = places.iter().map(|(start, end, words)| (*start, *end, words.as_str())).collect();
        let told = drawn(&fault(&text, &borrowed), width);
        for line in told.lines() {
            prop_assert!(display_width(line.trim_end()) <= width, "{width}: {line}\n{told}");
        }
        let flat: Vec<&str> = told.split_whitespace().collect();
        for word in borrowed.iter().flat_map(|(.., words)| words.split(' ')) {
            prop_assert!(flat.contains(&word), "{word}: {told}");
        }
        let quoted = told.lines().filter_map(|line| line.split_once(" │ ")).filter(|(number, _)| number.trim().parse::<usize>().is_ok());
        for (number, quoted) in quoted {
            let number: usize = number.trim().parse().unwrap();
            let line = text.lines().nth(number - 1).unwrap();
            prop_assert!(line.contains(quoted.trim_matches(['…', ' '])), "{number}: {quoted}");
            // Between places that lie too close to one another to be drawn together there is no room for a sign.
            if borrowed.len() == 1 {
                let bare = quoted.trim_end().trim_end_matches('…').trim_end();
                let begins = quoted.starts_with('…') || line.starts_with(bare);
                let ends = quoted.trim_end().ends_with('…') || line.trim_end().ends_with(bare.trim_start_matches(['…', ' ']));
                let is_whole = [begins, ends];
                prop_assert_eq!(is_whole, [true, true], "cut without a sign: {}\n{}", quoted, line);
            }
        }
    }
}
