"""The day and the fuel: what is noted of them, and what that comes to."""

from __future__ import annotations

from diagnose.graph.wording import both
from diagnose.pages.parts import Gap, Heading, Line, Page, Paragraph
from diagnose.tune import air as moist
from diagnose.tune import fuel as fuels
from diagnose.tune.air import Air
from diagnose.tune.fuel import Blend
from diagnose.tune.mixture import Conditions

FEET = 0.3048
"""m in a foot."""

FIRST = "Nothing is noted for this day yet. Type what you know, and leave out what you don't."


def noted(now: Conditions) -> Page:
    """Say what is noted of the day and the fuel."""
    found = ", ".join(figures(now))
    return (Paragraph(f"Noted: {found}." if found else FIRST, "quiet"),)


def day(now: Conditions) -> Page:
    """Say what is known of the day and the fuel."""
    known = ", ".join(figures(now))
    about = "Fuel" if now.fuel and not now.air else "Day"
    return (Line(f"{about}: {known}."),) if known else ()


def clubs_height(height: float) -> Page:
    """Say that an elevation in m, which nobody typed, is that of the club's track."""
    feet = round(height / FEET, -1)
    return (Line(f"For a track at {height:g} m ({feet:.0f} ft): your club's folder says so."),)


def air_and_fuel(now: Conditions) -> Page:
    """Say what the air and the fuel come to; what is not known is left out."""
    air = (Heading("the air"), *map(Line, _density(now.air)), Gap()) if now.air else ()
    fuel = (Heading("the fuel"), Line(_blend(now.fuel)), Gap()) if now.fuel else ()
    return (*air, *fuel)


def figures(found: Conditions) -> list[str]:
    """Say a day and a fuel in figures; what nobody noted is left out."""
    said = _air(found.air) if found.air else []
    said += [f"{share(found.fuel.nitro)} nitro", f"{share(found.fuel.oil)} oil"] if found.fuel else []
    return [*said, *([f"head {both(found.head)}"] if found.head is not None else [])]


def _air(air: Air) -> list[str]:
    return [both(air.temperature), share(air.humidity), f"{air.pressure / 100:.0f} hPa"]


def share(share: float) -> str:
    """Write a share of a fuel, or of what the air can hold, in per cent."""
    return f"{round(100 * share, 1):g} %"


def _density(air: Air) -> tuple[str, ...]:
    """Say the density of the air, of its dry part, the height where a standard day has it, and how far to trust it."""
    whole, dry = moist.density(air), moist.dry_density(air)
    height = round(moist.density_altitude(whole), -1)
    said = (
        f"Density: {whole:.3f} kg/m³. The dry part, which burns the fuel: {dry:.3f} kg/m³.",
        f"Density altitude: {height:.0f} m ({round(height / FEET, -1):.0f} ft). A standard day has this air there.",
    )
    doubt = moist.doubt(air)
    return (*said, doubt) if doubt else said


def _blend(fuel: Blend) -> str:
    """Say what a fuel is, and the air that a litre of it asks for."""
    least, most = sorted(fuels.air_demand(fuel, burnt) for burnt in (False, True))
    asks = f"A litre asks for {least:.2f} to {most:.2f} kg of air, with none of the oil burnt or all of it."
    return f"{share(fuel.nitro)} nitro, {share(fuel.oil)} oil, the rest methanol. {asks}"
