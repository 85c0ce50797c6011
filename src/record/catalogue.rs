//! The catalogue of facts: every name a record may use, with its kind, meaning and an example.
//!
//! Must not know a record or a rule.

use std::borrow::Cow;
use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use crate::document::prose::in_quotes;
use crate::units::Dimension;
use crate::vocabulary::{PerSubject, Subject};

mod asked;
pub mod assembly;
mod bounds;
pub mod choices;
mod comes;
pub mod component;
mod given;
mod index;
pub mod instruments;
pub mod job;
pub mod person;
pub mod stages;

pub use asked::{Asked, HoldsFor, Station};
pub use bounds::{
    COARSEST, FINEST, FINEST_OF_CLASS, FINEST_OF_SCALE, FINEST_WEIGHING, LIFTED_BY_ONE, POSITIVE, WIDEST_RIM,
};
pub use comes::{Comes, NEVER_LESS, NEVER_MORE, RUNS_AWAY, Thing, WHILE_IT_FLOWS, spoils};
pub use given::{GIVEN, READ_OFF, SITE_LIMITS};
pub(super) use index::{Below, FactGroup};

use index::Index;

/// What a fact's value is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FactKind {
    /// Free text.
    Text,
    /// The size designation of a tyre, as text that can be read as one.
    TyreSize,
    /// The marking of a tube, as text that can be read as one or more sizes.
    TubeSizes,
    /// True or false.
    Flag,
    /// One of a closed list of words.
    Choice(Cow<'static, [Cow<'static, str>]>),
    /// Any number of words of a closed list; the empty list says "looked, and none".
    Choices(Cow<'static, [Cow<'static, str>]>),
    /// A plain number without a unit.
    Count,
    /// A number with a unit of this dimension.
    Quantity(Dimension),
    /// Where a scale begins, which may lie below zero.
    ScaleBottom(Dimension),
    /// A measured quantity: a number with a unit, optionally with instant and instrument.
    Reading(Dimension),
    /// An instant at which something happened; one later than the judgement has not happened yet.
    Event,
    /// An instant that may lie ahead.
    Planned,
    /// A calendar day.
    Day,
    /// Rows of readings in the order of time.
    Log(&'static [FactSpec]),
}

impl FactKind {
    /// The kind in words, for messages and the fact index.
    pub fn describe(&self) -> String {
        match self {
            Self::Text => "text".to_owned(),
            Self::TyreSize => "a tyre size".to_owned(),
            Self::TubeSizes => "one or more tyre sizes".to_owned(),
            Self::Flag => "true or false".to_owned(),
            Self::Choice(words) => format!("one of: {}", in_quotes(words.iter())),
            Self::Choices(words) => format!("a list of any of: {}", in_quotes(words.iter())),
            Self::Count => "a plain number".to_owned(),
            Self::Quantity(d) | Self::ScaleBottom(d) => format!("a {} with its unit", d.name()),
            Self::Reading(d) => format!("a {} reading", d.name()),
            Self::Event => "a date and time that has passed".to_owned(),
            Self::Planned => "a date and time".to_owned(),
            Self::Day => "a calendar day".to_owned(),
            Self::Log(_) => "a log of readings".to_owned(),
        }
    }

    /// The dimension of a quantity or reading.
    pub fn dimension(&self) -> Option<Dimension> {
        match self {
            Self::Quantity(d) | Self::ScaleBottom(d) | Self::Reading(d) => Some(*d),
            Self::Count => Some(Dimension::Count),
            _ => None,
        }
    }
}

/// One fact of the catalogue.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FactSpec {
    /// The dotted place within its subject, such as `tyre.sidewall_maximum`.
    pub name: Cow<'static, str>,
    /// What its value is.
    pub kind: FactKind,
    /// What it means, one sentence for someone who has never seen the format.
    pub about: Meaning,
    /// A value as it would stand in a record.
    pub example: Cow<'static, str>,
    /// When and where it is asked for, and how long it holds.
    pub asked: Asked,
}

impl FactSpec {
    /// What a yes or no states, as a sentence without its full stop; nothing of other facts.
    pub fn statement(&self) -> Option<&str> {
        self.about.states.as_deref()
    }

    const fn new(name: &'static str, kind: FactKind, about: Meaning, example: &'static str, asked: Asked) -> Self {
        Self { name: Cow::Borrowed(name), kind, about, example: Cow::Borrowed(example), asked }
    }

    /// A column of a log, which is asked for with its log.
    const fn column(name: &'static str, kind: FactKind, about: &'static str, example: &'static str) -> Self {
        Self::new(name, kind, Meaning::of(about, &[]), example, Asked::new(HoldsFor::Job, &[], Station::Desk))
    }
}

/// What a fact means, and of a yes or no what it states.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Meaning {
    whole: Cow<'static, str>,
    /// The sentence without its full stop.
    states: Option<Cow<'static, str>>,
}

impl Meaning {
    /// The meaning of a row, which states one thing or nothing.
    const fn of(whole: &'static str, states: &[&'static str]) -> Self {
        let states = match states {
            [one] => Some(Cow::Borrowed(*one)),
            _ => None,
        };
        Self { whole: Cow::Borrowed(whole), states }
    }

    /// The meaning that a pack gives of a fact of its own; of a yes or no it is written `Whether STATEMENT.` or
    /// `Whether STATEMENT; remark.`
    pub fn read(whole: String) -> Self {
        let states = whole.strip_prefix("Whether ").and_then(|states| states.split([';', '.']).next());
        let states = states.map(|states| Cow::Owned(states.to_owned()));
        Self { whole: Cow::Owned(whole), states }
    }
}

impl std::ops::Deref for Meaning {
    type Target = str;

    fn deref(&self) -> &str {
        &self.whole
    }
}

impl std::fmt::Display for Meaning {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&self.whole)
    }
}

/// Where a fact stands in the catalogue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct FactKey {
    /// What the fact is about.
    pub subject: Subject,
    pub(crate) index: u16,
}

impl FactKey {
    /// The key of a row of a table that stands behind so many facts of its subject.
    #[expect(clippy::cast_possible_truncation, reason = "runs in the compiler, on tables of a few hundred rows")]
    const fn behind(subject: Subject, before: usize, row: u16) -> Self {
        Self { subject, index: before as u16 + row }
    }
}

/// Declares the facts of one subject: a constant key for each, and the table in the same order. A row says name, kind,
/// meaning, example, how long the fact holds ([`HoldsFor`]), at which hold points it is asked, and where ([`Station`]).
/// The meaning of a yes or no is written `Whether STATEMENT`, and a remark behind that.
/// A second table of a subject says how many facts stand before it.
macro_rules! facts {
    ($subject:expr; $($rows:tt)+) => { $crate::record::catalogue::facts! { $subject, 0; $($rows)+ } };
    ($subject:expr, $before:expr; $($id:ident = $name:literal, $kind:expr, $($about:literal)? $(Whether $states:literal $($remark:literal)?)?, $example:literal, $holds:ident, $at:ident, $station:ident;)+) => {
        #[allow(non_camel_case_types, clippy::upper_case_acronyms, reason = "only counts the rows")]
        enum FactIndex { $($id),+ }
        $(
            #[doc = concat!($($about)? $("Whether ", $states, $("; ", $remark,)? ".")?)]
            pub const $id: $crate::record::FactKey =
                $crate::record::FactKey::behind($subject, $before, FactIndex::$id as u16);
        )+
        /// The facts in the order of their keys.
        pub const TABLE: &[$crate::record::FactSpec] =
            &[$($crate::record::FactSpec::new(
                $name,
                $kind,
                $crate::record::catalogue::Meaning::of(
                    concat!($($about)? $("Whether ", $states, $("; ", $remark,)? ".")?),
                    &[$($states)?],
                ),
                $example,
                $crate::record::catalogue::Asked::new(
                    $crate::record::catalogue::HoldsFor::$holds,
                    $crate::record::catalogue::asked::$at,
                    $crate::record::catalogue::Station::$station,
                ),
            )),+];
    };
}
use facts;

/// Which facts are wanted, where a schema, a template or a part of a file takes only some.
pub(super) type Wanted<'w> = &'w dyn Fn(FactKey, &FactSpec) -> bool;

/// A column of a log, by its place in the rows behind the instant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column(pub(crate) u16);

/// Declares the rows of a log as a module: a constant for each column, and the table, which begins with the instant.
macro_rules! log_row {
    ($row:ident, $meaning:literal, $at:literal; $($id:ident = $name:literal, $kind:expr, $about:literal, $example:literal;)+) => {
        #[doc = $meaning]
        pub mod $row {
            use super::{Dimension, FactKind, FactSpec};

            #[allow(non_camel_case_types, clippy::upper_case_acronyms, reason = "only counts the columns")]
            enum ColumnIndex { $($id),+ }
            $(
                #[doc = $about]
                pub const $id: $crate::record::Column = $crate::record::Column(ColumnIndex::$id as u16);
            )+
            /// The columns in their order, the instant first.
            pub const TABLE: &[FactSpec] = &[
                FactSpec::column("at", FactKind::Event, "When it was read.", $at),
                $(FactSpec::column($name, $kind, $about, $example)),+
            ];
        }
    };
}
use log_row;

/// A closed list of words.
macro_rules! words {
    ($($word:literal),+ $(,)?) => {
        std::borrow::Cow::Borrowed(const { &[$(std::borrow::Cow::Borrowed($word)),+] })
    };
}
use words;

/// Every fact in force: the built-in ones and those that packs declare.
#[derive(Debug, Clone)]
pub struct Catalogue {
    tables: PerSubject<Cow<'static, [FactSpec]>>,
}

impl Default for Catalogue {
    fn default() -> Self {
        static TABLES: LazyLock<PerSubject<Cow<'static, [FactSpec]>>> = LazyLock::new(|| {
            PerSubject::from_fn(|subject| match tables(subject) {
                [table] => Cow::Borrowed(*table),
                several => Cow::Owned(several.concat()),
            })
        });
        Self { tables: PerSubject::from_fn(|subject| Cow::Borrowed(&**TABLES.get(subject))) }
    }
}

impl Catalogue {
    /// The facts of one subject, built-in ones first.
    pub fn of(&self, subject: Subject) -> &[FactSpec] {
        self.tables.get(subject)
    }

    /// What the catalogue says of `key`.
    pub fn spec(&self, key: FactKey) -> Option<&FactSpec> {
        self.of(key.subject).get(usize::from(key.index))
    }

    /// The fact called `name` within `subject`.
    pub fn find(&self, subject: Subject, name: &str) -> Option<FactKey> {
        let built_in = Index::of(subject);
        if let Some((key, _)) = built_in.find(name) {
            return Some(key);
        }
        let declared = self.of(subject).get(built_in.len()..)?;
        let index = built_in.len() + declared.iter().position(|spec| spec.name == name)?;
        Some(FactKey { subject, index: u16::try_from(index).ok()? })
    }

    /// Whether a declared fact stands below this dotted place, which ends with its dot.
    pub(super) fn has_below(&self, subject: Subject, place: &str) -> bool {
        let declared = self.of(subject).get(Index::of(subject).len()..).unwrap_or_default();
        declared.iter().any(|spec| spec.name.starts_with(place))
    }

    /// The name as packs write it: the job's facts bare, all others with their subject in front.
    pub fn full_name(&self, key: FactKey) -> String {
        let name = self.spec(key).map_or("?", |spec| spec.name.as_ref());
        match key.subject {
            Subject::Job => name.to_owned(),
            subject => format!("{}.{name}", subject.word()),
        }
    }

    /// Every key in catalogue order.
    pub fn keys(&self) -> impl Iterator<Item = FactKey> + '_ {
        Subject::ALL.into_iter().flat_map(|subject| self.keys_of(subject))
    }

    /// The keys of one subject, in catalogue order.
    pub fn keys_of(&self, subject: Subject) -> impl Iterator<Item = FactKey> + use<> {
        (0..self.of(subject).len()).filter_map(move |i| Some(FactKey { subject, index: u16::try_from(i).ok()? }))
    }

    /// Adds a fact that a pack declares. Its name stands under `local.` in the record.
    /// Returns the key, or `None` where the name is taken by a different declaration.
    /// A fact that two packs declare holds for the shorter of their spans, and is asked at the hold points of both.
    pub fn declare(&mut self, subject: Subject, spec: FactSpec) -> Option<FactKey> {
        if let Some(key) = self.find(subject, &spec.name) {
            let known = self.tables.get_mut(subject).to_mut().get_mut(usize::from(key.index))?;
            known.asked.join(&spec.asked);
            return (known.kind == spec.kind).then_some(key);
        }
        let table = self.tables.get_mut(subject).to_mut();
        let index = u16::try_from(table.len()).ok()?;
        table.push(spec);
        Some(FactKey { subject, index })
    }
}

/// The built-in facts of one subject, in the order of their keys.
pub fn built_in(subject: Subject) -> impl Iterator<Item = &'static FactSpec> {
    tables(subject).iter().copied().flatten()
}

const fn tables(subject: Subject) -> &'static [&'static [FactSpec]] {
    match subject {
        Subject::Job => &[job::TABLE],
        Subject::Assembly => &[assembly::TABLE, stages::TABLE],
        Subject::Component => &[component::TABLE],
        Subject::Person => &[person::TABLE],
        Subject::Gauge => &[instruments::gauge::TABLE],
        Subject::Thermometer => &[instruments::thermometer::TABLE],
    }
}

/// Columns that a row of a log may lack.
pub const OPTIONAL_COLUMNS: &[&str] = &["lowest_air"];

/// What each group of facts is, for the schema and the template: subject, dotted place, meaning.
pub const GROUPS: &[(Subject, &str, &str)] = &[
    (Subject::Job, "pump", "The metering pump and its mixer."),
    (Subject::Job, "order", "What was ordered."),
    (Subject::Job, "mix", "The mix of the two sides, by its maker's data sheet."),
    (Subject::Job, "cage", "The restraining device or barrier for the air stage."),
    (Subject::Job, "cage.inspected", "The look at the cage before today's use."),
    (Subject::Job, "air_stage", "How people are kept safe while the assembly holds air."),
    (Subject::Job, "workspace", "The place where the fill is done."),
    (Subject::Job, "workspace.air", "What the last air monitoring of this work found where people breathe."),
    (Subject::Job, "workspace.extinguisher", "The fire extinguisher within reach."),
    (Subject::Job, "workspace.eyewash", "The eyewash within reach."),
    (Subject::Job, "hygrometer", "The hygrometer on which the humidity there is read."),
    (Subject::Job, "handling", "How the filled assemblies are moved; each weighs several times an air-filled one."),
    (Subject::Job, "sample", "The cup of mixed material kept to show how the batch cured."),
    (Subject::Job, "cure", "Where and how long the filled assembly cures before it works again."),
    (Subject::Job, "service", "What is known before the assemblies work again."),
    (Subject::Job, "service.accepted", "The owner's word on weight, speed and duty."),
    (Subject::Assembly, "tyre", "The tyre, as its sidewall and its casing show it."),
    (Subject::Assembly, "tyre.casing", "What the inspection of the casing found."),
    (Subject::Assembly, "tyre.casing.inspected", "Who looked at the casing, and when."),
    (Subject::Assembly, "tyre.interior", "The inside of the tyre, looked at with the tyre open."),
    (Subject::Assembly, "rim", "The rim that carries the beads, with its rings if it has any."),
    (Subject::Assembly, "wheel", "The wheel as a whole: rim, disc and fastenings."),
    (Subject::Assembly, "wheel.inspected", "Who looked at the wheel, and when."),
    (Subject::Assembly, "tube", "The tube, if one is fitted."),
    (Subject::Assembly, "flap", "The flap between tube and rim, if one is fitted."),
    (Subject::Assembly, "valve", "The valve stem through which the material goes in."),
    (Subject::Assembly, "vent_path", "The way out for the air while the material comes in."),
    (Subject::Assembly, "target", "The pressure the fill is to end at."),
    (Subject::Assembly, "pre_stretch", "The stretch of a new tyre with air before the fill."),
    (Subject::Assembly, "acts", "When each step was done."),
    (Subject::Assembly, "mounting", "How the tyre is mounted, before any air goes in."),
    (Subject::Assembly, "seated", "The look at the assembly in the cage, once it holds air."),
    (Subject::Assembly, "fill", "How the fill went and ended."),
    (Subject::Assembly, "refit", "How the cured assembly goes back on the machine."),
    (Subject::Component, "sheet", "What its maker's data sheet says of its temperature."),
    (Subject::Component, "moisture_guard", "What keeps moist air out of the container."),
    (Subject::Gauge, "range", "The scale of the dial or display."),
    (Subject::Thermometer, "range", "The scale of the dial or display."),
];
