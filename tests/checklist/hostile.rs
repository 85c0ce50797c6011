//! One hostile set put to three verifiers: the program, the commands of the page for auditors, and a verifier in Python that
//! was written from the page alone. Whatever the program refuses of form or signature, the other two refuse as well.

use std::fs;
use std::path::Path;
use std::process::Command;

use base64ct::{Base64UrlUnpadded, Encoding};
use fillward::checklist::Reason;
use fillward::checklist::body::ChecklistBody;
use fillward::checklist::canonical;
use fillward::checklist::jws::{Envelope, Signer};
use fillward::vocabulary::{Kind, Role};
use serde_json::{Value, json};

use crate::common;
use crate::shop::{ODILE, Shop, WREN, key, passing};

/// Whether every signature is in order: form, header, key and the signature itself, the first by Odile, a second by Wren.
fn by_the_program(bytes: &[u8]) -> bool {
    let Ok(envelope) = Envelope::read(Kind::Checklist, "hostile.json", bytes) else { return false };
    let signers = envelope.signers();
    let good = |(signer, seed): (&Result<Signer, Reason>, u8)| {
        signer
            .as_ref()
            .is_ok_and(|signer| signer.role == Role::Supervisor && envelope.holds(signer, key(seed).public()))
    };
    let mut kids: Vec<&str> = signers.iter().flatten().map(|signer| signer.kid.as_str()).collect();
    kids.dedup();
    let once = kids.len() == signers.len();
    let is_content = envelope.body::<ChecklistBody>().is_ok();
    !signers.is_empty() && once && is_content && signers.iter().zip([ODILE, WREN]).all(good)
}

/// The same by a command, asked for each signature.
fn by_command(folder: &Path, program: &str, script: &str, signatures: usize) -> bool {
    let one = |(number, name): (usize, &str)| {
        let script = common::project(script);
        let mut command = Command::new(program);
        command.arg(script).args(["hostile.json", &format!("{name}.pem"), &number.to_string()]).current_dir(folder);
        let output = command.output().unwrap();
        let told = String::from_utf8_lossy(&output.stdout).into_owned();
        // Of several signatures one is looked at each time.
        let good = output.status.code() == Some(if signatures > 1 { 4 } else { 0 });
        assert_eq!(good, told.contains("SIGNATURE GOOD"), "{told}");
        assert_eq!(!good, told.contains("NOT IN ORDER"), "{told}{}", String::from_utf8_lossy(&output.stderr));
        good
    };
    (0..signatures.max(1)).zip(["odile", "wren"]).all(one)
}

/// A body of this content with a good signature by Odile over it, whatever its text looks like.
fn signed_over(body: &str, head: &str) -> Value {
    let payload = Base64UrlUnpadded::encode_string(body.as_bytes());
    let protected = Base64UrlUnpadded::encode_string(head.as_bytes());
    let signature = key(ODILE).sign(format!("{protected}.{payload}").as_bytes());
    json!({"protected": protected, "signature": Base64UrlUnpadded::encode_string(&signature)})
}

fn head() -> String {
    let kid = key(ODILE).public().kid().to_owned();
    format!(
        r#"{{"alg":"Ed25519","kid":"{kid}","role":"supervisor","signed_at":"2026-03-04T09:31:00-06:00","typ":"fillward-checklist+jws"}}"#
    )
}

/// A file around a body as it is written, in the print that the page asks for.
fn file_of(body: &str, seals: &[Value]) -> Vec<u8> {
    let seals = canonical::bytes(&seals).unwrap();
    let whole = [b"{\"checklist\":", body.as_bytes(), b",\"signatures\":", &seals, b"}"].concat();
    let mut file = canonical::indent(&whole);
    if file.last() != Some(&b'\n') {
        file.push(b'\n');
    }
    file
}

/// Another character in the place of the last one of a base64url text, with the same bytes but for unused bits.
fn other_bits(text: &str) -> String {
    const ALPHABET: &str = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    let last = text.chars().last().unwrap();
    let place = ALPHABET.find(last).unwrap();
    format!("{}{}", cut(text, text.len() - 1), ALPHABET.chars().nth(place + 1).unwrap())
}

fn cut(text: &str, length: usize) -> String {
    text.chars().take(length).collect()
}

/// A signature by this key whose text has both letters in which the two alphabets of RFC 4648 differ: one in fifteen has
/// neither, so that writing it in the other alphabet would change nothing. The first second that gives such a one is taken.
fn with_both_letters(envelope: &Envelope, seed: u8) -> Value {
    let sealed = (60..).map(|second| {
        let mut envelope = envelope.clone();
        envelope.sign(&key(seed), Role::Supervisor, crate::shop::later(second)).unwrap();
        envelope.to_value().unwrap()["signatures"][0].clone()
    });
    let both = |seal: &Value| ["-", "_"].iter().all(|letter| seal["signature"].as_str().unwrap().contains(letter));
    sealed.take(600).find(both).unwrap()
}

/// The files by what is odd about them.
#[expect(clippy::too_many_lines, reason = "one list of hostile files, a line or two each")]
fn files() -> Vec<(String, Vec<u8>)> {
    let shop = Shop::new();
    let (_, envelope) = shop.make(&passing(), |_| {});
    let body = String::from_utf8(envelope.payload().to_vec()).unwrap();
    let one = with_both_letters(&envelope, ODILE);
    let two = with_both_letters(&envelope, WREN);
    let mut found = vec![
        ("nothing".to_owned(), file_of(&body, std::slice::from_ref(&one))),
        ("nothing, two signatures".to_owned(), file_of(&body, &[one.clone(), two.clone()])),
        ("no signature".to_owned(), file_of(&body, &[])),
        ("one signature twice".to_owned(), file_of(&body, &[one.clone(), one.clone()])),
        ("a second signature of nothing".to_owned(), {
            let mut nothing = two.clone();
            nothing["signature"] = json!("A".repeat(86));
            file_of(&body, &[one.clone(), nothing])
        }),
    ];
    let mut seal = |what: &str, change: &dyn Fn(&mut Value)| {
        let (mut first, mut second) = (one.clone(), two.clone());
        change(&mut first);
        change(&mut second);
        found.push((what.to_owned(), file_of(&body, &[first])));
        found.push((format!("{what}, in the second signature"), file_of(&body, &[one.clone(), second])));
    };
    for member in ["protected", "signature"] {
        let text = |seal: &Value| seal[member].as_str().unwrap().to_owned();
        seal(&format!("{member} with padding"), &|seal| seal[member] = json!(text(seal) + "=="));
        seal(&format!("{member} with a line break"), &|seal| seal[member] = json!(text(seal) + "\n"));
        seal(&format!("{member} with a blank"), &|seal| {
            seal[member] =
                json!(format!("{} {}", cut(&text(seal), 9), text(seal).trim_start_matches(&cut(&text(seal), 9))));
        });
        seal(&format!("{member} in the other alphabet"), &|seal| {
            seal[member] =
                json!(text(seal).replace('-', "+").replace('_', "/") + if member == "protected" { "+" } else { "" });
        });
        seal(&format!("{member} cut short"), &|seal| seal[member] = json!(cut(&text(seal), 40)));
        seal(&format!("{member} empty"), &|seal| seal[member] = json!(""));
        seal(&format!("{member} missing"), &|seal| drop(seal.as_object_mut().unwrap().remove(member)));
    }
    seal("unused bits of the signature", &|seal| {
        seal["signature"] = json!(other_bits(seal["signature"].as_str().unwrap()));
    });
    seal("an unprotected header", &|seal| seal["header"] = json!({"kid": "x"}));
    seal("an empty unprotected header", &|seal| seal["header"] = json!({}));
    seal("a member more", &|seal| seal["note"] = json!("x"));
    let last = "\"verdict\":\"PASS\"}";
    assert!(body.ends_with(last));
    for (what, find, put) in [
        ("a decimal", "\"version\":3", "\"version\":3.0"),
        ("an exponent", "\"version\":3", "\"version\":3e0"),
        ("a zero below zero", "\"version\":3", "\"version\":-0"),
        ("a fraction", "\"version\":3", "\"version\":3.5"),
        ("an unsafe integer", "\"version\":3", "\"version\":9007199254740993"),
        ("the greatest safe integer and one", "\"version\":3", "\"version\":9007199254740992"),
        ("text that is not in form NFC", "HT-0311", "HT-031e\u{301}"),
        ("text with a turning character", "HT-0311", "HT-0311\u{202e}"),
        ("text that cannot be seen", "HT-0311", "HT-0311\u{200b}"),
        ("a code that is no character", "HT-0311", "HT-0311\u{fdd0}"),
        ("a code that is no character yet", "HT-0311", "HT-0311\u{378}"),
        ("a member of the content more", last, "\"verdict\":\"PASS\",\"z\":1}"),
        ("what each font draws as it likes", "HT-0311", "HT-0311\u{e000}"),
        ("the same of another plane", "HT-0311", "HT-0311\u{f0000}"),
        ("the same of the last plane", "HT-0311", "HT-0311\u{100000}"),
        ("an object that is not there", "HT-0311", "HT-0311\u{fffc}"),
        ("a filler", "HT-0311", "HT-0311\u{16fe4}"),
        ("a note without a head", "HT-0311", "HT-0311\u{1d159}"),
        // U+16D67 twice is written U+16D68 in form NFC since Unicode 16.
        ("text that is not in form NFC by a late edition", "HT-0311", "HT-0311\u{16d67}\u{16d67}"),
        ("a control character", "HT-0311", "HT-0311\\u001b"),
        ("a delete character", "HT-0311", "HT-0311\u{7f}"),
        ("a carriage return by itself", "HT-0311", "HT-0311\\r"),
        ("an escape that need not be", "HT-0311", "HT\\u002d0311"),
        ("an escaped stroke", "inspected.at", "inspected\\/at"),
        ("a name twice", last, "\"verdict\":\"HOLD\",\"verdict\":\"PASS\"}"),
        ("names out of order", last, "\"verdict\":\"PASS\",\"a\":1}"),
        ("a name that is not ASCII", last, "\"verdict\":\"PASS\",\"é\":1}"),
        ("a name with an escape", last, "\"verdict\":\"PASS\",\"z\\n\":1}"),
        ("too many levels", last, &format!("\"verdict\":\"PASS\",\"z\":{}1{}}}", "[".repeat(40), "]".repeat(40))),
        ("two million bytes", last, &format!("\"verdict\":\"PASS\",\"z\":\"{}\"}}", "z".repeat(2 << 20))),
    ] {
        assert!(body.contains(find), "{what}");
        let changed = body.replacen(find, put, 1);
        found.push((what.to_owned(), file_of(&changed, &[signed_over(&changed, &head())])));
    }
    for (what, find, put) in [
        ("the older name of the algorithm", "Ed25519", "EdDSA"),
        ("another kind of file", "checklist+jws", "permit+jws"),
        ("another role", "supervisor", "auditor"),
        ("no role of ours", "supervisor", "driver"),
        ("an instant without seconds", "09:31:00", "09:31"),
        ("an instant in a thirteenth month", "2026-03-04", "2026-13-04"),
        ("an instant at hour thirty", "T09:31", "T30:31"),
        ("an instant with a zero at the end of its fraction", "09:31:00", "09:31:00.50"),
        ("an instant with zero for its offset", "-06:00", "+00:00"),
        ("an instant of the first year of all", "2026-", "0001-"),
        ("an instant of the year zero", "2026-", "0000-"),
        ("an instant of the last year of all", "2026-", "9999-"),
        ("an instant of ten decimals", "09:31:00", "09:31:00.1234567891"),
        ("an instant of twenty decimals", "09:31:00", "09:31:00.12345678912345678912"),
        ("an instant a whole day off", "-06:00", "+24:00"),
        ("an instant a whole day off but for a minute", "-06:00", "-23:59"),
        ("an instant further off than any place", "-06:00", "+14:30"),
        ("an instant eighteen hours off", "-06:00", "-18:01"),
        ("an instant sixty minutes off", "-06:00", "-05:60"),
        ("an instant in words", "2026-03-04T09:31:00-06:00", "yesterday"),
        ("a header with a blank", "{\"alg\"", "{ \"alg\""),
        ("a header with a member more", "{\"alg\"", "{\"aaa\":1,\"alg\""),
        ("a header with a member twice", "{\"alg\"", "{\"alg\":\"none\",\"alg\""),
        ("a header with an escape", "supervisor", "su\\u0070ervisor"),
        ("another key", "\"kid\":\"", "\"kid\":\"A"),
    ] {
        assert!(head().contains(find), "{what}");
        found.push((what.to_owned(), file_of(&body, &[signed_over(&body, &head().replacen(find, put, 1))])));
    }
    for text in drawn_instants() {
        let head = head().replacen("2026-03-04T09:31:00-06:00", &text, 1);
        found.push((format!("{DRAWN}{text}"), file_of(&body, &[signed_over(&body, &head)])));
    }
    let good = String::from_utf8(file_of(&body, std::slice::from_ref(&one))).unwrap();
    found.extend(odd_wholes(&good));
    found
}

/// Before the name of a file of which nobody says beforehand whether it is taken: all three must say the same.
const DRAWN: &str = "drawn: an instant ";
/// How many are drawn.
const DRAWS: usize = 24;

/// Instants drawn from the numbers around the bounds of what is taken, always the same ones.
fn drawn_instants() -> Vec<String> {
    // The multiplier and increment of Knuth's MMIX generator, from memory; any spread will do.
    let mut state = 20_260_304_u64;
    let mut draw = move |from: &[&'static str]| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let number = usize::try_from(state >> 40).unwrap();
        // The first one stands for all that is usual.
        if number % 4 == 0 { from[number / 4 % from.len()] } else { from[0] }
    };
    let two = ["00", "59", "60", "07", "5"];
    let one = |draw: &mut dyn FnMut(&[&'static str]) -> &'static str| {
        let year = draw(&["2026", "1989", "1990", "2200", "2201", "0999", "2027"]);
        let (month, day) = (draw(&["03", "00", "01", "02", "12", "13"]), draw(&["04", "00", "29", "30", "31", "32"]));
        let hour = draw(&["09", "00", "23", "24", "9"]);
        let (minute, second) = (draw(&two), draw(&two));
        let fraction = draw(&["", ".5", ".50", ".0", ".123456789", ".1234567891", ".000000001", ".", ",5"]);
        let offsets = [
            "-06:00", "Z", "z", "+00:00", "-00:00", "+05:45", "+14:00", "+14:01", "-13:59", "-15:00", "+05:60", "-0600",
        ];
        format!("{year}-{month}-{day}T{hour}:{minute}:{second}{fraction}{}", draw(&offsets))
    };
    (0..DRAWS).map(|_| one(&mut draw)).collect()
}

/// A good file whose bytes are odd as a whole.
fn odd_wholes(good: &str) -> Vec<(String, Vec<u8>)> {
    let bytes = good.as_bytes();
    let place = bytes.windows(7).position(|seen| seen == b"HT-0311").unwrap();
    let found = [
        ("other line ends", good.replace('\n', "\r\n").into_bytes()),
        ("no last line break", good.trim_end().as_bytes().to_vec()),
        ("a blank more", good.replacen(": ", ":  ", 1).into_bytes()),
        ("a byte order mark", [b"\xef\xbb\xbf", bytes].concat()),
        ("half a file", bytes[..bytes.len() / 2].to_vec()),
        ("no bytes", Vec::new()),
        ("no UTF-8", [&bytes[..place], b"\xe9", &bytes[place..]].concat()),
    ];
    found.map(|(what, bytes)| (what.to_owned(), bytes)).to_vec()
}

#[test]
#[ignore = "needs openssl 3, jq, perl and python3"]
fn the_page_and_its_python_are_as_strict_as_the_program() {
    let folder = tempfile::tempdir().unwrap();
    for (name, seed) in [("odile", ODILE), ("wren", WREN)] {
        fs::write(folder.path().join(format!("{name}.pem")), key(seed).public().to_pem()).unwrap();
    }
    let mut wrong = Vec::new();
    let (mut taken, mut refused) = (0, 0);
    for (what, bytes) in files() {
        fs::write(folder.path().join("hostile.json"), &bytes).unwrap();
        let signatures = serde_json::from_slice::<Value>(&bytes).ok();
        let count = signatures.and_then(|file| file["signatures"].as_array().map(Vec::len)).unwrap_or(1);
        let own = by_the_program(&bytes);
        let page = by_command(folder.path(), "sh", "tests/checklist/stock-tools.sh", count);
        let python = by_command(folder.path(), "python3", "tests/oracles/verify_by_the_page.py", count);
        *(if own { &mut taken } else { &mut refused }) += 1;
        let due = if what.starts_with(DRAWN) { own } else { what.starts_with("nothing") };
        if own != due || (!own && (page || python)) || (own && !(page && python)) {
            wrong.push(format!("{what}: program {own}, page {page}, python {python}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(taken > DRAWS / 8 && refused > 60 + DRAWS / 4, "{taken} taken, {refused} refused");
}
