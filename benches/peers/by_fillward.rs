//! The conditions as a rule pack, judged by this crate as any caller would.

use std::hint::black_box;

use fillward::document::{Document, Faults};
use fillward::engine::{self, Scene};
use fillward::pack::PackSet;
use fillward::record::{self, Job};
use fillward::units::{Instant, Zone};
use fillward::vocabulary::Outcome as Found;

use crate::facts::Case;
use crate::{Answer, Contender, Family, Outcome};

const PACK: &str = include_str!("conditions.yaml");
const AT: &str = "2026-03-04T09:30:00-06:00";
const ZONE: &str = "America/Chicago";

/// The pack, the jobs and the instant.
pub(crate) struct Judge {
    packs: PackSet,
    jobs: Vec<Job>,
    at: Instant,
    zone: Zone,
}

impl Judge {
    pub(crate) fn new(cases: &[Case]) -> Outcome<Self> {
        let text = Document::read("conditions.yaml", PACK.as_bytes()).map_err(|faults| in_words(&faults))?;
        let packs = PackSet::alone(vec![text]).map_err(|faults| in_words(&faults))?;
        let (_, faults) = engine::check_examples(&packs);
        if let Some(fault) = faults.first() {
            return Err(format!("an example of `{}` comes out {}", fault.rule.name, fault.found.word()).into());
        }
        let zone = Zone::find(ZONE)?;
        let job = |case: &Case| {
            let document = Document::read(&case.name, case.record.to_string().as_bytes())?;
            record::read(&document, packs.catalogue(), &zone)
        };
        let jobs = cases.iter().map(job).collect::<Result<_, _>>().map_err(|faults| in_words(&faults))?;
        Ok(Self { packs, jobs, at: Instant::parse(AT)?, zone })
    }

    fn job(&self, case: usize) -> Outcome<&Job> {
        Ok(self.jobs.get(case).ok_or("no such case")?)
    }
}

/// The first fault is enough for someone who changes the bench.
fn in_words(faults: &Faults) -> String {
    let first = faults.iter().next().map(|fault| format!("{}: {}", fault.code(), fault.message()));
    first.unwrap_or_default()
}

impl Contender for Judge {
    fn family(&self) -> Family {
        Family::Fillward
    }

    fn name(&self) -> &'static str {
        "fillward, Scene::new and judge"
    }

    fn answers(&mut self, case: usize) -> Outcome<Vec<Answer>> {
        let judgement = Scene::new(&self.packs, self.job(case)?, self.at, &self.zone).judge();
        let answer = |outcome| match outcome {
            Found::Met | Found::DoesNotApply => Answer::Met,
            Found::Broken => Answer::Broken,
            Found::NotShown => Answer::NotShown,
        };
        Ok(judgement.findings.iter().map(|finding| answer(finding.outcome)).collect())
    }

    fn run(&mut self, case: usize, times: u32) -> Outcome<()> {
        let job = self.job(case)?;
        for _ in 0..times {
            black_box(Scene::new(black_box(&self.packs), black_box(job), self.at, &self.zone).judge());
        }
        Ok(())
    }
}
