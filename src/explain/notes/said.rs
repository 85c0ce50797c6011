//! What is said of a place, as data: each value once with what is needed of it, so that places of one line can be told
//! together.
//!
//! Must not know records or rules.

use std::fmt;

use crate::explain::words::Needs;

/// All that is said of a place; drawn, its phrases stand in a row.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(in crate::explain) struct SaidOfPlace {
    phrases: Vec<Phrase>,
}

/// A value, or a remark, and what is needed of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::explain) struct Phrase {
    pub(super) opening: PhraseOpening,
    pub(super) value: String,
    pub(super) needs: Vec<(Joint, Needs)>,
}

/// How a phrase goes on from the one before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PhraseOpening {
    /// It must be met as well.
    Also,
    /// Either of the two will do.
    Or,
    /// All that is said of this place replaces what is said of another.
    Instead,
}

/// How what is needed of a value goes on from what was said to be needed before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Joint {
    /// It is needed as well, by the same finding.
    And,
    /// Either of the two will do.
    Or,
    /// Another finding needs it.
    Further,
}

impl Phrase {
    pub(super) const fn remark(text: String) -> Self {
        Self { opening: PhraseOpening::Also, value: text, needs: Vec::new() }
    }
}

impl SaidOfPlace {
    pub(super) fn of(phrases: Vec<Phrase>, instead: bool) -> Self {
        let mut said = Self { phrases };
        if let Some(first) = said.phrases.first_mut().filter(|_| instead) {
            first.opening = PhraseOpening::Instead;
        }
        said
    }

    /// Takes in what another finding says of the same line: nothing twice, and of each value only what is needed further.
    pub(in crate::explain) fn join(&mut self, other: Self) {
        for phrase in other.phrases {
            let same = |known: &&mut Phrase| known.value == phrase.value && known.opening == phrase.opening;
            match self.phrases.iter_mut().find(same) {
                None => self.phrases.push(phrase),
                Some(known) => {
                    for (_, needs) in phrase.needs {
                        if known.needs.iter().all(|(_, said)| *said != needs) {
                            known.needs.push((Joint::Further, needs));
                        }
                    }
                }
            }
        }
    }
}

impl fmt::Display for SaidOfPlace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (position, phrase) in self.phrases.iter().enumerate() {
            f.write_str(match (position, phrase.opening) {
                (0, PhraseOpening::Also | PhraseOpening::Or) => "",
                (0, PhraseOpening::Instead) => "or else: ",
                (_, PhraseOpening::Also) => "; ",
                (_, PhraseOpening::Or) => "; or ",
                (_, PhraseOpening::Instead) => "; or else: ",
            })?;
            phrase.fmt(f)?;
        }
        Ok(())
    }
}

impl fmt::Display for Phrase {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.value)?;
        let mut last: Option<&Needs> = None;
        for (joint, needs) in &self.needs {
            match (last, joint) {
                (None, _) | (_, Joint::Further) => write!(f, "; {needs}")?,
                (Some(last), Joint::And) => write!(f, " and {}", needs.behind(last))?,
                (Some(last), Joint::Or) => write!(f, ", or {}", needs.behind(last))?,
            }
            last = Some(needs);
        }
        Ok(())
    }
}
