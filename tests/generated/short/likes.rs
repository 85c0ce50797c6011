//! Assemblies of a short record that are like one before them.

use serde_yaml::Value;

use super::trees::{forget, list_mut, without};

/// One more assembly that is like one before it, those that say most of the same first.
pub(super) fn likes(short: &Value) -> Vec<Value> {
    let found = [
        "{bench: {at: , found: }}",
        "{tyre: {ran_flat: , interior: }}",
        "{mounting: }",
        "{rim: {ring_gap: , seal_ring: }}",
        "{valve: }",
        "{stands: }",
        "{seated: }",
        "{pre_stretch: {log: }}",
    ];
    let own: Vec<Value> = found.map(|text| serde_yaml::from_str(text).unwrap()).to_vec();
    let pairs = (1..short["assemblies"].as_sequence().map_or(0, Vec::len))
        .flat_map(|other| (0..other).map(move |first| (first, other)));
    let like = |(first, other): (usize, usize)| {
        let mut made = short.clone();
        let assemblies = list_mut(&mut made, "assemblies");
        let mut facts = Value::Mapping(without(assemblies.get(first)?.as_mapping()?, &["mark"]));
        let mark = assemblies.get(first)?["mark"].clone();
        // Nothing is like what is like another one itself.
        let other = assemblies.get_mut(other).filter(|other| other.get("like").or(facts.get("like")).is_none())?;
        for own in &own {
            forget(&mut facts, own);
        }
        forget(other, &facts);
        other["like"] = mark;
        Some(made)
    };
    let mut candidates: Vec<Value> = pairs.filter_map(like).collect();
    candidates.sort_by_key(|made| serde_yaml::to_string(made).map_or(0, |text| text.len()));
    candidates
}
