"""``diagnose day``: the day's air, and what it explains of an engine's drift."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import click

from diagnose.commands import common
from diagnose.commands.printed import show as show_page
from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from diagnose.tune.air import Air
    from diagnose.tune.drift import Advice, Explained
    from diagnose.workshop.session import Session

BACK = "It is said step by step by: diagnose needles ENGINE back"
HOW = "--temperature 31C --humidity 55 --station-pressure 1004hPa"


@click.command()
@click.option("--temperature", metavar="T", help="Like 31C or 88F.")
@click.option("--humidity", metavar="H", help="In per cent, like 55.")
@click.option("--station-pressure", metavar="P", help="At the track, like 1004hPa or 29.6inHg.")
@click.option("--sea-level-pressure", metavar="P", help="What a phone shows; with --elevation.")
@click.option("--elevation", metavar="E", help="Of the track, like 120m or 400ft.")
@click.option("--save", is_flag=True, help="Note it as today's air.")
@click.option("--engine", metavar="NAME", shell_complete=common.engine_names, help="What it explains.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def day(
    temperature: str | None,
    humidity: str | None,
    station_pressure: str | None,
    sea_level_pressure: str | None,
    elevation: str | None,
    save: bool,
    engine: str | None,
    as_json: bool,
) -> None:
    """Say what the day's air is like, and what it asks of a needle.

    Without a temperature it takes the air that was noted today.

    \b
    Examples:
      diagnose day --temperature 31C --humidity 55 --station-pressure 1004hPa
      diagnose day --temperature 88F --humidity 40 --sea-level-pressure 29.9inHg
                   --elevation 400ft --save
      diagnose day --engine "blue truggy"
    """
    air = height = None
    if any(given is not None for given in (temperature, humidity, station_pressure, sea_level_pressure)):
        air, height = _air(temperature, humidity, station_pressure, sea_level_pressure, elevation)
    clubs = None if elevation or not sea_level_pressure else height
    if air is not None and not save and engine is None:  # then no journal is needed
        _tell(air, None, clubs, as_json=as_json)
        return
    with common.session() as session:
        if engine is not None:
            session.engine(engine)
        if air is None:
            air = session.days().air(session.clock())
            if air is None or save:
                raise DiagnoseError(f"no air is noted for today; say it like: diagnose day {HOW} --save")
        elif save:
            session.note_day(air, None, elevation=height)
        _tell(air, None if engine is None else _explained(session, engine, air), clubs, as_json=as_json)


def _air(
    temperature: str | None, humidity: str | None, station: str | None, sea_level: str | None, elevation: str | None
) -> tuple[Air, float | None]:
    """Return the air, and the elevation if it was said; raises `DiagnoseError` for what is missing or can't be."""
    from diagnose.tune import typed

    if not temperature or not humidity or bool(station) == bool(sea_level):
        raise DiagnoseError(f"the air needs its temperature, its humidity and one pressure, like: {HOW}")
    if not station and not elevation and (own := common.knowledge().elevation) is not None:
        elevation = f"{own:g} m"
    if not station and not elevation:
        raise DiagnoseError("a sea-level pressure needs the --elevation of the track, like --elevation 120m")
    phone = not station
    found = typed.day(typed.Typed(temperature, humidity, station or sea_level or "", elevation or "", sea_level=phone))
    for field, why in found.problems.items():
        option = ("sea-level-pressure" if phone else "station-pressure") if field == "pressure" else field
        raise DiagnoseError(f"--{option}: {why}")
    assert found.air is not None
    return found.air, found.elevation


def _explained(session: Session, engine: str, air: Air) -> tuple[str, Explained | None, Advice | None]:
    from msgspec.structs import replace

    now = replace(session.conditions(engine), air=air)
    return engine, session.explained(engine, now), session.advice(engine, now)


def _tell(
    air: Air, found: tuple[str, Explained | None, Advice | None] | None, clubs: float | None, *, as_json: bool
) -> None:
    """Print what the air comes to; `clubs` is the elevation in m, where only the club's folder says it."""
    from diagnose.pages.asks import asks
    from diagnose.pages.conditions import air_and_fuel, clubs_height, day
    from diagnose.tune import air as moist
    from diagnose.tune.mixture import Conditions

    if not as_json:
        now = Conditions(air)
        height = () if clubs is None else clubs_height(clubs)
        show_page((*day(now), *height, *air_and_fuel(now), *(asks(*found[1:], BACK) if found else ())))
        return
    whole = moist.density(air)
    told: dict[str, Any] = {
        **asdict(air),
        "density": whole,
        "dry_density": moist.dry_density(air),
        "density_altitude": moist.density_altitude(whole),
        "doubt": moist.doubt(air),
    }
    common.say_json(told | ({} if found is None else {"engine": found[0], **_json(*found[1:])}))


def _json(found: Explained | None, advice: Advice | None) -> dict[str, Any]:
    if found is None:
        return {"explained": None, "advice": None}
    explained = {
        "drift": found.drift,
        "percent": found.shift.percent()._asdict(),
        "hours": found.hours._asdict(),
        "unknown": found.shift.unknown,
        "unexplained": found.unexplained,
        "owed": found.owed,
        "within_a_day": found.usual,
        "why": found.why,
        "said": found.said,
        "assumptions": found.assumptions,
    }
    return {"explained": explained, "advice": advice}
