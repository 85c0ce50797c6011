//! Keys: opening the one that signs, and making a new one.
//!
//! Must not know what a key signs.

mod guessing;

use std::path::{Path, PathBuf};

use zeroize::Zeroizing;

use super::world::{Existing, NamedBytes, Passphrases, Randomness, Readers};
use super::{Desk, Refusal, Unfit};
use crate::checklist::jws::Envelope;
use crate::checklist::keys::{KeyFault, PublicKey, SecretKey};
use crate::checklist::trust::{TrustBody, flaw_of_name};
use crate::vocabulary::{Kind, Role};

/// Bytes: longer than any passphrase, shorter than a file given by mistake.
pub const LONGEST_PASSPHRASE: usize = 1024;
/// Fewer characters than this are guessed by trying.
pub const SHORTEST_PASSPHRASE: usize = 12;
/// How often somebody may mistype a passphrase before the act ends.
const TRIES: u32 = 3;

/// Whose hand signs: a private key, the role, and the person who knows the passphrase.
#[derive(Debug, Clone, Copy)]
pub struct Hand<'a> {
    /// Under which name the private key is kept.
    pub key: &'a Path,
    /// In which role it signs.
    pub role: Role,
    /// The person who knows the passphrase.
    pub passphrases: &'a dyn Passphrases,
}

/// A key that is to be made.
#[derive(Debug, Clone, Copy)]
pub struct KeyOrder<'a> {
    /// Whose key it is, as the trust file names the person.
    pub name: &'a str,
    /// In which role the person signs.
    pub role: Role,
    /// What the shop and its people are called, where that is told: no passphrase is made of that.
    pub known: &'a [String],
    /// Where the private key is to be kept.
    pub private: &'a Path,
    /// Where the public key is to be kept.
    pub public: &'a Path,
}

/// A key that was made.
#[derive(Debug)]
pub struct KeyFiles {
    /// Where the private key is kept.
    pub private: PathBuf,
    /// Where the public key is kept.
    pub public: PathBuf,
    /// The public key.
    pub key: PublicKey,
}

impl Desk<'_> {
    /// Opens the private key of the person who signs. Where its public half lies beside it the person has been told by
    /// that who signs, so it must be that one.
    pub(super) fn open_key(&self, hand: &Hand<'_>) -> Result<SecretKey, Refusal> {
        let told = self.public_half(hand.key);
        let key = self.open_private(hand)?;
        match told {
            Some((public, half)) if half.kid() != key.public().kid() => {
                Err(Unfit::OtherHalf { private: hand.key.to_owned(), public }.into())
            }
            _ => Ok(key),
        }
    }

    fn open_private(&self, hand: &Hand<'_>) -> Result<SecretKey, Refusal> {
        let refused = |fault| Refusal::Key { name: hand.key.to_owned(), fault };
        let bytes = Zeroizing::new(self.storage.read(hand.key)?);
        let pem = str::from_utf8(&bytes).map_err(|_| refused(KeyFault::NotPrivatePem))?;
        SecretKey::check_encrypted_pem(pem).map_err(refused)?;
        let open_to_others = self.storage.is_open_to_others(hand.key);
        let mut tries = 1;
        loop {
            let words = hand.passphrases.of(hand.key, open_to_others)?;
            match SecretKey::from_encrypted_pem(pem, words.as_bytes()) {
                Err(KeyFault::Passphrase) if tries < TRIES && hand.passphrases.again() => tries += 1,
                Err(fault @ KeyFault::Passphrase) => {
                    return Err(match hand.passphrases.kept_in() {
                        Some(kept) => Refusal::OtherPassphrase { name: hand.key.to_owned(), kept: kept.to_owned() },
                        None => refused(fault),
                    });
                }
                opened => return opened.map_err(refused),
            }
        }
    }

    /// Puts a private key under another passphrase, which is made neither of the name of its file nor of names that are
    /// known; the key, and what was signed with it, stays the same.
    ///
    /// # Errors
    /// A key that does not open, a passphrase that can be guessed, and what goes wrong with the file.
    pub fn change_passphrase(
        &self,
        (name, known): (&Path, &[String]),
        old: &dyn Passphrases,
        new: &dyn Passphrases,
        randomness: &dyn Randomness,
    ) -> Result<PublicKey, Refusal> {
        let before = Zeroizing::new(self.storage.read(name)?);
        let key = self.open_private(&Hand { key: name, role: Role::Supervisor, passphrases: old })?;
        let of_file = name.file_stem().unwrap_or_default().to_string_lossy();
        let known: Vec<&str> = known.iter().map(String::as_str).chain([&*of_file]).collect();
        let words = chosen(&known, new)?;
        // Who changes it since somebody may have seen it must not go on with that one.
        if str::from_utf8(&before).is_ok_and(|pem| SecretKey::from_encrypted_pem(pem, words.as_bytes()).is_ok()) {
            return Err(Unfit::SamePassphrase.into());
        }
        let pem = encrypted(&key, name, &words, randomness)?;
        self.storage.write(name, pem.as_bytes(), Existing::Replace(&before), Readers::Owner)?;
        Ok(key.public().clone())
    }

    /// What a shop and its people are called by its trust file, for keeping that out of passphrases: the file is taken
    /// at its word in this alone.
    ///
    /// # Errors
    /// A file that is no trust file.
    pub fn names_in(&self, file: &NamedBytes) -> Result<Vec<String>, Refusal> {
        let body: TrustBody = Envelope::read(Kind::Trust, &file.label(), &file.bytes)?.body()?;
        let formerly = body.formerly.into_iter().map(|former| former.shop);
        let people = body.people.into_iter().map(|person| person.name);
        Ok(std::iter::once(body.shop).chain(formerly).chain(people).collect())
    }

    /// Reads a public key.
    ///
    /// # Errors
    /// If it cannot be read or is none.
    pub fn public_key(&self, name: &Path) -> Result<PublicKey, Refusal> {
        let refused = |fault| Refusal::Key { name: name.to_owned(), fault };
        let bytes = self.storage.read(name)?;
        let pem = str::from_utf8(&bytes).map_err(|_| refused(KeyFault::NotPublicPem))?;
        PublicKey::from_pem(pem).map_err(refused)
    }

    /// Makes a key for a person, both halves or none.
    ///
    /// # Errors
    /// A name that no trust file takes, a name in the storage that is taken, a passphrase that is too short.
    pub fn make_key(
        &self,
        order: &KeyOrder<'_>,
        passphrases: &dyn Passphrases,
        randomness: &dyn Randomness,
    ) -> Result<KeyFiles, Refusal> {
        // A key is of use only with a name that the trust file takes.
        if let Some(flaw) = flaw_of_name(order.name) {
            return Err(Unfit::Name { name: order.name.to_owned(), flaw }.into());
        }
        let (private, public) = (order.private, order.public);
        self.storage.vacant(private)?;
        self.storage.vacant(public)?;
        let key = SecretKey::from_seed(&*random::<32>(randomness)?);
        let known: Vec<&str> = order.known.iter().map(String::as_str).chain([order.name, order.role.word()]).collect();
        let pem = encrypted(&key, private, &chosen(&known, passphrases)?, randomness)?;
        // The public key first: a private key that nobody can give a trust file is of no use to anyone but a thief.
        self.storage.write(public, key.public().to_pem().as_bytes(), Existing::Keep, Readers::Usual)?;
        if let Err(fault) = self.storage.write(private, pem.as_bytes(), Existing::Keep, Readers::Owner) {
            // Without its private half the public key is of no use; what went wrong is told by the refusal.
            let _ = self.storage.remove(public);
            return Err(fault.into());
        }
        Ok(KeyFiles { private: private.to_owned(), public: public.to_owned(), key: key.public().clone() })
    }
}

/// A passphrase that is chosen for a key, and that nobody guesses who knows these names.
fn chosen(known: &[&str], passphrases: &dyn Passphrases) -> Result<Zeroizing<String>, Refusal> {
    let words = passphrases.choose()?;
    if words.chars().count() < SHORTEST_PASSPHRASE {
        return Err(Unfit::ShortPassphrase.into());
    }
    if guessing::is_easy(&words, known, SHORTEST_PASSPHRASE) {
        return Err(Unfit::EasyPassphrase.into());
    }
    Ok(words)
}

/// The private key under a passphrase.
fn encrypted(
    key: &SecretKey,
    name: &Path,
    words: &str,
    randomness: &dyn Randomness,
) -> Result<Zeroizing<String>, Refusal> {
    key.to_encrypted_pem(words.as_bytes(), &*random::<16>(randomness)?, *random::<16>(randomness)?)
        .map_err(|fault| Refusal::Key { name: name.to_owned(), fault })
}

/// Fresh random bytes.
fn random<const N: usize>(randomness: &dyn Randomness) -> Result<Zeroizing<[u8; N]>, Refusal> {
    let mut bytes = Zeroizing::new([0_u8; N]);
    randomness.fill(bytes.as_mut()).map_err(|why| Refusal::NoRandomness { why })?;
    Ok(bytes)
}
