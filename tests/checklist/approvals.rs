//! The law of approvals: from version to version an approval only ends or stays. What had ended, or stood in a version no
//! more, comes back by a new signature of the safety officer and by nothing else.

use std::collections::BTreeMap;

use fillward::checklist::trust::{Approval, Trust, TrustBody};
use fillward::units::Instant;
use proptest::prelude::*;

use crate::shop::{MAIRE, Shop, key, later};

/// Seconds from version to version: more than two clocks may differ by.
const STEP: i128 = 1200;

/// What an owner does to the approvals of the next version.
#[derive(Debug, Clone)]
enum Act {
    /// Ends an approval so many seconds after the first version, or says that it has no end.
    End { which: usize, until: Option<i128> },
    /// Leaves one out.
    Leave { which: usize },
    /// Puts in one that has stood in any version, or was in a draft that never came into force.
    PutBack { which: usize },
    /// Has the safety officer approve the pack anew.
    Anew,
}

fn acts() -> impl Strategy<Value = Vec<Act>> {
    let act = prop_oneof![
        3 => (0..4_usize, proptest::option::of(0..20_i128)).prop_map(|(which, steps)| Act::End {
            which,
            until: steps.map(|steps| steps * STEP),
        }),
        2 => (0..4_usize).prop_map(|which| Act::Leave { which }),
        3 => (0..8_usize).prop_map(|which| Act::PutBack { which }),
        2 => Just(Act::Anew),
    ];
    proptest::collection::vec(act, 1..14)
}

/// An approval by its seal, which is another one each time.
fn seal(approval: &Approval) -> String {
    approval.seal.as_ref().unwrap().signature.clone()
}

fn end(approval: &Approval) -> Option<Instant> {
    approval.until.as_deref().map(|until| Instant::parse(until).unwrap())
}

/// The next version as an owner would write it, and whether the officer signed for it.
fn next(body: &TrustBody, act: &Act, known: &mut Vec<Approval>, version: i64) -> TrustBody {
    let made_at = later(i128::from(version) * STEP);
    let mut next = TrustBody { version, made_at: made_at.to_record_text(), ..body.clone() };
    let count = next.packs.len();
    match act {
        Act::End { which, until } if count > 0 => {
            next.packs[which % count].until = until.map(|seconds| later(seconds).to_record_text());
        }
        Act::Leave { which } if count > 0 => drop(next.packs.remove(which % count)),
        Act::PutBack { which } => {
            let old = known[which % known.len()].clone();
            next.packs.retain(|pack| seal(pack) != seal(&old));
            next.packs.push(old);
        }
        Act::Anew => {
            let mut fresh = known[0].clone();
            fresh.until = None;
            fresh.from = made_at.to_record_text();
            fresh.sign(&next.shop, &key(MAIRE), made_at).unwrap();
            known.push(fresh.clone());
            next.packs.push(fresh);
        }
        Act::End { .. } | Act::Leave { .. } => {}
    }
    known.extend(next.packs.iter().cloned());
    next
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(80) })]

    #[test]
    fn no_approval_comes_back_without_her(acts in acts()) {
        let mut body = Shop::new().trust_body();
        (body.version, body.made_at) = (1, later(STEP).to_record_text());
        body.ends_at = "2026-08-01T00:00:00-06:00".to_owned();
        let mut known = body.packs.clone();
        // What every version in force has said of each seal: its earliest end, and whether it still stands.
        let mut said: BTreeMap<String, (Option<Instant>, bool)> =
            body.packs.iter().map(|pack| (seal(pack), (end(pack), true))).collect();
        for act in &acts {
            let before = Trust::of(body.clone());
            // Two approvals of one pack that overlap make no trust file; what is not one is no version.
            let Ok(before) = before else { break };
            let candidate = next(&body, act, &mut known, body.version + 1);
            let comes_back = candidate.packs.iter().any(|pack| match said.get(&seal(pack)) {
                None | Some((None, true)) => false,
                Some((_, false)) => true,
                Some((Some(ended), true)) => end(pack).is_none_or(|now| now > *ended),
            });
            // A seal that never was in force is from a draft; by its own instant it is older than the version before.
            let of_a_draft = candidate.packs.iter().any(|pack| {
                !said.contains_key(&seal(pack)) && !matches!(act, Act::Anew)
            });
            let refused = before.brought_back(&candidate).is_some();
            prop_assert_eq!(refused, comes_back || of_a_draft, "{:?}", act);
            if refused || Trust::of(candidate.clone()).is_err() {
                continue;
            }
            for (name, (_, stands)) in &mut said {
                *stands = candidate.packs.iter().any(|pack| seal(pack) == *name);
            }
            for pack in &candidate.packs {
                said.insert(seal(pack), (end(pack), true));
            }
            body = candidate;
        }
    }
}
