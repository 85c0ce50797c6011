//! `fillward trust`: the shop's trust file, and how the other commands open it.

mod edit;
mod told;

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use fillward::checklist::keys::digest_words;
use fillward::checklist::packs::{self, BASE};
use fillward::checklist::trust::{EndsSoon, PlannedEnd, Trust};
use fillward::desk::{Acceptance, ApprovalOrder, Desk, Opened, Purpose, Refusal, SeenBefore, Trusting};
use fillward::units::Instant;
use fillward::vocabulary::{Role, quoted, shown};

use super::failure::Failure;
use super::files::DESK;
use super::output::{self, Terminal, beside, counted};
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
        let (file, words) = (input::source(&self.trust)?, self.trust_words.clone());
        let owner = |owner: &String| {
            if owner.trim().contains(' ') && matches!(DESK.storage.read_if_there(Path::new(owner)), Ok(None)) {
                DESK.owner_by_words(&file, owner)
            } else {
                DESK.public_key(Path::new(owner))
            }
        };
        let owners = self.owner.iter().map(owner).collect::<Result<_, _>>()?;
        let trusting = Trusting { owners, file, at_least: self.trust_at_least, words };
        let Opened { trust, unremembered, seen_before, renamed_from } = DESK.open_trust(&trusting, purpose)?;
        tell_of_change(&trust, seen_before, renamed_from);
        warn_unremembered(trust.version(), unremembered);
        warn_of_ends(&trust, &DESK);
        Ok(trust)
    }
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

/// Says what an account is to know that has not seen this version before: that the shop has another name, that versions lie
/// between this one and the last that was seen here, of which nobody here knows what they said, and what this one says
/// otherwise than that one.
fn tell_of_change(trust: &Trust, seen_before: Option<SeenBefore>, renamed_from: Option<String>) {
    if let Some(name) = renamed_from {
        beside(&format!("note: the shop {} is called {} now", quoted(&name), quoted(trust.shop())));
    }
    let Some(SeenBefore { version: last, changes }) = seen_before else { return };
    let version = trust.version();
    if version > last + 1 {
        tell_of_leap(last, version);
    }
    let Some(changes) = changes else {
        beside(&format!(
            "note: version {version} of the trust file is new here; what version {last} said was remembered by an earlier \
             edition of the program and cannot be set beside it; `fillward trust show` prints what this version says"
        ));
        return;
    };
    let mut text = format!("note: version {version} of the trust file is new here; since version {last} it says:\n");
    told::changed(&mut text, &changes);
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
        /// The public key of an owner; may be given several times
        #[arg(long, value_name = "FILE", required = true)]
        owner: Vec<PathBuf>,
        /// The words of the owner's key, read off the paper; once for each --owner, in their order. Without them you are
        /// asked
        #[arg(long, value_name = "WORDS")]
        owner_words: Vec<String>,
        /// The words of the trust file, read off the paper. Without them you are asked
        #[arg(long, value_name = "WORDS")]
        trust_words: Option<String>,
    },
    /// Show who may sign what by a signed trust file, and which packs are approved
    Show(TrustArguments),
    /// Print what an owner hands out on paper: the shop, the words of the owners' keys and those of this version
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
            let order = ApprovalOrder {
                pack: if pack == Path::new(BASE) { None } else { Some(input::source(pack)?) },
                required: !optional,
                from: input::at(from.as_deref())?,
                trust: trust.clone(),
            };
            edit::approve(order, &key.hand(Role::SafetyOfficer), *yes, terminal)
        }
        Command::Accept { trust, owner, owner_words, trust_words } => {
            accept(trust, owner, owner_words, trust_words.as_deref(), terminal)
        }
        Command::Show(arguments) => show(arguments, terminal),
        Command::Paper(arguments) => {
            terminal.prose(&paper(&arguments.open(Purpose::Look)?))?;
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

fn accept(
    trust: &Path,
    owners: &[PathBuf],
    owner_words: &[String],
    trust_words: Option<&str>,
    terminal: Terminal,
) -> Result<Exit, Failure> {
    // The words are not shown here: who copies them from the screen has compared nothing.
    let mut accepted = Vec::new();
    for (place, path) in owners.iter().enumerate() {
        let words = match owner_words.get(place) {
            Some(words) => words.clone(),
            None => ask::line(
                &format!("The eight words of the owner's key {}, from paper: ", shown(&path.to_string_lossy())),
                "--owner-words",
            )?,
        };
        let key = DESK.public_key(path)?;
        // Judged before the next words are asked for.
        Desk::owner_words_fit(&key, &words, &path.to_string_lossy())?;
        accepted.push((key, words));
    }
    let words = match trust_words {
        Some(words) => words.to_owned(),
        None => ask::line("The eight words of the trust file, from paper: ", "--trust-words")?,
    };
    let Opened { trust, seen_before, renamed_from, .. } =
        DESK.accept_owners(&Acceptance { file: input::source(trust)?, owners: accepted, words })?;
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
    tell_of_change(&trust, seen_before, renamed_from);
    Ok(Exit::Pass)
}

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

fn show(arguments: &TrustArguments, terminal: Terminal) -> Result<Exit, Failure> {
    let trust = arguments.open(Purpose::Look)?;
    let body = trust.body();
    let mut out = format!(
        "{}, version {}, made {}, to be replaced by {}\nin {}, {} must sign each version\n",
        quoted(&body.shop),
        body.version,
        Instant::told(&body.made_at),
        Instant::told(&body.ends_at),
        trust.zone(),
        counted(usize::from(body.owners_needed), "owner")
    );
    out = format!(
        "{out}words of this version  {}\nSHA-256 of this version\n  {}\n",
        trust.digest_in_words(),
        trust.digest()
    );
    for former in &body.formerly {
        let _ = writeln!(out, "called {} through version {}", quoted(&former.shop), former.through);
    }
    if !trust.is_pinned() {
        out.push_str("Not checked against an owner's key: give the owner's public key with --owner to be sure whose file it is.\n");
    }
    for person in &body.people {
        let roles: Vec<&str> = person.roles.iter().map(|role| role.word()).collect();
        out = format!("{out}\n{}  {}\n", person.name, roles.join(", "));
        for former in &person.former_roles {
            let again = former.again.as_ref().map(|again| format!(", again from {}", Instant::told(again)));
            let (role, until) = (former.role.word(), Instant::told(&former.until));
            let _ = writeln!(out, "  {role} until {until}{}", again.unwrap_or_default());
        }
        for (_, holder) in trust.keys().filter(|(name, _)| *name == person.name) {
            let kid = holder.key.kid();
            let revoked = holder
                .revoked
                .as_ref()
                .map_or(String::new(), |(at, why)| format!(", revoked from {at}: {}", shown(why)));
            let entry = person.keys.iter().find(|entry| entry.public_key == holder.key.to_pem());
            let retired = entry
                .and_then(|entry| entry.retired.as_ref())
                .map_or(String::new(), |end| format!(", retired: {}", shown(&end.why)));
            out = format!(
                "{out}  key {kid}\n    {}\n    public {}\n    from {} until {}{retired}{revoked}\n",
                holder.key.fingerprint_words(),
                holder.key.to_pem().lines().nth(1).unwrap_or_default(),
                holder.from,
                holder.until
            );
        }
    }
    for pack in &body.packs {
        let needed = if pack.required { ", required" } else { "" };
        let until = pack.until.as_ref().map_or(String::new(), |until| format!(" until {}", Instant::told(until)));
        let undone =
            if trust.is_undone(pack) { "  this does not count: the key that signed it had ended\n" } else { "" };
        out = format!(
            "{out}\npack {} {}{needed}  approved by {} from {}{until}\n  words of it  {}\n  SHA-256 of it\n  {}\n{undone}",
            shown(&pack.name),
            shown(&pack.edition),
            pack.approved_by,
            Instant::told(&pack.from),
            digest_words(&pack.sha256),
            pack.sha256
        );
    }
    terminal.prose(&out)?;
    Ok(Exit::Pass)
}
