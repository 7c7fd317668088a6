"""``diagnose prepare``: the jobs that get a car ready, step by step, without a walk."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from diagnose.commands import common
from diagnose.commands.printed import show as show_page
from diagnose.errors import DiagnoseError
from diagnose.graph.wording import minutes

if TYPE_CHECKING:
    from diagnose.graph.model import Knowledge, Preparation


@click.command()
@click.argument("name", required=False, shell_complete=common.ids("preparations"))
@click.option("--engine", metavar="NAME", shell_complete=common.engine_names, help="Tick its looks for this engine.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def prepare(name: str | None, engine: str | None, as_json: bool) -> None:
    """Tell how to get a car ready, and how to put it away.

    Without NAME it lists the preparations. With an engine the looks of
    one are ticked line by line; otherwise nothing is recorded.

    \b
    Examples:
      diagnose prepare
      diagnose prepare set-the-fail-safe
      diagnose prepare before-the-heat --engine "blue truggy"
    """
    from diagnose.pages.preparation import preparation

    known = common.knowledge()
    if engine is not None:
        _tick(known, name or "", engine)
        return
    if name is not None:
        found = _steps(known, name)
        common.say_json(found) if as_json else show_page(preparation(known, name))
        return
    steps = known.preparations.items()
    if as_json:
        common.say_json([{"id": title, "name": step.name, "minutes": step.minutes} for title, step in steps])
    elif steps:
        common.table((title, minutes(step.minutes), step.name) for title, step in steps)


def _tick(known: Knowledge, name: str, engine: str) -> None:
    """Tick each look by itself; it is on disk before the next one is asked."""
    from diagnose.commands.prompt import Left, drop_typed_ahead, typed_line
    from diagnose.pages.preparation import NOT_SO, TICK, completed, look_to_tick
    from diagnose.record.ticked import tick
    from diagnose.workshop.session import Session

    looks = known_preparation(known, name).looks
    if not looks:
        raise DiagnoseError(f"nothing is ticked with '{name}': leave --engine out")
    with common.journal() as journal:
        session, sound = Session(known, journal), set[str]()
        variant = session.engine(engine).variant
        common.say(TICK)
        try:
            for number, look in enumerate(looks, 1):
                common.say(f"{number} of {len(looks)}  {look_to_tick(known, look, variant)}")
                drop_typed_ahead()
                while (typed := typed_line().lower()) not in ("", "n", "q"):
                    common.say(TICK)
                if typed == "q":
                    break
                if typed == "n":
                    common.say(NOT_SO)
                    continue
                tick(journal, engine, look, session.clock())
                sound.add(look)
        except Left:
            pass
        show_page(completed(known, looks, sound))


def known_preparation(known: Knowledge, name: str) -> Preparation:
    """Return a preparation; raises `DiagnoseError` if there is none of that name."""
    from diagnose.graph.problem import did_you_mean

    if name not in known.preparations:
        raise DiagnoseError(f"there is no preparation '{name}'{did_you_mean(name, known.preparations)}")
    return known.preparations[name]


def _steps(known: Knowledge, name: str) -> dict[str, Any]:
    """Return one preparation with its numbers filled in."""
    from diagnose.graph.say import say

    step = known_preparation(known, name)
    return {
        "id": name,
        "name": step.name,
        "minutes": step.minutes,
        "do": [say(line, known) for line in step.do],
        "tools": step.tools,
        "cautions": step.cautions,
    }
