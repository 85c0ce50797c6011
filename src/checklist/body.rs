//! The content of a checklist, and how it is made from a judgement.
//!
//! The content stands by itself: with the record inside and the packs at hand, anybody can judge again.

mod bounds;

use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::jws::{Envelope, Kind, Role, instant, nullable};
use super::lapse;
use super::packs::{PackPart, Packs, sha256_hex};
use super::permit::{Bound, Permit, Permitted, apply, evidence, explained, subject};
use super::reason::Reason;
use crate::document::{Code, Fault};
use crate::engine::{Finding, Judgement, Outcome, Scene, Verdict};
use crate::explain::Report;
use crate::figures::Lack;
use crate::record::Measured;
use crate::units::{Exact, Instant, Quantity, Rounding};

/// The format of this edition.
pub const FORMAT: &str = "fillward-checklist/1";
/// Decimals of a figure: finer than any gauge or scale in a shop.
const FIGURE_PLACES: u32 = 4;
/// Signatures that a checklist may ask for: more than a shop has people at a job.
pub(super) const MAX_ROLES: usize = 8;

/// The text of the published schema of checklists.
pub const fn schema() -> &'static str {
    include_str!("../../schemas/checklist.schema.json")
}

/// The content of a checklist.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ChecklistBody {
    /// Computed figures that the rules used, one line each: `NAME of SUBJECT: VALUE`.
    pub figures: Vec<String>,
    /// Every finding.
    pub findings: Findings,
    /// [`FORMAT`].
    pub format: String,
    /// The job number.
    pub job: String,
    /// The instant of judgement.
    pub judged_at: String,
    /// The packs that judged, base first.
    pub packs: Vec<PackPart>,
    /// The permits relied on, whole and signed.
    pub permits: Vec<Value>,
    /// The record that was judged.
    pub record: RecordPart,
    /// The register's state when this was signed.
    pub register: RegisterPart,
    /// Whether the instant was chosen rather than read from the clock.
    pub rehearsal: bool,
    /// Which roles must sign, each by another person; a role twice means two people.
    pub required_roles: Vec<Role>,
    /// The program that judged.
    pub tool: String,
    /// The version of the trust file in force.
    pub trust_version: i64,
    /// Until when a fill may start; null for a HOLD.
    #[serde(deserialize_with = "nullable")]
    pub valid_until: Option<String>,
    /// `PASS` or `HOLD`.
    pub verdict: String,
}

/// The record inside a checklist.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecordPart {
    /// SHA-256 of the record's bytes, in hexadecimal.
    pub sha256: String,
    /// The record's bytes, as text.
    pub text: String,
}

/// The register's latest head and the entry's number; null until a register is in use.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RegisterPart {
    /// The latest head known when this was signed.
    #[serde(deserialize_with = "nullable")]
    pub head: Option<HeadPart>,
    /// The register's name.
    #[serde(deserialize_with = "nullable")]
    pub origin: Option<String>,
    /// The number of this checklist in the register.
    #[serde(deserialize_with = "nullable")]
    pub sequence: Option<i64>,
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

/// Every finding. A rule that came out alike for all that it covers stands as its code alone.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Findings {
    /// Broken, or not shown.
    pub faults: Vec<FaultPart>,
    /// Met: the rule, or `RULE: SUBJECT` where others of its kind came out otherwise. Rules of the first pack stand by
    /// their bare name, those of others as `PACK/RULE`.
    pub met: Vec<String>,
    /// Not applying, in the same form.
    pub not_applying: Vec<String>,
}

/// A finding that is broken or not shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FaultPart {
    /// The demand, in words.
    pub demand: String,
    /// What the record shows, each with its place.
    pub evidence: Vec<String>,
    /// Whether it holds the job, or is advice.
    pub holds: bool,
    /// `broken` or `not shown`.
    pub outcome: String,
    /// Whether one of the permits sets it aside.
    pub permitted: bool,
    /// `pack/rule`.
    pub rule: String,
    /// Of what.
    pub subject: String,
}

/// What a checklist is made of, besides the judgement.
#[derive(Debug)]
pub struct Making<'a> {
    /// Packs, job and instant.
    pub scene: &'a Scene<'a>,
    /// The judgement of the scene.
    pub judgement: &'a Judgement,
    /// The judgement in words.
    pub report: &'a Report,
    /// The names and digests of the scene's packs.
    pub parts: &'a [PackPart],
    /// The bytes of the record's file.
    pub record: &'a [u8],
    /// The permits, already checked and held against this record.
    pub permits: &'a [Bound<'a>],
    /// The program and its version.
    pub tool: &'a str,
    /// Whether the instant was chosen.
    pub rehearsal: bool,
    /// Until when a PASS is to hold, see [`super::lapse::holds_until`].
    pub valid_until: Option<Instant>,
    /// Who must sign.
    pub required_roles: &'a [Role],
    /// The version of the trust file in force.
    pub trust_version: i64,
    /// The register's state.
    pub register: RegisterPart,
}

impl Making<'_> {
    /// Makes the checklist, as yet without signatures.
    ///
    /// # Errors
    /// A record that cannot stand in a signed file, a permit that sets nothing aside, a job without a number.
    pub fn envelope(&self) -> Result<(ChecklistBody, Envelope), Reason> {
        let body = self.body()?;
        let envelope = Envelope::new(Kind::Checklist, &body)?;
        Ok((body, envelope))
    }

    fn body(&self) -> Result<ChecklistBody, Reason> {
        let permitted = apply(self.scene, self.parts, self.judgement, self.permits);
        if let Some(bound) = permitted.unused(self.permits.len()).find_map(|place| self.permits.get(place)) {
            return Err(bound.idle(self.scene, self.parts, self.judgement));
        }
        let text = std::str::from_utf8(self.record).map_err(|_| {
            Fault::new(Code::ChecklistNotUtf8, "the record is not UTF-8").help("save the record as UTF-8")
        })?;
        let job = self.scene.job().number().ok_or_else(|| {
            Fault::new(Code::ChecklistNoJobNumber, "the record has no job number")
                .help("write the job number into the record; a checklist speaks of one job")
        })?;
        let permits =
            self.permits.iter().map(|bound| bound.permit().envelope().to_value()).collect::<Result<_, _>>()?;
        let passes = permitted.verdict == Verdict::Pass;
        Ok(ChecklistBody {
            figures: figures(self.scene),
            findings: findings(self.scene, self.judgement, self.report, &permitted),
            format: FORMAT.to_owned(),
            job: job.to_owned(),
            judged_at: self.judgement.at.to_record_text(),
            packs: self.parts.to_vec(),
            permits,
            record: RecordPart { sha256: sha256_hex(self.record), text: text.to_owned() },
            register: self.register.clone(),
            rehearsal: self.rehearsal,
            required_roles: self.required_roles.to_vec(),
            tool: self.tool.to_owned(),
            trust_version: self.trust_version,
            valid_until: self.valid_until.filter(|_| passes).map(Instant::to_record_text),
            verdict: permitted.verdict.word().to_owned(),
        })
    }
}

/// The findings in the form of the file.
pub(super) fn findings(scene: &Scene<'_>, judgement: &Judgement, report: &Report, permitted: &Permitted) -> Findings {
    let mut found = Findings::default();
    let mut rest = judgement.findings.as_slice();
    let mut permits = permitted.by.iter();
    while let Some(first) = rest.first() {
        let same_rule = |finding: &&Finding| finding.pack == first.pack && finding.rule == first.rule;
        let count = rest.iter().take_while(same_rule).count();
        let (of_rule, later) = rest.split_at(count);
        rest = later;
        let short = short_code(scene, first);
        let alike = of_rule.iter().all(|finding| finding.outcome == first.outcome);
        for (place, (finding, permit)) in of_rule.iter().zip(permits.by_ref().take(count)).enumerate() {
            let list = match finding.outcome {
                Outcome::Met => &mut found.met,
                Outcome::DoesNotApply => &mut found.not_applying,
                Outcome::Broken | Outcome::NotShown => {
                    found.faults.push(fault(scene, finding, report, permit.is_some()));
                    continue;
                }
            };
            if !alike {
                list.push(format!("{short}: {}", subject(scene, finding)));
            } else if place == 0 {
                list.push(short.clone());
            }
        }
    }
    found
}

fn code(scene: &Scene<'_>, finding: &Finding) -> String {
    let pack = scene.packs().packs().get(finding.pack);
    match (pack, scene.rule(finding)) {
        (Some(pack), Some(rule)) => crate::explain::code(pack, rule),
        _ => String::new(),
    }
}

/// The code as the lists of what is met and what does not apply give it: most rules are of the first pack.
fn short_code(scene: &Scene<'_>, finding: &Finding) -> String {
    match scene.rule(finding) {
        Some(rule) if finding.pack == 0 => rule.name.clone(),
        _ => code(scene, finding),
    }
}

fn fault(scene: &Scene<'_>, finding: &Finding, report: &Report, permitted: bool) -> FaultPart {
    let code = code(scene, finding);
    let subject = subject(scene, finding);
    let explained = explained(report, &code, &subject);
    FaultPart {
        demand: explained.map(|explained| explained.clause.clone()).unwrap_or_default(),
        evidence: explained.map(evidence).unwrap_or_default(),
        holds: finding.holds(),
        outcome: finding.outcome.word().to_owned(),
        permitted,
        rule: code,
        subject,
    }
}

pub(super) fn figures(scene: &Scene<'_>) -> Vec<String> {
    let of = |id: &crate::figures::FigureId| {
        let spec = id.spec()?;
        let entities = scene.job().of(spec.subject)?;
        let parts = entities.iter().enumerate().filter_map(|(index, entity)| {
            let figure = scene.figure(*id, spec.subject, index)?;
            let value = match figure {
                Ok(crate::record::Value::Measured(measured)) => shown(measured),
                Ok(_) => return None,
                Err(Lack::Obstacle { obstacle, .. }) => format!("not computed: {}", obstacle.code()),
                Err(Lack::Missing(_)) => "not computed: facts are missing".to_owned(),
            };
            Some(format!("{} of {}: {value}", spec.name, entity.label))
        });
        Some(parts.collect::<Vec<_>>())
    };
    scene.packs().figures().iter().filter_map(of).flatten().collect()
}

/// A figure as an exact quantity, or as the span in which it lies, its ends rounded outwards.
fn shown(measured: &Measured) -> String {
    let unit = measured.shown.unit();
    let ends = (Quantity::from_base(measured.interval.lo(), unit), Quantity::from_base(measured.interval.hi(), unit));
    match ends {
        (Some(low), Some(high)) if low != high => {
            format!("{} to {}", end(low, Rounding::Down), end(high, Rounding::Up))
        }
        _ => end(measured.shown, Rounding::Nearest),
    }
}

/// A quantity in at most four decimals.
fn end(quantity: Quantity, rounding: Rounding) -> String {
    match quantity.value().to_decimal_exact(FIGURE_PLACES) {
        Some(_) => quantity.to_record_text(),
        None => quantity.show(FIGURE_PLACES, rounding),
    }
}

/// The instants of a body, once they are known to be in order.
#[derive(Debug, Clone, Copy)]
pub struct Instants {
    /// When it was judged.
    pub judged_at: Instant,
    /// Until when it holds.
    pub valid_until: Option<Instant>,
}

impl ChecklistBody {
    /// Whether the verdict is PASS.
    pub fn passes(&self) -> bool {
        self.verdict == Verdict::Pass.word()
    }

    /// What contradicts itself inside the body, whoever signed it.
    pub fn contradictions(&self) -> (Option<Instants>, Vec<Reason>) {
        let mut reasons = Vec::new();
        let mut say = |what: String| reasons.push(Reason::Contradiction { what });
        if self.format != FORMAT {
            say(format!("its format is `{}`, this edition reads `{FORMAT}`", self.format));
        }
        if self.verdict != Verdict::Pass.word() && self.verdict != Verdict::Hold.word() {
            say(format!("the verdict is `{}`", self.verdict));
        }
        let held = self.findings.faults.iter().find(|fault| fault.holds && !fault.permitted);
        if let Some(fault) = held.filter(|_| self.passes()) {
            say(format!("the verdict is PASS, and `{}` holds the job for {}", fault.rule, fault.subject));
        }
        if self.passes() && self.findings.met.is_empty() {
            say("the verdict is PASS, and no rule is met".to_owned());
        }
        if self.findings.faults.iter().any(|fault| fault.permitted && fault.outcome != Outcome::Broken.word()) {
            say("something that is not broken is permitted".to_owned());
        }
        let permitted = self.findings.faults.iter().filter(|fault| fault.permitted).count();
        if permitted < self.permits.len() || (permitted > 0 && self.permits.is_empty()) {
            say(format!("{permitted} findings are permitted, by {} permits", self.permits.len()));
        }
        if self.packs.is_empty() {
            say("it names no pack".to_owned());
        }
        let twice = |(place, part): &(usize, &PackPart)| self.packs.iter().take(*place).any(|p| p.name == part.name);
        if let Some((_, part)) = self.packs.iter().enumerate().find(twice) {
            say(format!("it names the pack `{}` twice", part.name));
        }
        if !self.required_roles.contains(&Role::Supervisor) {
            say("it does not ask for the supervisor's signature".to_owned());
        }
        if self.required_roles.len() > MAX_ROLES {
            say(format!("it asks for more than {MAX_ROLES} signatures"));
        }
        let judged_at = instant(&self.judged_at);
        let valid_until = self.valid_until.as_deref().map(instant);
        match (judged_at, valid_until) {
            (Some(_), None) if self.passes() => say("it passes without an end of its validity".to_owned()),
            (Some(judged), Some(Some(until))) if until < judged => {
                say("its validity ends before it was judged".to_owned());
            }
            (Some(judged), Some(Some(until)))
                if Exact::new(lapse::LONGEST, 1).is_none_or(|longest| until.seconds_since(judged) > longest) =>
            {
                say("it claims to hold for longer than any judgement does".to_owned());
            }
            (None, _) | (_, Some(None)) => say("its instants are not instants with seconds and offset".to_owned()),
            _ => {}
        }
        if sha256_hex(self.record.text.as_bytes()) != self.record.sha256 {
            reasons.push(Reason::RecordDigest);
        }
        reasons.extend(bounds::check(self).map(Reason::from));
        let instants = judged_at.map(|judged_at| Instants { judged_at, valid_until: valid_until.flatten() });
        (instants, reasons)
    }

    /// The permits inside, each as far as it can be read.
    pub fn open_permits(&self) -> impl Iterator<Item = Result<Permit, Fault>> + '_ {
        self.permits.iter().map(|value| Envelope::nested(Kind::Permit, value).and_then(Permit::of))
    }

    /// Whether the packs are those of the checklist, in the same order.
    ///
    /// # Errors
    /// What differs.
    pub fn same_packs(&self, packs: Packs<'_>) -> Result<(), Reason> {
        if self.packs == packs.parts {
            return Ok(());
        }
        let names = |parts: &[PackPart]| {
            let each: Vec<String> = parts
                .iter()
                .map(|part| format!("{} ({})", part.title(), part.sha256.get(..16).unwrap_or(&part.sha256)))
                .collect();
            each.join(", ")
        };
        Err(Reason::OtherPacks { what: format!("{} instead of {}", names(packs.parts), names(&self.packs)) })
    }
}
