//! What a test compares with: literals, facts, limits and figures, with their factors and offsets.
//!
//! Must not know which test asks.

use super::Conditions;
use crate::document::{Code, Content, Entry, Node, nearest, nearest_value};
use crate::pack::context::{self, Scope, class, resolve};
use crate::pack::sides::{Base, Factor, Offset, Operand};
use crate::pack::{Class, LimitId};
use crate::record::{Measured, Value};
use crate::units::{Day, Dimension, Exact, Instant, Quantity};

impl Conditions<'_, '_, '_, '_> {
    pub(super) fn literals(&mut self, node: &Node, class: Class, words: Option<&[String]>) -> Option<Vec<Value>> {
        match &node.value {
            Content::List(items) if !items.is_empty() => {
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
            (Class::Flag, Content::Bool(flag)) => return Some(Value::Flag(*flag)),
            (Class::Text, Content::Text(text)) => match words {
                Some(words) if words.iter().all(|word| word != text) => {
                    let guess = nearest_value(text, words.iter().map(String::as_str));
                    let guess = guess.map(|near| format!("did you mean `{near}`? ")).unwrap_or_default();
                    (
                        format!("`{text}` is never a value of this fact"),
                        format!("{guess}its words: {}", words.join(", ")),
                    )
                }
                _ => return Some(Value::Text(text.as_str().into())),
            },
            (Class::Number(dimension), Content::Text(text) | Content::Number(text)) => {
                match Quantity::parse(text, dimension) {
                    Ok(quantity) => return Some(Value::Measured(Box::new(Measured::exact(quantity)))),
                    Err(error) => (error.to_string(), error.help()),
                }
            }
            (Class::Instant, Content::Text(text)) => match Instant::parse(text) {
                Ok(instant) => return Some(Value::Instant(instant)),
                Err(error) => (error.to_string(), error.help()),
            },
            (Class::Day, Content::Text(text)) => match Day::parse(text) {
                Ok(day) => return Some(Value::Day(day)),
                Err(error) => (error.to_string(), error.help()),
            },
            _ => (format!("{} is expected here", class.describe()), "write a value of that kind".to_owned()),
        };
        let code = if matches!(class, Class::Number(_)) { Code::PackWrongUnit } else { Code::PackWrongKind };
        self.reader.say(code, failure.0, node.span, failure.1);
        None
    }

    pub(super) fn operand(
        &mut self,
        node: &Node,
        class: Class,
        words: Option<&[String]>,
        scope: &Scope,
    ) -> Option<Operand> {
        let Content::Map(entries) = &node.value else {
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
        Some(Operand { base, times: times.map(Box::new), plus: plus.map(Box::new) })
    }

    fn base(&mut self, entry: &Entry, due: Class, scope: &Scope) -> Option<Base> {
        let node = &entry.node;
        let Content::Text(name) = &node.value else {
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
            let Content::Text(name) = &limit.node.value else { return self.empty(node) };
            let plain = [Class::Number(Dimension::Percent), Class::Number(Dimension::Count)];
            return self.limit(name, &limit.node, &plain).map(Factor::Limit);
        }
        let factor = match &node.value {
            Content::Number(text) => Exact::parse_decimal(text),
            Content::Text(text) => Quantity::parse(text, Dimension::Percent).ok().map(Quantity::base),
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
            let Content::Text(name) = &limit.node.value else { return self.empty(node) };
            return self.limit(name, &limit.node, &[Class::Number(dimension)]).map(Offset::Limit);
        }
        let (Content::Text(text) | Content::Number(text)) = &node.value else { return self.empty(node) };
        match Quantity::parse(text, dimension) {
            Ok(quantity) => Some(Offset::Literal(quantity)),
            Err(error) => {
                self.reader.say(Code::PackWrongUnit, error.to_string(), node.span, error.help());
                None
            }
        }
    }
}
