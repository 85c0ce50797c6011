//! `fillward sign` and `fillward countersign`: the signatures that let a fill start.

use std::fmt::Write as _;
use std::io::{self, BufRead as _, IsTerminal as _, Write as _};
use std::path::{Path, PathBuf};

use clap::Args;
use fillward::checklist::body::{Body, Making, RegisterPart};
use fillward::checklist::canonical;
use fillward::checklist::jws::{Envelope, Kind, Role};
use fillward::checklist::lapse::holds_until;
use fillward::checklist::packs::{self, Packs, required_roles};
use fillward::checklist::permit::{self, Bound, Permit};
use fillward::checklist::trust::Trust;
use fillward::checklist::verify::{self, Question};
use fillward::checklist::{Reason, signing};
use fillward::document::Document;
use fillward::engine::{Scene, Verdict};
use fillward::explain::{AtFrom, Report};
use fillward::pack::PackSet;
use fillward::record;
use fillward::units::Instant;

use super::failure::Failure;
use super::output::{self, Terminal, whole};
use super::secret::PrivateKey;
use super::store::{self, Existing, Readers};
use super::trust::PinnedTrust;
use super::{Exit, input};

/// The program and its version, as checklists name it.
const TOOL: &str = concat!("fillward ", env!("CARGO_PKG_VERSION"));

/// The last line wherever signing ends without a signature.
pub(crate) const NOTHING_SIGNED: &str = "Nothing was signed. Do not start the pump.";

/// Who signs, and by which trust file.
#[derive(Debug, Args)]
struct Signatory {
    #[command(flatten)]
    key: PrivateKey,
    /// In which role to sign
    #[arg(long, default_value = "supervisor", value_parser = super::trust::role)]
    role: Role,
    #[command(flatten)]
    trust: PinnedTrust,
}

#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The job record
    record: PathBuf,
    #[command(flatten)]
    signatory: Signatory,
    /// A local pack to judge by as well; may be given several times
    #[arg(long, value_name = "FILE")]
    pack: Vec<PathBuf>,
    /// A signed permit for a broken rule; may be given several times
    #[arg(long, value_name = "FILE")]
    permit: Vec<PathBuf>,
    /// Judge at this instant instead of now: a rehearsal, which never lets a fill start
    #[arg(long, value_name = "INSTANT")]
    at: Option<String>,
    /// Where the checklist goes; beside the record where this is left out
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Sign a HOLD for the file, because the record of a held job matters to whoever reviews it; this never lets a fill
    /// start
    #[arg(long)]
    hold: bool,
    /// Do not ask before signing
    #[arg(long)]
    yes: bool,
}

pub(crate) fn run(arguments: &Arguments, terminal: Terminal) -> Result<Exit, Failure> {
    let at = input::instant(arguments.at.as_deref())?;
    let out = arguments.out.clone().unwrap_or_else(|| beside(&arguments.record));
    let trust = arguments.signatory.trust.open()?;
    let set = input::packs(&arguments.pack)?;
    let parts = packs::parts(&set);
    let packs = Packs { set: &set, parts: &parts };
    let bytes = input::bytes(&arguments.record)?;
    let document = Document::read(&arguments.record.to_string_lossy(), &bytes)?;
    let job = record::read(&document, set.catalogue())?;
    let permits = arguments.permit.iter().map(|path| open_permit(path)).collect::<Result<Vec<_>, _>>()?;
    given_once(&arguments.permit, &permits)?;
    let against: Vec<Reason> = permits.iter().flat_map(|permit| permit.check(&trust, Some(packs), at)).collect();
    if !against.is_empty() {
        return Err(Failure::Integrity(against));
    }
    let permits: Vec<Bound<'_>> = permits.iter().map(|permit| Bound::new(permit, packs, &job, &document)).collect();
    let scene = Scene::new(&set, &job, at);
    let judgement = scene.judge();
    let permitted = permit::apply(&scene, &parts, &judgement, &permits);
    let at_from = if arguments.at.is_some() { AtFrom::Given } else { AtFrom::Clock };
    let report = Report::new(&scene, &judgement, &document, at_from);
    let required_roles = required_roles(&set);
    let making = Making {
        scene: &scene,
        judgement: &judgement,
        report: &report,
        parts: &parts,
        record: &bytes,
        permits: &permits,
        tool: TOOL,
        rehearsal: arguments.at.is_some(),
        valid_until: holds_until(packs, &job, at, &permits),
        required_roles: &required_roles,
        trust_version: trust.version(),
        register: RegisterPart::default(),
    };
    let (body, mut envelope) = making.envelope().map_err(|reason| Failure::Integrity(vec![reason]))?;
    terminal.prose(&shown(&body, &report, &trust))?;
    if permitted.verdict == Verdict::Hold && !arguments.hold {
        terminal.prose(&format!(
            "A HOLD is signed for the file only with --hold, and starts nothing.\n{}\n{NOTHING_SIGNED}\n",
            terminal.caution()
        ))?;
        return Ok(Exit::Hold);
    }
    store::vacant(&out)?;
    let key = arguments.signatory.key.open()?;
    agree(arguments.yes, &body.job)?;
    unchanged(&arguments.record, &bytes)?;
    // The person may have taken an hour to answer: what is signed is when, not when the question was put.
    let now = input::instant(None)?.at_offset_of(scene.at());
    signing::sign(&mut envelope, &body, &key, arguments.signatory.role, &trust, now).map_err(Failure::Integrity)?;
    write(&out, &envelope, Existing::Keep)?;
    confirm(&out, &trust, &arguments.record, packs, terminal).map_err(Failure::after_signing)
}

#[derive(Debug, Args)]
pub(crate) struct CountersignArguments {
    /// The checklist
    checklist: PathBuf,
    /// The record as it stands now
    #[arg(long, value_name = "RECORD")]
    record: PathBuf,
    #[command(flatten)]
    signatory: Signatory,
    /// A local pack that judged as well; may be given several times
    #[arg(long, value_name = "FILE")]
    pack: Vec<PathBuf>,
    /// Do not ask before signing
    #[arg(long)]
    yes: bool,
}

/// Adds the signature of a further person, who judges the record again and sees who signed before. Everything that speaks
/// against the file speaks against signing it.
pub(crate) fn countersign(arguments: &CountersignArguments, terminal: Terminal) -> Result<Exit, Failure> {
    let trust = arguments.signatory.trust.open()?;
    let set = input::packs(&arguments.pack)?;
    let parts = packs::parts(&set);
    let packs = Packs { set: &set, parts: &parts };
    let before = input::bytes(&arguments.checklist)?;
    let name = arguments.checklist.to_string_lossy();
    let mut envelope = Envelope::read(Kind::Checklist, &name, &before)?;
    let body: Body = envelope.body()?;
    let record = input::bytes(&arguments.record)?;
    let verified = verify::verify(&name, &before, &question(&trust, &record, packs, input::instant(None)?));
    if !verified.in_order() {
        return Err(Failure::Integrity(verified.faults));
    }
    let judged = judged(&arguments.record, &record, &set, &body)?;
    let mut text = shown(&body, &judged, &trust);
    for signed in &verified.signatures {
        super::verify::signature(&mut text, signed, Some(judged.at));
    }
    terminal.prose(&text)?;
    let key = arguments.signatory.key.open()?;
    agree(arguments.yes, &body.job)?;
    unchanged(&arguments.record, &record)?;
    let now = input::instant(None)?.at_offset_of(judged.at);
    signing::sign(&mut envelope, &body, &key, arguments.signatory.role, &trust, now).map_err(Failure::Integrity)?;
    write(&arguments.checklist, &envelope, Existing::Replace(&before))?;
    confirm(&arguments.checklist, &trust, &arguments.record, packs, terminal).map_err(Failure::after_signing)
}

/// Writes the signed file.
fn write(path: &Path, envelope: &Envelope, existing: Existing<'_>) -> Result<(), Failure> {
    store::write(path, &envelope.to_file()?, existing, Readers::Usual).map_err(Failure::if_written)
}

/// What a signed file is held against: everything, at the present instant.
fn question<'a>(trust: &'a Trust, record: &'a [u8], packs: Packs<'a>, at: Instant) -> Question<'a> {
    Question { trust, at, chosen: false, job: None, record: Some(record), packs: Some(packs), rejudge: true }
}

/// Sees that the record is still what was judged and shown.
fn unchanged(path: &Path, before: &[u8]) -> Result<(), Failure> {
    if input::bytes(path)? == before { Ok(()) } else { Err(Failure::ChangedMeanwhile { path: path.to_owned() }) }
}

fn open_permit(path: &Path) -> Result<Permit, Failure> {
    Ok(Permit::read(&path.to_string_lossy(), &input::bytes(path)?)?)
}

/// Sees that no permit is given twice: the second one would set nothing aside.
fn given_once(paths: &[PathBuf], permits: &[Permit]) -> Result<(), Failure> {
    let earlier = |place: usize| permits.iter().take(place);
    let twice =
        permits.iter().enumerate().find(|(place, permit)| earlier(*place).any(|one| one.body() == permit.body()));
    match twice.and_then(|(place, _)| paths.get(place)) {
        None => Ok(()),
        Some(path) => Err(Failure::Usage {
            message: format!("the permit `{}` is given twice", canonical::shown(&path.display().to_string())),
            help: "give each permit once".to_owned(),
        }),
    }
}

/// The judgement of a checklist that has been verified, in words again.
fn judged(path: &Path, record: &[u8], set: &PackSet, body: &Body) -> Result<Report, Failure> {
    let document = Document::read(&path.to_string_lossy(), record)?;
    let job = record::read(&document, set.catalogue())?;
    let at = Instant::parse(&body.judged_at).map_err(|error| Failure::Usage {
        message: format!("the instant of judgement: {error}"),
        help: error.help(),
    })?;
    let scene = Scene::new(set, &job, at);
    let at_from = if body.rehearsal { AtFrom::Given } else { AtFrom::Clock };
    Ok(Report::new(&scene, &scene.judge(), &document, at_from))
}

/// What is to be signed, in plain words and with the counts and figures that `check` shows.
fn shown(body: &Body, report: &Report, trust: &Trust) -> String {
    let quoted = canonical::shown;
    let mut text = format!("{}   job {}, judged {}\n", quoted(&body.verdict), quoted(&body.job), body.judged_at);
    if body.rehearsal {
        text.push_str("  a rehearsal: judged at a chosen instant, it never lets a fill start\n");
    }
    let packs: Vec<String> = body.packs.iter().map(packs::PackPart::title).collect();
    let roles: Vec<&str> = body.required_roles.iter().map(|role| role.word()).collect();
    let _ = writeln!(
        text,
        "  by {}\n  {} · {}",
        quoted(&packs.join(" + ")),
        report.counts_phrase(),
        counted(body.permits.len(), "permit")
    );
    for line in report.summary.iter().filter(|_| body.passes()) {
        let _ = writeln!(text, "  {}", quoted(line));
    }
    let _ = writeln!(text, "  to be signed by {}", roles.join(" and "));
    for fault in body.findings.faults.iter().filter(|fault| !fault.permitted) {
        let _ = writeln!(text, "  {}: {} of {}", quoted(&fault.outcome), quoted(&fault.rule), quoted(&fault.subject));
    }
    for permit in body.open_permits().flatten() {
        super::permit::describe(&mut text, &permit, trust);
    }
    let held = body.findings.faults.iter().filter(|fault| fault.holds && !fault.permitted).count();
    if held > 0 {
        let holds = if held == 1 { "holds" } else { "hold" };
        let _ = writeln!(text, "  {} {holds} the job; see `fillward check`", counted(held, "finding"));
    }
    if let Some(until) = body.valid_until.as_ref().filter(|_| !body.rehearsal) {
        let _ = writeln!(text, "  once signed, a fill may start until {until}");
    }
    if !body.passes() {
        let _ = writeln!(text, "  {}", output::DO_NOT_START);
    }
    text
}

/// A number with its noun.
fn counted(count: usize, noun: &str) -> String {
    if count == 1 { format!("1 {noun}") } else { format!("{count} {noun}s") }
}

/// Asks the person to write the job number, which takes a look at what is signed.
fn agree(yes: bool, job: &str) -> Result<(), Failure> {
    if yes {
        return Ok(());
    }
    if !io::stdin().is_terminal() {
        return Err(Failure::Usage {
            message: "there is no terminal to ask whether to sign".to_owned(),
            help: "read what is signed, then give --yes".to_owned(),
        });
    }
    let unanswered = |why| Failure::NoAnswer { why };
    let mut out = io::stderr().lock();
    write!(out, "To sign this, write the job number: ").and_then(|()| out.flush()).map_err(unanswered)?;
    let mut answer = String::new();
    io::stdin().lock().read_line(&mut answer).map_err(unanswered)?;
    if answer.trim() == job {
        Ok(())
    } else {
        Err(Failure::Usage {
            message: "the job number was not written as it stands in the record".to_owned(),
            help: "start again if you meant to".to_owned(),
        })
    }
}

/// `RECORD.checklist.json` beside the record.
fn beside(record: &Path) -> PathBuf {
    record.with_extension("checklist.json")
}

/// Verifies what was written, as anybody would, against the record as it now stands, and says what it is good for.
fn confirm(path: &Path, trust: &Trust, record: &Path, packs: Packs<'_>, terminal: Terminal) -> Result<Exit, Failure> {
    let record = input::bytes(record)?;
    let question = question(trust, &record, packs, input::instant(None)?);
    let report = verify::verify(&path.to_string_lossy(), &input::bytes(path)?, &question);
    if !report.in_order() {
        return Err(Failure::Integrity(report.faults));
    }
    terminal.prose(&format!("Signed and read back: {}\n", whole(&canonical::shown(&path.display().to_string()))))?;
    for reason in report.reasons() {
        terminal.prose(&format!("  not yet: {reason}\n"))?;
    }
    let (last, exit) =
        if report.may_start() { ("the fill may start", Exit::Pass) } else { (output::DO_NOT_START, Exit::Hold) };
    terminal.prose(&format!("  {last}\n{}\n", terminal.caution()))?;
    Ok(exit)
}
