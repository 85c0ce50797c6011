//! No circles between files: what stands side by side in one module is used in one direction.
//!
//! Changing a file means looking at what uses it; in a circle that is everything in it. A file may use the module above
//! it, which gives out the names of its parts.

use std::collections::{BTreeMap, BTreeSet};

use super::{code_lines, rust_files};

/// A module by its names from the root of the crate.
type Module = Vec<String>;

fn module_of(path: &str) -> Module {
    let inner = path.trim_start_matches("src/").trim_end_matches(".rs");
    let names: Vec<String> = inner.split('/').map(str::to_owned).collect();
    if ["lib", "main"].contains(&inner) { Vec::new() } else { names }
}

/// Reads the paths of a tree such as `super::{one::Name, other}` from its beginning, each with its names.
fn tree(text: &str, before: &[String], found: &mut Vec<Vec<String>>) -> usize {
    let name: String = text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
    let mut path = before.to_vec();
    let mut at = name.len();
    if !name.is_empty() {
        path.push(name);
    }
    match text.get(at..).unwrap_or_default().strip_prefix("::") {
        Some(rest) if rest.starts_with('{') => {
            at += 3;
            while let Some(next) = text.get(at..).unwrap_or_default().chars().next().filter(|c| *c != '}') {
                at += if next.is_alphanumeric() || next == '_' {
                    tree(text.get(at..).unwrap_or_default(), &path, found)
                } else {
                    next.len_utf8()
                };
            }
            at + 1
        }
        Some(rest) if rest.starts_with(|c: char| c.is_alphabetic()) => at + 2 + tree(rest, &path, found),
        _ => {
            found.push(path);
            at
        }
    }
}

/// The paths of a text that begin with one of these names.
fn paths(text: &str, begins: impl Fn(&str) -> bool) -> Vec<Vec<String>> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(first) = text.get(at..).unwrap_or_default().chars().next() {
        let is_word = first.is_alphabetic() || first == '_';
        let word: String =
            text.get(at..).unwrap_or_default().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
        let is_path = text.get(at + word.len()..).unwrap_or_default().starts_with("::")
            && !text.get(..at).unwrap_or_default().ends_with("::");
        at += match () {
            () if is_word && is_path && begins(&word) => tree(text.get(at..).unwrap_or_default(), &[], &mut found),
            () if !word.is_empty() => word.len(),
            () => first.len_utf8(),
        };
    }
    found
}

/// The modules of the program with what their files say.
struct Modules {
    texts: BTreeMap<Module, String>,
    /// Names that a module gives out of its parts, with the part.
    given_out: BTreeMap<(Module, String), Module>,
}

impl Modules {
    fn read() -> Self {
        let files = rust_files("src").into_iter().filter(|path| !path.contains("/tests"));
        let text = |path: &str| code_lines(path).into_iter().map(|(_, line)| line + "\n").collect::<String>();
        let texts: BTreeMap<Module, String> = files.map(|path| (module_of(&path), text(&path))).collect();
        let mut modules = Self { texts, given_out: BTreeMap::new() };
        let mut given_out = BTreeMap::new();
        for (module, text) in &modules.texts {
            for part in
                text.split('\n').filter_map(|line| line.split_once(" use ")).filter(|(head, _)| head.starts_with("pub"))
            {
                let start = part.1.as_ptr() as usize - text.as_ptr() as usize;
                let mut found = Vec::new();
                tree(text.get(start..).unwrap_or_default(), &[], &mut found);
                for path in found {
                    let to = modules.followed(module, &path);
                    if let Some(name) = path.last().filter(|_| to != *module) {
                        given_out.insert((module.clone(), name.clone()), to);
                    }
                }
            }
        }
        modules.given_out = given_out;
        modules
    }

    /// The module that a path leads to from another one.
    fn followed(&self, from: &Module, path: &[String]) -> Module {
        let mut at = from.clone();
        for name in path {
            let part = [at.clone(), vec![name.clone()]].concat();
            if self.texts.contains_key(&part) {
                at = part;
            } else {
                return self.given_out.get(&(at.clone(), name.clone())).cloned().unwrap_or(at);
            }
        }
        at
    }

    /// The modules that a module uses.
    fn used(&self, module: &Module) -> BTreeSet<Module> {
        let begins = |word: &str| {
            ["crate", "super"].contains(&word)
                || self.texts.contains_key(&[module.clone(), vec![word.to_owned()]].concat())
        };
        let followed = |path: Vec<String>| {
            let up = path.iter().take_while(|name| *name == "super").count();
            match path.first().map(String::as_str) {
                Some("crate") => self.followed(&Vec::new(), &path[1..]),
                _ => self.followed(&module[..module.len().saturating_sub(up)].to_vec(), &path[up..]),
            }
        };
        paths(&self.texts[module], begins).into_iter().map(followed).collect()
    }
}

/// The circles among what stands side by side, by the module in which they stand.
fn circles(modules: &Modules) -> BTreeSet<(String, Vec<String>)> {
    let mut beside: BTreeMap<Module, BTreeMap<String, BTreeSet<String>>> = BTreeMap::new();
    for module in modules.texts.keys() {
        for used in modules.used(module) {
            let shared = module.iter().zip(&used).take_while(|(one, other)| one == other).count();
            if let (Some(one), Some(other)) = (module.get(shared), used.get(shared)) {
                let uses = beside.entry(module[..shared].to_vec()).or_default();
                uses.entry(one.clone()).or_default().insert(other.clone());
            }
        }
    }
    let mut found = BTreeSet::new();
    for (within, uses) in beside {
        let reached = |from: &String| {
            let mut reached: BTreeSet<String> = BTreeSet::new();
            let mut open = vec![from.clone()];
            while let Some(next) = open.pop() {
                for used in uses.get(&next).into_iter().flatten() {
                    if reached.insert(used.clone()) {
                        open.push(used.clone());
                    }
                }
            }
            reached
        };
        for one in uses.keys() {
            let of_one = reached(one);
            let circle: Vec<String> = of_one.into_iter().filter(|other| reached(other).contains(one)).collect();
            if circle.len() > 1 {
                found.insert((within.join("::"), circle));
            }
        }
    }
    found
}

#[test]
fn files_side_by_side_use_one_another_in_one_direction() {
    let modules = Modules::read();
    assert!(modules.texts.len() > 300 && modules.given_out.len() > 300, "{} modules", modules.texts.len());
    let found = circles(&modules);
    assert!(found.is_empty(), "what two files need of each other goes into a third: {found:?}");
}

/// A module whose files use one another in a circle of three is told as one, and the file that they all use is not in it.
#[test]
fn circles_are_found() {
    let module = |name: &str| vec!["floor".to_owned(), name.to_owned()];
    let texts = [
        ("one", "use super::two::B;\nuse super::low::D;\n"),
        ("two", "use crate::floor::{low::D, three};\n"),
        ("three", "fn f() -> super::A {}\n"),
        ("low", "pub struct D;\n"),
    ];
    let mut texts: BTreeMap<Module, String> =
        texts.into_iter().map(|(name, text)| (module(name), text.to_owned())).collect();
    texts.insert(vec!["floor".to_owned()], "mod one;\npub use one::A;\n".to_owned());
    let given_out = BTreeMap::from([((vec!["floor".to_owned()], "A".to_owned()), module("one"))]);
    let found = circles(&Modules { texts, given_out });
    let circle = ["one", "three", "two"].map(str::to_owned).to_vec();
    assert_eq!(found, BTreeSet::from([("floor".to_owned(), circle)]));
}
