//! What every reason says of a file of which the work is long done.

use super::*;
use crate::checklist::keys::WordsDiffer;
use crate::units::{Dimension, Quantity, ZoneError};
use crate::vocabulary::{NameFault, Verdict};

/// One of each reason: a new one without a row does not compile.
macro_rules! one_of_each {
    ($kind:ty: $($pattern:pat => $value:expr,)+) => {{
        let is_known = |reason: &$kind| match reason { $($pattern => {})+ };
        let all: Vec<$kind> = vec![$($value),+];
        all.iter().for_each(is_known);
        all
    }};
}

fn part() -> PackPart {
    PackPart { edition: "2026.1".to_owned(), name: text(), sha256: "ab".repeat(32) }
}

fn instant() -> Instant {
    Instant::parse("2026-03-04T09:30:00-06:00").unwrap()
}

fn text() -> String {
    "Odile Varga".to_owned()
}

fn of_permits() -> Vec<PermitReason> {
    let (from, until, at, who) = (instant, instant, instant, text);
    one_of_each! { PermitReason:
        PermitReason::NotAllowed => PermitReason::NotAllowed,
        PermitReason::Role { .. } => PermitReason::Role { due: text(), who: who(), role: Role::Supervisor },
        PermitReason::ToOneself { .. } => PermitReason::ToOneself { who: who() },
        PermitReason::Signers { .. } => PermitReason::Signers { who: vec![who(), text()] },
        PermitReason::BySigner { .. } => PermitReason::BySigner { who: who() },
        PermitReason::TooLong { .. } => PermitReason::TooLong { from: from(), until: until(), longest: Box::new(Quantity::parse("12 h", Dimension::Duration).unwrap()) },
        PermitReason::EndsBefore { .. } => PermitReason::EndsBefore { until: until(), start: at() },
        PermitReason::NotInForce { .. } => PermitReason::NotInForce { from: Some(from()), until: until(), at: at() },
        PermitReason::BeforeAsked { .. } => PermitReason::BeforeAsked { asked: from(), given: at() },
        PermitReason::Afterwards { .. } => PermitReason::Afterwards { at: at() },
        PermitReason::Other(_) => PermitReason::Other(PermittedElsewhere::Owners { shop: text() }),
        PermitReason::NotNeeded => PermitReason::NotNeeded,
        PermitReason::SetAsideAlready => PermitReason::SetAsideAlready,
        PermitReason::OtherEvidence { .. } => PermitReason::OtherEvidence { given: vec![text()], now: Vec::new() },
        PermitReason::OtherThings { .. } => PermitReason::OtherThings { given: vec![text()], now: Vec::new() },
        PermitReason::OtherFill { .. } => PermitReason::OtherFill { given: Vec::new(), now: Vec::new() },
    }
}

fn of_trust() -> Vec<TrustReason> {
    let (at, who) = (instant, text);
    one_of_each! { TrustReason:
        TrustReason::Ended { .. } => TrustReason::Ended { at: at() },
        TrustReason::Older { .. } => TrustReason::Older { found: 3, least: 4 },
        TrustReason::LaterThanGiven { .. } => TrustReason::LaterThanGiven { signed: 5, given: 4 },
        TrustReason::NotNext { .. } => TrustReason::NotNext { found: 3, before: 4 },
        TrustReason::OfAnotherShop { .. } => TrustReason::OfAnotherShop { found: "North".to_owned(), known: "South".to_owned() },
        TrustReason::OlderThanAsked { .. } => TrustReason::OlderThanAsked { found: 3, least: 4 },
        TrustReason::NotByOwner { .. } => TrustReason::NotByOwner { found: 1, due: 2 },
        TrustReason::NotByOwnerBefore { .. } => TrustReason::NotByOwnerBefore { version: 3 },
        TrustReason::WithoutOwner { .. } => TrustReason::WithoutOwner { who: who() },
        TrustReason::NoKeyOfWords(_) => TrustReason::NoKeyOfWords(NoKeyOfWords::OfNone),
        TrustReason::NewerKey { .. } => TrustReason::NewerKey { who: who(), words: text() },
        TrustReason::Unseen { .. } => TrustReason::Unseen { version: 3 },
        TrustReason::FewerOwners { .. } => TrustReason::FewerOwners { found: 1, least: 2 },
        TrustReason::Other { .. } => TrustReason::Other { version: 3 },
        TrustReason::Twin { .. } => TrustReason::Twin { version: 3 },
        TrustReason::NotOnPaper(_) => TrustReason::NotOnPaper(WordsDiffer::Count { found: 7, due: 8 }),
        TrustReason::OwnerNotAccepted { .. } => TrustReason::OwnerNotAccepted { who: who() },
        TrustReason::NotRemembered => TrustReason::NotRemembered,
        TrustReason::Unsound(_) => TrustReason::Unsound(TrustFlaw::Version),
        TrustReason::Unpinned => TrustReason::Unpinned,
    }
}

fn all() -> Vec<Reason> {
    let (at, from, who, why, found, due) = (instant, instant, text, text, text, text);
    let point = HoldPoint::BeforeAir;
    let differs = || Box::new(RecordDiffers { first: TextsDiffer::LineEnds, change: None, unread: None, point });
    let own = one_of_each! { Reason:
        Reason::Form(_) => Reason::Form(Box::new(Fault::new(crate::document::Code::ChecklistContent, "the content is odd").help("sign it again"))),
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
        Reason::MayNotSignAs { .. } => Reason::MayNotSignAs { who: who(), role: Role::Auditor, may: vec![Role::Supervisor] },
        Reason::TooFewSigners { .. } => Reason::TooFewSigners { missing: vec![Role::Supervisor, Role::SafetyOfficer] },
        Reason::SignedBeforeJudged { .. } => Reason::SignedBeforeJudged { who: who(), at: at() },
        Reason::SignedAhead { .. } => Reason::SignedAhead { who: who(), at: at() },
        Reason::SignedTooLate { .. } => Reason::SignedTooLate { who: who(), at: at() },
        Reason::SignedBeforeMade { .. } => Reason::SignedBeforeMade { who: who(), at: at() },
        Reason::JudgedAhead { .. } => Reason::JudgedAhead { at: at() },
        Reason::ClockBehind { .. } => Reason::ClockBehind { at: at(), known: at() },
        Reason::BackDated { .. } => Reason::BackDated { at: at(), version: 3 },
        Reason::ClockSetBack { .. } => Reason::ClockSetBack { at: at(), seen: at() },
        Reason::OtherOwners(_) => Reason::OtherOwners(text()),
        Reason::OtherShop { .. } => Reason::OtherShop { found: found(), due: due() },
        Reason::Key { .. } => Reason::Key { who: who(), fault: KeyFault::Weak },
        Reason::RecordTwice { .. } => Reason::RecordTwice { job: text(), names: [text(), text()] },
        Reason::RecordUnmatched(_) => Reason::RecordUnmatched(Box::new(UnmatchedRecord { name: text(), why: Unmatched::NoNumber })),
        Reason::ShopChanged(_) => Reason::ShopChanged(ShopDiffers::Head),
        Reason::ShopNotGiven { .. } => Reason::ShopNotGiven { name: text() },
        Reason::RecordChanged(_) => Reason::RecordChanged(differs()),
        Reason::RecordEarlier(_) => Reason::RecordEarlier(differs()),
        Reason::RecordGoneOn(_) => Reason::RecordGoneOn(GoneOn { point, changes: Vec::new() }),
        Reason::RecordDigest => Reason::RecordDigest,
        Reason::Contradiction(_) => Reason::Contradiction(SelfContradiction::NoPack),
        Reason::PackNotApproved { .. } => Reason::PackNotApproved { pack: text(), digest: text() },
        Reason::PackApprovalOver { .. } => Reason::PackApprovalOver { pack: text(), at: at() },
        Reason::PackApprovalUndone { .. } => Reason::PackApprovalUndone { pack: text(), by: who() },
        Reason::PackLeftOut { .. } => Reason::PackLeftOut { pack: text() },
        Reason::OtherPacks { .. } => Reason::OtherPacks { given: vec![part()], due: vec![part()] },
        Reason::OtherZone { .. } => Reason::OtherZone { found: found(), due: due() },
        Reason::RolesLowered { .. } => Reason::RolesLowered { missing: vec![Role::Supervisor] },
        Reason::JudgedOtherwise(_) => Reason::JudgedOtherwise(JudgedDiffers::Until(None)),
        Reason::NotJudgeable(_) => Reason::NotJudgeable(NotJudged::NoPacks),
        Reason::LinkLeftOut { .. } => Reason::LinkLeftOut { point },
        Reason::LinkNotGiven { .. } => Reason::LinkNotGiven { point, instead: None },
        Reason::LinkBroken(_) => Reason::LinkBroken(BrokenLink::Lapsed { point }),
        Reason::LinkChanged { .. } => Reason::LinkChanged { point, changes: Vec::new() },
        Reason::LaterChecklist { .. } => Reason::LaterChecklist { name: text(), at: text(), verdict: Verdict::Hold, tied: true },
        Reason::NotRejudged { .. } => Reason::NotRejudged { other: None },
        Reason::NoLongerPasses { .. } => Reason::NoLongerPasses { at: at(), held: None },
        Reason::Permit { .. } => Reason::Permit { rule: text(), reason: Box::new(Reason::Hold) },
        Reason::UnknownPerson { .. } => Reason::UnknownPerson { who: who() },
        Reason::OldEdition => Reason::OldEdition,
        Reason::PermitsNotChecked => Reason::PermitsNotChecked,
        Reason::Hold => Reason::Hold,
        Reason::Rehearsal => Reason::Rehearsal,
        Reason::Lapsed { .. } => Reason::Lapsed { until: at() },
        Reason::RecordNotGiven { .. } => Reason::RecordNotGiven { job: text(), others: false },
        Reason::NotNow { .. } => Reason::NotNow { at: at() },
        Reason::NotMeant(NotMeant::Job { .. }) => NotMeant::Job { found: found(), due: due() }.into(),
        Reason::NotMeant(NotMeant::HoldPoint { .. }) => NotMeant::HoldPoint { found: HoldPoint::AfterFill, due: HoldPoint::default() }.into(),
        Reason::NotMeant(NotMeant::NotYet { .. }) => NotMeant::NotYet { asked: from(), since: at() }.into(),
        Reason::NotMeant(NotMeant::Assemblies { .. }) => NotMeant::Assemblies { due: vec![due()], covered: Vec::new() }.into(),
        Reason::OfPermit(_) => Reason::OfPermit(PermitReason::NotNeeded),
        Reason::OfTrust(_) => Reason::OfTrust(TrustReason::Unpinned),
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
        let is_out_of_force =
            matches!(reason, Reason::OfPermit(PermitReason::NotInForce { .. } | PermitReason::EndsBefore { .. }));
        assert_eq!(within.is_of_age(), reason.is_of_age() || is_out_of_force, "{reason:?}");
    }
}

/// What reasons hold in turn: the same as data, drawn in words of their own.
fn inner() -> Vec<String> {
    let (point, place, mark) = (HoldPoint::AfterFill, || "assemblies[0]".to_owned(), || Some("loader 4".to_owned()));
    let of = || SubjectName { place: place(), mark: mark() };
    let bar = || Box::new(Reason::Hold);
    let key = || KeyName { kid: text(), of: Some(text()) };
    let contradictions = one_of_each! { SelfContradiction:
        SelfContradiction::CoversAnother { .. } => SelfContradiction::CoversAnother { mark: text() },
        SelfContradiction::Format { .. } => SelfContradiction::Format { found: text(), due: "fillward-checklist/2" },
        SelfContradiction::PassesWithFault { .. } => SelfContradiction::PassesWithFault { rule: text(), of: of() },
        SelfContradiction::PassesWithoutAssembly => SelfContradiction::PassesWithoutAssembly,
        SelfContradiction::PassesWithoutRule => SelfContradiction::PassesWithoutRule,
        SelfContradiction::PassesWithoutEnd => SelfContradiction::PassesWithoutEnd,
        SelfContradiction::PermittedNotBroken => SelfContradiction::PermittedNotBroken,
        SelfContradiction::PermittedAndPermits { .. } => SelfContradiction::PermittedAndPermits { findings: 1, permits: 2 },
        SelfContradiction::PermittedByNone { .. } => SelfContradiction::PermittedByNone { rule: text(), of: of() },
        SelfContradiction::NoPack => SelfContradiction::NoPack,
        SelfContradiction::PackTwice { .. } => SelfContradiction::PackTwice { pack: text() },
        SelfContradiction::NoSupervisor => SelfContradiction::NoSupervisor,
        SelfContradiction::TooManySigners { .. } => SelfContradiction::TooManySigners { most: 8 },
        SelfContradiction::Zone { .. } => SelfContradiction::Zone { found: text() },
        SelfContradiction::Offsets { .. } => SelfContradiction::Offsets { zone: text() },
        SelfContradiction::EndsBeforeJudged => SelfContradiction::EndsBeforeJudged,
        SelfContradiction::HoldsTooLong => SelfContradiction::HoldsTooLong,
        SelfContradiction::NotInstants => SelfContradiction::NotInstants,
        SelfContradiction::OtherJob { .. } => SelfContradiction::OtherJob { found: Some(text()) },
        SelfContradiction::OtherShopPart => SelfContradiction::OtherShopPart,
        SelfContradiction::OtherBody => SelfContradiction::OtherBody,
    };
    let links = one_of_each! { BrokenLink:
        BrokenLink::NothingBefore => BrokenLink::NothingBefore,
        BrokenLink::NotActedOn { .. } => BrokenLink::NotActedOn { place: crate::document::Path::root().child("acts") },
        BrokenLink::NoAssembly => BrokenLink::NoAssembly,
        BrokenLink::Doubtful { .. } => BrokenLink::Doubtful { point, reason: bar() },
        BrokenLink::Unread => BrokenLink::Unread,
        BrokenLink::OtherPoint { .. } => BrokenLink::OtherPoint { found: HoldPoint::AfterFill },
        BrokenLink::NotBorne { .. } => BrokenLink::NotBorne { point, bar: bar() },
        BrokenLink::Lapsed { .. } => BrokenLink::Lapsed { point },
        BrokenLink::NotCovered { .. } => BrokenLink::NotCovered { point, mark: mark() },
    };
    let judged = one_of_each! { JudgedDiffers:
        JudgedDiffers::Verdict { .. } => JudgedDiffers::Verdict { found: Verdict::Pass, due: Verdict::Hold },
        JudgedDiffers::Assemblies => JudgedDiffers::Assemblies,
        JudgedDiffers::Figure(_) => JudgedDiffers::Figure(text()),
        JudgedDiffers::Finding(_) => JudgedDiffers::Finding(FindingDiffers::NotMet { rule: text() }),
        JudgedDiffers::Until(_) => JudgedDiffers::Until(Some(instant())),
    };
    let elsewhere = one_of_each! { PermittedElsewhere:
        PermittedElsewhere::Job { .. } => PermittedElsewhere::Job { own: text(), this: None },
        PermittedElsewhere::HoldPoint { .. } => PermittedElsewhere::HoldPoint { own: HoldPoint::AfterFill, this: HoldPoint::default() },
        PermittedElsewhere::Zone { .. } => PermittedElsewhere::Zone { own: text(), this: text() },
        PermittedElsewhere::Shop { .. } => PermittedElsewhere::Shop { own: text(), this: text() },
        PermittedElsewhere::Owners { .. } => PermittedElsewhere::Owners { shop: text() },
        PermittedElsewhere::PackNotInForce { .. } => PermittedElsewhere::PackNotInForce { rule: text() },
        PermittedElsewhere::Edition { .. } => PermittedElsewhere::Edition { pack: text() },
    };
    let flaws = one_of_each! { TrustFlaw:
        TrustFlaw::Format { .. } => TrustFlaw::Format { found: text(), due: "fillward-trust/1" },
        TrustFlaw::ZoneSpelling { .. } => TrustFlaw::ZoneSpelling { found: text(), due: text() },
        TrustFlaw::Zone(_) => TrustFlaw::Zone(ZoneError::Unknown { text: text() }),
        TrustFlaw::Version => TrustFlaw::Version,
        TrustFlaw::OwnersNeeded { .. } => TrustFlaw::OwnersNeeded { needed: 3, there: 2 },
        TrustFlaw::NotInstant { .. } => TrustFlaw::NotInstant { text: text() },
        TrustFlaw::EndsBeforeMade => TrustFlaw::EndsBeforeMade,
        TrustFlaw::ClockAnewLater => TrustFlaw::ClockAnewLater,
        TrustFlaw::FormerRole { .. } => TrustFlaw::FormerRole { who: text(), role: Role::Supervisor },
        TrustFlaw::ShopName { .. } => TrustFlaw::ShopName { name: text(), fault: NameFault::Blanks },
        TrustFlaw::FormerName { .. } => TrustFlaw::FormerName { name: text() },
        TrustFlaw::NamesLost { .. } => TrustFlaw::NamesLost { shop: text() },
        TrustFlaw::ApprovalElsewhere { .. } => TrustFlaw::ApprovalElsewhere { pack: text(), shop: text() },
        TrustFlaw::Name { .. } => TrustFlaw::Name { name: text(), flaw: NameFlaw::TooLong },
        TrustFlaw::SameName { .. } => TrustFlaw::SameName { name: text() },
        TrustFlaw::AlikeNames { .. } => TrustFlaw::AlikeNames { one: text(), other: text() },
        TrustFlaw::NotNfc { .. } => TrustFlaw::NotNfc { text: text() },
        TrustFlaw::KeyEndsFirst { .. } => TrustFlaw::KeyEndsFirst { who: text() },
        TrustFlaw::KeyTwice { .. } => TrustFlaw::KeyTwice { who: text() },
        TrustFlaw::EndTakenBack { .. } => TrustFlaw::EndTakenBack { key: key(), revoked: true, from: instant() },
        TrustFlaw::KeyGone { .. } => TrustFlaw::KeyGone { key: key() },
        TrustFlaw::KeyEarlier { .. } => TrustFlaw::KeyEarlier { key: key(), from: instant() },
        TrustFlaw::PersonGone { .. } => TrustFlaw::PersonGone { name: text() },
        TrustFlaw::MadeBefore { .. } => TrustFlaw::MadeBefore { made: instant(), before: instant() },
        TrustFlaw::RevokedAhead { .. } => TrustFlaw::RevokedAhead { key: key(), from: instant() },
        TrustFlaw::PackDigest { .. } => TrustFlaw::PackDigest { pack: text() },
        TrustFlaw::PackSpan { .. } => TrustFlaw::PackSpan { pack: text() },
        TrustFlaw::Approver { .. } =>
            TrustFlaw::Approver { pack: text(), by: text(), is_known: true, officer: Some(text()) },
        TrustFlaw::ApprovalUnsigned { .. } => TrustFlaw::ApprovalUnsigned { pack: text(), by: text() },
        TrustFlaw::ApprovalChanged { .. } => TrustFlaw::ApprovalChanged { pack: text(), by: text() },
        TrustFlaw::ApprovalBack { .. } => TrustFlaw::ApprovalBack { pack: text(), by: text() },
    };
    let words: [Vec<String>; 6] = [
        contradictions.iter().map(ToString::to_string).collect(),
        links.iter().map(ToString::to_string).collect(),
        judged.iter().map(ToString::to_string).collect(),
        elsewhere.iter().map(ToString::to_string).collect(),
        flaws.iter().map(ToString::to_string).collect(),
        flaws.iter().map(|flaw| flaw.cure().into_owned()).collect(),
    ];
    words.concat()
}

/// Whatever a reason holds, what is drawn of it is a clause that can stand in a sentence, and names what it holds.
#[test]
fn every_reason_is_drawn_as_a_sentence() {
    let reasons = all();
    let sentences = reasons.iter().flat_map(|reason| [reason.to_string(), reason.help().into_owned()]);
    let mut drawn = 0;
    for said in sentences.chain(inner()) {
        assert!(said.split(' ').count() > 1 && !said.ends_with('.') && !said.contains("  "), "{said}");
        let holds_a_type = said.split([' ', '`', ',', ';']).any(|word| word.ends_with('{') || word.contains("::"));
        assert!(!holds_a_type, "{said}");
        drawn += 1;
    }
    assert!(drawn > 250, "{drawn}");
    let count = |words: &str| inner().iter().filter(|said| said.contains(words)).count();
    // What was found is in the words of it.
    assert!(count("Odile Varga") > 35 && count("2026-03-04T09:30:00-06:00") >= 2, "{:?}", inner());
}
