"""Conversions of units against pint, in exact fractions.

The table `conversions.csv` is written by the program's own test and held in step by it; this oracle computes every row
anew. Pint's own definitions are used throughout (inch by the yard of 0.9144 m, pound by the grain of 64.798 91 mg,
gallon of 231 cubic inches, standard gravity 9.806 65 m/s2, Fahrenheit by its own scale and offset); only the spellings
are mapped here.
"""

import csv
from fractions import Fraction
from itertools import groupby
from pathlib import Path

import pint
from oracle import Tally

# For each dimension the units that a record may use, by pint's names, and the base unit that the program documents.
# A temperature's base is the kelvin above absolute zero; the scales of differences have no offset.
DIMENSIONS = {
    "temperature": ("kelvin", {"degF": "degree_Fahrenheit", "degC": "degree_Celsius", "K": "kelvin"}),
    "temperature difference": (
        "kelvin",
        {"degF": "delta_degree_Fahrenheit", "degC": "delta_degree_Celsius", "K": "kelvin"},
    ),
    "pressure": (
        "pascal",
        {
            "psi": "pound_force_per_square_inch",
            "kPa": "kilopascal",
            "bar": "bar",
            "MPa": "megapascal",
            "mbar": "millibar",
            "inHg": "inch_Hg",
            "cmHg": "centimeter_Hg",
            "kgf/cm2": "force_kilogram/centimeter**2",
        },
    ),
    "length": (
        "millimeter",
        {"in": "inch", "mm": "millimeter", "cm": "centimeter", "m": "meter", "ft": "foot"},
    ),
    "mass": ("kilogram", {"lb": "pound", "kg": "kilogram", "g": "gram", "t": "metric_ton"}),
    "quantity of energy": ("joule", {"ft.lbf": "foot*force_pound", "kJ": "kilojoule"}),
    "torque": ("newton*meter", {"lbf.ft": "force_pound*foot", "N.m": "newton*meter", "kgf.m": "force_kilogram*meter"}),
    "speed": ("meter/second", {"mph": "mile/hour", "km/h": "kilometer/hour"}),
    "volume": ("liter", {"gal": "gallon", "qt": "quart", "L": "liter", "m3": "meter**3", "in3": "inch**3"}),
    "density": (
        "kilogram/liter",
        {
            "kg/m3": "kilogram/meter**3",
            "g/cm3": "gram/centimeter**3",
            "kg/L": "kilogram/liter",
            "lb/gal": "pound/gallon",
        },
    ),
    "duration": ("second", {"s": "second", "min": "minute", "h": "hour", "d": "day"}),
    "percentage": ("dimensionless", {"%": "percent"}),
    "relative humidity": ("dimensionless", {"%RH": "percent"}),
    "mass concentration": (
        "milligram/meter**3",
        {"mg/m3": "milligram/meter**3", "ug/m3": "microgram/meter**3"},
    ),
    "volume concentration": ("dimensionless", {"ppm": "ppm", "ppb": "nanometer/meter"}),
    "count": ("dimensionless", {"": "dimensionless"}),
}

# At least so many numbers are converted for every pair of units.
LEAST_NUMBERS = 20


def number(text):
    """The value of a number as a record writes it: `9.75`, `1/8`, `16 1/2`, with an optional minus in front."""
    sign, digits = (-1, text[1:]) if text.startswith("-") else (1, text)
    return sign * sum(Fraction(part) for part in digits.split(" "))


def problems(registry, dimension, unit, rows):
    """What is wrong with the rows of one unit."""
    base, units = DIMENSIONS[dimension]
    targets = {**{to: name for to, name in units.items() if to != unit}, "base": base}
    seen = {to: set() for to in targets}
    for row in rows:
        if row["to"] not in targets:
            yield f"`{row['to']}` is no unit of a {dimension}"
            continue
        value = number(row["number"])
        due = registry.Quantity(value, units[unit]).to(targets[row["to"]]).magnitude
        if not isinstance(due, Fraction):
            yield f"pint answered with {type(due).__name__}, not with an exact fraction"
        elif Fraction(row["result"]) != due:
            yield f"{row['number']} {unit} in {row['to']}: {row['result']}, pint says {due}"
        seen[row["to"]].add(value)
    for to, values in seen.items():
        if len(values) < LEAST_NUMBERS:
            yield f"only {len(values)} numbers from {unit} to {to}"


def main():
    tally = Tally("units")
    registry = pint.UnitRegistry(non_int_type=Fraction)
    text = (Path(__file__).parent / "conversions.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(text.splitlines()))
    groups = {key: list(rows) for key, rows in groupby(rows, key=lambda row: (row["dimension"], row["unit"]))}
    due = {(dimension, unit) for dimension, (_, units) in DIMENSIONS.items() for unit in units}
    tally.check(
        f"the table of {len(rows)} rows has the units that are due",
        [f"{dimension}, `{unit}`: in one list only" for dimension, unit in sorted(due ^ set(groups))],
    )
    for dimension, unit in sorted(due & set(groups)):
        group = groups[dimension, unit]
        name = f"{dimension} from {unit or 'a plain number'}, {len(group)} conversions"
        tally.check(name, problems(registry, dimension, unit, group))
    # The oracle itself must be able to refuse: every result, moved by a billionth, is wrong.
    moved = [{**row, "result": str(Fraction(row["result"]) + Fraction(1, 10**9))} for row in groups["pressure", "psi"]]
    caught = sum("pint says" in problem for problem in problems(registry, "pressure", "psi", moved))
    tally.check(
        "results moved by a billionth are refused", [f"{caught} of {len(moved)}"] if caught != len(moved) else []
    )
    tally.close()


if __name__ == "__main__":
    main()
