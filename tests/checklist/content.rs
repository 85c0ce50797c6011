//! Contents that are not as their kind has them: each fault names the member and what may stand there, in words for whoever
//! holds the file, and never what a type of the program is called.

use fillward::checklist::jws::Envelope;
use fillward::checklist::permit::{self, Permit};
use fillward::checklist::trust::{Trust, TrustBody, TrustPart};
use fillward::document::{Document, Fault};
use fillward::vocabulary::{Kind, Role};
use serde_json::{Value, json};

use super::evidence::{content, resigned};
use crate::shop::{ODILE, OWNER, Shop, held, key, later, passing};

/// Words of the reader that fills the types of the program.
const OF_TYPES: [&str; 12] = [
    "invalid type",
    "invalid value",
    "invalid length",
    "unknown field",
    "missing field",
    "duplicate field",
    "struct ",
    "a sequence",
    "i64",
    "usize",
    " at line ",
    " column ",
];

/// The places of all members and items, the inner ones too.
fn all_places(value: &Value, at: &str, found: &mut Vec<String>) {
    let each: Vec<(String, &Value)> = match value {
        Value::Array(items) => items.iter().enumerate().map(|(place, item)| (place.to_string(), item)).collect(),
        Value::Object(members) => members.iter().map(|(name, member)| (name.clone(), member)).collect(),
        _ => Vec::new(),
    };
    for (name, inner) in each {
        let place = format!("{at}/{}", name.replace('~', "~0").replace('/', "~1"));
        all_places(inner, &place, found);
        found.push(place);
    }
}

/// The content with one member of another kind, left out, or with one beside it that no edition knows.
fn changed(honest: &Value) -> Vec<(String, Value)> {
    let mut places = Vec::new();
    all_places(honest, "", &mut places);
    let kinds = [json!(null), json!(true), json!(7), json!("x"), json!([]), json!([7]), json!({}), json!({"x": 7})];
    let mut found = Vec::new();
    for at in places {
        for kind in &kinds {
            let mut forged = honest.clone();
            let Some(value) = forged.pointer_mut(&at) else { continue };
            *value = kind.clone();
            found.push((at.clone(), forged));
        }
        let (within, name) = at.rsplit_once('/').unwrap();
        let mut forged = honest.clone();
        if let Some(Value::Object(members)) = forged.pointer_mut(within) {
            members.remove(name);
            found.push((at.clone(), forged.clone()));
            forged.pointer_mut(within).unwrap().as_object_mut().unwrap().insert("strange".to_owned(), json!(1));
            found.push((at.clone(), forged));
        }
    }
    found
}

/// Whether a fault is told as people are told of it, and by its member where the content could not be read.
fn is_told(at: &str, said: &str, cure: Option<&str>) {
    for word in OF_TYPES {
        assert!(!said.contains(word) && !cure.unwrap_or_default().contains(word), "{at}: {said}; {cure:?}");
    }
    let camel = |word: &str| word.chars().skip(1).any(char::is_uppercase) && word.chars().any(char::is_lowercase);
    assert!(!said.split(' ').any(|word| word.chars().all(char::is_alphanumeric) && camel(word)), "{at}: {said}");
    assert!(cure.is_some_and(|cure| cure.split(' ').count() > 1), "{at}: {said}");
    if said.starts_with("the content is not that of a") {
        let steps: Vec<&str> =
            at.split('/').filter(|step| !step.is_empty() && step.parse::<usize>().is_err()).collect();
        let is_named = steps.iter().rev().take(2).any(|step| said.contains(step)) || said.contains("`strange`");
        assert!(is_named, "{at}: {said}");
    }
}

fn of_fault(at: &str, fault: &Fault) {
    is_told(at, fault.message(), fault.cure());
}

#[test]
fn every_member_of_a_checklist_is_named_where_it_is_not_as_it_should_be() {
    let shop = Shop::new();
    let mut unread = 0;
    for record in [passing(), held()] {
        let mut honest = content(&shop, &record);
        // A few of each list say as much as all of them.
        for list in ["/findings/ruled_out", "/findings/values/job", "/findings/values/assembly"] {
            honest.pointer_mut(list).unwrap().as_array_mut().unwrap().truncate(2);
        }
        for (at, forged) in changed(&honest) {
            let envelope = Envelope::read(Kind::Checklist, "f", &resigned(&forged)).unwrap();
            if let Err(fault) = envelope.body::<fillward::checklist::body::ChecklistBody>() {
                of_fault(&at, &fault);
                unread += 1;
            }
        }
    }
    assert!(unread > 1000, "{unread}");
}

#[test]
fn every_member_of_a_permit_is_named_where_it_is_not_as_it_should_be() {
    let shop = Shop::new();
    let (held, _) = shop.make(&held(), |_| {});
    let fault = held.findings.each_fault()[0].clone();
    let honest = permit::PermitBody {
        format: permit::FORMAT.to_owned(),
        hold_point: held.hold_point,
        time_zone: held.time_zone.clone(),
        trust: TrustPart::of(&shop.trust()),
        asked_by: "Odile Varga".to_owned(),
        evidence: fault.evidence(),
        filled: held.assemblies.clone(),
        job: held.job.clone(),
        mark: fault.mark.clone(),
        pack: shop.parts[0].clone(),
        reason: "the store is being painted".to_owned(),
        rule: "cold-material".to_owned(),
        subject: fault.subject.clone(),
        things: crate::checklist::things::of(&shop, &held, &fault),
        title: fault.title.clone(),
        until: "2026-03-04T12:00:00-06:00".to_owned(),
    };
    let mut unread = 0;
    for (at, forged) in changed(&serde_json::to_value(honest).unwrap()) {
        let mut envelope = Envelope::new(Kind::Permit, &forged).unwrap();
        envelope.sign(&key(ODILE), Role::Supervisor, later(0)).unwrap();
        if let Err(fault) = Permit::read("p", &envelope.to_file().unwrap()) {
            of_fault(&at, &fault);
            unread += 1;
        }
    }
    assert!(unread > 150, "{unread}");
}

/// The signed trust file, and the same content as an owner writes it.
#[test]
fn every_member_of_a_trust_file_is_named_where_it_is_not_as_it_should_be() {
    let (mut unread, mut unwritten) = (0, 0);
    for (at, forged) in changed(&serde_json::to_value(Shop::new().trust_body()).unwrap()) {
        let mut envelope = Envelope::new(Kind::Trust, &forged).unwrap();
        envelope.sign(&key(OWNER), Role::Owner, later(0)).unwrap();
        if let Err(reasons) = Trust::open("trust.json", &envelope.to_file().unwrap(), &Shop::pins()) {
            for reason in reasons {
                is_told(&at, &reason.to_string(), Some(&reason.help()));
                unread += 1;
            }
        }
        let written = serde_json::to_vec_pretty(&forged).unwrap();
        let Ok(document) = Document::read("trust.yaml", &written) else { continue };
        if let Err(faults) = TrustBody::from_document(&document) {
            for fault in &faults {
                assert!(fault.code().word().starts_with("schema/") && fault.span().is_some(), "{at}: {fault}");
                of_fault(&at, fault);
                unwritten += 1;
            }
        }
    }
    assert!(unread > 300 && unwritten > 300, "{unread}, {unwritten}");
}
