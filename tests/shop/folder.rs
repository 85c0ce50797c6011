//! The shop in a folder of its own, where the program is run: files in, files, words and exit codes out.

use std::cell::Cell;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use fillward::checklist::trust;
use tempfile::TempDir;

use super::counter::{WORDS, accepted, private_keys};
use super::morning::{from_now, moved, zone};
use super::{PEOPLE, key, person};
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

/// A folder with everything that a shop needs to sign.
pub(crate) struct ShopFolder {
    folder: TempDir,
    /// Where the account of its people keeps what is remembered.
    state: TempDir,
    policy: super::Shop,
    /// How often the trust file was changed: each change makes a version of its own.
    changes: Cell<i64>,
}

impl ShopFolder {
    /// A folder with nothing but the passphrase.
    pub(crate) fn empty() -> Self {
        Self::of(super::Shop::new())
    }

    fn of(policy: super::Shop) -> Self {
        let [folder, state] = [(); 2].map(|()| tempfile::tempdir().unwrap());
        let shop = Self { folder, state, policy, changes: Cell::default() };
        fs::create_dir(shop.state.path().join("fillward")).unwrap();
        fs::write(shop.memory(), accepted()).unwrap();
        shop.write(WORDS_FILE, format!("{WORDS}\n"));
        fs::set_permissions(shop.path(WORDS_FILE), owners_alone()).unwrap();
        shop
    }

    /// A folder with everybody's keys.
    pub(crate) fn with_keys() -> Self {
        let shop = Self::empty();
        shop.put_keys();
        shop
    }

    fn put_keys(&self) {
        for (stem, (seed, pem)) in STEMS.iter().zip(private_keys()) {
            let name = format!("{stem}.key.pem");
            self.write(&name, pem);
            fs::set_permissions(self.path(&name), owners_alone()).unwrap();
            self.write(&format!("{stem}.pub.pem"), key(*seed).public().to_pem());
        }
    }

    /// Keys, the passing job of this morning as `job.yaml`, and `trust.json`.
    pub(crate) fn new() -> Self {
        Self::with_packs(&[])
    }

    /// The same, with these local packs approved as well.
    pub(crate) fn with_packs(packs: &[(&str, &str)]) -> Self {
        let shop = Self::of(super::Shop::named(packs));
        shop.put_keys();
        shop.write("job.yaml", passing());
        for (name, text) in packs {
            shop.write(name, text);
        }
        shop.trust(|_| {});
        shop
    }

    /// What the trust file says: everybody of the shop, from yesterday, for a year.
    fn trust_body(&self, change: impl FnOnce(&mut trust::TrustBody)) -> trust::TrustBody {
        let mut body = self.policy.trust_body();
        (body.version, body.made_at, body.ends_at) = (1, from_now(-7200), from_now(365 * DAY));
        zone().clone_into(&mut body.zone);
        body.people = PEOPLE.iter().map(person).collect();
        for key in body.people.iter_mut().flat_map(|person| &mut person.keys) {
            (key.from, key.until) = (from_now(-DAY), from_now(365 * DAY));
        }
        body.packs.iter_mut().for_each(|pack| pack.from = from_now(-DAY));
        change(&mut body);
        super::sealed(&body)
    }

    /// Puts another `trust.json`, signed by the owner.
    pub(crate) fn trust(&self, change: impl FnOnce(&mut trust::TrustBody)) {
        let version = 1 + self.changes.replace(self.changes.get() + 1);
        let body = self.trust_body(|body| {
            body.version = version;
            change(body);
        });
        self.write("trust.json", super::Shop::trust_file(&body));
    }

    /// The trust file as the owner writes it.
    pub(crate) fn trust_text(&self, change: impl FnOnce(&mut trust::TrustBody)) -> String {
        serde_yaml::to_string(&self.trust_body(change)).unwrap()
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn write(&self, name: &str, content: impl AsRef<[u8]>) {
        fs::write(self.path(name), content).unwrap();
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
        self.state.path().join("fillward").join("trust-memory.json")
    }

    /// Forgets which trust files have been seen, and keeps whose keys were accepted.
    pub(crate) fn forget_trust(&self) {
        fs::write(self.memory(), accepted()).unwrap();
    }

    /// What lies in the folder; the dot in front of a name is no hiding place.
    pub(crate) fn names(&self) -> BTreeSet<String> {
        let entries = fs::read_dir(self.folder.path()).unwrap();
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
        command.current_dir(self.folder.path()).env_clear().stdin(Stdio::null());
        command.env("PATH", std::env::var_os("PATH").unwrap_or_default()).env("TZ", zone()).env("COLUMNS", "200");
        command.env("XDG_STATE_HOME", self.state.path());
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
        let stripped = words.map(|word| word.trim_end_matches(':'));
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
