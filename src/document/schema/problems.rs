//! From the validator's errors to faults with places and cures: the gathering, and the faults of keys.
//!
//! Must not know how the validator finds its errors.

use std::collections::BTreeMap;

use jsonschema::error::{ValidationError, ValidationErrorKind};
use serde_json::Value as Json;

use super::{walk, words};
use crate::document::limits::MAX_FAULTS;
use crate::document::quote::in_backticks;
use crate::document::{Code, Document, Fault, Location, Node, Path, nearest};

/// How telling a problem of a value is: of several the least rank is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Rank {
    Kind,
    Choice,
    Pattern,
    Extent,
    Form,
}

/// The problems of one document, gathered error by error.
pub(super) struct Problems<'a> {
    pub(super) schema: &'a Json,
    pub(super) document: &'a Document,
    /// By path, and by the key that is unknown or missing in the mapping there; no key if the value is wrong.
    found: BTreeMap<(Path, Option<String>), (Rank, Fault)>,
    /// Mappings with a slip in a key, and the key that was meant: not to be called missing as well.
    meant: Vec<(Path, String)>,
}

/// An error with what is known about its place in schema and document.
pub(super) struct Spot<'a> {
    pub(super) applying: Vec<&'a Json>,
    pub(super) path: Path,
    pub(super) place: Location,
    pub(super) node: &'a Node,
}

impl Spot<'_> {
    /// What the schema says is expected here, in words of our own.
    pub(super) fn due(&self) -> Option<&str> {
        walk::annotation(&self.applying, "x-due")
    }
}

impl<'a> Problems<'a> {
    pub(super) fn new(schema: &'a Json, document: &'a Document) -> Problems<'a> {
        Problems { schema, document, found: BTreeMap::new(), meant: Vec::new() }
    }

    /// All faults, without those that another one makes superfluous.
    pub(super) fn into_faults(mut self) -> Vec<Fault> {
        for (path, key) in self.meant {
            self.found.remove(&(path, Some(key)));
        }
        // A form of a mapping that fails for another reason leaves its own keys behind as out of place.
        let telling: Vec<Path> = self
            .found
            .iter()
            .filter(|(_, (_, fault))| fault.code() != OUT_OF_PLACE)
            .map(|((path, _), _)| path.clone())
            .collect();
        let is_left_behind = |path: &Path| telling.iter().any(|other| other.steps().starts_with(path.steps()));
        self.found
            .into_iter()
            .filter(|((path, _), (_, fault))| fault.code() != OUT_OF_PLACE || !is_left_behind(path))
            .map(|(_, (_, fault))| fault)
            .collect()
    }

    fn spot(&self, error: &ValidationError<'_>) -> Spot<'a> {
        let path = self.document.path_of_pointer(error.instance_path().as_str());
        Spot {
            applying: walk::applying(self.schema, error.evaluation_path().as_str()),
            place: self.document.locate(&path),
            // The validator reports only values that are there.
            node: self.document.node(&path).unwrap_or(self.document.root()),
            path,
        }
    }

    pub(super) fn take(&mut self, error: &ValidationError<'_>) {
        use ValidationErrorKind as Kind;
        if self.found.len() > MAX_FAULTS {
            return;
        }
        let spot = self.spot(error);
        match error.kind() {
            Kind::AdditionalProperties { unexpected } | Kind::UnevaluatedProperties { unexpected } => {
                for key in unexpected.iter().take(MAX_FAULTS + 1) {
                    self.unknown_key(&spot, key);
                }
            }
            Kind::Required { property } => self.missing_key(&spot, property.as_str().unwrap_or_default()),
            Kind::PropertyNames { error } => self.key_name(&spot, error),
            Kind::FalseSchema => self.forbidden(&spot),
            Kind::AnyOf { context } | Kind::OneOfNotValid { context } => self.no_form(&spot, context),
            Kind::Type { kind } => self.wrong_kind(&spot, kind),
            Kind::Enum { options } => self.not_in_list(&spot, options),
            Kind::Constant { expected_value } => self.not_constant(&spot, expected_value),
            Kind::Pattern { .. } => self.pattern(&spot),
            Kind::UniqueItems => self.repeated(&spot),
            kind => self.size_or_other(&spot, kind),
        }
    }

    /// Keeps a fault unless a more telling one of the same value or key is there.
    pub(super) fn add(&mut self, path: Path, key: Option<String>, rank: Rank, fault: Fault) {
        let fault = fault.in_source(self.document.source());
        let place = (path, key);
        if self.found.get(&place).is_none_or(|(kept, _)| rank < *kept) {
            self.found.insert(place, (rank, fault));
        }
    }

    fn unknown_key(&mut self, spot: &Spot<'_>, key: &str) {
        let known = walk::known_keys(self.schema, &spot.applying);
        let place = self.document.locate(&spot.path.child(key));
        let span = place.key.unwrap_or(place.span);
        let fault = if known.iter().any(|(name, _)| *name == key) {
            // Known in another form of this mapping only.
            let message = format!("the key `{key}` does not go with the other keys here");
            Fault::new(OUT_OF_PLACE, message)
                .label(span, "out of place")
                .help("delete the key, or change the keys that rule it out")
        } else {
            let names: Vec<String> = known.iter().map(|(name, _)| format!("`{name}`")).collect();
            let allowed = format!("keys allowed here: {}", words::listed(&names));
            let places = walk::places_of(self.schema, key);
            let help =
                match walk::meant(&spot.applying, key).or_else(|| nearest(key, known.iter().map(|(name, _)| *name))) {
                    _ if walk::never(self.schema, &spot.applying, key).is_some() => {
                        walk::never(self.schema, &spot.applying, key).unwrap_or_default().to_owned()
                    }
                    // A key that is spelt right stands in the wrong place, whatever it is like.
                    _ if (1..=MAX_PLACES).contains(&places.len()) => belongs(key, &places),
                    Some(name) => {
                        if !self.is_there(&spot.path, name) {
                            self.meant.push((spot.path.clone(), name.to_owned()));
                        }
                        format!("did you mean `{name}`? {allowed}")
                    }
                    None if names.is_empty() => "delete the key; none is allowed here".to_owned(),
                    None if places.is_empty() => format!("delete or correct the key; {allowed}"),
                    None => format!("correct the key, or move it to where it belongs; {allowed}"),
                };
            Fault::new(Code::SchemaUnknownKey, format!("unknown key {}", in_backticks(key)))
                .label(span, "not known here")
                .help(help)
        };
        self.add(spot.path.clone(), Some(key.to_owned()), Rank::Kind, fault);
    }

    fn is_there(&self, path: &Path, key: &str) -> bool {
        self.document.node(&path.child(key)).is_some()
    }

    fn missing_key(&mut self, spot: &Spot<'_>, key: &str) {
        let known = walk::known_keys(self.schema, &spot.applying);
        let about = known.iter().find(|(name, _)| *name == key);
        let about = about.map(|(_, schema)| walk::with_references(self.schema, schema)).unwrap_or_default();
        let written = match walk::example(&about) {
            Some(example) => format!("`{key}: {example}`"),
            None => format!("`{key}:`"),
        };
        let help = match (walk::annotation(&about, "x-due"), walk::annotation(&about, "description")) {
            (Some(due), _) => format!("add `{key}:` with {due}"),
            (None, Some(description)) => format!("add {written} ({})", words::clause(description)),
            (None, None) => format!("add {written}"),
        };
        let fault = Fault::new(Code::SchemaMissingKey, format!("the key `{key}` is missing"))
            .label(spot.place.key.unwrap_or_else(|| spot.node.heading()), format!("`{key}` is missing in here"))
            .help(help);
        self.add(spot.path.clone(), Some(key.to_owned()), Rank::Kind, fault);
    }

    /// A key whose own spelling is wrong.
    fn key_name(&mut self, spot: &Spot<'_>, error: &ValidationError<'_>) {
        let key = error.instance().as_str().unwrap_or_default().to_owned();
        let place = self.document.locate(&spot.path.child(key.as_str()));
        let names = spot.applying.iter().filter_map(|schema| schema.get("propertyNames"));
        let applying: Vec<&Json> = names.flat_map(|names| walk::with_references(self.schema, names)).collect();
        let message = match (walk::annotation(&applying, "x-due"), walk::annotation(&applying, "x-say")) {
            (Some(due), _) => format!("{} is expected as a key here, not {}", words::clause(due), in_backticks(&key)),
            (None, Some(say)) => format!("the key {} is not {say}", in_backticks(&key)),
            (None, None) => format!("the key {} is not spelt as keys are here", in_backticks(&key)),
        };
        let mut fault = Fault::new(Code::SchemaOddKey, message).label(place.key.unwrap_or(place.span), "this key");
        if let Some(help) = words::advice(&applying) {
            let respelt = words::respelt(&applying, &key).map(|key| format!("did you mean `{key}`? "));
            fault = fault.help(respelt.unwrap_or_default() + &help);
        }
        self.add(spot.path.clone(), Some(key), Rank::Pattern, fault);
    }

    /// A key that is forbidden in this form of the mapping.
    fn forbidden(&mut self, spot: &Spot<'_>) {
        let fault = Fault::new(OUT_OF_PLACE, format!("nothing may stand at `{}` here", spot.path))
            .label(spot.place.key.unwrap_or(spot.place.span), "out of place")
            .help("delete it, or change the keys that rule it out");
        self.add(spot.path.clone(), None, Rank::Kind, fault);
    }
}

/// Places that a cure names; a key with more of them says little by itself.
const MAX_PLACES: usize = 3;

/// Where a key belongs that is right and stands in the wrong place.
fn belongs(key: &str, places: &[String]) -> String {
    let named: Vec<String> = places
        .iter()
        .map(|place| match place.strip_suffix("[]") {
            Some(list) => format!("to an entry of `{list}`"),
            None if place.is_empty() => "to the head of the file, without blanks before it".to_owned(),
            None => format!("under `{place}`"),
        })
        .collect();
    format!("move it, with what it says: `{key}` belongs {}", named.join(" or "))
}

/// Code of a key that another form of the same mapping would take.
const OUT_OF_PLACE: Code = Code::SchemaKeyOutOfPlace;
