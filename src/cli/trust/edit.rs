//! `fillward trust new`, `add`, `retire`, `revoke`, `renew`, `rename` and `sign`: the next version of the trust file,
//! shown with what it says otherwise, asked for, and signed by an owner. No policy: what may be signed is a matter of
//! the desk.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use fillward::checklist::packs::BASE;
use fillward::checklist::trust::{Ending, TrustBody};
use fillward::desk::{
    ApprovalOrder, ApprovalProposal, Consent, FirstTrust, Hand, NextTrust, OwnerAsks, TrustDraft, TrustNote,
    TrustOrder, VersionBefore,
};
use fillward::document::prose::whole;
use fillward::units::{Instant, Zone};
use fillward::vocabulary::{Role, shown};

use super::told::{proposed, told};
use super::warn_unremembered;
use crate::cli::failure::Failure;
use crate::cli::files::DESK;
use crate::cli::output::{Terminal, beside, counted};
use crate::cli::secret::{Passphrase, signs_as};
use crate::cli::{Exit, ask, input};

// Which trust file is changed, and which owner signs that.
#[derive(Debug, Args)]
pub(crate) struct SigningOwner {
    /// The shop's signed trust file; its next version waits beside it until all owners who must have signed it
    #[arg(long, value_name = "FILE")]
    trust: PathBuf,
    /// The private key of the owner who signs
    #[arg(long, value_name = "FILE")]
    by: PathBuf,
    #[command(flatten)]
    passphrase: Passphrase,
    /// Do not ask before signing
    #[arg(long)]
    yes: bool,
}

impl SigningOwner {
    fn hand(&self) -> Hand<'_> {
        Hand { key: &self.by, role: Role::Owner, passphrases: &self.passphrase }
    }
}

#[derive(Debug, Subcommand)]
pub(crate) enum TrustEdit {
    /// Make the trust file of a new shop, with its first owner
    New {
        /// The name of the shop
        #[arg(long)]
        shop: String,
        /// Where the shop lies, by the name of the IANA time zone database
        #[arg(long)]
        zone: String,
        /// The name of the owner
        #[arg(long)]
        name: String,
        /// The owner's public key
        #[arg(long, value_name = "FILE")]
        key: PathBuf,
        /// Until when trust file and key hold; a year where nothing is said
        #[arg(long, value_name = "TIME")]
        until: Option<String>,
        #[command(flatten)]
        owner: SigningOwner,
    },
    /// Add a person with a key, or a further key or role of somebody who is there
    Add {
        /// The person's name
        person: String,
        /// In which role the person signs; may be given several times
        #[arg(long, value_parser = super::role)]
        role: Vec<Role>,
        /// The person's public key; somebody who is there may get a role without a further one
        #[arg(long, value_name = "FILE")]
        key: Option<PathBuf>,
        /// Until when the key may sign; a year where nothing is said
        #[arg(long, value_name = "TIME")]
        until: Option<String>,
        /// How many owners must sign the trust file from now on
        #[arg(long, value_name = "NUMBER")]
        owners_needed: Option<u16>,
        #[command(flatten)]
        owner: SigningOwner,
    },
    /// End the keys of somebody who leaves and has given them back, so that what they signed stays in order; or a role of
    /// somebody who stays, or the approvals of a pack
    Retire {
        /// The person's name
        #[arg(required_unless_present = "pack")]
        person: Option<String>,
        /// A role that the person has no longer, with the keys left as they are; may be given several times
        #[arg(long, value_parser = super::role, requires = "person", conflicts_with_all = ["from", "key", "why"])]
        role: Vec<Role>,
        /// The name of a pack that may judge no longer
        #[arg(long, value_name = "NAME", conflicts_with_all = ["person", "role", "key", "why"])]
        pack: Option<String>,
        /// From when the keys sign nothing; now where nothing is said
        #[arg(long, value_name = "TIME")]
        from: Option<String>,
        /// Why
        #[arg(long, default_value = "left the shop")]
        why: String,
        /// One public key of the person, where only that one ends
        #[arg(long, value_name = "FILE")]
        key: Option<PathBuf>,
        #[command(flatten)]
        owner: SigningOwner,
    },
    /// Revoke the keys of somebody, because another may have them: what they signed is then in order only where another
    /// person's signature from before bears it out
    Revoke {
        /// The person's name
        person: String,
        /// The latest time at which the keys were surely in the right hands
        #[arg(long, value_name = "TIME")]
        from: String,
        /// Why
        #[arg(long)]
        why: String,
        /// A public key of the person that is revoked, where there are several; may be given several times
        #[arg(long, value_name = "FILE")]
        key: Vec<PathBuf>,
        #[command(flatten)]
        owner: SigningOwner,
    },
    /// Let the trust file and, with --keys, everybody's keys hold for longer, ask for more or fewer owners, or set
    /// aside that a clock stood wrong
    Renew {
        /// Until when it is to be good; a year where nothing is said
        #[arg(long, value_name = "TIME")]
        until: Option<String>,
        /// Let every key that can still sign hold until then as well, the owners' too
        #[arg(long)]
        keys: bool,
        /// How many owners must sign the trust file from now on
        #[arg(long, value_name = "NUMBER")]
        owners_needed: Option<u16>,
        /// Let the clocks of all accounts count from now, whatever they have shown before, and whatever time an owner signed
        /// the version in force by
        #[arg(long)]
        clock_anew: bool,
        #[command(flatten)]
        owner: SigningOwner,
    },
    /// Give the shop another name. It stays the same shop: what was signed under the old name stays as good as it was
    Rename {
        /// The new name
        shop: String,
        #[command(flatten)]
        owner: SigningOwner,
    },
}

pub(crate) fn run(edit: &TrustEdit, terminal: Terminal) -> Result<Exit, Failure> {
    match edit {
        TrustEdit::New { shop, zone, name, key, until, owner } => {
            let zone = Zone::find(zone).map_err(|error| Failure::usage(format!("--zone: {error}"), error.help()))?;
            let until = until_of(until.as_deref(), &zone)?;
            let key = &DESK.public_key(key)?;
            let body = DESK.first_trust(&FirstTrust { shop, zone: &zone, owner: name, key, until })?;
            let (name, out) = (owner.trust.clone(), owner.trust.clone());
            let draft = DESK.draft_trust(TrustOrder { body, name, document: None, out, from: None })?;
            ask_and_sign(draft, &owner.hand(), owner.yes, terminal)
        }
        TrustEdit::Add { person, role, key, until, owners_needed, owner } => {
            let next = DESK.next_trust(&owner.trust)?;
            let until = until_of(until.as_deref(), &next.zone)?;
            let key = key.as_ref().map(|key| DESK.public_key(key)).transpose()?;
            let asks = OwnerAsks::Add { person, roles: role, key, until, owners_needed: *owners_needed };
            sign_next(next, &asks, owner, terminal)
        }
        TrustEdit::Retire { person: Some(person), role, from, why, key, owner, .. } if role.is_empty() => {
            end_keys((person, key.as_slice()), Ending::Retired, (from.as_deref(), why), owner, terminal)
        }
        TrustEdit::Retire { person: Some(person), role, owner, .. } => {
            let asks = OwnerAsks::TakeRoles { person, roles: role };
            sign_next(DESK.next_trust(&owner.trust)?, &asks, owner, terminal)
        }
        TrustEdit::Retire { person: None, pack, from, owner, .. } => {
            let next = DESK.next_trust(&owner.trust)?;
            let from = from.as_deref().map(|text| input::instant_by("--from", text, &next.zone)).transpose()?;
            let asks = OwnerAsks::EndApprovals { pack: pack.as_deref().unwrap_or_default(), from };
            sign_next(next, &asks, owner, terminal)
        }
        TrustEdit::Revoke { person, from, why, key, owner } => {
            end_keys((person, key), Ending::Revoked, (Some(from), why), owner, terminal)
        }
        TrustEdit::Renew { until, keys, owners_needed, clock_anew, owner } => {
            let next = DESK.next_trust(&owner.trust)?;
            let until = until_of(until.as_deref(), &next.zone)?;
            let (keys, owners_needed, clock_anew) = (*keys, *owners_needed, *clock_anew);
            let asks = OwnerAsks::Renew { until, keys, owners_needed, clock_anew };
            sign_next(next, &asks, owner, terminal)
        }
        TrustEdit::Rename { shop, owner } => {
            sign_next(DESK.next_trust(&owner.trust)?, &OwnerAsks::Rename { shop }, owner, terminal)
        }
    }
}

/// What an owner should know of what was asked for.
fn told_note(note: &TrustNote) -> String {
    match note {
        TrustNote::FurtherKey { person } => format!(
            "note: {0} is in the trust file already: this is a further key of the same person; somebody else who is \
             called {0} gets a name that tells the two apart",
            shown(person)
        ),
        TrustNote::BaseNoLongerApproved => format!(
            "warning: once the approval of {BASE} has ended, nothing can be signed until a safety officer approves it again \
             with `fillward trust approve`"
        ),
        TrustNote::JudgesNoLonger { pack, required: true } => format!(
            "warning: once the approval of {0} has ended, jobs are judged without the rules of {0}, and may pass that it \
             would hold; to stop work until it is corrected, start nothing, and have the corrected one approved with `fillward \
             trust approve`, which takes its place",
            shown(pack)
        ),
        TrustNote::JudgesNoLonger { pack, required: false } => format!(
            "note: once the approval of {0} has ended, no checklist that {0} has judged can be signed, and jobs are judged \
             without its rules",
            shown(pack)
        ),
        TrustNote::WasAhead { version, ahead, packs } => {
            let again = if packs.is_empty() {
                String::new()
            } else {
                format!(
                    "; the approval of {} begins then all the same: have it approved again",
                    shown(&packs.join(", "))
                )
            };
            format!(
                "note: version {version} was made or signed by a clock that stood ahead, up to {ahead}: what ended by that \
                 clock ends now, and keys that begin by it begin now{again}"
            )
        }
    }
}

/// Ends keys of a person, all where none is named, from a time on.
fn end_keys(
    (person, keys): (&str, &[PathBuf]),
    how: Ending,
    (from, why): (Option<&str>, &str),
    owner: &SigningOwner,
    terminal: Terminal,
) -> Result<Exit, Failure> {
    let next = DESK.next_trust(&owner.trust)?;
    let from = from.map(|text| input::instant_by("--from", text, &next.zone)).transpose()?;
    let keys = keys.iter().map(|path| DESK.public_key(path)).collect::<Result<_, _>>()?;
    sign_next(next, &OwnerAsks::EndKeys { person, keys, how, from, why }, owner, terminal)
}

/// Signs a trust file that an owner wrote, or, where none is given, the draft that waits.
pub(crate) fn sign(
    source: Option<&Path>,
    hand: &Hand<'_>,
    out: &Path,
    yes: bool,
    terminal: Terminal,
) -> Result<Exit, Failure> {
    let draft = match source {
        Some(path) => {
            let source = input::source(path)?;
            let document = source.document()?;
            let body = TrustBody::from_document(&document)?;
            let (name, document) = (source.name, Some(document));
            DESK.draft_trust(TrustOrder { body, name, document, out: out.to_owned(), from: None })?
        }
        None => DESK.draft_that_waits(out)?,
    };
    ask_and_sign(draft, hand, yes, terminal)
}

/// The end that is given.
fn until_of(given: Option<&str>, zone: &Zone) -> Result<Option<Instant>, Failure> {
    given.map(|text| input::instant_by("--until", text, zone)).transpose()
}

fn sign_next(next: NextTrust, asks: &OwnerAsks<'_>, owner: &SigningOwner, terminal: Terminal) -> Result<Exit, Failure> {
    ask_and_sign(DESK.draft_next(next, asks, &owner.trust)?, &owner.hand(), owner.yes, terminal)
}

/// Shows which pack is to be approved, asks, and says where the approval waits.
pub(crate) fn approve(order: ApprovalOrder, hand: &Hand<'_>, yes: bool, terminal: Terminal) -> Result<Exit, Failure> {
    let draft = DESK.draft_approval(order)?;
    let ApprovalProposal { part, rules, from, required, ends } = draft.proposal();
    let needed = if *required { "every job must be judged by it" } else { "a job may be judged by it" };
    let mut text = format!(
        "Pack {}, {}, to judge from {from}; {needed}\n  + {}\n",
        shown(&part.title()),
        counted(*rules, "rule"),
        part.digest_in_words()
    );
    for old in ends {
        let _ = writeln!(text, "  - {} {}: its approval ends then", shown(&old.title()), old.digest_in_words());
    }
    terminal.prose(&text)?;
    let consent =
        if yes { Consent::Given } else { Consent::Written(ask::consent("To approve this pack, write its name: ")?) };
    let name = draft.sign(&DESK, hand, &consent)?;
    let told = format!(
        "Approved. It counts once the owners have signed the draft that it waits in:\n  {}\n",
        whole(&shown(&name.display().to_string()))
    );
    terminal.prose(&told).map_err(Failure::after_signing)?;
    Ok(Exit::Pass)
}

/// Shows what is to be signed, asks, and says whether it is in force.
fn ask_and_sign(draft: TrustDraft, hand: &Hand<'_>, yes: bool, terminal: Terminal) -> Result<Exit, Failure> {
    for note in draft.notes() {
        beside(&told_note(note));
    }
    if let Some(VersionBefore { version, seen_before, .. }) = &draft.proposal().before {
        super::tell_of_change(*version, seen_before.as_ref());
    }
    terminal.prose(&proposed(draft.proposal()))?;
    super::warn_of_ends(draft.trust(), &DESK);
    // What speaks against the key is said where it is put to use.
    if let Ok(signatory) = DESK.signatory(hand, draft.trust()) {
        terminal.prose(&signs_as("sign", &signatory))?;
    }
    let consent = if yes {
        Consent::Given
    } else {
        Consent::Written(ask::consent("To sign this, write the number of the version: ")?)
    };
    let signed = draft.sign(&DESK, hand, &consent)?;
    terminal.prose(&told(&signed)).map_err(Failure::after_signing)?;
    warn_unremembered(signed.body.version, signed.unremembered);
    Ok(Exit::Pass)
}
