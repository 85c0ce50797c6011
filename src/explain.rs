//! Findings in words: one report type, and the four forms in which it is given.
//!
//! The engine's findings come in as facts; everything a person or another program reads is made here. This floor must not
//! know files, exit codes or whether a terminal is there.

mod brief;
mod clears;
mod figures;
mod json;
mod labels;
mod long;
mod obstacles;
mod page;
mod plain;
mod sarif;
mod sheet;
mod words;
mod worklist;

use crate::document::{Document, Source, Span};
use crate::engine::{self, Cure, Finding, Judgement, Outcome, Scene, Trace, Verdict};
use crate::pack::{Citation, Pack, Rule};
use crate::record::catalogue::job;
use crate::record::{Subject, Value};
use crate::units::{Instant, Zone};

pub use brief::brief;
pub use figures::{figures, figures_json};
pub use json::{json, schema as json_schema};
pub use long::{Look, long};
pub use page::page;
pub use plain::plain;
pub use sarif::sarif;
pub use sheet::sheet;
pub use worklist::{Missing, RunsOut, Stop, Worklist};

/// Said under every verdict, and wherever a job is signed or verified.
pub const CAUTION: &str = "This check does not replace the makers' instructions, the safety data sheets, local codes \
                           or trained judgement.";
/// Said under a HOLD, before whoever puts things right reaches for a tool.
const HELD: [&str; 2] = [
    "Do not start the pump.",
    "Let all the air out, with the valve core taken out, before anything is loosened, drilled or taken off.",
];
/// Said under a PASS, which is a judgement and no leave.
const PASSED: [&str; 1] =
    ["A PASS alone starts nothing: the supervisor signs it with `fillward sign`, and the fill may \
                            start when `fillward verify` says so."];

/// What follows from a verdict, and what no verdict replaces: the last words of every report, the most urgent first.
pub fn closing(verdict: Verdict) -> impl Iterator<Item = &'static str> {
    let first: &[&str] = match verdict {
        Verdict::Hold => &HELD,
        Verdict::Pass => &PASSED,
    };
    first.iter().copied().chain([CAUTION])
}

/// Where the instant of the judgement came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AtFrom {
    /// The clock.
    Clock,
    /// Given by the user: a rehearsal or a look back, not a judgement of now.
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

/// A judgement in words, with its places in the record.
#[derive(Debug, Clone)]
pub struct Report {
    /// PASS or HOLD.
    pub verdict: Verdict,
    /// The job number, where one is recorded.
    pub job: Option<String>,
    /// The instant of the judgement.
    pub at: Instant,
    /// The zone by whose days it was judged.
    pub zone: Zone,
    /// Where that instant came from.
    pub at_from: AtFrom,
    /// The packs that judged: name, edition, title.
    pub packs: Vec<(String, String, String)>,
    /// The record.
    pub record: Source,
    /// What holds the job: broken first, then not shown, each in the order of the packs.
    pub holding: Vec<Explained>,
    /// The same by the place where it is settled, a missing fact once.
    pub worklist: Worklist,
    /// What is only said.
    pub advice: Vec<Explained>,
    /// How many findings are met, and how many rules do not apply.
    pub met: usize,
    /// How many findings say that their rule does not apply.
    pub not_applying: usize,
    /// Remarks on the judgement as a whole.
    pub notes: Vec<String>,
    /// The figures that whoever signs wants to see.
    pub summary: Vec<String>,
    /// The latest start that a PASS allows, if nothing in the record changes.
    pub latest_start: Option<Instant>,
    /// Every finding as a code, a subject and an outcome, in the order of the packs.
    pub all: Vec<(String, String, Outcome)>,
}

/// One finding in words.
#[derive(Debug, Clone)]
pub struct Explained {
    /// `pack/rule`.
    pub code: String,
    /// The fault.
    pub title: String,
    /// Broken or not shown.
    pub outcome: Outcome,
    /// What it is about.
    pub subject: String,
    /// Places in the record, the most telling first.
    pub labels: Vec<PlaceNote>,
    /// The demand, in words.
    pub clause: String,
    /// Where the rule stands: file and line.
    pub clause_at: String,
    /// What would clear it.
    pub clears: Vec<String>,
    /// The harm.
    pub why: String,
    /// What to do.
    pub put_right: String,
    /// Where the rule comes from.
    pub source: String,
    /// Who may permit going on, or that nobody may.
    pub permit: String,
}

/// A place in the record, or in the shop file that it draws on, and what is said of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlaceNote {
    /// The bytes, of the texts of the record and its shop file laid end to end.
    pub span: Span,
    /// The file, as reports call it.
    pub file: String,
    /// Line in the file, counted from 1.
    pub line: usize,
    /// Column in characters, counted from 1.
    pub column: usize,
    /// The fact's path in the record.
    pub path: String,
    /// The words.
    pub text: String,
}

impl Report {
    /// Puts a judgement into words.
    pub fn new(scene: &Scene<'_>, judgement: &Judgement, document: &Document, at_from: AtFrom) -> Self {
        let of = |wanted: fn(&Finding) -> bool| {
            let with = |outcome| {
                judgement.findings.iter().filter(move |finding| wanted(finding) && finding.outcome == outcome)
            };
            with(Outcome::Broken).chain(with(Outcome::NotShown)).collect::<Vec<_>>()
        };
        let explained = |findings: &[&Finding]| {
            findings.iter().filter_map(|finding| explain(scene, finding, document)).collect::<Vec<_>>()
        };
        let holding = of(Finding::holds);
        let count = |outcome| judgement.findings.iter().filter(|finding| finding.outcome == outcome).count();
        let all = judgement.findings.iter().filter_map(|finding| {
            let (pack, rule) = pack_and_rule(scene, finding)?;
            Some((code(pack, rule), subject(scene, finding), finding.outcome))
        });
        Self {
            verdict: judgement.verdict,
            job: scene.job().number().map(str::to_owned),
            at: judgement.at,
            zone: scene.zone().clone(),
            at_from,
            packs: scene.packs().packs().iter().map(|p| (p.name.clone(), p.edition.clone(), p.title.clone())).collect(),
            record: document.source().clone(),
            worklist: Worklist::new(scene, &holding, document),
            holding: explained(&holding),
            advice: explained(&of(Finding::advises)),
            met: count(Outcome::Met),
            not_applying: count(Outcome::DoesNotApply),
            notes: notes(scene, at_from),
            summary: figures::summary(scene),
            latest_start: engine::latest_start(scene, judgement),
            all: all.collect(),
        }
    }

    /// How many findings hold the job with this outcome.
    pub fn count(&self, outcome: Outcome) -> usize {
        self.holding.iter().filter(|finding| finding.outcome == outcome).count()
    }

    /// The packs as one phrase.
    pub fn packs_phrase(&self) -> String {
        let names: Vec<String> = self.packs.iter().map(|(name, edition, _)| format!("{name} {edition}")).collect();
        names.join(" + ")
    }

    /// The counts as one phrase.
    pub fn counts_phrase(&self) -> String {
        let mut parts = Vec::new();
        if self.verdict == Verdict::Hold {
            parts.push(format!("{} to put right", self.count(Outcome::Broken)));
            parts.push(format!("{} to find out", self.count(Outcome::NotShown)));
        }
        parts.push(format!("{} in order", self.met));
        parts.push(format!("{} do not apply", self.not_applying));
        if !self.advice.is_empty() {
            parts.push(format!("{} for advice", self.advice.len()));
        }
        parts.join(" · ")
    }

    /// Until when a PASS lets a fill start, as one phrase.
    pub fn start_phrase(&self) -> Option<String> {
        self.latest_start.map(|latest| format!("once signed, a fill may start until {latest}"))
    }

    /// The job as one phrase.
    pub fn job_phrase(&self) -> String {
        self.job.as_ref().map_or_else(|| "job without a number".to_owned(), |job| format!("job {job}"))
    }
}

fn pack_and_rule<'a>(scene: &Scene<'a>, finding: &Finding) -> Option<(&'a Pack, &'a Rule)> {
    let pack = scene.packs().packs().get(finding.pack)?;
    Some((pack, pack.rules.get(finding.rule)?))
}

/// The code of a rule's findings.
pub fn code(pack: &Pack, rule: &Rule) -> String {
    format!("{}/{}", pack.name, rule.name)
}

fn subject(scene: &Scene<'_>, finding: &Finding) -> String {
    match (scene.entity(finding), scene.rule(finding).map(|rule| rule.covers)) {
        (_, Some(Subject::Job)) => "the job".to_owned(),
        (Some(entity), _) => entity.label.clone(),
        (None, Some(covers)) => format!("every {}", covers.word()),
        (None, None) => String::new(),
    }
}

fn explain(scene: &Scene<'_>, finding: &Finding, document: &Document) -> Option<Explained> {
    let (pack, rule) = pack_and_rule(scene, finding)?;
    let here = scene.here(rule.covers, finding.entity);
    let demands = engine::trace(scene, &rule.demands, &here);
    let applies = rule.applies.as_ref().map(|condition| engine::trace(scene, condition, &here));
    let remedy = engine::remedy(scene, finding);
    let mut labels = Vec::new();
    let cure = if finding.entity.is_none() {
        labels.extend(labels::absent_list(rule.covers, document));
        Cure::Nothing
    } else {
        let cure = engine::cure(scene, &demands);
        labels.extend(labels::of_cure(scene, &cure, document));
        labels.extend(applies.iter().flat_map(|trace| labels::of_scope(trace, document)));
        cure
    };
    let clears = clears::sentences(scene, rule, &remedy, &cure, applies.as_ref());
    labels::tidy(&mut labels);
    let line = rule.place.source.line_and_column(rule.place.span.start).0;
    Some(Explained {
        code: code(pack, rule),
        title: rule.title.clone(),
        outcome: finding.outcome,
        subject: subject(scene, finding),
        labels,
        clause: words::condition(scene, &rule.demands),
        clause_at: format!("{}:{line}", rule.place.source.name()),
        clears,
        why: rule.why.clone(),
        put_right: rule.put_right.clone(),
        source: citation(&rule.source),
        permit: permit(rule),
    })
}

/// A citation as one line, with its honest standing.
pub fn citation(source: &Citation) -> String {
    let mut line = format!("{}: {}", source.kind, source.cite);
    if let Some(note) = &source.note {
        line.push_str("; ");
        line.push_str(note);
    }
    line
}

fn permit(rule: &Rule) -> String {
    match &rule.permit {
        Some(permit) => format!("may be permitted by the {} for at most {}", permit.by, permit.longest),
        None => "no permit may set this rule aside".to_owned(),
    }
}

/// What a reader must know of the judgement as a whole.
fn notes(scene: &Scene<'_>, at_from: AtFrom) -> Vec<String> {
    let mut notes = Vec::new();
    if at_from == AtFrom::Given {
        notes.push(
            "Judged at an instant that was given, not at the clock's: a rehearsal or a look back, no leave to start."
                .to_owned(),
        );
    }
    let planned = scene.job().whole().and_then(|whole| whole.facts.get(job::PLANNED_START));
    if let Some(Value::Instant(planned)) = planned {
        let late = scene.at().seconds_since(*planned);
        let day = crate::units::Exact::from_int(86_400);
        if late > day {
            notes.push(format!(
                "The start was planned for {planned}, {} before this judgement: what was read and inspected then has \
                 aged. Take it again, or use --at to look back at that morning.",
                words::span(late)
            ));
        }
    }
    notes
}

impl Trace<'_> {
    /// Whether this part came out true.
    fn is_true(&self) -> bool {
        self.truth() == crate::units::Truth::True
    }
}
