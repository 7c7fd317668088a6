"""What the practice bench knows of a fault and of a check: how it acts on the parts, and what is there to be seen.

No probability of the knowledge is in these files: they are what the knowledge is held against.
"""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, field

from diagnose.graph.model.base import Model, Name, Text

Trust = Literal["H", "M", "L"]
Stage = Literal["turns", "fires", "catches", "lives", "runs"]
"""How far the engine must come, each further than the one before."""

Mode = dict[Name, Annotated[tuple[float, float], Meta(description="at the mildest, and at the worst")]]
Limits = dict[Name, float]


class SimulatedFault(Model, frozen=True):
    """How a fault acts on the simulated engine."""

    often: Annotated[int, Meta(ge=1, le=4, description="how often it is drawn: 1 rare, 4 common")]
    comes: Literal["suddenly", "slowly"]
    modes: Annotated[
        tuple[Mode, ...],
        Meta(min_length=1, max_length=8, description="equally likely; each part, or each screw in hours"),
    ]
    forms: Annotated[tuple[Name, ...], Meta(description="the form that each mode is, in order")] = ()
    """Then a mode is drawn by the share of its form."""
    ruin: Annotated[Literal[1, 2] | None, Meta(description="running far too lean does it: 1 first, 2 then")] = None
    renews: Annotated[tuple[Name, ...], Meta(description="what its mend makes sound beside the parts above")] = ()


class Further(Model, frozen=True):
    """What must hold too."""

    above: Limits = {}
    below: Limits = {}


class Sign(Model, frozen=True):
    """One answer, and what shows it: any of the limits passed, and any of those of `and`."""

    answer: Name
    above: Limits = {}
    below: Limits = {}
    symptom: Annotated[Name, Meta(description="the answer is there when this symptom shows")] | None = None
    and_: Further | None = field(default=None, name="and")
    trust: Trust | None = None


class Gauge(Model, frozen=True):
    """A number that is read: of what, what a sound engine reads, and the gauge's own spread."""

    of: Name
    sound: float
    spread: Annotated[float, Meta(ge=0, le=100)]


class SimulatedCheck(Model, frozen=True):
    """What is there to be seen at a check, the plainest first; nothing of it is the healthy answer."""

    trust: Trust
    shows: tuple[Sign, ...] = ()
    reads: Gauge | None = None
    fits: Annotated[tuple[Name, ...], Meta(description="fresh parts, fitted to try them; they stay in")] = ()
    needs: Stage | None = None
    record: Annotated[bool, Meta(description="it is held against the record")] = False
    unrecorded: Annotated[tuple[Name, ...], Meta(description="the answers that are seen without a record too")] = ()


class Exceptions(Model, frozen=True):
    """Complaints on which the simulated engine and what a fault explains differ, and why that is right."""

    listed: Annotated[bool, Meta(description="true: the knowledge lists them, and the engine does not show them")]
    because: Text
    of: Annotated[dict[Name, tuple[Name, ...]], Meta(min_length=1, description="the symptoms, by fault")]
