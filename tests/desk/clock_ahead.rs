//! An owner signed by a clock that stood ahead: nothing starts by that version until its time has come, and an owner sets it
//! aside. What had ended by it stays ended, and whoever is about to sign by such a clock is told.

use std::path::Path;

use fillward::checklist::trust::{Ending, TrustBody};
use fillward::desk::{Answer, ClockLeap, Consent, DraftFault, OwnerAsks, Purpose, Refusal, TrustNote, Unfit};
use fillward::vocabulary::Role;

use super::trust::two_owners;
use crate::shop::counter::{FILE, TRUST, accepted, refused, with_hand};
use crate::shop::world::World;
use crate::shop::{MAIRE, ODILE, OWNER, SECOND, Shop, WREN, key, later};

const DAY: i128 = 86_400;
const YEAR: i128 = 300 * DAY;
/// The seed of Ivo Halloran, who comes later.
const IVO: u8 = 6;

/// Drafts what an owner asks for, and has the owners sign it by the number of the version.
fn does(counter: &Shop<World>, owners: &[u8], asks: &OwnerAsks<'_>) -> Result<Vec<TrustNote>, Refusal> {
    let (out, desk) = (Path::new(TRUST), counter.desk());
    let (first, others) = owners.split_first().unwrap();
    let draft = desk.draft_next(desk.next_trust(out)?, asks, out)?;
    let (notes, consent) = (draft.notes().to_vec(), Consent::Written(draft.proposal().body.version.to_string()));
    with_hand((*first, Role::Owner), |hand| draft.sign(&desk, hand, &consent))?;
    for other in others {
        let waits = desk.draft_that_waits(out)?;
        with_hand((*other, Role::Owner), |hand| waits.sign(&desk, hand, &consent))?;
    }
    Ok(notes)
}

fn renew(clock_anew: bool) -> OwnerAsks<'static> {
    OwnerAsks::Renew { until: None, keys: false, owners_needed: None, clock_anew }
}

fn add(person: &str, seed: u8) -> OwnerAsks<'_> {
    let key = Some(key(seed).public().clone());
    OwnerAsks::Add { person, roles: &[Role::Supervisor], key, until: None, owners_needed: None }
}

fn bars(counter: &Shop<World>) -> Vec<&'static str> {
    let verified = counter.verify(|_| {}).unwrap();
    verified.report.reasons().map(|reason| reason.code().word().trim_start_matches("checklist/")).collect()
}

fn signs(counter: &Shop<World>, by: u8, out: &str) -> Result<bool, Refusal> {
    let signed = counter.sign_by((by, Role::Supervisor), |order| order.out = Some(out.into()));
    signed.map(|signed| signed.report.may_start())
}

/// A shop of one owner, or of two who both sign, whose version lasts for years.
fn shop(owners: &[u8]) -> Shop<World> {
    let mut counter = Shop::new().at_desk();
    let mut body = if owners.len() > 1 { two_owners(&counter, 1, 2) } else { counter.trust_body() };
    let far = later(3 * YEAR).to_record_text();
    (body.version, body.ends_at) = (1, far.clone());
    body.people.iter_mut().flat_map(|person| &mut person.keys).for_each(|key| key.until.clone_from(&far));
    counter.drop(TRUST);
    for seed in owners {
        counter.sign_trust(*seed, &body, TRUST).unwrap();
    }
    counter.owners = owners.to_vec();
    assert!(signs(&counter, ODILE, FILE).unwrap());
    counter
}

/// The law: a version that an owner signed by a clock that stood ahead starts nothing, and no version comes after it but one
/// by which an owner begins the clock anew. By that one every account goes on, whatever it has seen; what had ended stays
/// so, and what had begun begins.
#[test]
fn a_wrong_year_of_an_owner_is_set_aside_by_an_owner() {
    for owners in [&[OWNER][..], &[OWNER, SECOND]] {
        let counter = shop(owners);
        let before = counter.memory();
        // By the wrong clock somebody leaves, and somebody comes.
        counter.clock(YEAR);
        let why = "left";
        let leaves =
            OwnerAsks::EndKeys { person: "Wren Castellane", keys: Vec::new(), how: Ending::Retired, from: None, why };
        does(&counter, owners, &leaves).unwrap();
        does(&counter, owners, &add("Ivo Halloran", IVO)).unwrap();
        let there = counter.memory();
        // By the right one nothing starts, on any account, and the cure names both ways.
        counter.clock(60);
        let accounts = [there, before.clone(), Some(accepted())];
        for account in &accounts {
            counter.remember(account.clone());
            let told = bars(&counter);
            assert_eq!(told[0], "clock-behind");
            assert!(told[1..].iter().all(|bar| *bar == "trust-unseen"), "{told:?}");
            let verified = counter.verify(|_| {}).unwrap();
            let cure = verified.report.bars[0].help();
            assert!(cure.contains("set this machine's clock right") && cure.contains("--clock-anew"), "{cure}");
            // A next version of another kind has to wait for that time.
            let refusal = does(&counter, owners, &renew(false)).unwrap_err();
            assert_eq!(refused::<()>(Err(refusal)), ["clock-behind"]);
        }
        // The owner sets it aside on the machine whose clock stood wrong, or on any other.
        let ahead = counter.get(TRUST).unwrap();
        for account in &accounts {
            counter.put(TRUST, ahead.clone());
            counter.remember(account.clone());
            let notes = does(&counter, owners, &renew(true)).unwrap();
            let is_told =
                |note: &TrustNote| matches!(note, TrustNote::WasAhead { version: 3, packs, .. } if packs.is_empty());
            assert!(notes.iter().any(is_told), "{notes:?}");
            let anew = counter.get(TRUST).unwrap();
            let body = counter.open(Purpose::Look).unwrap().trust.body().clone();
            assert_eq!((body.version, body.made_at.clone()), (4, later(60).to_record_text()));
            assert_eq!(body.clock_anew.as_ref(), Some(&body.made_at));
            for other in &accounts {
                counter.remember(other.clone());
                counter.put(TRUST, anew.clone());
                counter.drop("again.checklist.json");
                // An account that has not seen the version of a checklist starts nothing by that one, as ever.
                let has_seen = *other != accounts[2];
                assert_eq!(bars(&counter), if has_seen { vec![] } else { vec!["trust-unseen"] });
                // What had ended stays so; what had begun begins.
                assert_eq!(refused(signs(&counter, WREN, "again.checklist.json")), ["key-expired"]);
                counter.clock(120);
                assert!(signs(&counter, IVO, "again.checklist.json").unwrap());
                // And the shop goes on from there, also on an account that has not seen that version.
                does(&counter, owners, &renew(false)).unwrap();
                let next = counter.get(TRUST).unwrap();
                counter.remember(other.clone());
                counter.put(TRUST, next);
                let told = bars(&counter);
                let known = ["later-checklist", "trust-unseen"];
                assert!(told.iter().all(|bar| known.contains(bar)) && told.len() <= 1, "{told:?}");
                counter.clock(60);
            }
        }
    }
}

/// No end is brought back by beginning the clock anew: neither one that had come by the clock that stood ahead, nor one from
/// before.
#[test]
fn beginning_the_clock_anew_brings_no_end_back() {
    let counter = shop(&[OWNER]);
    counter.clock(YEAR);
    let why = "left";
    let leaves =
        OwnerAsks::EndKeys { person: "Wren Castellane", keys: Vec::new(), how: Ending::Retired, from: None, why };
    does(&counter, &[OWNER], &leaves).unwrap();
    counter.clock(60);
    let ahead = counter.open(Purpose::Look).unwrap().trust.body().clone();
    let next = |change: &dyn Fn(&mut TrustBody)| {
        let mut body = TrustBody { version: 3, made_at: later(60).to_record_text(), ..ahead.clone() };
        body.clock_anew = Some(body.made_at.clone());
        change(&mut body);
        counter.sign_trust(OWNER, &body, TRUST)
    };
    let wren = |body: &TrustBody| body.people.iter().position(|person| person.name == "Wren Castellane").unwrap();
    // Whoever writes the version by hand may not leave the end out, nor as a plan where it was put.
    let left_out = next(&|body| {
        let wren = wren(body);
        body.people[wren].keys[0].retired = None;
    });
    assert_eq!(refused(left_out), ["trust-unsound"]);
    let revoked = next(&|body| {
        let wren = wren(body);
        let key = &mut body.people[wren].keys[0];
        key.retired.as_mut().unwrap().at = later(2 * YEAR).to_record_text();
    });
    assert_eq!(refused(revoked), ["trust-unsound"]);
    assert_eq!(counter.open(Purpose::Look).unwrap().trust.version(), 2);
}

/// The law: before an owner signs by a clock that has gone on much further than anybody expects, that is said, and consent
/// given beforehand is none to it.
#[test]
fn an_owner_is_asked_before_signing_by_a_clock_far_ahead() {
    let counter = shop(&[OWNER]);
    let (out, desk) = (Path::new(TRUST), counter.desk());
    let draft = || desk.draft_next(desk.next_trust(out).unwrap(), &renew(false), out).unwrap();
    for (seconds, is_far) in [(60, false), (DAY, false), (7 * DAY, false), (7 * DAY + 1, true), (YEAR, true)] {
        counter.clock(seconds);
        let draft = draft();
        let leap = draft.proposal().before.as_ref().unwrap().leap;
        assert_eq!(leap, is_far.then(|| ClockLeap { at: later(seconds), last: later(0) }), "{seconds}");
        let before = (counter.get(TRUST), counter.memory());
        let signed = with_hand((OWNER, Role::Owner), |hand| draft.sign(&desk, hand, &Consent::Given));
        match signed {
            Err(Refusal::Unfit(Unfit::Draft(DraftFault::ClockFarAhead { .. }))) => assert!(is_far, "{seconds}"),
            other => assert!(!is_far && other.is_ok(), "{seconds}: {other:?}"),
        }
        counter.put(TRUST, before.0.unwrap());
        counter.remember(before.1);
    }
    // What the account has seen meanwhile counts as well.
    counter.clock(5 * DAY);
    counter.open(Purpose::Look).unwrap();
    counter.clock(8 * DAY);
    assert_eq!(draft().proposal().before.as_ref().unwrap().leap, None);
    // Whoever has looked at the day signs.
    counter.clock(YEAR);
    let consent = Consent::Written("2".to_owned());
    with_hand((OWNER, Role::Owner), |hand| draft().sign(&desk, hand, &consent)).unwrap();
    assert_eq!(counter.verify(|_| {}).unwrap().answer, Answer::Old);
}

/// An approval from the wrong year begins when its officer signed that it does: the owner is told, and the one before stays.
#[test]
fn an_approval_of_the_wrong_year_is_told() {
    let counter = shop(&[OWNER]);
    counter.clock(YEAR);
    let order = fillward::desk::ApprovalOrder { pack: None, required: false, from: None, trust: TRUST.into() };
    let desk = counter.desk();
    let approval = desk.draft_approval(order).unwrap();
    with_hand((MAIRE, Role::SafetyOfficer), |hand| approval.sign(&desk, hand, &Consent::Given)).unwrap();
    let waits = desk.draft_that_waits(Path::new(TRUST)).unwrap();
    with_hand((OWNER, Role::Owner), |hand| waits.sign(&desk, hand, &Consent::Written("2".to_owned()))).unwrap();
    counter.clock(60);
    let notes = does(&counter, &[OWNER], &renew(true)).unwrap();
    let is_told = |note: &TrustNote| matches!(note, TrustNote::WasAhead { packs, .. } if packs.len() == 1);
    assert!(notes.iter().any(is_told), "{notes:?}");
    assert_eq!(bars(&counter), [""; 0]);
}
