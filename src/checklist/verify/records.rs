//! The records as they stand now that a checklist is held against, and which of them is that of its job.
//!
//! A record that nobody can match to a job may be the present one of any: it is never passed over. Must not know what a
//! checklist says otherwise than its record, nor where records come from.

use crate::checklist::body::{ChecklistBody, RECORD_INSIDE};
use crate::checklist::reason::{Reason, Unmatched, UnmatchedRecord};
use crate::document::{Content, Document, Faults, without_mark};
use crate::vocabulary::{names_one_thing, plain_name};

/// The records as they stand now, that a checklist is held against.
#[derive(Debug, Clone, Copy)]
pub enum Records<'a> {
    /// None was given.
    None,
    /// The one that the checklist must be of.
    One(&'a [u8]),
    /// Several, of which the one of its job is taken.
    Of(&'a [Present]),
}

/// How a record came to be among those that are given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Given {
    /// Somebody gave its name, and means it.
    ByName,
    /// It lies in a folder that was given, where other things may lie.
    InFolder,
}

/// A record as it stands now, with its job number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Present {
    /// What reports call it.
    pub name: String,
    /// The job number, or why there is none.
    job: Result<String, Unmatched>,
    /// The bytes, without a byte order mark.
    bytes: Vec<u8>,
    given: Given,
}

impl Present {
    /// Takes the job number from a record.
    pub fn of(name: &str, mut bytes: Vec<u8>, given: Given) -> Self {
        let job = match Document::read(name, &bytes) {
            Ok(document) => number_of(&document).map(str::to_owned).ok_or(Unmatched::NoNumber),
            Err(faults) => Err(Unmatched::Unread(faults)),
        };
        let mark = bytes.len() - without_mark(&bytes).len();
        bytes.drain(..mark);
        Self { job, name: name.to_owned(), bytes, given }
    }

    /// Whether it only lies in a folder, and nobody can tell of which job it is.
    pub fn is_left_aside(&self) -> bool {
        self.given == Given::InFolder && self.job.is_err()
    }

    /// Whether both readers have read it, and read it alike.
    const fn is_read(&self) -> bool {
        !matches!(self.job, Err(Unmatched::Unread(_)))
    }

    fn is_of(&self, job: &str) -> bool {
        self.job.as_ref().is_ok_and(|own| names_one_thing(own, job))
    }

    /// Why it bars a start by the checklist of a job, if it does: it may be the present record of that job, and nobody can
    /// tell. One that was given by name is meant for some job; one that only lies there is asked for the number.
    fn may_hide(&self, job: &str) -> Option<Reason> {
        let why = self.job.as_ref().err()?;
        let bars = self.given == Given::ByName || self.has_in_it(job);
        bars.then(|| Reason::RecordUnmatched(Box::new(UnmatchedRecord { name: self.name.clone(), why: why.clone() })))
    }

    /// Whether a name stands in the text, as a word of its own and in whatever letters. Of a text in two bytes a letter
    /// those that are nothing are left out.
    fn has_in_it(&self, name: &str) -> bool {
        let plain = |text: &str| plain_name(text).split_whitespace().collect::<Vec<_>>().join(" ");
        let bytes: Vec<u8> = self.bytes.iter().copied().filter(|byte| *byte != 0).collect();
        let (text, name) = (plain(&String::from_utf8_lossy(&bytes)), plain(name));
        let goes_on = |letter: Option<char>| letter.is_some_and(char::is_alphanumeric);
        let is_word = |(place, found): (usize, &str)| {
            let (before, after) = (text.get(..place), text.get(place + found.len()..));
            !goes_on(before.and_then(|before| before.chars().next_back()))
                && !goes_on(after.and_then(|after| after.chars().next()))
        };
        !name.is_empty() && text.match_indices(&name).any(is_word)
    }
}

impl<'a> Records<'a> {
    /// Reads the record inside a checklist. Where one that was given has the same bytes they have been read, and the second
    /// reader is not asked again.
    ///
    /// # Errors
    /// The faults of the text.
    pub(super) fn read_inside(self, body: &ChecklistBody) -> Result<Document, Faults> {
        let text = body.inputs.record.text.as_bytes();
        let given = if let Self::Of(several) = self { several } else { &[] };
        if given.iter().any(|record| record.is_read() && record.bytes == text) {
            return Document::read_again(RECORD_INSIDE, text);
        }
        Document::read(RECORD_INSIDE, text)
    }

    /// The record of a checklist: that of its job, of which there must not be two that differ, or an old one beside it would
    /// hide that the present one was changed; nor one that may be of its job, for all that anybody can read. A lone record
    /// that was given by name and whose number cannot be read is taken for the one that was meant.
    ///
    /// # Errors
    /// None of its job, several that differ, or one that may be.
    pub(crate) fn of(self, body: &ChecklistBody) -> Result<&'a [u8], Reason> {
        let none = |others| Reason::RecordNotGiven { job: body.job.clone(), others };
        match self {
            Self::None | Self::Of([]) => Err(none(false)),
            Self::One(bytes) => Ok(without_mark(bytes)),
            Self::Of([Present { job: Err(_), given: Given::ByName, bytes, .. }]) => Ok(bytes),
            Self::Of(several) => {
                if let Some(reason) = several.iter().find_map(|record| record.may_hide(&body.job)) {
                    return Err(reason);
                }
                let mut of_job = several.iter().filter(|record| record.is_of(&body.job));
                let first = of_job.next().ok_or_else(|| none(true))?;
                match of_job.find(|other| other.bytes != first.bytes) {
                    None => Ok(&first.bytes),
                    Some(other) => {
                        let names = [first.name.clone(), other.name.clone()];
                        Err(Reason::RecordTwice { job: body.job.clone(), names })
                    }
                }
            }
        }
    }
}

/// The job number of a record.
pub(super) fn number_of(record: &Document) -> Option<&str> {
    match &record.root().entry("job")?.node.value {
        Content::Text(text) | Content::Number(text) => Some(text.as_str()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of a record that was given the second reading counts for the text inside; of one that the readers differ about,
    /// or that one of them refuses, nothing does.
    #[test]
    fn only_what_both_readers_take_counts_as_read() {
        for (text, is_read) in
            [("job: H-7\n", true), ("\u{feff}job: H-7", true), ("job: 010\n", false), ("job: &a H-7\n", false)]
        {
            let record = Present::of("record.yaml", text.as_bytes().to_vec(), Given::ByName);
            assert_eq!(record.is_read(), is_read, "{text:?}");
        }
    }

    /// A number is found as a word of its own, in whatever letters and bytes, and not as a part of another one.
    #[test]
    fn a_number_is_found_in_a_text_that_nobody_can_read() {
        let has = |bytes: Vec<u8>| Present::of("record.yaml", bytes, Given::InFolder).has_in_it("HT-0311");
        for (text, due) in [
            ("job: HT-0311\njob: HT-0311\n", true),
            ("job: ht 0311\n  x: [", true),
            ("job:\n  HT\u{2010}0311: [", true),
            ("job: HT-03110\n  x: [", false),
            ("job: AHT-0311\n  x: [", false),
            ("job: HT-0312\n  x: [", false),
            ("", false),
        ] {
            assert_eq!(has(text.as_bytes().to_vec()), due, "{text:?}");
            assert_eq!(
                has(text.encode_utf16().flat_map(u16::to_le_bytes).collect()),
                due && text.is_ascii(),
                "{text:?}"
            );
        }
        assert!(has(b"job: HT-0311 \xff".to_vec()));
    }
}
