//! The laws of the pre-stretch, on random logs, gauges and packs: what makes an instrument doubt more, or a limit
//! stricter, never turns a hold into a pass.

use std::cell::Cell;
use std::fmt::Write as _;

use fillward::document::Document;
use fillward::engine::Scene;
use fillward::figures::FigureId;
use fillward::pack::PackSet;
use fillward::record::{self, Job, Value};
use fillward::units::{Instant, Interval};
use fillward::vocabulary::{Subject, Verdict};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

use crate::common;
use crate::common::classes::{CLASSES, coarser};

/// A job that passes, with another log put in.
const BASE: &str = "tests/repro/pass-heater-cycle.yaml";

/// Minutes since the row before, tenths of a psi, tenths of a degF, and the lowest temperature between.
pub(crate) type Row = (u32, u32, u32, Option<u32>);

#[derive(Debug, Clone)]
pub(crate) struct Stretch {
    pub(crate) rows: Vec<Row>,
    /// Hundredths of a psi and of a degF.
    pub(crate) doubts: (u32, u32),
    /// The class of a gauge without a certificate; its doubt is that of the class then.
    pub(crate) class: Option<&'static str>,
}

fn row() -> impl Strategy<Value = Row> {
    let minutes = prop_oneof![6 => 120..400u32, 3 => 400..730u32, 1 => 730..1000u32, 1 => 5..120u32];
    let pressure = prop_oneof![12 => 600..612u32, 3 => 585..640u32, 1 => 0..300u32, 1 => 300..700u32];
    let air = prop_oneof![12 => 745..790u32, 3 => 715..800u32, 1 => 600..1000u32];
    let lowest = prop_oneof![5 => Just(None), 1 => (715..780u32).prop_map(Some)];
    (minutes, pressure, air, lowest)
}

pub(crate) fn stretch() -> impl Strategy<Value = Stretch> {
    (prop::collection::vec(row(), 1..14), (10..130u32, 10..200u32)).prop_map(|(rows, doubts)| Stretch {
        rows,
        doubts,
        class: None,
    })
}

/// The log as text; its last row is of this morning.
fn log(stretch: &Stretch) -> String {
    let mut before: u32 = stretch.rows.iter().skip(1).map(|row| row.0).sum();
    let last = Instant::parse("2026-03-04T07:00:00-06:00").unwrap();
    let mut text = String::new();
    for (index, (minutes, pressure, air, lowest)) in stretch.rows.iter().enumerate() {
        before -= if index == 0 { 0 } else { *minutes };
        let at = last.checked_add_seconds(fillward::units::Exact::from_int(-60 * i64::from(before))).unwrap();
        let tenths = |value: u32| format!("{}.{}", value / 10, value % 10);
        let lowest = lowest.map_or_else(String::new, |lowest| format!(", lowest_air: {} degF", tenths(lowest)));
        writeln!(
            text,
            "        - {{at: {}, pressure: {} psi, air: {} degF{lowest}}}",
            at.to_record_text(),
            tenths(*pressure),
            tenths(*air)
        )
        .unwrap();
    }
    text
}

pub(crate) fn record(stretch: &Stretch) -> String {
    let base = common::read(BASE);
    let (head, rest) = base.split_once("      log:\n").unwrap();
    let tail = rest.find("order:").and_then(|at| rest.get(at..)).unwrap();
    let hundredths = |value: u32| format!("{}.{:02}", value / 100, value % 100);
    // Whatever day the log begins on, the parts were seen before it.
    let head = head.replace("at: 2026-03-03T05:", "at: 2026-02-19T05:");
    let text = format!("{head}      log:\n{}{tail}", log(stretch));
    let gauge = match stretch.class {
        Some(class) => format!("accuracy: {class}"),
        None => format!("uncertainty: {} psi", hundredths(stretch.doubts.0)),
    };
    let text = text.replacen("uncertainty: 0.4 psi", &gauge, 1);
    text.replacen("uncertainty: 0.5 degF", &format!("uncertainty: {} degF", hundredths(stretch.doubts.1)), 1)
}

pub(crate) fn job(packs: &PackSet, stretch: &Stretch) -> Job {
    let document = Document::read("stretch", record(stretch).as_bytes()).unwrap();
    record::read(&document, packs.catalogue(), &common::demo_zone())
        .unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)))
}

fn passes(packs: &PackSet, job: &Job) -> bool {
    Scene::new(packs, job, common::demo_at(), &common::demo_zone()).judge().verdict == Verdict::Pass
}

pub(crate) fn interval(packs: &PackSet, job: &Job, id: FigureId) -> Option<Interval> {
    match Scene::new(packs, job, common::demo_at(), &common::demo_zone())
        .compute(id, &job.of(Subject::Assembly).unwrap()[0])
    {
        Ok(Value::Measured(measured)) => Some(measured.interval),
        _ => None,
    }
}

fn run<S: Strategy>(strategy: &S, test: impl Fn(S::Value) -> Result<(), TestCaseError>) {
    TestRunner::new(crate::laws::config()).run(strategy, test).unwrap_or_else(|error| panic!("{error}"));
}

/// The records by which the law is tried are not all held, or it would say nothing.
fn tried(passed: &Cell<u32>) {
    let cases = crate::laws::config().cases;
    assert!(passed.get() > cases / 25, "only {} of {cases} passed", passed.get());
}

/// The doubts and bounds of one stretch lie inside those of another, and what holds it holds the other.
fn is_no_better(packs: &PackSet, narrow: &Stretch, wide: &Stretch, passed: &Cell<u32>) -> Result<(), TestCaseError> {
    let [inside, outside] = [narrow, wide].map(|stretch| job(packs, stretch));
    for id in [FigureId::PreStretchTime, FigureId::PreStretchLoss, FigureId::PreStretchPeak] {
        if let (Some(inner), Some(outer)) = (interval(packs, &inside, id), interval(packs, &outside, id)) {
            prop_assert!(outer.lo() <= inner.lo() && inner.hi() <= outer.hi(), "{id:?}: {inner:?} in {outer:?}");
        }
    }
    let held = !passes(packs, &inside);
    passed.set(passed.get() + u32::from(!held));
    prop_assert!(!(held && passes(packs, &outside)), "a wider doubt cleared a hold");
    Ok(())
}

#[test]
fn wider_never_clears() {
    let packs = PackSet::base().unwrap();
    let passed = Cell::new(0);
    run(&(stretch(), 0..150u32, 0..200u32), |(narrow, pressure, air)| {
        let mut wide = narrow.clone();
        wide.doubts = (narrow.doubts.0 + pressure, narrow.doubts.1 + air);
        is_no_better(&packs, &narrow, &wide, &passed)
    });
    tried(&passed);
}

/// The certificate of a gauge runs out, or another gauge is used: its class counts, and the class may be any that allows
/// more all over the dial.
#[test]
fn a_coarser_class_never_clears() {
    let packs = PackSet::base().unwrap();
    let passed = Cell::new(0);
    let pairs: Vec<(&str, &str)> =
        CLASSES.iter().flat_map(|(fine, _)| coarser(fine).map(move |coarse| (*fine, coarse))).collect();
    run(&(stretch(), prop::sample::select(pairs), any::<bool>()), |(mut narrow, (fine, coarse), certified)| {
        let wide = Stretch { class: Some(coarse), ..narrow.clone() };
        // A certificate of at most a tenth of a psi, on a dial of 100 psi, is finer than every class.
        narrow.doubts.0 = narrow.doubts.0.min(10);
        narrow.class = (!certified).then_some(fine);
        is_no_better(&packs, &narrow, &wide, &passed)
    });
    tried(&passed);
}

/// Stricter values of every limit of the stretch.
const STRICTER: &[(&str, &[&str])] = &[
    ("pre_stretch_temperature", &["73 degF", "75 degF", "77 degF"]),
    ("pre_stretch_longest_gap", &["4 h", "6 h", "11 h"]),
    ("pre_stretch_longest_night", &["13 h", "15 h"]),
    ("pre_stretch_time", &["25 h", "30 h", "40 h"]),
    ("pre_stretch_loss", &["1 %", "4 %"]),
    ("pre_stretch_jitter", &["0.1 %", "1 %"]),
    ("pre_stretch_lag", &["10 min", "1 h"]),
    ("pre_stretch_let_down", &["5 %", "30 %"]),
    ("pre_stretch_let_down_time", &["1 min", "20 min"]),
    ("pre_stretch_age", &["-60 h", "-1 d"]),
];

fn stricter(limit: &str, value: &str) -> PackSet {
    let edition = PackSet::base().unwrap().packs()[0].edition.clone();
    let text = format!(
        "pack: 1\nname: stricter\nedition: \"1\"\ntitle: stricter\namends: {{pack: tyre-fill, edition: \"{edition}\"}}\namended_limits:\n  {limit}:\n    value: {value}\n    why: tried here\n    source: {{kind: local code, cite: invented for this test}}\n"
    );
    let document = Document::read("stricter.yaml", text.as_bytes()).unwrap();
    let packs = PackSet::base().unwrap().with(vec![document]);
    packs.unwrap_or_else(|faults| panic!("{limit}: {:?}", miette::Report::new(faults)))
}

#[test]
fn stricter_never_clears() {
    let base = PackSet::base().unwrap();
    let tight: Vec<(&str, &str, PackSet)> = STRICTER
        .iter()
        .flat_map(|(limit, values)| values.iter().map(|value| (*limit, *value, stricter(limit, value))))
        .collect();
    let (passed, cleared) = (Cell::new(0), Cell::new(0));
    run(&stretch(), |stretch| {
        let job = job(&base, &stretch);
        let held = !passes(&base, &job);
        passed.set(passed.get() + u32::from(!held));
        for (limit, value, packs) in &tight {
            let holds = !passes(packs, &job);
            cleared.set(cleared.get() + u32::from(holds && !held));
            prop_assert!(!held || holds, "{limit} of {value} cleared a hold");
        }
        Ok(())
    });
    tried(&passed);
    assert!(cleared.get() > 0, "no stricter limit held anything");
}

/// A row that says nothing of its own, since it lies between the two beside it, is no row that anybody could leave out to
/// clear a hold: without it the looks only lie further apart. Of a row that shows a fall, or the cold, the record tells
/// only as long as it stands there; nobody can tell that a reading was taken which no record has.
#[test]
fn leaving_out_a_row_that_shows_nothing_of_its_own_never_clears() {
    let packs = PackSet::base().unwrap();
    let (passed, tried) = (Cell::new(0), Cell::new(0));
    run(&(stretch(), any::<prop::sample::Index>()), |(with, place)| {
        if with.rows.len() < 3 {
            return Ok(());
        }
        let place = 1 + place.index(with.rows.len() - 2);
        let [before, own, after] = [place - 1, place, place + 1].map(|at| with.rows[at]);
        let between = |of: fn(&Row) -> u32| {
            let (one, other) = (of(&before), of(&after));
            (one.min(other)..=one.max(other)).contains(&of(&own))
        };
        if own.3.is_some() || after.3.is_some() || !between(|row| row.1) || !between(|row| row.2) {
            return Ok(());
        }
        let mut without = with.clone();
        without.rows.remove(place);
        // The rows after it stay where they are.
        without.rows[place].0 += own.0;
        tried.set(tried.get() + 1);
        let held = !passes(&packs, &job(&packs, &with));
        passed.set(passed.get() + u32::from(!held));
        prop_assert!(!(held && passes(&packs, &job(&packs, &without))), "row {place} cleared a hold by being left out");
        Ok(())
    });
    assert!(tried.get() > 50 && passed.get() > 0, "{} tried, {} passed", tried.get(), passed.get());
}

/// A log of more rows that only repeat what straight lines say anyway passes as the shorter one does: a dense log is no
/// worse than a sparse one.
#[test]
fn a_denser_log_of_the_same_course_is_judged_alike() {
    let packs = PackSet::base().unwrap();
    let sparse = Stretch { rows: (0..13).map(|_| (120, 602, 760, None)).collect(), doubts: (40, 50), class: None };
    let dense = Stretch { rows: (0..145).map(|_| (10, 602, 760, None)).collect(), doubts: (40, 50), class: None };
    assert!(passes(&packs, &job(&packs, &sparse)));
    assert!(passes(&packs, &job(&packs, &dense)));
    // A pointer that jitters by half a psi, and air that comes and goes in half an hour.
    let jitter = (0..145u32).map(|row| (10, 600 + 5 * (row % 2), 740 + 10 * (row % 4), None)).collect();
    assert!(passes(&packs, &job(&packs, &Stretch { rows: jitter, doubts: (40, 50), class: None })));
    // A logger that shows half pounds and is off by one either way, and one whose falls are just beyond the jitter.
    let logger = |rows: u32, low, high| -> Vec<Row> {
        let steps = [605, high, 605, low];
        (0..rows).map(|row| (24 * 60 / (rows - 1) + 1, steps[row as usize % 4], 750, None)).collect()
    };
    let judged = |rows: Vec<Row>| passes(&packs, &job(&packs, &Stretch { rows, doubts: (40, 50), class: None }));
    for rows in [9, 49, 97] {
        assert!(judged(logger(rows, 600, 610)), "{rows} rows");
        assert!(judged(logger(rows, 598, 610)), "{rows} rows, one and a fifth");
        // The same log with one real leak in it is none the better for its rows.
        let mut leaking: Vec<Row> = logger(rows, 600, 610);
        leaking.iter_mut().skip(rows as usize / 2).for_each(|row| row.1 -= 50);
        assert!(!judged(leaking), "{rows} rows, and 5 psi are gone");
    }
    // A leak of 2 psi an hour that is topped up every hour is beyond any jitter.
    let topped = (0..49u32).map(|row| (30, 600 + 20 * ((row + 1) % 2), 750, None)).collect();
    assert!(!judged(topped));
}

/// 24 h with a night of 16 h without rows, and what of it is enough.
#[test]
fn a_night_without_rows_is_bounded_by_its_lowest_temperature() {
    let packs = PackSet::base().unwrap();
    let night = |minutes, lowest| Stretch {
        rows: vec![(0, 610, 760, None), (240, 610, 760, None), (minutes, 610, 760, lowest), (480, 610, 760, None)],
        doubts: (40, 50),
        class: None,
    };
    assert!(passes(&packs, &job(&packs, &night(960, Some(730)))));
    assert!(!passes(&packs, &job(&packs, &night(960, None))), "nobody looked");
    assert!(!passes(&packs, &job(&packs, &night(961, Some(730)))), "longer than a night");
    assert!(!passes(&packs, &job(&packs, &night(960, Some(724)))), "within the thermometer's doubt of too cold");
    assert!(!passes(&packs, &job(&packs, &night(600, Some(715)))), "rows close enough, and cold between them");
    let mut soft = night(960, Some(725));
    soft.rows.iter_mut().for_each(|row| row.1 = 573);
    assert!(!passes(&packs, &job(&packs, &soft)), "at the lowest temperature it was below what counts");
}

/// A tyre that is found softer has lost more. Only within the time in which air can be let out on purpose does a low row say
/// that it was; rows that are further apart show a leak, and a flat tyre shows the greatest.
#[test]
fn a_greater_loss_never_clears() {
    let packs = PackSet::base().unwrap();
    let passed = Cell::new(0);
    run(&(stretch(), 0..1_000u32), |(mut tight, share)| {
        for row in &mut tight.rows {
            row.0 = row.0.max(181);
        }
        let mut soft = tight.clone();
        let last = soft.rows.last_mut().unwrap();
        last.1 = last.1 * share / 1_000;
        let held = !passes(&packs, &job(&packs, &tight));
        passed.set(passed.get() + u32::from(!held));
        prop_assert!(!(held && passes(&packs, &job(&packs, &soft))), "a softer tyre cleared a hold");
        Ok(())
    });
    tried(&passed);
}

/// Tight for 27 hours, and flat at the next row: let down on purpose if that is within the morning, found flat if it is the
/// next one. The more air is left, the sooner must it be.
#[test]
fn a_tyre_found_flat_in_the_morning_was_not_let_down() {
    let packs = PackSet::base().unwrap();
    let flat_after = |minutes: u32, tenths: u32| {
        let mut rows = vec![(180, 606, 750, None); 10];
        rows.push((minutes, tenths, 750, None));
        passes(&packs, &job(&packs, &Stretch { rows, doubts: (40, 50), class: None }))
    };
    for tenths in [0, 100, 200, 290, 310, 320, 450] {
        assert!(!flat_after(330, tenths), "{tenths} tenths of a psi");
    }
    for tenths in [0, 100, 200] {
        assert!(flat_after(20, tenths), "{tenths} tenths of a psi");
    }
    assert!(flat_after(140, 0) && !flat_after(140, 200), "let down before the fill, and half way to flat");
}

/// A new casing grows for the first hours, and is topped up. Where the stretch suffices from then on, what fell before
/// is past, as it is of a log that begins with the topping up; what is lost after it counts as ever, and so does what
/// is topped up again and again.
#[test]
fn what_fell_before_a_topping_up_is_past() {
    let packs = PackSet::base().unwrap();
    let judged = |rows: Vec<Row>| passes(&packs, &job(&packs, &Stretch { rows, doubts: (40, 50), class: None }));
    let (past, lost) = (Cell::new(0), Cell::new(0));
    // More than a twelfth in one row reads as a slip of the pen.
    let strategy = (43..50u32, 60..300u32, prop::collection::vec(0..8u32, 9..14), 0..60u32);
    run(&strategy, |(grown, minutes, jitter, leak)| {
        let before = [(0, 640, 750, None), (minutes, 640 - grown, 750, None)];
        let topped = (10, 640, 750, None);
        let mut after: Vec<Row> = jitter.iter().map(|tenths| (180, 635 + tenths, 750, None)).collect();
        after.last_mut().unwrap().1 -= leak;
        let own: Vec<Row> = std::iter::once(topped).chain(after.clone()).collect();
        let whole: Vec<Row> = before.into_iter().chain(own.clone()).collect();
        let passed = judged(own);
        prop_assert_eq!(judged(whole), passed, "what fell before it counts");
        past.set(past.get() + u32::from(passed));
        lost.set(lost.get() + u32::from(!passed));
        // Topped up every few hours it never holds for long enough.
        let again =
            after.iter().enumerate().map(|(row, own)| (180, own.1 - grown * u32::from(row % 2 == 0), 750, None));
        prop_assert!(!judged(again.collect()), "topped up all night");
        Ok(())
    });
    assert!(past.get() > 20 && lost.get() > 20, "{} pass, {} do not", past.get(), lost.get());
}
