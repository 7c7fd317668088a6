"""``diagnose list``: what the knowledge holds."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

from diagnose.commands import common
from diagnose.graph.wording import minutes

if TYPE_CHECKING:
    from diagnose.graph.model import Knowledge


@click.command("list")
@click.argument("kind", type=click.Choice(["symptoms", "checks", "faults", "parts", "words"]))
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def list_(kind: str, as_json: bool) -> None:
    """List the symptoms, checks, faults, parts or words of the knowledge.

    Of parts, every way in which one fails, and the fault that stands for it.

    \b
    Examples:
      diagnose list symptoms
      diagnose list words
      diagnose --knowledge club/ list checks --json
    """
    rows = list(_rows(common.knowledge(), kind))
    if as_json:
        common.say_json(rows)
    elif rows:
        common.table([_cell(value) for value in row.values()] for row in rows)


def _cell(value: str | float) -> str:
    return value if isinstance(value, str) else minutes(value)


def _rows(known: Knowledge, kind: str) -> Iterator[dict[str, str | float]]:
    """Yield an entry as its columns."""
    match kind:
        case "symptoms":
            for name, symptom in known.symptoms.items():
                yield {"id": name, "when": symptom.when, "name": symptom.name}
        case "checks":
            for name, check in known.checks.items():
                yield {"id": name, "look": check.look, "minutes": check.minutes, "name": check.name}
        case "faults":
            for name, fault in known.faults.items():
                yield {"id": name, "area": fault.area, "name": fault.name}
        case "parts":
            for name, row in known.failings.items():
                stands = row.fault or f"none: {row.because}"
                yield {"id": name, "part": known.parts[row.part].name, "fails": row.fails, "fault": stands}
        case _:
            from diagnose.graph.say import say

            for name, word in known.words.items():
                yield {"word": name, "say": say(word.say, known)}
