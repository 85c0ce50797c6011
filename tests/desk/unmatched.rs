//! Records of which nobody can tell the job: one of them may be the present record, and none is passed over.

use fillward::desk::{Answer, FurtherOrder, NamedBytes, Purpose, Verified};
use fillward::vocabulary::Role;

use crate::shop::counter::{FILE, RECORD, refused};
use crate::shop::{MAIRE, Shop, passing};

/// How a record can hide of which job it is, with the number of the job still in its text or not.
fn unmatched() -> Vec<(&'static str, Vec<u8>, bool)> {
    let changed = || passing().replacen("solvent_on_hand: 2 gal", "solvent_on_hand: 11 gal", 1);
    let utf16 = changed().encode_utf16().flat_map(u16::to_le_bytes).collect();
    vec![
        ("a quote left open", (changed() + "  note: \"not closed\n").into_bytes(), true),
        ("the number twice", (changed() + "job: HT-0311\n").into_bytes(), true),
        ("the number indented", changed().replacen("job: HT-0311", "  job: HT-0311", 1).into_bytes(), true),
        ("the number as a list", changed().replacen("job: HT-0311", "job: [HT-0311]", 1).into_bytes(), true),
        ("the number in a comment", changed().replacen("job: HT-0311", "# ht 0311", 1).into_bytes(), true),
        ("two bytes a letter", utf16, true),
        ("no number", changed().replacen("job: HT-0311\n", "", 1).into_bytes(), false),
        ("another number, and a quote left open", b"job: HT-03110\nnote: \"not closed\n".to_vec(), false),
    ]
}

fn told(verified: &Verified) -> (Answer, Vec<&'static str>) {
    let codes = verified.report.reasons().map(|reason| reason.code().word().trim_start_matches("checklist/"));
    (verified.answer, codes.collect())
}

/// The law: by a record that was given by name and can be matched to no job nothing starts; what lies in a folder and can be
/// matched to none is named, and bars every start by the checklist whose job number stands in it.
#[test]
fn a_record_of_no_job_that_anybody_can_tell_starts_nothing() {
    let counter = Shop::new().at_desk();
    counter.sign(|_| {}).unwrap();
    let barred = (Answer::InOrder, vec!["record-unmatched"]);
    for (what, text, has_the_number) in unmatched() {
        counter.put("now.yaml", text.clone());
        let (good, odd) = (counter.source(RECORD), counter.source("now.yaml"));
        for records in [vec![good.clone(), odd.clone()], vec![odd.clone(), good.clone()]] {
            let verified = counter.verify(|order| order.records = records).unwrap();
            assert_eq!(told(&verified), barred, "{what}");
            let why = verified.report.bars[0].to_string();
            assert!(why.starts_with("“now.yaml” may be the record of this job as it stands now"), "{what}: {why}");
        }
        let verify = |records: &[NamedBytes], found: &[NamedBytes]| {
            let verified = counter.verify(|order| (order.records, order.found) = (records.to_vec(), found.to_vec()));
            told(&verified.unwrap())
        };
        let due = if has_the_number { barred.clone() } else { (Answer::MayStart, vec![]) };
        assert_eq!(verify(&[], &[good.clone(), odd.clone()]), due, "{what}");
        assert_eq!(verify(std::slice::from_ref(&good), std::slice::from_ref(&odd)), due, "{what}");
        let alone = if has_the_number { "record-unmatched" } else { "record-not-given" };
        assert_eq!(verify(&[], std::slice::from_ref(&odd)), (Answer::InOrder, vec![alone]), "{what}");
        assert_eq!(fillward::desk::of_no_job(&[good.clone(), odd.clone()]), std::slice::from_ref(&odd.name), "{what}");
        // Nobody signs beside it either.
        let further = |records: Vec<NamedBytes>, found: Vec<NamedBytes>| {
            let checklist = counter.source(FILE);
            let order = FurtherOrder { checklist, records, found, shop: None, packs: Vec::new(), before: Vec::new() };
            counter.desk().draft_further(order, counter.open(Purpose::Sign)?.trust)
        };
        assert_eq!(refused(further(vec![good.clone(), odd.clone()], Vec::new())), ["record-unmatched"], "{what}");
        let in_folder = further(Vec::new(), vec![good, odd]);
        match in_folder {
            Err(refusal) => assert!(has_the_number, "{what}: {refusal:?}"),
            Ok(_) => assert!(!has_the_number, "{what}"),
        }
    }
}

/// What lies in a folder of records and says that it is something else is none.
#[test]
fn what_says_that_it_is_no_record_bars_nothing() {
    let counter = Shop::new().at_desk();
    counter.sign(|_| {}).unwrap();
    for text in ["shop: 1\nnote: \"HT-0311\n", "pack: 1\nnote: \"HT-0311\n", "settings: 1\nnote: \"HT-0311\n"] {
        counter.put("other.yaml", text);
        let found = vec![counter.source("other.yaml")];
        assert!(fillward::desk::of_no_job(&found).is_empty(), "{text}");
        let verified = counter.verify(|order| order.found = found).unwrap();
        assert_eq!(told(&verified), (Answer::MayStart, vec![]), "{text}");
    }
}

/// The law: a job number in other letters is the same job, for records, for the job that is meant and for permits.
#[test]
fn a_job_number_in_other_letters_is_the_same_job_everywhere() {
    let counter = Shop::new().at_desk();
    let much = passing().replacen("solvent_on_hand: 2 gal", "solvent_on_hand: 11 gal", 1);
    counter.sign(|_| {}).unwrap();
    let good = counter.source(RECORD);
    for number in ["ht-0311", "HT 0311", "ht 0311"] {
        counter.put("now.yaml", much.replacen("HT-0311", number, 1));
        let now = counter.source("now.yaml");
        let verified = counter.verify(|order| order.records = vec![good.clone(), now.clone()]).unwrap();
        assert_eq!(told(&verified), (Answer::InOrder, vec!["record-twice"]), "{number}");
        let verified = counter.verify(|order| order.records = vec![now]).unwrap();
        assert_eq!(told(&verified), (Answer::DoesNotFit, vec!["record-changed"]), "{number}");
        let verified = counter.verify(|order| order.job = Some(number.to_owned())).unwrap();
        assert_eq!(told(&verified), (Answer::MayStart, vec![]), "{number}");
    }
    // A permit that was asked for when the number stood in other letters.
    counter.drop(FILE);
    counter.put(RECORD, much.replacen("HT-0311", "ht-0311", 1));
    counter.permit((MAIRE, Role::SafetyOfficer), &counter.permit_order("solvent-excess")).unwrap();
    counter.put(RECORD, much);
    let signed = counter.sign(|order| order.permits = vec![counter.source("permit.json")]).unwrap();
    assert!(signed.report.may_start(), "{:?}", signed.report);
}
