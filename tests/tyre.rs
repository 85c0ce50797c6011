//! Sizes, load ranges and the inside volume against tables from outside the project.

#[cfg(test)]
mod ballast;
#[cfg(test)]
mod reference;
