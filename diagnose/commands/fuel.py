"""``diagnose fuel``: what a fuel is, and what a change of fuel asks of a needle."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import click

from diagnose.commands import common
from diagnose.commands.printed import show as show_page
from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from diagnose.tune.fuel import Blend
    from diagnose.tune.mixture import NeedleOpening
    from diagnose.workshop.session import Session


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
    from diagnose.pages.fuel import changed
    from diagnose.pages.fuel import fuel as fuel_alone
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
    show_page((*fuel_alone(new), *(changed(old, change, at) if old is not None and change is not None else ())))


def _blend(nitro: str, oil: str) -> Blend:
    from diagnose.tune.fuel import Blend, problem

    made = Blend(common.read("NITRO", nitro, "share"), common.read("OIL", oil, "share"))
    if wrong := problem(made):
        raise DiagnoseError(wrong)
    return made


def _at(session: Session, engine: str) -> tuple[Blend | None, NeedleOpening]:
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
