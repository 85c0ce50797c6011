//! `fillward sign` and `fillward countersign`: the signatures that let a fill start.

use std::io::{self, BufRead as _, IsTerminal as _, Write as _};
use std::path::{Path, PathBuf};

use clap::Args;
use fillward::checklist::body::{Body, Making, RegisterPart};
use fillward::checklist::jws::{Envelope, Kind, Role};
use fillward::checklist::lapse::holds_until;
use fillward::checklist::packs::{self, Packs};
use fillward::checklist::permit::{self, Permit};
use fillward::checklist::trust::Trust;
use fillward::checklist::verify::{self, Question};
use fillward::checklist::{Reason, signing};
use fillward::document::Document;
use fillward::engine::{Judgement, Scene, Verdict};
use fillward::explain::{AtFrom, Report};
use fillward::pack::PackSet;
use fillward::record;

use super::failure::Failure;
use super::secret::{self, Passphrase};
use super::store::{self, Existing, Readers};
use super::trust::TrustArguments;
use super::{Exit, input, output};

/// The program and its version, as checklists name it.
const TOOL: &str = concat!("fillward ", env!("CARGO_PKG_VERSION"));

#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The job record
    record: PathBuf,
    /// The private key
    #[arg(long, value_name = "FILE")]
    key: PathBuf,
    /// In which role to sign
    #[arg(long, default_value = "supervisor", value_parser = super::trust::role)]
    role: Role,
    #[command(flatten)]
    trust: TrustArguments,
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
    /// Sign a HOLD: the record of a held job matters to whoever reviews it
    #[arg(long)]
    hold: bool,
    /// Do not ask before signing
    #[arg(long)]
    yes: bool,
    #[command(flatten)]
    passphrase: Passphrase,
}

pub(crate) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let now = input::instant(None)?;
    let at = input::instant(arguments.at.as_deref())?;
    let trust = arguments.trust.open()?;
    let set = input::packs(&arguments.pack)?;
    let parts = packs::parts(&set);
    let packs = Packs { set: &set, parts: &parts };
    let bytes = input::bytes(&arguments.record)?;
    let document = Document::read(&arguments.record.to_string_lossy(), &bytes)?;
    let job = record::read(&document, set.catalogue())?;
    let permits = arguments.permit.iter().map(|path| open_permit(path)).collect::<Result<Vec<_>, _>>()?;
    let permits: Vec<&Permit> = permits.iter().collect();
    let against: Vec<Reason> = permits.iter().flat_map(|permit| permit.check(&trust, Some(packs), at)).collect();
    if !against.is_empty() {
        return Err(Failure::Integrity(against));
    }
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
        trust_version: Some(trust.version()),
        register: RegisterPart::default(),
    };
    let (body, mut envelope) = making.envelope().map_err(|reason| Failure::Integrity(vec![reason]))?;
    output::report(&plain_words(&body, &judgement, &trust))?;
    if permitted.verdict == Verdict::Hold && !arguments.hold {
        output::report("Nothing was signed. A HOLD is signed for the file only with --hold.\n")?;
        return Ok(Exit::Hold);
    }
    let key = secret::key(&arguments.key, &arguments.passphrase)?;
    agree(arguments.yes, &body.job)?;
    signing::sign(&mut envelope, &body, &key, arguments.role, &trust, now).map_err(Failure::Integrity)?;
    let out = arguments.out.clone().unwrap_or_else(|| beside(&arguments.record));
    store::write(&out, &envelope.to_file()?, Existing::Keep, Readers::Usual)?;
    confirm(&out, &trust, &bytes)
}

#[derive(Debug, Args)]
pub(crate) struct CountersignArguments {
    /// The checklist
    checklist: PathBuf,
    /// The private key
    #[arg(long, value_name = "FILE")]
    key: PathBuf,
    /// In which role to sign
    #[arg(long, default_value = "supervisor", value_parser = super::trust::role)]
    role: Role,
    #[command(flatten)]
    trust: TrustArguments,
    /// Do not ask before signing
    #[arg(long)]
    yes: bool,
    #[command(flatten)]
    passphrase: Passphrase,
}

/// Adds the signature of a further person. Everything that speaks against the file speaks against signing it.
pub(crate) fn countersign(arguments: &CountersignArguments) -> Result<Exit, Failure> {
    let now = input::instant(None)?;
    let trust = arguments.trust.open()?;
    let before = input::bytes(&arguments.checklist)?;
    let name = arguments.checklist.to_string_lossy();
    let mut envelope = Envelope::read(Kind::Checklist, &name, &before)?;
    let body: Body = envelope.body()?;
    let record = body.record.text.clone().into_bytes();
    let question = Question { trust: &trust, at: now, job: None, record: Some(&record), packs: None, rejudge: false };
    let mut faults = verify::verify(&name, &before, &question).faults;
    // What is still missing is what this signature is for.
    faults.retain(|reason| !matches!(reason, Reason::TooFewSigners { .. }));
    if !faults.is_empty() {
        return Err(Failure::Integrity(faults));
    }
    output::report(&shown(&body))?;
    let key = secret::key(&arguments.key, &arguments.passphrase)?;
    agree(arguments.yes, &body.job)?;
    signing::sign(&mut envelope, &body, &key, arguments.role, &trust, now).map_err(Failure::Integrity)?;
    store::write(&arguments.checklist, &envelope.to_file()?, Existing::Replace(&before), Readers::Usual)?;
    confirm(&arguments.checklist, &trust, &record)
}

fn open_permit(path: &Path) -> Result<Permit, Failure> {
    Ok(Permit::read(&path.to_string_lossy(), &input::bytes(path)?)?)
}

/// The roles that the packs in force ask for together: of each role as many people as the pack that asks for most.
fn required_roles(set: &PackSet) -> Vec<Role> {
    let count = |role: Role| {
        let asked = set.packs().iter().map(|pack| pack.signed_by.iter().filter(|word| *word == role.word()).count());
        let least = usize::from(role == Role::Supervisor);
        asked.max().unwrap_or(0).max(least)
    };
    Role::ALL.into_iter().flat_map(|role| std::iter::repeat_n(role, count(role))).collect()
}

/// What is signed, in plain words.
fn plain_words(body: &Body, judgement: &Judgement, trust: &Trust) -> String {
    let mut text = shown(body);
    let held = judgement.findings.iter().filter(|finding| finding.holds()).count();
    if held > 0 {
        text = format!("{text}  {held} findings hold the job; see `fillward check`\n");
    }
    if !trust.is_pinned() {
        text.push_str("  the trust file is taken at its word; --owner would tie it to its owner's key\n");
    }
    text
}

fn shown(body: &Body) -> String {
    let mut text = format!("{}   job {}, judged {}\n", body.verdict, body.job, body.judged_at);
    if body.rehearsal {
        text.push_str("  a rehearsal: judged at a chosen instant, it never lets a fill start\n");
    }
    let packs: Vec<String> = body.packs.iter().map(fillward::checklist::packs::PackPart::title).collect();
    let roles: Vec<&str> = body.required_roles.iter().map(|role| role.word()).collect();
    text = format!(
        "{text}  by {}\n  {} met, {} faults, {} permits\n  to be signed by {}\n",
        packs.join(" + "),
        body.findings.met.len(),
        body.findings.faults.len(),
        body.permits.len(),
        roles.join(" and ")
    );
    for fault in &body.findings.faults {
        let permitted = if fault.permitted { ", permitted" } else { "" };
        text = format!("{text}  {}{permitted}: {} of {}\n", fault.outcome, fault.rule, fault.subject);
    }
    if let Some(until) = body.valid_until.as_ref().filter(|_| !body.rehearsal) {
        text = format!("{text}  a fill may start until {until}\n");
    }
    text
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
            help: "nothing was signed; start again if you meant to".to_owned(),
        })
    }
}

/// `RECORD.checklist.json` beside the record.
fn beside(record: &Path) -> PathBuf {
    record.with_extension("checklist.json")
}

/// Verifies what was written, as anybody would, and says what it is good for.
fn confirm(path: &Path, trust: &Trust, record: &[u8]) -> Result<Exit, Failure> {
    let question =
        Question { trust, at: input::instant(None)?, job: None, record: Some(record), packs: None, rejudge: false };
    let report = verify::verify(&path.to_string_lossy(), &input::bytes(path)?, &question);
    let missing = report.faults.iter().all(|reason| matches!(reason, Reason::TooFewSigners { .. }));
    if !missing {
        return Err(Failure::Integrity(report.faults));
    }
    output::report(&format!("Signed and read back: {}\n", path.display()))?;
    for reason in report.reasons() {
        output::report(&format!("  not yet: {reason}\n"))?;
    }
    if report.may_start() {
        output::report("  the fill may start\n")?;
    }
    Ok(Exit::Pass)
}
