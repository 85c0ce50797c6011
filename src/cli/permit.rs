//! `fillward permit`: asking for, and giving, a signed permission to go on in spite of one broken rule.

use std::fmt::Write as _;
use std::path::PathBuf;

use clap::{Args, Subcommand};
use fillward::checklist::permit::PermitBody;
use fillward::desk::{
    By, Consent, GiveOrder, Hand, PermitDraft, PermitOrder, PermitStanding, Permitted, Purpose, ShowPermitOrder,
};
use fillward::explain::citation;
use fillward::pack::{PackText, Rule, numbered, rule_code};
use fillward::units::Instant;
use fillward::vocabulary::{Role, quoted, shown};

use super::failure::Failure;
use super::files::DESK;
use super::output::{Terminal, named};
use super::secret::{PrivateKey, signs_as};
use super::show::lines;
use super::trust::{TrustArguments, whose};
use super::verify::{COVERS, assemblies};
use super::{Exit, ask, input};

mod page;

use page::page;

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Ask for a permit and sign that; it permits nothing until somebody else gives it. Where the rule is not broken,
    /// or holds nothing, no permit is needed: nothing is signed, and the exit code is 2
    Ask(Box<AskArguments>),
    /// Give the permit that somebody asked for and signed, after a look at what it sets aside
    Give(Box<GiveArguments>),
    /// Write and give a permit for somebody who asked by word of mouth; every report says that they have not signed
    Write(Box<WriteArguments>),
    /// Show what a permit, or the request for one, says, as a page for people. It decides nothing: `sign` and `verify`
    /// hold it against the record
    Show(ShowPermitArguments),
}

#[derive(Debug, Args)]
#[command(mut_arg("trust", |trust| trust.required(false).help("The shop's signed trust file, which names who signed; by it the page says first whether the permit counts")))]
pub(crate) struct ShowPermitArguments {
    /// The permit, or the request for one
    permit: PathBuf,
    #[command(flatten)]
    trust: Option<TrustArguments>,
    /// A local pack whose rule it is of; may be given several times
    #[arg(long, value_name = "FILE")]
    pack: Vec<PathBuf>,
}

// What is asked for.
#[derive(Debug, Args)]
struct PermitAsked {
    /// The job record
    record: PathBuf,
    #[command(flatten)]
    judging: Judging,
    #[command(flatten)]
    passing: input::Passing,
    /// The broken rule, such as stored-outdoors
    #[arg(long)]
    rule: String,
    /// Of which tyre, side or person, where the rule is broken for several
    #[arg(long, value_name = "NAME")]
    of: Option<String>,
    /// Why it is asked for, and what is done instead
    #[arg(long)]
    reason: String,
    /// Until when it is to be good
    #[arg(long, value_name = "TIME")]
    until: String,
    /// Where the permit goes; beside the record where this is left out
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

// What the record is judged with.
#[derive(Debug, Args)]
struct Judging {
    #[command(flatten)]
    shop: input::ShopFile,
    /// A local pack to judge by as well; may be given several times
    #[arg(long, value_name = "FILE")]
    pack: Vec<PathBuf>,
}

// Who signs, and by which trust file.
#[derive(Debug, Args)]
struct PermitSignatory {
    #[command(flatten)]
    key: PrivateKey,
    #[command(flatten)]
    trust: TrustArguments,
    /// Do not ask before signing
    #[arg(long)]
    yes: bool,
}

#[derive(Debug, Args)]
#[command(mut_arg("owner", |owner| owner.required(true)))]
pub(crate) struct AskArguments {
    #[command(flatten)]
    asked: PermitAsked,
    /// Who asks and signs that, as the trust file names the person
    #[arg(long = "as", value_name = "NAME")]
    name: String,
    #[command(flatten)]
    signatory: PermitSignatory,
    /// In which role
    #[arg(long, default_value = "supervisor", value_parser = super::trust::role)]
    role: Role,
}

#[derive(Debug, Args)]
#[command(mut_arg("owner", |owner| owner.required(true)))]
pub(crate) struct GiveArguments {
    /// What was asked for, the `.permit.json` that `fillward permit ask` writes
    request: PathBuf,
    /// The record as it stands now
    #[arg(long, value_name = "RECORD")]
    record: PathBuf,
    #[command(flatten)]
    judging: Judging,
    #[command(flatten)]
    signatory: PermitSignatory,
    /// In which role
    #[arg(long, default_value = "safety-officer", value_parser = super::trust::role)]
    role: Role,
}

#[derive(Debug, Args)]
#[command(mut_arg("owner", |owner| owner.required(true)))]
pub(crate) struct WriteArguments {
    #[command(flatten)]
    asked: PermitAsked,
    /// Who asked, as the trust file names the person; never the one who permits
    #[arg(long, value_name = "NAME")]
    asked_by: String,
    #[command(flatten)]
    signatory: PermitSignatory,
    /// In which role
    #[arg(long, default_value = "safety-officer", value_parser = super::trust::role)]
    role: Role,
}

pub(crate) fn run(command: &Command, terminal: Terminal) -> Result<Exit, Failure> {
    match command {
        Command::Ask(arguments) => {
            let AskArguments { asked, name, signatory, role } = &**arguments;
            new(asked, By::Asker { name: name.clone() }, signatory, *role, terminal)
        }
        Command::Write(arguments) => {
            let WriteArguments { asked, asked_by, signatory, role } = &**arguments;
            new(asked, By::Permitter { asked_by: asked_by.clone() }, signatory, *role, terminal)
        }
        Command::Show(arguments) => show(arguments, terminal),
        Command::Give(arguments) => {
            let GiveArguments { request, record, judging, signatory, role } = &**arguments;
            let order = GiveOrder {
                request: input::source(request)?,
                record: input::source(record)?,
                shop: judging.shop.source()?,
                packs: input::sources(&judging.pack)?,
            };
            let trust = signatory.trust.open(Purpose::Sign)?;
            terminal.prose(&whose(&trust))?;
            ask_and_sign(DESK.draft_given(order, trust)?, signatory, *role, terminal)
        }
    }
}

fn new(
    asked: &PermitAsked,
    by: By,
    signatory: &PermitSignatory,
    role: Role,
    terminal: Terminal,
) -> Result<Exit, Failure> {
    let trust = signatory.trust.open(Purpose::Sign)?;
    let order = PermitOrder {
        record: input::source(&asked.record)?,
        shop: asked.judging.shop.source()?,
        packs: input::sources(&asked.judging.pack)?,
        rule: asked.rule.clone(),
        subject: asked.of.clone(),
        reason: asked.reason.clone(),
        by,
        until: input::instant_by("--until", &asked.until, trust.zone())?,
        passage: asked.passing.passage(),
        out: asked.out.clone(),
    };
    terminal.prose(&whose(&trust))?;
    ask_and_sign(DESK.draft_permit(order, trust)?, signatory, role, terminal)
}

/// Shows what is asked for or to be permitted, asks, and says what became of it.
fn ask_and_sign(
    draft: PermitDraft,
    signatory: &PermitSignatory,
    role: Role,
    terminal: Terminal,
) -> Result<Exit, Failure> {
    let hand: Hand<'_> = signatory.key.hand(role);
    let act = if draft.asks() { "ask" } else { "permit this" };
    let who = signs_as(act, &draft.signatory(&DESK, &hand)?);
    terminal.prose(&format!("{}{who}", proposed(&draft)))?;
    let consent = if signatory.yes {
        Consent::Given
    } else {
        let question = if draft.asks() {
            "To ask for this, write the job number: "
        } else {
            "To permit this, write the job number: "
        };
        Consent::Written(ask::consent(question)?)
    };
    let permitted = draft.sign(&DESK, &hand, &consent)?;
    terminal.prose(&told(&permitted)).map_err(Failure::after_signing)?;
    Ok(Exit::Pass)
}

fn told(permitted: &Permitted) -> String {
    let Permitted { name, code, body, asked_at, until, given } = permitted;
    let head = if *given { "Permitted until" } else { "Asked for until" };
    let tail = if *given {
        "The fault stays on the record, and is shown as broken, permitted."
    } else {
        "Nothing is permitted yet: whoever may permit it signs it with `fillward permit give`."
    };
    let mut text = format!(
        "{head} {until}: {} for {}, job {}, asked for by {}.\n",
        shown(code),
        quoted(&body.subject_words()),
        quoted(&body.job),
        shown(&body.asked_by)
    );
    assemblies(&mut text, COVERS, &body.filled);
    let _ = writeln!(text, "  asked for at {asked_at}\n  {}\n{tail}", named(name));
    text
}

/// What is to be permitted, with what the record shows of it and the harm that the rule prevents.
fn proposed(draft: &PermitDraft) -> String {
    let body = draft.body();
    let mut text = format!(
        "{}   {} for {}, job {}\n  in the shop {}, {}\n  {}\n",
        if draft.asks() { "TO BE ASKED FOR" } else { "TO BE PERMITTED" },
        shown(&rule_code(&body.pack.name, &body.rule)),
        quoted(&body.subject_words()),
        quoted(&body.job),
        quoted(&body.trust.shop),
        body.hold_point.word(),
        shown(&body.title)
    );
    finding(&mut text, body, draft.rule());
    let asked_at = draft.asked_at();
    let signed = match (draft.asks(), asked_at) {
        (true, _) => "by whose key it is signed",
        (false, Some(_)) => "who has signed that",
        (false, None) => "who has not signed",
    };
    let _ = writeln!(text, "  asked for by {}, {signed}: {}", shown(&body.asked_by), shown(&body.reason));
    let _ = match asked_at {
        Some(at) => writeln!(text, "  asked for at {at}, to be good until {}", shown(&Instant::told(&body.until))),
        None => writeln!(text, "  to be good until {}", shown(&Instant::told(&body.until))),
    };
    text
}

/// What is broken, with what the record shows of it, the harm that the rule prevents and who may permit it, and what is
/// filled.
fn finding(text: &mut String, body: &PermitBody, rule: Option<&Rule>) {
    for line in &body.evidence.applies {
        let _ = writeln!(text, "  applies: {}", shown(&lines::line_in_words(line, &lines::ToldElsewhere::default())));
    }
    for line in &body.evidence.shown {
        let _ = writeln!(
            text,
            "  the record shows: {}",
            shown(&lines::line_in_words(line, &lines::ToldElsewhere::default()))
        );
    }
    let things = body.things.iter().map(|line| lines::line_in_words(line, &lines::ToldElsewhere::default()));
    let things: Vec<String> = things.collect();
    if !things.is_empty() {
        let _ = writeln!(text, "  it is for these alone: {}", shown(&things.join("; ")));
    }
    if let Some(rule) = rule {
        let _ = writeln!(text, "  why the rule is there: {}", shown(&rule.told.why));
        let steps = numbered(rule.told.put_right.texts().map(PackText::as_str));
        let _ = writeln!(text, "  what would put it right: {}", shown(&steps.join(" ")));
        let _ = writeln!(text, "  source, {}", shown(&citation(&rule.told.source)));
        if let Some(allowed) = &rule.told.permit {
            let _ = writeln!(text, "  only a {} may permit it, for {} at most", shown(&allowed.by), allowed.longest);
        }
    }
    assemblies(text, COVERS, &body.filled);
}

fn show(arguments: &ShowPermitArguments, terminal: Terminal) -> Result<Exit, Failure> {
    let order = ShowPermitOrder {
        permit: input::source(&arguments.permit)?,
        packs: input::sources(&arguments.pack)?,
        trust: arguments.trust.as_ref().map(|trust| trust.open(Purpose::Look)).transpose()?,
    };
    let shown = DESK.show_permit(order)?;
    terminal.prose(&page(&shown))?;
    Ok(match shown.standing {
        None | Some(PermitStanding::InForce) => Exit::Pass,
        Some(PermitStanding::NotGiven | PermitStanding::NotNow(_)) => Exit::Hold,
        Some(PermitStanding::DoesNotCount(_)) => Exit::Integrity,
    })
}
