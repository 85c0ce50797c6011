"""Moves the instants and days of a demo record so that its morning is now. Prints the record.

The demo morning is judged at 2026-03-04T09:30:00-06:00. Every instant keeps its distance from that one; days keep
their distance in days. Instants are written at the offset of this machine's clock.
"""

import re
import sys
from datetime import date, datetime, timedelta

MORNING = datetime.fromisoformat("2026-03-04T09:30:00-06:00")
NOW = datetime.now().astimezone().replace(second=0, microsecond=0)


def instant(match):
    moved = NOW + (datetime.fromisoformat(match.group(0)) - MORNING)
    return moved.astimezone(NOW.tzinfo).isoformat(timespec="seconds")


def day(match):
    return (NOW.date() + (date.fromisoformat(match.group(0)) - MORNING.date())).isoformat()


text = open(sys.argv[1], encoding="utf-8").read()
text = re.sub(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(?:Z|[+-]\d{2}:\d{2})", instant, text)
text = re.sub(r"(?<![\dT:+-])\d{4}-\d{2}-\d{2}(?![\dT])", day, text)
sys.stdout.write(text)
