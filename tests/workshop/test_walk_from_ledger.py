"""What a walk takes from the engine's ledger, its days and its card, and leaves there."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens.hands import Clock
from workshop.hours import BLUE, COLD, HOT, STRONG, WEAK, good, later, leaner

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Variant
from diagnose.reason import events as ev
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.tune.needles import Corrected, Good, Turned, WentBack, closed
from diagnose.tune.well import Card
from diagnose.workshop.session import Session


def test_a_walk_starts_from_the_ledger(session: Session) -> None:
    leaner(session)
    started = session.start("loads-up-at-idle", session.engine(BLUE)).started
    assert started.turned == {"high needle": -1}
    assert started.recorded
    assert {target.screw: target.hours for target in started.back} == {"low needle": 15, "high needle": 37}
    assert "not known: one hour to the rich side" in started.back_because
    assert started.back_blind
    session.write(BLUE, WentBack(later(session, 0.1), {"high needle": closed(37)}))
    assert session.start("loads-up-at-idle", session.engine(BLUE)).started.turned == {}


def test_a_cure_is_the_record_from_then_on(session: Session) -> None:
    leaner(session)
    session.journal.append(
        "outing/cured",
        0,
        [
            ev.to_json(ev.Started(later(session, 0.1), "", "revs-hang", BLUE, Variant())),
            ev.to_json(ev.Retested(later(session, 0.1), "cured")),
        ],
        session.clock(),
    )
    started = session.start("loads-up-at-idle", session.engine(BLUE)).started
    assert {target.screw: target.hours for target in started.back} == {"low needle": 15, "high needle": 36}
    assert started.turned == {}


def test_a_walk_goes_back_to_the_record_corrected_for_the_day(session: Session) -> None:
    """From 35 to 10 °C a suction feed asks for some two hours at three turns; that is rounded up to a half."""
    good(session, HOT)
    later(session, 24)
    session.note_day(COLD, None)
    walk = session.start("overheats", session.engine(BLUE))
    going = session.going_back(BLUE)
    assert going is not None
    step = walk.decision.steps.prepare("going-back", "")
    assert [target.hours for target in walk.started.back] == [target.depth.hours for target in going.targets]
    high = next(target for target in going.targets if target.screw == "high needle")
    assert high.added == 2.5
    assert "High needle: 38.5 hours (3 turns and 2.5 hours) out from gently closed." in step.how[-2]
    assert "The record is 36 hours (3 turns) out from gently closed, and 2.5 hours to the rich side." in step.how[-2]
    assert step.how[-1] == going.because
    assert "more fuel is asked for than then" in going.because
    moved = walk.decision.steps.mend("needle-moved", "")
    assert step.how[-2:] == moved.how[-4:-2]  # and behind it what to look at again, and when to stop
    assert not any("Low needle" in line for line in moved.how)


def test_what_the_walk_set_is_what_the_ledger_has(session: Session) -> None:
    good(session, HOT)
    later(session, 24)
    session.note_day(COLD, None)
    session.start("overheats", session.engine(BLUE))
    session.record(ev.Restored(later(session, 0.1)))
    assert session.ledger(BLUE).now["high needle"] == closed(38.5)
    assert session.ledger(BLUE).moved == {}


def test_an_unexplained_drift_goes_into_the_walk(session: Session) -> None:
    good(session)
    for _ in range(2):
        leaner(session)
    walk = session.start("overheats", session.engine(BLUE))
    drift = walk.started.drift
    assert drift is not None
    assert (drift.answer, drift.setting) == ("over an hour", "")
    assert (drift.mechanical, drift.needle, drift.otherwise) == (0.30, 0.10, 0.10)
    assert drift.said == "the high needle stands 2 hours leaner than at the last good tune, 2 hours of it unexplained"
    assert [line.what for line in walk.view(session.clock()).trail] == [drift.said]


def test_a_day_that_nobody_followed_goes_into_the_walk(session: Session) -> None:
    good(session, HOT, WEAK)
    session.note_day(None, STRONG, BLUE)
    drift = session.start("overheats", session.engine(BLUE)).started.drift
    assert drift is not None
    assert (drift.answer, drift.setting) == ("not followed", "lean")
    assert drift.said.startswith("by air and fuel, the high needle stands ")
    assert drift.said.endswith(" hours leaner than it should")


def test_without_a_good_tune_or_with_an_unknown_day_there_is_no_drift(session: Session) -> None:
    leaner(session)
    assert session.start("overheats", session.engine(BLUE)).started.drift is None
    good(session)
    leaner(session)
    assert session.start("overheats", session.engine(BLUE)).started.drift is not None
    later(session, 24)  # nobody has noted the air of this day
    assert session.start("overheats", session.engine(BLUE)).started.drift is None


def test_a_ledger_that_leads_nowhere_stops_no_walk(session: Session) -> None:
    session.write(BLUE, Corrected(later(session, 0.1), {}))
    session.add_engine(Engine("red"))
    session.note_day(COLD, WEAK)
    session.write("red", Good(later(session, 0.1), session.conditions("red")))
    for _ in range(80):
        session.write("red", Turned(later(session, 0.01), "high needle", "leaner", 1))
    with pytest.raises(DiagnoseError, match="drifts by 72 hours at the most"):
        session.explained("red")
    assert session.start("overheats", session.engine("red")).started.drift is None


def test_the_bands_of_a_walk_are_the_engine_s_own(session: Session) -> None:
    session.write_card(BLUE, Card(1.0, idle_gap=1.5, pinch=3))
    walk = session.start("loads-up-at-idle", session.engine(BLUE))
    gap = {"idle-gap": 1.5, "idle-gap-least": 1.2, "idle-gap-most": 1.8}
    assert walk.variant.own == {**gap, "pinch-least": 1.5, "pinch-most": 6}
    assert walk.started.well == {"idle-gap": 1.5, "pinch-at-idle": 3}
    assert walk.ask("idle-gap").well == "1.5 mm when it ran well"
    assert walk.ask("pinch-at-idle").well == "3 seconds when it ran well"
    assert walk.ask("pinch-at-idle").choices[1].say == "it climbs, then dies within 6 s"
    walk = walk.plus(ev.Measured(session.clock(), "idle-gap", 1.7))
    walk = walk.plus(ev.Prepared(session.clock(), "close-up", "ready"))  # the air filter was off for the gap
    walk = walk.plus(ev.Measured(session.clock(), "pinch-at-idle", 7))
    assert [line.what for line in walk.view(session.clock()).trail] == [
        "idle gap (1.5 mm when it ran well, 1.7 now)",
        "close up: done",
        "pinch at idle: it climbs for longer than that, then dies (3 seconds when it ran well, 7 now)",
    ]


def test_what_the_owner_said_of_the_engine_goes_before_the_card(session: Session) -> None:
    session.add_engine(Engine("red", Variant(own={"idle-gap-least": 0.4})))
    session.write_card("red", Card(1.0, idle_gap=1.5))
    found = session.start("loads-up-at-idle", session.engine("red")).variant.own
    assert found == {"idle-gap": 1.5, "idle-gap-least": 0.4, "idle-gap-most": 1.8}


def test_a_card_of_an_engine_that_did_not_run_well_changes_nothing(session: Session) -> None:
    session.write_card(BLUE, Card(1.0, idle_gap=4))
    started = session.start("loads-up-at-idle", session.engine(BLUE)).started
    assert (started.variant.own, started.well) == ({}, {})


def test_going_on_without_saving_keeps_the_engines_and_their_ledgers(known: Knowledge, tmp_path: Path) -> None:
    session = Session(known, Journal.open(tmp_path / "j.sqlite3"), Clock())
    session.add_engine(Engine(BLUE, settings={"high needle": 36.0}))
    leaner(session)
    session.note_day(HOT, WEAK, BLUE)
    before, now = session.ledger(BLUE), session.conditions(BLUE)
    session.save_nowhere()
    assert not session.journal.saved
    assert (session.ledger(BLUE), session.conditions(BLUE)) == (before, now)
    leaner(session)
    assert session.ledger(BLUE).moved == {"high needle": -2}
    assert session.start("loads-up-at-idle", session.engine(BLUE)).started.turned == {"high needle": -2}


def test_a_walk_goes_on_when_the_journal_can_be_read_no_more(known: Knowledge, tmp_path: Path) -> None:
    session = Session(known, Journal.open(tmp_path / "j.sqlite3"), Clock())
    engine = session.add_engine(Engine(BLUE))
    session.start("loads-up-at-idle", engine)
    session.journal.close()
    session.save_nowhere()
    assert session.record(ev.Noted(later(session, 0.1), "x")).events[-1] == ev.Noted(session.clock(), "x")
    assert session.start("loads-up-at-idle", engine).started.engine == BLUE
