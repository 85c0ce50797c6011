//! What a verified file comes to in columns, for the table and for CSV.

use fillward::desk::Verified;
use miette::Diagnostic as _;

use super::overview::Row;

/// The columns: whether the table has them as well, and their names.
pub(super) const HEADS: [(bool, &str); 11] = [
    (true, "file"),
    (true, "answer"),
    (true, "job"),
    (false, "hold point"),
    (false, "verdict"),
    (false, "judged at"),
    (false, "valid until"),
    (true, "signed by"),
    (true, "held by"),
    (false, "permitted"),
    (true, "against it"),
];

/// What stands in each column, each a list.
pub(super) fn cells((path, row): &Row) -> [Vec<String>; HEADS.len()] {
    let file = vec![path.display().to_string()];
    let verified = match row {
        Ok(verified) => verified,
        Err(failure) => {
            let mut cells: [Vec<String>; HEADS.len()] = std::array::from_fn(|_| Vec::new());
            let code = failure.code().map(|code| code.to_string());
            let [first, answer, .., against] = &mut cells;
            (*first, *answer, *against) = (file, vec!["not verified".to_owned()], code.into_iter().collect());
            return cells;
        }
    };
    let Verified { answer, report, permits, .. } = verified;
    let body = report.body.as_ref();
    let of_body = |of: fn(&fillward::checklist::body::ChecklistBody) -> Option<&str>| {
        body.and_then(of).map(str::to_owned).into_iter().collect::<Vec<_>>()
    };
    let signers = report.signatures.iter().map(|signed| {
        let good = signed.fault.is_none() && signed.since.is_none();
        format!("{}{}", if signed.who.is_empty() { "somebody" } else { &signed.who }, if good { "" } else { " (!)" })
    });
    let mut codes: Vec<String> = Vec::new();
    for reason in report.reasons() {
        let code = reason.code().word().trim_start_matches("checklist/").to_owned();
        if !codes.contains(&code) {
            codes.push(code);
        }
    }
    [
        file,
        vec![answer.word().to_owned()],
        of_body(|body| Some(&body.job)),
        of_body(|body| Some(&body.hold_point)),
        of_body(|body| Some(&body.verdict)),
        of_body(|body| Some(&body.judged_at)),
        of_body(|body| body.valid_until.as_deref()),
        signers.collect(),
        verified.held_by().into_iter().map(|held| held.rule.to_owned()).collect(),
        permits.iter().map(|permit| permit.code.clone()).collect(),
        codes,
    ]
}
