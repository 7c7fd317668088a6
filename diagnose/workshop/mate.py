"""A mate at the car, who ticks on a phone what the driver's walk owes: how the bench and the phone know each other."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from diagnose.workshop.session import Session


class MateSaid(NamedTuple):
    """What a mate sent about a check: that it is as it should be, or that it is not."""

    check: str
    so: bool


class Invited(NamedTuple):
    """Where a mate comes in, and what the bench does with it."""

    outing: str
    """The walk that it is for."""
    address: str
    code: str
    picture: tuple[str, ...]
    """The code for cameras in rows of half blocks: a block is light, a space is dark."""
    moved: Callable[[], None]
    """Tells the phones that the walk has moved on."""
    end: Callable[[], None]
    """Lets nobody in any more."""


class DriversBench(NamedTuple):
    """The bench that a mate is let in at."""

    session: Session
    told: Callable[[MateSaid], object]
    """Is called with what he says, once it is stored."""
    led: Callable[[], bool]
    """Says whether the driver is led, one thing at a time: then nobody is asked what happened before."""


Inviting = Callable[[DriversBench], Invited]
"""Lets a mate in at the walk at hand. Raises `DiagnoseError`."""
