//! The closed lists by which names are judged by kind: particles of names, words on labels, words for the kind itself.
//!
//! All of them are from memory. This module must not know how they are used.

use crate::vocabulary::names::words::{WordSet, word_set};

/// Words in small letters that are part of somebody's name.
pub(super) static PARTICLES: WordSet = word_set!(
    "ab abd abu ach af al am an ap auf av bar bat ben bin bint binti d da dal dalla das de degli dei del \
     della delle delos den der des di do dos du e el en et ferch fitz het i ibn im ka la las le les lo \
     los mac mc na ni nic nin o op ould san santa st t te ten ter thi til tot u ua ui uit ul umm und ur \
     van ver verch vom von vor y zu zum zur"
);

/// Words with a stroke, between two names, by which somebody is the son, the daughter or the child of somebody: as papers of
/// Malaysia and Singapore have them.
pub(super) const CHILD_OF: &[&str] = &["a/k", "a/l", "a/p", "d/o", "s/o"];

/// Family names that stand in forms for anybody, and are hardly anybody's.
pub(super) const FAMILIES_OF_FORMS: &[&str] = &["mustermann", "musterfrau"];

/// Words that are no name of a person, alone or with one another.
pub(super) const OF_NOBODY: &[&str] = &[
    "abc", "admin", "crew", "depot", "guest", "office", "person", "shop", "tester", "user", "workshop", "xyz", "yard",
];

/// Words of that kind that are somebody's name as well.
pub(super) const NAMES_AS_WELL: &[&str] = &["bay", "boss", "day", "guy", "man", "night"];

/// Small words between two people.
pub(super) const BETWEEN_PEOPLE: &[&str] = &["and", "or", "oder", "plus", "then", "with"];

/// Words in small letters with which a name may end.
pub(super) const AFTER_NAMES: &[&str] =
    &["filho", "fils", "ii", "iii", "iv", "jnr", "jr", "jun", "junior", "neto", "pere", "sen", "senior", "snr", "sr"];

/// Words that stand on every label, and on this one as well: they tell no lot from another.
pub(super) static ON_LABELS: WordSet = word_set!(
    "apr april aug august batch bb before best by can charge code comp component container date dated dec \
     december drum exp expiration expires expiry feb february filled grade hardener id iso isocyanate jan \
     january jul july jun june kit lot lots made manufactured mar march may mfd mfg no nov november nr \
     num number oct october of on opened packed pail part poly polyol prod production received ref resin \
     sep sept september serial shore side sn the tote type until use"
);

/// Those of them that say no more than that a lot follows.
pub(super) const FOR_A_LOT: &[&str] =
    &["lot", "lots", "no", "nr", "num", "number", "batch", "charge", "code", "id", "ref", "serial", "sn", "the"];

/// Words that only point.
pub(super) const POINTS: &[&str] =
    &["the", "this", "that", "these", "those", "any", "some", "my", "our", "your", "his", "her", "their", "another"];

/// Words for the kind of what a mark names; with nothing else beside them they are no mark.
pub(super) const KINDS_OF_TYRE: &[&str] = &[
    "tyre",
    "tyres",
    "tire",
    "tires",
    "wheel",
    "wheels",
    "rim",
    "assembly",
    "machine",
    "vehicle",
    "equipment",
    "unit",
    "mark",
    "one",
    "big",
    "small",
    "front",
    "rear",
    "left",
    "right",
];

pub(super) const KINDS_OF_PUMP: &[&str] =
    &["pump", "pumps", "machine", "unit", "mixer", "filling", "fill", "metering", "mark", "foam"];

pub(super) const KINDS_OF_INSTRUMENT: &[&str] = &[
    "gauge",
    "gauges",
    "gage",
    "dial",
    "digital",
    "pressure",
    "manometer",
    "thermometer",
    "probe",
    "temperature",
    "temp",
    "instrument",
    "meter",
    "mark",
    "borrowed",
    "hired",
    "loan",
    "loaned",
    "rented",
];

/// Words for a number of a work order, and for the order itself.
pub(super) const KINDS_OF_JOB: &[&str] = &["job", "order", "work", "no", "nr", "number", "ticket", "fill", "filling"];

/// Words that say which job it is to the person who writes, and to nobody else.
pub(super) const WHICH_JOB: &[&str] = &[
    "new", "next", "this", "that", "the", "last", "old", "other", "another", "first", "second", "today", "todays",
    "my", "our",
];

/// Words that say that a number is that of another job, or of none.
pub(super) const COPIES: &[&str] = &[
    "copy",
    "kopie",
    "copie",
    "copia",
    "duplicate",
    "template",
    "vorlage",
    "example",
    "beispiel",
    "exemple",
    "ejemplo",
    "specimen",
    "muster",
    "dummy",
    "sample",
];

/// Words for a site that are so of every site.
pub(super) const KINDS_OF_SITE: &[&str] = &[
    "site", "here", "there", "place", "location", "address", "premises", "where", "the", "this", "that", "our", "your",
    "my", "a", "at",
];

/// Words for a place of the cure that are so of every such place.
pub(super) const KINDS_OF_PLACE: &[&str] = &[
    "here", "there", "place", "spot", "area", "cure", "curing", "room", "space", "location", "the", "this", "that",
    "a", "level", "flat", "good", "safe", "dry", "quiet", "for", "in", "on", "at",
];

/// What lifts nothing by itself, or only with somebody's back.
pub(super) const NO_GEAR: &[&str] = &[
    "gear",
    "lifting",
    "lift",
    "equipment",
    "tackle",
    "chain",
    "chains",
    "rope",
    "ropes",
    "sling",
    "slings",
    "strap",
    "straps",
    "pallet",
    "pallets",
    "hand",
    "hands",
    "arm",
    "arms",
    "back",
    "muscle",
    "manpower",
    "man",
    "men",
    "people",
    "person",
    "persons",
    "crew",
    "helper",
    "helpers",
    "team",
    "us",
    "we",
    "all",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "strong",
    "big",
    "lads",
    "guys",
    "by",
    "with",
    "from",
    "on",
    "of",
    "and",
    "the",
    "a",
    "beam",
    "hook",
    "bar",
    "bars",
    "lever",
    "levers",
    "roll",
    "rolled",
    "rolling",
    "somehow",
    "carry",
    "carried",
    "lifted",
];

/// Signs that stand in no name of a person: of lists, sums, paths and addresses. A digit is none either.
pub(super) const NO_SIGNS_OF_PERSONS: &[char] = &[
    '/', '\\', '(', ')', '[', ']', '{', '}', '<', '>', '&', '+', '=', '@', '#', ':', ';', '%', '*', '_', '|', '~', '^',
];
