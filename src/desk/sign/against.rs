//! What a signed file is held against, and what speaks against adding a signature to it. This module must not know storage.

use crate::checklist::Reason;
use crate::checklist::links::Links;
use crate::checklist::packs::Packs;
use crate::checklist::trust::Trust;
use crate::checklist::verify::{Intended, Question, Records, Verification};
use crate::record::shop::Shop;
use crate::units::Instant;

/// What speaks against a further signature. Anyone who signs for what is still to be done answers for the record as it
/// stands now; a witness answers for what was, whatever has become of the record since.
pub(super) fn speaks_against(verified: &Verification, witness: bool) -> Vec<Reason> {
    let misfits = verified.misfits().filter(|reason| !(witness && matches!(reason, Reason::RecordChanged { .. })));
    let is_gone = |bar: &&Reason| {
        matches!(
            bar,
            Reason::RecordNotGiven { .. }
                | Reason::RecordTwice { .. }
                | Reason::RecordUnmatched(_)
                | Reason::ShopChanged(_)
                | Reason::NoLongerPasses { .. }
        )
    };
    let gone = verified.bars.iter().filter(is_gone).filter(|_| !witness);
    verified.faults.iter().chain(misfits).chain(gone).cloned().collect()
}

/// What a signed file is held against: everything, at the present instant.
pub(super) fn question<'a>(
    trust: &'a Trust,
    (records, shop): (Records<'a>, Option<&'a Shop>),
    packs: Packs<'a>,
    earlier: &'a Links,
    at: Instant,
) -> Question<'a> {
    Question {
        trust,
        at,
        present: None,
        chosen: false,
        meant: Intended::default(),
        records,
        shop,
        old_edition: false,
        packs: Some(packs),
        rejudge: true,
        earlier,
    }
}
