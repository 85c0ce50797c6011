//! Why a signed document is not accepted, each reason with its own code and words.
//!
//! A reason speaks to whoever stands at the pump or reads the book later; it must not know how it is printed.

use thiserror::Error;

use super::jws::{Kind, Role};
use super::keys::KeyFault;
use crate::document::Fault;

/// One reason against a signed document.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum Reason {
    /// The file is not in exact form, or its content is not that of its kind.
    #[error("{0}")]
    Form(Box<Fault>),
    /// No signature at all.
    #[error("nobody has signed the {}", .0.word())]
    NotSigned(Kind),
    /// A protected header that is not exactly what this profile writes.
    #[error("the header of signature {place} is not in exact form")]
    HeaderNotExact {
        /// The signature, counted from 1.
        place: usize,
    },
    /// A header with a member that has no place there.
    #[error("the header of signature {place} has the member `{member}`, which has no place there")]
    HeaderMember {
        /// The signature, counted from 1.
        place: usize,
        /// The member.
        member: String,
    },
    /// Another algorithm than the one allowed.
    #[error("signature {place} names the algorithm `{found}`; only `Ed25519` is taken")]
    Algorithm {
        /// The signature, counted from 1.
        place: usize,
        /// What the header names.
        found: String,
    },
    /// A signature for another kind of document.
    #[error("signature {place} was made for a `{found}`, not for a {}", due.word())]
    OtherKind {
        /// The signature, counted from 1.
        place: usize,
        /// The type in the header.
        found: String,
        /// The kind of this document.
        due: Kind,
    },
    /// A signature that is not 64 bytes in strict base64url.
    #[error("signature {place} is not 64 bytes in base64url")]
    SignatureForm {
        /// The signature, counted from 1.
        place: usize,
    },
    /// The content, or the signature, was changed after signing.
    #[error("the content is not what {who} signed: it was changed, or the signature is not theirs")]
    Changed {
        /// Whose key is named.
        who: String,
    },
    /// One key signed twice.
    #[error("{who} has signed twice with one key")]
    SignedTwice {
        /// Who.
        who: String,
    },
    /// A key that the trust file does not have.
    #[error("the key `{kid}` is not in the trust file")]
    UnknownKey {
        /// The thumbprint.
        kid: String,
    },
    /// The key was not yet valid.
    #[error("{who} signed at {at}, before the key was valid")]
    KeyNotYet {
        /// Who.
        who: String,
        /// When.
        at: String,
    },
    /// The key was no longer valid.
    #[error("{who} signed at {at}, when the key was no longer valid")]
    KeyExpired {
        /// Who.
        who: String,
        /// When.
        at: String,
    },
    /// The key had been revoked when it signed.
    #[error("{who} signed at {at}, after the key was revoked ({why})")]
    KeyRevoked {
        /// Who.
        who: String,
        /// When.
        at: String,
        /// Why it was revoked.
        why: String,
    },
    /// The key was good when it signed and has been revoked since.
    #[error("the key of {who} was valid when it signed and has been revoked since ({why})")]
    KeyRevokedSince {
        /// Who.
        who: String,
        /// Why it was revoked.
        why: String,
    },
    /// The person does not have the role.
    #[error("{who} signed as {role}, a role the trust file does not give them")]
    WrongRole {
        /// Who.
        who: String,
        /// The role in the header.
        role: Role,
    },
    /// Signatures of the required roles are missing.
    #[error("signatures are missing: {missing}; each must be by another person")]
    TooFewSigners {
        /// The roles, separated by commas.
        missing: String,
    },
    /// Signed before it was judged.
    #[error("{who} signed at {at}, before the job was judged")]
    SignedBeforeJudged {
        /// Who.
        who: String,
        /// When.
        at: String,
    },
    /// Signed later than the present.
    #[error("{who} signed at {at}, which is still to come")]
    SignedAhead {
        /// Who.
        who: String,
        /// When.
        at: String,
    },
    /// Signed when the judgement no longer held.
    #[error("{who} signed at {at}, after the judgement had lapsed")]
    SignedTooLate {
        /// Who.
        who: String,
        /// When.
        at: String,
    },
    /// Judged later than the present.
    #[error("the job was judged at {at}, which is still to come")]
    JudgedAhead {
        /// When.
        at: String,
    },
    /// The clock stands before something that has happened.
    #[error("the clock says {at}, but the trust file was made later, at {known}")]
    ClockBehind {
        /// The present instant.
        at: String,
        /// The later instant.
        known: String,
    },
    /// An instant in the document before the trust file version that it names was made.
    #[error(
        "the job is said to be judged at {at}, before version {version} of the trust file, which it names, was made"
    )]
    BackDated {
        /// The instant of judgement.
        at: String,
        /// The version.
        version: i64,
    },
    /// The trust file is past its end.
    #[error("the trust file ended at {at}")]
    TrustEnded {
        /// When.
        at: String,
    },
    /// A trust file older than one that has been seen.
    #[error("the trust file is version {found}; version {least} has been in use already")]
    TrustOlder {
        /// Its version.
        found: i64,
        /// The least version that can be taken.
        least: i64,
    },
    /// Not signed by an owner that is known from elsewhere.
    #[error("the trust file is not signed by the owner: {missing}")]
    TrustNotByOwner {
        /// What is missing.
        missing: String,
    },
    /// The trust file contradicts itself.
    #[error("the trust file does not hold together: {what}")]
    TrustUnsound {
        /// What is wrong.
        what: String,
    },
    /// A key in the trust file that is not taken.
    #[error("the key of {who}: {fault}")]
    Key {
        /// Who.
        who: String,
        /// Why.
        fault: KeyFault,
    },
    /// The checklist is for another job.
    #[error("the checklist is for the job `{found}`, not `{due}`")]
    OtherJob {
        /// The job in the checklist.
        found: String,
        /// The job asked for.
        due: String,
    },
    /// The record given is not the one that was judged.
    #[error("the record has been changed since it was judged{first}")]
    RecordChanged {
        /// The first line that differs, as words, or nothing.
        first: String,
    },
    /// The embedded record does not have the digest.
    #[error("the record inside the checklist does not have the digest that the checklist states")]
    RecordDigest,
    /// Something in the body contradicts something else.
    #[error("the checklist contradicts itself: {what}")]
    Contradiction {
        /// What.
        what: String,
    },
    /// A pack that the safety officer has not approved.
    #[error("the pack `{pack}` with digest {digest} is not approved")]
    PackNotApproved {
        /// Name and edition.
        pack: String,
        /// The first half of its digest.
        digest: String,
    },
    /// A pack whose approval had ended.
    #[error("the approval of the pack `{pack}` does not cover {at}")]
    PackApprovalOver {
        /// Name and edition.
        pack: String,
        /// The instant it was used.
        at: String,
    },
    /// The packs at hand are not those of the checklist.
    #[error("the packs given are not those of the checklist: {what}")]
    OtherPacks {
        /// What differs.
        what: String,
    },
    /// Judging the embedded record again gives something else.
    #[error("judged again, the record gives something else: {what}")]
    JudgedOtherwise {
        /// What differs.
        what: String,
    },
    /// The embedded record cannot be judged again.
    #[error("the record inside the checklist cannot be judged again: {why}")]
    NotJudgeable {
        /// Why.
        why: String,
    },
    /// A permit that does not count.
    #[error("the permit for `{rule}` does not count: {reason}")]
    Permit {
        /// The rule.
        rule: String,
        /// Why.
        reason: Box<Reason>,
    },
    /// A rule that allows no permit.
    #[error("the rule allows no permit")]
    PermitNone,
    /// The rule lets another role permit.
    #[error("the rule lets only the {due} permit, and {who} signed as {role}")]
    PermitRole {
        /// Who may.
        due: String,
        /// Who did.
        who: String,
        /// As what.
        role: Role,
    },
    /// The asker permitted it to himself.
    #[error("{who} asked for it and permitted it too")]
    PermitSelf {
        /// Who.
        who: String,
    },
    /// A person the trust file does not know.
    #[error("`{who}` is not in the trust file")]
    UnknownPerson {
        /// Who.
        who: String,
    },
    /// Longer than the rule allows.
    #[error("it runs from {from} to {until}, longer than {longest}")]
    PermitTooLong {
        /// Its beginning.
        from: String,
        /// Its end.
        until: String,
        /// The longest span.
        longest: String,
    },
    /// Not in force.
    #[error("it runs from {from} to {until}, which does not cover {at}")]
    PermitNotInForce {
        /// Its beginning.
        from: String,
        /// Its end.
        until: String,
        /// The instant it was needed.
        at: String,
    },
    /// Signed after the work it should permit had begun to be judged.
    #[error("it was signed at {at}, after the instant from which it should hold")]
    PermitAfterwards {
        /// When.
        at: String,
    },
    /// For another job, rule, subject or pack.
    #[error("it is for {what}")]
    PermitOther {
        /// For what it is.
        what: String,
    },
    /// The permit is for a finding that is not broken.
    #[error("nothing is broken that it could permit")]
    PermitNotNeeded,
    /// The verdict is HOLD.
    #[error("the verdict is HOLD")]
    Hold,
    /// Judged at a chosen instant.
    #[error("the job was judged at a chosen instant, for rehearsal")]
    Rehearsal,
    /// Past its end.
    #[error("the checklist was valid until {until}")]
    Lapsed {
        /// The end.
        until: String,
    },
    /// The record was not given.
    #[error("the record was not given, so nobody has seen that it is unchanged")]
    RecordNotGiven,
}

impl Reason {
    /// The stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Form(fault) => fault.code(),
            Self::NotSigned(_) => "checklist/not-signed",
            Self::HeaderNotExact { .. } => "checklist/header-not-exact",
            Self::HeaderMember { .. } => "checklist/header-member",
            Self::Algorithm { .. } => "checklist/algorithm",
            Self::OtherKind { .. } => "checklist/other-kind",
            Self::SignatureForm { .. } => "checklist/signature-form",
            Self::Changed { .. } => "checklist/changed",
            Self::SignedTwice { .. } => "checklist/signed-twice",
            Self::UnknownKey { .. } => "checklist/unknown-key",
            Self::KeyNotYet { .. } => "checklist/key-not-yet-valid",
            Self::KeyExpired { .. } => "checklist/key-expired",
            Self::KeyRevoked { .. } => "checklist/key-revoked",
            Self::KeyRevokedSince { .. } => "checklist/key-revoked-since",
            Self::WrongRole { .. } => "checklist/wrong-role",
            Self::TooFewSigners { .. } => "checklist/too-few-signers",
            Self::SignedBeforeJudged { .. } => "checklist/signed-before-judged",
            Self::SignedAhead { .. } => "checklist/signed-ahead",
            Self::SignedTooLate { .. } => "checklist/signed-too-late",
            Self::JudgedAhead { .. } => "checklist/judged-ahead",
            Self::ClockBehind { .. } => "checklist/clock-behind",
            Self::BackDated { .. } => "checklist/back-dated",
            Self::TrustEnded { .. } => "checklist/trust-ended",
            Self::TrustOlder { .. } => "checklist/trust-older",
            Self::TrustNotByOwner { .. } => "checklist/trust-not-by-owner",
            Self::TrustUnsound { .. } => "checklist/trust-unsound",
            Self::Key { fault, .. } => fault.code(),
            Self::OtherJob { .. } => "checklist/other-job",
            Self::RecordChanged { .. } => "checklist/record-changed",
            Self::RecordDigest => "checklist/record-digest",
            Self::Contradiction { .. } => "checklist/contradiction",
            Self::PackNotApproved { .. } => "checklist/pack-not-approved",
            Self::PackApprovalOver { .. } => "checklist/pack-approval-over",
            Self::OtherPacks { .. } => "checklist/other-packs",
            Self::JudgedOtherwise { .. } => "checklist/judged-otherwise",
            Self::NotJudgeable { .. } => "checklist/not-judgeable",
            Self::Permit { reason, .. } => reason.code(),
            Self::PermitNone => "checklist/permit-none",
            Self::PermitRole { .. } => "checklist/permit-role",
            Self::PermitSelf { .. } => "checklist/permit-self",
            Self::UnknownPerson { .. } => "checklist/unknown-person",
            Self::PermitTooLong { .. } => "checklist/permit-too-long",
            Self::PermitNotInForce { .. } => "checklist/permit-not-in-force",
            Self::PermitAfterwards { .. } => "checklist/permit-afterwards",
            Self::PermitOther { .. } => "checklist/permit-other",
            Self::PermitNotNeeded => "checklist/permit-not-needed",
            Self::Hold => "checklist/hold",
            Self::Rehearsal => "checklist/rehearsal",
            Self::Lapsed { .. } => "checklist/lapsed",
            Self::RecordNotGiven => "checklist/record-not-given",
        }
    }

    /// How to put it right, one imperative sentence.
    pub fn help(&self) -> &str {
        match self {
            Self::Form(fault) => fault.cure().unwrap_or("fetch the file again from where it was signed"),
            Self::Permit { reason, .. } => reason.help(),
            Self::Key { fault, .. } => fault.help(),
            Self::NotSigned(_) | Self::TooFewSigners { .. } => "have it signed by the people it asks for",
            Self::HeaderNotExact { .. }
            | Self::HeaderMember { .. }
            | Self::Algorithm { .. }
            | Self::OtherKind { .. }
            | Self::SignatureForm { .. }
            | Self::SignedTwice { .. }
            | Self::Contradiction { .. }
            | Self::RecordDigest => "do not trust this file; sign the job anew",
            Self::Changed { .. } => "fetch the file again from where it was signed, or sign the job anew",
            Self::UnknownKey { .. } | Self::UnknownPerson { .. } => {
                "compare the key's fingerprint with its owner, then have it added to the trust file"
            }
            Self::KeyNotYet { .. } | Self::KeyExpired { .. } | Self::WrongRole { .. } => {
                "have it signed with a key that is valid for the role"
            }
            Self::KeyRevoked { .. } | Self::KeyRevokedSince { .. } => "have it signed anew with another key",
            Self::SignedBeforeJudged { .. } | Self::SignedAhead { .. } | Self::BackDated { .. } => {
                "set the clock of the signing machine right, then sign the job anew"
            }
            Self::JudgedAhead { .. } | Self::ClockBehind { .. } => "set this machine's clock right, then verify again",
            Self::SignedTooLate { .. } | Self::Lapsed { .. } => "take the readings again and sign the job anew",
            Self::TrustEnded { .. } | Self::TrustOlder { .. } => "get the shop's latest trust file from its owner",
            Self::TrustNotByOwner { .. } => "compare the owner's fingerprint with the one on paper",
            Self::TrustUnsound { .. } => "put the trust file right and have its owner sign it",
            Self::OtherJob { .. } => "find the checklist of this job",
            Self::RecordChanged { .. } => {
                "judge and sign the record as it now stands, or restore the one that was signed"
            }
            Self::PackNotApproved { .. } | Self::PackApprovalOver { .. } => {
                "have the safety officer approve the pack in the trust file, or use the approved one"
            }
            Self::OtherPacks { .. } => "give the packs in the editions that the checklist names",
            Self::JudgedOtherwise { .. } => "do not start; have the job judged and signed anew",
            Self::NotJudgeable { .. } => "give the packs with which the job was judged",
            Self::PermitNone
            | Self::PermitRole { .. }
            | Self::PermitSelf { .. }
            | Self::PermitTooLong { .. }
            | Self::PermitNotInForce { .. }
            | Self::PermitAfterwards { .. }
            | Self::PermitOther { .. } => "clear the fault itself, or ask whoever may permit it beforehand",
            Self::PermitNotNeeded => "leave the permit out",
            Self::Hold => "clear what the findings name, then judge again",
            Self::Rehearsal => "judge and sign the job at the clock's own time",
            Self::RecordNotGiven => "give the record as it stands now with --record",
        }
    }
}

impl From<Fault> for Reason {
    fn from(fault: Fault) -> Self {
        Self::Form(Box::new(fault))
    }
}
