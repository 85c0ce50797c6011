//! The signing commands of the README, run as they are printed: by a shell at a terminal, in a home where nothing is yet.
//! The words that the owner hands out on paper are those that the commands before have shown.

use std::process::{Command, Stdio};

use crate::common;
use crate::shop::folder::Ran;
use crate::shop::morning;

/// A person at a terminal: writes the passphrase and the job number where they are asked for.
const PERSON: &str = r#"
import os, pty, re, sys
pid, terminal = pty.fork()
if pid == 0:
    os.execvp("bash", ["bash", "-e", "-c", sys.argv[1]])
text, open_question = b"", b""
def said(pattern):
    found = re.findall(pattern, text, re.DOTALL)
    return found[-1].strip() if found else b""
def fresh():
    # A key that is there already is put under other words.
    asked_before = rb"Passphrase for [^\n]*[\r\n]+New passphrase[^\n]*[\r\n]*(Repeat[^\n]*)?$"
    changed = re.search(asked_before, text)
    return b"harbour willow engine frost" if changed else b"lantern copper meadow rain"
while True:
    try:
        part = os.read(terminal, 4096)
    except OSError:
        break
    if not part:
        break
    text, open_question = text + part, open_question + part
    for asked, answer in [(b"Passphrase", b"lantern copper meadow rain"), (b"New passphrase", fresh()),
                          (b"Repeat the passphrase", fresh()),
                          (b"write the job number", b"HT-0311"), (b"the number of the version", said(rb"Trust file of [^,]+, version (\d+)")),
                          (b"this pack, write its name", b"tyre-fill"),
                          (b"of the owner's key", said(rb"for Marit Osei, owner\..*?words +([a-z ]+)")),
                          (b"of the trust file, from paper", said(rb"words of this version +([a-z ]+)"))]:
        if asked in open_question and open_question.endswith(b": "):
            os.write(terminal, answer + b"\n")
            open_question = b""
            break
sys.stdout.write(text.decode())
sys.exit(os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]))
"#;

/// The first block of commands of a section.
fn block_of(section: &str) -> &str {
    let (_, block) = section.split_once("```sh\n").unwrap();
    block.split_once("```").unwrap().0
}

#[test]
#[ignore = "needs bash and python3"]
fn the_signing_block_runs_as_printed() {
    let readme = common::read("README.md");
    let (_, section) = readme.split_once("\n## The signed checklist\n").unwrap();
    let signing = block_of(section);
    // What happens to keys later goes on from there, in the same shell.
    let (_, section) = readme.split_once("\n## Keys in a shop\n").unwrap();
    let block = format!("{signing}\n{}", block_of(section));
    let program = std::path::Path::new(env!("CARGO_BIN_EXE_fillward")).parent().unwrap();
    let path = std::env::join_paths(
        std::iter::once(program.to_owned()).chain(std::env::split_paths(&std::env::var_os("PATH").unwrap_or_default())),
    );
    let home = tempfile::tempdir().unwrap();
    let output = Command::new("python3")
        .args(["-c", PERSON, &block])
        .current_dir(common::project("."))
        .env_clear()
        .envs([("HOME", home.path()), ("TMPDIR", home.path())])
        .envs([("TZ", morning::zone()), ("COLUMNS", "100"), ("TERM", "dumb")])
        .env("PATH", path.unwrap())
        .stdin(Stdio::null())
        .output()
        .unwrap();
    Ran::of(&["README"], output).exits(0).says(&[
        "Made a key for Marit Osei, owner.",
        "Signed version 1 of the trust file of “Hollow Tarn depot” by its owner.",
        "Accepted on this account: “Hollow Tarn depot”, version 4",
        "once signed by all, good until",
        "Signed and read back: “HT-0311.checklist.json”",
        "the fill may start",
        "The fill may start “HT-0311.checklist.json”",
        "+ Wren Castellane, role: supervisor",
        "Signed and read back: “./HT-0311.checklist.json”",
        "This key has another passphrase now",
        "retired from",
        "the passphrase is lost",
        "left the shop",
        "the laptop was stolen",
        "clocks count anew from",
        "key of the owner Marit Osei",
        "Papers of earlier versions are thrown away.",
        "+ name of the shop through version 11: Hollow Tarn depot",
        "Accepted on this account: “Hollow Tarn works”, version 12",
        "Signed version 1 of the trust file of “Hollow Tarn north”",
    ]);
}
