//! What the packs of a checklist tell of its lines: which rule asked for what, whether one of several ways was enough, and
//! what a limit was on that day.
//!
//! A file names the limits that it compares with, and no rule for what lies within them. Must not know words for people.

use std::collections::BTreeMap;

use crate::checklist::body::{AskedByRule, asked_by_rules};
use crate::checklist::evidence::{EvidenceLine, WrittenOrigin};
use crate::engine::{Judgement, Scene};
use crate::pack::sides::{Base, Factor, Offset};
use crate::pack::test::{Relation, WasAsked};
use crate::pack::{Condition, Leaf, LimitId, PackSet, Rule, Term};
use crate::units::Quantity;

/// Of what a rule asks, what has to be so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ways {
    /// All of it.
    All,
    /// Some of it, since for a part of it one of several ways is enough.
    OneOfSome,
    /// One of several ways.
    One,
}

/// Who asked for a line that stands among the values.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct AskedBy {
    /// The name of the rule, which is of the first pack.
    pub rule: String,
    /// Whether the rule would have been met in another way, too.
    pub one_way: bool,
}

/// How a bound is made with a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LimitUse {
    /// It is the bound.
    Alone,
    /// It is a share or a multiple of something else.
    Share,
    /// It is added to something else.
    Added,
    /// It is taken away from something else.
    TakenAway,
}

/// What a limit was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LimitThen {
    /// Its value in force.
    pub value: Quantity,
    /// How bounds are made with it, by the word of the test.
    uses: LimitUses,
}

/// How bounds are made with a limit, by the word of the test; nothing where that is not the same in all rules.
type LimitUses = BTreeMap<&'static str, Option<LimitUse>>;

impl LimitThen {
    /// How bounds of a test are made with it; nothing where that is not the same in all rules.
    pub fn used(&self, test: WasAsked) -> Option<LimitUse> {
        self.uses.get(test.word()).copied().flatten()
    }
}

/// What packs tell of the lines of one checklist.
#[derive(Debug, Default)]
pub(super) struct AskedOfLines {
    /// By the word of the subject, the fact and what was asked of it.
    rules: BTreeMap<(String, String, String), Vec<AskedBy>>,
    /// By the name as lines have it.
    limits: BTreeMap<String, LimitThen>,
}

impl AskedOfLines {
    pub(super) fn of(scene: &Scene<'_>, judgement: &Judgement) -> Self {
        let mut found = Self::default();
        for AskedByRule { of, line, rule } in asked_by_rules(scene, judgement) {
            let Some(read) = EvidenceLine::read(&line) else { continue };
            let first = scene.packs().packs().first();
            let asks = first.and_then(|pack| pack.rules.iter().find(|known| *known.name == *rule));
            let one_way = asks.is_some_and(|asks| is_one_way(scene.packs(), asks, &read));
            let asked = read.asked.first().map(ToString::to_string).unwrap_or_default();
            let by = found.rules.entry((of.to_owned(), read.fact, asked)).or_default();
            let rule = AskedBy { rule, one_way };
            if !by.contains(&rule) {
                by.push(rule);
            }
        }
        let uses = uses(scene.packs());
        for (id, uses) in (0..scene.packs().limits().len()).map(LimitId).zip(uses) {
            if let (Some(name), Some(value)) = (name_of(scene.packs(), id), scene.limit(id)) {
                found.limits.insert(name, LimitThen { value, uses });
            }
        }
        found
    }

    /// The rules that asked this of a fact.
    pub(super) fn by(&self, of: &str, fact: &str, asked: &str) -> &[AskedBy] {
        let key = (of.to_owned(), fact.to_owned(), asked.to_owned());
        self.rules.get(&key).map_or(&[], Vec::as_slice)
    }

    pub(super) fn limit(&self, name: &str) -> Option<&LimitThen> {
        self.limits.get(name)
    }
}

/// The name of a limit as lines have it.
fn name_of(packs: &PackSet, id: LimitId) -> Option<String> {
    let limit = packs.limits().get(id.0)?;
    let pack = packs.packs().get(limit.pack).filter(|_| limit.pack > 0);
    Some(pack.map_or_else(|| limit.name.to_string(), |pack| format!("{}/{}", pack.name, limit.name)))
}

/// How the rules of all packs use each limit.
fn uses(packs: &PackSet) -> Vec<LimitUses> {
    let mut found = vec![LimitUses::new(); packs.limits().len()];
    let mut note = |test, id: LimitId, used| {
        if let Some(uses) = found.get_mut(id.0) {
            let known = uses.entry(test).or_insert(Some(used));
            *known = known.filter(|known| *known == used);
        }
    };
    for condition in packs.packs().iter().flat_map(|pack| &pack.rules).flat_map(|rule| rule.asks.conditions()) {
        condition.leaves(&mut |leaf| limits_of(leaf).for_each(|(id, used)| note(leaf.test.row().word, id, used)));
    }
    found
}

/// The limits of a comparison in the order in which its bounds name them.
fn limits_of(leaf: &Leaf) -> impl Iterator<Item = (LimitId, LimitUse)> + '_ {
    leaf.test.operands().flat_map(|operand| {
        let base = match operand.base {
            Base::Limit(id) => Some((id, LimitUse::Alone)),
            _ => None,
        };
        let times = match operand.factor() {
            Some(Factor::Limit(id)) => Some((id, LimitUse::Share)),
            _ => None,
        };
        let plus = match operand.offset() {
            Some(Offset::Limit(id)) => Some((id, LimitUse::Added)),
            Some(Offset::LessLimit(id)) => Some((id, LimitUse::TakenAway)),
            _ => None,
        };
        [base, times, plus].into_iter().flatten()
    })
}

/// Whether a line is of a comparison that the rule could do without: of all of its comparisons that it may be of, each
/// stands in one of several ways.
fn is_one_way(packs: &PackSet, rule: &Rule, line: &EvidenceLine) -> bool {
    let asked = line.asked.first();
    let names = asked.into_iter().flat_map(|asked| &asked.bounds).flat_map(|bound| &bound.origins);
    let names: Vec<&String> = names
        .filter_map(|origin| match origin {
            WrittenOrigin::Limit(name) => Some(name),
            WrittenOrigin::Place(_) => None,
        })
        .collect();
    let mut meant = Vec::new();
    walk(&rule.asks.demands, State { sense: true, one_of: false, entries: false }, &mut |leaf, one_of| {
        let limits: Vec<String> = limits_of(leaf).filter_map(|(id, _)| name_of(packs, id)).collect();
        let row = leaf.test.row();
        if asked.map_or(row.relation == Relation::Recorded, |asked| asked.test == WasAsked::Test(row))
            && limits.iter().eq(names.iter().copied())
            && is_of(packs, leaf.term, &line.fact)
        {
            meant.push(one_of);
        }
    });
    !meant.is_empty() && meant.iter().all(|one_of| *one_of)
}

/// Whether a place may be that of a term, whichever subject it is of: by the name of the fact, and the member of the
/// reading or the item of the list that is looked at.
fn is_of(packs: &PackSet, term: Term, place: &str) -> bool {
    let named = |place: &str, name: &str| {
        let before = place.strip_suffix(name);
        !name.is_empty() && before.is_some_and(|before| before.is_empty() || before.ends_with('.'))
    };
    let fact = |key| packs.catalogue().spec(key).map_or("", |spec| &*spec.name);
    let member = place.rsplit_once('.');
    let of_member = |key, due: &[&str]| {
        member.is_some_and(|(of, member)| named(of, fact(key)) && (due.is_empty() || due.contains(&member)))
    };
    match term {
        // Of a reading whose age is asked, its instant is looked at.
        Term::Fact(key) => named(place, fact(key)) || of_member(key, &["at"]),
        Term::ReadAt(key) => of_member(key, &["at"]),
        // What instrument it is the member says.
        Term::ReadWith(key) => of_member(key, &[]),
        Term::ReadDoubt(key) => of_member(key, &["uncertainty"]),
        Term::Figure(id) => named(place, id.spec().map_or("", |spec| spec.name)),
        Term::Item => place.ends_with(']'),
    }
}

/// Where a walk through a condition has come to.
#[derive(Debug, Clone, Copy)]
struct State {
    /// Whether what lies here is asked for, and not its opposite.
    sense: bool,
    /// Whether it lies in one of several ways of which one is enough.
    one_of: bool,
    /// Whether the entries of a list of which one is enough are such ways, too.
    entries: bool,
}

/// Calls `visit` on every comparison with whether it stands in one of several ways of which one is enough.
fn walk<'c>(condition: &'c Condition, state: State, visit: &mut impl FnMut(&'c Leaf, bool)) {
    let State { sense, one_of, entries } = state;
    match condition {
        Condition::All(parts) | Condition::Any(parts) => {
            let is_choice = parts.len() > 1 && matches!(condition, Condition::Any(_)) == sense;
            for part in parts {
                walk(part, State { one_of: one_of || is_choice, ..state }, visit);
            }
        }
        Condition::Not(inner) => walk(inner, State { sense: !sense, ..state }, visit),
        Condition::Each(of) | Condition::Some(of) => {
            let is_choice = entries && matches!(condition, Condition::Some(_)) == sense;
            walk(&of.meets, State { one_of: one_of || is_choice, ..state }, visit);
        }
        Condition::Leaf(leaf) => visit(leaf, one_of),
    }
}

/// What has to be so of what a rule asks.
pub(super) fn ways(rule: &Rule) -> Ways {
    let (mut some, mut all) = (false, true);
    walk(&rule.asks.demands, State { sense: true, one_of: false, entries: true }, &mut |_, one_of| {
        some |= one_of;
        all &= one_of;
    });
    match (some, all) {
        (false, _) => Ways::All,
        (true, false) => Ways::OneOfSome,
        (true, true) => Ways::One,
    }
}
