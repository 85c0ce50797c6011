//! stand-in
fn main() {}
