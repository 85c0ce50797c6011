//! `fillward permit`: a signed permission to go on in spite of one broken rule.

use std::fmt::Write as _;
use std::path::PathBuf;

use clap::Args;
use fillward::checklist::canonical::shown;
use fillward::checklist::jws::Role;
use fillward::checklist::permit;
use fillward::desk::{PermitLine, PermitOrder, Purpose};
use fillward::document::prose::whole;

use super::failure::Failure;
use super::files::DESK;
use super::output::Terminal;
use super::secret::PrivateKey;
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
    /// Until when it is to hold
    #[arg(long, value_name = "INSTANT")]
    until: String,
    #[command(flatten)]
    key: PrivateKey,
    /// In which role
    #[arg(long, default_value = "safety-officer", value_parser = super::trust::role)]
    role: Role,
    #[command(flatten)]
    trust: TrustArguments,
    /// A local pack to judge by as well; may be given several times
    #[arg(long, value_name = "FILE")]
    pack: Vec<PathBuf>,
    /// Where the permit goes; beside the record where this is left out
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
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
    let trust = arguments.trust.open(Purpose::Sign)?;
    let permitted = DESK.permit(&order, &trust, &arguments.key.hand(arguments.role))?;
    let body = &permitted.body;
    let told = terminal.prose(&format!(
        "Permitted until {}: {} for {}, job {}.\n  filled: {}\n  {}\nThe finding stays broken; it is shown as broken, permitted.\n",
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

/// A permit as people read it: what stays broken, who lets it pass, for whom, why and until when.
pub(crate) fn describe(text: &mut String, permit: &PermitLine) {
    let PermitLine { code, body, by } = permit;
    let _ = writeln!(
        text,
        "  broken, permitted: {} of {}\n    filled: {}\n    by {}, asked by {}, until {}: {}",
        shown(code),
        shown(&body.subject_words()),
        shown(&permit::filled_words(&body.filled)),
        shown(by.as_deref().unwrap_or("nobody")),
        shown(&body.asked_by),
        body.until,
        shown(&body.reason)
    );
}
