//! What broke a stretch, on random logs: something is named exactly where hours of the log do not count, and without it they
//! would.

use std::cell::Cell;

use fillward::engine::Scene;
use fillward::figures::{BreaksStretch, FigureId, StretchBreak};
use fillward::pack::PackSet;
use fillward::record::{Job, Value};
use fillward::units::{Exact, Instant};
use fillward::vocabulary::Subject;
use proptest::test_runner::TestRunner;

use crate::common;
use crate::stretch_laws::{Stretch, interval, job, stretch};

fn broken(packs: &PackSet, job: &Job) -> Option<StretchBreak> {
    Scene::new(packs, job, common::demo_at(), &common::demo_zone()).stretch_break(0)
}

/// When the rows of the log were read.
fn times(job: &Job) -> Vec<Instant> {
    let assembly = &job.of(Subject::Assembly).unwrap()[0];
    let log = assembly.facts.get(fillward::record::catalogue::assembly::PRE_STRETCH_LOG);
    match log {
        Some(Value::Log(rows)) => rows.iter().map(|row| row.at).collect(),
        _ => Vec::new(),
    }
}

/// The surely counting time of the stretch, in seconds.
fn counts(packs: &PackSet, job: &Job) -> Exact {
    interval(packs, job, FigureId::PreStretchTime).unwrap().lo()
}

/// The log with what is named put right: a warmer reading, a higher pressure, or the lowest temperature of a night.
fn bridged(stretch: &Stretch, times: &[Instant], found: &StretchBreak) -> Stretch {
    let mut rows = stretch.clone();
    let row = |at: Instant| times.iter().position(|time| *time == at).unwrap();
    match &found.why {
        BreaksStretch::NobodyLooked { .. } => rows.rows[row(found.to)].3 = Some(790),
        BreaksStretch::TooCold { at, is_lowest: true, .. } => rows.rows[row(*at)].3 = Some(790),
        BreaksStretch::TooCold { at, .. } => rows.rows[row(*at)].2 = 790,
        BreaksStretch::TooSoft { at, .. } => rows.rows[row(*at)].1 = 690,
        BreaksStretch::Incomplete => {}
    }
    rows
}

#[test]
fn what_is_named_is_what_broke_the_stretch() {
    let packs = PackSet::base().unwrap();
    let kinds = [const { Cell::new(0_u32) }; 4];
    TestRunner::new(crate::laws::config())
        .run(&stretch(), |stretch| {
            let log = job(&packs, &stretch);
            let times = times(&log);
            let whole = times.last().unwrap().seconds_since(times[0]);
            let Some(found) = broken(&packs, &log) else {
                proptest::prop_assert_eq!(counts(&packs, &log), whole);
                return Ok(());
            };
            proptest::prop_assert!(counts(&packs, &log) < whole);
            let place = times.iter().position(|time| *time == found.from).unwrap();
            proptest::prop_assert_eq!(times[place + 1], found.to);
            let kind = match &found.why {
                BreaksStretch::NobodyLooked { night, .. } if found.to.seconds_since(found.from) > *night => {
                    return Ok(());
                }
                BreaksStretch::NobodyLooked { .. } => 0,
                BreaksStretch::TooCold { is_lowest, .. } => 1 + usize::from(*is_lowest),
                BreaksStretch::TooSoft { .. } => 3,
                BreaksStretch::Incomplete => return Ok(()),
            };
            kinds[kind].set(kinds[kind].get() + 1);
            // With it put right no fewer hours count, and the same is not named again.
            let mended = job(&packs, &bridged(&stretch, &times, &found));
            proptest::prop_assert!(counts(&packs, &mended) >= counts(&packs, &log));
            proptest::prop_assert_ne!(broken(&packs, &mended), Some(found));
            Ok(())
        })
        .unwrap_or_else(|error| panic!("{error}"));
    assert!(kinds.iter().all(|kind| kind.get() > 5), "{kinds:?}");
}

/// The words of a report, for each kind of break.
#[test]
fn a_report_says_what_broke_a_stretch_and_what_would_have_bridged_it() {
    let packs = PackSet::base().unwrap();
    let log = |rows: Vec<(u32, u32, u32, Option<u32>)>| Stretch { rows, doubts: (40, 50), class: None };
    let night = |minutes, lowest| vec![(0, 610, 760, None), (minutes, 610, 760, lowest), (480, 610, 760, None)];
    for (rows, due) in [
        (
            night(960, None),
            "no row from 3 March 2026 07:00 to 3 March 2026 23:00, 16 h, longer than 12 h; a recorded lowest temperature would bridge up to 16 h",
        ),
        (night(1000, Some(760)), "longer than 12 h, and than the 16 h that a recorded lowest temperature bridges"),
        (
            vec![(0, 610, 760, None), (600, 610, 660, None), (600, 610, 760, None)],
            "the run of hours ends where the air, by what its thermometer may be off, is below 72 °F: 66 °F ± 0.5 at 3 March 2026 21:00",
        ),
        (
            vec![(0, 610, 760, None), (600, 550, 760, None), (600, 610, 760, None)],
            "the run of hours ends where the pressure is below 56.9 psi: 55 psi at 3 March 2026 21:00",
        ),
    ] {
        let document =
            fillward::document::Document::read("job.yaml", crate::stretch_laws::record(&log(rows)).as_bytes()).unwrap();
        let look = fillward::explain::Layout { width: 80, colour: false };
        let forms = common::with_report(&packs, &document, common::demo_at(), |report| {
            [fillward::explain::brief(report, look), fillward::explain::sheet(report)]
        });
        for text in forms {
            let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(text.contains(due), "{due}\n{text}");
            assert!(!text.contains("too close to tell"), "{text}");
        }
    }
}
