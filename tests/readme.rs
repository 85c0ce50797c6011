//! The reports shown in the README are those that the program prints at 80 columns.

use fillward::explain::{self, Layout, Report};
use fillward::pack::PackSet;
use fillward::record::shop::{self, Shop};

use crate::common;
use crate::common::parts::with_part;

const README: &str = "README.md";
const SHOP: &str = "shared/demo/shop.yaml";

/// The report on a short job of the demo shop as a fenced block.
fn printed(path: &str, form: fn(&Report<'_>, Layout) -> String) -> String {
    let packs = PackSet::base().unwrap();
    let shop = Shop::read(common::document(SHOP)).unwrap();
    let made = shop::expand(common::document(path), Some(&shop), &packs, shop.zone(), common::demo_at()).unwrap();
    let look = Layout { width: 80, colour: false };
    let form = |report: &Report<'_>| format!("```text\n{}```", form(report, look));
    common::with_report(&packs, &made.document, common::demo_at(), form)
}

#[test]
fn generated_reports_of_the_readme() {
    let mut text = common::read(README);
    let (hold, pass) = ("shared/demo/short/hold-cold-material.yaml", "shared/demo/short/pass-loader-bias-used.yaml");
    let brief: fn(&Report<'_>, Layout) -> String = explain::brief;
    for (name, path, form) in [("a hold", hold, brief), ("a pass", pass, brief), ("a finding", hold, explain::long)] {
        text = with_part(&text, name, &printed(path, form));
    }
    let record = common::read("shared/demo/short/pass-loader-bias-used.yaml");
    assert!(record.lines().count() <= 60, "a used tyre's record stands on one screen");
    text = with_part(&text, "a record", &format!("```yaml\n{record}```"));
    common::in_step(README, &text);
}
