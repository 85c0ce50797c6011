//! What is asked of the desk where something is to be signed, and what a person is shown of it before.
//!
//! Must not know how a proposal is drawn.

use std::path::PathBuf;

use super::shop_changes::ShopChanges;
use crate::checklist::Reason;
use crate::checklist::body::ChecklistBody;
use crate::checklist::changes::FactChange;
use crate::checklist::filled::Filled;
use crate::checklist::trust::Trust;
use crate::checklist::verify::{CheckedSignature, Otherwise};
use crate::desk::Passage;
use crate::desk::beside::{OtherChecklist, later};
use crate::desk::permit_line::PermitLine;
use crate::desk::world::NamedBytes;
use crate::explain::Summary;
use crate::record::catalogue::person;
use crate::record::shop::Shop;
use crate::record::{Entity, Job};
use crate::units::{Instant, Zone};
use crate::vocabulary::{Role, Subject, may_be_one};

/// A first signature that is asked for.
#[derive(Debug)]
pub struct SignOrder {
    /// The job record.
    pub record: NamedBytes,
    /// The shop file that it draws on.
    pub shop: Option<NamedBytes>,
    /// The local packs that judge it as well.
    pub packs: Vec<NamedBytes>,
    /// The permits to rely on.
    pub permits: Vec<NamedBytes>,
    /// The instant to judge at instead of now: a rehearsal, which never lets a fill start.
    pub at: Option<Instant>,
    /// Where the checklist is to be kept; beside the record where nothing is said.
    pub out: Option<PathBuf>,
    /// Whether a HOLD is to be signed for the file.
    pub hold: bool,
    /// The hold point at which it is judged, and the assemblies that go past it.
    pub passage: Passage,
    /// The signed checklist of the hold point before, which it follows, or several of which it follows the last one of its
    /// job at that hold point.
    pub before: Vec<NamedBytes>,
}

/// A further signature that is asked for.
#[derive(Debug)]
pub struct FurtherOrder {
    /// The checklist.
    pub checklist: NamedBytes,
    /// Records as they stand now, of which that of its job is taken. A witness of what is over needs none.
    pub records: Vec<NamedBytes>,
    /// What lies in folders that were given and may be a record as well, see [`VerifyOrder::found`].
    ///
    /// [`VerifyOrder::found`]: crate::desk::VerifyOrder::found
    pub found: Vec<NamedBytes>,
    /// The shop file as it stands now, where the record draws on one; without it the checklist is signed and starts nothing.
    pub shop: Option<NamedBytes>,
    /// The local packs that judged it as well.
    pub packs: Vec<NamedBytes>,
    /// The checklists of the hold points before.
    pub before: Vec<NamedBytes>,
}

/// What a person sees before signing.
#[derive(Debug)]
pub struct Proposal {
    /// The content that is signed.
    pub body: ChecklistBody,
    /// The counts and figures that a check shows.
    pub summary: Summary,
    /// Where the shop lies.
    pub zone: Zone,
    /// The permits that it relies on.
    pub permits: Vec<PermitLine>,
    /// What the shop file calls the shop, where the record draws on one that says so.
    pub shop_name: Option<String>,
    /// What has changed in the shop file since the last signature with one, where the record draws on one.
    pub shop_changes: Option<ShopChanges>,
    /// The signatures that are there already.
    pub earlier: Vec<CheckedSignature>,
    /// What the record says otherwise than at the hold point before, and is judged again by.
    pub changes: Vec<FactChange>,
    /// Whether what it let happen is over: then the person who signs is a witness, and fills no role.
    pub witness: bool,
    /// Other checklists of the same job, hold point and assembly that are here already, the last one at the end.
    pub here: Vec<OtherChecklist>,
    /// The assemblies of the record that it does not cover.
    pub not_covered: Vec<Filled>,
    /// The people of the record.
    pub crew: Vec<CrewMember>,
    /// What another edition or build had worked out otherwise, where the checklist is one that was signed before.
    pub otherwise: Vec<Otherwise>,
}

/// Somebody whom the record names among its people.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CrewMember {
    /// The name.
    pub name: String,
    /// What they do on the job, where the record says so.
    pub role: Option<String>,
}

/// The people whom a record names.
pub(super) fn crew_of(job: &Job) -> Vec<CrewMember> {
    let one = |entity: &Entity| {
        let text = |key| entity.facts.text(key).map(str::to_owned);
        Some(CrewMember { name: text(person::NAME)?, role: text(person::ROLE) })
    };
    job.of(Subject::Person).unwrap_or_default().iter().filter_map(one).collect()
}

/// What the record says of the person who signs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PlaceInRecord<'p> {
    /// That they are of the crew in the role in which they sign, or nothing that anybody would have to be told.
    AsSigned,
    /// That they do something else on the job.
    Otherwise(&'p CrewMember),
    /// Nothing, although it names others.
    NotNamed,
}

impl Proposal {
    /// What the record says of a person who signs as supervisor. Whoever signs in another role, or as a witness, comes from
    /// outside, and so does nobody where the record names no crew. It bars nothing: who signs answers for the job, and
    /// may be another supervisor than the one on the floor; but a reader of the record would not know them.
    pub fn place_of(&self, who: &str, role: Role) -> PlaceInRecord<'_> {
        if role != Role::Supervisor || self.witness || self.crew.is_empty() {
            return PlaceInRecord::AsSigned;
        }
        let mut named = self.crew.iter().filter(|one| may_be_one(&one.name, who)).peekable();
        match named.peek() {
            None => PlaceInRecord::NotNamed,
            Some(first) => {
                let first = *first;
                let is_so = named.any(|one| one.role.as_deref().is_none_or(|as_what| as_what == role.word()));
                if is_so { PlaceInRecord::AsSigned } else { PlaceInRecord::Otherwise(first) }
            }
        }
    }

    /// What a first signature is given for: a body with the zone of its shop and its counts, the trust that looks at its
    /// permits, the shop file, and the other checklists of its job that are here.
    pub(super) fn new(
        (body, zone): (ChecklistBody, Zone),
        summary: Summary,
        (trust, shop): (&Trust, Option<&Shop>),
        here: Vec<OtherChecklist>,
    ) -> Self {
        Self {
            permits: PermitLine::all(&body, Some(trust)),
            body,
            summary,
            zone,
            shop_name: shop.and_then(Shop::name).map(str::to_owned),
            shop_changes: None,
            earlier: Vec::new(),
            changes: Vec::new(),
            witness: false,
            here,
            not_covered: Vec::new(),
            crew: Vec::new(),
            otherwise: Vec::new(),
        }
    }

    /// How many findings hold the job and are not permitted.
    pub fn held(&self) -> usize {
        self.body.findings.each_fault().iter().filter(|fault| fault.holds()).count()
    }

    /// That a later checklist of the same job, hold point and assembly is here: nothing starts by this one.
    pub(super) fn later(&self) -> Option<Reason> {
        later(&self.body, &self.here)
    }
}
