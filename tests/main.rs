//! The integration tests: one binary, data in folders beside it.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::print_stdout,
    reason = "a test fails by panicking, and its helpers are part of it"
)]

mod architecture;
mod bearing;
mod benches;
mod checklist;
mod cli;
mod common;
mod covered;
mod cures;
mod deletion;
mod demo;
mod desk;
mod editions;
mod evidence;
mod figure_boundaries;
mod figure_laws;
mod figures;
mod figures_fill;
mod frames;
mod generated;
mod hash_in_values;
mod hold_points;
mod in_the_way;
mod invalid_packs;
mod language;
mod language_reference;
mod latest_start;
mod laws;
mod monotone;
mod nesting;
mod pack_conditions;
mod packs;
mod readme;
mod record_new;
mod remedies;
mod reports;
mod reports_of_several;
mod repro;
mod shop;
mod short;
mod signing_cli;
mod slips;
mod sole;
mod stretch_breaks;
mod stretch_laws;
mod stricter;
mod taken;
mod target_window;
mod threats_named;
mod told_once;
mod tyre;
mod unit_table;
mod wording;
mod worklist;
