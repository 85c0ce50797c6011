//! The window of the target pressure, against sums of its own in whole hundredths of a psi: a target passes exactly
//! when it stays below the weakest rating by the gauge's doubt and below the load's pressure by the soft side at most.

use fillward::document::Document;
use fillward::engine::Scene;
use fillward::figures::FigureId;
use fillward::pack::PackSet;
use fillward::record::{self, Value};
use fillward::units::{Exact, Quantity, Unit};
use fillward::vocabulary::Subject;
use proptest::prelude::*;

use crate::common;

/// Rules that speak of the target between load and ratings.
const RULES: [&str; 6] = [
    "target-above-tyre-rating",
    "target-above-rim-rating",
    "target-above-wheel-rating",
    "target-below-need",
    "no-admissible-pressure",
    "gauge-too-coarse",
];

/// Pressures in hundredths of a psi.
#[derive(Debug, Clone, Copy)]
struct Drawn {
    ratings: [i64; 3],
    operating: i64,
    target: i64,
    doubt: i64,
}

fn psi(hundredths: i64) -> String {
    format!("{}.{:02} psi", hundredths / 100, hundredths % 100)
}

/// The rules of the window that hold the job, and whether its figures show the window.
fn held(packs: &PackSet, drawn: &Drawn) -> (Vec<String>, Option<(Exact, Exact)>) {
    let [tyre, rim, wheel] = drawn.ratings;
    let text = common::read("shared/demo/jobs/pass-loader-bias-used.yaml")
        .replace("accuracy: EN 0.6", &format!("uncertainty: {}", psi(drawn.doubt)))
        .replace("sidewall_maximum: 70 psi", &format!("sidewall_maximum: {}", psi(tyre)))
        .replace("rating: 75 psi", &format!("rating: {}", psi(rim)))
        .replace("rating: 80 psi", &format!("rating: {}", psi(wheel)))
        .replace(
            "pressure: 60 psi, operating_pressure: 57 psi",
            &format!("pressure: {}, operating_pressure: {}", psi(drawn.target), psi(drawn.operating)),
        );
    let document = Document::read("job.yaml", text.as_bytes()).unwrap();
    let job = record::read(&document, packs.catalogue(), &common::demo_zone()).unwrap();
    let scene = Scene::new(packs, &job, common::demo_at(), &common::demo_zone());
    let judgement = scene.judge();
    let names = judgement.findings.iter().filter(|finding| finding.holds());
    let names = names.map(|finding| scene.rule(finding).unwrap().name.to_string());
    let assembly = &job.of(Subject::Assembly).unwrap()[0];
    let base = |id| match scene.compute(id, assembly) {
        Ok(Value::Measured(measured)) => Some(measured.shown.base()),
        _ => None,
    };
    (
        names.filter(|name| RULES.contains(&name.as_str())).collect(),
        base(FigureId::PressureFloor).zip(base(FigureId::PressureCeiling)),
    )
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(300) })]

    #[test]
    fn a_target_passes_exactly_inside_the_window_that_the_figures_show(
        ratings in prop::array::uniform3(6_500..7_500i64),
        below in 0..400i64,
        off in -300..300i64,
        doubt in 10..400i64,
    ) {
        let packs = PackSet::base().unwrap();
        let lowest = *ratings.iter().min().unwrap();
        let operating = lowest - below + 100;
        let drawn = Drawn { ratings, operating, target: operating + off, doubt };
        let (found, window) = held(&packs, &drawn);
        let inside = drawn.target + doubt <= lowest && 100 * drawn.target >= 98 * operating;
        let can_be = operating <= lowest;
        prop_assert_eq!(found.is_empty(), inside && can_be, "{:?}: {:?}", drawn, found);
        // The window is the one that decides.
        let (floor, ceiling) = window.unwrap();
        let exact = |numerator: i64, denominator: i64| {
            let amount = Exact::new(numerator.into(), denominator.into()).unwrap();
            Quantity::new(amount, Unit::Psi).unwrap().base()
        };
        prop_assert_eq!(floor, exact(98 * operating, 10_000), "{:?}", drawn);
        prop_assert_eq!(ceiling, exact(lowest - doubt, 100), "{:?}", drawn);
    }
}
