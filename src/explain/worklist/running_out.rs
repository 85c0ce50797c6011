//! What stands in the shop file and runs out soon: it holds nothing yet, and is said while there is time to do it again.
//!
//! The rules themselves are asked, at the days to come. This module must not know which facts run out, nor how it is drawn.

use std::cell::OnceCell;

use super::RulePlace;
use crate::document::{Document, Path, Span};
use crate::engine::{Here, Scene};
use crate::explain::{Report, words};
use crate::pack::{Condition, Rule, Term};
use crate::record::catalogue::{HoldsFor, component};
use crate::record::{FactKey, Value};
use crate::units::{Day, Truth};
use crate::vocabulary::Subject;

/// How many days ahead something is said to run out: long enough to send a gauge away or to book a course. Common
/// practice, no source.
const DAYS_AHEAD: i64 = 30;
/// What is done from time to time is said to run out in the last part of its time, one of so many: else what is done every
/// week would always run out soon. Common practice, no source.
const PARTS_OF_ITS_TIME: i64 = 4;

/// A value of the shop file that a rule takes today and will not take for long.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunsOut {
    /// The fact.
    pub key: FactKey,
    /// The subject that it is about, where a job may have several of the kind.
    pub whose: Option<(Subject, usize)>,
    /// The fact's place in the record.
    pub place: Path,
    /// The bytes of the value, of the texts of the record and its shop file laid end to end.
    pub span: Span,
    /// The last day on which it will do.
    pub last: Day,
    /// The rules that it will break then, in the order of the packs.
    pub rules: Vec<RulePlace>,
}

impl RunsOut {
    /// The fact, in trade words.
    pub fn name(&self, report: &Report<'_>) -> String {
        words::term(report.scene, Term::Fact(self.key))
    }

    /// The shop file.
    pub(in crate::explain) fn file<'r>(&self, report: &'r Report<'_>) -> &'r str {
        report.record().name_at(self.span.start)
    }

    /// It in one sentence, without its full stop.
    pub(in crate::explain) fn sentence(&self, report: &Report<'_>) -> String {
        // A lot runs out, and not the side of the mix that it is pumped for today.
        let lot = self.whose.filter(|(subject, _)| *subject == Subject::Component);
        let lot =
            lot.and_then(|(subject, index)| report.scene.job().of(subject)?.get(index)?.facts.text(component::LOT));
        let lot = lot.map(|lot| format!(", lot {lot}")).unwrap_or_default();
        let whose = report.label(self.whose).map(|whose| format!("{whose}{lot}: ")).unwrap_or_default();
        let (line, _) = report.record().line_and_column(self.span.start);
        let (file, rules) = (self.file(report), report.codes(&self.rules).join(", "));
        format!("{whose}{} is good until the end of {} (line {line} of {file}; {rules})", self.name(report), self.last)
    }
}

/// Everything of the shop file that runs out soon, a value once, what runs out first in front.
pub(super) fn running_out(scene: &Scene<'_>, document: &Document) -> Vec<RunsOut> {
    // Without a shop file nothing lasts beyond the job.
    if document.source().names().count() < 2 {
        return Vec::new();
    }
    let days = Days::from(scene);
    let mut found: Vec<RunsOut> = Vec::new();
    for (pack, of_pack) in scene.packs().packs().iter().enumerate() {
        for (place, rule) in of_pack.rules.iter().enumerate().filter(|(_, rule)| rule.dated) {
            let entities = scene.job().of(rule.covers).map_or(0, <[_]>::len);
            for (part, key) in dated(scene, rule) {
                for index in 0..entities {
                    let Some(one) = runs_out(scene, document, &days, rule, part, (key, index)) else { continue };
                    let rule = RulePlace { pack, rule: place };
                    match found.iter_mut().find(|known| known.span == one.span) {
                        Some(known) => {
                            known.last = known.last.min(one.last);
                            known.rules.push(rule);
                        }
                        None => found.push(RunsOut { rules: vec![rule], ..one }),
                    }
                }
            }
        }
    }
    for one in &mut found {
        one.rules.dedup();
    }
    found.sort_by_key(|one| (one.last, one.span.start));
    found
}

/// The parts of a rule's demand that must all be true and ask for a day or an instant that lasts, each with that fact.
fn dated<'r>(scene: &Scene<'_>, rule: &'r Rule) -> Vec<(&'r Condition, FactKey)> {
    let is_dated = |key: FactKey| {
        let spec = scene.packs().catalogue().spec(key);
        spec.is_some_and(|spec| spec.kind.is_dated() && spec.asked.holds_for <= HoldsFor::Job)
    };
    let mut parts = vec![&*rule.asks.demands];
    let mut found = Vec::new();
    while let Some(part) = parts.pop() {
        if let Condition::All(more) = part {
            parts.extend(more);
            continue;
        }
        let mut dated = None;
        part.leaves(&mut |leaf| match leaf.term {
            Term::Fact(key) if dated.is_none() && is_dated(key) => dated = Some(key),
            _ => {}
        });
        found.extend(dated.map(|key| (part, key)));
    }
    found
}

fn runs_out<'a>(
    scene: &Scene<'a>,
    document: &Document,
    days: &Days<'_, 'a>,
    rule: &Rule,
    part: &Condition,
    (key, index): (FactKey, usize),
) -> Option<RunsOut> {
    let (covers, source) = (rule.covers, document.source());
    let of = if key.subject == Subject::Job { 0 } else { Some(index).filter(|_| key.subject == covers)? };
    let entity = scene.job().of(key.subject)?.get(of)?;
    let value = entity.facts.get(key)?;
    let place = entity.path_of(scene.packs().catalogue(), key);
    let span = document.locate(&place).span;
    let holds = |scene: &Scene<'a>, condition: &Condition| {
        let here: Here<'a> = scene.here(covers, Some(index));
        scene.truth(condition, &here)
    };
    let lasts = |ahead: i64| days.ahead(ahead).is_some_and(|later| holds(later, part) == Truth::True);
    let applies = || rule.asks.applies.as_ref().is_none_or(|applies| holds(scene, applies) != Truth::False);
    // Most of what stands there lasts, which is asked before what else would have to be so.
    if source.file_of(span.start) == 0 || lasts(DAYS_AHEAD + 1) || !applies() || holds(scene, part) != Truth::True {
        return None;
    }
    // It is true now and false behind the days ahead; in between lies the last day to whose end it is true.
    let (mut last, mut over) = (0, DAYS_AHEAD + 1);
    while over - last > 1 {
        let middle = i64::midpoint(last, over);
        if lasts(middle) { last = middle } else { over = middle }
    }
    let done = match value {
        Value::Day(day) => *day,
        Value::Instant(at) => at.day_in(scene.zone()),
        _ => return None,
    };
    let ago = days.today.days_since(done);
    if ago >= 0 && last * PARTS_OF_ITS_TIME > ago + last {
        return None;
    }
    Some(RunsOut {
        key,
        whose: (key.subject != Subject::Job).then_some((key.subject, of)),
        place,
        span,
        last: days.today.checked_add_days(last)?,
        rules: Vec::new(),
    })
}

/// The job at the ends of the days to come.
struct Days<'s, 'a> {
    now: &'s Scene<'a>,
    today: Day,
    /// Boxed, since of most days nothing is asked.
    ahead: Vec<OnceCell<Option<Box<Scene<'a>>>>>,
}

impl<'s, 'a> Days<'s, 'a> {
    fn from(now: &'s Scene<'a>) -> Self {
        let ahead = (0..=DAYS_AHEAD).map(|_| OnceCell::new()).collect();
        Self { now, today: now.at().day_in(now.zone()), ahead }
    }

    /// The scene at the end of a day, so many days from today, from tomorrow on; nothing past the days that are taken.
    fn ahead(&self, days: i64) -> Option<&Scene<'a>> {
        let slot = self.ahead.get(usize::try_from(days - 1).ok()?)?;
        let make = || {
            let end = self.today.checked_add_days(days + 1)?.start_in(self.now.zone()).just_before();
            Some(Box::new(Scene::new(self.now.packs(), self.now.job(), end, self.now.zone())))
        };
        slot.get_or_init(make).as_deref()
    }
}
