"""One person with one engine, on the shipped knowledge."""

from __future__ import annotations

import pytest
from screens.hands import Clock
from shipped import load
from workshop.hours import BLUE

from diagnose.graph.model import Knowledge
from diagnose.record.engines import Engine
from diagnose.record.journal import Journal
from diagnose.workshop.session import Session


@pytest.fixture(scope="module")
def known() -> Knowledge:
    return load()


@pytest.fixture
def session(known: Knowledge) -> Session:
    made = Session(known, Journal.in_memory(), Clock())
    made.add_engine(Engine(BLUE, settings={"low needle": 14.0, "high needle": 36.0}))
    return made
