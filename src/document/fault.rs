//! One problem of an input document, and a set of them.
//!
//! Must not know how faults are printed: it gives the facts, `miette` and the command line do the rest.

use std::fmt;
use std::panic::Location;

use miette::{Diagnostic, LabeledSpan, SourceCode};

use super::limits::MAX_FAULTS;
use super::source::FAULT_COLUMNS;
use super::{Code, Source, Span};

/// One problem of an input document: what is wrong, where, and how to put it right.
///
/// Its [`Code`] is one of a closed list, behind the name of the stage that found the problem: `document/…` for the text
/// itself, `schema/…` for its shape, and one for each floor that reads input.
///
/// ```
/// use fillward::document::{Code, Fault, Source, Span};
/// let source = Source::new("record.yaml", "target: 72\n");
/// let fault = Fault::new(Code::RecordNoUnit, "`72` has no unit")
///     .label(Span::new(8, 10), "which unit")
///     .help("write the unit after the number")
///     .in_source(&source);
/// assert_eq!(fault.to_string(), "`72` has no unit");
/// assert_eq!(fault.code(), Code::RecordNoUnit);
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    kind: FaultKind,
    message: String,
    help: Option<String>,
    labels: Vec<Label>,
    source: Option<Source>,
}

/// A place of a document that a fault points at, and what it says there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// The bytes pointed at.
    pub span: Span,
    /// The words beside them; may be empty.
    pub text: String,
}

/// What faults share that differ in the values of the file alone: the code, the place in the program that words them, and
/// what tells them apart there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct FaultKind {
    code: Code,
    worded_at: &'static Location<'static>,
    apart: &'static str,
}

impl Fault {
    /// A fault without a place or a cure yet; the message is a lower-case fragment without a full stop.
    #[must_use]
    #[track_caller]
    pub fn new(code: Code, message: impl Into<String>) -> Fault {
        let kind = FaultKind { code, worded_at: Location::caller(), apart: "" };
        Fault { kind, message: message.into(), help: None, labels: Vec::new(), source: None }
    }

    /// Points at one more place; the first place given is the main one and decides the order of faults.
    #[must_use]
    pub fn label(mut self, span: Span, text: impl Into<String>) -> Fault {
        self.labels.push(Label { span, text: text.into() });
        self
    }

    /// The same at other places.
    #[must_use]
    pub fn moved(mut self, to: impl Fn(Span) -> Span) -> Fault {
        self.labels.iter_mut().for_each(|label| label.span = to(label.span));
        self
    }

    /// Sets the cure, one imperative sentence.
    #[must_use]
    pub fn help(mut self, text: impl Into<String>) -> Fault {
        self.help = Some(text.into());
        self
    }

    /// Sets the document that the labels point into.
    #[must_use]
    pub fn in_source(mut self, source: &Source) -> Fault {
        self.source = Some(source.clone());
        self
    }

    /// The stable code.
    pub fn code(&self) -> Code {
        self.kind.code
    }

    /// Makes faults that are worded in one place of two kinds where this differs.
    #[must_use]
    pub fn apart_by(mut self, what: &'static str) -> Fault {
        self.kind.apart = what;
        self
    }

    /// The kind, which is equal for faults that are worded alike.
    pub fn kind(&self) -> FaultKind {
        self.kind
    }

    /// What is wrong.
    pub fn message(&self) -> &str {
        &self.message
    }

    /// The cure, where one is known.
    pub fn cure(&self) -> Option<&str> {
        self.help.as_deref()
    }

    /// The places pointed at, the main one first.
    pub fn labels(&self) -> &[Label] {
        &self.labels
    }

    /// The document that the labels point into.
    pub fn source(&self) -> Option<&Source> {
        self.source.as_ref()
    }

    /// The main place.
    pub fn span(&self) -> Option<Span> {
        self.labels.first().map(|label| label.span)
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Fault {}

impl Diagnostic for Fault {
    fn code<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(self.kind.code))
    }

    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        self.help.as_ref().map(|help| Box::new(help) as Box<dyn fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.source.as_ref().map(|source| source as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        if self.labels.is_empty() {
            return None;
        }
        let labels = self.labels.iter().enumerate().map(|(place, label)| {
            let text = (!label.text.is_empty()).then(|| label.text.clone());
            let span = match &self.source {
                Some(source) if label.span.len() > FAULT_COLUMNS => source.window(label.span, FAULT_COLUMNS).span,
                _ => label.span,
            };
            if place == 0 {
                LabeledSpan::new_primary_with_span(text, span)
            } else {
                LabeledSpan::new_with_span(text, span)
            }
        });
        Some(Box::new(labels))
    }
}

/// One or more faults of one document, in document order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Faults {
    /// INVARIANT: never empty, sorted by main place; faults without a place come first, but for the last one
    /// that says that there are more.
    list: Vec<Fault>,
}

impl Faults {
    /// Puts faults into document order; `Ok` if there are none. A long list is cut at [`MAX_FAULTS`], and a last
    /// fault says so.
    ///
    /// # Errors
    /// The faults, if there are any.
    pub fn none_of(mut list: Vec<Fault>) -> Result<(), Faults> {
        if list.is_empty() {
            return Ok(());
        }
        // A stable sort: faults at one place stay in the order in which they were found.
        list.sort_by_key(|fault| fault.span().map(|span| span.start));
        // What is written once and stands for several values is wrong once.
        list.dedup_by(|next, fault| {
            fault.span().is_some()
                && (next.span(), next.code(), next.message()) == (fault.span(), fault.code(), fault.message())
        });
        if list.len() > MAX_FAULTS {
            list.truncate(MAX_FAULTS);
            let mut rest = Fault::new(Code::DocumentMoreFaults, "there are more faults than these")
                .help("put these right and read the document again");
            rest.source = list.last().and_then(|fault| fault.source.clone());
            list.push(rest);
        }
        Err(Faults { list })
    }

    /// The faults in document order; there is at least one.
    pub fn iter(&self) -> std::slice::Iter<'_, Fault> {
        self.list.iter()
    }

    /// The faults in document order; there is at least one.
    pub fn into_vec(self) -> Vec<Fault> {
        self.list
    }
}

impl From<Fault> for Faults {
    fn from(fault: Fault) -> Faults {
        Faults { list: vec![fault] }
    }
}

impl IntoIterator for Faults {
    type Item = Fault;
    type IntoIter = std::vec::IntoIter<Fault>;

    fn into_iter(self) -> Self::IntoIter {
        self.list.into_iter()
    }
}

impl<'a> IntoIterator for &'a Faults {
    type Item = &'a Fault;
    type IntoIter = std::slice::Iter<'a, Fault>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = self.list.iter().find_map(|fault| fault.source().map(Source::name)).unwrap_or("the document");
        match self.list.len() {
            1 => write!(f, "a fault in {name}"),
            count => write!(f, "{count} faults in {name}"),
        }
    }
}

impl std::error::Error for Faults {}

impl Diagnostic for Faults {
    fn related<'a>(&'a self) -> Option<Box<dyn Iterator<Item = &'a dyn Diagnostic> + 'a>> {
        Some(Box::new(self.list.iter().map(|fault| fault as &dyn Diagnostic)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn faults_stand_in_document_order() {
        let at = |start, message: &str| Fault::new(Code::DocumentTag, message).label(Span::new(start, start + 1), "");
        assert_eq!(Faults::none_of(vec![]), Ok(()));
        let faults = Faults::none_of(vec![at(9, "c"), Fault::new(Code::DocumentTag, "a"), at(3, "b"), at(9, "d")]);
        let order: Vec<String> = faults.unwrap_err().iter().map(ToString::to_string).collect();
        assert_eq!(order, ["a", "b", "c", "d"]);
    }

    #[test]
    fn a_long_list_is_cut_and_says_so() {
        let many =
            |count: usize| (0..count).map(|start| Fault::new(Code::DocumentTag, "x").label(Span::empty(start), ""));
        let whole = Faults::none_of(many(MAX_FAULTS).collect()).unwrap_err();
        assert_eq!(whole.iter().filter(|fault| fault.code() == Code::DocumentTag).count(), MAX_FAULTS);
        let cut = Faults::none_of(many(MAX_FAULTS + 1).collect()).unwrap_err().into_vec();
        assert_eq!(cut.len(), MAX_FAULTS + 1);
        assert_eq!(cut.last().map(Fault::code), Some(Code::DocumentMoreFaults));
    }

    #[test]
    fn miette_sees_every_part() {
        let source = Source::new("r.yaml", "a: 1\n");
        let fault = Fault::new(Code::DocumentTag, "wrong")
            .label(Span::new(3, 4), "here")
            .label(Span::new(0, 1), "")
            .help("put it right")
            .in_source(&source);
        let seen: &dyn Diagnostic = &fault;
        assert_eq!(seen.code().unwrap().to_string(), "document/tag");
        assert_eq!(seen.help().unwrap().to_string(), "put it right");
        let labels: Vec<LabeledSpan> = seen.labels().unwrap().collect();
        assert_eq!(labels[0].label(), Some("here"));
        assert!(labels[0].primary());
        assert_eq!((labels[1].label(), labels[1].primary()), (None, false));
        let faults = Faults::from(fault);
        assert_eq!(faults.to_string(), "a fault in r.yaml");
        assert_eq!(Diagnostic::related(&faults).unwrap().count(), 1);
    }
}
