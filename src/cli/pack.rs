//! `fillward pack`: work on rule packs.

use std::path::PathBuf;

use clap::Subcommand;
use fillward::document::{Code, Fault};
use fillward::engine;
use fillward::pack::Pack;

use super::failure::Failure;
use super::output::{self, Terminal};
use super::{Exit, input};

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Check a local pack: its names, units and directions, and its rules' examples
    Check {
        /// The files of the pack; without any, the base pack is checked
        files: Vec<PathBuf>,
    },
}

pub(crate) fn run(command: &Command, terminal: Terminal) -> Result<Exit, Failure> {
    let Command::Check { files } = command;
    let packs = input::packs_to_check(files)?;
    let (count, faults) = engine::check_examples(&packs);
    for fault in &faults {
        let code = fault.pack.code_of(fault.rule);
        let message = format!(
            "this example of `{code}` is said to be {}, but is {}",
            fault.example.expected.word(),
            fault.found.word()
        );
        let said = Fault::new(Code::PackExampleDiffers, message)
            .label(fault.example.span, format!("comes out as {}", fault.found.word()))
            .help("correct the example, or the rule if the example is what you mean")
            .in_source(&fault.rule.told.place.source);
        terminal.fault(&said)?;
    }
    let (base, local) = packs.packs().split_at(usize::from(!files.is_empty()));
    let rules: usize = local.iter().map(|pack| pack.rules.len()).sum();
    let named = |packs: &[Pack]| -> String {
        let names: Vec<String> = packs.iter().map(|pack| format!("{} {}", pack.name, pack.edition)).collect();
        names.join(" + ")
    };
    let beside = if base.is_empty() { String::new() } else { format!(", beside {}", named(base)) };
    let outcome = match faults.len() {
        0 => format!("in order: all {count} examples come out as written"),
        1 => format!("not in order: 1 of {count} examples comes out differently"),
        differing => format!("not in order: {differing} of {count} examples come out differently"),
    };
    output::report(&format!("{}{beside}: {}, {outcome}\n", named(local), output::counted(rules, "rule")))?;
    Ok(if faults.is_empty() { Exit::Pass } else { Exit::Hold })
}
