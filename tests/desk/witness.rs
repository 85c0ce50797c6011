//! The second person who signs the week's checklists when the work by them is done.

use fillward::desk::{Answer, Consent, Draft, FurtherOrder, Purpose, Refusal, Signed, Unfit};
use fillward::vocabulary::Role;

use crate::shop::counter::{FILE, RECORD, refused, with_hand};
use crate::shop::world::World;
use crate::shop::{ODILE, Shop, WREN, passing};

const WEEK: i128 = 7 * 86_400;

/// The job signed in the morning by Odile Varga, a week ago.
fn last_week() -> Shop<World> {
    let counter = Shop::new().at_desk();
    counter.sign(|order| order.out = Some(FILE.into())).unwrap();
    counter.clock(WEEK);
    counter
}

fn draft(counter: &Shop<World>, with_record: bool) -> Result<Draft, Refusal> {
    let records = if with_record { vec![counter.source(RECORD)] } else { Vec::new() };
    let found = Vec::new();
    let (packs, before) = (Vec::new(), Vec::new());
    let order = FurtherOrder { checklist: counter.source(FILE), records, found, shop: None, packs, before };
    counter.desk().draft_further(order, counter.open(Purpose::Sign)?.trust)
}

fn sign_all(
    counter: &Shop<World>,
    by: u8,
    drafts: Vec<Draft>,
    consent: &Consent,
) -> Result<Vec<Result<Signed, Refusal>>, Refusal> {
    let desk = counter.desk();
    with_hand((by, Role::Supervisor), |hand| Draft::sign_all(drafts, &desk, hand, consent))
}

/// Whatever has become of the record since, and with or without it: the witness signs for what was, and nothing starts.
#[test]
fn a_witness_signs_for_what_was() {
    for (with_record, record) in [
        (false, passing()),
        (true, passing()),
        (true, passing() + "# the fill went well\n"),
        (true, passing().replacen("solvent_on_hand: 2 gal", "solvent_on_hand: 12 gal", 1)),
    ] {
        let counter = last_week();
        counter.put(RECORD, record);
        let draft = draft(&counter, with_record).unwrap();
        assert!(draft.proposal().witness);
        let signed = sign_all(&counter, WREN, vec![draft], &Consent::Given).unwrap().remove(0).unwrap();
        assert!(signed.report.in_order() && !signed.report.may_start() && signed.aims.each.is_empty());
        counter.put(RECORD, passing());
        let verified = counter.verify(|_| {}).unwrap();
        assert_eq!(verified.answer, Answer::Old);
        assert_eq!(verified.report.signatures.iter().map(|signed| signed.witness).collect::<Vec<_>>(), [false, true]);
    }
}

/// An edition may have followed since: a witness answers by the packs of then, and what is to be done still by those of now.
#[test]
fn a_witness_goes_by_the_packs_of_then() {
    let counter = last_week();
    counter.trust(|body| body.packs[0].until = Some("2026-03-06T00:00:00-06:00".to_owned()));
    let draft = draft(&counter, false).unwrap();
    sign_all(&counter, WREN, vec![draft], &Consent::Given).unwrap().remove(0).unwrap();
    assert_eq!(counter.verify(|_| {}).unwrap().answer, Answer::Old);
}

/// What is still to be done is countersigned by the record as it stands, and several only by somebody who says how many.
#[test]
fn what_is_still_to_be_done_needs_its_record() {
    let counter = Shop::new().at_desk();
    counter.sign(|order| order.out = Some(FILE.into())).unwrap();
    assert_eq!(refused(draft(&counter, false)), ["record-not-given"]);
    assert!(!draft(&counter, true).unwrap().proposal().witness);
    let two = || vec![draft(&counter, true).unwrap(), draft(&counter, true).unwrap()];
    for number in ["", "1", "HT-0311"] {
        let signed = sign_all(&counter, WREN, two(), &Consent::Written(number.to_owned()));
        assert!(matches!(signed, Err(Refusal::Unfit(Unfit::NumberNotConfirmed))), "{number}");
    }
    // Of two for one file the first is signed, and the second finds it changed.
    let signed = sign_all(&counter, WREN, two(), &Consent::Written(" 2\n".to_owned())).unwrap();
    let ends: Vec<bool> = signed.iter().map(Result::is_ok).collect();
    assert_eq!(ends, [true, false]);
    // Nobody signs twice, and whoever signed first is no witness of themselves.
    counter.clock(WEEK);
    let own = sign_all(&counter, ODILE, vec![draft(&counter, false).unwrap()], &Consent::Given).unwrap().remove(0);
    assert_eq!(refused(own), ["signed-twice"]);
}
