//! What can be done about a finding: ways that were tried on the record, and that clear it.
//!
//! Nothing is offered because it looks right. Each way is carried out on a copy of the job, the rule is judged again, and
//! only what leaves it met, or no longer applying, is given on. This module must not know words or text.

mod levers;
mod options;
mod spoiled;
mod values;

pub(super) use spoiled::LookedAt;

use super::cure::Reach;
use super::{Finding, Outcome, Scene, trace};
use crate::pack::Rule;
use crate::record::catalogue::GIVEN;
use crate::record::{Edit, FactKey, Job, Value};

/// Ways that are given on: more than a person weighs against one another would not be read.
const MOST_WAYS: usize = 4;
/// Steps of a way that build on one another: recording a fact may show that it must be another one.
const DEEPEST: usize = 5;
/// Judgements spent on one finding; the nested search is cut off there, and what was found until then is given on.
const MOST_TRIALS: usize = 160;

/// What clears a finding; every way alone does.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Remedy {
    /// The ways that put nothing else out of order, those with the fewest acts first. Empty where nothing that can still be
    /// changed clears it alone.
    pub ways: Vec<Way>,
    /// Where there is no such way: one that clears it, and what would hold the job instead.
    pub at_a_price: Option<(Way, Vec<Finding>)>,
}

/// Acts that clear a finding together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Way {
    /// The acts, each on another fact.
    pub acts: Vec<Act>,
}

impl Way {
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

    fn is_on_the_same(&self, other: &Self) -> bool {
        (self.edit.key, self.edit.entity) == (other.edit.key, other.edit.entity)
    }
}

/// What is done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ActKind {
    /// A number gets to the value of the edit, or beyond it.
    Number(Reach),
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
}

/// What options are looked for on: the scene as it would be after some acts, and the job as it is recorded.
struct Ground<'g> {
    scene: &'g Scene<'g>,
    recorded: &'g Job,
}

impl Ground<'_> {
    /// Whether a fact is what it is: recorded, and nothing that anybody on this job could make otherwise.
    fn is_given(&self, key: FactKey, entity: usize) -> bool {
        let subject = self.recorded.of(key.subject).and_then(|entities| entities.get(entity));
        GIVEN.contains(&key) && subject.is_some_and(|subject| subject.facts.get(key).is_some())
    }
}

/// Trials that are left.
struct Trials(usize);

impl Trials {
    fn spend(&mut self) -> bool {
        self.0 = self.0.saturating_sub(1);
        self.0 > 0
    }
}

/// What clears `finding`.
pub fn remedy(scene: &Scene<'_>, finding: &Finding) -> Remedy {
    let Some(rule) = scene.rule(finding) else { return Remedy::default() };
    let mut trials = Trials(MOST_TRIALS);
    let mut ways: Vec<Way> = Vec::new();
    let entity = finding.entity.unwrap_or_default();
    let first = match finding.entity {
        Some(entity) => first_options(scene, scene.job, rule, entity),
        None => options::added(&Ground { scene, recorded: scene.job }, rule.covers).into_iter().collect(),
    };
    for acts in first {
        let acts = joined(&[], acts).unwrap_or_default();
        let Some(way) = complete(scene, rule, entity, acts, DEEPEST, &mut trials) else { continue };
        let way = without_the_idle(scene, rule, entity, way);
        if !ways.contains(&way) {
            ways.push(way);
        }
    }
    ways.sort_by_key(|way| way.acts.len());
    if ways.is_empty() {
        return Remedy::default();
    }
    let mut at_a_price = None;
    // A drum that bulges is not put right by one that leaks, nor a low target by one above the ratings.
    ways.retain(|way| {
        let spoiled = spoiled::by(scene, way);
        let clean = spoiled.is_empty() || way.finds_out(scene.job);
        if !clean && at_a_price.is_none() {
            at_a_price = Some((way.clone(), spoiled));
        }
        clean
    });
    ways.truncate(MOST_WAYS);
    Remedy { at_a_price: at_a_price.filter(|_| ways.is_empty()), ways }
}

/// What may make the demand true, or show that the rule does not apply.
fn first_options(scene: &Scene<'_>, recorded: &Job, rule: &Rule, entity: usize) -> Vec<Vec<Act>> {
    let here = scene.here(rule.covers, Some(entity));
    options::of(&Ground { scene, recorded }, &trace(scene, &rule.demands, &here), true)
}

/// Adds to `acts` what is still missing until the finding is cleared.
fn complete(
    scene: &Scene<'_>,
    rule: &Rule,
    entity: usize,
    acts: Vec<Act>,
    depth: usize,
    trials: &mut Trials,
) -> Option<Way> {
    if !trials.spend() {
        return None;
    }
    let edits: Vec<Edit> = acts.iter().map(|act| act.edit.clone()).collect();
    let job = scene.job.amended(scene.packs.catalogue(), &edits)?;
    let changed = scene.of_job(&job);
    if is_clear(changed.outcome(rule, entity)) {
        return Some(Way { acts });
    }
    if depth == 0 {
        return None;
    }
    // What was only found out is moved before what is already settled: the way is then told as what must be found.
    let mut further = first_options(&changed, scene.job, rule, entity);
    let is_known = |act: &Act| acts.iter().any(|known| known.is_on_the_same(act));
    further.sort_by_key(|more| !more.iter().all(is_known));
    further.into_iter().find_map(|more| {
        let joined = joined(&acts, more)?;
        complete(scene, rule, entity, joined, depth - 1, trials)
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
        (ActKind::Number(known), ActKind::Number(other)) if known.upward == other.upward => {
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
fn without_the_idle(scene: &Scene<'_>, rule: &Rule, entity: usize, way: Way) -> Way {
    let mut acts = way.acts;
    let mut place = 0;
    while acts.len() > 1 && place < acts.len() {
        let mut fewer = acts.clone();
        let left_out = fewer.remove(place);
        // A subject that is added must have its name.
        if left_out.kind != ActKind::Added && clears(scene, rule, entity, &fewer) {
            acts = fewer;
        } else {
            place += 1;
        }
    }
    Way { acts }
}

/// Whether the acts clear the rule for the subject.
fn clears(scene: &Scene<'_>, rule: &Rule, entity: usize, acts: &[Act]) -> bool {
    let edits: Vec<Edit> = acts.iter().map(|act| act.edit.clone()).collect();
    let job = scene.job.amended(scene.packs.catalogue(), &edits);
    job.is_some_and(|job| is_clear(scene.of_job(&job).outcome(rule, entity)))
}

fn act(key: FactKey, entity: usize, value: Value, kind: ActKind) -> Act {
    Act { edit: Edit { key, entity, value }, kind }
}
