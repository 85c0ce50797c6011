//! What stands above the lines of a template: the fact in the short form, and the marks that there are.
//!
//! Must not know how a template is laid out.

use crate::document::prose::in_quotes;
use crate::record::shop::sections::{Section, comes_days_later};
use crate::record::shop::{Shop, logs};
use crate::record::template::explained;
use crate::record::{Catalogue, FactKind, FactSpec};

/// How the instants of the catalogue's examples end, and how long their days are.
const SECONDS_AND_OFFSET: &str = ":00-06:00";
const LENGTH_OF_DAY: usize = "2026-03-04".len();

pub(super) fn marks(shop: &Shop, section: &Section) -> String {
    let marks = shop.marks(section.key);
    if marks.is_empty() { "none yet".to_owned() } else { in_quotes(marks) }
}

/// What is said of a fact where it may be written short.
pub(super) fn short_explained(spec: &FactSpec, of_a_day: bool) -> String {
    match spec.kind {
        FactKind::Log(columns) => {
            let row = logs::example(columns);
            format!("{} One line a row, such as `- {row}`; a row of another day says its day in front.", spec.about)
        }
        _ => with_short_times(&explained(spec), of_a_day && !comes_days_later(spec)),
    }
}

/// The instants of a text as times of the day, with their day where they stand on none.
fn with_short_times(text: &str, of_a_day: bool) -> String {
    let mut parts = text.split(SECONDS_AND_OFFSET).peekable();
    let mut short = String::new();
    while let Some(part) = parts.next() {
        match part.rsplit_once('T').filter(|_| parts.peek().is_some()) {
            Some((before, time)) => {
                let cut = before.len().saturating_sub(if of_a_day { LENGTH_OF_DAY } else { 0 });
                short.push_str(before.get(..cut).unwrap_or(before));
                short.push_str(if of_a_day { "" } else { " " });
                short.push_str(time);
            }
            None => short.push_str(part),
        }
    }
    short
}

/// What is said of the mark of a card: which cards there are, and what is written out where there is none.
pub(super) fn without_card(catalogue: &Catalogue, shop: &Shop, section: &Section) -> String {
    let facts = catalogue.keys_of(section.subject).filter_map(|key| {
        let spec = catalogue.spec(key).filter(|spec| section.takes(key, spec))?;
        spec.name.strip_prefix(section.base)
    });
    let facts: Vec<&str> = facts.collect();
    let (one, marks) = (section.one, marks(shop, section));
    format!("The mark of the {one}; one of: {marks}. Without one, write out: {}.", in_quotes(facts))
}
