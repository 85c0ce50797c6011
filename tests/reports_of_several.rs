//! Reports of several assemblies, and of what became of them: what is the same is said once, with every mark and every line,
//! and each hold point tells what is signed there.

use fillward::document::Document;
use fillward::engine::Scene;
use fillward::explain::{self, AtFrom, Layout, Report};
use fillward::pack::PackSet;
use fillward::record;
use fillward::record::shop::{self, Shop};
use fillward::units::Instant;
use fillward::vocabulary::{HoldPoint, Verdict};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

use crate::common;

const LOOK: Layout = Layout { width: 80, colour: false };
const SHOP: &str = "shared/demo/shop.yaml";

/// Hands the report of a record, long or short, to `look`.
fn with<T>(text: &str, point: HoldPoint, at: &str, look: impl FnOnce(&Report<'_>) -> T) -> T {
    let packs = PackSet::base().unwrap();
    let shop = Shop::read(common::document(SHOP)).unwrap();
    let at = Instant::parse(at).unwrap();
    let document = Document::read("job.yaml", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults:?}\n{text}"));
    let is_long = text.contains("\nthermometers:");
    let made = if is_long {
        document
    } else {
        let made = shop::expand(document, Some(&shop), &packs, shop.zone(), at);
        made.unwrap_or_else(|faults| panic!("{faults:?}\n{text}")).document
    };
    let zone = common::demo_zone();
    let job = record::read(&made, packs.catalogue(), &zone).unwrap();
    let scene = Scene::new(&packs, &job, at, &zone).at_hold_point(point);
    look(&Report::new(&scene, scene.judge(), &made, AtFrom::Given))
}

const MORNING: &str = "2026-03-04T09:30:00-06:00";

/// How one of the tyres below the first stands for the fill.
const STANDS: [&str; 4] = ["stem low, vent high", "stem not low", "vent not high", "neither"];

/// The demo's loader with eleven spare wheels beside its own, each as it stands.
fn twelve(stands: &[usize]) -> String {
    let record = common::read("shared/demo/short/pass-loader-bias-used.yaml");
    let spare = |(place, stands): (usize, &usize)| {
        format!(
            "  - mark: loader 4, spare {}\n    like: loader 4, left front\n    tyre: {{ran_flat: never}}\n    \
             rim: {{ring_gap: 1/2 in, seal_ring: new}}\n    bench: {{at: 08:05, found: []}}\n    \
             mounting: {{stem_open: true}}\n    seated: 08:30\n    stands: {}\n",
            place + 1,
            STANDS[*stands]
        )
    };
    let more: String = stands.iter().enumerate().map(spare).collect();
    let record = record.replace("\ncomponents:\n", &format!("{more}\ncomponents:\n"));
    // Enough of the liquids for twelve.
    record.replace("368 lb", "4400 lb").replace("530 lb", "5300 lb").replace("555 lb", "5550 lb")
}

/// Whatever is wrong at which of twelve like tyres: each kind of fault is told once, with every tyre and every line that has
/// it, and the report stays on its pages.
#[test]
fn like_faults_of_like_tyres_are_told_once_with_every_mark_and_line() {
    let config = ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() };
    TestRunner::new(config)
        .run(&prop::collection::vec(0..STANDS.len(), 11), |stands| {
            let text = twelve(&stands);
            let brief = with(&text, HoldPoint::BeforeFill, MORNING, |report| explain::brief(report, LOOK));
            let faults = brief.split("\n  ! ").skip(1).map(|one| one.split_whitespace().collect::<Vec<_>>().join(" "));
            let faults: Vec<String> = faults.filter(|one| one.contains("/stands-wrong)")).collect();
            let kinds: std::collections::BTreeSet<usize> =
                stands.iter().copied().filter(|stands| *stands > 0).collect();
            prop_assert!(faults.len() <= kinds.len() && faults.is_empty() == kinds.is_empty(), "{}", &brief);
            for (place, stands) in stands.iter().enumerate() {
                let word = (place + 1).to_string();
                let line = 8 + text.lines().take_while(|line| !line.contains(&format!("spare {word}"))).count();
                let named = faults.iter().filter(|fault| {
                    let (about, rest) = fault.split_once(": ").unwrap();
                    let about = about.trim_start_matches("loader 4, spare ");
                    let is_named = about.split([' ', ',']).any(|named| named == word);
                    let is_told = rest.split([' ', ',', ':']).any(|told| told == line.to_string());
                    assert_eq!(is_named, is_told, "spare {word}, line {line}: {fault}");
                    is_named
                });
                prop_assert_eq!(named.count(), usize::from(*stands > 0), "spare {}: {:?}", word, &faults);
            }
            prop_assert!(brief.lines().count() <= 60, "{} lines\n{}", brief.lines().count(), brief);
            Ok(())
        })
        .unwrap_or_else(|error| panic!("{error}"));
}

/// Of tyres of which the same is signed it is said once, with all their marks; of one with another target it stands apart.
#[test]
fn a_pass_says_of_like_tyres_what_they_have_in_common_once() {
    let text = twelve(&[0; 5]);
    let phrases = |text: &str| {
        with(text, HoldPoint::BeforeFill, MORNING, |report| {
            report.summary.phrases().into_iter().filter(|phrase| phrase.contains("pressure window")).collect::<Vec<_>>()
        })
    };
    let all = phrases(&text);
    let [one] = all.as_slice() else { panic!("{all:?}") };
    assert!(
        one.starts_with("loader 4, left front, spare 1, spare 2, spare 3, spare 4 and spare 5: target 60 psi"),
        "{one}"
    );
    let apart = text.replacen("    seated: 08:30\n", "    seated: 08:30\n    target: {pressure: 61 psi}\n", 1);
    let two = phrases(&apart);
    assert_eq!(two.len(), 2, "{two:?}");
    assert!(two[1].starts_with("loader 4, spare 1: target 61 psi"), "{two:?}");
}

/// After the fill a PASS says what went in, how it ended and how high it rose; before service, for what the machine is
/// released. What is signed is what is said: every value stands in the record.
#[test]
fn a_pass_after_the_fill_says_what_is_signed_there() {
    for (name, point, at, due) in [
        (
            "carried-short/3-after-fill",
            HoldPoint::AfterFill,
            "2026-03-04T11:30:00-06:00",
            &["went in ", "% of the likely)", "ended at 60 psi for a target of 60 psi", "peak "][..],
        ),
        (
            "carried/metric-3-after-fill",
            HoldPoint::AfterFill,
            "2026-03-04T11:40:00-06:00",
            &["went in ", " kg (", "% of the likely)", "ended at ", "peak "][..],
        ),
        (
            "carried-short/4-before-service",
            HoldPoint::BeforeService,
            "2026-03-07T11:30:00-06:00",
            &["filled to 60 psi", "nuts at ", "released for: ", "up to ", "accepted by "][..],
        ),
    ] {
        let text = common::read(&format!("shared/demo/{name}.yaml"));
        let said = with(&text, point, at, |report| {
            assert_eq!(report.verdict(), Verdict::Pass, "{name}: {}", explain::brief(report, LOOK));
            report.summary.phrases().join("; ")
        });
        for due in due {
            assert!(said.contains(due), "{name}: no `{due}` in {said}");
        }
        assert!(!said.contains("pressure window") && !said.contains("the load needs"), "{name}: {said}");
    }
}

/// What was filled on its vehicle leaves no stand, hangs nowhere and is set down nowhere: no form of any report after
/// the fill says so, and of other assemblies each says it as before.
#[test]
fn on_the_vehicle_nothing_leaves_a_stand() {
    for (name, at, on_vehicle) in [
        ("vehicle-3-after-fill", "2026-03-04T11:40:00-06:00", true),
        ("3-after-fill", "2026-03-04T11:30:00-06:00", false),
    ] {
        let text = common::read(&format!("shared/demo/carried/{name}.yaml"));
        for held in [false, true] {
            let text = if held { text.replacen("      closed: true", "      closed: false", 1) } else { text.clone() };
            let (sentences, start) = with(&text, HoldPoint::AfterFill, at, |report| {
                assert_eq!(report.verdict() == Verdict::Hold, held, "{name}: {}", explain::brief(report, LOOK));
                let json: serde_json::Value = serde_json::from_str(&explain::json(report).unwrap()).unwrap();
                (json["caution"].as_str().unwrap().to_owned(), report.start_phrase().unwrap_or_default())
            });
            let said = format!("{sentences} {start}");
            let of_a_stand = ["leave the stand", "on the stand", "where it hangs", "gear that may carry it"];
            let found = of_a_stand.iter().filter(|words| said.contains(**words)).count();
            assert_eq!(found > 0, !on_vehicle && !held, "{name}: {said}");
            assert_eq!(said.contains("the machine may be left to cure"), on_vehicle && !held, "{name}: {said}");
        }
    }
    // A signed file does not say where its assemblies are: its words are right of both.
    let point = HoldPoint::AfterFill;
    assert_eq!([false, true].map(|on_vehicle| point.may_where(on_vehicle).contains("stand")), [true, false]);
    for words in [point.may(), point.could_have()] {
        assert!(words.contains("stand") && words.contains("on its machine"), "{words}");
    }
}

/// A reading in fractions of an inch has its bound in fractions, where it is one.
#[test]
fn a_bound_beside_a_fraction_is_a_fraction() {
    let text = common::read("shared/demo/short/pass-loader-bias-used.yaml");
    for (gap, due) in [("1/8 in", "1/8 in; needs 15/64 in or more"), ("3/16 in", "3/16 in; needs 15/64 in or more")] {
        let text = text.replace("ring_gap: 1/2 in", &format!("ring_gap: {gap}"));
        let brief = with(&text, HoldPoint::BeforeFill, MORNING, |report| explain::brief(report, LOOK));
        assert!(brief.contains(due), "{due}: {brief}");
    }
}

/// Where one of several ways could only come about if an entry were taken out, it is not told: nobody is sent to find
/// out what would matter without it.
#[test]
fn no_way_is_told_that_takes_an_entry_out() {
    let text = common::read("shared/demo/carried-short/4-before-service.yaml").replace("hardness: 57", "hardness: 41");
    let brief = with(&text, HoldPoint::BeforeService, "2026-03-07T11:30:00-06:00", |report| {
        // When it left the stand the signature asks for, and no rule.
        assert_eq!(report.worklist.missing().filter(|fact| !fact.rules.is_empty()).count(), 0);
        explain::brief(report, LOOK)
    });
    assert!(brief.contains("41; needs 52 or more\n"), "{brief}");
}
