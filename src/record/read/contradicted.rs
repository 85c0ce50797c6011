//! Two facts of one thing that cannot both be right: an instrument that is finer than any of its scale or its class, a
//! weighing that is finer than any scale, two sides of one density, a thermometer in two places at once, a rim as wide
//! as its tyre, a dimension with the digits of the size in another order.
//!
//! Bounds lie where no honest pair is, since what is refused here nobody judges. This module must not know what the
//! facts are compared with by rules.

mod places;

use crate::document::{Code, Document, Fault, Span};
use crate::record::catalogue::instruments::gauge;
use crate::record::catalogue::job as whole;
use crate::record::catalogue::{
    FINEST_OF_CLASS, FINEST_OF_SCALE, FINEST_WEIGHING, LIFTED_BY_ONE, WIDEST_RIM, assembly, component,
};
use crate::record::{Catalogue, Entity, FactKey, Job, Measured, Value, instrument};
use crate::tyre::Designation;
use crate::units::{Exact, Quantity};
use crate::vocabulary::{Subject, lifted_by_hand};

/// One fault for each pair of facts that contradict one another.
pub(super) fn contradicted(document: &Document, catalogue: &Catalogue, job: &Job) -> Vec<Fault> {
    let mut found = Contradiction { document, catalogue, faults: Vec::new() };
    for gauge in job.of(Subject::Gauge).unwrap_or(&[]) {
        found.gauge(gauge);
    }
    for component in job.of(Subject::Component).unwrap_or(&[]) {
        found.weighing(component);
    }
    for assembly in job.of(Subject::Assembly).unwrap_or(&[]) {
        found.tyre_and_rim(assembly);
    }
    found.sides(job);
    found.lifted(job);
    places::one_thermometer_in_two(&mut found, job);
    found.faults
}

struct Contradiction<'a> {
    document: &'a Document,
    catalogue: &'a Catalogue,
    faults: Vec<Fault>,
}

impl Contradiction<'_> {
    fn place(&self, entity: &Entity, key: FactKey) -> Span {
        self.document.locate(&entity.path_of(self.catalogue, key)).span
    }

    #[track_caller]
    fn refuse(&mut self, message: String, labels: [(Span, &str); 2], help: &str) {
        let fault = Fault::new(Code::RecordImpossibleValue, message).help(help);
        let fault = labels.into_iter().fold(fault, |fault, (span, text)| fault.label(span, text));
        self.faults.push(fault.in_source(self.document.source()));
    }

    /// What people lift by hand is never as much as gear lifts: a capacity beyond it was never theirs.
    fn lifted(&mut self, job: &Job) {
        for entity in job.of(Subject::Job).unwrap_or(&[]) {
            let people = entity.facts.text(whole::LIFTING_GEAR).and_then(lifted_by_hand);
            let Some((people, capacity)) = people.zip(entity.facts.measured(whole::LIFTING_CAPACITY)) else { continue };
            let most = Exact::from_int(i64::from(people) * LIFTED_BY_ONE);
            if capacity.shown.base() > most {
                let labels = [
                    (self.place(entity, whole::LIFTING_CAPACITY), "more than anybody lifts by hand"),
                    (self.place(entity, whole::LIFTING_GEAR), "by hand here"),
                ];
                self.refuse(
                    format!(
                        "by hand {people} may lift {most} kg together and no more",
                        most = i64::from(people) * LIFTED_BY_ONE
                    ),
                    labels,
                    "get gear that may lift the heaviest filled assembly, and write which it is and what it may lift",
                );
            }
        }
    }

    /// A point in the wrong place gives away the margin between a target and a rating.
    fn gauge(&mut self, entity: &Entity) {
        let base = |key| Some(entity.facts.measured(key)?.shown.base());
        let Some(doubt) = base(gauge::UNCERTAINTY) else { return };
        let help = "copy uncertainty, class and scale from the certificate and the dial again, with their units";
        let finest = base(gauge::RANGE_TO).and_then(|top| times(top, FINEST_OF_SCALE));
        if finest.is_some_and(|finest| doubt < finest) {
            let labels = [
                (self.place(entity, gauge::UNCERTAINTY), "less than of any gauge with its scale"),
                (self.place(entity, gauge::RANGE_TO), "the top of its scale"),
            ];
            return self.refuse("no gauge is so fine for its scale".to_owned(), labels, help);
        }
        let of_class = instrument::finest_of_class(entity).and_then(|finest| times(finest, FINEST_OF_CLASS));
        if of_class.is_some_and(|finest| doubt < finest) {
            let labels = [
                (self.place(entity, gauge::UNCERTAINTY), "less than a tenth of what the class allows"),
                (self.place(entity, gauge::ACCURACY), "its class"),
            ];
            self.refuse("no gauge is so much finer than its class".to_owned(), labels, help);
        }
    }

    fn weighing(&mut self, entity: &Entity) {
        let Some(weighed) = entity.facts.measured(component::ON_HAND) else { return };
        let finest = times(weighed.shown.base(), FINEST_WEIGHING);
        if weighed.stated.zip(finest).is_some_and(|(stated, finest)| stated < finest) {
            let place = self.place(entity, component::ON_HAND);
            let fault = Fault::new(Code::RecordImpossibleValue, "no scale weighs a container so finely");
            let fault = fault.label(place, "its doubt is less than a twenty-thousandth of it").help(
                "write what the scale may be off, by its plate or its certificate; it is not less than one of its own steps",
            );
            self.faults.push(fault.in_source(self.document.source()));
        }
    }

    /// What stands on one side of the mix stands on the other by copying, or in another box of its own side.
    fn sides(&mut self, job: &Job) {
        let [one, other] = job.of(Subject::Component).unwrap_or(&[]) else { return };
        let number = |side: &Entity, key| side.facts.measured(key).map(|measured| measured.shown);
        let densities = [one, other].map(|side| number(side, component::DENSITY));
        let [Some(of_one), Some(of_other)] = densities else { return };
        // A round number is an estimate for both, and nothing that was copied.
        let is_copied = of_one.base() == of_other.base() && of_one.value().denom() != 1;
        if is_copied {
            let labels = [
                (self.place(one, component::DENSITY), "of this side"),
                (self.place(other, component::DENSITY), "and the same of the other"),
            ];
            self.refuse(
                "the two sides of a mix are not of one density".to_owned(),
                labels,
                "copy the density of each side from its own line of the data sheet; where it prints one number for both, ask the maker for one more digit of each",
            );
        }
        for key in [component::PARTS, component::PARTS_BY_VOLUME] {
            let parts = [one, other].map(|side| number(side, key));
            let [Some(part), Some(part_of_other)] = parts else { continue };
            let is_round = [part, part_of_other].iter().all(|part| part.value().denom() == 1);
            if !is_round && part.value() == of_one.value() && part_of_other.value() == of_other.value() {
                let labels =
                    [(self.place(one, key), "this"), (self.place(one, component::DENSITY), "is this once more")];
                self.refuse(
                    "the parts of the mix are its densities".to_owned(),
                    labels,
                    "copy the ratio from the data sheet: by weight under `parts`, by volume, such as 1 to 1, under `parts_by_volume`",
                );
            }
        }
    }

    fn tyre_and_rim(&mut self, entity: &Entity) {
        let facts = &entity.facts;
        let Some(size) = facts.text(assembly::TYRE_SIZE).and_then(|text| Designation::parse(text).ok()) else { return };
        let named = [
            (assembly::TYRE_SECTION_WIDTH, Some(size.section_width())),
            (assembly::TYRE_OVERALL_DIAMETER, size.named_overall_diameter()),
            (assembly::RIM_WIDTH, size.named_rim_width()),
        ];
        for (key, named) in named {
            let Some((written, named)) = facts.measured(key).map(|measured| measured.shown).zip(named) else {
                continue;
            };
            if are_swapped(written, named) {
                let labels =
                    [(self.place(entity, key), "these digits"), (self.place(entity, assembly::TYRE_SIZE), "and these")];
                self.refuse(
                    format!("`{written}` has the digits of {named} in another order"),
                    labels,
                    "measure or read it again, and correct what was written down wrong",
                );
            }
        }
        let Some(rim) = facts.measured(assembly::RIM_WIDTH).map(|rim| rim.shown) else { return };
        let recorded = facts.measured(assembly::TYRE_SECTION_WIDTH).map(|width| width.shown);
        let widest = recorded.into_iter().chain([size.section_width()]).map(Quantity::base).max();
        let widest = widest.and_then(|widest| times(widest, WIDEST_RIM));
        if widest.is_some_and(|widest| rim.base() > widest) {
            let labels = [
                (self.place(entity, assembly::RIM_WIDTH), "too wide for"),
                (self.place(entity, assembly::TYRE_SIZE), "the tyre on it"),
            ];
            self.refuse(
                format!("a rim of {rim} between its flanges is as wide as the tyre"),
                labels,
                "read the stamping of the rim and the sidewall again; if both are right they do not belong together, and no air goes in",
            );
        }
    }
}

fn times(value: Exact, (num, den): (i128, i128)) -> Option<Exact> {
    value.checked_mul(Exact::new(num, den)?)
}

/// How far a dimension may lie from the one in the size without any slip: made narrower, grown in service, in thousandths.
const NEAR: (i128, i128) = (950, 1100);

/// Whether a dimension has the digits of the one that the size names, in another order, and lies where no tyre of that
/// size does.
fn are_swapped(written: Quantity, named: Quantity) -> bool {
    let digits = |quantity: Quantity| {
        let text = quantity.value().to_decimal_exact(3)?;
        let mut digits: Vec<char> = text.chars().filter(|c| matches!(c, '1'..='9')).collect();
        digits.sort_unstable();
        Some(digits)
    };
    let (least, most) = NEAR;
    let bound = |share| named.base().checked_mul(Exact::new(share, 1000)?);
    let is_near = bound(least).zip(bound(most)).is_none_or(|(least, most)| (least..=most).contains(&written.base()));
    !is_near && written.unit() == named.unit() && digits(written).is_some_and(|one| Some(one) == digits(named))
}

/// Takes a bead diameter that was converted for the diameter that it was converted from. A rim in millimetres has no round
/// figure in inches, nor the other way round: `24.6 in` beside a tyre for 625 mm is 625 mm, to the figures that are written.
pub(super) fn beads_as_meant(job: &mut Job) {
    for entity in job.lists.get_mut(Subject::Assembly).iter_mut().flatten() {
        let size = entity.facts.text(assembly::TYRE_SIZE).and_then(|text| Designation::parse(text).ok());
        let rim = entity.facts.measured(assembly::RIM_BEAD_DIAMETER).map(|rim| rim.shown);
        let Some(meant) = size.zip(rim).and_then(|(size, rim)| meant_by(rim, size.rim_diameter())) else { continue };
        entity.facts.set(assembly::RIM_BEAD_DIAMETER, Value::Measured(Box::new(Measured::exact(meant))));
    }
}

/// Most decimal places to which a diameter is converted.
const MOST_PLACES: u32 = 4;

/// The diameter of a tyre's size in the unit of the rim's, where that one is it, rounded to the places that are written: at
/// least one in inches, so that the next rim is another one.
fn meant_by(written: Quantity, named: Quantity) -> Option<Quantity> {
    let unit = written.unit();
    let exact = named.in_unit(unit)?;
    if unit == named.unit() || exact.base() == written.base() {
        return None;
    }
    let least = u32::from(unit == crate::units::Unit::Inch);
    let text = written.value().to_decimal_exact(MOST_PLACES)?;
    let places = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let places = u32::try_from(places).ok()?;
    let half = Exact::new(1, 2 * 10_i128.checked_pow(places)?)?;
    let off = exact.value().checked_sub(written.value())?;
    let off = if off < Exact::ZERO { Exact::ZERO.checked_sub(off)? } else { off };
    (places >= least && off <= half).then_some(exact)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Dimension;

    fn length(text: &str) -> Quantity {
        Quantity::parse(text, Dimension::Length).unwrap()
    }

    /// 625 mm is 24.606 299 in, and 419.1 mm 16.5 in, by 1 in = 25.4 mm (international yard and pound agreement, 1959).
    #[test]
    fn a_converted_bead_diameter_is_the_one_it_was_converted_from() {
        for (written, named, is) in [
            ("24.6 in", "625 mm", true),
            ("24.61 in", "625 mm", true),
            ("24.6063 in", "625 mm", true),
            ("25 in", "625 mm", false),
            ("24.5 in", "625 mm", false),
            ("24.60 in", "625 mm", true),
            ("24.607 in", "625 mm", false),
            ("419 mm", "16.5 in", true),
            ("406 mm", "16.5 in", false),
            ("406 mm", "16 in", true),
            ("635 mm", "25 in", false),
            ("570 mm", "22.5 in", false),
            ("572 mm", "22.5 in", true),
            ("16 in", "16.5 in", false),
        ] {
            assert_eq!(meant_by(length(written), length(named)).is_some(), is, "{written} for {named}");
        }
    }

    #[test]
    fn digits_are_swapped_where_no_tyre_is_of_that_width() {
        for (written, named, is) in [
            ("15.7 in", "17.5 in", true),
            ("17.5 in", "17.5 in", false),
            ("17.57 in", "17.5 in", false),
            ("12.1 in", "11.2 in", false),
            ("82 in", "28 in", true),
            ("445 mm", "17.5 in", false),
            ("583 mm", "385 mm", true),
        ] {
            assert_eq!(are_swapped(length(written), length(named)), is, "{written} for {named}");
        }
    }
}
