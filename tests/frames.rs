//! How wide a refusal is drawn: as wide as everything else, whatever it quotes.

use fillward::document::{Document, Fault, Framed};
use fillward::pack::PackSet;
use fillward::record::{self, shop};
use miette::{GraphicalReportHandler, GraphicalTheme};
use textwrap::core::display_width;
use textwrap::{WordSeparator, WordSplitter};

use crate::common;

/// As the program draws it.
fn drawn(fault: &Fault, width: usize) -> String {
    let mut out = String::new();
    GraphicalReportHandler::new_themed(GraphicalTheme::unicode_nocolor())
        .with_width(width)
        .with_links(false)
        .with_word_separator(WordSeparator::AsciiSpace)
        .with_word_splitter(WordSplitter::NoHyphenation)
        .render_report(&mut out, &Framed::new(fault, width))
        .unwrap();
    out
}

/// Lines that are wider; a word that does not fit beside what stands before it is whole all the same.
fn wider(drawn: &str, width: usize) -> Vec<&str> {
    let is_one_word = |line: &str| {
        let words: Vec<&str> = line.trim_start_matches(|c: char| !c.is_alphanumeric() && c != '`').split(' ').collect();
        words.len() == 1 && display_width(words[0]) + 20 > width
    };
    drawn.lines().filter(|line| display_width(line.trim_end()) > width && !is_one_word(line)).collect()
}

fn of_packs() -> Vec<Fault> {
    let paths = ["tests/packs-invalid", "tests/packs-misread"].map(|folder| common::files(folder, ".yaml")).concat();
    let of = |path: &String| PackSet::base().unwrap().with(vec![common::document(path)]).err();
    paths.iter().filter_map(of).flatten().collect()
}

/// Every line of the demo's records with something else behind its last colon, and without its end.
fn of_records() -> Vec<Fault> {
    let packs = PackSet::base().unwrap();
    let shop_text = common::read("shared/demo/shop.yaml");
    let shop = shop::Shop::read(Document::read("shop.yaml", shop_text.as_bytes()).unwrap()).unwrap();
    let mut found = Vec::new();
    for path in
        common::files("shared/demo/jobs", ".yaml").iter().chain(&common::files("shared/demo/short", ".yaml")).step_by(7)
    {
        let text = common::read(path);
        let short = path.contains("short");
        for (place, line) in text.lines().enumerate().filter(|(_, line)| line.contains(": ")).step_by(3) {
            let cut = line.rsplit_once(": ").map(|(key, _)| format!("{key}: 17 furlongs}}")).unwrap_or_default();
            for slip in
                [cut, line.replacen(": ", ": not known, ", 1), line.chars().take(line.chars().count() - 1).collect()]
            {
                let lines: Vec<&str> =
                    text.lines().enumerate().map(|(at, line)| if at == place { slip.as_str() } else { line }).collect();
                let read = || {
                    let document = Document::read(path, (lines.join("\n") + "\n").as_bytes())?;
                    let shop = short.then_some(&shop);
                    let made = shop::expand(document, shop, &packs, &common::demo_zone(), common::demo_at())?;
                    record::read(&made.document, packs.catalogue(), &common::demo_zone()).map(drop)
                };
                if let Err(faults) = read() {
                    found.extend(faults);
                }
            }
        }
    }
    found
}

#[test]
fn no_line_of_a_refusal_is_wider_than_the_page() {
    let faults: Vec<Fault> = of_packs().into_iter().chain(of_records()).collect();
    assert!(faults.len() > 300, "{}", faults.len());
    let mut wrong = Vec::new();
    for fault in &faults {
        for width in [60, 80, 100] {
            let drawn = drawn(fault, width);
            wrong.extend(wider(&drawn, width).into_iter().map(|line| format!("{width} {}: {line}", fault.code())));
            for label in fault.labels() {
                for word in label.text.split_whitespace() {
                    assert!(drawn.contains(word), "{word} of {fault:?} in\n{drawn}");
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} lines:\n{}", wrong.len(), wrong[..wrong.len().min(30)].join("\n"));
}
