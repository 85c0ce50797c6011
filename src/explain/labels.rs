//! What facts and figures are called in reports, where the words of their paths alone would read badly.
//!
//! A label names what a person in the shop knows it by. It must not know values, nor which rule asks.

/// Names of facts and figures as packs write them, and what they are called.
const LABELS: &[(&str, &str)] = &[
    ("air_stage.hose_length", "length of the air hose"),
    ("air_stage.lubricant", "bead lubricant"),
    ("air_stage.regulator", "setting of the regulator"),
    ("air_stage.stand_off", "distance of people from the cage"),
    ("assembly.figure.axle_matches", "one size and construction on the axle"),
    ("assembly.figure.cured_at", "end of the cure"),
    ("assembly.figure.diameter_of_alike", "diameter, against tyres of the same size"),
    ("assembly.figure.filled_of_least", "share pumped, of the least volume"),
    ("assembly.figure.filled_of_most", "share pumped, of the greatest volume"),
    ("assembly.figure.likely_fill_time", "likely time of the fill"),
    ("assembly.figure.mass_of_alike", "mass, against tyres of the same size"),
    ("assembly.figure.maximum_by_plies", "highest pressure for one ply, against tyres of the same size"),
    ("assembly.figure.maximum_of_alike", "highest pressure, against tyres of the same size and strength"),
    ("assembly.figure.named_width", "width that the size names"),
    ("assembly.figure.pre_stretch_begin", "beginning of the stretch"),
    ("assembly.figure.pre_stretch_end", "end of the stretch"),
    ("assembly.figure.rim_rating_of_alike", "rating of rim and wheel, against like rims"),
    ("assembly.figure.rim_width_least", "narrowest rim"),
    ("assembly.figure.rim_width_most", "widest rim"),
    ("assembly.figure.stretch_above_bay", "coolest air of the stretch, in kelvin above the workspace"),
    ("assembly.figure.target_of_axle", "target, against the other end of the axle"),
    ("assembly.figure.volume_of_alike", "inside volume, against tyres of the same size"),
    ("assembly.fill.ended", "end of the fill"),
    ("assembly.fill.final", "final pressure of the fill"),
    ("assembly.fill.longest_pause", "longest pause of the fill"),
    ("assembly.fill.needle", "vent needle"),
    ("assembly.fill.peak", "highest pressure of the fill"),
    ("assembly.mounting.seating_pressure", "seating pressure"),
    ("assembly.pre_stretch.gauge", "gauge of the stretch log"),
    ("assembly.pre_stretch.log", "stretch log"),
    ("assembly.pre_stretch.thermometer", "thermometer of the stretch log"),
    ("assembly.rim.kind", "kind of rim"),
    ("assembly.rim.ring_gap", "gap of the split ring"),
    ("assembly.seated.at", "look at the seating"),
    ("assembly.seated.by", "person who saw the seating"),
    ("assembly.stands", "position of stem and vent"),
    ("assembly.target.from", "source of the target"),
    ("assembly.target.gauge", "gauge of the target"),
    ("assembly.target.load", "load of the tyre"),
    ("assembly.target.local_limit", "pressure limit of the site"),
    ("assembly.target.operating_pressure", "pressure for the load"),
    ("assembly.tyre.casing.damage", "casing damage"),
    ("assembly.tyre.casing.inspected.at", "inspection of the casing"),
    ("assembly.tyre.casing.inspected.by", "casing inspector"),
    ("assembly.tyre.interior.contaminants", "foreign matter inside"),
    ("assembly.tyre.published_in", "document of the published maximum"),
    ("assembly.tyre.ran_flat", "run flat"),
    ("assembly.vent_path.pilot_hole", "pilot hole"),
    ("assembly.vent_path.tube_safeguard", "protection of the tube from the drill"),
    ("assembly.wheel.inspected.at", "inspection of the wheel"),
    ("assembly.wheel.inspected.by", "wheel inspector"),
    ("cage.inspected.at", "inspection of the cage"),
    ("cage.inspected.by", "cage inspector"),
    ("cage.kind", "kind of restraint"),
    ("component.expires", "expiry date"),
    ("component.figure.left", "left over"),
    ("component.figure.likely_in_tyres", "likely amount in the tyres"),
    ("component.figure.likely_need", "likely need"),
    ("component.figure.warm_at", "warm enough at"),
    ("component.needed", "recorded need"),
    ("component.on_hand", "stock on hand"),
    ("component.parts", "parts by weight"),
    ("component.read_at", "place of the reading"),
    ("component.sheet.least", "lowest temperature of the data sheet"),
    ("component.sheet.most", "highest temperature of the data sheet"),
    ("component.stored", "place of storage"),
    ("component.system", "system on the label"),
    ("cure.planned", "planned cure"),
    ("handling.capacity", "capacity of the lifting gear"),
    ("job", "job number"),
    ("mix.cure_temperature", "cure temperature of the data sheet"),
    ("mix.cure_time", "cure time of the data sheet"),
    ("mix.hardness_least", "lowest hardness of the data sheet"),
    ("mix.sheet", "data sheet"),
    ("order.system", "ordered system"),
    ("person.fit_until", "note of fitness"),
    ("person.trained_in", "training"),
    ("person.training_reviewed", "review of the training"),
    ("pump.exercised", "last run of the pump"),
    ("pump.gauge_reads", "place where the pressure is read"),
    ("pump.ratio_checked", "last check of the ratio"),
    ("pump.ratio_found", "ratio found"),
    ("pump.stops_at", "pressure at which the pump stops"),
    ("sample.taken", "time of the sample"),
    ("service.accepted.at", "owner's acceptance"),
    ("service.accepted.by", "person who accepted for the owner"),
    ("workspace.extinguisher.checked", "last check of the extinguisher"),
    ("workspace.eyewash.run", "last run of the eyewash"),
    ("workspace.solvent_on_hand", "solvent in the workspace"),
];

/// The label of a fact or figure by its name in packs; nothing where its path reads well.
pub(super) fn of(name: &str) -> Option<&'static str> {
    let at = LABELS.binary_search_by(|(known, _)| (*known).cmp(name)).ok()?;
    LABELS.get(at).map(|(_, label)| *label)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::figures;
    use crate::pack::PackSet;

    /// A label that names nothing would never be seen, and two things of one label would be taken for one.
    #[test]
    fn labels_are_in_order_unlike_each_other_and_of_what_there_is() {
        assert!(LABELS.is_sorted_by(|(one, _), (next, _)| one < next));
        let packs = PackSet::base().unwrap();
        let facts = packs.catalogue().keys().map(|key| packs.catalogue().full_name(key));
        let there: BTreeSet<String> = facts.chain(figures::TABLE.iter().map(figures::FigureSpec::full_name)).collect();
        for (name, _) in LABELS {
            assert!(there.contains(*name), "{name}");
        }
        let apart: BTreeSet<&str> = LABELS.iter().map(|(_, label)| *label).collect();
        assert_eq!(apart.len(), LABELS.len());
    }
}
