//! The signed checklist from outside: published vectors, files as an attacker would change them, and the demo shop's jobs.

mod bytes;
mod file;
mod keys;
mod permits;
mod shop;
mod threats;
mod trust;
mod vectors;
