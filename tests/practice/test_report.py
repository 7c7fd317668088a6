"""The debrief in words, belief over time as text, and what a learner is offered."""

from __future__ import annotations

import pytest
from practice.learners import advised
from practice.test_lesson import KNOWLEDGE, begun, done, guarded

from diagnose.graph.model import every_variant
from diagnose.practice import happenings as hp
from diagnose.practice import offers, report
from diagnose.practice.debrief import debrief
from diagnose.reason.scope import Scope


def searched():
    practice = guarded(begun("pressure-line-off", "cuts-on-the-straight"))
    return debrief(done(practice, hp.Looked("along-the-lines"), hp.Mended("pressure-line-off"), hp.Tried()))


def test_the_summary_names_the_fault_the_score_and_the_minutes() -> None:
    found = searched()
    said = {group.heading: [line for _, line in group.lines] for group in report.summary(KNOWLEDGE, found)}
    assert said["what it was"][0] == f"{KNOWLEDGE.faults['pressure-line-off'].name}."
    assert f"score: {found.score.points} of 100" in said
    assert any(line.startswith("You: ") for line in said["minutes"])
    assert len(said["the first wasteful step"]) >= 1


def test_the_picture_has_a_column_for_each_step_and_a_star_for_what_was_wrong() -> None:
    found = searched()
    rows = report.picture(KNOWLEDGE, found, 80)
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
    rows = report.picture(KNOWLEDGE, found, width)
    assert max(map(len, rows)) <= width
    starred = [row for row in rows if " * " in row]
    assert sum(len(row.split(" * ")[1]) for row in starred) == 60


def test_a_step_says_what_the_program_would_have_done_instead() -> None:
    found = debrief(begun("fuel-filter-blocked", "cuts-on-the-straight").plus(hp.Turned("high needle", 1)))
    said = " ".join(line for _, line in report.step_lines(found.steps[0]))
    assert "the program: " in said
    assert "Too early" in said


def test_nothing_is_wasted_by_the_advice() -> None:
    found = debrief(advised(begun("fuel-filter-blocked", "cuts-on-the-straight")))
    said = {group.heading: group.lines for group in report.summary(KNOWLEDGE, found)}
    assert said["the first wasteful step"] == (("✓ ", "No step was wasted."),)


def test_every_check_and_every_mend_is_offered_once_on_every_engine() -> None:
    for variant in every_variant():
        scope = Scope(KNOWLEDGE, variant)
        looks = [name for names in offers.looks(scope).values() for name in names]
        assert sorted(looks) == sorted(scope.checks)
        mends = [name for names in offers.mends(scope).values() for name in names]
        assert sorted(mends) == sorted(name for name, fault in scope.faults.items() if not fault.turned)
        assert next(iter(offers.looks(scope))) == offers.GUARDS


def test_the_idle_stop_is_offered_with_the_low_needle_only() -> None:
    assert [turn.stop for _, turn in offers.turns("low needle")] == [0, 0, 1, -1, 0, 0]
    assert all(not turn.stop for _, turn in offers.turns("high needle"))
