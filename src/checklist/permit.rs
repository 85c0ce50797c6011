//! Deviation permits (ISO 9000:2015, 3.12.6): a signed permission, given beforehand, to go on in spite of one broken rule.
//!
//! A permit names one rule of one pack, one subject of one job of one shop, the hold point, what is filled, what the
//! record showed of the fault, the lot, pump, place or casing that it is about, who asked and why, and its end; when it was
//! asked for is the instant of the first signature. Anyone who asks may sign it; it is a permit once the person who may
//! permit has signed it, and holds from then on. A record that fills or shows something else is not covered. What is not
//! shown cannot be permitted: nobody knows what they would be permitting. This module must not know checklists.

mod bound;
mod things;

use serde::{Deserialize, Serialize};

use super::canonical::nullable;
use super::evidence::{EvidenceLines, called, subject};
use super::filled::Filled;
use super::jws::{Envelope, Signer, instant};
use super::keys::SecretKey;
use super::packs::{PackPart, Packs};
use super::reason::{PermitReason, PermittedElsewhere, Reason};
use super::trust::{Revoked, Trust, TrustPart, ahead_of};
use crate::document::{Code, Fault};
use crate::engine::{Finding, Scene};
use crate::pack::{Rule, rule_code};
use crate::units::Instant;
use crate::vocabulary::{HoldPoint, Kind, Outcome, Role, has_words, names_one_thing};

pub use bound::{BoundPermit, PermittedJudgement, apply};
pub use things::things;

/// The format of this edition.
pub const FORMAT: &str = "fillward-permit/6";

/// The content of a permit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PermitBody {
    /// Who asked for it, by the name in the trust file.
    pub asked_by: String,
    /// What the record shows of the broken rule, as it was when it was asked for.
    pub evidence: EvidenceLines,
    /// What is filled, all of it, in the order of the record.
    pub filled: Vec<Filled>,
    /// [`FORMAT`].
    pub format: String,
    /// The hold point at which the rule is broken.
    pub hold_point: HoldPoint,
    /// The job.
    pub job: String,
    /// The name that the record gives the subject; null for the job, and where it gives none.
    #[serde(deserialize_with = "nullable")]
    pub mark: Option<String>,
    /// The pack of the rule.
    pub pack: PackPart,
    /// Why it is asked for, and what is done instead.
    pub reason: String,
    /// The rule's name in the pack.
    pub rule: String,
    /// The place of the subject in the record; empty for the job as a whole.
    pub subject: String,
    /// What the fault is about, by the names that the record gives: lines of the place of each name and the name.
    pub things: Vec<String>,
    /// The time zone of the shop, by its name in the IANA database.
    pub time_zone: String,
    /// The rule's title.
    pub title: String,
    /// The trust file that was in force when it was asked for, and so the shop: numbers and marks repeat from shop to shop.
    pub trust: TrustPart,
    /// Until when it holds.
    pub until: String,
}

impl PermitBody {
    /// The fault and its subject in words.
    fn called(&self) -> String {
        format!("“{}” of {}", self.title, self.subject_words())
    }

    /// The subject in words.
    pub fn subject_words(&self) -> String {
        called(self.mark.as_deref(), &self.subject)
    }
}

/// A permit, read; its signature is checked by [`Permit::check`].
#[derive(Debug, Clone)]
pub struct Permit {
    envelope: Envelope,
    body: PermitBody,
    /// When it was asked for: the instant of the first signature, by the person who asked or by the person who
    /// permitted what was asked for by word of mouth. Nothing as long as nobody has signed.
    asked_at: Option<Instant>,
    until: Instant,
}

/// The instant of the first signature that can be read, in whatever order they stand.
fn first_signed(envelope: &Envelope) -> Option<Instant> {
    envelope.signers().into_iter().flatten().map(|signer| signer.at).min()
}

/// What a permit comes to by the trust file.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Checked {
    /// Everything against it.
    pub(super) faults: Vec<Reason>,
    /// Its signatures by keys that were revoked since.
    pub(super) revoked: Vec<Revoked>,
    /// That the time of the key that permits has run out by the instant of the question, if so.
    pub(super) ended: Vec<Reason>,
}

impl Permit {
    /// Puts a body into an envelope for signing.
    ///
    /// # Errors
    /// If the body is not in order.
    pub fn new(body: &PermitBody) -> Result<Self, Fault> {
        Self::of(Envelope::new(Kind::Permit, body)?)
    }

    /// Reads a file.
    ///
    /// # Errors
    /// If it is not a permit in exact form.
    pub fn read(name: &str, bytes: &[u8]) -> Result<Self, Fault> {
        Self::of(Envelope::read(Kind::Permit, name, bytes)?)
    }

    /// Takes an envelope.
    ///
    /// # Errors
    /// If its body is not in order.
    pub fn of(envelope: Envelope) -> Result<Self, Fault> {
        let body: PermitBody = envelope.body()?;
        let fault = |what: String| {
            Err(Fault::new(Code::ChecklistPermitContent, what).help("ask for it again with `fillward permit ask`"))
        };
        if body.format != FORMAT {
            return fault(format!("the format of the permit is `{}`, this edition reads `{FORMAT}`", body.format));
        }
        let Some(until) = instant(&body.until) else {
            return fault("the end of the permit is not an instant with seconds and offset".to_owned());
        };
        let asked_at = first_signed(&envelope);
        if asked_at.is_some_and(|asked_at| until <= asked_at) {
            return fault("the permit ends before it is asked for".to_owned());
        }
        if !has_words(&body.reason) {
            return fault("the permit gives no reason".to_owned());
        }
        Ok(Self { envelope, body, asked_at, until })
    }

    /// The content.
    pub const fn body(&self) -> &PermitBody {
        &self.body
    }

    /// Until when it holds.
    pub const fn until(&self) -> Instant {
        self.until
    }

    /// The signed document.
    pub const fn envelope(&self) -> &Envelope {
        &self.envelope
    }

    /// Adds a signature, and changes nothing of the content.
    ///
    /// # Errors
    /// If the header cannot be written.
    pub fn sign(&mut self, key: &SecretKey, role: Role, at: Instant) -> Result<(), Fault> {
        self.envelope.sign(key, role, at)?;
        self.asked_at = first_signed(&self.envelope);
        Ok(())
    }

    /// When it was asked for; nothing as long as nobody has signed.
    pub const fn asked_at(&self) -> Option<Instant> {
        self.asked_at
    }

    /// `pack/rule`.
    pub fn code(&self) -> String {
        rule_code(&self.body.pack.name, &self.body.rule)
    }

    /// Everything against the permit when it is relied on at `at`: its signatures, who signed, who asked, and, where the
    /// packs are given, what the rule allows. A key that was revoked since speaks against it whenever it signed.
    pub fn check(&self, trust: &Trust, packs: Option<Packs<'_>>, at: Instant) -> Vec<Reason> {
        let Checked { mut faults, revoked, ended: _ } = self.check_asked(trust, packs, at, at);
        faults.extend(revoked.into_iter().map(|revoked| self.wrap(revoked.reason(None))));
        faults
    }

    /// The same where something is to start by it: a key whose time has run out since speaks against that as well.
    pub fn check_to_start(&self, trust: &Trust, packs: Option<Packs<'_>>, at: Instant) -> Vec<Reason> {
        let ended = self.check_asked(trust, packs, at, at).ended;
        self.check(trust, packs, at).into_iter().chain(ended).collect()
    }

    /// The same where it is asked about at another instant; the keys that were revoked since, or have ended by then,
    /// are given by themselves.
    pub(super) fn check_asked(&self, trust: &Trust, packs: Option<Packs<'_>>, at: Instant, asked: Instant) -> Checked {
        let mut checked = Checked::default();
        // By the trust file of another shop nothing can be said of its signatures.
        if let Some(reason) = self.body.trust.other_shop(trust) {
            checked.faults.push(self.wrap(reason));
            return checked;
        }
        checked.faults.extend(self.body.trust.later(trust).or_else(|| self.body.trust.differs(trust)));
        if self.envelope.seals().is_empty() {
            checked.faults.push(Reason::NotSigned(Kind::Permit));
        }
        checked.faults.extend(self.envelope.signers().into_iter().filter_map(Result::err));
        let asks = |signer: &Signer| trust.name_of(&signer.kid) == self.body.asked_by;
        let (askers, permitters): (Vec<Signer>, Vec<Signer>) = self.signers().partition(asks);
        if askers.len() > 1 || permitters.len() > 1 {
            let who = self.signers().map(|signer| trust.name_of(&signer.kid)).collect();
            checked.faults.push(Reason::OfPermit(PermitReason::Signers { who }));
        } else {
            for signer in askers.iter().chain(&permitters) {
                self.check_signature(signer, trust, at, &mut checked);
            }
            // What goes on goes on by the word of whoever permits. That somebody asked is over, and who signs that has not
            // less of a permit than who asked by word of mouth.
            let permits = permitters.first().and_then(|signer| trust.standing(&self.envelope, signer).ok());
            checked.ended.extend(permits.and_then(|standing| standing.ended(asked)));
            match (permitters.first(), askers.first()) {
                (Some(signer), _) => checked.faults.extend(self.check_role(signer, trust, packs)),
                (None, Some(_)) => {
                    checked.faults.push(Reason::OfPermit(PermitReason::ToOneself { who: self.body.asked_by.clone() }));
                }
                (None, None) => {}
            }
            if let (Some(asked), Some(given)) = (askers.first(), permitters.first())
                && ahead_of(asked.at, given.at)
            {
                let (asked, given) = (asked.at, given.at);
                checked.faults.push(Reason::OfPermit(PermitReason::BeforeAsked { asked, given }));
            }
        }
        checked.faults.extend(packs.map(|packs| self.check_rule(packs, at)).unwrap_or_default());
        if trust.person(&self.body.asked_by).is_none() {
            checked.faults.push(Reason::UnknownPerson { who: self.body.asked_by.clone() });
        }
        checked.faults.extend(self.out_of_force(at));
        let wrap = |reasons: Vec<Reason>| reasons.into_iter().map(|reason| self.wrap(reason)).collect();
        Checked { faults: wrap(checked.faults), revoked: checked.revoked, ended: wrap(checked.ended) }
    }

    /// Why it is not for this job, hold point or zone, if so.
    pub(super) fn elsewhere(&self, job: Option<&str>, point: HoldPoint, zone: &str) -> Option<Reason> {
        let PermitBody { job: own, hold_point, time_zone, .. } = &self.body;
        let other = if !job.is_some_and(|job| names_one_thing(job, own)) {
            PermittedElsewhere::Job { own: own.clone(), this: job.map(str::to_owned) }
        } else if *hold_point != point {
            PermittedElsewhere::HoldPoint { own: *hold_point, this: point }
        } else if time_zone != zone {
            PermittedElsewhere::Zone { own: time_zone.clone(), this: zone.to_owned() }
        } else {
            return None;
        };
        Some(self.wrap(PermitReason::Other(other).into()))
    }

    /// Why the permit is not in force at an instant, if so.
    pub(super) fn out_of_force(&self, at: Instant) -> Option<Reason> {
        // The clock of the person who asked may be ahead of this one by a little; an end is an end.
        let outside = self.asked_at.is_some_and(|asked_at| ahead_of(asked_at, at)) || at >= self.until;
        outside.then(|| self.not_in_force(at))
    }

    fn not_in_force(&self, at: Instant) -> Reason {
        Reason::OfPermit(PermitReason::NotInForce { from: self.asked_at, until: self.until, at })
    }

    /// The signatures that can be read.
    fn signers(&self) -> impl Iterator<Item = Signer> {
        self.envelope.signers().into_iter().flatten()
    }

    /// The signature of the person who permits: the one that is not by the person who asks, where there are two.
    /// `name_of` gives the person of a key.
    pub fn permitter(&self, name_of: impl Fn(&str) -> String) -> Option<Signer> {
        let is_permitter = |signer: &Signer| name_of(&signer.kid) != self.body.asked_by;
        self.signers().find(is_permitter).or_else(|| self.signers().next())
    }

    /// Whether the person who asks has signed as well: then it is not only said that they asked.
    pub fn asker_signed(&self, trust: &Trust) -> bool {
        let asked = |signer: Signer| {
            trust.standing(&self.envelope, &signer).is_ok_and(|standing| standing.person == self.body.asked_by)
        };
        self.signers().any(asked)
    }

    /// Whether somebody else than the person who asks has signed it.
    pub fn is_given(&self, trust: &Trust) -> bool {
        self.signers().any(|signer| trust.name_of(&signer.kid) != self.body.asked_by)
    }

    /// A reason against this permit.
    pub fn wrap(&self, reason: Reason) -> Reason {
        Reason::Permit { rule: self.code(), reason: Box::new(reason) }
    }

    /// One signature, no matter whose it is: good when it was made, and there when the permit was relied on.
    fn check_signature(&self, signer: &Signer, trust: &Trust, at: Instant, checked: &mut Checked) {
        match trust.standing(&self.envelope, signer) {
            Ok(standing) => checked.revoked.extend(standing.revoked()),
            Err(reason) => checked.faults.push(reason),
        }
        if ahead_of(signer.at, at) {
            checked.faults.push(Reason::OfPermit(PermitReason::Afterwards { at: signer.at }));
        }
    }

    /// Whether the person who permits may by the role: the one that the rule names, or, without the packs, one that any
    /// rule can.
    fn check_role(&self, signer: &Signer, trust: &Trust, packs: Option<Packs<'_>>) -> Option<Reason> {
        let (who, role) = (trust.name_of(&signer.kid), signer.role);
        let Some(packs) = packs else {
            let may = matches!(role, Role::Supervisor | Role::SafetyOfficer);
            return (!may).then_some(Reason::WrongRole { who, role });
        };
        let due = &self.find(packs)?.told.permit.as_ref()?.by;
        (Role::find(due) != Some(role))
            .then(|| Reason::OfPermit(PermitReason::Role { due: due.to_string(), who, role }))
    }

    /// What the rule says of permits: whether it allows one, and for how long, from when it was asked for; of one that
    /// nobody has signed from the instant given.
    fn check_rule(&self, packs: Packs<'_>, at: Instant) -> Vec<Reason> {
        let Some(rule) = self.find(packs) else {
            return vec![PermitReason::Other(PermittedElsewhere::PackNotInForce { rule: self.code() }).into()];
        };
        let Some(allowed) = &rule.told.permit else { return vec![Reason::OfPermit(PermitReason::NotAllowed)] };
        let asked_at = self.asked_at.unwrap_or(at);
        let too_long = self.until.seconds_since(asked_at) > allowed.longest.base();
        let reason = || {
            Reason::OfPermit(PermitReason::TooLong {
                from: asked_at,
                until: self.until,
                longest: Box::new(allowed.longest),
            })
        };
        too_long.then(reason).into_iter().collect()
    }

    fn find<'p>(&self, packs: Packs<'p>) -> Option<&'p Rule> {
        let place = packs.parts.iter().position(|part| *part == self.body.pack)?;
        packs.set.packs().get(place)?.rules.iter().find(|rule| rule.name == self.body.rule)
    }

    /// Whether this permit names a finding of the judgement, whatever the record shows of it.
    fn names(&self, scene: &Scene<'_>, parts: &[PackPart], finding: &Finding) -> bool {
        let rule = scene.rule(finding);
        finding.outcome == Outcome::Broken
            && parts.get(finding.pack) == Some(&self.body.pack)
            && rule.is_some_and(|rule| rule.name == self.body.rule && rule.told.permit.is_some())
            && subject(scene, finding).0 == self.body.subject
            && !self.asked_at.is_some_and(|asked_at| ahead_of(asked_at, scene.at()))
            && scene.at() < self.until
    }
}
