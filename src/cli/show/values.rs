//! Values of a signed file in words: ends between which they lie, days with times and offsets, scales.
//!
//! What a file writes otherwise than the program would stays as it is. This module must not know facts or rules.

use fillward::checklist::evidence::WrittenValue;
use fillward::units::{Day, Instant};

/// How the values of a line are told.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct ValueTelling<'t> {
    /// The instant of the judgement as the file has it: its day and offset are those of times that have none.
    pub(super) judged_at: &'t str,
    /// The scale of bare numbers, where they are not counted.
    pub(super) scale: &'static str,
}

impl ValueTelling<'_> {
    /// The values of several subjects, one after the other.
    pub(super) fn values(self, values: &[WrittenValue]) -> String {
        values.iter().map(|value| self.value(value)).collect::<Vec<_>>().join("; ")
    }

    pub(super) fn value(self, value: &WrittenValue) -> String {
        match value {
            WrittenValue::Null => "not recorded".to_owned(),
            WrittenValue::Flag(true) => "yes".to_owned(),
            WrittenValue::Flag(false) => "no".to_owned(),
            WrittenValue::Words(words) if words.is_empty() => "none".to_owned(),
            WrittenValue::Number { shown, ends, unit } => self.number(shown.as_deref(), ends.as_ref(), unit),
            WrittenValue::Moment(text) => self.moment(text),
            WrittenValue::Ahead(at) => format!("dated {}, after the check", self.moment(at)),
            WrittenValue::Log(rows) if rows == "1" => "a log of one row".to_owned(),
            WrittenValue::Log(rows) => format!("a log of {rows} rows"),
            WrittenValue::Obstacle(why) => format!("cannot be worked out ({})", why.replace('-', " ")),
            WrittenValue::Text(_) | WrittenValue::Words(_) => value.to_string(),
        }
    }

    fn number(self, shown: Option<&str>, ends: Option<&[String; 2]>, unit: &str) -> String {
        let unit = match unit {
            "degF" => "°F",
            "degC" => "°C",
            "" => self.scale,
            unit => unit,
        };
        let with_unit = |number: &str| if unit.is_empty() { number.to_owned() } else { format!("{number} {unit}") };
        let between = ends.map(|[low, high]| format!("between {low} and {}", with_unit(high)));
        match (shown.map(with_unit), between) {
            (Some(shown), Some(between)) => format!("{shown} ({between})"),
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => String::new(),
        }
    }

    /// A day, or an instant with its day and its offset.
    pub(super) fn moment(self, text: &str) -> String {
        if let Ok(day) = Day::parse(text) {
            return day.to_string();
        }
        Instant::parse(&self.whole(text)).map_or_else(|_| text.to_owned(), |at| at.to_string())
    }

    /// An instant with the day and the offset of the judgement, where a line leaves them out.
    fn whole(self, text: &str) -> String {
        let Some((day, time)) = self.judged_at.split_once('T') else { return text.to_owned() };
        let offset = time.find(['Z', '+', '-']).and_then(|start| time.get(start..)).unwrap_or_default();
        match (text.contains('T'), text.len()) {
            (false, 5) => format!("{day}T{text}:00{offset}"),
            (true, 16) => format!("{text}:00{offset}"),
            _ => text.to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_told_with_unit_day_and_scale() {
        let telling = ValueTelling { judged_at: "2026-03-04T09:30:00-06:00", scale: "" };
        for (written, due) in [
            ("58 psi [57.6, 58.4]", "58 psi (between 57.6 and 58.4 psi)"),
            ("68 degF [67.5, 68.5]", "68 °F (between 67.5 and 68.5 °F)"),
            ("[24.1, 24.7] degC", "between 24.1 and 24.7 °C"),
            ("[720, 1275]", "between 720 and 1275"),
            ("16", "16"),
            ("07:45", "4 March 2026 07:45 (-06:00)"),
            ("2026-03-03T16:10", "3 March 2026 16:10 (-06:00)"),
            ("2026-03-03T16:10:00Z", "3 March 2026 16:10 (+00:00)"),
            ("2027-08-26", "26 August 2027"),
            ("ahead 2026-03-05T08:00:00-06:00", "dated 5 March 2026 08:00 (-06:00), after the check"),
            ("log 1", "a log of one row"),
            ("log 12", "a log of 12 rows"),
            ("obstacle no-number-in-grade", "cannot be worked out (no number in grade)"),
            ("[]", "none"),
            ("true", "yes"),
            ("'07:45'", "'07:45'"),
        ] {
            assert_eq!(telling.value(&WrittenValue::read(written).unwrap()), due);
        }
        let shore = ValueTelling { scale: "Shore A", ..telling };
        assert_eq!(shore.value(&WrittenValue::read("52").unwrap()), "52 Shore A");
        // Where a file does not say when it was judged, a time stays as it is written.
        assert_eq!(ValueTelling::default().moment("07:45"), "07:45");
        assert_eq!(ValueTelling { judged_at: "x", scale: "" }.moment("07:45"), "07:45");
    }
}
