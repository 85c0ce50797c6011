//! The law of trust: whatever happens at a desk, and in whatever order, a fill may start by a signed file only if a
//! small model of the shop says so, which knows who held which key when and what an account has seen, and neither bytes
//! nor digests; and what honest people made and left as it was is never told to be made up.
//!
//! Acts are honest ones and others: keys that end, drafts and old files put back, an owner made up, accounts that
//! forget, clocks set back, records changed, permits to oneself, verdicts written over, signatures taken away and
//! pasted in.

mod acts;
mod held;
mod model;
mod papers;
mod play;

use std::cell::RefCell;
use std::collections::BTreeSet;

use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};

use acts::{Act, acts};
use model::Meant;
use play::Play;

/// Each case is a day of a shop.
fn config() -> Config {
    let cases = super::config().cases / 10;
    Config { cases, ..super::config() }
}

/// What became of the days: how many there were, on how many something may start, and what alone kept something from it.
#[derive(Debug, Default)]
struct Days {
    all: usize,
    with_a_start: usize,
    alone: BTreeSet<&'static str>,
}

/// Plays a day, and looks at every file at its end.
fn play(days: &RefCell<Days>, signed_by: Option<&str>, acts: &[Act]) -> Result<(), TestCaseError> {
    let mut play = Play::new(signed_by);
    for act in acts {
        play.act(*act)?;
    }
    for place in 0..play.model.papers.len() {
        play.verify(place, Meant::default())?;
    }
    let mut days = days.borrow_mut();
    days.all += 1;
    days.with_a_start += usize::from(play.starts > 0);
    days.alone.append(&mut play.alone);
    Ok(())
}

#[test]
fn nothing_starts_but_by_what_may_be_true() {
    let roles = prop_oneof![
        4 => Just(None),
        1 => Just(Some("supervisor, supervisor")),
        2 => Just(Some("supervisor, safety-officer")),
    ];
    let days = RefCell::new(Days::default());
    let law = |(signed_by, acts): (Option<&'static str>, Vec<Act>)| play(&days, signed_by, &acts);
    TestRunner::new(config()).run(&(roles, acts()), law).unwrap();
    // Something may start on enough of the days, and enough of what the model knows was alone in the way of something:
    // else the law would ask nothing.
    let Days { all, with_a_start, alone } = days.into_inner();
    assert!(with_a_start * 4 > all && alone.len() > 12, "{with_a_start} of {all} days: {alone:#?}");
}
