//! A `#` in a value: by YAML 1.2.2, 6.6, a comment begins at one behind a blank and at no other. Whatever somebody writes
//! behind it that may belong to the value is never lost without a word.

use fillward::document::{Document, Faults};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

/// What is read at `key` of a text, wherever the value stands in it.
fn read(text: &str) -> Result<String, Faults> {
    let json = Document::read("job.yaml", text.as_bytes())?.to_json();
    let value = json.pointer("/list/0/key").or_else(|| json.pointer("/list/0")).or_else(|| json.pointer("/key"));
    Ok(value.and_then(|value| value.as_str()).unwrap_or_default().to_owned())
}

/// The forms in which a value stands on a line.
const FORMS: [&str; 4] =
    ["key: {}\nmore: 1\n", "list:\n  - {}\nmore: 1\n", "list:\n  - key: {}\n    more: 1\n", "\u{feff}key: {}\n"];

#[test]
fn what_stands_behind_a_hash_is_read_or_refused_or_is_a_remark() {
    let config = ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() };
    let words = "[a-z]{2,8}( [a-z]{1,6}){0,2}";
    let behind = "[a-zA-Z0-9][a-zA-Z0-9 ]{0,8}[a-zA-Z0-9]";
    TestRunner::new(config)
        .run(&(words, behind, 0..FORMS.len()), |(value, tail, form)| {
            let with = |written: &str| read(&FORMS[form].replace("{}", written));
            // It may belong to the value: refused, and the cure keeps all of it.
            let faults = with(&format!("{value} #{tail}")).unwrap_err();
            let [fault] = faults.iter().collect::<Vec<_>>()[..] else { panic!("{faults:?}") };
            prop_assert_eq!(fault.code().word(), "document/hash-in-value");
            let cure = fault.cure().unwrap().split('`').nth(1).unwrap().to_owned();
            prop_assert_eq!(with(&cure).unwrap(), format!("{value} #{tail}"));
            // Within a word, or in quotes, it is of the value; behind a blank with one after it, it opens a remark.
            for (written, due) in [
                (format!("{value}#{tail}"), format!("{value}#{tail}")),
                (format!("'{value} #{tail}'"), format!("{value} #{tail}")),
                (format!("{value} # {tail}"), value.clone()),
                (format!("\"{value}\" # {tail}"), value.clone()),
            ] {
                prop_assert_eq!(with(&written).unwrap(), due, "{}", written);
            }
            Ok(())
        })
        .unwrap_or_else(|error| panic!("{error}"));
}
