use std::collections::BTreeSet;

use super::*;

/// The spelling of Rust made into kebab-case behind its first word.
fn word_of(variant: &str) -> String {
    let mut word = String::new();
    let mut humps = 0;
    for letter in variant.chars() {
        if letter.is_uppercase() {
            humps += 1;
            word.push_str(["", "/", "-"][std::cmp::min(humps, 3) - 1]);
        }
        word.push(letter.to_ascii_lowercase());
    }
    word
}

#[test]
fn every_code_has_its_own_word_and_a_page_of_two_sentences() {
    let words: BTreeSet<&str> = Code::ALL.iter().map(|code| code.word()).collect();
    assert_eq!(words.len(), Code::ALL.len(), "two codes share a word");
    let pages: BTreeSet<&str> = Code::ALL.iter().map(|code| code.page()).collect();
    assert_eq!(pages.len(), Code::ALL.len(), "two codes share a page, so one of them tells nothing");
    for &code in Code::ALL {
        assert_eq!(code.word(), word_of(&format!("{code:?}")));
        assert_eq!(Code::called(code.word()), [code]);
        // A table writes it without its stage, and is asked for it so.
        let short = code.word().split('/').nth(1).unwrap();
        assert!(Code::called(short).contains(&code), "{short}");
        let page = code.page();
        assert!(page.contains(". ") && page.ends_with('.'), "{code}: what it means, then what to do");
    }
    for none in ["pack/unknown", "unknown", "pack", "/", ""] {
        assert_eq!(Code::called(none), [], "{none}");
    }
}

/// Anyone who adds a code, or looks for one, finds its place by the word: stages stand together, and words in order within.
#[test]
fn codes_stand_in_the_order_of_their_words() {
    let mut stages: Vec<&str> = Vec::new();
    for (before, code) in Code::ALL.iter().zip(Code::ALL.iter().skip(1)) {
        if before.stage() == code.stage() {
            assert!(before.word() < code.word(), "{code} belongs in front of {before}");
        } else {
            stages.push(before.stage());
            assert!(!stages.contains(&code.stage()), "{code} stands apart from the codes of its stage");
        }
    }
    assert!(stages.len() > 5, "{stages:?}");
}
