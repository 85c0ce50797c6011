"""Moves the times of a demo record or shop file so that its morning is now, at a place where it is morning now.

    move_to_today.py             prints the time zone of such a place
    move_to_today.py FILE ZONE   prints the file, moved to that zone

The demo morning is judged at 2026-03-04T09:30:00-06:00 in America/Chicago. Every instant keeps its distance from that
one, whether it is written in full or as people write it, `07:45` or `2026-03-03 16:00`; days keep their distance in days.
A shop file says the new zone. The zones are those of places whose clocks never change. Comments stay as they are.
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


TODAY = NOW.astimezone(PLACE).date()
# What the program reads as a time, the longest first: an instant, a time with its day, a day, a time of the demo's day.
TIME = re.compile(
    r"(?<![\w:.-])(?:"
    r"(?P<instant>\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(?:Z|[+-]\d{2}:\d{2}))"
    r"|(?P<minute>\d{4}-\d{2}-\d{2} \d{2}:\d{2})"
    r"|(?P<day>\d{4}-\d{2}-\d{2})"
    r"|(?P<time>\d{2}:\d{2})"
    r")(?![\w:-])"
)


def moved(match):
    kind, text = match.lastgroup, match.group(0)
    if kind == "day":
        return (TODAY + (date.fromisoformat(text) - MORNING.date())).isoformat()
    if kind == "instant":
        at = datetime.fromisoformat(text.replace("Z", "+00:00"))
    else:
        of_day = text if kind == "minute" else f"{MORNING.date()} {text}"
        at = datetime.fromisoformat(of_day).replace(tzinfo=MORNING.tzinfo)
    at = (NOW + (at - MORNING)).astimezone(PLACE)
    if kind == "instant":
        return at.isoformat(timespec="seconds")
    return at.strftime("%H:%M" if kind == "time" and at.date() == TODAY else "%Y-%m-%d %H:%M")


def line(text):
    said, mark, comment = text.partition("#") if text.lstrip().startswith("#") else (text, "", "")
    said = re.sub(r"^zone: .*", f"zone: {sys.argv[2]}", said)
    return TIME.sub(moved, said) + mark + comment


with open(sys.argv[1], encoding="utf-8") as file:
    sys.stdout.writelines(map(line, file))
