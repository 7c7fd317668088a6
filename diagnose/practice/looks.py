"""What a look is given to look at, and how far a look of each trust grade can be believed.

The tables beside this file (`looks_fuel`, `looks_engine`, `looks_car`, `looks_told`) say for each check what is there
to be seen, in the check's own answers and from the physical state alone. No probability of the knowledge is read.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal, NamedTuple

from diagnose.practice.parts import Parts, Screws
from diagnose.practice.running import Running, run
from diagnose.practice.symptoms import State, stage_reached, strengths

Grade = Literal["H", "M", "L"]

TRUST: dict[Grade, tuple[float, float]] = {"H": (0.95, 0.02), "M": (0.85, 0.05), "L": (0.65, 0.10)}
"""How often a look shows what is there, and how often something although it is not (design §6, fixed beforehand)."""


class Seen(NamedTuple):
    """Everything that a look may go by."""

    state: State
    running: Running
    parts: Parts
    screws: Screws
    record: Screws | None
    """The settings on record, which a count or a paint mark is held against."""
    complaint: str
    """The symptom that was reported: what a spare part is tried against."""
    stage: int
    """The first stage of running that fails; 5 when it runs."""

    def cured_with(self, parts: Parts) -> bool:
        """Say whether the complaint would be gone with these parts in the engine."""
        return strengths(self.state._replace(parts=parts)).get(self.complaint, 0.0) < 1


Found = tuple[object, str] | tuple[object, str, Grade]
"""Whether something is there to be seen (true or false), the answer that says so, and its grade if not the look's."""


class Look(NamedTuple):
    """One check: its grade of trust, what it can show (the plainest first), and how far the engine must run for it.

    `needs`: the stages (see `symptoms`) that must be passed before the look can be made at all.
    """

    grade: Grade
    finds: Callable[[Seen], list[Found]]
    needs: int = 0


class Gauge(NamedTuple):
    """A check that reads a number: its grade, the true value, what a sound engine reads, and the gauge's own spread."""

    grade: Grade
    reads: Callable[[Seen], float]
    sound: float
    spread: float
    needs: int = 0


RUNS = 5
"""The engine runs, and lasts."""
LIVES = 4
"""It runs by itself, if not for long."""
CATCHES = 3
"""It runs while the igniter is on."""
TURNS = 1
"""It can be turned."""


def seen(state: State, record: Screws | None, complaint: str) -> Seen:
    """Return what a look at this engine is given."""
    running = run(state.parts, state.screws, state.day, state.variant)
    return Seen(state, running, state.parts, state.screws, record, complaint, stage_reached(running, state.parts))
