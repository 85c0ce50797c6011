//! The laws of figures, over generated records: what a figure reads is what it declares, its declared directions hold, and
//! a wider doubt gives an interval that holds the narrower one's.

use std::collections::{BTreeMap, BTreeSet};

use fillward::document::Document;
use fillward::figures::{
    Direction, Figure, FigureId, FigureSpec, Parameter, Parameters, Reads, Shared, TABLE, Workings,
};
use fillward::record::{self, Catalogue, FactKey, Job, Value};
use fillward::units::{Exact, Quantity};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use serde_yaml::{Mapping, Value as Yaml};

const CASES: u32 = 1000;

/// What may stand in a slot.
#[derive(Clone, Copy)]
enum Fill {
    /// One of these texts.
    Text(&'static [&'static str]),
    /// A whole number between two.
    Count(i64, i64),
    /// True or false.
    Flag,
    /// A number of tenths between two, with its unit; none for a plain number.
    Tenths(i64, i64, &'static str),
    /// The same, as a reading of this morning with an uncertainty in hundredths.
    Reading(i64, i64, &'static str),
    /// Rows of a log: hours between rows, and for each column its lowest and highest tenths, its unit and its name.
    Log(&'static [(i64, i64, &'static str, &'static str)]),
}

/// A place of the record and the fact that it fills.
struct Slot {
    at: &'static str,
    fact: &'static str,
    fill: Fill,
}

const fn slot(at: &'static str, fact: &'static str, fill: Fill) -> Slot {
    Slot { at, fact, fill }
}

const ROW: &[(i64, i64, &str, &str)] =
    &[(560, 640, "psi", "pressure"), (715, 800, "degF", "air"), (723, 790, "degF", "lowest_air")];
const SLOTS: &[Slot] = &[
    slot("planned_start", "planned_start", Fill::Text(&["2026-03-03T12:00:00-06:00", "2026-03-04T10:00:00-06:00"])),
    slot("pump.mass_per_cycle", "pump.mass_per_cycle", Fill::Reading(5, 12, "lb")),
    slot("pump.cycle_time", "pump.cycle_time", Fill::Tenths(10, 90, "s")),
    slot("pump.priming", "pump.priming", Fill::Tenths(0, 50, "lb")),
    slot("workspace.temperature", "workspace.temperature", Fill::Reading(550, 950, "degF")),
    slot("workspace.humidity", "workspace.humidity", Fill::Reading(300, 900, "%RH")),
    slot("workspace.log", "workspace.log", Fill::Log(&[(550, 800, "degF", "temperature")])),
    slot("cure.planned", "cure.planned", Fill::Tenths(200, 600, "h")),
    slot("assemblies.0.tyre.size", "assembly.tyre.size", Fill::Text(&["17.5-25", "18.4-34 8PR", "11R22.5", "12-16.5"])),
    slot("assemblies.0.tyre.state", "assembly.tyre.state", Fill::Text(&["new", "used"])),
    slot("assemblies.0.tyre.construction", "assembly.tyre.construction", Fill::Text(&["bias", "radial"])),
    slot("assemblies.0.tyre.seal", "assembly.tyre.seal", Fill::Text(&["tubeless", "tube type"])),
    slot("assemblies.0.tyre.ply_rating", "assembly.tyre.ply_rating", Fill::Count(8, 16)),
    slot("assemblies.0.tyre.load_range", "assembly.tyre.load_range", Fill::Text(&["D", "G"])),
    slot("assemblies.0.tyre.section_width", "assembly.tyre.section_width", Fill::Tenths(170, 180, "in")),
    slot("assemblies.0.tyre.overall_diameter", "assembly.tyre.overall_diameter", Fill::Tenths(520, 540, "in")),
    slot("assemblies.0.tyre.inside_volume", "assembly.tyre.inside_volume", Fill::Tenths(600, 800, "gal")),
    slot("assemblies.0.tube.fitted", "assembly.tube.fitted", Fill::Flag),
    slot("assemblies.0.flap.fitted", "assembly.flap.fitted", Fill::Flag),
    slot("assemblies.0.tube.size", "assembly.tube.size", Fill::Text(&["17.5-25", "18.00-25"])),
    slot("assemblies.0.tyre.sidewall_maximum", "assembly.tyre.sidewall_maximum", Fill::Tenths(600, 900, "psi")),
    slot("assemblies.0.tyre.published_maximum", "assembly.tyre.published_maximum", Fill::Tenths(600, 900, "psi")),
    slot("assemblies.0.tyre.load_rating", "assembly.tyre.load_rating", Fill::Tenths(10000, 90000, "lb")),
    slot("assemblies.0.tyre.mass", "assembly.tyre.mass", Fill::Tenths(1500, 5000, "lb")),
    slot("assemblies.0.rim.width", "assembly.rim.width", Fill::Tenths(130, 150, "in")),
    slot("assemblies.0.rim.kind", "assembly.rim.kind", Fill::Text(&["single piece", "multi-piece"])),
    slot("assemblies.0.rim.rating", "assembly.rim.rating", Fill::Tenths(600, 900, "psi")),
    slot("assemblies.0.wheel.rating", "assembly.wheel.rating", Fill::Tenths(600, 900, "psi")),
    slot("assemblies.0.wheel.mass", "assembly.wheel.mass", Fill::Tenths(1000, 4000, "lb")),
    slot("assemblies.0.target.pressure", "assembly.target.pressure", Fill::Tenths(550, 600, "psi")),
    slot("assemblies.0.target.gauge", "assembly.target.gauge", Fill::Text(&["G"])),
    slot("assemblies.0.target.operating_pressure", "assembly.target.operating_pressure", Fill::Tenths(500, 600, "psi")),
    slot("assemblies.0.target.local_limit", "assembly.target.local_limit", Fill::Tenths(600, 900, "psi")),
    slot("assemblies.0.pre_stretch.gauge", "assembly.pre_stretch.gauge", Fill::Text(&["G"])),
    slot("assemblies.0.pre_stretch.thermometer", "assembly.pre_stretch.thermometer", Fill::Text(&["T"])),
    slot("assemblies.0.pre_stretch.log", "assembly.pre_stretch.log", Fill::Log(ROW)),
    slot(
        "assemblies.0.fill.ended",
        "assembly.fill.ended",
        Fill::Text(&["2026-03-03T13:00:00-06:00", "2026-03-04T08:00:00-06:00"]),
    ),
    slot("assemblies.0.fill.strokes", "assembly.fill.strokes", Fill::Count(500, 1200)),
    slot("assemblies.0.fill.mass", "assembly.fill.mass", Fill::Tenths(5000, 9000, "lb")),
    slot("components.isocyanate.density", "component.density", Fill::Tenths(9, 14, "kg/L")),
    slot("components.isocyanate.density_at", "component.density_at", Fill::Tenths(680, 800, "degF")),
    slot("components.isocyanate.expansion", "component.expansion", Fill::Tenths(0, 1, "%")),
    slot("components.isocyanate.parts", "component.parts", Fill::Tenths(500, 1500, "")),
    slot("components.isocyanate.core_temperature", "component.core_temperature", Fill::Reading(650, 800, "degF")),
    slot("components.isocyanate.read_at", "component.read_at", Fill::Text(&["core", "wall"])),
    slot("components.isocyanate.warming", "component.warming", Fill::Log(&[(500, 700, "degF", "temperature")])),
    slot("components.isocyanate.container_size", "component.container_size", Fill::Tenths(400, 2000, "lb")),
    slot("components.isocyanate.on_hand", "component.on_hand", Fill::Reading(2000, 5000, "lb")),
    slot("components.isocyanate.price", "component.price", Fill::Tenths(10, 90, "")),
    slot("components.isocyanate.price_for", "component.price_for", Fill::Tenths(10, 90, "lb")),
    slot("components.polyol.needed", "component.needed", Fill::Tenths(1000, 3000, "lb")),
    slot("components.polyol.density", "component.density", Fill::Tenths(9, 14, "kg/L")),
    slot("components.polyol.density_at", "component.density_at", Fill::Tenths(680, 800, "degF")),
    slot("components.polyol.expansion", "component.expansion", Fill::Tenths(0, 1, "%")),
    slot("components.polyol.parts", "component.parts", Fill::Tenths(500, 1500, "")),
    slot("components.polyol.core_temperature", "component.core_temperature", Fill::Reading(650, 800, "degF")),
    slot("components.polyol.price", "component.price", Fill::Tenths(10, 90, "")),
    slot("components.polyol.price_for", "component.price_for", Fill::Tenths(10, 90, "lb")),
    slot("gauges.0.uncertainty", "gauge.uncertainty", Fill::Tenths(1, 20, "psi")),
    slot("gauges.0.accuracy", "gauge.accuracy", Fill::Text(&["EN 1", "ASME B"])),
    slot("thermometers.0.uncertainty", "thermometer.uncertainty", Fill::Tenths(1, 20, "degF")),
];

/// What stands in one slot: numbers drawn for it, the first of which is its value, the others what goes with it.
type Drawn = Option<Vec<i64>>;

fn drawn(fill: Fill) -> BoxedStrategy<Vec<i64>> {
    match fill {
        Fill::Text(texts) => (0..i64::try_from(texts.len()).unwrap()).prop_map(|index| vec![index]).boxed(),
        Fill::Flag => (0..=1i64).prop_map(|value| vec![value]).boxed(),
        Fill::Count(low, high) | Fill::Tenths(low, high, _) => (low..=high).prop_map(|value| vec![value]).boxed(),
        Fill::Reading(low, high, _) => (low..=high, 0..20i64).prop_map(|(value, doubt)| vec![value, doubt]).boxed(),
        Fill::Log(columns) => {
            let cells: Vec<_> = columns.iter().map(|(low, high, ..)| *low..=*high).collect();
            let row = (1..12i64, cells).prop_map(|(hours, mut cells)| {
                cells.insert(0, hours);
                cells
            });
            prop::collection::vec(row, 1..8).prop_map(|rows| rows.concat()).boxed()
        }
    }
}

fn records() -> impl Strategy<Value = Vec<Drawn>> {
    SLOTS.iter().map(|slot| prop::option::weighted(0.93, drawn(slot.fill))).collect::<Vec<_>>()
}

fn tenths(value: i64, unit: &str) -> String {
    format!("{}.{} {unit}", value / 10, value % 10).trim_end().to_owned()
}

/// A record of the slots, or nothing where the reader refuses it.
fn job(catalogue: &Catalogue, drawn: &[Drawn]) -> Option<Job> {
    let mut root = Yaml::Mapping(Mapping::new());
    let fixed = [
        ("record", Yaml::from(1)),
        ("assemblies.0.mark", Yaml::from("a")),
        ("components.isocyanate.lot", Yaml::from("PS-118")),
        ("components.polyol.lot", Yaml::from("PL-641")),
        ("assemblies.0.seated.at", Yaml::from("2026-03-04T08:00:00-06:00")),
        ("gauges.0.mark", Yaml::from("G")),
        ("gauges.0.range.from", Yaml::from("0 psi")),
        ("gauges.0.range.to", Yaml::from("100 psi")),
        ("thermometers.0.mark", Yaml::from("T")),
        ("thermometers.0.range.from", Yaml::from("0 degF")),
        ("thermometers.0.range.to", Yaml::from("200 degF")),
    ];
    for (at, value) in fixed {
        put(&mut root, at, value);
    }
    for (slot, drawn) in SLOTS.iter().zip(drawn) {
        if let Some(drawn) = drawn {
            put(&mut root, slot.at, filled(slot.fill, drawn));
        }
    }
    let text = serde_yaml::to_string(&root).unwrap();
    let document = Document::read("figures", text.as_bytes()).unwrap();
    record::read(&document, catalogue, &crate::common::demo_zone()).ok()
}

fn filled(fill: Fill, drawn: &[i64]) -> Yaml {
    match fill {
        Fill::Flag => Yaml::Bool(drawn[0] == 1),
        Fill::Text(texts) => Yaml::from(texts[usize::try_from(drawn[0]).unwrap()]),
        Fill::Count(..) => Yaml::from(drawn[0]),
        Fill::Tenths(_, _, "") => serde_yaml::from_str(&tenths(drawn[0], "")).unwrap(),
        Fill::Tenths(_, _, unit) => Yaml::from(tenths(drawn[0], unit)),
        Fill::Reading(_, _, unit) => {
            let mut reading = Mapping::new();
            reading.insert("reading".into(), tenths(drawn[0], unit).into());
            reading.insert("at".into(), "2026-03-04T09:00:00-06:00".into());
            if drawn[1] > 0 {
                reading.insert("uncertainty".into(), format!("0.{:02} {unit}", drawn[1]).into());
            }
            Yaml::Mapping(reading)
        }
        Fill::Log(columns) => {
            let rows = drawn.chunks(columns.len() + 1);
            let hours: i64 = rows.clone().map(|row| row[0]).sum();
            let last = fillward::units::Instant::parse("2026-03-04T09:00:00-06:00").unwrap();
            let mut before = hours;
            let row = |row: &[i64]| {
                before -= row[0];
                let at = last.checked_add_seconds(Exact::from_int(-3600 * before)).unwrap();
                let mut cells = Mapping::new();
                cells.insert("at".into(), at.to_record_text().into());
                for (value, (_, _, unit, name)) in row[1..].iter().zip(columns) {
                    cells.insert((*name).into(), tenths(*value, unit).into());
                }
                Yaml::Mapping(cells)
            };
            Yaml::Sequence(rows.map(row).collect())
        }
    }
}

fn put(root: &mut Yaml, at: &str, value: Yaml) {
    let mut here = root;
    for step in at.split('.') {
        here = if let Ok(index) = step.parse::<usize>() {
            if !here.is_sequence() {
                *here = Yaml::Sequence(Vec::new());
            }
            let items = here.as_sequence_mut().unwrap();
            while items.len() <= index {
                items.push(Yaml::Mapping(Mapping::new()));
            }
            &mut items[index]
        } else {
            if !here.is_mapping() {
                *here = Yaml::Mapping(Mapping::new());
            }
            here.as_mapping_mut().unwrap().entry(step.into()).or_insert(Yaml::Null)
        };
    }
    *here = value;
}

/// The limits as the base pack has them, near enough: what they are does not matter here.
fn base_value(parameter: Parameter) -> Exact {
    let text = match parameter {
        Parameter::PreStretchTemperature | Parameter::ProcessingTemperature => "72 degF",
        Parameter::WorkspaceTemperature => "60 degF",
        Parameter::PreStretchLongestGap => "7 h",
        Parameter::PreStretchLongestNight => "9 h",
        Parameter::PreStretchTime => "12 h",
        Parameter::PreStretchLag => "3 h",
        Parameter::WorkspaceLongestGap => "6 h",
        Parameter::CureTime => "24 h",
        Parameter::ColdCureTime => "48 h",
        Parameter::PreStretchLetDown => "110 %",
        Parameter::PreStretchLetDownTime => "40 h",
        Parameter::UsedTyreGrowth => "20 %",
        Parameter::Waste => "5 %",
        Parameter::InsideVolumeLeast => "85 %",
        Parameter::InsideVolumeMost => "125 %",
        Parameter::PreStretchJitter | Parameter::SoftSide => "2 %",
        Parameter::CageFactor => "150 %",
        Parameter::FastestStroke => "0.5 s",
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
    let compute = |spec: &FigureSpec| {
        let entity = job.of(spec.subject)?.first()?;
        Some((spec.id, Workings::new(job, entity, parameters, &Shared::of(job)).compute(spec.id)))
    };
    TABLE.iter().filter_map(compute).collect()
}

/// Runs a test on records that the reader takes.
fn on_records<S: Strategy>(with: S, mut test: impl FnMut(&[Drawn], &Job, S::Value)) {
    let catalogue = Catalogue::default();
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let strategy = (records(), with);
    let mut taken = 0;
    for _ in 0..CASES {
        let (drawn, with) = strategy.new_tree(&mut runner).unwrap().current();
        if let Some(job) = job(&catalogue, &drawn) {
            taken += 1;
            test(&drawn, &job, with);
        }
    }
    assert!(taken > CASES / 2, "only {taken} of {CASES} records were taken");
}

fn names<T: Ord>(catalogue: &Catalogue, found: &BTreeSet<T>, name: impl Fn(&Catalogue, &T) -> String) -> Vec<String> {
    found.iter().map(|one| name(catalogue, one)).collect()
}

/// Figures that read all that they declare only in records that are not drawn here: of several assemblies, and with the title
/// of a sheet. What they read must be declared all the same.
const NOT_DRAWN: &[FigureId] = &[
    FigureId::EndsApart,
    FigureId::SheetNamesGrade,
    FigureId::MaximumOfAlike,
    FigureId::MaximumByPlies,
    FigureId::VolumeOfAlike,
    FigureId::MassOfAlike,
    FigureId::DiameterOfAlike,
    FigureId::RimRatingOfAlike,
    FigureId::TargetOfAxle,
    FigureId::GradeNumber,
];

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
        if NOT_DRAWN.contains(&spec.id) {
            assert!(read.is_subset(&declared), "{}", spec.name);
            continue;
        }
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

/// Raises one number of each record and sees which way every figure goes.
/// What moves a figure by less than the whole ones that it is counted in: a warmer drum opens no other drum.
const TOO_FINE: &[(FigureId, &str)] = &[(FigureId::Containers, "component.core_temperature")];

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
            let after = figures(&raised, &limits);
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
    on_records(1..150i64, |_, job, by| {
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

/// Figures into which the doubt itself goes, each with the way it takes them: their intervals are points that move.
const OF_THE_DOUBT: &[(FigureId, Direction)] = &[
    (FigureId::GaugeUncertainty, Direction::Up),
    (FigureId::CycleDoubt, Direction::Up),
    (FigureId::WarmingRate, Direction::Down),
    (FigureId::PressureCeiling, Direction::Down),
    (FigureId::PressureWindow, Direction::Down),
];

#[test]
fn a_wider_doubt_gives_an_interval_that_holds_the_narrower() {
    let limits = parameters(None);
    let catalogue = Catalogue::default();
    let mut widened = BTreeSet::new();
    on_records(1..60i64, |drawn, job, by| {
        let before = figures(job, &limits);
        for (index, slot) in SLOTS.iter().enumerate() {
            let place = match slot.fill {
                Fill::Reading(..) => 1,
                Fill::Tenths(..) if slot.at.ends_with("uncertainty") => 0,
                _ => continue,
            };
            let mut wider = drawn.to_vec();
            let Some(values) = &mut wider[index] else { continue };
            values[place] += by;
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
        FigureId::PreStretchPeak,
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
        FigureId::ComponentLeft,
        FigureId::DewPoint,
        FigureId::PumpCycles,
        FigureId::JobTime,
    ];
    assert_eq!(widened, BTreeSet::from(expected));
}
