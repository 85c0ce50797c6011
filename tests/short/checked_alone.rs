//! What a shop file says by itself for which no record that draws on it is taken, the check of the shop file says as well.

use std::sync::LazyLock;

use fillward::document::{Document, Faults, Span};
use fillward::pack::PackSet;
use fillward::record;
use fillward::record::shop::{self, Shop};
use fillward::units::Instant;
use proptest::prelude::*;
use proptest::sample::select;

use super::{SHOP, changed};
use crate::common;

/// Short records with the instants at which they are judged, and the places of what each draws on.
struct Job {
    text: String,
    at: Instant,
    used: Vec<Span>,
}

static PACKS: LazyLock<PackSet> = LazyLock::new(|| PackSet::base().unwrap());

/// Every short record of the demo that is taken.
static JOBS: LazyLock<Vec<Job>> = LazyLock::new(|| {
    let folders = ["shared/demo/short", "shared/demo/carried-short"];
    let files = folders.into_iter().flat_map(|folder| common::files(folder, ".yaml"));
    let shop = Shop::read(Document::read("shop.yaml", common::read(SHOP).as_bytes()).unwrap()).unwrap();
    let jobs = files.filter_map(|path| {
        let text = common::read(&path);
        let line = text.lines().find_map(|line| line.strip_prefix("# at: "));
        let at = line.map_or_else(common::demo_at, |at| Instant::parse(at).unwrap());
        let used = made(&text, &shop, at).ok()?;
        Some(Job { text, at, used })
    });
    jobs.collect()
});

fn made(record: &str, shop: &Shop, at: Instant) -> Result<Vec<Span>, Faults> {
    let record = Document::read("job.yaml", record.as_bytes())?;
    let made = shop::expand(record, Some(shop), &*PACKS, shop.zone(), at)?;
    record::read(&made.document, PACKS.catalogue(), shop.zone())?;
    Ok(made.used.iter().map(|used| used.span).collect())
}

/// The places of the scalars of a text, but for keys.
fn scalars(text: &str) -> Vec<(usize, usize)> {
    let document = Document::read("shop.yaml", text.as_bytes()).unwrap();
    let mut found = Vec::new();
    super::leaves(document.root(), "", &mut found);
    found.into_iter().map(|(_, node)| (node.span.start, node.span.end)).collect()
}

static SCALARS: LazyLock<Vec<(usize, usize)>> = LazyLock::new(|| scalars(&common::read(SHOP)));

/// What is wrong in many places: a name in small letters, with a sign, with a digit; a size nobody reads; amounts that are
/// impossible, of another kind or without end; days; marks that nobody has; what says nothing.
const POOL: &[&str] = &[
    "eino laine",
    "Kumar a+l Rajan",
    "Rajan 2",
    "Wren Castellane",
    "6.00-16 8",
    "17.5-25",
    "12.5/80-81",
    "99 psi",
    "-3 psi",
    "0 psi",
    "900 psi",
    "0 in",
    "17.5 in",
    "52.1 in",
    "3 degF",
    "900 degF",
    "0.00001 degF",
    "0 lb",
    "2 lb",
    "9999999 lb",
    "1.02 kg/L",
    "1.12 kg/L",
    "2026-02-30",
    "1026-03-01",
    "2026-03-04 25:10",
    "QQ-9",
    "T-l",
    "drum",
    "bulged",
    "the pump",
    "by hand",
    "\"?\"",
    "n/a",
    "EN 0.1",
    "99",
    "0",
    "true",
];

/// The labels of faults that lie in the shop file, by its own places.
fn in_shop(faults: &Faults, base: usize) -> Vec<Span> {
    let labels = faults.iter().filter_map(fillward::document::Fault::span);
    labels.filter(|span| span.start >= base).map(|span| Span::new(span.start - base, span.end - base)).collect()
}

fn checked(text: &str) -> Result<usize, Faults> {
    Shop::read(Document::read("shop.yaml", text.as_bytes())?)?.read_values(PACKS.catalogue())
}

/// Whether the law holds of one value in the place of another, and whether the check says something.
fn holds_of(place: usize, value: &str) -> Result<bool, String> {
    let (start, end) = SCALARS[place];
    let text = common::read(SHOP);
    let (before, after) = (text.get(..start).unwrap(), text.get(end..).unwrap());
    let spoiled = format!("{before}{value}{after}");
    let said = checked(&spoiled);
    if said.is_err() {
        return Ok(true);
    }
    let Ok(shop) = Shop::read(Document::read("shop.yaml", spoiled.as_bytes()).map_err(|faults| format!("{faults:?}"))?)
    else {
        return Ok(true);
    };
    let using = JOBS.iter().filter(|job| job.used.iter().any(|used| used.start <= start && start < used.end));
    let mut refused = Vec::new();
    for job in using {
        // One that takes it is enough; so is one that is refused for what it says itself.
        let Err(faults) = made(&job.text, &shop, job.at) else { return Ok(false) };
        let base = Document::read("job.yaml", job.text.as_bytes()).unwrap().source().text().len();
        // Another tyre of the file may go on a wheel that is too wide for this one.
        let of_a_pair = faults.iter().any(|fault| fault.message().ends_with("is as wide as the tyre"));
        if of_a_pair || in_shop(&faults, base).is_empty() {
            return Ok(false);
        }
        refused.push(faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "));
    }
    match refused.first() {
        None => Ok(false),
        Some(first) => Err(format!("`{value}` for `{}` at byte {start}: {first}", text.get(start..end).unwrap())),
    }
}

fn cases() -> u32 {
    std::env::var("FILLWARD_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(150)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases()))]

    #[test]
    fn what_no_record_is_taken_with_the_check_of_the_shop_file_tells(
        place in 0..SCALARS.len(), pool in 0..POOL.len() + 10, other in 0..SCALARS.len(),
    ) {
        let (start, end) = SCALARS[other];
        let text = common::read(SHOP);
        let value = POOL.get(pool).copied().unwrap_or_else(|| text.get(start..end).unwrap());
        prop_assume!(value != text.get(SCALARS[place].0..SCALARS[place].1).unwrap());
        let held = holds_of(place, value);
        prop_assert!(held.is_ok(), "{}", held.unwrap_err());
    }
}

/// A row of the log, and the job of the demo that goes by it.
fn with_row(row: &str) -> (Result<usize, Faults>, bool) {
    let text = changed(SHOP, &[("routines:\n", &format!("routines:\n  - {{{row}}}\n"))]);
    let is_refused = Shop::read(Document::read("shop.yaml", text.as_bytes()).unwrap()).is_ok_and(|shop| {
        let job = JOBS.iter().find(|job| job.text.contains("place: EB")).unwrap();
        let base = Document::read("job.yaml", job.text.as_bytes()).unwrap().source().text().len();
        made(&job.text, &shop, job.at).is_err_and(|faults| !in_shop(&faults, base).is_empty())
    });
    (checked(&text), is_refused)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(cases()))]

    /// The law of the rows of the log: whatever is missing in one, or said otherwise by another one of its time.
    #[test]
    fn a_row_that_no_job_is_taken_with_is_told(
        of in select(&["did: gauge calibrated, of: G-2", "did: ratio checked, of: P-1", "did: eyewash run, of: EB", "did: pump exercised, of: P-1"][..]),
        at in select(&["2025-09-30", "2026-03-02", "2026-03-02 16:20", "2026-03-03 15:00", "2026-03-04 09:00"][..]),
        more in select(&["", ", due: ", ", due: 2026-09-30", ", due: 2026-02-30", ", found: off", ", found: within the data sheet"][..]),
    ) {
        // What an entry says itself beside its row is told by the check of a job that names it.
        prop_assume!(!(of.contains("calibrated") && more == ", due: 2026-09-30"));
        let row = format!("{of}, at: {at}{more}");
        let (said, is_refused) = with_row(&row);
        prop_assert!(said.is_err() || !is_refused, "{}", row);
    }
}

#[test]
fn rows_that_every_job_is_refused_for_are_told() {
    for (row, code) in [
        ("did: gauge calibrated, of: G-2, at: 2025-09-30, due: ", "schema/missing-key"),
        ("did: gauge calibrated, of: G-2, at: 2025-09-30", "schema/missing-key"),
        ("did: ratio checked, of: P-1, at: 2026-03-02 16:20, found: off", "shop/said-twice"),
        ("did: eyewash run, of: EB, at: 2026-03-03, found: off", "schema/unknown-key"),
    ] {
        let (said, is_refused) = with_row(row);
        let codes: Vec<_> = said.unwrap_err().iter().map(|fault| fault.code().word()).collect();
        assert!(is_refused && codes == [code], "{row}: {codes:?}");
    }
    // Of what was done before the last time nobody asks any more.
    assert!(with_row("did: ratio checked, of: P-1, at: 2026-03-01 16:20, found: off").0.is_ok());
}

/// What stands at one place is named by none else; lifting gear drives from one to another.
#[test]
fn a_pump_or_a_cage_stands_at_one_place() {
    for (old, new, due) in [
        ("    pump: P-2\n", "    pump: P-1\n", false),
        ("    cage: C-2\n", "    cage: C-1\n", false),
        ("    handling: BH-1\n", "    handling: FL-2\n", true),
    ] {
        let found = checked(&changed(SHOP, &[(old, new)]));
        let codes: Vec<_> = found.err().iter().flat_map(Faults::iter).map(|fault| fault.code().word()).collect();
        assert_eq!(codes, if due { vec![] } else { vec!["shop/other-place"] }, "{new}");
    }
}

/// Faults of the entries of the demo shop that each job which draws on them was refused for, each told once by the check.
#[test]
fn known_slips_are_told_once_before_anybody_draws_on_them() {
    for (old, new, message) in [
        ("name: Jory Haldane", "name: jory haldane", "small letters"),
        ("name: Jory Haldane", "name: Jory + Haldane", "has a `+`"),
        ("name: Jory Haldane", "name: Ilse Bodemarch", "two entries are called `Ilse Bodemarch`"),
        ("{from: 0 kPa, to: 1600 kPa}", "{from: 1600 kPa, to: 0 kPa}", "has no length"),
        ("mark: 6.50-10 10", "mark: 6.00-16 8", "6.00-16 8"),
        ("size: 6.50-10\n", "size: 6.50-10 8\n", "6.50-10 8"),
        ("read: {at: 08:50, thermometer: T-1}", "read: {at: 08:50, thermometer: T-9}", "T-9"),
    ] {
        let faults = checked(&changed(SHOP, &[(old, new)])).expect_err(new);
        assert_eq!(faults.iter().count(), 1, "{new}: {faults:?}");
        assert!(faults.iter().all(|fault| fault.message().contains(message) && fault.cure().is_some()), "{faults:?}");
    }
    assert!(checked(&changed(SHOP, &[("name: Jory Haldane", "name: Kumar a/l Rajan")])).is_ok());
}

/// A calibration is done by a laboratory, however its name is like the mark of somebody of the crew.
#[test]
fn a_laboratory_is_taken_for_nobody_of_the_crew() {
    let row = "routines:\n  - {did: gauge calibrated, of: G-2, at: 2026-01-10, by: OVE, due: 2026-09-30}\n";
    checked(&changed(SHOP, &[("routines:\n", row)])).unwrap();
    let other = row.replace("gauge calibrated", "eyewash run").replace("G-2", "EB").replace(", due: 2026-09-30", "");
    let faults = checked(&changed(SHOP, &[("routines:\n", &other)])).unwrap_err();
    assert!(faults.iter().any(|fault| fault.message() == "no person is called `OVE`"), "{faults:?}");
}

/// A line that somebody has begun and left is listed, wherever it stands in an entry.
#[test]
fn what_is_left_empty_is_listed() {
    let empty = |text: &str| {
        let shop = Shop::read(Document::read("shop.yaml", text.as_bytes()).unwrap()).unwrap();
        shop.read_values(PACKS.catalogue()).unwrap();
        shop.left_empty().into_iter().map(|one| super::told(&one)).collect::<Vec<_>>()
    };
    assert_eq!(empty(&common::read(SHOP)), [""; 0]);
    let spoiled = changed(SHOP, &[("hose_length: 15 ft", "hose_length: "), ("fit_until: 2026-12-31", "fit_until:")]);
    assert_eq!(empty(&spoiled), ["person OV fit_until", "place EB air_stage.hose_length"]);
}
