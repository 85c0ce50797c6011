//! How a made record is laid out: the order of the catalogue, short groups on one line, a blank line between the parts.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use fillward::record::catalogue::built_in;
use fillward::vocabulary::Subject;
use serde_yaml::{Mapping, Value};

/// As wide as a line gets on which a group stands whole.
const WIDTH: usize = 110;

/// Lays a record out; `notes` are comments by the path of the line below them. A note that finds no line is a slip.
pub(crate) fn text(record: &Mapping, notes: &BTreeMap<String, String>) -> String {
    let mut page = Page { out: String::new(), notes: notes.clone() };
    let mut after_scalar = true;
    for (key, value) in record {
        let key = key.as_str().unwrap();
        let subject = Subject::ALL.into_iter().find(|subject| subject.record_key() == Some(key));
        let scalar = !(value.is_mapping() || value.is_sequence());
        if !(scalar && after_scalar) {
            page.out.push('\n');
        }
        after_scalar = scalar;
        let group = match subject {
            Some(subject) => Group { subject, prefix: String::new() },
            None => Group { subject: Subject::Job, prefix: key.to_owned() },
        };
        page.entry(key, value, &group, key, 0);
    }
    assert!(page.notes.is_empty(), "notes without a line: {:?}", page.notes.keys());
    page.out
}

/// Which facts the keys of a mapping are.
struct Group {
    subject: Subject,
    prefix: String,
}

impl Group {
    fn below(&self, key: &str) -> Self {
        let prefix = if self.prefix.is_empty() { key.to_owned() } else { format!("{}.{key}", self.prefix) };
        Self { subject: self.subject, prefix }
    }

    /// Where a key stands in the catalogue; what a pack declares comes last.
    fn rank(&self, key: &str) -> usize {
        let place = self.below(key).prefix;
        let is = |name: &str| name.strip_prefix(&place).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'));
        built_in(self.subject).position(|spec| is(&spec.name)).unwrap_or(usize::MAX)
    }
}

struct Page {
    out: String,
    notes: BTreeMap<String, String>,
}

impl Page {
    /// Writes the note of a path, if it has one.
    fn note(&mut self, path: &str, indent: usize) {
        let note = self.notes.remove(path).unwrap_or_default();
        for line in textwrap::wrap(&note, WIDTH - indent).iter().filter(|line| !line.is_empty()) {
            let _ = writeln!(self.out, "{:indent$}# {line}", "");
        }
    }

    /// Whether something inside has a note, and so needs a line of its own.
    fn noted_within(&self, path: &str) -> bool {
        self.notes.keys().any(|noted| noted.strip_prefix(path).is_some_and(|rest| rest.starts_with(['.', '['])))
    }

    fn entry(&mut self, key: &str, value: &Value, group: &Group, path: &str, indent: usize) {
        self.note(path, indent);
        let open = self.noted_within(path);
        if let Some(line) =
            one_line(value, false, false).filter(|line| !open && indent + key.len() + 2 + line.len() <= WIDTH)
        {
            let _ = writeln!(self.out, "{}", format!("{:indent$}{key}: {line}", "").trim_end());
            return;
        }
        let _ = writeln!(self.out, "{:indent$}{key}:", "");
        match value {
            Value::Mapping(map) => self.mapping(map, group, path, indent + 2),
            Value::Sequence(list) => self.list(list, group, path, indent + 2),
            _ => panic!("{path}: a line too long"),
        }
    }

    fn mapping(&mut self, map: &Mapping, group: &Group, path: &str, indent: usize) {
        let mut entries: Vec<(&str, &Value)> = map.iter().map(|(key, value)| (key.as_str().unwrap(), value)).collect();
        if !group.prefix.starts_with("local") {
            entries.sort_by_key(|(key, _)| group.rank(key));
        }
        for (key, value) in entries {
            // The two components are entries of a mapping, not groups of facts.
            let below = if path == "components" {
                Group { subject: Subject::Component, prefix: String::new() }
            } else {
                group.below(key)
            };
            self.entry(key, value, &below, &format!("{path}.{key}"), indent);
        }
    }

    fn list(&mut self, list: &[Value], group: &Group, path: &str, indent: usize) {
        let whole = matches!(group.subject, Subject::Gauge | Subject::Thermometer);
        for (index, item) in list.iter().enumerate() {
            let path = format!("{path}[{index}]");
            if index > 0 && group.subject == Subject::Assembly && group.prefix.is_empty() {
                self.out.push('\n');
            }
            self.note(&path, indent);
            let open = self.noted_within(&path);
            if let Some(line) =
                one_line(item, whole, false).filter(|line| !open && (whole || indent + 2 + line.len() <= WIDTH))
            {
                let _ = writeln!(self.out, "{:indent$}- {line}", "");
                continue;
            }
            let start = self.out.len();
            self.mapping(item.as_mapping().unwrap(), group, &path, indent + 2);
            // The first line that is no comment opens the entry.
            let mark = format!("{:indent$}- ", "");
            let made = self.out.split_off(start);
            let first = made.lines().take_while(|line| line.trim_start().starts_with('#'));
            let comments: usize = first.map(|line| line.len() + 1).sum();
            let (head, entry) = made.split_at(comments);
            let _ = write!(self.out, "{head}{mark}{}", entry.trim_start());
        }
    }
}

/// A value on one line, `within` another one's brackets or not; `None` for a group that holds groups, unless it is to
/// stand `whole`, and for a list of groups.
fn one_line(value: &Value, whole: bool, within: bool) -> Option<String> {
    match value {
        Value::Mapping(map) => {
            if !whole && map.values().any(Value::is_mapping) {
                return None;
            }
            let entries: Option<Vec<String>> = map
                .iter()
                .map(|(key, value)| {
                    Some(format!("{}: {}", key.as_str()?, one_line(value, whole, true)?).trim_end().to_owned())
                })
                .collect();
            Some(format!("{{{}}}", entries?.join(", ")))
        }
        Value::Sequence(list) if list.iter().any(Value::is_mapping) => None,
        Value::Sequence(list) => {
            let items: Option<Vec<String>> = list.iter().map(|item| one_line(item, whole, true)).collect();
            Some(format!("[{}]", items?.join(", ")))
        }
        Value::Null => Some(String::new()),
        Value::String(text) if within && text.contains([',', '[', ']', '{', '}']) => {
            Some(serde_json::to_string(text).unwrap())
        }
        scalar => Some(serde_yaml::to_string(scalar).unwrap().trim_end().to_owned()),
    }
}
