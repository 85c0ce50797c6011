//! What is done about a figure: nobody sets it.

use super::{told, ways, with_remedy};

/// A figure is not set: what it is made of moves, another instrument is taken, and what it lacks is recorded.
#[test]
fn a_figure_moves_by_what_it_is_made_of() {
    let ceiling = [("each assembly", "{assembly.figure.pressure_ceiling: {at_least: 67 psi}}")];
    let gauges = "gauges: [{mark: G1, uncertainty: 4 psi}, {mark: G2, uncertainty: 1 psi}]";
    let assembly = |rest: &str| {
        format!(
            "{gauges}\nassemblies: [{{mark: a, tyre: {{sidewall_maximum: 80 psi}}, rim: {{rating: 70 psi}}, {rest}}}]"
        )
    };
    // The ceiling is 70 less 4 psi: the finer gauge is taken. What the rim is stamped with is read, and not raised.
    let wheel = "wheel: {rating: 90 psi}, target: {pressure: 62 psi, gauge: G1, operating_pressure: 62 psi}";
    let gauge = "assembly.target.gauge becomes G2";
    assert_eq!(ways(&ceiling, &assembly(wheel)), [gauge]);
    // Where no other gauge is there, the stamp is read again: it says one more, within a few per cent.
    let one_gauge = assembly(wheel).replace(", {mark: G2, uncertainty: 1 psi}", "");
    let [found] = &ways(&ceiling, &one_gauge)[..] else { panic!("one way") };
    let rim = found.strip_prefix("assembly.rim.rating read again, up to ").and_then(|text| text.strip_suffix(" psi"));
    assert!((71.0..73.2).contains(&rim.unwrap().parse::<f64>().unwrap()), "{found}");
    // A limit that the site has set itself is kept.
    let limited =
        assembly(&wheel.replace("target: {", "target: {local_limit: 69 psi, ")).replace("rating: 70", "rating: 90");
    assert_eq!(ways(&ceiling, &limited), [gauge]);
    assert_eq!(ways(&ceiling, &limited.replace(", {mark: G2, uncertainty: 1 psi}", "")), [""; 0]);
    // What is missing first; the examples of the catalogue leave room enough.
    let found = ways(&ceiling, &assembly("target: {pressure: 62 psi, gauge: G2, operating_pressure: 62 psi}"));
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].starts_with("assembly.wheel.rating recorded, such as "), "{found:?}");
    // What a log shows has happened.
    let rows = "[{at: 2026-03-01T00:00:00Z, pressure: 62 psi, air: 75 degF}, {at: 2026-03-01T10:00:00Z, pressure: 62 psi, air: 75 degF}]";
    let held = [("each assembly", "{assembly.figure.pre_stretch_time: {at_least: 24 h}}")];
    assert_eq!(ways(&held, &assembly(&format!("target: {{pressure: 60 psi}}, pre_stretch: {{log: {rows}}}"))), [""; 0]);
}

/// On the other side of a comparison a figure moves likewise.
#[test]
fn a_figure_to_compare_with_moves_too() {
    let under = [("each assembly", "{assembly.target.pressure: {at_most: {fact: assembly.figure.pressure_ceiling}}}")];
    let record = "gauges: [{mark: G1, uncertainty: 4 psi}]\nassemblies: [{mark: a, tyre: {sidewall_maximum: 80 psi}, \
                  rim: {rating: 70 psi}, wheel: {rating: 90 psi}, target: {pressure: 68 psi, gauge: G1, operating_pressure: 62 psi}}]";
    let found = ways(&under, record);
    assert_eq!(found, ["assembly.target.pressure down to 62 psi"]);
}

/// A figure that is made of one fact goes with it in proportion: 60 psi are 98 % of 61.2245 psi. What the load needs is
/// never made less.
#[test]
fn a_figure_of_one_fact_is_reached_at_once() {
    let floor = |test: &str| format!("{{assembly.figure.pressure_floor: {{{test}}}}}");
    let of_load = |pressure: &str| format!("assemblies: [{{mark: a, target: {{operating_pressure: {pressure}}}}}]");
    let found = |test: &str, record: &str| ways(&[("each assembly", &floor(test))], &of_load(record));
    let up = "assembly.target.operating_pressure read again, up to 61.23 psi";
    assert_eq!(found("at_least: 60 psi", "50 psi"), [up]);
    assert_eq!(found("at_most: 49 psi", "62 psi"), [""; 0]);
}

/// A target goes into its window, whichever of the two ends it missed: from 98 % of what the load needs to the lowest rating
/// less the gauge's doubt.
#[test]
fn a_target_is_moved_into_its_window() {
    let shown = |test: &str| format!("{{assembly.figure.target_shown: {{{test}}}}}");
    let not_above = shown("at_most: {fact: assembly.figure.pressure_ceiling}");
    let not_below = shown("at_least: {fact: assembly.figure.pressure_floor}");
    let record = |target: &str, load: &str, rim: &str| {
        format!(
            "gauges: [{{mark: G1, uncertainty: 4 psi}}]\nassemblies: [{{mark: a, tyre: {{sidewall_maximum: 80 psi}}, rim: {{rating: {rim}}}, \
             wheel: {{rating: 90 psi}}, target: {{pressure: {target}, gauge: G1, operating_pressure: {load}}}}}]"
        )
    };
    let way = |demand: &str, target: &str, load: &str, rim: &str| {
        ways(&[("each assembly", demand)], &record(target, load, rim))
    };
    let window = "assembly.target.pressure from 58.8 psi to 66 psi, such as";
    assert_eq!(way(&not_above, "68 psi", "60 psi", "70 psi"), [format!("{window} 66 psi")]);
    assert_eq!(way(&not_below, "50 psi", "60 psi", "70 psi"), [format!("{window} 58.8 psi")]);
    // One pressure is a window, too; where floor and ceiling cross there is none, and what was read is looked at.
    let one = "assembly.target.pressure from 49 psi to 49 psi, such as 49 psi";
    assert_eq!(way(&not_below, "45 psi", "50 psi", "53 psi"), [one]);
    let crossed = way(&not_below, "50 psi", "70 psi", "70 psi");
    assert!(!crossed.iter().any(|way| way.contains(" from ")), "{crossed:?}");
}

/// A target at an end of its window lies in it, and nobody is told to move it; what else is the matter stays the matter.
#[test]
fn a_target_at_an_end_of_its_window_stays() {
    let demand = "{all: [{assembly.figure.target_shown: {at_most: {fact: assembly.figure.pressure_ceiling}}}, \
                  {assembly.tyre.size: {is: 12-16.5}}]}";
    let first = |target: &str| {
        let record = format!(
            "gauges: [{{mark: G1, uncertainty: 4 psi}}]\nassemblies: [{{mark: a, tyre: {{size: 18.4-34, sidewall_maximum: 80 psi}}, \
             rim: {{rating: 70 psi}}, wheel: {{rating: 90 psi}}, target: {{pressure: {target}, gauge: G1, operating_pressure: 60 psi}}}}]"
        );
        with_remedy(&[("each assembly", demand)], &record, |scene, remedy| {
            assert!(remedy.ways.is_empty(), "{target}");
            remedy.first.as_ref().map(|act| told(scene.packs(), act))
        })
    };
    for inside in ["58.8 psi", "62 psi", "66 psi"] {
        assert_eq!(first(inside), None, "{inside}");
    }
    let window = "assembly.target.pressure from 58.8 psi to 66 psi, such as";
    assert_eq!(first("58.79 psi"), Some(format!("{window} 58.8 psi")));
    assert_eq!(first("66.01 psi"), Some(format!("{window} 66 psi")));
}
