"""``diagnose owed`` and ``diagnose why``: what a racer and a doubter ask, without a walk being recorded."""

from __future__ import annotations

import click

from diagnose.commands import common
from diagnose.commands.printed import show


@click.command()
@click.argument("symptom", shell_complete=common.ids("symptoms"))
@click.option(
    "--engine",
    metavar="NAME",
    shell_complete=common.engine_names,
    help="A recorded engine; what was looked at today counts.",
)
@click.option("--minutes", metavar="M", help="Minutes to the grid: the set that finds most in them.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def owed(symptom: str, engine: str | None, minutes: str | None, as_json: bool) -> None:
    """List the checks still owed before a needle may be turned.

    The quickest gain comes first. With --minutes the list is the set that
    finds most in that time, with a last word about racing.

    \b
    Examples:
      diagnose owed revs-hang
      diagnose owed revs-hang --engine "blue truggy" --minutes 8
    """
    from diagnose.pages.owed import looks_owed
    from diagnose.reason.events import Deadline

    walk = common.begun(symptom, engine)
    now = walk.started.at
    if minutes is not None:
        walk = walk.plus(Deadline(now, common.read("--minutes", minutes, "min")))
    view = walk.view(now)
    if as_json:
        common.say_json(
            {
                "symptom": view.symptom,
                "engine": view.engine,
                "minutes": view.minutes_left,
                "owed": view.owed,
                "left out": view.left_out,
                "close up": view.close_up,
                "last word": view.last_word,
                "because": view.last_word_because,
            }
        )
        return
    show(looks_owed(view, walk.knowledge))


@click.command()
@click.argument("check", shell_complete=common.ids("checks"))
@click.option("--symptom", required=True, shell_complete=common.ids("symptoms"), help="What the engine does.")
@click.option("--engine", metavar="NAME", shell_complete=common.engine_names, help="A recorded engine.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def why(check: str, symptom: str, engine: str | None, as_json: bool) -> None:
    """Say what a check can show, and what it unlocks.

    \b
    Example:
      diagnose why hold-and-stream --symptom revs-hang
    """
    from diagnose.pages.why import check_alone
    from diagnose.reason.explain import why as explained

    walk = common.begun(symptom, engine)
    found = explained(walk, check)
    if as_json:
        common.say_json(found)
        return
    show(check_alone(walk, check))
