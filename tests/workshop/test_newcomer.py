"""Who is new here, what carries over for them, and the walks that have ended."""

from __future__ import annotations

import pytest

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.workshop.newcomer import lead, led
from diagnose.workshop.session import Session


def test_an_engine_without_a_name_carries_over_what_was_found_while_none_is_recorded(known: Knowledge) -> None:
    session = Session(known, Journal.in_memory(), lambda: 1_800_000_000.0)
    session.start("spins-but-never-fires")
    session.record(ev.Answered(1_800_000_000.0, "plug-glows", "dark"))
    again = session.start("will-not-restart-hot")
    assert [(one.check, one.answer) for one in again.started.found] == [("plug-glows", "dark")]
    assert again.state.open == ("plug",)
    session.add_engine(Engine("blue truggy"))
    assert session.start("will-not-restart-hot").started.found == ()


def test_first_day_mode_is_on_until_there_is_an_engine_a_walk_or_a_choice(known: Knowledge) -> None:
    session = Session(known, Journal.in_memory(), lambda: 1_800_000_000.0)
    assert led(session)
    session.start("spins-but-never-fires")
    assert not led(session)
    lead(session, True)
    assert led(session)
    lead(session, False)
    assert not led(session)


def test_walks_that_have_ended_are_listed_the_newest_first_and_opened_again(known: Knowledge) -> None:
    at = [1_800_000_000.0]
    session = Session(known, Journal.in_memory(), lambda: at[0])
    for _ in range(2):
        at[0] += 60
        session.start("spins-but-never-fires")
        session.record(ev.Ended(at[0]))
    first, second = session.finished()
    assert first.last_at > second.last_at
    session.resume(second.id)
    assert session.reopen().verdict() is None
    assert [one.id for one in session.finished()] == [first.id]
    with pytest.raises(DiagnoseError, match="can't be opened again"):
        session.reopen()
