//! Lines of evidence in words, as far as that needs no judgement: facts in trade words, tests without underlines.
//!
//! Lines are read by the reader of the notation that `schemas/CHECKLIST.md` describes; one that it does not read stays as it
//! is, and so does a text of the record. This module must not know rules.

use std::collections::BTreeMap;

use fillward::checklist::body::{ChecklistBody, Figures, met};
use fillward::checklist::evidence::{AskedOfFact, EvidenceLine, NotSo, WrittenBound, WrittenOrigin, WrittenValue};

/// What lines leave out because it stands elsewhere in the file.
#[derive(Debug, Default)]
pub(crate) struct ToldElsewhere<'b> {
    /// The computed figures.
    figures: Option<&'b Figures>,
    /// The facts that met a rule, and their values.
    facts: BTreeMap<String, Vec<String>>,
}

impl<'b> ToldElsewhere<'b> {
    pub(super) fn of(body: &'b ChecklistBody) -> Self {
        let mut facts = BTreeMap::<String, Vec<String>>::new();
        let met = [met::each(&body.findings.ruled_out), met::each_value(&body.findings.values)].concat();
        for line in met.iter().flat_map(|part| &part.shown).filter_map(|line| EvidenceLine::read(line)) {
            let said = values_in_words(own_values(&line));
            let values = facts.entry(line.fact).or_default();
            if !said.is_empty() && !values.contains(&said) {
                values.push(said);
            }
        }
        Self { figures: Some(&body.figures), facts }
    }

    /// A figure with its value.
    fn figure(&self, (subject, name): (&str, &str), place: &str) -> String {
        let name = plain(name);
        let Some(found) = self.figures.map(|figures| values(figures, subject, place)).filter(|of| !of.is_empty())
        else {
            return format!("{name} (computed)");
        };
        let said: Vec<String> = found.into_iter().map(figure_in_words).collect();
        if said.iter().all(|value| value.starts_with(NOT_COMPUTED)) {
            format!("{name} ({})", said.join("; "))
        } else {
            format!("{name} (computed: {})", said.join("; "))
        }
    }

    /// What a bound is made of; a fact with its value, where the bound has none of its own.
    fn origin(&self, origin: &WrittenOrigin, alone: bool) -> String {
        let place = match origin {
            WrittenOrigin::Limit(name) => return format!("(limit {name})"),
            WrittenOrigin::Place(place) => place,
        };
        if let Some(found) = figure(place) {
            return self.figure(found, place);
        }
        match self.facts.get(place).filter(|values| alone && !values.is_empty()) {
            Some(values) => format!("{} ({})", plain(place), values.join("; ")),
            None => plain(place),
        }
    }

    fn bound(&self, WrittenBound { value, origins }: &WrittenBound) -> String {
        let alone = value.is_none();
        let said = value.iter().map(value_in_words).chain(origins.iter().map(|origin| self.origin(origin, alone)));
        said.collect::<Vec<_>>().join(" ")
    }

    fn asked(&self, AskedOfFact { test, bounds, not_so }: &AskedOfFact) -> String {
        let bounds: Vec<String> = bounds.iter().map(|bound| self.bound(bound)).collect();
        let blank = if bounds.is_empty() { "" } else { " " };
        let asked = format!("{}{blank}{}", plain(test), bounds.join(", "));
        let outcome = match not_so {
            None => return asked,
            Some(NotSo::False) => "it is not so",
            Some(NotSo::Unknown) => "that cannot be told",
        };
        // Beside a value a bare negation would read as one of the value.
        format!("(asked: {asked}; {outcome})")
    }
}

/// A line in words. Figures, and bounds whose values the line leaves out, stand with what is told of them.
pub(crate) fn line_in_words(line: &str, told: &ToldElsewhere<'_>) -> String {
    let Some(EvidenceLine { fact, values, asked }) = EvidenceLine::read(line) else { return line.to_owned() };
    let asked = asked.iter().map(|asked| told.asked(asked));
    let values = (!values.is_empty()).then(|| values_in_words(&values));
    let said: Vec<String> = values.into_iter().chain(asked).collect();
    let (fact, colon) = match figure(&fact) {
        Some(found) => (told.figure(found, &fact), ""),
        None => (plain(&fact), if said.is_empty() { "" } else { ":" }),
    };
    std::iter::once(format!("{fact}{colon}")).chain(said).collect::<Vec<_>>().join(" ")
}

/// The names of limits in a line.
pub(super) fn limits(line: &str) -> Vec<String> {
    let asked = EvidenceLine::read(line).map(|line| line.asked).unwrap_or_default();
    let origins = asked.into_iter().flat_map(|asked| asked.bounds).flat_map(|bound| bound.origins);
    let name = |origin| match origin {
        WrittenOrigin::Limit(name) => Some(name),
        WrittenOrigin::Place(_) => None,
    };
    origins.filter_map(name).collect()
}

/// The values of the fact of a line; of one that must be one thing, and is, that one.
fn own_values(line: &EvidenceLine) -> &[WrittenValue] {
    match line.asked.first().map(|asked| (asked.test.as_str(), asked.bounds.as_slice())) {
        Some(("is", [WrittenBound { value: Some(value), .. }])) if line.values.is_empty() => {
            std::slice::from_ref(value)
        }
        _ => &line.values,
    }
}

fn values_in_words(values: &[WrittenValue]) -> String {
    values.iter().map(value_in_words).collect::<Vec<_>>().join("; ")
}

fn value_in_words(value: &WrittenValue) -> String {
    match value {
        WrittenValue::Null => "not recorded".to_owned(),
        WrittenValue::Flag(true) => "yes".to_owned(),
        WrittenValue::Flag(false) => "no".to_owned(),
        WrittenValue::Words(words) if words.is_empty() => "none".to_owned(),
        WrittenValue::Number { shown, ends, unit } => {
            let unit = match unit.as_str() {
                "degF" => "°F".to_owned(),
                "degC" => "°C".to_owned(),
                unit => unit.to_owned(),
            };
            WrittenValue::Number { shown: shown.clone(), ends: ends.clone(), unit }.to_string()
        }
        value => value.to_string(),
    }
}

/// How what could not be computed is told.
const NOT_COMPUTED: &str = "not computed";

/// The value of a figure as the file has it; of one that could not be computed, the place of what was missing.
fn figure_in_words(value: &str) -> String {
    match value.strip_prefix("null") {
        Some(why) if why.trim().is_empty() => NOT_COMPUTED.to_owned(),
        Some(why) => format!("{NOT_COMPUTED}: {}", plain(why.trim())),
        None => value.to_owned(),
    }
}

/// The subject and the name of a computed figure.
fn figure(place: &str) -> Option<(&str, &str)> {
    let (subject, name) = place.rsplit_once("figure.")?;
    (subject.is_empty() || subject.ends_with('.')).then_some((subject.trim_end_matches('.'), name))
}

/// The values of a figure: of its subject, where the place names one, else of each that has it.
fn values<'f>(figures: &'f Figures, subject: &str, place: &str) -> Vec<&'f str> {
    let name = place.rsplit('.').next().unwrap_or_default();
    let relative = place.starts_with('.');
    let of = figures.iter().filter(|(place, _)| relative || *place == subject);
    let mut found: Vec<&str> = of.filter_map(|(_, of)| of.get(name)).map(String::as_str).collect();
    found.dedup();
    found
}

/// A place in trade words.
fn plain(place: &str) -> String {
    place.trim_start_matches('.').replace("pre_stretch", "pre-stretch").replace(['_', '.'], " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_put_into_words() {
        let figures = Figures::from([
            (
                "assemblies[0]".to_owned(),
                [
                    ("lowest_rating".to_owned(), "70 psi".to_owned()),
                    ("diameter_of_alike".to_owned(), "null .tyre.overall_diameter".to_owned()),
                ]
                .into(),
            ),
            (String::new(), [("pump_cycles".to_owned(), "[720, 1275]".to_owned())].into()),
        ]);
        let facts = BTreeMap::from([(".target.pressure".to_owned(), vec!["58 psi [57.6, 58.4]".to_owned()])]);
        let told = ToldElsewhere { figures: Some(&figures), facts };
        for (line, due) in [
            (
                "gauges[0].range.to 100 psi >= .target.pressure",
                "gauges[0] range to: 100 psi at least target pressure (58 psi [57.6, 58.4])",
            ),
            (
                ".target.pressure 58 psi [57.6, 58.4] <= 78 psi .rim.rating",
                "target pressure: 58 psi [57.6, 58.4] at most 78 psi rim rating",
            ),
            (
                "air_stage.stand_off 9 ft >= 10 ft (stand_off) = false",
                "air stage stand off: 9 ft (asked: at least 10 ft (limit stand_off); it is not so)",
            ),
            (".wheel.faults []", "wheel faults: none"),
            ("workspace.spill_kit is true", "workspace spill kit: is yes"),
            (
                ".rim.width 5 in <= 6 in (most) > 4 in (least)",
                "rim width: 5 in at most 6 in (limit most) above 4 in (limit least)",
            ),
            (".seated.at 08:25 read_within 12 h (shift)", "seated at: 08:25 read within 12 h (limit shift)"),
            (
                ".tyre.casing.damage null for_each = unknown",
                "tyre casing damage: not recorded (asked: for each; that cannot be told)",
            ),
            (".lot 'PS_1 = false'; 'it''s = false'", "lot: 'PS_1 = false'; 'it''s = false'"),
            (
                ".core_temperature 75.2 degF [74.7, 75.7]; 74.6 degF >= 72 degF (a/b)",
                "core temperature: 75.2 °F [74.7, 75.7]; 74.6 °F at least 72 °F (limit a/b)",
            ),
            (
                ".target.operating_pressure 57 psi <= .figure.lowest_rating",
                "target operating pressure: 57 psi at most lowest rating (computed: 70 psi)",
            ),
            (
                "pump.mixer_cycles_left 4200 >= figure.pump_cycles",
                "pump mixer cycles left: 4200 at least pump cycles (computed: [720, 1275])",
            ),
            (".figure.tyre_maximum", "tyre maximum (computed)"),
            (".figure.diameter_of_alike", "diameter of alike (not computed: tyre overall diameter)"),
            (
                ".rim.kind 'multi-piece' is_not 'multi-piece' = false",
                "rim kind: 'multi-piece' (asked: is not 'multi-piece'; it is not so)",
            ),
            ("cure.flat true", "cure flat: yes"),
        ] {
            assert_eq!(line_in_words(line, &told), due);
        }
        assert_eq!(
            line_in_words("a.b 2 <= 3 psi .figure.lowest_rating", &ToldElsewhere::default()),
            "a b: 2 at most 3 psi lowest rating (computed)"
        );
        let named = limits("x '(no)' <= 3 (one) >= 4 (pack/two)");
        assert_eq!(named, ["one", "pack/two"]);
    }
}
