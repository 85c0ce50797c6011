//! `fillward check`: the judgement of one record.

use std::mem;

use clap::{Args, ValueEnum};
use fillward::explain;
use fillward::vocabulary::{HoldPoint, Verdict};

use super::Exit;
use super::failure::Failure;
use super::input;
use super::output::{self, Terminal};

/// The forms of a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum CheckFormat {
    /// What is to do, place by place
    Brief,
    /// Every finding with the record's lines, reasons, clauses and sources
    Long,
    /// The worklist with boxes, to be printed and carried round the shop
    Sheet,
    /// For screen readers and paper: sentences without drawing
    Plain,
    /// For programs; see `fillward schema report`
    Json,
    /// SARIF 2.1.0
    Sarif,
}

#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    judged: input::Judged,
    /// The form of the report
    #[arg(long, value_name = "FORM", default_value = "brief")]
    format: CheckFormat,
}

impl Arguments {
    /// The hold point that is asked.
    pub(crate) const fn point(&self) -> HoldPoint {
        self.judged.point()
    }
}

pub(crate) fn run(arguments: &Arguments, terminal: Terminal) -> Result<Exit, Failure> {
    let case = arguments.judged.case()?;
    let scene = case.scene();
    let report = case.report(&scene);
    let text = match arguments.format {
        CheckFormat::Brief => explain::brief(&report, terminal.look()),
        CheckFormat::Long => explain::long(&report, terminal.look()),
        CheckFormat::Sheet => explain::sheet(&report),
        CheckFormat::Plain => explain::plain(&report),
        CheckFormat::Json => explain::json(&report)?,
        CheckFormat::Sarif => explain::sarif(&report)?,
    };
    output::report(&text)?;
    let exit = match report.verdict() {
        Verdict::Pass => Exit::Pass,
        Verdict::Hold => Exit::Hold,
    };
    // Nothing comes after this but the end of the process, which gives back all memory at once; to take the packs and the
    // record apart value by value would cost a twentieth of the whole run.
    mem::forget(report);
    mem::forget(scene);
    mem::forget(case);
    Ok(exit)
}
