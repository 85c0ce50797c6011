//! The worklist of a report: what is put right and what is found out, place by place in the order of the walk.
//!
//! A fact that is missing stands here once, however many rules ask for it. This module must not know how it is drawn.

mod running_out;

use std::collections::BTreeMap;

pub use running_out::RunsOut;

use super::{Explained, Report, code};
use crate::document::{Document, Path, Step};
use crate::engine::{Errand, Finding, Gap, Scene};
use crate::pack::Term;
use crate::record::FactKey;
use crate::record::catalogue::Station;
use crate::vocabulary::Subject;

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

/// A fact that is not recorded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing {
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
    /// The words of the fact's path, which begin with what it belongs to.
    path_words: String,
    /// What the fact belongs to, in trade words, such as the rim; nothing for a fact of its own.
    pub of: Option<String>,
    /// What it means.
    pub about: String,
    /// What its value is, such as one of some words.
    pub kind: String,
    /// The rules that ask for it, as codes, in the order of the packs.
    pub rules: Vec<String>,
    /// Whether every rule that asks for it may turn out not to apply once other missing facts are known.
    pub only_if_asked: bool,
}

impl Worklist {
    /// The worklist of the findings that hold a job, given in the order of the report.
    pub(super) fn new(scene: &Scene<'_>, holding: &[&Finding], document: &Document) -> Self {
        let mut faults: BTreeMap<Station, Vec<usize>> = BTreeMap::new();
        let mut gaps: BTreeMap<Place, (Gap, Vec<String>)> = BTreeMap::new();
        for (position, finding) in holding.iter().enumerate() {
            let Errand { station, gaps: open, is_open_only } = scene.errand(finding);
            if !is_open_only {
                faults.entry(station).or_default().push(position);
            }
            let rule = scene.rule(finding).zip(scene.packs().packs().get(finding.pack));
            let rule = rule.map(|(rule, pack)| code(pack, rule));
            for gap in open {
                let (known, rules) = gaps.entry(Place::of(scene, &gap)).or_insert_with(|| (gap.clone(), Vec::new()));
                known.is_conditional &= gap.is_conditional;
                if let Some(rule) = rule.as_ref().filter(|rule| !rules.contains(rule)) {
                    rules.push(rule.clone());
                }
            }
        }
        let mut missing: BTreeMap<Station, Vec<Missing>> = BTreeMap::new();
        for (place, (gap, rules)) in gaps {
            missing.entry(place.station).or_default().push(Missing::new(scene, &gap, rules, document));
        }
        let stop = |station| Stop {
            station,
            faults: faults.remove(&station).unwrap_or_default(),
            missing: missing.remove(&station).unwrap_or_default(),
        };
        let stops = Station::ALL.into_iter().map(stop);
        Self {
            stops: stops.filter(|stop| !stop.faults.is_empty() || !stop.missing.is_empty()).collect(),
            running_out: running_out::running_out(scene, document),
        }
    }

    /// The faults of each stop, those together that one value of the shop file is the matter of: it is put right once, at
    /// the first of their places.
    pub(super) fn settled<'r, 'a>(&self, report: &'r Report<'a>) -> Vec<(&Stop, Vec<Vec<&'r Explained<'a>>>)> {
        let mut settled: Vec<(&Stop, Vec<Group<'_, '_>>)> = Vec::with_capacity(self.stops.len());
        for stop in &self.stops {
            settled.push((stop, Vec::new()));
            for finding in stop.faults.iter().filter_map(|position| report.holding.get(*position)) {
                let matter = report.in_shop_file(finding);
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

    /// Everything that is missing, in walking order.
    pub fn missing(&self) -> impl Iterator<Item = &Missing> {
        self.stops.iter().flat_map(|stop| &stop.missing)
    }
}

/// Where a missing fact comes in the walk: station by station, one subject after the other, then as the record has it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Place {
    station: Station,
    subject: Subject,
    entity: Option<usize>,
    key: FactKey,
    path: Path,
}

impl Place {
    fn of(scene: &Scene<'_>, gap: &Gap) -> Self {
        let subject = gap.key.subject;
        let whole_list = subject.record_key().is_some_and(|list| gap.place == Path::root().child(list));
        let spec = scene.packs().catalogue().spec(gap.key).filter(|_| !whole_list);
        let station = spec.map_or(Station::of(subject), |spec| spec.asked.station);
        Self { station, subject, entity: entity(scene, gap), key: gap.key, path: gap.place.clone() }
    }
}

fn entity(scene: &Scene<'_>, gap: &Gap) -> Option<usize> {
    let entities = scene.job().of(gap.key.subject)?;
    entities.iter().position(|entity| gap.place.steps().starts_with(entity.path.steps()))
}

/// Findings that one value of the shop file is the matter of, or a single one.
struct Group<'r, 'a> {
    /// Where that value stands.
    matter: Option<usize>,
    findings: Vec<&'r Explained<'a>>,
}

impl Report<'_> {
    /// Where in the shop file a finding points first, if it does.
    fn in_shop_file(&self, finding: &Explained<'_>) -> Option<usize> {
        let first = finding.places().first()?.span.start;
        (self.record().name_at(first) != self.record().name()).then_some(first)
    }
}

/// Missing facts that are one line of the shop file: of everything that draws on an entry, and several of one entry.
#[derive(Debug, Clone)]
pub(super) struct Lacking<'m> {
    /// The first of them.
    pub(super) first: &'m Missing,
    /// What they are about.
    pub(super) whose: Vec<&'m str>,
    /// The facts.
    pub(super) facts: Vec<&'m Missing>,
    /// The rules that ask for them, as codes.
    pub(super) rules: Vec<&'m str>,
}

impl<'m> Lacking<'m> {
    /// Puts together what is one line; of an entry that several draw on each fact, or all that they lack.
    pub(super) fn of(missing: &[&'m Missing], record: &str, whole_entries: bool) -> Vec<Self> {
        let mut facts: Vec<Self> = Vec::new();
        for fact in missing {
            let rules: Vec<&str> = fact.rules.iter().map(String::as_str).collect();
            let one =
                Self { first: fact, whose: fact.whose.as_deref().into_iter().collect(), facts: vec![fact], rules };
            let same = |known: &Self| known.is_beside(&one, record) && known.first.name == fact.name;
            match facts.iter_mut().find(|known| same(known)) {
                Some(known) => {
                    known.whose.extend(one.whose);
                    known.add_rules(&one.rules);
                }
                None => facts.push(one),
            }
        }
        if !whole_entries {
            return facts;
        }
        let mut entries: Vec<Self> = Vec::new();
        for one in facts {
            match entries.iter_mut().find(|known| known.is_beside(&one, record) && known.whose == one.whose) {
                Some(known) => {
                    known.facts.extend(one.facts);
                    known.add_rules(&one.rules);
                }
                None => entries.push(one),
            }
        }
        entries
    }

    /// Whether both stand in one line of the shop file.
    fn is_beside(&self, other: &Self, record: &str) -> bool {
        let place = |one: &Self| (one.first.file.clone(), one.first.line);
        self.is_in_shop_file(record) && place(self) == place(other)
    }

    pub(super) fn is_in_shop_file(&self, record: &str) -> bool {
        self.first.file != record
    }

    fn add_rules(&mut self, rules: &[&'m str]) {
        for rule in rules {
            if !self.rules.contains(rule) {
                self.rules.push(rule);
            }
        }
    }
}

impl Missing {
    /// The fact's name where what it belongs to has been said.
    pub fn within(&self) -> String {
        let bare = self.of.as_ref().and_then(|of| self.path_words.strip_prefix(of.as_str())?.strip_prefix(' '));
        bare.unwrap_or(&self.name).to_owned()
    }

    fn new(scene: &Scene<'_>, gap: &Gap, rules: Vec<String>, document: &Document) -> Self {
        let subject = gap.key.subject;
        let spec = scene.packs().catalogue().spec(gap.key);
        let entity = entity(scene, gap);
        let whose = entity.filter(|_| subject != Subject::Job).and_then(|index| scene.label(subject, index));
        let fact = super::words::term(scene, Term::Fact(gap.key));
        let at = document.locate(&gap.place).span.start;
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
        let group = spec.and_then(|spec| spec.name.split_once('.')).map(|(group, _)| super::words::plain(group));
        Self {
            whose: whose.map(str::to_owned),
            file: document.source().name_at(at).to_owned(),
            line: document.source().line_and_column(at).0,
            place: gap.place.to_string(),
            name,
            path_words: spec.map(|spec| super::words::plain(&spec.name)).unwrap_or_default(),
            of: group.filter(|_| !is_list),
            about: spec.map(|spec| spec.about.clone().into_owned()).unwrap_or_default(),
            kind: spec.map(|spec| spec.kind.describe()).unwrap_or_default(),
            rules,
            only_if_asked: gap.is_conditional,
        }
    }
}
