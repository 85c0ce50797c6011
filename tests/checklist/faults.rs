//! Faults of a signed file: gathered by rule and by what was shown, and in one way only.

use std::collections::BTreeSet;

use fillward::checklist::verify::verify;
use fillward::engine::{Finding, Scene};
use serde_json::{Value, json};

use super::evidence::{content, resigned};
use crate::common;
use crate::shop::{Shop, codes};

/// A job without a crew and without the stock: one thing that is missing leaves many rules open.
const BLANK: &str = "shared/demo/jobs/hold-crew-and-stock-blank.yaml";

fn groups(body: &mut Value) -> &mut Vec<Value> {
    body["findings"]["faults"].as_array_mut().unwrap()
}

/// The law: the groups say, one by one, what the judgement found, and no two groups could be one.
#[test]
fn groups_are_what_was_found() {
    let shop = Shop::new();
    let (mut rules, mut shared, mut beside) = (0, 0, 0);
    for path in common::files("shared/demo/jobs", ".yaml") {
        let record = common::read(&path);
        if !record.lines().any(|line| line.starts_with("job: ")) {
            continue;
        }
        let (body, _) = shop.make(&record, |_| {});
        let job = common::job(&shop.set, &path);
        let scene = Scene::new(&shop.set, &job, common::demo_at(), &common::demo_zone());
        let told = |finding: &Finding| {
            let place = scene.place(finding);
            let place = if place.is_root() { String::new() } else { place.to_string() };
            (scene.code_of(finding), place, finding.outcome)
        };
        let judgement = scene.judge();
        let mut found: Vec<_> =
            judgement.findings.iter().filter(|finding| finding.outcome.is_fault()).map(told).collect();
        found.sort();
        let each = body.findings.each_fault();
        let named: Vec<_> =
            each.iter().map(|fault| (fault.rule.clone(), fault.subject.clone(), fault.outcome)).collect();
        assert_eq!(named, found, "{path}");
        let apart: BTreeSet<String> = body
            .findings
            .faults
            .iter()
            .map(|group| {
                let mut said = serde_json::to_value(group).unwrap();
                said.as_object_mut().unwrap().remove("of");
                said.to_string()
            })
            .collect();
        assert_eq!(apart.len(), body.findings.faults.len(), "{path}");
        let cases: BTreeSet<String> =
            body.findings.faults.iter().flat_map(|group| &group.of).map(|of| format!("{of:?}")).collect();
        let outcomes: BTreeSet<&str> = body.findings.faults.iter().map(|group| group.outcome.word()).collect();
        let told: usize = body.findings.faults.iter().map(|group| group.of.len()).sum();
        assert!(told <= cases.len() * outcomes.len() * 2, "{path}");
        rules += each.len();
        beside += told - body.findings.faults.len();
        shared += each.len() - told;
    }
    assert!(
        rules > 300 && shared > 12 && beside > 12,
        "{rules} rules, {shared} of them beside others, {beside} subjects beside others"
    );
}

/// The law: there is one way to gather faults, and a file in which they are gathered otherwise is not in order.
#[test]
fn faults_are_gathered_in_one_way() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = common::read(BLANK);
    let honest = content(&shop, &record);
    let several = honest["findings"]["faults"]
        .as_array()
        .unwrap()
        .iter()
        .position(|group| group["rules"].as_object().unwrap().len() > 5)
        .unwrap();
    let parted = |body: &mut Value, names: usize| {
        let mut rest = groups(body)[several].clone();
        let rules = rest["rules"].as_object_mut().unwrap();
        let taken: Vec<String> = rules.keys().take(names).cloned().collect();
        let taken: serde_json::Map<String, Value> =
            taken.into_iter().map(|name| (name.clone(), rules.remove(&name).unwrap())).collect();
        groups(body)[several]["rules"] = Value::Object(taken);
        groups(body).insert(several + 1, rest);
    };
    for (what, change) in [
        ("one taken out", &(|body: &mut Value| parted(body, 1)) as &dyn Fn(&mut Value)),
        ("two taken out", &|body| parted(body, 2)),
        ("in another order", &|body| groups(body).swap(0, 1)),
        ("the other way round", &|body| groups(body).reverse()),
        ("twice", &|body| {
            let first = groups(body)[0].clone();
            groups(body).push(first);
        }),
        ("a subject of its own", &|body| {
            let mut rest = groups(body)[several].clone();
            let of = groups(body)[several]["of"].as_object_mut().unwrap();
            let first = of.keys().next().unwrap().clone();
            rest["of"] = json!({first.clone(): of.remove(&first).unwrap()});
            groups(body).insert(several, rest);
        }),
        ("without a subject", &|body| groups(body)[several]["of"] = json!({})),
        ("without a rule", &|body| groups(body)[several]["rules"] = json!({})),
        ("with an empty group", &|body| {
            let mut last = groups(body)[0].clone();
            last["rules"] = json!({});
            groups(body).push(last);
        }),
    ] {
        let mut forged = honest.clone();
        change(&mut forged);
        assert_ne!(forged, honest, "{what}");
        let report = verify("f", &resigned(&forged), &shop.question(&trust, &record));
        assert!(codes(&report).contains(&"content"), "{what}: {:?}", codes(&report));
    }
}
