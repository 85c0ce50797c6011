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
/// Which share of the script's time one run may take.
const SHARE_OF_SCRIPT: i64 = 30;
/// Reads the same texts with `PyYAML`, holds them against the schemas with jsonschema, and decides the rules by plain
/// comparisons; both packages come from the registry.
const SCRIPT: &str = "benches/process/checks.py";
/// What all of it may take in memory, in the kibibytes in which Linux counts.
const MOST_KIBIBYTES: i64 = 30 * 1000 * 1000 / 1024;

/// A command with the exit code that it must end with.
struct Asked {
    name: &'static str,
    arguments: Vec<String>,
    exit: i32,
    /// The microseconds that it may take; the others are there to compare with.
    most: Option<i64>,
}

const AT: &str = "2026-03-04T09:30:00-06:00";
const ZONE: &str = "America/Chicago";
const PASS: &str = "shared/demo/jobs/pass-four-assemblies.yaml";

/// A shop of 20 people, 40 instruments and 60 cards: the demo shop and more of the same.
fn large_shop() -> Outcome<String> {
    let mut text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("shared/demo/shop.yaml"))?;
    let mut add = |section: &str, count: usize, entry: &dyn Fn(usize) -> String| {
        let head = format!("\n{section}:\n");
        let (before, after) = text.split_once(&head).ok_or_else(|| format!("the demo shop has no {section}"))?;
        let more: String = (0..count).map(|one| ["  - {", &entry(101 + one), "}\n"].concat()).collect();
        text = format!("{before}{head}{more}{after}");
        Ok::<(), String>(())
    };
    add("crew", 12, &|n| {
        format!(
            "mark: C-{n}, name: Helper {n}, role: helper, trained_in: [rim wheels], training_reviewed: 2025-09-23, fit_until: 2026-12-31"
        )
    })?;
    add("gauges", 15, &|n| {
        format!("mark: G-{n}, range: {{from: 0 psi, to: 160 psi}}, accuracy: EN 0.6, calibration_due: 2026-09-30")
    })?;
    add("thermometers", 15, &|n| {
        format!(
            "mark: T-{n}, range: {{from: 0 degF, to: 220 degF}}, uncertainty: 0.5 degF, calibration_due: 2026-09-30"
        )
    })?;
    add("tyres", 12, &|n| {
        format!(
            "mark: card {n}, size: 12-16.5, construction: bias, ply_rating: 12, belts: none, seal: tubeless, sidewall_maximum: 80 psi"
        )
    })?;
    add("wheels", 11, &|n| {
        format!(
            "mark: wheel {n}, rim: {{kind: single piece, bead_diameter: 16.5 in, rating: 80 psi}}, wheel: {{rating: 80 psi}}"
        )
    })?;
    Ok(text)
}

fn asked(shop: &str) -> [Asked; 5] {
    let words = |words: &[&str]| words.iter().map(ToString::to_string).collect();
    let long = |job: &str| words(&["check", job, "--at", AT, "--zone", ZONE]);
    let short =
        |shop: &str| words(&["check", "shared/demo/short/pass-four-assemblies.yaml", "--at", AT, "--shop", shop]);
    [
        Asked { name: "starting alone: --version", arguments: words(&["--version"]), exit: 0, most: None },
        Asked { name: "four assemblies, PASS", arguments: long(PASS), exit: 0, most: Some(2_500) },
        Asked {
            name: "four assemblies, HOLD",
            arguments: long("shared/demo/jobs/hold-one-of-four.yaml"),
            exit: 1,
            most: Some(2_500),
        },
        Asked { name: "the same, short, demo shop", arguments: short("shared/demo/shop.yaml"), exit: 0, most: None },
        Asked { name: "the same, short, large shop", arguments: short(shop), exit: 0, most: Some(3_000) },
    ]
}

fn main() -> Outcome<()> {
    let out = &mut io::stdout().lock();
    let shop = Path::new(env!("CARGO_TARGET_TMPDIR")).join("large-shop.yaml");
    std::fs::write(&shop, large_shop()?)?;
    writeln!(out, "{:<32} {:>8} {:>18} {:>12}", "", "CPU us", "middle half", "peak, MB")?;
    let mut taken = Vec::new();
    for asked in asked(&shop.to_string_lossy()) {
        let costs = costs(RUNS, &mut fillward(&asked), asked.exit)?;
        let at = |index: usize| costs.get(index).copied().ok_or("no runs");
        let (low, mid, high) = (at(RUNS / 4)?, at(RUNS / 2)?, at(RUNS * 3 / 4)?);
        // The largest child so far; the commands stand in the order of their hunger, so it is this one's.
        let peak = getrusage(UsageWho::RUSAGE_CHILDREN)?.max_rss();
        let middle = format!("{low} to {high}");
        writeln!(out, "{:<32} {mid:>8} {middle:>18} {:>12}", asked.name, tenths(peak * 1024 / 100_000))?;
        if let Some(most) = asked.most {
            taken.push((asked.name, mid));
            say(out, &format!("{} ms of processor time", tenths(most / 100)), mid <= most)?;
            say(out, "30 MB of memory", peak <= MOST_KIBIBYTES)?;
        }
    }
    let of_script = costs(RUNS_OF_SCRIPT, &mut script(), 0)?.get(RUNS_OF_SCRIPT / 2).copied().ok_or("no runs")?;
    writeln!(out, "{:<32} {of_script:>8}", "the script, PASS")?;
    for (name, mid) in taken {
        writeln!(out, "{:<32} {:>8} times as long", format!("  over {name}"), of_script / mid.max(1))?;
        say(out, "a thirtieth of the script's time", mid * SHARE_OF_SCRIPT <= of_script)?;
    }
    Ok(())
}

/// The costs of so many runs, in microseconds, the least first.
fn costs(runs: usize, command: &mut Command, exit: i32) -> Outcome<Vec<i64>> {
    let mut costs = (0..runs).map(|_| run(command, exit)).collect::<Outcome<Vec<i64>>>()?;
    costs.sort_unstable();
    Ok(costs)
}

fn say(out: &mut impl Write, budget: &str, kept: bool) -> io::Result<()> {
    writeln!(out, "  at most {budget}: {}", if kept { "kept" } else { "missed" })
}

/// A count of tenths as a number.
fn tenths(tenths: i64) -> String {
    format!("{}.{}", tenths / 10, tenths % 10)
}

fn fillward(asked: &Asked) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_fillward"));
    command.args(&asked.arguments);
    command
}

fn script() -> Command {
    let mut command = Command::new("python3");
    command.args([SCRIPT, PASS, AT]);
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
