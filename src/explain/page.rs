//! The page of one rule: what it demands, why, and what to do.
//!
//! Must not know a job.

use std::fmt::Write as _;

use super::air;
use super::finding::{permit, stands_at};
use super::{CAUTION, citation, words};
use crate::document::Span;
use crate::document::prose::laid_out;
use crate::engine::Scene;
use crate::pack::{AIR_OUT, Air, Example, OnFault, Pack, PackText, Rule, numbered};

/// The page of a rule as text in at most `width` columns, with the limits in force at the scene's instant.
pub fn page(scene: &Scene<'_>, pack: &Pack, rule: &Rule, width: usize) -> String {
    // What is asked at the other hold points alone knows no start that lies ahead.
    let first = rule.asked_at.iter().next().filter(|_| !rule.asked_at.contains(scene.hold_point()));
    let at_its_own = first.map(|point| scene.clone().at_hold_point(point));
    let scene = at_its_own.as_ref().unwrap_or(scene);
    let mut out = format!("{}\n{}\n\n", pack.code_of(rule), rule.title);
    let covers = if rule.covers == crate::vocabulary::Subject::Job {
        "the job".to_owned()
    } else {
        format!("each {}", rule.covers.word())
    };
    let mut section = |opening: &str, text: &str| {
        let first = format!("{opening:<12}");
        let _ = writeln!(out, "{}", laid_out(text, width, &first, "            "));
    };
    section("Covers", &covers);
    let points: Vec<&str> = rule.asked_at.iter().map(crate::vocabulary::HoldPoint::word).collect();
    section("Asked", &points.join(", "));
    if let Some(applies) = &rule.asks.applies {
        section("Applies", &format!("where {}", words::condition(scene, applies)));
    }
    section("Demands", &words::condition(scene, &rule.asks.demands));
    section("Why", &rule.told.why);
    put_right(scene, rule, &mut section);
    section("Source", &citation(&rule.told.source));
    sources_of_steps(scene, rule, &mut section);
    section(
        "On a fault",
        match rule.on_fault {
            OnFault::Hold => "if it is broken or not shown, the job is held",
            OnFault::Advise => "reported as advice; does not hold the job",
        },
    );
    section("Permit", &permit(rule));
    if let Some(from) = rule.from {
        section("From", &from.to_string());
    }
    if let Some(until) = rule.until {
        section("Until", &format!("the day before {until}"));
    }
    // The base pack is compiled in: its files are not on the machine.
    let file = if pack.amends.is_some() { format!(", {}", stands_at(rule)) } else { String::new() };
    section("Pack", &format!("{}, edition {}{file}", pack.name, pack.edition));
    for (heading, examples) in [("Passes", rule.passes()), ("Holds", rule.holds())] {
        let _ = writeln!(out, "\n{heading}:");
        for example in examples {
            let _ = writeln!(out, "  {}:", example.expected.word());
            let _ = writeln!(out, "{}", quoted(rule, example));
        }
    }
    let _ = writeln!(out, "\n{}", laid_out(CAUTION, width, "", ""));
    out
}

/// A part of a page: its opening, which may be empty, and its text.
type SectionOf<'s> = dyn FnMut(&str, &str) + 's;

/// What is to be done of the air, and then step by step.
fn put_right(scene: &Scene<'_>, rule: &Rule, section: &mut SectionOf<'_>) {
    match &rule.told.put_right.air {
        Some(Air::Out) => {
            section("Air", "out, and proved by a wire, before the first step under Put right:");
            let steps = scene.packs().air_out().unwrap_or_default();
            for step in numbered(steps.iter().map(PackText::as_str)) {
                section("", &step);
            }
        }
        Some(Air::Stays { because }) => section("Air", &air::stays_by_rule(rule, because)),
        None => {}
    }
    let steps = rule.told.put_right.texts().map(PackText::as_str);
    for (position, step) in numbered(steps).into_iter().enumerate() {
        section(if position == 0 { "Put right" } else { "" }, &step);
    }
}

/// The sources of steps that have one of their own.
fn sources_of_steps(scene: &Scene<'_>, rule: &Rule, section: &mut SectionOf<'_>) {
    let air_out = scene.packs().packs().iter().flat_map(|pack| &pack.steps).find(|step| step.name == AIR_OUT);
    let of_air = air_out.filter(|_| rule.told.put_right.wants_air_out()).and_then(|step| step.source.as_ref());
    if let Some(source) = of_air {
        section("", &format!("of letting the air out: {}", citation(source)));
    }
    for (position, step) in rule.told.put_right.steps.iter().enumerate() {
        if let Some(source) = &step.source {
            section("", &format!("of step {}: {}", position + 1, citation(source)));
        }
    }
}

/// The text of an example as it stands in the pack, moved to a common indent.
fn quoted(rule: &Rule, example: &Example) -> String {
    let source = &rule.told.place.source;
    let Span { start, end } = example.span;
    let (_, column) = source.line_and_column(start);
    let text = source.slice(Span { start, end });
    let mut lines = text.lines();
    let mut out = format!("    {}", lines.next().unwrap_or_default());
    for line in lines {
        let indent = line.len() - line.trim_start().len();
        let kept = indent.min(column.saturating_sub(1));
        let _ = write!(out, "\n    {}", line.get(kept..).unwrap_or(line));
    }
    out
}
