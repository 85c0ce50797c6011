//! Figures of the course of the fill and of what pressure does, against worked examples from outside. The sources stand
//! beside each check.

use fillward::engine::Scene;
use fillward::figures::FigureId;
use fillward::pack::PackSet;
use fillward::record::Value;
use fillward::units::Unit;
use fillward::vocabulary::Subject;

use proptest::prelude::*;

use crate::common;
use crate::figures::{PSI, bounds, figure, interval, job};

const SIDE: &str = "lot: W-114, density: 1 kg/L, parts: 1";

/// Air of 100 L at 827 kPa (120 psi): 109 kJ by isentropic expansion, 207 kJ by Brode's formula; worked apart from the
/// program with gamma 1.4 and p0 = 101.325 kPa. The inside volume is taken within 3 %, so both ends move by as much.
#[test]
fn the_energy_of_the_air_lies_between_expansion_and_brode() {
    let packs = PackSet::base().unwrap();
    let assembly = "tyre: {size: 12-16.5, state: new, inside_volume: 100 L}, target: {pressure: 827 kPa, gauge: G}";
    let gauge = "gauges: [{mark: G, uncertainty: 0.01 kPa}]";
    let job = job(&packs, gauge, assembly, SIDE, SIDE);
    let volume = figure(&packs, &job, Subject::Assembly, FigureId::MixVolume);
    let (low, high) = (interval(&volume).lo().to_f64(), interval(&volume).hi().to_f64());
    let energy = figure(&packs, &job, Subject::Assembly, FigureId::AirEnergy);
    let (least, most) = (interval(&energy).lo().to_f64() / 1000.0, interval(&energy).hi().to_f64() / 1000.0);
    assert!((least / (109.0 * low / 100.0) - 1.0).abs() < 0.005, "{least} kJ of {low} L");
    assert!((most / (207.0 * high / 100.0) - 1.0).abs() < 0.005, "{most} kJ of {high} L");
}

/// Loads of an 11R22.5 of load range H as single, in lb at psi: MEMORY of the load table in the yearbook of the Tire and
/// Rim Association. Every row lies within the bounds that the formula gives from the highest one.
#[test]
fn the_load_carried_holds_the_rows_of_a_load_table() {
    let packs = PackSet::base().unwrap();
    let rows = [(70, 4530), (75, 4770), (80, 4990), (85, 5220), (90, 5510), (95, 5730), (100, 5950), (105, 6175)];
    for (pressure, load) in rows {
        let assembly = format!(
            "tyre: {{sidewall_maximum: 105 psi, load_rating: 6175 lb}}, target: {{operating_pressure: {pressure} psi}}"
        );
        let job = job(&packs, "", &assembly, SIDE, SIDE);
        let found = figure(&packs, &job, Subject::Assembly, FigureId::LoadCarried);
        let listed = fillward::units::Quantity::parse(&format!("{load} lb"), fillward::units::Dimension::Mass).unwrap();
        assert!(interval(&found).contains(listed.base()), "{pressure} psi: {:?}", bounds(&found, Unit::Pound, 0));
        // What holds the job is the upper end of it, beyond every row.
        let most = interval(&figure(&packs, &job, Subject::Assembly, FigureId::LoadCarriedMost));
        assert!(most.is_point() && most.lo() == interval(&found).hi() && most.lo() >= listed.base(), "{pressure} psi");
    }
}

/// By arithmetic: 60 of 0 to 160 psi is 37.5 % of the dial; of 20 to 100 psi it is the middle.
#[test]
fn the_place_on_the_dial_is_a_share_of_the_span() {
    let packs = PackSet::base().unwrap();
    for (from, to, place) in [("0 psi", "160 psi", "37.5"), ("20 psi", "100 psi", "50.0")] {
        let gauge = format!("gauges: [{{mark: G, range: {{from: {from}, to: {to}}}, uncertainty: 1 psi}}]");
        let job = job(&packs, &gauge, "target: {pressure: 60 psi, gauge: G}", SIDE, SIDE);
        let found = figure(&packs, &job, Subject::Assembly, FigureId::DialPlace);
        assert_eq!(bounds(&found, Unit::Percent, 1), (place.to_owned(), place.to_owned()));
    }
}

/// By arithmetic: 5 K of cooling at 0.07 % a kelvin take 0.35 % of the volume. Where the casing grew by 5 % that is 7 % of
/// the pressure, where it grew by 1 % it is 35 %: of 100 psi, 93 to 65 psi are left.
#[test]
fn a_filling_that_cools_loses_pressure() {
    let packs = PackSet::base().unwrap();
    let shop = "workspace: {temperature: {reading: 20 degC, at: 2026-03-04T08:50:00-06:00}}";
    let side = "lot: W-114, expansion: 0.07 %, core_temperature: {reading: 25 degC, at: 2026-03-04T08:50:00-06:00}";
    let job = job(&packs, shop, "target: {pressure: 100 psi}", side, side);
    let found = figure(&packs, &job, Subject::Assembly, FigureId::PressureAfterCooling);
    assert_eq!(bounds(&found, PSI, 1), ("65.0".to_owned(), "93.0".to_owned()));
}

/// By arithmetic: 300 L within 3 % of 1 kg/L are 291 to 309 kg; at 0.5 kg a cycle of 3 s, 582 to 618 cycles in 29.1 to
/// 30.9 minutes. With 3 % of waste and 2 kg of priming the job takes 293 to 320.27 kg, so 640.54 cycles and 32.03 minutes at
/// most: a start at 10:00 ends by 10:33. Half of it, 160.135 kg, is 160.135 L at 1 kg/L and three containers of 80 kg.
#[test]
fn the_course_of_a_fill() {
    let packs = PackSet::base().unwrap();
    let shop =
        "planned_start: 2026-03-04T10:00:00-06:00\npump: {mass_per_cycle: 0.5 kg, cycle_time: 3 s, priming: 2 kg}";
    let assembly = "tyre: {size: 17.5-25, state: new, inside_volume: 300 L}, target: {pressure: 4 bar}";
    let side = "lot: W-114, density: 1 kg/L, parts: 1, container_size: 80 kg, on_hand: 160.2 kg";
    let job = job(&packs, shop, assembly, side, side);
    let of = |subject, id| figure(&packs, &job, subject, id);
    let text = |low: &str, high: &str| (low.to_owned(), high.to_owned());
    let (one, minute, litre) = (Unit::One, Unit::Minute, Unit::Litre);
    let (whole, each, side) = (Subject::Job, Subject::Assembly, Subject::Component);
    assert_eq!(bounds(&of(each, FigureId::MixVolume), litre, 1), text("291.0", "309.0"));
    assert_eq!(bounds(&of(each, FigureId::AssemblyCycles), one, 1), text("582.0", "618.0"));
    assert_eq!(bounds(&of(each, FigureId::AssemblyTime), minute, 1), text("29.1", "30.9"));
    assert_eq!(bounds(&of(whole, FigureId::JobTime), minute, 2), text("29.30", "32.03"));
    assert_eq!(bounds(&of(side, FigureId::ComponentVolume), litre, 3), text("146.500", "160.135"));
    assert_eq!(bounds(&of(side, FigureId::Containers), one, 0), text("2", "3"));
    assert_eq!(bounds(&of(side, FigureId::Fills), one, 0), text("1", "1"));
    let Ok(Value::Instant(end)) = of(whole, FigureId::FillEnd) else { panic!("no end") };
    assert_eq!(end.to_record_text(), "2026-03-04T10:33:00-06:00");
}

/// Worked by hand. The tension in the wall of a thin ring is its pressure times its radius (textbook mechanics of thin
/// shells), so a tyre of 12 in at 65 psi with 10 plies bears 65 x 12 / 10 / 10 = 7.8 psi a ply at a width of 10 in.
/// Load range G is ply rating 14 (TRA table, MEMORY), and of two highest pressures the lower counts.
#[test]
fn the_pressure_for_one_ply_goes_with_the_width() {
    let packs = PackSet::base().unwrap();
    for (tyre, low, high) in [
        ("size: 12-16.5, ply_rating: 10, sidewall_maximum: 65 psi", "7.80", "7.80"),
        ("size: 12-16.5, ply_rating: 10, sidewall_maximum: 130 psi, published_maximum: 65 psi", "7.80", "7.80"),
        ("size: 11R22.5, load_range: G, sidewall_maximum: 105 psi", "8.25", "8.25"),
        // Two strengths: anything between them.
        ("size: 12-16.5, ply_rating: 10, load_range: F, sidewall_maximum: 65 psi", "6.50", "7.80"),
    ] {
        let job = job(&packs, "", &format!("tyre: {{{tyre}}}"), "lot: W-114", "lot: Y-220");
        let found = figure(&packs, &job, Subject::Assembly, FigureId::PressurePerPly);
        assert_eq!(bounds(&found, PSI, 2), (low.to_owned(), high.to_owned()), "{tyre}");
    }
}

/// Worked by hand with the pound force as 0.453 592 37 x 9.806 65 N, so that lb and psi go by the inch alone: 4850 lb
/// on 12 in by 16.5 + 24 in at 65 psi are 4850 / (12 x 40.5 x 65) = 15.35 %. Loads and pressures of the sizes from
/// memory of load tables.
#[test]
fn the_load_is_held_against_the_outline_of_the_tyre() {
    let packs = PackSet::base().unwrap();
    for (tyre, load, share) in [
        ("size: 12-16.5, sidewall_maximum: 65 psi", "load: 4850 lb", "15.35"),
        ("size: 12-16.5, sidewall_maximum: 65 psi, load_rating: 6320 lb", "load: 4850 lb", "20.01"),
        ("size: 17.5-25, published_maximum: 51 psi, load_rating: 14330 lb", "pressure: 51 psi", "26.76"),
    ] {
        let more = format!("tyre: {{{tyre}}}, target: {{{load}}}");
        let job = job(&packs, "", &more, "lot: W-114", "lot: Y-220");
        let found = figure(&packs, &job, Subject::Assembly, FigureId::LoadOfOutline);
        assert_eq!(bounds(&found, Unit::Percent, 2), (share.to_owned(), share.to_owned()), "{tyre}");
    }
}

/// Load indices from memory of the table that the standards of tyres share: 160 is 4500 kg, 144 is 2800 kg, 142 is 2650 kg.
#[test]
fn the_load_is_held_against_the_index_of_the_size() {
    let packs = PackSet::base().unwrap();
    for (size, load, share) in [
        ("385/65R22.5 160K", "9000 kg", "200.0"),
        ("385/65R22.5 160K", "4500 kg", "100.0"),
        ("11R22.5 144/142L", "3500 kg", "125.0"),
    ] {
        let job =
            job(&packs, "", &format!("tyre: {{size: {size}}}, target: {{load: {load}}}"), "lot: W-114", "lot: Y-220");
        let found = figure(&packs, &job, Subject::Assembly, FigureId::LoadOfIndex);
        assert_eq!(bounds(&found, Unit::Percent, 1), (share.to_owned(), share.to_owned()), "{size}");
    }
    let job = job(&packs, "", "tyre: {size: 11R22.5}, target: {load: 3500 kg}", "lot: W-114", "lot: Y-220");
    assert!(figure(&packs, &job, Subject::Assembly, FigureId::LoadOfIndex).is_err(), "there is no index in the size");
}

/// Worked by hand: of a mix of 1 part to 2 by weight a need of 100 lb of the one is 50 lb of the other; by volume the
/// densities 1.2 and 1.0 make it 60 lb.
#[test]
fn the_need_of_one_side_follows_from_that_of_the_other() {
    let packs = PackSet::base().unwrap();
    for (own, other, due) in [
        ("parts: 1, density: 1.2 kg/L", "needed: 100 lb, parts: 2, density: 1 kg/L", "50.0"),
        ("parts_by_volume: 1, density: 1.2 kg/L", "needed: 100 lb, parts_by_volume: 2, density: 1 kg/L", "60.0"),
    ] {
        let job = job(&packs, "", "tyre: {state: used}", own, other);
        let found = figure(&packs, &job, Subject::Component, FigureId::NeedByRatio);
        assert_eq!(bounds(&found, Unit::Pound, 1), (due.to_owned(), due.to_owned()), "{own}");
        let ratio = figure(&packs, &job, Subject::Job, FigureId::DensityRatio);
        assert_eq!(bounds(&ratio, Unit::Percent, 0), ("120".to_owned(), "120".to_owned()), "{own}");
    }
}

/// A lowest temperature is that of all readings since the row before, both rows counted in, but for a kelvin between two
/// instruments (1.8 degF).
#[test]
fn a_lowest_temperature_above_a_row_is_none() {
    let packs = PackSet::base().unwrap();
    for (first, second, lowest, agrees) in [
        (75, 75, "75", true),
        (75, 75, "76.8", true),
        (75, 75, "76.9", false),
        (75, 80, "78", false),
        (80, 75, "78", false),
    ] {
        let log = format!(
            "pre_stretch: {{log: [{{at: 2026-03-02T16:00:00-06:00, pressure: 66 psi, air: {first} degF}}, {{at: 2026-03-03T04:00:00-06:00, pressure: 66 psi, air: {second} degF, lowest_air: {lowest} degF}}]}}"
        );
        let job = job(&packs, "", &log, "lot: W-114", "lot: Y-220");
        let found = figure(&packs, &job, Subject::Assembly, FigureId::PreStretchAirAgrees).unwrap();
        assert_eq!(found, Value::Flag(agrees), "{first}, {second}, {lowest}");
        let hottest = figure(&packs, &job, Subject::Assembly, FigureId::PreStretchHottest);
        let hotter = f64::from(first.max(second));
        assert_eq!(bounds(&hottest, Unit::DegF, 0).1, format!("{hotter:.0}"));
    }
}

/// When the cure is over, by arithmetic from 24 h warm and 48 h otherwise (common practice, no source), for a fill that
/// ends at 10:00 on 2 March: without a log 48 h; with a log that shows warmth throughout 24 h; where only the first half
/// of the day is shown, 12 h do a half and the other half takes 24 h, so 36 h.
#[test]
fn a_log_shortens_the_cure_and_never_makes_it_longer() {
    let packs = PackSet::base().unwrap();
    let rows = |hours: &[i64], degrees: i64| {
        let row = |hour: &i64| {
            let (day, hour) = (2 + (10 + hour) / 24, (10 + hour) % 24);
            format!("{{at: 2026-03-{day:02}T{hour:02}:00:00-06:00, temperature: {degrees} degF}}")
        };
        hours.iter().map(row).collect::<Vec<_>>().join(", ")
    };
    let cured = |log: &str, sheet: &str, uncertainty: &str| {
        let shop = format!("{sheet}\nworkspace: {{temperature: {{reading: 70 degF{uncertainty}}}, log: [{log}]}}");
        let job = job(&packs, &shop, "fill: {ended: 2026-03-02T10:00:00-06:00}", SIDE, SIDE);
        figure(&packs, &job, Subject::Assembly, FigureId::CuredAt)
    };
    let at = |text: &str| Ok(Value::Instant(fillward::units::Instant::parse(text).unwrap()));
    let sure = ", uncertainty: 1 degF";
    let day = [6, 12, 18, 24];
    for (log, sheet, doubt, expected) in [
        (String::new(), "", sure, "2026-03-04T10:00:00-06:00"),
        (rows(&day, 66), "", sure, "2026-03-03T10:00:00-06:00"),
        (rows(&day[..2], 66), "", sure, "2026-03-03T22:00:00-06:00"),
        // Cold, or by a thermometer of which nobody knows how far it is off, it shows no warmth.
        (rows(&day, 55), "", sure, "2026-03-04T10:00:00-06:00"),
        (rows(&day, 66), "", "", "2026-03-04T10:00:00-06:00"),
        // The sheet asks for more hours, or for a warmer room.
        (rows(&day, 66), "mix: {cure_time: 30 h}", sure, "2026-03-03T19:36:00-06:00"),
        (rows(&day, 66), "mix: {cure_temperature: 66 degF}", sure, "2026-03-04T10:00:00-06:00"),
    ] {
        assert_eq!(cured(&log, sheet, doubt), at(expected), "{log} {sheet} {doubt}");
    }
    // What is colder than the sheet allows, up to the last row, does not count at all.
    assert!(cured(&rows(&day, 55), "mix: {cure_temperature: 60 degF}", sure).is_err());
}

/// By arithmetic: 900 cycles of 3 s take 45 min, at twice the rate 22.5 min; without a rate 0.5 s each, 7.5 min. The fill
/// begins no more than an hour before its plan.
#[test]
fn a_fill_takes_its_time() {
    let packs = PackSet::base().unwrap();
    let side = "lot: W-114, core_temperature: {reading: 75 degF, at: 2026-03-04T08:50:00-06:00}";
    let end = |shop: &str, acts: &str| {
        let shop = format!("planned_start: 2026-03-04T09:00:00-06:00\n{shop}");
        let assembly = format!("{acts}seated: {{at: 2026-03-04T08:20:00-06:00}}, fill: {{strokes: 900}}");
        let job = job(&packs, &shop, &assembly, side, side);
        figure(&packs, &job, Subject::Assembly, FigureId::EarliestEnd)
    };
    let at = |text: &str| Ok(Value::Instant(fillward::units::Instant::parse(text).unwrap()));
    assert_eq!(end("", ""), at("2026-03-04T08:57:30-06:00"));
    assert_eq!(end("pump: {cycle_time: 3 s}", ""), at("2026-03-04T09:12:30-06:00"));
    assert_eq!(
        end("pump: {cycle_time: 3 s}", "acts: {fill: 2026-03-04T09:05:00-06:00}, "),
        at("2026-03-04T09:27:30-06:00")
    );
}

/// By arithmetic: 900 cycles at twice the rate of 3 s a cycle take 22.5 min, and 600 take 15 min. Of two fills the cycles of
/// the later one lie between the two ends, whichever of them is looked at, and both ends of that time belong to it.
#[test]
fn one_pump_fills_one_tyre_at_a_time() {
    let packs = PackSet::base().unwrap();
    let one_way = |this: &str, other: &str| {
        let assemblies = format!("{this}}}\n  - {{mark: b, {other}");
        let job = job(&packs, "pump: {cycle_time: 3 s}", &assemblies, SIDE, SIDE);
        match figure(&packs, &job, Subject::Assembly, FigureId::EndsApart) {
            Ok(Value::Flag(apart)) => apart,
            other => panic!("{other:?}"),
        }
    };
    let apart = |one: &str, other: &str| {
        let both = [one_way(one, other), one_way(other, one)];
        assert_eq!(both[0], both[1], "{one} | {other}");
        both[0]
    };
    let fill = |ended: &str, strokes: &str| format!("fill: {{ended: 2026-03-04T{ended}-06:00{strokes}}}");
    let (few, many) = (", strokes: 600", ", strokes: 900");
    assert!(apart(&fill("09:00:00", few), &fill("09:22:30", many)));
    assert!(!apart(&fill("09:00:00", few), &fill("09:22:29", many)));
    assert!(apart(&fill("09:15:00", few), &fill("09:00:00", many)));
    assert!(!apart(&fill("09:14:59", few), &fill("09:00:00", many)));
    // Of cycles that nobody has told nothing is known, and another rule asks for them.
    assert!(apart(&fill("09:00:00", ""), &fill("09:00:00", "")));
    assert!(!apart(&fill("09:00:00", few), &fill("09:00:00", many)));
    // One that is said to have begun when the other ended follows it; a second before, both were filled at once.
    let began = |at: &str| format!("acts: {{fill: 2026-03-04T{at}-06:00}}, {}", fill("10:00:00", many));
    assert!(apart(&fill("09:00:00", few), &began("09:00:00")));
    assert!(!apart(&fill("09:00:00", few), &began("08:59:59")));
}

/// Ratings are compared of rims of one kind and width under tyres of one size; what nobody says makes nothing unlike.
#[test]
fn ratings_are_compared_of_rims_that_are_alike() {
    let packs = PackSet::base().unwrap();
    let assembly = |size: &str, rim: &str, rating: &str| {
        format!("tyre: {{size: {size}}}, rim: {{{rim}rating: {rating}}}, wheel: {{rating: 90 psi}}")
    };
    let this = assembly("18.4-34", "kind: single piece, width: 16 in, ", "40 psi");
    for (other, due) in [
        (assembly("18.4-34", "kind: single piece, width: 16 in, ", "80 psi"), "200.0"),
        (assembly("18.4-34", "kind: single piece, width: 16 in, ", "20 psi"), "200.0"),
        (assembly("18.4-34", "kind: single piece, ", "80 psi"), "200.0"),
        (assembly("18.4-34", "width: 16 in, ", "80 psi"), "200.0"),
        (assembly("16.9-34", "kind: single piece, width: 16 in, ", "80 psi"), "100.0"),
        (assembly("16.9-34", "kind: multi-piece, width: 15 in, ", "80 psi"), "100.0"),
        (assembly("18.4-34", "kind: multi-piece, width: 16 in, ", "80 psi"), "100.0"),
        (assembly("18.4-34", "kind: single piece, width: 15 in, ", "80 psi"), "100.0"),
    ] {
        let job = job(&packs, "", &format!("{this}}}\n  - {{mark: b, {other}"), SIDE, SIDE);
        let found = figure(&packs, &job, Subject::Assembly, FigureId::RimRatingOfAlike);
        assert_eq!(bounds(&found, Unit::Percent, 1), (due.to_owned(), due.to_owned()), "{other}");
    }
}

/// An `x` between width and rim says nothing of the construction: there it is that of the record, and the casing is as thick
/// as under the name that says it.
#[test]
fn the_record_says_the_construction_where_the_size_does_not() {
    let packs = PackSet::base().unwrap();
    let inside = |size: &str, construction: &str| {
        let tyre = format!("tyre: {{size: {size}, ply_rating: 14, state: new{construction}}}");
        let job = job(&packs, "", &tyre, SIDE, SIDE);
        interval(&figure(&packs, &job, Subject::Assembly, FigureId::CavityVolume))
    };
    let (radial, bias) = (inside("10.00R20", ""), inside("10.00-20", ""));
    assert_ne!(radial, bias);
    assert_eq!(inside("10.00x20", ", construction: radial"), radial);
    assert_eq!(inside("10.00x20", ", construction: bias"), bias);
}

/// Dew points over water in degC at a temperature and a relative humidity: MEMORY of psychrometric tables, to a tenth. The
/// formula may be off by as much again, so the ends lie to both sides of it.
#[test]
fn the_dew_point_is_that_of_the_tables() {
    let packs = PackSet::base().unwrap();
    for (air, humidity, table) in [("20", "50", 9.3), ("25", "60", 16.7), ("30", "80", 26.2), ("10", "40", -3.0)] {
        let shop = format!("workspace: {{temperature: {air} degC, humidity: {humidity} %RH}}");
        let job = job(&packs, &shop, "tyre: {state: used}", SIDE, SIDE);
        let found = interval(&figure(&packs, &job, Subject::Job, FigureId::DewPoint));
        let (low, high) = (found.lo().to_f64() - 273.15, found.hi().to_f64() - 273.15);
        assert!(
            low < table - 0.1 && table + 0.1 < high && high - low < 1.0,
            "{air} degC, {humidity} %: {low} to {high}"
        );
    }
}

proptest! {
    #![proptest_config(crate::laws::config())]

    /// The law: doubt makes no figure go missing. However far readings may be off, the dew point is found, and holds
    /// what it was with less doubt.
    #[test]
    fn no_doubt_makes_the_dew_point_go_missing(air in -20_i32..50, humidity in 1_i32..100, less in (0_i32..20, 0_i32..90), more in (0_i32..10, 0_i32..60)) {
        let packs = PackSet::base().unwrap();
        let found = |(of_air, of_humidity): (i32, i32)| {
            let air = format!("{{reading: {air} degC, uncertainty: {of_air}.5 degC}}");
            let humidity = format!("{{reading: {humidity} %RH, uncertainty: {of_humidity}.5 %RH}}");
            let shop = format!("workspace: {{temperature: {air}, humidity: {humidity}}}");
            let job = job(&packs, &shop, "tyre: {state: used}", SIDE, SIDE);
            interval(&figure(&packs, &job, Subject::Job, FigureId::DewPoint))
        };
        let (narrow, wide) = (found(less), found((less.0 + more.0, less.1 + more.1)));
        prop_assert!(wide.lo() <= narrow.lo() && narrow.hi() <= wide.hi(), "{wide:?} for {narrow:?}");
    }
}

/// Of one axle the greater torque over the lesser: 450 lbf.ft are 610.118 N.m (NIST SP 811: 1 lbf.ft = 1.355818 N.m), so
/// 135.6 % of 450 N.m; 610 N.m are the same in whole numbers. Where a mark does not tell the axle there may be two.
#[test]
fn torques_are_compared_of_wheels_on_one_axle() {
    let packs = PackSet::base().unwrap();
    let wheel = |size: &str, torque: &str| format!("tyre: {{size: {size}}}, wheel: {{nut_torque: {torque}}}");
    let (front, bare) = ("unit 4, left front", "unit 4, 1");
    for (mark, other, size, torque, due) in [
        (front, "unit 4, right front", "12-16.5", "450 N.m", "135.6"),
        (front, "unit 4, right front", "12-16.5", "610 N.m", "100.0"),
        (front, "unit 4, right front", "12-16.5", "4500 lbf.ft", "1000.0"),
        (front, "unit 4, right front", "10-16.5", "450 N.m", "100.0"),
        (front, "unit 4, right rear", "12-16.5", "450 N.m", "100.0"),
        (front, "unit 5, right front", "12-16.5", "450 N.m", "100.0"),
        (bare, "unit 4, 3", "12-16.5", "450 N.m", "100.0"),
        ("unit 4, left", "unit 4, right", "12-16.5", "450 N.m", "135.6"),
    ] {
        let two = format!(
            "{}}}\n  - {{mark: \"{mark}\", {}}}\n  - {{mark: \"{other}\", {}",
            wheel("14-17.5", "90 N.m"),
            wheel("12-16.5", "450 lbf.ft"),
            wheel(size, torque)
        );
        let job = job(&packs, "", &two, SIDE, SIDE);
        let entity = &job.of(Subject::Assembly).unwrap()[1];
        let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
        let found = scene.compute(FigureId::TorqueOfAxle, entity);
        assert_eq!(bounds(&found, Unit::Percent, 1), (due.to_owned(), due.to_owned()), "{mark} and {other}: {torque}");
    }
}
