//! The integration tests: one binary, data in folders beside it.

mod common;
mod demo;
mod generated;
mod packs;
