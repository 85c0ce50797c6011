//! Figures about the people of a job and those for whom it is done. It must not know who may do what; rules say that.

use super::markings::words_and_numbers;
use super::reader::{FactReader, JobSource};
use super::{Figure, Lack, Workings};
use crate::record::Value;
use crate::record::catalogue::choices::CrewPart;
use crate::record::catalogue::{assembly, job, person};
use crate::vocabulary::{Subject, may_be_one, may_name, may_name_house};

/// Whether who accepted the fill is nobody of the crew, nor the shop itself, by any way of writing a name. A family
/// name that the crew has too is told apart by a given name of its own.
pub(super) fn accepted_by_another(source: JobSource<'_>) -> Figure {
    let whole = source.whole().ok_or_else(|| Lack::missing(job::ACCEPTED_BY))?;
    let accepted = whole.need_text(job::ACCEPTED_BY)?;
    let site = whole.text(job::SITE);
    let mut crew = Vec::new();
    for person in source.of(Subject::Person) {
        crew.push(person.need_text(person::NAME)?);
    }
    if crew.is_empty() {
        return Err(Lack::missing(person::NAME));
    }
    let of_crew = crew.iter().any(|name| may_name(accepted, name));
    Ok(Value::Flag(!of_crew && !site.is_some_and(|site| may_name_house(accepted, site))))
}

/// Whether who accepted the fill names no machine but those of the job: `for loader 9` beside tyres of loader 7 does. What
/// stands before a number in no mark of the job is no machine of it.
pub(super) fn accepted_for_this(source: JobSource<'_>) -> Figure {
    let whole = source.whole().ok_or_else(|| Lack::missing(job::ACCEPTED_BY))?;
    let accepted = numbered(whole.need_text(job::ACCEPTED_BY)?);
    let marks = source.of(Subject::Assembly).filter_map(|one| one.text(assembly::MARK));
    let of_job: Vec<(String, String)> = marks.flat_map(numbered).collect();
    let is_of_kind = |word: &str| of_job.iter().any(|(known, _)| known == word);
    Ok(Value::Flag(accepted.iter().all(|named| !is_of_kind(&named.0) || of_job.contains(named))))
}

/// Whether who accepted the fill names the machine of this assembly, where any machine of the job is named: `owner of skid
/// steer 3` accepted nothing for number 5. A mark without a number tells no machine.
pub(super) fn accepted_names_it(workings: &Workings<'_>) -> Figure {
    let source = workings.source;
    let whole = source.whole().ok_or_else(|| Lack::missing(job::ACCEPTED_BY))?;
    let accepted = listed(whole.need_text(job::ACCEPTED_BY)?);
    let marks = source.of(Subject::Assembly).filter_map(|one| one.text(assembly::MARK));
    let of_job: Vec<(String, String)> = marks.flat_map(numbered).collect();
    let named: Vec<&(String, String)> = of_job.iter().filter(|pair| accepted.contains(&singular(pair))).collect();
    let own = numbered(workings.facts.need_text(assembly::MARK)?);
    Ok(Value::Flag(named.is_empty() || own.is_empty() || own.iter().any(|pair| named.contains(&pair))))
}

/// As [`numbered`], with several numbers behind one word: `loaders 7, 9 and 12` are three.
fn listed(text: &str) -> Vec<(String, String)> {
    let mut pairs = Vec::new();
    let mut of: Option<String> = None;
    for word in words_and_numbers(text) {
        match (is_number(&word), &of) {
            (true, Some(kind)) => pairs.push(singular(&(kind.clone(), word))),
            (true, None) => {}
            // What joins two numbers is no machine.
            (false, Some(_)) if JOINS.contains(&word.as_str()) => {}
            (false, _) => of = Some(word),
        }
    }
    pairs
}

/// What stands between the numbers of several machines.
const JOINS: [&str; 4] = ["and", "und", "et", "y"];

/// A word with its number, of several as of one.
fn singular((word, number): &(String, String)) -> (String, String) {
    (word.strip_suffix('s').unwrap_or(word).to_owned(), number.clone())
}

/// The words of a text that have a number behind them, in small letters.
fn numbered(text: &str) -> Vec<(String, String)> {
    let words = words_and_numbers(text);
    let pairs = words.iter().zip(words.iter().skip(1));
    pairs.filter(|(word, number)| !is_number(word) && is_number(number)).map(|(a, b)| (a.clone(), b.clone())).collect()
}

fn is_number(word: &str) -> bool {
    word.starts_with(|first: char| first.is_ascii_digit())
}

/// Whether no two of the crew can be one person by their names; the person who has no name yet is asked for it elsewhere.
#[expect(clippy::unnecessary_wraps, reason = "every figure may lack something; this one never does")]
pub(super) fn crew_told_apart(source: JobSource<'_>) -> Figure {
    let crew: Vec<&str> = source.of(Subject::Person).filter_map(|person| person.text(person::NAME)).collect();
    let twice = |at: usize, one: &str| crew.iter().skip(at + 1).any(|other| may_be_one(one, other));
    Ok(Value::Flag(!crew.iter().enumerate().any(|(at, one)| twice(at, one))))
}

/// Whether two people are there for the pump. Whoever has no role yet is asked for it only where it decides.
pub(super) fn two_at_the_pump(source: JobSource<'_>) -> Figure {
    let parts = || source.of(Subject::Person).map(FactReader::choice::<CrewPart>);
    let known = parts().flatten().filter(|part| *part != CrewPart::Inspector).count();
    if known < 2 && (parts().count() == 0 || parts().any(|part| part.is_none())) {
        return Err(Lack::missing(person::ROLE));
    }
    Ok(Value::Flag(known >= 2))
}
