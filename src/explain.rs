//! Findings in words: one report type, and the forms in which it is given.
//!
//! The engine's findings come in as facts; everything a person or another program reads is made here. This floor must not
//! know files, exit codes or whether a terminal is there.

mod acts;
mod again;
mod air;
mod beyond;
mod brief;
mod clears;
mod figures;
mod finding;
mod floor;
mod flow;
mod head;
mod json;
mod labels;
mod long;
mod notes;
mod obstacles;
mod page;
mod papers;
mod parts;
mod places;
mod plain;
mod sarif;
mod sheet;
mod stops;
mod stretch;
mod summary;
mod waits;
mod ways;
mod words;
mod worklist;

use crate::document::{Document, Source};
use crate::engine::{self, Aims, Finding, Judgement, Scene};
use crate::pack::{Pack, Term};
use crate::record::Value;
use crate::record::catalogue::{assembly, job};
use crate::units::{Exact, Instant, Zone};
use crate::vocabulary::{HoldPoint, Outcome, Subject, Verdict};

pub use beyond::{PAGES, page_beyond};
pub use brief::brief;
pub use figures::{figures, figures_json};
pub use finding::{About, DeedOfItsTime, Explained, citation};
pub use floor::FloorSeen;
pub use head::Layout;
pub use json::{json, schema as json_schema};
pub use long::long;
pub use page::page;
pub use places::Place;
pub use plain::plain;
pub use sarif::sarif;
pub use sheet::sheet;
pub use stops::{brought_to, going_on, going_on_with_each};
pub use summary::Summary;
pub use worklist::{Missing, MissingPart, RulePlace, RunsOut, Stop, Worklist};

/// Said under every verdict, and wherever a job is signed or verified.
pub const CAUTION: &str = "This check does not replace the makers' instructions, the safety data sheets, local codes \
                           or trained judgement.";
/// Said before the fill of what may be filled, in place of how the air is let out.
const FILLED: &str =
    "Of what may be filled let nothing out, and loosen, drill and take off nothing: leave it as it is.";
/// Which of the assemblies may be filled already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MayBeFilled {
    /// None of them.
    None,
    /// Some, and others not.
    Some,
    /// All of them.
    All,
}

/// What follows from a verdict at a hold point, and what no verdict replaces: the last words of every report, the most
/// urgent first. What stays on its machine leaves no stand.
pub fn closing(verdict: Verdict, point: HoldPoint, aims: &Aims, filled: MayBeFilled) -> Vec<String> {
    let may = point.may_where(aims.on_vehicle);
    let mut said: Vec<String> = match verdict {
        Verdict::Hold => std::iter::once(point.stop()).chain(held(point, filled)).map(str::to_owned).collect(),
        // A PASS is a judgement and no leave.
        Verdict::Pass => {
            let signed = format!(
                "A PASS alone starts nothing: the supervisor signs it with `fillward sign`, and {may} when `fillward verify` \
                 says so."
            );
            std::iter::once(signed).chain(going_on(point, aims)).collect()
        }
    };
    said.push(CAUTION.to_owned());
    said
}

/// What is said of the assemblies of a job that is held: of what may be filled that nothing is let out, and how the air is
/// let out where something of the job is known not to be filled.
fn held(point: HoldPoint, filled: MayBeFilled) -> impl Iterator<Item = &'static str> {
    let left = (filled != MayBeFilled::None).then_some(FILLED);
    let let_out = (filled != MayBeFilled::All).then_some(point.moment().held);
    left.into_iter().chain(let_out)
}

/// Which of the assemblies that a scene is about may be filled already. From the fill on all are, and what is said at those
/// hold points already is of filled ones.
fn may_be_filled(scene: &Scene<'_>) -> MayBeFilled {
    let filled = |(index, _)| flow::may_be_filled(scene, index);
    match (scene.covered().any(filled), scene.covered().all(filled)) {
        _ if scene.hold_point() >= HoldPoint::AfterFill => MayBeFilled::None,
        (false, _) => MayBeFilled::None,
        (true, false) => MayBeFilled::Some,
        (true, true) => MayBeFilled::All,
    }
}

/// Seconds after which a planned start is past for good.
const DAY: Exact = Exact::from_int(86_400);

/// Where the instant of the judgement came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AtFrom {
    /// The clock.
    Clock,
    /// Given by the user: a practice run or a look back, not a judgement of now.
    Given,
}

impl AtFrom {
    /// The word in reports for programs.
    const fn word(self) -> &'static str {
        match self {
            Self::Clock => "clock",
            Self::Given => "given",
        }
    }
}

/// A judgement as it is given to people and programs: its findings with everything that is drawn of them.
///
/// It holds facts; the words are made where a form asks for them.
#[derive(Debug, Clone)]
pub struct Report<'a> {
    scene: &'a Scene<'a>,
    document: &'a Document,
    /// The findings, in the order of the packs.
    pub judgement: Judgement,
    /// Where the instant of the judgement came from.
    pub at_from: AtFrom,
    /// What holds the job: what runs away first, then what is broken, then what is not shown, each in the order of the
    /// packs.
    pub holding: Vec<Explained<'a>>,
    /// The same by the place where it is settled, a missing fact once.
    pub worklist: Worklist<'a>,
    /// What is only said, in the same order.
    pub advice: Vec<Explained<'a>>,
    /// The counts and figures that the person who signs wants to see.
    pub summary: Summary,
    /// The latest start that a PASS allows, if nothing in the record changes.
    pub latest_start: Option<Instant>,
}

/// What must be known of a judgement as a whole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Note {
    /// It was judged at an instant that was given.
    Rehearsed,
    /// No rule of the packs in force is asked at this hold point.
    NoRule(HoldPoint),
    /// It speaks of a part of the job.
    Partly {
        /// What the record calls the assemblies that are left out.
        left_out: Vec<String>,
    },
    /// The planned start is more than a day past.
    StartPassed {
        /// The planned start.
        planned: Instant,
        /// Seconds since then.
        since: Exact,
    },
}

impl std::fmt::Display for Note {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Rehearsed => f.write_str(
                "Checked as of a time given by hand: a practice run, or a look at a past job. This does not allow a \
                 start.",
            ),
            Self::NoRule(point) => write!(
                f,
                "The packs in force have no rule for the hold point {}, and without a rule nothing passes. A local pack \
                 can add one.",
                point.word()
            ),
            Self::Partly { left_out } => write!(
                f,
                "Only a part of the job: {} {} left out, and nothing is said of {}.",
                left_out.join(" and "),
                if left_out.len() == 1 { "is" } else { "are" },
                if left_out.len() == 1 { "it" } else { "them" },
            ),
            Self::StartPassed { planned, since } => write!(
                f,
                "The start was planned for {planned}, {} before this check, and what was read and inspected then is \
                 out of date. Do it again, or use --at to look at that morning.",
                words::span(*since)
            ),
        }
    }
}

impl<'a> Report<'a> {
    /// Gathers what is to be said of a judgement of the scene.
    pub fn new(scene: &'a Scene<'a>, judgement: Judgement, document: &'a Document, at_from: AtFrom) -> Self {
        let of = |wanted: fn(&Finding) -> bool| {
            let with = |outcome| {
                judgement.findings.iter().filter(move |finding| wanted(finding) && finding.outcome == outcome)
            };
            let found = with(Outcome::Broken).chain(with(Outcome::NotShown));
            found.filter_map(|finding| Explained::new(scene, document, *finding)).collect::<Vec<_>>()
        };
        let (mut holding, advice) = (of(Finding::holds), of(Finding::advises));
        // What runs away while somebody reads comes first.
        for of in &mut holding {
            of.urgency = Some(papers::urgency(of));
        }
        holding.sort_by_key(|of| of.urgency);
        let findings: Vec<&Finding> = holding.iter().map(|of| &of.finding).collect();
        let worklist = Worklist::new(scene, &findings, document);
        let summary = Summary::new(scene, &judgement);
        let latest_start = engine::latest_start(scene, &judgement);
        Self { scene, document, judgement, at_from, holding, worklist, advice, summary, latest_start }
    }

    /// PASS or HOLD.
    pub const fn verdict(&self) -> Verdict {
        self.judgement.verdict
    }

    /// The hold point at which it was judged.
    pub const fn hold_point(&self) -> HoldPoint {
        self.scene.hold_point()
    }

    /// The last words of the report, the most urgent first.
    fn closing(&self) -> Vec<String> {
        closing(self.verdict(), self.hold_point(), &self.scene.aims(), may_be_filled(self.scene))
    }

    /// The instant of the judgement.
    pub const fn at(&self) -> Instant {
        self.scene.at()
    }

    /// The zone by whose days it was judged.
    pub const fn zone(&self) -> &Zone {
        self.scene.zone()
    }

    /// The job number, where one is recorded.
    pub fn job(&self) -> Option<&'a str> {
        self.scene.job().number()
    }

    /// The packs that judged.
    pub fn packs(&self) -> &'a [Pack] {
        self.scene.packs().packs()
    }

    /// The record, with the shop file that it draws on.
    pub fn record(&self) -> &'a Source {
        self.document.source()
    }

    /// What the record calls a subject.
    pub fn label(&self, subject: Option<(Subject, usize)>) -> Option<&'a str> {
        subject.and_then(|(subject, index)| self.scene.label(subject, index))
    }

    /// The codes of rules, in their order.
    pub fn codes(&self, rules: &[RulePlace]) -> Vec<String> {
        let code = |at: &RulePlace| {
            let pack = self.packs().get(at.pack)?;
            Some(pack.code_of(pack.rules.get(at.rule)?))
        };
        rules.iter().filter_map(code).collect()
    }

    /// Every finding in the order of the packs.
    pub fn all(&self) -> impl Iterator<Item = Explained<'a>> {
        let (scene, document) = (self.scene, self.document);
        self.judgement.findings.iter().filter_map(move |finding| Explained::new(scene, document, *finding))
    }

    /// Remarks on the judgement as a whole.
    pub fn notes(&self) -> Vec<Note> {
        let rehearsed = (self.at_from == AtFrom::Given).then_some(Note::Rehearsed);
        let planned = self.scene.job().whole().and_then(|whole| whole.facts.get(job::PLANNED_START));
        let passed = match planned {
            Some(Value::Instant(planned)) => Some((*planned, self.at().seconds_since(*planned))),
            _ => None,
        };
        // Once it is filled, nothing of that morning can be looked at again.
        let to_start = self.hold_point() <= HoldPoint::BeforeFill;
        let passed = passed
            .filter(|(_, since)| to_start && *since > DAY)
            .map(|(planned, since)| Note::StartPassed { planned, since });
        let left_out: Vec<String> = self.scene.left_out().map(|entity| entity.label.clone()).collect();
        let partly = (!left_out.is_empty()).then_some(Note::Partly { left_out });
        let point = self.hold_point();
        let mut rules = self.packs().iter().flat_map(|pack| &pack.rules);
        let no_rule = (!rules.any(|rule| rule.asked_at.contains(point))).then_some(Note::NoRule(point));
        rehearsed.into_iter().chain(no_rule).chain(partly).chain(passed).collect()
    }

    /// What comes before everything that this report says, as one sentence.
    fn comes_first(&self) -> Option<String> {
        let open = self.worklist.comes_first()?.comes_with?;
        Some(format!("{}: {}.", brief::FIRST, worklist::not_named(open)))
    }

    /// The packs as one phrase.
    pub fn packs_phrase(&self) -> String {
        let names: Vec<String> = self.packs().iter().map(|pack| format!("{} {}", pack.name, pack.edition)).collect();
        names.join(" + ")
    }

    /// Until when a PASS lets a fill start, as one phrase.
    pub fn start_phrase(&self) -> Option<String> {
        let point = self.hold_point();
        let before = point.previous();
        let follows = before.filter(|_| self.scene.follows_one_before());
        let signed = match follows {
            Some(before) => {
                let unsaid = self.act_unsaid(before);
                let unsaid = unsaid.map(|act| format!("it says the {act} and is ")).unwrap_or_default();
                format!("once {unsaid}signed with the signed checklist of {} (`--before`)", before.word())
            }
            None => "once signed".to_owned(),
        };
        let may = point.may_where(self.scene.stays_on_vehicle());
        self.latest_start.map(|latest| {
            if point <= HoldPoint::BeforeFill {
                format!("{signed}, {may} until {latest}")
            } else {
                format!("{signed}, {may}, before {latest}; later check again")
            }
        })
    }

    /// What the record still has to say of the hold point before to be signed: when that was acted on.
    fn act_unsaid(&self, before: HoldPoint) -> Option<String> {
        let key = assembly::act_of(before)?;
        let is_unsaid = self.scene.covered().any(|(_, entity)| entity.facts.get(key).is_none());
        let spec = self.scene.packs().catalogue().spec(key).filter(|_| is_unsaid)?;
        Some(format!("{} (`{}`)", words::term(self.scene, Term::Fact(key)), spec.name))
    }

    /// What there is to do, and how many rules ask nothing more, as one phrase.
    fn counts_phrase(&self) -> String {
        let rest = self.summary.rest_of_counts();
        if self.verdict() == Verdict::Pass {
            return rest;
        }
        let brief::Errands { to_put_right, to_find_out } = brief::Errands::of(self);
        format!("{to_put_right} to put right · {to_find_out} to find out · {rest}")
    }

    /// Hold point and job as one phrase.
    pub fn head_phrase(&self) -> String {
        format!("{} · {}", self.hold_point().word(), self.job_phrase())
    }

    /// The job as one phrase.
    fn job_phrase(&self) -> String {
        self.job().map_or_else(|| "job without a number".to_owned(), |job| format!("job {job}"))
    }
}
