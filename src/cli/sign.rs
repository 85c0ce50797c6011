//! `fillward sign` and `fillward countersign`: the signatures that let a fill start.

mod countersign;
pub(crate) mod json;
mod shop_told;

use std::fmt::Write as _;
use std::path::PathBuf;

use clap::{ArgMatches, Args, ValueEnum};
use fillward::checklist::Reason;
use fillward::checklist::body::ChecklistBody;
use fillward::checklist::packs::PackPart;
use fillward::desk::{
    CHECKLIST_ENDING, Consent, CrewMember, Draft, Hand, NamedHand, OtherChecklist, PlaceInRecord, Proposal, Purpose,
    Refusal, SignOrder, Signed,
};
use fillward::document::prose::capital;
use fillward::units::Instant;
use fillward::vocabulary::{Role, quoted, shown};

use super::failure::Failure;
use super::files::DESK;
use super::output::{Terminal, counted, named};
use super::secret::{PrivateKey, signs_as};
use super::show::lines;
use super::trust::{TrustArguments, whose};
use super::verify::paths;
use super::{Exit, ask, input, output};

pub(crate) use countersign::{CountersignArguments, countersign};

/// The last line wherever signing ends without a signature.
pub(crate) const NOTHING_SIGNED: &str = "Nothing was signed. Nothing starts by this.";

// Who signs, and by which trust file.
#[derive(Debug, Args)]
struct Signatory {
    #[command(flatten)]
    key: PrivateKey,
    /// In which role to sign
    #[arg(long, default_value = "supervisor", value_parser = super::trust::role)]
    role: Role,
    #[command(flatten)]
    trust: TrustArguments,
}

#[derive(Debug, Args)]
#[command(mut_arg("owner", |owner| owner.required(true)))]
pub(crate) struct Arguments {
    /// The job record
    record: PathBuf,
    #[command(flatten)]
    shop: input::ShopFile,
    #[command(flatten)]
    passing: input::Passing,
    #[command(flatten)]
    signatory: Signatory,
    /// A local pack to check by as well; may be given several times
    #[arg(long, value_name = "FILE")]
    pack: Vec<PathBuf>,
    /// A signed permit for a broken rule; may be given several times
    #[arg(long, value_name = "FILE")]
    permit: Vec<PathBuf>,
    /// Check as of this date and time instead of now: a practice run, by which nothing may go on
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// The signed checklist of the hold point before, which this one follows, or a folder in which it lies with those before
    /// it; may be given several times
    #[arg(long, value_name = "FILE")]
    before: Vec<PathBuf>,
    /// Where the checklist goes, under a name that ends in `.checklist.json`; beside the record where this is left out
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Sign a HOLD for the file, because the record of a held job matters to the person who reviews it; this never lets
    /// a fill start
    #[arg(long)]
    hold: bool,
    /// Do not ask before signing
    #[arg(long)]
    yes: bool,
    /// How to print what was signed
    #[arg(long, value_enum, default_value_t = SignFormat::Text)]
    format: SignFormat,
}

/// How it is printed what was signed, or why nothing was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum SignFormat {
    /// For people
    Text,
    /// For other programs; see `fillward schema signing`. What people read goes to standard error
    Json,
}

pub(crate) fn run(arguments: &Arguments, terminal: Terminal) -> Result<Exit, Failure> {
    let mut act = json::SoFar::default();
    match arguments.format {
        SignFormat::Text => sign(arguments, terminal, &mut act),
        SignFormat::Json => {
            let outcome = sign(arguments, terminal.beside_report(), &mut act);
            let text = json::json(&act, outcome.as_ref().err());
            let told = text.and_then(|text| output::report(&text));
            outcome.and_then(|exit| {
                told.map(|()| exit).map_err(|failure| match act.signed {
                    Some(_) => failure.after_signing(),
                    None => failure,
                })
            })
        }
    }
}

/// Tells a program that nothing was signed, and why, where no more is known than the command line as it was typed.
pub(super) fn unanswered_as_typed(typed: &ArgMatches, failure: &Failure) {
    if let Ok(Some(SignFormat::Json)) = typed.try_get_one("format") {
        // Where standard output is gone as well, the exit code still tells.
        let _ = json::json(&json::SoFar::default(), Some(failure)).and_then(|text| output::report(&text));
    }
}

fn sign(arguments: &Arguments, terminal: Terminal, act: &mut json::SoFar) -> Result<Exit, Failure> {
    let Signatory { key, role, trust } = &arguments.signatory;
    let trust = trust.open(Purpose::Sign)?;
    act.trust = Some(trust.clone());
    let order = SignOrder {
        record: input::source(&arguments.record)?,
        shop: arguments.shop.source()?,
        packs: input::sources(&arguments.pack)?,
        permits: input::sources(&arguments.permit)?,
        at: input::at(arguments.at.as_deref(), trust.zone())?,
        out: arguments.out.clone(),
        hold: arguments.hold,
        passage: arguments.passing.passage(),
        before: input::sources(&paths::expanded(&arguments.before, CHECKLIST_ENDING)?)?,
    };
    let draft = DESK.draft(order, trust)?;
    act.drafted(&draft);
    let (exit, signed) = ask_and_sign(draft, &key.hand(*role), arguments.yes, terminal)?;
    act.signed = signed;
    Ok(exit)
}

/// Shows what is to be signed, asks, and says what the signed file is good for. Nothing is signed where a HOLD was not
/// meant to be.
fn ask_and_sign(
    draft: Draft,
    hand: &Hand<'_>,
    yes: bool,
    terminal: Terminal,
) -> Result<(Exit, Option<Signed>), Failure> {
    // What is signed comes first, and by whose trust file it is last.
    terminal.prose(&format!("{}{}", proposed(draft.proposal()), whose(draft.trust())))?;
    match draft.ready(&DESK) {
        Err(Refusal::Held) => {
            terminal.prose(&format!(
                "A HOLD is signed for the file only with --hold, and starts nothing.\n{}\n{NOTHING_SIGNED}\n",
                terminal.caution()
            ))?;
            return Ok((Exit::Hold, None));
        }
        ready => ready?,
    }
    terminal.prose(&signatory(&draft, hand)?)?;
    let consent = if yes { Consent::Given } else { Consent::Written(job_number()?) };
    let signed = draft.sign(&DESK, hand, &consent)?;
    let exit = told(&signed, terminal).map_err(Failure::after_signing)?;
    Ok((exit, Some(signed)))
}

/// Who is about to sign, with what the record says of them where a reader should know.
fn signatory(draft: &Draft, hand: &Hand<'_>) -> Result<String, Failure> {
    let signatory = DESK.signatory(hand, draft.trust())?;
    let mut text = signs_as("sign", &signatory);
    if let Some(known) = &signatory.known {
        text.push_str(&in_the_record(draft.proposal(), known, signatory.role));
    }
    Ok(text)
}

/// What the record says otherwise of the person who signs.
fn in_the_record(proposal: &Proposal, known: &NamedHand, role: Role) -> String {
    let named = |one: &CrewMember| match &one.role {
        Some(role) => format!("{} ({})", shown(&one.name), shown(role)),
        None => shown(&one.name).into_owned(),
    };
    match proposal.place_of(&known.who, role) {
        PlaceInRecord::AsSigned => String::new(),
        PlaceInRecord::Otherwise(one) => format!("  NOTE: the record has you as {}, not as its {role}\n", named(one)),
        PlaceInRecord::NotNamed => {
            let crew: Vec<String> = proposal.crew.iter().map(named).collect();
            format!("  NOTE: the record does not name you among its people: {}\n", crew.join(", "))
        }
    }
}

/// What is to be signed, in plain words and with the counts and figures that `check` shows.
fn proposed(proposal: &Proposal) -> String {
    let Proposal {
        body,
        summary,
        zone,
        permits: _,
        shop_name,
        shop_changes,
        earlier,
        changes,
        witness,
        here,
        not_covered,
        crew: _,
        otherwise,
    } = proposal;
    let point = body.hold_point;
    let mut text = format!(
        "{}   {} · job {}, checked {} in {}\n",
        body.verdict.word(),
        body.hold_point.word(),
        quoted(&body.job),
        shown(&Instant::told(&body.judged_at)),
        shown(&body.time_zone)
    );
    if body.rehearsal {
        text.push_str("  a practice run as of a time given by hand: it starts nothing\n");
    }
    super::verify::covered(&mut text, &body.assemblies, not_covered);
    for line in summary.phrases_of_assemblies().iter().filter(|_| body.passes()) {
        let _ = writeln!(text, "  {}", shown(line));
    }
    findings(&mut text, proposal);
    for change in changes {
        let words = change.sentence(point.previous().unwrap_or_default());
        let _ = writeln!(text, "  CHANGED since: {}", shown(&words));
    }
    here_already(&mut text, here, body, earlier.is_empty() && !body.rehearsal);
    if let Some(shop) = &body.inputs.shop_file {
        let digest = shop.sha256.get(..16).unwrap_or(&shop.sha256);
        let whose = shop_name.as_ref().map_or("the shop".to_owned(), |name| quoted(name));
        let _ = writeln!(text, "  with {} ({digest}) of {whose}", shown(&shop.name));
    }
    if let Some(changes) = shop_changes {
        shop_told::shop_file(&mut text, changes);
    }
    for line in super::verify::worked_out(otherwise) {
        let _ = writeln!(text, "  {}", shown(&line));
    }
    for line in summary.further_phrases().iter().filter(|_| body.passes()) {
        let _ = writeln!(text, "  {}", shown(line));
    }
    let packs: Vec<String> = body.packs().iter().map(PackPart::title).collect();
    let _ = writeln!(
        text,
        "  by {}\n  {} · {}",
        shown(&packs.join(" + ")),
        summary.counts_phrase(),
        counted(body.permits.len(), "permit")
    );
    signers(&mut text, body, *witness);
    if !body.passes() {
        let _ = writeln!(text, "  {}", point.stop());
    }
    for signed in earlier {
        super::verify::signature(&mut text, signed, zone);
    }
    text
}

/// What was found: what is open, what is permitted and by which permits, and how much holds the job.
fn findings(text: &mut String, proposal: &Proposal) {
    let Proposal { body, permits, .. } = proposal;
    for fault in body.findings.each_fault().iter().filter(|fault| !fault.permitted) {
        let _ =
            writeln!(text, "  {}: {} of {}", fault.outcome.word(), shown(&fault.rule), shown(&fault.subject_words()));
    }
    for permit in permits {
        super::verify::permit_line(text, permit);
    }
    for fault in body.findings.each_fault().iter().filter(|fault| fault.permitted) {
        let told = lines::ToldElsewhere::default();
        let seen: Vec<String> = fault.shown.iter().map(|line| lines::line_in_words(line, &told)).collect();
        let _ = writeln!(text, "    {}: {}", shown(&fault.title), shown(&seen.join("; ")));
    }
    let held = proposal.held();
    if held > 0 {
        let holds = if held == 1 { "holds" } else { "hold" };
        let _ = writeln!(text, "  {} {holds} the job; see `fillward check`", counted(held, "finding"));
    }
}

/// Who is to sign, and how long it is good then.
fn signers(text: &mut String, body: &ChecklistBody, witness: bool) {
    let roles: Vec<&str> = body.required_roles.iter().map(|role| role.word()).collect();
    let _ = if witness {
        writeln!(
            text,
            "  you sign as a witness that this was there by now: what it let happen is over, and nothing starts by it"
        )
    } else {
        writeln!(text, "  to be signed by {}", roles.join(" and "))
    };
    if let Some(until) = body.valid_until.as_ref().filter(|_| !body.rehearsal && !witness) {
        let _ = writeln!(text, "  once signed by all, good until {}", shown(&Instant::told(until)));
    }
}

/// The checklists of this job and hold point that are here already, and what becomes of them by one that counts and is
/// signed now.
fn here_already(
    text: &mut String,
    here: &[OtherChecklist],
    body: &fillward::checklist::body::ChecklistBody,
    replaces: bool,
) {
    for other in here.iter().filter(|other| !other.holds) {
        let _ = writeln!(text, "  {}", super::verify::said_to_be_later(other));
    }
    let here: Vec<&OtherChecklist> = here.iter().filter(|other| other.holds).collect();
    for OtherChecklist { name, verdict, judged_at, .. } in &here {
        let _ = writeln!(
            text,
            "  HERE ALREADY for this job and hold point: {}, checked {}, {}",
            verdict.word(),
            shown(&Instant::told(judged_at)),
            quoted(name)
        );
    }
    let at = |text: &str| Instant::parse(text).ok();
    let no_earlier = |other: &&OtherChecklist| at(&other.judged_at) >= at(&body.judged_at);
    if !here.is_empty() && replaces {
        text.push_str(if here.iter().any(no_earlier) {
            "  it was checked no later than one of these, so nothing starts by it: check once more, and sign that\n"
        } else {
            "  once this is signed, it alone counts\n"
        });
    }
}

/// Asks the person to write the job number, which takes a look at what is signed.
pub(crate) fn job_number() -> Result<String, Failure> {
    ask::consent("To sign this, write the job number: ")
}

/// That work may go on by a signed file, and until when by the clock; nothing where it may not.
fn may_start_until(signed: &Signed) -> Option<String> {
    let body = signed.report.body.as_ref().filter(|_| signed.report.may_start())?;
    let until = Instant::parse(body.valid_until.as_deref()?).ok()?;
    let may = capital(body.hold_point.may());
    Some(format!("{may} until {until}"))
}

/// Says what a signed file is good for.
fn told(signed: &Signed, terminal: Terminal) -> Result<Exit, Failure> {
    let name = named(&signed.name);
    if let Some(first) = may_start_until(signed) {
        terminal.prose(&format!("SIGNED. {first}\n"))?;
    }
    terminal.prose(&format!("Signed and read back: {name}\n"))?;
    // What is over is not still to come: whoever signed then is a witness.
    let is_over = signed.report.signatures.last().is_some_and(|last| last.witness);
    for reason in signed.report.reasons().filter(|reason| !(is_over && reason.is_of_age())) {
        let before = match reason {
            _ if is_over => "",
            // What is still to come is a signature; the rest is so, whoever signs.
            Reason::TooFewSigners { .. } => "not yet: ",
            _ => "nothing starts by it: ",
        };
        terminal.prose(&format!("  {before}{reason}\n"))?;
    }
    if is_over {
        terminal.prose("  what it was for is over; this signature stands as a witness's\n")?;
    }
    if let Some(fault) = &signed.unremembered {
        let name = named(&fault.name);
        terminal.prose(&format!(
            "  the shop file could not be remembered in {name}: the next signature cannot tell what changed\n"
        ))?;
    }
    let may_start = signed.report.may_start();
    let point = signed.report.body.as_ref().map(|body| body.hold_point).unwrap_or_default();
    let (last, exit) = if may_start { (point.may(), Exit::Pass) } else { (point.stop(), Exit::Hold) };
    let mut text = String::new();
    if may_start {
        let covered = signed.report.body.iter().flat_map(|body| &body.assemblies).cloned().collect::<Vec<_>>();
        super::verify::covered(&mut text, &covered, &signed.report.not_covered);
        super::verify::going_on(&mut text, point, &signed.aims);
    }
    terminal.prose(&format!("{text}  {last}\n{}\n", terminal.caution()))?;
    Ok(exit)
}
