//! `fillward figures`: what can be computed from a record.

use clap::{Args, ValueEnum};
use fillward::explain;

use super::Exit;
use super::failure::Failure;
use super::input;
use super::output::{self, Terminal};

/// The forms of the figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum FiguresFormat {
    /// For people, with bars
    Human,
    /// For programs
    Json,
}

#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    judged: input::Judged,
    /// Every figure, with its formula, its inputs and the unit of the other system; the JSON form has always all
    #[arg(long)]
    all: bool,
    /// The form of the figures
    #[arg(long, value_name = "FORM", default_value = "human")]
    format: FiguresFormat,
}

pub(crate) fn run(arguments: &Arguments, terminal: Terminal) -> Result<Exit, Failure> {
    let case = arguments.judged.case()?;
    let scene = case.scene();
    output::report(&match arguments.format {
        FiguresFormat::Human => explain::figures(&scene, terminal.look().width, arguments.all),
        FiguresFormat::Json => explain::figures_json(&scene)?,
    })?;
    Ok(Exit::Pass)
}
