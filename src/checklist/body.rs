//! The content of a checklist, and how it is made from a judgement.
//!
//! The content stands by itself: with the record inside and the packs given, anybody can judge again. Must not know
//! signatures, or where a file lies.

mod bounds;
mod faults;
mod findings;
mod inputs;
mod joined;
mod making;
pub mod met;

use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::canonical::nullable;
use super::filled::Filled;
use super::jws::{Envelope, instant};
use super::packs::{PackPart, Packs};
use super::permit::Permit;
use super::reason::{Reason, SelfContradiction};
use crate::document::{Code, Document, Fault, Faults};
use crate::engine::{LONGEST, Scene};
use crate::pack::PackSet;
use crate::record::Job;
use crate::record::shop::{self, Shop};
use crate::units::{Exact, Instant, Zone};
use crate::vocabulary::{HoldPoint, Kind, Outcome, Role, Verdict};

pub use faults::{FaultGroup, FaultPart};
pub use findings::{AskedByRule, Figures, Findings, asked_by_rules};
pub use inputs::{Inputs, RecordPart, ShopPart};
pub use making::Making;

pub(super) use findings::findings;

/// The name of the program in every checklist.
const NAME: &str = env!("CARGO_PKG_NAME");
/// What reports call the record inside a checklist.
pub(super) const RECORD_INSIDE: &str = "the record in the checklist";
/// The format of this edition.
pub const FORMAT: &str = "fillward-checklist/3";
/// Signatures that a checklist may ask for: more than a shop has people at a job.
pub(super) const MAX_ROLES: usize = 8;

/// The content of a checklist.
///
/// Members that this edition does not fill are null: they are laid out so that the format need not change when it does,
/// and a file that has something there is not in order for this edition, which could not say what it is worth.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ChecklistBody {
    /// What is filled, all of it, in the order of the record.
    pub assemblies: Vec<Filled>,
    /// SHA-256 of the content of the checklist of the hold point before; null where it follows none.
    #[serde(deserialize_with = "nullable")]
    pub before: Option<String>,
    /// Computed quantities that the findings cite, by the place of their subject and their names.
    pub figures: Figures,
    /// Every finding.
    pub findings: Findings,
    /// [`FORMAT`].
    pub format: String,
    /// The point beyond which nobody goes without this.
    pub hold_point: HoldPoint,
    /// What was judged, and by what, each with its digest.
    pub inputs: Inputs,
    /// The job number.
    pub job: String,
    /// The instant of judgement.
    pub judged_at: String,
    /// The number of this checklist; null until numbers are given.
    #[serde(deserialize_with = "nullable")]
    pub number: Option<i64>,
    /// The permits relied on, whole and signed.
    pub permits: Vec<Value>,
    /// The program that judged.
    pub program: Program,
    /// The register's state when this was signed; null until a register is in use.
    #[serde(deserialize_with = "nullable")]
    pub register: Option<RegisterPart>,
    /// Whether the instant was chosen rather than read from the clock.
    pub rehearsal: bool,
    /// Which roles must sign, each by another person; a role twice means two people.
    pub required_roles: Vec<Role>,
    /// Which revision of the checklist of that number this is; null until numbers are given.
    #[serde(deserialize_with = "nullable")]
    pub revision: Option<i64>,
    /// The time zone of the shop by whose days it was judged, by its name in the IANA database.
    pub time_zone: String,
    /// Until when what the hold point guards may begin; null for a HOLD.
    #[serde(deserialize_with = "nullable")]
    pub valid_until: Option<String>,
    /// What an authority allows in place of a rule; null until packs declare variations.
    #[serde(deserialize_with = "nullable")]
    pub variations: Option<Vec<Value>>,
    /// What came of it.
    pub verdict: Verdict,
}

/// A program by name, edition and build.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Program {
    /// What tells builds of one edition apart that have other rules, facts or figures: 16 hexadecimal digits.
    pub build: String,
    /// The edition.
    pub edition: String,
    /// The name.
    pub name: String,
}

impl Program {
    /// This program.
    pub fn this() -> Self {
        Self { build: crate::pack::build(), edition: env!("CARGO_PKG_VERSION").to_owned(), name: NAME.to_owned() }
    }

    /// Name and edition, and of another build of this edition the build as well, for what it worked out otherwise.
    pub fn told(&self) -> String {
        let this = Self::this();
        let same = (&self.name, &self.edition) == (&this.name, &this.edition);
        if same { format!("{}, build {}", self.title(), self.build) } else { self.title() }
    }

    /// Name and edition, for reports.
    pub fn title(&self) -> String {
        format!("{} {}", self.name, self.edition)
    }
}

/// The register's latest head and the entry's number.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RegisterPart {
    /// The latest head known when this was signed.
    pub head: HeadPart,
    /// The register's name.
    pub origin: String,
    /// The number of this checklist in the register.
    pub sequence: i64,
}

/// A register's head.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeadPart {
    /// The root of the tree, in hexadecimal.
    pub root: String,
    /// The number of entries.
    pub size: i64,
}

/// The instants of a body, once they are known to be in order.
#[derive(Debug, Clone)]
pub struct Instants {
    /// When it was judged.
    pub judged_at: Instant,
    /// Until when it holds.
    pub valid_until: Option<Instant>,
    /// The zone by whose days it was judged.
    pub zone: Zone,
}

impl ChecklistBody {
    /// Whether the verdict is PASS.
    pub fn passes(&self) -> bool {
        self.verdict == Verdict::Pass
    }

    /// The marks of the assemblies that it covers, as far as they have one.
    pub fn marks(&self) -> impl Iterator<Item = &str> {
        self.assemblies.iter().filter_map(|filled| filled.mark.as_deref())
    }

    /// The scene for judging the job of its record again, at its hold point and of the assemblies that it covers.
    ///
    /// # Errors
    /// An assembly that the record does not have.
    pub fn scene<'a>(&self, set: &'a PackSet, job: &'a Job, at: Instant, zone: &Zone) -> Result<Scene<'a>, Reason> {
        let scene = Scene::new(set, job, at, zone).at_hold_point(self.hold_point);
        if scene.covered().count() == self.assemblies.len() {
            return Ok(scene);
        }
        let marks: Vec<&str> = self.marks().collect();
        let unknown = |mark: String| SelfContradiction::CoversAnother { mark }.into();
        scene.covering(&marks).map_err(unknown)
    }

    /// What contradicts itself inside the body, no matter who signed it.
    pub fn contradictions(&self) -> (Option<Instants>, Vec<Reason>) {
        let mut reasons = Vec::new();
        let mut say = |what: SelfContradiction| reasons.push(what.into());
        if self.format != FORMAT {
            say(SelfContradiction::Format { found: self.format.clone(), due: FORMAT });
        }
        self.findings_contradict(&mut say);
        if self.inputs.packs.is_empty() {
            say(SelfContradiction::NoPack);
        }
        let packs = &self.inputs.packs;
        let twice = |(place, pack): &(usize, &PackPart)| packs.iter().take(*place).any(|p| p.name == pack.name);
        if let Some((_, pack)) = packs.iter().enumerate().find(twice) {
            say(SelfContradiction::PackTwice { pack: pack.name.clone() });
        }
        if !self.required_roles.contains(&Role::Supervisor) {
            say(SelfContradiction::NoSupervisor);
        }
        if self.required_roles.len() > MAX_ROLES {
            say(SelfContradiction::TooManySigners { most: MAX_ROLES });
        }
        let zone = Zone::find(&self.time_zone).ok().filter(|zone| zone.name() == self.time_zone);
        let of_zone = |at: &Option<Instant>| at.zip(zone.as_ref()).is_none_or(|(at, zone)| zone.check(at).is_ok());
        if zone.is_none() {
            say(SelfContradiction::Zone { found: self.time_zone.clone() });
        }
        let judged_at = instant(&self.judged_at);
        if !of_zone(&judged_at) || !of_zone(&self.valid_until.as_deref().and_then(instant)) {
            say(SelfContradiction::Offsets { zone: self.time_zone.clone() });
        }
        let valid_until = self.valid_until.as_deref().map(instant);
        match (judged_at, valid_until) {
            (Some(_), None) if self.passes() => say(SelfContradiction::PassesWithoutEnd),
            (Some(judged), Some(Some(until))) if until < judged => {
                say(SelfContradiction::EndsBeforeJudged);
            }
            (Some(judged), Some(Some(until))) if until.seconds_since(judged) > Exact::from_int(LONGEST) => {
                say(SelfContradiction::HoldsTooLong);
            }
            (None, _) | (_, Some(None)) => say(SelfContradiction::NotInstants),
            _ => {}
        }
        if !self.inputs.record.adds_up() {
            reasons.push(Reason::RecordDigest);
        }
        reasons.extend(bounds::check(self).map(Reason::from));
        let instants = judged_at.zip(zone).map(|(judged_at, zone)| Instants {
            judged_at,
            valid_until: valid_until.flatten(),
            zone,
        });
        (instants, reasons)
    }

    /// What contradicts itself in verdict, findings and permits.
    fn findings_contradict(&self, say: &mut dyn FnMut(SelfContradiction)) {
        let faults = self.findings.each_fault();
        let held = faults.iter().find(|fault| fault.holds());
        if let Some(fault) = held.filter(|_| self.passes()) {
            say(SelfContradiction::PassesWithFault { rule: fault.rule.clone(), of: fault.subject_name() });
        }
        if self.passes() && self.assemblies.is_empty() {
            say(SelfContradiction::PassesWithoutAssembly);
        }
        if self.passes() && self.findings.ruled_out.is_empty() && self.findings.values.is_empty() {
            say(SelfContradiction::PassesWithoutRule);
        }
        if faults.iter().any(|fault| fault.permitted && fault.outcome != Outcome::Broken) {
            say(SelfContradiction::PermittedNotBroken);
        }
        let permitted = faults.iter().filter(|fault| fault.permitted).count();
        if permitted < self.permits.len() || (permitted > 0 && self.permits.is_empty()) {
            say(SelfContradiction::PermittedAndPermits { findings: permitted, permits: self.permits.len() });
        }
    }

    /// How many findings would hold the job and are permitted.
    pub fn permitted(&self) -> usize {
        self.findings
            .faults
            .iter()
            .filter(|group| !group.advice && group.permitted)
            .map(|group| group.rules.len() * group.of.len())
            .sum()
    }

    /// The permits inside, each as far as it can be read.
    pub fn open_permits(&self) -> impl Iterator<Item = Result<Permit, Fault>> + '_ {
        self.permits.iter().map(|value| Envelope::nested(Kind::Permit, value).and_then(Permit::of))
    }

    /// The record inside, with what it names of the shop file inside: what was judged.
    ///
    /// # Errors
    /// The faults of the two texts, and a part of a shop file that is not the one that the record draws on.
    pub fn whole_record(&self, packs: &PackSet, instants: &Instants) -> Result<Document, Faults> {
        self.whole_record_of(Document::read(RECORD_INSIDE, self.inputs.record.text.as_bytes())?, packs, instants)
    }

    /// The same of the record inside as it was read.
    ///
    /// # Errors
    /// As [`ChecklistBody::whole_record`], but for those of the record's text.
    pub(super) fn whole_record_of(
        &self,
        written: Document,
        packs: &PackSet,
        instants: &Instants,
    ) -> Result<Document, Faults> {
        let (zone, at) = (&instants.zone, instants.judged_at);
        let Some(part) = &self.inputs.shop_file else {
            return Ok(shop::expand(written, None, packs, zone, at)?.document);
        };
        let shop = Shop::read_part(Document::read("the shop file in the checklist", part.text.as_bytes())?)?;
        let other = |why: String| Fault::new(Code::ChecklistContent, why).help("do not trust this file");
        if shop.zone() != zone {
            return Err(other(format!("its shop file lies in {}, and it was judged in {zone}", shop.zone())).into());
        }
        let made = shop::expand(written, Some(&shop), packs, zone, at)?;
        if shop.part(&made.used) != part.text {
            return Err(other("its shop file is not the part that its record draws on".to_owned()).into());
        }
        Ok(made.document)
    }

    /// The packs that judged, base first.
    pub fn packs(&self) -> &[PackPart] {
        &self.inputs.packs
    }

    /// Whether the packs are those of the checklist, in the same order.
    ///
    /// # Errors
    /// What differs.
    pub fn same_packs(&self, packs: Packs<'_>) -> Result<(), Reason> {
        let own = self.packs();
        if own == packs.parts {
            return Ok(());
        }
        Err(Reason::OtherPacks { given: packs.parts.to_vec(), due: own.to_vec() })
    }
}
