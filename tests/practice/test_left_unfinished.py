"""A practice that was left: found again in the journal, folded, and gone on with."""

from __future__ import annotations

import msgspec
import pytest
from practice.test_lesson import KNOWLEDGE, begun

from diagnose.practice import happenings as hp
from diagnose.practice import setting
from diagnose.practice.debrief import debrief
from diagnose.practice.lesson import Practice
from diagnose.record.journal import Journal, JournalError
from diagnose.workshop import learners

KIM = "kim"


class Desk:
    """A journal at which one learner works; each store is a minute after the last."""

    def __init__(self) -> None:
        self.journal, self.at = Journal.in_memory(), 0.0

    def keep(self, practice: Practice, from_event: int = 0) -> Practice:
        self.at += 60
        learners.keep(self.journal, KIM, practice, from_event, self.at)
        return practice

    def does(self, practice: Practice, *events: hp.PracticeEvent) -> Practice:
        for event in events:
            practice = self.keep(practice.plus(event), len(practice.events))
        return practice

    def result(self, practice: Practice) -> None:
        learners.keep_result(self.journal, KIM, practice, debrief(practice), self.at)

    def left(self) -> tuple[learners.LeftPractice, ...]:
        return learners.unfinished(self.journal, KIM, KNOWLEDGE).left

    def resume(self, number: int = 0) -> Practice:
        return learners.resumed(KNOWLEDGE, self.left()[number])


@pytest.fixture
def desk() -> Desk:
    return Desk()


LOOK = hp.Looked("along-the-lines", "whole")


def test_what_was_left_is_found_exactly_as_it_was(desk: Desk) -> None:
    practice = desk.does(desk.keep(begun("pressure-line-off", "revs-hang")), LOOK, hp.Ran(), hp.Hinted(1))
    again = desk.resume()
    assert again.events == practice.events
    assert again.minutes == practice.minutes
    assert [line.told for line in again.lines] == [line.told for line in practice.lines]


def test_a_practice_with_a_result_is_not_unfinished(desk: Desk) -> None:
    practice = desk.does(desk.keep(begun("pressure-line-off", "revs-hang")), hp.GaveUp())
    desk.result(practice)
    assert desk.left() == ()


def test_one_that_ended_before_its_result_was_kept_still_comes_to_one(desk: Desk) -> None:
    desk.does(desk.keep(begun("pressure-line-off", "revs-hang")), hp.GaveUp())
    again = desk.resume()
    assert again.ended == "given up"
    desk.result(again)
    assert [one.scored.ended for one in learners.results(desk.journal, KIM)] == ["given up"]
    assert desk.left() == ()


def test_the_newest_comes_first_and_an_earlier_one_keeps_its_own_steps(desk: Desk) -> None:
    first = desk.does(desk.keep(begun("pressure-line-off", "revs-hang")), LOOK)
    second = desk.does(desk.keep(begun("plug-tired", "cuts-on-the-straight", "two")), hp.Ran())
    assert [one.events for one in desk.left()] == [second.events, first.events]
    first = desk.does(desk.resume(1), hp.Tried())
    assert [one.events for one in desk.left()] == [first.events, second.events]
    second = desk.does(desk.resume(1), LOOK)
    assert [one.events for one in desk.left()] == [second.events, first.events]
    assert [one.events for one in learners.practices(desk.journal, KIM, KNOWLEDGE)] == [first.events, second.events]


def test_the_result_and_the_reply_go_to_the_practice_that_was_gone_on_with(desk: Desk) -> None:
    lesson = desk.keep(Practice(KNOWLEDGE, [setting.from_lesson(KNOWLEDGE, "it-runs-hot")]))
    other = desk.keep(begun("pressure-line-off", "revs-hang"))
    lesson = desk.does(lesson, hp.GaveUp())
    desk.result(lesson)
    other = desk.does(other, LOOK)
    right = KNOWLEDGE.lessons["it-runs-hot"].question.right
    desk.does(lesson, hp.Replied(right))
    assert [(one.scored.lesson, one.scored.reply) for one in learners.results(desk.journal, KIM)] == [
        ("it-runs-hot", right)
    ]
    assert [one.events for one in desk.left()] == [other.events]


def test_two_windows_at_the_same_practice_lose_nothing(desk: Desk) -> None:
    desk.does(desk.keep(begun("pressure-line-off", "revs-hang")), LOOK)
    here, there = desk.resume(), desk.resume()
    here = desk.does(here, hp.Ran())
    there = desk.does(there, hp.Tried(), hp.Hinted(1))
    here = desk.does(here, hp.Hinted(2))
    assert {one.events for one in desk.left()} == {here.events, there.events}


def test_what_could_not_be_stored_is_stored_with_the_next_step(desk: Desk) -> None:
    practice = desk.keep(begun("pressure-line-off", "revs-hang"))
    practice = practice.plus(LOOK)  # the disk was full
    practice = desk.does(practice, hp.Ran())
    assert desk.left()[0].events == practice.events


def test_after_a_change_of_the_knowledge_it_is_kept_and_not_offered(desk: Desk) -> None:
    desk.does(desk.keep(begun("pressure-line-off", "revs-hang")), LOOK)
    other = msgspec.structs.replace(KNOWLEDGE, digest="another")
    found = learners.unfinished(desk.journal, KIM, other)
    assert found.left == ()
    assert "the knowledge has changed since" in found.told
    assert len(desk.left()) == 1


def test_a_lesson_that_is_gone_is_named_and_not_offered(desk: Desk) -> None:
    desk.keep(Practice(KNOWLEDGE, [setting.from_lesson(KNOWLEDGE, "it-runs-hot")]))
    rest = {name: one for name, one in KNOWLEDGE.lessons.items() if name != "it-runs-hot"}
    found = learners.unfinished(desk.journal, KIM, msgspec.structs.replace(KNOWLEDGE, lessons=rest))
    assert found.left == ()
    assert "the lesson 'it-runs-hot' is gone" in found.told


def test_that_it_cannot_be_gone_on_with_is_said_until_something_else_was_begun(desk: Desk) -> None:
    old = begun("pressure-line-off", "revs-hang")
    desk.keep(Practice(KNOWLEDGE, [msgspec.structs.replace(old.begun, knowledge="an old one")]))
    assert learners.unfinished(desk.journal, KIM, KNOWLEDGE).told
    desk.keep(old)
    assert not learners.unfinished(desk.journal, KIM, KNOWLEDGE).told


def test_what_is_said_of_it_names_no_fault(desk: Desk) -> None:
    desk.does(desk.keep(begun("pressure-line-off", "revs-hang")), LOOK)
    said = learners.says(KNOWLEDGE, desk.left()[0])
    assert KNOWLEDGE.symptoms["revs-hang"].name in said
    assert "1 step " in said
    assert not any(fault.name in said for fault in KNOWLEDGE.faults.values())


def test_a_stranger_has_left_nothing(desk: Desk) -> None:
    assert desk.left() == ()


def test_a_stream_that_goes_on_with_what_never_began_is_refused(desk: Desk) -> None:
    desk.journal.append(f"{learners.PREFIX}{KIM}", 0, ['{"kind": "wenton", "number": 3}'], 1.0)
    with pytest.raises(JournalError, match="can't be read"):
        desk.left()
