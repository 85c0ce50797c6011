//! What a fact, a rule and a figure can be about, and a table with one place for each.
//!
//! Must not know what is known of one.

use serde::{Deserialize, Serialize};

/// What a fact, and a rule, is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Subject {
    /// The job as a whole: shop, pump, cage, workspace.
    Job,
    /// One tyre on one wheel, with its valve, tube and flap.
    Assembly,
    /// One of the two liquids.
    Component,
    /// One person of the crew.
    Person,
    /// One pressure gauge.
    Gauge,
    /// One thermometer.
    Thermometer,
}

impl Subject {
    /// Every subject, in the order of reports.
    pub const ALL: [Self; 6] =
        [Self::Job, Self::Assembly, Self::Component, Self::Person, Self::Gauge, Self::Thermometer];

    /// The instruments, each with a list of its own; their words are the keys by which readings name them.
    pub const INSTRUMENTS: [Self; 2] = [Self::Gauge, Self::Thermometer];

    /// Whether it is an instrument.
    pub const fn is_instrument(self) -> bool {
        matches!(self, Self::Gauge | Self::Thermometer)
    }

    /// The word for one of them, as used in fact names and packs.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Job => "job",
            Self::Assembly => "assembly",
            Self::Component => "component",
            Self::Person => "person",
            Self::Gauge => "gauge",
            Self::Thermometer => "thermometer",
        }
    }

    /// The record's top-level key that holds them; the job itself has none.
    pub const fn record_key(self) -> Option<&'static str> {
        match self {
            Self::Job => None,
            Self::Assembly => Some("assemblies"),
            Self::Component => Some("components"),
            Self::Person => Some("people"),
            Self::Gauge => Some("gauges"),
            Self::Thermometer => Some("thermometers"),
        }
    }

    /// The subject called `word`, if there is one.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|subject| subject.word() == word)
    }
}

/// One `T` for each subject. A place is found by name, so no subject is without one and none is counted.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct PerSubject<T> {
    job: T,
    assembly: T,
    component: T,
    person: T,
    gauge: T,
    thermometer: T,
}

impl<T> PerSubject<T> {
    /// What `of` gives for each subject, asked in the order of [`Subject::ALL`].
    pub fn from_fn(mut of: impl FnMut(Subject) -> T) -> Self {
        Self {
            job: of(Subject::Job),
            assembly: of(Subject::Assembly),
            component: of(Subject::Component),
            person: of(Subject::Person),
            gauge: of(Subject::Gauge),
            thermometer: of(Subject::Thermometer),
        }
    }

    /// The one of a subject.
    pub const fn get(&self, subject: Subject) -> &T {
        match subject {
            Subject::Job => &self.job,
            Subject::Assembly => &self.assembly,
            Subject::Component => &self.component,
            Subject::Person => &self.person,
            Subject::Gauge => &self.gauge,
            Subject::Thermometer => &self.thermometer,
        }
    }

    /// The one of a subject, to be changed.
    pub const fn get_mut(&mut self, subject: Subject) -> &mut T {
        match subject {
            Subject::Job => &mut self.job,
            Subject::Assembly => &mut self.assembly,
            Subject::Component => &mut self.component,
            Subject::Person => &mut self.person,
            Subject::Gauge => &mut self.gauge,
            Subject::Thermometer => &mut self.thermometer,
        }
    }

    /// All of them with their subjects, in the order of [`Subject::ALL`].
    pub fn iter(&self) -> impl Iterator<Item = (Subject, &T)> {
        Subject::ALL.into_iter().map(|subject| (subject, self.get(subject)))
    }

    /// All of them, to be changed, in the order of [`Subject::ALL`].
    pub fn values_mut(&mut self) -> impl Iterator<Item = &mut T> {
        let Self { job, assembly, component, person, gauge, thermometer } = self;
        [job, assembly, component, person, gauge, thermometer].into_iter()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_subject_has_a_place_of_its_own() {
        let mut table = PerSubject::from_fn(Subject::word);
        for subject in Subject::ALL {
            assert_eq!(*table.get(subject), subject.word());
            assert_eq!(Subject::from_word(subject.word()), Some(subject));
        }
        for (position, value) in table.values_mut().enumerate() {
            assert_eq!(*value, Subject::ALL[position].word());
        }
        *table.get_mut(Subject::Gauge) = "changed";
        let changed: Vec<Subject> = table.iter().filter(|(_, word)| **word == "changed").map(|(s, _)| s).collect();
        assert_eq!(changed, [Subject::Gauge]);
    }
}
