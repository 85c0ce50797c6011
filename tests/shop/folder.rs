//! The shop in a folder of its own, where the program is run: files in, files, words and exit codes out.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use fillward::checklist::trust;
use tempfile::TempDir;

use super::counter::{WORDS, accepted, private_keys};
use super::morning::{from_now, moved, zone};
use super::{PEOPLE, Papers, Place, Shop, key, sealed};
use crate::common;

pub(crate) const WORDS_FILE: &str = "words.txt";

const DAY: i64 = 86_400;

// The stems of people's key files, as `fillward key new` names them.
pub(crate) const ODILE: &str = "odile-varga-supervisor";
pub(crate) const WREN: &str = "wren-castellane-supervisor";
pub(crate) const MAIRE: &str = "maire-lindqvist-safety-officer";
pub(crate) const OWNER: &str = "ansel-prewitt-okoro-owner";
pub(crate) const SECOND_OWNER: &str = "marit-osei-owner";
pub(crate) const IVO: &str = "ivo-halloran-supervisor";
pub(crate) const SIGNE: &str = "signe-abara-supervisor";
pub(crate) const PETRA: &str = "petra-lindqvist-supervisor";
const STEMS: [&str; 8] = [ODILE, WREN, MAIRE, OWNER, SECOND_OWNER, IVO, SIGNE, PETRA];

/// Where the program is run.
pub(crate) struct Folder {
    folder: TempDir,
    /// Where the account of its people keeps what is remembered.
    state: TempDir,
}

impl Place for Folder {
    /// From yesterday, for a year, and everybody is in them.
    fn papers() -> Papers {
        Papers {
            version: 1,
            people: PEOPLE.len(),
            zone: zone().to_owned(),
            made_at: from_now(-7200),
            ends_at: from_now(365 * DAY),
            keys: [from_now(-DAY), from_now(365 * DAY)],
            approved: from_now(-DAY),
        }
    }

    fn put(&self, name: &str, content: &[u8]) {
        fs::write(self.folder.path().join(name), content).unwrap();
    }
}

impl Shop {
    /// The shop in a folder with nothing but the passphrase.
    pub(crate) fn in_empty_folder(self) -> Shop<Folder> {
        let [folder, state] = [(); 2].map(|()| tempfile::tempdir().unwrap());
        let shop = self.at(Folder { folder, state });
        fs::create_dir(shop.place.state.path().join("fillward")).unwrap();
        shop.forget_trust();
        shop.put(WORDS_FILE, format!("{WORDS}\n"));
        fs::set_permissions(shop.path(WORDS_FILE), owners_alone()).unwrap();
        shop
    }

    /// The same with everybody's keys, the local packs, the passing job of this morning as `job.yaml`, and `trust.json`.
    pub(crate) fn in_folder(self) -> Shop<Folder> {
        let shop = self.in_empty_folder().with_keys();
        shop.put("job.yaml", passing());
        for (name, text) in &shop.local {
            shop.put(name, text);
        }
        shop.trust(|_| {});
        shop
    }
}

impl Shop<Folder> {
    /// The same with everybody's keys.
    pub(crate) fn with_keys(self) -> Self {
        for (stem, (seed, pem)) in STEMS.iter().zip(private_keys()) {
            let name = format!("{stem}.key.pem");
            self.put(&name, pem);
            fs::set_permissions(self.path(&name), owners_alone()).unwrap();
            self.put(&format!("{stem}.pub.pem"), key(*seed).public().to_pem());
        }
        self
    }

    /// The trust file as the owner writes it.
    pub(crate) fn trust_text(&self, change: impl FnOnce(&mut trust::TrustBody)) -> String {
        let mut body = self.trust_body();
        change(&mut body);
        serde_yaml::to_string(&sealed(&body)).unwrap()
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.place.folder.path().join(name)
    }

    pub(crate) fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    pub(crate) fn has(&self, name: &str) -> bool {
        self.path(name).exists()
    }

    /// Remembers the present trust file as seen, as any command that opened it would have.
    pub(crate) fn open_trust(&self) {
        self.run(&[&["trust", "show"][..], &TRUST].concat()).exits(0);
    }

    /// The file in which the account remembers trust files.
    pub(crate) fn memory(&self) -> PathBuf {
        self.place.state.path().join("fillward").join("trust-memory.json")
    }

    /// Forgets which trust files have been seen, and keeps whose keys were accepted.
    pub(crate) fn forget_trust(&self) {
        fs::write(self.memory(), accepted()).unwrap();
    }

    /// What lies in the folder; the dot in front of a name is no hiding place.
    pub(crate) fn names(&self) -> BTreeSet<String> {
        let entries = fs::read_dir(self.place.folder.path()).unwrap();
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
    }

    /// Holds the lock of a file, as a command that is writing it does, until the lock is dropped.
    pub(crate) fn hold(&self, name: &str) -> fs::File {
        Self::hold_at(&self.path(name))
    }

    /// The same of a file anywhere.
    pub(crate) fn hold_at(path: &Path) -> fs::File {
        let lock = fs::File::create(format!("{}.lock", path.display())).unwrap();
        lock.try_lock().unwrap();
        lock
    }

    /// Locks and files that were begun: nothing of the kind outlasts a command.
    pub(crate) fn leftovers(&self) -> Vec<String> {
        let odd = |name: &String| name.starts_with('.') || Path::new(name).extension().is_some_and(|end| end == "lock");
        self.names().into_iter().filter(odd).collect()
    }

    /// Runs the program in the folder, with no terminal and at the shop's own time.
    pub(crate) fn run(&self, arguments: &[impl AsRef<str>]) -> Ran {
        Ran::of(arguments, self.command(arguments).output().unwrap())
    }

    pub(crate) fn command(&self, arguments: &[impl AsRef<str>]) -> Command {
        let mut command = self.bare(env!("CARGO_BIN_EXE_fillward"));
        command.args(arguments.iter().map(AsRef::as_ref));
        command
    }

    /// Runs a shell script in the folder, `$0` being the program under test.
    pub(crate) fn shell(&self, script: &str, arguments: &[impl AsRef<str>]) -> Ran {
        let mut command = self.bare("sh");
        command.args(["-c", script, env!("CARGO_BIN_EXE_fillward")]).args(arguments.iter().map(AsRef::as_ref));
        Ran::of(arguments, command.output().unwrap())
    }

    pub(crate) fn bare(&self, program: &str) -> Command {
        let mut command = Command::new(program);
        command.current_dir(self.place.folder.path()).env_clear().stdin(Stdio::null());
        command.env("PATH", std::env::var_os("PATH").unwrap_or_default()).env("TZ", zone()).env("COLUMNS", "200");
        command.env("XDG_STATE_HOME", self.place.state.path());
        command
    }

    /// `sign job.yaml` by Odile Varga, with these arguments more.
    pub(crate) fn sign(&self, more: &[&str]) -> Ran {
        self.run(&[signing("job.yaml", ODILE), owned(more)].concat())
    }

    pub(crate) fn countersign(&self, file: &str, key: &str, more: &[&str]) -> Ran {
        self.run(&[countersigning(file, key), owned(more)].concat())
    }

    /// Verifies files against the trust file and its owner.
    pub(crate) fn verify(&self, arguments: &[&str]) -> Ran {
        self.run(&[&["verify"], arguments, &TRUST].concat())
    }
}

/// The trust file, tied to its owner.
pub(crate) const TRUST: [&str; 4] = ["--trust", "trust.json", "--owner", "ansel-prewitt-okoro-owner.pub.pem"];

pub(crate) fn owned(arguments: &[&str]) -> Vec<String> {
    arguments.iter().map(|argument| (*argument).to_owned()).collect()
}

/// The arguments with a key and its passphrase.
pub(crate) fn with_key(arguments: &[&str], key: &str) -> Vec<String> {
    let key = format!("{key}.key.pem");
    [owned(arguments), owned(&["--key", &key, "--passphrase-file", WORDS_FILE])].concat()
}

pub(crate) fn signing(record: &str, key: &str) -> Vec<String> {
    [with_key(&["sign", record, "--yes"], key), owned(&TRUST)].concat()
}

pub(crate) fn countersigning(file: &str, key: &str) -> Vec<String> {
    [with_key(&["countersign", file, "--record", "job.yaml", "--yes"], key), owned(&TRUST)].concat()
}

/// The passing demo job, this morning.
pub(crate) fn passing() -> String {
    moved(&common::read("shared/demo/jobs/pass-loader-bias-used.yaml"))
}

/// The same with one thing said otherwise.
pub(crate) fn passing_but(find: &str, put: &str) -> String {
    let record = passing();
    assert!(record.contains(find), "the record does not contain `{find}`");
    record.replacen(find, put, 1)
}

/// What became of one run of the program.
#[derive(Debug)]
pub(crate) struct Ran {
    what: String,
    pub(crate) exit: Option<i32>,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Ran {
    pub(crate) fn of(arguments: &[impl AsRef<str>], output: Output) -> Self {
        let arguments: Vec<&str> = arguments.iter().map(AsRef::as_ref).collect();
        Self {
            what: arguments.join(" "),
            exit: output.status.code(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// It ended with this exit code.
    #[track_caller]
    pub(crate) fn exits(self, due: i32) -> Self {
        assert_eq!(self.exit, Some(due), "fillward {}\n--- out\n{}--- err\n{}", self.what, self.out, self.err);
        self
    }

    /// Its output has these phrases; line breaks count as blanks.
    #[track_caller]
    pub(crate) fn says(self, phrases: &[&str]) -> Self {
        let text = self.text();
        for phrase in phrases {
            assert!(text.contains(phrase), "fillward {}: `{phrase}` is not in\n{}{}", self.what, self.out, self.err);
        }
        self
    }

    #[track_caller]
    pub(crate) fn never_says(self, phrase: &str) -> Self {
        assert!(!self.text().contains(phrase), "fillward {}: `{phrase}` is in\n{}{}", self.what, self.out, self.err);
        self
    }

    fn text(&self) -> String {
        let words: Vec<&str> = self.out.split_whitespace().chain(self.err.split_whitespace()).collect();
        words.join(" ")
    }

    /// The codes it names, in the order of the text, without those of rules.
    pub(crate) fn codes(&self) -> Vec<String> {
        let words = self.out.split_whitespace().chain(self.err.split_whitespace());
        let stripped = words.map(|word| word.trim_start_matches('(').trim_end_matches([':', ')']));
        stripped
            .filter(|word| word.starts_with("checklist/") || word.starts_with("cli/"))
            .map(|word| word.trim_start_matches("checklist/").to_owned())
            .collect()
    }

    /// It names exactly these codes.
    #[track_caller]
    pub(crate) fn names(self, codes: &[&str]) -> Self {
        assert_eq!(self.codes(), codes, "fillward {}\n{}{}", self.what, self.out, self.err);
        self
    }
}

/// Runs commands at the same time and waits for all of them.
pub(crate) fn at_once(commands: Vec<(String, Command)>) -> Vec<Ran> {
    let started: Vec<_> = commands
        .into_iter()
        .map(|(what, mut command)| (what, command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap()))
        .collect();
    started.into_iter().map(|(what, child)| Ran::of(&[what], child.wait_with_output().unwrap())).collect()
}

/// What the program gives a private key.
#[cfg(unix)]
fn owners_alone() -> fs::Permissions {
    use std::os::unix::fs::PermissionsExt as _;
    fs::Permissions::from_mode(0o600)
}

/// The mode of a file, as `ls` shows it in digits.
#[cfg(unix)]
pub(crate) fn mode(path: &Path) -> u32 {
    use std::os::unix::fs::PermissionsExt as _;
    fs::metadata(path).unwrap().permissions().mode() & 0o7777
}
