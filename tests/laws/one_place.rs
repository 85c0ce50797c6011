//! One value has one place: what stands in a mapping of a record or a shop file cannot be written in one line with it,
//! such as `wheel.rating: 80 psi` for `wheel: {rating: 80 psi}`. Packs name facts so; in a record a second way of
//! writing would be a second value beside the first, and nobody would see which of them counts.

use fillward::document::Document;
use fillward::pack::PackSet;
use fillward::record::shop::{self, Shop};
use fillward::record::{self};
use serde_yaml::Value;

use super::jobs::DEMO;
use crate::common;
use crate::common::tree::{Step, at, paths, put, without};

/// Every tree that says one value of a mapping in one line with it: beside the mapping, and in its place.
fn joined(tree: &Value) -> Vec<(String, Value)> {
    let mut places = Vec::new();
    paths(tree, &[], &mut places);
    let mut made = Vec::new();
    for place in places {
        let [holder @ .., Step::Key(outer), Step::Key(inner)] = place.as_slice() else { continue };
        let key = format!("{outer}.{inner}");
        let lines = [holder, &[Step::Key(key.clone())]].concat();
        let value = at(tree, &place).unwrap();
        made.push((key.clone(), put(tree, &lines, value)));
        made.push((key, put(&without(tree, &place), &lines, value)));
    }
    made
}

fn text(tree: &Value) -> String {
    serde_yaml::to_string(tree).unwrap()
}

#[test]
fn no_value_of_a_long_record_has_a_second_place() {
    let packs = PackSet::base().unwrap();
    let mut tried = 0;
    for (name, tree) in DEMO.iter().filter(|(name, _)| name.contains("/pass-")) {
        for (key, joined) in joined(tree) {
            let document = Document::read(name, text(&joined).as_bytes()).unwrap();
            assert!(
                record::read(&document, packs.catalogue(), &common::demo_zone()).is_err(),
                "{name}: `{key}` is taken"
            );
            tried += 1;
        }
    }
    assert!(tried > 1_000, "{tried}");
}

#[test]
fn no_value_of_a_short_record_or_its_shop_file_has_a_second_place() {
    let packs = PackSet::base().unwrap();
    let written = common::read("shared/demo/shop.yaml");
    let whole = Shop::read(Document::read("shop.yaml", written.as_bytes()).unwrap()).unwrap();
    let (mut records, mut files) = (0, 0);
    for name in common::files("shared/demo/short", ".yaml").into_iter().filter(|name| name.contains("/pass-")) {
        for (key, joined) in joined(&serde_yaml::from_str(&common::read(&name)).unwrap()) {
            let document = Document::read(&name, text(&joined).as_bytes()).unwrap();
            let made = shop::expand(document, Some(&whole), &packs, whole.zone(), common::demo_at());
            let read = made.and_then(|made| record::read(&made.document, packs.catalogue(), whole.zone()));
            assert!(read.is_err(), "{name}: `{key}` is taken");
            records += 1;
        }
    }
    for (key, joined) in joined(&serde_yaml::from_str(&written).unwrap()) {
        let drawn_on = Shop::read_to_draw_on("shop.yaml", text(&joined).as_bytes());
        assert!(drawn_on.is_err(), "`{key}` of a shop file is taken");
        files += 1;
    }
    assert!(records > 300 && files > 150, "{records} of records, {files} of the shop file");
}
