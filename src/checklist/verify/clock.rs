//! A clock of this machine that is known to stand behind: the trust file was made later than it shows, or it has shown a
//! later time before.
//!
//! By such a clock nothing starts, and nothing that it makes of a file is said of the file: what seems to be still to come,
//! or to be no longer or not yet approved, follows from the clock alone. So the file is looked at as of the earliest instant
//! that can be now, and the clock is the one thing that is said. Must not know what a checklist says.

use super::{Question, Verification};
use crate::checklist::body::Instants;
use crate::checklist::jws::Envelope;
use crate::checklist::reason::Reason;
use crate::units::Instant;

/// What speaks against the clock, and the instant as of which a file is looked at all the same.
pub(super) struct Behind {
    reason: Reason,
    pub(super) at: Instant,
}

impl Behind {
    /// Nothing where the clock is not in question, or not known to be wrong.
    pub(super) fn of(question: &Question<'_>, instants: Option<&Instants>, envelope: &Envelope) -> Option<Self> {
        if question.looks_back() {
            return None;
        }
        let by_trust = question.trust.lapses(question.at).filter(|reason| matches!(reason, Reason::ClockBehind { .. }));
        let by_memory = || question.trust.bars().find(|bar| matches!(bar, Reason::ClockSetBack { .. }));
        let reason = by_trust.or_else(by_memory)?;
        let signed = envelope.signers().into_iter().flatten().map(|signer| signer.at);
        let known = [question.trust.latest(), question.at].into_iter().chain(signed);
        let at = known.chain(instants.map(|instants| instants.judged_at)).max()?;
        Some(Self { reason, at: at.in_zone(question.trust.zone()) })
    }

    /// Says the clock, in place of whatever the present instant alone bars.
    pub(super) fn say(self, report: &mut Verification) {
        let by_the_clock = |bar: &Reason| bar.is_over() || matches!(bar, Reason::ClockSetBack { .. });
        report.bars.retain(|bar| !by_the_clock(bar));
        report.bars.insert(0, self.reason);
        report.old = false;
    }
}
