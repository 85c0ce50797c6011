//! Faults of one kind: a few are shown in full, and of the rest only where they are.
//!
//! Must not know how a fault is drawn.

use std::collections::BTreeMap;

use fillward::document::Fault;

/// So many of one kind are shown: what is wrong with seven rows of a log is seen at three of them.
const IN_FULL: usize = 3;

/// A fault to be shown, and where the further ones of its kind are.
pub(crate) struct ShownFault<'f> {
    /// The fault.
    pub(crate) fault: &'f Fault,
    /// Behind the last one of a kind that is shown: how many more there are, and in which lines.
    pub(crate) further: Option<String>,
}

/// The faults that are shown in full, in their order.
pub(crate) fn shown(faults: &[Fault]) -> Vec<ShownFault<'_>> {
    let mut kinds: BTreeMap<(String, String, String), Vec<&Fault>> = BTreeMap::new();
    for fault in faults {
        kinds.entry(kind(fault)).or_default().push(fault);
    }
    let place = |fault: &Fault| kinds.get(&kind(fault))?.iter().position(|one| std::ptr::eq(*one, fault));
    let shown = faults.iter().filter_map(|fault| {
        let at = place(fault)?;
        let rest = kinds.get(&kind(fault))?.get(IN_FULL..).unwrap_or_default();
        let further = (at + 1 == IN_FULL && !rest.is_empty()).then(|| further(rest));
        (at < IN_FULL).then_some(ShownFault { fault, further })
    });
    shown.collect()
}

/// What faults of one kind share: all that is said but for the values of the file.
fn kind(fault: &Fault) -> (String, String, String) {
    let bare = |text: &str| text.split('`').step_by(2).collect::<Vec<_>>().join("`");
    (fault.code().word().to_owned(), bare(fault.message()), bare(fault.cure().unwrap_or_default()))
}

fn further(rest: &[&Fault]) -> String {
    let lines: Vec<String> = rest.iter().filter_map(|fault| line(fault)).collect();
    let lines = match lines.split_last() {
        None => String::new(),
        Some((only, [])) => format!(", in line {only}"),
        Some((last, others)) => format!(", in lines {} and {last}", others.join(", ")),
    };
    format!("and {} more alike{lines}", rest.len())
}

/// The line of a fault, with its file where that is not the first of its source.
fn line(fault: &Fault) -> Option<String> {
    let (source, span) = fault.source().zip(fault.span())?;
    let (line, file) = (source.line_and_column(span.start).0, source.name_at(span.start));
    Some(if file == source.name() { line.to_string() } else { format!("{line} of {file}") })
}
