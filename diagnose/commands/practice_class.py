"""``diagnose practice class``: several learners at one same engine, one after another."""

from __future__ import annotations

import secrets
import shlex
import time
from pathlib import Path
from typing import TYPE_CHECKING

import click

from diagnose.commands import common
from diagnose.commands.printed import show as show_page
from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from diagnose.graph.model import Knowledge
    from diagnose.practice.happenings import Begun


def reopen(nickname: str) -> str:
    """Return the command that opens a debrief again, as a shell takes it."""
    return f"diagnose practice debrief {shlex.quote(nickname)}"


@click.group("class", invoke_without_command=True)
@click.pass_context
def class_(ctx: click.Context) -> None:
    """Let several learners work at one same engine, each in turn.

    Without a subcommand it opens the screen. Everything else is for plain
    lines.

    \b
    Examples:
      diagnose practice class
      diagnose practice class set --level 1 --seats "kim, ben, ana"
      diagnose practice class seat
    """
    if ctx.invoked_subcommand is None:
        from diagnose.commands.walk import open_class

        open_class()


@class_.command("set")
@click.option("--level", type=int, help="1, 2 or 3: draw the engine; 3 has two things wrong.")
@click.option("--symptom", metavar="ID", shell_complete=common.ids("symptoms"), help="What it does; with --fault.")
@click.option("--fault", "faults", metavar="ID", multiple=True, help="What is hidden; once or twice.")
@click.option("--bad", type=float, help="How badly, over 0 to 1; drawn otherwise.")
@click.option("--off", multiple=True, metavar="SCREW=HOURS", help="What is off; richer, or in, is positive.")
@click.option("--story", default="", help="What the owner says besides. It must be true.")
@click.option("--file", "file", type=click.Path(path_type=Path), help="A class file; in place of all of these.")
@click.option("--seed", default="", help="The same seed, the same engine.")
@click.option("--seats", default="", help="Nicknames, with commas between them; or how many seats.")
@click.option("--same", is_flag=True, help="Seat those of the last class again.")
def set_(
    level: int | None,
    symptom: str | None,
    faults: tuple[str, ...],
    bad: float | None,
    off: tuple[str, ...],
    story: str,
    file: Path | None,
    seed: str,
    seats: str,
    same: bool,
) -> None:
    """Set the engine of a new class, and seat who is there.

    \b
    Examples:
      diagnose practice class set --level 2 --seats "kim, ben"
      diagnose practice class set --symptom overheats --fault fins-packed --off "low needle=1"
      diagnose practice class set --level 1 --same
    """
    from diagnose.pages import class_table as pages
    from diagnose.practice.class_set import ClassWish, screw_off, to_level, together
    from diagnose.workshop import classes
    from diagnose.workshop.learners import learners

    if sum((level is not None, symptom is not None or bool(faults), file is not None)) != 1:
        raise click.UsageError("choose one: --level, or --symptom with --fault, or --file")
    known, drawn = common.knowledge(), seed or secrets.token_hex(4)
    classes.nicknames(seats)  # refused before an engine is drawn
    if file is not None:
        begun = _from_file(file, known)
    elif level is not None:
        begun = to_level(known, level, drawn)
    else:
        if symptom is None or not faults:
            raise click.UsageError("--symptom and --fault go together")
        turned = dict(map(screw_off, off))
        begun = together(known, ClassWish(symptom, dict.fromkeys(faults, bad), drawn, story, turned))
    with common.journal() as journal:
        again = classes.same_again(journal) if same else ()
        of = classes.begin(journal, begun, time.time())
        for name in dict.fromkeys((*again, *classes.nicknames(seats, learners(journal)))):
            classes.sit(journal, known, of, name, time.time())
    common.say(pages.is_set(of.id))
    _show(of.id)


def _from_file(file: Path, known: Knowledge) -> Begun:
    from diagnose.commands.answers import text_of
    from diagnose.practice.class_file import read_class

    return read_class(str(file), text_of(file), known)


@class_.command()
@click.argument("nickname", required=False)
@click.option("--class", "of", metavar="ID", default="last", help="Which class; the newest otherwise.")
def seat(nickname: str | None, of: str) -> None:
    """Work at the engine of a class, as plain lines; who has the next turn, without NICKNAME.

    \b
    Example:
      diagnose practice class seat kim
    """
    from diagnose.commands.practice_plain import practise_seat
    from diagnose.pages import class_table as pages
    from diagnose.workshop import classes
    from diagnose.workshop.learners import nickname as fit

    known = common.knowledge()
    with common.journal() as journal:
        found = classes.opened(journal, of)
        due = classes.next_up(classes.seats(journal, found))
        if nickname is None and due is None:
            raise DiagnoseError("everybody has had a turn; say who sits down: diagnose practice class seat NICKNAME")
        name = fit(nickname) if nickname is not None else due.nickname if due is not None else ""
        common.say(pages.sits_down(name))
        practise_seat(known, found, name, journal)


@class_.command("list")
@click.argument("of", metavar="ID", required=False)
def list_class(of: str | None) -> None:
    """List the classes; with ID or 'last', who sits in one.

    \b
    Example:
      diagnose practice class list last
    """
    from diagnose.pages.class_table import class_line
    from diagnose.workshop import classes

    if of is not None:
        _show(of)
        return
    known = common.knowledge()
    with common.journal() as journal:
        found = [(one.id, class_line(known, one, classes.seats(journal, one))) for one in classes.every(journal)]
    if not found:
        common.say("no class yet; set one: diagnose practice class set --level 1")
    common.table(found)


def _show(of: str) -> None:
    from diagnose.pages.class_table import seat_line, table
    from diagnose.workshop import classes

    known = common.knowledge()
    with common.journal() as journal:
        found = classes.opened(journal, of)
        there = classes.seats(journal, found)
    show_page(table(known, found.begun))
    due = classes.next_up(there)
    for number, one in enumerate(there, 1):
        common.say(f"{number}  {seat_line(one, due=one is due)}")


@class_.command()
@click.argument("of", metavar="ID", default="last")
@click.option("--csv", "as_csv", is_flag=True, help="Print a row for each learner as CSV.")
def sheet(of: str, as_csv: bool) -> None:
    """Print the one sheet of a class. It has the hidden fault on it.

    To print it on paper: diagnose paper class.

    \b
    Example:
      diagnose practice class sheet last --csv
    """
    from diagnose.commands.practice_learners import print_csv
    from diagnose.pages.class_sheet import class_sheet, rows
    from diagnose.workshop import classes
    from diagnose.workshop.class_sheet import came_to

    known = common.knowledge()
    with common.journal() as journal:
        found = came_to(journal, known, classes.opened(journal, of))
    if as_csv:
        print_csv(rows(known, found.sheet))
    else:
        show_page(class_sheet(known, found, reopen))
