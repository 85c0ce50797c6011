use super::*;
use crate::document::Document;
use crate::record;
use crate::units::{Dimension, Quantity, Zone};

/// A reading at a time, with an instrument.
fn reading(text: &str, at: Option<&str>, instrument: Option<&str>) -> Value {
    let shown = Quantity::parse(text, Dimension::Pressure).unwrap();
    let at = at.map(|at| Instant::parse(at).unwrap());
    Value::Measured(Box::new(Measured { at, instrument: instrument.map(Into::into), ..Measured::exact(shown) }))
}

/// Whatever of a reading is otherwise, the two sides of its change never read alike.
#[test]
fn two_sides_of_a_change_never_read_alike() {
    let times = [None, Some("2026-03-04T08:30:00-06:00"), Some("2026-03-04T08:50:00-06:00")];
    let instruments = [None, Some("G-2"), Some("G-5")];
    let mut readings = Vec::new();
    for text in ["60 psi", "62 psi"] {
        for at in times {
            readings.extend(instruments.map(|instrument| reading(text, at, instrument)));
        }
    }
    for (place, before) in readings.iter().enumerate() {
        for now in readings.get(place + 1..).unwrap() {
            assert!(!keeps(before, now));
            let (before, now) = both_written(before, Some(now));
            let change = Difference { of: None, fact: "f".to_owned(), before: Some(before), now };
            let both = change.both_values();
            let (one, other) = both.strip_prefix("`f`: ").unwrap().split_once(", then ").unwrap();
            assert_ne!(one, other, "{both}");
        }
    }
}

fn job(catalogue: &Catalogue, reading: &str) -> Job {
    let text = format!(
        "record: 1\njob: T-1\nassemblies:\n  - mark: loader 4, left front\ncomponents:\n  isocyanate: {{on_hand: {reading}}}\n"
    );
    let document = Document::read("job.yaml", text.as_bytes()).unwrap();
    record::read(&document, catalogue, &Zone::find("America/Chicago").unwrap()).unwrap()
}

/// A reading is taken again, and says something else then. One of the same instant was read once: another value for it is
/// told, whatever instrument is named for it.
#[test]
fn a_reading_of_one_instant_has_one_value() {
    let catalogue = Catalogue::default();
    let (eight, nine) = ("at: 2026-03-04T08:30:00-06:00", "at: 2026-03-04T09:00:00-06:00");
    let before = job(&catalogue, &format!("{{reading: 390 lb, {eight}}}"));
    let told = |reading: &str| {
        let at = Instant::parse("2026-03-04T09:30:00-06:00").unwrap();
        let kept = Kept::ForTheJob { seen_from: HoldPoint::AfterFill };
        let found = changes(&catalogue, (&before, at), &job(&catalogue, reading), None, kept);
        assert!(found.iter().all(|change| !change.parts), "it is judged again by what is written now");
        found
            .into_iter()
            .map(|change| format!("{}: {}", change.fact, change.now.unwrap_or_default()))
            .collect::<Vec<_>>()
    };
    assert_eq!(told(&format!("{{reading: 390 lb, {eight}}}")), [""; 0]);
    assert_eq!(told(&format!("{{reading: 530 lb, {eight}}}")), ["on_hand: 530 lb"]);
    assert_eq!(told(&format!("{{reading: 390 lb, {eight}, uncertainty: 2 lb}}")), ["on_hand: 390 lb [388, 392]"]);
    assert_eq!(told(&format!("{{reading: 530 lb, {nine}}}")), [""; 0]);
}
