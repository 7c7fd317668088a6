"""A fuel, and what a change of fuel asks of the high needle."""

from __future__ import annotations

from diagnose.pages.asks import moved
from diagnose.pages.conditions import air_and_fuel, share
from diagnose.pages.parts import Heading, Line, Page
from diagnose.tune.fuel import Blend, density
from diagnose.tune.mixture import Conditions, NeedleOpening, Shift

RICHER = "Richen by the larger figure before you start it: go back to the record, corrected for the fuel."
LEANER = "It asks for less fuel. Leaner is an adjustment: an hour at most, warm, after the looks owed."


def fuel(blend: Blend) -> Page:
    """Say what a fuel is, and the air that it asks for."""
    return (
        *air_and_fuel(Conditions(fuel=blend))[:-1],
        Line(f"Density: {density(blend):.0f} kg/m³ at 20 °C (68 °F)."),
    )


def changed(before: Blend, change: Shift, at: NeedleOpening) -> Page:
    """Say what a fuel asks of a needle that is set for another one."""
    hours = change.hours(at)
    return (
        Heading(f"against {share(before.nitro)} nitro, {share(before.oil)} oil"),
        Line(f"High needle: {moved(change.area(), hours) or 'as it was'}."),
        Line(at.assumed),
        Line(RICHER if hours.high > 0 else LEANER, "→", "strong"),
    )
