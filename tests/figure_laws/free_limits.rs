//! Limits of figures that have no direction.

use std::collections::BTreeSet;

use fillward::figures::{Direction, TABLE};

/// The figures that are worked out from the inside volume.
const OF_THE_INSIDE: &[&str] = &[
    "assembly.figure.air_energy",
    "assembly.figure.cavity_volume",
    "assembly.figure.fill_time",
    "assembly.figure.filled_mass",
    "assembly.figure.filled_of_least",
    "assembly.figure.filled_of_likely",
    "assembly.figure.filled_of_most",
    "assembly.figure.likely_fill_time",
    "assembly.figure.likely_filled_mass",
    "assembly.figure.mix_mass",
    "assembly.figure.mix_volume",
    "assembly.figure.pump_cycles",
    "assembly.figure.volume_believed",
    "component.figure.containers",
    "component.figure.fills",
    "component.figure.left",
    "component.figure.likely_in_tyres",
    "component.figure.likely_need",
    "component.figure.needed",
    "component.figure.volume_needed",
    "figure.cost",
    "figure.fill_end",
    "figure.fill_time",
    "figure.mix_mass",
    "figure.pump_cycles",
    "figure.ready_after_fill",
];

/// Limits that move a figure in no one direction, so that the check of packs lets each use of them pass; that a stricter one
/// clears nothing is asked by judging, in `tests/laws/stricter.rs`. With the figures, and the reason.
const FREE_LIMITS: &[(&[&str], &[&str], &str)] = &[
    (&["volume_model_width"], OF_THE_INSIDE, "wider bounds have a higher upper end and a lower lower one"),
    (
        &["inside_volume_least", "inside_volume_most"],
        OF_THE_INSIDE,
        "beyond them a recorded volume is not believed, and what the size gives stands in its place, which is more or less",
    ),
    (
        &["pre_stretch_longest_gap"],
        &[
            "assembly.figure.pre_stretch_loss",
            "assembly.figure.pre_stretch_loss_share",
            "assembly.figure.pre_stretch_time",
        ],
        "a longer gap lets more rows show something, and leaves less open between them",
    ),
    (
        &["soft_side"],
        &["assembly.figure.pre_stretch_loss", "assembly.figure.pre_stretch_loss_share"],
        "it says which rows stand at the target, and so from which run on what was lost is counted",
    ),
    (
        &[
            "pre_stretch_longest_gap",
            "pre_stretch_longest_night",
            "pre_stretch_temperature",
            "pre_stretch_time",
            "soft_side",
        ],
        &["assembly.figure.pre_stretch_end"],
        "the latest run that suffices dates the stretch; where none does it is the end of the log, which is later",
    ),
    (
        &["used_tyre_growth", "waste_allowance"],
        &["figure.ready_after_fill"],
        "a later end of the fill may leave out what the log shows of the hours before it",
    ),
    (
        &["fastest_stroke", "stroke_share"],
        &["assembly.figure.ends_apart"],
        "the figure is a yes or a no, which goes in no direction",
    ),
];

#[test]
fn every_limit_without_a_direction_is_known() {
    let declared: BTreeSet<(String, &str)> = TABLE
        .iter()
        .flat_map(|spec| spec.parameters.iter().map(move |(parameter, way)| (spec, parameter, way)))
        .filter(|(_, _, way)| **way == Direction::Free)
        .map(|(spec, parameter, _)| (spec.full_name(), parameter.limit()))
        .collect();
    let mut listed = BTreeSet::new();
    for (limits, figures, why) in FREE_LIMITS {
        assert!(why.split(' ').count() > 5, "{limits:?}");
        for figure in *figures {
            for limit in *limits {
                assert!(listed.insert(((*figure).to_owned(), *limit)), "{figure} and {limit} stand here twice");
            }
        }
    }
    assert_eq!(declared, listed);
}
