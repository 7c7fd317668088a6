"""The debrief as a page, and belief over time as text."""

from __future__ import annotations

import pytest
from practice.learners import advised
from practice.test_lesson import KNOWLEDGE, begun, done, guarded

from diagnose.pages import debrief as pages
from diagnose.pages.parts import Beliefs, Heading, Line, Paragraph
from diagnose.practice import happenings as hp
from diagnose.practice.debrief import Debrief, debrief
from diagnose.screens.widgets.shades import picture


def searched():
    practice = guarded(begun("pressure-line-off", "cuts-on-the-straight"))
    return debrief(done(practice, hp.Looked("along-the-lines"), hp.MendedPart("pressure-line-off"), hp.Tried()))


def groups(found: Debrief) -> dict[str, list[str]]:
    """Return the lines of each group under its heading, each behind its mark."""
    said: dict[str, list[str]] = {}
    for part in pages.debrief(KNOWLEDGE, found):
        if isinstance(part, Heading):
            said[part.text] = []
        elif isinstance(part, (Line, Paragraph)):
            said[list(said)[-1]].append(f"{part.mark} {part.text}" if isinstance(part, Line) else part.text)
    return said


def drawn_rows(found: Debrief, width: int) -> list[str]:
    [beliefs] = [part for part in pages.debrief(KNOWLEDGE, found) if isinstance(part, Beliefs)]
    return picture(beliefs.rows, width)


def test_the_summary_names_the_fault_the_score_and_the_minutes() -> None:
    found = searched()
    said = groups(found)
    assert said["what it was"][0] == f" {KNOWLEDGE.faults['pressure-line-off'].name}."
    assert f"score: {found.score.points} of 100" in said
    assert any(line.startswith("You: ") for line in said["minutes"])
    assert len(said["the first wasteful step"]) >= 1


def test_the_picture_has_a_column_for_each_step_and_a_star_for_what_was_wrong() -> None:
    found = searched()
    rows = drawn_rows(found, 80)
    starred = [row for row in rows if " * " in row]
    assert len(starred) == 1
    drawn = starred[0].split(" * ")[1]
    assert len(drawn) == len(found.steps)
    assert drawn[2] in "▓█"  # the look along the lines shows it
    assert drawn[3:] == "✓✓"  # the mend puts it right


@pytest.mark.parametrize("width", [30, 40, 80, 120])
def test_the_picture_fits_its_width_however_long_the_search(width: int) -> None:
    practice = begun("fuel-filter-blocked", "cuts-on-the-straight")
    found = debrief(done(practice, *[hp.Hinted(1)] * 60))
    rows = drawn_rows(found, width)
    assert max(map(len, rows)) <= width
    starred = [row for row in rows if " * " in row]
    assert sum(len(row.split(" * ")[1]) for row in starred) == 60


def test_a_step_says_what_the_program_would_have_done_instead() -> None:
    found = debrief(begun("fuel-filter-blocked", "cuts-on-the-straight").plus(hp.TurnedScrew("high needle", 1)))
    said = " ".join(groups(found)["step by step"])
    assert "the program: " in said
    assert "Too early" in said


def test_nothing_is_wasted_by_the_advice() -> None:
    found = debrief(advised(begun("fuel-filter-blocked", "cuts-on-the-straight")))
    assert groups(found)["the first wasteful step"] == ["✓ No step was wasted."]
