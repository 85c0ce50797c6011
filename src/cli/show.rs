//! `fillward show`: what a signed checklist says, as a page for people.

mod columns;
pub(crate) mod lines;
mod page;

use std::path::PathBuf;

use clap::Args;
use fillward::desk::{self, Purpose, ShowOrder};

use super::failure::Failure;
use super::output::{self, Terminal};
use super::trust::TrustArguments;
use super::{Exit, input};

#[derive(Debug, Args)]
#[command(mut_arg("trust", |trust| trust.required(false).help("The shop's signed trust file, which names who signed")))]
pub(crate) struct Arguments {
    /// The checklist
    checklist: PathBuf,
    #[command(flatten)]
    trust: Option<TrustArguments>,
    /// A local pack that judged as well, so that its rules are shown with their sources; may be given several times
    #[arg(long, value_name = "FILE")]
    pack: Vec<PathBuf>,
    /// A pack in an edition that is no longer in force, as a folder of its files or as its one file; may be given several
    /// times
    #[arg(long, value_name = "PACK")]
    edition: Vec<PathBuf>,
}

pub(crate) fn run(arguments: &Arguments, terminal: Terminal) -> Result<Exit, Failure> {
    let order = ShowOrder {
        checklist: input::source(&arguments.checklist)?,
        packs: input::sources(&arguments.pack)?,
        editions: super::verify::editions(&arguments.edition)?,
        trust: arguments.trust.as_ref().map(|trust| trust.open(Purpose::Look)).transpose()?,
    };
    output::report(&page::page(&desk::show(&order)?, terminal.look().width))?;
    Ok(Exit::Pass)
}
