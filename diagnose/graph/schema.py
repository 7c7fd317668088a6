"""JSON Schema for each kind of file, generated from the model: for editors, and for finding what does not fit.

``python -m diagnose.graph.schema DIR`` writes one file for each kind.
"""

from __future__ import annotations

import json
import sys
from functools import cache
from pathlib import Path
from typing import Any, get_args

import msgspec

from diagnose.graph.model import FORMAT, KINDS, NODE_KINDS, BenchState, Case, Number, Screw, Starter
from diagnose.graph.model.parts import MEASURES, SCREWS, ranges

IDS = r"^[a-z0-9]+(-[a-z0-9]+)*$"
"""Ids that stand in lists and texts: lower-case words joined by hyphens."""

HYPHENED = frozenset(KINDS) - {"alike", "bench", "history", "words", "engines"}
"""The kinds whose ids have no spaces."""

ALL = (*KINDS, "cases")
"""Every kind of file."""

KEEP = "keep the rest"
"""Written into an entry of a later layer that names only what it changes."""

_CHANGES = {
    "type": "object",
    "required": [KEEP],
    "properties": {KEEP: {"const": True, "description": "this entry names only what it changes of a shipped one"}},
}

_A_NUMBER = get_args(Number)[1].description
_SCREW_KEYS = ("sign", "turns", "follow")


@cache
def definitions(kind: str) -> dict[str, Any]:
    """Return the schema of one entry of `kind` as it is written, under ``$ref`` and ``$defs``."""
    made: dict[str, Any] = msgspec.json.schema(Case if kind == "cases" else KINDS[kind])
    for definition in made["$defs"].values():
        _as_written(definition)
    if kind == "symptoms":
        _route_as_written(made["$defs"])
    if kind in ("simulated_faults", "simulated_checks"):
        _parts_as_written(made["$defs"])
    return made


@cache
def file_schema(kind: str) -> dict[str, Any]:
    """Return the schema of a whole file of `kind`."""
    entry = definitions(kind)
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": kind}
    if kind == "cases":
        return {**head, **entry}
    return {
        **head,
        "type": "object",
        "required": ["format"],
        "properties": {"format": {"const": FORMAT, "description": "the format of this file"}},
        "propertyNames": ids(kind),
        "additionalProperties": {"anyOf": [{"$ref": entry["$ref"]}, _CHANGES]},
        "$defs": entry["$defs"],
    }


def ids(kind: str) -> dict[str, Any]:
    """Return the schema of the ids of `kind`."""
    if kind == "bench":
        return {"enum": ["format", *get_args(BenchState)]}
    if kind in HYPHENED:
        return {"pattern": IDS, "maxLength": 60, "description": "lower-case words joined by hyphens"}
    return {"minLength": 1, "maxLength": 60}


def write(folder: Path) -> None:
    """Write ``<kind>.json`` for every kind into `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    for kind in ALL:
        (folder / f"{kind}.json").write_text(text(kind), "utf-8")


def text(kind: str) -> str:
    """Return the schema of a file of `kind` as it is written to disk."""
    return json.dumps(file_schema(kind), indent=2, ensure_ascii=False) + "\n"


def _as_written(definition: dict[str, Any]) -> None:
    """Turn the schema of a struct into that of what an author writes."""
    for name, part in definition.get("properties", {}).items():
        options = [option for option in part.get("anyOf", ()) if option != {"type": "null"}]
        if options:  # what may be left out is left out, never null
            del part["anyOf"]
            part.update(options[0] if len(options) == 1 else {"anyOf": options})
        if part.get("default", 0) in (None, {}, []):
            del part["default"]
        if name in _SCREW_KEYS:
            part["propertyNames"] = {"enum": list(get_args(Screw))}
        for number in (part, part.get("additionalProperties")):
            if isinstance(number, dict) and number.get("description") == _A_NUMBER:
                number["type"] = ["number", "string"]
                if name == "minutes":  # for the editor; `numbers` refuses it when it is read
                    number["exclusiveMinimum"] = 0
        if name == "starter" and "enum" not in part:  # of several, one may stand without a list
            part.clear()
            one = {"enum": list(get_args(Starter))}
            part.update({"anyOf": [one, {"type": "array", "items": one, "minItems": 1}]})


def _route_as_written(defs: dict[str, Any]) -> None:
    """Take out what the reader puts into nodes: the tag, and the map of an ask's branches."""
    for title in (struct.__name__ for struct in NODE_KINDS.values()):
        del defs[title]["properties"]["node"]
        defs[title]["required"].remove("node")
    ask = defs["Ask"]
    ask["additionalProperties"] = ask["properties"].pop("branches")["additionalProperties"]
    ask["required"].remove("branches")
    del defs["Symptom"]["properties"]["route"]["additionalProperties"]["discriminator"]


def _parts_as_written(defs: dict[str, Any]) -> None:
    """Put in what the parts of the simulated engine are called: an editor can offer them."""
    parts = list(ranges())
    named = {"modes": [*parts, *SCREWS], "above": [*parts, *MEASURES], "below": [*parts, *MEASURES]}
    for definition in defs.values():
        for name, part in definition["properties"].items():
            if name in named:
                part.get("items", part)["propertyNames"] = {"enum": named[name]}
            elif name in ("renews", "fits"):
                part["items"] = {"enum": parts}
            elif name == "of":
                part["enum"] = [*parts, *MEASURES]


if __name__ == "__main__":
    write(Path(sys.argv[1]))
