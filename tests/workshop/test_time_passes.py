"""Time passes at one journal, and nothing is stored that could not be shown."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from graph.knowledge_files import FILES
from screens.conftest import FACTS
from screens.hands import Clock
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Variant
from diagnose.graph.read import read
from diagnose.reason import events as ev
from diagnose.reason.state import effective
from diagnose.reason.walk import Walk
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.tune.air import Air
from diagnose.workshop.session import READY, Away, NewDay, Session

MINUTE, HOUR = 60.0, 3600.0


@pytest.fixture(scope="module")
def small() -> Knowledge:
    return read({**FILES, "facts.yaml": FILES["facts.yaml"] + FACTS}).knowledge


@pytest.fixture
def session(small: Knowledge) -> Session:
    """A walk in which the tank and both guards are in order."""
    made = Session(small, Journal.in_memory(), Clock())
    made.add_engine(Engine("blue truggy"))
    made.start("revs-hang", made.engine("blue truggy"))
    for check, said in {"tank-holds-pressure": "holds", "fail-safe": "shuts", "barrel-at-rest": "rests"}.items():
        made.record(ev.Answered(made.clock(), check, said))
    return made


def later(session: Session, seconds: float) -> float:
    assert isinstance(session.clock, Clock)
    session.clock.at += seconds
    return session.clock.at


def walk(session: Session) -> Walk:
    assert session.walk is not None
    return session.walk


def read_all(session: Session) -> None:
    """Read every caution, so that none is due."""
    session.has_read(session.knowledge.cautions)


def due(session: Session) -> str:
    return session.due(walk(session).step(session.clock()))


def bodies(session: Session) -> list[str]:
    return session.journal.read(f"outing/{session.outing}")


@pytest.mark.parametrize(("minutes", "page"), [(19, "step"), (21, "since")])
@pytest.mark.parametrize("resumed", [False, True])
def test_after_twenty_minutes_the_walk_asks_what_has_happened(
    session: Session, minutes: float, page: str, resumed: bool
) -> None:
    read_all(session)
    later(session, minutes * MINUTE)
    if resumed:
        session.resume(session.outing)
        session.has_read(())
    session.has_readied(*READY)
    assert due(session) == page


def test_an_answer_after_an_absence_is_not_taken(session: Session) -> None:
    read_all(session)
    before = bodies(session)
    with pytest.raises(Away, match="Your answer was not taken"):
        session.record(ev.Answered(later(session, 21 * MINUTE), "pinch-at-idle", "short climb"))
    assert bodies(session) == before
    session.record(ev.Happened(session.clock(), "nothing"))
    assert due(session) == "ready"
    session.has_readied(*READY)
    assert due(session) == "step"
    assert "fail-safe" in walk(session).state.answers


def test_nothing_is_an_answer_that_outlives_the_program(session: Session) -> None:
    later(session, 21 * MINUTE)
    session.record(ev.Happened(session.clock(), "nothing"))
    session.resume(session.outing)
    read_all(session)
    session.has_read(())
    session.has_readied(*READY)
    assert due(session) == "step"
    assert walk(session).view(session.clock()).trail[-1].what == "since then: nothing"


def test_a_walk_can_be_stopped_after_an_absence_without_a_question(session: Session) -> None:
    later(session, 21 * MINUTE)
    session.record(ev.Ended(session.clock()))
    assert due(session) == "end"


def test_an_end_can_be_taken_back_after_an_absence_and_then_it_is_asked(session: Session) -> None:
    read_all(session)
    session.record(ev.Ended(session.clock()))
    session.record(ev.Retracted(later(session, 25 * MINUTE), len(walk(session).events) - 1))
    assert due(session) == "since"


@pytest.mark.parametrize("hours", [17, 8.5], ids=["another day", "hours later"])
def test_on_another_day_everything_is_owed_again_in_the_same_window(session: Session, hours: float) -> None:
    read_all(session)
    with pytest.raises(NewDay, match="all is owed again"):
        session.record(ev.Answered(later(session, hours * HOUR), "pinch-at-idle", "short climb"))
    assert walk(session).state.answers == {}
    assert walk(session).events[-1].at == session.clock()
    assert due(session) == "step"
    owed = [line.check for line in walk(session).view(session.clock()).owed]
    assert set(owed[:2]) == {"fail-safe", "barrel-at-rest"}


def test_a_walk_resumed_on_another_day_owes_everything_again(session: Session) -> None:
    later(session, 48 * HOUR)
    session.resume(session.outing)
    assert session.new_day
    assert walk(session).state.answers == {}
    count = len(bodies(session))
    session.resume(session.outing)
    assert len(bodies(session)) == count  # said once


def test_an_old_open_walk_opens_no_needle_two_days_later() -> None:
    """The journal of a person who left at the needle, two days ago; the front end knows nothing of days."""
    known = load()
    session = Session(known, Journal.in_memory(), Clock())
    session.start("loads-up-at-idle", variant=Variant())
    for _ in range(60):
        step = walk(session).step(session.clock())
        assert step is not None
        if step.kind == "adjust":
            break
        choice = known.checks[step.id].healthy if step.kind in ("ask", "recheck") else step.choices[0].id
        choice = {"pinch-at-idle": "long climb", "idle-then-punch": "gurgle"}.get(step.id, choice)
        session.has_readied(*READY)
        session.record(walk(session).choose(step, choice, later(session, step.minutes * MINUTE)))
    assert step is not None
    assert step.kind == "adjust"
    later(session, 48 * HOUR)
    for _ in range(3):
        step = walk(session).step(session.clock())
        assert step is not None
        try:
            session.record(walk(session).choose(step, step.choices[0].id, session.clock()))
        except DiagnoseError:
            continue
    step = walk(session).step(session.clock())
    assert step is not None
    assert step.kind != "adjust"
    assert not walk(session).state.adjustments
    assert walk(session).view(session.clock()).owed


def test_another_day_brings_its_own_way_back_to_the_record() -> None:
    session = Session(load(), Journal.in_memory(), Clock())
    session.add_engine(Engine("blue truggy", settings={"low needle": 14.0, "high needle": 36.0}))
    session.note_day(Air(35, 100_400, 0.4), None)
    session.start("loads-up-at-idle", session.engine("blue truggy"))
    first = walk(session).state.started.back
    later(session, 24 * HOUR)
    session.note_day(Air(2, 103_000, 0.5), None)
    session.resume(session.outing)
    fresh = session.starting("loads-up-at-idle", session.engine("blue truggy"))
    assert walk(session).state.started.back == fresh.back
    assert first  # and it has one at all


@pytest.mark.parametrize(("minutes", "known"), [(19, True), (21, False)])
def test_the_last_word_is_to_stay_out_while_nobody_says_what_has_happened(
    session: Session, minutes: float, known: bool
) -> None:
    session.record(ev.Deadline(session.clock(), 60))
    view = walk(session).view(later(session, minutes * MINUTE))
    assert ("what has happened to the car" not in view.last_word_because) == known
    assert view.last_word == "stay out"


def test_an_answer_to_no_check_is_refused_as_such_after_an_absence(session: Session) -> None:
    with pytest.raises(DiagnoseError, match="there is no check 'gone'"):
        session.record(ev.Answered(later(session, 25 * MINUTE), "gone", "fine"))


# nothing is stored that can't be shown


def test_what_can_not_be_shown_is_refused_and_not_stored(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    before, stood = bodies(session), session.walk

    def broken(*_: object) -> None:
        raise IndexError("list index out of range")

    monkeypatch.setattr(Walk, "view", broken)
    with pytest.raises(DiagnoseError, match="could not be shown after that, so it was not stored"):
        session.record(ev.Answered(session.clock(), "tank-holds-pressure", "bleeds"))
    assert bodies(session) == before
    assert session.walk is stood
    with pytest.raises(DiagnoseError, match="it was not stored"):
        session.start("revs-hang")
    assert len(session.journal.streams("outing/")) == 1


def test_a_name_that_another_window_took_first_is_not_used_twice(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two windows start at once: the second one looked before the first one wrote."""
    first = session.outing
    monkeypatch.setattr(session.journal, "streams", lambda *_: [])
    session.start("revs-hang")
    assert session.outing == f"{first} 2"
    monkeypatch.undo()
    assert len(session.open_outings()) == 2


def test_a_walk_of_other_knowledge_is_named_with_what_to_do(session: Session) -> None:
    session.journal.append("outing/old", 0, [ev.to_json(ev.Started(0, "x", "gone", "red", Variant()))], 0)
    outings, unread = session.left()
    assert [one.id for one in outings] == [session.outing]
    assert [one.what for one in unread] == ["gone · red"]
    assert "can't be shown: it was made with other knowledge (there is no symptom 'gone')" in unread[0].told
    assert "All of it is kept." in unread[0].told
    with pytest.raises(DiagnoseError, match="All of it is kept"):
        session.resume("old")


def damaged(session: Session, body: str) -> None:
    session.journal.append(f"outing/{session.outing}", len(bodies(session)), [body], session.clock())


@pytest.mark.parametrize(
    "body", ["{", '{"kind":"answered","at":1.0,"check":"gone","answer":"fine"}', '{"kind":"later","at":1.0}']
)
def test_a_damaged_walk_is_named_and_can_be_put_away(session: Session, body: str) -> None:
    damaged(session, body)
    outings, unread = session.left()
    assert not outings
    assert [one.what for one in unread] == ["revs hang · blue truggy"]
    session.put_away(unread[0].id)
    assert session.left() == ([], [])
    assert len(bodies(session)) == 6  # all of it is kept


def test_a_walk_whose_beginning_is_damaged_is_named_too(session: Session) -> None:
    session.journal.append("outing/broken", 0, ["{"], session.clock())
    assert [one.told for one in session.left()[1]] == [
        "a walk, 2027-01-15 08:00, can't be shown: its record is damaged. All of it is kept. Begin it anew."
    ]


def test_the_crash_after_taking_back_a_retest_is_gone() -> None:
    """Turned, worse, turned back; then the re-test is taken back and made again."""
    known = load()
    session = Session(known, Journal.in_memory(), Clock())
    session.start("loads-up-at-idle", variant=Variant())
    for _ in range(60):
        step = walk(session).step(session.clock())
        assert step is not None
        choice = known.checks[step.id].healthy if step.kind in ("ask", "recheck") else step.choices[0].id
        choice = "worse" if step.kind == "retest" else choice
        choice = {"pinch-at-idle": "long climb", "idle-then-punch": "gurgle"}.get(step.id, choice)
        session.has_readied(*READY)
        session.record(walk(session).choose(step, choice, later(session, step.minutes * MINUTE)))
        if step.kind == "undo":
            break
    tried = max(n for n, event in effective(walk(session).events) if isinstance(event, ev.Retested))
    with pytest.raises(DiagnoseError, match="something was done to the engine after that"):
        session.record(ev.Retracted(session.clock(), tried))
    assert session.open_outings()


def test_a_journal_that_can_not_be_read_says_so_for_a_walk(small: Knowledge, tmp_path: Path) -> None:
    with Journal.open(tmp_path / "j.sqlite3") as journal:
        session = Session(small, journal, Clock())
        session.start("revs-hang")
        other = sqlite3.connect(tmp_path / "j.sqlite3")
        other.execute("DROP TRIGGER events_stay")
        other.execute("UPDATE events SET body = CAST(x'ff7b' AS TEXT)")
        other.commit()
        other.close()
        assert [one.id for one in session.left()[1]] == [session.outing]
