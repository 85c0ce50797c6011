//! The shop file to fill in, and the short record that goes with one: every line explained, from the rows.
//!
//! Must not know what is wrong with a file that was filled in.

mod before;
mod explained;
mod read_again;
mod stated;

use std::cell::Cell;
use std::fmt::Write as _;

use before::{Before, further_tyre};
use explained::{RECORD_HEAD, SHOP_HEAD, beside, marks, short_explained, without_card};
use stated::Stated;

use super::Shop;
use super::nodes::{items, said};
use super::sections::{
    BELONGS, CREW, GAUGES, LOOKED, LOTS, MACHINES, MACHINES_OF, MATERIALS, MIX, NOTHING_FOUND, OFF_RIM, PLACES,
    ROUTINES, Routine, SECTIONS, Section, THERMOMETERS, TYRES, UNCERTAINTY, UNLISTED, WALL, WALL_ABOUT, WHEELS,
    day_takes, mix_takes, round_takes,
};
use super::{bench, expand, routines, sheets};
use crate::document::Node;
use crate::document::prose::{in_quotes, laid_out};
use crate::record::catalogue::{GROUPS, Wanted};
use crate::record::template::{COLUMNS, flow, head_of_record, lines};
use crate::record::{Catalogue, FactKey, FactSpec};
use crate::vocabulary::{HoldPoint, Subject};

/// A shop file with nothing in it: every section, every entry and every fact explained.
pub fn blank_shop(catalogue: &Catalogue) -> String {
    let mut page = ShopPage { out: SHOP_HEAD.to_owned(), catalogue, of_a_day: false };
    for section in SECTIONS {
        page.section(section);
    }
    page.routines();
    page.of_a_day = true;
    page.round();
    page.sheet();
    page.out
}

/// A short record to fill in: a line for every fact that the shop file does not state, and for every mark.
/// From an old record the place, the people and the instruments are taken over; what it names for a tyre is only told beside
/// the line, since somebody has to look whether it came again.
pub fn blank_short(catalogue: &Catalogue, shop: &Shop, old: Option<&Node>) -> String {
    let mut page = ShopPage { out: format!("{RECORD_HEAD}{}", head_of_record()), catalogue, of_a_day: true };
    let stated = Stated { catalogue, root: shop.document().root() };
    let before = Before(old);
    page.comment(0, "The day of the job.");
    page.line(0, "day:");
    page.comment(0, &format!("The place; one of: {}.", marks(shop, &PLACES)));
    let place = old.and_then(|old| said(old, "place")).map(flow).unwrap_or_default();
    page.line(0, &format!("place: {place}"));
    page.comment(
        0,
        &format!(
            "When, and with what, the readings of this record were taken that do not say it themselves; the gauge is also the one \
             that will show the target pressure. Thermometers: {}; gauges: {}.",
            marks(shop, &THERMOMETERS),
            marks(shop, &GAUGES)
        ),
    );
    let [thermometer, gauge] = ["thermometer", "gauge"].map(|key| before.read_with(key));
    page.line(0, &format!("read: {{at: , thermometer: {thermometer}, gauge: {gauge}}}"));
    page.comment(0, &format!("Everyone who takes part, by mark, such as `[OV, TR]`; of: {}.", marks(shop, &CREW)));
    page.line(0, &format!("people: {}", before.people(shop)));
    // What is asked once the pump has stopped stands at the end.
    let heads = lines(catalogue, Subject::Job, "", &|key, spec| stated.asks_job(key, spec));
    let of_head = |spec: &FactSpec, late: bool| {
        let head = spec.name.split('.').next().unwrap_or_default();
        heads.iter().any(|line| line.head == head && (line.due > HoldPoint::BeforeFill) == late)
    };
    let asked = |key: FactKey, spec: &FactSpec, late: bool| stated.asks_job(key, spec) && of_head(spec, late);
    let belongs: Opening<'_> = &|page, place| {
        page.belongs(shop, place);
        page.read_again(&stated, Subject::Job, place, 2);
    };
    page.group(Subject::Job, "", 0, &|key, spec| asked(key, spec, false), belongs);
    page.out.push_str("\n# one entry for each tyre on its wheel\nassemblies:\n");
    page.short_assembly(shop, &stated, &before);
    page.out.push_str("\n# the two liquids\ncomponents:\n");
    for (index, side) in expand::SIDES.into_iter().enumerate() {
        page.line(2, &format!("{side}:"));
        if index == 0 {
            page.comment(4, &format!("The mark of the lot; one of: {}.", marks(shop, &LOTS)));
        }
        page.line(4, "lot:");
        let wanted = |key: FactKey, spec: &FactSpec| spec.name != "lot" && !stated.of_lots(key, &spec.name);
        page.facts(Subject::Component, "", 4, index == 0, &wanted, &|_, _| {});
        page.read_again(&stated, Subject::Component, "", 4);
    }
    page.out.push_str("\n# -- when the pump has stopped\n");
    page.group(Subject::Job, "", 0, &|key, spec| asked(key, spec, true), belongs);
    page.out
}

/// Whether a group is the look at the assembly in the cage, which has one line.
fn is_seated(subject: Subject, place: &str) -> bool {
    subject == Subject::Assembly && place == bench::SEATED_AT
}

/// Writes a line of its own below the heading of a group.
type Opening<'o> = &'o dyn Fn(&mut ShopPage<'_>, &str);

struct ShopPage<'a> {
    out: String,
    catalogue: &'a Catalogue,
    /// Whether a time stands on a day of its own, so that it need not say one.
    of_a_day: bool,
}

impl ShopPage<'_> {
    fn line(&mut self, indent: usize, text: &str) {
        let _ = writeln!(self.out, "{}", format!("{:indent$}{text}", "").trim_end());
    }

    fn comment(&mut self, indent: usize, text: &str) {
        let before = format!("{:indent$}# ", "");
        let _ = writeln!(self.out, "{}", laid_out(text, COLUMNS, &before, &before));
    }

    fn head(&mut self, key: &str, about: &str) {
        self.out.push('\n');
        self.comment(0, about);
        self.line(0, &format!("{key}:"));
    }

    fn section(&mut self, section: &Section) {
        self.head(section.key, section.about);
        self.comment(
            2,
            &format!("The mark of the {}, by which records name it, such as `{}`.", section.one, section.example),
        );
        self.line(2, "- mark:");
        if *section == LOTS {
            self.comment(4, &format!("Which side of the mix it is (one of: {}).", in_quotes(expand::SIDES)));
            self.line(4, "side:");
            self.comment(4, &format!("The mark of the material whose side it is, such as `{}`.", MATERIALS.example));
            self.line(4, "material:");
        }
        if [&MACHINES, &WHEELS].contains(&section) {
            self.comment(
                4,
                "Further machines that it is good for, such as `[loader 5, loader 6]`; not the one of its mark, and none that has \
                 a card of its own.",
            );
            self.line(4, &format!("{MACHINES_OF}:"));
        }
        if *section == PLACES {
            for (other, key) in BELONGS {
                self.comment(
                    4,
                    &format!(
                        "The mark of the {} that belongs to this place, such as `{}`; a record may name another.",
                        other.one, other.example
                    ),
                );
                self.line(4, &format!("{key}:"));
            }
            self.comment(4, &format!("{WALL_ABOUT} Such as `{}`.", WALL.0.example));
            self.line(4, &format!("{}:", WALL.1));
            for of in UNLISTED {
                self.comment(4, &format!("{} Such as `{{{UNCERTAINTY}: {}}}`.", of.about, of.example));
                self.line(4, &format!("{}: {{{UNCERTAINTY}: }}", of.group));
            }
        }
        // What is done from time to time is written once, in the log of routines.
        let takes = |key: FactKey, spec: &FactSpec| section.takes(key, spec) && !Routine::is_of(key);
        if *section == MATERIALS {
            for (index, side) in expand::SIDES.into_iter().enumerate() {
                self.line(4, &format!("{side}:"));
                self.facts(section.subject, section.base, 6, index == 0, &takes, &|_, _| {});
            }
            self.line(4, &format!("{MIX}:"));
            self.facts(Subject::Job, "mix.", 6, true, &mix_takes, &|_, _| {});
        } else {
            self.facts(section.subject, section.base, 4, true, &takes, &|_, _| {});
        }
    }

    fn routines(&mut self) {
        self.head(
            routines::KEY,
            "The log of what is done from time to time. `of` is the mark of what it was done to, `at` the day, with the time \
             where an hour matters, `by` who did it, of a calibration the laboratory; a calibration says under `due` its last day, and a check of the ratio under \
             `found` what it showed: `within the data sheet` or `off`. The latest row counts.",
        );
        for routine in ROUTINES {
            self.line(2, &routine.row("", ""));
        }
    }

    fn round(&mut self) {
        self.head(
            sheets::ROUNDS,
            "What whoever walks round in the morning looks at, and how it must be. The sheet of a day names the round that was \
             walked; what was found otherwise is written there and counts before it.",
        );
        self.comment(2, &format!("The mark of the round, such as `{}`.", sheets::EXAMPLE_ROUND));
        self.line(2, "- mark:");
        self.comment(
            4,
            &format!(
                "The mark of the place at which it is walked, such as `{}`; empty where it is good for all of them.",
                PLACES.example
            ),
        );
        self.line(4, "place:");
        self.comment(4, "Who is met on it, by their marks, besides whoever walks it, such as `[OV, TR]`.");
        self.line(4, &format!("{}:", sheets::MET));
        self.group(Subject::Job, "", 4, &round_takes, &|_, _| {});
        for (key, subject, about) in [
            (
                "each_lot",
                Subject::Component,
                "What is so of each lot that the sheet of the day names; what came later says it itself.",
            ),
            (
                "each_person",
                Subject::Person,
                "What is so of each person whom the round meets or the sheet of the day names.",
            ),
        ] {
            self.comment(4, about);
            self.line(4, &format!("{key}:"));
            self.group(subject, "", 6, &round_takes, &|_, _| {});
        }
    }

    fn sheet(&mut self) {
        self.head(sheets::DAYS, "The sheets of days: values that are good for all jobs of the day.");
        self.comment(2, "The day, such as `2026-03-04`.");
        self.line(2, "- day:");
        self.comment(
            4,
            "The mark of the place; empty where its round says it, or where the sheet is good for all of them.",
        );
        self.line(4, "place:");
        self.comment(
            4,
            &format!(
                "The round that was walked, when the cage was looked at on it, and who walked it. Such as `{{mark: {}, at: 07:10, \
                 by: {}}}`; its mark may be left empty where there is one round only.",
                sheets::EXAMPLE_ROUND,
                CREW.example
            ),
        );
        self.line(4, "round: {mark: , at: , by: }");
        self.comment(
            4,
            "When, and with what, the readings were taken that do not say it themselves. Such as `{at: 08:55, thermometer: T-1}`. \
             The air was read on the thermometer that hangs at the place, if one does. One thermometer is in one place at a \
             time: where it read the lots and the air, the air says its own time. What is read again later in the day is a sheet of its own, of the same day, with the later time and what was \
             read; the record may say it as well. The later reading counts.",
        );
        self.line(4, "read: {at: , thermometer: }");
        // What a round says is written here only where it was found otherwise.
        let readings = |key: FactKey, spec: &FactSpec| day_takes(key, spec) && !round_takes(key, spec);
        self.group(Subject::Job, "", 4, &readings, &|_, _| {});
        self.comment(4, &format!("What is so today of each lot, behind its mark. Such as `{}`.", sheets::EXAMPLE_LOTS));
        self.line(4, "lots:");
        self.comment(
            4,
            &format!(
                "What of a person is otherwise than on the round, behind the mark. Such as `{}`.",
                sheets::EXAMPLE_CREW
            ),
        );
        self.line(4, "crew:");
    }

    /// The marks of what belongs to a place, where a record names its own.
    fn belongs(&mut self, shop: &Shop, place: &str) {
        for (section, _) in BELONGS.iter().filter(|(_, key)| *key == place) {
            let named = items(shop.document().root(), PLACES.key).iter().all(|entry| said(entry, place).is_some());
            if !named {
                self.comment(2, &format!("The mark of the {}; one of: {}.", section.one, marks(shop, section)));
                self.line(2, "mark:");
            }
        }
    }

    fn short_assembly(&mut self, shop: &Shop, stated: &Stated<'_>, before: &Before<'_>) {
        self.comment(4, &format!("What the crew calls this assembly.{}", before.names("mark", None)));
        self.line(2, "- mark:");
        self.comment(4, "For a further one: the mark of another assembly of this record that this one is like, but for what is written here.");
        self.line(4, "like:");
        let named = before.names("machine", None);
        self.comment(4, &format!("{}{named}", without_card(self.catalogue, shop, &MACHINES)));
        self.line(4, "machine:");
        let finds = in_quotes(bench::find_words(self.catalogue));
        self.comment(4, &format!("The look at the parts as they lay apart on the bench: when and who; `found: []` says that casing, inside, rim, wheel and valve are sound, dry and clean. What was found is named there, such as `found: [crack]`; the rest then counts as looked at. The words: {finds}."));
        self.line(4, "bench: {at: , by: , found: }");
        let seen = LOOKED.iter().flat_map(|(_, facts)| facts.iter().copied()).chain([OFF_RIM]);
        let looked: Vec<FactKey> = seen.collect();
        let wanted = |key: FactKey, spec: &FactSpec| {
            spec.name != "mark"
                && !looked.contains(&key)
                && !NOTHING_FOUND.iter().any(|(fact, _)| *fact == key)
                && ![&TYRES, &WHEELS, &MACHINES].into_iter().any(|section| stated.on_entries(section, key))
        };
        let has_wheel = Cell::new(false);
        self.group(Subject::Assembly, "", 4, &wanted, &|page, place| {
            has_wheel.set(has_wheel.get() || place == "wheel");
            for (section, key) in super::assemblies::CARDS.iter().filter(|(section, _)| **section != MACHINES) {
                if *key == place {
                    let named = before.names(key, Some(section));
                    page.comment(6, &format!("{}{named}", without_card(page.catalogue, shop, section)));
                    page.line(6, "card:");
                }
            }
        });
        if !has_wheel.get() {
            let named = before.names("wheel", Some(&WHEELS));
            self.comment(4, &format!("{}{named}", without_card(self.catalogue, shop, &WHEELS)));
            self.line(4, "wheel:");
        }
        self.comment(
            4,
            "A further tyre that is like the first one: write these lines below it without their `#`, with what was looked at on \
             it. What stays as it is on the first one is not written again.",
        );
        for line in further_tyre(self.catalogue, &wanted) {
            self.line(2, &format!("# {line}"));
        }
    }

    fn group(&mut self, subject: Subject, prefix: &str, indent: usize, wanted: Wanted<'_>, opening: Opening<'_>) {
        self.facts(subject, prefix, indent, true, wanted, opening);
    }

    fn facts(
        &mut self,
        subject: Subject,
        prefix: &str,
        indent: usize,
        explains: bool,
        wanted: Wanted<'_>,
        opening: Opening<'_>,
    ) {
        let mut stage = None;
        for line in lines(self.catalogue, subject, prefix, wanted) {
            // A shop file is not walked in the order of the work.
            let due = line.heading_behind(&mut stage).filter(|_| explains && self.of_a_day);
            if let Some(due) = due {
                self.comment(indent, &due);
            }
            if let Some(spec) = line.fact {
                if explains {
                    let key = self.catalogue.find(subject, &spec.name).filter(|_| self.of_a_day);
                    let told = short_explained(spec, self.of_a_day);
                    self.comment(indent, &format!("{told}{}", key.map(beside).unwrap_or_default()));
                }
                self.line(indent, &format!("{}:", line.head));
            } else {
                let head = line.head;
                let place = format!("{prefix}{head}");
                let about = GROUPS.iter().find(|(of, group, _)| *of == subject && *group == place);
                if let Some((_, _, about)) = about.filter(|_| explains) {
                    self.comment(indent, about);
                }
                if is_seated(subject, &place) {
                    self.comment(
                        indent,
                        "When it was seen, from outside the path of flying parts, that everything is seated, and who saw it. A \
                         lone time is of whoever looked at the parts on the bench.",
                    );
                    self.line(indent, &format!("{head}: {{at: , by: }}"));
                    continue;
                }
                self.line(indent, &format!("{head}:"));
                opening(self, &place);
                self.facts(subject, &format!("{place}."), indent + 2, explains, wanted, &|_, _| {});
            }
        }
    }
}
