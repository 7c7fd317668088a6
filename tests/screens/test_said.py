"""What pages say: every key and every value is one that its flow answers."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from msgspec import Struct
from screens.hands import MEDIUM, Hand, Make, page, press
from textual.events import Key

from diagnose.graph.model import Knowledge
from diagnose.screens import app, messages

SCREENS = Path(app.__file__).parent
FLOWS = {
    "read": "reading",
    "walk": "walking",
    "outings": "looking_back",
    "lead": "leading",
    "tune": "tuning",
    "practise": "practising",
    "car": "one_car",
    "teach": "teaching",
    "cars": "real_cars",
}
WANTED = re.compile(r"""want\('(\w+)', '([\w ]+)'\)|(?:PageWanted|action_want)\("(\w+)", "([\w ]+)\"""")
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


def burst(pilot: Hand, *keys: str) -> None:
    """Press keys faster than any page opens."""
    for key in keys:
        pilot.app.post_message(Key(key, key if len(key) == 1 else None))


async def test_a_key_pressed_twice_at_once_opens_one_page(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f2")
        burst(pilot, "n", "n")
        await press(pilot, "escape")
        assert page(pilot) == "Engines"


async def test_a_page_that_was_left_at_once_is_let_go(make: Make, shipped: Knowledge) -> None:
    async with make(knowledge=shipped).run_test(size=MEDIUM) as pilot:
        await press(pilot, "f6", "enter", "enter")
        assert page(pilot) == "PracticeBench"
        burst(pilot, "k", "escape")
        await pilot.pause()
        assert page(pilot) == "Home"
        burst(pilot, "1", "escape")
        await pilot.pause()
        assert pilot.app.is_running
