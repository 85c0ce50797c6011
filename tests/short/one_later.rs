//! Of a short job of two one is filled and the other waits: what is written without its day stays of the day at the head,
//! whenever the first is looked at again, and each passes at its point by the same record, which only grows.

use fillward::document::{Document, Faults};
use fillward::engine::Scene;
use fillward::pack::PackSet;
use fillward::record;
use fillward::record::shop::{self, Expanded, Shop};
use fillward::units::{Exact, Instant};
use fillward::vocabulary::{HoldPoint, Verdict};
use proptest::prelude::*;

use super::SHOP;
use crate::common;

const BEFORE_SERVICE: &str = "shared/demo/carried-short/4-before-service.yaml";
const FIRST: &str = "loader 7, right rear";
const SECOND: &str = "loader 7, left rear";

/// The minutes from midnight, as they are written.
fn clock(minute: i64) -> String {
    format!("{:02}:{:02}", minute.div_euclid(60), minute.rem_euclid(60))
}

fn at(minute: i64) -> Instant {
    let midnight = Instant::parse("2026-03-04T00:00:00-06:00").unwrap();
    midnight.checked_add_seconds(Exact::from_int(60 * minute)).unwrap().in_zone(&common::demo_zone())
}

/// The planned start of the first, its own start, and its end.
const FIRST_FILL: [i64; 3] = [10 * 60, 10 * 60 + 4, 10 * 60 + 52];

/// How far the job has come.
#[derive(Debug, Clone, Copy)]
struct Come {
    /// When the second is filled, from midnight.
    second: i64,
    /// Whether it is filled, and whether the start was planned anew for it.
    filled: bool,
    planned: bool,
    /// Whether what was filled is cured and refitted.
    cured: bool,
}

/// The short record of a job of two.
fn written(come: Come) -> String {
    let text = common::read(BEFORE_SERVICE);
    let (head, rest) = text.split_once("assemblies:\n").unwrap();
    let (one, rest) = rest.split_once("\ncomponents:\n").unwrap();
    let refit = "    refit: {marked: true, nut_torque: 450 lbf.ft}\n";
    let (looked, one) = one.split_once("    fill:\n").unwrap();
    let (fill, bench) = one.split_once(refit).unwrap();
    let filled = |start: i64, end: i64| {
        let acts = format!("    acts: {{fill: {}}}\n    fill:\n", clock(start));
        let fill = fill.replace("10:52", &clock(end));
        let refit = if come.cured { refit } else { "" };
        format!("{looked}{acts}{fill}{refit}{bench}")
    };
    let [planned, start, end] = FIRST_FILL;
    let bare = format!("{looked}{bench}");
    let second = if come.filled { filled(come.second, come.second + end - start) } else { bare };
    let head = head.replace(
        "planned_start: 10:00",
        &format!("planned_start: {}", clock(if come.planned { come.second } else { planned })),
    );
    let rest = rest.replace("368 lb", "736 lb").replace("530 lb", "1060 lb").replace("555 lb", "1110 lb");
    let rest = if come.cured {
        rest
    } else {
        rest.replace(", hardness: 57", "").split("\nservice:\n").next().unwrap().to_owned()
    };
    let second = second.replace(FIRST, SECOND);
    format!("{head}assemblies:\n{}\n{second}\ncomponents:\n{rest}", filled(start, end))
}

/// The demo shop, whose drums and bay were read once more.
fn shop_with(minute: i64) -> Shop {
    let sheet = format!(
        "\ndays:\n  - day: 2026-03-04\n    place: EB\n    read: {{at: {}, thermometer: T-1}}\n    \
         workspace: {{temperature: {{reading: 74 degF, thermometer: T-2}}}}\n    \
         lots: {{PS-118: {{core_temperature: 75 degF}}, PL-641: {{core_temperature: 75 degF}}}}\n",
        clock(minute)
    );
    let shop = common::read(SHOP).replacen("\ndays:\n", &sheet, 1);
    assert!(shop.contains(&sheet));
    Shop::read(Document::read("shop.yaml", shop.as_bytes()).unwrap()).unwrap()
}

fn made(packs: &PackSet, shop: &Shop, text: &str, then: Instant) -> Result<Expanded, Faults> {
    shop::expand(Document::read("job.yaml", text.as_bytes()).unwrap(), Some(shop), packs, shop.zone(), then)
}

/// What holds one of the two.
fn holding(packs: &PackSet, document: &Document, (point, then, mark): (HoldPoint, Instant, &str)) -> Vec<String> {
    let job = record::read(document, packs.catalogue(), &common::demo_zone()).unwrap();
    let scene = Scene::new(packs, &job, then, &common::demo_zone()).at_hold_point(point).covering(&[mark]).unwrap();
    let judgement = scene.judge();
    let held = judgement.findings.iter().filter(|finding| finding.holds());
    let held: Vec<String> = held.map(|finding| scene.code_of(finding)).collect();
    assert_eq!(held.is_empty(), judgement.verdict == Verdict::Pass);
    held
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    #[test]
    fn the_record_of_two_only_grows(gap in 20_i64..=360, days in 0_i64..6, minute in 0_i64..1440) {
        use HoldPoint::{AfterFill, BeforeFill, BeforeService};
        let packs = PackSet::base().unwrap();
        let [planned, _, end] = FIRST_FILL;
        let second = end + gap;
        let (as_it_was, again) = (Shop::read(common::document(SHOP)).unwrap(), shop_with(second - 25));
        let shop_at = |then: i64| if then < second - 25 { &as_it_was } else { &again };
        let anew = second - 20 - planned > 60;
        let come = |filled, planned, cured| Come { second, filled, planned, cured };
        let service = 2 * 1440 + 13 * 60;
        for (come, point, then, mark) in [
            (come(false, false, false), AfterFill, end + 10, FIRST),
            (come(false, anew, false), BeforeFill, second - 20, SECOND),
            (come(false, anew, false), AfterFill, second - 20, FIRST),
            (come(true, anew, false), AfterFill, second + 58, SECOND),
            (come(true, anew, false), AfterFill, second + 58, FIRST),
            (come(false, false, true), BeforeService, service, FIRST),
            (come(false, anew, true), BeforeService, service, FIRST),
            (come(true, anew, true), BeforeService, service, FIRST),
            (come(true, anew, true), BeforeService, service + second - planned, SECOND),
        ] {
            let text = written(come);
            let made = made(&packs, shop_at(then), &text, at(then));
            prop_assert!(made.is_ok(), "{come:?} {point:?} {mark}: {:?}", made.err());
            let held = holding(&packs, &made.unwrap().document, (point, at(then), mark));
            prop_assert!(held.is_empty(), "{come:?} {point:?} {mark}: {held:?}");
        }
        // Whenever it is looked at again, what says no day is of the day at the head.
        let later = at((second + 60).max(days * 1440 + minute));
        for filled in [false, true] {
            for planned in [false, anew] {
                let text = written(come(filled, planned, false));
                let made = made(&packs, &again, &text, later);
                prop_assert!(made.is_ok(), "{filled} {planned} {later:?}: {:?}", made.err());
                let json = made.unwrap().document.to_json();
                prop_assert_eq!(json["assemblies"][1]["seated"]["at"].as_str(), Some("2026-03-04T08:25:00-06:00"));
                prop_assert_eq!(json["assemblies"][0]["fill"]["ended"].as_str(), Some("2026-03-04T10:52:00-06:00"));
            }
        }
    }
}

/// The next morning begins within half a day after the first fill of the evening, and the plan of the one that waits may lie
/// there; later than that it is of another day than the one at the head.
#[test]
fn the_plan_of_the_one_that_waits_may_lie_in_the_next_morning() {
    let packs = PackSet::base().unwrap();
    let shop = Shop::read(common::document(SHOP)).unwrap();
    let of = |start: &str, planned: &str, judged: &str| {
        let come = Come { second: 0, filled: false, planned: false, cured: false };
        let text = written(come)
            .replace("planned_start: 10:00", &format!("planned_start: 2026-03-05 {planned}"))
            .replace("acts: {fill: 10:04}", start)
            .replace("ended: 10:52", "ended: 22:52")
            .replace("taken: 10:45", "taken: 22:45");
        let made = made(&packs, &shop, &text, Instant::parse(judged).unwrap());
        made.err()
            .into_iter()
            .flat_map(|faults| faults.iter().map(|fault| fault.code().word()).collect::<Vec<_>>())
            .collect::<Vec<_>>()
    };
    let judged = "2026-03-05T04:40:00-06:00";
    assert_eq!(of("acts: {fill: 22:04}", "05:00", judged), [""; 0]);
    assert_eq!(of("acts: {fill: 22:04}", "10:03", judged), [""; 0]);
    assert!(of("acts: {fill: 22:04}", "10:05", judged).contains(&"shop/other-day"));
    assert!(of("acts: {fill: 15:59}", "05:00", judged).contains(&"shop/other-day"));
}
