"""``diagnose car``: one car on one page, what was written down of it, and notes."""

from __future__ import annotations

import csv
import shlex
import sys
from typing import TYPE_CHECKING

import click
import msgspec

from diagnose.commands import common
from diagnose.commands.needles import RECORD
from diagnose.commands.printed import show
from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from diagnose.workshop.car import KnownCar
    from diagnose.workshop.entries import CarEntry
    from diagnose.workshop.session import Session

TO_TUNE = "Go back to one: diagnose needles {} back --to N"


@click.command()
@click.argument("name", shell_complete=common.engine_names)
@click.option("--note", metavar="TEXT", help="Note something of it, in your own words.")
@click.option("--entries", "listed", is_flag=True, help="Number what was written down of it, the newest first.")
@click.option("--undo", metavar="N", type=int, help="Take entry N back; it counts no more.")
@click.option("--put-right", metavar="N", type=int, help="Entry N was mistyped: --as says how it should be.")
@click.option("--as", "right", metavar="TEXT", help="The entry as it should be; without it, how it stands is shown.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON: everything that is known of it.")
@click.option("--csv", "as_csv", is_flag=True, help="Print the same as CSV.")
def car(
    name: str,
    note: str | None,
    listed: bool,
    undo: int | None,
    put_right: int | None,
    right: str | None,
    as_json: bool,
    as_csv: bool,
) -> None:
    """Show all that is known of a car, on one page.

    \b
    Examples:
      diagnose car "blue truggy"
      diagnose car "blue truggy" --note "new bell, 14 teeth"
      diagnose car "blue truggy" --put-right 2 --as "high needle 38"
    """
    from diagnose.pages.car import car_page
    from diagnose.record.notes import write_note
    from diagnose.workshop import car as cars

    if sum((listed, undo is not None, put_right is not None, as_json, as_csv)) > 1:
        raise DiagnoseError("one at a time: --entries, --undo, --put-right, --json or --csv")
    if right is not None and put_right is None:
        raise DiagnoseError("--as goes with --put-right N")
    with common.session() as session:
        session.engine(name)
        if note is not None:
            write_note(session.journal, name, note, session.clock())
        found = cars.car(session, name)
        if listed:
            _list(found)
        elif undo is not None:
            _undo(session, found, undo)
        elif put_right is not None:
            _put_right(session, found, put_right, right)
        elif as_json:
            from diagnose.workshop.export import export

            common.say_json(export(found))
        elif as_csv:
            _print_csv(found)
        else:
            to_tune = TO_TUNE.format(shlex.quote(name))
            show(car_page(found, session.knowledge, RECORD, to_tune, faces=False))


def _list(found: KnownCar) -> None:
    from diagnose.pages.car import NO_ENTRIES, entry
    from diagnose.pages.parts import Line, Paragraph
    from diagnose.workshop.entries import entries

    told = tuple(Line(entry(one), f"{number:2}") for number, one in enumerate(entries(found), 1))
    show(told or (Paragraph(NO_ENTRIES),))


def _undo(session: Session, found: KnownCar, number: int) -> None:
    from diagnose.pages.car import TAKEN_BACK, entry
    from diagnose.pages.parts import Line, Paragraph
    from diagnose.workshop.entries import take_back

    one = _numbered(found, number)
    take_back(session, found.engine.name, one)
    show((Line(entry(one)), Paragraph(TAKEN_BACK)))


def _put_right(session: Session, found: KnownCar, number: int, right: str | None) -> None:
    from diagnose.pages.car import PUT_RIGHT
    from diagnose.pages.parts import Paragraph
    from diagnose.workshop.entries import as_typed, not_typed, put_right

    one = _numbered(found, number)
    if right is not None:
        put_right(session, found.engine.name, one, right)
        show((Paragraph(PUT_RIGHT),))
    elif not (typed := as_typed(one)):
        raise DiagnoseError(not_typed(one))
    else:
        common.say(typed)


def _numbered(found: KnownCar, number: int) -> CarEntry:
    from diagnose.workshop.entries import entries

    listed = entries(found)
    if not 1 <= number <= len(listed):
        raise DiagnoseError(f"there is no entry {number}: 'diagnose car NAME --entries' numbers {len(listed)}")
    return listed[number - 1]


def _print_csv(found: KnownCar) -> None:
    """Print a row for each thing that is known; a cell that does not apply is empty."""
    from diagnose.workshop.export import CarRow, export, rows

    writer = csv.DictWriter(sys.stdout, CarRow.__struct_fields__, lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(msgspec.structs.asdict(row) for row in rows(export(found)))
