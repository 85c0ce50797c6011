//! One finding, and what is to be said of it: what it is about, where it stands, what would clear it, and by which rule.
//!
//! Must not know the form in which it is given.

use super::flow::{self, Flow, Urgency};
use super::notes::SaidOfPlace;
use super::ways::ClearsLine;
use super::{Place, clears, notes, places, waits, words};
use crate::document::Document;
use crate::engine::{self, Finding, Scene, Trace};
use crate::pack::{Citation, CureStep, Does, Pack, Rule, first_deed};
use crate::record::Entity;
use crate::units::Instant;
use crate::vocabulary::{Outcome, Subject};

/// One finding, and what is to be said of it.
#[derive(Debug, Clone, Copy)]
pub struct Explained<'a> {
    pub(super) scene: &'a Scene<'a>,
    pub(super) document: &'a Document,
    /// The pack.
    pub pack: &'a Pack,
    /// The rule.
    pub rule: &'a Rule,
    /// The subject and the outcome.
    pub finding: Finding,
    /// How soon something must be done, where it was looked at: to tell it takes the whole finding apart.
    pub(super) urgency: Option<Urgency>,
}

impl<'a> Explained<'a> {
    /// The steps of its cure that may be taken now: a tyre that may not be filled on is not filled on, what is done
    /// while the filling flows is not told when it has set, and what is done then is not told before.
    pub fn steps(&self) -> Vec<&'a CureStep> {
        let own = self.own();
        let may_be_taken = |step: &&CureStep| match step.does {
            Does::FillsOn => flow::may_fill_on(self.scene, own),
            Does::WhileItFlows => !flow::has_set(self.scene, own),
            Does::OnceSet => !flow::still_flows(self.scene, own),
            Does::Mends | Does::Guards | Does::LeavesClosed => true,
        };
        self.rule.told.put_right.steps.iter().filter(may_be_taken).collect()
    }

    /// What is done where nobody has recorded that it was: while the filling flows the deed itself, and once it has set what
    /// remains. `None` for what can be done at any time.
    pub(super) fn deed_of_its_time(&self) -> Option<DeedOfItsTime<'a>> {
        let steps = self.steps();
        let of = |does: Does| steps.iter().copied().filter(|step| step.does == does).collect::<Vec<_>>();
        let (flowing, set) = (of(Does::WhileItFlows), of(Does::OnceSet));
        match flow::flow(self.scene, self.own()) {
            Flow::Until(life) if !flowing.is_empty() => {
                Some(DeedOfItsTime::Now { until: Some(life.end), steps: flowing })
            }
            Flow::NotKnown if !flowing.is_empty() => Some(DeedOfItsTime::Now { until: None, steps: flowing }),
            _ if self.rule.told.put_right.has(Does::WhileItFlows) && !set.is_empty() => {
                Some(DeedOfItsTime::Late { steps: set })
            }
            _ => None,
        }
    }

    /// The subject that it is about; `None` for the job as a whole, or for every subject of a list that is not recorded.
    pub(super) fn own(&self) -> Option<(Subject, usize)> {
        self.finding.entity.filter(|_| self.rule.covers != Subject::Job).map(|entity| (self.rule.covers, entity))
    }
}

/// What is done where nobody has recorded that it was, of what can be done only while the filling flows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DeedOfItsTime<'a> {
    /// It flows, until the end of the pot life where that is known.
    Now {
        /// The end of the pot life.
        until: Option<Instant>,
        /// All that is done while it flows.
        steps: Vec<&'a CureStep>,
    },
    /// It has set, and this is what remains to be done.
    Late {
        /// The steps.
        steps: Vec<&'a CureStep>,
    },
}

impl DeedOfItsTime<'_> {
    /// It in words, with its end by the clock.
    pub(super) fn told(&self, scene: &Scene<'_>) -> String {
        match self {
            // All of it: nobody looks the rest up while it sets.
            Self::Now { until, steps } => {
                let until = until.map(|end| format!(", until {}, the end of the pot life", words::moment(scene, end)));
                let whole: Vec<&str> = steps.iter().map(|step| step.text.as_str()).collect();
                format!("if it is not done yet, now{}: {}", until.unwrap_or_default(), whole.join(" "))
            }
            Self::Late { steps } => {
                format!("if it was not done: {}", first_deed(steps).collect::<Vec<_>>().join(" "))
            }
        }
    }
}

/// What a finding is about.
#[derive(Debug, Clone, Copy)]
pub enum About<'a> {
    /// The job as a whole.
    Job,
    /// One of several subjects.
    One(&'a Entity),
    /// Every subject of a kind, since the record does not have their list.
    Every(Subject),
}

impl About<'_> {
    /// The subject with a colon, as it opens a line; nothing for the job itself.
    pub(super) fn opening(self) -> String {
        match self {
            Self::Job => String::new(),
            other => format!("{other}: "),
        }
    }
}

impl std::fmt::Display for About<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Job => f.write_str("the job"),
            Self::One(entity) => f.write_str(&entity.label),
            Self::Every(subject) => write!(f, "every {}", subject.word()),
        }
    }
}

impl<'a> Explained<'a> {
    pub(super) fn new(scene: &'a Scene<'a>, document: &'a Document, finding: Finding) -> Option<Self> {
        let pack = scene.packs().packs().get(finding.pack)?;
        Some(Self { scene, document, pack, rule: pack.rules.get(finding.rule)?, finding, urgency: None })
    }

    /// `pack/rule`.
    pub fn code(&self) -> String {
        self.pack.code_of(self.rule)
    }

    /// Broken or not shown; of all findings also met, or that the rule does not apply.
    pub const fn outcome(&self) -> Outcome {
        self.finding.outcome
    }

    /// What it is about.
    pub fn about(&self) -> About<'a> {
        match (self.rule.covers, self.scene.entity(&self.finding)) {
            (Subject::Job, _) => About::Job,
            (_, Some(entity)) => About::One(entity),
            (covers, None) => About::Every(covers),
        }
    }

    /// Demand and scope taken apart for its subject; nothing where the record does not have the list of subjects.
    pub(super) fn traced(&self) -> Option<(Trace<'a>, Option<Trace<'a>>)> {
        let (scene, rule) = (self.scene, self.rule);
        let here = scene.here(rule.covers, Some(self.finding.entity?));
        let applies = rule.asks.applies.as_ref().map(|condition| engine::trace(scene, condition, &here));
        Some((engine::trace(scene, &rule.asks.demands, &here), applies))
    }

    /// Places in the record, the most telling first.
    pub fn places(&self) -> Vec<Place<'a>> {
        match self.traced() {
            Some((demands, applies)) => places::of_finding(&demands, applies.as_ref(), self.document),
            None => places::of_absent_list(self.rule.covers, self.document),
        }
    }

    /// What is said of one of its places.
    pub fn said_of(&self, place: &Place<'_>) -> String {
        self.says_of(place).to_string()
    }

    /// The same as data, for a form that tells several findings together.
    pub(super) fn says_of(&self, place: &Place<'_>) -> SaidOfPlace {
        notes::of_place(self.scene, place)
    }

    /// What its first comparison with something that is there has seen and needs, with its name, for paper that has no lines
    /// of the record beside it.
    pub fn reading(&self) -> Option<String> {
        self.places().iter().find_map(|place| notes::reading(self.scene, place))
    }

    /// What would clear it, in lines that go on from one another.
    pub fn clears(&self) -> Vec<String> {
        self.clears_when().iter().map(ToString::to_string).collect()
    }

    /// The same as data, for a form that tells several findings together.
    pub(super) fn clears_when(&self) -> Vec<ClearsLine> {
        let remedy = engine::remedy(self.scene, &self.finding);
        let traced = self.traced();
        let demands = traced.as_ref().map(|(demands, _)| demands);
        let applies = traced.as_ref().and_then(|(_, applies)| applies.as_ref());
        let own = self.finding.entity.map(|entity| (self.rule.covers, entity));
        clears::lines(self.scene, self.rule, &remedy, demands, applies, own)
    }

    /// What it waits for, where time alone clears it.
    pub(super) fn waits(&self) -> Option<String> {
        let (demands, _) = self.traced()?;
        waits::waits(self.scene, &demands.in_the_way())
    }

    /// The demand, in words.
    pub fn clause(&self) -> String {
        words::condition(self.scene, &self.rule.asks.demands)
    }

    /// Where the rule stands: file and line.
    pub fn clause_at(&self) -> String {
        stands_at(self.rule)
    }

    /// Where people find the whole rule: the base pack is compiled in, so its files are on no shop's machine.
    pub fn page(&self) -> String {
        if self.pack.amends.is_some() {
            return self.clause_at();
        }
        format!("`fillward explain {}`", self.rule.name)
    }

    /// Where the rule comes from.
    pub fn source(&self) -> String {
        citation(&self.rule.told.source)
    }

    /// Who may permit going on, or that nobody may.
    pub fn permit(&self) -> String {
        permit(self.rule)
    }
}

/// Where a rule stands: file and line.
pub(super) fn stands_at(rule: &Rule) -> String {
    let line = rule.told.place.source.line_and_column(rule.told.place.span.start).0;
    format!("{}:{line}", rule.told.place.source.name())
}

/// A citation as one line, with how reliable it is.
pub fn citation(source: &Citation) -> String {
    let mut line = format!("{}: {}", source.kind, source.cite);
    if let Some(note) = &source.note {
        line.push_str("; ");
        line.push_str(note);
    }
    line
}

pub(super) fn permit(rule: &Rule) -> String {
    match &rule.told.permit {
        Some(permit) => format!("the {} may permit it, for {} at most", words::role(&permit.by), permit.longest),
        None => "nobody may permit going on".to_owned(),
    }
}
