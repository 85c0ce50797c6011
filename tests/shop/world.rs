//! The world that the desk sees in tests: a storage in memory, a clock that stands still, bytes that are not random, and
//! somebody who knows a passphrase.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use fillward::desk::world::{
    Existing, Listing, LookIn, NoPassphrase, Passphrases, Randomness, Readers, Remembered, StoreFault, Trouble,
};
use fillward::desk::{Clock, Storage};
use fillward::units::Instant;
use zeroize::Zeroizing;

use super::at;
use crate::common;

/// What is kept, what is remembered, what time it is, and what is to go wrong next.
#[derive(Debug)]
pub(crate) struct World {
    pub(super) kept: Mutex<BTreeMap<PathBuf, Vec<u8>>>,
    pub(super) remembered: Mutex<Option<Vec<u8>>>,
    /// What keeps the person at work from recalling and remembering anything, if something does.
    pub(super) no_memory: Mutex<Option<Trouble>>,
    /// What another act remembers before the next one of this shop can.
    pub(super) rivals: Mutex<Vec<Vec<u8>>>,
    pub(super) trouble: Mutex<Option<(PathBuf, Trouble)>>,
    pub(super) now: Mutex<Instant>,
}

impl World {
    pub(super) fn new() -> Self {
        Self {
            kept: Mutex::default(),
            remembered: Mutex::default(),
            no_memory: Mutex::default(),
            rivals: Mutex::default(),
            trouble: Mutex::default(),
            now: Mutex::new(at(common::DEMO_AT)),
        }
    }

    /// The trouble that the next write of this name is to meet, if it is to.
    fn trouble(&self, name: &Path) -> Option<Trouble> {
        let mut trouble = self.trouble.lock().unwrap();
        trouble.take_if(|(troubled, _)| troubled == name).map(|(_, what)| what)
    }
}

fn fault(name: &Path, what: Trouble) -> StoreFault {
    StoreFault { name: name.to_owned(), what }
}

impl Clock for World {
    fn now(&self) -> Option<Instant> {
        Some(*self.now.lock().unwrap())
    }
}

impl Storage for World {
    fn read(&self, name: &Path) -> Result<Vec<u8>, StoreFault> {
        let missing = || fault(name, Trouble::Missing { why: "nothing is kept there".to_owned() });
        self.kept.lock().unwrap().get(name).cloned().ok_or_else(missing)
    }

    fn list(&self, place: LookIn<'_>, ending: &str) -> Result<Listing, StoreFault> {
        let is_meant = |name: &Path| match place {
            LookIn::Beside(other) => name.parent() == other.parent(),
            LookIn::Within(folder) => name.starts_with(folder),
        };
        let kept = self.kept.lock().unwrap();
        let meant = kept.keys().filter(|name| is_meant(name)).cloned();
        let (documents, others) = meant.partition(|name| name.to_string_lossy().to_ascii_lowercase().ends_with(ending));
        Ok(Listing { documents, links: Vec::new(), others })
    }

    fn vacant(&self, name: &Path) -> Result<(), StoreFault> {
        if self.kept.lock().unwrap().contains_key(name) { Err(fault(name, Trouble::Exists)) } else { Ok(()) }
    }

    fn write(&self, name: &Path, bytes: &[u8], existing: Existing<'_>, _readers: Readers) -> Result<(), StoreFault> {
        let trouble = self.trouble(name);
        if let Some(what) = trouble.clone().filter(|what| !what.is_written()) {
            return Err(fault(name, what));
        }
        let mut kept = self.kept.lock().unwrap();
        match (kept.get(name), existing) {
            (Some(_), Existing::Keep | Existing::Own(None)) => return Err(fault(name, Trouble::Exists)),
            (now, Existing::Replace(before) | Existing::Own(Some(before))) if now.is_none_or(|now| now != before) => {
                return Err(fault(name, Trouble::Changed));
            }
            _ => kept.insert(name.to_owned(), bytes.to_owned()),
        };
        trouble.map_or(Ok(()), |what| Err(fault(name, what)))
    }

    fn remove(&self, name: &Path) -> Result<(), StoreFault> {
        self.kept.lock().unwrap().remove(name);
        Ok(())
    }

    fn is_open_to_others(&self, _name: &Path) -> bool {
        false
    }

    fn recall(&self) -> Result<Remembered, StoreFault> {
        if let Some(what) = self.no_memory.lock().unwrap().clone() {
            return Err(fault(Path::new("memory"), what));
        }
        Ok(Remembered { name: "memory".into(), bytes: self.remembered.lock().unwrap().clone() })
    }

    fn remember(&self, before: Option<&[u8]>, now: &[u8]) -> Result<(), StoreFault> {
        let memory = Path::new("memory");
        if let Some(what) = self.no_memory.lock().unwrap().clone() {
            return Err(fault(memory, what));
        }
        if let Some(what) = self.trouble(memory) {
            return Err(fault(memory, what));
        }
        let mut remembered = self.remembered.lock().unwrap();
        if let Some(rival) = self.rivals.lock().unwrap().pop() {
            *remembered = Some(rival);
        }
        if remembered.as_deref() != before {
            return Err(fault(memory, Trouble::Changed));
        }
        *remembered = Some(now.to_owned());
        Ok(())
    }
}

/// Each byte one more than the one before: enough to tell that all of them were asked for.
#[derive(Debug)]
pub(crate) struct Counting;

impl Randomness for Counting {
    fn fill(&self, bytes: &mut [u8]) -> Result<(), String> {
        bytes.iter_mut().zip(0..).for_each(|(byte, number)| *byte = number);
        Ok(())
    }
}

/// Somebody who knows one passphrase.
#[derive(Debug)]
pub(crate) struct Person(pub(crate) &'static str);

impl Passphrases for Person {
    fn of(&self, _key: &Path, _open_to_others: bool) -> Result<Zeroizing<String>, NoPassphrase> {
        Ok(Zeroizing::new(self.0.to_owned()))
    }

    fn again(&self) -> bool {
        false
    }

    fn choose(&self) -> Result<Zeroizing<String>, NoPassphrase> {
        Ok(Zeroizing::new(self.0.to_owned()))
    }
}
