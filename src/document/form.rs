//! Which sort of file a document says that it is.
//!
//! Must not know what any of these files hold.

use super::{Code, Content, Entry, Fault, Node, Source, Span};
use crate::vocabulary::{FileSort, Kind};

/// Refuses a document that says it is of another sort than the one that is due: one fault, since nothing else in it is
/// meant for this place. `None` where it says nothing of the kind.
pub fn other_form(root: &Node, due: FileSort) -> Option<Fault> {
    let (found, span) = said(root, due).or_else(|| signed(root))?;
    (found != due).then(|| {
        let message = format!("{} is given where {} is expected", found.called(), due.called());
        fault(message, found, span)
    })
}

/// Refuses the bytes of a key where a document is due, whichever it is.
pub(super) fn key(name: &str, bytes: &[u8]) -> Option<Fault> {
    let found = FileSort::told_by(bytes).filter(|sort| matches!(sort, FileSort::PublicKey | FileSort::PrivateKey))?;
    let message = format!("{} is given where a record, a shop file or a pack is expected", found.called());
    // What a private key holds is shown nowhere.
    Some(fault(message, found, Span::default()).in_source(&Source::new(name, "")))
}

fn fault(message: String, found: FileSort, span: Span) -> Fault {
    let fault = Fault::new(Code::DocumentOtherFile, message);
    fault.label(span, format!("this is {}", found.called())).help(found.is_for())
}

/// What a document that is written by hand says at its head; the sort that is due where it says that too.
fn said(root: &Node, due: FileSort) -> Option<(FileSort, Span)> {
    let Content::Map(entries) = &root.value else { return None };
    let header = |entry: &Entry| {
        let sort = FileSort::with_header(&entry.key)?;
        (sort == due || matches!(entry.node.value, Content::Number(_))).then_some((sort, entry.key_span))
    };
    let mut found: Vec<_> = entries.iter().filter_map(header).collect();
    found.sort_by_key(|(sort, _)| *sort != due);
    found.first().copied()
}

/// Which document with signatures it is.
fn signed(root: &Node) -> Option<(FileSort, Span)> {
    let Content::Map(entries) = &root.value else { return None };
    let [body, signatures] = entries.as_slice() else { return None };
    let kind = Kind::ALL.into_iter().find(|kind| kind.member() == body.key && signatures.key == "signatures")?;
    Some((FileSort::Signed(kind), body.key_span))
}
