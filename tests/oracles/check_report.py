"""The JSON report against its published schema, against the bytes of the record, and against a third reader.

The places that a report gives are found again by `ruamel.yaml` from the path alone. Every demo job is also written anew
as JSON, from what the third reader read, and judged again: a value that the program reads otherwise would show.
"""

import json
import re

from jsonschema import Draft202012Validator
from oracle import Places, Tally, demo_jobs, drop, each, judge, name_of, nodes, put, read_yaml, schema, scratch, write_json
from ruamel.yaml.nodes import MappingNode, ScalarNode, SequenceNode

# A step of a path: a key behind a dot, a place in a list, or a quoted key.
STEP = re.compile(r"\.?([^.\[\]\"]+)|\[([0-9]+)\]")


def node_at(root, path):
    """The node at a path such as `assemblies[0].wheel.faults[1]`; none where the record has nothing there."""
    here = root
    for key, index in STEP.findall(path):
        if key and isinstance(here, MappingNode):
            here = next((value for name, value in here.value if name.value == key), None)
        elif index and isinstance(here, SequenceNode) and int(index) < len(here.value):
            here = here.value[int(index)]
        else:
            return None
        if here is None:
            return None
    return here


def check_places(report, text):
    """The places of a report, found again."""
    places = Places(text)
    root = nodes(text)
    count = 0
    for number, finding in enumerate(report["holding"] + report["advice"]):
        for place in finding["places"]:
            here = f"{finding['code']} ({number}) at {place['path'] or 'the record'}"
            start, end = place["start_byte"], place["end_byte"]
            if not 0 <= start <= end <= len(places.bytes):
                yield f"{here}: bytes {start} to {end}"
                continue
            if places.line_and_column(start) != (place["line"], place["column"]):
                yield f"{here}: line and column {place['line']}:{place['column']} are not those of byte {start}"
            node = node_at(root, place["path"])
            # Of a list or mapping, and where nothing stands, any place of the right line serves a reader.
            if isinstance(node, ScalarNode) and node.value and places.text(start, end) != due_text(node, text):
                yield f"{here}: points at `{places.text(start, end)}`, the third reader finds `{node.value}`"
            count += 1
    if report["verdict"] == "HOLD" and count == 0:
        yield "no finding points into the record"


def due_text(node, text):
    """A scalar as it is written, quotes included."""
    return text[node.start_mark.index : node.end_mark.index]


def check_sums(report):
    """The counts of a report against its lists."""
    counts, outcomes = report["counts"], [entry["outcome"] for entry in report["outcomes"]]
    for key, outcome in (("met", "met"), ("does_not_apply", "does not apply")):
        if counts[key] != outcomes.count(outcome):
            yield f"{key}: {counts[key]} counted, {outcomes.count(outcome)} listed"
    for key, outcome in (("broken", "broken"), ("not_shown", "not shown")):
        listed = sum(finding["outcome"] == outcome for finding in report["holding"])
        if counts[key] != listed:
            yield f"{key}: {counts[key]} counted, {listed} listed"
    told = len(report["holding"]) + len(report["advice"])
    if told != outcomes.count("broken") + outcomes.count("not shown"):
        yield f"{told} findings are told in full, the outcomes say otherwise"
    if (counts["broken"] + counts["not_shown"] > 0) != (report["verdict"] == "HOLD"):
        yield "the verdict does not follow from the counts"


def essence(report):
    """What must not change when the same facts are written in another way."""
    findings = [
        [finding["code"], finding["subject"], finding["outcome"], finding["clears"], [p["path"] for p in finding["places"]]]
        for finding in report["holding"] + report["advice"]
    ]
    return [report["verdict"], report["job"], report["counts"], report["outcomes"], findings]


def check_job(validator, folder, path):
    """What is wrong with the report of one job."""
    text = path.read_text(encoding="utf-8")
    run = judge(path, "--format", "json")
    if run.exit not in (0, 1):
        return [str(run)], None
    report = json.loads(run.out)
    problems = [f"{error.json_path}: {error.message[:160]}" for error in validator.iter_errors(report)]
    if problems:
        return problems, None
    if (report["verdict"], run.exit) not in (("PASS", 0), ("HOLD", 1)):
        problems.append(f"{report['verdict']} with exit {run.exit}")
    problems += check_places(report, text)
    problems += check_sums(report)
    again = judge(write_json(folder, path.name, read_yaml(text)), "--format", "json")
    if again.exit != run.exit:
        problems.append(f"written as JSON by the third reader: {again}, not exit {run.exit}")
    elif essence(json.loads(again.out)) != essence(report):
        problems.append("written as JSON by the third reader, it is judged otherwise")
    return problems, report


def broken_reports(report):
    """Broken variants of a sound report of a hold: the published schema must refuse each."""
    finding = ("holding", 0)
    for key in report:
        yield f"no {key}", drop(report, (key,))
    for key in report["holding"][0]:
        yield f"a finding without {key}", drop(report, (*finding, key))
    yield "unknown key", put(report, ("passed",), False)
    yield "unknown key in a finding", put(report, (*finding, "severity"), "high")
    yield "unknown key in the counts", put(report, ("counts", "unknown"), 0)
    yield "a later format", put(report, ("report",), 2)
    yield "another verdict", put(report, ("verdict",), "MAYBE")
    yield "a pass with findings that hold", put(report, ("verdict",), "PASS")
    yield "a hold without findings that hold", put(report, ("holding",), [])
    yield "a finding that is met", put(report, (*finding, "outcome"), "met")
    yield "a code without its pack", put(report, (*finding, "code"), "wheel-cracked")
    yield "a negative count", put(report, ("counts", "broken"), -1)
    yield "line 0", put(report, (*finding, "places", 0, "line"), 0)
    yield "an instant without its offset", put(report, ("judged_at",), "2026-03-04T09:30:00")
    yield "no pack", put(report, ("packs",), [])
    yield "a clause without its line", put(report, (*finding, "clause_at"), "rules/wheel.yaml")


def main():
    tally = Tally("report")
    validator = Draft202012Validator(schema("report.schema.json"))
    jobs = demo_jobs()
    sound = None
    with scratch() as folder:
        done = each(lambda path: check_job(validator, folder, path), jobs)
    for path, (problems, report) in zip(jobs, done, strict=True):
        tally.check(f"{name_of(path)} fits the schema, its record and the third reader", problems)
        if not problems and report["holding"] and report["holding"][0]["places"]:
            sound = report
    if sound is None:
        tally.check("broken reports are refused", ["no sound report to break"])
    else:
        for name, report in broken_reports(sound):
            tally.check(f"refused: {name}", ["taken"] if validator.is_valid(report) else [])
    tally.close()


if __name__ == "__main__":
    main()
