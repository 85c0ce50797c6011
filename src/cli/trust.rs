//! `fillward trust`: the shop's trust file, and how the other commands open it.

mod seen;

use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use fillward::checklist::jws::{Envelope, Kind, Role};
use fillward::checklist::packs;
use fillward::checklist::trust::{Body, Pins, Trust};

use fillward::checklist::Reason;
use fillward::checklist::canonical::shown;
use seen::Seen;

use super::failure::Failure;
use super::output::{self, Terminal, whole};
use super::secret::{self, PrivateKey};
use super::store::{self, Existing, Readers};
use super::{Exit, input};

/// The trust file of a command that puts a key to use: whose file it is must be known.
#[derive(Debug, Args)]
pub(crate) struct PinnedTrust {
    /// The shop's signed trust file
    #[arg(long, value_name = "FILE")]
    trust: PathBuf,
    /// The public key of an owner, known from paper; may be given several times, and the trust file must be signed with
    /// each of them
    #[arg(long, value_name = "FILE", required = true)]
    owner: Vec<PathBuf>,
    /// Refuse a trust file of an older version than this
    #[arg(long, value_name = "VERSION", default_value_t = 1)]
    trust_at_least: i64,
}

impl PinnedTrust {
    /// Opens and checks the trust file.
    pub(crate) fn open(&self) -> Result<Trust, Failure> {
        open(&self.trust, &self.owner, self.trust_at_least, Memory::Needed)
    }
}

/// The trust file of a command that only looks. Without its owner it is taken at its word, and no fill may start by it.
#[derive(Debug, Args)]
pub(crate) struct TrustArguments {
    /// The shop's signed trust file
    #[arg(long, value_name = "FILE")]
    trust: PathBuf,
    /// The public key of an owner, known from paper; may be given several times, and the trust file must be signed with
    /// each of them
    #[arg(long, value_name = "FILE")]
    owner: Vec<PathBuf>,
    /// Refuse a trust file of an older version than this
    #[arg(long, value_name = "VERSION", default_value_t = 1)]
    trust_at_least: i64,
}

impl TrustArguments {
    /// Opens and checks the trust file.
    pub(crate) fn open(&self) -> Result<Trust, Failure> {
        open(&self.trust, &self.owner, self.trust_at_least, Memory::Wanted)
    }
}

/// What becomes of a command where the trust file that it opened cannot be remembered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Memory {
    /// It ends: a lock left behind would otherwise keep this machine from ever noticing an older file.
    Needed,
    /// It warns and goes on: what was remembered before has been asked, and nobody puts a key to use.
    Wanted,
}

/// Opens a trust file. Of a file whose owner is known, the highest version seen is remembered in its folder, and
/// which owners it has and how many of them it asked for.
fn open(path: &Path, owners: &[PathBuf], at_least: i64, memory: Memory) -> Result<Trust, Failure> {
    let owners = owners.iter().map(|path| Ok(secret::public_key(path)?.kid().to_owned()));
    let owners = owners.collect::<Result<Vec<String>, Failure>>()?;
    let seen = Seen::beside(path)?;
    let before = seen.latest(&owners);
    let pins = Pins { each: owners, ..before };
    let trust = Trust::open(&path.to_string_lossy(), &input::bytes(path)?, &pins).map_err(against(path))?;
    let found = trust.version();
    if found < at_least {
        return Err(against(path)(vec![Reason::TrustOlderThanAsked { found, least: at_least }]));
    }
    match seen.note(&pins.each, &trust) {
        Ok(()) => {}
        Err(Failure::Integrity(reasons)) => return Err(against(path)(reasons)),
        Err(failure) if memory == Memory::Needed => return Err(failure),
        Err(failure) => {
            let _ = writeln!(
                io::stderr(),
                "warning: version {found} of the trust file is not remembered, so an older one would be taken later: {failure}"
            );
        }
    }
    Ok(trust)
}

/// The failure that says what speaks against the trust file at `path`.
fn against(path: &Path) -> impl Fn(Vec<Reason>) -> Failure {
    |reasons| Failure::Trust { path: path.to_owned(), reasons }
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
    /// Sign the owner's trust file (YAML) so that the other commands take it
    Sign {
        /// The trust file as the owner writes it; see `fillward schema trust`
        source: PathBuf,
        #[command(flatten)]
        key: PrivateKey,
        /// Where the signed file goes. If it is there with the same content, a signature is added; other content must be
        /// the next version, signed by an owner of the version that is there
        #[arg(long, value_name = "FILE")]
        out: PathBuf,
    },
    /// Show who may sign what by a signed trust file, and which packs are approved
    Show(TrustArguments),
    /// Show the digests of the packs in force, for the trust file
    Packs {
        /// A local pack; may be given several times
        #[arg(long, value_name = "FILE")]
        pack: Vec<PathBuf>,
    },
}

pub(crate) fn run(command: &Command, terminal: Terminal) -> Result<Exit, Failure> {
    match command {
        Command::Sign { source, key, out } => sign(source, key, out, terminal),
        Command::Show(arguments) => show(arguments, terminal),
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

fn sign(source: &Path, key: &PrivateKey, out: &Path, terminal: Terminal) -> Result<Exit, Failure> {
    let document = input::document(source)?;
    let body = Body::from_document(&document)?;
    // Unsound trust is refused before anybody signs it.
    let trust = Trust::of(body.clone()).map_err(against(source))?;
    let key = key.open()?;
    let at = input::instant(None)?;
    if let Err(reason) = trust.may_sign(key.public().kid(), Role::Owner, at) {
        return Err(against(source)(vec![reason]));
    }
    if let Some(reason @ Reason::ClockBehind { .. }) = trust.lapses(at) {
        return Err(against(source)(vec![reason]));
    }
    let before = if out.exists() { Some(input::bytes(out)?) } else { None };
    let seen = Seen::beside(out)?;
    let least = seen.latest(&[key.public().kid().to_owned()]).least_version;
    if body.version < least {
        return Err(against(source)(vec![Reason::TrustOlder { found: body.version, least }]));
    }
    let mut envelope = Envelope::new(Kind::Trust, &body)?;
    let mut pins = None;
    if let Some(bytes) = &before {
        let name = out.to_string_lossy();
        let signed = Envelope::read(Kind::Trust, &name, bytes)?;
        // A further owner signs the same content; another content starts without signatures.
        if signed.body::<Body>()? == body {
            let kid = key.public().kid();
            if signed.signers().into_iter().flatten().any(|signer| signer.kid == kid) {
                return Err(Failure::Integrity(vec![Reason::SignedAlready { who: trust.name_of(kid) }]));
            }
            envelope = signed;
        } else {
            let old = Trust::open(&name, bytes, &Pins::default()).map_err(against(out))?;
            pins = Some(follows(source, &old, &body, key.public().kid())?);
        }
    }
    envelope.sign(&key, Role::Owner, at)?;
    let signed = trust.owners_who_signed(&envelope).map_err(|reason| Failure::Integrity(vec![reason]))?.len();
    let file = envelope.to_file()?;
    // A version that fewer owners make complete than the one before asked for is none of theirs.
    if let Some(pins) = pins.filter(|_| Trust::open("trust", &file, &Pins::default()).is_ok()) {
        Trust::open("trust", &file, &pins).map_err(against(source))?;
    }
    let existing = before.as_deref().map_or(Existing::Keep, Existing::Replace);
    store::write(out, &file, existing, Readers::Usual).map_err(Failure::if_written)?;
    let told = terminal.prose(&format!(
        "Signed version {} of the trust file of {}: {} of {} owners have signed.\n  {}\n",
        body.version,
        shown(&body.shop),
        signed,
        body.owners_needed,
        whole(&shown(&out.display().to_string()))
    ));
    told.map_err(Failure::after_signing)?;
    Ok(Exit::Pass)
}

/// Sees that a body is the version after the one in force and is signed by an owner of that one; gives what the signed
/// file is held against.
fn follows(source: &Path, old: &Trust, body: &Body, kid: &str) -> Result<Pins, Failure> {
    let pins = old.pins();
    if body.version <= old.version() {
        return Err(against(source)(vec![Reason::TrustOlder { found: body.version, least: old.version() + 1 }]));
    }
    if body.version != old.version() + 1 {
        let next = old.version() + 1;
        return Err(Failure::Usage {
            message: format!("version {} does not follow version {}, which is there", body.version, old.version()),
            help: format!("give the changed trust file the version {next}"),
        });
    }
    if !pins.owners.iter().flatten().any(|owner| owner == kid) {
        let missing = format!("this key is none of an owner by version {}, which is there", old.version());
        return Err(against(source)(vec![Reason::TrustNotByOwner { missing }]));
    }
    Ok(Pins { least_version: body.version, ..pins })
}

fn show(arguments: &TrustArguments, terminal: Terminal) -> Result<Exit, Failure> {
    let trust = arguments.open()?;
    let body = trust.body();
    let mut out = format!(
        "{}, version {}, made {}, to be replaced by {}\n",
        shown(&body.shop),
        body.version,
        body.made_at,
        body.ends_at
    );
    if !trust.is_pinned() {
        out.push_str("Taken at its word: give the owner's public key with --owner to be sure whose file it is.\n");
    }
    for person in &body.people {
        let roles: Vec<&str> = person.roles.iter().map(|role| role.word()).collect();
        out = format!("{out}\n{}  {}\n", person.name, roles.join(", "));
        for (kid, holder) in trust.keys().filter(|(kid, _)| trust.name_of(kid) == person.name) {
            let revoked = holder
                .revoked
                .as_ref()
                .map_or(String::new(), |(at, why)| format!(", revoked from {at}: {}", shown(why)));
            out = format!(
                "{out}  key {kid}\n    {}\n    from {} until {}{revoked}\n",
                holder.key.fingerprint_words(),
                holder.from,
                holder.until
            );
        }
    }
    for pack in &body.packs {
        let needed = if pack.required { ", required" } else { "" };
        let until = pack.until.as_ref().map_or(String::new(), |until| format!(" until {until}"));
        out = format!(
            "{out}\npack {} {}{needed}  approved by {} from {}{until}\n  {}\n",
            shown(&pack.name),
            shown(&pack.edition),
            pack.approved_by,
            pack.from,
            pack.sha256
        );
    }
    terminal.prose(&out)?;
    Ok(Exit::Pass)
}
