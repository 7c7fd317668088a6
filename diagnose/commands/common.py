"""What the commands share: the knowledge with its overlays, printing, and the completion of ids."""

from __future__ import annotations

import json
import os
import re
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from shutil import get_terminal_size
from textwrap import fill
from typing import TYPE_CHECKING, Any

import click

from diagnose.errors import DiagnoseError
from diagnose.graph.wording import clean, one_line

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

    from diagnose.graph.model import Knowledge
    from diagnose.graph.problem import KnowledgeError
    from diagnose.reason.learned import Learned
    from diagnose.reason.walk import Walk
    from diagnose.record.journal import Journal
    from diagnose.tune.quantity import QuantityKind
    from diagnose.workshop.session import Session

JOURNAL = "journal.sqlite3"
SERVED = "served.sqlite3"
"""The journal of what is done on phones."""
OVERLAYS = "overlays"
"""The key of the global ``--knowledge`` folders in the context."""


GAP = "   "
"""Stands between the columns of a table."""
SIGN = re.compile(r" *(?:[0-9a-z]{1,2}\.? {1,2}|[-·✓!?→├└│] )")
"""A number or a mark, behind which a text stands."""


def overlays(*more: Path) -> tuple[Path, ...]:
    """Return the folders that lie on the shipped knowledge: the club's that is in use, and those that were said.

    The club's is not laid twice, by whatever name it was said once more.
    """
    from diagnose.folders import club

    said = (*(click.get_current_context().find_root().params.get(OVERLAYS) or ()), *more)
    own = club()
    if own is not None and not own.is_dir():
        raise DiagnoseError(f"{own}, your club's folder, is gone: put it back, or say: diagnose club use none")
    again = own is not None and own.resolve() in {folder.resolve() for folder in said}
    return said if own is None or again else (own, *said)


def without_club(error: KnowledgeError) -> str:
    """Return how to get back to work where the club's folder that is in use has broken; "" where that is not so."""
    from diagnose.folders import club

    own = club()
    if own is None or not any(one.place.file.startswith(f"{own}{os.sep}") for one in error.problems):
        return ""
    return f"{own} is your club's folder. Mend it; to work without it until then, say: diagnose club use none"


def shorter(text: str) -> str:
    """Return text in which files below the folder where the person is, or below their own, have short names."""
    return text.replace(f"{Path.cwd()}{os.sep}", "").replace(f"{Path.home()}{os.sep}", f"~{os.sep}")


def knowledge() -> Knowledge:
    """Return the proven knowledge, out of the cache when nothing has changed. Raises `KnowledgeError`."""
    from diagnose.folders import cache_dir
    from diagnose.graph.load import load

    return load(overlays(), cache=cache_dir())


def say(text: str = "", *, err: bool = False) -> None:
    """Print text, made safe for a terminal line by line, and broken between words for the width of one."""
    stream = sys.stderr if err else sys.stdout
    _print(fitted(clean(text), get_terminal_size().columns if stream.isatty() else 0), err=err)


def _print(text: str, *, err: bool = False) -> None:
    with _written():
        click.echo(text, err=err)


@contextmanager
def _written() -> Iterator[None]:
    """Say what is wrong where something can't be printed."""
    try:
        yield
    except BrokenPipeError:
        raise  # nobody reads on: click leaves quietly
    except OSError as error:
        raise DiagnoseError(
            f"what is said here can't be written: {error.strerror}. What you answered is saved"
        ) from error


def prompt(sign: str) -> None:
    """Print what stands before the line that is typed."""
    with _written():
        sys.stdout.write(sign)
        sys.stdout.flush()


def fitted(text: str, columns: int) -> str:
    """Break lines that are too long for so many columns between their words; a table, and with 0 every line, stays."""
    return "\n".join(
        line
        if not columns or len(line) <= columns or GAP in line.strip()
        else fill(line, columns, subsequent_indent=_set_in(line), break_on_hyphens=False)
        for line in text.split("\n")
    )


def _set_in(line: str) -> str:
    """Return what further lines are set in by: as far as the text behind a number or a mark."""
    mark = SIGN.match(line)
    return " " * len(mark[0]) if mark else ""


def say_json(value: Any) -> None:
    """Print a value as JSON, escaped so that no text in it acts on a terminal."""
    from msgspec import to_builtins

    _print(json.dumps(to_builtins(value), indent=2))


def table(rows: Iterable[Iterable[str]]) -> None:
    """Print rows in columns."""
    for row in columns(rows):
        _print(row)


def columns(rows: Iterable[Iterable[str]]) -> list[str]:
    """Return rows in columns, each as wide as it must be but the last."""
    cleaned = [[one_line(cell) for cell in row] for row in rows]
    widths = [max(map(len, column)) for column in zip(*cleaned, strict=True)]
    padded = [[cell.ljust(width) for cell, width in zip(row, widths, strict=True)] for row in cleaned]
    return ["  ".join(row).rstrip() for row in padded]


def ids(kind: str) -> Callable[[click.Context, click.Parameter, str], list[CompletionItem]]:
    """Return what completes the ids of `kind` in a shell: those that begin with what was typed, with their names."""

    def complete(ctx: click.Context, _: click.Parameter, incomplete: str) -> list[CompletionItem]:
        from click.shell_completion import CompletionItem

        try:
            with ctx:
                known = getattr(knowledge(), kind)
        except DiagnoseError:  # knowledge that does not load completes nothing
            return []
        return [
            CompletionItem(name, help=one_line(entry.name))
            for name, entry in known.items()
            if name.startswith(incomplete)
        ]

    return complete


def engine_names(ctx: click.Context, _: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Return what completes the names of the recorded engines in a shell."""
    from click.shell_completion import CompletionItem

    from diagnose.record.engines import engines

    try:
        with ctx, journal() as opened:
            known = engines(opened)
    except DiagnoseError:
        return []
    return [CompletionItem(name, help=one.variant.says()) for name, one in known.items() if name.startswith(incomplete)]


def read(option: str, text: str, kind: QuantityKind) -> float:
    """Return a quantity that was typed for an option; raises `DiagnoseError` that names the option."""
    from diagnose.tune.quantity import QuantityError
    from diagnose.tune.quantity import read as quantity

    try:
        return quantity(text, kind)
    except QuantityError as error:
        raise DiagnoseError(f"{option}: {error}") from error


@contextmanager
def session() -> Iterator[Session]:
    """Open the journal with the knowledge beside it."""
    from diagnose.workshop.session import Session

    known = knowledge()
    with journal() as opened:
        yield Session(known, opened)


def journal(*, phones: bool = False) -> Journal:
    """Open the journal, or that of the phones. Raises `JournalError` and leaves a bad file untouched."""
    from diagnose.folders import home
    from diagnose.record.journal import Journal

    return Journal.open(home() / (SERVED if phones else JOURNAL))


def _learned() -> Learned | None:
    """Return what the club has learned; a list that needs nothing else of the journal does without one."""
    from diagnose.folders import home
    from diagnose.record.journal import JournalError
    from diagnose.record.learned import learned

    if (home() / JOURNAL).exists():
        with suppress(JournalError), journal() as opened:
            return learned(opened)
    return None


def begun(symptom: str, engine: str | None) -> Walk:
    """Return a walk that is begun and not recorded: for a named engine, with what its earlier outings carry over."""
    from diagnose.graph.model import Variant
    from diagnose.reason.events import Started
    from diagnose.reason.walk import begin
    from diagnose.workshop.session import Session

    known = knowledge()
    if engine is None:
        return begin(known, Started(time.time(), known.digest, symptom, "", Variant(), learned=_learned()))
    with journal() as opened:
        session = Session(known, opened)
        return begin(known, session.starting(symptom, session.engine(engine)))
