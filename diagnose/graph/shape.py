"""One entry's plain data as a struct of the model, or, in plain words, what about it does not fit."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any, TypeVar

import msgspec

from diagnose.graph import hints
from diagnose.graph.model import KINDS, NODE_KINDS, Case
from diagnose.graph.places import Path, unfinished
from diagnose.graph.problem import Place, Problem, did_you_mean

FittedT = TypeVar("FittedT")
At = Callable[[Path], Place]
"""Says where a path stands, or the nearest part of it that stands somewhere."""

_NODE = "give it one of the five kinds: sweep, ask, adjust, prepare or refer"
MOST_LISTED = 20
"""Names that are listed when another stands in their place."""
_ASK_ITSELF = frozenset({"ask", "only", "else", "rather"})
_TYPES = {
    "string": "text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
    "array": "a list",
    "object": "a map of keys and values",
}


def shaped(kind: str, data: Any, path: Path, at: At) -> tuple[Any, list[Problem]]:
    """Return the struct that `data` makes, or None and every reason why it makes none."""
    try:
        return msgspec.convert(_normal(kind, data), Case if kind == "cases" else KINDS[kind]), []
    except msgspec.ValidationError as error:
        problems = _complaints(kind, data, path, at)
        if not problems and not unfinished(data):
            problems = [Problem(at(path), "does-not-fit", str(error))]
        return None, problems


def fitted(data: Any, made: type[FittedT], at: At) -> tuple[FittedT | None, list[Problem]]:
    """Return the struct that a file of another kind than the knowledge's makes, or every reason why it makes none."""
    try:
        return msgspec.convert(data, made), []
    except msgspec.ValidationError as error:
        from jsonschema import Draft202012Validator

        schema = msgspec.json.schema(made)
        found = [one for wrong in Draft202012Validator(schema).iter_errors(data) for one in _told(wrong, (), at)]
        return None, found or [Problem(at(()), "does-not-fit", str(error))]


def node_kinds(node: Any) -> list[str]:
    """Return the kinds of node whose key `node` has; a good node has exactly one."""
    return [kind for kind in NODE_KINDS if kind in node] if isinstance(node, dict) else []


def _normal(kind: str, data: Any) -> Any:
    """Return what the model reads: `starter` as a list, each node with its tag, an ask's branches in a map."""
    if not isinstance(data, dict):
        return data
    data = _listed(data)
    if kind == "symptoms" and isinstance(data.get("route"), dict):
        data["route"] = {name: _node(node) for name, node in data["route"].items()}
    return data


def _listed(data: dict[str, Any]) -> dict[str, Any]:
    """Return a copy in which a single starter is a list of one."""
    only = data.get("only")
    if isinstance(only, dict) and isinstance(only.get("starter"), str):
        return {**data, "only": {**only, "starter": [only["starter"]]}}
    return dict(data)


def _node(node: Any) -> Any:
    kinds = node_kinds(node)
    if len(kinds) != 1 or "node" in node:  # 'node' is the model's own key, and not the author's
        return None
    node = _listed(node)
    if kinds == ["ask"]:
        itself = {key: value for key, value in node.items() if key in _ASK_ITSELF}
        branches = {key: value for key, value in node.items() if key not in _ASK_ITSELF}
        node = {**itself, "branches": branches}
    return {**node, "node": kinds[0]}


@cache
def _validator(kind: str) -> Any:
    from jsonschema import Draft202012Validator  # 60 ms, and needed only when something is wrong

    from diagnose.graph.schema import definitions

    return Draft202012Validator(definitions(kind))


def _complaints(kind: str, data: Any, path: Path, at: At) -> list[Problem]:
    """Return everything about `data` that the schema of its kind refuses."""
    return [problem for error in _validator(kind).iter_errors(data) for problem in _told(error, path, at)]


def _told(error: Any, root: Path, at: At) -> Iterator[Problem]:
    """Tell one error of the schema in plain words; None stands where the reader has complained already."""
    path = (*root, *map(str, error.absolute_path))
    value, wanted, schema = error.instance, error.validator_value, error.schema
    if value is None:
        return
    if "propertyNames" in error.relative_schema_path:
        yield Problem(at((*path, value)), "bad-name", _bad_name(value, error))
        return
    here, name = at(path), _called(path)
    match error.validator:
        case "anyOf":
            yield from _best_option(error, root, at)
        case "type":
            yield Problem(here, "wrong-type", f"{name} must be {_types(wanted)}{_type_hint(value, wanted, schema)}")
        case "enum":
            options = [_shown(option) for option in wanted if option != ""]
            hint = did_you_mean(value, options) if isinstance(value, str) else ""
            if isinstance(value, (list, dict)):
                yield Problem(here, "wrong-type", f"{name} is one of {_or(options)}, and no list")
                return
            yield Problem(here, "unknown-value", f"{name} can't be '{_shown(value)}', only {_or(options)}{hint}")
        case "required":
            slips = [key for key in value if key not in schema.get("properties", value)]
            for key in wanted:
                if key not in value and not did_you_mean(key, slips):  # of a slip, the slip is told
                    yield Problem(here, "missing-field", f"{name} has no '{key}'")
        case "additionalProperties":
            known = schema["properties"]
            for key in value:
                if key not in known:
                    hint = did_you_mean(key, known)
                    yield Problem(at((*path, key)), "unknown-field", f"unknown field '{key}' in {name}{hint}")
        case "pattern":
            yield Problem(here, "bad-name", _bad_name(value, error))
        case "minLength":
            yield Problem(here, "empty-value", f"{name} is empty")
        case "maxLength":
            long = f"{name} has {len(value)} characters; at most {wanted} are read well"
            yield Problem(here, "too-long", long)
        case "minItems" | "minProperties":
            yield Problem(here, "too-few", f"{name} needs at least {wanted}")
        case "maxItems" | "maxProperties":
            yield Problem(here, "too-many", f"{name} has {len(value)} parts; at most {wanted} are read well")
        case "exclusiveMinimum" if "maximum" not in schema:
            return  # minutes: `numbers` has told it
        case "minimum" | "maximum" | "exclusiveMinimum":
            low, high = schema.get("minimum", schema.get("exclusiveMinimum")), schema.get("maximum")
            above = "above " if "exclusiveMinimum" in schema else "from "
            yield Problem(here, "out-of-range", f"{name} is {value}; it must be {above}{low:g} to {high:g}")
        case _:
            yield Problem(here, "does-not-fit", f"{name} does not fit")


def _best_option(error: Any, root: Path, at: At) -> Iterator[Problem]:
    """Tell why the option that was meant does not fit."""
    path = (*root, *map(str, error.absolute_path))
    options = error.validator_value
    if any(option.get("$ref") == "#/$defs/Sweep" for option in options):
        kinds = node_kinds(error.instance)
        if len(kinds) != 1:
            what = f"is {_and(kinds)} at once" if kinds else "has no kind"
            yield Problem(at(path), "node-kind", f"{_called(path)} {what}; {_NODE}")
            return
        meant: int | None = list(NODE_KINDS).index(kinds[0])
    else:
        wrong = {inner.relative_schema_path[0] for inner in error.context if _wrong_type(inner)}
        meant = next((number for number in range(len(options)) if number not in wrong), None)
    if meant is None:
        types = [str(option.get("type", "string")) for option in options]
        hint = _type_hint(error.instance, types[0], options[0])
        yield Problem(at(path), "wrong-type", f"{_called(path)} must be {_types(types)}{hint}")
        return
    for inner in error.context:
        if inner.relative_schema_path[0] == meant:
            yield from _told(inner, root, at)


def _wrong_type(inner: Any) -> bool:
    """Say whether an option is of quite another type than what was written."""
    if inner.relative_path:
        return False
    is_list = isinstance(inner.instance, list)
    return inner.validator == "type" or (inner.validator == "enum" and is_list)


def _bad_name(value: Any, error: Any) -> str:
    if error.validator == "enum":
        options = [_shown(option) for option in error.validator_value]
        return f"'{value}' can't stand here, only {_or(options)}{did_you_mean(str(value), options)}"
    if error.validator == "maxLength":
        return f"the name '{str(value)[:20]}...' is too long; at most {error.validator_value} characters"
    spaces = " or spaces" if " -" in error.validator_value else ""
    meant = str(value).casefold().replace("_", "-")
    hint = f"; write '{meant}'" if re.search(error.validator_value, meant) else ""
    return f"'{value}' is not a name: use lower-case words joined by hyphens{spaces}{hint}"


def _type_hint(value: Any, wanted: Any, schema: Any) -> str:
    """Say what to write in place of `value`, where it tells what was meant."""
    if wanted in ("number", "integer") and isinstance(value, str):
        return hints.number(value, share=schema.get("maximum") == 1, metres="in m" in schema.get("description", ""))
    return hints.of_type(value, wanted)


def _called(path: Path) -> str:
    """Name a part by the last key of its path, and the item's number, from 1, if it stands in a list."""
    if not path:
        return "the file"
    if len(path) > 1 and path[-1].isdigit():
        return f"{_called(path[:-1])} item {int(path[-1]) + 1}"
    return f"'{path[-1]}'"


def _types(wanted: Any) -> str:
    names = [wanted] if isinstance(wanted, str) else wanted
    if list(names) == ["number", "string"]:
        return "a number or the id of a fact"
    return _or([_TYPES[name] for name in names])


def _shown(value: Any) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


def _or(options: list[str]) -> str:
    if len(options) > MOST_LISTED:
        return f"one of {len(options)} names"
    return " or ".join(filter(None, [", ".join(options[:-1]), options[-1]]))


def _and(options: list[str]) -> str:
    return " and ".join(filter(None, [", ".join(options[:-1]), options[-1]]))
