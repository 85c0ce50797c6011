//! Signing and countersigning: only what may be signed, by whom it may be, as it was shown, and whole.

use std::path::Path;

use fillward::checklist::trust::{Revocation, TrustBody};
use fillward::desk::world::Trouble;
use fillward::desk::{Consent, Refusal, SignOrder};
use fillward::vocabulary::Role;
use serde_json::Value;

use crate::common;
use crate::shop::counter::{FILE, RECORD, accepted, refused, with_hand};
use crate::shop::world::World;
use crate::shop::{MAIRE, ODILE, OWNER, Shop, WREN, held, later, passing};

const BY_ODILE: (u8, Role) = (ODILE, Role::Supervisor);
const BY_WREN: (u8, Role) = (WREN, Role::Supervisor);
const BY_MAIRE: (u8, Role) = (MAIRE, Role::SafetyOfficer);

fn file(counter: &Shop<World>) -> Value {
    serde_json::from_slice(&counter.get(FILE).unwrap()).unwrap()
}

#[test]
fn a_pass_is_signed_kept_and_read_back() {
    let counter = Shop::new().at_desk();
    let draft = counter.draft(counter.order()).unwrap();
    let proposal = draft.proposal();
    assert_eq!((proposal.body.verdict.word(), proposal.held(), proposal.earlier.len()), ("PASS", 0, 0));
    assert!(!counter.has(FILE), "a draft is not kept");
    counter.clock(120);
    let signed = with_hand(BY_ODILE, |hand| draft.sign(&counter.desk(), hand, &Consent::Given)).unwrap();
    assert!(signed.report.may_start() && signed.report.rejudged);
    assert_eq!(signed.name.to_str(), Some(FILE));
    let text = passing();
    assert_eq!(file(&counter)["checklist"]["inputs"]["record"]["text"], text.as_str());
    // Signed when it was signed, and judged when it was judged.
    assert_eq!(signed.report.signatures[0].at, Some(later(120)));
    assert_eq!(file(&counter)["checklist"]["judged_at"], common::DEMO_AT);
}

#[test]
fn a_hold_is_signed_when_it_is_asked_for_and_starts_nothing() {
    let counter = Shop::new().at_desk();
    counter.put(RECORD, held());
    assert!(matches!(counter.sign(|_| {}), Err(Refusal::Held)));
    assert!(!counter.has(FILE));
    let signed = counter.sign(|order| order.hold = true).unwrap();
    assert_eq!(signed.report.reasons().map(|reason| reason.code().word()).collect::<Vec<_>>(), ["checklist/hold"]);
    // Readings that have grown old hold too.
    counter.put(RECORD, passing());
    counter.clock(24 * 3600);
    assert!(matches!(counter.sign(|order| order.out = Some("late.checklist.json".into())), Err(Refusal::Held)));
}

#[test]
fn a_rehearsal_starts_nothing() {
    let counter = Shop::new().at_desk();
    counter.clock(24 * 3600);
    let signed = counter.sign(|order| order.at = Some(later(0))).unwrap();
    assert!(!signed.report.may_start());
    assert_eq!(file(&counter)["checklist"]["rehearsal"], true);
    // One at the present instant is one all the same.
    counter.clock(0);
    counter.remember(Some(accepted()));
    counter.put(RECORD, passing());
    let now =
        counter.sign(|order| (order.at, order.out) = (Some(later(0)), Some("now.checklist.json".into()))).unwrap();
    assert!(!now.report.may_start());
}

#[test]
fn what_was_shown_is_what_is_signed() {
    let counter = Shop::new().at_desk();
    let sign = |consent: &Consent, meanwhile: &dyn Fn()| {
        let draft = counter.draft(counter.order()).unwrap();
        draft.ready(&counter.desk()).unwrap();
        meanwhile();
        with_hand(BY_ODILE, |hand| draft.sign(&counter.desk(), hand, consent))
    };
    let number = |text: &str| Consent::Written(text.to_owned());
    assert_eq!(refused(sign(&number("HT-0310"), &|| {})), ["NotConfirmed"]);
    assert_eq!(refused(sign(&number(""), &|| {})), ["NotConfirmed"]);
    // Edited, and taken away, while the question waited.
    assert_eq!(refused(sign(&Consent::Given, &|| counter.put(RECORD, passing() + "# edited\n"))), ["Changed"]);
    counter.put(RECORD, passing());
    assert!(refused(sign(&Consent::Given, &|| counter.drop(RECORD)))[0].starts_with("Missing"));
    counter.put(RECORD, passing());
    // The end of validity passes while the question waits.
    assert_eq!(refused(sign(&Consent::Given, &|| counter.clock(13 * 3600))), ["signed-too-late"]);
    counter.clock(0);
    // Somebody else takes the place.
    assert_eq!(refused(sign(&Consent::Given, &|| counter.put(FILE, "theirs"))), ["Exists"]);
    assert_eq!(counter.get(FILE).unwrap(), b"theirs");
    counter.drop(FILE);
    assert!(sign(&number(" HT-0311\n"), &|| {}).unwrap().report.may_start());
}

/// Once the file is in its place, nobody may be told that nothing was signed.
#[test]
fn what_goes_wrong_after_signing_is_told_as_that() {
    let counter = Shop::new().at_desk();
    let told = |what: Trouble| {
        counter.drop(FILE);
        counter.trouble(FILE, what);
        let codes = refused(counter.sign(|_| {}));
        (codes[0] == "after signing", counter.has(FILE))
    };
    let why = || "so the system says".to_owned();
    assert_eq!(told(Trouble::Unwritable { why: why() }), (false, false));
    assert_eq!(told(Trouble::Busy), (false, false));
    assert_eq!(told(Trouble::NotKept { why: why() }), (true, true));
    assert_eq!(told(Trouble::NotAsWritten), (true, true));
}

#[test]
fn a_pack_that_nobody_approved_signs_nothing() {
    let counter = Shop::new().at_desk();
    let signed = |change: &dyn Fn(&mut TrustBody)| {
        counter.trust(|body| change(body));
        refused(counter.sign(|_| {}))
    };
    assert_eq!(signed(&|body| body.packs.clear()), ["pack-not-approved"]);
    // Edited after it was approved: the name is the same, the digest is not.
    assert_eq!(signed(&|body| body.packs[0].sha256 = "0".repeat(64)), ["pack-not-approved"]);
    assert_eq!(signed(&|body| body.packs[0].edition = "1999".to_owned()), ["pack-not-approved"]);
    assert!(!counter.has(FILE));
}

#[test]
fn a_key_signs_in_its_time_and_role_only() {
    let counter = Shop::new().at_desk();
    let refused_by = |by: (u8, Role), change: &dyn Fn(&mut TrustBody)| {
        // Each on an account of its own: no version lets a key begin earlier than one before, or takes an end back.
        counter.remember(Some(accepted()));
        counter.trust(|body| change(body));
        let codes = refused(counter.sign_by(by, |_| {}));
        assert!(!counter.has(FILE));
        codes
    };
    let key = |body: &mut TrustBody, from: &str, until: &str| {
        (body.people[0].keys[0].from, body.people[0].keys[0].until) = (from.to_owned(), until.to_owned());
    };
    let (early, late) = ("2026-03-01T00:00:00-06:00", "2026-04-01T00:00:00-06:00");
    let revoked = |at: &str| Some(Revocation { at: at.to_owned(), why: "the laptop was stolen".to_owned() });
    assert_eq!(refused_by(BY_ODILE, &|body| key(body, "2026-03-04T09:30:01-06:00", late)), ["key-not-yet-valid"]);
    assert_eq!(refused_by(BY_ODILE, &|body| key(body, early, common::DEMO_AT)), ["key-expired"]);
    assert_eq!(refused_by(BY_ODILE, &|body| body.people[0].keys[0].revoked = revoked(early)), ["key-revoked"]);
    assert_eq!(refused_by((ODILE, Role::SafetyOfficer), &|_| {}), ["wrong-role"]);
    assert_eq!(refused_by(BY_ODILE, &|body| body.people[0].roles = vec![Role::Auditor]), ["wrong-role"]);
    assert_eq!(refused_by(BY_ODILE, &|body| drop(body.people.remove(0))), ["unknown-key"]);
    for seed in [MAIRE, OWNER] {
        assert_eq!(refused_by((seed, Role::Supervisor), &|_| {}), ["wrong-role"]);
    }
    assert_eq!(refused_by(BY_ODILE, &|body| body.ends_at = common::DEMO_AT.to_owned()), ["trust-ended"]);
    // To the second, at both ends.
    counter.trust(|body| key(body, common::DEMO_AT, "2026-03-04T09:30:01-06:00"));
    counter.sign(|_| {}).unwrap();
}

/// A safety officer may sign as one, but the pack asks for a supervisor.
#[test]
fn a_signature_in_another_role_starts_nothing() {
    let counter = Shop::new().at_desk();
    let signed = counter.sign_by(BY_MAIRE, |_| {}).unwrap();
    assert_eq!(
        signed.report.reasons().map(|reason| reason.code().word()).collect::<Vec<_>>(),
        ["checklist/too-few-signers"]
    );
}

#[test]
fn a_record_that_cannot_stand_in_a_signed_file_is_not_signed() {
    let counter = Shop::new().at_desk();
    let sign = |find: &str, put: &str| {
        assert!(passing().contains(find));
        counter.put(RECORD, passing().replacen(find, put, 1));
        let outcome = counter.sign(|order| order.hold = true);
        assert!(!counter.has(FILE));
        outcome
    };
    assert_eq!(refused(sign("job: HT-0311\n", "")), ["no-job-number"]);
    for odd in ["east\u{200b} bay", "east\u{202e} bay", "east\u{180e} bay", "e\u{301}ast bay"] {
        sign("east bay", odd).unwrap_err();
    }
    for (find, put) in [("site: ", "sight: "), ("HT-0311", "HT-\u{200d}0311")] {
        assert!(matches!(sign(find, put), Err(Refusal::Invalid(_))), "{put}");
    }
}

/// A shop with a pack in force that asks for two signatures, and the job signed by Odile Varga.
fn signed_once(signed_by: &str) -> Shop<World> {
    let counter = Shop::with(&[&common::local_pack("two-people", signed_by)]).at_desk();
    let signed = counter.sign(|_| {}).unwrap();
    assert!(!signed.report.may_start());
    counter.clock(60);
    counter
}

#[test]
fn nobody_is_counted_twice() {
    let counter = signed_once("supervisor, supervisor");
    let before = counter.get(FILE);
    assert_eq!(refused(counter.countersign(BY_ODILE)), ["signed-twice"]);
    assert_eq!(counter.get(FILE), before);
    assert!(counter.countersign(BY_WREN).unwrap().report.may_start());
}

#[test]
fn each_required_role_is_asked_for() {
    let counter = signed_once("supervisor, safety-officer");
    assert_eq!(refused(counter.countersign((WREN, Role::SafetyOfficer))), ["wrong-role"]);
    assert!(!counter.countersign(BY_WREN).unwrap().report.may_start());
    assert!(counter.countersign(BY_MAIRE).unwrap().report.may_start());
}

/// One person with two keys and two roles is one person.
#[test]
fn a_second_key_of_the_same_person_counts_for_nothing() {
    let counter = signed_once("supervisor, safety-officer");
    counter.trust(|body| {
        body.version = 4;
        let keys = std::mem::take(&mut body.people[2].keys);
        body.people[0].roles.push(Role::SafetyOfficer);
        body.people[0].keys.extend(keys);
        body.packs.iter_mut().for_each(|pack| pack.approved_by = "Odile Varga".to_owned());
    });
    assert!(refused(counter.countersign(BY_MAIRE)).contains(&"signed-twice".to_owned()));
}

/// Everything that speaks against a file speaks against signing it.
#[test]
fn nobody_countersigns_what_is_not_in_order() {
    let counter = signed_once("supervisor, supervisor");
    let good = counter.get(FILE).unwrap();
    let text = String::from_utf8(good.clone()).unwrap();
    let countersigned = |file: &str| {
        counter.put(FILE, file);
        let codes = refused(counter.countersign(BY_WREN));
        assert_eq!(counter.get(FILE).unwrap(), file.as_bytes());
        codes
    };
    assert!(countersigned(&text.replacen("60 psi", "61 psi", 1)).contains(&"changed".to_owned()));
    assert_eq!(countersigned(&text.replacen('\n', " \n", 1)), ["not-exact-form"]);
    counter.put(FILE, &good);
    // The record as it stands now.
    counter.put(RECORD, passing() + "# checked\n");
    assert_eq!(refused(counter.countersign(BY_WREN)), ["record-changed"]);
    counter.put(RECORD, passing());
    // The key that is to sign, and the one that has signed.
    counter.trust(|body| body.people[1].keys[0].until = common::DEMO_AT.to_owned());
    assert_eq!(refused(counter.countersign(BY_WREN)), ["key-expired"]);
    let stolen = Revocation { at: "2026-03-04T09:00:00-06:00".to_owned(), why: "stolen".to_owned() };
    counter.trust(|body| body.people[0].keys[0].revoked = Some(stolen));
    assert!(refused(counter.countersign(BY_WREN)).contains(&"key-revoked".to_owned()));
    assert_eq!(counter.get(FILE).unwrap(), good);
}

/// The demand for two stands in the signed body, and a required pack cannot be left away.
#[test]
fn the_second_signature_cannot_be_taken_away_again() {
    let mut counter = signed_once("supervisor, supervisor");
    counter.countersign(BY_WREN).unwrap();
    let mut value = file(&counter);
    value["signatures"].as_array_mut().unwrap().pop();
    counter.put(FILE, serde_json::to_string_pretty(&value).unwrap() + "\n");
    let told = |counter: &Shop<World>| {
        let verified = counter.verify(|order| order.rejudge = false).unwrap();
        verified.report.reasons().map(|reason| reason.code().word().to_owned()).collect::<Vec<_>>()
    };
    assert_eq!(told(&counter), ["checklist/too-few-signers"]);
    counter.local.clear();
    assert_eq!(told(&counter), ["checklist/too-few-signers", "checklist/not-rejudged"]);
    assert_eq!(refused(counter.countersign(BY_WREN)), ["other-packs"]);
    assert_eq!(refused(counter.sign(|order| order.out = Some("one.checklist.json".into()))), ["pack-left-out"]);
}

/// Of two who countersign at once, one is told that the file is another by now, and no signature is lost.
#[test]
fn of_two_signers_at_once_one_starts_again() {
    let counter = signed_once("supervisor, supervisor");
    let trouble = |what| {
        counter.trouble(FILE, what);
        refused(counter.countersign(BY_WREN))
    };
    assert_eq!(trouble(Trouble::Changed), ["Changed"]);
    assert_eq!(trouble(Trouble::Busy), ["Busy"]);
    assert!(counter.countersign(BY_WREN).unwrap().report.may_start());
}

/// The file of a hold is not in the way of the pass that comes once it is cleared, nor of another hold.
#[test]
fn a_hold_that_was_signed_is_not_in_the_way() {
    let counter = Shop::new().at_desk();
    let hold = |order: &mut SignOrder| order.hold = true;
    counter.put(RECORD, passing().replacen("reading: 75.2 degF", "reading: 68 degF", 1));
    assert_eq!(counter.sign(hold).unwrap().name, Path::new("job.hold.checklist.json"));
    assert_eq!(counter.sign(hold).unwrap().name, Path::new("job.hold-2.checklist.json"));
    counter.put(RECORD, passing());
    // A hold and a pass of one instant have no order, and nothing starts by either.
    counter.clock(60);
    let signed = counter.sign(|_| {}).unwrap();
    assert_eq!(signed.name, Path::new(FILE));
    assert!(signed.report.may_start());
    // A pass is never written over, and where a place is named it is that one.
    assert_eq!(refused(counter.sign(|_| {})), ["Exists"]);
    assert_eq!(refused(counter.sign(|order| order.out = Some("job.hold.checklist.json".into()))), ["Exists"]);
}
