//! What a key is worth by one version of the trust file.

use fillward::checklist::trust::Person;
use fillward::units::Instant;
use fillward::vocabulary::Role;

use super::model::Signer;

/// A key of somebody, by one version of the trust file.
#[derive(Debug, Clone)]
pub(super) struct HeldKey {
    pub(super) who: usize,
    /// Every role that its holder has or had.
    roles: Vec<Role>,
    /// From when and until when the holder was without a role.
    without: Vec<(Role, Instant, Option<Instant>)>,
    pub(super) from: Instant,
    pub(super) until: Instant,
    pub(super) revoked: bool,
}

impl HeldKey {
    pub(super) fn of((who, person): (usize, &Person), from: Instant, until: Instant, revoked: bool) -> Self {
        let at = |text: &String| Instant::parse(text).unwrap();
        let former = person.former_roles.iter();
        let without = former.map(|former| (former.role, at(&former.until), former.again.as_ref().map(at)));
        let without: Vec<_> = without.collect();
        let roles = person.roles.iter().copied().chain(without.iter().map(|(role, ..)| *role)).collect();
        Self { who, roles, without, from, until, revoked }
    }

    pub(super) fn signs(&self, signer: &Signer) -> bool {
        let Signer { role, at, holds, .. } = signer;
        let lacks = |(lost, from, again): &(Role, Instant, Option<Instant>)| {
            lost == role && from <= at && again.is_none_or(|again| *at < again)
        };
        let in_role = self.roles.contains(role) && !self.without.iter().any(lacks);
        *holds && in_role && self.from <= *at && *at < self.until && !self.revoked
    }
}
