//! Permitting: a signed permission to go on in spite of one broken rule. Anyone who needs it asks for it and signs that;
//! the person who may permit sees the finding and the request and signs as well, or writes the permit for somebody who
//! asked by word of mouth.
//!
//! Must not know which face asks.

mod order;

use std::path::PathBuf;

pub use order::{By, GiveOrder, PermitOrder};

use super::keys::Hand;
use super::world::{Existing, NamedBytes, Readers};
use super::{Case, Consent, Desk, NoNeed, Passage, Refusal, SigningHand, Unfit, shop_of};
use crate::checklist::evidence::{self, EvidenceLines, called};
use crate::checklist::filled::all_filled;
use crate::checklist::packs::{PackPart, Packs, parts};
use crate::checklist::permit::{BoundPermit, FORMAT, Permit, PermitBody, things};
use crate::checklist::trust::{Trust, TrustPart};
use crate::checklist::{PermitReason, Reason};
use crate::engine::{Finding, Judgement, Scene};
use crate::explain::AtFrom;
use crate::pack::Rule;
use crate::units::{Instant, Zone};
use crate::vocabulary::{Outcome, Role, has_words, unseen};

/// A permit or a request that was signed and kept.
#[derive(Debug)]
pub struct Permitted {
    /// Where it is kept.
    pub name: PathBuf,
    /// `pack/rule`.
    pub code: String,
    /// What it says.
    pub body: PermitBody,
    /// When it was asked for.
    pub asked_at: Instant,
    /// Until when it holds.
    pub until: Instant,
    /// Whether it is a permit now; otherwise it is asked for, and nobody has permitted it.
    pub given: bool,
}

/// A permit that is ready to be signed, and everything that it was judged by.
#[derive(Debug)]
pub struct PermitDraft {
    case: Case,
    parts: Vec<PackPart>,
    trust: Trust,
    permit: Permit,
    record: NamedBytes,
    act: PermitAct,
    /// Whether the person who signs asks, and does not permit.
    asks: bool,
}

/// What the signature does.
#[derive(Debug)]
enum PermitAct {
    /// It is the first signature, and is kept under a new name.
    New(PathBuf),
    /// Permits a request, and takes its place.
    Give(NamedBytes),
}

impl Desk<'_> {
    /// Proposes a permit for going on in spite of one broken rule, or the request for one.
    ///
    /// # Errors
    /// What cannot be permitted as it was asked for.
    pub fn draft_permit(&self, order: PermitOrder, trust: Trust) -> Result<PermitDraft, Refusal> {
        let now = self.now_or_seen(&trust)?;
        asked_for_well(&order, now, trust.zone())?;
        let PermitOrder { record, shop, packs, rule, subject: of, reason, by, until, passage, out } = order;
        let case = self.case_of(&record, shop.as_ref(), &packs, passage, &trust)?;
        let parts = parts(&case.packs);
        let scene = case.scene();
        let judgement = scene.judge();
        let number = case.job.number().ok_or(Unfit::NoJobNumber)?;
        let (pack, found) = case.packs.find_rule(&rule).ok_or_else(|| Unfit::NoSuchRule { rule: rule.clone() })?;
        let code = pack.code_of(found);
        let meant = of.as_deref().map_or(Meant::TheOne, Meant::Called);
        let finding = one_finding(meant, &scene, &judgement, found, &code)?;
        let place = case.packs.packs().iter().position(|known| known.name == pack.name);
        let part = place.and_then(|place| parts.get(place)).ok_or_else(|| Unfit::NoSuchRule { rule: code.clone() })?;
        let (subject, mark) = evidence::subject(&scene, finding);
        let name = out.unwrap_or_else(|| record.name.with_extension(format!("{}.permit.json", found.name)));
        self.storage.vacant(&name)?;
        let (asked_by, asks) = match by {
            By::Asker { name } => (name, true),
            By::Permitter { asked_by } => (asked_by, false),
        };
        let body = PermitBody {
            asked_by,
            evidence: EvidenceLines::of(&scene, finding),
            filled: all_filled(&case.job),
            format: FORMAT.to_owned(),
            hold_point: case.passage.point,
            job: number.to_owned(),
            mark,
            pack: part.clone(),
            reason,
            rule: found.name.to_string(),
            subject,
            things: things(&scene, finding),
            time_zone: case.zone.name().to_owned(),
            title: found.title.to_string(),
            trust: TrustPart::of(&trust),
            until: until.to_record_text(),
        };
        let permit = Permit::new(&body)?;
        drop(scene);
        let draft = PermitDraft { case, parts, trust, permit, record, act: PermitAct::New(name), asks };
        let against = draft.against(now, false);
        if against.is_empty() { Ok(draft) } else { Err(against.into()) }
    }

    /// Proposes a request to the person who may permit it: judged again, it must still be what the record shows.
    ///
    /// # Errors
    /// Everything that speaks against the request by itself.
    pub fn draft_given(&self, order: GiveOrder, trust: Trust) -> Result<PermitDraft, Refusal> {
        let GiveOrder { request, record, shop, packs } = order;
        let permit = Permit::read(&request.label(), &request.bytes)?;
        // A request says itself at which hold point the rule is broken.
        let passage = Passage { point: permit.body().hold_point, assemblies: Vec::new() };
        let case = self.case_of(&record, shop.as_ref(), &packs, passage, &trust)?;
        let parts = parts(&case.packs);
        if permit.is_given(&trust) {
            return Err(Unfit::PermittedAlready { name: request.name }.into());
        }
        let draft = PermitDraft { case, parts, trust, permit, record, act: PermitAct::Give(request), asks: false };
        let against = draft.against(draft.case.at, false);
        let is_of_record = |reason: &Reason| matches!(reason, Reason::Permit { reason, .. } if matches!(**reason, Reason::OfPermit(PermitReason::OtherEvidence { .. } | PermitReason::OtherThings { .. })));
        // What nothing speaks against but that the record shows something else may have been put right.
        if against.iter().all(is_of_record) && !against.is_empty() {
            draft.needed()?;
        }
        if against.is_empty() { Ok(draft) } else { Err(against.into()) }
    }

    /// The record, judged now.
    fn case_of(
        &self,
        record: &NamedBytes,
        shop: Option<&NamedBytes>,
        packs: &[NamedBytes],
        passage: Passage,
        trust: &Trust,
    ) -> Result<Case, Refusal> {
        let zone = trust.zone();
        let shop = shop.map(|file| shop_of(file, zone)).transpose()?;
        let at = (self.now_or_seen(trust)?, AtFrom::Clock);
        Case::new(record, shop.as_ref(), packs, at, zone.clone(), passage)
    }
}

impl PermitDraft {
    /// What is to be permitted.
    pub const fn body(&self) -> &PermitBody {
        self.permit.body()
    }

    /// The trust file by which it is signed.
    pub const fn trust(&self) -> &Trust {
        &self.trust
    }

    /// The rule that is broken.
    pub fn rule(&self) -> Option<&Rule> {
        self.case.packs.find_rule(&self.permit.code()).map(|(_, rule)| rule)
    }

    /// Whether the person who signs asks for it; otherwise they permit it.
    pub const fn asks(&self) -> bool {
        self.asks
    }

    /// Tells whose hand is about to sign.
    ///
    /// # Errors
    /// A key that may not sign in the role by the trust file, or, where it permits, one of a person who may not by the rule.
    pub fn signatory(&self, desk: &Desk<'_>, hand: &Hand<'_>) -> Result<SigningHand, Refusal> {
        let told = desk.signatory(hand, &self.trust);
        let permit = self.rule().and_then(|rule| rule.told.permit.as_ref());
        let Some(terms) = permit.filter(|_| !self.asks) else { return told };
        let is_due = |role: Role| Role::find(&terms.by) == Some(role);
        let (who, role) = match &told {
            Ok(SigningHand { known: Some(known), role, .. }) if !is_due(*role) => (&known.who, *role),
            Err(Refusal::Reasons(reasons)) => match reasons.as_slice() {
                [Reason::MayNotSignAs { who, role, may }] if !may.iter().any(|may| is_due(*may)) => {
                    (who, may.first().copied().unwrap_or(*role))
                }
                _ => return told,
            },
            _ => return told,
        };
        let reason = PermitReason::Role { due: terms.by.to_string(), who: who.clone(), role };
        Err(vec![self.permit.wrap(Reason::OfPermit(reason))].into())
    }

    /// Sees that the rule is still broken for the subject.
    fn needed(&self) -> Result<(), Unfit> {
        let (Some(rule), body, scene) = (self.rule(), self.body(), self.case.scene()) else { return Ok(()) };
        let meant = Meant::Same { place: &body.subject, mark: body.mark.as_deref() };
        one_finding(meant, &scene, &scene.judge(), rule, &self.permit.code()).map(|_| ())
    }

    /// When the person who asks has signed that; nothing where they have not.
    pub fn asked_at(&self) -> Option<Instant> {
        self.permit.asked_at().filter(|_| self.permit.asker_signed(&self.trust))
    }

    /// Signs it, and keeps it. The key is opened last, and what is permitted is the record as it still stands.
    ///
    /// # Errors
    /// Everything that speaks against the permit.
    pub fn sign(mut self, desk: &Desk<'_>, hand: &Hand<'_>, consent: &Consent) -> Result<Permitted, Refusal> {
        if matches!(consent, Consent::Written(number) if number.trim() != self.body().job) {
            return Err(Unfit::NotConfirmed.into());
        }
        let key = desk.open_key(hand)?;
        if desk.storage.read(&self.record.name)? != self.record.bytes {
            return Err(Refusal::changed(&self.record.name));
        }
        // The person may have taken a while to answer: what was shown is signed as it is, and must still be so.
        let now = desk.now_or_seen(&self.trust)?;
        let who = self.trust.name_of(key.public().kid());
        let asked_by = &self.body().asked_by;
        if self.asks {
            self.trust.may_sign(key.public().kid(), hand.role, now)?;
            if who != *asked_by {
                return Err(Unfit::OtherAsker { due: asked_by.clone(), found: who }.into());
            }
        } else if matches!(self.act, PermitAct::Give(_)) && who == *asked_by {
            return Err(vec![self.permit.wrap(Reason::OfPermit(PermitReason::ToOneself { who }))].into());
        }
        self.permit.sign(&key, hand.role, now)?;
        let given = !self.asks;
        let against = self.against(now, given);
        if !against.is_empty() {
            return Err(against.into());
        }
        let file = self.permit.envelope().to_file()?;
        let (name, existing) = match &self.act {
            PermitAct::New(name) => (name, Existing::Keep),
            PermitAct::Give(request) => (&request.name, Existing::Replace(&request.bytes)),
        };
        desk.storage.write(name, &file, existing, Readers::Usual).map_err(Refusal::of_writing)?;
        let (code, body, until) = (self.permit.code(), self.body().clone(), self.permit.until());
        let asked_at = self.permit.asked_at().unwrap_or(now);
        Ok(Permitted { name: name.clone(), code, body, asked_at, until, given })
    }

    /// Everything that speaks against it: the trust file, the signatures that are there, what the rule allows, and whether
    /// the record shows and fills what it says, when it was asked for and now. Of what is not given yet it is no fault that
    /// nobody has permitted it.
    fn against(&self, now: Instant, given: bool) -> Vec<Reason> {
        let packs = Packs { set: &self.case.packs, parts: &self.parts };
        let mut against: Vec<_> = self.trust.lapses(now).into_iter().collect();
        let is_open = |reason: &Reason| {
            let Reason::Permit { reason, .. } = reason else { return false };
            matches!(**reason, Reason::OfPermit(PermitReason::ToOneself { .. }) | Reason::NotSigned(_))
        };
        let checked = self.permit.check(&self.trust, Some(packs), now);
        against.extend(checked.into_iter().filter(|reason| given || !is_open(reason)));
        // Where nothing else speaks against it, it must serve for the record that it is given for.
        if against.is_empty() {
            let (zone, point) = (&self.case.zone, self.case.passage.point);
            let seen_at = |at| BoundPermit::seen_at(&self.permit, packs, &self.case.job, zone, point, at).misfit();
            against.extend(self.permit.asked_at().and_then(seen_at).or_else(|| seen_at(now)));
        }
        against
    }
}

/// Sees that span and reason can stand in a permit, before anything is opened.
fn asked_for_well(order: &PermitOrder, now: Instant, zone: &Zone) -> Result<(), Unfit> {
    zone.check(order.until).map_err(Unfit::UntilOfAnotherZone)?;
    if order.until <= now {
        return Err(Unfit::UntilPast { until: order.until });
    }
    if !has_words(&order.reason) {
        return Err(Unfit::NoReason);
    }
    if order.reason.contains(|c| unseen(c).is_some()) {
        return Err(Unfit::HiddenReason);
    }
    Ok(())
}

/// Of which subject the rule is broken.
#[derive(Debug, Clone, Copy)]
enum Meant<'a> {
    /// Of the only one that it is broken for.
    TheOne,
    /// Of the one that the person calls so, by its mark or its place.
    Called(&'a str),
    /// Of the subject of a request: one without a mark of its own by its place.
    Same { place: &'a str, mark: Option<&'a str> },
}

impl Meant<'_> {
    fn is(self, place: &str, of: Option<&str>) -> bool {
        match self {
            Self::TheOne => true,
            Self::Called(name) => called(of, place) == name,
            Self::Same { mark: Some(mark), .. } => of == Some(mark),
            Self::Same { place: meant, mark: None } => of.is_none() && place == meant,
        }
    }
}

/// The one finding of the rule that is broken and for which a permit is asked for.
fn one_finding<'j>(
    meant: Meant<'_>,
    scene: &Scene<'_>,
    judgement: &'j Judgement,
    rule: &Rule,
    code: &str,
) -> Result<&'j Finding, Unfit> {
    let subject = |finding: &Finding| {
        let (place, mark) = evidence::subject(scene, finding);
        called(mark.as_deref(), &place)
    };
    let is_of_rule = |finding: &&Finding| scene.rule(finding).is_some_and(|found| std::ptr::eq(found, rule));
    let of_rule: Vec<&Finding> = judgement.findings.iter().filter(is_of_rule).collect();
    let is_broken = |finding: &&Finding| finding.outcome == Outcome::Broken;
    let held: Vec<&Finding> = of_rule.iter().copied().filter(is_broken).filter(|finding| finding.holds()).collect();
    let is_meant = |finding: &&Finding| {
        let (place, mark) = evidence::subject(scene, finding);
        meant.is(&place, mark.as_deref())
    };
    let broken: Vec<&Finding> = held.iter().copied().filter(is_meant).collect();
    let code = code.to_owned();
    match broken.as_slice() {
        [] => {
            let since = if !held.is_empty() {
                NoNeed::OfOthers(held.iter().map(|finding| subject(finding)).collect())
            } else if of_rule.iter().any(is_broken) {
                NoNeed::Advises
            } else if of_rule.iter().any(|finding| finding.holds()) {
                NoNeed::NotShown
            } else {
                let holding = judgement.findings.iter().filter(|finding| finding.holds());
                let mut rules: Vec<String> = holding.map(|finding| scene.code_of(finding)).collect();
                rules.dedup();
                if rules.is_empty() { NoNeed::Passes } else { NoNeed::HeldBy(rules) }
            };
            Err(Unfit::NotNeeded { code, since })
        }
        [finding] => Ok(finding),
        several => {
            let subjects = several.iter().map(|finding| subject(finding)).collect();
            Err(Unfit::BrokenForSeveral { code, subjects })
        }
    }
}
