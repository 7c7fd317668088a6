"""A class as it is kept: seats in learners' own streams, two windows at one class, a learner deleted."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.practice import happenings as hp
from diagnose.practice.class_set import ClassWish, together
from diagnose.practice.debrief import debrief
from diagnose.record.deleting import TOMBSTONES, tombstones
from diagnose.record.journal import Conflict, Journal
from diagnose.workshop import classes, learners
from diagnose.workshop.class_sheet import came_to

KNOWLEDGE = load()
BEGUN = together(KNOWLEDGE, ClassWish("cuts-on-the-straight", {"pressure-line-off": 0.8}, "saturday"))
SECRET = "zweieinhalb"


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[Journal]:
    with Journal.open(tmp_path / "journal.sqlite3") as opened:
        yield opened


def seated(journal: Journal, *names: str) -> classes.PracticeClass:
    of = classes.begin(journal, BEGUN, 1.0)
    for name in names:
        classes.sit(journal, KNOWLEDGE, of, name, 2.0)
    return of


def test_everybody_sits_at_the_same_engine_in_the_order_of_coming(journal: Journal) -> None:
    of = seated(journal, "kim", "[/]", "ana")
    there = classes.seats(journal, of)
    assert [(one.nickname, one.number) for one in there] == [("kim", 1), ("[/]", 2), ("ana", 3)]
    assert {(one.kept.begun.seed, one.kept.begun.troubles) for one in there} == {(BEGUN.seed, BEGUN.troubles)}
    assert classes.opened(journal).id == of.id
    assert classes.same_again(journal) == ("kim", "[/]", "ana")


def test_the_turn_goes_on_and_who_sits_down_again_goes_on(journal: Journal) -> None:
    of = seated(journal, "kim", "ana")
    kim = classes.sit(journal, KNOWLEDGE, of, "kim", 3.0)
    looked = kim.plus(hp.Looked("along-the-lines")).plus(hp.GaveUp())
    classes.keep_seat(journal, "kim", looked, 1, 4.0)
    assert classes.sit(journal, KNOWLEDGE, of, "kim", 5.0).events == looked.events
    learners.keep_result(journal, "kim", looked, debrief(looked), 6.0)
    due = classes.next_up(classes.seats(journal, of))
    assert due is not None
    assert due.nickname == "ana"
    assert [row.ended for row in came_to(journal, KNOWLEDGE, of).sheet.rows] == ["given up", ""]


def test_a_second_window_that_is_slower_stores_nothing_and_is_told(tmp_path: Path, journal: Journal) -> None:
    of = seated(journal, "kim")
    with Journal.open(tmp_path / "journal.sqlite3") as other:
        here, there = (classes.sit(one, KNOWLEDGE, of, "kim", 3.0) for one in (journal, other))
        classes.keep_seat(journal, "kim", here.plus(hp.Looked("along-the-lines")), 1, 4.0)
        with pytest.raises(Conflict, match="another window has gone on with the seat of kim"):
            classes.keep_seat(other, "kim", there.plus(hp.Ran()), 1, 5.0)
        assert len(learners.kept_practices(other, "kim")) == 1
        assert len(classes.sit(other, KNOWLEDGE, of, "kim", 6.0).lines) == 1
        classes.sit(other, KNOWLEDGE, of, "ana", 7.0)
    assert [one.nickname for one in classes.seats(journal, of)] == ["kim", "ana"]


def test_a_learner_is_deleted_wholly_from_the_file_too(tmp_path: Path, journal: Journal) -> None:
    of = seated(journal, SECRET, "ana")
    before = journal.read(f"{learners.PREFIX}ana")
    assert learners.forget(journal, SECRET, 9.0) == 1
    assert [one.nickname for one in classes.seats(journal, of)] == ["ana"]
    assert learners.learners(journal) == ["ana"]
    assert journal.read(f"{learners.PREFIX}ana") == before
    [stone] = tombstones(journal)
    assert (stone.outing, stone.events) == ("", 1)
    assert SECRET not in "".join(journal.read(TOMBSTONES))
    for file in tmp_path.iterdir():  # what SQLite calls secure_delete: the freed pages are overwritten
        assert SECRET.encode() not in file.read_bytes()


def test_the_journal_still_only_grows_after_that(journal: Journal) -> None:
    seated(journal, "kim", "ana")
    learners.forget(journal, "kim", 9.0)
    with journal.within() as connection, pytest.raises(Exception, match="the journal only grows"):
        connection.execute("DELETE FROM events")
    assert learners.learners(journal) == ["ana"]
    classes.sit(journal, KNOWLEDGE, classes.opened(journal), "kim", 10.0)  # who comes back begins anew
    assert [one.nickname for one in classes.seats(journal, classes.opened(journal))] == ["ana", "kim"]


def test_nobody_can_be_forgotten_who_is_not_known(journal: Journal) -> None:
    seated(journal, "kim")
    with pytest.raises(DiagnoseError, match="did you mean 'kim'"):
        learners.forget(journal, "kin", 9.0)
    assert tombstones(journal) == []


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("31", "30 seats"),
        ("9" * 5000, "30 seats"),
        ("kim, kim", "there twice"),
        ("kim," + "k" * 25, "24 at most"),
        ("kim\x1b[2J", "can't be shown"),
    ],
)
def test_bad_nicknames_are_told(text: str, told: str) -> None:
    with pytest.raises(DiagnoseError, match=told):
        classes.nicknames(text)


def test_a_numbered_seat_is_not_mixed_with_that_of_another_day() -> None:
    assert classes.nicknames(" 3 ") == ["seat 1", "seat 2", "seat 3"]
    assert classes.nicknames("2", ["seat 1", "kim"]) == ["seat 1 (2)", "seat 2 (2)"]
    assert classes.nicknames("2", ["seat 2", "seat 1 (2)"]) == ["seat 1 (3)", "seat 2 (3)"]
    assert classes.nicknames("0") == []


def test_a_class_of_other_knowledge_is_refused_with_what_to_do(journal: Journal) -> None:
    of = classes.begin(journal, classes.replace(BEGUN, knowledge="old"), 1.0)
    with pytest.raises(DiagnoseError, match="set a new one"):
        classes.sit(journal, KNOWLEDGE, of, "kim", 2.0)
    with pytest.raises(DiagnoseError, match="there is no class"):
        classes.opened(journal, "nothing")
