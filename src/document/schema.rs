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
/// Besides the standard annotations `title`, `description` and `examples`, some of our own
/// shape the words: `x-due` says what is due at a value, as in "a pressure with its unit, such as `105 psi`;
/// units: psi, bar", and `x-say` says what a text must be that fails its `pattern`, as in "a date".
/// The words up to the first comma or semicolon of `x-due` must stand alone. `x-meant` names the key that is meant
/// where people write another one, and `x-never` at the root what is said of keys that ask for what the document never
/// does.
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
        let root = serde_json::from_str(text).map_err(|error| SchemaError(error.to_string()))?;
        Schema::build(root)
    }

    /// As [`Schema::compile`], with the patterns left out: for a document whose texts are read by a reader of their own,
    /// which refuses all that the patterns refuse and words it better. Compiling patterns takes longer than all the rest.
    ///
    /// # Errors
    /// As [`Schema::compile`].
    pub fn compile_shape(text: &'static str) -> Result<Schema, SchemaError> {
        let mut root = serde_json::from_str(text).map_err(|error| SchemaError(error.to_string()))?;
        drop_patterns(&mut root);
        Schema::build(root)
    }

    /// As [`Schema::compile`], for what the schema names so under `$defs`, as a document of its own.
    ///
    /// # Errors
    /// As [`Schema::compile`].
    pub fn compile_part(text: &'static str, name: &str) -> Result<Schema, SchemaError> {
        let mut root: serde_json::Value = serde_json::from_str(text).map_err(|error| SchemaError(error.to_string()))?;
        let parts = root.get_mut("$defs").map(serde_json::Value::take).unwrap_or_default();
        Schema::build(serde_json::json!({"$ref": format!("#/$defs/{name}"), "$defs": parts}))
    }

    fn build(root: serde_json::Value) -> Result<Schema, SchemaError> {
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

/// Takes the `pattern` keywords out; a property of that name has a schema, not a text, and stays.
fn drop_patterns(schema: &mut serde_json::Value) {
    match schema {
        serde_json::Value::Object(map) => {
            if map.get("pattern").is_some_and(serde_json::Value::is_string) {
                map.remove("pattern");
            }
            map.values_mut().for_each(drop_patterns);
        }
        serde_json::Value::Array(items) => items.iter_mut().for_each(drop_patterns),
        _ => {}
    }
}

#[cfg(test)]
mod tests;
