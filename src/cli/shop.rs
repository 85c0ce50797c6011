//! `fillward shop`: starting a shop file, and reading the whole of one.

use std::path::PathBuf;

use clap::Subcommand;
use fillward::record::shop::{self, Shop};

use super::failure::Failure;
use super::output::Terminal;
use super::{Exit, input, output};

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Write a shop file to fill in, every entry explained, to standard output: `fillward shop new > shop.yaml`
    New {
        /// A local pack whose own facts the shop file is to have; may be given several times
        #[arg(long, value_name = "FILE")]
        pack: Vec<PathBuf>,
    },
    /// Read every value of a shop file, whether or not a record draws on it; a check of a job reads what its record names
    Check {
        /// The shop file
        #[arg(value_name = "FILE")]
        file: PathBuf,
        /// A local pack whose own facts the shop file has; may be given several times
        #[arg(long, value_name = "FILE")]
        pack: Vec<PathBuf>,
    },
}

pub(crate) fn run(command: &Command, terminal: Terminal) -> Result<Exit, Failure> {
    match command {
        Command::New { pack } => output::report(&shop::blank_template(input::packs(pack)?.catalogue()))?,
        Command::Check { file, pack } => {
            let packs = input::packs(pack)?;
            let shop = Shop::read(input::source(file)?.document()?)?;
            let entries = shop.read_values(packs.catalogue())?;
            let count = if entries == 1 { "one entry".to_owned() } else { format!("{entries} entries") };
            let empty = shop.left_empty();
            let head = if empty.is_empty() { "In order" } else { "Not filled in, and for the rest in order" };
            let source = shop.document().source();
            let lines = empty.iter().map(|one| {
                let (line, _) = source.line_and_column(one.span.start);
                let of = one.of.as_ref().map(|(one, mark)| format!("{one} `{mark}`: ")).unwrap_or_default();
                format!("- {of}`{}` (line {line})\n", one.place)
            });
            let left =
                if empty.is_empty() { "" } else { "\nLeft empty; a job that needs it is held until it is known:\n" };
            terminal.prose(&format!(
                "{head}: each value of its {count} can be read, and every mark that is named is there.\nWhether \
                 anything has run out is told by the check of a job that uses it.\n{left}{}",
                lines.collect::<String>()
            ))?;
        }
    }
    Ok(Exit::Pass)
}
