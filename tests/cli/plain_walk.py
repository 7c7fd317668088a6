"""A plain walk on the little knowledge, and what it stored."""

from __future__ import annotations

import re
from pathlib import Path

from diagnose.reason import events as ev
from diagnose.record.journal import Journal

WALK = ("walk", "revs-hang", "--plain")
SKIP_HISTORY = "\n"


def stored(home: Path) -> list[ev.Event]:
    """Return the events of the newest outing in the journal."""
    with Journal.open(home / "journal.sqlite3") as journal:
        return [ev.from_json(body) for body in journal.read(journal.streams("outing/")[-1].name)]


def number_of(said: str, out: str) -> str:
    """Return the number in front of a choice."""
    found = re.search(rf"^(\d+)  {re.escape(said)}", out, re.MULTILINE)
    assert found, out
    return found[1]
