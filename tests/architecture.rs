//! The layout of the source, held against the floors that the design lays down: which module may use which, and what
//! no module below the command line may touch.

mod circles;
mod names;
mod pages;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use crate::common;

/// Each module of the library with the floors below it that it may use, lowest first.
const FLOORS: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("vocabulary", &[]),
    ("tyre", &["units"]),
    ("document", &["units", "vocabulary"]),
    ("record", &["units", "vocabulary", "tyre", "document"]),
    ("figures", &["units", "vocabulary", "tyre", "document", "record"]),
    ("pack", &["units", "vocabulary", "tyre", "document", "record", "figures"]),
    ("engine", &["units", "vocabulary", "tyre", "document", "record", "figures", "pack"]),
    ("explain", &["units", "vocabulary", "tyre", "document", "record", "figures", "pack", "engine"]),
    // Without `explain`: what is signed is data, so that no word can be changed under a signature.
    ("checklist", &["units", "vocabulary", "document", "record", "figures", "pack", "engine"]),
    ("desk", &["units", "vocabulary", "document", "record", "pack", "engine", "explain", "checklist"]),
];

/// Longer than this, a file is to be split.
const MOST_LINES: usize = 400;
/// Wider than this, a line of a comment is to be broken: code ends at 120 columns.
const MOST_COMMENT_COLUMNS: usize = 125;

/// Every Rust file of a folder and its folders, relative to the project, in order.
fn rust_files(folder: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_owned()];
    while let Some(folder) = open.pop() {
        for entry in fs::read_dir(common::project(&folder)).unwrap() {
            let entry = entry.unwrap();
            let path = format!("{folder}/{}", entry.file_name().into_string().unwrap());
            if entry.file_type().unwrap().is_dir() {
                open.push(path);
            } else if path.rsplit_once('.').is_some_and(|(_, ending)| ending == "rs") {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// The module of the library that a file of `src` belongs to; `None` for the roots and the command line.
fn floor_of(path: &str) -> Option<&str> {
    let inner = path.strip_prefix("src/")?;
    let name = inner.split(['/', '.']).next()?;
    (!["lib", "main", "cli"].contains(&name)).then_some(name)
}

fn library_files() -> Vec<String> {
    rust_files("src").into_iter().filter(|path| floor_of(path).is_some()).collect()
}

/// The lines of a file that are code, with their numbers: comments are left out, and so are unit tests, which stand
/// last in a file or in a file of their own.
fn code_lines(path: &str) -> Vec<(usize, String)> {
    if path.ends_with("/tests.rs") {
        return Vec::new();
    }
    common::read(path)
        .lines()
        .take_while(|line| *line != "#[cfg(test)]")
        .enumerate()
        .filter(|(_, line)| !line.trim_start().starts_with("//"))
        .map(|(number, line)| (number + 1, line.to_owned()))
        .collect()
}

/// The first name behind each `crate::`, and the names in braces directly behind it.
fn names_behind_crate(line: &str) -> Vec<String> {
    let word =
        |text: &str| text.trim_start().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
    let mut names = Vec::new();
    for (position, _) in line.match_indices("crate::") {
        let (before, behind) = line.split_at(position);
        if before.ends_with(|c: char| c.is_alphanumeric() || c == '_') {
            continue;
        }
        let rest = behind.trim_start_matches("crate::");
        match rest.strip_prefix('{') {
            Some(group) => names.extend(group.split([',', '}']).map(word).filter(|name| !name.is_empty())),
            None => names.push(word(rest)),
        }
    }
    names
}

#[test]
fn names_behind_crate_are_found_in_every_form() {
    assert_eq!(names_behind_crate("use crate::units::Exact;"), ["units"]);
    assert_eq!(names_behind_crate("pub(in crate::pack) fn f(a: crate::record::Job)"), ["pack", "record"]);
    assert_eq!(names_behind_crate("use crate::{engine, pack::Rule};"), ["engine", "pack"]);
    assert!(names_behind_crate("$crate::record::FactSpec; other_crate::pack").len() == 1);
}

#[test]
fn modules_use_only_the_floors_below_them() {
    let table: BTreeMap<&str, &[&str]> = FLOORS.iter().copied().collect();
    let mut wrong = Vec::new();
    let mut seen = BTreeSet::new();
    for path in library_files() {
        let own = floor_of(&path).unwrap();
        let Some(allowed) = table.get(own) else {
            wrong.push(format!("{path}: `{own}` is not in the table of floors"));
            continue;
        };
        seen.insert(own.to_owned());
        for (number, line) in code_lines(&path) {
            for used in names_behind_crate(&line) {
                if used != own && !allowed.contains(&used.as_str()) {
                    wrong.push(format!("{path}:{number}: `{own}` uses `crate::{used}`"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let rows: BTreeSet<String> = FLOORS.iter().map(|(name, _)| (*name).to_owned()).collect();
    assert_eq!(seen, rows, "the table of floors names modules that are not there");
}

#[test]
fn floors_are_stacked_without_circles() {
    let mut below: Vec<&str> = Vec::new();
    for (name, uses) in FLOORS {
        for used in *uses {
            assert!(below.contains(used), "`{name}` may use `{used}`, which does not stand below it");
        }
        below.push(name);
    }
}

#[test]
fn the_command_line_belongs_to_the_binary_alone() {
    let library = common::read("src/lib.rs");
    let binary = common::read("src/main.rs");
    assert!(!library.contains("mod cli"), "src/lib.rs declares the command line");
    assert!(binary.contains("mod cli;"), "src/main.rs does not declare the command line");
    let declared: BTreeSet<&str> =
        library.lines().filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';')).collect();
    let rows: BTreeSet<&str> = FLOORS.iter().map(|(name, _)| *name).collect();
    assert_eq!(declared, rows);
}

#[test]
fn nothing_below_the_command_line_prints_or_reads_the_world() {
    // Printing; files, environment, clock, network, processes and chance.
    const FORBIDDEN: &[&str] = &[
        "println!",
        "print!",
        "eprintln!",
        "eprint!",
        "dbg!",
        "std::fs",
        "std::env",
        "std::net",
        "std::process",
        "std::io",
        "fs::read",
        "env::var",
        "File::open",
        "SystemTime",
        "::now(",
        "thread_rng",
        "rand::",
    ];
    let mut wrong = Vec::new();
    for path in library_files() {
        for (number, line) in code_lines(&path) {
            for word in FORBIDDEN.iter().filter(|word| line.contains(*word)) {
                wrong.push(format!("{path}:{number}: `{word}`"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A path is a name that only the storage understands, and the time is what the clock says: the desk asks neither the disk
/// nor the machine, not even through a method of a path, and draws nothing.
#[test]
fn the_desk_sees_the_world_through_its_traits_alone() {
    const FORBIDDEN: &[&str] = &[
        // Methods of a path that look at the disk.
        ".exists()",
        ".try_exists()",
        ".metadata()",
        ".symlink_metadata()",
        ".canonicalize()",
        ".is_file()",
        ".is_dir()",
        ".is_symlink()",
        ".read_dir()",
        ".read_link()",
        // Crates of the edge, and what is drawn there.
        "std::time",
        "std::thread",
        "jiff::",
        "getrandom",
        "rpassword",
        "tempfile",
        "clap",
        "miette",
        "textwrap",
        "ExitCode",
        "\\u{1b}",
        "<html",
    ];
    let mut files = 0;
    let mut wrong = Vec::new();
    for path in library_files().iter().filter(|path| floor_of(path) == Some("desk")) {
        files += 1;
        for (number, line) in code_lines(path) {
            wrong.extend(
                FORBIDDEN.iter().filter(|word| line.contains(*word)).map(|word| format!("{path}:{number}: `{word}`")),
            );
        }
    }
    assert!(files > 0 && wrong.is_empty(), "{files} files: {}", wrong.join("\n"));
}

#[test]
fn every_module_opens_with_its_role() {
    let files = [rust_files("src"), rust_files("tests")].concat();
    let without: Vec<&String> = files.iter().filter(|path| !opens_with_role(path)).collect();
    assert!(without.is_empty(), "no `//!` header: {without:?}");
}

/// What a module must not know is what keeps it small; each says it, where its floor does not say all.
#[test]
fn every_module_of_the_library_says_what_it_must_not_know() {
    let says = ["must not know", "must know nothing", "does not know", "knows nothing", "know only"];
    let header = |path: &str| {
        let text = common::read(path);
        let lines = text.lines().take_while(|line| line.starts_with("//!"));
        lines.map(|line| line.trim_start_matches("//!").trim()).collect::<Vec<_>>().join(" ").to_lowercase()
    };
    let silent: Vec<String> = library_files()
        .into_iter()
        .filter(|path| !path.ends_with("tests.rs") && !path.contains("/tests/"))
        .filter(|path| !says.iter().any(|words| header(path).contains(words)))
        .collect();
    assert!(silent.is_empty(), "{silent:?}");
}

/// Unit tests moved out of their module are part of it and need no role of their own.
fn opens_with_role(path: &str) -> bool {
    common::read(path).starts_with("//! ") || path.starts_with("src/") && path.ends_with("/tests.rs")
}

#[test]
fn no_file_is_too_long_to_read() {
    let files = [rust_files("src"), rust_files("tests")].concat();
    let long: Vec<String> = files
        .iter()
        .map(|path| (path, common::read(path).lines().count()))
        .filter(|(_, lines)| *lines > MOST_LINES)
        .map(|(path, lines)| format!("{path}: {lines} lines"))
        .collect();
    assert!(long.is_empty(), "{}", long.join("\n"));
}

/// The formatter breaks code and no comments.
#[test]
fn no_comment_line_is_too_wide_to_read() {
    let files = [rust_files("src"), rust_files("tests"), rust_files("benches")].concat();
    let mut wide = Vec::new();
    let mut seen = 0;
    for path in &files {
        let text = common::read(path);
        let comments = text.lines().enumerate().filter(|(_, line)| line.trim_start().starts_with("//"));
        for (number, columns) in comments.map(|(number, line)| (number + 1, line.chars().count())) {
            seen += 1;
            if columns > MOST_COMMENT_COLUMNS {
                wide.push(format!("{path}:{number}: {columns} columns"));
            }
        }
    }
    assert!(seen > 5_000 && wide.is_empty(), "of {seen} lines of comments:\n{}", wide.join("\n"));
}

/// The modules that a file declares.
fn declared(path: &str) -> BTreeSet<String> {
    common::read(path)
        .lines()
        .filter_map(|line| {
            let line = line.trim_start();
            let line = line.strip_prefix("pub ").or_else(|| line.strip_prefix("pub(crate) ")).unwrap_or(line);
            Some(line.strip_prefix("mod ")?.strip_suffix(';')?.to_owned())
        })
        .collect()
}

#[test]
fn every_file_is_part_of_the_program_or_of_its_tests() {
    let mut lost = Vec::new();
    for (folder, roots) in [("src", &["src/lib.rs", "src/main.rs"][..]), ("tests", &["tests/main.rs"][..])] {
        for path in rust_files(folder).iter().filter(|path| !roots.contains(&path.as_str())) {
            let (parent, file) = path.rsplit_once('/').unwrap();
            let (parents, name) = match file {
                // The one folder module of the tests: the usual place of what they share.
                "mod.rs" => {
                    let (above, name) = parent.rsplit_once('/').unwrap();
                    (parents_of(above, roots), name)
                }
                file => (parents_of(parent, roots), file.strip_suffix(".rs").unwrap()),
            };
            if !parents.iter().any(|parent| declared(parent).contains(name)) {
                lost.push(format!("{path} is not declared in {}", parents.join(" or ")));
            }
        }
    }
    assert!(lost.is_empty(), "{}", lost.join("\n"));
}

/// The files that declare the modules of a folder.
fn parents_of(folder: &str, roots: &[&str]) -> Vec<String> {
    if !folder.contains('/') {
        return roots.iter().map(|root| (*root).to_owned()).collect();
    }
    let candidates = [format!("{folder}.rs"), format!("{folder}/mod.rs")];
    candidates.into_iter().filter(|path| common::project(path).exists()).collect()
}
