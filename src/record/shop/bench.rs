//! The look at the parts as they lay apart on the bench, and when the assembly was seen seated.
//!
//! `found: []` says that nothing was found at the parts. A find is a word in that list: it is filled in at the fact whose
//! word it is, and the rest counts as looked at, so that the person who found a crack writes no more than the person
//! who found nothing. What is written out beside it, such as a leak, is what the look found there. Must not know the
//! rest of the record.

use super::expand::Expander;
use super::nodes::{at_place, said, scalar, take};
use super::refusals;
use super::sections::{FOUND, Find, LOOKED, NOTHING_FOUND, OFF_RIM, SEATED};
use super::sheets::{fill_facts, set};
use crate::document::prose::in_quotes;
use crate::document::{Code, Content, Entry, Fault, Node, Path, nearest_value};
use crate::record::catalogue::assembly;
use crate::record::{Catalogue, FactKey, FactKind};

/// Where the look at the parts on the bench stands.
pub(super) const BENCH: &str = "bench";

/// Where the look at the assembly in the cage stands.
pub(super) const SEATED_AT: &str = "seated";

/// What the look at the parts on the bench may say.
const BENCH_KEYS: &[&str] = &["at", "by", "found"];

/// How facts that come of a look are named where they are said twice.
const BY: (&str, &str) = ("look", BENCH);

/// What people write for a look that found nothing.
const NOTHING: &[&str] = &["none", "nothing", "no", "nil", "ok", "okay", "good", "sound", "clean", "fine", "n/a", "-"];

/// What lies inside that is not dry.
const WATER: &str = "water";
const INSIDE: FactKey = assembly::INTERIOR_CONTAMINANTS;
const DRY: FactKey = assembly::INTERIOR_DRY;

/// What one word of the list of finds says.
#[derive(Clone)]
struct FindWord {
    fact: FactKey,
    value: Said,
}

#[derive(Clone)]
enum Said {
    /// A word in the list of what was found there.
    Word(String),
    /// The one word, or truth value, of the fact.
    Value(Content),
}

impl Expander<'_> {
    /// A time alone says when it was seated; the bench inspector is taken as who saw it. The same holds where the line
    /// for that person is left empty.
    pub(super) fn seated(&mut self, assembly: &mut Node, by: Option<&Node>, path: &Path) {
        let Some(seated) = said(assembly, SEATED_AT) else { return };
        let is_lone = said(seated, "at").is_some() && said(seated, "by").is_none();
        if scalar(seated).is_none() && !is_lone {
            return;
        }
        let at = match take(assembly, SEATED_AT) {
            Some(Entry { node, .. }) if is_lone => said(&node, "at").cloned(),
            entry => entry.map(|entry| entry.node),
        };
        let Some(at) = at else { return };
        let [at_fact, by_fact] = SEATED;
        let seen = ("time", "seated");
        set(self, assembly, at_fact, at, seen, path);
        if let Some(by) = by {
            set(self, assembly, by_fact, by.clone(), seen, path);
        }
    }

    /// Puts what a look at the parts says at the facts of the assembly.
    pub(super) fn bench(&mut self, assembly: &mut Node, looked: &Node, path: &Path) {
        if !matches!(looked.value, Content::Map(_)) {
            self.refuse(refusals::shape(
                "a mapping that says when and by whom the parts were looked at",
                "write it like `bench: {at: 07:45, by: OV, found: []}`",
                looked.span,
            ));
            return;
        }
        let strange = refusals::unknown_key(looked, BENCH_KEYS);
        for fault in strange {
            self.refuse(fault);
        }
        // On the bench is off the rim.
        let off_rim = Node { span: looked.span, value: Content::Bool(true) };
        set(self, assembly, OFF_RIM, off_rim, BY, path);
        for (key, facts) in LOOKED {
            let Some(node) = said(looked, key) else { continue };
            for fact in *facts {
                set(self, assembly, *fact, node.clone(), BY, path);
            }
        }
        if let Some(found) = said(looked, "found") {
            self.found(assembly, found, path);
        }
    }

    /// Fills in the finds at their places, and at every other place that nothing was found there.
    fn found(&mut self, assembly: &mut Node, found: &Node, path: &Path) {
        let words: Vec<&Node> = match &found.value {
            Content::List(items) => items.iter().collect(),
            // One word alone needs no brackets.
            Content::Text(text) if !text.contains(',') => vec![found],
            _ => {
                self.refuse(not_finds(found));
                return;
            }
        };
        let mut places: Vec<(FactKey, Node)> = Vec::new();
        for word in words {
            let (fact, value) = match self.find(word) {
                Ok(FindWord { fact, value }) => (fact, value),
                Err(fault) => {
                    self.refuse(*fault);
                    continue;
                }
            };
            let place = places.iter_mut().find(|(known, _)| *known == fact).map(|(_, node)| node);
            match (value, place) {
                (Said::Word(text), Some(Node { value: Content::List(items), .. })) => {
                    items.push(Node { span: word.span, value: Content::Text(text.into()) });
                }
                (Said::Word(text), _) => {
                    let item = Node { span: word.span, value: Content::Text(text.into()) };
                    places.push((fact, Node { span: word.span, value: Content::List(vec![item]) }));
                }
                // The same once more says no more; what is otherwise is refused with its two places.
                (Said::Value(value), Some(known)) if known.value == value => {}
                (Said::Value(value), _) => places.push((fact, Node { span: word.span, value })),
            }
        }
        let wet = places.iter().find_map(|(fact, node)| {
            let Content::List(items) = &node.value else { return None };
            let water = items.iter().find(|item| scalar(item) == Some(WATER))?;
            (*fact == INSIDE).then_some(water.span)
        });
        if let (Some(span), None) = (wet, places.iter().find(|(fact, _)| *fact == DRY)) {
            places.push((DRY, Node { span, value: Content::Bool(false) }));
        }
        for (fact, node) in places {
            set(self, assembly, fact, node, BY, path);
        }
        for (fact, value) in NOTHING_FOUND {
            let value = match *value {
                "[]" => Content::List(Vec::new()),
                "true" | "false" => Content::Bool(*value == "true"),
                word => Content::Text(word.into()),
            };
            // What is written at its own place is what the look found there.
            if let Some(spec) = self.catalogue.spec(*fact) {
                fill_facts(assembly, at_place(&spec.name, Node { span: found.span, value }));
            }
        }
    }

    /// The one find that a word names.
    fn find(&self, word: &Node) -> Result<FindWord, Box<Fault>> {
        let refused = |message: String, help: String| {
            Err(Box::new(Fault::new(Code::RecordUnknownWord, message).label(word.span, "here").help(help)))
        };
        let Content::Text(text) = &word.value else { return Err(Box::new(not_finds(word))) };
        let all = finds(self.catalogue);
        if let Some(find) = all.iter().find(|find| find.full == *text) {
            return Ok(find.found.clone());
        }
        let alike: Vec<&Written> = all.iter().filter(|find| find.word == *text).collect();
        match alike.as_slice() {
            [find] if find.is_bare() => Ok(find.found.clone()),
            [] if NOTHING.contains(&text.trim().to_lowercase().as_str()) => refused(
                format!("`{text}` is no word for what is found"),
                "write `found: []` if nothing was found".to_owned(),
            ),
            [] => {
                let near = nearest_value(text, all.iter().flat_map(|find| [find.full.as_str(), find.word.as_str()]));
                let guess = near.map(|near| format!("did you mean `{near}`? ")).unwrap_or_default();
                let help = format!("{guess}use any of: {}", in_quotes(find_words(self.catalogue)));
                refused(format!("`{text}` is not one of the words for what is found"), help)
            }
            alike => {
                let names: Vec<String> = alike.iter().map(|find| format!("`{}`", find.full)).collect();
                refused(
                    format!("`{text}` does not say where it was found"),
                    format!("say where: {}", names.join(" or ")),
                )
            }
        }
    }
}

/// A find as it may be written.
struct Written {
    word: String,
    /// The word behind its part.
    full: String,
    found: FindWord,
}

impl Written {
    /// Whether the word alone tells where it was found: it is of a list, as for the faults of a wheel. What is said of a
    /// valve or a rim, such as that it leaks, may be said of others.
    const fn is_bare(&self) -> bool {
        matches!(self.found.value, Said::Word(_))
    }
}

/// Every find there is.
fn finds(catalogue: &Catalogue) -> Vec<Written> {
    let mut all = Vec::new();
    for Find { place, fact, flag } in FOUND {
        let mut add = |word: &str, value| {
            let found = FindWord { fact: *fact, value };
            all.push(Written { word: word.to_owned(), full: format!("{place} {word}"), found });
        };
        match (flag, catalogue.spec(*fact).map(|spec| &spec.kind)) {
            (Some((word, flag)), _) => add(word, Said::Value(Content::Bool(*flag))),
            (None, Some(FactKind::Choices(words))) => {
                words.iter().for_each(|word| add(word, Said::Word(word.to_string())));
            }
            (None, Some(FactKind::Choice(words))) => {
                let faults = words.iter().filter(|word| !NOTHING_FOUND.contains(&(*fact, word.as_ref())));
                faults.for_each(|word| add(word, Said::Value(Content::Text(word.as_ref().into()))));
            }
            _ => {}
        }
    }
    all
}

/// Every word that may stand in the list, as messages and the template list them: bare where that tells the place.
pub(super) fn find_words(catalogue: &Catalogue) -> Vec<String> {
    let all = finds(catalogue);
    let is_alone = |find: &Written| all.iter().filter(|other| other.word == find.word).count() == 1;
    all.iter()
        .map(|find| if find.is_bare() && is_alone(find) { find.word.clone() } else { find.full.clone() })
        .collect()
}

/// Every word with its part in front.
pub(super) fn full_words(catalogue: &Catalogue) -> Vec<String> {
    finds(catalogue).into_iter().map(|find| find.full).collect()
}

/// What stands where finds are due and is none.
fn not_finds(node: &Node) -> Fault {
    let cure = match scalar(node) {
        Some(text) if text.contains(',') => {
            format!("write what was found in brackets: `found: [{text}]`, or `found: []` if nothing was")
        }
        _ => "write what was found, such as `found: [crack]`, or `found: []` if nothing was".to_owned(),
    };
    refusals::shape("a list of what was found", &cure, node.span)
}
