"""Ledgers, days and cards are stored before anything goes on, and the day is compared."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens.hands import Clock
from workshop.hours import BLUE, COLD, HOT, STRONG, WEAK, good, later, leaner

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Variant
from diagnose.reason import events as ev
from diagnose.record.engines import Engine
from diagnose.record.journal import Conflict, Journal, JournalError
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Baseline, Corrected, Good, LedgerEntry, Turned, closed
from diagnose.tune.well import Card
from diagnose.tune.window import Window
from diagnose.workshop.session import READY, Session


def test_the_recorded_settings_are_the_first_baseline(session: Session) -> None:
    ledger = session.ledger(BLUE)
    assert ledger.baseline is not None
    assert ledger.now == ledger.baseline.settings == {"low needle": closed(14), "high needle": closed(36)}
    assert ledger.baseline.at == session.clock()


def test_an_entry_is_on_disk_before_it_is_told(known: Knowledge, tmp_path: Path) -> None:
    with Journal.open(tmp_path / "j.sqlite3") as journal:
        session = Session(known, journal, Clock())
        session.add_engine(Engine(BLUE))
        session.write(BLUE, Baseline(session.clock(), {"high needle": closed(38)}))
        with Journal.open(tmp_path / "j.sqlite3") as other:
            assert Session(known, other).ledger(BLUE) == session.ledger(BLUE)
            assert Session(known, other).ledger(BLUE).now == {"high needle": closed(38)}


def test_nothing_is_in_the_ledger_that_could_not_be_stored(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    before = session.ledger(BLUE)

    def full(*_: object) -> int:
        raise JournalError("the disk is full")

    monkeypatch.setattr(session.journal, "append", full)
    with pytest.raises(JournalError, match="full"):
        leaner(session)
    assert session.ledger(BLUE) == before


def test_another_window_that_wrote_first_is_read_before_it_is_told(known: Knowledge, tmp_path: Path) -> None:
    with Journal.open(tmp_path / "j.sqlite3") as here, Journal.open(tmp_path / "j.sqlite3") as there:
        one, two = Session(known, here, Clock()), Session(known, there, Clock())
        one.add_engine(Engine(BLUE))
        one.ledger(BLUE)
        two.write(BLUE, Good(5.0))
        with pytest.raises(Conflict):
            one.write(BLUE, Good(6.0))
        assert one.ledger(BLUE).entries == (Good(5.0),)
        assert len(one.write(BLUE, Good(7.0)).entries) == 2


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        (Baseline(0, {"mid needle": closed(3)}), "there is no mid needle"),
        (Turned(0, "mid needle", "richer", 1), "there is no mid needle"),
        (Corrected(0, {"mid needle": closed(3)}), "there is no mid needle"),
        (Good(0, Conditions(Air(31, 200_000, 0.5))), "cannot be"),
        (Baseline(0, {}, Conditions(fuel=Blend(0.7, 0.6))), "no room for methanol"),
    ],
)
def test_what_the_engine_or_the_day_cant_be_is_refused(session: Session, entry: LedgerEntry, said: str) -> None:
    session.add_engine(Engine("red", Variant(needles=2)))
    with pytest.raises(DiagnoseError, match=said):
        session.write("red", entry)
    assert session.ledger("red").entries == ()


def test_a_ledger_of_no_engine_is_a_clear_line(session: Session) -> None:
    with pytest.raises(DiagnoseError, match="did you mean 'blue truggy'"):
        session.ledger("blue trugy")


def test_the_conditions_are_those_of_today(session: Session) -> None:
    assert session.conditions(BLUE) == Conditions()
    session.note_day(HOT, WEAK, BLUE)
    session.start("loads-up-at-idle", session.engine(BLUE))
    session.has_readied(*READY)
    for head in (70.0, 96.0):
        session.record(ev.Prepared(later(session, 0.1), "bring-to-heat", "ready", head=head))
    assert session.conditions(BLUE) == Conditions(HOT, WEAK, 96.0)
    session.record(ev.Measured(later(session, 0.1), "idle-gap", 1.0))
    session.record(ev.Prepared(later(session, 0.1), "close-up", "ready"))  # the filter was off for the gap
    session.has_readied(*READY)
    session.record(ev.Measured(later(session, 0.1), "reaches-heat", 98.0))
    assert session.conditions(BLUE) == Conditions(HOT, WEAK, 98.0)
    session.record(ev.Retracted(later(session, 0.1), 5))
    assert session.conditions(BLUE) == Conditions(HOT, WEAK, 96.0)
    later(session, 24)
    assert session.conditions(BLUE) == Conditions(None, WEAK)


def test_the_elevation_is_kept_with_the_day(session: Session) -> None:
    session.note_day(HOT, None, elevation=150.0)
    assert session.days().elevation == 150
    with pytest.raises(DiagnoseError, match="sea-level figure"):
        session.note_day(Air(31, 101_325, 0.5), None, elevation=1500.0)


def test_a_walk_begins_with_what_the_day_explains_of_its_hours(session: Session) -> None:
    good(session)
    leaner(session)
    session.note_day(HOT, WEAK, BLUE)
    found = session.explained(BLUE)
    assert found is not None
    started = session.start("loads-up-at-idle", session.engine(BLUE)).started
    assert started.turned == {"high needle": -1}
    assert started.explained == {"high needle": found.hours.high}
    assert -1 < found.hours.high < 0


def test_nothing_is_explained_without_a_good_tune(session: Session) -> None:
    assert session.explained(BLUE) is None
    assert session.advice(BLUE) is None
    leaner(session)
    assert session.explained(BLUE) is None


def test_turns_that_the_day_does_not_explain_are_left_over(session: Session) -> None:
    good(session)
    for _ in range(2):
        leaner(session)
    found = session.explained(BLUE)
    assert found is not None
    assert (found.drift, found.unexplained, found.usual) == (-2, -2, True)
    advice = session.advice(BLUE)
    assert advice is not None
    assert (advice.way, advice.hours) == ("richer", 2)  # back to where it was good


def test_a_colder_day_asks_for_more_before_the_start(session: Session) -> None:
    good(session, HOT)
    later(session, 24 * 90)
    session.note_day(COLD, None)
    found, advice = session.explained(BLUE), session.advice(BLUE)
    assert found is not None
    assert advice is not None
    assert found.hours.low > 0
    assert not found.usual
    assert (advice.way, advice.before_start) == ("richer", True)


def test_leaner_is_advised_only_inside_the_engine_s_own_window(session: Session) -> None:
    session.add_engine(Engine("red", Variant(own={"head-floor": 100.0, "head-ceiling": 115.0})))
    for name in (BLUE, "red"):
        session.write(name, Baseline(later(session, 0.1), {"high needle": closed(60)}))
        session.write(name, Good(later(session, 0.1), Conditions(Air(-10, 103_000, 0.2), STRONG)))
    session.note_day(HOT, WEAK)
    for name in (BLUE, "red"):
        session.start("loads-up-at-idle", session.engine(name))
        session.has_readied(*READY)
        session.record(ev.Prepared(later(session, 0.1), "bring-to-heat", "ready", head=95.0))
    here, there = session.advice(BLUE), session.advice("red")
    assert here is not None
    assert there is not None
    assert (here.way, there.way) == ("leaner", "leave")
    assert "cool engine" in there.said


def test_going_back_follows_the_day_and_the_fuel(session: Session) -> None:
    good(session, COLD, WEAK)
    leaner(session)
    same = session.going_back(BLUE)
    assert same is not None
    assert {target.screw: target.added for target in same.targets} == {"low needle": 0, "high needle": 0}
    session.note_day(None, STRONG, BLUE)
    stronger = session.going_back(BLUE)
    assert stronger is not None
    assert all(target.added > 0 for target in stronger.targets)


def test_without_a_count_there_is_nothing_to_go_back_to(session: Session) -> None:
    session.add_engine(Engine("red"))
    assert session.going_back("red") is None
    session.write("red", Good(later(session, 1)))
    assert session.going_back("red") is None
    session.write("red", Baseline(later(session, 1), {"high needle": closed(30)}))
    found = session.going_back("red")
    assert found is not None
    assert [target.record for target in found.targets] == [closed(30)]


def test_the_newest_card_counts(session: Session) -> None:
    assert session.card(BLUE) is None
    session.write_card(BLUE, Card(1.0, idle_gap=0.7))
    session.write_card(BLUE, Card(2.0, idle_gap=0.9))
    assert session.card(BLUE) == Card(2.0, idle_gap=0.9)
    with pytest.raises(DiagnoseError, match="no engine"):
        session.write_card("green", Card(3.0))
    with pytest.raises(DiagnoseError, match="No air"):
        session.write_card(BLUE, Card(3.0, conditions=Conditions(Air(90, 100_000, 0.5))))


def test_a_card_that_cant_be_read_is_a_clear_line(session: Session) -> None:
    session.journal.append(f"card/{BLUE}", 0, ['{"at":1,"pinch":900}'], 1.0)
    with pytest.raises(JournalError, match="the well card of 'blue truggy' can't be read"):
        session.card(BLUE)


def test_the_slope_comes_from_the_good_tunes(session: Session) -> None:
    assert session.slope(BLUE) is None
    good(session)
    found = session.slope(BLUE)
    assert found is not None
    assert not found.enough
    assert "one good tune" in found.said


def test_a_walk_begins_with_the_window_that_its_owner_took_over(session: Session) -> None:
    general = session.window(BLUE)
    for head in (100.0, 104.0, 108.0):
        session.write(BLUE, Good(later(session, 1), Conditions(head=head)))
    found = session.offered_window(BLUE).window
    assert found == (95, 113)
    session.write_window(BLUE, found)
    assert session.window(BLUE) == pytest.approx(found)
    own = session.starting("loads-up-at-idle", session.engine(BLUE)).variant.own
    assert own["head-ceiling"] == 113
    session.write_window(BLUE, None)
    assert session.window(BLUE) == general


@pytest.mark.parametrize("ceiling", [121.2, 130.0])
def test_a_window_that_reaches_the_come_in_temperature_is_refused_with_a_line(session: Session, ceiling: float) -> None:
    before = session.window(BLUE)
    with pytest.raises(DiagnoseError, match="must lie below the temperature to come in at"):
        session.write_window(BLUE, Window(90.0, ceiling))
    assert session.window(BLUE) == before
    hot = Engine("hot", Variant(own={"head-ceiling": ceiling}))
    with pytest.raises(DiagnoseError, match="must lie below"):
        session.add_engine(hot)
    assert "hot" not in session.engines()
