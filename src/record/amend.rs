//! A job with some of its facts changed, as a cure would change them. This module must not know why they change.

use super::catalogue::POSITIVE;
use super::job::{Entity, Facts, Job, Value};
use super::read;
use super::{Catalogue, FactKey, FactKind, FactSpec, Measured, instrument};
use crate::units::{Dimension, Exact, Quantity};
use crate::vocabulary::Subject;

/// One fact of one subject, and the value it is given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    /// The fact.
    pub key: FactKey,
    /// The subject's position in its list; one beyond the last adds a subject.
    pub entity: usize,
    /// The value.
    pub value: Value,
}

impl Job {
    /// The job with these facts, its readings with the uncertainty of the instruments that take them.
    ///
    /// `None` where an edit names a subject far beyond its list or a value that no record could state, or where an
    /// uncertainty cannot be worked out exactly.
    pub fn amended(&self, catalogue: &Catalogue, edits: &[Edit]) -> Option<Self> {
        let mut job = self.clone();
        for edit in edits {
            if !is_possible(catalogue, edit) {
                return None;
            }
            job.subject_mut(catalogue, edit.key.subject, edit.entity)?.facts.set(edit.key, edit.value.clone());
        }
        let of_instrument = |edit: &Edit| matches!(edit.key.subject, Subject::Gauge | Subject::Thermometer);
        let touches = |subject, index| {
            let same = |edit: &Edit| edit.key.subject == subject && edit.entity == index;
            edits.iter().any(|edit| of_instrument(edit) || same(edit))
        };
        let instruments =
            [Subject::Gauge, Subject::Thermometer].map(|list| (list, job.of(list).unwrap_or(&[]).to_vec()));
        for subject in [Subject::Job, Subject::Assembly, Subject::Component] {
            let Some(entities) = job.lists.get_mut(subject) else { continue };
            for (_, entity) in entities.iter_mut().enumerate().filter(|(index, _)| touches(subject, *index)) {
                grade(catalogue, subject, entity, &instruments)?;
            }
        }
        Some(job)
    }

    /// The subject at a position of its list; one that is not there yet is added, with nothing known of it.
    fn subject_mut(&mut self, catalogue: &Catalogue, subject: Subject, index: usize) -> Option<&mut Entity> {
        let list = self.lists.get_mut(subject).get_or_insert_default();
        if list.len() == index {
            let path = crate::document::Path::root().child(subject.record_key()?).child(index);
            let facts = Facts::empty(catalogue.of(subject).len());
            list.push(Entity { label: format!("{} {}", subject.word(), index + 1), path, facts });
        }
        list.get_mut(index)
    }
}

/// Whether a record could state the value: reading it would refuse one that can only be a slip.
fn is_possible(catalogue: &Catalogue, edit: &Edit) -> bool {
    let Value::Measured(measured) = &edit.value else { return true };
    let Some(spec) = catalogue.spec(edit.key) else { return false };
    let is_positive = !POSITIVE.contains(&edit.key) || measured.shown.base() > Exact::ZERO;
    is_positive && read::is_possible(measured.shown, &spec.kind)
}

/// Gives the readings of one subject the uncertainty of the instruments that are named for them.
fn grade(
    catalogue: &Catalogue,
    subject: Subject,
    entity: &mut Entity,
    instruments: &[(Subject, Vec<Entity>); 2],
) -> Option<()> {
    for key in catalogue.keys_of(subject) {
        let Some(measured) = entity.facts.measured(key) else { continue };
        let named = instrument::NAMED_BY.iter().find(|(fact, _)| *fact == key);
        let mark = match named {
            Some((_, by)) => entity.facts.text(*by),
            None => measured.instrument.as_deref(),
        };
        let Some(list) = instrument::list_for(measured) else { continue };
        let Some(by) = mark.and_then(|mark| instrument::lookup(instruments, list, mark)) else { continue };
        let graded = Measured { instrument: Some(by.label.as_str().into()), ..instrument::graded(measured, by, list)? };
        entity.facts.set(key, Value::Measured(Box::new(graded)));
    }
    Some(())
}

/// A value as the catalogue's example of a fact shows it; `None` for logs, and for moments, which no example can know.
pub fn example(spec: &FactSpec) -> Option<Value> {
    let text = spec.example.as_ref();
    let number =
        |dimension| Quantity::parse(text, dimension).ok().map(|q| Value::Measured(Box::new(Measured::exact(q))));
    match &spec.kind {
        FactKind::Text | FactKind::TyreSize | FactKind::TubeSizes => Some(Value::Text(text.into())),
        FactKind::Choice(words) => {
            words.iter().find(|word| *word == text).map(|word| Value::Text(word.as_ref().into()))
        }
        FactKind::Flag => Some(Value::Flag(text == "true")),
        FactKind::Choices(_) => Some(Value::Words(Vec::new())),
        FactKind::Count => number(Dimension::Count),
        FactKind::Quantity(dimension) | FactKind::ScaleBottom(dimension) | FactKind::Reading(dimension) => {
            number(*dimension)
        }
        FactKind::Event | FactKind::Planned | FactKind::Day | FactKind::Log(_) => None,
    }
}
