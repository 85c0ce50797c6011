//! The published schemas of signed documents, as texts.
//!
//! Must not know what any member means.

/// The schema of checklists, and of the permits that stand in them.
pub const CHECKLIST: &str = include_str!("../../schemas/checklist.schema.json");
/// The schema of the content of trust files.
pub const TRUST: &str = include_str!("../../schemas/trust.schema.json");
