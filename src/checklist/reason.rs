//! Why a signed document is not accepted, each reason with its own code and words.
//!
//! A reason holds what was found: instants, roles, parts of documents. Its words are drawn from that in one place, here; who
//! finds one must not know them, nor how it is printed. What it quotes of a document cannot act on a terminal.

mod codes;
mod contradiction;
mod cures;
mod differs;
mod link;
mod not_meant;
mod of_permit;
mod of_trust;
mod sorts;
mod unsound;
mod words;

use super::changes::FactChange;
use super::keys::KeyFault;
use super::packs::PackPart;
use crate::document::Fault;
use crate::units::Instant;
use crate::vocabulary::{HoldPoint, Kind, Role, Verdict};
pub(super) use contradiction::SelfContradiction;
pub use differs::NotJudged;
pub(super) use differs::{
    EntryName, FindingDiffers, GoneOn, JudgedDiffers, RecordDiffers, ShopDiffers, SubjectName, TextsDiffer, Unmatched,
    UnmatchedRecord,
};
pub(super) use link::{BrokenLink, GivenInstead};
pub use not_meant::NotMeant;
pub use of_permit::PermitReason;
pub(super) use of_permit::PermittedElsewhere;
pub use of_trust::{NoKeyOfWords, TrustReason};
pub(super) use sorts::BorneOut;
pub(super) use unsound::KeyName;
pub use unsound::{NameFlaw, TrustFlaw};

/// One reason against a signed document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reason {
    /// The file is not in exact form, or its content is not that of its kind.
    Form(Box<Fault>),
    /// No signature at all.
    NotSigned(Kind),
    /// A protected header that is not exactly what this profile writes.
    HeaderNotExact {
        /// The signature, counted from 1.
        place: usize,
    },
    /// A header with a member that has no place there.
    HeaderMember {
        /// The signature, counted from 1.
        place: usize,
        /// The member.
        member: String,
    },
    /// Another algorithm than the one allowed.
    Algorithm {
        /// The signature, counted from 1.
        place: usize,
        /// What the header names.
        found: String,
    },
    /// A signature for another kind of document.
    OtherKind {
        /// The signature, counted from 1.
        place: usize,
        /// The type in the header.
        found: String,
        /// The kind of this document.
        due: Kind,
    },
    /// A signature that is not 64 bytes in strict base64url.
    SignatureForm {
        /// The signature, counted from 1.
        place: usize,
    },
    /// The content, or the signature, was changed after signing.
    Changed {
        /// Whose key is named.
        who: String,
    },
    /// One key signed twice.
    SignedTwice {
        /// Who.
        who: String,
    },
    /// The person who is to sign has signed already.
    SignedAlready {
        /// Who.
        who: String,
    },
    /// A key that the trust file does not have.
    UnknownKey {
        /// The thumbprint.
        kid: String,
    },
    /// The key was not yet valid.
    KeyNotYet {
        /// Who.
        who: String,
        /// When.
        at: Instant,
    },
    /// The key was no longer valid.
    KeyExpired {
        /// Who.
        who: String,
        /// When.
        at: Instant,
    },
    /// The key had been revoked when it signed.
    KeyRevoked {
        /// Who.
        who: String,
        /// When.
        at: Instant,
        /// Why it was revoked.
        why: String,
    },
    /// The key has been revoked since the instant that the signature names.
    KeyRevokedSince {
        /// Who.
        who: String,
        /// From when.
        from: Instant,
        /// Why it was revoked.
        why: String,
        /// What another person's signature from before shows; nothing where there is none.
        borne_out: Option<BorneOut>,
    },
    /// The key was good when it signed and its time has run out.
    KeyEnded {
        /// Who.
        who: String,
        /// The first instant at which it was no longer valid.
        at: Instant,
    },
    /// The person does not have the role.
    WrongRole {
        /// Who.
        who: String,
        /// The role in the header.
        role: Role,
    },
    /// A person who is about to sign does not have the role.
    MayNotSignAs {
        /// Who.
        who: String,
        /// The role in which they were about to sign.
        role: Role,
        /// The roles that they have.
        may: Vec<Role>,
    },
    /// Signatures of the required roles are missing.
    TooFewSigners {
        /// The roles.
        missing: Vec<Role>,
    },
    /// Signed before it was judged.
    SignedBeforeJudged {
        /// Who.
        who: String,
        /// When.
        at: Instant,
    },
    /// Signed later than the present.
    SignedAhead {
        /// Who.
        who: String,
        /// When.
        at: Instant,
    },
    /// Signed when the judgement no longer held.
    SignedTooLate {
        /// Who.
        who: String,
        /// When.
        at: Instant,
    },
    /// An owner signed the trust file before it was made.
    SignedBeforeMade {
        /// Who.
        who: String,
        /// When.
        at: Instant,
    },
    /// Judged later than the present.
    JudgedAhead {
        /// When.
        at: Instant,
    },
    /// The clock stands before something that has happened.
    ClockBehind {
        /// The present instant.
        at: Instant,
        /// The later instant.
        known: Instant,
    },
    /// An instant in the document before the trust file version that it names was made.
    BackDated {
        /// The instant of judgement.
        at: Instant,
        /// The version.
        version: i64,
    },
    /// The clock shows an earlier time than it has shown before.
    ClockSetBack {
        /// The present instant.
        at: Instant,
        /// The latest one that was seen.
        seen: Instant,
    },
    /// Signed under a trust file of this shop, with owners of whom the one given has none.
    OtherOwners(String),
    /// The trust file of another shop.
    OtherShop {
        /// The shop in the checklist.
        found: String,
        /// The shop of the trust file.
        due: String,
    },
    /// A key in the trust file that is not taken.
    Key {
        /// Who.
        who: String,
        /// Why.
        fault: KeyFault,
    },
    /// The checklist is of another job, hold point or assembly than the one that is meant.
    NotMeant(NotMeant),
    /// Several records of the job were given, and they differ.
    RecordTwice {
        /// The job.
        job: String,
        /// The names of two of them.
        names: [String; 2],
    },
    /// A record was given of which nobody can tell the job: it may be the present one.
    RecordUnmatched(Box<UnmatchedRecord>),
    /// The shop file given says otherwise than the one that was judged by.
    ShopChanged(ShopDiffers),
    /// The record draws on a shop file, and the present one was not given.
    ShopNotGiven {
        /// The name of the shop file in the checklist.
        name: String,
    },
    /// The record given is not the one that was judged.
    RecordChanged(Box<RecordDiffers>),
    /// The record given says otherwise than the one that was held; nothing starts by either.
    RecordEarlier(Box<RecordDiffers>),
    /// What the checklist let happen has happened, and the record given has gone on since.
    RecordGoneOn(GoneOn),
    /// The embedded record does not have the digest.
    RecordDigest,
    /// Something in the body contradicts something else.
    Contradiction(SelfContradiction),
    /// A pack that the safety officer has not approved.
    PackNotApproved {
        /// Name and edition.
        pack: String,
        /// The first half of its digest.
        digest: String,
    },
    /// A pack whose approval had ended.
    PackApprovalOver {
        /// Name and edition.
        pack: String,
        /// The instant it was used.
        at: Instant,
    },
    /// A pack whose approval was signed with a key after that had been revoked or given back.
    PackApprovalUndone {
        /// Name and edition.
        pack: String,
        /// Whose key.
        by: String,
    },
    /// A pack that must always judge did not.
    PackLeftOut {
        /// Its name.
        pack: String,
    },
    /// The packs given are not those of the checklist.
    OtherPacks {
        /// Those given.
        given: Vec<PackPart>,
        /// Those of the checklist.
        due: Vec<PackPart>,
    },
    /// Judged by the days of another zone than the shop's.
    OtherZone {
        /// The zone of the checklist.
        found: String,
        /// The zone of the trust file.
        due: String,
    },
    /// Fewer signatures are asked for than the packs ask for.
    RolesLowered {
        /// The roles left out.
        missing: Vec<Role>,
    },
    /// Judging the embedded record again gives something else.
    JudgedOtherwise(JudgedDiffers),
    /// The embedded record cannot be judged again.
    NotJudgeable(NotJudged),
    /// A checklist that must follow one of the hold point before, and names none.
    LinkLeftOut {
        /// The hold point before.
        point: HoldPoint,
    },
    /// The checklist of the hold point before is named and not given.
    LinkNotGiven {
        /// The hold point before.
        point: HoldPoint,
        /// What was given in its place.
        instead: Option<Box<GivenInstead>>,
    },
    /// The checklist of the hold point before does not bear what was done by it.
    LinkBroken(BrokenLink),
    /// The record says something else of what the assembly is, or of what nobody judges any more, than at the hold point
    /// before.
    LinkChanged {
        /// The hold point before.
        point: HoldPoint,
        /// Each fact with both values.
        changes: Vec<FactChange>,
    },
    /// A later checklist of the same job, hold point and assembly was given.
    LaterChecklist {
        /// The name of its file.
        name: String,
        /// When it was judged.
        at: String,
        /// Its verdict.
        verdict: Verdict,
        /// Whether both were judged at one time: nobody can say which came last.
        tied: bool,
    },
    /// The record inside was not judged again.
    NotRejudged {
        /// What differs, where packs were given.
        other: Option<Box<Reason>>,
    },
    /// Judged at the present instant, the job does not pass.
    NoLongerPasses {
        /// The present instant.
        at: Instant,
        /// The rule that holds it and of what; nothing where no rule judges it.
        held: Option<(String, SubjectName)>,
    },
    /// A permit that does not count.
    Permit {
        /// The rule.
        rule: String,
        /// Why.
        reason: Box<Reason>,
    },
    /// A person the trust file does not know.
    UnknownPerson {
        /// Who.
        who: String,
    },
    /// Judged by an edition of a pack that is no longer in force.
    OldEdition,
    /// The permits were not held against their rules.
    PermitsNotChecked,
    /// The verdict is HOLD.
    Hold,
    /// Judged at a chosen instant.
    Rehearsal,
    /// Past its end.
    Lapsed {
        /// The end.
        until: Instant,
    },
    /// The record was not given.
    RecordNotGiven {
        /// The job of the checklist.
        job: String,
        /// Whether records of other jobs were given.
        others: bool,
    },
    /// The question was asked for another instant than the present one.
    NotNow {
        /// That instant.
        at: Instant,
    },
    /// What speaks against a permit by itself.
    OfPermit(PermitReason),
    /// What speaks against a trust file.
    OfTrust(TrustReason),
}

#[cfg(test)]
mod tests;
