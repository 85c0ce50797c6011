//! Verified files one after the other, in full.

use std::fmt::Write as _;
use std::path::Path;

use fillward::checklist::body::ChecklistBody;
use fillward::checklist::filled::Filled;
use fillward::checklist::packs::PackPart;
use fillward::checklist::verify::{CheckedSignature, Otherwise, Verification};
use fillward::checklist::{Reason, TrustReason};
use fillward::desk::{Answer, PermitLine, Verified};
use fillward::document::prose::capital;
use fillward::engine::Aims;
use fillward::explain;
use fillward::units::{Instant, Zone};
use fillward::vocabulary::{HoldPoint, quoted, shown};
use miette::Diagnostic as _;

use super::super::output::{named, signer_name};
use super::overview::{Overview, SeenOnce};

/// All files, and what they come to where there are several.
pub(super) fn text(seen: &SeenOnce) -> String {
    let rows = &seen.rows;
    let mut text = String::new();
    let several = rows.len() > 1;
    let mut told: Vec<Vec<String>> = Vec::new();
    for (path, row) in rows {
        match row {
            Ok(verified) => {
                say(&mut text, path, verified, several);
                let lines = for_all(verified).filter(|lines| several && !told.contains(lines));
                told.extend(lines);
            }
            Err(failure) => {
                let cure = failure.help().map(|help| format!("\n    {}", shown(&help.to_string()))).unwrap_or_default();
                let name = named(path);
                let _ = writeln!(text, "Not verified: {name}\n  {}{cure}", shown(&failure.to_string()));
            }
        }
    }
    for lines in told {
        let _ = writeln!(text, "For each of those that may start:");
        for line in lines {
            let _ = writeln!(text, "  {}", shown(&line));
        }
    }
    if several {
        let overview = Overview::of(rows);
        let _ = writeln!(text, "\n{}", overview.line(rows.len()));
        for held in &overview.rules {
            let _ = writeln!(text, "  {held}");
        }
        for line in overview.copies_named() {
            let _ = writeln!(text, "{line}");
        }
    }
    for line in seen.remarks() {
        let _ = writeln!(text, "{line}");
    }
    text
}

/// Said where the signatures hold and that says nothing.
const NOT_ACCEPTED: &str = "SIGNED BY THE TRUST FILE GIVEN, AND NOBODY HERE HAS ACCEPTED ITS OWNER";
/// The same where no owner was named: whether one was accepted is then not the question.
const UNPINNED: &str = "SIGNED BY THE TRUST FILE GIVEN, AND NOBODY SAID WHOSE TRUST FILE IT MUST BE";

/// What is said where the signatures hold and nobody knows whose they are.
fn of_nobody_known(report: &Verification) -> &'static str {
    let unpinned = |bar: &Reason| matches!(bar, Reason::OfTrust(TrustReason::Unpinned));
    if report.bars.iter().any(unpinned) { UNPINNED } else { NOT_ACCEPTED }
}

/// What is told of every job alike that may start; once for all of several.
fn for_all(Verified { answer, report, aims, .. }: &Verified) -> Option<Vec<String>> {
    let point = report.body.as_ref().map(|body| body.hold_point).unwrap_or_default();
    (*answer == Answer::MayStart).then(|| explain::going_on_with_each(point, aims))
}

fn say(text: &mut String, path: &Path, verified: &Verified, one_of_several: bool) {
    let Verified { answer, report, aims, zone, .. } = verified;
    let point = report.body.as_ref().map(|body| body.hold_point).unwrap_or_default();
    let stop = if report.old { "Nothing starts by it any more." } else { report.stops_at().stop() };
    let _ = writeln!(text, "{}  {}", headline(*answer, report, stop), named(path));
    if *answer == Answer::Doubtful {
        let _ = writeln!(text, "  {stop}");
    }
    // What keeps it from starting comes first, each with its cure.
    let is_old = *answer == Answer::Old;
    for reason in report.reasons().filter(|reason| !(is_old && reason.is_of_age())) {
        let _ = writeln!(text, "  {reason} ({})\n    {}", reason.code(), shown(&verified.cure(reason)));
    }
    if let Some(body) = &report.body {
        content(text, verified, body);
    }
    if *answer == Answer::MayStart && one_of_several {
        for line in explain::brought_to(point, aims) {
            let _ = writeln!(text, "  {}", shown(&line));
        }
    } else if *answer == Answer::MayStart {
        going_on(text, point, aims);
    }
    for signed in &report.signatures {
        signature(text, signed, zone);
    }
    if is_old {
        text.push_str("  what it was for is over, and it is kept as evidence: keys and trust files end as planned\n");
    }
    if report.rejudged && report.in_order() {
        let what = if report.otherwise.is_empty() { "result" } else { "verdict, other figures" };
        let _ = writeln!(text, "  judged again just now: same {what}");
    }
    if report.shop_elsewhere {
        text.push_str("  the shop file has changed elsewhere since; what this job draws on stands in it as it did\n");
    }
    for line in worked_out(&report.otherwise) {
        let _ = writeln!(text, "  {}", shown(&line));
    }
}

/// The answer in words.
fn headline(answer: Answer, report: &Verification, stop: &str) -> String {
    let point = report.body.as_ref().map(|body| body.hold_point).unwrap_or_default();
    match answer {
        Answer::MayStart => capital(point.may()),
        Answer::CouldHaveStarted { at } => format!("At {at} {}", point.could_have()),
        Answer::InOrder => format!("In order. {stop}"),
        Answer::Old => format!("In order, old. {stop}"),
        Answer::DoesNotFit if report.is_of_a_later_version() => format!("Your trust file is too old for it. {stop}"),
        Answer::DoesNotFit if report.is_of_another_shop() => format!("It does not fit what was given. {stop}"),
        Answer::DoesNotFit => format!("In order, but it does not fit what was given. {stop}"),
        Answer::OwnerNotAccepted => format!("{}. {stop}", of_nobody_known(report)),
        Answer::NotYet => format!("It was not there yet at the time that you ask for. {stop}"),
        Answer::Doubtful => "NOT TO BE RELIED ON".to_owned(),
    }
}

/// What the file says of the job, and what was found about that.
fn content(text: &mut String, verified: &Verified, body: &ChecklistBody) {
    let Verified { report, permits, .. } = verified;
    let _ = writeln!(
        text,
        "  {} {} · job {} · checked {} in {}",
        body.verdict.word(),
        body.hold_point.word(),
        quoted(&body.job),
        shown(&Instant::told(&body.judged_at)),
        shown(&body.time_zone)
    );
    let trust = &body.inputs.trust;
    let packs: Vec<String> = body.packs().iter().map(PackPart::title).collect();
    let _ = writeln!(
        text,
        "  of {}, by its trust file version {} · by {}",
        quoted(&trust.shop),
        trust.version,
        shown(&packs.join(" + "))
    );
    if body.rehearsal {
        text.push_str("  a practice run, by which nothing ever starts\n");
    }
    covered(text, &body.assemblies, &report.not_covered);
    for change in &report.changes {
        let before = body.hold_point.previous().unwrap_or_default();
        let _ = writeln!(text, "  changed since: {}", shown(&change.sentence(before)));
    }
    if report.may_start()
        && let Some(until) = &body.valid_until
    {
        let _ = writeln!(text, "  until {}", shown(&Instant::told(until)));
    }
    for held in verified.held_by() {
        let subjects = held.subjects.join(", ");
        let _ = writeln!(text, "  held by {}: {} ({})", shown(&held.rule), shown(&held.title), shown(&subjects));
    }
    for line in permits {
        permit_line(text, line);
    }
}

/// Each value that another edition or build had worked out otherwise.
pub(crate) fn worked_out(otherwise: &[Otherwise]) -> impl Iterator<Item = String> + '_ {
    let line = |Otherwise { place, then, now, by }: &Otherwise| {
        format!("worked out otherwise by {by}: {place} was {then}, and is {now}")
    };
    otherwise.iter().map(line)
}

/// What a file is worth by itself, as the first lines of a page about it: the head, what speaks against it or against whose
/// trust file it was held to, and what was worked out otherwise.
pub(crate) fn worth(Verified { answer, report, .. }: &Verified) -> Vec<String> {
    let head = match answer {
        Answer::Doubtful => "NOT TO BE RELIED ON",
        Answer::OwnerNotAccepted => of_nobody_known(report),
        _ if report.is_of_another_shop() => "NOT VERIFIED: it is of another shop than the trust file given",
        _ if report.is_of_a_later_version() => "NOT VERIFIED: it was signed by a later version of the trust file",
        _ if !report.rejudged => "VERIFIED in part: the signatures are good, and it was not checked again",
        Answer::Old => "VERIFIED: in order, old",
        _ => "VERIFIED: in order",
    };
    let of_trust = report.bars.iter().filter(|bar| bar.leaves_open_whose() || bar.is_of_memory());
    let reasons = report.faults.iter().chain(of_trust).map(ToString::to_string);
    let first = std::iter::once(head.to_owned()).chain(reasons).collect::<Vec<_>>().join("; ");
    std::iter::once(first).chain(worked_out(&report.otherwise)).collect()
}

/// What is told where work may go on.
pub(crate) fn going_on(text: &mut String, point: HoldPoint, aims: &Aims) {
    for line in explain::going_on(point, aims) {
        let _ = writeln!(text, "  {}", shown(&line));
    }
}

/// Who signed, as what and when by the clock of the zone, and what the signature is worth.
pub(crate) fn signature(text: &mut String, signed: &CheckedSignature, zone: &Zone) {
    let role = signed.role.map_or("in no role that can be read", |role| role.word());
    let at = signed.at.map_or_else(|| "at no time that can be read".to_owned(), |at| at.in_zone(zone).to_string());
    let standing = match (&signed.fault, &signed.since) {
        (Some(_), _) => "does not count",
        // Anyone who has a key that was revoked can have signed at any time.
        (None, Some(Reason::KeyRevokedSince { .. })) => "by a key that has been revoked since",
        (None, _) if signed.witness => "good, as a witness: made too late to fill a role",
        (None, Some(_)) => "was good when it was made",
        (None, None) => "good",
    };
    let who = if signed.who.is_empty() { "somebody" } else { &signed.who };
    let _ = writeln!(text, "  signed by {}, {role}, {at}: {standing}", shown(who));
}

/// What is filled, each by its number on a line of its own: a mark cannot pass for two of them.
pub(crate) fn assemblies(text: &mut String, head: &str, filled: &[Filled]) {
    let noun = if filled.len() == 1 { "assembly" } else { "assemblies" };
    let _ = writeln!(text, "  {head} {} {noun}{}", filled.len(), if filled.is_empty() { "" } else { ":" });
    each(text, 1, filled);
}

fn each(text: &mut String, first: usize, filled: &[Filled]) {
    for (number, filled) in (first..).zip(filled) {
        let _ = writeln!(text, "    {number}. {}", filled.in_words());
    }
}

/// What a checklist is for and, where that is not all of its record, what it is not for: who reads that something may start
/// must not take it for the whole job.
pub(crate) fn covered(text: &mut String, filled: &[Filled], not_covered: &[Filled]) {
    if not_covered.is_empty() {
        return assemblies(text, "for", filled);
    }
    let all = filled.len() + not_covered.len();
    let _ = writeln!(text, "  for ONLY {} of the {all} assemblies of this job:", filled.len());
    each(text, 1, filled);
    // Counted on: no number stands for two of them.
    let _ = writeln!(text, "  {NOT_COVERED}");
    each(text, filled.len() + 1, not_covered);
}

/// Said before the assemblies of a job that a checklist does not cover.
pub(crate) const NOT_COVERED: &str = "NOT COVERED, nothing is done to these by it:";

/// The words before what a permit was given for.
pub(crate) const COVERS: &str = "covers the fill of";

/// A permit as people read it: what stays broken, who lets it pass, for whom, why and until when.
pub(crate) fn permit_line(text: &mut String, permit: &PermitLine) {
    let PermitLine { code, body, by, asker_signed, asked_at: _, signed: _ } = permit;
    let _ = writeln!(text, "  broken, permitted: {} of {}", shown(code), quoted(&body.subject_words()));
    assemblies(text, COVERS, &body.filled);
    let _ = writeln!(
        text,
        "    by {}, asked by {}{}, until {}: {}",
        shown(&by.as_ref().map_or_else(|| "nobody".to_owned(), signer_name)),
        shown(&body.asked_by),
        if *asker_signed { ", who signed too" } else { ", who has not signed" },
        shown(&Instant::told(&body.until)),
        shown(&body.reason)
    );
}
