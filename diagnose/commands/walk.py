"""``diagnose walk``: on the screen, in plain lines, or from a file of answers."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from diagnose.commands import common
from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from diagnose.practice.happenings import Begun
    from diagnose.workshop.mate import DriversBench, Invited

NO_TERMINAL = """this needs a terminal that can show pages. Without one:
  diagnose list symptoms            what it can be asked about
  diagnose walk SYMPTOM --plain     the same walk as numbered lines
  diagnose walk --answers FILE      a walk whose answers are known"""


@click.command()
@click.argument("symptom", required=False, shell_complete=common.ids("symptoms"))
@click.option("--plain", is_flag=True, help="Numbered lines, for screen readers and pipes.")
@click.option("--resume", is_flag=True, help="With --plain: go on with the newest open walk.")
@click.option("--engine", metavar="NAME", shell_complete=common.engine_names, help="A recorded engine.")
@click.option("--answers", type=click.Path(path_type=Path), metavar="FILE", help="Take the answers from a case file.")
@click.option("--json", "as_json", is_flag=True, help="With --answers: print JSON.")
def walk(
    symptom: str | None, plain: bool, resume: bool, engine: str | None, answers: Path | None, as_json: bool
) -> None:
    """Walk from a symptom to what to do about it.

    It ends in a mend, a needle step or an honest hand-over. On a terminal it
    opens on the screen, at SYMPTOM.

    \b
    Examples:
      diagnose walk revs-hang
      diagnose walk revs-hang --plain --engine "blue truggy"
      diagnose walk --answers case.yaml --json
    """
    if answers is not None:
        if symptom or plain or resume or engine:
            raise click.UsageError("--answers stands alone: the file says the symptom and the engine")
        from diagnose.commands.answers import walk_answers

        walk_answers(answers, as_json=as_json)
        return
    if as_json:
        raise click.UsageError("--json goes with --answers")
    if symptom is None:
        raise click.UsageError("say the symptom; 'diagnose list symptoms' says which there are")
    if plain or (sys.stdout.isatty() and not shows_pages()):
        from diagnose.commands.plain import walk_plain

        walk_plain(symptom, engine, resume=resume)
        return
    common.begun(symptom, engine)  # a name that does not exist is said before the screen opens
    open_ui(symptom, engine)


def shows_pages() -> bool:
    """Say whether there is a terminal, and one that can show a page."""
    return sys.stdin.isatty() and sys.stdout.isatty() and os.environ.get("TERM") != "dumb"


def open_ui(symptom: str | None = None, engine: str | None = None) -> None:
    """Open the screen. Raises `DiagnoseError` where there is no terminal."""
    if not shows_pages():
        raise DiagnoseError(NO_TERMINAL)
    from diagnose.screens.app import run

    _left(run(common.overlays(), symptom=symptom, engine=engine, invite=_invite))


def _invite(bench: DriversBench) -> Invited:
    """Let a mate's phone in. The server, and its packages, are imported when somebody asks for it."""
    from diagnose.commands.serve import needs_its_packages

    needs_its_packages()
    from diagnose.phones.mate import invite

    return invite(bench)


def _left(code: int) -> None:
    if code:
        raise click.exceptions.Exit(code)


def open_practice(begun: Begun, learner: str) -> None:
    """Open the screen at a practice. Raises `DiagnoseError` where there is no terminal."""
    if not shows_pages():
        raise DiagnoseError("this needs a terminal that can show pages; without one: diagnose practice start --plain")
    from diagnose.screens.app import run

    _left(run(common.overlays(), practice=(begun, learner), invite=_invite))


def open_class() -> None:
    """Open the screen where a class is set. Raises `DiagnoseError` where there is no terminal."""
    if not shows_pages():
        raise DiagnoseError("this needs a terminal that can show pages; without one: diagnose practice class set")
    from diagnose.screens.app import run
    from diagnose.screens.messages import PageWanted

    _left(run(common.overlays(), first=PageWanted("teach", "class"), invite=_invite))
