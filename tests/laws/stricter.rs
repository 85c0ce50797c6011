//! The base pack with one of its limits made stricter by a local pack. Packs are read once and kept, since many cases try
//! the same.

use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock, Mutex};

use fillward::document::Document;
use fillward::pack::{Limit, PackSet, Safer};
use fillward::units::{Exact, Quantity};
use proptest::prelude::*;

use super::jobs::PACKS;

/// A limit of the base pack, and by how many thousandths of it the local pack is stricter.
type Choice = (usize, i64);

/// The packs, and in words what is stricter in them; `None` where no limit can be so.
pub(super) struct Stricter {
    pub(super) packs: PackSet,
    pub(super) what: String,
}

/// One limit to make stricter.
#[derive(Debug, Clone)]
pub(super) struct One(Choice);

static READ: LazyLock<Mutex<BTreeMap<Choice, Arc<Option<Stricter>>>>> = LazyLock::new(Mutex::default);

/// Any limit, by a little or by much.
pub(super) fn stricter() -> impl Strategy<Value = One> {
    (0..PACKS.limits().len(), prop::sample::select(vec![20_i64, 100, 250, 500, 900])).prop_map(One)
}

impl One {
    pub(super) fn packs(&self) -> Arc<Option<Stricter>> {
        let read = || {
            let limit = &PACKS.limits()[self.0.0];
            let value = value(limit, self.0.1)?;
            Some(Stricter { packs: amended(limit, &value), what: format!("{} at {value}", limit.name) })
        };
        Arc::clone(READ.lock().unwrap().entry(self.0).or_insert_with(|| Arc::new(read())))
    }
}

/// A value of the limit that is stricter by this many thousandths of it.
fn value(limit: &Limit, thousandths: i64) -> Option<String> {
    let value = limit.values.last()?.value;
    let share = Exact::new(i128::from(thousandths), 1_000)?;
    let size = value.value().abs();
    let step = if size == Exact::ZERO { share } else { size.checked_mul(share)? };
    let moved = match limit.safer {
        Safer::Higher => value.value().checked_add(step)?,
        Safer::Lower => value.value().checked_sub(step)?,
    };
    let text = format!("{} {}", moved.to_decimal_exact(6)?, value.unit().symbol());
    Quantity::parse(text.trim(), limit.dimension).ok().map(Quantity::to_record_text)
}

/// The base pack with one limit amended.
fn amended(limit: &Limit, value: &str) -> PackSet {
    let edition = &PACKS.packs()[0].edition;
    let text = format!(
        "pack: 1\nname: stricter\nedition: \"1\"\ntitle: One limit made stricter\n\
         amends: {{pack: tyre-fill, edition: \"{edition}\"}}\namended_limits:\n  {}:\n    value: {value}\n    \
         why: invented for this test\n    source: {{kind: local code, cite: invented for this test}}\n",
        limit.name
    );
    let document = Document::read("stricter.yaml", text.as_bytes()).unwrap();
    PackSet::base().unwrap().with(vec![document]).unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)))
}
