//! `fillward trust`: the shop's trust file, and how the other commands open it.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use fillward::checklist::jws::{Envelope, Kind, Role};
use fillward::checklist::packs;
use fillward::checklist::trust::{Body, Pins, Trust};

use super::failure::Failure;
use super::secret::{self, Passphrase};
use super::store::{self, Existing, Readers};
use super::{Exit, input, output};

/// The trust file that a command goes by.
#[derive(Debug, Args)]
pub(crate) struct TrustArguments {
    /// The shop's signed trust file
    #[arg(long, value_name = "FILE")]
    trust: PathBuf,
    /// The public key of an owner, known from paper: the trust file must be signed with it; may be given several times
    #[arg(long, value_name = "FILE")]
    owner: Vec<PathBuf>,
    /// Refuse a trust file of an older version than this
    #[arg(long, value_name = "VERSION", default_value_t = 1)]
    trust_at_least: i64,
}

impl TrustArguments {
    /// Opens and checks the trust file.
    pub(crate) fn open(&self) -> Result<Trust, Failure> {
        let owners = self.owner.iter().map(|path| Ok(secret::public_key(path)?.kid().to_owned()));
        let owners = owners.collect::<Result<Vec<String>, Failure>>()?;
        let pins = Pins { needed: owners.len().min(1), owners, least_version: self.trust_at_least };
        let name = self.trust.to_string_lossy();
        Trust::open(&name, &input::bytes(&self.trust)?, &pins).map_err(Failure::Integrity)
    }
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
        /// The owner's private key
        #[arg(long, value_name = "FILE")]
        key: PathBuf,
        /// Where the signed file goes; if it is there with the same content, a signature is added
        #[arg(long, value_name = "FILE")]
        out: PathBuf,
        #[command(flatten)]
        passphrase: Passphrase,
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

pub(crate) fn run(command: &Command) -> Result<Exit, Failure> {
    match command {
        Command::Sign { source, key, out, passphrase } => sign(source, key, out, passphrase),
        Command::Show(arguments) => show(arguments),
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

fn sign(source: &Path, key: &Path, out: &Path, passphrase: &Passphrase) -> Result<Exit, Failure> {
    let document = input::document(source)?;
    let body = Body::from_document(&document)?;
    // Unsound trust is refused before anybody signs it.
    let trust = Trust::of(body.clone()).map_err(Failure::Integrity)?;
    let key = secret::key(key, passphrase)?;
    let at = input::instant(None)?;
    if let Err(reason) = trust.may_sign(key.public().kid(), Role::Owner, at) {
        return Err(Failure::Integrity(vec![reason]));
    }
    let before = if out.exists() { Some(input::bytes(out)?) } else { None };
    let mut envelope = Envelope::new(Kind::Trust, &body)?;
    if let Some(bytes) = &before {
        let signed = Envelope::read(Kind::Trust, &out.to_string_lossy(), bytes)?;
        // A further owner signs the same content; another content starts without signatures.
        if signed.body::<Body>()? == body {
            envelope = signed;
        }
    }
    envelope.sign(&key, Role::Owner, at)?;
    let existing = before.as_deref().map_or(Existing::Keep, Existing::Replace);
    store::write(out, &envelope.to_file()?, existing, Readers::Usual)?;
    output::report(&format!(
        "Signed version {} of the trust file of {}: {} of {} owners have signed.\n  {}\n",
        body.version,
        body.shop,
        envelope.signers().len(),
        body.owners_needed,
        out.display()
    ))?;
    Ok(Exit::Pass)
}

fn show(arguments: &TrustArguments) -> Result<Exit, Failure> {
    let trust = arguments.open()?;
    let body = trust.body();
    let mut out =
        format!("{}, version {}, made {}, to be replaced by {}\n", body.shop, body.version, body.made_at, body.ends_at);
    if !trust.is_pinned() {
        out.push_str("Taken at its word: give the owner's public key with --owner to be sure whose file it is.\n");
    }
    for person in &body.people {
        let roles: Vec<&str> = person.roles.iter().map(|role| role.word()).collect();
        out = format!("{out}\n{}  {}\n", person.name, roles.join(", "));
        for (kid, holder) in trust.keys().filter(|(kid, _)| trust.name_of(kid) == person.name) {
            let revoked =
                holder.revoked.as_ref().map_or(String::new(), |(at, why)| format!(", revoked from {at}: {why}"));
            out = format!(
                "{out}  key {kid}\n    {}\n    from {} until {}{revoked}\n",
                holder.key.fingerprint_words(),
                holder.from,
                holder.until
            );
        }
    }
    for pack in &body.packs {
        let until = pack.until.as_ref().map_or(String::new(), |until| format!(" until {until}"));
        out = format!(
            "{out}\npack {} {}  approved by {} from {}{until}\n  {}\n",
            pack.name, pack.edition, pack.approved_by, pack.from, pack.sha256
        );
    }
    output::report(&out)?;
    Ok(Exit::Pass)
}
