//! A version of the trust file in words: what it says otherwise, for whoever signs it, and what came of signing it.
//!
//! Must not know how it was made.

use std::fmt::Write as _;

use fillward::checklist::trust::{TrustChange, UndoneApproval};
use fillward::desk::{ClockLeap, TrustProposal, TrustSigned, VersionBefore};
use fillward::document::prose::whole;
use fillward::units::Instant;
use fillward::vocabulary::{quoted, shown};

/// What is to be signed, in full where it is the first version, else by what it says otherwise.
pub(super) fn proposed(proposal: &TrustProposal) -> String {
    let TrustProposal { body, words, before, changes, carried, carried_by, undoes, signed, gives_up } = proposal;
    let mut text = format!(
        "Trust file of {}, version {}, made {}\n",
        quoted(&body.shop),
        body.version,
        Instant::told(&body.made_at)
    );
    let after = before.as_ref().map(|VersionBefore { version, words, is_known, .. }| {
        if *is_known {
            format!("  beside version {version}, which is in force:\n")
        } else {
            format!(
                "  beside version {version}, which this account has not seen before: see that these are its words on the shop's paper\n    {words}\n"
            )
        }
    });
    let first = match body.version - 1 {
        0 => "  the first version:\n".to_owned(),
        before => format!(
            "  version {before} has been in use and is not here: all is listed, and what this one says otherwise is not known\n"
        ),
    };
    text.push_str(&after.unwrap_or(first));
    if changes.is_empty() {
        text.push_str("  = it says the same\n");
    }
    changed(&mut text, changes);
    if !carried.is_empty() {
        let whose = match carried_by.as_slice() {
            [] => "approvals that safety officers have signed".to_owned(),
            owners => format!("signed by {}", shown(&owners.join(", "))),
        };
        let _ = writeln!(text, "  from the draft that waits, {whose}:");
        changed(&mut text, carried);
    }
    for UndoneApproval { pack, by, at } in undoes {
        let _ = writeln!(
            text,
            "  ! pack {} is no longer approved: the key of {} signed that at {at}, when it had ended; have another safety officer approve it again with `fillward trust approve`",
            shown(pack),
            shown(by)
        );
    }
    if !gives_up.is_empty() {
        let _ = writeln!(
            text,
            "  it replaces the draft of this version that waits; whoever signed that one signs again: {}",
            shown(&gives_up.join(", "))
        );
    }
    if let Some(ClockLeap { at, last }) = before.as_ref().and_then(|before| before.leap) {
        let _ = writeln!(
            text,
            "  ! the clock of this machine says {at}, and the latest time known here is {last}: see that day and year are right; by a version that is signed by a clock that stands ahead nothing starts until its time has come"
        );
    }
    if !signed.is_empty() {
        let _ = writeln!(text, "  signed so far by {}", shown(&signed.join(", ")));
    }
    let _ = writeln!(text, "words of this version  {words}");
    text
}

/// Lines that are said otherwise: new ones, those that are gone, and those that say something else now.
pub(super) fn changed(text: &mut String, changes: &[TrustChange]) {
    for TrustChange { what, before, after } in changes {
        let what = shown(what);
        let _ = match (before, after) {
            (None, Some(after)) => writeln!(text, "  + {what}: {}", shown(after)),
            (Some(before), None) => writeln!(text, "  - {what}: {}", shown(before)),
            (before, after) => writeln!(
                text,
                "  ~ {what}: {}\n      before: {}",
                shown(after.as_deref().unwrap_or_default()),
                shown(before.as_deref().unwrap_or_default())
            ),
        };
    }
}

/// How many of the owners who must sign have.
fn signers(signed: usize, due: usize) -> String {
    match (signed, due) {
        (1, 1) => "its owner".to_owned(),
        (signed, due) if signed >= due => format!("{signed} owners, as many as must"),
        (signed, due) => format!("{signed} of the {due} owners who must"),
    }
}

pub(super) fn told(signed: &TrustSigned) -> String {
    let TrustSigned { name, body, words, owners, missing, unremembered: _ } = signed;
    let mut text = format!(
        "Signed version {} of the trust file of {} by {}.\n  {}\n",
        body.version,
        quoted(&body.shop),
        signers(*owners, usize::from(body.owners_needed)),
        whole(&shown(&name.display().to_string()))
    );
    if missing.is_empty() {
        let _ = writeln!(text, "It is in force. For the paper that you hand out:\nwords of this version  {words}");
    } else {
        text.push_str("It is not in force yet; the version before stays in its place:\n");
        for reason in missing {
            let _ = writeln!(text, "  not yet: {reason}");
        }
    }
    text
}
