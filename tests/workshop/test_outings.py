"""The walks of a journal: read one by one, found again, gone through, noted, opened again and deleted."""

from __future__ import annotations

import sqlite3
from datetime import date
from pathlib import Path

import msgspec
import pytest
from graph.knowledge_files import FILES
from reason.test_after_a_turn import turned
from screens.conftest import FACTS
from screens.hands import Clock

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Variant
from diagnose.graph.read import read
from diagnose.pages import outing as pages
from diagnose.pages import replay
from diagnose.pages.parts import Bar, CautionPart, Heading, Line, Page, Paragraph, Timed
from diagnose.reason import events as ev
from diagnose.record.deleting import tombstones
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.record.notes import note_outing
from diagnose.workshop.deleting import delete
from diagnose.workshop.looked_back import looked_back
from diagnose.workshop.replaying import replayed
from diagnose.workshop.session import DELETED, READY, Session
from diagnose.workshop.sought import WalkSought, find

BLUE = "blue truggy"
DAY = 24 * 3600.0


@pytest.fixture(scope="module")
def small() -> Knowledge:
    return read({**FILES, "facts.yaml": FILES["facts.yaml"] + FACTS}).knowledge


@pytest.fixture
def session(small: Knowledge, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Session:
    monkeypatch.setenv("DIAGNOSE_HOME", str(tmp_path))
    made = Session(small, Journal.open(tmp_path / "journal.sqlite3"), Clock())
    made.add_engine(Engine(BLUE, settings={"low needle": 14.0}))
    return made


def later(session: Session, seconds: float) -> float:
    assert isinstance(session.clock, Clock)
    session.clock.at += seconds
    return session.clock.at


def cured(session: Session) -> str:
    """Walk to a cure by a mend, in three minutes; return its id."""
    session.start("revs-hang", session.engine(BLUE))
    session.record(ev.Answered(later(session, 60), "tank-holds-pressure", "bleeds"))
    session.record(ev.Mended(later(session, 60), "pressure-line-off"))
    session.record(ev.Answered(later(session, 30), "tank-holds-pressure", "holds"))
    session.has_readied(*READY)
    session.record(ev.Retested(later(session, 30), "cured"))
    return session.outing


def stopped(session: Session, engine: str = BLUE) -> str:
    session.start("revs-hang", session.engine(engine))
    session.record(ev.Noted(session.clock(), "the bell was loose"))
    session.record(ev.Ended(later(session, 60)))
    return session.outing


def said(page: Page) -> str:
    return "\n".join(part.text for part in page if isinstance(part, Line | Paragraph | Heading | Timed | Bar))


def ids(session: Session, **sought: object) -> list[str]:
    return [row.id for row in find(session, WalkSought(**sought))]  # type: ignore[arg-type]


def test_one_walk_is_read_by_itself(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    first, _ = cured(session), later(session, 60)
    stopped(session)
    session.rows()
    asked: list[str] = []
    journal_read = Journal.read

    def noted(journal: Journal, stream: str, since: int = 0, most: int = -1) -> list[str]:
        asked.append(stream)
        return journal_read(journal, stream, since, most)

    monkeypatch.setattr(Journal, "read", noted)
    assert session.outing_called(first).walk.verdict() is not None
    assert asked == [f"outing/{first}"]


def test_what_was_kept_of_a_walk_is_what_folding_it_says(session: Session) -> None:
    outing = cured(session)
    (kept,) = session.came_to(session.rows()).values()
    assert (kept.outcome, kept.mended, kept.minutes) == ("cured", ("pressure-line-off",), 3.0)
    again = Session(session.knowledge, session.journal, session.clock)
    assert again.rows()[0].came_to
    assert list(again.came_to(again.rows()).values()) == [kept]
    session.journal._connection.execute("DROP TABLE outings")
    rebuilt = Session(session.knowledge, session.journal, session.clock)
    assert list(rebuilt.came_to(rebuilt.rows()).values()) == [kept]
    assert rebuilt.ledger(BLUE) == session.ledger(BLUE)
    assert [one.id for one in rebuilt.outings()] == [outing]


def test_what_it_came_to_is_folded_anew_for_other_knowledge(session: Session) -> None:
    cured(session)
    session.came_to(session.rows())
    renamed = msgspec.structs.replace(session.knowledge, digest="another", faults={})
    assert Session(renamed, session.journal, session.clock).came_to(session.rows()) == {}


def test_a_walk_that_is_opened_again_is_not_finished(session: Session) -> None:
    outing = cured(session)
    assert session.left() == ([], [])
    session.reopen()
    assert [one.id for one in session.left()[0]] == [outing]


@pytest.mark.parametrize(("way", "left"), [("richer", True), ("leaner", False)])
def test_a_cure_by_a_turn_whose_sign_is_still_to_be_looked_at_is_not_finished(way: str, left: bool) -> None:
    walk = turned(way, "cured")
    session = Session(walk.knowledge, Journal.in_memory(), lambda: 100.0)
    session.journal.append("outing/turned", 0, [ev.to_json(event) for event in walk.events], 60.0)
    assert [row.ending for row in session.rows()] == ["unsure"]
    assert [one.id for one in session.left()[0]] == (["turned"] if left else [])


def test_walks_are_found_by_car_symptom_fault_day_and_words(session: Session) -> None:
    session.add_engine(Engine("red buggy"))
    one, _ = cured(session), later(session, DAY)
    two = stopped(session, "red buggy")
    note_outing(session.journal, one, "The BELL had a crack", session.clock())
    assert ids(session) == [two, one]
    assert ids(session, engine="red buggy") == [two]
    assert ids(session, symptom="revs-hang") == [two, one]
    assert ids(session, fault="pressure-line-off") == [one]
    assert ids(session, words="bell") == [two, one]
    assert ids(session, words="loose bell") == [two]
    assert ids(session, words="CRACK") == [one]
    assert ids(session, words="pressure line") == [one]
    assert ids(session, words="buggy 2027-01-16") == [two]
    assert ids(session, since=date(2027, 1, 16)) == [two]
    assert ids(session, until=date(2027, 1, 15)) == [one]
    assert ids(session, words="nothing like it") == []
    with pytest.raises(DiagnoseError, match="did you mean 'revs-hang'"):
        ids(session, symptom="hang")
    with pytest.raises(DiagnoseError, match="outing list"):
        session.row_called("x")
    for wrong in ({"symptom": "revs-hung"}, {"fault": "gone"}, {"engine": "green"}):
        with pytest.raises(DiagnoseError, match="there is no"):
            ids(session, **wrong)


def test_a_walk_says_what_cured_it_and_how_long_it_took(session: Session) -> None:
    outing = cured(session)
    note_outing(session.journal, outing, "[b]and the clip[/]", session.clock())
    found = looked_back(session, outing)
    told = said(pages.page(found, session.knowledge))
    assert told.startswith("what cured it\nMending: pressure line off or split\n")
    assert told.count("It took 3 min at the car.") == 1
    assert "[b]and the clip[/]" in told
    assert not any(isinstance(part, CautionPart) for part in pages.page(found, session.knowledge))  # named, not told
    assert "cured: pressure line off or split, 3 min" in pages.line(found.row, found.came_to, session.knowledge)


def test_an_absence_is_no_time_at_the_car(session: Session) -> None:
    session.start("revs-hang", session.engine(BLUE))
    session.record(ev.Answered(later(session, 60), "fail-safe", "shuts"))
    session.record(ev.Ended(later(session, 3600)))
    assert [one.minutes for one in session.came_to(session.rows()).values()] == [1.0]


def test_a_walk_is_gone_through_step_by_step_with_belief_and_what_was_owed(session: Session) -> None:
    found = replayed(session, cured(session))
    assert (len(found.walks), found.same, found.differs, found.stops) == (5, True, (), "")
    assert replay.heading(found, 1) == "Step 2 of 5"
    told = [said(replay.step_of(found, number)) for number in range(5)]
    assert "it began: revs hang" in told[0]
    assert "owed before a needle then" in told[0]
    assert "tank pressure" in told[0]
    assert "! tank pressure: bleeds away" in told[1]
    assert "what it could be then\npressure line off or split" in told[1]
    assert "→ mended: pressure line off or split" in told[2]
    assert "Cured: the mend cured it." in told[4]
    assert [one.id for one in replay.answers(found, 0)] == ["next", "back"]
    assert [one.id for one in replay.answers(found, 4)] == ["before", "back"]


def test_what_was_told_stands_behind_the_time_alone(session: Session) -> None:
    session.start("revs-hang", session.engine(BLUE))
    walk = session.walk
    assert walk is not None
    question, asked = next(iter(session.knowledge.history.items()))
    session.record(walk.tell(question, list(asked.answers)[:1], later(session, 60)))
    told = said(replay.step_of(replayed(session, session.outing), 1)).splitlines()[0]
    assert told.count("·") == 1


def test_a_walk_that_is_open_says_so_when_it_is_to_be_opened_again(session: Session) -> None:
    session.start("revs-hang", session.engine(BLUE))
    with pytest.raises(DiagnoseError, match="still open"):
        session.reopen()


def test_what_was_taken_back_is_said_in_the_replay(session: Session) -> None:
    session.start("revs-hang", session.engine(BLUE))
    session.record(ev.Answered(later(session, 60), "tank-holds-pressure", "bleeds"))
    session.record(ev.Retracted(later(session, 60), 1))
    assert "taken back: tank pressure" in said(replay.step_of(replayed(session, session.outing), 2))


def test_where_the_knowledge_has_changed_it_says_what_differs(session: Session) -> None:
    outing = cured(session)
    other = msgspec.structs.replace(session.knowledge, digest="another")
    changed = Session(other, session.journal, session.clock)
    found = replayed(changed, outing)
    assert (found.same, found.differs, len(found.walks)) == (False, (), 5)
    assert "Every answer in it still fits." in said(replay.what_differs(found))
    checks = {name: one for name, one in other.checks.items() if name != "tank-holds-pressure"}
    fewer = replayed(Session(msgspec.structs.replace(other, checks=checks), session.journal, session.clock), outing)
    told = said(replay.what_differs(fewer))
    assert fewer.walks
    assert [one.number for one in fewer.differs] == [len(fewer.walks)]
    assert f"{len(fewer.walks)} of its 5 steps can be shown" in told
    assert "there is no check 'tank-holds-pressure'" in told
    lost = looked_back(Session(msgspec.structs.replace(other, checks=checks), session.journal, session.clock), outing)
    assert lost.came_to is None
    assert "can't be shown: it was made with other knowledge" in said(pages.page(lost, other))
    assert "can't be shown" in pages.line(lost.row, lost.came_to, other)


def test_a_turn_that_today_s_knowledge_would_not_offer_is_named(session: Session) -> None:
    events = [
        ev.Started(1.8e9, "older", "revs-hang", BLUE, Variant()),
        ev.Adjusted(1.8e9 + 60, "low needle", "leaner", 1),
    ]
    session.journal.append("outing/old", 0, [ev.to_json(event) for event in events], 1.8e9)
    found = replayed(session, "old")
    assert len(found.walks) == 2
    assert "turning the low needle leaner is not open now" in said(replay.what_differs(found))
    assert "turning the low needle leaner is not open now" in said(replay.step_of(found, 1))


def test_what_is_damaged_is_said_and_can_be_deleted(session: Session) -> None:
    session.journal.append("outing/broken", 0, ["{"], 1.8e9)
    found = looked_back(session, "broken")
    told = said(pages.page(found, session.knowledge))
    assert "its record is damaged" in told
    assert [one.id for one in pages.answers(found)] == ["note", "delete"]
    delete(session, "broken")
    assert session.rows() == []


def test_a_note_changes_neither_the_order_nor_what_it_came_to(session: Session) -> None:
    one, _ = cured(session), later(session, DAY)
    two, before = stopped(session), session.came_to(session.rows())
    note_outing(session.journal, one, "it was the clip", later(session, DAY))
    assert [row.id for row in session.rows()] == [one, two]
    assert session.came_to(session.rows()) == before


def test_a_deleted_walk_is_gone_and_leaves_the_screws_where_it_turned_them(session: Session, tmp_path: Path) -> None:
    session.add_engine(Engine("red buggy"))
    kept = cured(session)
    events = [
        ev.Started(later(session, DAY), session.knowledge.digest, "revs-hang", BLUE, Variant()),
        ev.Adjusted(later(session, 60), "low needle", "richer", 1),
        ev.Noted(session.clock(), "the friend's bottle"),
        ev.Retested(later(session, 60), "cured"),
        ev.Ended(later(session, 60)),
    ]
    session.journal.append("outing/turned", 0, [ev.to_json(event) for event in events], session.clock())
    note_outing(session.journal, "turned", "the friend's name", session.clock())
    session.sheet("turned").parent.mkdir()
    session.sheet("turned").write_text("the friend's sheet")
    before = session.ledger(BLUE)
    (tmp_path / "journal-before-then.sqlite3").touch()
    gone = delete(session, "turned")
    assert (gone.tombstone.outing, gone.tombstone.events, gone.screws) == ("turned", 5, 2)
    assert [path.name for path in gone.copies] == ["journal-before-then.sqlite3"]
    after = session.ledger(BLUE)
    assert after == Session(session.knowledge, session.journal, session.clock).ledger(BLUE)
    assert (after.now, after.last_good, after.moved) == (before.now, before.last_good, before.moved)
    assert [one.id for one in session.outings()] == [kept]
    assert not session.sheet("turned").exists()
    assert b"friend" not in b"".join(one.read_bytes() for one in tmp_path.glob("journal.sqlite3*"))
    assert [one.outing for one in tombstones(session.journal)] == ["turned"]
    assert "2 entries of the car's ledger came from it, and stayed." in said(pages.deleted(gone))
    with pytest.raises(DiagnoseError, match="there is no outing 'turned'"):
        session.resume("turned")


def test_a_walk_that_another_window_has_deleted_does_not_go_on(session: Session, tmp_path: Path) -> None:
    session.start("revs-hang", session.engine(BLUE))
    with Journal.open(tmp_path / "journal.sqlite3") as journal:
        delete(Session(session.knowledge, journal, session.clock), session.outing)
    with pytest.raises(DiagnoseError, match=DELETED):
        session.record(ev.Answered(session.clock(), "fail-safe", "shuts"))
    assert session.rows() == []


def test_a_walk_at_hand_that_is_deleted_is_not_at_hand_any_more(session: Session) -> None:
    delete(session, stopped(session))
    assert (session.outing, session.walk) == ("", None)


def test_a_hand_that_changed_the_index_changes_no_walk(session: Session, tmp_path: Path) -> None:
    outing = cured(session)
    came_to = session.came_to(session.rows())
    other = sqlite3.connect(tmp_path / "journal.sqlite3")
    other.execute("UPDATE outings SET ending = 'open', engine = 'another', came_to = '{}'")
    other.commit()
    other.close()
    assert session.came_to(session.rows()) == came_to
    assert [row.engine for row in session.rows()] == [BLUE]
    assert session.outing_called("last").id == outing
