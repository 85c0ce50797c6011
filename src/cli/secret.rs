//! Passphrases and private keys: never on the command line, wiped after use.

use std::fs::File;
use std::io::{self, IsTerminal as _, Read as _};
use std::path::{Path, PathBuf};

use clap::Args;
use fillward::checklist::keys::{PublicKey, SecretKey};
use zeroize::Zeroizing;

use super::failure::Failure;

/// Longer than any passphrase, shorter than a file given by mistake.
const LONGEST: u64 = 1024;
/// Fewer characters than this are guessed by trying.
const SHORTEST: usize = 12;

#[derive(Debug, Args)]
pub(crate) struct Passphrase {
    /// Take the passphrase from the first line of this file
    #[arg(long, value_name = "FILE", conflicts_with = "passphrase_fd")]
    passphrase_file: Option<PathBuf>,
    /// Take the passphrase from this open file descriptor
    #[arg(long, value_name = "NUMBER")]
    passphrase_fd: Option<u32>,
}

impl Passphrase {
    /// The passphrase of a key that exists.
    pub(crate) fn ask(&self, prompt: &str) -> Result<Zeroizing<String>, Failure> {
        if let Some(path) = &self.passphrase_file {
            return first_line(path);
        }
        if let Some(number) = self.passphrase_fd {
            return first_line(Path::new(&format!("/dev/fd/{number}")));
        }
        if !io::stdin().is_terminal() {
            return Err(Failure::Usage {
                message: "a passphrase is needed and there is no terminal to ask for it".to_owned(),
                help: "give it with --passphrase-file or --passphrase-fd".to_owned(),
            });
        }
        rpassword::prompt_password(prompt).map(Zeroizing::new).map_err(|why| Failure::NoAnswer { why })
    }

    /// A passphrase for a new key, asked for twice at a terminal.
    pub(crate) fn choose(&self) -> Result<Zeroizing<String>, Failure> {
        let first = self.ask("Passphrase for the new key: ")?;
        if first.chars().count() < SHORTEST {
            return Err(Failure::Usage {
                message: format!("the passphrase has fewer than {SHORTEST} characters"),
                help: "take several words that do not belong together".to_owned(),
            });
        }
        if self.passphrase_file.is_none() && self.passphrase_fd.is_none() && *self.ask("Once more: ")? != *first {
            return Err(Failure::Usage {
                message: "the two passphrases differ".to_owned(),
                help: "start again".to_owned(),
            });
        }
        Ok(first)
    }
}

fn first_line(path: &Path) -> Result<Zeroizing<String>, Failure> {
    let unreadable = |why| Failure::Unreadable { path: path.to_owned(), why };
    let mut text = Zeroizing::new(String::new());
    File::open(path).map_err(unreadable)?.take(LONGEST).read_to_string(&mut text).map_err(unreadable)?;
    Ok(Zeroizing::new(text.lines().next().unwrap_or_default().to_owned()))
}

/// Opens a private key.
pub(crate) fn key(path: &Path, passphrase: &Passphrase) -> Result<SecretKey, Failure> {
    let pem = Zeroizing::new(super::input::text(path)?);
    let prompt = format!("Passphrase for {}: ", path.display());
    let words = passphrase.ask(&prompt)?;
    SecretKey::from_encrypted_pem(&pem, words.as_bytes()).map_err(|fault| Failure::Key { path: path.to_owned(), fault })
}

/// Reads a public key.
pub(crate) fn public_key(path: &Path) -> Result<PublicKey, Failure> {
    PublicKey::from_pem(&super::input::text(path)?).map_err(|fault| Failure::Key { path: path.to_owned(), fault })
}

/// Fresh random bytes of the machine.
pub(crate) fn random<const N: usize>() -> Result<Zeroizing<[u8; N]>, Failure> {
    let mut bytes = Zeroizing::new([0_u8; N]);
    getrandom::fill(bytes.as_mut()).map_err(|why| Failure::NoRandomness { why: why.to_string() })?;
    Ok(bytes)
}
