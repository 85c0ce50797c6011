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
    /// Which limit it is.
    pub(super) fn limit(&self) -> usize {
        self.0.0
    }

    pub(super) fn packs(&self) -> Arc<Option<Stricter>> {
        let read = || {
            let limit = &PACKS.limits()[self.0.0];
            let value = value(limit, self.0.1)?;
            Some(Stricter { packs: amended(limit, &value), what: format!("{} at {value}", limit.name) })
        };
        Arc::clone(READ.lock().unwrap().entry(self.0).or_insert_with(|| Arc::new(read())))
    }
}

/// How many packs that make several limits stricter are tried: each is read once, which takes longer than to judge by it.
const SETS: u64 = 64;
/// How many limits such a pack makes stricter at most.
const MOST_AT_ONCE: usize = 8;

/// Several limits to make stricter at once.
#[derive(Debug, Clone)]
pub(super) struct Several(u64);

static READ_SETS: LazyLock<Mutex<BTreeMap<u64, Arc<Stricter>>>> = LazyLock::new(Mutex::default);

/// Two limits or more, each by a little or by much.
pub(super) fn several() -> impl Strategy<Value = Several> {
    (0..SETS).prop_map(Several)
}

impl Several {
    pub(super) fn packs(&self) -> Arc<Stricter> {
        let read = || {
            let mut chosen = BTreeMap::new();
            // Each turn meets another limit, since a prime larger than their number has no divisor in common with it.
            let count = u64::try_from(PACKS.limits().len()).unwrap();
            let stride = [7_907, 7_919, 104_723, 104_729][usize::try_from(self.0 % 4).unwrap()];
            assert!(count < 7_907, "the strides must be larger than the number of limits");
            for turn in 0..count {
                let place = (self.0 * 7_919 + turn * stride) % count;
                let limit = &PACKS.limits()[usize::try_from(place).unwrap()];
                let step = [20, 100, 250, 500, 900][usize::try_from((self.0 + turn) % 5).unwrap()];
                if let Some(value) = value(limit, step) {
                    chosen.insert(limit.name.to_string(), value);
                }
                if chosen.len() == 2 + usize::try_from(self.0).unwrap() % (MOST_AT_ONCE - 1) {
                    break;
                }
            }
            let amended: Vec<(&str, &str)> =
                chosen.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
            Arc::new(Stricter { packs: amend(&amended), what: format!("{chosen:?}") })
        };
        Arc::clone(READ_SETS.lock().unwrap().entry(self.0).or_insert_with(read))
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
    amend(&[(limit.name.as_str(), value)])
}

/// The base pack with limits amended.
fn amend(limits: &[(&str, &str)]) -> PackSet {
    let edition = &PACKS.packs()[0].edition;
    let limits = limits.iter().fold(String::new(), |text, (name, value)| {
        format!(
            "{text}  {name}:\n    value: {value}\n    why: invented for this test\n    \
             source: {{kind: local code, cite: invented for this test}}\n"
        )
    });
    let text = format!(
        "pack: 1\nname: stricter\nedition: \"1\"\ntitle: Limits made stricter\n\
         amends: {{pack: tyre-fill, edition: \"{edition}\"}}\namended_limits:\n{limits}"
    );
    let document = Document::read("stricter.yaml", text.as_bytes()).unwrap();
    PackSet::base().unwrap().with(vec![document]).unwrap_or_else(|faults| panic!("{:?}", miette::Report::new(faults)))
}
