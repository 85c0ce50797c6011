//! What in the content of a signed document is not as its kind has it, in words for the person who holds the file.
//!
//! The reader that fills the types says what it wanted by their names, which say nothing to anybody outside the program. So
//! its refusal is not told: the content is held against the published schema, which names the member, what stands there and
//! what may. This module must not know signatures, nor what any member means.

use std::sync::LazyLock;

use super::canonical::indent;
use super::schemas;
use crate::document::{Code, Content, Document, Fault, Path, Schema};
use crate::vocabulary::Kind;

/// Files of checklists, the content of trust files, and files of permits.
static CHECKLIST: LazyLock<Option<Schema>> = LazyLock::new(|| Schema::compile(schemas::CHECKLIST).ok());
static TRUST: LazyLock<Option<Schema>> = LazyLock::new(|| Schema::compile(schemas::TRUST).ok());
static PERMIT: LazyLock<Option<Schema>> = LazyLock::new(|| Schema::compile_part(schemas::CHECKLIST, "permit").ok());

/// The fault of a content that could not be read as its kind.
///
/// `file` are the canonical bytes of the whole document, `payload` those of its content.
pub(super) fn fault(kind: Kind, file: &[u8], payload: &[u8]) -> Fault {
    let (schema, text) = match kind {
        Kind::Checklist => (CHECKLIST.as_ref(), file),
        Kind::Permit => (PERMIT.as_ref(), file),
        Kind::Trust => (TRUST.as_ref(), payload),
        Kind::Approval => (None, payload),
    };
    let what = format!("the content is not that of a {}", kind.word());
    let told = schema.and_then(|schema| {
        let document = Document::read(kind.word(), &indent(text)).ok()?;
        let faults = schema.check(&document).err()?;
        let first = faults.iter().next()?;
        let place = first.span().map(|span| member_at(&document, span.start)).unwrap_or_default();
        let member = if place.is_root() { String::new() } else { format!(" at `{place}`") };
        let fault = Fault::new(Code::ChecklistContent, format!("{what}{member}: {}", first.message()));
        Some(match first.cure() {
            Some(cure) => {
                let meant = cure.split_whitespace().collect::<Vec<_>>().join(" ");
                fault.help(format!("{CURE}; of what is meant there it says: {}", meant.trim_end_matches('.')))
            }
            None => fault.help(CURE),
        })
    });
    // What the schema cannot say of a checklist is how its lines are gathered.
    let ungathered = || match kind {
        Kind::Checklist => Fault::new(Code::ChecklistContent, format!("{what}: {UNGATHERED}")),
        Kind::Permit | Kind::Trust | Kind::Approval => Fault::new(Code::ChecklistContent, what.clone()),
    };
    told.unwrap_or_else(|| ungathered().help(CURE))
}

/// Said of a content that has every member as it may be.
const UNGATHERED: &str =
    "what is shown under `faults`, `ruled_out` or `values` of its `findings` is not gathered as the format gathers it";
const CURE: &str =
    "fetch the file again from where it was signed, or read it with the edition of fillward that wrote it";

/// The member at a place of the text: the innermost one that is written there, or whose name is.
fn member_at(document: &Document, at: usize) -> Path {
    let (mut path, mut node) = (Path::root(), document.root());
    loop {
        let is_there = |from: usize, to: usize| (from..to).contains(&at);
        let next = match &node.value {
            Content::Map(entries) => entries
                .iter()
                .find(|entry| is_there(entry.key_span.start, entry.node.span.end.max(entry.key_span.end)))
                .map(|entry| {
                    (path.child(entry.key.as_str()), &entry.node, is_there(entry.key_span.start, entry.key_span.end))
                }),
            Content::List(items) => items
                .iter()
                .position(|item| is_there(item.span.start, item.span.end))
                .and_then(|place| Some((path.child(place), items.get(place)?, false))),
            _ => None,
        };
        let Some((inner, found, by_name)) = next else { return path };
        (path, node) = (inner, found);
        if by_name {
            return path;
        }
    }
}
