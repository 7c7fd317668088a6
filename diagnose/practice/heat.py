"""How hot the head gets: what the engine makes, over what the air takes away. Quasi-steady, in °C.

- Leaner burns hotter and richer cooler near the right mixture (FAA handbook, by physics.md §7); how much is assumed:
  2.6 % of the heat for 1 % of the fuel, so that two hours at the top make 12 °C.
- What holds the car back, slips or chokes the engine turns into heat; nitro burns stronger, a tight gap above the
  piston and a hot plug fire early, and little oil rubs: all assumed.
- The air takes it away with fins and shell; the head follows the day's temperature by four tenths. Assumed.
"""

from __future__ import annotations

from typing import NamedTuple

from diagnose.practice.flow import FuelFlow
from diagnose.practice.parts import Parts, Weather

AT_RACE, ON_STAND = 88.0, 72.0
"""°C above 20 °C of a sound engine after a few fast laps (108 °C), and warmed up at idle (92 °C: in the window of
180 to 220 °F). Assumed, inside the figures that guides name."""
FOLLOWS_DAY = 0.4


class Heat(NamedTuple):
    """True temperatures of the head, °C."""

    race: float
    stand: float


def heat(parts: Parts, day: Weather, idle: FuelFlow, part: FuelFlow, full: FuelFlow) -> Heat:
    """Return the head's temperature after fast laps, and warmed up on the stand."""
    around = 20 + FOLLOWS_DAY * (day.air.temperature - 20)
    made = 1 + 2.6 * (1 - _within(full.mixture, 0.7, 1.35)) + strain(parts)
    warmed = 1 + 0.5 * (1 - _within(idle.mixture, 0.7, 1.4)) + 0.6 * (1 - _within(part.mixture, 0.7, 1.4))
    warmed += 0.3 * (1 - _within(full.mixture, 0.7, 1.4)) + 0.3 * parts.clutch_drag + 0.2 * parts.head_leak
    taken = (parts.fins * parts.shell) ** 0.6 * parts.cooling**0.8
    return Heat(around + AT_RACE * made / taken, around + ON_STAND * warmed / taken**0.6 / parts.cooling**0.3)


def strain(parts: Parts) -> float:
    """Return the heat that is made beyond the mixture's, as a share of a sound engine's."""
    made = 0.9 * (parts.brake_drag + parts.binding) + 0.4 * (1 - parts.grip) + 0.2 * parts.clutch_drag
    made += 0.6 * max(parts.gearing - 1, 0) + 0.5 * max(1 - parts.gearing, 0)
    made += 1.15 * (1 - parts.outlet) + 0.5 * parts.head_leak + 0.4 * parts.torn * 0.5
    made += 1.2 * max(-parts.squish, 0) + 0.05 * max(parts.grade, 0) + 0.5 * max(parts.nitro, 0)
    made += 0.2 * parts.pipe_misfit + 0.1 * max(-parts.shift, 0) + 0.3 * parts.strained
    return made + 4.0 * max(-parts.oil, 0) + 0.35 * parts.swollen + 0.15 * parts.gum


def _within(value: float, least: float, most: float) -> float:
    return min(max(value, least), most)
