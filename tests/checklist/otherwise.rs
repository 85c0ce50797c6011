//! Bodies under another program edition: nothing but values of figures may differ, and each that does is told.

use fillward::checklist::evidence::{EvidenceLine, NotSo, WrittenBound, WrittenOrigin, WrittenValue};
use fillward::checklist::verify::{Verification, verify};
use fillward::pack::test::WasAsked;
use serde_json::{Value, json};

use super::evidence::{content, other, places, resigned};
use crate::shop::{Shop, codes, held, passing};

/// Another number of the same unit, or another instant.
fn another(text: &str) -> Option<String> {
    let more = |number: &String| {
        let (whole, rest) = number.split_at(number.find(['.', '/']).unwrap_or(number.len()));
        Some(format!("{}{rest}", whole.parse::<i64>().ok()? + 1))
    };
    Some(match WrittenValue::read(text)? {
        WrittenValue::Number { shown, ends, unit } => {
            let shown = shown.as_ref().map(more);
            let ends = match ends.as_ref() {
                Some([low, high]) => Some([more(low)?, more(high)?]),
                None => None,
            };
            WrittenValue::Number { shown: shown.flatten(), ends, unit }.to_string()
        }
        WrittenValue::Moment(text) if text.len() == 5 => format!("23:{}", text.split_once(':')?.1),
        WrittenValue::Moment(text) => text.replacen("20", "21", 1),
        _ => return None,
    })
}

/// A body by another edition.
fn by_another(honest: &Value) -> Value {
    let mut body = honest.clone();
    body["program"]["edition"] = json!("0.0.9");
    body
}

/// The places of the figures that a line names, in the list of figures.
fn figures_in(body: &Value, line: &str) -> Vec<String> {
    let all = body["figures"].as_object().unwrap();
    let rows = all.iter().flat_map(|(of, rows)| rows.as_object().unwrap().keys().map(move |name| (of, name)));
    let is_named = |name: &str| {
        line.split([' ', ',']).any(|word| word.rsplit_once("figure.").is_some_and(|(_, figure)| figure == name))
    };
    rows.filter(|(_, name)| is_named(name))
        .map(|(of, name)| format!("/figures/{}/{name}", of.replace('/', "~1")))
        .collect()
}

/// Every text that says something else than a line in one part of it, with the value that it says instead, if it is one.
fn changed(line: &str) -> Vec<(String, Option<String>)> {
    let read = EvidenceLine::read(line).unwrap_or_else(|| panic!("{line}"));
    let mut found: Vec<(String, Option<String>)> = Vec::new();
    let values = |value: &WrittenValue| -> Vec<WrittenValue> {
        let number = another(&value.to_string()).and_then(|text| WrittenValue::read(&text));
        let unit = match value {
            WrittenValue::Number { shown, ends, unit } if unit == "psi" => {
                Some(WrittenValue::Number { shown: shown.clone(), ends: ends.clone(), unit: "kPa".to_owned() })
            }
            _ => None,
        };
        let text = WrittenValue::Text("the fill may start".to_owned());
        number
            .into_iter()
            .chain(unit)
            .chain([text, WrittenValue::Null, WrittenValue::Flag(true)])
            .filter(|v| v != value)
            .collect()
    };
    let mut tell = |change: &mut dyn FnMut(&mut EvidenceLine), value: Option<&WrittenValue>| {
        let mut line = read.clone();
        change(&mut line);
        found.push((line.to_string(), value.map(ToString::to_string)));
    };
    tell(&mut |line| line.fact.push('x'), None);
    tell(&mut |line| line.asked.clear(), None);
    for (place, value) in read.values.iter().enumerate() {
        for value in values(value) {
            tell(&mut |line| line.values[place] = value.clone(), Some(&value));
        }
    }
    for (place, asked) in read.asked.iter().enumerate() {
        tell(&mut |line| line.asked[place].test = WasAsked::find("is_not").unwrap(), None);
        tell(
            &mut |line| {
                line.asked[place].not_so =
                    Some(if asked.not_so == Some(NotSo::False) { NotSo::Unknown } else { NotSo::False });
            },
            None,
        );
        for (of, WrittenBound { value, origins }) in asked.bounds.iter().enumerate() {
            tell(&mut |line| line.asked[place].bounds[of].origins.push(WrittenOrigin::Limit("most".to_owned())), None);
            for origin in 0..origins.len() {
                tell(&mut |line| drop(line.asked[place].bounds[of].origins.remove(origin)), None);
            }
            for value in value.iter().flat_map(values) {
                tell(&mut |line| line.asked[place].bounds[of].value = Some(value.clone()), Some(&value));
            }
        }
    }
    found.retain(|(text, _)| text != line);
    found
}

/// Whether a change is found: the file is in doubt, or the value is told with the one that comes out now.
fn is_found(report: &Verification, value: Option<&str>) -> bool {
    let told = report.otherwise.iter().any(|one| Some(one.then.as_str()) == value && one.then != one.now);
    codes(report).contains(&"judged-otherwise") || codes(report).contains(&"content") || told
}

/// The law: whatever else is said otherwise with it, no part of any line is taken unread, whatever edition the file
/// names and whatever its list of figures says.
#[test]
fn no_part_of_a_line_goes_unread_under_another_edition() {
    let shop = Shop::new();
    let trust = shop.trust();
    for (record, least) in [(passing(), 900), (held(), 900)] {
        let honest = content(&shop, &record);
        let question = shop.question(&trust, &record);
        let mut leaves = Vec::new();
        places(&honest["findings"], "", &mut leaves);
        let mut tried = 0;
        for at in leaves {
            let pointer = format!("/findings{at}");
            let Some(text) = honest.pointer(&pointer).and_then(Value::as_str) else { continue };
            if EvidenceLine::read(text).is_none_or(|read| read.asked.is_empty() && read.values.is_empty()) {
                continue;
            }
            let mut body = by_another(&honest);
            for figure in figures_in(&honest, text) {
                let row = body.pointer_mut(&figure).unwrap();
                if let Some(moved) = row.as_str().and_then(another) {
                    *row = json!(moved);
                }
            }
            for (forged, value) in changed(text) {
                let mut body = body.clone();
                *body.pointer_mut(&pointer).unwrap() = json!(forged);
                let report = verify("f", &resigned(&body), &question);
                assert!(
                    is_found(&report, value.as_deref()),
                    "{pointer}: `{text}` as `{forged}`: {:?}",
                    report.otherwise
                );
                tried += 1;
            }
        }
        assert!(tried > least, "{tried} tried");
    }
}

/// Every other member is compared under another edition as under this one, and every figure is told with both values.
#[test]
fn another_edition_is_another_edition_in_its_figures_alone() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = passing();
    let honest = by_another(&content(&shop, &record));
    let question = shop.question(&trust, &record);
    assert!(verify("f", &resigned(&honest), &question).may_start());
    let mut leaves = Vec::new();
    places(&honest, "", &mut leaves);
    for at in leaves.iter().filter(|at| !at.starts_with("/figures/")) {
        let mut forged = honest.clone();
        let value = forged.pointer_mut(at).unwrap();
        *value = other(at, value);
        let report = verify("f", &resigned(&forged), &question);
        let is_open = ["/program/build", "/program/edition", "/inputs/record/name"].contains(&at.as_str());
        assert_eq!(report.may_start(), is_open, "{at}: {:?}", codes(&report));
    }
    // All figures moved at once: each is told, and nothing else.
    let mut moved = honest.clone();
    let mut due = Vec::new();
    for at in leaves.iter().filter(|at| at.starts_with("/figures/")) {
        let row = moved.pointer_mut(at).unwrap();
        let before = row.as_str().unwrap().to_owned();
        if let Some(then) = another(&before) {
            due.push((then.clone(), before));
            *row = json!(then);
        }
    }
    assert!(due.len() > 20, "{due:?}");
    let report = verify("f", &resigned(&moved), &question);
    assert!(report.may_start(), "{:?}", report.reasons().collect::<Vec<_>>());
    let told: Vec<(String, String)> = report.otherwise.iter().map(|one| (one.then.clone(), one.now.clone())).collect();
    assert_eq!(told, due);
    // A figure is a value of its own sort and unit, and one that was computed is no reason why it could not be.
    let row = "/figures/assemblies[0]/tyre_maximum";
    assert_eq!(honest.pointer(row).unwrap(), "70 psi");
    for (then, taken) in [
        ("170 psi", true),
        ("[69.5, 70.5] psi", true),
        ("70.0001 psi", true),
        ("170 kPa", false),
        ("170", false),
        ("[71, 69] psi", false),
        ("Signed by the owner: the fill may start", false),
        ("'70 psi'", false),
        ("null assembly.tyre.pressure", false),
        ("obstacle no-parts", false),
        ("2026-03-04", false),
        ("true", false),
        ("1e3 psi", false),
        ("170 psi <= 300 psi", false),
    ] {
        let mut body = honest.clone();
        *body.pointer_mut(row).unwrap() = json!(then);
        let report = verify("f", &resigned(&body), &question);
        let told: Vec<_> =
            report.otherwise.iter().map(|one| (one.place.as_str(), one.then.as_str(), one.now.as_str())).collect();
        let due = if taken { vec![("assemblies[0].figure.tyre_maximum", then, "70 psi")] } else { vec![] };
        assert_eq!((report.may_start(), told), (taken, due), "{then}");
    }
}

/// A regulator that is set far too high in the evidence, over a harmless one in the record, under whatever edition.
#[test]
fn a_recorded_value_is_the_records_under_every_edition() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = passing();
    let honest = content(&shop, &record);
    let question = shop.question(&trust, &record);
    let mut all = Vec::new();
    places(&honest["findings"]["values"], "/findings/values", &mut all);
    let regulator =
        |at: &&String| honest.pointer(at).unwrap().as_str().unwrap().starts_with("air_stage.regulator 60 psi ");
    let at = all.iter().find(regulator).unwrap();
    let forged = honest.pointer(at).unwrap().as_str().unwrap().replacen("60 psi", "600 psi", 1);
    for edition in ["0.0.9", "0.2.0", "9.9.9"] {
        let mut body = honest.clone();
        body["program"]["edition"] = json!(edition);
        body["figures"]["assemblies[0]"]["lowest_rating"] = json!("70.0001 psi");
        assert!(verify("f", &resigned(&body), &question).may_start());
        *body.pointer_mut(at).unwrap() = json!(forged);
        assert_eq!(codes(&verify("f", &resigned(&body), &question)), ["judged-otherwise"], "{edition}");
    }
}

/// A rule of the job by which every tyre is light enough for the lifting gear: it names the figure of each tyre by its
/// place.
const EACH_IS_LIFTED: &str = "\
pack: 1
name: yard
edition: \"1\"
title: Rules of a test
examples_at: 2026-03-04T09:30:00-06:00
rules:
  lifted:
    title: A tyre is too heavy
    covers: job
    demands:
      for_each: {of: assembly, meets: {handling.capacity: {at_least: {fact: assembly.figure.filled_mass}}}}
    why: It falls.
    air: {stays: nothing is touched}
    put_right: Take other gear.
    source: {kind: local code, cite: invented for this test}
    on_fault: hold
    permit: none
    examples: {passes: [{says: none}], holds: [{says: none}]}
";

/// A figure that is a bound by itself may be another one under another edition where the list of figures and the line
/// say the same of it, from whatever subject the line names it; told once, and by the list.
#[test]
fn a_figure_that_is_a_bound_is_the_one_of_the_list() {
    let shop = Shop::with(&[EACH_IS_LIFTED]);
    let trust = shop.trust();
    let record = passing().replacen("capacity: 6000 lb", "capacity: 100 lb", 1);
    let honest = by_another(&content(&shop, &record));
    let question = shop.question(&trust, &record);
    let row = "/figures/assemblies[0]/filled_mass";
    let listed = honest.pointer(row).unwrap().as_str().unwrap().to_owned();
    let mut leaves = Vec::new();
    places(&honest["findings"]["faults"], "/findings/faults", &mut leaves);
    let is_bound = |line: &EvidenceLine, place: &str| {
        let bounds = line.asked.iter().flat_map(|asked| &asked.bounds);
        let mut alone = bounds.filter(|bound| bound.value.is_some() && bound.origins.len() == 1);
        alone.any(|bound| bound.origins[0] == WrittenOrigin::Place(place.to_owned()))
    };
    // Every line that names the figure, with the bound moved as often as is asked.
    let moved = |of_list: usize, of_line: usize| {
        let times = |text: &str, count: usize| (0..count).fold(text.to_owned(), |text, _| another(&text).unwrap());
        let mut body = honest.clone();
        *body.pointer_mut(row).unwrap() = json!(times(&listed, of_list));
        let mut named = Vec::new();
        for at in &leaves {
            let text = body.pointer(at).unwrap().as_str().unwrap_or_default().to_owned();
            let Some(mut line) = EvidenceLine::read(&text) else { continue };
            for place in [".figure.filled_mass", "assemblies[0].figure.filled_mass"] {
                if is_bound(&line, place) {
                    named.push(place);
                    let value = line.asked[0].bounds[0].value.as_mut().unwrap();
                    *value = WrittenValue::read(&times(&value.to_string(), of_line)).unwrap();
                    *body.pointer_mut(at).unwrap() = json!(line.to_string());
                }
            }
        }
        named.sort_unstable();
        assert_eq!(named, [".figure.filled_mass", "assemblies[0].figure.filled_mass"]);
        let report = verify("f", &resigned(&body), &question);
        let told: Vec<String> = report.otherwise.iter().map(|one| one.place.clone()).collect();
        (codes(&report).contains(&"judged-otherwise"), told)
    };
    assert_eq!(moved(0, 0), (false, vec![]));
    assert_eq!(moved(1, 1), (false, vec!["assemblies[0].figure.filled_mass".to_owned()]));
    assert_eq!(moved(2, 2), (false, vec!["assemblies[0].figure.filled_mass".to_owned()]));
    for (of_list, of_line) in [(0, 1), (1, 0), (1, 2), (2, 1)] {
        assert!(moved(of_list, of_line).0, "{of_list} and {of_line}");
    }
}
