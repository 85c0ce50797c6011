//! Who walks the rounds: nobody walks those of two places within one minute, however the times are written.

use fillward::document::Code;
use fillward::pack::PackSet;
use proptest::prelude::*;

use super::{RECORD, SHOP, changed, expanded};

/// The round of the demo's own place on its day, and that of the next one.
const HERE: &str = "{mark: EB morning, at: 07:10, by: OV}";
const NEXT: &str = "{mark: WB morning, at: 06:50, by: ML}";

/// A time of the demo's day in each form that is taken.
fn written(minutes: u32, form: usize) -> String {
    let clock = format!("{:02}:{:02}", minutes / 60, minutes % 60);
    [clock.clone(), format!("2026-03-04 {clock}"), format!("2026-03-04T{clock}:00-06:00")][form].clone()
}

/// A round of each place is refused where one person walked both in the same minute, and taken otherwise: of another
/// person, of another minute, of another day.
#[test]
fn nobody_walks_the_rounds_of_two_places_in_one_minute() {
    let packs = PackSet::base().unwrap();
    let config = ProptestConfig { cases: 120, failure_persistence: None, ..ProptestConfig::default() };
    let mut runner = proptest::test_runner::TestRunner::new(config);
    let people = || prop::sample::select(vec!["OV", "WC"]);
    let strategy = ((390..420u32, 0..3usize, people()), (0..2u32, 0..3usize, people()), any::<bool>());
    let (refused, taken) = (std::cell::Cell::new(0), std::cell::Cell::new(0));
    runner
        .run(&strategy, |((at, form, by), (later, other_form, other), other_day)| {
            let here = format!("{{mark: EB morning, at: {}, by: {by}}}", written(at, form));
            let next = format!("{{mark: WB morning, at: {}, by: {other}}}", written(at + later, other_form));
            let before = format!("  - day: 2026-03-04\n    round: {NEXT}");
            let day = if other_day { "2026-03-03" } else { "2026-03-04" };
            let shop = changed(SHOP, &[(HERE, &here), (&before, &format!("  - day: {day}\n    round: {next}"))]);
            let record = changed(RECORD, &[]);
            let made = expanded(&packs, &record, Some(&shop));
            let clash = by == other && later == 0 && !other_day;
            if clash {
                let faults = made.map(|_| ()).expect_err(&shop);
                prop_assert!(faults.iter().all(|fault| fault.code() == Code::ShopWalkedTwice), "{faults:?}");
                refused.set(refused.get() + 1);
            } else {
                prop_assert!(made.is_ok(), "{here} {next} {day}: {:?}", made.err());
                taken.set(taken.get() + 1);
            }
            Ok(())
        })
        .unwrap_or_else(|error| panic!("{error}"));
    assert!(refused.get() > 5 && taken.get() > 20, "{} refused, {} taken", refused.get(), taken.get());
}
