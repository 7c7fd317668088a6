"""A check and its answers, with the probability of each answer under each fault."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from msgspec import Meta, field

from diagnose.graph.model.base import (
    RUNNING,
    BenchState,
    FormName,
    GoodFor,
    Grounding,
    Guard,
    LookKind,
    Model,
    Name,
    Number,
    Only,
    Probability,
    Screw,
    Short,
    Text,
    Work,
)
from diagnose.graph.model.form import fault_of
from diagnose.graph.model.presumption import BY_STATE, Presumption

FLOOR = 0.01
"""No answer has less than this probability under any fault, so that one wrong answer rules nothing out for good."""

CAN_SHOW_AT_LEAST = 0.65
CAN_SHOW_RATIO = 5.0
NEAR = 1e-9
"""What sums of probabilities may be off by rounding."""


class Answer(Model, frozen=True):
    """One answer of a check or of a history question."""

    say: Text
    healthy: bool = False
    given: dict[FormName, Probability] = field(default={}, name="if")
    """P(this answer | that fault), for the faults that change it; of `fault` and `fault.form` the form's counts."""
    otherwise: Probability | None = field(default=None, name="else")
    """P(this answer | any other fault)."""
    means: Text | None = None
    """What this answer looks, sounds, smells or feels like, and what it says."""
    sign: dict[Screw, Literal["rich", "lean"]] = {}
    mends: Name | None = None
    """For a swap: the fault that this answer has mended."""
    grounds: Grounding | None = None
    implies: dict[Name, Name] = {}
    """What it tells of other checks: check, its answer. That is not asked, and a healthy one counts as a look."""
    up_to: float | Name | None = field(default=None, name="up to")
    """For a reading: the band ends below this number, or below the engine's own value of this fact."""

    @property
    def names(self) -> tuple[str, ...]:
        """The faults that it names, whole or in one of their forms."""
        return tuple(dict.fromkeys(map(fault_of, self.given)))


class Reading(Model, frozen=True):
    """A number that a check asks for; its answers are bands, lowest first, the last one open above."""

    unit: Literal["°C", "mm", "V", "s"]
    least: float
    most: float


class Check(Work, frozen=True):
    """A look that can show faults."""

    name: Short
    ask: Text
    how: Annotated[tuple[Text, ...], Meta(min_length=1, max_length=5)]
    why: Text
    minutes: Number
    state: BenchState
    look: LookKind
    answers: Annotated[dict[Name, Answer], Meta(min_length=2)]
    good_for: GoodFor = field(name="good for")
    opens: Short | None = None
    """For a strip-down: what it opens."""
    guard: Guard | None = None
    remembered: bool = False
    """True when it asks what the person remembers: the past can't change, so it is asked once and never again."""
    cautions: tuple[Name, ...] = ()
    tools: tuple[Short, ...] = ()
    misleads: Text | None = None
    where: Name | None = None
    """The drawing that shows where to look."""
    reading: Reading | None = None
    people_say: tuple[Short, ...] = field(default=(), name="people say")
    """What a search finds it by, besides its own texts."""
    only: Only = Only()
    under: tuple[Name, ...] | None = None
    """The conditions that it is made under; left out, those that its bench state brings about."""
    presumes: tuple[Presumption, ...] | None = None
    """What it presumes of the engine; left out, what its bench state does, and of a swap that it turns over."""

    @property
    def presumed(self) -> tuple[Presumption, ...]:
        """What it presumes of the engine. Where the complaint excludes that, it makes no sense to ask."""
        if self.presumes is not None:
            return self.presumes
        if self.cranks or any(answer.mends for answer in self.answers.values()):
            return ("turns",) if self.runs else ()
        return BY_STATE.get(self.state, ())

    @property
    def healthy(self) -> str:
        """The id of the healthy answer."""
        return next(name for name, answer in self.answers.items() if answer.healthy)

    @property
    def runs(self) -> bool:
        """Say whether the engine runs while this is looked at."""
        return self.state in RUNNING

    def chance(self, answer: str, fault: str | None) -> float:
        """Return P(answer | fault), floored at `FLOOR`; `None` stands for any fault that is not named."""
        return chances(self.answers, fault)[answer]

    def chances(self, fault: str | None) -> dict[str, float]:
        """Return the same for every answer, whatever the conditions: `Knowledge.chances` minds those."""
        return chances(self.answers, fault)

    def shows(self, fault: str | None) -> float:
        """Return P(any unhealthy answer | fault)."""
        return 1 - self.chance(self.healthy, fault)

    def named(self) -> frozenset[str]:
        """Return every fault that some answer of this check names, whole or in a form."""
        return frozenset(fault for answer in self.answers.values() for fault in answer.names)


def well_shown(shown: float, otherwise: float) -> bool:
    """Say whether P(unhealthy | fault) is enough to show the fault, against P(unhealthy | any other)."""
    return shown + NEAR >= CAN_SHOW_AT_LEAST and shown + NEAR >= CAN_SHOW_RATIO * otherwise


def chances(answers: Mapping[str, Answer], fault: str | None) -> dict[str, float]:
    """Spread one unit of probability over the answers: the healthy one takes what the others leave."""
    raw: dict[str, float] = {}
    rest = 1.0
    for name, answer in answers.items():
        if answer.healthy:
            raw[name] = 0.0
            continue
        chance = answer.otherwise or 0.0
        if fault is not None:
            chance = answer.given.get(fault, answer.given.get(fault_of(fault), chance))
        raw[name] = max(chance, FLOOR)
        rest -= raw[name]
    healthy = next((name for name, answer in answers.items() if answer.healthy), None)
    if healthy is not None:
        raw[healthy] = max(rest, FLOOR)
    total = sum(raw.values())
    return {name: chance / total for name, chance in raw.items()}
