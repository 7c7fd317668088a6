"""Who is new here, what carries over for them, and the walks that have ended."""

from __future__ import annotations

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
