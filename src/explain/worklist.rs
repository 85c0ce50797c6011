//! The worklist of a report: what is put right and what is found out, place by place in the order of the walk.
//!
//! A fact that is missing stands here once, however many rules ask for it. This module must not know how it is drawn.

mod lacking;
mod missing;
mod running_out;
mod unnamed;

use std::collections::BTreeMap;

pub(super) use lacking::{Lacking, SubjectAt};
pub use missing::{Missing, MissingPart};
pub use running_out::RunsOut;

use super::{DeedOfItsTime, Explained, Report};
use crate::document::{Document, LeftOpen, Path, Step, Unnamed};
use crate::engine::{Errand, Finding, Gap, Scene};
use crate::pack::Cure;
use crate::record::catalogue::{Station, assembly, job, stages};
use crate::record::{Entity, FactKey};
use crate::units::Truth;
use crate::vocabulary::{HoldPoint, Outcome, Subject};

/// Everything that keeps a job from a PASS, by the place where it is settled.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Worklist<'a> {
    /// The places at which there is something to do, in walking order.
    pub stops: Vec<Stop<'a>>,
    /// What of the shop file runs out soon; it holds nothing.
    pub running_out: Vec<RunsOut>,
}

/// One place of the walk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stop<'a> {
    /// The place.
    pub station: Station,
    /// What is wrong there, as positions in the findings that hold the job.
    pub faults: Vec<usize>,
    /// What is not recorded and found out there, in the order of the record.
    pub missing: Vec<Missing<'a>>,
}

/// A rule of the packs that judged: the position of its pack, and its own in the pack.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct RulePlace {
    /// The pack.
    pub pack: usize,
    /// The rule in the pack.
    pub rule: usize,
}

impl RulePlace {
    const fn of(finding: &Finding) -> Self {
        Self { pack: finding.pack, rule: finding.rule }
    }
}

/// A fact that is asked for, by which rules, and what is done where it was not done yet.
struct AskedFor<'a> {
    gap: Gap,
    rules: Vec<RulePlace>,
    deed: Option<DeedOfItsTime<'a>>,
}

impl<'a> Worklist<'a> {
    /// The worklist of the findings that hold a job, given in the order of the report.
    pub(super) fn new(scene: &'a Scene<'a>, holding: &[&Finding], document: &'a Document) -> Self {
        let mut faults: BTreeMap<Station, Vec<usize>> = BTreeMap::new();
        let mut gaps: BTreeMap<WalkOrder, AskedFor<'a>> = BTreeMap::new();
        for (position, finding) in holding.iter().enumerate() {
            let Errand { station, gaps: open, is_open_only } = scene.errand(finding);
            // What is only possible, as long as a mark is not named, is asked for with the mark.
            let awaits_mark =
                finding.outcome == Outcome::NotShown && open.iter().any(|gap| brought(document, gap).is_some());
            if !is_open_only && !awaits_mark {
                faults.entry(station).or_default().push(position);
            }
            let rule = RulePlace::of(finding);
            // Beside what comes with a mark that is not named, the rest may not be asked for once it is.
            let comes_along: Vec<bool> = open.iter().map(|gap| brought(document, gap).is_some()).collect();
            let awaits_any = comes_along.contains(&true);
            for (mut gap, comes_along) in open.into_iter().zip(comes_along) {
                gap.is_conditional |= awaits_any && !comes_along;
                let known = gaps.entry(WalkOrder::of(scene, &gap, document)).or_insert_with(|| AskedFor {
                    gap: gap.clone(),
                    rules: Vec::new(),
                    deed: None,
                });
                known.gap.is_conditional &= gap.is_conditional;
                if known.deed.is_none() && is_done_while_it_flows(gap.key) {
                    known.deed = deed(scene, finding, document);
                }
                if !known.rules.contains(&rule) {
                    known.rules.push(rule);
                }
            }
        }
        if !holding.is_empty() {
            for gap in acts_unsaid(scene) {
                let asked = AskedFor { gap: gap.clone(), rules: Vec::new(), deed: None };
                let known = gaps.entry(WalkOrder::of(scene, &gap, document)).or_insert(asked);
                known.gap.is_conditional &= gap.is_conditional;
            }
        }
        let mut missing: BTreeMap<Station, Vec<Missing<'a>>> = BTreeMap::new();
        for (place, asked) in gaps {
            missing.entry(place.station).or_default().push(Missing::new(scene, asked, document));
        }
        let stop = |station| Stop {
            station,
            faults: faults.remove(&station).unwrap_or_default(),
            missing: missing.remove(&station).unwrap_or_default(),
        };
        let stops = Station::ALL.into_iter().map(stop);
        Self {
            stops: stops.filter(|stop| !stop.faults.is_empty() || !stop.missing.is_empty()).collect(),
            // Once it is filled, nothing is looked at again that runs out.
            running_out: if scene.hold_point() <= HoldPoint::BeforeFill {
                running_out::running_out(scene, document)
            } else {
                Vec::new()
            },
        }
    }

    /// The faults of each stop, those together that one value of the shop file is the matter of, or one value of the record
    /// with one cure: it is put right once, at the first of their places.
    pub(super) fn settled<'r>(&self, report: &'r Report<'a>) -> Vec<(&Stop<'a>, Vec<Vec<&'r Explained<'a>>>)> {
        let mut settled: Vec<(&Stop<'a>, Vec<Group<'_, '_>>)> = Vec::with_capacity(self.stops.len());
        for stop in &self.stops {
            settled.push((stop, Vec::new()));
            for finding in stop.faults.iter().filter_map(|position| report.holding.get(*position)) {
                let matter = report.matter(finding);
                let known = settled.iter_mut().flat_map(|(_, groups)| groups);
                if let Some(group) = known.filter(|_| matter.is_some()).find(|group| group.matter == matter) {
                    group.findings.push(finding);
                } else if let Some((_, groups)) = settled.last_mut() {
                    groups.push(Group { matter, findings: vec![finding] });
                }
            }
        }
        let findings = |groups: Vec<Group<'r, 'a>>| groups.into_iter().map(|group| group.findings).collect();
        settled.into_iter().map(|(stop, groups)| (stop, findings(groups))).collect()
    }

    /// The faults, in walking order.
    pub(super) fn faults<'r>(&'r self, report: &'r Report<'a>) -> impl Iterator<Item = &'r Explained<'a>> {
        self.stops.iter().flat_map(|stop| &stop.faults).filter_map(|position| report.holding.get(*position))
    }

    /// What comes before everything else: the sheet of the day, where it is missing. What depends on it cannot be
    /// judged before.
    pub fn comes_first(&self) -> Option<&Missing<'a>> {
        let is_sheet = |fact: &&Missing<'_>| {
            !fact.only_if_asked && fact.comes_with.is_some_and(|open| matches!(open.what, Unnamed::Sheet(_)))
        };
        self.missing().find(is_sheet)
    }

    /// Everything that is missing, in walking order.
    pub fn missing(&self) -> impl Iterator<Item = &Missing<'a>> {
        self.stops.iter().flat_map(|stop| &stop.missing)
    }
}

/// When the hold point before was acted on, of every assembly that does not say it: no rule asks for that, and the checklist
/// of this hold point is not signed without.
fn acts_unsaid(scene: &Scene<'_>) -> Vec<Gap> {
    let follows = scene.follows();
    let act = scene.hold_point().previous().filter(|_| follows != Truth::False).and_then(assembly::act_of);
    let Some(key) = act else { return Vec::new() };
    let unsaid = scene.covered().filter(|(_, entity)| entity.facts.get(key).is_none());
    let gap = |entity: &Entity| Gap {
        key,
        place: entity.path_of(scene.packs().catalogue(), key),
        is_conditional: follows == Truth::Unknown,
    };
    unsaid.map(|(_, entity)| gap(entity)).collect()
}

/// Whether a fact says that something was done which can be done only while the filling flows.
fn is_done_while_it_flows(key: FactKey) -> bool {
    [job::SAMPLE_TAKEN, stages::FILL_CLOSED].contains(&key)
}

/// What a finding tells to do where a fact of it is missing.
fn deed<'a>(scene: &'a Scene<'a>, finding: &Finding, document: &'a Document) -> Option<DeedOfItsTime<'a>> {
    let (rule, pack) = scene.rule(finding).zip(scene.packs().packs().get(finding.pack))?;
    Explained { scene, document, pack, rule, finding: *finding, urgency: None }.deed_of_its_time()
}

/// The mark that would bring a missing fact.
fn brought<'d>(document: &'d Document, gap: &Gap) -> Option<&'d LeftOpen> {
    document.left_open().iter().find(|open| open.brings(&gap.place))
}

/// What is to be named, in trade words.
pub(super) const fn not_named(open: &LeftOpen) -> impl std::fmt::Display {
    unnamed::NotNamed(&open.what)
}

/// Whether it stands at the head of the record, as its day and place do: that is known before anybody walks.
fn is_at_the_head(open: &LeftOpen) -> bool {
    let [Step::Key(key)] = open.written_at.steps() else { return false };
    Subject::ALL.into_iter().all(|subject| subject.record_key() != Some(&**key))
}

/// Where a missing fact comes in the walk: station by station, first what comes with something to be named, in the order in
/// which that is named; then one subject after the other, as the record has it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct WalkOrder {
    station: Station,
    comes_alone: bool,
    named: Option<usize>,
    subject: Subject,
    entity: Option<usize>,
    key: FactKey,
    path: Path,
}

impl WalkOrder {
    fn of(scene: &Scene<'_>, gap: &Gap, document: &Document) -> Self {
        let named = document.left_open().iter().position(|open| open.brings(&gap.place));
        let subject = gap.key.subject;
        let whole_list = subject.record_key().is_some_and(|list| gap.place == Path::root().child(list));
        let spec = scene.packs().catalogue().spec(gap.key).filter(|_| !whole_list);
        let station = spec.map_or(Station::of(subject), |spec| spec.asked.station);
        let open = named.and_then(|at| document.left_open().get(at));
        let station = if open.is_some_and(is_at_the_head) { Station::Desk } else { station };
        Self {
            station,
            comes_alone: named.is_none(),
            named,
            subject,
            entity: entity(scene, gap),
            key: gap.key,
            path: gap.place.clone(),
        }
    }
}

fn entity(scene: &Scene<'_>, gap: &Gap) -> Option<usize> {
    let entities = scene.job().of(gap.key.subject)?;
    entities.iter().position(|entity| gap.place.steps().starts_with(entity.path.steps()))
}

/// Findings that one value is the matter of, or a single one.
struct Group<'r, 'a> {
    /// Where that value stands, and its cure where that must be the same.
    matter: Option<(usize, Option<&'a Cure>)>,
    findings: Vec<&'r Explained<'a>>,
}

impl<'a> Report<'a> {
    /// Where a finding points first, and what puts it right; of the shop file one value is put right once, whatever the
    /// cure.
    fn matter(&self, finding: &Explained<'a>) -> Option<(usize, Option<&'a Cure>)> {
        let first = finding.places().first()?.span.start;
        let in_shop_file = self.record().name_at(first) != self.record().name();
        let is_broken = finding.outcome() == Outcome::Broken;
        (in_shop_file || is_broken).then_some((first, (!in_shop_file).then_some(&finding.rule.told.put_right)))
    }
}
