//! A fact that is missing, as data: which one, of which subject, where it is to be written, and which rules ask for it.
//!
//! What it is called is drawn from that by whoever draws it, with the report at hand. This module must not know how a
//! line is drawn.

use super::{AskedFor, RulePlace, brought, entity};
use crate::document::prose::name_in_words;
use crate::document::{Document, LeftOpen, Path, Step};
use crate::engine::{Gap, Scene};
use crate::explain::{DeedOfItsTime, Report, words};
use crate::pack::Term;
use crate::record::catalogue::{HoldsFor, assembly, person};
use crate::record::shop::{self, sections};
use crate::record::{FactKey, FactSpec};
use crate::vocabulary::Subject;

/// A fact that is not recorded, or is dated after the judgement.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing<'a> {
    /// The fact.
    pub key: FactKey,
    /// The subject that it is about, where a job may have several of the kind and the record lists them.
    pub whose: Option<(Subject, usize)>,
    /// The fact's place in the record.
    pub place: Path,
    /// Where it stands empty, or the entry in which it is missing: a byte of the texts of the record and its shop file
    /// laid end to end.
    pub at: usize,
    /// What of it is missing.
    pub part: MissingPart,
    /// The rules that ask for it, in the order of the packs; none where it is asked for when the checklist is signed.
    pub rules: Vec<RulePlace>,
    /// Whether every rule that asks for it may turn out not to apply once other missing facts are known.
    pub only_if_asked: bool,
    /// What is to be named, by which it comes along with others.
    pub comes_with: Option<&'a LeftOpen>,
    /// Where a short record says it in the look at the parts on the bench.
    pub on_the_bench: Option<Path>,
    /// What is to be done where it was not done yet: of what can be done only while the filling flows.
    pub deed: Option<DeedOfItsTime<'a>>,
}

/// What of a fact is missing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MissingPart {
    /// All of it.
    Whole,
    /// Nothing: it is there, and dated after the judgement.
    Ahead,
    /// A part of a reading, by its key.
    Of(Box<str>),
    /// The whole list of subjects in which it would stand.
    List,
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

/// The key of the look at the bench under which a short record says a fact.
fn bench_key(key: FactKey) -> Option<&'static str> {
    if is_found_on_the_bench(key) {
        return Some("found");
    }
    ["at", "by"]
        .into_iter()
        .find(|part| sections::LOOKED.iter().any(|(known, facts)| known == part && facts.contains(&key)))
}

/// Whether a fact says what was found when the parts were looked at on the bench.
pub(super) fn is_found_on_the_bench(key: FactKey) -> bool {
    key == sections::OFF_RIM || sections::NOTHING_FOUND.iter().any(|(fact, _)| *fact == key)
}

/// The place of a look at the parts on the bench, in a record that has a shop file beside it.
fn on_the_bench(gap: &Gap, document: &Document) -> Option<Path> {
    let [list, index, ..] = gap.place.steps() else { return None };
    let key = bench_key(gap.key).filter(|_| document.source().names().count() > 1)?;
    let path: Path = [list, index].into_iter().cloned().collect();
    Some(path.child("bench").child(key))
}

/// What of a fact is missing, where its subject stands at this position.
fn part(scene: &Scene<'_>, gap: &Gap, entity: Option<usize>) -> MissingPart {
    let (subject, catalogue) = (gap.key.subject, scene.packs().catalogue());
    let Some(index) = entity else {
        return if subject == Subject::Job { MissingPart::Whole } else { MissingPart::List };
    };
    let Some(whole) = scene.job().of(subject).and_then(|list| list.get(index)) else { return MissingPart::Whole };
    match gap.place.steps().strip_prefix(whole.path_of(catalogue, gap.key).steps()) {
        // A part of a reading that is there has a name of its own.
        Some([Step::Key(key), ..]) => MissingPart::Of(key.as_str().into()),
        // It is there, and is evidence once its time has come.
        Some([]) if whole.facts.get(gap.key).is_some() && scene.lies_ahead(gap.key) => MissingPart::Ahead,
        _ => MissingPart::Whole,
    }
}

impl<'a> Missing<'a> {
    pub(super) fn new(scene: &Scene<'_>, asked: AskedFor<'a>, document: &'a Document) -> Self {
        let AskedFor { gap, rules, deed } = asked;
        let (subject, entity) = (gap.key.subject, entity(scene, &gap));
        let comes_with = brought(document, &gap);
        Self {
            key: gap.key,
            whose: entity.filter(|_| subject != Subject::Job).map(|index| (subject, index)),
            at: comes_with.map_or_else(|| written_at(scene, &gap, document), |open| open.span.start),
            part: part(scene, &gap, entity),
            rules,
            only_if_asked: gap.is_conditional,
            on_the_bench: if comes_with.is_none() { on_the_bench(&gap, document) } else { None },
            comes_with,
            deed,
            place: gap.place,
        }
    }

    /// Whether one answer brings both: the same is to be named at the same place.
    pub(super) fn comes_with_the_same(&self, other: &Self) -> bool {
        let named = |of: &Self| of.comes_with.map(|open| (&open.what, &open.written_at));
        named(self) == named(other)
    }

    /// Whether both are called the same: the same of one fact is missing, of whatever subject.
    pub(super) fn is_called_as(&self, other: &Self) -> bool {
        (self.key, &self.part) == (other.key, &other.part)
    }

    /// Where a short record, or its shop file, says it in fewer words: the mark that it comes with, or the look at the
    /// parts on the bench.
    pub fn write_at(&self) -> Option<&Path> {
        self.comes_with.map(|open| &open.written_at).or(self.on_the_bench.as_ref())
    }

    /// The file in which it should stand.
    pub fn file<'r>(&self, report: &'r Report<'_>) -> &'r str {
        report.document.source().name_at(self.at)
    }

    /// The line where it stands empty, or of the entry in which it is missing, counted from 1.
    pub fn line(&self, report: &Report<'_>) -> usize {
        report.document.source().line_and_column(self.at).0
    }

    /// The rules that ask for it, as codes.
    pub fn codes(&self, report: &Report<'_>) -> Vec<String> {
        report.codes(&self.rules)
    }

    /// What is to be done where it was not done yet.
    pub fn deed(&self, report: &Report<'_>) -> Option<String> {
        self.deed.as_ref().map(|deed| deed.told(report.scene))
    }

    /// Its row in the catalogue, where it is a fact and no list.
    pub(in crate::explain) fn spec<'r>(&self, report: &'r Report<'_>) -> Option<&'r FactSpec> {
        report.scene.packs().catalogue().spec(self.key)
    }

    /// Where it is missing in the shop file, the line that would say it there, if it can be said there.
    pub fn entry_line(&self, report: &Report<'_>) -> Option<String> {
        let record = report.record();
        if record.file_of(self.at) == 0 || self.comes_with.is_some() {
            return None;
        }
        let section = shop::section_around(record.text_before(self.at))?;
        let line = shop::entry_line(report.scene.packs().catalogue(), self.key, section)?;
        match &self.part {
            MissingPart::Whole => Some(line),
            // What is missing of a reading stands in the line.
            MissingPart::Of(part) => line.contains(&format!("{part}: ")).then_some(line),
            MissingPart::Ahead | MissingPart::List => None,
        }
    }

    /// The fact, in trade words.
    pub fn name(&self, report: &Report<'_>) -> String {
        let fact = || words::term(report.scene, Term::Fact(self.key));
        match &self.part {
            MissingPart::Whole => fact(),
            MissingPart::Ahead => dated_ahead(fact()),
            MissingPart::Of(key) => format!("{key} of {}", fact()),
            MissingPart::List => list(self.key.subject),
        }
    }

    /// What the fact belongs to, such as the rim, as the catalogue has it; nothing for a fact of its own.
    pub(in crate::explain) fn thing<'r>(&self, report: &'r Report<'_>) -> Option<&'r str> {
        self.parts(report).map(|(thing, _)| thing)
    }

    /// What it belongs to, and its name in that: `rim` and `rating` of `rim.rating`. Nothing for a fact of its own.
    fn parts<'r>(&self, report: &'r Report<'_>) -> Option<(&'r str, &'r str)> {
        self.spec(report).filter(|_| self.part != MissingPart::List)?.name.split_once('.')
    }

    /// The fact's name where what it belongs to has been said.
    pub fn within(&self, report: &Report<'_>) -> String {
        // Of what has been named already, its own word for the fact is enough.
        let is_of_mark = self.key.subject.is_instrument() || [assembly::MARK, person::NAME].contains(&self.key);
        let own = self.spec(report).filter(|_| self.part != MissingPart::List && is_of_mark);
        let within = match (self.parts(report), own) {
            (Some((_, rest)), _) => name_in_words(rest),
            (None, Some(spec)) => name_in_words(&spec.name),
            (None, None) => return self.name(report),
        };
        if self.part == MissingPart::Ahead { dated_ahead(within) } else { within }
    }
}

/// A list as the record has it.
fn list(subject: Subject) -> String {
    subject.record_key().unwrap_or(subject.word()).to_owned()
}

fn dated_ahead(name: String) -> String {
    name + ", dated after this check"
}
