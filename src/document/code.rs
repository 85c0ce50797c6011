//! The closed list of fault codes: the word of each, and its page. The entries stand in `code/`, by what a fault is of.
//!
//! All floors draw their codes from here, so that a code has one meaning and a page, and a misspelt one does not compile.
//! Must not know who gives a code, or how it is shown.

mod files;
mod texts;

use std::fmt;

use files::codes_of_files;
use texts::codes_of_texts;

macro_rules! codes {
    ($($name:ident = $word:literal: $page:literal;)*) => {
        /// What went wrong, as a stable word that other programs and people may rely on.
        ///
        /// A word is kebab-case behind the stage that found the problem, `pack/unknown-limit`; the variant has the same
        /// name in the spelling of Rust.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code {
            $(#[doc = $page] $name,)*
        }

        impl Code {
            /// All codes, in the order of their words within each stage.
            pub const ALL: &[Code] = &[$(Code::$name),*];

            /// The stable word.
            pub const fn word(self) -> &'static str {
                match self {
                    $(Code::$name => $word,)*
                }
            }

            /// The page: a sentence that says what it means, and one that says what to do.
            pub const fn page(self) -> &'static str {
                match self {
                    $(Code::$name => $page,)*
                }
            }
        }
    };
}

codes_of_texts! { codes_of_files codes }

impl Code {
    /// The codes that a word stands for, whole or without their stage, as tables write them.
    pub fn called(word: &str) -> Vec<Code> {
        let is_called = |code: &Code| {
            let whole = code.word();
            whole == word || whole.strip_prefix(code.stage()).and_then(|rest| rest.strip_prefix('/')) == Some(word)
        };
        Code::ALL.iter().copied().filter(is_called).collect()
    }

    /// The stage that finds such faults, the part of the word before the `/`.
    pub fn stage(self) -> &'static str {
        self.word().split('/').next().unwrap_or_default()
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

#[cfg(test)]
mod tests;
