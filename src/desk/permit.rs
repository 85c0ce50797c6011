//! Permitting: a signed permission to go on in spite of one broken rule, and how a permit is shown wherever it is relied
//! on.

use std::path::PathBuf;

use super::keys::Hand;
use super::world::{Existing, Readers, Source};
use super::{Case, Desk, Passage, Refusal, Unfit, shop_of};
use crate::checklist::body::ChecklistBody;
use crate::checklist::evidence::{self, Evidence, called};
use crate::checklist::packs::{Packs, parts};
use crate::checklist::permit::{self, Bound, FORMAT, Permit, PermitBody};
use crate::checklist::trust::Trust;
use crate::engine::{Finding, Judgement, Outcome, Scene};
use crate::explain::{self, AtFrom};
use crate::pack::Rule;
use crate::units::{Instant, Zone};
use crate::vocabulary::{is_blank, unseen};

/// A permit that is asked for.
#[derive(Debug)]
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
    /// Who signed it, or the key where nobody is known to hold it; nothing where nobody signed.
    pub by: Option<String>,
}

impl PermitLine {
    /// The permits of a checklist, as far as they can be read; `name_of` gives the person of a key.
    pub(super) fn all(body: &ChecklistBody, name_of: impl Fn(&str) -> String) -> Vec<Self> {
        let one = |permit: Permit| {
            let by = permit.signer().map(|signer| name_of(&signer.kid));
            Self { code: permit.code(), body: permit.body().clone(), by }
        };
        body.open_permits().flatten().map(one).collect()
    }
}

impl Desk<'_> {
    /// Permits going on in spite of one broken rule.
    ///
    /// # Errors
    /// What cannot be permitted as it was asked for, and everything that speaks against the permit.
    pub fn permit(&self, order: &PermitOrder, trust: &Trust, hand: &Hand<'_>) -> Result<Permitted, Refusal> {
        let zone = trust.zone();
        let now = self.now(zone)?;
        asked_for_well(order, now, zone)?;
        let shop = order.shop.as_ref().map(|file| shop_of(file, zone)).transpose()?;
        let at = (now, AtFrom::Clock);
        let case = Case::new(&order.record, shop.as_ref(), &order.packs, at, zone.clone(), order.passage.clone())?;
        let parts = parts(&case.packs);
        let packs = Packs { set: &case.packs, parts: &parts };
        let scene = case.scene();
        let until = order.until;
        let judgement = scene.judge();
        let number = case.job.number().ok_or(Unfit::NoJobNumber)?;
        let found = case.packs.find_rule(&order.rule);
        let (pack, rule) = found.ok_or_else(|| Unfit::NoSuchRule { rule: order.rule.clone() })?;
        let code = explain::code(pack, rule);
        let finding = one_finding(order, &scene, &judgement, rule, &code)?;
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
            until: until.to_record_text(),
        };
        let mut permit = Permit::new(&body)?;
        let key = self.open_key(hand)?;
        permit.envelope_mut().sign(&key, hand.role, now)?;
        let mut against: Vec<_> = trust.lapses(now).into_iter().collect();
        against.extend(permit.check(trust, Some(packs), now));
        // Where nothing else speaks against it, it must serve for the record that it is given for.
        if against.is_empty() {
            against.extend(Bound::new(&permit, packs, &case.job, zone, order.passage.point).misfit());
        }
        if !against.is_empty() {
            return Err(against.into());
        }
        let file = permit.envelope().to_file()?;
        self.storage.write(&name, &file, Existing::Keep, Readers::Usual).map_err(Refusal::of_writing)?;
        Ok(Permitted { name, code, body, until })
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
