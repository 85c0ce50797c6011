//! The words, codes and cures of reasons.

use super::{BorneOut, Reason};
use crate::document::Code;

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
            Self::UnknownKey { kid } => format!("the key `{kid}` is not in the trust file"),
            Self::KeyNotYet { who, at } => format!("{who} signed at {at}, before the key was valid"),
            Self::KeyExpired { who, at } => format!("{who} signed at {at}, when the key was no longer valid"),
            Self::KeyRevoked { who, at, why } => format!("{who} signed at {at}, after the key was revoked ({why})"),
            Self::KeyRevokedSince { who, why, borne_out: None, .. } => format!(
                "the key of {who} has been revoked since ({why}); whoever has it can write any time, and nobody else signed before"
            ),
            Self::KeyRevokedSince { who, why, borne_out: Some(BorneOut::Content { by }), .. } => format!(
                "the key of {who} has been revoked since ({why}); {by} signed the same before that, so what it says was there, but not whether {who} had signed it"
            ),
            Self::KeyRevokedSince { who, why, borne_out: Some(BorneOut::Signature { by }), .. } => format!(
                "the key of {who} has been revoked since ({why}); {by} signed the checklist with this signature in it before that, so it was there"
            ),
            Self::KeyEnded { who, at } => format!("the key of {who} was valid when it signed, and only until {at}"),
            Self::WrongRole { who, role } => {
                format!("{who} signed as {role}, a role the trust file does not give them")
            }
            Self::TooFewSigners { missing } => {
                format!("signatures are missing: {missing}; each must be by another person")
            }
            Self::SignedBeforeJudged { who, at } => format!("{who} signed at {at}, before the job was judged"),
            Self::SignedAhead { who, at } => format!("{who} signed at {at}, which is still to come"),
            Self::SignedTooLate { who, at } => format!("{who} signed at {at}, after the judgement had lapsed"),
            Self::SignedBeforeMade { who, at } => format!("{who} signed the trust file at {at}, before it was made"),
            Self::JudgedAhead { at } => format!("the job was judged at {at}, which is still to come"),
            Self::ClockBehind { at, known } => {
                format!("the clock says {at}, but the trust file was made later, at {known}")
            }
            Self::BackDated { at, version } => format!(
                "the job is said to be judged at {at}, before version {version} of the trust file, which it names, was made"
            ),
            Self::TrustEnded { at } => format!("the trust file ended at {at}"),
            Self::TrustOlder { found, least } => {
                format!("the trust file is version {found}; version {least} has been in use already")
            }
            Self::TrustNotNext { found, before } => {
                format!(
                    "the trust file is version {found}; version {before} is in force, and {} comes next",
                    before + 1
                )
            }
            Self::TrustOlderThanAsked { found, least } => {
                format!("the trust file is version {found}; version {least} or later was asked for")
            }
            Self::TrustNotByOwner { missing } => format!("the trust file lacks signatures of its owners: {missing}"),
            Self::TrustNotByOwnerBefore { version } => format!(
                "this key is no owner's by version {version} of the trust file, which is in force, and only an owner of that signs the next one first"
            ),
            Self::TrustWithoutOwner { who } => {
                format!("the trust file is not signed with every owner's key that was given: not by {who}")
            }
            Self::TrustFewerOwners { found, least } => format!(
                "the trust file has {found} of {least} signatures by owners of the version that has been in use before it"
            ),
            Self::TrustOther { version } => {
                format!(
                    "the trust file given is another version {version} than the one by which the checklist was signed"
                )
            }
            Self::TrustTwin { version } => {
                format!(
                    "another trust file of version {version} has been in use: of two of one version the first one counts"
                )
            }
            Self::TrustNotOnPaper => "the words from paper are not those of the trust file given".to_owned(),
            Self::OwnerNotAccepted { who } => {
                format!("nobody on this account has accepted the owner's key of {who} by its words from paper")
            }
            Self::TrustNotRemembered => {
                "this account cannot remember which trust file it has seen, so an older one would not be noticed"
                    .to_owned()
            }
            Self::ClockSetBack { at, seen } => format!("the clock says {at}, and it has shown {seen} before"),
            Self::OtherShop { found, due } => {
                format!("the checklist is of the shop `{found}`, and the trust file of `{due}`")
            }
            Self::TrustUnsound { what, .. } => format!("the trust file does not hold together: {what}"),
            Self::TrustUnpinned => {
                "the trust file was taken at its word: nobody said which owner it must be signed by".to_owned()
            }
            Self::Key { who, fault } => format!("the key of {who}: {fault}"),
            Self::OtherJob { found, due } => format!("the checklist is for the job `{found}`, not `{due}`"),
            Self::RecordChanged { first } => {
                format!("it is not of the record given, which is another than was judged{first}")
            }
            Self::RecordGoneOn { point } => {
                format!("the record has gone on since {}; what was known then it still says", point.word())
            }
            Self::RecordTwice { job, names: [one, other] } => {
                format!("{one} and {other} are both records of the job `{job}`, and they differ")
            }
            Self::ShopChanged { what } => {
                format!("the shop file given says otherwise than the one that was judged by: {what}")
            }
            Self::ShopNotGiven { name } => {
                format!("the record draws on the shop file `{name}`, and nobody has compared what it says now")
            }
            Self::RecordDigest => {
                "the record inside the checklist was changed: it does not have the digest that the checklist states"
                    .to_owned()
            }
            Self::Contradiction { what } => format!("the checklist contradicts itself: {what}"),
            Self::PackNotApproved { pack, digest } => format!("the pack `{pack}` with digest {digest} is not approved"),
            Self::PackApprovalOver { pack, at } => format!("the approval of the pack `{pack}` does not cover {at}"),
            Self::PackLeftOut { pack } => {
                format!("the pack `{pack}` must judge every job, and it did not judge this one")
            }
            Self::OtherPacks { what } => format!("the packs given are not those of the checklist: {what}"),
            Self::OtherZone { found, due } => {
                format!("it was judged by the days of {found}, and by the trust file the shop lies in {due}")
            }
            Self::RolesLowered { missing } => {
                format!("the packs ask for signatures that the checklist does not ask for: {missing}")
            }
            Self::JudgedOtherwise { what } => format!("judged again, the record gives something else: {what}"),
            Self::NotJudgeable { why } => format!("the record inside the checklist cannot be judged again: {why}"),
            Self::LinkLeftOut { point } => {
                format!("it must follow a signed checklist of {}, and names none", point.word())
            }
            Self::LinkNotGiven { point } => {
                format!("it follows a checklist of {}, which was not given", point.word())
            }
            Self::LinkBroken { what } => {
                format!("the checklist of the hold point before does not let it follow: {what}")
            }
            Self::LinkChanged { what } => {
                format!("what passed the hold point before is not what the record says now: {what}")
            }
            Self::LaterChecklist { name, at, verdict } => {
                format!(
                    "another checklist of the same job and hold point is here, {verdict}, checked {at}, in “{name}”, and only the last one counts"
                )
            }
            Self::NotRejudged { why } => format!("the record was not judged again: {why}"),
            Self::NoLongerPasses { at, what } => format!("judged at {at}, the job does not pass: {what}"),
            Self::Permit { rule, reason } => format!("the permit for `{rule}` does not count: {reason}"),
            Self::PermitNone => "the rule allows no permit".to_owned(),
            Self::PermitRole { due, who, role } => {
                format!("the rule lets only the {due} permit, and {who} signed as {role}")
            }
            Self::PermitSigners { who } => {
                format!(
                    "it is signed by {who}; only the person who permits must sign it, and the person who asks for it may, each once"
                )
            }
            Self::PermitSelf { who } => format!("{who} asked for it, and nobody else has permitted it"),
            Self::PermitBySigner { who } => format!("{who} permitted it and signed the checklist as supervisor"),
            Self::UnknownPerson { who } => format!("`{who}` is not in the trust file"),
            Self::PermitTooLong { from, until, longest } => {
                format!("it runs from {from} to {until}, longer than {longest}")
            }
            Self::PermitNotInForce { from, until, at } => {
                format!("it runs from {from} to {until}, which does not cover {at}")
            }
            Self::PermitAfterwards { at } => {
                format!("it was signed at {at}, after the job had been judged by it")
            }
            Self::PermitOther { what } => format!("it is for {what}"),
            Self::PermitNotNeeded => "nothing is broken that it could permit".to_owned(),
            Self::PermitOtherEvidence => "the record does not show what it was given for".to_owned(),
            Self::PermitOtherFill { given } => {
                format!("the record does not fill what it was given for, which is {given}")
            }
            Self::PermitsNotChecked => "its permits were not compared with the rules that they waive".to_owned(),
            Self::Hold => "the verdict is HOLD".to_owned(),
            Self::Rehearsal => "the job was checked as of a time given by hand, as a practice run".to_owned(),
            Self::OldEdition => {
                "it was judged by an edition of a pack that is no longer in force, and judged again by that".to_owned()
            }
            Self::Lapsed { until } => format!("the checklist was valid until {until}"),
            Self::RecordNotGiven { others: false, .. } => {
                "the record was not given, so nobody has seen that it is unchanged".to_owned()
            }
            Self::RecordNotGiven { job, others: true } => {
                format!("of the records given none is of the job `{job}`, so nobody has seen that its own is unchanged")
            }
            Self::NotNow { at } => {
                format!("what was asked is how it stood at {at}, not how it stands now")
            }
        }
    }

    /// The stable code.
    pub fn code(&self) -> Code {
        match self {
            Self::Form(fault) => fault.code(),
            Self::NotSigned(_) => Code::ChecklistNotSigned,
            Self::HeaderNotExact { .. } => Code::ChecklistHeaderNotExact,
            Self::HeaderMember { .. } => Code::ChecklistHeaderMember,
            Self::Algorithm { .. } => Code::ChecklistAlgorithm,
            Self::OtherKind { .. } => Code::ChecklistOtherKind,
            Self::SignatureForm { .. } => Code::ChecklistSignatureForm,
            Self::Changed { .. } => Code::ChecklistChanged,
            Self::SignedTwice { .. } | Self::SignedAlready { .. } => Code::ChecklistSignedTwice,
            Self::UnknownKey { .. } => Code::ChecklistUnknownKey,
            Self::KeyNotYet { .. } => Code::ChecklistKeyNotYetValid,
            Self::KeyExpired { .. } => Code::ChecklistKeyExpired,
            Self::KeyRevoked { .. } => Code::ChecklistKeyRevoked,
            Self::KeyRevokedSince { .. } => Code::ChecklistKeyRevokedSince,
            Self::KeyEnded { .. } => Code::ChecklistKeyEnded,
            Self::WrongRole { .. } => Code::ChecklistWrongRole,
            Self::TooFewSigners { .. } => Code::ChecklistTooFewSigners,
            Self::SignedBeforeJudged { .. } => Code::ChecklistSignedBeforeJudged,
            Self::SignedAhead { .. } => Code::ChecklistSignedAhead,
            Self::SignedTooLate { .. } => Code::ChecklistSignedTooLate,
            Self::SignedBeforeMade { .. } => Code::ChecklistSignedBeforeMade,
            Self::JudgedAhead { .. } => Code::ChecklistJudgedAhead,
            Self::ClockBehind { .. } => Code::ChecklistClockBehind,
            Self::BackDated { .. } => Code::ChecklistBackDated,
            Self::TrustEnded { .. } => Code::ChecklistTrustEnded,
            Self::TrustOlder { .. } | Self::TrustOlderThanAsked { .. } => Code::ChecklistTrustOlder,
            Self::TrustNotByOwner { .. } | Self::TrustNotByOwnerBefore { .. } | Self::TrustWithoutOwner { .. } => {
                Code::ChecklistTrustNotByOwner
            }
            Self::TrustFewerOwners { .. } => Code::ChecklistTrustFewerOwners,
            Self::TrustOther { .. } => Code::ChecklistTrustOther,
            Self::TrustTwin { .. } => Code::ChecklistTrustTwin,
            Self::TrustNotOnPaper => Code::ChecklistTrustNotOnPaper,
            Self::OwnerNotAccepted { .. } => Code::ChecklistOwnerNotAccepted,
            Self::TrustNotRemembered => Code::ChecklistTrustNotRemembered,
            Self::ClockSetBack { .. } => Code::ChecklistClockSetBack,
            Self::OtherShop { .. } => Code::ChecklistOtherShop,
            Self::TrustNotNext { found, before } if found <= before => Code::ChecklistTrustOlder,
            Self::TrustUnsound { .. } | Self::TrustNotNext { .. } => Code::ChecklistTrustUnsound,
            Self::TrustUnpinned => Code::ChecklistTrustUnpinned,
            Self::Key { fault, .. } => fault.code(),
            Self::OtherJob { .. } => Code::ChecklistOtherJob,
            Self::RecordChanged { .. } => Code::ChecklistRecordChanged,
            Self::RecordGoneOn { .. } => Code::ChecklistRecordGoneOn,
            Self::RecordDigest => Code::ChecklistRecordDigest,
            Self::Contradiction { .. } => Code::ChecklistContradiction,
            Self::PackNotApproved { .. } => Code::ChecklistPackNotApproved,
            Self::PackApprovalOver { .. } => Code::ChecklistPackApprovalOver,
            Self::PackLeftOut { .. } => Code::ChecklistPackLeftOut,
            Self::OtherPacks { .. } => Code::ChecklistOtherPacks,
            Self::OtherZone { .. } => Code::ChecklistOtherZone,
            Self::RolesLowered { .. } => Code::ChecklistRolesLowered,
            Self::JudgedOtherwise { .. } => Code::ChecklistJudgedOtherwise,
            Self::NotJudgeable { .. } => Code::ChecklistNotJudgeable,
            Self::LinkLeftOut { .. } => Code::ChecklistLinkLeftOut,
            Self::LinkNotGiven { .. } => Code::ChecklistLinkNotGiven,
            Self::LinkBroken { .. } => Code::ChecklistLinkBroken,
            Self::LinkChanged { .. } => Code::ChecklistLinkChanged,
            Self::LaterChecklist { .. } => Code::ChecklistLaterChecklist,
            Self::NotRejudged { .. } => Code::ChecklistNotRejudged,
            Self::NoLongerPasses { .. } => Code::ChecklistNoLongerPasses,
            Self::Permit { reason, .. } => reason.code(),
            Self::PermitNone => Code::ChecklistPermitNone,
            Self::PermitRole { .. } => Code::ChecklistPermitRole,
            Self::PermitSigners { .. } => Code::ChecklistPermitSigners,
            Self::PermitSelf { .. } | Self::PermitBySigner { .. } => Code::ChecklistPermitSelf,
            Self::UnknownPerson { .. } => Code::ChecklistUnknownPerson,
            Self::PermitTooLong { .. } => Code::ChecklistPermitTooLong,
            Self::PermitNotInForce { .. } => Code::ChecklistPermitNotInForce,
            Self::PermitAfterwards { .. } => Code::ChecklistPermitAfterwards,
            Self::PermitOther { .. } => Code::ChecklistPermitOther,
            Self::PermitNotNeeded => Code::ChecklistPermitNotNeeded,
            Self::PermitOtherEvidence => Code::ChecklistPermitOtherEvidence,
            Self::PermitOtherFill { .. } => Code::ChecklistPermitOtherFill,
            Self::PermitsNotChecked => Code::ChecklistPermitsNotChecked,
            Self::Hold => Code::ChecklistHold,
            Self::Rehearsal => Code::ChecklistRehearsal,
            Self::OldEdition => Code::ChecklistOldEdition,
            Self::Lapsed { .. } => Code::ChecklistLapsed,
            Self::RecordNotGiven { .. } => Code::ChecklistRecordNotGiven,
            Self::RecordTwice { .. } => Code::ChecklistRecordTwice,
            Self::ShopChanged { .. } => Code::ChecklistShopChanged,
            Self::ShopNotGiven { .. } => Code::ChecklistShopNotGiven,
            Self::NotNow { .. } => Code::ChecklistNotNow,
        }
    }

    /// How to put it right, one imperative sentence.
    #[expect(clippy::too_many_lines, reason = "one arm for each reason, and nothing else")]
    pub fn help(&self) -> &str {
        match self {
            Self::Form(fault) => fault.cure().unwrap_or("fetch the file again from where it was signed"),
            Self::Permit { reason, .. } => reason.help(),
            Self::Key { fault, .. } => fault.help(),
            Self::NotSigned(_) => "have it signed by the people it asks for",
            Self::TooFewSigners { .. } => "have others sign it in the missing roles with `fillward countersign`",
            Self::HeaderNotExact { .. }
            | Self::HeaderMember { .. }
            | Self::Algorithm { .. }
            | Self::OtherKind { .. }
            | Self::SignatureForm { .. }
            | Self::SignedTwice { .. }
            | Self::Contradiction { .. }
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
            Self::JudgedAhead { .. } | Self::ClockBehind { .. } => "set this machine's clock right, then verify again",
            Self::SignedTooLate { .. } => "do not rely on this signature; check the job again before signing",
            Self::Lapsed { .. } => {
                "what was done in time needs nothing; what is still to be done is checked and signed again"
            }
            Self::NoLongerPasses { .. } => "put right what holds it, then judge and sign the job again",
            Self::TrustEnded { .. } | Self::TrustOlder { .. } | Self::TrustOlderThanAsked { .. } => {
                "get the shop's latest trust file from its owner"
            }
            Self::SignedBeforeMade { .. } => "set the owner's clock right, then have the trust file signed again",
            Self::TrustUnpinned => "give the owner's public key, known from paper, with --owner",
            Self::TrustNotByOwner { .. } | Self::TrustNotByOwnerBefore { .. } => {
                "compare the eight words of the owner's key with the paper; only owners sign a trust file"
            }
            Self::TrustUnsound { cure, .. } => cure,
            Self::TrustNotNext { .. } => {
                "write the version that comes next, after a look at what the one in force says"
            }
            Self::TrustWithoutOwner { .. } => {
                "ask that owner whether this trust file is theirs; give only keys of owners who sign it"
            }
            Self::TrustFewerOwners { .. } => {
                "have as many owners of the version before sign it as that asked for; where they cannot, the owners begin again with a new key, a new trust file and new papers"
            }
            Self::TrustOther { .. } => "ask the owner which of the two is the shop's; one of them was never in force",
            Self::TrustTwin { .. } => {
                "get the shop's latest trust file from its owner, who makes one file of each version"
            }
            Self::TrustNotOnPaper => {
                "start nothing by it; get the latest trust file and its paper from the owner, and read the words again"
            }
            Self::OwnerNotAccepted { .. } => {
                "get the owner's paper, compare who gave it to you, and accept the key with `fillward trust accept`"
            }
            Self::TrustNotRemembered => {
                "work on an account whose home can be written, or give the words of the latest trust file from paper with --trust-words"
            }
            Self::ClockSetBack { .. } => {
                "set this machine's clock right; if it once showed a time that was wrong, an owner sets that aside in the next version of the trust file"
            }
            Self::OtherShop { .. } => "give the trust file of the shop whose checklist it is",
            Self::OtherJob { .. } => "find the checklist of this job",
            Self::RecordChanged { .. } => {
                "find the checklist of this record, or judge and sign the record as it now stands"
            }
            Self::PackNotApproved { .. } | Self::PackApprovalOver { .. } => {
                "have the safety officer approve the pack in the trust file, or use the approved one"
            }
            Self::PackLeftOut { .. } => "judge and sign the job by every pack that the trust file requires",
            Self::LinkLeftOut { .. } => {
                "have the hold point before it judged and signed, and give its checklist with --before"
            }
            Self::LinkNotGiven { .. } => "give the checklist of the hold point before with --before",
            Self::LinkBroken { .. } => "go no further; ask the supervisor what becomes of the assembly",
            Self::LinkChanged { .. } => {
                "go no further; find out which of the two is true, and ask the supervisor what becomes of the assembly"
            }
            Self::LaterChecklist { .. } => {
                "go by the last one alone; where two are of one instant, check and sign once more"
            }
            Self::RecordGoneOn { .. } => {
                "what was done by this checklist needs nothing; what comes next needs a checklist of its own hold point"
            }
            Self::OtherPacks { .. } | Self::NotRejudged { .. } | Self::PermitsNotChecked => {
                "give the packs in the editions that the checklist names"
            }
            Self::OtherZone { .. } | Self::JudgedOtherwise { .. } => {
                "do not start; have the job judged and signed again"
            }
            Self::NotJudgeable { .. } => "give the packs with which the job was judged",
            Self::PermitNone => "clear the fault itself; nobody may permit it",
            Self::PermitSelf { .. } => {
                "have somebody else who may permit it sign it with `fillward permit give`, or clear the fault itself"
            }
            Self::PermitRole { .. }
            | Self::PermitSigners { .. }
            | Self::PermitBySigner { .. }
            | Self::PermitTooLong { .. }
            | Self::PermitNotInForce { .. }
            | Self::PermitAfterwards { .. }
            | Self::PermitOther { .. } => "clear the fault itself, or ask beforehand the person who may permit it",
            Self::OldEdition => "what is still to be done is checked and signed by the packs in force",
            Self::PermitNotNeeded => "leave the permit out",
            Self::PermitOtherEvidence => "ask for a permit for what the record shows now",
            Self::PermitOtherFill { .. } => "ask for a permit for what is filled now",
            Self::Hold => "clear what the findings name, then judge again",
            Self::Rehearsal => "check and sign the job as of now, without --at",
            Self::RecordTwice { .. } => "find out which of them stands now, and give that one alone with --record",
            Self::ShopChanged { .. } => {
                "what is still to be done is checked and signed again by the shop file as it now stands"
            }
            Self::ShopNotGiven { .. } => "give the shop file as it stands now with --shop",
            Self::RecordNotGiven { .. } => "give the record as it stands now with --record",
            Self::NotNow { .. } => "leave --at out to ask for now",
        }
    }
}
