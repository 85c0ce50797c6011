//! `fillward trust`: the shop's trust file, and how the other commands open it.

mod edit;
mod show;
mod told;

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use fillward::checklist::keys::PublicKey;
use fillward::checklist::packs::{self, BASE};
use fillward::checklist::trust::{EndsSoon, PlannedEnd, Trust};
use fillward::desk::{Acceptance, ApprovalOrder, Desk, NamedBytes, Opened, Purpose, Refusal, SeenBefore, Trusting};
use fillward::units::Instant;
use fillward::vocabulary::{Role, quoted, shown};

use super::failure::Failure;
use super::files::DESK;
use super::output::{self, Terminal, beside};
use super::secret::PrivateKey;
use super::{Exit, ask, input};

// The trust file of a command. Commands that put a key to use ask for an owner's key; without one the file is taken at its
// word, and no fill may start by it.
#[derive(Debug, Args)]
pub(crate) struct TrustArguments {
    /// The shop's signed trust file
    #[arg(long, value_name = "FILE")]
    trust: PathBuf,
    /// The public key of an owner, by its file or by its eight words from paper; may be given several times, and the trust
    /// file must be signed with each of them
    #[arg(long, value_name = "FILE|WORDS")]
    owner: Vec<String>,
    /// Refuse a trust file of an older version than this
    #[arg(long, value_name = "VERSION", default_value_t = 1)]
    trust_at_least: i64,
    /// The words of the trust file's content, read off the shop's latest paper: they stand for what this account remembers
    /// and has accepted, for this command
    #[arg(long, value_name = "WORDS")]
    trust_words: Option<String>,
}

impl TrustArguments {
    /// Opens and checks the trust file.
    pub(crate) fn open(&self, purpose: Purpose) -> Result<Trust, Failure> {
        self.opened(purpose).map(|(trust, _)| trust)
    }

    /// The same, with whether this account knows its owners.
    fn opened(&self, purpose: Purpose) -> Result<(Trust, bool), Failure> {
        let (file, words) = (input::source(&self.trust)?, self.trust_words.clone());
        let owners = self.owner.iter().map(|owner| owner_key(&file, owner)).collect::<Result<_, _>>()?;
        let trusting = Trusting { owners, file, at_least: self.trust_at_least, words };
        let Opened { trust, unremembered, seen_before, is_known, renamed_from } =
            DESK.open_trust(&trusting, purpose)?;
        tell_of_name(&trust, renamed_from);
        tell_of_change(trust.version(), seen_before.as_ref());
        warn_unremembered(trust.version(), unremembered);
        warn_of_ends(&trust, &DESK);
        Ok((trust, is_known))
    }
}

/// The key of an owner, by its file or by its words.
fn owner_key(file: &NamedBytes, owner: &str) -> Result<PublicKey, Failure> {
    Ok(if is_words(owner) { DESK.owner_by_words(file, owner)? } else { DESK.public_key(Path::new(owner))? })
}

/// Whether an owner is named by words, and not by a file.
fn is_words(owner: &str) -> bool {
    owner.trim().contains(' ') && matches!(DESK.storage.read_if_there(Path::new(owner)), Ok(None))
}

/// Whose trust file is in force, for the person who signs by it: the shop, the version and the owners who signed it,
/// with the words that stand on their paper.
pub(crate) fn whose(trust: &Trust) -> String {
    let mut text = format!(
        "By the trust file of {}, version {} ({})\n",
        quoted(trust.shop()),
        trust.version(),
        trust.digest_in_words()
    );
    for (name, words) in trust.signers() {
        text = format!("{text}  signed by its owner {} ({words})\n", shown(name));
    }
    text
}

/// Says what of a trust file ends soon, and who does what about it.
fn warn_of_ends(trust: &Trust, desk: &Desk<'_>) {
    for EndsSoon { what, at } in desk.ends_soon(trust) {
        let (what, cure) = match what {
            PlannedEnd::File => ("the trust file".to_owned(), "an owner renews it with `fillward trust renew`"),
            PlannedEnd::Key { who, owner: true } => (
                format!("the key of the owner {}", shown(&who)),
                "an owner lets keys last longer with `fillward trust renew --keys`, or the shop begins anew",
            ),
            PlannedEnd::Key { who, owner: false } => (
                format!("the key of {}", shown(&who)),
                "an owner lets keys last longer with `fillward trust renew --keys`",
            ),
            PlannedEnd::Pack { pack } => {
                (format!("the approval of the pack {}", shown(&pack)), "the safety officer approves the next one")
            }
        };
        beside(&format!("warning: {what} ends at {at}: {cure}"));
    }
}

/// Says that a version is not remembered, and why.
fn warn_unremembered(version: i64, unremembered: Option<Refusal>) {
    if let Some(refusal) = unremembered {
        beside(&format!(
            "warning: version {version} of the trust file is not remembered, so an older one would be taken later: {}",
            Failure::from(refusal)
        ));
    }
}

/// Says that the shop has another name than when this account saw it last.
fn tell_of_name(trust: &Trust, renamed_from: Option<String>) {
    if let Some(name) = renamed_from {
        beside(&format!("note: the shop {} is called {} now", quoted(&name), quoted(trust.shop())));
    }
}

/// Says what an account is to know that has not seen this version before: that versions lie
/// between this one and the last that was seen here, of which nobody here knows what they said, and what this one says
/// otherwise than that one.
fn tell_of_change(version: i64, seen_before: Option<&SeenBefore>) {
    let Some(SeenBefore { version: last, changes }) = seen_before else { return };
    if version > last + 1 {
        tell_of_leap(*last, version);
    }
    let Some(changes) = changes else {
        beside(&format!(
            "note: version {version} of the trust file is new here; what version {last} said was remembered by an earlier \
             edition of the program and cannot be set beside it; `fillward trust show` prints what this version says"
        ));
        return;
    };
    let mut text = format!("note: version {version} of the trust file is new here; since version {last} it says:\n");
    told::changed(&mut text, changes);
    beside(text.trim_end());
}

/// Says which versions were never seen here.
fn tell_of_leap(last: i64, version: i64) {
    let between =
        if last + 2 == version { format!("{} was", last + 1) } else { format!("{} to {} were", last + 1, version - 1) };
    beside(&format!(
        "note: this account saw version {last} of the trust file last, and this is version {version}: {between} never seen \
         here. Where that is a surprise, ask the owner before anything is signed; `fillward trust show` prints what this \
         version says. A checklist that was signed by one between lets nothing start here."
    ));
}

/// The role of a word on the command line.
pub(crate) fn role(word: &str) -> Result<Role, String> {
    Role::find(word).ok_or_else(|| {
        let words: Vec<&str> = Role::ALL.into_iter().map(Role::word).collect();
        format!("use one of: {}", words.join(", "))
    })
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    #[command(flatten)]
    Edit(edit::TrustEdit),
    /// Sign the draft that waits beside the trust file, or a version that the owner wrote in YAML
    Sign {
        /// The version as the owner wrote it, see `fillward schema trust`; where it is left out, the draft that waits
        source: Option<PathBuf>,
        #[command(flatten)]
        key: PrivateKey,
        /// The shop's signed trust file. A version that not all owners have signed who must waits beside it, and the one
        /// in force stays
        #[arg(long, value_name = "FILE")]
        out: PathBuf,
        /// Do not ask before signing
        #[arg(long)]
        yes: bool,
    },
    /// Approve a pack as its safety officer; the approval waits in the draft that the owners sign next
    Approve {
        /// The local pack's file, or `tyre-fill` for the base pack
        pack: PathBuf,
        /// The shop's signed trust file
        #[arg(long, value_name = "FILE")]
        trust: PathBuf,
        #[command(flatten)]
        key: PrivateKey,
        /// Only some jobs need this pack: a checklist without it is accepted
        #[arg(long)]
        optional: bool,
        /// From when it may judge; now where nothing is said
        #[arg(long, value_name = "TIME")]
        from: Option<String>,
        /// Do not ask before signing
        #[arg(long)]
        yes: bool,
    },
    /// Accept owners' keys on this account, by the words on the shop's paper: before that nothing starts by them
    Accept {
        /// The shop's signed trust file
        #[arg(long, value_name = "FILE")]
        trust: PathBuf,
        /// The public key of an owner, by its file or by its eight words from paper; may be given several times
        #[arg(long, value_name = "FILE|WORDS", required = true)]
        owner: Vec<String>,
        /// The words of the owner's key, read off the paper; once for each --owner that is a file, in their order. Without
        /// them you are asked
        #[arg(long, value_name = "WORDS")]
        owner_words: Vec<String>,
        /// The words of the trust file, read off the paper. Without them you are asked
        #[arg(long, value_name = "WORDS")]
        trust_words: Option<String>,
    },
    /// Take back, on this account, that an owner's key was accepted, such as one that is stolen: nothing starts by it until
    /// it is accepted again
    Disown {
        /// The public key of the owner, by its file or by its eight words
        #[arg(long, value_name = "FILE|WORDS")]
        owner: String,
    },
    /// Show who may sign what by a signed trust file, and which packs are approved
    Show(TrustArguments),
    /// Print what an owner hands out on paper: the shop, the words of the owners' keys and those of this version
    #[command(mut_arg("owner", |owner| owner.required(true)))]
    Paper(TrustArguments),
    /// Show the digests of the packs in force, for the trust file
    Packs {
        /// A local pack; may be given several times
        #[arg(long, value_name = "FILE")]
        pack: Vec<PathBuf>,
    },
}

pub(crate) fn run(command: &Command, terminal: Terminal) -> Result<Exit, Failure> {
    match command {
        Command::Edit(edit) => edit::run(edit, terminal),
        Command::Sign { source, key, out, yes } => {
            edit::sign(source.as_deref(), &key.hand(Role::Owner), out, *yes, terminal)
        }
        Command::Approve { pack, trust, key, optional, from, yes } => {
            let by_the_clock = |text| input::instant_by("--from", text, &DESK.next_trust(trust)?.zone);
            let order = ApprovalOrder {
                pack: if pack == Path::new(BASE) { None } else { Some(input::source(pack)?) },
                required: !optional,
                from: from.as_deref().map(by_the_clock).transpose()?,
                trust: trust.clone(),
            };
            edit::approve(order, &key.hand(Role::SafetyOfficer), *yes, terminal)
        }
        Command::Accept { trust, owner, owner_words, trust_words } => {
            accept(trust, owner, owner_words, trust_words.as_deref(), terminal)
        }
        Command::Disown { owner } => disown(owner, terminal),
        Command::Show(arguments) => show::show(&arguments.open(Purpose::Look)?, terminal),
        Command::Paper(arguments) => {
            let (trust, is_known) = arguments.opened(Purpose::Look)?;
            if !is_known {
                beside(NOT_KNOWN);
            }
            terminal.prose(&paper(&trust))?;
            Ok(Exit::Pass)
        }
        Command::Packs { pack } => {
            let set = input::packs(pack)?;
            let lines: Vec<String> = packs::parts(&set)
                .iter()
                .map(|part| format!("{} {} {}\n", part.name, part.edition, part.sha256))
                .collect();
            output::report(&lines.concat())?;
            Ok(Exit::Pass)
        }
    }
}

fn disown(owner: &str, terminal: Terminal) -> Result<Exit, Failure> {
    let (words, was_accepted) = if is_words(owner) {
        let words = owner.split_whitespace().collect::<Vec<_>>().join(" ");
        let was_accepted = DESK.disown_owner_of(&words)?;
        (words, was_accepted)
    } else {
        let key = DESK.public_key(Path::new(owner))?;
        (key.fingerprint_words(), DESK.disown_owner(&key)?)
    };
    let told = if was_accepted {
        format!(
            "Not accepted on this account any more: the owner's key {words}. Nothing starts by it until it is accepted again.\n"
        )
    } else {
        format!("The owner's key {words} was not accepted on this account, and nothing starts by it.\n")
    };
    terminal.prose(&told)?;
    Ok(Exit::Pass)
}

fn accept(
    trust: &Path,
    owners: &[String],
    owner_words: &[String],
    trust_words: Option<&str>,
    terminal: Terminal,
) -> Result<Exit, Failure> {
    // The words are not shown here: who copies them from the screen has compared nothing.
    let file = input::source(trust)?;
    let mut accepted = Vec::new();
    let mut further = owner_words.iter();
    for owner in owners {
        if is_words(owner) {
            accepted.push((DESK.owner_by_words(&file, owner)?, owner.clone()));
            continue;
        }
        let words = match further.next() {
            Some(words) => words.clone(),
            None => ask::line(
                &format!("The eight words of the owner's key {}, from paper: ", shown(owner)),
                "--owner-words",
            )?,
        };
        let key = DESK.public_key(Path::new(owner))?;
        // Judged before the next words are asked for.
        Desk::owner_words_fit(&key, &words, owner)?;
        accepted.push((key, words));
    }
    let words = match trust_words {
        Some(words) => words.to_owned(),
        None => ask::line("The eight words of the trust file, from paper: ", "--trust-words")?,
    };
    let Opened { trust, seen_before, renamed_from, .. } =
        DESK.accept_owners(&Acceptance { file, owners: accepted, words })?;
    terminal.prose(&format!(
        "Accepted on this account: {}, version {}, with {}.\n",
        quoted(trust.shop()),
        trust.version(),
        if owners.len() == 1 {
            "the key of one owner".to_owned()
        } else {
            format!("the keys of {} owners", owners.len())
        }
    ))?;
    tell_of_name(&trust, renamed_from);
    tell_of_change(trust.version(), seen_before.as_ref());
    Ok(Exit::Pass)
}

/// Said before a paper of a trust file whose owner this account has neither accepted nor signed with.
const NOT_KNOWN: &str = "warning: this account has neither signed by this owner's key nor accepted it, so it cannot tell whose trust \
                         file this is: hand nothing out before the owner has read these words out to you";

/// What goes on the paper of a shop: by these words an account accepts its owners and this version.
fn paper(trust: &Trust) -> String {
    let body = trust.body();
    let mut text = format!(
        "{}, trust file version {}, made {}, to be replaced by {}\n",
        quoted(&body.shop),
        body.version,
        Instant::told(&body.made_at),
        Instant::told(&body.ends_at)
    );
    for (name, words) in trust.signers() {
        let _ = writeln!(text, "key of the owner {}\n  {words}", shown(name));
    }
    let _ = writeln!(text, "this version\n  {}", trust.digest_in_words());
    text.push_str("Papers of earlier versions are thrown away.\n");
    text
}
