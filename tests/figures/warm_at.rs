//! When a container will be warm: against the exponential approach, and when nothing can be told.

use fillward::figures::{FigureId, Obstacle};
use fillward::pack::PackSet;
use fillward::record::Value;
use fillward::vocabulary::Subject;

use super::{figure, job, obstacle};

/// Newton's law of cooling: from 10 degC to 22.222... degC (72 degF) in air of 25 degC takes ln(15/2.777...) = 1.686 time
/// constants. With readings that fall on a time constant of exactly 10 h (10.000 degC, then 15.9020 degC 5 h later), the
/// limit is reached 16.86 h after the first.
#[test]
fn follows_the_exponential_approach() {
    let packs = PackSet::base().unwrap();
    let shop = "workspace: {temperature: 25 degC}";
    let core = "read_at: stirred, warming: [{at: 2026-03-04T00:00:00Z, temperature: 10 degC}], core_temperature: {reading: 15.902 degC, at: 2026-03-04T05:00:00Z}";
    let job = job(&packs, shop, "tyre: {state: used}", core, "lot: Y-220");
    let found = figure(&packs, &job, Subject::Component, FigureId::WarmAt);
    let Ok(Value::Instant(at)) = found else { panic!("{found:?}") };
    let hours = at.seconds_since(fillward::units::Instant::parse("2026-03-04T00:00:00Z").unwrap()).to_f64() / 3600.0;
    assert!((hours - 16.86).abs() < 0.05, "{hours}");
}

/// Readings need not lie on the curve exactly. At 0, 5 and 10 h the gaps to air of 25 degC are 20, 10 and 5 K, a
/// half-life of 5 h, but for the middle one. In the logarithm a straight line through three readings at equal distances
/// has the slope of the outer two, whatever the middle one shows, and passes the middle one by two thirds of what it is
/// off and the others by one third: the middle gap `10 exp(d)` lies `10 exp(d) - 10 exp(d / 3)` beside it. One kelvin
/// is still the thermometer's own scatter, and twice its doubt comes on top (engineering estimate, no source).
#[test]
fn believes_readings_by_the_curve_and_no_others() {
    let packs = PackSet::base().unwrap();
    for (off, doubt, believed) in
        [(0.0, 0.0, true), (0.132, 0.0, true), (0.145, 0.0, false), (0.18, 0.2, true), (0.21, 0.2, false)]
    {
        let middle = 25.0 - 10.0 * f64::exp(off);
        let stated = if doubt > 0.0 { format!(", uncertainty: {doubt} degC") } else { String::new() };
        let core = format!(
            "read_at: core, warming: [{{at: 2026-03-04T00:00:00Z, temperature: 5 degC}}, {{at: 2026-03-04T05:00:00Z, temperature: \
             {middle:.3} degC}}], core_temperature: {{reading: 20 degC, at: 2026-03-04T10:00:00Z{stated}}}"
        );
        let job = job(&packs, "workspace: {temperature: 25 degC}", "tyre: {state: used}", &core, "lot: Y-220");
        let found = figure(&packs, &job, Subject::Component, FigureId::WarmAt);
        if !believed {
            assert_eq!(obstacle(&found), Obstacle::NotOneApproach, "{core}");
            continue;
        }
        let Ok(Value::Instant(at)) = found else { panic!("{core}: {found:?}") };
        let hours =
            at.seconds_since(fillward::units::Instant::parse("2026-03-04T10:00:00Z").unwrap()).to_f64() / 3600.0;
        // From a gap of 5 K to that of 72 degF and the doubt, with a half-life of 5 h.
        let due = (5.0_f64 / (25.0 - 200.0 / 9.0 - doubt)).log2() * 5.0;
        assert!((due..due + 0.02).contains(&hours), "{core}: {hours} h, not {due} h");
    }
}

/// A row of the log at the instant of the reading is the reading itself and no further one.
#[test]
fn takes_the_reading_once() {
    let packs = PackSet::base().unwrap();
    let told = |rows: &str| {
        let core = format!(
            "read_at: core, warming: [{{at: 2026-03-04T00:00:00Z, temperature: 5 degC}}, {{at: 2026-03-04T05:00:00Z, \
             temperature: 15.1 degC}}{rows}], core_temperature: {{reading: 20 degC, at: 2026-03-04T10:00:00Z}}"
        );
        let job = job(&packs, "workspace: {temperature: 25 degC}", "tyre: {state: used}", &core, "lot: Y-220");
        figure(&packs, &job, Subject::Component, FigureId::WarmAt)
    };
    let due = told("");
    assert!(matches!(due, Ok(Value::Instant(_))), "{due:?}");
    assert_eq!(told(", {at: 2026-03-04T10:00:00Z, temperature: 20.4 degC}"), due);
    assert_ne!(told(", {at: 2026-03-04T09:59:00Z, temperature: 20.4 degC}"), due);
}

/// What carries no answer gives none, and says why.
#[test]
fn says_when_it_cannot_tell() {
    let packs = PackSet::base().unwrap();
    let at = "2026-03-04T05:00:00Z";
    for (shop, core, why) in [
        (
            "25 degC",
            format!(
                "read_at: wall, warming: [{{at: 2026-03-04T00:00:00Z, temperature: 10 degC}}], core_temperature: {{reading: 15 degC, at: {at}}}"
            ),
            Obstacle::ReadAtWall,
        ),
        (
            "20 degC",
            format!(
                "read_at: core, warming: [{{at: 2026-03-04T00:00:00Z, temperature: 10 degC}}], core_temperature: {{reading: 15 degC, at: {at}}}"
            ),
            Obstacle::AirNotWarmer,
        ),
        (
            "25 degC",
            format!(
                "read_at: core, warming: [{{at: 2026-03-04T00:00:00Z, temperature: 14.8 degC}}], core_temperature: {{reading: 15 degC, at: {at}, uncertainty: 0.3 degC}}"
            ),
            Obstacle::NoRate,
        ),
        (
            "25 degC",
            format!(
                "read_at: core, warming: [{{at: 2026-03-04T00:00:00Z, temperature: 16 degC}}], core_temperature: {{reading: 15 degC, at: {at}}}"
            ),
            Obstacle::NoRate,
        ),
    ] {
        let job =
            job(&packs, &format!("workspace: {{temperature: {shop}}}"), "tyre: {state: used}", &core, "lot: Y-220");
        let found = figure(&packs, &job, Subject::Component, FigureId::WarmAt);
        assert_eq!(obstacle(&found), why, "{core}");
    }
}
