//! When the judgement of an unchanged record can change, and what it is then.
//!
//! Readings grow old at the start, days end, a planned start passes, what is dated ahead comes true; between two such
//! instants nothing can change, so that only they are looked at. Limits, figures and findings are kept from one to the
//! next where nothing that they depend on has happened. This module must not know permits: what a verdict is, its
//! caller says.

use super::evaluate::{Here, Side};
use super::{Judgement, Scene};
use crate::pack::{Condition, Leaf, Operand, Term};
use crate::record::{FactKey, FactKind, Value};
use crate::units::{Exact, Instant, Interval};
use crate::vocabulary::{Subject, Verdict};

/// Seconds that a PASS lasts at most, whatever the rules say: a working day and no more.
pub const LONGEST: i64 = 12 * 60 * 60;

/// The latest start that a PASS allows: the last whole second up to which the job, as it is recorded, goes on passing;
/// [`LONGEST`] after the judgement at most. `None` where it is held.
pub fn latest_start(scene: &Scene<'_>, judgement: &Judgement) -> Option<Instant> {
    lasts(scene, judgement, &[], |_, judgement| judgement.verdict == Verdict::Pass)
}

/// The last whole second up to which `passes` holds of every judgement of the scene's job, from that of the scene on;
/// [`LONGEST`] after it at most, `None` where it does not hold at once. What `passes` knows beside the judgement may change
/// at the instants `others` and at no other.
pub fn lasts(
    scene: &Scene<'_>,
    judgement: &Judgement,
    others: &[Instant],
    passes: impl Fn(&Scene<'_>, &Judgement) -> bool,
) -> Option<Instant> {
    if !passes(scene, judgement) {
        return None;
    }
    let now = scene.at();
    // Past the last of the years taken there is no instant to be judged at.
    let Some(end) = now.checked_add_seconds(Exact::from_int(LONGEST)) else { return Some(now) };
    let mut outlook = Outlook::new(scene.clone(), judgement.clone(), end);
    let others: Vec<Instant> = others.iter().copied().filter(|at| now < *at && *at <= end).collect();
    let mut last = end;
    while let Some(next) = outlook.next(&others) {
        if !passes(&outlook.scene, &outlook.judgement) {
            last = next.just_before();
            break;
        }
    }
    Some(last.whole_second().max(now).in_zone(scene.zone()))
}

/// The judgements to come, up to an end.
struct Outlook<'a> {
    scene: Scene<'a>,
    judgement: Judgement,
    end: Instant,
    /// Instants of events and readings that lie ahead, latest first: what is dated there becomes known there.
    ahead: Vec<Instant>,
    /// Instants from which a finding may be another one, latest first, with its position.
    changes: Vec<(Instant, usize)>,
}

impl<'a> Outlook<'a> {
    fn new(scene: Scene<'a>, judgement: Judgement, end: Instant) -> Self {
        let mut ahead = instants(&scene);
        ahead.retain(|at| scene.at() < *at && *at <= end);
        ahead.sort_unstable_by(|a, b| b.cmp(a));
        let mut outlook = Self { scene, judgement, end, ahead, changes: Vec::new() };
        outlook.changes = outlook.changes_of_findings();
        outlook
    }

    /// Goes on to the next instant at which anything may change; `None` at the end.
    fn next(&mut self, others: &[Instant]) -> Option<Instant> {
        let now = self.scene.at();
        let Self { end, .. } = *self;
        let today = now.day_in(&self.scene.zone);
        let morrow = today.checked_add_days(1).map(|day| day.start_in(&self.scene.zone));
        let known = self.ahead.last().copied();
        let changed = self.changes.last().map(|(at, _)| *at);
        let other = others.iter().copied().filter(|at| now < *at).min();
        let next = [morrow, known, changed, other].into_iter().flatten().min().filter(|next| *next <= end)?;
        let next = next.in_zone(&self.scene.zone);
        if Some(next) == known || morrow.is_none_or(|morrow| next >= morrow) {
            self.ahead.retain(|at| *at > next);
            self.scene = self.scene.for_job_at(self.scene.job, next);
            self.judgement = self.scene.judge();
            self.changes = self.changes_of_findings();
            return Some(next);
        }
        // Figures stay as they are: nothing that lay ahead has become known since.
        self.scene.at = next;
        self.scene.start = self.scene.start.max(next);
        self.scene.found.take();
        self.judgement.at = next;
        while let Some((_, position)) = self.changes.pop_if(|(at, _)| *at <= next) {
            let Some(finding) = self.judgement.findings.get(position).copied() else { continue };
            let (Some(rule), Some(entity)) = (self.scene.rule(&finding), finding.entity) else { continue };
            let outcome = self.scene.outcome(rule, entity);
            if let Some(finding) = self.judgement.findings.get_mut(position) {
                finding.outcome = outcome;
            }
        }
        self.judgement.verdict = Judgement::verdict_of(&self.judgement.findings);
        Some(next)
    }

    /// The instants, up to the end and the latest first, from which one finding or another may change while the day is the
    /// same and nothing new becomes known.
    fn changes_of_findings(&self) -> Vec<(Instant, usize)> {
        let mut changes = Vec::new();
        let lies_ahead = |at: &Instant| self.scene.at() < *at && *at <= self.end;
        for (position, finding) in self.judgement.findings.iter().enumerate() {
            let (Some(rule), Some(entity)) = (self.scene.rule(finding), finding.entity) else { continue };
            if !rule.asks.moves {
                continue;
            }
            let here = self.scene.here(rule.covers, Some(entity));
            for condition in rule.asks.conditions() {
                self.scene.moments(condition, &here, &mut |at| {
                    // Which side of the moment itself a comparison counts to, and how the moment was rounded, is left open.
                    let around = [at.just_before(), at, at.just_after()].into_iter();
                    changes.extend(around.filter(lies_ahead).map(|at| (at, position)));
                });
            }
        }
        changes.sort_unstable_by(|a, b| b.cmp(a));
        changes.dedup();
        changes
    }
}

impl<'a> Scene<'a> {
    /// Tells of every comparison with the time of the judgement, or with the start, the instant at which its sides are
    /// equal.
    fn moments(&self, condition: &Condition, here: &Here<'a>, tell: &mut impl FnMut(Instant)) {
        match condition {
            Condition::All(parts) | Condition::Any(parts) => {
                for part in parts {
                    self.moments(part, here, tell);
                }
            }
            Condition::Not(inner) => self.moments(inner, here, tell),
            Condition::Each(q) | Condition::Some(q) => {
                if q.meets.moves() {
                    let _ = self.visit(q.of, here, |inner| {
                        self.moments(&q.meets, inner, tell);
                        true
                    });
                }
            }
            Condition::Leaf(leaf) => self.moments_of_leaf(leaf, here, tell),
        }
    }

    fn moments_of_leaf(&self, leaf: &Leaf, here: &Here<'a>, tell: &mut impl FnMut(Instant)) {
        if leaf.test.row().asks_age() {
            let Some(done) = instant_of(leaf.term, here) else { return };
            let none = Side::Number(&Interval::point(Exact::ZERO));
            let ends = leaf.test.operands().filter_map(|span| {
                self.operand(span, &none, here, |span| match span {
                    Side::Number(span) => Some([span.lo(), span.hi()]),
                    _ => None,
                })
            });
            // What lies ahead is done when its time has come.
            for end in ends.flatten().flatten().chain([Exact::ZERO]) {
                done.checked_add_seconds(end).into_iter().for_each(&mut *tell);
            }
            return;
        }
        for operand in leaf.test.operands().filter(|operand| operand.base.moves()) {
            let Some(before) = self.less_of(operand) else { continue };
            let ends = match self.term(leaf.term, here) {
                Some(Side::Instant(at)) => [Some(at), None],
                Some(Side::Day(day)) => [Some(day), day.checked_add_days(1)].map(|day| Some(day?.start_in(&self.zone))),
                _ => [None, None],
            };
            ends.into_iter().flatten().filter_map(|at| at.checked_add_seconds(before)).for_each(&mut *tell);
        }
    }

    /// What is to be added to a moment that is equal to the operand, for the time of the judgement.
    fn less_of(&self, operand: &Operand) -> Option<Exact> {
        operand.offset().map_or(Some(Exact::ZERO), |plus| Some(self.offset(plus)?.neg()))
    }
}

/// The instant from which the age of a term counts; `None` where there is none, or a whole day.
fn instant_of(term: Term, here: &Here<'_>) -> Option<Instant> {
    let fact = |key: FactKey| here.entity(key.subject)?.1.facts.get(key);
    match term {
        Term::Fact(key) => match fact(key)? {
            Value::Measured(measured) => measured.at,
            Value::Instant(at) => Some(*at),
            _ => None,
        },
        Term::ReadAt(key) => match fact(key)? {
            Value::Measured(measured) => measured.at,
            _ => None,
        },
        _ => None,
    }
}

/// The instants of every event and reading, alone or in a log: before it, what is dated there is not known. A time that is
/// only stated, such as a planned start, is known beforehand.
fn instants(scene: &Scene<'_>) -> Vec<Instant> {
    let mut found = Vec::new();
    for subject in Subject::ALL {
        let facts = scene.packs().catalogue().of(subject);
        let entities = scene.job().of(subject).unwrap_or(&[]).iter();
        for (index, value) in entities.flat_map(|entity| entity.facts.recorded()) {
            let is_event = || facts.get(index).is_some_and(|fact| matches!(fact.kind, FactKind::Event));
            match value {
                Value::Measured(measured) => found.extend(measured.at),
                Value::Instant(at) if is_event() => found.push(*at),
                Value::Log(rows) => found.extend(rows.iter().map(|row| row.at)),
                _ => {}
            }
        }
    }
    found
}
