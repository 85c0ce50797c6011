//! What commands take: documents by their paths, instants, and the zone of the shop.

use std::mem;
use std::path::{Path, PathBuf};

use clap::Args;
use fillward::desk::{self, Case, NamedBytes, Passage};
use fillward::pack::PackSet;
use fillward::record::shop::Shop;
use fillward::units::{Instant, WallTime, Zone};
use fillward::vocabulary::HoldPoint;
use jiff::tz::TimeZone;

use super::failure::Failure;
use super::files::DESK;

/// Takes a file in.
pub(crate) fn source(path: &Path) -> Result<NamedBytes, Failure> {
    Ok(DESK.fetch(path)?)
}

/// Takes files in.
pub(crate) fn sources(paths: &[PathBuf]) -> Result<Vec<NamedBytes>, Failure> {
    Ok(DESK.fetch_all(paths)?)
}

/// The base pack for judging, and the local packs in these files.
pub(crate) fn packs(paths: &[PathBuf]) -> Result<PackSet, Failure> {
    Ok(desk::packs(&sources(paths)?)?)
}

/// The base pack with its examples, or the local packs in these files with theirs beside the base.
pub(crate) fn packs_to_check(paths: &[PathBuf]) -> Result<PackSet, Failure> {
    Ok(desk::packs_to_check(&sources(paths)?)?)
}

/// The base pack with its examples, and the local packs in these files.
pub(crate) fn packs_with_examples(paths: &[PathBuf]) -> Result<PackSet, Failure> {
    Ok(desk::packs_with_examples(&sources(paths)?)?)
}

// At which point of the work a command judges, and what goes past it.
#[derive(Debug, Args)]
pub(crate) struct Passing {
    /// The hold point: before-air, before-fill, after-fill or before-service
    #[arg(long, value_name = "POINT", default_value = "before-fill", value_parser = hold_point)]
    hold_point: HoldPoint,
    /// The mark of an assembly that goes past the hold point while others of its job stay; may be given several times
    #[arg(long, value_name = "MARK")]
    assembly: Vec<String>,
}

impl Passing {
    pub(crate) const fn point(&self) -> HoldPoint {
        self.hold_point
    }

    pub(crate) fn passage(&self) -> Passage {
        Passage { point: self.hold_point, assemblies: self.assembly.clone() }
    }
}

/// A hold point by its words, joined by hyphens as arguments are.
pub(super) fn hold_point(text: &str) -> Result<HoldPoint, String> {
    HoldPoint::from_word(&text.replace('-', " ")).ok_or_else(|| {
        let names: Vec<String> = HoldPoint::ALL.iter().map(|point| point.word().replace(' ', "-")).collect();
        format!("there is no such hold point; they are {}", names.join(", "))
    })
}

// When and by which clock a command judges that has no trust file to say where the shop lies.
#[derive(Debug, Args)]
struct When {
    /// Check as of this date and time instead of now: a practice run, or a look at a past job
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// The time zone of the shop, such as America/Chicago, where it is not that of this machine
    #[arg(long, value_name = "ZONE")]
    zone: Option<String>,
    #[command(flatten)]
    passing: Passing,
}

impl When {
    /// The zone in which the shop lies: the one that is named, or else that of the shop file, where there is one.
    fn zone(&self, shop: Option<&Shop>) -> Result<Zone, Failure> {
        match &self.zone {
            Some(name) => Zone::find(name).map_err(|error| Failure::usage(format!("--zone: {error}"), error.help())),
            None => shop.map(Shop::zone).cloned().map_or_else(machine_zone, Ok),
        }
    }
}

/// The variable that names the shop file where no flag does.
pub(super) const SHOP: &str = "FILLWARD_SHOP";

// A record, and what it is judged by.
#[derive(Debug, Args)]
pub(crate) struct Judged {
    /// The job record
    record: PathBuf,
    /// A local pack to check by as well; may be given several times
    #[arg(long, value_name = "FILE")]
    pack: Vec<PathBuf>,
    #[command(flatten)]
    shop: ShopFile,
    #[command(flatten)]
    when: When,
}

impl Judged {
    /// Reads it all.
    pub(crate) fn case(&self) -> Result<Case, Failure> {
        let shop = self.shop.source()?.as_ref().map(desk::shop_to_draw_on).transpose()?;
        let zone = self.when.zone(shop.as_ref())?;
        let at = DESK.at(at(self.when.at.as_deref(), &zone)?, &zone)?;
        let (record, packs) = (source(&self.record)?, sources(&self.pack)?);
        let case = Case::new(&record, shop.as_ref(), &packs, at, zone, self.when.passing.passage())?;
        // What of it the record names is in the case; the process gives the rest back at its end, at once.
        mem::forget(shop);
        Ok(case)
    }

    /// The hold point that is asked.
    pub(crate) const fn point(&self) -> HoldPoint {
        self.when.passing.point()
    }
}

/// The shop file that the variable names, if it names one.
pub(super) fn shop_of_variable() -> Option<PathBuf> {
    std::env::var_os(SHOP).filter(|name| !name.is_empty()).map(PathBuf::from)
}

// The shop file that a record draws on.
#[derive(Debug, Args)]
pub(crate) struct ShopFile {
    /// The shop file whose entries the record names; also taken from the variable `FILLWARD_SHOP`
    #[arg(long, value_name = "FILE")]
    shop: Option<PathBuf>,
}

impl ShopFile {
    /// Takes it in, if one is given.
    pub(crate) fn source(&self) -> Result<Option<NamedBytes>, Failure> {
        self.shop.clone().or_else(shop_of_variable).as_deref().map(source).transpose()
    }

    /// Reads it, if one is given.
    pub(crate) fn read(&self) -> Result<Option<Shop>, Failure> {
        Ok(self.source()?.as_ref().map(desk::shop).transpose()?)
    }
}

/// The zone that this machine is set to. Only its name is taken; its changes are those of the database compiled in.
fn machine_zone() -> Result<Zone, Failure> {
    let machine = TimeZone::try_system().ok();
    let why = match machine.as_ref().and_then(TimeZone::iana_name).map(Zone::find) {
        Some(Ok(zone)) => return Ok(zone),
        Some(Err(error)) => error.to_string(),
        None => "it has no name in the IANA database".to_owned(),
    };
    Err(Failure::usage(
        format!("the time zone of this machine cannot be taken for the shop's: {why}"),
        "say where the shop lies, such as --zone America/Chicago",
    ))
}

/// The instant that was given with `--at`, if one was, see [`instant_by`].
pub(crate) fn at(given: Option<&str>, zone: &Zone) -> Result<Option<Instant>, Failure> {
    given.map(|text| instant_by("--at", text, zone)).transpose()
}

/// The instant that was given with a flag where the zone of the shop is known: in full, or as its clock shows it, `07:45` of
/// today and `2026-03-04 07:45` of another day.
pub(crate) fn instant_by(flag: &str, text: &str, zone: &Zone) -> Result<Instant, Failure> {
    let usage = |what: String, help: String| Failure::usage(format!("{flag}: {what}"), help);
    let at = match WallTime::parse(text) {
        Some(Ok(time)) => {
            let today = DESK.now(zone)?.day_in(zone);
            time.instant(today, zone).map_err(|error| usage(error.to_string(), error.help()))?
        }
        Some(Err(error)) => return Err(usage(error.to_string(), error.help())),
        None => Instant::parse(text).map_err(|error| {
            usage(
                error.to_string(),
                format!("{}; or as the shop's clock shows it, `07:45` of today or `2026-03-04 07:45`", error.help()),
            )
        })?,
    };
    zone.check(at).map_err(|error| usage(error.to_string(), error.help()))?;
    Ok(at)
}
