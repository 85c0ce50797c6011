//! What may be true in a shop, apart from the program: who holds which key by which version, what an account has seen, what
//! records come to, and who signed what when. It knows no bytes, digest or signature: keys and contents are numbers.

use std::collections::{BTreeMap, BTreeSet};

use fillward::checklist::trust::TrustBody;
use fillward::units::{Exact, Instant};
use fillward::vocabulary::{HoldPoint, Role};

use super::held::HeldKey;
use crate::shop::counter::MALLORY;
use crate::shop::{OWNER, PEOPLE, key, later};

/// Seconds by which clocks of a shop may differ (`rules/CODES.md`).
const SKEW: i64 = 300;
/// Seconds after the demo instant until which the demo job passes, before the fill and before the air, as `check` tells it.
const PASSES_FOR: [i128; 2] = [4800, 5400];

pub(super) fn plus(at: Instant, seconds: i64) -> Instant {
    at.checked_add_seconds(Exact::from_int(seconds)).unwrap()
}

/// Whether an instant is later than another by more than clocks may differ.
fn ahead(instant: Instant, of: Instant) -> bool {
    instant > plus(of, SKEW)
}

/// What the record says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Text {
    Passing,
    /// The same job, weighed again.
    Weighed,
    /// The same of another job.
    OtherJob,
    /// Too much solvent in the bay, which a safety officer may permit; and more of it.
    Solvent,
    MoreSolvent,
    /// What nobody may permit.
    Held,
}

/// What lies there as the record, and at which hold point it is signed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Record {
    pub(super) text: Text,
    pub(super) air: bool,
}

impl Record {
    pub(super) fn job(self) -> &'static str {
        if self.text == Text::OtherJob { "HT-0312" } else { "HT-0311" }
    }

    /// The liquids come for the fill.
    fn needs_a_permit(self) -> bool {
        !self.air && matches!(self.text, Text::Solvent | Text::MoreSolvent)
    }
}

/// One version of a trust file, whoever made it.
#[derive(Debug, Clone)]
pub(super) struct Content {
    /// Who signed it.
    pub(super) owner: u8,
    pub(super) version: i64,
    /// The version that it goes on from.
    pub(super) parent: Option<usize>,
    made: Instant,
    ends: Instant,
    keys: BTreeMap<u8, HeldKey>,
    /// Of each pack by name: from when and until when somebody approved it.
    approved: BTreeMap<String, Vec<(Instant, Option<Instant>)>>,
    /// From when the officer's key no longer counts.
    officer_until: Option<Instant>,
}

impl Content {
    pub(super) fn of(body: &TrustBody, owner: u8, parent: Option<usize>) -> Self {
        let at = |text: &String| Instant::parse(text).unwrap();
        let seeds = PEOPLE.iter().map(|(seed, ..)| *seed).chain([MALLORY]);
        let seeds: BTreeMap<String, u8> = seeds.map(|seed| (key(seed).public().to_pem(), seed)).collect();
        let (mut keys, mut officer_until) = (BTreeMap::new(), None);
        for (who, person) in body.people.iter().enumerate() {
            for entry in &person.keys {
                let retired = entry.retired.as_ref().map(|end| at(&end.at));
                let revoked = entry.revoked.as_ref().map(|end| at(&end.at));
                let until = retired.into_iter().chain([at(&entry.until)]).min().unwrap();
                if person.roles.contains(&Role::SafetyOfficer) {
                    officer_until = revoked.into_iter().chain([until]).min();
                }
                let held = HeldKey::of((who, person), at(&entry.from), until, revoked.is_some());
                keys.insert(seeds[&entry.public_key], held);
            }
        }
        let mut approved: BTreeMap<String, Vec<_>> = BTreeMap::new();
        for pack in &body.packs {
            let span = (at(&pack.from), pack.until.as_ref().map(at));
            approved.entry(pack.name.clone()).or_default().push(span);
        }
        let (made, ends) = (at(&body.made_at), at(&body.ends_at));
        Self { owner, version: body.version, parent, made, ends, keys, approved, officer_until }
    }

    fn approves(&self, pack: &str, at: Instant) -> bool {
        let covers = |(from, until): &(Instant, Option<Instant>)| {
            // Approved when its officer's key still counted.
            self.officer_until.is_none_or(|end| *from < end) && *from <= at && until.is_none_or(|until| at < until)
        };
        self.approved.get(pack).is_some_and(|spans| spans.iter().any(covers))
    }
}

/// A signature: by whose key, as what, and when it says that it was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Signer {
    pub(super) seed: u8,
    pub(super) role: Role,
    pub(super) at: Instant,
    /// Whether it is of the content that it stands under.
    pub(super) holds: bool,
}

/// A permit for too much solvent, as it stands in a checklist.
#[derive(Debug, Clone)]
pub(super) struct Permit {
    pub(super) record: Record,
    /// Who is said to have asked, by key.
    pub(super) asked_by: u8,
    pub(super) given: Signer,
    pub(super) until: Instant,
}

/// A signed checklist.
#[derive(Debug, Clone)]
pub(super) struct Paper {
    pub(super) name: String,
    /// The record inside, at the hold point at which it was judged.
    pub(super) record: Record,
    /// The job and the hold point that it states.
    pub(super) states: (String, HoldPoint),
    pub(super) judged: Instant,
    /// The content of the trust file that it names.
    pub(super) named: usize,
    pub(super) permit: Option<Permit>,
    pub(super) signers: Vec<Signer>,
    /// Which content it has: two papers of one are copies.
    pub(super) content: usize,
    /// Whether it says what the record comes to.
    pub(super) truthful: bool,
    /// Whether it was made and signed at a desk, and left as it was.
    pub(super) honest: bool,
}

/// What an account remembers.
#[derive(Debug, Clone, Default)]
pub(super) struct Account {
    pub(super) accepted: BTreeSet<u8>,
    /// The contents that it has taken, by the owner's key.
    pub(super) taken: BTreeMap<u8, BTreeSet<usize>>,
    /// The latest time that it has seen, by the owner's key.
    pub(super) latest: BTreeMap<u8, Instant>,
}

/// The shop, and one account of it.
#[derive(Debug, Clone)]
pub(super) struct Model {
    pub(super) contents: Vec<Content>,
    /// The content that lies at the name of the trust file.
    pub(super) lies: usize,
    /// The owner whose key is given with the acts.
    pub(super) pinned: u8,
    pub(super) account: Account,
    pub(super) home: bool,
    pub(super) now: Instant,
    pub(super) record: Record,
    pub(super) packs: Vec<String>,
    pub(super) roles: Vec<Role>,
    pub(super) papers: Vec<Paper>,
}

/// What somebody who verifies means.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Meant {
    pub(super) job: Option<&'static str>,
    pub(super) air: Option<bool>,
}

impl Model {
    pub(super) fn trust(&self) -> &Content {
        &self.contents[self.lies]
    }

    fn taken(&self) -> impl Iterator<Item = &usize> {
        self.account.taken.get(&self.pinned).into_iter().flatten()
    }

    /// What keeps the account from taking the file that lies there.
    pub(super) fn not_taken(&self) -> Vec<&'static str> {
        let trust = self.trust();
        let mut why = Vec::new();
        if trust.owner != self.pinned {
            why.push("the owner's key given has not signed it");
        }
        for other in self.taken() {
            let seen = &self.contents[*other];
            if trust.version < seen.version {
                why.push("a later version was seen");
            }
            if trust.version == seen.version && *other != self.lies {
                why.push("another file of this version was seen");
            }
        }
        why
    }

    /// What keeps everything from starting by the file that lies there, whatever it is.
    pub(super) fn bars(&self) -> Vec<&'static str> {
        let mut why = self.not_taken();
        if !self.home {
            why.push("nothing can be remembered");
        }
        if !self.account.accepted.contains(&self.pinned) {
            why.push("nobody accepted the owner");
        }
        if self.account.latest.get(&self.pinned).is_some_and(|latest| ahead(*latest, self.now)) {
            why.push("the clock was set back");
        }
        why
    }

    /// Whether all that the account has taken lies in the row of the file that lies there.
    pub(super) fn is_of_one_row(&self) -> bool {
        let mut row = BTreeSet::from([self.lies]);
        let mut next = self.trust().parent;
        while let Some(content) = next {
            row.insert(content);
            next = self.contents[content].parent;
        }
        self.taken().all(|taken| row.contains(taken))
    }

    /// The present: no earlier than the account has seen it, where clocks may differ by as much.
    fn present(&self) -> Instant {
        self.account.latest.get(&self.pinned).map_or(self.now, |latest| self.now.max(*latest))
    }

    /// What keeps a signature from counting for a start now.
    fn against_signer(&self, signer: &Signer) -> Vec<&'static str> {
        let mut why = Vec::new();
        match self.trust().keys.get(&signer.seed) {
            None => why.push("whose key nobody knows"),
            Some(held) if !held.signs(signer) => why.push("whose key was not in force"),
            Some(held) if self.present() >= held.until => why.push("whose key has ended since"),
            Some(_) => {}
        }
        for taken in self.taken() {
            let seen = &self.contents[*taken];
            let ended = |held: &HeldKey| held.revoked || held.until <= seen.made && signer.at >= held.until;
            if seen.keys.get(&signer.seed).is_some_and(ended) {
                why.push("whose key had ended in a version seen");
            }
        }
        why
    }

    fn person(&self, seed: u8) -> Option<usize> {
        self.trust().keys.get(&seed).map(|held| held.who)
    }

    /// Whether each role can be filled by another person.
    fn fills(&self, roles: &[Role], signers: &[Signer], used: &BTreeSet<Option<usize>>) -> bool {
        let Some((role, rest)) = roles.split_first() else { return true };
        signers.iter().filter(|signer| signer.role == *role).any(|signer| {
            let mut used = used.clone();
            used.insert(self.person(signer.seed)) && self.fills(rest, signers, &used)
        })
    }

    fn against_permit(&self, paper: &Paper) -> Vec<&'static str> {
        let Some(permit) = &paper.permit else { return vec!["it needs a permit"] };
        let Permit { record, asked_by, given, until } = permit;
        let mut why = self.against_signer(given);
        if *record != paper.record {
            why.push("the permit is for something else");
        }
        if given.role != Role::SafetyOfficer {
            why.push("the permit is in another role");
        }
        if self.person(*asked_by) == self.person(given.seed) {
            why.push("the permit is to oneself");
        }
        let signs = |signer: &&Signer| self.person(signer.seed) == self.person(given.seed);
        if paper.signers.iter().filter(signs).any(|signer| signer.role == Role::Supervisor) {
            why.push("the permit is by who signs");
        }
        if ahead(given.at, paper.judged) || paper.judged >= *until || self.present() > *until {
            why.push("the permit was not in force");
        }
        why
    }

    /// Everything by which nothing may start now by a paper, as somebody means it.
    pub(super) fn against(&self, paper: &Paper, meant: Meant) -> Vec<&'static str> {
        let (trust, named, now) = (self.trust(), &self.contents[paper.named], self.present());
        let mut why = self.bars();
        let mut when = |so: bool, what: &'static str| {
            if so {
                why.push(what);
            }
        };
        when(ahead(trust.made, self.now), "the trust file was made later");
        when(now >= trust.ends, "the trust file has ended");
        when(!paper.truthful, "it was made up");
        when(named.owner != self.pinned || named.version > trust.version, "it is beyond the trust file");
        when(named.version == trust.version && paper.named != self.lies, "it is by another file of this version");
        let is_seen = paper.named == self.lies || self.taken().any(|taken| *taken == paper.named);
        when(!is_seen, "nobody here saw its version");
        when(ahead(named.made, paper.judged), "it was judged before its version was made");
        when(ahead(paper.judged, self.now), "it was judged ahead");
        let passes_until = later(PASSES_FOR[usize::from(paper.record.air)]);
        when(paper.judged > passes_until || now > passes_until, "what it was for is over");
        when(self.record != paper.record, "the record is another one");
        when(paper.record.text == Text::Held, "it is held");
        let unapproved = |at| self.packs.iter().any(|pack| !trust.approves(pack, at));
        when(unapproved(paper.judged) || unapproved(now), "a pack was not approved");
        when(meant.job.is_some_and(|job| job != paper.record.job()), "another job is meant");
        when(meant.air.is_some_and(|air| air != paper.record.air), "another hold point is meant");
        let in_time = |signer: &&Signer| signer.at <= passes_until;
        let in_time: Vec<Signer> = paper.signers.iter().filter(in_time).copied().collect();
        when(!self.fills(&self.roles, &in_time, &BTreeSet::new()), "people are missing");
        when(self.papers.iter().any(|other| self.is_later(other, paper)), "a later one lies beside it");
        if paper.record.needs_a_permit() {
            why.extend(self.against_permit(paper));
        }
        for (place, signer) in paper.signers.iter().enumerate() {
            why.extend(self.against_signer(signer));
            if ahead(paper.judged, signer.at) || ahead(signer.at, self.now) {
                why.push("a signature was not made when it could be");
            }
            if paper.signers[..place].iter().any(|other| other.seed == signer.seed) {
                why.push("somebody signed twice");
            }
        }
        why
    }

    /// Whether a paper that somebody signed for certain says something else of the same job, later or at the same time.
    fn is_later(&self, other: &Paper, than: &Paper) -> bool {
        let signed = || {
            let trust = self.trust();
            other.signers.iter().any(|by| trust.keys.get(&by.seed).is_some_and(|held| held.signs(by)))
        };
        other.states == than.states && other.content != than.content && other.judged >= than.judged && signed()
    }

    /// What makes an honest paper doubtful by the file that lies there and by this clock: a key or an approval that did not
    /// reach as far, by what is known today, a file of two versions, a clock that stands behind.
    pub(super) fn may_be_doubted(&self, paper: &Paper) -> Vec<&'static str> {
        let (trust, named) = (self.trust(), &self.contents[paper.named]);
        let mut why = Vec::new();
        let mut when = |so: bool, what: &'static str| {
            if so {
                why.push(what);
            }
        };
        when(named.owner != trust.owner || trust.owner != OWNER, "another owner");
        when(named.version == trust.version && paper.named != self.lies, "two files of a version");
        let is_twin = |taken: &usize| *taken != paper.named && self.contents[*taken].version == named.version;
        when(self.taken().any(is_twin), "two files of a version seen");
        let permitted = paper.permit.as_ref().map(|permit| permit.given);
        for signer in paper.signers.iter().copied().chain(permitted) {
            when(!trust.keys.get(&signer.seed).is_some_and(|held| held.signs(&signer)), "a key that does not count");
            when(ahead(signer.at, self.now) || signer.at >= trust.ends, "signed ahead");
        }
        when(ahead(paper.judged, self.now), "judged ahead");
        when(self.packs.iter().any(|pack| !trust.approves(pack, paper.judged)), "a pack that was not approved");
        when(ahead(named.made, paper.judged), "judged before its version");
        why
    }
}
