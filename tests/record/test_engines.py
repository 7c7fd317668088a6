"""The engines that a person has told the program about."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Variant
from diagnose.record.engines import LONGEST, STREAM, Engine, add, added, engines, unread
from diagnose.record.journal import Journal


def test_an_engine_comes_back_with_all_that_was_told() -> None:
    told = Engine(
        "blue truggy",
        Variant(needles=2, starter="pull", run_in=False, own={"head-ceiling": 110.0}),
        {"low needle": 24.0, "idle stop": 0.5},
        "new pipe\nsince May",
    )
    with Journal.in_memory() as journal:
        assert add(journal, told, 1.0) == told
        add(journal, Engine("red"), 2.0)
        assert engines(journal) == {"blue truggy": told, "red": Engine("red")}
        assert list(engines(journal)) == ["blue truggy", "red"]


@pytest.mark.parametrize("again", ["blue truggy", "Blue  TRUGGY ", "ｂlue truggy"])
def test_a_name_is_taken_once_however_it_is_written(again: str) -> None:
    with Journal.in_memory() as journal:
        add(journal, Engine(" blue  truggy"), 1.0)
        with pytest.raises(DiagnoseError, match="already"):
            add(journal, Engine(again), 2.0)
        assert list(engines(journal)) == ["blue truggy"]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("", "needs a name"),
        (" \n\t ", "needs a name"),
        ("x" * (LONGEST + 1), "41 characters"),
        ("a\x00b", "can't be shown"),
        ("a\x1b[2Jb", "can't be shown"),
        ("a\u202eb", "can't be shown"),
        ("a\u200bb", "can't be shown"),
        ("a\ud800b", "can't be shown"),
    ],
)
def test_a_name_that_cant_be_shown_is_refused(name: str, said: str) -> None:
    with Journal.in_memory() as journal:
        with pytest.raises(DiagnoseError, match=said):
            add(journal, Engine(name), 1.0)
        assert journal.read(STREAM) == []


@pytest.mark.parametrize(
    "engine",
    [
        Engine("a", settings={"low needle": math.nan}),
        Engine("a", settings={"low needle": math.inf}),
        Engine("a", settings={"high needle": -1.0}),
        Engine("a", Variant(own={"head-ceiling": math.nan})),
        Engine("a", notes="\udcff"),
    ],
)
def test_what_could_not_be_read_again_is_not_written(engine: Engine) -> None:
    with Journal.in_memory() as journal:
        with pytest.raises(DiagnoseError):
            add(journal, engine, 1.0)
        assert journal.read(STREAM) == []


@given(name=st.text(max_size=45), notes=st.text(st.characters(codec=None), max_size=30))
def test_any_engine_that_is_taken_is_found_under_its_name(name: str, notes: str) -> None:
    with Journal.in_memory() as journal:
        try:
            made = add(journal, Engine(name, notes=notes), 1.0)
        except DiagnoseError:
            assert engines(journal) == {}
        else:
            assert engines(journal) == {made.name: made}
            assert made.name.isprintable()
            assert 1 <= len(made.name) <= LONGEST


def test_an_engine_that_another_window_added_meanwhile_is_looked_at_too(monkeypatch: pytest.MonkeyPatch) -> None:
    append, others = Journal.append, ["red", "Blue"]

    def late(self: Journal, stream: str, expected: int, bodies: Sequence[str], at: float) -> int:
        if others:
            append(self, stream, expected, [f'{{"name":"{others.pop(0)}"}}'], at)
        return append(self, stream, expected, bodies, at)

    with Journal.in_memory() as journal:
        monkeypatch.setattr(Journal, "append", late)
        with pytest.raises(DiagnoseError, match="already"):
            add(journal, Engine("blue"), 1.0)
        assert list(engines(journal)) == ["red", "Blue"]
        others.append("green")
        add(journal, Engine("white"), 1.0)
        assert list(engines(journal)) == ["red", "Blue", "green", "white"]


@pytest.mark.parametrize("body", ["", "[]", '{"name": 3}', '{"name": "a", "settings": {"low needle": null}}'])
def test_a_record_that_is_none_blocks_no_other(body: str) -> None:
    with Journal.in_memory() as journal:
        add(journal, Engine("red"), 1.0)
        journal.append(STREAM, 1, [body], 2.0)
        add(journal, Engine("blue"), 3.0)
        assert list(engines(journal)) == ["red", "blue"]
        assert added(journal, "blue") == 3.0
        assert unread(journal) == 1


def test_an_engine_with_two_needles_has_no_mid_needle_to_record() -> None:
    with Journal.in_memory() as journal, pytest.raises(DiagnoseError, match="no mid needle"):
        add(journal, Engine("red", Variant(needles=2), {"mid needle": 9.0}), 1.0)
