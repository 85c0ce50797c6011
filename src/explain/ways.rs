//! What clears a finding, as data: acts, ways of which one will do, a price, and that an entry may have been misread.
//!
//! It is drawn in one place, so that no form looks into its words. Must not know a record or how the ways were found.

use std::fmt;

use crate::document::prose::joined;
use crate::record::catalogue::Thing;

/// One line of what clears a finding; the lines of a finding go on from one another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct ClearsLine {
    pub(super) joint: GoesOn,
    pub(super) says: Says,
}

/// How a line goes on from those before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum GoesOn {
    /// It begins.
    Begins,
    /// It must come about as well.
    And,
    /// It is enough in place of the others.
    Or,
    /// It is enough in place of the others, in a case that it names.
    OrWhere,
}

/// What a line says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Says {
    /// What must come about.
    Told(String),
    /// One act.
    Act(SaidAct),
    /// The target is put right first, and the rest is done as told.
    TargetFirst(SaidAct),
    /// Ways of which one will do, the last of them perhaps at a price.
    Ways(Vec<SaidWay>, Option<Price>),
    /// These are recorded, and show that the rule does not apply.
    DoesNotApply(Vec<String>),
    /// An entry that was misread is corrected.
    Misread,
}

/// A way: acts that all belong to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct SaidWay(pub(super) Vec<SaidAct>);

/// A way that puts other rules out of order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Price {
    pub(super) way: SaidWay,
    pub(super) rules: Vec<String>,
    /// Whether there is no other way.
    pub(super) alone: bool,
}

/// An act, as it is told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct SaidAct {
    pub(super) deed: Deed,
    /// What the record says of it now; of several such acts together.
    pub(super) on_record: Vec<String>,
}

/// What is done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Deed {
    /// What is past can only have been misread; if not, the thing stays closed.
    StaysClosed,
    /// More filling brings it about, while it flows.
    FilledOn,
    /// Another thing takes the place of this one.
    Exchanged(Thing),
    /// It says more than can be so, which is sooner misread than so; or another thing takes its place.
    SoonerMisread(Thing),
    /// What this is called was misread: nothing else is to be done about it.
    Misread(String),
    /// The person who did it signs.
    Signed,
    /// It is done again.
    DoneAgain,
    /// It is done, and the time of what was done stays.
    TimeStays,
    /// It is done, and measured or read again.
    ReadAgain,
    /// The same of several numbers that hang together.
    EachReadAgain,
    /// It is done, and looked at again.
    LookedAtAgain,
    /// What it comes to, in words of its own.
    Told(String),
}

impl ClearsLine {
    /// The same without what is on record of what it names.
    pub(super) fn without_record(&self) -> Self {
        let act = |act: &SaidAct| SaidAct { deed: act.deed.clone(), on_record: Vec::new() };
        let way = |way: &SaidWay| SaidWay(way.0.iter().map(act).collect());
        let says = match &self.says {
            Says::Act(told) => Says::Act(act(told)),
            Says::Ways(ways, price) => {
                let price = price.as_ref().map(|price| Price { way: way(&price.way), ..price.clone() });
                Says::Ways(ways.iter().map(way).collect(), price)
            }
            other => other.clone(),
        };
        Self { joint: self.joint, says }
    }

    /// Whether it says that an entry may have been misread, which a form may say once for all.
    pub(super) fn is_of_misreading(&self) -> bool {
        self.says == Says::Misread
    }

    /// Whether it says itself who corrects what was misread.
    pub(super) fn tells_of_misreading(&self) -> bool {
        let tells = |act: &SaidAct| act.deed.tells_of_misreading();
        match &self.says {
            Says::Act(act) => tells(act),
            Says::Ways(ways, price) => {
                ways.iter().chain(price.as_ref().map(|price| &price.way)).any(|way| way.0.iter().any(tells))
            }
            Says::TargetFirst(_) | Says::Told(_) | Says::DoesNotApply(_) | Says::Misread => false,
        }
    }
}

impl SaidWay {
    pub(super) fn stays_closed(&self) -> bool {
        self.0.iter().any(|act| act.deed == Deed::StaysClosed)
    }

    /// Whether nothing is done on it but that what was misread is corrected.
    pub(super) fn is_of_misreading(&self) -> bool {
        self.0.iter().all(|act| matches!(act.deed, Deed::Misread(_)))
    }

    /// Whether an entry is corrected on it, or the thing exchanged that it was read off, and nothing else is done.
    pub(super) fn is_of_entries(&self) -> bool {
        self.0.iter().all(|act| matches!(act.deed, Deed::Misread(_) | Deed::SoonerMisread(_)))
    }

    /// A way by its acts in words; numbers that are read again together are said together, and so is what only can have been
    /// misread.
    pub(super) fn of(acts: impl Iterator<Item = SaidAct>) -> Self {
        let mut said: Vec<SaidAct> = Vec::new();
        for act in acts {
            let together = |known: &SaidAct| match (&known.deed, &act.deed) {
                (Deed::ReadAgain | Deed::EachReadAgain, Deed::ReadAgain | Deed::EachReadAgain) => {
                    Some(Deed::EachReadAgain)
                }
                (Deed::StaysClosed, Deed::StaysClosed) => Some(Deed::StaysClosed),
                _ => None,
            };
            match said.iter_mut().find_map(|known| Some((together(known)?, known))) {
                Some((deed, known)) => {
                    known.deed = deed;
                    known.on_record.extend(act.on_record);
                }
                None => said.push(act),
            }
        }
        Self(said)
    }

    /// Takes another way in that differs in nothing but what is on record of its last act; gives it back where it does not.
    pub(super) fn merge(&mut self, other: Self) -> Option<Self> {
        let (Some((own, own_before)), Some((last, before))) = (self.0.split_last_mut(), other.0.split_last()) else {
            return Some(other);
        };
        if own.deed != last.deed || own_before != before {
            return Some(other);
        }
        for said in &last.on_record {
            if !own.on_record.contains(said) {
                own.on_record.push(said.clone());
            }
        }
        None
    }
}

impl Deed {
    const fn tells_of_misreading(&self) -> bool {
        matches!(self, Self::StaysClosed | Self::SoonerMisread(_) | Self::Misread(_))
    }
}

impl SaidAct {
    pub(super) const fn told(text: String) -> Self {
        Self { deed: Deed::Told(text), on_record: Vec::new() }
    }
}

/// Things in a row, with `and` in front of the last.
fn listed(things: &[String]) -> String {
    match things.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => things.concat(),
    }
}

impl fmt::Display for ClearsLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self.joint {
            GoesOn::Begins => "",
            GoesOn::And => "and ",
            GoesOn::Or => "or ",
            GoesOn::OrWhere => "or, ",
        })?;
        self.says.fmt(f)
    }
}

impl fmt::Display for Says {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Told(text) => f.write_str(text),
            Self::Act(act) => act.fmt(f),
            Self::TargetFirst(act) => {
                write!(f, "the target is put right first: {act}; after that this is done as told")
            }
            Self::Ways(ways, None) => f.write_str(&joined(ways, "; or ")),
            Self::Ways(ways, Some(price)) if ways.is_empty() => price.fmt(f),
            Self::Ways(ways, Some(price)) => write!(f, "{}; or {price}", joined(ways, "; or ")),
            Self::DoesNotApply(open) => {
                let (are, show) = if open.len() == 1 { ("is", "shows") } else { ("are", "show") };
                write!(f, "{} {are} recorded and {show} that the rule does not apply", listed(open))
            }
            Self::Misread => f.write_str("where an entry was misread, whoever read it corrects it"),
        }
    }
}

impl fmt::Display for SaidWay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&joined(&self.0, ", and "))
    }
}

impl fmt::Display for Price {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // What is past is not done again: only entries can be put right, or its makers are asked.
        if self.way.0.iter().any(|act| act.deed == Deed::StaysClosed) {
            return write!(
                f,
                "it was misread, and whoever read it corrects it; what was written down with it is then corrected too, since {} \
                 would hold the job; otherwise it stays closed and out of use, and the makers are asked",
                joined(&self.rules, " and ")
            );
        }
        let more = if self.alone { "more than one thing is put right" } else { "more is put right" };
        write!(f, "{more}: once {}, {} would hold the job", self.way, self.rules.join(" and "))
    }
}

impl fmt::Display for SaidAct {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.deed.fmt(f)?;
        if self.on_record.is_empty() { Ok(()) } else { write!(f, " ({})", self.on_record.join("; ")) }
    }
}

impl fmt::Display for Deed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::StaysClosed => {
                "it was misread, and whoever read it corrects it; otherwise it stays closed and out of use, and the makers \
                 are asked"
            }
            Self::FilledOn => {
                "it is filled on as told within the pot life; else it stays closed and out of use, and its maker is asked"
            }
            Self::Exchanged(thing) => exchanged(*thing),
            Self::SoonerMisread(thing) => {
                return write!(f, "it was misread, and whoever read it corrects it; or {}", shown_otherwise(*thing));
            }
            Self::Misread(name) => return write!(f, "{name} was misread, and whoever read it corrects it"),
            Self::Signed => "this is done, and whoever does it signs with their own name",
            Self::DoneAgain => "it is done again, and says when",
            Self::TimeStays => "this is done; the time of what was done is not moved",
            Self::ReadAgain => "this is done, and it is measured or read again",
            Self::EachReadAgain => "this is done, and each of them is measured or read again",
            Self::LookedAtAgain => "this is done, and it is looked at again",
            Self::Told(text) => text,
        })
    }
}

/// That another thing takes the place of one.
const fn exchanged(thing: Thing) -> &'static str {
    match thing {
        Thing::Tyre => "a tyre that suits is fitted",
        Thing::Rim => "a rim that suits is fitted",
        Thing::Wheel => "a wheel that suits is fitted",
        Thing::Container => "containers that suit are used",
        Thing::Mix => "a mix that suits is used",
        Thing::Gauge => "a gauge that suits is used",
        Thing::Thermometer => "a thermometer that suits is used",
        Thing::Hygrometer => "a hygrometer that suits is used",
        Thing::Cage => "a cage that is rated for it is used",
        Thing::Gear => "gear that may carry it is used",
        Thing::Person => "somebody else does it",
    }
}

/// That another thing takes the place of one that says what can hardly be so.
const fn shown_otherwise(thing: Thing) -> &'static str {
    match thing {
        Thing::Tyre => "a tyre is fitted whose marking shows otherwise",
        Thing::Rim => "a rim is fitted whose marking shows otherwise",
        Thing::Wheel => "a wheel is fitted whose marking shows otherwise",
        Thing::Container => "containers are used whose label shows otherwise",
        Thing::Mix => "a mix is used whose data sheet shows otherwise",
        Thing::Gauge => "a gauge is used whose label shows otherwise",
        Thing::Thermometer => "a thermometer is used whose label shows otherwise",
        Thing::Hygrometer => "a hygrometer is used whose label shows otherwise",
        Thing::Cage => "a cage is used whose plate shows otherwise",
        Thing::Gear => "gear is used whose plate shows otherwise",
        Thing::Person => "somebody else does it",
    }
}
