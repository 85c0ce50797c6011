//! The worklist of a report: what is put right and what is found out, place by place in the order of the walk.
//!
//! A fact that is missing stands here once, however many rules ask for it. This module must not know how it is drawn.

mod lacking;
mod running_out;

use std::collections::BTreeMap;

pub(super) use lacking::Lacking;
pub use running_out::RunsOut;

use super::{Explained, Report};
use crate::document::prose::name_in_words;
use crate::document::{Document, LeftOpen, Path, Step};
use crate::engine::{Errand, Finding, Gap, Scene};
use crate::pack::{Cure, Term};
use crate::record::FactKey;
use crate::record::catalogue::{HoldsFor, Station, assembly, job, person, stages};
use crate::vocabulary::{HoldPoint, Outcome, Subject};

/// Everything that keeps a job from a PASS, by the place where it is settled.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Worklist {
    /// The places at which there is something to do, in walking order.
    pub stops: Vec<Stop>,
    /// What of the shop file runs out soon; it holds nothing.
    pub running_out: Vec<RunsOut>,
}

/// One place of the walk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stop {
    /// The place.
    pub station: Station,
    /// What is wrong there, as positions in the findings that hold the job.
    pub faults: Vec<usize>,
    /// What is not recorded and found out there, in the order of the record.
    pub missing: Vec<Missing>,
}

/// A fact that is not recorded, or is dated after the judgement.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing {
    /// The fact.
    pub key: FactKey,
    /// What it is about, where a job may have several of the kind.
    pub whose: Option<String>,
    /// The fact's place in the record.
    pub place: String,
    /// The file in which it should stand.
    pub file: String,
    /// The line where it stands empty, or of the entry in which it is missing, counted from 1.
    pub line: usize,
    /// The fact, in trade words.
    pub name: String,
    /// What the fact belongs to, in trade words, such as the rim; nothing for a fact of its own.
    pub of: Option<String>,
    /// The fact's name where what it belongs to has been said.
    pub within: String,
    /// What it means.
    pub about: String,
    /// What its value is, such as one of some words.
    pub kind: String,
    /// The rules that ask for it, as codes, in the order of the packs.
    pub rules: Vec<String>,
    /// Whether every rule that asks for it may turn out not to apply once other missing facts are known.
    pub only_if_asked: bool,
    /// What is to be named, by which it comes along with others, such as the lot by its mark.
    pub comes_with: Option<String>,
    /// Where a short record, or its shop file, says it in fewer words, as a path: the mark that it comes with, or the look at
    /// the parts on the bench.
    pub write_at: Option<String>,
    /// What is to be done where it was not done yet: of what can be done only while the filling flows.
    pub deed: Option<String>,
}

/// A fact that is asked for, by which rules, and what is done where it was not done yet.
struct AskedFor {
    gap: Gap,
    rules: Vec<String>,
    deed: Option<String>,
}

impl Worklist {
    /// The worklist of the findings that hold a job, given in the order of the report.
    pub(super) fn new(scene: &Scene<'_>, holding: &[&Finding], document: &Document) -> Self {
        let mut faults: BTreeMap<Station, Vec<usize>> = BTreeMap::new();
        let mut gaps: BTreeMap<WalkOrder, AskedFor> = BTreeMap::new();
        for (position, finding) in holding.iter().enumerate() {
            let Errand { station, gaps: open, is_open_only } = scene.errand(finding);
            // What is only possible, as long as a mark is not named, is asked for with the mark.
            let awaits_mark =
                finding.outcome == Outcome::NotShown && open.iter().any(|gap| brought(document, gap).is_some());
            if !is_open_only && !awaits_mark {
                faults.entry(station).or_default().push(position);
            }
            let rule = scene.rule(finding).zip(scene.packs().packs().get(finding.pack));
            let rule = rule.map(|(rule, pack)| pack.code_of(rule));
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
                if let Some(rule) = rule.as_ref().filter(|rule| !known.rules.contains(rule)) {
                    known.rules.push(rule.clone());
                }
            }
        }
        let mut missing: BTreeMap<Station, Vec<Missing>> = BTreeMap::new();
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
    pub(super) fn settled<'r, 'a>(&self, report: &'r Report<'a>) -> Vec<(&Stop, Vec<Vec<&'r Explained<'a>>>)> {
        let mut settled: Vec<(&Stop, Vec<Group<'_, '_>>)> = Vec::with_capacity(self.stops.len());
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
    pub(super) fn faults<'r, 'a>(&'r self, report: &'r Report<'a>) -> impl Iterator<Item = &'r Explained<'a>> {
        self.stops.iter().flat_map(|stop| &stop.faults).filter_map(|position| report.holding.get(*position))
    }

    /// Everything that is missing, in walking order.
    pub fn missing(&self) -> impl Iterator<Item = &Missing> {
        self.stops.iter().flat_map(|stop| &stop.missing)
    }
}

/// Whether a fact says that something was done which can be done only while the filling flows.
fn is_done_while_it_flows(key: FactKey) -> bool {
    [job::SAMPLE_TAKEN, stages::FILL_CLOSED].contains(&key)
}

/// What a finding tells to do where a fact of it is missing.
fn deed(scene: &Scene<'_>, finding: &Finding, document: &Document) -> Option<String> {
    let (rule, pack) = scene.rule(finding).zip(scene.packs().packs().get(finding.pack))?;
    Explained { scene, document, pack, rule, finding: *finding, urgency: None }.deed_of_its_time()
}

/// What is to be named, by which a missing fact comes along.
fn brought<'d>(document: &'d Document, gap: &Gap) -> Option<&'d LeftOpen> {
    document.left_open().iter().find(|open| open.brings(&gap.place))
}

/// Whether it stands at the head of the record, as its day and place do: that is known before anybody walks.
fn is_at_the_head(open: &LeftOpen) -> bool {
    let of_list = Subject::ALL.into_iter().any(|subject| subject.record_key() == Some(open.written_at.as_str()));
    !of_list && !open.written_at.contains('.')
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

/// Where the answer is to be written: where the line stands empty, or at what it belongs to. What an assembly has by being
/// like another one, or of a card, stands elsewhere; what is found of the tyre itself is written at its own mark.
fn written_at(scene: &Scene<'_>, gap: &Gap, document: &Document) -> usize {
    let source = document.source();
    let found = document.locate(&gap.place).span.start;
    let all = scene.job().of(Subject::Assembly).unwrap_or(&[]);
    let Some(index) = entity(scene, gap).filter(|_| gap.key.subject == Subject::Assembly) else { return found };
    let mark = |index: usize| {
        let place = document.locate(&all.get(index)?.path.child("mark"));
        place.is_found().then_some(place.span.start)
    };
    let Some(own) = mark(index) else { return found };
    let lasts = scene.packs().catalogue().spec(gap.key).is_some_and(|spec| spec.asked.holds_for <= HoldsFor::Assembly);
    if source.name_at(found) != source.name_at(own) {
        return if lasts { found } else { own };
    }
    let line = |at: usize| source.line_and_column(at).0;
    let next = (0..all.len()).filter_map(mark).filter(|next| line(*next) > line(own)).min();
    let is_own = line(found) >= line(own) && next.is_none_or(|next| line(found) < line(next));
    // Marks stand first in most records; where one does not, the lines show nothing.
    let first = all.get(index).map(|entity| document.locate(&entity.path).span.start);
    let marks_first =
        first.is_some_and(|first| line(first) == line(own) || source.name_at(first) != source.name_at(own));
    if is_own || !marks_first { found } else { own }
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
    /// Where a finding points first, and what puts it right; of the shop file one value is put right once, whatever the cure.
    fn matter(&self, finding: &Explained<'a>) -> Option<(usize, Option<&'a Cure>)> {
        let first = finding.places().first()?.span.start;
        let in_shop_file = self.record().name_at(first) != self.record().name();
        let is_broken = finding.outcome() == Outcome::Broken;
        (in_shop_file || is_broken).then_some((first, (!in_shop_file).then_some(&finding.rule.told.put_right)))
    }
}

/// The place of a look at the parts on the bench, in a record that has a shop file beside it.
fn on_the_bench(gap: &Gap, document: &Document) -> Option<String> {
    let [list, index, ..] = gap.place.steps() else { return None };
    let key = lacking::bench_key(gap.key).filter(|_| document.source().names().count() > 1)?;
    let path: Path = [list, index].into_iter().cloned().collect();
    Some(format!("{path}.bench.{key}"))
}

impl Missing {
    /// Whether one answer brings both: the same is to be named at the same place.
    fn comes_with_the_same(&self, other: &Self) -> bool {
        self.write_at == other.write_at && self.comes_with == other.comes_with
    }

    fn new(scene: &Scene<'_>, asked: AskedFor, document: &Document) -> Self {
        let AskedFor { gap, rules, deed } = asked;
        let gap = &gap;
        let subject = gap.key.subject;
        let spec = scene.packs().catalogue().spec(gap.key);
        let entity = entity(scene, gap);
        let whose = entity.filter(|_| subject != Subject::Job).and_then(|index| scene.label(subject, index));
        let fact = super::words::term(scene, Term::Fact(gap.key));
        let comes_with = brought(document, gap);
        let at = comes_with.map_or_else(|| written_at(scene, gap, document), |open| open.span.start);
        // A part of a reading that is there has a name of its own.
        let recorded = scene.job().of(subject).and_then(|list| list.get(entity?));
        let part = recorded.and_then(|whole| {
            gap.place.steps().strip_prefix(whole.path_of(scene.packs().catalogue(), gap.key).steps())
        });
        let part = part.and_then(|rest| match rest.first()? {
            Step::Key(key) => Some(format!("{key} of ")),
            Step::Index(_) => None,
        });
        let is_list = entity.is_none() && subject != Subject::Job;
        let name = if is_list {
            subject.record_key().unwrap_or(subject.word()).to_owned()
        } else {
            format!("{}{fact}", part.unwrap_or_default())
        };
        let parts = spec.and_then(|spec| spec.name.split_once('.')).filter(|_| !is_list);
        let parts = parts.map(|(group, rest)| (name_in_words(group), name_in_words(rest)));
        // Of what has been named already, its own word for the fact is enough.
        let own = spec.filter(|_| {
            !is_list
                && (matches!(subject, Subject::Gauge | Subject::Thermometer)
                    || [assembly::MARK, person::NAME].contains(&gap.key))
        });
        let own = own.map_or_else(|| name.clone(), |spec| name_in_words(&spec.name));
        let (of, within) = parts.map_or_else(|| (None, own), |(group, rest)| (Some(group), rest));
        // It is there, and is evidence once its time has come.
        let is_ahead = recorded.is_some_and(|whole| {
            whole.facts.get(gap.key).is_some()
                && scene.lies_ahead(gap.key)
                && whole.path_of(scene.packs().catalogue(), gap.key) == gap.place
        });
        let told = |name: String| if is_ahead { format!("{name}, dated after this check") } else { name };
        let (name, within) = (told(name), told(within));
        Self {
            key: gap.key,
            whose: whose.map(str::to_owned),
            file: document.source().name_at(at).to_owned(),
            line: document.source().line_and_column(at).0,
            place: gap.place.to_string(),
            name,
            of,
            within,
            about: spec.map(|spec| spec.about.to_string()).unwrap_or_default(),
            kind: spec.map(|spec| spec.kind.describe()).unwrap_or_default(),
            rules,
            only_if_asked: gap.is_conditional,
            comes_with: comes_with.map(|open| open.what.clone()),
            write_at: comes_with.map_or_else(|| on_the_bench(gap, document), |open| Some(open.written_at.clone())),
            deed,
        }
    }
}
