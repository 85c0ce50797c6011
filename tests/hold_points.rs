//! Hold points: a rule judges where it is asked and nowhere else, and every report says at which point it speaks.

use std::collections::BTreeSet;

use fillward::document::Document;
use fillward::engine::Scene;
use fillward::explain::{self, AtFrom, Layout, MayBeFilled, Note, Report};
use fillward::pack::PackSet;
use fillward::record::{self, Catalogue, Job};
use fillward::units::Instant;
use fillward::vocabulary::{HoldPoint, Outcome, Subject, Verdict};

use crate::common;

/// A pack of one rule for each hold point, and one for two of them.
fn pack() -> PackSet {
    let rule = |name: &str, points: &str, fact: &str| {
        format!(
            "  {name}:\n    title: {name}\n    covers: job\n{points}    demands: {{{fact}: {{is: true}}}}\n    why: It does harm.\n    \
             air:\n      stays: nothing is touched\n    put_right: Put it right.\n    source: {{kind: local code, cite: invented for this test}}\n    on_fault: hold\n    \
             permit: none\n    examples: {{passes: [{{{fact}: true}}], holds: [{{{fact}: false}}]}}\n"
        )
    };
    let text = format!(
        "pack: 1\nname: points\nedition: \"1\"\ntitle: Rules of a test\nexamples_at: {}\nrules:\n{}{}{}{}",
        common::DEMO_AT,
        rule("of-air", "    asked_at: [before air]\n", "air_stage.people_clear"),
        rule("of-fill", "", "sample.prepared"),
        rule("of-both", "    asked_at: [before fill, before air]\n", "air_stage.clip_on_chuck"),
        rule("of-service", "    asked_at: [before service]\n", "cure.flat"),
    );
    let document = Document::read("pack.yaml", text.as_bytes()).unwrap();
    PackSet::alone(vec![document]).unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)))
}

/// A record in which nothing is filled in.
fn blank(packs: &PackSet) -> Document {
    Document::read("job.yaml", record::blank_template(packs.catalogue()).as_bytes()).unwrap()
}

#[test]
fn a_rule_is_asked_at_its_hold_points_and_nowhere_else() {
    let packs = pack();
    let document = blank(&packs);
    let job = record::read(&document, packs.catalogue(), &common::demo_zone()).unwrap();
    let asked = |point| {
        let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone()).at_hold_point(point);
        let judgement = scene.judge();
        assert!(judgement.findings.iter().all(|finding| finding.outcome == Outcome::NotShown));
        let names = judgement.findings.iter().map(|finding| scene.rule(finding).unwrap().name.clone());
        names.collect::<Vec<_>>()
    };
    assert_eq!(asked(HoldPoint::BeforeAir), ["of-air", "of-both"]);
    assert_eq!(asked(HoldPoint::BeforeFill), ["of-fill", "of-both"]);
    assert_eq!(asked(HoldPoint::BeforeService), ["of-service"]);
    // No rule, no pass.
    assert_eq!(asked(HoldPoint::AfterFill), [""; 0]);
    let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone()).at_hold_point(HoldPoint::AfterFill);
    assert_eq!(scene.judge().verdict, Verdict::Hold);
    // Where nothing is said it is the gate before the pump.
    let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
    assert_eq!(scene.hold_point(), HoldPoint::BeforeFill);
}

/// The base pack asks at every hold point: what can be seen on the bench before air goes in, most of it again before the
/// pump starts, and what is known only later when it is known.
#[test]
fn the_base_pack_asks_at_every_hold_point() {
    let packs = PackSet::base().unwrap();
    let asked = |point| {
        let rules = packs.packs().iter().flat_map(|pack| &pack.rules);
        rules.filter(|rule| rule.asked_at.contains(point)).map(|rule| rule.name.as_str()).collect::<Vec<_>>()
    };
    let (air, fill) = (asked(HoldPoint::BeforeAir), asked(HoldPoint::BeforeFill));
    for rule in ["wheel-cracked", "bead-diameter-mismatch", "beads-damaged", "cage-damaged", "untrained-in-rim-wheels"]
    {
        assert!(air.contains(&rule) && fill.contains(&rule), "{rule}");
    }
    for rule in ["stem-not-proved-open", "regulator-too-high", "wheel-not-inspected-today"] {
        assert!(air.contains(&rule) && !fill.contains(&rule), "{rule}");
    }
    for rule in ["cold-material", "new-tyre-not-stretched", "not-seen-seated"] {
        assert!(!air.contains(&rule) && fill.contains(&rule), "{rule}");
    }
    let (after, service) = (asked(HoldPoint::AfterFill), asked(HoldPoint::BeforeService));
    assert!(after.contains(&"too-little-went-in") && service.contains(&"not-cured"));
    assert!(!after.contains(&"wheel-cracked") && service.contains(&"too-little-went-in"));
    let document = common::document("shared/demo/jobs/pass-loader-bias-used.yaml");
    let job = common::job(&packs, "shared/demo/jobs/pass-loader-bias-used.yaml");
    let verdict = |point| {
        // Before air nobody has seen the tyre seated yet.
        let key = packs.catalogue().find(Subject::Assembly, "seated.at").unwrap();
        let unseated = crate::shop::before_air(&common::read("shared/demo/jobs/pass-loader-bias-used.yaml"));
        let bare = Document::read("job.yaml", unseated.as_bytes()).unwrap();
        let bare_job = fillward::record::read(&bare, packs.catalogue(), &common::demo_zone()).unwrap();
        let of = |job: &fillward::record::Job| job.of(Subject::Assembly).unwrap()[0].facts.get(key).is_some();
        assert!(of(&job) && !of(&bare_job));
        let (document, job) = if point == HoldPoint::BeforeAir { (&bare, &bare_job) } else { (&document, &job) };
        let scene = Scene::new(&packs, job, common::demo_at(), &common::demo_zone()).at_hold_point(point);
        let report = Report::new(&scene, scene.judge(), document, AtFrom::Given);
        (report.verdict(), report.notes().contains(&Note::NoRule(point)))
    };
    assert_eq!(verdict(HoldPoint::BeforeAir), (Verdict::Pass, false));
    assert_eq!(verdict(HoldPoint::BeforeFill), (Verdict::Pass, false));
    // What has not happened yet is not shown.
    assert_eq!(verdict(HoldPoint::AfterFill), (Verdict::Hold, false));
    assert_eq!(verdict(HoldPoint::BeforeService), (Verdict::Hold, false));
}

#[test]
fn every_form_says_its_hold_point_and_what_not_to_do() {
    let packs = pack();
    let document = blank(&packs);
    let job = record::read(&document, packs.catalogue(), &common::demo_zone()).unwrap();
    let look = Layout { width: 80, colour: false };
    for point in HoldPoint::ALL {
        let scene = Scene::new(&packs, &job, common::demo_at(), &common::demo_zone()).at_hold_point(point);
        let report = Report::new(&scene, scene.judge(), &document, AtFrom::Given);
        let forms = [
            explain::brief(&report, look),
            explain::long(&report, look),
            explain::sheet(&report),
            explain::plain(&report),
            explain::json(&report).unwrap(),
            explain::sarif(&report).unwrap(),
        ];
        for form in forms {
            let flat = form.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(flat.contains(point.word()), "{form}");
            assert!(flat.contains(point.stop()), "{form}");
            let others = HoldPoint::ALL.into_iter().filter(|other| *other != point);
            for other in others {
                assert!(!flat.contains(other.stop()), "{form}");
            }
        }
    }
}

/// What a record of the carried job says in its head: where and when it is judged.
pub(crate) fn judged(path: &str) -> (HoldPoint, Instant) {
    let text = common::read(path);
    let head =
        |label: &str| text.lines().find_map(|line| line.strip_prefix(&format!("# {label}: "))).unwrap_or_default();
    let point = HoldPoint::from_word(head("hold point")).unwrap_or_else(|| panic!("{path} names no hold point"));
    (point, Instant::parse(head("at")).unwrap())
}

/// The names of the holding rules with one outcome, and the verdict.
fn found(packs: &PackSet, path: &str, point: HoldPoint, at: Instant) -> (Verdict, [BTreeSet<String>; 2]) {
    let job = common::job(packs, path);
    let scene = Scene::new(packs, &job, at, &common::demo_zone()).at_hold_point(point);
    let judgement = scene.judge();
    let names = |outcome| {
        let told = judgement.findings.iter().filter(|finding| finding.holds() && finding.outcome == outcome);
        told.map(|finding| scene.rule(finding).unwrap().name.to_string()).collect()
    };
    (judgement.verdict, [names(Outcome::Broken), names(Outcome::NotShown)])
}

const CARRIED: [&str; 4] = ["1-before-air", "2-before-fill", "3-after-fill", "4-before-service"];

fn carried(name: &str) -> String {
    format!("shared/demo/carried/{name}.yaml")
}

#[test]
fn every_carried_record_comes_out_as_it_says() {
    let packs = PackSet::base().unwrap();
    let mut wrong = Vec::new();
    for path in common::files("shared/demo/carried", ".yaml") {
        let (point, at) = judged(&path);
        let (verdict, found) = found(&packs, &path, point, at);
        let text = common::read(&path);
        let says = text.lines().next().unwrap_or_default().strip_prefix("# expects: ").unwrap_or_default();
        let listed = ["broken", "not shown"].map(|label| common::listed(&text, label));
        if says != verdict.word() || listed != found {
            wrong.push(format!("{path}: {} {found:?}", verdict.word()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    for (name, point) in CARRIED.into_iter().zip(HoldPoint::ALL) {
        assert_eq!(judged(&carried(name)).0, point, "{name}");
    }
}

/// What a hand writes after the fill and before service, beside what was there: at most twelve values and ten, which were
/// set as goals.
#[test]
fn little_is_written_once_the_pump_has_stopped() {
    fn values(of: &serde_json::Value) -> usize {
        match of {
            serde_json::Value::Object(map) => map.values().map(values).sum(),
            serde_json::Value::Array(items) if !items.is_empty() => items.iter().map(values).sum(),
            _ => 1,
        }
    }
    let count = |name| values(&common::document(&carried(name)).to_json());
    let [_, before, after, service] = CARRIED.map(count);
    println!("after the fill {} values more, before service {}", after - before, service - after);
    assert!(after - before <= 12, "{}", after - before);
    assert!(service - after <= 10, "{}", service - after);
    assert!(after > before && service > after);
}

/// The record grows through the day: nothing that was written is taken back, and what is not due yet holds the next point.
#[test]
fn one_record_is_carried_through_every_hold_point() {
    fn grows(before: &serde_json::Value, after: &serde_json::Value, at: &str) {
        match (before, after) {
            (serde_json::Value::Object(before), serde_json::Value::Object(after)) => {
                for (key, value) in before {
                    grows(value, &after[key], &format!("{at}.{key}"));
                }
            }
            (serde_json::Value::Array(before), serde_json::Value::Array(after)) if before.len() == after.len() => {
                for (index, (before, after)) in before.iter().zip(after).enumerate() {
                    grows(before, after, &format!("{at}[{index}]"));
                }
            }
            _ => assert_eq!(before, after, "{at}"),
        }
    }
    let packs = PackSet::base().unwrap();
    for pair in CARRIED.windows(2) {
        let [before, after] = pair else { continue };
        grows(&common::document(&carried(before)).to_json(), &common::document(&carried(after)).to_json(), after);
        let (point, at) = judged(&carried(before));
        let next = HoldPoint::ALL.into_iter().find(|next| next.previous() == Some(point)).unwrap();
        let (verdict, [_, not_shown]) = found(&packs, &carried(before), next, at);
        assert_eq!(verdict, Verdict::Hold, "{before} at the next hold point");
        assert!(!not_shown.is_empty(), "{before} at the next hold point");
        // At the same instant and point the grown record says no less: what is dated ahead is not taken for shown.
        let (verdict, [broken, _]) = found(&packs, &carried(after), next, at);
        assert_eq!(verdict, Verdict::Hold, "{after} before its time");
        assert!(broken.is_empty() || next == HoldPoint::BeforeService, "{after} before its time: {broken:?}");
    }
}

/// A text on one line.
fn flat(text: &str) -> String {
    text.replace("# ", " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whoever reads that work may go on reads as well what is seen to first, who stands where, and when to stop: under a PASS,
/// where a checklist is verified or signed, and at the head of a record to fill in; and whoever reads a HOLD, or
/// figures, what comes before anything is touched. Asked by 29 CFR 1910.177(f)(5) to (8), from memory: nobody in the
/// trajectory, nobody leaning on the cage, no part struck under pressure.
#[test]
fn the_cautions_of_each_hold_point_are_told_wherever_work_may_go_on() {
    let template = flat(&record::blank_template(&Catalogue::default()));
    for point in HoldPoint::ALL {
        let moment = point.moment();
        for (on_vehicle, moment) in [(false, moment), (true, point.moment_on_vehicle())] {
            let aims = fillward::engine::Aims { on_vehicle, ..Default::default() };
            let pass = explain::closing(Verdict::Pass, point, &aims, MayBeFilled::None);
            assert_eq!(pass[1..4], moment.going_on().map(str::to_owned));
            assert_eq!(explain::going_on(point, &aims), moment.going_on());
            assert_eq!(explain::closing(Verdict::Hold, point, &aims, MayBeFilled::None)[1], moment.held);
        }
        assert!(template.contains(moment.first) && template.contains(moment.stand), "{point:?}");
        let zone = common::demo_zone();
        let packs = PackSet::base().unwrap();
        let job = Job::blank();
        let scene = Scene::new(&packs, &job, common::demo_at(), &zone).at_hold_point(point);
        assert!(flat(&explain::figures(&scene, 80, false)).contains(moment.held), "{point:?}");
    }
    let air = HoldPoint::BeforeAir.moment();
    for asked in
        ["out of the path of flying parts", "leans on the cage", "a clip-on chuck", "the in-line valve", "Never hammer"]
    {
        assert!(air.going_on().concat().contains(asked), "{asked}");
    }
}

/// The law: figures say of the air what the report of the same record says. Of a tyre that may be filled neither tells how
/// its air is let out.
#[test]
fn figures_let_nothing_out_of_what_may_be_filled() {
    let (packs, zone) = (PackSet::base().unwrap(), common::demo_zone());
    let closed = "Of what may be filled let nothing out";
    let (mut filled, mut empty) = (0, 0);
    for path in ["shared/demo/jobs", "shared/demo/carried"].into_iter().flat_map(|of| common::files(of, ".yaml")) {
        let (document, job) = (common::document(&path), common::job(&packs, &path));
        for point in [HoldPoint::BeforeAir, HoldPoint::BeforeFill] {
            let scene = Scene::new(&packs, &job, common::demo_at(), &zone).at_hold_point(point);
            let judgement = scene.judge();
            if judgement.verdict == Verdict::Pass {
                continue;
            }
            let report = Report::new(&scene, judgement, &document, AtFrom::Given);
            let report = flat(&explain::brief(&report, Layout { width: 80, colour: false }));
            let figures = flat(&explain::figures(&scene, 80, false));
            for said in [closed, point.moment().held] {
                assert_eq!(figures.contains(said), report.contains(said), "{path}, {point:?}: {said}");
            }
            filled += usize::from(figures.contains(closed));
            empty += usize::from(figures.contains(point.moment().held));
        }
    }
    assert!(filled > 3 && empty > 50, "{filled}, {empty}");
}
