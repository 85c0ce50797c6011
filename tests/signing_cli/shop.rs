//! A shop in a folder of its own: keys that the program made, a trust file, a job record of this morning.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;

use tempfile::TempDir;

use super::morning;
use crate::common;

/// Nothing here is secret.
pub(crate) const WORDS: &str = "lantern copper meadow rain";
pub(crate) const WORDS_FILE: &str = "words.txt";

const DAY: i64 = 86_400;

/// Everybody with a key: name, role, and the stem of the key's files.
const PEOPLE: [(&str, &str, &str); 8] = [
    ("Marit Osei", "owner", OWNER),
    ("Ansel Prewitt-Okoro", "owner", SECOND_OWNER),
    ("Odile Varga", "supervisor", ODILE),
    ("Wren Castellane", "supervisor", WREN),
    ("Tamsin Brandt", "safety-officer", TAMSIN),
    ("Ivo Halloran", "supervisor", IVO),
    ("Signe Abara", "supervisor", SIGNE),
    ("Petra Lindqvist", "supervisor", PETRA),
];

pub(crate) const OWNER: &str = "marit-osei-owner";
pub(crate) const SECOND_OWNER: &str = "ansel-prewitt-okoro-owner";
pub(crate) const ODILE: &str = "odile-varga-supervisor";
pub(crate) const WREN: &str = "wren-castellane-supervisor";
pub(crate) const TAMSIN: &str = "tamsin-brandt-safety-officer";
pub(crate) const IVO: &str = "ivo-halloran-supervisor";
pub(crate) const SIGNE: &str = "signe-abara-supervisor";
pub(crate) const PETRA: &str = "petra-lindqvist-supervisor";

/// A key file and its content.
type KeyFile = (String, String);

/// The key files, made once by the program: six hundred thousand rounds for each are worth sparing.
fn key_files() -> &'static [KeyFile] {
    static FILES: OnceLock<Vec<KeyFile>> = OnceLock::new();
    FILES.get_or_init(|| {
        let shop = Shop::empty();
        for (name, role, _) in PEOPLE {
            shop.run(&["key", "new", "--name", name, "--role", role, "--passphrase-file", WORDS_FILE]).exits(0);
        }
        let names = PEOPLE.iter().flat_map(|(_, _, stem)| [format!("{stem}.key.pem"), format!("{stem}.pub.pem")]);
        names.map(|name| (name.clone(), shop.read(&name))).collect()
    })
}

/// What a trust file says, as far as tests change it.
pub(crate) struct Trusting {
    pub(crate) zone: String,
    pub(crate) version: u32,
    pub(crate) owners_needed: u32,
    pub(crate) made_at: String,
    pub(crate) ends_at: String,
    pub(crate) people: Vec<Trusted>,
    /// Name, edition and digest.
    pub(crate) packs: Vec<[String; 3]>,
}

pub(crate) struct Trusted {
    pub(crate) name: String,
    pub(crate) role: String,
    pub(crate) key: String,
    pub(crate) from: String,
    pub(crate) until: String,
    /// When and why.
    pub(crate) revoked: Option<(String, String)>,
}

impl Trusting {
    pub(crate) fn person(&mut self, key: &str) -> &mut Trusted {
        self.people.iter_mut().find(|person| person.key == key).unwrap()
    }

    fn yaml(&self, shop: &Shop) -> String {
        let mut text = format!(
            "format: fillward-trust/1\nshop: Hollow Tarn depot\nzone: {}\nversion: {}\nmade_at: {}\nends_at: {}\n",
            self.zone, self.version, self.made_at, self.ends_at
        );
        let _ = write!(text, "owners_needed: {}\npeople:\n", self.owners_needed);
        for Trusted { name, role, key, from, until, revoked } in &self.people {
            let _ = write!(
                text,
                "  - name: {name}\n    roles: [{role}]\n    keys:\n      - from: {from}\n        until: {until}\n"
            );
            if let Some((at, why)) = revoked {
                let _ = writeln!(text, "        revoked: {{at: {at}, why: {why}}}");
            }
            text.push_str("        public_key: |\n");
            for line in shop.read(&format!("{key}.pub.pem")).lines() {
                let _ = writeln!(text, "          {line}");
            }
        }
        text.push_str(if self.packs.is_empty() { "packs: []\n" } else { "packs:\n" });
        for [name, edition, digest] in &self.packs {
            let from = morning::from_now(-DAY);
            let _ = writeln!(text, "  - {{name: {name}, edition: \"{edition}\", sha256: {digest},");
            let _ = writeln!(text, "     approved_by: Tamsin Brandt, from: {from}}}");
        }
        text
    }
}

/// A folder with everything that a shop needs to sign.
pub(crate) struct Shop {
    folder: TempDir,
}

impl Shop {
    /// A folder with nothing but the passphrase.
    pub(crate) fn empty() -> Self {
        let shop = Self { folder: tempfile::tempdir().unwrap() };
        shop.write(WORDS_FILE, format!("{WORDS}\n"));
        shop
    }

    /// A folder with everybody's keys.
    pub(crate) fn with_keys() -> Self {
        let shop = Self::empty();
        for (name, content) in key_files() {
            shop.write(name, content);
            if name.ends_with(".key.pem") {
                fs::set_permissions(shop.path(name), owners_alone()).unwrap();
            }
        }
        shop
    }

    /// Keys, the passing job of this morning as `job.yaml`, and `trust.json`.
    pub(crate) fn new() -> Self {
        Self::with_packs(&[])
    }

    /// The same, with these local packs approved as well.
    pub(crate) fn with_packs(packs: &[(&str, &str)]) -> Self {
        let shop = Self::with_keys();
        shop.write("job.yaml", passing());
        for (name, text) in packs {
            shop.write(name, text);
        }
        let names: Vec<&str> = packs.iter().map(|(name, _)| *name).collect();
        shop.trust_packs(&names, |_| {});
        shop
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

    /// Forgets which versions of the trust file have been seen, as a machine does that never saw one.
    pub(crate) fn forget_trust(&self) {
        fs::remove_file(self.path("fillward-trust.seen")).unwrap();
    }

    /// What lies in the folder; the dot in front of a name is no hiding place.
    pub(crate) fn names(&self) -> BTreeSet<String> {
        let entries = fs::read_dir(self.folder.path()).unwrap();
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
    }

    /// Holds the lock of a file, as a command that is writing it does, until the lock is dropped.
    pub(crate) fn hold(&self, name: &str) -> fs::File {
        let lock = fs::File::create(self.path(&format!("{name}.lock"))).unwrap();
        lock.try_lock().unwrap();
        lock
    }

    /// Locks and files that were begun: nothing of the kind outlasts a command.
    pub(crate) fn leftovers(&self) -> Vec<String> {
        let odd = |name: &String| name.starts_with('.') || Path::new(name).extension().is_some_and(|end| end == "lock");
        self.names().into_iter().filter(odd).collect()
    }

    /// The trust file as the owner writes it; the base pack is approved.
    pub(crate) fn trust_text(&self, packs: &[&str], change: impl FnOnce(&mut Trusting)) -> String {
        let mut arguments = vec!["trust", "packs"];
        arguments.extend(packs.iter().flat_map(|pack| ["--pack", pack]));
        let listed = self.run(&arguments).exits(0).out;
        let people = PEOPLE.iter().map(|(name, role, key)| Trusted {
            name: (*name).to_owned(),
            role: (*role).to_owned(),
            key: (*key).to_owned(),
            from: morning::from_now(-DAY),
            until: morning::from_now(365 * DAY),
            revoked: None,
        });
        let part = |line: &str| {
            let mut words = line.split_whitespace().map(str::to_owned);
            [words.next().unwrap(), words.next().unwrap(), words.next().unwrap()]
        };
        let mut trusting = Trusting {
            zone: morning::zone().to_owned(),
            version: 1,
            owners_needed: 1,
            made_at: morning::from_now(-7200),
            ends_at: morning::from_now(365 * DAY),
            people: people.collect(),
            packs: listed.lines().map(part).collect(),
        };
        change(&mut trusting);
        trusting.yaml(self)
    }

    /// Writes and signs another `trust.json`.
    pub(crate) fn trust(&self, change: impl FnOnce(&mut Trusting)) {
        self.trust_packs(&[], change);
    }

    /// The same with a local pack approved too.
    pub(crate) fn trust_with(&self, pack: &str, change: impl FnOnce(&mut Trusting)) {
        self.trust_packs(&[pack], change);
    }

    fn trust_packs(&self, packs: &[&str], change: impl FnOnce(&mut Trusting)) {
        self.write("trust.yaml", self.trust_text(packs, change));
        let _ = fs::remove_file(self.path("trust.json"));
        self.run(&with_key(&["trust", "sign", "trust.yaml", "--out", "trust.json"], OWNER)).exits(0);
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

    fn bare(&self, program: &str) -> Command {
        let mut command = Command::new(program);
        command.current_dir(self.folder.path()).env_clear().stdin(Stdio::null());
        command
            .env("PATH", std::env::var_os("PATH").unwrap_or_default())
            .env("TZ", morning::zone())
            .env("COLUMNS", "200");
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
pub(crate) const TRUST: [&str; 4] = ["--trust", "trust.json", "--owner", "marit-osei-owner.pub.pem"];

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
    morning::moved(&common::read("shared/demo/jobs/pass-loader-bias-used.yaml"))
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
