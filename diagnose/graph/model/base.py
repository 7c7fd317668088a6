"""What the kinds of file share: plain types with their limits, and the engines that an item is for."""

from __future__ import annotations

import atexit
import gc
from collections.abc import Iterable, Iterator
from itertools import product
from typing import Annotated, Literal

from msgspec import Meta, Struct, field

# nothing is collected as the interpreter ends: msgspec 0.19 to 0.22 now and then crash there, freeing types it has read
atexit.register(gc.freeze)

FORMAT = 1
"""The format number that every knowledge file carries."""

NAME = r"^[a-z0-9][a-z0-9']*([ -][a-z0-9']+)*$"
Name = Annotated[str, Meta(pattern=NAME, max_length=60, description="lower-case words joined by hyphens or spaces")]
FORM_NAME = f"{NAME[:-1]}(\\.{NAME[1:-1]})?$"
FormName = Annotated[str, Meta(pattern=FORM_NAME, max_length=121, description="a fault, or fault.form")]
Text = Annotated[str, Meta(min_length=1, max_length=1200, description="plain text; <fact-id> quotes a number")]
Short = Annotated[str, Meta(min_length=1, max_length=80, description="a few words")]
Steps = Annotated[tuple[Text, ...], Meta(min_length=1, max_length=8, description="steps, in order")]
Number = Annotated[
    float, Meta(description="a number, or the id of a fact", extra_json_schema={"type": ["number", "string"]})
]
"""In a file this may be the id of a fact; the reader has put the fact's value in its place."""
Probability = Annotated[float, Meta(ge=0, le=1, description="a probability, 0 to 1")]
Weight = Annotated[
    float, Meta(gt=0, le=40, description="how often, by judgement: 1 to 10, up to 40 for what dominates a symptom")
]

Screw = Literal["low needle", "mid needle", "high needle", "idle stop"]
Setting = Literal["rich", "lean", "open", "shut", "off"]
Way = Literal["leaner", "richer", "in", "out"]
BenchState = Literal["parked", "plug out", "running on the stand", "warm", "on the track", "cooling", "stripped"]
EngineState = Literal["off", "cranking", "running"]
"""What the engine does during a step."""
LookKind = Literal["first", "strip"]
GoodFor = Literal["start", "tank", "outing", "day"]
Guard = Literal["barrel", "fail-safe"]
Grounding = Literal[
    "the throttle does not shut",
    "the fail-safe does not shut it",
    "fuel leaks",
    "the engine is locked",
    "knock or grit",
    "a loose flywheel or wheel",
    "the head is above its stop temperature",
    "the radio's battery is not safe",
]
Starter = Literal["box", "pull", "electric"]


def signed(way: Way, hours: float) -> float:
    """Return hours with their sign: richer and in are positive, leaner and out negative. Signed hours add up."""
    return hours if way in ("richer", "in") else -hours


FREE_HOURS, FURTHEST = 1.0, 2.0
"""A needle goes this far without a strip-down, and this far at all."""

RUNNING: frozenset[str] = frozenset({"running on the stand", "warm", "on the track"})
"""The bench states in which the engine runs: both guards come first."""


class Model(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """The base of everything that stands in a file."""


class Work(Model, frozen=True, kw_only=True):
    """What a step does to the car, whatever it asks or mends."""

    state: BenchState = "parked"
    takes_off: tuple[Name, ...] = field(default=(), name="takes off")
    """The openings that it leaves open, unless it puts them back."""
    puts_back: tuple[Name, ...] = field(default=(), name="puts back")
    """The openings that are closed when it is done, whoever opened them."""
    may_be_open: dict[Name, Text] = field(default={}, name="may be open")
    """The openings that may be open while it cranks or runs the engine, and why."""
    cranks: bool = False
    """True when the starter turns the engine, and it must not fire."""

    def open_after(self, before: Iterable[str]) -> tuple[str, ...]:
        """Return what is open once it is done, oldest first."""
        return tuple(part for part in dict.fromkeys((*before, *self.takes_off)) if part not in self.puts_back)

    @property
    def engine(self) -> EngineState:
        """What the engine does meanwhile."""
        if self.cranks:
            return "cranking"
        return "running" if self.state in RUNNING else "off"


class Only(Model, frozen=True):
    """The engines that an item is for. What is left out does not matter."""

    needles: Literal[2, 3] | None = None
    starter: tuple[Starter, ...] | None = None
    run_in: bool | None = field(default=None, name="run in")

    def fits(self, engine: Variant) -> bool:
        """Say whether `engine` is one of those meant."""
        return (
            self.needles in (None, engine.needles)
            and (self.starter is None or engine.starter in self.starter)
            and self.run_in in (None, engine.run_in)
        )


class Variant(Struct, frozen=True, omit_defaults=True):
    """What about an engine decides which faults it can have."""

    needles: Literal[2, 3] = 3
    starter: Starter = "box"
    run_in: bool = field(default=True, name="run in")
    air_screw: bool = field(default=False, name="air screw")
    """True when the low screw lets in air: it turns the other way round, and no check or route differs for it."""
    own: dict[str, float] = {}
    """Facts that are this engine's own (its warm window, say), by fact id, in the fact's unit."""

    def says(self) -> str:
        """Describe the engine in a few words."""
        count = "two needles" if self.needles == 2 else "three needles"
        low = ", low screw for air" if self.air_screw else ""
        return f"{count}, {self.starter} start, {'run in' if self.run_in else 'new'}{low}"


def every_variant() -> Iterator[Variant]:
    """Yield the twelve kinds of engine that the proofs cover."""
    needles: tuple[Literal[2, 3], ...] = (2, 3)
    starters: tuple[Starter, ...] = ("box", "pull", "electric")
    for count, starter, run_in in product(needles, starters, (True, False)):
        yield Variant(needles=count, starter=starter, run_in=run_in)
