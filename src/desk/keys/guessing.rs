//! What a passphrase is worth to somebody who guesses: what is left of it without the parts that anybody tries first.
//!
//! Taken out are names that are known, words that stand for a passphrase, rows of a keyboard, and words that stand twice.
//! This module must not know files or keys.

use zeroize::Zeroizing;

/// Fewer characters than this that do not follow from those before are guessed, however many there are.
const LEAST_UNLIKE: usize = 8;
/// Letters of a part of a name that is taken out: shorter ones stand inside other words.
const SHORTEST_PART: usize = 3;
/// Keys side by side, from which on they are a row that was run along and not part of a word.
const LEAST_ROW: usize = 4;

/// Words that people take where a passphrase is asked for, with the seasons, months and days that a policy of changing it
/// every so often brings about, sentences that stand in books about passphrases, and words of this work. Common practice of
/// the person who guesses, without a source.
const COMMON: [&str; 54] = [
    "password",
    "passphrase",
    "passwort",
    "motdepasse",
    "secret",
    "welcome",
    "letmein",
    "changeme",
    "default",
    "login",
    "admin",
    "signature",
    "checklist",
    "fillward",
    "tyre",
    "filling",
    "spring",
    "summer",
    "autumn",
    "winter",
    "january",
    "february",
    "march",
    "april",
    "august",
    "september",
    "october",
    "november",
    "december",
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
    "monkey",
    "dragon",
    "sunshine",
    "princess",
    "superman",
    "iloveyou",
    "football",
    "baseball",
    "liverpool",
    "chelsea",
    "arsenal",
    "barcelona",
    "manchester",
    "united",
    "the quick brown fox",
    "jumps over the lazy dog",
    "correct horse battery staple",
    "correcthorsebatterystaple",
];

/// Rows of keys, by the keyboards of several countries, and the slanting columns of digits and letters.
const ROWS: [&str; 24] = [
    "`1234567890-=",
    "!@#$%^&*()_+",
    "qwertyuiop[]",
    "asdfghjkl;'",
    "zxcvbnm,./",
    "qwertzuiop",
    "yxcvbnm,.-",
    "azertyuiop",
    "qsdfghjklm",
    "wxcvbn",
    "789456123",
    "147258369",
    "1qaz",
    "2wsx",
    "3edc",
    "4rfv",
    "5tgb",
    "6yhn",
    "7ujm",
    "8ik,",
    "9ol.",
    "0p;/",
    "qazwsxedcrfvtgbyhnujm",
    "1qaz2wsx3edc4rfv5tgb6yhn7ujm8ik,9ol.0p;/",
];

/// Whether a passphrase can be guessed by the person who knows these names.
pub(super) fn is_easy(words: &str, known: &[&str], least: usize) -> bool {
    // A name with figures for some of its letters is that name.
    let in_letters = ['i', 'l'].map(|one| Zeroizing::new(words.chars().map(|c| letter(c, one)).collect::<String>()));
    is_easy_as_written(words, known, least) || in_letters.iter().any(|words| is_easy_as_written(words, known, least))
}

/// The letter for which a figure or a sign is written; a one is written for two of them.
const fn letter(c: char, one: char) -> char {
    match c {
        '0' => 'o',
        '1' | '!' => one,
        '3' => 'e',
        '4' | '@' => 'a',
        '5' | '$' => 's',
        '7' => 't',
        _ => c,
    }
}

fn is_easy_as_written(words: &str, known: &[&str], least: usize) -> bool {
    let all = Zeroizing::new(words.to_lowercase());
    let left = without_rows(&without_twice(&without_known(&all, known)));
    (*left != *all && left.chars().count() < least) || unlike(&left) < LEAST_UNLIKE
}

/// The text without the names, whole, written as one word, and each part of one.
fn without_known(text: &str, known: &[&str]) -> Zeroizing<String> {
    let mut parts: Vec<String> = COMMON.map(str::to_owned).to_vec();
    for name in known {
        let name = name.to_lowercase();
        let of_name = name.split(|c: char| !c.is_alphanumeric()).filter(|part| !part.is_empty());
        parts.extend(of_name.clone().map(str::to_owned));
        parts.push(of_name.collect());
        parts.push(name);
    }
    parts.retain(|part| part.chars().count() >= SHORTEST_PART);
    // The longest first, so that no name is left in pieces.
    parts.sort_by_key(|part| std::cmp::Reverse(part.len()));
    let mut left = Zeroizing::new(text.to_owned());
    for part in &parts {
        *left = left.replace(part.as_str(), " ");
    }
    squeezed(text, left)
}

/// The text without what stood in it before, even inside a longer word, and with a word that says one thing again and again
/// saying it once.
fn without_twice(text: &str) -> Zeroizing<String> {
    let mut left = Zeroizing::new(String::with_capacity(text.len()));
    let mut seen: Vec<Zeroizing<String>> = Vec::new();
    for word in text.split_inclusive(|c: char| !c.is_alphanumeric()) {
        let mut new = Zeroizing::new(word.to_owned());
        for known in &seen {
            *new = new.replace(known.as_str(), " ");
        }
        let whole = new.trim_end_matches(|c: char| !c.is_alphanumeric());
        // Digits behind a word that comes again and again make no other word of it.
        let core = whole.trim_end_matches(|c: char| c.is_ascii_digit());
        let letters: Vec<char> = if core.is_empty() { whole } else { core }.chars().collect();
        let period = period(&letters);
        let times = if 2 * period > letters.len() { letters.len() } else { period };
        let once: String = letters.iter().take(times).collect();
        if times < letters.len() {
            let end = if core.is_empty() { "" } else { whole.get(core.len()..).unwrap_or_default() };
            *new = format!("{once} {end} ");
        }
        if once.chars().count() >= SHORTEST_PART {
            seen.push(Zeroizing::new(once));
        }
        left.push_str(&new);
    }
    squeezed(text, left)
}

/// The text with each row of keys as its first key alone.
fn without_rows(text: &str) -> Zeroizing<String> {
    let letters = Zeroizing::new(text.chars().collect::<Vec<char>>());
    let mut left = Zeroizing::new(String::with_capacity(text.len()));
    let mut rest = letters.as_slice();
    while let Some(first) = rest.first() {
        left.push(*first);
        let row = ROWS.iter().map(|row| run(row.chars(), rest).max(run(row.chars().rev(), rest))).max().unwrap_or(0);
        rest = rest.get(if row >= LEAST_ROW { row } else { 1 }..).unwrap_or_default();
    }
    left
}

/// How many letters run along a row of keys.
fn run(row: impl Iterator<Item = char>, letters: &[char]) -> usize {
    let Some(first) = letters.first() else { return 0 };
    row.skip_while(|key| key != first).zip(letters).take_while(|(key, letter)| key == *letter).count()
}

/// What is left of a text from which something was taken out, without the blanks and marks that stood about it.
fn squeezed(before: &str, left: Zeroizing<String>) -> Zeroizing<String> {
    if *left == before {
        return left;
    }
    let mut words = Zeroizing::new(String::with_capacity(left.len()));
    for word in left.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()) {
        if !words.is_empty() {
            words.push(' ');
        }
        words.push_str(word);
    }
    words
}

/// How many characters of a text do not follow from those before: neither the same, nor the next in a row such as `abcd` or
/// `4321`, nor a part that comes again. Two digits count as one character, since there are ten of them, and what stands
/// between two digits for none: a date is eight digits, most of which follow.
fn unlike(text: &str) -> usize {
    let letters = Zeroizing::new(text.chars().map(u32::from).collect::<Vec<_>>());
    let once = letters.get(..period(&letters)).unwrap_or(&letters);
    let follows = once.iter().zip(once.iter().skip(1)).filter(|(one, next)| one.abs_diff(**next) <= 1).count();
    let is = |letter: u32, what: fn(char) -> bool| char::from_u32(letter).is_some_and(what);
    let is_digit = |letter: u32| is(letter, |c| c.is_ascii_digit());
    let is_between =
        |three: &&[u32]| matches!(three, [a, b, c] if is_digit(*a) && is_digit(*c) && !is(*b, char::is_alphanumeric));
    let digits = once.iter().filter(|letter| is_digit(**letter)).count();
    let between = once.windows(3).filter(is_between).count();
    once.len().saturating_sub(follows + digits.div_ceil(2) + between)
}

/// After how many items a list says the same again, to its end; all of them where it does not.
fn period<T: PartialEq>(items: &[T]) -> usize {
    let repeats = |period: &usize| items.iter().zip(items.iter().skip(*period)).all(|(one, other)| one == other);
    (1..items.len()).find(repeats).unwrap_or(items.len())
}
