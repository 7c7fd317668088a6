"""An answer that is sent twice counts once; another one that comes too late is refused."""

from __future__ import annotations

import pytest

from diagnose.errors import DiagnoseError
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk
from diagnose.record.index import OUTINGS
from diagnose.workshop.once import Making, TooLate, record_at
from diagnose.workshop.session import Session


def say(answer: str) -> Making:
    def make(walk: Walk, at: float) -> ev.Event:
        step = walk.step(at)
        assert step is not None
        return walk.choose(step, answer, at)

    return make


@pytest.fixture
def begun(session: Session) -> Session:
    session.start("revs-hang")
    while session.due(session.step()) == "history":
        session.record(session._walk().tell(session.untold()[0], [], session.clock()))
    return session


def length(session: Session) -> int:
    return len(session.journal.read(f"{OUTINGS}{session.outing}"))


def choices(session: Session) -> list[str]:
    step = session.step()
    assert step is not None
    return [one.id for one in step.choices]


def test_sent_twice_counts_once(begun: Session) -> None:
    count, answer = length(begun), choices(begun)[0]
    assert record_at(begun, count, say(answer))
    assert not record_at(begun, count, say(answer))
    assert length(begun) == count + 1


def test_sent_again_much_later_counts_once(begun: Session) -> None:
    count, answer = length(begun), choices(begun)[0]
    record_at(begun, count, say(answer))
    record_at(begun, count + 1, say(choices(begun)[0]))
    assert not record_at(begun, count, say(answer))
    assert length(begun) == count + 2


def test_another_answer_too_late_is_refused(begun: Session) -> None:
    count = length(begun)
    first, second = choices(begun)[:2]
    record_at(begun, count, say(first))
    with pytest.raises(TooLate, match="answered already"):
        record_at(begun, count, say(second))
    assert length(begun) == count + 1


def test_an_answer_from_another_session_is_seen(begun: Session) -> None:
    other = Session(begun.knowledge, begun.journal, begun.clock)
    other.resume(begun.outing)
    count = length(begun)
    first, second = choices(begun)[:2]
    record_at(other, count, say(first))
    with pytest.raises(TooLate):
        record_at(begun, count, say(second))
    assert begun.walk is not None
    assert other.walk is not None
    assert begun.walk.events == other.walk.events


@pytest.mark.parametrize("count", [0, -1, 999])
def test_a_count_that_no_question_had_is_refused(begun: Session, count: int) -> None:
    before = length(begun)
    with pytest.raises(DiagnoseError, match="belongs to no question"):
        record_at(begun, count, say(choices(begun)[0]))
    assert length(begun) == before
