//! The edge: arguments, files, clock, terminal and exit codes. Nothing below this floor knows any of them.

mod ask;
mod check;
mod explain;
mod failure;
mod figures;
mod files;
mod input;
mod key;
mod members;
mod output;
mod pack;
mod permit;
mod record;
mod schema;
mod secret;
mod settings;
mod shop;
mod show;
mod sign;
mod trust;
mod verify;

use std::env;
use std::ffi::OsString;
use std::mem;
use std::panic::{self, PanicHookInfo};
use std::path::PathBuf;
use std::process::{self, ExitCode};

use clap::{CommandFactory, FromArgMatches as _, Parser, Subcommand};

use failure::Failure;
use output::{Colour, Telling, Terminal};

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Exit {
    /// PASS, or all in order.
    Pass,
    /// HOLD, or a fault was found.
    Hold,
    /// Not judged: usage, unreadable or invalid input, input or output failed.
    NotJudged,
    /// Integrity failed: a signature, a key, a digest, a permit or the trust file is not in order.
    Integrity,
}

impl Exit {
    /// The code that the system is given.
    const fn code(self) -> u8 {
        match self {
            Self::Pass => 0,
            Self::Hold => 1,
            Self::NotJudged => 2,
            Self::Integrity => 3,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit.code())
    }
}

/// The hold point before the pump: checks a tyre-fill job record against rule packs and answers PASS or HOLD
#[derive(Debug, Parser)]
#[command(name = "fillward", version, about, after_help = AFTER_HELP)]
struct Arguments<C: Subcommand = Command> {
    /// When to use colour; nothing is said by colour alone
    #[arg(long, global = true, value_name = "WHEN", default_value = "auto")]
    colour: Colour,

    /// The settings of the shop: trust file, owners, key, shop file and packs, where the command line does not give them;
    /// also taken from the variable `FILLWARD_SETTINGS`
    #[arg(long, global = true, value_name = "FILE")]
    settings: Option<PathBuf>,

    #[command(subcommand)]
    command: C,
}

const AFTER_HELP: &str = "Exit codes:
  0  PASS, or all in order
  1  HOLD, or a fault was found
  2  not judged: usage, unreadable or invalid input, input or output failed
  3  integrity failure: a signature, a key, a digest, a permit or the trust file
     is not in order, or a permit is asked for that the rule does not allow

A time is written like 2026-03-04T09:30:00-06:00, by the clock of the shop's time zone.

A check does not replace the makers' instructions, the safety data sheets,
local codes or trained judgement.";

/// Of the commands that were not typed, the arguments are not even declared. What several commands share has plain comments:
/// a doc comment of theirs would stand in the help of each in the place of its own.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
enum Command {
    /// Check a job record and say PASS or HOLD, with reasons
    Check(check::Arguments),
    /// Show what can be computed from a record: volumes, masses, pressures, times
    Figures(figures::Arguments),
    /// Show the page of a rule: what it demands, why, and what to do
    Explain(explain::Arguments),
    /// Start a job record
    #[command(subcommand)]
    Record(record::Command),
    /// Start a shop file: what lasts in a shop, for short records
    #[command(subcommand)]
    Shop(shop::Command),
    /// Work on rule packs
    #[command(subcommand)]
    Pack(pack::Command),
    /// Check a record again and sign the checklist that lets work go past its hold point
    Sign(Box<sign::Arguments>),
    /// Add the signature of a second person to a checklist
    Countersign(Box<sign::CountersignArguments>),
    /// Ask for, or give, a signed permit to go on in spite of one broken rule for a while
    #[command(subcommand)]
    Permit(permit::Command),
    /// Verify checklists: whether work may go on by them, or what stands against it
    Verify(Box<verify::Arguments>),
    /// Show what a signed checklist says, as a page for people; it decides nothing
    Show(Box<show::Arguments>),
    /// Make keys and show their fingerprints
    #[command(subcommand)]
    Key(key::Command),
    /// Sign and show the shop's trust file
    #[command(subcommand)]
    Trust(trust::Command),
    /// Print a published JSON Schema, for editors and other programs
    Schema(schema::Arguments),
    /// Print completions for a shell
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
}

/// The commands that are run often, in scripts too. To declare all commands takes longer than to read the arguments of one.
#[derive(Debug, Subcommand)]
#[command(defer = true)]
enum Often {
    Check(check::Arguments),
    Verify(Box<verify::Arguments>),
}

impl From<Often> for Command {
    fn from(often: Often) -> Self {
        match often {
            Often::Check(arguments) => Self::Check(arguments),
            Often::Verify(arguments) => Self::Verify(arguments),
        }
    }
}

impl Command {
    /// How a failure of the command is told.
    const fn telling(&self) -> Telling {
        match self {
            Self::Check(check) => Telling { heading: "NOT JUDGED", last: Some(check.point().stop()) },
            Self::Figures(_) | Self::Pack(_) => Telling { heading: "NOT JUDGED", last: None },
            Self::Sign(_) | Self::Countersign(_) => Telling { heading: "NOT SIGNED", last: Some(sign::NOTHING_SIGNED) },
            Self::Permit(permit::Command::Ask(_) | permit::Command::Give(_) | permit::Command::Write(_))
            | Self::Trust(trust::Command::Sign { .. } | trust::Command::Edit(_) | trust::Command::Approve { .. }) => {
                Telling { heading: "NOT SIGNED", last: None }
            }
            Self::Verify(_) => Telling { heading: "NOT VERIFIED", last: Some(output::DO_NOT_START) },
            Self::Explain(_)
            | Self::Record(_)
            | Self::Shop(_)
            | Self::Show(_)
            | Self::Key(_)
            | Self::Permit(permit::Command::Show(_))
            | Self::Trust(_)
            | Self::Schema(_)
            | Self::Completions { .. } => Telling { heading: "NOT DONE", last: None },
        }
    }
}

/// Tells a fault of the program itself, and ends it there: no half of an answer goes on, and the system keeps no image of a
/// memory in which a passphrase may stand.
#[expect(clippy::exit, reason = "nothing that goes on may be relied on")]
fn end_at_own_fault(fault: &PanicHookInfo<'_>) {
    let words: Vec<OsString> = env::args_os().collect();
    let failure = Failure::of_its_own(fault);
    Terminal::new(Colour::typed(&words)).failure(&failure, telling_of(&words));
    process::exit(failure.exit().code().into());
}

/// Runs the command that was typed.
pub(crate) fn run() -> Exit {
    panic::set_hook(Box::new(end_at_own_fault));
    let words: Vec<OsString> = env::args_os().collect();
    let (colour, typed) = (Colour::typed(&words), words.clone());
    let filled = match settings::fill(Arguments::<Command>::command, words) {
        Ok(filled) => filled,
        Err(failure) => {
            unanswered(&typed, &failure);
            Terminal::new(colour).failure(&failure, telling_of(&typed));
            return failure.exit();
        }
    };
    let arguments = match read(filled.words) {
        Ok(arguments) => arguments,
        Err(error) => {
            // Help and version are no faults.
            if !error.use_stderr() {
                return if error.print().is_ok() { Exit::Pass } else { Exit::NotJudged };
            }
            let failure = misused(&error);
            unanswered(&typed, &failure);
            Terminal::new(colour).failure(&failure, telling_of(&typed));
            return failure.exit();
        }
    };
    let terminal = Terminal::new(arguments.colour);
    let telling = arguments.command.telling();
    if let Some(told) = filled.told {
        terminal.aside(&told);
    }
    let outcome = match arguments.command {
        Command::Check(arguments) => check::run(&arguments, terminal),
        Command::Figures(arguments) => figures::run(&arguments, terminal),
        Command::Explain(arguments) => explain::run(&arguments, terminal),
        Command::Record(command) => record::run(&command),
        Command::Shop(command) => shop::run(&command, terminal),
        Command::Pack(command) => pack::run(&command, terminal),
        Command::Sign(arguments) => sign::run(&arguments, terminal),
        Command::Countersign(arguments) => sign::countersign(&arguments, terminal),
        Command::Permit(command) => permit::run(&command, terminal),
        Command::Verify(arguments) => verify::run(&arguments, terminal),
        Command::Show(arguments) => show::run(&arguments, terminal),
        Command::Key(command) => key::run(&command, terminal),
        Command::Trust(command) => trust::run(&command, terminal),
        Command::Schema(arguments) => schema::run(arguments),
        Command::Completions { shell } => completions(shell),
    };
    match outcome {
        Ok(exit) => exit,
        Err(failure) => {
            terminal.failure(&failure, telling);
            failure.exit()
        }
    }
}

/// What the argument reader says, as a failure like any other.
fn misused(error: &clap::Error) -> Failure {
    let said = error.render().to_string();
    let flat = |part: &str| part.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut parts = said.split("\n\n").map(flat).filter(|part| !part.is_empty());
    let message = parts.next().unwrap_or_default();
    let help: Vec<String> = parts.filter(|part| !part.starts_with("For more information")).collect();
    let further = "`--help` behind the command lists what it takes".to_owned();
    Failure::Usage {
        message: message.strip_prefix("error: ").unwrap_or(&message).to_owned(),
        help: help.into_iter().chain([further]).collect::<Vec<_>>().join("; "),
    }
}

/// How it is told that a command line cannot be read or filled in, by the command that stands in it.
fn telling_of(words: &[OsString]) -> Telling {
    let typed: Vec<&str> = words.iter().skip(1).filter_map(|word| word.to_str()).collect();
    let is = |command: &&str| typed.contains(command);
    let signs = ["sign", "approve", "new", "add", "retire", "revoke", "renew", "rename", "ask", "give", "write"];
    let told = ["check", "figures", "pack", "trust", "permit", "sign", "countersign", "verify"];
    match typed.iter().find(|word| told.contains(word)) {
        Some(&"check") => Telling { heading: "NOT JUDGED", last: Some(output::DO_NOT_START) },
        Some(&("figures" | "pack")) => Telling { heading: "NOT JUDGED", last: None },
        Some(&"verify") => Telling { heading: "NOT VERIFIED", last: Some(output::DO_NOT_START) },
        Some(&("sign" | "countersign")) => Telling { heading: "NOT SIGNED", last: Some(sign::NOTHING_SIGNED) },
        Some(&("trust" | "permit")) if signs.iter().any(is) => Telling { heading: "NOT SIGNED", last: None },
        _ => Telling { heading: "NOT DONE", last: None },
    }
}

/// Tells a program that there is no answer, and why, where the command line could not be read or filled in: as far as it
/// says what form was asked for.
fn unanswered(words: &[OsString], failure: &Failure) {
    let command = Arguments::<Command>::command().ignore_errors(true);
    let Ok(matches) = command.try_get_matches_from(words) else { return };
    match matches.subcommand() {
        Some(("verify", typed)) => verify::unanswered_as_typed(typed, failure),
        Some(("sign", typed)) => sign::unanswered_as_typed(typed, failure),
        _ => {}
    }
}

/// Takes the command line apart. Help and usage errors keep to the colour and the width of everything else.
fn read(words: Vec<OsString>) -> Result<Arguments, clap::Error> {
    if let Some(arguments) = read_often(&words) {
        return Ok(arguments);
    }
    let mut command = Arguments::<Command>::command().color(Colour::typed(&words).into()).term_width(output::width());
    let mut matches = command.try_get_matches_from_mut(words)?;
    Arguments::from_arg_matches_mut(&mut matches).map_err(|error| error.format(&mut command))
}

/// Takes the command line of a command that is run often apart; nothing where it is another one, or where there is anything
/// to say of the command line.
fn read_often(words: &[OsString]) -> Option<Arguments> {
    words.get(1).filter(|word| ["check", "verify"].into_iter().any(|often| *word == often))?;
    let mut command = Arguments::<Often>::command();
    let mut matches = command.try_get_matches_from_mut(words).ok()?;
    let Arguments { colour, settings, command: typed } = Arguments::<Often>::from_arg_matches_mut(&mut matches).ok()?;
    // The process gives all of it back at its end, at once.
    mem::forget(command);
    Some(Arguments { colour, settings, command: typed.into() })
}

fn completions(shell: clap_complete::Shell) -> Result<Exit, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Arguments::<Command>::command(), "fillward", &mut script);
    output::report(&String::from_utf8_lossy(&script))?;
    Ok(Exit::Pass)
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    #[test]
    fn the_arguments_are_consistent_and_all_explained() {
        super::Arguments::<super::Command>::command().help_expected(true).debug_assert();
    }
}
