//! What can keep a command from giving an answer.

pub(crate) mod alike;
mod refused;

use std::fmt;
use std::io;
use std::panic::PanicHookInfo;
use std::path::{Path, PathBuf};

use fillward::checklist::keys::KeyFault;
use fillward::checklist::{Reason, TrustReason};
use fillward::document::{Code, Fault, Faults};
use fillward::vocabulary::shown;
use miette::Diagnostic;
use thiserror::Error;

use super::Exit;

/// Why a command did not do what it was asked.
#[derive(Debug, Error)]
pub(crate) enum Failure {
    /// A file could not be read.
    #[error("cannot read `{}`: {why}", named(path))]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the system said.
        why: String,
    },
    /// A file is longer than any document may be.
    #[error("`{}` has {length} bytes; a document has at most {most}", named(path))]
    TooLong {
        /// The file.
        path: PathBuf,
        /// Its length.
        length: u64,
        /// The bound.
        most: usize,
    },
    /// The text of a document has faults.
    #[error("the input has faults")]
    Invalid {
        /// The faults, each a diagnostic of its own.
        faults: Vec<Fault>,
    },
    /// An argument does not say what it should.
    #[error("{message}")]
    Usage {
        /// What is wrong.
        message: String,
        /// The cure.
        help: String,
    },
    /// The clock shows a time that cannot be.
    #[error("the clock of this machine shows a time outside the years that can be judged")]
    Clock,
    /// The report could not be written.
    #[error("cannot write the report: {0}")]
    Unwritable(io::Error),
    /// Something speaks against a signature or a signed document.
    #[error("{}", head_of_signature(_0))]
    Integrity(Vec<Reason>),
    /// Something speaks against a trust file.
    #[error("{}", head_of_trust(path, reasons))]
    Trust {
        /// The file.
        path: PathBuf,
        /// What does.
        reasons: Vec<Reason>,
    },
    /// Something speaks against what a trust file is asked to say.
    #[error("what you asked for cannot go into the trust file, because:")]
    TrustOrder(Vec<Reason>),
    /// A key file that cannot be used.
    #[error("`{}`: {fault}", named(path))]
    Key {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        fault: KeyFault,
    },
    /// A passphrase that is kept in a file, and is not that of the key.
    #[error("the words in `{}` are not the passphrase of that key, `{}`", named(kept), named(path))]
    OtherPassphrase {
        /// The key's file.
        path: PathBuf,
        /// Where the passphrase was taken from.
        kept: PathBuf,
    },
    /// A pipe, a device, or a link where none is followed.
    #[error("`{}` is no plain file, but a link, a pipe or a device", named(path))]
    NotPlain {
        /// The file.
        path: PathBuf,
    },
    /// Somebody else's file at a name that the program keeps for itself.
    #[error("`{}` was not written by this program, and lies where it keeps a file of its own", named(path))]
    NotOurs {
        /// The file.
        path: PathBuf,
    },
    /// A file that is already there.
    #[error("`{}` is already there", named(path))]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// A file that somebody else changed while this command had it.
    #[error("`{}` was changed by somebody else meanwhile", named(path))]
    ChangedMeanwhile {
        /// The file.
        path: PathBuf,
    },
    /// A file that somebody else is writing.
    #[error("somebody else is writing this file: `{}` is held", named(lock))]
    Locked {
        /// The lock.
        lock: PathBuf,
    },
    /// A file could not be written.
    #[error("cannot write `{}`: {why}", named(path))]
    UnwritableFile {
        /// The file.
        path: PathBuf,
        /// What the system said.
        why: String,
    },
    /// A file that is written, in a folder that the disk did not confirm.
    #[error("`{}` is written, but the disk did not confirm its folder: {why}", named(path))]
    NotKept {
        /// The file.
        path: PathBuf,
        /// What the system said.
        why: String,
    },
    /// A file that reads back differently.
    #[error("`{}` does not read back as it was written", named(path))]
    NotAsWritten {
        /// The file.
        path: PathBuf,
    },
    /// The terminal gave no answer.
    #[error("no answer from the terminal: {why}")]
    NoAnswer {
        /// What the system said.
        why: String,
    },
    /// The machine gives no random bytes.
    #[error("this machine gives no random bytes: {why}")]
    NoRandomness {
        /// What the system said.
        why: String,
    },
    /// What went wrong once a checklist was signed and written.
    #[error("{}", head_after_signing(_0))]
    AfterSigning(Box<Self>),
    /// The report could not be put into its format.
    #[error("cannot put the report into its format: {0}")]
    Format(#[from] serde_json::Error),
    /// The program found that it does not do what it should.
    #[error("the program itself is at fault: {said}")]
    OwnFault {
        /// What it found, and where in its source.
        said: String,
    },
}

impl From<Faults> for Failure {
    fn from(faults: Faults) -> Self {
        Self::Invalid { faults: faults.into_vec() }
    }
}

impl Failure {
    /// What goes wrong after a signed file is there: nobody may be told that nothing was signed.
    pub(crate) fn after_signing(self) -> Self {
        Self::AfterSigning(Box::new(self))
    }

    /// An argument that does not say what it should, and the cure.
    pub(crate) fn usage(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self::Usage { message: message.into(), help: help.into() }
    }

    /// What the program found wrong with itself.
    pub(crate) fn of_its_own(fault: &PanicHookInfo<'_>) -> Self {
        let payload = fault.payload();
        let text = payload.downcast_ref::<&str>().copied();
        let why =
            text.or_else(|| payload.downcast_ref::<String>().map(String::as_str)).unwrap_or("it does not say why");
        let place = fault.location().map(|place| format!(", at {place}")).unwrap_or_default();
        Self::OwnFault { said: shown(&[why, &place].concat()).into_owned() }
    }

    /// The first line of it where each of its reasons is told by itself: what did not come about, and why.
    pub(crate) fn headed(&self, heading: &str) -> String {
        match self {
            Self::Integrity(reasons) if head_of_signature(reasons) == AGAINST => format!("{heading}, because:"),
            _ => format!("{heading}: {self}"),
        }
    }

    /// The exit code of the failure: never that of a verdict.
    pub(crate) const fn exit(&self) -> Exit {
        match self {
            Self::Integrity(_) | Self::Trust { .. } | Self::TrustOrder(_) => Exit::Integrity,
            Self::AfterSigning(failure) => failure.exit(),
            _ => Exit::NotJudged,
        }
    }
}

impl Diagnostic for Failure {
    fn code<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        let code = match self {
            // Shown fault by fault, each with a code of its own.
            Self::Invalid { .. } | Self::Integrity(_) | Self::Trust { .. } | Self::TrustOrder(_) => return None,
            Self::AfterSigning(failure) => return failure.code(),
            Self::Unreadable { .. } => Code::CliUnreadable,
            Self::TooLong { .. } => Code::CliTooLong,
            Self::Usage { .. } => Code::CliUsage,
            Self::Clock => Code::CliClock,
            Self::Unwritable(_) => Code::CliUnwritable,
            Self::Key { .. } | Self::OtherPassphrase { .. } => Code::CliKey,
            Self::NotPlain { .. } => Code::CliNotPlain,
            Self::NotOurs { .. } => Code::CliNotOurs,
            Self::Exists { .. } => Code::CliExists,
            Self::ChangedMeanwhile { .. } => Code::CliChanged,
            Self::Locked { .. } => Code::CliLocked,
            Self::UnwritableFile { .. } => Code::CliUnwritableFile,
            Self::NotKept { .. } => Code::CliNotKept,
            Self::NotAsWritten { .. } => Code::CliNotAsWritten,
            Self::NoAnswer { .. } => Code::CliNoAnswer,
            Self::NoRandomness { .. } => Code::CliNoRandomness,
            Self::Format(_) => Code::CliFormat,
            Self::OwnFault { .. } => Code::CliOwnFault,
        };
        Some(Box::new(code))
    }

    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        let help = match self {
            Self::Invalid { .. } | Self::Integrity(_) | Self::Trust { .. } | Self::TrustOrder(_) => return None,
            Self::AfterSigning(failure) => return failure.help(),
            Self::Unreadable { .. } => "check the path and the permission",
            Self::TooLong { .. } => "give the document itself",
            Self::Usage { help, .. } => help,
            Self::Clock => "set the clock",
            Self::Unwritable(_) => "check the disk or the program that the report is sent to",
            Self::Key { fault, .. } => fault.help(),
            Self::OtherPassphrase { .. } => "type it, or name the right file; without the passphrase the key is lost",
            Self::NotPlain { .. } => {
                "nothing was read or written there; find out who put it there, and give the file itself, no pipe, device or link"
            }
            Self::NotOurs { .. } => "it is left as it is; find out whose it is, and move it away",
            Self::Exists { .. } => "nothing was written; move it away, or give another name with --out",
            Self::ChangedMeanwhile { .. } => "nothing was written; start again from the file as it is now",
            Self::Locked { .. } => "nothing was written; wait until they are done, then try again",
            Self::UnwritableFile { .. } => "check the disk and the permission; what was there before is untouched",
            Self::NotKept { .. } => "check the disk, then whether the file is still there and whole",
            Self::NotAsWritten { .. } => "do not rely on it; check the disk and start again",
            Self::NoAnswer { .. } => "start again at a terminal that can be written to",
            Self::NoRandomness { .. } => "start again on a machine that does",
            Self::Format(_) => "report this: the program is at fault, not the record",
            Self::OwnFault { .. } => {
                "whatever it has said just now does not count; keep the files it was given, and report this"
            }
        };
        Some(Box::new(help))
    }
}

/// Where nothing more can be said of all reasons together: what did not come about stands before it.
const AGAINST: &str = "something speaks against it";

/// What it comes to that something speaks against a signature, or that this account cannot tell.
fn head_of_signature(reasons: &[Reason]) -> &'static str {
    let of_memory = |reason: &Reason| reason.code() == Code::CliTrustSeen;
    if reasons.iter().all(of_memory) {
        "what this account remembers of trust files cannot be relied on, so nothing starts by any"
    } else if reasons.iter().all(|reason| matches!(reason, Reason::Form(_))) {
        "this file cannot be used, because:"
    } else {
        AGAINST
    }
}

/// The same once a file was signed and kept.
fn head_after_signing(failure: &Failure) -> String {
    match failure {
        Failure::Integrity(_) => "this was signed, and is not to be relied on, because:".to_owned(),
        other => other.to_string(),
    }
}

/// What it comes to that a trust file is not taken, by the sort of what is said: it may be the file, the person's own clock,
/// account or key, or the words that were typed.
fn head_of_trust(path: &Path, reasons: &[Reason]) -> String {
    let name = named(path);
    let all = |is_so: fn(&Reason) -> bool| reasons.iter().all(is_so);
    if all(|reason| matches!(reason, Reason::ClockSetBack { .. } | Reason::ClockBehind { .. })) {
        format!("by the clock of this machine the trust file `{name}` is not taken")
    } else if all(|reason| reason.leaves_open_whose() || reason.is_of_memory()) {
        format!("on this account the trust file `{name}` is not taken yet")
    } else if all(|reason| matches!(reason, Reason::OfTrust(TrustReason::NotOnPaper(_)))) {
        format!("the words that were given are not those of the trust file `{name}`")
    } else if let Some(who) = whose_key(reasons) {
        format!("the key of {} does not sign for the trust file `{name}`", shown(who))
    } else {
        format!("the trust file `{name}` is not in order")
    }
}

/// Whose key it is that all reasons speak of; nothing where one of them speaks of something else.
fn whose_key(reasons: &[Reason]) -> Option<&str> {
    let mut whose = None;
    for reason in reasons {
        match reason {
            Reason::KeyExpired { who, .. }
            | Reason::KeyNotYet { who, .. }
            | Reason::KeyRevoked { who, .. }
            | Reason::WrongRole { who, .. }
            | Reason::MayNotSignAs { who, .. } => whose = whose.or(Some(who.as_str())),
            _ => return None,
        }
    }
    whose
}

/// A path as it may be shown on a terminal.
fn named(path: &Path) -> String {
    shown(&path.to_string_lossy()).into_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What did not come about is said once, and of what was signed never that it was not.
    #[test]
    fn the_first_line_says_what_did_not_come_about_once() {
        let failure = || Failure::Integrity(vec![Reason::Hold]);
        assert_eq!(failure().headed("NOT SIGNED"), "NOT SIGNED, because:");
        assert_eq!(
            failure().after_signing().headed("NOT VERIFIED"),
            "NOT VERIFIED: this was signed, and is not to be relied on, because:"
        );
        assert_eq!(failure().to_string(), "something speaks against it");
    }
}
