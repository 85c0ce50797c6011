//! What can keep a command from giving an answer.

use std::io;
use std::path::PathBuf;

use fillward::document::Faults;
use miette::Diagnostic;
use thiserror::Error;

/// Why nothing was judged.
#[derive(Debug, Error, Diagnostic)]
pub(crate) enum Failure {
    /// A file could not be read.
    #[error("cannot read `{}`: {why}", path.display())]
    #[diagnostic(code("cli/unreadable"), help("check the path and the permission; nothing was judged"))]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the system said.
        why: io::Error,
    },
    /// A file is longer than any document may be.
    #[error("`{}` has {length} bytes; a record or pack has at most {most}", path.display())]
    #[diagnostic(code("cli/too-long"), help("give the record itself; nothing was judged"))]
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
        faults: Vec<fillward::document::Fault>,
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
    #[diagnostic(code("cli/clock"), help("set the clock; nothing was judged"))]
    Clock,
    /// The report could not be written.
    #[error("cannot write the report: {0}")]
    #[diagnostic(code("cli/unwritable"), help("check the disk or the program that the report is sent to"))]
    Unwritable(io::Error),
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
