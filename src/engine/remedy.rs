//! What can be done about a finding: ways that were tried on the record, and that clear it.
//!
//! Nothing is offered because it looks right. Each way is carried out on a copy of the job, the rule is judged again, and
//! only what leaves it met, or no longer applying, is given on. This module must not know words or text.

mod instruments;
mod joint;
mod levers;
mod options;
mod room;
mod spoiled;
mod strictest;
mod trials;
mod values;
mod way;
mod window;

pub(super) use spoiled::LookedAt;
use trials::Trials;
pub use way::{Act, ActKind, Way};
use way::{is_reread, more_is_asked};

use super::reach::Reach;
use super::{Finding, Here, InTheWay, Known, Scene, TraceLeaf, trace};
use crate::figures::Obstacle;
use crate::pack::Rule;
use crate::record::catalogue::{GIVEN, NEVER_LESS, NEVER_MORE, READ_OFF, SITE_LIMITS, assembly, stages};
use crate::record::{Edit, FactKey, Job, Measured, Value};
use crate::units::Truth;
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

/// What options are searched on: the scene as it would be after some acts, and the job as it is recorded.
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
    let lacks = lacks_what_decides(scene, rule, finding);
    for reread in [false, true] {
        trials.search();
        let mut ways = ways(scene, rule, finding.entity, reread, trials);
        // What is there is not read again for the sake of what is missing.
        if lacks {
            ways.retain(|way| !way.has(is_reread));
        }
        if first.is_some() {
            ways.retain(|way| !way.has(|act| window::follows_the_target(scene, act)));
        }
        // A drum that bulges is not put right by one that leaks, nor a low target by one above the ratings.
        ways.retain(|way| {
            let Some(spoiled) = spoiled::by(scene, way, trials) else { return false };
            let clean = spoiled.is_empty() || way.finds_out(scene.job);
            // A way that moves the target is never offered at a price.
            if !clean && at_a_price.is_none() && !way.has(window::moves_the_target) {
                at_a_price = Some((way.clone(), spoiled));
            }
            clean
        });
        if ways.is_empty() {
            ways.extend(at_a_price.as_ref().and_then(|price| joint::way(scene, finding, price, reread, trials)));
        }
        ways.truncate(MOST_WAYS);
        let ways = ways.into_iter().map(|way| strictest::found(scene, finding, way, trials));
        let ways: Vec<Way> = ways.map(|way| room::found(scene, finding, way, trials)).collect();
        if !ways.is_empty() {
            // What is part of a way that is offered is no further way.
            let is_told = |price: &Way| ways.iter().any(|way| price.acts.iter().all(|act| way.acts.contains(act)));
            let at_a_price = at_a_price.filter(|(price, _)| reread && !is_told(price));
            return Remedy { ways, at_a_price, first: first.filter(|_| reread), cut_off: false };
        }
    }
    Remedy { ways: Vec::new(), at_a_price, first, cut_off: false }
}

/// Whether what would decide a finding is not recorded: a fact that it asks for, or what the gauge may be off. Whether
/// the rule applies at all is another question: a rim that is too narrow is so either way.
fn lacks_what_decides(scene: &Scene<'_>, rule: &Rule, finding: &Finding) -> bool {
    let demands = trace(scene, &rule.asks.demands, &scene.here(rule.covers, finding.entity));
    let is_missing = |known: &Known| matches!(known, Known::NotRecorded | Known::Obstacle(Obstacle::GaugeDoubtUnknown));
    demands.truth() == Truth::Unknown
        && demands.in_the_way().iter().any(|part| match part {
            InTheWay::List { recorded, .. } => !recorded,
            InTheWay::Comparison { leaf, .. } => {
                std::iter::once(&leaf.left).chain(&leaf.right).any(|seen| is_missing(&seen.known))
            }
        })
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
        match ways.iter_mut().find(|known| known.moves_the_same(&way)) {
            // Of two bounds of which one will do, the number need get no farther than the nearer one.
            Some(known) if way.asks_less(known) => *known = way,
            Some(_) => {}
            None => ways.push(way),
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

/// The acts with further ones added; an act on the same fact replaces the earlier one. `None` where nothing changes.
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

/// Whether a cure would make less of what the load needs because something else does not suit it.
fn is_lowered_need(key: FactKey, upward: bool) -> bool {
    !upward && key == assembly::TARGET_OPERATING_PRESSURE
}

/// Whether the comparison comes out as wanted after an edit; `None` where no record could state it, or nothing more may
/// be tried.
fn comes_out(on: &Ground<'_>, leaf: &TraceLeaf<'_>, edit: Edit, aim: bool) -> Option<bool> {
    let job = on.trials.copy().then(|| on.scene.job().amended(on.scene.packs().catalogue(), &[edit]))??;
    let changed = on.scene.of_job(&job);
    let here = changed.same_place(&leaf.here);
    Some(changed.leaf(leaf.leaf, &here) == Truth::from(aim))
}

/// The act that brings a number to where it must be; `None` for a number that must not be moved that way.
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

impl<'a> Scene<'a> {
    /// The subjects of this scene's job that stand where those of another scene stand.
    fn same_place(&self, other: &Here<'_>) -> Here<'a> {
        let mut here = self.here(Subject::Job, Some(0));
        for subject in Subject::ALL {
            if let Some((index, _)) = other.entity(subject)
                && let Some(entity) = self.job.of(subject).and_then(|entities| entities.get(index))
            {
                here.put(subject, index, entity);
            }
        }
        here
    }
}
