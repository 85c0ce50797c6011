//! What is still to be found out or put right before a finding is cleared, and where in the walk round the shop.
//!
//! A finding that only lacks facts asks for those facts, and many findings may ask for the same; a finding in which
//! something that is recorded stands in the way is a fault of its own. This module must not know words or text.

use super::trace::{Decider, Known, Seen, Trace, TraceLeaf, trace};
use super::{Finding, Scene};
use crate::document::Path;
use crate::figures::{FigureId, Lack};
use crate::pack::{Collection, Term};
use crate::record::FactKey;
use crate::record::catalogue::Station;
use crate::units::Truth;
use crate::vocabulary::Subject;

/// What one finding asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Errand {
    /// Where what stands in the way is put right; where facts are missing, each has its own station.
    pub station: Station,
    /// Facts that are not recorded.
    pub gaps: Vec<Gap>,
    /// Whether these facts are all that it takes to know; else something that is recorded stands in the way as well.
    pub is_open_only: bool,
}

/// A fact that is not recorded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Gap {
    /// The fact.
    pub key: FactKey,
    /// Where it should stand; of a reading it may be a part that is missing, such as its instant.
    pub place: Path,
    /// Whether it is asked for only if a rule applies, of which other missing facts decide.
    pub is_conditional: bool,
}

impl Scene<'_> {
    /// Whether a value is only to be found out: it is not recorded, or is a reading that is dated after the judgement.
    /// An event that is dated ahead may have happened, and stands in the way.
    fn is_found_out(&self, seen: &Seen) -> bool {
        match seen.known {
            Known::NotRecorded => true,
            Known::Ahead(_) => !matches!(seen.term, Some(Term::Fact(key)) if self.is_event(key)),
            _ => false,
        }
    }

    /// Whether what is to be found out may be all that a condition lacks.
    fn is_met_by_finding_out(&self, trace: &Trace<'_>) -> bool {
        match trace {
            _ if trace.truth() == Truth::True => true,
            Trace::All(_, parts) => parts.iter().all(|part| self.is_met_by_finding_out(part)),
            Trace::Any(_, parts) => parts.iter().any(|part| self.is_met_by_finding_out(part)),
            Trace::Leaf(leaf) => std::iter::once(&leaf.left).chain(&leaf.right).any(|seen| self.is_found_out(seen)),
            Trace::Elements { every: false, parts, .. } => {
                parts.iter().any(|(_, part)| self.is_met_by_finding_out(part))
            }
            Trace::Not(..) | Trace::Elements { .. } => false,
        }
    }

    /// What a finding asks for.
    pub fn errand(&self, finding: &Finding) -> Errand {
        let Some(rule) = self.rule(finding) else {
            return Errand { station: Station::Desk, gaps: Vec::new(), is_open_only: false };
        };
        let Some(entity) = finding.entity else {
            let gaps = list_gap(rule.covers).into_iter().collect();
            return Errand { station: Station::of(rule.covers), gaps, is_open_only: true };
        };
        let here = self.here(rule.covers, Some(entity));
        let mut open = GatheredParts::default();
        if let Some(applies) = rule.asks.applies.as_ref().filter(|applies| self.truth(applies, &here) == Truth::Unknown)
        {
            self.gather(&trace(self, applies, &here), false, &mut open);
        }
        let is_conditional = !open.gaps.is_empty();
        let demands = trace(self, &rule.asks.demands, &here);
        self.gather_demands(&demands, is_conditional, &mut open);
        // Once what is dated ahead counts, the rest may not be asked for.
        if open.gaps.iter().any(|gap| self.lies_ahead(gap.key)) {
            for gap in &mut open.gaps {
                gap.is_conditional |= !self.lies_ahead(gap.key);
            }
        }
        let station = open.station.unwrap_or_else(|| Station::of(rule.covers));
        // Where one of several is enough, what stands in the way of another one is no fault.
        let in_the_way = open.in_the_way && !self.is_met_by_finding_out(&demands);
        Errand { station, is_open_only: !in_the_way && !open.gaps.is_empty(), gaps: open.gaps }
    }

    /// What demands ask for: of several ways of which one is enough the one for which something speaks already, or else the
    /// first that only needs finding out; the others only if it is not that one.
    fn gather_demands(&self, trace: &Trace<'_>, is_conditional: bool, open: &mut GatheredParts) {
        match trace {
            _ if trace.truth() == Truth::True => {}
            Trace::All(_, parts) => parts.iter().for_each(|part| self.gather_demands(part, is_conditional, open)),
            Trace::Any(_, parts) if self.is_met_by_finding_out(trace) => {
                let ways: Vec<&Trace<'_>> = parts.iter().filter(|part| self.is_met_by_finding_out(part)).collect();
                let first = ways.iter().position(|way| is_begun(way)).unwrap_or_default();
                for (position, way) in ways.into_iter().enumerate() {
                    if position == first {
                        self.gather_demands(way, is_conditional, open);
                    } else {
                        self.gather(way, true, open);
                    }
                }
            }
            _ => self.gather(trace, is_conditional, open),
        }
    }

    fn gather(&self, trace: &Trace<'_>, is_conditional: bool, open: &mut GatheredParts) {
        if trace.truth() == Truth::True {
            return;
        }
        for decider in trace.deciders() {
            match decider {
                Decider::List { of, recorded: false, path, .. } => {
                    let gap = match (of, path) {
                        (Collection::Words(key), Some(place)) => {
                            Some(Gap { key, place: place.clone(), is_conditional })
                        }
                        (Collection::Subjects(subject), _) => list_gap(subject),
                        (Collection::Words(_), None) => None,
                    };
                    open.gaps.extend(gap.map(|gap| Gap { is_conditional, ..gap }));
                }
                Decider::List { of, .. } => open.blocked(self.station_of(of)),
                Decider::Leaf(leaf) => self.gather_leaf(leaf, is_conditional, open),
            }
        }
    }

    fn gather_leaf(&self, leaf: &TraceLeaf<'_>, is_conditional: bool, open: &mut GatheredParts) {
        let sides = || std::iter::once(&leaf.left).chain(&leaf.right);
        let missing: Vec<Gap> = sides()
            .filter(|seen| self.is_found_out(seen))
            .flat_map(|seen| self.gaps_of(seen, leaf, is_conditional))
            .collect();
        if missing.is_empty() {
            let listed = leaf.here.item().and_then(|item| self.station(Term::Fact(item.list)));
            let station = listed.or_else(|| sides().filter_map(|seen| seen.term).find_map(|term| self.station(term)));
            open.blocked(station);
        }
        for gap in missing {
            match open.gaps.iter_mut().find(|known| known.place == gap.place) {
                Some(known) => known.is_conditional &= gap.is_conditional,
                None => open.gaps.push(gap),
            }
        }
    }

    fn gaps_of(&self, seen: &Seen, leaf: &TraceLeaf<'_>, is_conditional: bool) -> Vec<Gap> {
        let gap = |key: FactKey, place: Path| Gap { key, place, is_conditional };
        match seen.term {
            Some(Term::Fact(key) | Term::ReadAt(key) | Term::ReadWith(key) | Term::ReadDoubt(key)) => {
                // Of a reading that is missing altogether, or dated ahead, the whole is asked for, not its instant alone.
                let fact = leaf.here.entity(key.subject);
                let is_ahead = matches!(seen.known, Known::Ahead(_));
                let whole = fact.filter(|(_, entity)| is_ahead || entity.facts.get(key).is_none());
                match whole {
                    Some((_, entity)) => vec![gap(key, entity.path_of(self.packs.catalogue(), key))],
                    None => seen.paths.iter().map(|path| gap(key, path.clone())).collect(),
                }
            }
            Some(Term::Figure(id)) => {
                let Some(spec) = id.spec() else { return Vec::new() };
                let index = leaf.here.entity(spec.subject).map(|(index, _)| index);
                let figure = index.and_then(|index| self.figure(id, spec.subject, index));
                let Some(Err(Lack::Missing(keys))) = figure else { return Vec::new() };
                // Where the record has nobody and nothing of its kind, the list is what is missing, whatever else is
                // asked of it.
                let of_key = |key: FactKey, place: Path| {
                    let list = list_gap(key.subject).filter(|list| list.place == place);
                    gap(list.map_or(key, |list| list.key), place)
                };
                keys.iter()
                    .flat_map(|key| self.gaps(*key, &leaf.here).into_iter().map(|place| of_key(*key, place)))
                    .collect()
            }
            Some(Term::Item) | None => Vec::new(),
        }
    }

    fn station(&self, term: Term) -> Option<Station> {
        match term {
            Term::Fact(key) | Term::ReadAt(key) | Term::ReadWith(key) | Term::ReadDoubt(key) => {
                self.packs.catalogue().spec(key).map(|spec| spec.asked.station)
            }
            // It is waited for where it cures, whatever it is counted from.
            Term::Figure(FigureId::CuredAt) => Some(Station::CurePlace),
            Term::Figure(id) => id.spec()?.facts().find_map(|key| self.station(Term::Fact(key))),
            Term::Item => None,
        }
    }

    fn station_of(&self, of: Collection) -> Option<Station> {
        match of {
            Collection::Subjects(subject) => Some(Station::of(subject)),
            Collection::Words(key) => self.station(Term::Fact(key)),
        }
    }
}

/// Whether something that is recorded already speaks for a way.
fn is_begun(way: &Trace<'_>) -> bool {
    match way {
        Trace::All(_, parts) | Trace::Any(_, parts) => parts.iter().any(is_begun),
        Trace::Leaf(leaf) => leaf.truth == Truth::True && !matches!(leaf.left.known, Known::NotRecorded),
        Trace::Not(..) | Trace::Elements { .. } => false,
    }
}

/// What the parts of one finding ask for.
#[derive(Debug, Default)]
struct GatheredParts {
    gaps: Vec<Gap>,
    /// Whether something that is recorded stands in the way.
    in_the_way: bool,
    /// Where the first such thing is found.
    station: Option<Station>,
}

impl GatheredParts {
    fn blocked(&mut self, station: Option<Station>) {
        self.in_the_way = true;
        self.station = self.station.or(station);
    }
}

/// A list of subjects that the record does not have: its first fact, at the place of the list.
fn list_gap(subject: Subject) -> Option<Gap> {
    let place = Path::root().child(subject.record_key()?);
    Some(Gap { key: FactKey { subject, index: 0 }, place, is_conditional: false })
}
