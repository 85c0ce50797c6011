//! Reads one size: numbers, low-section letters, construction and rim code.
//!
//! Some numbers are settled only when the rim is known: `1400-24` is 14.00 in without its point, `250-15` is 250 mm, and
//! of `300-16` nobody can tell. This module must not know what stands around a size.

use super::DesignationReader;
use crate::tyre::designation::Construction;
use crate::tyre::designation::error::{DesignationError, DesignationFault};
use crate::tyre::designation::name::{
    FIRST_METRIC_DIAMETER, LARGEST_RIM_CODE, LowSection, Name, Number, Size, Style, diameter_unit,
};
use crate::units::{Exact, Unit};

/// From this number on a width is in millimetres: the widest tyres measured in inches stay far below, and the
/// narrowest named in millimetres start here.
const FIRST_METRIC_WIDTH: i64 = 100;
/// From this number on a whole width without an aspect is a code in inches without its point, `750-16` or `1400-24`:
/// tyres named by a width in millimetres alone are narrower, but for those on millimetre rims.
const FIRST_POINTLESS_WIDTH: i64 = 400;
/// Below this number a whole width without an aspect cannot be a code without its point: no tyre is narrower than 2.00.
const LAST_PLAIN_METRIC_WIDTH: i64 = 199;
/// The rim on which industrial tyres are named by their width in millimetres alone: 200-15, 225-15, 250-15, 300-15.
/// Memory, ETRTO manual.
const BARE_METRIC_RIM: i64 = 15;
/// Width codes taken, in inches.
const CODE_WIDTHS: (i64, i64) = (2, 75);
/// Metric widths taken, in millimetres.
const METRIC_WIDTHS: (i64, i64) = (FIRST_METRIC_WIDTH, 1400);
/// Aspects taken after a metric width, in percent.
const ASPECTS: (i64, i64) = (15, 110);
/// Aspects taken after a width in inches: below, the number is the width of a second size, as in `18.4/15-34`.
const CODE_ASPECTS: (i64, i64) = (25, 110);
/// Second widths taken before a shared rim code, in quarters of the first: `18.4/15-34`, `13.00/14.00-24`.
const SECOND_WIDTHS: (i64, i64) = (3, 5);
/// Overall diameters taken, in inches; the largest loader tyres are about 170.
const DIAMETERS: (i64, i64) = (6, 180);
/// The same in millimetres: `1300x530-533`.
const METRIC_DIAMETERS: (i64, i64) = (FIRST_METRIC_DIAMETER, 4600);
/// Rim codes taken, in inches: from hand trucks to the largest dump trucks.
const RIMS: (i64, i64) = (3, LARGEST_RIM_CODE);
/// Rim codes in millimetres: lifts and platforms 625 and 710, implements 380, road 340 to 440, and the metric codes of
/// the east European standards. From memory; none of them can be a rim in inches without its point.
const MILLIMETRE_RIMS: [i64; 24] = [
    203, 254, 305, 330, 340, 365, 380, 381, 390, 406, 415, 440, 457, 484, 508, 533, 610, 625, 635, 660, 710, 762, 813,
    965,
];
/// Rims wider than high: a first number before an `x` that is little above one of these is a width, not a diameter.
const EARTHMOVER_RIMS: [i64; 11] = [25, 29, 33, 35, 39, 43, 45, 49, 51, 57, 63];
/// A width before one of those rims stays below this many fifths of it: `29.5x25`, `33.25x29`.
const EARTHMOVER_WIDTH_FIFTHS: i64 = 7;

impl DesignationReader<'_> {
    /// Reads a size, and the sizes that share its rim code: `4.80/4.00-8` is 4.80-8 and 4.00-8.
    pub(super) fn names(&mut self) -> Result<(Name, Vec<Name>), DesignationError> {
        let start = self.at;
        let (size, mut second) = self.size()?;
        let low_section = self.low_section(size);
        let construction = self.construction(size)?;
        self.skip_blanks();
        let mut before_rim = self.at;
        let mut rim = self.rim_number()?;
        if second.is_none() && construction == Some(Construction::Diagonal) && is_second_width(size, rim) {
            // `4.10-3.50-4` is 4.10/3.50-4, as it is often written.
            let at = self.at;
            if self.take(is_dash).is_some() && self.peek().is_some_and(|c| c.is_ascii_digit()) {
                second = Some(rim);
                before_rim = self.at;
                rim = self.rim_number()?;
            } else {
                self.at = at;
            }
        }
        let millimetres = self.check_rim(before_rim, rim)?;
        let size = self.settle(start, size, construction, rim, millimetres)?;
        let name = Name { size, low_section, construction, rim };
        let outside = name.diameter();
        let seat = rim.in_unit(name.rim_unit());
        if outside.zip(seat).is_some_and(|(outside, seat)| outside.base() <= seat.base()) {
            return Err(self.fail_at(before_rim, DesignationFault::NoHeight));
        }
        let also = second.map(|width| Name { size: Size::Code { width }, low_section: None, ..name });
        Ok((name, also.into_iter().collect()))
    }

    /// Reads everything before low-section letters and construction; the separator decides what the numbers mean. Beside
    /// the size comes the width of a second one.
    fn size(&mut self) -> Result<(Size, Option<Number>), DesignationError> {
        let start = self.at;
        let first = self.any_number("first number")?;
        if self.take(|c| c == '/').is_some() {
            return self.with_aspect(start, first);
        }
        let after_first = self.at;
        if self.take(is_times).is_some() {
            self.skip_blanks();
            let (before_second, understood) = (self.at, self.understood.len());
            self.understood.push(format!("first number {first}"));
            let second = self.any_number("second number")?;
            self.understood.truncate(understood);
            if self.diameter_first(start, first, second)? {
                let metric = diameter_unit(first) == Unit::Millimetre;
                let (widths, unit) = if metric { (METRIC_WIDTHS, "mm") } else { (CODE_WIDTHS, "in") };
                self.check(before_second, second, "section width", widths)?;
                self.understood.push(format!("section width {second} {unit}"));
                return Ok((Size::DiameterFirst { diameter: first, width: second }, None));
            }
            self.at = after_first;
        }
        if is_metric(first) {
            // Settled when the rim is known.
            self.understood.push(format!("width {first}"));
            return Ok((Size::MetricWidth { width: first }, None));
        }
        self.check(start, first, "section width", CODE_WIDTHS)?;
        self.understood.push(format!("section width {first} in"));
        Ok((Size::Code { width: first }, None))
    }

    /// Whether two numbers with an `x` between them are diameter and width. Without a mark of the construction after them
    /// they are, where that makes a tyre, width and rim.
    fn diameter_first(&mut self, start: usize, first: Number, second: Number) -> Result<bool, DesignationError> {
        let next = self.rest().trim_start();
        let letters = next.trim_start_matches(['L', 'l']);
        if letters.starts_with(|c: char| is_dash(c) || matches!(c, 'R' | 'r' | 'D' | 'd' | 'B' | 'b')) {
            let metric = diameter_unit(first) == Unit::Millimetre;
            let (diameters, unit) = if metric { (METRIC_DIAMETERS, "mm") } else { (DIAMETERS, "in") };
            self.check(start, first, "overall diameter", diameters)?;
            self.understood.push(format!("overall diameter {first} {unit}"));
            return Ok(true);
        }
        if letters.starts_with(is_times) {
            self.understood.push(format!("overall diameter {first} in, section width {second} in"));
            return Err(self.fail(DesignationFault::ThreeNumbers));
        }
        let pointless = is_metric(first) && first.value >= Exact::from_int(FIRST_POINTLESS_WIDTH);
        let width = if pointless { first.value.checked_div(Exact::from_int(100)) } else { Some(first.value) };
        let of_earthmover = EARTHMOVER_RIMS.into_iter().any(|rim| {
            let most = Exact::new(i128::from(rim * EARTHMOVER_WIDTH_FIFTHS), 5);
            second.value == Exact::from_int(rim) && width <= most
        });
        // No tyre is so large across: `250x15` is a width in millimetres on its rim.
        let (_, largest) = DIAMETERS;
        let bare_metric = is_metric(first)
            && first.value > Exact::from_int(largest)
            && second.value == Exact::from_int(BARE_METRIC_RIM);
        if width <= Some(second.value) || of_earthmover || bare_metric {
            return Ok(false);
        }
        self.understood.push(format!("first number {first}, second number {second}"));
        Err(self.fail(DesignationFault::OnlyTwoNumbers))
    }

    fn with_aspect(&mut self, start: usize, width: Number) -> Result<(Size, Option<Number>), DesignationError> {
        let metric = is_metric(width);
        let (range, unit) = if metric { (METRIC_WIDTHS, "mm") } else { (CODE_WIDTHS, "in") };
        self.check(start, width, "section width", range)?;
        self.understood.push(format!("section width {width} {unit}"));
        self.skip_blanks();
        let before_second = self.at;
        let second = self.any_number("aspect")?;
        let size = Size::Code { width };
        if !metric && second.value < Exact::from_int(CODE_ASPECTS.0) && is_second_width(size, second) {
            self.understood.push(format!("second section width {second} in"));
            return Ok((size, Some(second)));
        }
        self.check(before_second, second, "aspect", if metric { ASPECTS } else { CODE_ASPECTS })?;
        self.understood.push(format!("aspect {second} %"));
        let aspect = second;
        Ok((if metric { Size::Metric { width, aspect } } else { Size::CodeAspect { width, aspect } }, None))
    }

    /// Takes `L` or `LL` after a width in inches.
    fn low_section(&mut self, size: Size) -> Option<LowSection> {
        if !matches!(size, Size::Code { .. } | Size::DiameterFirst { .. }) {
            return None;
        }
        let letters = self.run(|c| matches!(c, 'L' | 'l'));
        let low = match letters.len() {
            1 => LowSection::L,
            2 => LowSection::Ll,
            _ => return None,
        };
        self.at += letters.len();
        self.understood.push("low section".to_owned());
        Some(low)
    }

    /// Takes the mark of the construction; an `x` in its place says nothing.
    fn construction(&mut self, size: Size) -> Result<Option<Construction>, DesignationError> {
        let crossed = !matches!(size, Size::DiameterFirst { .. });
        let fits = |c| is_dash(c) || crossed && is_times(c) || matches!(c, 'R' | 'r' | 'D' | 'd' | 'B' | 'b');
        let (construction, word) = match self.take(fits).map(|c| c.to_ascii_uppercase()) {
            Some('R') => (Some(Construction::Radial), "radial"),
            Some('B') => (Some(Construction::BiasBelted), "bias-belted"),
            Some(mark) if is_times(mark) => return Ok(None),
            Some(_) => (Some(Construction::Diagonal), "diagonal"),
            None => {
                self.skip_blanks();
                let found = self.peek().map_or_else(|| "nothing".to_owned(), |c| format!("`{c}`"));
                return Err(self.fail(DesignationFault::NoConstruction { found }));
            }
        };
        self.understood.push(word.to_owned());
        Ok(construction)
    }

    /// Whether a rim code is in millimetres; refuses one that is no rim in either unit.
    fn check_rim(&mut self, at: usize, rim: Number) -> Result<bool, DesignationError> {
        let millimetres = rim.style == Style::Decimals(0)
            && MILLIMETRE_RIMS.into_iter().any(|code| rim.value == Exact::from_int(code));
        if !millimetres {
            self.check(at, rim, "rim diameter", RIMS)?;
        }
        self.understood.push(format!("rim {rim} {}", if millimetres { "mm" } else { "in" }));
        Ok(millimetres)
    }

    /// Settles a whole width without an aspect: millimetres, or inches without their point.
    fn settle(
        &self,
        start: usize,
        size: Size,
        construction: Option<Construction>,
        rim: Number,
        millimetre_rim: bool,
    ) -> Result<Size, DesignationError> {
        let Size::MetricWidth { width } = size else { return Ok(size) };
        let below = |limit| width.value < Exact::from_int(limit);
        let told_metric = construction == Some(Construction::Radial) || rim.value == Exact::from_int(BARE_METRIC_RIM);
        if millimetre_rim || below(LAST_PLAIN_METRIC_WIDTH + 1) || below(FIRST_POINTLESS_WIDTH) && told_metric {
            self.check(start, width, "section width", METRIC_WIDTHS)?;
            return Ok(size);
        }
        let inches = width
            .value
            .checked_div(Exact::from_int(100))
            .ok_or_else(|| self.fail_at(start, DesignationFault::TooLong))?;
        let code = Number { value: inches, style: Style::Decimals(2) };
        if below(FIRST_POINTLESS_WIDTH) {
            let (width, code) = (width.to_string(), code.to_string());
            return Err(self.fail_at(start, DesignationFault::WidthUnit { width, code }));
        }
        self.check(start, code, "section width", CODE_WIDTHS)?;
        Ok(Size::Code { width: code })
    }

    fn check(&self, at: usize, number: Number, due: &'static str, range: (i64, i64)) -> Result<(), DesignationError> {
        let (lowest, highest) = range;
        if number.value < Exact::from_int(lowest) || number.value > Exact::from_int(highest) {
            return Err(
                self.fail_at(at, DesignationFault::OutOfRange { due, found: number.to_string(), lowest, highest })
            );
        }
        Ok(())
    }
}

/// Whether a number can be the width of a second size beside the first.
fn is_second_width(size: Size, second: Number) -> bool {
    let Size::Code { width } = size else { return false };
    let quarters = |count| width.value.checked_mul(Exact::new(i128::from(count), 4)?);
    let (least, most) = SECOND_WIDTHS;
    quarters(least) <= Some(second.value) && Some(second.value) <= quarters(most)
}

fn is_metric(width: Number) -> bool {
    width.value >= Exact::from_int(FIRST_METRIC_WIDTH) && width.style == Style::Decimals(0)
}

fn is_times(c: char) -> bool {
    matches!(c, 'x' | 'X' | '×')
}

/// The hyphen and the dashes that word processors put in its place.
fn is_dash(c: char) -> bool {
    matches!(c, '-' | '\u{2010}'..='\u{2015}' | '\u{2212}')
}
