//! RFC 8785 by its own examples, the profile by what it refuses, and the fast path against the normative one.

use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;

fn jcs(text: &str) -> String {
    String::from_utf8(bytes(&serde_json::from_str::<Value>(text).unwrap()).unwrap()).unwrap()
}

fn code(text: &str) -> &'static str {
    read("t", text.as_bytes()).map_or_else(|fault| fault.code().word(), |_| "taken")
}

/// RFC 8785, sections 3.2.2 and 3.2.3: the sample object and its canonical form.
#[test]
fn rfc_8785_section_3_2_2() {
    let input = r#"{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}"#;
    let due = "{\"literals\":[null,true,false],\"numbers\":[333333333.3333333,1e+30,4.5,0.002,1e-27],\
        \"string\":\"€$\\u000f\\nA'B\\\"\\\\\\\\\\\"/\"}";
    assert_eq!(jcs(input), due);
}

/// RFC 8785, section 3.2.3: the order of keys, which is that of UTF-16 code units.
#[test]
fn rfc_8785_order_of_keys() {
    let input = r#"{"\u20ac": "Euro Sign", "\r": "Carriage Return", "\ufb33": "Hebrew Letter Dalet With Dagesh",
        "1": "One", "\ud83d\ude00": "Emoji: Grinning Face", "\u0080": "Control",
        "\u00f6": "Latin Small Letter O With Diaeresis"}"#;
    let order: Vec<usize> = ["Carriage", "One", "Control", "Latin", "Euro", "Emoji", "Hebrew"]
        .iter()
        .map(|name| jcs(input).find(name).unwrap())
        .collect();
    assert!(order.is_sorted(), "{order:?}");
}

/// RFC 8785, appendix B: IEEE 754 bits and the text they give.
#[test]
fn rfc_8785_appendix_b() {
    for (bits, due) in [
        (0x0000_0000_0000_0000_u64, "0"),
        (0x8000_0000_0000_0000, "0"),
        (0x0000_0000_0000_0001, "5e-324"),
        (0x8000_0000_0000_0001, "-5e-324"),
        (0x7fef_ffff_ffff_ffff, "1.7976931348623157e+308"),
        (0xffef_ffff_ffff_ffff, "-1.7976931348623157e+308"),
        (0x4340_0000_0000_0000, "9007199254740992"),
        (0xc340_0000_0000_0000, "-9007199254740992"),
        (0x4430_0000_0000_0000, "295147905179352830000"),
        (0x44b5_2d02_c7e1_4af5, "9.999999999999997e+22"),
        (0x44b5_2d02_c7e1_4af6, "1e+23"),
        (0x44b5_2d02_c7e1_4af7, "1.0000000000000001e+23"),
        (0x444b_1ae4_d6e2_ef4e, "999999999999999700000"),
        (0x444b_1ae4_d6e2_ef4f, "999999999999999900000"),
        (0x444b_1ae4_d6e2_ef50, "1e+21"),
        (0x3eb0_c6f7_a0b5_ed8c, "9.999999999999997e-7"),
        (0x3eb0_c6f7_a0b5_ed8d, "0.000001"),
        (0x41b3_de43_5555_5553, "333333333.3333332"),
        (0x41b3_de43_5555_5554, "333333333.33333325"),
        (0x41b3_de43_5555_5555, "333333333.3333333"),
        (0x41b3_de43_5555_5556, "333333333.3333334"),
        (0x41b3_de43_5555_5557, "333333333.33333343"),
        (0xbecb_f647_612f_3696, "-0.0000033333333333333333"),
        (0x4314_3ff3_c1cb_0959, "1424953923781206.2"),
    ] {
        assert_eq!(bytes(&f64::from_bits(bits)).unwrap(), due.as_bytes(), "{bits:x}");
    }
    assert!(bytes(&f64::NAN).is_err());
    assert!(bytes(&f64::INFINITY).is_err());
}

#[test]
fn a_file_in_exact_form_gives_its_canonical_bytes_and_members() {
    let exact = read("t", b"{\n  \"a\": [\n    1,\n    \"x\"\n  ],\n  \"b\": {}\n}\n").unwrap();
    assert_eq!(exact.bytes(), b"{\"a\":[1,\"x\"],\"b\":{}}");
    assert_eq!(exact.names().collect::<Vec<_>>(), ["a", "b"]);
    assert_eq!(exact.member("a"), Some(&b"[1,\"x\"]"[..]));
    assert_eq!(exact.member("c"), None);
}

#[test]
fn what_is_not_exact_is_refused_with_its_own_code() {
    for (text, due) in [
        ("{\n  \"a\": 1\n}\n", "taken"),
        ("{\"a\":1}", "checklist/not-exact-form"),
        ("{\n  \"a\": 1\n}", "checklist/not-exact-form"),
        ("{\n  \"a\": 1\n}\n\n", "checklist/not-exact-form"),
        ("{\r\n  \"a\": 1\r\n}\r\n", "checklist/not-exact-form"),
        ("{\n  \"a\":  1\n}\n", "checklist/not-exact-form"),
        ("{\n\t\"a\": 1\n}\n", "checklist/not-exact-form"),
        ("{\n  \"b\": 1,\n  \"a\": 1\n}\n", "checklist/not-exact-form"),
        ("{\n  \"a\": 1,\n  \"a\": 1\n}\n", "checklist/duplicate-key"),
        // The order of keys makes an earlier twin as visible as a neighbouring one.
        ("{\n  \"a\": 1,\n  \"b\": 1,\n  \"a\": 1\n}\n", "checklist/duplicate-key"),
        ("{\n  \"a\": 1,\n  \"A\": 1\n}\n", "checklist/not-exact-form"),
        ("{\n  \"\\u0061\": 1\n}\n", "checklist/not-exact-form"),
        ("{\n  \"a\\\\\": 1\n}\n", "checklist/key-not-ascii"),
        ("{\n  \"é\": 1\n}\n", "checklist/key-not-ascii"),
        ("\"\\/\"\n", "checklist/not-exact-form"),
        ("\"\\u00e9\"\n", "checklist/not-exact-form"),
        ("\"\\u007f\"\n", "checklist/not-exact-form"),
        ("\"\u{7f}\"\n", "checklist/hidden-character"),
        ("\"\u{1}\"\n", "checklist/hidden-character"),
        ("\"\u{85}\"\n", "checklist/hidden-character"),
        ("\"a\tb\"\n", "checklist/hidden-character"),
        ("\"a\\rb\"\n", "checklist/hidden-character"),
        ("\"a\\r\\nb\"\n", "taken"),
        ("\"\u{202e}\"\n", "checklist/hidden-character"),
        ("\"\u{200b}\"\n", "checklist/hidden-character"),
        ("\"\u{fffe}\"\n", "checklist/hidden-character"),
        ("\"\u{1ffff}\"\n", "checklist/hidden-character"),
        ("\"\u{fdd0}\"\n", "checklist/hidden-character"),
        ("\"e\u{301}\"\n", "checklist/not-nfc"),
        ("\"\u{212b}\"\n", "checklist/not-nfc"),
        // A mark behind an escape is not joined to the letter of the escape.
        ("\"\\n\u{301}\"\n", "taken"),
        ("9007199254740991\n", "taken"),
        ("-9007199254740991\n", "taken"),
        ("9007199254740992\n", "checklist/number-not-safe"),
        ("9007199254740993\n", "checklist/number-not-safe"),
        ("99999999999999999999999\n", "checklist/number-not-safe"),
        ("1.0\n", "checklist/number-not-safe"),
        ("1e3\n", "checklist/number-not-safe"),
        ("-0\n", "checklist/number-not-safe"),
        ("01\n", "checklist/number-not-safe"),
        ("-\n", "checklist/number-not-safe"),
        ("NaN\n", "checklist/not-json"),
        ("truth\n", "checklist/not-json"),
        ("", "checklist/not-json"),
        ("\"open", "checklist/not-json"),
        ("[\n  1\n", "checklist/not-exact-form"),
        ("\u{feff}1\n", "checklist/hidden-character"),
    ] {
        assert_eq!(code(text), due, "{text:?}");
    }
    assert_eq!(read("t", b"\"\xff\"\n").unwrap_err().code().word(), "checklist/not-utf8");
    let huge = vec![b'1'; MAX_BYTES + 1];
    assert_eq!(read("t", &huge).unwrap_err().code().word(), "checklist/too-large");
    let deep = |levels: usize| {
        String::from_utf8(indent(format!("{}{}", "[".repeat(levels), "]".repeat(levels)).as_bytes())).unwrap()
    };
    assert_eq!(code(&deep(MAX_DEPTH)), "taken");
    assert_eq!(code(&deep(MAX_DEPTH + 1)), "checklist/too-deep");
    assert_eq!(code(&"[\n".repeat(MAX_BYTES / 2)), "checklist/not-exact-form");
}

#[test]
fn a_fault_names_line_and_column() {
    let fault = read("t", b"{\n  \"a\": 1.5\n}\n").unwrap_err();
    assert_eq!(fault.message(), "line 2, column 8 has a number that is not a whole number within 2^53 - 1");
    assert_eq!(fault.source().unwrap().slice(fault.span().unwrap()), "1");
    // The character itself and not the text in which it stands, behind letters of one byte and of more.
    for hidden in ["\u{202e}", "\u{1}"] {
        let fault = read("t", format!("{{\n  \"a\": \"b\u{e9}d{hidden}\"\n}}\n").as_bytes()).unwrap_err();
        assert!(fault.message().starts_with("line 2, column 12 "), "{}", fault.message());
        assert_eq!(fault.source().unwrap().slice(fault.span().unwrap()), hidden);
    }
}

#[test]
fn writing_refuses_what_reading_would() {
    assert_eq!(file("t", &json!({"a": 1.5})).unwrap_err().code().word(), "checklist/number-not-safe");
    assert_eq!(file("t", &json!({"a": u64::MAX})).unwrap_err().code().word(), "checklist/number-not-safe");
    assert_eq!(file("t", &json!({"a": "e\u{301}"})).unwrap_err().code().word(), "checklist/not-nfc");
    assert_eq!(file("t", &json!({"a": "\u{202e}"})).unwrap_err().code().word(), "checklist/hidden-character");
}

fn in_profile() -> impl Strategy<Value = Value> {
    let text = "[ -~éß中\u{1f6de}\n\t]{0,12}";
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        (-MAX_SAFE_INTEGER..=MAX_SAFE_INTEGER).prop_map(Value::from),
        text.prop_map(Value::from),
    ];
    leaf.prop_recursive(4, 40, 6, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..6).prop_map(Value::from),
            prop::collection::btree_map("[ -!#-\\[\\]-~]{0,8}", inner, 0..6)
                .prop_map(|map| Value::Object(map.into_iter().collect())),
        ]
    })
}

proptest! {
    /// Four ways to the canonical bytes and two to the file give the same bytes inside the profile: our scan, the
    /// normative crate, a second implementation of RFC 8785, and the plain serialiser.
    #[test]
    fn every_way_gives_the_same_bytes(value in in_profile()) {
        let (file, exact) = file("t", &value).unwrap();
        prop_assert_eq!(exact.bytes(), bytes(&value).unwrap());
        prop_assert_eq!(exact.bytes(), serde_jcs::to_vec(&value).unwrap());
        prop_assert_eq!(exact.bytes(), serde_json::to_vec(&value).unwrap());
        let mut plain = serde_json::to_vec_pretty(&value).unwrap();
        plain.push(b'\n');
        prop_assert_eq!(&file, &plain);
        prop_assert_eq!(serde_json::from_slice::<Value>(&file).unwrap(), value);
    }

    /// Whatever bytes come, the reader answers; what it takes is the print of what it read.
    #[test]
    fn what_is_taken_is_its_own_print(value in in_profile(), place in any::<prop::sample::Index>(), byte in any::<u8>()) {
        let (mut file, _) = file("t", &value).unwrap();
        let at = place.index(file.len());
        file[at] = byte;
        if let Ok(exact) = read("t", &file) {
            prop_assert_eq!(indent(exact.bytes()), file.clone());
            prop_assert_eq!(bytes(&serde_json::from_slice::<Value>(&file).unwrap()).unwrap(), exact.bytes());
        }
    }
}
