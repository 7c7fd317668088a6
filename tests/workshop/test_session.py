"""One person at one journal: what is stored, what is found again, what still counts."""

from __future__ import annotations

from pathlib import Path

import pytest
from graph.knowledge_files import FILES
from screens.conftest import FACTS
from screens.hands import Clock
from shipped import load

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge, Variant
from diagnose.graph.read import read
from diagnose.pages.home import by_when
from diagnose.reason import events as ev
from diagnose.record.engines import Engine
from diagnose.record.journal import Conflict, Journal, JournalError
from diagnose.record.ledger import done
from diagnose.tune.needles import fold
from diagnose.workshop.session import NOT_READY, READY, Session, reading_unit, untold

HOUR = 3600.0


@pytest.fixture(scope="module")
def small() -> Knowledge:
    return read({**FILES, "facts.yaml": FILES["facts.yaml"] + FACTS}).knowledge


@pytest.fixture
def session(small: Knowledge) -> Session:
    made = Session(small, Journal.in_memory(), Clock())
    made.add_engine(Engine("blue truggy"))
    return made


def walked(session: Session, **answers: str) -> None:
    """Start a walk for the engine, and answer these checks."""
    session.start("revs-hang", session.engine("blue truggy"))
    for check, answer in answers.items():
        session.record(ev.Answered(session.clock(), check.replace("_", "-"), answer))


def later(session: Session, hours: float) -> None:
    assert isinstance(session.clock, Clock)
    session.clock.at += hours * HOUR


def carried(session: Session) -> list[str]:
    return [one.check for one in session.start("revs-hang", session.engine("blue truggy")).started.carried]


def test_a_walk_is_stored_from_its_first_event_on(session: Session) -> None:
    walked(session, fail_safe="shuts")
    stored = [ev.from_json(body) for body in session.journal.read(f"outing/{session.outing}")]
    assert session.walk is not None
    assert tuple(stored) == session.walk.events
    assert isinstance(stored[0], ev.Started)


def test_an_unknown_symptom_stores_nothing(session: Session) -> None:
    with pytest.raises(DiagnoseError, match="did you mean 'revs-hang'"):
        session.start("revs-hung")
    assert not session.journal.streams("outing/")


def test_two_walks_of_the_same_second_are_two_outings(session: Session) -> None:
    walked(session)
    first = session.outing
    walked(session)
    assert {outing.id for outing in session.outings()} == {first, session.outing}
    assert first != session.outing


def test_an_event_that_makes_no_sense_is_not_stored(session: Session) -> None:
    walked(session)
    with pytest.raises(DiagnoseError):
        session.record(ev.Answered(session.clock(), "tank-holds-presure", "holds"))
    assert len(session.journal.read(f"outing/{session.outing}")) == 1


def test_the_walk_moves_on_only_once_the_event_is_stored(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    walked(session)
    before = session.walk

    def full(*_: object) -> int:
        raise JournalError("the disk is full")

    monkeypatch.setattr(session.journal, "append", full)
    with pytest.raises(JournalError):
        session.record(ev.Answered(session.clock(), "fail-safe", "shuts"))
    assert session.walk is before


def test_going_on_without_saving_keeps_what_was_answered(session: Session) -> None:
    walked(session, fail_safe="shuts")
    session.save_nowhere()
    session.record(ev.Answered(session.clock(), "barrel-at-rest", "rests"))
    assert not session.journal.saved
    assert len(session.journal.read(f"outing/{session.outing}")) == 3


def test_another_window_that_was_quicker_is_read_again(small: Knowledge, tmp_path: Path) -> None:
    with Journal.open(tmp_path / "j.sqlite3") as here, Journal.open(tmp_path / "j.sqlite3") as there:
        one, two = Session(small, here, Clock()), Session(small, there, Clock())
        one.start("revs-hang")
        two.resume(one.outing)
        two.record(ev.Answered(two.clock(), "fail-safe", "shuts"))
        with pytest.raises(Conflict):
            one.record(ev.Answered(one.clock(), "fail-safe", "stays"))
        assert one.walk is not None
        assert two.walk is not None
        assert one.walk.events == two.walk.events


def test_a_walk_of_other_knowledge_is_kept_and_not_shown(session: Session) -> None:
    session.journal.append("outing/old", 0, [ev.to_json(ev.Started(0, "x", "gone", "", Variant()))], 0)
    assert session.outings() == []
    assert session.open_outings() == []


def test_only_a_walk_without_a_verdict_is_open(session: Session) -> None:
    walked(session)
    assert [outing.id for outing in session.open_outings()] == [session.outing]
    session.record(ev.Ended(session.clock()))
    assert session.open_outings() == []


def test_the_engine_of_the_newest_walk_comes_first(session: Session) -> None:
    session.add_engine(Engine("red buggy"))
    last = session.last_engine()
    assert last is not None
    assert last.name == "red buggy"
    walked(session)
    last = session.last_engine()
    assert last is not None
    assert last.name == "blue truggy"


def test_a_healthy_answer_counts_again_on_the_same_day_only(session: Session) -> None:
    walked(session, tank_holds_pressure="holds")
    later(session, 15)
    assert carried(session) == ["tank-holds-pressure"]
    later(session, 2)
    assert carried(session) == []


def test_a_guard_is_never_carried(session: Session) -> None:
    walked(session, fail_safe="shuts", barrel_at_rest="rests")
    assert carried(session) == []


@pytest.mark.parametrize("answer", ["bleeds", ev.CANT_TELL])
def test_only_a_healthy_answer_is_carried(session: Session, answer: str) -> None:
    walked(session, tank_holds_pressure=answer)
    assert carried(session) == []


def test_an_answer_is_not_carried_to_another_engine(session: Session) -> None:
    walked(session, tank_holds_pressure="holds")
    other = session.add_engine(Engine("red buggy"))
    assert session.start("revs-hang", other).started.carried == ()


def test_the_pages_before_the_questions_come_in_order(session: Session) -> None:
    walked(session, tank_holds_pressure="holds")
    walked(session)
    assert session.walk is not None
    step = session.walk.step(session.clock())
    assert session.due(step) == "cautions"
    assert session.stop_first
    session.has_read(session.new_cautions(step))
    assert session.due(step) == "since"
    session.record(ev.Happened(session.clock(), "nothing"))
    assert session.due(step) == "history"
    session.record(ev.Told(session.clock(), "changed", ev.SKIPPED))
    step = session.walk.step(session.clock())
    while session.due(step) == "cautions":
        session.has_read(session.new_cautions(step))
    assert session.due(step) == "step"
    session.record(ev.Ended(session.clock()))
    assert session.due(None) == "end"


def test_history_is_not_asked_once_a_step_was_made(session: Session) -> None:
    walked(session)
    assert session.walk is not None
    assert untold(session.walk) == ("changed",)
    assert untold(session.record(ev.Answered(session.clock(), "fail-safe", "shuts"))) == ()


def test_the_history_is_asked_again_once_the_only_step_was_taken_back(session: Session) -> None:
    walked(session, fail_safe="shuts")
    assert session.walk is not None
    taken = session.walk.take_back(session.clock())
    assert taken is not None
    assert untold(session.record(taken)) == ("changed",)


def test_a_check_that_runs_the_engine_waits_for_the_guards(session: Session) -> None:
    walked(session)
    assert session.may_open("fail-safe")
    assert session.may_open("tank-holds-pressure")
    assert not session.may_open("pinch-at-idle")


def test_what_is_owed_at_the_end_is_what_was_owed_before_the_verdict(session: Session) -> None:
    walked(session, fail_safe="shuts")
    assert session.walk is not None
    owed = session.walk.view(session.clock()).owed
    session.record(ev.Ended(session.clock()))
    assert session.owed_at_end() == owed
    assert owed


def test_a_number_may_be_typed_for_a_head_reading(session: Session) -> None:
    walked(session, tank_holds_pressure="holds", fail_safe="shuts", barrel_at_rest="rests")
    assert session.walk is not None
    step = session.walk.step(session.clock())
    assert step is not None
    assert (step.kind, reading_unit(step)) == ("prepare", "°C")
    assert reading_unit(session.walk.ask("tank-holds-pressure")) == ""


def test_symptoms_are_grouped_by_when_with_the_doors_first() -> None:
    from diagnose.graph.load import read_all

    groups = by_when(read_all().knowledge)
    assert [when for when, _ in groups][:2] == ["starting", "at idle"]
    assert groups[0][1][0][0] == "will-not-start"


def test_an_answer_that_a_later_outing_retired_does_not_come_back(session: Session) -> None:
    walked(session, tank_holds_pressure="holds")
    later(session, 1)
    session.start("revs-hang", session.engine("blue truggy"))
    session.record(ev.Happened(session.clock(), "refuelled"))
    later(session, 1)
    assert carried(session) == []


def stands(*streams: list[ev.Event]) -> dict[str, float]:
    knowledge = load()
    entries = [entry for number, events in enumerate(streams) for entry in done(events, knowledge, str(number))]
    return dict(fold(sorted(entries, key=lambda entry: entry.at)).moved)


STARTED = ev.Started(0.0, "", "loads-up-at-idle", "blue truggy", Variant())
LEANER = ev.Adjusted(1.0, "low needle", "leaner", 1.0, {"idle stop": -1.0})
HIGH_LEANER = ev.Adjusted(1.0, "high needle", "leaner", 1.0)


@pytest.mark.parametrize(
    ("streams", "left"),
    [
        ([[STARTED, LEANER]], {"low needle": -1.0, "idle stop": -1.0}),
        ([[STARTED, LEANER, ev.Undone(2.0)]], {}),
        ([[STARTED, LEANER, ev.Restored(2.0)]], {}),
        ([[STARTED, LEANER, ev.Retested(2.0, "cured")]], {}),
        ([[STARTED, LEANER, ev.Retested(2.0, "same")]], {"low needle": -1.0, "idle stop": -1.0}),
        ([[STARTED, LEANER], [STARTED, ev.Retested(3.0, "same")]], {"low needle": -1.0, "idle stop": -1.0}),
        ([[STARTED, LEANER], [STARTED]], {"low needle": -1.0, "idle stop": -1.0}),
        # what went back to the record is not turned back as well
        ([[STARTED, HIGH_LEANER, ev.Mended(2.0, "needle-moved"), ev.Undone(3.0)]], {}),
        ([[STARTED, LEANER, ev.Mended(2.0, "mid-needle-off")]], {"low needle": -1.0, "idle stop": -1.0}),
    ],
)
def test_the_hours_of_a_screw_are_counted_over_all_outings(
    streams: list[list[ev.Event]], left: dict[str, float]
) -> None:
    assert stands(*streams) == left


def test_what_one_outing_left_open_the_next_one_closes() -> None:
    session = Session(load(), Journal.in_memory(), Clock())
    session.add_engine(Engine("blue truggy"))
    session.add_engine(Engine("red buggy"))
    session.start("loads-up-at-idle", session.engine("blue truggy"))
    session.record(ev.Answered(session.clock(), "plug-out", "sound"))
    session.record(ev.Ended(session.clock()))
    later(session, 30)
    assert session.start("loads-up-at-idle", session.engine("red buggy")).state.open == ()
    assert session.start("revs-hang", session.engine("blue truggy")).state.open == ("plug",)


def test_a_check_that_was_chosen_comes_before_the_history_until_it_is_answered(session: Session) -> None:
    walked(session)
    session.has_read(session.new_cautions(session.step()))
    assert session.due(session.step()) == "history"
    session.ask("tank-holds-pressure")
    session.has_read(session.new_cautions(session.step()))
    chosen = session.step()
    assert chosen is not None
    assert (chosen.id, session.due(chosen)) == ("tank-holds-pressure", "step")
    session.record(ev.Deadline(session.clock(), 8.0))
    assert session.asked == "tank-holds-pressure"
    session.record(ev.Answered(session.clock(), "tank-holds-pressure", "holds"))
    assert session.asked == ""


def test_a_check_for_which_the_engine_runs_is_not_put_before_the_guards(session: Session) -> None:
    walked(session)
    with pytest.raises(DiagnoseError, match="the guards come first"):
        session.ask("pinch-at-idle")
    assert session.asked == ""


def test_a_question_about_the_history_is_untold_again_once_all_was_taken_back(session: Session) -> None:
    walked(session)
    session.record(ev.Told(session.clock(), "changed", ev.SKIPPED))
    session.record(ev.Answered(session.clock(), "fail-safe", "shuts"))
    for left in ((), ("changed",)):
        assert session.walk is not None
        taken = session.walk.take_back(session.clock())
        assert taken is not None
        session.record(taken)
        assert session.untold() == left


def test_before_a_step_the_worst_that_is_new_is_read_and_no_second_one() -> None:
    session = Session(load(), Journal.in_memory(), lambda: 1_800_000_000.0)
    known = session.knowledge
    walk = session.start("spins-but-never-fires")
    first = session.new_cautions(session.step())
    assert first == known.worst_first(known.symptoms[walk.symptom].cautions)[:1]
    assert [known.cautions[name].level for name in first] == ["warning"]
    session.has_read(first)
    assert session.new_cautions(session.step()) == ()
    session.record(ev.Told(session.clock(), "changed", ev.SKIPPED))
    session.ask("plug-glows")
    second = session.new_cautions(session.step())
    listed = [name for name in known.checks["plug-glows"].cautions if name not in first]
    assert second == known.worst_first(listed)[:1]


def test_a_hazard_that_ruins_or_hurts_for_good_comes_before_one_that_heals() -> None:
    known = load()
    assert known.worst_first(["hot-metal", "fuel-is-poison", "hot-metal"]) == ("fuel-is-poison", "hot-metal")


def test_nothing_runs_the_engine_before_three_things_were_answered_and_each_stop_asks_them_again() -> None:
    session = Session(load(), Journal.in_memory(), Clock())
    session.start("will-not-hold-an-idle")
    for guard in session.walk.scope.guards if session.walk else ():
        session.record(ev.Answered(session.clock(), guard, session.knowledge.checks[guard].healthy))
    session.record(ev.Prepared(session.clock(), "close-up", "ready"))
    runs = ev.Answered(session.clock(), "igniter-back-on", "no change")
    session.has_readied("igniter", "bottle")
    before = len(session.journal.read(f"outing/{session.outing}"))
    with pytest.raises(DiagnoseError, match=NOT_READY):
        session.record(runs)
    assert len(session.journal.read(f"outing/{session.outing}")) == before
    assert session.unready == "wheels"
    session.has_readied("wheels")
    session.record(runs)
    session.record(ev.Answered(session.clock(), "bubbles", "clear"))  # it still runs
    assert session.unready == ""
    session.record(ev.Answered(session.clock(), "one-squeeze", "pushes back"))
    assert session.unready == READY[0]
    session.record(ev.Answered(session.clock(), "bubbles", ev.CANT_TELL))  # what is not made runs nothing


def test_the_three_are_due_before_a_step_that_runs_and_before_no_other() -> None:
    session = Session(load(), Journal.in_memory(), Clock())
    session.start("will-not-hold-an-idle")
    session.has_read(session.knowledge.cautions)
    session.record(ev.Answered(session.clock(), "along-the-lines", "whole"))
    assert session.walk is not None
    off, on = session.walk.ask("fuel-reaches-carburettor"), session.walk.ask("bubbles")
    assert (session.due(off), session.due(on)) == ("step", "ready")
    session.has_readied(*READY)
    assert session.due(on) == "step"
