//! Values of a checklist that its published schema does not allow, whoever signed them.
//!
//! The shape of the content is held by its types; what they leave open is held here, so that no file is in order for this
//! program and refused by the schema. This module must not know signatures or trust.

use super::ChecklistBody;
use crate::document::{Code, Fault};

/// The first value out of its bounds, as a fault.
pub(super) fn check(body: &ChecklistBody) -> Option<Fault> {
    let register = &body.register;
    let digests = [&body.record.sha256].into_iter().chain(body.packs.iter().map(|pack| &pack.sha256));
    let found = if body.job.is_empty() {
        "the job number is empty".to_owned()
    } else if body.trust_version < 1 {
        format!("the version {} of the trust file is not 1 or more", body.trust_version)
    } else if let Some(head) = register.head.as_ref().filter(|head| head.size < 0) {
        format!("the register has {} entries", head.size)
    } else if let Some(head) = register.head.as_ref().filter(|head| !is_digest(&head.root)) {
        not_a_digest(&head.root)
    } else if let Some(sequence) = register.sequence.filter(|sequence| *sequence < 0) {
        format!("the number {sequence} of the entry in the register is below zero")
    } else {
        not_a_digest(digests.into_iter().find(|digest| !is_digest(digest))?)
    };
    Some(
        Fault::new(Code::ChecklistContent, format!("the content is not that of a checklist: {found}"))
            .help("do not trust this file; no edition of fillward writes it"),
    )
}

fn not_a_digest(text: &str) -> String {
    format!("`{text}` is not 64 small hexadecimal digits")
}

fn is_digest(text: &str) -> bool {
    text.len() == 64 && text.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'))
}
