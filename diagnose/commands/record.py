"""``diagnose record``: the journal as a file: copied, brought back, looked through."""

from __future__ import annotations

import time
from datetime import datetime
from pathlib import Path

import click

from diagnose.commands import common, learn
from diagnose.commands.printed import show
from diagnose.errors import DiagnoseError

FILE = click.Path(path_type=Path)


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
def record() -> None:
    """Keep the journal safe, and learn from it: engines, outings and settings are in it.

    \b
    Examples:
      diagnose record backup before-the-season.sqlite3
      diagnose record check
    """


@record.command()
@click.argument("file", type=FILE)
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def backup(file: Path, as_json: bool) -> None:
    """Copy the journal to FILE, and read the copy through.

    The program may be open meanwhile. A FILE that exists is not written over.

    \b
    Example:
      diagnose record backup before-the-season.sqlite3
    """
    from diagnose.pages.kept import backed_up
    from diagnose.record import backup as copying

    with common.journal() as journal:
        found = copying.backup(journal, file)
    common.say_json({"file": str(file), **found._asdict()}) if as_json else show(backed_up(found, file))


@record.command()
@click.argument("file", type=FILE)
@click.option("--over-newer", is_flag=True, help="Even when the journal holds more than FILE does.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def restore(file: Path, over_newer: bool, as_json: bool) -> None:
    """Bring the journal back from FILE, a backup.

    What it held before is copied to a file beside it first.

    \b
    Example:
      diagnose record restore before-the-season.sqlite3
    """
    from diagnose.folders import home
    from diagnose.pages.kept import restored
    from diagnose.record import backup as copying

    stamp = datetime.fromtimestamp(time.time()).strftime("%Y-%m-%d-%H%M%S")
    aside = home() / f"{copying.BEFORE}{stamp}.sqlite3"
    with common.journal() as journal:
        found = copying.restore(journal, file, aside, over=over_newer)
    kept = aside if aside.exists() else None
    if as_json:
        common.say_json(
            {"file": str(file), "before": str(kept) if kept else None, **found.held._asdict(), "back": found.back}
        )
    else:
        show(restored(found, kept))


@record.command()
def tidy() -> None:
    """Write the journal's file anew, without what was deleted.

    Deleting does it by itself. It is for when that said that it could not.

    \b
    Example:
      diagnose record tidy
    """
    from diagnose.pages.kept import tidied
    from diagnose.record import deleting

    with common.journal() as journal:
        deleting.tidy(journal)
    show(tidied())


@record.command()
@click.argument("file", type=FILE, required=False)
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def check(file: Path | None, as_json: bool) -> None:
    """Read the journal through, or FILE, a backup.

    It says whether it is whole, and which outings can't be shown.

    \b
    Examples:
      diagnose record check
      diagnose record check before-the-season.sqlite3
    """
    from diagnose.pages.kept import looked_through
    from diagnose.record.backup import held
    from diagnose.record.journal import Journal
    from diagnose.workshop.session import Session

    if file is not None and not file.is_file():
        raise DiagnoseError(f"there is no file {file}")
    known = common.knowledge()
    with Journal.open(file) if file else common.journal() as journal:
        session = Session(known, journal)
        found, unread = held(journal), session.unread()
        wrong = session.ledgers.index.look_through(journal) if file is None else 0  # a backup stays as it is
    if as_json:
        common.say_json({**found._asdict(), "unread": [one.id for one in unread], "index": wrong})
    else:
        show(looked_through(found, unread, wrong))


for _command in (learn.learned, learn.learn, learn.forget, learn.share):
    record.add_command(_command)
