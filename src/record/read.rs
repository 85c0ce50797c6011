//! From a document that fits the schema to a valid [`Job`].
//!
//! Everything that is wrong is collected, not only the first. Shape is the schema's business; this step reads the values,
//! refuses impossible ones, and resolves the marks of instruments. Must not know rules.

use super::catalogue::{Below, COARSEST, Catalogue, FINEST, FactGroup, POSITIVE};
use super::job::{Entity, Facts, Job, LogRow, Value};
use super::{FactKey, FactKind, FactSpec};
use crate::document::{Code, Content, Document, Entry, Fault, Faults, Node, Path, Source};
use crate::units::{Exact, Instant, WallTime, Zone};
use crate::vocabulary::{Look, PerSubject, Subject, TyrePlace, shown};

mod contradicted;
mod instruments;
mod names;
mod offsets;
mod value;

pub(super) use names::of_people;
pub use names::of_things as names_of_things;
use value::Bounded;
pub(super) use value::{is_possible, read as read_value};

/// Reads a record that is to be judged: shape by the schema, then values, then that its instants are of the zone in which
/// the shop lies.
///
/// # Errors
/// Every fault found, in the order of the text: codes `schema/...` for shape and `record/...` for values.
pub fn read(document: &Document, catalogue: &Catalogue, zone: &Zone) -> Result<Job, Faults> {
    let (job, mut faults) = whole(document, catalogue);
    faults.extend(offsets::of_another_zone(document, catalogue, &job, zone));
    Faults::none_of(faults).map(|()| job)
}

/// Reads a record of any place, to take facts over from it and never to judge it.
///
/// # Errors
/// As [`read`], but for the zone.
pub fn read_anywhere(document: &Document, catalogue: &Catalogue) -> Result<Job, Faults> {
    let (job, faults) = whole(document, catalogue);
    Faults::none_of(faults).map(|()| job)
}

fn whole(document: &Document, catalogue: &Catalogue) -> (Job, Vec<Fault>) {
    let (mut job, mut faults) = part(document, catalogue);
    contradicted::beads_as_meant(&mut job);
    if let Err(shape) = super::schema::check(document) {
        // A value that is wrong in itself is worded better by its reader than by its pattern.
        let said = |fault: &Fault| faults.iter().any(|known: &Fault| known.span() == fault.span());
        let more: Vec<Fault> = shape.into_iter().filter(|fault| !said(fault)).collect();
        faults.extend(more);
    }
    (job, faults)
}

/// Reads a fragment of a record, such as the example of a rule: no fact is compulsory, and the lists may be absent.
///
/// # Errors
/// As [`read`], without the schema's demands.
pub fn read_fragment(source: &Source, root: &Node, catalogue: &Catalogue) -> Result<Job, Faults> {
    let mut reader = RecordReader { source, catalogue, faults: Vec::new() };
    let job = reader.job(root);
    Faults::none_of(reader.faults).map(|()| job)
}

/// The faults of what is said of some things alone, such as the entries of a shop file: those that every record has which
/// says this of them, whatever else it says.
pub(crate) fn faults_of_part(document: &Document, catalogue: &Catalogue) -> Vec<Fault> {
    part(document, catalogue).1
}

fn part(document: &Document, catalogue: &Catalogue) -> (Job, Vec<Fault>) {
    let mut reader = RecordReader { source: document.source(), catalogue, faults: Vec::new() };
    let job = reader.job(document.root());
    let mut faults = reader.faults;
    faults.extend(names::misnamed(document, catalogue, &job));
    faults.extend(contradicted::contradicted(document, catalogue, &job));
    (job, faults)
}

struct RecordReader<'a> {
    source: &'a Source,
    catalogue: &'a Catalogue,
    faults: Vec<Fault>,
}

impl RecordReader<'_> {
    fn fault(&mut self, fault: Fault) {
        self.faults.push(fault.in_source(self.source));
    }

    fn job(&mut self, root: &Node) -> Job {
        let mut job = Job {
            lists: PerSubject::from_fn(|subject| match subject {
                Subject::Job => Some(vec![self.entity(subject, "the job".to_owned(), Path::root(), root)]),
                Subject::Component => Some(self.components(root)),
                _ => self.list(subject, root),
            }),
        };
        self.resolve(&mut job, root);
        self.people_named(&job, root);
        job
    }

    /// Refuses the name of a person that is written otherwise than in the list of people: it looks like theirs, and no
    /// program finds them by it.
    fn people_named(&mut self, job: &Job, root: &Node) {
        let people = job.of(Subject::Person).unwrap_or(&[]);
        for key in names::of_people() {
            for entity in job.of(key.subject).unwrap_or(&[]) {
                let Some(name) = entity.facts.text(key) else { continue };
                if people.iter().any(|person| person.label == name) {
                    continue;
                }
                let look = Look::of(name);
                let Some(twin) = people.iter().find(|person| look.is_like(&Look::of(&person.label))) else { continue };
                let path = entity.path_of(self.catalogue, key);
                let span = root.descend(path.steps()).map_or(root.span, |node| node.span);
                let message =
                    format!("`{}` is not how `{}` is written under `people`", shown(name), shown(&twin.label));
                self.fault(
                    Fault::new(Code::RecordNameOtherwise, message)
                        .label(span, "taken for the same person")
                        .help("write the name as it is written there, letter by letter"),
                );
            }
        }
    }

    fn list(&mut self, subject: Subject, root: &Node) -> Option<Vec<Entity>> {
        let key = subject.record_key()?;
        let Content::List(items) = &root.entry(key)?.node.value else { return None };
        let list = Path::root().child(key);
        let mut entities: Vec<Entity> = Vec::with_capacity(items.len());
        let mut looks: Vec<(Look, Option<TyrePlace>)> = Vec::with_capacity(items.len());
        let mut unnamed = false;
        for (index, item) in items.iter().enumerate() {
            let path = list.child(index);
            let mut entity = self.entity(subject, String::new(), path, item);
            let name = self.catalogue.of(subject).first().map_or("mark", |spec| spec.name.as_ref());
            // A mark that is left blank is none, and of two of them nobody knows which is which.
            if scalar_text(item, name).is_none() && item.entry(name).is_some() {
                if unnamed {
                    self.fault(
                        Fault::new(Code::RecordMarkTwice, format!("two entries have no {name}"))
                            .label(item.span, "neither has this one")
                            .help("give each its own mark or name, so that reports and readings can tell them apart"),
                    );
                }
                unnamed = true;
            }
            entity.label = match scalar_text(item, name) {
                Some(text) => text.to_owned(),
                None => format!("{} {}", subject.word(), index + 1),
            };
            let look = Look::of(&entity.label);
            let spot = (subject == Subject::Assembly).then(|| TyrePlace::of(&entity.label));
            let is_twin = |(other, place): &(Look, Option<TyrePlace>)| {
                look.is_like(other) || spot.as_ref().zip(place.as_ref()).is_some_and(|(one, other)| one.is_same(other))
            };
            let twin = entities.iter().zip(&looks).zip(items).find(|((_, other), _)| is_twin(other));
            if let Some(((twin, (other, _)), before)) = twin {
                let message = if twin.label == entity.label {
                    format!("two entries are called `{}`", twin.label)
                } else if look.is_like(other) {
                    format!("`{}` and `{}` would be taken for one another", shown(&twin.label), shown(&entity.label))
                } else {
                    format!("`{}` and `{}` mean one place of one machine", shown(&twin.label), shown(&entity.label))
                };
                self.fault(
                    Fault::new(Code::RecordMarkTwice, message)
                        .label(item.span, "this one")
                        .label(before.span, "and this one")
                        .help("give each its own mark or name, so that reports and readings can tell them apart; of one thing keep one entry"),
                );
            }
            self.scale(subject, &entity, item);
            looks.push((look, spot));
            entities.push(entity);
        }
        Some(entities)
    }

    /// Both components always exist: a side that is not recorded is a side of which nothing is known.
    fn components(&mut self, root: &Node) -> Vec<Entity> {
        let parent = root.entry("components").map(|entry| &entry.node);
        let table = Path::root().child("components");
        ["isocyanate", "polyol"]
            .into_iter()
            .map(|side| match parent.and_then(|node| node.entry(side)) {
                Some(found) => self.entity(Subject::Component, side.to_owned(), table.child(side), &found.node),
                None => Entity {
                    label: side.to_owned(),
                    path: table.child(side),
                    facts: Facts::empty(self.catalogue.of(Subject::Component).len()),
                },
            })
            .collect()
    }

    fn entity(&mut self, subject: Subject, label: String, path: Path, node: &Node) -> Entity {
        let mut facts = Facts::empty(self.catalogue.of(subject).len());
        self.group(FactGroup::whole(subject), node, &mut facts);
        Entity { label, path, facts }
    }

    /// Reads one mapping of facts.
    fn group(&mut self, group: FactGroup, node: &Node, facts: &mut Facts) {
        let Content::Map(entries) = &node.value else { return };
        for entry in entries {
            match group.below(&entry.key) {
                Some(Below::Fact(key, _)) => {
                    if let Some(value) = self.fact(key, &entry.node) {
                        facts.set(key, value);
                    }
                }
                Some(Below::Group(inner)) => self.group(inner, &entry.node, facts),
                None if group.is_whole() && entry.key == "local" => {
                    self.declared(group.subject(), "local.", &entry.node, facts);
                }
                None => {}
            }
        }
    }

    /// Reads one mapping of facts that packs declare; `prefix` is its dotted place within the subject, with a final dot.
    fn declared(&mut self, subject: Subject, prefix: &str, node: &Node, facts: &mut Facts) {
        let Content::Map(entries) = &node.value else { return };
        for entry in entries {
            let mut name = [prefix, &entry.key].concat();
            let found = self.catalogue.find(subject, &name).filter(|_| !entry.key.contains('.'));
            if let Some(key) = found {
                if let Some(value) = self.fact(key, &entry.node) {
                    facts.set(key, value);
                }
                continue;
            }
            name.push('.');
            if self.catalogue.has_below(subject, &name) {
                self.declared(subject, &name, &entry.node, facts);
            } else {
                name.pop();
                self.undeclared(entry, &name);
            }
        }
    }

    fn undeclared(&mut self, entry: &Entry, name: &str) {
        self.fault(
            Fault::new(Code::RecordUndeclaredFact, format!("no pack in force declares the fact `{name}`"))
                .label(entry.key_span, "not declared")
                .help("add the pack that declares it with --pack, or take the line out"),
        );
    }

    fn fact(&mut self, key: FactKey, node: &Node) -> Option<Value> {
        let catalogue = self.catalogue;
        let spec = catalogue.spec(key)?;
        // Nothing after the colon, or nothing that was read: not known yet.
        let is_empty = |node: &Node| node.value == Content::Null;
        let is_reading = matches!(spec.kind, FactKind::Reading(_));
        if is_empty(node) || is_reading && node.entry("reading").is_some_and(|read| is_empty(&read.node)) {
            return None;
        }
        match &spec.kind {
            FactKind::Log(columns) => self.log(columns, node).map(Value::Log),
            kind => match value::read(kind, node) {
                Ok(Value::Measured(measured)) if POSITIVE.contains(&key) && measured.shown.base() <= Exact::ZERO => {
                    self.fault(
                        Fault::new(Code::RecordImpossibleValue, format!("`{}` cannot be nothing", spec.name))
                            .label(node.span, "here")
                            .help("check the figure, or leave it empty if it is not known"),
                    );
                    None
                }
                Ok(Value::Measured(measured)) if too_coarse(key, measured.shown.base()) => {
                    self.fault(
                        Fault::new(
                            Code::RecordImpossibleValue,
                            format!("an instrument with so great a `{}` shows nothing", spec.name),
                        )
                        .label(node.span, "here")
                        .help("copy the expanded uncertainty from the calibration certificate, with its unit"),
                    );
                    None
                }
                Ok(Value::Measured(measured)) if too_fine(key, measured.shown.base()) => {
                    self.fault(
                        Fault::new(
                            Code::RecordImpossibleValue,
                            format!("no instrument has so small a `{}`", spec.name),
                        )
                        .label(node.span, "here")
                        .help("copy the expanded uncertainty from the calibration certificate, with its unit"),
                    );
                    None
                }
                Ok(value) => Some(value),
                Err(fault) => {
                    self.fault(*fault);
                    None
                }
            },
        }
    }

    fn log(&mut self, columns: &[FactSpec], node: &Node) -> Option<Vec<LogRow>> {
        let Content::List(items) = &node.value else { return None };
        let mut rows: Vec<LogRow> = Vec::with_capacity(items.len());
        for item in items {
            let mut at = None;
            let mut readings = Vec::new();
            for column in columns {
                let cell = item.entry(&column.name).map(|cell| (cell, value::read(&column.kind, &cell.node)));
                match cell {
                    Some((_, Ok(Value::Instant(instant)))) => at = Some(instant),
                    Some((cell, Ok(Value::Measured(measured)))) => {
                        // What a log holds was read, so the narrower bounds of readings apply.
                        if let Err(fault) = value::possible(measured.shown, Bounded::Reading, &cell.node) {
                            self.fault(*fault);
                        }
                        readings.push(Some(*measured));
                    }
                    Some((_, Err(fault))) => self.fault(*fault),
                    _ => readings.push(None),
                }
            }
            let at = at?;
            if let Some(last) = rows.last().filter(|last| last.at >= at) {
                let above = items.get(rows.len().saturating_sub(1));
                let help = self.cure_of_order(above, item, last.at, at);
                self.fault(
                    Fault::new(Code::RecordLogOutOfOrder, "this row is not later than the one before it")
                        .label(item.span, "not later than the row above")
                        .help(help),
                );
            }
            rows.push(LogRow { at, readings });
        }
        Some(rows)
    }

    /// How to correct two rows of which the second is not later: add their days where they have none, and never sort them,
    /// which would make a log that nobody kept.
    fn cure_of_order(&self, above: Option<&Node>, this: &Node, last: Instant, at: Instant) -> String {
        let time = |row: &Node| {
            let written = self.source.slice(row.entry("at")?.node.span).trim_matches(['"', '\'']);
            let time = WallTime::parse(written)?.ok()?;
            time.day().is_none().then(|| written.to_owned())
        };
        let (above, this) = (above.and_then(time), time(this));
        let mut ways = Vec::new();
        if let (Some(time), Some(day)) = (&above, last.day_as_written().checked_add_days(-1)) {
            ways.push(format!(
                "`{} {time}` above, and of the rows before it, if they are of the day before",
                day.to_record_text()
            ));
        }
        if let (Some(time), Some(day)) = (&this, at.day_as_written().checked_add_days(1)) {
            ways.push(format!("`{} {time}` here, if this row is of the day after", day.to_record_text()));
        }
        if ways.is_empty() {
            return "look in the notebook: put the time right that was copied wrong, or take out a row that stands there once; never sort rows to fit".to_owned();
        }
        format!("say of which day each row is, and leave their order: {}", ways.join("; "))
    }
}

fn scalar_text<'n>(node: &'n Node, key: &str) -> Option<&'n str> {
    match &node.entry(key)?.node.value {
        Content::Text(text) | Content::Number(text) => Some(text),
        _ => None,
    }
}

/// Whether a doubt is greater than that of any instrument of its kind that is used.
fn too_coarse(key: FactKey, doubt: Exact) -> bool {
    let coarsest = COARSEST.iter().find(|(fact, _)| *fact == key);
    coarsest.and_then(|(_, (num, den))| Exact::new(*num, *den)).is_some_and(|coarsest| doubt > coarsest)
}

/// Whether a doubt is smaller than that of any instrument of its kind.
fn too_fine(key: FactKey, doubt: Exact) -> bool {
    let finest = FINEST.iter().find(|(fact, _)| *fact == key);
    finest.and_then(|(_, (num, den))| Exact::new(*num, *den)).is_some_and(|finest| doubt < finest)
}
