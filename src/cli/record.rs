//! `fillward record`: starting a record.

use std::path::PathBuf;

use clap::Subcommand;
use fillward::document::{Code, Document};
use fillward::record;
use fillward::units::Zone;

use super::failure::Failure;
use super::files::DESK;
use super::{Exit, input, output};

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Write a record to fill in, every fact explained, to standard output; with a shop file a short one
    New {
        /// Take over from this record what holds for the shop; all that must be looked at again is left open
        #[arg(long, value_name = "RECORD")]
        from: Option<PathBuf>,
        #[command(flatten)]
        shop: input::ShopFile,
        /// A local pack whose own facts the record is to have; may be given several times
        #[arg(long, value_name = "FILE")]
        pack: Vec<PathBuf>,
    },
}

/// Faults beside which nothing else need be said of a file.
const SAYS_ALL: [Code; 2] = [Code::ShopNotGiven, Code::DocumentOtherFile];

pub(crate) fn run(command: &Command) -> Result<Exit, Failure> {
    let Command::New { from, shop, pack } = command;
    let packs = input::packs(pack)?;
    let (catalogue, shop) = (packs.catalogue(), shop.read()?);
    let old = from.as_ref().map(|path| input::source(path)?.document().map_err(Failure::from)).transpose()?;
    let text = match (&shop, &old) {
        (None, None) => record::blank_template(catalogue),
        (None, Some(old)) => {
            // What is no record has no facts to take over; nothing of it is guessed at. What names entries of a shop file is
            // asked for that file, and for nothing else.
            let zone = Zone::universal();
            let at = record::shop::end_of_its_day(old, &zone).map_or_else(|| DESK.now(&zone), Ok)?;
            let whole = record::shop::expand(old.clone(), None, &packs, &zone, at);
            match whole {
                Err(faults) if faults.iter().any(|fault| SAYS_ALL.contains(&fault.code())) => return Err(faults.into()),
                Ok(whole) => record::read_anywhere(&whole.document, catalogue)?,
                Err(_) => record::read_anywhere(old, catalogue)?,
            };
            record::reuse_template(old, catalogue)
        }
        (Some(shop), old) => {
            // A slip in an entry is found before somebody names it.
            shop.read_values(catalogue)?;
            if let Some(old) = old {
                let zone = shop.zone();
                let at = record::shop::end_of_its_day(old, zone).map_or_else(|| DESK.now(zone), Ok)?;
                let whole = record::shop::expand(old.clone(), Some(shop), &packs, zone, at)?;
                record::read_anywhere(&whole.document, catalogue)?;
            }
            record::shop::blank_short_template(catalogue, shop, old.as_ref().map(Document::root))
        }
    };
    output::report(&text)?;
    Ok(Exit::Pass)
}
