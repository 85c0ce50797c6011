//! `fillward countersign`: a further signature, on one checklist that is still to be used, or, as a witness, on those of a
//! folder. Each is shown before the one question; the key is opened once.

use std::path::PathBuf;

use clap::Args;
use fillward::checklist::Reason;
use fillward::desk::{CHECKLIST_ENDING, Consent, Draft, FurtherOrder, Purpose, Refusal, of_no_job};
use fillward::vocabulary::quoted;
use miette::Diagnostic as _;

use super::{Exit, Failure, Signatory, Terminal, ask_and_sign, named, proposed, signs_as, told};
use crate::cli::files::DESK;
use crate::cli::output::beside;
use crate::cli::trust::whose;
use crate::cli::verify::paths;
use crate::cli::{ask, input};

#[derive(Debug, Args)]
#[command(mut_arg("owner", |owner| owner.required(true)))]
pub(crate) struct CountersignArguments {
    /// The checklists; a folder is all files in it and in its folders that end in `.checklist.json`
    #[arg(required = true)]
    checklists: Vec<PathBuf>,
    /// A record as it stands now, for the checklists of its job; what is over is witnessed without it. May be given several
    /// times, and a folder is all files in it and in its folders that end in `.yaml`
    #[arg(long, value_name = "RECORD")]
    record: Vec<PathBuf>,
    #[command(flatten)]
    shop: input::ShopFile,
    #[command(flatten)]
    signatory: Signatory,
    /// A local pack that judged as well; may be given several times
    #[arg(long, value_name = "FILE")]
    pack: Vec<PathBuf>,
    /// A checklist of a hold point before, which one of these follows, or a folder of them; may be given several times
    #[arg(long, value_name = "FILE")]
    before: Vec<PathBuf>,
    /// Do not ask before signing
    #[arg(long)]
    yes: bool,
}

pub(crate) fn countersign(arguments: &CountersignArguments, terminal: Terminal) -> Result<Exit, Failure> {
    let Signatory { key, role, trust } = &arguments.signatory;
    let files = paths::expanded(&arguments.checklists, CHECKLIST_ENDING)?;
    let (named_records, in_folders) = paths::records(&arguments.record)?;
    let (records, found) = (input::sources(&named_records)?, input::sources(&in_folders.documents)?);
    for name in of_no_job(&found) {
        beside(&format!("note: not looked at: {}, of which nobody can tell the job", quoted(&name.to_string_lossy())));
    }
    let (shop, packs) = (arguments.shop.source()?, input::sources(&arguments.pack)?);
    // Those that are signed together may follow one another.
    let mut before = input::sources(&paths::expanded(&arguments.before, CHECKLIST_ENDING)?)?;
    if files.len() > 1 {
        before.extend(input::sources(&files)?);
    }
    let trust = trust.open(Purpose::Sign)?;
    let draft = |path: &PathBuf| -> Result<Draft, Failure> {
        let (records, found, shop) = (records.clone(), found.clone(), shop.clone());
        let (packs, before) = (packs.clone(), before.clone());
        let order = FurtherOrder { checklist: input::source(path)?, records, found, shop, packs, before };
        Ok(DESK.draft_further(order, trust.clone())?)
    };
    if let [file] = files.as_slice() {
        return ask_and_sign(draft(file)?, &key.hand(*role), arguments.yes, terminal).map(|(exit, _)| exit);
    }
    let mut worst = Exit::Pass;
    let mut drafts: Vec<(PathBuf, Draft)> = Vec::new();
    for file in files {
        match draft(&file) {
            Ok(draft) => {
                terminal.prose(&format!("{}\n{}", named(&file), proposed(draft.proposal())))?;
                drafts.push((file, draft));
            }
            Err(failure) => worst = worse(worst, not_signed(&file, &failure, terminal)?),
        }
    }
    if drafts.is_empty() {
        return Ok(worst);
    }
    let hand = key.hand(*role);
    let signatory = DESK.signatory(&hand, &trust)?;
    terminal.prose(&format!("{}{}", whose(&trust), signs_as("sign", &signatory)))?;
    let consent = if arguments.yes {
        Consent::Given
    } else {
        let question = format!("To sign these {}, write how many they are: ", drafts.len());
        Consent::Written(ask::consent(&question)?)
    };
    let (files, drafts): (Vec<PathBuf>, Vec<Draft>) = drafts.into_iter().unzip();
    for (file, signed) in files.iter().zip(Draft::sign_all(drafts, &DESK, &hand, &consent)?) {
        match signed {
            // Of those that are over nothing starts, no matter who signs.
            Ok(signed) => drop(told(&signed, terminal).map_err(Failure::after_signing)?),
            Err(refusal) if is_signed(&refusal) => {
                terminal.prose(&format!("Signed by you before: {}\n", named(file)))?;
            }
            Err(refusal) => worst = worse(worst, not_signed(file, &refusal.into(), terminal)?),
        }
    }
    Ok(worst)
}

/// Whether all that speaks against it is that the same person has signed it.
fn is_signed(refusal: &Refusal) -> bool {
    matches!(refusal, Refusal::Reasons(reasons) if reasons.iter().all(|reason| matches!(reason, Reason::SignedAlready { .. })))
}

/// Says why one of several was not signed.
fn not_signed(file: &std::path::Path, failure: &Failure, terminal: Terminal) -> Result<Exit, Failure> {
    let mut text = format!("Not signed: {}\n", named(file));
    let told = |text: &mut String, what: String, cure: String| {
        *text = format!("{text}  {what}\n    {cure}\n");
    };
    match failure {
        Failure::Integrity(reasons) | Failure::TrustOrder(reasons) | Failure::Trust { reasons, .. } => {
            for reason in reasons {
                told(&mut text, format!("{reason} ({})", reason.code()), reason.help().into_owned());
            }
        }
        other => {
            told(&mut text, other.to_string(), other.help().map(|help| help.to_string()).unwrap_or_default());
        }
    }
    terminal.prose(&text)?;
    Ok(failure.exit())
}

/// The worse of two ends.
fn worse(one: Exit, other: Exit) -> Exit {
    match (one, other) {
        (Exit::Integrity, _) | (_, Exit::Integrity) => Exit::Integrity,
        (Exit::Pass, other) => other,
        (one, _) => one,
    }
}
