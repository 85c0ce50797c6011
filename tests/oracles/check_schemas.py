"""The published schemas by a second validator, and its verdicts against the program's.

The second validator is Python's `jsonschema`, reading what `ruamel.yaml` read: neither shares code with the program. A
document that the second validator refuses must be refused by the program (exit 2, a fault of shape or of value named);
one that it accepts must not be refused for its shape. The program may still refuse a value that no schema can judge,
such as the 30th of February, and then names a fault that is listed here; of packs, a `pack/` fault. A record may be a
long one or a short one, which draws on a shop file; here no shop file is given, so what is valid as a short record only
may be refused or judged.
"""

import re

import oracle
from broken import named_packs, named_records, sound_pack
from jsonschema import Draft202012Validator
from oracle import AT, ROOT, Tally, demo_jobs, drop, each, fillward, judge, name_of, put, read_yaml, schema, steps

RECORD = "job-record.schema.json"
SHORT = "short-record.schema.json"
SHOP = "shop.schema.json"
PACK = "rule-pack.schema.json"
REPORT = "report.schema.json"

# Annotations of our own, beside those of the standard.
OWN_KEYWORDS = {"x-due", "x-say", "x-meant", "x-never"}

# The keywords of JSON Schema 2020-12 that the schemas may use; a slip in a keyword is silently ignored by validators.
KEYWORDS = {
    "$schema", "$id", "$ref", "$defs", "title", "description", "examples", "default", "type", "enum", "const",
    "pattern", "minLength", "maxLength", "minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum", "minItems",
    "maxItems", "uniqueItems", "items", "prefixItems", "properties", "required", "additionalProperties",
    "propertyNames", "minProperties", "maxProperties", "if", "then", "else", "allOf", "anyOf", "not",
}  # fmt: skip

# What the program may refuse although the shape is right: faults of value, of order, and of marks that name nothing.
BEYOND_SHAPE = {
    "record/impossible-value", "record/log-in-two-clocks", "record/log-out-of-order", "record/mark-twice", "record/misnamed",
    "record/name-otherwise",
    "record/not-a-day", "record/not-a-quantity", "record/not-a-size", "record/not-an-instant",
    "record/offset-of-another-zone", "record/says-nothing", "record/undeclared-fact", "record/unknown-instrument",
}  # fmt: skip

# Put in the place of every value in turn: each kind of JSON value, and text of each form that some other place takes.
REPLACEMENTS = [
    None, True, "true", 7, -1, 1.5, 1.0, "", "some words", "72 degF", "-2 bar", "2 %", "new", "2026-03-04", AT,
    "x" * 501, [], ["x"], {}, {"reading": "72 degF"},
]  # fmt: skip


def subschemas(node, path=""):
    """Every subschema with its place."""
    if not isinstance(node, dict):
        return
    yield path, node
    for keyword in ("properties", "$defs"):
        for name, inner in node.get(keyword, {}).items():
            yield from subschemas(inner, f"{path}/{keyword}/{name}")
    for keyword in ("items", "additionalProperties", "propertyNames", "if", "then", "else", "not"):
        yield from subschemas(node.get(keyword), f"{path}/{keyword}")
    for keyword in ("allOf", "anyOf", "prefixItems"):
        for index, inner in enumerate(node.get(keyword, [])):
            yield from subschemas(inner, f"{path}/{keyword}/{index}")


def check_schemas_themselves(tally):
    printed_as = ((RECORD, "record"), (SHORT, "short-record"), (SHOP, "shop"), (PACK, "pack"), (REPORT, "report"))
    for name, which in printed_as:
        own = schema(name)
        errors = Draft202012Validator(Draft202012Validator.META_SCHEMA).iter_errors(own)
        tally.check(f"{name} fits the metaschema of 2020-12", [f"{e.json_path}: {e.message}" for e in errors])
        places = list(subschemas(own))
        odd = [
            f"{place}: `{keyword}`" for place, node in places for keyword in node if keyword not in KEYWORDS | OWN_KEYWORDS
        ]
        tally.check(f"{name} uses known keywords only", odd)
        silent = [
            place
            for place, node in places
            if re.search(r"/properties/[^/]+$", place) and not {"description", "$ref"} & set(node)
            # Conditions under `then` and `else` say again what is described elsewhere.
            and not re.search(r"/(if|then|else)/", place)
        ]
        tally.check(f"{name} describes every property", silent)
        wrong = []
        for place, node in places:
            inner = Draft202012Validator({**node, "$defs": own.get("$defs", {}), "$schema": own["$schema"]})
            for example in node.get("examples", []):
                wrong += [f"{place}: {example!r}: {error.message}" for error in inner.iter_errors(example)]
        tally.check(f"{name} accepts its own examples", wrong)
        printed = fillward("schema", which)
        same = printed.exit == 0 and printed.out == (oracle.SCHEMAS / name).read_text(encoding="utf-8")
        tally.check(f"`schema {which}` prints {name}", [] if same else [str(printed)])


def errors_of(validator, value):
    """The first few complaints of the second validator."""
    return [f"{error.json_path}: {error.message[:120]}" for error in validator.iter_errors(value)]


def check_documents(tally, records, packs, shops):
    """Documents that are in order."""
    for path in demo_jobs():
        problems = errors_of(records.long, read_yaml(path.read_text(encoding="utf-8")))
        run = judge(path)
        due = 0 if path.name.startswith("pass-") else 1
        if run.exit != due:
            problems.append(f"exit {due} is due: {run}")
        tally.check(f"{name_of(path)} is valid for both", problems)
    tally.check("the demo shop is valid", errors_of(shops, read_yaml(oracle.DEMO_SHOP.read_text(encoding="utf-8"))))
    for path in demo_jobs("*.yaml", oracle.SHORT_JOBS):
        problems = errors_of(records.short, read_yaml(path.read_text(encoding="utf-8")))
        run = judge(path, "--shop", oracle.DEMO_SHOP)
        due = 0 if path.name.startswith("pass-") else 1
        if run.exit != due:
            problems.append(f"exit {due} is due: {run}")
        tally.check(f"{name_of(path)} is valid for both", problems)
    for path in sorted((ROOT / "rules").glob("*/*.yaml")):
        problems = errors_of(packs, read_yaml(path.read_text(encoding="utf-8")))
        run = fillward("pack", "check", path)
        if run.has("schema"):
            problems.append(str(run))
        tally.check(f"{name_of(path)} is valid for both", problems)
    with oracle.scratch() as folder:
        path = oracle.Path(folder) / "template.yaml"
        for what, more, validator, shop in (
            ("the template of `record new`", (), records.long, ()),
            ("the short template of `record new`", ("--shop", oracle.DEMO_SHOP), records.short, ("--shop", oracle.DEMO_SHOP)),
        ):
            template = fillward("record", "new", *more)
            path.write_text(template.out, encoding="utf-8")
            problems = errors_of(validator, read_yaml(template.out))
            run = judge(path, *shop)
            if run.exit != 1:
                problems.append(f"an empty record must hold: {run}")
            tally.check(f"{what} is valid for both", problems)
    template = fillward("shop", "new")
    # Where the shop lies is asked for first; nothing else is due in a shop file.
    problems = [problem for problem in errors_of(shops, read_yaml(template.out)) if not problem.startswith("$.zone:")]
    tally.check("the template of `shop new` is valid but for its zone", problems)


class Records:
    """What a record may be: a long one, or a short one, which is valid only with the shop file that it draws on."""

    def __init__(self):
        self.long = Draft202012Validator(schema(RECORD))
        self.short = Draft202012Validator(schema(SHORT))

    def is_valid(self, value):
        return self.long.is_valid(value)


def unreadable(valid, run):
    """The readers' own refusals leave nothing to compare; only a document of nothing may meet with one."""
    return None if not valid and run.exit == 2 and run.codes == {"document/empty"} else f"the program says {run}"


def record_differs(records, value, valid, run):
    """How the program's verdict on a record differs from the second validator's, if it does."""
    if run.has("document"):
        return unreadable(valid, run)
    if run.exit not in (0, 1, 2):
        return f"the program says {run}"
    refused = run.exit == 2 and (run.has("schema") or run.has("record") or run.has("shop"))
    if not valid and not refused and not records.short.is_valid(value):
        return f"invalid, but the program says {run}"
    if valid and run.exit == 2 and (not run.codes or run.codes - BEYOND_SHAPE):
        return f"valid, but the program says {run}"
    return None


def pack_differs(_, __, valid, run):
    """The same of a pack: faults of meaning are the program's own business, faults of shape are not."""
    if run.has("document"):
        return unreadable(valid, run)
    if run.exit not in (0, 1, 2) or valid == (run.exit == 2 and run.has("schema")):
        return f"{'valid' if valid else 'invalid'}, but the program says {run}"
    return None


def check_pack(path):
    return fillward("pack", "check", path)


def check_marks(tally, folder, records):
    """A mark is text, and a number is taken as the text it is written as, wherever a mark stands."""
    base = read_yaml((oracle.JOBS / "pass-loader-bias-used.yaml").read_text(encoding="utf-8"))
    gauge = base["assemblies"][0]["target"]["gauge"]
    place = next(n for n, entry in enumerate(base["gauges"]) if entry["mark"] == gauge)
    twins = put(base, ("assemblies",), [base["assemblies"][0], base["assemblies"][0]])
    for what, one in (("text", "7"), ("a number", 7)):
        named = put(put(base, ("gauges", place, "mark"), one), ("assemblies", 0, "target", "gauge"), one)
        doubled = put(put(twins, ("assemblies", 0, "mark"), one), ("assemblies", 1, "mark"), one)
        for name, value, due in ((f"a gauge's mark is {what}", named, 0), (f"a mark twice, as {what}", doubled, 2)):
            run = judge(oracle.write_json(folder, "marks.yaml", value))
            problems = errors_of(records.long, value)
            if run.exit != due:
                problems.append(f"exit {due} is due: {run}")
            tally.check(f"record: {name}", problems)


def check_named(tally, folder, what, variants, validator, run, differs):
    """One check for each named document: what is expected, the second validator and the program must agree."""
    variants = list(variants)
    paths = [oracle.write_json(folder, f"{what}-{n}.yaml", value) for n, (_, value, _) in enumerate(variants)]
    for (name, value, expected), done in zip(variants, each(run, paths), strict=True):
        valid = validator.is_valid(value)
        problems = []
        if valid != expected:
            problems.append(f"{'valid' if expected else 'invalid'} is due, the second validator differs")
        problems += filter(None, [differs(validator, value, valid, done)])
        tally.check(f"{what}: {name}: {'valid' if expected else 'invalid'} for both", problems)


def places_of(documents, generic):
    """One place for each kind of place in the documents: the document, the path."""
    seen = set()
    for document in documents:
        for path, _ in steps(document):
            kind = generic(path)
            if kind is not None and kind not in seen:
                seen.add(kind)
                yield kind, document, path


def changed(document, path):
    """The document changed at one place in every way that the oracle knows."""
    here = document
    for step in path:
        here = here[step]
    for value in REPLACEMENTS:
        yield f"{value!r:.40}", put(document, path, value)
    if path:
        yield "left out", drop(document, path)
    if isinstance(here, dict):
        yield "with an unknown key", put(document, (*path, "zzz"), 1)
        yield "with a key twice as long", put(document, path, {key + key: value for key, value in here.items()})
    if isinstance(here, list):
        yield "with an entry of nothing", put(document, path, [*here, None])
        yield "with an entry of text", put(document, path, [*here, "zzz"])


def check_every_place(tally, folder, what, places, validator, run, differs):
    """Changes every place in every way. One check for each top-level part of the document."""
    parts = {}
    for kind, document, path in places:
        for how, value in changed(document, path):
            parts.setdefault(str(kind[0]) if kind else "the whole", []).append((kind, how, value))
    number = 0
    for part, variants in parts.items():
        paths = []
        for _, _, value in variants:
            number += 1
            paths.append(oracle.write_json(folder, f"{what}-{number}.yaml", value))
        problems, refused = [], 0
        for (kind, how, value), done in zip(variants, each(run, paths), strict=True):
            valid = validator.is_valid(value)
            refused += not valid
            wrong = differs(validator, value, valid, done)
            if wrong:
                problems.append(f"{'.'.join(map(str, kind))}: {how}: {wrong}")
        for path in paths:
            path.unlink()
        tally.check(f"{what}: {part}: {len(variants)} changes, {refused} of them invalid, same verdict", problems)


def record_place(path):
    """Places of a record differ by their keys, not by their numbers in lists."""
    return tuple("-" if isinstance(step, int) else step for step in path)


def pieces(text):
    """A pack's text in pieces of one rule, limit or fact each, so that a change is judged beside few others."""
    named = {key: part for key, part in text.items() if isinstance(part, dict) and key in NAMED}
    rest = {key: part for key, part in text.items() if key not in named}
    yield rest
    for key, part in named.items():
        for name, value in part.items():
            yield {**rest, key: {name: value}}


# What lies deeper in a pack than this is conditions within conditions.
DEEPEST = 7

# The parts of a pack whose keys are names.
NAMED = ("rules", "limits", "facts", "amended_limits", "steps")


def pack_place(path):
    """Places of a pack differ by its own keys, not by the names of rules, limits and facts."""
    if len(path) > DEEPEST:
        return None
    return tuple(
        "-" if isinstance(step, int) or "." in step or (n == 1 and path[0] in NAMED) else step
        for n, step in enumerate(path)
    )


def main():
    tally = Tally("schemas")
    check_schemas_themselves(tally)
    records, packs, shops = Records(), Draft202012Validator(schema(PACK)), Draft202012Validator(schema(SHOP))
    check_documents(tally, records, packs, shops)
    jobs = [read_yaml(path.read_text(encoding="utf-8")) for path in demo_jobs("pass-*.yaml")]
    texts = [read_yaml(path.read_text(encoding="utf-8")) for path in sorted((ROOT / "rules").glob("*/*.yaml"))]
    with oracle.scratch() as folder:
        check_named(tally, folder, "record", named_records(), records, judge, record_differs)
        check_named(tally, folder, "pack", named_packs(), packs, check_pack, pack_differs)
        check_marks(tally, folder, records)
        places = places_of(jobs, record_place)
        check_every_place(tally, folder, "record", places, records, judge, record_differs)
        places = places_of([sound_pack(), *(piece for text in texts for piece in pieces(text))], pack_place)
        check_every_place(tally, folder, "pack", places, packs, check_pack, pack_differs)
    tally.close()


if __name__ == "__main__":
    main()
