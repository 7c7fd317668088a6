"""A copy of the journal on another file, and back: whole at one moment, while the program runs, and looked through."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from diagnose.errors import DiagnoseError
from diagnose.record.deleting import tombstones
from diagnose.record.index import OUTINGS
from diagnose.record.journal import Journal

BEFORE = "journal-before-"
"""How the files begin that keep what a journal held before a backup was brought back."""


class Held(NamedTuple):
    """What a journal holds; `last_at` in seconds since the epoch, 0.0 for none."""

    streams: int
    events: int
    last_at: float
    deleted: int = 0
    """Outings that were deleted from it: each has left a tombstone."""
    deleted_at: float = 0.0
    """When the last of them was."""


class BroughtBack(NamedTuple):
    """What a journal holds now, and how many outings are back that had been deleted from it since."""

    held: Held
    back: int


def held(journal: Journal) -> Held:
    """Read all of a journal, and return what it holds; raises `JournalError` for what is damaged."""
    journal.look_through()
    streams = journal.streams()
    gone = [one for one in tombstones(journal) if one.outing]
    return Held(
        len(streams),
        sum(one.length for one in streams),
        max((one.last_at for one in streams), default=0.0),
        len(gone),
        gone[-1].at if gone else 0.0,
    )


def backup(journal: Journal, to: Path) -> Held:
    """Copy a journal to a file that is not there yet, and read the copy; raises `DiagnoseError`, and leaves no half.

    The copy is what the journal held at one moment. Other programs may write meanwhile.
    """
    _free(to)
    half = to.with_name(f".{to.name}.{os.getpid()}.half")
    try:
        journal.copy_to(half)
        with Journal.open(half) as copied:
            found = held(copied)
        to.open("xb").close()  # a renaming alone would not refuse a file that came to be meanwhile
        half.replace(to)
    except FileExistsError as error:
        raise DiagnoseError(_exists(to)) from error
    except OSError as error:
        raise DiagnoseError(f"{to} can't be written: {error.strerror}") from error
    finally:
        _remove(half)
    return found


def restore(journal: Journal, source: Path, aside: Path, *, over: bool = False) -> BroughtBack:
    """Let a journal hold what a backup holds; what it held is copied to `aside` first, a file that is not there yet.

    Raises `DiagnoseError`, with the journal as it was: for a backup that is damaged or none, and for a journal that
    holds events that the backup has not, unless `over` is true.
    """
    if not source.is_file():
        raise DiagnoseError(f"there is no file {source}")
    if journal.is_file(source):
        raise DiagnoseError(f"{source} is the journal itself: say which backup to bring back")
    with Journal.open(source) as saved:
        found = held(saved)
        newer = list(_only_in(journal, saved))
        back = sum(bool(saved.length(f"{OUTINGS}{one.outing}")) for one in tombstones(journal) if one.outing)
        if newer and not over:
            lost = sum(count for _, count in newer)
            raise DiagnoseError(
                f"{source} is older than your journal: {lost} event{'s' if lost > 1 else ''} would be gone"
                f"{_again(back)}. Say --over-newer if that is what you want; the journal is copied to {aside} first"
            )
        if journal.streams():
            backup(journal, aside)
        saved.copy_into(journal)
    return BroughtBack(found, back)


def _again(back: int) -> str:
    if not back:
        return ""
    return f", and {back} outing{'s' if back > 1 else ''} that you have deleted would be back"


def _only_in(journal: Journal, other: Journal) -> Iterator[tuple[str, int]]:
    """Yield the streams of which a journal holds events that another has not, with how many."""
    lengths = {one.name: one.length for one in other.streams()}
    for one in journal.streams():
        shared = min(one.length, lengths.get(one.name, 0))
        if journal.read(one.name, 0, shared) != other.read(one.name, 0, shared):
            yield one.name, one.length
        elif one.length > shared:
            yield one.name, one.length - shared


def _free(to: Path) -> None:
    if to.is_dir():
        raise DiagnoseError(f"{to} is a folder: say what the file in it is to be called")
    if to.exists() or to.is_symlink():
        raise DiagnoseError(_exists(to))
    if not to.parent.is_dir():
        raise DiagnoseError(f"there is no folder {to.parent}")


def _exists(to: Path) -> str:
    return f"{to} exists already, and nothing is written over: give another name"


def _remove(half: Path) -> None:
    for end in ("", "-wal", "-shm", "-journal"):
        half.with_name(half.name + end).unlink(missing_ok=True)
