//! `fillward verify`: what checklists are worth, now.

mod cells;
mod csv;
pub(crate) mod json;
mod overview;
pub(crate) mod paths;
mod table;
mod text;

use std::io::{self, IsTerminal as _, Write as _};
use std::mem;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use clap::{ArgMatches, Args, ValueEnum};
use fillward::checklist::trust::Trust;
use fillward::desk::{
    Against, Answer, Answers, CHECKLIST_ENDING, NamedBytes, OtherChecklist, Purpose, SeenAlone, VerifyOrder,
};
use fillward::units::Instant;
use fillward::vocabulary::{HoldPoint, quoted, shown};

use super::failure::Failure;
use super::files::DESK;
use super::output::{self, Terminal};
use super::trust::{TrustArguments, whose};
use super::{Exit, input};
use overview::{OverviewRow, SeenOnce};

pub(crate) use text::{COVERS, NOT_COVERED, assemblies, covered, going_on, permit_line, signature, worked_out, worth};

/// From so many files on a bar shows how far it is.
const MANY: usize = 50;
/// Columns of the bar.
const BAR: usize = 30;

/// How the answers are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum VerifyFormat {
    /// Each file in full
    Text,
    /// What is not in order, a line a file; of what is in order, states with many files counted; and totals
    Table,
    /// For other programs; see `fillward schema verification`
    Json,
    /// Comma-separated values, a line a file
    Csv,
}

#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The checklists; a folder is all files in it and in its folders that end in `.checklist.json`, which may follow
    /// one another
    #[arg(required = true)]
    checklists: Vec<PathBuf>,
    #[command(flatten)]
    trust: TrustArguments,
    /// A record as it stands now, for the checklists of its job; without its own nothing may go on. May be given several
    /// times, and a folder is all files in it and in its folders that end in `.yaml`. One that is named and of which nobody
    /// can tell the job bars every start, one in a folder those of the job whose number stands in it
    #[arg(long, value_name = "RECORD")]
    record: Vec<PathBuf>,
    #[command(flatten)]
    shop: input::ShopFile,
    /// The number of the job that is meant
    #[arg(long, value_name = "NUMBER")]
    job: Option<String>,
    /// The hold point that is meant: before-air, before-fill, after-fill or before-service. By the checklist of another one
    /// nothing may go on
    #[arg(long, value_name = "POINT", value_parser = input::hold_point)]
    hold_point: Option<HoldPoint>,
    /// The mark of an assembly that is meant; may be given several times. By a checklist that does not cover it nothing may
    /// go on
    #[arg(long, value_name = "MARK")]
    assembly: Vec<String>,
    /// Verify as of this time instead of now: whether work could have gone on then, never whether it may now
    #[arg(long, value_name = "TIME")]
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
    /// A checklist of a hold point before, which one of these follows, or a folder of them; may be given several times
    #[arg(long, value_name = "FILE")]
    before: Vec<PathBuf>,
    /// Only the checklists that this key signed, or a permit in them: a public key's file, or the name of somebody in
    /// the trust file. After a theft, what it touches
    #[arg(long, value_name = "FILE|NAME")]
    signed_by: Option<String>,
    /// Of these, only where the signature names this time or a later one. Anyone who has a stolen key writes any time:
    /// leave it out to see all
    #[arg(long, value_name = "TIME", requires = "signed_by")]
    since: Option<String>,
    /// How to print the answers
    #[arg(long, value_enum, default_value_t = VerifyFormat::Text)]
    format: VerifyFormat,
}

pub(crate) fn run(arguments: &Arguments, terminal: Terminal) -> Result<Exit, Failure> {
    verified(arguments, terminal).inspect_err(|failure| unanswered(arguments, failure))
}

fn unanswered(arguments: &Arguments, failure: &Failure) {
    // What could not be printed is not printed once more.
    if !matches!(failure, Failure::Unwritable(_)) {
        no_answer(&arguments.checklists, arguments.at.as_deref(), arguments.format, failure);
    }
}

/// The same where no more is known than the command line as it was typed.
pub(super) fn unanswered_as_typed(typed: &ArgMatches, failure: &Failure) {
    let checklists = typed.try_get_many::<PathBuf>("checklists").ok().flatten();
    let checklists: Vec<PathBuf> = checklists.into_iter().flatten().cloned().collect();
    let at = typed.try_get_one::<String>("at").ok().flatten();
    if let Ok(Some(format)) = typed.try_get_one::<VerifyFormat>("format") {
        no_answer(&checklists, at.map(String::as_str), *format, failure);
    }
}

/// Tells a program that nothing was verified, and why: the person is told beside it, and the exit code is that of the
/// failure.
fn no_answer(checklists: &[PathBuf], chosen: Option<&str>, format: VerifyFormat, failure: &Failure) {
    let files = paths::expanded(checklists, CHECKLIST_ENDING).unwrap_or_else(|_| checklists.to_vec());
    let at = chosen.and_then(|text| Instant::parse(text).ok()).or_else(|| DESK.clock.now());
    let at = at.map(Instant::to_record_text);
    let text = match format {
        VerifyFormat::Json => json::unanswered(&files, failure, at, chosen.is_some()),
        VerifyFormat::Csv => Ok(csv::unanswered(&files, failure)),
        VerifyFormat::Text | VerifyFormat::Table => return,
    };
    // Where standard output is gone as well, the exit code still tells.
    let _ = text.and_then(|text| output::report(&text));
}

fn verified(arguments: &Arguments, terminal: Terminal) -> Result<Exit, Failure> {
    let mut found = paths::found(&arguments.checklists, CHECKLIST_ENDING)?;
    let (named, recorded) = paths::records(&arguments.record)?;
    let earlier = paths::found(&arguments.before, CHECKLIST_ENDING)?;
    // What may be the record of a job, or its checklist, and was passed over, is named.
    found.others.extend(recorded.others.into_iter().filter(|path| paths::may_be_a_record(path)));
    found.others.extend(recorded.links.into_iter().chain(earlier.links));
    let (in_folders, before) = (recorded.documents, earlier.documents);
    // What was given in another way was looked at.
    let given = || named.iter().chain(&in_folders).chain(&before);
    found.others.retain(|path| !given().any(|given| is_same_file(given, path)));
    let trust = arguments.trust.open(Purpose::Look)?;
    let order = VerifyOrder {
        packs: input::sources(&arguments.pack)?,
        records: input::sources(&named)?,
        found: input::sources(&in_folders)?,
        shop: arguments.shop.source()?,
        job: arguments.job.clone(),
        point: arguments.hold_point,
        assemblies: arguments.assembly.clone(),
        at: input::at(arguments.at.as_deref(), trust.zone())?,
        editions: editions(&arguments.edition)?,
        rejudge: arguments.rejudge,
        before: input::sources(&before)?,
        among: if found.documents.len() > 1 { found.documents.clone() } else { Vec::new() },
    };
    let against = DESK.against(order, trust)?;
    found.others.extend(against.records_not_looked_at());
    let seen = all(found.documents, &against);
    let Answers { files: mut rows, several, claims } = DESK.answers(&against, seen);
    for claim in claims {
        terminal.aside(&format!("note: {}", said_to_be_later(&claim)));
    }
    let since = arguments
        .since
        .as_deref()
        .map(|text| input::instant_by("--since", text, against.trust().zone()))
        .transpose()?;
    let signed_by = arguments.signed_by.as_deref().map(|whose| DESK.signed_by(whose, since, &against)).transpose()?;
    let all = rows.len();
    // Whatever is shown: the exit code is that of all that were given.
    let exit = |(_, row): &OverviewRow| row.as_ref().map_or(Exit::NotJudged, |verified| of(verified.answer));
    let links = found.links.iter().map(|_| Exit::NotJudged);
    let worst = rows.iter().map(exit).chain(links).fold(Exit::Pass, worse);
    if let Some(signed_by) = &signed_by {
        rows.retain(|(_, row)| row.as_ref().map_or(true, |verified| signed_by.has_signed(verified)));
    }
    let touched = signed_by.map(|_| (rows.iter().filter(|(_, row)| row.is_ok()).count(), all));
    rows.extend(found.links.into_iter().map(|path| (path.clone(), Err(a_link(path)))));
    for edition in against.editions_unused() {
        let title = shown(&edition.title()).into_owned();
        terminal.aside(&format!("note: the edition {title}, SHA-256 {}, judged none of these files", edition.sha256));
    }
    let seen = SeenOnce { rows, several, others: found.others, touched };
    answer_in_form(arguments, &seen, &against, terminal)?;
    // The end of the process gives back all memory at once; value by value that is a twentieth of verifying one file.
    mem::forget(seen);
    mem::forget(against);
    Ok(worst)
}

/// The answers in the form that was asked for.
fn answer_in_form(
    arguments: &Arguments,
    seen: &SeenOnce,
    against: &Against,
    terminal: Terminal,
) -> Result<(), Failure> {
    let (at, chosen) = (against.at().to_record_text(), arguments.at.is_some());
    match arguments.format {
        VerifyFormat::Json => output::report(&json::json(seen, against.trust(), &at, chosen)?)?,
        VerifyFormat::Csv => output::report(&csv::csv(seen, against.trust()))?,
        VerifyFormat::Table => {
            output::report(&table::table(seen, terminal.look().width))?;
            terminal.prose(&ending(against.trust(), chosen, terminal))?;
        }
        VerifyFormat::Text => terminal.prose(&(text::text(seen) + &ending(against.trust(), chosen, terminal)))?,
    }
    Ok(())
}

/// Whether two paths are of one file.
fn is_same_file(one: &Path, other: &Path) -> bool {
    one == other || one.file_name() == other.file_name() && one.canonicalize().ok() == other.canonicalize().ok()
}

/// A file that lies beside others and whose signatures do not hold: it keeps nothing from starting, and is told.
pub(crate) fn said_to_be_later(OtherChecklist { name, verdict, judged_at, .. }: &OtherChecklist) -> String {
    format!(
        "{}, a file beside it, claims to be a later {} of this job and hold point, checked {}, and is not to be relied on: \
         none of its signatures holds by the trust file",
        quoted(name),
        verdict.word(),
        shown(&Instant::told(judged_at))
    )
}

/// What a link leads to is not where it is looked for.
fn a_link(path: PathBuf) -> Failure {
    Failure::NotPlain { path }
}

/// The files of editions of packs, each given by its folder or its one file.
pub(crate) fn editions(given: &[PathBuf]) -> Result<Vec<Vec<NamedBytes>>, Failure> {
    given.iter().map(|path| input::sources(&paths::expanded(std::slice::from_ref(path), paths::RECORD)?)).collect()
}

/// What stands under every answer that people read: by whose trust file it is, and as of when.
fn ending(trust: &Trust, chosen: bool, terminal: Terminal) -> String {
    let as_of = if chosen { "Verified as of a time that was given by hand, not now.\n" } else { "" };
    format!("{}{as_of}{}\n", whose(trust), terminal.caution())
}

/// Verifies each of the files, on as many threads as the machine has cores, in the order in which they were given.
fn all(paths: Vec<PathBuf>, against: &Against) -> Vec<(PathBuf, Result<SeenAlone, Failure>)> {
    let next = AtomicUsize::new(0);
    let done = Mutex::new((0, paths.iter().map(|_| None).collect::<Vec<_>>()));
    let bar = paths.len() >= MANY && io::stderr().is_terminal();
    let threads =
        if paths.len() > 1 { thread::available_parallelism().map_or(1, usize::from).min(paths.len()) } else { 1 };
    let work = || {
        loop {
            let place = next.fetch_add(1, Ordering::Relaxed);
            let Some(path) = paths.get(place) else { break };
            let seen = one(path, against);
            let Ok(mut done) = done.lock() else { break };
            done.0 += 1;
            if bar {
                draw(done.0, paths.len());
            }
            if let Some(slot) = done.1.get_mut(place) {
                *slot = Some(seen);
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
    let seen = done.into_inner().map(|(_, seen)| seen).unwrap_or_default();
    paths.into_iter().zip(seen).filter_map(|(path, seen)| Some((path, seen?))).collect()
}

fn one(path: &Path, against: &Against) -> Result<SeenAlone, Failure> {
    Ok(against.look_at(&input::source(path)?)?.without_texts())
}

fn draw(done: usize, total: usize) {
    let full = done * BAR / total.max(1);
    let _ = write!(io::stderr(), "\r{}{} {done} of {total}", "▇".repeat(full), "·".repeat(BAR - full));
}

fn of(answer: Answer) -> Exit {
    match answer {
        Answer::MayStart => Exit::Pass,
        Answer::CouldHaveStarted { .. }
        | Answer::InOrder
        | Answer::Old
        | Answer::DoesNotFit
        | Answer::OwnerNotAccepted
        | Answer::NotYet => Exit::Hold,
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
