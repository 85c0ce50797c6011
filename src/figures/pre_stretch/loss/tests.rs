//! The sum of falls: by hand, and the laws it keeps. The sums were done on paper.

use proptest::prelude::*;

use super::{falls, floored, stepped};
use crate::units::Exact;

fn whole(value: i64) -> Exact {
    Exact::from_int(value)
}

fn sum(levels: &[(i64, i64)], jitter: i64) -> Exact {
    let levels: Vec<_> = levels.iter().map(|(low, high)| (whole(*low), whole(*high))).collect();
    falls(&levels, whole(jitter)).unwrap()
}

fn points(levels: &[i64]) -> Vec<(i64, i64)> {
    levels.iter().map(|level| (*level, *level)).collect()
}

/// Of every fall the excess over the jitter, and the jitter once.
#[test]
fn falls_add_up_over_every_topping_up() {
    assert_eq!(sum(&points(&[60, 58, 60, 58, 60, 58]), 1), whole(4));
    assert_eq!(sum(&points(&[60, 55, 60, 55, 60, 55]), 1), whole(13));
    assert_eq!(sum(&points(&[60, 58, 56]), 1), whole(4));
    assert_eq!(sum(&points(&[56, 58, 60]), 1), Exact::ZERO);
    assert_eq!(sum(&[], 1), Exact::ZERO);
}

/// A pointer that jitters loses no more than its jitter, however many rows there are, and one fall counts in full.
#[test]
fn the_jitter_is_taken_off_every_fall_but_one() {
    assert_eq!(sum(&points(&[60, 59]), 1), whole(1));
    assert_eq!(sum(&points(&[60, 58]), 1), whole(2));
    assert_eq!(sum(&points(&[60, 59, 60, 59, 60, 59]), 1), whole(1));
    assert_eq!(sum(&points(&[60, 59, 60, 59, 60, 59]), 2), whole(1));
    // A row that shows the same again ends no fall, and neither does one that jitters upwards.
    assert_eq!(sum(&points(&[60, 58, 58, 56, 56]), 1), whole(4));
    assert_eq!(sum(&points(&[60, 58, 59, 56, 57]), 1), whole(4));
    // A slow fall in steps within the jitter is a fall all the same.
    assert_eq!(sum(&points(&[60, 59, 58, 57]), 1), whole(3));
}

/// One course within the bounds is enough: bounds that share a level hide no more than that.
#[test]
fn a_course_within_the_bounds_explains() {
    assert_eq!(sum(&[(58, 60), (59, 62), (57, 59), (59, 60)], 0), Exact::ZERO);
    assert_eq!(sum(&[(58, 60), (61, 62), (57, 59)], 0), whole(2));
}

#[test]
fn bounds_are_rounded_outwards() {
    let third = Exact::new(1, 3).unwrap();
    assert_eq!(stepped(third, false), Exact::new(333, 1000));
    assert_eq!(stepped(third, true), Exact::new(334, 1000));
    assert_eq!(floored(Exact::new(-1, 2).unwrap(), 1), Some(whole(-1)));
}

fn levels() -> impl Strategy<Value = Vec<(i64, i64)>> {
    prop::collection::vec((0..40i64, 0..4i64).prop_map(|(low, width)| (low, low + width)), 1..30)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    /// A lower limit of what is jitter never makes the sum smaller.
    #[test]
    fn less_jitter_never_loses_less(levels in levels(), jitter in 0..6i64, less in 0..6i64) {
        prop_assert!(sum(&levels, (jitter - less).max(0)) >= sum(&levels, jitter));
    }

    /// Narrower bounds of the temperature never explain more.
    #[test]
    fn narrower_bounds_never_lose_less(levels in levels(), jitter in 0..6i64, cuts in prop::collection::vec((0..4i64, 0..4i64), 30)) {
        let narrow = |((low, high), (a, b)): (&(i64, i64), &(i64, i64))| {
            let low = (low + a).min(*high);
            (low, (high - b).max(low))
        };
        let narrower: Vec<_> = levels.iter().zip(&cuts).map(narrow).collect();
        prop_assert!(sum(&narrower, jitter) >= sum(&levels, jitter));
    }

    /// More rows, before or after, never take a loss back.
    #[test]
    fn more_rows_never_lose_less(levels in levels(), jitter in 0..6i64, from in 0..30usize, to in 0..30usize) {
        let (from, to) = (from.min(levels.len()), to.min(levels.len()));
        let part = if from < to { &levels[from..to] } else { &[] };
        prop_assert!(sum(&levels, jitter) >= sum(part, jitter));
    }

    /// There is no cliff: a reading that is off by a little moves the sum by no more than that, up and down.
    #[test]
    fn a_little_more_is_a_little_more(levels in levels(), jitter in 0..6i64, at in 0..30usize, by in -3..4i64) {
        let mut moved = levels.clone();
        let Some(level) = moved.get_mut(at) else { return Ok(()) };
        *level = (level.0 + by, level.1 + by);
        let difference = sum(&moved, jitter).checked_sub(sum(&levels, jitter)).unwrap();
        // One row ends a fall and begins one, and may be the top of the greatest.
        prop_assert!(difference.abs() <= whole(3 * by.abs()), "{difference:?}");
    }

    /// Nothing is lost that is not between the greatest and the least, once for each row.
    #[test]
    fn the_sum_is_what_the_falls_are(values in prop::collection::vec(0..40i64, 1..30)) {
        let by_hand: i64 = values.windows(2).map(|pair| (pair[0] - pair[1]).max(0)).sum();
        prop_assert_eq!(sum(&points(&values), 0), whole(by_hand));
    }
}
