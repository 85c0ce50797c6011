//! How the content of a checklist is made from a judgement.
//!
//! Must not know how a file is read back or judged again.

use super::{ChecklistBody, FORMAT, Inputs, Program, RecordPart, ShopPart, findings};
use crate::checklist::filled::filled;
use crate::checklist::jws::Envelope;
use crate::checklist::packs::PackPart;
use crate::checklist::permit::{BoundPermit, apply};
use crate::checklist::reason::Reason;
use crate::checklist::trust::{Trust, TrustPart};
use crate::document::{Code, Fault, without_mark};
use crate::engine::{Judgement, Scene};
use crate::units::Instant;
use crate::vocabulary::{Kind, Role, Verdict};

/// What a checklist is made of, besides the judgement.
#[derive(Debug)]
pub struct Making<'a> {
    /// Packs, job and instant.
    pub scene: &'a Scene<'a>,
    /// The judgement of the scene.
    pub judgement: &'a Judgement,
    /// The names and digests of the scene's packs.
    pub parts: &'a [PackPart],
    /// The name of the record's file, without folders.
    pub record_name: &'a str,
    /// The bytes of the record's file; a byte order mark before them is no part of what is signed.
    pub record: &'a [u8],
    /// The shop file that the record draws on, and what of it.
    pub shop: Option<ShopPart>,
    /// The permits, already checked and held against this record.
    pub permits: &'a [BoundPermit<'a>],
    /// Whether the instant was chosen.
    pub rehearsal: bool,
    /// Until when a PASS is to hold, see [`crate::checklist::lapse::holds_until`].
    pub valid_until: Option<Instant>,
    /// Who must sign.
    pub required_roles: &'a [Role],
    /// The trust file in force.
    pub trust: &'a Trust,
    /// The digest of the checklist that it follows.
    pub before: Option<String>,
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
            return Err(bound.idle(self.scene, self.parts, self.judgement, self.permits));
        }
        let text = std::str::from_utf8(without_mark(self.record)).map_err(|_| {
            Fault::new(Code::ChecklistNotUtf8, "the record is not UTF-8").help("save the record as UTF-8")
        })?;
        let job = self.scene.job().number().ok_or_else(|| {
            Fault::new(Code::ChecklistNoJobNumber, "the record has no job number")
                .help("write the job number into the record; a checklist speaks of one job")
        })?;
        let assemblies = filled(self.scene.covered().map(|(_, entity)| entity));
        let permits =
            self.permits.iter().map(|bound| bound.permit().envelope().to_value()).collect::<Result<_, _>>()?;
        let passes = permitted.verdict == Verdict::Pass;
        let (findings, figures) = findings(self.scene, self.judgement, &permitted);
        Ok(ChecklistBody {
            assemblies,
            before: self.before.clone(),
            figures,
            findings,
            format: FORMAT.to_owned(),
            hold_point: self.scene.hold_point(),
            inputs: Inputs {
                packs: self.parts.to_vec(),
                record: RecordPart::of(self.record_name, text),
                shop_file: self.shop.clone(),
                trust: TrustPart::of(self.trust),
            },
            job: job.to_owned(),
            judged_at: self.judgement.at.to_record_text(),
            number: None,
            permits,
            program: Program::this(),
            register: None,
            rehearsal: self.rehearsal,
            required_roles: self.required_roles.to_vec(),
            revision: None,
            time_zone: self.scene.zone().name().to_owned(),
            valid_until: self.valid_until.filter(|_| passes).map(Instant::to_record_text),
            variations: None,
            verdict: permitted.verdict,
        })
    }
}
