//! Pages of cautions on work that lies before and after the hold points. No rule asks for what they say.
//!
//! Must not know a job or a judgement.

/// The pages by their names.
pub const PAGES: [(&str, &str); 3] = [
    ("receiving", include_str!("../../rules/beyond/receiving.md")),
    ("in-service", include_str!("../../rules/beyond/in-service.md")),
    ("removal", include_str!("../../rules/beyond/removal.md")),
];

/// The page of a name, its paragraphs and entries a line each.
pub fn page_beyond(name: &str) -> Option<String> {
    let (_, text) = PAGES.iter().find(|(known, _)| *known == name)?;
    let mut out = String::new();
    for line in text.lines() {
        let goes_on = !line.is_empty() && !line.starts_with(['#', '-']) && !out.ends_with("\n\n");
        if goes_on && out.ends_with('\n') {
            out.pop();
            out.push(' ');
        }
        out.push_str(line.trim_start_matches(['#', ' ']));
        out.push('\n');
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The kinds of sources that a pack may cite; each caution names one, with how reliable it is.
    const KINDS: [&str; 5] =
        ["regulation: ", "standard: ", "published guidance: ", "maker's data: ", "common practice, no "];

    #[test]
    fn every_caution_names_its_source() {
        for (name, _) in PAGES {
            let page = page_beyond(name).unwrap();
            let cautions: Vec<&str> = page.lines().filter(|line| line.starts_with("- ")).collect();
            assert!(cautions.len() > 5, "{name}");
            for caution in cautions {
                let (said, source) = caution.rsplit_once(". (").unwrap_or_else(|| panic!("{caution}"));
                assert!(said.len() > 20 && source.ends_with(')'), "{caution}");
                assert!(KINDS.iter().any(|kind| source.starts_with(kind)), "{caution}");
            }
            assert!(page.contains("take priority"), "{name}");
        }
        assert!(page_beyond("lunch").is_none());
    }

    /// A page is found by its name only where no rule and no fault code has it.
    #[test]
    fn no_rule_is_named_like_a_page() {
        let packs = crate::pack::PackSet::base().unwrap();
        for (name, _) in PAGES {
            assert!(packs.find_rule(name).is_none(), "{name}");
        }
    }
}
