//! How few values of a record are typed where there is a shop file.

use fillward::explain::Report;
use fillward::pack::PackSet;

use super::{SHOP, with_like_tyres};
use crate::common;

/// How many values a hand writes: scalars, the words of a list, and one tick for an empty list. A row of a log on one line
/// is as many as it says: its time, and each reading. The first line says only what file it is.
pub(super) fn typed(value: &serde_yaml::Value) -> usize {
    match value {
        serde_yaml::Value::Mapping(map) => map.iter().filter(|(key, _)| *key != "record").map(|(_, v)| typed(v)).sum(),
        serde_yaml::Value::Sequence(items) if items.is_empty() => 1,
        serde_yaml::Value::Sequence(items) => items.iter().map(typed).sum(),
        serde_yaml::Value::String(text) if text.contains(':') => values_of_row(text),
        _ => 1,
    }
}

/// Whether the record of a job must say when air went in.
fn says_when_air_went_in(packs: &PackSet, name: &str) -> bool {
    let document = common::document(&format!("shared/demo/jobs/{name}.yaml"));
    let asked = |report: &Report<'_>| report.start_phrase().is_some_and(|said| said.contains("`acts.air`"));
    common::with_report(packs, &document, common::demo_at(), asked)
}

/// The time, with its day where it says one, and every number behind it.
fn values_of_row(text: &str) -> usize {
    let behind_time = text.split_whitespace().skip_while(|word| !word.contains(':')).skip(1);
    1 + behind_time.filter(|word| word.starts_with(|c: char| c.is_ascii_digit() || c == '-')).count()
}

/// When the hold point before was acted on: one value for one tyre.
const ACT: usize = 1;

/// What is written on the sheet of a day: its day, the round with its time and person, when and with what the drums were
/// read, both of them, and the air; where the data sheet asks for the humidity that too. What was found otherwise than on
/// the round comes besides.
#[test]
fn the_sheet_of_a_day_takes_ten_values() {
    let shop: serde_yaml::Value = serde_yaml::from_str(&common::read(SHOP)).unwrap();
    let mut humid = 0;
    for sheet in shop["days"].as_sequence().unwrap() {
        let place = sheet["round"]["mark"].as_str().unwrap();
        let mut plain = sheet.clone();
        plain.as_mapping_mut().unwrap().shift_remove("crew");
        for (_, lot) in plain["lots"].as_mapping_mut().unwrap() {
            lot.as_mapping_mut().unwrap().shift_remove("moisture_guard");
        }
        let otherwise = typed(sheet) - typed(&plain);
        println!("{place}: {} values of the day, {otherwise} found otherwise", typed(&plain));
        assert!(typed(&plain) <= 10, "{place}: {}", typed(&plain));
        humid += usize::from(sheet["workspace"].get("humidity").is_some());
    }
    assert_eq!(humid, 1, "one place has a data sheet that asks for the humidity");
}

#[test]
fn few_values_are_typed() {
    for (text, due) in [("07:45", 1), ("2026-03-03 16:00", 1), ("2026-03-03 16:00 66 psi 73 degF", 3)] {
        assert_eq!(values_of_row(text), due, "{text}");
    }
    let packs = PackSet::base().unwrap();
    let count = |text: &str| typed(&serde_yaml::from_str(text).unwrap());
    let job = |name: &str| count(&common::read(&format!("shared/demo/short/{name}.yaml")));
    // The goals that were set for a prepared shop, before air and before fill together: 45 for a used tyre, 60 for a new
    // one, 30 more for three like tyres, and 10 for what is good for all jobs of a day.
    let (used, new) = (job("pass-loader-bias-used"), job("pass-quarry-loader-radial-new"));
    let three_more = count(&with_like_tyres()) - used;
    // The air of a new tyre went in days before, and its record says when.
    let new = new + ACT;
    println!("a used tyre: {used} values; a new one: {new}; three like the used one: {three_more} more");
    // Six more jobs: for the first tyre what its state allows, and ten more for each that is like it. A stretch needs four
    // rows of a time and two readings, eight hours apart; each row more, and each of a further tyre, is three values more.
    for (name, most) in [
        ("pass-baggage-tug-bolt-together", 45),
        ("pass-telehandler-on-the-vehicle", 45),
        ("pass-forklift-tube-type-new", 60),
        ("pass-super-single-metric", 60),
        ("pass-trailer-radial-used", 45 + 10),
        ("pass-skid-steer-new-pair", 60 + 10),
        ("pass-four-assemblies", 60 + 30),
    ] {
        let record: serde_yaml::Value =
            serde_yaml::from_str(&common::read(&format!("shared/demo/short/{name}.yaml"))).unwrap();
        let rows =
            |one: &serde_yaml::Value| one.get("pre_stretch").map_or(0, |of| of["log"].as_sequence().unwrap().len());
        let assemblies = record["assemblies"].as_sequence().unwrap();
        let further = assemblies.iter().map(rows).sum::<usize>().saturating_sub(4);
        let acts = if says_when_air_went_in(&packs, name) { assemblies.len() * ACT } else { 0 };
        let values = job(name) + acts;
        println!("{name}: {values} values, {further} rows of stretches more than four");
        assert!(values <= most + 3 * further, "{name}: {values} values");
    }
    assert!(used <= 45, "a used tyre takes {used} values");
    assert!(new <= 60, "a new tyre takes {new} values");
    assert!(three_more <= 30, "three like tyres take {three_more} values");
    // What is written once the pump has stopped: twelve values after the fill, and ten before service; in each of them when
    // the hold point before was acted on, which the signature asks for.
    let carried = |name: &str| count(&common::read(&format!("shared/demo/carried-short/{name}.yaml")));
    for job in ["", "metric-", "vehicle-"] {
        let [before, after, service] =
            ["2-before-fill", "3-after-fill", "4-before-service"].map(|name| carried(&format!("{job}{name}")));
        let (after_fill, before_service) = (after + ACT - before, service + ACT - after);
        println!("{job}: after the fill {after_fill} values more, before service {before_service}");
        assert!(after > before && after_fill <= 12, "{job} {after_fill}");
        assert!(service > after && before_service <= 10, "{job} {before_service}");
    }
    // Of several tyres of one job those behind the first are like it.
    for name in ["pass-skid-steer-new-pair", "pass-trailer-radial-used"] {
        let record: serde_yaml::Value =
            serde_yaml::from_str(&common::read(&format!("shared/demo/short/{name}.yaml"))).unwrap();
        let more = record["assemblies"].as_sequence().unwrap().iter().skip(1);
        assert!(more.clone().count() > 0 && more.clone().all(|one| one.get("like").is_some()), "{name}");
    }
}
