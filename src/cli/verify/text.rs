//! Verified files one after the other, in full.

use std::fmt::Write as _;
use std::path::Path;

use fillward::checklist::Reason;
use fillward::checklist::body::ChecklistBody;
use fillward::checklist::permit::filled_words;
use fillward::checklist::verify::Signed;
use fillward::desk::{Answer, Verified};
use fillward::document::prose::whole;
use fillward::explain::{self, Target};
use fillward::units::Zone;
use fillward::vocabulary::shown;
use miette::Diagnostic as _;

use super::super::permit;
use super::overview::{Overview, Row};

/// All files, and what they come to where there are several.
pub(super) fn text(rows: &[Row]) -> String {
    let mut text = String::new();
    for (path, row) in rows {
        match row {
            Ok(verified) => say(&mut text, path, verified),
            Err(failure) => {
                let cure = failure.help().map(|help| format!("\n    {}", shown(&help.to_string()))).unwrap_or_default();
                let _ = writeln!(text, "{}: not verified\n  {}{cure}", named(path), shown(&failure.to_string()));
            }
        }
    }
    if rows.len() > 1 {
        let overview = Overview::of(rows);
        let _ = writeln!(text, "\n{}", overview.line(rows.len()));
        for (rule, count) in &overview.rules {
            let _ = writeln!(text, "  held by {}: {count}", shown(rule));
        }
    }
    text
}

fn say(text: &mut String, path: &Path, verified: &Verified) {
    let Verified { answer, report, permits, targets, zone } = verified;
    let point = report.body.as_ref().and_then(ChecklistBody::point).unwrap_or_default();
    let answer = match answer {
        Answer::MayStart => point.may().to_owned(),
        Answer::CouldHaveStarted { at } => format!("could have started at {}", at.to_record_text()),
        Answer::InOrder => format!("in order. {}", point.stop()),
        Answer::Old => "in order, old. Nothing starts by it any more.".to_owned(),
        Answer::DoesNotFit => format!("in order, but it does not fit what was given. {}", point.stop()),
        Answer::Doubtful => "not to be relied on".to_owned(),
    };
    let _ = writeln!(text, "{}: {answer}", named(path));
    if let Some(body) = &report.body {
        let _ = writeln!(
            text,
            "  {} {} · job {} · checked {} in {}",
            shown(&body.verdict),
            shown(&body.hold_point),
            shown(&body.job),
            shown(&body.judged_at),
            shown(&body.time_zone)
        );
        let _ = writeln!(text, "  for {}", shown(&filled_words(&body.assemblies)));
        if report.may_start()
            && let Some(until) = &body.valid_until
        {
            let _ = writeln!(text, "  until {}", shown(until));
        }
        for held in verified.held_by() {
            let subjects = held.subjects.join(", ");
            let _ = writeln!(text, "  held by {}: {} ({})", shown(held.rule), shown(held.title), shown(&subjects));
        }
        for line in permits {
            permit::describe(text, line);
        }
    }
    stops(text, targets);
    for signed in &report.signatures {
        signature(text, signed, zone);
    }
    for reason in report.reasons() {
        let _ = writeln!(text, "  {}: {reason}\n    {}", reason.code(), shown(reason.help()));
    }
    if report.rejudged && report.in_order() {
        let _ = writeln!(text, "  checked again with the same findings");
    }
    for otherwise in &report.otherwise {
        let (place, edition) = (shown(&otherwise.place), shown(&otherwise.edition));
        let _ = writeln!(text, "  worked out otherwise by {edition}: {place}");
    }
}

/// What stops a fill that may start.
pub(crate) fn stops(text: &mut String, targets: &[Target]) {
    for line in explain::stops(targets).iter().filter(|_| !targets.is_empty()) {
        let _ = writeln!(text, "  {}", shown(line));
    }
}

/// Who signed, as what and when by the clock of the zone, and what the signature is worth.
pub(crate) fn signature(text: &mut String, signed: &Signed, zone: &Zone) {
    let role = signed.role.map_or("", |role| role.word());
    let at = signed.at.map(|at| at.in_zone(zone).to_string()).unwrap_or_default();
    let standing = match (&signed.fault, &signed.since) {
        (Some(_), _) => "does not count",
        // Whoever has a key that was revoked can have signed at any time.
        (None, Some(Reason::KeyRevokedSince { .. })) => "by a key that has been revoked since",
        (None, Some(_)) => "was good when it was made",
        (None, None) => "good",
    };
    let who = if signed.who.is_empty() { "somebody" } else { &signed.who };
    let _ = writeln!(text, "  signed by {}, {role}, {at}: {standing}", shown(who));
}

/// A path that cannot act on the terminal and stays on one line.
fn named(path: &Path) -> String {
    whole(&shown(&path.display().to_string()))
}
