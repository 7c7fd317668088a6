"""What is asked before any check: what the person knows already. It is evidence, and opens no gate."""

from __future__ import annotations

from collections.abc import Collection
from math import prod
from typing import Annotated

from msgspec import Meta, field

from diagnose.graph.model.base import Model, Name, Only, Text
from diagnose.graph.model.check import FLOOR, Answer, chances
from diagnose.graph.model.form import fault_of

MOST_ANSWERS = 9
"""Each answer has a digit of its own, and all of them stand on one screen."""


class Memory(Answer, frozen=True):
    """One answer of a history question."""

    look_early: tuple[Name, ...] = field(default=(), name="look early")
    """First looks at what this says was touched: they come before the other looks of a sweep."""
    turned: bool = False
    """True when it says that a screw was turned: that screw goes home before the next run after a mend."""
    not_for: tuple[Name, ...] = field(default=(), name="not for")
    """Symptoms that say or exclude it already."""
    only: Only = Only()


class Question(Model, frozen=True):
    """A history question: it opens no gate, and may be skipped."""

    ask: Text
    answers: Annotated[dict[Name, Memory], Meta(min_length=2, max_length=MOST_ANSWERS)]
    several: bool = False
    """True when any number of its answers may hold at once; the healthy one only alone."""
    after: dict[Name, tuple[Name, ...]] = {}
    """It is asked only where one of these answers of an earlier question was given."""
    unless: dict[Name, tuple[Name, ...]] = {}
    """It is not asked where one of these was given."""
    not_for: tuple[Name, ...] = field(default=(), name="not for")
    """Symptoms that leave it nothing to ask."""
    only: Only = Only()

    @property
    def healthy(self) -> str:
        """The id of the answer that says that there is nothing to tell."""
        return next(name for name, answer in self.answers.items() if answer.healthy)

    def named(self) -> frozenset[str]:
        """Return every fault that some answer names."""
        return frozenset(fault for answer in self.answers.values() for fault in answer.names)

    def chance(self, said: Collection[str], fault: str | None) -> float:
        """Return P(what was said | fault, or hypothesis); `None` stands for any fault that is not named.

        Of several answers each counts by itself, and what is left unsaid tells nothing; the healthy one says that
        none of the others holds. Reckoned in the order of the file, so that the order of saying does not matter.
        """
        if not self.several:
            return prod(chances(self.answers, fault)[answer] for answer in said)
        each = {name: self._holds(name, fault) for name, answer in self.answers.items() if not answer.healthy}
        if self.healthy in said:
            return prod(1 - chance for chance in each.values())
        return prod(chance for name, chance in each.items() if name in said)

    def _holds(self, name: str, fault: str | None) -> float:
        answer = self.answers[name]
        chance = answer.otherwise or 0.0
        if fault is not None:
            chance = answer.given.get(fault, answer.given.get(fault_of(fault), chance))
        return min(max(chance, FLOOR), 1 - FLOOR)
