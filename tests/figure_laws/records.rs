//! Random records for the laws of figures: a slot for every fact that a figure reads.

use fillward::document::Document;
use fillward::record::{self, Catalogue, Job};
use fillward::units::Exact;
use proptest::prelude::*;
use serde_yaml::{Mapping, Value as Yaml};

/// What may stand in a slot.
#[derive(Clone, Copy)]
pub(super) enum Fill {
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
    /// Rows of the air after the fill; every other one with the lowest since the row before, a degree below.
    BayLog,
}

const BAY: &[(i64, i64, &str, &str)] = &[(550, 800, "degF", "temperature")];

/// A place of the record and the fact that it fills.
pub(super) struct Slot {
    pub(super) at: &'static str,
    pub(super) fact: &'static str,
    pub(super) fill: Fill,
}

const fn slot(at: &'static str, fact: &'static str, fill: Fill) -> Slot {
    Slot { at, fact, fill }
}

const ROW: &[(i64, i64, &str, &str)] =
    &[(560, 640, "psi", "pressure"), (715, 800, "degF", "air"), (723, 790, "degF", "lowest_air")];

pub(super) const SLOTS: &[Slot] = &[
    slot("planned_start", "planned_start", Fill::Text(&["2026-03-03T12:00:00-06:00", "2026-03-04T10:00:00-06:00"])),
    slot("pump.mass_per_cycle", "pump.mass_per_cycle", Fill::Reading(5, 12, "lb")),
    slot("pump.cycle_time", "pump.cycle_time", Fill::Tenths(10, 90, "s")),
    slot("pump.priming", "pump.priming", Fill::Tenths(0, 50, "lb")),
    slot("workspace.temperature", "workspace.temperature", Fill::Reading(550, 950, "degF")),
    slot("workspace.humidity", "workspace.humidity", Fill::Reading(300, 900, "%RH")),
    slot("workspace.log", "workspace.log", Fill::BayLog),
    slot("cure.planned", "cure.planned", Fill::Tenths(200, 600, "h")),
    slot(
        "assemblies.0.tyre.size",
        "assembly.tyre.size",
        Fill::Text(&["17.5-25", "18.4-34 8PR", "11R22.5 144/142L", "12-16.5"]),
    ),
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
    slot("assemblies.0.wheel.rating", "assembly.wheel.rating", Fill::Tenths(5, 900, "psi")),
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
    // A second tyre of the job, alike or not, on the axle of the first or not.
    slot(
        "assemblies.1.mark",
        "assembly.mark",
        Fill::Text(&["loader 4, right front", "loader 4, right rear", "grader 1"]),
    ),
    slot("assemblies.1.tyre.size", "assembly.tyre.size", Fill::Text(&["17.5-25", "18.4-34 8PR"])),
    slot("assemblies.1.tyre.construction", "assembly.tyre.construction", Fill::Text(&["bias", "radial"])),
    slot("assemblies.1.tyre.ply_rating", "assembly.tyre.ply_rating", Fill::Count(8, 16)),
    slot("assemblies.1.tyre.sidewall_maximum", "assembly.tyre.sidewall_maximum", Fill::Tenths(600, 900, "psi")),
    slot("assemblies.1.tyre.inside_volume", "assembly.tyre.inside_volume", Fill::Tenths(600, 800, "gal")),
    slot("assemblies.1.tyre.mass", "assembly.tyre.mass", Fill::Tenths(1500, 5000, "lb")),
    slot("assemblies.1.tyre.overall_diameter", "assembly.tyre.overall_diameter", Fill::Tenths(520, 540, "in")),
    slot("assemblies.1.rim.width", "assembly.rim.width", Fill::Tenths(139, 141, "in")),
    slot("assemblies.1.rim.kind", "assembly.rim.kind", Fill::Text(&["single piece", "multi-piece"])),
    slot("assemblies.1.rim.rating", "assembly.rim.rating", Fill::Tenths(600, 900, "psi")),
    slot("assemblies.1.wheel.rating", "assembly.wheel.rating", Fill::Tenths(600, 900, "psi")),
    slot("assemblies.1.target.pressure", "assembly.target.pressure", Fill::Tenths(550, 600, "psi")),
    slot(
        "assemblies.1.fill.ended",
        "assembly.fill.ended",
        Fill::Text(&["2026-03-03T13:00:00-06:00", "2026-03-03T13:40:00-06:00", "2026-03-04T07:00:00-06:00"]),
    ),
    slot("assemblies.1.fill.strokes", "assembly.fill.strokes", Fill::Count(500, 1200)),
    slot(
        "assemblies.0.acts.fill",
        "assembly.acts.fill",
        Fill::Text(&["2026-03-03T12:20:00-06:00", "2026-03-04T08:10:00-06:00"]),
    ),
    slot("order.system", "order.system", Fill::Text(&["firm 55", "soft"])),
    slot("mix.sheet", "mix.sheet", Fill::Text(&["Firm 55, sheet 3 of 2025", "Firm 70, sheet 1 of 2027", "Firm 55"])),
    slot("service.accepted.by", "service.accepted.by", Fill::Text(&["Bram Olsthoorn", "O. Varga", "Hollow Tarn"])),
    slot("site", "site", Fill::Text(&["Hollow Tarn, hall 2"])),
    slot("people.0.name", "person.name", Fill::Text(&["Odile Varga"])),
    slot("gauges.0.range.from", "gauge.range.from", Fill::Text(&["0 psi", "0 psi", "0 psi", "0 psi", "59 psi"])),
    slot("gauges.0.uncertainty", "gauge.uncertainty", Fill::Tenths(1, 20, "psi")),
    slot("gauges.0.accuracy", "gauge.accuracy", Fill::Text(&["EN 1", "ASME B"])),
    slot("assemblies.0.target.load", "assembly.target.load", Fill::Tenths(30000, 60000, "lb")),
    slot("assemblies.1.target.load", "assembly.target.load", Fill::Tenths(30000, 60000, "lb")),
    slot("assemblies.0.wheel.nut_torque", "assembly.wheel.nut_torque", Fill::Tenths(3000, 6000, "lbf.ft")),
    slot("assemblies.1.wheel.nut_torque", "assembly.wheel.nut_torque", Fill::Tenths(3000, 6000, "lbf.ft")),
    slot("components.isocyanate.settles", "component.settles", Fill::Flag),
    slot("components.polyol.settles", "component.settles", Fill::Flag),
    slot("thermometers.0.uncertainty", "thermometer.uncertainty", Fill::Tenths(1, 20, "degF")),
    slot("components.isocyanate.needed", "component.needed", Fill::Tenths(1000, 3000, "lb")),
    slot("service.accepted.speed", "service.accepted.speed", Fill::Tenths(50, 250, "mph")),
];

/// What stands in one slot: numbers drawn for it, the first of which is its value, the others what goes with it.
pub(super) type Drawn = Option<Vec<i64>>;

pub(super) fn drawn(fill: Fill) -> BoxedStrategy<Vec<i64>> {
    match fill {
        Fill::BayLog => drawn(Fill::Log(BAY)),
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

pub(super) fn records() -> impl Strategy<Value = Vec<Drawn>> {
    SLOTS.iter().map(|slot| prop::option::weighted(0.93, drawn(slot.fill))).collect::<Vec<_>>()
}

fn tenths(value: i64, unit: &str) -> String {
    format!("{}.{} {unit}", value / 10, value % 10).trim_end().to_owned()
}

/// A record of the slots, or nothing where the reader refuses it.
pub(super) fn job(catalogue: &Catalogue, drawn: &[Drawn]) -> Option<Job> {
    let mut root = Yaml::Mapping(Mapping::new());
    let fixed = [
        ("record", Yaml::from(1)),
        ("assemblies.1.tyre.state", Yaml::from("used")),
        ("assemblies.0.mark", Yaml::from("loader 4, left front")),
        ("components.isocyanate.lot", Yaml::from("PS-118")),
        ("components.polyol.lot", Yaml::from("PL-641")),
        ("assemblies.0.seated.at", Yaml::from("2026-03-04T08:00:00-06:00")),
        ("gauges.0.mark", Yaml::from("G")),
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
        Fill::BayLog => {
            let mut log = filled(Fill::Log(BAY), drawn);
            for (row, cells) in log.as_sequence_mut().into_iter().flatten().zip(drawn.chunks(2)) {
                if cells[1] % 2 == 1 {
                    row["lowest_air"] = tenths(cells[1] - 10, "degF").into();
                }
            }
            log
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
