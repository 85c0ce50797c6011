//! Verifying at the desk: one word for what a checklist is worth, at the present instant or another.

use fillward::checklist::trust::Revocation;
use fillward::desk::{Answer, Case, NamedBytes, Passage, Purpose, Refusal, Unfit, VerifyOrder};
use fillward::explain::AtFrom;
use fillward::units::Zone;
use fillward::vocabulary::{HoldPoint, Role};

use crate::common;
use crate::shop::counter::{FILE, RECORD};
use crate::shop::world::World;
use crate::shop::{MAIRE, ODILE, Shop, key, later, passing};

fn signed() -> Shop<World> {
    let counter = Shop::new().at_desk();
    counter.sign(|_| {}).unwrap();
    counter
}

/// The answer, and the codes of everything that stands against the file.
fn told(counter: &Shop<World>, change: impl FnOnce(&mut VerifyOrder)) -> (Answer, Vec<String>) {
    let verified = counter.verify(change).unwrap();
    let codes =
        verified.report.reasons().map(|reason| reason.code().word().trim_start_matches("checklist/").to_owned());
    (verified.answer, codes.collect())
}

fn sorted(mut codes: Vec<String>) -> Vec<String> {
    codes.sort();
    codes
}

fn owned(codes: &[&str]) -> Vec<String> {
    codes.iter().map(|code| (*code).to_owned()).collect()
}

#[test]
fn one_word_says_what_a_checklist_is_worth() {
    let counter = signed();
    assert_eq!(told(&counter, |_| {}), (Answer::MayStart, vec![]));
    assert_eq!(told(&counter, |order| order.records.clear()), (Answer::InOrder, owned(&["record-not-given"])));
    counter.put(RECORD, passing() + "# checked\n");
    assert_eq!(told(&counter, |_| {}), (Answer::DoesNotFit, owned(&["record-changed"])));
    counter.put(RECORD, passing());
    let job = |number: &str| told(&counter, |order| order.job = Some(number.to_owned()));
    assert_eq!(job("HT-0311").0, Answer::MayStart);
    assert_eq!(job("HT-0999"), (Answer::DoesNotFit, owned(&["other-job"])));
    // Whoever asks before the pump is not answered by the checklist of another hold point.
    for point in HoldPoint::ALL {
        let due = match point {
            HoldPoint::BeforeFill => (Answer::MayStart, vec![]),
            _ => (Answer::DoesNotFit, owned(&["other-hold-point"])),
        };
        assert_eq!(told(&counter, |order| order.point = Some(point)), due, "{point:?}");
    }
    // Nor by the checklist of another assembly of the job.
    let covering = |marks: &[&str]| told(&counter, |order| order.assemblies = owned(marks));
    assert_eq!(covering(&["loader 4, left front"]), (Answer::MayStart, vec![]));
    for marks in [&["loader 4, right front"][..], &["loader 4, left front", "loader 4, right front"]] {
        assert_eq!(covering(marks), (Answer::DoesNotFit, owned(&["other-assemblies"])), "{marks:?}");
    }
    counter.put(FILE, "");
    assert_eq!(told(&counter, |_| {}), (Answer::Doubtful, owned(&["not-json"])));
}

#[test]
fn another_instant_says_what_was_and_starts_nothing() {
    let counter = signed();
    let at = |seconds| told(&counter, |order| order.at = Some(later(seconds)));
    assert_eq!(at(60), (Answer::CouldHaveStarted { at: later(60) }, owned(&["not-now"])));
    assert_eq!(at(13 * 3600), (Answer::InOrder, owned(&["lapsed", "not-now"])));
    assert_eq!(at(-12 * 3600), (Answer::NotYet, owned(&["not-yet"])));
    // In winter again, when the shop has the same offset as in March.
    let next_winter = 330 * 86_400;
    let (answer, codes) = at(next_winter);
    assert_eq!((answer, sorted(codes)), (Answer::Old, owned(&["key-ended", "lapsed", "not-now", "trust-ended"])));
    // The clock that goes on is no choice of anybody's.
    counter.clock(13 * 3600);
    assert_eq!(told(&counter, |_| {}), (Answer::InOrder, owned(&["lapsed"])));
}

/// Whenever a file is asked for: before it was judged, and before all had signed it, it was not there, which says nothing
/// against it, starts nothing, and could have started nothing. What speaks against the file itself is told all the same.
#[test]
fn before_it_was_there_a_file_says_nothing() {
    let counter = Shop::with(&[&crate::common::local_pack("two-people", "supervisor, safety-officer")]).at_desk();
    counter.sign(|_| {}).unwrap();
    counter.clock(3600);
    counter.countersign((MAIRE, Role::SafetyOfficer)).unwrap();
    let whole = counter.get(FILE).unwrap();
    let at = |seconds| told(&counter, |order| order.at = Some(later(seconds)));
    let not_yet = (Answer::NotYet, owned(&["not-yet"]));
    for seconds in [-400 * 86_400, -12 * 3600, -301, -300, -1, 0, 60, 3000, 3599] {
        assert_eq!(at(seconds), not_yet, "{seconds}");
        let report = counter.verify(|order| order.at = Some(later(seconds))).unwrap().report;
        assert!(report.in_order() && !report.may_start() && !report.could_have_started(), "{seconds}");
        let since = later(if seconds < 0 { 0 } else { 3600 });
        let cure = report.bars.last().unwrap().help().into_owned();
        assert!(cure.contains(&since.to_string()), "{seconds}: {cure}");
    }
    for seconds in [3600, 3660] {
        assert_eq!(at(seconds), (Answer::CouldHaveStarted { at: later(seconds) }, owned(&["not-now"])), "{seconds}");
    }
    // Asked for without a second signature at all, it lacks one whenever it is asked for.
    let file = String::from_utf8(whole.clone()).unwrap();
    let mut value: serde_json::Value = serde_json::from_str(&file).unwrap();
    value["signatures"].as_array_mut().unwrap().pop();
    let lone = fillward::checklist::canonical::file("f", &value).unwrap().0;
    counter.put(FILE, lone);
    assert_eq!(at(60), (Answer::InOrder, owned(&["too-few-signers", "not-now"])));
    assert_eq!(at(-60).0, Answer::NotYet);
    counter.put(FILE, file.replacen("HT-0311", "HT-0312", 1));
    for seconds in [-3600, 60, 3660] {
        assert_eq!(at(seconds).0, Answer::Doubtful, "{seconds}");
    }
    // Where even the present lies before the judgement, a clock is wrong.
    counter.put(FILE, whole);
    counter.clock(-3600);
    let (answer, codes) = at(-7200);
    assert_eq!(answer, Answer::Doubtful);
    assert!(codes.contains(&"judged-ahead".to_owned()), "{codes:?}");
}

/// A key that was given back in the second of its last signature had signed before: the file is in order, and nothing starts
/// by it from then on. From the second before on it is another matter, and so is a key that was stolen.
#[test]
fn what_was_signed_in_the_second_of_giving_a_key_back_stays_in_order() {
    let counter = signed();
    counter.clock(60);
    let ended = |stolen: bool, seconds: i128, until: Option<i128>| {
        counter.remember(Some(crate::shop::counter::accepted()));
        let end = Some(Revocation { at: later(seconds).to_record_text(), why: "left".to_owned() });
        counter.trust(|body| {
            let key = &mut body.people[0].keys[0];
            if let Some(until) = until {
                key.until = later(until).to_record_text();
            }
            if stolen { key.revoked = end } else { key.retired = end }
        });
        let (answer, codes) = told(&counter, |_| {});
        counter.trust(|body| {
            let key = &mut body.people[0].keys[0];
            (key.retired, key.revoked, key.until) = (None, None, "2027-01-01T00:00:00-06:00".to_owned());
        });
        (answer, codes.into_iter().next().unwrap())
    };
    let key_ended = || (Answer::InOrder, "key-ended".to_owned());
    assert_eq!(ended(false, 0, None), key_ended());
    assert_eq!(ended(false, 1, None), key_ended());
    assert_eq!(ended(false, -1, None), (Answer::Doubtful, "key-expired".to_owned()));
    // The planned end is the first second in which it may no longer sign.
    assert_eq!(ended(false, 0, Some(0)), (Answer::Doubtful, "key-expired".to_owned()));
    assert_eq!(ended(true, 0, None), (Answer::Doubtful, "key-revoked".to_owned()));
}

#[test]
fn a_key_revoked_since_starts_nothing() {
    let counter = signed();
    let revoked = |seconds: i128| {
        let at = later(seconds).to_record_text();
        counter.trust(|body| body.people[0].keys[0].revoked = Some(Revocation { at, why: "left".to_owned() }));
        told(&counter, |_| {})
    };
    assert_eq!(revoked(600), (Answer::Doubtful, owned(&["key-revoked-since"])));
    assert_eq!(revoked(1), (Answer::Doubtful, owned(&["key-revoked-since"])));
    // Asked for as of an instant before the theft became known, it is no better.
    let (answer, codes) = told(&counter, |order| order.at = Some(later(60)));
    assert_eq!((answer, sorted(codes)), (Answer::Doubtful, owned(&["key-revoked-since", "not-now"])));
    // From the second of the signature on.
    assert_eq!(revoked(0).1[0], "key-revoked");
    // On another account, since no version takes a revocation back.
    counter.remember(Some(crate::shop::counter::accepted()));
    counter.trust(|body| drop(body.people.remove(0)));
    assert_eq!(told(&counter, |_| {}), (Answer::Doubtful, owned(&["unknown-key", "too-few-signers", "trust-unseen"])));
    counter.trust(|body| body.people[0].roles = vec![Role::Auditor]);
    assert_eq!(told(&counter, |_| {}).1[0], "wrong-role");
}

/// A trust file taken at its word, and one that is none.
#[test]
fn whose_trust_file_it_is_decides_too() {
    let mut counter = signed();
    counter.owners.clear();
    assert_eq!(told(&counter, |_| {}), (Answer::OwnerNotAccepted, owned(&["trust-unpinned"])));
    counter.put("trust.json", counter.get(FILE).unwrap());
    assert!(matches!(counter.verify(|_| {}), Err(Refusal::Trust { .. })));
}

/// Each checklist is held against the record of its job; none is called forged for the record of another.
#[test]
fn records_are_matched_by_job() {
    let counter = signed();
    let other = passing().replacen("job: HT-0311", "job: HT-0312", 1);
    counter.put("other.yaml", &other);
    counter.sign(|order| order.record = counter.source("other.yaml")).unwrap();
    let told = |names: &[&str], file: &str| {
        let verified = counter
            .verify_file(file, |order| order.records = names.iter().map(|name| counter.source(name)).collect())
            .unwrap();
        let codes = verified.report.reasons().map(|reason| reason.code().word().trim_start_matches("checklist/"));
        (verified.answer, codes.map(str::to_owned).collect::<Vec<_>>())
    };
    let second = "other.checklist.json";
    for order in [&[RECORD, "other.yaml"], &["other.yaml", RECORD]] {
        assert_eq!(told(order, FILE), (Answer::MayStart, vec![]));
        assert_eq!(told(order, second), (Answer::MayStart, vec![]));
    }
    let not_given = (Answer::InOrder, owned(&["record-not-given"]));
    assert_eq!(told(&[RECORD], second), not_given);
    assert_eq!(told(&["other.yaml"], FILE), not_given);
    // Of its job and changed; a lone record that cannot be read is taken for the one that was meant.
    counter.put("changed.yaml", other + "# checked\n");
    let changed = (Answer::DoesNotFit, owned(&["record-changed"]));
    assert_eq!(told(&[RECORD, "changed.yaml"], second), changed);
    // An old one beside it does not hide that the present one was changed, in whatever order they are given.
    for names in [["changed.yaml", "other.yaml"], ["other.yaml", "changed.yaml"]] {
        assert_eq!(told(&names, second), (Answer::InOrder, owned(&["record-twice"])));
    }
    counter.put("copy.yaml", counter.get("other.yaml").unwrap());
    assert_eq!(told(&["copy.yaml", "other.yaml"], second), (Answer::MayStart, vec![]));
    counter.put("broken.yaml", "job: [");
    assert_eq!(told(&["broken.yaml"], FILE), changed);
    let unmatched = (Answer::InOrder, owned(&["record-unmatched"]));
    assert_eq!(told(&["broken.yaml", "other.yaml"], FILE), unmatched);
}

/// What does not fit is not signed by a second person either.
#[test]
fn nobody_signs_what_does_not_fit_the_record() {
    let counter = signed();
    counter.put(RECORD, passing() + "# checked\n");
    let refused = crate::shop::counter::refused(counter.countersign((crate::shop::WREN, Role::Supervisor)));
    assert_eq!(refused, ["record-changed"]);
}

/// A checklist outlives keys and trust file: what was in order then stays so, and nobody is told to do the job again.
#[test]
fn an_old_checklist_stays_in_order_whatever_has_ended_since() {
    const YEAR: i128 = 365 * 86_400;
    let counter = signed();
    for (after, due) in
        [(13 * 3600, Answer::InOrder), (3 * 86_400, Answer::Old), (3 * YEAR, Answer::Old), (9 * YEAR, Answer::Old)]
    {
        counter.clock(after);
        let verified = counter.verify(|_| {}).unwrap();
        assert_eq!(verified.answer, due, "{after}: {:?}", verified.report);
        assert!(verified.report.rejudged && !verified.report.may_start());
        for reason in verified.report.reasons() {
            let told = format!("{} {}", reason.help(), reason.code().page());
            assert!(!told.contains("reading") && !told.contains("again with"), "{told}");
        }
    }
    // What was signed when the trust file had ended already is another matter.
    let counter = signed();
    counter.clock(60);
    counter.trust(|body| body.ends_at = later(0).to_record_text());
    assert_eq!(told(&counter, |_| {}), (Answer::Doubtful, owned(&["trust-ended"])));
    counter.trust(|body| body.ends_at = later(1).to_record_text());
    assert_eq!(told(&counter, |_| {}), (Answer::InOrder, owned(&["trust-ended"])));
    counter.clock(3 * YEAR);
    let (answer, codes) = told(&counter, |_| {});
    assert_eq!(answer, Answer::Old, "{codes:?}");
}

/// The law: what decides what a file is worth is told before what only bars a start, and that time has passed last.
#[test]
fn the_reason_that_decides_is_told_first() {
    let counter = signed();
    counter.put(RECORD, passing() + "# checked\n");
    counter.remember(None);
    counter.clock(3 * 365 * 86_400);
    let (answer, codes) = told(&counter, |order| order.job = Some("HT-0999".to_owned()));
    assert_eq!(answer, Answer::OwnerNotAccepted, "{codes:?}");
    assert_eq!(codes[..3], ["owner-not-accepted", "other-job", "record-changed"], "{codes:?}");
    let last = codes.iter().skip(3).map(String::as_str).collect::<Vec<_>>();
    assert!(last.len() > 2 && last.ends_with(&["lapsed", "trust-ended"]), "{codes:?}");
}

/// The law: in which order packs are given changes neither what is signed nor what it is worth.
#[test]
fn the_order_of_packs_does_not_matter() {
    let north = crate::common::local_pack("county-north", "supervisor");
    let yard = crate::common::local_pack("yard", "supervisor");
    // Amends a pack that its own name comes before.
    let amends = "amends: {pack: county-north, edition: \"1\"}\nrules:";
    let annex = crate::common::local_pack("annex", "supervisor").replacen("rules:", amends, 1);
    let packs = [north.as_str(), yard.as_str(), annex.as_str()];
    let orders = [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]];
    let files: Vec<Vec<u8>> = orders
        .iter()
        .map(|order| {
            let counter = Shop::with(&order.map(|place| packs[place])).at_desk();
            counter.sign(|_| {}).unwrap();
            assert_eq!(told(&counter, |_| {}), (Answer::MayStart, vec![]));
            counter.get(FILE).unwrap()
        })
        .collect();
    let body =
        |file: &Vec<u8>| serde_json::from_slice::<serde_json::Value>(file).unwrap()["checklist"]["findings"].clone();
    assert!(files.iter().all(|file| body(file) == body(&files[0])));
    // What one order signed another verifies.
    for order in orders {
        let mut counter = Shop::with(&packs).at_desk();
        counter.sign(|_| {}).unwrap();
        counter.local = order.map(|place| ("local.yaml".to_owned(), packs[place].to_owned())).to_vec();
        assert_eq!(told(&counter, |_| {}), (Answer::MayStart, vec![]), "{order:?}");
    }
}

/// After a theft, what a key has signed is found by the name of its holder or by the key itself, whatever the file is worth.
#[test]
fn what_a_key_has_signed_is_found_by_name_and_by_key() {
    let counter = signed();
    counter.put("odile.pub.pem", key(ODILE).public().to_pem());
    counter.put("maire.pub.pem", key(MAIRE).public().to_pem());
    let desk = counter.desk();
    let against = desk.against(VerifyOrder::default(), counter.open(Purpose::Look).unwrap().trust).unwrap();
    let verified = counter.verify(|_| {}).unwrap();
    let by = |whose: &str, since| desk.signed_by(whose, since, &against).unwrap().has_signed(&verified);
    for (whose, due) in
        [("Odile Varga", true), ("odile.pub.pem", true), ("Maire Lindqvist", false), ("maire.pub.pem", false)]
    {
        assert_eq!(by(whose, None), due, "{whose}");
    }
    assert!(by("Odile Varga", Some(later(-3600))) && !by("Odile Varga", Some(later(3600))));
    let Err(Refusal::Unfit(Unfit::NobodyCalled { name, people })) = desk.signed_by("Odile Vargas", None, &against)
    else {
        panic!("somebody is found")
    };
    assert!(name == "Odile Vargas" && people.contains(&"Odile Varga".to_owned()), "{people:?}");
}

/// No face judges a record by a shop file of one zone and the days of another.
#[test]
fn a_case_lies_in_the_zone_of_its_shop_file() {
    let named = |path: &str| NamedBytes { name: path.into(), bytes: common::read(path).into_bytes() };
    let shop = fillward::desk::shop(&named("shared/demo/shop.yaml")).unwrap();
    let record = named("shared/demo/short/pass-loader-bias-used.yaml");
    let case = |zone: Zone| {
        let at = (common::demo_at(), AtFrom::Given);
        Case::new(&record, Some(&shop), &[], at, zone, Passage::default()).map(drop)
    };
    case(shop.zone().clone()).unwrap();
    let other = Zone::find("America/Halifax").unwrap();
    let refusal = case(other.clone()).unwrap_err();
    let due = Unfit::ZoneOfAnotherShop { given: other, shop: shop.zone().clone() };
    assert!(matches!(refusal, Refusal::Unfit(unfit) if unfit == due));
}
