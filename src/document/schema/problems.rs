//! From the validator's errors to faults with places and cures.
//!
//! Must not know how the validator comes to its errors.

use jsonschema::error::{TypeKind, ValidationError, ValidationErrorKind};
use jsonschema::types::JsonType;
use serde_json::Value as Json;

use super::{walk, words};
use crate::document::{Document, Fault, Node, Path, Place, Value, nearest};

/// How telling a problem of a value is: of several the least rank is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    Kind,
    Choice,
    Pattern,
    Extent,
    Form,
}

struct Problem {
    path: Path,
    /// The key that is unknown or missing in the mapping at `path`; none if the value itself is wrong.
    key: Option<String>,
    rank: Rank,
    fault: Fault,
}

/// The problems of one document, gathered error by error.
pub(super) struct Problems<'a> {
    schema: &'a Json,
    document: &'a Document,
    list: Vec<Problem>,
    /// Mappings with a slip in a key, and the key that was meant: not to be called missing as well.
    meant: Vec<(Path, String)>,
}

/// An error with what is known about its place in schema and document.
struct Scene<'a> {
    applying: Vec<&'a Json>,
    path: Path,
    place: Place,
    node: &'a Node,
}

impl Scene<'_> {
    fn due(&self) -> Option<&str> {
        walk::annotation(&self.applying, "x-due")
    }
}

impl<'a> Problems<'a> {
    pub(super) fn new(schema: &'a Json, document: &'a Document) -> Problems<'a> {
        Problems { schema, document, list: Vec::new(), meant: Vec::new() }
    }

    /// All faults, without those that another one makes superfluous.
    pub(super) fn into_faults(self) -> Vec<Fault> {
        let Problems { list, meant, .. } = self;
        let is_slip = |problem: &Problem| {
            problem.fault.code() == "schema/missing-key"
                && meant.iter().any(|(path, key)| *path == problem.path && problem.key.as_ref() == Some(key))
        };
        list.into_iter().filter(|problem| !is_slip(problem)).map(|problem| problem.fault).collect()
    }

    fn scene(&self, error: &ValidationError<'_>) -> Scene<'a> {
        let path = self.document.path_of_pointer(error.instance_path().as_str());
        Scene {
            applying: walk::applying(self.schema, error.evaluation_path().as_str()),
            place: self.document.locate(&path),
            // The validator speaks only of values that are there.
            node: self.document.node(&path).unwrap_or(self.document.root()),
            path,
        }
    }

    pub(super) fn take(&mut self, error: &ValidationError<'_>) {
        use ValidationErrorKind as Kind;
        let scene = self.scene(error);
        match error.kind() {
            Kind::AdditionalProperties { unexpected } | Kind::UnevaluatedProperties { unexpected } => {
                for key in unexpected {
                    self.unknown_key(&scene, key);
                }
            }
            Kind::Required { property } => {
                self.missing_key(&scene, property.as_str().unwrap_or_default());
            }
            Kind::PropertyNames { error } => self.key_name(&scene, error),
            Kind::FalseSchema => self.forbidden(&scene),
            Kind::AnyOf { context } | Kind::OneOfNotValid { context } => {
                self.no_form(&scene, context);
            }
            Kind::Type { kind } => self.wrong_kind(&scene, kind),
            Kind::Enum { options } => self.not_in_list(&scene, options),
            Kind::Constant { expected_value } => self.not_constant(&scene, expected_value),
            Kind::Pattern { .. } => self.pattern(&scene),
            Kind::UniqueItems => self.repeated(&scene),
            kind => match extent(kind, scene.node) {
                Some((code, message)) => self.value(&scene, Rank::Extent, code, message, None),
                None => self.other(&scene, kind.keyword()),
            },
        }
    }

    fn add(&mut self, problem: Problem) {
        let same = |other: &&mut Problem| other.path == problem.path && other.key == problem.key;
        match self.list.iter_mut().find(same) {
            Some(other) if other.rank <= problem.rank => {}
            Some(other) => *other = problem,
            None => self.list.push(problem),
        }
    }

    /// A problem of the value itself. `help` goes before what the schema says of the value.
    fn value(&mut self, scene: &Scene<'_>, rank: Rank, code: &'static str, message: String, help: Option<String>) {
        let label = match scene.due() {
            Some(due) => format!("due: {}", words::head(due)),
            None => String::new(),
        };
        let mut fault = Fault::new(code, message).label(scene.place.span, label).in_source(self.document.source());
        if let Some(help) = help.or_else(|| advice(&scene.applying)) {
            fault = fault.help(help);
        }
        self.add(Problem { path: scene.path.clone(), key: None, rank, fault });
    }

    fn unknown_key(&mut self, scene: &Scene<'_>, key: &str) {
        let known = walk::known_keys(self.schema, &scene.applying);
        let place = self.document.locate(&scene.path.child(key));
        let span = place.key.unwrap_or(place.span);
        let source = self.document.source();
        let fault = if known.iter().any(|(name, _)| *name == key) {
            // Known in another form of this mapping only.
            Fault::new("schema/key-out-of-place", format!("the key `{key}` does not go with the other keys here"))
                .label(span, "out of place")
                .help("delete the key, or change the keys that rule it out")
        } else {
            let names: Vec<String> = known.iter().map(|(name, _)| format!("`{name}`")).collect();
            let allowed = format!("keys allowed here: {}", words::listed(&names));
            let help = match nearest(key, known.iter().map(|(name, _)| *name)) {
                Some(name) => {
                    self.meant.push((scene.path.clone(), name.to_owned()));
                    format!("did you mean `{name}`? {allowed}")
                }
                None if names.is_empty() => "delete the key; none is allowed here".to_owned(),
                None => format!("delete or correct the key; {allowed}"),
            };
            Fault::new("schema/unknown-key", format!("unknown key `{key}`")).label(span, "not known here").help(help)
        };
        self.add(Problem {
            path: scene.path.clone(),
            key: Some(key.to_owned()),
            rank: Rank::Kind,
            fault: fault.in_source(source),
        });
    }

    fn missing_key(&mut self, scene: &Scene<'_>, key: &str) {
        let known = walk::known_keys(self.schema, &scene.applying);
        let about = known.iter().find(|(name, _)| *name == key);
        let about = about.map(|(_, schema)| walk::with_references(self.schema, schema)).unwrap_or_default();
        let help = match (walk::annotation(&about, "x-due"), walk::annotation(&about, "description")) {
            (Some(due), _) => format!("add `{key}:` with {due}"),
            (None, description) => {
                let written =
                    walk::example(&about).map_or(format!("`{key}:`"), |example| format!("`{key}: {example}`"));
                match description {
                    Some(description) => format!("add {written} ({description})"),
                    None => format!("add {written}"),
                }
            }
        };
        let span = scene.place.key.unwrap_or_else(|| scene.node.heading());
        let fault = Fault::new("schema/missing-key", format!("the key `{key}` is missing"))
            .label(span, format!("`{key}` is missing in here"))
            .help(help)
            .in_source(self.document.source());
        self.add(Problem { path: scene.path.clone(), key: Some(key.to_owned()), rank: Rank::Kind, fault });
    }

    /// A key whose own spelling is wrong.
    fn key_name(&mut self, scene: &Scene<'_>, error: &ValidationError<'_>) {
        let key = error.instance().as_str().unwrap_or_default().to_owned();
        let place = self.document.locate(&scene.path.child(key.as_str()));
        let applying: Vec<&Json> = scene
            .applying
            .iter()
            .filter_map(|schema| schema.get("propertyNames"))
            .flat_map(|names| walk::with_references(self.schema, names))
            .collect();
        let due = walk::annotation(&applying, "x-due").or(walk::annotation(&applying, "x-say"));
        let message = match due {
            Some(due) => format!("{} is due as a key here, not {}", words::head(due), words::quoted(&key)),
            None => format!("the key {} is not spelt as keys are here", words::quoted(&key)),
        };
        let mut fault = Fault::new("schema/odd-key", message)
            .label(place.key.unwrap_or(place.span), "this key")
            .in_source(self.document.source());
        if let Some(help) = advice(&applying) {
            fault = fault.help(help);
        }
        self.add(Problem { path: scene.path.clone(), key: Some(key), rank: Rank::Pattern, fault });
    }

    /// A key that is forbidden in this form of the mapping.
    fn forbidden(&mut self, scene: &Scene<'_>) {
        let fault = Fault::new("schema/key-out-of-place", format!("nothing may stand at `{}` here", scene.path))
            .label(scene.place.key.unwrap_or(scene.place.span), "out of place")
            .help("delete it, or change the keys that rule it out")
            .in_source(self.document.source());
        self.add(Problem { path: scene.path.clone(), key: None, rank: Rank::Kind, fault });
    }

    /// None of several forms fits: the failures of the one that was meant, if that can be told.
    fn no_form(&mut self, scene: &Scene<'_>, forms: &[Vec<ValidationError<'static>>]) {
        if scene.due().is_none()
            && let Some(meant) = form_meant(scene, forms)
        {
            for error in meant {
                self.take(error);
            }
            return;
        }
        let message = match scene.due() {
            Some(due) => format!("{} is due here, not {}", words::head(due), words::found(scene.node)),
            None => format!("{} fits none of the forms that can stand here", words::found(scene.node)),
        };
        self.value(scene, Rank::Form, "schema/no-form-fits", message, None);
    }

    fn wrong_kind(&mut self, scene: &Scene<'_>, due: &TypeKind) {
        let what = scene.due().map_or_else(|| words::kinds(due), |due| words::head(due).to_owned());
        let message = format!("{what} is due here, not {}", words::found(scene.node));
        let help = match &scene.node.value {
            _ if scene.due().is_some() => None,
            Value::Number(literal) if words::is_due(due, JsonType::String) => {
                Some(format!("quote it: `\"{literal}\"`"))
            }
            Value::Bool(truth) if words::is_due(due, JsonType::String) => Some(format!("quote it: `\"{truth}\"`")),
            Value::Text(text) if words::is_due(due, JsonType::Boolean) => truth_meant(text),
            Value::Text(text) if is_number_due(due) && text.parse::<f64>().is_ok_and(f64::is_finite) => {
                Some("take the quotes away".to_owned())
            }
            Value::Bool(_) | Value::Number(_) | Value::Text(_) | Value::Map(_)
                if words::is_due(due, JsonType::Array) =>
            {
                Some("put `- ` before it, on a line of its own".to_owned())
            }
            _ => None,
        };
        self.value(scene, Rank::Kind, "schema/wrong-kind", message, help);
    }

    fn not_in_list(&mut self, scene: &Scene<'_>, options: &Json) {
        let options: &[Json] = options.as_array().map_or(&[], Vec::as_slice);
        let listed: Vec<String> = options.iter().map(words::literal).collect();
        let choices = format!("write one of {}", words::listed(&listed));
        let meant = match &scene.node.value {
            Value::Text(text) => nearest(text, options.iter().filter_map(Json::as_str)),
            _ => None,
        };
        let help = match meant {
            Some(meant) => format!("did you mean `{meant}`? {choices}"),
            None => choices,
        };
        let message = format!("{} is not one of the choices here", words::found(scene.node));
        self.value(scene, Rank::Choice, "schema/not-in-list", message, Some(help));
    }

    fn not_constant(&mut self, scene: &Scene<'_>, due: &Json) {
        let due = words::literal(due);
        let message = format!("{due} is due here, not {}", words::found(scene.node));
        self.value(scene, Rank::Choice, "schema/not-in-list", message, Some(format!("write {due}")));
    }

    fn pattern(&mut self, scene: &Scene<'_>) {
        let found = words::found(scene.node);
        let message = match (scene.due(), walk::annotation(&scene.applying, "x-say")) {
            (Some(due), _) => format!("{} is due here, not {found}", words::head(due)),
            (None, Some(say)) => format!("{found} is not {say}"),
            (None, None) => format!("{found} is not written as it must be here"),
        };
        self.value(scene, Rank::Pattern, "schema/not-as-due", message, None);
    }

    fn repeated(&mut self, scene: &Scene<'_>) {
        let Value::List(items) = &scene.node.value else {
            return;
        };
        let values: Vec<Json> = items.iter().map(Node::to_json).collect();
        for (place, (item, value)) in items.iter().zip(&values).enumerate() {
            let Some(first) = values.iter().take(place).position(|earlier| earlier == value) else {
                continue;
            };
            let mut fault =
                Fault::new("schema/repeated-item", format!("{} stands in this list twice", words::found(item)))
                    .label(item.span, "again here")
                    .help("delete one of the two")
                    .in_source(self.document.source());
            if let Some(first) = items.get(first) {
                fault = fault.label(first.span, "first here");
            }
            self.add(Problem { path: scene.path.child(place), key: None, rank: Rank::Choice, fault });
        }
    }

    /// A failure of a keyword that our schemas do not use, or use only under a description that says it all.
    fn other(&mut self, scene: &Scene<'_>, keyword: &str) {
        let message = format!("{} does not fit here, by `{keyword}` of the schema", words::found(scene.node));
        self.value(scene, Rank::Form, "schema/does-not-fit", message, None);
    }
}

/// What to write, from the annotations of the schema.
fn advice(applying: &[&Json]) -> Option<String> {
    if let Some(due) = walk::annotation(applying, "x-due") {
        return Some(format!("write {due}"));
    }
    let description = walk::annotation(applying, "description").or_else(|| walk::annotation(applying, "title"));
    match (walk::example(applying), description) {
        (Some(example), Some(description)) => Some(format!("write, for example, `{example}` ({description})")),
        (Some(example), None) => Some(format!("write, for example, `{example}`")),
        (None, Some(description)) => Some(format!("write what is due here: {description}")),
        (None, None) => None,
    }
}

/// Code and message of a failure of size: lengths, counts and limits.
fn extent(kind: &ValidationErrorKind, node: &Node) -> Option<(&'static str, String)> {
    use ValidationErrorKind as Kind;
    let found = words::found(node);
    let items = match &node.value {
        Value::List(items) => items.len(),
        Value::Map(entries) => entries.len(),
        _ => 0,
    };
    Some(match kind {
        Kind::MinItems { limit } => (
            "schema/too-few",
            format!("a list of {items}; at least {} due here", words::count(*limit, "item is", "items are")),
        ),
        Kind::MaxItems { limit } => (
            "schema/too-many",
            format!("a list of {items}; at most {} allowed here", words::count(*limit, "item is", "items are")),
        ),
        Kind::MinProperties { limit } => (
            "schema/too-few",
            format!("a mapping of {items}; at least {} due here", words::count(*limit, "key is", "keys are")),
        ),
        Kind::MaxProperties { limit } => (
            "schema/too-many",
            format!("a mapping of {items}; at most {} allowed here", words::count(*limit, "key is", "keys are")),
        ),
        Kind::MinLength { limit } => (
            "schema/too-short",
            format!(
                "{found} is too short; at least {} due here",
                words::count(*limit, "character is", "characters are")
            ),
        ),
        Kind::MaxLength { limit } => (
            "schema/too-long",
            format!(
                "{found} is too long; at most {} allowed here",
                words::count(*limit, "character is", "characters are")
            ),
        ),
        Kind::Minimum { limit } => ("schema/too-low", format!("{found} is too low; `{limit}` or more is due here")),
        Kind::Maximum { limit } => ("schema/too-high", format!("{found} is too high; `{limit}` or less is due here")),
        Kind::ExclusiveMinimum { limit } => {
            ("schema/too-low", format!("{found} is too low; more than `{limit}` is due here"))
        }
        Kind::ExclusiveMaximum { limit } => {
            ("schema/too-high", format!("{found} is too high; less than `{limit}` is due here"))
        }
        _ => return None,
    })
}

fn is_number_due(due: &TypeKind) -> bool {
    words::is_due(due, JsonType::Number) || words::is_due(due, JsonType::Integer)
}

/// The cure for a word that means a truth value elsewhere but is text in YAML 1.2.
fn truth_meant(text: &str) -> Option<String> {
    match text.to_lowercase().as_str() {
        "yes" | "on" | "y" | "true" => Some("write `true`".to_owned()),
        "no" | "off" | "n" | "false" => Some("write `false`".to_owned()),
        _ => None,
    }
}

/// The form that was meant: the only one whose kind fits the value, or of these the only one whose fixed words
/// (`const`, `enum`) fit.
fn form_meant<'e>(
    scene: &Scene<'_>,
    forms: &'e [Vec<ValidationError<'static>>],
) -> Option<&'e [ValidationError<'static>]> {
    let here =
        |error: &ValidationError<'_>| error.instance_path().as_str().matches('/').count() == scene.path.steps().len();
    let of_kind: Vec<_> = forms
        .iter()
        .filter(|errors| {
            !errors.iter().any(|error| here(error) && matches!(error.kind(), ValidationErrorKind::Type { .. }))
        })
        .collect();
    if let [only] = of_kind.as_slice() {
        return Some(only);
    }
    let is_word = |error: &ValidationError<'_>| {
        matches!(error.kind(), ValidationErrorKind::Constant { .. } | ValidationErrorKind::Enum { .. })
    };
    let mut of_words = of_kind.into_iter().filter(|errors| !errors.iter().any(is_word));
    match (of_words.next(), of_words.next()) {
        (Some(only), None) => Some(only),
        _ => None,
    }
}
