//! Values of a checklist that its published schema does not allow, no matter who signed them.
//!
//! The shape of the content is held by its types; what they leave open is held here, so that no file is in order for this
//! program and refused by the schema. This module must not know signatures or trust.

use super::faults::gathered_faults;
use super::met::MetName;
use super::{ChecklistBody, NAME};
use crate::checklist::packs::is_digest;
use crate::document::{Code, Fault};
use crate::vocabulary::{Subject, unfit_on_a_checklist};

/// The first value out of its bounds, as a fault.
pub(super) fn check(body: &ChecklistBody) -> Option<Fault> {
    let found = value(body).or_else(|| not_filled(body))?;
    Some(
        Fault::new(Code::ChecklistContent, format!("the content is not that of a checklist: {found}"))
            .help("do not trust this file; no edition of fillward writes it"),
    )
}

/// The job number and the marks of a body.
fn names(body: &ChecklistBody) -> impl Iterator<Item = &str> {
    std::iter::once(body.job.as_str()).chain(body.assemblies.iter().filter_map(|filled| filled.mark.as_deref()))
}

/// The names of the rules that are met.
fn rules(body: &ChecklistBody) -> impl Iterator<Item = &str> {
    body.findings.ruled_out.iter().flat_map(|seen| &seen.rules).map(|rule| rule.first().map_or("", String::as_str))
}

/// Whether a text is an edition of the program: three numbers.
fn is_edition(text: &str) -> bool {
    let is_number = |part: &str| (1..=9).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit());
    text.split('.').count() == 3 && text.split('.').all(is_number)
}

/// Whether a text names a build of the program.
fn is_build(text: &str) -> bool {
    text.len() == 16 && text.bytes().all(|byte| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte))
}

fn value(body: &ChecklistBody) -> Option<String> {
    let trust = &body.inputs.trust;
    let packs = body.inputs.packs.iter().map(|pack| &pack.sha256);
    let shop = body.inputs.shop_file.iter().map(|shop| &shop.sha256);
    let mut digests =
        [&body.inputs.record.sha256, &trust.sha256].into_iter().chain(packs).chain(shop).chain(&body.before);
    if body.job.is_empty() {
        Some("the job number is empty".to_owned())
    } else if let Some((name, why)) = names(body).find_map(|name| Some((name, unfit_on_a_checklist(name)?))) {
        Some(format!("`{name}` stands for one job or one assembly, and {why}"))
    } else if trust.version < 1 {
        Some(format!("the version {} of the trust file is not 1 or more", trust.version))
    } else if gathered_faults(body.findings.each_fault()) != body.findings.faults {
        Some("its `faults` are gathered otherwise than by rule and by what was shown, in their order".to_owned())
    } else if let Some(seen) = body.findings.ruled_out.iter().find(|seen| seen.rules.is_empty()) {
        Some(format!("`{}` is said to meet something, and no rule stands there", seen.fact))
    } else if let Some(name) = rules(body).find(|name| MetName::read(name).is_none()) {
        Some(format!("`{name}` is said to be met, and is not written as a rule's name"))
    } else if body.program.name != NAME {
        Some(format!("it was judged by `{}`, and not by {NAME}", body.program.name))
    } else if !is_edition(&body.program.edition) {
        Some(format!("`{}` is no edition of {NAME}", body.program.edition))
    } else if !is_build(&body.program.build) {
        Some(format!("`{}` is no build of {NAME}", body.program.build))
    } else if body.inputs.record.name.is_empty() || body.inputs.record.name.contains('/') {
        Some(format!("`{}` is no name of a record without folders", body.inputs.record.name))
    } else if let Some((of, _)) = body.findings.values.iter().find(|(of, _)| Subject::from_word(of).is_none()) {
        Some(format!("there are no values of `{of}`"))
    } else if let Some((of, _)) = body.findings.values.iter().find(|(_, rows)| rows.is_empty()) {
        Some(format!("values of `{of}` are said to be within their bounds, and none stands there"))
    } else if let Some((of, _)) = body.findings.values.iter().find(|(_, lines)| lines.contains(&String::new())) {
        Some(format!("a value of `{of}` is empty"))
    } else {
        digests.find(|digest| !is_digest(digest)).map(|digest| not_a_digest(digest))
    }
}

/// A member that this edition neither fills nor can hold against anything: what stands there would be taken unread.
fn not_filled(body: &ChecklistBody) -> Option<String> {
    let filled = [
        ("number", body.number.is_some()),
        ("register", body.register.is_some()),
        ("revision", body.revision.is_some()),
        ("variations", body.variations.is_some()),
    ];
    let (member, _) = filled.into_iter().find(|(_, filled)| *filled)?;
    Some(format!("`{member}` is filled in, which this edition cannot judge"))
}

fn not_a_digest(text: &str) -> String {
    format!("`{text}` is not 64 small hexadecimal digits")
}
