"""The parts of a car from the bottle to the wheels, and every way in which one fails: a row of the table each."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, field

from diagnose.graph.model.base import FormName, Model, Name, Short, Text

System = Literal[
    "fuel",
    "tank and lines",
    "carburettor",
    "air filter",
    "ignition",
    "engine",
    "exhaust",
    "mounting and cooling",
    "starting gear",
    "clutch",
    "driveline",
    "linkage",
    "radio",
    "storage",
]
"""The systems, in the order in which the table shows them."""

Failure = Literal["fails", "wears", "comes loose", "clogs", "fitted wrongly", "set wrongly", "wrong kind"]

ShowsWhen = Literal[
    "cold",
    "hot",
    "wet",
    "cranking",
    "idling",
    "loaded",
    "full-flow",
    "under-pressure",
    "shaken",
    "braked",
    "tank-low",
    "rebuilt",
    "far-away",
]
"""Under what a failing shows. `rebuilt`: since it was last put together, or a part was renewed."""


class EnginePart(Model, frozen=True):
    """A part of the car, or something that it lives on."""

    name: Short
    system: System
    does: Text


class Failing(Model, frozen=True, kw_only=True):
    """One way in which a part fails. The fault stands for it, or `because` says why none does."""

    part: Name
    way: Failure
    fails: Text
    """What has happened to it, after its name: 'is cut, and leaks'."""
    fault: FormName | None = None
    """The fault; or, where the row is one of its forms, fault.form."""
    because: Text | None = None
    symptoms: Annotated[tuple[Name, ...], Meta(min_length=1, max_length=12)]
    when: tuple[ShowsWhen, ...] = ()
    """The conditions under which it shows; none when it always does."""
    seen: Short = field(name="seen by")
    look: Name | None = None
    """The first look that sees it there, or the strip-down where there is none; a form may say why nothing does."""
    taken_for: Short = field(name="taken for")
    """The fault that it is mistaken for, or a few words."""
