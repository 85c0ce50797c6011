//! The acts at the desk of the test shop, each told to the model as well, and the law asked wherever the desk answers.

use std::collections::BTreeSet;

use fillward::checklist::jws::Envelope;
use fillward::checklist::trust::{Approval, Ending, TrustBody};
use fillward::desk::world::Trouble;
use fillward::desk::{NextTrust, Opened, Purpose, Refusal, TrustOrder};
use fillward::units::Instant;
use fillward::vocabulary::{Kind, Role};
use proptest::prelude::*;
use proptest::test_runner::TestCaseResult;

use super::acts::{Act, Change, IVO};
use super::model::{Account, Content, Meant, Model, Permit, Record, Text, plus};
use crate::common;
use crate::shop::counter::{MALLORY, RECORD, TRUST, accepted};
use crate::shop::world::World;
use crate::shop::{MAIRE, OWNER, PEOPLE, SECOND, Shop, at, before_air, key, later, passing, person, sealed};

pub(super) const MINUTE: i64 = 60;
pub(super) const DAY: i64 = 86_400;

/// The desk and the model beside it.
pub(super) struct Play {
    pub(super) counter: Shop<World>,
    pub(super) model: Model,
    /// What each content of the model says, and its file.
    trusts: Vec<(TrustBody, Vec<u8>)>,
    accounts: Vec<(Option<Vec<u8>>, Account)>,
    pub(super) permits: Vec<(String, Permit)>,
    pub(super) payloads: Vec<Vec<u8>>,
    /// Whether it cannot be told what the account has taken.
    pub(super) murky: bool,
    /// Where the clock stands, after the demo instant.
    seconds: i128,
    /// How often something may start.
    pub(super) starts: usize,
    /// What alone kept something from starting.
    pub(super) alone: BTreeSet<&'static str>,
}

fn text_of(record: Record) -> String {
    let changed = |find: &str, put: &str| passing().replacen(find, put, 1);
    let solvent = |put: &str| changed("solvent_on_hand: 2 gal", put);
    let text = match record.text {
        Text::Passing => passing(),
        Text::Weighed => changed("mass: 292 lb", "mass: 290 lb"),
        Text::OtherJob => changed("HT-0311", "HT-0312"),
        Text::Solvent => solvent("solvent_on_hand: 12 gal"),
        Text::MoreSolvent => solvent("solvent_on_hand: 14 gal"),
        Text::Held => changed("faults: []", "faults: [crack]"),
    };
    if record.air { before_air(&text) } else { text }
}

pub(super) fn name_of(seed: u8) -> &'static str {
    PEOPLE.iter().find(|(known, ..)| *known == seed).map_or("Nobody Known", |(_, name, _)| name)
}

fn signed(body: &TrustBody, seed: u8, at: Instant) -> Vec<u8> {
    let mut envelope = Envelope::new(Kind::Trust, body).unwrap();
    envelope.sign(&key(seed), Role::Owner, at).unwrap();
    envelope.to_file().unwrap()
}

impl Play {
    /// A shop whose pack asks for these signatures, or the base pack alone.
    pub(super) fn new(signed_by: Option<&str>) -> Self {
        let local = signed_by.map(|signed_by| common::local_pack("two-people", signed_by));
        let counter = Shop::with(&local.iter().map(String::as_str).collect::<Vec<_>>()).at_desk();
        let body = sealed(&counter.trust_body());
        let file = signed(&body, OWNER, at(&body.made_at));
        counter.put(TRUST, &file);
        let packs = counter.parts.iter().map(|part| part.name.clone()).collect();
        let roles = match signed_by {
            None => vec![Role::Supervisor],
            Some(words) => words.split(", ").map(|word| Role::find(word).unwrap()).collect(),
        };
        let record = Record { text: Text::Passing, air: false };
        let account = Account { accepted: [OWNER, SECOND].into(), ..Account::default() };
        let model = Model {
            contents: vec![Content::of(&body, OWNER, None)],
            lies: 0,
            pinned: OWNER,
            account,
            home: true,
            now: later(0),
            record,
            packs,
            roles,
            papers: Vec::new(),
        };
        let (trusts, accounts, permits, payloads) = (vec![(body, file)], Vec::new(), Vec::new(), Vec::new());
        Self {
            counter,
            model,
            trusts,
            accounts,
            permits,
            payloads,
            murky: false,
            seconds: 0,
            starts: 0,
            alone: BTreeSet::new(),
        }
    }

    pub(super) fn act(&mut self, act: Act) -> TestCaseResult {
        match act {
            Act::Next(change) => self.next(change),
            Act::PutBack(index) => self.put(index.index(self.trusts.len())),
            Act::Draft(index) => self.draft_of(index.index(self.trusts.len())),
            Act::Foreign => self.foreign(),
            Act::Pin(theirs) => {
                self.model.pinned = if theirs { MALLORY } else { OWNER };
                self.counter.owners = vec![self.model.pinned];
            }
            Act::Save => self.accounts.push((self.counter.memory(), self.model.account.clone())),
            Act::Restore(index) if !self.accounts.is_empty() => {
                let (bytes, account) = index.get(&self.accounts).clone();
                self.counter.remember(bytes);
                self.model.account = account;
            }
            Act::NewAccount(accepts) => {
                self.counter.remember(accepts.then(accepted));
                let owners = accepts.then_some([OWNER, SECOND]).into_iter().flatten().collect();
                self.model.account = Account { accepted: owners, ..Account::default() };
                self.murky = false;
            }
            Act::Home(home) => {
                self.counter.no_memory((!home).then_some(Trouble::Nowhere));
                self.model.home = home;
            }
            Act::Clock(minutes) => {
                self.seconds += i128::from(minutes) * i128::from(MINUTE);
                self.counter.clock(self.seconds);
                self.model.now = later(self.seconds);
            }
            Act::Write(record) => {
                self.model.record = record;
                self.counter.put(RECORD, text_of(record));
            }
            Act::Permit { by, role, asked_by, minutes } => self.permit((by, role), asked_by, minutes)?,
            Act::Sign { by, role, permit, whole } => {
                if self.sign((by, role), permit, whole)? {
                    self.verify(self.model.papers.len() - 1, Meant::default())?;
                }
            }
            Act::Countersign(file, by, role) => self.countersign(file, (by, role))?,
            Act::Forge(how, by, role, ago) => self.forge(how, (by, role), ago)?,
            Act::Tamper(file, how) => self.tamper(file, how),
            Act::Verify(file, meant) if !self.model.papers.is_empty() => {
                self.verify(file.index(self.model.papers.len()), meant)?;
            }
            Act::Restore(_) | Act::Verify(..) => {}
        }
        Ok(())
    }

    /// Keeps what alone keeps something from starting: then the law asks for just that.
    pub(super) fn tell(&mut self, why: &[&'static str]) {
        if let [alone] = why {
            self.alone.insert(alone);
        }
    }

    fn put(&mut self, content: usize) {
        self.model.lies = content;
        self.counter.put(TRUST, &self.trusts[content].1);
    }

    fn make(&mut self, body: TrustBody, owner: u8, parent: Option<usize>, at: Instant) {
        // Made twice, it is one.
        if let Some(known) = self.trusts.iter().position(|(known, _)| *known == body) {
            self.put(known);
            return;
        }
        self.model.contents.push(Content::of(&body, owner, parent));
        let file = signed(&body, owner, at);
        self.trusts.push((body, file));
        self.put(self.trusts.len() - 1);
    }

    /// The owner makes the version after the one that lies there, on another account.
    fn next(&mut self, change: Change) {
        let (now, desk) = (self.model.now, self.counter.desk());
        let Ok(next) = desk.next_trust(TRUST.as_ref()) else { return };
        let NextTrust { mut body, .. } = next;
        let ago = |minutes: u8| plus(now, -MINUTE * i64::from(minutes));
        let done = match change {
            Change::Add => {
                let span = (now, plus(now, 30 * DAY));
                body.add(name_of(IVO), &[Role::Supervisor], Some(key(IVO).public()), span)
            }
            Change::Retire(who) => body.end(name_of(who), &[], Ending::Retired, now, "has left"),
            Change::Role(who, false) => body.take_roles(name_of(who), &[Role::Supervisor]),
            Change::Role(who, true) => body.add(name_of(who), &[Role::Supervisor], None, (now, now)),
            Change::Revoke(who, minutes) => body.end(name_of(who), &[], Ending::Revoked, ago(minutes), "stolen"),
            Change::Renew(days) => {
                body.renew(plus(now, DAY * i64::from(days) + 30 * MINUTE), false);
                Ok(())
            }
            Change::EndPack => body.end_approvals(&self.model.packs[0], now),
            Change::ApprovePack => {
                let part = &self.counter.parts[0];
                body.give_way(&part.name, &now.to_record_text());
                let mut approval = Approval {
                    name: part.name.clone(),
                    edition: part.edition.clone(),
                    sha256: part.sha256.clone(),
                    approved_by: name_of(MAIRE).to_owned(),
                    required: true,
                    from: now.to_record_text(),
                    until: None,
                    once_signed: false,
                    shop: None,
                    seal: None,
                };
                approval.sign(&body.shop, &key(MAIRE), now).unwrap();
                body.packs.push(approval);
                Ok(())
            }
        };
        if done.is_err() {
            return;
        }
        let order = TrustOrder { body, name: "trust".into(), document: None, out: TRUST.into(), from: None };
        let Ok(draft) = desk.draft_trust(order) else { return };
        let body = draft.proposal().body.clone();
        let (owner, made) = (self.model.trust().owner, at(&body.made_at));
        self.make(body, owner, Some(self.model.lies), made.max(now));
    }

    /// A draft of a version, from before what that changes.
    fn draft_of(&mut self, of: usize) {
        let Content { owner, parent, .. } = self.model.contents[of].clone();
        let (known, _) = &self.trusts[of];
        let before = parent.map_or(known, |parent| &self.trusts[parent].0);
        let ends_at = plus(at(&before.ends_at), DAY).to_record_text();
        let body = TrustBody { version: known.version, made_at: known.made_at.clone(), ends_at, ..before.clone() };
        let made = at(&body.made_at);
        self.make(body, owner, parent, made);
    }

    /// Somebody's own trust file of the shop, with everybody in it and a key of theirs as the owner's.
    fn foreign(&mut self) {
        let (mut body, _) = self.trusts[self.model.lies].clone();
        if let Some(owner) = body.people.iter_mut().find(|known| known.roles == [Role::Owner]) {
            *owner = person(&(MALLORY, name_of(OWNER), Role::Owner));
        }
        body.version += 1;
        let made = at(&body.made_at);
        self.make(body, MALLORY, None, made);
    }

    /// Opens the trust file, and asks the law of it.
    pub(super) fn open(&mut self, purpose: Purpose) -> Result<Result<Opened, Refusal>, TestCaseError> {
        let (not_taken, bars, one_row) =
            (self.model.not_taken(), self.model.bars(), self.model.is_of_one_row() && !self.murky);
        let opened = self.counter.open(purpose);
        let serves = opened.as_ref().is_ok_and(|opened| opened.trust.bars().count() == 0);
        prop_assert!(!serves || bars.is_empty(), "it serves, although {bars:?}");
        prop_assert!(serves || !bars.is_empty() || !one_row, "it does not serve: {opened:?}");
        self.tell(&bars);
        if self.model.home && not_taken.is_empty() {
            // What is only barred is seen all the same.
            self.murky |= opened.is_err() && !one_row;
            if opened.is_ok() || one_row {
                let Model { account, pinned, now, lies, .. } = &mut self.model;
                account.taken.entry(*pinned).or_default().insert(*lies);
                account.latest.entry(*pinned).and_modify(|latest| *latest = (*latest).max(*now)).or_insert(*now);
            }
        }
        Ok(opened)
    }
}
