//! The measurement: batches of all contenders in turn, so that a change of the machine's pace meets all of them.

use std::time::Instant;

use crate::{Contender, Outcome};

/// How many batches of each contender are timed.
pub(crate) const ROUNDS: usize = 1001;
/// How long a batch should take, in seconds: far above the clock's step, and so far below the scheduler's slice that on a
/// busy machine most batches still run through.
const BATCH: f64 = 0.0003;

/// Nanoseconds per judgement, one for each round, in the order of the rounds.
pub(crate) struct Times(Vec<f64>);

impl Times {
    /// The first quartile, the median and the third quartile.
    pub(crate) fn quartiles(&self) -> (f64, f64, f64) {
        let mut sorted = self.0.clone();
        sorted.sort_by(f64::total_cmp);
        let at = |index: usize| sorted.get(index).copied().unwrap_or(f64::NAN);
        (at(ROUNDS / 4), at(ROUNDS / 2), at(ROUNDS * 3 / 4))
    }

    /// The median of the rounds' own ratios to another contender.
    pub(crate) fn ratio_to(&self, other: &Self) -> f64 {
        Self(self.0.iter().zip(&other.0).map(|(mine, theirs)| mine / theirs).collect()).quartiles().1
    }
}

/// Times every contender on one case.
pub(crate) fn race(case: usize, contenders: &mut [Box<dyn Contender>]) -> Result<Vec<Times>, String> {
    let time = |contender: &mut Box<dyn Contender>, times: u32| -> Outcome<f64> {
        let start = Instant::now();
        contender.run(case, times)?;
        Ok(start.elapsed().as_secs_f64())
    };
    let mut all = Vec::new();
    let mut batches = Vec::new();
    for contender in contenders.iter_mut() {
        // The batch doubles until it is long enough; the doubling warms caches and predictors up as well.
        let mut batch = 1_u32;
        while time(contender, batch).map_err(|error| error.to_string())? < BATCH && batch < 1 << 24 {
            batch *= 2;
        }
        batches.push(batch);
        all.push(Times(Vec::with_capacity(ROUNDS)));
    }
    for _ in 0..ROUNDS {
        for ((contender, batch), times) in contenders.iter_mut().zip(&batches).zip(&mut all) {
            let seconds = time(contender, *batch).map_err(|error| error.to_string())?;
            times.0.push(seconds * 1e9 / f64::from(*batch));
        }
    }
    Ok(all)
}
