"""A shop for the oracle of signatures: keys, a trust file and signed checklists, all made by the program under test.

It also says what other tools can be told of a checklist: the payload, the header and the file, each written here by
Python's own `json`, from the description of the format and not from the program.
"""

import base64
import json
import os
import re
import subprocess
import sys
import time
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from oracle import CODE, JOBS, LONGEST_RUN, ROOT, scratch

WORDS = "lantern copper meadow rain"
PEOPLE = {
    "owner": ("Marit Osei", "owner"),
    "odile": ("Odile Varga", "supervisor"),
    "tamsin": ("Tamsin Brandt", "safety-officer"),
}
PACK = (ROOT / "tests" / "common" / "local-pack.yaml").read_text(encoding="utf-8")
# The shop lies where it is past ten in the morning now, so that what was inspected today still is when the oracle ends.
MOVE = [sys.executable, str(ROOT / "shared/demo/move_to_today.py")]
ZONE = subprocess.run(MOVE, capture_output=True, check=True, text=True).stdout.strip()
PLACE = ZoneInfo(ZONE)


class Ran:
    """What became of one command."""

    def __init__(self, done):
        self.exit = done.returncode
        self.out = done.stdout.decode("utf-8", "replace")
        self.err = done.stderr.decode("utf-8", "replace")
        words = re.findall(r"\bchecklist/([a-z0-9-]+)", self.out + self.err)
        self.codes = words + CODE.findall(self.err)

    def __str__(self):
        return f"exit {self.exit}, {self.codes or 'no code'}: {(self.out + self.err)[-300:]}"


def stamp(seconds=0):
    """The instant so many seconds from now, as files spell it."""
    text = (datetime.now(PLACE) + timedelta(seconds=seconds)).isoformat(timespec="seconds")
    return text.replace("+00:00", "Z")


def b64(data):
    """Base64url without padding (RFC 4648, section 5)."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode("ascii")


def unb64(text):
    """The bytes of base64url without padding."""
    return base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))


def canonical(value):
    """The canonical bytes: inside the profile of the format, RFC 8785 is what Python's `json` writes."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode("utf-8")


def exact_file(value):
    """The exact form of a file."""
    return (json.dumps(value, sort_keys=True, indent=2, ensure_ascii=False) + "\n").encode("utf-8")


class Shop:
    """A folder with everything that a shop needs to sign."""

    def __init__(self):
        self.holder = scratch()
        self.folder = self.holder.name
        self.write("words.txt", WORDS + "\n")
        for name, role in PEOPLE.values():
            self.must("key", "new", "--name", name, "--role", role, "--passphrase-file", "words.txt")
        self.write("two.yaml", PACK)
        moved = [*MOVE, str(JOBS / "pass-loader-bias-used.yaml"), ZONE]
        self.write("job.yaml", self.command(moved).out)
        self.write("trust.yaml", self.trust())
        self.must("trust", "sign", "trust.yaml", "--yes", "--out", "trust.json", *self.with_key("owner"))
        # The local pack judges where it is given; the base pack judges every job.
        for pack in (["tyre-fill"], ["two.yaml", "--optional"]):
            self.must("trust", "approve", *pack, "--trust", "trust.json", "--yes", *self.with_key("tamsin"))
        self.must("trust", "sign", "--yes", "--out", "trust.json", *self.with_key("owner"))
        paper = ["--owner-words", self.words("key", "show", self.stem("owner") + ".pub.pem")]
        paper += ["--trust-words", self.words("trust", "show", *self.trusting())]
        self.must("trust", "accept", *self.trusting(), *paper)

    def words(self, *arguments):
        """The words that the owner hands out on paper."""
        return re.search(r"^ *words(?: of this version)? +([a-z ]+)$", self.must(*arguments).out, re.MULTILINE).group(1)

    def trust(self):
        """The trust file as the owner writes it."""
        lines = ["format: fillward-trust/1", "shop: Hollow Tarn depot", f"zone: {ZONE}", "version: 1", f"made_at: {stamp(-7200)}"]
        lines += [f"ends_at: {stamp(86400)}", "owners_needed: 1", "people:"]
        for who, (name, role) in PEOPLE.items():
            lines += [f"  - name: {name}", f"    roles: [{role}]", "    keys:", f"      - from: {stamp(-86400)}"]
            lines += [f"        until: {stamp(86400)}", "        public_key: |"]
            lines += ["          " + line for line in self.read(self.stem(who) + ".pub.pem").decode().splitlines()]
        lines.append("packs: []")
        return "\n".join(lines) + "\n"

    def stem(self, who):
        """The stem of a person's key files."""
        return "-".join(PEOPLE[who]).lower().replace(" ", "-")

    def path(self, name):
        """A path in the folder."""
        return os.path.join(self.folder, name)

    def write(self, name, content):
        """Writes a file; text as UTF-8."""
        with open(self.path(name), "wb") as file:
            file.write(content if isinstance(content, bytes) else content.encode("utf-8"))

    def read(self, name):
        """The bytes of a file."""
        with open(self.path(name), "rb") as file:
            return file.read()

    def public(self, who):
        """The public key of a person in PEM form."""
        return self.read(self.stem(who) + ".pub.pem").decode("ascii")

    def private(self, who):
        """The encrypted private key of a person in PEM form."""
        return self.read(self.stem(who) + ".key.pem").decode("ascii")

    def with_key(self, who):
        """The arguments that give a person's key."""
        return ["--key", self.stem(who) + ".key.pem", "--passphrase-file", "words.txt"]

    def trusting(self):
        """The arguments that give the trust file and tie it to its owner."""
        return ["--trust", "trust.json", "--owner", self.stem("owner") + ".pub.pem"]

    def command(self, arguments, stdin=b""):
        """Runs a command in the folder, at the shop's own time."""
        environment = {"PATH": os.environ.get("PATH", ""), "TZ": ZONE, "COLUMNS": "200", "NO_COLOR": "1"}
        environment["XDG_STATE_HOME"] = os.path.join(self.folder, ".state")
        done = subprocess.run(
            arguments,
            cwd=self.folder,
            env=environment,
            input=stdin,
            capture_output=True,
            timeout=LONGEST_RUN,
            check=False,
        )
        return Ran(done)

    def fillward(self, *arguments):
        """Runs the program under test."""
        return self.command([os.path.join(ROOT, os.environ["FILLWARD"]), *arguments])

    def must(self, *arguments, due=0):
        """Runs the program under test, which must end with the exit code due."""
        ran = self.fillward(*arguments)
        if ran.exit != due:
            raise SystemExit(f"fillward {' '.join(arguments)}: {ran}")
        return ran

    def signed_by_two(self, name):
        """Has the program write a checklist that two people signed, and gives its bytes."""
        packs = ["--pack", "two.yaml"]
        signing = ["sign", "job.yaml", "--yes", "--out", name, *packs]
        # Signed by one of two, a fill may not start yet, and the exit code says so.
        self.must(*signing, *self.with_key("odile"), *self.trusting(), due=1)
        further = ["--role", "safety-officer", "--record", "job.yaml", *packs]
        self.must("countersign", name, "--yes", *further, *self.with_key("tamsin"), *self.trusting())
        return self.read(name)

    def with_permit(self, name):
        """Has the program write a checklist that leans on a permit, and gives its bytes."""
        record = self.read("job.yaml").replace(b"solvent_on_hand: 2 gal", b"solvent_on_hand: 12 gal", 1)
        self.write("solvent.yaml", record)
        asked = ["--rule", "solvent-excess", "--asked-by", PEOPLE["odile"][0], "--until", stamp(3600)]
        asked += ["--reason", "the fire warden's letter is on file", "--out", "solvent.permit.json"]
        self.must("permit", "write", "solvent.yaml", "--yes", *asked, *self.with_key("tamsin"), *self.trusting())
        permit = ["--permit", "solvent.permit.json", "--out", name]
        # In a folder of its own, where it keeps no other checklist of the job from starting.
        os.makedirs(os.path.dirname(self.path(name)), exist_ok=True)
        # Of two checklists of one second neither is the later one, so that neither starts a fill beside the other.
        time.sleep(1.1)
        self.must("sign", "solvent.yaml", "--yes", *permit, *self.with_key("odile"), *self.trusting())
        return self.read(name)

    def verify(self, name, content=None):
        """Asks the program whether a fill may start by a file."""
        if content is not None:
            self.write(name, content)
        judging = ["--record", "job.yaml", "--rejudge", "--pack", "two.yaml"]
        return self.fillward("verify", name, *judging, *self.trusting())
