//! What every reason says of a file of which the work is long done.

use super::*;

/// One of each reason: a new one without a row does not compile.
macro_rules! one_of_each {
    ($kind:ty: $($pattern:pat => $value:expr,)+) => {{
        let is_known = |reason: &$kind| match reason { $($pattern => {})+ };
        let all: Vec<$kind> = vec![$($value),+];
        all.iter().for_each(is_known);
        all
    }};
}

fn text() -> String {
    "Odile Varga".to_owned()
}

fn of_permits() -> Vec<PermitReason> {
    let (from, until, at, who) = (text, text, text, text);
    one_of_each! { PermitReason:
        PermitReason::NotAllowed => PermitReason::NotAllowed,
        PermitReason::Role { .. } => PermitReason::Role { due: text(), who: who(), role: Role::Supervisor },
        PermitReason::ToOneself { .. } => PermitReason::ToOneself { who: who() },
        PermitReason::Signers { .. } => PermitReason::Signers { who: who() },
        PermitReason::BySigner { .. } => PermitReason::BySigner { who: who() },
        PermitReason::TooLong { .. } => PermitReason::TooLong { from: from(), until: until(), longest: text() },
        PermitReason::NotInForce { .. } => PermitReason::NotInForce { from: from(), until: until(), at: at() },
        PermitReason::Afterwards { .. } => PermitReason::Afterwards { at: at() },
        PermitReason::Other { .. } => PermitReason::Other { what: text() },
        PermitReason::NotNeeded => PermitReason::NotNeeded,
        PermitReason::SetAsideAlready => PermitReason::SetAsideAlready,
        PermitReason::OtherEvidence => PermitReason::OtherEvidence,
        PermitReason::OtherFill { .. } => PermitReason::OtherFill { given: text() },
    }
}

fn of_trust() -> Vec<TrustReason> {
    let (at, who) = (text, text);
    one_of_each! { TrustReason:
        TrustReason::Ended { .. } => TrustReason::Ended { at: at() },
        TrustReason::Older { .. } => TrustReason::Older { found: 3, least: 4 },
        TrustReason::NotNext { .. } => TrustReason::NotNext { found: 3, before: 4 },
        TrustReason::OlderThanAsked { .. } => TrustReason::OlderThanAsked { found: 3, least: 4 },
        TrustReason::NotByOwner { .. } => TrustReason::NotByOwner { missing: text() },
        TrustReason::NotByOwnerBefore { .. } => TrustReason::NotByOwnerBefore { version: 3 },
        TrustReason::WithoutOwner { .. } => TrustReason::WithoutOwner { who: who() },
        TrustReason::FewerOwners { .. } => TrustReason::FewerOwners { found: 1, least: 2 },
        TrustReason::Other { .. } => TrustReason::Other { version: 3 },
        TrustReason::Twin { .. } => TrustReason::Twin { version: 3 },
        TrustReason::NotOnPaper => TrustReason::NotOnPaper,
        TrustReason::OwnerNotAccepted { .. } => TrustReason::OwnerNotAccepted { who: who() },
        TrustReason::NotRemembered => TrustReason::NotRemembered,
        TrustReason::Unsound { .. } => TrustReason::Unsound { what: text(), cure: text() },
        TrustReason::Unpinned => TrustReason::Unpinned,
    }
}

fn all() -> Vec<Reason> {
    let (at, who, what, why, found, due) = (text, text, text, text, text, text);
    let from = || Instant::parse("2026-03-04T09:30:00-06:00").unwrap();
    let point = HoldPoint::BeforeAir;
    let own = one_of_each! { Reason:
        Reason::Form(_) => Reason::Form(Box::new(Fault::new(crate::document::Code::ChecklistContent, "odd").help("sign it again"))),
        Reason::NotSigned(_) => Reason::NotSigned(Kind::Checklist),
        Reason::HeaderNotExact { .. } => Reason::HeaderNotExact { place: 1 },
        Reason::HeaderMember { .. } => Reason::HeaderMember { place: 1, member: text() },
        Reason::Algorithm { .. } => Reason::Algorithm { place: 1, found: found() },
        Reason::OtherKind { .. } => Reason::OtherKind { place: 1, found: found(), due: Kind::Checklist },
        Reason::SignatureForm { .. } => Reason::SignatureForm { place: 1 },
        Reason::Changed { .. } => Reason::Changed { who: who() },
        Reason::SignedTwice { .. } => Reason::SignedTwice { who: who() },
        Reason::SignedAlready { .. } => Reason::SignedAlready { who: who() },
        Reason::UnknownKey { .. } => Reason::UnknownKey { kid: text() },
        Reason::KeyNotYet { .. } => Reason::KeyNotYet { who: who(), at: at() },
        Reason::KeyExpired { .. } => Reason::KeyExpired { who: who(), at: at() },
        Reason::KeyRevoked { .. } => Reason::KeyRevoked { who: who(), at: at(), why: why() },
        Reason::KeyRevokedSince { .. } => Reason::KeyRevokedSince { who: who(), from: from(), why: why(), borne_out: None },
        Reason::KeyEnded { .. } => Reason::KeyEnded { who: who(), at: at() },
        Reason::WrongRole { .. } => Reason::WrongRole { who: who(), role: Role::Supervisor },
        Reason::TooFewSigners { .. } => Reason::TooFewSigners { missing: text() },
        Reason::SignedBeforeJudged { .. } => Reason::SignedBeforeJudged { who: who(), at: at() },
        Reason::SignedAhead { .. } => Reason::SignedAhead { who: who(), at: at() },
        Reason::SignedTooLate { .. } => Reason::SignedTooLate { who: who(), at: at() },
        Reason::SignedBeforeMade { .. } => Reason::SignedBeforeMade { who: who(), at: at() },
        Reason::JudgedAhead { .. } => Reason::JudgedAhead { at: at() },
        Reason::ClockBehind { .. } => Reason::ClockBehind { at: at(), known: text() },
        Reason::BackDated { .. } => Reason::BackDated { at: at(), version: 3 },
        Reason::ClockSetBack { .. } => Reason::ClockSetBack { at: at(), seen: text() },
        Reason::OtherShop { .. } => Reason::OtherShop { found: found(), due: due() },
        Reason::Key { .. } => Reason::Key { who: who(), fault: KeyFault::Weak },
        Reason::OtherHoldPoint { .. } => Reason::OtherHoldPoint { found: found(), due: HoldPoint::default() },
        Reason::OtherJob { .. } => Reason::OtherJob { found: found(), due: due() },
        Reason::RecordTwice { .. } => Reason::RecordTwice { job: text(), names: [text(), text()] },
        Reason::ShopChanged { .. } => Reason::ShopChanged { what: what() },
        Reason::ShopNotGiven { .. } => Reason::ShopNotGiven { name: text() },
        Reason::RecordChanged { .. } => Reason::RecordChanged { first: text() },
        Reason::RecordEarlier { .. } => Reason::RecordEarlier { first: text() },
        Reason::RecordGoneOn { .. } => Reason::RecordGoneOn { point },
        Reason::RecordDigest => Reason::RecordDigest,
        Reason::Contradiction { .. } => Reason::Contradiction { what: what() },
        Reason::PackNotApproved { .. } => Reason::PackNotApproved { pack: text(), digest: text() },
        Reason::PackApprovalOver { .. } => Reason::PackApprovalOver { pack: text(), at: at() },
        Reason::PackLeftOut { .. } => Reason::PackLeftOut { pack: text() },
        Reason::OtherPacks { .. } => Reason::OtherPacks { what: what() },
        Reason::OtherZone { .. } => Reason::OtherZone { found: found(), due: due() },
        Reason::RolesLowered { .. } => Reason::RolesLowered { missing: text() },
        Reason::JudgedOtherwise { .. } => Reason::JudgedOtherwise { what: what() },
        Reason::NotJudgeable { .. } => Reason::NotJudgeable { why: why() },
        Reason::LinkLeftOut { .. } => Reason::LinkLeftOut { point },
        Reason::LinkNotGiven { .. } => Reason::LinkNotGiven { point },
        Reason::LinkBroken { .. } => Reason::LinkBroken { what: what() },
        Reason::LinkChanged { .. } => Reason::LinkChanged { what: what() },
        Reason::LaterChecklist { .. } => Reason::LaterChecklist { name: text(), at: at(), verdict: text() },
        Reason::NotRejudged { .. } => Reason::NotRejudged { why: why() },
        Reason::NoLongerPasses { .. } => Reason::NoLongerPasses { at: at(), what: what() },
        Reason::Permit { .. } => Reason::Permit { rule: text(), reason: Box::new(Reason::Hold) },
        Reason::UnknownPerson { .. } => Reason::UnknownPerson { who: who() },
        Reason::OldEdition => Reason::OldEdition,
        Reason::PermitsNotChecked => Reason::PermitsNotChecked,
        Reason::Hold => Reason::Hold,
        Reason::Rehearsal => Reason::Rehearsal,
        Reason::Lapsed { .. } => Reason::Lapsed { until: text() },
        Reason::RecordNotGiven { .. } => Reason::RecordNotGiven { job: text(), others: false },
        Reason::NotNow { .. } => Reason::NotNow { at: at() },
        Reason::OfPermit(_) => Reason::OfPermit(PermitReason::NotNeeded),
        Reason::OfTrust(_) => Reason::OfTrust(TrustReason::NotOnPaper),
    };
    let by = || Some(BorneOut::Content { by: who() });
    let borne_out = Reason::KeyRevokedSince { who: who(), from: from(), why: why(), borne_out: by() };
    let others = Reason::RecordNotGiven { job: text(), others: true };
    let inner = of_permits().into_iter().map(Reason::OfPermit).chain(of_trust().into_iter().map(Reason::OfTrust));
    own.into_iter().chain([borne_out, others]).chain(inner).collect()
}

/// The law: of a file of which the work is long done nobody is told to do that work, to judge it or to sign for it.
#[test]
fn nobody_is_told_to_do_again_what_is_long_done() {
    let plain = all();
    let of_permit = plain.iter().cloned().map(|reason| Reason::Permit { rule: text(), reason: Box::new(reason) });
    for reason in plain.iter().cloned().chain(of_permit) {
        let told = reason.help_when_old();
        let mut words = told.split(|c: char| !c.is_alphabetic());
        assert!(
            words.all(|word| !["judge", "judged", "sign", "take", "start", "check"].contains(&word)),
            "{reason:?}: {told}"
        );
        assert!(told.split(' ').count() > 2, "{reason:?}: {told}");
    }
}

/// What says that nobody knows whose a trust file is never counts as a matter of age, and no end that was planned counts as
/// anything else, in a permit or outside.
#[test]
fn reasons_are_of_one_sort() {
    for reason in all() {
        let sorts = [reason.is_of_age(), reason.leaves_open_whose(), reason.is_of_memory()];
        assert!(sorts.iter().filter(|is_so| **is_so).count() < 2, "{reason:?}");
        let within = Reason::Permit { rule: text(), reason: Box::new(reason.clone()) };
        let is_out_of_force = matches!(reason, Reason::OfPermit(PermitReason::NotInForce { .. }));
        assert_eq!(within.is_of_age(), reason.is_of_age() || is_out_of_force, "{reason:?}");
    }
}
