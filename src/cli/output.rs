//! The terminal: reports to standard output, failures to standard error, colour decided once.

use std::env;
use std::io::{self, IsTerminal as _, Write as _};

use fillward::checklist::canonical::shown;
use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme, ThemeCharacters, ThemeStyles};

use super::failure::Failure;

/// When colour is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(crate) enum Colour {
    /// Where the output is a terminal that can show it
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

/// Narrower than this nothing can be laid out; wider lines are hard to read.
const WIDTHS: std::ops::RangeInclusive<usize> = 40..=100;

/// Where nothing says how wide the terminal is.
const USUAL_WIDTH: usize = 80;

/// Said last wherever a record was to be judged or signed and was not.
pub(crate) const DO_NOT_START: &str = "Do not start the pump.";

/// How a failure of a command is told: what did not come about, and what whoever stands at the pump reads last.
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
}

impl Terminal {
    pub(crate) fn new(colour: Colour) -> Self {
        Self {
            colour_out: wants_colour(colour, io::stdout().is_terminal()),
            colour_err: wants_colour(colour, io::stderr().is_terminal()),
            width: width(),
        }
    }

    /// How a report for people is drawn.
    pub(crate) fn look(self) -> fillward::explain::Look {
        fillward::explain::Look { width: self.width, colour: self.colour_out }
    }

    /// Writes a failure with its places and cures.
    pub(crate) fn failure(self, failure: &Failure, telling: Telling) {
        let (failure, Telling { heading, last }) = match failure {
            Failure::AfterSigning(failure) => {
                (&**failure, Telling { heading: "NOT VERIFIED", last: Some(DO_NOT_START) })
            }
            failure => (failure, telling),
        };
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
                for fault in faults {
                    drawn.push('\n');
                    drawn.push_str(&draw(fault, theme("FAULT"), self.width));
                }
            }
            Failure::Integrity(reasons) | Failure::Trust { reasons, .. } => {
                drawn = format!("{heading}: {failure}\n");
                for reason in reasons {
                    drawn = format!("{drawn}\n{}\n  {reason}\n  {}\n", reason.code(), shown(reason.help()));
                }
            }
            failure => drawn.push_str(&draw(failure, theme(&format!("{heading}:")), self.width)),
        }
        if let Some(last) = last {
            drawn = format!("{drawn}\n{last}\n");
        }
        // Where even standard error is gone, the exit code still tells.
        let _ = io::stderr().lock().write_all(drawn.as_bytes());
    }

    /// Writes a diagnostic of a command's report, such as a fault of a pack that was to be checked.
    pub(crate) fn diagnostic(self, diagnostic: &dyn Diagnostic) -> Result<(), Failure> {
        let styles = if self.colour_out { ThemeStyles::ansi() } else { ThemeStyles::none() };
        let theme = GraphicalTheme { characters: ThemeCharacters::unicode(), styles };
        report(&draw(diagnostic, theme, self.width))
    }
}

/// Writes a report. A reader that has gone away is a quiet end.
pub(crate) fn report(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(Failure::Unwritable(error)),
        _ => Ok(()),
    }
}

fn draw(diagnostic: &dyn Diagnostic, theme: GraphicalTheme, width: usize) -> String {
    let mut drawn = String::new();
    let handler = GraphicalReportHandler::new_themed(theme).with_width(width).with_links(false);
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

fn width() -> usize {
    let stated = env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
    let measured = || terminal_size::terminal_size().map(|(columns, _)| usize::from(columns.0));
    let width = stated.or_else(measured).unwrap_or(USUAL_WIDTH);
    width.clamp(*WIDTHS.start(), *WIDTHS.end())
}
