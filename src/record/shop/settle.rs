//! Of a statement of the record and one of the shop file about one fact: which of the two counts.
//!
//! Who stands before the pump sees what is so today, and the shop file says what was so when somebody wrote it. So the
//! record may always say it. What is planned or used for this one job is as the record says; of what is dated the later
//! statement counts, but none of a time when every fill of the job had begun; an earlier reading of a container stays as a
//! row of its warming; of anything else the one that lets less pass, whichever that is, so that neither a fault of today
//! nor a slip of the pen is lost. Where the rules do not tell which one that is, both are shown and it is asked. This module
//! must not know rules: it asks which of two values lets less pass.

use std::cmp::Ordering;

use super::expand::Expander;
use super::nodes::{Twice, at_mut, at_place, instant, is_equal, lay, said, says_same};
use super::sections::{GOES_WITH, IDENTIFIES, OF_THIS_JOB};
use crate::document::{Content as Written, Entry, Node, Path, Span, Step};
use crate::record::catalogue::component::{self, warming_row};
use crate::record::read::read_value;
use crate::record::{FactKey, FactKind};
use crate::units::Instant;
use crate::vocabulary::Subject;

/// Which of two statements counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Counts {
    /// The one that was there first.
    First,
    /// The one that is laid over it.
    Second,
}

/// In what two statements stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Between {
    /// Record and shop file: what one of them says twice is corrected there.
    Files,
    /// Looks at different times: each of them says what was seen then.
    Looks,
}

impl Expander<'_> {
    /// In what two statements stand: a sheet of a later day says what was so later.
    pub(super) fn between(&self, first: Span, second: Span) -> Between {
        let sheet = self.later_sheets.iter().find(|sheet| sheet.holds(second));
        if sheet.is_some_and(|sheet| !sheet.holds(first)) { Between::Looks } else { Between::Files }
    }

    /// Whether a value stands in the record, and not in the shop file.
    pub(super) const fn is_of_record(&self, node: &Node) -> bool {
        node.span.start < self.base
    }

    /// Puts the statement that counts in its place; what is not settled is given back.
    pub(super) fn settle(&self, into: &mut Node, said: Twice, path: &Path, between: Between) -> Result<(), Twice> {
        let place = said.path.to_string();
        let key = self.fact_at(path);
        let Some((key, first)) = key.zip(at_mut(into, &place)) else { return Err(said) };
        match self.counts(key, first, &said.second, between) {
            Some(Counts::Second) => {
                let earlier = std::mem::replace(first, said.second);
                self.keep_earlier(into, key, &place, &earlier);
            }
            Some(Counts::First) => {
                if !says_same(first, &said.second) && self.is_of_record(first) {
                    let span = first.span;
                    self.forget_what_goes_with(into, key, &place, &Node { span, value: Written::Null });
                }
                self.keep_earlier(into, key, &place, &said.second);
            }
            None => return Err(said),
        }
        Ok(())
    }

    /// The fact whose place in the record this is.
    pub(super) fn fact_at(&self, path: &Path) -> Option<FactKey> {
        let (subject, rest) = match path.steps() {
            [Step::Key(list), Step::Index(_), rest @ ..] => {
                (Subject::ALL.into_iter().find(|subject| subject.record_key() == Some(list))?, rest)
            }
            [Step::Key(sides), Step::Key(_), rest @ ..] if Subject::Component.record_key() == Some(sides) => {
                (Subject::Component, rest)
            }
            whole => (Subject::Job, whole),
        };
        let mut name = Path::root();
        for step in rest {
            name.push(step.clone());
        }
        self.catalogue.find(subject, &name.to_string())
    }

    fn counts(&self, key: FactKey, first: &Node, second: &Node, between: Between) -> Option<Counts> {
        let kind = &self.catalogue.spec(key)?.kind;
        if self.is_of_later_jobs(kind, first, second) {
            return Some(Counts::First);
        }
        if let (FactKind::Reading(_), Some(first), Some(second)) = (kind, taken_at(first), taken_at(second)) {
            match first.cmp(&second) {
                Ordering::Less => return Some(Counts::Second),
                Ordering::Greater => return Some(Counts::First),
                Ordering::Equal => {}
            }
        }
        // What one file says twice is corrected in that file.
        if between == Between::Files && (!self.is_of_record(first) || self.is_of_record(second)) {
            return None;
        }
        // A mark is a text, however much it looks like a number.
        let is_measured =
            matches!(kind, FactKind::Reading(_) | FactKind::Quantity(_) | FactKind::Event | FactKind::Planned);
        if says_same(first, second) || is_measured && is_equal(first, second) || OF_THIS_JOB.contains(&key) {
            return Some(Counts::First);
        }
        if IDENTIFIES.contains(&key) || matches!(kind, FactKind::Reading(_)) {
            return None;
        }
        match (read_value(kind, first), read_value(kind, second)) {
            // What is no value is refused by the reader of its fact, where it stands.
            (Err(_), _) => Some(Counts::First),
            (Ok(_), Err(_)) => Some(Counts::Second),
            (Ok(first), Ok(second)) => match self.in_force.less_safe(key, &first, &second)? {
                Ordering::Greater => Some(Counts::Second),
                Ordering::Less | Ordering::Equal => Some(Counts::First),
            },
        }
    }

    /// Whether the shop file says of a time when every fill of the job had begun what the record says of one before: the
    /// shop goes on, its pump is weighed again and its drums are moved, while a tyre of the job cures.
    fn is_of_later_jobs(&self, kind: &FactKind, first: &Node, second: &Node) -> bool {
        let dated = |node| match kind {
            FactKind::Reading(_) => taken_at(node),
            FactKind::Event => instant(node),
            _ => None,
        };
        let told = self.is_of_record(first) && !self.is_of_record(second);
        let Some((begun, (first, second))) = self.begun.filter(|_| told).zip(dated(first).zip(dated(second))) else {
            return false;
        };
        first <= begun && second > begun
    }

    /// Takes out what the shop file says along with a statement that does not count.
    fn forget_what_goes_with(&self, into: &mut Node, key: FactKey, place: &str, nothing: &Node) {
        for (_, with) in GOES_WITH.iter().filter(|(of, _)| *of == key) {
            if let Some(node) = self.beside(key, place, *with).and_then(|there| at_mut(into, &there))
                && !self.is_of_record(node)
            {
                *node = nothing.clone();
            }
        }
    }

    /// Keeps a replaced core temperature as a row of the warming log: what was cold at the one time is not warm two
    /// minutes later.
    fn keep_earlier(&self, into: &mut Node, key: FactKey, place: &str, reading: &Node) {
        if key != component::CORE_TEMPERATURE {
            return;
        }
        let read = said(reading, "at").zip(said(reading, "reading"));
        let Some(((at, read), there)) = read.zip(self.beside(key, place, component::WARMING)) else { return };
        let cells = warming_row::TABLE.iter().zip([at, read]);
        let cells =
            cells.map(|(column, of)| Entry { key: column.name.as_ref().into(), key_span: of.span, node: of.clone() });
        let row = Node { span: reading.span, value: Written::Map(cells.collect()) };
        match at_mut(into, &there).map(|log| &mut log.value) {
            Some(Written::List(rows)) => {
                let when = |row: &Node| said(row, "at").and_then(instant);
                let of = instant(at);
                if rows.iter().all(|known| when(known) != of) {
                    let after = rows.iter().position(|known| when(known) > of).unwrap_or(rows.len());
                    rows.insert(after, row);
                }
            }
            _ => lay(
                into,
                at_place(&there, Node { span: reading.span, value: Written::List(vec![row]) }),
                &mut Vec::new(),
            ),
        }
    }

    /// Where another fact of the same subject stands, seen from where this one does.
    fn beside(&self, key: FactKey, place: &str, other: FactKey) -> Option<String> {
        let name = |key: FactKey| self.catalogue.spec(key).map(|spec| spec.name.to_string());
        let before = name(key)?.strip_suffix(place)?.to_owned();
        name(other)?.strip_prefix(&before).map(str::to_owned)
    }
}

/// When a reading says that it was taken.
fn taken_at(reading: &Node) -> Option<Instant> {
    instant(said(reading, "at")?)
}
