//! The cures of reasons: what to do about each, safe to obey by itself.
//!
//! Must not know which face shows them.

use std::borrow::Cow;

use super::words::unlike;
use super::{Reason, TrustReason};
use crate::vocabulary::Role;

/// What is to be done about an end that was planned, of a file whose work is long done.
const NOTHING: &str = "nothing is to be done: what it was for is over";
/// What is to be done about what a file of long ago shows.
const SHOWS: &str = "nothing is to be done: it shows how it stood then";
/// What is to be done about a file of long ago that says what cannot be.
const KEEP: &str = "do not rely on it; keep it as it is, and ask whoever answers for the shop's records";
/// By what the file of a shop that has begun again is looked at.
const OF_THEN: &str =
    "give the trust file of then and its owner: a shop that begins again keeps them with the checklists of before";
/// With what a file of long ago is compared.
const COMPARE: &str = "to compare it, give the record and the shop file that were kept with it";
/// By what a file of long ago is looked at.
const BY_PACKS: &str = "give the packs in the editions that it names, with --pack or --edition";

/// How somebody who signs in a role that they do not have puts that right.
fn in_the_role(role: Role, may: &[Role]) -> Cow<'static, str> {
    match may.first() {
        _ if role == Role::Owner => "have an owner sign it, by the key in the trust file".into(),
        Some(may) => {
            format!("have it signed by somebody who is {role}; where it takes another role, add `--role {may}`").into()
        }
        None => "have it signed by somebody who has the role".into(),
    }
}

impl Reason {
    /// The same for a file of which the work is long done: nobody does that work again, nor signs for it.
    pub fn help_when_old(&self) -> Cow<'_, str> {
        Cow::Borrowed(match self {
            _ if self.is_of_age() => NOTHING,
            Self::Permit { reason, .. } => return reason.help_when_old(),
            Self::Hold
            | Self::Rehearsal
            | Self::NoLongerPasses { .. }
            | Self::RecordEarlier(_)
            | Self::RecordGoneOn(_)
            | Self::LaterChecklist { .. }
            | Self::OfTrust(TrustReason::Unseen { .. })
            | Self::KeyRevokedSince { borne_out: Some(_), .. } => SHOWS,
            Self::RecordNotGiven { .. }
            | Self::RecordChanged(_)
            | Self::RecordTwice { .. }
            | Self::RecordUnmatched(_)
            | Self::ShopNotGiven { .. }
            | Self::ShopChanged(_) => COMPARE,
            Self::OtherPacks { .. } | Self::NotRejudged { .. } | Self::PermitsNotChecked | Self::NotJudgeable(_) => {
                BY_PACKS
            }
            Self::ClockSetBack { .. } => "set this machine's clock right, then look at it once more",
            Self::KeyRevokedSince { borne_out: None, .. } => {
                "do not rely on it alone; look for a second person's signature from before"
            }
            Self::NotMeant(_)
            | Self::OtherShop { .. }
            | Self::OtherOwners(_)
            | Self::LinkNotGiven { .. }
            | Self::JudgedAhead { .. }
            | Self::ClockBehind { .. }
            | Self::UnknownKey { .. }
            | Self::UnknownPerson { .. }
            | Self::OfTrust(
                TrustReason::Older { .. }
                | TrustReason::LaterThanGiven { .. }
                | TrustReason::OlderThanAsked { .. }
                | TrustReason::OfAnotherShop { .. }
                | TrustReason::Unpinned
                | TrustReason::OwnerNotAccepted { .. }
                | TrustReason::NewerKey { .. }
                | TrustReason::Other { .. }
                | TrustReason::NotRemembered,
            ) => return self.help(),
            _ => KEEP,
        })
    }

    /// How to put it right, one imperative sentence.
    #[expect(clippy::too_many_lines, reason = "one arm for each reason, and nothing else")]
    pub fn help(&self) -> Cow<'_, str> {
        Cow::Borrowed(match self {
            Self::Form(fault) => fault.cure().unwrap_or("fetch the file again from where it was signed"),
            Self::Permit { reason, .. } | Self::NotRejudged { other: Some(reason) } => return reason.help(),
            Self::Key { fault, .. } => fault.help(),
            Self::NotSigned(_) => "have it signed by the people it asks for",
            Self::TooFewSigners { .. } => "have others sign it in the missing roles with `fillward countersign`",
            Self::HeaderNotExact { .. }
            | Self::HeaderMember { .. }
            | Self::Algorithm { .. }
            | Self::OtherKind { .. }
            | Self::SignatureForm { .. }
            | Self::SignedTwice { .. }
            | Self::Contradiction(_)
            | Self::RolesLowered { .. }
            | Self::RecordDigest => "do not trust this file; sign the job again",
            Self::SignedAlready { .. } => "nothing was added; have another person sign it",
            Self::Changed { .. } => "fetch the file again from where it was signed, or sign the job again",
            Self::UnknownKey { .. } | Self::UnknownPerson { .. } => {
                "ask whose key it is; the shop's owner adds it to the trust file once that person has read its eight words out"
            }
            Self::KeyNotYet { .. } | Self::KeyExpired { .. } | Self::WrongRole { .. } => {
                "have it signed with a key that is valid for the role"
            }
            Self::MayNotSignAs { role, may, .. } => return in_the_role(*role, may),
            Self::KeyRevoked { .. } => "have it signed again with another key",
            Self::KeyRevokedSince { borne_out: None, .. } => {
                "start nothing by it; have it signed again with another key, or, where the work is long done, look for a second person's signature from before"
            }
            Self::KeyRevokedSince { .. } => {
                "what was done by it needs nothing; what is still to be done is checked and signed again with keys that stand"
            }
            Self::KeyEnded { .. } => {
                "what was signed stays in order; what is still to be done is signed for with a key that is valid now"
            }
            Self::SignedAhead { .. } => {
                "look which clock is wrong, this machine's or the signer's; set it right, and if it was the signer's, have it signed again"
            }
            Self::SignedBeforeJudged { .. } | Self::BackDated { .. } => {
                "set the clock of the signing machine right, then sign the job again"
            }
            Self::JudgedAhead { .. } => "set this machine's clock right, then verify again",
            Self::ClockBehind { .. } => {
                "set this machine's clock right; or an owner signed by a clock that stood ahead: then an owner sets that aside with `fillward trust renew --clock-anew`"
            }
            Self::SignedTooLate { .. } => "do not rely on this signature; check the job again before signing",
            Self::Lapsed { .. } => {
                "what was done in time needs nothing; what is still to be done is checked and signed again"
            }
            Self::NoLongerPasses { .. } => "put right what holds it, then judge and sign the job again",
            Self::SignedBeforeMade { .. } => "set the owner's clock right, then have the trust file signed again",
            Self::ClockSetBack { .. } => {
                "set this machine's clock right; if it once showed a time that was wrong, an owner sets that aside with `fillward trust renew --clock-anew`"
            }
            Self::OtherOwners(_) => OF_THEN,
            Self::OtherShop { .. } => "give the trust file of the shop whose checklist it is",
            Self::RecordChanged(_) => {
                "find the checklist of this record, or judge and sign the record as it now stands"
            }
            Self::PackNotApproved { .. } | Self::PackApprovalOver { .. } => {
                "have the safety officer approve the pack in the trust file, or use the approved one"
            }
            Self::PackApprovalUndone { .. } => {
                "have another safety officer approve the pack again with `fillward trust approve`, from as early as it is to count"
            }
            Self::PackLeftOut { .. } => "judge and sign the job by every pack that the trust file requires",
            Self::LinkLeftOut { .. } => {
                "have the hold point before it judged and signed, and give its checklist with --before"
            }
            Self::LinkNotGiven { .. } => {
                "give with --before the checklists of all hold points before, or the folder of all of them"
            }
            Self::LinkBroken(why) => why.help(),
            Self::LinkChanged { .. } => {
                "go no further; find out which of the two is true, and ask the supervisor what becomes of the assembly"
            }
            Self::LaterChecklist { .. } => {
                "go by the last one alone; where two are of one instant, check and sign once more"
            }
            Self::RecordEarlier(_) => {
                "keep it with the job: it shows what was held, and when; go by the checklist of the record as it now stands"
            }
            Self::RecordGoneOn(_) => {
                "what was done by this checklist needs nothing; what comes next needs a checklist of its own hold point"
            }
            Self::OtherPacks { given, due } if due.iter().any(|part| unlike(given, part).is_some()) => {
                "fetch that edition again from where it was given out, with every file of it as it is there: one is missing, or was changed or saved with other line ends"
            }
            Self::OtherPacks { .. } | Self::NotRejudged { .. } | Self::PermitsNotChecked => {
                "give the packs in the editions that the checklist names: a local one with --pack, an old one with --edition"
            }
            Self::OtherZone { .. } | Self::JudgedOtherwise(_) => "do not start; have the job judged and signed again",
            Self::NotJudgeable(_) => "give the packs with which the job was judged",
            Self::OldEdition => "what is still to be done is checked and signed by the packs in force",
            Self::Hold => "clear what the findings name, then judge again",
            Self::Rehearsal => "check and sign the job as of now, without --at",
            Self::RecordTwice { .. } => "find out which of them stands now, and give that one alone with --record",
            Self::RecordUnmatched(_) => {
                "find out whether it is the present record of this job: if it is, put right what is wrong in it; if it is not, leave it out"
            }
            Self::ShopChanged(_) => {
                "what is still to be done is checked and signed again by the shop file as it now stands"
            }
            Self::ShopNotGiven { .. } => "give the shop file as it stands now with --shop",
            Self::RecordNotGiven { .. } => "give the record as it stands now with --record",
            Self::NotNow { .. } => "leave --at out to ask for now",
            Self::NotMeant(reason) => return reason.help(),
            Self::OfPermit(reason) => reason.help(),
            Self::OfTrust(reason) => return reason.help(),
        })
    }
}
