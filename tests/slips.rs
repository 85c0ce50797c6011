//! Slips of the pen that would make a figure small where small does harm: each must be refused, or counted against the
//! fill. The slips are invented; the physics beside them has its source.

use std::collections::BTreeSet;

use fillward::document::{Code, Document};
use fillward::figures::{FigureId, Obstacle};
use fillward::pack::PackSet;
use fillward::record::{self, Value};
use fillward::tyre::Designation;
use fillward::units::{Dimension, Instant, Quantity, Unit};
use fillward::vocabulary::Subject;
use serde_yaml::Value as Tree;

use crate::common;
use crate::common::tree::{Step, at, name, paths, with};
use crate::figures::{PSI, bounds, figure, interval, job, obstacle};

/// A density given for 1999 degF, with half a per cent a kelvin, came out negative, and so did every mass.
#[test]
fn a_density_corrected_beyond_belief_gives_no_mass() {
    let packs = PackSet::base().unwrap();
    let tyre = "tyre: {size: 18.4-34, state: new}";
    for at in ["1999 degF", "-300 degF", "150 degF", "100 degF"] {
        let side =
            format!("density: 1.1 kg/L, parts: 1, density_at: {at}, expansion: 0.5 %, core_temperature: 75 degF");
        let job = job(&packs, "pump: {priming: 1 kg}", tyre, &side, "density: 1 kg/L, parts: 1");
        for (subject, id) in [
            (Subject::Assembly, FigureId::MixMass),
            (Subject::Component, FigureId::ComponentNeeded),
            (Subject::Job, FigureId::JobMixMass),
        ] {
            assert_eq!(obstacle(&figure(&packs, &job, subject, id)), Obstacle::DensityCorrection, "{at} {id:?}");
        }
    }
    let side = "density: 1.1 kg/L, parts: 1, density_at: 77 degF, expansion: 0.07 %, core_temperature: 75 degF";
    let job = job(&packs, "", tyre, side, "density: 1 kg/L, parts: 1");
    assert!(figure(&packs, &job, Subject::Assembly, FigureId::MixMass).is_ok());
}

/// Two sizes marked on one sidewall, and widths without their point (both from memory of sidewalls): neither is a narrow
/// tyre of a low aspect nor one seven hundred millimetres wide. Where two readings make a tyre, neither is taken.
#[test]
fn sizes_with_two_readings_are_refused() {
    for (text, one, other) in [
        ("300-16", "`3.00-16` if the width is in inches", "`300/80-16`"),
        ("36x25", "`36-25` if the second number is the rim", "the rim if the first is the diameter"),
        ("31x15.5x15", "if the tyre is made for air", "press-on"),
        ("12.00-20 G", "`LR G` for a load range", "before a speed symbol"),
    ] {
        let error = Designation::parse(text).unwrap_err();
        assert!(error.help().contains(one) && error.help().contains(other), "{text}: {}", error.help());
    }
    for (text, width) in
        [("18.4/15-34", "18.4 in"), ("23.1/18-26", "23.1 in"), ("700-12", "7 in"), ("825R15", "8.25 in")]
    {
        let width = Quantity::parse(width, Dimension::Length).unwrap();
        assert_eq!(Designation::parse(text).unwrap().section_width().base(), width.base(), "{text}");
    }
    for text in ["16/70-20", "35/65-33", "250-15", "355/50R25"] {
        assert!(Designation::parse(text).is_ok(), "{text}");
    }
}

/// ASME B40.100 grade B: 3 % of the span in the outer quarters, 2 % in the middle half (from memory). On a dial to 100
/// psi a ceiling near 85 lies in the upper quarter, wherever the target is: 85 - 1.155 x 3 = 81.535.
#[test]
fn the_ceiling_bears_the_doubt_of_its_own_part_of_the_dial() {
    let packs = PackSet::base().unwrap();
    let gauges = "gauges: [{mark: G, range: {from: 0 psi, to: 100 psi}, accuracy: ASME B}]";
    for target in ["60 psi", "76 psi"] {
        let ratings = format!(
            "tyre: {{sidewall_maximum: 85 psi}}, rim: {{rating: 85 psi}}, wheel: {{rating: 85 psi}}, target: {{pressure: {target}, gauge: G, operating_pressure: 50 psi}}"
        );
        let job = job(&packs, gauges, &ratings, "lot: W-114", "lot: Y-220");
        let ceiling = figure(&packs, &job, Subject::Assembly, FigureId::PressureCeiling);
        assert_eq!(bounds(&ceiling, PSI, 3), ("81.535".to_owned(), "81.535".to_owned()), "{target}");
    }
}

fn log(rows: &[(u32, u32, &str)]) -> String {
    let rows: Vec<String> = rows
        .iter()
        .map(|(hour, minute, psi)| {
            format!(
                "{{at: 2026-03-0{}T{:02}:{minute:02}:00Z, pressure: {psi} psi, air: 76 degF}}",
                2 + hour / 24,
                hour % 24
            )
        })
        .collect();
    format!("target: {{pressure: 60 psi}}, pre_stretch: {{gauge: G, log: [{}]}}", rows.join(", "))
}

/// Air put in each hour does not mend a leak: the falls add up.
#[test]
fn falls_between_toppings_up_add_up() {
    let packs = PackSet::base().unwrap();
    let gauges = "gauges: [{mark: G, uncertainty: 0.5 psi}]";
    let loss = |rows: &[(u32, u32, &str)]| {
        let job = job(&packs, gauges, &log(rows), "lot: W-114", "lot: Y-220");
        bounds(&figure(&packs, &job, Subject::Assembly, FigureId::PreStretchLoss), PSI, 1)
    };
    let topped: Vec<(u32, u32, &str)> = (0..10).flat_map(|hour| [(hour, 0, "64"), (hour, 1, "60")]).collect();
    // Ten falls of 4 psi, less nine times the jitter of 2 % of 60 psi.
    assert_eq!(loss(&topped), ("28.7".to_owned(), "29.7".to_owned()));
    // A steady fall is one fall, and the gauge's jitter counts once.
    assert_eq!(loss(&[(0, 0, "64"), (5, 0, "62"), (10, 0, "60")]), ("3.5".to_owned(), "4.5".to_owned()));
    let jitter: Vec<(u32, u32, &str)> = (0..10).flat_map(|hour| [(hour, 0, "64.2"), (hour, 30, "64")]).collect();
    assert_eq!(loss(&jitter), ("0.0".to_owned(), "0.7".to_owned()));
    // Falls beyond the limit of what is jitter count, however much wider the doubt of the gauge is.
    let wild: Vec<(u32, u32, &str)> = (0..10).flat_map(|hour| [(hour, 0, "64.5"), (hour, 30, "63")]).collect();
    assert_eq!(loss(&wild), ("3.7".to_owned(), "4.7".to_owned()));
    // Pumping up is no loss.
    assert_eq!(loss(&[(0, 0, "20"), (0, 5, "40"), (0, 10, "64"), (8, 0, "64")]), ("0.0".to_owned(), "0.5".to_owned()));
}

/// Hours for which nobody looked, and a log that ends in the cold, are no warm hours (common practice, no source).
#[test]
fn a_thin_workspace_log_is_no_warmth() {
    let packs = PackSet::base().unwrap();
    let ready = |rows: &str| {
        let shop = format!(
            "planned_start: 2026-03-04T10:00:00Z\nworkspace: {{temperature: {{reading: 70 degF, uncertainty: 1 degF}}, log: [{rows}]}}"
        );
        let job = job(&packs, &shop, "tyre: {state: used}", "lot: W-114", "lot: Y-220");
        let later = Instant::parse("2026-03-05T12:00:00Z").unwrap();
        fillward::engine::Scene::new(&packs, &job, later, &crate::common::demo_zone())
            .compute(FigureId::ReadyToServe, &job.of(Subject::Job).unwrap()[0])
    };
    let at = |text: &str| Ok(Value::Instant(Instant::parse(text).unwrap()));
    // One cold row, the last: all of it counts as cold, 48 h.
    let cold = ready("{at: 2026-03-04T11:00:00Z, temperature: 30 degF}");
    assert_eq!(cold, at("2026-03-06T10:00:00Z"));
    // Two warm rows 22 h apart show nothing of the hours between: they count as cold, and 13 h remain.
    let gap =
        ready("{at: 2026-03-04T10:00:00Z, temperature: 70 degF}, {at: 2026-03-05T08:00:00Z, temperature: 70 degF}");
    assert_eq!(gap, at("2026-03-05T21:00:00Z"));
    // 60 degF by a thermometer that may be off by one degree is not surely 60.
    let doubt =
        ready("{at: 2026-03-04T12:00:00Z, temperature: 60 degF}, {at: 2026-03-04T14:00:00Z, temperature: 70 degF}");
    assert_eq!(doubt, at("2026-03-05T12:00:00Z"));
}

/// A container that cools, or whose readings lie on no curve, has no instant of being warm.
#[test]
fn readings_that_fall_or_jump_show_no_approach() {
    let packs = PackSet::base().unwrap();
    let warm_at = |read_at: &str, rows: &str, core: &str| {
        let side = format!(
            "read_at: {read_at}, warming: [{rows}], core_temperature: {{reading: {core}, at: 2026-03-04T08:00:00Z, uncertainty: 0.2 degC}}"
        );
        let job = job(&packs, "workspace: {temperature: 30 degC}", "tyre: {state: used}", &side, "lot: Y-220");
        figure(&packs, &job, Subject::Component, FigureId::WarmAt)
    };
    let row = |hour: u32, celsius: &str| format!("{{at: 2026-03-04T{hour:02}:00:00Z, temperature: {celsius} degC}}");
    let falling = [row(0, "10"), row(4, "21"), row(6, "19")].join(", ");
    assert_eq!(obstacle(&warm_at("core", &falling, "18 degC")), Obstacle::ReadingFalls);
    let jumping = [row(0, "5"), row(1, "15"), row(7, "15.5")].join(", ");
    assert_eq!(obstacle(&warm_at("core", &jumping, "20 degC")), Obstacle::NotOneApproach);
    // At the wall even a warm reading says nothing of the core.
    assert_eq!(obstacle(&warm_at("wall", &row(0, "10"), "25 degC")), Obstacle::ReadAtWall);
}

/// A volume read off a chart "to valve level" is three quarters of the full one. It is not believed: the bounds by name
/// stand.
#[test]
fn a_recorded_volume_that_the_model_contradicts_narrows_nothing() {
    let packs = PackSet::base().unwrap();
    let cavity = |more: &str| {
        let tyre = format!("tyre: {{size: 18.4-34, state: new{more}}}, target: {{pressure: 200 kPa}}");
        let job = job(&packs, "", &tyre, "lot: W-114", "lot: Y-220");
        interval(&figure(&packs, &job, Subject::Assembly, FigureId::CavityVolume))
    };
    let litres = |text: &str| Quantity::parse(text, Dimension::Volume).unwrap().base();
    let model = cavity("");
    let at_valve = cavity(", inside_volume: 378 L");
    assert!(at_valve == model && model.lo() > litres("378 L"), "{at_valve:?}");
    // Inside the family's own bounds it is doubted as well.
    assert_eq!(cavity(", inside_volume: 420 L").hi(), model.hi());
    let full = cavity(", inside_volume: 505 L");
    assert!(full.lo() > model.lo() && full.hi() < model.hi(), "{full:?}");
}

#[test]
fn dimensions_far_off_the_size_are_refused() {
    let packs = PackSet::base().unwrap();
    let found = |facts: &str, id: FigureId| {
        let assembly = format!("tyre: {{size: 20.5R25, state: new{facts}");
        let job = job(&packs, "", &assembly, "density: 1.1 kg/L, parts: 1", "density: 1 kg/L, parts: 1");
        figure(&packs, &job, Subject::Assembly, id)
    };
    for slip in [", overall_diameter: 50 in}", ", section_width: 16.5 in}"] {
        assert!(matches!(obstacle(&found(slip, FigureId::CavityVolume)), Obstacle::NoCavity(_)), "{slip}");
    }
    assert_eq!(obstacle(&found(", ply_rating: 16.5}", FigureId::CavityVolume)), Obstacle::NoSuchPlyRating);
}

/// Tyres and, where one comes to mind, their wheels, in kg: MEMORY of makers' data. What a scale shows is believed.
const WEIGHED: &[(&str, &str, Option<&str>)] = &[
    ("18.4-38 8PR", "120", Some("115")),
    ("18.4-34 10PR", "125", None),
    ("16.9-28 10PR", "95", None),
    ("460/85R38", "170", None),
    ("26x12.00-12 8PR", "14", Some("10")),
    ("23x8.50-12 6PR", "9.5", Some("8")),
    ("17.5-25 16PR", "170", Some("110")),
    ("20.5-25 20PR", "230", Some("160")),
    ("20.5R25", "255", Some("160")),
    ("23.5R25", "390", Some("200")),
    ("26.5R25", "540", Some("270")),
    ("29.5R25", "720", Some("320")),
    ("14.00-24 16PR", "110", Some("85")),
    ("18.00-25 32PR", "370", Some("220")),
    ("11R22.5", "54", Some("20")),
    ("315/80R22.5", "68", Some("23")),
    ("385/65R22.5", "72", Some("50")),
    ("235/75R17.5", "28", Some("18")),
    ("12.00-20 18PR", "68", Some("48")),
    ("10.00-20 16PR", "54", Some("40")),
    ("8.25-15 14PR", "31", Some("20")),
    ("6.50-10 10PR", "13.5", Some("8")),
    ("7.00-12 12PR", "19", Some("10")),
    ("5.00-8 10PR", "8.5", Some("4.5")),
    ("10-16.5 10PR", "29", Some("19")),
    ("12-16.5 12PR", "39", Some("23")),
    ("15-19.5 14PR", "58", Some("35")),
    ("12.5/80-18 12PR", "50", Some("35")),
    ("18x7-8 14PR", "13", Some("6")),
    ("28x9-15 14PR", "32", Some("16")),
];

#[test]
fn a_weighed_mass_is_believed_and_one_in_the_wrong_unit_is_not() {
    let packs = PackSet::base().unwrap();
    let filled = |size: &str, tyre: &str, wheel: &str| {
        let assembly = format!("tyre: {{size: {size}, state: new{tyre}}}, wheel: {{{wheel}}}");
        let job = job(&packs, "", &assembly, "density: 1.1 kg/L, parts: 1", "density: 1 kg/L, parts: 1");
        figure(&packs, &job, Subject::Assembly, FigureId::FilledMass)
    };
    let mut believed = Vec::new();
    for (size, tyre, wheel) in WEIGHED {
        let tyre_only = filled(size, &format!(", mass: {tyre} kg"), "");
        let whole = interval(&filled(size, "", ""));
        let narrower = interval(&tyre_only);
        assert!(whole.lo() <= narrower.lo() && narrower.hi() < whole.hi(), "{size}");
        if let Some(wheel) = wheel {
            let both = filled(size, &format!(", mass: {tyre} kg"), &format!("mass: {wheel} kg"));
            let both = interval(&both);
            assert!(narrower.lo() <= both.lo() && both.hi() < narrower.hi(), "{size}");
        }
        if filled(size, &format!(", mass: {tyre} lb"), "").is_ok() {
            believed.push(size.split(' ').next().unwrap());
        }
    }
    // A pound is 0.45 kg: of tyres of a few kilograms, and of few of the others, one weighs as much less than its like.
    assert_eq!(believed, ["23x8.50-12", "6.50-10", "7.00-12", "5.00-8", "12.5/80-18", "18x7-8", "28x9-15"]);
    // A tube and a flap come on top: 2 to 12 %, and 1 to 6 %, of what the casing is estimated at.
    let (bare, lined) =
        (filled("11.00-20", "", ""), filled("11.00-20", "", "}, tube: {fitted: true}, flap: {fitted: true"));
    let (bare, lined) = (interval(&bare), interval(&lined));
    let more = [lined.lo().checked_sub(bare.lo()).unwrap(), lined.hi().checked_sub(bare.hi()).unwrap()];
    // A tube of 3.5 kg and a flap of 2 kg for a truck tyre of this size (MEMORY).
    let usual = fillward::units::Exact::new(11, 2).unwrap();
    assert!(more[0] < usual && usual < more[1], "{more:?}");
    assert_eq!(interval(&filled("11.00-20", "", "}, tube: {fitted: false}, flap: {fitted: false")), bare);
    for (tyre, wheel, slip) in [
        (", mass: 1 lb", "", Obstacle::TyreTooLight),
        (", mass: 245 lb", "", Obstacle::TyreTooLight),
        (", mass: 540 kg", "", Obstacle::TyreTooHeavy),
        ("", "mass: 1 lb", Obstacle::WheelTooLight),
        ("", "mass: 2000 kg", Obstacle::WheelTooHeavy),
    ] {
        assert_eq!(obstacle(&filled("20.5R25", tyre, wheel)), slip, "{tyre} {wheel}");
    }
}

/// 72 psi absolute is 57.3 psi on a gauge at sea level (standard atmosphere, ISO 2533, from memory): the cure must not be
/// to strike out the letter.
#[test]
fn an_absolute_pressure_is_not_taken_for_a_gauges() {
    for text in ["72 psia", "72 psi(a)", "5 bara", "5 bar abs", "500 mbar a", "496 kPaa", "5 ata"] {
        let error = Quantity::parse(text, Dimension::Pressure).unwrap_err();
        assert!(error.help().starts_with("read a gauge"), "{text}: {}", error.help());
    }
    assert_eq!(Quantity::parse("72 psi", Dimension::Pressure).unwrap().unit(), Unit::Psi);
    let prefixed = Quantity::parse("720 dbar", Dimension::Pressure).unwrap_err();
    assert!(!prefixed.help().contains("720 bar"), "{}", prefixed.help());
    assert_eq!(
        Quantity::parse("720 mbar", Dimension::Pressure).unwrap().in_unit(Unit::Bar).unwrap().to_string(),
        "0.72 bar"
    );
}

/// `G-5` and `g-5 ` stand on one label in the shop.
#[test]
fn marks_that_differ_by_case_or_blanks_are_one_mark() {
    let packs = PackSet::base().unwrap();
    let text = "record: 1\ngauges: [{mark: G-5}, {mark: \"g-5 \"}]\nassemblies: [{mark: a}]\n";
    let document = fillward::document::Document::read("job", text.as_bytes()).unwrap();
    let faults =
        fillward::record::read(&document, packs.catalogue(), &crate::common::demo_zone()).unwrap_err().into_vec();
    assert!(faults.iter().any(|fault| fault.code().word() == "record/mark-twice"), "{faults:?}");
}

/// A record of little more than this text, or the faults for which it is refused.
pub(crate) fn read(packs: &PackSet, text: &str) -> Result<fillward::record::Job, Vec<fillward::document::Fault>> {
    let list = if text.starts_with("assemblies") { "" } else { "assemblies: [{mark: a}]\n" };
    let text = format!("record: 1\n{list}{text}\n");
    let document = fillward::document::Document::read("job", text.as_bytes()).unwrap();
    fillward::record::read(&document, packs.catalogue(), &crate::common::demo_zone())
        .map_err(fillward::document::Faults::into_vec)
}

/// A rating, size, mass or bound of error of nothing is a slip of the pen: taken as it stands, it would let a pressure
/// window or a dial's doubt vanish. The least thing above nothing is taken, and so is a true zero such as an empty
/// container.
#[test]
fn nothing_is_refused_where_there_must_be_something() {
    let packs = PackSet::base().unwrap();
    let read = |text: &str| read(&packs, text);
    let assembly = |fact: &str| format!("assemblies: [{{mark: a, {fact}}}]");
    let component = |fact: &str| format!("components: {{polyol: {{{fact}}}}}");
    for (place, unit) in [
        (assembly("tyre: {sidewall_maximum: VALUE}"), "psi"),
        (assembly("tyre: {mass: VALUE}"), "lb"),
        (assembly("tyre: {section_width: VALUE}"), "in"),
        (assembly("tyre: {overall_diameter: VALUE}"), "in"),
        (assembly("tyre: {inside_volume: VALUE}"), "gal"),
        (assembly("rim: {rating: VALUE}"), "psi"),
        (assembly("rim: {bead_diameter: VALUE}"), "in"),
        (assembly("rim: {width: VALUE}"), "in"),
        (assembly("wheel: {rating: VALUE}"), "psi"),
        (assembly("wheel: {load_rating: VALUE}"), "lb"),
        (assembly("wheel: {mass: VALUE}"), "lb"),
        (assembly("target: {pressure: VALUE}"), "psi"),
        (assembly("target: {operating_pressure: VALUE}"), "psi"),
        (component("price_for: VALUE"), "lb"),
        ("gauges: [{mark: G, uncertainty: VALUE}]".to_owned(), "psi"),
        ("thermometers: [{mark: T, uncertainty: VALUE}]".to_owned(), "degF"),
        ("pump: {mass_per_cycle: VALUE}".to_owned(), "lb"),
        ("handling: {capacity: VALUE}".to_owned(), "lb"),
    ] {
        let with = |number: &str| read(&place.replace("VALUE", &format!("{number} {unit}")));
        assert!(with("0.1").is_ok(), "{place}: {:?}", with("0.1").err());
        for nothing in ["0", "0.000"] {
            let faults = with(nothing).err().unwrap_or_default();
            let codes: Vec<&str> = faults.iter().map(|fault| fault.code().word()).collect();
            assert_eq!(codes, ["record/impossible-value"], "{place}: {nothing} {unit}");
        }
    }
    assert!(read(&component("parts: 1")).is_ok());
    assert!(read(&component("parts: 0")).is_err());
    assert!(read(&component("on_hand: 0 lb")).is_ok());
}

/// A person who stands in the list of people is written in one way, wherever a fact names a person: in capitals it would be
/// somebody else to the program and the same to a reader. Every name of every demo job that passes is tried.
#[test]
fn a_person_is_written_in_one_way_wherever_one_is_named() {
    let packs = PackSet::base().unwrap();
    let mut places = BTreeSet::new();
    for file in common::files("shared/demo/jobs", ".yaml").iter().filter(|file| file.contains("/pass-")) {
        let tree: Tree = serde_yaml::from_str(&common::read(file)).unwrap();
        let people: Vec<&str> =
            tree["people"].as_sequence().unwrap().iter().filter_map(|of| of["name"].as_str()).collect();
        let mut all = Vec::new();
        paths(&tree, &[], &mut all);
        for path in all.iter().filter(|path| matches!(path.as_slice(), [.., Step::Key(key)] if key == "by")) {
            let by = at(&tree, path).and_then(Tree::as_str).unwrap();
            if !people.contains(&by) {
                continue;
            }
            let changed = serde_yaml::to_string(&with(&tree, path, by.to_uppercase().into())).unwrap();
            let document = Document::read("made.yaml", changed.as_bytes()).unwrap();
            let faults = record::read(&document, packs.catalogue(), &common::demo_zone()).unwrap_err();
            assert!(faults.iter().any(|fault| fault.code() == Code::RecordNameOtherwise), "{file}: {}", name(path));
            places.insert(name(path));
        }
    }
    let due =
        ["assembly.seated.by", "assembly.tyre.casing.inspected.by", "assembly.wheel.inspected.by", "cage.inspected.by"];
    assert!(places.iter().eq(due), "{places:?}");
}
