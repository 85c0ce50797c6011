//! From a short record and a shop file to the long record.
//!
//! What is written in the record comes first; then the place, the sheet of the day, the entries that are named by mark,
//! the rounds, and at last the instruments that readings name. What is like another one gives way to what is written, and so
//! does what is as found on the round, but for a fault; which of two other statements counts is settled by `settle`. This
//! module must not know where the texts come from.

use std::cell::OnceCell;

use super::head_marks::HeadMarks;
use super::in_force::InForce;
use super::machine_names::CardNames;
use super::nodes::{Twice, at_mut, further, instant, items, items_mut, lay, said, said_at, scalar, take, value_mut};
use super::sections::{BELONGS, SECTIONS, Section, comes_days_later};
use super::times::{self, Keys, LoneTime, WrittenIn};
use super::{Shop, refusals};
use crate::document::{Code, Document, Fault, Faults, LeftOpen, Node, Path, Source, Span};
use crate::record::{Catalogue, FactSpec};
use crate::units::{Day, Exact, Instant, Zone};
use crate::vocabulary::{FileSort, Subject};

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

/// Puts a record and a shop file together, for a judgement at an instant by the packs in force.
///
/// A record without short forms, read without a shop file, comes out as it is.
///
/// # Errors
/// Everything that cannot mean one thing only, with its places in both files.
pub fn expand(
    record: Document,
    shop: Option<&Shop>,
    in_force: &dyn InForce,
    zone: &Zone,
    at: Instant,
) -> Result<Expanded, Faults> {
    expand_written(record, at, shop, in_force, zone, at)
}

/// The same of a record that is known to have been there, as it is, at an instant before the judgement: a time without its
/// day is of the day at the head where it was so then. All else goes by the instant of the judgement.
///
/// # Errors
/// As [`expand`].
pub fn expand_written(
    record: Document,
    written_by: Instant,
    shop: Option<&Shop>,
    in_force: &dyn InForce,
    zone: &Zone,
    at: Instant,
) -> Result<Expanded, Faults> {
    if let Some(fault) = refusals::header(record.root(), FileSort::Record) {
        return Err(fault.in_source(record.source()).into());
    }
    let (written, root) = record.into_parts();
    let base = written.text().len();
    let source = match shop {
        Some(shop) => written.followed_by(shop.document().source()),
        None => written,
    };
    let catalogue = in_force.catalogue();
    let keys = Keys::of(catalogue);
    let (faults, used) = (Vec::new(), Vec::new());
    let mut expander = Expander {
        shop,
        source,
        base,
        in_force,
        catalogue,
        keys,
        zone,
        at,
        written_by: written_by.min(at),
        planned: None,
        begun: None,
        begun_of_several: Vec::new(),
        header: None,
        day: None,
        lone: Vec::new(),
        later_sheets: Vec::new(),
        elsewhere: Vec::new(),
        wall: None,
        card_names: OnceCell::new(),
        taken: vec![OnceCell::new(); SECTIONS.len()],
        faults,
        used,
    };
    let (root, left_open) = expander.record(root);
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
    Ok(Expanded { document: Document::composed(source, root).leaving_open(left_open), used })
}

/// The end of the day that a record says at its head, if it says one that can be read: what it names was there on that day.
pub fn end_of_its_day(record: &Document, zone: &Zone) -> Option<Instant> {
    let day = times::day(said(record.root(), "day")?).ok()?;
    Some(day.checked_add_days(1)?.start_in(zone).just_before())
}

pub(super) struct Expander<'a> {
    pub(super) shop: Option<&'a Shop>,
    pub(super) source: Source,
    /// Where the text of the shop file begins.
    pub(super) base: usize,
    pub(super) in_force: &'a dyn InForce,
    pub(super) catalogue: &'a Catalogue,
    pub(super) keys: Keys<'a>,
    pub(super) zone: &'a Zone,
    pub(super) at: Instant,
    /// An instant at which the record stood as it does.
    pub(super) written_by: Instant,
    /// When the start is planned.
    pub(super) planned: Option<Instant>,
    /// When the last fill of the job began, where all of them have.
    pub(super) begun: Option<Instant>,
    /// When those of several fills began that have begun.
    pub(super) begun_of_several: Vec<Instant>,
    /// The day at the head of the record.
    pub(super) header: Option<Day>,
    /// The day of the start: what the fill uses is in force on it.
    pub(super) day: Option<Day>,
    /// The times without their day that may be of the next day as well.
    pub(super) lone: Vec<LoneTime>,
    /// Where the sheets stand that are of a later day than that at the head.
    pub(super) later_sheets: Vec<Span>,
    /// The groups of the record, such as its cage, of which a sheet or a round may mean another thing than the record.
    pub(super) elsewhere: Vec<&'static str>,
    /// The mark of the thermometer that hangs at the place.
    pub(super) wall: Option<Node>,
    pub(super) card_names: OnceCell<CardNames>,
    /// The facts that entries of each section may state, in the order of the sections.
    taken: Vec<OnceCell<Vec<&'a FactSpec>>>,
    faults: Vec<Fault>,
    used: Vec<UsedEntry>,
}

impl<'a> Expander<'a> {
    /// The facts that an entry of a section may state, in the order of the catalogue.
    pub(super) fn taken(&self, section: &Section) -> &[&'a FactSpec] {
        let place = SECTIONS.iter().position(|known| known.key == section.key);
        let Some(taken) = place.and_then(|place| self.taken.get(place)) else { return &[] };
        let catalogue = self.catalogue;
        taken.get_or_init(|| {
            let specs = catalogue.keys_of(section.subject).filter_map(|key| Some((key, catalogue.spec(key)?)));
            specs.filter(|(key, spec)| section.takes(*key, spec)).map(|(_, spec)| spec).collect()
        })
    }

    /// Notes a fault; of one place only the first, which the others follow from.
    pub(super) fn refuse(&mut self, fault: Fault) {
        if fault.span().is_none() || self.faults.iter().all(|known| known.span() != fault.span()) {
            self.faults.push(fault.in_source(&self.source));
        }
    }

    /// Refuses something of the shop file whose places are still those of its own text.
    pub(super) fn refuse_moved(&mut self, fault: &Fault) {
        self.refuse(fault.clone().moved(|span| further(span, self.base)));
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
    pub(super) fn times(&mut self, node: &mut Node, of: WrittenIn) {
        self.keep_lone(node, of);
        let mut faults = Vec::new();
        self.keys.expand(node, of, self.zone, &mut faults);
        for fault in faults {
            self.refuse(fault);
        }
    }

    /// Lays facts over others; what is said twice and not settled is refused.
    pub(super) fn lay(&mut self, into: &mut Node, from: Node, (one, mark): (&str, &str), path: &Path) {
        let mut twice: Vec<Twice> = Vec::new();
        lay(into, from, &mut twice);
        for said in twice {
            let place: Path = path.steps().iter().chain(said.path.steps()).cloned().collect();
            let between = self.between(said.first, said.second.span);
            let Err(said) = self.settle(into, said, &place, between) else { continue };
            let section = SECTIONS.iter().find(|section| section.one == one);
            let others = section.zip(self.shop).map(|(section, shop)| shop.marks(section.key)).unwrap_or_default();
            let [first, second] = [said.first, said.second.span].map(|span| (span, self.slice(span)));
            let fault = match (said.first.start < self.base, said.second.span.start < self.base) {
                (true, true) => refusals::twice_in_record(&place, first.0, (one, mark), second.0),
                (true, false) => refusals::otherwise_in_shop(&place, first, (one, mark), second, &others, said.reading),
                (false, _) => refusals::twice_in_shop(&place, first, (one, mark), second),
            };
            self.refuse(fault);
        }
    }

    fn record(&mut self, mut root: Node) -> (Node, Vec<LeftOpen>) {
        let is_short = ["day", "place"].iter().any(|key| root.entry(key).is_some());
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
        let mut stamp = self.stamp_of(stamp, &root);
        let written = WrittenIn::Record(header.map(|(day, _)| day));
        if let Some(stamp) = &mut stamp {
            self.times(stamp, written);
        }
        self.rows(&mut root);
        if let Some((day, _)) = header {
            self.days_later(&root, day);
        }
        let lone = self.times_from_the_start(&root);
        self.times(&mut root, written);
        self.refuse_before_the_start(&root, &lone);
        (self.begun, self.begun_of_several) = (self.last_start(&root), self.begun_of_several(&root));
        self.day_of_job(&root, header);
        self.refuse_of_two_days();
        self.name_entries(&mut root);
        let place_mark = place.as_ref().and_then(|place| scalar(&place.node)).map(str::to_owned);
        self.wall = self.hangs_at(place_mark.as_deref());
        self.read_on_wall(&mut root);
        if let Some(stamp) = &stamp {
            self.stamp_record(&mut root, stamp);
        }
        self.stand_here(&mut root, place_mark.as_deref());
        let doubts = self.place(&mut root, place.as_ref().map(|place| &place.node));
        let day = header.map(|(day, _)| day);
        let of_place = day.map(|day| self.sheets(&mut root, day, place_mark.as_deref()));
        let of_cage = day.map(|day| self.sheets_of_the_cage(&mut root, day, place_mark.as_deref()));
        let (sheets, of_cage) = (of_place.unwrap_or_default(), of_cage.unwrap_or_default());
        if is_short {
            self.parts_fitted(&mut root);
        }
        self.assemblies(&mut root);
        if let Some(stamp) = &stamp {
            for assembly in items_mut(&mut root, "assemblies") {
                self.stamp(assembly, Subject::Assembly, stamp);
            }
        }
        self.components(&mut root, (&sheets, day.zip(place_mark.as_deref())));
        self.people(&mut root, &sheets);
        for (section, key) in BELONGS {
            self.group(&mut root, section, key);
        }
        self.rounds(&mut root, sheets.iter().chain(&of_cage));
        self.read_at_place(&mut root, &doubts);
        self.instruments(&mut root);
        self.persons(&mut root);
        let head = HeadMarks {
            day: header,
            place: place_mark.as_deref(),
            is_short,
            sheets: Self::told_by(&sheets),
            stamp: stamp.as_ref(),
        };
        let left_open = self.find_left_open(&root, &head);
        (root, left_open)
    }

    /// Whether anything of the shop file was used.
    pub(super) const fn draws_on_any(&self) -> bool {
        !self.used.is_empty()
    }

    /// Refuses a time without its day of what comes days after the fill, where the record may have been written on a later
    /// day: nobody knows of which of the two it is.
    fn days_later(&mut self, root: &Node, day: Day) {
        let now = self.written_by.day_in(self.zone);
        if now <= day {
            return;
        }
        let late = |subject: Subject| {
            let specs = self.catalogue.of(subject).iter().filter(|spec| comes_days_later(spec));
            specs.map(|spec| spec.name.to_string()).collect::<Vec<_>>()
        };
        let (of_job, of_assembly) = (late(Subject::Job), late(Subject::Assembly));
        let job = of_job.iter().filter_map(|name| said_at(root, name));
        let assemblies = items(root, "assemblies").iter();
        let assemblies = assemblies.flat_map(|one| of_assembly.iter().filter_map(move |name| said_at(one, name)));
        let faults: Vec<Fault> = job
            .chain(assemblies)
            .filter_map(|node| Some(refusals::days_later(times::lone(node)?, node.span, day, now)))
            .collect();
        for fault in faults {
            self.refuse(fault);
        }
    }

    /// The day of the job: that of its start, be it planned, made or late, or of the header. Header and planned start are of
    /// one day; but air goes into a new tyre days before the fill, and on that day the header and all that is used are of
    /// the air; what is begun in the evening is filled in the night after it; and where one assembly is filled late in the
    /// day, the next of its job may be planned for the morning.
    fn day_of_job(&mut self, root: &Node, header: Option<(Day, Span)>) {
        let start = said(root, "planned_start").and_then(|node| Some((instant(node)?, node.span)));
        let of_start = start.map(|(at, span)| (at.day_in(self.zone), span));
        if let (Some(header), Some(start), Some(day)) = (header, start, of_start)
            && header.0 != day.0
            && !self.is_air_before(header.0, day.0)
            && !self.is_in_the_night_after(header.0, start.0)
            && !self.goes_on_with(start.0)
        {
            self.refuse(refusals::other_day(header, day, !self.begun_of_several.is_empty()));
        }
        (self.header, self.planned) = (header.map(|(day, _)| day), start.map(|(at, _)| at));
        self.day = self.header.map_or(of_start.map(|(day, _)| day), |header| {
            let of_air = of_start.is_some_and(|(day, _)| self.is_air_before(header, day))
                && !start.is_some_and(|(at, _)| self.is_in_the_night_after(header, at) || self.goes_on_with(at));
            Some(if of_air { header } else { header.max(self.latest_start().day_in(self.zone)) })
        });
    }

    /// Whether the record was there on its own day, and the start is planned for one of the days after it.
    fn is_air_before(&self, day: Day, start: Day) -> bool {
        (1..=AIR_BEFORE_FILL).contains(&start.days_since(day)) && self.written_by.day_in(self.zone) == day
    }

    /// Whether a start lies in the night that follows a day. When it is judged makes no difference: what was taken in the
    /// evening is taken at the pump.
    fn is_in_the_night_after(&self, day: Day, start: Instant) -> bool {
        let midnight = day.checked_add_days(1).map(|morrow| morrow.start_in(self.zone));
        midnight.is_some_and(|at| start >= at && start.seconds_since(at) < Exact::from_int(NIGHT_SECONDS))
    }

    fn stamp_record(&mut self, root: &mut Node, stamp: &Node) {
        self.stamp(root, Subject::Job, stamp);
        for side in SIDES {
            if let Some(side) = at_mut(root, "components").and_then(|sides| value_mut(sides, side)) {
                self.stamp(side, Subject::Component, stamp);
            }
        }
    }
}

/// How many days after its air a new tyre is filled at most: the longest stretch that anybody plans, over a weekend or a
/// holiday (common practice, no source). A start that is further away is a slip of the pen.
const AIR_BEFORE_FILL: i64 = 7;

/// How long after midnight it is still the night of the day before, to the people of a late shift: common practice, no
/// source. A start later in the morning is of a day of its own, with its own round and its own readings.
pub(super) const NIGHT_SECONDS: i64 = 4 * 3600;

/// The two sides of the mix.
pub(super) const SIDES: [&str; 2] = ["isocyanate", "polyol"];
