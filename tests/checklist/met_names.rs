//! How a rule that is met is named in a signed file.

use fillward::checklist::body::met::MetName;
use proptest::prelude::*;

use super::notation::text;

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(4000) })]

    /// The law: the name of a rule that is met reads back, whatever its title has in it.
    #[test]
    fn the_name_of_a_rule_reads_back_as_it_was_written(title in text(), pack in any::<bool>(), of in 0..3_usize) {
        let of = ["people[1]", "assemblies[0]", "components.polyol"][..of].iter().map(ToString::to_string).collect();
        let name = MetName { pack: pack.then(|| "yard".to_owned()), rule: "no-dry-gas".to_owned(), title, of };
        prop_assert_eq!(MetName::read(&name.to_string()), Some(name));
    }
}

/// A title is written as it is wherever nothing in it could be taken for something else.
#[test]
fn a_title_stands_in_quotes_only_where_it_must() {
    let written = |pack: Option<&str>, title: &str, of: &[&str]| {
        let (pack, of) = (pack.map(str::to_owned), of.iter().map(ToString::to_string).collect());
        MetName { pack, rule: "off".to_owned(), title: title.to_owned(), of }.to_string()
    };
    assert_eq!(written(None, "The wheel is bent", &[]), "off: The wheel is bent");
    assert_eq!(written(Some("yard"), "The wheel's bent", &["people[1]"]), "yard/off: The wheel's bent @ people[1]");
    assert_eq!(written(None, "The lamp @ the pump is off", &[]), "off: 'The lamp @ the pump is off'");
    assert_eq!(written(None, "'yard': it's off", &["a", "b"]), "off: '''yard'': it''s off' @ a b");
    assert_eq!(written(None, "yard: it is off", &[]), "off: yard: it is off");
    for none in
        ["The wheel is bent", ": It is off", "off: 'it''s", "off: 'it' @", "off: The lamp @ ", "off: 'It is bent'"]
    {
        assert_eq!(MetName::read(none), None, "{none}");
    }
}
