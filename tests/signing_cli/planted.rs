//! What somebody who can write the shop's folder plants there: links, pipes, and files at names that the program keeps for
//! itself. Everything lies in folders of the test, and what a link leads to is a file of the test.

use std::path::Path;
use std::time::{Duration, Instant};

use super::shop_file::{MEMORY, SHOP, short};
use crate::common;
use crate::shop::Shop;
use crate::shop::folder::{Folder, MAIRE, ODILE, OWNER, TRUST, WREN, countersigning, mode, owned, signing, with_key};

const FILE: &str = "job.checklist.json";
const KEPT: &str = "somebody's own file\n";

/// A name at which the program keeps something of its own, and an act that writes there.
struct Kept {
    at: &'static str,
    act: fn(&Shop<Folder>) -> Vec<String>,
    /// Whether the act ends without it: what is remembered of a shop file is told of and holds nothing up.
    goes_on: bool,
}

fn hold(name: &str) -> Vec<String> {
    [signing("job.yaml", ODILE), owned(&["--shop", SHOP, "--hold", "--out", name])].concat()
}

fn renew() -> Vec<String> {
    let by = format!("{OWNER}.key.pem");
    owned(&["trust", "renew", "--trust", "trust.json", "--by", &by, "--passphrase-file", "words.txt", "--yes"])
}

const NAMES: [Kept; 5] = [
    Kept { at: MEMORY, act: |_| hold("out.checklist.json"), goes_on: true },
    Kept { at: "out.checklist.json.lock", act: |_| hold("out.checklist.json"), goes_on: false },
    Kept { at: "fillward-shop.signed.lock", act: |_| hold("out.checklist.json"), goes_on: true },
    Kept { at: "trust.json.lock", act: |_| renew(), goes_on: false },
    Kept {
        at: "trust.next.json",
        act: |_| with_key(&["trust", "approve", "two.yaml", "--trust", "trust.json", "--yes"], MAIRE),
        goes_on: false,
    },
];

/// Runs an act that must end by itself, whatever lies in its way.
fn ends(shop: &Shop<Folder>, arguments: &[String]) -> (Option<i32>, String) {
    let mut child = shop
        .command(arguments)
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    let begun = Instant::now();
    while child.try_wait().unwrap().is_none() {
        assert!(begun.elapsed() < Duration::from_secs(30), "it waits: {arguments:?}");
        std::thread::sleep(Duration::from_millis(10));
    }
    let output = child.wait_with_output().unwrap();
    let text = [output.stdout, output.stderr].concat();
    (output.status.code(), String::from_utf8(text).unwrap().split_whitespace().collect::<Vec<_>>().join(" "))
}

fn pipe(at: &Path) {
    assert!(std::process::Command::new("mkfifo").arg(at).status().unwrap().success());
}

/// A shop whose record draws on its shop file, with a pack that could be approved.
fn shop() -> Shop<Folder> {
    let shop = short();
    shop.put("two.yaml", common::local_pack("two-people", "supervisor"));
    shop
}

/// The law: what the program keeps for itself is a plain file at its own name. Through a link nothing is written, a pipe is
/// not waited for, and what it did not write itself stays as it is.
#[test]
fn what_the_program_keeps_beside_is_written_through_no_link() {
    for Kept { at, act, goes_on } in NAMES {
        for planted in ["link", "link to nothing", "pipe", "file"] {
            let shop = shop();
            std::fs::create_dir(shop.path("elsewhere")).unwrap();
            shop.put("elsewhere/own", KEPT);
            let place = shop.path(at);
            match planted {
                "link" => std::os::unix::fs::symlink("elsewhere/own", &place).unwrap(),
                "link to nothing" => std::os::unix::fs::symlink("elsewhere/none", &place).unwrap(),
                "pipe" => pipe(&place),
                _ => std::fs::write(&place, KEPT).unwrap(),
            }
            let before = std::fs::symlink_metadata(&place).unwrap().file_type();
            let (exit, said) = ends(&shop, &act(&shop));
            let what = format!("{at}, {planted}: {exit:?} {said}");
            assert_eq!(matches!(exit, Some(0 | 1)), goes_on, "{what}");
            assert!(goes_on || said.contains("NOT SIGNED"), "{what}");
            assert_eq!(shop.read("elsewhere/own"), KEPT, "{what}");
            assert!(!shop.has("elsewhere/none"), "{what}");
            assert_eq!(std::fs::symlink_metadata(&place).unwrap().file_type(), before, "{what}");
            assert!(planted != "file" || shop.read(at) == KEPT, "{what}");
        }
    }
}

/// The same of what the account remembers, and of the trust file itself when its next version comes.
#[test]
fn memory_and_trust_file_are_written_through_no_link() {
    for planted in ["link", "pipe"] {
        let shop = Shop::new().in_folder();
        let plant = |at: &Path, own: &Path| {
            std::fs::rename(at, own).unwrap();
            if planted == "link" { std::os::unix::fs::symlink(own, at).unwrap() } else { pipe(at) }
        };
        let own = shop.path("own.json");
        plant(&shop.path("trust.json"), &own);
        let before = std::fs::read(&own).unwrap();
        let (exit, said) = ends(&shop, &renew());
        assert!(exit == Some(2) && said.contains("cli/not-plain"), "{planted}: {exit:?} {said}");
        assert_eq!(std::fs::read(&own).unwrap(), before);
        std::fs::remove_file(shop.path("trust.json")).unwrap();
        std::fs::rename(&own, shop.path("trust.json")).unwrap();
        plant(&shop.memory(), &own);
        let before = std::fs::read(&own).unwrap();
        let (exit, said) = ends(&shop, &signing("job.yaml", ODILE));
        assert!(exit == Some(2) && said.contains("cli/not-plain"), "{planted}: {exit:?} {said}");
        assert_eq!(std::fs::read(&own).unwrap(), before);
        assert!(!shop.has(FILE));
    }
}

/// A pipe under the name of a document is refused at once; one that was handed over open is read.
#[test]
fn a_pipe_is_no_document_and_no_lock() {
    let shop = Shop::new().in_folder();
    pipe(&shop.path("pipe.json"));
    let verify = |file: &str| [owned(&["verify", file, "--record", "job.yaml"]), owned(&TRUST)].concat();
    for arguments in [
        verify("pipe.json"),
        owned(&["trust", "show", "--trust", "pipe.json"]),
        owned(&["check", "pipe.json", "--zone", "America/Chicago"]),
        owned(&["key", "show", "pipe.json"]),
        countersigning("pipe.json", WREN),
    ] {
        let (exit, said) = ends(&shop, &arguments);
        assert!(exit == Some(2) && said.contains("pipe.json` is no plain file"), "{arguments:?}: {exit:?} {said}");
    }
    shop.sign(&[]).exits(0);
    let piped = [&["verify", "/dev/stdin", "--record", "job.yaml"][..], &TRUST].concat();
    shop.shell(r#"cat job.checklist.json | "$0" "$@""#, &piped).exits(0);
}

/// Who could read a file before it was replaced reads it afterwards, whatever the mask of whoever replaced it.
#[test]
fn what_is_replaced_keeps_its_readers() {
    use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _};
    let shop = Shop::new().in_folder();
    shop.sign(&[]).exits(0);
    let acts = [("trust.json", renew()), (FILE, countersigning(FILE, WREN))];
    for due in [0o664, 0o640, 0o600, 0o444] {
        for (name, act) in &acts {
            let shop = Shop::new().in_folder();
            shop.sign(&[]).exits(0);
            std::fs::set_permissions(shop.path(name), std::fs::Permissions::from_mode(due)).unwrap();
            // Another group, where this account may give a file away; its own otherwise.
            let _ = std::os::unix::fs::chown(shop.path(name), None, Some(100));
            let group = std::fs::metadata(shop.path(name)).unwrap().gid();
            let ran = shop.shell(r#"umask 077; exec "$0" "$@""#, act);
            assert_eq!(ran.exit, Some(0), "{ran:?}");
            let now = std::fs::metadata(shop.path(name)).unwrap();
            assert_eq!((mode(&shop.path(name)), now.gid()), (due, group), "{name}");
        }
    }
}
