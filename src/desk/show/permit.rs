//! Showing a permit, or the request for one: what it says, and by a trust file what it is worth by itself. It decides
//! nothing: whether a job goes on with it is a matter of the record.
//!
//! Must not know whether anything may start.

use super::SignatureLine;
use crate::checklist::jws::Envelope;
use crate::checklist::packs::{Packs, parts};
use crate::checklist::permit::Permit;
use crate::checklist::trust::Trust;
use crate::checklist::{PermitReason, Reason};
use crate::desk::permit_line::{PermitLine, SignerName};
use crate::desk::world::NamedBytes;
use crate::desk::{Desk, Refusal, packs};
use crate::document::Fault;
use crate::pack::{PackSet, Rule};
use crate::units::Instant;

/// What permit is to be shown, and by what.
#[derive(Debug)]
pub struct ShowPermitOrder {
    /// The permit or the request.
    pub permit: NamedBytes,
    /// The local packs in force, where they are at hand.
    pub packs: Vec<NamedBytes>,
    /// The trust file that names people, where it is at hand.
    pub trust: Option<Trust>,
}

/// What a permit is worth by itself, by a trust file and at the present instant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PermitStanding {
    /// It permits, as far as the record shows and fills what it says.
    InForce,
    /// It is asked for, and nobody has permitted it.
    NotGiven,
    /// Its time has not come or is over, or it is of another shop, or the trust file lets nothing start.
    NotNow(Vec<Reason>),
    /// It is not to be relied on.
    DoesNotCount(Vec<Reason>),
}

/// What a file of permits is, by who signed it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PermitForm {
    /// A request that nobody has signed yet.
    Unsigned,
    /// A request that nobody has signed but the person who asks.
    Asked,
    /// A permit, or a request: it has one signature, and there is no trust file that tells whose.
    OneSignature,
    /// A permit: somebody else than the person who asks has signed it.
    Given,
}

impl PermitForm {
    fn of(permit: &Permit, trust: Option<&Trust>) -> Self {
        match (permit.envelope().seals().len(), trust) {
            (0, _) => Self::Unsigned,
            (1, None) => Self::OneSignature,
            (_, Some(trust)) if !permit.is_given(trust) => Self::Asked,
            _ => Self::Given,
        }
    }
}

/// A permit that could be read.
#[derive(Debug)]
pub struct ShownPermit {
    /// What it says, and who gave it.
    pub line: PermitLine,
    /// Until when it is to hold.
    pub until: Instant,
    /// The signatures in their order.
    pub signatures: Vec<Result<SignatureLine, Reason>>,
    /// What it is, by who signed it; whether that counts is a matter of what it is worth.
    pub form: PermitForm,
    /// What it is worth by itself; nothing where there is no trust file.
    pub standing: Option<PermitStanding>,
    /// The trust file that names people, by its shop and version.
    pub names_by: Option<(String, i64)>,
    set: PackSet,
    /// Whether its pack is at hand.
    at_hand: bool,
}

impl ShownPermit {
    /// The rule that is broken, where its pack is at hand.
    pub fn rule(&self) -> Option<&Rule> {
        self.set.find_rule(&self.line.code).map(|(_, rule)| rule).filter(|_| self.at_hand)
    }
}

impl SignatureLine {
    /// The signatures of a document, by a trust file where one is at hand.
    pub(super) fn all(envelope: &Envelope, trust: Option<&Trust>) -> Vec<Result<Self, Reason>> {
        let line = |signer: crate::checklist::jws::Signer| {
            let standing = trust.map(|trust| trust.standing(envelope, &signer));
            Self {
                who: SignerName::of(trust, signer.kid),
                role: signer.role,
                at: signer.at,
                revoked: matches!(&standing, Some(Ok(standing)) if standing.revoked_since.is_some()),
                fault: standing.and_then(Result::err),
            }
        };
        envelope.signers().into_iter().map(|signer| signer.map(line)).collect()
    }
}

impl Desk<'_> {
    /// Reads a permit, or the request for one, for showing it.
    ///
    /// # Errors
    /// The faults of the packs; the reason why the file is no permit in exact form.
    pub fn show_permit(&self, order: ShowPermitOrder) -> Result<ShownPermit, Refusal> {
        let ShowPermitOrder { permit, packs: local, trust } = order;
        let set = packs(&local)?;
        let parts = parts(&set);
        let refused = |fault: Fault| Refusal::from(vec![Reason::from(fault)]);
        let permit = Permit::read(&permit.label(), &permit.bytes).map_err(refused)?;
        let at_hand = parts.contains(&permit.body().pack);
        let packs = at_hand.then_some(Packs { set: &set, parts: &parts });
        let standing = trust.as_ref().map(|trust| Ok(standing(&permit, trust, packs, self.now_or_seen(trust)?)));
        Ok(ShownPermit {
            line: PermitLine::of(&permit, trust.as_ref()),
            until: permit.until(),
            signatures: SignatureLine::all(permit.envelope(), trust.as_ref()),
            form: PermitForm::of(&permit, trust.as_ref()),
            standing: standing.transpose().map_err(|refusal: Refusal| refusal)?,
            names_by: trust.as_ref().map(|trust| (trust.shop().to_owned(), trust.version())),
            set,
            at_hand,
        })
    }
}

fn standing(permit: &Permit, trust: &Trust, packs: Option<Packs<'_>>, now: Instant) -> PermitStanding {
    let found = permit.check(trust, packs, now);
    let of = |wanted: fn(&Reason) -> bool| {
        found.iter().any(|reason| matches!(reason, Reason::Permit { reason, .. } if wanted(reason)))
    };
    let is_open =
        |reason: &Reason| matches!(reason, Reason::NotSigned(_) | Reason::OfPermit(PermitReason::ToOneself { .. }));
    let is_not_now =
        |reason: &Reason| matches!(reason, Reason::OfPermit(PermitReason::NotInForce { .. } | PermitReason::Other(_)));
    let counts = |reason: &Reason| {
        let Reason::Permit { reason, .. } = reason else { return false };
        matches!(
            **reason,
            Reason::NotSigned(_)
                | Reason::OfPermit(
                    PermitReason::ToOneself { .. } | PermitReason::NotInForce { .. } | PermitReason::Other(_)
                )
        )
    };
    let bars: Vec<Reason> = trust.lapses(now).into_iter().chain(trust.bars()).collect();
    if !found.iter().all(counts) {
        PermitStanding::DoesNotCount(found)
    } else if of(is_not_now) || !bars.is_empty() {
        let not_now =
            found.into_iter().filter(|reason| !matches!(reason, Reason::Permit { reason, .. } if is_open(reason)));
        PermitStanding::NotNow(not_now.chain(bars).collect())
    } else if of(is_open) {
        PermitStanding::NotGiven
    } else {
        PermitStanding::InForce
    }
}
