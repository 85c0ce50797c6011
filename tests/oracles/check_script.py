"""Every demo job that passes, against the script that stands beside the program in the measurements.

`benches/process/checks.py` reads records and rules with PyYAML, holds them against the published schemas and decides every rule
as far as plain comparisons go, in a reading of the rule language that shares nothing with the program's. What the program
passes has no broken rule by it; of a job that is held by a plain comparison it finds that.
"""

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

from oracle import AT, JOBS, LONGEST_RUN, ROOT, Tally

SCRIPT = ROOT / "benches" / "process" / "checks.py"
# Held by plain comparisons, each with the rule.
HELD = {"hold-one-of-four": None, "hold-desiccant-spent": "moisture-guard-spent", "hold-solvent-store": None}


def said(job):
    """The exit code of the script for a job, and the rules that it finds broken."""
    run = subprocess.run(
        [sys.executable, str(SCRIPT), str(job), AT], capture_output=True, text=True, timeout=LONGEST_RUN, check=False
    )
    return run.returncode, run.stdout.split(), run.stderr.strip().splitlines()[-1:]


def main():
    tally = Tally("script")
    jobs = sorted(JOBS.glob("pass-*.yaml"))
    held = [JOBS / f"{name}.yaml" for name in HELD if (JOBS / f"{name}.yaml").exists()]
    with ThreadPoolExecutor(2) as pool:
        found = list(pool.map(said, jobs + held))
    tally.check("there are jobs to ask", [] if len(jobs) > 15 and len(held) > 1 else [f"{len(jobs)}, {len(held)}"])
    for job, (code, broken, error) in zip(jobs, found):
        tally.check(f"{job.stem} has no broken rule", [] if code == 0 else [code, *broken, *error])
    for job, (code, broken, error) in zip(held, found[len(jobs) :]):
        rule = HELD[job.stem]
        fits = code == 1 and (rule is None or rule in broken)
        tally.check(f"{job.stem} is held", [] if fits else [code, *broken, *error])
    tally.close()


if __name__ == "__main__":
    main()
