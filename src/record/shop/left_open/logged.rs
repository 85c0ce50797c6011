//! Rows of the log of routines that the shop file does not have: what is done from time to time to an entry that is named.
//!
//! Must not know which rules ask for it.

use crate::document::{LeftOpen, Node, Path, Unnamed};
use crate::record::shop::expand::Expander;
use crate::record::shop::nodes::{further, items, mark_of, said, said_at, scalar};
use crate::record::shop::routines::KEY;
use crate::record::shop::sections::{CREW, PLACES, ROUTINES, Routine};
use crate::record::{FactKey, FactSpec};

impl Expander<'_> {
    /// The rows that would state what is not said of the entries that the record names.
    pub(super) fn rows_left_open(&self, root: &Node, place: Option<&str>) -> Vec<LeftOpen> {
        ROUTINES.iter().flat_map(|routine| self.rows_of(routine, root, place)).collect()
    }

    fn rows_of(&self, routine: &'static Routine, root: &Node, place: Option<&str>) -> Vec<LeftOpen> {
        let section = routine.section;
        let Some(list) = section.subject.record_key() else {
            let mark = if *section == PLACES {
                place
            } else {
                let group = said(root, section.base.trim_end_matches('.'));
                group.and_then(|group| said(group, section.named_by)).and_then(scalar)
            };
            return mark.and_then(|mark| self.row_left_open(routine, mark, root, &Path::root())).into_iter().collect();
        };
        let each = items(root, list).iter().enumerate();
        let each = each.filter_map(|(index, one)| {
            let mark = if *section == CREW { self.mark_of_person(one) } else { mark_of(one) };
            self.row_left_open(routine, mark?, one, &Path::root().child(list).child(index))
        });
        each.collect()
    }

    /// The mark of the entry of the shop file that has the name of a person of the record.
    fn mark_of_person(&self, person: &Node) -> Option<&str> {
        let name = said(person, "name").and_then(scalar)?;
        let mut crew = items(self.shop?.document().root(), CREW.key).iter();
        let entry = crew.find(|entry| said(entry, "name").and_then(scalar) == Some(name))?;
        mark_of(entry)
    }

    fn row_left_open(&self, routine: &Routine, mark: &str, whose: &Node, base: &Path) -> Option<LeftOpen> {
        let shop = self.shop?;
        let (_, entry) = shop.find(routine.section.key, mark)?;
        let spec = |key: FactKey| self.catalogue.spec(key);
        let is_open = |spec: &&FactSpec| said_at(whose, &spec.name).is_none();
        spec(routine.fact).filter(is_open)?;
        let open = [Some(routine.fact), routine.found].into_iter().flatten().filter_map(spec).filter(is_open);
        let places = open.map(|spec| spec.name.split('.').fold(base.clone(), |path, key| path.child(key))).collect();
        let log = shop.document().root().entry(KEY).map_or(entry.span, |log| log.key_span);
        Some(LeftOpen {
            what: Unnamed::Row(routine.row(mark, "")),
            written_at: Path::root().child(KEY),
            span: further(log, self.base),
            places,
        })
    }
}
