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

/// The candidate of which `value`, a word that somebody wrote for what was found, is a slip of the pen.
///
/// Word by word it begins as the candidate does, and none of the two is the other one with something before it: `unsound` is
/// no slip for `sound`, nor `not within` for `within`; and one slip is allowed per four letters of a word. Whoever wrote
/// down a fault is never offered the word that passes.
pub fn nearest_value<'a>(value: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    nearest(value, candidates.into_iter().filter(|candidate| is_slip(&plain(value), &plain(candidate))))
}

fn is_slip(value: &str, candidate: &str) -> bool {
    let is_near = |(written, meant): (&str, &str)| {
        written.chars().next() == meant.chars().next()
            && (written == meant || !written.ends_with(meant) && !meant.ends_with(written))
            && strsim::damerau_levenshtein(written, meant) <= written.chars().count().div_ceil(4)
    };
    value.split('-').count() == candidate.split('-').count() && value.split('-').zip(candidate.split('-')).all(is_near)
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

    /// Slips for words that pass, and words of faults that are spelled much like them.
    #[test]
    fn nobody_is_offered_the_contrary_of_what_he_wrote() {
        let known = [
            "active",
            "sound",
            "out and whole",
            "within the data sheet",
            "at the tyre, flow stopped",
            "cage",
            "never",
            "unused",
        ];
        for word in [
            "inactive",
            "unsound",
            "out and not whole",
            "not within the data sheet",
            "outside the data sheet",
            "at the tyre, flow running",
            "no cage",
            "ever",
            "used",
            "without the data sheet",
        ] {
            assert_eq!(nearest_value(word, known), None, "word {word:?}");
        }
        for (word, meant) in [
            ("actve", "active"),
            ("Sound", "sound"),
            ("out and whle", "out and whole"),
            ("at_the_tyre, flow stoped", "at the tyre, flow stopped"),
        ] {
            assert_eq!(nearest_value(word, known), Some(meant), "word {word:?}");
        }
    }
}
