//! `fillward permit`: a signed permission to go on in spite of one broken rule.

use std::fmt::Write as _;
use std::path::PathBuf;

use clap::Args;
use fillward::checklist::canonical::shown;
use fillward::checklist::jws::Role;
use fillward::checklist::permit;
use fillward::desk::{Consent, PermitDraft, PermitLine, PermitOrder, Purpose};
use fillward::document::prose::whole;
use fillward::explain::citation;

use super::failure::Failure;
use super::files::DESK;
use super::output::Terminal;
use super::secret::PrivateKey;
use super::show::lines;
use super::trust::TrustArguments;
use super::{Exit, input};

#[derive(Debug, Args)]
#[command(mut_arg("owner", |owner| owner.required(true)))]
pub(crate) struct Arguments {
    /// The job record
    record: PathBuf,
    #[command(flatten)]
    shop: input::ShopFile,
    #[command(flatten)]
    passing: input::Passing,
    /// The broken rule, such as stored-outdoors
    #[arg(long)]
    rule: String,
    /// Of what subject, where the rule is broken for several
    #[arg(long)]
    subject: Option<String>,
    /// Why it is asked for, and what is done instead
    #[arg(long)]
    reason: String,
    /// Who asks, as the trust file names the person; never the one who permits
    #[arg(long, value_name = "NAME")]
    asked_by: String,
    /// Until when the permit is valid
    #[arg(long, value_name = "INSTANT")]
    until: String,
    #[command(flatten)]
    key: PrivateKey,
    /// In which role
    #[arg(long, default_value = "safety-officer", value_parser = super::trust::role)]
    role: Role,
    #[command(flatten)]
    trust: TrustArguments,
    /// A local pack to check by as well; may be given several times
    #[arg(long, value_name = "FILE")]
    pack: Vec<PathBuf>,
    /// Where the permit goes; beside the record where this is left out
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Do not ask before signing
    #[arg(long)]
    yes: bool,
}

pub(crate) fn run(arguments: &Arguments, terminal: Terminal) -> Result<Exit, Failure> {
    let until = input::instant("--until", &arguments.until)?;
    let order = PermitOrder {
        record: input::source(&arguments.record)?,
        shop: arguments.shop.source()?,
        packs: input::sources(&arguments.pack)?,
        rule: arguments.rule.clone(),
        subject: arguments.subject.clone(),
        reason: arguments.reason.clone(),
        asked_by: arguments.asked_by.clone(),
        until,
        passage: arguments.passing.passage(),
        out: arguments.out.clone(),
    };
    let draft = DESK.draft_permit(order, arguments.trust.open(Purpose::Sign)?)?;
    terminal.prose(&proposed(&draft))?;
    let consent = if arguments.yes { Consent::Given } else { Consent::Written(super::sign::job_number()?) };
    let permitted = draft.sign(&DESK, &arguments.key.hand(arguments.role), &consent)?;
    let body = &permitted.body;
    let told = terminal.prose(&format!(
        "Permitted until {}: {} for {}, job {}.\n  covers the fill of: {}\n  {}\nThe fault stays on the record, marked `broken, permitted`. A permit starts nothing.\n",
        permitted.until,
        permitted.code,
        shown(&body.subject_words()),
        shown(&body.job),
        shown(&permit::filled_words(&body.filled)),
        whole(&shown(&permitted.name.display().to_string()))
    ));
    told.map_err(Failure::after_signing)?;
    Ok(Exit::Pass)
}

/// What is to be permitted, with what the record shows of it and the harm that the rule prevents.
fn proposed(draft: &PermitDraft) -> String {
    let body = draft.body();
    let mut text = format!(
        "TO BE PERMITTED   {}/{} for {}, job {}\n  {}\n",
        shown(&body.pack.name),
        shown(&body.rule),
        shown(&body.subject_words()),
        shown(&body.job),
        shown(&body.title)
    );
    for line in &body.evidence.applies {
        let _ = writeln!(text, "  applies: {}", shown(&lines::words(line, None)));
    }
    for line in &body.evidence.shown {
        let _ = writeln!(text, "  the record shows: {}", shown(&lines::words(line, None)));
    }
    if let Some(rule) = draft.rule() {
        let _ = writeln!(text, "  why the rule is there: {}", shown(&rule.why));
        let steps: Vec<String> = rule.put_right.numbered().collect();
        let _ = writeln!(text, "  what would put it right: {}", shown(&steps.join(" ")));
        let _ = writeln!(text, "  source, {}", shown(&citation(&rule.source)));
    }
    let _ = writeln!(
        text,
        "  covers the fill of: {}\n  asked by {}, who has not signed: {}\n  from {} until {}",
        shown(&permit::filled_words(&body.filled)),
        shown(&body.asked_by),
        shown(&body.reason),
        body.from,
        body.until
    );
    text
}

/// A permit as people read it: what stays broken, who lets it pass, for whom, why and until when.
pub(crate) fn describe(text: &mut String, permit: &PermitLine) {
    let PermitLine { code, body, by, asker_signed } = permit;
    let _ = writeln!(
        text,
        "  broken, permitted: {} of {}\n    covers the fill of: {}\n    by {}, asked by {}{}, until {}: {}",
        shown(code),
        shown(&body.subject_words()),
        shown(&permit::filled_words(&body.filled)),
        shown(by.as_deref().unwrap_or("nobody")),
        shown(&body.asked_by),
        if *asker_signed { ", who signed too" } else { ", who has not signed" },
        body.until,
        shown(&body.reason)
    );
}
