//! What a pack says that cannot be meant: clauses that decide nothing, limits nobody uses, rules without examples.
//!
//! Must not know a job.

use super::condition::{Collection, Condition, Leaf};
use super::context::term_name;
use super::sides::{Base, Operand};
use super::test::{End, Relation};
use super::{Limit, LimitId, Rule, SharedStep, Term};
use crate::document::{Code, Fault, Span};
use crate::figures::Parameter;
use crate::record::{Catalogue, FactKey, Value};
use crate::units::Exact;
use crate::vocabulary::{Outcome, Subject};

/// Checks the rules of one pack among themselves.
pub(super) fn rules(rules: &[Rule], unread: &[String], catalogue: &Catalogue, faults: &mut Vec<Fault>) {
    for (position, rule) in rules.iter().enumerate() {
        let mut say = |code: Code, message: String, span: Span, help: &str| {
            faults.push(Fault::new(code, message).label(span, "here").help(help).in_source(&rule.told.place.source));
        };
        if rules.iter().take(position).any(|earlier| earlier.name == rule.name) {
            let message = format!("two rules are called `{}`", rule.name);
            say(Code::PackRuleTwice, message, rule.told.place.span, "give each rule its own name");
        } else if rules.iter().take(position).any(|earlier| earlier.title == rule.title) {
            let message = format!("two rules are titled `{}`", rule.title);
            say(Code::PackTitleTwice, message, rule.told.place.span, "give each rule a title of its own");
        }
        let shows =
            |expected: Outcome| rule.passes().iter().chain(rule.holds()).any(|example| example.expected == expected);
        // What an example shows that cannot be read nobody knows.
        let is_read = !unread.iter().any(|name| rule.name == *name);
        if is_read && (!shows(Outcome::Met) || !shows(Outcome::Broken)) {
            let message = format!("`{}` lacks an example", rule.name);
            let help = "give it at least one example that passes (met) and one that holds (broken)";
            say(Code::PackRuleWithoutExamples, message, rule.told.place.span, help);
        }
        if let (Some(from), Some(until)) = (rule.from, rule.until)
            && until <= from
        {
            let message = format!("`{}` is out of force before it comes into force", rule.name);
            say(Code::PackUnreachable, message, rule.told.place.span, "let `until` be later than `from`");
        }
        if rule.told.put_right.air.is_none() && sends_hands_to_air(rule, catalogue) {
            let message = format!("`{}` does not say whether the air must be out before its cure begins", rule.name);
            let help = "write `air: out`, or `air: {stays: why nothing that is done needs it out}`";
            say(Code::PackAirUnsaid, message, rule.told.place.span, help);
        }
        for condition in rule.asks.conditions() {
            unreachable(condition, rule, catalogue, faults);
        }
    }
}

/// The groups of facts that are paper, or lie away from any tyre, by their subjects. Anyone who puts a fault of
/// anything else right has hands near a tyre, its rim and wheel, or what stands between them and people; so has, for
/// all that is known, who puts right what only a local code asks of an assembly or of the job.
const AWAY_FROM_AIR: &[(Subject, &[&str])] = &[
    (Subject::Assembly, &["mark", "target"]),
    (
        Subject::Job,
        &[
            "job",
            "site",
            "planned_start",
            "order",
            "mix",
            // The cures of the pump and its lines begin with the step that stops it and closes the valve at the tyre.
            "pump",
            "sample",
            "cure",
            "handling",
            "hygrometer",
            "service",
            "workspace",
        ],
    ),
];

fn sends_hands_to_air(rule: &Rule, catalogue: &Catalogue) -> bool {
    let near = |term: Term| match term {
        Term::Fact(key) | Term::ReadAt(key) | Term::ReadWith(key) | Term::ReadDoubt(key) => is_near_air(key, catalogue),
        Term::Figure(_) => term_name(term, catalogue).starts_with("assembly."),
        Term::Item => false,
    };
    rule.asks.conditions().any(|condition| {
        let mut found = false;
        condition.leaves(&mut |leaf| found |= leaf.terms().any(near));
        found || goes_through(condition).iter().any(|key| is_near_air(*key, catalogue))
    })
}

fn is_near_air(key: FactKey, catalogue: &Catalogue) -> bool {
    let group = |name: &str| name.split('.').next().unwrap_or_default().to_owned();
    let away = AWAY_FROM_AIR.iter().find(|(subject, _)| *subject == key.subject);
    let spec = catalogue.spec(key);
    away.zip(spec).is_some_and(|((_, groups), spec)| !groups.contains(&group(&spec.name).as_str()))
}

/// The facts whose words a condition goes through one by one.
fn goes_through(condition: &Condition) -> Vec<FactKey> {
    match condition {
        Condition::All(parts) | Condition::Any(parts) => parts.iter().flat_map(goes_through).collect(),
        Condition::Not(inner) => goes_through(inner),
        Condition::Each(q) | Condition::Some(q) => {
            let own = match q.of {
                Collection::Words(key) => Some(key),
                Collection::Subjects(_) => None,
            };
            own.into_iter().chain(goes_through(&q.meets)).collect()
        }
        Condition::Leaf(_) => Vec::new(),
    }
}

/// Steps of this pack, the last `own` of those known, that no cure calls or that are called like another one.
pub(super) fn steps_called(known: &[SharedStep], own: usize, called: &[String], faults: &mut Vec<Fault>) {
    for (position, step) in known.iter().enumerate().skip(known.len() - own) {
        let (code, message, help) = if known.iter().take(position).any(|earlier| earlier.name == step.name) {
            let message = format!("there is a step `{}` already", step.name);
            (Code::PackStepTwice, message, "call this one by another name, or let cures call that one")
        } else if called.iter().any(|name| step.name == *name) {
            continue;
        } else {
            let message = format!("no cure calls the step `{}`", step.name);
            (Code::PackStepNeverUsed, message, "let a cure call it, or take it out")
        };
        let fault = Fault::new(code, message).label(step.place.span, "here").help(help);
        faults.push(fault.in_source(&step.place.source));
    }
}

/// Limits of this pack that no rule names and no figure uses.
pub(super) fn limits_used(limits: &[Limit], pack: usize, used: &[LimitId], faults: &mut Vec<Fault>) {
    for (position, limit) in limits.iter().enumerate().filter(|(_, limit)| limit.pack == pack) {
        let earlier = || limits.iter().take(position);
        let by_figure = Parameter::ALL
            .iter()
            .any(|parameter| limit.name == parameter.limit() && !earlier().any(|other| other.name == limit.name));
        if earlier().any(|other| other.pack != pack && other.name == limit.name) {
            faults.push(
                Fault::new(Code::PackLimitTwice, format!("a pack in force already has a limit `{}`", limit.name))
                    .label(limit.told.place.span, "a second one of that name would change nothing")
                    .help("amend it under `amended_limits`, or give this one another name")
                    .in_source(&limit.told.place.source),
            );
            continue;
        }
        if !by_figure && !used.contains(&LimitId(position)) {
            faults.push(
                Fault::new(Code::PackLimitNeverUsed, format!("nothing uses the limit `{}`", limit.name))
                    .label(limit.told.place.span, "never used")
                    .help("name it in a rule, or take it out")
                    .in_source(&limit.told.place.source),
            );
        }
        let twin = limits.iter().take(position).any(|earlier| earlier.pack == pack && earlier.name == limit.name);
        if twin {
            faults.push(
                Fault::new(Code::PackLimitTwice, format!("two limits are called `{}`", limit.name))
                    .label(limit.told.place.span, "the second one")
                    .help("give each limit its own name")
                    .in_source(&limit.told.place.source),
            );
        }
    }
}

/// Clauses that no record can make true, or that say the same as another.
fn unreachable(condition: &Condition, rule: &Rule, catalogue: &Catalogue, faults: &mut Vec<Fault>) {
    match condition {
        Condition::All(parts) => {
            contradictions(parts, rule, catalogue, faults);
            repeats(parts, rule, faults);
            for part in parts {
                unreachable(part, rule, catalogue, faults);
            }
        }
        Condition::Any(parts) => {
            repeats(parts, rule, faults);
            for part in parts {
                unreachable(part, rule, catalogue, faults);
            }
        }
        Condition::Not(inner) => unreachable(inner, rule, catalogue, faults),
        Condition::Each(q) | Condition::Some(q) => unreachable(&q.meets, rule, catalogue, faults),
        // `between` can contradict itself.
        Condition::Leaf(_) => contradictions(std::slice::from_ref(condition), rule, catalogue, faults),
    }
}

/// The literal bounds that one leaf sets on its term: at least, at most.
fn bounds(leaf: &Leaf) -> (Option<Exact>, Option<Exact>) {
    let literal = |operand: &Operand| match (&operand.base, &operand.factor(), &operand.offset()) {
        (Base::Literal(Value::Measured(measured)), None, None) => Some(measured.shown.base()),
        _ => None,
    };
    let row = leaf.test.row();
    let (mut low, mut high) = (None, None);
    for (bound, operand) in row.bounds().iter().zip(leaf.test.operands()) {
        match bound.end {
            End::Low => low = literal(operand),
            End::High => high = literal(operand),
        }
    }
    if row.relation == Relation::Equal(true) {
        let only = leaf.test.operands().next().and_then(literal);
        return (only, only);
    }
    (low, high)
}

/// The words that one leaf leaves possible.
fn words_asked(leaf: &Leaf) -> Option<Vec<&Value>> {
    leaf.test.listed().filter(|(so, _)| *so).map(|(_, values)| values)
}

fn contradictions(parts: &[Condition], rule: &Rule, catalogue: &Catalogue, faults: &mut Vec<Fault>) {
    let leaves: Vec<&Leaf> = parts
        .iter()
        .filter_map(|part| match part {
            Condition::Leaf(leaf) => Some(leaf),
            _ => None,
        })
        .collect();
    for (position, leaf) in leaves.iter().enumerate() {
        let same = || leaves.iter().take(position + 1).filter(|other| other.term == leaf.term);
        let low = same().filter_map(|other| bounds(other).0).max();
        let high = same().filter_map(|other| bounds(other).1).min();
        let crossed = low.zip(high).is_some_and(|(low, high)| low > high);
        let apart = words_asked(leaf).is_some_and(|mine| {
            same().filter_map(|other| words_asked(other)).any(|theirs| !mine.iter().any(|value| theirs.contains(value)))
        });
        let both_ways = leaf.test.is_of_absence() && same().any(|other| !other.test.is_of_absence());
        if crossed || apart || both_ways {
            let name = term_name(leaf.term, catalogue);
            faults.push(
                Fault::new(
                    Code::PackUnreachable,
                    format!("no value of `{name}` can meet this clause together with the others"),
                )
                .label(leaf.span, "contradicts what stands with it")
                .help("correct the bounds, or use `any`")
                .in_source(&rule.told.place.source),
            );
        }
    }
}

/// The same clause twice in one list: the second decides nothing.
fn repeats(parts: &[Condition], rule: &Rule, faults: &mut Vec<Fault>) {
    let text = |part: &Condition| match part {
        Condition::Leaf(leaf) => Some(rule.told.place.source.slice(leaf.span).split_whitespace().collect::<String>()),
        _ => None,
    };
    for (position, part) in parts.iter().enumerate() {
        let (Some(mine), Condition::Leaf(leaf)) = (text(part), part) else { continue };
        if parts.iter().take(position).filter_map(text).any(|earlier| earlier == mine) {
            faults.push(
                Fault::new(Code::PackUnreachable, "this clause says the same as one before it".to_owned())
                    .label(leaf.span, "decides nothing")
                    .help("take one of them out")
                    .in_source(&rule.told.place.source),
            );
        }
    }
}
