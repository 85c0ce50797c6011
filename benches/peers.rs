//! How long one judgement takes, beside two general-purpose engines that are given the same conditions and facts.
//!
//! Everything that can be prepared is prepared before the clock runs: policies are compiled, facts stand in memory as
//! each library's own values. Before that, all engines must give the same eighteen answers for every record. See
//! `benches/README.md` for how to read the table.

#[path = "peers/by_cel.rs"]
mod by_cel;
#[path = "peers/by_fillward.rs"]
mod by_fillward;
#[path = "peers/by_regorus.rs"]
mod by_regorus;
#[path = "peers/clock.rs"]
mod clock;
#[path = "peers/facts.rs"]
mod facts;

use std::error::Error;
use std::io::{self, Write};

use facts::{CONDITIONS, Case};

type Outcome<T> = Result<T, Box<dyn Error>>;

/// What an engine says of one condition.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Answer {
    Met,
    Broken,
    NotShown,
}

impl Answer {
    const fn of(met: bool) -> Self {
        if met { Self::Met } else { Self::Broken }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Met => "met",
            Self::Broken => "broken",
            Self::NotShown => "not shown",
        }
    }
}

/// Which library, and which of its engines, a way of judging belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Family {
    Fillward,
    Cel,
    RegorusInterpreter,
    RegorusMachine,
}

/// One way of judging, ready to run.
trait Contender {
    fn family(&self) -> Family;

    /// What it is called in the table.
    fn name(&self) -> &'static str;

    /// Its answers for a case, in the order of [`CONDITIONS`].
    fn answers(&mut self, case: usize) -> Outcome<Vec<Answer>>;

    /// Judges a case so many times.
    fn run(&mut self, case: usize, times: u32) -> Outcome<()>;
}

/// The least ratios that this project holds itself to, against the fastest way of each.
const TARGETS: [(Family, &str, f64); 3] = [
    (Family::Cel, "cel", 10.0),
    (Family::RegorusInterpreter, "regorus, interpreter", 30.0),
    (Family::RegorusMachine, "regorus, machine", 30.0),
];

fn main() -> Outcome<()> {
    let cases = facts::cases();
    let mut contenders: Vec<Box<dyn Contender>> = Vec::new();
    contenders.push(Box::new(by_fillward::Judge::new(&cases)?));
    contenders.extend(by_cel::contenders(&cases)?);
    contenders.extend(by_regorus::contenders(&cases)?);

    let out = &mut io::stdout().lock();
    let compared = agree(&cases, &mut contenders)?;
    writeln!(out, "{compared} answers compared: every engine agrees on every record\n")?;
    for (index, case) in cases.iter().enumerate().filter(|(_, case)| case.timed) {
        writeln!(out, "{} - {} conditions, median of {} rounds", case.name, CONDITIONS.len(), clock::ROUNDS)?;
        table(out, index, &mut contenders)?;
    }
    missing(out, &cases, &mut contenders)
}

/// Holds every engine to the expected answers of every case in which nothing is missing.
fn agree(cases: &[Case], contenders: &mut [Box<dyn Contender>]) -> Outcome<usize> {
    let mut compared = 0;
    for (index, case) in cases.iter().enumerate() {
        let Some(broken) = &case.broken else { continue };
        let expected: Vec<Answer> = CONDITIONS.iter().map(|name| Answer::of(!broken.contains(name))).collect();
        for contender in contenders.iter_mut() {
            let answers = contender.answers(index)?;
            if answers != expected {
                let name = contender.name();
                return Err(format!("{name} answers `{}` with {answers:?}, not {expected:?}", case.name).into());
            }
            compared += answers.len();
        }
    }
    Ok(compared)
}

/// Times every contender on one case and prints the table with the ratios.
fn table(out: &mut impl Write, case: usize, contenders: &mut [Box<dyn Contender>]) -> io::Result<()> {
    let times = clock::race(case, contenders).map_err(io::Error::other)?;
    let Some(ours) = times.first() else { return Ok(()) };
    writeln!(out, "  {:<46} {:>9} {:>19} {:>7}", "", "ns", "middle half", "ratio")?;
    for (contender, time) in contenders.iter().zip(&times) {
        let (low, mid, high) = time.quartiles();
        let ratio = time.ratio_to(ours);
        let middle = format!("{low:.0} to {high:.0}");
        writeln!(out, "  {:<46} {mid:>9.0} {middle:>19} {ratio:>7.1}", contender.name())?;
    }
    for (family, name, target) in TARGETS {
        let of_family = contenders.iter().zip(&times).filter(|(contender, _)| contender.family() == family);
        let least = of_family.map(|(_, time)| time.ratio_to(ours)).fold(f64::INFINITY, f64::min);
        let word = if least >= target { "reached" } else { "missed" };
        writeln!(out, "  at least {target:.0} times faster than the fastest way of {name}: {word} ({least:.1})")?;
    }
    writeln!(out)
}

/// Prints what each engine says where a fact is missing.
fn missing(out: &mut impl Write, cases: &[Case], contenders: &mut [Box<dyn Contender>]) -> Outcome<()> {
    for (index, case) in cases.iter().enumerate() {
        let Some(asked) = case.without else { continue };
        writeln!(out, "{}: the condition `{asked}` is", case.name)?;
        for contender in contenders.iter_mut() {
            let answers = contender.answers(index)?;
            let of_asked = CONDITIONS.iter().zip(answers).find(|(name, _)| **name == asked);
            let word = of_asked.map_or("absent", |(_, answer)| answer.word());
            writeln!(out, "  {:<46} {word}", contender.name())?;
        }
    }
    Ok(())
}
