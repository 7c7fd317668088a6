"""At a terminal, what was typed before a question was asked does not answer it."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from cli.running import Diagnose

from diagnose.commands.prompt import drop_typed_ahead, typed_line


@pytest.fixture
def keyboard(monkeypatch: pytest.MonkeyPatch) -> Iterator[int]:
    """A terminal at which somebody types; what is written here is typed."""
    theirs, ours = os.openpty()
    with os.fdopen(ours) as stdin:
        monkeypatch.setattr(sys, "stdin", stdin)
        yield theirs
    os.close(theirs)


def test_what_was_typed_ahead_is_dropped_at_a_terminal(keyboard: int) -> None:
    os.write(keyboard, b"1\n2\n")
    drop_typed_ahead()
    os.write(keyboard, b"3\n")
    assert typed_line() == "3"


def test_each_question_drops_it_once_it_is_asked(diagnose: Diagnose, monkeypatch: pytest.MonkeyPatch) -> None:
    dropped: list[bool] = []
    monkeypatch.setattr("diagnose.commands.plain.drop_typed_ahead", lambda: dropped.append(True))
    diagnose("walk", "revs-hang", "--plain", typed="\nnonsense\n1\n")
    assert len(dropped) == 3


def test_a_pipe_is_read_as_it_comes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "typed").write_text("1\n2\n")
    with (tmp_path / "typed").open() as stdin:
        monkeypatch.setattr(sys, "stdin", stdin)
        drop_typed_ahead()
        assert [typed_line(), typed_line()] == ["1", "2"]
