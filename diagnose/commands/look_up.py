"""``diagnose owed`` and ``diagnose why``: what a racer and a doubter ask, without a walk being recorded."""

from __future__ import annotations

import click

from diagnose.commands import common
from diagnose.graph import wording


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
                "close up": view.close_up,
                "last word": view.last_word,
                "because": view.last_word_because,
            }
        )
        return
    common.say(f"{view.symptom_name} · {view.engine}")
    if not view.owed:
        common.say("no first look is owed" if minutes is None else "nothing useful fits into these minutes")
    for number, line in enumerate(view.owed, 1):
        common.say(f"{number:2}  {wording.minutes(line.minutes):>8}  {line.name}  ({line.check})")
    common.say(f"all that is owed: {wording.minutes(view.minutes_left)}")
    if view.last_word:
        common.say(f"close the car up in {wording.minutes(max(view.close_up or 0.0, 0.0))} at the latest")
        common.say(f"if you stop now: {view.last_word}. {view.last_word_because}")


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
    from diagnose.commands.printed import show
    from diagnose.pages.why import check_page
    from diagnose.reason.explain import why as explained

    walk = common.begun(symptom, engine)
    found = explained(walk, check)
    if as_json:
        common.say_json(found)
        return
    common.say(f"{found.name}, {wording.minutes(found.minutes)}")
    common.say(walk.ask(check).ask)
    show(check_page(walk, check))
