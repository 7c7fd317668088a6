"""The window of head temperatures in which a screw is turned: an engine's own, offered from its heads at good tunes.

Whatever the engine shows, the order floor < ceiling < come-in < stop holds: an own window never reaches up to the
temperature at which a car comes in. All in °C.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from itertools import pairwise
from typing import NamedTuple

from diagnose.graph.wording import both
from diagnose.tune.needles import Good, LedgerEntry
from diagnose.tune.well import Card

ORDER = ("head-floor", "head-ceiling", "head-come-in", "head-stop")
"""The facts, lowest first."""

NAMES = {
    "head-floor": "the floor of the window",
    "head-ceiling": "its ceiling",
    "head-come-in": "the temperature to come in at",
    "head-stop": "the temperature to stop at",
}

LEAST_HEADS = 3
"""Fewer readings make no window. A judgement."""

BESIDE = 5.0
"""°C on each side of its own heads: a thermometer moved by a hand's breadth reads so much otherwise. A judgement."""

BELOW_COME_IN = 1.0
"""°C that a ceiling stays below the come-in temperature."""


class Window(NamedTuple):
    """Between which head temperatures a screw is turned, °C."""

    floor: float
    ceiling: float

    def says(self) -> str:
        """Say it in both units."""
        return f"{both(self.floor)} to {both(self.ceiling)}"


class Offer(NamedTuple):
    """What an engine's own heads at good tunes come to; without a window, `said` tells why there is none."""

    heads: tuple[float, ...]
    window: Window | None
    said: str

    def ranges(self) -> str:
        """Say between which temperatures its heads lie, with a blank behind it; "" without any."""
        if not self.heads:
            return ""
        return f"Its own heads at good tunes: {both(self.heads[0])} to {both(self.heads[-1])}. "


def own_heads(entries: Iterable[LedgerEntry], card: Card | None) -> tuple[float, ...]:
    """Return the heads read at good tunes, and the one of the well card, °C, lowest first."""
    read = [entry.conditions.head for entry in entries if isinstance(entry, Good)]
    read.append(card.conditions.head if card is not None else None)
    return tuple(sorted(head for head in read if head is not None))


def offered(heads: tuple[float, ...], limits: Mapping[str, float]) -> Offer:
    """Return the window that these heads come to; `limits` has the program's own temperatures by fact, °C."""
    missing = LEAST_HEADS - len(heads)
    if missing > 0:
        have = {0: "None is written down yet", 1: "One is written down"}.get(len(heads), "Two are written down")
        more = {1: "one more", 2: "two more"}.get(missing, "three")
        return Offer(heads, None, f"{have}: it takes {more}. Read the head when you mark a tune as good.")
    least, most = heads[0], heads[-1]
    said = f"Its own heads at {len(heads)} good tunes: {both(least)} to {both(most)}."
    floor = max(round(least - BESIDE), math.ceil(limits["warm-enough-to-look"]))
    ceiling = min(round(most + BESIDE), math.floor(limits["head-come-in"] - BELOW_COME_IN))
    made = Window(float(floor), float(ceiling))
    if ceiling - floor < 2 * BESIDE:
        return Offer(heads, None, f"{said} They lie too hot, or too cool, for a window of its own.")
    return Offer(heads, made, f"{said} They would make a window of {made.says()}.")


def disorder(degrees: Mapping[str, float]) -> str:
    """Return why such temperatures (by fact, °C) can't be an engine's, in a sentence; "" when they can."""
    for low, high in pairwise(ORDER):
        if not degrees[low] < degrees[high]:
            return (
                f"{NAMES[low]} ({both(degrees[low])}) must lie below {NAMES[high]} ({both(degrees[high])}): "
                "choose another window"
            )
    return ""
