"""``diagnose review``: what a change to the knowledge does to walks."""

from __future__ import annotations

import time
from pathlib import Path
from typing import TYPE_CHECKING

import click

from diagnose.commands import common
from diagnose.commands.printed import show
from diagnose.errors import DiagnoseError

if TYPE_CHECKING:
    from diagnose.graph.read import FilesRead

AS_BEFORE, OTHERWISE = 0, 1


@click.command()
@click.argument("folders", nargs=-1, required=True, metavar="[OLD] NEW", type=click.Path(path_type=Path))
@click.option("--whole", is_flag=True, help="OLD and NEW hold all the knowledge, and lie on nothing.")
@click.option(
    "--strict",
    is_flag=True,
    help="Exit code 1 where a walk ends otherwise, a needle is turned sooner, or less is looked for.",
)
@click.option("--html", "out", metavar="FILE.html", type=click.Path(path_type=Path), help="Write it there, as a page.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def review(folders: tuple[Path, ...], whole: bool, strict: bool, out: Path | None, as_json: bool) -> None:
    """Say what a change of knowledge does to walks.

    OLD and NEW are a club's folder before and after; OLD left out is what is
    shipped. Every worked case and every fault that the change can reach is
    walked with both.

    \b
    Examples:
      diagnose review our-club
      diagnose review before/our-club our-club --html review.html
    """
    from diagnose.measure.review import review as reviewed
    from diagnose.pages.review import alarming, review_page

    if len(folders) > 2:
        raise DiagnoseError("review takes one folder or two: the old one, and the new one")
    old, new = (_read(folder, whole=whole) for folder in (folders if len(folders) == 2 else (None, folders[0])))
    found = reviewed(old, new)
    page = review_page(found, old.knowledge, new.knowledge)
    if out is not None:
        from diagnose.pages.dates import day
        from diagnose.paper.sheet import Sheet, html, made, write

        write(html(Sheet("review of a change", page, made(day(time.time()), new.knowledge.digest))), out)
        common.say(str(out))
    elif as_json:
        common.say_json(found)
    else:
        show(page)
    click.get_current_context().exit(OTHERWISE if strict and alarming(found) else AS_BEFORE)


def _read(folder: Path | None, *, whole: bool) -> FilesRead:
    """Return the knowledge of a folder, proven: what does not hold can't be walked. Raises `KnowledgeError`."""
    from diagnose.graph.load import read_all
    from diagnose.graph.problem import KnowledgeError
    from diagnose.graph.prove import prove

    if whole and folder is not None:
        found = read_all(shipped=folder)
    else:
        found = read_all((folder,) if folder is not None else ())
    if folder is not None and (problems := prove(found.knowledge, found.places)):
        raise KnowledgeError(problems, found.written)
    return found
