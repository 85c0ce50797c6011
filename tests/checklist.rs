//! The signed checklist from outside: published vectors, files as an attacker would change them, and the demo shop's jobs.

mod applies;
mod approvals;
mod bounds;
mod bytes;
mod chain;
mod content;
mod edit;
mod evidence;
mod faults;
mod file;
mod hostile;
mod jws_vectors;
mod kept;
mod keys;
mod notation;
mod otherwise;
mod permits;
mod policy;
mod signatures;
mod size;
mod stolen;
mod threats;
mod trust;
mod vectors;
