//! Permitting: by whom the rule lets, for somebody else, for what is broken, beforehand, and not for longer than allowed.

use fillward::checklist::trust::Revocation;
use fillward::desk::{By, Consent, NoNeed, PermitOrder, Refusal, Unfit};
use fillward::vocabulary::{HoldPoint, Role};

use crate::shop::counter::{FILE, MALLORY, RECORD, accepted, refused, said, with_hand};
use crate::shop::world::World;
use crate::shop::{MAIRE, ODILE, Shop, WREN, YARD, before_air, later, passing};

const BY_MAIRE: (u8, Role) = (MAIRE, Role::SafetyOfficer);
const RULE: &str = "solvent-excess";
const PERMIT: &str = "permit.json";

/// A shop whose job passes but for too much solvent in the bay.
fn too_much() -> Shop<World> {
    let counter = Shop::new().at_desk();
    counter.put(RECORD, passing().replacen("solvent_on_hand: 2 gal", "solvent_on_hand: 12 gal", 1));
    counter
}

/// Wren Castellane asks, and signs that.
fn asker() -> By {
    By::Asker { name: "Wren Castellane".to_owned() }
}

/// Permits what is asked for, and takes the permit away again.
fn asked(counter: &Shop<World>, by: (u8, Role), change: impl FnOnce(&mut PermitOrder)) -> Result<(), Refusal> {
    let mut order = counter.permit_order(RULE);
    change(&mut order);
    let permitted = counter.permit(by, &order).map(|_| ());
    assert_eq!(counter.has(PERMIT), permitted.is_ok());
    counter.drop(PERMIT);
    permitted
}

fn sign_with(counter: &Shop<World>, permits: &[&str]) -> Result<fillward::desk::Signed, Refusal> {
    counter.sign(|order| order.permits = permits.iter().map(|name| counter.source(name)).collect())
}

#[test]
fn a_permitted_fault_stays_broken_and_lets_the_job_pass() {
    let counter = too_much();
    assert!(matches!(counter.sign(|_| {}), Err(Refusal::Held)));
    let permitted = counter.permit(BY_MAIRE, &counter.permit_order(RULE)).unwrap();
    assert_eq!((permitted.code.as_str(), permitted.body.job.as_str()), ("tyre-fill/solvent-excess", "HT-0311"));
    let mut order = counter.order();
    order.permits = vec![counter.source(PERMIT)];
    let draft = counter.draft(order).unwrap();
    let [line] = draft.proposal().permits.as_slice() else { panic!() };
    assert_eq!(
        (line.by.as_ref().and_then(|by| by.person.as_deref()), &line.body),
        (Some("Maire Lindqvist"), &permitted.body)
    );
    let fault = &draft.proposal().body.findings.each_fault()[0];
    assert!(fault.permitted && !fault.advice && draft.proposal().held() == 0);
    assert!(sign_with(&counter, &[PERMIT]).unwrap().report.may_start());
    // It is given once, and serves no other job and no other fault.
    counter.drop(FILE);
    counter.put("copy.json", counter.get(PERMIT).unwrap());
    assert!(refused(sign_with(&counter, &[PERMIT, "copy.json"]))[0].starts_with("PermitTwice"));
    for (other, due) in [
        (
            passing()
                .replacen("solvent_on_hand: 2 gal", "solvent_on_hand: 12 gal", 1)
                .replacen("HT-0311", "HT-0999", 1),
            "permit-other",
        ),
        (passing().replacen("ventilated: true", "ventilated: false", 1), "permit-not-needed"),
    ] {
        counter.put(RECORD, other);
        assert_eq!(refused(sign_with(&counter, &[PERMIT])), [due]);
    }
    assert!(!counter.has(FILE));
}

/// Job numbers and marks repeat from shop to shop, and a fault may be there at several hold points.
#[test]
fn a_permit_serves_one_shop_and_one_hold_point() {
    let counter = too_much();
    counter.permit(BY_MAIRE, &counter.permit_order(RULE)).unwrap();
    let on_record = String::from_utf8(counter.get(RECORD).unwrap()).unwrap();
    counter.put(RECORD, before_air(&on_record));
    let at_air = counter.sign(|order| {
        order.passage.point = HoldPoint::BeforeAir;
        order.permits = vec![counter.source(PERMIT)];
    });
    assert_eq!(refused(at_air), ["permit-other"]);
    counter.put(RECORD, on_record);
    // A later version of the shop's own trust file is of the same shop.
    counter.trust(|_| {});
    assert!(sign_with(&counter, &[PERMIT]).unwrap().report.may_start());
    counter.drop(FILE);
    // The same people in another shop, on an account that does not know the first one; and another owner under the same name
    // of the shop.
    counter.remember(Some(accepted()));
    counter.trust(|body| body.shop = "Blyth tyres".to_owned());
    assert_eq!(refused(sign_with(&counter, &[PERMIT])), ["permit-other"]);
    let permit = fillward::checklist::permit::Permit::read("permit", &counter.get(PERMIT).unwrap()).unwrap();
    let mut body = counter.trust_body();
    body.people[3].keys = vec![crate::shop::entry(crate::shop::SECOND)];
    let other = fillward::checklist::trust::Trust::of(body).unwrap();
    let reasons = permit.check(&other, None, later(0));
    assert_eq!(reasons.iter().map(|reason| reason.code().word()).collect::<Vec<_>>(), ["checklist/permit-other"]);
}

/// Asked for by one person, who signs that, and given by another, who signs it as well: then it is a permit, and not before.
#[test]
fn a_permit_is_asked_for_by_one_and_given_by_another() {
    let counter = too_much();
    let ask = |by: (u8, Role)| {
        counter.drop(PERMIT);
        counter.permit(by, &PermitOrder { by: asker(), ..counter.permit_order(RULE) })
    };
    // Nobody asks in a role that is not theirs, with a key that the trust file does not know, or in another's name.
    assert_eq!(refused(ask((WREN, Role::SafetyOfficer))), ["wrong-role"]);
    assert_eq!(refused(ask((MALLORY, Role::Supervisor))), ["unknown-key"]);
    assert!(refused(ask((ODILE, Role::Supervisor)))[0].starts_with("OtherAsker"));
    let asked = ask((WREN, Role::Supervisor)).unwrap();
    assert_eq!((asked.body.asked_by.as_str(), asked.given), ("Wren Castellane", false));
    // What is only asked for permits nothing, and nobody gives it to themselves, or without the role that the rule names.
    assert_eq!(refused(sign_with(&counter, &[PERMIT])), ["permit-self"]);
    assert_eq!(refused(counter.give((WREN, Role::Supervisor))), ["permit-self"]);
    assert_eq!(refused(counter.give((ODILE, Role::Supervisor))), ["permit-role"]);
    counter.clock(600);
    let given = counter.give(BY_MAIRE).unwrap();
    assert_eq!((&given.body, given.given), (&asked.body, true));
    assert!(refused(counter.give(BY_MAIRE))[0].starts_with("PermittedAlready"));
    counter.clock(660);
    let mut order = counter.order();
    order.permits = vec![counter.source(PERMIT)];
    let draft = counter.draft(order).unwrap();
    let [line] = draft.proposal().permits.as_slice() else { panic!() };
    assert_eq!(
        (line.by.as_ref().and_then(|by| by.person.as_deref()), line.asker_signed),
        (Some("Maire Lindqvist"), true)
    );
    assert!(sign_with(&counter, &[PERMIT]).unwrap().report.may_start());
    let verified = counter.verify(|_| {}).unwrap();
    assert!(verified.permits[0].asker_signed && verified.report.may_start());
}

/// The clock of whoever asks may be ahead of that of whoever permits, by as much as clocks may differ and no more.
#[test]
fn clocks_of_whoever_asks_and_permits_may_differ() {
    let counter = too_much();
    let ask = |seconds| {
        counter.drop(PERMIT);
        counter.clock(seconds);
        counter.permit((WREN, Role::Supervisor), &PermitOrder { by: asker(), ..counter.permit_order(RULE) }).unwrap();
        // Whoever permits does so on another machine, which has not seen that clock.
        counter.remember(Some(accepted()));
        counter.clock(0);
    };
    ask(301);
    assert_eq!(refused(counter.give(BY_MAIRE)), ["permit-afterwards", "permit-not-in-force"]);
    ask(300);
    counter.give(BY_MAIRE).unwrap();
    assert!(sign_with(&counter, &[PERMIT]).unwrap().report.may_start());
}

/// Whoever gives it sees the record as it is by then: what was changed since it was asked for is not permitted.
#[test]
fn what_was_changed_since_it_was_asked_for_is_not_given() {
    let counter = too_much();
    counter.permit((WREN, Role::Supervisor), &PermitOrder { by: asker(), ..counter.permit_order(RULE) }).unwrap();
    let asked = (counter.get(RECORD).unwrap(), counter.get(PERMIT).unwrap());
    let record = String::from_utf8(asked.0.clone()).unwrap();
    for (find, put, code) in [
        ("solvent_on_hand: 12 gal", "solvent_on_hand: 13 gal", "permit-other-evidence"),
        ("pressure: 60 psi", "pressure: 61 psi", "permit-other-fill"),
        ("HT-0311", "HT-0312", "permit-other"),
    ] {
        assert!(record.contains(find), "{find}");
        counter.put(RECORD, record.replacen(find, put, 1));
        assert_eq!(refused(counter.give(BY_MAIRE)), [code], "{put}");
        // Both values are told, that which it was asked for and that which is there now.
        let told = said(counter.give(BY_MAIRE));
        let values = [find, put].map(|value| value.split(": ").last().unwrap());
        assert!(values.iter().all(|value| told.contains(value)), "{values:?}: {told}");
    }
    // What was put right needs no permit.
    counter.put(RECORD, record.replacen("solvent_on_hand: 12 gal", "solvent_on_hand: 2 gal", 1));
    assert!(refused(counter.give(BY_MAIRE))[0].starts_with("NotNeeded"));
    counter.put(RECORD, asked.0);
    // The request itself, changed after it was signed, or past its end.
    let request = String::from_utf8(asked.1.clone()).unwrap();
    counter.put(PERMIT, request.replacen("letter", "lettre", 1));
    assert_eq!(refused(counter.give(BY_MAIRE)), ["changed"]);
    counter.put(PERMIT, asked.1);
    counter.clock(3600);
    assert_eq!(refused(counter.give(BY_MAIRE)), ["permit-not-in-force"]);
    assert!(!counter.has(FILE));
}

/// What no permit may be given for is not asked for either.
#[test]
fn what_the_rule_does_not_allow_is_not_asked_for() {
    let counter = too_much();
    let ask = |change: &dyn Fn(&mut PermitOrder)| {
        let mut order = PermitOrder { by: asker(), ..counter.permit_order(RULE) };
        change(&mut order);
        refused(counter.permit((WREN, Role::Supervisor), &order))
    };
    assert_eq!(ask(&|order| order.until = later(8 * 3600 + 1)), ["permit-too-long"]);
    assert_eq!(ask(&|order| order.until = later(30 * 60)), ["permit-not-in-force"]);
    let short = PermitOrder { by: asker(), until: later(30 * 60), ..counter.permit_order(RULE) };
    let told = said(counter.permit((WREN, Role::Supervisor), &short));
    let due = "the fill is planned for 4 March 2026 10:00 (-06:00), and the permit has ended by then, at 4 March 2026 10:00 (-06:00)";
    assert!(told.contains(due), "{told}");
    assert_eq!(ask(&|order| order.reason = " ".to_owned()), ["NoReason"]);
    counter.put(RECORD, passing().replacen("reading: 75.2 degF", "reading: 68 degF", 1));
    assert_eq!(ask(&|order| order.rule = "cold-material".to_owned()), ["permit-none"]);
    assert!(!counter.has(PERMIT));
}

#[test]
fn nobody_permits_it_to_themselves() {
    let counter = too_much();
    let by = |who: &str| asked(&counter, BY_MAIRE, |order| order.by = By::Permitter { asked_by: who.to_owned() });
    assert_eq!(refused(by("Maire Lindqvist")), ["permit-self"]);
    assert_eq!(refused(by("Nobody Known")), ["unknown-person"]);
    by("Odile Varga").unwrap();
}

#[test]
fn only_the_role_that_the_rule_names_permits() {
    let counter = too_much();
    let by = |seed, role| refused(asked(&counter, (seed, role), |_| {}));
    assert_eq!(by(WREN, Role::Supervisor), ["permit-role"]);
    assert_eq!(by(WREN, Role::SafetyOfficer), ["wrong-role"]);
    assert_eq!(by(ODILE, Role::Supervisor), ["permit-self"]);
    counter.trust(|body| body.people[2].keys[0].until = crate::common::DEMO_AT.to_owned());
    assert_eq!(by(MAIRE, Role::SafetyOfficer), ["key-expired"]);
    counter.trust(|body| body.ends_at = crate::common::DEMO_AT.to_owned());
    assert_eq!(by(MAIRE, Role::SafetyOfficer), ["trust-ended"]);
}

#[test]
fn a_permit_is_never_longer_than_the_rule_allows() {
    let counter = too_much();
    let until = |seconds| asked(&counter, BY_MAIRE, |order| order.until = later(seconds));
    until(8 * 3600).unwrap();
    assert_eq!(refused(until(8 * 3600 + 1)), ["permit-too-long"]);
    // One that ends before the planned start would be of no use.
    assert_eq!(refused(until(30 * 60)), ["permit-not-in-force"]);
    until(30 * 60 + 1).unwrap();
    for past in [0, -60] {
        assert!(refused(until(past))[0].starts_with("UntilPast"));
    }
}

#[test]
fn a_permit_says_why_in_words_that_show() {
    let counter = too_much();
    let because = |reason: &str| asked(&counter, BY_MAIRE, |order| order.reason = reason.to_owned());
    for reason in ["", "  ", "\n"] {
        assert_eq!(refused(because(reason)), ["NoReason"]);
    }
    for reason in ["the letter\u{1b}[2K is on file", "the letter\u{202e}", "the\u{200b} letter"] {
        assert_eq!(refused(because(reason)), ["HiddenReason"]);
    }
    because("the letter is on file,\n\tdrawer three").unwrap();
}

/// What is met cannot be permitted, nor what was never recorded: nobody knows what would be permitted.
#[test]
fn only_what_is_broken_can_be_permitted() {
    let counter = too_much();
    let rule = |rule: &str| refused(asked(&counter, BY_MAIRE, |order| order.rule = rule.to_owned()));
    assert!(rule("solvent-exces")[0].starts_with("NoSuchRule"));
    let not_needed = |record: String, since: NoNeed| {
        counter.put(RECORD, record);
        let refusal = asked(&counter, BY_MAIRE, |order| order.rule = RULE.to_owned()).unwrap_err();
        let Refusal::Unfit(Unfit::NotNeeded { since: found, .. }) = refusal else { panic!("{refusal:?}") };
        assert_eq!(found, since);
    };
    let cold = passing().replacen("reading: 75.2 degF", "reading: 68 degF", 1);
    not_needed(passing(), NoNeed::Passes);
    not_needed(passing().replacen("  solvent_on_hand: 2 gal\n", "", 1), NoNeed::NotShown);
    not_needed(cold, NoNeed::HeldBy(vec!["tyre-fill/cold-material".to_owned()]));
    counter.put(RECORD, passing().replacen("reading: 75.2 degF", "reading: 68 degF", 1));
    assert_eq!(rule("cold-material"), ["permit-none"]);
    counter.put(
        RECORD,
        passing().replacen("solvent_on_hand: 2 gal", "solvent_on_hand: 12 gal", 1).replacen("job: HT-0311\n", "", 1),
    );
    assert_eq!(rule(RULE), ["NoJobNumber"]);
}

#[test]
fn a_rule_broken_twice_needs_a_permit_for_each() {
    let counter = Shop::with(&[YARD]).at_desk();
    counter.put(RECORD, passing());
    let refusal = asked(&counter, BY_MAIRE, |order| order.rule = "no-dry-gas".to_owned()).unwrap_err();
    let Refusal::Unfit(fillward::desk::Unfit::BrokenForSeveral { code, subjects }) = refusal else {
        panic!("{refusal:?}")
    };
    assert_eq!((code.as_str(), subjects.len()), ("yard/no-dry-gas", 2));
    let mut permitted = std::collections::BTreeSet::new();
    for (place, subject) in subjects.iter().enumerate() {
        let mut order = counter.permit_order("no-dry-gas");
        (order.subject, order.out) = (Some(subject.clone()), Some(format!("{place}.json").into()));
        permitted.insert(counter.permit(BY_MAIRE, &order).unwrap().body.subject);
    }
    assert_eq!(permitted.len(), 2, "each names its own subject: {permitted:?}");
    assert!(matches!(sign_with(&counter, &["0.json"]), Err(Refusal::Held)));
    assert!(sign_with(&counter, &["0.json", "1.json"]).unwrap().report.may_start());
}

#[test]
fn a_permit_past_its_end_sets_nothing_aside() {
    let counter = too_much();
    counter.permit(BY_MAIRE, &PermitOrder { until: later(2400), ..counter.permit_order(RULE) }).unwrap();
    counter.clock(2399);
    sign_with(&counter, &[PERMIT]).unwrap();
    counter.drop(FILE);
    counter.clock(2400);
    assert_eq!(refused(sign_with(&counter, &[PERMIT])), ["permit-not-in-force"]);
}

#[test]
fn a_permit_that_was_changed_or_is_something_else_is_refused() {
    let counter = too_much();
    counter.permit(BY_MAIRE, &counter.permit_order(RULE)).unwrap();
    assert_eq!(refused(counter.permit(BY_MAIRE, &counter.permit_order(RULE))), ["Exists"]);
    let good = String::from_utf8(counter.get(PERMIT).unwrap()).unwrap();
    for (find, put, code) in [
        ("the fire warden's letter", "the fire wardens letter", "changed"),
        ("\"solvent-excess\"", "\"cold-material\"", "changed"),
        ("{\n", "{\n\n", "not-exact-form"),
        ("\"reason\"", "\"rule\": \"x\",\n    \"reason\"", "not-exact-form"),
    ] {
        assert!(good.contains(find));
        counter.put(PERMIT, good.replacen(find, put, 1));
        let codes = refused(sign_with(&counter, &[PERMIT]));
        assert!(codes.contains(&code.to_owned()), "{put}: {codes:?}");
    }
    counter.put(PERMIT, counter.get("trust.json").unwrap());
    assert_eq!(refused(sign_with(&counter, &[PERMIT])), ["other-document"]);
    // Made by a safety officer who has left since.
    counter.put(PERMIT, good);
    let left = Revocation { at: "2026-03-04T09:00:00-06:00".to_owned(), why: "left".to_owned() };
    counter.trust(|body| body.people[2].keys[0].revoked = Some(left));
    assert_eq!(refused(sign_with(&counter, &[PERMIT])), ["key-revoked"]);
    assert!(!counter.has(FILE));
}

/// The law: what is signed is byte for byte what was shown, whoever asks or permits, and however long the person looks
/// at it.
#[test]
fn what_is_signed_is_what_was_shown() {
    let counter = too_much();
    let content = |counter: &Shop<World>| {
        let file: serde_json::Value = serde_json::from_slice(&counter.get(PERMIT).unwrap()).unwrap();
        file["permit"].clone()
    };
    for (by, order) in [
        ((WREN, Role::Supervisor), PermitOrder { by: asker(), ..counter.permit_order(RULE) }),
        (BY_MAIRE, counter.permit_order(RULE)),
    ] {
        counter.clock(0);
        let trust = || counter.open(fillward::desk::Purpose::Sign).unwrap().trust;
        let draft = counter.desk().draft_permit(order, trust()).unwrap();
        let shown = serde_json::to_value(draft.body()).unwrap();
        counter.clock(900);
        let desk = counter.desk();
        let signed = with_hand(by, |hand| draft.sign(&desk, hand, &Consent::Given)).unwrap();
        assert_eq!((content(&counter), signed.asked_at), (shown, later(900)));
        counter.drop(PERMIT);
        counter.remember(Some(accepted()));
    }
}

/// What speaks against it without a key is said before anybody is asked for a passphrase.
#[test]
fn what_needs_no_key_is_said_before_one_is_asked_for() {
    let counter = too_much();
    let draft = |change: &dyn Fn(&mut PermitOrder)| {
        let mut order = counter.permit_order(RULE);
        change(&mut order);
        refused(counter.desk().draft_permit(order, counter.open(fillward::desk::Purpose::Sign).unwrap().trust))
    };
    assert_eq!(draft(&|order| order.until = later(8 * 3600 + 1)), ["permit-too-long"]);
    assert_eq!(draft(&|order| order.by = By::Permitter { asked_by: "Nobody Known".to_owned() }), ["unknown-person"]);
    assert_eq!(draft(&|order| order.by = By::Asker { name: "Nobody Known".to_owned() }), ["unknown-person"]);
    counter.put(RECORD, passing().replacen("reading: 75.2 degF", "reading: 68 degF", 1));
    assert_eq!(draft(&|order| order.rule = "cold-material".to_owned()), ["permit-none"]);
}
