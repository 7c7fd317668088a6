"""``diagnose paper``: what people take along, as an HTML file that prints."""

from __future__ import annotations

import time
from pathlib import Path
from typing import TYPE_CHECKING

import click

from diagnose.commands import common

if TYPE_CHECKING:
    from diagnose.graph.model import Knowledge
    from diagnose.pages.parts import Page

OUT = click.option("-o", "--out", required=True, metavar="FILE.html", type=click.Path(path_type=Path))


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def paper() -> None:
    """Make a sheet to print: one HTML file that needs nothing else.

    \b
    Examples:
      diagnose paper card bogs-off-the-line -o bogs.html
      diagnose paper round before-the-heat -o before-the-heat.html
    """


@paper.command()
@click.argument("symptom", shell_complete=common.ids("symptoms"))
@click.option("--engine", metavar="NAME", shell_complete=common.engine_names, help="A recorded engine.")
@OUT
def card(symptom: str, engine: str | None, out: Path) -> None:
    """Write a symptom's quick list, with boxes.

    \b
    Example:
      diagnose paper card bogs-off-the-line -o bogs.html
    """
    from diagnose.pages import card as cards

    walk = common.begun(symptom, engine)
    _write(walk.knowledge.symptoms[walk.symptom].name, cards.card(walk, walk.started.at), walk.knowledge, out)


@paper.command("round")
@click.argument("name", shell_complete=common.ids("preparations"))
@OUT
def round_(name: str, out: Path) -> None:
    """Write a preparation as a list with boxes.

    \b
    Example:
      diagnose paper round put-it-away -o put-it-away.html
    """
    from diagnose.commands.prepare import known_preparation
    from diagnose.pages.preparation import ticked

    known = common.knowledge()
    _write(known_preparation(known, name).name, ticked(known, name), known, out)


@paper.command()
@OUT
def emergency(out: Path) -> None:
    """Write what to do now when something goes wrong.

    \b
    Example:
      diagnose paper emergency -o emergency.html
    """
    from diagnose.pages import hazards

    known = common.knowledge()
    _write(hazards.URGENT, hazards.emergency(known), known, out, columns=True)


@paper.command()
@click.argument("name", shell_complete=common.ids("lessons"))
@click.option("--answers", is_flag=True, help="The answers, for whoever teaches.")
@OUT
def lesson(name: str, answers: bool, out: Path) -> None:
    """Write a lesson's sheet for a learner, or the answers to it.

    \b
    Examples:
      diagnose paper lesson it-is-locked -o locked.html
      diagnose paper lesson it-is-locked --answers -o answers.html
    """
    from diagnose.pages import lesson_sheet as sheets

    known = common.knowledge()
    page = (sheets.lesson_answers if answers else sheets.lesson_sheet)(known, name)
    _write(f"{known.lessons[name].name}{', answers' if answers else ''}", page, known, out)


@paper.command()
@click.argument("outing")
@OUT
def outing(outing: str, out: Path) -> None:
    """Write a report of an outing, the newest or one by its id.

    \b
    Example:
      diagnose paper outing last -o report.html
    """
    from diagnose.pages.outing import noted
    from diagnose.pages.report import report
    from diagnose.record.notes import notes_of_outing

    with common.session() as session:
        found = session.outing_called(outing)
        name, began = found.walk.started.engine, found.walk.started.at
        ledger = session.ledger(name) if name in session.engines() else None
        page = report(found.walk, found.last_at, session.days().conditions(name, began), ledger)
        page = (*page, *noted(notes_of_outing(session.journal, found.id)))
        _write(found.walk.standing.symptom.name, page, session.knowledge, out)


@paper.command()
@click.argument("name", shell_complete=common.engine_names)
@OUT
def car(name: str, out: Path) -> None:
    """Write a car's page, for a pit mate.

    \b
    Example:
      diagnose paper car "blue truggy" -o blue.html
    """
    from diagnose.commands.needles import RECORD
    from diagnose.pages.car import car_page
    from diagnose.pages.car_sheet import car_sheet
    from diagnose.workshop import car as cars

    with common.session() as session:
        known, found = session.knowledge, cars.car(session, name)
        page = car_page(found, known, RECORD)
        _write(name, car_sheet(page, found, known, session.conditions(name), session.window(name)), known, out)


@paper.command("class")
@click.argument("of", metavar="ID", default="last")
@OUT
def class_(of: str, out: Path) -> None:
    """Write the one sheet of a class, the newest or one by its id. It has the hidden fault on it.

    \b
    Example:
      diagnose paper class last -o saturday.html
    """
    from diagnose.commands.practice_class import reopen
    from diagnose.pages.class_sheet import class_sheet, title
    from diagnose.workshop import classes
    from diagnose.workshop.class_sheet import came_to

    known = common.knowledge()
    with common.journal() as journal:
        found = came_to(journal, known, classes.opened(journal, of))
    _write(title(known, found.sheet), class_sheet(known, found, reopen), known, out)


def _write(title: str, page: Page, known: Knowledge, out: Path, *, columns: bool = False) -> None:
    from diagnose.pages.dates import day
    from diagnose.paper.sheet import Sheet, html, made, write

    write(html(Sheet(title, page, made(day(time.time()), known.digest), columns)), out)
    common.say(str(out))
