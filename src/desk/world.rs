//! The world as acts see it: what is kept, what time it is, random bytes, and passphrases.
//!
//! Each is a small trait with one implementation at the edge and one in the tests. A name is a path in the sense of the
//! storage, which alone knows what lies behind it. This module must not know files or the clock.

use std::fmt;
use std::path::{Path, PathBuf};

use zeroize::Zeroizing;

use crate::document::{Document, Faults};
use crate::units::Instant;

/// A document by value: its bytes, and the name by which people and the storage know it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedBytes {
    /// The name.
    pub name: PathBuf,
    /// The bytes.
    pub bytes: Vec<u8>,
}

impl NamedBytes {
    /// The name as reports give it.
    pub fn label(&self) -> String {
        self.name.to_string_lossy().into_owned()
    }

    /// Reads it with both readers.
    ///
    /// # Errors
    /// The faults of the text.
    pub fn document(&self) -> Result<Document, Faults> {
        Document::read(&self.label(), &self.bytes)
    }
}

/// What is to become of a document that is there already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Existing<'a> {
    /// It stays, and nothing is written.
    Keep,
    /// It is replaced, if its bytes are still these. Where its name is a link, what the link names is replaced: a person
    /// gave the name, and the person who goes there by another way sees the change too.
    Replace(&'a [u8]),
    /// It is one that the program keeps for itself, at a name that nobody gave: it is replaced if its bytes are still these,
    /// and made where there are none. It is a plain document at its own name, so nothing is written through a link.
    Own(Option<&'a [u8]>),
}

/// Who may read a document.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Readers {
    /// Everybody whom the machine lets.
    Usual,
    /// Its owner alone.
    Owner,
}

/// What is remembered, and where, for the messages.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remembered {
    /// The name under which it is kept.
    pub name: PathBuf,
    /// The bytes; nothing where nothing has been remembered.
    pub bytes: Option<Vec<u8>>,
}

/// Where documents are looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LookIn<'a> {
    /// In the folder of a document, and not in the folders in it.
    Beside(&'a Path),
    /// In a folder and the folders in it; where the name is that of a document, it is that one.
    Within(&'a Path),
}

/// What lies in a place, in the order of the names.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Listing {
    /// The documents whose names end as those that are looked for.
    pub documents: Vec<PathBuf>,
    /// Links whose names end so: what a link leads to is not in the place.
    pub links: Vec<PathBuf>,
    /// Everything else, which nobody looks at.
    pub others: Vec<PathBuf>,
}

/// Where documents are kept. A write is whole or not at all, and of two writers of one document one is refused.
pub trait Storage: fmt::Debug + Sync {
    /// The bytes of a document, no more of them than a document may have.
    ///
    /// # Errors
    /// [`Trouble::Missing`], [`Trouble::Unreadable`], [`Trouble::TooLong`], [`Trouble::NotPlain`].
    fn read(&self, name: &Path) -> Result<Vec<u8>, StoreFault>;

    /// The bytes of a document, or nothing where there is none.
    ///
    /// # Errors
    /// As [`Storage::read`].
    fn read_if_there(&self, name: &Path) -> Result<Option<Vec<u8>>, StoreFault> {
        match self.read(name) {
            Err(StoreFault { what: Trouble::Missing { .. }, .. }) => Ok(None),
            read => read.map(Some),
        }
    }

    /// What lies in a place, by how the names of what is looked for end, in whatever case: the person who wants a
    /// document out of sight gives it capitals.
    ///
    /// # Errors
    /// [`Trouble::Missing`], [`Trouble::Unreadable`] for a folder that cannot be looked into.
    fn list(&self, place: LookIn<'_>, ending: &str) -> Result<Listing, StoreFault>;

    /// Sees that a new document can be kept under a name, before anybody is asked for anything.
    ///
    /// # Errors
    /// [`Trouble::Exists`], [`Trouble::Unwritable`].
    fn vacant(&self, name: &Path) -> Result<(), StoreFault>;

    /// Writes a document as a whole and reads it back; whatever goes wrong before it is in its place leaves what was there.
    ///
    /// # Errors
    /// [`Trouble::Exists`], [`Trouble::Changed`] and [`Trouble::NotPlain`] by `existing`, [`Trouble::Busy`] while somebody
    /// else writes it, [`Trouble::NotOurs`] where its lock is no lock, [`Trouble::Unwritable`]; once it is in its place
    /// [`Trouble::NotKept`] and [`Trouble::NotAsWritten`].
    fn write(&self, name: &Path, bytes: &[u8], existing: Existing<'_>, readers: Readers) -> Result<(), StoreFault>;

    /// Takes away a document that this act has written.
    ///
    /// # Errors
    /// [`Trouble::Unwritable`].
    fn remove(&self, name: &Path) -> Result<(), StoreFault>;

    /// Whether others than its owner can read a document.
    fn is_open_to_others(&self, name: &Path) -> bool;

    /// What is remembered of trust files for the person who is at work. The desk alone knows what the bytes say; the
    /// storage alone knows where they lie and for whom: one memory for each person's account, wherever the documents of
    /// a job lie.
    ///
    /// # Errors
    /// As [`Storage::read`], except that nothing remembered is no error; [`Trouble::Nowhere`] where this person has no
    /// place of their own.
    fn recall(&self) -> Result<Remembered, StoreFault>;

    /// Puts other bytes in the place of what was recalled, if it is still that.
    ///
    /// # Errors
    /// [`Trouble::Changed`] where another act has been faster, [`Trouble::Nowhere`] where nothing can be remembered, and
    /// those of [`Storage::write`].
    fn remember(&self, before: Option<&[u8]>, now: &[u8]) -> Result<(), StoreFault>;
}

/// What went wrong with a document that is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoreFault {
    /// The document.
    pub name: PathBuf,
    /// What it is.
    pub what: Trouble,
}

impl StoreFault {
    /// Of a document that the program keeps for itself: where one is there all at once, somebody else was faster.
    #[must_use]
    pub fn of_own(self) -> Self {
        let what = if self.what == Trouble::Exists { Trouble::Changed } else { self.what };
        Self { what, ..self }
    }
}

/// What can go wrong with a document that is kept; `why` is what the system says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    /// It is not there.
    Missing {
        /// What the system says.
        why: String,
    },
    /// It cannot be read.
    Unreadable {
        /// What the system says.
        why: String,
    },
    /// It is longer than any document may be.
    TooLong {
        /// Its length in bytes.
        length: u64,
        /// The bound.
        most: usize,
    },
    /// It is no plain document, but something that could be waited for without end, such as a pipe, or that leads elsewhere.
    NotPlain,
    /// What lies at the place of something that the program keeps for itself was not written by it.
    NotOurs,
    /// It is there already.
    Exists,
    /// Somebody else has changed it since it was read.
    Changed,
    /// Somebody else is writing it.
    Busy,
    /// It cannot be written; what was there is untouched.
    Unwritable {
        /// What the system says.
        why: String,
    },
    /// It is in its place, but the disk did not confirm that it stays there.
    NotKept {
        /// What the system says.
        why: String,
    },
    /// It is in its place, but does not read back as it was written.
    NotAsWritten,
    /// There is no place where anything can be remembered for the person who is at work.
    Nowhere,
}

impl Trouble {
    /// Whether the document is in its place in spite of it.
    pub const fn is_written(&self) -> bool {
        matches!(self, Self::NotKept { .. } | Self::NotAsWritten)
    }
}

/// What time it is.
pub trait Clock: fmt::Debug + Sync {
    /// The present instant, at any offset; `None` where it cannot be judged at.
    fn now(&self) -> Option<Instant>;
}

/// The machine's source of random bytes.
pub trait Randomness: fmt::Debug {
    /// Fills the bytes.
    ///
    /// # Errors
    /// What the system says, where it gives none.
    fn fill(&self, bytes: &mut [u8]) -> Result<(), String>;
}

/// The person who knows passphrases.
pub trait Passphrases: fmt::Debug {
    /// The passphrase of the private key that is kept under this name. Where others can read that key, the passphrase is
    /// all that guards it, and the person who is asked should be told so.
    ///
    /// # Errors
    /// Why there is none.
    fn of(&self, key: &Path, open_to_others: bool) -> Result<Zeroizing<String>, NoPassphrase>;

    /// In which file it is kept, where no person is asked: one that is wrong is then named by that.
    fn kept_in(&self) -> Option<&Path> {
        None
    }

    /// Whether it is worth asking once more, after a passphrase that was wrong: a person mistypes, a file does not.
    fn again(&self) -> bool;

    /// A passphrase for a new key, or a new one for a key.
    ///
    /// # Errors
    /// Why there is none.
    fn choose(&self) -> Result<Zeroizing<String>, NoPassphrase>;
}

/// Why there is no passphrase.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoPassphrase {
    /// There is nobody to ask.
    NobodyToAsk,
    /// The person who was asked gave no answer.
    NoAnswer {
        /// What the system says.
        why: String,
    },
    /// What it is kept in cannot be read.
    Kept(StoreFault),
    /// It is longer than any passphrase.
    TooLong,
    /// Typed twice, it was not the same.
    Differ,
}
