"""``diagnose engine``: the engines that the program has been told about."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING, Any, get_args

import click

from diagnose.commands import common, ledger_json
from diagnose.commands.needles import RECORD
from diagnose.commands.printed import show as show_page
from diagnose.errors import DiagnoseError
from diagnose.graph.model import Screw, Starter
from diagnose.pages.engine import cant_be_shown

if TYPE_CHECKING:
    from diagnose.record.engines import Engine


TAKE_OVER = "Take that one over with: diagnose engine window ENGINE --own"


@click.group(no_args_is_help=True)
def engine() -> None:
    """Add an engine, list the engines, or show one.

    \b
    Examples:
      diagnose engine add "blue truggy" --needles 3 --starter box --run-in
      diagnose engine show "blue truggy"
    """


@engine.command()
@click.argument("name")
@click.option("--needles", type=click.IntRange(2, 3), default=3, show_default=True, help="How many needles it has.")
@click.option(
    "--starter", type=click.Choice(get_args(Starter)), default="box", show_default=True, help="How it is started."
)
@click.option("--run-in/--new", default=True, show_default=True, help="Run in, or still new.")
@click.option(
    "--set",
    "settings",
    type=(click.Choice(get_args(Screw)), str),
    multiple=True,
    metavar="SCREW HOURS",
    help="A recorded setting, out from gently closed: 39, 3t 3h or 3 1/4 turns.",
)
@click.option("--air-screw", is_flag=True, help="Its low screw lets in air: in is richer.")
@click.option("--notes", default="", help="Anything worth knowing.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def add(
    name: str,
    needles: int,
    starter: Starter,
    run_in: bool,
    settings: tuple[tuple[Screw, str], ...],
    air_screw: bool,
    notes: str,
    as_json: bool,
) -> None:
    """Add an engine; only its name must be given.

    \b
    Examples:
      diagnose engine add "blue truggy"
      diagnose engine add red --needles 2 --starter pull --new
      diagnose engine add red --set "low needle" 24 --set "high needle" 30
    """
    from diagnose.graph.model import Variant
    from diagnose.record import engines

    variant = Variant(needles=2 if needles == 2 else 3, starter=starter, run_in=run_in, air_screw=air_screw)
    stand = {screw: common.read(f"--set {screw}", typed, "hours") for screw, typed in settings}
    with common.journal() as journal:
        made = engines.add(journal, engines.Engine(name, variant, stand, notes), time.time())
    if as_json:
        common.say_json(_shown(made))
    else:
        common.say(f"added: {made.name}, {made.variant.says()}")


@engine.command("list")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def list_(as_json: bool) -> None:
    """List the engines.

    \b
    Example:
      diagnose engine list --json
    """
    from diagnose.pages.cars import line
    from diagnose.record.engines import engines, unread
    from diagnose.workshop.cars import cars

    with common.session() as session:
        known, lost, now = engines(session.journal), unread(session.journal), session.clock()
        found = [] if as_json else cars(session)
    if lost:
        common.say(cant_be_shown(lost), err=True)
    if as_json:
        common.say_json([_shown(one) for one in known.values()])
    elif known:
        common.table((one.engine.name, one.engine.variant.says(), line(one, now)) for one in found)
    else:
        common.say('no engine yet; add one: diagnose engine add "blue truggy"')


@engine.command()
@click.argument("name", shell_complete=common.engine_names)
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def show(name: str, as_json: bool) -> None:
    """Show one engine: where its screws stand, at the last good tune, at first.

    \b
    Example:
      diagnose engine show "blue truggy"
    """
    from diagnose.pages.parts import Heading, Paragraph
    from diagnose.pages.stand import heading, stand
    from diagnose.pages.window import in_a_line

    with common.session() as session:
        found, ledger = session.engine(name), session.ledger(name)
        own, now = session.offered_window(name), session.window(name)
    if as_json:
        heat = {"heads": own.heads, "window": now, "offered": own.window}
        common.say_json({**_shown(found), **ledger_json.shown(ledger), **heat})
        return
    show_page(
        (
            Heading(heading(found)),
            *stand(ledger, found.variant.needles, RECORD),
            *in_a_line(now, own),
            *([Paragraph(found.notes)] if found.notes else []),
        )
    )


@engine.command()
@click.argument("name", shell_complete=common.engine_names)
@click.argument("edges", nargs=-1, metavar="[FLOOR CEILING]")
@click.option("--own", is_flag=True, help="Take over the one that its own heads at good tunes come to.")
@click.option("--general", is_flag=True, help="Go back to the general one.")
def window(name: str, edges: tuple[str, ...], own: bool, general: bool) -> None:
    """Show or set the head temperatures between which its screws are turned.

    \b
    Examples:
      diagnose engine window "blue truggy"
      diagnose engine window "blue truggy" 190F 230F
      diagnose engine window "blue truggy" --own
    """
    from diagnose.pages.parts import Paragraph
    from diagnose.pages.window import window as told
    from diagnose.tune import typed
    from diagnose.tune.window import Window

    if len(edges) not in (0, 2) or (bool(edges) + own + general) > 1:
        raise click.UsageError("give two temperatures, like 190F 230F, or --own, or --general")
    with common.session() as session:
        found = session.offered_window(name)
        if own and found.window is None:
            raise DiagnoseError(found.said)
        if edges:
            session.write_window(name, Window(typed.head(edges[0]), typed.head(edges[1])))
        elif own or general:
            session.write_window(name, found.window if own else None)
        now = session.window(name)
    show_page((*told(now, found), *([Paragraph(TAKE_OVER)] if found.window not in (None, now) else [])))


def _shown(one: Engine) -> dict[str, Any]:
    """Return an engine as JSON, with what is usual written out."""
    variant = one.variant
    return {
        "name": one.name,
        "needles": variant.needles,
        "starter": variant.starter,
        "run in": variant.run_in,
        "air screw": variant.air_screw,
        "own": variant.own,
        "settings": one.settings,
        "notes": one.notes,
    }
