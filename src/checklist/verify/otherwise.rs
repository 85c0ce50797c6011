//! What another edition or build of the program worked out otherwise: findings and figures compared as data.
//!
//! Facts, their values, tests, bounds with what they are made of, and outcomes are the same no matter who judged. Only
//! the value of a figure that differs in the list of figures may differ, and that of a bound made of such a figure:
//! each at its own place, of its own sort and unit, and each is told with both values. Must not know signatures, or how
//! a value is worked out.

use std::collections::BTreeSet;

use crate::checklist::body::met::{SeenFact, Values};
use crate::checklist::body::{FaultPart, Figures, Findings};
use crate::checklist::evidence::{EvidenceLine, WrittenBound, WrittenOrigin, WrittenValue};
use crate::checklist::reason::{FindingDiffers, JudgedDiffers};
use crate::pack::test::WasAsked;

/// A value that another edition or build of the program had worked out otherwise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Otherwise {
    /// Of what: the place of a figure, or a fact with what was asked of it and what the bound is made of.
    pub place: String,
    /// The value in the file.
    pub then: String,
    /// The value as it comes out now.
    pub now: String,
    /// Name and edition of the program that judged.
    pub by: String,
}

/// A figure that differs: the place of its subject and its name.
type Differing = (String, String);

/// What a file says and what comes out now.
pub(super) struct Comparing<'c> {
    /// The figures of the file.
    figures: &'c Figures,
    differing: Vec<Differing>,
    found: Vec<Otherwise>,
    by: String,
}

impl<'c> Comparing<'c> {
    /// Compares the figures.
    ///
    /// # Errors
    /// A figure that only one side has, or that is no value of the same sort.
    pub(super) fn of(then: &'c Figures, now: &Figures, by: String) -> Result<Self, JudgedDiffers> {
        let mut comparing = Self { figures: then, differing: Vec::new(), found: Vec::new(), by };
        let all = |of: &Figures| -> BTreeSet<Differing> {
            of.iter().flat_map(|(subject, of)| of.keys().map(|name| (subject.clone(), name.clone()))).collect()
        };
        let differ = |place: &str| Err(JudgedDiffers::Figure(place.to_owned()));
        let (own, again) = (all(then), all(now));
        if let Some(odd) = own.symmetric_difference(&again).next() {
            return differ(&place_of(odd));
        }
        if let Some(odd) = then.keys().find(|subject| !now.contains_key(*subject)) {
            return differ(odd);
        }
        for figure in own {
            let (found, due) = (told(then, &figure).unwrap_or_default(), told(now, &figure).unwrap_or_default());
            if found == due {
                continue;
            }
            // What could be computed by one edition alone, or not for another reason, is no other value.
            let read = WrittenValue::read(found).zip(WrittenValue::read(due));
            if !read.is_some_and(|(found, due)| found.is_of_the_sort_of(&due)) {
                return differ(&place_of(&figure));
            }
            comparing.tell(place_of(&figure), found, due);
            comparing.differing.push(figure);
        }
        Ok(comparing)
    }

    fn tell(&mut self, place: String, then: &str, now: &str) {
        let (then, now) = (then.to_owned(), now.to_owned());
        let otherwise = Otherwise { place, then, now, by: self.by.clone() };
        if !self.found.contains(&otherwise) {
            self.found.push(otherwise);
        }
    }

    /// Compares the findings, and gives everything that differs and may.
    ///
    /// # Errors
    /// The first finding that differs.
    pub(super) fn findings(mut self, then: &Findings, now: &Findings) -> Result<Vec<Otherwise>, JudgedDiffers> {
        // Lines as of now beside a list of other figures are of no edition either.
        if then != now || !self.differing.is_empty() {
            self.compare(then, now).map_err(JudgedDiffers::Finding)?;
        }
        Ok(self.found)
    }

    fn compare(&mut self, then: &Findings, now: &Findings) -> Result<(), FindingDiffers> {
        let named = |fault: &FaultPart| FindingDiffers::Fault { rule: fault.rule.clone(), of: fault.subject_name() };
        let (faults, due) = (then.each_fault(), now.each_fault());
        for pair in pairs(&faults, &due) {
            let (found, due) = pair.map_err(named)?;
            let (applies, shown) = (due.applies.clone(), due.shown.clone());
            if (FaultPart { applies, shown, ..found.clone() }) != *due {
                return Err(named(due));
            }
            for (found, of_now) in [(&found.applies, &due.applies), (&found.shown, &due.shown)] {
                self.lines(found, of_now, Some(&due.subject)).ok_or_else(|| named(due))?;
            }
        }
        self.ruled_out(&then.ruled_out, &now.ruled_out)?;
        self.values(&then.values, &now.values)
    }

    fn ruled_out(&mut self, then: &[SeenFact], now: &[SeenFact]) -> Result<(), FindingDiffers> {
        let gathered = |seen: &SeenFact| FindingDiffers::Gathered { fact: seen.fact.clone() };
        for pair in pairs(then, now) {
            let (found, due) = pair.map_err(gathered)?;
            self.line(&found.fact, &due.fact, None).ok_or_else(|| gathered(due))?;
            let name = |rule: &Vec<String>| rule.first().cloned().unwrap_or_default();
            for pair in pairs(&found.rules, &due.rules) {
                let (found_rule, due_rule) = pair.map_err(|rule| FindingDiffers::NotMet { rule: name(rule) })?;
                let otherwise = || FindingDiffers::MetOtherwise { rule: name(due_rule) };
                if name(found_rule) != name(due_rule) {
                    return Err(FindingDiffers::NotMet { rule: name(found_rule) });
                }
                // The first thing that was asked stands behind the fact; any further line stands whole.
                let whole = |fact: &str, rule: &[String]| -> Vec<String> {
                    let lines = rule.iter().skip(1).enumerate();
                    lines.map(|(place, line)| if place == 0 { behind(fact, line) } else { line.clone() }).collect()
                };
                let (found_lines, due_lines) = (whole(&found.fact, found_rule), whole(&due.fact, due_rule));
                self.lines(&found_lines, &due_lines, None).ok_or_else(otherwise)?;
            }
        }
        Ok(())
    }

    fn values(&mut self, then: &Values, now: &Values) -> Result<(), FindingDiffers> {
        if let Some(odd) =
            then.keys().find(|of| !now.contains_key(*of)).or_else(|| now.keys().find(|of| !then.contains_key(*of)))
        {
            return Err(FindingDiffers::Values { of: odd.clone() });
        }
        for (of, rows) in then {
            for pair in pairs(rows, now.get(of).map_or(&[][..], Vec::as_slice)) {
                let said = |line: &String| FindingDiffers::Value {
                    of: of.clone(),
                    fact: line.split(' ').next().unwrap_or_default().to_owned(),
                };
                let (found, due) = pair.map_err(said)?;
                self.line(found, due, None).ok_or_else(|| said(due))?;
            }
        }
        Ok(())
    }

    /// Compares lines; `None` where more differs than may.
    fn lines(&mut self, then: &[String], now: &[String], subject: Option<&str>) -> Option<()> {
        if then.len() != now.len() {
            return None;
        }
        then.iter().zip(now).try_for_each(|(then, now)| self.line(then, now, subject))
    }

    fn line(&mut self, then: &str, now: &str, subject: Option<&str>) -> Option<()> {
        // A line that gives a figure otherwise than the list of its own file was not worked out by any edition.
        let names_none = self.differing.is_empty() || !then.contains("figure.");
        if names_none && then == now {
            return Some(());
        }
        let (found, due) = (EvidenceLine::read(then)?, EvidenceLine::read(now)?);
        if found.fact != due.fact || found.values.len() != due.values.len() || found.asked.len() != due.asked.len() {
            return None;
        }
        let own: Vec<WrittenValue> =
            self.named(&due.fact, subject).iter().filter_map(|figure| self.listed(figure)).collect();
        let is_so = |(value, of_now): (&WrittenValue, &WrittenValue)| match own.as_slice() {
            [] => value == of_now,
            own => value.is_of_the_sort_of(of_now) && own.iter().any(|listed| value.tells_the_figure(listed)),
        };
        found.values.iter().zip(&due.values).all(is_so).then_some(())?;
        for (asked, of_now) in found.asked.iter().zip(&due.asked) {
            if (asked.test, asked.not_so, asked.bounds.len()) != (of_now.test, of_now.not_so, of_now.bounds.len()) {
                return None;
            }
            for (bound, of_now) in asked.bounds.iter().zip(&of_now.bounds) {
                self.bound((&due.fact, asked.test), bound, of_now, subject)?;
            }
        }
        Some(())
    }

    fn bound(
        &mut self,
        (fact, test): (&str, WasAsked),
        then: &WrittenBound,
        now: &WrittenBound,
        subject: Option<&str>,
    ) -> Option<()> {
        if then.origins != now.origins {
            return None;
        }
        let of_place = |origin: &WrittenOrigin| match origin {
            WrittenOrigin::Place(place) => self.named(place, subject),
            WrittenOrigin::Limit(_) => Vec::new(),
        };
        let figures: Vec<&Differing> = now.origins.iter().flat_map(of_place).collect();
        let (found, due) = match (&then.value, &now.value) {
            (Some(found), Some(due)) if !figures.is_empty() => (found, due),
            (found, due) => return (found == due).then_some(()),
        };
        if !found.is_of_the_sort_of(due) {
            return None;
        }
        if let [_] = now.origins.as_slice() {
            // A figure that is the bound by itself is told by the list of figures.
            let mut listed = figures.iter().filter_map(|figure| self.listed(figure));
            return listed.any(|listed| found.tells_the_figure(&listed)).then_some(());
        }
        if found == due {
            return Some(());
        }
        let origins: Vec<String> = now.origins.iter().map(ToString::to_string).collect();
        let of = subject.filter(|subject| !subject.is_empty()).map(|of| format!("{of}: ")).unwrap_or_default();
        self.tell(format!("{of}{fact} {} {}", test.signed(), origins.join(" ")), &found.to_string(), &due.to_string());
        Some(())
    }

    /// The figures that differ and are meant by the place of a fact, told from a subject; where it is not known whose the
    /// place is, those of every subject.
    fn named(&self, place: &str, subject: Option<&str>) -> Vec<&Differing> {
        let Some((owner, name)) = place.rsplit_once("figure.") else { return Vec::new() };
        let is_meant = |of: &str| match (owner, subject) {
            (".", Some(subject)) => of == subject,
            (".", None) => !of.is_empty(),
            ("", _) => of.is_empty(),
            (owner, _) => owner.strip_suffix('.') == Some(of),
        };
        self.differing.iter().filter(|(of, figure)| figure == name && is_meant(of)).collect()
    }

    /// What the file lists of a figure.
    fn listed(&self, figure: &Differing) -> Option<WrittenValue> {
        told(self.figures, figure).and_then(WrittenValue::read)
    }
}

fn place_of((subject, name): &Differing) -> String {
    if subject.is_empty() { format!("figure.{name}") } else { format!("{subject}.figure.{name}") }
}

fn told<'f>(of: &'f Figures, (subject, name): &Differing) -> Option<&'f str> {
    of.get(subject)?.get(name).map(String::as_str)
}

/// What was asked, behind the fact that it was asked of.
fn behind(fact: &str, asked: &str) -> String {
    if asked.is_empty() { fact.to_owned() } else { format!("{fact} {asked}") }
}

/// The items of two lists at the same places; an item that only one of them has is an error.
fn pairs<'p, T>(then: &'p [T], now: &'p [T]) -> impl Iterator<Item = Result<(&'p T, &'p T), &'p T>> {
    (0..then.len().max(now.len())).filter_map(|place| match (then.get(place), now.get(place)) {
        (Some(then), Some(now)) => Some(Ok((then, now))),
        (Some(odd), None) | (None, Some(odd)) => Some(Err(odd)),
        (None, None) => None,
    })
}
