//! `fillward shop`: starting a shop file.

use std::path::PathBuf;

use clap::Subcommand;
use fillward::record::shop;

use super::failure::Failure;
use super::{Exit, input, output};

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Write a shop file to fill in, every entry explained, to standard output: `fillward shop new > shop.yaml`
    New {
        /// A local pack whose own facts the shop file is to have; may be given several times
        #[arg(long, value_name = "FILE")]
        pack: Vec<PathBuf>,
    },
}

pub(crate) fn run(command: &Command) -> Result<Exit, Failure> {
    let Command::New { pack } = command;
    output::report(&shop::blank_template(input::packs(pack)?.catalogue()))?;
    Ok(Exit::Pass)
}
