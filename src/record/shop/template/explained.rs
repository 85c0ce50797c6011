//! What stands above the lines of a template: the fact in the short form, and the marks that there are.
//!
//! Must not know how a template is laid out.

use crate::document::prose::in_quotes;
use crate::record::instrument::instrument_named;
use crate::record::shop::assemblies::is_told_by_others;
use crate::record::shop::lines::with_short_times;
use crate::record::shop::sections::{INSTRUMENTS, Section, comes_days_later};
use crate::record::shop::{Shop, logs};
use crate::record::template::explained;
use crate::record::{Catalogue, FactKey, FactKind, FactSpec};

/// What stands above a shop file to fill in.
pub(super) const SHOP_HEAD: &str = "\
# yaml-language-server: $schema=./shop.schema.json
# Shop file for fillward: what lasts in the shop. Records name its entries by mark. Repeat
# the block of an entry (from its `-`) for each further one; take out what the shop does not
# have. What stays empty is not known yet.
# An entry may say `from:` and `until:`, the days between which it is in force.
shop: 1
# The name of the shop.
name:
# The time zone in which it lies, by the IANA database, such as `America/Chicago`.
zone:
";

/// What stands above a short record to fill in.
pub(super) const RECORD_HEAD: &str = "\
# yaml-language-server: $schema=./short-record.schema.json
# Job record for fillward. Write what is known after the colons; what stays empty is not
# known yet, and holds the job until it is found out. Quantities carry their unit; times are
# those of the day, `07:45`, or say their own, `2026-03-03 16:00`.
";

pub(super) fn marks(shop: &Shop, section: &Section) -> String {
    let marks = shop.marks(section.key);
    if marks.is_empty() { "none yet".to_owned() } else { in_quotes(marks) }
}

/// What is said of a fact where it may be written short.
pub(super) fn short_explained(spec: &FactSpec, of_a_day: bool) -> String {
    match spec.kind {
        FactKind::Log(columns) => {
            let row = logs::example(columns);
            let more = logs::further(columns);
            let about: Vec<String> = logs::optional(columns).map(|column| format!(" {}", column.about)).collect();
            format!(
                "{} One line a row, such as `- {row}`; a row of another day says its day in front{more}.{}",
                spec.about,
                about.concat()
            )
        }
        _ => with_short_times(&explained(spec), of_a_day && !comes_days_later(spec)),
    }
}

/// What may be left out where something else tells it, behind a blank.
pub(super) fn beside(key: FactKey) -> String {
    let instrument = instrument_named(key).map(|list| {
        let one =
            INSTRUMENTS.iter().find(|(section, _)| section.subject == list).map_or("", |(section, _)| section.one);
        format!(" Where it stays empty, the {one} of `read` at the head.")
    });
    let fitted = || is_told_by_others(key).then(|| " It may stay empty where a line below says more of it.".to_owned());
    instrument.or_else(fitted).unwrap_or_default()
}

/// What is said of the mark of a card: which cards there are, and what is written out where there is none.
pub(super) fn without_card(catalogue: &Catalogue, shop: &Shop, section: &Section) -> String {
    let facts = catalogue.keys_of(section.subject).filter_map(|key| {
        let spec = catalogue.spec(key).filter(|spec| section.takes(key, spec))?;
        section.within(&spec.name)
    });
    let facts: Vec<&str> = facts.collect();
    let (one, marks) = (section.one, marks(shop, section));
    format!("The mark of the {one}; one of: {marks}. Without one, write out: {}.", in_quotes(facts))
}
