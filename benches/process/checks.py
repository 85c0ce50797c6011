"""What a script makes of the same record: PyYAML reads the record and the base pack, jsonschema holds both against their
published schemas, and every rule is decided as far as plain comparisons go.

Figures, doubts of instruments, days of a time zone and the reasons for a verdict are left out: a comparison that needs one is
unknown here. So it does less than `fillward check`, and is the least that a script would do.

Called as `checks.py RECORD INSTANT`; ends with 0 where no holding rule is broken as far as it can tell, with 1 where one is,
and with 2 where a file does not fit its schema. Measured by `cargo process`.
"""

import json
import sys
from datetime import datetime, timedelta
from fractions import Fraction
from pathlib import Path

import jsonschema
import yaml

# The hold point whose rules are asked; a rule that names none is asked there.
POINT = "before fill"
HOME = Path(__file__).resolve().parents[2]
# The parser written in C, where there is one: the faster of the two.
BASE = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class Loader(BASE):
    """Days and instants stay texts, as the schemas have them."""


Loader.yaml_implicit_resolvers = {
    first: [(tag, regexp) for tag, regexp in resolvers if tag != "tag:yaml.org,2002:timestamp"]
    for first, resolvers in BASE.yaml_implicit_resolvers.items()
}

# Exact factors to one unit of each kind (NIST SP 811, appendix B.8); of temperatures also what is added first.
UNITS = {
    "psi": ("6894.757293168", 0), "bar": (100_000, 0), "kPa": (1000, 0), "MPa": (1_000_000, 0),
    "degF": (Fraction(5, 9), "459.67"), "degC": (1, "273.15"), "K": (1, 0),
    "in": ("25.4", 0), "ft": ("304.8", 0), "mm": (1, 0), "cm": (10, 0), "m": (1000, 0),
    "lb": ("0.45359237", 0), "kg": (1, 0), "gal": ("3.785411784", 0), "L": (1, 0),
    "s": (1, 0), "min": (60, 0), "h": (3600, 0), "d": (86_400, 0), "%": ("0.01", 0),
}
UNITS = {unit: (Fraction(factor), Fraction(added)) for unit, (factor, added) in UNITS.items()}
LISTS = {"assembly": "assemblies", "person": "people", "gauge": "gauges", "thermometer": "thermometers"}


def load(file):
    return yaml.load(file.read_bytes(), Loader=Loader)


def fit(schema, documents):
    """Whether every document fits a published schema."""
    validator = jsonschema.Draft202012Validator(json.loads((HOME / "schemas" / schema).read_text(encoding="utf-8")))
    return all(validator.is_valid(document) for document in documents)


def number(value):
    """A quantity in base units; None for anything else."""
    if isinstance(value, bool):
        return None
    if isinstance(value, (int, float)):
        return Fraction(str(value))
    amount, _, unit = value.partition(" ") if isinstance(value, str) else ("", "", "")
    try:
        factor, added = UNITS[unit]
        return (Fraction(amount) + added) * factor
    except (KeyError, ValueError):
        return None


def instant(value):
    try:
        found = datetime.fromisoformat(value)
        return found if found.tzinfo else None
    except (TypeError, ValueError):
        return None


def fact(name, here):
    """What the record says at a dotted name; None where it says nothing."""
    first, _, rest = name.partition(".")
    node = here[first] if first in here else here[""]
    for step in (rest if first in here else name).split("."):
        node = node.get(step) if isinstance(node, dict) else None
    return node


def plain(value):
    return value.get("reading") if isinstance(value, dict) else value


def operand(given, here, limits, at):
    """What a fact is compared with; None where it is more than a value, a limit or another fact."""
    if not isinstance(given, dict):
        return given
    if given.keys() == {"limit"}:
        return limits.get(given["limit"])
    if given.keys() == {"fact"}:
        return plain(fact(given["fact"], here))
    return at.isoformat() if given == {"moment": "judgement"} else None


def compare(value, other, test):
    for kind in (number, instant):
        left, right = kind(value), kind(other)
        if left is not None and right is not None:
            return test(left, right)
    return None


ORDERED = {
    "at_least": lambda left, right: left >= right, "at_most": lambda left, right: left <= right,
    "above": lambda left, right: left > right, "below": lambda left, right: left < right,
}


def tested(name, tests, here, limits, at):
    """True, False or None for each test of one fact."""
    given = fact(name, here)
    value = plain(given)
    worked_out = "figure" in name.split(".") or name.endswith((".instrument", ".uncertainty"))
    for test, due in tests.items():
        if worked_out:
            yield None
        elif test == "recorded":
            yield (given is not None) == due
        elif value is None:
            yield None
        elif test in ("is", "is_not"):
            other = operand(due, here, limits, at)
            yield None if other is None else (value == other) == (test == "is")
        elif test in ("one_of", "none_of"):
            yield (value in due) == (test == "one_of")
        elif test == "read_within":
            read = instant(given.get("at") if isinstance(given, dict) else given)
            span = number(operand(due, here, limits, at))
            known = read is not None and span is not None and read <= at
            yield at - read <= timedelta(seconds=float(span)) if known else None
        elif test in ORDERED:
            yield compare(value, operand(due, here, limits, at), ORDERED[test])
        else:
            yield None


def every(truths):
    truths = list(truths)
    return False if False in truths else None if None in truths else True


def some(truths):
    truths = list(truths)
    return True if True in truths else None if None in truths else False


def truth(condition, here, limits, at):
    """Whether a condition holds: True, False, or None where that is not known."""
    if isinstance(condition, list):
        return every(truth(part, here, limits, at) for part in condition)
    found = []
    for name, inner in condition.items():
        if name == "all":
            found.append(truth(inner, here, limits, at))
        elif name == "any":
            found.append(some(truth(part, here, limits, at) for part in inner))
        elif name == "not":
            inside = truth(inner, here, limits, at)
            found.append(None if inside is None else not inside)
        elif name in ("for_each", "for_some"):
            of = inner["of"]
            items = subjects(of, here[""]) if of in LISTS or of == "component" else fact(of, here)
            word = of if of in LISTS or of == "component" else ""
            each = None
            if items is not None:
                insides = [dict(here, **{word or "item": item}) for item in items]
                met = (truth(inner["meets"], inside, limits, at) for inside in insides)
                each = every(met) if name == "for_each" else some(met)
            found.append(each)
        elif name == "item":
            found += tested("", inner, {"": {"": here["item"]}}, limits, at)
        else:
            found += tested(name, inner, here, limits, at)
    return every(found)


def subjects(word, record):
    if word == "component":
        sides = record.get("components") or {}
        return [sides.get(side) or {} for side in ("isocyanate", "polyol")]
    return record.get(LISTS[word])


def broken(packs, record, at):
    """The holding rules that are broken of some subject, as far as this can tell."""
    limits = {name: limit.get("value") for pack in packs for name, limit in pack.get("limits", {}).items()}
    for pack in packs:
        for name, rule in pack.get("rules", {}).items():
            if POINT not in rule.get("asked_at", [POINT]):
                continue
            word = rule["covers"].removeprefix("each ")
            heres = [{}] if word == "job" else [{word: one} for one in subjects(word, record) or []]
            for here in heres:
                here[""] = record
                applies = truth(rule.get("applies", {}), here, limits, at)
                if applies and truth(rule["demands"], here, limits, at) is False and rule["on_fault"] == "hold":
                    yield name


def main():
    packs = [load(file) for file in sorted((HOME / "rules" / "tyre-fill").glob("*.yaml"))]
    record = load(Path(sys.argv[1]))
    if not (fit("rule-pack.schema.json", packs) and fit("job-record.schema.json", [record])):
        return 2
    names = list(broken(packs, record, datetime.fromisoformat(sys.argv[2])))
    print("\n".join(names))
    return 1 if names else 0


sys.exit(main())
