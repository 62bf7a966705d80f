#!/usr/bin/env python3
"""Write tracker/journal/events.schema.json: a JSON Schema of a whole line of the book, every kind.

The data of each kind comes from the classes in `tracker.core.facts.entry`, through pydantic, so the
schema cannot say anything else than what is checked when a line is written. A test holds the
file current; run this after changing a kind.
"""

import json
from pathlib import Path
from typing import cast, get_args

from pydantic import TypeAdapter
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue

from tracker.core.facts.fields import EventId
from tracker.core.facts.kinds import KINDS
from tracker.core.values.times import Precision

FILE = Path(__file__).parents[1] / "tracker" / "journal" / "events.schema.json"

_TEXT: JsonSchemaValue = {"type": "string", "minLength": 1}
# RFC 3339, as every `time` and `recordedtime` is written.
_INSTANT: JsonSchemaValue = {
    "type": "string",
    "format": "date-time",
    "pattern": r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)$",
}


class _PlainNames(GenerateJsonSchema):
    """Fields are not titled: their names say what they hold, with the unit."""

    def field_title_should_be_set(self, schema: object) -> bool:
        return False


def schema() -> JsonSchemaValue:
    """A JSON Schema, 2020-12, that a line fits if and only if it is of one known kind."""
    kinds, parts = _facts()
    attributes = {
        "specversion": {"const": "1.0"},
        "id": TypeAdapter(EventId).json_schema(),
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
    of_a_unit: dict[str, JsonSchemaValue] = {
        "unit": TypeAdapter(EventId).json_schema(),
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


def _facts() -> tuple[dict[str, JsonSchemaValue], dict[str, JsonSchemaValue]]:
    """A reference to the data of each kind, and every shape those references lead to."""
    found, shared = TypeAdapter.json_schemas(
        [(kind, "validation", TypeAdapter(fact)) for kind, fact in KINDS.items()],
        schema_generator=_PlainNames,
    )
    references = {kind: found[kind, "validation"] for kind in KINDS}
    parts = {name: _as_written(part) for name, part in shared["$defs"].items()}
    for reference in references.values():
        name = reference["$ref"].rpartition("/")[2]
        parts[name] = _without_kind(parts[name])
    return references, parts


def _as_written(part: JsonSchemaValue) -> JsonSchemaValue:
    """The shape as a line holds it: what is not known is left out.

    It is null where a field that is left out means something else.
    """
    properties = {}
    for name, field in part["properties"].items():
        ways = [one for one in field.get("anyOf", []) if one != {"type": "null"}]
        said = {key: value for key, value in field.items() if key not in ("anyOf", "default")}
        properties[name] = said | (ways[0] if len(ways) == 1 else {})
        if "anyOf" in field and field.get("default") is not None:
            properties[name]["type"] = [properties[name]["type"], "null"]
    return part | {"properties": properties}


def _without_kind(fact: JsonSchemaValue) -> JsonSchemaValue:
    """A fact as the `data` of its line: the kind outside, the version always inside."""
    properties = {name: part for name, part in fact["properties"].items() if name != "kind"}
    required = cast("list[str]", fact.get("required", []))
    return fact | {"properties": properties, "required": ["v", *required]}


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
