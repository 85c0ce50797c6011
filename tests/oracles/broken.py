"""Broken records and packs, each with its one fault in its name, and sound ones that look odd.

Every entry is a name, the document, and whether it is valid.
"""

import oracle
from oracle import AT, drop, put, read_yaml


def named_records():
    """Broken records with the fault in their name, and sound ones that look odd."""
    base = read_yaml((oracle.JOBS / "pass-four-assemblies.yaml").read_text(encoding="utf-8"))
    tyre = ("assemblies", 0, "tyre")
    core = ("components", "polyol", "core_temperature")
    log = ("assemblies", 0, "pre_stretch", "log")
    many = [{"mark": f"X-{n}"} for n in range(201)]
    yield "unknown key at the top", put(base, ("colour",), "red"), False
    yield "unknown key in an assembly", put(base, ("assemblies", 0, "colour"), "red"), False
    yield "unknown key in a tyre", put(base, (*tyre, "plyrating"), 12), False
    yield "unknown key in a reading", put(base, (*core, "gauge"), "G-1"), False
    yield "unknown key in a log row", put(base, (*log, 0, "note"), "calm"), False
    yield "unknown key beside the two components", put(base, ("components", "catalyst"), {}), False
    yield "unknown key with other letter case", put(base, ("Job",), "HT-1"), False
    yield "no format number", drop(base, ("record",)), False
    yield "no assemblies", drop(base, ("assemblies",)), False
    yield "an assembly without a mark", drop(base, ("assemblies", 0, "mark")), False
    yield "a person without a name", drop(base, ("people", 0, "name")), False
    yield "a gauge without a mark", drop(put(base, ("assemblies",), [{"mark": "a"}]), ("gauges", 0, "mark")), False
    yield "a reading without its value", drop(base, (*core, "reading")), False
    yield "a log row without its instant", drop(base, (*log, 1, "at")), False
    yield "a log row without its pressure", drop(base, (*log, 1, "pressure")), False
    yield "a later format", put(base, ("record",), 2), False
    yield "the format as text", put(base, ("record",), "1"), False
    yield "the format as true", put(base, ("record",), True), False
    yield "no assembly in the list", put(base, ("assemblies",), []), False
    yield "assemblies as a mapping", put(base, ("assemblies",), {"one": {"mark": "a"}}), False
    yield "assemblies left empty", put(base, ("assemblies",), None), False
    yield "an assembly as text", put(base, ("assemblies", 0), "left front"), False
    yield "bare number for a pressure", put(base, ("assemblies", 0, "target", "pressure"), 66), False
    yield "bare number as text for a pressure", put(base, ("assemblies", 0, "target", "pressure"), "66"), False
    yield "bare number for a temperature", put(base, (*core, "reading"), 74.6), False
    yield "bare number in place of a reading", put(base, core, 75), False
    yield "bare number for a length", put(base, ("assemblies", 0, "rim", "width"), 9.75), False
    yield "bare number for a mass", put(base, ("components", "polyol", "needed"), 376), False
    yield "bare number for a volume", put(base, ("workspace", "solvent_on_hand"), 2), False
    yield "bare number for a duration", put(base, ("cure", "planned"), 48), False
    yield "a mass where a pressure is due", put(base, ("assemblies", 0, "target", "pressure"), "66 lb"), False
    yield "a unit with other letter case", put(base, ("assemblies", 0, "target", "pressure"), "66 PSI"), False
    yield "a unit before the number", put(base, ("assemblies", 0, "target", "pressure"), "psi 66"), False
    yield "a negative pressure", put(base, ("assemblies", 0, "target", "pressure"), "-66 psi"), False
    yield "a negative mass", put(base, ("components", "polyol", "needed"), "-376 lb"), False
    yield "a negative uncertainty", put(base, (*core, "uncertainty"), "-1 degF"), False
    yield "a negative ply rating", put(base, (*tyre, "ply_rating"), -2), False
    yield "a ply rating as text", put(base, (*tyre, "ply_rating"), "12"), False
    yield "a ply rating with letters", put(base, (*tyre, "ply_rating"), "12PR"), False
    yield "a word that is not in the list", put(base, (*tyre, "construction"), "cross-ply"), False
    yield "a word with other letter case", put(base, (*tyre, "state"), "New"), False
    yield "a word with a space behind it", put(base, (*tyre, "state"), "new "), False
    yield "an empty word", put(base, (*tyre, "state"), ""), False
    yield "a load range that is not a letter", put(base, (*tyre, "load_range"), "12"), False
    yield "one word where a list is due", put(base, ("assemblies", 0, "wheel", "faults"), "crack"), False
    yield "an unknown word in a list", put(base, ("assemblies", 0, "wheel", "faults"), ["crack", "dent"]), False
    yield "nothing as an entry of a list", put(base, ("assemblies", 0, "wheel", "faults"), [None]), False
    yield "yes where true is due", put(base, (*tyre, "ran_flat"), "yes"), False
    yield "a number where true is due", put(base, (*tyre, "ran_flat"), 1), False
    yield "a list where true is due", put(base, ("sample", "prepared"), [True]), False
    yield "true where text is due", put(base, ("site",), True), False
    yield "a fraction where text is due", put(base, ("job",), 1.5), False
    yield "a mapping where text is due", put(base, ("job",), {"number": 313}), False
    yield "a day without its dashes", put(base, ("people", 0, "training_reviewed"), "20260101"), False
    yield "a day with the year last", put(base, ("people", 0, "training_reviewed"), "01-02-2026"), False
    yield "a day as a number", put(base, ("people", 0, "training_reviewed"), 20260101), False
    yield "an instant where a day is due", put(base, ("people", 0, "training_reviewed"), AT), False
    yield "a day where an instant is due", put(base, ("planned_start",), "2026-03-04"), False
    yield "an instant without its offset", put(base, ("planned_start",), "2026-03-04T11:00:00"), False
    yield "an instant with a space", put(base, ("planned_start",), "2026-03-04 11:00:00-06:00"), False
    yield "an instant with a named zone", put(base, ("planned_start",), "2026-03-04T11:00:00 CST"), False
    yield "an instant as seconds", put(base, ("planned_start",), 1772643600), False
    yield "text of 501 letters", put(base, ("job",), "x" * 501), False
    yield "text of 501 letters with accents", put(base, ("job",), "é" * 500 + "7"), False
    yield "201 gauges", put(base, ("gauges",), base["gauges"] + many), False
    yield "51 entries in a list of words", put(base, ("assemblies", 0, "wheel", "faults"), ["crack"] * 51), False
    yield "the whole record as a list", [base], False
    yield "the whole record as text", "record", False
    yield "text of 500 emoji", put(base, ("job",), "\U0001f6de" * 500), True
    yield "text of 500 letters with accents", put(base, ("job",), "é" * 499 + "7"), True
    yield "a job number that is a number", put(base, ("job",), 313), True
    yield "everything but the marks left out", {"record": 1, "assemblies": [{"mark": "a"}]}, True
    yield "groups with nothing in them", {**base, "cage": {}, "cure": {}, "sample": {}}, True
    yield "groups left empty", {**base, "cage": None, "cure": None, "sample": None}, True
    yield "people left empty", put(base, ("people",), None), True
    yield "an empty list of people", put(base, ("people",), []), True
    yield "a word left empty", put(base, (*tyre, "construction"), None), True
    yield "a reading as its text alone", put(base, core, "75 degF"), True
    yield "a length as a fraction", put(base, ("assemblies", 0, "rim", "width"), "9 3/4 in"), True
    yield "a unit without a space", put(base, ("assemblies", 0, "target", "pressure"), "66psi"), True
    yield "a unit by its sign", put(base, core, "75 °F"), True
    yield "an instant in universal time", put(base, ("cage", "inspected", "at"), "2026-03-04T13:10:00Z"), True
    yield "an instant without seconds", put(base, ("planned_start",), "2026-03-04T11:00-06:00"), True


def sound_pack():
    """A small local pack that is in order."""
    source = {"kind": "local code", "cite": "Hollow Tarn shop order 7"}
    return {
        "pack": 1,
        "name": "hollow-tarn",
        "edition": "1",
        "title": "What the depot asks for besides",
        "examples_at": AT,
        "limits": {
            "bay_warmth": {"about": "Air of the bay", "value": "60 degF", "safer": "higher", "source": source},
        },
        "facts": {
            "bay_swept": {
                "covers": "job", "kind": "flag", "holds_for": "day", "about": "Whether the bay was swept.", "example": True,
            },
        },
        "rules": {
            "bay-cold": {
                "title": "The bay is cold",
                "covers": "job",
                "applies": {"any": [{"local.bay_swept": {"is": True}}, {"local.bay_swept": {"recorded": False}}]},
                "demands": {"workspace.temperature": {"at_least": {"limit": "bay_warmth"}}},
                "why": "Hands are slow in the cold.",
                "put_right": "Warm the bay.",
                "source": source,
                "on_fault": "advise",
                "permit": {"by": "supervisor", "longest": "8 h"},
                "in_force": {"from": "2026-01-01"},
                "examples": {
                    "passes": [{"workspace.temperature": {"reading": "61 degF"}, "local.bay_swept": True}],
                    "holds": [{"workspace.temperature": {"reading": "59 degF"}, "local.bay_swept": True}],
                },
            },
        },
    }


def named_packs():
    """Broken packs with the fault in their name, and sound ones that look odd."""
    base = sound_pack()
    rule = ("rules", "bay-cold")
    limit = ("limits", "bay_warmth")
    fact = ("facts", "bay_swept")
    demands = (*rule, "demands")
    yield "a pack that is in order", base, True
    yield "a later format", put(base, ("pack",), 2), False
    yield "no format number", drop(base, ("pack",)), False
    yield "no name", drop(base, ("name",)), False
    yield "a name with capitals", put(base, ("name",), "Hollow-Tarn"), False
    yield "a name with an underscore", put(base, ("name",), "hollow_tarn"), False
    yield "an edition as a number", put(base, ("edition",), 1), False
    yield "unknown key at the top", put(base, ("version",), "1"), False
    yield "a rule with an underscore in its name", put(base, ("rules",), {"bay_cold": base["rules"]["bay-cold"]}), False
    yield "a limit with a hyphen in its name", put(base, ("limits",), {"bay-warmth": base["limits"]["bay_warmth"]}), False
    yield "a rule without a title", drop(base, (*rule, "title")), False
    yield "a rule without a demand", drop(base, demands), False
    yield "a rule without a reason", drop(base, (*rule, "why")), False
    yield "a rule without a source", drop(base, (*rule, "source")), False
    yield "a rule without examples", drop(base, (*rule, "examples")), False
    yield "a rule without an example that holds", drop(base, (*rule, "examples", "holds")), False
    yield "a rule with no example in the list", put(base, (*rule, "examples", "holds"), []), False
    yield "a rule that says nothing of permits", drop(base, (*rule, "permit")), False
    yield "unknown key in a rule", put(base, (*rule, "severity"), "high"), False
    yield "a rule about nothing known", put(base, (*rule, "covers"), "each wheel"), False
    yield "a fault that warns", put(base, (*rule, "on_fault"), "warn"), False
    yield "a permit by nobody known", put(base, (*rule, "permit", "by"), "owner"), False
    yield "a permit without its longest span", drop(base, (*rule, "permit", "longest")), False
    yield "a permit of another word", put(base, (*rule, "permit"), "any"), False
    yield "a source of unknown kind", put(base, (*rule, "source", "kind"), "hearsay"), False
    yield "a source without a paragraph", drop(base, (*rule, "source", "cite")), False
    yield "a first day that is no day", put(base, (*rule, "in_force", "from"), "January"), False
    yield "a condition with nothing in it", put(base, demands, {}), False
    yield "a condition as text", put(base, demands, "workspace.temperature >= 60 degF"), False
    yield "a fact without tests", put(base, demands, {"workspace.temperature": {}}), False
    yield "a fact with a bare value", put(base, demands, {"workspace.temperature": "60 degF"}), False
    yield "an operand with an unknown key", put(base, demands, {"workspace.temperature": {"at_least": {"limt": "x"}}}), False
    yield "an operand as a list", put(base, demands, {"workspace.temperature": {"at_least": ["60 degF"]}}), False
    yield "between with one end", put(base, demands, {"workspace.temperature": {"between": ["60 degF"]}}), False
    yield "recorded with a word", put(base, demands, {"workspace.temperature": {"recorded": "yes"}}), False
    yield "one of nothing", put(base, demands, {"cage.kind": {"one_of": []}}), False
    yield "all of nothing", put(base, demands, {"all": []}), False
    yield "for each without its list", put(base, demands, {"for_each": {"meets": {"item": {"is": "x"}}}}), False
    yield "for each with an unknown key", put(
        base, demands, {"for_each": {"of": "person", "meets": {"person.name": {"recorded": True}}, "where": {}}}
    ), False
    yield "a limit without its safer direction", drop(base, (*limit, "safer")), False
    yield "a limit with an unknown direction", put(base, (*limit, "safer"), "up"), False
    yield "a limit that is true", put(base, (*limit, "value"), True), False
    yield "dated values without a value", put(base, (*limit, "values"), [{"from": "2026-01-01"}]), False
    yield "no dated value in the list", put(base, (*limit, "values"), []), False
    yield "a fact of unknown kind", put(base, (*fact, "kind"), "boolean"), False
    yield "a fact without its meaning", drop(base, (*fact, "about")), False
    yield "an amended pack without its edition", put(base, ("amends",), {"pack": "tyre-fill"}), False
    yield "an amended limit without its reason", put(
        base, ("amended_limits",), {"cage_factor": {"value": "160 %", "source": base["limits"]["bay_warmth"]["source"]}}
    ), False
    yield "an outcome of an example that is not known", put(
        base, (*rule, "examples", "holds", 0, "outcome"), "unknown"
    ), False
    yield "a title of 121 letters", put(base, (*rule, "title"), "x" * 121), False
    yield "a title of 120 letters with accents", put(base, (*rule, "title"), "é" * 120), True
    yield "no permit", put(base, (*rule, "permit"), "none"), True
    yield "a demand as a list", put(base, demands, [base["rules"]["bay-cold"]["demands"]]), True
