//! The instruments that readings name, and the people whose marks stand for their names.
//!
//! Must not know what an instrument does to a reading.

use super::expand::Expander;
use super::nodes::{
    at_mut, entries, instant, items, items_mut, mark_of, moved, said, said_at, scalar, take, value_mut,
};
use super::sections::{CREW, INSTRUMENTS};
use super::{broken_program, refusals};
use crate::document::{Content, Entry, Node, Path};
use crate::record::catalogue::choices::{Choice, CrewPart};
use crate::record::catalogue::person;
use crate::record::read::of_people;
use crate::units::Day;
use crate::vocabulary::Subject;

/// The mark of an instrument where a reading names it.
struct NamedInstrument {
    /// The key under which it stands.
    key: &'static str,
    mark: Node,
    /// The day on which it was used.
    day: Option<Day>,
}

impl Expander<'_> {
    /// Brings in the gauges and thermometers whose marks stand in the record.
    pub(super) fn instruments(&mut self, root: &mut Node) {
        let Some(shop) = self.shop else { return };
        let mut all: Vec<NamedInstrument> = Vec::new();
        self.marks_in(root, &mut all);
        for (section, key) in INSTRUMENTS {
            let mut own: Vec<Node> = Vec::new();
            for (index, item) in items_mut(root, section.key).iter_mut().enumerate() {
                let Some(mark) = said(item, "mark").cloned() else { continue };
                // What the record says of an instrument of the shop stands beside what its entry says.
                if let Some(text) = scalar(&mark).filter(|text| shop.find(section.key, text).is_some())
                    && let Some(facts) = self.entry(section, &mark)
                {
                    self.lay(item, facts, (section.one, text), &Path::root().child(section.key).child(index));
                }
                own.push(mark);
            }
            let mut added: Vec<Node> = Vec::new();
            // The entry is that of the day on which the instrument was used first, and must be in force on the others.
            let mut entered: Vec<(String, Option<&Node>)> = Vec::new();
            for NamedInstrument { mark, day, .. } in all.extract_if(.., |named| named.key == *key) {
                let is = |known: &Node| scalar(known) == scalar(&mark);
                if own.iter().any(is) {
                    continue;
                }
                let text = scalar(&mark).unwrap_or_default();
                if let Some((_, entry)) = entered.iter().find(|(known, _)| known == text) {
                    if let Some(entry) = entry {
                        self.in_force(section.one, text, mark.span, entry, day);
                    }
                    continue;
                }
                let entry = shop.find_on(section.key, text, day).map(|(_, entry)| entry);
                entered.push((text.to_owned(), entry));
                let Some(mut facts) = self.entry_on(section, &mark, day) else { continue };
                let own = entry.and_then(|entry| said(entry, "mark")).map_or(mark, |own| moved(own, self.base));
                if let Content::Map(entries) = &mut facts.value {
                    let entry = Entry { key: "mark".into(), key_span: own.span, node: own };
                    entries.insert(0, entry);
                }
                added.push(facts);
            }
            self.add(root, section.key, added);
        }
    }

    /// Adds entries to a list of the record.
    fn add(&mut self, root: &mut Node, key: &str, added: Vec<Node>) {
        let Some(first) = added.first() else { return };
        let span = first.span;
        match value_mut(root, key) {
            Some(Node { value: Content::List(items), .. }) => items.extend(added),
            Some(list) if list.value == Content::Null => *list = Node { span, value: Content::List(added) },
            Some(list) => {
                let span = list.span;
                self.refuse(refusals::shape("a list", "write one entry for each, behind a dash", span));
            }
            None => match &mut root.value {
                Content::Map(entries) => {
                    let node = Node { span, value: Content::List(added) };
                    entries.push(Entry { key: key.into(), key_span: span, node });
                }
                _ => self.refuse(broken_program("instruments are named and there is no record").label(root.span, "")),
            },
        }
    }

    /// Replaces marks by names wherever a person is named. Who looked at something and is not of the crew of the job
    /// stands in the record as its inspector: the shop file says what they are trained in.
    pub(super) fn persons(&mut self, root: &mut Node) {
        let catalogue = self.catalogue;
        let mut looked: Vec<Node> = Vec::new();
        for fact in of_people() {
            let Some(spec) = catalogue.spec(fact) else { continue };
            match fact.subject {
                Subject::Assembly => {
                    let assemblies = items_mut(root, "assemblies").iter_mut();
                    looked.extend(assemblies.filter_map(|assembly| self.person(assembly, &spec.name)));
                }
                _ => looked.extend(self.person(root, &spec.name)),
            }
        }
        self.inspectors(root, looked);
    }

    /// Refuses the instruments of a stamp that neither the shop nor the record has, whether or not anything was read
    /// with them. Those of the shop go with the record, whose stamp names them.
    pub(super) fn instruments_known(&mut self, stamp: &Node, root: &Node) {
        let named = INSTRUMENTS.iter().filter_map(|(section, key)| Some((*section, said(stamp, key)?)));
        for (section, node) in named {
            let (Some(shop), Some(mark)) = (self.shop, scalar(node)) else { continue };
            let is_own = |own: &Node| mark_of(own) == Some(mark);
            if let Some((index, _)) = shop.find_on(section.key, mark, self.day) {
                self.note(section.key, index);
            } else if !items(root, section.key).iter().any(is_own) {
                let known = shop.marks(section.key);
                self.refuse(refusals::unknown_mark(section.one, section.key, mark, node.span, &known));
            }
        }
    }

    /// A mark of the crew becomes its name, as of the day that stands beside it, and its entry is given; a full name stays.
    fn person(&mut self, holder: &mut Node, place: &str) -> Option<Node> {
        let beside = place.rsplit_once('.').and_then(|(group, _)| said_at(holder, &format!("{group}.at")));
        let day = beside.and_then(|at| self.day_of(at)).or(self.day);
        let node = at_mut(holder, place)?;
        let (shop, text) = (self.shop?, scalar(node)?);
        // Names have a blank and marks have none: what is neither mark nor name is a slip.
        if shop.find(CREW.key, text).is_none() && text.contains(' ') {
            return None;
        }
        let named = node.clone();
        let entry = self.entry_on(&CREW, &named, day)?;
        let Some(name) = said(&entry, "name") else {
            let empty = entry.entry("name").map_or(entry.span, |name| name.key_span);
            self.refuse(refusals::nameless(empty, &named, self.slice(named.span)));
            return None;
        };
        let name = name.value.clone();
        at_mut(holder, place)?.value = name;
        Some(entry)
    }

    /// Adds those of the entries that nobody of the crew of the job has, where the job has a crew.
    fn inspectors(&self, root: &mut Node, looked: Vec<Node>) {
        let Some(Node { value: Content::List(people), .. }) = value_mut(root, "people") else { return };
        let role = self.catalogue.spec(person::ROLE).map(|spec| spec.name.as_ref());
        for mut entry in looked {
            let name = |person: &Node| said(person, "name").and_then(scalar).map(str::to_owned);
            let is_known = people.is_empty() || people.iter().any(|known| name(known) == name(&entry));
            let (false, Some(role)) = (is_known, role) else { continue };
            take(&mut entry, role);
            let node = Node { span: entry.span, value: Content::Text(CrewPart::Inspector.word().into()) };
            if let Content::Map(facts) = &mut entry.value {
                facts.push(Entry { key: role.into(), key_span: node.span, node });
            }
            people.push(entry);
        }
    }

    /// The day of an instant.
    fn day_of(&self, at: &Node) -> Option<Day> {
        Some(instant(at)?.day_in(self.zone))
    }

    /// The marks of instruments anywhere in a tree, in its order, each with the day on which it was used: that of its
    /// reading, those of the rows of its log, or that of the job.
    fn marks_in(&self, node: &Node, found: &mut Vec<NamedInstrument>) {
        if let Content::List(items) = &node.value {
            for item in items {
                self.marks_in(item, found);
            }
        }
        for entry in entries(node) {
            if scalar(&entry.node).is_none() {
                self.marks_in(&entry.node, found);
                continue;
            }
            let Some((_, key)) = INSTRUMENTS.iter().find(|(_, key)| entry.key == **key) else { continue };
            let at = |node: &Node| said(node, "at").and_then(|at| self.day_of(at));
            let rows = entries(node).iter().filter_map(|entry| match &entry.node.value {
                Content::List(rows) => Some(rows.iter().filter_map(at)),
                _ => None,
            });
            let mut days: Vec<Day> = at(node).into_iter().chain(rows.flatten()).collect();
            days.dedup();
            let named = |day: Option<Day>| NamedInstrument { key, mark: entry.node.clone(), day };
            match days.as_slice() {
                [] => found.push(named(self.day)),
                days => found.extend(days.iter().map(|day| named(Some(*day)))),
            }
        }
    }
}
