//! Several checklists of one job, hold point and assembly: only the last one counts, and whoever signs is told.

use fillward::desk::{Answer, Verified};
use fillward::vocabulary::HoldPoint;

use crate::shop::counter::{FILE, RECORD};
use crate::shop::world::World;
use crate::shop::{Shop, before_air, passing};

/// The files as they are verified together, each with its own record beside it.
fn together(counter: &Shop<World>, files: &[(&str, &str)]) -> (Vec<Verified>, usize) {
    let found = counter.answers(files);
    let count = found.several.iter().map(|several| several.files.len()).sum();
    let verified = found.files.into_iter().map(|(_, verified)| verified.unwrap()).collect();
    (verified, count)
}

/// Signs a HOLD, into a file of its own.
fn sign_held(counter: &Shop<World>) {
    counter
        .sign(|order| {
            order.hold = true;
            order.out = Some("hold.checklist.json".into());
        })
        .unwrap();
}

fn codes(verified: &Verified) -> Vec<&'static str> {
    verified.report.reasons().map(|reason| reason.code().word()).collect()
}

#[test]
fn only_the_last_of_several_starts_a_fill() {
    let counter = Shop::new().at_desk();
    let other = passing().replacen("pressure: 60 psi", "pressure: 62 psi", 1);
    counter.sign(|_| {}).unwrap();
    counter.clock(60);
    counter.put(RECORD, &other);
    counter.sign(|order| order.out = Some("other.checklist.json".into())).unwrap();
    let first = passing();
    let (verified, count) = together(&counter, &[(FILE, &first), ("other.checklist.json", &other)]);
    assert_eq!((verified[0].answer, codes(&verified[0])), (Answer::InOrder, vec!["checklist/later-checklist"]));
    assert_eq!((verified[1].answer, count), (Answer::MayStart, 2));
    // In whichever order they are given.
    let (verified, _) = together(&counter, &[("other.checklist.json", &other), (FILE, &first)]);
    assert_eq!([verified[0].answer, verified[1].answer], [Answer::MayStart, Answer::InOrder]);
    assert!(verified[1].aims.each.is_empty());
    // Nor where the later one lies beside it and is not given.
    let (verified, count) = together(&counter, &[(FILE, &first)]);
    assert_eq!(
        (verified[0].answer, codes(&verified[0]), count),
        (Answer::InOrder, vec!["checklist/later-checklist"], 0)
    );
    // A copy says nothing else.
    let later = counter.get("other.checklist.json").unwrap();
    counter.drop("other.checklist.json");
    counter.put("copy.checklist.json", counter.get(FILE).unwrap());
    let (verified, count) = together(&counter, &[(FILE, &first), ("copy.checklist.json", &first)]);
    assert_eq!(([verified[0].answer, verified[1].answer], count), ([Answer::MayStart; 2], 0));
    // A later HOLD bars the PASS before it.
    counter.clock(120);
    let held = passing().replacen("faults: []", "faults: [crack]", 1);
    counter.put(RECORD, &held);
    sign_held(&counter);
    let (verified, _) = together(&counter, &[(FILE, &first), ("hold.checklist.json", &held)]);
    assert_eq!([verified[0].answer, verified[1].answer], [Answer::InOrder; 2]);
    // What is not to be relied on bars nothing.
    counter.drop("hold.checklist.json");
    let text = String::from_utf8(later).unwrap();
    counter.put("other.checklist.json", text.replacen("62 psi", "63 psi", 1));
    let (verified, count) = together(&counter, &[(FILE, &first), ("other.checklist.json", &other)]);
    assert_eq!(([verified[0].answer, verified[1].answer], count), ([Answer::MayStart, Answer::Doubtful], 0));
}

/// The law: no stop between the words of a mark makes another tyre of it; other words do.
#[test]
fn a_later_hold_bars_whatever_stands_between_the_words_of_the_mark() {
    for (mark, is_one) in [
        ("loader 4 - left front", true),
        ("loader 4 left front", true),
        ("Loader 4: left, front", true),
        ("loader 4/left front", true),
        ("loader 4, right front", false),
        ("loader 41 eft front", false),
    ] {
        let counter = Shop::new().at_desk();
        counter.sign(|_| {}).unwrap();
        counter.clock(60);
        let own = "mark: loader 4, left front";
        assert!(passing().contains(own));
        let held =
            passing().replacen("faults: []", "faults: [crack]", 1).replacen(own, &format!("mark: \"{mark}\""), 1);
        counter.put(RECORD, &held);
        sign_held(&counter);
        let (verified, _) = together(&counter, &[(FILE, &passing()), ("hold.checklist.json", &held)]);
        let due = if is_one { Answer::InOrder } else { Answer::MayStart };
        assert_eq!(verified[0].answer, due, "{mark}");
    }
}

#[test]
fn of_one_instant_neither_starts_anything() {
    let counter = Shop::new().at_desk();
    let other = passing().replacen("pressure: 60 psi", "pressure: 62 psi", 1);
    counter.sign(|_| {}).unwrap();
    counter.put(RECORD, &other);
    counter.sign(|order| order.out = Some("other.checklist.json".into())).unwrap();
    let (verified, _) = together(&counter, &[(FILE, &passing()), ("other.checklist.json", &other)]);
    assert_eq!([verified[0].answer, verified[1].answer], [Answer::InOrder; 2]);
}

/// The law: a copy is no further checklist; of two of one time it is said that neither counts.
#[test]
fn copies_are_not_listed_and_a_tie_is_told() {
    let counter = Shop::new().at_desk();
    let other = passing().replacen("pressure: 60 psi", "pressure: 62 psi", 1);
    counter.sign(|_| {}).unwrap();
    counter.put("copy.checklist.json", counter.get(FILE).unwrap());
    for (later, tied) in [(0, true), (60, false)] {
        counter.clock(later);
        counter.put(RECORD, &other);
        counter.drop("other.checklist.json");
        counter.sign(|order| order.out = Some("other.checklist.json".into())).unwrap();
        let first = passing();
        let found =
            counter.answers(&[(FILE, &first), ("copy.checklist.json", &first), ("other.checklist.json", &other)]);
        let [several] = &found.several[..] else { panic!("{:?}", found.several) };
        assert_eq!((several.files.len(), several.is_tied()), (2, tied), "{several:?}");
        let said = |place: usize| {
            let verified: &Verified = found.files[place].1.as_ref().unwrap();
            verified.report.bars.iter().map(ToString::to_string).collect::<String>()
        };
        let due = if tied { "of two of one time neither counts" } else { "only the last one counts" };
        assert!(said(0).contains(due) && said(1).contains(due), "{}", said(0));
        assert_eq!(said(2).contains(due), tied, "{}", said(2));
    }
}

#[test]
fn hold_points_and_other_jobs_are_no_rivals() {
    let counter = Shop::new().at_desk();
    counter.sign(|_| {}).unwrap();
    counter.clock(60);
    let air = |order: &mut fillward::desk::SignOrder| {
        order.passage.point = HoldPoint::BeforeAir;
        order.out = Some("air.checklist.json".into());
    };
    counter.put(RECORD, before_air(&passing()));
    counter.sign(air).unwrap();
    let job = passing().replacen("job: HT-0311", "job: HT-0312", 1);
    counter.put(RECORD, &job);
    counter.sign(|order| order.out = Some("else.checklist.json".into())).unwrap();
    let (first, on_the_bench) = (passing(), before_air(&passing()));
    let (verified, count) =
        together(&counter, &[(FILE, &first), ("air.checklist.json", &on_the_bench), ("else.checklist.json", &job)]);
    assert!(verified.iter().all(|verified| verified.answer == Answer::MayStart), "{verified:?}");
    assert_eq!(count, 0);
}

#[test]
fn whoever_signs_is_told_of_those_that_are_here() {
    let counter = Shop::new().at_desk();
    counter.sign(|_| {}).unwrap();
    counter.clock(60);
    counter.put("else.checklist.json", "not a checklist of HT-0311");
    let here = |out: Option<&str>| -> Vec<String> {
        let mut order = counter.order();
        order.out = out.map(Into::into);
        counter.draft(order).unwrap().proposal().here.iter().map(|here| here.name.clone()).collect()
    };
    assert_eq!(here(None), [FILE]);
    assert_eq!(here(Some("next.checklist.json")), [FILE], "once, where both folders are one");
    // Beside the record and where this one goes, and nowhere else.
    let file = counter.get(FILE).unwrap();
    counter.put("kept/JOB.Checklist.JSON", file);
    counter.drop(FILE);
    assert_eq!(here(None), [""; 0]);
    assert_eq!(here(Some("kept/next.checklist.json")), ["kept/JOB.Checklist.JSON"]);
}

/// What the checklists differ in is told fact by fact, whichever way round, and what is new as well as what is gone.
#[test]
fn what_several_differ_in_is_told() {
    let counter = Shop::new().at_desk();
    let first = passing();
    let second = first.replacen("pressure: 60 psi", "pressure: 62 psi", 1).replacen("  stand_off: 12 ft\n", "", 1);
    let differs = |records: [&str; 2]| {
        for (place, (record, name)) in records.into_iter().zip(["one.checklist.json", "two.checklist.json"]).enumerate()
        {
            counter.drop(name);
            counter.put(RECORD, record);
            counter.clock(60 * i128::try_from(place).unwrap());
            counter
                .sign(|order| {
                    order.hold = true;
                    order.out = Some(name.into());
                })
                .unwrap();
        }
        let found = counter.answers(&[("one.checklist.json", records[0]), ("two.checklist.json", records[1])]).several;
        let [several] = &found[..] else { panic!("{found:?}") };
        assert!(several.files[0].differs.is_empty(), "{several:?}");
        several.files[1].differs.iter().map(fillward::checklist::changes::Difference::both_values).collect::<Vec<_>>()
    };
    let target = |one: &str, other: &str| format!("loader 4, left front: `target.pressure`: {one}, then {other}");
    // As lines of evidence write them, with the doubt of the gauge.
    let (sixty, more) = ("60 psi", "62 psi");
    let gone = "`air_stage.stand_off`: 12 ft, then not recorded".to_owned();
    assert_eq!(differs([&first, &second]), [gone, target(sixty, more)]);
    let added = "`air_stage.stand_off`: not recorded, then 12 ft".to_owned();
    assert_eq!(differs([&second, &first]), [target(more, sixty), added]);
    assert_eq!(differs([&first, &format!("# looked through\n{first}")]), [""; 0]);
}
