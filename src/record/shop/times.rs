//! Times as people write them, made into instants with their offset.
//!
//! Must not know whose times they are: it is handed a tree, a day and a zone.

use std::cell::OnceCell;

use super::nodes::scalar;
use super::refusals;
use super::sections::LOOKED;
use crate::document::{Code, Content, Fault, Node, Span};
use crate::record::{Catalogue, FactKey, FactKind};
use crate::units::{Day, Instant, WallTime, Zone, times_meant};
use crate::vocabulary::Subject;

/// In what a time is written, and so of which day it is where it does not say one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum WrittenIn {
    /// A record, with the day at its head.
    Record(Option<Day>),
    /// The sheet of a day.
    Sheet(Day),
    /// An entry that lasts.
    Entry,
    /// A row of the log of routines, where a day alone may be enough.
    Row,
}

impl WrittenIn {
    const fn day(self) -> Option<Day> {
        match self {
            Self::Record(day) => day,
            Self::Sheet(day) => Some(day),
            Self::Entry | Self::Row => None,
        }
    }
}

/// A time without its day that may be of the next day as well.
pub(super) struct LoneTime {
    pub(super) text: String,
    pub(super) span: Span,
    /// The day of the text in which it stands.
    pub(super) day: Day,
    /// What it means on the next day.
    pub(super) next: Instant,
    /// The last instant that it can mean.
    pub(super) until: Instant,
    /// Whether it is of the night after the day of a record, which may be that of its shift.
    pub(super) is_of_the_night: bool,
}

/// The last words of the facts that are instants, and the key under which readings and rows say when.
pub(super) struct Keys<'c> {
    catalogue: &'c Catalogue,
    /// In order.
    words: Vec<&'c str>,
    /// Those of them that are of nothing but times, where that was asked.
    only_times: OnceCell<Vec<&'c str>>,
}

const fn is_time(kind: &FactKind) -> bool {
    matches!(kind, FactKind::Event | FactKind::Planned)
}

impl<'c> Keys<'c> {
    pub(super) fn of(catalogue: &'c Catalogue) -> Self {
        let instants =
            Subject::ALL.iter().flat_map(|subject| catalogue.of(*subject)).filter(|spec| is_time(&spec.kind));
        let mut words: Vec<&str> = instants.filter_map(|spec| spec.name.rsplit('.').next()).collect();
        // What the look at the parts says under a shorter key, and a lone time of being seen seated.
        words.extend(["at", "seated"]);
        let event = |key: &FactKey| catalogue.spec(*key).is_some_and(|spec| spec.kind == FactKind::Event);
        words.extend(LOOKED.iter().filter(|(_, facts)| facts.iter().any(event)).map(|(word, _)| *word));
        words.sort_unstable();
        words.dedup();
        Self { catalogue, words, only_times: OnceCell::new() }
    }

    fn is_of_times(&self, word: &str) -> bool {
        self.words.binary_search(&word).is_ok()
    }

    /// Whether a word is of nothing but times.
    fn is_of_times_only(&self, word: &str) -> bool {
        let only_times = self.only_times.get_or_init(|| {
            let mut others: Vec<&str> = Vec::new();
            for spec in Subject::ALL.iter().flat_map(|subject| self.catalogue.of(*subject)) {
                match &spec.kind {
                    FactKind::Log(columns) => {
                        others.extend(
                            columns.iter().filter(|column| !is_time(&column.kind)).map(|column| column.name.as_ref()),
                        );
                    }
                    kind if !is_time(kind) => others.extend(spec.name.rsplit('.').next()),
                    _ => {}
                }
            }
            self.words.iter().copied().filter(|word| !others.contains(word)).collect()
        });
        only_times.contains(&word)
    }

    /// The times of a tree that say no day of their own, each with its key.
    pub(super) fn lone<'n>(&self, node: &'n Node, found: &mut Vec<(&'n str, &'n Node)>) {
        match &node.value {
            Content::List(items) => items.iter().for_each(|item| self.lone(item, found)),
            Content::Map(entries) => {
                for entry in entries {
                    if scalar(&entry.node).is_none() {
                        self.lone(&entry.node, found);
                    } else if self.is_of_times(&entry.key) && lone(&entry.node).is_some() {
                        found.push((entry.key.as_str(), &entry.node));
                    }
                }
            }
            _ => {}
        }
    }

    /// Makes every time of a tree into the instant that it means in the zone, on the day of what it is written in where it
    /// does not say its own. What has another shape stays for the reader of its fact.
    pub(super) fn expand(&self, node: &mut Node, of: WrittenIn, zone: &Zone, faults: &mut Vec<Fault>) {
        match &mut node.value {
            Content::List(items) => items.iter_mut().for_each(|item| self.expand(item, of, zone, faults)),
            Content::Map(entries) => {
                for entry in entries {
                    if scalar(&entry.node).is_none() {
                        self.expand(&mut entry.node, of, zone, faults);
                    } else if self.is_of_times(&entry.key) {
                        match instant(&entry.node, of, zone) {
                            Ok(Some(at)) => entry.node.value = Content::Text(at.to_record_text().into()),
                            Ok(None) if is_instant(&entry.node) => {}
                            Ok(None) if self.is_of_times_only(&entry.key) => faults.extend(by_hand(&entry.node, of)),
                            Ok(None) => {}
                            Err(fault) => faults.push(*fault),
                        }
                    }
                }
            }
            _ => {}
        }
    }
}

/// The instant that a time means; nothing where the text is no time of a clock.
fn instant(node: &Node, of: WrittenIn, zone: &Zone) -> Result<Option<Instant>, Box<Fault>> {
    let Content::Text(text) = &node.value else { return Ok(None) };
    let Some(read) = WallTime::parse(text) else { return Ok(None) };
    let time = read.map_err(|error| {
        Box::new(Fault::new(Code::RecordNotAnInstant, error.to_string()).label(node.span, "here").help(error.help()))
    })?;
    let of_record = matches!(of, WrittenIn::Record(_));
    let unknown = || Box::new(refusals::time_without_day(text.trim(), node.span, of_record));
    let day = time.day().or(of.day()).ok_or_else(unknown)?;
    time.instant(day, zone).map(Some).map_err(|doubt| Box::new(refusals::doubtful(&doubt, node.span)))
}

/// The instant that a time means, however it is written; nothing where it cannot be told.
pub(super) fn meant(node: &Node, of: WrittenIn, zone: &Zone) -> Option<Instant> {
    match instant(node, of, zone) {
        Ok(Some(at)) => Some(at),
        _ => Instant::parse(scalar(node)?).ok(),
    }
}

/// Whether an instant is written out with its offset.
fn is_instant(node: &Node) -> bool {
    scalar(node).is_some_and(|text| Instant::parse(text).is_ok())
}

/// What is written where a time is due and is none: what it can mean is asked for in the form in which it would be taken.
fn by_hand(node: &Node, of: WrittenIn) -> Option<Fault> {
    let text = scalar(node)?;
    if Day::parse(text).is_ok() {
        // A routine that is done at no hour has its day, which is read with its row.
        let fault = || {
            Fault::new(Code::RecordNotAnInstant, format!("`{text}` has a date but no time of day"))
                .label(node.span, "here")
                .help(format!("write the time behind the day, such as `{text} 14:00`"))
        };
        return (of != WrittenIn::Row).then(fault);
    }
    let day = of.day();
    let meant = times_meant(text);
    let help = match (meant.as_slice(), day) {
        ([], None) => return None,
        ([], Some(_)) => "write the time, such as `07:45`, or with its day in front, `2026-03-03 16:00`".to_owned(),
        ([time], None) if !time.contains(' ') => {
            format!("write the day in front and the time as `{time}`, such as `2026-03-03 {time}`")
        }
        (times, _) => {
            format!("write {}", times.iter().map(|time| format!("`{time}`")).collect::<Vec<_>>().join(" or "))
        }
    };
    Some(
        Fault::new(Code::RecordNotAnInstant, format!("`{text}` is not how a time is written"))
            .label(node.span, "here")
            .help(help),
    )
}

/// The text of a time that says no day of its own.
pub(super) fn lone(node: &Node) -> Option<&str> {
    let text = scalar(node)?;
    WallTime::parse(text)?.ok().filter(|time| time.day().is_none()).map(|_| text.trim())
}

/// A calendar day, as an entry or a header states it.
pub(super) fn day(node: &Node) -> Result<Day, Fault> {
    let fault =
        |message: String, help: String| Fault::new(Code::RecordNotADay, message).label(node.span, "here").help(help);
    match &node.value {
        Content::Text(text) | Content::Number(text) => {
            Day::parse(text).map_err(|error| fault(error.to_string(), error.help()))
        }
        _ => Err(fault("a calendar day is expected here".to_owned(), "write a day, such as 2026-09-30".to_owned())),
    }
}
