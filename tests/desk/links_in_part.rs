//! The chain of a job that went through all four hold points, of which not every file is given.

use fillward::checklist::jws::Envelope;
use fillward::desk::{Answer, Consent, FurtherOrder, Passage, Refusal, SignOrder};
use fillward::vocabulary::{HoldPoint, Kind, Role};

use crate::common;
use crate::shop::counter::{FILE, MALLORY, RECORD, refused, with_hand};
use crate::shop::world::World;
use crate::shop::{Shop, WREN, key, later};

const SHOP: &str = "shop.yaml";
const DAY: i128 = 86_400;
const EARLIER: [&str; 3] = ["air.checklist.json", "fill.checklist.json", "after.checklist.json"];

/// The short record of a hold point of the carried job, with what was done by then.
pub(super) fn carried(point: HoldPoint) -> String {
    let (name, acts) = match point {
        HoldPoint::BeforeAir => ("1-before-air", ""),
        HoldPoint::BeforeFill => ("2-before-fill", "air: 08:15"),
        HoldPoint::AfterFill => ("3-after-fill", "air: 08:15, fill: 10:05"),
        HoldPoint::BeforeService => ("4-before-service", "air: 08:15, fill: 10:05, off_stand: 11:10"),
    };
    let record = common::read(&format!("shared/demo/carried-short/{name}.yaml"));
    match acts {
        "" => record,
        _ => record.replacen("    seated: 08:25", &format!("    acts: {{{acts}}}\n    seated: 08:25"), 1),
    }
}

/// What is signed at a hold point, beside the files that are given.
fn order(counter: &Shop<World>, point: HoldPoint, before: &[&str], out: &str) -> SignOrder {
    SignOrder {
        shop: Some(counter.source(SHOP)),
        passage: Passage { point, ..Passage::default() },
        before: before.iter().map(|name| counter.source(name)).collect(),
        out: Some(out.into()),
        ..counter.order()
    }
}

/// A shop in which the job was signed at all four hold points, each when it was due.
fn all_signed() -> Shop<World> {
    let counter = Shop::new().at_desk();
    counter.put(SHOP, common::read("shared/demo/shop.yaml"));
    // At 08:10, 09:30 and 11:05, and on the second day after at 13:00.
    let times = [-4800, 0, 5700, 2 * DAY + 12_600];
    let outs = EARLIER.into_iter().chain([FILE]);
    for (place, ((point, at), out)) in HoldPoint::ALL.into_iter().zip(times).zip(outs).enumerate() {
        counter.clock(at);
        counter.put(RECORD, carried(point));
        let order = order(&counter, point, &EARLIER[..place], out);
        let signed = counter.sign(|own| *own = order).unwrap();
        assert!(signed.report.may_start(), "{point:?}: {:?}", signed.report);
    }
    counter.clock(2 * DAY + 12_900);
    counter
}

/// The law: leaving honest files of a chain out, or giving more of them, never makes a checklist doubtful; giving more never
/// makes its answer worse; and it lets something start with the whole chain alone.
#[test]
fn more_of_an_honest_chain_is_never_worse() {
    let counter = all_signed();
    let given = |mask: usize| -> Vec<&str> {
        EARLIER.iter().enumerate().filter(|(place, _)| mask & (1 << place) != 0).map(|(_, name)| *name).collect()
    };
    let codes: Vec<Vec<&str>> = (0..8)
        .map(|mask| {
            let verified = counter.verify(|order| {
                order.shop = Some(counter.source(SHOP));
                order.before = given(mask).into_iter().map(|name| counter.source(name)).collect();
            });
            let verified = verified.unwrap();
            let due = if mask == 7 { Answer::MayStart } else { Answer::InOrder };
            assert_eq!(verified.answer, due, "{:?}: {:?}", given(mask), verified.report);
            verified.report.reasons().map(|reason| reason.code().word()).collect()
        })
        .collect();
    for (mask, codes) in codes.iter().enumerate() {
        let due: &[&str] = if mask == 7 { &[] } else { &["checklist/link-not-given"] };
        assert_eq!(codes, due, "{:?}", given(mask));
    }
    // The files on the way, too.
    for (place, file) in EARLIER.iter().enumerate() {
        for mask in 0..(1 << place) {
            let verified = counter.verify_file(file, |order| {
                order.shop = Some(counter.source(SHOP));
                order.before = given(mask).into_iter().map(|name| counter.source(name)).collect();
            });
            let report = verified.unwrap().report;
            assert!(report.in_order(), "{file} with {:?}: {:?}", given(mask), report);
        }
    }
}

/// Whoever signs is told of the file that is missing, however far back, and is not sent to the supervisor for it.
#[test]
fn a_link_that_is_missing_further_back_is_asked_for() {
    let counter = all_signed();
    let (service, file) = (HoldPoint::BeforeService, counter.get(FILE).unwrap());
    for (before, due) in
        [(&EARLIER[..], vec![]), (&EARLIER[1..], vec!["link-not-given"]), (&EARLIER[2..], vec!["link-not-given"])]
    {
        let draft = counter.draft(order(&counter, service, before, "again.checklist.json"));
        match &draft {
            Ok(_) => assert!(due.is_empty(), "{before:?}"),
            Err(Refusal::Reasons(reasons)) => assert!(reasons.iter().all(|why| why.help().contains("--before"))),
            Err(_) => {}
        }
        if draft.is_err() {
            assert_eq!(refused(draft), due, "{before:?}");
        }
        let further = FurtherOrder {
            checklist: counter.source(FILE),
            records: vec![counter.source(RECORD)],
            found: Vec::new(),
            shop: Some(counter.source(SHOP)),
            packs: Vec::new(),
            before: before.iter().map(|name| counter.source(name)).collect(),
        };
        let trust = counter.open(fillward::desk::Purpose::Sign).unwrap().trust;
        let signed = counter.desk().draft_further(further, trust).and_then(|draft| {
            let desk = counter.desk();
            with_hand((WREN, Role::Supervisor), |hand| draft.sign(&desk, hand, &Consent::Given))
        });
        // A further signature lets nothing start by itself: whoever starts is asked for the whole chain.
        signed.unwrap();
        let verified = counter.verify(|order| {
            order.shop = Some(counter.source(SHOP));
            order.before = before.iter().map(|name| counter.source(name)).collect();
        });
        let starts = verified.unwrap().answer == Answer::MayStart;
        assert_eq!(starts, due.is_empty(), "{before:?}");
        // The file of one signature is put back.
        counter.drop(FILE);
        counter.put(FILE, &file);
    }
}

/// What is dishonest far back stays doubtful, with whatever else is given.
#[test]
fn a_forged_file_further_back_is_doubtful() {
    let counter = all_signed();
    let air: serde_json::Value = serde_json::from_slice(&counter.get(EARLIER[0]).unwrap()).unwrap();
    let mut envelope = Envelope::new(Kind::Checklist, &air["checklist"]).unwrap();
    envelope.sign(&key(MALLORY), Role::Supervisor, later(-4800)).unwrap();
    counter.put(EARLIER[0], envelope.to_file().unwrap());
    let verified = counter.verify(|order| {
        order.shop = Some(counter.source(SHOP));
        order.before = EARLIER.map(|name| counter.source(name)).to_vec();
    });
    assert_eq!(verified.unwrap().answer, Answer::Doubtful);
}
