//! The sheet of a day: values that are good for all jobs of that day at one place, and the round that somebody walked.
//!
//! Must not know assemblies.

use super::expand::Expander;
use super::head_marks::SheetMarks;
use super::nodes::{Twice, at_mut, at_place, entries, instant, items, mark_of, moved, said, said_at, scalar, take};
use super::sections::{PLACES, Section};
use super::settle::Between;
use super::times::WrittenIn;
use super::{is_blank, refusals, times};
use crate::document::{Content, Entry, Node, Path, Span};
use crate::record::catalogue::{HoldsFor, assembly, job};
use crate::record::{FactKey, FactKind, instrument};
use crate::units::{Day, Dimension, Instant};
use crate::vocabulary::Subject;

/// The key of the sheets in the shop file.
pub(super) const DAYS: &str = "days";
/// The key of the rounds.
pub(super) const ROUNDS: &str = "rounds";
/// The key of the cage, in records, places, sheets and rounds.
pub(super) const CAGE: &str = "cage";
/// The keys of a stamp: when, and with what, readings were taken.
pub(super) const STAMP: &[&str] = &["at", Subject::Gauge.word(), Subject::Thermometer.word()];
/// The key in a round of the people who are met on it.
pub(super) const MET: &str = "people";

/// What a sheet says of lots and of people, as it would be written.
pub(super) const EXAMPLE_ROUND: &str = "EB morning";
pub(super) const EXAMPLE_LOTS: &str = "{PS-118: {core_temperature: 74 degF}}";
pub(super) const EXAMPLE_CREW: &str =
    "{OV: {protection: [gloves, eye protection, coveralls, safety shoes, respirator]}}";

/// The sheet of a day as far as it is not of the job as a whole.
pub(super) struct Sheet {
    /// Facts by section and mark.
    pub(super) by_mark: Vec<(String, Entry)>,
    /// The round that was walked, when, and by whom.
    round: Option<Round>,
    /// When the round is walked that is on it, where that is after the judgement: nobody has seen on it what is so now.
    ahead: Option<Instant>,
    /// When readings on it were taken, where that is after every fill of the job had begun: they are of later jobs.
    read_later: Option<Instant>,
}

impl Sheet {
    /// Whether somebody walked round.
    const fn has_round(&self) -> bool {
        self.round.is_some()
    }

    /// When its round is walked, where that is still to come.
    const fn round_to_come(&self) -> Option<Instant> {
        self.ahead
    }

    /// Whether it says something of an entry.
    pub(super) fn names(&self, section: &str, mark: &str) -> bool {
        self.by_mark.iter().any(|(of, entry)| of == section && entry.key == mark)
    }

    /// Keeps of its round what is said of one group, and the round itself only where that is so.
    pub(super) fn keep_of_round(&mut self, group: &str, is_so: impl Fn(&Node) -> bool) {
        if let Some(round) = &mut self.round
            && let Content::Map(facts) = &mut round.facts.value
        {
            facts.retain(|entry| entry.key == group);
            (round.each_lot, round.each_person) = (None, None);
        }
        self.round = self.round.take().filter(|round| is_so(&round.facts));
    }
}

/// What is so on a day on which somebody has walked round, but for what is said otherwise.
struct Round {
    facts: Node,
    each_lot: Option<Node>,
    each_person: Option<Node>,
    /// The marks of the people who are met on it.
    met: Vec<String>,
    at: Option<Node>,
    by: Option<Node>,
    /// The sheet on which it stands.
    sheet: Span,
}

impl Expander<'_> {
    /// What sheets tell of themselves.
    pub(super) fn told_by(sheets: &[Sheet]) -> SheetMarks {
        SheetMarks {
            is_there: !sheets.is_empty(),
            has_round: sheets.iter().any(Sheet::has_round),
            round_to_come: sheets.iter().find_map(Sheet::round_to_come),
            read_later: sheets.iter().find_map(|sheet| sheet.read_later),
        }
    }

    /// Lays the sheets of the days for a place over the record, from the day at its head on, and gives what of them is said
    /// of single entries.
    pub(super) fn sheets(&mut self, root: &mut Node, day: Day, place: Option<&str>) -> Vec<Sheet> {
        let Some(shop) = self.shop else { return Vec::new() };
        let mut of_days: Vec<(Day, usize, &Node)> = Vec::new();
        for (index, item) in items(shop.document().root(), DAYS).iter().enumerate() {
            match said(item, "day").map(times::day) {
                Some(Ok(of)) if self.is_sheet_of(day, of) => of_days.push((of, index, item)),
                Some(Err(fault)) => self.refuse_moved(&fault),
                _ => {}
            }
        }
        of_days.sort_by_key(|(of, index, _)| (*of, *index));
        let mut sheets = Vec::new();
        for (day, index, item) in of_days {
            // A round is walked at one place, and a sheet that names it need not say that again.
            let walked = said(item, "round").and_then(|round| shop.round_of(round, Some(day)));
            let of = said(item, "place").or_else(|| said(walked?.1, "place"));
            if of.and_then(scalar).is_some_and(|of| Some(of) != place) {
                continue;
            }
            self.note(DAYS, index);
            // The round tells of which place the sheet is.
            if let Some((round, _)) = walked.filter(|_| said(item, "place").is_none()) {
                self.note(ROUNDS, round);
            }
            self.walked_at_one_place(item, day, place);
            let mut sheet = moved(item, self.base);
            // Of a sheet that is good for several places the head says with what the air was read.
            if of.is_some() || items(shop.document().root(), PLACES.key).len() == 1 {
                self.read_on_wall(&mut sheet);
            }
            sheets.push(self.sheet(root, sheet, day));
        }
        sheets
    }

    pub(super) fn sheet(&mut self, root: &mut Node, mut sheet: Node, day: Day) -> Sheet {
        self.times(&mut sheet, WrittenIn::Sheet(day));
        self.refuse_of_two_days();
        let is_later = self.header.is_some_and(|header| header < day);
        if is_later {
            self.later_sheets.push(sheet.span);
        }
        let within = sheet.span;
        for key in ["day", "place"] {
            take(&mut sheet, key);
        }
        self.leave_out_of_elsewhere(&mut sheet);
        let stamp = take(&mut sheet, "read");
        if let Some(stamp) = &stamp {
            self.instruments_known(&stamp.node, root);
        }
        let round = take(&mut sheet, "round");
        let (mut by_mark, mut read_later) = (Vec::new(), None);
        for (key, subject) in [("crew", Subject::Person), ("lots", Subject::Component)] {
            let Some(entry) = take(&mut sheet, key) else { continue };
            let Content::Map(named) = entry.node.value else { continue };
            // A mark behind which nothing stands names nobody: what the round says of each is not said of it.
            for mut one in named.into_iter().filter(|one| !is_blank(&one.node)) {
                if let Some(stamp) = &stamp {
                    self.stamp(&mut one.node, subject, &stamp.node);
                }
                read_later = self.take_out_later(&mut one.node, subject).or(read_later);
                by_mark.push((key.to_owned(), one));
            }
        }
        if let Some(stamp) = &stamp {
            self.stamp(&mut sheet, Subject::Job, &stamp.node);
        }
        read_later = self.take_out_later(&mut sheet, Subject::Job).or(read_later);
        self.lay(root, sheet, ("sheet of", &day.to_record_text()), &Path::root());
        let round = round.map(|round| round.node);
        let walked_at = round.as_ref().and_then(|round| instant(said(round, "at")?));
        let ahead = walked_at.filter(|at| *at > self.at);
        // The round of the morning after is of that day's jobs.
        let is_of_later_jobs = is_later && walked_at.zip(self.begun).is_some_and(|(at, begun)| at > begun);
        let walked = round.filter(|_| ahead.is_none() && !is_of_later_jobs);
        Sheet { by_mark, round: walked.and_then(|round| self.round(&round, (day, within))), ahead, read_later }
    }

    fn round(&mut self, round: &Node, (day, sheet): (Day, Span)) -> Option<Round> {
        let (index, entry) = self.shop?.round_of(round, Some(day))?;
        let named = said(round, "mark").filter(|mark| scalar(mark).is_some());
        let mark = named.and_then(scalar).or_else(|| mark_of(entry)).unwrap_or_default();
        self.in_force("round", mark, named.map_or(round.span, |named| named.span), entry, Some(day));
        self.note(ROUNDS, index);
        let mut facts = moved(entry, self.base);
        for key in ["mark", "place", "from", "until"] {
            take(&mut facts, key);
        }
        self.leave_out_of_elsewhere(&mut facts);
        let each_lot = take(&mut facts, "each_lot").map(|entry| entry.node);
        let each_person = take(&mut facts, "each_person").map(|entry| entry.node);
        let of = |key: &str| said(round, key).cloned();
        let by = of("by");
        let listed = take(&mut facts, MET);
        let listed = listed.iter().flat_map(|listed| match &listed.node.value {
            Content::List(items) => items.as_slice(),
            _ => std::slice::from_ref(&listed.node),
        });
        let met = listed.chain(&by).filter_map(scalar).map(str::to_owned).collect();
        Some(Round { facts, each_lot, each_person, met, at: of("at"), by, sheet })
    }

    /// Lays what the sheets say of one entry over its facts.
    pub(super) fn of_mark(
        &mut self,
        sheets: &[Sheet],
        (section, mark): (&Section, &str),
        into: &mut Node,
        path: &Path,
    ) {
        for (of, entry) in sheets.iter().flat_map(|sheet| &sheet.by_mark) {
            if of == section.key && entry.key == mark {
                self.lay(into, entry.node.clone(), ("sheet of the day for", mark), path);
            }
        }
    }

    /// Fills in what the round saw of a lot or a person: of a lot that the sheet names, and of a person whom the round
    /// meets or the sheet names. What came later nobody has seen on it.
    pub(super) fn seen_on_round(
        &self,
        sheets: &[Sheet],
        (section, mark): (&Section, &str),
        into: &mut Node,
        path: &Path,
    ) {
        for sheet in sheets {
            let Some(round) = &sheet.round else { continue };
            let (facts, is_met) = match section.subject {
                Subject::Person => (&round.each_person, round.met.iter().any(|met| met == mark)),
                _ => (&round.each_lot, false),
            };
            if let Some(facts) = facts.as_ref().filter(|_| is_met || sheet.names(section.key, mark)) {
                self.fill_seen(into, facts.clone(), path, round.sheet);
            }
        }
    }

    /// Fills in what a round saw. What is written otherwise stays, but for a fault that the round saw: that is no other
    /// one's to leave out. What the sheet of the round says of one thing goes before what the round says of all.
    fn fill_seen(&self, into: &mut Node, seen: Node, path: &Path, sheet: Span) {
        let mut twice: Vec<Twice> = Vec::new();
        super::nodes::lay(into, seen, &mut twice);
        for said in twice {
            let place: Path = path.steps().iter().chain(said.path.steps()).cloned().collect();
            // Where nothing tells which of the two lets less pass, what is written stays.
            let first = at_mut(into, &said.path.to_string()).map(|first| first.span);
            let is_of_it = first.is_some_and(|first| sheet.holds(first));
            let between = if is_of_it { Between::Files } else { Between::Looks };
            let _stays = self.settle(into, said, &place, between);
        }
    }

    /// Fills in from the rounds what nobody has said otherwise. Of two looks at the cage the later counts, with the
    /// person who looked: nobody looked at the time of the one and by the eyes of the other, or found at the later one
    /// what the earlier one did. A fault that either saw is one.
    pub(super) fn rounds<'s>(&self, root: &mut Node, sheets: impl Iterator<Item = &'s Sheet>) {
        let name = |fact: FactKey| self.catalogue.spec(fact).map(|spec| spec.name.as_ref());
        let Some((looked_at, looked_by)) = name(job::CAGE_INSPECTED_AT).zip(name(job::CAGE_INSPECTED_BY)) else {
            return;
        };
        for round in sheets.filter_map(|sheet| sheet.round.as_ref()) {
            let mut facts = round.facts.clone();
            if said(&facts, CAGE).is_some() {
                let own = [looked_at, looked_by].map(|place| said_at(root, place));
                let is_later = match own {
                    [None, None] => true,
                    [Some(own), _] => {
                        instant(own).zip(round.at.as_ref().and_then(instant)).is_some_and(|(own, of)| of > own)
                    }
                    [None, Some(_)] => false,
                };
                if is_later {
                    for (place, of_round) in [(looked_at, &round.at), (looked_by, &round.by)] {
                        if let Some(node) = at_mut(root, place) {
                            *node = Node { span: node.span, value: Content::Null };
                        }
                        if let Some(of_round) = of_round {
                            fill(root, at_place(place, of_round.clone()));
                        }
                    }
                } else if let Some(Content::Map(seen)) = at_mut(&mut facts, CAGE).map(|cage| &mut cage.value) {
                    // Of what the later look says nothing, the earlier one has nothing to say.
                    seen.retain(|entry| said(root, CAGE).is_some_and(|own| said(own, &entry.key).is_some()));
                }
            }
            self.fill_seen(root, facts, &Path::root(), round.sheet);
        }
    }

    /// Gives the readings of a subject that do not say when and with what they were taken what the stamp says. Where
    /// facts of their own name the instruments, as for the rows of a log, those are filled in beside what was read.
    pub(super) fn stamp(&mut self, node: &mut Node, subject: Subject, stamp: &Node) {
        let catalogue = self.catalogue;
        for (key, spec) in catalogue.keys_of(subject).filter_map(|key| Some((key, catalogue.spec(key)?))) {
            // The gauge of the stamp is that which will show the target, whether or not the target is known already.
            if said_at(node, &spec.name).is_some() || key == assembly::TARGET_PRESSURE {
                for name in instrument::named_by(key).iter().filter_map(|by| catalogue.spec(*by)) {
                    let of_stamp = name.name.rsplit('.').next().and_then(|instrument| said(stamp, instrument));
                    if let Some(mark) = of_stamp {
                        fill(node, at_place(&name.name, mark.clone()));
                    }
                }
            }
            let FactKind::Reading(dimension) = &spec.kind else { continue };
            // What an instrument's own calibration says was not read on the day.
            if spec.asked.holds_for <= HoldsFor::Assembly {
                continue;
            }
            if let Some(reading) = at_mut(node, &spec.name) {
                stamped(reading, *dimension, stamp);
            }
        }
    }

    /// The stamp of a record, if it is one; its instruments are those of the shop or of the record.
    pub(super) fn stamp_of(&mut self, entry: Option<Entry>, root: &Node) -> Option<Node> {
        let stamp = entry?.node;
        if !matches!(stamp.value, Content::Map(_)) {
            self.refuse(refusals::shape(
                "a mapping that says when and with what the readings were taken",
                "write it like `read: {at: 08:55, thermometer: T-1}`",
                stamp.span,
            ));
            return None;
        }
        let strange = refusals::unknown_key(&stamp, STAMP);
        for fault in strange {
            self.refuse(fault);
        }
        self.instruments_known(&stamp, root);
        Some(stamp)
    }
}

/// Fills in what is not said.
fn fill(into: &mut Node, from: Node) {
    // What is said already stays: that is what a round and a likeness mean.
    let mut stays: Vec<Twice> = Vec::new();
    super::nodes::lay(into, from, &mut stays);
}

/// Says of a reading what it does not say itself.
pub(super) fn read_with(reading: &mut Node, key: &str, node: &Node) {
    if scalar(reading).is_some() {
        *reading = super::nodes::standing_for("reading", reading.clone());
    }
    let Content::Map(said) = &mut reading.value else { return };
    match said.iter_mut().find(|known| known.key == key) {
        Some(known) if known.node.value == Content::Null => known.node = node.clone(),
        Some(_) => {}
        None => said.push(Entry { key: key.into(), key_span: node.span, node: node.clone() }),
    }
}

fn stamped(reading: &mut Node, dimension: Dimension, stamp: &Node) {
    let instrument = instrument::list_for(dimension).map(Subject::word);
    for entry in entries(stamp) {
        let is_meant = entry.key == "at" || Some(entry.key.as_str()) == instrument;
        if is_meant && entry.node.value != Content::Null {
            read_with(reading, &entry.key, &entry.node);
        }
    }
}

/// Fills in what another one says and this one does not, fact by fact.
pub(super) fn fill_facts(into: &mut Node, from: Node) {
    fill(into, from);
}

/// The facts of a table, as `FactKey`s that a place may be set by.
pub(super) fn set(
    expander: &mut Expander<'_>,
    into: &mut Node,
    fact: FactKey,
    node: Node,
    by: (&str, &str),
    path: &Path,
) {
    if let Some(spec) = expander.catalogue.spec(fact) {
        let place = at_place(&spec.name, node);
        expander.lay(into, place, by, path);
    }
}
