//! Holes that a supervisor with a good key could use: a body that asks for less than the packs and the trust file do
//! ([`body`], [`permits`]), questions that are asked too narrowly to let a fill start ([`question`]), and text that a report
//! quotes ([`quoting`]).

mod body;
mod permits;
mod question;
mod quoting;

use fillward::checklist::Reason;
use fillward::checklist::jws::Envelope;
use fillward::vocabulary::{Kind, Role};
use serde_json::Value;

use crate::shop::{ODILE, key, later};

/// A checklist changed as somebody with these keys would change it: everything else is in order and signed again.
pub(super) fn resigned(envelope: &Envelope, signers: &[(u8, Role)], change: impl FnOnce(&mut Value)) -> Vec<u8> {
    let mut value = envelope.to_value().unwrap();
    change(&mut value["checklist"]);
    let mut envelope = Envelope::new(Kind::Checklist, &value["checklist"]).unwrap();
    for (seed, role) in signers {
        envelope.sign(&key(*seed), *role, later(60)).unwrap();
    }
    envelope.to_file().unwrap()
}

pub(super) const BY_ODILE: &[(u8, Role)] = &[(ODILE, Role::Supervisor)];

pub(super) fn said(reasons: &[Reason]) -> Vec<&'static str> {
    reasons.iter().map(|reason| reason.code().word().trim_start_matches("checklist/")).collect()
}
