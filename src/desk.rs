//! Floor 8, the desk: the acts of a shop, each with its policy, under every face that the program has.
//!
//! Judging, signing, countersigning, permitting, verifying, showing, opening and signing the trust file, making a key.
//! An act takes its documents by value, sees the rest of the world through the traits of [`world`], and gives a sheet
//! of typed values or a typed [`Refusal`]; a face asks people, draws the sheet and finds the words. The desk must not
//! know the terminal, HTML, exit codes, files, or where the time and the random bytes come from.

mod answers;
mod beside;
mod editions;
mod judge;
mod keys;
mod links;
mod permit;
mod permit_line;
mod records;
mod refusal;
mod several;
mod show;
mod sign;
mod signatory;
mod signed_by;
mod trust;
mod verify;
pub mod world;

use crate::checklist::trust::Trust;
use crate::document::Document;
use crate::explain::AtFrom;
use crate::pack::PackSet;
use crate::record::shop::Shop;
use crate::units::{Instant, Zone};

pub use answers::Answers;
pub use beside::{CHECKLIST_ENDING, OtherChecklist};
pub use judge::{Case, Passage};
pub use keys::{Hand, KeyFiles, KeyOrder, LONGEST_PASSPHRASE, SHORTEST_PASSPHRASE};
pub use permit::{By, GiveOrder, PermitDraft, PermitOrder, Permitted};
pub use permit_line::{PermitLine, SignerName};
pub use records::of_no_job;
pub use refusal::{DraftFault, NoNeed, Refusal, Unfit};
pub use several::{OneOf, Several};
pub use show::{
    AskedBy, LimitThen, LimitUse, NotApplying, PermitForm, PermitStanding, ShowOrder, ShowPermitOrder, Shown,
    ShownPermit, SignatureLine, Ways, WhyNot, show,
};
pub use sign::{
    Consent, CrewMember, Draft, EntryChange, Forgotten, FurtherOrder, PlaceInRecord, Proposal, ShopChanges, ShopEntry,
    SignOrder, Signed,
};
pub use signatory::{NamedHand, SigningHand};
pub use signed_by::SignedBy;
pub use trust::{
    Acceptance, ApprovalDraft, ApprovalOrder, ApprovalProposal, Carried, ClockLeap, FirstTrust, NextTrust, Opened,
    OwnerAsks, Purpose, SeenBefore, TrustDraft, TrustNote, TrustOrder, TrustProposal, TrustSigned, Trusting,
    VersionBefore, draft_of,
};
pub use verify::{Against, Answer, HeldBy, SeenAlone, Verified, VerifyOrder, held_by};
pub use world::{Clock, NamedBytes, Storage};

/// Where acts are done: what they see of the world.
#[derive(Debug, Clone, Copy)]
pub struct Desk<'w> {
    /// Where documents are kept.
    pub storage: &'w dyn Storage,
    /// What time it is.
    pub clock: &'w dyn Clock,
}

impl Desk<'_> {
    /// Fetches a document by its name.
    ///
    /// # Errors
    /// If it cannot be read.
    pub fn fetch(&self, name: &std::path::Path) -> Result<NamedBytes, Refusal> {
        Ok(NamedBytes { name: name.to_owned(), bytes: self.storage.read(name)? })
    }

    /// Fetches several, in their order.
    ///
    /// # Errors
    /// If one of them cannot be read.
    pub fn fetch_all(&self, names: &[std::path::PathBuf]) -> Result<Vec<NamedBytes>, Refusal> {
        names.iter().map(|name| self.fetch(name)).collect()
    }

    /// The instant given, which must be written by the clock of the zone, or the present one.
    ///
    /// # Errors
    /// [`Unfit::AtOfAnotherZone`], [`Refusal::Clock`].
    pub fn at(&self, given: Option<Instant>, zone: &Zone) -> Result<(Instant, AtFrom), Refusal> {
        match given {
            Some(at) => {
                zone.check(at).map_err(Unfit::AtOfAnotherZone)?;
                Ok((at, AtFrom::Given))
            }
            None => Ok((self.now(zone)?, AtFrom::Clock)),
        }
    }

    /// The same by a trust file: the present is no earlier than the clock has shown it on this account.
    fn at_or_seen(&self, given: Option<Instant>, trust: &Trust) -> Result<(Instant, AtFrom), Refusal> {
        let (at, from) = self.at(given, trust.zone())?;
        Ok((if from == AtFrom::Clock { trust.no_earlier(at) } else { at }, from))
    }

    /// The present instant by a trust file, see [`Trust::no_earlier`].
    fn now_or_seen(&self, trust: &Trust) -> Result<Instant, Refusal> {
        Ok(trust.no_earlier(self.now(trust.zone())?))
    }

    /// The present instant, as the clock of the zone shows it.
    ///
    /// # Errors
    /// [`Refusal::Clock`].
    pub fn now(&self, zone: &Zone) -> Result<Instant, Refusal> {
        Ok(self.clock.now().ok_or(Refusal::Clock)?.in_zone(zone))
    }
}

/// The base pack for judging, with these local packs.
///
/// # Errors
/// The faults of the packs.
pub fn packs(local: &[NamedBytes]) -> Result<PackSet, Refusal> {
    with_local(PackSet::base()?, local)
}

/// Packs for the check of their examples: the base pack with its own, or these local packs with theirs beside the base.
///
/// # Errors
/// The faults of the packs.
pub fn packs_to_check(local: &[NamedBytes]) -> Result<PackSet, Refusal> {
    if local.is_empty() { packs_with_examples(local) } else { packs(local) }
}

/// The base pack with its examples, with these local packs.
///
/// # Errors
/// The faults of the packs.
pub fn packs_with_examples(local: &[NamedBytes]) -> Result<PackSet, Refusal> {
    with_local(PackSet::base_with_examples()?, local)
}

/// The shop file.
///
/// # Errors
/// The faults of its text.
pub fn shop(source: &NamedBytes) -> Result<Shop, Refusal> {
    Ok(Shop::read(source.document()?)?)
}

/// The shop file for judging a record by it: the second reading is made of what the record draws on.
///
/// # Errors
/// The faults of its text.
pub fn shop_to_draw_on(source: &NamedBytes) -> Result<Shop, Refusal> {
    Ok(Shop::read_to_draw_on(&source.label(), &source.bytes)?)
}

/// The shop file of a shop whose trust file says where it lies.
fn shop_of(source: &NamedBytes, zone: &Zone) -> Result<Shop, Refusal> {
    let shop = shop(source)?;
    if shop.zone() == zone {
        return Ok(shop);
    }
    Err(Unfit::ShopOfAnotherZone { shop: shop.zone().clone(), trust: zone.clone() }.into())
}

fn with_local(base: PackSet, local: &[NamedBytes]) -> Result<PackSet, Refusal> {
    if local.is_empty() {
        return Ok(base);
    }
    let documents: Vec<Document> = local.iter().map(NamedBytes::document).collect::<Result<_, _>>()?;
    Ok(base.with(documents)?)
}
