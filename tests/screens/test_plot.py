"""The small plots made of text."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.screens.widgets import plot
from diagnose.tune.slope import Logged, learn
from diagnose.tune.trend import Point


def at(*hours: float, good: tuple[int, ...] = ()) -> list[Point]:
    return [Point(number, value, number in good) for number, value in enumerate(hours)]


def drift(*hours: float, width: int = 60, good: tuple[int, ...] = ()) -> list[str]:
    return plot.drift(at(*hours, good=good), width, lambda when: f"day {when}")


def test_the_line_goes_up_for_richer_and_marks_the_good_tunes() -> None:
    assert drift(0, 0.5, 0.5, -0.5, good=(2,)) == [
        "+0.5 │ ┌─●──g┐",
        "   0 ┼●┘     │",
        "-0.5 │       └─●",
        "      day 0   day 3",
    ]


def test_a_single_entry_has_one_date() -> None:
    assert drift(0) == ["   0 ┼●", "      day 0"]


def test_without_entries_there_is_no_line() -> None:
    assert drift() == []


def test_only_the_newest_entries_that_fit_are_shown() -> None:
    shown = drift(*[0.0] * 100, 1.0, width=36)
    assert shown[-1].split() == ["day", "91", "day", "100"]
    assert max(map(len, shown)) <= 36


@given(st.lists(st.floats(-72, 72), min_size=1, max_size=60), st.integers(20, 120))
def test_the_line_never_outgrows_its_room_and_shows_every_entry(hours: list[float], width: int) -> None:
    *rows, _ = drift(*hours, width=width)
    assert len(rows) <= plot.MOST_ROWS + 1
    assert all(len(row) <= width for row in rows)
    assert "".join(rows).count("●") == min(len(hours), (width - plot.LABEL) // plot.EACH)
    assert sum("┼" in row for row in rows) == 1


GOOD = [Logged(number, 1.1 + 0.02 * number, 3.0 + 0.03 * number) for number in range(6)]


def test_the_slope_shows_its_points_its_line_and_what_is_left_out() -> None:
    odd = Logged(9, 1.15, 4.5)
    shown = plot.slope([*GOOD, odd], learn([*GOOD, odd]), 70)
    text = "\n".join(shown)
    assert text.count("●") == len(GOOD)
    assert text.count("×") == 1
    assert "·" in text
    assert shown[-1].split() == ["1.090", "1.210", "kg/m³"]
    assert max(map(len, shown)) <= 70


@pytest.mark.parametrize("tunes", [[], GOOD[:1]])
def test_a_slope_of_fewer_than_two_tunes_is_not_drawn(tunes: list[Logged]) -> None:
    assert plot.slope(tunes, learn(tunes), 70) == []


@given(
    st.lists(st.builds(Logged, st.just(0.0), st.floats(0.8, 1.4), st.floats(0.1, 6)), min_size=2, max_size=12),
    st.integers(8, 120),
)
def test_no_log_breaks_the_plot_of_the_slope(tunes: list[Logged], width: int) -> None:
    shown = plot.slope(tunes, learn(tunes), width)
    assert not shown or {"●", "×"} & set("".join(shown))
