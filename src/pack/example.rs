//! Examples of a rule: small records that must pass or hold.
//!
//! Must not know how an example is written or judged.

use crate::document::Span;
use crate::record::Job;
use crate::units::Instant;
use crate::vocabulary::Outcome;

/// One example: the facts, the instant, and what the rule must find of its first subject.
#[derive(Debug, Clone)]
pub struct Example {
    /// The facts as a job.
    pub job: Job,
    /// The instant at which it is judged.
    pub at: Instant,
    /// What the rule must find.
    pub expected: Outcome,
    /// Where it stands in the rule's file.
    pub span: Span,
}
