//! The worklist of a report: nothing that holds a job is left out of it, nothing stands in it twice, and it fits a screen.

use std::collections::BTreeSet;

use fillward::document::Document;
use fillward::explain::{self, Explained, Layout, Report, RulePlace};
use fillward::pack::PackSet;
use fillward::record;
use fillward::record::catalogue::Station;
use fillward::vocabulary::Verdict;

use crate::common;
use crate::common::tree::{Step, name, paths, without};
use crate::remedies::pack;

const JOBS: &str = "shared/demo/jobs";
const WIDE: Layout = Layout { width: 80, colour: false };
/// Lines that a person sees of a report without turning a page, by the needs of a shop's screen.
const SCREEN: usize = 60;

fn with<T>(packs: &PackSet, text: &str, look: impl FnOnce(&Report<'_>) -> T) -> T {
    common::with_report(packs, &Document::read("job.yaml", text.as_bytes()).unwrap(), common::demo_at(), look)
}

/// The demo jobs, a blank record, and demo jobs of which a part is left out at each place in turn.
fn each(packs: &PackSet, mut look: impl FnMut(&str, &Report<'_>)) {
    let mut count = 1;
    with(packs, &record::blank_template(packs.catalogue()), |report| look("blank", report));
    for path in common::files(JOBS, ".yaml") {
        with(packs, &common::read(&path), |report| look(&path, report));
        count += 1;
    }
    let whole: serde_yaml::Value =
        serde_yaml::from_str(&common::read(&format!("{JOBS}/pass-loader-bias-used.yaml"))).unwrap();
    for path in all_paths(&whole) {
        let text = serde_yaml::to_string(&without(&whole, &path)).unwrap();
        let Ok(document) = Document::read("job.yaml", text.as_bytes()) else { continue };
        if record::read(&document, packs.catalogue(), &common::demo_zone()).is_ok() {
            with(packs, &text, |report| look(&format!("without {path:?}"), report));
            count += 1;
        }
    }
    assert!(count > 200, "{count}");
}

/// The rule of a finding.
fn place(finding: &Explained<'_>) -> RulePlace {
    RulePlace { pack: finding.finding.pack, rule: finding.finding.rule }
}

fn all_paths(tree: &serde_yaml::Value) -> Vec<Vec<Step>> {
    let mut found = Vec::new();
    paths(tree, &[], &mut found);
    found
}

#[test]
fn a_worklist_is_empty_exactly_when_the_job_passes() {
    let packs = PackSet::base().unwrap();
    each(&packs, |name, report| {
        assert_eq!(report.worklist.stops.is_empty(), report.verdict() == Verdict::Pass, "{name}");
    });
}

#[test]
fn every_finding_that_holds_the_job_is_on_the_worklist() {
    let packs = PackSet::base().unwrap();
    each(&packs, |name, report| {
        let faults: BTreeSet<usize> =
            report.worklist.stops.iter().flat_map(|stop| stop.faults.iter().copied()).collect();
        let count: usize = report.worklist.stops.iter().map(|stop| stop.faults.len()).sum();
        assert_eq!(faults.len(), count, "{name}: a fault stands twice");
        let asking: BTreeSet<RulePlace> = report.worklist.missing().flat_map(|fact| fact.rules.clone()).collect();
        for (position, finding) in report.holding.iter().enumerate() {
            assert!(faults.contains(&position) || asking.contains(&place(finding)), "{name}: {}", finding.code());
        }
    });
}

#[test]
fn a_missing_fact_stands_once_and_in_walking_order() {
    let packs = PackSet::base().unwrap();
    each(&packs, |name, report| {
        let places: Vec<_> = report.worklist.missing().map(|fact| &fact.place).collect();
        assert_eq!(places.iter().collect::<BTreeSet<_>>().len(), places.len(), "{name}: {places:?}");
        let stations: Vec<Station> = report.worklist.stops.iter().map(|stop| stop.station).collect();
        assert!(stations.is_sorted() && stations.windows(2).all(|pair| pair[0] != pair[1]), "{name}: {stations:?}");
    });
}

#[test]
fn what_is_left_out_of_a_good_record_is_what_the_worklist_asks_for() {
    let packs = PackSet::base().unwrap();
    let whole: serde_yaml::Value =
        serde_yaml::from_str(&common::read(&format!("{JOBS}/pass-loader-bias-used.yaml"))).unwrap();
    for (fact, place, station) in [
        ("assembly.rim.rating", "assemblies[0].rim.rating", Station::Wheel),
        ("component.expires", "components.isocyanate.expires", Station::Drums),
        ("cage.kind", "cage.kind", Station::Cage),
        ("workspace.eyewash.run", "workspace.eyewash.run", Station::Bay),
        ("pump.ratio_checked", "pump.ratio_checked", Station::Pump),
        ("cure.place", "cure.place", Station::Desk),
    ] {
        let path = all_paths(&whole).into_iter().find(|path| name(path) == fact).unwrap();
        with(&packs, &serde_yaml::to_string(&without(&whole, &path)).unwrap(), |report| {
            let stops = report.worklist.stops.iter();
            let found: Vec<(String, Station)> = stops
                .flat_map(|stop| stop.missing.iter().map(|missing| (missing.place.to_string(), stop.station)))
                .collect();
            let found: Vec<(&str, Station)> = found.iter().map(|(place, station)| (place.as_str(), *station)).collect();
            // Without the kind of cage nobody knows whether the wheel is on a vehicle, with nuts to be tight and the
            // machine on supports.
            let nuts = ("assemblies[0].wheel.nuts_tight", Station::Wheel);
            let supports = ("cage.on_supports", Station::Cage);
            let due = if fact == "cage.kind" { vec![nuts, (place, station), supports] } else { vec![(place, station)] };
            assert_eq!(found, due);
        });
    }
}

#[test]
fn a_fresh_record_fits_a_screen() {
    let packs = PackSet::base().unwrap();
    with(&packs, &record::blank_template(packs.catalogue()), |report| {
        let brief = explain::brief(report, WIDE);
        assert!(brief.lines().count() <= SCREEN, "{} lines:\n{brief}", brief.lines().count());
        common::snapshot("blank-brief", &brief);
        common::snapshot("blank-sheet", &explain::sheet(report));
    });
}

#[test]
fn brief_reports_keep_to_the_width_and_end_as_they_begin() {
    let packs = PackSet::base().unwrap();
    each(&packs, |name, report| {
        let brief = explain::brief(report, WIDE);
        let sheet = explain::sheet(report);
        let wide = brief.lines().chain(sheet.lines()).find(|line| textwrap::core::display_width(line) > WIDE.width);
        assert_eq!(wide, None, "{name}");
        let word = report.verdict().word();
        assert!(brief.starts_with(word), "{name}");
        assert!(brief.lines().last().unwrap().starts_with(word), "{name}");
        let said = brief.contains("Do not start the pump.");
        assert_eq!(said, report.verdict() == Verdict::Hold, "{name}");
    });
}

#[test]
fn brief_reports_and_sheets_name_every_fault_and_every_missing_fact() {
    let packs = PackSet::base().unwrap();
    each(&packs, |name, report| {
        let flat = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let (brief, sheet) = (flat(explain::brief(report, WIDE)), flat(explain::sheet(report)));
        let missing = report.worklist.missing().count();
        let faults: Vec<usize> = report.worklist.stops.iter().flat_map(|stop| stop.faults.clone()).collect();
        // Faults of one value with one cure share a box.
        let boxes = sheet.matches("[ ]").count();
        assert!(missing < boxes + usize::from(faults.is_empty()) && boxes <= missing + faults.len(), "{name}: {boxes}");
        for finding in faults.iter().map(|position| &report.holding[*position]) {
            let code = finding.code();
            assert!(brief.contains(&code) && sheet.contains(&code), "{name}: {code}");
        }
        for fact in report.worklist.missing() {
            let called = fact.name(report);
            assert!(sheet.contains(&called), "{name}: {called}");
            let said = brief.contains(&called) || brief.contains(&fact.within(report));
            assert!(fact.only_if_asked || said, "{name}: {called}");
        }
    });
}

/// Whoever puts a fault right goes where the fact in the way is found, and where it is a list, to whom or what is on it.
#[test]
fn a_fault_is_put_right_where_its_facts_are_found() {
    let some = "{for_some: {of: person, meets: {person.role: {is: operator}}}}";
    for (covers, demands, written, station, gaps) in [
        ("job", some, "people: []", Station::Crew, 0),
        ("job", some, "people: [{name: A, role: supervisor}]", Station::Desk, 0),
        ("job", some, "", Station::Bay, 1),
        ("job", "{air_stage.stand_off: {at_least: 10 ft}}", "air_stage: {stand_off: 9 ft}", Station::Cage, 0),
        ("each assembly", "{assembly.tyre.state: {is: new}}", "assemblies: [{tyre: {state: used}}]", Station::Wheel, 0),
        ("each assembly", "{assembly.tyre.state: {is: new}}", "assemblies: [{mark: a}]", Station::Wheel, 1),
    ] {
        let packs = pack(&[(covers, demands)]);
        let document = Document::read("job.yaml", format!("record: 1\n{written}").as_bytes()).unwrap();
        let job = record::read_fragment(document.source(), document.root(), packs.catalogue()).unwrap();
        let scene = fillward::engine::Scene::new(&packs, &job, common::demo_at(), &common::demo_zone());
        let errand = scene.errand(&scene.judge().findings[0]);
        assert_eq!((errand.station, errand.gaps.len()), (station, gaps), "{demands}, {written}");
        assert_eq!(errand.is_open_only, gaps > 0, "{demands}, {written}");
    }
}

/// A fact that one of several ways lacks is found out, and is no fault beside that.
#[test]
fn what_one_of_several_ways_lacks_is_asked_for_once() {
    let packs = PackSet::base().unwrap();
    let text = common::read("shared/demo/jobs/pass-loader-bias-used.yaml");
    let bare = text.replacen("      rating: 75 psi\n", "", 1);
    assert_ne!(text, bare);
    let brief = with(&packs, &bare, |report| explain::brief(report, WIDE));
    assert!(brief.contains("0 to put right · 1 to find out") && !brief.contains("  ! "), "{brief}");
    assert_eq!(brief.matches("rating of the rim").count(), 1, "{brief}");
}
