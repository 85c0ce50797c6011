//! Head, amendments, declared facts and rules of a pack.
//!
//! Must not know a job.

use std::borrow::Cow;

use super::super::context::Scope;
use super::super::example::Example;
use super::super::{
    Amendment, Amends, Asks, Follows, Limit, OnFault, PackText, PermitTerms, Rule, RuleExamples, Term, Told,
};
use super::common::{citation, day};
use super::condition::Conditions;
use super::cures::cure;
use super::limits::{dated_values, limit_families};
use super::{PackReader, Setting, entries};
use crate::document::{Code, Content, Entry, Fault, Node, Span, nearest};
use crate::record::catalogue::{Asked, HoldsFor, Meaning, Station};
use crate::record::{Catalogue, FactKind, FactSpec};
use crate::units::{Dimension, Instant, Quantity};
use crate::vocabulary::{HoldPoint, Subject};

/// What the head file of a pack says of the pack.
pub(in super::super) struct Head {
    pub(in super::super) edition: PackText,
    pub(in super::super) title: PackText,
    pub(in super::super) amends: Option<(Amends, Span)>,
    pub(in super::super) examples_at: Option<Instant>,
    pub(in super::super) signed_by: Vec<PackText>,
}

pub(in super::super) fn head(reader: &mut PackReader<'_>, root: &Node) -> Head {
    let amends = root.entry("amends").map(|entry| {
        let amends = Amends { pack: reader.text(&entry.node, "pack"), edition: reader.text(&entry.node, "edition") };
        (amends, entry.node.span)
    });
    let examples_at = root.entry("examples_at").and_then(|entry| match &entry.node.value {
        Content::Text(text) => match Instant::parse(text) {
            Ok(instant) => Some(instant),
            Err(error) => {
                reader.say(Code::PackNotAnInstant, error.to_string(), entry.node.span, error.help());
                None
            }
        },
        _ => None,
    });
    let signed_by = word_list(root, "signed_by").into_iter().map(PackText::from).collect();
    Head { edition: reader.text(root, "edition"), title: reader.text(root, "title"), amends, examples_at, signed_by }
}

/// Where checklists must follow one another.
pub(in super::super) fn follows(reader: &mut PackReader<'_>, root: &Node, setting: &mut Setting<'_>) -> Vec<Follows> {
    let Some(Content::List(items)) = root.entry("follows").map(|entry| &entry.node.value) else { return Vec::new() };
    let scope = Scope::of(Subject::Assembly);
    let mut found = Vec::new();
    for item in items {
        // The schema lets only known words through.
        let Some(at) = HoldPoint::from_word(&reader.text(item, "at")) else { continue };
        let applies = match item.entry("applies") {
            Some(entry) => match Conditions::new(reader, setting).under(entry, &scope) {
                Some(condition) => Some(condition),
                None => continue,
            },
            None => None,
        };
        found.push(Follows { at, applies });
    }
    found
}

/// A local pack's amendments, each checked to be no weaker than what it replaces, on every day.
pub(in super::super) fn amendments(
    reader: &mut PackReader<'_>,
    root: &Node,
    pack: usize,
    amended: usize,
    limits: &mut [Limit],
) {
    for entry in entries(root, "amended_limits") {
        let names: Vec<String> = limits.iter().filter(|l| l.pack == amended).map(|l| l.name.to_string()).collect();
        let Some(limit) = limits.iter_mut().find(|limit| limit.pack == amended && *limit.name == *entry.key) else {
            let help = match nearest(&entry.key, names.iter().map(String::as_str)) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("amend one of: {}", names.join(", ")),
            };
            reader.say(
                Code::PackUnknownLimit,
                format!("the amended pack has no limit `{}`", entry.key),
                entry.key_span,
                help,
            );
            continue;
        };
        let values = dated_values(reader, &entry.node, Some(limit.dimension));
        for old in limit.values.iter() {
            for new in &values {
                let together = new.from.is_none() || old.from.is_none() || new.from >= old.from;
                if together && !limit.safer.allows(old.value.base(), new.value.base()) {
                    reader.fault(
                        Fault::new(
                            Code::PackUnsafeDirection,
                            format!("`{}` may only be made {}, not {}", limit.name, limit.safer.word(), new.value),
                        )
                        .label(entry.node.span, format!("weaker than the {} it would replace", old.value))
                        .help(format!("set it to {} or {}", old.value, limit.safer.word())),
                    );
                }
            }
        }
        let why = reader.text(&entry.node, "why");
        limit.amendments.push(Amendment { pack, values, why, place: reader.place(entry.key_span) });
    }
}

/// Enters the facts that a pack declares into the catalogue.
pub(in super::super) fn declared_facts(reader: &mut PackReader<'_>, root: &Node, catalogue: &mut Catalogue) {
    for entry in entries(root, "facts") {
        let node = &entry.node;
        let covers = reader.text(node, "covers");
        let Some(subject) = Subject::from_word(&covers) else {
            reader.say(
                Code::PackUnknownSubject,
                format!("`{covers}` is nothing that a fact can be about"),
                node.span,
                "use job, assembly, component, person, gauge or thermometer",
            );
            continue;
        };
        let Some(kind) = declared_kind(reader, node) else { continue };
        let spec = FactSpec {
            name: Cow::Owned(format!("local.{}", entry.key)),
            kind,
            about: Meaning::read(reader.text(node, "about").into()),
            example: Cow::Owned(example(reader, node).into()),
            asked: asked(node, subject),
        };
        if catalogue.declare(subject, spec).is_none() {
            reader.say(
                Code::PackFactDeclaredTwice,
                format!("`{}` is already declared with another kind", entry.key),
                entry.key_span,
                "give it another name, or the same kind as the other pack",
            );
        }
    }
}

/// The example of a declared fact, as a record would state it: that of a flag is a truth value.
fn example(reader: &mut PackReader<'_>, node: &Node) -> PackText {
    match node.entry("example").map(|entry| &entry.node.value) {
        Some(Content::Bool(truth)) => truth.to_string().into(),
        _ => reader.text(node, "example"),
    }
}

/// When and where a declared fact is asked for. The schema lets only known words through; a fact is taken to hold no longer
/// than it says.
fn asked(node: &Node, subject: Subject) -> Asked {
    let word = |key| super::optional_text(node, key);
    Asked {
        holds_for: word("holds_for").and_then(|word| HoldsFor::from_word(&word)).unwrap_or(HoldsFor::HoldPoint),
        at: Cow::Owned(asked_at(node)),
        station: word("found_at").and_then(|word| Station::from_word(&word)).unwrap_or(Station::of(subject)),
    }
}

/// The hold points of a fact or a rule, in the order of the work; before the fill, where it names none. The schema lets only
/// known words through.
fn asked_at(node: &Node) -> Vec<HoldPoint> {
    let named = word_list(node, "asked_at");
    let points: Vec<HoldPoint> =
        HoldPoint::ALL.into_iter().filter(|point| named.iter().any(|word| word == point.word())).collect();
    if points.is_empty() { vec![HoldPoint::default()] } else { points }
}

/// The texts of a list under `key`, or none.
fn word_list(node: &Node, key: &str) -> Vec<String> {
    let Some(Content::List(items)) = node.entry(key).map(|entry| &entry.node.value) else { return Vec::new() };
    let text = |item: &Node| match &item.value {
        Content::Text(text) => Some(text.to_string()),
        _ => None,
    };
    items.iter().filter_map(text).collect()
}

fn declared_kind(reader: &mut PackReader<'_>, node: &Node) -> Option<FactKind> {
    let words: Vec<Cow<'static, str>> = word_list(node, "words").into_iter().map(Cow::Owned).collect();
    let of = super::optional_text(node, "of");
    let dimension = of.as_deref().and_then(|of| limit_families().find(|dimension| dimension.name() == of));
    let kind = reader.text(node, "kind");
    let found = match (kind.as_str(), dimension) {
        ("text", _) => Some(FactKind::Text),
        ("flag", _) => Some(FactKind::Flag),
        ("choice", _) if !words.is_empty() => Some(FactKind::Choice(Cow::Owned(words))),
        ("choices", _) if !words.is_empty() => Some(FactKind::Choices(Cow::Owned(words))),
        ("count", _) => Some(FactKind::Count),
        ("quantity", Some(dimension)) => Some(FactKind::Quantity(dimension)),
        ("reading", Some(dimension)) => Some(FactKind::Reading(dimension)),
        ("event", _) => Some(FactKind::Event),
        ("day", _) => Some(FactKind::Day),
        _ => None,
    };
    if found.is_none() {
        reader.say(
            Code::PackFactWithoutKind,
            format!("the kind `{kind}` is not complete"),
            node.entry("kind").map_or(node.span, |entry| entry.node.span),
            if kind.starts_with("choice") {
                "add its `words`, such as `words: [left, right]`"
            } else {
                "add the family of its units, such as `of: pressure`"
            },
        );
    }
    found
}

/// The rules of a file.
pub(in super::super) fn rules(reader: &mut PackReader<'_>, root: &Node, setting: &mut Setting<'_>) -> Vec<Rule> {
    entries(root, "rules").iter().filter_map(|entry| rule(reader, entry, setting)).collect()
}

fn rule(reader: &mut PackReader<'_>, entry: &Entry, setting: &mut Setting<'_>) -> Option<Rule> {
    let node = &entry.node;
    let covers = covers(reader, node)?;
    let scope = Scope::of(covers);
    let mut conditions = Conditions::new(reader, setting);
    let applies = match node.entry("applies") {
        Some(entry) => Some(conditions.under(entry, &scope)?),
        None => None,
    };
    let demands_entry = node.entry("demands");
    let demands = demands_entry.and_then(|entry| conditions.under(entry, &scope))?;
    let on_fault = match reader.text(node, "on_fault").as_str() {
        "advise" => OnFault::Advise,
        _ => OnFault::Hold,
    };
    let in_force = node.entry("in_force").map(|entry| &entry.node);
    let from = in_force.and_then(|node| day(reader, node, "from"));
    let until = in_force.and_then(|node| day(reader, node, "until"));
    let passes = examples(reader, node, "passes", setting, covers);
    let holds = examples(reader, node, "holds", setting, covers);
    if passes.is_none() || holds.is_none() {
        setting.unread.push(entry.key.to_string());
    }
    let (passes, holds) = (passes.unwrap_or_default(), holds.unwrap_or_default());
    let mut dated = false;
    demands.leaves(&mut |leaf| {
        if let Term::Fact(key) = leaf.term {
            dated |= setting.catalogue.spec(key).is_some_and(|spec| spec.kind.is_dated());
        }
    });
    Some(Rule {
        name: entry.key.to_string().into(),
        title: reader.text(node, "title"),
        covers,
        asked_at: asked_at(node).into_iter().collect(),
        dated,
        asks: Asks::new(applies, demands).into(),
        told: Told {
            why: reader.text(node, "why"),
            put_right: cure(reader, node, setting.steps, &mut setting.called),
            source: citation(reader, node),
            permit: permit(reader, node),
            place: reader.place(entry.key_span),
            demands_place: reader.place(demands_entry.map_or(node.span, |entry| entry.node.span)),
        }
        .into(),
        on_fault,
        from,
        until,
        examples: Some(Box::new(RuleExamples { passes, holds })),
    })
}

fn covers(reader: &mut PackReader<'_>, node: &Node) -> Option<Subject> {
    let text = reader.text(node, "covers");
    let subject = match text.strip_prefix("each ") {
        Some(word) => Subject::from_word(word).filter(|subject| *subject != Subject::Job),
        None => Subject::from_word(&text).filter(|subject| *subject == Subject::Job),
    };
    if subject.is_none() {
        reader.say(
            Code::PackUnknownSubject,
            format!("`{text}` is nothing that a rule can cover"),
            node.span,
            "use job, or each assembly, component, person, gauge or thermometer",
        );
    }
    subject
}

fn permit(reader: &mut PackReader<'_>, node: &Node) -> Option<PermitTerms> {
    let entry = node.entry("permit")?;
    if matches!(entry.node.value, Content::Text(_)) {
        return None;
    }
    let by = reader.text(&entry.node, "by");
    let longest = reader.text(&entry.node, "longest");
    match Quantity::parse(&longest, Dimension::Duration) {
        Ok(longest) => Some(PermitTerms { by, longest }),
        Err(error) => {
            reader.say(Code::PackWrongUnit, error.to_string(), entry.node.span, error.help());
            None
        }
    }
}

/// The examples of one list; `None` where one of them could not be read, which is a fault of its own.
fn examples(
    reader: &mut PackReader<'_>,
    node: &Node,
    list: &str,
    setting: &Setting<'_>,
    covers: Subject,
) -> Option<Vec<Example>> {
    let Some(Content::List(items)) = node.entry("examples").and_then(|e| e.node.entry(list)).map(|e| &e.node.value)
    else {
        return Some(Vec::new());
    };
    let read: Vec<Option<Example>> =
        items.iter().map(|item| Example::read(reader, item, list == "passes", setting, covers)).collect();
    read.into_iter().collect()
}
