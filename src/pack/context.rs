//! Names in conditions: from text to facts, figures and limits, within the scope of a rule.
//!
//! Must not know a job.

use super::condition::Collection;
use super::sides::Term;
use super::{Class, Limit, LimitId};
use crate::document::nearest;
use crate::figures::{FigureId, FigureKind};
use crate::record::{Catalogue, FactKey, FactKind};
use crate::units::Dimension;
use crate::vocabulary::Subject;

/// What a name may refer to at one place of a rule.
#[derive(Debug, Clone)]
pub(super) struct Scope {
    /// Subjects whose facts may be named.
    pub(super) subjects: Vec<Subject>,
    /// The list fact whose words are gone through, if any.
    pub(super) item: Option<FactKey>,
    /// The lists that are gone through, the outermost first.
    pub(super) through: Vec<Collection>,
}

/// Lists gone through one inside another in a rule. A subject's list has at most 200 entries and a list fact 50 words, so
/// that a comparison is made at most 40,000 times for each subject that the rule covers; no rule of a trade asks for more.
pub(super) const MOST_NESTED: usize = 2;

impl Scope {
    /// The scope of a rule that covers `subject`.
    pub(super) fn of(subject: Subject) -> Self {
        let mut subjects = vec![Subject::Job];
        if subject != Subject::Job {
            subjects.push(subject);
        }
        Self { subjects, item: None, through: Vec::new() }
    }

    /// The scope inside a quantifier over `subject`.
    pub(super) fn with(&self, subject: Subject) -> Self {
        let mut inner = self.clone();
        inner.subjects.push(subject);
        inner.through.push(Collection::Subjects(subject));
        inner
    }

    /// The scope inside a quantifier over the words of `list`.
    pub(super) fn with_item(&self, list: FactKey) -> Self {
        let mut inner = self.clone();
        inner.item = Some(list);
        inner.through.push(Collection::Words(list));
        inner
    }
}

/// Why a name does not resolve.
pub(super) struct Unresolved {
    pub(super) message: String,
    pub(super) help: String,
}

/// Splits a full name into its subject and the name within it.
pub(super) fn split(name: &str) -> (Subject, &str) {
    if let Some((head, rest)) = name.split_once('.')
        && let Some(subject) = Subject::from_word(head)
        && subject != Subject::Job
    {
        return (subject, rest);
    }
    (Subject::Job, name)
}

/// Resolves a full name to a term.
pub(super) fn resolve(name: &str, scope: &Scope, catalogue: &Catalogue) -> Result<Term, Unresolved> {
    if name == "item" {
        return scope.item.map(|_| Term::Item).ok_or_else(|| Unresolved {
            message: "`item` has no meaning here".to_owned(),
            help: "use it inside `for_each` or `for_some` over a list fact".to_owned(),
        });
    }
    let (subject, rest) = split(name);
    let term = find(subject, rest, catalogue).ok_or_else(|| unknown(name, scope, catalogue))?;
    if matches!(term, Term::Figure(figure) if figure.spec().is_some_and(|spec| spec.only_shown)) {
        return Err(Unresolved {
            message: format!("`{name}` is an estimate without bounds, which decides nothing"),
            help: "ask for what was read; the report shows the estimate beside it".to_owned(),
        });
    }
    if scope.subjects.contains(&subject) {
        return Ok(term);
    }
    Err(Unresolved {
        message: format!("`{name}` is not in reach here"),
        help: format!(
            "let the rule cover each {0}, or go through them with `for_each: {{of: {0}, meets: ...}}`",
            subject.word()
        ),
    })
}

fn find(subject: Subject, rest: &str, catalogue: &Catalogue) -> Option<Term> {
    if let Some(figure) = rest.strip_prefix("figure.") {
        return FigureId::find(subject, figure).map(Term::Figure);
    }
    if let Some(key) = catalogue.find(subject, rest) {
        return Some(Term::Fact(key));
    }
    let (reading, part) = rest.rsplit_once('.')?;
    let key = catalogue.find(subject, reading)?;
    match (&catalogue.spec(key)?.kind, part) {
        (FactKind::Reading(_), "at") => Some(Term::ReadAt(key)),
        (FactKind::Reading(_), "instrument") => Some(Term::ReadWith(key)),
        (FactKind::Reading(_), "uncertainty") => Some(Term::ReadDoubt(key)),
        _ => None,
    }
}

fn unknown(name: &str, scope: &Scope, catalogue: &Catalogue) -> Unresolved {
    let mut names: Vec<String> = catalogue
        .keys()
        .filter(|key| scope.subjects.contains(&key.subject))
        .map(|key| catalogue.full_name(key))
        .collect();
    names.extend(
        crate::figures::TABLE
            .iter()
            .filter(|spec| scope.subjects.contains(&spec.subject))
            .map(crate::figures::FigureSpec::full_name),
    );
    let (subject, rest) = split(name);
    let of_a_local_code = catalogue.find(subject, &format!("local.{rest}")).map(|key| catalogue.full_name(key));
    if let Some(local) = of_a_local_code {
        return Unresolved {
            message: format!("no fact or figure is called `{name}`"),
            help: format!("write `{local}`: facts of a local code are named so"),
        };
    }
    Unresolved {
        message: format!("no fact or figure is called `{name}`"),
        help: match nearest(name, names.iter().map(String::as_str)) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "take a name of the fact: `fillward schema record` describes every fact, and `fillward record new` writes them out".to_owned(),
        },
    }
}

/// The limit called `name`: of the pack itself first, then of the pack it amends.
pub(super) fn limit(name: &str, pack: usize, amends: Option<usize>, limits: &[Limit]) -> Option<LimitId> {
    let of = |pack: usize| limits.iter().position(|limit| limit.pack == pack && limit.name == name);
    of(pack).or_else(|| amends.and_then(of)).map(LimitId)
}

/// What kind of value a term has.
pub(super) fn class(term: Term, scope: &Scope, catalogue: &Catalogue) -> Option<Class> {
    match term {
        Term::Fact(key) => Some(match &catalogue.spec(key)?.kind {
            FactKind::Text | FactKind::TyreSize | FactKind::TubeSizes | FactKind::Choice(_) => Class::Text,
            FactKind::Flag => Class::Flag,
            FactKind::Choices(_) => Class::Words,
            FactKind::Count => Class::Number(Dimension::Count),
            FactKind::Quantity(dimension) | FactKind::ScaleBottom(dimension) | FactKind::Reading(dimension) => {
                Class::Number(*dimension)
            }
            FactKind::Event | FactKind::Planned => Class::Instant,
            FactKind::Day => Class::Day,
            FactKind::Log(_) => Class::Log,
        }),
        Term::ReadAt(_) => Some(Class::Instant),
        Term::ReadWith(_) => Some(Class::Text),
        Term::ReadDoubt(_) => Some(Class::Doubt),
        Term::Figure(id) => Some(match id.spec()?.kind {
            FigureKind::Number(dimension) | FigureKind::Difference(dimension) => Class::Number(dimension),
            FigureKind::Instant => Class::Instant,
            FigureKind::Flag => Class::Flag,
        }),
        Term::Item => scope.item.map(|_| Class::Text),
    }
}

/// The closed list of words that a term can take, if it has one.
pub(super) fn words_of_term(term: Term, scope: &Scope, catalogue: &Catalogue) -> Option<Vec<String>> {
    let key = match term {
        Term::Fact(key) => key,
        Term::Item => scope.item?,
        _ => return None,
    };
    match &catalogue.spec(key)?.kind {
        FactKind::Choice(words) | FactKind::Choices(words) => Some(words.iter().map(ToString::to_string).collect()),
        _ => None,
    }
}

/// The name of a term as packs write it.
pub(super) fn term_name(term: Term, catalogue: &Catalogue) -> String {
    match term {
        Term::Fact(key) => catalogue.full_name(key),
        Term::ReadAt(key) => format!("{}.at", catalogue.full_name(key)),
        Term::ReadWith(key) => format!("{}.instrument", catalogue.full_name(key)),
        Term::ReadDoubt(key) => format!("{}.uncertainty", catalogue.full_name(key)),
        Term::Figure(id) => id.spec().map_or_else(String::new, crate::figures::FigureSpec::full_name),
        Term::Item => "item".to_owned(),
    }
}
