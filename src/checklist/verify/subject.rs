//! What a checklist speaks of: the job that is meant, and the record as it stands now. One that fits neither is no forgery.
//!
//! Must not know signatures, nor how the record of a job is told from others.

use std::collections::BTreeSet;

use super::records::number_of;
use super::{Question, Verification};
use crate::checklist::body::{ChecklistBody, Instants};
use crate::checklist::changes::{FactChange, Kept, changes};
use crate::checklist::links;
use crate::checklist::packs::sha256_hex;
use crate::checklist::reason::{
    EntryName, GoneOn, NotMeant, Reason, RecordDiffers, SelfContradiction, ShopDiffers, TextsDiffer,
};
use crate::document::{Document, Faults};
use crate::record::shop::{self, Shop};
use crate::record::{self, Job};
use crate::vocabulary::names_one_thing;

pub(super) fn check(
    (body, instants): (&ChecklistBody, Option<&Instants>),
    (record, judged): (Option<&Result<Document, Faults>>, Option<&Job>),
    question: &Question<'_>,
    report: &mut Verification,
) {
    if let Some(due) = question.meant.job.filter(|due| !names_one_thing(due, &body.job)) {
        report.bars.push(NotMeant::Job { found: body.job.clone(), due: due.to_owned() }.into());
    }
    if let Some(due) = question.meant.point.filter(|due| *due != body.hold_point) {
        report.bars.push(NotMeant::HoldPoint { found: body.hold_point, due }.into());
    }
    let covers = |due: &String| body.marks().any(|mark| names_one_thing(mark, due));
    let others: Vec<String> = question.meant.assemblies.iter().filter(|due| !covers(due)).cloned().collect();
    if !others.is_empty() {
        let covered = body.marks().map(str::to_owned).collect();
        report.bars.push(NotMeant::Assemblies { due: others, covered }.into());
    }
    let present = question.records.of(body);
    // The digest of the text inside has been held against the digest that the body states.
    let is_inside = |record: &&[u8]| *record == body.inputs.record.text.as_bytes();
    let differs = present.as_ref().ok().filter(|record| !is_inside(record)).copied();
    let now = differs.zip(judged).zip(instants);
    let now = now.map(|((now, judged), instants)| Now::of(body, (judged, instants), now, question)).transpose();
    // What a checklist let happen has happened, and of what the assembly is nothing is otherwise.
    let gone_on = matches!(&now, Ok(Some(Some(Now { done: true, parting: None, .. }))));
    if present.is_ok() && !gone_on {
        shop_file(body, instants, record, question, report);
    }
    match (present, differs) {
        (Err(none), _) => report.bars.push(none),
        (Ok(_), None) => {}
        (Ok(_), Some(_)) if gone_on => {
            let changes = now.ok().flatten().flatten().map(|now| now.changes).unwrap_or_default();
            report.bars.push(Reason::RecordGoneOn(GoneOn { point: body.hold_point, changes }));
        }
        (Ok(_), Some(text)) => {
            let (change, unread) = match now {
                Ok(now) => (now.flatten().and_then(|now| now.parting), None),
                Err(faults) => (None, Some(faults)),
            };
            let first = TextsDiffer::between(&body.inputs.record.text, &String::from_utf8_lossy(text));
            let differs = Box::new(RecordDiffers { first, change, unread, point: body.hold_point });
            // By a HOLD nothing starts: that the record was put right since is what it was for.
            let earlier = !body.passes();
            report.bars.push(if earlier { Reason::RecordEarlier(differs) } else { Reason::RecordChanged(differs) });
        }
    }
    if let Some(record) = record {
        job_number(body, record, report);
    }
}

/// The present record, beside the one that was judged.
struct Now {
    /// Whether what the checklist let happen has happened, by it. Then the record goes on: more is written, and what is
    /// looked at again each day may be otherwise.
    done: bool,
    /// What makes it a record of something else: the first fact of what the assembly is, or, where nothing was done yet, of
    /// all that was known.
    parting: Option<FactChange>,
    /// All that was known then and is otherwise now.
    changes: Vec<FactChange>,
}

impl Now {
    /// Reads the present record; nothing where there is nothing to read it by. It is taken to have been there by the end of
    /// its day: that midnight has passed makes it no other record.
    ///
    /// # Errors
    /// The faults of the record.
    fn of(
        body: &ChecklistBody,
        (judged, Instants { judged_at, zone, .. }): (&Job, &Instants),
        now: &[u8],
        question: &Question<'_>,
    ) -> Result<Option<Self>, Faults> {
        let Some(packs) = question.packs else { return Ok(None) };
        if body.inputs.shop_file.is_some() && question.shop.is_none() {
            return Ok(None);
        }
        let (set, point, at) = (packs.set, body.hold_point, question.at);
        let catalogue = set.catalogue();
        let written = Document::read("the record", now)?;
        // As of its own day: what the days after it say of the shop is of their jobs.
        let by = shop::end_of_its_day(&written, zone).map_or(at, |end| end.max(*judged_at).min(at));
        let whole = shop::expand_written(written, by, question.shop, set, zone, by)?.document;
        let job = record::read(&whole, catalogue, zone)?;
        let Ok(scene) = body.scene(set, &job, at, zone) else { return Ok(None) };
        let acts = links::acts(&scene, point).unwrap_or_default();
        let done = !acts.is_empty() && acts.iter().all(|at| at >= judged_at);
        let otherwise = |kept| changes(catalogue, (judged, *judged_at), &job, None, kept);
        let all = otherwise(Kept::Everything);
        let parting = match point.next().filter(|_| done) {
            Some(seen_from) => otherwise(Kept::ForTheJob { seen_from }).into_iter().find(|change| change.parts),
            None => all.first().cloned(),
        };
        Ok(Some(Self { done, parting, changes: all }))
    }
}

/// Whether what the record draws on still stands in the shop file. Asked only where the record was given: the person
/// who gives none asks for no start. The digest in the checklist is the signer's word until it is compared here: a file
/// of that digest has those entries, or the checklist contradicts itself.
fn shop_file(
    body: &ChecklistBody,
    instants: Option<&Instants>,
    record: Option<&Result<Document, Faults>>,
    question: &Question<'_>,
    report: &mut Verification,
) {
    let Some(part) = body.inputs.shop_file.as_ref() else { return };
    let Some(shop) = question.shop else {
        report.bars.push(Reason::ShopNotGiven { name: part.name.clone() });
        return;
    };
    // Without these it is said elsewhere that the record could not be judged again.
    let (Some(instants), Some(packs), Some(Ok(judged))) = (instants, question.packs, record) else { return };
    let Ok(written) = question.records.read_inside(body) else { return };
    let made = shop::expand(written, Some(shop), packs.set, &instants.zone, instants.judged_at);
    let is_that_file = sha256_hex(shop.document().source().file_bytes()) == part.sha256;
    let differs = match made {
        Ok(_) if !is_that_file && !is_same_shop(&part.text, shop) => ShopDiffers::Head,
        Ok(made) if made.document.to_json() == judged.to_json() => {
            report.shop_elsewhere = !is_that_file;
            return;
        }
        Ok(_) if is_that_file => {
            report.faults.push(SelfContradiction::OtherShopPart.into());
            return;
        }
        Ok(made) => differing(&part.text, &shop.part(&made.used)),
        Err(faults) => ShopDiffers::Unfit(faults),
    };
    report.bars.push(Reason::ShopChanged(differs));
}

/// Whether a shop file is that of the shop whose entries these are, at the place where it was.
fn is_same_shop(part: &str, shop: &Shop) -> bool {
    let part = Document::read("the shop file", part.as_bytes()).and_then(Shop::read_part);
    part.is_ok_and(|part| part.zone() == shop.zone() && part.name() == shop.name())
}

/// The entries of two parts of shop files that differ, by section and mark.
fn differing(before: &str, now: &str) -> ShopDiffers {
    let entries = |text: &str| -> BTreeSet<(EntryName, String)> {
        let part = Document::read("the shop file", text.as_bytes()).and_then(Shop::read_part);
        let of = |shop: &Shop| {
            let named = |(section, mark, text): (&str, Option<&str>, &str)| {
                (EntryName { section: section.to_owned(), mark: mark.map(str::to_owned) }, text.to_owned())
            };
            shop.entries().into_iter().map(named).collect()
        };
        part.as_ref().map(of).unwrap_or_default()
    };
    let (before, now) = (entries(before), entries(now));
    let names: BTreeSet<&EntryName> = before.symmetric_difference(&now).map(|(name, _)| name).collect();
    if names.is_empty() { ShopDiffers::Head } else { ShopDiffers::Entries(names.into_iter().cloned().collect()) }
}

/// The number on the checklist must be the number in the record inside it, as every command reads it: what stands in the
/// text around it, quotes or a comment, is not the number.
fn job_number(body: &ChecklistBody, record: &Result<Document, Faults>, report: &mut Verification) {
    let found = record.as_ref().ok().and_then(number_of);
    if found != Some(body.job.as_str()) {
        report.faults.push(SelfContradiction::OtherJob { found: found.map(str::to_owned) }.into());
    }
}
