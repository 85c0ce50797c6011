//! The packs in force together: the base pack, then the local ones.
//!
//! Must not know a job.

use std::sync::{Arc, LazyLock};

use serde::{Deserialize, Serialize};

use super::base::{self, FILES};
use super::cure::{AIR_OUT, Cure, SharedStep};
use super::misread::{no_time_of_examples, rules_taken};
use super::named::{in_order, name_of, name_span};
use super::read::{self, Head, PackReader, Setting};
use super::{DatedValue, Limit, LimitId, Pack, PackText, Rule, check, polarity};
use crate::document::{Code, Document, Fault, Faults, Schema, Source, other_form};
use crate::figures::{FigureId, Parameter};
use crate::record::Catalogue;
use crate::units::Day;
use crate::vocabulary::{FileSort, Subject};

/// The published schema of rule packs.
const SCHEMA: &str = include_str!("../../schemas/rule-pack.schema.json");

static COMPILED: LazyLock<Option<Schema>> = LazyLock::new(|| Schema::compile(SCHEMA).ok());

/// The text of the published rule pack schema.
pub fn schema() -> &'static str {
    SCHEMA
}

/// Whose amendments of limits count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Amendments {
    /// Those of every pack.
    All,
    /// Those of the packs up to this position: what the author of that pack sees.
    UpTo(usize),
}

impl Amendments {
    const fn count(self, pack: usize) -> bool {
        match self {
            Self::All => true,
            Self::UpTo(last) => pack <= last,
        }
    }
}

/// Packs resolved together. The first is the base pack; a verdict needs all of them.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct PackSet {
    packs: Vec<Pack>,
    limits: Vec<Limit>,
    /// The base pack declares no facts, so its bytes hold none.
    #[serde(skip)]
    catalogue: Catalogue,
    figures: Vec<FigureId>,
}

impl PackSet {
    /// The base pack alone, for judging, without the examples of its rules: as it was read beforehand. A build for work on
    /// the program reads the texts where they have changed since, so that a rule is judged by as it now stands.
    ///
    /// # Errors
    /// Never for a released build; a fault here is a fault of the program.
    pub fn base() -> Result<Self, Faults> {
        let taken_up = Self::base_made_ready();
        if !cfg!(debug_assertions) || (base::is_in_step() && taken_up.is_ok()) {
            return taken_up;
        }
        let mut set = Self::base_with_examples()?;
        for rule in set.packs.iter_mut().flat_map(|pack| &mut pack.rules) {
            rule.examples = None;
        }
        Ok(set)
    }

    /// The base pack as it was read from its texts beforehand.
    ///
    /// # Errors
    /// As [`PackSet::base`].
    pub fn base_made_ready() -> Result<Self, Faults> {
        let broken = || {
            Fault::new(Code::PackBrokenProgram, "the built-in base pack cannot be taken up")
                .help("report this: the program is at fault, not the record")
        };
        let bytes = base::ready().ok_or_else(broken)?;
        let mut set: Self = postcard::from_bytes(bytes).map_err(|_| broken())?;
        if let Some(base) = set.packs.first_mut() {
            base.sources = base::sources().to_vec();
        }
        Ok(set)
    }

    /// The base pack read from its texts, with the examples of its rules, for checking and explaining it. One reading
    /// serves: the tests read the texts with both readers and the schema.
    ///
    /// # Errors
    /// As [`PackSet::base`].
    pub fn base_with_examples() -> Result<Self, Faults> {
        let read = |(name, text): &(&str, &str)| Document::read_trusted(name, text);
        let documents: Vec<Document> = FILES.iter().map(read).collect::<Result<_, _>>()?;
        let mut set = Self::empty();
        set.add_group(&documents, &mut Vec::new())?;
        Ok(set)
    }

    /// The file that [`PackSet::base_taken_up`] takes up, made from the texts, with the digest by which checklists name
    /// them: for the test that holds the two in step.
    ///
    /// # Errors
    /// As [`PackSet::base`].
    pub fn made_ready(digest_of_files: &str) -> Result<Vec<u8>, Faults> {
        let broken = |error: postcard::Error| Fault::new(Code::PackBrokenProgram, error.to_string());
        let before = [&base::digest(), digest_of_files.as_bytes()].concat();
        Ok(postcard::to_extend(&Self::base_with_examples()?, before).map_err(broken)?)
    }

    /// The files of the base pack: display name and text.
    pub const fn base_files() -> &'static [(&'static str, &'static str)] {
        FILES
    }

    fn empty() -> Self {
        Self { packs: Vec::new(), limits: Vec::new(), catalogue: Catalogue::default(), figures: Vec::new() }
    }

    /// A set of packs of its own, without the base pack: for checking packs as such, never for a verdict on a fill.
    ///
    /// # Errors
    /// As [`PackSet::with`].
    pub fn alone(documents: Vec<Document>) -> Result<Self, Faults> {
        Self::empty().with(documents)
    }

    /// This set and the packs in `documents`; files of one name make one pack. In which order they are given does not
    /// matter.
    ///
    /// # Errors
    /// Every fault of shape (`schema/...`) and of meaning (`pack/...`), with its place.
    pub fn with(mut self, documents: Vec<Document>) -> Result<Self, Faults> {
        let mut faults = Vec::new();
        for document in &documents {
            if let Some(other) = other_form(document.root(), FileSort::Pack) {
                faults.push(other.in_source(document.source()));
                continue;
            }
            let taken = rules_taken(&self.packs, document);
            let within = |fault: &Fault| {
                let span = fault.span().unwrap_or_default();
                taken.iter().any(|(rule, _)| rule.holds(span))
            };
            match COMPILED.as_ref() {
                Some(schema) => {
                    if let Err(shape) = schema.check(document) {
                        faults.extend(shape.into_vec().into_iter().filter(|fault| !within(fault)));
                    }
                }
                None => faults.push(
                    Fault::new(Code::PackBrokenProgram, "the built-in pack schema does not compile")
                        .help("report this: the program is at fault, not the pack")
                        .in_source(document.source()),
                ),
            }
            faults.extend(taken.into_iter().map(|(_, fault)| fault));
        }
        Faults::none_of(faults)?;
        let mut groups: Vec<(String, Vec<Document>)> = Vec::new();
        for document in documents {
            let name = name_of(&document);
            match groups.iter_mut().find(|(known, _)| *known == name) {
                Some((_, group)) => group.push(document),
                None => groups.push((name, vec![document])),
            }
        }
        for (_, group) in in_order(groups) {
            self.add_group(&group, &mut Vec::new())?;
        }
        Ok(self)
    }

    /// Adds the files of one pack.
    fn add_group(&mut self, documents: &[Document], faults: &mut Vec<Fault>) -> Result<(), Faults> {
        let index = self.packs.len();
        let sources: Vec<Arc<_>> = documents.iter().map(|document| Arc::new(document.source().clone())).collect();
        let parts: Vec<(&Document, &Arc<_>)> = documents.iter().zip(&sources).collect();
        let Some((first, first_source)) = parts.first().copied() else { return Ok(()) };
        let name = name_of(first);

        let heads: Vec<_> = parts.iter().filter(|(document, _)| document.root().entry("edition").is_some()).collect();
        let mut at_first = PackReader { source: Arc::clone(first_source), faults };
        if self.packs.iter().any(|pack| pack.name == name) {
            at_first.say(
                Code::PackNameTaken,
                format!("a pack called `{name}` is already in force"),
                name_span(first),
                "give the local pack a name of its own and let it say `amends:`",
            );
        }
        let [(head_document, head_source)] = heads.as_slice() else {
            at_first.say(
                Code::PackHead,
                format!("{} files of the pack `{name}` carry its edition and title; one must", heads.len()),
                name_span(first),
                "keep `edition` and `title` in exactly one file",
            );
            return Faults::none_of(std::mem::take(faults));
        };
        let head = read::head(&mut PackReader { source: Arc::clone(head_source), faults }, head_document.root());
        let amends = self.amended(&head, &mut PackReader { source: Arc::clone(head_source), faults });
        let own = self.read_parts(&parts, (index, &head, amends), faults);
        let known: Vec<SharedStep> = self.packs.iter().flat_map(|pack| &pack.steps).chain(&own).cloned().collect();
        let mut setting = Setting {
            pack: index,
            amends,
            catalogue: &self.catalogue,
            limits: &self.limits,
            examples_at: head.examples_at,
            unread: Vec::new(),
            used: Vec::new(),
            steps: &known,
            called: Vec::new(),
        };
        let mut of_head = PackReader { source: Arc::clone(head_source), faults };
        let follows = read::follows(&mut of_head, head_document.root(), &mut setting);
        let rules = rules(&parts, &mut setting, faults);
        let Setting { used, called, unread, .. } = setting;
        faults.extend(no_time_of_examples(&parts, head_document));
        check::rules(&rules, &unread, &self.catalogue, faults);
        check::steps_called(&known, own.len(), &called, faults);
        polarity::check(&rules, &self.limits, &self.catalogue, faults);
        check::limits_used(&self.limits, index, &used, faults);
        Faults::none_of(std::mem::take(faults))?;
        self.note_figures(&rules);
        let Head { edition, title, amends, signed_by, .. } = head;
        let amends = amends.map(|(amends, _)| amends);
        self.packs.push(Pack {
            name: name.into(),
            edition,
            title,
            amends,
            signed_by,
            follows,
            steps: own,
            rules,
            sources,
        });
        Ok(())
    }

    /// Reads what the rules of a pack may name: its steps, which are given back, and its facts and limits.
    fn read_parts(
        &mut self,
        parts: &[(&Document, &Arc<Source>)],
        (index, head, amends): (usize, &Head, Option<usize>),
        faults: &mut Vec<Fault>,
    ) -> Vec<SharedStep> {
        let mut own = Vec::new();
        for (document, source) in parts {
            let reader = &mut PackReader { source: Arc::clone(source), faults };
            own.extend(read::steps(reader, document.root()));
            read::declared_facts(reader, document.root(), &mut self.catalogue);
            let named = read::limits(reader, document.root(), index);
            self.limits.extend(named);
            if let Some(amended) = amends {
                read::amendments(reader, document.root(), index, amended, &mut self.limits);
            } else if let Some(entry) = document.root().entry("amended_limits").filter(|_| head.amends.is_none()) {
                reader.say(
                    Code::PackAmendsNothing,
                    "limits are amended, but the head names no pack under `amends`",
                    entry.key_span,
                    "add `amends: {pack: NAME, edition: EDITION}` to the head",
                );
            }
        }
        own
    }

    /// How the air is let out of an assembly, by the first pack that says so.
    pub fn air_out(&self) -> Option<&[PackText]> {
        let mut steps = self.packs.iter().flat_map(|pack| &pack.steps);
        steps.find(|step| step.name == AIR_OUT).map(|step| step.texts.as_slice())
    }

    /// Whether the air is let out where a cure is obeyed: before its first step, or by one of the later ones.
    pub fn lets_air_out(&self, cure: &Cure) -> bool {
        let steps = self.air_out().unwrap_or_default();
        cure.wants_air_out() || cure.texts().any(|text| steps.iter().any(|step| step.as_str() == text.as_str()))
    }

    /// The position of the pack that a head says it amends; a wrong name or edition is a fault.
    fn amended(&self, head: &Head, reader: &mut PackReader<'_>) -> Option<usize> {
        let (amends, span) = head.amends.as_ref()?;
        let found = self.packs.iter().position(|pack| pack.name == amends.pack && pack.edition == amends.edition);
        if found.is_none() {
            let known: Vec<String> = self.packs.iter().map(|pack| format!("{} {}", pack.name, pack.edition)).collect();
            reader.say(
                Code::PackAmendsUnknown,
                format!("the pack `{}` in edition `{}` is not in force", amends.pack, amends.edition),
                *span,
                format!("packs in force: {}; read what changed, then state the edition you amend", known.join(", ")),
            );
        }
        found
    }

    fn note_figures(&mut self, rules: &[Rule]) {
        for rule in rules {
            for condition in rule.asks.conditions() {
                condition.leaves(&mut |leaf| {
                    for term in leaf.terms() {
                        if let super::Term::Figure(id) = term
                            && !self.figures.contains(&id)
                        {
                            self.figures.push(id);
                        }
                    }
                });
            }
        }
        self.figures.sort_unstable();
    }

    /// The packs, base first.
    pub fn packs(&self) -> &[Pack] {
        &self.packs
    }

    /// Every named limit.
    pub fn limits(&self) -> &[Limit] {
        &self.limits
    }

    /// The facts in force.
    pub const fn catalogue(&self) -> &Catalogue {
        &self.catalogue
    }

    /// The figures that the rules ask for.
    pub fn figures(&self) -> &[FigureId] {
        &self.figures
    }

    /// The figures of one subject that the rules ask for.
    pub fn figures_of(&self, subject: Subject) -> impl Iterator<Item = FigureId> + '_ {
        self.figures.iter().copied().filter(move |id| id.spec().is_some_and(|spec| spec.subject == subject))
    }

    /// The value of a limit in force on a day of the shop, with these amendments only: the latest that has begun, by the
    /// strictest of the packs.
    pub(crate) fn limit_in_force(&self, id: LimitId, amendments: Amendments, today: Day) -> Option<&DatedValue> {
        let limit = self.limits.get(id.0)?;
        let begun = |dated: &&DatedValue| dated.from.is_none_or(|day| today >= day);
        let mut value = limit.values.iter().rev().find(begun)?;
        for amendment in limit.amendments.iter().filter(|amendment| amendments.count(amendment.pack)) {
            if let Some(stricter) = amendment.values.iter().rev().find(begun)
                && limit.safer.allows(value.value.base(), stricter.value.base())
            {
                value = stricter;
            }
        }
        Some(value)
    }

    /// The limit that a figure takes as this parameter; the first pack that names it has it.
    pub(crate) fn parameter(&self, parameter: Parameter) -> Option<LimitId> {
        let is_it = |limit: &Limit| limit.name == parameter.limit() && limit.dimension == parameter.dimension();
        self.limits.iter().position(is_it).map(LimitId)
    }

    /// The rule of a code such as `tyre-fill/cold-material`, or of a bare name that only one pack has.
    pub fn find_rule(&self, code: &str) -> Option<(&Pack, &Rule)> {
        let all = || self.packs.iter().flat_map(|pack| pack.rules.iter().map(move |rule| (pack, rule)));
        let mut found = all().filter(|(pack, rule)| match code.split_once('/') {
            Some((name, rule_name)) => pack.name == name && rule.name == rule_name,
            None => rule.name == code,
        });
        let first = found.next()?;
        found.next().is_none().then_some(first)
    }
}

/// The rules of all files of a pack, and the limits they name.
fn rules(parts: &[(&Document, &Arc<Source>)], setting: &mut Setting<'_>, faults: &mut Vec<Fault>) -> Vec<Rule> {
    let mut rules = Vec::new();
    for (document, source) in parts {
        let reader = &mut PackReader { source: Arc::clone(source), faults };
        rules.extend(read::rules(reader, document.root(), setting));
    }
    rules
}
