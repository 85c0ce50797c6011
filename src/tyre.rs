//! Floor 2: what a tyre's name says.
pub mod designation;
pub mod load_range;

pub use designation::{Construction, Designation, DesignationError};
