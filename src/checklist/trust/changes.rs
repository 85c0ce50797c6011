//! What one version of a trust file says otherwise than another, for the person who signs it.
//!
//! Both are laid out as lines, each with a name of its own and a value; whatever is said in a body is said in its lines, so
//! no difference is left out. This module must not know how it is printed.

use std::collections::BTreeMap;

use super::body::{Approval, FormerName, FormerRole, Key, TrustBody};
use crate::checklist::keys::{PublicKey, digest_words};
use crate::checklist::packs::{is_digest, sha256_hex};
use crate::units::Instant;

/// One thing that is said otherwise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TrustChange {
    /// Of what.
    pub what: String,
    /// What was said; nothing where it is new.
    pub before: Option<String>,
    /// What is said now; nothing where it is gone.
    pub after: Option<String>,
}

/// Everything that a version says otherwise than the one before; without one before, everything that it says.
pub fn changes(before: Option<&TrustBody>, after: &TrustBody) -> Vec<TrustChange> {
    let (then, now) = (before.map(lines).unwrap_or_default(), lines(after));
    let mut names: Vec<&String> = then.keys().chain(now.keys()).collect();
    names.sort_unstable();
    names.dedup();
    let of = |lines: &BTreeMap<String, String>, name: &String| lines.get(name).cloned();
    let change = |name: &String| TrustChange { what: name.clone(), before: of(&then, name), after: of(&now, name) };
    names.into_iter().map(change).filter(|change| change.before != change.after).collect()
}

/// Everything that a body says, but for its version.
fn lines(body: &TrustBody) -> BTreeMap<String, String> {
    let TrustBody {
        format: _,
        version: _,
        made_at,
        shop,
        formerly,
        zone,
        ends_at,
        clock_anew,
        owners_needed,
        people,
        packs,
    } = body;
    let mut lines = BTreeMap::new();
    let mut say = |what: String, value: String| {
        // What stands there twice is said twice.
        let mut name = what.clone();
        for again in 2.. {
            if !lines.contains_key(&name) {
                break;
            }
            name = format!("{what} ({again})");
        }
        lines.insert(name, value);
    };
    say("shop".to_owned(), shop.clone());
    for FormerName { shop, through } in formerly {
        say(format!("name of the shop through version {through}"), shop.clone());
    }
    say("made".to_owned(), Instant::told(made_at));
    say("time zone".to_owned(), zone.clone());
    say("to be replaced by".to_owned(), Instant::told(ends_at));
    say("owners who must sign".to_owned(), owners_needed.to_string());
    if let Some(anew) = clock_anew {
        say("clocks count anew from".to_owned(), Instant::told(anew));
    }
    for person in people {
        let roles: Vec<&str> = person.roles.iter().map(|role| role.word()).collect();
        say(format!("{}, role", person.name), roles.join(", "));
        for FormerRole { role, until, again, once_signed } in &person.former_roles {
            let until = from_signing(Instant::told(until), *once_signed);
            let again =
                again.as_ref().map_or("to this day".to_owned(), |again| format!("until {}", Instant::told(again)));
            say(format!("{}, not {} from {until}", person.name, role.word()), again);
        }
        for key in &person.keys {
            say(format!("{}, key {}", person.name, key_words(&key.public_key)), span(key));
        }
    }
    for pack in packs {
        // An approval is told by its signature, and not by where it stands: two of one pack are two.
        let sealed = seal(pack).map_or(String::new(), |seal| format!(", approval {}", digest_words(&seal)));
        say(format!("pack {} {} {}{sealed}", pack.name, pack.edition, pack_words(&pack.sha256)), approval(pack));
    }
    lines
}

/// A key by its words; by the digest of what stands there, where it is none.
fn key_words(pem: &str) -> String {
    PublicKey::from_pem(pem).map_or_else(|_| sha256_hex(pem.as_bytes()), |key| key.fingerprint_words())
}

fn span(Key { public_key: _, from, until, retired, revoked, once_signed }: &Key) -> String {
    let mut text = format!("from {} until {}", Instant::told(from), Instant::told(until));
    for (word, end, waits) in [("retired", retired, *once_signed), ("revoked", revoked, false)] {
        if let Some(end) = end {
            text = format!("{text}, {word} from {}: {}", from_signing(Instant::told(&end.at), waits), end.why);
        }
    }
    text
}

/// An instant of an end, and that it waits for the owners, where it does.
fn from_signing(at: String, waits: bool) -> String {
    if waits { format!("{at}, or when the owners have signed") } else { at }
}

/// A pack by the words of its digest; by what stands there, where it is none.
fn pack_words(sha256: &str) -> String {
    if is_digest(sha256) { digest_words(sha256) } else { sha256.to_owned() }
}

/// The digest of an approval's signature.
fn seal(approval: &Approval) -> Option<String> {
    approval.seal.as_ref().map(|_| approval.seal_digest())
}

fn approval(pack: &Approval) -> String {
    let Approval { name: _, edition: _, sha256: _, approved_by, required, from, until, once_signed, shop, seal: _ } =
        pack;
    let needed = if *required { "required" } else { "not required" };
    let until = until.as_ref().map(|until| from_signing(Instant::told(until), *once_signed));
    let until = until.map_or(String::new(), |until| format!(" until {until}"));
    let shop = shop.as_ref().map_or(String::new(), |shop| format!(", as {shop}"));
    format!("approved by {approved_by} from {}{until}, {needed}{shop}", Instant::told(from))
}
