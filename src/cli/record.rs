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
        /// Take over from this record what holds for the shop; all that must be looked at again is left open
        #[arg(long, value_name = "RECORD")]
        from: Option<PathBuf>,
        /// A local pack whose own facts the record is to have; may be given several times
        #[arg(long, value_name = "FILE")]
        pack: Vec<PathBuf>,
    },
}

pub(crate) fn run(command: &Command) -> Result<Exit, Failure> {
    let Command::New { from, pack } = command;
    let packs = input::packs(pack)?;
    let text = match from {
        Some(path) => {
            let document = input::source(path)?.document()?;
            // What is no record has no facts to take over; nothing of it is guessed at.
            record::read_anywhere(&document, packs.catalogue())?;
            record::reuse_template(&document, packs.catalogue())
        }
        None => record::blank_template(packs.catalogue()),
    };
    output::report(&text)?;
    Ok(Exit::Pass)
}
