"""``diagnose picture``: a symptom's route as a graph, with the branch that was taken, or a car's tune over time."""

from __future__ import annotations

from pathlib import Path

import click

from diagnose.commands import common
from diagnose.commands.printed import show
from diagnose.errors import DiagnoseError


@click.command()
@click.argument("symptom", required=False, shell_complete=common.ids("symptoms"))
@click.option("--outing", metavar="OUTING", help="Draw the branch that it took through; by its id, or last.")
@click.option("--car", metavar="NAME", shell_complete=common.engine_names, help="Draw its needles and heads instead.")
@click.option("-o", "--out", metavar="FILE.svg", type=click.Path(path_type=Path), help="Draw it there.")
def picture(symptom: str | None, outing: str | None, car: str | None, out: Path | None) -> None:
    """Draw the decision graph of a symptom or a car's tune over time, or say it in lines.

    With --outing the symptom may be left out: it is the one of the outing.

    \b
    Examples:
      diagnose picture bogs-off-the-line -o bogs.svg
      diagnose picture --outing last
      diagnose picture --car "blue truggy" -o blue.svg
    """
    if car is not None:
        if symptom is not None or outing is not None:
            raise DiagnoseError("--car draws the tune of a car: it goes with no symptom and no outing")
        _tune(car, out)
    elif symptom is None and outing is None:
        raise DiagnoseError("say which symptom to draw, or --car NAME, or --outing last")
    else:
        _route(symptom, outing, out)


def _route(symptom: str | None, outing: str | None, out: Path | None) -> None:
    from diagnose.pages.dates import date_and_clock
    from diagnose.pages.route import in_words, route, taken
    from diagnose.paper.sheet import write

    path: list[str] = []
    of: list[str] = []
    """Whose walk it was, and when."""
    if outing is None:
        assert symptom is not None
        known = common.begun(symptom, None).knowledge
    else:
        with common.session() as session:
            walk, known = session.outing_called(outing).walk, session.knowledge
        symptom = symptom or walk.symptom
        if symptom not in {one.symptom for one in walk.standing.path}:
            raise DiagnoseError(f"that outing did not go by '{symptom}': it is about '{walk.symptom}'")
        path, of = taken(walk, symptom), [walk.started.engine, date_and_clock(walk.started.at)]
    drawn = route(known, symptom, path)
    if out is None:
        show(in_words(drawn))
        return
    from diagnose.paper.picture import svg

    write(svg(" · ".join(filter(None, [known.symptoms[symptom].name, *of])), drawn), out)
    common.say(str(out))


def _tune(name: str, out: Path | None) -> None:
    from diagnose.pages.over_time import HEADING, NOTHING, in_words, strips
    from diagnose.paper.sheet import write
    from diagnose.workshop import car as cars

    with common.session() as session:
        found = cars.car(session, name)
    if out is None:
        show(in_words(found))
        return
    if not (drawn := strips(found)):
        raise DiagnoseError(NOTHING)
    from diagnose.paper.tune_picture import svg

    write(svg(f"{name}: {HEADING}", drawn), out)
    common.say(str(out))
