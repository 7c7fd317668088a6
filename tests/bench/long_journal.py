"""What a journal of 100,000 events costs over an empty one: home, the start of a walk, a car's page, and a search."""

from __future__ import annotations

import itertools
import random
import statistics
import time
from collections.abc import Callable
from pathlib import Path

import msgspec

from diagnose.graph.model import Knowledge, Variant
from diagnose.pages.car import car_page
from diagnose.reason import events as ev
from diagnose.reason.case_names import CaseAnswer
from diagnose.reason.play import play, usual
from diagnose.reason.view import Step
from diagnose.reason.walk import Walk, begin
from diagnose.record.engines import Engine, add
from diagnose.record.journal import Journal
from diagnose.workshop.car import car
from diagnose.workshop.session import Session
from diagnose.workshop.sought import WalkSought, find

EVENTS = 100_000
CARS = 12
HOUR = 3600.0
SHOWN = 40
"""Walks that a search shows."""
BEGUN = 1_700_000_040.0
"""A whole minute."""
EACH = 4
"""Walks of each symptom, each another one."""
STRANGE = 0.2
"""The share of looks that come out in any way: some walks find something and mend it, some turn a screw."""


def walks(known: Knowledge) -> list[tuple[ev.Event, ...]]:
    """Return the events of walks of each symptom, as they would be stored."""
    found = []
    for number, symptom in enumerate(list(known.symptoms) * EACH):
        dice = random.Random(number)

        def answer(_: Walk, step: Step, dice: random.Random = dice) -> CaseAnswer | None:
            said = [choice.id for choice in step.choices]
            if step.kind not in ("ask", "recheck"):
                return "cured" if "cured" in said else usual(step)
            return dice.choice(said) if dice.random() < STRANGE else known.checks[step.id].healthy

        walk = begin(known, ev.Started(BEGUN, known.digest, symptom, "", Variant()))
        for made in play(walk, answer, BEGUN / 60):
            walk = made.walk
        found.append((*walk.events, *([] if walk.verdict() else [ev.Ended(walk.events[-1].at + 60)])))
    return found


def filled(known: Knowledge, path: Path, events: int) -> None:
    """Fill a journal with cars, and their walks, two hours apart."""
    made = itertools.cycle(walks(known))
    with Journal.open(path) as journal:
        for number in range(CARS):
            add(journal, Engine(f"car {number}"), BEGUN)
        stored = 0
        for number in itertools.count() if events else ():
            if stored >= events:
                break
            later = number * 2 * HOUR
            walk = [msgspec.structs.replace(event, at=event.at + later) for event in next(made)]
            assert isinstance(walk[0], ev.Started)
            walk[0] = msgspec.structs.replace(walk[0], engine=f"car {number % CARS}")
            bodies = [ev.to_json(event) for event in walk]
            journal.append(f"outing/{number:06}", 0, bodies, walk[-1].at)
            stored += len(bodies)


def milliseconds(known: Knowledge, folder: Path, runs: int = 9) -> dict[str, float]:
    """Return what each costs over an empty journal: median ms of processor time, in turns, each on a fresh session."""
    paths = {"empty": folder / "empty.sqlite3", "long": folder / "long.sqlite3"}
    filled(known, paths["empty"], 0)
    filled(known, paths["long"], EVENTS)
    figures: dict[str, float] = {}
    at = BEGUN + 10 * 365 * 24 * HOUR
    for name, do in DONE.items():
        taken: dict[str, list[float]] = {which: [] for which in paths}
        for run in range(-1, runs):
            for which, path in paths.items():
                with Journal.open(path) as journal:
                    session = Session(known, journal, lambda: at)
                    before = time.process_time()
                    do(session)
                    if run < 0 and which == "long":
                        figures[f"{name}, 100,000 events, first time, ms"] = 1000 * (time.process_time() - before)
                    elif run >= 0:
                        taken[which].append(1000 * (time.process_time() - before))
        empty, long = (statistics.median(taken[which]) for which in paths)
        figures[f"{name}, empty, ms"], figures[f"{name}, more with 100,000 events, ms"] = empty, long - empty
    return figures


def _home(session: Session) -> None:
    session.last_engine()
    session.left()
    session.rows()


def _start(session: Session) -> None:
    session.start("revs-hang", session.engine("car 0"))


def _page(session: Session) -> None:
    car_page(car(session, "car 0"), session.knowledge, "")


def _search(session: Session) -> None:
    session.came_to(find(session, WalkSought("car loose"))[:SHOWN])


def _one(session: Session) -> None:
    rows = session.rows()
    if rows:
        session.outing_called(rows[len(rows) // 2].id)


DONE: dict[str, Callable[[Session], object]] = {
    "home": _home,
    "walk start": _start,
    "car's page": _page,
    "search": _search,
    "one walk": _one,
}
