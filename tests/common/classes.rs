//! Accuracy classes of gauges, and which of them allow more than another all over the dial.

/// Class or grade, and the greatest error in ten-thousandths of the span in the middle half of the dial and outside it:
/// EN 837-1, table of accuracy classes (seen), and ASME B40.100, grades (MEMORY).
pub(crate) const CLASSES: &[(&str, (u32, u32))] = &[
    ("EN 0.25", (25, 25)),
    ("EN 0.6", (60, 60)),
    ("EN 1", (100, 100)),
    ("EN 1.6", (160, 160)),
    ("EN 2.5", (250, 250)),
    ("EN 4", (400, 400)),
    ("ASME 3A", (25, 25)),
    ("ASME 2A", (50, 50)),
    ("ASME 1A", (100, 100)),
    ("ASME A", (100, 200)),
    ("ASME B", (200, 300)),
    ("ASME C", (300, 400)),
    ("ASME D", (500, 500)),
];

/// The classes that allow more than `class`, and nowhere less.
pub(crate) fn coarser(class: &str) -> impl Iterator<Item = &'static str> {
    let of = CLASSES.iter().find(|(name, _)| *name == class).map_or((u32::MAX, u32::MAX), |(_, errors)| *errors);
    let wider = move |errors: (u32, u32)| errors != of && errors.0 >= of.0 && errors.1 >= of.1;
    CLASSES.iter().filter(move |(_, errors)| wider(*errors)).map(|(name, _)| *name)
}
