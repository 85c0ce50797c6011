//! `fillward key`: keys of people.

use std::path::{Path, PathBuf};

use clap::Subcommand;
use fillward::checklist::keys::PublicKey;
use fillward::desk::KeyOrder;
use fillward::document::prose::whole;
use fillward::vocabulary::Role;

use super::Exit;
use super::failure::Failure;
use super::files::{DESK, ThisMachine};
use super::output::Terminal;
use super::secret::Passphrase;

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
        /// What the shop is called, so that a passphrase made of that is refused
        #[arg(long, value_name = "NAME")]
        shop: Option<String>,
        /// The folder for the two files
        #[arg(long, value_name = "FOLDER", default_value = ".")]
        out: PathBuf,
        #[command(flatten)]
        passphrase: Passphrase,
    },
    /// Put a private key under another passphrase: the key stays the same, and so does what it signed
    Passwd {
        /// The private key file
        key: PathBuf,
        /// What the shop is called, so that a passphrase made of that is refused
        #[arg(long, value_name = "NAME")]
        shop: Option<String>,
        #[command(flatten)]
        passphrase: Passphrase,
        /// Take the new passphrase from the first line of this file
        #[arg(long, value_name = "FILE")]
        new_passphrase_file: Option<PathBuf>,
    },
    /// Show the fingerprint of a public key, as words and in hexadecimal
    Show {
        /// The public key file
        key: PathBuf,
    },
}

pub(crate) fn run(command: &Command, terminal: Terminal) -> Result<Exit, Failure> {
    match command {
        Command::New { name, role, shop, out, passphrase } => {
            new((name, *role, shop.as_deref()), out, passphrase, terminal)?;
        }
        Command::Passwd { key, shop, passphrase, new_passphrase_file } => {
            let new = Passphrase::of_file(new_passphrase_file.as_deref());
            let public = DESK.change_passphrase((key, shop.as_deref()), passphrase, &new, &ThisMachine)?;
            let told = format!(
                "This key has another passphrase now; copies of the file still open with the old one.\n{}",
                fingerprint(&public)
            );
            terminal.prose(&told)?;
        }
        Command::Show { key } => terminal.prose(&fingerprint(&DESK.public_key(key)?))?,
    }
    Ok(Exit::Pass)
}

fn new(
    (name, role, shop): (&str, Role, Option<&str>),
    out: &Path,
    passphrase: &Passphrase,
    terminal: Terminal,
) -> Result<(), Failure> {
    let stem = format!("{}-{}", slug(name), role.word());
    let (private, public) = (out.join(format!("{stem}.key.pem")), out.join(format!("{stem}.pub.pem")));
    let order = KeyOrder { name, role, shop, private: &private, public: &public };
    let made = DESK.make_key(&order, passphrase, &ThisMachine)?;
    terminal.prose(&format!(
        "Made a key for {name}, {role}.\n  private  {}   keep it, and never send it\n  public   {}   for the trust file\n{}",
        whole(&made.private.display().to_string()),
        whole(&made.public.display().to_string()),
        fingerprint(&made.key)
    ))
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
