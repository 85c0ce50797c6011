//! A fingerprint as words that can be said over the telephone.
//!
//! Each byte is a syllable: the upper four bits choose its beginning, the lower four its ending. Two syllables make a
//! word. Beginnings are consonants and endings start with a vowel, so that the syllables of a word part in one way
//! only. Must not know keys.

use base64ct::{Base64UrlUnpadded, Encoding as _};

const BEGINNINGS: [&str; 16] = ["b", "d", "f", "g", "h", "j", "k", "l", "m", "n", "p", "r", "s", "t", "v", "z"];
const ENDINGS: [&str; 16] = ["a", "e", "i", "o", "u", "an", "en", "in", "on", "un", "al", "el", "il", "ol", "ul", "ai"];
/// Bytes of the fingerprint that are spoken: 128 bits, too many to find a second key that sounds the same.
const SPOKEN: usize = 16;

/// The words of a digest that is written in hexadecimal.
pub fn digest_words(sha256: &str) -> String {
    let byte = |at: usize| sha256.get(at * 2..at * 2 + 2).and_then(|digits| u8::from_str_radix(digits, 16).ok());
    fingerprint_words(&std::array::from_fn(|at| byte(at).unwrap_or_default()))
}

/// Whether words that somebody typed are these: by what is heard, so that case and spacing say nothing.
pub fn same_words(typed: &str, due: &str) -> bool {
    said(typed) == said(due)
}

/// The words of a text, as they are heard.
pub(super) fn said(text: &str) -> Vec<String> {
    let words = text.split(|c: char| !c.is_alphabetic()).map(str::to_lowercase);
    words.filter(|word| !word.is_empty()).collect()
}

/// Whether a word can be one of a fingerprint: two syllables of those that there are.
pub(super) fn is_word(word: &str) -> bool {
    let syllables = || BEGINNINGS.iter().flat_map(|begin| ENDINGS.iter().map(move |end| format!("{begin}{end}")));
    syllables().any(|first| word.strip_prefix(first.as_str()).is_some_and(|rest| syllables().any(|next| next == rest)))
}

/// The words of a key by its thumbprint in base64url; nothing where that is none.
pub fn kid_words(kid: &str) -> Option<String> {
    let mut thumbprint = [0; 32];
    let decoded = Base64UrlUnpadded::decode(kid, &mut thumbprint).ok()?;
    (decoded.len() == thumbprint.len()).then(|| fingerprint_words(&thumbprint))
}

/// The first sixteen bytes as eight words of two syllables.
pub fn fingerprint_words(thumbprint: &[u8; 32]) -> String {
    let mut words = String::with_capacity(SPOKEN * 4);
    for (place, byte) in thumbprint.iter().take(SPOKEN).enumerate() {
        if place > 0 && place % 2 == 0 {
            words.push(' ');
        }
        for part in [BEGINNINGS.get(usize::from(byte >> 4)), ENDINGS.get(usize::from(byte & 15))] {
            words.push_str(part.copied().unwrap_or_default());
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_a_digest_are_those_of_its_bytes() {
        assert_eq!(digest_words(&"1a95".repeat(16)), fingerprint_words(&[0x1a, 0x95].repeat(16).try_into().unwrap()));
        let due = digest_words(&"00ff".repeat(16));
        assert!(same_words(&format!("  {} ", due.replace(' ', "\n").to_uppercase()), &due));
        assert!(!same_words(&due.replacen("bazai", "bazal", 1), &due) && !same_words("", &due));
        assert!(!same_words(due.rsplit_once(' ').unwrap().0, &due));
    }

    #[test]
    fn words_follow_the_rule_and_every_byte_has_its_own_syllable() {
        let mut print = [0_u8; 32];
        print[..4].copy_from_slice(&[0x00, 0xff, 0x1a, 0x95]);
        assert!(fingerprint_words(&print).starts_with("bazai dalnan baba "));
        assert_eq!(fingerprint_words(&print).split(' ').count(), 8);
        let syllable = |byte: u8| fingerprint_words(&[byte; 32]).split(' ').next().unwrap().to_owned();
        let all: std::collections::BTreeSet<String> = (0..=255).map(syllable).collect();
        assert_eq!(all.len(), 256);
    }

    /// Words are read off a paper with whatever stands between them; another word, one more or less, or another order
    /// is none.
    #[test]
    fn words_from_paper_are_the_same_however_they_are_set() {
        let due = digest_words(&"00ff1a95c3d27b4e".repeat(4));
        let words: Vec<&str> = due.split(' ').collect();
        let numbered: Vec<String> =
            words.iter().enumerate().map(|(place, word)| format!("{}. {word}", place + 1)).collect();
        for typed in [due.to_uppercase(), words.join(", "), words.join("-"), numbered.join("\n"), format!("  {due} \n")]
        {
            assert!(same_words(&typed, &due), "{typed}");
        }
        let reversed: Vec<&str> = words.iter().rev().copied().collect();
        for typed in
            [words[1..].join(" "), format!("{due} {}", words[0]), words.concat(), reversed.join(" "), String::new()]
        {
            assert!(!same_words(&typed, &due), "{typed}");
        }
    }
}
