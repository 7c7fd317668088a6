"""From the radio to the air: pulse, servo angle, travel of the linkage, and the opening of a slide over a round bore.

Lengths in m, angles in radians from the servo's neutral, pulses in microseconds (µs). More pulse opens the throttle.
Makers of radios and servos vary; the numbers here are common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, asin, radians, sin, sqrt

NEUTRAL = 1500.0
"""µs at which a servo stands in the middle."""
PER_PERCENT = 5.0
"""µs that one per cent of trim or travel moves the pulse by: 100% is 500 µs."""
PER_MICROSECOND = radians(45 / 500)
"""Radians that a servo turns for one µs: 45° for 500 µs, the published default of one servo library."""
DEAD_BAND = 5.0
"""µs that a usual servo does not answer to; digital ones 2 to 16. From forums, weak."""


def pulse(percent: float, end_point: float = 100.0, subtrim: float = 0.0) -> float:
    """Return the µs for a trigger at `percent` (-100 to 100) with that end point in per cent and subtrim in µs."""
    return NEUTRAL + subtrim + PER_PERCENT * percent * end_point / 100


def percent(microseconds: float) -> float:
    """Return the end point in per cent that gives this pulse at full trigger, without subtrim."""
    return (microseconds - NEUTRAL) / PER_PERCENT


def angle(microseconds: float) -> float:
    """Return the servo's angle from neutral for a pulse."""
    return PER_MICROSECOND * (microseconds - NEUTRAL)


def arc(horn: float, turned: float) -> float:
    """Return how far a horn of length `horn` pulls, along the rod, when turned from square to it (a long rod)."""
    return horn * sin(turned)


def opening(bore: float, gap: float) -> float:
    """Return the area in m2 that a slide drawn back by `gap` leaves open of a round bore of diameter `bore`."""
    radius = bore / 2
    drawn = min(max(gap, 0.0), bore)
    chord = sqrt(drawn * (bore - drawn))  # half of it
    return radius**2 * acos((radius - drawn) / radius) - (radius - drawn) * chord


def worth(moved: float, bore: float, gap: float, horn: float, rest: float = NEUTRAL) -> float:
    """Return the share by which the opening at rest changes when the pulse moves by `moved` µs from `rest`.

    0.2 is a fifth more air. It holds while the servo carries the slide; on its idle stop the slide does not follow.
    One step of trim is `PER_PERCENT`, a dead band leaves the slide anywhere within its own width.
    """
    return opening(bore, gap + _travel(rest, rest + moved, horn)) / opening(bore, gap) - 1


def _travel(start: float, end: float, horn: float) -> float:
    return arc(horn, angle(end)) - arc(horn, angle(start))


def pulse_for(travel: float, horn: float, rest: float = NEUTRAL) -> float | None:
    """Return the pulse that moves the slide by `travel` from where it stands at `rest`; None when the horn is short."""
    across = sin(angle(rest)) + travel / horn
    return NEUTRAL + asin(across) / PER_MICROSECOND if abs(across) <= 1 else None


@dataclass(frozen=True, slots=True)
class Ends:
    """What the radio's end points do to the slide."""

    past_open: float
    """m that the servo goes on pulling after the slide is fully open; negative is short of fully open."""
    past_stop: float
    """m that it goes on pushing after the slide is on its idle stop; what the brake's linkage must give."""
    full: float | None
    """The pulse that just opens the slide fully; None when the horn is too short for it."""


def ends(bore: float, gap: float, horn: float, full: float, shut: float, rest: float = NEUTRAL) -> Ends:
    """Return what the pulses `full` and `shut` at the trigger's two ends do.

    At `rest` the slide is on its idle stop, `gap` open. A servo driven past what the slide allows stalls, which draws
    a high current.
    """
    room = bore - gap
    return Ends(
        past_open=_travel(rest, full, horn) - room,
        past_stop=max(0.0, -_travel(rest, shut, horn)),
        full=pulse_for(room, horn, rest),
    )


def problem(bore: float, gap: float, horn: float) -> str | None:
    """Return why these lengths in m cannot be and what to do, or None."""
    if not 0.003 <= bore <= 0.03:
        return f"A carburettor's bore is from 3 to 30 mm, not {bore * 1000:.4g} mm. Measure it across the opening."
    if not 0 < gap < bore:
        return (
            f"A gap of {gap * 1000:.4g} mm is not between shut and the bore of {bore * 1000:.4g} mm. Measure it again."
        )
    if not 0.004 <= horn <= 0.04:
        return (
            f"A servo's horn is from 4 to 40 mm, not {horn * 1000:.4g} mm. "
            f"Measure from the middle of its screw to the rod."
        )
    return None
