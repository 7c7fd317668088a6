"""``diagnose fuel``: what a fuel is, and what a change of fuel asks of a needle."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import click

from diagnose.commands import common
from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from diagnose.session import Session
    from diagnose.tune.fuel import Blend
    from diagnose.tune.mixture import Opening, Shift


@click.command()
@click.argument("nitro")
@click.argument("oil")
@click.option("--from", "before", nargs=2, metavar="NITRO OIL", help="The fuel that the needle is set for.")
@click.option(
    "--engine", metavar="NAME", shell_complete=common.engine_names, help="Reckon at its needle, from its last tune."
)
@click.option("--save", is_flag=True, help="Note it as the fuel of this engine, or of all.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def fuel(nitro: str, oil: str, before: tuple[str, str] | None, engine: str | None, save: bool, as_json: bool) -> None:
    """Say what a fuel asks for: NITRO and OIL in per cent by volume.

    With another fuel to compare it with it says how much further a needle must
    open: as a range, since how much of the oil burns is not known.

    \b
    Examples:
      diagnose fuel 16 10
      diagnose fuel 25 10 --from 16 10
      diagnose fuel 25 10 --engine "blue truggy" --save
    """
    from diagnose.tune.mixture import Conditions, opening, shift

    new, old = _blend(nitro, oil), None if before is None else _blend(*before)
    at = opening(None)
    if engine is not None or save:
        with common.session() as session:
            if engine is not None:
                tuned, at = _at(session, engine)
                old = old or tuned
            if save:
                session.note_day(None, new, engine or "")
    change = None if old is None else shift(Conditions(fuel=new), Conditions(fuel=old))
    if as_json:
        told = {**_json(new), "from": None if old is None else _json(old), "change": None}
        if change is not None:
            told["change"] = {
                "area": change.area()._asdict(),
                "hours": change.hours(at)._asdict(),
                "assumptions": [at.assumed],
            }
        common.say_json(told)
        return
    _tell(new)
    if old is not None and change is not None:
        common.say(f"from {_name(old)}:")
        _tell_change(change, at)


def _blend(nitro: str, oil: str) -> Blend:
    from diagnose.tune.fuel import Blend, problem

    made = Blend(common.read("NITRO", nitro, "share"), common.read("OIL", oil, "share"))
    if wrong := problem(made):
        raise DiagnoseError(wrong)
    return made


def _at(session: Session, engine: str) -> tuple[Blend | None, Opening]:
    """Return the fuel that an engine is set for, and how far its high needle stands open."""
    from diagnose.tune.mixture import opening

    ledger = session.ledger(engine)
    tuned = ledger.record.conditions.fuel if ledger.record else None
    depth = ledger.now.get("high needle")
    counted = depth is not None and depth.kind == "closed" and depth.hours > 0
    return tuned or session.conditions(engine).fuel, opening(depth.hours if depth and counted else None)


def _json(blend: Blend) -> dict[str, Any]:
    from diagnose.tune.fuel import air_demand, density

    air = {"oil_unburnt": air_demand(blend, oil_burnt=False), "oil_burnt": air_demand(blend, oil_burnt=True)}
    return {**asdict(blend), "methanol": blend.methanol, "density": density(blend), "air_per_litre": air}


def _name(blend: Blend) -> str:
    return f"{blend.nitro * 100:.4g}% nitromethane, {blend.oil * 100:.4g}% oil"


def _tell(blend: Blend) -> None:
    told = _json(blend)
    none, every = told["air_per_litre"].values()
    common.say(f"{_name(blend)}, {blend.methanol * 100:.4g}% methanol")
    common.say(f"density: {told['density']:.0f} kg/m3 at 20 °C (68 °F)")
    common.say(f"air for a litre: {none:.2f} kg if no oil burns, {every:.2f} kg if all of it does")


def _tell_change(change: Shift, at: Opening) -> None:
    percent, hours = change.percent(), change.hours(at)
    common.say(f"the needle's area: {percent.low:+.1f} to {percent.high:+.1f}%")
    common.say(f"the high needle: {hours.low:+.1f} to {hours.high:+.1f} hours (plus is out, richer)")
    common.say(at.assumed)
    if hours.high > 0:
        common.say("Richen by the larger figure before you start it: go back to the record, corrected for the fuel.")
    else:
        common.say("It asks for less fuel. Leaner is an adjustment: an hour at most, warm, after the looks owed.")
