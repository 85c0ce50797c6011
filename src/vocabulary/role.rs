//! In which role a person signs.
//!
//! Must not know who has it.

use std::fmt;

use serde::{Deserialize, Serialize};

/// In which role a person signs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Lets a fill start.
    Supervisor,
    /// Adapts and approves packs, and permits deviations.
    SafetyOfficer,
    /// Reads the register.
    Auditor,
    /// Signs the trust file.
    Owner,
}

impl Role {
    /// Every role.
    pub const ALL: [Self; 4] = [Self::Supervisor, Self::SafetyOfficer, Self::Auditor, Self::Owner];

    /// The word in files and reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Supervisor => "supervisor",
            Self::SafetyOfficer => "safety-officer",
            Self::Auditor => "auditor",
            Self::Owner => "owner",
        }
    }

    /// The role of a word.
    pub fn find(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.word() == word)
    }
}

impl fmt::Display for Role {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_word_of_a_role_is_what_files_hold() {
        for role in Role::ALL {
            assert_eq!(Role::find(role.word()), Some(role));
            assert_eq!(serde_json::to_value(role).unwrap(), serde_json::Value::from(role.word()));
        }
    }
}
