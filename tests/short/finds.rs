//! What a look at the parts finds: the honest answer takes no more writing than the empty one, and says no more and no less.

use fillward::pack::PackSet;
use fillward::record::FactKind;
use fillward::record::shop::sections::{FOUND, NOTHING_FOUND};
use fillward::vocabulary::Verdict;
use serde_json::{Value as Json, json};

use super::{RECORD, SHOP, expanded, judged};
use crate::common;

/// The assembly of the demo's short record whose look found this, and whether the job passes.
fn looked(found: &str, more: &[(&str, &str)]) -> Result<(Json, Verdict), String> {
    let packs = PackSet::base().unwrap();
    let record = common::read(RECORD).replace("found: []", &format!("found: {found}"));
    let record = more.iter().fold(record, |text, (old, new)| {
        assert!(text.contains(old), "there is no `{old}`");
        text.replacen(old, new, 1)
    });
    let made = expanded(&packs, &record, Some(&common::read(SHOP)));
    let made = made.map_err(|faults| {
        let told = faults.iter().map(|fault| format!("{fault}: {}", fault.cure().unwrap_or_default()));
        told.collect::<Vec<_>>().join("; ")
    })?;
    let (verdict, _) = judged(&packs, &made.document);
    Ok((made.document.to_json()["assemblies"][0].clone(), verdict))
}

/// A find: its place in the assembly, the word, also with its part in front, and the value that it means.
struct Written {
    place: String,
    word: String,
    full: String,
    value: Json,
    /// It is one of the words of a list of faults, which alone tell where they were found.
    is_list: bool,
}

fn every_find() -> Vec<Written> {
    let packs = PackSet::base().unwrap();
    let mut all = Vec::new();
    for find in FOUND {
        let spec = packs.catalogue().spec(find.fact).unwrap();
        let mut add = |word: &str, value: Json| {
            all.push(Written {
                place: format!("/{}", spec.name.replace('.', "/")),
                word: word.to_owned(),
                full: format!("{} {word}", find.place),
                value,
                is_list: matches!(spec.kind, FactKind::Choices(_)),
            });
        };
        match (&spec.kind, find.flag) {
            (_, Some((word, value))) => add(word, json!(value)),
            (FactKind::Choices(words), None) => words.iter().for_each(|word| add(word, json!([word]))),
            (FactKind::Choice(words), None) => {
                let faults = words.iter().filter(|word| !NOTHING_FOUND.contains(&(find.fact, word.as_ref())));
                faults.for_each(|word| add(word, json!(word)));
            }
            (kind, _) => panic!("no words for {kind:?}"),
        }
    }
    all
}

#[test]
fn every_find_is_one_word_and_changes_its_own_fact_alone() {
    let (nothing, verdict) = looked("[]", &[]).unwrap();
    assert_eq!(verdict, Verdict::Pass);
    let all = every_find();
    assert!(all.len() > 25, "only {} finds", all.len());
    let mut bare = 0;
    for Written { place, word, full, value, is_list } in &all {
        let mut due = nothing.clone();
        *due.pointer_mut(place).unwrap() = value.clone();
        if word == "water" {
            due["tyre"]["interior"]["dry"] = json!(false);
        }
        let (made, verdict) = looked(&format!("[{full}]"), &[]).unwrap();
        assert_eq!(&made, &due, "{full}");
        // No tyre is seated without lubricant, and a film of it stays.
        let due_verdict = if word == "bead lubricant" { Verdict::Pass } else { Verdict::Hold };
        assert_eq!(verdict, due_verdict, "{full}");
        // Without its part, and without brackets, a word means the same or is asked for its part.
        let twins: Vec<&str> =
            all.iter().filter(|other| other.word == *word).map(|other| other.full.as_str()).collect();
        for written in [format!("[{word}]"), word.clone()] {
            match looked(&written, &[]) {
                Ok((made, _)) => {
                    assert_eq!((twins.len(), *is_list, &made), (1, true, &due), "{written}");
                    bare += 1;
                }
                Err(help) => {
                    assert!(twins.len() > 1 || !is_list, "{written}: {help}");
                    assert!(twins.iter().all(|twin| help.contains(&format!("`{twin}`"))), "{help}");
                }
            }
        }
    }
    assert!(bare >= 40, "only {bare} words mean one thing");
}

#[test]
fn several_finds_stand_beside_one_another() {
    let (made, verdict) = looked("[crack, casing bulge, bend, dirt, rim leaks]", &[]).unwrap();
    assert_eq!(verdict, Verdict::Hold);
    assert_eq!(made["wheel"]["faults"], json!(["crack", "bend"]));
    assert_eq!(made["tyre"]["casing"]["damage"], json!(["bulge"]));
    assert_eq!(made["tyre"]["interior"], json!({"contaminants": ["dirt"], "dry": true}));
    assert_eq!((&made["rim"]["leaks"], &made["valve"]["condition"]), (&json!(true), &json!("sound")));
}

/// What is written out at its own place is what the look found there, whether the list is empty or not.
#[test]
fn what_is_written_out_counts_before_what_was_not_found() {
    let wheel = ("wheel: loader 4 wheel", "wheel: {card: loader 4 wheel, faults: [crack]}");
    let valve = ("    stands:", "    valve: {condition: leaking}\n    stands:");
    for found in ["[]", "[bulge]"] {
        let (made, verdict) = looked(found, &[wheel, valve]).unwrap();
        assert_eq!(verdict, Verdict::Hold);
        assert_eq!((&made["wheel"]["faults"], &made["valve"]["condition"]), (&json!(["crack"]), &json!("leaking")));
        assert_eq!(made["rim"]["leaks"], json!(false));
    }
}

/// What people write who found nothing is told the one way to say so, and that way is taken.
#[test]
fn a_word_for_nothing_is_told_how_nothing_is_written() {
    for word in ["none", "[none]", "OK", "nothing", "[sound]", "n/a"] {
        let help = looked(word, &[]).unwrap_err();
        assert!(help.contains("`found: []`"), "{word}: {help}");
    }
}
