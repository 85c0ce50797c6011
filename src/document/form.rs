//! Which sort of file a document says that it is, by the first key of its head.
//!
//! Must not know what any of these files hold.

use super::{Code, Content, Fault, Node};

/// The key at the head of each sort of file, and what such a file is called.
const FORMS: [(&str, &str); 4] = [
    ("record", "a job record"),
    ("shop", "a shop file"),
    ("pack", "a rule pack"),
    ("settings", "the settings of a shop"),
];

/// Refuses a document that says it is of another sort than the one that is due: one fault, since nothing else in it is
/// meant for this place. `None` where it says nothing of the kind.
pub fn other_form(root: &Node, due: &str) -> Option<Fault> {
    if root.entry(due).is_some() {
        return None;
    }
    let number = |key: &str| root.entry(key).filter(|entry| matches!(entry.node.value, Content::Number(_)));
    let (found, name) = FORMS.iter().find_map(|(key, name)| Some((number(key)?, *name)))?;
    let due = FORMS.iter().find_map(|(key, name)| (*key == due).then_some(*name))?;
    let help = match found.key.as_str() {
        "pack" => "give the pack with --pack, and the record in front of it",
        "shop" => "give the shop file with --shop",
        "record" => "give the record by itself, as the first file of `check`",
        _ => "give the settings with --settings",
    };
    let fault = Fault::new(Code::DocumentOtherFile, format!("{name} is given where {due} is expected"));
    Some(fault.label(found.key_span, format!("this is {name}")).help(help))
}
