//! Evidence in signed files: its notation as the schema describes it, and that nothing of it goes uncompared.

use fillward::checklist::Reason;
use fillward::checklist::body::ChecklistBody;
use fillward::checklist::jws::Envelope;
use fillward::checklist::permit::{self, Permit};
use fillward::checklist::signing::against;
use fillward::checklist::trust::TrustPart;
use fillward::checklist::verify::{Question, verify};
use fillward::vocabulary::{HoldPoint, Kind, Role};
use serde_json::{Value, json};

use super::bent::{cut, exchanged, groups, grown};
use crate::shop::{self, MAIRE, ODILE, Shop, codes, held, key, later, passing};

/// A checklist changed by somebody whose key is good, and signed again.
pub(super) fn resigned(body: &Value) -> Vec<u8> {
    let mut envelope = Envelope::new(Kind::Checklist, body).unwrap();
    envelope.sign(&key(ODILE), Role::Supervisor, later(60)).unwrap();
    envelope.to_file().unwrap()
}

pub(super) fn content(shop: &Shop, record: &str) -> Value {
    shop.make(record, |_| {}).1.to_value().unwrap()["checklist"].clone()
}

/// A changed value of the sort that its place takes.
pub(super) fn other(at: &str, value: &Value) -> Value {
    match (at, value) {
        ("/before", Value::Null) => json!("ab".repeat(32)),
        ("/number" | "/revision", Value::Null) => json!(1),
        ("/variations", Value::Null) => json!([]),
        ("/register", Value::Null) => {
            json!({"head": {"root": "ab".repeat(32), "size": 9}, "origin": "Elsewhere", "sequence": 7})
        }
        ("/inputs/shop_file", Value::Null) => {
            json!({"name": "shop.yaml", "sha256": "ab".repeat(32), "text": "shop: 1\n"})
        }
        ("/valid_until", Value::Null) => json!("2026-03-04T10:00:00-06:00"),
        ("/program/edition", _) => json!("0.0.8"),
        ("/program/build", _) => json!("0123456789abcdef"),
        ("/time_zone", _) => json!("America/Denver"),
        (_, Value::Null) => json!("x"),
        (_, Value::Bool(flag)) => json!(!flag),
        (_, Value::Number(number)) => json!(number.as_i64().unwrap() - 1),
        (_, Value::String(text)) => {
            let mut text = text.clone();
            let last = text.pop();
            text.push(match last {
                Some('0'..='8') => '9',
                Some('9') => '8',
                Some('x') => 'y',
                _ => 'x',
            });
            json!(text)
        }
        _ => panic!("{at}"),
    }
}

/// The places of all values in a document.
pub(super) fn places(value: &Value, at: &str, found: &mut Vec<String>) {
    match value {
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(index, item)| places(item, &format!("{at}/{index}"), found));
        }
        Value::Object(members) => members.iter().for_each(|(name, member)| {
            places(member, &format!("{at}/{}", name.replace('~', "~0").replace('/', "~1")), found);
        }),
        _ => found.push(at.to_owned()),
    }
}

/// The law: whatever a signer writes into a body, it is compared or refused, were it of the right sort and in a member that
/// this edition leaves empty. What is left open is which edition and build judged: either may have worked out figures
/// otherwise, and by neither is anything else. The name of the record's file is told, since files are renamed.
#[test]
fn nothing_in_a_body_goes_uncompared() {
    let shop = Shop::new();
    let trust = shop.trust();
    let left_open = ["/program/build", "/program/edition", "/inputs/record/name"];
    for record in [passing(), held()] {
        let honest = content(&shop, &record);
        let question = shop.question(&trust, &record);
        let control = codes(&verify("f", &resigned(&honest), &question));
        assert_eq!(control, if honest["verdict"] == "HOLD" { vec!["hold"] } else { vec![] });
        let mut leaves = Vec::new();
        places(&honest, "", &mut leaves);
        assert!(leaves.len() > 250, "{} values", leaves.len());
        for at in leaves {
            let mut forged = honest.clone();
            let value = forged.pointer_mut(&at).unwrap();
            *value = other(&at, value);
            let report = verify("f", &resigned(&forged), &question);
            assert_eq!(codes(&report) == control, left_open.contains(&at.as_str()), "{at}: {:?}", codes(&report));
        }
        // Every list and every map: one taken out, one put in twice, two exchanged, one renamed.
        let mut lists = Vec::new();
        groups(&honest, "", &mut lists);
        assert!(lists.len() > 50, "{} lists", lists.len());
        for list in &lists {
            for change in [cut, grown, exchanged] {
                let mut forged = honest.clone();
                if change(forged.pointer_mut(list).unwrap()) {
                    let report = verify("f", &resigned(&forged), &question);
                    assert_ne!(codes(&report), control, "{list}");
                }
            }
        }
    }
}

/// A rule that a wheel without faults meets, as a file names it.
const BENT: &str = "wheel-bent: The wheel is bent";

/// The same said in another order, or under another fact, is not the same: a body is gathered in one way only.
#[test]
fn what_a_body_says_is_gathered_in_one_way_only() {
    let shop = Shop::new();
    let trust = shop.trust();
    for record in [passing(), held()] {
        let honest = content(&shop, &record);
        let question = shop.question(&trust, &record);
        let gathered = |change: &dyn Fn(&mut Vec<Value>)| {
            let mut forged = honest.clone();
            change(forged["findings"]["ruled_out"].as_array_mut().unwrap());
            codes(&verify("f", &resigned(&forged), &question))
        };
        let bent = |met: &[Value]| {
            let fact = met.iter().position(|seen| seen[0] == ".wheel.faults []").unwrap();
            let rule = met[fact].as_array().unwrap().iter().position(|rule| *rule == BENT).unwrap();
            (fact, rule)
        };
        let apart = gathered(&|met| {
            let (fact, rule) = bent(met);
            met[fact].as_array_mut().unwrap().remove(rule);
            met.push(json!(["", [BENT, "", ".wheel.faults []"]]));
        });
        assert!(apart.contains(&"judged-otherwise"), "{apart:?}");
        let twice = gathered(&|met| met[0].as_array_mut().unwrap().push(json!(BENT)));
        assert!(twice.contains(&"judged-otherwise"), "{twice:?}");
        let reversed = gathered(&|met| met.reverse());
        assert!(reversed.contains(&"judged-otherwise"), "{reversed:?}");
    }
}

/// Values are gathered in one way as well: no bound twice, apart from its fact, in another order, or of another subject.
#[test]
fn values_are_gathered_in_one_way() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = passing();
    let honest = content(&shop, &record);
    let question = shop.question(&trust, &record);
    let values = |change: &dyn Fn(&mut Value)| {
        let mut forged = honest.clone();
        change(&mut forged["findings"]["values"]);
        assert_ne!(forged, honest);
        codes(&verify("f", &resigned(&forged), &question))
    };
    let due = |values: &Value| {
        let rows = values["gauge"].as_array().unwrap();
        rows.iter().position(|row| row.as_str().unwrap().starts_with(".calibration_due ")).unwrap()
    };
    for (what, said) in [
        ("reversed", values(&|values| values["assembly"].as_array_mut().unwrap().reverse())),
        (
            "bounds reversed",
            values(&|values| {
                // The fact with its value are two words, and each bound begins with a sign.
                let at = due(values);
                let line = &mut values["gauge"][at];
                let bounds: Vec<String> = line.as_str().unwrap().split_inclusive(' ').map(str::to_owned).collect();
                *line =
                    json!(format!("{}{} {}", bounds[..2].concat(), bounds[4..].concat(), bounds[2..4].concat().trim()));
            }),
        ),
        (
            "a bound twice",
            values(&|values| {
                let at = due(values);
                let line = &mut values["gauge"][at];
                *line = json!(format!("{} >= today", line.as_str().unwrap()));
            }),
        ),
        (
            "apart",
            values(&|values| {
                let at = due(values);
                let line = values["gauge"][at].as_str().unwrap().to_owned();
                let fact: Vec<&str> = line.split(' ').take(2).collect();
                values["gauge"][at] = json!(line.strip_suffix(" >= today").unwrap());
                values["gauge"].as_array_mut().unwrap().insert(at + 1, json!(format!("{} >= today", fact.join(" "))));
            }),
        ),
        (
            "of another subject",
            values(&|values| {
                let row = values["gauge"].as_array_mut().unwrap().pop().unwrap();
                values["job"].as_array_mut().unwrap().push(row);
            }),
        ),
    ] {
        // What is joined in another way is not read at all.
        assert!(said.contains(&"judged-otherwise") || said == ["content"], "{what}: {said:?}");
    }
}

/// A line under a good signature that says enough where the record shows too little.
#[test]
fn forged_evidence_is_found() {
    let shop = Shop::new();
    let record = passing().replacen("stand_off: 12 ft", "stand_off: 9 ft", 1);
    let mut forged = content(&shop, &record);
    let faults = forged["findings"]["faults"].as_array_mut().unwrap();
    let place = faults.iter().position(|fault| fault["rules"].get("tyre-fill/stand-off-short").is_some()).unwrap();
    faults[place]["of"][""]["shown"] = json!(["air_stage.stand_off 12 ft >= 3 m (stand_off) = false"]);
    let report = shop.verify(&resigned(&forged), &record);
    assert_eq!(codes(&report), ["judged-otherwise", "hold"]);
    assert!(!report.rejudged);
}

/// Another edition may work a figure out otherwise: that is listed, and everything else is compared as ever.
#[test]
fn another_edition_may_have_other_figures_and_nothing_else() {
    let shop = Shop::new();
    let record = passing();
    let honest = content(&shop, &record);
    let now = honest["figures"]["assemblies[0]"]["likely_filled_mass"].as_str().unwrap().to_owned();
    let mass = format!("assemblies[0].figure.likely_filled_mass: 1500 lb is {now}");
    let place = |of: &str, fact: &str| {
        let rows = honest["findings"]["values"][of].as_array().unwrap();
        format!(
            "/findings/values/{of}/{}",
            rows.iter().position(|row| row.as_str().unwrap().starts_with(fact)).unwrap()
        )
    };
    let (gear, stand_off) =
        (place("assembly", "handling.capacity 6000 lb "), place("job", "air_stage.stand_off 12 ft "));
    let line = honest.pointer(&gear).unwrap().as_str().unwrap().to_owned();
    let said = |edition: &str, change: &dyn Fn(&mut Value)| {
        let mut body = honest.clone();
        body["program"]["edition"] = json!(edition);
        change(&mut body);
        let report = shop.verify(&resigned(&body), &record);
        let otherwise: Vec<String> =
            report.otherwise.iter().map(|one| format!("{}: {} is {}", one.place, one.then, one.now)).collect();
        (codes(&report), otherwise)
    };
    let own = env!("CARGO_PKG_VERSION");
    let figure = |body: &mut Value| {
        let told = &mut body["figures"]["assemblies[0]"]["likely_filled_mass"];
        assert!(told.as_str().unwrap().ends_with(" lb"), "{told}");
        *told = json!("1500 lb");
    };
    assert_eq!(said(own, &|_| {}), (vec![], vec![]));
    assert_eq!(said(own, &figure), (vec!["judged-otherwise"], vec![]));
    assert_eq!(said("0.0.9", &|_| {}), (vec![], vec![]));
    assert_eq!(said("0.0.9", &figure), (vec![], vec![mass.clone()]));
    // In a line the same: another number beside the figure is the figure's; another capacity is not.
    let rest = " lb .figure.likely_filled_mass (lifting_reserve)";
    let (before, bound_now) = line.strip_suffix(rest).and_then(|line| line.rsplit_once(" >= ")).unwrap();
    let bound = |body: &mut Value| *body.pointer_mut(&gear).unwrap() = json!(format!("{before} >= 1650{rest}"));
    let both = |body: &mut Value| {
        figure(body);
        bound(body);
    };
    let bound_told =
        format!("handling.capacity >= .figure.likely_filled_mass (lifting_reserve): 1650 lb is {bound_now} lb");
    assert_eq!(said("0.0.9", &both), (vec![], vec![mass, bound_told]));
    // A line that disagrees with the figures of its own file was not worked out by any edition.
    assert_eq!(said("0.0.9", &bound), (vec!["judged-otherwise"], vec![]));
    assert_eq!(said(own, &bound), (vec!["judged-otherwise"], vec![]));
    let fact = |body: &mut Value| {
        *body.pointer_mut(&stand_off).unwrap() = json!("air_stage.stand_off 13 ft >= 3 m (stand_off)");
    };
    assert_eq!(said("0.0.9", &fact), (vec!["judged-otherwise"], vec![]));
    let value = |body: &mut Value| {
        figure(body);
        *body.pointer_mut(&gear).unwrap() = json!(line.replacen("handling.capacity", "handling.gear", 1));
    };
    assert_eq!(said("0.0.9", &value), (vec!["judged-otherwise"], vec![]));
}

#[test]
fn every_permit_sets_a_finding_aside() {
    let shop = Shop::new();
    let record = passing().replacen("solvent_on_hand: 2 gal", "solvent_on_hand: 12 gal", 1);
    let (held, _) = shop.make(&record, |_| {});
    let fault = &held.findings.each_fault()[0];
    let body = permit::PermitBody {
        format: permit::FORMAT.to_owned(),
        hold_point: HoldPoint::BeforeFill,
        time_zone: "America/Chicago".to_owned(),
        trust: TrustPart::of(&shop.trust()),
        asked_by: "Odile Varga".to_owned(),
        evidence: fault.evidence(),
        filled: held.assemblies.clone(),
        job: held.job.clone(),
        mark: fault.mark.clone(),
        pack: shop.parts[0].clone(),
        reason: "the store is being painted".to_owned(),
        rule: "solvent-excess".to_owned(),
        subject: fault.subject.clone(),
        things: crate::checklist::things::of(&shop, &held, fault),
        title: fault.title.clone(),
        until: "2026-03-04T10:20:00-06:00".to_owned(),
    };
    let mut permit = Permit::new(&body).unwrap();
    permit.sign(&key(MAIRE), Role::SafetyOfficer, shop::at("2026-03-04T09:25:00-06:00")).unwrap();
    let (honest, _) = shop.make(&record, |choices| choices.permits = vec![&permit]);
    let said = |change: &dyn Fn(&mut ChecklistBody)| {
        let mut body = honest.clone();
        change(&mut body);
        body.contradictions().1.iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    let contradicts = |what: &str| [format!("the checklist contradicts itself: {what}")];
    assert_eq!(said(&|_| {}), [""; 0]);
    assert_eq!((honest.permitted(), held.permitted()), (1, 0));
    let asks = |signers: usize| said(&|body| body.required_roles = vec![Role::Supervisor; signers]);
    assert_eq!((asks(8), asks(9)), (vec![], contradicts("it asks for more than 8 signatures").to_vec()));
    // What this edition does not fill it does not take either.
    for (member, filled) in [
        ("number", said(&|body| body.number = Some(7))),
        ("revision", said(&|body| body.revision = Some(1))),
        ("variations", said(&|body| body.variations = Some(Vec::new()))),
    ] {
        let told =
            format!("the content is not that of a checklist: `{member}` is filled in, which this edition cannot judge");
        assert_eq!(filled, [told]);
    }
    assert_eq!(
        said(&|body| body.permits.push(body.permits[0].clone())),
        contradicts("1 findings are permitted, by 2 permits")
    );
    assert_eq!(said(&|body| body.permits.clear()), contradicts("1 findings are permitted, by 0 permits"));
}

/// The second up to which a judgement holds belongs to it, and the next second does not.
#[test]
fn a_pass_holds_through_its_last_instant() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = passing();
    let file = shop.signed(&record);
    let (body, _) = shop.make(&record, |_| {});
    let until = shop::at(body.valid_until.as_deref().unwrap());
    let after = until.checked_add_seconds(fillward::units::Exact::from_int(1)).unwrap();
    let said = |at| codes(&verify("f", &file, &Question { at, ..shop.question(&trust, &record) }));
    assert_eq!(said(until), [""; 0]);
    assert_eq!(said(after), ["lapsed"]);
}

/// A draft of the trust file made before a revocation and put back is another file of the same version.
#[test]
fn two_trust_files_of_one_version_are_told_apart() {
    let shop = Shop::new();
    let record = passing();
    let file = shop.signed(&record);
    let mut draft = shop.trust_body();
    draft.ends_at = "2026-07-01T00:00:00-06:00".to_owned();
    let draft = Shop::trusted(&draft);
    let said = |trust| codes(&verify("f", &file, &shop.question(trust, &record)));
    assert_eq!(said(&draft), ["trust-other"]);
    let mut elsewhere = shop.trust_body();
    elsewhere.shop = "Hollow Tarn, north yard".to_owned();
    assert_eq!(said(&shop.next(&elsewhere)), ["other-shop"]);
    let (body, envelope) = shop.make(&record, |_| {});
    let kid = key(ODILE).public().kid().to_owned();
    let reasons = against(&envelope, &body, &kid, Role::Supervisor, &draft, later(60));
    assert_eq!(
        reasons.iter().map(Reason::code).map(fillward::document::Code::word).collect::<Vec<_>>(),
        ["checklist/trust-other"]
    );
}
