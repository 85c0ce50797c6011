//! Signing and countersigning: what is to be signed is proposed, a person sees it and consents, and then it is signed,
//! kept, and verified as anybody would.
//!
//! Must not know which face asks.

mod against;
mod proposal;
mod shop_changes;

use std::path::{Path, PathBuf};

use against::{question, speaks_against};
use proposal::crew_of;
pub use proposal::{CrewMember, FurtherOrder, PlaceInRecord, Proposal, SignOrder};
use shop_changes::ShopMemory;
pub use shop_changes::{EntryChange, Forgotten, ShopChanges, ShopEntry};

use super::beside::{CHECKLIST_ENDING, same};
use super::keys::Hand;
use super::links::followed;
use super::records::present;
use super::verify::brought_to;
use super::world::{Existing, NamedBytes, Readers, StoreFault, Trouble};
use super::{Case, Desk, Refusal, Unfit, packs, shop_of};
use crate::checklist::body::{ChecklistBody, Instants, Making, ShopPart};
use crate::checklist::filled::not_covered;
use crate::checklist::jws::Envelope;
use crate::checklist::keys::SecretKey;
use crate::checklist::lapse::holds_until;
use crate::checklist::links::{self, Links};
use crate::checklist::packs::{PackPart, Packs, parts, required_roles};
use crate::checklist::permit::{BoundPermit, Permit};
use crate::checklist::trust::Trust;
use crate::checklist::verify::{self, Records};
use crate::checklist::{Reason, signing};
use crate::document::{Code, Fault, without_mark};
use crate::engine::Aims;
use crate::explain::{AtFrom, Summary};
use crate::pack::PackSet;
use crate::record;
use crate::record::shop::{Shop, UsedEntry};
use crate::units::{Instant, Zone};
use crate::vocabulary::{Kind, Role};

/// Signed holds of one record that are kept beside it; a job that is held more often should not be filled.
const MOST_HOLDS: usize = 99;

/// That the person means it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Consent {
    /// Given beforehand.
    Given,
    /// The job number, written out after a look at what is signed.
    Written(String),
}

/// A checklist that is ready to be signed, and everything that it was judged by.
#[derive(Debug)]
pub struct Draft {
    proposal: Proposal,
    envelope: Envelope,
    trust: Trust,
    set: PackSet,
    parts: Vec<PackPart>,
    /// The record, and the shop file that it draws on, where it draws on one.
    inputs: Vec<NamedBytes>,
    /// Whether the first of them is the record: a witness may have none.
    of_record: bool,
    /// The shop file as it stands.
    present: Option<Shop>,
    /// What is remembered of the shop file once it was signed with.
    shop: Option<ShopMemory>,
    keeping: Keeping,
    /// The checklists of the hold points before.
    earlier: Links,
}

/// Where the signed checklist goes.
#[derive(Debug)]
enum Keeping {
    /// To a new place; whether a HOLD is kept, too.
    New { out: PathBuf, hold: bool },
    /// In the place of the one with fewer signatures.
    Further(NamedBytes),
}

/// A checklist that was signed, kept and read back.
#[derive(Debug)]
pub struct Signed {
    /// Where it is kept.
    pub name: PathBuf,
    /// What it is good for, as anybody verifies it: it is in order, or this would be a refusal.
    pub report: verify::Verification,
    /// What the assemblies are brought to; nothing where nothing may start.
    pub aims: Aims,
    /// Why it could not be remembered which shop file was signed with; the next signature then cannot tell what changed.
    pub unremembered: Option<StoreFault>,
}

impl Desk<'_> {
    /// Judges a record afresh and proposes the checklist of it.
    ///
    /// # Errors
    /// Faults of the texts, and everything that speaks against the permits.
    pub fn draft(&self, order: SignOrder, trust: Trust) -> Result<Draft, Refusal> {
        let SignOrder { record, shop: shop_file, packs: local, permits, at, out, hold, passage, before } = order;
        let point = passage.point;
        if let Some(out) = out.as_ref().filter(|out| !out.to_string_lossy().ends_with(CHECKLIST_ENDING)) {
            return Err(Unfit::NotAChecklistName { name: out.clone() }.into());
        }
        let shop = shop_file.as_ref().map(|file| shop_of(file, trust.zone())).transpose()?;
        let at = self.at_or_seen(at, &trust)?;
        let case = Case::new(&record, shop.as_ref(), &local, at, trust.zone().clone(), passage)?;
        let parts = parts(&case.packs);
        let packs = Packs { set: &case.packs, parts: &parts };
        let permits = open_permits(&permits)?;
        let against: Vec<Reason> =
            permits.iter().flat_map(|permit| permit.check_to_start(&trust, Some(packs), case.at)).collect();
        if !against.is_empty() {
            return Err(against.into());
        }
        let bound: Vec<BoundPermit<'_>> =
            permits.iter().map(|permit| BoundPermit::new(permit, packs, &case.job, &case.zone, point)).collect();
        let scene = case.scene();
        let named = followed(&before, &scene);
        let named = named.map(|file| Envelope::read(Kind::Checklist, &file.name, &file.bytes)).transpose()?;
        let earlier = self.links(&before, &[]);
        let judgement = scene.judge();
        let making = Making {
            scene: &scene,
            judgement: &judgement,
            parts: &parts,
            record_name: &record.name.file_name().unwrap_or_default().to_string_lossy(),
            record: &record.bytes,
            shop: shop_file.as_ref().zip(shop.as_ref()).map(|(file, shop)| part_of(file, shop, &case.used)),
            permits: &bound,
            rehearsal: case.at_from == AtFrom::Given,
            valid_until: holds_until(packs, &scene, &judgement, &bound),
            required_roles: &required_roles(&case.packs),
            trust: &trust,
            before: named.as_ref().map(links::content_digest),
        };
        let (body, envelope) = making.envelope()?;
        let question = question(&trust, (Records::One(&record.bytes), shop.as_ref()), packs, &earlier, case.at);
        let link = verify::link::check(&body, &scene, packs, &question);
        let against: Vec<Reason> = link.fault.into_iter().chain(link.bar).collect();
        if !against.is_empty() {
            return Err(against.into());
        }
        let here = self.lying_here(&record.name, out.as_deref());
        let memory = shop_file.as_ref().zip(shop.as_ref()).map(|(file, shop)| ShopMemory::of(file, shop));
        let shop_changes =
            memory.as_ref().zip(shop.as_ref()).map(|(memory, shop)| memory.changes(self.storage, &here, shop));
        let summary = Summary::new(&scene, &judgement).with_permitted(body.permitted());
        let (zone, changes, here) = (case.zone.clone(), link.changes, same(&body, &here, &trust));
        let first = Proposal::new((body, zone), summary, (&trust, shop.as_ref()), here);
        let not_covered = not_covered(&case.job, &first.body.assemblies);
        let proposal = Proposal { shop_changes, changes, not_covered, crew: crew_of(&case.job), ..first };
        let out = out.unwrap_or_else(|| self.beside(&record.name, proposal.body.passes()));
        let inputs = std::iter::once(record).chain(shop_file).collect();
        let (keeping, set) = (Keeping::New { out, hold }, case.packs);
        Ok(Draft {
            proposal,
            envelope,
            trust,
            set,
            parts,
            inputs,
            of_record: true,
            present: shop,
            shop: memory,
            keeping,
            earlier,
        })
    }

    /// Proposes a checklist to a further person, who judges the record again and sees who signed before. Everything that
    /// speaks against the file speaks against signing it.
    ///
    /// # Errors
    /// Faults of the texts, and everything that speaks against the checklist.
    pub fn draft_further(&self, order: FurtherOrder, trust: Trust) -> Result<Draft, Refusal> {
        let FurtherOrder { checklist, records, found, shop: shop_file, packs: local, before } = order;
        let shop = shop_file.as_ref().map(super::shop).transpose()?;
        let earlier = self.links(&before, &[]);
        let set = packs(&local)?;
        let parts = parts(&set);
        let name = checklist.label();
        let envelope = Envelope::read(Kind::Checklist, &name, &checklist.bytes)?;
        let body: ChecklistBody = envelope.body()?;
        let packs = Packs { set: &set, parts: &parts };
        let now = self.now_or_seen(&trust)?;
        let witness = signing::is_witness(&envelope, &body, now);
        let present = present(&records, &found);
        let question = question(&trust, (Records::Of(&present), shop.as_ref()), packs, &earlier, now);
        let verified = verify::verify(&name, &checklist.bytes, &question);
        let against = speaks_against(&verified, witness);
        if !against.is_empty() {
            return Err(against.into());
        }
        // What was verified has an instant of judgement and a zone.
        let content = |why: String, help| Fault::new(Code::ChecklistContent, why).help(help);
        let judged_at = Instant::parse(&body.judged_at).map_err(|error| content(error.to_string(), error.help()))?;
        let zone = Zone::find(&body.time_zone).map_err(|error| content(error.to_string(), error.help()))?;
        let instants = Instants { judged_at, valid_until: None, zone };
        let document = body.whole_record(&set, &instants)?;
        let zone = instants.zone;
        let job = record::read(&document, set.catalogue(), &zone)?;
        let scene = body.scene(&set, &job, judged_at, &zone)?;
        let summary = Summary::new(&scene, &scene.judge()).with_permitted(body.permitted());
        let here = same(&body, &self.lying_here(&checklist.name, None), &trust);
        let (signed, changes, otherwise) = (verified.signatures, verified.changes, verified.otherwise);
        let first = Proposal::new((body, zone.clone()), summary, (&trust, shop.as_ref()), here);
        let not_covered = verified.not_covered;
        let crew = crew_of(&job);
        let proposal = Proposal { earlier: signed, changes, witness, otherwise, not_covered, crew, ..first };
        let record = question.records.of(&proposal.body).ok();
        let record = records
            .into_iter()
            .chain(found)
            .find(|known| record.is_some_and(|bytes| bytes == without_mark(&known.bytes)));
        let (of_record, inputs) = (record.is_some(), record.into_iter().chain(shop_file).collect());
        let keeping = Keeping::Further(checklist);
        Ok(Draft {
            proposal,
            envelope,
            trust,
            set,
            parts,
            inputs,
            of_record,
            present: shop,
            shop: None,
            keeping,
            earlier,
        })
    }
}

impl Desk<'_> {
    /// The checklists that are kept beside a record and where its checklist goes.
    fn lying_here(&self, record: &Path, out: Option<&Path>) -> Vec<NamedBytes> {
        let mut names = self.checklists_beside(record);
        for name in out.map(|out| self.checklists_beside(out)).unwrap_or_default() {
            if !names.contains(&name) {
                names.push(name);
            }
        }
        self.readable(names)
    }

    /// Where a checklist goes that is to be kept beside its record. A HOLD has a name of its own, so that it is not in the
    /// way of the PASS that comes once it is cleared, and neither is one HOLD in the way of the next.
    fn beside(&self, record: &Path, passes: bool) -> PathBuf {
        if passes {
            return record.with_extension("checklist.json");
        }
        let taken = |name: &PathBuf| matches!(self.storage.vacant(name), Err(StoreFault { what: Trouble::Exists, .. }));
        let first = record.with_extension("hold.checklist.json");
        let further = (2..=MOST_HOLDS).map(|number| record.with_extension(format!("hold-{number}.checklist.json")));
        std::iter::once(first.clone()).chain(further).find(|name| !taken(name)).unwrap_or(first)
    }
}

impl Draft {
    /// What is to be signed.
    pub const fn proposal(&self) -> &Proposal {
        &self.proposal
    }

    /// The trust file by which it is signed.
    pub const fn trust(&self) -> &Trust {
        &self.trust
    }

    /// Sees that it can be signed at all, before anybody is asked for anything.
    ///
    /// # Errors
    /// [`Refusal::Held`], or a place that is taken.
    pub fn ready(&self, desk: &Desk<'_>) -> Result<(), Refusal> {
        match &self.keeping {
            Keeping::New { hold: false, .. } if !self.proposal.body.passes() => Err(Refusal::Held),
            Keeping::New { out, .. } => Ok(desk.storage.vacant(out)?),
            Keeping::Further(_) => Ok(()),
        }
    }

    /// Signs it, keeps it and reads it back. The key is opened last, and what is signed is the record as it still stands.
    ///
    /// # Errors
    /// Everything that speaks against signing; [`Refusal::AfterSigning`] for what went wrong once it was kept.
    pub fn sign(self, desk: &Desk<'_>, hand: &Hand<'_>, consent: &Consent) -> Result<Signed, Refusal> {
        self.ready(desk)?;
        let body = &self.proposal.body;
        if matches!(consent, Consent::Written(number) if number.trim() != body.job) {
            return Err(Unfit::NotConfirmed.into());
        }
        let key = desk.open_key(hand)?;
        self.sign_with(desk, &key, hand.role)
    }

    /// Signs several, once a person has consented to all of them by writing out how many they are: the key is opened once.
    /// What speaks against one of them is said of that one.
    ///
    /// # Errors
    /// [`Unfit::NumberNotConfirmed`], and a key that does not open.
    pub fn sign_all(
        drafts: Vec<Self>,
        desk: &Desk<'_>,
        hand: &Hand<'_>,
        consent: &Consent,
    ) -> Result<Vec<Result<Signed, Refusal>>, Refusal> {
        if matches!(consent, Consent::Written(number) if number.trim() != drafts.len().to_string()) {
            return Err(Unfit::NumberNotConfirmed.into());
        }
        let key = desk.open_key(hand)?;
        Ok(drafts.into_iter().map(|draft| draft.sign_with(desk, &key, hand.role)).collect())
    }

    fn sign_with(mut self, desk: &Desk<'_>, key: &SecretKey, role: Role) -> Result<Signed, Refusal> {
        for input in &self.inputs {
            if desk.storage.read(&input.name)? != input.bytes {
                return Err(Refusal::changed(&input.name));
            }
        }
        // The person may have taken an hour to answer: what is signed is when, not when the question was put.
        let now = desk.now_or_seen(&self.trust)?;
        let body = &self.proposal.body;
        signing::sign(&mut self.envelope, body, key, role, &self.trust, now)?;
        let (name, existing) = match &self.keeping {
            Keeping::New { out, .. } => (out, Existing::Keep),
            Keeping::Further(checklist) => (&checklist.name, Existing::Replace(&checklist.bytes)),
        };
        let file = self.envelope.to_file()?;
        // Nothing is kept that is not to be relied on.
        self.verified(desk, name, file.as_ref())?;
        desk.storage.write(name, &file, existing, Readers::Usual).map_err(Refusal::of_writing)?;
        let mut signed = self.confirm(desk, name).map_err(Refusal::after_signing)?;
        // The checklist is signed and kept; what is told of the next shop file is less than that.
        signed.unremembered = self.shop.as_ref().and_then(|shop| shop.note(desk.storage, now).err());
        Ok(signed)
    }

    /// What was kept, verified.
    fn confirm(&self, desk: &Desk<'_>, name: &Path) -> Result<Signed, Refusal> {
        let mut report = self.verified(desk, name, &desk.storage.read(name)?)?;
        report.bars.extend(self.proposal.later());
        let aims = brought_to(&report);
        Ok(Signed { name: name.to_owned(), report, aims, unremembered: None })
    }

    /// Verifies a checklist, as anybody would, against the record as it now stands.
    ///
    /// # Errors
    /// Whatever speaks against it.
    fn verified(&self, desk: &Desk<'_>, name: &Path, file: &[u8]) -> Result<verify::Verification, Refusal> {
        let record = self.inputs.first().filter(|_| self.of_record);
        let record = record.map(|record| desk.storage.read(&record.name)).transpose()?;
        let packs = Packs { set: &self.set, parts: &self.parts };
        let present = (record.as_deref().map_or(Records::None, Records::One), self.present.as_ref());
        let question = question(&self.trust, present, packs, &self.earlier, desk.now_or_seen(&self.trust)?);
        let report = verify::verify(&name.to_string_lossy(), file, &question);
        let against = speaks_against(&report, self.proposal.witness);
        if against.is_empty() { Ok(report) } else { Err(against.into()) }
    }
}

/// The part of a shop file that a record draws on.
fn part_of(file: &NamedBytes, shop: &Shop, used: &[UsedEntry]) -> ShopPart {
    let name = file.name.file_name().map_or_else(|| file.label(), |name| name.to_string_lossy().into_owned());
    ShopPart::of(&name, &file.bytes, shop.part(used))
}

/// Reads permits, none of them given twice.
fn open_permits(sources: &[NamedBytes]) -> Result<Vec<Permit>, Refusal> {
    let mut permits: Vec<Permit> = Vec::with_capacity(sources.len());
    for source in sources {
        let permit = Permit::read(&source.label(), &source.bytes)?;
        if permits.iter().any(|earlier| earlier.body() == permit.body()) {
            return Err(Unfit::PermitTwice { name: source.name.clone() }.into());
        }
        permits.push(permit);
    }
    Ok(permits)
}
