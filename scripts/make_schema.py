#!/usr/bin/env python3
"""Write tracker/journal/events.schema.json: a JSON Schema of a whole line of the book, every kind.

The data of each kind comes from the classes in `tracker.core.facts`, so the schema cannot say
anything else than what is checked when a line is written. A test holds the
file current; run this after changing a kind.
"""

import json
from inspect import cleandoc
from pathlib import Path
from typing import Any, get_args

import msgspec

from tracker.core.facts.fields import EventId
from tracker.core.facts.kinds import KINDS
from tracker.core.values.times import Precision

Schema = dict[str, Any]

FILE = Path(__file__).parents[1] / "tracker" / "journal" / "events.schema.json"

_TEXT: Schema = {"type": "string", "minLength": 1}
# RFC 3339, as every `time` and `recordedtime` is written.
_INSTANT: Schema = {
    "type": "string",
    "format": "date-time",
    "pattern": r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)$",
}


def schema() -> Schema:
    """A JSON Schema, 2020-12, that a line fits if and only if it is of one known kind."""
    kinds, parts = _facts()
    attributes = {
        "specversion": {"const": "1.0"},
        "id": msgspec.json.schema(EventId),
        "source": {"type": "string", "pattern": "^[a-z0-9-]+$"},
        "type": {"enum": list(KINDS)},
        "subject": _TEXT,
        "time": _INSTANT,
        "precision": {"enum": list(get_args(Precision))},
        "recordedtime": _INSTANT,
        "sequence": {"type": "string", "pattern": "^[0-9]{10}$"},
        "datacontenttype": {"const": "application/json"},
        "data": {"type": "object"},
        "digest": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
    }
    # Only on the lines of a command that recorded several.
    of_a_unit: dict[str, Schema] = {
        "unit": msgspec.json.schema(EventId),
        "unitplace": {"type": "string", "pattern": "^[1-9][0-9]{0,8}/[1-9][0-9]{0,8}$"},
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "One line of the book: a CloudEvents 1.0 event in JSON",
        "description": "The bytes, the chain of digests and what a kind means: FORMAT.md.",
        "type": "object",
        "properties": attributes | of_a_unit,
        "required": list(attributes),
        "dependentRequired": {"unit": ["unitplace"], "unitplace": ["unit"]},
        "additionalProperties": False,
        "oneOf": [
            {"properties": {"type": {"const": kind}, "data": data}} for kind, data in kinds.items()
        ],
        "$defs": parts,
    }


def _facts() -> tuple[dict[str, Schema], dict[str, Schema]]:
    """A reference to the data of each kind, and every shape those references lead to."""
    references, parts = msgspec.json.schema_components(
        KINDS.values(), schema_hook=lambda _: _ANY, ref_template="#/$defs/{name}"
    )
    return (
        dict(zip(KINDS, references, strict=True)),
        {name: _as_written(part, is_fact=name in _NAMES) for name, part in parts.items()},
    )


# What a correction sets is of any type: it is held to the event that it corrects.
_ANY: Schema = {"type": ["string", "number", "boolean", "null", "array", "object"]}
_NAMES = {kind.__name__ for kind in KINDS.values()}


def _as_written(part: Schema, *, is_fact: bool) -> Schema:
    """The shape as a line holds it: what is not known is left out, the version always said.

    It is null where a field that is left out means something else.
    """
    properties = {}
    for name, field in part["properties"].items():
        ways = [one for one in field.get("anyOf", []) if one != {"type": "null"}]
        said = {key: value for key, value in field.items() if key not in ("anyOf", "default")}
        properties[name] = said | (ways[0] if len(ways) == 1 else {})
        if "anyOf" in field and field.get("default") is not None:
            properties[name]["type"] = [properties[name]["type"], "null"]
    required = [*(["v"] if is_fact else []), *part["required"]]
    return part | {
        "description": cleandoc(part["description"]),
        "properties": properties,
        "required": required,
        "additionalProperties": False,
    }


def text() -> str:
    """The schema as the file holds it."""
    return json.dumps(schema(), indent=2, ensure_ascii=False) + "\n"


def main() -> None:
    """Write the file."""
    FILE.parent.mkdir(exist_ok=True)
    FILE.write_text(text(), encoding="utf-8")
    print(f"{FILE}: {len(KINDS)} kinds")


if __name__ == "__main__":
    main()
