"""Where a screw stands: hours outwards from gently closed, from flush with the body, or measured with a caliper.

Twelve hours are one turn.
"""

from __future__ import annotations

from functools import lru_cache
from math import isfinite
from typing import Literal

from msgspec import Struct

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Screw
from diagnose.tune.mixture import PER_TURN

CountedFrom = Literal["closed", "flush", "caliper"]
"""What a depth is counted from, as `Depth.kind` has it."""

MOST_DEPTH = 72.0
"""Hours: at six turns out a needle is at the end of its thread. A judgement."""

PITCHES = (0.2, 1.5)
"""mm a turn, least and most: M2.5 has 0.45, M3 0.5, M3.5 0.6, M4 0.7."""


class Depth(Struct, frozen=True, omit_defaults=True):
    """Where a screw stands: hours outwards from a reference, which stays what it was recorded from.

    `closed`: from gently closed. `flush`: of the head from the body, sunk is negative. `caliper`: the same, measured
    in mm on a thread of `pitch` mm a turn. Raises `DiagnoseError` for what no screw can stand at.
    """

    hours: float
    kind: CountedFrom = "closed"
    pitch: float = 0.0

    def __post_init__(self) -> None:
        if not _fits(self.kind, self.hours):
            most = f"{MOST_DEPTH:g} hours ({MOST_DEPTH / PER_TURN:g} turns)"
            raise DiagnoseError(f"a screw stands 0 to {most} out from gently closed; {self.hours:g} can't be right")
        if self.kind == "caliper" and not PITCHES[0] <= self.pitch <= PITCHES[1]:
            thin, thick = PITCHES
            raise DiagnoseError(
                f"a thread has {thin:g} to {thick:g} mm a turn (M3: 0.5); {self.pitch:g} can't be right"
            )

    @property
    def mm(self) -> float:
        """The same in mm, for a depth measured with a caliper."""
        return self.hours / PER_TURN * self.pitch

    def moved(self, outwards: float) -> Depth | None:
        """Return the depth after so many hours outwards (inwards is negative); None where no screw can stand."""
        return _depth(round(self.hours + outwards, 6), self.kind, self.pitch)

    def since(self, before: Depth) -> float | None:
        """Return the hours outwards from `before` to here; None when the two have no reference in common."""
        same = (self.kind == "closed") == (before.kind == "closed")
        return round(self.hours - before.hours, 6) if same else None


def _fits(kind: CountedFrom, hours: float) -> bool:
    return (0.0 if kind == "closed" else -MOST_DEPTH) <= hours <= MOST_DEPTH


@lru_cache
def _depth(hours: float, kind: CountedFrom, pitch: float) -> Depth | None:
    """Return a depth, None where no screw can stand; kept, since a long ledger comes by the same few again."""
    return Depth(hours, kind, pitch) if _fits(kind, hours) else None


def closed(hours: float) -> Depth:
    """Return a depth counted in hours out from gently closed."""
    return Depth(hours)


def flush(hours: float, sunk: bool = False) -> Depth:
    """Return a depth in hours from where the screw's head is flush with the body."""
    return Depth(-_length(hours) if sunk else _length(hours), "flush")


def caliper(mm: float, pitch: float, sunk: bool = False) -> Depth:
    """Return a depth measured in mm from the body's face to the screw's head; hours = mm / pitch · 12."""
    if not (isfinite(pitch) and pitch > 0):
        raise DiagnoseError("a depth in mm needs the pitch of the thread, in mm a turn (M3: 0.5)")
    hours = round(_length(mm) / pitch * PER_TURN, 6)
    return Depth(-hours if sunk else hours, "caliper", pitch)


def _length(value: float) -> float:
    if not (isfinite(value) and value >= 0):
        raise DiagnoseError(
            f"a depth is a number, 0 or more; {value:g} can't be right. A head below the body is 'sunk'"
        )
    return value


Settings = dict[Screw, Depth]
