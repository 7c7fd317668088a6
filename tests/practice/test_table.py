"""The table: up to six learners, and only one real engine that runs."""

from __future__ import annotations

import pytest
from practice.test_lesson import begun

from diagnose.errors import DiagnoseError
from diagnose.practice.table import MOST, Seat, Table


def seated(*names: str) -> Table:
    table = Table()
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


def test_of_real_cars_only_one_engine_runs() -> None:
    table = seated("kim", "ana").started()
    with pytest.raises(DiagnoseError, match="that of ana is running"):
        table.turned_to(1).started()
    stopped = table.stopped().turned_to(1).started()
    assert [seat.running for seat in stopped.seats] == [True, False]


def test_a_seat_with_a_running_engine_is_not_left_or_taken() -> None:
    table = seated("kim").started()
    with pytest.raises(DiagnoseError, match="stop it first"):
        table.left()
    with pytest.raises(DiagnoseError, match="stop it first"):
        table.joined(Seat("kim"))


def test_a_simulated_engine_is_no_real_car() -> None:
    with pytest.raises(DiagnoseError, match="no real car"):
        Table().joined(Seat("kim", begun("igniter-flat", "spins-but-never-fires"))).started()


def test_the_table_empties_one_by_one() -> None:
    table = seated("kim", "ana", "bo").turned_to(2).left()
    assert [seat.called for seat in table.seats] == ["kim", "bo"]
    assert table.seat == Seat("bo")
    assert table.left().left() == Table()
    assert Table().left() == Table()
