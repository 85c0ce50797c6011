//! Signing a short record: what of the shop file goes into the checklist, and that nothing of it can be changed.

use fillward::checklist::jws::Envelope;
use fillward::desk::world::{StoreFault, Trouble};
use fillward::desk::{Answer, Consent, EntryChange, Forgotten, Refusal, ShopChanges, ShopEntry, Unfit, VerifyOrder};
use fillward::vocabulary::{Kind, Role};
use serde_json::Value;

use crate::common;
use crate::shop::counter::{FILE, RECORD, with_hand};
use crate::shop::world::World;
use crate::shop::{MAIRE, ODILE, Shop, codes, key, later};

const SHOP: &str = "shop.yaml";
const BY_ODILE: (u8, Role) = (ODILE, Role::Supervisor);

/// A counter with the demo's short record and its shop file, which has one person more than the job.
fn counter() -> Shop<World> {
    let counter = Shop::new().at_desk();
    counter.put(RECORD, common::read("shared/demo/short/pass-loader-bias-used.yaml"));
    let other = "crew:\n  - mark: XX\n    name: Somebody Else\n    training_reviewed: 2024-01-31\n";
    counter.put(SHOP, common::read("shared/demo/shop.yaml").replacen("crew:\n", other, 1));
    counter
}

fn sign(counter: &Shop<World>) -> Result<fillward::desk::Signed, Refusal> {
    counter.sign(|order| order.shop = Some(counter.source(SHOP)))
}

fn body(counter: &Shop<World>) -> Value {
    let file: Value = serde_json::from_slice(&counter.get(FILE).unwrap()).unwrap();
    file["checklist"].clone()
}

/// The checklist with another content, signed by the supervisor as if nothing were.
fn resigned(body: &Value) -> Vec<u8> {
    let mut envelope = Envelope::new(Kind::Checklist, body).unwrap();
    envelope.sign(&key(ODILE), Role::Supervisor, later(0)).unwrap();
    envelope.to_file().unwrap()
}

#[test]
fn a_short_record_is_signed_with_the_entries_that_it_used() {
    let counter = counter();
    let signed = sign(&counter).unwrap();
    assert!(signed.report.may_start() && signed.report.rejudged, "{:?}", codes(&signed.report));
    let shop = &body(&counter)["inputs"]["shop_file"];
    let text = shop["text"].as_str().unwrap();
    assert_eq!(shop["name"], SHOP);
    assert_eq!(shop["sha256"], fillward::checklist::packs::sha256_hex(&counter.get(SHOP).unwrap()));
    assert!(text.contains("Odile Varga") && !text.contains("Somebody Else") && !text.contains("2024-01-31"));
    // Whoever only looks needs neither record nor shop file; whoever asks to start needs both.
    let told = |change: &dyn Fn(&mut VerifyOrder)| {
        let verified = counter.verify(change).unwrap();
        (verified.answer, codes(&verified.report))
    };
    let with_shop = |order: &mut VerifyOrder| order.shop = Some(counter.source(SHOP));
    assert_eq!(told(&with_shop), (Answer::MayStart, vec![]));
    assert_eq!(told(&|_| {}), (Answer::InOrder, vec!["shop-not-given"]));
    assert_eq!(told(&|order| order.records.clear()), (Answer::InOrder, vec!["record-not-given"]));
}

/// The record draws on some of the shop file: what of that is changed is said and bars the start, and the rest is nobody's
/// matter.
#[test]
fn a_shop_file_that_changed_since_starts_nothing() {
    let counter = counter();
    sign(&counter).unwrap();
    let honest = String::from_utf8(counter.get(SHOP).unwrap()).unwrap();
    let told = |text: &str| {
        counter.put(SHOP, text);
        let verified = counter.verify(|order| order.shop = Some(counter.source(SHOP))).unwrap();
        let words = verified.report.reasons().map(ToString::to_string).collect::<Vec<_>>().join("; ");
        (verified.answer, codes(&verified.report), words)
    };
    for (find, put, entry) in [
        ("2026-09-30", "2026-09-29", "gauges G-2"),
        ("{mark: C-1, kind: cage, rating: 240 psi}", "{mark: C-1, kind: cage, rating: 120 psi}", "C-1"),
        ("75.2 degF", "60.2 degF", ""),
    ] {
        assert!(honest.contains(find), "{find}");
        let (answer, codes, words) = told(&honest.replacen(find, put, 1));
        assert_eq!((answer, codes), (Answer::InOrder, vec!["shop-changed"]), "{find}: {words}");
        assert!(words.contains(entry), "{words}");
    }
    let other = honest.replace("training_reviewed: 2024-01-31", "training_reviewed: 2025-01-31") + "# looked through\n";
    assert_eq!(told(&other).0, Answer::MayStart);
}

/// The law: what holds a check of the present record and shop file starts nothing, whenever it was written there; and a shop
/// file of another place, or of another shop, is not that of the job.
#[test]
fn what_was_found_after_signing_starts_nothing() {
    let counter = counter();
    sign(&counter).unwrap();
    let file = counter.get(FILE).unwrap();
    let honest = String::from_utf8(counter.get(SHOP).unwrap()).unwrap();
    counter.clock(120);
    let row = |row: &str| honest.replacen("routines:\n", &format!("routines:\n  - {row}\n"), 1);
    let elsewhere = honest.replace("training_reviewed: 2024-01-31", "training_reviewed: 2025-01-31");
    for (found, bar) in [
        (elsewhere, None),
        (row("{did: ratio checked, of: P-1, at: 2026-03-04 09:31, found: off}"), Some("no-longer-passes")),
        (row("{did: ratio checked, of: P-1, at: 2026-03-04 09:31}"), Some("no-longer-passes")),
        (row("{did: gauge calibrated, of: G-2, at: 2026-03-04, due: 2026-03-03}"), Some("shop-changed")),
        (honest.replace("zone: America/Chicago", "zone: America/Mexico_City"), Some("shop-changed")),
        (honest.replace("name: Hollow Tarn", "name: Ansley Gate"), Some("shop-changed")),
    ] {
        assert_ne!(found, honest);
        counter.put(SHOP, &found);
        let verified = counter.verify(|order| order.shop = Some(counter.source(SHOP))).unwrap();
        let codes = codes(&verified.report);
        assert_eq!(codes, bar.into_iter().collect::<Vec<_>>(), "{found}");
        assert_eq!(verified.answer == Answer::MayStart, bar.is_none());
        let signed = counter.countersign_beside((MAIRE, Role::SafetyOfficer), Some(counter.source(SHOP)));
        assert_eq!(signed.is_ok(), bar.is_none(), "{codes:?}");
        if bar.is_none() {
            // The file of one signature is put back.
            counter.drop(FILE);
            counter.put(FILE, &file);
        }
    }
}

/// The law: the digest of the shop file is the signer's word until that file is given, and then it has those entries.
#[test]
fn other_entries_under_the_digest_of_the_shop_file_are_a_contradiction() {
    let counter = counter();
    sign(&counter).unwrap();
    let told = || {
        let verified = counter.verify(|order| order.shop = Some(counter.source(SHOP))).unwrap();
        (verified.answer, codes(&verified.report), verified.report.shop_elsewhere)
    };
    assert_eq!(told(), (Answer::MayStart, vec![], false));
    let honest = String::from_utf8(counter.get(SHOP).unwrap()).unwrap();
    let elsewhere = honest.replace("training_reviewed: 2024-01-31", "training_reviewed: 2025-01-31");
    counter.put(SHOP, &elsewhere);
    assert_eq!(told(), (Answer::MayStart, vec![], true), "changed elsewhere");
    // The entries of the file that the signer had, under the digest of one that says otherwise.
    let other = honest.replacen("2026-09-30", "2026-09-29", 1);
    let mut forged = body(&counter);
    forged["inputs"]["shop_file"]["sha256"] = fillward::checklist::packs::sha256_hex(other.as_bytes()).into();
    counter.put(FILE, resigned(&forged));
    counter.put(SHOP, &other);
    assert_eq!(told(), (Answer::Doubtful, vec!["contradiction"], false));
    counter.put(SHOP, &honest);
    assert_eq!(told(), (Answer::MayStart, vec![], true), "any other file says what it says");
}

#[test]
fn a_second_person_signs_what_the_first_one_signed() {
    let counter = counter();
    sign(&counter).unwrap();
    // The shop file has changed meanwhile; what was used stands in the checklist.
    counter.put(SHOP, "shop: 1\nzone: America/Chicago\n");
    let signed = counter.countersign((MAIRE, Role::SafetyOfficer)).unwrap();
    assert_eq!(signed.report.signatures.len(), 2);
}

#[test]
fn no_entry_in_a_checklist_can_be_changed_taken_away_or_added() {
    let counter = counter();
    sign(&counter).unwrap();
    let honest = body(&counter);
    let text = honest["inputs"]["shop_file"]["text"].as_str().unwrap();
    for (what, forged) in [
        ("a later calibration", text.replace("2026-09-30", "2027-09-30")),
        ("an entry more", text.replace("crew:\n", "crew:\n  - mark: YY\n    name: Yet Another\n")),
        ("an entry less", text.replace("  - {mark: C-1, kind: cage, rating: 240 psi}\n", "")),
        ("another zone", text.replace("America/Chicago", "America/Denver")),
        ("no shop file at all", "shop: 1\nzone: America/Chicago\n".to_owned()),
        ("a colder drum", text.replace("75.2 degF", "60.2 degF")),
    ] {
        assert_ne!(forged, text, "{what}");
        let mut body = honest.clone();
        body["inputs"]["shop_file"]["text"] = forged.into();
        counter.put(FILE, resigned(&body));
        let report = counter.verify(|_| {}).unwrap();
        assert!(!report.report.in_order(), "{what} is taken");
    }
    let mut body = honest.clone();
    body["inputs"]["shop_file"] = Value::Null;
    counter.put(FILE, resigned(&body));
    assert!(!counter.verify(|_| {}).unwrap().report.in_order(), "a record without its shop file is taken");
    counter.put(FILE, resigned(&honest));
    assert!(counter.verify(|_| {}).unwrap().report.in_order(), "the forger's own hand is what is found");
}

#[test]
fn a_shop_file_that_changes_while_the_question_waits_is_not_signed() {
    let counter = counter();
    let mut order = counter.order();
    order.shop = Some(counter.source(SHOP));
    let draft = counter.draft(order).unwrap();
    counter.put(SHOP, common::read("shared/demo/shop.yaml"));
    let refused = with_hand(BY_ODILE, |hand| draft.sign(&counter.desk(), hand, &Consent::Given));
    assert!(matches!(refused, Err(Refusal::Store(_))), "{refused:?}");
    assert!(!counter.has(FILE));
}

#[test]
fn a_shop_file_of_another_zone_than_the_trust_file_is_refused() {
    let counter = counter();
    counter.put(SHOP, common::read("shared/demo/shop.yaml").replace("America/Chicago", "America/Denver"));
    let refused = sign(&counter);
    assert!(matches!(refused, Err(Refusal::Unfit(Unfit::ShopOfAnotherZone { .. }))), "{refused:?}");
}

#[test]
fn without_its_shop_file_a_short_record_is_not_signed() {
    let counter = counter();
    assert!(matches!(counter.sign(|_| {}), Err(Refusal::Invalid(_))));
}

/// What the proposal of the next signature tells of the shop file.
fn changes(counter: &Shop<World>) -> ShopChanges {
    let mut order = counter.order();
    order.shop = Some(counter.source(SHOP));
    order.out = Some("next.checklist.json".into());
    counter.draft(order).unwrap().proposal().shop_changes.clone().unwrap()
}

fn entry(section: &str, mark: &str) -> ShopEntry {
    ShopEntry { section: section.to_owned(), mark: Some(mark.to_owned()) }
}

fn sign_again(counter: &Shop<World>) {
    counter.drop(FILE);
    assert_eq!(sign(counter).unwrap().unremembered, None);
}

#[test]
fn whoever_signs_is_told_what_changed_in_the_shop_file_since_the_last_signature() {
    let counter = counter();
    let first = String::from_utf8(counter.get(SHOP).unwrap()).unwrap();
    assert_eq!(changes(&counter), ShopChanges::default(), "nothing was signed yet");
    sign_again(&counter);
    let since = Some("2026-03-04T09:30:00-06:00".to_owned());
    assert_eq!(changes(&counter), ShopChanges { since: since.clone(), ..ShopChanges::default() });
    // Another layout is no other entry.
    counter.put(SHOP, first.replace("    name: Odile Varga", "    name:  Odile Varga"));
    assert_eq!(changes(&counter), ShopChanges { since: since.clone(), ..ShopChanges::default() });
    let second = first
        .replace("training_reviewed: 2024-01-31", "training_reviewed: 2025-01-31")
        .replace("  - {mark: G-7,", "  - {mark: G-17,")
        .replace("routines:\n", "routines:\n  - {did: eyewash run, of: EB, at: 2026-03-03}\n");
    counter.put(SHOP, &second);
    let told = changes(&counter);
    assert_eq!((told.changed, told.gone), (vec![entry("crew", "XX")], vec![entry("gauges", "G-7")]));
    let row = ShopEntry { section: "routines".to_owned(), mark: None };
    assert_eq!(told.added, [entry("gauges", "G-17"), row]);
    assert_eq!((told.put_back, told.zone_before), (None, None));
}

/// The law: of an entry that has changed the values are told where a checklist that lies here has it as it was at the last
/// signature, and of no other one: what was so before that is not what has changed since.
#[test]
fn values_that_changed_are_told_as_they_were_at_the_last_signature() {
    let counter = counter();
    let first = String::from_utf8(counter.get(SHOP).unwrap()).unwrap();
    let with = |date: &str| {
        let (before, after) = first.split_once("name: Odile Varga").unwrap();
        counter.put(SHOP, format!("{before}name: Odile Varga{}", after.replacen("2025-10-07", date, 1)));
    };
    sign_again(&counter);
    with("2025-11-07");
    let told = changes(&counter);
    assert_eq!(told.changed, [entry("crew", "OV")]);
    let value = |before: &str, now: &str| EntryChange {
        what: "training_reviewed".to_owned(),
        before: Some(before.to_owned()),
        now: Some(now.to_owned()),
    };
    assert_eq!(told.values[&entry("crew", "OV")], [value("2025-10-07", "2025-11-07")]);
    // Signed with, the checklist of the last signature counts and not the one before it.
    let old = counter.get(FILE).unwrap();
    counter.clock(60);
    sign_again(&counter);
    counter.put("old.checklist.json", old);
    with("2025-12-07");
    assert_eq!(changes(&counter).values[&entry("crew", "OV")], [value("2025-11-07", "2025-12-07")]);
    // Taken away, no other one is taken for it.
    counter.drop(FILE);
    let told = changes(&counter);
    assert_eq!((told.changed.len(), told.values.len()), (1, 0));
    // Entries that no record drew on are in no checklist.
    counter.put(SHOP, first.replace("training_reviewed: 2024-01-31", "training_reviewed: 2025-01-31"));
    let told = changes(&counter);
    assert!(told.changed.contains(&entry("crew", "XX")) && !told.values.contains_key(&entry("crew", "XX")));
}

#[test]
fn an_old_shop_file_put_back_is_told_and_seen_by_its_digest() {
    let counter = counter();
    let first = counter.get(SHOP).unwrap();
    sign_again(&counter);
    let old = body(&counter)["inputs"]["shop_file"]["sha256"].clone();
    counter.clock(600);
    counter.put(
        SHOP,
        String::from_utf8(first.clone())
            .unwrap()
            .replace("training_reviewed: 2024-01-31", "training_reviewed: 2025-01-31"),
    );
    sign_again(&counter);
    assert_ne!(body(&counter)["inputs"]["shop_file"]["sha256"], old);
    assert_eq!(changes(&counter).put_back, None);
    counter.put(SHOP, &first);
    let told = changes(&counter);
    assert_eq!(told.put_back.as_deref(), Some("2026-03-04T09:30:00-06:00"));
    assert_eq!(told.changed, [entry("crew", "XX")]);
    sign_again(&counter);
    assert_eq!(body(&counter)["inputs"]["shop_file"]["sha256"], old);
    assert_eq!(changes(&counter).put_back, None, "it is the last one now");
}

#[test]
fn what_cannot_be_remembered_or_read_is_said_and_stops_no_signature() {
    const MEMORY: &str = "fillward-shop.signed";
    let counter = counter();
    counter.trouble(MEMORY, Trouble::Unwritable { why: "a full disk".to_owned() });
    let signed = sign(&counter).unwrap();
    assert!(matches!(signed.unremembered, Some(StoreFault { what: Trouble::Unwritable { .. }, .. })));
    assert!(signed.report.may_start() && counter.has(FILE));
    counter.put(MEMORY, "{}");
    assert_eq!(changes(&counter).unreadable, Some(MEMORY.into()));
    // What cannot be read may be somebody's own: it stays as it is until a person has moved it away.
    counter.drop(FILE);
    let signed = sign(&counter).unwrap();
    assert!(matches!(signed.unremembered, Some(StoreFault { what: Trouble::NotOurs, .. })));
    assert_eq!(counter.get(MEMORY).unwrap(), b"{}");
    counter.drop(MEMORY);
    sign_again(&counter);
    assert!(changes(&counter).since.is_some(), "it is begun anew");
}

#[test]
fn a_shop_file_of_another_zone_than_the_last_is_told() {
    let counter = counter();
    sign_again(&counter);
    let memory = String::from_utf8(counter.get("fillward-shop.signed").unwrap()).unwrap();
    counter.put("fillward-shop.signed", memory.replace("America/Chicago", "America/Denver"));
    assert_eq!(changes(&counter).zone_before.as_deref(), Some("America/Denver"));
}

/// One removal must not make an old shop file a first one: the checklists that are kept here remember, too.
#[test]
fn what_is_forgotten_is_told_by_the_checklists_that_are_here() {
    let counter = counter();
    sign_again(&counter);
    let file = counter.get(FILE).unwrap();
    let other = "other.checklist.json";
    let told = |here: &[(&str, &[u8])]| {
        counter.drop("fillward-shop.signed");
        counter.drop(FILE);
        counter.drop(other);
        for (name, bytes) in here {
            counter.put(name, bytes);
        }
        let mut order = counter.order();
        order.shop = Some(counter.source(SHOP));
        order.out = Some("next.checklist.json".into());
        counter.draft(order).unwrap().proposal().shop_changes.clone().unwrap()
    };
    let forgotten = |judged_at: &str, same| {
        let (name, judged_at) = (FILE.to_owned(), judged_at.to_owned());
        ShopChanges { forgotten: Some(Forgotten { name, judged_at, same }), ..ShopChanges::default() }
    };
    assert_eq!(told(&[(FILE, &file)]), forgotten("2026-03-04T09:30:00-06:00", true));
    assert_eq!(told(&[]), ShopChanges::default(), "nothing is here that could tell");
    // What is no checklist, or was signed without a shop file, tells nothing.
    let [record, shop] = [RECORD, SHOP].map(|name| counter.get(name).unwrap());
    assert_eq!(told(&[(FILE, &shop), (other, &record)]), ShopChanges::default());
    let text = String::from_utf8(shop).unwrap();
    counter.put(SHOP, text.replace("training_reviewed: 2024-01-31", "training_reviewed: 2025-01-31"));
    assert_eq!(told(&[(other, &record), (FILE, &file)]), forgotten("2026-03-04T09:30:00-06:00", false));
}
