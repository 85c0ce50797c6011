//! What one whole run of `fillward check` costs: processor time and memory, start of the process included.
//!
//! The binary is the one that the bench profile builds. Processor time is what the system counts for each child; see
//! `benches/README.md` for how to read the table.

use std::error::Error;
use std::io::{self, Write};
use std::path::Path;
use std::process::{Command, Stdio};

use nix::sys::resource::{Usage, UsageWho, getrusage};
use nix::sys::time::TimeVal;

type Outcome<T> = Result<T, Box<dyn Error>>;

/// How often each command runs.
const RUNS: usize = 101;
/// How often the script runs, which takes a hundred times as long.
const RUNS_OF_SCRIPT: usize = 5;
/// What one run may take.
const MOST_MICROSECONDS: i64 = 2_500;
/// Which share of the script's time one run may take.
const SHARE_OF_SCRIPT: i64 = 30;
/// Reads the same texts with PyYAML and holds them against the schemas with jsonschema, and judges nothing; both come from
/// the package registry.
const SCRIPT: &str = "benches/process/least.py";
/// What all of it may take in memory, in the kibibytes in which Linux counts.
const MOST_KIBIBYTES: i64 = 30 * 1000 * 1000 / 1024;

/// A command with the exit code that it must end with.
struct Asked {
    name: &'static str,
    arguments: &'static [&'static str],
    exit: i32,
    /// Whether the budget is for this one; the others are there to compare with.
    budgeted: bool,
}

const AT: &str = "2026-03-04T09:30:00-06:00";
const ZONE: &str = "America/Chicago";

const COMMANDS: [Asked; 3] = [
    Asked { name: "starting alone: --version", arguments: &["--version"], exit: 0, budgeted: false },
    Asked {
        name: "check, four assemblies, PASS",
        arguments: &["check", "shared/demo/jobs/pass-four-assemblies.yaml", "--at", AT, "--zone", ZONE],
        exit: 0,
        budgeted: true,
    },
    Asked {
        name: "check, four assemblies, HOLD",
        arguments: &["check", "shared/demo/jobs/hold-one-of-four.yaml", "--at", AT, "--zone", ZONE],
        exit: 1,
        budgeted: true,
    },
];

fn main() -> Outcome<()> {
    let out = &mut io::stdout().lock();
    writeln!(out, "{:<32} {:>8} {:>18} {:>12}", "", "CPU us", "middle half", "peak, MB")?;
    let mut longest = 0;
    for asked in &COMMANDS {
        let mut costs = (0..RUNS).map(|_| run(&mut fillward(asked), asked.exit)).collect::<Outcome<Vec<i64>>>()?;
        costs.sort_unstable();
        let at = |index: usize| costs.get(index).copied().ok_or("no runs");
        let (low, mid, high) = (at(RUNS / 4)?, at(RUNS / 2)?, at(RUNS * 3 / 4)?);
        // The largest child so far; the commands stand in the order of their hunger, so it is this one's.
        let peak = getrusage(UsageWho::RUSAGE_CHILDREN)?.max_rss();
        let middle = format!("{low} to {high}");
        writeln!(out, "{:<32} {mid:>8} {middle:>18} {:>12}", asked.name, megabytes(peak))?;
        if asked.budgeted {
            longest = longest.max(mid);
            say(out, "2.5 ms of processor time", mid <= MOST_MICROSECONDS)?;
            say(out, "30 MB of memory", peak <= MOST_KIBIBYTES)?;
        }
    }
    let mut costs = (0..RUNS_OF_SCRIPT).map(|_| run(&mut script(), 0)).collect::<Outcome<Vec<i64>>>()?;
    costs.sort_unstable();
    let of_script = costs.get(RUNS_OF_SCRIPT / 2).copied().ok_or("no runs")?;
    writeln!(
        out,
        "{:<32} {of_script:>8}   {} times the longest check",
        "PyYAML, jsonschema: reading",
        of_script / longest.max(1)
    )?;
    say(out, "a thirtieth of the script's time", longest * SHARE_OF_SCRIPT <= of_script)?;
    Ok(())
}

fn say(out: &mut impl Write, budget: &str, kept: bool) -> io::Result<()> {
    writeln!(out, "  at most {budget}: {}", if kept { "kept" } else { "missed" })
}

fn megabytes(kibibytes: i64) -> String {
    let tenths = kibibytes * 1024 / 100_000;
    format!("{}.{}", tenths / 10, tenths % 10)
}

fn fillward(asked: &Asked) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_fillward"));
    command.args(asked.arguments);
    command
}

fn script() -> Command {
    let mut command = Command::new("python3");
    command.args([SCRIPT, "shared/demo/jobs/pass-four-assemblies.yaml"]);
    command
}

/// Runs a command to its end, which must be this exit code: the microseconds of processor time, its own and the system's
/// for it.
fn run(command: &mut Command, exit: i32) -> Outcome<i64> {
    let before = microseconds(&getrusage(UsageWho::RUSAGE_CHILDREN)?);
    let status = command
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .status()?;
    if status.code() != Some(exit) {
        return Err(format!("{command:?} ended with {status}, not with exit code {exit}").into());
    }
    Ok(microseconds(&getrusage(UsageWho::RUSAGE_CHILDREN)?) - before)
}

fn microseconds(usage: &Usage) -> i64 {
    let whole = |time: TimeVal| time.tv_sec() * 1_000_000 + time.tv_usec();
    whole(usage.user_time()) + whole(usage.system_time())
}
