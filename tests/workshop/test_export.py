"""What a car is exported as fits its published schema, and the rows say the same as the JSON."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import msgspec
import pytest
from workshop.test_car import found
from workshop.test_car_entries import BLUE, session  # noqa: F401 - a fixture

from diagnose.record.notes import write_note
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Good
from diagnose.workshop.car import car
from diagnose.workshop.export import KINDS, export, rows, schema
from diagnose.workshop.session import Session

COMMITTED = Path(__file__).parents[2] / "docs" / "schema" / "export"
AGAIN = "run: python -m diagnose.workshop.export docs/schema/export"


def fits(value: object, kind: str) -> None:
    jsonschema.Draft202012Validator(json.loads(schema(kind))).validate(value)


@pytest.mark.parametrize("kind", KINDS)
def test_the_committed_schema_is_the_one_that_the_values_make(kind: str) -> None:
    assert (COMMITTED / f"{kind}.json").read_text("utf-8") == schema(kind), AGAIN
    assert {path.stem for path in COMMITTED.iterdir()} == set(KINDS)
    jsonschema.Draft202012Validator.check_schema(json.loads(schema(kind)))


@pytest.fixture
def full(session: Session) -> Session:  # noqa: F811 - the fixture
    """Return a car with something of every kind."""
    day = Conditions(Air(20, 101_300, 0.5), Blend(0.16, 0.1), 104)
    session.write(BLUE, Good(session.clock(), day, "cold"))
    write_note(session.journal, BLUE, '=1+1, "quoted"\nand a line', session.clock())
    found(session)
    return session


def test_all_of_a_car_fits_the_schema_and_comes_back_as_it_was(full: Session) -> None:
    made = export(car(full, BLUE))
    told = json.loads(msgspec.json.encode(made))
    fits(told, "car")
    assert msgspec.json.decode(msgspec.json.encode(made), type=type(made)) == made
    for part in ("now", "tunes", "ledger", "well", "outings", "owed", "notes"):
        assert told[part], part


@pytest.mark.parametrize(
    ("where", "value"), [("now", {"third needle": {"hours": 1}}), ("notes", [{"at": "today"}]), ("format", 2)]
)
def test_the_schema_refuses_what_is_none(full: Session, where: str, value: object) -> None:
    told = json.loads(msgspec.json.encode(export(car(full, BLUE))))
    with pytest.raises(jsonschema.ValidationError):
        fits({**told, where: value}, "car")


def test_every_row_fits_its_schema_and_every_kind_is_there(full: Session) -> None:
    made = list(rows(export(car(full, BLUE))))
    for row in made:
        fits(json.loads(msgspec.json.encode(row)), "car_rows")
    kinds = {row.kind for row in made}
    assert kinds >= {"car", "now", "baseline", "turned", "good", "well", "outing", "found", "owed", "note"}
