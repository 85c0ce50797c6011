use super::*;

#[test]
fn words_are_found_and_no_two_are_alike() {
    for row in ROWS {
        assert!(std::ptr::eq(Row::find(row.word).unwrap(), *row), "{}", row.word);
    }
    assert!(Row::find("afterwards").is_none());
}

#[test]
fn the_opposite_of_the_opposite_asks_the_same() {
    let of = |word: &str| Row::find(word).unwrap().opposite().map(|row| row.word);
    for (word, opposite) in [
        ("is", Some("is_not")),
        ("is_not", Some("is")),
        ("one_of", Some("none_of")),
        ("none_of", Some("one_of")),
        ("at_least", Some("below")),
        ("at_most", Some("above")),
        ("above", Some("at_most")),
        ("below", Some("at_least")),
        ("before", Some("at_least")),
        ("after", Some("at_most")),
        ("between", None),
        ("recorded", None),
        ("read_within", None),
    ] {
        assert_eq!(of(word), opposite, "{word}");
    }
    for row in ROWS {
        if let Some(opposite) = row.opposite() {
            assert_eq!(opposite.opposite().unwrap().relation, row.relation, "{}", row.word);
            assert_eq!(opposite.greater_term(), row.greater_term().turned(), "{}", row.word);
            assert_eq!(opposite.greater_operand(0), row.greater_operand(0).turned(), "{}", row.word);
        }
    }
}

#[test]
fn every_test_says_what_is_needed_both_ways() {
    for row in ROWS {
        for of_moments in [false, true] {
            let (wanted, not) = (row.needs(true, of_moments), row.needs(false, of_moments));
            assert_ne!(wanted, not, "{}", row.word);
        }
    }
    assert_eq!(Row::find("before").unwrap().needs(false, true), Need::Needs("{0} or later"));
    assert_eq!(Row::find("at_least").unwrap().needs(false, true), Need::Needs("to be before {0}"));
}
