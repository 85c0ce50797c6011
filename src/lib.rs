//! The hold point before the pump: a job record and rule packs in, PASS or HOLD out.
//!
//! Floors, lowest first: [`units`] and [`vocabulary`]; [`tyre`] and [`document`]; [`record`]; [`figures`]; [`pack`];
//! [`engine`]; [`explain`]; [`checklist`]; [`desk`]. A floor uses only those below it; nothing here reads files, the clock
//! or the environment.

pub mod checklist;
pub mod desk;
pub mod document;
pub mod engine;
pub mod explain;
pub mod figures;
pub mod pack;
pub mod record;
pub mod tyre;
pub mod units;
pub mod vocabulary;
