//! What one account of a machine remembers of trust files: which owners' keys its person has accepted by their words from
//! paper, and for each owner's key the highest version seen, what it said, whose signatures it asked for, which approvals of
//! packs had ended, and the latest time that the clock showed.
//!
//! It is kept by owner's key and not by file or folder: an older version under another name, in another folder or on a
//! stick is as old. One key is for one shop. Where it is kept is a matter of the storage, which compares before it writes;
//! what the bytes say is known here alone.
//!
//! It is no secret and is not signed: the person who can write it can also remove it, and is then no further than at the start,
//! since without it nothing is accepted. Must not know where it is kept.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::checklist::jws::is_kid;
use crate::checklist::packs::is_digest;
use crate::checklist::trust::{KeyEnd, Pins, Trust, ahead_of};
use crate::checklist::{Reason, TrustReason};
use crate::desk::Refusal;
use crate::desk::world::{Remembered, Storage, StoreFault, Trouble};
use crate::units::{Exact, Instant};

/// The format of what is remembered; another one is not read.
const FORMAT: u32 = 1;
/// How often other acts may be faster before this one gives up: more than a shop has people.
const TRIES: u32 = 60;
/// Seconds by which the clock must have gone on before its time is written down again: every look would write otherwise.
const CLOCK_STEP_SECONDS: i128 = 60;

/// What is remembered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct KnownTrust {
    /// The thumbprints of the owners' keys that the person of this account has accepted.
    accepted: BTreeSet<String>,
    /// By the thumbprints of owners' keys.
    seen: BTreeMap<String, Mark>,
    trust_memory: u32,
}

/// What is remembered of the trust files that were signed with one owner's key.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Mark {
    /// The packs' approvals of all versions seen, by the digests of the safety officer's signatures, each with its end. One that
    /// the highest version no longer has ended with that version. An owner's signature alone brings none of them back.
    approvals: BTreeMap<String, Option<String>>,
    /// From when the clock was last started again by a version of the trust file, if it ever was.
    clock_anew: Option<String>,
    /// The keys of all versions seen that ended before their time, by their thumbprints.
    ends: BTreeMap<String, KeptEnd>,
    /// The names that the shop had before.
    formerly: Vec<String>,
    /// How many owners the highest version asks for. A version that asks for fewer, or has other owners, has been signed by
    /// as many owners of the one before as that asked for, or it would not have been taken; so both may change with it.
    needed: usize,
    /// The thumbprints of its owners' keys, in order, one list for each owner. Were only the number of owners known, one
    /// could make up another; were only their keys known, one with two keys could give the second to somebody invented.
    owners: Vec<Vec<String>>,
    /// SHA-256 of its content: of two files of one version the first one seen counts, and the other one never.
    sha256: String,
    /// The shop that it is of. Another one's file that is signed with the same key would stand in the row of this one's.
    shop: String,
    /// The latest time that the clock has shown, to the minute.
    time: String,
    /// The highest version.
    version: i64,
    /// The versions seen, each with the SHA-256 of its content.
    versions: BTreeMap<i64, String>,
}

/// From when a key signs nothing any more, by the earliest that any version said.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct KeptEnd {
    retired: Option<String>,
    revoked: Option<String>,
}

impl KeptEnd {
    fn of(end: KeyEnd) -> Self {
        let text = |at: Option<Instant>| at.map(Instant::to_record_text);
        Self { retired: text(end.retired), revoked: text(end.revoked) }
    }

    fn read(&self) -> KeyEnd {
        let at = |text: &Option<String>| text.as_deref().and_then(|text| Instant::parse(text).ok());
        KeyEnd { retired: at(&self.retired), revoked: at(&self.revoked) }
    }
}

/// What was recalled.
pub(super) struct Recalled<'a> {
    storage: &'a dyn Storage,
    /// The bytes, where there are any.
    before: Option<Vec<u8>>,
    known: KnownTrust,
}

impl<'a> Recalled<'a> {
    /// Recalls what is remembered; nothing, where nothing can be.
    pub(super) fn of(storage: &'a dyn Storage) -> Result<Self, Refusal> {
        let nothing = || KnownTrust { accepted: BTreeSet::new(), seen: BTreeMap::new(), trust_memory: FORMAT };
        let Remembered { name, bytes: before } = match storage.recall() {
            Err(StoreFault { name, what: Trouble::Nowhere }) => Remembered { name, bytes: None },
            recalled => recalled?,
        };
        let known = match &before {
            Some(bytes) => parse(bytes).ok_or(Refusal::Memory { name })?,
            None => nothing(),
        };
        Ok(Self { storage, before, known })
    }

    /// Whether the person of this account has accepted an owner's key.
    pub(super) fn has_accepted(&self, kid: &str) -> bool {
        self.known.accepted.contains(kid)
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

    /// That a version brings back an approval, or a key, which had ended in one that was seen, if so.
    pub(super) fn brought_back(&self, owners: &[String], trust: &Trust) -> Option<Reason> {
        let ends = self.of_owners(owners).flat_map(|(_, mark)| &mark.ends);
        if let Some(reason) = trust.takes_back(ends.map(|(kid, end)| (kid.as_str(), end.read()))) {
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

    /// The highest version seen, where this one is not the one after it: what was said between was never seen.
    pub(super) fn leapt_from(&self, owners: &[String], trust: &Trust) -> Option<i64> {
        let last = self.of_owners(owners).map(|(_, mark)| mark.version).max()?;
        (trust.version() > last + 1).then_some(last)
    }

    /// What the shop was called when it was seen last, where it has had another name since.
    pub(super) fn renamed_from(&self, owners: &[String], trust: &Trust) -> Option<String> {
        self.latest(owners).shop.filter(|known| known != trust.shop())
    }

    /// The digests of all versions seen.
    pub(super) fn versions(&self, owners: &[String]) -> BTreeMap<i64, String> {
        let all = self.of_owners(owners).flat_map(|(_, mark)| &mark.versions);
        all.map(|(version, sha256)| (*version, sha256.clone())).collect()
    }

    /// The ends of keys of all versions seen, with this one: each the earliest. A retirement that had not come when this
    /// version was made was a plan, of which the last one counts.
    fn ends(&self, owners: &[String], trust: &Trust) -> BTreeMap<String, KeptEnd> {
        let mut all: BTreeMap<String, KeyEnd> = trust.key_ends().map(|(kid, end)| (kid.to_owned(), end)).collect();
        let earlier = |one: Option<Instant>, other: Option<Instant>| one.into_iter().chain(other).min();
        for (kid, known) in self.of_owners(owners).flat_map(|(_, mark)| &mark.ends) {
            let mut known = known.read();
            known.retired = known.retired.filter(|end| *end <= trust.made_at());
            if known.retired.is_none() && known.revoked.is_none() {
                continue;
            }
            let now = all.entry(kid.clone()).or_insert(known);
            now.retired = earlier(now.retired, known.retired);
            now.revoked = earlier(now.revoked, known.revoked);
        }
        all.into_iter().map(|(kid, end)| (kid, KeptEnd::of(end))).collect()
    }

    /// That the clock was set back since the latest time it has shown here, if so.
    pub(super) fn clock_set_back(&self, owners: &[String], trust: &Trust, now: Instant) -> Option<Reason> {
        let seen = self.time(owners, trust)?;
        let known = || Reason::ClockSetBack { at: now, seen: seen.in_zone(trust.zone()) };
        ahead_of(seen, now).then(known)
    }

    /// The latest time that the clock has shown; that from which a version of the trust file starts it again, where this
    /// account learns of that now.
    fn time(&self, owners: &[String], trust: &Trust) -> Option<Instant> {
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
            match self.storage.remember(self.before.as_deref(), print(&known).as_bytes()) {
                // Another act was faster; what it remembered is taken in.
                Err(StoreFault { what: Trouble::Changed, .. }) if tries < TRIES => {
                    tries += 1;
                    self = Self::of(self.storage)?;
                }
                done => return Ok(done?),
            }
        }
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
        let (approvals, ends) = (self.approvals(owners, trust), self.ends(owners, trust));
        let mut versions = self.versions(owners);
        versions.insert(version, sha256.clone());
        let time = time.to_record_text();
        let (clock_anew, shop) = (anew, trust.shop().to_owned());
        let formerly = trust.body().formerly.iter().map(|name| name.shop.clone()).collect();
        let mark =
            Mark { approvals, clock_anew, ends, formerly, needed, owners: held, sha256, shop, time, version, versions };
        known.seen.extend(owners.iter().map(|owner| (owner.clone(), mark.clone())));
        if accept {
            known.accepted.extend(owners.iter().cloned());
        }
        known
    }
}

/// The instant from which a trust file starts the clock again, where it is a later version than the one remembered and says
/// what no version before it said: each time it is one signed act, and each account learns of it once.
fn begins_anew(mark: &Mark, trust: &Trust) -> Option<Instant> {
    let anew = Instant::parse(trust.body().clock_anew.as_deref()?).ok()?;
    let before = mark.clock_anew.as_deref().and_then(|before| Instant::parse(before).ok());
    (trust.version() > mark.version && before.is_none_or(|before| before < anew)).then_some(anew)
}

fn print(known: &KnownTrust) -> String {
    serde_json::to_string_pretty(known).map(|text| text + "\n").unwrap_or_default()
}

/// Takes the bytes only as they are written here.
fn parse(bytes: &[u8]) -> Option<KnownTrust> {
    let known: KnownTrust = serde_json::from_slice(bytes).ok()?;
    let is_instant = |text: &str| Instant::parse(text).is_ok_and(|instant| instant.to_record_text() == *text);
    let is_sound = |mark: &Mark| {
        mark.version >= 1
            && mark.needed >= 1
            && is_digest(&mark.sha256)
            && is_instant(&mark.time)
            && mark.clock_anew.as_deref().is_none_or(is_instant)
            && mark.approvals.keys().all(|seal| is_digest(seal))
            && mark.approvals.values().flatten().all(|end| is_instant(end))
            && mark.ends.keys().all(|kid| is_kid(kid))
            && mark.ends.values().flat_map(|end| [&end.retired, &end.revoked]).flatten().all(|at| is_instant(at))
            && mark.versions.values().all(|sha256| is_digest(sha256))
            && mark.owners.iter().flatten().all(|owner| is_kid(owner))
    };
    let sound = known.trust_memory == FORMAT
        && known.accepted.iter().chain(known.seen.keys()).all(|kid| is_kid(kid))
        && known.seen.values().all(is_sound);
    (sound && print(&known).as_bytes() == bytes).then_some(known)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_was_written_is_read() {
        let kid = "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k";
        let mark = Mark {
            approvals: BTreeMap::from([("b4".repeat(32), Some("2026-03-04T09:00:00-06:00".to_owned()))]),
            ends: BTreeMap::from([(
                kid.to_owned(),
                KeptEnd { retired: None, revoked: Some("2026-03-04T08:00:00-06:00".to_owned()) },
            )]),
            clock_anew: None,
            formerly: vec!["Hollow Tarn depot".to_owned()],
            needed: 2,
            owners: vec![vec![kid.to_owned(); 2], vec![kid.to_owned()]],
            sha256: "a3".repeat(32),
            shop: "Hollow Tarn".to_owned(),
            time: "2026-03-04T09:30:00-06:00".to_owned(),
            version: 7,
            versions: BTreeMap::from([(7, "a3".repeat(32))]),
        };
        let known = KnownTrust {
            accepted: BTreeSet::from([kid.to_owned()]),
            seen: BTreeMap::from([(kid.to_owned(), mark)]),
            trust_memory: FORMAT,
        };
        let good = print(&known);
        assert_eq!(parse(good.as_bytes()), Some(known));
        for (find, put) in [
            ("7", "07"),
            ("\"version\": 7", "\"version\": 0"),
            ("\"version\": 7", "\"version\": \"seven\""),
            ("\"needed\": 2", "\"needed\": 0"),
            ("\"needed\": 2", "\"needed\":  2"),
            ("a3a3", "A3a3"),
            ("a3a3", ""),
            ("b4b4", "B4b4"),
            ("09:00:00", "9:00:00"),
            ("09:30:00", "9:30:00"),
            ("08:00:00", "8:00:00"),
            ("\"7\"", "\"x\""),
            ("null", "\"yesterday\""),
            ("kPrK", "!PrK"),
            ("\"trust_memory\": 1", "\"trust_memory\": 2"),
            ("\"seen\"", "\"seen \""),
            ("\n}\n", "\n}"),
            ("\n", "\r\n"),
        ] {
            assert!(good.contains(find), "{find}");
            assert_eq!(parse(good.replace(find, put).as_bytes()), None, "{find:?} {put:?}");
        }
        assert_eq!(parse(b""), None);
        assert_eq!(parse(b"\xff"), None);
    }
}
