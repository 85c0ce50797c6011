//! The command line as its users meet it: arguments and files in, text and exit code out. The cases are data in
//! `tests/cli/`; its README tells what they may say.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;
use std::thread::sleep;
use std::time::{Duration, Instant};

use serde::Deserialize;

use crate::common;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    name: String,
    args: Vec<String>,
    #[serde(default)]
    files: BTreeMap<String, Content>,
    #[serde(default)]
    stdin: String,
    /// The zone of the machine; that of the demo shop where it is left out.
    tz: Option<String>,
    exit: i32,
    /// The whole of standard output.
    stdout: Option<String>,
    /// The file of the project that standard output equals.
    stdout_file: Option<String>,
    #[serde(default)]
    stdout_has: Vec<String>,
    #[serde(default)]
    stderr_has: Vec<String>,
    /// Where a diagnostic points, as `file:line:column`.
    at: Option<String>,
    /// The number of faults in the input; one where a case gives `at` and says nothing else.
    faults: Option<usize>,
}

/// A file of the folder that the command runs in.
#[derive(Debug, Deserialize)]
#[serde(untagged, deny_unknown_fields)]
enum Content {
    Text(String),
    Demo {
        demo: String,
        #[serde(default)]
        edits: Vec<Edit>,
    },
    Repeat {
        #[serde(default)]
        before: String,
        repeat: String,
        times: usize,
        #[serde(default)]
        after: String,
    },
    Hex {
        hex: String,
    },
    Sparse {
        sparse_bytes: u64,
    },
    Folder {
        folder: bool,
    },
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Edit {
    find: String,
    put: String,
}

impl Content {
    fn write(&self, path: &Path) {
        match self {
            Self::Text(text) => fs::write(path, text).unwrap(),
            Self::Demo { demo, edits } => {
                let mut text = common::read(&format!("shared/demo/jobs/{demo}"));
                for Edit { find, put } in edits {
                    assert!(text.contains(find), "{demo} does not contain `{find}`");
                    text = text.replacen(find, put, 1);
                }
                fs::write(path, text).unwrap();
            }
            Self::Repeat { before, repeat, times, after } => {
                fs::write(path, format!("{before}{}{after}", repeat.repeat(*times))).unwrap();
            }
            Self::Hex { hex } => {
                let bytes: Vec<u8> = hex.split_whitespace().map(|byte| u8::from_str_radix(byte, 16).unwrap()).collect();
                fs::write(path, bytes).unwrap();
            }
            Self::Sparse { sparse_bytes } => fs::File::create(path).unwrap().set_len(*sparse_bytes).unwrap(),
            Self::Folder { folder } => assert!(*folder && fs::create_dir(path).is_ok()),
        }
    }
}

/// Longer than this, no document may keep anybody waiting.
const LONGEST: Duration = Duration::from_secs(60);

/// What the program said and how it ended; no code where it had to be stopped.
struct Ran {
    code: Option<i32>,
    stdout: String,
    stderr: String,
}

/// Runs the program in a folder, with an environment in which nothing is set but what a report depends on.
fn run(folder: &Path, args: &[String], stdin: &str, tz: &str) -> Ran {
    // Files rather than pipes, so that a program that is stopped half way still shows what it said.
    let said = tempfile::tempdir().unwrap();
    let place = |name: &str| said.path().join(name);
    fs::write(place("in"), stdin).unwrap();
    let mut child = Command::new(env!("CARGO_BIN_EXE_fillward"))
        .args(args)
        .current_dir(folder)
        .env_clear()
        .envs([("COLUMNS", "80"), ("TERM", "dumb"), ("TZ", tz)])
        .stdin(fs::File::open(place("in")).unwrap())
        .stdout(fs::File::create(place("out")).unwrap())
        .stderr(fs::File::create(place("err")).unwrap())
        .spawn()
        .unwrap();
    let start = Instant::now();
    let code = loop {
        match child.try_wait().unwrap() {
            Some(status) => break status.code(),
            None if start.elapsed() > LONGEST => {
                child.kill().unwrap();
                child.wait().unwrap();
                break None;
            }
            None => sleep(Duration::from_millis(3)),
        }
    };
    let read = |name: &str| String::from_utf8(fs::read(place(name)).unwrap()).unwrap();
    Ran { code, stdout: read("out"), stderr: read("err") }
}

/// File, line and column of `file:line:column`, or of `file: words` with a `^` before the place.
fn place(at: &str, folder: &Path) -> (String, String, String) {
    let Some((file, words)) = at.split_once(": ") else {
        let parts: Vec<&str> = at.split(':').collect();
        return (parts[0].to_owned(), parts[1].to_owned(), parts[2].to_owned());
    };
    let text = fs::read_to_string(folder.join(file)).unwrap();
    let plain = words.replacen('^', "", 1);
    assert_eq!(text.matches(&plain).count(), 1, "`{plain}` must stand once in {file}");
    let (before, _) = text.split_at(text.find(&plain).unwrap() + words.find('^').unwrap());
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap().chars().count() + 1;
    (file.to_owned(), line.to_string(), column.to_string())
}

/// What is wrong with the output of a case, if anything.
fn judge(case: &Case) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    for (name, content) in &case.files {
        content.write(&folder.path().join(name));
    }
    let Ran { code, stdout, stderr } =
        run(folder.path(), &case.args, &case.stdin, case.tz.as_deref().unwrap_or(common::DEMO_ZONE));
    let mut wrong = Vec::new();
    match code {
        Some(code) if code == case.exit => {}
        Some(code) => wrong.push(format!("exit {code} instead of {}", case.exit)),
        None => wrong.push(format!("no answer within {LONGEST:?}, or ended by a signal")),
    }
    if case.exit == 2 {
        if !stdout.is_empty() {
            wrong.push("says something on standard output although nothing was judged".to_owned());
        }
        // Usage errors are worded by the argument reader, all others carry a cure.
        if !stderr.contains("help: ") && !stderr.contains("Usage: ") && !stderr.contains("try '--help'") {
            wrong.push("gives no cure".to_owned());
        }
    } else if !stderr.is_empty() {
        wrong.push("says something on standard error although it answered".to_owned());
    }
    let expected = match &case.stdout_file {
        Some(file) => Some(common::read(file)),
        None => case.stdout.clone().map(|text| text.replace("{version}", env!("CARGO_PKG_VERSION"))),
    };
    if expected.is_some_and(|expected| expected != stdout) {
        wrong.push("standard output differs".to_owned());
    }
    let flat = |text: &str| text.split_whitespace().filter(|word| *word != "│").collect::<Vec<_>>().join(" ");
    let at = case.at.as_ref().map(|at| place(at, folder.path()));
    let filled = |phrase: &String| match &at {
        Some((_, line, column)) => phrase.replace("{line}", line).replace("{column}", column),
        None => phrase.clone(),
    };
    for (text, phrases) in [(flat(&stdout), &case.stdout_has), (flat(&stderr), &case.stderr_has)] {
        wrong.extend(phrases.iter().map(filled).filter(|p| !text.contains(p)).map(|p| format!("does not say `{p}`")));
    }
    if let Some((file, line, column)) = &at
        && !case.stdout_has.iter().any(|phrase| phrase.contains("{line}"))
    {
        let at = format!("[{file}:{line}:{column}]");
        if !stderr.contains(&at) && !stdout.contains(&at) {
            wrong.push(format!("does not point at {at}"));
        }
        let faults = case.faults.unwrap_or(1);
        let places = (stderr.matches("─[").count(), stdout.matches("─[").count());
        if case.exit == 2 && places != (faults, 0) {
            wrong.push(format!("points at {places:?} places instead of {faults}"));
        }
    }
    if wrong.is_empty() {
        wrong
    } else {
        vec![format!("{}: {}\n--- out\n{stdout}--- err\n{stderr}", case.name, wrong.join("; "))]
    }
}

fn cases(path: &str) -> Vec<Case> {
    serde_yaml::from_str(&common::read(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// Runs the cases of one file and reports all that differ.
fn check(path: &str, at_least: usize) {
    let cases = cases(path);
    assert!(cases.len() >= at_least, "{path} has only {} cases", cases.len());
    let wrong: Vec<String> = cases.iter().flat_map(judge).collect();
    assert!(wrong.is_empty(), "{path}: {} of {} differ\n\n{}", wrong.len(), cases.len(), wrong.join("\n\n"));
}

#[test]
fn every_file_of_cases_is_run() {
    let names = ["bad-input", "bad-values", "check", "commands", "packs", "usage"];
    let expected: Vec<String> = names.iter().map(|name| format!("tests/cli/{name}.yaml")).collect();
    assert_eq!(common::files("tests/cli", ".yaml"), expected);
}

#[test]
fn checks() {
    check("tests/cli/check.yaml", 5);
}

#[test]
fn other_commands() {
    check("tests/cli/commands.yaml", 8);
}

#[test]
fn usage() {
    check("tests/cli/usage.yaml", 10);
}

#[test]
fn documents_that_cannot_be_read() {
    check("tests/cli/bad-input.yaml", 20);
}

#[test]
fn values_that_cannot_be() {
    check("tests/cli/bad-values.yaml", 17);
}

#[test]
fn local_packs() {
    check("tests/cli/packs.yaml", 4);
}

/// A template that nobody has filled in is a record of which nothing is known: it is read, and it holds.
#[test]
fn the_blank_template_holds() {
    let folder = tempfile::tempdir().unwrap();
    let words = |text: &str| text.split(' ').map(str::to_owned).collect::<Vec<_>>();
    let template = run(folder.path(), &words("record new"), "", common::DEMO_ZONE);
    assert_eq!((template.code, template.stderr.as_str()), (Some(0), ""));
    fs::write(folder.path().join("job.yaml"), template.stdout).unwrap();
    let checked = run(folder.path(), &words("check job.yaml"), "", common::DEMO_ZONE);
    assert_eq!((checked.code, checked.stderr.as_str()), (Some(1), ""), "{}", checked.stdout);
}

/// The help of every command; a new command is found by the list of commands in its parent's help.
#[test]
fn help_of_every_command() {
    let mut open: Vec<Vec<String>> = vec![Vec::new()];
    let mut seen = 0;
    while let Some(command) = open.pop() {
        let args = [command.clone(), vec!["--help".to_owned()]].concat();
        let Ran { code, stdout: help, stderr } = run(&std::env::temp_dir(), &args, "", common::DEMO_ZONE);
        assert_eq!((code, stderr.as_str()), (Some(0), ""), "{command:?}");
        let name = if command.is_empty() { "help".to_owned() } else { format!("help-{}", command.join("-")) };
        common::snapshot(&name, &help);
        for sub in subcommands(&help) {
            open.push([command.clone(), vec![sub]].concat());
        }
        seen += 1;
    }
    assert!(seen >= 9, "only {seen} commands found");
}

/// The names under `Commands:` of a help text.
fn subcommands(help: &str) -> Vec<String> {
    help.lines()
        .skip_while(|line| *line != "Commands:")
        .skip(1)
        .take_while(|line| line.starts_with("  "))
        .filter(|line| !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next())
        .filter(|name| *name != "help")
        .map(str::to_owned)
        .collect()
}

/// What is said of the command line itself keeps to the colour that was asked for and to the width of the terminal.
#[test]
fn help_and_usage_errors_keep_to_colour_and_width() {
    let said = |args: &[&str], columns: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_fillward"))
            .args(args)
            .env_clear()
            .envs([("COLUMNS", columns), ("CLICOLOR_FORCE", "1"), ("TERM", "xterm")])
            .output()
            .unwrap();
        String::from_utf8([output.stdout, output.stderr].concat()).unwrap()
    };
    for args in [&["verify", "--help"][..], &["chekc"], &["check"], &["explain", "qqq"]] {
        assert!(said(&[&["--colour", "always"], args].concat(), "80").contains('\u{1b}'), "control: {args:?}");
        for never in [&["--colour", "never"][..], &["--colour=never"]] {
            assert!(!said(&[never, args].concat(), "80").contains('\u{1b}'), "{args:?}");
        }
    }
    let widest = |columns: &str| {
        let help = said(&["--colour", "never", "sign", "--help"], columns);
        // The line of usage is one word to the argument reader.
        help.lines().filter(|line| !line.starts_with("Usage: ")).map(|line| line.chars().count()).max().unwrap()
    };
    assert!(widest("50") <= 50 && widest("100") > 80 && widest("200") <= 100);
}
