//! Rule packs: the rule language, read and checked before any job is judged.
//!
//! A [`PackSet`] is the base pack and any local packs, resolved against the catalogues of facts and figures. It knows the
//! names of facts, never a particular job. Must not know a job.

mod base;
mod bearing;
mod check;
pub mod condition;
mod context;
mod cure;
mod example;
mod later;
mod misread;
mod named;
mod polarity;
mod read;
mod set;
pub mod sides;
pub mod test;
mod text;

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use crate::document::{Source, Span};
use crate::units::{Day, Dimension, Exact, Interval, Quantity};
use crate::vocabulary::{HoldPoint, HoldPoints, Subject};

pub use base::build;
pub use condition::{Collection, Condition, Leaf};
pub use cure::{AIR_OUT, Air, Cure, CureStep, Does, SharedStep, first_deed, numbered};
pub use example::Example;
pub use later::Later;
pub(crate) use set::Amendments;
pub use set::{PackSet, schema};
pub use sides::{Operand, Term};
pub use test::Test;
pub use text::PackText;

/// A place in the text of a pack.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct DefinedAt {
    /// The file.
    #[serde(with = "base::source")]
    pub source: Arc<Source>,
    /// The bytes.
    pub span: Span,
}

/// The beginning of no text.
impl Default for DefinedAt {
    fn default() -> Self {
        Self { source: Arc::new(Source::compiled_in("", "")), span: Span::empty(0) }
    }
}

/// One pack: a named edition of rules.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Pack {
    /// The name, the first half of every finding's code.
    pub name: PackText,
    /// The edition, as its owner writes it.
    pub edition: PackText,
    /// One line for reports.
    pub title: PackText,
    /// The pack that this one amends, if it is a local one.
    pub amends: Option<Amends>,
    /// The roles that must sign before a fill, each by another person; a role twice means two people.
    pub signed_by: Vec<PackText>,
    /// Where a checklist must follow that of the hold point before.
    pub follows: Vec<Follows>,
    /// Steps that its cures share.
    pub steps: Vec<SharedStep>,
    /// The rules, in the order of the files.
    pub rules: Vec<Rule>,
    /// The texts the pack was read from.
    #[serde(skip)]
    pub sources: Vec<Arc<Source>>,
}

/// The code by which findings, permits and reports name a rule: `pack/rule`.
pub fn rule_code(pack: &str, rule: &str) -> String {
    format!("{pack}/{rule}")
}

impl Pack {
    /// The digest of its files as it was made beforehand, in hexadecimal: of the base pack as it is compiled in.
    pub fn digest_made(&self) -> Option<&'static str> {
        let of_base = base::sources();
        let is_base = self.sources.len() == of_base.len()
            && self.sources.iter().zip(of_base).all(|(own, known)| Arc::ptr_eq(own, known));
        base::digest_of_files().filter(|_| is_base)
    }

    /// The code of a rule of this pack.
    pub fn code_of(&self, rule: &Rule) -> String {
        rule_code(&self.name, &rule.name)
    }

    /// The identifier of one comparison of a rule of this pack, such as
    /// `tyre-fill/cure-too-short#/demands/cure.planned/at_least`. It is made of names and positions: a new layout of the
    /// text does not change it, and another edition of the pack may have another comparison there.
    pub fn leaf_id(&self, rule: &Rule, leaf: &Leaf) -> String {
        format!("{}#{}", self.code_of(rule), leaf.at)
    }
}

/// That a checklist of a hold point must name a signed one of the hold point before it.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Follows {
    /// The hold point.
    pub at: HoldPoint,
    /// For which assemblies; `None` is all.
    pub applies: Option<Condition>,
}

/// Which pack a local pack amends.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Amends {
    /// Its name.
    pub pack: PackText,
    /// Its edition.
    pub edition: PackText,
}

/// Where a rule or a limit comes from.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Citation {
    /// What sort of authority it is.
    pub kind: PackText,
    /// The document and paragraph.
    pub cite: PackText,
    /// A remark on its standing.
    pub note: Option<PackText>,
}

/// Which way a limit may be moved by a local pack.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Safer {
    /// A higher value is stricter.
    Higher,
    /// A lower value is stricter.
    Lower,
}

impl Safer {
    /// The word used in packs.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Higher => "higher",
            Self::Lower => "lower",
        }
    }

    /// Whether `new` is at least as strict as `old`.
    pub fn allows(self, old: Exact, new: Exact) -> bool {
        match self {
            Self::Higher => new >= old,
            Self::Lower => new <= old,
        }
    }
}

/// A named number with a source, in force from certain days on.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Limit {
    /// The pack that names it, by its position in the set.
    pub pack: usize,
    /// The name.
    pub name: PackText,
    /// The unit family.
    pub dimension: Dimension,
    /// Which direction is stricter.
    pub safer: Safer,
    /// The values by the day from which they apply, earliest first; a value without a day applies from the beginning.
    pub values: Later<Vec<DatedValue>>,
    /// Values that local packs set in its place; the strictest of all in force applies.
    pub amendments: Vec<Amendment>,
    /// What is said of it.
    pub told: Later<LimitTold>,
}

/// What a limit says of itself.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct LimitTold {
    /// What it means.
    pub about: PackText,
    /// Where the number comes from.
    pub source: Citation,
    /// Where it stands.
    pub place: DefinedAt,
}

/// One value of a limit and the day from which it applies, from 00:00 in the zone of the shop.
#[derive(Debug, Clone, Copy, Serialize, Deserialize)]
pub struct DatedValue {
    /// The first day, or `None` for "always".
    pub from: Option<Day>,
    /// The value.
    pub value: Quantity,
    /// The same in base units, as comparisons take it.
    pub point: Interval,
}

/// A local pack's values for a limit of the pack it amends.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Amendment {
    /// The local pack, by its position in the set.
    pub pack: usize,
    /// Its values.
    pub values: Vec<DatedValue>,
    /// Why.
    pub why: PackText,
    /// Where the amendment stands.
    pub place: DefinedAt,
}

/// What a fault of the rule does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum OnFault {
    /// Holds the job.
    Hold,
    /// Is said, and holds nothing.
    Advise,
}

/// Who may permit going on in spite of the rule, and for how long.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct PermitTerms {
    /// The role.
    pub by: PackText,
    /// The longest span from the permit to its end.
    pub longest: Quantity,
}

/// One requirement, named by its fault.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Rule {
    /// Kebab-case, unique in the pack.
    pub name: PackText,
    /// The fault in words.
    pub title: PackText,
    /// Of what each finding speaks.
    pub covers: Subject,
    /// The hold points at which it is asked, in the order of the work.
    pub asked_at: HoldPoints,
    /// Whether its demand looks at a day or an instant of the record, so that what it asks may run out.
    pub dated: bool,
    /// What it asks, and when.
    pub asks: Later<Asks>,
    /// What is said where it is broken.
    pub told: Later<Told>,
    /// Whether it holds.
    pub on_fault: OnFault,
    /// The first day it is in force.
    pub from: Option<Day>,
    /// The first day it is no longer in force.
    pub until: Option<Day>,
    /// The cases that show what it means, where they were read.
    #[serde(skip)]
    pub examples: Option<Box<RuleExamples>>,
}

impl Rule {
    /// Cases that pass.
    pub fn passes(&self) -> &[Example] {
        self.examples.as_ref().map_or(&[], |examples| &examples.passes)
    }

    /// Cases that hold.
    pub fn holds(&self) -> &[Example] {
        self.examples.as_ref().map_or(&[], |examples| &examples.holds)
    }
}

/// The cases that show what a rule means.
#[derive(Debug, Clone)]
pub struct RuleExamples {
    /// Those that pass.
    pub passes: Vec<Example>,
    /// Those that hold.
    pub holds: Vec<Example>,
}

/// What a rule asks of its subject. By default, a demand that nothing can meet.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Asks {
    /// When the rule applies; `None` is always.
    pub applies: Option<Condition>,
    /// What it demands.
    pub demands: Later<Condition>,
    /// Whether it compares anything with the time of the judgement or of the start, so that it may come out otherwise later
    /// on the same day.
    pub moves: bool,
}

impl Asks {
    /// What a rule of these conditions asks.
    pub fn new(applies: Option<Condition>, demands: Condition) -> Self {
        let moves = applies.iter().chain([&demands]).any(Condition::moves);
        Self { applies, demands: demands.into(), moves }
    }

    /// Both conditions, as far as there are two.
    pub fn conditions(&self) -> impl Iterator<Item = &Condition> {
        self.applies.iter().chain([&*self.demands])
    }
}

impl Default for Asks {
    fn default() -> Self {
        Self::new(None, Condition::default())
    }
}

/// What a rule says of itself, to the person who breaks it or reads it.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(bound(deserialize = "'de: 'static"))]
pub struct Told {
    /// The harm.
    pub why: PackText,
    /// What to do.
    pub put_right: Cure,
    /// The authority.
    pub source: Citation,
    /// The permit it allows, if any.
    pub permit: Option<PermitTerms>,
    /// Where its name stands.
    pub place: DefinedAt,
    /// Where its demands stand.
    pub demands_place: DefinedAt,
}

/// A limit, by its position in the set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct LimitId(pub(crate) usize);

/// The kinds of value that a condition can compare.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Class {
    /// Text and words.
    Text,
    /// True or false.
    Flag,
    /// A number of a dimension.
    Number(Dimension),
    /// An instant.
    Instant,
    /// A calendar day.
    Day,
    /// A list of words.
    Words,
    /// A log, which only figures read.
    Log,
    /// The uncertainty of a reading, of which only whether it is recorded can be asked.
    Doubt,
}

impl Class {
    /// The class in words.
    pub fn describe(self) -> String {
        match self {
            Self::Text => "text".to_owned(),
            Self::Flag => "true or false".to_owned(),
            Self::Number(Dimension::Count) => "a plain number".to_owned(),
            Self::Number(dimension) => format!("a {}", dimension.name()),
            Self::Instant => "a date and time".to_owned(),
            Self::Day => "a calendar day".to_owned(),
            Self::Words => "a list of words".to_owned(),
            Self::Log => "a log of readings".to_owned(),
            Self::Doubt => "an uncertainty, of which only `recorded` can be asked".to_owned(),
        }
    }
}
