"""The least that a script must do before it can judge a record: read the record and the base pack with PyYAML, and hold both
against their published schemas with jsonschema. It judges nothing, so it does less than `fillward check`.

Called as `least.py RECORD`; ends with 0 where everything fits its schema. Measured by `cargo bench --bench process`.
"""

import json
import sys
from pathlib import Path

import jsonschema
import yaml

HOME = Path(__file__).resolve().parents[2]
# The parser written in C, where there is one: the faster of the two.
BASE = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class Loader(BASE):
    """Days and instants stay texts, as the schemas have them."""


Loader.yaml_implicit_resolvers = {
    first: [(tag, regexp) for tag, regexp in resolvers if tag != "tag:yaml.org,2002:timestamp"]
    for first, resolvers in BASE.yaml_implicit_resolvers.items()
}


def fits(schema: str, files: list[Path]) -> bool:
    """Whether every file fits a published schema."""
    validator = jsonschema.Draft202012Validator(json.loads((HOME / "schemas" / schema).read_text(encoding="utf-8")))
    return all(validator.is_valid(yaml.load(file.read_bytes(), Loader=Loader)) for file in files)


packs = fits("rule-pack.schema.json", sorted((HOME / "rules" / "tyre-fill").glob("*.yaml")))
record = fits("job-record.schema.json", [Path(sys.argv[1])])
sys.exit(0 if packs and record else 1)
