//! The signed checklist from outside: published vectors, files as an attacker would change them, and the demo shop's jobs.

mod bounds;
mod bytes;
mod commands;
mod evidence;
mod file;
mod jws_vectors;
mod keys;
mod permits;
mod policy;
mod shop;
mod threats;
mod trust;
mod vectors;
