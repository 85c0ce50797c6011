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
        /// Take over the shop's lasting facts from this record; what is true of one job only is left open
        #[arg(long, value_name = "RECORD")]
        from: Option<PathBuf>,
        /// A local pack that declares facts of that record; may be given several times
        #[arg(long, value_name = "FILE", requires = "from")]
        pack: Vec<PathBuf>,
    },
}

pub(crate) fn run(command: &Command) -> Result<Exit, Failure> {
    let Command::New { from, pack } = command;
    let text = match from {
        Some(path) => {
            let document = input::source(path)?.document()?;
            // What is no record has no facts to take over; nothing of it is guessed at.
            record::read_anywhere(&document, input::packs(pack)?.catalogue())?;
            record::reuse_template(&document)
        }
        None => record::blank_template(),
    };
    output::report(&text)?;
    Ok(Exit::Pass)
}
