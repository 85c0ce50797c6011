//! Reads the markings after the rim code, one word at a time.
//!
//! This module must not know the size.

use super::DesignationReader;
use crate::tyre::designation::error::{DesignationError, DesignationFault};
use crate::tyre::designation::marking::{
    Markings, SPEED_SYMBOLS, Service, ServiceDescription, TREAD_SERIES, TreadCode, Tube,
};
use crate::tyre::load_range::LoadRange;

/// Highest ply rating taken; the largest dump truck tyres stay below it.
const MAX_PLY_RATING: u8 = 80;
/// The highest load index of the list of ISO 4000-1 and UN Regulation 54. MEMORY.
const GREATEST_INDEX: u16 = 279;
/// Longest piece of user text that an error repeats.
const MAX_ECHO_CHARS: usize = 24;

/// A word of the rest of the text, in capitals, with its place.
struct Word {
    at: usize,
    text: String,
    written: String,
    /// Whether a slash stands before it, as in `LT245/75R16/E`, or brackets around it alone, as in `245/70R19.5 (H)`.
    apart: bool,
}

/// Reads everything that is left of the text into the markings known so far; `light` says that the size is one for light
/// trucks or trailers, whose load range is a letter on its own.
pub(super) fn markings(
    reader: &mut DesignationReader<'_>,
    mut markings: Markings,
    light: bool,
) -> Result<Markings, DesignationError> {
    if !light
        && matches!(reader.peek(), Some('C' | 'c'))
        && !reader.rest().chars().nth(1).is_some_and(char::is_alphanumeric)
    {
        // Only directly after the rim code: with a blank before it, `C` may be a load range.
        reader.at += 1;
        markings.commercial = true;
        reader.understood.push("commercial".to_owned());
    }
    let words = suffix_words(reader);
    let mut rest = words.as_slice();
    while let [word, after @ ..] = rest {
        reader.at = word.at;
        let taken = marking(reader, &mut markings, word, after, light)?;
        reader.understood.push(word.text.clone());
        rest = after.get(taken..).unwrap_or(&[]);
    }
    match (markings.load_range, markings.ply_rating) {
        (Some(range), Some(ply_rating)) if range.ply_rating() != ply_rating => {
            Err(reader.fail(DesignationFault::Contradiction { range, ply_rating }))
        }
        _ => Ok(markings),
    }
}

fn suffix_words(reader: &DesignationReader<'_>) -> Vec<Word> {
    let is_gap = |c: char| c.is_whitespace() || matches!(c, ',' | ';' | '(' | ')');
    let mut found = Vec::new();
    let mut start = None;
    let mut slashed = false;
    let end = reader.rest().len();
    let marks = reader.rest().char_indices().map(|(at, c)| (at, is_gap(c))).chain([(end, true)]);
    for (at, gap) in marks {
        match (gap, start) {
            (false, None) if reader.rest().get(at..).is_some_and(|rest| rest.starts_with('/')) => slashed = true,
            (false, None) => start = Some(at),
            (true, Some(from)) => {
                let written = reader.rest().get(from..at).unwrap_or("").to_owned();
                let before = reader.rest().get(..from).is_some_and(|before| before.ends_with('('));
                let after = reader.rest().get(at..).is_some_and(|after| after.starts_with(')'));
                let text = without_points(written.to_uppercase());
                found.push(Word { at: reader.at + from, text, written, apart: slashed || before && after });
                (start, slashed) = (None, false);
            }
            _ => {}
        }
    }
    found
}

/// `NHS` for `N.H.S.`: letters with a point behind each are the word without its points.
fn without_points(text: String) -> String {
    let pieces = || text.split('.').filter(|piece| !piece.is_empty());
    let spelt = text.contains('.') && pieces().count() > 1 && pieces().all(|piece| piece.len() == 1);
    if spelt && pieces().all(|piece| piece.bytes().all(|byte| byte.is_ascii_alphabetic())) {
        pieces().collect()
    } else {
        text
    }
}

/// Reads one marking; the result is how many further words belong to it.
fn marking(
    reader: &DesignationReader<'_>,
    markings: &mut Markings,
    word: &Word,
    after: &[Word],
    light: bool,
) -> Result<usize, DesignationError> {
    let found = || word.written.chars().take(MAX_ECHO_CHARS).collect::<String>();
    let text = word.text.as_str();
    if let Some(service) = Service::from_word(text) {
        return once(reader, !markings.services.contains(&service), found(), || markings.services.push(service));
    }
    if let Some((tube, taken)) = tube(text, after) {
        once(reader, markings.tube.is_none(), found(), || markings.tube = Some(tube))?;
        return Ok(taken);
    }
    if let Some((stars, taken)) = stars(text, after) {
        once(reader, markings.stars == 0, found(), || markings.stars = stars)?;
        return Ok(taken);
    }
    // Where nothing but a load range can stand, its letter is enough.
    let has_speed = !markings.descriptions.is_empty()
        && !markings.descriptions.iter().any(|description| description.speed.len() > 1);
    let light = light || [Service::LightTruck, Service::SpecialTrailer].iter().any(|s| markings.services.contains(s));
    let is_letter = text.len() == 1 && text.bytes().all(|byte| byte.is_ascii_alphabetic());
    let range = load_range_letter(text, after)
        .or_else(|| (is_letter && (light || word.apart || has_speed)).then_some((text, 0)));
    if let Some((letter, taken)) = range {
        let range = LoadRange::from_letter(letter).map_err(|error| reader.fail(DesignationFault::LoadRange(error)))?;
        once(reader, markings.load_range.is_none(), found(), || markings.load_range = Some(range))?;
        return Ok(taken);
    }
    if let Some((number, taken)) = ply_rating_number(text, after) {
        let Some(ply_rating) =
            number.parse().ok().filter(|n: &u8| n.is_multiple_of(2) && (2..=MAX_PLY_RATING).contains(n))
        else {
            return Err(
                reader.fail(DesignationFault::BadPlyRating { found: number.chars().take(MAX_ECHO_CHARS).collect() })
            );
        };
        once(reader, markings.ply_rating.is_none(), found(), || markings.ply_rating = Some(ply_rating))?;
        return Ok(taken);
    }
    if let Some(codes) = text.split('/').map(tread_code).collect::<Option<Vec<_>>>() {
        for code in codes {
            once(reader, !markings.treads.contains(&code), found(), || markings.treads.push(code))?;
        }
        return Ok(0);
    }
    described(reader, markings, word, after)
}

/// Records a marking if its place is free.
fn once(
    reader: &DesignationReader<'_>,
    is_free: bool,
    found: String,
    record: impl FnOnce(),
) -> Result<usize, DesignationError> {
    if !is_free {
        return Err(reader.fail(DesignationFault::Repeated { found }));
    }
    record();
    Ok(0)
}

/// `TL`, `TUBELESS`, `TT`, `TUBE TYPE`, with the number of further words used.
fn tube(text: &str, after: &[Word]) -> Option<(Tube, usize)> {
    match text {
        "TUBELESS" => Some((Tube::Tubeless, 0)),
        "TUBETYPE" | "TUBE-TYPE" => Some((Tube::TubeType, 0)),
        "TUBE" if after.first().is_some_and(|next| next.text == "TYPE") => Some((Tube::TubeType, 1)),
        _ => [Tube::Tubeless, Tube::TubeType].into_iter().find(|tube| tube.word() == text).map(|tube| (tube, 0)),
    }
}

/// The number of `**`, `2*` or `2 STAR`, one to three, with the number of further words used.
fn stars(text: &str, after: &[Word]) -> Option<(u8, usize)> {
    let is_star = |c| matches!(c, '*' | '★');
    let next = after.first().map(|next| next.text.as_str());
    let (count, taken) = match text {
        "1" | "2" | "3" if matches!(next, Some("STAR" | "STARS" | "*" | "★")) => (text.parse().ok()?, 1),
        "1*" | "2*" | "3*" => (text.trim_end_matches(is_star).parse().ok()?, 0),
        _ if text.chars().all(is_star) => (u8::try_from(text.chars().count()).ok()?, 0),
        _ => return None,
    };
    (1..=3).contains(&count).then_some((count, taken))
}

/// The letter of `LRG`, `LR G` or `LOAD RANGE G`, with the number of further words used.
fn load_range_letter<'w>(text: &'w str, after: &'w [Word]) -> Option<(&'w str, usize)> {
    if text == "LR" {
        return Some((after.first().map_or("", |next| next.text.as_str()), 1));
    }
    if let Some(letter) =
        text.strip_prefix("LR-").or_else(|| text.strip_prefix("LR")).filter(|letter| letter.len() == 1)
    {
        return Some((letter, 0));
    }
    match after {
        [next, rest @ ..] if text == "LOAD" && next.text == "RANGE" => {
            Some((rest.first().map_or("", |letter| letter.text.as_str()), 2))
        }
        _ => None,
    }
}

/// The number of `16PR`, `PR16`, `16 PR`, `16 P.R.`, `16 PLY RATING` or `PR 16`, with the number of further words used.
fn ply_rating_number<'w>(text: &'w str, after: &'w [Word]) -> Option<(&'w str, usize)> {
    let next = after.first().map(|next| next.text.as_str());
    if text == "PR" {
        return Some((next.unwrap_or(""), 1));
    }
    if is_number(text) && matches!(next, Some("PR" | "P.R." | "P.R")) {
        return Some((text, 1));
    }
    let second = after.get(1).map(|word| word.text.as_str());
    if is_number(text) && next == Some("PLY") && second == Some("RATING") {
        return Some((text, 2));
    }
    text.strip_suffix("PR")
        .or_else(|| text.strip_suffix("P.R."))
        .or_else(|| text.strip_prefix("PR"))
        .map(|number| number.trim_matches('-'))
        .filter(|number| is_number(number))
        .map(|number| (number, 0))
}

fn is_number(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// Reads `L-5`, `L5`, `R-1W`.
fn tread_code(text: &str) -> Option<TreadCode> {
    let letters = text.len() - text.trim_start_matches(|c: char| c.is_ascii_alphabetic()).len();
    let (series, number) = text.split_at_checked(letters)?;
    let series = TREAD_SERIES.into_iter().find(|known| *known == series)?;
    let mut signs = number.strip_prefix('-').unwrap_or(number).chars();
    let digit = signs.next()?.to_digit(10).filter(|digit| (1..=7).contains(digit))?;
    let variant = signs.next();
    let fits = variant.is_none_or(|letter| letter.is_ascii_uppercase()) && signs.next().is_none();
    fits.then_some(TreadCode { series, number: u8::try_from(digit).ok()?, variant })
}

/// Reads `160K`, `164/160K`, `164/160 K` or `152A8/149B`, or says why a word is nothing of the kind.
fn described(
    reader: &DesignationReader<'_>,
    markings: &mut Markings,
    word: &Word,
    after: &[Word],
) -> Result<usize, DesignationError> {
    let found = || word.written.chars().take(MAX_ECHO_CHARS).collect::<String>();
    let text = word.text.as_str();
    let next = after.first().map(|next| next.text.as_str());
    if is_number(text) && matches!(next, Some("PLY" | "PLIES")) || text.ends_with("PLY") || text.ends_with("PLIES") {
        return Err(reader.fail(DesignationFault::PlyCount { found: found() }));
    }
    if text.len() == 1 && text.bytes().all(|byte| byte.is_ascii_alphabetic()) {
        return Err(reader.fail(DesignationFault::LoneLetter { found: text.to_owned() }));
    }
    if let Some(descriptions) = service_descriptions(text) {
        return add(reader, markings, &descriptions, found());
    }
    // The speed symbol may stand apart from the load index.
    if let Some(speed) = next.and_then(speed_symbol)
        && let Some(descriptions) = service_descriptions(&format!("{text}{speed}"))
    {
        add(reader, markings, &descriptions, found())?;
        return Ok(1);
    }
    Err(reader.fail(if is_number(text) {
        DesignationFault::LoneNumber { found: found() }
    } else {
        DesignationFault::UnknownMarking { found: found() }
    }))
}

fn add(
    reader: &DesignationReader<'_>,
    markings: &mut Markings,
    descriptions: &[ServiceDescription],
    found: String,
) -> Result<usize, DesignationError> {
    if descriptions.iter().any(|new| markings.descriptions.contains(new)) {
        return Err(reader.fail(DesignationFault::Repeated { found }));
    }
    markings.descriptions.extend_from_slice(descriptions);
    Ok(0)
}

/// The speed symbol that a word is.
fn speed_symbol(word: &str) -> Option<&'static str> {
    SPEED_SYMBOLS.into_iter().map(|(symbol, _)| symbol).find(|symbol| *symbol == word)
}

/// Reads one or more load indices with their speed symbols out of one word.
fn service_descriptions(text: &str) -> Option<Vec<ServiceDescription>> {
    let mut found = Vec::new();
    let mut rest = text;
    loop {
        let (single, after) = load_index(rest)?;
        let (dual, after) = match after.strip_prefix('/') {
            Some(next) => load_index(next).map(|(dual, after)| (Some(dual), after))?,
            None => (None, after),
        };
        let speed = SPEED_SYMBOLS.into_iter().map(|(symbol, _)| symbol).find(|symbol| after.starts_with(symbol))?;
        let after = after.strip_prefix(speed)?;
        found.push(ServiceDescription { single, dual, speed });
        match after.strip_prefix('/') {
            Some(next) => match speed_symbol(next) {
                // `158A8/B` is the same load at another speed.
                Some(speed) => {
                    found.push(ServiceDescription { single, dual, speed });
                    return Some(found);
                }
                None => rest = next,
            },
            None => return after.is_empty().then_some(found),
        }
    }
}

fn load_index(text: &str) -> Option<(u16, &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let (digits, after) = text.split_at_checked(end)?;
    let index = digits.parse().ok().filter(|index| *index <= GREATEST_INDEX)?;
    (digits.len() >= 2).then_some((index, after))
}
