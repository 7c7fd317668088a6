"""The limits of the head's heat: one below the other, and each where an engine can be (common practice, no source)."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from diagnose.graph.problem import Problem
from diagnose.graph.routes import Proof

HEADS: dict[str, tuple[float, float]] = {
    "warm-enough-to-look": (60, 80),
    "head-floor": (77, 94),
    "head-ceiling": (95, 110),
    "head-come-in": (110, 130),
    "head-stop": (121, 150),
}
"""Each limit, coolest first, with the least and the most that it may be, in °C."""

APART = 10.0
"""The window, from its floor to its ceiling, is at least this wide, in °C."""


def problems(proof: Proof) -> Iterator[Problem]:
    """Yield each limit that is where no engine runs, or not above the one before it."""
    facts = proof.knowledge.facts
    known = {name: fact.value for name in HEADS if (fact := facts.get(name)) and fact.value is not None}
    for name, value in known.items():
        if facts[name].unit != "°C":  # the reader has made °C of °F
            yield proof.problem("head-limits", f"'{name}' is a temperature, in °C or °F", "facts", name, "unit")
            return
        least, most = HEADS[name]
        if not least <= value <= most:
            what = f"'{name}' is {value:.0f} °C; it is from {least:g} to {most:g} °C on an engine of this kind"
            yield proof.problem("head-limits", what, "facts", name, "value")
    for (lower, low), (upper, high) in pairwise(known.items()):
        apart = APART if (lower, upper) == ("head-floor", "head-ceiling") else 0.0
        if high <= low or high - low < apart:
            what = f"'{upper}' ({high:.0f} °C) must be above '{lower}' ({low:.0f} °C)"
            what += f" by {apart:g} °C at least" if apart else ""
            yield proof.problem("head-limits", what, "facts", upper, "value")
