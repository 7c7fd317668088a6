"""What was written down of a car: any entry is taken back or put right, and what a walk did is left to the walk."""

from __future__ import annotations

import pytest
from graph.knowledge_files import FILES
from screens.conftest import FACTS
from screens.hands import Clock

from diagnose.errors import DiagnoseError
from diagnose.graph.read import read
from diagnose.pages.car import car_page, entry, what_to_do
from diagnose.pages.parts import Line, Page
from diagnose.reason import events as ev
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.record.notes import KeptNote, note_outing, notes_of_outing, write_note
from diagnose.tune.needles import Baseline, Corrected, Good, Turned, WentBack, caliper, closed, flush
from diagnose.tune.well import Card
from diagnose.workshop.car import KnownCar, car
from diagnose.workshop.entries import CarEntry, as_typed, entries, put_right, take_back
from diagnose.workshop.export import export, rows
from diagnose.workshop.session import READY, Session
from diagnose.workshop.sought import WalkSought, find

BLUE = "blue truggy"
DAY = 86_400.0


@pytest.fixture
def session() -> Session:
    known = read({**FILES, "facts.yaml": FILES["facts.yaml"] + FACTS}).knowledge
    made = Session(known, Journal.in_memory(), Clock())
    made.add_engine(Engine(BLUE))
    at = made.clock() - DAY
    made.write(BLUE, Baseline(at, {"low needle": closed(30), "high needle": closed(38)}))
    made.write(BLUE, Turned(at + 1, "high needle", "leaner", 1))
    made.write(BLUE, Good(at + 2, plug="medium"))
    write_note(made.journal, BLUE, "new bel", at + 3)
    made.write_card(BLUE, Card(at + 4, idle_gap=0.7))
    made.write_card(BLUE, Card(at + 5, idle_gap=7))
    return made


def known(session: Session) -> KnownCar:
    return car(session, BLUE)


def test_a_note_that_was_made_in_a_walk_is_on_the_page_and_is_put_right_and_taken_back(session: Session) -> None:
    session.start("revs-hang", session.engine(BLUE))
    outing = session.outing
    session.record(ev.Noted(session.clock(), "the clip was lose"))
    (one,) = (one for one in entries(known(session)) if isinstance(one, KeptNote) and one.outing)
    assert f"note of the walk of {outing}: the clip was lose" in entry(one)
    put_right(session, BLUE, one, "the clip was loose")
    assert ", revs hang: the clip was loose" in lines(car_page(known(session), session.knowledge, ""))
    assert [line.what for line in session.resume(outing).view(session.clock()).trail] == ["the clip was loose"]
    assert [len(find(session, WalkSought(word))) for word in ("loose", "nobody")] == [1, 0]
    (right,) = (one for one in entries(known(session)) if isinstance(one, KeptNote) and one.outing)
    take_back(session, BLUE, right)
    assert "clip" not in lines(car_page(known(session), session.knowledge, ""))
    assert not session.resume(outing).view(session.clock()).trail
    assert not find(session, WalkSought("clip"))


def test_a_note_of_a_walk_is_on_the_page_and_is_put_right_and_taken_back_like_any(session: Session) -> None:
    session.start("revs-hang", session.engine(BLUE))
    outing = session.outing
    note_outing(session.journal, outing, "the [b]clip[/] was lose", session.clock())
    note_outing(session.journal, "of another car", "not here", session.clock())
    page = lines(car_page(known(session), session.knowledge, ""))
    assert ", revs hang: the [b]clip[/] was lose" in page
    assert "not here" not in page
    (one,) = (one for one in entries(known(session)) if isinstance(one, KeptNote) and one.outing)
    assert f"note of the walk of {outing}" in entry(one)
    put_right(session, BLUE, one, "the [b]clip[/] was loose")
    assert [note.text for note in notes_of_outing(session.journal, outing)] == ["the [b]clip[/] was loose"]
    assert [row.text for row in rows(export(known(session))) if row.outing == outing and row.kind == "note"] == [
        "the [b]clip[/] was loose"
    ]
    take_back(session, BLUE, one)
    assert notes_of_outing(session.journal, outing) == []
    assert len([note for note in known(session).notes if note.text == "new bel"]) == 1


def found(session: Session, kind: type) -> CarEntry:
    return next(one for one in entries(known(session)) if isinstance(one, kind))


def lines(page: Page) -> str:
    return "\n".join(part.text for part in page if isinstance(part, Line))


def test_the_newest_entry_comes_first_and_each_says_what_it_is(session: Session) -> None:
    told = [entry(one) for one in entries(known(session))]
    assert [one.split(" ", 2)[2].split(":")[0] for one in told] == [
        "well card",
        "note",
        "marked good",
        "high needle one hour leaner",
        "baseline",
    ]


def test_a_good_mark_that_is_taken_back_is_no_tune_to_go_back_to(session: Session) -> None:
    assert known(session).ledger.last_good is not None
    take_back(session, BLUE, found(session, Good))
    assert known(session).ledger.last_good is None
    assert [tune.settings["high needle"].hours for tune in known(session).ledger.kept] == [38]


def test_an_entry_between_others_is_taken_back_and_the_later_ones_stay(session: Session) -> None:
    take_back(session, BLUE, found(session, Turned))
    ledger = known(session).ledger
    assert ledger.now["high needle"] == closed(38)
    assert ledger.last_good is not None
    assert ledger.last_good.settings["high needle"] == closed(38)


def test_a_card_that_is_taken_back_uncovers_the_one_before_it_and_then_none(session: Session) -> None:
    for gap in (0.7, None):
        card = found(session, Card)
        take_back(session, BLUE, card)
        now = known(session).card
        assert (now.idle_gap if now else None) == gap
    session.write_card(BLUE, Card(session.clock(), idle_gap=0.8))
    now = known(session).card
    assert now is not None
    assert now.idle_gap == 0.8


def test_a_note_is_put_right_in_its_place_and_taken_back(session: Session) -> None:
    note = found(session, type(known(session).notes[0]))
    put_right(session, BLUE, note, "new bell, 14 teeth")
    (kept,) = known(session).notes
    assert (kept.at, kept.text) == (note.at, "new bell, 14 teeth")
    with pytest.raises(DiagnoseError, match="the note is empty"):
        put_right(session, BLUE, kept, "  ")
    take_back(session, BLUE, kept)
    assert known(session).notes == ()


def test_a_typo_put_right_adds_no_baseline_and_moves_what_follows(session: Session) -> None:
    baseline = found(session, Baseline)
    assert as_typed(baseline) == "low needle 30 hours, high needle 38 hours"
    put_right(session, BLUE, baseline, "low needle 3 1/4 turns, high needle 36,5 hours")
    ledger = known(session).ledger
    assert [type(one) for one in ledger.entries] == [Baseline, Turned, Good]
    assert ledger.baseline is not None
    assert (ledger.baseline.at, ledger.baseline.settings["low needle"]) == (baseline.at, closed(39))
    assert ledger.now["high needle"] == closed(35.5)
    assert ledger.last_good is not None
    assert ledger.last_good.settings["high needle"] == closed(35.5)
    assert lines(car_page(known(session), session.knowledge, "write it down")).count("baseline") == 1


def test_what_was_put_right_can_be_put_right_again_and_taken_back(session: Session) -> None:
    put_right(session, BLUE, found(session, Good), "head 104 C, plug cold")
    put_right(session, BLUE, found(session, Good), "head 219F, plug ")
    tune = known(session).ledger.last_good
    assert tune is not None
    assert tune.plug == ""
    assert tune.conditions.head == pytest.approx((219 - 32) / 1.8)
    take_back(session, BLUE, found(session, Good))
    assert known(session).ledger.last_good is None


def test_depths_keep_their_reference_when_they_are_put_right(session: Session) -> None:
    at = session.clock()
    session.write(BLUE, Corrected(at, {"idle stop": flush(2, sunk=True), "mid needle": caliper(1.25, 0.5)}))
    one = found(session, Corrected)
    assert as_typed(one) == "idle stop 2 hours sunk, mid needle 1.25 mm"
    put_right(session, BLUE, one, "idle stop 3 hours sunk, mid needle 1.5 mm")
    now = known(session).ledger.now
    assert now["idle stop"] == flush(3, sunk=True)
    assert now["mid needle"] == caliper(1.5, 0.5)


@pytest.mark.parametrize("typed", ["", "38", "hihg needle 38", "high needle", "high needle 500 hours", "low needle x"])
def test_what_is_no_setting_is_refused_and_nothing_changes(session: Session, typed: str) -> None:
    before = known(session)
    with pytest.raises(DiagnoseError):
        put_right(session, BLUE, found(session, Baseline), typed)
    assert known(session) == before


@pytest.mark.parametrize("typed", ["head hot", "head 900 C", "cold"])
def test_what_is_neither_head_nor_plug_is_refused(session: Session, typed: str) -> None:
    with pytest.raises(DiagnoseError):
        put_right(session, BLUE, found(session, Good), typed)


def test_what_a_walk_did_is_taken_back_there(session: Session) -> None:
    session.write(BLUE, WentBack(session.clock(), {"high needle": closed(38)}, outing="one"))
    one = found(session, WentBack)
    assert [answer.id for answer in what_to_do(one)] == ["open"]
    with pytest.raises(DiagnoseError, match="in the walk of one: open that walk"):
        take_back(session, BLUE, one)
    with pytest.raises(DiagnoseError, match="in the walk of one: open that walk"):
        put_right(session, BLUE, one, "high needle 30")
    with pytest.raises(DiagnoseError, match="can't be put right: take it back"):
        put_right(session, BLUE, found(session, Turned), "high needle 30")
    assert [answer.id for answer in what_to_do(found(session, Turned))] == ["back"]
    assert [answer.id for answer in what_to_do(found(session, Good))] == ["right", "back"]


def test_the_good_mark_of_a_cure_gets_the_head_that_was_read_later_and_can_be_taken_back(session: Session) -> None:
    assert isinstance(session.clock, Clock)
    session.start("revs-hang", session.engine(BLUE))
    session.record(ev.Answered(session.clock(), "tank-holds-pressure", "bleeds"))
    session.record(ev.Mended(session.clock(), "pressure-line-off"))
    session.record(ev.Answered(session.clock(), "tank-holds-pressure", "holds"))
    session.has_readied(*READY)
    session.record(ev.Retested(session.clock(), "cured"))
    before = known(session).ledger.good
    one = found(session, Good)
    assert isinstance(one, Good)
    assert one.outing == session.outing
    put_right(session, BLUE, one, "head 99 C, plug hot")
    tune = known(session).ledger.last_good
    assert tune is not None
    assert (tune.conditions.head, tune.plug) == (99, "hot")
    assert len(known(session).ledger.good) == len(before)
    take_back(session, BLUE, found(session, Good))
    assert known(session).ledger.good == before[:-1]
