use super::super::places::tests::bytes_read as places_bytes_read;
use super::*;

#[test]
fn lines_and_columns_count_characters_from_one() {
    let source = Source::new("t", "é😀x\r\nab\n");
    // (offset, line, column): é is two bytes, the emoji four.
    for (offset, line, column) in
        [(0, 1, 1), (1, 1, 1), (2, 1, 2), (6, 1, 3), (9, 2, 1), (10, 2, 2), (12, 3, 1), (999, 3, 1)]
    {
        assert_eq!(source.line_and_column(offset), (line, column), "offset {offset}");
    }
}

#[test]
fn lines_and_columns_lead_back_to_the_byte() {
    let source = Source::new("t", "é😀x\r\nab\n");
    for (line, column, offset) in [
        (1, 1, 0),
        (1, 2, 2),
        (1, 3, 6),
        (1, 4, 7),
        (1, 9, 7),
        (2, 1, 9),
        (2, 3, 11),
        (3, 1, 12),
        (9, 9, 12),
        (1, 0, 0),
    ] {
        assert_eq!(source.offset(line, column), offset, "line {line}, column {column}");
    }
}

#[test]
fn an_offset_says_file_and_line() {
    let both = Source::new("one", "a\nb\n").followed_by(&Source::new("two", "c\nd\n"));
    // (offset, file, line, column): the second file begins at 4.
    for (offset, name, line, column) in
        [(0, "one", 1, 1), (2, "one", 2, 1), (3, "one", 2, 2), (4, "two", 1, 1), (6, "two", 2, 1), (8, "two", 3, 1)]
    {
        assert_eq!(both.name_at(offset), name, "offset {offset}");
        assert_eq!(both.line_and_column(offset), (line, column), "offset {offset}");
    }
    assert_eq!((both.name(), both.slice(Span::new(6, 7)), both.offset_in_file(6)), ("one", "d", 2));
    assert_eq!(both.names().collect::<Vec<_>>(), ["one", "two"]);
    assert_eq!(both.slice(both.window(Span::new(4, 5), 80).shown), "c");
}

#[test]
fn places_in_two_files_are_drawn_each_for_itself() {
    let both = Source::new("one", "a\nb\n").followed_by(&Source::new("two", "c\nd\n"));
    let contents = both.read_span(&SourceSpan::from((4, 1)), 2, 2).unwrap();
    assert_eq!((contents.name(), contents.line(), contents.data()), (Some("two"), 0, &b"c\nd\n"[..]));
    assert_eq!(contents.span().offset(), 4);
    assert!(both.read_span(&SourceSpan::from((2, 3)), 0, 0).is_err());
}

#[test]
fn a_span_outside_the_text_or_inside_a_character_is_empty() {
    let source = Source::new("t", "é");
    assert_eq!(source.slice(Span::new(0, 1)), "");
    assert_eq!(source.slice(Span::new(0, 9)), "");
    assert_eq!(source.slice(Span::new(0, 2)), "é");
}

#[test]
fn the_places_of_a_single_line_of_the_greatest_length_are_found_without_reading_it() {
    // Every label of a report asks for some places; ten thousand labels on a line of a million characters were a
    // matter of minutes when each look-up read the line from its start.
    let source = Source::new("t", "é: x, ".repeat(150_000));
    let places = 1000;
    places_bytes_read();
    for place in 0..places {
        let start = source.text().len() / places * place / 7 * 7;
        let span = Span::new(start, start + 7);
        source.window(span, 80);
        source.line_and_column(start);
        source.read_span(&span.into(), 1, 1).unwrap();
    }
    let read = places_bytes_read() / places;
    assert!(read <= 24 * 1024, "{read} bytes a place");
}

#[test]
fn labels_far_from_one_another_do_not_draw_the_lines_between_them() {
    let source = Source::new("t", "a: 1\n".repeat(5_000));
    let fault = super::super::Fault::new(super::super::Code::DocumentTag, "twice")
        .label(Span::new(5 * 2_500, 5 * 2_500 + 1), "here")
        .label(Span::new(5 * 4_900, 5 * 4_900 + 1), "and here")
        .in_source(&source);
    let mut drawn = String::new();
    miette::GraphicalReportHandler::new_themed(miette::GraphicalTheme::unicode_nocolor())
        .render_report(&mut drawn, &fault)
        .unwrap();
    assert!(drawn.contains("and here"), "{drawn}");
    assert!(drawn.lines().count() < 24, "{} lines", drawn.lines().count());
}

#[test]
fn a_carriage_return_within_a_line_is_not_drawn() {
    let source = Source::new("t", "a: b\rVerdict: PASS\r\nc: d\n");
    assert_eq!(source.drawn(), "a: b?Verdict: PASS\r\nc: d\n");
}

#[test]
fn miette_reads_the_name_and_the_line() {
    let source = Source::new("record.yaml", "a: 1\nb: 2\n");
    let span = SourceSpan::from(Span::new(8, 9));
    let contents = source.read_span(&span, 1, 1).unwrap();
    assert_eq!(contents.name(), Some("record.yaml"));
    assert_eq!(contents.line(), 0);
    assert_eq!(contents.data(), b"a: 1\nb: 2\n");
}
