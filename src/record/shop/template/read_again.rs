//! What the sheet of the day says and may be read again before the fill: the lines by which a record says the later reading.
//!
//! Must not know how a template is laid out.

use super::ShopPage;
use super::stated::Stated;
use crate::record::shop::lines::{again, is_read_each_day};
use crate::record::{FactKey, FactSpec};
use crate::vocabulary::Subject;

/// What stands above the lines.
const WHY: &str = "Read again since the sheet of the day: write the line without its `#`. The later reading counts.";

impl ShopPage<'_> {
    /// Lines to write without their `#`, for what the sheet of the day says and was read once more since.
    pub(super) fn read_again(&mut self, stated: &Stated<'_>, subject: Subject, place: &str, indent: usize) {
        let lines = read_again(stated, subject, place);
        if !lines.is_empty() {
            self.comment(indent, WHY);
        }
        for line in lines {
            self.line(indent, &format!("# {line}"));
        }
    }
}

/// The lines for the readings right below a place that the shop file says, so that a record need not.
fn read_again(stated: &Stated<'_>, subject: Subject, place: &str) -> Vec<String> {
    let catalogue = stated.catalogue;
    let said = |key: FactKey, spec: &FactSpec| match subject {
        Subject::Component => stated.of_lots(key, &spec.name),
        _ => !stated.asks_job(key, spec),
    };
    let below = if place.is_empty() { String::new() } else { format!("{place}.") };
    let specs = catalogue.keys_of(subject).filter_map(|key| Some((key, catalogue.spec(key)?)));
    let read = specs.filter(|(key, spec)| is_read_each_day(catalogue, *key) && said(*key, spec));
    let here = read.filter_map(|(_, spec)| Some((spec.name.strip_prefix(below.as_str())?, spec)));
    here.filter(|(key, _)| !key.contains('.')).map(|(key, spec)| again(key, spec)).collect()
}
