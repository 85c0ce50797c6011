//! The command line of fillward: reads files and the clock, calls the library, prints, and sets the exit code.

mod cli;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::run().into()
}
