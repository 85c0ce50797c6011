//! The integration tests: one binary, data in folders beside it.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a test fails by panicking, and its helpers are part of it"
)]

mod checklist;
mod common;
mod demo;
mod figures;
mod generated;
mod language_reference;
mod packs;
mod readme;
mod tyre;
mod unit_table;
