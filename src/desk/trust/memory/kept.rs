//! What is remembered of trust files, as it is written: taken only as it was written here.
//!
//! Must not know what follows from it.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::checklist::jws::is_kid;
use crate::checklist::packs::is_digest;
use crate::checklist::trust::{KeySpan, TrustBody};
use crate::units::Instant;

/// The format of what is remembered; another one is not read.
pub(super) const FORMAT: u32 = 2;

/// What is remembered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct KnownTrust {
    /// The thumbprints of the owners' keys that the person of this account has accepted.
    pub(super) accepted: BTreeSet<String>,
    /// By the thumbprints of owners' keys.
    pub(super) seen: BTreeMap<String, Mark>,
    pub(super) trust_memory: u32,
}

/// What is remembered of the trust files that were signed with one owner's key.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Mark {
    /// The packs' approvals of all versions seen, by the digests of the safety officer's signatures, each with its end.
    /// One that the highest version no longer has ended with that version. An owner's signature alone brings none of
    /// them back.
    pub(super) approvals: BTreeMap<String, Option<String>>,
    /// From when the clock was last started again by a version of the trust file, if it ever was.
    pub(super) clock_anew: Option<String>,
    /// The names that the shop had before.
    pub(super) formerly: Vec<String>,
    /// The keys of all versions seen, by their thumbprints.
    pub(super) keys: BTreeMap<String, KeptKey>,
    /// How many owners the highest version asks for. A version that asks for fewer, or has other owners, has been signed by
    /// as many owners of the one before as that asked for, or it would not have been taken; so both may change with it.
    pub(super) needed: usize,
    /// The thumbprints of its owners' keys, in order, one list for each owner. Were only the number of owners known, one
    /// could make up another; were only their keys known, one with two keys could give the second to somebody invented.
    pub(super) owners: Vec<Vec<String>>,
    /// The people of all versions seen, by name.
    pub(super) people: BTreeSet<String>,
    /// What the highest version says, so that this account is told what the next one says otherwise: its content, which
    /// no edition of the program words otherwise. An earlier edition kept words of its own here.
    pub(super) says: BTreeMap<String, Value>,
    /// SHA-256 of its content: of two files of one version the first one seen counts, and the other one never.
    pub(super) sha256: String,
    /// The shop that it is of. Another one's file that is signed with the same key would stand in the row of this one's.
    pub(super) shop: String,
    /// The latest time that the clock has shown, to the minute.
    pub(super) time: String,
    /// The highest version.
    pub(super) version: i64,
    /// The versions seen.
    pub(super) versions: BTreeMap<i64, KeptVersion>,
}

/// From when until when a key signs: the least that any version said of an end that had come, and the earliest beginning.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct KeptKey {
    pub(super) from: String,
    pub(super) revoked: Option<String>,
    pub(super) until: String,
}

/// One version that was seen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct KeptVersion {
    /// The latest instant that it bears out, and no later one than the clock showed here: an owner who writes a far one
    /// would otherwise keep every later version from this account.
    pub(super) latest: String,
    /// When it was made, by the same rule.
    pub(super) made_at: String,
    /// SHA-256 of its content.
    pub(super) sha256: String,
}

impl Mark {
    /// The content of the highest version, as [`Mark::says`] has it.
    pub(super) fn content(body: &TrustBody) -> BTreeMap<String, Value> {
        match serde_json::to_value(body) {
            Ok(Value::Object(members)) => members.into_iter().collect(),
            _ => BTreeMap::new(),
        }
    }

    /// The highest version; nothing where an earlier edition of the program kept it in words of its own.
    pub(super) fn body(&self) -> Option<TrustBody> {
        serde_json::from_value(Value::Object(self.says.clone().into_iter().collect())).ok()
    }
}

impl KeptKey {
    pub(super) fn of(span: KeySpan) -> Self {
        let KeySpan { from, until, revoked } = span;
        let revoked = revoked.map(Instant::to_record_text);
        Self { from: from.to_record_text(), revoked, until: until.to_record_text() }
    }

    pub(super) fn read(&self) -> Option<KeySpan> {
        let at = |text: &String| Instant::parse(text).ok();
        Some(KeySpan { from: at(&self.from)?, until: at(&self.until)?, revoked: self.revoked.as_ref().and_then(at) })
    }
}

impl KeptVersion {
    /// Held to be of an instant at the latest, where the clock begins anew with that.
    pub(super) fn no_later(&self, anew: Option<Instant>) -> Self {
        let Some((anew, (made_at, latest))) = anew.zip(self.read()) else { return self.clone() };
        let held = |at: Instant, text: &str| if at > anew { anew.to_record_text() } else { text.to_owned() };
        let (made_at, latest) = (held(made_at, &self.made_at), held(latest, &self.latest));
        Self { latest, made_at, sha256: self.sha256.clone() }
    }

    pub(super) fn read(&self) -> Option<(Instant, Instant)> {
        Instant::parse(&self.made_at).ok().zip(Instant::parse(&self.latest).ok())
    }
}

pub(super) fn print(known: &KnownTrust) -> String {
    serde_json::to_string_pretty(known).map(|text| text + "\n").unwrap_or_default()
}

/// Takes the bytes only as they are written here.
pub(super) fn parse(bytes: &[u8]) -> Option<KnownTrust> {
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
            && mark.keys.keys().all(|kid| is_kid(kid))
            && mark.keys.values().flat_map(|key| [&key.from, &key.until]).all(|at| is_instant(at))
            && mark.keys.values().filter_map(|key| key.revoked.as_ref()).all(|at| is_instant(at))
            && mark.versions.values().all(|seen| is_digest(&seen.sha256))
            && mark.versions.values().flat_map(|seen| [&seen.made_at, &seen.latest]).all(|at| is_instant(at))
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
            clock_anew: None,
            formerly: vec!["Hollow Tarn depot".to_owned()],
            keys: BTreeMap::from([(
                kid.to_owned(),
                KeptKey {
                    from: "2026-03-01T08:00:00-06:00".to_owned(),
                    revoked: Some("2026-03-04T08:00:00-06:00".to_owned()),
                    until: "2027-03-01T08:00:00-06:00".to_owned(),
                },
            )]),
            needed: 2,
            owners: vec![vec![kid.to_owned(); 2], vec![kid.to_owned()]],
            people: BTreeSet::from(["Odile Varga".to_owned()]),
            says: BTreeMap::from([("shop".to_owned(), Value::from("Hollow Tarn"))]),
            sha256: "a3".repeat(32),
            shop: "Hollow Tarn".to_owned(),
            time: "2026-03-04T09:30:00-06:00".to_owned(),
            version: 7,
            versions: BTreeMap::from([(
                7,
                KeptVersion {
                    latest: "2026-03-04T07:30:00-06:00".to_owned(),
                    made_at: "2026-03-04T07:00:00-06:00".to_owned(),
                    sha256: "a3".repeat(32),
                },
            )]),
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
            ("04T08:00:00", "04T8:00:00"),
            ("07:00:00", "7:00:00"),
            ("07:30:00", "7:30:00"),
            ("2026-03-01", "2026-3-01"),
            ("2027-03-01", "2027-3-01"),
            ("\"7\"", "\"x\""),
            ("null", "\"yesterday\""),
            ("kPrK", "!PrK"),
            ("\"trust_memory\": 2", "\"trust_memory\": 1"),
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
