//! Conditions: from mappings and lists to the typed syntax tree, with every name, unit and kind checked.
//!
//! Must not know a job.

mod operand;

use super::super::condition::{Collection, Condition, Leaf, Quantified};
use super::super::context::{MOST_NESTED, Scope, class, resolve, term_name, words_of_term};
use super::super::sides::{Base, Term};
use super::super::test::{FOR_EACH, FOR_SOME, ROWS, Row, Takes, Test};
use super::super::{Class, PackText};
use super::{PackReader, Setting};
use crate::document::{Code, Content, Entry, Node, nearest};
use crate::record::FactKind;
use crate::units::Dimension;
use crate::vocabulary::Subject;

/// Reads the conditions of one file.
pub(super) struct Conditions<'r, 'f, 's, 'p> {
    pub(super) reader: &'r mut PackReader<'f>,
    pub(super) setting: &'s mut Setting<'p>,
    /// Where in the rule it reads, as a JSON Pointer; names in a pack have neither `/` nor `~`.
    at: String,
}

impl<'r, 'f, 's, 'p> Conditions<'r, 'f, 's, 'p> {
    pub(super) const fn new(reader: &'r mut PackReader<'f>, setting: &'s mut Setting<'p>) -> Self {
        Self { reader, setting, at: String::new() }
    }

    /// The condition under a key of a rule, or `None` with faults said.
    pub(super) fn under(&mut self, entry: &Entry, scope: &Scope) -> Option<Condition> {
        self.below(&entry.key, |inner| inner.read(&entry.node, scope))
    }

    /// Reads what stands one step further down.
    fn below<T>(&mut self, step: &str, read: impl FnOnce(&mut Self) -> T) -> T {
        let length = self.at.len();
        self.at.push('/');
        self.at.push_str(step);
        let found = read(self);
        self.at.truncate(length);
        found
    }

    /// A condition, or `None` with faults said.
    fn read(&mut self, node: &Node, scope: &Scope) -> Option<Condition> {
        match &node.value {
            Content::List(items) => self.all(items.iter(), scope, node).map(Condition::All),
            Content::Map(entries) => {
                let mut parts = Vec::new();
                for entry in entries {
                    parts.push(self.below(&entry.key, |inner| inner.line(entry, scope))?);
                }
                match parts.len() {
                    0 => self.empty(node),
                    1 => parts.pop(),
                    _ => Some(Condition::All(parts)),
                }
            }
            _ => {
                self.reader.say(
                    Code::PackNotACondition,
                    "a condition is expected here",
                    node.span,
                    "write `FACT: {TEST: VALUE}`",
                );
                None
            }
        }
    }

    fn empty<T>(&mut self, node: &Node) -> Option<T> {
        self.reader.say(Code::PackEmptyCondition, "nothing is asked here", node.span, "write at least one condition");
        None
    }

    fn all<'n>(
        &mut self,
        items: impl ExactSizeIterator<Item = &'n Node>,
        scope: &Scope,
        node: &Node,
    ) -> Option<Vec<Condition>> {
        if items.len() == 0 {
            return self.empty(node);
        }
        // Every part is read, so that every fault is said; one bad part spoils the whole.
        let parts: Vec<Option<Condition>> = items
            .enumerate()
            .map(|(position, item)| self.below(&position.to_string(), |inner| inner.read(item, scope)))
            .collect();
        parts.into_iter().collect()
    }

    fn line(&mut self, entry: &Entry, scope: &Scope) -> Option<Condition> {
        match entry.key.as_str() {
            "all" | "any" => {
                let Content::List(items) = &entry.node.value else {
                    let help = format!("write `{}:` with a list of conditions", entry.key);
                    self.reader.say(Code::PackNotACondition, "a list is expected here", entry.node.span, help);
                    return None;
                };
                let parts = self.all(items.iter(), scope, &entry.node)?;
                Some(if entry.key == "all" { Condition::All(parts) } else { Condition::Any(parts) })
            }
            "not" => Some(Condition::Not(Box::new(self.read(&entry.node, scope)?))),
            FOR_EACH => Some(Condition::Each(self.quantified(entry, scope)?)),
            FOR_SOME => Some(Condition::Some(self.quantified(entry, scope)?)),
            _ => self.tests(entry, scope),
        }
    }

    fn quantified(&mut self, entry: &Entry, scope: &Scope) -> Option<Quantified> {
        let of = self.reader.text(&entry.node, "of");
        let (collection, inner) = match Subject::from_word(&of) {
            Some(subject) if subject != Subject::Job => (Collection::Subjects(subject), scope.with(subject)),
            _ => match resolve(&of, scope, self.setting.catalogue) {
                Ok(Term::Fact(key))
                    if matches!(self.setting.catalogue.spec(key).map(|s| &s.kind), Some(FactKind::Choices(_))) =>
                {
                    (Collection::Words(key), scope.with_item(key))
                }
                Ok(_) => {
                    self.reader.say(
                        Code::PackWrongKind,
                        format!("`{of}` is not a list"),
                        entry.node.span,
                        "go through assembly, component, person, gauge, thermometer or a list fact",
                    );
                    return None;
                }
                Err(error) => {
                    let span = entry.node.entry("of").map_or(entry.node.span, |of| of.node.span);
                    let help = match Subject::ALL.iter().find(|subject| subject.record_key() == Some(of.as_str())) {
                        Some(subject) => {
                            format!("write `{}`: one of them is gone through after the other", subject.word())
                        }
                        None => error.help,
                    };
                    self.reader.say(Code::PackUnknownFact, error.message, span, help);
                    return None;
                }
            },
        };
        // The inner of two that go through one list would only ever test its own elements.
        let within_itself = scope.through.contains(&collection);
        if within_itself || scope.through.len() >= MOST_NESTED {
            let message = if within_itself {
                format!("`{of}` is gone through inside itself")
            } else {
                format!("`{of}` is gone through inside {} other lists", scope.through.len())
            };
            let help = "say it beside the outer list, or in a rule of its own";
            self.reader.say(Code::PackNestedTooDeep, message, entry.node.span, help);
            return None;
        }
        let Some(meets) = entry.node.entry("meets") else {
            self.reader.say(
                Code::PackMissingPart,
                "`meets` is missing",
                entry.node.span,
                "say what the elements must meet",
            );
            return None;
        };
        let meets = Box::new(self.under(meets, &inner)?);
        Some(Quantified { of: collection, meets, span: entry.node.span })
    }

    fn tests(&mut self, entry: &Entry, scope: &Scope) -> Option<Condition> {
        let term = match resolve(&entry.key, scope, self.setting.catalogue) {
            Ok(term) => term,
            Err(error) => {
                self.reader.say(Code::PackUnknownFact, error.message, entry.key_span, error.help);
                return None;
            }
        };
        let class = class(term, scope, self.setting.catalogue)?;
        let Content::Map(tests) = &entry.node.value else {
            self.reader.say(
                Code::PackNotACondition,
                format!("`{}` is asked nothing", entry.key),
                entry.node.span,
                format!("write a test, such as `{}: {{recorded: true}}`", entry.key),
            );
            return None;
        };
        let leaves: Vec<Option<Condition>> = tests
            .iter()
            .map(|test| {
                let (parsed, at) = self.below(&test.key, |inner| {
                    Some((inner.test(test, term, class, scope)?, PackText::from(inner.at.clone())))
                })?;
                // The leaf's place runs from the fact to the end of the test, so that a report can quote it whole.
                let span = crate::document::Span::new(entry.key_span.start, test.node.span.end);
                Some(Condition::Leaf(Leaf { term, test: parsed, at, span }))
            })
            .collect();
        let mut leaves: Vec<Condition> = leaves.into_iter().collect::<Option<_>>()?;
        match leaves.len() {
            0 => self.empty(&entry.node),
            1 => leaves.pop(),
            _ => Some(Condition::All(leaves)),
        }
    }

    fn test(&mut self, entry: &Entry, term: Term, class: Class, scope: &Scope) -> Option<Test> {
        let name = entry.key.as_str();
        let Some(row) = Row::find(name) else {
            let words = || ROWS.iter().map(|row| row.word);
            let help = match nearest(name, words()) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("use one of: {}", words().collect::<Vec<_>>().join(", ")),
            };
            self.reader.say(Code::PackUnknownTest, format!("`{name}` is not a test"), entry.key_span, help);
            return None;
        };
        if !row.suits.takes(class, self.is_dated(term)) {
            let fact = term_name(term, self.setting.catalogue);
            let help = if class == Class::Words {
                format!("go through its words with `for_each: {{of: {fact}, meets: {{item: ...}}}}`")
            } else {
                "choose a test that suits it".to_owned()
            };
            let message = format!("`{name}` cannot be asked of `{fact}`, which is {}", class.describe());
            self.reader.say(Code::PackWrongKind, message, entry.key_span, help);
            return None;
        }
        self.fitting(row, &entry.node, term, class, scope)
    }

    /// Whether a term has an instant from which its age counts.
    fn is_dated(&self, term: Term) -> bool {
        match term {
            Term::Fact(key) => {
                let kind = self.setting.catalogue.spec(key).map(|spec| &spec.kind);
                matches!(kind, Some(FactKind::Reading(_) | FactKind::Event | FactKind::Day))
            }
            Term::ReadAt(_) => true,
            Term::ReadWith(_) | Term::ReadDoubt(_) | Term::Figure(_) | Term::Item => false,
        }
    }

    fn fitting(&mut self, row: &Row, node: &Node, term: Term, class: Class, scope: &Scope) -> Option<Test> {
        let words = words_of_term(term, scope, self.setting.catalogue);
        let mut due = |message: &str, form: &str| {
            let help = format!("write `{}: {form}`", row.word);
            self.reader.say(Code::PackWrongKind, message, node.span, help);
        };
        let test = match row.takes {
            Takes::Flag(test) => {
                let Content::Bool(flag) = node.value else {
                    due("true or false is expected here", "true");
                    return None;
                };
                test(flag)
            }
            Takes::Values(test) => test(self.literals(node, class, words.as_deref())?),
            Takes::Two(test) => {
                let (Some(first), Some(second)) = (node.item(0), node.item(1)) else {
                    due("two values are expected here", "[LOW, HIGH]");
                    return None;
                };
                test(self.operand(first, class, None, scope)?, self.operand(second, class, None, scope)?)
            }
            Takes::Span(test) => test(self.operand(node, Class::Number(Dimension::Duration), None, scope)?),
            Takes::One(test) => test(self.operand(node, class, words.as_deref(), scope)?),
        };
        // What is done, read or lasts is asked at the start: by the clock of the check alone a record could pass now that
        // no longer does when the pump runs.
        if test.operands().any(|operand| matches!(operand.base, Base::Judgement)) && !self.is_plan(term) {
            let message = "only a plan is compared with the judgement";
            let help = "use `start`, the start of the fill, or `today`, its day";
            self.reader.say(Code::PackUnknownOperand, message, node.span, help);
            return None;
        }
        Some(test)
    }

    fn is_plan(&self, term: Term) -> bool {
        let kind = |key| self.setting.catalogue.spec(key).map(|spec| &spec.kind);
        matches!(term, Term::Fact(key) if matches!(kind(key), Some(FactKind::Planned)))
    }
}
