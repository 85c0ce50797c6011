//! Showing: what a signed checklist says, for people who have none of the shop's tools. It decides nothing.
//!
//! The file names packs by their digests; what packs that are at hand say of its rules stands beside what it says
//! itself. Must not know whether anything may start.

mod asked;
mod permit;

use std::collections::BTreeMap;
use std::sync::Arc;

use super::editions::Editions;
use super::permit_line::{PermitLine, SignerName};
use super::verify::is_a_checklist;
use super::world::NamedBytes;
use super::{Refusal, packs};
use crate::checklist::Reason;
use crate::checklist::body::met::MetName;
use crate::checklist::body::{ChecklistBody, Instants};
use crate::checklist::evidence::EvidenceLines;
use crate::checklist::filled::{Filled, not_covered};
use crate::checklist::jws::Envelope;
use crate::checklist::packs::{PackPart, parts};
use crate::checklist::trust::Trust;
use crate::document::Fault;
use crate::engine::{Aims, Judgement, Scene};
use crate::explain::Summary;
use crate::pack::{Limit, Pack, PackSet, Rule, rule_code};
use crate::record;
use crate::units::Instant;
use crate::vocabulary::{HoldPoint, Kind, Outcome, Role};

use asked::AskedOfLines;
pub use asked::{AskedBy, LimitThen, LimitUse, Ways};
pub use permit::{PermitForm, PermitStanding, ShowPermitOrder, ShownPermit};

/// What is to be shown, and by what.
#[derive(Debug)]
pub struct ShowOrder {
    /// The checklist.
    pub checklist: NamedBytes,
    /// The local packs that judged as well, where they are at hand.
    pub packs: Vec<NamedBytes>,
    /// Editions of packs that are no longer in force, each by its files.
    pub editions: Vec<Vec<NamedBytes>>,
    /// The trust file that names people, where it is at hand.
    pub trust: Option<Trust>,
}

/// A checklist that could be read.
#[derive(Debug)]
pub struct Shown {
    /// What it says.
    pub body: ChecklistBody,
    /// Where it contradicts itself.
    pub contradictions: Vec<Reason>,
    /// The signatures in their order.
    pub signatures: Vec<Result<SignatureLine, Reason>>,
    /// The permits that it relies on.
    pub permits: Vec<PermitLine>,
    /// The trust file that names people, by its shop and version.
    pub names_by: Option<(String, i64)>,
    /// The counts and figures that were shown to the person who signed, worked out again from the record inside, where
    /// every pack is at hand and the record can be judged by them.
    pub proposed: Option<Summary>,
    /// The assemblies of the record that it does not cover, where the record can be read.
    pub not_covered: Vec<Filled>,
    /// What the assemblies are brought to, where that can be worked out again.
    pub aims: Option<Aims>,
    /// Why the rules of the hold point that do not apply do not, by their codes, where that can be told.
    left_out: Option<BTreeMap<String, WhyNot>>,
    /// What the packs tell of the lines, where the record can be judged by them.
    asked: Option<AskedOfLines>,
    books: Vec<Book>,
}

/// A rule that the hold point asks for and that did not apply.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotApplying<'s> {
    /// `pack/rule`.
    pub code: String,
    /// Its title.
    pub title: &'s str,
    /// Why it did not.
    pub why: &'s WhyNot,
}

/// Why a rule did not apply to a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WhyNot {
    /// What the record says leaves nothing to look for: lines of evidence, each once.
    Said(Vec<String>),
    /// The record lists nothing that it speaks of, in the list of this name.
    NobodyListed(&'static str),
    /// It was not in force on the day of the start.
    NotInForce,
}

/// A signature as people read it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SignatureLine {
    /// Whose key it is.
    pub who: SignerName,
    /// The role claimed.
    pub role: Role,
    /// The instant claimed.
    pub at: Instant,
    /// By the trust file, why it does not count; nothing where there is no trust file.
    pub fault: Option<Reason>,
    /// Whether, by the trust file, the key has been revoked since.
    pub revoked: bool,
}

/// A pack of the checklist.
#[derive(Debug)]
struct Book {
    part: PackPart,
    /// The set that it was found in and its position there, if it is at hand.
    found: Option<(Arc<PackSet>, usize)>,
}

impl Book {
    /// The code of one of its rules, `pack/rule`.
    fn code_of(&self, rule: &Rule) -> String {
        rule_code(&self.part.name, &rule.name)
    }

    fn pack(&self) -> Option<&Pack> {
        self.found.as_ref().and_then(|(set, place)| set.packs().get(*place))
    }

    fn rule(&self, name: &str) -> Option<&Rule> {
        self.pack()?.rules.iter().find(|rule| rule.name == name)
    }
}

/// Reads a checklist for showing it.
///
/// # Errors
/// The faults of the packs; the reason why the file is no checklist in exact form.
pub fn show(order: &ShowOrder) -> Result<Shown, Refusal> {
    is_a_checklist(&order.checklist)?;
    let set = Arc::new(packs(&order.packs)?);
    let at_hand = parts(&set);
    let refused = |fault: Fault| Refusal::from(vec![Reason::from(fault)]);
    let envelope =
        Envelope::read(Kind::Checklist, &order.checklist.label(), &order.checklist.bytes).map_err(refused)?;
    let body: ChecklistBody = envelope.body().map_err(refused)?;
    let trust = order.trust.as_ref();
    let old = Editions::read(&order.editions)?.set(body.packs(), &set);
    let book = |part: &PackPart| {
        let of = |set: &Arc<PackSet>, parts: &[PackPart]| {
            parts.iter().position(|known| known == part).map(|place| (Arc::clone(set), place))
        };
        let found = of(&set, &at_hand).or_else(|| of(old.as_ref()?, body.packs()));
        Book { part: part.clone(), found }
    };
    let all = if at_hand == body.packs() { Some(&set) } else { old.as_ref() };
    let (instants, contradictions) = body.contradictions();
    let again = all.zip(instants).and_then(|(set, instants)| judged(&body, set, &instants));
    let (proposed, aims, left_out, asked, not_covered) = again.map_or((None, None, None, None, Vec::new()), |again| {
        (Some(again.proposed), Some(again.aims), Some(again.left_out), Some(again.asked), again.not_covered)
    });
    Ok(Shown {
        contradictions,
        proposed,
        aims,
        not_covered,
        left_out,
        asked,
        signatures: SignatureLine::all(&envelope, trust),
        permits: PermitLine::all(&body, trust),
        names_by: trust.map(|trust| (trust.shop().to_owned(), trust.version())),
        books: body.packs().iter().map(book).collect(),
        body,
    })
}

/// What a record inside a checklist comes to at its instant.
struct JudgedAgain {
    proposed: Summary,
    aims: Aims,
    not_covered: Vec<Filled>,
    left_out: BTreeMap<String, WhyNot>,
    asked: AskedOfLines,
}

fn judged(body: &ChecklistBody, set: &PackSet, instants: &Instants) -> Option<JudgedAgain> {
    let document = body.whole_record(set, instants).ok()?;
    let job = record::read(&document, set.catalogue(), &instants.zone).ok()?;
    let scene = body.scene(set, &job, instants.judged_at, &instants.zone).ok()?;
    let judgement = scene.judge();
    Some(JudgedAgain {
        proposed: Summary::new(&scene, &judgement).with_permitted(body.permitted()),
        aims: scene.aims(),
        not_covered: not_covered(&job, &body.assemblies),
        left_out: left_out(&scene, &judgement),
        asked: AskedOfLines::of(&scene, &judgement),
    })
}

/// The rules that the hold point asks for and that apply to nothing of the job, by their codes.
fn left_out(scene: &Scene<'_>, judgement: &Judgement) -> BTreeMap<String, WhyNot> {
    let mut found = BTreeMap::new();
    for (pack, of) in scene.packs().packs().iter().enumerate() {
        let asked = of.rules.iter().enumerate().filter(|(_, rule)| rule.asked_at.contains(scene.hold_point()));
        for (place, rule) in asked {
            let of_rule = || judgement.findings.iter().filter(|finding| (finding.pack, finding.rule) == (pack, place));
            if of_rule().any(|finding| finding.outcome != Outcome::DoesNotApply) {
                continue;
            }
            let mut lines: Vec<String> = Vec::new();
            for line in of_rule().flat_map(|finding| EvidenceLines::of(scene, finding).applies) {
                if !lines.contains(&line) {
                    lines.push(line);
                }
            }
            let why = match rule.covers.record_key() {
                _ if !scene.in_force(rule) => WhyNot::NotInForce,
                Some(list) if lines.is_empty() => WhyNot::NobodyListed(list),
                _ => WhyNot::Said(lines),
            };
            found.insert(rule_code(&of.name, &rule.name), why);
        }
    }
    found
}

impl Shown {
    /// The packs of the checklist, each with whether it is at hand.
    pub fn packs(&self) -> impl Iterator<Item = (&PackPart, bool)> {
        self.books.iter().map(|book| (&book.part, book.found.is_some()))
    }

    /// The rule of a code, `pack/rule`, where its pack is at hand.
    pub fn rule(&self, code: &str) -> Option<&Rule> {
        let (pack, rule) = code.split_once('/')?;
        self.book(Some(pack))?.rule(rule)
    }

    /// The rule that is met, with its code, where its pack is at hand.
    pub fn met_rule(&self, name: &MetName) -> Option<(String, &Rule)> {
        let book = self.book(name.pack.as_deref())?;
        book.rule(&name.rule).map(|rule| (book.code_of(rule), rule))
    }

    /// The book of a pack by its name, or the first one.
    fn book(&self, pack: Option<&str>) -> Option<&Book> {
        match pack {
            None => self.books.first(),
            Some(pack) => self.books.iter().find(|book| book.part.name == pack),
        }
    }

    /// A limit by its name as lines have it, with its pack where that is not the first.
    pub fn limit(&self, name: &str) -> Option<&Limit> {
        let (pack, name) = name.split_once('/').map_or((None, name), |(pack, name)| (Some(pack), name));
        let (set, place) = self.book(pack)?.found.as_ref()?;
        set.limits().iter().find(|limit| limit.pack == *place && limit.name == name)
    }

    /// The rules that asked for this of a fact that stands among the values, under the word of what they speak of; nothing
    /// where that cannot be told, for want of a pack or of a record that can be judged.
    pub fn asked_by(&self, of: &str, fact: &str, asked: &str) -> Option<&[AskedBy]> {
        Some(self.asked.as_ref()?.by(of, fact, asked))
    }

    /// What a limit was, by its name as lines have it, where that can be told.
    pub fn limit_then(&self, name: &str) -> Option<&LimitThen> {
        self.asked.as_ref()?.limit(name)
    }

    /// What had to be so of what a rule asks.
    pub fn ways(rule: &Rule) -> Ways {
        asked::ways(rule)
    }

    /// The rules that the hold point asks for and that did not apply; none where it cannot be told, for want of a pack
    /// or of a record that can be judged.
    pub fn not_applying(&self) -> Vec<NotApplying<'_>> {
        let Some(left_out) = &self.left_out else { return Vec::new() };
        let named = self.rules().map(|(book, rule)| (book.code_of(rule), rule.title.as_str()));
        let of = |(code, title): (String, _)| left_out.get(&code).map(|why| NotApplying { code, title, why });
        named.filter_map(of).collect()
    }

    /// The rules of packs at hand that the hold point does not ask for, by their codes and titles, with the hold points that
    /// do.
    pub fn not_asked(&self) -> Vec<(String, &str, String)> {
        let point = self.body.hold_point;
        let rules = self.rules().filter(|(_, rule)| !rule.asked_at.contains(point));
        let points = |rule: &Rule| rule.asked_at.iter().map(HoldPoint::word).collect::<Vec<_>>().join(", ");
        rules.map(|(book, rule)| (book.code_of(rule), rule.title.as_str(), points(rule))).collect()
    }

    fn rules(&self) -> impl Iterator<Item = (&Book, &Rule)> {
        self.books.iter().flat_map(|book| {
            book.pack().into_iter().flat_map(move |pack| pack.rules.iter().map(move |rule| (book, rule)))
        })
    }
}
