//! Faults of one kind: a few are shown in full, and of the rest only where they are.
//!
//! Must not know how a fault is drawn.

use std::collections::BTreeMap;

use fillward::document::{Fault, FaultKind};

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
    let mut kinds: BTreeMap<FaultKind, Vec<&Fault>> = BTreeMap::new();
    for fault in faults {
        kinds.entry(fault.kind()).or_default().push(fault);
    }
    let place = |fault: &Fault| kinds.get(&fault.kind())?.iter().position(|one| std::ptr::eq(*one, fault));
    let shown = faults.iter().filter_map(|fault| {
        let at = place(fault)?;
        let rest = kinds.get(&fault.kind())?.get(IN_FULL..).unwrap_or_default();
        let further = (at + 1 == IN_FULL && !rest.is_empty()).then(|| further(rest));
        (at < IN_FULL).then_some(ShownFault { fault, further })
    });
    shown.collect()
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

#[cfg(test)]
mod tests {
    use fillward::document::{Code, Source, Span};

    use super::*;

    /// A fault at a line of a text in which every line is `x`.
    #[track_caller]
    fn at(source: &Source, line: usize, message: &str) -> Fault {
        let start = 2 * (line - 1);
        Fault::new(Code::RecordWrongKind, message)
            .label(Span::new(start, start + 1), "")
            .help("write it")
            .in_source(source)
    }

    /// Whatever faults there are, each is shown, or counted and told with its line; of one kind three are shown.
    #[test]
    fn every_fault_is_shown_or_told_with_its_line() {
        let source = Source::new("job.yaml", "x\n".repeat(40));
        for (one, other) in [(1, 0), (3, 0), (4, 0), (7, 2), (5, 5), (12, 4)] {
            let rows = (0..one).map(|place| at(&source, place + 1, &format!("`{place}` is no row")));
            let others = (one..one + other).map(|place| at(&source, place + 1, &format!("`{place}` is another row")));
            let faults: Vec<Fault> = rows.chain(others).collect();
            let told = shown(&faults);
            assert_eq!(told.len(), one.min(IN_FULL) + other.min(IN_FULL), "{one} and {other}");
            let further: Vec<&String> = told.iter().filter_map(|one| one.further.as_ref()).collect();
            for (count, first) in [(one, 1), (other, one + 1)].into_iter().filter(|(count, _)| *count > IN_FULL) {
                let rest: Vec<String> = (first + IN_FULL..first + count).map(|line| line.to_string()).collect();
                let is_told = |text: &&String| {
                    let opening = format!("and {} more alike, in line", rest.len());
                    text.starts_with(&opening) && rest.iter().all(|line| text.contains(line.as_str()))
                };
                assert!(further.iter().any(is_told), "{further:?}");
            }
            assert_eq!(further.len(), usize::from(one > IN_FULL) + usize::from(other > IN_FULL));
        }
    }
}
