"""``diagnose find``: the entries that fit a few words."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

import click

from diagnose.commands import common

if TYPE_CHECKING:
    from diagnose.graph.seek import Sought

KINDS = ("symptoms", "checks", "looks", "faults", "words")


@click.command()
@click.argument("words", nargs=-1, required=True)
@click.option("--among", type=click.Choice(KINDS), default="symptoms", show_default=True, help="What is looked for.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON: a list, best first.")
def find(words: tuple[str, ...], among: str, as_json: bool) -> None:
    """Find what fits a few words, best first: in any order, with slips.

    \b
    Examples:
      diagnose find bogs off the bottom
      diagnose find idle hangs --json
      diagnose find pressure nipple --among checks
    """
    from diagnose.graph.seek import seeker
    from diagnose.pages.home import NOTHING

    known = common.knowledge()
    kind = cast("Sought", among)
    entries = known.checks if kind == "looks" else getattr(known, kind)
    rows = [
        {"id": one.id, "name": getattr(entries[one.id], "name", one.id), "score": round(one.score, 3)}
        for one in seeker(known, kind).find(" ".join(words))
    ]
    if as_json:
        common.say_json(rows)
    elif rows:
        common.table([str(row["id"]), str(row["name"])] for row in rows)
    else:
        common.say(NOTHING)
