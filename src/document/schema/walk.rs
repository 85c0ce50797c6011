//! Finding one's way in a schema: which subschemas apply at a place, and what they say about it.
//!
//! Must not know documents or failures.

use serde_json::Value;

/// References followed from one another before a schema is taken to run in a circle. Ours nest three deep.
const MAX_REFERENCES: usize = 16;

/// The subschemas on the way to a failing keyword that apply to the very value that fails, outermost first.
///
/// `route` is the evaluation path of JSON Schema 2020-12, section 12.4.2 of its core: a pointer that passes
/// through references. The last step is the keyword itself.
pub(super) fn applying<'s>(root: &'s Value, route: &str) -> Vec<&'s Value> {
    let mut applying = vec![root];
    let mut here = root;
    let mut steps = route.split('/').skip(1).map(unescape);
    while let Some(keyword) = steps.next() {
        let (next, same_value) = match keyword.as_str() {
            "$ref" => (reference(root, here), true),
            "allOf" | "anyOf" | "oneOf" | "dependentSchemas" => (step(here, &keyword, steps.next()), true),
            "if" | "then" | "else" | "not" => (here.get(&keyword), true),
            "properties" | "patternProperties" | "prefixItems" => (step(here, &keyword, steps.next()), false),
            "items" | "additionalProperties" | "unevaluatedProperties" | "unevaluatedItems" | "contains" => {
                (here.get(&keyword), false)
            }
            _ => (None, true),
        };
        // A keyword that ends the route is the one that failed, not a way to another subschema.
        let Some(next) = next.filter(|next| next.is_object()) else {
            break;
        };
        if !same_value {
            applying.clear();
        }
        applying.push(next);
        here = next;
    }
    applying
}

fn step<'s>(schema: &'s Value, keyword: &str, name: Option<String>) -> Option<&'s Value> {
    let name = name?;
    match schema.get(keyword)? {
        Value::Array(items) => items.get(name.parse::<usize>().ok()?),
        other => other.get(&name),
    }
}

/// Undoes the escapes of a JSON Pointer (RFC 6901, section 4).
fn unescape(token: &str) -> String {
    token.replace("~1", "/").replace("~0", "~")
}

/// What the reference of a subschema leads to; only references within the schema are known.
fn reference<'s>(root: &'s Value, schema: &Value) -> Option<&'s Value> {
    root.pointer(schema.get("$ref")?.as_str()?.strip_prefix('#')?)
}

/// A subschema and what its references lead to, outermost first.
pub(super) fn with_references<'s>(root: &'s Value, schema: &'s Value) -> Vec<&'s Value> {
    let mut all = vec![schema];
    let mut here = schema;
    while let Some(next) = reference(root, here) {
        if all.len() > MAX_REFERENCES {
            break;
        }
        all.push(next);
        here = next;
    }
    all
}

/// The keys that a mapping may have under these subschemas, with the schemas of their values, in the
/// order of the schema; a key of several subschemas is listed once.
pub(super) fn known_keys<'s>(root: &'s Value, applying: &[&'s Value]) -> Vec<(&'s str, &'s Value)> {
    let mut known = Vec::new();
    for schema in applying {
        collect_keys(root, schema, MAX_REFERENCES, &mut known);
    }
    known
}

fn collect_keys<'s>(root: &'s Value, schema: &'s Value, fuel: usize, known: &mut Vec<(&'s str, &'s Value)>) {
    let Some(fuel) = fuel.checked_sub(1) else {
        return;
    };
    for (key, value) in schema.get("properties").and_then(Value::as_object).into_iter().flatten() {
        // `key: false` forbids the key.
        if *value != Value::Bool(false) && !known.iter().any(|(name, _)| name == key) {
            known.push((key, value));
        }
    }
    let lists = ["allOf", "anyOf", "oneOf"].into_iter().filter_map(|keyword| schema.get(keyword)?.as_array());
    let ways = ["then", "else"].into_iter().filter_map(|keyword| schema.get(keyword));
    let dependent = schema.get("dependentSchemas").and_then(Value::as_object).into_iter().flat_map(|map| map.values());
    for next in lists.flatten().chain(ways).chain(dependent).chain(reference(root, schema)) {
        collect_keys(root, next, fuel, known);
    }
}

/// Where else a key stands, as dotted places of mappings; of lists `[]` stands for any entry.
pub(super) fn places_of(schema: &Value, key: &str) -> Vec<String> {
    let mut places = Vec::new();
    find_places(schema, key, "", &mut places);
    places
}

fn find_places(schema: &Value, key: &str, place: &str, places: &mut Vec<String>) {
    if let Some(properties) = schema.get("properties").and_then(Value::as_object) {
        if properties.contains_key(key) {
            places.push(place.to_owned());
        }
        for (name, inner) in properties {
            let dot = if place.is_empty() { "" } else { "." };
            find_places(inner, key, &format!("{place}{dot}{name}"), places);
        }
    }
    if let Some(items) = schema.get("items") {
        find_places(items, key, &format!("{place}[]"), places);
    }
}

/// A text annotation: that of the outermost subschema that has one, for it is the most particular.
pub(super) fn annotation<'s>(applying: &[&'s Value], name: &str) -> Option<&'s str> {
    applying.iter().find_map(|schema| schema.get(name)?.as_str())
}

/// The key that is meant where people write another one, by the annotation `x-meant`.
pub(super) fn meant<'s>(applying: &[&'s Value], key: &str) -> Option<&'s str> {
    applying.iter().find_map(|schema| schema.get("x-meant")?.get(key)?.as_str())
}

/// What is said of a key at the head of a document that asks for what the document never does, by the annotation `x-never`.
pub(super) fn never<'s>(root: &'s Value, applying: &[&Value], key: &str) -> Option<&'s str> {
    let never = applying.iter().any(|schema| std::ptr::eq(*schema, root)).then(|| root.get("x-never"))??;
    let like = never.get("like")?.as_array()?;
    let key = key.to_lowercase();
    like.iter().filter_map(Value::as_str).any(|word| key.contains(word)).then(|| never.get("say")?.as_str())?
}

/// The first example, written as YAML would have it, if it fits on a line.
pub(super) fn example(applying: &[&Value]) -> Option<String> {
    let examples = applying.iter().find_map(|schema| schema.get("examples")?.as_array());
    match examples?.first()? {
        Value::String(text) => Some(text.clone()),
        Value::Array(_) | Value::Object(_) => None,
        other => Some(other.to_string()),
    }
}
