//! `fillward key`: keys of people.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use fillward::checklist::keys::PublicKey;
use fillward::desk::KeyOrder;
use fillward::document::prose::whole;
use fillward::vocabulary::Role;
use unicode_normalization::char::is_combining_mark;

use super::failure::Failure;
use super::files::{DESK, ThisMachine};
use super::output::Terminal;
use super::secret::Passphrase;
use super::{Exit, input};

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
        #[command(flatten)]
        shop: ShopNames,
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
        #[command(flatten)]
        shop: ShopNames,
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

// What the shop and its people are called.
#[derive(Debug, Args)]
pub(crate) struct ShopNames {
    /// What the shop is called, so that a passphrase made of that is refused
    #[arg(long, value_name = "NAME")]
    shop: Option<String>,
    /// The shop's trust file, so that a passphrase made of the names in it is refused, the other people's included
    #[arg(long, value_name = "FILE")]
    trust: Option<PathBuf>,
}

impl ShopNames {
    fn known(&self) -> Result<Vec<String>, Failure> {
        let mut known: Vec<String> = self.shop.iter().cloned().collect();
        if let Some(trust) = &self.trust {
            known.extend(DESK.names_in(&input::source(trust)?)?);
        }
        Ok(known)
    }
}

pub(crate) fn run(command: &Command, terminal: Terminal) -> Result<Exit, Failure> {
    match command {
        Command::New { name, role, shop, out, passphrase } => {
            new((name, *role, &shop.known()?), out, passphrase, terminal)?;
        }
        Command::Passwd { key, shop, passphrase, new_passphrase_file } => {
            let new = Passphrase::of_file(new_passphrase_file.as_deref());
            let public = DESK.change_passphrase((key, &shop.known()?), passphrase, &new, &ThisMachine)?;
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
    (name, role, known): (&str, Role, &[String]),
    out: &Path,
    passphrase: &Passphrase,
    terminal: Terminal,
) -> Result<(), Failure> {
    let stem = format!("{}-{}", slug(name), role.word());
    let (private, public) = (out.join(format!("{stem}.key.pem")), out.join(format!("{stem}.pub.pem")));
    let order = KeyOrder { name, role, known, private: &private, public: &public };
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

/// Bytes of a name that go into a file name: with role, ending and what a write puts beside it, it stays below the 255
/// that file systems take.
const LONGEST_SLUG: usize = 120;

/// A name as part of a file name, in the letters of whatever script it is written in.
fn slug(name: &str) -> String {
    // What a script sets above or below its letters belongs to them; signs and blanks of any script do not.
    let joins = |c: char| if c.is_alphanumeric() || is_combining_mark(c) { c } else { '-' };
    let plain: String = name.to_lowercase().chars().map(joins).collect();
    let mut slug = plain.split('-').filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-");
    while slug.len() > LONGEST_SLUG {
        slug.pop();
    }
    let slug = slug.trim_end_matches('-');
    if slug.is_empty() { "key".to_owned() } else { slug.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_of_any_script_names_a_file() {
        for (name, due) in [
            ("Odile Varga", "odile-varga"),
            ("Seán O'Rourke", "seán-o-rourke"),
            ("José Núñez-Ibarra", "josé-núñez-ibarra"),
            ("Олена Шевченко", "олена-шевченко"),
            ("ليلى حداد", "ليلى-حداد"),
            ("佐藤 花子", "佐藤-花子"),
            ("सीता शर्मा", "सीता-शर्मा"),
            ("...", "key"),
        ] {
            assert_eq!(slug(name), due);
        }
        for letter in ["a", "щ", "花"] {
            let long = slug(&letter.repeat(400));
            assert!((100..=LONGEST_SLUG).contains(&long.len()), "{long}");
        }
    }
}
