//! Passphrases and private keys: never on the command line, wiped after use.

use std::fs::File;
use std::io::{self, IsTerminal as _, Read as _};
use std::path::{Path, PathBuf};

use clap::Args;
use fillward::desk::world::{NoPassphrase, Passphrases};
use fillward::desk::{Hand, LONGEST_PASSPHRASE, NamedHand, SigningHand, Storage as _};
use fillward::vocabulary::{Role, quoted, shown};
use zeroize::Zeroizing;

use super::files::{DiskFiles, unreadable};
use super::output::beside;

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
    /// The one in this file, or a person's where none is given.
    pub(crate) fn of_file(path: Option<&Path>) -> Self {
        Self { passphrase_file: path.map(Path::to_owned), passphrase_fd: None }
    }

    /// Whether a person is asked.
    const fn at_the_terminal(&self) -> bool {
        self.passphrase_file.is_none() && self.passphrase_fd.is_none()
    }

    fn ask(&self, prompt: &str) -> Result<Zeroizing<String>, NoPassphrase> {
        if let Some(path) = &self.passphrase_file {
            if DiskFiles.is_open_to_others(path) && path.is_file() {
                beside(&format!(
                    "warning: others on this machine can read the passphrase in `{}`; make it yours alone with `chmod 600`",
                    shown(&path.to_string_lossy())
                ));
            }
            return first_line(path);
        }
        if let Some(number) = self.passphrase_fd {
            return first_line(Path::new(&format!("/dev/fd/{number}")));
        }
        if !io::stdin().is_terminal() {
            return Err(NoPassphrase::NobodyToAsk);
        }
        let no_answer = |why: io::Error| NoPassphrase::NoAnswer { why: why.to_string() };
        let words = rpassword::prompt_password(prompt).map(Zeroizing::new).map_err(no_answer)?;
        if words.len() > LONGEST_PASSPHRASE { Err(NoPassphrase::TooLong) } else { Ok(words) }
    }
}

impl Passphrases for Passphrase {
    fn of(&self, key: &Path, open_to_others: bool) -> Result<Zeroizing<String>, NoPassphrase> {
        let name = key.display().to_string();
        if open_to_others {
            beside(&format!(
                "warning: others on this machine can read the private key `{}`; make it yours alone with `chmod 600`",
                shown(&name)
            ));
        }
        self.ask(&format!("Passphrase for {}: ", shown(&name)))
    }

    fn kept_in(&self) -> Option<&Path> {
        self.passphrase_file.as_deref()
    }

    fn again(&self) -> bool {
        let asks = self.at_the_terminal() && io::stdin().is_terminal();
        if asks {
            beside("That is not the passphrase of this key.");
        }
        asks
    }

    fn choose(&self) -> Result<Zeroizing<String>, NoPassphrase> {
        let first = self.ask("New passphrase, of at least 12 characters: ")?;
        if self.at_the_terminal() && *self.ask("Repeat the passphrase: ")? != *first {
            return Err(NoPassphrase::Differ);
        }
        Ok(first)
    }
}

fn first_line(path: &Path) -> Result<Zeroizing<String>, NoPassphrase> {
    let kept = |why| NoPassphrase::Kept(unreadable(path)(why));
    // Room for the longest line, its end, and one byte more that tells a line that is longer; no copy is left behind.
    let room = LONGEST_PASSPHRASE + 3;
    let mut bytes = Zeroizing::new(Vec::with_capacity(room));
    File::open(path).map_err(kept)?.take(room as u64).read_to_end(&mut bytes).map_err(kept)?;
    let line = bytes.split(|byte| *byte == b'\n').next().unwrap_or_default();
    let line = line.strip_suffix(b"\r").unwrap_or(line);
    // The mark that some editors put before a text is no part of it.
    let line = line.strip_prefix(b"\xef\xbb\xbf").unwrap_or(line);
    if line.len() > LONGEST_PASSPHRASE {
        return Err(NoPassphrase::TooLong);
    }
    let words = str::from_utf8(line).map_err(|why| kept(io::Error::new(io::ErrorKind::InvalidData, why)))?;
    Ok(Zeroizing::new(words.to_owned()))
}

// The private key of the person who signs.
#[derive(Debug, Args)]
pub(crate) struct PrivateKey {
    /// The private key of the person who signs
    #[arg(long, value_name = "FILE")]
    key: PathBuf,
    #[command(flatten)]
    passphrase: Passphrase,
}

impl PrivateKey {
    /// The hand that signs with it.
    pub(crate) fn hand(&self, role: Role) -> Hand<'_> {
        Hand { key: &self.key, role, passphrases: &self.passphrase }
    }
}

/// Who is about to do something by a signature, said before the passphrase is asked for.
pub(crate) fn signs_as(act: &str, signatory: &SigningHand) -> String {
    let SigningHand { known, role, shop } = signatory;
    let shop = quoted(shop);
    match known {
        Some(NamedHand { who, until }) => {
            format!("You {act} as {}, {role}, for {shop}; your key is good until {until}.\n", shown(who))
        }
        None => format!(
            "You {act} as {role} for {shop}. Whose key it is shows when it is open: its public half does not lie beside it.\n"
        ),
    }
}
