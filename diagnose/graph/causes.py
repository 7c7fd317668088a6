"""Problems as an author mends them: the cause first, and folded behind it what follows from it.

The shipped knowledge holds by itself. So what is wrong in a shipped file follows from something in the files that lie
on top of it, and is told behind the entry that it names.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from diagnose.graph.problem import Place, Problem

MOST = 100
"""Causes that are told at once."""

UNREAD = frozenset(
    {
        *("no-knowledge", "unreadable", "too-big", "not-utf-8", "hostile-text", "unknown-file", "no-entries"),
        *("syntax", "one-document", "too-deep", "format", "alias", "anchor", "tag", "key-not-text", "duplicate-key"),
    }
)
"""The rules by which a file or a part of it is not read at all: whatever it would have said is missed elsewhere."""

AFTER = {"failing-look": "no-first-look", "early-shows-nothing": "unused", "round-of-one": "round-twice"}
"""Rules that an entry breaks only because the same fault breaks another."""

_QUOTED = re.compile(r"(?<!\w)'([^']+)'(?!\w)")


class AuthorsOwn(NamedTuple):
    """What an author's own files hold, on top of what is shipped."""

    files: frozenset[str] = frozenset()
    entries: Mapping[str, Place] = {}
    """Where each of his entries stands, by its id."""


class RootCause(NamedTuple):
    """A problem, and what follows from it."""

    problem: Problem
    follows: tuple[Problem, ...] = ()

    def __str__(self) -> str:
        folded = f"\n    and {len(self.follows)} that follow{'s' if len(self.follows) == 1 else ''}"
        return f"{self.problem}{folded if self.follows else ''}"


def causes(problems: Iterable[Problem], written: AuthorsOwn) -> tuple[RootCause, ...]:
    """Return the causes in the order in which they are best mended: what can't be read, the author's files, others."""
    found = sorted(problems, key=_order)
    own = [one for one in found if one.place.file in written.files and not _comes_after(one, found)]
    heads: dict[Problem, list[Problem]] = {one: [] for one in own}
    if not written.files:
        return tuple(map(RootCause, found))
    alone: dict[tuple[str, str], list[Problem]] = {}
    for one in found:
        if one not in heads:
            blamed = _blamed(one, written)
            if (cause := _comes_after(one, own) or _cause(own, blamed, written)) is not None:
                heads[cause].append(one)
            else:
                alone.setdefault((blamed, one.rule if blamed else ""), []).append(one)
    told = [RootCause(head, tuple(rest)) for head, rest in heads.items()]
    return (*told, *(cause for (blamed, _), group in alone.items() for cause in _broken(blamed, group, written, own)))


def _order(one: Problem) -> tuple[object, ...]:
    """Sort what is not read first; a sign that acts on a terminal may be why the rest of a line is not."""
    return one.rule not in UNREAD, one.place.file, one.rule != "hostile-text", one.place, one.what


def _comes_after(one: Problem, others: Iterable[Problem]) -> Problem | None:
    """Return the problem of the same fault without which this one would not be, where there is such a problem."""
    if one.rule not in AFTER:
        return None
    named = set(_QUOTED.findall(one.what))
    causes = (other for other in others if other.rule == AFTER[one.rule])
    return next((other for other in causes if named & set(_QUOTED.findall(other.what))), None)


def told(found: Sequence[RootCause]) -> list[str]:
    """Return the causes as lines, the first hundred of them, and how many there are."""
    return [*(str(one) for one in found[:MOST]), *([f"and {len(found) - MOST} more"] if len(found) > MOST else ())]


def counted(found: Sequence[RootCause]) -> str:
    """Say how many problems there are, and how many follow from them."""
    count, follow = len(found), sum(len(one.follows) for one in found)
    said = f"{count} problem{'' if count == 1 else 's'}"
    return f"{said}, and {follow} that follow{'s' if follow == 1 else ''}" if follow else said


def _blamed(problem: Problem, written: AuthorsOwn) -> str:
    """Return the author's entry that a problem of a shipped file names; "" where it names none."""
    return next((name for name in _QUOTED.findall(problem.what) if name.split(".")[0] in written.entries), "")


def _cause(own: Sequence[Problem], blamed: str, written: AuthorsOwn) -> Problem | None:
    """Return which of the author's problems is the cause: the first in the entry that is blamed, or the only one."""
    if blamed:
        within = (one for one in own if _entry(one.place, written) == blamed.split(".")[0])
        return next(within, None)
    return own[0] if len(own) == 1 else None


def _entry(place: Place, written: AuthorsOwn) -> str:
    """Return the author's entry in which a place lies."""
    above = [(at.line, name) for name, at in written.entries.items() if at.file == place.file and at.line <= place.line]
    return max(above, default=(0, ""))[1]


def _broken(blamed: str, group: list[Problem], written: AuthorsOwn, own: Sequence[Problem]) -> Iterator[RootCause]:
    """Yield what breaks in shipped files though the entry by itself is right: told where the author can mend it."""
    first = group[0]
    if blamed:
        place, what = written.entries[blamed.split(".")[0]], f"this breaks {first.place}: {first.what}"
        yield RootCause(first._replace(place=place, what=what), tuple(group[1:]))
    elif own:
        yield RootCause(first, tuple(group[1:]))
    else:
        yield from map(RootCause, group)
