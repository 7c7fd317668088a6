"""A car's page: what walks and hands wrote is on it, and what is mended is not found any more."""

from __future__ import annotations

import msgspec
import pytest
from graph.knowledge_files import FILES
from screens.conftest import FACTS
from screens.hands import Clock
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Variant
from diagnose.graph.read import read
from diagnose.pages.car import UNSHOWN, car_page
from diagnose.pages.outing import cure, cured_by
from diagnose.pages.parts import Heading, Line, Paragraph, Timed
from diagnose.reason import events as ev
from diagnose.reason.carry import Outing
from diagnose.reason.walk import replay
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.record.notes import LONGEST, notes, write_note
from diagnose.tune.needles import Baseline, Corrected, Good, closed
from diagnose.workshop.came_to import car_outing
from diagnose.workshop.car import car
from diagnose.workshop.session import READY, Session

BLUE = "blue truggy"


@pytest.fixture(scope="module")
def small() -> Knowledge:
    return read({**FILES, "facts.yaml": FILES["facts.yaml"] + FACTS}).knowledge


@pytest.fixture
def session(small: Knowledge) -> Session:
    made = Session(small, Journal.in_memory(), Clock())
    made.add_engine(Engine(BLUE))
    return made


def found(session: Session) -> None:
    """Begin a walk, and find a split pressure line."""
    session.start("revs-hang", session.engine(BLUE))
    session.record(ev.Answered(session.clock(), "tank-holds-pressure", "bleeds"))


def said(session: Session) -> str:
    page = car_page(car(session, BLUE), session.knowledge, "write it down")
    return "\n".join(part.text for part in page if isinstance(part, Line | Paragraph | Timed))


def test_what_was_found_stands_there_until_it_is_mended(session: Session) -> None:
    found(session)
    (open_one,) = car(session, BLUE).outings
    assert (open_one.outcome, open_one.found, open_one.mended) == ("open", ("pressure-line-off",), ())
    assert "revs hang: pressure line off or split" in said(session)
    session.record(ev.Mended(session.clock(), "pressure-line-off"))
    session.record(ev.Answered(session.clock(), "tank-holds-pressure", "holds"))
    session.has_readied(*READY)
    session.record(ev.Retested(session.clock(), "cured"))
    (cured,) = car(session, BLUE).outings
    assert (cured.outcome, cured.found, cured.mended) == ("cured", (), ("pressure-line-off",))
    assert cured.owed == ()
    assert "It took" in said(session)
    assert "not finished" not in said(session)


def test_what_a_later_walk_mended_is_not_found_any_more(session: Session) -> None:
    found(session)
    assert isinstance(session.clock, Clock)
    session.clock.at += 86_400
    found(session)
    session.record(ev.Mended(session.clock(), "pressure-line-off"))
    session.record(ev.Answered(session.clock(), "tank-holds-pressure", "holds"))
    session.has_readied(*READY)
    session.record(ev.Retested(session.clock(), "cured"))
    first, second = car(session, BLUE).outings
    assert (first.outcome, second.outcome) == ("open", "cured")
    assert "revs hang: pressure line off or split. It took" in said(session)
    assert said(session).count("pressure line off or split") == 1


def test_what_one_look_points_to_is_not_said_to_be_found_three_times(session: Session) -> None:
    found(session)
    known = car(session, BLUE)
    several = msgspec.structs.replace(known.outings[0], found=tuple(session.knowledge.faults)[:3])
    page = car_page(known._replace(outings=(several,)), session.knowledge, "")
    told = [part.text for part in page if isinstance(part, Line)]
    names = [session.knowledge.faults[fault].name for fault in several.found]
    assert [line for line in told if any(name in line for name in names)] == [
        f"{told[-2][:10]}, revs hang: one or more of these: {'; '.join(names)}"
    ]


def test_a_walk_that_ended_without_a_cure_stands_on_the_page(session: Session) -> None:
    found(session)
    session.record(ev.Ended(session.clock()))
    page = car_page(car(session, BLUE), session.knowledge, "")
    at = page.index(Heading("ended without a cure"))
    line = page[at + 1]
    assert isinstance(line, Line)
    assert "revs hang: stopped" in line.text


def test_a_walk_that_cannot_be_shown_is_not_left_out_in_silence(session: Session) -> None:
    found(session)
    (row,) = session.rows()
    (first, *_) = session.journal.read(row.stream)
    assert UNSHOWN not in said(session)
    session.journal.append("outing/2020-01-01 10.00.00", 0, [first.replace('"revs-hang"', '"gone"')], session.clock())
    page = car_page(car(session, BLUE), session.knowledge, "")
    at = page.index(Heading(UNSHOWN))
    line = page[at + 1]
    assert isinstance(line, Line)
    assert line.text.endswith("gone: look back at it to see why")


def test_a_walk_that_cannot_be_shown_still_says_what_was_mended(session: Session) -> None:
    found(session)
    session.record(ev.Mended(session.clock(), "pressure-line-off"))
    (row,) = session.rows()
    first, *rest = session.journal.read(row.stream)
    session.journal.append("outing/2020-01-01 10.00.00", 0, [first.replace('"revs-hang"', '"gone"'), *rest], 1.0)
    told = "gone: mended or put off: pressure line off or split; look back at it to see why"
    assert said(session).count(told) == 1


def test_another_car_has_a_page_of_its_own(session: Session) -> None:
    found(session)
    session.add_engine(Engine("red"))
    assert car(session, "red").outings == ()
    with pytest.raises(DiagnoseError, match="there is no engine called 'green'"):
        car(session, "green")


def test_every_tune_it_ran_well_with_is_listed(session: Session) -> None:
    session.write(BLUE, Baseline(1.0, {"high needle": closed(36)}))
    session.write(BLUE, Good(2.0, plug="medium"))
    told = [line for line in said(session).split("\n") if "high 36 hours" in line]
    assert [line.partition(", ")[2] for line in told] == ["good: high 36 hours; plug medium", "baseline: high 36 hours"]


def test_a_line_says_where_a_screw_stands_and_where_it_stood_if_that_was_elsewhere(session: Session) -> None:
    session.write(BLUE, Baseline(1.0, {"low needle": closed(30), "high needle": closed(36)}))
    session.write(BLUE, Good(2.0))
    session.write(BLUE, Corrected(3.0, {"high needle": closed(39)}))
    page = car_page(car(session, BLUE), session.knowledge, "", faces=False)
    told = [part.text for part in page if isinstance(part, Line)]
    assert "Low needle: 30 hours (2 turns and 6 hours)" in told
    high = "High needle: 39 hours (3 turns and 3 hours); 36 hours at the last good tune; 36 hours at the baseline"
    assert high in told
    assert "Idle stop: not counted yet" in told


def test_a_note_is_kept_as_it_was_said_and_an_empty_or_endless_one_is_refused(session: Session) -> None:
    write_note(session.journal, BLUE, " new bell, <b>14</b> teeth ", 7.0)
    write_note(session.journal, BLUE, "x" * LONGEST, 8.0)
    assert [one.text for one in notes(session.journal, BLUE)] == ["new bell, <b>14</b> teeth", "x" * LONGEST]
    for bad in ("", "  ", "x" * (LONGEST + 1)):
        with pytest.raises(DiagnoseError):
            write_note(session.journal, BLUE, bad, 9.0)
    assert "new bell, <b>14</b> teeth" in said(session)


def test_what_cured_it_is_what_stands_and_where_the_screws_went(session: Session) -> None:
    shipped, at = load(), session.clock()
    back = (ev.Target("low needle", 15.5, ""), ev.Target("high needle", 24.0, ""))
    started = ev.Started(at, shipped.digest, "loads-up-at-idle", BLUE, Variant(), recorded=True, back=back)
    turned = ev.Adjusted(at + 1, "low needle", "leaner", 1.0)
    events = [
        started,
        turned,
        ev.Undone(at + 2),
        ev.Restored(at + 3, only=("low needle",)),
        ev.Retested(at + 4, "cured"),
    ]
    one = car_outing(Outing("one", replay(shipped, events), at + 4))
    assert (one.turned, one.back) == ((), ("low needle 15.5 hours",))
    assert cured_by(one, shipped) == ["went back to low needle 15.5 hours"]
    assert cure(one, shipped) == ["going back: low needle 15.5 hours"]
    kept = car_outing(Outing("two", replay(shipped, [started, turned, ev.Retested(at + 2, "cured")]), at + 2))
    assert cured_by(kept, shipped) == ["low needle one hour leaner"]
