"""The table of parts: its names, what it must come to, and the page that is made of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from graph.sound_files import SOUND
from shipped import load

from diagnose.graph.failings import shown, unlisted
from diagnose.graph.parts_page import page
from diagnose.graph.problem import KnowledgeError
from diagnose.graph.read import read

KNOWLEDGE = load()
COMMITTED = Path(__file__).parents[2] / "docs" / "parts.md"
FILE = "failings/all.yaml"


def wrong(old: str, new: str) -> list[str]:
    """Return what is said of the sound files with one piece of the table replaced everywhere."""
    assert old in SOUND[FILE]
    with pytest.raises(KnowledgeError) as refused:
        read({**SOUND, FILE: SOUND[FILE].replace(old, new)})
    return [str(problem) for problem in refused.value.problems]


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (
            "{part: receiver, way: fails",
            "{part: reciever, way: fails",
            f"{FILE}:18:4: unknown part 'reciever'; did you",
        ),
        ("fault: fail-safe-off", "fault: fail-safe-of", "unknown fault 'fail-safe-of'; did you mean 'fail-safe-off'"),
        (
            "fault: pressure-line-off, symptoms",
            "fault: pressure-line-off.split, symptoms",
            "'pressure-line-off' has no form 'split'",
        ),
        ("look: fail-safe,", "look: fail-save,", "unknown check 'fail-save'; did you mean 'fail-safe'"),
        ("fault: fail-safe-off, symptoms: [revs-hang]", "fault: fail-safe-off, symptoms: [revs-hung]", "did you mean"),
        ("taken for: low-needle-lean", "taken for: low-needle-laen", "did you mean 'low-needle-lean'"),
        ("when: [idling]", "when: [idle]", "did you mean 'idling'"),
        ("because: It is renewed.", "fault: fail-safe-off, look: fail-safe, because: It is.", "nothing to say"),
        (", look: fail-safe,", ",", "does not say which 'look:' shows 'fail-safe-off'"),
    ],
)
def test_a_name_that_nothing_has_is_told_with_its_place_and_a_hint(old: str, new: str, told: str) -> None:
    said = wrong(old, new)
    assert any(told in line and line.startswith(f"{FILE}:") for line in said), said


def test_words_are_as_good_as_a_fault_for_what_a_row_is_taken_for() -> None:
    assert read({**SOUND, FILE: SOUND[FILE].replace("taken for: a leak", "taken for: a change of weather")})


def test_the_table_reaches_from_the_bottle_to_the_wheels() -> None:
    assert len(KNOWLEDGE.failings) >= 250
    assert len({row.part for row in KNOWLEDGE.failings.values()}) >= 70
    assert {"fuel-bottle", "wheels", "transmitter-battery", "barrel", "clutch-shoes", "box-wheel"} <= set(
        KNOWLEDGE.parts
    )


def test_every_shipped_fault_has_its_row() -> None:
    assert list(unlisted(KNOWLEDGE)) == []


def test_every_shipped_form_has_its_row() -> None:
    rows = {row.fault for row in KNOWLEDGE.failings.values()}
    forms = {one for name, fault in KNOWLEDGE.faults.items() if fault.forms for one in fault.hypotheses(name)}
    assert forms <= rows


def test_a_row_of_a_form_names_a_look_that_shows_the_form_and_not_only_another_of_its_fault() -> None:
    assert shown(KNOWLEDGE, "hold-and-stream", "pressure-line-off.blocked")
    assert not shown(KNOWLEDGE, "along-the-lines", "pressure-line-off.blocked")
    assert shown(KNOWLEDGE, "along-the-lines", "pressure-line-off")


def test_only_a_row_of_a_form_that_nothing_shows_may_name_no_look() -> None:
    without = {row.fault for row in KNOWLEDGE.failings.values() if row.fault and row.look is None}
    assert without == {"rod-worn.upper", "pipe-outlet-choked.inside", "linkage-binds.shell", "barrel-sticks.hot"}


def test_the_page_names_the_form_behind_the_fault() -> None:
    made = page(KNOWLEDGE)
    assert "| fuel line split, loose or kinked (kinked) |" in made
    assert "| tank lid leaks (only as the chassis twists) |" in made


def test_the_committed_page_is_the_one_that_the_table_makes() -> None:
    assert COMMITTED.read_text("utf-8") == page(KNOWLEDGE), "run: python -m diagnose.graph.parts_page docs/parts.md"


def test_the_page_names_what_has_no_fault_and_why() -> None:
    row = next(row for row in KNOWLEDGE.failings.values() if row.because)
    assert (
        f"{KNOWLEDGE.parts[row.part].name}: {row.fails}. *{row.because}*"
        in page(KNOWLEDGE).split("## Without a fault")[1]
    )
