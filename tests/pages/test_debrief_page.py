"""The debrief as a page, and belief over time as text."""

from __future__ import annotations

import msgspec
import pytest
from practice.learners import advised
from practice.test_lesson import KNOWLEDGE, begun, done, guarded

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Screw
from diagnose.pages import debrief as pages
from diagnose.pages.parts import Beliefs, Heading, Line, Paragraph
from diagnose.practice import happenings as hp
from diagnose.practice.debrief import debrief
from diagnose.practice.lesson import Practice
from diagnose.practice.new_case import NewCase
from diagnose.screens.widgets.shades import picture


def searched():
    practice = guarded(begun("pressure-line-off", "cuts-on-the-straight"))
    return done(practice, hp.Looked("along-the-lines"), hp.MendedPart("pressure-line-off"), hp.Tried())


def groups(practice: Practice, after: str = "") -> dict[str, list[str]]:
    """Return the lines of each group under its heading, each behind its mark."""
    said: dict[str, list[str]] = {}
    for part in pages.debrief(practice, debrief(practice), after):
        if isinstance(part, Heading):
            said[part.text] = []
        elif isinstance(part, (Line, Paragraph)):
            said[list(said)[-1]].append(f"{part.mark} {part.text}" if isinstance(part, Line) else part.text)
    return said


def drawn_rows(practice: Practice, width: int) -> list[str]:
    [beliefs] = [part for part in pages.debrief(practice, debrief(practice)) if isinstance(part, Beliefs)]
    return picture(beliefs.rows, width)


def test_the_summary_names_the_fault_the_score_and_the_minutes() -> None:
    practice = searched()
    found, said = debrief(practice), groups(practice)
    assert said["what it was"][0] == f" {KNOWLEDGE.faults['pressure-line-off'].name}."
    assert f"{pages.OWN}: {found.score.points} of 100" == list(said)[-1]
    assert any(line.startswith("You: ") for line in said["minutes"])
    assert len(said["the first wasteful step"]) >= 1


def test_the_picture_has_a_column_for_each_step_and_a_star_for_what_was_wrong() -> None:
    practice = searched()
    found, rows = debrief(practice), drawn_rows(practice, 80)
    starred = [row for row in rows if " * " in row]
    assert len(starred) == 1
    drawn = starred[0].split(" * ")[1]
    assert len(drawn) == len(found.steps)
    assert drawn[2] in "▓█"  # the look along the lines shows it
    assert drawn[3:] == "✓✓"  # the mend puts it right


@pytest.mark.parametrize("width", [30, 40, 80, 120])
def test_the_picture_fits_its_width_however_long_the_search(width: int) -> None:
    practice = begun("fuel-filter-blocked", "cuts-on-the-straight")
    rows = drawn_rows(done(practice, *[hp.Hinted(1)] * 60), width)
    assert max(map(len, rows)) <= width
    starred = [row for row in rows if " * " in row]
    assert sum(len(row.split(" * ")[1]) for row in starred) == 60


def test_a_step_says_what_the_program_would_have_done_instead() -> None:
    found = begun("fuel-filter-blocked", "cuts-on-the-straight").plus(hp.TurnedScrew("high needle", 1))
    said = " ".join(groups(found)["your way, beside the program's"])
    assert "the program: " in said
    assert "Too early" in said


def test_nothing_is_wasted_by_the_advice() -> None:
    found = advised(begun("fuel-filter-blocked", "cuts-on-the-straight"))
    assert groups(found)["the first wasteful step"] == ["✓ No step was wasted."]


def test_the_learner_speaks_first_and_the_marks_come_last() -> None:
    practice = searched().plus(hp.Reflected(3, 1)).plus(hp.Ruled("Follow the lines."))
    said = groups(practice, "another one")
    order = list(said)
    assert order[0] == "what you said of it"
    assert order[-3:-1] == ["your rule", "one fault to try next"]
    assert order[-1].startswith(pages.OWN)
    assert "Your best look: step 3, look: " in said[order[0]][0]
    assert said["your rule"] == ["Follow the lines."]


@pytest.mark.parametrize("named", [(9, 0), (-1, 0), (0, 99)])
def test_a_step_that_there_is_not_cannot_be_named(named: tuple[int, int]) -> None:
    with pytest.raises(DiagnoseError, match="there are 5 steps"):
        searched().plus(hp.Reflected(*named))


@pytest.mark.parametrize(
    ("off", "told"),
    [
        ((), None),
        ((("low needle", 2.0),), "low needle 2 hours too rich"),
        ((("mid needle", -0.5), ("idle stop", 1.0)), "mid needle half an hour too lean, idle stop one hour too far in"),
        ((("idle stop", -3.0),), "idle stop 3 hours too far out"),
    ],
)
def test_a_debrief_says_which_screws_were_off(off: tuple[tuple[Screw, float], ...], told: str | None) -> None:
    hidden = begun("pressure-line-off", "cuts-on-the-straight").begun
    practice = Practice(KNOWLEDGE, [msgspec.structs.replace(hidden, turned=off)]).plus(hp.GaveUp())
    said = [line for line in groups(practice)["what it was"] if "off" in line and "Screws" in line]
    assert said == ([f" Screws that were off: {told}."] if told else [])


def test_a_new_case_tells_of_each_look_once_what_was_seen_last() -> None:
    """A look can be mistaken, and is made again: both answers one after the other would speak against each other."""
    practice = done(guarded(begun("pressure-line-off", "cuts-on-the-straight")), hp.Looked("along-the-lines"))
    mended = done(practice, hp.MendedPart("pressure-line-off"), hp.Looked("along-the-lines"))
    before, after = (
        [line for line in one.lines if isinstance(line.event, hp.Looked)][-1] for one in (practice, mended)
    )
    assert before.answer != after.answer
    told = [part.text for part in pages.new_case(NewCase(mended, (), "")) if isinstance(part, Line)]
    along = [line for line in told if line.startswith(KNOWLEDGE.checks["along-the-lines"].name)]
    assert along == [f"{KNOWLEDGE.checks['along-the-lines'].name}: {pages.said(mended, after)}"]
