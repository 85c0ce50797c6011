//! How far a number may go past the one that clears a finding, before another finding comes of it. Anyone who obeys may
//! choose any number that is offered, and each must be enough.
//!
//! Found by trying, like everything that is offered. This module must not know how ways are found.

use super::values::{on_the_safe_side, reading};
use super::{Act, ActKind, Trials, Way, clears, spoiled};
use crate::engine::reach::{Reach, reaches};
use crate::engine::trace::{InTheWay, trace};
use crate::engine::{Finding, Scene};
use crate::pack::sides::Base;
use crate::pack::{Safer, Term};
use crate::record::catalogue::Comes;
use crate::record::{Edit, FactKey, Value};
use crate::units::{Exact, Quantity};

/// How far past the number is tried, in thousandths of it: first a little, then far.
const UP: [i64; 6] = [1_020, 1_100, 1_300, 2_000, 4_000, 16_000];
/// The same downwards.
const DOWN: [i64; 6] = [980, 900, 700, 500, 250, 60];
/// Halvings between the last number that spoils nothing and the first that does.
const HALVINGS: usize = 12;
/// The search stops when the two differ by so many thousandths.
const NEAR_ENOUGH: i64 = 4;

/// What a number is offered for, and what may still be tried for it.
type Of<'a, 's> = (&'a Scene<'s>, &'a Finding, &'a Trials);

/// The way with the range allowed for each number that people set; a number without a limit stays as it is.
pub(super) fn found(scene: &Scene<'_>, finding: &Finding, mut way: Way, trials: &Trials) -> Way {
    if spoiled::by(scene, &way, trials).is_none_or(|spoiled| !spoiled.is_empty()) {
        return way;
    }
    for place in 0..way.acts.len() {
        let Some(act) = way.acts.get(place) else { break };
        let ends = match &act.kind {
            ActKind::Number(reach) => Some((*reach, None)),
            // The far end of a window is tried itself.
            ActKind::Between { low, high } => {
                let now = match &act.edit.value {
                    Value::Measured(now) => now.shown,
                    _ => continue,
                };
                let upward = now.base() == low.base();
                let far = if upward { *high } else { *low };
                Some((Reach { upward, inclusive: true, to: now, gap: None, sure: None }, Some(far)))
            }
            _ => None,
        };
        let made = scene.packs.catalogue().comes_at(act.key(), scene.hold_point()) == Comes::Made;
        let Some((reach, known)) = ends.filter(|_| made) else { continue };
        // No limit is told on the side that every rule calls safer.
        if known.is_none() && scene.packs.safer_side(act.key()) == Some(side(reach.upward)) {
            let with = along((scene, finding, trials), &way, place, &reach);
            if let (Some(with), Some(act)) = (with, way.acts.get_mut(place)) {
                act.kind = ActKind::Along { reach, with };
            }
            continue;
        }
        let far = farthest((scene, finding, trials), &way, place, &reach, known);
        // Where nothing more may be tried, no number but the one that was tried is offered.
        if let Some(far) = far.or_else(|| trials.are_spent().then_some(reach.to))
            && let Some(act) = way.acts.get_mut(place)
        {
            let (low, high) = if reach.upward { (reach.to, far) } else { (far, reach.to) };
            act.kind = ActKind::Between { low, high };
        }
    }
    way
}

const fn side(upward: bool) -> Safer {
    if upward { Safer::Higher } else { Safer::Lower }
}

/// The other fact that holds the job once the number has gone far, since it is compared with it; `None` where none does.
fn along(of: Of<'_, '_>, way: &Way, place: usize, reach: &Reach) -> Option<FactKey> {
    let (scene, _, trials) = of;
    let key = way.acts.get(place)?.edit.key;
    let steps = if reach.upward { UP } else { DOWN };
    let mut far = steps.into_iter().filter_map(|step| times(reach.to, Exact::from_int(step)));
    let spoiling = far.find(|to| tried(of, way, place, *to) == Some(false))?;
    let spoiled = spoiled::by(scene, &moved(scene, way, place, spoiling)?, trials)?;
    let mut found = None;
    for rule in spoiled.iter().filter_map(|finding| scene.rule(finding)) {
        rule.asks.demands.leaves(&mut |leaf| {
            let is_operand = leaf
                .test
                .operands()
                .any(|operand| matches!(operand.base, Base::Term(Term::Fact(other)) if other == key));
            if let (Term::Fact(with), true) = (leaf.term, is_operand) {
                found = found.or(Some(with));
            }
        });
    }
    found
}

/// A number times so many thousandths.
fn times(of: Quantity, thousandths: Exact) -> Option<Quantity> {
    let factor = thousandths.checked_div(Exact::from_int(1_000))?;
    Quantity::new(of.value().checked_mul(factor)?, of.unit())
}

/// The farthest number that clears the finding and spoils nothing, up to the one that is known; `None` where no number
/// that was tried spoils anything.
fn farthest(of: Of<'_, '_>, way: &Way, place: usize, reach: &Reach, known: Option<Quantity>) -> Option<Quantity> {
    let is_good = |to: Quantity| tried(of, way, place, to);
    let thousand = Exact::from_int(1_000);
    let at = |thousandths: Exact| times(reach.to, thousandths);
    let share =
        |to: Quantity| to.in_unit(reach.to.unit())?.value().checked_div(reach.to.value())?.checked_mul(thousand);
    let mut good = thousand;
    let mut bad = match known {
        Some(far) if is_good(far)? => return None,
        Some(far) => share(far)?,
        None => {
            let steps = if reach.upward { UP } else { DOWN };
            let mut spoils = None;
            for step in steps.into_iter().map(Exact::from_int) {
                match at(step).and_then(is_good) {
                    Some(false) => {
                        spoils = Some(step);
                        break;
                    }
                    Some(true) => good = step,
                    None => {}
                }
            }
            spoils?
        }
    };
    // Most bounds are those of a comparison, which says itself where they lie.
    let bounds = at(bad).map(|bad| kept_to(of, way, place, reach.upward, bad)).unwrap_or_default();
    for bound in bounds {
        match (is_good(bound)?, share(bound)?) {
            (true, exact) => {
                let beyond = exact.checked_mul(Exact::from_int(if reach.upward { 1_001 } else { 999 }))?;
                if at(beyond.checked_div(thousand)?).and_then(is_good) == Some(false) {
                    return Some(bound);
                }
                good = exact;
                break;
            }
            (false, exact) => bad = exact,
        }
    }
    for _ in 0..HALVINGS {
        let apart = good.checked_sub(bad)?.abs().checked_mul(thousand)?;
        if apart <= good.checked_mul(Exact::from_int(NEAR_ENOUGH))? {
            break;
        }
        let middle = good.checked_add(bad)?.checked_div(Exact::from_int(2))?;
        if is_good(at(middle)?)? { good = middle } else { bad = middle }
    }
    let far = on_the_safe_side(at(good)?, !reach.upward, true)?;
    let is_past = if reach.upward { far.base() > reach.to.base() } else { far.base() < reach.to.base() };
    Some(if is_past { far } else { reach.to })
}

/// How far the number may go, by each comparison that refuses it; the farthest first, since of several comparisons of
/// which one is enough the nearest does not decide.
fn kept_to(of: Of<'_, '_>, way: &Way, place: usize, upward: bool, bad: Quantity) -> Vec<Quantity> {
    let (scene, finding, trials) = of;
    let there = moved(scene, way, place, bad);
    let edits = |there: &Way| there.acts.iter().map(|act| act.edit.clone()).collect::<Vec<Edit>>();
    let refused = there.as_ref().and_then(|there| Some((there, spoiled::by(scene, there, trials)?)));
    let Some((there, refused)) = refused.filter(|_| trials.copy()) else { return Vec::new() };
    let Some(key) = there.acts.get(place).map(Act::key) else { return Vec::new() };
    let Some(job) = scene.job.amended(scene.packs.catalogue(), &edits(there)) else { return Vec::new() };
    let changed = scene.of_job(&job);
    let mut kept: Vec<Quantity> = Vec::new();
    for finding in refused.iter().chain([finding]) {
        let Some(rule) = changed.rule(finding) else { continue };
        let demands = trace(&changed, &rule.asks.demands, &changed.here(rule.covers, finding.entity));
        for part in demands.in_the_way() {
            let InTheWay::Comparison { leaf, wanted } = part else { continue };
            let both = reaches(&changed, leaf, wanted);
            let own = both.term.filter(|_| leaf.leaf.term == Term::Fact(key));
            let is_held_against = leaf.right.first().is_some_and(|right| right.term == Some(Term::Fact(key)));
            let found = own.into_iter().chain(both.operand.filter(|_| is_held_against));
            let found = found.filter(|reach| reach.upward != upward);
            kept.extend(found.filter_map(|reach| on_the_safe_side(reach.to, !upward, reach.inclusive)));
        }
    }
    kept.sort_by_key(|to| to.base());
    if upward {
        kept.reverse();
    }
    kept.dedup();
    kept
}

/// Whether the way with another number in one of its acts clears the finding and spoils nothing; `None` where no record
/// could state the number, or nothing more may be tried.
fn tried((scene, finding, trials): Of<'_, '_>, way: &Way, place: usize, to: Quantity) -> Option<bool> {
    let other = moved(scene, way, place, to)?;
    let rule = scene.rule(finding)?;
    let clears = clears(scene, rule, finding.entity.unwrap_or_default(), &other.acts, trials);
    Some(clears && spoiled::by(scene, &other, trials)?.is_empty())
}

/// The way with another number in one of its acts; `None` where no record could state it.
fn moved(scene: &Scene<'_>, way: &Way, place: usize, to: Quantity) -> Option<Way> {
    let mut other = way.clone();
    let act: &mut Act = other.acts.get_mut(place)?;
    let subject = scene.job.of(act.edit.key.subject)?.get(act.edit.entity);
    let present = subject.and_then(|subject| subject.facts.measured(act.edit.key));
    act.edit.value = reading(scene, act.edit.key, present, to)?;
    Some(other)
}
