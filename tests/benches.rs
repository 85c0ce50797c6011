//! What the measurements stand on is kept with the rest: their pack is one, and its examples come out as they say. The
//! engines beside it are asked the same by the bench itself, before any clock runs.

use fillward::document::Document;
use fillward::engine;
use fillward::pack::PackSet;

use crate::common;

#[test]
fn the_pack_of_the_measurements_can_be_read() {
    let text = common::read("benches/peers/conditions.yaml");
    let document = Document::read("conditions.yaml", text.as_bytes()).unwrap();
    let packs = PackSet::alone(vec![document]).unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)));
    let (checked, wrong) = engine::check_examples(&packs);
    assert!(wrong.is_empty(), "{:?}", wrong.iter().map(|fault| fault.rule.name.as_str()).collect::<Vec<_>>());
    assert!(checked > 30, "{checked}");
}
