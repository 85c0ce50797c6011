//! `fillward trust show`: who may sign what by a signed trust file, and which packs are approved.
//!
//! Must not know how the file was opened.

use std::fmt::Write as _;

use fillward::checklist::keys::digest_words;
use fillward::checklist::trust::{Approval, Person, Trust};
use fillward::units::Instant;
use fillward::vocabulary::{quoted, shown};

use crate::cli::Exit;
use crate::cli::failure::Failure;
use crate::cli::output::{Terminal, counted};

/// The trust file in words.
pub(super) fn show(trust: &Trust, terminal: Terminal) -> Result<Exit, Failure> {
    let body = trust.body();
    let mut out = format!(
        "{}, version {}, made {}, to be replaced by {}\nin {}, {} must sign each version\n",
        quoted(&body.shop),
        body.version,
        Instant::told(&body.made_at),
        Instant::told(&body.ends_at),
        trust.zone(),
        counted(usize::from(body.owners_needed), "owner")
    );
    let _ = writeln!(
        out,
        "words of this version  {}\nSHA-256 of this version\n  {}",
        trust.digest_in_words(),
        trust.digest()
    );
    for former in &body.formerly {
        let _ = writeln!(out, "called {} through version {}", quoted(&former.shop), former.through);
    }
    if !trust.is_pinned() {
        out.push_str("Not checked against an owner's key: give the owner's public key with --owner to be sure whose file it is.\n");
    }
    for one in &body.people {
        person(&mut out, trust, one);
    }
    for one in &body.packs {
        pack(&mut out, trust, one);
    }
    terminal.prose(&out)?;
    Ok(Exit::Pass)
}

/// What a person may sign as, and with which keys.
fn person(out: &mut String, trust: &Trust, person: &Person) {
    let roles: Vec<&str> = person.roles.iter().map(|role| role.word()).collect();
    let _ = writeln!(out, "\n{}  {}", person.name, roles.join(", "));
    for former in &person.former_roles {
        let again = former.again.as_ref().map(|again| format!(", again from {}", Instant::told(again)));
        let (role, until) = (former.role.word(), Instant::told(&former.until));
        let _ = writeln!(out, "  {role} until {until}{}", again.unwrap_or_default());
    }
    for (_, holder) in trust.keys().filter(|(name, _)| *name == person.name) {
        let kid = holder.key.kid();
        let revoked =
            holder.revoked.as_ref().map_or(String::new(), |(at, why)| format!(", revoked from {at}: {}", shown(why)));
        let entry = person.keys.iter().find(|entry| entry.public_key == holder.key.to_pem());
        let retired = entry
            .and_then(|entry| entry.retired.as_ref())
            .map_or(String::new(), |end| format!(", retired: {}", shown(&end.why)));
        let _ = writeln!(
            out,
            "  key {kid}\n    {}\n    public {}\n    from {} until {}{retired}{revoked}",
            holder.key.fingerprint_words(),
            holder.key.to_pem().lines().nth(1).unwrap_or_default(),
            holder.from,
            holder.until
        );
    }
}

/// A pack that is approved.
fn pack(out: &mut String, trust: &Trust, pack: &Approval) {
    let needed = if pack.required { ", required" } else { "" };
    let until = pack.until.as_ref().map_or(String::new(), |until| format!(" until {}", Instant::told(until)));
    let undone = if trust.is_undone(pack) { "  this does not count: the key that signed it had ended\n" } else { "" };
    let _ = write!(
        out,
        "\npack {} {}{needed}  approved by {} from {}{until}\n  words of it  {}\n  SHA-256 of it\n  {}\n{undone}",
        shown(&pack.name),
        shown(&pack.edition),
        pack.approved_by,
        Instant::told(&pack.from),
        digest_words(&pack.sha256),
        pack.sha256
    );
}
