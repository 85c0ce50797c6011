//! What a tube is marked with: the sizes it is made for, and its valve.
//!
//! A tube serves several tyres and says so: `17.5/18-25`, `10.00/11.00R20`, `16.9-30, 18.4-30 TR218A`. This module must not
//! know records.

use super::designation::{self, Designation, DesignationError, DesignationFault, Name};

/// The marking of a tube.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TubeMarking {
    sizes: Vec<Name>,
    valve: Option<String>,
}

impl TubeMarking {
    /// Reads a marking: one or more sizes, then the valve's code if it is there.
    ///
    /// # Errors
    /// As [`Designation::parse`], and where something follows that is neither a size nor a valve.
    pub fn parse(text: &str) -> Result<TubeMarking, DesignationError> {
        let (sizes, rest) = designation::sizes(text)?;
        let mut valve = None;
        for written in rest.split_whitespace() {
            let word = written.to_ascii_uppercase();
            if is_valve(&word) && valve.is_none() {
                valve = Some(word);
            } else if !matches!(word.as_str(), "TT" | "TUBE" | "R" | "LT" | "TG" | "NHS") {
                let found: String = written.chars().take(24).collect();
                let at = text.len() - rest.len();
                let understood = sizes.iter().map(Name::to_string).collect::<Vec<_>>().join(", ");
                let fault = DesignationFault::UnknownMarking { found };
                return Err(DesignationError { text: text.trim().chars().take(48).collect(), understood, at, fault });
            }
        }
        Ok(TubeMarking { sizes, valve })
    }

    /// Whether one of the sizes is one that the tyre shows.
    pub fn names(&self, tyre: &Designation) -> bool {
        tyre.names().any(|of_tyre| self.sizes.iter().any(|named| named.same_numbers(of_tyre)))
    }

    /// Whether one of the tube's sizes is one that the tyre shows, or another name of it.
    pub fn suits(&self, tyre: &Designation) -> bool {
        let other_names = OTHER_NAMES.iter().flat_map(|(one, other)| [(one, other), (other, one)]);
        let renamed = other_names.filter_map(|(one, other)| {
            let (one, _) = designation::sizes(one).ok()?;
            let (other, _) = designation::sizes(other).ok()?;
            tyre.names().any(|shown| one.iter().any(|name| name.same_numbers(shown))).then_some(other)
        });
        self.names(tyre) || renamed.flatten().any(|name| self.sizes.iter().any(|of_tube| of_tube.same_numbers(&name)))
    }
}

/// Sizes that are one and the same by two names, so that one tube serves both. MEMORY: the tables of industrial and farm
/// tyres print them side by side. Only those are here of which no table says otherwise.
const OTHER_NAMES: [(&str, &str); 5] = [
    ("8.15-15", "28x9-15"),
    ("180/70-8", "18x7-8"),
    ("125/75-8", "15x4 1/2-8"),
    ("380/85-24", "14.9-24"),
    ("480/80-38", "18.4-38"),
];

/// Whether a word is a valve's code: `TR218A` and `TRJ1175C` of the Tire and Rim Association, `V3-02-7` and `JS2` of the
/// ETRTO manual. Memory.
fn is_valve(word: &str) -> bool {
    let digits = |rest: &str| rest.chars().next().is_some_and(|c| c.is_ascii_digit());
    let after = |prefix| word.strip_prefix(prefix).is_some_and(digits);
    let spelt = word.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '.'));
    spelt && (after("TR") || after("TR-") || after("TRJ") || after("V") || after("JS"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn suits(tube: &str, tyre: &str) -> bool {
        let tube = TubeMarking::parse(tube).unwrap_or_else(|error| panic!("{error}; {}", error.help()));
        tube.suits(&Designation::parse(tyre).unwrap())
    }

    #[test]
    fn tubes_and_tyres_compare_as_sizes() {
        let pairs = [
            ("14.00-24", "14.00-24 TT"),
            ("14.00-24 TR220A", "1400-24"),
            ("13.00/14.00-24", "13.00-24 TG"),
            ("13.00/14.00-24", "14.00-24"),
            ("17.5/18-25", "17.5-25 L-3"),
            ("17.5/18-25", "18.00-25"),
            ("17.5-25, 18.00-25 TR1175C", "18.00-25"),
            ("10.00/11.00R20 V3-06-5", "11.00R20"),
            ("16.9/18.4-30 TR218A", "18.4R30"),
            ("16.9-30 (18.4-30)", "18.4-30"),
            ("4.00-8", "4.80/4.00-8"),
            ("28x9-15", "8.15-15/28x9-15"),
            ("12.00-20", "12.00x20"),
            ("750-16", "7.50-16 LT"),
        ];
        for (tube, tyre) in pairs {
            assert!(suits(tube, tyre), "{tube} in {tyre}");
        }
    }

    /// Each pair both ways round; what has another name is not by that listed for a rim.
    #[test]
    fn one_size_by_two_names_takes_one_tube() {
        let pairs = [
            ("8.15-15", "28x9-15"),
            ("180/70-8", "18x7-8"),
            ("125/75-8", "15x4 1/2-8"),
            ("380/85R24", "14.9-24"),
            ("480/80R38", "18.4R38"),
        ];
        for (one, other) in pairs {
            for (tube, tyre) in [(one, other), (other, one)] {
                assert!(suits(tube, tyre), "{tube} in {tyre}");
                assert!(
                    !TubeMarking::parse(tube).unwrap().names(&Designation::parse(tyre).unwrap()),
                    "{tube} in {tyre}"
                );
            }
        }
        for (tube, tyre) in
            [("8.15-15", "27x9-15"), ("180/70-8", "18x8-8"), ("380/85-28", "14.9-24"), ("7.50-15", "28x9-15")]
        {
            assert!(!suits(tube, tyre), "{tube} in {tyre}");
        }
    }

    #[test]
    fn another_size_does_not_suit() {
        let pairs = [
            ("10.00-20", "12.00-20"),
            ("12.00-20", "12.00-24"),
            ("16/70-20", "16/65-20"),
            ("405/70-20", "405/65-20"),
            ("28x9-15", "27x9-15"),
            ("28x9-15", "28x8-15"),
            ("250-15", "300-15"),
            ("12.4-16", "12.5-16"),
            ("250/80-15", "250-15"),
            ("16-16.5", "16-16"),
        ];
        for (tube, tyre) in pairs {
            assert!(!suits(tube, tyre), "{tube} in {tyre}");
        }
    }

    #[test]
    fn a_valve_is_told_from_what_means_nothing() {
        let valve = |text| TubeMarking::parse(text).unwrap().valve;
        assert_eq!(valve("17.5/18-25 TR220A").as_deref(), Some("TR220A"));
        assert_eq!(valve("17.5/18-25 trj1175c").as_deref(), Some("TRJ1175C"));
        assert_eq!(valve("6.50-10 JS2").as_deref(), Some("JS2"));
        assert_eq!(valve("16.9-30 TR-218A").as_deref(), Some("TR-218A"));
        assert_eq!(valve("6.50-10"), None);
        assert_eq!(TubeMarking::parse("17.5/18-25").unwrap().sizes.len(), 2);
        for text in ["17.5-25 good", "17.5-25 TR", "17.5-25 TR13 TR15", "17.5-25 V2#", "17.5-25 JSX"] {
            let error = TubeMarking::parse(text).unwrap_err();
            assert!(matches!(error.fault, DesignationFault::UnknownMarking { .. }), "{text}");
            assert!(text.is_char_boundary(error.at) && error.at >= 7, "{text}: {}", error.at);
            assert!(error.understood.contains("17.5-25") && error.help().contains("leave it out"));
        }
        for text in ["", "tube", "17.5"] {
            assert!(TubeMarking::parse(text).is_err(), "{text}");
        }
    }
}
