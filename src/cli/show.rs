//! `fillward show`: what a signed checklist says, as a page for people.

mod columns;
pub(crate) mod lines;
mod page;
mod values;

use std::path::PathBuf;

use clap::Args;
use fillward::desk::{self, Answer, Purpose, ShowOrder, VerifyOrder};

use super::failure::Failure;
use super::files::DESK;
use super::output::{self, Terminal};
use super::trust::TrustArguments;
use super::{Exit, input};

#[derive(Debug, Args)]
#[command(mut_arg("trust", |trust| trust.required(false).help("The shop's signed trust file, which names who signed; by it the page says first whether the file is to be relied on")))]
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
    /// Show everything that was looked at, each with its value, bounds, rule and source: some thousand lines. Without
    /// this the first page is shown, which counts them
    #[arg(long)]
    full: bool,
}

pub(crate) fn run(arguments: &Arguments, terminal: Terminal) -> Result<Exit, Failure> {
    let order = ShowOrder {
        checklist: input::source(&arguments.checklist)?,
        packs: input::sources(&arguments.pack)?,
        editions: super::verify::editions(&arguments.edition)?,
        trust: arguments.trust.as_ref().map(|trust| trust.open(Purpose::Look)).transpose()?,
    };
    let shown = desk::show(&order)?;
    let verified = match order.trust {
        None => None,
        Some(trust) => {
            let (packs, editions) = (order.packs, order.editions);
            let question = VerifyOrder { packs, editions, ..VerifyOrder::default() };
            let against = DESK.against(question, trust)?;
            let seen = against.look_at(&order.checklist)?;
            Some(DESK.answer(&against, order.checklist.name, seen))
        }
    };
    let worth = verified.as_ref().map(super::verify::worth);
    let page = if arguments.full { page::page } else { page::first_page };
    output::report(&page(&shown, worth.as_deref(), terminal.look().width))?;
    Ok(match verified.map(|verified| verified.answer) {
        _ if !shown.contradictions.is_empty() => Exit::Integrity,
        Some(Answer::Doubtful) => Exit::Integrity,
        // A page of a file says yes where nothing speaks against the file; of nobody knows whose, or of another shop,
        // that is not known.
        Some(Answer::OwnerNotAccepted | Answer::DoesNotFit) => Exit::Hold,
        _ => Exit::Pass,
    })
}
