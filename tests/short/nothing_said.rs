//! A key with nothing after its colon says as much as no key: whatever value of a record or of its shop file is taken out,
//! the job is judged alike, or refused alike, whether its key stays or goes.

use std::fmt::Write as _;

use fillward::document::Document;
use fillward::pack::PackSet;
use fillward::record::shop::Shop;
use fillward::vocabulary::HoldPoint;
use serde_yaml::Value;

use super::{SHOP, expanded_with, judged_at};
use crate::common;
use crate::common::tree::{Step, name, paths, with, without};

/// What comes of a record beside a shop file: the findings, or the codes of the faults.
fn comes_of(packs: &PackSet, record: &Value, shop: &Value, point: HoldPoint) -> String {
    let text = |tree: &Value| serde_yaml::to_string(tree).unwrap();
    let shop = Document::read("shop.yaml", text(shop).as_bytes()).and_then(Shop::read_part);
    match shop.and_then(|shop| expanded_with(packs, &text(record), Some(&shop))) {
        Ok(made) => format!("{:?}", judged_at(packs, &made.document, point, common::demo_at())),
        Err(faults) => faults.iter().fold(String::new(), |mut codes, fault| {
            let _ = write!(codes, "{} ", fault.code().word());
            codes
        }),
    }
}

/// What names an entry, or which kind of file it is, must be said in its place; and what is read behind its key, so
/// that the key is not misspelt.
fn is_head(path: &[Step]) -> bool {
    matches!(path.last(), Some(Step::Key(key)) if ["record", "shop", "mark", "did", "day", "zone", "assemblies", "side", "reading"].contains(&key.as_str()))
}

#[test]
fn a_key_with_nothing_behind_it_is_as_good_as_none() {
    let packs = PackSet::base().unwrap();
    let (mut tried, mut refused, mut otherwise) = (0, 0, Vec::new());
    for file in ["pass-loader-bias-used", "pass-super-single-metric"] {
        let text = common::read(&format!("shared/demo/short/{file}.yaml"));
        let record: Value = serde_yaml::from_str(&text).unwrap();
        let made = super::expanded(&packs, &text, Some(&common::read(SHOP))).unwrap();
        let part = Shop::read(common::document(SHOP)).unwrap().part(&made.used);
        let shop: Value = serde_yaml::from_str(&part).unwrap();
        for in_shop in [false, true] {
            let tree = if in_shop { &shop } else { &record };
            let mut all = Vec::new();
            paths(tree, &[], &mut all);
            for path in all.iter().filter(|path| !is_head(path) && matches!(path.last(), Some(Step::Key(_)))) {
                let [empty, gone] = [with(tree, path, Value::Null), without(tree, path)].map(|changed| {
                    let (record, shop) = if in_shop { (&record, &changed) } else { (&changed, &shop) };
                    comes_of(&packs, record, shop, HoldPoint::BeforeFill)
                });
                if empty != gone {
                    otherwise.push(format!("{file}: {} {empty} {gone}", name(path)));
                }
                tried += 1;
                refused += u32::from(!gone.contains('('));
            }
        }
    }
    assert!(otherwise.is_empty(), "{}", otherwise.join("\n"));
    assert!(tried > 300, "{tried} keys, {refused} of them refused");
}
