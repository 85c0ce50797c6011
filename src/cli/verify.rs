//! `fillward verify`: what checklists are worth, now.

mod cells;
mod csv;
pub(crate) mod json;
mod overview;
mod paths;
mod table;
mod text;

use std::io::{self, IsTerminal as _, Write as _};
use std::path::PathBuf;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use clap::{Args, ValueEnum};
use fillward::checklist::trust::Trust;
use fillward::desk::{Against, Answer, Purpose, Source, Verified, VerifyOrder};

use super::failure::Failure;
use super::files::DESK;
use super::output::{self, Terminal};
use super::trust::{TrustArguments, whose};
use super::{Exit, input};
use overview::Row;

pub(crate) use text::{signature, stops};

/// From so many files on a bar shows how far it is.
const MANY: usize = 50;
/// Columns of the bar.
const BAR: usize = 30;

/// How the answers are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// Each file in full
    Text,
    /// A line a file, and totals
    Table,
    /// For other programs; see `fillward schema verification`
    Json,
    /// Comma-separated values, a line a file
    Csv,
}

#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The checklists; a folder is all files in it that end in `.checklist.json`
    #[arg(required = true)]
    checklists: Vec<PathBuf>,
    #[command(flatten)]
    trust: TrustArguments,
    /// A record as it stands now, for the checklists of its job; without its own no fill may start. May be given several
    /// times, and a folder is all files in it that end in `.yaml`
    #[arg(long, value_name = "RECORD")]
    record: Vec<PathBuf>,
    #[command(flatten)]
    shop: input::ShopFile,
    /// The number of the job that is meant
    #[arg(long, value_name = "NUMBER")]
    job: Option<String>,
    /// Verify as of this instant instead of now: whether a fill could have started then, never whether it may now
    #[arg(long, value_name = "INSTANT")]
    at: Option<String>,
    /// Demand that the record inside is judged again: where the packs are not those of the checklist, that is a fault.
    /// Without this it only bars the start
    #[arg(long)]
    rejudge: bool,
    /// A local pack that judged as well; may be given several times
    #[arg(long, value_name = "FILE")]
    pack: Vec<PathBuf>,
    /// A pack in an edition that is no longer in force, as a folder of its files or as its one file; may be given several
    /// times. What it judged is judged again by it, and starts nothing
    #[arg(long, value_name = "PACK")]
    edition: Vec<PathBuf>,
    /// A checklist of a hold point before, which one of these follows; may be given several times
    #[arg(long, value_name = "FILE")]
    before: Vec<PathBuf>,
    /// How to print the answers
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

pub(crate) fn run(arguments: &Arguments, terminal: Terminal) -> Result<Exit, Failure> {
    let order = VerifyOrder {
        packs: input::sources(&arguments.pack)?,
        records: input::sources(&paths::expanded(&arguments.record, ".yaml")?)?,
        shop: arguments.shop.source()?,
        job: arguments.job.clone(),
        at: input::at(arguments.at.as_deref())?,
        editions: editions(&arguments.edition)?,
        rejudge: arguments.rejudge,
        before: input::sources(&arguments.before)?,
    };
    let checklists = paths::expanded(&arguments.checklists, ".checklist.json")?;
    let against = DESK.against(order, arguments.trust.open(Purpose::Look)?)?;
    let reports = all(&checklists, &against);
    let rows: Vec<Row> =
        checklists.into_iter().zip(reports).filter_map(|(path, report)| Some((path, report?))).collect();
    let exit = |(_, row): &Row| row.as_ref().map_or(Exit::NotJudged, |verified| of(verified.answer));
    let worst = rows.iter().map(exit).fold(Exit::Pass, worse);
    let (at, chosen) = (against.at().to_record_text(), arguments.at.is_some());
    match arguments.format {
        Format::Json => output::report(&json::json(&rows, against.trust(), &at, chosen)?)?,
        Format::Csv => output::report(&csv::csv(&rows, against.trust()))?,
        Format::Table => {
            output::report(&table::table(&rows, terminal.look().width))?;
            terminal.prose(&ending(against.trust(), chosen, terminal))?;
        }
        Format::Text => terminal.prose(&(text::text(&rows) + &ending(against.trust(), chosen, terminal)))?,
    }
    Ok(worst)
}

/// The files of editions of packs, each given by its folder or its one file.
pub(crate) fn editions(given: &[PathBuf]) -> Result<Vec<Vec<Source>>, Failure> {
    given.iter().map(|path| input::sources(&paths::expanded(std::slice::from_ref(path), ".yaml")?)).collect()
}

/// What stands under every answer that people read: by whose trust file it is, and as of when.
fn ending(trust: &Trust, chosen: bool, terminal: Terminal) -> String {
    let as_of = if chosen { "Verified as of an instant that was given, not now.\n" } else { "" };
    format!("{}{as_of}{}\n", whose(trust), terminal.caution())
}

/// Verifies the files on as many threads as the machine has cores, in the order in which they were given.
fn all(paths: &[PathBuf], against: &Against) -> Vec<Option<Result<Verified, Failure>>> {
    let next = AtomicUsize::new(0);
    let done = Mutex::new((0, paths.iter().map(|_| None).collect::<Vec<_>>()));
    let bar = paths.len() >= MANY && io::stderr().is_terminal();
    let threads =
        if paths.len() > 1 { thread::available_parallelism().map_or(1, usize::from).min(paths.len()) } else { 1 };
    let work = || {
        loop {
            let place = next.fetch_add(1, Ordering::Relaxed);
            let Some(path) = paths.get(place) else { break };
            let report = input::source(path).map(|checklist| against.verify(&checklist).without_texts());
            let Ok(mut done) = done.lock() else { break };
            done.0 += 1;
            if bar {
                draw(done.0, paths.len());
            }
            if let Some(slot) = done.1.get_mut(place) {
                *slot = Some(report);
            }
        }
    };
    // This thread works as well: one file needs no other.
    thread::scope(|scope| {
        for _ in 1..threads {
            scope.spawn(work);
        }
        work();
    });
    if bar {
        let _ = writeln!(io::stderr());
    }
    done.into_inner().map(|(_, reports)| reports).unwrap_or_default()
}

fn draw(done: usize, total: usize) {
    let full = done * BAR / total.max(1);
    let _ = write!(io::stderr(), "\r{}{} {done} of {total}", "▇".repeat(full), "·".repeat(BAR - full));
}

fn of(answer: Answer) -> Exit {
    match answer {
        Answer::MayStart => Exit::Pass,
        Answer::CouldHaveStarted { .. } | Answer::InOrder | Answer::Old | Answer::DoesNotFit => Exit::Hold,
        Answer::Doubtful => Exit::Integrity,
    }
}

/// The worse of two ends: doubt about a file before anything else, then what could not be read, then a hold.
fn worse(a: Exit, b: Exit) -> Exit {
    let rank = |exit: Exit| match exit {
        Exit::Pass => 0,
        Exit::Hold => 1,
        Exit::NotJudged => 2,
        Exit::Integrity => 3,
    };
    if rank(b) > rank(a) { b } else { a }
}
