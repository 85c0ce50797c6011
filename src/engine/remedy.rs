//! What can be done about a finding: ways that were tried on the record, and that clear it.
//!
//! Nothing is offered because it looks right. Each way is carried out on a copy of the job, the rule is judged again, and
//! only what leaves it met, or no longer applying, is given on. This module must not know words or text.

mod levers;
mod options;
mod room;
mod spoiled;
mod trials;
mod values;
mod window;

pub(super) use spoiled::LookedAt;
use trials::Trials;

use super::reach::Reach;
use super::{Finding, Scene, trace};
use crate::pack::Rule;
use crate::record::catalogue::{GIVEN, NEVER_LESS, NEVER_MORE, READ_OFF, SITE_LIMITS, stages};
use crate::record::{Edit, FactKey, Job, Measured, Value};
use crate::units::Quantity;
use crate::vocabulary::{HoldPoint, Outcome, Subject};

/// Ways that are given on: more than a person weighs against one another would not be read.
const MOST_WAYS: usize = 4;
/// Steps of a way that build on one another: recording a fact may show that it must be another one.
const DEEPEST: usize = 5;

/// What clears a finding; every way alone does.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Remedy {
    /// The ways that put nothing else out of order, those with the fewest acts first. Empty where nothing that can still be
    /// changed clears it alone.
    pub ways: Vec<Way>,
    /// Where there is no such way but to read something again: one that clears it, and what would hold the job instead.
    pub at_a_price: Option<(Way, Vec<Finding>)>,
    /// Where the finding would be cleared by a number that follows a target outside its window: what is done to the target
    /// first, even where something might have been misread. Nothing is fitted to such a target.
    pub first: Option<Act>,
    /// Whether there may be more that clears it, which was not tried for since the job has so many findings.
    pub cut_off: bool,
}

/// Acts that clear a finding together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Way {
    /// The acts, each on another fact.
    pub acts: Vec<Act>,
}

impl Way {
    /// Whether it is the same way, or moves the same numbers: of two numbers to reach one is enough.
    fn moves_the_same(&self, other: &Self) -> bool {
        let is_number =
            |act: &Act| matches!(act.kind, ActKind::Number(_) | ActKind::Between { .. } | ActKind::ReadAgain(_));
        // Done again later, and done again now.
        let is_again = |act: &Act| matches!(act.kind, ActKind::Again | ActKind::Moment { later: true });
        let same = |(one, other): (&Act, &Act)| {
            let alike = |such: fn(&Act) -> bool| such(one) && such(other);
            one == other || one.is_on_the_same(other) && (alike(is_number) || alike(is_again))
        };
        self.acts.len() == other.acts.len() && self.acts.iter().zip(&other.acts).all(same)
    }

    /// Whether one of its acts is such.
    fn has(&self, such: impl Fn(&Act) -> bool) -> bool {
        self.acts.iter().any(such)
    }

    /// Whether part of it is to find out what the record does not say: what that is, nobody can choose.
    fn finds_out(&self, recorded: &Job) -> bool {
        self.acts.iter().any(|act| {
            let subject = recorded.of(act.edit.key.subject).and_then(|entities| entities.get(act.edit.entity));
            subject.is_none_or(|subject| subject.facts.get(act.edit.key).is_none())
        })
    }
}

/// One thing to do, and what the record says of it afterwards.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Act {
    /// What stands in the record afterwards.
    pub edit: Edit,
    /// What kind of act it is.
    pub kind: ActKind,
}

impl Act {
    /// The fact that it changes.
    pub const fn key(&self) -> FactKey {
        self.edit.key
    }

    /// Whether something is done or read again now, or is said that was missing: the record is added to, and nothing in it changed.
    pub const fn is_done_again(&self) -> bool {
        matches!(
            self.kind,
            ActKind::Again | ActKind::Instrument | ActKind::Added | ActKind::WithWord(_) | ActKind::Recorded
        )
    }

    fn is_on_the_same(&self, other: &Self) -> bool {
        (self.edit.key, self.edit.entity) == (other.edit.key, other.edit.entity)
    }
}

/// What is done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ActKind {
    /// A number gets to the value of the edit, or beyond it.
    Number(Reach),
    /// A number gets to the value of the edit, or beyond it; the farther it goes, the farther must another fact.
    Along {
        /// Where it gets to.
        reach: Reach,
        /// The other fact.
        with: FactKey,
    },
    /// A number is chosen between two, of which the value of the edit is one.
    Between {
        /// The lower.
        low: Quantity,
        /// The upper.
        high: Quantity,
    },
    /// What a plate, a label or a thing itself shows is read again, there or on another one, and turns out to be the value
    /// of the edit or beyond it.
    ReadAgain(Reach),
    /// The same of a day or an instant.
    DateReadAgain {
        /// Whether later does as well; else earlier.
        later: bool,
    },
    /// The fact becomes the value of the edit.
    Becomes,
    /// The day or instant of the edit, or a later one, or an earlier one.
    Moment {
        /// Whether later does as well; else earlier.
        later: bool,
    },
    /// It is found out and recorded; the value of the edit is an example.
    Recorded,
    /// It is done, or read, again now.
    Again,
    /// A word is taken off a list because what it names was dealt with.
    WithoutWord(Box<str>),
    /// A word is put on a list.
    WithWord(Box<str>),
    /// A subject is added to its list.
    Added,
    /// The reading is taken with an instrument, or with a stated uncertainty.
    Instrument,
    /// It comes of another act of the way by itself.
    Follows,
}

/// What options are looked for on: the scene as it would be after some acts, and the job as it is recorded.
struct Ground<'g> {
    scene: &'g Scene<'g>,
    recorded: &'g Job,
    /// Whether what is only read may turn out to be otherwise.
    reread: bool,
    trials: &'g Trials,
}

/// What anybody on this job can do about a fact.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Hold {
    /// It is set, done or changed.
    Free,
    /// It can be read again, on this thing or on another one.
    Read,
    /// Nothing.
    Fixed,
}

impl Ground<'_> {
    /// What can be done about a fact as it is recorded; `named` where the rule is about this fact itself. What nobody can
    /// make otherwise is read again where the rule is about it, or where nothing else is left.
    fn hold(&self, key: FactKey, entity: usize, named: bool) -> Hold {
        let subject = self.recorded.of(key.subject).and_then(|entities| entities.get(entity));
        let is_recorded = subject.is_some_and(|subject| subject.facts.get(key).is_some());
        let filled = self.scene.hold_point() >= HoldPoint::AfterFill;
        let catalogue = self.scene.packs.catalogue();
        if !is_recorded {
            Hold::Free
        } else if SITE_LIMITS.contains(&key)
            || filled && (catalogue.is_yardstick(key) || catalogue.counts_the_fill(key))
        {
            Hold::Fixed
        } else if READ_OFF.contains(&key) || GIVEN.contains(&key) {
            if named || self.reread { Hold::Read } else { Hold::Fixed }
        } else {
            Hold::Free
        }
    }
}

/// What clears `finding`.
pub fn remedy(scene: &Scene<'_>, finding: &Finding) -> Remedy {
    let trials = Trials::of(scene, finding);
    let found = within(scene, finding, &trials);
    Remedy { cut_off: trials.are_spent(), ..found }
}

/// What is found by so many trials.
fn within(scene: &Scene<'_>, finding: &Finding, trials: &Trials) -> Remedy {
    let Some(rule) = scene.rule(finding) else { return Remedy::default() };
    let mut at_a_price = None;
    let first = window::first(scene, rule, finding);
    for reread in [false, true] {
        trials.search();
        let mut ways = ways(scene, rule, finding.entity, reread, trials);
        if first.is_some() {
            ways.retain(|way| !way.has(|act| window::follows_the_target(scene, act)));
        }
        // A drum that bulges is not put right by one that leaks, nor a low target by one above the ratings.
        ways.retain(|way| {
            let Some(spoiled) = spoiled::by(scene, way, trials) else { return false };
            let clean = spoiled.is_empty() || way.finds_out(scene.job);
            // A target that nothing but itself would fit is no way at any price.
            if !clean && at_a_price.is_none() && !way.has(window::moves_the_target) {
                at_a_price = Some((way.clone(), spoiled));
            }
            clean
        });
        ways.truncate(MOST_WAYS);
        let ways: Vec<Way> = ways.into_iter().map(|way| room::found(scene, finding, way, trials)).collect();
        if !ways.is_empty() {
            return Remedy {
                ways,
                at_a_price: at_a_price.filter(|_| reread),
                first: first.filter(|_| reread),
                cut_off: false,
            };
        }
    }
    Remedy { ways: Vec::new(), at_a_price, first, cut_off: false }
}

/// The ways that clear a rule for a subject, whatever else they do, those with the fewest acts first.
fn ways(scene: &Scene<'_>, rule: &Rule, subject: Option<usize>, reread: bool, trials: &Trials) -> Vec<Way> {
    let mut ways: Vec<Way> = Vec::new();
    let entity = subject.unwrap_or_default();
    let ground = Ground { scene, recorded: scene.job, reread, trials };
    let first = match subject {
        Some(entity) => first_options(&ground, rule, entity),
        None => options::added(&ground, rule.covers).into_iter().collect(),
    };
    for acts in first {
        let acts = joined(&[], acts).unwrap_or_default();
        let Some(way) = complete(&ground, rule, entity, acts, DEEPEST) else { continue };
        let way = window::within(&ground, rule, entity, without_the_idle(&ground, rule, entity, way));
        let way = with_what_follows(scene, way);
        if !ways.iter().any(|known| known.moves_the_same(&way)) {
            ways.push(way);
        }
    }
    window::fit_the_target(&mut ways);
    // What can be done comes before what can only be read again.
    ways.sort_by_key(|way| (way.has(is_reread), way.acts.len()));
    ways
}

/// A way with what comes of it by itself: who fills on raises the highest pressure with the last.
fn with_what_follows(scene: &Scene<'_>, mut way: Way) -> Way {
    let filled_on = way.acts.iter().find_map(|act| match (&act.kind, &act.edit.value) {
        (ActKind::Number(reach) | ActKind::ReadAgain(reach), Value::Measured(last))
            if act.key() == stages::FILL_FINAL && reach.upward =>
        {
            Some((act.edit.entity, last.shown))
        }
        _ => None,
    });
    let Some((entity, last)) = filled_on else { return way };
    let subject = scene.job.of(Subject::Assembly).and_then(|entities| entities.get(entity));
    let peak = subject.and_then(|subject| subject.facts.measured(stages::FILL_PEAK));
    let risen = peak.filter(|peak| peak.shown.base() < last.base());
    if let Some(value) = risen.and_then(|peak| values::reading(scene, stages::FILL_PEAK, Some(peak), last)) {
        way.acts.push(act(stages::FILL_PEAK, entity, value, ActKind::Follows));
    }
    way
}

const fn is_reread(act: &Act) -> bool {
    matches!(act.kind, ActKind::ReadAgain(_) | ActKind::DateReadAgain { .. })
}

/// What may make the demand true, or show that the rule does not apply.
fn first_options(on: &Ground<'_>, rule: &Rule, entity: usize) -> Vec<Vec<Act>> {
    let here = on.scene.here(rule.covers, Some(entity));
    options::of(on, &trace(on.scene, &rule.asks.demands, &here), true)
}

/// Adds to `acts` what is still missing until the finding is cleared.
fn complete(on: &Ground<'_>, rule: &Rule, entity: usize, acts: Vec<Act>, depth: usize) -> Option<Way> {
    if !on.trials.step() || !on.trials.copy() {
        return None;
    }
    let scene = on.scene;
    let edits: Vec<Edit> = acts.iter().map(|act| act.edit.clone()).collect();
    let job = scene.job.amended(scene.packs.catalogue(), &edits)?;
    let changed = scene.of_job(&job);
    if is_clear(changed.outcome(rule, entity)) {
        return Some(Way { acts });
    }
    if depth == 0 {
        return None;
    }
    // What was only found out is moved before what is already settled: the way then says what must be found.
    let mut further = first_options(&Ground { scene: &changed, ..*on }, rule, entity);
    let is_known = |act: &Act| acts.iter().any(|known| known.is_on_the_same(act));
    further.sort_by_key(|more| !more.iter().all(is_known));
    further.into_iter().find_map(|more| {
        let joined = joined(&acts, more)?;
        complete(on, rule, entity, joined, depth - 1)
    })
}

const fn is_clear(outcome: Outcome) -> bool {
    matches!(outcome, Outcome::Met | Outcome::DoesNotApply)
}

/// The acts with more of them; an act on the same fact takes the place of the earlier one. `None` where nothing changes.
fn joined(acts: &[Act], more: Vec<Act>) -> Option<Vec<Act>> {
    let mut joined = acts.to_vec();
    for act in more {
        match joined.iter_mut().find(|known| known.is_on_the_same(&act)) {
            Some(known) if more_is_asked(known, &act) => {}
            Some(known) => *known = act,
            None => joined.push(act),
        }
    }
    (joined != acts).then_some(joined)
}

/// Whether a number has to go further in the same direction for one act than for another.
fn more_is_asked(known: &Act, other: &Act) -> bool {
    match (&known.kind, &other.kind) {
        (ActKind::Number(known) | ActKind::ReadAgain(known), ActKind::Number(other) | ActKind::ReadAgain(other))
            if known.upward == other.upward =>
        {
            if known.upward {
                known.to.base() >= other.to.base()
            } else {
                known.to.base() <= other.to.base()
            }
        }
        _ => false,
    }
}

/// The way without the acts that it does not need.
fn without_the_idle(on: &Ground<'_>, rule: &Rule, entity: usize, way: Way) -> Way {
    let mut acts = way.acts;
    let mut place = 0;
    while acts.len() > 1 && place < acts.len() {
        let mut fewer = acts.clone();
        let left_out = fewer.remove(place);
        // A subject that is added must have its name.
        if left_out.kind != ActKind::Added && clears(on.scene, rule, entity, &fewer, on.trials) {
            acts = fewer;
        } else {
            place += 1;
        }
    }
    Way { acts }
}

/// Whether the acts clear the rule for the subject; not where that may no longer be tried.
fn clears(scene: &Scene<'_>, rule: &Rule, entity: usize, acts: &[Act], trials: &Trials) -> bool {
    if !trials.copy() {
        return false;
    }
    let edits: Vec<Edit> = acts.iter().map(|act| act.edit.clone()).collect();
    let job = scene.job.amended(scene.packs.catalogue(), &edits);
    job.is_some_and(|job| is_clear(scene.of_job(&job).outcome(rule, entity)))
}

/// The act by which a number gets to where it must be; none for one that nobody makes less, or greater.
fn moved_to(
    on: &Ground<'_>,
    (key, entity, hold): (FactKey, usize, Hold),
    present: Option<&Measured>,
    reach: Reach,
) -> Option<Act> {
    let never = if reach.upward { NEVER_MORE } else { NEVER_LESS };
    if never.contains(&key) {
        return None;
    }
    let value = values::reading(on.scene, key, present, reach.to)?;
    Some(act(key, entity, value, if hold == Hold::Read { ActKind::ReadAgain(reach) } else { ActKind::Number(reach) }))
}

fn act(key: FactKey, entity: usize, value: Value, kind: ActKind) -> Act {
    Act { edit: Edit { key, entity, value }, kind }
}
