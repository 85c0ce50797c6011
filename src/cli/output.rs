//! The terminal: reports to standard output, failures to standard error, colour decided once.

use std::env;
use std::ffi::OsString;
use std::io::{self, IsTerminal as _, Write as _};
use std::path::Path;

use clap::{ColorChoice, ValueEnum};
use fillward::desk::SignerName;
use fillward::document::prose::{laid_out, whole};
use fillward::document::{Fault, Framed};
use fillward::explain::CAUTION;
use fillward::vocabulary::{quoted, shown};
use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme, ThemeCharacters, ThemeStyles};
use textwrap::{WordSeparator, WordSplitter};

use super::failure::Failure;
use super::failure::alike::{self, ShownFault};

/// When colour is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Colour {
    /// Where the output is a terminal that can show it
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

impl Colour {
    /// What was typed for `--colour`, before the rest of the command line is known to be in order.
    pub(crate) fn typed(words: &[OsString]) -> Self {
        let words: Vec<&str> = words.iter().filter_map(|word| word.to_str()).take_while(|word| *word != "--").collect();
        let next =
            words.iter().zip(words.iter().skip(1)).filter(|(word, _)| **word == "--colour").map(|(_, when)| *when);
        let joined = words.iter().filter_map(|word| word.strip_prefix("--colour="));
        next.chain(joined).find_map(|when| Self::from_str(when, false).ok()).unwrap_or(Self::Auto)
    }
}

impl From<Colour> for ColorChoice {
    fn from(colour: Colour) -> Self {
        match colour {
            Colour::Auto => Self::Auto,
            Colour::Always => Self::Always,
            Colour::Never => Self::Never,
        }
    }
}

/// Narrower than this nothing can be laid out; wider lines are hard to read.
const WIDTHS: std::ops::RangeInclusive<usize> = 40..=100;

/// Where nothing says how wide the terminal is.
const USUAL_WIDTH: usize = 80;

/// Said last wherever a record was to be judged or signed and was not.
pub(crate) const DO_NOT_START: &str = "Do not start the pump.";

/// How a failure of a command is told: what did not come about, and what the person who stands at the pump reads last.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Telling {
    /// Such as `NOT JUDGED`.
    pub(crate) heading: &'static str,
    /// A sentence of its own at the end.
    pub(crate) last: Option<&'static str>,
}

/// Where and how a command speaks.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Terminal {
    colour_out: bool,
    colour_err: bool,
    width: usize,
    /// Whether what people read goes to standard error, since the report is for a program.
    beside: bool,
}

impl Terminal {
    pub(crate) fn new(colour: Colour) -> Self {
        Self {
            colour_out: wants_colour(colour, io::stdout().is_terminal()),
            colour_err: wants_colour(colour, io::stderr().is_terminal()),
            width: width(),
            beside: false,
        }
    }

    /// The same, for a command whose report is for a program: what people read goes to standard error.
    pub(crate) const fn beside_report(self) -> Self {
        Self { beside: true, ..self }
    }

    /// How a report for people is drawn.
    pub(crate) fn look(self) -> fillward::explain::Layout {
        fillward::explain::Layout { width: self.width, colour: self.colour_out }
    }

    /// Writes a failure with its places and cures.
    pub(crate) fn failure(self, failure: &Failure, telling: Telling) {
        let Telling { heading, last } = match failure {
            Failure::AfterSigning(_) => Telling { heading: "NOT VERIFIED", last: Some(DO_NOT_START) },
            _ => telling,
        };
        // What was signed is not told as if it were not.
        let head = failure.headed(heading);
        let failure = if let Failure::AfterSigning(failure) = failure { failure } else { failure };
        let styles = if self.colour_err { ThemeStyles::ansi() } else { ThemeStyles::none() };
        let theme = |word: &str| {
            let mut characters = ThemeCharacters::unicode();
            word.clone_into(&mut characters.error);
            GraphicalTheme { characters, styles: styles.clone() }
        };
        let mut drawn = String::new();
        match failure {
            Failure::Invalid { faults } => {
                let count = if faults.len() == 1 { "one fault".to_owned() } else { format!("{} faults", faults.len()) };
                drawn = format!("{heading}: {count} in the input\n");
                for ShownFault { fault, further } in alike::shown(faults) {
                    drawn.push('\n');
                    drawn.push_str(&draw(&Framed::new(fault, self.width), theme("FAULT"), self.width));
                    if let Some(further) = further {
                        drawn = format!("{drawn}\n{}\n", laid_out(&further, self.width, "  ", "  "));
                    }
                }
            }
            Failure::Integrity(reasons) | Failure::TrustOrder(reasons) | Failure::Trust { reasons, .. } => {
                drawn = format!("{head}\n");
                for reason in reasons {
                    drawn = format!("{drawn}\n{reason} ({})\n  {}\n", reason.code(), shown(&reason.help()));
                }
                drawn = wrapped(&drawn, self.width);
            }
            failure => drawn.push_str(&draw(failure, theme(&format!("{heading}:")), self.width)),
        }
        if let Some(last) = last {
            drawn = format!("{drawn}\n{last}\n");
        }
        // Where even standard error is gone, the exit code still tells.
        let _ = io::stderr().lock().write_all(drawn.as_bytes());
    }

    /// Writes a report whose lines are prose, each wrapped to the terminal.
    pub(crate) fn prose(self, text: &str) -> Result<(), Failure> {
        let text = wrapped(text, self.width);
        if self.beside { io::stderr().write_all(text.as_bytes()).map_err(Failure::Unwritable) } else { report(&text) }
    }

    /// Says something beside what was asked for, where it disturbs no report.
    pub(crate) fn aside(self, text: &str) {
        said_beside(text, self.width);
    }

    /// The caution that stands under every verdict.
    pub(crate) fn caution(self) -> String {
        laid_out(CAUTION, self.width, "", "")
    }

    /// Writes a fault of a command's report, such as one of a pack that was to be checked.
    pub(crate) fn fault(self, fault: &Fault) -> Result<(), Failure> {
        let styles = if self.colour_out { ThemeStyles::ansi() } else { ThemeStyles::none() };
        let theme = GraphicalTheme { characters: ThemeCharacters::unicode(), styles };
        report(&draw(&Framed::new(fault, self.width), theme, self.width))
    }
}

/// Says something beside what was asked for, where no terminal is at hand: no wider than it is.
pub(crate) fn beside(text: &str) {
    said_beside(text, width());
}

fn said_beside(text: &str, width: usize) {
    let _ = write!(io::stderr(), "{}", wrapped(&format!("{text}\n"), width));
}

/// Writes a report. A reader that has gone away is a quiet end.
pub(crate) fn report(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(Failure::Unwritable(error)),
        _ => Ok(()),
    }
}

/// Who signed: the person, or the key where nobody is known to hold it.
pub(crate) fn signer_name(SignerName { kid, person }: &SignerName) -> String {
    person.clone().unwrap_or_else(|| format!("the key `{kid}`"))
}

/// Every line wrapped at its blanks, words whole.
fn wrapped(text: &str, width: usize) -> String {
    let mut out = String::new();
    for line in text.lines() {
        out.push_str(hanging(line, width, laid_out).trim_end_matches(' '));
        out.push('\n');
    }
    out
}

/// A line laid out in a width; what it goes on with is set further in than it begins, so that it is not taken for a line of
/// its own.
pub(crate) fn hanging(line: &str, width: usize, lay: impl Fn(&str, usize, &str, &str) -> String) -> String {
    let words = line.trim_start_matches(' ');
    let (indent, _) = line.split_at(line.len() - words.len());
    lay(words, width, indent, &format!("{indent}  "))
}

fn draw(diagnostic: &dyn Diagnostic, theme: GraphicalTheme, width: usize) -> String {
    let mut drawn = String::new();
    // Lines end at blanks only: the person who copies a value from a cure must not find a hyphen of it at the end of a line.
    let handler = GraphicalReportHandler::new_themed(theme)
        .with_width(width)
        .with_links(false)
        .with_word_separator(WordSeparator::AsciiSpace)
        .with_word_splitter(WordSplitter::NoHyphenation);
    if handler.render_report(&mut drawn, diagnostic).is_err() {
        drawn = format!("{diagnostic}\n");
    }
    let trimmed: Vec<&str> = drawn.lines().map(str::trim_end).collect();
    trimmed.join("\n") + "\n"
}

fn is_set(name: &str) -> bool {
    env::var_os(name).is_some_and(|value| !value.is_empty())
}

/// The user's word first, then the two conventions of the environment, then what the stream is.
fn wants_colour(colour: Colour, is_terminal: bool) -> bool {
    match colour {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto if is_set("NO_COLOR") => false,
        Colour::Auto if is_set("CLICOLOR_FORCE") || is_set("FORCE_COLOR") => true,
        Colour::Auto => is_terminal && env::var_os("TERM").is_none_or(|term| term != "dumb"),
    }
}

/// The columns that everything keeps to.
pub(crate) fn width() -> usize {
    let stated = env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
    let measured = || terminal_size::terminal_size().map(|(columns, _)| usize::from(columns.0));
    let width = stated.or_else(measured).unwrap_or(USUAL_WIDTH);
    width.clamp(*WIDTHS.start(), *WIDTHS.end())
}

/// A number with its noun.
pub(crate) fn counted(count: usize, noun: &str) -> String {
    if count == 1 { format!("1 {noun}") } else { format!("{count} {noun}s") }
}

/// The name of a file in quotation marks, on one line.
pub(crate) fn named(path: &Path) -> String {
    whole(&quoted(&path.display().to_string()))
}
