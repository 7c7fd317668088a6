"""``diagnose preview``: an entry of the knowledge as the screen would show it, while its author still writes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

from diagnose.commands import common
from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from textual.content import Content

    from diagnose.graph.model import Knowledge
    from diagnose.pages.preview import Preview

NARROWEST, USUAL, WIDEST = 24, 80, 200
KINDS = ("checks", "faults", "symptoms")


@click.command()
@click.argument("name", metavar="CHECK|FAULT|SYMPTOM")
@click.option("--symptom", metavar="SYMPTOM", help="In whose walk; left out, the first in which it can come.")
@click.option(
    "--width", type=click.IntRange(NARROWEST, WIDEST), default=USUAL, show_default=True, help="Columns of the screen."
)
def preview(name: str, symptom: str | None, width: int) -> None:
    """Show an entry as the screen would: wrapped, with its numbers.

    The knowledge is read, and not proven, so an entry can be looked at
    before everything holds.

    \b
    Examples:
      diagnose preview filter-by-eye
      diagnose --knowledge our-club preview our-check --width 44
    """
    from diagnose.folders import cache_dir
    from diagnose.graph.load import read_only
    from diagnose.pages.preview import previews

    known = read_only(common.overlays(), cache_dir())
    _refuse_unknown(known, name, symptom)
    for shown in previews(known, name, symptom):
        common.say("\n".join(_drawn(shown, width)))


def _refuse_unknown(known: Knowledge, name: str, symptom: str | None) -> None:
    from diagnose.graph.problem import did_you_mean

    names = [one for kind in KINDS for one in getattr(known, kind)]
    if name not in names:
        own = "" if common.overlays() else ". For one of your own, say --knowledge DIR, or once: diagnose club use DIR"
        raise DiagnoseError(f"no check, fault or symptom is called '{name}'{did_you_mean(name, names)}{own}")
    if symptom is not None and symptom not in known.symptoms:
        raise DiagnoseError(f"there is no symptom '{symptom}'{did_you_mean(symptom, known.symptoms)}")


def _drawn(shown: Preview, width: int) -> Iterator[str]:
    """Yield the lines of a page between two rules, and below them where it comes up."""
    from diagnose.screens.widgets.picked_by import numbered
    from diagnose.screens.widgets.rendered import rendered, room_for_text
    from diagnose.screens.widgets.text import hung

    room = room_for_text(width)
    rule = "─" * room
    yield rule
    yield from _lines(rendered(shown.page, room))
    if shown.choices:
        yield ""
    for digit, choice in numbered(shown.choices):
        yield from _lines(hung(f"{digit}  ", choice.say, room))
        if choice.means:
            yield from _lines(hung("   ", choice.means, room))
    yield rule
    yield from _lines(rendered(shown.besides, width))


def _lines(content: Content) -> list[str]:
    return [line.rstrip() for line in content.plain.split("\n")]
