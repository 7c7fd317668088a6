"""The table: up to six learners, and only one real engine that runs."""

from __future__ import annotations

import pytest
from practice.test_lesson import begun

from diagnose.errors import DiagnoseError
from diagnose.practice.table import MOST, PracticeTable, Seat


def seated(*names: str) -> PracticeTable:
    table = PracticeTable()
    for name in names:
        table = table.joined(Seat(name))
    return table


def test_who_joins_has_the_turn() -> None:
    table = seated("kim", "ana")
    assert table.seat == Seat("ana")
    assert table.turned_to(1).seat == Seat("kim")


def test_a_seventh_finds_no_seat() -> None:
    table = seated(*map(str, range(MOST)))
    with pytest.raises(DiagnoseError, match="6 at the table already"):
        table.joined(Seat("late"))


def test_the_same_learner_keeps_the_seat_for_the_next_practice() -> None:
    practice = begun("igniter-flat", "spins-but-never-fires")
    table = seated("kim", "ana").joined(Seat("kim", practice))
    assert [seat.called for seat in table.seats] == ["kim", "ana"]
    assert table.seat is not None
    assert table.seat.practice is practice


def test_nobody_sits_at_a_seat_that_is_not_there() -> None:
    for number in (0, 3, 7):
        with pytest.raises(DiagnoseError, match="nobody sits"):
            seated("kim", "ana").turned_to(number)


def cars(*names: str) -> PracticeTable:
    table = PracticeTable()
    for name in names:
        table = table.joined(Seat(engine=name))
    return table


def test_of_real_cars_only_one_engine_runs() -> None:
    table = cars("red", "blue").started()
    with pytest.raises(DiagnoseError, match="that of blue is running"):
        table.turned_to(1).started()
    stopped = table.stopped().turned_to(1).started()
    assert [seat.running for seat in stopped.seats] == [True, False]


def test_a_seat_with_a_running_engine_is_not_left() -> None:
    with pytest.raises(DiagnoseError, match="stop it first"):
        cars("red").started().left()


def test_a_car_that_stands_there_already_stays_as_it_is() -> None:
    table = cars("red", "blue").started().turned_to(1).joined(Seat(engine="blue"))
    assert [seat.engine for seat in table.seats] == ["red", "blue"]
    assert table.seat == Seat(engine="blue", running=True)


def test_a_learner_who_is_called_like_a_car_has_another_seat() -> None:
    assert len(cars("red").joined(Seat("red")).seats) == 2


def test_an_engine_runs_while_its_walk_is_at_a_step_that_runs_it() -> None:
    table = cars("red").walked("1", "revs hang · step 4", runs=True)
    assert table.seat == Seat(engine="red", outing="1", place="revs hang · step 4", running=True, by_step=True)
    after = table.walked("1", "revs hang · step 5", runs=False).seat
    assert after is not None
    assert (after.running, after.by_step) == (False, False)


def test_an_engine_that_was_started_by_hand_runs_until_somebody_says_otherwise() -> None:
    table = cars("red").started().walked("1", "revs hang · step 1", runs=False)
    assert table.seat is not None
    assert table.seat.running
    assert not table.stopped().seats[0].running


def test_a_walk_waits_at_a_step_that_runs_the_engine_while_another_runs() -> None:
    table = cars("red", "blue").walked("1", "revs hang · step 4", runs=True).turned_to(1)
    waiting = table.walked("2", "revs hang · step 2", runs=True)
    assert waiting.seat is not None
    assert (waiting.seat.waits, waiting.seat.running) == (True, False)
    freed = waiting.turned_to(2).stopped().turned_to(1).walked("2", "revs hang · step 2", runs=True)
    assert freed.seat is not None
    assert (freed.seat.waits, freed.seat.running) == (False, True)


def test_a_step_with_the_engine_off_does_not_wait() -> None:
    table = cars("red", "blue").started().turned_to(1).walked("2", "revs hang · step 2", runs=False)
    assert table.seat is not None
    assert (table.seat.waits, table.seat.running) == (False, False)


def test_a_simulated_engine_is_no_real_car() -> None:
    with pytest.raises(DiagnoseError, match="no real car"):
        PracticeTable().joined(Seat("kim", begun("igniter-flat", "spins-but-never-fires"))).started()
    with pytest.raises(DiagnoseError, match="no real car"):
        seated("kim").walked("1", "revs hang · step 1", runs=False)


def test_the_table_empties_one_by_one() -> None:
    table = seated("kim", "ana", "bo").turned_to(2).left()
    assert [seat.called for seat in table.seats] == ["kim", "bo"]
    assert table.seat == Seat("bo")
    assert table.left().left() == PracticeTable()
    assert PracticeTable().left() == PracticeTable()
