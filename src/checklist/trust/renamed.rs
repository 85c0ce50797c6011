//! The names of a shop: one that has got another name is the same shop, and what was signed under the old one says what it
//! said.
//!
//! The names that it had stand in its trust file, each with the last version that had it, so that a checklist of then is
//! told from one of another shop. An approval names the shop of its day, since the safety officer signed that. This module
//! must not know files.

use super::body::TrustBody;
use super::edit::EditFault;
use super::unsound::{Found, of_pack, place};
use super::{Pins, Trust};
use crate::checklist::reason::{Reason, TrustFlaw};
use crate::vocabulary::name_fault;

impl TrustBody {
    /// What the shop was called in a version up to this one.
    pub fn name_in(&self, version: i64) -> &str {
        self.formerly.iter().find(|name| version <= name.through).map_or(&self.shop, |name| &name.shop)
    }

    /// Whether it is the shop's name, or was.
    pub fn is_called(&self, name: &str) -> bool {
        self.shop == name || self.formerly.iter().any(|former| former.shop == name)
    }

    /// Gives the shop another name from this version on. Approvals that were signed under the one before say so.
    ///
    /// # Errors
    /// If it is called so already.
    pub fn rename(&mut self, name: &str) -> Result<(), EditFault> {
        if self.shop == name {
            return Err(EditFault::SameShopName { name: name.to_owned() });
        }
        let before = std::mem::replace(&mut self.shop, name.to_owned());
        for approval in &mut self.packs {
            approval.shop.get_or_insert_with(|| before.clone());
        }
        let through = self.version - 1;
        match self.formerly.last() {
            // This version has not been in force: its first name was nobody's.
            Some(last) if last.through == through && last.shop == name => drop(self.formerly.pop()),
            Some(last) if last.through == through => {}
            _ => self.formerly.push(super::FormerName { shop: before, through }),
        }
        Ok(())
    }

    /// Sees that the names that it had can have been: in order, each another than the next one, and all of versions before;
    /// and that each approval is for one of them.
    pub(super) fn check_names(&self, found: &mut Found) {
        let at = |index: usize| place(["formerly".into(), index.into()]);
        let mut after = 0;
        for (index, former) in self.formerly.iter().enumerate() {
            if let Some(fault) = name_fault(&former.shop) {
                found.say(at(index), TrustFlaw::ShopName { name: former.shop.clone(), fault });
            }
            let next = self.formerly.get(index + 1).map_or(&self.shop, |next| &next.shop);
            if former.through <= after || former.through >= self.version || former.shop == *next {
                found.say(at(index), TrustFlaw::FormerName { name: former.shop.clone() });
            }
            after = former.through;
        }
        for (index, approval) in self.packs.iter().enumerate() {
            if let Some(shop) = approval.shop.as_ref().filter(|shop| !self.is_called(shop)) {
                let flaw = TrustFlaw::ApprovalElsewhere { pack: approval.title(), shop: shop.clone() };
                found.say(of_pack(index, ["shop".into()]), flaw);
            }
        }
    }
}

impl Trust {
    /// What a version after this one says of the names of the shop that is not so: those that it had stay, and the one that
    /// it had last is among them.
    pub fn renames_otherwise(&self, next: &TrustBody) -> Option<Reason> {
        let mut due = self.body.clone();
        due.version = next.version;
        if next.shop != due.shop {
            due.rename(&next.shop).ok()?;
        }
        (due.formerly != next.formerly).then(|| TrustFlaw::NamesLost { shop: self.shop().to_owned() }.into())
    }
}

impl Pins {
    /// Whether a trust file is of another shop than the one that is known.
    pub fn is_of_another(&self, body: &TrustBody) -> bool {
        let Some(known) = &self.shop else { return false };
        if body.version < self.least_version {
            body.shop != *known && !self.formerly.contains(&body.shop)
        } else {
            body.name_in(self.least_version) != known
        }
    }
}
