//! The remembered design dimensions and measuring rims, compiled in from the reference tables.
//!
//! Every number in them is MEMORY, as the tables' own headers say, so they rank below anything recorded. This module
//! must not know how the numbers are used.

use std::sync::{LazyLock, OnceLock};

use crate::tyre::designation::{Designation, LowSection};
use crate::units::{Exact, Quantity, Unit};

const DESIGN_DIMENSIONS: &str = include_str!("../../../shared/reference/design-dimensions.csv");
const MEASURING_RIMS: &str = include_str!("../../../shared/reference/measuring-rims.csv");

/// One size, lengths in millimetres.
#[derive(Debug)]
pub(super) struct SizeRow {
    key: SizeKey,
    pub(super) rim_width: Exact,
    pub(super) section_width: Option<Exact>,
    pub(super) overall_diameter: Option<Exact>,
    /// Theoretical rim width over nominal section width, for metric sizes.
    pub(super) rim_factor: Option<Exact>,
}

/// What makes two texts the same size: construction is left out, because radial and diagonal tyres of one size share
/// their design dimensions within the plausibility of the tables.
#[derive(Debug, PartialEq, Eq)]
struct SizeKey {
    width: Exact,
    aspect: Option<Exact>,
    diameter: Option<Exact>,
    rim: Exact,
    low: Option<LowSection>,
}

impl SizeKey {
    fn of(designation: &Designation) -> SizeKey {
        SizeKey {
            width: designation.section_width().base(),
            aspect: designation.aspect(),
            diameter: designation.named_overall_diameter().map(Quantity::value),
            rim: designation.rim_diameter().base(),
            low: designation.low_section(),
        }
    }
}

/// A line of a table, of which only the rim is known until its row is asked for: a record needs the rows of one rim or two.
#[derive(Debug)]
struct TableLine {
    rim: Exact,
    text: &'static str,
    read: fn(&'static str) -> Option<SizeRow>,
    row: OnceLock<Option<Box<SizeRow>>>,
}

impl TableLine {
    fn new(text: &'static str, read: fn(&'static str) -> Option<SizeRow>) -> Option<TableLine> {
        let (size, _) = text.split_once(',')?;
        let rim = size.rsplit(|c: char| c != '.' && !c.is_ascii_digit()).next()?;
        Some(TableLine { rim: Unit::Inch.to_base(Exact::parse_decimal(rim)?)?, text, read, row: OnceLock::new() })
    }

    fn row(&self) -> Option<&SizeRow> {
        self.row.get_or_init(|| (self.read)(self.text).map(Box::new)).as_deref()
    }
}

/// Both tables.
static LINES: LazyLock<Vec<TableLine>> = LazyLock::new(|| {
    let of_code = data_lines(DESIGN_DIMENSIONS).filter_map(|line| TableLine::new(line, design_row));
    of_code.chain(data_lines(MEASURING_RIMS).filter_map(|line| TableLine::new(line, rim_row))).collect()
});

/// The row of a size, if the tables have one.
pub(super) fn find(designation: &Designation) -> Option<&'static SizeRow> {
    let key = SizeKey::of(designation);
    LINES.iter().filter(|line| line.rim == key.rim).filter_map(TableLine::row).find(|row| row.key == key)
}

/// The lines after the comments and the column names.
fn data_lines(table: &'static str) -> impl Iterator<Item = &'static str> {
    table.lines().filter(|line| !line.starts_with('#')).skip(1)
}

fn design_row(line: &str) -> Option<SizeRow> {
    let mut cells = line.split(',');
    let key = SizeKey::of(&Designation::parse(cells.next()?).ok()?);
    let rim_width = Unit::Inch.to_base(Exact::parse_decimal(cells.next()?)?)?;
    let overall_diameter = Exact::parse_decimal(cells.next()?)?;
    let section_width = Exact::parse_decimal(cells.next()?)?;
    Some(SizeRow {
        key,
        rim_width,
        section_width: Some(section_width),
        overall_diameter: Some(overall_diameter),
        rim_factor: None,
    })
}

fn rim_row(line: &str) -> Option<SizeRow> {
    let mut cells = line.split(',');
    let key = SizeKey::of(&Designation::parse(cells.next()?).ok()?);
    let rim_width = Unit::Inch.to_base(Exact::parse_decimal(cells.next()?)?)?;
    let rim_factor = Exact::parse_decimal(cells.next()?)?;
    Some(SizeRow { key, rim_width, section_width: None, overall_diameter: None, rim_factor: Some(rim_factor) })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line that could not be read, or whose rim were another one than that of its row, would be skipped in silence, so
    /// none may be.
    #[test]
    fn every_line_of_the_tables_is_read() {
        assert_eq!(LINES.len(), data_lines(DESIGN_DIMENSIONS).count() + data_lines(MEASURING_RIMS).count());
        let rows: Vec<&SizeRow> = LINES.iter().map(|line| line.row().expect(line.text)).collect();
        for (index, (line, row)) in LINES.iter().zip(&rows).enumerate() {
            assert_eq!(line.rim, row.key.rim, "{}", line.text);
            assert!(rows.iter().skip(index + 1).all(|other| other.key != row.key), "{:?} stands twice", row.key);
        }
    }

    #[test]
    fn construction_does_not_matter_but_half_an_inch_of_rim_does() {
        let row = |text: &str| find(&Designation::parse(text).unwrap());
        assert!(row("23.5-25").is_some());
        assert!(row("23.5R25 L-5").is_some());
        assert!(row("11R22.5").is_some());
        assert!(row("11R22").is_none());
        assert!(row("17.5L-25").is_none());
    }
}
