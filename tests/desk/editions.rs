//! Editions of the base pack that are no longer in force: they judge old checklists again and show them, and nothing else.
//!
//! Two made editions: in the first people may stand at 8 ft, in the second at 9 ft, where the one in force asks for 10 ft.

use std::path::PathBuf;

use fillward::checklist::body::met::MetName;
use fillward::checklist::jws::Envelope;
use fillward::checklist::packs::{PackPart, sources_digest};
use fillward::desk::{Answer, NamedBytes, Purpose, ShowOrder, Unfit, VerifyOrder, show};
use fillward::document::Document;
use fillward::pack::PackSet;
use fillward::vocabulary::{Kind, Role};
use serde_json::{Value, json};

use crate::shop::counter::{FILE, RECORD};
use crate::shop::world::World;
use crate::shop::{ODILE, Shop, key, later, passing};

/// A made edition of the base pack, by its files.
fn edition(name: &str, stand_off: &str) -> Vec<NamedBytes> {
    let limit =
        "stand_off:\n    about: The shortest distance between people and the cage while air goes in.\n    value: ";
    let made = |(path, text): &(&str, &str)| {
        let text = text.replacen("edition: \"2026.2\"", &format!("edition: \"{name}\""), 1);
        NamedBytes {
            name: PathBuf::from(path),
            bytes: text.replacen(&format!("{limit}10 ft"), &format!("{limit}{stand_off}"), 1).into_bytes(),
        }
    };
    PackSet::base_files().iter().map(made).collect()
}

/// The shop as it judged by an edition.
fn by(files: &[NamedBytes]) -> Shop {
    let documents = files.iter().map(|file| file.document().unwrap()).collect();
    let set = PackSet::alone(documents).unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)));
    Shop::of(set)
}

/// A shop that has the two editions' checklists, and approved each of them once.
fn shop() -> (Shop<World>, [Vec<NamedBytes>; 2]) {
    let editions = [edition("2024.1", "8 ft"), edition("2025.1", "9 ft")];
    let counter = Shop::new().at_desk();
    let then = editions.each_ref().map(|files| by(files));
    counter.trust(|body| body.packs.extend(then.iter().flat_map(|shop| shop.trust_body().packs)));
    counter.put(RECORD, near("8.5 ft"));
    counter.put("first.json", then[0].signed(&near("8.5 ft")));
    counter.put("second.checklist.json", then[1].signed(&near("9.5 ft")));
    (counter, editions)
}

fn near(stand_off: &str) -> String {
    passing().replacen("stand_off: 12 ft", &format!("stand_off: {stand_off}"), 1)
}

fn told(counter: &Shop<World>, file: &str, change: impl FnOnce(&mut VerifyOrder)) -> (Answer, Vec<&'static str>, bool) {
    counter.clock(600);
    let verified = counter.verify_file(file, change).unwrap();
    let codes = verified.report.reasons().map(|reason| reason.code().word().trim_start_matches("checklist/"));
    (verified.answer, codes.collect(), verified.report.rejudged)
}

#[test]
fn an_old_edition_judges_again_what_it_judged_and_starts_nothing() {
    let (counter, editions) = shop();
    let of = |file: &str, given: Vec<Vec<NamedBytes>>, stand_off: &str| {
        counter.put(RECORD, near(stand_off));
        told(&counter, file, |order| (order.editions, order.rejudge) = (given, false))
    };
    let both = || editions.to_vec();
    assert_eq!(of("first.json", both(), "8.5 ft"), (Answer::InOrder, vec!["trust-unseen", "old-edition"], true));
    assert_eq!(
        of("second.checklist.json", both(), "9.5 ft"),
        (Answer::InOrder, vec!["trust-unseen", "old-edition"], true)
    );
    // Without its edition nothing is judged again, nor with the other one, nor with one that was edited under its name.
    let blind = (Answer::InOrder, vec!["not-rejudged", "trust-unseen"], false);
    assert_eq!(of("first.json", Vec::new(), "8.5 ft"), blind);
    assert_eq!(of("first.json", vec![editions[1].clone()], "8.5 ft"), blind);
    assert_eq!(of("first.json", vec![edition("2024.1", "7 ft")], "8.5 ft"), blind);
    // What the edition in force judged is judged by that, whatever else is given.
    counter.put(RECORD, passing());
    counter.sign(|_| {}).unwrap();
    assert_eq!(of(FILE, both(), "12 ft"), (Answer::MayStart, vec![], true));
    // A copy of the edition in force is no old one, and one that judged nothing is named.
    counter.put(RECORD, passing());
    let against = |editions: Vec<Vec<NamedBytes>>| {
        let order = VerifyOrder { editions, records: vec![counter.source(RECORD)], ..VerifyOrder::default() };
        counter.desk().against(order, counter.open(Purpose::Look).unwrap().trust).unwrap()
    };
    let of_file =
        |(name, text): &(&str, &str)| NamedBytes { name: PathBuf::from(name), bytes: text.as_bytes().to_vec() };
    let in_force: Vec<NamedBytes> = PackSet::base_files().iter().map(of_file).collect();
    let given = against(vec![in_force, editions[0].clone(), editions[1].clone()]);
    let looked = |name: &str| given.look_at(&counter.source(name)).unwrap();
    assert_eq!(counter.desk().answer(&given, FILE.into(), looked(FILE)).answer, Answer::MayStart);
    looked("first.json");
    let unused: Vec<String> = given.editions_unused().iter().map(PackPart::title).collect();
    assert_eq!(unused, ["tyre-fill 2025.1"]);
    // The way back: the record that only the old edition lets pass is held by every act that judges afresh.
    counter.put(RECORD, near("8.5 ft"));
    assert!(matches!(
        counter.sign(|order| order.out = Some("again.checklist.json".into())),
        Err(fillward::desk::Refusal::Held)
    ));
}

/// An edition that has the name of the one that judged and other texts, since a file of it is missing or was changed, is
/// told as that, with the digests of both.
#[test]
fn an_edition_of_the_same_name_and_other_texts_is_told_by_both_digests() {
    let (counter, editions) = shop();
    let due = by(&editions[0]).trust_body().packs[0].sha256.clone();
    let lacking = editions[0][..editions[0].len() - 1].to_vec();
    let mut other_ends = editions[0].clone();
    other_ends[0].bytes = String::from_utf8(other_ends[0].bytes.clone()).unwrap().replace('\n', "\r\n").into_bytes();
    for (what, files) in [("lacking", lacking), ("line ends", other_ends), ("changed", edition("2024.1", "7 ft"))] {
        let documents: Vec<Document> = files.iter().map(|file| file.document().unwrap()).collect();
        let given = sources_digest(documents.iter().map(Document::source));
        for rejudge in [false, true] {
            let verified = counter
                .verify_file("first.json", |order| (order.editions, order.rejudge) = (vec![files.clone()], rejudge))
                .unwrap();
            let told = verified.report.reasons().find(|reason| reason.to_string().contains("SHA-256")).unwrap();
            let says =
                format!("tyre-fill 2024.1 was given with the SHA-256 {given}, and the one that judged has {due}");
            assert!(told.to_string().contains(&says), "{what}: {told}");
            assert!(told.help().contains("one is missing, or was changed or saved with other line ends"), "{what}");
        }
    }
}

/// What is forged under an old edition is found by that edition.
#[test]
fn forgery_is_found_by_the_edition_that_judged() {
    let (counter, editions) = shop();
    let file: Value = serde_json::from_slice(&counter.get("second.checklist.json").unwrap()).unwrap();
    let mut body = file["checklist"].clone();
    let met = body["findings"]["values"]["job"].as_array_mut().unwrap();
    let near = met.iter_mut().find(|seen| seen.as_str().unwrap().starts_with("air_stage.stand_off ")).unwrap();
    let forged = near.as_str().unwrap().replacen("9.5 ft", "12 ft", 1);
    assert_ne!(*near, forged);
    *near = json!(forged);
    let mut envelope = Envelope::new(Kind::Checklist, &body).unwrap();
    envelope.sign(&key(ODILE), Role::Supervisor, later(60)).unwrap();
    counter.put("forged.json", envelope.to_file().unwrap());
    let (answer, codes, rejudged) = told(&counter, "forged.json", |order| {
        (order.editions, order.records) = (editions.to_vec(), Vec::new());
    });
    assert_eq!((answer, rejudged), (Answer::Doubtful, false));
    assert!(codes.contains(&"judged-otherwise"), "{codes:?}");
}

#[test]
fn an_old_edition_gives_a_page_its_rules() {
    let (counter, editions) = shop();
    let page = |editions: Vec<Vec<NamedBytes>>| {
        let order = ShowOrder { checklist: counter.source("first.json"), packs: Vec::new(), editions, trust: None };
        show(&order).unwrap()
    };
    // It is found by its name, whatever its title says.
    let rule = "stand-off-short".to_owned();
    let near = &MetName { pack: None, rule, title: "Anything".to_owned(), of: Vec::new() };
    let shown = page(editions.to_vec());
    assert!(shown.packs().all(|(_, at_hand)| at_hand));
    assert_eq!(shown.met_rule(near).unwrap().0, "tyre-fill/stand-off-short");
    assert_eq!(shown.limit("stand_off").unwrap().values[0].value.to_string(), "8 ft");
    let shown = page(Vec::new());
    assert!(shown.packs().all(|(_, at_hand)| !at_hand) && shown.met_rule(near).is_none());
}

#[test]
fn what_is_no_pack_is_no_edition() {
    let (counter, _) = shop();
    let files = vec![vec![NamedBytes { name: "notes.yaml".into(), bytes: b"name: notes\n".to_vec() }]];
    let refusal = counter.verify(|order| order.editions = files).unwrap_err();
    assert!(matches!(refusal, fillward::desk::Refusal::Unfit(Unfit::NoPack { .. })), "{refusal:?}");
}
