//! Parts of a document that are made by the program, between `<!-- generated: NAME -->` and `<!-- end -->`.

const END: &str = "<!-- end -->";

/// `text` with `body` as its part `name`. The markers stay; a missing or doubled marker fails the test.
pub(crate) fn with_part(text: &str, name: &str, body: &str) -> String {
    let marker = format!("<!-- generated: {name} -->");
    assert_eq!(text.matches(&marker).count(), 1, "{marker} must stand once");
    let (head, rest) = text.split_once(&marker).unwrap();
    let (_, tail) = rest.split_once(END).unwrap_or_else(|| panic!("{marker} has no {END} after it"));
    format!("{head}{marker}\n\n{}\n\n{END}{tail}", body.trim_end())
}
