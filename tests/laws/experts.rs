//! Jobs as somebody of the trade would judge them: a record of the demo shop, what is otherwise on this job, the verdict
//! that an expert gives, and the rule that must be named for a hold.
//!
//! The verdicts are those of a tyre technician, a chemical-safety officer and an inspector of rim wheels who read the jobs
//! without the rules: common practice, no source, but where the rule itself cites one.

use fillward::units::Instant;
use fillward::vocabulary::{HoldPoint, Verdict};
use serde_yaml::{Mapping, Value};

use super::jobs::{PACKS, judged_then};
use crate::common;

/// Where a value stands, with `*` for every item of a list, and what is written there; nothing takes it out.
type Edits = &'static [(&'static str, &'static str)];

/// What the job is, the record that it is like, what is otherwise, and the rule that holds it; nothing for a PASS.
type Case = (&'static str, &'static str, Edits, Option<&'static str>);

const BEFORE_AIR: &str = "carried/1-before-air";
const BEFORE_FILL: &str = "carried/2-before-fill";
const AFTER_FILL: &str = "carried/3-after-fill";
const BEFORE_SERVICE: &str = "carried/4-before-service";
const ON_VEHICLE: &str = "jobs/pass-telehandler-on-the-vehicle";
const NEW_PAIR: &str = "jobs/pass-skid-steer-new-pair";
const NEW_RADIAL: &str = "jobs/pass-quarry-loader-radial-new";
const ONE_STAMP: &str = "jobs/pass-compactor-one-stamp";
const WITH_TUBE: &str = "jobs/pass-forklift-tube-type-new";

const CASES: &[Case] = &[
    (
        "every pressure of a job on the vehicle is written in bar for psi",
        ON_VEHICLE,
        &[
            ("assemblies.*.tyre.sidewall_maximum", "90 bar"),
            ("assemblies.*.rim.rating", "95 bar"),
            ("assemblies.*.wheel.rating", "95 bar"),
            ("assemblies.*.target.pressure", "75 bar"),
            ("assemblies.*.target.operating_pressure", "72 bar"),
            ("pump.stops_at", "82 bar"),
            ("air_stage.regulator", "75 bar"),
            ("gauges.0.range", "{from: 0 bar, to: 160 bar}"),
        ],
        Some("pressure-beyond-any-tyre"),
    ),
    (
        "a bay in the frost, and 48 h to cure",
        BEFORE_FILL,
        &[("workspace.temperature.reading", "-18 degF")],
        Some("workspace-unfit"),
    ),
    ("nobody read the air of the bay", BEFORE_FILL, &[("workspace.temperature", "")], Some("workspace-unfit")),
    (
        "drums that were forgotten on the heater",
        BEFORE_FILL,
        &[
            ("components.isocyanate.core_temperature.reading", "175 degF"),
            ("components.polyol.core_temperature.reading", "41 degC"),
        ],
        Some("hot-material"),
    ),
    (
        "a steel radial that ran at 60 % of its pressure, on the vehicle, its body called textile",
        ON_VEHICLE,
        &[
            ("assemblies.*.tyre.size", "385/65R22.5"),
            ("assemblies.*.tyre.construction", "radial"),
            ("assemblies.*.tyre.belts", "steel"),
            ("assemblies.*.tyre.body_cords", "textile"),
            ("assemblies.*.tyre.ran_flat", "once or more"),
        ],
        Some("ran-flat-out-of-the-cage"),
    ),
    (
        "whoever looked at wheel and casing was never trained in rim wheels",
        BEFORE_FILL,
        &[("people.0.trained_in", "[isocyanates, filling pump]")],
        Some("inspector-not-trained"),
    ),
    (
        "the wheel was looked at by somebody of the yard",
        BEFORE_FILL,
        &[("assemblies.0.wheel.inspected.by", "Sten Brolin")],
        Some("inspector-not-trained"),
    ),
    (
        "the inside is called dry, and the tyre was never off its rim",
        BEFORE_FILL,
        &[("assemblies.0.tyre.casing.inspected.off_rim", "false")],
        Some("interior-not-seen"),
    ),
    ("the operator is alone", BEFORE_FILL, &[("people.2", ""), ("people.0", "")], Some("alone-at-the-pump")),
    (
        "a soft tyre loses an eighth of its air in a day of one temperature",
        NEW_PAIR,
        &[("assemblies.*.pre_stretch.log.0.pressure", "74 psi"), ("assemblies.*.pre_stretch.log.1.pressure", "66 psi")],
        Some("pre-stretch-leaking"),
    ),
    ("the polyol is of another system", BEFORE_FILL, &[("components.polyol.system", "soft 30")], Some("other-system")),
    (
        "the cage was looked at by somebody of the yard",
        BEFORE_FILL,
        &[("cage.inspected.by", "Sten Brolin")],
        Some("cage-by-a-stranger"),
    ),
    (
        "the relief is set to the rating, where the gauge may be off by one psi",
        BEFORE_FILL,
        &[("pump.stops_at", "70 psi")],
        Some("nothing-stops-the-pump"),
    ),
    (
        "a rim of two pieces, whose ring ends are 9/32 in apart",
        BEFORE_AIR,
        &[("assemblies.0.rim.pieces", "two"), ("assemblies.0.rim.ring_gap", "9/32 in")],
        Some("ring-gap-closed"),
    ),
    (
        "the ratio was checked six days ago, with the lot before this one",
        BEFORE_FILL,
        &[("pump.ratio_checked", "2026-02-26T10:00:00-06:00")],
        Some("ratio-of-another-lot"),
    ),
    (
        "a sixth of the tyre stayed empty",
        AFTER_FILL,
        &[("assemblies.0.fill.strokes", "780")],
        Some("too-little-went-in"),
    ),
    (
        "the needle broke off in the tyre",
        AFTER_FILL,
        &[("assemblies.0.fill.needle", "broken")],
        Some("needle-not-accounted-for"),
    ),
    (
        "the owner signed, and nobody asked how fast the machine runs",
        BEFORE_SERVICE,
        &[("service.accepted.speed", ""), ("mix.speed_most", "")],
        Some("owner-not-told"),
    ),
    (
        "450 on the wrong scale of the wrench",
        BEFORE_SERVICE,
        &[("assemblies.0.refit.nut_torque", "450 N.m")],
        Some("nuts-not-torqued"),
    ),
    (
        "a steel radial rated by stars, without plies, its hole drilled",
        NEW_RADIAL,
        &[("assemblies.*.tyre.ply_rating", ""), ("assemblies.*.tyre.load_range", "")],
        None,
    ),
    (
        "a tyre without a pressure on its sidewall, and the load table has one",
        BEFORE_FILL,
        &[
            ("assemblies.0.tyre.sidewall_maximum", ""),
            ("assemblies.0.tyre.published_maximum", "70 psi"),
            ("assemblies.0.tyre.published_in", "load table of the tyre maker, page 41"),
        ],
        None,
    ),
    (
        "one piece, one stamp, and it is the rim's",
        ONE_STAMP,
        &[("assemblies.*.wheel.rating", ""), ("assemblies.*.rim.rating", "80 psi")],
        None,
    ),
    (
        "the load needs the very pressure that is marked",
        BEFORE_FILL,
        &[
            ("assemblies.0.target.pressure", "68.8 psi"),
            ("assemblies.0.target.operating_pressure", "70 psi"),
            ("air_stage.regulator", "68.8 psi"),
            ("pump.stops_at", "68.8 psi"),
        ],
        None,
    ),
    (
        "the maker's chart says 368 lb a side, and 400 lb are there",
        BEFORE_FILL,
        &[
            ("components.isocyanate.on_hand.reading", "400 lb"),
            ("components.polyol.on_hand.reading", "400 lb"),
            ("assemblies.0.tyre.inside_volume", ""),
        ],
        None,
    ),
    (
        "a tube that is marked for two sizes",
        WITH_TUBE,
        &[("assemblies.0.tyre.size", "7.00-12 TT"), ("assemblies.0.tube.size", "6.50/7.00-12")],
        None,
    ),
    (
        "on the vehicle, no solvent in the bay, and a hose of 100 ft",
        ON_VEHICLE,
        &[
            ("workspace.solvent_on_hand", "0 gal"),
            ("workspace.solvent_closed", ""),
            ("air_stage.stand_off", "100 ft"),
            ("air_stage.hose_length", "100 ft"),
        ],
        None,
    ),
    (
        "the data sheet allows 65 degF, and the cores have 69: held on purpose, since a sheet loosens nothing",
        BEFORE_FILL,
        &[
            ("components.isocyanate.core_temperature.reading", "69 degF"),
            ("components.polyol.core_temperature.reading", "69 degF"),
        ],
        Some("cold-material"),
    ),
    (
        "the sheet was looked through and gives no figure of the mix",
        BEFORE_FILL,
        &[
            ("mix.pot_life", ""),
            ("mix.cure_time", ""),
            ("mix.cure_temperature", ""),
            ("mix.hardness_least", ""),
            ("mix.sheet_silent_on", "[pot life, cure time, cure temperature, hardness]"),
        ],
        None,
    ),
    (
        "with such a sheet a cured tyre goes back to work by the grade and the times of the rules",
        BEFORE_SERVICE,
        &[
            ("mix.pot_life", ""),
            ("mix.cure_time", ""),
            ("mix.cure_temperature", ""),
            ("mix.hardness_least", ""),
            ("mix.sheet_silent_on", "[pot life, cure time, cure temperature, hardness]"),
        ],
        None,
    ),
];

/// Writes a value, or takes it out, at every place of a path.
fn edit(tree: &mut Value, path: &[&str], value: &str) {
    let [first, rest @ ..] = path else { return };
    match (*first, tree) {
        ("*", Value::Sequence(items)) => items.iter_mut().for_each(|item| edit(item, rest, value)),
        (index, Value::Sequence(items)) => {
            let index: usize = index.parse().unwrap();
            if rest.is_empty() && value.is_empty() {
                items.remove(index);
            } else {
                edit(&mut items[index], rest, value);
            }
        }
        (key, Value::Mapping(map)) => match (rest.is_empty(), value.is_empty()) {
            (true, true) => {
                map.remove(key);
            }
            (true, false) => {
                map.insert(key.into(), serde_yaml::from_str(value).unwrap());
            }
            (false, _) => edit(map.entry(key.into()).or_insert(Value::Mapping(Mapping::new())), rest, value),
        },
        (key, other) => panic!("no place for {key} in {other:?}"),
    }
}

fn when(record: &str) -> (HoldPoint, Instant) {
    match record.strip_prefix("carried/") {
        Some(_) => crate::hold_points::judged(&format!("shared/demo/{record}.yaml")),
        None => (HoldPoint::BeforeFill, common::demo_at()),
    }
}

#[test]
fn a_job_is_judged_as_somebody_of_the_trade_would() {
    let mut wrong = Vec::new();
    for (what, record, edits, rule) in CASES {
        let mut tree: Value = serde_yaml::from_str(&common::read(&format!("shared/demo/{record}.yaml"))).unwrap();
        for (path, value) in *edits {
            edit(&mut tree, &path.split('.').collect::<Vec<_>>(), value);
        }
        let (point, at) = when(record);
        let judged = judged_then(&PACKS, &tree, point, at).unwrap_or_else(|| panic!("{what}: refused"));
        let held: Vec<&String> = judged.holding().map(|(rule, _)| rule).collect();
        let is_right = match rule {
            None => judged.verdict == Verdict::Pass,
            Some(rule) => judged.verdict == Verdict::Hold && held.iter().any(|held| held == rule),
        };
        if !is_right {
            wrong.push(format!("{what}: {}, held by {held:?}", judged.verdict.word()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(CASES.len() > 27 && CASES.iter().filter(|(.., rule)| rule.is_none()).count() > 7);
}
