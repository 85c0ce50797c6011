//! What a verified file comes to in columns, for the table and for CSV.

use fillward::checklist::Reason;
use fillward::checklist::body::ChecklistBody;
use fillward::checklist::packs::PackPart;
use fillward::checklist::verify::{CheckedSignature, Otherwise};
use fillward::desk::{Answer, Verified};
use miette::Diagnostic as _;

use super::overview::OverviewRow;

/// A column: what it is called in CSV and in the table, where it stands there, and what it holds, a list.
pub(super) struct CellColumn {
    /// The name in CSV.
    pub(super) csv: Option<&'static str>,
    /// The head in the table.
    pub(super) table: Option<&'static str>,
    of: fn(&Verified) -> Vec<String>,
}

/// Every column behind that of the file, in its order.
pub(super) const COLUMNS: [CellColumn; 20] = [
    CellColumn { csv: Some("answer"), table: None, of: |verified| vec![verified.answer.word().to_owned()] },
    CellColumn { csv: None, table: Some("answer"), of: |verified| vec![answer(verified)] },
    CellColumn { csv: Some("job"), table: None, of: |verified| of_body(verified, |body| Some(&body.job)) },
    CellColumn {
        csv: Some("hold_point"),
        table: None,
        of: |verified| of_body(verified, |body| Some(&body.hold_point)),
    },
    CellColumn { csv: None, table: Some("job"), of: job },
    CellColumn { csv: Some("verdict"), table: None, of: |verified| of_body(verified, |body| Some(&body.verdict)) },
    CellColumn { csv: Some("judged_at"), table: None, of: |verified| of_body(verified, |body| Some(&body.judged_at)) },
    CellColumn {
        csv: Some("valid_until"),
        table: None,
        of: |verified| of_body(verified, |body| body.valid_until.as_deref()),
    },
    CellColumn {
        csv: Some("rehearsal"),
        table: None,
        of: |verified| of_body(verified, |body| Some(if body.rehearsal { "yes" } else { "no" })),
    },
    CellColumn { csv: Some("time_zone"), table: None, of: |verified| of_body(verified, |body| Some(&body.time_zone)) },
    CellColumn {
        csv: Some("shop_of_the_file"),
        table: None,
        of: |verified| of_body(verified, |body| Some(&body.inputs.trust.shop)),
    },
    CellColumn { csv: Some("packs"), table: None, of: packs },
    CellColumn { csv: Some("assemblies"), table: Some("tyres"), of: marks },
    CellColumn { csv: Some("signed_by"), table: Some("signed by"), of: |verified| signers(verified, who) },
    CellColumn { csv: Some("signed_at"), table: None, of: signed_at },
    CellColumn {
        csv: Some("signed_with_key"),
        table: None,
        of: |verified| signers(verified, |signed| signed.kid.clone()),
    },
    CellColumn { csv: Some("held_by"), table: Some("held by"), of: held_by },
    CellColumn { csv: Some("permitted"), table: None, of: permitted },
    CellColumn { csv: Some("worked_out_otherwise"), table: Some("worked out otherwise"), of: otherwise },
    CellColumn { csv: Some("against_it"), table: Some("against it"), of: against },
];

/// What stands in each column of a row, that of the file first.
pub(super) fn cells((path, row): &OverviewRow) -> Vec<Vec<String>> {
    let file = vec![path.display().to_string()];
    let rest: Vec<Vec<String>> = match row {
        Ok(verified) => COLUMNS.iter().map(|column| (column.of)(verified)).collect(),
        Err(failure) => {
            let code = failure.code().map(|code| code.to_string());
            let cell = |column: &CellColumn| match column.csv.or(column.table) {
                Some("answer") => vec!["not verified".to_owned()],
                Some("against_it") => code.iter().cloned().collect(),
                _ => Vec::new(),
            };
            COLUMNS.iter().map(cell).collect()
        }
    };
    std::iter::once(file).chain(rest).collect()
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
            1 => about.push("1 permit".to_owned()),
            count => about.push(format!("{count} permits")),
        }
    }
    if about.is_empty() { answer.word().to_owned() } else { format!("{}: {}", answer.word(), about.join(", ")) }
}

/// The job, its hold point and the day on which it was checked.
fn job(verified: &Verified) -> Vec<String> {
    let day = |body: &ChecklistBody| body.judged_at.split('T').next().map(str::to_owned);
    let of = |body: &ChecklistBody| [body.job.clone(), body.hold_point.clone()].into_iter().chain(day(body)).collect();
    verified.report.body.as_ref().map(of).unwrap_or_default()
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

fn marks(verified: &Verified) -> Vec<String> {
    let marks = verified.report.body.iter().flat_map(|body| &body.assemblies);
    marks.map(|filled| filled.mark.clone().unwrap_or_else(|| "without a mark".to_owned())).collect()
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

/// The codes of what stands against it; of an old file those that say more than that it is old.
fn against(verified: &Verified) -> Vec<String> {
    let is_old = verified.answer == Answer::Old;
    let mut codes: Vec<String> = Vec::new();
    for reason in verified.report.reasons().filter(|reason| !(is_old && reason.is_of_age())) {
        let code = reason.code().word().trim_start_matches("checklist/").to_owned();
        if !codes.contains(&code) {
            codes.push(code);
        }
    }
    codes
}
