//! The job record: what is known about one job, typed.
//!
//! A [`Document`](crate::document::Document) that fits the record schema becomes a [`Job`] by [`read`]; later floors accept
//! only the `Job`. The catalogue names every fact that a record may state; the JSON Schema and the template are made from
//! it, so the three cannot drift apart. This floor must not know packs, rules or the terminal.

mod amend;
pub mod catalogue;
mod instrument;
mod job;
mod read;
mod schema;
mod shape;
pub mod shop;
mod template;

pub use amend::{Edit, example};
pub use catalogue::{Catalogue, Column, FactKey, FactKind, FactSpec};
pub use instrument::{instrument_named, list_for, named_by, pressure_doubt};
pub use job::{Entity, Facts, Job, LogRow, Measured, Value};
pub use read::{names_of_things, read, read_anywhere, read_fragment};
pub use schema::{compiled as compiled_schema, generate as generate_schema};
pub use template::{blank as blank_template, reuse as reuse_template};
