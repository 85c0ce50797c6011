//! The words for what is said of a place in the record.
//!
//! Must not know where places are or how they are drawn.

mod said;

use super::places::{Place, PlaceNote, Turn};
use super::stretch;
use super::words::{self, Needs};
use crate::document::Path;
use crate::engine::{Known, Scene, Seen, TraceLeaf};
use crate::pack::Term;
use crate::pack::sides::Base;
use crate::pack::test::{End, Relation};
use crate::record::Value;
use crate::record::catalogue::person;
use crate::units::{Exact, Instant, Rounding, Truth};

pub(super) use said::SaidOfPlace;
use said::{Joint, Phrase, PhraseOpening};

/// Everything that is said of a place, each thing once.
pub(super) fn of_place(scene: &Scene<'_>, place: &Place<'_>) -> SaidOfPlace {
    let mut said: Vec<Phrase> = Vec::new();
    let is_compared = place.notes.iter().any(|note| matches!(note, PlaceNote::Compared { .. }));
    // Of what still leaves something open, and of a value that is compared, it is not said too that the rule applies by it.
    let says_enough = |note: &PlaceNote<'_>| match note {
        PlaceNote::Scope { open, .. } => *open,
        PlaceNote::Compared { leaf, .. } => !matches!(leaf.leaf.term, Term::Figure(_)),
        _ => false,
    };
    let enough = place.notes.iter().any(says_enough);
    let mut put = |phrase: Phrase| {
        if !said.contains(&phrase) {
            said.push(phrase);
        }
    };
    // The comparisons of a place stand together, where the first of them stands.
    let mut comparisons = Some(compared(scene, place));
    for note in &place.notes {
        match note {
            PlaceNote::Compared { .. } => comparisons.take().into_iter().flatten().for_each(&mut put),
            // A value that is compared is not said again as the other side of a comparison.
            PlaceNote::MakesTheBound(_) | PlaceNote::Is(..) if is_compared => {}
            PlaceNote::Scope { open: false, .. } if enough => {}
            PlaceNote::Scope { term, known, open: false } if place.notes.iter().any(|of| of.compares(*term, known)) => {
            }
            // That it lies ahead is said of the bound that it would make.
            PlaceNote::Scope { known: Known::Ahead(_), open: false, .. } if place.notes.iter().any(is_bound_ahead) => {}
            other => put(Phrase::remark(of_note(scene, other))),
        }
    }
    SaidOfPlace::of(said, place.instead)
}

/// What the first comparison of a place with something that is there has seen and needs, with its name; nothing where there
/// is none.
pub(super) fn reading(scene: &Scene<'_>, place: &Place<'_>) -> Option<String> {
    let known = place.notes.iter().find_map(|note| match note {
        PlaceNote::Compared { leaf, .. } => Some(leaf),
        _ => None,
    })?;
    let said = SaidOfPlace::of(compared(scene, place), false);
    let names_itself = matches!(known.leaf.term, Term::Figure(_)) || flag(known).is_some();
    let whose = if names_itself { String::new() } else { format!("{}: ", words::term(scene, known.leaf.term)) };
    Some(format!("{whose}{said}"))
}

/// Whether it is what something is compared with, and dated after the judgement.
fn is_bound_ahead(note: &PlaceNote<'_>) -> bool {
    matches!(note, PlaceNote::MakesTheBound(Known::Ahead(_)) | PlaceNote::Is(_, Known::Ahead(_)))
}

fn of_note(scene: &Scene<'_>, note: &PlaceNote<'_>) -> String {
    match note {
        PlaceNote::Absent { key } if *key == Path::root() => "nothing is written here".to_owned(),
        PlaceNote::Absent { key } => format!("`{key}` is missing here"),
        PlaceNote::Compared { leaf, wanted, .. } => SaidComparison::of(scene, leaf, *wanted).phrase().to_string(),
        PlaceNote::GoesInto(term) => format!("used for: {}", words::term(scene, *term)),
        PlaceNote::MakesTheBound(known @ Known::Ahead(_)) | PlaceNote::Is(_, known @ Known::Ahead(_)) => {
            words::known(known)
        }
        PlaceNote::MakesTheBound(known) => format!("makes the limit {}", words::known(known)),
        PlaceNote::Is(term, known) => format!("{}: {}", words::term(scene, *term), words::known(known)),
        PlaceNote::Elements { every, of, meets } => format!("needs {}", words::elements(scene, *every, *of, meets)),
        PlaceNote::Scope { term, known, open } => {
            let seen = match known {
                Known::Other(Value::Flag(so)) => words::so_or_not(scene, *term, *so),
                Known::Other(Value::Log(rows)) => {
                    format!("{} is recorded, in {} rows", words::term(scene, *term), rows.len())
                }
                known if matches!(term, Term::Figure(_)) => {
                    format!("{} {}", words::term(scene, *term), words::known(known))
                }
                known => words::known(known),
            };
            if *open {
                format!("{seen}, and it is not clear from this whether the rule applies")
            } else {
                format!("{seen}, which is why this is asked")
            }
        }
    }
}

/// One comparison in words.
struct SaidComparison<'p> {
    /// What is there.
    value: String,
    /// What is needed; nothing where the value says all.
    needs: Option<Needs>,
    /// The bound that decides, where there is one: which end it is, what kind of thing is counted, and how much.
    bound: Option<(End, u8, Exact)>,
    /// Whether it asks only that nothing be recorded.
    is_of_absence: bool,
    turn: Option<&'p Turn>,
}

impl SaidComparison<'_> {
    fn phrase(self) -> Phrase {
        let needs = self.needs.map(|needs| (Joint::And, needs)).into_iter().collect();
        Phrase { needs, ..Phrase::remark(self.value) }
    }

    fn is_choice_with(&self, other: &Self) -> bool {
        self.turn.zip(other.turn).is_some_and(|(own, other)| own.is_choice_with(other))
    }

    /// Whether another comparison of the same value makes this one needless: of two that must both be met the stricter
    /// counts, of two of which either will do the looser.
    fn is_said_by(&self, other: &Self) -> bool {
        let choice = self.is_choice_with(other);
        if self.value != other.value {
            return false;
        }
        if choice && self.is_of_absence {
            return !other.is_of_absence;
        }
        let (Some((end, kind, bound)), Some((other_end, other_kind, other_bound))) = (self.bound, other.bound) else {
            return false;
        };
        if (end, kind) != (other_end, other_kind) || bound == other_bound {
            return false;
        }
        let is_looser = (end == End::High) == (bound > other_bound);
        let alone = other.turn.zip(self.turn).is_some_and(|(other, own)| other.is_alone_beside(own));
        if choice { !is_looser && alone } else { is_looser }
    }
}

/// The comparisons of a place: each value once, with all that is needed of it.
fn compared(scene: &Scene<'_>, place: &Place<'_>) -> Vec<Phrase> {
    let each = place.notes.iter().filter_map(|note| match note {
        PlaceNote::Compared { leaf, wanted, turn } => {
            Some(SaidComparison { turn: Some(turn), ..SaidComparison::of(scene, leaf, *wanted) })
        }
        _ => None,
    });
    let each: Vec<SaidComparison<'_>> = each.collect();
    let mut phrases: Vec<Phrase> = Vec::new();
    let mut last: Option<&SaidComparison<'_>> = None;
    for (position, said) in each.iter().enumerate() {
        let again = each.iter().take(position).any(|known| known.value == said.value && known.needs == said.needs);
        if again || each.iter().any(|other| said.is_said_by(other)) {
            continue;
        }
        let choice = last.is_some_and(|last| last.is_choice_with(said));
        let needs = |joint| said.needs.clone().map(|needs| (joint, needs));
        match phrases.last_mut() {
            Some(known) if known.value == said.value => {
                known.needs.extend(needs(if choice { Joint::Or } else { Joint::And }));
            }
            _ => phrases.push(Phrase {
                opening: if choice { PhraseOpening::Or } else { PhraseOpening::Also },
                value: said.value.clone(),
                needs: needs(Joint::And).into_iter().collect(),
            }),
        }
        last = Some(said);
    }
    // What broke a stretch is told once, behind what it came to.
    phrases.extend(place.notes.iter().find_map(|note| match note {
        PlaceNote::Compared { leaf, .. } => {
            Some(Phrase::remark(stretch::phrase(scene, &stretch::broken(scene, leaf)?)))
        }
        _ => None,
    }));
    phrases
}

/// What a comparison with a yes or no saw.
fn flag(leaf: &TraceLeaf<'_>) -> Option<bool> {
    match (&leaf.left.known, leaf.leaf.test.row().relation) {
        (Known::Other(Value::Flag(so)), Relation::Equal(_)) => Some(*so),
        _ => None,
    }
}

/// By how much a figure lies below zero, where it must not.
fn short_of_nothing(leaf: &TraceLeaf<'_>) -> Option<String> {
    let Known::Measured(measured) = &leaf.left.known else { return None };
    let nothing = leaf.right.iter().all(|right| match &right.known {
        Known::Number { low, high } => low.base().is_zero() && high.base().is_zero(),
        _ => false,
    });
    let short = measured.shown.scaled(Exact::from_int(-1))?;
    (nothing && measured.interval.is_point() && short.base() > Exact::ZERO).then(|| words::rounded(short, Rounding::Up))
}

impl SaidComparison<'_> {
    /// What is there, what is needed, and whether that is too close to tell.
    fn of(scene: &Scene<'_>, leaf: &TraceLeaf<'_>, wanted: bool) -> Self {
        let known = &leaf.left.known;
        let whole = |value| Self { value, needs: None, bound: None, is_of_absence: false, turn: None };
        if let Some(so) = flag(leaf) {
            return whole(words::so_or_not(scene, leaf.leaf.term, so));
        }
        // Of the crew each is compared with the person who is named elsewhere: nobody is to be called otherwise.
        if let (true, [other]) = (wanted && leaf.leaf.term == Term::Fact(person::NAME), leaf.right.as_slice())
            && leaf.leaf.test.row().relation == Relation::Equal(true)
            && matches!(other.known, Known::Other(Value::Text(_)))
        {
            return whole(format!("{}, where {} is looked for", words::known(known), words::known(&other.known)));
        }
        let figure = matches!(leaf.leaf.term, Term::Figure(_)).then(|| words::term(scene, leaf.leaf.term));
        let named = |value: String| figure.as_ref().map_or(value.clone(), |name| format!("{name} {value}"));
        // What has not happened yet, or cannot be worked out, is measured by nothing.
        if let Known::Ahead(_) | Known::Obstacle(_) = known {
            return whole(named(words::known(known)));
        }
        if let (Some(name), Some(short)) = (&figure, short_of_nothing(leaf)) {
            return whole(format!("{name} is short by {short}"));
        }
        let row = leaf.leaf.test.row();
        let asks_age = row.asks_age();
        let value = match (asks_age, scene.age(leaf.leaf.term, &leaf.here)) {
            (true, Some(age)) if scene.start() > scene.at() => {
                format!("will be {} old at the planned start, {}", words::span(age), words::clock(scene))
            }
            (true, Some(age)) => format!("{} old", words::span(age)),
            (true, None) if is_undated(known) => "the time of reading is missing".to_owned(),
            _ => match (&figure, known) {
                (Some(_), Known::Measured(measured)) => {
                    words::figure(measured, measured.shown.unit(), Rounding::Nearest)
                }
                _ => words::known(known),
            },
        };
        let in_numbers = is_number(&leaf.left) && leaf.right.iter().all(is_number);
        // What nobody saw is no doubt of an instrument.
        let is_unseen = stretch::broken(scene, leaf).is_some();
        let doubt = if row.is_left_open_by_doubt() && leaf.truth == Truth::Unknown && in_numbers && !is_unseen {
            ": too close to tell"
        } else {
            ""
        };
        Self {
            value: named(value),
            needs: Some(words::needs(scene, leaf, wanted).and_then(&of_the_start(scene, leaf)).and_then(doubt)),
            // A value told with both bounds cannot be merged.
            bound: bound(leaf, wanted).filter(|_| !wanted || words::at_both_ends(leaf).is_none()),
            is_of_absence: row.relation == Relation::Recorded && wanted == leaf.leaf.test.is_of_absence(),
            turn: None,
        }
    }
}

/// The one bound of a comparison, at the end where its term must stay within it.
fn bound(leaf: &TraceLeaf<'_>, wanted: bool) -> Option<(End, u8, Exact)> {
    let [bound] = leaf.leaf.test.row().bounds() else { return None };
    let end = if wanted { bound.end } else { bound.opposite().end };
    let (kind, amount) = match &leaf.right.first()?.known {
        Known::Number { low, .. } if end == End::High => (0, low.base()),
        Known::Number { high, .. } => (0, high.base()),
        Known::Other(Value::Instant(at)) => (1, at.seconds_since(Instant::since_1970(0)?)),
        _ => return None,
    };
    Some((end, kind, amount))
}

fn is_number(seen: &Seen) -> bool {
    matches!(seen.known, Known::Measured(_) | Known::Number { .. })
}

/// Whether a reading does not say when it was taken.
fn is_undated(known: &Known) -> bool {
    matches!(known, Known::Measured(measured) if measured.at.is_none())
}

/// Whose moment it is, where a comparison is asked of a start that lies ahead.
fn of_the_start(scene: &Scene<'_>, leaf: &TraceLeaf<'_>) -> String {
    let ahead = scene.start() > scene.at();
    let asked = leaf.leaf.test.operands().any(|operand| match operand.base {
        Base::Start => true,
        Base::Today => scene.start().day_in(scene.zone()) > scene.at().day_in(scene.zone()),
        _ => false,
    });
    if ahead && asked { format!(" for the planned start, {}", words::clock(scene)) } else { String::new() }
}
