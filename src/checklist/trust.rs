//! Trust: who may sign what, and which packs are approved.
//!
//! The owner writes the shop's trust file in YAML; signed, it is a document in exact form like every other. It carries a
//! version, so that an older one cannot be passed off as the latest, and an end, so that nobody is kept on it for ever.
//! Keys are checked when the file is opened, once. This module must not know checklists.

mod anew;
mod approval;
mod body;
mod changes;
mod complete;
mod edit;
mod ends;
mod lasting;
mod names;
mod opening;
mod part;
mod renamed;
mod standing;
mod undone;
mod unsound;

use std::collections::{BTreeMap, BTreeSet};

use super::keys::digest_words;
use super::packs::{BASE, PackPart};
use super::reason::{Reason, TrustReason};
use crate::units::{Exact, Instant, Zone};
use crate::vocabulary::Role;

pub use anew::ClockAnew;
pub use body::{Approval, FORMAT, FormerName, FormerRole, Key, Person, Revocation, TrustBody};
pub use changes::{TrustChange, changes};
pub use edit::{EditFault, Ending};
pub use ends::KeySpan;
pub use lasting::{EndsSoon, PlannedEnd};
pub use names::flaw_of as flaw_of_name;
pub use part::{SeenVersion, TrustPart};
pub(in crate::checklist) use standing::Revoked;
pub use standing::{Holder, Standing};
pub use undone::UndoneApproval;
pub use unsound::{Unsound, fault};

/// How far two clocks may differ before an instant counts as still to come: clocks of a shop are set by hand.
pub const CLOCK_SKEW_SECONDS: i128 = 300;

/// What is known of the shop's owner before its trust file is opened: from paper, or from the version before.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Pins {
    /// Thumbprints of owners' keys known from paper: with each of them the file must be signed. One that need not have
    /// signed would let the others leave its owner out.
    pub each: Vec<String>,
    /// Thumbprints of the owners' keys of a version that has been in use, one list for each owner, of whom
    /// [`Pins::needed`] owners must have signed: the person who wants other owners from now on, or fewer, has as many
    /// as before sign that.
    pub owners: Vec<Vec<String>>,
    /// How many different owners of [`Pins::owners`] must have signed.
    pub needed: usize,
    /// The least version that can be taken.
    pub least_version: i64,
    /// SHA-256 of the content of that version, where it has been seen: there is one file of a version, and no other.
    pub digest: Option<String>,
    /// The shop whose file it was, where that is known: one owner's key is for one shop.
    pub shop: Option<String>,
    /// The names that it had before.
    pub formerly: Vec<String>,
}

/// A trust file that holds together and is signed by its owners.
#[derive(Debug, Clone)]
pub struct Trust {
    body: TrustBody,
    /// SHA-256 of the canonical bytes of the body.
    digest: String,
    zone: Zone,
    made_at: Instant,
    ends_at: Instant,
    /// The owners' signatures: by which key and when.
    signed: Vec<(String, Instant)>,
    holders: BTreeMap<String, Holder>,
    /// From when and until when each approved pack may judge, in the order of the body.
    spans: Vec<(Instant, Option<Instant>)>,
    /// The places of the approvals that were signed with a key after it had ended before its time: they do not count.
    undone: BTreeSet<usize>,
    pinned: bool,
    /// The versions that are remembered.
    versions: BTreeMap<i64, SeenVersion>,
    /// The latest time that the clock has shown on this account, where that is remembered.
    clock_seen: Option<Instant>,
    /// What else keeps a fill from starting by it.
    bars: Vec<Reason>,
}

impl Trust {
    /// Whether a pack was approved at an instant.
    ///
    /// # Errors
    /// Why not.
    pub fn approves(&self, name: &str, edition: &str, sha256: &str, at: Instant) -> Result<(), Reason> {
        let pack = || format!("{name} {edition}");
        let is_it = |known: &Approval| known.name == name && known.edition == edition && known.sha256 == sha256;
        let mut refusal = None;
        for (place, (known, span)) in self.body.packs.iter().zip(&self.spans).enumerate() {
            match (is_it(known), covers(*span, at), self.undone.contains(&place)) {
                (false, ..) => {}
                (true, true, false) => return Ok(()),
                (true, true, true) => {
                    refusal = Some(Reason::PackApprovalUndone { pack: pack(), by: known.approved_by.clone() });
                }
                (true, false, _) => {
                    refusal.get_or_insert_with(|| Reason::PackApprovalOver { pack: pack(), at });
                }
            }
        }
        let digest = || sha256.get(..32).unwrap_or(sha256).to_owned();
        Err(refusal.unwrap_or_else(|| Reason::PackNotApproved { pack: pack(), digest: digest() }))
    }

    /// The names of the packs that must judge every job at an instant.
    pub fn required(&self, at: Instant) -> Vec<&str> {
        let judging = self.counting().filter(|(pack, span)| pack.required && covers(**span, at));
        judging.map(|(pack, _)| pack.name.as_str()).collect()
    }

    /// The packs that must judge at an instant and are not among `parts`: the base pack before all others, and every pack
    /// that is approved as required.
    pub fn left_out(&self, parts: &[PackPart], at: Instant) -> Vec<Reason> {
        let base = (parts.first().is_none_or(|first| first.name != BASE)).then_some(BASE);
        let mut missing: Vec<&str> = base.into_iter().collect();
        for name in self.required(at) {
            if !missing.contains(&name) && !parts.iter().any(|part| part.name == name) {
                missing.push(name);
            }
        }
        missing.into_iter().map(|name| Reason::PackLeftOut { pack: name.to_owned() }).collect()
    }

    /// Why the file cannot be relied on at an instant, if so: it has ended, or the clock is wrong.
    pub fn lapses(&self, at: Instant) -> Option<Reason> {
        if at >= self.ends_at {
            return Some(Reason::OfTrust(TrustReason::Ended { at: self.ends_at }));
        }
        let known = self.latest();
        ahead_of(known, at).then_some(Reason::ClockBehind { at, known })
    }

    /// The latest instant that it bears out to have been: when it was made, or when the last of its owners signed it.
    pub fn latest(&self) -> Instant {
        self.signed.iter().map(|(_, at)| at.in_zone(&self.zone)).chain([self.made_at]).max().unwrap_or(self.made_at)
    }

    /// The shop whose trust file it is.
    pub fn shop(&self) -> &str {
        &self.body.shop
    }

    /// SHA-256 of the canonical bytes of the body, in hexadecimal.
    pub fn digest(&self) -> &str {
        &self.digest
    }

    /// The version.
    pub const fn version(&self) -> i64 {
        self.body.version
    }

    /// How many different owners must have signed, by the file itself.
    pub fn owners_needed(&self) -> usize {
        usize::from(self.body.owners_needed)
    }

    /// The time zone in which the shop lies.
    pub const fn zone(&self) -> &Zone {
        &self.zone
    }

    /// When it was made.
    pub const fn made_at(&self) -> Instant {
        self.made_at
    }

    /// When a version up to this one was made, where that is known here.
    pub fn made_in(&self, version: i64) -> Option<Instant> {
        let seen = || self.versions.get(&version).map(|seen| seen.made_at.in_zone(&self.zone));
        if version == self.version() { Some(self.made_at) } else { seen() }
    }

    /// The content.
    pub const fn body(&self) -> &TrustBody {
        &self.body
    }

    /// The keys with their holders' names, in the order of thumbprints.
    pub fn keys(&self) -> impl Iterator<Item = (&str, &Holder)> {
        self.holders.values().filter_map(|holder| Some((self.body.people.get(holder.person)?.name.as_str(), holder)))
    }

    /// Whether the owners were known from elsewhere when it was opened.
    pub const fn is_pinned(&self) -> bool {
        self.pinned
    }

    /// What keeps a fill from starting by it, whatever checklist it is: that nobody said whose it is, and what is said with
    /// [`Trust::bar`].
    pub fn bars(&self) -> impl Iterator<Item = Reason> + '_ {
        (!self.pinned).then_some(Reason::OfTrust(TrustReason::Unpinned)).into_iter().chain(self.bars.iter().cloned())
    }

    /// Keeps fills from starting by it, for these reasons.
    pub fn bar(&mut self, reasons: Vec<Reason>) {
        self.bars.extend(reasons);
    }

    /// Takes in the versions that are remembered.
    pub fn remember(&mut self, versions: BTreeMap<i64, SeenVersion>) {
        self.versions = versions;
    }

    /// Takes in the latest time that the clock has shown on this account.
    pub fn remember_clock(&mut self, seen: Option<Instant>) {
        self.clock_seen = seen;
    }

    /// An instant of the clock, or the latest one that it has shown here, where it stands behind that by no more than clocks
    /// may differ: what was over by then begins no second time. One that stands further behind is a bar of its own.
    pub fn no_earlier(&self, now: Instant) -> Instant {
        let seen = self.clock_seen.filter(|seen| !ahead_of(*seen, now));
        seen.map_or(now, |seen| now.max(seen.in_zone(&self.zone)))
    }

    /// The thumbprints of the owners' keys that signed it.
    pub fn signed_with(&self) -> impl Iterator<Item = &str> {
        self.signed.iter().map(|(kid, _)| kid.as_str())
    }

    /// The owners who signed it, by name and by the words of the key.
    pub fn signers(&self) -> impl Iterator<Item = (&str, String)> {
        let of = |kid: &String| {
            let holder = self.holders.get(kid)?;
            Some((self.body.people.get(holder.person)?.name.as_str(), holder.key.fingerprint_words()))
        };
        self.signed.iter().filter_map(move |(kid, _)| of(kid))
    }

    /// Whether a key of these words is an owner's.
    fn has_owner(&self, words: &str) -> bool {
        self.holders.values().any(|holder| {
            let person = self.body.people.get(holder.person);
            person.is_some_and(|person| person.roles.contains(&Role::Owner)) && holder.key.fingerprint_words() == words
        })
    }

    /// Whether a key of these words stands in it, no matter whose it is.
    fn has_key(&self, words: &str) -> bool {
        self.holders.values().any(|holder| holder.key.fingerprint_words() == words)
    }

    /// The first half of the digest of its content as eight words, as they stand on the owner's paper.
    pub fn digest_in_words(&self) -> String {
        digest_words(&self.digest)
    }

    /// What the next version is held against: the owners' keys that stand or have signed this one, how many must sign, and
    /// this version.
    pub fn pins(&self) -> Pins {
        let is_owner = |holder: &&Holder| {
            let person = self.body.people.get(holder.person);
            let stands = holder.revoked.is_none() || self.signed.iter().any(|(kid, _)| kid == holder.key.kid());
            stands && person.is_some_and(|person| person.roles.contains(&Role::Owner))
        };
        let mut owners: BTreeMap<usize, Vec<String>> = BTreeMap::new();
        for holder in self.holders.values().filter(is_owner) {
            owners.entry(holder.person).or_default().push(holder.key.kid().to_owned());
        }
        Pins {
            owners: owners.into_values().collect(),
            needed: self.owners_needed(),
            least_version: self.body.version,
            digest: Some(self.digest.clone()),
            ..Pins::default()
        }
    }
}

/// Whether an approval covers an instant.
fn covers((from, until): (Instant, Option<Instant>), at: Instant) -> bool {
    from <= at && until.is_none_or(|until| at < until)
}

/// Whether an instant is later than another by more than clocks may differ.
pub(crate) fn ahead_of(instant: Instant, of: Instant) -> bool {
    let skew = Exact::new(CLOCK_SKEW_SECONDS, 1).unwrap_or(Exact::ZERO);
    instant > of && instant.seconds_since(of) > skew
}
