//! Files are whole or not there: locks, folders that take nothing, full disks, crashes, and many signers at once.

use std::time::Duration;

use serde_json::Value;

use crate::shop::Shop;
use crate::shop::folder::{Folder, IVO, ODILE, PETRA, Ran, SIGNE, WREN, at_once, countersigning, signing};

const FILE: &str = "job.checklist.json";

fn signatures(shop: &Shop<Folder>) -> usize {
    let file: Value = serde_json::from_str(&shop.read(FILE)).unwrap();
    file["signatures"].as_array().unwrap().len()
}

/// Nothing of a write is left but what was there before.
fn untouched(shop: &Shop<Folder>, run: impl FnOnce() -> Ran) -> Ran {
    let contents = |shop: &Shop<Folder>| -> Vec<(String, Vec<u8>)> {
        shop.names().into_iter().map(|name| (name.clone(), std::fs::read(shop.path(&name)).unwrap())).collect()
    };
    // Which version of the trust file was seen is remembered beside it, and is no part of the write.
    shop.open_trust();
    let before = contents(shop);
    let ran = run();
    assert!(
        contents(shop) == before,
        "{:?} became {:?}: {ran:?}",
        before.iter().map(|(name, _)| name).collect::<Vec<_>>(),
        shop.names()
    );
    ran
}

#[test]
fn a_lock_is_respected_and_named_while_somebody_holds_it() {
    let shop = Shop::new().in_folder();
    let lock = format!("{FILE}.lock");
    let held = shop.hold(FILE);
    untouched(&shop, || shop.sign(&[])).exits(2).names(&["cli/locked"]).says(&[&lock, "wait until they are done"]);
    drop(held);
    // What a process that is gone left behind locks nobody out, and is cleared away.
    shop.sign(&[]).exits(0);
    assert_eq!(shop.leftovers(), [""; 0]);
    let held = shop.hold(FILE);
    untouched(&shop, || shop.countersign(FILE, WREN, &[])).exits(2).names(&["cli/locked"]);
    // A lock keeps nobody from reading.
    shop.verify(&[FILE, "--record", "job.yaml"]).exits(0);
    drop(held);
}

/// The folder is missing, is a file, or takes no files even from the machine's administrator.
#[test]
fn a_place_that_cannot_be_written_leaves_nothing_behind() {
    let shop = Shop::new().in_folder();
    for place in [
        "nowhere/job.checklist.json",
        "job.yaml/job.checklist.json",
        "/dev/null/job.checklist.json",
        "/proc/job.checklist.json",
    ] {
        untouched(&shop, || shop.sign(&["--out", place])).exits(2).names(&["cli/unwritable-file"]).says(&[place]);
        let new =
            ["key", "new", "--name", "Odile", "--role", "auditor", "--passphrase-file", "words.txt", "--out", place];
        untouched(&shop, || shop.run(&new)).exits(2).names(&["cli/unwritable-file"]);
    }
    std::fs::create_dir(shop.path("folder.checklist.json")).unwrap();
    shop.sign(&["--out", "folder.checklist.json"]).exits(2);
    assert!(std::fs::read_dir(shop.path("folder.checklist.json")).unwrap().next().is_none());
    assert!(!shop.has("folder.checklist.json.lock"));
}

/// The system refuses to let a file grow past two blocks, as a full disk would, in the middle of the write.
#[test]
fn a_full_disk_leaves_what_was_there() {
    let shop = Shop::new().in_folder();
    // With the signal ignored, the write itself fails.
    let full = r#"trap '' XFSZ; ulimit -f 2; exec "$0" "$@""#;
    untouched(&shop, || shop.shell(full, &signing("job.yaml", ODILE))).exits(2).names(&["cli/unwritable-file"]);
    shop.sign(&[]).exits(0);
    untouched(&shop, || shop.shell(full, &countersigning(FILE, WREN))).exits(2).names(&["cli/unwritable-file"]);
    shop.verify(&[FILE, "--record", "job.yaml"]).exits(0);
    shop.countersign(FILE, WREN, &[]).exits(0);
    assert_eq!(signatures(&shop), 2);
}

/// The program dies in the middle of the write: half a file exists, but under no name that anybody would take for one.
#[test]
fn a_crash_in_the_middle_of_a_write_shows_no_half_file() {
    let shop = Shop::new().in_folder();
    shop.sign(&[]).exits(0);
    let before = shop.read(FILE);
    let names = shop.names();
    let ran = shop.shell(r#"ulimit -f 2; exec "$0" "$@""#, &countersigning(FILE, WREN));
    assert_eq!(ran.exit, None, "the signal of the system ends the program: {ran:?}");
    assert_eq!(shop.read(FILE), before);
    shop.verify(&[FILE, "--record", "job.yaml"]).exits(0);
    let left: Vec<String> = shop.names().difference(&names).cloned().collect();
    let half: Vec<&String> = left.iter().filter(|name| name.starts_with(".fillward-")).collect();
    assert_eq!(half.len(), 1, "control: the write had begun: {left:?}");
    shop.verify(&[half[0], "--record", "job.yaml"]).exits(3);
    // The lock of a process that is gone locks nobody out.
    assert!(shop.has(&format!("{FILE}.lock")), "control: it died while it held the lock: {left:?}");
    // And so does what it had begun: the next writer clears both away.
    shop.countersign(FILE, WREN, &[]).exits(0);
    assert_eq!(shop.leftovers(), [""; 0]);
    assert_eq!(signatures(&shop), 2);
}

#[test]
fn killed_at_any_moment_the_file_is_the_old_one_or_the_new_one() {
    let shop = Shop::new().in_folder();
    shop.sign(&[]).exits(0);
    let before = shop.read(FILE);
    let arguments = countersigning(FILE, WREN);
    for moment in 0..12 {
        let mut child = shop.command(&arguments).stdout(std::process::Stdio::null()).spawn().unwrap();
        std::thread::sleep(Duration::from_millis(moment * 40));
        let _ = child.kill();
        child.wait().unwrap();
        let now = shop.read(FILE);
        if now != before {
            assert_eq!(signatures(&shop), 2);
            shop.verify(&[FILE, "--record", "job.yaml"]).exits(0);
            shop.put(FILE, &before);
        }
    }
}

/// Everybody countersigns the same file at the same moment, and whoever was too late tries again.
#[test]
fn many_signers_at_once_never_lose_a_signature() {
    let shop = Shop::new().in_folder();
    shop.sign(&[]).exits(0);
    let mut waiting = vec![WREN, IVO, SIGNE, PETRA];
    let mut rounds = 0;
    while !waiting.is_empty() {
        rounds += 1;
        assert!(rounds <= 4, "each round lets somebody through: {waiting:?}");
        let before = signatures(&shop);
        let commands =
            waiting.iter().map(|key| ((*key).to_owned(), shop.command(&countersigning(FILE, key)))).collect();
        let ran = at_once(commands);
        let (through, late): (Vec<_>, Vec<_>) = waiting.iter().zip(ran).partition(|(_, ran)| ran.exit == Some(0));
        assert!(!through.is_empty(), "{late:?}");
        for (key, ran) in &late {
            let codes = ran.codes();
            let named = matches!(codes.as_slice(), [one] if one == "cli/changed" || one == "cli/locked");
            assert!(ran.exit == Some(2) && named, "{key}: {ran:?}");
        }
        assert_eq!(signatures(&shop), before + through.len());
        shop.verify(&[FILE, "--record", "job.yaml"]).exits(0);
        waiting = late.into_iter().map(|(key, _)| *key).collect();
    }
    assert_eq!(signatures(&shop), 5);
    assert_eq!(shop.leftovers(), [""; 0]);
}

#[test]
fn of_many_first_signers_one_writes_the_file() {
    let shop = Shop::new().in_folder();
    let everybody = [ODILE, WREN, IVO, SIGNE, PETRA];
    let commands = everybody.map(|key| (key.to_owned(), shop.command(&signing("job.yaml", key))));
    let ran = at_once(commands.into());
    assert_eq!(ran.iter().filter(|ran| ran.exit == Some(0)).count(), 1, "{ran:?}");
    for late in ran.iter().filter(|ran| ran.exit != Some(0)) {
        let codes = late.codes();
        assert!(matches!(codes.as_slice(), [one] if one == "cli/exists" || one == "cli/locked"), "{late:?}");
    }
    assert_eq!(signatures(&shop), 1);
    shop.verify(&[FILE, "--record", "job.yaml"]).exits(0);
}

/// A second signature given through a link goes into the file that the link names, and the link stays one.
#[test]
fn a_link_to_a_checklist_stays_a_link() {
    let shop = Shop::new().in_folder();
    std::fs::create_dir(shop.path("archive")).unwrap();
    shop.sign(&["--out", "archive/job.checklist.json"]).exits(0);
    std::os::unix::fs::symlink("archive/job.checklist.json", shop.path(FILE)).unwrap();
    shop.countersign(FILE, WREN, &[]).exits(0);
    assert!(std::fs::symlink_metadata(shop.path(FILE)).unwrap().is_symlink());
    assert_eq!(signatures(&shop), 2);
    shop.verify(&["archive/job.checklist.json", "--record", "job.yaml"]).exits(0).says(&["signed by Wren Castellane"]);
    // The lock is that of the file, by whatever way it is reached.
    let held = shop.hold("archive/job.checklist.json");
    shop.countersign(FILE, IVO, &[]).exits(2).names(&["cli/locked"]);
    drop(held);
    assert_eq!(shop.leftovers(), [""; 0]);
}

/// A lock belongs to one file, not to the folder.
#[test]
fn two_jobs_in_one_folder_do_not_wait_for_each_other() {
    let shop = Shop::new().in_folder();
    shop.put("other.yaml", shop.read("job.yaml").replacen("HT-0311", "HT-0312", 1));
    let commands = ["job.yaml", "other.yaml"].map(|record| (record.to_owned(), shop.command(&signing(record, ODILE))));
    for ran in at_once(commands.into()) {
        ran.exits(0);
    }
    shop.verify(&[FILE, "other.checklist.json"]).exits(1).names(&["record-not-given", "record-not-given"]);
}

/// Who may read what is written, the mask of the process decides.
#[cfg(unix)]
#[test]
fn the_mask_of_the_process_is_kept() {
    use std::os::unix::fs::PermissionsExt as _;
    let shop = Shop::new().in_folder();
    for (mask, due) in [("077", 0o600), ("022", 0o644), ("027", 0o640)] {
        let name = format!("{mask}.checklist.json");
        let command = shop.command(&[signing("job.yaml", ODILE), vec!["--out".to_owned(), name.clone()]].concat());
        let mut masked = std::process::Command::new("sh");
        masked.args(["-c", &format!("umask {mask}; exec \"$0\" \"$@\"")]).arg(command.get_program());
        masked.args(command.get_args()).current_dir(command.get_current_dir().unwrap());
        masked.envs(command.get_envs().filter_map(|(name, value)| Some((name, value?))));
        let output = masked.stdin(std::process::Stdio::null()).output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
        let mode = std::fs::metadata(shop.path(&name)).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode, due, "{mask}");
    }
}
