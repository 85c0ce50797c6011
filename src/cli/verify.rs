//! `fillward verify`: what checklists are worth, now.

use std::fmt::Write as _;
use std::io::{self, IsTerminal as _, Write as _};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use clap::Args;
use fillward::checklist::packs::{self, PackPart, Packs};
use fillward::checklist::trust::Trust;
use fillward::checklist::verify::{self, Question, Report};
use fillward::pack::PackSet;
use fillward::units::Instant;

use super::failure::Failure;
use super::trust::TrustArguments;
use super::{Exit, input, output};

/// From so many files on a bar shows how far it is.
const MANY: usize = 50;
/// Columns of the bar.
const BAR: usize = 30;

#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The checklists
    #[arg(required = true)]
    checklists: Vec<PathBuf>,
    #[command(flatten)]
    trust: TrustArguments,
    /// The record as it stands now; without it no fill may start
    #[arg(long, value_name = "RECORD")]
    record: Option<PathBuf>,
    /// The number of the job that is meant
    #[arg(long, value_name = "NUMBER")]
    job: Option<String>,
    /// Verify as of this instant instead of now
    #[arg(long, value_name = "INSTANT")]
    at: Option<String>,
    /// Judge the record inside again, by the base pack and the packs given
    #[arg(long)]
    rejudge: bool,
    /// A local pack that judged as well; may be given several times
    #[arg(long, value_name = "FILE")]
    pack: Vec<PathBuf>,
}

/// What every file is held against.
struct Against {
    trust: Trust,
    at: Instant,
    job: Option<String>,
    record: Option<Vec<u8>>,
    set: PackSet,
    parts: Vec<PackPart>,
    rejudge: bool,
}

pub(crate) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let set = input::packs(&arguments.pack)?;
    let against = Against {
        trust: arguments.trust.open()?,
        at: input::instant(arguments.at.as_deref())?,
        job: arguments.job.clone(),
        record: arguments.record.as_deref().map(input::bytes).transpose()?,
        parts: packs::parts(&set),
        set,
        rejudge: arguments.rejudge,
    };
    let reports = all(&arguments.checklists, &against);
    let mut worst = Exit::Pass;
    let mut text = String::new();
    for (path, report) in arguments.checklists.iter().zip(reports) {
        let exit = match report {
            Some(Ok(report)) => {
                say(&mut text, path, &report, &against);
                of(&report)
            }
            Some(Err(failure)) => {
                let _ = writeln!(text, "{}: not verified\n  {failure}", path.display());
                Exit::NotJudged
            }
            None => Exit::NotJudged,
        };
        worst = worse(worst, exit);
    }
    if arguments.at.is_some() {
        text.push_str("Verified as of an instant that was given, not now.\n");
    }
    if !against.trust.is_pinned() {
        text.push_str("The trust file is taken at its word; give the owner's public key with --owner.\n");
    }
    output::report(&text)?;
    Ok(worst)
}

/// Verifies the files on as many threads as the machine has cores, in the order in which they were given.
fn all(paths: &[PathBuf], against: &Against) -> Vec<Option<Result<Report, Failure>>> {
    let next = AtomicUsize::new(0);
    let done = Mutex::new((0, paths.iter().map(|_| None).collect::<Vec<_>>()));
    let bar = paths.len() >= MANY && io::stderr().is_terminal();
    let threads = thread::available_parallelism().map_or(1, usize::from).min(paths.len());
    thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                loop {
                    let place = next.fetch_add(1, Ordering::Relaxed);
                    let Some(path) = paths.get(place) else { break };
                    let report = one(path, against);
                    let Ok(mut done) = done.lock() else { break };
                    done.0 += 1;
                    if bar {
                        draw(done.0, paths.len());
                    }
                    if let Some(slot) = done.1.get_mut(place) {
                        *slot = Some(report);
                    }
                }
            });
        }
    });
    if bar {
        let _ = writeln!(io::stderr());
    }
    done.into_inner().map(|(_, reports)| reports).unwrap_or_default()
}

fn one(path: &Path, against: &Against) -> Result<Report, Failure> {
    let bytes = input::bytes(path)?;
    let question = Question {
        trust: &against.trust,
        at: against.at,
        job: against.job.as_deref(),
        record: against.record.as_deref(),
        packs: Some(Packs { set: &against.set, parts: &against.parts }),
        rejudge: against.rejudge,
    };
    Ok(verify::verify(&path.to_string_lossy(), &bytes, &question))
}

fn draw(done: usize, total: usize) {
    let full = done * BAR / total.max(1);
    let _ = write!(io::stderr(), "\r{}{} {done} of {total}", "▇".repeat(full), "·".repeat(BAR - full));
}

fn of(report: &Report) -> Exit {
    match (report.in_order(), report.may_start()) {
        (false, _) => Exit::Integrity,
        (true, true) => Exit::Pass,
        (true, false) => Exit::Hold,
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

fn say(text: &mut String, path: &Path, report: &Report, against: &Against) {
    let answer = if report.may_start() {
        "may start"
    } else if report.in_order() {
        "in order, but a fill may not start"
    } else {
        "not to be relied on"
    };
    let _ = writeln!(text, "{}: {answer}", path.display());
    if let Some(body) = &report.body {
        let _ = writeln!(text, "  {} · job {} · judged {}", body.verdict, body.job, body.judged_at);
        if report.may_start()
            && let Some(until) = &body.valid_until
        {
            let _ = writeln!(text, "  until {until}");
        }
    }
    for signed in &report.signatures {
        let role = signed.role.map_or("", |role| role.word());
        let at = signed.at.map(|at| at.to_string()).unwrap_or_default();
        let standing = if signed.fault.is_some() { "does not count" } else { "good" };
        let who = if signed.who.is_empty() { "somebody" } else { &signed.who };
        let _ = writeln!(text, "  signed by {who}, {role}, {at}: {standing}");
    }
    for reason in report.reasons() {
        let _ = writeln!(text, "  {}: {reason}\n    {}", reason.code(), reason.help());
    }
    if against.rejudge && report.in_order() {
        let _ = writeln!(text, "  judged again with the same findings");
    }
}
