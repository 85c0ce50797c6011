//! The faults of short records and shop files, in words.
//!
//! Must not know when they arise.

use super::nodes::{Twice, said};
use crate::document::prose::in_quotes;
use crate::document::{Code, Fault, Node, Span, nearest};
use crate::units::{Day, DoubtfulTime, ZoneError};
use crate::vocabulary::names_one_thing;

/// Refuses a file that says it is another one, or two at once.
pub(super) fn header(root: &Node, due: &str, other: &str) -> Option<Fault> {
    let name = |key: &str| if key == "shop" { "a shop file" } else { "a job record" };
    let found = root.entry(other)?;
    let fault = Fault::new(Code::ShopOtherFile, format!("{} is given where {} is expected", name(other), name(due)));
    Some(match root.entry(due) {
        None => fault.label(found.key_span, format!("this is {}", name(other))).help(if due == "shop" {
            "give the shop file with --shop, and the record in front of it"
        } else {
            "give the record first, and the shop file with --shop"
        }),
        Some(first) => Fault::new(Code::ShopTwoHeaders, "the file says that it is a record and a shop file")
            .label(first.key_span, format!("says that it is {}", name(due)))
            .label(found.key_span, format!("says that it is {}", name(other)))
            .help(
                "keep what lasts in the shop file and what is of the job in the record, each with its own first line",
            ),
    })
}

/// A zone that is none.
pub(super) fn zone(error: &ZoneError, span: Span) -> Fault {
    Fault::new(Code::ShopUnknownZone, error.to_string()).label(span, "here").help(error.help())
}

/// Two entries with one mark, or with marks that are taken for one another.
pub(super) fn mark_twice(section: &str, mark: &str, first: Span, second: Span) -> Fault {
    Fault::new(Code::ShopMarkTwice, format!("two entries of `{section}` are called `{mark}`"))
        .label(second, "this one")
        .label(first, "and this one")
        .help("give each its own mark, so that records can name the one that is meant; if both are one thing, keep one entry")
}

/// An entry without a mark.
pub(super) fn no_mark(section: &str, span: Span) -> Fault {
    Fault::new(Code::ShopNoMark, format!("an entry of `{section}` has no mark"))
        .label(span, "this one")
        .help("give it a mark, by which records name it, or take it out")
}

/// An instrument that stands in the record and in the shop file.
pub(super) fn in_both(one: &str, mark: &str, record: Span, shop: Span) -> Fault {
    Fault::new(Code::ShopMarkTwice, format!("the {one} `{mark}` stands in the record and in the shop file"))
        .label(record, "this one")
        .label(shop, "and this one")
        .help("take it out of the record; a reading that names the mark brings it in")
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

/// A mark without a shop file.
pub(super) fn no_shop(one: &str, mark: &str, span: Span) -> Fault {
    Fault::new(Code::ShopNotGiven, format!("`{mark}` names a {one} of a shop file, and no shop file is given"))
        .label(span, "named here")
        .help(
            "give the shop file with `--shop`; without one write the facts out, as `fillward record new` lays them out",
        )
}

/// A fact that is stated in two places: in the record or an entry first, and then by what is laid over it. Says which of the
/// two to keep, and what to do where that one is wrong.
pub(super) fn twice(
    (one, mark): (&str, &str),
    twice: &Twice,
    (same, in_record): (bool, bool),
    others: &[&str],
) -> Fault {
    let first = if in_record { "the record" } else { "the entry" };
    let help = match one {
        _ if same => format!("both say the same: take the line out of {first}"),
        "look" => "keep what was seen: put the word in `found` right, or take the other line out".to_owned(),
        "routine of" => "keep the row of the log, which says since when, and take the line out of the entry".to_owned(),
        "sheet of" | "sheet of the day for" => {
            format!("keep what is so: take the line out of {first}, or put the sheet of the day right")
        }
        _ => {
            let others: Vec<&str> = others.iter().copied().filter(|other| *other != mark).collect();
            let another = match others.as_slice() {
                [] => format!("if another {one} is used, give it an entry of its own and name that"),
                others => format!("if another {one} is used, name it by its mark; there are {}", in_quotes(others)),
            };
            format!(
                "if the {one} `{mark}` is used, take the line out of {first}; {another}; if its entry is wrong, correct it there"
            )
        }
    };
    Fault::new(Code::ShopSaidTwice, format!("`{}` is said twice", twice.path))
        .label(twice.first, "here")
        .label(twice.second, format!("and by the {one} `{mark}`"))
        .help(help)
}

/// An entry that is not in force.
pub(super) fn not_in_force(one: &str, mark: &str, day: Day, named: Span, (which, bound): (&str, Span)) -> Fault {
    Fault::new(Code::ShopNotInForce, format!("the {one} `{mark}` is not in force on {day}, the day of the job"))
        .label(named, "named here")
        .label(bound, if which == "from" { "in force from this day" } else { "in force until this day" })
        .help("name the entry that is in force on that day, or put the days of this one right")
}

/// An entry with days, for a job without one.
pub(super) fn no_day(one: &str, mark: &str, named: Span) -> Fault {
    Fault::new(Code::ShopNoDay, format!("the {one} `{mark}` is in force for a time, and the record says no day"))
        .label(named, "named here")
        .help("write the day of the job at the head of the record, such as `day: 2026-03-04`")
}

/// A time without a day.
pub(super) fn time_without_day(text: &str, span: Span) -> Fault {
    Fault::new(Code::ShopTimeWithoutDay, format!("`{text}` does not say its day"))
        .label(span, "which day")
        .help(format!("write the day in front, such as `2026-03-03 {text}`, or `day:` at the head of the record"))
}

/// A time that the clock shows twice, or never.
pub(super) fn doubtful(doubt: &DoubtfulTime, span: Span) -> Fault {
    let code = if doubt.doubled { Code::ShopDoubledHour } else { Code::ShopSkippedHour };
    Fault::new(code, doubt.to_string()).label(span, "here").help(doubt.help())
}

/// A start on another day than the record says.
pub(super) fn other_day(header: (Day, Span), start: (Day, Span)) -> Fault {
    Fault::new(Code::ShopOtherDay, format!("the record is of {}, and its start is planned on {}", header.0, start.0))
        .label(start.1, format!("on {}", start.0))
        .label(header.1, format!("says {}", header.0))
        .help("put the day or the planned start right")
}

/// A card of another machine than the one on which the tyre goes.
pub(super) fn other_machine(
    card: &str,
    (named, mark, own): (Span, Span, Span),
    machine: &str,
    cards: &[&str],
) -> Fault {
    let cards = match cards {
        [] => format!("name the card of {machine}, or make one"),
        cards => format!("name the card of {machine}: {}", in_quotes(cards)),
    };
    Fault::new(Code::ShopOtherMachine, format!("the machine card `{card}` is not of `{machine}`"))
        .label(named, "named here")
        .label(mark, "the tyre goes on this machine")
        .label(own, "the card is of this one")
        .help(format!("{cards}; where this one is right for {machine} as well, write `of: [{machine}]` into it"))
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
pub(super) fn shape(what: &str, cure: &str, span: Span) -> Fault {
    Fault::new(Code::RecordWrongKind, format!("{what} is expected here")).label(span, "here").help(cure)
}

/// A lot on the wrong side of the mix.
pub(super) fn other_side(mark: &str, side: &str, named: Span, lot: &Node) -> Fault {
    let stated = said(lot, "side").map_or(lot.span, |node| node.span);
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
