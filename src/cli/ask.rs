//! Asking at the terminal, on standard error, so that what is printed stays what was asked for.

use std::io::{self, BufRead as _, IsTerminal as _, Write as _};

use super::failure::Failure;

/// What a person answers before something is signed.
pub(crate) fn consent(question: &str) -> Result<String, Failure> {
    let nobody =
        || Failure::usage("there is no terminal to ask whether to sign", "read what is signed, then give --yes");
    answer(question, nobody)
}

/// A line that a person types where an option does not give it.
pub(crate) fn line(question: &str, option: &str) -> Result<String, Failure> {
    let nobody =
        || Failure::usage(format!("there is no terminal to ask for {option}"), format!("give it with {option}"));
    answer(question, nobody)
}

fn answer(question: &str, nobody: impl FnOnce() -> Failure) -> Result<String, Failure> {
    if !io::stdin().is_terminal() {
        return Err(nobody());
    }
    let unanswered = |why: io::Error| Failure::NoAnswer { why: why.to_string() };
    let mut out = io::stderr().lock();
    write!(out, "{question}").and_then(|()| out.flush()).map_err(unanswered)?;
    let mut answer = String::new();
    io::stdin().lock().read_line(&mut answer).map_err(unanswered)?;
    Ok(answer)
}
