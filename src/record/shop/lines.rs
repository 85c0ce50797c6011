//! A fact as it is written: in the entry of a shop file that would state it, and in a record that says a later reading.
//!
//! Must not know what any file says.

use super::left_open::is_look_at_cage;
use super::sections::{Home, MATERIALS, SECTIONS, day_takes, mix_takes, round_takes};
use super::sheets;
use crate::record::{Catalogue, FactKey, FactKind, FactSpec, list_for};
use crate::vocabulary::Subject;

/// How the instants of the catalogue's examples end, and how long their days are.
const SECONDS_AND_OFFSET: &str = ":00-06:00";
const LENGTH_OF_DAY: usize = "2026-03-04".len();

/// The line of an entry of a section of the shop file that states a fact, with its example; nothing where an entry of
/// it takes no such fact, and for a log, which has rows.
pub fn entry_line(catalogue: &Catalogue, key: FactKey, section: &str) -> Option<String> {
    let spec = catalogue.spec(key).filter(|spec| !matches!(spec.kind, FactKind::Log(_)))?;
    let entries = SECTIONS.iter().find(|known| known.key == section);
    let (base, of_a_day) = match entries {
        Some(known) if known.subject == key.subject && known.takes(key, spec) => (known.base, false),
        Some(known) if **known == MATERIALS && mix_takes(key, spec) => (known.base, false),
        // Who looked at the cage, and when, is said of the round.
        None if section == sheets::DAYS && day_takes(key, spec) && !is_look_at_cage(key) => ("", true),
        None if section == sheets::ROUNDS && round_takes(key, spec) => ("", true),
        _ => return None,
    };
    let below = spec.name.strip_prefix(base).unwrap_or(&spec.name);
    Some(nested(below, &with_short_times(&spec.example, of_a_day)))
}

/// The section of a shop file in which something stands: the last key without indentation ahead of it.
pub fn section_around(ahead: &str) -> Option<&str> {
    let mut keys = ahead.rsplit('\n').filter(|line| line.starts_with(|first: char| first.is_ascii_lowercase()));
    keys.next()?.split(':').next()
}

/// The line by which a record says a later reading of what the sheet of a day says, with room for its values.
pub fn later_reading(catalogue: &Catalogue, key: FactKey) -> Option<String> {
    let spec = catalogue.spec(key).filter(|_| is_read_each_day(catalogue, key))?;
    let below = spec.name.rsplit_once('.').map_or("", |(group, _)| group);
    let line = again(spec.name.rsplit('.').next()?, spec);
    Some(if key.subject == Subject::Component || below.is_empty() {
        line
    } else {
        nested(below, &format!("{{{line}}}"))
    })
}

/// Whether a fact is a reading that the sheet of a day has.
pub(super) fn is_read_each_day(catalogue: &Catalogue, key: FactKey) -> bool {
    let spec = catalogue.spec(key).filter(|spec| matches!(spec.kind, FactKind::Reading(_)));
    spec.is_some_and(|spec| day_takes(key, spec)) && Home::of(catalogue, key) == Home::Day
}

/// A later reading behind its key.
pub(super) fn again(key: &str, spec: &FactSpec) -> String {
    let list = if let FactKind::Reading(dimension) = spec.kind { list_for(dimension) } else { None };
    let with = list.map(|list| format!(", {}: ", list.word())).unwrap_or_default();
    format!("{key}: {{reading: , at: {with}}}")
}

/// The instants of a text as times of the day, with their day where they stand on none.
pub(super) fn with_short_times(text: &str, of_a_day: bool) -> String {
    let mut parts = text.split(SECONDS_AND_OFFSET).peekable();
    let mut short = String::new();
    while let Some(part) = parts.next() {
        match part.rsplit_once('T').filter(|_| parts.peek().is_some()) {
            Some((before, time)) => {
                let cut = before.len().saturating_sub(if of_a_day { LENGTH_OF_DAY } else { 0 });
                short.push_str(before.get(..cut).unwrap_or(before));
                short.push_str(if of_a_day { "" } else { " " });
                short.push_str(time);
            }
            None => short.push_str(part),
        }
    }
    short
}

/// A value at a dotted place, in one line.
fn nested(place: &str, value: &str) -> String {
    let mut keys = place.rsplit('.');
    // In braces a comma would end a text.
    let is_cut = place.contains('.') && value.contains(',') && !value.starts_with(['[', '{', '"']);
    let value = if is_cut { &format!("\"{value}\"") } else { value };
    let last = format!("{}: {value}", keys.next().unwrap_or_default());
    keys.fold(last, |line, key| format!("{key}: {{{line}}}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::catalogue::{component, instruments, job, person};

    #[test]
    fn a_fact_stands_as_it_is_written_in_its_entry() {
        let catalogue = Catalogue::default();
        for (key, section, due) in [
            (job::HUMIDITY_MOST, "materials", Some("mix: {humidity_most: 80 %RH}")),
            (job::AIR_DEW_POINT, "places", Some("air_stage: {dew_point: 35 degF}")),
            (component::SHEET_LEAST, "materials", Some("sheet: {least: 65 degF}")),
            (instruments::gauge::RANGE_FROM, "gauges", Some("range: {from: 0 psi}")),
            (job::PUMP_HOSE_RATING, "pumps", Some("hose_rating: 25 MPa")),
            (job::PUMP_HOSE_RATING, "cages", None),
            (person::PROTECTION, "crew", None),
            (person::PROTECTION, "days", Some("protection: [gloves, eye protection, coveralls]")),
            (job::CAGE_INSPECTED_BY, "days", None),
            (component::WARMING, "lots", None),
        ] {
            assert_eq!(entry_line(&catalogue, key, section).as_deref(), due, "{section}");
        }
    }

    #[test]
    fn a_later_reading_has_its_time_and_its_instrument() {
        let catalogue = Catalogue::default();
        for (key, due) in [
            (component::CORE_TEMPERATURE, Some("core_temperature: {reading: , at: , thermometer: }")),
            (job::WORKSPACE_HUMIDITY, Some("workspace: {humidity: {reading: , at: }}")),
            (job::AIR_DEW_POINT, None),
            (component::ON_HAND, None),
        ] {
            assert_eq!(later_reading(&catalogue, key).as_deref(), due);
        }
    }
}
