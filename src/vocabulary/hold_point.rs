//! The points of the work at which it stops until somebody has looked.
//!
//! Must not know what is asked there.

use serde::{Deserialize, Serialize};

/// A point of the work that nobody goes past before its questions are answered.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum HoldPoint {
    /// Before air goes into the assembly: wheel, rim, cage, the people.
    #[serde(rename = "before air")]
    BeforeAir,
    /// Before material is pumped.
    #[default]
    #[serde(rename = "before fill")]
    BeforeFill,
    /// When the pump has stopped: what went in, and how it ended.
    #[serde(rename = "after fill")]
    AfterFill,
    /// Before the assembly goes back to work: the cure.
    #[serde(rename = "before service")]
    BeforeService,
}

impl HoldPoint {
    /// Every hold point, in the order of the work.
    pub const ALL: [Self; 4] = [Self::BeforeAir, Self::BeforeFill, Self::AfterFill, Self::BeforeService];

    /// The words in files and reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::BeforeAir => "before air",
            Self::BeforeFill => "before fill",
            Self::AfterFill => "after fill",
            Self::BeforeService => "before service",
        }
    }

    /// What may be done once its checklist is signed and in force, wherever the assemblies are.
    pub const fn may(self) -> &'static str {
        match self {
            Self::BeforeAir => "air may go in",
            Self::BeforeFill => "the fill may start",
            Self::AfterFill => "it may leave the stand, or on its machine be left to cure",
            Self::BeforeService => "it may go back to work",
        }
    }

    /// The same of assemblies of which it is known whether they stay on their machine: those leave no stand.
    pub const fn may_where(self, on_vehicle: bool) -> &'static str {
        match (self, on_vehicle) {
            (Self::AfterFill, true) => "the machine may be left to cure",
            (Self::AfterFill, false) => "it may leave the stand",
            (other, _) => other.may(),
        }
    }

    /// What could have been done by it at an earlier time.
    pub const fn could_have(self) -> &'static str {
        match self {
            Self::BeforeAir => "air could have gone in",
            Self::BeforeFill => "the fill could have started",
            Self::AfterFill => "it could have left the stand, or on its machine been left to cure",
            Self::BeforeService => "it could have gone back to work",
        }
    }

    /// What is not to be done until then, as an order.
    pub const fn stop(self) -> &'static str {
        match self {
            Self::BeforeAir => "Put no air in.",
            Self::BeforeFill => "Do not start the pump.",
            Self::AfterFill => "Leave it where it is, and mark it: not to be used.",
            Self::BeforeService => "Keep it out of service, and mark it: not to be used.",
        }
    }

    /// The one before it in the order of the work.
    pub fn previous(self) -> Option<Self> {
        Self::ALL.into_iter().take_while(|point| *point < self).last()
    }

    /// The one after it in the order of the work.
    pub fn next(self) -> Option<Self> {
        Self::ALL.into_iter().find(|point| *point > self)
    }

    /// The hold point of these words.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|point| point.word() == word)
    }
}

/// Some of the hold points.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct HoldPoints(u8);

impl HoldPoints {
    const fn bit(point: HoldPoint) -> u8 {
        match point {
            HoldPoint::BeforeAir => 1,
            HoldPoint::BeforeFill => 2,
            HoldPoint::AfterFill => 4,
            HoldPoint::BeforeService => 8,
        }
    }

    /// Whether this one is among them.
    pub const fn contains(self, point: HoldPoint) -> bool {
        self.0 & Self::bit(point) != 0
    }

    /// Those that are, in the order of the work.
    pub fn iter(self) -> impl Iterator<Item = HoldPoint> + Clone {
        HoldPoint::ALL.into_iter().filter(move |point| self.contains(*point))
    }

    /// The first of them in the order of the work.
    pub fn first(self) -> Option<HoldPoint> {
        self.iter().next()
    }
}

impl FromIterator<HoldPoint> for HoldPoints {
    fn from_iter<I: IntoIterator<Item = HoldPoint>>(points: I) -> Self {
        Self(points.into_iter().fold(0, |all, point| all | Self::bit(point)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hold_points_follow_the_work_and_are_found_by_their_words() {
        assert!(HoldPoint::ALL.is_sorted());
        for point in HoldPoint::ALL {
            assert_eq!(HoldPoint::from_word(point.word()), Some(point));
        }
        assert_eq!(HoldPoint::from_word("before lunch"), None);
        assert_eq!(HoldPoint::BeforeAir.previous(), None);
        assert_eq!(HoldPoint::BeforeService.previous(), Some(HoldPoint::AfterFill));
    }

    #[test]
    fn some_hold_points_are_those_that_were_put_in() {
        for mask in 0..16_usize {
            let put: Vec<HoldPoint> = HoldPoint::ALL
                .into_iter()
                .enumerate()
                .filter(|(at, _)| mask >> at & 1 == 1)
                .map(|(_, point)| point)
                .collect();
            let some: HoldPoints = put.iter().rev().copied().collect();
            assert_eq!(some.iter().collect::<Vec<_>>(), put);
            assert_eq!(some.first(), put.first().copied());
            assert!(HoldPoint::ALL.into_iter().all(|point| some.contains(point) == put.contains(&point)));
        }
    }
}
