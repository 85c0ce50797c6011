//! From a short record and a shop file to the long record.
//!
//! What is written in the record comes first; then the place, the sheet of the day, the entries that are named by mark,
//! the rounds, and at last the instruments that readings name. Two statements of one fact are refused, but where the words
//! themselves say that one gives way: what is like another one, and what is as found on the round. This module must not
//! know where the texts come from.

use super::nodes::{
    Twice, at_mut, at_place, entries, further, items, items_mut, lay, moved, said, said_at, scalar, standing_for, take,
    value_mut,
};
use super::sections::{
    BELONGS, CREW, GAUGES, LOTS, MACHINES_OF, MATERIALS, MIX, NAMES_PERSON, PLACES, SCALE_DOUBT, SECTIONS, Section,
    THERMOMETERS, WEIGHED,
};
use super::sheets::{Sheet, read_with};
use super::times::{self, Keys};
use super::{Shop, broken_program, refusals};
use crate::document::{Code, Document, Entry, Fault, Faults, Node, Path, Source, Span, Value};
use crate::record::catalogue::HoldsFor;
use crate::record::{Catalogue, FactSpec};
use crate::units::{Day, Instant, Zone};
use crate::vocabulary::Subject;

/// A record that says everything, and what of the shop file it was made with.
#[derive(Debug, Clone)]
pub struct Expanded {
    /// The long record; its places lie in the record and, behind it, in the shop file.
    pub document: Document,
    /// The entries that were used, in the order of the shop file.
    pub used: Vec<UsedEntry>,
}

/// An entry of the shop file that the record draws on.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct UsedEntry {
    /// The key of its section.
    pub section: String,
    /// Its place in the section's list.
    pub index: usize,
    /// The bytes of the shop file that it is made of.
    pub span: Span,
}

/// Puts a record and a shop file together, for a judgement at an instant.
///
/// A record without short forms, read without a shop file, comes out as it is.
///
/// # Errors
/// Everything that cannot mean one thing only, with its places in both files.
pub fn expand(
    record: Document,
    shop: Option<&Shop>,
    catalogue: &Catalogue,
    zone: &Zone,
    at: Instant,
) -> Result<Expanded, Faults> {
    if let Some(fault) = refusals::header(record.root(), "record", "shop") {
        return Err(fault.in_source(record.source()).into());
    }
    let (written, root) = record.into_parts();
    let base = written.text().len();
    let source = match shop {
        Some(shop) => written.followed_by(shop.document().source()),
        None => written,
    };
    let keys = Keys::of(catalogue);
    let (faults, used) = (Vec::new(), Vec::new());
    let mut expander =
        Expander { shop, source, base, catalogue, keys, zone, at, day: None, elsewhere: Vec::new(), faults, used };
    let root = expander.record(root);
    let Expander { source, faults, mut used, .. } = expander;
    if let Some(shop) = shop.filter(|shop| !shop.confirmed && !faults.is_empty()) {
        // What the readers differ about comes before everything that follows from a reading.
        shop.document.confirm()?;
    }
    if let Some(missing) = faults.iter().find(|fault| fault.code() == Code::ShopNotGiven) {
        // Everything else follows from that: facts and zone are those of the shop.
        return Err(missing.clone().into());
    }
    Faults::none_of(faults)?;
    used.sort();
    used.dedup();
    if let Some(shop) = shop {
        shop.confirm(&used)?;
    }
    Ok(Expanded { document: Document::composed(source, root), used })
}

pub(super) struct Expander<'a> {
    pub(super) shop: Option<&'a Shop>,
    source: Source,
    /// Where the text of the shop file begins.
    pub(super) base: usize,
    pub(super) catalogue: &'a Catalogue,
    keys: Keys<'a>,
    pub(super) zone: &'a Zone,
    pub(super) at: Instant,
    /// The day of the job.
    day: Option<Day>,
    /// The groups of the record, such as its cage, of which a sheet or a round may mean another thing than the record.
    pub(super) elsewhere: Vec<&'static str>,
    faults: Vec<Fault>,
    used: Vec<UsedEntry>,
}

impl Expander<'_> {
    /// Notes a fault; of one place only the first, which the others follow from.
    pub(super) fn refuse(&mut self, fault: Fault) {
        if fault.span().is_none() || self.faults.iter().all(|known| known.span() != fault.span()) {
            self.faults.push(fault.in_source(&self.source));
        }
    }

    /// Refuses something of the shop file whose places are still those of its own text.
    pub(super) fn refuse_moved(&mut self, fault: &Fault) {
        let labels: Vec<_> = fault.labels().to_vec();
        let again = Fault::new(fault.code(), fault.message()).help(fault.cure().unwrap_or_default());
        let again =
            labels.into_iter().fold(again, |again, label| again.label(further(label.span, self.base), label.text));
        self.refuse(again);
    }

    /// The text at a place.
    pub(super) fn slice(&self, span: Span) -> &str {
        self.source.slice(span)
    }

    /// Notes that an entry of the shop file was used.
    pub(super) fn note(&mut self, section: &str, index: usize) {
        let item = self.shop.and_then(|shop| items(shop.document().root(), section).get(index));
        if let Some(item) = item {
            self.used.push(UsedEntry { section: section.to_owned(), index, span: item.span });
        }
    }

    /// Makes the times of a tree into instants.
    pub(super) fn times(&mut self, node: &mut Node, day: Option<Day>) {
        let mut faults = Vec::new();
        self.keys.expand(node, day, self.zone, &mut faults);
        for fault in faults {
            self.refuse(fault);
        }
    }

    /// Lays facts over others; what is said twice is refused.
    pub(super) fn lay(&mut self, into: &mut Node, from: Node, (one, mark): (&str, &str), path: &Path) {
        let mut twice: Vec<Twice> = Vec::new();
        lay(into, from, &mut twice);
        for mut said in twice {
            let steps = path.steps().iter().chain(said.path.steps()).cloned();
            said.path = steps.collect();
            let section = SECTIONS.iter().find(|section| section.one == one);
            let others = section.zip(self.shop).map(|(section, shop)| shop.marks(section.key)).unwrap_or_default();
            let same = self.slice(said.first) == self.slice(said.second);
            let in_record = said.first.start < self.base;
            self.refuse(refusals::twice((one, mark), &said, (same, in_record), &others));
        }
    }

    fn record(&mut self, mut root: Node) -> Node {
        let header = take(&mut root, "day").map(|entry| match times::day(&entry.node) {
            Ok(day) => (day, entry.node.span),
            Err(fault) => {
                self.refuse(fault);
                // The times below are of some day; which one is asked for once.
                (self.at.day_in(self.zone), entry.node.span)
            }
        });
        let stamp = take(&mut root, "read");
        let place = take(&mut root, "place");
        let mut stamp = self.stamp_of(stamp);
        if let Some(stamp) = &mut stamp {
            self.times(stamp, header.map(|(day, _)| day));
        }
        self.rows(&mut root);
        self.times(&mut root, header.map(|(day, _)| day));
        self.day_of_job(&root, header);
        self.name_entries(&mut root);
        if let Some(stamp) = &stamp {
            self.stamp_record(&mut root, stamp);
        }
        let place_mark = place.as_ref().and_then(|place| scalar(&place.node)).map(str::to_owned);
        self.place(&mut root, place.as_ref().map(|place| &place.node));
        let sheets = header.map(|(day, _)| self.sheets(&mut root, day, place_mark.as_deref())).unwrap_or_default();
        self.assemblies(&mut root);
        if let Some(stamp) = &stamp {
            for assembly in items_mut(&mut root, "assemblies") {
                self.stamp(assembly, Subject::Assembly, stamp);
            }
        }
        self.components(&mut root, &sheets);
        self.people(&mut root, &sheets);
        for (section, key) in BELONGS {
            self.group(&mut root, section, key);
        }
        self.rounds(&mut root, &sheets);
        self.instruments(&mut root);
        self.persons(&mut root);
        root
    }

    /// The day of the job: that of the header, or of the planned start, and of both if they are there.
    fn day_of_job(&mut self, root: &Node, header: Option<(Day, Span)>) {
        let planned = said(root, "planned_start");
        let start = planned.and_then(|node| {
            let at = Instant::parse(scalar(node)?).ok()?;
            Some((at.day_in(self.zone), node.span))
        });
        if let (Some(header), Some(start)) = (header, start)
            && header.0 != start.0
        {
            self.refuse(refusals::other_day(header, start));
        }
        self.day = header.or(start).map(|(day, _)| day);
    }

    fn stamp_record(&mut self, root: &mut Node, stamp: &Node) {
        self.stamp(root, Subject::Job, stamp);
        for side in SIDES {
            if let Some(side) = at_mut(root, "components").and_then(|sides| value_mut(sides, side)) {
                self.stamp(side, Subject::Component, stamp);
            }
        }
    }

    /// The facts of an entry that is named, in the places of the texts laid end to end, with what the log of routines says;
    /// nothing where there is none, which is refused.
    pub(super) fn entry(&mut self, section: &Section, named: &Node) -> Option<Node> {
        let Some(mark) = scalar(named) else {
            let what = format!("the mark of a {}", section.one);
            self.refuse(refusals::shape(&what, &format!("write it like `{}`", section.example), named.span));
            return None;
        };
        let Some(shop) = self.shop else {
            self.refuse(refusals::no_shop(section.one, mark, named.span));
            return None;
        };
        let Some((index, entry)) = shop.find(section.key, mark) else {
            let known = shop.marks(section.key);
            self.refuse(refusals::unknown_mark(section.one, section.key, mark, named.span, &known));
            return None;
        };
        self.in_force(section.one, mark, named.span, entry);
        self.note(section.key, index);
        let mut facts = moved(entry, self.base);
        let own = take(&mut facts, "mark").map_or(facts.span, |mark| mark.node.span);
        for key in ["from", "until", MACHINES_OF] {
            take(&mut facts, key);
        }
        self.times(&mut facts, None);
        for mut routine in self.routines(section, mark) {
            self.later_done(&mut facts, &mut routine, section);
            self.lay(&mut facts, routine, ("routine of", mark), &Path::root());
        }
        // A material says its facts side by side.
        if *section != MATERIALS {
            self.unsaid(section, &mut facts, own);
        }
        Some(facts)
    }

    /// Notes of every fact that an entry may state and does not that nothing is said of it there: whoever asks for the fact
    /// is shown the entry, and not the line that names it.
    fn unsaid(&self, section: &Section, facts: &mut Node, at: Span) {
        for key in self.catalogue.keys_of(section.subject) {
            let Some(spec) = self.catalogue.spec(key).filter(|spec| section.takes(key, spec)) else { continue };
            let Some(place) = spec.name.strip_prefix(section.base) else { continue };
            if said_at(facts, place).is_none() {
                let nothing = Node { span: at, value: Value::Null };
                lay(facts, at_place(place, nothing), &mut Vec::new());
            }
        }
    }

    /// Refuses an entry that is not in force on the day of the job.
    pub(super) fn in_force(&mut self, one: &str, mark: &str, named: Span, entry: &Node) {
        for key in ["from", "until"] {
            let Some(node) = said(entry, key) else { continue };
            let bound = match times::day(node) {
                Ok(bound) => bound,
                Err(fault) => {
                    self.refuse_moved(&fault);
                    continue;
                }
            };
            match self.day {
                None => self.refuse(refusals::no_day(one, mark, named)),
                Some(day) if (key == "from" && day < bound) || (key == "until" && day > bound) => {
                    let place = further(node.span, self.base);
                    self.refuse(refusals::not_in_force(one, mark, day, named, (key, place)));
                }
                Some(_) => {}
            }
        }
    }

    /// Whether a mapping that says its own mark draws on the shop file: it does if an entry has the mark, and if it states
    /// nothing else, so that a slip in the mark is not taken for an entry of the record's own.
    fn draws_on(&self, section: &Section, group: &Node, mark: &Node) -> bool {
        let Some(shop) = self.shop else { return false };
        let known = scalar(mark).is_some_and(|mark| shop.find(section.key, mark).is_some());
        let lasting = |spec: &FactSpec| spec.asked.holds_for == HoldsFor::Shop;
        let states_its_own = self.catalogue.keys_of(section.subject).any(|key| {
            self.catalogue.spec(key).is_some_and(|spec| {
                let place = spec.name.strip_prefix(section.base);
                section.takes(key, spec)
                    && (lasting(spec) || section.base.is_empty())
                    && place.is_some_and(|place| said_at(group, place).is_some())
            })
        });
        known || !states_its_own
    }

    fn name_entries(&mut self, root: &mut Node) {
        for (section, key) in BELONGS {
            self.name_entry(value_mut(root, key), section);
        }
        for side in SIDES {
            self.name_entry(value_mut(root, "components").and_then(|sides| value_mut(sides, side)), &LOTS);
        }
        for person in items_mut(root, "people") {
            self.name_entry(Some(person), &CREW);
        }
        for assembly in items_mut(root, "assemblies") {
            for (section, key) in super::assemblies::CARDS {
                self.name_entry(value_mut(assembly, key), section);
            }
        }
    }

    /// Makes a lone mark into the mapping that names the entry; without a shop file it names nothing.
    fn name_entry(&mut self, node: Option<&mut Node>, section: &Section) {
        let Some(node) = node else { return };
        let Some(mark) = scalar(node) else { return };
        if self.shop.is_none() {
            self.refuse(refusals::no_shop(section.one, mark, node.span));
        }
        *node = standing_for(section.named_by, node.clone());
    }

    /// Lays what the place says over the record. What belongs to the place gives way to what the record names instead.
    fn place(&mut self, root: &mut Node, named: Option<&Node>) {
        let mut facts = named.and_then(|named| self.entry(&PLACES, named));
        for (section, key) in BELONGS {
            let of_record = said(root, key).and_then(|group| said(group, section.named_by)).and_then(scalar);
            let of_place = facts.as_mut().and_then(|facts| take(facts, key)).map(|entry| entry.node);
            // Sheets and rounds say `cage` of the one that belongs to the place, or of the only one that there is.
            let is_known = match &of_place {
                Some(of_place) => of_record.is_none_or(|mark| scalar(of_place) == Some(mark)),
                None => self.shop.is_none_or(|shop| shop.marks(section.key).len() <= 1),
            };
            if !is_known {
                self.elsewhere.push(key);
            }
            if let (Some(mark), Some(Node { value: Value::Map(entries), .. }), None) = (of_place, &mut facts, of_record)
            {
                let node = standing_for(section.named_by, mark);
                entries.push(Entry { key: (*key).to_owned(), key_span: node.span, node });
            }
        }
        let scale = facts.as_mut().and_then(|facts| take(facts, SCALE_DOUBT.0)).map(|entry| entry.node);
        if let (Some(facts), Some(mark)) = (facts, named.and_then(scalar)) {
            let mut facts = facts;
            self.later_done(root, &mut facts, &PLACES);
            self.lay(root, facts, (PLACES.one, mark), &Path::root());
        }
        let doubt = scale.as_ref().and_then(|scale| said(scale, SCALE_DOUBT.1));
        let weighed = self.catalogue.spec(WEIGHED).map(|spec| spec.name.to_string());
        let (Some(doubt), Some(weighed)) = (doubt, weighed) else { return };
        // What the scale of the place may be off is so of every weighing there that does not say it itself.
        for side in SIDES {
            let side = value_mut(root, "components").and_then(|sides| value_mut(sides, side));
            if let Some(reading) = side.and_then(|side| at_mut(side, &weighed)) {
                read_with(reading, SCALE_DOUBT.1, doubt);
            }
        }
    }

    /// A pump, a cage or lifting gear.
    fn group(&mut self, root: &mut Node, section: &Section, key: &str) {
        let Some(group) = value_mut(root, key) else { return };
        // Where the mark is no fact of the record it goes, even if nobody has written one.
        let named = match section.mark_is {
            None => take(group, section.named_by).map(|entry| entry.node),
            Some(_) => said(group, section.named_by).filter(|mark| self.draws_on(section, group, mark)).cloned(),
        };
        let Some(named) = named else { return };
        let Some(mut facts) = self.entry(section, &named) else { return };
        self.later_done(group, &mut facts, section);
        self.lay(group, facts, (section.one, scalar(&named).unwrap_or_default()), &Path::root().child(key));
    }

    fn people(&mut self, root: &mut Node, sheets: &[Sheet]) {
        for (index, person) in items_mut(root, "people").iter_mut().enumerate() {
            let Some(Entry { node: named, .. }) = take(person, CREW.named_by) else { continue };
            let Some(mut facts) = self.entry(&CREW, &named) else { continue };
            self.later_done(person, &mut facts, &CREW);
            let (mark, path) = (scalar(&named).unwrap_or_default(), Path::root().child("people").child(index));
            self.lay(person, facts, (CREW.one, mark), &path);
            self.of_mark(sheets, (&CREW, mark), person, &path);
            Self::seen_on_round(sheets, (&CREW, mark), person);
        }
    }

    fn components(&mut self, root: &mut Node, sheets: &[Sheet]) {
        let mut mix = None;
        self.sides(root, sheets, &mut mix);
        if let Some((material, facts)) = mix {
            self.lay(root, standing_for(MIX, facts), (MATERIALS.one, &material), &Path::root());
        }
    }

    /// Brings in what the lots and their materials say of the sides, and finds what the material says of the mix.
    fn sides(&mut self, root: &mut Node, sheets: &[Sheet], mix: &mut Option<(String, Node)>) {
        let Some(sides) = value_mut(root, "components") else { return };
        let mut materials: Vec<Node> = Vec::new();
        for key in SIDES {
            let Some(side) = value_mut(sides, key) else { continue };
            let Some(named) = said(side, LOTS.named_by).cloned() else { continue };
            if !self.draws_on(&LOTS, side, &named) {
                continue;
            }
            let Some(mut facts) = self.entry(&LOTS, &named) else { continue };
            let mark = scalar(&named).unwrap_or_default();
            if said(&facts, "side").and_then(scalar) != Some(key) {
                self.refuse(refusals::other_side(mark, key, named.span, &facts));
            }
            take(&mut facts, "side");
            let path = Path::root().child("components").child(key);
            if let Some(Entry { node: material, .. }) = take(&mut facts, "material") {
                let mark = scalar(&material).unwrap_or_default();
                if let Some(mut said) = self.entry(&MATERIALS, &material) {
                    if let Some(mut sheet) = take(&mut said, key) {
                        self.unsaid(&MATERIALS, &mut sheet.node, sheet.key_span);
                        self.lay(&mut facts, sheet.node, (MATERIALS.one, mark), &path);
                    }
                    if let Some(of_mix) = take(&mut said, MIX) {
                        *mix = Some((mark.to_owned(), of_mix.node));
                    }
                }
                materials.push(material);
            }
            self.lay(side, facts, (LOTS.one, mark), &path);
            self.of_mark(sheets, (&LOTS, mark), side, &path);
            Self::seen_on_round(sheets, (&LOTS, mark), side);
        }
        if let [first, second] = materials.as_slice()
            && first.value != second.value
        {
            self.refuse(refusals::two_materials(first.span, second.span));
        }
    }

    /// Brings in the gauges and thermometers whose marks stand in the record.
    fn instruments(&mut self, root: &mut Node) {
        let Some(shop) = self.shop else { return };
        for (section, key) in [(&GAUGES, "gauge"), (&THERMOMETERS, "thermometer")] {
            let mut named: Vec<Node> = Vec::new();
            marks_at(root, key, &mut named);
            let list = items(root, section.key);
            let own: Vec<Node> = list.iter().filter_map(|item| said(item, "mark").cloned()).collect();
            for mark in &own {
                let found = scalar(mark).and_then(|text| Some((text, shop.find(section.key, text)?.1)));
                if let Some((text, entry)) = found {
                    let place = said(entry, "mark").map_or(entry.span, |mark| mark.span);
                    self.refuse(refusals::in_both(section.one, text, mark.span, further(place, self.base)));
                }
            }
            let mut added: Vec<Node> = Vec::new();
            for mark in named {
                let is = |known: &Node| scalar(known) == scalar(&mark);
                if own.iter().any(is) || added.iter().filter_map(|entry| said(entry, "mark")).any(is) {
                    continue;
                }
                let Some(mut facts) = self.entry(section, &mark) else { continue };
                let own = scalar(&mark).and_then(|text| shop.find(section.key, text)).map(|(_, entry)| entry);
                let own = own.and_then(|entry| said(entry, "mark")).map_or(mark, |own| moved(own, self.base));
                if let Value::Map(entries) = &mut facts.value {
                    let entry = Entry { key: "mark".to_owned(), key_span: own.span, node: own };
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
            Some(Node { value: Value::List(items), .. }) => items.extend(added),
            Some(list) if list.value == Value::Null => *list = Node { span, value: Value::List(added) },
            Some(list) => {
                let span = list.span;
                self.refuse(refusals::shape("a list", "write one entry for each, behind a dash", span));
            }
            None => match &mut root.value {
                Value::Map(entries) => {
                    let node = Node { span, value: Value::List(added) };
                    entries.push(Entry { key: key.to_owned(), key_span: span, node });
                }
                _ => self.refuse(broken_program("instruments are named and there is no record").label(root.span, "")),
            },
        }
    }

    /// Puts names in the place of marks wherever a person is named.
    fn persons(&mut self, root: &mut Node) {
        let catalogue = self.catalogue;
        for fact in NAMES_PERSON {
            let Some(spec) = catalogue.spec(*fact) else { continue };
            match fact.subject {
                Subject::Assembly => {
                    let count = items(root, "assemblies").len();
                    for index in 0..count {
                        let assembly = items_mut(root, "assemblies").get_mut(index);
                        if let Some(node) = assembly.and_then(|assembly| at_mut(assembly, &spec.name)) {
                            self.person(node);
                        }
                    }
                }
                _ => {
                    if let Some(node) = at_mut(root, &spec.name) {
                        self.person(node);
                    }
                }
            }
        }
    }

    /// A mark of the crew becomes its name; a full name stays.
    fn person(&mut self, node: &mut Node) {
        let (Some(shop), Some(text)) = (self.shop, scalar(node)) else { return };
        // Names have a blank and marks have none: what is neither mark nor name is a slip.
        if shop.find(CREW.key, text).is_none() && text.contains(' ') {
            return;
        }
        let named = node.clone();
        if let Some(name) = self.entry(&CREW, &named).and_then(|entry| said(&entry, "name").cloned()) {
            node.value = name.value;
        }
    }
}

/// The two sides of the mix.
pub(super) const SIDES: [&str; 2] = ["isocyanate", "polyol"];

/// The marks that stand under a key anywhere in a tree, in its order.
fn marks_at(node: &Node, key: &str, found: &mut Vec<Node>) {
    if let Value::List(items) = &node.value {
        for item in items {
            marks_at(item, key, found);
        }
    }
    for entry in entries(node) {
        match scalar(&entry.node) {
            Some(_) if entry.key == key => found.push(entry.node.clone()),
            Some(_) => {}
            None => marks_at(&entry.node, key, found),
        }
    }
}
