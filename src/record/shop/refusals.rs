//! The faults of short records and shop files, in words.
//!
//! Must not know when they arise.

mod cards;

use super::nodes::said;
use super::sections::{ROUTINES, SECTIONS};
use crate::document::prose::in_quotes;
use crate::document::{Code, Fault, Node, Path, Span, nearest, other_form};
use crate::units::{Day, DoubtfulTime, Instant, ZoneError};
use crate::vocabulary::{FileSort, ONE_LOT, names_one_thing};

pub(super) use cards::{other_machine, two_cards, vaguer_card};

/// Refuses a file that says it is another one, or two at once.
pub(super) fn header(root: &Node, due: FileSort) -> Option<Fault> {
    let [(own, first), (other, second)] = match due {
        FileSort::Shop => ["shop", "record"],
        _ => ["record", "shop"],
    }
    .map(|key| (FileSort::with_header(key), root.entry(key)));
    let two = own.zip(first).zip(other.zip(second));
    let Some(((own, first), (other, second))) = two else { return other_form(root, due) };
    let fault = Fault::new(Code::ShopTwoHeaders, "the file says that it is a record and a shop file")
        .label(first.key_span, format!("says that it is {}", own.called()))
        .label(second.key_span, format!("says that it is {}", other.called()));
    Some(
        fault.help(
            "keep what lasts in the shop file and what is of the job in the record, each with its own first line",
        ),
    )
}

/// A zone that is none.
pub(super) fn zone(error: &ZoneError, span: Span) -> Fault {
    Fault::new(Code::ShopUnknownZone, error.to_string()).label(span, "here").help(error.help())
}

/// Two entries with one mark, or with marks that are taken for one another.
pub(super) fn mark_twice(section: &str, mark: &str, [first, second]: [Span; 2], are_dated: bool) -> Fault {
    let help = if are_dated {
        "both are in force on one day; if they are one thing, let the first one end with the day before the second one begins: \
         `until` is the last day on which an entry is good. If they are two things, give each its own mark"
    } else {
        "give each its own mark, so that records can name the one that is meant; if both are one thing, keep one entry"
    };
    Fault::new(Code::ShopMarkTwice, format!("two entries of `{section}` are called `{mark}`"))
        .label(second, "this one")
        .label(first, "and this one")
        .help(help)
}

/// An entry without a mark.
pub(super) fn no_mark(section: &str, span: Span) -> Fault {
    Fault::new(Code::ShopNoMark, format!("an entry of `{section}` has no mark"))
        .label(span, "this one")
        .help("give it a mark, by which records name it, or take it out")
}

/// A mark that is nobody's.
pub(super) fn unknown_mark(one: &str, section: &str, mark: &str, span: Span, known: &[&str]) -> Fault {
    let listed = match known {
        [] => format!("the shop file has nothing under `{section}`; add the entry there"),
        known => format!("use one of: {}; or add the entry under `{section}` of the shop file", in_quotes(known)),
    };
    let twin = known.iter().find(|known| names_one_thing(known, mark));
    let help = match (twin, nearest(mark, known.iter().copied())) {
        (Some(twin), _) => format!("write `{twin}`, letter by letter: it differs only in capitals, quotes or dashes"),
        (None, Some(near)) => format!("did you mean `{near}`? {listed}"),
        (None, None) => listed,
    };
    Fault::new(Code::ShopUnknownMark, format!("no {one} is called `{mark}`")).label(span, "not known").help(help)
}

/// A row of the log with a day alone where the hour matters.
pub(super) fn no_time_of_day(span: Span) -> Fault {
    Fault::new(Code::RecordNotAnInstant, "this row does not say its time of day")
        .label(span, "here")
        .help("write the day and the time, such as `2026-03-03 16:00`")
}

/// What an entry says of itself in place of its mark, such as the name of a person.
pub(super) fn described(one: &str, text: &str, mark: &str, span: Span) -> Fault {
    Fault::new(Code::ShopUnknownMark, format!("no {one} is called `{text}`"))
        .label(span, "not known")
        .help(format!("write the mark of the entry that says so: `{mark}`"))
}

/// A machine card that is called by what is no mark, where the mark of the tyre tells which cards are of its machine.
pub(super) fn card_by_another_name(name: &str, span: Span, fit: &[String]) -> Fault {
    Fault::new(Code::ShopUnknownMark, format!("no machine card is called `{name}`"))
        .label(span, "not known")
        .help(format!("write the card of the machine on which this tyre goes: {}", in_quotes(fit)))
}

/// Two lots where one is named.
pub(super) fn several_lots(span: Span) -> Fault {
    Fault::new(Code::RecordMisnamed, "more than one lot is named here").label(span, "here").help(ONE_LOT)
}

/// A mark without a shop file.
pub(super) fn no_shop(one: &str, mark: &str, span: Span) -> Fault {
    Fault::new(Code::ShopNotGiven, format!("`{mark}` names a {one} of a shop file, and no shop file is given"))
        .label(span, "named here")
        .help(
            "give the shop file with `--shop`; without one write the facts out, as `fillward record new` lays them out",
        )
}

/// A fact of the record that the shop file states otherwise, where it is not known which of the two lets less pass. What was
/// found today is never to be taken out: the entry is corrected where the record is right.
pub(super) fn otherwise_in_shop(
    place: &Path,
    (here, ours): (Span, &str),
    (one, mark): (&str, &str),
    (there, theirs): (Span, &str),
    others: &[&str],
    is_reading: bool,
) -> Fault {
    let dated = if is_reading {
        "say of each reading when it was taken, and the later one counts; else look at the thing itself"
    } else {
        "look at the thing itself"
    };
    let others: Vec<&str> = others.iter().copied().filter(|other| *other != mark).collect();
    let another = match others.as_slice() {
        [] if SECTIONS.iter().any(|section| section.one == one) => {
            format!("; if it is another {one}, give it an entry of its own and name that")
        }
        [] => String::new(),
        others => format!("; if it is another {one}, name it by its mark; there are {}", in_quotes(others)),
    };
    Fault::new(Code::ShopSaidTwice, format!("`{place}` is said otherwise by the {one} `{mark}`"))
        .label(here, "here")
        .label(there, format!("and by the {one} `{mark}`"))
        .help(format!(
            "{dated}: if it is {}, leave the record and correct the {one} `{mark}` in the shop file to that; if it is {}, correct the \
             record to that{another}",
            as_written(ours, "as the record says"),
            as_written(theirs, "as the shop file says"),
        ))
}

/// A value as it is written, where it stands on one line.
fn as_written(text: &str, else_said: &str) -> String {
    if text.contains('\n') { else_said.to_owned() } else { format!("`{text}`") }
}

/// A fact that the shop file says in two places.
pub(super) fn twice_in_shop(
    place: &Path,
    (here, ours): (Span, &str),
    (one, mark): (&str, &str),
    (there, theirs): (Span, &str),
) -> Fault {
    let help = match one {
        _ if ours == theirs => "both say the same: take the line out of the entry",
        "routine of" => {
            "look at the thing itself and at its papers, and correct the one that is wrong; when both say the same, keep the row \
             of the log, which says since when, and take the line out of the entry"
        }
        _ => "look which of the two is so, and correct the other one in the shop file",
    };
    said_twice(place, here, (one, mark), there).help(help)
}

/// A fact that the record says in two places.
pub(super) fn twice_in_record(place: &Path, here: Span, (one, mark): (&str, &str), there: Span) -> Fault {
    said_twice(place, here, (one, mark), there)
        .help("keep what was seen, and correct the one that says otherwise; of a look, put the word in `found` right")
}

fn said_twice(place: &Path, here: Span, (one, mark): (&str, &str), there: Span) -> Fault {
    Fault::new(Code::ShopSaidTwice, format!("`{place}` is said twice"))
        .label(here, "here")
        .label(there, format!("and by the {one} `{mark}`"))
}

/// A result of something that is done and shows nothing.
pub(super) fn no_result(did: &str, found: Span) -> Fault {
    let checks: Vec<&str> =
        ROUTINES.iter().filter(|routine| routine.found.is_some()).map(|routine| routine.did).collect();
    Fault::new(Code::SchemaUnknownKey, format!("a row of `{did}` has no result")).label(found, "here").help(format!(
        "say in the record what was found wrong, such as `workspace.eyewash.at_hand: false`; a result is only of: {}",
        in_quotes(checks)
    ))
}

/// An entry that is not in force on the day of its use.
pub(super) fn not_in_force(one: &str, mark: &str, day: Day, named: Span, (which, bound): (&str, Span)) -> Fault {
    Fault::new(Code::ShopNotInForce, format!("the {one} `{mark}` is not in force on {day}, the day of its use"))
        .label(named, "named here")
        .label(bound, if which == "from" { "in force from this day" } else { "in force until this day" })
        .help("name the entry that is in force on that day, or put the days of this one right")
}

/// An entry whose first day is behind its last one.
pub(super) fn never_in_force((from, until): (Day, Day), places: (Span, Span)) -> Fault {
    Fault::new(Code::ShopNotInForce, format!("the entry is never in force: from {from} until {until}"))
        .label(places.0, "from this day")
        .label(places.1, "until this day")
        .help("put the days right: `from` is the first day, `until` the last one")
}

/// An entry with days, for a job without one.
pub(super) fn no_day(one: &str, mark: &str, named: Span) -> Fault {
    Fault::new(Code::ShopNoDay, format!("the {one} `{mark}` is in force for a time, and the record says no day"))
        .label(named, "named here")
        .help("write the day of the job at the head of the record, such as `day: 2026-03-04`")
}

/// A time without a day: of a record that has none at its head, or of an entry that lasts, which has no day of its own.
pub(super) fn time_without_day(text: &str, span: Span, of_record: bool) -> Fault {
    let head = if of_record { ", or `day:` at the head of the record" } else { "" };
    Fault::new(Code::ShopTimeWithoutDay, format!("`{text}` does not say its day"))
        .label(span, "which day")
        .help(format!("write the day in front, such as `2026-03-03 {text}`{head}"))
}

/// A time without a day of what comes days after the fill, judged on a later day than that at the head.
pub(super) fn days_later(text: &str, span: Span, day: Day, now: Day) -> Fault {
    Fault::new(Code::ShopTimeWithoutDay, format!("`{text}` does not say its day, and the record is of {day}"))
        .label(span, "which day")
        .help(format!("write the day in front, such as `{} {text}`", now.to_record_text()))
}

/// A time without a day that the day at the head puts long before the start.
pub(super) fn before_the_start(text: &str, span: Span, (at, start): (Instant, Instant)) -> Fault {
    let next = at.day_as_written().checked_add_days(1).unwrap_or(at.day_as_written()).to_record_text();
    Fault::new(
        Code::ShopTimeWithoutDay,
        format!("`{text}` does not say its day, and on that at the head it lies long before the start, {start}"),
    )
    .label(span, "which day")
    .help(format!("if it was after midnight, write `{next} {text}`; if one of the two times was misread, correct it"))
}

/// Somebody who is named by a mark whose entry says no name.
pub(super) fn nameless(empty: Span, named: &Node, mark: &str) -> Fault {
    Fault::new(
        Code::ShopNoName,
        format!("the entry of `{mark}` has no name, and a record names people by first and last name"),
    )
    .label(empty, "empty")
    .label(named.span, "named here")
    .help("write first and last name behind `name:` in the entry, such as `name: Odile Varga`")
}

/// A sheet of a day that does not say which.
pub(super) fn sheet_without_day(span: Span) -> Fault {
    Fault::new(Code::ShopTimeWithoutDay, "this sheet does not say its day")
        .label(span, "of which day")
        .help("write its day behind `day:`, such as `2026-03-04`, or take the sheet out")
}

/// A round that somebody walked, and nobody can tell which.
pub(super) fn which_round(span: Span, rounds: usize) -> Fault {
    Fault::new(Code::ShopNoMark, format!("this sheet does not say which round was walked, and there are {rounds}"))
        .label(span, "which round")
        .help("write the mark of the round behind `mark:`; it may be left out only where there is one")
}

/// A name that names nobody and nothing.
#[track_caller]
pub(super) fn no_name(text: &str, why: &str, span: Span) -> Fault {
    Fault::new(Code::ShopUnknownMark, format!("`{text}` {why}"))
        .label(span, "here")
        .help("write the name that is meant, or take it out")
}

/// Two rows of the log on one thing that say different things, where neither is known to be the later one.
pub(super) fn rows_disagree(did: &str, of: &str, first: Span, second: Span) -> Fault {
    Fault::new(Code::ShopSaidTwice, format!("two rows of `{did}` for `{of}` say different things of one time"))
        .label(second, "this row")
        .label(first, "and this one")
        .help("write to each row its day and time, and the later one counts; where one of them is wrong, take it out")
}

/// A time that the clock shows twice, or never.
pub(super) fn doubtful(doubt: &DoubtfulTime, span: Span) -> Fault {
    let code = if doubt.doubled { Code::ShopDoubledHour } else { Code::ShopSkippedHour };
    Fault::new(code, doubt.to_string()).label(span, "here").help(doubt.help())
}

/// A start on another day than the record says.
pub(super) fn other_day(header: (Day, Span), start: (Day, Span), is_begun: bool) -> Fault {
    let help = if is_begun {
        "put the planned start right; what waits until another day than the one on which the rest of its job was filled has \
         a record of its own, under the same number of the job, and this one stays as it is"
    } else {
        "put the day or the planned start right; on the day on which air goes into a new tyre the record is of that day, \
         and for the fill `day` is changed to the day of the fill"
    };
    Fault::new(Code::ShopOtherDay, format!("the record is of {}, and its start is planned on {}", header.0, start.0))
        .label(start.1, format!("on {}", start.0))
        .label(header.1, format!("says {}", header.0))
        .help(help)
}

/// A pump or a cage of another place than that of the job.
pub(super) fn other_place((one, mark): (&str, &str), place: &str, home: &str, (named, own): (Span, Span)) -> Fault {
    Fault::new(Code::ShopOtherPlace, format!("the {one} `{mark}` stands at the place `{home}`, and the job is at `{place}`"))
        .label(named, "named here")
        .label(own, format!("stands at `{home}`"))
        .help(format!(
            "name the {one} that the job is done with, and the place where it is done; if `{mark}` was brought to `{place}`, \
             write `brought_from: {home}` beside its mark"
        ))
}

/// A place that does not have what is said to come from there.
pub(super) fn not_from_there((one, mark): (&str, &str), from: &str, span: Span, homes: &[&str]) -> Fault {
    let help = match homes {
        [] => format!("no place of the shop file names `{mark}`, so take this line out"),
        homes => format!("it stands at {}; write that, or name another {one}", in_quotes(homes)),
    };
    Fault::new(Code::ShopOtherPlace, format!("the {one} `{mark}` does not stand at `{from}`"))
        .label(span, "here")
        .help(help)
}

/// A tyre that is like none.
pub(super) fn like_unknown(mark: &str, span: Span, known: &[&str]) -> Fault {
    let help = match nearest(mark, known.iter().copied()) {
        Some(near) => format!("did you mean `{near}`? name another assembly of this record"),
        None => "name another assembly of this record by its mark".to_owned(),
    };
    Fault::new(Code::ShopLikeUnknown, format!("no assembly of this record is called `{mark}`"))
        .label(span, "not known")
        .help(help)
}

/// Tyres that are like one another in a ring.
pub(super) fn like_ring(span: Span) -> Fault {
    Fault::new(Code::ShopLikeRing, "this assembly is like itself")
        .label(span, "leads back here")
        .help("write the facts out for one assembly, and let the others be like it")
}

/// A key that a short form does not have.
pub(super) fn unknown_key(parent: &Node, allowed: &[&str]) -> Vec<Fault> {
    let strange = super::nodes::entries(parent).iter().filter(|entry| !allowed.contains(&entry.key.as_str()));
    strange
        .map(|entry| {
            let listed = allowed.iter().map(|key| format!("`{key}`")).collect::<Vec<_>>().join(", ");
            let guess = nearest(&entry.key, allowed.iter().copied()).map(|near| format!("did you mean `{near}`? "));
            Fault::new(Code::SchemaUnknownKey, format!("unknown key `{}`", entry.key))
                .label(entry.key_span, "not known here")
                .help(format!("{}keys allowed here: {listed}", guess.unwrap_or_default()))
        })
        .collect()
}

/// A value of another shape than is due.
#[track_caller]
pub(super) fn shape(what: &str, cure: &str, span: Span) -> Fault {
    Fault::new(Code::RecordWrongKind, format!("{what} is expected here")).label(span, "here").help(cure)
}

/// A lot on the wrong side of the mix.
pub(super) fn other_side(mark: &str, side: &str, named: Span, lot: &Node) -> Fault {
    let Some(side_of_lot) = said(lot, "side") else {
        return Fault::new(Code::ShopOtherSide, format!("the lot `{mark}` does not say its side"))
            .label(lot.span, "this lot")
            .label(named, format!("named for the {side} side"))
            .help("look at the label of the container, and write behind `side:` of the lot `isocyanate` or `polyol`");
    };
    let stated = side_of_lot.span;
    Fault::new(Code::ShopOtherSide, format!("the lot `{mark}` is not of the {side} side"))
        .label(named, format!("named for the {side} side"))
        .label(stated, "the lot's own side")
        .help("look at the label of the container, and name each lot on its own side")
}

/// Lots of two materials in one mix.
pub(super) fn two_materials(first: Span, second: Span) -> Fault {
    Fault::new(Code::ShopTwoMaterials, "the two sides of the mix are of two materials")
        .label(first, "of one material")
        .label(second, "of another")
        .help("look at the labels; only two sides of one material are mixed")
}
