//! The shop's trust file: accepting its owner, opening it by what is known of its owners and by what is remembered, and
//! signing its next version.
//!
//! Must not know checklists.

mod approving;
mod changing;
mod edits;
mod following;
mod memory;
mod order;
mod signing;

use std::path::Path;

use super::world::NamedBytes;
use super::{Desk, Refusal, Unfit};
use crate::checklist::jws::Envelope;
use crate::checklist::keys::{PublicKey, WordsDiffer, same_words};
use crate::checklist::trust::{EndsSoon, Holder, Pins, Trust};
use crate::checklist::{NoKeyOfWords, Reason, TrustReason};
use crate::units::Instant;
use crate::vocabulary::Kind;
use memory::Recalled;

pub use approving::{ApprovalDraft, ApprovalOrder, ApprovalProposal};
pub use changing::FirstTrust;
pub use edits::OwnerAsks;
pub use memory::SeenBefore;
pub use order::{Carried, NextTrust, TrustNote, TrustOrder};
pub use signing::{ClockLeap, TrustDraft, TrustProposal, TrustSigned, VersionBefore, draft_of};

/// A trust file that is to be opened, and what is known of it from elsewhere.
#[derive(Debug)]
pub struct Trusting {
    /// The file.
    pub file: NamedBytes,
    /// The public keys of owners, known from paper. With each of them the file must be signed; without any it is taken at
    /// its word, and no fill may start by it.
    pub owners: Vec<PublicKey>,
    /// The least version that is taken.
    pub at_least: i64,
    /// The words of the file's content, known from paper: they stand for what is remembered, for this act.
    pub words: Option<String>,
}

/// That a person takes keys for those of the owners of a shop, by what stands on its paper.
#[derive(Debug)]
pub struct Acceptance {
    /// The trust file.
    pub file: NamedBytes,
    /// Owners' keys, each with the words that were read off the paper for it.
    pub owners: Vec<(PublicKey, String)>,
    /// The words that were read off the paper for the trust file: one owner of several could make a file of their own.
    pub words: String,
}

/// What a trust file is opened for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// To put a key to use. Whose file it is must be known and accepted, and its version must be remembered: what keeps
    /// this account from remembering would otherwise keep it from ever noticing an older file.
    Sign,
    /// To look. What was remembered before is asked all the same; what would keep a key from being put to use bars every
    /// start by the file, and nobody from looking.
    Look,
}

/// A trust file that was opened.
#[derive(Debug)]
pub struct Opened {
    /// What it says.
    pub trust: Trust,
    /// Why its version is not remembered, if it is not.
    pub unremembered: Option<Refusal>,
    /// What this account saw last, where this version is new to it.
    pub seen_before: Option<SeenBefore>,
    /// Whether this account has accepted one of the owners given, or has signed or seen a version of theirs before.
    pub is_known: bool,
    /// What the shop was called when this account saw it last, where it has another name now.
    pub renamed_from: Option<String>,
}

/// The refusal that says what speaks against the trust file of this name.
fn against(name: &Path) -> impl Fn(Vec<Reason>) -> Refusal {
    |reasons| Refusal::Trust { name: name.to_owned(), reasons }
}

/// How often another act may be faster before it is not noted that something is over.
const TRIES_TO_NOTE: u32 = 5;

/// Seconds before a planned end from which every act says that it comes: enough to go round a shop with new papers.
const SOON: i64 = 30 * 86_400;

impl Desk<'_> {
    /// What of a trust file ends within 30 days. It bars nothing yet; who learns of it on the day after stands still.
    pub fn ends_soon(&self, trust: &Trust) -> Vec<EndsSoon> {
        self.now(trust.zone()).map(|now| trust.ends_within(now, SOON)).unwrap_or_default()
    }

    /// Remembers to the second what time it was when something was told as over by a trust file: what an account has once
    /// called over begins no second time on it, by whatever clock. What goes on is remembered to the minute, since
    /// every look would write otherwise.
    pub(super) fn note_what_is_over(&self, trust: &Trust, at: Instant) {
        let owners: Vec<String> = trust.signed_with().map(str::to_owned).collect();
        // Nothing starts by it now. Where nothing can be remembered, that is a bar of its own the next time.
        // Another act that is faster may have remembered an earlier time.
        let note = |_| Recalled::of(self.storage).and_then(|seen| seen.note_time(&owners, at));
        let _ = (0..TRIES_TO_NOTE).map(note).find(Result::is_ok);
    }

    /// Opens a trust file. Of a file whose owner is known, the highest version seen is remembered, what it says, which
    /// owners it has and how many of them it asked for, and what time it was.
    ///
    /// # Errors
    /// Whatever speaks against the file, and, where a key is to be put to use, what bars every start by it.
    pub fn open_trust(&self, trusting: &Trusting, purpose: Purpose) -> Result<Opened, Refusal> {
        let Trusting { file, owners, at_least, words } = trusting;
        if purpose == Purpose::Sign && owners.is_empty() {
            return Err(Unfit::NoOwner.into());
        }
        let owners: Vec<String> = owners.iter().map(|key| key.kid().to_owned()).collect();
        let seen = Recalled::of(self.storage)?;
        let mut pins = Pins { each: owners.clone(), ..seen.latest(&owners) };
        // The words name one content, and so its shop.
        pins.shop = pins.shop.filter(|_| words.is_none());
        let mut trust = Trust::open(&file.label(), &file.bytes, &pins).map_err(against(&file.name))?;
        let found = trust.version();
        if found < *at_least {
            return Err(against(&file.name)(vec![Reason::OfTrust(TrustReason::OlderThanAsked {
                found,
                least: *at_least,
            })]));
        }
        if let Some(reason) = seen.brought_back(&owners, &trust) {
            return Err(against(&file.name)(vec![reason]));
        }
        let differ = |words: &String| WordsDiffer::between(words, &trust.digest_in_words());
        if let Some(how) = words.as_ref().and_then(differ) {
            return Err(against(&file.name)(vec![Reason::OfTrust(TrustReason::NotOnPaper(how))]));
        }
        trust.remember(seen.versions(&owners));
        if owners.is_empty() {
            return Ok(Opened { trust, unremembered: None, seen_before: None, is_known: false, renamed_from: None });
        }
        let (now, seen_before) = (self.now(trust.zone())?, seen.seen_before(&owners, &trust));
        let renamed_from = seen.renamed_from(&owners, &trust);
        let is_known = seen.latest(&owners).digest.is_some() || owners.iter().any(|kid| seen.has_accepted(kid));
        let mut bars: Vec<Reason> = seen.clock_set_back(&owners, &trust, now).into_iter().collect();
        trust.remember_clock(seen.time(&owners, &trust));
        let unknown = owners.iter().filter(|kid| words.is_none() && !seen.has_accepted(kid));
        let unknown: Vec<Reason> =
            unknown.map(|kid| Reason::OfTrust(TrustReason::OwnerNotAccepted { who: trust.name_of(kid) })).collect();
        let unremembered = match seen.note(&owners, &trust, now, false) {
            Ok(()) => None,
            Err(Refusal::Reasons(reasons)) => return Err(against(&file.name)(reasons)),
            Err(refusal) if purpose == Purpose::Sign && words.is_none() => return Err(refusal),
            Err(refusal) => Some(refusal),
        };
        // Where nothing can be kept, nobody can be accepted either: that is said first.
        if unremembered.is_some() && words.is_none() {
            bars.push(Reason::OfTrust(TrustReason::NotRemembered));
        }
        bars.extend(unknown);
        if purpose == Purpose::Sign && !bars.is_empty() {
            return Err(against(&file.name)(bars));
        }
        trust.bar(bars);
        Ok(Opened { trust, unremembered, seen_before, is_known, renamed_from })
    }

    /// The key in a trust file that has these words. The file is taken at its word in this alone: the words name one key.
    ///
    /// # Errors
    /// If none has.
    pub fn owner_by_words(&self, file: &NamedBytes, words: &str) -> Result<PublicKey, Refusal> {
        let body = Envelope::read(Kind::Trust, &file.label(), &file.bytes)?.body()?;
        let trust = Trust::of(body).map_err(against(&file.name))?;
        let found = trust.keys().find(|(_, holder)| same_words(words, &holder.key.fingerprint_words()));
        found.map(|(_, holder)| holder.key.clone()).ok_or_else(|| {
            against(&file.name)(vec![Reason::OfTrust(TrustReason::NoKeyOfWords(no_key_of(words, &trust)))])
        })
    }

    /// Sees that words that were read off a paper are those of an owner's key.
    ///
    /// # Errors
    /// In what they differ.
    pub fn owner_words_fit(key: &PublicKey, words: &str, who: &str) -> Result<(), Refusal> {
        match WordsDiffer::between(words, &key.fingerprint_words()) {
            None => Ok(()),
            Some(how) => Err(Unfit::OtherOwnerWords { who: who.to_owned(), how }.into()),
        }
    }

    /// Takes back, for this account, that an owner's key was accepted: nothing starts by it until it is accepted again.
    /// Gives whether it was accepted.
    ///
    /// # Errors
    /// Why it cannot be remembered.
    pub fn disown_owner(&self, key: &PublicKey) -> Result<bool, Refusal> {
        Recalled::of(self.storage)?.disown(key.kid())
    }

    /// The same of the accepted key that has these words: nobody need have its file any more.
    ///
    /// # Errors
    /// As [`Desk::disown_owner`].
    pub fn disown_owner_of(&self, words: &str) -> Result<bool, Refusal> {
        let seen = Recalled::of(self.storage)?;
        let kid = seen.accepted_of(words).unwrap_or_default();
        seen.disown(&kid)
    }

    /// Accepts owners' keys for this account, by their words and those of the trust file, both read off the shop's paper.
    ///
    /// # Errors
    /// Words that are not those of key or file, whatever speaks against the file, and why it cannot be remembered.
    pub fn accept_owners(&self, acceptance: &Acceptance) -> Result<Opened, Refusal> {
        let Acceptance { file, owners, words } = acceptance;
        if owners.is_empty() {
            return Err(Unfit::NoOwner.into());
        }
        let kids: Vec<String> = owners.iter().map(|(key, _)| key.kid().to_owned()).collect();
        let seen = Recalled::of(self.storage)?;
        let pins = Pins { each: kids.clone(), ..seen.latest(&kids) };
        let open = |pins: &Pins| Trust::open(&file.label(), &file.bytes, pins);
        // A later version may give the shop another name, as its paper says. An older one is of another shop, and none
        // of its own.
        let renamed = open(&Pins { shop: None, ..pins.clone() });
        let is_of_another = |reason: &Reason| matches!(reason, Reason::OfTrust(TrustReason::OfAnotherShop { .. }));
        let trust = renamed.map_err(|reasons| {
            let of_another = open(&pins).err().filter(|reasons| reasons.iter().any(is_of_another));
            against(&file.name)(of_another.unwrap_or(reasons))
        })?;
        for (key, words) in owners {
            Self::owner_words_fit(key, words, &trust.name_of(key.kid()))?;
        }
        if let Some(how) = WordsDiffer::between(words, &trust.digest_in_words()) {
            return Err(against(&file.name)(vec![Reason::OfTrust(TrustReason::NotOnPaper(how))]));
        }
        if let Some(reason) = seen.brought_back(&kids, &trust) {
            return Err(against(&file.name)(vec![reason]));
        }
        let now = self.now(trust.zone())?;
        // Who looks at what an ended trust file let happen accepts its owner as well; nothing starts by it.
        let behind = || trust.lapses(now).filter(|reason| matches!(reason, Reason::ClockBehind { .. }));
        if let Some(reason) = seen.clock_set_back(&kids, &trust, now).or_else(behind) {
            return Err(against(&file.name)(vec![reason]));
        }
        let seen_before = seen.seen_before(&kids, &trust);
        let renamed_from = seen.renamed_from(&kids, &trust);
        seen.note(&kids, &trust, now, true)?;
        Ok(Opened { trust, unremembered: None, seen_before, is_known: true, renamed_from })
    }
}

/// How many words of a key may be others, for it to be the one that was meant.
const MISREAD: usize = 2;

/// What words are that no key of a trust file has.
fn no_key_of(words: &str, trust: &Trust) -> NoKeyOfWords {
    let of_file = trust.digest_in_words();
    if same_words(words, &of_file) {
        return NoKeyOfWords::OfTheFile;
    }
    let differs = |(who, holder): (&str, &Holder)| {
        let due = holder.key.fingerprint_words();
        Some((who.to_owned(), WordsDiffer::between(words, &due)?, WordsDiffer::count(words, &due)))
    };
    let nearest = trust.keys().filter_map(differs).min_by_key(|(.., count)| *count);
    match nearest {
        Some((_, how @ (WordsDiffer::NoWord { .. } | WordsDiffer::Count { .. }), _)) => NoKeyOfWords::Slip(how),
        Some((who, how, count)) if count <= MISREAD => NoKeyOfWords::Near { who, how },
        _ => NoKeyOfWords::OfNone,
    }
}
