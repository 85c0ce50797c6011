use miette::{GraphicalReportHandler, GraphicalTheme};

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
