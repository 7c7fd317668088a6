"""The engines of one person: ledgers, days and cards are stored before anything goes on, and the day is compared."""

from __future__ import annotations

from pathlib import Path

import pytest
from screens.hands import Clock

from diagnose.errors import DiagnoseError
from diagnose.graph.load import load
from diagnose.graph.model import Knowledge, Variant
from diagnose.reason import events as ev
from diagnose.record.engines import Engine
from diagnose.record.journal import Conflict, Journal, JournalError
from diagnose.session import Session
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Baseline, Corrected, Entry, Good, Turned, WentBack, closed
from diagnose.tune.well import Card

BLUE = "blue truggy"
HOUR = 3600.0
HOT, COLD = Air(35, 100_400, 0.4), Air(10, 100_400, 0.6)
WEAK, STRONG = Blend(0.16, 0.10), Blend(0.25, 0.10)


@pytest.fixture(scope="module")
def known() -> Knowledge:
    return load()


@pytest.fixture
def session(known: Knowledge) -> Session:
    made = Session(known, Journal.in_memory(), Clock())
    made.add_engine(Engine(BLUE, settings={"low needle": 14.0, "high needle": 36.0}))
    return made


def later(session: Session, hours: float) -> float:
    assert isinstance(session.clock, Clock)
    session.clock.at += hours * HOUR
    return session.clock.at


def good(session: Session, air: Air = COLD, fuel: Blend = WEAK) -> None:
    """Mark the tune good on a day with this air and this fuel."""
    session.note_day(air, fuel, BLUE)
    session.write(BLUE, Good(later(session, 0.1), session.conditions(BLUE)))


def leaner(session: Session, hours: float = 1.0) -> None:
    session.write(BLUE, Turned(later(session, 0.1), "high needle", "leaner", hours))


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
def test_what_the_engine_or_the_day_cant_be_is_refused(session: Session, entry: Entry, said: str) -> None:
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
    for head in (70.0, 96.0):
        session.record(ev.Prepared(later(session, 0.1), "bring-to-heat", "ready", head=head))
    assert session.conditions(BLUE) == Conditions(HOT, WEAK, 96.0)
    session.record(ev.Measured(later(session, 0.1), "idle-gap", 1.0))
    session.record(ev.Measured(later(session, 0.1), "reaches-heat", 98.0))
    assert session.conditions(BLUE) == Conditions(HOT, WEAK, 98.0)
    session.record(ev.Retracted(later(session, 0.1), 4))
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
    session.add_engine(Engine("red", Variant(own={"head-floor": 240, "head-ceiling": 260})))
    for name in (BLUE, "red"):
        session.write(name, Baseline(later(session, 0.1), {"high needle": closed(60)}))
        session.write(name, Good(later(session, 0.1), Conditions(Air(-10, 103_000, 0.2), STRONG)))
    session.note_day(HOT, WEAK)
    for name in (BLUE, "red"):
        session.start("loads-up-at-idle", session.engine(name))
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


def test_a_walk_starts_from_the_ledger(session: Session) -> None:
    leaner(session)
    started = session.start("loads-up-at-idle", session.engine(BLUE)).started
    assert started.turned == {"high needle": -1}
    assert started.recorded
    assert {target.screw: target.hours for target in started.back} == {"low needle": 15, "high needle": 37}
    assert "not known: one hour to the rich side" in started.back_because
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
    assert walk.variant.own == {"idle-gap-least": 1.2, "idle-gap-most": 1.8, "pinch-least": 1.5, "pinch-most": 6}
    assert walk.started.well == {"idle-gap": 1.5, "pinch-at-idle": 3}
    assert walk.ask("idle-gap").well == "1.5 mm when it ran well"
    assert walk.ask("pinch-at-idle").well == "3 seconds when it ran well"
    assert walk.ask("pinch-at-idle").choices[1].say == "it climbs, then dies within 6 s"
    walk = walk.plus(ev.Measured(session.clock(), "idle-gap", 1.7))
    walk = walk.plus(ev.Measured(session.clock(), "pinch-at-idle", 7))
    assert [line.what for line in walk.view(session.clock()).trail] == [
        "idle gap (1.5 mm when it ran well, 1.7 now)",
        "pinch at idle: it climbs for longer than that, then dies (3 seconds when it ran well, 7 now)",
    ]


def test_what_the_owner_said_of_the_engine_goes_before_the_card(session: Session) -> None:
    session.add_engine(Engine("red", Variant(own={"idle-gap-least": 0.4})))
    session.write_card("red", Card(1.0, idle_gap=1.5))
    found = session.start("loads-up-at-idle", session.engine("red")).variant.own
    assert found == {"idle-gap-least": 0.4, "idle-gap-most": 1.8}


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
