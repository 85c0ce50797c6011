//! Passphrases and private keys: never on the command line, wiped after use.

use std::fs::File;
use std::io::{self, IsTerminal as _, Read as _};
use std::path::{Path, PathBuf};

use clap::Args;
use fillward::checklist::canonical::shown;
use fillward::checklist::keys::{PublicKey, SecretKey};
use zeroize::Zeroizing;

use super::failure::Failure;

/// Bytes: longer than any passphrase, shorter than a file given by mistake.
const LONGEST: usize = 1024;
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
    fn ask(&self, prompt: &str) -> Result<Zeroizing<String>, Failure> {
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
        let words = rpassword::prompt_password(prompt).map(Zeroizing::new).map_err(|why| Failure::NoAnswer { why })?;
        if words.len() > LONGEST { Err(too_long()) } else { Ok(words) }
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
    // Room for the longest line, its end, and one byte more that tells a line that is longer; no copy is left behind.
    let mut bytes = Zeroizing::new(Vec::with_capacity(LONGEST + 3));
    File::open(path).map_err(unreadable)?.take(LONGEST as u64 + 3).read_to_end(&mut bytes).map_err(unreadable)?;
    let line = bytes.split(|byte| *byte == b'\n').next().unwrap_or_default();
    let line = line.strip_suffix(b"\r").unwrap_or(line);
    if line.len() > LONGEST {
        return Err(too_long());
    }
    let words = str::from_utf8(line).map_err(|why| unreadable(io::Error::new(io::ErrorKind::InvalidData, why)))?;
    Ok(Zeroizing::new(words.to_owned()))
}

fn too_long() -> Failure {
    Failure::Usage {
        message: format!("the passphrase has more than {LONGEST} bytes"),
        help: "give the file with the passphrase in its first line, and nothing else".to_owned(),
    }
}

/// Says so where others can read a private key: its passphrase is then all that guards it.
#[cfg(unix)]
fn warn_of_readers(path: &Path) {
    use std::io::Write as _;
    use std::os::unix::fs::PermissionsExt as _;
    let Ok(metadata) = std::fs::metadata(path) else { return };
    if metadata.permissions().mode() & 0o077 != 0 {
        let name = path.display().to_string();
        let _ = writeln!(
            io::stderr(),
            "warning: others on this machine can read the private key `{}`; make it yours alone with `chmod 600`",
            shown(&name)
        );
    }
}

#[cfg(not(unix))]
fn warn_of_readers(_path: &Path) {}

/// The private key of whoever signs.
#[derive(Debug, Args)]
pub(crate) struct PrivateKey {
    /// The private key of whoever signs
    #[arg(long, value_name = "FILE")]
    key: PathBuf,
    #[command(flatten)]
    passphrase: Passphrase,
}

impl PrivateKey {
    /// Opens the key.
    pub(crate) fn open(&self) -> Result<SecretKey, Failure> {
        let path = &self.key;
        let pem = Zeroizing::new(super::input::text(path)?);
        warn_of_readers(path);
        let words = self.passphrase.ask(&format!("Passphrase for {}: ", shown(&path.display().to_string())))?;
        SecretKey::from_encrypted_pem(&pem, words.as_bytes())
            .map_err(|fault| Failure::Key { path: path.to_owned(), fault })
    }
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
