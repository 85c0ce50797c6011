//! Floor 2, documents in: bytes become a tree in which every value and every key knows its place.
//!
//! The safety argument of this module is that two dissimilar readers must agree, value for value, before
//! a document exists at all: `serde_yaml` gives the values and an event parser gives the values again with
//! their places. Where the two differ the document is refused and both readings are shown. A text of the plain
//! form has a quick reader in the place of the event parser, which gives the same tree. Nothing
//! outside this module names any of these readers.
//!
//! This module also owns [`Fault`], the one form in which any input document is refused, and [`Schema`],
//! which holds a document against a JSON Schema and words each failure at the line that causes it.
//!
//! It must not know rules, records, packs, files, clocks or terminals: it is handed a name and bytes.

mod agree;
mod code;
mod events;
mod fault;
mod form;
mod framed;
mod harmless;
mod hash;
mod left_open;
pub mod limits;
mod nearest;
mod path;
mod pieces;
mod places;
mod plain;
pub mod prose;
mod quote;
mod refusals;
mod scalar;
mod scan_words;
mod schema;
mod source;
mod spans;
mod text;
mod tree;

pub use code::Code;
pub use fault::{Fault, FaultKind, Faults, Label};
pub use form::other_form;
pub use framed::Framed;
pub use left_open::{LeftOpen, SheetOfDay, Unnamed};
pub use nearest::{nearest, nearest_value};
pub use path::{Path, ShortText, Step};
pub(crate) use pieces::{Expected, Piece};
pub use schema::{Schema, SchemaError};
pub use source::{Excerpt, Source, Span};
pub(crate) use text::BYTE_ORDER_MARK;
pub use text::without_mark;
pub use tree::{Content, Entry, Location, Node};

/// The first reading of a text, and whether it is of the plain form. The event parser is iterative and bounded, and the
/// second reader is handed only what one of the two has found shallow and small.
fn first_reading(source: &Source) -> Result<(Node, bool), Faults> {
    match plain::read(source.text()) {
        Some(root) => Ok((root, true)),
        None => events::read(source).map(|root| (root, false)),
    }
}

/// A document that both readers read alike, with the place of every key and value.
#[derive(Debug, Clone)]
pub struct Document {
    source: Source,
    root: Node,
    left_open: Vec<LeftOpen>,
}

impl Document {
    /// Reads `bytes` with both readers; `name` is what the reports call the document.
    ///
    /// # Errors
    /// Every reason to refuse the document that could be found, in document order: see the codes beginning
    /// with `document/` in [`Fault`].
    pub fn read(name: &str, bytes: &[u8]) -> Result<Document, Faults> {
        let source = text::decode(name, bytes)?;
        let (root, is_plain) = first_reading(&source)?;
        hash::hold(&source, &root)?;
        if !(is_plain && agree::all_alike(source.text(), &pieces::of(source.text(), &root))) {
            agree::hold(&source, &root)?;
        }
        Ok(Document::composed(source, root))
    }

    /// Reads `bytes` with the first reader, and with the second one where the text is not of the plain form: for a
    /// document of which a small part is taken. `false` stands beside it where the second reading is still to be made, of
    /// the part by [`Document::reads_as`] or of the whole by [`Document::confirm`]; until then nothing of it may be relied
    /// on.
    ///
    /// # Errors
    /// As [`Document::read`].
    pub(crate) fn read_first(name: &str, bytes: &[u8]) -> Result<(Document, bool), Faults> {
        let source = text::decode(name, bytes)?;
        let (root, is_plain) = first_reading(&source)?;
        hash::hold(&source, &root)?;
        if !is_plain {
            agree::hold(&source, &root)?;
        }
        Ok((Document::composed(source, root), !is_plain))
    }

    /// Makes the second reading of the whole text.
    ///
    /// # Errors
    /// What the readers differ about.
    pub(crate) fn confirm(&self) -> Result<(), Faults> {
        agree::hold(&self.source, &self.root)
    }

    /// Whether the second reader takes a text of the plain form, piece by piece, and reads it as the values that are
    /// expected.
    pub(crate) fn reads_as(text: &str, pieces: &[Piece<'_>]) -> bool {
        agree::all_alike(text, pieces)
    }

    /// Reads a text compiled into the program with the first reader only, for speed at start.
    ///
    /// The tests of the program read each such text with [`Document::read`]; never call this on input, nor on anything
    /// but such a text and parts of it.
    ///
    /// # Errors
    /// As [`Document::read`], but for the disagreement of readers and for a `#` in a value.
    pub fn read_trusted(name: &str, text: &str) -> Result<Document, Faults> {
        Document::read_again(name, text.as_bytes())
    }

    /// Reads bytes that [`Document::read`] has taken before, whatever it called them: both readers have read them alike, and
    /// the second one, which takes most of the time, is not asked again. Never call this on other bytes.
    ///
    /// # Errors
    /// As [`Document::read`]; there are none where it was called before.
    pub(crate) fn read_again(name: &str, bytes: &[u8]) -> Result<Document, Faults> {
        let source = text::decode(name, bytes)?;
        let (root, _) = first_reading(&source)?;
        Ok(Document::composed(source, root))
    }

    /// A document of values that stand in these texts: what another document says, put together otherwise.
    pub(crate) fn composed(source: Source, root: Node) -> Document {
        Document { source, root, left_open: Vec::new() }
    }

    /// The same, with what it was not told.
    pub(crate) fn leaving_open(self, left_open: Vec<LeftOpen>) -> Document {
        Document { left_open, ..self }
    }

    /// What a record leaves unnamed, and the values that would come with it; nothing of a document that was read as it is.
    pub fn left_open(&self) -> &[LeftOpen] {
        &self.left_open
    }

    /// The text and the values, to put them together otherwise.
    pub(crate) fn into_parts(self) -> (Source, Node) {
        (self.source, self.root)
    }

    /// The name and text that every span of this document refers to.
    pub fn source(&self) -> &Source {
        &self.source
    }

    /// The outermost value.
    pub fn root(&self) -> &Node {
        &self.root
    }

    /// The value at `path`, if the document has one there.
    pub fn node(&self, path: &Path) -> Option<&Node> {
        self.root.descend(path.steps())
    }

    /// Where `path` is, or where it would have to be added.
    pub fn locate(&self, path: &Path) -> Location {
        tree::locate(&self.root, path)
    }

    /// The path that a JSON Pointer (RFC 6901) names in this document, where it is known which steps are keys and
    /// which are places in a list. Where the document ends first, digits are taken as places.
    ///
    /// Gives the path of the whole document if the text is not a pointer.
    pub fn path_of_pointer(&self, pointer: &str) -> Path {
        path::from_pointer_in(pointer, |steps| {
            matches!(self.root.descend(steps).map(|node| &node.value), Some(Content::Map(_)))
        })
        .unwrap_or_default()
    }

    /// The values alone, for schema validation: whole numbers as `i64`, all others as `f64`.
    pub fn to_json(&self) -> serde_json::Value {
        self.root.to_json()
    }
}
