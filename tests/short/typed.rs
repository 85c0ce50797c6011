//! How few values of a record are typed where there is a shop file.

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

/// The time, with its day where it says one, and every number behind it.
fn values_of_row(text: &str) -> usize {
    let behind_time = text.split_whitespace().skip_while(|word| !word.contains(':')).skip(1);
    1 + behind_time.filter(|word| word.starts_with(|c: char| c.is_ascii_digit() || c == '-')).count()
}

#[test]
fn few_values_are_typed() {
    for (text, due) in [("07:45", 1), ("2026-03-03 16:00", 1), ("2026-03-03 16:00 66 psi 73 degF", 3)] {
        assert_eq!(values_of_row(text), due, "{text}");
    }
    let count = |text: &str| typed(&serde_yaml::from_str(text).unwrap());
    let job = |name: &str| count(&common::read(&format!("shared/demo/short/{name}.yaml")));
    // The goals that were set for a prepared shop, before air and before fill together: 45 for a used tyre, 60 for a new
    // one, 30 more for three like tyres, and 10 for what is good for all jobs of a day.
    let (used, new) = (job("pass-loader-bias-used"), job("pass-quarry-loader-radial-new"));
    let three_more = count(&with_like_tyres()) - used;
    let shop: serde_yaml::Value = serde_yaml::from_str(&common::read(SHOP)).unwrap();
    let days: Vec<usize> = shop["days"].as_sequence().unwrap().iter().map(typed).collect();
    println!(
        "a used tyre: {used} values; a new one: {new}; three like the used one: {three_more} more; days: {days:?}"
    );
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
        println!("{name}: {} values, {further} rows of stretches more than four", job(name));
        assert!(job(name) <= most + 3 * further, "{name}: {} values", job(name));
    }
    assert!(used <= 45, "a used tyre takes {used} values");
    assert!(new <= 60, "a new tyre takes {new} values");
    assert!(three_more <= 30, "three like tyres take {three_more} values");
    // What is written once the pump has stopped: twelve values after the fill, and ten before service.
    let carried = |name: &str| count(&common::read(&format!("shared/demo/carried-short/{name}.yaml")));
    let [before, after, service] = ["2-before-fill", "3-after-fill", "4-before-service"].map(carried);
    println!("after the fill {} values more, before service {}", after - before, service - after);
    assert!(after > before && after - before <= 12, "{}", after - before);
    assert!(service > after && service - after <= 10, "{}", service - after);
    assert!(days[0] <= 10, "the sheet of a day takes {} values", days[0]);
    // Of several tyres of one job those behind the first are like it.
    for name in ["pass-skid-steer-new-pair", "pass-trailer-radial-used"] {
        let record: serde_yaml::Value =
            serde_yaml::from_str(&common::read(&format!("shared/demo/short/{name}.yaml"))).unwrap();
        let more = record["assemblies"].as_sequence().unwrap().iter().skip(1);
        assert!(more.clone().count() > 0 && more.clone().all(|one| one.get("like").is_some()), "{name}");
    }
}
