//! Reading every value of a shop file, whether or not a record draws on it.

use fillward::document::{Content, Document, Node};
use fillward::pack::PackSet;
use fillward::record::shop::Shop;

use super::SHOP;
use crate::common;

/// The places of the texts that are a number with its unit or a day.
fn measured(node: &Node, found: &mut Vec<(usize, usize)>) {
    match &node.value {
        Content::Map(entries) => entries.iter().for_each(|entry| measured(&entry.node, found)),
        Content::List(items) => items.iter().for_each(|item| measured(item, found)),
        Content::Text(text) => {
            let unit = text.split_once(' ').is_some_and(|(number, unit)| {
                number.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.')
                    && unit.bytes().all(|byte| byte.is_ascii_alphabetic())
            });
            let is_day = text.len() == 10 && text.bytes().filter(|byte| *byte == b'-').count() == 2;
            if unit || is_day {
                found.push((node.span.start, node.span.end));
            }
        }
        _ => {}
    }
}

#[test]
fn no_value_that_cannot_be_read_waits_for_a_record() {
    let packs = PackSet::base().unwrap();
    let text = common::read(SHOP);
    let read = |text: &str| {
        let shop = Shop::read(Document::read("shop.yaml", text.as_bytes())?)?;
        shop.read_values(packs.catalogue())
    };
    let entries = read(&text).unwrap();
    assert!(entries > 100, "{entries}");
    let mut places = Vec::new();
    measured(Document::read("shop.yaml", text.as_bytes()).unwrap().root(), &mut places);
    assert!(places.len() > 150, "{}", places.len());
    for (start, end) in places {
        let (before, after) = (text.get(..start).unwrap(), text.get(end..).unwrap());
        let spoiled = if text.get(start..end).unwrap().contains('-') { "2026-02-30" } else { "7 furlongs" };
        let refused = read(&format!("{before}{spoiled}{after}"));
        let faults = refused.expect_err(&format!("`{}` at byte {start}", text.get(start..end).unwrap()));
        assert!(faults.iter().all(|fault| fault.cure().is_some() && fault.span().is_some()), "{faults:?}");
    }
}
