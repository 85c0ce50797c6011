//! `fillward key`: keys of people.

use std::fs;
use std::path::{Path, PathBuf};

use clap::Subcommand;
use fillward::checklist::jws::Role;
use fillward::checklist::keys::{PublicKey, SecretKey};
use fillward::checklist::trust::fault_of_name;

use super::Exit;
use super::failure::Failure;
use super::output::{Terminal, whole};
use super::secret::{self, Passphrase};
use super::store::{self, Existing, Readers};

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Make a key for a person: a private file, encrypted, and a public one for the trust file
    New {
        /// Whose key it is, as the trust file names the person
        #[arg(long)]
        name: String,
        /// In which role the person signs
        #[arg(long, value_parser = super::trust::role)]
        role: Role,
        /// The folder for the two files
        #[arg(long, value_name = "FOLDER", default_value = ".")]
        out: PathBuf,
        #[command(flatten)]
        passphrase: Passphrase,
    },
    /// Show the fingerprint of a public key, as words and in hexadecimal
    Show {
        /// The public key file
        key: PathBuf,
    },
}

pub(crate) fn run(command: &Command, terminal: Terminal) -> Result<Exit, Failure> {
    match command {
        Command::New { name, role, out, passphrase } => new(name, *role, out, passphrase, terminal),
        Command::Show { key } => {
            terminal.prose(&fingerprint(&secret::public_key(key)?))?;
            Ok(Exit::Pass)
        }
    }
}

fn new(name: &str, role: Role, out: &Path, passphrase: &Passphrase, terminal: Terminal) -> Result<Exit, Failure> {
    // A key is of use only with a name that the trust file takes.
    if let Some(fault) = fault_of_name(name) {
        return Err(Failure::Usage {
            message: format!("--name: the name `{}` {fault}", name.escape_default()),
            help: "give the name as the trust file is to have it, in letters of one script".to_owned(),
        });
    }
    let stem = format!("{}-{}", slug(name), role.word());
    let private = out.join(format!("{stem}.key.pem"));
    let public = out.join(format!("{stem}.pub.pem"));
    store::vacant(&private)?;
    store::vacant(&public)?;
    let words = passphrase.choose()?;
    let key = SecretKey::from_seed(&*secret::random::<32>()?);
    let pem = key
        .to_encrypted_pem(words.as_bytes(), &*secret::random::<16>()?, *secret::random::<16>()?)
        .map_err(|fault| Failure::Key { path: out.to_owned(), fault })?;
    // The public key first: a private key that nobody can give a trust file is of no use to anyone but a thief.
    store::write(&public, key.public().to_pem().as_bytes(), Existing::Keep, Readers::Usual)?;
    if let Err(failure) = store::write(&private, pem.as_bytes(), Existing::Keep, Readers::Owner) {
        // Without its private half the public key is of no use; what went wrong is told by the failure.
        let _ = fs::remove_file(&public);
        return Err(failure);
    }
    terminal.prose(&format!(
        "Made a key for {name}, {role}.\n  private  {}   keep it, and never send it\n  public   {}   for the trust file\n{}",
        whole(&private.display().to_string()),
        whole(&public.display().to_string()),
        fingerprint(key.public())
    ))?;
    Ok(Exit::Pass)
}

fn fingerprint(key: &PublicKey) -> String {
    let hex = whole(&format!("hex      {}", key.fingerprint_hex()));
    format!("  words    {}\n  {hex}\n  key id   {}\n", key.fingerprint_words(), key.kid())
}

/// A name as part of a file name.
fn slug(name: &str) -> String {
    let plain: String =
        name.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' }).collect();
    let parts: Vec<&str> = plain.split('-').filter(|part| !part.is_empty()).collect();
    if parts.is_empty() { "key".to_owned() } else { parts.join("-") }
}
