//! What would clear a finding: the ways that were tried on the record, or what is waited for.
//!
//! Must not know which form draws it.

mod early;
mod joining;
mod open;

use std::collections::BTreeSet;

use joining::{joins, named_joins};
use open::{open, to_record, unknown_terms};

use super::ways::{ClearsLine, Deed, GoesOn, Price, SaidAct, SaidWay, Says};
use super::{acts, flow, obstacles, parts, waits, words};
use crate::document::prose::joined;
use crate::engine::{self, ActKind, Finding, InTheWay, Known, Remedy, Scene, Trace, Way};
use crate::figures::{FigureId, Obstacle};
use crate::pack::{Rule, Term};
use crate::record::catalogue::choices::Needle;
use crate::record::catalogue::{Comes, SITE_LIMITS, assembly, job, stages};
use crate::record::{FactKey, Value};
use crate::units::{Exact, Truth};
use crate::vocabulary::{HoldPoint, Outcome, Subject};

/// Said where the job has so many findings that no cure was looked for.
const CUT_OFF: &str = "it is put right as told, and the job is checked again; of so many findings only the first of each kind \
                       are tried for what it takes";

/// One line for each thing that must change, or one for all where there is a choice; behind the first line each says how it
/// goes on from those before it, `and ...` or `or ...`.
pub(super) fn lines(
    scene: &Scene<'_>,
    rule: &Rule,
    remedy: &Remedy,
    demands: Option<&Trace<'_>>,
    applies: Option<&Trace<'_>>,
    own: Own,
) -> Vec<ClearsLine> {
    let parts = demands.map(Trace::in_the_way).unwrap_or_default();
    let cure = parts.as_slice();
    let one_does = demands.is_some_and(is_choice);
    let alone = demands.filter(|_| remedy.ways.is_empty()).and_then(joins);
    let early = demands.and_then(|demands| early::early(scene, demands));
    let all = match waits::waits(scene, cure).or(early).or(alone) {
        Some(said) => vec![Says::Told(said)],
        None => match rejected(scene, rule, cure).or_else(|| coarse_gauge(scene, remedy, cure, own)) {
            Some(first) => vec![Says::Told(format!("{first} is put right first, and this is checked again"))],
            None => changes(scene, rule, remedy, (cure, one_does), own),
        },
    };
    let odd = waits::odd_row(scene, cure).map(Says::Told);
    let mut said: Vec<ClearsLine> = Vec::new();
    for says in odd.into_iter().chain(all) {
        if said.iter().all(|known| known.says != says) {
            said.push(ClearsLine { joint: if said.is_empty() { GoesOn::Begins } else { GoesOn::And }, says });
        }
    }
    if !remedy.ways.is_empty()
        && let Some(joins) = demands.and_then(|demands| joins(demands).or_else(|| named_joins(demands)))
    {
        said.push(ClearsLine { joint: GoesOn::Or, says: Says::Told(joins) });
    }
    if may_be_misread(scene, remedy) && !said.iter().any(ClearsLine::tells_of_misreading) {
        said.push(ClearsLine { joint: GoesOn::OrWhere, says: Says::Misread });
    }
    if let Some(applies) = applies
        && applies.truth() == Truth::Unknown
    {
        let mut open = unknown_terms(scene, applies);
        let mut seen = BTreeSet::new();
        open.retain(|place| seen.insert(place.clone()));
        if !open.is_empty() {
            let behind = if said.is_empty() { GoesOn::Begins } else { GoesOn::Or };
            said.push(ClearsLine { joint: behind, says: Says::DoesNotApply(open) });
        }
    }
    said
}

/// Whether one of several things is enough.
fn is_choice(trace: &Trace<'_>) -> bool {
    match trace {
        Trace::Any(_, parts) => parts.len() > 1,
        Trace::All(_, parts) => matches!(parts.as_slice(), [only] if is_choice(only)),
        _ => false,
    }
}

/// What stands in the way of a finding, and whether one of it is enough.
type StandsInTheWay<'c, 'a, 's> = (&'c [InTheWay<'a, 's>], bool);

/// The subject of the finding.
type Own = Option<(Subject, usize)>;

/// The ways, those that differ only in what the record says of them as one.
fn merged(ways: impl Iterator<Item = SaidWay>) -> Vec<SaidWay> {
    let mut each: Vec<SaidWay> = Vec::new();
    for way in ways {
        let new = each.iter_mut().try_fold(way, |way, known| known.merge(way));
        each.extend(new);
    }
    each
}

/// What must change, by the ways that were tried.
fn changes(
    scene: &Scene<'_>,
    rule: &Rule,
    remedy: &Remedy,
    (cure, one_does): StandsInTheWay<'_, '_, '_>,
    own: Own,
) -> Vec<Says> {
    let alone = remedy.ways.is_empty();
    let price = remedy
        .at_a_price
        .as_ref()
        .map(|(way, spoiled)| at_a_price(scene, (rule, cure), (way, spoiled.as_slice()), alone, own));
    // What can only have been misread is no further way beside those that can be gone.
    let price = price.filter(|price| alone || !price.way.stays_closed());
    let ways = remedy.ways.iter().enumerate().filter(|(place, way)| {
        // What is missing is found out together, whichever of it is named first.
        let before = remedy.ways.iter().take(*place);
        !(is_found_out(scene, way) && before.into_iter().any(|known| facts_of(known) == facts_of(way)))
    });
    let mut said: Vec<SaidWay> = ways.map(|(_, way)| of_way(scene, (rule, cure), way, own)).collect();
    // What holds the job once an entry is corrected depends on what was read.
    let price = match price {
        Some(price) if price.way.is_of_entries() => {
            said.push(price.way);
            None
        }
        price => price,
    };
    // Nobody is sent to a plate for another number while something else can be done.
    let only_misread = said.iter().all(SaidWay::is_of_misreading);
    if let (Some(first), true) = (&remedy.first, only_misread) {
        let first = acts::said(scene, (rule, cure), first, own);
        // A target that is past is not put right first.
        return vec![if first.deed == Deed::StaysClosed { Says::Act(first) } else { Says::TargetFirst(first) }];
    }
    if !said.is_empty() && only_misread && price.is_none() {
        let done = SaidWay(vec![SaidAct::told("this is done as told, and the job is checked again".to_owned())]);
        return vec![Says::Ways(merged(std::iter::once(done).chain(said)), None)];
    }
    match (price, said.as_slice()) {
        (None, []) if remedy.cut_off => vec![Says::Told(CUT_OFF.to_owned())],
        (None, []) => vec![Says::Told(beyond(scene, rule, (cure, one_does), own))],
        (None, [_]) => said.into_iter().flat_map(|way| way.0).map(Says::Act).collect(),
        (price, _) => vec![Says::Ways(merged(said.into_iter()), price)],
    }
}

/// The facts that a way changes.
fn facts_of(way: &Way) -> BTreeSet<(FactKey, usize)> {
    way.acts.iter().map(|act| (act.key(), act.edit.entity)).collect()
}

/// Whether all that a way does is to record what the record does not say.
fn is_found_out(scene: &Scene<'_>, way: &Way) -> bool {
    way.acts.iter().all(|act| {
        let subject = scene.job().of(act.key().subject).and_then(|entities| entities.get(act.edit.entity));
        subject.is_none_or(|subject| subject.facts.get(act.key()).is_none())
    })
}

/// What a finding is held against and another one finds fault with: nothing is brought to a number that is wrong itself.
fn rejected(scene: &Scene<'_>, rule: &Rule, cure: &[InTheWay<'_, '_>]) -> Option<String> {
    let held_against = cure.iter().flat_map(|part| match part {
        InTheWay::Comparison { leaf, .. } => leaf.right.iter().filter_map(|right| right.term).collect(),
        InTheWay::List { .. } => Vec::new(),
    });
    let facts = held_against.filter_map(|term| if let Term::Fact(key) = term { Some((term, key)) } else { None });
    let others = || {
        let broken = scene.found().iter().filter(|finding| finding.holds() && finding.outcome == Outcome::Broken);
        // Two packs may have rules of one name.
        broken
            .filter_map(|finding| Some((finding, scene.rule(finding)?)))
            .filter(|(_, other)| !std::ptr::eq(*other, rule))
    };
    let is_rejected = |key: FactKey| {
        others().filter(|(_, other)| other.covers == key.subject).any(|(finding, other)| {
            let trace = engine::trace(scene, &other.asks.demands, &scene.here(other.covers, finding.entity));
            trace.in_the_way().iter().any(|part| is_held_to_a_number(part, key))
        })
    };
    facts.into_iter().find(|(_, key)| is_rejected(*key)).map(|(term, _)| words::term(scene, term))
}

/// The gauge of a target, where with this one no target suits both load and ratings, and with a finer one some would.
fn coarse_gauge(scene: &Scene<'_>, remedy: &Remedy, cure: &[InTheWay<'_, '_>], own: Own) -> Option<String> {
    let (_, index) = own.filter(|(subject, _)| *subject == Subject::Assembly && remedy.ways.is_empty())?;
    if !cure.iter().flat_map(parts::facts).any(|key| key == assembly::TARGET_PRESSURE) {
        return None;
    }
    let of = |id| match scene.figure(id, Subject::Assembly, index) {
        Some(Ok(Value::Measured(measured))) => Some(measured.interval),
        _ => None,
    };
    let [window, floor, lowest] = [FigureId::PressureWindow, FigureId::PressureFloor, FigureId::LowestRating].map(of);
    let is_narrow = window?.hi() < Exact::ZERO && floor?.hi() <= lowest?.lo();
    is_narrow.then(|| words::term(scene, Term::Fact(assembly::TARGET_GAUGE)))
}

/// Whether a fact is what a part in the way compares, with numbers that no other fact moves.
fn is_held_to_a_number(part: &InTheWay<'_, '_>, key: FactKey) -> bool {
    let InTheWay::Comparison { leaf, .. } = part else { return false };
    leaf.leaf.term == Term::Fact(key) && !leaf.right.is_empty() && leaf.right.iter().all(|right| right.term.is_none())
}

/// Whether a way goes by something that stands in the record and that nobody brings about.
fn may_be_misread(scene: &Scene<'_>, remedy: &Remedy) -> bool {
    let acts = remedy.ways.iter().chain(remedy.at_a_price.iter().map(|(way, _)| way)).flat_map(|way| &way.acts);
    acts.filter(|act| !act.is_done_again()).any(|act| {
        let key = act.key();
        let subject = scene.job().of(key.subject).and_then(|entities| entities.get(act.edit.entity));
        subject.is_some_and(|subject| subject.facts.get(key).is_some())
            && scene.packs().catalogue().comes_at(key, scene.hold_point()) != Comes::Made
    })
}

/// A way in words; what comes of another act by itself is not said.
fn of_way(scene: &Scene<'_>, of: (&Rule, &[InTheWay<'_, '_>]), way: &Way, own: Own) -> SaidWay {
    let acts = way.acts.iter().filter(|act| act.kind != ActKind::Follows);
    SaidWay::of(acts.map(|act| acts::said(scene, of, act, own)))
}

/// What clears it puts something else out of order; `alone` where there is no other way.
fn at_a_price(
    scene: &Scene<'_>,
    of: (&Rule, &[InTheWay<'_, '_>]),
    (way, spoiled): (&Way, &[Finding]),
    alone: bool,
    own: Own,
) -> Price {
    let of_rules = spoiled.chunk_by(|one, next| (one.pack, one.rule) == (next.pack, next.rule));
    let first = of_rules.filter_map(|of_rule| scene.rule(of_rule.first()?));
    let rules = first.map(|rule| format!("`{}`", rule.name)).collect();
    Price { way: of_way(scene, of, way, own), rules, alone }
}

/// Nothing that can be tried on the record clears it: what is to be found out, or what stays and who decides.
fn beyond(scene: &Scene<'_>, rule: &Rule, (cure, one_does): StandsInTheWay<'_, '_, '_>, own: Own) -> String {
    if let Some(corrected) = corrected(scene, cure) {
        return corrected;
    }
    let open = open(scene, cure);
    if !open.is_empty() {
        let (joint, verb) = match (open.len(), one_does) {
            (1, _) => ("", "is"),
            (_, true) => (" or ", "is"),
            (_, false) => (" and ", "are"),
        };
        return format!("{} {verb} found out and recorded", open.join(joint));
    }
    let decides = match &rule.told.permit {
        // What is filled is conceded, and not by the shop alone.
        Some(permit) if scene.hold_point() >= HoldPoint::AfterFill => {
            format!("only by its makers' word in writing can the {} permit going on", words::role(&permit.by))
        }
        Some(permit) => format!("only the {} can decide to go on", words::role(&permit.by)),
        None => "nobody can permit going on".to_owned(),
    };
    // A figure has many inputs; do not blame the first.
    let named: Vec<FactKey> = cure.iter().flat_map(parts::named_facts).collect();
    let facts: Vec<FactKey> = cure.iter().flat_map(parts::facts).collect();
    let comes_now = |key: FactKey| match own {
        Some((subject, entity)) if subject == key.subject => flow::comes(scene, key, entity),
        _ => scene.packs().catalogue().comes_at(key, scene.hold_point()),
    };
    let comes = |wanted: fn(Comes) -> bool| facts.iter().map(|key| comes_now(*key)).find(|comes| wanted(*comes));
    let stamped = |key: &&FactKey| matches!(comes_now(**key), Comes::Stamped(_));
    // Either the thing is otherwise or the rows are: done again it would only be a longer log of the same.
    if comes(|comes| comes == Comes::Logged).is_some()
        && let (true, Some(thing)) = (one_does, named.iter().find(stamped))
    {
        let thing = words::term(scene, Term::Fact(*thing));
        return format!("{thing} or the rows were misread, and whoever read them corrects them; otherwise {decides}");
    }
    // A cure is not begun again.
    if facts.contains(&job::WORKSPACE_LOG) {
        return format!(
            "a row that was misread, or was not read beside the assemblies, is corrected by whoever read it; otherwise they are \
             left for the longer time, and {decides}"
        );
    }
    if comes(|comes| comes == Comes::Logged).is_some() {
        return format!(
            "it is done again from the beginning, with a new log; a row that was misread is corrected by whoever read it, and {decides}"
        );
    }
    // Air that went in too early comes out again, as long as it is nothing but air.
    if comes(|comes| comes == Comes::Past).is_some()
        && scene.packs().lets_air_out(&rule.told.put_right)
        && scene.hold_point() < HoldPoint::AfterFill
    {
        return format!(
            "it was misread, and whoever read it corrects it; otherwise the air comes out as told, the time of it is taken \
             out of the record, and the check is made before air goes in again; if it stays in, {decides}"
        );
    }
    // Of two torques that differ either may be the wrong one.
    if facts.contains(&assembly::WHEEL_NUT_TORQUE) && !named.contains(&assembly::WHEEL_NUT_TORQUE) {
        return format!(
            "both torques are looked up again in that manual, and the nuts are seen to as told; if both are right, {decides}"
        );
    }
    if named.contains(&stages::FILL_NEEDLE) && is_sought(scene, own) {
        return format!(
            "it is found whole where the steps say, and recorded so, or it was misread, and whoever read it corrects it; \
             otherwise it stays closed and out of use, and {decides}"
        );
    }
    if comes(|comes| comes == Comes::Past).is_some() {
        return format!(
            "it was misread, and whoever read it corrects it; otherwise it stays closed and out of use, and {decides}"
        );
    }
    let thing = named.iter().find_map(|key| match comes_now(*key) {
        // A limit of the site is written by people, and stands on no rim or tyre.
        _ if SITE_LIMITS.contains(key) => Some(Deed::Misread(words::term(scene, Term::Fact(*key))).to_string()),
        Comes::Stamped(thing) if acts::is_of_paper(rule, thing) => Some(Deed::SoonerMisread(thing).to_string()),
        Comes::Stamped(thing) => Some(Deed::Exchanged(thing).to_string()),
        _ => None,
    });
    let thing = thing.unwrap_or_else(|| "this is done as told, and it is looked at again".to_owned());
    format!("{thing}; if it stays as it is, {decides}")
}

/// Whether the needle of a tyre is looked for: it may yet be found whole, and one that broke is not.
fn is_sought(scene: &Scene<'_>, own: Own) -> bool {
    let (subject, entity) = own.unwrap_or((Subject::Assembly, 0));
    let entity = scene.job().of(subject).and_then(|entities| entities.get(entity));
    entity.is_some_and(|entity| entity.facts.choice() == Some(Needle::Missing))
}

/// Where all that is in the way is that recorded entries cannot be so: that they are corrected, with the reason, or
/// that this waits for the finding which asks for it.
fn corrected(scene: &Scene<'_>, cure: &[InTheWay<'_, '_>]) -> Option<String> {
    let mut whys: Vec<&Obstacle> = Vec::new();
    let mut keys: Vec<FactKey> = Vec::new();
    for part in cure {
        let InTheWay::Comparison { leaf, .. } = part else { return None };
        let mut refused = parts::sides(leaf).filter_map(|seen| match (&seen.known, seen.term) {
            (Known::Obstacle(why), Some(term)) if obstacles::is_of_entries(why) => Some((why, term)),
            _ => None,
        });
        let (why, term) = refused.next()?;
        for term in to_record(scene, term, leaf) {
            let Term::Fact(key) = term else { return None };
            if !keys.contains(&key) {
                keys.push(key);
            }
        }
        if !whys.contains(&why) {
            whys.push(why);
        }
    }
    let named: Vec<String> = keys.iter().map(|key| words::term(scene, Term::Fact(*key))).collect();
    let verb = if named.len() == 1 { "is" } else { "are" };
    let named = joined(&named, " and ");
    if !keys.is_empty() && keys.iter().any(|key| acts::is_found_fault_with(scene, *key)) {
        return Some(format!("{named} {verb} put right, {}", acts::WAITS));
    }
    let whys: Vec<String> = whys.into_iter().map(obstacles::fragment).collect();
    (!keys.is_empty()).then(|| format!("{named} {verb} put right: {}", whys.join("; ")))
}
