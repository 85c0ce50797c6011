//! The words of reasons.
//!
//! Must not know how they are printed.

use std::fmt;

use super::{BorneOut, Reason};
use crate::checklist::keys::kid_words;
use crate::checklist::packs::PackPart;
use crate::document::prose::joined;
use crate::units::Instant;
use crate::vocabulary::{quoted, shown};

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&shown(&self.sentence()))
    }
}

impl std::error::Error for Reason {}

impl Reason {
    /// The reason in words, what it quotes as it stands in the document.
    #[expect(clippy::too_many_lines, reason = "one arm for each reason, and nothing else")]
    pub(super) fn sentence(&self) -> String {
        match self {
            Self::Form(fault) => format!("{fault}"),
            Self::NotSigned(kind) => format!("nobody has signed the {}", kind.word()),
            Self::HeaderNotExact { place } => format!("the header of signature {place} is not in exact form"),
            Self::HeaderMember { place, member } => {
                format!("the header of signature {place} has the member `{member}`, which has no place there")
            }
            Self::Algorithm { place, found } => {
                format!("signature {place} names the algorithm `{found}`; only `Ed25519` is taken")
            }
            Self::OtherKind { place, found, due } => {
                format!("signature {place} was made for a `{found}`, not for a {}", due.word())
            }
            Self::SignatureForm { place } => format!("signature {place} is not 64 bytes in base64url"),
            Self::Changed { who } => {
                format!("the content is not what {who} signed: it was changed, or the signature is not theirs")
            }
            Self::SignedTwice { who } => format!("{who} has signed twice with one key"),
            Self::SignedAlready { who } => {
                format!("{who} has signed this already; a further signature must be another person's")
            }
            Self::UnknownKey { kid } => match kid_words(kid) {
                Some(words) => format!("the key with the words “{words}” is not in the trust file"),
                None => format!("the key `{kid}` is not in the trust file"),
            },
            Self::KeyNotYet { who, at } => {
                format!("{who} signed at {at}, before the key was valid")
            }
            Self::KeyExpired { who, at } => {
                format!("{who} signed at {at}, when the key was no longer valid")
            }
            Self::KeyRevoked { who, at, why } => {
                format!("{who} signed at {at}, after the key was revoked ({why})")
            }
            Self::KeyRevokedSince { who, why, borne_out: None, .. } => format!(
                "the key of {who} has been revoked since ({why}); whoever has it can write any time, and nobody else signed before"
            ),
            Self::KeyRevokedSince { who, why, borne_out: Some(BorneOut::Content { by }), .. } => format!(
                "the key of {who} has been revoked since ({why}); {by} signed the same before that, so what it says was there, but not whether {who} had signed it"
            ),
            Self::KeyRevokedSince { who, why, borne_out: Some(BorneOut::Signature { by }), .. } => format!(
                "the key of {who} has been revoked since ({why}); {by} signed the checklist with this signature in it before that, so it was there"
            ),
            Self::KeyEnded { who, at } => {
                format!("the key of {who} was valid when it signed, and only until {at}")
            }
            Self::WrongRole { who, role } => {
                format!("{who} signed as {role}, a role that {who} did not have then by the trust file")
            }
            Self::MayNotSignAs { who, role, may } if may.is_empty() => {
                format!("{who} may not sign as {role}, nor as anything else")
            }
            Self::MayNotSignAs { who, role, may } => {
                format!("{who} may not sign as {role}; {who} may sign as {}", joined(may, ", "))
            }
            Self::TooFewSigners { missing } => {
                format!("signatures are missing: {}; each must be by another person", joined(missing, ", "))
            }
            Self::SignedBeforeJudged { who, at } => {
                format!("{who} signed at {at}, before the job was judged")
            }
            Self::SignedAhead { who, at } => {
                format!("{who} signed at {at}, which is still to come")
            }
            Self::SignedTooLate { who, at } => {
                format!("{who} signed at {at}, after the check had lapsed")
            }
            Self::SignedBeforeMade { who, at } => {
                format!("{who} signed the trust file at {at}, before it was made")
            }
            Self::JudgedAhead { at } => {
                format!("the job was judged at {at}, which is still to come")
            }
            Self::ClockBehind { at, known } => {
                format!(
                    "the clock of this machine is behind: it says {at}, and the trust file was made or signed later, at {known}"
                )
            }
            Self::BackDated { at, version } => format!(
                "the job is said to be judged at {at}, before version {version} of the trust file, which it names, was made"
            ),
            Self::ClockSetBack { at, seen } => {
                format!("the clock of this machine is behind: it says {at}, and it has shown {seen} before")
            }
            Self::OtherOwners(shop) => format!(
                "it was signed under a trust file of {} that other owners had signed, and by the one given nothing is known of it",
                quoted(shop)
            ),
            Self::OtherShop { found, due } => {
                format!(
                    "it is of the shop `{found}`, and the trust file given is of `{due}`: by that nothing is known of it"
                )
            }
            Self::Key { who, fault } => format!("the key of {who}: {fault}"),
            Self::RecordChanged(first) => {
                format!("it is not of the record given, which is another than was judged{first}")
            }
            Self::RecordEarlier(first) => {
                format!("it is of an earlier state of this record, which says otherwise now{first}")
            }
            Self::RecordGoneOn(gone_on) => gone_on.to_string(),
            Self::RecordTwice { job, names: [one, other] } => {
                let (one, other) = (quoted(one), quoted(other));
                format!("{one} and {other} are both records of the job `{job}`, and they differ")
            }
            Self::RecordUnmatched(record) => record.to_string(),
            Self::ShopChanged(what) => {
                format!("the shop file given says otherwise than the one that was judged by: {what}")
            }
            Self::ShopNotGiven { name } => {
                format!("the record draws on the shop file `{name}`, and nobody has compared what it says now")
            }
            Self::RecordDigest => {
                "the record inside the checklist was changed: it does not have the digest that the checklist states"
                    .to_owned()
            }
            Self::Contradiction(what) => format!("the checklist contradicts itself: {what}"),
            Self::PackNotApproved { pack, digest } => format!("the pack `{pack}` with digest {digest} is not approved"),
            Self::PackApprovalOver { pack, at } => {
                format!("the approval of the pack `{pack}` does not cover {at}")
            }
            Self::PackApprovalUndone { pack, by } => {
                format!(
                    "the pack `{pack}` was approved with the key of {by} when that had ended, so it is not approved"
                )
            }
            Self::PackLeftOut { pack } => {
                format!("the pack `{pack}` must judge every job, and it did not judge this one")
            }
            Self::OtherPacks { given, due } => {
                format!("the packs given are not those of the checklist: {}", differing(given, due))
            }
            Self::OtherZone { found, due } => {
                format!("it was judged by the days of {found}, and by the trust file the shop lies in {due}")
            }
            Self::RolesLowered { missing } => {
                format!("the packs ask for signatures that the checklist does not ask for: {}", joined(missing, ", "))
            }
            Self::JudgedOtherwise(what) => format!("judged again, the record gives something else: {what}"),
            Self::NotJudgeable(why) => format!("the record inside the checklist cannot be judged again: {why}"),
            Self::LinkLeftOut { point } => {
                format!("it must follow a signed checklist of {}, and names none", point.word())
            }
            Self::LinkNotGiven { point, instead: None } => {
                format!("it follows a checklist of {}, which was not given", point.word())
            }
            Self::LinkNotGiven { point, instead: Some(instead) } => {
                format!("it follows another checklist of {} than was given: {instead}", point.word())
            }
            Self::LinkBroken(what) => {
                format!("the checklist of the hold point before does not let it follow: {what}")
            }
            Self::LinkChanged { point, changes } => {
                let each: Vec<String> = changes.iter().map(|change| change.sentence(*point)).collect();
                format!("what passed the hold point before is not what the record says now: {}", each.join("; "))
            }
            Self::LaterChecklist { name, at, verdict, tied } => {
                let counts =
                    if *tied { "and of two of one time neither counts" } else { "and only the last one counts" };
                format!(
                    "another checklist of the same job and hold point is here, {}, checked {at}, in “{name}”, {counts}",
                    verdict.word(),
                    at = Instant::told(at)
                )
            }
            Self::NotRejudged { other: Some(reason) } => format!("the record was not judged again: {reason}"),
            Self::NotRejudged { other: None } => "the record was not judged again: no packs were given".to_owned(),
            Self::NoLongerPasses { at, held: Some((rule, of)) } => {
                format!("judged at {at}, the job does not pass: `{rule}` of {of}")
            }
            Self::NoLongerPasses { at, held: None } => {
                format!("judged at {at}, the job does not pass: no rule judges it")
            }
            Self::Permit { rule, reason } => format!("the permit for `{rule}` does not count: {reason}"),
            Self::UnknownPerson { who } => format!("`{who}` is not in the trust file"),
            Self::PermitsNotChecked => "its permits were not compared with the rules that they are for".to_owned(),
            Self::Hold => "the verdict is HOLD".to_owned(),
            Self::Rehearsal => "the job was checked as of a time given by hand, as a practice run".to_owned(),
            Self::OldEdition => {
                "it was judged by an edition of a pack that is no longer in force, and judged again by that".to_owned()
            }
            Self::Lapsed { until } => format!("the checklist was valid until {until}"),
            Self::RecordNotGiven { others: false, .. } => {
                "the job record was not given, so it was not compared".to_owned()
            }
            Self::RecordNotGiven { job, others: true } => {
                format!("of the records given none is of the job `{job}`, so its own was not compared")
            }
            Self::NotNow { at } => {
                format!("what was asked is how it stood at {at}, not how it stands now")
            }
            Self::NotMeant(misfit) => misfit.to_string(),
            Self::OfPermit(reason) => reason.sentence(),
            Self::OfTrust(reason) => reason.sentence(),
        }
    }
}

/// Of packs that were given the one with name and edition of another one, and other texts.
pub(super) fn unlike<'p>(given: &'p [PackPart], due: &PackPart) -> Option<&'p PackPart> {
    given.iter().find(|known| known.title() == due.title() && *known != due)
}

/// In what two lists of packs differ: each that is missing, is another one or is too many, and where nothing is, the order.
fn differing(given: &[PackPart], due: &[PackPart]) -> String {
    let of_name = |list: &[PackPart], name: &str| list.iter().any(|part| part.name == name);
    let missing = due.iter().filter(|part| !given.contains(part)).map(|part| {
        let other = given.iter().find(|known| known.name == part.name);
        match (unlike(given, part), other) {
            (Some(unlike), _) => format!(
                "{} was given with the SHA-256 {}, and the one that judged has {}",
                part.title(),
                unlike.sha256,
                part.sha256
            ),
            (None, Some(other)) => format!("{} was given, and {} judged", other.title(), part.title()),
            (None, None) => format!("{} was not given", part.title()),
        }
    });
    let more = given.iter().filter(|part| !of_name(due, &part.name));
    let more = more.map(|part| format!("{} was given, and did not judge", part.title()));
    let all: Vec<String> = missing.chain(more).collect();
    if all.is_empty() { "they stand in another order".to_owned() } else { all.join("; ") }
}
