//! `fillward verify`: what checklists are worth, now.

use std::fmt::Write as _;
use std::io::{self, IsTerminal as _, Write as _};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use clap::Args;
use fillward::checklist::body::ChecklistBody;
use fillward::checklist::canonical::shown;
use fillward::checklist::permit::filled_words;
use fillward::checklist::verify::Signed;
use fillward::desk::{Against, Answer, Purpose, Verified, VerifyOrder};
use fillward::document::prose::whole;
use fillward::units::Zone;
use miette::Diagnostic as _;

use super::failure::Failure;
use super::files::DESK;
use super::output::Terminal;
use super::trust::TrustArguments;
use super::{Exit, input};

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
    /// A checklist of a hold point before, which one of these follows; may be given several times
    #[arg(long, value_name = "FILE")]
    before: Vec<PathBuf>,
}

pub(crate) fn run(arguments: &Arguments, terminal: Terminal) -> Result<Exit, Failure> {
    let order = VerifyOrder {
        packs: input::sources(&arguments.pack)?,
        record: arguments.record.as_deref().map(input::source).transpose()?,
        job: arguments.job.clone(),
        at: input::at(arguments.at.as_deref())?,
        rejudge: arguments.rejudge,
        before: input::sources(&arguments.before)?,
    };
    let against = DESK.against(order, arguments.trust.open(Purpose::Look)?)?;
    let reports = all(&arguments.checklists, &against);
    let mut worst = Exit::Pass;
    let mut text = String::new();
    for (path, report) in arguments.checklists.iter().zip(reports) {
        let exit = match report {
            Some(Ok(verified)) => {
                say(&mut text, path, &verified);
                of(verified.answer)
            }
            Some(Err(failure)) => {
                let cure = failure.help().map(|help| format!("\n    {}", shown(&help.to_string()))).unwrap_or_default();
                let _ = writeln!(text, "{}: not verified\n  {}{cure}", named(path), shown(&failure.to_string()));
                Exit::NotJudged
            }
            None => Exit::NotJudged,
        };
        worst = worse(worst, exit);
    }
    if arguments.at.is_some() {
        text.push_str("Verified as of an instant that was given, not now.\n");
    }
    let _ = writeln!(text, "{}", terminal.caution());
    terminal.prose(&text)?;
    Ok(worst)
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
            let report = input::source(path).map(|checklist| against.verify(&checklist));
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
        Answer::CouldHaveStarted { .. } | Answer::InOrder => Exit::Hold,
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

fn say(text: &mut String, path: &Path, verified: &Verified) {
    let Verified { answer, report, permits, zone } = verified;
    let point = report.body.as_ref().and_then(ChecklistBody::point).unwrap_or_default();
    let answer = match answer {
        Answer::MayStart => point.may().to_owned(),
        Answer::CouldHaveStarted { at } => format!("could have started at {}", at.to_record_text()),
        Answer::InOrder => format!("in order. {}", point.stop()),
        Answer::Doubtful => "not to be relied on".to_owned(),
    };
    let _ = writeln!(text, "{}: {answer}", named(path));
    if let Some(body) = &report.body {
        let _ = writeln!(
            text,
            "  {} {} · job {} · judged {} in {}",
            shown(&body.verdict),
            shown(&body.hold_point),
            shown(&body.job),
            shown(&body.judged_at),
            shown(&body.time_zone)
        );
        let _ = writeln!(text, "  for {}", shown(&filled_words(&body.assemblies)));
        if report.may_start()
            && let Some(until) = &body.valid_until
        {
            let _ = writeln!(text, "  until {}", shown(until));
        }
        for permit in permits {
            super::permit::describe(text, permit);
        }
    }
    for signed in &report.signatures {
        signature(text, signed, zone);
    }
    for reason in report.reasons() {
        let _ = writeln!(text, "  {}: {reason}\n    {}", reason.code(), shown(reason.help()));
    }
    if report.rejudged && report.in_order() {
        let _ = writeln!(text, "  judged again with the same findings");
    }
    for otherwise in &report.otherwise {
        let (place, edition) = (shown(&otherwise.place), shown(&otherwise.edition));
        let _ = writeln!(text, "  worked out otherwise by {edition}: {place}");
    }
}

/// Who signed, as what and when by the clock of the zone, and what the signature is worth.
pub(crate) fn signature(text: &mut String, signed: &Signed, zone: &Zone) {
    let role = signed.role.map_or("", |role| role.word());
    let at = signed.at.map(|at| at.in_zone(zone).to_string()).unwrap_or_default();
    let standing = match (&signed.fault, &signed.since) {
        (Some(_), _) => "does not count",
        (None, Some(_)) => "was good when it was made",
        (None, None) => "good",
    };
    let who = if signed.who.is_empty() { "somebody" } else { &signed.who };
    let _ = writeln!(text, "  signed by {}, {role}, {at}: {standing}", shown(who));
}

/// A path that cannot act on the terminal and stays on one line.
fn named(path: &Path) -> String {
    whole(&shown(&path.display().to_string()))
}
