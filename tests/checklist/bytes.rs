//! Every change of one byte of a signed file is detected.
//!
//! None is without meaning: the exact form leaves no byte of white space, escape, order or base64 free, and what remains is
//! either a token of the form or under the signature.

use std::thread;

use fillward::checklist::jws::Envelope;
use fillward::checklist::packs::sha256_hex;
use fillward::checklist::trust::Trust;
use fillward::checklist::trust::TrustPart;
use fillward::checklist::verify::{Question, verify};
use fillward::vocabulary::{Kind, Role};
use serde_json::json;

use crate::shop::{ODILE, Shop, codes, key, later, passing};

/// The smallest checklist that is in order: a short record, one pack, one rule met. The bytes of the form are all there.
fn small() -> (Trust, String, Vec<u8>) {
    let record = "record: 1\njob: HT-0311\n".to_owned();
    let digest = sha256_hex(b"pack: 1\n");
    let mut trusted = Shop::new().trust_body();
    trusted.packs.truncate(1);
    (trusted.packs[0].edition, trusted.packs[0].sha256) = ("1".to_owned(), digest.clone());
    let trust = Shop::trusted(&trusted);
    let body = json!({
        "assemblies": [{"mark": "left front", "target_pressure": "60 psi", "tyre_size": null}],
        "before": null,
        "figures": {"assemblies[0]": {"ply_rating": "12"}},
        "findings": {
            "faults": [],
            "ruled_out": [[".wheel.faults []", "wheel-cracked: The wheel is cracked"]],
            "values": {"job": ["air_stage.stand_off 12 ft >= 10 ft (stand_off)"]},
        },
        "format": fillward::checklist::body::FORMAT,
        "hold_point": "before fill",
        "inputs": {
            "packs": [{"edition": "1", "name": "tyre-fill", "sha256": digest}],
            "record": {"name": "record.yaml", "sha256": sha256_hex(record.as_bytes()), "text": record},
            "shop_file": null,
            "trust": TrustPart::of(&trust),
        },
        "job": "HT-0311",
        "judged_at": "2026-03-04T09:30:00-06:00",
        "number": null,
        "permits": [],
        "program": {"build": "0123456789abcdef", "edition": "0.1.0", "name": "fillward"},
        "register": null,
        "rehearsal": false,
        "required_roles": ["supervisor"],
        "revision": null,
        "time_zone": "America/Chicago",
        "valid_until": "2026-03-04T11:00:00-06:00",
        "variations": null,
        "verdict": "PASS",
    });
    let mut envelope = Envelope::new(Kind::Checklist, &body).unwrap();
    envelope.sign(&key(ODILE), Role::Supervisor, later(60)).unwrap();
    (trust, record, envelope.to_file().unwrap())
}

/// The changed files that are taken all the same, as position and byte.
fn taken(file: &[u8], question: &Question<'_>, values: impl Fn(u8) -> Vec<u8> + Sync) -> Vec<(usize, u8)> {
    const THREADS: usize = 2;
    let part = |first: usize| {
        let mut copy = file.to_vec();
        let mut taken = Vec::new();
        for at in (first..file.len()).step_by(THREADS) {
            for value in values(file[at]) {
                copy[at] = value;
                if verify("changed", &copy, question).in_order() {
                    taken.push((at, value));
                }
            }
            copy[at] = file[at];
        }
        taken
    };
    thread::scope(|scope| {
        let parts: Vec<_> = (0..THREADS).map(|first| scope.spawn(move || part(first))).collect();
        parts.into_iter().flat_map(|part| part.join().unwrap()).collect()
    })
}

#[test]
fn every_change_of_one_byte_is_detected() {
    let shop = Shop::new();
    let (trust, record, file) = small();
    let question = Question { packs: None, rejudge: false, ..shop.question(&trust, &record) };
    assert_eq!(codes(&verify("f", &file, &question)), ["not-rejudged"], "control: the file itself is in order");
    let all = |old: u8| (0..=u8::MAX).filter(|new| *new != old).collect();
    assert_eq!(taken(&file, &question, all), []);
}

#[test]
fn every_byte_of_a_real_checklist_counts() {
    let shop = Shop::new();
    let trust = shop.trust();
    let record = passing();
    let file = shop.signed(&record);
    let question = Question { packs: None, rejudge: false, ..shop.question(&trust, &record) };
    assert_eq!(codes(&verify("f", &file, &question)), ["not-rejudged"]);
    // The lowest bit turns letters into letters and digits into digits, so that most changes reach the signature.
    assert_eq!(taken(&file, &question, |old| vec![old ^ 1]), []);
}

#[test]
fn every_byte_left_out_or_put_in_is_detected() {
    let shop = Shop::new();
    let (trust, record, file) = small();
    let question = Question { packs: None, rejudge: false, ..shop.question(&trust, &record) };
    for at in 0..file.len() {
        let without = [&file[..at], &file[at + 1..]].concat();
        assert!(!verify("f", &without, &question).in_order(), "left out at {at}");
        for byte in [b' ', b'\n', b'0', b'A', b'"', b',', b'\\', 0] {
            let with = [&file[..at], &[byte], &file[at..]].concat();
            assert!(!verify("f", &with, &question).in_order(), "{byte} put in at {at}");
        }
    }
}
