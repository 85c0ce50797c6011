//! `fillward schema`: the published schemas.

use clap::{Args, ValueEnum};

use super::failure::Failure;
use super::{Exit, output};

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Which {
    /// The job record
    Record,
    /// The job record with marks that name entries of a shop file
    ShortRecord,
    /// The shop file
    Shop,
    /// The rule pack
    Pack,
    /// The JSON report of `fillward check --format json`
    Report,
    /// The signed checklist
    Checklist,
    /// The JSON answer of `fillward verify --format json`
    Verification,
    /// The JSON answer of `fillward sign --format json`
    Signing,
    /// The trust file, as its owner writes it
    Trust,
    /// The settings of a shop
    Settings,
}

#[derive(Debug, Clone, Copy, Args)]
pub(crate) struct Arguments {
    /// Which schema
    which: Which,
}

pub(crate) fn run(arguments: Arguments) -> Result<Exit, Failure> {
    output::report(match arguments.which {
        Which::Record => fillward::record::compiled_schema(),
        Which::ShortRecord => fillward::record::shop::compiled_short_schema(),
        Which::Shop => fillward::record::shop::compiled_schema(),
        Which::Pack => fillward::pack::schema(),
        Which::Report => fillward::explain::json_schema(),
        Which::Checklist => fillward::checklist::schemas::CHECKLIST,
        Which::Verification => super::verify::json::schema(),
        Which::Signing => super::sign::json::schema(),
        Which::Trust => fillward::checklist::schemas::TRUST,
        Which::Settings => super::settings::schema(),
    })?;
    Ok(Exit::Pass)
}
