"""The screens on a small knowledge, with a clock that stands still and no home directory."""

from __future__ import annotations

import os

os.environ["COLORTERM"] = "truecolor"
os.environ.pop("NO_COLOR", None)

from collections.abc import Iterator
from pathlib import Path

import pytest
from graph.knowledge_files import FILES
from screens.hands import Clock, Make, quiet
from shipped import load
from syrupy.assertion import SnapshotAssertion
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode

from diagnose.graph.model import Knowledge
from diagnose.graph.read import read
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.screens.app import NeedlesLast
from diagnose.workshop.session import Session

FACTS = """\
head-ceiling: {value: 220, unit: °F, provenance: "common practice, no source"}
head-come-in: {value: 250, unit: °F, provenance: "common practice, no source"}
head-stop: {value: 270, unit: °F, provenance: "common practice, no source"}
warm-enough-to-look: {value: 70, unit: °C, provenance: from memory}
needle-step-minutes: {value: 1, unit: min, provenance: from memory}
close-up-minutes: {value: 2, unit: min, provenance: from memory}
drop-gone: {range: [2, 5], unit: s, provenance: from memory}
"""


class Screenful(SingleFileSnapshotExtension):
    """A snapshot that reads like the screen."""

    file_extension = "txt"
    _write_mode = WriteMode.TEXT


@pytest.fixture
def screenful(snapshot: SnapshotAssertion) -> SnapshotAssertion:
    return snapshot.use_extension(Screenful)


@pytest.fixture(autouse=True)
def _apart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A data directory of the test's own."""
    monkeypatch.setenv("DIAGNOSE_HOME", str(tmp_path / "home"))


@pytest.fixture(autouse=True)
def _quick_hands(monkeypatch: pytest.MonkeyPatch) -> None:
    """The hands of a test are quicker than a person's: what they press twice is meant twice."""
    monkeypatch.setattr("diagnose.screens.ahead.TWICE", 0.0)


@pytest.fixture(autouse=True)
def _no_idle_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    """The pilot waits till nothing is left to do. By itself it watches for 20 ms, three times a key, how busy it is."""
    monkeypatch.setattr("textual.app.wait_for_idle", quiet)
    monkeypatch.setattr("textual.pilot.wait_for_idle", quiet)


@pytest.fixture(scope="session")
def small() -> Knowledge:
    return read({**FILES, "facts.yaml": FILES["facts.yaml"] + FACTS}).knowledge


@pytest.fixture(scope="session")
def shipped() -> Knowledge:
    return load()


@pytest.fixture
def make(small: Knowledge, tmp_path: Path) -> Iterator[Make]:
    """Make an app on a fresh journal in a file, with one engine unless told otherwise."""
    made: list[Session] = []

    def app(symptom: str = "", *, knowledge: Knowledge = small, engine: str | None = "blue truggy") -> NeedlesLast:
        session = Session(knowledge, Journal.open(tmp_path / "home" / "journal.sqlite3"), Clock())
        if engine is not None and engine not in session.engines():
            session.add_engine(Engine(engine))
        made.append(session)
        return NeedlesLast(session, symptom)

    yield app
    for session in made:
        session.journal.close()
