//! Floor 7, the signed checklist: canonical bytes, keys, signatures, trust, permits and verification.
//!
//! A checklist is readable JSON in one exact form ([`canonical`]), signed as JSON Web Signature with Ed25519 ([`jws`],
//! [`keys`]), judged by who may sign what ([`trust`]) and verifiable without this program. It must not know the terminal,
//! and like every floor it reads no clock, file, environment or randomness: instants, bytes and random bytes are
//! arguments.

pub mod body;
pub mod canonical;
pub mod changes;
mod content;
pub mod evidence;
pub mod filled;
pub mod jws;
pub mod keys;
pub mod lapse;
pub mod links;
pub mod packs;
pub mod permit;
mod reason;
pub mod schemas;
pub mod signing;
pub mod trust;
pub mod verify;

pub use reason::{NameFlaw, NoKeyOfWords, NotJudged, NotMeant, PermitReason, Reason, TrustFlaw, TrustReason};
