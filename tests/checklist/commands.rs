//! The same holes from the command line: what a person is asked, shown and told, and with which exit code.

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::sync::OnceLock;

use fillward::checklist::jws::Role;
use fillward::checklist::trust;
use serde_json::{Value, json};
use tempfile::TempDir;

use super::shop::{MAIRE, ODILE, OWNER, Shop, WREN, key};
use crate::common;
use crate::signing_cli::morning::{from_now, moved, zone};

const WORDS: &str = "lantern copper meadow rain";
const TRUST: [&str; 4] = ["--trust", "trust.json", "--owner", "owner.pub.pem"];

/// The demo job, this morning.
fn job() -> &'static str {
    static JOB: OnceLock<String> = OnceLock::new();
    JOB.get_or_init(|| moved(&common::read("shared/demo/jobs/pass-loader-bias-used.yaml")))
}

/// Encrypted once: the rounds take their time.
fn key_files() -> &'static [(&'static str, String, String)] {
    static FILES: OnceLock<Vec<(&'static str, String, String)>> = OnceLock::new();
    FILES.get_or_init(|| {
        let file = |name, seed: u8| {
            let pem = key(seed).to_encrypted_pem(WORDS.as_bytes(), &[seed; 16], [seed; 16]).unwrap();
            (name, pem.to_string(), key(seed).public().to_pem())
        };
        vec![file("odile", ODILE), file("wren", WREN), file("maire", MAIRE), file("owner", OWNER), file("mallory", 66)]
    })
}

/// A folder with keys, the job of this morning and a signed trust file.
struct Bench {
    folder: TempDir,
    shop: Shop,
}

struct Ran {
    exit: Option<i32>,
    text: String,
}

impl Bench {
    fn new() -> Self {
        Self::of(Shop::new())
    }

    fn of(shop: Shop) -> Self {
        let bench = Self { folder: tempfile::tempdir().unwrap(), shop };
        bench.put("words", format!("{WORDS}\n"));
        for (name, private, public) in key_files() {
            bench.put(&format!("{name}.key.pem"), private);
            bench.private(&format!("{name}.key.pem"), 0o600);
            bench.put(&format!("{name}.pub.pem"), public);
        }
        bench.put("job.yaml", job());
        bench.put("trust.json", bench.trust_file(|_| {}));
        bench
    }

    fn trust_body(&self, change: impl FnOnce(&mut trust::TrustBody)) -> trust::TrustBody {
        let mut body = self.shop.trust_body();
        (body.version, body.made_at, body.ends_at) = (1, from_now(-7200), from_now(86_400));
        zone().clone_into(&mut body.zone);
        for key in body.people.iter_mut().flat_map(|person| &mut person.keys) {
            (key.from, key.until) = (from_now(-86_400), from_now(86_400));
        }
        body.packs.iter_mut().for_each(|pack| pack.from = from_now(-86_400));
        change(&mut body);
        body
    }

    fn trust_file(&self, change: impl FnOnce(&mut trust::TrustBody)) -> Vec<u8> {
        Shop::trust_file(&self.trust_body(change))
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn put(&self, name: &str, content: impl AsRef<[u8]>) {
        fs::write(self.path(name), content).unwrap();
    }

    fn get(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    fn private(&self, name: &str, mode: u32) {
        use std::os::unix::fs::PermissionsExt as _;
        fs::set_permissions(self.path(name), fs::Permissions::from_mode(mode)).unwrap();
    }

    fn command(&self, program: &str, arguments: &[&str]) -> Command {
        let mut command = Command::new(program);
        command.args(arguments).current_dir(self.folder.path()).env("TZ", zone()).env("COLUMNS", "200");
        command.stdin(Stdio::null());
        command
    }

    fn run(&self, arguments: &[&str]) -> Ran {
        Ran::of(&mut self.command(env!("CARGO_BIN_EXE_fillward"), arguments))
    }

    /// A command that puts a key to use, with the trust file and its owner.
    fn with_key(&self, arguments: &[&str], name: &str) -> Ran {
        let private = format!("{name}.key.pem");
        self.run(&[arguments, &["--key", &private, "--passphrase-file", "words"], &TRUST].concat())
    }

    fn sign(&self, record: &str, more: &[&str]) -> Ran {
        self.with_key(&[&["sign", record, "--yes"], more].concat(), "odile")
    }

    fn verify(&self, arguments: &[&str]) -> Ran {
        self.run(&[&["verify"], arguments, &TRUST].concat())
    }

    fn trust_sign(&self, body: &trust::TrustBody, name: &str) -> Ran {
        self.put("trust.yaml", serde_yaml::to_string(body).unwrap());
        let private = format!("{name}.key.pem");
        let sign = ["trust", "sign", "trust.yaml", "--out", "trust.json", "--passphrase-file", "words", "--key"];
        self.run(&[&sign[..], &[&private]].concat())
    }
}

impl Ran {
    fn of(command: &mut Command) -> Self {
        let output = command.output().unwrap();
        let text = [output.stdout, output.stderr].concat();
        Self { exit: output.status.code(), text: String::from_utf8(text).unwrap() }
    }

    #[track_caller]
    fn exits(self, due: i32) -> Self {
        assert_eq!(self.exit, Some(due), "{}", self.text);
        self
    }

    #[track_caller]
    fn says(self, phrases: &[&str]) -> Self {
        for phrase in phrases {
            assert!(self.text.contains(phrase), "`{phrase}` is not in\n{}", self.text);
        }
        self
    }

    #[track_caller]
    fn never_says(self, phrase: &str) -> Self {
        assert!(!self.text.contains(phrase), "`{phrase}` is in\n{}", self.text);
        self
    }
}

#[test]
fn a_key_is_put_to_use_only_by_a_trust_file_of_a_known_owner() {
    let bench = Bench::new();
    let key = ["--key", "odile.key.pem", "--passphrase-file", "words", "--trust", "trust.json"];
    for command in [
        &["sign", "job.yaml", "--yes"][..],
        &["countersign", "job.checklist.json", "--record", "job.yaml", "--yes"],
        &["permit", "job.yaml", "--rule", "stand-off-short", "--reason", "x", "--asked-by", "x", "--until", "x"],
    ] {
        bench.run(&[command, &key].concat()).exits(2).says(&["--owner <FILE>"]);
    }
    bench.sign("job.yaml", &[]).exits(0).says(&["the fill may start"]);
    // Looking is free; but nothing starts by a trust file that anybody could have made.
    let look = ["verify", "job.checklist.json", "--record", "job.yaml", "--trust", "trust.json"];
    bench.run(&look).exits(1).says(&["checklist/trust-unpinned", "--owner"]).never_says(": may start");
    bench.verify(&["job.checklist.json", "--record", "job.yaml"]).exits(0).says(&[": may start"]);
}

#[test]
fn an_older_trust_file_put_back_is_noticed() {
    let bench = Bench::new();
    let first = bench.get("trust.json");
    bench.sign("job.yaml", &[]).exits(0);
    bench.put("trust.json", bench.trust_file(|body| body.version = 2));
    let verify = || bench.verify(&["job.checklist.json", "--record", "job.yaml"]);
    verify().exits(0);
    bench.put("trust.json", &first);
    verify().exits(3).says(&["checklist/trust-older", "version 2 has been in use already"]);
    bench.sign("job.yaml", &["--out", "again.json"]).exits(3).says(&["checklist/trust-older"]);
    // What is remembered is kept as it was written, or nobody can rely on it.
    let seen = bench.get("fillward-trust.seen");
    assert_eq!(seen, format!("fillward-trust-seen/4\n{0} 2 1 {0}\n", key(OWNER).public().kid()));
    bench.put("fillward-trust.seen", seen.replace(" 2 ", " two "));
    verify().exits(3).says(&["cli/trust-seen", "fillward-trust.seen", "remove that file"]);
    // Another owner's file in the same place has a history of its own.
    bench.put("fillward-trust.seen", seen.replace(key(OWNER).public().kid(), key(66).public().kid()));
    verify().exits(0);
    assert_eq!(bench.get("fillward-trust.seen").lines().count(), 3);
    // Where it cannot be written, that is said, and the answer is given all the same.
    fs::remove_file(bench.path("fillward-trust.seen")).unwrap();
    let held = fs::File::create(bench.path("fillward-trust.seen.lock")).unwrap();
    held.try_lock().unwrap();
    verify().exits(0).says(&["warning: version 1 of the trust file is not remembered", "fillward-trust.seen.lock"]);
    // Who puts a key to use waits until it is; otherwise older files would never be noticed here.
    bench.sign("job.yaml", &["--out", "again.json"]).exits(2).says(&["cli/locked", "fillward-trust.seen.lock", "wait"]);
    let counter = ["countersign", "job.checklist.json", "--record", "job.yaml", "--yes"];
    bench.with_key(&counter, "wren").exits(2).says(&["cli/locked"]);
    assert!(!bench.path("again.json").exists());
    assert!(!bench.path("fillward-trust.seen").exists());
}

#[test]
fn a_trust_file_is_followed_only_by_its_next_version_from_its_owners() {
    let bench = Bench::new();
    let one = bench.trust_body(|_| {});
    let version = |version| trust::TrustBody { version, ..one.clone() };
    let sign = |body: &trust::TrustBody, name| bench.trust_sign(body, name);
    fs::remove_file(bench.path("trust.json")).unwrap();
    sign(&one, "owner").exits(0).says(&["Signed version 1"]);
    let before = bench.get("trust.json");
    let shop = trust::TrustBody { shop: "Another".to_owned(), ..one.clone() };
    sign(&shop, "owner").exits(3).says(&["checklist/trust-older", "version 2"]);
    sign(&version(3), "owner")
        .exits(2)
        .says(&["does not follow version 1", "give the changed trust file the version 2"]);
    // A new owner in the new version does not sign it in place of the one before.
    let mut taken = version(2);
    taken.people[3].keys = vec![trust::Key { from: from_now(-60), until: from_now(86_400), ..super::shop::entry(66) }];
    sign(&taken, "mallory").exits(3).says(&["checklist/trust-not-by-owner", "none of an owner by version 1"]);
    assert_eq!(bench.get("trust.json"), before);
    sign(&version(2), "owner").exits(0);
    bench.verify(&["nothing.json"]).exits(2);
    // The file taken away, what is remembered of it still stands.
    fs::remove_file(bench.path("trust.json")).unwrap();
    sign(&one, "owner").exits(3).says(&["checklist/trust-older"]);
    let ahead = trust::TrustBody { made_at: from_now(3600), ..version(2) };
    sign(&ahead, "owner").exits(3).says(&["checklist/clock-behind"]);
}

/// Where two owners must sign, one of them does not make a version that asks for one.
#[test]
fn one_of_two_owners_does_not_lower_their_number() {
    let bench = Bench::new();
    let two = bench.trust_body(|body| {
        body.people[1].roles.push(Role::Owner);
        body.owners_needed = 2;
    });
    fs::remove_file(bench.path("trust.json")).unwrap();
    bench.trust_sign(&two, "owner").exits(0).says(&["1 of 2 owners"]);
    bench.trust_sign(&two, "wren").exits(0).says(&["2 of 2 owners"]);
    let lowered = trust::TrustBody { version: 2, owners_needed: 1, ..two.clone() };
    bench
        .trust_sign(&lowered, "owner")
        .exits(3)
        .says(&["checklist/trust-fewer-owners", "1 of 2 signatures by owners of the version"]);
    let next = trust::TrustBody { version: 2, ..two };
    bench.trust_sign(&next, "owner").exits(0).says(&["1 of 2 owners"]);
}

#[test]
fn verifying_as_of_another_instant_starts_nothing() {
    let bench = Bench::new();
    bench.sign("job.yaml", &[]).exits(0);
    let at = from_now(30);
    bench
        .verify(&["job.checklist.json", "--record", "job.yaml", "--at", &at])
        .exits(1)
        .says(&["could have started at", "checklist/not-now"])
        .never_says("may start\n");
    let late = bench.verify(&["job.checklist.json", "--record", "job.yaml", "--at", &from_now(13 * 3600)]);
    late.exits(1).says(&["checklist/lapsed"]).never_says("json: could have started");
}

#[test]
fn what_does_not_let_a_fill_start_ends_with_one() {
    let bench = Bench::new();
    bench.put("cold.yaml", job().replacen("reading: 75.2 degF", "reading: 60 degF", 1));
    bench.sign("cold.yaml", &["--hold"]).exits(1).says(&[
        "1 to put right",
        "1 finding holds the job",
        "not yet: the verdict is HOLD",
    ]);
    bench
        .sign("job.yaml", &["--at", &from_now(0), "--out", "rehearsal.json"])
        .exits(1)
        .says(&["not yet:", "rehearsal"]);
    bench.sign("job.yaml", &[]).exits(0).says(&["0 permits"]);
}

#[test]
fn a_permit_is_shown_whole_and_covers_what_was_shown() {
    let bench = Bench::new();
    let (near, nearer) = ("stand_off: 9 ft", "stand_off: 2 ft");
    bench.put("near.yaml", job().replacen("stand_off: 12 ft", near, 1));
    bench.put("nearer.yaml", job().replacen("stand_off: 12 ft", nearer, 1));
    let until = from_now(3600);
    let permit = |until: &str| {
        let reason = "a wall stands between";
        let what =
            ["permit", "near.yaml", "--rule", "stand-off-short", "--asked-by", "Odile Varga", "--reason", reason];
        bench.with_key(&[&what[..], &["--until", until, "--out", "permit.json"]].concat(), "maire")
    };
    permit("tomorrow").exits(2).says(&["--until:"]).never_says("--at");
    permit(&until).exits(0);
    let shown = [
        "broken, permitted: tyre-fill/stand-off-short of the job",
        "by Maire Lindqvist, asked by Odile Varga, until ",
        &until,
        "a wall stands between",
    ];
    bench
        .sign("near.yaml", &["--permit", "permit.json"])
        .exits(0)
        .says(&shown)
        .says(&["1 to put right", "1 permit"])
        .never_says("holds the job");
    bench.verify(&["near.checklist.json", "--record", "near.yaml"]).exits(0).says(&shown);
    bench.sign("nearer.yaml", &["--permit", "permit.json"]).exits(3).says(&["checklist/permit-other-evidence"]);
    assert!(!bench.path("nearer.checklist.json").exists());
}

#[test]
fn whoever_countersigns_sees_who_signed_and_judges_again() {
    let two = common::local_pack("two-people", "supervisor, supervisor");
    let bench = Bench::of(Shop::with(&[&two]));
    bench.put("local.yaml", two);
    bench.sign("job.yaml", &[]).exits(3).says(&["checklist/pack-left-out", "two-people"]);
    bench.sign("job.yaml", &["--pack", "local.yaml"]).exits(1).says(&["not yet: signatures are missing: supervisor"]);
    bench.verify(&["job.checklist.json", "--record", "job.yaml"]).exits(1).says(&["checklist/not-rejudged"]);
    let verify = || bench.verify(&["job.checklist.json", "--record", "job.yaml", "--pack", "local.yaml"]);
    verify().exits(1).says(&["checklist/too-few-signers", "in order, but"]);
    let before = bench.get("job.checklist.json");
    let countersign = |record: &str, more: &[&str]| {
        let command = ["countersign", "job.checklist.json", "--yes", "--record", record];
        bench.with_key(&[&command[..], more].concat(), "wren")
    };
    countersign("job.yaml", &[]).exits(3).says(&["checklist/other-packs"]);
    bench.put("edited.yaml", job().replacen("12 ft", "13 ft", 1));
    countersign("edited.yaml", &["--pack", "local.yaml"]).exits(3).says(&["checklist/record-changed"]);
    assert_eq!(bench.get("job.checklist.json"), before);
    countersign("job.yaml", &["--pack", "local.yaml"]).exits(0).says(&[
        "signed by Odile Varga, supervisor",
        ": good",
        "the fill may start",
    ]);
    verify().exits(0).says(&["signed by Wren Castellane"]);
}

#[test]
fn what_a_file_quotes_does_not_steer_the_terminal() {
    let bench = Bench::new();
    bench.sign("job.yaml", &[]).exits(0);
    let mut value: Value = serde_json::from_str(&bench.get("job.checklist.json")).unwrap();
    value["checklist"]["job"] = json!("HT-1\nother.json: may start");
    let (file, _) = fillward::checklist::canonical::file("f", &value).unwrap();
    let name = "odd\u{1b}[2K\u{202e}.json";
    bench.put(name, &file);
    let ran = bench.verify(&[name, "gone\u{7}.json", "--record", "job.yaml"]).exits(3);
    assert!(!ran.text.contains(['\u{1b}', '\u{202e}', '\u{7}']), "{:?}", ran.text);
    let ran = ran.says(&[
        r"odd\u{1b}[2K\u{202e}.json: not to be relied on",
        r"HT-1\u{a}other.json: may start",
        r"gone\u{7}.json",
    ]);
    assert!(!ran.text.lines().any(|line| line.starts_with("other.json")), "{}", ran.text);
}

/// The question is put, the record is edited, the answer is given: what was shown is not what would be signed.
#[test]
#[ignore = "needs python3"]
fn a_record_edited_while_the_question_waits_is_not_signed() {
    let bench = Bench::new();
    bench.put(
        "ask.py",
        r##"
import os, pty, sys
pid, terminal = pty.fork()
if pid == 0:
    os.execv(sys.argv[1], sys.argv[1:])
text = b""
while b"write the job number" not in text:
    text += os.read(terminal, 4096)
if os.environ["EDIT"]:
    open("job.yaml", "a").write("# edited while the question waited\n")
os.write(terminal, os.environ["ANSWER"].encode() + b"\n")
try:
    while True:
        part = os.read(terminal, 4096)
        if not part:
            break
        text += part
except OSError:
    pass
sys.stdout.write(text.decode())
sys.exit(os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]))
"##,
    );
    let ask = |edit: &str, answer: &str| {
        let sign = ["sign", "job.yaml", "--key", "odile.key.pem", "--passphrase-file", "words"];
        let arguments = [&["ask.py", env!("CARGO_BIN_EXE_fillward")], &sign[..], &TRUST].concat();
        Ran::of(bench.command("python3", &arguments).env("EDIT", edit).env("ANSWER", answer))
    };
    for (edit, answer, why) in [("yes", "HT-0311", "cli/changed"), ("", "HT-0310", "the job number was not written")] {
        let ran = ask(edit, answer).exits(2).says(&[why]);
        assert_eq!(ran.text.lines().last(), Some("Nothing was signed. Do not start the pump."), "{}", ran.text);
        assert!(!bench.path("job.checklist.json").exists());
        bench.put("job.yaml", job());
    }
    ask("", "HT-0311").exits(0).says(&["the fill may start"]);
}

#[test]
fn keys_are_made_whole_or_not_at_all_and_kept_to_oneself() {
    let bench = Bench::new();
    let new =
        || bench.run(&["key", "new", "--name", "Ada Quist", "--role", "supervisor", "--passphrase-file", "words"]);
    bench.put("ada-quist-supervisor.pub.pem", "something else\n");
    new().exits(2).says(&["cli/exists"]);
    assert!(!bench.path("ada-quist-supervisor.key.pem").exists());
    fs::remove_file(bench.path("ada-quist-supervisor.pub.pem")).unwrap();
    new().exits(0);
    // Others could read it: that is said once for each use, and is no reason not to sign.
    bench.sign("job.yaml", &[]).exits(0).never_says("warning");
    bench.private("odile.key.pem", 0o640);
    bench
        .sign("job.yaml", &["--out", "again.json"])
        .exits(0)
        .says(&["warning: others on this machine can read", "odile.key.pem"]);
    // A place that is taken is said before anybody types a passphrase.
    bench.put("words", "not the words\n");
    bench.sign("job.yaml", &[]).exits(2).says(&["cli/exists"]);
    bench.sign("job.yaml", &["--out", "other.json"]).exits(2).says(&["passphrase does not open"]);
    // A passphrase is taken whole or not at all.
    bench.put("words", "x".repeat(1025));
    bench.sign("job.yaml", &["--out", "other.json"]).exits(2).says(&["more than 1024 bytes"]);
    bench.put("words", format!("{WORDS}\r\nand whatever {}", "é".repeat(2000)));
    bench.sign("job.yaml", &["--out", "other.json"]).exits(0);
}
