//! `fillward record`: starting a record.

use std::path::PathBuf;

use clap::Subcommand;
use fillward::record;

use super::failure::Failure;
use super::{Exit, input, output};

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Write a record to fill in, every fact explained, to standard output
    New {
        /// Take over the shop's lasting facts from this record; what is true of one day only is left open
        #[arg(long, value_name = "RECORD")]
        from: Option<PathBuf>,
    },
}

pub(crate) fn run(command: &Command) -> Result<Exit, Failure> {
    let Command::New { from } = command;
    let text = match from {
        Some(path) => record::reuse_template(&input::document(path)?),
        None => record::blank_template(),
    };
    output::report(&text)?;
    Ok(Exit::Pass)
}
