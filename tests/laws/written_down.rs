//! A fault that is written down stays one, whatever it takes to write it down: each record that alone breaks a rule before
//! the fill is held at the later hold points of the same job as well, but for what `passed-later.txt` lists with its reason.

use std::collections::BTreeSet;

use fillward::vocabulary::Verdict;

use super::deleting::listed;
use super::jobs::{PACKS, judged_then};

const LIST: &str = "tests/laws/passed-later.txt";

#[test]
fn what_breaks_a_rule_before_the_fill_holds_after_it() {
    let listed = listed(LIST);
    let (mut kept, mut found) = (0_u32, BTreeSet::new());
    for (rule, later) in crate::sole::written_down() {
        for (tree, point, at) in later {
            match judged_then(&PACKS, &tree, point, at).map(|judged| judged.verdict) {
                Some(Verdict::Pass) => {
                    found.insert(format!("{}: {rule}", point.word()));
                }
                Some(Verdict::Hold) => kept += 1,
                None => {}
            }
        }
    }
    assert!(kept > 200, "only {kept} faults were kept");
    let new: Vec<&String> = found.difference(&listed).collect();
    let gone: Vec<&String> = listed.difference(&found).collect();
    assert!(new.is_empty() && gone.is_empty(), "passed later, not listed: {new:#?}\nlisted, and kept now: {gone:#?}");
}
