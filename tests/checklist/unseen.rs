//! Characters that no signed text may hold: the program, the commands of the page for auditors and the verifier in
//! Python have one set, code point by code point.

use std::collections::BTreeSet;
use std::process::Command;

use fillward::vocabulary::{Unseen, unseen};

use crate::common;

/// What a program prints of all code points that a verifier takes out, in hexadecimal, a line each.
fn by(program: &str, arguments: &[&str]) -> BTreeSet<u32> {
    let output = Command::new(program).args(arguments).output().unwrap();
    assert!(output.status.success(), "{program}: {}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).unwrap();
    text.lines().map(|line| u32::from_str_radix(line, 16).unwrap()).collect()
}

/// The part of a text between two others, with them.
fn between<'t>(text: &'t str, from: &str, to: &str) -> &'t str {
    let start = text.find(from).unwrap();
    let rest = text.get(start..).unwrap();
    let end = rest.find(to).unwrap() + to.len();
    rest.get(..end).unwrap()
}

/// The first ones that stand in one set and not in the other.
fn differing(one: &BTreeSet<u32>, other: &BTreeSet<u32>) -> Vec<String> {
    one.symmetric_difference(other).take(20).map(|code| format!("U+{code:04X}")).collect()
}

#[test]
#[ignore = "needs perl and python3"]
fn the_page_and_its_python_refuse_every_character_that_the_program_refuses() {
    // A carriage return is looked at with what follows it, and is in the hostile set.
    let own: BTreeSet<u32> = (0..=0x0010_ffff)
        .filter_map(char::from_u32)
        .filter(|c| *c != '\r' && unseen(*c).is_some_and(|why| why != Unseen::Unassigned))
        .map(u32::from)
        .collect();
    assert!(own.len() > 137_000, "{}", own.len());
    let page = common::read("schemas/CHECKLIST.md");
    let pattern = between(&page, "my $unseen = qr/", "/x;").replace("|\\r(?!\\n)", "");
    let script = format!(
        "no warnings; {pattern} for (0..0x10ffff) {{ next if $_ >= 0xd800 && $_ <= 0xdfff; printf \"%x\\n\", $_ if chr($_) =~ $unseen }}"
    );
    assert_eq!(differing(&by("perl", &["-e", &script]), &own), [""; 0], "the page");
    // In Python the text is looked at as JSON writes it, where control characters are escapes.
    let shown: BTreeSet<u32> = own.iter().copied().filter(|code| *code >= 0x20).collect();
    let python = common::read("tests/oracles/verify_by_the_page.py");
    let pattern = between(&python, "ODD = re.compile(", "\n)\n");
    let script = format!(
        "import re\n{pattern}\nfor code in range(0x20, 0x110000):\n    if not 0xD800 <= code <= 0xDFFF and ODD.search(chr(code)): print(f'{{code:x}}')"
    );
    assert_eq!(differing(&by("python3", &["-c", &script]), &shown), [""; 0], "the verifier in Python");
}

/// What is no character yet is one by no older tables: perl and Python may know fewer characters than the program, and none
/// more that it does not know.
#[test]
#[ignore = "needs perl and python3"]
fn what_is_no_character_yet_is_none_by_older_tables() {
    let own: BTreeSet<u32> = (0..=0x0010_ffff)
        .filter_map(char::from_u32)
        .filter(|c| unseen(*c) == Some(Unseen::Unassigned))
        .map(u32::from)
        .collect();
    assert!(own.len() > 790_000, "{}", own.len());
    let perl = "no warnings; for (0..0x10ffff) { printf \"%x\\n\", $_ if chr($_) =~ /\\p{Unassigned}/ }";
    let python = "import unicodedata\nfor code in range(0x110000):\n    if unicodedata.category(chr(code)) == 'Cn': print(f'{code:x}')";
    for theirs in [by("perl", &["-e", perl]), by("python3", &["-c", python])] {
        let more: Vec<String> = own.difference(&theirs).take(20).map(|code| format!("U+{code:04X}")).collect();
        assert_eq!(more, [""; 0]);
        assert!(theirs.len() - own.len() < 40_000, "{} and {}", theirs.len(), own.len());
    }
}
