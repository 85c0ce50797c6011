//! What has changed in the shop file since the last signature, for the person who signs: entries by name, and of those
//! of which a checklist at hand has what they said the values.
//!
//! Must not know how it was found.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use fillward::desk::{EntryChange, Forgotten, ShopChanges, ShopEntry};
use fillward::units::Instant;
use fillward::vocabulary::{quoted, shown};

use crate::cli::output::named;

/// Entries of a shop file that are named one by one; of more than these the rest is counted.
const NAMED: usize = 12;

/// What has changed in the shop file since the last signature.
pub(super) fn shop_file(text: &mut String, changes: &ShopChanges) {
    let ShopChanges { since, added, changed, values, gone, put_back, zone_before, unreadable, forgotten } = changes;
    if let Some(name) = unreadable {
        let name = named(name);
        let _ = writeln!(text, "    what it was at the last signature cannot be read in {name}");
        return;
    }
    if let Some(Forgotten { name, judged_at, same }) = forgotten {
        let file = if *same { "this very file" } else { "another one" };
        let _ = writeln!(
            text,
            "    WHAT WAS REMEMBERED OF THE SHOP FILE IS GONE: {}, checked {}, was signed with {file}",
            quoted(name),
            shown(&Instant::told(judged_at))
        );
        text.push_str("    look it through, and find out who took that away\n");
        return;
    }
    let Some(since) = since.as_deref().map(Instant::told) else {
        text.push_str("    no signature with a shop file is known here: look it through\n");
        return;
    };
    let since = shown(&since);
    if let Some(last) = put_back {
        let _ = writeln!(
            text,
            "    AN OLD SHOP FILE: last signed with at {}, and another one after it",
            shown(&Instant::told(last))
        );
    }
    if let Some(zone) = zone_before {
        let _ = writeln!(text, "    ANOTHER ZONE: at the last signature it was {}", shown(zone));
    }
    let mut said = false;
    for (word, entries) in [("changed", changed), ("new", added), ("gone", gone)] {
        let Some(list) = listed(entries) else { continue };
        let _ = writeln!(text, "    {word} since {since}: {list}");
        said = true;
        if word == "changed" {
            what_changed(text, entries, values);
        }
    }
    if !said {
        let _ = writeln!(text, "    every entry as at the last signature, {since}");
    }
}

/// Of changed entries the values that differ, as far as a checklist here has them.
fn what_changed(text: &mut String, changed: &[ShopEntry], values: &BTreeMap<ShopEntry, Vec<EntryChange>>) {
    for (entry, of) in values.iter().take(NAMED) {
        for EntryChange { what, before, now } in of {
            let said = |value: &Option<String>| value.as_ref().map_or("not there".to_owned(), |value| quoted(value));
            let _ = writeln!(
                text,
                "      {}, {}: {} then, {} now",
                shown(&entry_name(entry)),
                shown(what),
                said(before),
                said(now)
            );
        }
    }
    let unknown = changed.iter().filter(|entry| !values.contains_key(entry)).count();
    if unknown > 0 {
        let which = if unknown == changed.len() { "they" } else { "the others" };
        let _ = writeln!(text, "      what {which} said before is in no checklist here");
    }
}

fn entry_name(ShopEntry { section, mark }: &ShopEntry) -> String {
    match mark {
        Some(mark) => format!("{section} {mark}"),
        None => format!("a row of {section}"),
    }
}

/// Entries by name, those that come again once with their number; nothing where there are none.
fn listed(entries: &[ShopEntry]) -> Option<String> {
    let mut counts: Vec<(&ShopEntry, usize)> = Vec::new();
    for entry in entries {
        match counts.iter_mut().find(|(known, _)| *known == entry) {
            Some((_, count)) => *count += 1,
            None => counts.push((entry, 1)),
        }
    }
    let name = |entry: &ShopEntry| shown(&entry_name(entry)).into_owned();
    let named = counts.iter().take(NAMED).map(|(entry, count)| match count {
        1 => name(entry),
        count => format!("{} ({count})", name(entry)),
    });
    let named: Vec<String> = named.collect();
    let more = counts.len().saturating_sub(NAMED);
    let rest = if more > 0 { format!(" and {more} more") } else { String::new() };
    (!named.is_empty()).then(|| format!("{}{rest}", named.join(", ")))
}
