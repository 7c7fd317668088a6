"""``diagnose car``: one car on one page, and notes of it."""

from __future__ import annotations

import csv
import sys
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

import click

from diagnose.commands import common, ledger_json
from diagnose.commands.needles import RECORD
from diagnose.commands.printed import show

if TYPE_CHECKING:
    from diagnose.workshop.car import KnownCar

COLUMNS = ("id", "begun", "ended", "minutes", "symptom", "outcome", "mended", "found", "turned")


@click.command()
@click.argument("name", shell_complete=common.engine_names)
@click.option("--note", metavar="TEXT", help="Note something of it, in your own words.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON: everything that is known of it.")
@click.option("--csv", "as_csv", is_flag=True, help="Print its outings as CSV.")
def car(name: str, note: str | None, as_json: bool, as_csv: bool) -> None:
    """Show all that is known of a car, on one page.

    \b
    Examples:
      diagnose car "blue truggy"
      diagnose car "blue truggy" --note "new bell, 14 teeth"
      diagnose car "blue truggy" --csv
    """
    from diagnose.pages.car import car_page
    from diagnose.record.notes import write_note
    from diagnose.workshop import car as cars

    with common.session() as session:
        session.engine(name)
        if note is not None:
            write_note(session.journal, name, note, session.clock())
        found = cars.car(session, name)
        if as_json:
            common.say_json(told(found))
        elif as_csv:
            _print_csv(found)
        else:
            show(car_page(found, session.knowledge, RECORD))


def told(found: KnownCar) -> dict[str, Any]:
    """Return a car as the JSON that docs/commands.md describes."""
    engine = found.engine
    return {
        "name": engine.name,
        "engine": engine.variant,
        "needles": ledger_json.shown(found.ledger),
        "ledger": found.ledger.entries,
        "well": found.card,
        "outings": found.outings,
        "notes": found.notes,
    }


def _print_csv(found: KnownCar) -> None:
    """Print the outings, times in UTC; a list in a cell is joined by semicolons."""
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow(COLUMNS)
    for one in found.outings:
        row = {column: getattr(one, column) for column in COLUMNS}
        row |= {
            name: datetime.fromtimestamp(row[name], UTC).isoformat(timespec="seconds") for name in ("begun", "ended")
        }
        row["minutes"] = round(one.minutes, 1)
        writer.writerow(["; ".join(cell) if isinstance(cell, tuple) else cell for cell in row.values()])
