//! The words of those choices that the program itself goes by, each choice a type.
//!
//! Must not know what follows from a choice.

use super::{assembly, component, instruments, person, stages};
use crate::record::FactKey;

/// A fact that is one of a closed list of words.
pub trait Choice: Copy + Eq + 'static {
    /// The fact.
    const FACT: FactKey;
    /// Every choice with its word, in the order of the catalogue.
    const WORDS: &'static [(Self, &'static str)];

    /// The word as a record has it.
    fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(choice, _)| *choice == self).map_or("", |(_, word)| *word)
    }

    /// The choice of this word.
    fn of_word(word: &str) -> Option<Self> {
        Self::WORDS.iter().find(|(_, known)| *known == word).map(|(choice, _)| *choice)
    }
}

/// Declares the type of a choice.
macro_rules! choices {
    ($($name:ident: $fact:expr, $about:literal { $($choice:ident = $word:literal, $meaning:literal;)+ })+) => {$(
        #[doc = $about]
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum $name {
            $(#[doc = $meaning] $choice),+
        }

        impl Choice for $name {
            const FACT: FactKey = $fact;
            const WORDS: &'static [(Self, &'static str)] = &[$((Self::$choice, $word)),+];
        }
    )+};
}

choices! {
    CasingBuild: assembly::TYRE_CONSTRUCTION, "How a casing is built." {
        Bias = "bias", "With crossed plies, belted or not.";
        Radial = "radial", "With plies from bead to bead.";
    }
    AirSeal: assembly::TYRE_SEAL, "How a tyre is made to hold air." {
        Tubeless = "tubeless", "By itself.";
        TubeType = "tube type", "By a tube.";
    }
    TyreState: assembly::TYRE_STATE, "Whether a tyre has been in service." {
        New = "new", "It has not.";
        Used = "used", "It has, and has grown.";
    }
    RimKind: assembly::RIM_KIND, "How a rim is made." {
        SinglePiece = "single piece", "Of one piece.";
        MultiPiece = "multi-piece", "With a side or lock ring.";
        BoltTogether = "bolt-together", "Of two halves.";
    }
    ReadAt: component::READ_AT, "Where the temperature of a liquid was taken." {
        Core = "core", "In the core of its container.";
        Stirred = "stirred", "While it was being stirred.";
        Wall = "wall", "At the wall, which says nothing of the core.";
    }
    GaugeClass: instruments::gauge::ACCURACY, "The accuracy class (EN 837-1) or grade (ASME B40.100) of a gauge." {
        En01 = "EN 0.1", "0.1 % of the span.";
        En025 = "EN 0.25", "0.25 %.";
        En06 = "EN 0.6", "0.6 %.";
        En1 = "EN 1", "1 %.";
        En16 = "EN 1.6", "1.6 %.";
        En25 = "EN 2.5", "2.5 %.";
        En4 = "EN 4", "4 %.";
        Asme4A = "ASME 4A", "0.1 %.";
        Asme3A = "ASME 3A", "0.25 %.";
        Asme2A = "ASME 2A", "0.5 %.";
        Asme1A = "ASME 1A", "1 %.";
        AsmeA = "ASME A", "1 % in the middle half of the scale, 2 % beside it.";
        AsmeB = "ASME B", "2 % and 3 %.";
        AsmeC = "ASME C", "3 % and 4 %.";
        AsmeD = "ASME D", "5 %.";
    }
    CrewPart: person::ROLE, "What a person does on a job." {
        Operator = "operator", "Runs the pump.";
        Helper = "helper", "Helps at the pump.";
        Supervisor = "supervisor", "Lets the fill start.";
        Inspector = "inspector", "Looks at parts on the bench, and touches neither pump nor material.";
    }
    Needle: stages::FILL_NEEDLE, "What became of the vent needle." {
        OutAndWhole = "out and whole", "The vent is closed behind it.";
        NoneUsed = "none used", "There was none.";
        Broken = "broken", "A part of it may be in the tyre.";
        Missing = "missing", "It may be in the tyre.";
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::{Catalogue, FactKind};

    fn held_against_the_catalogue<C: Choice + std::fmt::Debug>() {
        let catalogue = Catalogue::default();
        let Some(FactKind::Choice(due)) = catalogue.spec(C::FACT).map(|spec| &spec.kind) else {
            panic!("{:?} is no choice", C::WORDS)
        };
        let words: Vec<&str> = C::WORDS.iter().map(|(_, word)| *word).collect();
        assert_eq!(words, due.as_ref());
        for (choice, word) in C::WORDS {
            assert_eq!((C::of_word(word), choice.word()), (Some(*choice), *word));
        }
        assert_eq!(C::of_word(""), None);
    }

    /// The words of each are those that a record may write, no more and no less.
    #[test]
    fn each_choice_is_that_of_its_fact() {
        held_against_the_catalogue::<CasingBuild>();
        held_against_the_catalogue::<AirSeal>();
        held_against_the_catalogue::<TyreState>();
        held_against_the_catalogue::<RimKind>();
        held_against_the_catalogue::<ReadAt>();
        held_against_the_catalogue::<GaugeClass>();
        held_against_the_catalogue::<CrewPart>();
        held_against_the_catalogue::<Needle>();
    }
}
