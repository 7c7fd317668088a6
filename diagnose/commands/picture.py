"""``diagnose picture``: a symptom's route as a graph, with the branch that an outing took."""

from __future__ import annotations

from pathlib import Path

import click

from diagnose.commands import common
from diagnose.commands.printed import show


@click.command()
@click.argument("symptom", shell_complete=common.ids("symptoms"))
@click.option("--outing", metavar="OUTING", help="Draw the branch that it took through; by its id, or last.")
@click.option("-o", "--out", metavar="FILE.svg", type=click.Path(path_type=Path), help="Draw it there.")
def picture(symptom: str, outing: str | None, out: Path | None) -> None:
    """Draw the decision graph of a symptom, or say it in lines.

    \b
    Examples:
      diagnose picture bogs-off-the-line -o bogs.svg
      diagnose picture bogs-off-the-line --outing last
    """
    from diagnose.pages.route import in_words, route
    from diagnose.paper.picture import svg
    from diagnose.paper.sheet import write

    known = common.begun(symptom, None).knowledge
    path: list[str] = []
    if outing is not None:
        with common.session() as session:
            found = session.outing_called(outing).walk.standing.path
        path = [one.node for one in found if one.symptom == symptom]
    drawn = route(known, symptom, path)
    if out is None:
        show(in_words(drawn))
        return
    write(svg(known.symptoms[symptom].name, drawn), out)
    common.say(str(out))
