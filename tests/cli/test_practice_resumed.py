"""A practice that was left, in plain lines: it is offered first, and goes on where it stood."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.test_practice_start import GIVE_UP, KNOWLEDGE, START, journal, practice

from diagnose.workshop.learners import PREFIX, practices, results

__all__ = ["practice"]  # the fixture

KIM = (*START, "--learner", "kim")
HIDDEN = ("start", "--plain", "--symptom", "cuts-on-the-straight", "--fault", "pick-up-split", "--learner", "kim")
LOOK = ("1", "1", "1", "1")


def test_what_was_left_is_offered_first_and_goes_on_where_it_stood(practice, tmp_path: Path) -> None:
    left = practice(*KIM, typed=(*LOOK, "q"))
    assert "Begin again as kim to go on with it." in left.out
    again = practice(*KIM, typed=("1", GIVE_UP, "1", "1", "1"))
    assert "1  go on: start it safely · 1 step · " in again.out
    assert "so far\n1 " in again.out
    with journal(tmp_path) as opened:
        assert [len(one.lines) for one in practices(opened, "kim", KNOWLEDGE)] == [2]
        assert [one.scored.ended for one in results(opened, "kim")] == ["given up"]
    assert "go on:" not in practice(*KIM, typed=("q",)).out


def test_the_new_one_can_be_begun_and_the_other_is_still_offered(practice, tmp_path: Path) -> None:
    practice(*KIM, typed=(*LOOK, "q"))
    assert "\nso far" not in practice(*KIM, typed=("2", "q")).out
    offered = practice(*KIM, typed=("q",)).out
    assert offered.index("start it safely · 0 steps") < offered.index("start it safely · 1 step ")
    with journal(tmp_path) as opened:
        assert [len(one.lines) for one in practices(opened, "kim", KNOWLEDGE)] == [1, 0]


def test_a_hidden_fault_stays_hidden_on_going_on(practice) -> None:
    practice(*HIDDEN, typed=("4", "q"))
    asked, _, told = practice(*HIDDEN, typed=("1", GIVE_UP, "1")).out.partition("what it was")
    assert "1  go on: cuts on the straight · 1 step " in asked
    assert KNOWLEDGE.faults["pick-up-split"].name not in asked
    assert KNOWLEDGE.faults["pick-up-split"].name in told


def test_who_leaves_at_the_question_has_the_result_all_the_same(practice, tmp_path: Path) -> None:
    assert "You left. The result is kept." in practice(*KIM, typed=(GIVE_UP, "q")).out
    with journal(tmp_path) as opened:
        assert [one.scored.reply for one in results(opened, "kim")] == [""]


@pytest.mark.parametrize("name", ["ana", ""])
def test_nobody_else_is_offered_it(practice, name: str) -> None:
    practice(*KIM, typed=(*LOOK, "q"))
    found = practice(*START, *(("--learner", name) if name else ()), typed=("q",))
    assert "go on:" not in found.out
    assert name or "Nothing of it is kept." in found.out


def test_one_from_other_knowledge_is_told_of_in_one_line(practice, tmp_path: Path) -> None:
    with journal(tmp_path) as opened:
        old = '{"kind":"begun","seed":"1","symptom":"revs-hang","troubles":[],"knowledge":"an old one"}'
        opened.append(f"{PREFIX}kim", 0, [old], 1.0)
    found = practice(*KIM, typed=("q",))
    assert found.out.count("can't be gone on with: the knowledge has changed since. It is kept all the same.") == 1
    assert "go on:" not in found.out
