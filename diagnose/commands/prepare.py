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
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def prepare(name: str | None, as_json: bool) -> None:
    """Tell how to get a car ready, and how to put it away.

    Without NAME it lists the preparations. Nothing is changed or recorded.

    \b
    Examples:
      diagnose prepare
      diagnose prepare set-the-fail-safe
    """
    from diagnose.pages.preparation import preparation

    known = common.knowledge()
    if name is not None:
        found = _steps(known, name)
        common.say_json(found) if as_json else show_page(preparation(known, name))
        return
    steps = known.preparations.items()
    if as_json:
        common.say_json([{"id": title, "name": step.name, "minutes": step.minutes} for title, step in steps])
    elif steps:
        common.table((title, minutes(step.minutes), step.name) for title, step in steps)


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
