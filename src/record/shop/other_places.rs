//! What the sheets of other places say that goes with a thing: what was found wrong with a cage that came from there,
//! and on whose pump a lot has stood.
//!
//! Must not know what is laid over what.

use super::expand::Expander;
use super::nodes::{items, moved, said, said_at, scalar, take};
use super::sections::{CAGES, LOTS, PLACES};
use super::sheets::{CAGE, DAYS, ROUNDS, Sheet};
use super::times::{self, WrittenIn};
use crate::document::{Code, Content, Fault, Node, Span};
use crate::record::catalogue::{component, job};
use crate::units::{Day, Exact, Instant};
use crate::vocabulary::names_one_thing;

/// The sheets of the day, with day and place of the record where it names both.
pub(super) type SheetsOf<'s> = (&'s [Sheet], Option<(Day, &'s str)>);

/// Seconds within which nobody walks rounds at two places: each of them takes minutes (common practice, no source).
const ONE_MINUTE: i64 = 60;

/// A sheet of the day that is of another place.
struct OfOther<'s> {
    index: usize,
    day: Day,
    sheet: &'s Node,
    /// The mark of its place.
    place: String,
    /// The round that tells of which place it is, where the sheet does not.
    round: Option<usize>,
}

impl<'a> Expander<'a> {
    /// The sheets of other places of the days from one on.
    fn sheets_elsewhere(&self, day: Day, place: Option<&str>) -> Vec<OfOther<'a>> {
        let Some(shop) = self.shop else { return Vec::new() };
        let days = items(shop.document().root(), DAYS).iter().enumerate();
        let elsewhere = days.filter_map(|(index, sheet)| {
            let of_day =
                said(sheet, "day").and_then(|of| times::day(of).ok()).filter(|of| self.is_sheet_of(day, *of))?;
            let walked = said(sheet, "round").and_then(|round| shop.round_of(round, Some(of_day)));
            let own = said(sheet, "place");
            let of = own.or_else(|| said(walked?.1, "place")).and_then(scalar)?;
            let round = walked.map(|(round, _)| round).filter(|_| own.is_none());
            (Some(of) != place).then(|| OfOther { index, day: of_day, sheet, place: of.to_owned(), round })
        });
        elsewhere.collect()
    }

    /// Refuses the round of a sheet where the same person is said to have walked that of another place within the same
    /// minute: one of the two was never walked. Judged again by the part of the shop file that was used it stays so, since
    /// what is refused is not judged.
    pub(super) fn walked_at_one_place(&mut self, sheet: &Node, day: Day, place: Option<&str>) {
        let Some((by, at, here)) = self.walker(sheet, day) else { return };
        let elsewhere = self.sheets_elsewhere(day, place);
        let other = elsewhere.iter().find_map(|other| {
            let (walker, then, there) = self.walker(other.sheet, other.day)?;
            let is_near = at.seconds_since(then).abs() < Exact::from_int(ONE_MINUTE);
            (is_near && names_one_thing(by, walker)).then_some(there)
        });
        if let Some(there) = other {
            self.refuse_moved(&walked_twice(by, here, there));
        }
    }

    /// Who walked the round of a sheet, and when, with the place where that is written.
    fn walker<'n>(&self, sheet: &'n Node, day: Day) -> Option<(&'n str, Instant, Span)> {
        let round = said(sheet, "round")?;
        let at = said(round, "at")?;
        let instant = times::meant(at, WrittenIn::Sheet(day), self.zone)?;
        Some((scalar(said(round, "by")?)?, instant, at.span))
    }

    /// Notes a sheet of another place, and by which round it is of that place.
    fn note_other(&mut self, other: &OfOther<'_>) {
        self.note(DAYS, other.index);
        if let Some(round) = other.round {
            self.note(ROUNDS, round);
        }
    }

    /// What the rounds of other places saw of the cage of this job, where it is theirs. Of a cage that was brought from
    /// there only what was found wrong counts: on the way it may have been bent, so where it stands it is looked at
    /// again.
    pub(super) fn sheets_of_the_cage(&mut self, root: &mut Node, day: Day, place: Option<&str>) -> Vec<Sheet> {
        let cage = said(root, CAGE).and_then(|cage| said(cage, CAGES.named_by)).and_then(scalar).map(str::to_owned);
        let Some(cage) = cage else { return Vec::new() };
        let homes = self.homes_of(CAGE, &cage);
        let stands_here = homes.iter().any(|home| place.is_some_and(|place| home.is_called(place)));
        let mut seen = Vec::new();
        for other in self.sheets_elsewhere(day, place) {
            let Some(home) = homes.iter().find(|home| home.is_called(&other.place)) else { continue };
            self.note_other(&other);
            self.note(PLACES.key, home.index());
            let mut sheet = moved(other.sheet, self.base);
            let Content::Map(entries) = &mut sheet.value else { continue };
            entries.retain(|entry| ["day", "round", CAGE].contains(&entry.key.as_str()));
            if !stands_here && !self.finds_damage(&sheet) {
                take(&mut sheet, CAGE);
            }
            let here = std::mem::take(&mut self.elsewhere);
            let mut sheet = self.sheet(root, sheet, other.day);
            self.elsewhere = here;
            sheet.keep_of_round(CAGE, |facts| stands_here || self.finds_damage(facts));
            seen.push(sheet);
        }
        seen
    }

    /// Whether damage of the cage is stated.
    fn finds_damage(&self, of: &Node) -> bool {
        let damage = self.catalogue.spec(job::CAGE_DAMAGE).and_then(|spec| said_at(of, &spec.name));
        damage.is_some_and(|found| !matches!(&found.value, Content::List(items) if items.is_empty()))
    }

    /// Takes out since when the pump draws on a lot, where the sheets of the day have the lot at other places alone: that is
    /// their pump, and what its ratio showed says nothing of the one here.
    pub(super) fn leave_on_other_pump(&mut self, facts: &mut Node, mark: &str, (sheets, of): SheetsOf<'_>) {
        let is_here = sheets.iter().any(|sheet| sheet.names(LOTS.key, mark));
        // A record that names no day or no place draws on no sheet, and none is held against it; where there is no sheet of
        // here, it is asked for with all that it says.
        let Some((day, place)) = of.filter(|_| !is_here && !sheets.is_empty()) else { return };
        let others = self.sheets_elsewhere(day, Some(place));
        let names = |other: &&OfOther<'_>| said(other.sheet, LOTS.key).is_some_and(|lots| said(lots, mark).is_some());
        let Some(other) = others.iter().find(names) else { return };
        let since = self.catalogue.spec(component::ON_PUMP_SINCE);
        let since = since.and_then(|spec| LOTS.within(&spec.name));
        if since.is_some_and(|since| take(facts, since).is_some()) {
            self.note_other(other);
        }
    }
}

fn walked_twice(by: &str, here: Span, there: Span) -> Fault {
    Fault::new(
        Code::ShopWalkedTwice,
        format!("`{by}` is said to have walked the rounds of two places within one minute"),
    )
    .label(here, "this one")
    .label(there, "and this one")
    .help("write for each round when it was begun, and by whom; one that nobody walked, walk now")
}
