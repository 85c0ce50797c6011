//! What was asked of a fact, in words: tests as reports say them, and bounds with what they are made of.
//!
//! This module must not know rules.

use fillward::checklist::evidence::{AskedOfFact, NotSo, WrittenBound, WrittenOrigin, WrittenValue};
use fillward::desk::LimitUse;
use fillward::document::prose::name_in_words;
use fillward::pack::test::{Relation, Takes, WasAsked};
use fillward::units::Quantity;

use super::super::values::ValueTelling;
use super::{SaidBehind, ToldElsewhere, figure};

impl ToldElsewhere<'_> {
    /// What was asked, and that it is not so.
    pub(super) fn asked(&self, asked: &AskedOfFact, telling: ValueTelling<'_>, of_moments: bool) -> SaidBehind {
        let AskedOfFact { test, bounds, not_so } = asked;
        let test = *test;
        let bounds: Vec<String> = bounds.iter().map(|bound| self.bound(bound, test, telling)).collect();
        let row = match test {
            WasAsked::Test(row) => Some(row),
            WasAsked::Each | WasAsked::Some => None,
        };
        let listed = || bounds.join(", ");
        let said = match row.map(|row| (row.relation, row.takes)) {
            Some((Relation::Equal(true), Takes::Values(_))) => format!("one of {}", listed()),
            Some((Relation::Equal(false), Takes::Values(_))) => format!("none of {}", listed()),
            Some((Relation::Fresh, _)) => format!("no older than {} at the start", listed()),
            // The bound says only whether, not what.
            Some((Relation::Recorded, _)) if bounds == ["no"] => "not recorded".to_owned(),
            Some((Relation::Recorded, _)) => "recorded".to_owned(),
            // What must not be one thing is met by another, which stands beside it.
            Some((Relation::Equal(true), _)) if self.as_demanded && *not_so == Some(NotSo::False) => listed(),
            Some((Relation::Equal(_) | Relation::Within(_), _)) => {
                let says = row.map_or("", |row| row.says(of_moments));
                let put = |said: String, (place, bound): (usize, &String)| said.replace(&format!("{{{place}}}"), bound);
                bounds.iter().enumerate().fold(says.to_owned(), put)
            }
            // A word that stands for a part of a condition.
            None => [vec![name_in_words(test.word())], bounds].concat().join(" "),
        };
        match not_so {
            None => SaidBehind::comma(said),
            Some(NotSo::False) if self.as_demanded => SaidBehind::comma(format!("not {said}")),
            // Beside a value a bare negation would read as one of the value.
            Some(NotSo::False) => SaidBehind::in_brackets(&format!("asked: {said}; it is not so")),
            Some(NotSo::Unknown) => SaidBehind::in_brackets(&format!("asked: {said}; that cannot be told")),
        }
    }

    /// A bound with what it is made of.
    fn bound(
        &self,
        WrittenBound { value, origins }: &WrittenBound,
        test: WasAsked,
        telling: ValueTelling<'_>,
    ) -> String {
        let Some(value) = value.as_ref().map(|value| match value {
            WrittenValue::Number { shown: None, ends: Some(_), .. } => format!("a value {}", telling.value(value)),
            value => telling.value(value),
        }) else {
            return self.made_of(origins, true, (test, telling)).unwrap_or_default();
        };
        match (origins.as_slice(), self.made_of(origins, false, (test, telling))) {
            ([WrittenOrigin::Limit(name)], _) => format!("{value} (limit {name})"),
            (_, None) => value,
            ([_], Some(place)) => format!("{value}, {place}"),
            (_, Some(made)) => format!("{value}, which is {made}"),
        }
    }

    /// What a bound is made of: a fact, and the limits that it is multiplied by or moved by.
    fn made_of(&self, origins: &[WrittenOrigin], alone: bool, of: (WasAsked, ValueTelling<'_>)) -> Option<String> {
        let (first, further) = origins.split_first()?;
        let mut made = match first {
            WrittenOrigin::Limit(name) => self.limit(name, of).0,
            WrittenOrigin::Place(place) => self.place(place, alone),
        };
        for origin in further {
            made = match origin {
                WrittenOrigin::Place(place) => format!("{made} and {}", self.place(place, false)),
                WrittenOrigin::Limit(name) => match self.limit(name, of) {
                    (share, Some(LimitUse::Share)) => format!("{share} of {made}"),
                    (more, Some(LimitUse::Added)) => format!("{made} plus {more}"),
                    (less, Some(LimitUse::TakenAway)) => format!("{made} less {less}"),
                    (limit, Some(LimitUse::Alone) | None) => format!("{made} with {limit}"),
                },
            };
        }
        Some(made)
    }

    /// A limit with its value, as far as it can be told, and how bounds are made with it.
    fn limit(&self, name: &str, (test, telling): (WasAsked, ValueTelling<'_>)) -> (String, Option<LimitUse>) {
        match self.limits.get(name) {
            Some(then) => {
                let (mut value, mut used) = (then.value, then.used(test));
                // What is added and lies below nothing is taken away.
                if used == Some(LimitUse::Added)
                    && value.value().is_negative()
                    && let Some(less) = Quantity::new(value.value().abs(), value.unit())
                {
                    (value, used) = (less, Some(LimitUse::TakenAway));
                }
                let is_scale = value.unit().pretty().is_empty() && used != Some(LimitUse::Share);
                let scale =
                    if is_scale && !telling.scale.is_empty() { format!(" {}", telling.scale) } else { String::new() };
                (format!("{value}{scale} (limit {name})"), used)
            }
            None => (format!("the limit {name}"), None),
        }
    }

    /// A fact or a figure with its value, where the bound has none of its own.
    fn place(&self, place: &str, alone: bool) -> String {
        match place {
            "judgement" => return "the time of the check".to_owned(),
            "start" => return "the start".to_owned(),
            "today" => return "the day of the start".to_owned(),
            _ => {}
        }
        if let Some(found) = figure(place) {
            return self.figure(found, place);
        }
        match self.facts.get(place).filter(|values| alone && !values.is_empty()) {
            Some(values) => format!("{} ({})", name_in_words(place), values.join("; ")),
            None => name_in_words(place),
        }
    }
}
