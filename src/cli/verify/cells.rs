//! What a verified file comes to in columns, for the table and for CSV.

use std::path::Path;

use fillward::checklist::Reason;
use fillward::checklist::body::ChecklistBody;
use fillward::checklist::filled::Filled;
use fillward::checklist::packs::PackPart;
use fillward::checklist::verify::{CheckedSignature, Otherwise};
use fillward::desk::{Answer, CHECKLIST_ENDING, HeldBy, Verified};
use fillward::document::Code;
use fillward::vocabulary::shown;

use super::super::failure::Failure;
use super::super::members::of_failure;
use super::overview::OverviewRow;

/// A column of CSV: what it is called, and what it holds, a list.
pub(super) struct CellColumn {
    /// The name.
    pub(super) name: &'static str,
    of: fn(&Verified) -> Vec<String>,
}

/// Every column of CSV behind that of the file, in its order.
pub(super) const COLUMNS: [CellColumn; 19] = [
    CellColumn { name: "answer", of: |verified| vec![verified.answer.word().to_owned()] },
    CellColumn { name: "job", of: |verified| of_body(verified, |body| Some(&body.job)) },
    CellColumn { name: "hold_point", of: |verified| of_body(verified, |body| Some(body.hold_point.word())) },
    CellColumn { name: "verdict", of: |verified| of_body(verified, |body| Some(body.verdict.word())) },
    CellColumn { name: "judged_at", of: |verified| of_body(verified, |body| Some(&body.judged_at)) },
    CellColumn { name: "valid_until", of: |verified| of_body(verified, |body| body.valid_until.as_deref()) },
    CellColumn {
        name: "rehearsal",
        of: |verified| of_body(verified, |body| Some(if body.rehearsal { "yes" } else { "no" })),
    },
    CellColumn { name: "time_zone", of: |verified| of_body(verified, |body| Some(&body.time_zone)) },
    CellColumn { name: "shop_of_the_file", of: |verified| of_body(verified, |body| Some(&body.inputs.trust.shop)) },
    CellColumn { name: "packs", of: packs },
    CellColumn {
        name: "assemblies",
        of: |verified| marks(verified.report.body.iter().flat_map(|body| &body.assemblies)),
    },
    CellColumn { name: "not_covered", of: |verified| marks(&verified.report.not_covered) },
    CellColumn { name: "signed_by", of: |verified| signers(verified, who) },
    CellColumn { name: "signed_at", of: signed_at },
    CellColumn { name: "signed_with_key", of: |verified| signers(verified, |signed| signed.kid.clone()) },
    CellColumn { name: "held_by", of: held_by },
    CellColumn { name: "permitted", of: permitted },
    CellColumn { name: "worked_out_otherwise", of: otherwise },
    CellColumn { name: "against_it", of: against },
];

/// What stands in each column of a row of CSV, that of the file first.
pub(super) fn cells((path, row): &OverviewRow) -> Vec<Vec<String>> {
    let verified = match row {
        Ok(verified) => verified,
        Err(failure) => return not_verified(path, failure),
    };
    let file = vec![path.display().to_string()];
    std::iter::once(file).chain(COLUMNS.iter().map(|column| (column.of)(verified))).collect()
}

/// The same of a file that was not verified.
pub(super) fn not_verified(path: &Path, failure: &Failure) -> Vec<Vec<String>> {
    let cell = |column: &CellColumn| match column.name {
        "answer" => vec![NOT_VERIFIED.to_owned()],
        "against_it" => codes_of(failure),
        _ => Vec::new(),
    };
    std::iter::once(vec![path.display().to_string()]).chain(COLUMNS.iter().map(cell)).collect()
}

/// The answer for a file that could not be read.
const NOT_VERIFIED: &str = "not verified";

fn codes_of(failure: &Failure) -> Vec<String> {
    let mut codes: Vec<String> = of_failure(failure).into_iter().map(|reason| reason.code).collect();
    codes.dedup();
    codes
}

/// A code as the table has it: of a checklist everything is.
pub(super) fn short(code: Code) -> &'static str {
    code.word().trim_start_matches("checklist/")
}

/// The heads of the table.
pub(super) const TABLE_COLUMNS: [&str; 6] = ["file", "job", "hold point", "checked", "signed by", "why"];

/// What stands in each column of a row of the table, without anything that could end a line. Files are named without the
/// ending that all checklists have.
pub(super) fn table_cells((path, row): &OverviewRow) -> Vec<String> {
    let name = path.display().to_string();
    let name = name.strip_suffix(CHECKLIST_ENDING).filter(|name| !name.ends_with('/')).unwrap_or(&name).to_owned();
    let rest = match row {
        Ok(verified) => {
            let body = verified.report.body.as_ref();
            let of = |of: fn(&ChecklistBody) -> &str| body.map(of).unwrap_or_default().to_owned();
            let day = |body: &ChecklistBody| body.judged_at.split('T').next().unwrap_or_default().to_owned();
            let day = body.map(day).unwrap_or_default();
            [
                of(|body| &body.job),
                of(|body| body.hold_point.word()),
                day,
                signers(verified, who).join(", "),
                why(verified),
            ]
        }
        Err(failure) => [
            String::new(),
            String::new(),
            String::new(),
            String::new(),
            codes_of(failure).into_iter().next().unwrap_or_default(),
        ],
    };
    std::iter::once(name).chain(rest).map(|cell| shown(&cell).into_owned()).collect()
}

/// What speaks against a file, or what held its job: the first, and how many more there are.
fn why(verified: &Verified) -> String {
    let all = if is_told_by_rules(verified) {
        // Which pack a rule is of stands in the other forms.
        let name = |held: HeldBy| held.rule.rsplit('/').next().unwrap_or_default().to_owned();
        verified.held_by().into_iter().map(name).collect()
    } else {
        against(verified)
    };
    match all.split_first() {
        // What may start is told as what it is: a part of its job.
        None if !verified.report.not_covered.is_empty() => {
            let covered = verified.report.body.as_ref().map_or(0, |body| body.assemblies.len());
            format!("only {covered} of {} assemblies", covered + verified.report.not_covered.len())
        }
        None => String::new(),
        Some((first, [])) => first.clone(),
        Some((first, more)) => format!("{first} +{}", more.len()),
    }
}

/// Whether the table says of a file what held its job, rather than what stands against the file.
fn is_told_by_rules(verified: &Verified) -> bool {
    verified.answer.is_in_order() && !verified.held_by().is_empty()
}

/// The code that a row of the table names, if it names one.
pub(super) fn told_code((_, row): &OverviewRow) -> Option<Code> {
    let verified = row.as_ref().ok().filter(|verified| !is_told_by_rules(verified))?;
    codes(verified).into_iter().next()
}

/// The state by which the table gathers files.
pub(super) fn group((_, row): &OverviewRow) -> String {
    row.as_ref().map_or_else(|_| NOT_VERIFIED.to_owned(), answer)
}

fn of_body(verified: &Verified, of: impl Fn(&ChecklistBody) -> Option<&str>) -> Vec<String> {
    verified.report.body.as_ref().and_then(of).map(str::to_owned).into_iter().collect()
}

/// The answer with what it is about: a PASS and a HOLD may both be in order.
fn answer(Verified { answer, report, .. }: &Verified) -> String {
    let Some(body) = &report.body else { return answer.word().to_owned() };
    let mut about = Vec::new();
    if *answer != Answer::Doubtful {
        if !body.passes() {
            about.push("HOLD".to_owned());
        }
        if body.rehearsal {
            about.push("practice run".to_owned());
        }
        match body.permits.len() {
            0 => {}
            1 => about.push("with 1 permit".to_owned()),
            count => about.push(format!("with {count} permits")),
        }
    }
    if about.is_empty() { answer.word().to_owned() } else { format!("{}: {}", answer.word(), about.join(", ")) }
}

fn otherwise(verified: &Verified) -> Vec<String> {
    let one = |Otherwise { place, then, now, by: _ }: &Otherwise| format!("{place}: {then}, now {now}");
    verified.report.otherwise.iter().map(one).collect()
}

fn held_by(verified: &Verified) -> Vec<String> {
    verified.held_by().into_iter().map(|held| held.rule).collect()
}

fn permitted(verified: &Verified) -> Vec<String> {
    verified.permits.iter().map(|permit| permit.code.clone()).collect()
}

fn packs(verified: &Verified) -> Vec<String> {
    verified.report.body.iter().flat_map(|body| body.packs().iter().map(PackPart::title)).collect()
}

fn marks<'a>(filled: impl IntoIterator<Item = &'a Filled>) -> Vec<String> {
    filled.into_iter().map(|filled| filled.mark.clone().unwrap_or_else(|| "without a mark".to_owned())).collect()
}

fn signers(verified: &Verified, of: impl Fn(&CheckedSignature) -> String) -> Vec<String> {
    verified.report.signatures.iter().map(of).collect()
}

/// Who signed; with a mark where the signature does not count, or its key was revoked since. That a key has ended as planned
/// is nothing against it.
fn who(signed: &CheckedSignature) -> String {
    let good = signed.fault.is_none() && !matches!(signed.since, Some(Reason::KeyRevokedSince { .. }));
    let who = if signed.who.is_empty() { "somebody" } else { &signed.who };
    format!(
        "{who}{}",
        if !good {
            " (!)"
        } else if signed.witness {
            " (witness)"
        } else {
            ""
        }
    )
}

fn signed_at(verified: &Verified) -> Vec<String> {
    let at =
        |signed: &CheckedSignature| signed.at.map(|at| at.in_zone(&verified.zone).to_record_text()).unwrap_or_default();
    signers(verified, at)
}

/// What stands against a file, by the short words of its codes.
fn against(verified: &Verified) -> Vec<String> {
    codes(verified).into_iter().map(|code| short(code).to_owned()).collect()
}

/// The codes of what stands against it; of an old file those that say more than that it is old.
fn codes(verified: &Verified) -> Vec<Code> {
    let is_old = verified.answer == Answer::Old;
    let mut codes: Vec<Code> = Vec::new();
    for reason in verified.report.reasons().filter(|reason| !(is_old && reason.is_of_age())) {
        if !codes.contains(&reason.code()) {
            codes.push(reason.code());
        }
    }
    codes
}
