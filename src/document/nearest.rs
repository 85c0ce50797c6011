//! "Did you mean": the known word nearest to one that is not known.
//!
//! Must not know what the words are for.

/// The candidate that `word` is most likely a slip for, if any is near enough.
///
/// Case, `-`, `_` and blanks count as alike; beyond that one slip (a letter left out, added, changed or
/// swapped with its neighbour) is allowed per three letters. Of candidates equally near the first is given.
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = plain(word);
    let allowed = word.chars().count().div_ceil(3);
    candidates
        .into_iter()
        .map(|candidate| (strsim::damerau_levenshtein(&word, &plain(candidate)), candidate))
        .filter(|(distance, candidate)| *distance <= allowed && *distance < candidate.chars().count())
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

fn plain(word: &str) -> String {
    word.chars().map(|c| if matches!(c, '_' | ' ') { '-' } else { c }).flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_found_and_strangers_are_not() {
        let known = ["tyre_size", "tube", "rim_rating", "flap"];
        for (word, meant) in [
            ("tyre_sise", Some("tyre_size")),
            ("tyre-size", Some("tyre_size")),
            ("TyreSize", Some("tyre_size")),
            ("tueb", Some("tube")),
            ("rim rating", Some("rim_rating")),
            ("colour", None),
            ("", None),
            ("x", None),
        ] {
            assert_eq!(nearest(word, known), meant, "word {word:?}");
        }
        assert_eq!(nearest("tube", []), None);
    }
}
