"""Moves the instants and days of a demo record so that its morning is now, at a place where it is morning now.

    move_to_today.py                prints the time zone of such a place
    move_to_today.py RECORD ZONE    prints the record, moved to that zone

The demo morning is judged at 2026-03-04T09:30:00-06:00 in America/Chicago. Every instant keeps its distance from that
one; days keep their distance in days. The zones are those of places whose clocks never change.
"""

import re
import sys
from datetime import date, datetime, timedelta, timezone

# One for each whole hour east of Greenwich, from 0 to 12 and on from -11 to -1.
ZONES = """
    Africa/Abidjan Africa/Lagos Africa/Johannesburg Africa/Nairobi
    Asia/Dubai Asia/Karachi Asia/Dhaka Asia/Bangkok
    Asia/Singapore Asia/Tokyo Australia/Brisbane Pacific/Guadalcanal
    Pacific/Tarawa Pacific/Pago_Pago Pacific/Honolulu Pacific/Gambier
    Pacific/Pitcairn America/Phoenix America/Regina America/Panama
    America/Puerto_Rico America/Cayenne America/Noronha Atlantic/Cape_Verde
""".split()
MORNING = datetime.fromisoformat("2026-03-04T09:30:00-06:00")
NOW = datetime.now(timezone.utc).replace(second=0, microsecond=0)

if len(sys.argv) < 3:
    print(ZONES[(10 - NOW.hour) % 24])
    sys.exit()

hours = ZONES.index(sys.argv[2])
PLACE = timezone(timedelta(hours=hours if hours <= 12 else hours - 24))


def instant(match):
    moved = NOW + (datetime.fromisoformat(match.group(0)) - MORNING)
    return moved.astimezone(PLACE).isoformat(timespec="seconds")


def day(match):
    return (NOW.astimezone(PLACE).date() + (date.fromisoformat(match.group(0)) - MORNING.date())).isoformat()


text = open(sys.argv[1], encoding="utf-8").read()
text = re.sub(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(?:Z|[+-]\d{2}:\d{2})", instant, text)
text = re.sub(r"(?<![\dT:+-])\d{4}-\d{2}-\d{2}(?![\dT])", day, text)
sys.stdout.write(text)
