"""The states of the engine on the bench, and how to bring one about."""

from __future__ import annotations

from msgspec import field

from diagnose.graph.model.base import BenchState, Model, Name, Number, Short, Steps, Work

CLOSE = "close-up"
"""The preparation that closes whatever is open: the walk asks for it before the engine is cranked or run."""


class Preparation(Work, frozen=True):
    """A state that a step demands, and how to bring it about."""

    name: Short
    do: Steps
    minutes: Number
    state: BenchState
    cautions: tuple[Name, ...] = ()
    tools: tuple[Short, ...] = ()
    head: bool = False
    """True when it ends in a head reading."""
    back: bool = False
    """True when it goes back to the recorded settings."""
    implies: dict[Name, Name] = {}
    """What it tells of checks once it is ready: check, its answer."""
    looks: tuple[Name, ...] = ()
    """Checks that are ticked with it, in the order of the hands, each by itself."""
    on_its_own: bool = field(default=False, name="on its own")
    """True when no route asks for it: ``diagnose prepare`` shows it."""


class Opening(Model, frozen=True):
    """A part that a step takes off or opens. It is closed before the engine is cranked or run."""

    name: Short
    open: Short
    """It while it is open, for a list: "the plug is out"."""
    close: Short
    """It once it is closed, for a list: "plug in and snug"."""
    also: tuple[str, ...] = ()
    """What else the texts call it."""
    said: tuple[str, ...] = ()
    """What else a text says where it is opened."""
    state: BenchState | None = None
    """The bench state that it is taken off for."""
    guarded: bool = False
    """True when the guards look at what hangs on it: both are owed again once it was off."""
    engine: bool = False
    """True when the engine itself is open without it: no one look is enough to take it off."""


class BenchMinutes(Model, frozen=True):
    """The minutes to get into a bench state and out of it again."""

    into: Number
    out: Number
    say: Short
