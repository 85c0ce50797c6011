//! What can be done about the gauge that a figure depends on: its papers are found out, or a finer one takes its place.
//!
//! Nobody is sent to a plate for another number while the gauge is what is the matter. This module must not know which ways
//! are offered.

use super::{Act, ActKind, Ground, act, comes_out};
use crate::engine::trace::TraceLeaf;
use crate::record::catalogue::choices::{Choice as _, GaugeClass};
use crate::record::catalogue::instruments::gauge;
use crate::record::{Edit, FactKey, FactKind, Measured, Value};
use crate::units::{Exact, Quantity};
use crate::vocabulary::Subject;

/// The finest class of a gauge that a workshop has; its papers may say another one.
const FINE: GaugeClass = GaugeClass::En025;
/// The doubt of a finer gauge in hundredths of that of this one: first a little less, then far less.
const FINER: [i64; 5] = [80, 60, 40, 20, 10];

/// The list and place of the gauge that a fact of an assembly names.
fn named(on: &Ground<'_>, key: FactKey, entity: usize) -> Option<usize> {
    let mark = on.scene.job().of(key.subject)?.get(entity)?.facts.text(key)?;
    on.scene.job().of(Subject::Gauge)?.iter().position(|gauge| gauge.label == mark)
}

/// The papers of the gauge that a fact names, where they do not say what it may be off: its class where its scale is known,
/// else its certificate.
pub(super) fn papers(on: &Ground<'_>, key: FactKey, entity: usize) -> Option<Act> {
    let place = named(on, key, entity)?;
    let facts = &on.scene.job().of(Subject::Gauge)?.get(place)?.facts;
    let is_scaled = [gauge::RANGE_FROM, gauge::RANGE_TO].into_iter().all(|end| facts.get(end).is_some());
    if is_scaled && facts.get(gauge::ACCURACY).is_none() {
        return Some(act(gauge::ACCURACY, place, Value::Text(FINE.word().into()), ActKind::Recorded));
    }
    let value = super::values::sample(on, gauge::UNCERTAINTY)?;
    Some(act(gauge::UNCERTAINTY, place, value, ActKind::Recorded))
}

/// A finer gauge with which the comparison comes out as wanted: the coarsest class that does, or a certificate with
/// less doubt where this one has a certificate.
pub(super) fn finer(on: &Ground<'_>, leaf: &TraceLeaf<'_>, key: FactKey, entity: usize, aim: bool) -> Option<Act> {
    let place = named(on, key, entity)?;
    let facts = &on.scene.job().of(Subject::Gauge)?.get(place)?.facts;
    let (paper, values) = match (facts.measured(gauge::UNCERTAINTY), facts.text(gauge::ACCURACY)) {
        (Some(certified), _) => {
            (gauge::UNCERTAINTY, FINER.into_iter().filter_map(|share| less(certified, share)).collect())
        }
        (None, Some(class)) => (gauge::ACCURACY, classes_finer_than(on, class)),
        (None, None) => return None,
    };
    let edit = |value: Value| Edit { key: paper, entity: place, value };
    let value = values.into_iter().find(|value| comes_out(on, leaf, edit(value.clone()), aim) == Some(true))?;
    Some(act(paper, place, value, ActKind::Finer))
}

/// So many hundredths of what a certificate says.
fn less(certified: &Measured, share: i64) -> Option<Value> {
    let doubt = certified.shown.value().checked_mul(Exact::new(i128::from(share), 100)?)?;
    Some(Value::Measured(Box::new(Measured::exact(Quantity::new(doubt, certified.shown.unit())?))))
}

/// The classes that stand before this one in the catalogue, those next to it first: of either standard they stand from
/// fine to coarse, and each is tried.
fn classes_finer_than(on: &Ground<'_>, class: &str) -> Vec<Value> {
    let spec = on.scene.packs().catalogue().spec(gauge::ACCURACY);
    let Some(FactKind::Choice(words)) = spec.map(|spec| &spec.kind) else { return Vec::new() };
    let before = words.iter().take_while(|word| word.as_ref() != class);
    let mut finer: Vec<Value> = before.map(|word| Value::Text(word.as_ref().into())).collect();
    finer.reverse();
    finer
}
