"""What a club's outings come to: counted when asked, taken over where they help, and taken back."""

from __future__ import annotations

import pytest
from reason.ended import mended
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge
from diagnose.reason import events as ev
from diagnose.reason.walk import Walk
from diagnose.record.journal import Journal
from diagnose.record.learned import LEARNED, learned
from diagnose.workshop import club as clubs
from diagnose.workshop.session import Session

KNOWN: Knowledge = load()


@pytest.fixture(scope="module")
def packed() -> Walk:
    return mended("overheats", "fins-packed")


@pytest.fixture
def session() -> Session:
    return Session(KNOWN, Journal.in_memory(), lambda: 1_000_000.0)


def stored(session: Session, walk: Walk, many: int) -> None:
    """Store a walk so often, each as an outing of its own."""
    bodies = [ev.to_json(event) for event in walk.events]
    for number in range(many):
        session.journal.append(f"outing/{walk.symptom} {number}", 0, bodies, 0.0)


def test_with_one_outing_it_is_not_enough_yet_and_nothing_is_stored(session: Session) -> None:
    rare = mended("overheats", "no-airflow")
    stored(session, rare, 1)
    found = clubs.club(session)
    assert (found.outings, found.confirmed) == (1, 1)
    assert found.symptoms[0].score == pytest.approx(0.0, abs=1e-9)  # the first is foretold by the files alone
    assert not found.symptoms[0].helps
    clubs.learn(session)
    assert session.journal.read(LEARNED) == []
    assert session.starting("overheats").learned is None


def test_many_outings_alike_are_taken_over_and_a_new_walk_begins_with_them(session: Session, packed: Walk) -> None:
    stored(session, packed, 8)
    found = clubs.learn(session)
    assert found.in_use is not None
    assert found.in_use.counts == {"overheats": {"fins-packed": 8}}
    assert found.symptoms[0].score > 0
    assert session.starting("overheats").learned == found.in_use
    moved = {one.fault: one for one in found.symptoms[0].faults}
    assert moved["fins-packed"].after > moved["fins-packed"].before
    assert sum(one.after for one in moved.values()) == pytest.approx(1)
    assert found.symptoms[0].minutes_after <= found.symptoms[0].minutes_before + 1e-9


def test_what_was_taken_over_is_taken_back_and_a_walk_that_had_begun_stays_as_it_was(
    session: Session, packed: Walk
) -> None:
    stored(session, packed, 8)
    clubs.learn(session)
    walk = session.start("overheats")
    before = dict(walk.standing.belief)
    assert clubs.forget(session)
    assert not clubs.forget(session)
    assert session.starting("overheats").learned is None
    assert session.resume(session.outing).standing.belief == before
    assert session.start("overheats").standing.belief != before
    clubs.learn(session)
    assert learned(session.journal) is not None


def test_a_walk_that_goes_on_on_another_day_does_not_change_its_mind(session: Session, packed: Walk) -> None:
    stored(session, packed, 8)
    walk = session.start("overheats")
    clubs.learn(session)
    session.clock = lambda: 1_000_000.0 + 30 * 3600
    assert session.resume(session.outing).standing.belief == walk.standing.belief


def test_a_walk_that_was_opened_again_or_ended_otherwise_does_not_count(session: Session, packed: Walk) -> None:
    at = packed.events[-1].at
    again = packed.reopen(at + 1)
    assert again is not None
    stored(session, packed.plus(again), 3)
    assert clubs.own(session) == (3, {})


def test_another_clubs_counts_are_added_and_never_twice(session: Session, packed: Walk) -> None:
    stored(session, packed, 2)
    theirs = {"overheats": {"fins-packed": 5, "no-airflow": 1}}
    found = clubs.club(session, [theirs])
    assert (found.confirmed, found.shared) == (2, 6)
    assert {one.fault: one.outings for one in found.symptoms[0].faults if one.outings} == {
        "fins-packed": 7,
        "no-airflow": 1,
    }
    for twice in ([theirs, theirs], [{"overheats": {"fins-packed": 2}}]):
        with pytest.raises(DiagnoseError, match="count twice"):
            clubs.club(session, twice)


def test_an_entry_that_cannot_be_read_stops_no_walk(session: Session) -> None:
    session.journal.append(LEARNED, 0, ['{"at": 1, "learned": {"counts": {"overheats": {"fins-packed": -4}}}}'], 1.0)
    assert session.starting("overheats").learned is None


def test_weights_with_which_a_walk_would_hold_back_less_are_refused(
    session: Session, packed: Walk, monkeypatch: pytest.MonkeyPatch
) -> None:
    stored(session, packed, 8)
    monkeypatch.setattr(clubs, "weaker", lambda *_: iter(["overheats: rule 8 locks the high needle no more"]))
    with pytest.raises(DiagnoseError, match="would hold back less"):
        clubs.learn(session)
    assert session.journal.read(LEARNED) == []
