//! A permit, or a request for one, as a page of text.
//!
//! Must not know how it was opened, nor what it is worth: the desk says that.

use std::fmt::Write as _;

use fillward::checklist::Reason;
use fillward::desk::{PermitForm, PermitLine, PermitStanding, ShownPermit, SignatureLine};
use fillward::units::Instant;
use fillward::vocabulary::{quoted, shown};

use super::finding;
use crate::cli::output::signer_name;

/// Said where a permit is shown.
const DECIDES_NOTHING: &str = "This page shows what the file says. It decides nothing: whether a job goes on with it, \
                               `fillward sign` and `fillward verify` tell, which hold it against the record.";

/// A permit as a page: first what it is worth, then everything that it says.
pub(super) fn page(permit: &ShownPermit) -> String {
    let ShownPermit { line, until, signatures, form, standing, names_by, .. } = permit;
    let PermitLine { code, body, asker_signed, asked_at, .. } = line;
    let (what, signed) = match form {
        PermitForm::Unsigned => ("REQUEST FOR A PERMIT", "a request, signed by nobody yet"),
        PermitForm::Asked => ("REQUEST FOR A PERMIT", "a request, signed by nobody but the person who asks"),
        PermitForm::OneSignature => (
            "PERMIT, OR A REQUEST FOR ONE",
            "it has one signature; the trust file tells whether that is of the person who asks, or of somebody who permits it",
        ),
        PermitForm::Given => ("PERMIT", "signed by the people who stand below"),
    };
    let mut text = format!(
        "{what}   {} for {}, job {}\n  {signed}\n",
        shown(code),
        quoted(&body.subject_words()),
        quoted(&body.job)
    );
    worth(&mut text, standing.as_ref(), until);
    let _ = writeln!(text, "{DECIDES_NOTHING}\n");
    let _ = writeln!(text, "  in the shop {}, {}", quoted(&body.trust.shop), body.hold_point.word());
    let _ = writeln!(text, "  {}", shown(&body.title));
    finding(&mut text, body, permit.rule());
    if permit.rule().is_none() {
        text.push_str("  why the rule is there and who may permit it is in its pack, which is not at hand; give it with `--pack FILE`\n");
    }
    let signed = match (names_by, asker_signed) {
        (None, _) => "whose signature was not checked",
        (Some(_), true) => "who has signed that",
        (Some(_), false) => "who has not signed",
    };
    let _ = writeln!(text, "  asked for by {}, {signed}: {}", shown(&body.asked_by), shown(&body.reason));
    let asked_at = asked_at.map(|at| format!("asked for at {at}, ")).unwrap_or_default();
    let _ = writeln!(text, "  {asked_at}to be good until {until}");
    signed_by(&mut text, signatures);
    let _ = writeln!(text, "  of the rule pack {} ({})", shown(&body.pack.title()), body.pack.digest_in_words());
    if let Some((shop, version)) = names_by {
        let _ = writeln!(text, "  names by the trust file of {}, version {version}", quoted(shop));
    }
    text
}

/// What it is worth by itself.
fn worth(text: &mut String, standing: Option<&PermitStanding>, until: &Instant) {
    let against = |text: &mut String, head: &str, reasons: &[Reason]| {
        let _ = writeln!(text, "{head}");
        for reason in reasons {
            let _ = writeln!(text, "  {reason} ({})\n    {}", reason.code(), shown(&reason.help()));
        }
    };
    match standing {
        None => text.push_str("NO SIGNATURE WAS CHECKED: give the shop's trust file with --trust\n"),
        Some(PermitStanding::InForce) => {
            let _ = writeln!(text, "IN FORCE until {until}, for what is said here and nothing else");
        }
        Some(PermitStanding::NotGiven) => {
            text.push_str("NOBODY HAS PERMITTED IT: it is asked for, and permits nothing\n");
        }
        Some(PermitStanding::NotNow(reasons)) => against(text, "NOT IN FORCE: it permits nothing now", reasons),
        Some(PermitStanding::DoesNotCount(reasons)) => against(text, "NOT TO BE RELIED ON", reasons),
    }
}

/// Who has signed it, and which of the signatures do not count.
fn signed_by(text: &mut String, signatures: &[Result<SignatureLine, Reason>]) {
    if signatures.is_empty() {
        text.push_str("  signed by nobody\n");
    }
    for signature in signatures {
        let _ = match signature {
            Ok(SignatureLine { who, role, at, fault, revoked }) => {
                let worth = match (fault, revoked) {
                    (Some(fault), _) => format!("; THIS SIGNATURE DOES NOT COUNT: {fault}"),
                    (None, true) => {
                        "; THE KEY HAS BEEN REVOKED SINCE, and whoever has it can write any time".to_owned()
                    }
                    (None, false) => String::new(),
                };
                writeln!(text, "  signed by {}, {role}, {at}{worth}", shown(&signer_name(who)))
            }
            Err(reason) => writeln!(text, "  THIS SIGNATURE CANNOT BE READ: {reason}"),
        };
    }
}
