//! Conditions: from mappings and lists to the typed syntax tree, with every name, unit and kind checked.

use super::super::condition::{Base, Collection, Condition, Factor, Leaf, Offset, Operand, Quantified, Term};
use super::super::context::{self, MOST_NESTED, Scope, class, resolve, term_name, words_of_term};
use super::super::test::{ROWS, Row, Takes, Test};
use super::super::{Class, LimitId, PackText};
use super::{Reader, Setting};
use crate::document::{Code, Entry, Node, Value as Written, nearest};
use crate::record::{Kind, Measured, Value};
use crate::units::{Day, Dimension, Exact, Instant, Quantity};
use crate::vocabulary::Subject;

/// Reads the conditions of one file.
pub(super) struct Conditions<'r, 'f, 's, 'p> {
    pub(super) reader: &'r mut Reader<'f>,
    pub(super) setting: &'s mut Setting<'p>,
    /// Where in the rule it reads, as a JSON Pointer; names in a pack have neither `/` nor `~`.
    at: String,
}

impl<'r, 'f, 's, 'p> Conditions<'r, 'f, 's, 'p> {
    pub(super) const fn new(reader: &'r mut Reader<'f>, setting: &'s mut Setting<'p>) -> Self {
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
            Written::List(items) => self.all(items.iter(), scope, node).map(Condition::All),
            Written::Map(entries) => {
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
                let Written::List(items) = &entry.node.value else {
                    let help = format!("write `{}:` with a list of conditions", entry.key);
                    self.reader.say(Code::PackNotACondition, "a list is expected here", entry.node.span, help);
                    return None;
                };
                let parts = self.all(items.iter(), scope, &entry.node)?;
                Some(if entry.key == "all" { Condition::All(parts) } else { Condition::Any(parts) })
            }
            "not" => Some(Condition::Not(Box::new(self.read(&entry.node, scope)?))),
            "for_each" => Some(Condition::Each(self.quantified(entry, scope)?)),
            "for_some" => Some(Condition::Some(self.quantified(entry, scope)?)),
            _ => self.tests(entry, scope),
        }
    }

    fn quantified(&mut self, entry: &Entry, scope: &Scope) -> Option<Quantified> {
        let of = self.reader.text(&entry.node, "of");
        let (collection, inner) = match Subject::from_word(&of) {
            Some(subject) if subject != Subject::Job => (Collection::Subjects(subject), scope.with(subject)),
            _ => match resolve(&of, scope, self.setting.catalogue) {
                Ok(Term::Fact(key))
                    if matches!(self.setting.catalogue.spec(key).map(|s| &s.kind), Some(Kind::Choices(_))) =>
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
                    self.reader.say(Code::PackUnknownFact, error.message, entry.node.span, error.help);
                    return None;
                }
            },
        };
        // The inner of two that go through one list would only ever speak of its own elements.
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
        let Written::Map(tests) = &entry.node.value else {
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
                Some(Condition::Leaf(Box::new(Leaf { term, test: parsed, at, span })))
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
                matches!(kind, Some(Kind::Reading(_) | Kind::Event | Kind::Day))
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
                let Written::Bool(flag) = node.value else {
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
        matches!(term, Term::Fact(key) if matches!(kind(key), Some(Kind::Planned)))
    }

    fn literals(&mut self, node: &Node, class: Class, words: Option<&[String]>) -> Option<Vec<Value>> {
        match &node.value {
            Written::List(items) if !items.is_empty() => {
                let values: Vec<Option<Value>> = items.iter().map(|item| self.literal(item, class, words)).collect();
                values.into_iter().collect()
            }
            _ => {
                self.reader.say(
                    Code::PackWrongKind,
                    "a list of values is expected here",
                    node.span,
                    "write `[one, two]`",
                );
                None
            }
        }
    }

    fn literal(&mut self, node: &Node, class: Class, words: Option<&[String]>) -> Option<Value> {
        let failure = match (class, &node.value) {
            (Class::Flag, Written::Bool(flag)) => return Some(Value::Flag(*flag)),
            (Class::Text, Written::Text(text)) => match words {
                Some(words) if !words.contains(text) => {
                    let guess = nearest(text, words.iter().map(String::as_str));
                    let guess = guess.map(|near| format!("did you mean `{near}`? ")).unwrap_or_default();
                    (
                        format!("`{text}` is never a value of this fact"),
                        format!("{guess}its words: {}", words.join(", ")),
                    )
                }
                _ => return Some(Value::Text(text.as_str().into())),
            },
            (Class::Number(dimension), Written::Text(text) | Written::Number(text)) => {
                match Quantity::parse(text, dimension) {
                    Ok(quantity) => return Some(Value::Measured(Box::new(Measured::exact(quantity)))),
                    Err(error) => (error.to_string(), error.help()),
                }
            }
            (Class::Instant, Written::Text(text)) => match Instant::parse(text) {
                Ok(instant) => return Some(Value::Instant(instant)),
                Err(error) => (error.to_string(), error.help()),
            },
            (Class::Day, Written::Text(text)) => match Day::parse(text) {
                Ok(day) => return Some(Value::Day(day)),
                Err(error) => (error.to_string(), error.help()),
            },
            _ => (format!("{} is expected here", class.describe()), "write a value of that kind".to_owned()),
        };
        let code = if matches!(class, Class::Number(_)) { Code::PackWrongUnit } else { Code::PackWrongKind };
        self.reader.say(code, failure.0, node.span, failure.1);
        None
    }

    fn operand(&mut self, node: &Node, class: Class, words: Option<&[String]>, scope: &Scope) -> Option<Operand> {
        let Written::Map(entries) = &node.value else {
            let value = self.literal(node, class, words)?;
            return Some(Operand { base: Base::Literal(value), times: None, plus: None });
        };
        let mut base = None;
        for entry in entries {
            match entry.key.as_str() {
                "limit" | "fact" | "moment" => base = Some(self.base(entry, class, scope)?),
                "times" | "plus" | "less" => {}
                other => {
                    self.reader.say(
                        Code::PackUnknownOperand,
                        format!("`{other}` is no part of an operand"),
                        entry.key_span,
                        "use limit, fact or moment, with times and plus or less",
                    );
                    return None;
                }
            }
        }
        let Some(base) = base else {
            self.reader.say(
                Code::PackUnknownOperand,
                "this operand has no base",
                node.span,
                "name a limit, a fact or a moment",
            );
            return None;
        };
        let times = match node.entry("times") {
            Some(entry) => Some(self.factor(entry, class)?),
            None => None,
        };
        let plus = match (node.entry("plus"), node.entry("less")) {
            (Some(_), Some(less)) => {
                let message = "something is added and taken away at once";
                self.reader.say(Code::PackWrongKind, message, less.key_span, "write `plus` or `less`, not both");
                return None;
            }
            (Some(entry), None) => Some(self.offset(entry, class)?),
            (None, Some(entry)) => match self.offset(entry, class)? {
                Offset::Limit(id) => Some(Offset::LessLimit(id)),
                _ => return self.empty(&entry.node),
            },
            (None, None) => None,
        };
        Some(Operand { base, times, plus })
    }

    fn base(&mut self, entry: &Entry, due: Class, scope: &Scope) -> Option<Base> {
        let node = &entry.node;
        let Written::Text(name) = &node.value else {
            self.reader.say(Code::PackWrongKind, "a name is expected here", node.span, "write the name as text");
            return None;
        };
        match entry.key.as_str() {
            "limit" => self.limit(name, node, &[due]).map(Base::Limit),
            "moment" if !matches!(due, Class::Instant | Class::Day) => {
                let message = format!("a moment cannot be compared with {}", due.describe());
                self.reader.say(Code::PackWrongKind, message, node.span, "compare it with an instant or a day");
                None
            }
            // The schema knows these words and no other.
            "moment" => match name.as_str() {
                "judgement" => Some(Base::Judgement),
                "start" => Some(Base::Start),
                "today" => Some(Base::Today),
                _ => None,
            },
            _ => match resolve(name, scope, self.setting.catalogue) {
                Ok(term) => {
                    let found = class(term, scope, self.setting.catalogue)?;
                    // An instant that a day is compared with counts as its day in the shop.
                    let its_day = (found, due) == (Class::Instant, Class::Day);
                    if found != due && !its_day {
                        let message =
                            format!("`{name}` is {}, but {} is expected here", found.describe(), due.describe());
                        let code = match (found, due) {
                            (Class::Number(_), Class::Number(_)) => Code::PackWrongUnit,
                            _ => Code::PackWrongKind,
                        };
                        self.reader.say(code, message, node.span, "compare like with like");
                        return None;
                    }
                    Some(Base::Term(term))
                }
                Err(error) => {
                    self.reader.say(Code::PackUnknownFact, error.message, node.span, error.help);
                    None
                }
            },
        }
    }

    fn limit(&mut self, name: &str, node: &Node, due: &[Class]) -> Option<LimitId> {
        let Some(id) = context::limit(name, self.setting.pack, self.setting.amends, self.setting.limits) else {
            let known = self.setting.limits.iter().map(|limit| limit.name.as_str());
            let help = match nearest(name, known) {
                Some(near) => format!("did you mean `{near}`?"),
                None => "name it under `limits:` of this pack".to_owned(),
            };
            self.reader.say(Code::PackUnknownLimit, format!("no limit is called `{name}`"), node.span, help);
            return None;
        };
        self.setting.used.push(id);
        let dimension = self.setting.limits.get(id.0)?.dimension;
        if due.contains(&Class::Number(dimension)) {
            return Some(id);
        }
        let due: Vec<String> = due.iter().map(|class| class.describe()).collect();
        let message =
            format!("the limit `{name}` is a {}, but {} is expected here", dimension.name(), due.join(" or "));
        self.reader.say(Code::PackWrongUnit, message, node.span, "use a limit of the right unit");
        None
    }

    fn factor(&mut self, entry: &Entry, class: Class) -> Option<Factor> {
        let node = &entry.node;
        match class {
            Class::Number(Dimension::Temperature) => {
                self.reader.say(
                    Code::PackWrongKind,
                    "a temperature cannot be multiplied",
                    entry.key_span,
                    "add a difference with `plus:` instead",
                );
                return None;
            }
            Class::Number(_) => {}
            _ => {
                let message = format!("{} cannot be multiplied", class.describe());
                self.reader.say(Code::PackWrongKind, message, entry.key_span, "take `times` out");
                return None;
            }
        }
        if let Some(limit) = node.entry("limit") {
            let Written::Text(name) = &limit.node.value else { return self.empty(node) };
            let plain = [Class::Number(Dimension::Percent), Class::Number(Dimension::Count)];
            return self.limit(name, &limit.node, &plain).map(Factor::Limit);
        }
        let factor = match &node.value {
            Written::Number(text) => Exact::parse_decimal(text),
            Written::Text(text) => Quantity::parse(text, Dimension::Percent).ok().map(Quantity::base),
            _ => None,
        };
        if factor.is_none() {
            let help = "write a plain number such as 1.5, a percentage such as `150 %`, or `{limit: NAME}`";
            self.reader.say(Code::PackWrongKind, "a factor is expected here", node.span, help);
        }
        factor.map(Factor::Literal)
    }

    fn offset(&mut self, entry: &Entry, class: Class) -> Option<Offset> {
        let node = &entry.node;
        let dimension = match class {
            Class::Number(Dimension::Temperature) => Dimension::TemperatureDifference,
            Class::Number(dimension) => dimension,
            Class::Instant | Class::Day => Dimension::Duration,
            _ => {
                let message = format!("nothing can be added to {}", class.describe());
                self.reader.say(Code::PackWrongKind, message, entry.key_span, "take `plus` out");
                return None;
            }
        };
        if let Some(limit) = node.entry("limit") {
            let Written::Text(name) = &limit.node.value else { return self.empty(node) };
            return self.limit(name, &limit.node, &[Class::Number(dimension)]).map(Offset::Limit);
        }
        let (Written::Text(text) | Written::Number(text)) = &node.value else { return self.empty(node) };
        match Quantity::parse(text, dimension) {
            Ok(quantity) => Some(Offset::Literal(quantity)),
            Err(error) => {
                self.reader.say(Code::PackWrongUnit, error.to_string(), node.span, error.help());
                None
            }
        }
    }
}
