//! The instruments that readings name: their marks looked up, and their uncertainty given to what they read.
//!
//! Must not know how a value is written.

use super::RecordReader;
use crate::document::{Code, Fault, Node, Path};
use crate::record::FactKey;
use crate::record::catalogue::instruments::{gauge, thermometer};
use crate::record::instrument::{self, graded, list_for};
use crate::record::job::{Entity, Job, LogRow, Measured, Value};
use crate::units::Quantity;
use crate::vocabulary::{Look, Subject, shown};

impl RecordReader<'_> {
    /// Refuses a scale that ends where it begins, or before: its class would say that the instrument is never off.
    pub(super) fn scale(&mut self, subject: Subject, entity: &Entity, item: &Node) {
        if let Some([from, to]) = scale_of(subject, entity).filter(has_no_length) {
            self.fault(
                Fault::new(Code::RecordImpossibleValue, format!("a scale from {from} to {to} has no length"))
                    .label(item.span, "the scale of this instrument")
                    .help("write the bottom of the scale under `from` and its top under `to`"),
            );
        }
    }

    /// Gives readings the uncertainty of the instruments that took them, and refuses marks that stand for nothing.
    pub(super) fn resolve(&mut self, job: &mut Job, root: &Node) {
        let instruments = [Subject::Gauge, Subject::Thermometer].map(|s| (s, job.of(s).unwrap_or(&[]).to_vec()));
        for subject in [Subject::Job, Subject::Assembly, Subject::Component] {
            let Some(entities) = job.lists.get_mut(subject).as_mut() else { continue };
            for entity in entities {
                self.resolve_entity(subject, entity, &instruments, root);
            }
        }
    }

    fn resolve_entity(
        &mut self,
        subject: Subject,
        entity: &mut Entity,
        instruments: &[(Subject, Vec<Entity>); 2],
        root: &Node,
    ) {
        for (name_key, list) in instrument::NAMES.iter().filter(|(key, _)| key.subject == subject) {
            if let Some(mark) = entity.facts.text(*name_key).map(str::to_owned) {
                let path = entity.path_of(self.catalogue, *name_key);
                self.find_instrument(instruments, *list, &mark, &path, root);
            }
        }
        for position in 0..self.catalogue.of(subject).len() {
            let Ok(index) = u16::try_from(position) else { continue };
            let key = FactKey { subject, index };
            let named = instrument::NAMED_BY.iter().find(|(fact, _)| *fact == key);
            match entity.facts.get(key) {
                Some(Value::Measured(measured)) => {
                    let mark = match named {
                        // The mark itself was looked up above, where it stands.
                        Some((_, by)) => entity.facts.text(*by),
                        None => measured.instrument.as_deref(),
                    };
                    let Some(mark) = mark.map(str::to_owned) else { continue };
                    let mut measured = (**measured).clone();
                    // An instrument that is named all the same stands at no key of such a reading.
                    let Some(list) = list_for(&measured) else { continue };
                    let found = if named.is_some() {
                        instrument::lookup(instruments, list, &mark)
                    } else {
                        let path = entity.path_of(self.catalogue, key);
                        self.find_instrument(instruments, list, &mark, &path, root)
                    };
                    measured.instrument = Some(mark.into());
                    if let Some(found) = found {
                        let path = entity.path_of(self.catalogue, key);
                        measured = self.graded(measured, found, list, &path, root);
                    }
                    entity.facts.set(key, Value::Measured(Box::new(measured)));
                }
                Some(Value::Log(rows)) => {
                    let graded_rows = self.resolve_log(key, rows, entity, instruments, root);
                    entity.facts.set(key, Value::Log(graded_rows));
                }
                _ => {}
            }
        }
    }

    fn graded(&mut self, measured: Measured, by: &Entity, list: Subject, path: &Path, root: &Node) -> Measured {
        if let Some(graded) = graded(&measured, by, list) {
            return graded;
        }
        // Its scale is told where the instrument stands, and is all that is wrong.
        if scale_of(list, by).is_some_and(|scale| has_no_length(&scale)) {
            return measured;
        }
        let span = root.descend(path.steps()).map_or(root.span, |node| node.span);
        self.fault(
            Fault::new(Code::RecordImpossibleValue, "this value cannot be computed exactly with its uncertainty")
                .label(span, "too many digits")
                .help("write it with fewer digits"),
        );
        measured
    }

    fn resolve_log(
        &mut self,
        key: FactKey,
        rows: &[LogRow],
        entity: &Entity,
        instruments: &[(Subject, Vec<Entity>); 2],
        root: &Node,
    ) -> Vec<LogRow> {
        let mut rows = rows.to_vec();
        let Some((_, columns)) = instrument::LOG_NAMED_BY.iter().find(|(log, _)| *log == key) else { return rows };
        for row in &mut rows {
            for (reading, by) in row.readings.iter_mut().zip(*columns) {
                let (Some(measured), Some(mark)) = (reading.as_mut(), entity.facts.text(*by)) else { continue };
                let Some(list) = list_for(measured) else { continue };
                if let Some(found) = instrument::lookup(instruments, list, mark) {
                    let path = entity.path_of(self.catalogue, key);
                    *measured = self.graded(measured.clone(), found, list, &path, root);
                }
            }
        }
        rows
    }

    fn find_instrument<'i>(
        &mut self,
        instruments: &'i [(Subject, Vec<Entity>); 2],
        list: Subject,
        mark: &str,
        path: &Path,
        root: &Node,
    ) -> Option<&'i Entity> {
        let found = instrument::lookup(instruments, list, mark);
        if found.is_none() {
            let known: Vec<&str> =
                instruments.iter().filter(|(s, _)| *s == list).flat_map(|(_, e)| e).map(|e| e.label.as_str()).collect();
            let span = root.descend(path.steps()).map_or(root.span, |node| node.span);
            let look = Look::of(mark);
            let twin = known.iter().find(|known| look.is_like(&Look::of(known)));
            let help = if let Some(twin) = twin {
                format!("write it as the {} is marked, letter by letter: {}", list.word(), shown(twin))
            } else if known.is_empty() {
                format!("list it under `{}` with its range, accuracy and calibration", list.record_key().unwrap_or(""))
            } else {
                format!("list it under `{}`, or use one of: {}", list.record_key().unwrap_or(""), known.join(", "))
            };
            self.fault(
                Fault::new(Code::RecordUnknownInstrument, format!("no {} is marked `{mark}`", list.word()))
                    .label(span, format!("no {} of this record has this mark", list.word()))
                    .help(help),
            );
        }
        found
    }
}

/// The bottom and the top of the scale of an instrument.
fn scale_of(subject: Subject, entity: &Entity) -> Option<[Quantity; 2]> {
    let (from, to) = match subject {
        Subject::Gauge => (gauge::RANGE_FROM, gauge::RANGE_TO),
        Subject::Thermometer => (thermometer::RANGE_FROM, thermometer::RANGE_TO),
        _ => return None,
    };
    let end = |key| Some(entity.facts.measured(key)?.shown);
    Some([end(from)?, end(to)?])
}

fn has_no_length([from, to]: &[Quantity; 2]) -> bool {
    to.base() <= from.base()
}
