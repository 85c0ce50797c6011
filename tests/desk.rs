//! The acts of the desk without a process: what they refuse and what comes of them, by a storage in memory and a clock
//! that stands still.

mod approve;
mod begins_again;
mod chain;
mod changing;
mod clock;
mod clock_ahead;
mod editions;
mod ends;
mod goes_on;
mod going_on;
mod keys;
mod lasting;
mod links_in_part;
mod memory;
mod misread;
mod no_memory;
mod owners;
mod permit;
mod permit_ended;
mod several;
mod short;
mod sign;
mod signatory;
mod succession;
mod trust;
mod unmatched;
mod verify;
mod witness;
