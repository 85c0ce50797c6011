//! What a permit is about: whatever the record calls otherwise, the permit is none for it.

use fillward::checklist::body::{ChecklistBody, FaultPart};
use fillward::checklist::evidence;
use fillward::checklist::permit::{self, BoundPermit, Permit, PermitBody};
use fillward::checklist::trust::TrustPart;
use fillward::document::Document;
use fillward::engine::{Finding, Scene};
use fillward::record::shop as shop_file;
use fillward::record::{self, Job};
use fillward::units::{Exact, Instant};
use fillward::vocabulary::{HoldPoint, Outcome, Role};

use crate::common;
use crate::shop::{MAIRE, Shop, key, later, passing};

fn job_of(shop: &Shop, record: &str, part: Option<&str>, at: Instant) -> Job {
    let written = Document::read("record.yaml", record.as_bytes()).unwrap();
    let part =
        part.map(|text| shop_file::Shop::read_part(Document::read("shop.yaml", text.as_bytes()).unwrap()).unwrap());
    let made = shop_file::expand(written, part.as_ref(), &shop.set, &common::demo_zone(), at).unwrap();
    record::read(&made.document, shop.set.catalogue(), &common::demo_zone()).unwrap()
}

/// What a fault of a checklist is about.
pub(super) fn of(shop: &Shop, held: &ChecklistBody, fault: &FaultPart) -> Vec<String> {
    let at = Instant::parse(&held.judged_at).unwrap();
    let part = held.inputs.shop_file.as_ref().map(|part| part.text.as_str());
    let job = job_of(shop, &held.inputs.record.text, part, at);
    let scene = Scene::new(&shop.set, &job, at, &common::demo_zone()).at_hold_point(held.hold_point);
    let judgement = scene.judge();
    let is_it = |finding: &&Finding| {
        scene.code_of(finding) == fault.rule && evidence::subject(&scene, finding).0 == fault.subject
    };
    permit::things(&scene, judgement.findings.iter().find(is_it).unwrap())
}

/// A permit for a fault of a checklist, asked for by the supervisor and not signed yet.
pub(super) fn asked(shop: &Shop, held: &ChecklistBody, fault: &FaultPart) -> PermitBody {
    let judged_at = Instant::parse(&held.judged_at).unwrap();
    PermitBody {
        asked_by: "Odile Varga".to_owned(),
        evidence: fault.evidence(),
        filled: held.assemblies.clone(),
        format: permit::FORMAT.to_owned(),
        hold_point: held.hold_point,
        job: held.job.clone(),
        mark: fault.mark.clone(),
        pack: shop.parts[0].clone(),
        reason: "the store is being painted".to_owned(),
        rule: fault.rule.split_once('/').unwrap().1.to_owned(),
        subject: fault.subject.clone(),
        things: of(shop, held, fault),
        time_zone: held.time_zone.clone(),
        title: fault.title.clone(),
        trust: TrustPart::of(&shop.trust()),
        until: judged_at.checked_add_seconds(Exact::from_int(7200)).unwrap().to_record_text(),
    }
}

/// What the fault of a rule in a record is about.
pub(super) fn of_rule(shop: &Shop, record: &str, rule: &str) -> Vec<String> {
    let (held, _) = shop.make(record, |_| {});
    let fault = held.findings.each_fault().into_iter().find(|fault| fault.rule == format!("tyre-fill/{rule}")).unwrap();
    of(shop, &held, &fault)
}

/// The names of the record, each with another one that it may have instead.
const OTHER_NAMES: [(&str, &str, &str); 9] = [
    (".tyre.ply_rating", "ply_rating: 16", "ply_rating: 20"),
    (".tyre.sidewall_maximum", "sidewall_maximum: 70 psi", "sidewall_maximum: 82 psi"),
    (".wheel.rating", "rating: 80 psi", "rating: 90 psi"),
    ("site", "Hollow Tarn depot, east bay", "Hollow Tarn depot, south bay"),
    ("pump.mark", "mark: P-1", "mark: P-2"),
    ("components.isocyanate.lot", "lot: PS-118", "lot: PS-121"),
    ("components.polyol.lot", "lot: PL-641", "lot: PL-655"),
    ("order.system", "system: firm 55", "system: soft 30"),
    ("mix.sheet", "Firm 55, sheet 3 of 2025", "Firm 55, sheet 4 of 2026"),
];

/// For each fault that may be permitted and is made in the passing job: a permit for it serves for the record, and for none
/// in which a name that it is about has become another one. What it is not about may have any name.
#[test]
fn a_permit_is_for_the_things_that_were_looked_at() {
    let shop = Shop::new();
    let faults: [(&str, &str, &str, &[&str]); 4] = [
        ("repair-unfit", "damage: []", "damage: [plug without patch]", &[".tyre.ply_rating", ".rim.kind", "site"]),
        ("no-smoking-signs-missing", "no_smoking_signs: true", "no_smoking_signs: false", &["site", "pump.mark"]),
        ("solvent-excess", "solvent_on_hand: 2 gal", "solvent_on_hand: 12 gal", &["site"]),
        ("stored-outdoors", "stored: indoors", "stored: outdoors", &["components.isocyanate.lot", "pump.mark"]),
    ];
    let (mut lost, mut kept) = (0, 0);
    for (rule, good, bad, about) in faults {
        let record = passing();
        assert!(record.contains(good), "{good}");
        let record = record.replacen(good, bad, 1);
        let (held, _) = shop.make(&record, |_| {});
        let code = format!("tyre-fill/{rule}");
        let is_it = |fault: &FaultPart| fault.rule == code && fault.outcome == Outcome::Broken;
        let fault = held.findings.each_fault().into_iter().find(is_it).unwrap();
        let things = of(&shop, &held, &fault);
        for name in about {
            assert!(things.iter().any(|line| line.starts_with(&format!("{name} "))), "{rule}: {name} in {things:?}");
        }
        let body = asked(&shop, &held, &fault);
        let mut permit = Permit::new(&body).unwrap();
        permit.sign(&key(MAIRE), Role::SafetyOfficer, later(-300)).unwrap();
        let misfit = |record: &str| {
            let job = job_of(&shop, record, None, later(0));
            let bound = BoundPermit::new(&permit, shop.packs(), &job, &common::demo_zone(), HoldPoint::BeforeFill);
            bound.misfit().map(|reason| reason.to_string())
        };
        assert_eq!(misfit(&record), None, "{rule}");
        for (name, own, other) in OTHER_NAMES {
            assert!(record.contains(own), "{own}");
            let told = misfit(&record.replacen(own, other, 1));
            if things.iter().any(|line| line.starts_with(&format!("{name} "))) {
                let told = told.unwrap_or_else(|| panic!("{rule} was permitted, and {name} is another one"));
                let word = |text: &str| text.rsplit(": ").next().unwrap().to_owned();
                assert!(told.contains(&word(own)) && told.contains(&word(other)), "{told}");
                lost += 1;
            } else if told.is_none() {
                kept += 1;
            }
        }
    }
    assert!(lost >= 15 && kept >= 6, "{lost} lost, {kept} kept");
}
