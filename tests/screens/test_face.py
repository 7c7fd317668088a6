"""The twelve-hour face of a screw."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.screens.widgets.face import WIDTH, Mark, dial, side_by_side

HOURS = st.floats(-72, 72)


@pytest.mark.parametrize(
    ("hours", "pointed"),
    [
        (0, "(12)"),
        (1, "(11)"),
        (2, "(10)"),
        (3, "(9)"),
        (6, "(6)"),
        (9, "(3)"),
        (11, "(1)"),
        (12, "(12)"),
        (38, "(10)"),
        (0.5, "(11½)"),
        (38.5, "(9½)"),
        (11.5, "(12½)"),
        (-1, "(1)"),
        (-2.5, "(2½)"),
    ],
)
def test_the_hand_goes_to_the_left_as_the_screw_goes_out(hours: float, pointed: str) -> None:
    assert pointed in "\n".join(dial(hours))


def test_the_last_good_tune_and_the_baseline_are_marked_beside_their_hours() -> None:
    assert dial(38, [Mark(37, "g"), Mark(33.5, "b")]) == [
        "       12        ",
        "   g11       1   ",
        "(10)  ╲      2½b ",
        " 9     ─●      3 ",
        " 8             4 ",
        "   7         5   ",
        "        6        ",
    ]


def test_marks_that_fall_together_share_their_hour() -> None:
    assert dial(38, [Mark(38, "g"), Mark(26, "b")])[2].startswith("gb(10)")
    assert dial(38, [Mark(37.5, "g")])[2].startswith("(10) g10½")


def test_a_screw_that_nobody_counted_has_no_hand() -> None:
    shown = "\n".join(dial(None))
    assert "(" not in shown
    assert not set("│╱╲─") & set(shown)


@given(HOURS | st.none(), st.lists(st.tuples(HOURS, st.sampled_from("gb")), max_size=2, unique_by=lambda one: one[1]))
def test_a_face_keeps_its_size_and_all_its_hours_and_marks(now: float | None, marks: list[tuple[float, str]]) -> None:
    shown = dial(now, [Mark(*one) for one in marks])
    assert [len(row) for row in shown] == [WIDTH] * 7
    text = "\n".join(shown)
    assert all(str(hour) in text for hour in range(1, 13))
    assert all(sign in text for _, sign in marks)
    assert text.count("(") == (now is not None)


@pytest.mark.parametrize(("width", "rows"), [(114, 1), (74, 1), (38, 2), (20, 4)])
def test_faces_stand_beside_each_other_where_there_is_room(width: int, rows: int) -> None:
    shown = side_by_side([dial(hours) for hours in range(4)], width, "  ")
    assert len(shown) == rows * 8 - 1
    assert max(map(len, shown)) <= width
