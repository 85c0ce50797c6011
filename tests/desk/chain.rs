//! The chain of checklists at the desk: no fill without the checklist of the hold point before, where the packs ask for it.

use fillward::checklist::filled::Filled;
use fillward::checklist::trust::Revocation;
use fillward::desk::{Answer, Refusal, Unfit};
use fillward::vocabulary::{HoldPoint, Role};

use crate::common;
use crate::shop::counter::{RECORD, said};
use crate::shop::world::World;
use crate::shop::{Shop, before_air, later, passing};

/// A local pack by which a fill follows the checklist of the air.
const GATE: &str = "pack: 1\nname: gate\nedition: \"1\"\ntitle: Rules of a test\nexamples_at: 2026-03-04T09:30:00-06:00\n\
    follows:\n  - at: before fill\nrules:\n  people-near:\n    title: People stand near\n    covers: job\n    \
    asked_at: [before air]\n    demands: {air_stage.people_clear: {is: true}}\n    why: Parts fly.\n    \
    air: {stays: nothing is touched}\n    put_right: Keep away.\n    source: {kind: local code, cite: invented for this test}\n    on_fault: hold\n    \
    permit: none\n    examples: {passes: [{air_stage.people_clear: true}], holds: [{air_stage.people_clear: false}]}\n";
const AIR: &str = "air.checklist.json";

/// The record with the instant at which air went in.
fn with_air_at(seconds: i128) -> String {
    let at = later(seconds).to_record_text();
    let seated = passing().replacen("2026-03-04T08:25:00-06:00", &later(180).to_record_text(), 1);
    seated.replacen("    target: {", &format!("    acts: {{air: {at}}}\n    target: {{"), 1)
}

/// A shop in which the air of the job was signed at the demo instant, and the clock stands ten minutes later.
fn after_air() -> Shop<World> {
    let counter = Shop::with(&[GATE]).at_desk();
    counter.put(RECORD, before_air(&passing()));
    let signed = counter
        .sign(|order| {
            order.passage.point = HoldPoint::BeforeAir;
            order.out = Some(AIR.into());
        })
        .unwrap();
    assert!(signed.report.may_start(), "{:?}", signed.report);
    counter.clock(600);
    counter
}

/// The codes of everything that speaks against signing the fill of a record; none where it is signed.
fn against(counter: &Shop<World>, record: &str, follows: bool) -> Vec<&'static str> {
    counter.put(RECORD, record);
    let before = follows.then(|| counter.source(AIR)).into_iter().collect();
    match counter.sign(|order| order.before = before) {
        Ok(_) => Vec::new(),
        Err(Refusal::Reasons(reasons)) => reasons.iter().map(|reason| reason.code().word()).collect(),
        Err(other) => panic!("{other:?}"),
    }
}

#[test]
fn a_fill_follows_the_checklist_of_the_air() {
    let counter = after_air();
    assert_eq!(against(&counter, &with_air_at(120), false), ["checklist/link-left-out"]);
    // Nobody says when air went in.
    assert_eq!(against(&counter, &passing(), true), ["checklist/link-broken"]);
    // It went in before anybody had signed.
    assert_eq!(against(&counter, &with_air_at(-900), true), ["checklist/link-broken"]);
    let words = said(counter.sign(|order| order.before = vec![counter.source(AIR)]));
    let due = "what the checklist of before air is for was done before it was checked, 4 March 2026 09:30";
    assert!(words.contains(due), "{words}");
    assert_eq!(against(&counter, &with_air_at(120), true), [""; 0]);
    let with_it = counter.verify(|order| order.before = vec![counter.source(AIR)]).unwrap();
    assert_eq!(with_it.answer, Answer::MayStart, "{:?}", with_it.report);
    let without = counter.verify(|_| {}).unwrap();
    assert_eq!(without.answer, Answer::InOrder);
    let codes: Vec<&str> = without.report.reasons().map(|reason| reason.code().word()).collect();
    assert_eq!(codes, ["checklist/link-not-given"]);
}

#[test]
fn a_link_does_not_lapse_once_it_was_acted_on() {
    let counter = after_air();
    assert_eq!(against(&counter, &with_air_at(120), true), [""; 0]);
    let body = counter.verify(|_| {}).unwrap().report.body.unwrap();
    assert!(body.before.is_some());
    // Acted on after it had lapsed: the checklist of the air holds for some hours at most.
    let late = after_air();
    late.clock(13 * 3600);
    let codes = against(&late, &with_air_at(12 * 3600 + 1800), true);
    assert!(codes.contains(&"checklist/link-broken"), "{codes:?}");
}

#[test]
fn a_checklist_of_another_assembly_bears_nothing() {
    let counter = after_air();
    let other = with_air_at(120).replacen("mark: loader 4, left front", "mark: loader 4, right front", 1);
    assert_eq!(against(&counter, &other, true), ["checklist/link-broken"]);
    let job = with_air_at(120).replacen("job: HT-0311", "job: HT-0312", 1);
    assert_eq!(against(&counter, &job, true), ["checklist/link-broken"]);
}

/// What lasts for the job and was known before must be so at the next hold point. What the assembly is, and what nobody asks
/// any more, makes it another assembly than was let pass; the rest is judged again, and told.
#[test]
fn what_lasts_must_be_as_it_was() {
    // Every fact of the assembly and the job that is stated in one word or one number, and lasts.
    let other = [
        ("size: 17.5-25", "size: 17.5-25 L3", true),
        ("state: used", "state: new", true),
        ("ply_rating: 16", "ply_rating: 20", true),
        ("seal: tubeless", "seal: tube type", true),
        ("sidewall_maximum: 70 psi", "sidewall_maximum: 90 psi", true),
        ("bead_diameter: 25 in", "bead_diameter: 24 in", true),
        ("rating: 75 psi", "rating: 95 psi", true),
        ("rating: 80 psi", "rating: 120 psi", true),
        ("lock_ring: split", "lock_ring: endless", true),
        // Measured again, and asked at both.
        ("ring_gap: 1/2 in", "ring_gap: 3/8 in", false),
        // Known before and left out now.
        ("      rating: 80 psi\n", "", true),
        // Weighed again, changed by the customer: judged again, and told.
        ("mass: 292 lb", "mass: 290 lb", false),
        ("mass: 214 lb", "mass: 260 lb", false),
        ("pressure: 60 psi", "pressure: 61 psi", false),
        ("operating_pressure: 57 psi", "operating_pressure: 58 psi", false),
        ("from: machine manual", "from: load table", false),
    ];
    for (was, now, parts) in other {
        let counter = after_air();
        let record = with_air_at(120).replacen(was, now, 1);
        assert_ne!(record, with_air_at(120), "{was}");
        counter.put(RECORD, &record);
        let mut order = counter.order();
        order.before = vec![counter.source(AIR)];
        match counter.draft(order) {
            Err(Refusal::Reasons(reasons)) => {
                assert!(parts, "{now}: {reasons:?}");
                let codes: Vec<&str> = reasons.iter().map(|reason| reason.code().word()).collect();
                assert_eq!(codes, ["checklist/link-changed"], "{now}");
                let words = reasons[0].to_string();
                assert!(words.contains("loader 4, left front: `") && words.contains(" before air and "), "{words}");
            }
            Err(other) => panic!("{other:?}"),
            Ok(draft) => {
                assert!(!parts, "{now}");
                let told: Vec<&str> = draft.proposal().changes.iter().map(|change| change.fact.as_str()).collect();
                let fact = was.trim().split(':').next().unwrap();
                assert!(told.len() == 1 && told[0].ends_with(fact), "{now}: {told:?}");
            }
        }
    }
    // What was looked at anew is no change, and neither is what another hand writes otherwise.
    for (was, now) in [
        ("inspected: {at: 2026-03-04T07:45:00-06:00", "inspected: {at: 2026-03-04T08:45:00-06:00"),
        ("width: 14 in", "width: 14.0 in"),
        ("state: used", "state: 'used'"),
    ] {
        let counter = after_air();
        let record = with_air_at(120).replacen(was, now, 1);
        assert_ne!(record, with_air_at(120), "{was}");
        assert_eq!(against(&counter, &record, true), [""; 0], "{now}");
        let verified = counter.verify(|order| order.before = vec![counter.source(AIR)]).unwrap();
        assert!(verified.report.may_start() && verified.report.changes.is_empty(), "{:?}", verified.report);
    }
}

/// The files of a job that goes on, looked at together with the record as it now stands: each serves the next as its link,
/// and the one of an act long done is in order.
#[test]
fn an_honest_chain_lies_in_a_folder() {
    let counter = after_air();
    assert_eq!(against(&counter, &with_air_at(120), true), [""; 0]);
    let all = [AIR, crate::shop::counter::FILE];
    let look = |file| {
        let verified = counter.verify_file(file, |order| order.among = all.map(Into::into).to_vec()).unwrap();
        let codes: Vec<&str> = verified.report.reasons().map(|reason| reason.code().word()).collect();
        (verified.answer, codes)
    };
    assert_eq!(look(all[0]), (Answer::InOrder, vec!["checklist/record-gone-on"]));
    assert_eq!(look(all[1]), (Answer::MayStart, vec![]));
    // A fact that was known before air and is otherwise now.
    counter.put(RECORD, with_air_at(120).replacen("rating: 80 psi", "rating: 120 psi", 1));
    assert_eq!(look(all[0]), (Answer::DoesNotFit, vec!["checklist/record-changed"]));
    // More is written, and nobody has let any air in: it is not the record that was judged.
    counter.put(RECORD, passing() + "cure: {place: west bay}\n");
    assert_eq!(look(all[0]).0, Answer::DoesNotFit);
}

/// Of a folder the checklist of the job at the hold point before is taken, the last one where there are several.
#[test]
fn a_folder_is_given_for_the_link() {
    let counter = after_air();
    counter.put(RECORD, with_air_at(120));
    let files = ["later.checklist.json", "other.checklist.json"];
    counter.clock(0);
    counter.put(RECORD, before_air(&passing().replacen("job: HT-0311", "job: HT-0312", 1)));
    let other = |order: &mut fillward::desk::SignOrder| {
        order.passage.point = HoldPoint::BeforeAir;
        order.out = Some(files[1].into());
    };
    counter.sign(other).unwrap();
    counter.put(RECORD, before_air(&passing()));
    counter.clock(60);
    let again = |order: &mut fillward::desk::SignOrder| {
        order.passage.point = HoldPoint::BeforeAir;
        order.out = Some(files[0].into());
    };
    counter.sign(again).unwrap();
    counter.clock(600);
    counter.put(RECORD, with_air_at(120));
    let folder = [AIR, files[0], files[1]];
    let signed = counter.sign(|order| order.before = folder.map(|file| counter.source(file)).to_vec()).unwrap();
    assert!(signed.report.may_start(), "{:?}", signed.report);
    let link = |file: &str| {
        fillward::checklist::links::digest_in(&fillward::checklist::links::Earlier {
            name: file.to_owned(),
            bytes: counter.get(file).unwrap(),
        })
    };
    assert_eq!(signed.report.body.unwrap().before, link(files[0]));
}

/// A HOLD that came between the PASS and the air bears no fill, whether the PASS is named by hand with the HOLD beside it or
/// both are given; one that came after the air, or was signed by nobody of the shop, changes nothing.
#[test]
fn a_pass_that_a_hold_overtook_bears_nothing() {
    let hold = "air2.hold.checklist.json";
    for (held_after, is_broken) in [(60, true), (300, false)] {
        let counter = after_air();
        counter.clock(held_after);
        counter.put(RECORD, before_air(&passing()).replacen("people_clear: true", "people_clear: false", 1));
        let signed = counter.sign(|order| {
            order.passage.point = HoldPoint::BeforeAir;
            order.hold = true;
            order.out = Some(hold.into());
        });
        assert!(!signed.unwrap().report.may_start());
        counter.clock(600);
        let due: &[&str] = if is_broken { &["checklist/link-broken"] } else { &[] };
        assert_eq!(against(&counter, &with_air_at(120), true), due, "the HOLD came {held_after} s after the PASS");
        // It was signed before the HOLD lay there, and is looked at together with it.
        let file = counter.get(hold).unwrap();
        if is_broken {
            counter.drop(hold);
            assert_eq!(against(&counter, &with_air_at(120), true), [""; 0]);
            counter.put(hold, file);
        }
        let all = [AIR, hold, crate::shop::counter::FILE];
        for among in [Vec::new(), all.map(Into::into).to_vec()] {
            let verified = counter
                .verify_file(all[2], |order| {
                    order.before = vec![counter.source(AIR)];
                    order.among = among;
                })
                .unwrap();
            let codes: Vec<&str> = verified.report.reasons().map(|reason| reason.code().word()).collect();
            assert_eq!(codes, due, "the HOLD came {held_after} s after the PASS");
        }
    }
}

/// What a stolen key signed bears the next hold point no better than it stands by itself: by somebody else's word alone.
#[test]
fn a_link_by_a_stolen_key_bears_nothing() {
    for countersigned in [false, true] {
        let counter = after_air();
        counter.clock(60);
        if countersigned {
            counter.put(RECORD, before_air(&passing()));
            let file = counter.get(AIR).unwrap();
            counter.put(crate::shop::counter::FILE, file);
            counter.countersign((crate::shop::WREN, Role::Supervisor)).unwrap();
            counter.put(AIR, counter.get(crate::shop::counter::FILE).unwrap());
            counter.drop(crate::shop::counter::FILE);
        }
        counter.clock(600);
        let at = later(300).to_record_text();
        counter.trust(|body| body.people[0].keys[0].revoked = Some(Revocation { at, why: "stolen".to_owned() }));
        counter.put(RECORD, with_air_at(120));
        let signed =
            counter.sign_by((crate::shop::WREN, Role::Supervisor), |order| order.before = vec![counter.source(AIR)]);
        match signed {
            Ok(signed) => assert!(countersigned && signed.report.may_start(), "{:?}", signed.report),
            Err(Refusal::Reasons(reasons)) => {
                assert!(!countersigned, "{reasons:?}");
                assert!(reasons[0].to_string().contains("has been revoked since"), "{reasons:?}");
            }
            Err(other) => panic!("{other:?}"),
        }
    }
}

#[test]
fn only_the_hold_point_before_bears_the_next() {
    let counter = after_air();
    // The checklist of a fill is none of the air.
    assert_eq!(against(&counter, &with_air_at(120), true), [""; 0]);
    let fill = counter.get(crate::shop::counter::FILE).unwrap();
    counter.put(AIR, fill);
    counter.drop(crate::shop::counter::FILE);
    assert_eq!(against(&counter, &with_air_at(120), true), ["checklist/link-broken"]);
}

/// One assembly may go on while another of its job is held: the checklist covers what it names, and no more.
#[test]
fn a_part_of_a_job_goes_on_by_itself() {
    let counter = Shop::new().at_desk();
    counter.put(RECORD, common::read("shared/demo/jobs/hold-one-of-four.yaml"));
    assert!(matches!(counter.sign(|_| {}), Err(Refusal::Held)));
    let marks = ["skid steer 14, left front", "skid steer 14, left rear"].map(str::to_owned).to_vec();
    let signed = counter.sign(|order| order.passage.assemblies.clone_from(&marks)).unwrap();
    assert!(signed.report.may_start(), "{:?}", signed.report);
    let body = signed.report.body.unwrap();
    let covered: Vec<String> = body.assemblies.into_iter().filter_map(|filled| filled.mark).collect();
    assert_eq!(covered, marks);
    // Wherever somebody reads that something may start, the rest of the job is named.
    let others = ["skid steer 14, right front", "skid steer 14, right rear"];
    let named = |filled: &[Filled]| filled.iter().filter_map(|one| one.mark.clone()).collect::<Vec<_>>();
    let verified = counter.verify(|_| {}).unwrap();
    assert_eq!(verified.answer, Answer::MayStart);
    assert_eq!(
        (named(&verified.report.not_covered), named(&signed.report.not_covered)),
        (others.map(str::to_owned).to_vec(), others.map(str::to_owned).to_vec())
    );
    let mut order = counter.order();
    (order.passage.assemblies, order.out) = (marks.clone(), Some("other.checklist.json".into()));
    assert_eq!(named(&counter.draft(order).unwrap().proposal().not_covered), others);
    let checklist = counter.source(crate::shop::counter::FILE);
    let (packs, editions, trust) = (Vec::new(), Vec::new(), None);
    let shown = fillward::desk::show(&fillward::desk::ShowOrder { checklist, packs, editions, trust }).unwrap();
    assert_eq!(named(&shown.not_covered), others);
    let unknown = |mark: &str| counter.sign(|order| order.passage.assemblies = vec![mark.to_owned()]);
    let Err(Refusal::Unfit(unfit)) = unknown("skid steer 15") else { panic!("an assembly that is not there") };
    assert_eq!(unfit, Unfit::NoSuchAssembly { mark: "skid steer 15".to_owned() });
}

/// The law: a file that was given in the place of the one that is named is told by its name, and by what it is.
#[test]
fn what_was_given_in_its_place_is_told() {
    let counter = after_air();
    assert_eq!(against(&counter, &with_air_at(120), true), [""; 0]);
    let air = String::from_utf8(counter.get(AIR).unwrap()).unwrap();
    counter.put("tampered.json", air.replacen("\"PASS\"", "\"HOLD\"", 1));
    counter.put("broken.json", &air.as_bytes()[..900]);
    counter.put(RECORD, before_air(&passing()));
    counter
        .sign(|order| {
            order.passage.point = HoldPoint::BeforeAir;
            order.out = Some("again.checklist.json".into());
        })
        .unwrap();
    counter.put(RECORD, before_air(&passing()).replacen("HT-0311", "HT-0888", 1));
    counter
        .sign(|order| {
            order.passage.point = HoldPoint::BeforeAir;
            order.out = Some("other.checklist.json".into());
        })
        .unwrap();
    counter.put(RECORD, with_air_at(120));
    let told = |given: &[&str]| {
        let verified = counter.verify(|order| order.before = given.iter().map(|name| counter.source(name)).collect());
        let bars: Vec<String> = verified.unwrap().report.bars.iter().map(ToString::to_string).collect();
        assert!(bars.len() < 2, "{bars:?}");
        bars.concat()
    };
    assert_eq!(told(&[AIR]), "");
    assert_eq!(told(&[AIR, "other.checklist.json", "tampered.json"]), "", "the right one is among them");
    let head = "it follows another checklist of before air than was given: ";
    for (given, due) in [
        (vec!["other.checklist.json"], "“other.checklist.json” is of the job “HT-0888”"),
        (vec!["job.checklist.json"], "“job.checklist.json” is of the hold point `before fill`"),
        (
            vec!["again.checklist.json"],
            "“again.checklist.json” is of this job, and says something else, checked 4 March 2026 09:40 (-06:00)",
        ),
        (vec!["tampered.json"], "“tampered.json” is not to be relied on: the content is not what Odile Varga signed"),
        (vec!["broken.json"], "“broken.json” cannot be read"),
        (vec!["other.checklist.json", "job.checklist.json"], "of the 2 given none is of this job and hold point"),
        (
            vec!["other.checklist.json", "again.checklist.json"],
            "“again.checklist.json” is of this job, and says something else",
        ),
    ] {
        let found = told(&given);
        assert!(found.starts_with(&format!("{head}{due}")), "{found}");
    }
}
