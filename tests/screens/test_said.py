"""What pages say: every key and every value is one that its flow answers."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from msgspec import Struct

from diagnose.screens import app, messages

SCREENS = Path(app.__file__).parent
FLOWS = {"read": "reading", "walk": "walking", "tune": "tuning", "practise": "practising", "cars": "real_cars"}
WANTED = re.compile(r"""want\('(\w+)', '([\w ]+)'\)|(?:Wanted|action_want)\("(\w+)", "([\w ]+)\"""")
SOURCES = "".join(path.read_text("utf-8") for path in sorted(SCREENS.rglob("*.py")))
KEYS = sorted({(found[1] or found[3], found[2] or found[4]) for found in WANTED.finditer(SOURCES)})
VALUES = [
    kind
    for kind in vars(messages).values()
    if isinstance(kind, type)
    and issubclass(kind, Struct)
    and kind.__base__ in (messages.OfWalk, messages.OfTune, messages.OfPractice)
]


def flow(of: str) -> str:
    return (SCREENS / f"{FLOWS[of]}.py").read_text("utf-8")


@pytest.mark.parametrize(("of", "what"), KEYS)
def test_a_flow_answers_each_key_that_a_page_names(of: str, what: str) -> None:
    assert f'"{what}"' in flow(of)


@pytest.mark.parametrize("kind", VALUES)
def test_a_flow_answers_each_value_that_a_page_may_say(kind: type[messages.OfWalk]) -> None:
    assert f"case {kind.__name__}(" in flow(kind.of)


def test_the_keys_and_the_values_are_found() -> None:
    assert len(KEYS) > 30
    assert len(VALUES) > 10
