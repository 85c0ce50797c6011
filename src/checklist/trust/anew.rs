//! A version that begins the clock anew behind one that was made or signed by a clock that stood ahead.
//!
//! By such a version nothing starts until its time has come, and no other one can be made after it until then. So an owner
//! may sign one that is made before it, where that one says from when the clock counts again. What had begun or ended by the
//! clock that stood ahead has done so from then on: nothing that had ended comes back. This module must not know files.

use super::body::{Approval, TrustBody};
use super::{Trust, ahead_of};
use crate::checklist::jws::instant;
use crate::units::Instant;

/// That a version begins the clock anew behind others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ClockAnew {
    /// From when the clock counts again.
    pub from: Instant,
    /// Up to when the versions before reach: what had ended by then has ended.
    pub ahead: Instant,
}

impl Trust {
    /// From when it lets the clock count again, where the version before said otherwise: each time that is one signed act.
    pub fn begins_anew(&self, before: Option<&str>) -> Option<Instant> {
        let own = self.body.clock_anew.as_deref()?;
        instant(own).filter(|_| before != Some(own))
    }

    /// The same behind a version, with up to when that one reaches.
    pub fn clock_anew_after(&self, old: &Self) -> Option<ClockAnew> {
        let from = self.begins_anew(old.body.clock_anew.as_deref())?;
        Some(ClockAnew { from, ahead: old.latest() })
    }
}

impl TrustBody {
    /// Makes it at an instant, although what it follows reaches further than clocks may differ, up to `ahead`: what began or
    /// ended later than now by that does so now. Gives the approvals that begin later all the same, by the titles of their
    /// packs: the safety officer signed that instant. Nothing where it follows what lies ahead of nothing.
    pub fn begin_clock_anew(&mut self, now: Instant, ahead: Instant) -> Option<Vec<String>> {
        if !ahead_of(ahead, now) {
            return None;
        }
        let by_that_clock = |text: &str| instant(text).is_some_and(|at| now < at && at <= ahead);
        let text = now.to_record_text();
        let bring = |at: &mut String| {
            if by_that_clock(at) {
                at.clone_from(&text);
            }
        };
        bring(&mut self.made_at);
        for person in &mut self.people {
            for former in &mut person.former_roles {
                bring(&mut former.until);
                former.again.iter_mut().for_each(bring);
            }
            for key in &mut person.keys {
                bring(&mut key.from);
                key.retired.iter_mut().chain(&mut key.revoked).for_each(|end| bring(&mut end.at));
            }
        }
        // One that gave way to another stays until that one begins: else its pack would be required of no job meanwhile.
        let begins: Vec<(String, String)> =
            self.packs.iter().map(|known| (known.name.clone(), known.from.clone())).collect();
        let gave_way = |known: &Approval| {
            begins.iter().any(|(name, from)| *name == known.name && known.until.as_ref() == Some(from))
        };
        for approval in self.packs.iter_mut().filter(|known| !gave_way(known)) {
            approval.until.iter_mut().for_each(bring);
        }
        Some(self.packs.iter().filter(|known| by_that_clock(&known.from)).map(Approval::title).collect())
    }
}
