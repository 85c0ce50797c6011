//! What a short record does not name of the shop file, so that a person is asked for one mark and not for all that
//! comes with it.
//!
//! Must not know which rules ask for it.

mod instruments;
mod logged;

use super::assemblies;
use super::expand::{Expander, SIDES};
use super::head_marks::HeadMarks;
use super::nodes::{further, items, mark_of, said, scalar};
use super::sections::{
    BELONGS, CAGES, CREW, Home, LIFTING, LOTS, MATERIALS, PLACES, PUMPS, READ_ON_WALL, Section, THERMOMETERS, TYRES,
    UNCERTAINTY, UNLISTED, WALL, WHEELS, day_takes, mix_takes, round_takes,
};
use super::sheets::{DAYS, ROUNDS};
use crate::document::{Content, LeftOpen, Node, Path, SheetOfDay, Span, Step, Unnamed};
use crate::record::catalogue::{job, person};
use crate::record::{FactKey, FactKind, FactSpec};
use crate::vocabulary::Subject;

impl Expander<'_> {
    /// Finds what the record does not name; nothing of a record that draws on no shop file.
    pub(super) fn find_left_open(&self, root: &Node, head: &HeadMarks<'_>) -> Vec<LeftOpen> {
        let mut open = Vec::new();
        if self.shop.is_none() || !self.draws_on_any() && !head.is_short {
            return open;
        }
        open.extend(self.sheet_left_open(root, head).filter(|_| head.day.is_none()));
        let place_open = head.place.is_none() && self.has(PLACES.key) && !self.is_there(root, &PLACES);
        if place_open {
            open.push(self.place_left_open(root));
        } else {
            open.extend(self.sheet_left_open(root, head).filter(|_| head.day.is_some()));
            open.extend(self.doubts_left_open(root, head.place));
            for (section, key) in BELONGS.iter().filter(|(section, _)| !self.is_there(root, section)) {
                let at = root.entry(key).map_or(root.span, |entry| entry.key_span);
                let places = self.places(&Path::root(), Subject::Job, &|key, spec| self.is_of(key, spec, &[section]));
                open.extend(self.by_mark(section, Path::root().child(*key).child(section.named_by), at, places, &[]));
            }
        }
        let mut mix_open = SIDES.iter().all(|side| !self.has_lot(root, side));
        for side in SIDES.into_iter().filter(|side| !self.has_lot(root, side)) {
            let Some(entry) = root.entry("components").and_then(|sides| sides.node.entry(side)) else { continue };
            let base = Path::root().child("components").child(side);
            let takes = |key: FactKey, spec: &FactSpec| {
                LOTS.takes(key, spec)
                    || MATERIALS.takes(key, spec)
                    || day_takes(key, spec)
                    || LOTS.mark_is == Some(spec.name.as_ref())
            };
            let mut places = self.places(&base, Subject::Component, &takes);
            if std::mem::take(&mut mix_open) {
                places.extend(self.places(&Path::root(), Subject::Job, &mix_takes));
            }
            open.extend(self.by_mark(&LOTS, base.child(LOTS.named_by), entry.key_span, places, &[]));
        }
        open.extend(self.people_left_open(root));
        open.extend(self.roles_left_open(root));
        open.extend(self.instruments_left_open(root, head));
        open.extend(self.rows_left_open(root, head.place));
        for (index, assembly) in items(root, "assemblies").iter().enumerate() {
            let base = Path::root().child("assemblies").child(index);
            for (section, key) in assemblies::CARDS.iter().filter(|(section, _)| !self.is_there(assembly, section)) {
                let at = assembly.entry(key).or_else(|| assembly.entry("mark")).map_or(assembly.span, |of| of.key_span);
                let places = self.taken(section).iter().map(|spec| place_of(spec, &base)).collect();
                let fit = if *section == &TYRES { Vec::new() } else { self.cards_of(section, assembly) };
                open.extend(self.by_mark(section, base.child(*key).child(section.named_by), at, places, &fit));
            }
        }
        open
    }

    /// Who takes part, where nobody is named.
    fn people_left_open(&self, root: &Node) -> Option<LeftOpen> {
        let shop = self.shop.filter(|_| items(root, "people").is_empty())?;
        let such_as = shop.marks(CREW.key).into_iter().next()?.to_owned();
        let (what, place) = (Unnamed::People { such_as }, Path::root().child("people"));
        let span = root.entry("people").map_or(root.span, |entry| entry.key_span);
        Some(LeftOpen { what, written_at: place.clone(), span, places: vec![place] })
    }

    /// What a person does on this job, where the entry leaves that to the record.
    fn roles_left_open(&self, root: &Node) -> Vec<LeftOpen> {
        let Some(role) = self.catalogue.spec(person::ROLE) else { return Vec::new() };
        let people = items(root, "people").iter().enumerate();
        let of_shop = people.filter(|(_, one)| one.entry("name").is_some_and(|name| !self.is_of_record(&name.node)));
        let open = of_shop.filter(|(_, one)| said(one, &role.name).is_none());
        open.map(|(index, one)| {
            let place = Path::root().child("people").child(index).child(role.name.as_ref());
            let of = said(one, "name").and_then(scalar).unwrap_or_default().to_owned();
            LeftOpen { what: Unnamed::Role { of }, written_at: place.clone(), span: one.span, places: vec![place] }
        })
        .collect()
    }

    /// An entry that is asked for by its mark, with the marks of those that fit.
    fn by_mark(
        &self,
        section: &Section,
        written_at: Path,
        span: Span,
        places: Vec<Path>,
        fit: &[String],
    ) -> Option<LeftOpen> {
        let what = Unnamed::Entry { one: section.one, fit: fit.to_vec(), is_stamped: *section == WHEELS };
        self.has(section.key).then_some(LeftOpen { what, written_at, span, places })
    }

    /// With the place come its pump, cage and lifting gear, what is logged of them, its round and the sheet of its day.
    fn place_left_open(&self, root: &Node) -> LeftOpen {
        let takes = |key: FactKey, spec: &FactSpec| {
            self.is_of(key, spec, &[&PLACES, &PUMPS, &CAGES, &LIFTING]) || is_of_day(key, spec)
        };
        let mut places = self.places(&Path::root(), Subject::Job, &takes);
        places.extend(self.of_round(root));
        for instrument in UNLISTED {
            places.extend(self.where_read(instrument.reads, UNCERTAINTY));
        }
        places.extend(self.where_read(READ_ON_WALL, WALL.1));
        let head = root.entry("record").map_or(root.span, |entry| entry.key_span);
        LeftOpen {
            what: Unnamed::Entry { one: PLACES.one, fit: Vec::new(), is_stamped: false },
            written_at: Path::root().child(PLACES.one),
            span: head,
            places,
        }
    }

    /// Where a part of a reading stands, on each side of the mix where it is of those.
    fn where_read(&self, fact: FactKey, part: &str) -> Vec<Path> {
        let Some(spec) = self.catalogue.spec(fact) else { return Vec::new() };
        let holders = match fact.subject {
            Subject::Component => SIDES.map(|side| Path::root().child("components").child(side)).to_vec(),
            _ => vec![Path::root()],
        };
        holders.iter().map(|holder| place_of(spec, holder).child(part)).collect()
    }

    /// What the instruments of the place may be off, where neither its entry nor a reading on them says that.
    fn doubts_left_open(&self, root: &Node, place: Option<&str>) -> Vec<LeftOpen> {
        let entry = place.and_then(|mark| Some((mark, self.shop?.find_on(PLACES.key, mark, self.day)?)));
        let Some((mark, (index, entry))) = entry else { return Vec::new() };
        let is_said = |group: &str| said(entry, group).is_some_and(|group| said(group, UNCERTAINTY).is_some());
        let lacks = |place: &Path| {
            let Some((Step::Key(part), above)) = place.steps().split_last() else { return false };
            root.descend(above).is_some_and(|reading| reading.value != Content::Null && said(reading, part).is_none())
        };
        let unsaid = UNLISTED.iter().filter(|instrument| {
            !is_said(instrument.group) && self.where_read(instrument.reads, UNCERTAINTY).iter().any(lacks)
        });
        let open = unsaid.map(|instrument| LeftOpen {
            what: Unnamed::Doubt {
                of: instrument.group,
                place: mark.to_owned(),
                such_as: format!("{}: {{{UNCERTAINTY}: {}}}", instrument.group, instrument.example),
            },
            written_at: Path::root().child(PLACES.key).child(index).child(instrument.group).child(UNCERTAINTY),
            span: further(entry.span, self.base),
            places: self.where_read(instrument.reads, UNCERTAINTY),
        });
        open.collect()
    }

    /// The sheet of the day, or the round on it.
    fn sheet_left_open(&self, root: &Node, head: &HeadMarks<'_>) -> Option<LeftOpen> {
        let sheet = |day| SheetOfDay { day, place: head.place.map(str::to_owned), round: self.round_at(head.place) };
        if !self.has(ROUNDS) && !self.has(DAYS) {
            return None;
        }
        let mut places = self.places(&Path::root(), Subject::Job, &is_of_day);
        places.extend(self.of_round(root));
        let start = root.entry("record").map_or(root.span, |entry| entry.key_span);
        match head.day {
            None => Some(LeftOpen { what: Unnamed::Day, written_at: Path::root().child("day"), span: start, places }),
            Some((day, span)) if !head.sheets.is_there => {
                let now = self.at.day_in(self.zone);
                let sheet = sheet(day);
                let what =
                    if now < day { Unnamed::DayOfJudgement { today: now, sheet } } else { Unnamed::Sheet(sheet) };
                Some(LeftOpen { what, written_at: Path::root().child(DAYS), span, places })
            }
            Some((day, span)) if !head.sheets.has_round && self.has(ROUNDS) => {
                let seen = |key: FactKey, spec: &FactSpec| round_takes(key, spec) || is_look_at_cage(key);
                let mut places = self.places(&Path::root(), Subject::Job, &seen);
                places.extend(self.of_round(root));
                let what = Unnamed::Round { sheet: sheet(day), to_come: head.sheets.round_to_come };
                Some(LeftOpen { what, written_at: Path::root().child(DAYS).child("round"), span, places })
            }
            Some((day, span)) => {
                let again = head.sheets.read_later?;
                let is_reading =
                    |key: FactKey, spec: &FactSpec| matches!(spec.kind, FactKind::Reading(_)) && is_of_day(key, spec);
                let sides = SIDES.map(|side| (Path::root().child("components").child(side), Subject::Component));
                let of = sides.into_iter().chain([(Path::root(), Subject::Job)]);
                let places = of.flat_map(|(base, subject)| self.places(&base, subject, &is_reading)).collect();
                let what = Unnamed::ReadBefore { sheet: sheet(day), again };
                Some(LeftOpen { what, written_at: Path::root().child("read"), span, places })
            }
        }
    }

    /// The mark of the only round that is walked at a place.
    fn round_at(&self, place: Option<&str>) -> Option<String> {
        let rounds = self.shop.map(|shop| items(shop.document().root(), ROUNDS)).unwrap_or_default();
        let mut here = rounds.iter().filter(|round| {
            let of = said(round, "place").and_then(scalar);
            of.is_none() || of == place
        });
        let round = here.next().filter(|_| here.next().is_none())?;
        mark_of(round).map(str::to_owned)
    }

    /// What a sheet and its round say of lots and people, and the instruments with which it was read.
    fn of_round(&self, root: &Node) -> Vec<Path> {
        let sides = SIDES.iter().map(|side| (Path::root().child("components").child(*side), Subject::Component));
        let people = (0..items(root, "people").len()).map(|at| Path::root().child("people").child(at));
        let all = sides.chain(people.map(|path| (path, Subject::Person)));
        let facts = all.flat_map(|(base, subject)| self.places(&base, subject, &is_of_day));
        facts.chain([Path::root().child(THERMOMETERS.key)]).collect()
    }

    /// Whether a fact stands in an entry of one of these sections, is its mark, or stands in the log of what is done to
    /// them.
    fn is_of(&self, key: FactKey, spec: &FactSpec, sections: &[&Section]) -> bool {
        let is_mark = |section: &&Section| {
            section.subject == key.subject
                && section.within(&spec.name).is_some_and(|rest| section.mark_is == Some(rest))
        };
        if sections.iter().any(is_mark) {
            return true;
        }
        match Home::of(self.catalogue, key) {
            Home::Entry(section) => sections.contains(&section),
            Home::Routine(routine) => sections.contains(&routine.section),
            // What a round saw of a thing is said of it once it is named.
            Home::Day => sections.iter().any(|section| !section.base.is_empty() && spec.name.starts_with(section.base)),
            Home::Record => false,
        }
    }

    fn places(&self, base: &Path, subject: Subject, takes: &dyn Fn(FactKey, &FactSpec) -> bool) -> Vec<Path> {
        let specs = self.catalogue.keys_of(subject).filter_map(|key| Some((key, self.catalogue.spec(key)?)));
        let of_it = specs.filter(|(key, spec)| takes(*key, spec));
        of_it.map(|(_, spec)| place_of(spec, base)).collect()
    }

    /// Whether anything that an entry of a section would say is said, or is left empty by an entry that is named.
    fn is_there(&self, holder: &Node, section: &Section) -> bool {
        self.taken(section).iter().any(|spec| {
            let mut steps = spec.name.split('.');
            let found = steps.try_fold(holder, |node, key| node.entry(key).map(|entry| &entry.node));
            found.is_some_and(|node| node.value != Content::Null || !self.is_of_record(node))
        })
    }

    fn has_lot(&self, root: &Node, side: &str) -> bool {
        let side = said(root, "components").and_then(|sides| said(sides, side));
        side.is_some_and(|side| said(side, LOTS.named_by).is_some() || self.is_there(side, &LOTS))
    }

    /// Whether the shop file has anything under a key.
    fn has(&self, list: &str) -> bool {
        self.shop.is_some_and(|shop| items(shop.document().root(), list).iter().any(|item| !super::is_blank(item)))
    }
}

/// Where a fact stands in a record whose subject stands at `base`.
fn place_of(spec: &FactSpec, base: &Path) -> Path {
    let keys = spec.name.split('.').map(Step::from);
    base.steps().iter().cloned().chain(keys).collect()
}

/// Whether a sheet, or the round on it, states a fact.
fn is_of_day(key: FactKey, spec: &FactSpec) -> bool {
    day_takes(key, spec) || is_look_at_cage(key)
}

pub(super) fn is_look_at_cage(key: FactKey) -> bool {
    [job::CAGE_INSPECTED_AT, job::CAGE_INSPECTED_BY].contains(&key)
}
