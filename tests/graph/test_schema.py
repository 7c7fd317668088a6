from __future__ import annotations

from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml
from graph.knowledge_files import FILES

from diagnose.graph.numbers import FIELDS
from diagnose.graph.places import parse
from diagnose.graph.schema import ALL, definitions, file_schema, text, write

COMMITTED = Path(__file__).parents[2] / "docs" / "schema"
AGAIN = "run: python -m diagnose.graph.schema docs/schema"


@pytest.mark.parametrize("kind", ALL)
def test_the_committed_schema_is_the_one_that_the_model_makes(kind):
    assert (COMMITTED / f"{kind}.json").read_text("utf-8") == text(kind), AGAIN


def test_no_schema_is_committed_that_no_kind_of_file_has():
    assert {path.stem for path in COMMITTED.glob("*.json")} == set(ALL)


def test_writing_puts_a_file_for_each_kind(tmp_path):
    write(tmp_path / "new")
    assert {path.stem for path in (tmp_path / "new").iterdir()} == set(ALL)


@pytest.mark.parametrize("kind", ALL)
def test_each_schema_is_a_schema(kind):
    jsonschema.Draft202012Validator.check_schema(file_schema(kind))


@pytest.mark.parametrize("file", FILES)
def test_a_sound_file_fits_its_schema_as_it_is_written(file):
    kind = file.split("/")[0].removesuffix(".yaml")
    jsonschema.validate(parse(file, FILES[file]).data, file_schema(kind))


@pytest.mark.parametrize(
    ("kind", "data"),
    [
        ("facts", {"x": {"value": 1, "unit": "s", "provenance": "from memory"}}),
        ("facts", {"format": 2}),
        ("facts", {"format": 1, "Not An Id": {"value": 1, "unit": "s", "provenance": "from memory"}}),
        ("facts", {"format": 1, "x": {"value": "1", "unit": "s", "provenance": "from memory"}}),
        ("bench", {"format": 1, "nowhere": {"into": 1, "out": 1, "say": "x"}}),
        ("words", {"format": 1, "lean": {"say": "x", "more": "y"}}),
    ],
)
def test_an_unsound_file_does_not_fit(kind, data):
    assert list(jsonschema.Draft202012Validator(file_schema(kind)).iter_errors(data))


def test_the_reader_puts_facts_in_place_wherever_the_schema_takes_them():
    def numbers(kind: str, part: dict[str, Any], path: tuple[str, ...]) -> set[tuple[str, ...]]:
        if "$ref" in part:
            part = definitions(kind)["$defs"][part["$ref"].split("/")[-1]]
        if part.get("type") == ["number", "string"]:
            return {path}
        inner = dict(part.get("properties", {}))
        if isinstance(part.get("additionalProperties"), dict):
            inner["*"] = part["additionalProperties"]
        return {found for key, value in inner.items() for found in numbers(kind, value, (*path, key))}

    for kind in FILES_KINDS:
        found = numbers(kind, {"$ref": definitions(kind)["$ref"]}, ())
        assert found == {field for field in FIELDS.get(kind, ()) if field[-1] != "up to"}, kind


FILES_KINDS = [kind for kind in ALL if kind != "cases"]


@pytest.mark.parametrize(("minutes", "fits"), [(-1, False), (0, False), (0.5, True), ("look-minutes", True)])
def test_an_editor_refuses_minutes_below_none_as_the_reader_does(minutes: object, fits: bool) -> None:
    entry = yaml.safe_load(FILES["checks/fuel.yaml"])
    entry["pinch-at-idle"]["minutes"] = minutes
    assert jsonschema.Draft202012Validator(file_schema("checks")).is_valid(entry) is fits
