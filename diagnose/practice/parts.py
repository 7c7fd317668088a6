"""The screws and the day of a simulated engine, beside its parts (`diagnose.graph.model.parts`).

Lengths are in mm, needles in hours past where fuel begins to flow. Every sound value here is assumed: one small car
engine of 3.5 cm³ as common practice describes it, no source.
"""

from __future__ import annotations

from msgspec import Struct

from diagnose.graph.model import Screw
from diagnose.graph.model.parts import SOUND as SOUND
from diagnose.graph.model.parts import Parts as Parts
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend

HIGH, MID, LOW, GAP = 36.0, 24.0, 18.0, 1.0
"""Where a sound engine is right on the standard day: three turns, two, one and a half, and a gap of 1 mm. Assumed
within the counts that guides name."""

PITCH = 0.5
"""mm a turn of the idle stop (M3), so that an hour of it is 0.042 mm."""

STANDARD_AIR = Air(20.0, 101_325.0, 0.5)
STANDARD_FUEL = Blend(0.20, 0.10)


class Screws(Struct, frozen=True):
    """Where the four screws stand."""

    high: float = HIGH
    mid: float = MID
    low: float = LOW
    gap: float = GAP
    """mm that the slide stands open when it rests on its idle stop."""

    def turned(self, screw: Screw, hours: float) -> Screws:
        """Return them with one screw turned; richer (or in) is positive. A needle can't be closed past its seat."""
        match screw:
            case "high needle":
                return Screws(max(self.high + hours, 0.5), self.mid, self.low, self.gap)
            case "mid needle":
                return Screws(self.high, max(self.mid + hours, 0.5), self.low, self.gap)
            case "low needle":
                return Screws(self.high, self.mid, max(self.low + hours, 0.5), self.gap)
            case "idle stop":
                return Screws(self.high, self.mid, self.low, max(self.gap + hours * PITCH / 12, 0.05))


class Weather(Struct, frozen=True):
    """The air and the fuel that the engine runs on."""

    air: Air = STANDARD_AIR
    fuel: Blend = STANDARD_FUEL


def attribute(part: str) -> str:
    """Return the attribute of `Parts` for a part's name in files."""
    return part.replace(" ", "_")
