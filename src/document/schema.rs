//! A JSON Schema (draft 2020-12) and a document held against it.
//!
//! The schemas are the public contract of the documents; this module words each failure at the line that
//! causes it. The validator is built without its features for network and disk: a schema may refer to
//! itself only. Must not know which schema belongs to which document.

mod problems;
mod values;
mod walk;
mod words;

use std::fmt;

use jsonschema::{Draft, PatternOptions, Validator};

use super::{Document, Faults};

/// A compiled JSON Schema.
///
/// Besides the standard annotations `title`, `description` and `examples`, two annotations of our own
/// shape the words: `x-due` says what is due at a value, as in "a pressure with its unit, such as `105 psi`;
/// units: psi, bar", and `x-say` says what a text must be that fails its `pattern`, as in "a date".
/// The words up to the first comma or semicolon of `x-due` must stand alone.
pub struct Schema {
    root: serde_json::Value,
    validator: Validator,
}

/// A schema of our own that is not one; a fault of the program, not of any document.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("not a usable JSON Schema: {0}")]
pub struct SchemaError(String);

impl fmt::Debug for Schema {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Schema").field("root", &self.root).finish_non_exhaustive()
    }
}

impl Schema {
    /// Compiles the text of a schema that is part of the program.
    ///
    /// Patterns are limited to what an engine of linear time can do: no look-around, no back references.
    ///
    /// # Errors
    /// If the text is not JSON, not a schema, or refers to anything outside itself.
    pub fn compile(text: &'static str) -> Result<Schema, SchemaError> {
        let root: serde_json::Value = serde_json::from_str(text).map_err(|error| SchemaError(error.to_string()))?;
        let validator = jsonschema::options()
            .with_draft(Draft::Draft202012)
            .with_pattern_options(PatternOptions::regex())
            .build(&root)
            .map_err(|error| SchemaError(error.to_string()))?;
        Ok(Schema { root, validator })
    }

    /// Holds a document against the schema.
    ///
    /// # Errors
    /// Every failure, in document order; of several failures of one value the most telling one.
    pub fn check(&self, document: &Document) -> Result<(), Faults> {
        let json = document.to_json();
        let mut problems = problems::Problems::new(&self.root, document);
        for error in self.validator.iter_errors(&json) {
            problems.take(&error);
        }
        Faults::none_of(problems.into_faults())
    }
}

#[cfg(test)]
mod tests;
