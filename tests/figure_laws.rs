//! The laws of figures, over generated records: what a figure reads is what it declares, its declared directions hold, and
//! a wider doubt gives an interval that holds the narrower one's.

mod free_limits;
mod records;

use std::collections::{BTreeMap, BTreeSet};

use fillward::figures::{
    Direction, Figure, FigureId, FigureKind, FigureSpec, Parameter, Parameters, Reads, Shared, TABLE, Workings,
};
use fillward::pack::{PackSet, Term, Test};
use fillward::record::{Catalogue, FactKey, Job, Value};
use fillward::units::{Dimension, Exact, Quantity};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use records::{Drawn, Fill, SLOTS, job, records};

/// How many records are the same in every run: by these every figure, fact and limit is reached.
const CASES: u32 = 1000;

/// The limits as the base pack has them, near enough: what they are does not matter here.
fn base_value(parameter: Parameter) -> Exact {
    let text = match parameter {
        Parameter::PreStretchTemperature | Parameter::ProcessingTemperature => "72 degF",
        Parameter::WorkspaceTemperature => "60 degF",
        Parameter::PreStretchLongestGap => "7 h",
        Parameter::PreStretchLongestNight | Parameter::WorkspaceLongestNight => "9 h",
        Parameter::PreStretchTime => "12 h",
        Parameter::PreStretchLag => "3 h",
        Parameter::WorkspaceLongestGap => "6 h",
        Parameter::CureTime => "24 h",
        Parameter::ColdCureTime => "48 h",
        Parameter::PreStretchLetDown => "110 %",
        Parameter::PreStretchLetDownTime => "40 h",
        Parameter::PreStretchTopUp => "3 %",
        Parameter::UsedTyreGrowth => "20 %",
        Parameter::Waste => "5 %",
        Parameter::InsideVolumeLeast => "85 %",
        Parameter::InsideVolumeMost => "125 %",
        Parameter::VolumeModelWidth => "100 %",
        Parameter::PreStretchJitter | Parameter::SoftSide => "2 %",
        Parameter::CageFactor => "150 %",
        Parameter::FastestStroke => "0.5 s",
        Parameter::KilogramTime => "2 s",
        Parameter::StrokeShare => "50 %",
        Parameter::StartGrace => "1 h",
        Parameter::WarmingSpan => "15 min",
    };
    Quantity::parse(text, parameter.dimension()).unwrap().base()
}

fn parameters(raised: Option<(Parameter, i64)>) -> Parameters {
    Parameters::from_limits(|parameter| {
        let value = base_value(parameter);
        match raised {
            // A temperature rises by tenths of a kelvin, all else by hundredths of itself.
            Some((which, by)) if which == parameter => {
                let unit = if value > Exact::from_int(200) && value < Exact::from_int(400) {
                    Exact::new(i128::from(by), 10)
                } else {
                    value.checked_mul(Exact::new(i128::from(by), 100)?)
                };
                value.checked_add(unit?)
            }
            _ => Some(value),
        }
    })
}

fn figures(job: &Job, parameters: &Parameters) -> BTreeMap<FigureId, Figure> {
    figures_of(TABLE, job, parameters)
}

/// Some of them.
fn figures_of<'s>(
    specs: impl IntoIterator<Item = &'s FigureSpec>,
    job: &Job,
    parameters: &Parameters,
) -> BTreeMap<FigureId, Figure> {
    let compute = |spec: &FigureSpec| {
        let entity = job.of(spec.subject)?.first()?;
        Some((spec.id, Workings::new(job, entity, parameters, &Shared::of(job)).compute(spec.id)))
    };
    specs.into_iter().filter_map(compute).collect()
}

/// Runs a test on records that the reader takes: those that are the same in every run, and as many more by the seed of this
/// one as the number of cases asks for.
fn on_records<S: Strategy>(with: S, mut test: impl FnMut(&[Drawn], &Job, S::Value)) {
    let catalogue = Catalogue::default();
    let config = crate::laws::config();
    let more = config.cases.saturating_sub(CASES);
    let same = TestRunner::new_with_rng(Config::default(), TestRng::deterministic_rng(RngAlgorithm::ChaCha));
    let strategy = (records(), with);
    for (mut runner, cases) in [(same, CASES), (TestRunner::new(config), more)] {
        let mut taken = 0;
        for _ in 0..cases {
            let (drawn, with) = strategy.new_tree(&mut runner).unwrap().current();
            if let Some(job) = job(&catalogue, &drawn) {
                taken += 1;
                test(&drawn, &job, with);
            }
        }
        assert!(taken * 2 >= cases, "only {taken} of {cases} records were taken");
    }
}

fn names<T: Ord>(catalogue: &Catalogue, found: &BTreeSet<T>, name: impl Fn(&Catalogue, &T) -> String) -> Vec<String> {
    found.iter().map(|one| name(catalogue, one)).collect()
}

/// What a figure declares is the union of what it reads over all records: no fact too few, none too many.
#[test]
fn a_figure_declares_what_it_reads() {
    let limits = parameters(None);
    let mut facts: BTreeMap<FigureId, BTreeSet<FactKey>> = BTreeMap::new();
    let mut read_limits: BTreeMap<FigureId, BTreeSet<Parameter>> = BTreeMap::new();
    on_records(Just(()), |_, job, ()| {
        for spec in TABLE {
            for entity in job.of(spec.subject).unwrap_or(&[]) {
                let reads = Reads::default();
                // What it comes to is another test's matter.
                let _figure = Workings::watched(job, entity, &limits, &Shared::of(job), &reads).compute(spec.id);
                facts.entry(spec.id).or_default().extend(reads.facts());
                read_limits.entry(spec.id).or_default().extend(reads.limits());
            }
        }
    });
    let catalogue = Catalogue::default();
    for spec in TABLE {
        let declared: BTreeSet<FactKey> = spec.facts().collect();
        let full = |catalogue: &Catalogue, key: &FactKey| catalogue.full_name(*key);
        assert_eq!(declared.len(), spec.inputs.len(), "{}: a fact stands twice", spec.name);
        let read = &facts[&spec.id];
        assert_eq!(names(&catalogue, &declared, full), names(&catalogue, read, full), "{}", spec.name);
        let declared: BTreeSet<Parameter> = spec.parameters.iter().map(|(parameter, _)| *parameter).collect();
        let limit = |_: &Catalogue, parameter: &Parameter| parameter.limit().to_owned();
        let read = &read_limits[&spec.id];
        assert_eq!(names(&catalogue, &declared, limit), names(&catalogue, read, limit), "{}", spec.name);
    }
}

/// Whether a figure went the way that is declared; `None` where one of the two is not known.
fn goes(direction: Direction, before: &Figure, after: &Figure) -> Option<bool> {
    let (low, high) = match (before.as_ref().ok()?, after.as_ref().ok()?) {
        (Value::Measured(before), Value::Measured(after)) => {
            (before.interval.lo().cmp(&after.interval.lo()), before.interval.hi().cmp(&after.interval.hi()))
        }
        (Value::Instant(before), Value::Instant(after)) => (before.cmp(after), before.cmp(after)),
        _ => return None,
    };
    Some(match direction {
        Direction::Up => low.is_le() && high.is_le(),
        Direction::Down => low.is_ge() && high.is_ge(),
        Direction::Free => true,
    })
}

/// What moves a figure by less than the whole ones that it is counted in: a warmer drum, or a pound of
/// priming, opens no other drum.
const TOO_FINE: &[(FigureId, &str)] = &[
    (FigureId::Containers, "component.core_temperature"),
    (FigureId::Containers, "pump.priming"),
    (FigureId::Fills, "component.on_hand"),
];

/// Raises one number of each record and sees which way every figure goes.
#[test]
fn figures_go_the_declared_way_when_a_fact_rises() {
    let limits = parameters(None);
    let catalogue = Catalogue::default();
    let mut moved: BTreeMap<(String, String), (usize, bool)> = BTreeMap::new();
    on_records(1..40i64, |drawn, job, by| {
        let before = figures(job, &limits);
        for (index, slot) in SLOTS.iter().enumerate() {
            if !matches!(slot.fill, Fill::Count(..) | Fill::Tenths(..) | Fill::Reading(..)) || drawn[index].is_none() {
                continue;
            }
            let wanted = |spec: &&FigureSpec| {
                let way = spec.inputs.iter().find(|(fact, _)| catalogue.full_name(*fact) == slot.fact);
                way.is_some_and(|(_, way)| *way != Direction::Free)
            };
            if !TABLE.iter().any(|spec| wanted(&spec)) {
                continue;
            }
            let mut raised = drawn.to_vec();
            if let Some(values) = &mut raised[index] {
                values[0] +=
                    if slot.fact.contains("density") || slot.fact.contains("expansion") { 1 + by % 2 } else { by };
            }
            let Some(raised) = self::job(&catalogue, &raised) else { continue };
            let after = figures_of(TABLE.iter().filter(wanted), &raised, &limits);
            for spec in TABLE.iter().filter(wanted) {
                let (_, way) = spec.inputs.iter().find(|(fact, _)| catalogue.full_name(*fact) == slot.fact).unwrap();
                let Some(right) = goes(*way, &before[&spec.id], &after[&spec.id]) else { continue };
                assert!(
                    right,
                    "{} is not {way:?} in {}: {:?}, then {:?}",
                    spec.name, slot.at, before[&spec.id], after[&spec.id]
                );
                let seen = moved.entry((spec.full_name(), slot.fact.to_owned())).or_default();
                *seen = (seen.0 + 1, seen.1 || before[&spec.id] != after[&spec.id]);
            }
        }
    });
    // Every declared direction was tried, and its figure does move.
    for spec in TABLE {
        for (fact, way) in spec.inputs.iter().filter(|(_, way)| *way != Direction::Free) {
            let seen = moved.get(&(spec.full_name(), catalogue.full_name(*fact)));
            if TOO_FINE.contains(&(spec.id, catalogue.full_name(*fact).as_str())) {
                assert!(seen.is_some(), "{} was never tried with {}", spec.name, catalogue.full_name(*fact));
                continue;
            }
            assert!(
                seen.is_some_and(|(_, moved)| *moved),
                "{} {way:?} in {}: {seen:?}",
                spec.name,
                catalogue.full_name(*fact)
            );
        }
    }
}

#[test]
fn figures_go_the_declared_way_when_a_limit_rises() {
    let limits = parameters(None);
    let mut moved = BTreeSet::new();
    on_records(1..600i64, |_, job, by| {
        let before = figures(job, &limits);
        for parameter in Parameter::ALL {
            let after = figures(job, &parameters(Some((parameter, by))));
            for spec in TABLE {
                let (was, is) = (&before[&spec.id], &after[&spec.id]);
                let Some((_, way)) = spec.parameters.iter().find(|(own, _)| *own == parameter) else {
                    assert_eq!(was, is, "{} does not use {parameter:?}", spec.name);
                    continue;
                };
                let Some(right) = goes(*way, was, is) else { continue };
                assert!(right, "{} is not {way:?} in {parameter:?}: {was:?}, then {is:?}", spec.name);
                if was != is {
                    moved.insert((spec.id, parameter));
                }
            }
        }
    });
    for spec in TABLE {
        for (parameter, way) in spec.parameters.iter().filter(|(_, way)| *way != Direction::Free) {
            assert!(moved.contains(&(spec.id, *parameter)), "{} never moved with {parameter:?}, {way:?}", spec.name);
        }
    }
}

/// A figure that is called a number never lies below zero, doubt included, and one that is called a difference does in some
/// record: packs multiply the one by their limits, and not the other.
#[test]
fn only_differences_lie_below_zero() {
    let mut below = BTreeSet::new();
    on_records(Just(()), |_, job, ()| {
        for (id, figure) in figures(job, &parameters(None)) {
            let Ok(Value::Measured(measured)) = figure else { continue };
            if measured.interval.lo().is_negative() {
                below.insert(id);
            }
        }
    });
    for spec in TABLE {
        let can_be = match spec.kind {
            FigureKind::Number(dimension) => !dimension.is_never_negative() && dimension != Dimension::Duration,
            FigureKind::Difference(_) => true,
            FigureKind::Instant | FigureKind::Flag => continue,
        };
        if below.contains(&spec.id) {
            assert!(can_be, "{} lay below zero", spec.full_name());
        } else {
            assert!(!matches!(spec.kind, FigureKind::Difference(_)), "{} never lay below zero", spec.full_name());
        }
    }
}

/// Figures into which the doubt itself goes, each with the way it takes them: their intervals are points that move.
const OF_THE_DOUBT: &[(FigureId, Direction)] = &[
    (FigureId::GaugeUncertainty, Direction::Up),
    (FigureId::CycleDoubt, Direction::Up),
    (FigureId::WarmingRate, Direction::Down),
    (FigureId::PressureCeiling, Direction::Down),
    (FigureId::PressureWindow, Direction::Down),
];

/// The same, with a wider doubt in a slot; nothing where the slot has none.
fn wider(drawn: &[Drawn], slot: usize, by: i64) -> Option<Vec<Drawn>> {
    let place = match SLOTS[slot].fill {
        Fill::Reading(..) => 1,
        Fill::Tenths(..) if SLOTS[slot].at.ends_with("uncertainty") => 0,
        _ => return None,
    };
    let mut wider = drawn.to_vec();
    wider[slot].as_mut()?[place] += by;
    Some(wider)
}

#[test]
fn a_wider_doubt_gives_an_interval_that_holds_the_narrower() {
    let limits = parameters(None);
    let catalogue = Catalogue::default();
    let mut widened = BTreeSet::new();
    on_records(1..60i64, |drawn, job, by| {
        let before = figures(job, &limits);
        for (index, slot) in SLOTS.iter().enumerate() {
            let Some(wider) = wider(drawn, index, by) else { continue };
            let Some(wider) = self::job(&catalogue, &wider) else { continue };
            for (id, after) in figures(&wider, &limits) {
                let was = &before[&id];
                if let Some((_, way)) = OF_THE_DOUBT.iter().find(|(own, _)| *own == id) {
                    assert_ne!(goes(*way, was, &after), Some(false), "{id:?} by {}", slot.at);
                } else if let (Ok(Value::Measured(inner)), Ok(Value::Measured(outer))) = (was, &after) {
                    let (inner, outer) = (inner.interval, outer.interval);
                    let holds = outer.lo() <= inner.lo() && inner.hi() <= outer.hi();
                    assert!(holds, "{id:?} by {}: {inner:?} is not in {outer:?}", slot.at);
                    if inner != outer {
                        widened.insert(id);
                    }
                }
            }
        }
    });
    let expected = [
        FigureId::PreStretchTime,
        FigureId::PreStretchHottest,
        FigureId::PreStretchLoss,
        FigureId::PreStretchLossShare,
        FigureId::AssemblyCycles,
        FigureId::AssemblyTime,
        FigureId::FilledOfLeast,
        FigureId::FilledOfMost,
        FigureId::AirEnergy,
        FigureId::PressureAfterCooling,
        FigureId::MassAsFilled,
        FigureId::FilledOfLikely,
        FigureId::WeighedOfCounted,
        FigureId::WentIn,
        FigureId::Fills,
        FigureId::PumpedOfNeed,
        FigureId::ComponentLeft,
        FigureId::DewPoint,
        FigureId::PumpCycles,
        FigureId::JobTime,
    ];
    assert_eq!(widened, BTreeSet::from(expected));
}

/// The figures of which nothing is known where the doubt is too wide: where the pump may give nothing at all, or the
/// drum may be as warm as the air around it. What a rule demands of them is then not shown.
const LOST_IN_DOUBT: [FigureId; 7] = [
    FigureId::AssemblyCycles,
    FigureId::AssemblyTime,
    FigureId::PumpCycles,
    FigureId::JobTime,
    FigureId::FillEnd,
    FigureId::WarmAt,
    FigureId::WeighedOfCounted,
];

/// A rule that is asked only where a figure is known is cleared by a doubt in which the figure is lost.
#[test]
fn no_rule_asks_whether_a_figure_is_known_that_doubt_makes_go_missing() {
    let limits = parameters(None);
    let catalogue = Catalogue::default();
    let mut lost = BTreeSet::new();
    on_records((1..60i64, 0..4u32), |drawn, job, (by, tens)| {
        let before = figures(job, &limits);
        for index in 0..SLOTS.len() {
            let Some(wider) = wider(drawn, index, by * 10_i64.pow(tens)) else { continue };
            let Some(wider) = self::job(&catalogue, &wider) else { continue };
            let after = figures(&wider, &limits);
            lost.extend(before.iter().filter(|(id, was)| was.is_ok() && after[id].is_err()).map(|(id, _)| *id));
        }
    });
    assert_eq!(lost, BTreeSet::from(LOST_IN_DOUBT));
    let packs = PackSet::base().unwrap();
    let mut asked = BTreeSet::new();
    for rule in packs.packs().iter().flat_map(|pack| &pack.rules) {
        for condition in rule.asks.conditions() {
            condition.leaves(&mut |leaf| {
                if let (Term::Figure(id), Test::Recorded(_)) = (leaf.term, &leaf.test) {
                    asked.insert(id);
                    assert!(!lost.contains(&id), "{} asks whether {id:?} is known", rule.name);
                }
            });
        }
    }
    assert!(asked.len() > 5, "{asked:?}");
}
