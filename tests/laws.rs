//! The laws of judging, each tried on random records made of the demo shop's jobs and judged by the base pack.
//!
//! `FILLWARD_CASES` sets how many random cases each law is tried on; without it, a number that suits every run.

mod added;
mod alike;
mod astray;
mod changes;
mod closed;
mod cures;
mod customary;
mod deleting;
mod deleting_later;
mod ends;
mod experts;
mod filled;
mod fitted;
mod held_later;
mod instead;
mod instruments;
pub(crate) mod jobs;
mod kept;
mod lasting;
mod late;
mod leaps;
mod legal_numbers;
mod let_out;
mod lost_units;
mod measured;
mod names;
mod now;
mod numbers;
mod nuts;
mod one_later;
mod one_place;
mod past;
mod planned;
mod ready;
mod said;
mod sides;
mod stops;
mod stray;
mod stricter;
mod tighter;
mod trust;
mod two_clocks;
mod whole;
mod wider;
mod words;
mod worn;
mod written_down;

use proptest::test_runner::Config;

/// How many cases a law is tried on.
pub(crate) fn config() -> Config {
    let cases = std::env::var("FILLWARD_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(1_000);
    // As many cases may be left aside as are tried: of a hundred thousand a few thousand always are.
    let max_global_rejects = cases.max(Config::default().max_global_rejects);
    Config { cases, max_global_rejects, failure_persistence: None, ..Config::default() }
}
