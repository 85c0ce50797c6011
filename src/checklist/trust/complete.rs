//! Ends that take effect once the version that brings them is complete.
//!
//! A version waits for its owners, and until the last of them has signed the one before it is in force: what that allowed
//! was in order, and no end that was drafted meanwhile makes it doubtful. When the last one signs nobody knows beforehand,
//! and all sign the same content. So such an end stands in the content with the instant of its draft and a mark, and counts
//! from the signature that made the version complete, where that is later. Later versions state that instant. A revocation
//! waits for nobody. This module must not know files.

use std::collections::BTreeSet;

use super::Trust;
use super::body::{Approval, TrustBody};
use super::opening::holders;
use super::unsound::Found;
use crate::checklist::jws::instant;
use crate::units::Instant;

impl Trust {
    /// The signature by which as many owners had signed as it asks for. Those that were added since change nothing.
    fn completed_at(&self) -> Option<Instant> {
        let mut signed: Vec<_> = self.signed.iter().collect();
        signed.sort_by_key(|(_, at)| *at);
        let mut people = BTreeSet::new();
        let completes = |(kid, _): &&&(String, Instant)| {
            people.extend(self.holders.get(kid).map(|holder| holder.person));
            people.len() >= self.owners_needed()
        };
        signed.iter().find(completes).map(|(_, at)| at.in_zone(&self.zone))
    }

    /// Lets the ends that wait for the owners count from the signature that made it complete.
    pub(super) fn settle(&mut self) {
        if let Some(at) = self.completed_at() {
            self.settle_at(at);
        }
    }

    /// The same as if it had never come to be complete: what it says at the latest of all.
    #[must_use]
    pub fn settled_last(&self) -> Self {
        let mut late = self.clone();
        late.settle_at(self.ends_at);
        late
    }

    fn settle_at(&mut self, at: Instant) {
        let before = self.body.clone();
        self.body.settle(at);
        if self.body == before {
            return;
        }
        self.holders = holders(&self.body, &mut Found::default());
        self.spans = self.body.packs.iter().filter_map(Approval::span).collect();
        let counts_for_nothing = |approval: &Approval| self.check_approval(approval).is_ok_and(|counts| !counts);
        let undone = self.body.packs.iter().enumerate().filter(|(_, approval)| counts_for_nothing(approval));
        self.undone = undone.map(|(place, _)| place).collect();
    }
}

impl TrustBody {
    /// States the ends that wait for the owners as from an instant, where they would come earlier.
    fn settle(&mut self, at: Instant) {
        let no_earlier = |end: &mut String| {
            if instant(end).is_some_and(|end| end < at) {
                *end = at.to_record_text();
            }
        };
        for person in &mut self.people {
            for former in person.former_roles.iter_mut().filter(|former| former.once_signed) {
                no_earlier(&mut former.until);
                // What was given back in the same version was never missing.
                let again = former.again.as_ref().filter(|again| instant(again) < instant(&former.until));
                former.until = again.unwrap_or(&former.until).clone();
                former.once_signed = false;
            }
            for key in person.keys.iter_mut().filter(|key| key.once_signed) {
                key.retired.iter_mut().for_each(|end| no_earlier(&mut end.at));
                key.once_signed = false;
            }
        }
        for approval in self.packs.iter_mut().filter(|approval| approval.once_signed) {
            approval.until.iter_mut().for_each(no_earlier);
            approval.once_signed = false;
        }
    }
}
