//! Permitting: a signed permission to go on in spite of one broken rule, and how a permit is shown wherever it is relied
//! on.

use std::path::PathBuf;

use super::keys::Hand;
use super::world::{Existing, Readers, Source};
use super::{Case, Consent, Desk, Passage, Refusal, Unfit, shop_of};
use crate::checklist::body::ChecklistBody;
use crate::checklist::evidence::{self, Evidence, called};
use crate::checklist::packs::{PackPart, Packs, parts};
use crate::checklist::permit::{self, Bound, FORMAT, Permit, PermitBody};
use crate::checklist::trust::Trust;
use crate::engine::{Finding, Judgement, Outcome, Scene};
use crate::explain::{self, AtFrom};
use crate::pack::Rule;
use crate::units::{Instant, Zone};
use crate::vocabulary::{is_blank, unseen};

/// A permit that is asked for.
#[derive(Debug, Clone)]
pub struct PermitOrder {
    /// The job record.
    pub record: Source,
    /// The shop file that it draws on.
    pub shop: Option<Source>,
    /// The local packs that judge it as well.
    pub packs: Vec<Source>,
    /// The broken rule, by its name or as `pack/rule`.
    pub rule: String,
    /// Of what subject, where the rule is broken for several.
    pub subject: Option<String>,
    /// Why it is asked for, and what is done instead.
    pub reason: String,
    /// Who asks, as the trust file names the person.
    pub asked_by: String,
    /// Until when it is to hold.
    pub until: Instant,
    /// The hold point at which the rule is broken, and of which assemblies.
    pub passage: Passage,
    /// Where the permit is to be kept; beside the record where nothing is said.
    pub out: Option<PathBuf>,
}

/// A permit that was signed and kept.
#[derive(Debug)]
pub struct Permitted {
    /// Where it is kept.
    pub name: PathBuf,
    /// `pack/rule`.
    pub code: String,
    /// What it says.
    pub body: PermitBody,
    /// Until when it holds.
    pub until: Instant,
}

/// A permit as people read it wherever it is relied on: what stays broken, who lets it pass, for whom, why and until when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PermitLine {
    /// `pack/rule`.
    pub code: String,
    /// What it says.
    pub body: PermitBody,
    /// Who permitted it, or the key where nobody is known to hold it; nothing where nobody signed.
    pub by: Option<String>,
    /// Whether whoever asked has signed it too; otherwise that they asked is the word of whoever permitted it.
    pub asker_signed: bool,
}

impl PermitLine {
    /// The permits of a checklist, as far as they can be read; without a trust file nobody is known.
    pub(super) fn all(body: &ChecklistBody, trust: Option<&Trust>) -> Vec<Self> {
        let name_of = |kid: &str| name_of(trust, kid);
        let one = |permit: Permit| {
            let by = permit.permitter(name_of).map(|signer| name_of(&signer.kid));
            let asker_signed = trust.is_some_and(|trust| permit.asker_signed(trust));
            Self { code: permit.code(), body: permit.body().clone(), by, asker_signed }
        };
        body.open_permits().flatten().map(one).collect()
    }
}

/// The person of a key by a trust file; the key itself where there is none, or none that knows it.
pub(super) fn name_of(trust: Option<&Trust>, kid: &str) -> String {
    trust.map_or_else(|| format!("the key `{kid}`"), |trust| trust.name_of(kid))
}

/// A permit that is ready to be signed, and everything that it was judged by.
#[derive(Debug)]
pub struct PermitDraft {
    case: Case,
    parts: Vec<PackPart>,
    trust: Trust,
    permit: Permit,
    name: PathBuf,
    record: Source,
}

impl Desk<'_> {
    /// Proposes a permit for going on in spite of one broken rule.
    ///
    /// # Errors
    /// What cannot be permitted as it was asked for.
    pub fn draft_permit(&self, order: PermitOrder, trust: Trust) -> Result<PermitDraft, Refusal> {
        let zone = trust.zone();
        let now = self.now(zone)?;
        asked_for_well(&order, now, zone)?;
        let shop = order.shop.as_ref().map(|file| shop_of(file, zone)).transpose()?;
        let at = (now, AtFrom::Clock);
        let case = Case::new(&order.record, shop.as_ref(), &order.packs, at, zone.clone(), order.passage.clone())?;
        let parts = parts(&case.packs);
        let scene = case.scene();
        let judgement = scene.judge();
        let number = case.job.number().ok_or(Unfit::NoJobNumber)?;
        let found = case.packs.find_rule(&order.rule);
        let (pack, rule) = found.ok_or_else(|| Unfit::NoSuchRule { rule: order.rule.clone() })?;
        let code = explain::code(pack, rule);
        let finding = one_finding(&order, &scene, &judgement, rule, &code)?;
        let place = case.packs.packs().iter().position(|known| known.name == pack.name);
        let part = place.and_then(|place| parts.get(place)).ok_or_else(|| Unfit::NoSuchRule { rule: code.clone() })?;
        let (subject, mark) = evidence::subject(&scene, finding);
        let beside = || order.record.name.with_extension(format!("{}.permit.json", rule.name));
        let name = order.out.clone().unwrap_or_else(beside);
        self.storage.vacant(&name)?;
        let body = PermitBody {
            evidence: Evidence::of(&scene, finding),
            filled: permit::all_filled(&case.job),
            format: FORMAT.to_owned(),
            asked_by: order.asked_by.clone(),
            from: now.to_record_text(),
            job: number.to_owned(),
            mark,
            pack: part.clone(),
            reason: order.reason.clone(),
            rule: rule.name.clone(),
            subject,
            title: rule.title.clone(),
            until: order.until.to_record_text(),
        };
        let permit = Permit::new(&body)?;
        drop(scene);
        Ok(PermitDraft { case, parts, trust, permit, name, record: order.record })
    }
}

impl PermitDraft {
    /// What is to be permitted.
    pub const fn body(&self) -> &PermitBody {
        self.permit.body()
    }

    /// The rule that is broken.
    pub fn rule(&self) -> Option<&Rule> {
        self.case.packs.find_rule(&self.permit.code()).map(|(_, rule)| rule)
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
        let (trust, zone) = (&self.trust, &self.case.zone);
        // The person may have taken a while to answer: the permit holds from now on, and its evidence must still be so.
        let now = desk.now(zone)?;
        self.permit = Permit::new(&PermitBody { from: now.to_record_text(), ..self.permit.body().clone() })?;
        self.permit.envelope_mut().sign(&key, hand.role, now)?;
        let packs = Packs { set: &self.case.packs, parts: &self.parts };
        let mut against: Vec<_> = trust.lapses(now).into_iter().collect();
        against.extend(self.permit.check(trust, Some(packs), now));
        // Where nothing else speaks against it, it must serve for the record that it is given for.
        if against.is_empty() {
            against.extend(Bound::new(&self.permit, packs, &self.case.job, zone, self.case.passage.point).misfit());
        }
        if !against.is_empty() {
            return Err(against.into());
        }
        let file = self.permit.envelope().to_file()?;
        desk.storage.write(&self.name, &file, Existing::Keep, Readers::Usual).map_err(Refusal::of_writing)?;
        let (code, body, until) = (self.permit.code(), self.body().clone(), self.permit.until());
        Ok(Permitted { name: self.name, code, body, until })
    }
}

/// Sees that span and reason can stand in a permit, before anything is opened.
fn asked_for_well(order: &PermitOrder, now: Instant, zone: &Zone) -> Result<(), Unfit> {
    zone.check(order.until).map_err(Unfit::UntilOfAnotherZone)?;
    if order.until <= now {
        return Err(Unfit::UntilPast { until: order.until });
    }
    if is_blank(&order.reason) {
        return Err(Unfit::NoReason);
    }
    if order.reason.contains(|c| unseen(c).is_some()) {
        return Err(Unfit::HiddenReason);
    }
    Ok(())
}

/// The one finding of the rule that is broken and for which a permit is asked for.
fn one_finding<'j>(
    order: &PermitOrder,
    scene: &Scene<'_>,
    judgement: &'j Judgement,
    rule: &Rule,
    code: &str,
) -> Result<&'j Finding, Unfit> {
    let subject = |finding: &Finding| {
        let (place, mark) = evidence::subject(scene, finding);
        called(mark.as_deref(), &place)
    };
    let broken: Vec<&Finding> = judgement
        .findings
        .iter()
        .filter(|finding| finding.outcome == Outcome::Broken && finding.holds())
        .filter(|finding| scene.rule(finding).is_some_and(|found| std::ptr::eq(found, rule)))
        .filter(|finding| order.subject.as_ref().is_none_or(|asked| *asked == subject(finding)))
        .collect();
    let code = code.to_owned();
    match broken.as_slice() {
        [] => Err(Unfit::NotBroken { code }),
        [finding] => Ok(finding),
        several => {
            let subjects = several.iter().map(|finding| subject(finding)).collect();
            Err(Unfit::BrokenForSeveral { code, subjects })
        }
    }
}
