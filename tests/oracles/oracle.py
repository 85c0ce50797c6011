"""What the oracles share: the program under test, the files of the project, a third reader of YAML, and the tally.

An oracle answers from outside the program: it uses libraries that share nothing with it. It prints one line for each
check, `ok` or `FAILED`, and ends with its count. It never skips: what cannot run has failed.
"""

import json
import os
import re
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from ruamel.yaml import YAML
from ruamel.yaml.constructor import SafeConstructor

ROOT = Path(__file__).resolve().parent.parent.parent
JOBS = ROOT / "shared" / "demo" / "jobs"
SHORT_JOBS = ROOT / "shared" / "demo" / "short"
DEMO_SHOP = ROOT / "shared" / "demo" / "shop.yaml"
SCHEMAS = ROOT / "schemas"

# The demo jobs belong to one morning and are judged at this instant.
AT = "2026-03-04T09:30:00-06:00"

# The codes of faults as the program prints them: alone on a line.
CODE = re.compile(r"^(?:Error: )?((?:cli|document|schema|record|shop|pack)/[a-z-]+)$", re.MULTILINE)

# No single run of the program takes a tenth of this.
LONGEST_RUN = 60

# How many problems of one check are printed.
MOST_SHOWN = 8


class Tally:
    """Counts checks and prints a line for each."""

    def __init__(self, oracle):
        self.oracle = oracle
        self.passed = 0
        self.failed = 0

    def check(self, name, problems):
        """A check has passed when it found no problem."""
        problems = list(problems)
        if not problems:
            self.passed += 1
            print(f"ok      {self.oracle}: {name}", flush=True)
            return
        self.failed += 1
        print(f"FAILED  {self.oracle}: {name}: {len(problems)} problems", flush=True)
        for problem in problems[:MOST_SHOWN]:
            print(f"          {problem}", flush=True)
        if len(problems) > MOST_SHOWN:
            print(f"          and {len(problems) - MOST_SHOWN} more", flush=True)

    def close(self):
        """Ends the oracle; one that checked nothing has failed."""
        if self.passed + self.failed == 0:
            self.check("anything at all", ["no check was made"])
        print(f"{self.oracle}: {self.passed} passed, {self.failed} failed", flush=True)
        sys.exit(1 if self.failed else 0)


class Run:
    """What one run of the program did."""

    def __init__(self, done):
        self.exit = done.returncode
        self.out = done.stdout
        self.err = done.stderr
        self.codes = set(CODE.findall(self.err)) - {"cli/invalid-input"}

    def has(self, stage):
        """Whether a fault of this stage was named."""
        return any(code.startswith(stage + "/") for code in self.codes)

    def __str__(self):
        return f"exit {self.exit}, {sorted(self.codes) or 'no fault named'}"


def fillward(*arguments):
    """Runs the program under test from the root of the project, with nothing of this environment but the path."""
    binary = os.environ["FILLWARD"]
    environment = {"PATH": os.environ.get("PATH", ""), "COLUMNS": "100", "NO_COLOR": "1"}
    done = subprocess.run(
        [binary, *map(str, arguments)],
        cwd=ROOT,
        env=environment,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        timeout=LONGEST_RUN,
        check=False,
    )
    done.stdout = done.stdout.decode("utf-8")
    done.stderr = done.stderr.decode("utf-8")
    return Run(done)


def judge(path, *more):
    """Judges a record at the instant of the demo."""
    return fillward("check", path, "--at", AT, "--zone", "America/Chicago", *more)


def each(function, items):
    """The results for all items, in order, on both cores."""
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        return list(pool.map(function, items))


class _Words(SafeConstructor):
    """YAML 1.2 values of JSON only: what looks like a day or an instant stays the text it is."""


_Words.add_constructor("tag:yaml.org,2002:timestamp", SafeConstructor.construct_yaml_str)


def read_yaml(text):
    """The values of a YAML text by the third reader."""
    reader = YAML(typ="safe", pure=True)
    reader.Constructor = _Words
    return reader.load(text)


def nodes(text):
    """The nodes of a YAML text by the third reader, with their places."""
    return YAML(typ="safe", pure=True).compose(text)


def demo_jobs(pattern="*.yaml", folder=JOBS):
    """The demo jobs in the order of their names; none is a fault of the oracle."""
    found = sorted(folder.glob(pattern))
    if not found:
        raise SystemExit(f"no demo job matches {pattern}")
    return found


def schema(name):
    """A published schema of the project."""
    return json.loads((SCHEMAS / name).read_text(encoding="utf-8"))


def name_of(path):
    """How a file is called in the lines of an oracle."""
    return str(Path(path).relative_to(ROOT))


def scratch():
    """A folder for the inputs that an oracle writes; gone when the oracle ends."""
    return tempfile.TemporaryDirectory(prefix="fillward-oracle-")


def write_json(folder, name, value):
    """Writes a value as JSON, which is also YAML: no second writer of YAML stands between oracle and program."""
    path = Path(folder) / name
    path.write_text(json.dumps(value, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
    return path


def steps(root, path=()):
    """Every value inside a document with its path, the document first."""
    yield path, root
    if isinstance(root, dict):
        for key, value in root.items():
            yield from steps(value, (*path, key))
    elif isinstance(root, list):
        for index, value in enumerate(root):
            yield from steps(value, (*path, index))


def put(root, path, value):
    """A copy of a document in which the value at a path is another; the path may lead to a new key."""
    if not path:
        return value
    first, *rest = path
    if isinstance(root, list):
        return [put(item, rest, value) if index == first else item for index, item in enumerate(root)]
    changed = dict(root)
    changed[first] = put(changed.get(first, {}), rest, value)
    return changed


def drop(root, path):
    """A copy of a document without the value at a path."""
    first, *rest = path
    if isinstance(root, list):
        kept = [drop(item, rest) if index == first and rest else item for index, item in enumerate(root)]
        return kept if rest else [item for index, item in enumerate(root) if index != first]
    if rest:
        return {**root, first: drop(root[first], rest)}
    return {key: value for key, value in root.items() if key != first}


class Places:
    """Turns byte places of a UTF-8 text into lines and columns, counted by other means than the program's."""

    def __init__(self, text):
        self.bytes = text.encode("utf-8")

    def line_and_column(self, byte):
        """Line and column in code points, both counted from 1."""
        before = self.bytes[:byte].decode("utf-8")
        line = before.count("\n") + 1
        return line, len(before) - (before.rfind("\n") + 1) + 1

    def text(self, start, end):
        """The text of a place."""
        return self.bytes[start:end].decode("utf-8")
