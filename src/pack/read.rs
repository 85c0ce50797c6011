//! From the text of a pack to its parts. Collects every fault.
//!
//! Must not know a job, or other packs than those read before.

mod common;
mod condition;
mod cures;
mod example;
mod limits;
mod parts;

use std::sync::Arc;

use super::cure::SharedStep;
use super::{DefinedAt, Limit, LimitId, PackText};
use crate::document::{Code, Content, Fault, Node, Source, Span};
use crate::record::Catalogue;
use crate::units::Instant;

pub(super) use cures::steps;
pub(super) use limits::limits;
pub(super) use parts::{Head, amendments, declared_facts, follows, head, rules};

/// What rules are read against.
pub(super) struct Setting<'a> {
    pub(super) pack: usize,
    pub(super) amends: Option<usize>,
    pub(super) catalogue: &'a Catalogue,
    pub(super) limits: &'a [Limit],
    pub(super) examples_at: Option<Instant>,
    /// Rules of which an example could not be read.
    pub(super) unread: Vec<String>,
    /// Limits that some rule has named.
    pub(super) used: Vec<LimitId>,
    /// Steps that cures may call by name: those of the pack and of the packs before it.
    pub(super) steps: &'a [SharedStep],
    /// Steps that some cure has called.
    pub(super) called: Vec<String>,
}

/// One file of a pack and the faults found in it so far.
pub(super) struct PackReader<'a> {
    pub(super) source: Arc<Source>,
    pub(super) faults: &'a mut Vec<Fault>,
}

impl PackReader<'_> {
    pub(super) fn fault(&mut self, fault: Fault) {
        self.faults.push(fault.in_source(&self.source));
    }

    #[track_caller]
    pub(super) fn say(&mut self, code: Code, message: impl Into<String>, span: Span, help: impl Into<String>) {
        self.fault(Fault::new(code, message).label(span, "here").help(help));
    }

    pub(super) fn place(&self, span: Span) -> DefinedAt {
        DefinedAt { source: Arc::clone(&self.source), span }
    }

    /// The text under `key`; a missing or differently shaped one is a fault that the schema words first.
    pub(super) fn text(&mut self, node: &Node, key: &str) -> PackText {
        match node.entry(key).map(|entry| &entry.node.value) {
            Some(Content::Text(text)) => text.trim().to_owned().into(),
            Some(Content::Number(text)) => text.to_string().into(),
            Some(Content::Bool(flag)) => flag.to_string().into(),
            _ => {
                self.say(
                    Code::PackMissingPart,
                    format!("`{key}` is missing, or is not text"),
                    node.span,
                    format!("add `{key}:` with a text"),
                );
                PackText::default()
            }
        }
    }
}

/// The text under `key`, if there is one.
pub(super) fn optional_text(node: &Node, key: &str) -> Option<PackText> {
    match &node.entry(key)?.node.value {
        Content::Text(text) => Some(text.trim().to_owned().into()),
        Content::Number(text) => Some(text.to_string().into()),
        _ => None,
    }
}

/// The entries of a mapping under `key`, or none.
pub(super) fn entries<'n>(node: &'n Node, key: &str) -> &'n [crate::document::Entry] {
    match node.entry(key).map(|entry| &entry.node.value) {
        Some(Content::Map(entries)) => entries,
        _ => &[],
    }
}
