"""Where a plain walk asks for a number, and what it asks before the engine runs."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from cli.plain_walk import WALK, stored
from cli.running import Diagnose

from diagnose.reason import events as ev


def test_a_head_reading_is_typed_with_its_unit(diagnose: Diagnose, home: Path) -> None:
    typed = "\n"
    for _ in range(8):
        out = diagnose(*WALK, typed=typed).out
        last = out.rsplit("\nstep ", 1)[1]
        if "\nBring to heat." in last:
            break
        typed += "1\n"
    assert "Type the number that you read, in °C, or a letter. w why" in last
    assert "\nb  " in last
    for text in ("= 203 F", "203F", "95", "95,0 °C"):
        diagnose(*WALK, typed=f"{typed}{text}\n")
        event = stored(home)[-1]
        assert isinstance(event, ev.Prepared)
        assert event.head == pytest.approx(95)


def at_heat(diagnose: Diagnose) -> str:
    """Return what is typed until the head is asked for."""
    typed = "\n"
    while "\nBring to heat." not in diagnose(*WALK, typed=typed).out.rsplit("\nstep ", 1)[1]:
        typed += "1\n"
    return typed


def test_where_a_number_is_asked_a_digit_is_no_answer(diagnose: Diagnose, home: Path) -> None:
    diagnose(*WALK, typed=f"{at_heat(diagnose)}1\n")
    event = stored(home)[-1]
    assert isinstance(event, ev.Prepared)
    assert event.head == 1


def test_where_a_number_is_asked_a_letter_answers(diagnose: Diagnose, home: Path) -> None:
    asked = diagnose(*WALK, typed=at_heat(diagnose)).out
    found = re.search(r"^([a-z])  stays below", asked, re.MULTILINE)
    assert found, asked
    diagnose(*WALK, typed=f"{at_heat(diagnose)}{found[1]}\n")
    event = stored(home)[-1]
    assert isinstance(event, ev.Prepared)
    assert (event.outcome, event.head) == ("too cool", None)


@pytest.mark.parametrize("text", ["220", "= hot", "104 dogs", "900 C", "1/0", "."])
def test_a_reading_that_can_not_be_is_refused_and_asked_for_again(diagnose: Diagnose, home: Path, text: str) -> None:
    typed = at_heat(diagnose)
    before = len(stored(home))
    found = diagnose(*WALK, typed=f"{typed}{text}\n")
    assert found.code == 0
    assert "Say it like 104, 104 C or 220 F." in found.out or "it lies between" in found.out
    assert len(stored(home)) == before


def test_three_things_are_asked_before_the_engine_runs_and_not_yet_says_what_to_do_first(diagnose: Diagnose) -> None:
    out = diagnose(*WALK, typed=at_heat(diagnose)).out
    before = out[: out.rindex("Bring to heat.")]
    assert before.index("Where is the igniter?") < before.index("How is the fuel bottle?")
    assert before.index("How is the fuel bottle?") < before.index("Where are the wheels?")
    told = diagnose(*WALK, typed=at_heat(diagnose)[: -len("1\n1\n1\n")] + "2\n").out
    assert told.count("Where is the igniter?") == 2
    assert "Take it off first." in told
