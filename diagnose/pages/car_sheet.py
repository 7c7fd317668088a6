"""A car's page on paper, for whoever helps at the pit: what counts today stands first, with room to write."""

from __future__ import annotations

from itertools import chain

from diagnose.graph.model import Knowledge
from diagnose.pages import conditions, hazards
from diagnose.pages.parts import Field, Heading, Line, Page
from diagnose.tune.mixture import Conditions
from diagnose.tune.window import Window
from diagnose.workshop.car import KnownCar

NO_DAY = "Nothing is noted of this day or of the fuel yet."
LOCKED = "No needle is turned before all that is owed is ticked."


def car_sheet(page: Page, car: KnownCar, known: Knowledge, today: Conditions, window: Window) -> Page:
    """Return a car's page with today's air, fuel and head above it, blanks for what is changed, and what to beware of.

    `window`: between which head temperatures its screws are turned.
    """
    looks = [known.checks[one.check] for one in car.owed]
    beware = tuple(chain(*(look.cautions for look in looks)))
    return (
        *hazards.named(beware, known),
        Heading("today"),
        *(conditions.day(today) or (Line(NO_DAY),)),
        Line(f"Its screws are turned with the head at {window.says()} only. {LOCKED}"),
        *(Field(asked, asked) for asked in ("Head now", "Plug in it", "Fuel in it", "What we changed")),
        *page,
        *((Heading("beware"), *hazards.side_by_side(beware, known, car.engine.variant)) if beware else ()),
    )
