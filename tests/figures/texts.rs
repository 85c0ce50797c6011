//! What is read off names and titles: the hardness of a grade, and the year of a data sheet.

use fillward::figures::{FigureId, Obstacle};
use fillward::pack::PackSet;
use fillward::units::{Exact, Interval};
use fillward::vocabulary::Subject;

use super::{figure, interval, job, obstacle};

/// A number behind the letter of a code counts a maker's grades, whatever joins the two; any other that a Shore A scale can
/// show is the hardness, and of two nobody can tell.
#[test]
fn a_code_before_the_hardness_is_no_hardness() {
    let packs = PackSet::base().unwrap();
    let number = |grade: &str| {
        let job =
            job(&packs, &format!("order: {{system: {grade}}}"), "tyre: {state: used}", "lot: W-114", "lot: Y-220");
        figure(&packs, &job, Subject::Job, FigureId::GradeNumber)
    };
    for grade in ["B-12 55", "B12 55", "firm 55", "55-firm"] {
        assert_eq!(interval(&number(grade)), Interval::point(Exact::from_int(55)), "{grade}");
    }
    assert_eq!(obstacle(&number("firm 55 soft 30")), Obstacle::NoNumberInGrade);
    assert_eq!(obstacle(&number("B-12 firm")), Obstacle::NoNumberInGrade);
}

/// A year is four digits from 1900 to 2099: neither a number of a form nor one with fewer digits makes a sheet old or new.
#[test]
fn four_digits_outside_two_centuries_are_no_year() {
    let packs = PackSet::base().unwrap();
    let age = |title: &str| {
        let shop = format!("planned_start: 2026-03-04T10:00:00-06:00\nmix: {{sheet: '{title}'}}");
        let job = job(&packs, &shop, "tyre: {state: used}", "lot: W-114", "lot: Y-220");
        figure(&packs, &job, Subject::Job, FigureId::SheetAge)
    };
    for (title, years) in [
        ("Firm 55, sheet 3 of 2025", 1),
        ("Firm 55, form 2999, of 2025", 1),
        ("Firm 55, form 2100, of 2024", 2),
        ("Firm 55, form 0012, of 2026", 0),
        ("Firm 55, of 1900", 126),
        ("Firm 55, of 2099", -73),
    ] {
        assert_eq!(interval(&age(title)), Interval::point(Exact::from_int(years)), "{title}");
    }
    for title in ["Firm 55, form 1899", "Firm 55, form 2100", "Firm 55, form 02025"] {
        assert!(age(title).is_err(), "{title}");
    }
}
