"""A plain walk that is left, gone on with later, or can not be saved."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.plain_walk import WALK, stored
from cli.running import Diagnose
from screens.hands import Clock

from diagnose.commands import plain
from diagnose.commands.prompt import typed_line
from diagnose.reason import events as ev
from diagnose.record.journal import Journal, JournalError
from diagnose.workshop.session import Session


def test_the_end_of_the_input_leaves_politely_and_everything_is_saved(diagnose: Diagnose, home: Path) -> None:
    found = diagnose(*WALK, typed="1\n1\n")
    assert found.code == 0
    assert "You left; everything is saved; go on with: diagnose walk revs-hang --plain --resume" in found.out
    events = stored(home)
    assert [type(event).__name__ for event in events] == ["Started", "Told", "Answered"]


def test_q_leaves_and_resume_goes_on_where_it_was(diagnose: Diagnose, home: Path) -> None:
    first = diagnose(*WALK, typed="\n1\nq\n").out
    again = diagnose(*WALK, "--resume", typed="q\n").out
    last_question = first.rsplit("\nstep 2 ·", 1)[1].split("\n")[1]
    assert "\nstep 2 ·" in again
    assert last_question in again
    assert len(stored(home)) == 3


def test_resume_without_an_open_walk_says_so(diagnose: Diagnose) -> None:
    found = diagnose(*WALK, "--resume")
    assert found.code == 2
    assert "no open walk" in found.err


def test_a_bad_journal_is_left_alone_and_the_walk_goes_on_unsaved_if_the_person_agrees(
    diagnose: Diagnose, home: Path
) -> None:
    home.mkdir()
    (home / "journal.sqlite3").write_text("not a journal")
    agreed = diagnose(*WALK, typed="1\n\n")
    assert agreed.code == 0
    assert "1  go on without saving" in agreed.out
    assert "You left; what you answered after you agreed to go on without saving is gone" in agreed.out
    refused = diagnose(*WALK, typed="q\n")
    assert refused.code == 2
    assert refused.err.count("\n") == 1
    assert (home / "journal.sqlite3").read_text() == "not a journal"


def test_a_journal_that_fails_on_the_way_may_be_left_behind(
    diagnose: Diagnose, monkeypatch: pytest.MonkeyPatch
) -> None:
    append = Journal.append

    def full(self: Journal, stream: str, expected: int, bodies: list[str], at: float) -> int:
        if expected and self.saved:
            raise JournalError("the disk is full")
        return append(self, stream, expected, bodies, at)

    monkeypatch.setattr(Journal, "append", full)
    agreed = diagnose(*WALK, typed="\n1\n1\n")
    assert agreed.code == 0
    assert "\nstep 2 ·" in agreed.out
    assert diagnose(*WALK, typed="\nq\n").code == 2


def test_answers_of_an_earlier_outing_count_unless_something_happened_since(diagnose: Diagnose, home: Path) -> None:
    diagnose("engine", "add", "blue truggy")
    truggy = (*WALK, "--engine", "blue truggy")
    looked = diagnose(*truggy, typed="\n1\n").out
    assert "Does the tank hold pressure?" in looked or "Does the barrel rest" in looked
    diagnose(*truggy, typed="\n1\n1\n1\n")
    again = diagnose(*truggy, typed="\n").out
    assert "These answers of earlier today still count. You need not give them again.\n✓ " in again
    diagnose(*truggy, typed="4\n")
    event = stored(home)[-1]
    assert isinstance(event, ev.Happened)
    assert event.what == "crashed"


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    """A clock of the test's own for every session."""
    made = Clock()
    monkeypatch.setattr(Session.__init__, "__defaults__", (made,))
    return made


def what(home: Path) -> str:
    """Return what happened, by the newest event."""
    newest = stored(home)[-1]
    assert isinstance(newest, ev.Happened)
    return newest.what


def test_a_walk_resumed_after_an_absence_asks_what_has_happened(diagnose: Diagnose, home: Path, clock: Clock) -> None:
    diagnose(*WALK, typed="\n1\nq\n")
    clock.at += 25 * 60
    out = diagnose(*WALK, "--resume", typed="\nq\n").out
    assert "What was in order counts on, unless something has happened:\n✓ " in out
    assert what(home) == "nothing"
    assert "What was in order" not in diagnose(*WALK, "--resume", typed="q\n").out


def test_a_walk_resumed_on_another_day_owes_everything_again(diagnose: Diagnose, home: Path, clock: Clock) -> None:
    diagnose(*WALK, typed="\n1\n1\nq\n")
    clock.at += 2 * 86_400
    out = diagnose(*WALK, "--resume", typed="q\n").out
    assert "It is another day, or hours later: all is owed again, the guards first." in out
    assert "still count" not in out
    assert "What was in order" not in out
    assert what(home) == "another day"


def test_an_answer_that_comes_after_an_absence_is_not_taken(
    diagnose: Diagnose, home: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same window: the clock moves on while the person is away from the prompt."""
    typed: list[str] = []

    def away() -> str:
        typed.append(typed_line())
        clock.at += 25 * 60 * (len(typed) == 3)
        return typed[-1]

    monkeypatch.setattr(plain, "typed_line", away)
    out = diagnose(*WALK, typed="\n1\n1\n4\nq\n").out
    assert "Your answer was not taken: say first what has happened to the car since." in out
    assert what(home) == "crashed"
