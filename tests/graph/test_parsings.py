"""What was parsed is kept by its text: the same text comes to the same, and nothing else is taken for it."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.running import write
from graph.knowledge_files import FILES

from diagnose.graph import parsings
from diagnose.graph.load import PARSED, read_only
from diagnose.graph.parsings import Parsings
from diagnose.graph.places import parse
from diagnose.graph.problem import KnowledgeError

TEXTS = [text for text in FILES.values() if isinstance(text, str)]


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder for the cache, above a small knowledge."""
    folder = write(tmp_path / "shipped", FILES)
    monkeypatch.setattr("diagnose.graph.load.home", lambda: folder)
    return tmp_path / "cache"


@pytest.mark.parametrize("text", TEXTS)
def test_what_is_kept_comes_to_the_same_data_at_the_same_places(text: str) -> None:
    first = Parsings()
    first.parse("one.yaml", text)
    assert first.new
    kept = Parsings(first.used)
    assert kept.parse("other.yaml", text) == parse("other.yaml", text)
    assert not kept.new


def test_what_is_kept_is_not_parsed_again_and_what_is_taken_out_of_it_is_still_kept(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    first = Parsings()
    first.parse("one.yaml", TEXTS[0])
    monkeypatch.setattr(parsings, "parse", None)  # calling it would raise
    kept = Parsings(first.used)
    taken = kept.parse("one.yaml", TEXTS[0]).data
    assert isinstance(taken, dict)
    taken.clear()
    assert kept.parse("one.yaml", TEXTS[0]).data


def test_a_file_with_a_problem_is_told_each_time() -> None:
    found = Parsings()
    assert found.parse("one.yaml", "a: &b c").problems
    assert not found.new
    assert found.parse("one.yaml", "a: &b c").problems


def test_a_second_reading_is_the_first_one_whatever_became_of_the_cache(cache: Path) -> None:
    first = read_only((), cache)
    assert (cache / PARSED).is_file()
    assert read_only((), cache) == first
    (cache / PARSED).write_bytes((cache / PARSED).read_bytes()[:-1])
    assert read_only((), cache) == first


def test_an_entry_that_was_changed_is_read_anew_and_a_slip_in_it_is_told(cache: Path, tmp_path: Path) -> None:
    own = write(
        tmp_path / "own", {"faults.yaml": "format: 1\npressure-line-off: {keep the rest: true, name: line off}\n"}
    )
    assert read_only((own,), cache).faults["pressure-line-off"].name == "line off"
    write(own, {"faults.yaml": "format: 1\npressure-line-off: {keep the rest: true, name: line split}\n"})
    assert read_only((own,), cache).faults["pressure-line-off"].name == "line split"
    write(own, {"faults.yaml": "format: 1\npressure-line-off: {keep the rest: true, nam: line split}\n"})
    with pytest.raises(KnowledgeError, match="did you mean 'name'"):
        read_only((own,), cache)
