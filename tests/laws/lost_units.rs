//! A unit that was lost in every number of a record leaves them in agreement with one another, and only the tyre contradicts
//! them: by its kind the pressures, by its index and outline the load.
//!
//! MEMORY, every pressure and load: of the data books of makers, by kind and size; none was read.

use fillward::document::Document;
use fillward::engine::Scene;
use fillward::record;
use fillward::vocabulary::{HoldPoint, Outcome};
use proptest::prelude::*;
use proptest::sample::select;
use proptest::test_runner::TestRunner;

use super::jobs::PACKS;
use crate::common;

/// Size, construction, kind of rim, its seat, and between which pressures in psi sidewalls of it show the highest.
type Kind = (&'static str, &'static str, &'static str, &'static str, f64, f64);

const KINDS: &[Kind] = &[
    ("17.5-25", "bias", "multi-piece", "5 degree", 40.0, 85.0),
    ("20.5R25", "radial", "multi-piece", "5 degree", 36.0, 131.0),
    ("26.5-25", "bias", "multi-piece", "5 degree", 30.0, 102.0),
    ("29.5R29", "radial", "multi-piece", "5 degree", 50.0, 102.0),
    ("35/65-33", "bias", "multi-piece", "5 degree", 60.0, 105.0),
    ("18.00-25", "bias", "multi-piece", "5 degree", 90.0, 150.0),
    ("385/95R25", "radial", "multi-piece", "5 degree", 100.0, 145.0),
    ("66x43.00-25", "bias", "multi-piece", "5 degree", 20.0, 36.0),
    ("11R22.5", "radial", "single piece", "15 degree", 85.0, 125.0),
    ("385/65R22.5", "radial", "single piece", "15 degree", 100.0, 131.0),
    ("245/70R17.5", "radial", "single piece", "15 degree", 100.0, 138.0),
    ("550/45-22.5", "bias", "single piece", "15 degree", 20.0, 58.0),
    ("15-19.5", "bias", "single piece", "15 degree", 40.0, 100.0),
    ("12.00R20", "radial", "multi-piece", "5 degree", 80.0, 130.0),
    ("14.00R24", "radial", "multi-piece", "5 degree", 55.0, 130.0),
    ("14.00-24", "bias", "multi-piece", "5 degree", 45.0, 145.0),
    ("10.00-20", "bias", "multi-piece", "flat", 80.0, 120.0),
    ("6.00-9", "bias", "bolt-together", "5 degree", 80.0, 145.0),
    ("7.00-12", "bias", "multi-piece", "5 degree", 90.0, 145.0),
    ("4.00-8", "bias", "bolt-together", "5 degree", 30.0, 130.0),
    ("18.4R38", "radial", "single piece", "5 degree", 12.0, 28.0),
    ("480/80R42", "radial", "single piece", "5 degree", 12.0, 40.0),
    ("16.9R28", "radial", "single piece", "5 degree", 18.0, 40.0),
    ("18.4-38", "bias", "single piece", "5 degree", 12.0, 40.0),
    ("18.4-26", "bias", "single piece", "5 degree", 16.0, 40.0),
    ("23.1-26", "bias", "single piece", "5 degree", 16.0, 36.0),
    ("405/70R20", "radial", "single piece", "5 degree", 36.0, 65.0),
    ("12.5/80-18", "bias", "single piece", "5 degree", 30.0, 73.0),
    ("12-16.5", "bias", "single piece", "15 degree", 40.0, 80.0),
    ("ST225/75R15", "radial", "single piece", "5 degree", 50.0, 80.0),
    ("11L-15", "bias", "single piece", "5 degree", 24.0, 52.0),
    ("29x12.50-15", "bias", "single piece", "5 degree", 14.0, 30.0),
    ("44x18.00-20", "bias", "single piece", "5 degree", 15.0, 30.0),
];

/// Road tyres: size with its index, that load in kg, and the marked maximum in psi.
const ROAD: &[(&str, f64, f64)] = &[
    ("11R22.5 144/142L", 2800.0, 105.0),
    ("11R22.5 148/145L", 3150.0, 120.0),
    ("385/65R22.5 160K", 4500.0, 130.0),
    ("245/70R17.5 143/141J", 2725.0, 138.0),
    ("225/70R19.5 128/126M", 1800.0, 95.0),
];

/// Size, its marked maximum in psi, and the greatest load in lb that tables give there at a loader's or a tractor's pace.
const OFF_ROAD: &[(&str, f64, f64)] = &[
    ("17.5-25", 70.0, 17_000.0),
    ("12-16.5", 80.0, 5_700.0),
    ("20.5-25", 50.0, 18_000.0),
    ("13.00-24", 65.0, 9_500.0),
    ("18.4R38", 23.0, 7_400.0),
    ("405/70R20", 60.0, 9_000.0),
];

/// What a rule finds of an assembly at a hold point; nothing where it does not apply.
fn found(rule: &str, assembly: &str, point: HoldPoint) -> Option<Outcome> {
    let text = format!("record: 1\nassemblies: [{{mark: \"loader 4, left front\", {assembly}}}]\n");
    let document = Document::read("job.yaml", text.as_bytes()).unwrap();
    let job = record::read_fragment(document.source(), document.root(), PACKS.catalogue())
        .unwrap_or_else(|faults| panic!("{:?}\n{text}", miette::Report::new(faults)));
    let scene = Scene::new(&PACKS, &job, common::demo_at(), &common::demo_zone()).at_hold_point(point);
    let judgement = scene.judge();
    judgement.findings.iter().find(|finding| scene.rule(finding).unwrap().name == rule).map(|finding| finding.outcome)
}

const POINTS: [HoldPoint; 4] =
    [HoldPoint::BeforeAir, HoldPoint::BeforeFill, HoldPoint::AfterFill, HoldPoint::BeforeService];

#[test]
fn pressures_that_lost_their_unit_are_beside_their_kind() {
    let strategy = (select(KINDS), 0.0..=1.0f64, select(&POINTS[..]), any::<bool>(), any::<bool>());
    let outcome = TestRunner::new(super::config()).run(&strategy, |(kind, share, point, in_kilopascals, published)| {
        let (size, construction, rim, seat, low, high) = kind;
        let psi = low + share * (high - low);
        let shown = |pressure: String| {
            let fact = if published { "published_maximum" } else { "sidewall_maximum" };
            let assembly = format!(
                "tyre: {{size: {size}, construction: {construction}, {fact}: {pressure}}}, rim: {{kind: {rim}, seat: {seat}}}"
            );
            found("pressure-below-its-kind", &assembly, point)
        };
        let honest = shown(format!("{psi:.2} psi"));
        prop_assert_eq!(honest, Some(Outcome::Met), "{} of {:.2} psi", size, psi);
        // The number of psi beside kPa; the number of bar beside psi.
        let slip = if in_kilopascals { format!("{psi:.2} kPa") } else { format!("{:.2} psi", psi / 14.5) };
        prop_assert_eq!(shown(slip.clone()), Some(Outcome::Broken), "{} of {}", size, slip);
        Ok(())
    });
    outcome.unwrap();
}

/// A load that the index or the outline gives at the operating pressure passes there, by the least power of the standards;
/// half as much again does not, whether a load rating is typed or left out.
#[test]
fn a_load_and_its_pressure_are_compared_whatever_is_typed() {
    let strategy = (select(ROAD), 0.4..=1.0f64, 0.5..=1.0f64, select(&POINTS[..]));
    let road = TestRunner::new(super::config()).run(&strategy, |((size, index, most), ratio, share, point)| {
        let carries = index * ratio.sqrt();
        let of = |load: f64, rated: Option<f64>| {
            let rated = rated.map_or_else(String::new, |rated| format!(", load_rating: {rated:.0} kg"));
            let assembly = format!(
                "tyre: {{size: {size}, sidewall_maximum: {most:.1} psi{rated}}}, rim: {{seat: 15 degree}}, target: {{load: {load:.0} kg, operating_pressure: {:.2} psi}}",
                most * ratio
            );
            ["load-beyond-the-index", "load-beyond-the-pressure"].map(|rule| found(rule, &assembly, point))
        };
        let broken = |found: [Option<Outcome>; 2]| found.contains(&Some(Outcome::Broken));
        prop_assert!(!broken(of(carries * share, None)), "{} at {}", size, ratio);
        prop_assert!(broken(of(carries * 1.5, None)), "{} at {}", size, ratio);
        prop_assert!(broken(of(carries * 1.5, Some(index))), "{} at {}", size, ratio);
        // Who runs slower says so by the rating for that speed.
        prop_assert!(!broken(of(carries * 1.4, Some(index * 1.45))), "{} at {}", size, ratio);
        Ok(())
    });
    road.unwrap();

    let strategy = (select(OFF_ROAD), 0.4..=1.0f64, select(&POINTS[..]), any::<bool>());
    let outline = TestRunner::new(super::config()).run(&strategy, |((size, most, load), ratio, point, rated)| {
        let rating = if rated { format!(", load_rating: {load:.0} lb") } else { String::new() };
        let of = |psi: f64, load: f64| {
            let assembly = format!(
                "tyre: {{size: {size}, sidewall_maximum: {most:.0} psi{rating}}}, target: {{load: {load:.0} lb, operating_pressure: {psi:.2} psi}}"
            );
            found("load-beyond-the-outline", &assembly, point)
        };
        // 0.585 of the standards; a casing that is harder carries more.
        prop_assert_eq!(of(most * ratio, load * ratio.powf(0.585)), Some(Outcome::Met), "{} at {}", size, ratio);
        let kilopascals = of(most / 6.895, load);
        prop_assert_eq!(kilopascals, Some(Outcome::Broken), "{}", size);
        Ok(())
    });
    outline.unwrap();
}
