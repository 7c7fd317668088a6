"""Every kind of sheet that the program prints, made of the shipped knowledge and of an invented car."""

from __future__ import annotations

from shipped import load

from diagnose.graph.model import Variant
from diagnose.pages import hazards
from diagnose.pages.car import car_page
from diagnose.pages.car_sheet import car_sheet
from diagnose.pages.card import card
from diagnose.pages.lesson_sheet import lesson_answers, lesson_sheet
from diagnose.pages.preparation import ticked
from diagnose.pages.report import report
from diagnose.paper.sheet import Sheet, html
from diagnose.reason import events as ev
from diagnose.reason.carry import Outing
from diagnose.reason.walk import Walk, begin
from diagnose.record.engines import Engine
from diagnose.record.notes import KeptNote
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Baseline, Good, Ledger, closed, fold
from diagnose.tune.window import Window
from diagnose.workshop.came_to import car_outing
from diagnose.workshop.car import KnownCar

KNOWLEDGE = load()
LONGEST = "stops-at-random"
"""Of the symptoms, the one with the most looks."""
MADE = "Made on a day, with a version."
WARM = Conditions(Air(24, 100_400, 0.55), Blend(0.16, 0.10), 98)


def walked(symptom: str = LONGEST, engine: str = "") -> Walk:
    """Return a walk that was begun and left after its first look."""
    walk = begin(KNOWLEDGE, ev.Started(0, KNOWLEDGE.digest, symptom, engine, Variant()))
    guard = walk.scope.guards[0]
    return walk.plus(ev.Answered(60, guard, walk.scope.checks[guard].healthy))


def ledger() -> Ledger:
    """Return what is written down of an engine with every screw counted."""
    counted = {"low needle": 14, "mid needle": 20, "high needle": 36, "idle stop": 8}
    return fold((Baseline(0, {screw: closed(hours) for screw, hours in counted.items()}), Good(1, WARM)))  # type: ignore[misc]


def car(name: str = "blue truggy", note: str = "new bell, 14 teeth") -> str:
    """Return the sheet of a car with a walk that is open, a tune and a note."""
    walk = walked(engine=name)
    outing = car_outing(Outing("one", walk, 60))
    known = KnownCar(Engine(name), ledger(), None, (outing,), (KeptNote(0, 0, note),), walk.view(60).owed, ())
    page = car_page(known, KNOWLEDGE, "a command")
    return html(Sheet(name, car_sheet(page, known, KNOWLEDGE, WARM, Window(82, 104)), MADE))


def sheets() -> dict[str, str]:
    """Return the longest of each kind of sheet as a document, by what it is."""
    return {
        "card": html(Sheet("a card", card(walked(), 60), MADE)),
        "before the race": html(Sheet("a round", ticked(KNOWLEDGE, "before-the-heat"), MADE)),
        "put it away": html(Sheet("a round", ticked(KNOWLEDGE, "put-it-away"), MADE)),
        "emergency": html(Sheet(hazards.URGENT, hazards.emergency(KNOWLEDGE), MADE, columns=True)),
        "outing": html(Sheet("an outing", report(walked(), 60, WARM, ledger()), MADE)),
        "car": car(),
        "lesson": html(Sheet("a lesson", lesson_sheet(KNOWLEDGE, "better-and-not-gone"), MADE)),
        "answers": html(Sheet("the answers", lesson_answers(KNOWLEDGE, "better-and-not-gone"), MADE)),
    }
