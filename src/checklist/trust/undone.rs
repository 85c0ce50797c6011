//! Approvals that the end of a key before its time undoes: those that it signed when it had ended.
//!
//! A thief who approves a pack must not keep the key from being revoked: so such an approval makes no trust file unsound. It
//! stays where it stands, with its signature, and counts for nothing; another officer approves the pack anew. This module
//! must not know who is told.

use super::Trust;
use super::body::{Approval, TrustBody};
use crate::units::Instant;

/// An approval that no longer counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UndoneApproval {
    /// Name and edition of the pack.
    pub pack: String,
    /// Who approved it, by the key that has ended.
    pub by: String,
    /// When, by the signature.
    pub at: Instant,
}

impl Trust {
    /// The approvals that do not count, since the key that signed them had ended before.
    pub fn undone(&self) -> impl Iterator<Item = &Approval> {
        self.undone.iter().filter_map(|place| self.body.packs.get(*place))
    }

    /// The approvals that count, each with its span.
    pub(super) fn counting(&self) -> impl Iterator<Item = (&Approval, &(Instant, Option<Instant>))> {
        let all = self.body.packs.iter().zip(&self.spans).enumerate();
        all.filter(|(place, _)| !self.undone.contains(place)).map(|(_, of)| of)
    }

    /// Whether an approval in it does not count.
    pub fn is_undone(&self, approval: &Approval) -> bool {
        self.undone().any(|undone| undone.seal == approval.seal)
    }

    /// What it undoes and the version before, if there is one, did not.
    pub fn undoes(&self, before: Option<&Self>) -> Vec<UndoneApproval> {
        let is_new = |approval: &&Approval| before.is_none_or(|before| !before.is_undone(approval));
        let told = |approval: &Approval| {
            let at = approval.signed_at(self.shop())?.in_zone(self.zone());
            Some(UndoneApproval { pack: approval.title(), by: approval.approved_by.clone(), at })
        };
        self.undone().filter(is_new).filter_map(told).collect()
    }

    /// Takes out of a next version those approvals of a draft that a version in force does not have and that count for
    /// nothing by this one, which that next version is; what gave way to them stands as before.
    pub fn drop_undone(&self, in_force: &TrustBody, next: &mut TrustBody) {
        let known = |approval: &Approval| in_force.packs.iter().find(|known| known.seal == approval.seal);
        let is_dropped = |approval: &Approval| known(approval).is_none() && self.is_undone(approval);
        let (dropped, mut kept): (Vec<_>, Vec<_>) = next.packs.drain(..).partition(is_dropped);
        let begins = |list: &[Approval], name: &str, at: &str| {
            list.iter().any(|approval| approval.name == name && approval.from == at)
        };
        let stays: Vec<Approval> = kept.clone();
        for approval in &mut kept {
            let ended = approval.until.as_deref().filter(|until| begins(&dropped, &approval.name, until));
            if ended.is_some_and(|until| !begins(&stays, &approval.name, until)) {
                let before = known(approval);
                approval.until = before.and_then(|known| known.until.clone());
                approval.once_signed = before.is_some_and(|known| known.once_signed);
            }
        }
        next.packs = kept;
    }
}
