//! The log of routines: of the rows on one thing the latest counts that is not after the judgement, nor after the last
//! fill of the job had begun where one before it is there. What a record or an entry says itself of when something was
//! last done is as good as a row, and the latest counts of all of them. What a check showed belongs to that check: one
//! that does not say it takes nothing over from another one.
//!
//! Must not know what the facts mean.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::expand::Expander;
use super::nodes::{at_mut, at_place, items, moved, said, said_at, says_same, scalar};
use super::refusals;
use super::sections::{ROUTINES, Routine, Section};
use super::sheets::fill_facts;
use super::times::{self, WrittenIn};
use crate::document::{Code, Content, Fault, Node, Path, Span};
use crate::record::{Catalogue, FactKind, FactSpec};
use crate::units::{Day, Instant, Zone};

/// What the log says of one routine on one thing.
struct Done {
    routine: &'static Routine,
    /// What the latest row states, below the section's base.
    facts: Node,
    /// Another row of it, where the log has one.
    other: Option<usize>,
}

/// A row of the log that is not ahead of the judgement.
struct RoutineRow {
    index: usize,
    dated: DatedRow,
    /// What it states, below the section's base.
    facts: Node,
}

/// When a row of the log was done, and what it says beside that.
struct DatedRow {
    when: (Day, Option<Instant>),
    span: Span,
    /// What it says of the end of a calibration, and of what a check showed.
    said: [Option<Node>; 2],
}

impl DatedRow {
    fn of(row: &Node, when: (Day, Option<Instant>)) -> Self {
        Self { when, span: row.span, said: ["due", "found"].map(|key| said(row, key).cloned()) }
    }

    /// Whether nobody can tell from the times that it was done before another one: of one instant, or of one day where
    /// one of the two says no time.
    fn may_be_as_late_as(&self, other: &Self) -> bool {
        let (one, two) = (self.when, other.when);
        one.0 == two.0 && (one.1 == two.1 || one.1.is_none() || two.1.is_none())
    }

    fn says_same(&self, other: &Self) -> bool {
        self.said.iter().zip(&other.said).all(|(one, other)| match (one, other) {
            (Some(one), Some(other)) => says_same(one, other),
            (one, other) => one.is_none() && other.is_none(),
        })
    }
}

/// The key of the log in the shop file.
pub(super) const KEY: &str = "routines";

/// What every record is refused for that draws on these rows of the log, whose times are instants.
pub(super) fn faults_of_log(rows: &[Node], catalogue: &Catalogue, zone: &Zone) -> Vec<Fault> {
    let mut faults = Vec::new();
    for routine in ROUTINES {
        let Some(takes_a_day) = takes_a_day(catalogue, routine) else { continue };
        let mut of_each: BTreeMap<&str, Vec<DatedRow>> = BTreeMap::new();
        let is_of = |row: &&Node| said(row, "did").and_then(scalar) == Some(routine.did);
        for row in rows.iter().filter(is_of) {
            let (Some(of), Some(at)) = (said(row, "of").and_then(scalar), said(row, "at")) else { continue };
            faults.extend(fault_of_row(routine, row));
            if let Ok(when) = when(at, takes_a_day, zone) {
                of_each.entry(of).or_default().push(DatedRow::of(row, when));
            }
        }
        for (of, rows) in of_each {
            let disagree = latest_of(&rows).and_then(|(latest, other)| Some((rows.get(latest)?, rows.get(other?)?)));
            if let Some((latest, other)) = disagree {
                faults.push(refusals::rows_disagree(routine.did, of, other.span, latest.span));
            }
        }
    }
    faults
}

/// What is wrong with a row, whatever other rows there are.
fn fault_of_row(routine: &Routine, row: &Node) -> Option<Fault> {
    if let (None, Some(found)) = (routine.found, said(row, "found")) {
        return Some(refusals::no_result(routine.did, found.span));
    }
    (routine.states_due && said(row, "due").is_none()).then(|| {
        Fault::new(Code::SchemaMissingKey, "the key `due` is missing")
            .label(row.span, "`due` is missing in here")
            .help("add `due:` with the last day of the calibration, such as `2026-09-30`")
    })
}

/// The latest of the rows on one thing, of those that are alike the one further down; with one that may be as late and says
/// something else, if there is one.
fn latest_of(rows: &[DatedRow]) -> Option<(usize, Option<usize>)> {
    let (at, latest) = rows.iter().enumerate().max_by_key(|(_, row)| row.when)?;
    Some((at, rows.iter().position(|row| row.may_be_as_late_as(latest) && !row.says_same(latest))))
}

/// Whether a row of a routine may say its day alone.
fn takes_a_day(catalogue: &Catalogue, routine: &Routine) -> Option<bool> {
    Some(routine.states_due || matches!(catalogue.spec(routine.fact)?.kind, FactKind::Day))
}

/// When a row says that it was done.
fn when(at: &Node, takes_a_day: bool, zone: &Zone) -> Result<(Day, Option<Instant>), Fault> {
    match scalar(at).and_then(|text| Instant::parse(text).ok()) {
        Some(instant) => Ok((instant.day_in(zone), Some(instant))),
        None if takes_a_day => times::day(at).map(|day| (day, None)),
        None => Err(refusals::no_time_of_day(at.span)),
    }
}

/// Whether the rows of what was done say the hour too, and not the day alone.
pub(super) fn asks_for_time(catalogue: &Catalogue, did: &Node) -> bool {
    let routine = ROUTINES.iter().find(|routine| Some(routine.did) == scalar(did) && !routine.states_due);
    let spec = routine.and_then(|routine| catalogue.spec(routine.fact));
    spec.is_some_and(|spec| !matches!(spec.kind, FactKind::Day))
}

impl Expander<'_> {
    /// Lays what the log says of an entry over the entry.
    pub(super) fn with_routines(&mut self, facts: &mut Node, section: &Section, mark: &str) {
        for Done { routine, facts: mut row, other } in self.routines(section, mark) {
            let place = |key| Some(section.within(&self.catalogue.spec(key)?.name)?.to_owned());
            let (when, found) = (place(routine.fact), routine.found.and_then(place));
            if let (Some(when), Some(found)) = (when, found) {
                // A result without a day, in the entry, is of the only check that there was.
                let is_dated = said_at(facts, &when).is_some();
                let at = said_at(&row, &when).map(|at| at.span);
                if let (false, Some(span)) = (is_dated, at)
                    && (other.is_some() || said_at(&row, &found).is_some())
                    && let Some(node) = at_mut(facts, &found)
                {
                    *node = Node { span, value: Content::Null };
                    // Without it the result would be one of the only check.
                    if let Some(other) = other {
                        self.note(KEY, other);
                    }
                }
            }
            self.later_done(facts, &mut row, section);
            self.lay(facts, row, ("routine of", mark), &Path::root());
        }
    }

    /// What the log says of one entry, as facts below its section's base.
    fn routines(&mut self, section: &Section, mark: &str) -> Vec<Done> {
        let of_section = ROUTINES.iter().filter(|routine| routine.section == section);
        of_section.filter_map(|routine| self.latest(routine, mark)).collect()
    }

    /// Of two statements of when something was last done keeps the later one: it is done from time to time, and the
    /// person who has just done it says so where they are.
    pub(super) fn later_done(&self, into: &mut Node, from: &mut Node, section: &Section) {
        for (routine, spec) in self.states_when(section) {
            let Some(place) = routine.section.within(&spec.name) else { continue };
            let (Some(one), Some(other)) = (said_at(into, place), said_at(from, place)) else { continue };
            let when = |node: &Node| when(node, matches!(spec.kind, FactKind::Day), self.zone).ok();
            // What cannot be read is left to the reader of its fact.
            let order = when(one).zip(when(other)).map_or(Ordering::Equal, |(one, other)| one.cmp(&other));
            let (earlier, later) = if order.is_lt() { (&mut *into, other.span) } else { (&mut *from, one.span) };
            if let Some(node) = at_mut(earlier, place) {
                node.value = Content::Null;
            }
            let found = routine.found.filter(|_| order.is_ne()).and_then(|found| self.catalogue.spec(found));
            let found = found.and_then(|spec| routine.section.within(&spec.name));
            if let Some(node) = found.and_then(|found| at_mut(earlier, found)) {
                *node = Node { span: later, value: Content::Null };
            }
        }
    }

    /// The routines of a section whose rows state when something was done, and not until when it is good.
    fn states_when(&self, section: &Section) -> Vec<(&'static Routine, &FactSpec)> {
        let of_section = ROUTINES.iter().filter(|routine| routine.section == section && !routine.states_due);
        of_section.filter_map(|routine| Some((routine, self.catalogue.spec(routine.fact)?))).collect()
    }

    /// What was done last by a routine to what bears this mark.
    fn latest(&mut self, routine: &'static Routine, mark: &str) -> Option<Done> {
        let mut rows = self.rows_done(routine, mark)?;
        // What was done when every fill of the job had begun is of later jobs, wherever anything was done before.
        let is_later = |row: &RoutineRow| match (self.begun, row.dated.when) {
            (Some(begun), (_, Some(at))) => at > begun,
            (Some(begun), (day, None)) => day > begun.day_in(self.zone),
            (None, _) => false,
        };
        if rows.iter().any(|row| !is_later(row)) {
            rows.retain(|row| !is_later(row));
        }
        let (kept, dated): (Vec<(usize, Node)>, Vec<DatedRow>) =
            rows.into_iter().map(|RoutineRow { index, dated, facts }| ((index, facts), dated)).unzip();
        let (at, other) = latest_of(&dated)?;
        if let Some((other, latest)) = other.and_then(|other| dated.get(other)).zip(dated.get(at)) {
            self.refuse(refusals::rows_disagree(routine.did, mark, other.span, latest.span));
        }
        let (latest, facts) = kept.get(at)?;
        self.note(KEY, *latest);
        let further = kept.iter().rev().map(|(index, _)| *index).find(|index| index != latest);
        Some(Done { routine, facts: facts.clone(), other: further })
    }

    /// The rows of the log that say so, each with what it says, but for those that lie ahead.
    fn rows_done(&mut self, routine: &'static Routine, mark: &str) -> Option<Vec<RoutineRow>> {
        let root = self.shop?.document().root();
        let spec = self.catalogue.spec(routine.fact)?;
        let takes_a_day = takes_a_day(self.catalogue, routine)?;
        let mut rows: Vec<RoutineRow> = Vec::new();
        for (index, row) in items(root, KEY).iter().enumerate() {
            let is = |key: &str, word: &str| said(row, key).and_then(scalar) == Some(word);
            if !is("did", routine.did) || !is("of", mark) {
                continue;
            }
            let row = self.without_own_day(row);
            let Some(at) = said(&row, "at") else { continue };
            let when = match when(at, takes_a_day, self.zone) {
                Ok(when) => when,
                Err(fault) => {
                    self.refuse(fault);
                    continue;
                }
            };
            if let Some(fault) = fault_of_row(routine, &row) {
                self.refuse(fault);
            }
            // What lies ahead of the judgement has not been done yet.
            let ahead = when.1.map_or(when.0 > self.at.day_in(self.zone), |at| at > self.at);
            let Some(value) = stated(routine, &row, at, when, takes_a_day) else { continue };
            if ahead {
                continue;
            }
            let mut facts = at_place(routine.section.within(&spec.name)?, value);
            let found = routine.found.and_then(|found| self.catalogue.spec(found)).zip(said(&row, "found"));
            if let Some((spec, found)) = found {
                let place = routine.section.within(&spec.name)?;
                fill_facts(&mut facts, at_place(place, found.clone()));
            }
            rows.push(RoutineRow { index, dated: DatedRow::of(&row, when), facts });
        }
        Some(rows)
    }

    /// A row in the places of the texts laid end to end, its times made into instants.
    fn without_own_day(&mut self, row: &Node) -> Node {
        let mut row = moved(row, self.base);
        self.times(&mut row, WrittenIn::Row);
        row
    }
}

/// The value of the fact that a row states.
fn stated(
    routine: &Routine,
    row: &Node,
    at: &Node,
    (day, _): (Day, Option<Instant>),
    takes_a_day: bool,
) -> Option<Node> {
    if routine.states_due {
        return said(row, "due").cloned();
    }
    let text = if takes_a_day { day.to_record_text() } else { scalar(at)?.to_owned() };
    Some(Node { span: at.span, value: Content::Text(text.into()) })
}
