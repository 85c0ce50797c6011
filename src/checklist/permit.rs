//! Deviation permits (ISO 9000:2015, 3.12.6): a signed permission, given beforehand, to go on in spite of one broken rule.
//!
//! A permit names one rule of one pack, one subject of one job, what is filled, what the record showed of the fault, who
//! asked and why, and its span; whoever may permit signs it. A record that fills or shows something else is not covered.
//! What is not shown cannot be permitted: nobody knows what they would be permitting. This module must not know checklists.

use serde::{Deserialize, Serialize};

use super::evidence::{Evidence, called, subject};
use super::jws::{Envelope, Kind, Role, Signer, instant, nullable};
use super::packs::{PackPart, Packs};
use super::reason::Reason;
use super::trust::{Trust, ahead_of};
use crate::document::{Code, Fault};
use crate::engine::{Finding, Judgement, Outcome, Scene, Verdict};
use crate::pack::Rule;
use crate::record::catalogue::{assembly, job as whole};
use crate::record::{Entity, Job, Subject, Value};
use crate::units::{Instant, Zone};
use crate::vocabulary::HoldPoint;
use crate::vocabulary::is_blank;

/// The format of this edition.
pub const FORMAT: &str = "fillward-permit/2";

/// The content of a permit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PermitBody {
    /// [`FORMAT`].
    pub format: String,
    /// Who asked for it, by the name in the trust file.
    pub asked_by: String,
    /// What the record shows of the broken rule, as it was when the permit begins.
    pub evidence: Evidence,
    /// What is filled, all of it, in the order of the record.
    pub filled: Vec<Filled>,
    /// From when it holds.
    pub from: String,
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
    /// The rule's title.
    pub title: String,
    /// Until when it holds.
    pub until: String,
}

impl PermitBody {
    /// The subject in words.
    pub fn subject_words(&self) -> String {
        called(self.mark.as_deref(), &self.subject)
    }
}

/// What is filled: one assembly, as the record has it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Filled {
    /// The mark that the record gives it; null where it gives none.
    #[serde(deserialize_with = "nullable")]
    pub mark: Option<String>,
    /// The pressure at which the fill is to end; null where it is not recorded.
    #[serde(deserialize_with = "nullable")]
    pub target_pressure: Option<String>,
    /// The size of the tyre; null where it is not recorded.
    #[serde(deserialize_with = "nullable")]
    pub tyre_size: Option<String>,
}

/// What a record says of assemblies that are filled.
pub fn filled<'a>(assemblies: impl Iterator<Item = &'a Entity>) -> Vec<Filled> {
    let one = |entity: &Entity| Filled {
        mark: entity.facts.text(assembly::MARK).map(str::to_owned),
        target_pressure: entity.facts.measured(assembly::TARGET_PRESSURE).map(|found| found.shown.to_record_text()),
        tyre_size: entity.facts.text(assembly::TYRE_SIZE).map(str::to_owned),
    };
    assemblies.map(one).collect()
}

/// What a record says is filled, all of it. A job number alone does not say how many tyres a permit was given for.
pub fn all_filled(job: &Job) -> Vec<Filled> {
    filled(job.of(Subject::Assembly).unwrap_or_default().iter())
}

/// What is filled, in words.
pub fn filled_words(filled: &[Filled]) -> String {
    let one = |(place, Filled { mark, target_pressure, tyre_size }): (usize, &Filled)| {
        let name = mark.clone().unwrap_or_else(|| format!("assembly {}", place + 1));
        let [size, pressure] = [tyre_size, target_pressure].map(|text| text.as_deref().unwrap_or("not recorded"));
        format!("{name} (tyre size {size}, target pressure {pressure})")
    };
    let each: Vec<String> = filled.iter().enumerate().map(one).collect();
    if each.is_empty() { "nothing".to_owned() } else { each.join("; ") }
}

/// A permit, read; its signature is checked by [`Permit::check`].
#[derive(Debug, Clone)]
pub struct Permit {
    envelope: Envelope,
    body: PermitBody,
    from: Instant,
    until: Instant,
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
            Err(Fault::new(Code::ChecklistPermitContent, what).help("write the permit again with `fillward permit`"))
        };
        if body.format != FORMAT {
            return fault(format!("the format of the permit is `{}`, this edition reads `{FORMAT}`", body.format));
        }
        let (Some(from), Some(until)) = (instant(&body.from), instant(&body.until)) else {
            return fault("the span of the permit is not of instants with seconds and offset".to_owned());
        };
        if until <= from {
            return fault("the permit ends before it begins".to_owned());
        }
        if is_blank(&body.reason) {
            return fault("the permit gives no reason".to_owned());
        }
        Ok(Self { envelope, body, from, until })
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

    /// The signed document, to add a signature.
    pub const fn envelope_mut(&mut self) -> &mut Envelope {
        &mut self.envelope
    }

    /// `pack/rule`.
    pub fn code(&self) -> String {
        format!("{}/{}", self.body.pack.name, self.body.rule)
    }

    /// Everything against the permit when it is relied on at `at`: its signature, who signed, who asked, and, where the
    /// packs are given, what the rule allows.
    pub fn check(&self, trust: &Trust, packs: Option<Packs<'_>>, at: Instant) -> Vec<Reason> {
        self.check_as_of(trust, packs, at, None)
    }

    /// The same by what was known `as_of` an earlier instant.
    pub(super) fn check_as_of(
        &self,
        trust: &Trust,
        packs: Option<Packs<'_>>,
        at: Instant,
        as_of: Option<Instant>,
    ) -> Vec<Reason> {
        let mut reasons = Vec::new();
        if self.envelope.seals().is_empty() {
            reasons.push(Reason::NotSigned(Kind::Permit));
        }
        reasons.extend(self.envelope.signers().into_iter().filter_map(Result::err));
        let asks = |signer: &Signer| trust.name_of(&signer.kid) == self.body.asked_by;
        let (askers, permitters): (Vec<Signer>, Vec<Signer>) = self.signers().partition(asks);
        match (permitters.as_slice(), askers.as_slice()) {
            ([], []) => {}
            // Whoever asked has permitted it, or nobody else has.
            ([], [signer, ..]) | ([signer], []) => self.check_signer(signer, trust, packs, as_of, &mut reasons),
            ([signer], [asker]) => {
                self.check_signer(signer, trust, packs, as_of, &mut reasons);
                match trust.standing(&self.envelope, asker) {
                    Ok(standing) => reasons.extend(standing.revoked(as_of)),
                    Err(reason) => reasons.push(reason),
                }
            }
            _ => reasons.push(Reason::PermitSigners {
                who: self.signers().map(|signer| trust.name_of(&signer.kid)).collect::<Vec<_>>().join(", "),
            }),
        }
        if trust.person(&self.body.asked_by).is_none() {
            reasons.push(Reason::UnknownPerson { who: self.body.asked_by.clone() });
        }
        reasons.extend(self.out_of_force(at));
        reasons.into_iter().map(|reason| self.wrap(reason)).collect()
    }

    /// Why the permit is not in force at an instant, if so.
    pub(super) fn out_of_force(&self, at: Instant) -> Option<Reason> {
        let outside = at < self.from || at >= self.until;
        outside.then(|| self.not_in_force(at))
    }

    fn not_in_force(&self, at: Instant) -> Reason {
        let PermitBody { from, until, .. } = &self.body;
        Reason::PermitNotInForce { from: from.clone(), until: until.clone(), at: at.to_record_text() }
    }

    /// The signatures that can be read.
    fn signers(&self) -> impl Iterator<Item = Signer> {
        self.envelope.signers().into_iter().flatten()
    }

    /// The signature of whoever permits: the one that is not by whoever asks, where there are two. `name_of` gives the
    /// person of a key.
    pub fn permitter(&self, name_of: impl Fn(&str) -> String) -> Option<Signer> {
        let is_permitter = |signer: &Signer| name_of(&signer.kid) != self.body.asked_by;
        self.signers().find(is_permitter).or_else(|| self.signers().next())
    }

    /// Whether whoever asks has signed as well: then it is not only said that they asked.
    pub fn asker_signed(&self, trust: &Trust) -> bool {
        let asked = |signer: Signer| {
            trust.standing(&self.envelope, &signer).is_ok_and(|standing| standing.person == self.body.asked_by)
        };
        self.signers().any(asked)
    }

    /// A reason against this permit.
    pub fn wrap(&self, reason: Reason) -> Reason {
        Reason::Permit { rule: self.code(), reason: Box::new(reason) }
    }

    fn check_signer(
        &self,
        signer: &Signer,
        trust: &Trust,
        packs: Option<Packs<'_>>,
        as_of: Option<Instant>,
        reasons: &mut Vec<Reason>,
    ) {
        match trust.standing(&self.envelope, signer) {
            Ok(standing) => {
                if standing.person == self.body.asked_by {
                    reasons.push(Reason::PermitSelf { who: standing.person.to_owned() });
                }
                reasons.extend(standing.revoked(as_of));
            }
            Err(reason) => reasons.push(reason),
        }
        if ahead_of(signer.at, self.from) {
            reasons.push(Reason::PermitAfterwards { at: signer.at.to_record_text() });
        }
        match packs {
            Some(packs) => reasons.extend(self.check_rule(signer, &trust.name_of(&signer.kid), packs)),
            // Whatever the rule says, nobody else may ever permit.
            None if !matches!(signer.role, Role::Supervisor | Role::SafetyOfficer) => {
                reasons.push(Reason::WrongRole { who: trust.name_of(&signer.kid), role: signer.role });
            }
            None => {}
        }
    }

    /// What the rule says of permits: whether it allows one, by whom, for how long.
    fn check_rule(&self, signer: &Signer, who: &str, packs: Packs<'_>) -> Vec<Reason> {
        let Some(rule) = self.find(packs) else {
            return vec![Reason::PermitOther { what: format!("`{}` of a pack that is not in force", self.code()) }];
        };
        let Some(allowed) = &rule.permit else { return vec![Reason::PermitNone] };
        let mut reasons = Vec::new();
        if Role::find(&allowed.by) != Some(signer.role) {
            let due = allowed.by.clone();
            reasons.push(Reason::PermitRole { due, who: who.to_owned(), role: signer.role });
        }
        if self.until.seconds_since(self.from) > allowed.longest.base() {
            reasons.push(Reason::PermitTooLong {
                from: self.body.from.clone(),
                until: self.body.until.clone(),
                longest: allowed.longest.to_string(),
            });
        }
        reasons
    }

    fn find<'p>(&self, packs: Packs<'p>) -> Option<&'p Rule> {
        let place = packs.parts.iter().position(|part| *part == self.body.pack)?;
        packs.set.packs().get(place)?.rules.iter().find(|rule| rule.name == self.body.rule)
    }

    /// Whether this permit names a finding of the judgement, whatever the record shows of it.
    fn names(&self, scene: &Scene<'_>, parts: &[PackPart], finding: &Finding) -> bool {
        let rule = scene.rule(finding);
        finding.outcome == Outcome::Broken
            && scene.job().number() == Some(self.body.job.as_str())
            && parts.get(finding.pack) == Some(&self.body.pack)
            && rule.is_some_and(|rule| rule.name == self.body.rule && rule.permit.is_some())
            && subject(scene, finding).0 == self.body.subject
            && self.from <= scene.at()
            && scene.at() < self.until
    }
}

/// When the pump is to start, as the record has it.
fn planned_start(job: &Job) -> Option<Instant> {
    match job.whole()?.facts.get(whole::PLANNED_START)? {
        Value::Instant(start) => Some(*start),
        _ => None,
    }
}

/// A permit held against the record that it is to serve for. Only such a permit can set a finding aside.
#[derive(Debug, Clone, Copy)]
pub struct Bound<'p> {
    permit: &'p Permit,
    misfit: Option<Misfit>,
}

/// Why a permit does not serve for a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Misfit {
    /// Other tyres, or to other pressures.
    Fill,
    /// Another fault, or none.
    Evidence,
    /// A start that is planned for after its end.
    Start(Instant),
}

impl<'p> Bound<'p> {
    /// Judges the record at the instant from which the permit holds, as whoever permitted it saw it, and compares what is
    /// filled and what it shows: readings grow older, but a fault that is worse, or shown by something else, is not what
    /// was permitted.
    pub fn new(permit: &'p Permit, packs: Packs<'_>, job: &Job, zone: &Zone, point: HoldPoint) -> Self {
        let scene = Scene::new(packs.set, job, permit.from, zone).at_hold_point(point);
        let judgement = scene.judge();
        let mut named = judgement.findings.iter().filter(|finding| permit.names(&scene, packs.parts, finding));
        let body = &permit.body;
        let shows = |finding: &Finding| {
            subject(&scene, finding) == (body.subject.clone(), body.mark.clone())
                && scene.rule(finding).is_some_and(|rule| rule.title == body.title)
                && Evidence::of(&scene, finding) == body.evidence
        };
        let misfit = if all_filled(job) != body.filled {
            Some(Misfit::Fill)
        } else if !named.next().is_some_and(shows) {
            Some(Misfit::Evidence)
        } else {
            planned_start(job).filter(|start| *start >= permit.until).map(Misfit::Start)
        };
        Self { permit, misfit }
    }

    /// The permit.
    pub const fn permit(self) -> &'p Permit {
        self.permit
    }

    /// From when it holds, and until when.
    pub(super) const fn span(self) -> [Instant; 2] {
        [self.permit.from, self.permit.until]
    }

    /// Whether the record fills and shows what the permit was given for.
    pub const fn fits(self) -> bool {
        self.misfit.is_none()
    }

    /// Why the permit does not serve for the record, if it does not.
    pub fn misfit(self) -> Option<Reason> {
        Some(self.permit.wrap(match self.misfit? {
            Misfit::Fill => Reason::PermitOtherFill { given: filled_words(&self.permit.body.filled) },
            Misfit::Evidence => Reason::PermitOtherEvidence,
            Misfit::Start(start) => self.permit.not_in_force(start),
        }))
    }

    /// Why the permit sets nothing aside in this judgement.
    pub(super) fn idle(self, scene: &Scene<'_>, parts: &[PackPart], judgement: &Judgement) -> Reason {
        let named = judgement.findings.iter().any(|finding| self.permit.names(scene, parts, finding));
        let misfit = self.misfit().filter(|_| named);
        misfit.unwrap_or_else(|| self.permit.wrap(Reason::PermitNotNeeded))
    }
}

/// A judgement with permits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Permitted {
    /// PASS if all that is left to hold the job is permitted.
    pub verdict: Verdict,
    /// For each finding of the judgement, the permit that sets it aside, by its position.
    pub by: Vec<Option<usize>>,
}

impl Permitted {
    /// Whether each of `count` permits sets something aside.
    pub fn unused(&self, count: usize) -> impl Iterator<Item = usize> + '_ {
        (0..count).filter(|permit| !self.by.contains(&Some(*permit)))
    }
}

/// What is left of a judgement when permits, already checked, are taken into account. A finding stays broken; it only
/// no longer holds the job.
pub fn apply(scene: &Scene<'_>, parts: &[PackPart], judgement: &Judgement, permits: &[Bound<'_>]) -> Permitted {
    let by: Vec<Option<usize>> = judgement
        .findings
        .iter()
        .map(|finding| permits.iter().position(|bound| bound.fits() && bound.permit.names(scene, parts, finding)))
        .collect();
    let holds = judgement.findings.iter().zip(&by).any(|(finding, permit)| finding.holds() && permit.is_none());
    // A HOLD without any finding that holds is a judgement by no rule; a permit cannot mend that.
    let held = judgement.findings.iter().any(Finding::holds);
    let verdict = if judgement.verdict == Verdict::Pass || (held && !holds) { Verdict::Pass } else { Verdict::Hold };
    Permitted { verdict, by }
}
