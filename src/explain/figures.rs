//! The figures of a job in words: what a person asks for, or all with both systems of units, formula and inputs; and
//! two small drawings.
//!
//! Must not know how a figure is worked out.

use std::fmt::Write as _;

use serde::Serialize;

use super::{CAUTION, held, may_be_filled, obstacles, words};
use crate::document::prose::laid_out;
use crate::engine::Scene;
use crate::figures::{self, Figure, FigureId, FigureSpec, Lack};
use crate::record::catalogue::assembly::{self, pre_stretch_row};
use crate::record::catalogue::component;
use crate::record::{Entity, FactKey, Value};
use crate::units::{Exact, Quantity, Rounding};
use crate::vocabulary::{HoldPoint, Subject};

/// The format number of the JSON form.
const FORMAT: u32 = 1;
/// Columns of a drawn bar.
const BAR: u8 = 40;
/// Width of what stands before a drawing.
const NAME: usize = 20;
/// Indent of a figure, and of what belongs to it.
const INDENT: &str = "  ";
const FURTHER: &str = "      ";

/// One figure, ready to be shown.
struct FigureLine<'s> {
    spec: &'static FigureSpec,
    subject: Subject,
    entity: &'s Entity,
    figure: Figure,
    /// The facts it was made from, most telling first.
    facts: Vec<FactKey>,
}

/// Every figure of the job, in the order of the catalogue.
fn all<'s>(scene: &'s Scene<'_>) -> Vec<FigureLine<'s>> {
    let mut shown = Vec::new();
    for subject in Subject::ALL {
        for entity in scene.job().of(subject).unwrap_or(&[]) {
            let of_entity = scene.figures_of(subject, entity);
            shown.extend(of_entity.into_iter().map(|(spec, figure, reads)| {
                let read = reads.facts();
                let facts = spec.facts().filter(|fact| read.contains(fact)).collect();
                FigureLine { spec, subject, entity, figure, facts }
            }));
        }
    }
    shown
}

/// What a person asks for before a fill, in this order.
const ASKED_BEFORE: &[FigureId] = &[
    FigureId::PressureWindow,
    FigureId::CageDemand,
    FigureId::MixMass,
    FigureId::AssemblyCycles,
    FigureId::LikelyFillTime,
    FigureId::LikelyFilledMass,
    FigureId::ComponentNeeded,
    FigureId::ComponentLeft,
    FigureId::WarmAt,
    FigureId::JobMixMass,
    FigureId::PumpCycles,
    FigureId::FillEnd,
    FigureId::ReadyToServe,
];
/// What a person asks for once it is filled.
const ASKED_AFTER: &[FigureId] = &[
    FigureId::PressureWindow,
    FigureId::FilledOfLeast,
    FigureId::FilledOfMost,
    FigureId::PressureAfterCooling,
    FigureId::MassAsFilled,
    FigureId::CuredAt,
    FigureId::WentIn,
    FigureId::ReadyAfterFill,
];

/// The figures as text in at most `width` columns: those that a person asks for, or `every` one, with its formula, its
/// inputs and the unit of the other system.
pub fn figures(scene: &Scene<'_>, width: usize, every: bool) -> String {
    let mut out = String::new();
    let number = scene.job().number().unwrap_or("without a number");
    // Numbers look the same whether a job may go on or not, so the verdict is said first.
    let verdict = scene.judge().verdict.word();
    let head = format!("{} · figures of job {number} at {} in {}", scene.hold_point().word(), scene.at(), scene.zone());
    let _ = writeln!(out, "{}", laid_out(&head, width, &format!("{verdict}   "), "       "));
    let asked = if scene.hold_point() >= HoldPoint::AfterFill { ASKED_AFTER } else { ASKED_BEFORE };
    let rank = |shown: &FigureLine<'_>| asked.iter().position(|id| *id == shown.spec.id);
    let mut shown = all(scene);
    if !every {
        shown.retain(|shown| rank(shown).is_some());
    }
    // Subject by subject, what is asked for first; the others stay as they are.
    for of_one in shown.chunk_by_mut(|one, next| one.entity.path == next.entity.path) {
        of_one.sort_by_key(|shown| (rank(shown).is_none(), rank(shown)));
    }
    let mut last: Option<&Entity> = None;
    for shown in &shown {
        if last.is_none_or(|last| last.path != shown.entity.path) {
            let _ = writeln!(out, "\n{}", shown.entity.label);
            if shown.subject == Subject::Assembly {
                drawings(&mut out, scene, shown.entity);
            }
            last = Some(shown.entity);
        }
        one(&mut out, scene, shown, width, every);
    }
    let further = "More figures, each with its formula and what it is made of: --all.";
    let note = "Figures are estimates between bounds. They support the makers' charts and do not replace them. Whatever \
                pressure stands here, at the tyre only its gauge is believed; nothing starts by this page.";
    let until_then = held(scene.hold_point(), may_be_filled(scene));
    out.push('\n');
    for sentence in (!every).then_some(further).into_iter().chain([note]).chain(until_then).chain([CAUTION]) {
        let _ = writeln!(out, "{}", laid_out(sentence, width, "", ""));
    }
    out
}

fn one(out: &mut String, scene: &Scene<'_>, shown: &FigureLine<'_>, width: usize, every: bool) {
    let name = words::figure_name(shown.spec);
    let mut line = |text: &str, indent: &str| {
        let _ = writeln!(out, "{}", laid_out(text, width, indent, FURTHER));
    };
    match &shown.figure {
        Ok(value) if every => {
            line(&format!("{name}: {}", in_both(value, safe(shown.spec.id))), INDENT);
            line(&format!("by {}", shown.spec.formula), FURTHER);
            let inputs = inputs(scene, shown);
            if !inputs.is_empty() {
                line(&format!("from {}", inputs.join(", ")), FURTHER);
            }
        }
        Ok(value) => line(&format!("{name}: {}", in_own(value, safe(shown.spec.id))), INDENT),
        Err(lack) => line(&format!("{name}: not known: {}", lacking(scene, lack)), INDENT),
    }
}

/// A value with its bounds, in its own unit.
fn in_own(value: &Value, safe: Rounding) -> String {
    match value {
        Value::Measured(measured) => words::figure(measured, measured.shown.unit(), safe),
        Value::Flag(flag) => words::yes_or_no(*flag).to_owned(),
        other => words::value(other),
    }
}

/// A value with its bounds, in its own unit and in that of the other system.
fn in_both(value: &Value, safe: Rounding) -> String {
    let own = in_own(value, safe);
    let Value::Measured(measured) = value else { return own };
    let unit = measured.shown.unit();
    let other = unit.counterpart();
    if other == unit { own } else { format!("{own} ({})", words::figure(measured, other, safe)) }
}

/// The side to which a figure without width is rounded: what must not be exceeded down, what must be reached up.
const fn safe(id: figures::FigureId) -> Rounding {
    use figures::FigureId as F;
    match id {
        F::PressureCeiling | F::PressureWindow => Rounding::Down,
        F::PressureFloor | F::GaugeUncertainty | F::CageDemand => Rounding::Up,
        _ => Rounding::Nearest,
    }
}

/// The recorded inputs, each with its value.
fn inputs(scene: &Scene<'_>, shown: &FigureLine<'_>) -> Vec<String> {
    let mut said = Vec::new();
    // What the assemblies give to a figure of the whole job is said with each assembly.
    let told = |key: &&FactKey| key.subject == shown.subject || key.subject != Subject::Assembly;
    for key in shown.facts.iter().filter(told) {
        let own = [shown.entity];
        let entities: Vec<&Entity> = if key.subject == shown.subject {
            own.to_vec()
        } else {
            scene.job().of(key.subject).unwrap_or(&[]).iter().collect()
        };
        for entity in entities {
            if let Some(value) = entity.facts.get(*key) {
                let name = words::term(scene, crate::pack::Term::Fact(*key));
                let is_told = key.subject == shown.subject || key.subject == Subject::Job;
                let whose = if is_told { String::new() } else { format!("{} ", entity.label) };
                said.push(format!("{whose}{name} {}", words::bare(value)));
            }
        }
    }
    said
}

fn lacking(scene: &Scene<'_>, lack: &Lack) -> String {
    let names = |keys: &[FactKey]| {
        let names: Vec<String> = keys.iter().map(|key| words::term(scene, crate::pack::Term::Fact(*key))).collect();
        names.join(" and ")
    };
    match lack {
        Lack::Obstacle { obstacle, .. } => obstacles::fragment(obstacle),
        Lack::Missing(missing) if missing.iter().any(|key| scene.lies_ahead(*key)) => {
            format!("{} has an instant after this check", names(missing))
        }
        Lack::Missing(missing) if of_lots_not_named(scene, missing) => "the lots are not named".to_owned(),
        Lack::Missing(missing) if missing.len() == 1 => format!("{} is not recorded", names(missing)),
        Lack::Missing(missing) => format!("{} are not recorded", names(missing)),
    }
}

/// Whether only facts of containers are missing and no lot is named yet: nobody looks up a density before.
fn of_lots_not_named(scene: &Scene<'_>, missing: &[FactKey]) -> bool {
    let sides = scene.job().of(Subject::Component).unwrap_or(&[]);
    missing.iter().all(|key| key.subject == Subject::Component)
        && sides.iter().all(|side| side.facts.get(component::LOT).is_none())
}

/// The pressure window and the pre-stretch log of one assembly, as bars.
fn drawings(out: &mut String, scene: &Scene<'_>, entity: &Entity) {
    let base = |id| match scene.compute(id, entity) {
        Ok(Value::Measured(measured)) => Some(measured.shown),
        _ => None,
    };
    let ceiling = base(figures::FigureId::PressureCeiling);
    let floor = base(figures::FigureId::PressureFloor);
    let target = entity.facts.measured(assembly::TARGET_PRESSURE).map(|measured| measured.shown);
    if let (Some(ceiling), Some(floor), Some(target)) = (ceiling, floor, target)
        && let Some(bar) = window(floor.base(), target.base(), ceiling.base())
    {
        let _ = writeln!(out, "  {:<NAME$}{bar}", "pressure window");
        let _ = writeln!(
            out,
            "  {:NAME$}floor {} · target {} · ceiling {}",
            "",
            words::rounded(floor, Rounding::Up),
            target.as_written(),
            words::rounded(ceiling, Rounding::Down)
        );
    }
    let Some(rows) = entity.facts.log(assembly::PRE_STRETCH_LOG) else { return };
    for row in rows {
        let (Some(pressure), Some(air)) = (row.get(pre_stretch_row::PRESSURE), row.get(pre_stretch_row::AIR)) else {
            continue;
        };
        let share = target.and_then(|target| pressure.shown.base().checked_div(target.base()));
        let full = share.map_or(0, |share| columns(share, Exact::new(5, 4)));
        let _ = writeln!(
            out,
            "  {:<NAME$}{} {} at {}",
            row.at.to_record_text().get(..16).unwrap_or_default(),
            "▇".repeat(full),
            words::measured(pressure),
            words::measured(air)
        );
    }
}

/// The share of `full` that `part` is, in columns of half a bar.
fn columns(part: Exact, full: Option<Exact>) -> usize {
    let share =
        full.and_then(|full| part.checked_div(full)).and_then(|s| s.checked_mul(Exact::from_int(i64::from(BAR / 2))));
    share.map_or(0, |share| {
        share.to_decimal(0, Rounding::Nearest).parse::<usize>().unwrap_or(0).min(usize::from(BAR / 2))
    })
}

/// A bar from zero to a quarter above the ceiling: dots outside the window, a line inside, a mark at the target.
fn window(floor: Exact, target: Exact, ceiling: Exact) -> Option<String> {
    let top = ceiling.max(target).checked_mul(Exact::new(5, 4)?)?;
    let column = |base: Exact| -> Option<usize> {
        let share = base.max(Exact::ZERO).checked_div(top)?.checked_mul(Exact::from_int(i64::from(BAR)))?;
        share.to_decimal(0, Rounding::Down).parse().ok()
    };
    let (floor, target, ceiling) = (column(floor)?, column(target)?, column(ceiling)?);
    let draw = |at: usize| {
        if at == target {
            '◆'
        } else if at == floor {
            '├'
        } else if at == ceiling {
            '┤'
        } else if at > floor && at < ceiling {
            '─'
        } else {
            '·'
        }
    };
    Some((0..=usize::from(BAR)).map(draw).collect())
}

#[derive(Serialize)]
struct OutFigures {
    figures: u32,
    hold_point: &'static str,
    verdict: &'static str,
    job: Option<String>,
    at: String,
    zone: String,
    list: Vec<OutFigure>,
    caution: &'static str,
}

#[derive(Serialize)]
struct OutFigure {
    name: String,
    subject: String,
    value: Option<String>,
    low: Option<String>,
    high: Option<String>,
    other_system: Option<String>,
    formula: &'static str,
    inputs: Vec<String>,
    not_known: Option<String>,
}

/// The figures as JSON text with a final newline.
///
/// # Errors
/// Only where the serialiser itself fails, which the types rule out.
pub fn figures_json(scene: &Scene<'_>) -> Result<String, serde_json::Error> {
    let list = all(scene).iter().map(|shown| out_figure(scene, shown)).collect();
    let out = OutFigures {
        figures: FORMAT,
        hold_point: scene.hold_point().word(),
        verdict: scene.judge().verdict.word(),
        job: scene.job().number().map(str::to_owned),
        at: scene.at().to_record_text(),
        zone: scene.zone().name().to_owned(),
        list,
        caution: CAUTION,
    };
    Ok(serde_json::to_string_pretty(&out)? + "\n")
}

fn out_figure(scene: &Scene<'_>, shown: &FigureLine<'_>) -> OutFigure {
    let measured = match &shown.figure {
        Ok(Value::Measured(measured)) => Some(measured),
        _ => None,
    };
    let end = |base: Exact, rounding| {
        let unit = measured.map(|m| m.shown.unit())?;
        Quantity::from_base(base, unit).map(|q| join(&words::number_of(q, rounding), unit.symbol()))
    };
    OutFigure {
        name: shown.spec.full_name(),
        subject: shown.entity.label.clone(),
        value: match &shown.figure {
            Ok(Value::Instant(at)) => Some(at.to_record_text()),
            Ok(Value::Measured(m)) => end(m.shown.base(), safe(shown.spec.id)),
            Ok(Value::Flag(flag)) => Some(flag.to_string()),
            _ => None,
        },
        low: measured.and_then(|m| end(m.interval.lo(), Rounding::Down)),
        high: measured.and_then(|m| end(m.interval.hi(), Rounding::Up)),
        other_system: measured
            .filter(|m| m.shown.unit().counterpart() != m.shown.unit())
            .map(|m| words::figure(m, m.shown.unit().counterpart(), safe(shown.spec.id))),
        formula: shown.spec.formula,
        inputs: inputs(scene, shown),
        not_known: shown.figure.as_ref().err().map(|lack| lacking(scene, lack)),
    }
}

fn join(number: &str, unit: &str) -> String {
    if unit.is_empty() { number.to_owned() } else { format!("{number} {unit}") }
}
