//! A clock that stands behind: the one thing that is said, whatever else seems to follow from it.

use fillward::desk::Answer;
use proptest::prelude::*;

use crate::shop::Shop;
use crate::shop::counter::{FILE, accepted};
use crate::shop::later;
use crate::shop::world::World;

const DAY: i128 = 86_400;

fn told(counter: &Shop<World>) -> (Answer, Vec<&'static str>) {
    let verified = counter.verify(|_| {}).unwrap();
    let codes = verified.report.reasons().map(|reason| reason.code().word().trim_start_matches("checklist/"));
    (verified.answer, codes.collect())
}

/// The job signed at the demo instant by a trust file that was made a day before.
fn signed() -> Shop<World> {
    let counter = Shop::new().at_desk();
    counter.trust(|body| body.made_at = later(-DAY).to_record_text());
    counter.sign(|_| {}).unwrap();
    counter
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(40) })]

    /// The law: by a clock that is known to stand behind, a good file is in order, and one bar says the clock and nothing
    /// else; what is forged is found as always.
    #[test]
    fn a_clock_behind_is_the_one_thing_that_is_said(back in 301_i128..400 * DAY, remembers in any::<bool>()) {
        let counter = signed();
        if !remembers {
            counter.remember(Some(accepted()));
        }
        counter.clock(-back);
        let due = match (back > DAY + 300, remembers) {
            (true, _) => (Answer::InOrder, vec!["clock-behind"]),
            (false, true) => (Answer::InOrder, vec!["clock-set-back"]),
            // Nothing tells which of the two clocks is wrong, that of the file or that of this machine.
            (false, false) => (Answer::Doubtful, vec!["signed-ahead", "judged-ahead"]),
        };
        prop_assert_eq!(told(&counter), due);
        let forged = String::from_utf8(counter.get(FILE).unwrap()).unwrap().replacen("HT-0311", "HT-0312", 1);
        counter.put(FILE, forged);
        let (answer, codes) = told(&counter);
        prop_assert_eq!(answer, Answer::Doubtful);
        prop_assert!(codes.contains(&"changed"), "{:?}", codes);
    }
}

/// Whoever looks back by a trust file that was made since is told nothing of the clock: of a hold point before as well.
#[test]
fn a_trust_file_made_since_is_no_clock_behind() {
    let counter = signed();
    counter.clock(3600);
    counter.trust(|body| body.made_at = later(3600).to_record_text());
    let verified = counter.verify(|order| order.at = Some(later(60))).unwrap();
    assert!(matches!(verified.answer, Answer::CouldHaveStarted { .. }), "{:?}", verified.report);
}
