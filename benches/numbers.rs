//! What figures, signing and verifying cost, side by side in one run.
//!
//! `cargo bench --bench numbers`. The contenders of a group are timed in turn, batch by batch, so that a change of the
//! machine's pace meets all of them; the table gives the median and the ratio to the first of the group. It prints
//! targets and never fails for being slow.

#![allow(clippy::print_stdout, reason = "a bench prints what it measured")]
#![allow(missing_docs, reason = "a bench is a program, not an interface")]

use std::error::Error;
use std::hint::black_box;
use std::time::Instant as Clock;

use fillward::document::Document;
use fillward::engine::Scene;
use fillward::pack::PackSet;
use fillward::record;
use fillward::units::{Instant, Zone};
use fillward::vocabulary::Subject;

#[path = "numbers/signing.rs"]
mod signing;

type Outcome<T> = Result<T, Box<dyn Error>>;

/// Rounds in which every contender of a group is timed once.
const ROUNDS: usize = 301;
/// How long a batch should take, in seconds.
const BATCH: f64 = 0.0003;
/// The job of the measurements, and its instant.
pub(crate) const JOB: &str = include_str!("../shared/demo/jobs/pass-loader-bias-used.yaml");
pub(crate) const AT: &str = "2026-03-04T09:30:00-06:00";
/// The zone in which the demo shop lies.
pub(crate) const ZONE: &str = "America/Chicago";

/// Something to time.
pub(crate) struct Contender<'a> {
    name: &'static str,
    run: Box<dyn FnMut() + 'a>,
}

pub(crate) fn contender<'a>(name: &'static str, run: impl FnMut() + 'a) -> Contender<'a> {
    Contender { name, run: Box::new(run) }
}

fn main() -> Outcome<()> {
    figures()?;
    signing::measure()
}

/// All figures of one assembly, beside one judgement of the whole job by the base pack.
fn figures() -> Outcome<()> {
    let packs = PackSet::base()?;
    let document = Document::read("job.yaml", JOB.as_bytes())?;
    let zone = Zone::find(ZONE)?;
    let job = record::read(&document, packs.catalogue(), &zone)?;
    let at = Instant::parse(AT)?;
    let scene = Scene::new(&packs, &job, at, &zone);
    let assembly = job.of(Subject::Assembly).and_then(<[_]>::first).ok_or("the demo job has no assembly")?;
    let medians = race(
        "figures of one assembly",
        vec![
            contender("all its figures, once each", || {
                black_box(scene.figures_of(Subject::Assembly, assembly));
            }),
            contender("a judgement of the job by the base pack", || {
                black_box(Scene::new(&packs, &job, at, &zone).judge());
            }),
        ],
    );
    target("all figures of one assembly in 5 microseconds", medians.first().copied(), 5_000.0);
    Ok(())
}

/// Times the contenders in turn and prints their table; gives the medians in nanoseconds.
pub(crate) fn race(title: &str, mut contenders: Vec<Contender<'_>>) -> Vec<f64> {
    let mut batches = Vec::new();
    for contender in &mut contenders {
        let mut batch = 1_u32;
        while seconds(contender, batch) < BATCH && batch < 1 << 20 {
            batch *= 2;
        }
        batches.push(batch);
    }
    let mut times: Vec<Vec<f64>> = vec![Vec::with_capacity(ROUNDS); contenders.len()];
    for _ in 0..ROUNDS {
        for ((contender, batch), times) in contenders.iter_mut().zip(&batches).zip(&mut times) {
            times.push(seconds(contender, *batch) * 1e9 / f64::from(*batch));
        }
    }
    let medians: Vec<f64> = times.into_iter().map(median).collect();
    let first = medians.first().copied().unwrap_or(f64::NAN);
    println!("\n{title}\n{:<58} {:>12} {:>8}", "", "ns", "ratio");
    for (contender, median) in contenders.iter().zip(&medians) {
        println!("  {:<56} {median:>12.0} {:>8.2}", contender.name, median / first);
    }
    medians
}

/// Says whether a target in nanoseconds is reached.
pub(crate) fn target(what: &str, found: Option<f64>, most: f64) {
    let found = found.unwrap_or(f64::NAN);
    let word = if found <= most { "reached" } else { "missed" };
    println!("  {what}: {word} ({:.2} of it)", found / most);
}

fn seconds(contender: &mut Contender<'_>, times: u32) -> f64 {
    let start = Clock::now();
    for _ in 0..times {
        (contender.run)();
    }
    start.elapsed().as_secs_f64()
}

fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times.get(times.len() / 2).copied().unwrap_or(f64::NAN)
}
