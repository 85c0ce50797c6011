//! What can keep a command from giving an answer.

use std::io;
use std::path::{Path, PathBuf};

use fillward::checklist::Reason;
use fillward::checklist::canonical::shown;
use fillward::checklist::keys::KeyFault;
use fillward::document::{Fault, Faults};
use miette::Diagnostic;
use thiserror::Error;

use super::Exit;

/// Why a command did not do what it was asked.
#[derive(Debug, Error, Diagnostic)]
pub(crate) enum Failure {
    /// A file could not be read.
    #[error("cannot read `{}`: {why}", named(path))]
    #[diagnostic(code("cli/unreadable"), help("check the path and the permission"))]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the system said.
        why: io::Error,
    },
    /// A file is longer than any document may be.
    #[error("`{}` has {length} bytes; a document has at most {most}", named(path))]
    #[diagnostic(code("cli/too-long"), help("give the document itself"))]
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
    #[diagnostic(code("cli/invalid-input"))]
    Invalid {
        /// The faults, each a diagnostic of its own.
        faults: Vec<Fault>,
    },
    /// An argument does not say what it should.
    #[error("{message}")]
    #[diagnostic(code("cli/usage"))]
    Usage {
        /// What is wrong.
        message: String,
        /// The cure.
        #[help]
        help: String,
    },
    /// The clock shows a time that cannot be.
    #[error("the clock of this machine shows a time outside the years that can be judged")]
    #[diagnostic(code("cli/clock"), help("set the clock"))]
    Clock,
    /// The report could not be written.
    #[error("cannot write the report: {0}")]
    #[diagnostic(code("cli/unwritable"), help("check the disk or the program that the report is sent to"))]
    Unwritable(io::Error),
    /// Something speaks against a signature or a signed document.
    #[error("what is signed, or was to be signed, is not in order")]
    #[diagnostic(code("cli/integrity"))]
    Integrity(Vec<Reason>),
    /// Something speaks against a trust file.
    #[error("the trust file `{}` is not in order", named(path))]
    #[diagnostic(code("cli/integrity"))]
    Trust {
        /// The file.
        path: PathBuf,
        /// What does.
        reasons: Vec<Reason>,
    },
    /// A key file that cannot be used.
    #[error("`{}`: {fault}", named(path))]
    #[diagnostic(code("cli/key"), help("{}", fault.help()))]
    Key {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        fault: KeyFault,
    },
    /// A file that is already there.
    #[error("`{}` is already there", named(path))]
    #[diagnostic(code("cli/exists"), help("nothing was written; move it away, or give another name with --out"))]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// A file that somebody else changed while this command had it.
    #[error("`{}` was changed by somebody else meanwhile", named(path))]
    #[diagnostic(code("cli/changed"), help("nothing was written; start again from the file as it is now"))]
    ChangedMeanwhile {
        /// The file.
        path: PathBuf,
    },
    /// A file that somebody else is writing, or that was left locked by a crash.
    #[error("somebody else is writing this file: `{}` is there", named(lock))]
    #[diagnostic(code("cli/locked"), help("wait; if nobody is, a crash left it behind: remove it"))]
    Locked {
        /// The lock.
        lock: PathBuf,
    },
    /// A file could not be written.
    #[error("cannot write `{}`: {why}", named(path))]
    #[diagnostic(
        code("cli/unwritable-file"),
        help("check the disk and the permission; what was there before is untouched")
    )]
    UnwritableFile {
        /// The file.
        path: PathBuf,
        /// What the system said.
        why: io::Error,
    },
    /// A file that is written, in a folder that the disk did not confirm.
    #[error("`{}` is written, but the disk did not confirm its folder: {why}", named(path))]
    #[diagnostic(code("cli/not-kept"), help("check the disk, then whether the file is still there and whole"))]
    NotKept {
        /// The file.
        path: PathBuf,
        /// What the system said.
        why: io::Error,
    },
    /// A file that reads back differently.
    #[error("`{}` does not read back as it was written", named(path))]
    #[diagnostic(code("cli/not-as-written"), help("do not rely on it; check the disk and start again"))]
    NotAsWritten {
        /// The file.
        path: PathBuf,
    },
    /// The terminal gave no answer.
    #[error("no answer from the terminal: {why}")]
    #[diagnostic(code("cli/no-answer"), help("start again at a terminal that can be written to"))]
    NoAnswer {
        /// What the system said.
        why: io::Error,
    },
    /// The machine gives no random bytes.
    #[error("this machine gives no random bytes: {why}")]
    #[diagnostic(code("cli/no-randomness"), help("start again on a machine that does"))]
    NoRandomness {
        /// What the system said.
        why: String,
    },
    /// What went wrong once a checklist was signed and written.
    #[error("{0}")]
    #[diagnostic(transparent)]
    AfterSigning(Box<Self>),
    /// The report could not be put into its format.
    #[error("cannot put the report into its format: {0}")]
    #[diagnostic(code("cli/format"), help("report this: the program is at fault, not the record"))]
    Format(#[from] serde_json::Error),
}

impl From<Faults> for Failure {
    fn from(faults: Faults) -> Self {
        Self::Invalid { faults: faults.into_vec() }
    }
}

impl From<Fault> for Failure {
    fn from(fault: Fault) -> Self {
        Self::Integrity(vec![fault.into()])
    }
}

impl Failure {
    /// What goes wrong after a signed file is there: nobody may be told that nothing was signed.
    pub(crate) fn after_signing(self) -> Self {
        Self::AfterSigning(Box::new(self))
    }

    /// The failure to write a signed file: one that does not read back, or that the disk did not confirm, is there all the
    /// same.
    pub(crate) fn if_written(self) -> Self {
        match self {
            Self::NotAsWritten { .. } | Self::NotKept { .. } => self.after_signing(),
            failure => failure,
        }
    }

    /// The exit code of the failure: never that of a verdict.
    pub(crate) const fn exit(&self) -> Exit {
        match self {
            Self::Integrity(_) | Self::Trust { .. } => Exit::Integrity,
            Self::AfterSigning(failure) => failure.exit(),
            _ => Exit::NotJudged,
        }
    }
}

/// A path as it may be shown on a terminal.
fn named(path: &Path) -> String {
    shown(&path.to_string_lossy()).into_owned()
}
