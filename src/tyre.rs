//! Floor 2: what a tyre's name says, and the room inside it.
//!
//! A [`Designation`] is the size text of a sidewall, read exactly. [`load_range`] turns a letter into a ply rating,
//! [`tube`] reads the sizes that a tube is marked for,
//! [`dimensions`] turns a name and whatever was recorded into section width, height, diameters and rim width, and
//! [`cavity`] turns those into the inside volume with its uncertainty.
//!
//! This floor knows numbers and units only. It must not know records, rules, material, files or the terminal.

pub mod cavity;
pub mod designation;
pub mod dimensions;
mod family;
pub mod load_index;
pub mod load_range;
pub mod pressure;
pub mod tube;

pub use designation::{Construction, Designation, DesignationError};
pub use family::{Family, FitBasis, has_steel_belts, on_earthmover_rim};
pub use tube::TubeMarking;
