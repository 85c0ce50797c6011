//! What one account of a machine remembers of trust files: which owners' keys its person has accepted by their words from
//! paper, and for each owner's key the highest version seen, what it said, whose signatures it asked for, which approvals of
//! packs had ended, the keys and people of all versions, when each was made, and the latest time that the clock showed.
//!
//! It is kept by owner's key and not by file or folder: an older version under another name, in another folder or on a
//! stick is as old. One key is for one shop. Where it is kept is a matter of the storage, which compares before it writes;
//! what the bytes say is known here alone.
//!
//! It is no secret and is not signed: the person who can write it can also remove it, and is then no further than at
//! the start, since without it nothing is accepted. Must not know where it is kept.

mod kept;

use std::collections::{BTreeMap, BTreeSet};

use crate::checklist::keys::{kid_words, same_words};
use crate::checklist::trust::{ClockAnew, KeySpan, Pins, SeenVersion, Trust, TrustChange, ahead_of, changes};
use crate::checklist::{Reason, TrustReason};
use crate::desk::Refusal;
use crate::desk::world::{Remembered, Storage, StoreFault, Trouble};
use crate::units::{Exact, Instant};
use kept::{FORMAT, KeptKey, KeptVersion, KnownTrust, Mark, parse, print};

/// How often other acts may be faster before this one gives up: more than a shop has people.
const TRIES: u32 = 60;
/// Seconds by which the clock must have gone on before its time is written down again: every look would write otherwise.
const CLOCK_STEP_SECONDS: i128 = 60;

/// The version of a trust file that an account saw last, before the one that it sees now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SeenBefore {
    /// Its number.
    pub version: i64,
    /// What the one that is seen now says otherwise; nothing where an earlier edition of the program remembered that
    /// version in words of its own.
    pub changes: Option<Vec<TrustChange>>,
}

/// What was recalled.
pub(super) struct Recalled<'a> {
    storage: &'a dyn Storage,
    /// The bytes, where there are any.
    before: Option<Vec<u8>>,
    /// Why nothing can be recalled, where that is so: then nothing is remembered either.
    unread: Option<StoreFault>,
    known: KnownTrust,
}

impl<'a> Recalled<'a> {
    /// Recalls what is remembered; nothing, where nothing can be: looking needs none of it, and what does is refused when it
    /// is to be remembered.
    pub(super) fn of(storage: &'a dyn Storage) -> Result<Self, Refusal> {
        let nothing = || KnownTrust { accepted: BTreeSet::new(), seen: BTreeMap::new(), trust_memory: FORMAT };
        let (Remembered { name, bytes: before }, unread) = match storage.recall() {
            Err(unread) => (Remembered { name: unread.name.clone(), bytes: None }, Some(unread)),
            Ok(recalled) => (recalled, None),
        };
        let known = match &before {
            Some(bytes) => parse(bytes).ok_or(Refusal::Memory { name })?,
            None => nothing(),
        };
        Ok(Self { storage, before, unread, known })
    }

    /// Puts what is known from now on in the place of what was recalled.
    fn keep(&self, known: &KnownTrust) -> Result<(), StoreFault> {
        match &self.unread {
            Some(unread) => Err(unread.clone()),
            None => self.storage.remember(self.before.as_deref(), print(known).as_bytes()),
        }
    }

    /// Whether the person of this account has accepted an owner's key.
    pub(super) fn has_accepted(&self, kid: &str) -> bool {
        self.known.accepted.contains(kid)
    }

    /// The accepted key that has these words: they are made of the thumbprint.
    pub(super) fn accepted_of(&self, words: &str) -> Option<String> {
        let has_words = |kid: &&String| kid_words(kid).is_some_and(|own| same_words(words, &own));
        self.known.accepted.iter().find(has_words).cloned()
    }

    /// What is remembered of these keys, or of another key while one of these was an owner's too.
    fn of_owners(&self, owners: &[String]) -> impl Iterator<Item = (&String, &Mark)> {
        let given = |kid: &String| owners.contains(kid);
        self.known.seen.iter().filter(move |(kid, mark)| given(kid) || mark.owners.iter().flatten().any(given))
    }

    /// What a trust file of these owners is held against: the highest version that was seen; nothing, where none was.
    pub(super) fn latest(&self, owners: &[String]) -> Pins {
        let marks = self.of_owners(owners).map(|(_, mark)| mark);
        marks.max_by_key(|mark| (mark.version, mark.needed)).map_or_else(Pins::default, |mark| Pins {
            each: Vec::new(),
            owners: mark.owners.clone(),
            needed: mark.needed,
            least_version: mark.version,
            digest: Some(mark.sha256.clone()),
            shop: Some(mark.shop.clone()),
            formerly: mark.formerly.clone(),
        })
    }

    /// That a version brings back an approval, or a key, which had ended in one that was seen, leaves out a key or a
    /// person of one, or is said to be made before one, if so.
    pub(super) fn brought_back(&self, owners: &[String], trust: &Trust) -> Option<Reason> {
        let marks = || self.of_owners(owners).map(|(_, mark)| mark);
        let before = |mark: &Mark| -> Vec<(Instant, Instant)> {
            let before = mark.versions.iter().filter(|(version, _)| **version < trust.version());
            before.filter_map(|(_, seen)| seen.read()).collect()
        };
        let anew = marks().filter_map(|mark| {
            let ahead = before(mark).into_iter().map(|(_, latest)| latest).max().unwrap_or(trust.made_at());
            Some(ClockAnew { from: begins_anew(mark, trust)?, ahead })
        });
        let anew = anew.max_by_key(|anew| anew.ahead);
        let mut in_order = marks().filter(|_| anew.is_none()).flat_map(before);
        if let Some(reason) = in_order.find_map(|(made, latest)| trust.is_made_before(made, latest)) {
            return Some(reason);
        }
        let keys = marks().flat_map(|mark| &mark.keys).filter_map(|(kid, key)| Some((kid.as_str(), key.read()?)));
        let people = marks().flat_map(|mark| &mark.people).map(String::as_str);
        if let Some(reason) = trust.takes_back(keys, anew).or_else(|| trust.leaves_out(people)) {
            return Some(reason);
        }
        trust.brings_back(|seal| {
            let ends = self.of_owners(owners).filter_map(|(_, mark)| mark.approvals.get(seal)?.as_deref());
            ends.filter_map(|end| Instant::parse(end).ok()).min()
        })
    }

    /// The approvals of all versions seen, with this one.
    fn approvals(&self, owners: &[String], trust: &Trust) -> BTreeMap<String, Option<String>> {
        let now: BTreeMap<String, Option<String>> =
            trust.ends().map(|(seal, end)| (seal, end.map(Instant::to_record_text))).collect();
        let mut all = now.clone();
        for (seal, end) in self.of_owners(owners).flat_map(|(_, mark)| &mark.approvals) {
            if !now.contains_key(seal) {
                let end = end.as_deref().and_then(|end| Instant::parse(end).ok());
                let gone = trust.made_at();
                all.insert(seal.clone(), Some(end.map_or(gone, |end| end.min(gone)).to_record_text()));
            }
        }
        all
    }

    /// The highest version seen, where it is not this one, and what this one says otherwise, line by line.
    pub(super) fn seen_before(&self, owners: &[String], trust: &Trust) -> Option<SeenBefore> {
        let marks = self.of_owners(owners).map(|(_, mark)| mark);
        let mark =
            marks.max_by_key(|mark| (mark.version, mark.needed)).filter(|mark| mark.version < trust.version())?;
        let changes = mark.body().map(|before| changes(Some(&before), trust.body()));
        Some(SeenBefore { version: mark.version, changes })
    }

    /// What the shop was called when it was seen last, where it has had another name since.
    pub(super) fn renamed_from(&self, owners: &[String], trust: &Trust) -> Option<String> {
        self.latest(owners).shop.filter(|known| known != trust.shop())
    }

    /// All versions seen.
    pub(super) fn versions(&self, owners: &[String]) -> BTreeMap<i64, SeenVersion> {
        let all = self.of_owners(owners).flat_map(|(_, mark)| &mark.versions);
        let read = |(version, seen): (&i64, &KeptVersion)| {
            Some((*version, SeenVersion { sha256: seen.sha256.clone(), made_at: seen.read()?.0 }))
        };
        all.filter_map(read).collect()
    }

    /// The keys of all versions seen, with this one: of each the earliest beginning and the earliest end. An end that
    /// had not come when this version was made was a plan, of which the last one counts.
    fn keys(&self, owners: &[String], trust: &Trust) -> BTreeMap<String, KeptKey> {
        let mut all: BTreeMap<String, KeySpan> = trust.key_spans().map(|(kid, span)| (kid.to_owned(), span)).collect();
        for (kid, known) in self.of_owners(owners).flat_map(|(_, mark)| &mark.keys) {
            let Some(known) = known.read() else { continue };
            let now = all.entry(kid.clone()).or_insert(known);
            let until = if known.until <= trust.made_at() { known.until } else { now.until };
            *now = now.within(KeySpan { until, ..known });
        }
        all.into_iter().map(|(kid, span)| (kid, KeptKey::of(span))).collect()
    }

    /// That the clock was set back since the latest time it has shown here, if so.
    pub(super) fn clock_set_back(&self, owners: &[String], trust: &Trust, now: Instant) -> Option<Reason> {
        let seen = self.time(owners, trust)?;
        let known = || Reason::ClockSetBack { at: now, seen: seen.in_zone(trust.zone()) };
        ahead_of(seen, now).then(known)
    }

    /// The latest time that the clock has shown; that from which a version of the trust file starts it again, where this
    /// account learns of that now.
    pub(super) fn time(&self, owners: &[String], trust: &Trust) -> Option<Instant> {
        let times = self.of_owners(owners).filter_map(|(_, mark)| match begins_anew(mark, trust) {
            Some(anew) => Some(anew),
            None => Instant::parse(&mark.time).ok(),
        });
        times.max()
    }

    /// Remembers a trust file for these keys, and that they were accepted, where they were.
    pub(super) fn note(mut self, owners: &[String], trust: &Trust, now: Instant, accept: bool) -> Result<(), Refusal> {
        let mut tries = 0;
        loop {
            // Another act may have seen a later version since this one looked.
            let latest = self.latest(owners);
            let found = trust.version();
            if latest.least_version > found {
                return Err(Reason::OfTrust(TrustReason::Older { found, least: latest.least_version }).into());
            }
            if latest.least_version == found && latest.digest.is_some_and(|digest| digest != trust.digest()) {
                return Err(Reason::OfTrust(TrustReason::Twin { version: found }).into());
            }
            let known = self.with(owners, trust, now, accept);
            if known == self.known {
                return Ok(());
            }
            match self.keep(&known) {
                // Another act was faster; what it remembered is taken in.
                Err(StoreFault { what: Trouble::Changed, .. }) if tries < TRIES => {
                    tries += 1;
                    self = Self::of(self.storage)?;
                }
                done => return Ok(done?),
            }
        }
    }

    /// Takes back that an owner's key was accepted; whether it was. What was seen by it stays: an older file of it is still
    /// one.
    pub(super) fn disown(mut self, kid: &str) -> Result<bool, Refusal> {
        let mut tries = 0;
        loop {
            let mut known = self.known.clone();
            if !known.accepted.remove(kid) && self.unread.is_none() {
                return Ok(false);
            }
            match self.keep(&known) {
                Err(StoreFault { what: Trouble::Changed, .. }) if tries < TRIES => {
                    tries += 1;
                    self = Self::of(self.storage)?;
                }
                done => return Ok(done.map(|()| true)?),
            }
        }
    }

    /// Remembers that the clock has shown a time, to the second: something was told as over at it.
    pub(super) fn note_time(self, owners: &[String], at: Instant) -> Result<(), Refusal> {
        let mut known = self.known.clone();
        for (kid, mark) in self.of_owners(owners) {
            if Instant::parse(&mark.time).is_ok_and(|seen| seen < at) {
                known.seen.insert(kid.clone(), Mark { time: at.to_record_text(), ..mark.clone() });
            }
        }
        if known == self.known { Ok(()) } else { Ok(self.keep(&known)?) }
    }

    /// What is remembered from now on.
    fn with(&self, owners: &[String], trust: &Trust, now: Instant, accept: bool) -> KnownTrust {
        let step = Exact::new(CLOCK_STEP_SECONDS, 1).unwrap_or(Exact::ZERO);
        let time = match self.time(owners, trust) {
            Some(seen) if now < seen || now.seconds_since(seen) < step => seen,
            _ => now,
        };
        let anew = trust.body().clock_anew.clone();
        let mut known = self.known.clone();
        // Other keys of the same owners learn of the time alone: whether a version is theirs, they have not been asked.
        for (kid, mark) in self.of_owners(owners).filter(|(_, mark)| begins_anew(mark, trust).is_some()) {
            let told = Mark { time: time.to_record_text(), clock_anew: anew.clone(), ..mark.clone() };
            known.seen.insert(kid.clone(), told);
        }
        let Pins { needed, owners: held, least_version: version, .. } = trust.pins();
        let sha256 = trust.digest().to_owned();
        let (approvals, keys) = (self.approvals(owners, trust), self.keys(owners, trust));
        let of_marks = || self.of_owners(owners).map(|(_, mark)| mark);
        let mut people: BTreeSet<String> = of_marks().flat_map(|mark| mark.people.iter().cloned()).collect();
        people.extend(trust.body().people.iter().map(|person| person.name.clone()));
        let versions = of_marks().flat_map(|mark| {
            let anew = begins_anew(mark, trust);
            mark.versions.iter().map(move |(version, seen)| (*version, seen.no_later(anew)))
        });
        let mut versions: BTreeMap<i64, KeptVersion> = versions.collect();
        let seen = |at: Instant| at.min(now).in_zone(trust.zone()).to_record_text();
        let kept = KeptVersion { latest: seen(trust.latest()), made_at: seen(trust.made_at()), sha256: sha256.clone() };
        versions.entry(version).or_insert(kept);
        let says = Mark::content(trust.body());
        let time = time.to_record_text();
        let (clock_anew, shop) = (anew, trust.shop().to_owned());
        let formerly = trust.body().formerly.iter().map(|name| name.shop.clone()).collect();
        let mark = Mark {
            approvals,
            clock_anew,
            formerly,
            keys,
            needed,
            owners: held,
            people,
            says,
            sha256,
            shop,
            time,
            version,
            versions,
        };
        known.seen.extend(owners.iter().map(|owner| (owner.clone(), mark.clone())));
        if accept {
            known.accepted.extend(owners.iter().cloned());
        }
        known
    }
}

/// The instant from which a trust file starts the clock again, where it is a later version than the one remembered and says
/// otherwise than that one: each account learns of it once.
fn begins_anew(mark: &Mark, trust: &Trust) -> Option<Instant> {
    trust.begins_anew(mark.clock_anew.as_deref()).filter(|_| trust.version() > mark.version)
}
