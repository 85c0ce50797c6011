//! The judgement: a pure function of packs, record, instant and zone.
//!
//! Missing evidence makes a condition unknown, and unknown holds. This floor must not know text, files, the clock or
//! colours; it gives findings as facts, which `explain` turns into words.

mod aim;
mod evaluate;
mod evidence;
mod examples;
mod judgement;
mod outlook;
mod reach;
mod remedy;
mod stays;
mod trace;
mod worked;
mod worklist;

use worked::Room;

use std::borrow::Cow;
use std::cell::OnceCell;
use std::rc::Rc;

use judgement::outcome;
use remedy::LookedAt;

use crate::figures::{Parameters, Shared};
use crate::pack::{Amendments, DatedValue, LimitId, PackSet, Rule};
use crate::record::catalogue::assembly;
use crate::record::catalogue::job::PLANNED_START;
use crate::record::{Entity, FactKey, Job, Value};
use crate::units::{Day, Exact, Instant, Interval, Quantity, Truth, Zone};
use crate::vocabulary::{HoldPoint, Outcome, Subject};

pub use aim::{Aim, Aims};
pub use evaluate::{Here, ListWord, Side};
pub use evidence::{BoundOrigin, ComparedWith, Comparison, Decided, FactPlace, FactValue};
pub use examples::{ExampleFault, check_examples};
pub use judgement::{Finding, Judgement};
pub use outlook::{LONGEST, lasts, latest_start};
pub use reach::{Reach, Reaches, reaches};
pub use remedy::{Act, ActKind, Remedy, Way, remedy};
pub use stays::{complete_if_it_stays, complete_once_read};
pub use trace::{InTheWay, Known, Seen, Trace, TraceLeaf, trace};
pub use worklist::{Errand, Gap};

/// Everything a judgement looks at: packs, job and instant, with limits and figures worked out once.
#[derive(Debug, Clone)]
pub struct Scene<'a> {
    packs: &'a PackSet,
    job: &'a Job,
    /// The job without what is dated later, of which figures are made; `None` if nothing is dated later.
    known: OnceCell<Option<Job>>,
    at: Instant,
    /// The hold point whose rules judge.
    point: HoldPoint,
    /// The positions of the assemblies that are to pass it; `None` is all.
    covered: Option<Vec<usize>>,
    /// The start of the fill: the planned one, or the instant of the judgement where that is later.
    start: Instant,
    zone: Zone,
    /// The day of the start, on which limits and rules are in force.
    day: Day,
    amendments: Amendments,
    /// Of one day, however many scenes have it; none until a figure is worked out.
    parameters: OnceCell<Rc<Parameters>>,
    /// Of one job and instant, however many scenes have it; nothing until a figure is asked for.
    figures: Rc<OnceCell<Room>>,
    shared: OnceCell<Shared>,
    /// The findings, where they were asked for again.
    found: OnceCell<Vec<Finding>>,
    /// What the rules look at, where that was asked for.
    looked_at: OnceCell<LookedAt>,
}

impl<'a> Scene<'a> {
    /// Sets the scene for judging `job` at `at`, by the days of `zone`, in which the shop lies: before the fill, unless
    /// [`Scene::at_hold_point`] says otherwise.
    pub fn new(packs: &'a PackSet, job: &'a Job, at: Instant, zone: &Zone) -> Self {
        Self::by(Amendments::All, packs, job, (at, HoldPoint::default()), zone)
    }

    /// With these amendments only: an example is judged without later packs, which its author could not know.
    fn by(
        amendments: Amendments,
        packs: &'a PackSet,
        job: &'a Job,
        (at, point): (Instant, HoldPoint),
        zone: &Zone,
    ) -> Self {
        let at = at.in_zone(zone);
        let start = start_of(job, at, point).in_zone(zone);
        let day = start.day_in(zone);
        let (figures, known, shared) = (Rc::default(), OnceCell::new(), OnceCell::new());
        let (found, looked_at) = (OnceCell::new(), OnceCell::new());
        let (zone, covered) = (zone.clone(), None);
        Self {
            packs,
            job,
            known,
            at,
            point,
            covered,
            start,
            zone,
            day,
            amendments,
            parameters: OnceCell::new(),
            figures,
            shared,
            found,
            looked_at,
        }
    }

    /// The same judgement at a hold point: by the rules that are asked there. Only before the fill there is a start that
    /// lies ahead; what is asked at another hold point is asked now.
    #[must_use]
    pub fn at_hold_point(self, point: HoldPoint) -> Self {
        if point == self.point {
            return self;
        }
        Self { point, ..self }.for_job_at(self.job, self.at)
    }

    /// The judgement of a job at an instant, at the same hold point and of the same assemblies.
    fn for_job_at<'j>(&self, job: &'j Job, at: Instant) -> Scene<'j>
    where
        'a: 'j,
    {
        let scene = Scene::by(Amendments::All, self.packs, job, (at, self.point), &self.zone);
        Scene { covered: self.covered.clone(), ..scene }
    }

    /// The same judgement with findings of those assemblies only that are called by one of these marks: one may go on while
    /// another of its job is held. What is asked of the job as a whole, its material above all, still counts every assembly.
    ///
    /// # Errors
    /// The first mark that the record does not have.
    pub fn covering(self, marks: &[impl AsRef<str>]) -> Result<Self, String> {
        let assemblies = self.job.of(Subject::Assembly).unwrap_or(&[]);
        let place = |mark: &str| assemblies.iter().position(|one| one.facts.text(assembly::MARK) == Some(mark));
        let found = marks.iter().map(|mark| place(mark.as_ref()).ok_or_else(|| mark.as_ref().to_owned()));
        Ok(Self { covered: Some(found.collect::<Result<_, _>>()?), found: OnceCell::new(), ..self })
    }

    /// The assemblies that are to go past the hold point, each with its position.
    pub fn covered(&self) -> impl Iterator<Item = (usize, &'a Entity)> {
        self.assemblies(true)
    }

    /// The assemblies of which nothing is said.
    pub fn left_out(&self) -> impl Iterator<Item = &'a Entity> {
        self.assemblies(false).map(|(_, entity)| entity)
    }

    fn assemblies(&self, covered: bool) -> impl Iterator<Item = (usize, &'a Entity)> {
        let all = self.job.of(Subject::Assembly).unwrap_or(&[]).iter().enumerate();
        all.filter(move |(index, _)| self.is_covered(Subject::Assembly, *index) == covered)
    }

    fn is_covered(&self, subject: Subject, index: usize) -> bool {
        subject != Subject::Assembly || self.covered.as_ref().is_none_or(|covered| covered.contains(&index))
    }

    /// The same judgement of another job.
    fn of_job<'j>(&self, job: &'j Job) -> Scene<'j>
    where
        'a: 'j,
    {
        let start = start_of(job, self.at, self.point).in_zone(&self.zone);
        if start.day_in(&self.zone) != self.day {
            return self.for_job_at(job, self.at);
        }
        Scene {
            packs: self.packs,
            job,
            known: OnceCell::new(),
            at: self.at,
            point: self.point,
            covered: self.covered.clone(),
            start,
            zone: self.zone.clone(),
            day: self.day,
            amendments: self.amendments,
            parameters: self.parameters.clone(),
            figures: Rc::default(),
            shared: OnceCell::new(),
            found: OnceCell::new(),
            looked_at: OnceCell::new(),
        }
    }

    /// The packs in force.
    pub const fn packs(&self) -> &'a PackSet {
        self.packs
    }

    /// The job.
    pub const fn job(&self) -> &'a Job {
        self.job
    }

    /// The instant of the judgement, as the clock of the zone shows it.
    pub const fn at(&self) -> Instant {
        self.at
    }

    /// The hold point whose rules judge.
    pub const fn hold_point(&self) -> HoldPoint {
        self.point
    }

    /// The start of the fill, at which ages are asked: the planned one, or the instant of the judgement where that is later.
    pub const fn start(&self) -> Instant {
        self.start
    }

    /// The zone whose days count.
    pub const fn zone(&self) -> &Zone {
        &self.zone
    }

    /// The value of a limit in force on the day of the start.
    pub fn limit(&self, id: LimitId) -> Option<Quantity> {
        self.limit_in_force(id).map(|dated| dated.value)
    }

    fn limit_point(&self, id: LimitId) -> Option<&'a Interval> {
        self.limit_in_force(id).map(|dated| &dated.point)
    }

    fn limit_in_force(&self, id: LimitId) -> Option<&'a DatedValue> {
        self.packs.limit_in_force(id, self.amendments, self.day)
    }

    fn limit_base(&self, id: LimitId) -> Option<Exact> {
        self.limit_point(id).map(|point| point.lo())
    }

    /// The job as far as it is known at the instant: without what lies ahead.
    fn known(&self) -> &Job {
        let known = self.known.get_or_init(|| match self.job.as_known_at(self.at) {
            Cow::Borrowed(_) => None,
            Cow::Owned(known) => Some(known),
        });
        known.as_ref().unwrap_or(self.job)
    }

    /// Whether a fact is recorded somewhere and counts as not shown, since it is dated after the judgement.
    pub fn lies_ahead(&self, key: FactKey) -> bool {
        let of_subject = self.job.of(key.subject).unwrap_or(&[]);
        of_subject.iter().any(|entity| entity.facts.get(key).is_some_and(|value| value.is_read_after(self.at)))
    }

    /// The rule of a finding.
    pub fn rule(&self, finding: &Finding) -> Option<&'a Rule> {
        self.packs.packs().get(finding.pack)?.rules.get(finding.rule)
    }

    /// The code of the rule of a finding, `pack/rule`.
    pub fn code_of(&self, finding: &Finding) -> String {
        let pack = self.packs.packs().get(finding.pack);
        pack.zip(self.rule(finding)).map(|(pack, rule)| pack.code_of(rule)).unwrap_or_default()
    }

    /// The subject of a finding.
    pub fn entity(&self, finding: &Finding) -> Option<&'a Entity> {
        self.job.of(self.rule(finding)?.covers)?.get(finding.entity?)
    }

    /// Judges the job.
    pub fn judge(&self) -> Judgement {
        let findings = self.findings(|_, _| true);
        Judgement { at: self.at, verdict: Judgement::verdict_of(&findings), findings }
    }

    /// Whether the packs ask that the checklist of this hold point follows one of the hold point before.
    pub fn follows_one_before(&self) -> bool {
        self.follows() != Truth::False
    }

    /// Whether it follows one, as far as the record tells.
    pub fn follows(&self) -> Truth {
        let follows = self.packs.packs().iter().flat_map(|pack| &pack.follows);
        let here = follows.filter(|follows| follows.at == self.point);
        here.fold(Truth::False, |found, follows| match &follows.applies {
            None => Truth::True,
            Some(condition) => self.covered().fold(found, |found, (assembly, _)| {
                found.or(self.truth(condition, &self.here(Subject::Assembly, Some(assembly))))
            }),
        })
    }

    /// The findings of a judgement, for callers that ask for them once and again.
    pub(crate) fn found(&self) -> &[Finding] {
        self.found.get_or_init(|| self.findings(|_, _| true))
    }

    /// The findings of the rules that are wanted, by their pack and place in it, in the order of packs, rules and subjects.
    fn findings(&self, wanted: impl Fn(usize, usize) -> bool) -> Vec<Finding> {
        let whole = self.here(Subject::Job, Some(0));
        let rules = self.packs.packs().iter().flat_map(|pack| &pack.rules);
        let subjects = |rule: &Rule| self.job.of(rule.covers).map_or(1, <[_]>::len);
        let mut findings = Vec::with_capacity(rules.map(subjects).sum());
        for (pack, rules) in self.packs.packs().iter().enumerate() {
            let rules = rules.rules.iter().enumerate();
            for (index, rule) in rules.filter(|(index, rule)| self.is_asked(rule) && wanted(pack, *index)) {
                let of_it = |(index, _): &(usize, &Entity)| self.is_covered(rule.covers, *index);
                let finding = |entity, outcome| Finding { pack, rule: index, entity, outcome, on_fault: rule.on_fault };
                match self.job.of(rule.covers) {
                    // Without the list nobody knows how many there are: nothing is shown of any of them.
                    None => findings.push(finding(None, Outcome::NotShown)),
                    Some(entities) => {
                        findings.extend(entities.iter().enumerate().filter(of_it).map(|(index, entity)| {
                            let mut here = whole;
                            here.put(rule.covers, index, entity);
                            finding(Some(index), self.outcome_of(rule, &here))
                        }));
                    }
                }
            }
        }
        findings
    }

    /// Whether a rule is asked: in force on the day of the start, and of its hold point.
    fn is_asked(&self, rule: &Rule) -> bool {
        rule.asked_at.contains(self.point) && self.in_force(rule)
    }

    /// Whether a rule is in force on the day of the start.
    pub fn in_force(&self, rule: &Rule) -> bool {
        rule.from.is_none_or(|from| from <= self.day) && rule.until.is_none_or(|until| self.day < until)
    }

    /// What `rule` says of the subject at position `entity` of the list it covers.
    pub fn outcome(&self, rule: &Rule, entity: usize) -> Outcome {
        self.outcome_of(rule, &self.here(rule.covers, Some(entity)))
    }

    fn outcome_of(&self, rule: &Rule, here: &Here<'a>) -> Outcome {
        let applies = rule.asks.applies.as_ref().map_or(Truth::True, |condition| self.truth(condition, here));
        if applies == Truth::False {
            return Outcome::DoesNotApply;
        }
        outcome(applies, self.truth(&rule.asks.demands, here))
    }
}

/// The later of the planned start of a job, where one is recorded, and the instant of the judgement. The planned start
/// counts before the fill only.
fn start_of(job: &Job, at: Instant, point: HoldPoint) -> Instant {
    match job.whole().and_then(|whole| whole.facts.get(PLANNED_START)) {
        Some(Value::Instant(planned)) if point == HoldPoint::BeforeFill && *planned > at => *planned,
        _ => at,
    }
}
