//! One assembly of a job goes on later than the other: it leaks, a hose bursts, a drum is fetched. Every check of one of the
//! two passes at its point, whatever has been written of the other one by then, and nothing that was written is taken out.
//!
//! The carried jobs are made into jobs of two: the first is filled as it was, and the second goes through the same by itself
//! some time later. Of the job only the planned start is written anew, where the check before the fill asks for that, and
//! drums and bay are read again, where they are too long ago.

use std::sync::LazyLock;

use fillward::engine::Scene;
use fillward::units::{Exact, Instant};
use fillward::vocabulary::{HoldPoint, Verdict};
use proptest::prelude::*;
use proptest::sample::select;
use proptest::test_runner::TestRunner;
use serde_yaml::Value;

use super::jobs::{Judged, PACKS, outcomes, read};
use crate::common;
use crate::common::tree::{Step, at, put};

/// A carried job: its record and the instant of its check at each hold point, in their order.
type Carried = [(Value, Instant); 4];

static CARRIED: LazyLock<Vec<Carried>> = LazyLock::new(|| {
    let of = |kind: &&str| {
        ["1-before-air", "2-before-fill", "3-after-fill", "4-before-service"].map(|stage| {
            let path = format!("shared/demo/carried/{kind}{stage}.yaml");
            (serde_yaml::from_str(&common::read(&path)).unwrap(), crate::hold_points::judged(&path).1)
        })
    };
    ["", "metric-", "vehicle-"].iter().map(of).collect()
});

const FIRST: &str = "loader 8, left rear";
const SECOND: &str = "loader 8, right rear";

fn steps(place: &str) -> Vec<Step> {
    place.split('.').map(|key| key.parse().map_or_else(|_| Step::Key(key.to_owned()), Step::Item)).collect()
}

fn get<'v>(tree: &'v Value, place: &str) -> Option<&'v Value> {
    at(tree, &steps(place))
}

fn set(tree: &mut Value, place: &str, value: impl Into<Value>) {
    *tree = put(tree, &steps(place), &value.into());
}

fn instant(tree: &Value, place: &str) -> Option<Instant> {
    Instant::parse(get(tree, place)?.as_str()?).ok()
}

fn after(at: Instant, minutes: i64) -> Instant {
    at.checked_add_seconds(Exact::from_int(60 * minutes)).unwrap()
}

fn minutes_from(one: Instant, other: Instant) -> i64 {
    let seconds = other.seconds_since(one);
    i64::try_from(seconds.numer().div_euclid(60 * seconds.denom())).unwrap()
}

/// The same, with every instant later by as many minutes.
fn moved(node: &Value, minutes: i64) -> Value {
    match node {
        Value::String(text) => {
            Instant::parse(text).map_or_else(|_| node.clone(), |at| after(at, minutes).to_record_text().into())
        }
        Value::Sequence(items) => items.iter().map(|item| moved(item, minutes)).collect::<Vec<_>>().into(),
        Value::Mapping(map) => {
            let moved = map.iter().map(|(key, value)| (key.clone(), moved(value, minutes)));
            moved.collect::<serde_yaml::Mapping>().into()
        }
        _ => node.clone(),
    }
}

/// A quantity, and as much again.
fn doubled(quantity: &str) -> String {
    let (number, unit) = quantity.split_once(' ').unwrap();
    format!("{} {unit}", 2.0 * number.parse::<f64>().unwrap())
}

/// A job of two, one of which goes on later.
#[derive(Debug, Clone)]
struct Pair {
    carried: usize,
    /// How much later in the day the whole job is.
    shift: i64,
    /// The minutes from the end of the first fill to the start of the second.
    gap: i64,
    /// Whether the second comes to the bench later too, or was seated with the first.
    from_the_bench: bool,
    /// Whether the start of the first is planned anew as soon as that is allowed, or only where it is asked for.
    plans_anew: bool,
}

/// How far each assembly has come.
#[derive(Debug, Clone, Copy)]
enum Reached {
    Bench,
    Cage,
    Filled,
    Cured,
}

impl Pair {
    fn stage(&self, reached: Reached) -> (Value, Instant) {
        let (tree, then) = &CARRIED[self.carried][reached as usize];
        (moved(tree, self.shift), after(*then, self.shift))
    }

    fn planned(&self) -> Instant {
        instant(&self.stage(Reached::Cage).0, "planned_start").unwrap()
    }

    fn first_start(&self) -> Instant {
        after(self.planned(), 3)
    }

    fn first_end(&self) -> Instant {
        instant(&self.stage(Reached::Filled).0, "assemblies.0.fill.ended").unwrap()
    }

    fn second_start(&self) -> Instant {
        after(self.first_end(), self.gap)
    }

    fn second_end(&self) -> Instant {
        after(self.second_start(), minutes_from(self.first_start(), self.first_end()))
    }

    /// How much later than the first all is that happens to the second: from the bench on, or from the pump on.
    fn later(&self) -> i64 {
        minutes_from(self.first_start(), self.second_start())
    }

    fn first(&self, reached: Reached) -> Value {
        let mut one = self.stage(reached).0["assemblies"][0].clone();
        set(&mut one, "mark", FIRST);
        if matches!(reached, Reached::Filled | Reached::Cured) {
            set(&mut one, "acts.fill", self.first_start().to_record_text());
        }
        one
    }

    fn second(&self, reached: Reached) -> Value {
        let here = self.stage(reached).0["assemblies"][0].clone();
        let late = moved(&here, self.later());
        let mut one = if self.from_the_bench { late.clone() } else { here };
        // All that was looked at before the fill may have been looked at with the first.
        if let Some(fill) = get(&late, "fill") {
            set(&mut one, "fill", fill.clone());
        }
        set(&mut one, "mark", SECOND);
        if matches!(reached, Reached::Filled | Reached::Cured) {
            set(&mut one, "acts.fill", self.second_start().to_record_text());
        }
        one
    }

    /// Whether the start has to be planned anew for the second by a check at this instant.
    fn is_planned_anew(&self, then: Instant) -> bool {
        let passed = minutes_from(self.planned(), then);
        passed > 60 || self.plans_anew && passed > 0
    }

    /// The record when the two have come so far; `planned` where the start was planned anew, `read` where drums and bay were
    /// read again, for the second.
    fn record(&self, (first, second): (Reached, Reached), planned: bool, read: bool) -> Value {
        let mut tree = self.stage(first).0;
        set(&mut tree, "assemblies", vec![self.first(first), self.second(second)]);
        for side in ["isocyanate", "polyol"] {
            for of in ["needed", "on_hand.reading"] {
                let place = format!("components.{side}.{of}");
                let quantity = doubled(get(&tree, &place).unwrap().as_str().unwrap());
                set(&mut tree, &place, quantity);
            }
        }
        if planned {
            set(&mut tree, "planned_start", self.second_start().to_record_text());
        }
        let readings = ["components.isocyanate.core_temperature", "components.polyol.core_temperature"];
        for (after_another, place) in
            (0..).zip(readings.into_iter().chain(["workspace.temperature", "workspace.humidity"]))
        {
            let place = format!("{place}.at");
            let is_old = |at: &Instant| minutes_from(*at, self.second_start()) > 110;
            if read && instant(&tree, &place).as_ref().is_some_and(is_old) {
                set(&mut tree, &place, after(self.second_start(), after_another - 26).to_record_text());
            }
        }
        tree
    }

    /// Every check of one of the two, in the order of the day: what is on record, where, when, and of which.
    fn checks(&self) -> Vec<(&'static str, Value, HoldPoint, Instant, &'static str)> {
        use HoldPoint::{AfterFill, BeforeAir, BeforeFill, BeforeService};
        use Reached::{Bench, Cage, Cured, Filled};
        let waits = if self.from_the_bench { Bench } else { Cage };
        let ended = after(self.first_end(), 10);
        let mut checks = vec![("at once", self.record((Filled, waits), false, false), AfterFill, ended, FIRST)];
        // A new tyre is stretched for a day, and what is filled on another day has a record of its own.
        if self.from_the_bench && self.stage(Bench).0["assemblies"][0]["tyre"]["state"] == "used" {
            let then = after(self.stage(Bench).1, self.later());
            let first = if then < ended { Cage } else { Filled };
            let record = self.record((first, Bench), self.is_planned_anew(then), false);
            checks.push(("to the bench", record, BeforeAir, then, SECOND));
        }
        let then = after(self.second_start(), -20);
        let anew = self.is_planned_anew(then);
        let waiting = self.record((Filled, Cage), anew, true);
        checks.push(("to the pump", waiting.clone(), BeforeFill, then, SECOND));
        checks.push(("while it waits", waiting, AfterFill, then, FIRST));
        let both = self.record((Filled, Filled), anew, true);
        let then = after(self.second_end(), 10);
        checks.push(("second filled", both.clone(), AfterFill, then, SECOND));
        checks.push(("late", both, AfterFill, then, FIRST));
        // One gets back to work while the other never went to the pump, or cures yet.
        let service = self.stage(Cured).1;
        for planned in [false, anew] {
            checks.push(("alone", self.record((Cured, Cage), planned, planned), BeforeService, service, FIRST));
        }
        let mut last = self.record((Cured, Cured), anew, true);
        let accepted = instant(&last, "service.accepted.at").unwrap().max(after(self.second_end(), 60));
        set(&mut last, "service.accepted.at", accepted.to_record_text());
        checks.push(("first cured", last.clone(), BeforeService, service.max(after(accepted, 1)), FIRST));
        checks.push(("second cured", last, BeforeService, after(service, self.later()).max(accepted), SECOND));
        checks
    }
}

fn judged(tree: &Value, point: HoldPoint, then: Instant, mark: &str) -> Judged {
    let job = read(&PACKS, tree).unwrap_or_else(|| panic!("refused: {}", serde_yaml::to_string(tree).unwrap()));
    let scene = Scene::new(&PACKS, &job, then, &common::demo_zone()).at_hold_point(point);
    outcomes(&scene.covering(&[mark]).unwrap())
}

fn pair() -> impl Strategy<Value = Pair> {
    // In the morning, and so late that the second is filled after midnight.
    let shift = prop_oneof![Just(0), 9 * 60..12 * 60i64];
    (0..CARRIED.len(), shift, 20..=360i64, any::<bool>(), any::<bool>()).prop_map(
        |(carried, shift, gap, from_the_bench, plans_anew)| Pair { carried, shift, gap, from_the_bench, plans_anew },
    )
}

#[test]
fn one_goes_on_later_than_the_other_and_nothing_is_taken_out() {
    let outcome = TestRunner::new(super::config()).run(&pair(), |pair| {
        for (what, tree, point, then, mark) in pair.checks() {
            let judged = judged(&tree, point, then, mark);
            let held: Vec<_> = judged.holding().collect();
            prop_assert!(judged.verdict == Verdict::Pass, "{mark} {what}, {} {then:?}: {held:?}", point.word());
        }
        Ok(())
    });
    outcome.unwrap();
}

/// What the second brings with it says nothing of when the first was filled, unless it is on record when the pump started
/// for it: by the plan and the readings of the second alone a fill is as early as its end is wrong.
#[test]
fn without_its_own_start_the_first_goes_by_the_plan() {
    let outcome = TestRunner::new(super::config()).run(&(pair(), 0..2usize), |(pair, which)| {
        if pair.gap < 70 {
            return Ok(());
        }
        let reached = [(Reached::Filled, Reached::Cage), (Reached::Filled, Reached::Filled)][which];
        let mut tree = pair.record(reached, true, true);
        tree["assemblies"][0].as_mapping_mut().unwrap().remove("acts").unwrap();
        let judged = judged(&tree, HoldPoint::AfterFill, after(pair.second_end(), 10), FIRST);
        let held: Vec<_> = judged.holding().map(|(rule, _)| rule.as_str()).collect();
        prop_assert!(held.contains(&"fill-ended-too-soon"), "{held:?}");
        Ok(())
    });
    outcome.unwrap();
}

/// A job of one has nothing that waits: its sample before its fill, its fill before its plan and before its cores are held
/// as ever, and so is a fill of another day that something waits beside.
#[test]
fn what_is_of_no_other_assembly_is_held() {
    let lone = |tree: &Value, keep: usize| {
        let mut tree = tree.clone();
        let one = tree["assemblies"][keep].clone();
        set(&mut tree, "assemblies", vec![one]);
        tree
    };
    let days = select(&[2i64, 7, 31][..]);
    let outcome = TestRunner::new(super::config()).run(&(pair(), days), |(pair, days)| {
        use HoldPoint::{AfterFill, BeforeFill};
        let then = after(pair.second_start(), -20);
        let waiting = pair.record((Reached::Filled, Reached::Cage), pair.is_planned_anew(then), true);
        let held = |tree: &Value, point, then, mark, rule: &str| {
            let judged = judged(tree, point, then, mark);
            judged.verdict == Verdict::Hold && judged.holding().any(|(held, _)| held == rule)
        };
        prop_assert!(held(&lone(&waiting, 1), BeforeFill, then, SECOND, "sample-before-its-fill"));
        if pair.gap >= 70 {
            let both = pair.record((Reached::Filled, Reached::Filled), true, true);
            let (first, late) = (lone(&both, 0), after(pair.second_end(), 10));
            prop_assert!(held(&first, AfterFill, late, FIRST, "fill-ended-too-soon"));
            prop_assert!(held(&first, AfterFill, late, FIRST, "sample-of-another-fill"));
        }
        // The first is of another day.
        let mut apart = waiting;
        let one = moved(&apart["assemblies"][0], -days * 24 * 60);
        let sampled = after(instant(&apart, "sample.taken").unwrap(), -days * 24 * 60);
        set(&mut apart, "assemblies.0", one);
        set(&mut apart, "sample.taken", sampled.to_record_text());
        prop_assert!(held(&apart, BeforeFill, then, SECOND, "sample-before-its-fill"));
        prop_assert!(held(&apart, AfterFill, then, FIRST, "fill-ended-too-soon"));
        prop_assert!(held(&apart, AfterFill, then, FIRST, "sample-of-another-fill"));
        Ok(())
    });
    outcome.unwrap();
}
