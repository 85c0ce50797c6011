//! The texts of the base pack, compiled in.

/// Names a file of the base pack and takes in its text.
macro_rules! files {
    ($($file:literal),+ $(,)?) => {
        &[$((concat!("rules/tyre-fill/", $file), include_str!(concat!("../../rules/tyre-fill/", $file)))),+]
    };
}

/// Display name and text of each file, the head first. A test holds the list against the folder.
pub(super) const FILES: &[(&str, &str)] = files![
    "pack.yaml",
    "job.yaml",
    "wheel.yaml",
    "rim.yaml",
    "casing.yaml",
    "interior.yaml",
    "pre-stretch.yaml",
    "tube.yaml",
    "vent.yaml",
    "target.yaml",
    "pressure-window.yaml",
    "instruments.yaml",
    "plausible.yaml",
    "material.yaml",
    "pump.yaml",
    "handling.yaml",
    "cage.yaml",
    "air-stage.yaml",
    "workspace.yaml",
    "people.yaml",
    "cure.yaml",
];
