//! Lines of evidence in words, as far as that needs no judgement: facts in trade words, tests without underlines.
//!
//! The notation is that of `schemas/CHECKLIST.md`. A text of the record stays as it is. This module must not know rules.

use std::collections::BTreeMap;

use fillward::checklist::body::{ChecklistBody, Figures, met};
use fillward::pack::test::Row;

/// What lines leave out because it stands elsewhere in the file.
#[derive(Debug, Default)]
pub(crate) struct Told<'b> {
    /// The computed figures.
    figures: Option<&'b Figures>,
    /// The facts that met a rule, and their values.
    facts: BTreeMap<String, Vec<String>>,
}

impl<'b> Told<'b> {
    pub(super) fn of(body: &'b ChecklistBody) -> Self {
        let mut facts = BTreeMap::<String, Vec<String>>::new();
        let met = [met::each(&body.findings.ruled_out), met::each_value(&body.findings.values)].concat();
        for line in met.iter().flat_map(|part| &part.shown) {
            let mut said = tokens(line).into_iter();
            let Some(fact) = said.next().filter(|fact| figure(fact).is_none()) else { continue };
            let value: Vec<String> = said.take_while(|token| Row::find(token).is_none()).map(spoken).collect();
            let values = facts.entry(fact.to_owned()).or_default();
            if !value.is_empty() && !values.contains(&value.join(" ")) {
                values.push(value.join(" "));
            }
        }
        Self { figures: Some(&body.figures), facts }
    }

    fn word(&self, token: &str, after_test: bool) -> String {
        if let Some((subject, name)) = figure(token) {
            let name = plain(name);
            let values =
                self.figures.map(|figures| values(figures, subject, token)).filter(|values| !values.is_empty());
            return match values {
                Some(values) => format!("{name} (computed: {})", values.join("; ")),
                None => format!("{name} (computed)"),
            };
        }
        match self.facts.get(token).filter(|values| after_test && !values.is_empty()) {
            Some(values) => format!("{} ({})", plain(token), values.join("; ")),
            None => spoken(token),
        }
    }
}

/// A line in words. Figures, and bounds whose values the line leaves out, stand with what is told of them.
pub(crate) fn words(line: &str, told: &Told<'_>) -> String {
    let (line, outcome) = match (line.strip_suffix(" = false"), line.strip_suffix(" = unknown")) {
        (Some(line), _) => (line, ": not so"),
        (_, Some(line)) => (line, ": cannot be told"),
        (None, None) => (line, ""),
    };
    let said = tokens(line);
    let Some((fact, rest)) = said.split_first() else { return outcome.to_owned() };
    let before = said.iter().map(|token| Row::find(token).is_some());
    let rest: Vec<String> = rest.iter().zip(before).map(|(token, after_test)| told.word(token, after_test)).collect();
    let colon = if rest.is_empty() || figure(fact).is_some() { "" } else { ":" };
    let fact = if figure(fact).is_some() { told.word(fact, false) } else { plain(fact) };
    [vec![format!("{fact}{colon}")], rest].concat().join(" ") + outcome
}

/// The names of limits in a line.
pub(super) fn limits(line: &str) -> impl Iterator<Item = &str> {
    tokens(line).into_iter().filter_map(|token| token.strip_prefix('(')?.strip_suffix(')'))
}

/// The parts of a line: a text in single quotes is one, with what follows up to the next blank.
fn tokens(line: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let (mut start, mut quoted) = (0, false);
    for (place, c) in line.char_indices() {
        match c {
            '\'' => quoted = !quoted,
            ' ' if !quoted => {
                found.extend(line.get(start..place).filter(|token| !token.is_empty()));
                start = place + 1;
            }
            _ => {}
        }
    }
    found.extend(line.get(start..).filter(|token| !token.is_empty()));
    found
}

/// A part of a line that is no figure.
fn spoken(token: &str) -> String {
    if token.contains('\'') {
        return token.to_owned();
    }
    let bare = token.trim_end_matches(';');
    let put = |word: &str| format!("{word}{}", token.strip_prefix(bare).unwrap_or_default());
    match bare {
        "null" => put("not recorded"),
        "[]" => put("none"),
        "true" => put("yes"),
        "false" => put("no"),
        "degF" => put("°F"),
        "degC" => put("°C"),
        _ if bare.starts_with('(') => put(&bare.replacen('(', "(limit ", 1)),
        _ if is_place(bare) => put(&plain(bare)),
        _ => token.to_owned(),
    }
}

/// A place in the record, or a word of the rule language: small letters, and no number.
fn is_place(token: &str) -> bool {
    token.contains(['_', '.', '[']) && token.starts_with(|c: char| c == '.' || c.is_ascii_lowercase())
}

/// The subject and the name of a computed figure.
fn figure(token: &str) -> Option<(&str, &str)> {
    let (subject, name) = token.rsplit_once("figure.")?;
    (subject.is_empty() || subject.ends_with('.')).then_some((subject.trim_end_matches('.'), name))
}

/// The values of a figure: of its subject, where it names one, else of each that has it.
fn values<'f>(figures: &'f Figures, subject: &str, token: &str) -> Vec<&'f str> {
    let name = token.rsplit('.').next().unwrap_or_default();
    let relative = token.starts_with('.');
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
            ("assemblies[0]".to_owned(), [("lowest_rating".to_owned(), "70 psi".to_owned())].into()),
            (String::new(), [("pump_cycles".to_owned(), "[720, 1275]".to_owned())].into()),
        ]);
        let facts = BTreeMap::from([(".target.pressure".to_owned(), vec!["58 psi [57.6, 58.4]".to_owned()])]);
        let told = Told { figures: Some(&figures), facts };
        for (line, due) in [
            (
                "gauges[0].range.to 100 psi at_least .target.pressure",
                "gauges[0] range to: 100 psi at least target pressure (58 psi [57.6, 58.4])",
            ),
            (
                ".target.pressure 58 psi [57.6, 58.4] at_most 78 psi .rim.rating",
                "target pressure: 58 psi [57.6, 58.4] at most 78 psi rim rating",
            ),
            (
                "air_stage.stand_off 9 ft at_least 10 ft (stand_off) = false",
                "air stage stand off: 9 ft at least 10 ft (limit stand_off): not so",
            ),
            (".wheel.faults []", "wheel faults: none"),
            (
                ".tyre.casing.damage null for_each = unknown",
                "tyre casing damage: not recorded for each: cannot be told",
            ),
            (".lot 'PS_1 = false'; 'it''s = false'", "lot: 'PS_1 = false'; 'it''s = false'"),
            (
                ".core_temperature 75.2 degF [74.7, 75.7]; 74.6 degF at_least 72 degF (a/b)",
                "core temperature: 75.2 °F [74.7, 75.7]; 74.6 °F at least 72 °F (limit a/b)",
            ),
            (
                ".target.operating_pressure 57 psi at_most .figure.lowest_rating",
                "target operating pressure: 57 psi at most lowest rating (computed: 70 psi)",
            ),
            (
                "pump.mixer_cycles_left 4200 at_least figure.pump_cycles",
                "pump mixer cycles left: 4200 at least pump cycles (computed: [720, 1275])",
            ),
            (".figure.tyre_maximum", "tyre maximum (computed)"),
            ("cure.flat true", "cure flat: yes"),
        ] {
            assert_eq!(words(line, &told), due);
        }
        assert_eq!(
            words("a.b 2 at_most 3 psi .figure.lowest_rating", &Told::default()),
            "a b: 2 at most 3 psi lowest rating (computed)"
        );
        let named: Vec<&str> = limits("x '(no)' at_most 3 (one) at_least 4 (pack/two)").collect();
        assert_eq!(named, ["one", "pack/two"]);
    }
}
