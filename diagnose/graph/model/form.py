"""The forms that a fault can take, and the conditions under which each shows.

A *hypothesis* is what the belief is kept over: a fault (``plug-tired``) or a form of it (``fuel-line-split.kinked``).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from msgspec import Meta

from diagnose.graph.model.base import BenchState, Model, Name, Short, Text

FormShare = Annotated[float, Meta(gt=0, le=1, description="of the times that the fault is there, 0 to 1")]

OWED_SHARE = 0.1
"""A form that is rarer than this among those of its fault is not owed a look of its own."""

HALF = 0.5
"""A look shows a fault when the forms of it that it can show come to this much."""


class Condition(Model, frozen=True):
    """Something that must be so for a form of a fault to show: hot, loaded, assembled."""

    name: Short
    """It, to end a sentence: "while the engine is hot"."""
    states: tuple[BenchState, ...] = ()
    """The bench states that bring it about, for looks that do not say what they are made under."""


class Form(Model, frozen=True):
    """One way in which a fault can be there."""

    name: Short
    share: FormShare
    when: tuple[Name, ...] = ()
    """The conditions under which it shows, all of them together."""
    because: Text | None = None
    """Why no look shows it."""


WHOLE = Form("", 1.0)
"""The only form of a fault that has none of its own."""


def fault_of(hypothesis: str) -> str:
    """Return the fault that a hypothesis is about."""
    return hypothesis.partition(".")[0]


def with_faults(shown: Mapping[str, float]) -> frozenset[str]:
    """Return hypotheses that are shown, given with their shares, and the faults of which these are half or more."""
    shares: dict[str, float] = {}
    for hypothesis, share in shown.items():
        fault = fault_of(hypothesis)
        shares[fault] = shares.get(fault, 0.0) + share
    return frozenset(shown).union(fault for fault, share in shares.items() if share >= HALF)
