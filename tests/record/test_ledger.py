"""The ledger: what was written by hand and what the walks did come to one, and nothing is stored twice."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shipped import load

from diagnose.graph.model import Follow, Knowledge, Variant, signed
from diagnose.reason import events as ev
from diagnose.reason.state import effective
from diagnose.record.days import Day, Days
from diagnose.record.engines import Engine, add
from diagnose.record.journal import Conflict, Journal, JournalError
from diagnose.record.ledger import Ledgers, done
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Baseline, Corrected, Good, LedgerEntry, Turned, WentBack, caliper, closed, fold

BLUE = Engine("blue truggy", settings={"low needle": 14.0, "high needle": 36.0})
STARTED = ev.Started(10.0, "", "loads-up-at-idle", "blue truggy", Variant())
LEANER = ev.Adjusted(11.0, "low needle", "leaner", 1.0, {"idle stop": -1.0})


@pytest.fixture(scope="module")
def known() -> Knowledge:
    return load()


@pytest.fixture
def journal() -> Journal:
    made = Journal.in_memory()
    add(made, BLUE, 5.0)
    return made


def outing(journal: Journal, name: str, *events: ev.Event) -> None:
    for event in events:
        stream = f"outing/{name}"
        journal.append(stream, len(journal.read(stream)), [ev.to_json(event)], event.at)


def entries(journal: Journal, known: Knowledge, *days: Day) -> list[LedgerEntry]:
    return Ledgers(known).entries(journal, BLUE, Days(days))


def test_the_recorded_settings_of_an_engine_are_its_first_baseline(journal: Journal, known: Knowledge) -> None:
    assert entries(journal, known) == [Baseline(5.0, {"low needle": closed(14), "high needle": closed(36)})]


def test_hand_and_walk_come_together_in_time_order(journal: Journal, known: Knowledge) -> None:
    ledgers = Ledgers(known)
    ledgers.write(journal, "blue truggy", Turned(20.0, "high needle", "richer", 0.5))
    outing(journal, "one", STARTED, LEANER, ev.Retested(12.0, "better"))
    outing(journal, "two", msgspec.structs.replace(STARTED, at=30.0), msgspec.structs.replace(LEANER, at=31.0))
    ledgers.write(journal, "blue truggy", Corrected(25.0, {"low needle": closed(13)}))
    found = ledgers.entries(journal, BLUE, Days([]))
    assert [entry.at for entry in found] == [5, 11, 20, 25, 31]
    follow = {"idle stop": Follow("out", 1.0)}
    assert found[1] == Turned(11.0, "low needle", "leaner", 1, follow, "loads up at idle", "better", "one")
    assert found[4].result == ""  # type: ignore[union-attr] - nobody has tried it again yet
    assert fold(found).now["low needle"] == closed(12)
    assert found == Ledgers(known).entries(journal, BLUE, Days([]))  # what was kept is what is read anew


def test_an_outing_of_another_engine_or_of_none_is_left_out(journal: Journal, known: Knowledge) -> None:
    outing(journal, "red", msgspec.structs.replace(STARTED, engine="red"), LEANER)
    outing(journal, "none", msgspec.structs.replace(STARTED, engine=""), LEANER)
    journal.append("outing/odd", 0, ['{"kind":"later"}'], 9.0)
    assert len(entries(journal, known)) == 1


def test_an_outing_that_goes_on_is_read_again(journal: Journal, known: Knowledge) -> None:
    ledgers = Ledgers(known)
    outing(journal, "one", STARTED)
    assert len(ledgers.entries(journal, BLUE, Days([]))) == 1
    outing(journal, "one", LEANER)
    assert len(ledgers.entries(journal, BLUE, Days([]))) == 2


def test_a_cure_is_a_good_tune_with_the_day_the_fuel_and_the_head(journal: Journal, known: Knowledge) -> None:
    outing(
        journal,
        "one",
        STARTED,
        ev.Prepared(10.5, "bring-to-heat", "too cool", head=70.0),
        ev.Prepared(10.7, "bring-to-heat", "ready", head=96.0),
        LEANER,
        ev.Retested(12.0, "cured"),
        ev.HeadRead(12.5, 96.0),
    )
    air, fuel = Air(31, 100_400, 0.55), Blend(0.16, 0.1)
    found = entries(journal, known, Day(11.0, air), Day(9.0, fuel=fuel, engine="blue truggy"))
    assert found[-1] == Good(12.0, Conditions(air, fuel, 96.0), outing="one")
    assert fold(found).moved == {}
    assert entries(journal, known)[-1] == Good(12.0, Conditions(head=96.0), outing="one")


TARGETS = (ev.Target("low needle", 15.5, ""), ev.Target("high needle", 24.0, "", "caliper", 0.5))


def test_going_back_sets_the_screws_to_the_targets_that_the_walk_was_given(known: Knowledge) -> None:
    started = msgspec.structs.replace(STARTED, back=TARGETS)
    (turn, back) = done([started, LEANER, ev.Restored(13.0)], known, "one")
    assert isinstance(turn, Turned)
    settings = {"low needle": closed(15.5), "high needle": caliper(1.0, 0.5)}
    assert back == WentBack(13.0, settings, "loads up at idle", "one", ("mid needle", "idle stop"))


def test_on_another_day_the_screws_go_to_the_targets_of_that_day(journal: Journal, known: Knowledge) -> None:
    started = msgspec.structs.replace(STARTED, back=TARGETS)
    today = msgspec.structs.replace(started, at=12.0, back=(ev.Target("low needle", 17.0, ""),))
    events = (started, ev.Happened(12.0, "another day", today), ev.Restored(13.0, only=("low needle",)))
    assert ev.back_at(events, 1) == TARGETS
    outing(journal, "one", *events)
    back = entries(journal, known)[-1]
    assert isinstance(back, WentBack)
    assert back.settings == {"low needle": closed(17.0)}


def test_another_day_alone_leaves_the_ledger_as_it_was(journal: Journal, known: Knowledge) -> None:
    before = entries(journal, known)
    outing(journal, "one", STARTED, ev.Happened(12.0, "another day", STARTED))
    assert entries(journal, known) == before


@pytest.mark.parametrize(
    ("fault", "settings", "unrecorded"),
    [
        ("needle-moved", {"high needle": caliper(1.0, 0.5)}, ()),
        ("mid-needle-off", {}, ("mid needle",)),
        ("idle-stop-open", {}, ("idle stop",)),
    ],
)
def test_a_screw_that_was_put_right_begins_its_count_again(
    known: Knowledge, fault: str, settings: object, unrecorded: object
) -> None:
    started = msgspec.structs.replace(STARTED, back=TARGETS)
    (back,) = done([started, ev.Mended(13.0, fault)], known, "one")
    assert back == WentBack(13.0, settings, known.faults[fault].name, "one", unrecorded)  # type: ignore[arg-type]


def test_a_screw_set_by_its_gap_must_be_counted_to_be_known(known: Knowledge) -> None:
    base = Baseline(5.0, {"idle stop": closed(24), "low needle": closed(14)})
    found = fold([base, *done([STARTED, LEANER, ev.Mended(13.0, "idle-stop-open")], known, "one")])
    assert found.now == {"low needle": closed(13)}
    assert found.moved == {"low needle": -1}


def test_a_mend_of_something_else_turns_no_screw(known: Knowledge) -> None:
    assert list(done([STARTED, ev.Mended(13.0, "pressure-line-off")], known, "one")) == []


ANY_EVENT = st.one_of(
    st.builds(ev.Adjusted, st.just(2.0), st.just("low needle"), st.sampled_from(["richer", "leaner"]), st.just(1.0)),
    st.builds(ev.Adjusted, st.just(2.0), st.just("high needle"), st.just("richer"), st.just(0.5)),
    st.builds(ev.Undone, st.just(3.0)),
    st.builds(ev.Restored, st.just(4.0)),
    st.builds(ev.Retested, st.just(5.0), st.sampled_from(["same", "better", "cured"])),
    st.builds(ev.Retracted, st.just(6.0), st.integers(0, 5)),
)


@given(st.lists(ANY_EVENT, max_size=12))
def test_the_hours_of_a_walk_are_the_hours_of_its_own_fold(happened: list[ev.Event]) -> None:
    """Beside a plain count: turns add up, an undo takes the last one off, going back and a cure begin again."""
    events: list[ev.Event] = [STARTED]
    for event in happened:
        if not isinstance(event, ev.Retracted) or event.number < len(events):  # only what was there is taken back
            events.append(event)
    count: dict[str, float] = {}
    turns: list[tuple[str, float]] = []
    for _, event in effective(events):
        if isinstance(event, ev.Adjusted):
            turns.append((event.screw, signed(event.way, event.hours)))
            count[event.screw] = count.get(event.screw, 0.0) + turns[-1][1]
        elif isinstance(event, ev.Undone) and turns:
            screw, hours = turns.pop()
            count[screw] = count.get(screw, 0.0) - hours
        elif isinstance(event, ev.Restored):
            count, turns = {}, []
        elif isinstance(event, ev.Retested) and event.outcome == "cured":
            count = {}
    assert fold(done(events, Knowledge(), "")).moved == {screw: hours for screw, hours in count.items() if hours}


def test_another_window_that_wrote_first_is_told_and_then_read(known: Knowledge, tmp_path: Path) -> None:
    with Journal.open(tmp_path / "j.sqlite3") as here, Journal.open(tmp_path / "j.sqlite3") as there:
        one, two = Ledgers(known), Ledgers(known)
        one.by_hand(here, "blue truggy")
        two.write(there, "blue truggy", Good(1.0))
        with pytest.raises(Conflict):
            one.write(here, "blue truggy", Good(2.0))
        assert one.by_hand(here, "blue truggy") == [Good(1.0)]
        one.write(here, "blue truggy", Good(2.0))
        assert two.by_hand(there, "blue truggy") == [Good(1.0), Good(2.0)]


@pytest.mark.parametrize(
    "body",
    [
        '{"entry":"guessed","at":1}',
        '{"entry":"turned","at":1,"screw":"low needle","way":"leaner","hours":3}',
        '{"entry":"baseline","at":1,"settings":{"low needle":{"hours":500}}}',
        "nonsense",
    ],
)
def test_an_entry_that_cant_be_is_told_with_the_engine(journal: Journal, known: Knowledge, body: str) -> None:
    journal.append("ledger/blue truggy", 0, [body], 1.0)
    with pytest.raises(JournalError, match="the ledger of 'blue truggy' holds an entry that can't be read"):
        entries(journal, known)


def test_a_setting_from_before_there_was_an_end_to_the_thread_is_left_out(known: Knowledge) -> None:
    journal = Journal.in_memory()
    journal.append("engines", 0, ['{"name":"old","settings":{"idle stop":100,"low needle":14}}'], 1.0)
    old = Engine("old", settings={"idle stop": 100.0, "low needle": 14.0})
    assert Ledgers(known).entries(journal, old, Days([])) == [Baseline(1.0, {"low needle": closed(14)})]


def test_an_engine_that_was_only_turned_over_is_no_good_tune(known: Knowledge) -> None:
    turned = msgspec.structs.replace(STARTED, symptom="will-not-turn-over")
    assert list(done([turned, ev.Retested(12.0, "cured", "will-not-turn-over")], known, "one")) == []
    assert list(done([STARTED, ev.Retested(12.0, "cured", "loads-up-at-idle")], known, "one")) == [
        Good(12.0, outing="one")
    ]
